package supply

import (
	"math"
	"sort"
)

// An item is rising that has a price for every number of steps, so that it can cost anything, and costs never less for
// more steps: what is bought later, see later.go. Its rate says nothing, since its first steps cost next to nothing.

// fewTiers is a number of prices that is gone through one by one.
const fewTiers = 12

// tierAmong is the place of the price of so many steps among many.
func (it *item) tierAmong(steps int64) int {
	return max(0, sort.Search(len(it.tiers), func(i int) bool { return it.tiers[i].from > steps })-1)
}

// rises says whether the item is rising.
func (it *item) rises() bool {
	for i := 1; i < len(it.tiers); i++ {
		from := it.tiers[i].from
		if from > it.most {
			break
		}
		if it.tiers[i].cost(from) < it.tiers[i-1].cost(max(0, from-1)) {
			return false
		}
	}
	return len(it.tiers) > 3
}

// bend bounds what a rest costs with items of which one is rising: at least rate for each content, and offset, which is
// not above zero, for what the rising one costs less than that.
type bend struct {
	rate, offset float64
	only         bool // there is no other: a rest costs what it costs with it alone
	some         bool
}

// bendAt is that of the local items from i on, none if it bounds nothing.
func (m *mixer) bendAt(i int) bend {
	at, rate := -1, math.Inf(1)
	for j := i; j < len(m.local); j++ {
		if m.items[m.local[j]].rising && at < 0 {
			at = j
			continue
		}
		own, _, _ := m.bounds(j)
		rate = min(rate, own)
	}
	switch {
	case at < 0:
		return bend{}
	case math.IsInf(rate, 1):
		return bend{only: true, some: true}
	}
	it := &m.items[m.local[at]]
	offset := 0.0
	for k := range it.tiers {
		t := &it.tiers[k]
		last := int64(0)
		if k+1 < len(it.tiers) {
			last = it.tiers[k+1].from - 1
		}
		from := max(t.from, 1)
		offset = min(offset, float64(m.cost(at, from, t.cost(from)))-float64(rate*float64(from)*it.content))
		if last > from {
			offset = min(offset, float64(m.cost(at, last, t.cost(last)))-float64(rate*float64(last)*it.content))
		}
		if last == 0 && float64(m.cost(at, 1, t.cost(1)))-1 < float64(rate*it.content) {
			return bend{} // ever less beyond the last price
		}
	}
	return bend{rate: rate, offset: offset, some: true}
}

// lowerBent raises the bound of the cost of a rest with the local items from i on.
func (m *mixer) lowerBent(i int, rest float64, cost int64) int64 {
	s := &m.suffix[i]
	if s.bend.only {
		it := &m.items[m.local[i]]
		steps := it.cover(rest)
		return max(cost, m.cost(i, steps, it.cost(steps)))
	}
	bound := float64(rest*s.bend.rate) + s.bend.offset - s.half
	if bound <= float64(cost) {
		return cost
	}
	return max(cost, up(below(bound), s.grain))
}
