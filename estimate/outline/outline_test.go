package outline_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

func pt(x, y float64) outline.Point { return outline.Point{X: measure.Length(x), Y: measure.Length(y)} }

func pts(xy ...float64) []outline.Point {
	var p []outline.Point
	for i := 0; i < len(xy); i += 2 {
		p = append(p, pt(xy[i], xy[i+1]))
	}
	return p
}

// stations is the outline taped from a baseline: offsets square out from it at equal steps.
func stations(step float64, offsets ...float64) []outline.Point {
	p := pts(0, 0, step*float64(len(offsets)-1), 0)
	for i := len(offsets) - 1; i >= 0; i-- {
		p = append(p, pt(step*float64(i), offsets[i]))
	}
	return p
}

func TestPublishedAreas(t *testing.T) {
	t.Parallel()
	heron := func(a, b, c float64) []outline.Point { // side c on the x axis
		x := (a*a - b*b + c*c) / (2 * c)
		return pts(0, 0, c, 0, x, math.Sqrt(a*a-x*x))
	}
	for _, c := range []struct {
		name   string
		points []outline.Point
		radii  []measure.Length
		area   float64
		within float64
	}{
		// Mahun, Open Access Surveying, Traverse Computations, chapter G, example 1, fig. G-7: the cross sums are
		// 3,384,174.1 and 3,590,045.6, half their difference the area, to a tenth of a square foot (WE-01). x is east.
		{"traverse of four corners", pts(2000, 500, 1561.426, 323.614, 1488.321, 526.996, 1686.956, 719.336), nil,
			(3590045.6 - 3384174.1) / 2, 0.1},
		// Surveying course, calculation of areas, example 1: nine ordinates at 10 m by the trapezoidal rule (WE-03).
		{"nine offsets at 10 m", stations(10, 3.15, 4.3, 8.2, 5.6, 6.85, 7.6, 4.2, 5.6, 4.3), nil, 460.75, 1e-9},
		// Surveying handout after La Putt, problem E1: thirteen ordinates at 3.5 m by the trapezoidal rule (WE-04).
		{"thirteen offsets at 3.5 m", stations(3.5, 0.8, 3.6, 4.7, 5.3, 3.9, 2.7, 4.6, 5.5, 4.9, 7.6, 8.8, 5.4, 6.0), nil, 211.4, 1e-9},
		// The classical triangle of Heron has sides 13, 14, 15 and area 84 (WE-23).
		{"triangle of sides 13, 14, 15", heron(13, 15, 14), nil, 84, 1e-12},
		// A fillet of radius r takes r^2 (1 - pi/4) off a square corner; 1.931417 for r = 3 (WE-23).
		{"one square corner rounded by 3", pts(0, 0, 10, 0, 10, 10, 0, 10), []measure.Length{0, 3, 0, 0}, 100 - 1.931417, 1e-6},
		// The same with a corner angle of 60 degrees: r^2 (cot(a/2) - (pi - a)/2) (X-fil).
		{"one corner of 60 degrees rounded by 1", pts(0, 0, 8, 0, 4, 4*math.Sqrt(3)), []measure.Length{1, 0, 0},
			16*math.Sqrt(3) - (math.Sqrt(3) - math.Pi/3), 1e-12},
		// At a reflex corner the fillet adds what it would take off.
		{"reflex corner rounded by 2", pts(0, 0, 10, 0, 10, 5, 5, 5, 5, 10, 0, 10), []measure.Length{0, 0, 0, 2, 0, 0},
			75 + 4*(1-math.Pi/4), 1e-12},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			o, err := outline.Polygon(c.points, c.radii)
			require.NoError(t, err)
			assert.InDelta(t, c.area, float64(o.Area()), c.within)
			assert.InDelta(t, c.area, float64(o.Loop().Area()), c.within)
			share := outline.Divide([]outline.Region{o.Region()}, 1, func(outline.Cover) int { return 0 })[0]
			assert.InDelta(t, c.area, float64(share.Area), c.within)
			assert.InDelta(t, float64(o.Perimeter()), float64(share.Perimeter), 1e-9)
		})
	}
}

