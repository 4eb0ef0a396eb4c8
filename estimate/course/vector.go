package course

import (
	"math"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// vector is a step in the plane in metres.
type vector struct{ x, y float64 }

func from(p, q outline.Point) vector { return vector{float64(q.X - p.X), float64(q.Y - p.Y)} }

func (v vector) dot(u vector) float64   { return float64(v.x*u.x) + float64(v.y*u.y) }
func (v vector) cross(u vector) float64 { return float64(v.x*u.y) - float64(v.y*u.x) }
func (v vector) size() float64          { return math.Sqrt(v.dot(v)) }
func (v vector) times(f float64) vector { return vector{float64(v.x * f), float64(v.y * f)} }
func (v vector) plus(u vector) vector   { return vector{v.x + u.x, v.y + u.y} }

// left is the vector turned a quarter to the left.
func (v vector) left() vector { return vector{-v.y, v.x} }

// unit is the direction of v.
func (v vector) unit() vector {
	s := v.size()
	return vector{v.x / s, v.y / s}
}

// at is the point one step v from p.
func at(p outline.Point, v vector) outline.Point {
	return outline.Point{X: p.X + measure.Length(v.x), Y: p.Y + measure.Length(v.y)}
}

// heading is the direction in which the edge runs at one of its own points.
func heading(e outline.Edge, p outline.Point) vector {
	if e.Straight() {
		return from(e.From, e.To).unit()
	}
	n := from(e.Centre, p).unit().left()
	if e.Turn < 0 {
		return n.times(-1)
	}
	return n
}
