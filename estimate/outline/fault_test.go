package outline_test

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// joined takes a joined error apart.
func joined(err error) []error {
	if many, ok := err.(interface{ Unwrap() []error }); ok {
		return many.Unwrap()
	}
	return []error{err}
}

func TestCrossings(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name   string
		points []outline.Point
		radii  []measure.Length
		a, b   [2]int // side, corner
		at     outline.Point
	}{
		{"bow tie", pts(0, 0, 4, 0, 0, 3, 4, 3), nil, [2]int{1, -1}, [2]int{3, -1}, pt(2, 1.5)},
		{"bow tie the other way", pts(4, 3, 0, 3, 4, 0, 0, 0), nil, [2]int{1, -1}, [2]int{3, -1}, pt(2, 1.5)},
		{"spike back along a side", pts(0, 0, 4, 0, 4, 3, 4, 1, 0, 1), nil, [2]int{1, -1}, [2]int{2, -1}, pt(4, 1)},
		{"spike to a free end", pts(0, 0, 4, 0, 4, 3, 6, 3, 4, 3, 0, 3), nil, [2]int{1, -1}, [2]int{3, -1}, pt(4, 3)},
		{"point on another side", pts(0, 0, 4, 0, 4, 4, 2, 0, 0, 4), nil, [2]int{0, -1}, [2]int{2, -1}, pt(2, 0)},
		{"point less than 1e-9 m off another side", pts(0, 0, 4, 0, 4, 4, 2, 5e-10, 0, 4), nil, [2]int{0, -1}, [2]int{2, -1}, pt(2, 0)},
		{"two points in one place", pts(0, 0, 2, 2, 4, 0, 4, 4, 2, 2, 0, 4), nil, [2]int{0, -1}, [2]int{3, -1}, pt(2, 2)},
		{"side along another", pts(0, 0, 6, 0, 6, 2, 4, 2, 4, 0, 2, 0, 2, 2, 0, 2), nil, [2]int{0, -1}, [2]int{3, -1}, pt(4, 0)},
		{"a rounded reflex corner that reaches a tip", pts(0, 0, 10, 0, 12, 5, 1.3, 1.3, 9, 1, 1, 1, 1, 10, 0, 10),
			[]measure.Length{0, 0, 0, 0, 0, 3, 0, 0}, [2]int{2, -1}, [2]int{-1, 5}, outline.Point{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			_, err := outline.Polygon(c.points, c.radii)
			var fault *outline.CrossingError
			require.ErrorAs(t, err, &fault)
			assert.Equal(t, c.a, [2]int{fault.SideA, fault.CornerA})
			assert.Equal(t, c.b, [2]int{fault.SideB, fault.CornerB})
			if c.at != (outline.Point{}) {
				assert.InDelta(t, 0, dist(c.at, fault.At), 1e-8)
			}
		})
	}
}

func TestNearlyTouchingOutlinesAreLegal(t *testing.T) {
	t.Parallel()
	for name, points := range map[string][]outline.Point{
		"a slot of 2e-9 m":               pts(0, 0, 4, 0, 4, 4, 2, 2e-9, 0, 4),
		"a needle of a hundredth degree": pts(0, 0, 10, 0, 0, 0.00175),
		"a slot between parallel sides":  pts(0, 0, 6, 0, 6, 2, 3, 2, 3, 1e-6, 3-1e-6, 1e-6, 3-1e-6, 2, 0, 2),
	} {
		_, err := outline.Polygon(points, nil)
		assert.NoError(t, err, name)
	}
	_, err := outline.Polygon(pts(0, 0, 10, 0, 12, 5, 1.3, 1.3, 9, 1, 1, 1, 1, 10, 0, 10), nil)
	assert.NoError(t, err, "the same as the rounded reflex corner, but sharp")
}

func TestRadiiThatDoNotFit(t *testing.T) {
	t.Parallel()
	largest := func(points []outline.Point, radii ...measure.Length) map[int]float64 {
		_, err := outline.Polygon(points, radii)
		found := map[int]float64{}
		for _, e := range joined(err) {
			var fault *outline.RadiusError
			require.ErrorAs(t, e, &fault)
			found[fault.Corner] = float64(fault.Largest)
		}
		return found
	}
	square := pts(0, 0, 4, 0, 4, 2, 0, 2)
	got := largest(square, 0, 1.5, 1.5, 0)
	assert.Len(t, got, 2)
	assert.InDelta(t, 1, got[1], 1e-12)
	assert.InDelta(t, 1, got[2], 1e-12)
	got = largest(square, 0, 0, 0, 2.5)
	assert.Len(t, got, 1)
	assert.InDelta(t, 2, got[3], 1e-12)
	got = largest(square, 3, 3, 1, 1)
	assert.Len(t, got, 4)
	assert.InDelta(t, 1.5, got[0], 1e-12)
	assert.InDelta(t, 0.5, got[2], 1e-12)
	radii := make([]measure.Length, 4)
	for i, r := range got {
		radii[i] = measure.Length(r)
	}
	_, err := outline.Polygon(square, radii)
	assert.NoError(t, err, "all largest radii together fit")
}