// Circular segment of radius 5 and a right angle: 7.134954; annulus of radii 10 and 8: 113.097336 (WE-23).
func TestSegmentAndAnnulusHaveTheirFormulaAreas(t *testing.T) {
	t.Parallel()
	arc := outline.Arc(pt(3, -7), 5, measure.Degrees(20), measure.Degrees(90))
	segment, err := outline.Chain([]outline.Edge{arc, outline.Line(arc.To, arc.From)})
	require.NoError(t, err)
	assert.InDelta(t, 7.134954, float64(segment.Area()), 1e-6)
	ring := outline.Sector(pt(3, -7), 10, 8, measure.Degrees(20), measure.Degrees(360))
	assert.InDelta(t, 113.097336, float64(ring.Area()), 1e-6)
	rings := []outline.Region{{ring}, {outline.CircleLoop(pt(0, 0), 10), outline.CircleLoop(pt(0, 0), 8).Reverse()},
		{outline.Sector(pt(0, 0), 8, 10, 0, measure.Pi), outline.Sector(pt(0, 0), 8, 10, measure.Pi, measure.Pi)}}
	for i, r := range rings {
		s := outline.Divide([]outline.Region{r}, 1, func(outline.Cover) int { return 0 })[0]
		assert.InDelta(t, 113.097336, float64(s.Area), 1e-6, i)
		assert.InDelta(t, 36*math.Pi, float64(s.Perimeter), 1e-9, i)
	}
}

func TestFlatArcsKeepTheirDigits(t *testing.T) {
	t.Parallel()
	// A segment of chord c and small height h has about 2/3 c h: exact to (h/c)^2 (handbook formula).
	const r, turn = 1e6, 1e-5
	arc := outline.Arc(pt(0, 0), r, 1, turn)
	c, h := 2*r*math.Sin(turn/2), 2*r*math.Sin(turn/4)*math.Sin(turn/4)
	assert.InEpsilon(t, 2.0/3*c*h, float64(outline.Loop{arc, outline.Line(arc.To, arc.From)}.Area()), 1e-8)
}

func TestRoundedRectangleKeepsItsNumbers(t *testing.T) {
	t.Parallel()
	o, err := outline.Rectangle(pt(1, 2), 6, 2, 0.5)
	require.NoError(t, err)
	assert.InDelta(t, 12-(4-math.Pi)*0.25, float64(o.Area()), 1e-12)
	assert.InDelta(t, 12+math.Pi, float64(o.Perimeter()), 1e-12)
	assert.Equal(t, 4, o.Sides())
	assert.False(t, o.Reversed())
	var names [][2]int
	for _, e := range o.Elements() {
		names = append(names, [2]int{e.Side, e.Corner})
	}
	assert.Equal(t, [][2]int{{-1, 0}, {0, -1}, {-1, 1}, {1, -1}, {-1, 2}, {2, -1}, {-1, 3}, {3, -1}}, names)
	from, to, ok := o.SideLine(1)
	assert.True(t, ok)
	assert.Equal(t, [2]outline.Point{pt(7, 2), pt(7, 4)}, [2]outline.Point{from, to})
	low, high := o.Bounds()
	assert.Equal(t, [2]outline.Point{pt(1, 2), pt(7, 4)}, [2]outline.Point{low, high})
}

func TestSidesUsedUpByTheirArcsHaveNoElement(t *testing.T) {
	t.Parallel()
	o, err := outline.Rectangle(pt(0, 0), 6, 2, 1)
	require.NoError(t, err)
	assert.Len(t, o.Elements(), 6)
	for _, e := range o.Elements() {
		assert.NotContains(t, []int{1, 3}, e.Side)
	}
	o, err = outline.Rectangle(pt(0, 0), 2, 2, 1) // a circle of four arcs
	require.NoError(t, err)
	assert.Len(t, o.Elements(), 4)
	assert.InDelta(t, math.Pi, float64(o.Area()), 1e-12)
	// 0.7 m + 0.1 m is a hair less than 0.8 m in binary: rounding of input must not refuse a radius.
	_, err = outline.Rectangle(pt(0.1, 0.7), 0.8, 3*0.1, 0.15)
	require.NoError(t, err)
}

