package supply

import (
	"math"
	"slices"
)

// branch is a part of a leaf: the trips of each seller lie between low and high.
type branch struct {
	lows, highs []int64 // highs: 0 is any number
	mass        uint64  // sellers whose mass is held to the high trips
	volume      uint64
	goods       uint64 // sellers whose goods are held to what the mode asks for
	picks       []*combo
	base        score
	stale       bool // picks were made for other highs
}

// refine finds the best plan of the leaf or shows that it has none better than the answer.
func (q *search) refine(l *leaf) {
	copy(q.modes, l.modes)
	b := branch{lows: l.lows, highs: make([]int64, len(q.modes)), picks: l.picks, base: l.base}
	if b.lows == nil {
		b.lows = make([]int64, len(q.modes))
	}
	q.divide(b)
}

// divide relaxes the branch, looks for what the relaxed plan violates, and splits on it.
func (q *search) divide(b branch) {
	for !q.spent() {
		q.nodes++
		charges := q.charges(b.lows)
		if b.base.plus(charges).compare(q.score) > 0 {
			return
		}
		q.weigh(b.picks)
		// A violation that is held already can only be rounding error beyond the guard, unless the highs are new.
		held, again := b, false
		for _, i := range q.order {
			m := q.modes[i]
			if m == closed {
				continue
			}
			s, u := &q.s.sellers[i], &q.used[i]
			if u.goods < s.least[m] {
				b.goods |= 1 << i
			}
			if b.highs[i] > 0 && s.trips(m, u.mass, 0) > b.highs[i] {
				b.mass |= 1 << i
				again = b.stale
			}
			if b.highs[i] > 0 && s.trips(m, 0, u.volume) > b.highs[i] {
				b.volume |= 1 << i
				again = b.stale
			}
		}
		if again || b.goods != held.goods || b.mass != held.mass || b.volume != held.volume {
			if !q.relax(&b, charges) {
				return
			}
			b.stale = false
			continue
		}
		q.evaluate(b.picks, b.base)
		// Everything held holds; what is left are trips above the low.
		split := -1
		var trips int64
		for _, i := range q.order {
			m := q.modes[i]
			if u := &q.used[i]; m != closed && *u != (load{}) {
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
			fewer := b
			fewer.lows, fewer.highs = slices.Clone(b.lows), slices.Clone(b.highs)
			fewer.highs[split] = trips - 1
			fewer.stale = true
			q.divide(fewer)
		}
		b.lows = slices.Clone(b.lows)
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
	var dims []dimension
	for _, i := range q.order {
		s, m := &q.s.sellers[i], q.modes[i]
		loose := func(x float64) float64 { return float64(x*float64(b.highs[i])) * (1 + 2e-9) }
		if b.goods>>i&1 == 1 {
			dims = append(dims, dimension{i, ofGoods, -float64(s.least[m])})
		}
		if b.mass>>i&1 == 1 {
			dims = append(dims, dimension{i, ofMass, loose(s.payload[m])})
		}
		if b.volume>>i&1 == 1 {
			dims = append(dims, dimension{i, ofVolume, loose(s.space[m])})
		}
	}
	return dims
}

// label is a choice for the materials so far.
type label struct {
	score score
	dims  []float64
	back  *label
	combo *combo
}

// relax finds the best choice of combinations that keeps what the branch holds, and puts it into the branch. It is
// false if there is none that could be better than the answer.
func (q *search) relax(b *branch, charges score) bool {
	dims := q.dimensions(b)
	var open, touched uint64
	for _, i := range q.order {
		if q.modes[i] != closed {
			open |= 1 << i
		}
	}
	for _, d := range dims {
		touched |= 1 << d.seller
	}
	// base is the best without the dimensions: what it leaves up to the answer is how much dearer than its best a
	// combination may be.
	base := charges
	bests := make([]*combo, len(q.demands))
	for j, d := range q.demands {
		bests[j] = d.best(open)
		base = base.plus(bests[j].score)
	}
	slack := q.score.cost - base.cost
	if slack < 0 {
		return false
	}
	picks := slices.Clone(bests)
	fixed := charges
	var stages []stage
	for j, d := range q.demands {
		if d.sellers&open&touched == 0 {
			fixed = fixed.plus(bests[j].score)
			continue
		}
		combos := q.listWithin(d, open, dims, bests[j].score.cost+slack)
		if q.spent() || len(combos) == 0 {
			return false
		}
		stages = append(stages, newStage(j, combos, dims))
	}
	slices.SortStableFunc(stages, func(x, y stage) int { return len(x.combos) - len(y.combos) })
	last := q.chain(stages, dims, fixed, b)
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

// stage is a material whose combinations take something of the dimensions.
type stage struct {
	demand int
	combos []combo
	least  score     // of any combination
	low    []float64 // the least that one takes of each dimension
}

func newStage(demand int, combos []combo, dims []dimension) stage {
	s := stage{demand: demand, combos: combos, least: combos[0].score, low: make([]float64, len(dims))}
	for i := range dims {
		s.low[i] = math.Inf(1)
		for k := range combos {
			s.low[i] = min(s.low[i], combos[k].dims[i])
		}
	}
	return s
}

// chain goes through the stages with all choices that are not beaten and gives the best at the end, nil if none.
func (q *search) chain(stages []stage, dims []dimension, fixed score, b *branch) *label {
	n := len(dims)
	rest := make([]score, len(stages)+1)
	low := make([][]float64, len(stages)+1)
	low[len(stages)] = make([]float64, n)
	for k := len(stages) - 1; k >= 0; k-- {
		rest[k] = rest[k+1].plus(stages[k].least)
		low[k] = slices.Clone(low[k+1])
		for i := range n {
			low[k][i] += stages[k].low[i]
		}
	}
	labels := []label{{score: fixed, dims: make([]float64, n)}}
	for k := range stages {
		final := k == len(stages)-1
		var next []label
		for i := range labels {
			from := &labels[i]
			for c := range stages[k].combos {
				combo := &stages[k].combos[c]
				total := from.score.plus(combo.score)
				if total.plus(rest[k+1]).compare(q.score) > 0 {
					// Combinations are in order of score.
					break
				}
				q.nodes++
				if q.spent() {
					return nil
				}
				fits := true
				for x := 0; x < n && fits; x++ {
					fits = from.dims[x]+combo.dims[x]+low[k+1][x] <= dims[x].limit+float64(1e-9*math.Abs(dims[x].limit))
				}
				if !fits {
					continue
				}
				to := label{score: total, dims: make([]float64, n), back: from, combo: combo}
				for x := range n {
					to.dims[x] = from.dims[x] + combo.dims[x]
					if dims[x].kind == ofGoods && final && to.dims[x] > dims[x].limit {
						fits = false
					}
				}
				if final && fits {
					fits = q.keeps(&to, dims, b)
				}
				if fits {
					next = append(next, to)
				}
			}
		}
		labels = prune(next, dims, final)
		if len(labels) == 0 {
			return nil
		}
	}
	return &labels[0]
}

// keeps says that the label is within the trips of the branch, to the guard.
func (q *search) keeps(l *label, dims []dimension, b *branch) bool {
	for x, d := range dims {
		s, m := &q.s.sellers[d.seller], q.modes[d.seller]
		switch d.kind {
		case ofMass:
			if s.trips(m, l.dims[x], 0) > b.highs[d.seller] {
				return false
			}
		case ofVolume:
			if s.trips(m, 0, l.dims[x]) > b.highs[d.seller] {
				return false
			}
		}
	}
	return true
}

// prune keeps the labels that no other beats in score and every dimension, best first; only the best at the end.
func prune(labels []label, dims []dimension, final bool) []label {
	for i := range labels {
		for x := range dims {
			if dims[x].kind == ofGoods {
				labels[i].dims[x] = max(labels[i].dims[x], dims[x].limit)
			}
		}
	}
	slices.SortStableFunc(labels, func(a, b label) int {
		if order := a.score.compare(b.score); order != 0 {
			return order
		}
		if !final {
			if order := slices.Compare(a.dims, b.dims); order != 0 {
				return order
			}
		}
		return compareLines(a.gather(), b.gather())
	})
	if final && len(labels) > 1 {
		return labels[:1]
	}
	kept := labels[:0]
	for i := range labels {
		l := &labels[i]
		beaten := slices.ContainsFunc(kept, func(k label) bool {
			for x := range dims {
				if k.dims[x] > l.dims[x] {
					return false
				}
			}
			return k.score != l.score || compareLines(k.gather(), l.gather()) <= 0
		})
		if !beaten {
			kept = append(kept, *l)
		}
	}
	return kept
}

func (l *label) gather() []line {
	var picks []*combo
	for ; l != nil; l = l.back {
		if l.combo != nil {
			picks = append(picks, l.combo)
		}
	}
	return gather(picks, line{})
}

// listWithin lists the combinations of a material for the dimensions, up to a cost.
func (q *search) listWithin(d *demand, open uint64, dims []dimension, ceiling int64) []combo {
	goods, other := uint64(0), uint64(0)
	for _, x := range dims {
		if x.kind == ofGoods {
			goods |= 1 << x.seller
		} else {
			other |= 1 << x.seller
		}
	}
	other &^= goods
	local := make([]int32, 0, len(d.items))
	rest := open &^ goods &^ other
	end := 0
	for _, set := range [...]uint64{goods & open, other & open, rest} {
		for _, id := range d.items {
			if set>>q.s.items[id].seller&1 == 1 {
				local = append(local, id)
			}
		}
		if set == goods&open && end == 0 {
			end = len(local)
		}
	}
	old := &q.mix
	*old = mixer{
		items: q.s.items, demand: d, local: local, dims: dims, goodsEnd: end, ceiling: ceiling, budget: q.limit - q.nodes,
		suffix: old.suffix, better: old.better, stack: old.stack[:0], taken: append(old.taken[:0], make([]float64, len(dims))...),
	}
	old.prepare()
	old.walk(0, 0, 0, 0, 0, 0)
	q.nodes += old.nodes
	if old.spent {
		q.nodes = q.limit + 1
	}
	return old.kept
}
