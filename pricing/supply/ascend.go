package supply

import "bedline/estimate/measure"

// pull is what a price is drawn by: how far the load, in trips, or the goods, as a share of the amount, are from what
// the branch grants. Prices are taken as the money of a full trip or of the whole amount, so that they can be moved
// together.
type pull struct {
	seller int
	kind   dimensionKind
	at     float64 // the price, in fine units
	by     float64 // what the bound rises by for a fine unit of it
}

// How the prices of a branch are moved together: from how many nodes of the search on, so many times, and with half the
// step after so many times without a better bound. A short search is over before it pays.
const (
	ascendFrom   = 8000
	moves        = 3
	movesInVain  = 2
	leastOfStep  = 0.05
	leastOfPulls = 1e-9
)

// ascend moves all prices of the branch together along what the bound rises by, as far as would take it to the cutoff
// if it rose evenly (the step of Polyak for a concave function with a known aim). The branch is left at the best bound
// found. It is false if that shows that the branch has nothing better than the answer.
func (q *search) ascend(b *branch, open uint64, moves int) bool {
	best := q.clone(b)
	share, vain := 1.0, 0
	for range moves {
		aim := q.cutoff().cost*unit + unit
		q.weigh(b.picks)
		size := q.findPulls(b)
		if q.spent() || size < leastOfPulls || share < leastOfStep {
			break
		}
		if !q.follow(b, float64(share*float64(aim-b.dual))/size) {
			break
		}
		q.revalueAll(b, open, open)
		if b.dual > best.dual {
			best.take(b)
			vain = 0
		} else if vain++; vain == movesInVain {
			share, vain = share/2, 0
		}
		if q.hopeless(b) {
			break
		}
	}
	b.take(&best)
	return !q.hopeless(b)
}

// take makes the prices of the branch, and what follows from them, those of another.
func (b *branch) take(from *branch) {
	copy(b.prices, from.prices)
	copy(b.values, from.values)
	copy(b.picks, from.picks)
	b.dual, b.base = from.dual, from.base
}

// findPulls fills in the pulls of the branch, whose picks are weighed, and gives the sum of their squares.
func (q *search) findPulls(b *branch) (size float64) {
	q.pulls = q.pulls[:0]
	add := func(x pull) {
		if x.at <= 0 && x.by < 0 {
			x.by = 0
		}
		q.pulls = append(q.pulls, x)
		size += float64(x.by * x.by)
	}
	for _, i := range q.order {
		m := q.modes[i]
		if m == closed {
			continue
		}
		s, p := &q.s.sellers[i], &b.prices[i]
		if s.least[m] > 0 && q.holds(i) {
			x := pull{seller: i, kind: ofGoods, at: float64((unit - p.weight) * s.least[m])}
			x.by = 1 - float64(familyGoods(s, i, q.used))/float64(s.least[m])
			if p.weight <= q.leastWeight(i) {
				x.by = min(0, x.by)
			}
			add(x)
		}
		if s.fee[m] == 0 && b.highs[i] == 0 || s.payload[m] == 0 && s.space[m] == 0 {
			continue
		}
		byMass, byVolume := q.ratios(i, m)
		fee, low, high := float64(unit*s.fee[m]), float64(max(1, b.lows[i])), float64(b.highs[i])
		mass, volume := float64(p.mass*s.payload[m]), float64(p.volume*s.space[m])
		whole := mass + volume
		pulled := func(ratio float64) float64 {
			switch {
			case whole < fee*(1-1e-9):
				return ratio - low
			case high == 0:
				return min(0, ratio-low)
			case whole > fee*(1+1e-9):
				return ratio - high
			}
			return max(0, ratio-high) + min(0, ratio-low)
		}
		if s.payload[m] > 0 {
			add(pull{i, ofMass, mass, pulled(byMass)})
		}
		if s.space[m] > 0 {
			add(pull{i, ofVolume, volume, pulled(byVolume)})
		}
	}
	return size
}

// follow moves the prices along the pulls by a step. It is false if none of them moves.
func (q *search) follow(b *branch, step float64) (moved bool) {
	for k := range q.pulls {
		x := &q.pulls[k]
		if x.by == 0 {
			continue
		}
		to := max(0, x.at+float64(step*x.by))
		s, m := &q.s.sellers[x.seller], q.modes[x.seller]
		p := b.prices[x.seller]
		switch x.kind {
		case ofGoods:
			p.weight = min(unit, max(q.leastWeight(x.seller), unit-int64(measure.RoundDown(to/float64(s.least[m])))))
		case ofMass:
			p.mass = to / s.payload[m]
		case ofVolume:
			p.volume = to / s.space[m]
		}
		if x.kind != ofGoods && b.highs[x.seller] == 0 {
			// Without a most number of trips the price is the fee at the most.
			fee := float64(unit * s.fee[m])
			whole := float64(p.mass*s.payload[m]) + float64(p.volume*s.space[m])
			if whole > fee {
				p.mass, p.volume = float64(p.mass*fee)/whole, float64(p.volume*fee)/whole
			}
		}
		if p != b.prices[x.seller] {
			q.setPrice(b.prices, x.seller, p)
			moved = true
		}
	}
	return moved
}
