package outline

import (
	"cmp"
	"math"
	"slices"

	"bedline/estimate/measure"
)

// Tract is what one class of ground takes, with its boundary: directed edges, the ground of the class on the left, in
// no order, lines and arcs as they are. Holes run clockwise about what they leave out. Where two cells of the class meet there
// is no edge.
type Tract struct {
	Share
	Edges []Edge
}

// Region is the ground as one loop whose edges don't follow each other; what adds up over edges may take it.
func (t *Tract) Region() Region { return Region{Loop(t.Edges)} }

// Trace is Divide with the boundary of every class. The edges of a class close: as many end in a place as start there.
// A stop of the sweep, good to 1e-10 m along x, is good to far less along y where an edge runs all but upright, so the
// edges that close such gaps, and with them their length, may come to up to 1e-5 m each.
func Trace(regions []Region, classes int, class func(Cover) int) []Tract {
	tracts := make([]Tract, classes)
	regions, turned := upright(regions)
	origin, ok := middle(regions)
	if !ok {
		return tracts
	}
	s := newSweep(regions, origin)
	sums := make([]total, classes)
	place := func(x, y float64) Point {
		return turned.back(Point{origin.X + measure.Length(x), origin.Y + measure.Length(y)})
	}
	var ends []end
	k := knots{}
	keep := func(class int32, e Edge) {
		if e.From != e.To {
			tracts[class].Edges = append(tracts[class].Edges, e)
		}
	}
	add := func(class int32, e Edge, from, to end) {
		from.class, to.class, from.flow, to.flow = class, class, -1, 1
		ends = append(ends, from, to)
		keep(class, e)
	}
	s.class = within(classes, class)
	s.account = func(c *curve, from, to float64) {
		area, length := c.under(from, to)
		left, right := end{x: from, y: k.tie(from, c.at(from))}, end{x: to, y: k.tie(to, c.at(to))}
		e := Line(place(left.x, left.y), place(right.x, right.y))
		if c.half != 0 {
			e.Centre = turned.back(Point{origin.X + measure.Length(c.cx), origin.Y + measure.Length(c.cy)})
			e.Radius = measure.Length(c.r)
			e.Turn = measure.Angle(-float64(c.half) * length / c.r) // from left to right the upper half runs clockwise
		}
		if c.below >= 0 {
			sums[c.below].add(area, length)
			add(c.below, e.Reverse(), right, left)
		}
		if c.above >= 0 {
			sums[c.above].add(-area, length)
			add(c.above, e, left, right)
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
	closeUp(ends, func(class int32, x, from, to float64) {
		keep(class, Line(place(x, from), place(x, to)))
	})
	for i := range sums {
		tracts[i].Share = sums[i].share()
	}
	return tracts
}

// end is where an edge of a class starts (flow -1) or ends (1).
type end struct {
	x, y        float64
	class, flow int32
}

// closeUp finds the upright edges between ends: what arrives at a place and does not leave it again goes up or down the
// line at its x to where more leaves than arrives.
func closeUp(ends []end, edge func(class int32, x, from, to float64)) {
	slices.SortFunc(ends, func(a, b end) int {
		return cmp.Or(cmp.Compare(a.class, b.class), cmp.Compare(a.x, b.x), cmp.Compare(a.y, b.y))
	})
	flow := int32(0) // up from the end before
	for i, e := range ends {
		if i > 0 && (e.class != ends[i-1].class || e.x != ends[i-1].x) {
			flow = 0
		}
		if flow != 0 && e.y != ends[i-1].y {
			for range max(flow, -flow) {
				if flow > 0 {
					edge(e.class, e.x, ends[i-1].y, e.y)
				} else {
					edge(e.class, e.x, e.y, ends[i-1].y)
				}
			}
		}
		flow += e.flow
	}
}

// knots are the places where edges end, by x. Ends that rounding alone keeps apart are tied together, so that what is one
// place on paper is one to the last bit.
type knots map[float64][]float64

func (k knots) tie(x, y float64) float64 {
	for _, z := range k[x] {
		if math.Abs(z-y) <= 4*same {
			return z
		}
	}
	k[x] = append(k[x], y)
	return y
}
