package supply

import (
	"slices"

	"bedline/estimate/measure"
)

// root is the leaf as a branch, its bound raised. It is false if the leaf has nothing better than the answer.
func (q *search) root(l *leaf) bool {
	copy(q.modes, l.modes)
	n := len(q.modes)
	b := &l.branch
	b.lows, b.highs, b.prices = l.lows, q.counts.zeroed(n), q.prices.take(n)
	if b.lows == nil {
		b.lows = q.counts.zeroed(n)
	}
	for i := range b.prices {
		b.prices[i] = noPrice
	}
	b.picks, b.base, b.values = l.picks, l.base, q.counts.take(len(l.picks))
	for j, c := range b.picks {
		b.values[j] = c.score.cost * unit
	}
	open := q.openSellers()
	b.dual = q.total(b)
	if q.priceAll(b, open) && q.hopeless(b) {
		return false
	}
	return q.raise(b, open, everyone)
}

// priceAll sets the prices of all sellers whose load may take several trips to the fee spread over a full trip, if
// that makes the bound higher. From there one price at a time gets on; from no prices it does not when several sellers
// compete for the same loads.
func (q *search) priceAll(b *branch, open uint64) bool {
	all := q.clone(b)
	priced := 0
	for _, i := range q.order {
		m := q.modes[i]
		s := &q.s.sellers[i]
		if m == closed || s.fee[m] == 0 || s.payload[m] == 0 && s.space[m] == 0 {
			continue
		}
		mass, volume := 0.0, 0.0
		for _, d := range q.demands {
			if d.sellers>>i&1 == 1 {
				x, y := d.least(q.s.items, i)
				mass += x
				volume += y
			}
		}
		byMass, byVolume := mass/s.payload[m], volume/s.space[m]
		switch {
		case s.payload[m] > 0 && byMass > 1 && (s.space[m] == 0 || byMass >= byVolume):
			all.prices[i].mass = float64(unit*s.fee[m]) / s.payload[m]
			priced++
		case s.space[m] > 0 && byVolume > 1:
			all.prices[i].volume = float64(unit*s.fee[m]) / s.space[m]
			priced++
		}
	}
	if priced < 2 {
		return false
	}
	q.revalueAll(&all, open, ^uint64(0))
	if all.dual <= b.dual {
		return false
	}
	*b = all
	return true
}

// divide finds the best plan of the branch or shows that it has none better than the answer.
func (q *search) divide(b branch, first int) {
	q.nodes++
	open := q.openSellers()
	if q.spent() || !q.raise(&b, open, first) || q.spent() {
		return
	}
	q.weigh(b.picks)
	if i, few, less := q.splitTrips(&b); i >= 0 {
		fewer, more := q.clone(&b), q.clone(&b)
		fewer.highs[i], more.lows[i] = few, few+1
		if less {
			q.divide(fewer, i)
			q.divide(more, i)
		} else {
			q.divide(more, i)
			q.divide(fewer, i)
		}
		return
	}
	if q.exactWithin(b, open) {
		return
	}
	g, demand, item, steps := q.splitItem(&b, open)
	if item >= 0 {
		q.divide(q.narrowed(&b, open, demand, stretch{item, 0, steps}), g.seller)
		q.divide(q.narrowed(&b, open, demand, stretch{item, steps + 1, never}), g.seller)
		return
	}
	if g.over && g.kind != ofGoods {
		// Nothing else can be bought for it: a price far above all shows that the load is too much.
		far := q.clone(&b)
		q.revalue(&far, open, g.seller, q.moved(&b, g, 1e4))
		if q.hopeless(&far) {
			return
		}
	}
	q.exact(b, open)
}

