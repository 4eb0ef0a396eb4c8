package outline

import (
	"math"

	"bedline/estimate/measure"
)

// lean is the angle that a tangent may always make with the straight to a neighbour.
const lean = measure.Pi / 3

// vector is a direction of length one.
type vector struct{ x, y float64 }

func unit(x, y float64) vector {
	l := norm(x, y)
	return vector{x / l, y / l}
}

func towards(p, q Point) vector { return unit(float64(q.X-p.X), float64(q.Y-p.Y)) }

func (v vector) back() vector { return vector{-v.x, -v.y} }

// to is the angle from v to w, positive to the left.
func (v vector) to(w vector) measure.Angle {
	return measure.Atan2(cross(v.x, v.y, w.x, w.y), dot(v.x, v.y, w.x, w.y))
}

func (v vector) turned(a measure.Angle) vector {
	s, c := measure.Sin(a), measure.Cos(a)
	return vector{float64(v.x*c) - float64(v.y*s), float64(v.x*s) + float64(v.y*c)}
}

// tangents gives the direction of a smooth line at each of three or more points that it runs through: parallel at an
// inner point to the chord of its neighbours, at an end that of the circle through the first or last three points.
// Nowhere does it lean from the straight to a neighbour by more than 60 degrees, or half of the turn at that corner
// if that is more: beyond, the line would run out far past the points.
func tangents(points []Point) []vector {
	n := len(points)
	t := make([]vector, n)
	for i := 1; i < n-1; i++ {
		in, out := towards(points[i-1], points[i]), towards(points[i], points[i+1])
		t[i] = held(towards(points[i-1], points[i+1]), in, out)
	}
	t[0] = endTangent(points[0], points[1], points[2])
	t[n-1] = endTangent(points[n-1], points[n-2], points[n-3]).back()
	return t
}

// held turns a tangent that leans too far from the straights before and after its point.
func held(t, in, out vector) vector {
	corner := in.to(out)
	most := max(lean, corner/2, -corner/2)
	if a := in.to(t); a > most {
		return in.turned(most)
	} else if a < -most {
		return in.turned(-most)
	}
	if a := out.to(t); a > most {
		return out.turned(most)
	} else if a < -most {
		return out.turned(-most)
	}
	return t
}

// endTangent is the direction at a of the circle from a through b to c.
func endTangent(a, b, c Point) vector {
	bx, by := float64(b.X-a.X), float64(b.Y-a.Y)
	cx, cy := float64(c.X-a.X), float64(c.Y-a.Y)
	// Inversion about a turns the circle into a straight line along its tangent.
	bb, cc := dot(bx, by, bx, by), dot(cx, cy, cx, cy)
	x, y := bx/bb-cx/cc, by/bb-cy/cc
	chord := unit(bx, by)
	if !(norm(x, y) > 0) {
		return chord
	}
	most := max(lean, chord.to(towards(b, c))/2, towards(b, c).to(chord)/2)
	t := unit(x, y)
	if leaning := chord.to(t); leaning > most {
		return chord.turned(most)
	} else if leaning < -most {
		return chord.turned(-most)
	}
	return t
}

// alike is the difference of two angles that makes no difference to the line: at 1,000 m it moves it by 0.1 mm.
const alike = 1e-7

// biarc joins two points by two arcs that are tangent to each other and to the directions at the ends, with tangents of
// one length: from p by d along the first, to q by d along the last, and the joint half way between. One arc, or the
// straight line, where that does. The line stays within the hull of those four points, and is never farther from the
// chord than an arc that leaves it at the greater of the two angles. The directions lean from the chord by less than a
// right angle each.
func biarc(p, q Point, first, last vector) []Edge {
	vx, vy := float64(q.X-p.X), float64(q.Y-p.Y)
	square := dot(vx, vy, vx, vy)
	chord := unit(vx, vy)
	a, b := chord.to(first), last.to(chord)
	if diff := max(a-b, b-a); diff <= alike {
		return []Edge{arcTurning(p, q, -(a + b))}
	}
	// |v - d (first + last)| = 2d, as the root that is not negative.
	along := dot(vx, vy, first.x+last.x, first.y+last.y)
	dx, dy := first.x-last.x, first.y-last.y
	d := square / (along + math.Sqrt(float64(along*along)+float64(dot(dx, dy, dx, dy)*square)))
	joint := Point{
		p.X + measure.Length((vx+float64(d*dx))/2),
		p.Y + measure.Length((vy+float64(d*dy))/2),
	}
	to, on := towards(p, joint), towards(joint, q)
	e := arcTurning(p, joint, 2*first.to(to))
	f := arcTurning(joint, q, 2*on.to(last))
	if e.Straight() && f.Straight() {
		return []Edge{Line(p, q)}
	}
	return []Edge{e, f}
}
