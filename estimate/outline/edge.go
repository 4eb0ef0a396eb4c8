package outline

import (
	"math"

	"bedline/estimate/measure"
)

// same is the distance in metres below which two points are one.
const same = 1e-9

// Point is a place in the plane of the job.
type Point struct{ X, Y measure.Length }

// Edge is a directed straight line or circular arc.
type Edge struct {
	From, To Point

	// Centre and Radius of an arc; the zero values for a straight line.
	Centre Point
	Radius measure.Length

	// Turn is the angle swept about Centre from From to To: positive to the left (counter-clockwise), negative to
	// the right, zero for a straight line, at most a full circle.
	Turn measure.Angle
}

// Line is the straight edge between two points.
func Line(from, to Point) Edge { return Edge{From: from, To: to} }

// Arc is the arc about a centre that starts in direction from (seen from the centre, 0 along +x) and sweeps turn,
// positive counter-clockwise, at most a full circle. The ends of a full circle are the same point exactly.
func Arc(centre Point, radius measure.Length, from, turn measure.Angle) Edge {
	e := Edge{Centre: centre, Radius: radius, Turn: turn}
	e.From = onCircle(centre, radius, from)
	if math.Abs(float64(turn)) >= 2*float64(measure.Pi) {
		e.To = e.From
	} else {
		e.To = onCircle(centre, radius, from+turn)
	}
	return e
}

func onCircle(c Point, r measure.Length, a measure.Angle) Point {
	return Point{
		c.X + measure.Length(float64(r)*measure.Cos(a)),
		c.Y + measure.Length(float64(r)*measure.Sin(a)),
	}
}

// Straight tells whether the edge is a straight line.
func (e Edge) Straight() bool { return e.Turn == 0 }

// Length is the length along the edge.
func (e Edge) Length() measure.Length {
	if e.Straight() {
		return distance(e.From, e.To)
	}
	return measure.Length(float64(e.Radius) * math.Abs(float64(e.Turn)))
}

// Point is the place at share t of the length from From: 0 gives From, 1 gives To.
func (e Edge) Point(t measure.Factor) Point {
	switch {
	case t == 0:
		return e.From
	case t == 1:
		return e.To
	case e.Straight():
		return Point{
			e.From.X + (e.To.X - e.From.X).Scale(t),
			e.From.Y + (e.To.Y - e.From.Y).Scale(t),
		}
	}
	return turned(e.From, e.Centre, measure.Angle(float64(e.Turn)*float64(t)))
}

// Heading is the direction of travel at share t of the length, counter-clockwise from +x, between -pi and pi.
func (e Edge) Heading(t measure.Factor) measure.Angle {
	if e.Straight() {
		return measure.Atan2(float64(e.To.Y-e.From.Y), float64(e.To.X-e.From.X))
	}
	p := e.Point(t)
	dx, dy := float64(p.X-e.Centre.X), float64(p.Y-e.Centre.Y)
	if e.Turn > 0 {
		return measure.Atan2(dx, -dy)
	}
	return measure.Atan2(-dx, dy)
}

// Reverse is the same edge walked the other way.
func (e Edge) Reverse() Edge {
	e.From, e.To, e.Turn = e.To, e.From, 0-e.Turn // 0 stays +0
	return e
}

// Offset is the parallel edge at distance d to the left (negative: to the right). It is not there, and ok is false,
// where the radius of an arc would not stay above zero, or where a straight edge has no length.
func (e Edge) Offset(d measure.Length) (parallel Edge, ok bool) {
	if e.Straight() {
		l := distance(e.From, e.To)
		if l == 0 {
			return Edge{}, false
		}
		f := d.Over(l)
		dx, dy := -(e.To.Y - e.From.Y).Scale(f), (e.To.X - e.From.X).Scale(f)
		return e.Translate(dx, dy), true
	}
	r := e.Radius + d
	if e.Turn > 0 {
		r = e.Radius - d
	}
	if r <= 0 {
		return Edge{}, false
	}
	f := r.Over(e.Radius)
	out := func(p Point) Point {
		return Point{e.Centre.X + (p.X - e.Centre.X).Scale(f), e.Centre.Y + (p.Y - e.Centre.Y).Scale(f)}
	}
	return Edge{From: out(e.From), To: out(e.To), Centre: e.Centre, Radius: r, Turn: e.Turn}, true
}

// Translate is the edge moved by (dx, dy).
func (e Edge) Translate(dx, dy measure.Length) Edge {
	e.From.X, e.From.Y = e.From.X+dx, e.From.Y+dy
	e.To.X, e.To.Y = e.To.X+dx, e.To.Y+dy
	if !e.Straight() {
		e.Centre.X, e.Centre.Y = e.Centre.X+dx, e.Centre.Y+dy
	}
	return e
}

// Rotate is the edge turned counter-clockwise about a point.
func (e Edge) Rotate(about Point, by measure.Angle) Edge {
	s, c := measure.Sin(by), measure.Cos(by)
	return e.rotate(about, s, c)
}

func (e Edge) rotate(about Point, sin, cos float64) Edge {
	e.From, e.To = spun(e.From, about, sin, cos), spun(e.To, about, sin, cos)
	if !e.Straight() {
		e.Centre = spun(e.Centre, about, sin, cos)
	}
	return e
}

// Rotate is the point turned counter-clockwise about another.
func (p Point) Rotate(about Point, by measure.Angle) Point { return turned(p, about, by) }

func turned(p, about Point, by measure.Angle) Point {
	return spun(p, about, measure.Sin(by), measure.Cos(by))
}

func spun(p, about Point, sin, cos float64) Point {
	x, y := float64(p.X-about.X), float64(p.Y-about.Y)
	return Point{
		about.X + measure.Length(float64(x*cos)-float64(y*sin)),
		about.Y + measure.Length(float64(x*sin)+float64(y*cos)),
	}
}

func distance(p, q Point) measure.Length {
	return measure.Length(norm(float64(q.X-p.X), float64(q.Y-p.Y)))
}

func norm(x, y float64) float64 { return math.Sqrt(float64(x*x) + float64(y*y)) }

// cross is the cross product of two vectors: positive where the second points to the left of the first.
func cross(ax, ay, bx, by float64) float64 { return float64(ax*by) - float64(ay*bx) }

// dot is the scalar product of two vectors.
func dot(ax, ay, bx, by float64) float64 { return float64(ax*bx) + float64(ay*by) }

// reach is the greatest coordinate and radius in metres: farther out a float64 can't tell points 1e-9 m apart.
const reach = 1e6

func finite(x measure.Length) bool { return math.Abs(float64(x)) <= reach }

func (p Point) finite() bool { return finite(p.X) && finite(p.Y) }
