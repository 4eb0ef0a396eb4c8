package supply

import (
	"math"
	"slices"
)

// label is a choice for the materials so far.
type label struct {
	score score
	over  int64 // priced cost above that of the best
	dims  []float64
	back  *label
	combo *combo
}

// stage is a material whose combinations take something of the dimensions.
type stage struct {
	demand int
	combos []combo
	value  int64     // of the demand at the prices
	least  score     // of any combination
	low    []float64 // the least that one takes of each dimension
}

func (q *search) newStage(demand int, combos []combo, dims []dimension, value int64) stage {
	s := stage{demand: demand, combos: combos, value: value, least: combos[0].score, low: q.sums.take(len(dims))}
	for i := range dims {
		s.low[i] = math.Inf(1)
		for k := range combos {
			s.low[i] = min(s.low[i], combos[k].dims[i])
		}
	}
	return s
}

// chain goes through the stages with all choices that are not beaten and gives the best at the end, nil if none.
func (q *search) chain(stages []stage, dims []dimension, fixed score, b *branch, slack int64) *label {
	n := len(dims)
	rest := make([]score, len(stages)+1)
	low := make([][]float64, len(stages)+1)
	low[len(stages)] = q.sums.zeroed(n)
	for k := len(stages) - 1; k >= 0; k-- {
		rest[k] = rest[k+1].plus(stages[k].least)
		low[k] = q.sums.copied(low[k+1])
		for i := range n {
			low[k][i] += stages[k].low[i]
		}
	}
	most := q.cutoff()
	labels := []label{{score: fixed, dims: q.sums.zeroed(n)}}
	for k := range stages {
		final := k == len(stages)-1
		var next []label
		for i := range labels {
			from := &labels[i]
			for c := range stages[k].combos {
				combo := &stages[k].combos[c]
				total := from.score.plus(combo.score)
				if total.plus(rest[k+1]).compare(most) > 0 {
					// Combinations are in order of score.
					break
				}
				q.nodes++
				if q.spent() {
					return nil
				}
				over := from.over + combo.priced - stages[k].value
				if over > slack {
					continue
				}
				fits := true
				for x := 0; x < n && fits; x++ {
					fits = from.dims[x]+combo.dims[x]+low[k+1][x] <= dims[x].limit+float64(1e-9*math.Abs(dims[x].limit))
				}
				if !fits {
					continue
				}
				to := label{score: total, over: over, dims: q.sums.take(n), back: from, combo: combo}
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
		labels = q.prune(next, dims, final)
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

// mostRivals is how many of the best labels the others are compared with. To compare with all takes longer than it saves
// when there are many, since few are beaten.
const mostRivals = 32

// prune keeps the labels that none of the best beats in score and every dimension, best first; only the best at the end.
func (q *search) prune(labels []label, dims []dimension, final bool) []label {
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
		rivals := kept[:min(len(kept), mostRivals)]
		if len(dims) == 1 && len(kept) > 0 {
			// The dearest takes least.
			rivals = kept[len(kept)-1:]
		}
		if q.nodes += len(rivals) / 16; q.spent() {
			return nil
		}
		beaten := slices.ContainsFunc(rivals, func(k label) bool {
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
	return gather(nil, picks, line{})
}
