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

// turnBetween is the angle between two directions, 0 to pi.
func turnBetween(a, b float64) float64 { return math.Abs(math.Remainder(a-b, 2*math.Pi)) }

// circleTangent is the direction in which the circle through p, q and r (by their perpendicular bisectors) leaves p
// towards q.
func circleTangent(p, q, r [2]float64) float64 {
	ax, ay, bx, by := q[0]-p[0], q[1]-p[1], r[0]-p[0], r[1]-p[1]
	d := 2 * (ax*by - ay*bx)
	if math.Abs(d) < 1e-9 {
		return math.Atan2(ay, ax)
	}
	ux := (by*(ax*ax+ay*ay) - ay*(bx*bx+by*by)) / d // centre from p
	uy := (ax*(bx*bx+by*by) - bx*(ax*ax+ay*ay)) / d
	tx, ty := -uy, ux
	if tx*ax+ty*ay < 0 {
		tx, ty = -tx, -ty
	}
	return math.Atan2(ty, tx)
}

// Item 4 on gentle lines, whose tangents none of the bounds against overshooting touches: a chain of arcs through all
// points, with a continuous tangent, parallel at each inner point to the chord of its neighbours, and at the ends that of
// the circle through the first (last) three points.
func TestItem04SmoothOffsetsAreChainsOfArcsWithContinuousTangents(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 9).Draw(t, "stations")
		var taped []outline.Station
		var at [][2]float64
		for i := range n {
			x, y := float64(i)*2+rapid.Float64Range(0, 0.4).Draw(t, "along"), rapid.Float64Range(3, 3.5).Draw(t, "out")
			taped = append(taped, outline.Station{Along: measure.Length(x), Out: measure.Length(y)})
			at = append(at, [2]float64{x, y})
		}
		o, err := outline.Offsets(outline.Point{}, 0, taped, outline.Smooth)
		require.NoError(t, err)
		// The taped line runs back from the last station to the first, counter-clockwise: sides 2 to n.
		var line []outline.Edge
		for _, e := range o.Elements() {
			if e.Side >= 2 && e.Side <= n {
				line = append(line, e.Edge)
			}
		}
		require.NotEmpty(t, line)
		passed := func(p outline.Point, i int) bool {
			return math.Hypot(float64(p.X)-at[i][0], float64(p.Y)-at[i][1]) < 1e-9
		}
		station := n - 1
		require.True(t, passed(line[0].From, station), "it starts at the last station")
		first, last := circleTangent(at[0], at[1], at[2]), circleTangent(at[n-1], at[n-2], at[n-3])
		require.InDelta(t, 0, turnBetween(float64(line[0].Heading(0)), last), 1e-7, "the circle through the last three")
		for i, e := range line {
			if i+1 < len(line) {
				require.Equal(t, e.To, line[i+1].From)
				require.InDelta(t, 0, turnBetween(float64(e.Heading(1)), float64(line[i+1].Heading(0))), 1e-7, "no corner")
			}
			if passed(e.To, station-1) {
				if station--; station > 0 {
					chord := math.Atan2(at[station-1][1]-at[station+1][1], at[station-1][0]-at[station+1][0])
					require.InDelta(t, 0, turnBetween(float64(e.Heading(1)), chord), 1e-7, "parallel to the chord of its neighbours")
				}
			}
		}
		require.Zero(t, station, "it passes all stations in turn")
		require.InDelta(t, math.Pi, turnBetween(float64(line[len(line)-1].Heading(1)), first), 1e-7, "the circle through the first three")
	})
}

// Stations on a circle give the circle back, whatever their steps: r = 10, the arc from 40 to 140 degrees, and its area
// above the baseline by r^2 (t - sin t)/2 and the trapezium under its chord (circular segment).
func TestItem04StationsOnACircleGiveTheCircleBack(t *testing.T) {
	t.Parallel()
	for _, degrees := range [][]float64{{140, 90, 40}, {140, 120, 100, 80, 60, 40}, {140, 126, 112, 98, 84, 68, 54, 40}} {
		var taped []outline.Station
		for _, d := range degrees {
			a := d * math.Pi / 180
			taped = append(taped, outline.Station{Along: measure.Length(10 * math.Cos(a)), Out: measure.Length(10 * math.Sin(a))})
		}
		o, err := outline.Offsets(outline.Point{}, 0, taped, outline.Smooth)
		require.NoError(t, err)
		turn, half := 100*math.Pi/180, 10*math.Cos(40*math.Pi/180)
		tolerance := 1e-9
		if len(degrees) > 3 && degrees[1] != 120 {
			tolerance = 0.02 // uneven steps: the chord of the neighbours is not quite the tangent
		}
		assert.InDelta(t, 100*(turn-math.Sin(turn))/2+2*half*10*math.Sin(40*math.Pi/180), float64(o.Area()), tolerance)
	}
}
