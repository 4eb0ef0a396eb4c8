package bond_test

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate/bond"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// shoelace is the signed area of a loop of straights (surveyor's formula).
func shoelace(loop outline.Loop) float64 {
	a := 0.0
	for _, e := range loop {
		a += float64(e.From.X)*float64(e.To.Y) - float64(e.To.X)*float64(e.From.Y)
	}
	return a / 2
}

// Common practice: two rows of three 16 in slabs are six slabs. With 2 in gaps they take
// 3 x 16 + 2 x 2 = 52 in by 2 x 16 + 1 x 2 = 34 in.
// Slabs 6 x 256 = 1536 in2, whole 52 x 34 = 1768 in2, gaps 232 in2.
// Joints: 2 rows x 2 + 3 columns x 1 = 7 of 16 in.
func TestTwoRowsOfThreeSlabsAreSix(t *testing.T) {
	t.Parallel()
	g := bond.Grid{UnitLength: 16 * measure.Inch, UnitWidth: 16 * measure.Inch, Gap: 2 * measure.Inch, Rows: 2, Columns: 3}
	require.NoError(t, g.Check())
	in2 := 0.0254 * 0.0254
	assert.Equal(t, 6, g.Units())
	assert.Len(t, g.Slabs(), 6)
	assert.InDelta(t, 52, g.Length().In(measure.Inch), 1e-9)
	assert.InDelta(t, 34, g.Width().In(measure.Inch), 1e-9)
	assert.InDelta(t, 1536*in2, float64(g.SlabArea()), 1e-12)
	assert.InDelta(t, 232*in2, float64(g.GapArea()), 1e-12)
	assert.InDelta(t, 1768*in2, shoelace(g.Footprint()), 1e-12)
	assert.Equal(t, 7, g.Joints())
	assert.InDelta(t, 7*16, g.JointLength().In(measure.Inch), 1e-9)
	assert.InDelta(t, 232*in2*0.05, float64(g.JointVolume(0.05)), 1e-12)
	// An inch more all round: 54 x 36 in.
	assert.InDelta(t, 54*36*in2, shoelace(g.Trench(measure.Inch)), 1e-12)
}

func TestItem07LengthRunsAlongXAndTheGridTurnsAboutItsCorner(t *testing.T) {
	t.Parallel()
	// 2 columns of 0.6 m and 1 row of 0.4 m, gap 0.1 m: 1.3 m by 0.4 m.
	g := bond.Grid{At: outline.Point{X: 3, Y: 1}, UnitLength: 0.6, UnitWidth: 0.4, Gap: 0.1, Rows: 1, Columns: 2}
	for _, c := range []struct {
		name    string
		rotate  measure.Angle
		corners [4][2]float64 // by hand, from At: (0,0) (1.3,0) (1.3,0.4) (0,0.4)
	}{
		{"as it is", 0, [4][2]float64{{3, 1}, {4.3, 1}, {4.3, 1.4}, {3, 1.4}}},
		{"a quarter turn takes x to y", measure.Degrees(90), [4][2]float64{{3, 1}, {3, 2.3}, {2.6, 2.3}, {2.6, 1}}},
		{"half a turn", measure.Degrees(180), [4][2]float64{{3, 1}, {1.7, 1}, {1.7, 0.6}, {3, 0.6}}},
		{"3-4-5 triangle", measure.Angle(math.Atan2(3, 4)), [4][2]float64{{3, 1}, {4.04, 1.78}, {3.8, 2.1}, {2.76, 1.32}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			g := g
			g.Rotate = c.rotate
			for i, e := range g.Footprint() {
				assert.InDelta(t, c.corners[i][0], float64(e.From.X), 1e-12)
				assert.InDelta(t, c.corners[i][1], float64(e.From.Y), 1e-12)
			}
			assert.Equal(t, g.At, g.Slabs()[0][0].From)
		})
	}
}

// Nothing is lost: slabs and gaps make the rectangle, and the last slab ends in its far corner. Areas are those of the
// surveyor's shoelace formula.
func TestSlabsAndGapsMakeTheFootprint(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		g := bond.Grid{
			At:         outline.Point{X: measure.Length(rapid.Float64Range(-9, 9).Draw(t, "x")), Y: measure.Length(rapid.Float64Range(-9, 9).Draw(t, "y"))},
			UnitLength: measure.Length(rapid.Float64Range(0.1, 1).Draw(t, "l")),
			UnitWidth:  measure.Length(rapid.Float64Range(0.1, 1).Draw(t, "w")),
			Gap:        measure.Length(rapid.Float64Range(0, 0.2).Draw(t, "gap")),
			Rows:       rapid.IntRange(1, 7).Draw(t, "rows"),
			Columns:    rapid.IntRange(1, 7).Draw(t, "columns"),
			Rotate:     measure.Angle(rapid.Float64Range(-7, 7).Draw(t, "rotate")),
		}
		require.NoError(t, g.Check())
		slabs := 0.0
		for _, s := range g.Slabs() {
			slabs += shoelace(s)
		}
		whole := shoelace(g.Footprint())
		require.InDelta(t, whole, slabs+float64(g.GapArea()), 1e-9)
		// The last slab ends in the far corner.
		last := g.Slabs()[g.Units()-1][2].From
		far := g.Footprint()[2].From
		require.InDelta(t, float64(far.X), float64(last.X), 1e-9)
		require.InDelta(t, float64(far.Y), float64(last.Y), 1e-9)
		// Neighbours counted one by one.
		joints := 0
		for r := range g.Rows {
			for c := range g.Columns {
				if c+1 < g.Columns {
					joints++
				}
				if r+1 < g.Rows {
					joints++
				}
			}
		}
		require.Equal(t, joints, g.Joints())
	})
}

func TestNumbersThatMakeNoGridAreRefusedTogether(t *testing.T) {
	t.Parallel()
	nan := measure.Length(math.NaN())
	err := bond.Grid{UnitLength: nan, UnitWidth: -1, Gap: -1, Rows: 0, Columns: -2, Rotate: measure.Angle(math.Inf(1))}.Check()
	joined, ok := err.(interface{ Unwrap() []error })
	require.True(t, ok)
	var fields []bond.GridField
	for _, e := range joined.Unwrap() {
		var g *bond.GridError
		require.True(t, errors.As(e, &g))
		fields = append(fields, g.Field)
	}
	assert.Equal(t, []bond.GridField{bond.GridUnitLength, bond.GridUnitWidth, bond.GridGap, bond.GridRows, bond.GridColumns, bond.GridRotate}, fields)
	assert.Error(t, bond.Grid{UnitLength: 1, UnitWidth: 1, Rows: 1000, Columns: 1000}.Check())
	assert.NoError(t, bond.Grid{UnitLength: 1, UnitWidth: 1, Rows: 1, Columns: 1}.Check())
}
