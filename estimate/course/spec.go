package course

import (
	"errors"
	"fmt"
	"math"

	"bedline/estimate/measure"
)

// Kind tells which side of the unit lies along the bed line.
type Kind uint8

const (
	Sailor  Kind = iota // long side along the line
	Soldier             // short side along the line
)

// Curves tells how units are laid on an arc.
type Curves uint8

const (
	AutoCurves Curves = iota // open where the open joint stays within the largest allowed, else cut
	CutCurves                // both faces at every joint are wedge cut, joints are parallel
	OpenCurves               // units stay uncut, joints are wedge shaped
)

// Unit is the size of one paver, slab or brick. The longer of Length and Width is taken for the long side.
type Unit struct{ Length, Width, Thickness measure.Length }

// long and short are the sides of the face.
func (u Unit) long() measure.Length  { return max(u.Length, u.Width) }
func (u Unit) short() measure.Length { return min(u.Length, u.Width) }

// Spec says what is laid and how.
type Spec struct {
	Unit   Unit
	Kind   Kind
	Curves Curves

	// Joint is the width of a joint, 0 or more. JointMax is the widest that a joint may become when it is left open
	// on an arc or takes up what is left over.
	Joint, JointMax measure.Length

	// JointDepth is how deep joints are filled; 0 is the full thickness.
	JointDepth measure.Length

	// LeastPiece is the least closer as a share of the long side of the unit, below 1; 0 allows any piece. One third
	// is common practice, and the smallest cut unit under vehicles in the published tolerances of interlocking
	// pavements (ICPI, Construction Tolerances and Recommendations; for other uses they allow 3/8 in).
	LeastPiece measure.Factor

	// Sides are the numbers of the edged sides, nil for all. A corner arc is edged when both sides that meet in it
	// are; Corners are the numbers of arcs edged in any case.
	Sides, Corners []int

	Face Face

	// CornerJoint is the joint of sharp corners between edged sides, but of those in CornerJoints.
	CornerJoint  CornerJoint
	CornerJoints []CornerChoice

	// Clearance is dug on both sides of the course.
	Clearance measure.Length
}

// along is the side of the unit that lies along the line, across the other one: the width of the course.
func (s Spec) along() measure.Length {
	if s.Kind == Soldier {
		return s.Unit.short()
	}
	return s.Unit.long()
}

func (s Spec) across() measure.Length {
	if s.Kind == Soldier {
		return s.Unit.long()
	}
	return s.Unit.short()
}

// Width is the width of the course across the bed line.
func (s Spec) Width() measure.Length { return s.across() }

// leastCloser is the length below which a closer is shared with its neighbour.
func (s Spec) leastCloser() float64 { return float64(s.Unit.long().Scale(s.LeastPiece)) }

// Field names a member of Spec in an error.
type Field uint8

const (
	FieldUnitLength Field = iota
	FieldUnitWidth
	FieldUnitThickness
	FieldJoint
	FieldJointMax
	FieldJointDepth
	FieldLeastPiece
	FieldClearance
)

var fieldNames = [...]string{"unit length", "unit width", "unit thickness", "joint width", "largest joint", "joint depth",
	"least piece", "side clearance"}

func (f Field) String() string { return fieldNames[f] }

// check gives a *UnitError or *SpecError for every number that can't be laid.
func (s Spec) check() error {
	var faults []error
	for _, d := range []struct {
		field Field
		value measure.Length
	}{{FieldUnitLength, s.Unit.Length}, {FieldUnitWidth, s.Unit.Width}, {FieldUnitThickness, s.Unit.Thickness}} {
		if !finite(float64(d.value)) || d.value <= 0 {
			faults = append(faults, &UnitError{Field: d.field, Value: d.value})
		}
	}
	for _, d := range []struct {
		field Field
		value float64
		below float64
	}{
		{FieldJoint, float64(s.Joint), math.Inf(1)}, {FieldJointMax, float64(s.JointMax), math.Inf(1)},
		{FieldJointDepth, float64(s.JointDepth), math.Inf(1)}, {FieldLeastPiece, float64(s.LeastPiece), 1},
		{FieldClearance, float64(s.Clearance), math.Inf(1)},
	} {
		if !finite(d.value) || d.value < 0 || d.value >= d.below {
			faults = append(faults, &SpecError{Field: d.field, Value: measure.Factor(d.value)})
		}
	}
	if len(faults) == 0 && s.JointDepth > s.Unit.Thickness {
		faults = append(faults, &SpecError{Field: FieldJointDepth, Value: measure.Factor(s.JointDepth)})
	}
	return errors.Join(faults...)
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// UnitError is a unit whose size is zero, negative or no number.
type UnitError struct {
	Field Field
	Value measure.Length
}

func (e *UnitError) Error() string {
	return fmt.Sprintf("%v must be more than zero, got %g m", e.Field, float64(e.Value))
}

// SpecError is a number of the spec out of its range: negative, no number, a least piece of 1 or more, or a joint
// depth of more than the thickness of the unit. Value is in metres, or a share for the least piece.
type SpecError struct {
	Field Field
	Value measure.Factor
}

func (e *SpecError) Error() string {
	return fmt.Sprintf("%v is out of range: %g", e.Field, float64(e.Value))
}

// UnknownSideError is an entry of Sides that is no side of the outline.
type UnknownSideError struct{ Index, Side, Count int }

func (e *UnknownSideError) Error() string {
	return fmt.Sprintf("there is no side %d: the outline has %d", e.Side, e.Count)
}

// RepeatedSideError is an entry of Sides that an earlier one names already.
type RepeatedSideError struct{ Index, Side int }

func (e *RepeatedSideError) Error() string { return fmt.Sprintf("side %d is named twice", e.Side) }

// UnknownCornerError is an entry of Corners that is no rounded corner of the outline.
type UnknownCornerError struct{ Index, Corner int }

func (e *UnknownCornerError) Error() string {
	return fmt.Sprintf("there is no rounded corner %d", e.Corner)
}

// RepeatedCornerError is an entry of Corners that an earlier one names already.
type RepeatedCornerError struct{ Index, Corner int }

func (e *RepeatedCornerError) Error() string {
	return fmt.Sprintf("corner %d is named twice", e.Corner)
}

// NoCornerError is an entry of CornerJoints that is no sharp corner between two edged sides.
type NoCornerError struct{ Index, Corner int }

func (e *NoCornerError) Error() string {
	return fmt.Sprintf("corner %d is no sharp corner between two edged sides", e.Corner)
}

// RepeatedJointError is an entry of CornerJoints whose corner an earlier one names already.
type RepeatedJointError struct{ Index, Corner int }

func (e *RepeatedJointError) Error() string {
	return fmt.Sprintf("the joint of corner %d is given twice", e.Corner)
}

// TightRadiusError is an arc on which the units can't be laid. The radius has to be more than Least.
type TightRadiusError struct {
	Side, Corner  int // as in outline.Element
	Radius, Least measure.Length
}

func (e *TightRadiusError) Error() string {
	return fmt.Sprintf("radius %.4g m is too tight for the unit: it must be more than %.4g m", float64(e.Radius),
		float64(e.Least))
}
