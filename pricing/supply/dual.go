package supply

import (
	"math/bits"
	"slices"

	"bedline/estimate/measure"
)

// price is what a branch asks for the load of a seller, so that the materials can be looked at one by one: fine units
// per kg and per m3, and the weight of its goods, of unit (below it, goods are wanted to reach a threshold).
//
// For any prices the sum of the cheapest combinations of all materials at them, plus what the limits of the branch
// take back, is not above the cost of any plan of the branch (Lagrangian relaxation).
type price struct {
	mass, volume float64
	weight       int64
}

var noPrice = price{weight: unit}

// branch is a part of a leaf: the trips of each seller lie between low and high.
type branch struct {
	lows, highs []int64 // highs: 0 is any number
	prices      []price
	dual        int64    // bound of the branch in fine units
	values      []int64  // of each demand at the prices
	picks       []*combo // of each demand at the prices, or of the relaxation
	base        score    // of the picks
	mass        uint64   // sellers whose mass is held to the high trips
	volume      uint64
	goods       uint64      // sellers whose goods are held to what the mode asks for
	limits      []stretches // of each demand; nil if there are none
}

// limited are the stretches of a demand.
func (b *branch) limited(j int) stretches {
	if b.limits == nil {
		return nil
	}
	return b.limits[j]
}

func (q *search) clone(b *branch) branch {
	c := *b
	c.lows, c.highs, c.prices = q.counts.copied(b.lows), q.counts.copied(b.highs), q.prices.copied(b.prices)
	c.values, c.picks = q.counts.copied(b.values), q.picked.copied(b.picks)
	return c
}

// openSellers are those that the modes don't close.
func (q *search) openSellers() (open uint64) {
	for _, i := range q.order {
		if q.modes[i] != closed {
			open |= 1 << i
		}
	}
	return open
}

// remembered is the cheapest combination of a demand from some sellers at their prices.
type remembered struct {
	sellers uint64
	limits  stretches
	prices  []price // of the sellers, in order
	value   int64
	combo   *combo
}

// mostRemembered is how much is kept of each demand. The same prices come up in many leaves, since all begin with the fee
// spread over a full trip.
const mostRemembered = 64

// value is the cheapest combination of demand j at the prices, looked up if it has been found before.
func (q *search) value(b *branch, j int, open uint64, prices []price) (int64, *combo) {
	d, limits := q.demands[j], b.limited(j)
	sellers := d.sellers & open
	for i := range q.memory[j] {
		m := &q.memory[j][i]
		if m.sellers == sellers && slices.Equal(m.limits, limits) && samePrices(m, prices) {
			q.nodes++
			return m.value, m.combo
		}
	}
	value, c := q.newValue(d, limits, open, prices)
	if !q.spent() && len(q.memory[j]) < mostRemembered {
		m := remembered{sellers: sellers, limits: limits, value: value, combo: c, prices: q.prices.take(bits.OnesCount64(sellers))[:0]}
		for rest := sellers; rest != 0; rest &= rest - 1 {
			m.prices = append(m.prices, prices[bits.TrailingZeros64(rest)])
		}
		q.memory[j] = append(q.memory[j], m)
	}
	return value, c
}

func samePrices(m *remembered, prices []price) bool {
	k := 0
	for rest := m.sellers; rest != 0; rest &= rest - 1 {
		if m.prices[k] != prices[bits.TrailingZeros64(rest)] {
			return false
		}
		k++
	}
	return true
}

