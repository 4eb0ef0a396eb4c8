package supply

import (
	"math"
	"math/bits"
	"slices"

	"github.com/govalues/decimal"

	"bedline/estimate/measure"
	"bedline/pricing/money"
)

// item is an offer made ready: everything is per step of the count.
type item struct {
	offer   *Offer
	need    int
	seller  int
	content float64
	mass    float64
	volume  float64
	packs   int64 // 1e-9 of a count
	least   int64 // steps
	most    int64 // steps that the arithmetic holds
	tiers   []tier
	rate    float64 // least cost per content, for amounts up to the need
	slope   float64 // least cost per step
	thin    float64 // least packs per content, for amounts up to the need
	half    float64 // what rounding can take off a cost: 0 or half a minor unit
	grain   int64   // every cost is a multiple of it
	falling bool    // no break is dearer than the one before
	extra   extra
	worth   float64 // what its part of the surplus adds to the cost of a step, below zero for resale
	needed  float64 // content that limit was asked for
}

// extra is what a purchase costs beside its goods: so much for each step, and a share of the goods, rounded half away
// from zero.
type extra struct {
	step           int64
	share, divisor uint64 // share 0 is none
	rate           float64
	half           float64 // what rounding can take off it
}

func (e *extra) of(goods, steps int64) int64 {
	cost := e.step * steps
	if e.share > 0 {
		high, low := bits.Mul64(e.share, uint64(goods))
		low, carry := bits.Add64(low, e.divisor/2, 0)
		quotient, _ := bits.Div64(high+carry, low, e.divisor)
		cost += int64(quotient)
	}
	return cost
}

// newExtra is that of a share of the goods. ok is false for a share that is not from 0 to 1 or has more than 9 digits.
func newExtra(share decimal.Decimal) (e extra, ok bool) {
	share = share.Trim(0)
	if share.IsNeg() || decimal.One.Less(share) || share.Scale() > 9 {
		return extra{}, false
	}
	e = extra{share: share.Coef(), divisor: 1}
	for range share.Scale() {
		e.divisor *= 10
	}
	e.rate = float64(e.share) / float64(e.divisor)
	return e, true
}

// tier is the price from a number of steps: cost = unit x steps / divisor, rounded half away from zero.
type tier struct {
	from    int64
	unit    uint64
	divisor uint64
	price   decimal.Decimal
}

const (
	mostMoney = 1 << 40 // of a line and of a problem: eleven thousand million of a currency with cents
	mostPacks = 1 << 60
)

func (it *item) tier(steps int64) *tier {
	last := len(it.tiers) - 1
	for last > 0 && it.tiers[last].from > steps {
		last--
	}
	return &it.tiers[last]
}

// cost is the amount of the line in minor units.
func (it *item) cost(steps int64) int64 {
	t := it.tier(steps)
	if t.divisor == 1 {
		return int64(t.unit) * steps
	}
	high, low := bits.Mul64(t.unit, uint64(steps))
	low, carry := bits.Add64(low, t.divisor/2, 0)
	quotient, _ := bits.Div64(high+carry, low, t.divisor)
	return int64(quotient)
}

// cover is the least number of steps that holds the content, at least the least that is sold. The content is less its
// guard already.
func (it *item) cover(content float64) int64 {
	steps := int64(measure.RoundUp(content / it.content))
	if float64(steps)*it.content < content {
		steps++
	}
	return max(it.least, steps, 1)
}

func newItem(o *Offer, currency money.Currency, needed float64, tax extra) (item, error) {
	fault := func(detail string) (item, error) {
		return item{}, &InputError{What: "offer " + o.Key, Detail: detail}
	}
	if !(o.Content > 0) || math.IsInf(float64(o.Content), 0) {
		return fault("content must be above zero")
	}
	if !(o.Mass >= 0) || !(o.Volume >= 0) || math.IsInf(float64(o.Mass), 0) || math.IsInf(float64(o.Volume), 0) {
		return fault("mass and volume must not be negative")
	}
	if o.Price.IsNeg() || o.Increment.IsNeg() || o.Minimum.IsNeg() || o.Handling.IsNeg() {
		return fault("price, increment, minimum and handling must not be negative")
	}
	step := o.Increment
	if step.IsZero() {
		step = decimal.One
	}
	size, _ := step.Float64()
	it := item{
		offer: o, content: float64(o.Content) * size, mass: float64(o.Mass) * size, volume: float64(o.Volume) * size,
		least: 1, extra: tax,
	}
	if !o.Handling.IsZero() {
		each, err := currency.Times(o.Handling, step)
		if err != nil || each > mostMoney {
			return fault("handling out of range")
		}
		it.extra.step = int64(each)
	}
	var ok bool
	if it.packs, ok = nano(step); !ok {
		return fault("increment out of range")
	}
	if !o.Minimum.IsZero() {
		if it.least, ok = stepsFrom(o.Minimum, step); !ok {
			return fault("minimum out of range")
		}
	}
	it.tiers = make([]tier, 1, 1+len(o.Breaks))
	if it.tiers[0], ok = newTier(o.Price, step, currency); !ok {
		return fault("price has too many digits")
	}
	for i := range o.Breaks {
		b := &o.Breaks[i]
		if b.Price.IsNeg() || b.From.IsNeg() {
			return fault("a price break must not be negative")
		}
		t, ok := newTier(b.Price, step, currency)
		if !ok {
			return fault("the price of a break has too many digits")
		}
		if t.from, ok = stepsFrom(b.From, step); !ok {
			return fault("a price break is out of range")
		}
		it.tiers = append(it.tiers, t)
	}
	if len(it.tiers) > 2 {
		slices.SortStableFunc(it.tiers[1:], func(a, b tier) int { return int(min(1, max(-1, a.from-b.from))) })
	}
	return it, it.limit(needed)
}

