package pricing

import (
	"strconv"
	"strings"

	"github.com/govalues/decimal"

	"bedline/estimate"
	"bedline/estimate/measure"
	"bedline/pricing/money"
	"bedline/pricing/supply"
)

// pencil writes quantities and money of a quote for people.
type pencil struct {
	system   measure.System
	currency money.Currency
}

func (p pencil) quantity(q measure.Quantity) string {
	return measure.FormatNumber(q.Value, 3) + " " + q.Unit
}
func (p pencil) volume(v measure.Volume) string { return p.quantity(p.system.Volume(v)) }
func (p pencil) mass(m measure.Mass) string {
	q := p.system.Mass(m)
	return measure.FormatNumber(q.Value, 1) + " " + q.Unit
}
func (p pencil) money(a money.Amount) string { return p.currency.Format(a) }

// rounding names the rounding of an amount.
func (p pencil) rounding() string { return ", rounded half away from zero to " + p.currency.Format(1) }

// roundingOf names it where a price times a count needs one.
func (p pencil) roundingOf(price, count decimal.Decimal) string {
	if product, err := price.Mul(count); err == nil && product.Trim(0).Scale() <= p.currency.Digits {
		return ""
	}
	return p.rounding()
}

// purchase writes one order line: "24 bags at 4.98".
func (p pencil) purchase(b *supply.Purchase, offer *Offer, shared bool, part money.Amount) estimate.Working {
	w := estimate.Working{Label: "order from " + b.Supplier, Expression: p.packs(b, offer) + p.roundingOf(b.Price, b.Count), Result: p.money(b.Amount)}
	if shared {
		w.Label += " (bought with other lines; this line's part " + p.money(part) + ")"
	}
	return w
}

// packs writes a count of packs and their price: "24 bags of 0.5 ft3 at 4.98", "1.5 x 1 yd3 at 42".
func (p pencil) packs(b *supply.Purchase, offer *Offer) string {
	count := plain(b.Count)
	price := b.Price.String()
	content := offer.Written.String()
	switch b.Form {
	case supply.Bulk:
		return count + " x " + content + " in bulk at " + price
	case supply.Each:
		return count + " at " + price
	case supply.Roll:
		return count + plural(" roll", b.Count) + " at " + price
	}
	return count + plural(" "+b.Form.String(), b.Count) + " of " + content + " at " + price
}

func plural(word string, n decimal.Decimal) string {
	if n.Equal(decimal.One) {
		return word
	}
	return word + "s"
}

// landed writes what a plan for one material costs: packs, then the deliveries, then the sum.
func (p pencil) landed(l *List, plan *supply.Plan) string {
	var parts []string
	for i := range plan.Purchases {
		b := &plan.Purchases[i]
		parts = append(parts, p.packs(b, l.Offer(b.Offer)))
	}
	for _, u := range plan.Suppliers {
		if u.Charge == 0 {
			continue
		}
		parts = append(parts, p.trips(&u)+" "+p.money(u.Charge))
	}
	return strings.Join(parts, " + ") + " = " + p.money(plan.Landed)
}

// trips writes how often a supplier comes or is gone to: "2 drops".
func (p pencil) trips(u *supply.Use) string {
	word := " drop"
	if u.Way == supply.PickedUp {
		word = " trip"
	}
	if u.Trips != 1 {
		word += "s"
	}
	return strconv.Itoa(u.Trips) + word
}

func (p pencil) density(d measure.Density) string { return p.quantity(p.system.Density(d)) }

func (p pencil) amount(a estimate.Amount) string {
	switch a.Kind {
	case estimate.LengthAmount:
		return p.quantity(p.system.Length(measure.Length(a.Value)))
	case estimate.AreaAmount:
		return p.quantity(p.system.Area(measure.Area(a.Value)))
	case estimate.VolumeAmount:
		return p.volume(measure.Volume(a.Value))
	}
	return measure.FormatNumber(a.Value, 3)
}

// comparison says in one sentence what bags and bulk cost for what is needed, and where the one overtakes the other:
// "24 bags of 0.5 ft3 at 4.98 = 119.52; 1.5 x 1 yd3 in bulk at 42.00 + 1 drop 65.00 = 128.00; bags win up to 0.71 yd3".
func (p pencil) comparison(l *List, c *Comparison) string {
	switch bags, bulk := len(c.BagPlan.Purchases) > 0, len(c.BulkPlan.Purchases) > 0; {
	case !bags && !bulk:
		return "sold neither in bags nor in bulk"
	case !bulk:
		return p.landed(l, &c.BagPlan) + "; not sold in bulk"
	case !bags:
		return p.landed(l, &c.BulkPlan) + "; not sold in bags"
	}
	s := p.landed(l, &c.BagPlan) + "; " + p.landed(l, &c.BulkPlan) + "; "
	switch {
	case !c.Found:
		return s + "bags win up to " + p.volume(measure.Volume(c.Range)) + " and perhaps beyond"
	case c.Above <= 0:
		return s + "bulk costs no more at any quantity"
	}
	return s + "bags win up to " + p.volume(measure.Volume(c.Above)) + ", bulk costs no more just above it"
}
