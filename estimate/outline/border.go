package outline

import (
	"math"

	"bedline/estimate/measure"
)

// Border is the boundary of wanted ground, for distances from it. What it holds does not change.
type Border struct {
	about    Point // the ground is turned about it, so that no edge is all but upright
	sin, cos float64
	origin   Point // of the sweep
	edges    []Edge
	below    []stretch // the edges that are not upright
}

// Trace finds the boundary of the cells whose set of regions wanted accepts; ground that no region covers is not asked
// about.
func Trace(regions []Region, wanted func(Cover) bool) *Border {
	b := &Border{cos: 1}
	about, ok := middle(regions)
	if !ok {
		return b
	}
	b.about = about
	if b.sin, b.cos = frame(regions); b.sin != 0 {
		regions = spunRegions(regions, about, b.sin, b.cos)
	}
	if b.origin, ok = middle(regions); !ok {
		return b
	}
	s := newSweep(regions, b.origin)
	s.class = func(c Cover) int32 {
		if wanted(c) {
			return 0
		}
		return none
	}
	s.account = func(c *curve, from, to float64) {
		b.below = append(b.below, stretch{c, from, to})
		b.edges = append(b.edges, c.edge(from, to))
	}
	s.upright = func(_, _ int32, from, to float64) {
		x := measure.Length(s.here)
		b.edges = append(b.edges, Line(Point{x, measure.Length(from)}, Point{x, measure.Length(to)}))
	}
	s.run()
	return b
}

// frame is the direction, by sine and cosine, in which the fewest edges are all but upright.
func frame(regions []Region) (sin, cos float64) {
	sin, cos = 0, 1
	least := leaning(regions, sin, cos)
	for _, f := range frames {
		if least == 0 {
			break
		}
		if n := leaning(regions, f[0], f[1]); n < least {
			least, sin, cos = n, f[0], f[1]
		}
	}
	return sin, cos
}

// edge is the stretch of a curve from left to right.
func (c *curve) edge(from, to float64) Edge {
	point := func(x float64) Point { return Point{measure.Length(x), measure.Length(c.at(x))} }
	e := Line(point(from), point(to))
	if c.half == 0 {
		return e
	}
	ax, ay := float64(e.From.X)-c.cx, float64(e.From.Y)-c.cy
	bx, by := float64(e.To.X)-c.cx, float64(e.To.Y)-c.cy
	e.Centre, e.Radius = Point{measure.Length(c.cx), measure.Length(c.cy)}, measure.Length(c.r)
	e.Turn = measure.Angle(math.Abs(float64(measure.Atan2(cross(ax, ay, bx, by), dot(ax, ay, bx, by)))))
	if c.half > 0 {
		e.Turn = -e.Turn
	}
	return e
}

// Distance is the least distance between the straight line from one point to another and the ground: 0 where the line
// runs over it or within 1e-9 m of it, infinite without ground.
func (b *Border) Distance(from, to Point) measure.Length {
	line := Line(b.place(from), b.place(to))
	if b.holds(line.From) {
		return 0
	}
	least := measure.Length(math.Inf(1))
	for i := range b.edges {
		least = min(least, b.edges[i].apart(&line))
	}
	if least <= same {
		return 0
	}
	return least
}

// place is a point in the frame of the sweep.
func (b *Border) place(p Point) Point {
	if b.sin != 0 {
		p = spun(p, b.about, b.sin, b.cos)
	}
	return Point{p.X - b.origin.X, p.Y - b.origin.Y}
}

// holds tells whether ground lies about a point: an odd number of its edges lie below.
func (b *Border) holds(p Point) bool {
	inside := false
	x, y := float64(p.X), float64(p.Y)
	for i := range b.below {
		if e := &b.below[i]; e.from <= x && x < e.to && e.curve.at(x) < y {
			inside = !inside
		}
	}
	return inside
}

// apart is the least distance between an edge and a straight line.
func (e *Edge) apart(line *Edge) measure.Length {
	least := min(e.away(line.From), e.away(line.To), line.away(e.From), line.away(e.To))
	if e.Straight() {
		if _, crossed := linesCross(e, line); crossed {
			return 0
		}
		return least
	}
	for _, p := range crossings(e, line) {
		if e.away(p) <= same && line.away(p) <= same {
			return 0
		}
	}
	// Where the arc runs along the line: at the points whose radius is square to it.
	dx, dy := float64(line.To.X-line.From.X), float64(line.To.Y-line.From.Y)
	l := norm(dx, dy)
	if l == 0 {
		return least
	}
	for _, r := range [2]float64{float64(e.Radius), -float64(e.Radius)} {
		ux, uy := -dy/l*r, dx/l*r
		if e.sweeps(ux, uy) {
			least = min(least, line.away(Point{e.Centre.X + measure.Length(ux), e.Centre.Y + measure.Length(uy)}))
		}
	}
	return least
}
