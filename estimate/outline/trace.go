package outline

import (
	"math"

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

// Trace is Divide with the boundary of every class. No edge is missing: at every x the edges of a class that run one
// way are as many as those that run the other way. Ends that meet are equal, or apart by rounding of up to 1e-9 m
// square to x; upright gaps below that have no edge.
func Trace(regions []Region, classes int, class func(Cover) int) []Tract {
	tracts := make([]Tract, classes)
	regions, turned := upright(regions)
	origin, ok := middle(regions)
	if !ok {
		return tracts
	}
	s := newSweep(regions, origin)
	sums := make([]total, classes)
	k := knots{}
	place := func(x, y float64) Point {
		y = k.tie(x, y)
		return turned.back(Point{origin.X + measure.Length(x), origin.Y + measure.Length(y)})
	}
	add := func(class int32, e Edge) {
		if e.From != e.To {
			tracts[class].Edges = append(tracts[class].Edges, e)
		}
	}
	s.class = within(classes, class)
	s.account = func(c *curve, from, to float64) {
		area, length := c.under(from, to)
		e := Line(place(from, c.at(from)), place(to, c.at(to)))
		if c.half != 0 {
			e.Centre = turned.back(Point{origin.X + measure.Length(c.cx), origin.Y + measure.Length(c.cy)})
			e.Radius = measure.Length(c.r)
			e.Turn = measure.Angle(-float64(c.half) * length / c.r) // from left to right the upper half runs clockwise
		}
		if c.below >= 0 {
			sums[c.below].add(area, length)
			add(c.below, e.Reverse())
		}
		if c.above >= 0 {
			sums[c.above].add(-area, length)
			add(c.above, e)
		}
	}
	s.upright = func(x float64, a, b int32, from, to float64) {
		e := Line(place(x, from), place(x, to))
		if a >= 0 {
			sums[a].length += to - from
			add(a, e)
		}
		if b >= 0 {
			sums[b].length += to - from
			add(b, e.Reverse())
		}
	}
	s.run()
	for i := range sums {
		tracts[i].Share = sums[i].share()
	}
	return tracts
}

// knots are the places where edges end, by x. Ends that are one on paper are tied together, so that they stay one when
// the plane is turned back.
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
