package bond_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate/bond"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// scaled is a region twice as large.
func scaled(r outline.Region) outline.Region {
	out := make(outline.Region, len(r))
	twice := func(p outline.Point) outline.Point { return outline.Point{X: 2 * p.X, Y: 2 * p.Y} }
	for i, l := range r {
		for _, e := range l {
			e.From, e.To, e.Centre, e.Radius = twice(e.From), twice(e.To), twice(e.Centre), 2*e.Radius
			out[i] = append(out[i], e)
		}
	}
	return out
}

func TestDoublingAFieldAndItsUnitsQuadruplesAreasAndKeepsTheCounts(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		r := star(t, 1, 3, rapid.Bool().Draw(t, "rounded")).Region()
		s := drawSpec(t)
		s.Openings = outline.Region{outline.CircleLoop(pt(0.1, 0.2), measure.Length(rapid.Float64Range(0.05, 0.6).Draw(t, "post")))}
		if rapid.Bool().Draw(t, "searched") {
			s.Start, s.Direction, s.Work = nil, nil, 300
			s.Reuse = false // the saw cut of 3 mm does not grow, so that with offcuts another start may be best
		}
		one, err := bond.Lay(r, s)
		require.NoError(t, err)
		s.UnitLength, s.UnitWidth, s.Joint, s.Openings = 2*s.UnitLength, 2*s.UnitWidth, 2*s.Joint, scaled(s.Openings)
		if s.Start != nil {
			s.Start = &outline.Point{X: 2 * s.Start.X, Y: 2 * s.Start.Y}
		}
		two, err := bond.Lay(scaled(r), s)
		require.NoError(t, err)
		require.Equal(t, [4]int{one.Whole, one.Cut, one.Under, one.Specks}, [4]int{two.Whole, two.Cut, two.Under, two.Specks})
		require.Len(t, two.Pieces, len(one.Pieces))
		require.InEpsilon(t, 4*float64(one.Area), float64(two.Area), 1e-9)
		require.InDelta(t, 4*float64(one.LaidArea), float64(two.LaidArea), 1e-9*float64(two.Area))
		require.InEpsilon(t, 2*float64(one.Edge), float64(two.Edge), 1e-9)
		require.Equal(t, one.Joints.Count, two.Joints.Count)
		require.InDelta(t, 2*float64(one.Joints.Length), float64(two.Joints.Length), 1e-8*float64(two.Joints.Length))
		if !s.Reuse {
			require.Equal(t, one.Bought.Units, two.Bought.Units)
		}
	})
}

// Cut in two along a line, with one start, a field takes the same ground: what a piece loses to one side it keeps on
// the other, but for specks along the line.
func TestSplittingAFieldConservesWhatIsLaid(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		l, w := rapid.Float64Range(1, 5).Draw(t, "length"), rapid.Float64Range(1, 3).Draw(t, "width")
		cut := rapid.Float64Range(0.1, 0.9).Draw(t, "cut") * l
		s := drawSpec(t)
		whole := lay(t, rectangle(l, w), s)
		left := lay(t, rectangle(cut, w), s)
		right := lay(t, outline.Region{outline.RectangleLoop(pt(cut, 0), measure.Length(l-cut), measure.Length(w), 0)}, s)
		require.InDelta(t, float64(whole.Area), float64(left.Area+right.Area), 1e-9)
		unit := float64(whole.UnitArea())
		specks := float64(left.SpeckArea+right.SpeckArea+whole.SpeckArea) + 0.001*unit*float64(whole.Whole+left.Whole+right.Whole)
		require.InDelta(t, float64(whole.LaidArea), float64(left.LaidArea+right.LaidArea), specks+1e-9)
		require.InDelta(t, float64(whole.Edge)+2*w, float64(left.Edge+right.Edge), 1e-9)
		// No unit is lost at the line, and none comes from nowhere.
		crossing := math.Ceil(w/float64(min(s.UnitLength, s.UnitWidth))) + 3
		require.GreaterOrEqual(t, len(left.Units)+len(right.Units)+left.Specks+right.Specks, len(whole.Units))
		require.LessOrEqual(t, float64(len(left.Units)+len(right.Units)), float64(len(whole.Units)+whole.Specks)+2*crossing)
	})
}