func (q *search) newValue(d *demand, limits stretches, open uint64, prices []price) (int64, *combo) {
	plain := len(limits) == 0
	for _, i := range q.order {
		if d.sellers&open>>i&1 == 1 && prices[i] != noPrice {
			plain = false
		}
	}
	if plain {
		best := d.best(open)
		return best.score.cost * unit, best
	}
	q.local = q.local[:0]
	for _, id := range d.items {
		if open>>q.s.items[id].seller&1 == 1 {
			q.local = append(q.local, id)
		}
	}
	q.orderBySize(q.local, prices)
	q.terms = q.priceTerms(q.terms[:0], q.local, prices)
	found := q.mix.cheapest(d, q.s.items, q.local, q.terms, limits, q.limit-q.nodes)
	q.nodes += q.mix.nodes
	if found == nil {
		if !q.mix.spent {
			return impossible, d.best(open)
		}
		q.nodes = q.limit + 1
		return 0, d.best(open)
	}
	c := q.combos.copied(found)
	value := c.score.cost
	c.score.cost = 0
	for i := range c.lines {
		c.score.cost += q.s.payable(&c.lines[i])
	}
	c.score.cost += d.surplusOf(q.s.items, c.lines)
	return value, c
}

// orderBySize sorts items by the content of a step, the largest first, and those of one content by their rates at the
// prices. A large pack is bought in few numbers of steps, and what the numbers of the large ones leave is covered by the
// small ones, so that few combinations are tried.
func (q *search) orderBySize(local []int32, prices []price) {
	rate := func(id int32) float64 {
		it := &q.s.items[id]
		p := &prices[it.seller]
		return float64(float64(p.weight)*it.rate) + (float64(p.mass*it.mass)+float64(p.volume*it.volume))/it.content
	}
	before := func(a, b int32) bool {
		if x, y := q.s.items[a].content, q.s.items[b].content; x != y {
			return x > y
		}
		return rate(a) < rate(b)
	}
	// Few and nearly in order.
	for i := 1; i < len(local); i++ {
		for k := i; k > 0 && before(local[k], local[k-1]); k-- {
			local[k], local[k-1] = local[k-1], local[k]
		}
	}
}

// priceTerms are what the items cost at the prices, never more than that.
func (q *search) priceTerms(terms []term, local []int32, prices []price) []term {
	for _, id := range local {
		it := &q.s.items[id]
		p := &prices[it.seller]
		t := term{weight: p.weight}
		if load := float64(p.mass*it.mass) + float64(p.volume*it.volume); load > 1 {
			t.load = int64(measure.RoundUp(load)) - 1
		}
		terms = append(terms, t)
	}
	return terms
}

// total is the bound of the branch at its prices and values.
func (q *search) total(b *branch) int64 {
	sum := int64(0)
	for _, v := range b.values {
		sum += v
	}
	for _, i := range q.order {
		m := q.modes[i]
		if m == closed {
			continue
		}
		s, p := &q.s.sellers[i], &b.prices[i]
		if p.weight != unit && q.holds(i) {
			sum += (unit - p.weight) * s.least[m]
		}
		low := max(1, b.lows[i])
		if p.mass == 0 && p.volume == 0 {
			sum += unit * s.fee[m] * low
			continue
		}
		// A trip more costs the fee and takes back the price of its payload, a little more of it for the guard.
		const guarded = 1 + 2e-9
		trip := float64(unit*s.fee[m]) - float64(p.mass*s.payload[m]*guarded) - float64(p.volume*s.space[m]*guarded)
		n := low
		if trip < 0 {
			n = b.highs[i]
			if n == 0 {
				// Any number of trips: the price is the fee but for rounding.
				trip, n = 0, 1
			}
		}
		sum += int64(measure.RoundUp(float64(trip*float64(n)))) - 1
	}
	return sum
}

// revalue sets the price of a seller and brings the branch up to date.
func (q *search) revalue(b *branch, open uint64, seller int, p price) {
	changed := uint64(1) << seller
	if b.prices[seller].weight != p.weight {
		changed = q.s.sellers[seller].family
	}
	q.setPrice(b.prices, seller, p)
	q.revalueAll(b, open, changed)
}

// setPrice sets the price of a seller. The weight of goods is that of all its family.
func (q *search) setPrice(prices []price, seller int, p price) {
	prices[seller] = p
	for rest := q.s.sellers[seller].family &^ (1 << seller); rest != 0; rest &= rest - 1 {
		prices[bits.TrailingZeros64(rest)].weight = p.weight
	}
}

