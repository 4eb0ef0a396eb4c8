package supply

import (
	"slices"

	"bedline/pricing/money"
)

// TopUp is what is bought of a need when it runs short: whole packs of one offer, at once, by one trip.
type TopUp struct {
	Offer    string
	Supplier string
	Content  Content      // of a pack; above 0 where the need is not certain
	Price    money.Amount // of a pack, with its handling and tax where the problem counts them
	Trip     money.Amount // of the trip, with the crew's time
}

// QuickTopUp is the offer that a need is topped up with. Quick comes first: an offer that can be fetched before one that
// is delivered, then the fewest lead days, then one that is sold by a single step; of those the dearest per content, so
// that the cost of running short is not made little of. A pack is the least that is sold. The trip is that of the supplier
// (the fee of a drop where it can't be fetched) and crew, what the crew's time for it costs. ok is false for a need
// without offers in time. Price breaks are taken to be out of reach for the few packs of a top-up.
func QuickTopUp(p Problem, need int, crew func(supplier string) money.Amount) (t TopUp, ok bool, err error) {
	goods, okGoods := newExtra(p.Tax.Goods)
	trip, okTrip := newExtra(p.Tax.Delivery)
	if !okGoods || !okTrip {
		return TopUp{}, false, &InputError{What: "tax", Detail: "must be a share from 0 to 1"}
	}
	var best quickness
	for i := range p.Needs[need].Offers {
		o := &p.Needs[need].Offers[i]
		if days := p.Limits.LeadDays; days > 0 && o.LeadDays > days {
			continue
		}
		at := slices.IndexFunc(p.Suppliers, func(s Supplier) bool { return s.Key == o.Supplier })
		if at < 0 {
			return TopUp{}, false, &InputError{What: "offer " + o.Key, Detail: "unknown supplier " + o.Supplier}
		}
		s := &p.Suppliers[at]
		it, err := newItem(o, p.Currency, 0, goods)
		if err != nil {
			return TopUp{}, false, err
		}
		cost := it.cost(it.least)
		x := TopUp{Offer: o.Key, Supplier: o.Supplier, Content: Content(float64(it.least) * it.content), Price: money.Amount(cost + it.extra.of(cost, it.least))}
		q := quickness{fetched: s.PickUp != nil, days: o.LeadDays, single: it.least == 1}
		var charge money.Amount
		switch {
		case s.PickUp != nil:
			charge = s.PickUp.TripCost
		case s.Delivery != nil:
			charge = s.Delivery.Fee
		}
		x.Trip = charge + money.Amount(trip.of(int64(charge), 0)) + crew(o.Supplier)
		if !ok || q.before(best) || !best.before(q) && float64(x.Price)*float64(t.Content) > float64(t.Price)*float64(x.Content) {
			t, best, ok = x, q, true
		}
	}
	return t, ok, nil
}

// quickness is how soon an offer is there.
type quickness struct {
	fetched bool
	days    int
	single  bool
}

func (a quickness) before(b quickness) bool {
	switch {
	case a.fetched != b.fetched:
		return a.fetched
	case a.days != b.days:
		return a.days < b.days
	}
	return a.single && !b.single
}
