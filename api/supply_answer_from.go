package api

import (
	"bedline/estimate"
	"bedline/estimate/measure"
	"bedline/pricing"
	"bedline/pricing/supply"
)

// NewComparison puts a comparison into the words of the contract, in the units that the request chose.
func NewComparison(c *pricing.SupplyComparison) *Comparison {
	w := writer{system: c.System, currency: c.List.Currency, list: c.List}
	return &Comparison{
		ID: c.ID, Engine: estimate.Version, Reference: c.Reference, Title: c.Title, Units: c.System.String(), PriceList: listUsed(c.List),
		Requirements: w.requirements(c.Requirements), Materials: w.bought(c.Materials), Supply: w.supply(&c.Supply), Notices: notices(c.Notices), Workings: workings(c.Workings),
	}
}

// NewPooledPlan puts a pool into the words of the contract, in the units that the request chose.
func NewPooledPlan(p *pricing.Pool) *PooledPlan {
	w := writer{system: p.System, currency: p.List.Currency, list: p.List}
	out := &PooledPlan{
		ID: p.ID, Engine: estimate.Version, Reference: p.Reference, Title: p.Title, Units: p.System.String(), PriceList: listUsed(p.List),
		Together: w.money(p.Supply.Plan.Landed), Rule: pricing.SharingRule, Jobs: make([]JobShare, 0, len(p.Jobs)), Materials: w.bought(p.Materials),
		Supply: w.supply(&p.Supply), Notices: notices(p.Notices), Workings: workings(p.Workings),
	}
	if p.Compared {
		out.Apart, out.Saved = w.money(p.Apart), w.money(p.Saved)
	}
	for i := range p.Jobs {
		out.Jobs = append(out.Jobs, w.jobShare(&p.Jobs[i]))
	}
	return out
}

func listUsed(l *pricing.List) PriceListUsed {
	return PriceListUsed{Name: l.Name, Version: l.Version, Currency: l.Currency.Code, Effective: l.Effective, Note: l.Note}
}

func (w writer) jobShare(j *pricing.PooledJob) JobShare {
	out := JobShare{ID: j.Key, Goods: w.money(j.Goods), Delivery: w.money(j.Delivery), Adjustment: w.money(j.Adjustment), Amount: w.money(j.Amount),
		Materials: w.bought(j.Materials), Deliveries: make([]DeliveryShare, 0, len(j.Deliveries)), Workings: workings(j.Workings)}
	if len(j.Requirements) > 0 {
		out.Requirements = w.requirements(j.Requirements)
	}
	if j.Unavailable != nil {
		out.Unavailable = j.Unavailable.Error()
	} else {
		plan := w.plan(&j.Alone)
		out.Alone, out.AloneAmount, out.Saved = &plan, w.money(j.Alone.Landed), w.money(j.Saved)
	}
	for _, d := range j.Deliveries {
		out.Deliveries = append(out.Deliveries, DeliveryShare{Supplier: d.Supplier, Way: d.Way.String(), Mass: w.mass(d.Mass), Volume: w.volume(d.Volume), Amount: w.money(d.Amount)})
	}
	return out
}

func (w writer) requirements(list []pricing.Requirement) []Requirement {
	out := make([]Requirement, 0, len(list))
	for i := range list {
		r := &list[i]
		one := Requirement{Material: r.Material.Key, Measured: w.amount(r.Measured, counted(r.Material)), Required: w.amount(r.Required, counted(r.Material)),
			Waste: Waste{Factor: Number(r.Waste.Factor), Basis: string(r.Waste.Basis)}, Workings: workings(r.Workings)}
		if r.Compacted {
			compaction := Number(r.Material.CompactionFactor)
			one.Compaction = &compaction
		}
		out = append(out, one)
	}
	return out
}

func (w writer) bought(list []pricing.Bought) []BoughtMaterial {
	out := make([]BoughtMaterial, 0, len(list))
	for i := range list {
		b := &list[i]
		by := counted(b.Material)
		out = append(out, BoughtMaterial{Material: b.Material.Key, Description: b.Material.Name, Required: w.amount(b.Required, by), Bought: w.amount(b.Bought, by),
			Surplus: w.amount(b.Surplus, by), Mass: w.mass(b.Mass), Amount: w.money(b.Amount)})
	}
	return out
}

// counted is the unit of a count of a material.
func counted(m *estimate.Material) string {
	if m.Kind == estimate.FabricMaterial {
		return "roll"
	}
	return "each"
}

// steps writes the steps of a comparison; nil without any.
func (w writer) steps(c *pricing.Comparison) *Steps {
	if c.Steps == nil || c.Steps.Unproved {
		return nil
	}
	one := func(list []supply.Step) []Step {
		out := make([]Step, len(list))
		needed := pricing.Holds(list, c.Needed)
		for i, s := range list {
			out[i] = Step{UpTo: w.volume(measure.Volume(s.UpTo)), Cost: w.money(s.Cost), Needed: i == needed}
		}
		return out
	}
	return &Steps{UpTo: w.volume(c.Steps.UpTo), Bags: one(c.Steps.Bags), Bulk: one(c.Steps.Bulk)}
}

func appendSteps(b []byte, v *Steps) []byte {
	b = append(b, `{"up_to":`...)
	b = appendQuantity(b, &v.UpTo)
	b = append(b, `,"bags":`...)
	b = appendList(b, v.Bags, appendStep)
	b = append(b, `,"bulk":`...)
	b = appendList(b, v.Bulk, appendStep)
	return append(b, '}')
}

func appendStep(b []byte, v *Step) []byte {
	b = append(b, `{"up_to":`...)
	b = appendQuantity(b, &v.UpTo)
	b = append(b, `,"cost":`...)
	b = appendText(b, v.Cost)
	if v.Needed {
		b = append(b, `,"needed":true`...)
	}
	return append(b, '}')
}