// holds says that the amount of goods which the mode of an open seller asks for is kept with it: it is the first of its
// family that is open.
func (q *search) holds(i int) bool {
	for rest := q.s.sellers[i].family & (1<<i - 1); rest != 0; rest &= rest - 1 {
		if q.modes[bits.TrailingZeros64(rest)] != closed {
			return false
		}
	}
	return true
}

// revalueAll brings the branch up to date after the prices of the sellers have changed.
func (q *search) revalueAll(b *branch, open, changed uint64) {
	for j, d := range q.demands {
		if d.sellers&open&changed != 0 {
			b.values[j], b.picks[j] = q.value(b, j, open, b.prices)
		}
	}
	b.base = score{}
	for _, c := range b.picks {
		b.base = b.base.plus(c.score)
	}
	b.dual = q.total(b)
	q.weigh(b.picks)
	q.evaluate(b.picks, b.base)
}

// raised and everyone stand for the seller that raise begins with.
const (
	everyone = -1
	raised   = -2
)

// How many prices of one seller are looked at in turn: in a leaf, and in its parts, whose prices begin where those of the
// whole ended, so that more of them take longer than they save.
const (
	triesInLeaf = 6
	triesInPart = 3
)

// raise looks for prices that make the bound of the branch high, one seller after the other. It is false if the bound
// shows that the branch has nothing better than the answer. The first round is of one seller only if first is not below 0;
// the bound is taken as it is if first is raised.
func (q *search) raise(b *branch, open uint64, first int) bool {
	if first == raised {
		return !q.hopeless(b)
	}
	tries := triesInPart
	if first == everyone {
		tries = triesInLeaf
	}
	b.dual = q.total(b)
	for round := 0; round < 3; round++ {
		before := b.dual
		for _, i := range q.order {
			if round == 0 && first >= 0 && i != first {
				continue
			}
			if q.hopeless(b) {
				return false
			}
			m := q.modes[i]
			if m == closed || q.spent() {
				continue
			}
			s := &q.s.sellers[i]
			q.weigh(b.picks)
			if s.least[m] > 0 && q.holds(i) && (familyGoods(s, i, q.used) < s.least[m] || b.prices[i].weight != unit) {
				least := q.leastWeight(i)
				q.seek(b, open, i, tries, func(x float64) price {
					p := b.prices[i]
					p.weight = max(least, unit-int64(measure.RoundDown(float64(x*unit))))
					return p
				}, func() float64 { return float64(s.least[m]-familyGoods(s, i, q.used)) * unit }, 0, 1, 0.5)
			}
			if s.fee[m] == 0 && b.highs[i] == 0 || s.payload[m] == 0 && s.space[m] == 0 {
				continue
			}
			q.seekTrip(b, open, i, tries)
		}
		if b.dual-before < max(unit, (q.cutoff().cost*unit-b.dual)/16) {
			break
		}
	}
	return !q.hopeless(b)
}

func (q *search) hopeless(b *branch) bool { return b.dual > q.cutoff().cost*unit }