func TestClockwisePointsKeepTheirNumbers(t *testing.T) {
	t.Parallel()
	points := pts(0, 0, 0, 3, 4, 3, 4, 0)
	o, err := outline.Polygon(points, []measure.Length{0, 1, 0, 0})
	require.NoError(t, err)
	assert.True(t, o.Reversed())
	assert.InDelta(t, 12-1+math.Pi/4, float64(o.Area()), 1e-12)
	seen := map[int]bool{}
	for _, e := range o.Elements() {
		mid := e.Point(0.5)
		switch {
		case e.Corner != outline.None:
			assert.Equal(t, 1, e.Corner)
			assert.InDelta(t, 1-math.Sqrt2/2, float64(mid.X), 1e-12)
			assert.Greater(t, float64(e.Turn), 0.0)
		default:
			seen[e.Side] = true
			want := []outline.Point{pt(0, 1), pt(2.5, 3), pt(4, 1.5), pt(2, 0)}[e.Side]
			assert.InDelta(t, float64(want.X), float64(mid.X), 1e-12)
			assert.InDelta(t, float64(want.Y), float64(mid.Y), 1e-12)
		}
	}
	assert.Len(t, seen, 4)
	from, to, ok := o.SideLine(0) // the inside stays on the left
	require.True(t, ok)
	assert.Equal(t, [2]outline.Point{pt(0, 3), pt(0, 0)}, [2]outline.Point{from, to})
}

func TestRadiusAtAStraightPointChangesNothing(t *testing.T) {
	t.Parallel()
	o, err := outline.Polygon(pts(0, 0, 2, 0, 4, 0, 4, 3, 0, 3), []measure.Length{0, 100, 0, 0, 0})
	require.NoError(t, err)
	assert.InDelta(t, 12, float64(o.Area()), 1e-12)
	assert.Len(t, o.Elements(), 5)
}

func TestInsideAndDistance(t *testing.T) {
	t.Parallel()
	o, err := outline.Polygon(pts(0, 0, 10, 0, 10, 5, 5, 5, 5, 10, 0, 10), []measure.Length{2, 0, 0, 2, 0, 0})
	require.NoError(t, err)
	for _, c := range []struct {
		name     string
		p        outline.Point
		inside   bool
		distance float64
	}{
		{"middle", pt(2, 3), true, 2},
		{"on a side", pt(7, 0), true, 0},
		{"cut off by the rounded corner", pt(0, 0), false, 2*math.Sqrt2 - 2},
		{"ground won at the rounded reflex corner", pt(5.1, 5.1), true, 1.9*math.Sqrt2 - 2}, // from the centre (7, 7), less the radius
		{"beyond the arc's chord", pt(7, 7), false, 2},
		{"far out", pt(13, 9), false, 5},
		{"level with a corner", pt(12, 5), false, 2},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			assert.Equal(t, c.inside, o.Contains(c.p, 0))
			assert.InDelta(t, c.distance, float64(o.Distance(c.p)), 1e-12)
			assert.True(t, o.Contains(c.p, measure.Length(c.distance)+1e-9))
		})
	}
}

func TestOutside(t *testing.T) {
	t.Parallel()
	bed, err := outline.Polygon(pts(0, 0, 10, 0, 10, 6, 6, 6, 6, 3, 4, 3, 4, 6, 0, 6), nil) // a notch in the top
	require.NoError(t, err)
	for _, c := range []struct {
		name string
		loop outline.Loop
		far  float64
	}{
		{"within", outline.RectangleLoop(pt(1, 1), 2, 1, 0.3), 0},
		{"flush with three sides", outline.RectangleLoop(pt(0, 0), 10, 3, 0), 0},
		{"a corner out", outline.RectangleLoop(pt(8, 5), 1, 1.25, 0), 0.25},
		{"bridging the notch", outline.RectangleLoop(pt(2, 3.5), 6, 0.5, 0), 1},
		{"all outside", outline.RectangleLoop(pt(11, 1), 1, 1, 0), 2},
		{"round the bed", outline.RectangleLoop(pt(-1, -1), 12, 8, 0), math.Sqrt2},
		{"a disc over one side", outline.CircleLoop(pt(2, 0.5), 0.75), 0.25},
		{"a disc that fills the notch", outline.CircleLoop(pt(5, 4), 1), 1},
		{"0.9 mm out", outline.RectangleLoop(pt(-0.0009, 1), 1, 1, 0), 0.0009},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			assert.InDelta(t, c.far, float64(bed.Outside(c.loop)), 1e-8)
			assert.InDelta(t, c.far, float64(bed.Outside(c.loop.Reverse())), 1e-8)
		})
	}
}

