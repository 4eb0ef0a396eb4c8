package outline

import (
	"errors"
	"math"
	"slices"

	"bedline/estimate/measure"
)

// None marks an element that is no side, or no corner.
const None = -1

// smallest is the least area of an outline in square metres.
const smallest = 1e-4

// Element is one edge of an outline under the name that the request gave it: a side, or the arc that rounds a corner.
type Element struct {
	Edge
	Side   int // number of the side, or None
	Corner int // number of the corner that this arc rounds, or None. Corner i lies between side i-1 and side i.
}

// Outline is the ground inside a closed line, less its holes, plus the islands in them. No line crosses or touches
// itself or another. It does not change once made.
type Outline struct {
	elements  []Element // ring by ring
	lines     []Edge    // of each side before rounding, the ground on the left
	rings     []Ring
	after     []int32 // by element the one that follows it; nil where there is one ring
	poles     []pole  // by hole
	reversed  bool
	area      measure.Area
	perimeter measure.Length
	low, high Point
	taped     *Taped // by offsets
}

// Chain makes an outline of edges that follow each other: edge i is side i, no corner is rounded. Ends that differ
// by less than 1e-9 m are one point; a wider gap is refused with *NumberError.
func Chain(edges []Edge) (*Outline, error) {
	var faults []error
	for i, e := range edges {
		next := edges[(i+1)%len(edges)]
		switch {
		case !e.From.finite() || !e.To.finite() || !e.Centre.finite() || !finite(e.Radius) || !finite(measure.Length(e.Turn)),
			!e.Straight() && e.Radius <= 0, !(distance(e.To, next.From) <= same):
			faults = append(faults, &NumberError{What: "edge", Index: i})
		case e.Length() <= same:
			faults = append(faults, &DuplicatePointError{Point: i})
		}
	}
	round := len(edges) == 1 && math.Abs(float64(edges[0].Turn)) >= 2*float64(measure.Pi)
	if len(edges) == 0 || len(edges) == 1 && !round || len(edges) == 2 && edges[0].Straight() && edges[1].Straight() {
		faults = append(faults, &PointCountError{Points: len(edges)})
	}
	if len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	o := &Outline{lines: slices.Clone(edges), elements: make([]Element, len(edges))}
	for i, e := range edges {
		e.From = edges[(i+len(edges)-1)%len(edges)].To
		o.elements[i] = Element{Edge: e, Side: i, Corner: None}
	}
	return o.finish()
}

// finish turns the chain counter-clockwise, takes its measures and refuses what is no outline.
func (o *Outline) finish() (*Outline, error) {
	l := loopOf(o.elements)
	o.area = l.Area()
	if o.area < 0 {
		o.reversed, o.area = true, -o.area
		slices.Reverse(o.elements)
		for i := range o.elements {
			o.elements[i].Edge = o.elements[i].Reverse()
		}
		for i := range o.lines {
			o.lines[i] = o.lines[i].Reverse()
		}
	}
	if fault := o.contact(); fault != nil {
		return nil, fault
	}
	if !(o.area >= smallest) {
		return nil, &TooSmallError{Area: o.area}
	}
	if o.reversed {
		l = loopOf(o.elements)
	}
	o.perimeter = l.Perimeter()
	o.low, o.high = l.Bounds()
	o.rings = []Ring{{Kind: OuterRing, Hole: None, Island: None, Sides: len(o.lines), Elements: o.elements, Falling: o.reversed,
		Area: o.area, Perimeter: o.perimeter}}
	return o, nil
}

// Elements are the sides and corner arcs in counter-clockwise order, the enclosed ground on the left, under the
// numbers of the request. A side that its two corner arcs use up has no element. Where the points ran clockwise the
// numbers fall along the chain: from side i the arc of corner i leads to side i-1. The elements of holes (clockwise)
// and islands follow those of the outer line, one ring after the other: see Rings. The slice is not to be changed.
func (o *Outline) Elements() []Element { return o.elements }

// Sides is the number of sides of the request, those of holes and islands included.
func (o *Outline) Sides() int { return len(o.lines) }

// SideLine is the whole line of side i before its corners were rounded, the ground of the outline on its left. It is not
// there, and ok is false, for a side that is an arc and for numbers that are no side.
func (o *Outline) SideLine(i int) (from, to Point, ok bool) {
	if i < 0 || i >= len(o.lines) || !o.lines[i].Straight() {
		return Point{}, Point{}, false
	}
	return o.lines[i].From, o.lines[i].To, true
}

// Reversed tells that the points of the outer line ran clockwise in the request.
func (o *Outline) Reversed() bool { return o.reversed }

// Area is the enclosed area, less holes, plus the islands in them.
func (o *Outline) Area() measure.Area { return o.area }

// Perimeter is the length of the bed line all round, holes and islands included.
func (o *Outline) Perimeter() measure.Length { return o.perimeter }

// Bounds are the corners of the least upright rectangle that holds the outline.
func (o *Outline) Bounds() (low, high Point) { return o.low, o.high }

// Loop is the outer line as a counter-clockwise loop.
func (o *Outline) Loop() Loop { return loopOf(o.rings[0].Elements) }

// Loop is the ring as a loop, the ground of the outline on its left.
func (r *Ring) Loop() Loop { return loopOf(r.Elements) }

func loopOf(elements []Element) Loop {
	l := make(Loop, len(elements))
	for i := range elements {
		l[i] = elements[i].Edge
	}
	return l
}

// Region is the ground of the outline: the outer line and islands run counter-clockwise, holes clockwise.
func (o *Outline) Region() Region {
	r := make(Region, len(o.rings))
	for i := range o.rings {
		r[i] = o.rings[i].Loop()
	}
	return r
}
