package supply

import (
	"slices"

	"bedline/estimate/measure"
)

// chooser looks for the one combination that is cheapest by the terms of a mixer. The floors say what a rest costs, so
// that little more is tried than what they are made of.
type chooser struct {
	grains []int // of a step of each local item
	found  bool
	best   score // cost in fine units
	lines  []line
	stack  []line
	sorted []line
}

// choose is cheapest where contents are whole grains and the floors are laid.
func (m *mixer) choose() (combo, bool) {
	c := &m.chooser
	n := len(m.local)
	m.nodes++
	c.grains = slices.Grow(c.grains[:0], n)[:n]
	for i := range c.grains {
		c.grains[i] = m.floors.grainsOf(&m.items[m.local[i]])
	}
	c.found, c.stack = false, c.stack[:0]
	least := m.floors.at(0, m.demand.target)
	if least >= never {
		return combo{}, false
	}
	// First only what costs as little as the floors say.
	c.best = score{cost: least, packs: never}
	m.chooseFrom(0, m.floors.rests, 0, 0, 0, 0)
	if !c.found && !m.spent {
		c.best = score{cost: never}
		m.chooseFrom(0, m.floors.rests, 0, 0, 0, 0)
	}
	best := combo{score: c.best, lines: c.lines}
	for i := range best.lines {
		best.mask |= 1 << m.items[best.lines[i].item].seller
	}
	return best, c.found && !m.spent
}

// chooseFrom extends the stack by items from i on. left is the rest in grains.
func (m *mixer) chooseFrom(i, left int, content float64, cost, packs int64, used uint64) {
	rest := m.demand.target - content
	if rest <= 0 && i >= m.mustEnd {
		m.chosen(content, cost, packs)
		return
	}
	if i == len(m.local) || m.spent {
		return
	}
	if m.nodes++; m.nodes > m.budget {
		m.spent = true
		return
	}
	it := &m.items[m.local[i]]
	if m.low(i) == 0 {
		if m.promising(i+1, left, rest, cost, packs) {
			m.chooseFrom(i+1, left, content, cost, packs, used)
		}
		if used&m.apart[i] != 0 {
			return
		}
	}
	if i < 64 {
		used |= 1 << i
	}
	low, high := max(it.least, m.low(i)), min(it.most, m.high(i))
	cover := low
	if rest > 0 {
		cover = max(low, it.cover(rest))
	}
	last := min(cover, high)
	m.nodes += int(max(0, last-low)) / 16
	for steps := last; steps >= low && !m.spent; steps-- {
		m.chooseSteps(i, steps, left, content, cost, packs, used)
	}
	for t := range it.tiers {
		if from := it.tiers[t].from; from > cover && from <= high {
			m.chooseSteps(i, from, left, content, cost, packs, used)
		}
	}
}

// chooseSteps buys steps of the local item i and goes on with those after it, unless that is not among the best.
func (m *mixer) chooseSteps(i int, steps int64, left int, content float64, cost, packs int64, used uint64) {
	c, it := &m.chooser, &m.items[m.local[i]]
	goods := it.cost(steps)
	if cost += m.priced(i, steps, goods); cost > c.best.cost {
		return
	}
	packs += steps * it.packs
	content += float64(float64(steps) * it.content)
	left = max(0, left-int(min(steps, int64(left)))*c.grains[i])
	if m.promising(i+1, left, m.demand.target-content, cost, packs) {
		c.stack = append(c.stack, line{m.local[i], int32(steps), goods})
		m.chooseFrom(i+1, left, content, cost, packs, used)
		c.stack = c.stack[:len(c.stack)-1]
	}
}

// promising says that covering a rest with the items from i on may be among the best.
func (m *mixer) promising(i, left int, rest float64, cost, packs int64) bool {
	c, f := &m.chooser, &m.floors
	cost += f.costs[i*(f.rests+1)+left]
	if cost != c.best.cost {
		return cost < c.best.cost
	}
	return rest <= 0 || packs+int64(measure.RoundUp(float64(rest*m.suffix[i].thin))) <= c.best.packs
}

// chosen keeps what is on the stack if it is the best so far.
func (m *mixer) chosen(content float64, cost, packs int64) {
	c := &m.chooser
	s := score{cost: cost, packs: packs, surplus: m.demand.surplus(content)}
	if c.found {
		if s.compare(c.best) > 0 {
			return
		}
	} else if s.cost > c.best.cost {
		return
	}
	c.sorted = append(c.sorted[:0], c.stack...)
	slices.SortFunc(c.sorted, func(a, b line) int { return int(a.item - b.item) })
	if c.found && s.compare(c.best) == 0 && compareLines(c.sorted, c.lines) >= 0 {
		return
	}
	c.found, c.best = true, s
	c.lines = append(c.lines[:0], c.sorted...)
}
