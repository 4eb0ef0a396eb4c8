package supply

import (
	"math"
	"slices"

	"bedline/estimate/measure"
)

// stretch holds the steps of an item between two numbers.
type stretch struct {
	item      int32
	low, high int64
}

// stretches are those of one demand, in the order in which they were made; an item's last one holds.
type stretches []stretch

// of is how many steps of the item may be bought.
func (list stretches) of(item int32) (low, high int64) {
	for i := len(list) - 1; i >= 0; i-- {
		if list[i].item == item {
			return list[i].low, list[i].high
		}
	}
	return 0, never
}

// impossible is the value of a demand that its stretches leave uncovered.
const impossible = 1 << 56

// effort is how many nodes are spent on going through a branch before it is split once more.
const effort = 1000

// exactWithin is exact with a limit of work of its own. It is false if that was spent.
func (q *search) exactWithin(b branch, open uint64) bool {
	limit := q.limit
	q.limit = min(limit, q.nodes+effort)
	q.exact(b, open)
	done := !q.spent()
	q.limit = limit
	return done || q.spent()
}

// gap is where the picks of a branch break what it asks for, or leave what is paid for.
type gap struct {
	seller int
	kind   dimensionKind
	over   bool // the load is too much, or the goods too few
	size   float64
}

// widest is the largest gap, false if there is none.
func (q *search) widest(b *branch) (g gap, ok bool) {
	q.weigh(b.picks)
	note := func(seller int, kind dimensionKind, over bool, size float64) {
		if size > 1e-7 && (!ok || over && !g.over || over == g.over && size > g.size) {
			g, ok = gap{seller, kind, over, size}, true
		}
	}
	for _, i := range q.order {
		m := q.modes[i]
		if m == closed {
			continue
		}
		s, u, p := &q.s.sellers[i], &q.used[i], &b.prices[i]
		if s.least[m] > 0 && q.holds(i) {
			short := 1 - float64(familyGoods(s, i, q.used))/float64(s.least[m])
			note(i, ofGoods, true, short)
			if p.weight != unit {
				note(i, ofGoods, false, -short)
			}
		}
		load := func(kind dimensionKind, amount, payload, price float64) {
			if payload == 0 {
				return
			}
			if b.highs[i] > 0 {
				note(i, kind, true, amount/(payload*float64(b.highs[i]))-1)
			}
			if price > 0 {
				note(i, kind, false, 1-amount/(payload*float64(max(1, b.lows[i]))))
			}
		}
		load(ofMass, u.mass, s.payload[m], p.mass)
		load(ofVolume, u.volume, s.space[m], p.volume)
	}
	return g, ok
}

// about are the sellers whose goods or loads make the gap.
func (q *search) about(g gap) uint64 {
	if g.kind == ofGoods {
		return q.s.sellers[g.seller].family
	}
	return 1 << g.seller
}

// takes is what a combination takes of what the gap is about.
func (q *search) takes(g gap, l line) float64 {
	it := &q.s.items[l.item]
	if q.about(g)>>it.seller&1 == 0 {
		return 0
	}
	switch g.kind {
	case ofMass:
		return float64(float64(l.steps) * it.mass)
	case ofVolume:
		return float64(float64(l.steps) * it.volume)
	}
	return float64(l.cost)
}

// moved is the price that answers the gap, by a factor.
func (q *search) moved(b *branch, g gap, factor float64) price {
	s, m, p := &q.s.sellers[g.seller], q.modes[g.seller], b.prices[g.seller]
	if !g.over {
		factor = 1 / factor
	}
	payload := func(price, payload float64) float64 {
		if price == 0 {
			price = float64(unit*s.worth(m)) / payload / 8
		}
		return float64(price * factor)
	}
	switch g.kind {
	case ofMass:
		p.mass = payload(p.mass, s.payload[m])
	case ofVolume:
		p.volume = payload(p.volume, s.space[m])
	case ofGoods:
		p.weight = int64(measure.RoundDown(float64(float64(p.weight) / factor)))
		p.weight = min(max(p.weight, q.leastWeight(g.seller)), unit)
	}
	return p
}

// splitItem is the widest gap of the branch and the item by whose steps to split it, below 0 if there is none: that by
// which the combination of a demand at the prices of the branch differs most from that at prices which answer the gap.
// The lower part has the steps at the most.
func (q *search) splitItem(b *branch, open uint64) (g gap, demand int, item int32, steps int64) {
	g, ok := q.widest(b)
	if !ok {
		return g, 0, -1, 0
	}
	prices := slices.Clone(b.prices)
	for _, factor := range [...]float64{1.1, 1.3, 1.8, 3, 8, 40} {
		q.setPrice(prices, g.seller, q.moved(b, g, factor))
		most := 0.0
		for j, d := range q.demands {
			if d.sellers&open&q.about(g) == 0 || q.spent() {
				continue
			}
			value, other := q.value(b, j, open, prices)
			if value >= impossible {
				continue
			}
			id, at, differs := q.difference(g, b.picks[j], other)
			if differs > most {
				most, demand, item, steps = differs, j, id, at
			}
		}
		if most > 0 {
			return g, demand, item, steps
		}
	}
	return g, 0, -1, 0
}

// difference is the item whose steps differ most between two combinations, by what they take of the gap, and the middle
// of them, rounded down.
func (q *search) difference(g gap, a, b *combo) (item int32, middle int64, most float64) {
	look := func(l line, others []line) {
		var other line
		if at := slices.IndexFunc(others, func(x line) bool { return x.item == l.item }); at >= 0 {
			other = others[at]
		}
		if other.steps == l.steps {
			return
		}
		other.item = l.item
		if size := math.Abs(q.takes(g, l) - q.takes(g, other)); size > most {
			item, middle, most = l.item, (int64(l.steps)+int64(other.steps))/2, size
		}
	}
	for _, l := range a.lines {
		look(l, b.lines)
	}
	for _, l := range b.lines {
		look(l, a.lines)
	}
	return item, middle, most
}

// narrowed is the branch with the steps of an item held between two numbers.
func (q *search) narrowed(b *branch, open uint64, demand int, s stretch) branch {
	c := q.clone(b)
	c.limits = slices.Clone(b.limits)
	if c.limits == nil {
		c.limits = make([]stretches, len(q.demands))
	}
	low, high := c.limits[demand].of(s.item)
	s.low, s.high = max(low, s.low), min(high, s.high)
	c.limits[demand] = append(slices.Clip(slices.Clone(c.limits[demand])), s)
	c.values[demand], c.picks[demand] = q.value(&c, demand, open, c.prices)
	c.base = score{}
	for _, p := range c.picks {
		c.base = c.base.plus(p.score)
	}
	return c
}
