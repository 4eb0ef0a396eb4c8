package pricing

import (
	"strconv"

	"github.com/govalues/decimal"

	"bedline/estimate"
	"bedline/estimate/measure"
	"bedline/pricing/money"
	"bedline/pricing/supply"
)

// form is an offer's form in the words of the optimiser.
func form(f Form) supply.Form {
	switch f {
	case Bag:
		return supply.Bag
	case Bulk:
		return supply.Bulk
	case Pallet:
		return supply.Pallet
	case Roll:
		return supply.Roll
	case Tub:
		return supply.Tub
	default:
		return supply.Each
	}
}

// buying is what a list offers, in the words of the optimiser.
type buying struct {
	suppliers []supply.Supplier
	offers    map[string][]supply.Offer // by material; looked up only
}

func (l *List) forBuying() buying {
	b := buying{suppliers: l.supplySuppliers(), offers: make(map[string][]supply.Offer, len(l.offers))}
	for material := range l.offers {
		b.offers[material] = l.supplyOffers(material)
	}
	return b
}

// supplyOffers are the offers of a material for the optimiser.
func (l *List) supplyOffers(material string) []supply.Offer {
	offers := l.OffersFor(material)
	out := make([]supply.Offer, 0, len(offers))
	for i := range offers {
		o := &offers[i]
		content := supply.Content(o.Content.Volume)
		if o.Content.Count > 0 {
			content = supply.Content(o.Content.Count)
		}
		s := supply.Offer{Key: o.Key, Supplier: o.Supplier, Form: form(o.Form), Content: content, Mass: o.Content.Mass, Volume: o.Content.Volume,
			Price: o.Price, Increment: o.StepContents, Minimum: steps(o, o.LeastSteps), LoadWith: o.LoadWith, LeadDays: o.LeadDays}
		for _, b := range o.Breaks {
			s.Breaks = append(s.Breaks, supply.Break{From: steps(o, b.Steps), Price: b.Price})
		}
		out = append(out, s)
	}
	return out
}

// steps is a number of steps as a count of contents; a list whose counts overflow is refused when it is compiled.
func steps(o *Offer, n int) decimal.Decimal {
	d, err := o.Contents(n)
	if err != nil {
		return decimal.Zero
	}
	return d
}

// supplySuppliers are the suppliers for the optimiser.
func (l *List) supplySuppliers() []supply.Supplier {
	out := make([]supply.Supplier, 0, len(l.Suppliers))
	for i := range l.Suppliers {
		s := &l.Suppliers[i]
		to := supply.Supplier{Key: s.Key, MinimumOrder: s.MinimumOrder}
		if d := s.Delivery; d != nil {
			to.Delivery = &supply.Delivery{Fee: d.Fee, Payload: d.Payload, PayloadVolume: d.PayloadVolume}
			switch {
			case d.FreeFrom == nil:
			case *d.FreeFrom == 0:
				to.Delivery.Fee = 0 // free from the first cent; the optimiser takes 0 for never
			default:
				to.Delivery.FreeFrom = *d.FreeFrom
			}
		}
		if p := s.PickUp; p != nil {
			to.PickUp = &supply.PickUp{TripCost: p.TripCost, Payload: p.Payload, PayloadVolume: p.PayloadVolume}
		}
		out = append(out, to)
	}
	return out
}

// materialLines makes a line of each line of the takeoff, with its part of what is bought, and a line of each supply
// trip.
func (q *Quote) materialLines(needs []demand) {
	p := pencil{q.Job.System, q.List.Currency}
	lines := make([]Line, len(q.Takeoff.Lines))
	for i := range q.Takeoff.Lines {
		m := &q.Takeoff.Lines[i]
		lines[i] = Line{Key: m.Key, Category: MaterialsCategory, Description: m.Material.Name, Material: m, Workings: m.Workings}
	}
	for k := range needs {
		n := &needs[k]
		weights := make([]float64, len(n.lines))
		for w, i := range n.lines {
			weights[w] = q.Takeoff.Lines[i].Required.Value
			lines[i].Shared = len(n.lines) > 1
		}
		cover := q.Supply.Plan.Covers[k]
		for w, i := range n.lines {
			part := 1.0
			if len(weights) > 1 {
				part = weights[w] / float64(n.Quantity)
			}
			lines[i].Surplus = float64(cover.Surplus) * part
			lines[i].Mass = cover.Mass.Scale(measure.Factor(part))
		}
		for _, purchase := range q.Supply.Plan.Purchases {
			if purchase.Need != k {
				continue
			}
			offer := q.List.Offer(purchase.Offer)
			parts := money.ShareBy(purchase.Amount, weights)
			for w, i := range n.lines {
				l := &lines[i]
				l.Orders = append(l.Orders, Order{Offer: offer, Supplier: purchase.Supplier, Count: purchase.Count, Price: purchase.Price, Amount: parts[w]})
				l.Amount += parts[w]
				l.Workings = append(l.Workings, p.purchase(&purchase, offer, l.Shared, parts[w]))
			}
		}
	}
	q.Lines = append(q.Lines, lines...)
	for _, use := range q.Supply.Plan.Suppliers {
		name := use.Supplier
		if s, ok := q.List.Supplier(use.Supplier); ok {
			name = s.Name
		}
		word, what := "drop", "Delivery from "
		if use.Way == supply.PickedUp {
			word, what = "trip", "Pick-up from "
		}
		if use.Trips != 1 {
			word += "s"
		}
		q.Lines = append(q.Lines, Line{Key: estimate.Delivery, Category: DeliveryCategory, Supplier: use.Supplier, Mass: use.Mass,
			Description: what + name, Amount: use.Charge,
			Workings: []estimate.Working{{Label: what + name, Expression: strconv.Itoa(use.Trips) + " " + word + " for " + p.mass(use.Mass) + " and goods of " + p.money(use.Goods),
				Result: p.money(use.Charge)}}})
	}
}

// Offer finds an offer by its key.
func (l *List) Offer(key string) *Offer {
	i, ok := l.numbers[key]
	if !ok {
		return nil
	}
	return &l.Offers[i]
}
