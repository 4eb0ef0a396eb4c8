package supply

import (
	"math/bits"
	"slices"
)

// search is a branch and bound over the modes of the sellers. It may be begun again and again.
type search struct {
	s       *Solver
	demands []*demand
	allowed uint64
	most    int // sellers; 0 is any number
	limit   int
	nodes   int
	found   bool
	score   score
	target  int64 // plans that cost more are not looked for
	answer  []line
	proved  bool
	bound   int64

	order  []int // sellers in order of decision
	modes  []mode
	picks  [][]*combo // at each depth the best combination of each demand
	leaves []leaf
	used   []load
	mix    *mixer
	local  []int32
	terms  []term
	dims   []dimension
	other  []line

	memory [][]remembered // of each demand

	savedValues []int64
	savedPicks  []*combo

	// What leaves, branches and memory are made of.
	combos combos
	picked store[*combo]
	counts store[int64]
	prices store[price]
	ways   store[mode]
}

// leaf is an assignment of modes whose best plan is not settled by the bound.
type leaf struct {
	modes  []mode
	picks  []*combo
	base   score // of the picks
	lows   []int64
	bound  score
	branch branch
	rooted bool // the branch is made
	times  int  // that it was gone through
}

// load is what comes from one seller.
type load struct {
	any          bool // something does
	goods        int64
	mass, volume float64
}

// begin makes the search ready for demands; what it found before is gone.
func (q *search) begin(s *Solver, demands []*demand, allowed uint64, most int) {
	q.s, q.demands, q.allowed, q.most, q.limit, q.nodes = s, demands, allowed, most, s.limit, s.nodes
	q.found, q.proved, q.bound, q.score = false, true, 0, score{}
	q.leaves, q.answer = q.leaves[:0], q.answer[:0]
	q.combos.reclaim()
	q.picked.reclaim()
	q.counts.reclaim()
	q.prices.reclaim()
	q.ways.reclaim()
	for len(q.memory) < len(demands) {
		q.memory = append(q.memory, nil)
	}
	for i := range q.memory {
		q.memory[i] = q.memory[i][:0]
	}
	n := len(s.sellers)
	q.modes = q.ways.zeroed(n)
	if len(q.used) != n {
		q.used = make([]load, n)
	}
	var relevant uint64
	for _, d := range demands {
		relevant |= d.sellers
		q.proved = q.proved && d.proved
	}
	relevant &= allowed
	q.order = q.order[:0]
	for i := range n {
		if relevant>>i&1 == 1 {
			q.order = append(q.order, i)
		}
	}
	q.allowed = relevant
	q.picks = q.picks[:0]
	for range len(q.order) + 1 {
		q.picks = append(q.picks, q.picked.take(len(demands)))
	}
}

func (q *search) spent() bool { return q.nodes > q.limit }

// run finds the plan.
func (q *search) run() {
	var base score
	var lower int64
	for i, d := range q.demands {
		q.picks[0][i] = d.best(q.allowed)
		base = base.plus(q.picks[0][i].score)
		lower += d.lower
	}
	q.target = never
	q.decide(0, q.allowed, base, score{}, 0)
	stopped := q.spent()
	if !stopped {
		lower, stopped = q.deepen()
	}
	if !q.proved {
		lower = 0
		for _, d := range q.demands {
			lower += d.lower
		}
	}
	q.proved = q.proved && !stopped
	q.bound = q.score.cost
	if !q.proved {
		q.bound = min(q.bound, lower)
	}
}

