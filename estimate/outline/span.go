package outline

import (
	"math"

	"bedline/estimate/measure"
)

// SpanKind tells what a span runs along.
type SpanKind uint8

const (
	SideSpan     SpanKind = iota // from corner to corner; along the chord where the side is curved
	DiagonalSpan                 // of four corners
	CrossSpan                    // from a corner to the next but one
)

// Span is a straight measure between two stakes.
type Span struct {
	Kind     SpanKind
	From, To int // stakes
	Length   measure.Length
}

// Spans are the measures that fix the corners among themselves: every side, and for four corners both diagonals, for
// more the cross measure from each corner to the next but one. Two sides and the cross measure over them make a
// triangle, so that each angle is fixed, and one more than two of them close the figure. They are at most twice as
// many as the corners.
func (s *Staking) Spans() []Span {
	n := len(s.Corners)
	sides, crosses, kind := n, 0, CrossSpan
	switch {
	case n == 2:
		sides = 1 // both sides have one chord
	case n == 4:
		crosses, kind = 2, DiagonalSpan
	case n > 4:
		crosses = n
	}
	if sides == 0 {
		return nil
	}
	spans := make([]Span, 0, sides+crosses)
	add := func(kind SpanKind, i, j int) {
		spans = append(spans, Span{Kind: kind, From: s.Corners[i], To: s.Corners[j%n], Length: distance(s.corner(i), s.corner(j))})
	}
	for i := range sides {
		add(SideSpan, i, i+1)
	}
	for i := range crosses {
		add(kind, i, i+2)
	}
	return spans
}

// EqualDiagonals tells whether there are two diagonals and they are equal, to rounding error: a rectangle's are.
func EqualDiagonals(spans []Span) bool {
	var d []measure.Length
	for i := range spans {
		if spans[i].Kind == DiagonalSpan {
			d = append(d, spans[i].Length)
		}
	}
	return len(d) == 2 && max(d[0]-d[1], d[1]-d[0]) <= d[0].Scale(fits)
}

// Leg is a measure from a corner along one of its sides.
type Leg struct {
	Towards int // stake
	Length  measure.Length
}

// RightAngle checks a corner of 90 degrees with a triangle of sides 3, 4 and 5: Euclid, Elements I.48.
type RightAngle struct {
	At         int // stake
	Legs       [2]Leg
	Hypotenuse measure.Length
}

// square is the sine of how far a corner may be from 90 degrees to be checked as one: 0.01 degrees.
const square = 1.7453e-4

// RightAngles checks every corner of 90 degrees between straight sides, with the largest whole multiple of unit, at
// most so many, for which 3 and 4 fit on its sides. Where both ways fit alike, 4 is on the longer side, or on the side
// before the corner. A corner on whose sides not one fits is left out.
func (s *Staking) RightAngles(unit measure.Length, most int) []RightAngle {
	n := len(s.Corners)
	if n < 3 || !s.Whole {
		return nil
	}
	var checks []RightAngle
	for i, at := range s.Corners {
		if !s.straight[i] || !s.straight[(i+n-1)%n] {
			continue
		}
		p, a, b := s.corner(i), s.corner(i+n-1), s.corner(i+1)
		before, after := distance(p, a), distance(p, b)
		along := dot(float64(a.X-p.X), float64(a.Y-p.Y), float64(b.X-p.X), float64(b.Y-p.Y))
		if math.Abs(along) > float64(before)*float64(after)*square {
			continue
		}
		times := func(l, m measure.Length) int { return measure.RoundDown(min(l.In(4*unit), m.In(3*unit))) }
		long, short, k := before, after, min(most, times(before, after))
		x, y := 4, 3
		if l := min(most, times(after, before)); l > k || l == k && short > long+long.Scale(fits) {
			x, y, k = 3, 4, l
		}
		if k < 1 {
			continue
		}
		m := unit.Scale(measure.Factor(k))
		if checks == nil {
			checks = make([]RightAngle, 0, n)
		}
		checks = append(checks, RightAngle{At: at, Hypotenuse: m.Scale(5), Legs: [2]Leg{
			{Towards: s.Corners[(i+n-1)%n], Length: m.Scale(measure.Factor(x))},
			{Towards: s.Corners[(i+1)%n], Length: m.Scale(measure.Factor(y))}}})
	}
	return checks
}
