package supply

import "math"

// score orders plans and parts of plans; scores of parts add up to the score of the whole, and the order holds under
// addition, so that sums of least parts bound sums.
type score struct {
	cost    int64
	trips   int64
	packs   int64 // billionths of a count
	surplus int64 // billionths of the need
}

func (a score) plus(b score) score {
	return score{a.cost + b.cost, a.trips + b.trips, a.packs + b.packs, a.surplus + b.surplus}
}

func (a score) minus(b score) score {
	return score{a.cost - b.cost, a.trips - b.trips, a.packs - b.packs, a.surplus - b.surplus}
}

func (a score) compare(b score) int {
	switch {
	case a.cost != b.cost:
		return sign(a.cost < b.cost)
	case a.trips != b.trips:
		return sign(a.trips < b.trips)
	case a.packs != b.packs:
		return sign(a.packs < b.packs)
	case a.surplus != b.surplus:
		return sign(a.surplus < b.surplus)
	}
	return 0
}

func sign(less bool) int {
	if less {
		return -1
	}
	return 1
}

// line is a purchase. Items are numbered in the order of their keys.
type line struct {
	item  int32
	steps int32
	cost  int64
}

// compareLines is below zero if a buys more of the offer whose key sorts first among those that differ. Lines are in
// order of items.
func compareLines(a, b []line) int {
	for i := range a {
		switch {
		case i >= len(b):
			return -1
		case a[i].item != b[i].item:
			return sign(a[i].item < b[i].item)
		case a[i].steps != b[i].steps:
			return sign(a[i].steps > b[i].steps)
		}
	}
	if len(b) > len(a) {
		return 1
	}
	return 0
}

// combo is a combination of the offers of one material that covers its need.
type combo struct {
	score  score
	priced int64  // cost with the goods and loads at the prices of the mixer
	mask   uint64 // sellers
	lines  []line
	dims   []float64 // what it takes of each dimension of the mixer
}

// dimension is a resource that ties the materials together: the mass or volume of all goods of a seller, which may not
// exceed a number of drops, or the goods, counted negative, which must reach an amount. All are to be kept at or below limit.
type dimension struct {
	seller  int
	sellers uint64 // whose goods or loads it holds: the family where it holds goods
	kind    dimensionKind
	limit   float64 // goods: minus the amount; mass and volume: of all drops, loosened by a little more than the guard
}

type dimensionKind uint8

const (
	ofMass dimensionKind = iota
	ofVolume
	ofGoods
)

// demand is a need made ready.
type demand struct {
	quantity float64
	target   float64 // quantity less the guard
	items    []int32 // in order of rate
	sellers  uint64
	combos   []combo    // those that no other within its sellers beats, best first
	lower    int64      // no combination costs less
	proved   bool       // combos are all there are
	value    *valuation // of the surplus; nil if it has none
}

// best is the cheapest combination from the sellers, nil if there is none.
func (d *demand) best(allowed uint64) *combo {
	for i := range d.combos {
		if d.combos[i].mask&^allowed == 0 {
			return &d.combos[i]
		}
	}
	return nil
}

// surplus is the share of the need, to the nearest billionth, by which the content is above it. It orders plans and counts
// nothing, so it goes without the guard of counts, which at this fineness would add to it.
func (d *demand) surplus(content float64) int64 {
	return int64(math.Round(min(max(0, (content-d.quantity)/d.quantity*1e9), 1<<60)))
}
