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

func at(x, y float64) outline.Point {
	return outline.Point{X: measure.Length(x), Y: measure.Length(y)}
}

// firstLessSecond is the ground of the first region without that of the second.
func firstLessSecond(regions []outline.Region) *outline.Tract {
	return &outline.Trace(regions, 1, func(c outline.Cover) int {
		if c.Has(0) && !c.Has(1) {
			return 0
		}
		return outline.None
	})[0]
}

func TestDistanceOfALineFromGround(t *testing.T) {
	t.Parallel()
	square := outline.RectangleLoop(at(0, 0), 4, 3, 0)
	hole := outline.RectangleLoop(at(1, 1), 2, 1, 0)
	disc := outline.CircleLoop(at(0, 0), 2)
	tests := []struct {
		name     string
		regions  []outline.Region
		from, to outline.Point
		want     float64
	}{
		{"beside an upright side, its ends far off", []outline.Region{{square}}, at(5, 1), at(5, 2), 1},
		{"beside a level side", []outline.Region{{square}}, at(1, 3.5), at(2, 3.5), 0.5},
		{"a slant line off a corner: 3-4-5", []outline.Region{{square}}, at(7, 7), at(9, 9), 5},
		{"over the ground", []outline.Region{{square}}, at(-1, 1), at(9, 1), 0},
		{"wholly on the ground", []outline.Region{{square}}, at(1, 1), at(2, 2), 0},
		{"along a side", []outline.Region{{square}}, at(0, 0), at(4, 0), 0},
		{"in ground taken out", []outline.Region{{square}, {hole}}, at(1.25, 1.5), at(2, 1.5), 0.25},
		{"beside a disc", []outline.Region{{disc}}, at(-5, 3), at(5, 3), 1},
		{"beside a disc, past it", []outline.Region{{disc}}, at(3, 4), at(9, 4), 3},
		{"a ring about the line", []outline.Region{{disc}, {outline.CircleLoop(at(0, 0), 1)}}, at(-0.5, 0), at(0.5, 0), 0.5},
		{"of two discs the nearer", []outline.Region{{disc, outline.CircleLoop(at(10, 0), 3)}}, at(6, -1), at(6, 1), 1},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			got := firstLessSecond(test.regions).Distance(test.from, test.to)
			assert.InDelta(t, test.want, float64(got), 1e-9)
		})
	}
	nothing := firstLessSecond(nil).Distance(at(0, 0), at(1, 0))
	assert.True(t, math.IsInf(float64(nothing), 1))
}

// TestDistanceIsThatOfManyPoints compares with the least distance between points along the line and points of the
// ground on a grid: never more, and no less than the steps of both allow.
func TestDistanceIsThatOfManyPoints(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		number := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		angle := measure.Degrees(number("turn", 0, 360))
		plot := outline.RectangleLoop(at(number("x", -3, 3), number("y", -3, 3)), measure.Length(number("l", 0.5, 4)), measure.Length(number("w", 0.5, 4)), angle)
		c, r := at(number("cx", -3, 3), number("cy", -3, 3)), measure.Length(number("r", 0.3, 2))
		round := outline.CircleLoop(c, r)
		from, to := at(number("fx", -8, 8), number("fy", -8, 8)), at(number("tx", -8, 8), number("ty", -8, 8))
		outer, err := outline.Chain(plot)
		require.NoError(t, err)
		inner, err := outline.Circle(c, r)
		require.NoError(t, err)
		got := float64(firstLessSecond([]outline.Region{{plot}, {round}}).Distance(from, to))

		// Points along both loops that bound the ground, and of the line that lie on it.
		const steps = 500
		least, step := math.Inf(1), 0.0
		fx, fy, tx, ty := float64(from.X), float64(from.Y), float64(to.X), float64(to.Y)
		note := func(e outline.Edge, bounds func(outline.Point) bool) {
			step = max(step, float64(e.Length())/steps)
			for i := 0; i <= steps; i++ {
				p := e.Point(measure.Factor(float64(i) / steps))
				if !bounds(p) {
					continue
				}
				x, y := float64(p.X), float64(p.Y)
				share := 0.0
				if from != to {
					share = ((x-fx)*(tx-fx) + (y-fy)*(ty-fy)) / ((tx-fx)*(tx-fx) + (ty-fy)*(ty-fy))
				}
				share = max(0, min(1, share))
				least = min(least, math.Hypot(x-fx-share*(tx-fx), y-fy-share*(ty-fy)))
			}
		}
		off := func(p outline.Point) bool { return !inner.Contains(p, 0) || inner.Distance(p) < 1e-9 }
		for _, e := range plot {
			note(e, off)
		}
		note(round[0], func(p outline.Point) bool { return outer.Contains(p, 0) })
		for i := 0; i <= steps; i++ {
			if p := outline.Line(from, to).Point(measure.Factor(float64(i) / steps)); outer.Contains(p, 0) && off(p) {
				least = 0
			}
		}
		require.LessOrEqual(t, got, least+1e-9)
		if !math.IsInf(least, 1) {
			// Ground may end in a corner between two points looked at; it is no farther than a step from either.
			require.GreaterOrEqual(t, got, least-3*step-float64(outline.Line(from, to).Length())/steps)
		}
		if !math.IsInf(got, 1) {
			moved := firstLessSecond([]outline.Region{{plot.Rotate(at(1, 2), angle)}, {round.Rotate(at(1, 2), angle)}}).Distance(from.Rotate(at(1, 2), angle), to.Rotate(at(1, 2), angle))
			require.InDelta(t, got, float64(moved), 1e-8, "turned as a whole")
		}
	})
}