// seekTrip looks for the best price of the trips of a seller, then for how it is shared between mass and volume.
func (q *search) seekTrip(b *branch, open uint64, i, tries int) {
	m := q.modes[i]
	s, p := &q.s.sellers[i], &b.prices[i]
	low, high := float64(max(1, b.lows[i])), float64(b.highs[i])
	byMass, byVolume := q.ratios(i, m)
	share := 0.0 // of the volume
	whole := float64(p.mass*s.payload[m]) + float64(p.volume*s.space[m])
	switch {
	case whole > 0:
		share = float64(p.volume*s.space[m]) / whole
	case max(byMass, byVolume) <= low*(1+1e-9):
		return
	case byVolume > byMass:
		share = 1
	}
	shared := func(whole, share float64) price {
		p := price{weight: p.weight}
		if s.payload[m] > 0 {
			p.mass = float64(whole*(1-share)) / s.payload[m]
		}
		if s.space[m] > 0 {
			p.volume = float64(whole*share) / s.space[m]
		}
		return p
	}
	fee, per, top := float64(unit*s.fee[m]), float64(unit*s.worth(m)), 1.0
	if high > 0 {
		top = 64
	}
	q.seek(b, open, i, tries, func(x float64) price { return shared(float64(x*per), share) }, func() float64 {
		byMass, byVolume := q.ratios(i, m)
		ratio := float64((1-share)*byMass) + float64(share*byVolume)
		switch x := float64(p.mass*s.payload[m]) + float64(p.volume*s.space[m]); {
		case x < fee*(1-1e-9) || x <= fee*(1+1e-9) && ratio < low:
			return per * (ratio - low)
		case x > fee*(1+1e-9) || high > 0 && ratio > high:
			return per * (ratio - high)
		}
		return 0
	}, 0, top, 1)
	if s.payload[m] == 0 || s.space[m] == 0 || q.spent() || q.hopeless(b) {
		return
	}
	whole = float64(p.mass*s.payload[m]) + float64(p.volume*s.space[m])
	q.weigh(b.picks)
	byMass, byVolume = q.ratios(i, m)
	if least := max(low, high); whole == 0 || byMass <= least && byVolume <= least || share == 0 && byVolume <= byMass || share == 1 && byMass <= byVolume {
		return
	}
	q.seek(b, open, i, tries, func(x float64) price { return shared(whole, x) }, func() float64 {
		byMass, byVolume := q.ratios(i, m)
		return whole * (byVolume - byMass)
	}, 0, 1, 0.5)
}

// ratios are the load of the seller, as weighed, in trips by mass and by volume.
func (q *search) ratios(i int, m mode) (byMass, byVolume float64) {
	s, u := &q.s.sellers[i], &q.used[i]
	if s.payload[m] > 0 {
		byMass = u.mass / s.payload[m]
	}
	if s.space[m] > 0 {
		byVolume = u.volume / s.space[m]
	}
	return byMass, byVolume
}

// saved is the best that seek has found, beside the values and picks that the search keeps.
type saved struct {
	price price
	dual  int64
	base  score
}

// seek looks for the best price of one seller, the multiple of a unit price between low and high, by halving. The bound
// is concave in it; slope is what it rises by. The branch is left at the best found.
func (q *search) seek(b *branch, open uint64, i, rounds int, at func(float64) price, slope func() float64, low, high, first float64) {
	best := saved{price: b.prices[i], dual: b.dual, base: b.base}
	q.savedValues = append(q.savedValues[:0], b.values...)
	q.savedPicks = append(q.savedPicks[:0], b.picks...)
	x, triedNone := first, false
	for range rounds {
		if p := at(x); p != b.prices[i] {
			q.revalue(b, open, i, p)
		} else {
			q.weigh(b.picks)
		}
		if b.dual > best.dual {
			best = saved{price: b.prices[i], dual: b.dual, base: b.base}
			copy(q.savedValues, b.values)
			copy(q.savedPicks, b.picks)
		}
		if q.spent() || q.hopeless(b) {
			break
		}
		rise := slope()
		gain := 0.0
		switch {
		case rise > 0:
			gain = float64(rise * (high - x))
			low = x
		case rise < 0:
			gain = float64(rise * (low - x))
			high = x
		}
		// No price does better than that.
		if float64(b.dual)+gain < float64(best.dual)+max(unit, float64(q.cutoff().cost*unit-best.dual)/16) {
			break
		}
		if low == 0 && high == x && !triedNone {
			x, triedNone = 0, true
		} else if high > 4*max(low, 0.25) {
			x = 2 * max(low, 0.25)
		} else {
			x = (low + high) / 2
		}
	}
	b.dual, b.base = best.dual, best.base
	q.setPrice(b.prices, i, best.price)
	copy(b.values, q.savedValues)
	copy(b.picks, q.savedPicks)
}
