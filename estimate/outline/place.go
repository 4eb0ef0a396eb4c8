package outline

import (
	"math"

	"bedline/estimate/measure"
)

// nearest is the point of the edge nearest to p.
func (e *Edge) nearest(p Point) Point {
	if e.Straight() {
		dx, dy := float64(e.To.X-e.From.X), float64(e.To.Y-e.From.Y)
		along := dot(dx, dy, float64(p.X-e.From.X), float64(p.Y-e.From.Y))
		square := dot(dx, dy, dx, dy)
		switch {
		case along <= 0:
			return e.From
		case along >= square:
			return e.To
		}
		return e.Point(measure.Factor(along / square))
	}
	dx, dy := float64(p.X-e.Centre.X), float64(p.Y-e.Centre.Y)
	if d := norm(dx, dy); d > 0 && e.sweeps(dx, dy) {
		f := float64(e.Radius) / d
		return Point{e.Centre.X + measure.Length(dx*f), e.Centre.Y + measure.Length(dy*f)}
	}
	if distance(p, e.From) <= distance(p, e.To) {
		return e.From
	}
	return e.To
}

// away is the distance from p to the nearest point of the edge.
func (e *Edge) away(p Point) measure.Length {
	if !e.Straight() {
		dx, dy := float64(p.X-e.Centre.X), float64(p.Y-e.Centre.Y)
		if e.sweeps(dx, dy) {
			return measure.Length(math.Abs(norm(dx, dy) - float64(e.Radius)))
		}
		return min(distance(p, e.From), distance(p, e.To))
	}
	dx, dy := float64(e.To.X-e.From.X), float64(e.To.Y-e.From.Y)
	x, y := float64(p.X-e.From.X), float64(p.Y-e.From.Y)
	along := dot(dx, dy, x, y)
	square := dot(dx, dy, dx, dy)
	switch {
	case along <= 0:
		return measure.Length(norm(x, y))
	case along >= square:
		return distance(p, e.To)
	}
	return measure.Length(math.Abs(cross(dx, dy, x, y)) / math.Sqrt(square))
}

// Distance is the distance from a point, inside or out, to the bed line.
func (o *Outline) Distance(p Point) measure.Length { return distanceTo(o.elements, p) }

func distanceTo(elements []Element, p Point) measure.Length {
	d := measure.Length(math.Inf(1))
	for i := range elements {
		d = min(d, elements[i].away(p))
	}
	return d
}

// Contains tells whether a point is on the ground of the outline, on its line, or no farther than tolerance from it.
func (o *Outline) Contains(p Point, tolerance measure.Length) bool {
	if p.X < o.low.X-tolerance || p.X > o.high.X+tolerance || p.Y < o.low.Y-tolerance || p.Y > o.high.Y+tolerance {
		return false
	}
	return o.winds(p) || o.Distance(p) <= max(tolerance, 0)
}

// winds tells whether the outline winds about p. For a point on the line either answer may come.
func (o *Outline) winds(p Point) bool { return winds(o.elements, p) }

// winds tells whether closed chains of elements wind about p.
func winds(elements []Element, p Point) bool {
	wind := 0
	for i := range elements {
		wind += elements[i].winds(p)
	}
	return wind != 0
}

// winds is what the edge adds to the number of times that closed chains, of which it is a part, wind about p.
func (e *Edge) winds(p Point) (wind int) {
	// The chords first: those that a ray from p along +x crosses upwards and downwards.
	side := cross(float64(e.To.X-e.From.X), float64(e.To.Y-e.From.Y), float64(p.X-e.From.X), float64(p.Y-e.From.Y))
	if e.From.Y <= p.Y && e.To.Y > p.Y {
		if side > 0 {
			wind++
		}
	} else if e.From.Y > p.Y && e.To.Y <= p.Y {
		if side < 0 {
			wind--
		}
	}
	if e.Straight() {
		return wind
	}
	// Then the ground between each arc and its chord. A point on the chord must count as it does above: the ray
	// starts a hair above p and to the right of it.
	if !(norm(float64(p.X-e.Centre.X), float64(p.Y-e.Centre.Y)) < float64(e.Radius)) {
		return wind
	}
	right := side < 0
	switch {
	case e.From == e.To:
		right = e.Turn > 0
	case side == 0 && e.From.Y != e.To.Y:
		right = e.To.Y > e.From.Y
	case side == 0:
		right = e.To.X < e.From.X
	}
	if e.Turn > 0 && right {
		wind++
	} else if e.Turn < 0 && !right {
		wind--
	}
	return wind
}