// deepen goes through the leaves, always the one of the least bound next, and looks in it for plans that cost a little
// more than that at most: what it finds soon makes the search short, and what it doesn't find raises the bound. It
// gives the bound of all, and whether the work limit ended it.
func (q *search) deepen() (lower int64, stopped bool) {
	slices.SortStableFunc(q.leaves, func(a, b leaf) int { return a.bound.compare(b.bound) })
	for {
		next := -1
		for i := range q.leaves {
			if next < 0 || q.leaves[i].bound.compare(q.leaves[next].bound) < 0 {
				next = i
			}
		}
		if next < 0 || !q.found && q.leaves[next].rooted {
			return q.score.cost, false
		}
		l := &q.leaves[next]
		lower = l.bound.cost
		if q.found && l.bound.compare(q.score) > 0 {
			return lower, false
		}
		if !l.rooted {
			l.rooted = true
			q.target = never
			if !q.root(l) {
				l.bound = score{cost: never}
			} else if bound := (l.branch.dual + unit - 1) / unit; bound > l.bound.cost {
				l.bound = score{cost: bound}
			}
			if q.spent() {
				return lower, true
			}
			continue
		}
		q.target = l.bound.cost + max(l.bound.cost/50, 1)<<min(l.times, 20)
		l.times++
		copy(q.modes, l.modes)
		q.divide(q.clone(&l.branch), raised)
		if q.spent() {
			return lower, true
		}
		l.bound = score{cost: q.target + 1}
		if q.found && q.score.cost <= q.target {
			l.bound = score{cost: never}
		}
	}
}

// cutoff is the score above which nothing is looked for.
func (q *search) cutoff() score {
	if q.found && q.score.cost <= q.target {
		return q.score
	}
	return score{cost: min(q.target, 8*mostMoney), trips: never, packs: never, surplus: never}
}

// decide gives the seller at the depth each of its modes. open are those not closed, base the score of the best
// combinations from them, charges what the decided modes cost at the least.
func (q *search) decide(depth int, open uint64, base, charges score, opened int) {
	if q.found && base.plus(charges).compare(q.score) > 0 || q.spent() {
		return
	}
	q.nodes++
	if depth == len(q.order) {
		q.settle(depth, open, base, charges)
		return
	}
	i := q.order[depth]
	s := &q.s.sellers[i]
	same := q.familyMode(i)
	useful := slices.ContainsFunc(q.picks[depth], func(c *combo) bool { return c.mask>>i&1 == 1 })
	if !useful {
		q.closeSeller(depth, i, open, base, charges, opened)
	}
	more := opened
	if same == closed {
		more++
	}
	if q.most <= 0 || more <= q.most {
		for _, m := range [...]mode{paid, pickup, free} {
			if !s.can[m] || same != closed && m != same {
				continue
			}
			copy(q.picks[depth+1], q.picks[depth])
			q.modes[i] = m
			q.decide(depth+1, open, base, charges.plus(score{cost: s.fee[m], trips: 1}), more)
		}
	}
	if useful {
		q.closeSeller(depth, i, open, base, charges, opened)
	}
}

// familyMode is the mode of the sellers of the family before seller i that are open, closed if none is.
func (q *search) familyMode(i int) mode {
	for rest := q.s.sellers[i].family & (1<<i - 1); rest != 0; rest &= rest - 1 {
		if m := q.modes[bits.TrailingZeros64(rest)]; m != closed {
			return m
		}
	}
	return closed
}

func (q *search) closeSeller(depth, i int, open uint64, base, charges score, opened int) {
	q.modes[i] = closed
	open &^= 1 << i
	next := q.picks[depth+1]
	copy(next, q.picks[depth])
	for j, c := range next {
		if c.mask>>i&1 == 0 {
			continue
		}
		b := q.demands[j].best(open)
		if b == nil {
			return
		}
		next[j] = b
		base = base.plus(b.score.minus(c.score))
	}
	q.decide(depth+1, open, base, charges, opened)
}

// settle looks at an assignment of all modes: it tries the plan of the best combinations, and keeps the assignment for
// a closer look if something better may be in it.
func (q *search) settle(depth int, open uint64, base, charges score) {
	picks := q.picks[depth]
	bound := base.plus(charges)
	reached := q.weigh(picks)
	short := q.evaluate(picks, base)
	var lows []int64
	for _, i := range q.order {
		m := q.modes[i]
		if m == closed || q.s.sellers[i].payload[m] == 0 && q.s.sellers[i].space[m] == 0 {
			continue
		}
		if n := q.leastTrips(i, m, open); n > 1 {
			if lows == nil {
				lows = q.counts.zeroed(len(q.modes))
			}
			lows[i] = n
			bound = bound.plus(score{cost: (n - 1) * q.s.sellers[i].fee[m], trips: n - 1})
		}
	}
	if b := q.thresholdBound(open, bound.minus(base)); b.cost > bound.cost {
		bound = b
	}
	if q.found && bound.compare(q.score) > 0 {
		return
	}
	if !short && reached.plus(base).compare(bound) <= 0 {
		return
	}
	if short {
		q.topUp(picks, base)
		if bound.compare(q.score) > 0 {
			return
		}
	}
	q.leaves = append(q.leaves, leaf{modes: q.ways.copied(q.modes), picks: q.picked.copied(picks), base: base, lows: lows, bound: bound})
}

