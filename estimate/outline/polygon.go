package outline

import (
	"errors"
	"math"

	"bedline/estimate/measure"
)

// fits is the relative excess that a pair of corner arcs may have over its side: rounding error of the arithmetic.
const fits = 1e-9

// Rectangle is the upright rectangle with its first corner, of least x and y, at a point: length along +x, width
// along +y, all corners rounded alike. Side 0 is the bottom, 1 the right, 2 the top, 3 the left. Errors as Polygon.
func Rectangle(at Point, length, width, cornerRadius measure.Length) (*Outline, error) {
	var faults []error
	if !(length > 0) || !finite(length) {
		faults = append(faults, &NumberError{What: "length"})
	}
	if !(width > 0) || !finite(width) {
		faults = append(faults, &NumberError{What: "width"})
	}
	if len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	p := []Point{at, {at.X + length, at.Y}, {at.X + length, at.Y + width}, {at.X, at.Y + width}}
	return Polygon(p, []measure.Length{cornerRadius, cornerRadius, cornerRadius, cornerRadius})
}

// Circle is one side, number 0, that starts and ends at the point of greatest x.
func Circle(centre Point, radius measure.Length) (*Outline, error) {
	var faults []error
	if !centre.finite() {
		faults = append(faults, &NumberError{What: "point"})
	}
	if !(radius > 0) || !finite(radius) {
		faults = append(faults, &NumberError{What: "radius"})
	}
	if len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	return Chain([]Edge{Arc(centre, radius, 0, 2*measure.Pi)})
}

// Polygon is the outline through points that may run either way round. Side i leads from point i to the next; corner
// i, at point i, is rounded by radius i; nil rounds none. An arc is tangent to both of its sides, its ends
// r tan((180 degrees - corner angle) / 2) from the point. It fits where the tangents at both ends of a side are
// together no longer than the side, with a guard of 1e-9 of the side; a side thus used up has no element. At a
// point on a straight line between its neighbours a radius changes nothing.
//
// Errors, all that hold joined: *PointCountError, *RadiusCountError, *NumberError, *DuplicatePointError,
// *RadiusError, *CrossingError, *TooSmallError.
func Polygon(points []Point, cornerRadii []measure.Length) (*Outline, error) {
	n := len(points)
	if faults := unusable(points, cornerRadii); len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	corners := make([]corner, n)
	faults := repeated(points)
	for i := range corners {
		var r float64
		if cornerRadii != nil {
			r = float64(cornerRadii[i])
		}
		corners[i] = bend(points[(i+n-1)%n], points[i], points[(i+1)%n], r)
	}
	tight := fit(corners)
	faults = append(faults, tight...)
	if len(tight) > 0 { // the corners may still show where the line crosses itself
		for i := range corners {
			corners[i].tangent = 0
		}
	}
	if len(faults) > len(tight) {
		return nil, errors.Join(faults...)
	}
	o, err := round(points, corners).finish()
	if err != nil {
		faults = append(faults, err)
	}
	if len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	return o, nil
}

// unusable lists what keeps the points from being looked at.
func unusable(points []Point, radii []measure.Length) (faults []error) {
	if len(points) < 3 {
		faults = append(faults, &PointCountError{Points: len(points)})
	}
	if radii != nil && len(radii) != len(points) {
		faults = append(faults, &RadiusCountError{Points: len(points), Radii: len(radii)})
	}
	for i, p := range points {
		if !p.finite() {
			faults = append(faults, &NumberError{What: "point", Index: i})
		}
	}
	for i, r := range radii {
		if !(r >= 0) || !finite(r) {
			faults = append(faults, &NumberError{What: "corner radius", Index: i})
		}
	}
	return faults
}

// repeated lists the points that are the same as their neighbour.
func repeated(points []Point) (faults []error) {
	n := len(points)
	last := false
	for i := 1; i < n; i++ {
		if last = !(distance(points[i-1], points[i]) > same); last {
			faults = append(faults, &DuplicatePointError{Point: i})
		}
	}
	if !last && !(distance(points[n-1], points[0]) > same) {
		faults = append(faults, &DuplicatePointError{Point: n - 1})
	}
	return faults
}

