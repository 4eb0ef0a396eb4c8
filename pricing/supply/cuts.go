package supply

// cut is what has been found at some prices. The values of the materials hold in every branch whose sellers are among
// those of the cut, whatever its ways and trips, so that prices that were sought for one branch bound the others too.
type cut struct {
	open   uint64
	prices []price
	values []int64
	picks  []*combo
	sum    int64 // of the values
}

// mostCuts is how many are kept.
const mostCuts = 96

// note keeps the prices of a branch that has no stretches.
func (q *search) note(b *branch, open uint64) {
	if b.limits != nil || len(q.cuts) >= mostCuts {
		return
	}
	c := cut{open: open, prices: q.prices.copied(b.prices), values: q.counts.copied(b.values), picks: q.picked.copied(b.picks)}
	for _, v := range c.values {
		c.sum += v
	}
	q.cuts = append(q.cuts, c)
}

// recall moves the branch to the prices of the cut that bounds it best, if that is better than its own. It says whether
// the bound has risen.
func (q *search) recall(b *branch, open uint64) bool {
	var best *cut
	dual := b.dual
	q.nodes += len(q.cuts) / 8
	for i := range q.cuts {
		c := &q.cuts[i]
		if open&^c.open != 0 {
			continue
		}
		if x := c.sum + q.granted(b, c.prices); x > dual {
			best, dual = c, x
		}
	}
	if best == nil {
		return false
	}
	copy(b.prices, best.prices)
	for _, i := range q.order {
		if open>>i&1 == 0 {
			b.prices[i] = noPrice
		}
	}
	b.dual = dual
	if q.hopeless(b) {
		return true
	}
	b.base = score{}
	for j, c := range best.picks {
		b.values[j], b.picks[j] = best.values[j], c
		if c.mask&^open != 0 || b.limits != nil {
			b.values[j], b.picks[j] = q.value(b, j, open, b.prices)
		}
		b.base = b.base.plus(b.picks[j].score)
	}
	b.dual = q.total(b)
	return true
}