// weigh adds up what comes from each seller and gives the charges of the modes for it, 0 for those unused.
func (q *search) weigh(picks []*combo) (charges score) {
	clear(q.used)
	for _, c := range picks {
		for k := range c.lines {
			l := &c.lines[k]
			it := &q.s.items[l.item]
			u := &q.used[it.seller]
			u.any = true
			u.goods += l.cost
			u.mass += float64(float64(l.steps) * it.mass)
			u.volume += float64(float64(l.steps) * it.volume)
		}
	}
	for _, i := range q.order {
		u := &q.used[i]
		if m := q.modes[i]; m != closed && u.any {
			s := &q.s.sellers[i]
			n := s.trips(m, u.mass, u.volume)
			charges.cost += n * s.fee[m]
			charges.trips += n
		}
	}
	return charges
}

// evaluate offers the plan of the picks, just weighed, as an answer, each seller in its cheapest way. It says whether
// goods fall short of what their modes ask for.
func (q *search) evaluate(picks []*combo, base score) (short bool) {
	total := base
	feasible := true
	for _, i := range q.order {
		s, m := &q.s.sellers[i], q.modes[i]
		short = short || m != closed && familyGoods(s, i, q.used) < s.least[m]
		if !q.used[i].any || s.follows(i, q.used) {
			continue
		}
		way, cost, trips := q.s.charge(i, q.used)
		if way == closed {
			feasible = false
			continue
		}
		total.cost += cost
		total.trips += trips
	}
	if feasible {
		q.offer(total, picks, line{})
	}
	return short
}

// offer takes the plan if it is better than the answer so far. more is bought on top of the picks if it has steps.
func (q *search) offer(total score, picks []*combo, more line) {
	if q.found {
		if order := total.compare(q.score); order > 0 {
			return
		} else if order == 0 {
			if q.other = gather(q.other[:0], picks, more); compareLines(q.other, q.answer) >= 0 {
				return
			}
		}
	}
	q.found, q.score, q.answer = true, total, gather(q.answer[:0], picks, more)
}

// gather is all lines of the picks in order of items, put into lines.
func gather(lines []line, picks []*combo, more line) []line {
	for _, c := range picks {
		lines = append(lines, c.lines...)
	}
	if more.steps > 0 {
		if at := slices.IndexFunc(lines, func(l line) bool { return l.item == more.item }); at >= 0 {
			lines[at] = more
		} else {
			lines = append(lines, more)
		}
	}
	slices.SortFunc(lines, func(a, b line) int { return int(a.item - b.item) })
	return lines
}

// leastTrips bounds the trips of a seller by the materials that no other open seller has.
func (q *search) leastTrips(i int, m mode, open uint64) int64 {
	var mass, volume float64
	for _, d := range q.demands {
		if d.sellers&open != 1<<i {
			continue
		}
		m, v := d.least(q.s.items, i)
		mass += m
		volume += v
	}
	return q.s.sellers[i].trips(m, mass, volume)
}

// least bounds the mass and the volume of what covers the demand from one seller alone.
func (d *demand) least(items []item, seller int) (mass, volume float64) {
	n := 0
	var massRate, volumeRate, leastMass, leastVolume float64
	for _, i := range d.items {
		it := &items[i]
		if it.seller != seller {
			continue
		}
		m, v := it.mass/it.content, it.volume/it.content
		lm, lv := it.mass*float64(it.least), it.volume*float64(it.least)
		if n == 0 {
			// While it is the only offer its steps are known.
			steps := float64(it.cover(d.target))
			mass, volume = float64(steps*it.mass), float64(steps*it.volume)
			massRate, volumeRate, leastMass, leastVolume = m, v, lm, lv
		}
		massRate, volumeRate = min(massRate, m), min(volumeRate, v)
		leastMass, leastVolume = min(leastMass, lm), min(leastVolume, lv)
		n++
	}
	if n == 1 {
		return mass, volume
	}
	return max(leastMass, float64(massRate*d.target)), max(leastVolume, float64(volumeRate*d.target))
}

