// Package hard holds outlines that are hard to reckon with, for the tests of the packages that take outlines.
package hard

import (
	"math"
	"testing"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// Outline is a legal outline with its area by hand.
type Outline struct {
	Name  string
	Edges []outline.Edge
	Area  float64 // m2
}

func at(x, y float64) outline.Point {
	return outline.Point{X: measure.Length(x), Y: measure.Length(y)}
}

// lines joins points given as x and y after each other.
func lines(xy ...float64) []outline.Edge {
	n := len(xy) / 2
	edges := make([]outline.Edge, n)
	for i := range edges {
		k := (i + 1) % n
		edges[i] = outline.Line(at(xy[2*i], xy[2*i+1]), at(xy[2*k], xy[2*k+1]))
	}
	return edges
}

// arc is the arc about (x, y), its ends put on places, from one direction over a turn, in degrees.
func arc(x, y, r, from, turn float64, start, end outline.Point) outline.Edge {
	e := outline.Arc(at(x, y), measure.Length(r), measure.Degrees(from), measure.Degrees(turn))
	e.From, e.To = start, end
	return e
}

func rectangle(length, width float64) []outline.Edge {
	return lines(0, 0, length, 0, length, width, 0, width)
}

// star has n points, in turn at two distances.
func star(n int, far, near float64) Outline {
	var xy []float64
	for i := range n {
		r := far
		if i%2 == 1 {
			r = near
		}
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		xy = append(xy, r*cos, r*sin)
	}
	return Outline{"a star of many points", lines(xy...), float64(n) / 2 * far * near * math.Sin(2*math.Pi/float64(n))}
}

// Outlines are the outlines.
func Outlines() []Outline {
	return []Outline{
		{"a bed of 10 cm", rectangle(0.1, 0.1), 0.01},
		{"a bed of 2 km", rectangle(2000, 2000), 4e6},
		{"a bed of 2 km by 10 cm", rectangle(2000, 0.1), 200},
		{"a sliver 0.1 mm wide", rectangle(20, 0.0001), 0.002},
		{"a wedge that runs out to nothing", lines(0, 0, 20, 0, 20, 0.001), 0.01},
		{"a slot 0.1 mm wide in a bed", lines(0, 0, 2, 0, 2, 1, 1.0001, 1, 1.0001, 0.2, 1, 0.2, 1, 1, 0, 1), 2 - 0.8*0.0001},
		{"a step of 0.1 mm in a side", lines(0, 0, 2, 0, 2, 1, 1, 1, 1, 1.0001, 0, 1.0001), 2.0001},
		{"points on straight lines between their neighbours", lines(0, 0, 1, 0, 2, 0, 2, 0.5, 2, 1, 0.7, 1, 0, 1, 0, 0.2), 2},
		{"a point a hair off a straight line", lines(0, 0, 1, -1e-7, 2, 0, 2, 1, 0, 1), 2 + 1e-7},
		{"two points 2e-9 m apart", lines(0, 0, 2, 0, 2, 2e-9, 2, 1, 0, 1), 2},
		{"a side of 0.1 mm between long ones", lines(0, 0, 2, 0, 2.0001, 0.0001, 2, 1, 0, 1), 2 + 0.0001*1/2},
		{"a needle into the bed", lines(0, 0, 2, 0, 2, 1, 1.001, 1, 1, 0.001, 0.999, 1, 0, 1), 2 - 0.001*0.999},
		{"a needle out of the bed", lines(0, 0, 2, 0, 2, 1, 1.001, 1, 1, 3, 0.999, 1, 0, 1), 2 + 0.001*2},
		{"two half discs on a rectangle, tangent to its sides", []outline.Edge{
			outline.Line(at(0, 0), at(3, 0)), arc(3, 1, 1, -90, 180, at(3, 0), at(3, 2)),
			outline.Line(at(3, 2), at(0, 2)), arc(0, 1, 1, 90, 180, at(0, 2), at(0, 0)),
		}, 6 + math.Pi},
		{"an S of two quarter arcs, tangent to each other and to the sides", []outline.Edge{
			outline.Line(at(0, 0), at(4, 0)), outline.Line(at(4, 0), at(4, 3)), arc(4, 2, 1, 90, 90, at(4, 3), at(3, 2)),
			arc(2, 2, 1, 0, -90, at(3, 2), at(2, 1)), outline.Line(at(2, 1), at(0, 1)), outline.Line(at(0, 1), at(0, 0)),
		}, 6},
		{"a corner where a side and a tangent arc come together like a cusp", []outline.Edge{
			outline.Line(at(0, 0), at(1, 0)), outline.Line(at(1, 0), at(1, 1)), arc(0, 1, 1, 0, -90, at(1, 1), at(0, 0)),
		}, 1 - math.Pi/4},
		{"a corner where two arcs come together like a cusp", []outline.Edge{
			arc(0, -2, 2, 90, -90, at(0, 0), at(2, -2)), outline.Line(at(2, -2), at(2, 2)), arc(0, 2, 2, 0, -90, at(2, 2), at(0, 0)),
		}, 8 - 2*math.Pi},
		{"a crescent", []outline.Edge{
			outline.Arc(at(0, 0), 2, -measure.Pi/2, measure.Pi), arc(-2, 0, 2*math.Sqrt2, 45, -90, at(0, 2), at(0, -2)),
		}, 2*math.Pi - (2*math.Pi - 4)},
		lens(1, 1000),
		gnawed(1, 0.0001),
		star(5000, 20, 19),
	}
}

// lens is two arcs of radius r over one chord, half of it long.
func lens(half, r float64) Outline {
	turn := 2 * math.Asin(half/r)
	depth := r * math.Cos(turn/2)
	degrees := turn * 180 / math.Pi
	return Outline{"a lens of two flat arcs", []outline.Edge{
		arc(0, depth, r, -90-degrees/2, degrees, at(-half, 0), at(half, 0)),
		arc(0, -depth, r, 90-degrees/2, degrees, at(half, 0), at(-half, 0)),
	}, r * r * (turn - math.Sin(turn))} // two circular segments, r^2 (t - sin t)/2 each
}

// gnawed is a circle with a short chord in the place of its arc.
func gnawed(r, chord float64) Outline {
	half := math.Asin(chord / 2 / r)
	x, y := r*math.Cos(half), r*math.Sin(half)
	return Outline{"a circle but for a short chord", []outline.Edge{
		arc(0, 0, r, half*180/math.Pi, 360-2*half*180/math.Pi, at(x, y), at(x, -y)),
		outline.Line(at(x, -y), at(x, y)),
	}, r*r*(math.Pi-half) + x*y}
}

// Placed is the outline where it stands, turned, 900 km away, and both.
func (o Outline) Placed(tb testing.TB, each func(name string, o *outline.Outline, area, within float64)) {
	tb.Helper()
	for _, p := range []struct {
		name     string
		turn     measure.Angle
		away     measure.Length
		rounding float64 // of a coordinate
	}{
		{o.Name, 0, 0, 1e-12},
		{o.Name + ", turned", 0.7, 0, 1e-12},
		{o.Name + ", 900 km away", 0, 900_000, 5e-10},
		{o.Name + ", turned, 900 km away", 0.7, 900_000, 5e-10},
	} {
		edges := make([]outline.Edge, len(o.Edges))
		for i, e := range outline.Loop(o.Edges).Rotate(at(0.3, 0.1), p.turn).Translate(p.away, -p.away) {
			edges[i] = e
		}
		made, err := outline.Chain(edges)
		if err != nil {
			tb.Errorf("%s: %v", p.name, err)
			continue
		}
		each(p.name, made, o.Area, 1e-12*o.Area+p.rounding*float64(made.Perimeter()))
	}
}
