package course

import (
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// Piece is one unit of a course where it lies: the outline of its face, counter-clockwise.
type Piece struct {
	Run  int  // index in Course.Runs
	Cut  bool // by a closer, a wedge or the cut of an end
	Loop outline.Loop
}

// Pieces are the units of a course laid with the spec given, run by run in the order of laying. Joints are as wide as
// the runs say, so that faces and joints fill a run. At the ends of a run units are cut along the joint of the corner;
// on an arc that ends in a corner the cut is that of its tangent.
func (c *Course) Pieces(s Spec) []Piece {
	pieces := make([]Piece, 0, c.Units.Total)
	for k := range c.Runs {
		r := &c.Runs[k]
		if r.Units.Total == 0 {
			continue
		}
		from := len(pieces)
		if r.Edge.Straight() {
			pieces = r.placeStraight(pieces, s)
		} else {
			pieces = r.placeArc(pieces, s)
		}
		for i := from; i < len(pieces); i++ {
			pieces[i].Run = k
			// Closers come last, and both ends of a run may be cut.
			n := i - from
			pieces[i].Cut = r.WedgeCuts() > 0 || n >= r.Full || n == 0 && r.First.Off > 0 || n == r.Units.Total-1 && r.Last.Off > 0
		}
	}
	return pieces
}

// laid is the bed line of the run in the order of laying, and the side on which the course then lies: 1 left, -1 right.
func (r *Run) laid() (outline.Edge, float64) {
	if r.Falling {
		return r.Edge.Reverse(), -1
	}
	return r.Edge, 1
}

// reach is how much farther the inner face reaches along the run than the face on the bed line, at an end cut aslant.
func (e End) reach(s Spec) float64 {
	if e.Cut == 0 {
		return 0
	}
	off := float64(e.Off)
	if e.Kind == Mitred {
		if e.Turn > 0 {
			return -off
		}
		return off
	}
	if bend := max(e.Turn, -e.Turn); (bend < measure.Pi/2) != (e.Turn < 0) {
		return off
	}
	return -off
}

// face is the length of unit n of the run along the line.
func (r *Run) face(n int, s Spec) float64 {
	if n < r.Full {
		return float64(s.along())
	}
	return float64(r.Closer)
}

func (r *Run) placeStraight(pieces []Piece, s Spec) []Piece {
	e, side := r.laid()
	along := from(e.From, e.To).unit()
	across := along.left().times(side)
	w := float64(s.across())
	spot := func(x, y float64) outline.Point { return at(e.From, along.times(x).plus(across.times(y))) }
	start, end := float64(r.First.Back), float64(r.Length-r.Last.Back)
	x := start - float64(r.First.Added+r.First.Back)
	for n := range r.Units.Total {
		l := r.face(n, s)
		poly := []outline.Point{spot(x, 0), spot(x+l, 0), spot(x+l, w), spot(x, w)}
		if r.First.Cut != 0 {
			poly = clipped(poly, spot(start, 0), spot(start-r.First.reach(s), w), spot(end+w, w/2))
		}
		if r.Last.Cut != 0 {
			poly = clipped(poly, spot(end, 0), spot(end+r.Last.reach(s), w), spot(start-w, w/2))
		}
		pieces = append(pieces, Piece{Loop: closed(poly)})
		x += l + float64(r.JointWidth)
	}
	return pieces
}

func (r *Run) placeArc(pieces []Piece, s Spec) []Piece {
	e, side := r.laid()
	g := ring{r: float64(r.Radius), l: float64(s.along()), w: float64(s.across()), j: float64(s.Joint), inside: r.Inside}
	p := g.cut()
	if r.Laying == LaidOpen {
		p = g.open()
	}
	turn := measure.Angle(1)
	if e.Turn < 0 {
		turn = -1
	}
	first := measure.Angle(float64(r.First.Added) / float64(e.Radius)) // added where the run starts, below zero taken off
	step, joint := p.turn(), p.joint
	whole := r.Joints == r.Units.Total && r.Joints > 0 // a circle that closes on itself
	switch {
	case r.Closers > 0 || r.Units.Total < 2 && !whole:
	case whole:
		step = 2 * measure.Pi / measure.Angle(r.Full)
		joint = step - p.unit
	default:
		joint = (r.Turn - measure.Angle(float64(r.Full)*float64(p.unit))) / measure.Angle(r.Joints)
		step = p.unit + joint
	}
	radial := from(e.Centre, e.From).unit()
	ray := func(a measure.Angle) vector {
		a *= turn
		return radial.times(measure.Cos(a)).plus(radial.left().times(measure.Sin(a)))
	}
	a := -first
	for n := range r.Units.Total {
		l := r.face(n, s)
		angle := p.span(l)
		poly := r.onArc(g, e.Centre, ray, a+angle/2, l, step)
		if n == 0 {
			along := heading(e, e.From)
			poly = endCut(poly, r.First, e.From, along, along.left().times(side), s)
		}
		if n == r.Units.Total-1 {
			along := heading(e, e.To)
			poly = endCut(poly, r.Last, e.To, along.times(-1), along.left().times(side), s)
		}
		pieces = append(pieces, Piece{Loop: closed(poly)})
		a += angle + joint
	}
	return pieces
}

// onArc is a unit of length l on an arc with its middle in the direction mid from the centre.
func (r *Run) onArc(g ring, centre outline.Point, ray func(measure.Angle) vector, mid measure.Angle, l float64, step measure.Angle) []outline.Point {
	out := ray(mid)
	along := out.left()
	// The near and the far face of the unit, as distances from the centre.
	low, high := g.r, g.r+g.w
	if g.inside {
		chord := g.apothem()
		if l < g.l { // the corners of a closer stand on the line too
			chord = (ring{r: g.r, l: l}).apothem()
		}
		low, high = chord-g.w, chord
	}
	short := l
	if r.Laying == LaidCut && r.WedgeCuts() > 0 {
		short = l - float64(2*g.w)*measure.Tan(step/2)
		if short < 0 {
			short = 0
		}
	}
	spot := func(h, x float64) outline.Point { return at(centre, out.times(h).plus(along.times(x))) }
	return []outline.Point{spot(high, -l/2), spot(high, l/2), spot(low, short/2), spot(low, -short/2)}
}

// endCut cuts a unit of an arc along the joint of the corner at the end of the run where it lies. along is the direction
// in which the run goes on from the end into the unit.
func endCut(poly []outline.Point, end End, p outline.Point, along, across vector, s Spec) []outline.Point {
	if end.Cut == 0 {
		return poly
	}
	w := float64(s.across())
	face := at(p, along.times(float64(end.Back)))
	inner := at(face, across.times(w).plus(along.times(-end.reach(s))))
	return clipped(poly, face, inner, at(face, along.times(w).plus(across.times(w/2))))
}

// clipped is the part of a convex polygon on the side of the line through a and b on which keep lies.
func clipped(poly []outline.Point, a, b, keep outline.Point) []outline.Point {
	line := from(a, b)
	side := func(p outline.Point) float64 { return line.cross(from(a, p)) }
	sign := 1.0
	if side(keep) < 0 {
		sign = -1
	}
	out := make([]outline.Point, 0, len(poly)+2)
	for i, p := range poly {
		q := poly[(i+1)%len(poly)]
		u, v := side(p)*sign, side(q)*sign
		if u >= 0 {
			out = append(out, p)
		}
		if u > 0 && v < 0 || u < 0 && v > 0 {
			out = append(out, at(p, from(p, q).times(u/(u-v))))
		}
	}
	return out
}

// closed is the loop through the corners of a polygon, counter-clockwise, without sides of no length.
func closed(poly []outline.Point) outline.Loop {
	loop := make(outline.Loop, 0, len(poly))
	for i, p := range poly {
		if q := poly[(i+1)%len(poly)]; from(p, q).size() > pointLike {
			loop = append(loop, outline.Edge{From: p, To: q})
		}
	}
	for i := range loop { // what was left out leaves no gaps
		loop[i].To = loop[(i+1)%len(loop)].From
	}
	if loop.Area() < 0 {
		return loop.Reverse()
	}
	return loop
}