// thresholdBound is another bound of the assignment: the goods that thresholds ask for, the charges, and the materials
// that none of the sellers with a threshold has.
func (q *search) thresholdBound(open uint64, charges score) score {
	var with uint64
	for _, i := range q.order {
		if m := q.modes[i]; m != closed && q.s.sellers[i].least[m] > 0 && q.holds(i) {
			with |= q.s.sellers[i].family
			charges.cost += q.s.sellers[i].least[m]
		}
	}
	if with == 0 {
		return score{}
	}
	for _, d := range q.demands {
		if d.value != nil && d.value.rate < 0 && d.sellers&open&with != 0 {
			// What the goods cost may be got back.
			return score{}
		}
	}
	for _, d := range q.demands {
		if d.sellers&open&with == 0 {
			charges.cost += d.best(open).score.cost
		}
	}
	return charges
}

// topUp tries to make up for goods that fall short, for each such seller by one offer of it, so that there is an answer
// to search against.
func (q *search) topUp(picks []*combo, base score) {
	added := q.picked.copied(picks)
	for _, i := range q.order {
		s, m := &q.s.sellers[i], q.modes[i]
		if m == closed || !q.holds(i) {
			continue
		}
		missing := s.least[m] - familyGoods(s, i, q.used)
		if missing > 0 && !q.topUpSeller(s.family, missing, added, &base) {
			return
		}
	}
	q.weigh(added)
	q.evaluate(added, base)
}

// topUpSeller replaces one combination by one with more of one offer, the one that costs least.
func (q *search) topUpSeller(family uint64, missing int64, picks []*combo, base *score) bool {
	var best *combo
	at := 0
	for j, d := range q.demands {
		for _, id := range d.items {
			it := &q.s.items[id]
			if family>>it.seller&1 == 0 {
				continue
			}
			c := q.extend(d, picks[j], id, missing)
			if c != nil && (best == nil || c.score.minus(picks[j].score).compare(best.score.minus(picks[at].score)) < 0) {
				best, at = c, j
			}
		}
	}
	if best == nil {
		return false
	}
	*base = base.plus(best.score.minus(picks[at].score))
	picks[at] = best
	return true
}

// extend is the combination with more of the item, so that its goods grow by what is missing; nil if they can't.
func (q *search) extend(d *demand, c *combo, id int32, missing int64) *combo {
	it := &q.s.items[id]
	now := int64(0)
	at := slices.IndexFunc(c.lines, func(l line) bool { return l.item == id })
	if at >= 0 {
		now = int64(c.lines[at].steps)
	}
	was := int64(0)
	if now > 0 {
		was = it.cost(now)
	}
	steps, ok := it.reach(max(now+1, it.least), was+missing)
	if !ok {
		return nil
	}
	more := line{id, int32(steps), it.cost(steps)}
	e := &combo{mask: c.mask | 1<<it.seller, lines: gather(nil, []*combo{c}, more)}
	content := 0.0
	for _, l := range e.lines {
		x := &q.s.items[l.item]
		e.score.cost += q.s.payable(&l)
		e.score.packs += int64(l.steps) * x.packs
		content += float64(float64(l.steps) * x.content)
	}
	e.score.surplus = d.surplus(content)
	e.score.cost += d.surplusOf(q.s.items, e.lines)
	return e
}

// reach is the least number of steps from a number on whose cost is at least the amount, within the last break.
func (it *item) reach(from, amount int64) (int64, bool) {
	for i := range it.tiers {
		t := &it.tiers[i]
		last := it.most
		if i+1 < len(it.tiers) {
			last = min(last, it.tiers[i+1].from-1)
		}
		low := max(from, t.from)
		if low > last || it.cost(last) < amount {
			continue
		}
		high := last
		for low < high {
			if middle := low + (high-low)/2; it.cost(middle) >= amount {
				high = middle
			} else {
				low = middle + 1
			}
		}
		return low, true
	}
	return 0, false
}
