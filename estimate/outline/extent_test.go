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

func covered(c outline.Cover) bool { return c.Has(0) }

func TestStripsReachFromTheFirstToTheLastPoint(t *testing.T) {
	t.Parallel()
	// A bed 10 by 6 with a notch in its top: strips along x reach over the notch, strips along y stop at it.
	o, err := outline.Polygon(pts(0, 0, 10, 0, 10, 6, 6, 6, 6, 3, 4, 3, 4, 6, 0, 6), nil)
	require.NoError(t, err)
	notched := o.Region()
	disc := outline.Region{outline.CircleLoop(pt(5, 5), 2)}
	for _, c := range []struct {
		name   string
		region outline.Region
		along  float64
		bands  []outline.Interval
		want   []outline.Interval
	}{
		{"along x", notched, 0, []outline.Interval{{From: 0, To: 2}, {From: 2, To: 4}, {From: 4, To: 6}, {From: 6, To: 8}},
			[]outline.Interval{{From: 0, To: 10}, {From: 0, To: 10}, {From: 0, To: 10}, {From: 1, To: 0}}},
		{"along y", notched, 90, []outline.Interval{{From: -4, To: -2}, {From: -6, To: -4}, {From: -5, To: -3.5}, {From: -12, To: -10}},
			[]outline.Interval{{From: 0, To: 6}, {From: 0, To: 3}, {From: 0, To: 6}, {From: 1, To: 0}}},
		{"backwards", notched, 180, []outline.Interval{{From: -6, To: -3}}, []outline.Interval{{From: -10, To: 0}}},
		{"a disc, its widest place within the strip", disc, 0, []outline.Interval{{From: 4, To: 6}}, []outline.Interval{{From: 3, To: 7}}},
		{"a disc, its widest place beyond the strip", disc, 0, []outline.Interval{{From: 6, To: 8}, {From: 2, To: 4}},
			[]outline.Interval{{From: 5 - measure.Length(math.Sqrt(3)), To: 5 + measure.Length(math.Sqrt(3))}, {From: 5 - measure.Length(math.Sqrt(3)), To: 5 + measure.Length(math.Sqrt(3))}}},
		{"a band flush with the edge", notched, 0, []outline.Interval{{From: -2, To: 1e-10}}, []outline.Interval{{From: 1, To: 0}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			got := outline.Look([]outline.Region{c.region}, covered, measure.Degrees(c.along)).Extents(c.bands)
			require.Len(t, got, len(c.want))
			for i, w := range c.want {
				assert.Equal(t, w.Empty(), got[i].Empty(), i)
				if !w.Empty() {
					assert.InDelta(t, float64(w.From), float64(got[i].From), 1e-9, i)
					assert.InDelta(t, float64(w.To), float64(got[i].To), 1e-9, i)
				}
			}
		})
	}
}

func TestOnlyWantedGroundCounts(t *testing.T) {
	t.Parallel()
	regions := []outline.Region{{outline.RectangleLoop(pt(0, 0), 10, 4, 0)}, {outline.RectangleLoop(pt(0, 0), 3, 4, 0)}, {outline.RectangleLoop(pt(20, 20), 1, 1, 0)}}
	u, v, ok := outline.Look(regions, func(c outline.Cover) bool { return c.Has(0) && !c.Has(1) }, 0).Reach()
	require.True(t, ok)
	assert.InDelta(t, 3, float64(u.From), 1e-12)
	assert.InDelta(t, 10, float64(u.To), 1e-12)
	assert.InDelta(t, 4, float64(v.Length()), 1e-12)
	_, _, ok = outline.Look(regions, func(c outline.Cover) bool { return c.Has(0) && c.Has(2) }, 0).Reach()
	assert.False(t, ok)
	_, _, ok = outline.Look(nil, covered, 0).Reach()
	assert.False(t, ok)
}

// The extent of a shape in a direction is the greatest and least of what its points have there: corners for lines,
// and for an arc also centre plus and minus radius. Points are taken closely along every edge.
func TestReachAgreesWithPointsAlongTheEdges(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		region := shape(t)
		if len(region) == 0 {
			t.Skip("no shape")
		}
		along := rapid.Float64Range(-4, 4).Draw(t, "along")
		sin, cos := math.Sin(along), math.Cos(along)
		const steps = 2000
		low, high := outline.Point{X: 1e9, Y: 1e9}, outline.Point{X: -1e9, Y: -1e9}
		// Off round numbers: through a corner the edge of the band is a matter of rounding.
		cut := measure.Length(float64(rapid.IntRange(-8000, 12000).Draw(t, "cut"))/1000 + 0.000137)
		first, last := measure.Length(1e9), measure.Length(-1e9)
		for _, l := range region {
			for _, e := range l {
				for i := range steps + 1 {
					p := e.Point(measure.Factor(float64(i) / steps))
					u := measure.Length(float64(p.X)*cos + float64(p.Y)*sin)
					v := measure.Length(float64(p.Y)*cos - float64(p.X)*sin)
					low, high = outline.Point{X: min(low.X, u), Y: min(low.Y, v)}, outline.Point{X: max(high.X, u), Y: max(high.Y, v)}
					if v >= cut {
						first, last = min(first, u), max(last, u)
					}
				}
			}
		}
		u, v, ok := outline.Look([]outline.Region{region}, covered, measure.Angle(along)).Reach()
		require.True(t, ok)
		for _, pair := range [][2]measure.Length{{low.X, u.From}, {high.X, u.To}, {low.Y, v.From}, {high.Y, v.To}} {
			assert.InDelta(t, float64(pair[0]), float64(pair[1]), 1e-4)
		}
		got := outline.Look([]outline.Region{region}, covered, measure.Angle(along)).Extents([]outline.Interval{{From: cut, To: 1000}})[0]
		if first <= last && high.Y-cut > 1e-3 {
			// Where the band cuts an edge the nearest point taken lies up to one step along it, steeply or not.
			assert.LessOrEqual(t, float64(got.From), float64(first)+1e-9)
			assert.GreaterOrEqual(t, float64(got.To), float64(last)-1e-9)
			assert.LessOrEqual(t, float64(u.From), float64(got.From)+1e-9)
			assert.GreaterOrEqual(t, float64(u.To), float64(got.To)-1e-9)
			assert.InDelta(t, float64(first), float64(got.From), 0.02)
			assert.InDelta(t, float64(last), float64(got.To), 0.02)
		}
	})
}
