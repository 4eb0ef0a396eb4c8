package outline

import (
	"fmt"

	"bedline/estimate/measure"
)

// PointCountError tells that an outline has fewer than three points, or sides that can't enclose ground.
type PointCountError struct{ Points int }

func (e *PointCountError) Error() string {
	return fmt.Sprintf("an outline needs at least 3 points, this one has %d", e.Points)
}

// RadiusCountError tells that the number of corner radii is not the number of points.
type RadiusCountError struct{ Points, Radii int }

func (e *RadiusCountError) Error() string {
	return fmt.Sprintf("%d corner radii are given for %d points", e.Radii, e.Points)
}

// NumberError tells of a number that no outline can have: not finite, farther out than 1e6 m, a length or radius below
// zero, an edge that does not start where the one before ends.
type NumberError struct {
	What  string // "point", "corner radius", "length", "width", "radius", "edge"
	Index int    // of the point, corner or edge; 0 where there is only one
}

func (e *NumberError) Error() string {
	return fmt.Sprintf("%s %d is not a usable number", e.What, e.Index)
}

// DuplicatePointError tells that a point is the same as the point before it, or, for the last one, as the first.
type DuplicatePointError struct{ Point int }

func (e *DuplicatePointError) Error() string {
	return fmt.Sprintf("point %d repeats its neighbour", e.Point)
}

// RadiusError tells that the arc of a corner does not fit its sides.
type RadiusError struct {
	Corner int
	// Largest is a radius that fits: where the two arcs of a side are too long together, both are shortened by the
	// same share. With every faulty corner at its Largest all fit together.
	Largest measure.Length
}

func (e *RadiusError) Error() string {
	return fmt.Sprintf("the radius at corner %d is too large for its sides, at most %.4g m fits", e.Corner, float64(e.Largest))
}

// CrossingError tells that an outline crosses or touches itself. Of each of the two elements that meet, the side or
// the corner is given and the other is None. The pair lowest in the order of the outline is reported. RingA and RingB
// are the rings that they belong to, in the order of Rings; 0 is the outer line.
type CrossingError struct {
	SideA, SideB     int
	CornerA, CornerB int
	RingA, RingB     int
	At               Point
}

func (e *CrossingError) Error() string {
	name := func(side, corner int) string {
		if side != None {
			return fmt.Sprintf("side %d", side)
		}
		return fmt.Sprintf("the arc of corner %d", corner)
	}
	return fmt.Sprintf("%s and %s meet at (%.4g m, %.4g m)", name(e.SideA, e.CornerA), name(e.SideB, e.CornerB),
		float64(e.At.X), float64(e.At.Y))
}

// TooSmallError tells that an outline encloses less than 1e-4 m2.
type TooSmallError struct{ Area measure.Area }

func (e *TooSmallError) Error() string {
	return fmt.Sprintf("the outline encloses only %.3g m2", float64(e.Area))
}
