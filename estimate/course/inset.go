package course

import (
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// Strip is the ground along the whole bed line between a distance outside and a distance inside it, arcs kept as arcs
// and corners mitred, as a course of that width would take it.
func Strip(o *outline.Outline, outside, inside measure.Length) outline.Region {
	return whole(o).strips(-outside, inside)
}

// Inset is the ground inside the bed line moved inwards by a distance: what a course of that width leaves. Each loop
// begins with the lowest-numbered side on it. Where a line would cross or touch itself, as in a neck narrower than two
// courses, where an arc with the ground inside it has no larger radius, or where nothing is left, ok is false. Loops
// that cross one another are not looked for.
func Inset(o *outline.Outline, by measure.Length) (inside outline.Region, ok bool) {
	c := whole(o)
	for _, ring := range c.rings {
		loop, ok := c.inset(ring, float64(by))
		if !ok {
			return nil, false
		}
		inside = append(inside, loop)
	}
	return inside, len(inside) > 0
}

// inset is a ring of the chain moved inwards.
func (c *chain) inset(ring [2]int, by float64) (inside outline.Loop, ok bool) {
	first, n := ring[0], ring[1]-ring[0]
	for i := ring[0]; i < ring[1]; i++ {
		if e := c.elements[i]; e.Side >= 0 && (c.elements[first].Side < 0 || e.Side < c.elements[first].Side) {
			first = i
		}
	}
	for k := range n {
		i := ring[0] + (first-ring[0]+k)%n
		e := c.elements[i].Edge
		r := offsetRadius(e, by)
		switch {
		case by == 0:
			inside = append(inside, e)
			continue
		case !e.Straight() && r <= pointLike:
			return nil, false
		case n == 1: // a whole circle
			start := at(e.Centre, from(e.Centre, e.From).unit().times(r))
			return outline.Loop{{From: start, To: start, Centre: e.Centre, Radius: measure.Length(r), Turn: e.Turn}}, true
		}
		switch start, end, _ := c.offset(i, by); {
		case from(start, end).size() <= pointLike:
		case e.Straight():
			inside = append(inside, outline.Edge{From: start, To: end})
		default:
			inside = append(inside, arc(e, start, end, r, false))
		}
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
	c, err := newChain(o, Spec{})
	if err != nil {
		panic("course: " + err.Error()) // no side is named, so none can be unknown
	}
	return c
}
