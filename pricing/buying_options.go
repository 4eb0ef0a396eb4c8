package pricing

import (
	"github.com/govalues/decimal"

	"bedline/estimate/measure"
	"bedline/pricing/money"
	"bedline/pricing/supply"
)

// options are what a request has the buying count or keep to beside goods and deliveries. The zero value asks for
// nothing, and the plan is that of goods and deliveries alone.
type options struct {
	// CrewTime counts the hours that it takes to unload goods and those of pick-up trips, at the hourly cost of the list:
	// those of a step of an offer and of a trip are rounded. All hours are those of one person.
	CrewTime bool
	// Tax counts the taxes of the list on materials for goods and on delivery for drops and trips.
	Tax bool
	// Surplus counts what materials left over are worth, or cost to be rid of, where the list says so.
	Surplus bool
	// WithinDays leaves out offers that take longer to come; 0 is any.
	WithinDays int
	// MostSuppliers is how many suppliers may be bought from; 0 is any number.
	MostSuppliers int
	// Hourly is what an hour of one person costs in this job; nil is what the list says.
	Hourly *decimal.Decimal
}

// hourly is what an hour of one person costs.
func (o options) hourly(l *List) decimal.Decimal {
	if o.Hourly != nil {
		return *o.Hourly
	}
	return l.HourlyCost
}

// apply puts the options into a problem of the list. What the problem shares with the list is left as it is.
func (o options) apply(l *List, p *supply.Problem) error {
	p.Limits.LeadDays, p.Limits.MaxSuppliers = o.WithinDays, o.MostSuppliers
	if o.Tax {
		p.Tax = l.buyingTax()
	}
	if o.Surplus {
		for i := range p.Needs {
			p.Needs[i].Surplus = l.surplusOf(&p.Needs[i])
		}
	}
	if o.CrewTime {
		return l.countCrew(p, o.hourly(l))
	}
	return nil
}

// surplusOf is the value of what is left of a need, in its base.
func (l *List) surplusOf(n *supply.Need) supply.Surplus {
	v := l.Surplus(n.Material)
	if v == nil {
		return supply.Surplus{}
	}
	s := supply.Surplus{Price: v.Price, Per: supply.Content(v.Per.Volume), Disposal: v.Cost}
	if v.Per.Count > 0 {
		s.Per = supply.Content(v.Per.Count)
	}
	return s
}

// buyingTax is what the taxes of the list add to goods and to deliveries, as shares to nine digits.
func (l *List) buyingTax() supply.Tax {
	share := func(of Category) decimal.Decimal {
		sum := decimal.Zero
		for _, t := range l.Taxes {
			for _, on := range t.On {
				if on != of {
					continue
				}
				// Percentages have few digits: their sum and its hundredth part are exact.
				if more, err := sum.Add(t.Percent); err == nil {
					sum = more
				}
			}
		}
		part, err := sum.Quo(decimal.Hundred)
		if err != nil {
			return decimal.Zero
		}
		return part.Round(9)
	}
	return supply.Tax{Goods: share(MaterialsCategory), Delivery: share(DeliveryCategory)}
}

// countCrew adds the crew's time to offers and pick-ups.
func (l *List) countCrew(p *supply.Problem, hourly decimal.Decimal) error {
	suppliers := make([]supply.Supplier, len(p.Suppliers))
	for i, s := range p.Suppliers {
		if from, ok := l.Supplier(s.Key); ok && s.PickUp != nil && from.PickUp != nil && from.PickUp.CrewHours > 0 {
			cost, err := l.crewCost(from.PickUp.CrewHours, hourly)
			if err != nil {
				return err
			}
			pickUp := *s.PickUp
			pickUp.Crew = cost
			s.PickUp = &pickUp
		}
		suppliers[i] = s
	}
	p.Suppliers = suppliers
	for i := range p.Needs {
		n := &p.Needs[i]
		offers := make([]supply.Offer, len(n.Offers))
		for k, o := range n.Offers {
			if from := l.Offer(o.Key); from != nil && !from.HandlingHours.IsZero() {
				cost, err := from.HandlingHours.Mul(hourly)
				if err != nil {
					return &supply.InputError{What: "offer " + o.Key, Detail: "handling out of range"}
				}
				o.Handling = cost
			}
			offers[k] = o
		}
		n.Offers = offers
	}
	return nil
}

// crewCost is what working hours cost, rounded.
func (l *List) crewCost(hours measure.Hours, hourly decimal.Decimal) (money.Amount, error) {
	h, err := decimal.NewFromFloat64(float64(hours))
	if err != nil {
		return 0, err
	}
	return l.Currency.Times(hourly, h)
}

// CrewHours are the hours of one person that the goods of a plan take to be unloaded, and the hours that its
// pick-up trips take, as far as the list says them.
func (l *List) CrewHours(p *supply.Plan) (handling decimal.Decimal, trips measure.Hours) {
	for i := range p.Purchases {
		o := l.Offer(p.Purchases[i].Offer)
		if o == nil || o.HandlingHours.IsZero() {
			continue
		}
		if hours, err := o.HandlingHours.Mul(p.Purchases[i].Count); err == nil {
			if sum, err := handling.Add(hours); err == nil {
				handling = sum
			}
		}
	}
	for i := range p.Suppliers {
		u := &p.Suppliers[i]
		if s, ok := l.Supplier(u.Supplier); ok && u.Way == supply.PickedUp && s.PickUp != nil {
			trips += measure.Hours(float64(float64(s.PickUp.CrewHours) * float64(u.Trips)))
		}
	}
	return handling, trips
}
