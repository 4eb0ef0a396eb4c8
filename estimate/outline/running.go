package outline

import (
	"math"

	"bedline/estimate/measure"
)

// Curve is a curved part of a line with running totals along it.
type Curve struct {
	From, To int // stakes; the same for a line that is curved all round
	Length   measure.Length
	Marks    []Mark // from 0 at From to Length at To
}

// Mark is a place on a curve, so far along it.
type Mark struct {
	Along measure.Length
	At    Point
	Stake int // that stands there, or None
}

// bent is the sine of the angle from which on a bend between two arcs ends a curve: 0.1 degrees.
const bent = 1.7453e-3

// oneMark is how near a mark to a stake is left out.
const oneMark = measure.Millimetre

// Curves are the curved parts of the line: arcs that follow each other without a bend are one. Marks are at every
// multiple of every and at every stake. Rounded corners no longer than every are left out: they are swung from their
// pivots.
func (s *Staking) Curves(every measure.Length) []Curve {
	var curves []Curve
	s.runs(func(first, count int, length measure.Length, corners bool) {
		if corners && length <= every+every.Scale(fits) {
			return
		}
		curves = append(curves, s.curve(first, count, every))
	})
	return curves
}

// Spacings are how many times every fits in the curved parts of the line, all together: about the number of marks
// between stakes. It may be beyond any count.
func (s *Staking) Spacings(every measure.Length) float64 {
	sum := 0.0
	s.runs(func(_, _ int, length measure.Length, _ bool) {
		if f := math.Floor(length.In(every)); f > 0 {
			sum += f
		}
	})
	return sum
}

// runs finds the curved parts: so many elements from first on, their length, and whether all are rounded corners.
func (s *Staking) runs(each func(first, count int, length measure.Length, corners bool)) {
	if len(s.Pivots) == 0 {
		return
	}
	n := len(s.elements)
	start := 0
	for start < n && s.runsOn(start) {
		start++
	}
	if start == n {
		start = 0 // curved all round
	}
	for k := 0; k < n; {
		first := (start + k) % n
		if !s.curved(first) {
			k++
			continue
		}
		count, length, corners := 0, measure.Length(0), true
		for i := first; k < n && (count == 0 || s.runsOn(i)); i = (i + 1) % n {
			length += s.elements[i].Length()
			corners = corners && s.elements[i].Corner != None
			count++
			k++
		}
		each(first, count, length, corners)
	}
}

// curved tells whether an element belongs to a curved part: an arc, or a straight piece of a curved side.
func (s *Staking) curved(k int) bool {
	e := &s.elements[k]
	return !e.Straight() || e.Side != None && !s.straight[e.Side-s.first]
}

// runsOn tells whether the line runs from the element before k into element k curved and without a bend.
func (s *Staking) runsOn(k int) bool {
	n := len(s.elements)
	before := (k + n - 1) % n
	if !s.curved(before) || !s.curved(k) {
		return false
	}
	in, out := s.elements[before].direction(s.elements[before].To), s.elements[k].direction(s.elements[k].From)
	return math.Abs(cross(in.x, in.y, out.x, out.y)) <= bent && dot(in.x, in.y, out.x, out.y) > 0
}

// direction is the direction of travel at a point of the edge.
func (e *Edge) direction(at Point) vector {
	if e.Straight() {
		return towards(e.From, e.To)
	}
	out := towards(e.Centre, at)
	if e.Turn > 0 {
		return vector{-out.y, out.x}
	}
	return vector{out.y, -out.x}
}

// curve takes running totals over so many elements from first on.
func (s *Staking) curve(first, count int, every measure.Length) Curve {
	n := len(s.elements)
	c := Curve{From: s.starts[first], To: s.starts[(first+count)%n]}
	var whole measure.Length
	for i := range count {
		whole += s.elements[(first+i)%n].Length()
	}
	c.Marks = make([]Mark, 0, count+1+measure.RoundDown(whole.In(every)))
	next := 1
	for i := range count {
		k := (first + i) % n
		e := &s.elements[k]
		c.Marks = append(c.Marks, Mark{Along: c.Length, At: e.From, Stake: s.starts[k]})
		from, length := c.Length, e.Length()
		c.Length += length
		for ; every.Scale(measure.Factor(next)) < c.Length-oneMark; next++ {
			along := every.Scale(measure.Factor(next))
			if along > from+oneMark {
				c.Marks = append(c.Marks, Mark{Along: along, At: e.Point((along - from).Over(length)), Stake: None})
			}
		}
		// A mark as near as that to the end of this element is its stake.
		for every.Scale(measure.Factor(next)) <= c.Length+oneMark {
			next++
		}
	}
	c.Marks = append(c.Marks, Mark{Along: c.Length, At: s.Stakes[c.To].At, Stake: c.To})
	return c
}
