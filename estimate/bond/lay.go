package bond

import (
	"cmp"
	"errors"
	"fmt"
	"math"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// MostUnits is the largest number of units in a field.
const MostUnits = 100_000

// mostCells bounds the units of the pattern over the upright rectangle round a field in the frame of its pattern.
const mostCells = 4_000_000

// speck is the share of a unit below which a piece is left to the joint, and a missing piece is not cut off.
const speck = 0.001

// narrow is the width below which a piece is hard to cut and to hold.
const narrow = 10 * measure.Millimetre

// Spec tells how a field is laid.
type Spec struct {
	Bond                  Bond
	UnitLength, UnitWidth measure.Length  // face of a unit
	Joint                 measure.Length  // between units, 0 or more; herringbone and basket weave adjust it
	Offset                *measure.Factor // of each row of a running bond against the one below, as a share of L + j from 0 to 1; nil is 1/2

	// Openings are posts, trees and border courses that the field leaves out: loops that run counter-clockwise and
	// may overlap each other and the line of the field.
	Openings outline.Region

	// Start is where the corner of a unit lies, the unit's length along the laying direction and its width to the
	// left. Direction is that of the rows, counter-clockwise from +x; herringbone_45 lays its units at 45 degrees to
	// the left of it. What is nil is searched, see Search.
	Start     *outline.Point
	Direction *measure.Angle

	LeastPiece measure.Factor // share of a unit's face that a cut unit shall keep; 0 makes no rule
	Reuse      bool           // cut pieces from offcuts where they fit
	Work       int            // clipped units that a search may take; 0 is 50,000
	Cells      int            // units of the pattern over the rectangle round the field; 0 is 4,000,000
}

// SpecField names a member of Spec in an error.
type SpecField uint8

const (
	SpecBond SpecField = iota
	SpecUnitLength
	SpecUnitWidth
	SpecJoint
	SpecOffset
	SpecStart
	SpecDirection
	SpecLeastPiece
	SpecWork
	SpecCells
)

var specFieldNames = [...]string{"bond", "unit length", "unit width", "joint", "offset", "start", "direction", "least piece", "work", "cells"}

func (f SpecField) String() string { return specFieldNames[f] }

// SpecError is a number that lays no field.
type SpecError struct {
	Field SpecField
	Value measure.Factor // metres, radians, a share or a count
}

func (e *SpecError) Error() string {
	return fmt.Sprintf("%v is out of range: %g", e.Field, float64(e.Value))
}

// TooManyError is a field of more than MostUnits units, or one so scattered that its pattern has more than 4,000,000
// units over the rectangle round it, or more than Spec.Cells.
type TooManyError struct{ Units, Most int }

func (e *TooManyError) Error() string {
	return fmt.Sprintf("a field of %d units is more than %d", e.Units, e.Most)
}

// Check gives a *SpecError for every number that lays no field, joined.
func (s *Spec) Check() error {
	var faults []error
	bad := func(ok bool, f SpecField, v float64) {
		if !ok {
			faults = append(faults, &SpecError{Field: f, Value: measure.Factor(v)})
		}
	}
	size := func(l measure.Length) bool { return l >= measure.Millimetre && l <= reach }
	bad(int(s.Bond) < len(bondNames), SpecBond, float64(s.Bond))
	bad(size(s.UnitLength), SpecUnitLength, float64(s.UnitLength))
	bad(size(s.UnitWidth), SpecUnitWidth, float64(s.UnitWidth))
	bad(s.Joint >= 0 && s.Joint <= reach, SpecJoint, float64(s.Joint))
	if s.Offset != nil {
		bad(*s.Offset >= 0 && *s.Offset <= 1, SpecOffset, float64(*s.Offset))
	}
	if s.Start != nil {
		bad(math.Abs(float64(s.Start.X)) <= reach && math.Abs(float64(s.Start.Y)) <= reach, SpecStart, float64(s.Start.X))
	}
	if s.Direction != nil {
		bad(math.Abs(float64(*s.Direction)) <= reach, SpecDirection, float64(*s.Direction))
	}
	bad(s.LeastPiece >= 0 && s.LeastPiece < 1, SpecLeastPiece, float64(s.LeastPiece))
	bad(s.Work >= 0, SpecWork, float64(s.Work))
	bad(s.Cells >= 0, SpecCells, float64(s.Cells))
	return errors.Join(faults...)
}

// Unit is one laid unit. Its rectangle starts at a corner and runs its length along, its width to the left of that.
type Unit struct {
	At     outline.Point
	Turned bool // a quarter turn to the left: rotate the rectangle by Field.Along plus 90 degrees, else by Field.Along
	Pieces int  // 0 for a whole unit, else the number of pieces that it is cut into
	First  int  // its first piece
}

// Piece is a connected part of a cut unit: its area and the rectangle round it, along and across the unit from the
// unit's corner At.
type Piece struct {
	Unit          int
	Area          measure.Area
	Length, Width measure.Length
	Along, Across measure.Length // of the rectangle's corner from At
	SawPasses     int            // straight passes of a saw that cut it, at least 1
}

// Narrow tells whether the rectangle round the piece is narrower than 10 mm.
func (p *Piece) Narrow() bool { return min(p.Length, p.Width) < narrow }

// Field is a field as laid.
type Field struct {
	Start     outline.Point
	Direction measure.Angle
	Along     measure.Angle // of the length of units that are not turned: Direction, with 45 degrees more in herringbone_45

	UnitLength, UnitWidth measure.Length
	EndJoint, SideJoint   measure.Length // as adjusted: at the ends and along the sides of units

	Units  []Unit  // row by row along the direction, each row from its start
	Pieces []Piece // in the order of their units

	Whole, Cut int // units
	Under      int // cut units that keep less than LeastPiece of their face
	Narrow     int // pieces narrower than 10 mm
	SawPasses  int // of all pieces
	Specks     int // places where less than 0.1 % of a unit was left to the joint

	Area      measure.Area   // of the field less its openings
	LaidArea  measure.Area   // of the faces of all units and pieces
	JointArea measure.Area   // Area less LaidArea
	SpeckArea measure.Area   // of the pieces under 0.1 % of a unit that are in JointArea
	Edge      measure.Length // of the field's line and of its openings
	Joints    Joints

	Bought Bought
	Search Search
}

// UnitArea is the face of one unit.
func (f *Field) UnitArea() measure.Area { return f.UnitLength.Times(f.UnitWidth) }

// LostArea is the face of all units bought less what is laid.
func (f *Field) LostArea() measure.Area {
	return max(0, f.UnitArea().Scale(measure.Factor(f.Bought.Units))-f.LaidArea)
}

// Rectangle is the face of unit i before it was cut.
func (f *Field) Rectangle(i int) outline.Loop {
	u := &f.Units[i]
	by := f.Along
	if u.Turned {
		by += measure.Pi / 2
	}
	return outline.RectangleLoop(u.At, f.UnitLength, f.UnitWidth, by)
}

// Lay lays a field of units over a region less its openings. Every unit is clipped along the lines and arcs
// themselves: nothing is flattened. A piece under 0.1 % of a unit is left to the joint, and a unit that would lose less
// than that stays whole; a unit clipped into several pieces is one cut unit. Where start or direction is missing it
// is searched.
//
// Errors: *SpecError for each number out of range, joined; *ModuleError; *TooManyError.
func Lay(field outline.Region, spec Spec) (*Field, error) {
	if err := spec.Check(); err != nil {
		return nil, err
	}
	offset := measure.Factor(0.5)
	if spec.Offset != nil {
		offset = *spec.Offset
	}
	p, err := newPattern(spec.Bond, spec.UnitLength, spec.UnitWidth, spec.Joint, offset)
	if err != nil {
		return nil, err
	}
	share := outline.Divide([]outline.Region{field, spec.Openings}, 1, func(c outline.Cover) int {
		if c.Has(0) && !c.Has(1) {
			return 0
		}
		return outline.None
	})[0]
	if n := float64(share.Area) / float64(p.long*p.wide); n > MostUnits {
		return nil, &TooManyError{Units: measure.RoundUp(n), Most: MostUnits}
	}
	j := job{field: field, spec: &spec, pattern: &p, share: share}
	start, direction, search, err := j.search()
	if err != nil {
		return nil, err
	}
	f, err := j.lay(start, direction)
	if err != nil {
		return nil, err
	}
	f.Search = search
	return f, nil
}

// job is what all tries of one field share.
type job struct {
	field   outline.Region
	spec    *Spec
	pattern *pattern
	share   outline.Share
}

// along is the direction of units that are not turned.
func (j *job) along(direction measure.Angle) measure.Angle {
	if j.spec.Bond == Herringbone45 {
		return direction + measure.Pi/4
	}
	return direction
}

func (j *job) ground(f *frame) (*ground, error) {
	g := newGround(f, j.field, j.spec.Openings, max(j.pattern.long, j.pattern.wide))
	if g == nil {
		return nil, nil
	}
	most := cmp.Or(j.spec.Cells, mostCells)
	if n := j.pattern.size(g.x1-g.x0, g.y1-g.y0); n > float64(most) {
		return nil, &TooManyError{Units: measure.RoundUp(n), Most: most}
	}
	return g, nil
}

// laid is a unit in the frame, kept for its joints.
type laid struct {
	cell
	cut bool
}

// lay lays the field from one start.
func (j *job) lay(start outline.Point, direction measure.Angle) (*Field, error) {
	p := j.pattern
	f := &Field{
		Start: start, Direction: direction, Along: j.along(direction),
		UnitLength: j.spec.UnitLength, UnitWidth: j.spec.UnitWidth,
		EndJoint: measure.Length(p.ends), SideJoint: measure.Length(p.sides),
		Area: j.share.Area, Edge: j.share.Perimeter,
	}
	fr := newFrame(start, f.Along)
	g, err := j.ground(&fr)
	if err != nil || g == nil {
		return f, err
	}
	g.work.sawing = true
	n := 64 + whole(1.2*float64(j.share.Area)/float64(p.long*p.wide))
	kept := make([]laid, 0, n)
	f.Units = make([]Unit, 0, n)
	t := j.tally(g, func(c *cell, parts []part, area float64) {
		at := fr.out(c.x0, c.y0)
		if c.across {
			at = fr.out(c.x1, c.y0)
		}
		n := len(f.Units)
		f.Units = append(f.Units, Unit{At: at, Turned: c.across, Pieces: len(parts), First: len(f.Pieces)})
		kept = append(kept, laid{*c, len(parts) > 0})
		for _, q := range parts {
			piece := Piece{
				Unit: n, Area: measure.Area(q.area),
				Length: measure.Length(q.x1 - q.x0), Width: measure.Length(q.y1 - q.y0),
				Along: measure.Length(q.x0 - c.x0), Across: measure.Length(q.y0 - c.y0),
			}
			if c.across { // the unit's length runs up, its width to the left
				piece.Length, piece.Width = piece.Width, piece.Length
				piece.Along, piece.Across = measure.Length(q.y0-c.y0), measure.Length(c.x1-q.x1)
			}
			piece.SawPasses = max(1, q.passes)
			f.SawPasses += piece.SawPasses
			if piece.Narrow() {
				f.Narrow++
			}
			f.Pieces = append(f.Pieces, piece)
		}
		f.LaidArea += measure.Area(area)
	})
	f.Whole, f.Cut, f.Under, f.Specks = t.whole, t.cut, t.under, t.specks
	f.JointArea = max(0, f.Area-f.LaidArea)
	f.Joints = g.joints(p, kept)
	f.SpeckArea = measure.Area(t.speckArea)
	f.Bought = j.buy(&t, true)
	return f, nil
}

// tally is the count of one try.
type tally struct {
	whole, cut, under, specks int
	clipped, visited          int
	area, speckArea           float64 // of the pieces, and of those too small to be one
	items                     []item
}

// tally counts the field and hands every laid unit on with its pieces, none for a whole one, and its area in the
// ground; pieces are only lent.
func (j *job) tally(g *ground, each func(c *cell, parts []part, area float64)) (t tally) {
	p := j.pattern
	unit := float64(p.length * p.width)
	least := float64(float64(j.spec.LeastPiece) * unit)
	p.cells(g.x0, g.y0, g.x1, g.y1, func(c *cell) {
		t.visited++
		parts, all, touched := g.clip(c)
		if touched {
			t.clipped++
		}
		area, n := unit, 0
		if !all {
			if len(parts) == 0 {
				return
			}
			area = 0
			for _, q := range parts {
				if q.area >= speck*unit {
					area += q.area
					parts[n] = q
					n++
				} else {
					t.speckArea += q.area
				}
			}
			if n == 0 {
				t.specks++
				return
			}
			if area > unit-float64(speck*unit) {
				n = 0
			}
		}
		if n == 0 {
			t.whole++
		} else {
			t.cut++
			t.area += area
			if area < least-float64(1e-9*unit) {
				t.under++
			}
			if j.spec.Reuse {
				t.items = append(t.items, p.round(parts[:n], c.across))
			}
		}
		if each != nil {
			each(c, parts[:n], area)
		}
	})
	return t
}
