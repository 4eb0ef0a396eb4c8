package outline

import (
	"math"

	"bedline/estimate/measure"
)

// Loop is a closed chain of edges: each starts where the one before ends.
type Loop []Edge

// Region is the set of points about which the loops wind a number of times other than zero. Loops may overlap and
// share edges: several counter-clockwise loops make their union; a clockwise loop inside a counter-clockwise one is
// a hole.
type Region []Loop

// Area is the enclosed area, negative where the loop runs clockwise.
func (l Loop) Area() measure.Area {
	if len(l) == 0 {
		return 0
	}
	o := l[0].From // sums are taken from a corner: far from the origin they would lose digits
	var sum float64
	for i := range l {
		e := &l[i]
		sum += cross(float64(e.From.X-o.X), float64(e.From.Y-o.Y), float64(e.To.X-o.X), float64(e.To.Y-o.Y))
		if !e.Straight() {
			sum += float64(float64(e.Radius) * float64(e.Radius) * measure.Slack(e.Turn))
		}
	}
	return measure.Area(sum / 2)
}

// Perimeter is the length all round.
func (l Loop) Perimeter() measure.Length {
	var sum measure.Length
	for i := range l {
		sum += l[i].Length()
	}
	return sum
}

// Reverse is the same loop walked the other way.
func (l Loop) Reverse() Loop {
	r := make(Loop, len(l))
	for i, e := range l {
		r[len(l)-1-i] = e.Reverse()
	}
	return r
}

// Translate is the loop moved by (dx, dy).
func (l Loop) Translate(dx, dy measure.Length) Loop {
	r := make(Loop, len(l))
	for i, e := range l {
		r[i] = e.Translate(dx, dy)
	}
	return r
}

// Rotate is the loop turned counter-clockwise about a point.
func (l Loop) Rotate(about Point, by measure.Angle) Loop {
	sin, cos := measure.Sin(by), measure.Cos(by)
	r := make(Loop, len(l))
	for i, e := range l {
		r[i] = e.rotate(about, sin, cos)
	}
	return r
}

// Bounds are the corners of the least upright rectangle that holds the loop.
func (l Loop) Bounds() (low, high Point) {
	low = Point{measure.Length(math.Inf(1)), measure.Length(math.Inf(1))}
	high = Point{measure.Length(math.Inf(-1)), measure.Length(math.Inf(-1))}
	for i := range l {
		a, b := l[i].Bounds()
		low = Point{min(low.X, a.X), min(low.Y, a.Y)}
		high = Point{max(high.X, b.X), max(high.Y, b.Y)}
	}
	return low, high
}

// Bounds are the corners of the least upright rectangle that holds the edge.
func (e Edge) Bounds() (low, high Point) {
	low = Point{min(e.From.X, e.To.X), min(e.From.Y, e.To.Y)}
	high = Point{max(e.From.X, e.To.X), max(e.From.Y, e.To.Y)}
	if e.Straight() {
		return low, high
	}
	r := float64(e.Radius)
	if e.sweeps(r, 0) {
		high.X = max(high.X, e.Centre.X+e.Radius)
	}
	if e.sweeps(-r, 0) {
		low.X = min(low.X, e.Centre.X-e.Radius)
	}
	if e.sweeps(0, r) {
		high.Y = max(high.Y, e.Centre.Y+e.Radius)
	}
	if e.sweeps(0, -r) {
		low.Y = min(low.Y, e.Centre.Y-e.Radius)
	}
	return low, high
}

// sweeps tells whether an arc passes the direction (dx, dy) seen from its centre.
func (e *Edge) sweeps(dx, dy float64) bool {
	fx, fy := float64(e.From.X-e.Centre.X), float64(e.From.Y-e.Centre.Y)
	tx, ty := float64(e.To.X-e.Centre.X), float64(e.To.Y-e.Centre.Y)
	turn := float64(e.Turn)
	if turn < 0 {
		fx, fy, tx, ty, turn = tx, ty, fx, fy, -turn
	}
	switch {
	case turn >= 2*float64(measure.Pi):
		return true
	case turn <= float64(measure.Pi):
		in := cross(fx, fy, dx, dy) >= 0 && cross(dx, dy, tx, ty) >= 0
		if turn < float64(measure.Pi)/2 { // both products also pass far behind a short arc
			return in && dot(fx+tx, fy+ty, dx, dy) > 0
		}
		return in
	}
	return !(cross(tx, ty, dx, dy) > 0 && cross(dx, dy, fx, fy) > 0)
}

// RectangleLoop is the rectangle of the given length along +x and width along +y from its corner at, turned
// counter-clockwise about that corner.
func RectangleLoop(at Point, length, width measure.Length, rotate measure.Angle) Loop {
	p := [4]Point{at, {at.X + length, at.Y}, {at.X + length, at.Y + width}, {at.X, at.Y + width}}
	if rotate != 0 {
		sin, cos := measure.Sin(rotate), measure.Cos(rotate)
		for i := 1; i < 4; i++ {
			p[i] = spun(p[i], at, sin, cos)
		}
	}
	return Quad(p[0], p[1], p[2], p[3])
}

// CircleLoop is the whole circle as one edge.
func CircleLoop(centre Point, radius measure.Length) Loop {
	return Loop{Arc(centre, radius, 0, 2*measure.Pi)}
}

// Quad is the four-sided loop through the points, which may run either way round; the loop runs counter-clockwise.
func Quad(a, b, c, d Point) Loop {
	l := Loop{Line(a, b), Line(b, c), Line(c, d), Line(d, a)}
	if l.Area() < 0 {
		l[0], l[1], l[2], l[3] = Line(a, d), Line(d, c), Line(c, b), Line(b, a)
	}
	return l
}

// Sector is the ground between two circles about one centre, from a direction over a turn, counter-clockwise. The
// radii may come in either order; the smaller may be zero (a slice of the disc). A negative turn sweeps to the
// right. A full turn gives the whole ring as one loop, closed by a seam that is walked both ways.
func Sector(centre Point, r1, r2 measure.Length, from, turn measure.Angle) Loop {
	if turn < 0 {
		from, turn = from+turn, -turn
	}
	turn = min(turn, 2*measure.Pi)
	r1, r2 = min(r1, r2), max(r1, r2)
	outer := Arc(centre, r2, from, turn)
	if r1 <= 0 {
		if turn >= 2*measure.Pi {
			return Loop{outer}
		}
		return Loop{outer, Line(outer.To, centre), Line(centre, outer.From)}
	}
	inner := Arc(centre, r1, from, turn).Reverse()
	return Loop{outer, Line(outer.To, inner.From), inner, Line(inner.To, outer.From)}
}
