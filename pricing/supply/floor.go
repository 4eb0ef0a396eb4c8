package supply

import (
	"math"
	"slices"

	"bedline/estimate/measure"
)

// floors bound from below what covering a rest costs with the local items from an index on, at the prices of a mixer:
// a knapsack over the rest in grains. Where the contents of all items are multiples of one grain it is what the rest
// costs, else contents are taken a little too large, so that it never is above it.
type floors struct {
	grain    float64 // content
	rests    int     // of the whole target, in grains
	costs    []int64 // of each item from its index on: rests+1 costs
	ladder   []rung
	cheapest []int64 // of a number of grains, while a ladder is made
}

// rung is a number of steps of an item: grains covered, priced cost.
type rung struct {
	grains int
	cost   int64
}

// mostGrains is into how many grains a need is cut at the most.
const mostGrains = 256

// prepare fills in the floors of the local items.
func (f *floors) prepare(m *mixer) {
	target, n := m.demand.target, len(m.local)
	f.grain = grainOf(m.items, m.local)
	slack := 1e-6
	if f.grain == 0 || target/f.grain > mostGrains {
		f.grain, slack = target/mostGrains, 0
	}
	f.rests = f.index(target)
	size := f.rests + 1
	f.costs = slices.Grow(f.costs[:0], size*(n+1))[:size*(n+1)]
	last := f.costs[n*size:]
	for r := range last {
		last[r] = never
	}
	last[0] = 0
	for i := n - 1; i >= 0; i-- {
		own, after := f.costs[i*size:(i+1)*size], f.costs[(i+1)*size:(i+2)*size]
		if m.low(i) > 0 {
			for r := range own {
				own[r] = never
			}
		} else {
			copy(own, after)
		}
		f.climb(m, i, slack)
		for k := range f.ladder {
			s := &f.ladder[k]
			for r := range own {
				own[r] = min(own[r], s.cost+after[max(0, r-s.grains)])
			}
		}
	}
}

// climb lists the numbers of steps of the local item that are worth buying: the cheapest for each number of grains, so
// that a need of very many packs takes no more rungs than grains.
func (f *floors) climb(m *mixer, i int, slack float64) {
	it := &m.items[m.local[i]]
	f.cheapest = slices.Grow(f.cheapest[:0], f.rests+1)[:f.rests+1]
	for g := range f.cheapest {
		f.cheapest[g] = never
	}
	loose := int64(0)
	if it.worth < 0 {
		// More steps at the same price may cost as much less by rounding.
		loose = int64(measure.RoundUp(2*m.pricedHalf(i))) + 1
	}
	add := func(steps int64) {
		grains := min(f.rests, measure.RoundUp(max(0, float64(float64(steps)*it.content)/f.grain-slack)))
		priced := m.priced(i, steps, it.cost(steps))
		if it.worth != 0 {
			priced += below(float64(unit*it.worth*float64(steps))) - loose
		}
		f.cheapest[grains] = min(f.cheapest[grains], priced)
	}
	low, high := max(it.least, m.low(i)), min(it.most, m.high(i))
	cover := max(low, it.cover(m.demand.target))
	for steps := low; steps <= min(cover, high); steps++ {
		add(steps)
	}
	for k := range it.tiers {
		if from := it.tiers[k].from; from > cover && from <= high {
			add(from)
		}
	}
	f.ladder = f.ladder[:0]
	for grains, cost := range f.cheapest {
		if cost < never {
			f.ladder = append(f.ladder, rung{grains, cost})
		}
	}
}

// index is a rest in grains, rounded down.
func (f *floors) index(rest float64) int {
	if rest <= 0 {
		return 0
	}
	return measure.RoundDown(rest/f.grain + 1e-6)
}

// at bounds the priced cost of a rest from the local item i on.
func (f *floors) at(i int, rest float64) int64 {
	return f.costs[i*(f.rests+1)+min(f.rests, f.index(rest))]
}

// grainOf is the largest content of which those of all items are multiples, 0 if there is none that is not far smaller.
func grainOf(items []item, local []int32) float64 {
	grain := 0.0
	for _, id := range local {
		a, b := items[id].content, grain
		for b > 0 {
			rest := math.Abs(a - float64(math.Round(a/b)*b))
			if rest < float64(1e-9*a) {
				rest = 0
			}
			a, b = b, rest
			if b > 0 && b < float64(1e-4*a) {
				return 0
			}
		}
		grain = a
	}
	return grain
}
