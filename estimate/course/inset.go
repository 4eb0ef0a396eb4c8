package course

import (
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// Strip is the ground along the whole bed line between a distance outside and a distance inside it, arcs kept as arcs
// and corners mitred, as a course of that width would take it.
func Strip(o *outline.Outline, outside, inside measure.Length) outline.Region {
	c := whole(o)
	return c.strips(-outside, inside)
}

// Inset is the bed line moved inwards by a distance: what a course of that width leaves inside. It begins with the
// lowest-numbered side. Where the line would cross or touch itself, as in a neck narrower than two courses, where an arc
// with the ground inside it has no larger radius, or where nothing is left, ok is false.
func Inset(o *outline.Outline, by measure.Length) (inside outline.Loop, ok bool) {
	c := whole(o)
	n := len(c.elements)
	first := 0
	for i, e := range c.elements {
		if e.Side >= 0 && (c.elements[first].Side < 0 || e.Side < c.elements[first].Side) {
			first = i
		}
	}
	if n == 1 {
		e := c.elements[0].Edge
		if by == 0 {
			return outline.Loop{e}, true
		}
		r := offsetRadius(e, float64(by))
		if r <= pointLike {
			return nil, false
		}
		start := at(e.Centre, from(e.Centre, e.From).unit().times(r))
		return outline.Loop{{From: start, To: start, Centre: e.Centre, Radius: measure.Length(r), Turn: e.Turn}}, true
	}
	for k := range n {
		i := (first + k) % n
		e := c.elements[i].Edge
		start, end, _ := c.offset(i, float64(by))
		switch {
		case start == end || from(start, end).size() <= pointLike:
		case e.Straight():
			inside = append(inside, outline.Edge{From: start, To: end})
		case by == 0:
			inside = append(inside, e)
		default:
			r := offsetRadius(e, float64(by))
			if r <= pointLike {
				return nil, false
			}
			inside = append(inside, arc(e, start, end, r, false))
		}
	}
	if len(inside) == 0 {
		return nil, false
	}
	if by != 0 {
		if _, err := outline.Chain(inside); err != nil {
			return nil, false
		}
	}
	return inside, true
}

// whole is the chain of all elements, every one edged.
func whole(o *outline.Outline) *chain {
	c, err := newChain(o, nil, nil)
	if err != nil {
		panic("course: " + err.Error()) // no side is named, so none can be unknown
	}
	return c
}
