package outline

import (
	"math"

	"bedline/estimate/measure"
)

// Cover is a set of regions by their numbers.
type Cover []uint64

// Has tells whether region i is in the set.
func (c Cover) Has(i int) bool { return c[i/64]>>(i%64)&1 != 0 }

// Share is what one class of ground takes: its area, and the length of the boundary of the union of its cells,
// holes included. Where two cells of the class meet there is no boundary.
type Share struct {
	Area      measure.Area
	Perimeter measure.Length
}

// Divide cuts the plane along the edges of all regions into cells and adds them up by class. For each cell class is
// given the set of regions that cover it, which is only lent, and returns a class from 0 to classes - 1; any other
// number, such as None, leaves the cell out. Ground that no region covers is in no class. The result is indexed by
// class.
//
// Lines and arcs are taken as they are; nothing is cut into chords. Edges that stay within 1e-9 m of each other are
// one, whichever way they run and whichever regions they belong to, so shapes laid flush leave no slivers. Loops
// that are left open are closed by a straight line; loops with numbers that are not finite are left out. Regions may
// overlap, be empty, or lie apart.
func Divide(regions []Region, classes int, class func(Cover) int) []Share {
	shares := make([]Share, classes)
	origin, ok := middle(regions)
	if !ok {
		return shares
	}
	s := newSweep(regions, origin)
	sums := make([]total, classes)
	s.class = func(c Cover) int32 {
		if n := class(c); n >= 0 && n < classes {
			return int32(n)
		}
		return none
	}
	s.account = func(c *curve, from, to float64) {
		area, length := c.under(from, to)
		if c.below >= 0 {
			sums[c.below].add(area, length)
		}
		if c.above >= 0 {
			sums[c.above].add(-area, length)
		}
	}
	s.upright = func(a, b int32, from, to float64) {
		if a >= 0 {
			sums[a].length += to - from
		}
		if b >= 0 {
			sums[b].length += to - from
		}
	}
	s.run()
	for i := range sums {
		// A class whose cells are all thinner than a point can come out a hair below zero.
		shares[i] = Share{measure.Area(max(0, sums[i].area+sums[i].lost)), measure.Length(sums[i].length)}
	}
	return shares
}

// total adds areas up with what each sum loses (Neumaier): areas down to the axis are far larger than the cells
// between them.
type total struct{ area, lost, length float64 }

func (t *total) add(area, length float64) {
	sum := t.area + area
	if math.Abs(t.area) >= math.Abs(area) {
		t.lost += (t.area - sum) + area
	} else {
		t.lost += (area - sum) + t.area
	}
	t.area = sum
	t.length += length
}

// middle is the middle of the bounds of all loops, by their ends: near it numbers keep the most digits.
func middle(regions []Region) (Point, bool) {
	low := Point{measure.Length(math.Inf(1)), measure.Length(math.Inf(1))}
	high := Point{-low.X, -low.Y}
	for _, r := range regions {
		for _, l := range r {
			for i := range l {
				if p := l[i].From; p.finite() {
					low = Point{min(low.X, p.X), min(low.Y, p.Y)}
					high = Point{max(high.X, p.X), max(high.Y, p.Y)}
				}
			}
		}
	}
	if !(low.X <= high.X) {
		return Point{}, false
	}
	return Point{(low.X + high.X) / 2, (low.Y + high.Y) / 2}, true
}
