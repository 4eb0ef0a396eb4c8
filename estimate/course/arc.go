package course

import (
	"math"

	"bedline/estimate/measure"
)

// ring is an arc of the bed line with a unit size: r the radius of the line, l the face along it, w across it.
type ring struct {
	r, l, w, j float64
	inside     bool // the bed is inside the arc, the course between r - w and r
}

// pitch is how units follow each other round an arc. The faces that set the distance are chords of a circle of
// radius rho, or tangents to it at their middles.
type pitch struct {
	rho   float64
	chord bool
	unit  measure.Angle // taken by the face of one unit
	joint measure.Angle // taken by a joint
}

func (p pitch) turn() measure.Angle { return p.unit + p.joint }

// span is the angle that a face of the given length takes, face the length that an angle leaves.
func (p pitch) span(length float64) measure.Angle {
	if p.chord {
		return 2 * measure.Asin(length/(2*p.rho))
	}
	return 2 * measure.Atan(length/(2*p.rho))
}

func (p pitch) face(a measure.Angle) float64 {
	if p.chord {
		return 2 * p.rho * measure.Sin(a/2)
	}
	return 2 * p.rho * measure.Tan(a/2)
}

// cut is the pitch of wedge-cut units. Bed inside: the outer corners stand on the line, so unit and joint are chords
// of it. Bed outside: the near face touches the line with its middle and the far faces meet.
func (g ring) cut() pitch {
	p := pitch{rho: g.r + g.w}
	if g.inside {
		p = pitch{rho: g.r, chord: true}
	}
	p.unit, p.joint = p.span(g.l), p.span(g.j)
	return p
}

// open is the pitch of uncut units whose corners nearest the centre touch.
func (g ring) open() pitch {
	p := pitch{rho: g.r}
	if g.inside {
		p.rho = g.apothem() - g.w
	}
	p.unit = p.span(g.l)
	return p
}

// apothem is the distance of a chord of length l from the centre.
func (g ring) apothem() float64 { return math.Sqrt(float64(g.r*g.r) - float64(g.l*g.l/4)) }

// leastOpen is the radius at which the inner faces of uncut units would have to stand in the centre.
func (g ring) leastOpen() float64 {
	if !g.inside {
		return 0
	}
	return math.Sqrt(float64(g.w*g.w) + float64(g.l*g.l/4))
}

// leastCut is the radius at which the two wedge cuts of a unit meet: L = 2 W tan(turn/2).
//
// Bed inside, turn/2 is an inscribed angle over two chords L and j of the line, so that the chord c between their far
// ends has c^2 = L^2 + j^2 + 2 L j cos(turn/2) and R = c / (2 sin(turn/2)). Bed outside, the sum of the two
// arctangents gives a quadratic in D = 2 (R + W): L D^2 - 2 W (L + j) D - L^2 j = 0.
func (g ring) leastCut() float64 {
	l, w, j := g.l, g.w, g.j
	if g.inside {
		side := math.Sqrt(float64(l*l) + float64(4*w*w))
		c := math.Sqrt(float64(l*l) + float64(j*j) + float64(2*l*j*(2*w/side)))
		return c / (2 * (l / side))
	}
	b := float64(w * (l + j)) // a product may be fused with a sum even in a later statement
	return (b+math.Sqrt(float64(b*b)+float64(l*l*l*j)))/(2*l) - w
}

// gap is the widest open joint of a pitch that turns by a from unit to unit: at the outer corners. near is its width
// at the corners nearest the centre, 0 when they touch.
func (g ring) gap(a measure.Angle) (wide, near float64) {
	h := g.r
	if g.inside {
		h = g.apothem() - g.w
	}
	return between(h+g.w, g.l, a), between(h, g.l, a)
}

// between is the distance of the corners of two faces of length l at distance h from the centre, turned by a.
func between(h, l float64, a measure.Angle) float64 {
	half := a/2 - measure.Atan(l/(2*h))
	return math.Max(0, 2*math.Sqrt(float64(h*h)+float64(l*l/4))*measure.Sin(half))
}

// openGap is the gap of uncut units that touch: 2 W sin(turn/2), where tan(turn/2) = L / 2h and h is the distance of
// the touching faces from the centre.
func (g ring) openGap() float64 {
	h := g.r
	if g.inside {
		h = g.apothem() - g.w
	}
	return g.w * g.l / math.Sqrt(float64(h*h)+float64(g.l*g.l/4))
}

// leastUncut is the radius at which openGap is most; the second result is false where no radius is large enough.
func (g ring) leastUncut(most float64) (float64, bool) {
	if most <= 0 {
		return 0, false
	}
	h := float64(g.l * math.Sqrt(math.Max(0, float64((g.w/most)*(g.w/most))-0.25)))
	if !g.inside {
		return h, true
	}
	return math.Sqrt(float64((h+g.w)*(h+g.w)) + float64(g.l*g.l/4)), true
}

// LeastUncut is the least radius of a bed line on which the units can be left uncut with joints no wider than
// JointMax; inside tells that the bed is inside the arc. False: with a JointMax of zero no radius is large enough.
// From gap = 2 W sin(turn/2), solved for the radius.
func (s Spec) LeastUncut(inside bool) (measure.Length, bool) {
	g := ring{l: float64(s.along()), w: float64(s.across()), inside: inside}
	r, ok := g.leastUncut(float64(s.JointMax))
	return measure.Length(r), ok
}

// part lays an arc of angle a between two ends: full = floor((a + joint angle)/turn), a closer for what is left, or
// joints that take up the difference.
func (p pitch) part(a measure.Angle, along, least float64) lot {
	turn := p.turn()
	if measure.RoundUp(float64(a/turn)) <= 0 {
		return lot{}
	}
	t := lot{full: measure.RoundDown(float64((a + p.joint) / turn)), joint: p.face(p.joint)}
	if measure.RoundUp(float64(a/turn)) > t.full {
		t.close(p.face(a-measure.Angle(float64(t.full)*float64(turn))), along, least)
	}
	t.joints = t.units() - 1
	if t.closers == 0 && t.joints > 0 {
		t.joint = math.Max(0, p.face((a-measure.Angle(float64(t.full)*float64(p.unit)))/measure.Angle(t.joints)))
	}
	return t
}

// round lays a full circle: full = floor(2 pi/turn) with what is left spread over the joints where that keeps them
// within most, else one closer more. widest gives the widest joint at a turn.
func (p pitch) round(along, least, most float64, widest func(measure.Angle) float64) lot {
	const circle = 2 * measure.Pi
	turn := p.turn()
	t := lot{full: measure.RoundDown(float64(circle / turn)), joint: p.face(p.joint)}
	t.joints = t.full
	exact := measure.RoundUp(float64(circle/turn)) == t.full
	spread := circle / measure.Angle(t.full)
	switch {
	case exact:
	case !less(most, widest(spread)):
		t.joint = p.face(spread - p.unit)
	default:
		// The closer needs a joint of its own. Where less than that joint is left, the closer would be negative,
		// and sharing it with its neighbour gives the two cut units that fit.
		left := circle - measure.Angle(float64(t.full)*float64(turn)) - p.joint
		t.close(p.face(left), along, least)
		t.joints = t.units()
	}
	return t
}