func TestFaultsAreGivenTogether(t *testing.T) {
	t.Parallel()
	_, err := outline.Polygon(pts(0, 0, 0, 0, 4, 0, 4, 2, 4, 2, 0, 2, 0, 0), []measure.Length{0, 0, 9, 0, 0, 0, 0})
	var places []int
	for _, e := range joined(err) {
		var twice *outline.DuplicatePointError
		if errors.As(e, &twice) {
			places = append(places, twice.Point)
		}
	}
	assert.Equal(t, []int{1, 4, 6}, places)
	_, err = outline.Polygon(pts(0, 0, 4, 0, 0, 3, 4, 3), []measure.Length{50, 0, 0, 0})
	var tight *outline.RadiusError
	var crossed *outline.CrossingError
	assert.ErrorAs(t, err, &tight)
	assert.ErrorAs(t, err, &crossed)
}

func TestRefusedInput(t *testing.T) {
	t.Parallel()
	nan, inf := math.NaN(), math.Inf(1)
	poly := func(p []outline.Point, r ...measure.Length) error {
		if len(r) == 0 {
			r = nil
		}
		_, err := outline.Polygon(p, r)
		return err
	}
	second := func(_ *outline.Outline, err error) error { return err }
	for _, c := range []struct {
		name string
		err  error
		want any
	}{
		{"no points", poly(nil), new(*outline.PointCountError)},
		{"two points", poly(pts(0, 0, 1, 0)), new(*outline.PointCountError)},
		{"a point that is no number", poly(pts(0, 0, 1, nan, 1, 1)), new(*outline.NumberError)},
		{"a point at infinity", poly(pts(0, 0, inf, 0, 1, 1)), new(*outline.NumberError)},
		{"a radius that is no number", poly(pts(0, 0, 1, 0, 1, 1), 0, measure.Length(nan), 0), new(*outline.NumberError)},
		{"a radius below zero", poly(pts(0, 0, 1, 0, 1, 1), 0, -1, 0), new(*outline.NumberError)},
		{"too few radii", poly(pts(0, 0, 1, 0, 1, 1), 0, 1), new(*outline.RadiusCountError)},
		{"all points on one line", poly(pts(0, 0, 1, 0, 2, 0)), new(*outline.CrossingError)},
		{"less than a square centimetre", poly(pts(0, 0, 0.01, 0, 0.01, 0.0099, 0, 0.0099)), new(*outline.TooSmallError)},
		{"a rectangle without width", second(outline.Rectangle(pt(0, 0), 1, 0, 0)), new(*outline.NumberError)},
		{"a circle without radius", second(outline.Circle(pt(0, 0), 0)), new(*outline.NumberError)},
		{"a circle about nothing", second(outline.Circle(pt(nan, 0), 1)), new(*outline.NumberError)},
		{"a tiny circle", second(outline.Circle(pt(0, 0), 0.005)), new(*outline.TooSmallError)},
		{"an open chain", second(outline.Chain([]outline.Edge{outline.Line(pt(0, 0), pt(1, 0)), outline.Line(pt(1, 0), pt(1, 1)),
			outline.Line(pt(1, 1), pt(0, 0.1))})), new(*outline.NumberError)},
		{"a line there and back", second(outline.Chain([]outline.Edge{outline.Line(pt(0, 0), pt(1, 0)), outline.Line(pt(1, 0), pt(0, 0))})),
			new(*outline.PointCountError)},
		{"no chain", second(outline.Chain(nil)), new(*outline.PointCountError)},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			require.ErrorAs(t, c.err, c.want)
			assert.NotEmpty(t, c.err.Error())
		})
	}
	_, err := outline.Circle(pt(0, 0), 0.006) // 1.13e-4 m2
	assert.NoError(t, err)
}

func TestChainsOfArcs(t *testing.T) {
	t.Parallel()
	lens := []outline.Edge{outline.Arc(pt(0, -1), 2, measure.Degrees(30), measure.Degrees(120)), outline.Arc(pt(0, 1), 2, measure.Degrees(210), measure.Degrees(120))}
	o, err := outline.Chain(lens)
	require.NoError(t, err)
	// Two segments of radius 2 and turn 120 degrees: r^2 (t - sin t)/2 each.
	assert.InDelta(t, 4*(2*math.Pi/3-math.Sqrt(3)/2), float64(o.Area()), 1e-12)
	_, _, ok := o.SideLine(0)
	assert.False(t, ok)
	// Two half circles that touch the line they stand on from the same side cross each other.
	cross := []outline.Edge{
		outline.Line(pt(0, 0), pt(4, 0)), outline.Arc(pt(2.5, 0), 1.5, 0, measure.Pi),
		outline.Line(pt(1, 0), pt(1, -1)), outline.Line(pt(1, -1), pt(0, 0)),
	}
	_, err = outline.Chain(cross)
	var fault *outline.CrossingError
	require.ErrorAs(t, err, &fault)
	assert.Equal(t, [2]int{0, 1}, [2]int{fault.SideA, fault.SideB})
}

func TestLargeOutlines(t *testing.T) {
	t.Parallel()
	for _, turn := range []float64{0, 17, 33, 90, 135} {
		points := comb(0.05, 3, measure.Degrees(turn))
		o, err := outline.Polygon(points, nil)
		require.NoError(t, err)
		assert.InEpsilon(t, 1249*0.05*3+1249*0.1, float64(o.Area()), 1e-9)
		n := len(points)
		points[n-2].X, points[n-2].Y = points[0].X, points[0].Y // cut into the first tooth
		_, err = outline.Polygon(points, nil)
		var fault *outline.CrossingError
		require.ErrorAs(t, err, &fault)
	}
}