// corner is the bend between two sides of a polygon.
type corner struct {
	inX, inY, outX, outY float64 // directions of the two sides, of length one
	side                 float64 // length of the side that leaves
	turn                 float64 // sine of the turn: positive to the left
	along                float64 // cosine of the turn
	radius               float64
	tangent              float64 // from the point to the ends of the arc; 0 leaves the corner sharp
}

func bend(before, at, after Point, radius float64) corner {
	var c corner
	inX, inY := float64(at.X-before.X), float64(at.Y-before.Y)
	outX, outY := float64(after.X-at.X), float64(after.Y-at.Y)
	in, out := norm(inX, inY), norm(outX, outY)
	c.side = out
	if !(in > same && out > same) {
		return c
	}
	c.inX, c.inY, c.outX, c.outY = inX/in, inY/in, outX/out, outY/out
	c.turn = cross(c.inX, c.inY, c.outX, c.outY)
	c.along = dot(c.inX, c.inY, c.outX, c.outY)
	c.radius = radius
	if radius > 0 {
		c.tangent = float64(radius * c.tan())
		if c.tangent <= same {
			c.tangent = 0
		}
	}
	return c
}

// tan is the tangent of half the turn.
func (c *corner) tan() float64 {
	s := math.Abs(c.turn)
	if c.along >= 0 {
		return s / (1 + c.along)
	}
	return (1 - c.along) / s
}

// fit lists the corners whose arcs are too long for their sides, and evens out excesses within the guard.
func fit(corners []corner) (faults []error) {
	n := len(corners)
	share := make([]float64, n)
	for i := range share {
		share[i] = 1
	}
	for i := range corners {
		j := (i + 1) % n
		side, a, b := corners[i].side, corners[i].tangent, corners[j].tangent
		switch both := a + b; {
		case both > side+float64(side*fits):
			s := side / both
			if math.IsInf(both, 1) {
				s = 0
			}
			if a > 0 {
				share[i] = min(share[i], s)
			}
			if b > 0 {
				share[j] = min(share[j], s)
			}
		case both > side:
			corners[i].tangent, corners[j].tangent = float64(side*(a/both)), float64(side*(b/both))
		}
	}
	for i, s := range share {
		if s < 1 {
			faults = append(faults, &RadiusError{Corner: i, Largest: measure.Length(corners[i].radius * s)})
		}
	}
	return faults
}

// round lays the sides and the arcs of the corners end to end.
func round(points []Point, corners []corner) *Outline {
	n := len(points)
	arcs := 0
	for i := range corners {
		if corners[i].tangent > 0 {
			arcs++
		}
	}
	o := &Outline{lines: make([]Edge, n), elements: make([]Element, 0, n+arcs)}
	starts, ends := make([]Point, n), make([]Point, n) // of each corner's arc
	for i, p := range points {
		c := &corners[i]
		t := c.tangent
		starts[i] = Point{p.X - measure.Length(t*c.inX), p.Y - measure.Length(t*c.inY)}
		ends[i] = Point{p.X + measure.Length(t*c.outX), p.Y + measure.Length(t*c.outY)}
	}
	for i := range corners { // a side that is used up: the two arcs meet in one point
		j := (i + 1) % n
		a, b := corners[i].tangent, corners[j].tangent
		if rest := corners[i].side - a - b; a > 0 && b > 0 && rest <= max(same, corners[i].side*fits) {
			starts[j] = ends[i]
		} else if rest <= same && a > 0 {
			ends[i] = starts[j]
		} else if rest <= same && b > 0 {
			starts[j] = ends[i]
		}
	}
	for i, p := range points {
		j := (i + 1) % n
		if corners[i].tangent > 0 {
			o.elements = append(o.elements, Element{Edge: corners[i].arc(starts[i], ends[i]), Side: None, Corner: i})
		}
		o.lines[i] = Line(p, points[j])
		if ends[i] != starts[j] {
			o.elements = append(o.elements, Element{Edge: Line(ends[i], starts[j]), Side: i, Corner: None})
		}
	}
	return o
}

// arc is the arc of a corner between its tangent points.
func (c *corner) arc(from, to Point) Edge {
	r := c.radius
	if c.turn < 0 {
		r = -r
	}
	return Edge{
		From: from, To: to,
		Centre: Point{from.X - measure.Length(r*c.inY), from.Y + measure.Length(r*c.inX)},
		Radius: measure.Length(c.radius),
		Turn:   measure.Atan2(c.turn, c.along),
	}
}