// limit works out what depends on the needed content: the rates and how far the arithmetic holds.
func (it *item) limit(needed float64) error {
	it.half, it.grain, it.falling, it.needed = 0, 0, true, needed
	it.most = min(math.MaxInt32, mostPacks/max(1, it.packs), mostMoney/(it.extra.step+1))
	for i := range it.tiers {
		t := &it.tiers[i]
		if per := int64(t.unit / t.divisor); per > 0 {
			it.most = min(it.most, mostMoney/(per+1))
		}
	}
	if it.worth != 0 {
		it.most = min(it.most, int64(measure.RoundDown(mostMoney/(math.Abs(it.worth)+1))))
	}
	if it.cover(needed-float64(1e-9*max(1, needed))) > it.most {
		return &InputError{What: "offer " + it.offer.Key, Detail: "far too small or too dear for the need"}
	}
	it.rate, it.slope = math.Inf(1), math.Inf(1)
	for i := range it.tiers {
		t := &it.tiers[i]
		if i > 0 {
			before := &it.tiers[i-1]
			high, low := bits.Mul64(t.unit, before.divisor)
			high2, low2 := bits.Mul64(before.unit, t.divisor)
			if high > high2 || high == high2 && low > low2 {
				it.falling = false
			}
		}
		start := max(t.from, it.least)
		if i+1 < len(it.tiers) && start >= it.tiers[i+1].from || start > it.most {
			continue
		}
		if t.divisor != 1 {
			it.half = 0.5
			it.grain = 1
		} else if it.grain != 1 {
			it.grain = gcd(it.grain, int64(t.unit))
		}
		perStep := float64(t.unit) / float64(t.divisor)
		it.slope = min(it.slope, perStep)
		rate := perStep / it.content
		if held := float64(start) * it.content; held > needed {
			rate = float64(start) * perStep / needed
		}
		it.rate = min(it.rate, rate)
	}
	it.grain = max(it.grain, 1)
	if it.worth < 0 {
		// What a pack holds beyond the need is not lost.
		it.rate = it.slope / it.content
	}
	it.extra.half = 0
	if it.extra.share > 0 {
		it.extra.half = 0.5 + float64(it.extra.rate*it.half)
	}
	it.thin = float64(it.packs) / it.content
	if held := float64(it.least) * it.content; held > needed {
		it.thin = float64(it.packs) * float64(it.least) / needed
	}
	return nil
}

func newTier(price, step decimal.Decimal, currency money.Currency) (tier, bool) {
	exact, stepExact := price.Trim(0), step.Trim(0)
	high, unit := bits.Mul64(exact.Coef(), stepExact.Coef())
	if high != 0 {
		return tier{}, false
	}
	divisor := uint64(1)
	digits := exact.Scale() + stepExact.Scale() - currency.Digits
	for ; digits > 0; digits-- {
		if unit%10 == 0 {
			unit /= 10
			continue
		}
		if divisor > 1e17 {
			return tier{}, false
		}
		divisor *= 10
	}
	for ; digits < 0; digits++ {
		if high, unit = bits.Mul64(unit, 10); high != 0 {
			return tier{}, false
		}
	}
	if unit/divisor > mostMoney {
		return tier{}, false
	}
	return tier{unit: unit, divisor: divisor, price: price}, true
}

// stepsFrom is the least number of steps whose count is not below d.
func stepsFrom(d, step decimal.Decimal) (int64, bool) {
	quotient, rest, err := d.QuoRem(step)
	if err != nil {
		return 0, false
	}
	whole, _, ok := quotient.Int64(0)
	if !ok || whole > math.MaxInt32 {
		// Never reached: further than any purchase goes.
		return math.MaxInt32, true
	}
	if rest.IsPos() {
		whole++
	}
	return whole, true
}

// nano is d in billionths; what is finer is dropped.
func nano(d decimal.Decimal) (int64, bool) {
	d = d.Trunc(9)
	coefficient := d.Coef()
	for scale := d.Scale(); scale < 9; scale++ {
		high, low := bits.Mul64(coefficient, 10)
		if high != 0 {
			return 0, false
		}
		coefficient = low
	}
	return int64(coefficient), coefficient > 0 && coefficient < mostPacks
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// betterThan says that any purchase of b beside or in place of it is no better than as many more of it, at the terms:
// the same content and steps, never dearer, no rounding to be gained, and first in order of keys unless cheaper
// throughout.
func (it *item) betterThan(b *item, mine, theirs term, first bool) bool {
	if it.extra.share != 0 || b.extra.share != 0 || it.extra.step > b.extra.step {
		return false
	}
	if it.content != b.content || it.packs != b.packs || it.half != 0 || b.half != 0 || !it.falling || it.least > b.least {
		return false
	}
	equal := false
	dearer := func(from int64) bool {
		x := int64(it.tier(from).unit)*mine.weight + mine.load
		y := int64(b.tier(from).unit)*theirs.weight + theirs.load
		equal = equal || x == y
		return x > y
	}
	for i := range it.tiers {
		if dearer(it.tiers[i].from) {
			return false
		}
	}
	for i := range b.tiers {
		if dearer(b.tiers[i].from) {
			return false
		}
	}
	return first || !equal
}
