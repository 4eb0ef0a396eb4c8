package supply

import (
	"math"
	"math/bits"

	"github.com/govalues/decimal"

	"bedline/estimate/measure"
	"bedline/pricing/money"
)

// Surplus is what is left of a material is worth: Price for so much content as Per says, got for it (resale) or paid to be
// rid of it (Disposal). A Price of zero is nothing.
//
// The value of a need's surplus is rounded once, halves away from zero: the surplus as a multiple of Per is taken to the
// nearest billionth, which no rounding error of the content reaches, and times the price that is exact.
type Surplus struct {
	Price    decimal.Decimal
	Per      Content // above 0 where there is a price
	Disposal bool
}

// valuation is the value of the surplus of a demand made ready.
type valuation struct {
	quantity float64
	per      float64
	unit     uint64 // minor units of Per times divisor/1e9
	divisor  uint64
	rate     float64 // what a unit of content adds to the cost, below zero for resale
	slack    float64 // what the value may differ from that beyond its rounding
	loose    bool    // rounding may make a step more than needed cheaper
}

func newValuation(n *Need, currency money.Currency) (*valuation, error) {
	s := &n.Surplus
	if s.Price.IsZero() || !(n.Quantity > 0) {
		return nil, nil
	}
	fault := func(detail string) (*valuation, error) {
		return nil, &InputError{What: "surplus of " + n.Material, Detail: detail}
	}
	if s.Price.IsNeg() || !(s.Per > 0) || math.IsInf(float64(s.Per), 0) {
		return fault("needs a content above zero and no negative price")
	}
	t, ok := newTier(s.Price, decimal.One, currency)
	if !ok || t.divisor > 1e9 {
		return fault("price has too many digits")
	}
	v := &valuation{quantity: float64(n.Quantity), per: float64(s.Per), unit: t.unit, divisor: t.divisor * 1e9}
	price := float64(t.unit) / float64(t.divisor)
	v.rate = price / v.per
	if float64(v.rate*v.quantity) > mostMoney || v.quantity/v.per > 1e9 {
		return fault("value out of range")
	}
	v.slack = 1e-6 + float64(1e-9*price) + float64(1e-9*v.rate*max(1, v.quantity))
	if !s.Disposal {
		v.rate = -v.rate
	}
	return v, nil
}

// cost is what the surplus of a content adds to the cost; below zero for resale. Content is to be summed in order of items.
func (v *valuation) cost(content float64) int64 {
	if v == nil || content <= v.quantity {
		return 0
	}
	billionths := uint64(math.Round(min((content-v.quantity)/v.per*1e9, 1<<62)))
	high, low := bits.Mul64(v.unit, billionths)
	low, carry := bits.Add64(low, v.divisor/2, 0)
	if high += carry; high >= v.divisor {
		high = v.divisor - 1
	}
	quotient, _ := bits.Div64(high, low, v.divisor)
	cost := int64(min(quotient, never))
	if v.rate < 0 {
		return -cost
	}
	return cost
}

// least bounds what the surplus adds to the cost when a content is bought so far and what more is bought is counted with
// its part of it.
func (v *valuation) least(content, target float64) int64 {
	if content >= target {
		return int64(measure.RoundUp(float64(v.rate*max(0, content-v.quantity)) - 0.5 - v.slack))
	}
	return below(float64(v.rate*(content-v.quantity)) - 0.5 - v.slack)
}

// below is a whole number not above x, without the guard of counts, which would lift a large x.
func below(x float64) int64 { return int64(measure.RoundDown(x - float64(2e-9*math.Abs(x)))) }

// value gives the item its part of the value of surplus. Selling what is left must bring less than it costs, or to buy
// without end would be cheapest.
func (it *item) value(v *valuation, material string, sold bool) error {
	it.worth = float64(v.rate * it.content)
	if err := it.limit(it.needed); err != nil || v.rate > 0 {
		return err
	}
	if sold && -it.worth >= it.plain()*(1-1e-9) {
		return &InputError{What: "surplus of " + material, Detail: "resale brings no less than offer " + it.offer.Key + " costs"}
	}
	// A step more costs at least what is whole of its price, and brings at most what it is worth rounded up.
	price := int64(measure.RoundDown(it.slope))
	if price+it.extra.step+int64(measure.RoundDown(float64(it.extra.rate*float64(price)))) < int64(measure.RoundUp(-it.worth)) {
		v.loose = true
	}
	return nil
}

// part bounds what the surplus adds, in the costs that the mixer ranks by and in fine units.
func (m *mixer) part(content float64) (cost, priced int64) {
	v := m.demand.value
	if v == nil {
		return 0, 0
	}
	cost = v.least(content, m.demand.target)
	priced = unit * cost
	if m.only() {
		cost = priced
	}
	return cost, priced
}

// surplusOf is what the surplus adds to the cost of the lines, which are in order of items.
func (d *demand) surplusOf(items []item, lines []line) int64 {
	if d.value == nil {
		return 0
	}
	content := 0.0
	for _, l := range lines {
		content += float64(float64(l.steps) * items[l.item].content)
	}
	return d.value.cost(content)
}

// leastWeight is the least weight of the goods of a seller at which buying more is never cheaper at the prices than
// selling it again.
func (q *search) leastWeight(seller int) (least int64) {
	family := q.s.sellers[seller].family
	for _, d := range q.demands {
		if d.value == nil || d.value.rate > 0 {
			continue
		}
		for _, id := range d.items {
			it := &q.s.items[id]
			if family>>it.seller&1 == 0 {
				continue
			}
			beside := float64(it.extra.rate*it.slope) + float64(it.extra.step) + it.worth
			if beside < 0 {
				least = max(least, int64(measure.RoundUp(-beside/it.slope*unit))+1)
			}
		}
	}
	return min(least, unit)
}