func TestParallelEdges(t *testing.T) {
	t.Parallel()
	line, ok := outline.Line(pt(1, 1), pt(4, 5)).Offset(2)
	require.True(t, ok)
	assert.InDelta(t, 1-1.6, float64(line.From.X), 1e-12)
	assert.InDelta(t, 1+1.2, float64(line.From.Y), 1e-12)
	arc := outline.Arc(pt(0, 0), 3, 0, measure.Degrees(90))
	in, ok := arc.Offset(1)
	require.True(t, ok)
	assert.InDelta(t, math.Pi, float64(in.Length()), 1e-12)
	out, ok := arc.Reverse().Offset(1)
	require.True(t, ok)
	assert.InDelta(t, 2*math.Pi, float64(out.Length()), 1e-12)
	_, ok = arc.Offset(3)
	assert.False(t, ok, "nothing is left of an arc offset to its centre")
	assert.InDelta(t, 90, arc.Heading(0).Degrees(), 1e-12)
	assert.InDelta(t, 135, arc.Heading(0.5).Degrees(), 1e-12)
	assert.InDelta(t, -90, arc.Reverse().Heading(1).Degrees(), 1e-12)
}

// star is an outline that can't cross itself: corners in order of their direction from a point inside.
func star(t *rapid.T) []outline.Point {
	n := rapid.IntRange(3, 12).Draw(t, "corners")
	p := make([]outline.Point, n)
	for i := range p {
		r := rapid.Float64Range(1, 3).Draw(t, "radius")
		a := 2 * math.Pi * (float64(i) + rapid.Float64Range(-0.3, 0.3).Draw(t, "angle")) / float64(n)
		p[i] = pt(r*math.Cos(a), r*math.Sin(a))
	}
	return p
}

func TestMovingTurningRestartingAndReversingKeepAreaAndPerimeter(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		points := star(t)
		n := len(points)
		radii := make([]measure.Length, n)
		for i := range radii {
			radii[i] = measure.Length(rapid.SampledFrom([]float64{0, 0, 0.02, 0.1}).Draw(t, "corner radius"))
		}
		o, err := outline.Polygon(points, radii)
		if err != nil {
			t.Skip("radius does not fit")
		}
		angle := measure.Angle(rapid.Float64Range(-7, 7).Draw(t, "turn"))
		dx := measure.Length(rapid.Float64Range(-2000, 2000).Draw(t, "shift"))
		start := rapid.IntRange(0, n-1).Draw(t, "start")
		back := rapid.Bool().Draw(t, "back")
		double := rapid.Bool().Draw(t, "double")
		moved, movedRadii := make([]outline.Point, n), make([]measure.Length, n)
		scale := 1.0
		if double {
			scale = 2
		}
		for i := range n {
			k := (start + i) % n
			if back {
				k = (start - i + n) % n
			}
			p := points[k].Rotate(pt(1, 1), angle)
			moved[i] = outline.Point{X: (p.X + dx) * measure.Length(scale), Y: (p.Y - dx) * measure.Length(scale)}
			movedRadii[i] = radii[k] * measure.Length(scale)
		}
		q, err := outline.Polygon(moved, movedRadii)
		require.NoError(t, err)
		assert.Equal(t, back, q.Reversed())
		assert.InEpsilon(t, scale*scale*float64(o.Area()), float64(q.Area()), 1e-9)
		assert.InEpsilon(t, scale*float64(o.Perimeter()), float64(q.Perimeter()), 1e-9)
		for _, e := range q.Elements() { // every arc leaves and meets its sides along their direction
			if e.Corner == outline.None {
				continue
			}
			for _, end := range []struct {
				share measure.Factor
				at    outline.Point
			}{{0, e.From}, {1, e.To}} {
				assert.InDelta(t, float64(e.Radius), dist(e.Centre, end.at), 1e-9)
			}
		}
		for i := range q.Elements() {
			e, f := q.Elements()[i], q.Elements()[(i+1)%len(q.Elements())]
			assert.Equal(t, e.To, f.From)
			if e.Corner != outline.None || f.Corner != outline.None {
				d := math.Abs(float64(e.Heading(1) - f.Heading(0)))
				assert.Less(t, min(d, 2*math.Pi-d), 1e-6)
			}
		}
	})
}

func dist(p, q outline.Point) float64 { return math.Hypot(float64(p.X-q.X), float64(p.Y-q.Y)) }
