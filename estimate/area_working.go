package estimate

import (
	"slices"
	"strconv"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// largestShown is the number of corners up to which a coordinate area is written out term by term.
const largestShown = 8

// areaWorkings show the area of an outline: that inside its outer line, inside each hole and each island, and what they
// come to together.
func areaWorkings(o *outline.Outline, p pencil) []Working {
	rings := o.Rings()
	w := Working{Label: "area inside the bed line", Expression: ringArea(o, &rings[0], p), Result: p.area(rings[0].Area)}
	if !o.Holed() {
		return []Working{w}
	}
	w.Label = "area inside the outer line"
	list := []Working{w}
	terms := []string{p.area(rings[0].Area)}
	for i := 1; i < len(rings); i++ {
		r := &rings[i]
		sign := "- "
		if r.Kind == outline.IslandRing {
			sign = "+ "
		}
		list = append(list, Working{Label: "area of " + ringWord(r.Hole, r.Island), Expression: ringArea(o, r, p), Result: p.area(r.Area)})
		terms = append(terms, sign+p.area(r.Area))
	}
	return append(list, Working{Label: "area inside the bed line, without holes, with islands", Expression: join(terms, " "), Result: p.area(o.Area())})
}

// ringArea writes the area inside a ring: a circle by its radius, a rectangle by its sides, any other by the coordinates
// of its corners (half the sum of x1 y2 - x2 y1), and what each arc or rounded corner takes off or adds.
func ringArea(o *outline.Outline, ring *outline.Ring, p pencil) string {
	elements := ring.Elements
	if ring.Kind == outline.HoleRing { // counter-clockwise
		elements = make([]outline.Element, len(ring.Elements))
		for i, e := range ring.Elements {
			e.Edge = e.Reverse()
			elements[len(elements)-1-i] = e
		}
	}
	if len(elements) == 1 {
		r := p.length(elements[0].Radius)
		return "3.14159 x " + r + " x " + r
	}
	corners := make([]outline.Point, 0, ring.Sides)
	for i := range ring.Sides {
		from, _, ok := o.SideLine(ring.Side + i)
		if !ok {
			return chordSum(elements, p)
		}
		corners = append(corners, from)
	}
	if ring.Falling != (ring.Kind == outline.HoleRing) { // the points of the request run clockwise
		slices.Reverse(corners)
	}
	expression := crossSum(corners, p)
	var arcs []string
	for _, e := range elements {
		if e.Corner == outline.None {
			continue
		}
		turn, sign := e.Turn, "- "
		if turn < 0 {
			turn, sign = -turn, "+ " // a rounded reflex corner adds ground
		}
		r := p.length(e.Radius)
		factor := measure.Tan(turn/2) - float64(turn/2)
		arcs = append(arcs, sign+r+" x "+r+" x "+number(factor))
	}
	if len(arcs) > 0 {
		expression += " " + join(arcs, " ")
	}
	return expression
}

// chordSum writes the area of lines and arcs: that of the polygon of their ends, and for each arc the ground between it
// and its chord, r^2 (t - sin t) / 2 for a turn t (circular segment).
func chordSum(elements []outline.Element, p pencil) string {
	ends := make([]outline.Point, len(elements))
	var arcs []string
	for i, e := range elements {
		ends[i] = e.From
		if e.Straight() {
			continue
		}
		turn, sign := e.Turn, "+ "
		if turn < 0 {
			turn, sign = -turn, "- "
		}
		r := p.length(e.Radius)
		arcs = append(arcs, sign+r+" x "+r+" x "+number((float64(turn)-measure.Sin(turn))/2))
	}
	if len(ends) > largestShown {
		return crossSum(ends, p) + ", and r x r x (t - sin t) / 2 for each of " + strconv.Itoa(len(arcs)) + " arcs"
	}
	return crossSum(ends, p) + " " + join(arcs, " ")
}

// crossSum writes the area of a polygon.
func crossSum(corners []outline.Point, p pencil) string {
	if len(corners) == 4 && rightAngled(corners) {
		return p.length(distance(corners[0], corners[1])) + " x " + p.length(distance(corners[1], corners[2]))
	}
	if len(corners) > largestShown {
		return "half the sum of x1 y2 - x2 y1 over " + strconv.Itoa(len(corners)) + " corners"
	}
	expression := "("
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		if i > 0 {
			expression += " + "
		}
		x := func(l measure.Length) string { return number(p.system.Length(l).Value) }
		expression += x(a.X) + " x " + x(b.Y) + " - " + x(b.X) + " x " + x(a.Y)
	}
	return expression + ") / 2"
}

func distance(a, b outline.Point) measure.Length {
	return outline.Edge{From: a, To: b}.Length()
}

// rightAngled tells a rectangle, at any angle.
func rightAngled(c []outline.Point) bool {
	dx1, dy1 := float64(c[1].X-c[0].X), float64(c[1].Y-c[0].Y)
	dx2, dy2 := float64(c[2].X-c[1].X), float64(c[2].Y-c[1].Y)
	dx3, dy3 := float64(c[3].X-c[2].X), float64(c[3].Y-c[2].Y)
	const tiny = 1e-9
	dot := float64(dx1*dx2) + float64(dy1*dy2)
	size := (float64(dx1*dx1) + float64(dy1*dy1)) + (float64(dx2*dx2) + float64(dy2*dy2))
	return dot < tiny*size && dot > -tiny*size && dx1+dx3 < tiny && dx1+dx3 > -tiny && dy1+dy3 < tiny && dy1+dy3 > -tiny
}
