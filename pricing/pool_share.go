package pricing

import (
	"bedline/estimate"
	"bedline/estimate/measure"
	"bedline/pricing/money"
	"bedline/pricing/supply"
)

// load is what a job has of a supplier's goods.
type load struct {
	mass   measure.Mass
	volume measure.Volume
	goods  money.Amount
	some   bool
}

// share gives each job its part, as SharingRule says. Of all requirements, owners says whose each is.
func (p *Pool) share(m market, needs []demand, all []Requirement, owners []int) {
	plan := &p.Supply.Plan
	loads := make([][]load, len(plan.Suppliers)) // by supplier, then job
	for s := range loads {
		loads[s] = make([]load, len(p.Jobs))
	}
	for k := range needs {
		required := make([]float64, len(p.Jobs))
		for _, i := range needs[k].lines {
			required[owners[i]] += all[i].Required.Value
		}
		p.shareMaterial(m, k, &needs[k], required, loads)
	}
	for s := range plan.Suppliers {
		p.shareDelivery(&plan.Suppliers[s], loads[s])
	}
	p.adjust()
}

// shareMaterial shares what is bought for one need.
func (p *Pool) shareMaterial(m market, k int, n *demand, required []float64, loads [][]load) {
	w := pencil{p.System, p.List.Currency}
	plan := &p.Supply.Plan
	total := float64(n.Quantity)
	kind := p.Materials[k].Required.Kind
	amount := func(v float64) estimate.Amount { return estimate.Amount{Kind: kind, Value: v} }
	parts := make([]Bought, len(p.Jobs))
	for i := range parts {
		share := required[i] / total
		cover := &plan.Covers[k]
		parts[i] = Bought{Material: n.material, Required: amount(required[i]), Bought: amount(float64(cover.Bought) * share),
			Surplus: amount(float64(cover.Surplus) * share), Mass: cover.Mass.Scale(measure.Factor(share))}
	}
	for b := range plan.Purchases {
		purchase := &plan.Purchases[b]
		if purchase.Need != k {
			continue
		}
		s := 0
		for s < len(plan.Suppliers)-1 && plan.Suppliers[s].Supplier != purchase.Supplier {
			s++
		}
		shares := money.ShareBy(purchase.Amount, required)
		for i := range parts {
			if required[i] <= 0 {
				continue
			}
			share := measure.Factor(required[i] / total)
			l := &loads[s][i]
			l.mass += purchase.Mass.Scale(share)
			l.volume += purchase.Volume.Scale(share)
			l.goods += shares[i]
			l.some = true
			parts[i].Amount += shares[i]
			j := &p.Jobs[i]
			j.Workings = append(j.Workings, estimate.Working{Label: n.material.Key + " from " + purchase.Supplier,
				Expression: w.packs(purchase, m.list.Offer(purchase.Offer)) + " = " + w.money(purchase.Amount) + ", by " + w.amount(amount(required[i])) + " of " + w.amount(amount(total)),
				Result:     w.money(shares[i])})
		}
	}
	for i := range parts {
		if required[i] > 0 {
			p.Jobs[i].Materials = append(p.Jobs[i].Materials, parts[i])
			p.Jobs[i].Goods += parts[i].Amount
		}
	}
}

