//go:build geos

package geos

import (
	"math"
	"math/rand/v2"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// Shape is a random outline, and its ground with a hole cut out where Hole says so.
type Shape struct {
	*outline.Outline
	Ground outline.Region // the outline, counter-clockwise, and the hole, clockwise
	Hole   bool
	Round  bool // some edge is an arc
}

// Outlines are n random outlines about the origin, some two to four metres across, the same for the same seed: in turn a
// concave polygon, one with rounded corners, a path of straights and arcs that bulge out and in, and a line taped by
// offsets and joined smoothly. Every other one has a hole.
func Outlines(n int, seed uint64) []Shape {
	random := rand.New(rand.NewPCG(seed, 2))
	f := func(low, high float64) float64 { return low + (high-low)*random.Float64() }
	list := make([]Shape, 0, n)
	for len(list) < n {
		var o *outline.Outline
		switch len(list) % 4 {
		case 0:
			o, _ = outline.Polygon(star(f, 3+random.IntN(40)), nil)
		case 1:
			o = rounded(f, star(f, 3+random.IntN(15)))
		case 2:
			o = winding(f, star(f, 3+random.IntN(15)))
		case 3:
			o = taped(f, 3+random.IntN(12))
		}
		if o == nil {
			continue
		}
		s := Shape{Outline: o, Ground: o.Region()}
		if len(list)/4%2 == 1 {
			if hole := hollow(f, o, len(list)%3); hole != nil {
				s.Ground, s.Hole = append(s.Ground, hole), true
			}
		}
		for _, l := range s.Ground {
			for i := range l {
				s.Round = s.Round || l[i].Turn != 0
			}
		}
		list = append(list, s)
	}
	return list
}

func star(f func(low, high float64) float64, n int) []outline.Point {
	p := make([]outline.Point, n)
	for k := range p {
		a, r := (float64(k)+f(0, 0.8))*2*math.Pi/float64(n), f(0.5, 2)
		p[k] = outline.Point{X: measure.Length(r * math.Cos(a)), Y: measure.Length(r * math.Sin(a))}
	}
	return p
}

// rounded rounds every other corner or so, with less and less until the radii fit.
func rounded(f func(low, high float64) float64, p []outline.Point) *outline.Outline {
	radii := make([]measure.Length, len(p))
	for k := range radii {
		radii[k] = measure.Length(max(0, f(-1, 1)))
	}
	for range 12 {
		if o, err := outline.Polygon(p, radii); err == nil {
			return o
		}
		for k := range radii {
			radii[k] /= 2
		}
	}
	return nil
}

// winding joins points by straights and by arcs to both hands, flatter and flatter until none cross.
func winding(f func(low, high float64) float64, p []outline.Point) *outline.Outline {
	segments := make([]outline.Segment, len(p))
	for k := range segments {
		to := p[(k+1)%len(p)]
		segments[k] = outline.Segment{To: to}
		if kind := f(0, 3); kind > 1 {
			from := p[k]
			long := math.Hypot(float64(to.X-from.X), float64(to.Y-from.Y))
			segments[k].Kind, segments[k].Rise, segments[k].Turn = outline.RiseSegment, measure.Length(long*f(0.1, 0.6)), outline.Left
			if kind > 2 {
				segments[k].Turn = outline.Right
			}
		}
	}
	for range 8 {
		if o, err := outline.Path(p[0], segments); err == nil {
			return o
		}
		for k := range segments {
			segments[k].Rise /= 2
		}
	}
	return nil
}

func taped(f func(low, high float64) float64, n int) *outline.Outline {
	stations := make([]outline.Station, n)
	along := -2.0
	for k := range stations {
		stations[k] = outline.Station{Along: measure.Length(along), Out: measure.Length(f(0.3, 2))}
		along += f(0.2, 6/float64(n))
	}
	o, err := outline.Offsets(outline.Point{X: 0, Y: -1}, measure.Angle(f(0, 6)), stations, outline.Smooth)
	if err != nil {
		return nil
	}
	return o
}

// hollow is a clockwise loop inside an outline: a circle, a turned rectangle or a star. Nil where it is too narrow about
// the middle of its bounds.
func hollow(f func(low, high float64) float64, o *outline.Outline, kind int) outline.Loop {
	low, high := o.Bounds()
	at := outline.Point{X: (low.X + high.X) / 2, Y: (low.Y + high.Y) / 2}
	if !o.Contains(at, 0) {
		return nil
	}
	r := 0.9 * o.Distance(at)
	if r < 0.02 {
		return nil
	}
	switch kind {
	case 0:
		return outline.CircleLoop(at, r).Reverse()
	case 1:
		return outline.RectangleLoop(at, r*0.8, r*0.5, measure.Angle(f(0, 6))).Reverse()
	}
	p := star(f, 9)
	l := make(outline.Loop, len(p))
	for k := range p {
		p[k] = outline.Point{X: at.X + p[k].X*r/2, Y: at.Y + p[k].Y*r/2}
	}
	for k := range p {
		l[k] = outline.Line(p[k], p[(k+1)%len(p)])
	}
	return l.Reverse()
}