// splitTrips is the seller whose trips the branch is to be split by, below 0 if there is none, the most trips of the
// lower part, and whether that is the likelier.
func (q *search) splitTrips(b *branch) (seller int, few int64, less bool) {
	seller = -1
	most := -1.0
	for _, i := range q.order {
		p, low := &b.prices[i], max(1, b.lows[i])
		if q.modes[i] == closed || low == b.highs[i] {
			continue
		}
		s, m := &q.s.sellers[i], q.modes[i]
		ratio := 0.0
		byMass, byVolume := q.ratios(i, m)
		switch {
		case p.mass > 0 && p.volume > 0:
			ratio = max(byMass, byVolume)
		case p.mass > 0:
			ratio = byMass
		case p.volume > 0:
			ratio = byVolume
		default:
			// Without a price the fee is due for the fewest trips only.
			trips := s.trips(m, q.used[i].mass, q.used[i].volume)
			if trips <= low || s.fee[m] == 0 {
				continue
			}
			ratio = float64(trips) - 0.5
		}
		n := max(low, int64(measure.RoundDown(ratio)))
		if b.highs[i] > 0 {
			n = min(n, b.highs[i]-1)
		}
		over := ratio - float64(n)
		if gain := float64(float64(s.worth(m)) * max(0, min(over, 1-over))); gain > most {
			seller, few, less, most = i, n, over < 0.5, gain
		}
	}
	return seller, few, less
}

// exact solves a branch in which the trips of all sellers with a price are settled: it relaxes the others' limits,
// looks for what the relaxed plan violates, and holds it or splits on it.
func (q *search) exact(b branch, open uint64) {
	for _, i := range q.order {
		p := &b.prices[i]
		if p.mass > 0 {
			b.mass |= 1 << i
		}
		if p.volume > 0 {
			b.volume |= 1 << i
		}
		if p.weight != unit && q.holds(i) {
			b.goods |= 1 << i
		}
	}
	for !q.spent() {
		q.nodes++
		if !q.relax(&b, open) {
			return
		}
		held := b
		q.weigh(b.picks)
		for _, i := range q.order {
			m := q.modes[i]
			if m == closed {
				continue
			}
			s, u := &q.s.sellers[i], &q.used[i]
			if s.least[m] > 0 && q.holds(i) && familyGoods(s, i, q.used) < s.least[m] {
				b.goods |= 1 << i
			}
			if b.highs[i] > 0 && s.trips(m, u.mass, 0) > b.highs[i] {
				b.mass |= 1 << i
			}
			if b.highs[i] > 0 && s.trips(m, 0, u.volume) > b.highs[i] {
				b.volume |= 1 << i
			}
		}
		if b.goods == held.goods && b.mass == held.mass && b.volume == held.volume {
			break
		}
	}
	for !q.spent() {
		q.weigh(b.picks)
		q.evaluate(b.picks, b.base)
		if b.base.plus(q.charges(b.lows)).compare(q.cutoff()) > 0 {
			return
		}
		split := -1
		var trips int64
		for _, i := range q.order {
			m := q.modes[i]
			if u := &q.used[i]; m != closed && u.any {
				if trips = q.s.sellers[i].trips(m, u.mass, u.volume); trips > max(1, b.lows[i]) {
					split = i
					break
				}
			}
		}
		if split < 0 {
			return
		}
		// A count above the high can only be rounding error beyond the guard; raising the low settles it.
		if trips-1 >= max(1, b.lows[split]) && (b.highs[split] == 0 || trips <= b.highs[split]) {
			fewer := q.clone(&b)
			fewer.highs[split] = trips - 1
			for j := range q.demands {
				fewer.values[j], fewer.picks[j] = q.value(&fewer, j, open, fewer.prices)
			}
			fewer.base = score{}
			for _, c := range fewer.picks {
				fewer.base = fewer.base.plus(c.score)
			}
			q.divide(fewer, split)
		}
		b.lows = q.counts.copied(b.lows)
		b.lows[split] = trips
	}
}

// charges are the least charges of the modes with so many trips.
func (q *search) charges(lows []int64) (sum score) {
	for _, i := range q.order {
		if m := q.modes[i]; m != closed {
			n := max(1, lows[i])
			sum.cost += n * q.s.sellers[i].fee[m]
			sum.trips += n
		}
	}
	return sum
}

