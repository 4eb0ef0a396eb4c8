package course

import (
	"math"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// Laying tells how the units of a run stand.
type Laying uint8

const (
	LaidStraight Laying = iota
	LaidOpen            // round an arc, uncut
	LaidCut             // round an arc, wedge cut
)

// Units counts the units of a run or a course. A unit with any cut is a cut unit, and is bought whole.
type Units struct{ Whole, Cut, Total int }

// Run is one straight or one arc of a course.
type Run struct {
	Edge         outline.Edge // the bed line of the run, the course on its left
	Side, Corner int          // as in outline.Element
	First, Last  End          // in the order of laying: rising numbers of the request's sides
	Falling      bool         // laid against the direction of Edge

	// Length is that of the bed line. RunLength is the length that the units have along the line after what the ends
	// take off or add: never below zero, and zero where the neighbours leave no room.
	Length, RunLength measure.Length

	// Radius and Turn (positive) of an arc after what its ends take off or add, and whether the course is inside it.
	Radius measure.Length
	Turn   measure.Angle
	Inside bool

	Laying Laying
	Units  Units

	// Full is the number of units of full length along the line, Closers (0, 1 or 2) those cut to the length Closer.
	// The closers are laid last.
	Full, Closers int
	Closer        measure.Length

	// Joints inside the run and their mean width; a joint with the next run isn't one of them. In a full circle the
	// closing joint is. Gap is the widest place of a joint of an open arc, at the outer corners.
	Joints     int
	JointWidth measure.Length
	Gap        measure.Length

	// UnitTurn is the angle from one unit to the next on an arc. Where units are wedge cut each face at a joint is cut
	// at Wedge = UnitTurn/2, starting at the corner of the longer side: Off is taken off the shorter face by one cut
	// of length CutLength, and ShortFace is left by two.
	UnitTurn, Wedge           measure.Angle
	Off, CutLength, ShortFace measure.Length

	SawPasses int // of all cuts of the run
}

// Shared tells that the closer would have been less than the least piece, so that it shares with its neighbour.
func (r Run) Shared() bool { return r.Closers == 2 }

// Faces are the places on the bed line where the face on it of the first unit starts and that of the last one ends, in
// the order of laying.
func (r Run) Faces() (first, last outline.Point) {
	e := r.Edge
	if r.Falling {
		e = e.Reverse()
	}
	return e.Point(r.First.Back.Over(r.Length)), e.Point(1 - r.Last.Back.Over(r.Length))
}

// WedgeCuts is the number of wedge cuts: two at each joint of a cut arc.
func (r Run) WedgeCuts() int {
	if r.Laying != LaidCut {
		return 0
	}
	return 2 * r.Joints
}

// newRun lays element i of the chain.
func newRun(c *chain, i int, s Spec) (Run, error) {
	e := c.elements[i]
	r := Run{Edge: e.Edge, Side: e.Side, Corner: e.Corner, First: c.ends[i][0], Last: c.ends[i][1],
		Length: e.Length()}
	if r.Falling = c.down[i]; r.Falling {
		r.First, r.Last = r.Last, r.First
	}
	change := float64(r.First.Added + r.Last.Added)
	r.RunLength = max(0, r.Length+measure.Length(change))
	if e.Straight() {
		r.take(straight(float64(r.RunLength), float64(s.along()), float64(s.Joint), s.leastCloser()))
		return r, nil
	}
	r.Radius, r.Inside = e.Radius, e.Turn > 0
	r.Turn = max(0, max(e.Turn, -e.Turn)+measure.Angle(change/float64(e.Radius)))
	return r, r.bend(s, c.round(i))
}

// take enters what a run takes.
func (r *Run) take(t lot) {
	r.Full, r.Closers, r.Closer = t.full, t.closers, measure.Length(t.closer)
	r.Joints, r.JointWidth = max(0, t.joints), measure.Length(t.joint)
	if r.Joints == 0 {
		r.JointWidth = 0
	}
	r.Units.Total = t.units()
	r.count()
}

// count tells cut units from whole ones: those with a wedge, the closers, and end units that are cut, each once.
func (r *Run) count() {
	u := &r.Units
	switch {
	case r.WedgeCuts() > 0:
		u.Cut = u.Total
	default:
		u.Cut = r.Closers
		if r.Last.Off > 0 && u.Cut == 0 && u.Total > 0 {
			u.Cut = 1
		}
		if r.First.Off > 0 && u.Cut < u.Total {
			u.Cut++
		}
	}
	u.Whole = u.Total - u.Cut
}

// bend lays an arc; whole tells that it is a full circle that closes on itself.
func (r *Run) bend(s Spec, whole bool) error {
	g := ring{r: float64(r.Radius), l: float64(s.along()), w: float64(s.across()), j: float64(s.Joint), inside: r.Inside}
	most := float64(s.JointMax)
	canOpen := g.r > g.leastOpen()
	open := s.Curves == OpenCurves || s.Curves == AutoCurves && canOpen && !less(most, g.openGap())
	least := g.leastCut()
	if open {
		least = g.leastOpen()
	}
	if g.r <= least {
		return &TightRadiusError{Side: r.Side, Corner: r.Corner, Radius: r.Radius, Least: measure.Length(least)}
	}
	p, widest := g.cut(), func(a measure.Angle) float64 { return g.cut().face(a - g.cut().unit) }
	r.Laying = LaidCut
	if open {
		p, widest = g.open(), func(a measure.Angle) float64 { wide, _ := g.gap(a); return wide }
		r.Laying = LaidOpen
	}
	r.UnitTurn = p.turn()
	var t lot
	if whole {
		t = p.round(g.l, s.leastCloser(), most, widest)
	} else {
		t = p.part(r.Turn, g.l, s.leastCloser())
	}
	if open {
		wide, near := g.openGap(), 0.0
		if whole && t.closers == 0 {
			wide, near = g.gap(2 * measure.Pi / measure.Angle(t.full))
		}
		r.Gap, t.joint = measure.Length(wide), (wide+near)/2
	} else {
		r.wedge(g)
	}
	r.take(t)
	if r.Joints == 0 {
		r.Gap = 0
	}
	return nil
}

// wedge settles the cuts of the two faces at a joint: W tan(turn/2) off the shorter face by a cut of length
// W / cos(turn/2).
func (r *Run) wedge(g ring) {
	r.Wedge = r.UnitTurn / 2
	off := g.w * measure.Tan(r.Wedge)
	r.Off, r.CutLength = measure.Length(off), measure.Length(g.w/measure.Cos(r.Wedge))
	r.ShortFace = measure.Length(math.Max(0, g.l-float64(2*off)))
}

// endPiece is the length of the first or the last piece of a run. Closers are laid last.
func (r *Run) endPiece(last bool, s Spec) measure.Length {
	if r.Closers > 0 && (last || r.Full == 0) {
		return r.Closer
	}
	return s.along()
}