// shareDelivery shares the drops or trips of one supplier by what fills them.
func (p *Pool) shareDelivery(use *supply.Use, loads []load) {
	w := pencil{p.System, p.List.Currency}
	byVolume := false
	if s, ok := p.List.Supplier(use.Supplier); ok {
		byVolume = fuller(s, use)
	}
	weights := func(of func(*load) float64) (out []float64, sum float64) {
		out = make([]float64, len(loads))
		for i := range loads {
			out[i] = of(&loads[i])
			sum += out[i]
		}
		return out, sum
	}
	by := func(l *load) float64 { return float64(l.mass) }
	text := func(l *load) string { return w.mass(l.mass) + " of " + w.mass(use.Mass) }
	if byVolume {
		by = func(l *load) float64 { return float64(l.volume) }
		text = func(l *load) string { return w.volume(l.volume) + " of " + w.volume(use.Volume) }
	}
	shares, sum := weights(by)
	if sum <= 0 { // nobody says what the goods weigh
		shares, sum = weights(func(l *load) float64 { return float64(l.goods) })
		text = func(l *load) string { return "goods of " + w.money(l.goods) + " of " + w.money(use.Goods) }
	}
	if sum <= 0 {
		shares, _ = weights(func(l *load) float64 {
			if l.some {
				return 1
			}
			return 0
		})
		text = func(*load) string { return "equal parts" }
	}
	amounts := money.ShareBy(use.Charge, shares)
	what := "delivery from "
	if use.Way == supply.PickedUp {
		what = "pick-up from "
	}
	for i := range loads {
		l := &loads[i]
		if !l.some {
			continue
		}
		j := &p.Jobs[i]
		j.Deliveries = append(j.Deliveries, DeliveryShare{Supplier: use.Supplier, Way: use.Way, Mass: l.mass, Volume: l.volume, Amount: amounts[i]})
		j.Delivery += amounts[i]
		j.Workings = append(j.Workings, estimate.Working{Label: what + use.Supplier, Expression: w.trips(use) + " " + w.money(use.Charge) + ", by " + text(l), Result: w.money(amounts[i])})
	}
}

// fuller tells whether volume fills more of a drop or trip of the supplier than mass does.
func fuller(s *Supplier, use *supply.Use) bool {
	var payload measure.Mass
	var space measure.Volume
	switch {
	case use.Way == supply.PickedUp && s.PickUp != nil:
		payload, space = s.PickUp.Payload, s.PickUp.PayloadVolume
	case s.Delivery != nil:
		payload, space = s.Delivery.Payload, s.Delivery.PayloadVolume
	}
	if space <= 0 {
		return false
	}
	return payload <= 0 || use.Volume.In(space) > use.Mass.In(payload)
}

// adjust holds every job to what it would pay alone, as far as buying together saves anything.
func (p *Pool) adjust() {
	w := pencil{p.System, p.List.Currency}
	savings := make([]money.Amount, len(p.Jobs))
	var excess money.Amount
	for i := range p.Jobs {
		j := &p.Jobs[i]
		j.Amount = j.Goods + j.Delivery
		savings[i] = j.Alone.Landed - j.Amount
		if savings[i] < 0 {
			excess -= savings[i]
		}
	}
	if excess > 0 && p.Compared && p.Saved >= 0 {
		borne := money.Share(excess, savings) // of those above zero
		for i := range p.Jobs {
			j := &p.Jobs[i]
			j.Adjustment = borne[i]
			label, expression := "part of what other jobs would pay above their own cost", w.money(excess)+", by "+w.money(max(0, savings[i]))+" saved"
			if savings[i] < 0 {
				j.Adjustment = savings[i]
				label, expression = "no job pays more than alone", w.money(j.Alone.Landed)+" - "+w.money(j.Amount)
			}
			if j.Adjustment != 0 {
				j.Workings = append(j.Workings, estimate.Working{Label: label, Expression: expression, Result: w.money(j.Adjustment)})
			}
		}
	}
	for i := range p.Jobs {
		j := &p.Jobs[i]
		expression := w.money(j.Goods) + " + " + w.money(j.Delivery)
		switch {
		case j.Adjustment > 0:
			expression += " + " + w.money(j.Adjustment)
		case j.Adjustment < 0:
			expression += " - " + w.money(-j.Adjustment)
		}
		j.Amount += j.Adjustment
		if j.Unavailable == nil {
			j.Saved = j.Alone.Landed - j.Amount
		}
		j.Workings = append(j.Workings, estimate.Working{Label: "share of " + j.Key, Expression: expression, Result: w.money(j.Amount)})
	}
}