// dimensions are what the branch holds.
func (q *search) dimensions(b *branch) []dimension {
	dims := q.dims[:0]
	for _, i := range q.order {
		s, m := &q.s.sellers[i], q.modes[i]
		loose := func(x float64) float64 { return float64(x * float64(b.highs[i]) * (1 + 2e-9)) }
		if b.goods>>i&1 == 1 {
			dims = append(dims, dimension{i, s.family, ofGoods, -float64(s.least[m])})
		}
		if b.mass>>i&1 == 1 {
			dims = append(dims, dimension{i, 1 << i, ofMass, loose(s.payload[m])})
		}
		if b.volume>>i&1 == 1 {
			dims = append(dims, dimension{i, 1 << i, ofVolume, loose(s.space[m])})
		}
	}
	q.dims = dims
	return dims
}

// relax finds the best choice of combinations that keeps what the branch holds, and puts it into the branch. It is
// false if there is none that could be better than the answer.
func (q *search) relax(b *branch, open uint64) bool {
	charges := q.charges(b.lows)
	dims := q.dimensions(b)
	var touched uint64
	for _, d := range dims {
		touched |= d.sellers
	}
	// base is the best without the dimensions: what it leaves up to the answer is how much dearer than its best a
	// combination may be. The same at the prices.
	base := charges
	bests := q.picked.take(len(q.demands))
	for j, d := range q.demands {
		bests[j] = d.best(open)
		if len(b.limited(j)) > 0 && d.sellers&open&touched == 0 {
			// None of its sellers has a price.
			value, best := q.value(b, j, open, b.prices)
			if value >= impossible || q.spent() {
				return false
			}
			bests[j] = best
		}
		base = base.plus(bests[j].score)
	}
	most := q.cutoff().cost
	slack, pricedSlack := most-base.cost, most*unit-q.total(b)
	if slack < 0 || pricedSlack < 0 {
		return false
	}
	picks := q.picked.copied(bests)
	fixed := charges
	var stages []stage
	for j, d := range q.demands {
		if d.sellers&open&touched == 0 {
			fixed = fixed.plus(bests[j].score)
			continue
		}
		combos := q.listWithin(d, b.limited(j), open, dims, b.prices, bests[j].score.cost+slack, b.values[j]+pricedSlack)
		if q.spent() || len(combos) == 0 {
			return false
		}
		stages = append(stages, newStage(j, combos, dims, b.values[j]))
	}
	slices.SortStableFunc(stages, func(x, y stage) int { return len(x.combos) - len(y.combos) })
	last := q.chain(stages, dims, fixed, b, pricedSlack)
	if last == nil {
		return false
	}
	b.base = last.score.minus(charges)
	for k := len(stages) - 1; k >= 0; k-- {
		picks[stages[k].demand] = last.combo
		last = last.back
	}
	b.picks = picks
	return true
}

// listWithin lists the combinations of a material for the dimensions, up to a cost and a priced cost.
func (q *search) listWithin(d *demand, limits stretches, open uint64, dims []dimension, prices []price, ceiling, most int64) []combo {
	goods, other := uint64(0), uint64(0)
	for _, x := range dims {
		if x.kind == ofGoods {
			goods |= x.sellers
		} else {
			other |= x.sellers
		}
	}
	other &^= goods
	q.local = q.local[:0]
	end, freeFrom := 0, 0
	for k, set := range [...]uint64{goods & open, other & open, open &^ goods &^ other} {
		begin := len(q.local)
		for _, id := range d.items {
			if set>>q.s.items[id].seller&1 == 1 {
				q.local = append(q.local, id)
			}
		}
		q.orderBySize(q.local[begin:], prices)
		switch k {
		case 0:
			end = len(q.local)
		case 1:
			freeFrom = len(q.local)
		}
	}
	q.terms = q.priceTerms(q.terms[:0], q.local, prices)
	m := q.mix
	m.begin(q.s.items, d, q.local, q.terms, dims)
	m.limit(limits)
	m.freeFrom = freeFrom
	m.goodsEnd, m.ceiling, m.most, m.budget = end, ceiling, most, q.limit-q.nodes
	m.beyond()
	for range dims {
		m.taken = append(m.taken, 0)
	}
	m.prepare()
	m.walk(0, 0, 0, 0, 0, 0, 0)
	q.nodes += m.nodes
	if m.spent {
		q.nodes = q.limit + 1
	}
	return q.combos.combosOf(m.kept)
}
