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
	slack    float64 // in grains: what a content may be above a multiple of the grain by rounding; 0 if contents are none
	rests    int     // of the whole target, in grains
	costs    []int64 // of each item from its index on: rests+1 costs
	ladder   []rung
	cheapest []int64 // of a number of grains, while a ladder is made
	work     int     // sums made, since it was last set to 0
}

// rung is a number of steps of an item: grains covered, priced cost.
type rung struct {
	grains int
	cost   int64
}

// mostGrains is how many whole grains a need may be; one of more, or of contents that have no grain, is cut into
// mostParts.
const (
	mostGrains = 4096
	mostParts  = 128
)

// mostRungs is how many sums are made for a ladder of an item in place of steps that follow from one another, since it
// leaves no rounding open.
const mostRungs = 2048

// prepare fills in the floors of the local items.
func (f *floors) prepare(m *mixer) {
	target, n := m.demand.target, len(m.local)
	f.grain, f.slack = grainOf(m.items, m.local), 1e-6
	if f.grain == 0 || target/f.grain > mostGrains {
		f.grain, f.slack = target/mostParts, 0
	}
	f.rests = f.index(target)
	size := f.rests + 1
	f.costs = slices.Grow(f.costs[:0], size*(n+2))[:size*(n+2)]
	last, spare := f.costs[n*size:(n+1)*size], f.costs[(n+1)*size:]
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
		if f.steady(m, i) {
			f.climbSteadily(m, i, own, after, spare)
			continue
		}
		f.climb(m, i)
		for k := range f.ladder {
			s := &f.ladder[k]
			head := min(s.grains, size)
			first := s.cost + after[0]
			for r := range head {
				own[r] = min(own[r], first)
			}
			from := after[:size-head]
			for r, to := range own[head:] {
				own[head+r] = min(to, s.cost+from[r])
			}
		}
		f.work += len(f.ladder) * size
	}
}

// steady says that the steps of the local item may follow from one another.
func (f *floors) steady(m *mixer, i int) bool {
	if f.slack == 0 || m.low(i) > 0 || m.high(i) < never {
		return false
	}
	it := &m.items[m.local[i]]
	if it.worth != 0 {
		return false
	}
	rungs := f.rests/f.grainsOf(it) + len(it.tiers)
	return rungs > 4 && (it.even() || rungs*f.rests > mostRungs)
}

// grainsOf is what a step of the item covers.
func (f *floors) grainsOf(it *item) int {
	return max(1, measure.RoundUp(it.content/f.grain-f.slack))
}

// climbSteadily adds an item with any number of steps: at each price the steps from the least on follow from one step
// fewer. A number of steps that has a lower price costs less at that; what rounding can take off is taken off.
func (f *floors) climbSteadily(m *mixer, i int, own, after, spare []int64) {
	it := &m.items[m.local[i]]
	grains := f.grainsOf(it)
	loose := int64(measure.RoundUp(m.pricedHalf(i)))
	for k := range it.tiers {
		from := max(it.tiers[k].from, it.least)
		if from > it.most || k+1 < len(it.tiers) && from >= it.tiers[k+1].from {
			continue
		}
		step := m.pricedStep(i, k)
		f.work += len(own)
		if from == 1 && loose == 0 {
			// The rests before are those with any number of steps already.
			one := own[0] + step
			head := min(grains, len(own))
			for r := 1; r < head; r++ {
				own[r] = min(own[r], one)
			}
			for r, before := range own[:len(own)-head] {
				// The list grows under the range: what was filled in is before.
				own[head+r] = min(own[head+r], before+step)
			}
			continue
		}
		first, held := max(0, step*from-loose), len(own)
		if from < int64(held) {
			held = min(held, int(from)*grains)
		}
		spare[0] = first + after[0]
		own[0] = min(own[0], spare[0])
		for r := 1; r < len(own); r++ {
			spare[r] = min(first+after[max(0, r-held)], spare[max(0, r-grains)]+step)
			own[r] = min(own[r], spare[r])
		}
	}
}

// climb lists the numbers of steps of the local item that are worth buying: the cheapest for each number of grains, so
// that a need of very many packs takes no more rungs than grains.
func (f *floors) climb(m *mixer, i int) {
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
	low, high := max(it.least, m.low(i)), min(it.most, m.high(i))
	next := 0 // the first price that begins after the steps
	for steps := low; steps <= high; {
		grains := min(f.rests, measure.RoundUp(max(0, float64(float64(steps)*it.content)/f.grain-f.slack)))
		priced := m.priced(i, steps, it.cost(steps))
		if it.worth != 0 {
			priced += below(float64(unit*it.worth*float64(steps))) - loose
		}
		f.cheapest[grains] = min(f.cheapest[grains], priced)
		for next < len(it.tiers) && it.tiers[next].from <= steps {
			next++
		}
		// More steps of the same grains cost more, unless they have a price of their own.
		after := int64(never)
		if grains < f.rests {
			after = max(steps+1, int64(measure.RoundDown(float64((float64(grains)+f.slack)*f.grain)/it.content)))
		}
		if next < len(it.tiers) {
			after = min(after, it.tiers[next].from)
		}
		steps = after
	}
	f.ladder = f.ladder[:0]
	for grains, cost := range f.cheapest {
		if cost < never {
			f.ladder = append(f.ladder, rung{grains, cost})
		}
	}
}

// index is a rest in grains, rounded down, or up where all contents are whole grains.
func (f *floors) index(rest float64) int {
	switch {
	case rest <= 0:
		return 0
	case f.slack > 0:
		return measure.RoundUp(max(0, rest/f.grain-f.slack))
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
			if rest < float64(1e-12*a) {
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
