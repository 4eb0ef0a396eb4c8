package pricing

import (
	"context"
	"fmt"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
	"bedline/pricing/money"
	"bedline/pricing/supply"
)

// SupplyComparison is how bare quantities of materials, without a job, are best bought.
type SupplyComparison struct {
	ID        string // see Identify
	Reference string
	Title     string
	System    measure.System
	List      *List

	Requirements []Requirement // in the order of the request
	Materials    []Bought      // one per material, in the order in which they are first asked for
	Supply       Supply        // with the steps of every loose material
	Notices      []estimate.Notice
	Workings     []estimate.Working // the plan, purchase by purchase
}

// Bought is what is bought of one material, or the part of it that one job of several bears. Quantities are in the base
// unit of the material.
type Bought struct {
	Material *estimate.Material
	Required estimate.Amount
	Bought   estimate.Amount
	Surplus  estimate.Amount
	Mass     measure.Mass
	Amount   money.Amount
}

// CompareSupply reads a request for bare quantities and finds how to buy them. Every fault of the request comes back at
// once, in the order of the document. An error is a failure of ours, not of the request. The workplace is for the
// buying; nobody else may use it meanwhile, and the answer does not depend on it.
func CompareSupply(ctx context.Context, workplace *supply.Workplace, lists Lists, root *document.Node, text []byte) (*SupplyComparison, []document.Fault, error) {
	var faults document.Faults
	r := document.Read(root, &faults)
	head, err := readHead(ctx, r, lists, &faults)
	if err != nil {
		return nil, nil, err
	}
	reader := requirementReader{list: head.list, pencil: head.pencil()}
	c := &SupplyComparison{Reference: head.reference, Title: head.title, System: head.system, List: head.list}
	c.Requirements = reader.each(r, "requirements")
	terms := Terms{Prefer: Cheapest, Steps: true}
	if s, ok := r.Object("supply", document.Optional); ok {
		terms = readSupply(s, quantities)
	}
	r.Close()
	lines := uncertainRequirements(c.Requirements)
	if faults.Len() == 0 {
		if member, why := terms.Tolerances.idle(lines); member != "" {
			faults.Add(r.At("supply")+"/"+member, CodeConflict, why, "")
		}
	}
	if faults.Len() > 0 {
		return nil, faults.List(root), nil
	}
	needs := c.List.demands(len(c.Requirements), func(i int) (*estimate.Material, float64) {
		return c.Requirements[i].Material, c.Requirements[i].Required.Value
	})
	m := market{list: c.List, system: c.System, prefer: terms.Prefer, steps: terms.Steps, options: terms.options}
	var d *doubt
	if terms.Tolerances.Given() {
		d = m.doubtOf(needs, lines, terms.Confidence, func(*uncertain) *Tolerances { return &terms.Tolerances })
	}
	if c.Supply, err = m.buyFor(ctx, workplace, needs, d); err != nil {
		if err := m.refuse(err, &faults, placesOf(c.Requirements)); err != nil {
			return nil, nil, err
		}
		return nil, faults.List(root), nil
	}
	c.Materials = boughtFor(needs, &c.Supply.Plan)
	c.Notices = c.Supply.notices(c.System)
	c.Workings = m.workings(&c.Supply.Plan)
	c.ID, err = Identify(text, c.List)
	return c, nil, err
}

// placesOf finds where requirements name a material.
func placesOf(requirements []Requirement) func(string) []string {
	return func(material string) []string {
		var at []string
		for i := range requirements {
			if requirements[i].Material.Key == material {
				at = append(at, requirements[i].Pointer+"/material")
			}
		}
		return at
	}
}

// head is what every request for buying begins with.
type head struct {
	reference, title string
	system           measure.System
	list             *List // nil after a fault
}

func (h head) pencil() pencil {
	p := pencil{system: h.system}
	if h.list != nil {
		p.currency = h.list.Currency
	}
	return p
}

func readHead(ctx context.Context, r document.Reader, lists Lists, faults *document.Faults) (head, error) {
	var h head
	var err error
	if h.list, err = chooseList(ctx, r, lists, faults); err != nil {
		return h, err
	}
	h.reference, _ = r.Text("reference", document.Optional, 64)
	h.title, _ = r.Text("title", document.Optional, 200)
	if h.list != nil {
		h.system = h.list.System
	}
	if name, ok := r.Choice("units", document.Optional, "us", "metric"); ok {
		h.system, _ = measure.ParseSystem(name)
	}
	return h, nil
}

// boughtFor is what a plan buys of each need.
func boughtFor(needs []demand, plan *supply.Plan) []Bought {
	out := make([]Bought, len(needs))
	for k := range needs {
		n, cover := &needs[k], &plan.Covers[k]
		kind := estimate.CountAmount
		if n.Base == supply.ByVolume {
			kind = estimate.VolumeAmount
		}
		amount := func(c supply.Content) estimate.Amount { return estimate.Amount{Kind: kind, Value: float64(c)} }
		out[k] = Bought{Material: n.material, Required: amount(n.Quantity), Bought: amount(cover.Bought), Surplus: amount(cover.Surplus), Mass: cover.Mass, Amount: cover.Amount}
	}
	return out
}

// workings write a plan for people: every purchase, every delivery, the sum.
func (m market) workings(plan *supply.Plan) []estimate.Working {
	p := pencil{m.system, m.list.Currency}
	var out []estimate.Working
	for i := range plan.Purchases {
		b := &plan.Purchases[i]
		out = append(out, estimate.Working{Label: b.Material + " from " + b.Supplier, Expression: p.packs(b, m.list.Offer(b.Offer)), Result: p.money(b.Amount)})
	}
	for i := range plan.Suppliers {
		u := &plan.Suppliers[i]
		what := "delivery from "
		if u.Way == supply.PickedUp {
			what = "pick-up from "
		}
		out = append(out, estimate.Working{Label: what + u.Supplier, Expression: p.trips(u) + " for " + p.mass(u.Mass) + " and goods of " + p.money(u.Goods), Result: p.money(u.Charge)})
	}
	return append(out, estimate.Working{Label: "landed cost", Expression: p.money(plan.Goods) + " + " + p.money(plan.Delivery) + p.beside(plan), Result: p.money(plan.Landed)})
}

// notices tell where the steps of cost end early.
func (s *Supply) notices(system measure.System) []estimate.Notice {
	var out []estimate.Notice
	p := pencil{system: system}
	if s.Short != nil {
		out = s.Short.notices(p)
	}
	for i := range s.Comparison {
		c := &s.Comparison[i]
		switch {
		case c.Steps == nil:
		case c.Steps.Unproved:
			out = append(out, estimate.Notice{Code: "steps_left_out", Severity: estimate.Info,
				Message: fmt.Sprintf("The steps of cost of %s could not all be proved within the limit of work and are left out.", c.Material.Key)})
		case c.Steps.Cut && c.Steps.UpTo < c.Needed:
			out = append(out, estimate.Notice{Code: "steps_end_early", Severity: estimate.Info,
				Message: fmt.Sprintf("The steps of cost of %s end at %s, before the %s that are needed: more of them are not listed.", c.Material.Key, p.volume(c.Steps.UpTo), p.volume(c.Needed))})
		}
	}
	return out
}
