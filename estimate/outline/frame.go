package outline

import "bedline/estimate/measure"

// Frame is where coordinates are taken from: an origin and a direction for x. The zero Frame leaves points as they are.
type Frame struct {
	origin Point
	x, y   float64 // direction of x, of length one; zero for the directions of the job
}

// shortestFrame is how far apart the two points of a frame are at least: 1 mm.
const shortestFrame = measure.Millimetre

// NewFrame takes coordinates from an origin with x towards another point and y to the left of that. It is not there,
// and ok is false, where the two are less than 1 mm apart.
func NewFrame(origin, towards Point) (f Frame, ok bool) {
	d := distance(origin, towards)
	if !(d >= shortestFrame) {
		return Frame{}, false
	}
	return Frame{origin: origin, x: float64(towards.X-origin.X) / float64(d), y: float64(towards.Y-origin.Y) / float64(d)}, true
}

// Place is a point of the job in the coordinates of the frame; those below 1e-9 m are zero.
func (f Frame) Place(p Point) Point {
	if f.x != 0 || f.y != 0 {
		dx, dy := float64(p.X-f.origin.X), float64(p.Y-f.origin.Y)
		p = Point{X: measure.Length(dot(f.x, f.y, dx, dy)), Y: measure.Length(cross(f.x, f.y, dx, dy))}
	}
	if zero(p.X) {
		p.X = 0 // rounding error of the arithmetic
	}
	if zero(p.Y) {
		p.Y = 0
	}
	return p
}

// Distance is the straight distance between two points.
func (p Point) Distance(q Point) measure.Length { return distance(p, q) }
