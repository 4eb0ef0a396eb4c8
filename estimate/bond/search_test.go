package bond_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate/bond"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

func open(b bond.Bond) bond.Spec {
	return bond.Spec{Bond: b, UnitLength: 0.2, UnitWidth: 0.1}
}

// By hand: 2.0 x 1.0 m, turned and moved, is 10 x 10 whole units of 200 x 100 mm from a corner; no start does with less.
func TestItem26ASearchFindsTheStartWithoutCuts(t *testing.T) {
	t.Parallel()
	for _, b := range []bond.Bond{bond.Stack, bond.BasketWeave} {
		r := outline.Region{outline.RectangleLoop(pt(5, -3), 2, 1, 0.4)}
		f := lay(t, r, open(b))
		assert.Equal(t, [2]int{100, 0}, [2]int{f.Whole, f.Cut}, "%v", b)
		assert.Equal(t, f.Search.First, f.Search.Best)
		assert.Len(t, f.Search.Directions, 2) // along both sides
		assert.Greater(t, f.Search.Tried, 10)
		assert.False(t, f.Search.Stopped)
		assert.InDelta(t, 0.4, float64(f.Direction), 1e-12)
	}
}

// By hand: a strip of one row, 2.04 m long: from an end 10 whole units and a piece of 40 mm, a fifth of a unit. Centred
// on a joint or a unit the same 11 units have two cuts of 120 mm each. Without a rule the single cut is taken.
func TestSmallPiecesAreShiftedWhereAStartDoesWithAsFewUnits(t *testing.T) {
	t.Parallel()
	r := rectangle(2.04, 0.1)
	s := open(bond.Stack)
	along := measure.Angle(0)
	s.Direction = &along
	f := lay(t, r, s)
	assert.Equal(t, [3]int{10, 1, 0}, [3]int{f.Whole, f.Cut, f.Under})
	s.LeastPiece = 1. / 3
	f = lay(t, r, s)
	assert.Equal(t, [3]int{9, 2, 0}, [3]int{f.Whole, f.Cut, f.Under})
	assert.Equal(t, 1, f.Search.First.Under)
	require.Len(t, f.Pieces, 2)
	assert.InDelta(t, 0.12, float64(f.Pieces[0].Length), 1e-9)
	assert.InDelta(t, 0.12, float64(f.Pieces[1].Length), 1e-9)
}

func TestAFixedStartIsNotSearched(t *testing.T) {
	t.Parallel()
	f := lay(t, rectangle(2, 1), fixed(bond.Running, 0.2, 0.1, 0, pt(0.03, 0.02), 0.2))
	assert.Equal(t, bond.Search{}, f.Search)
	assert.Equal(t, pt(0.03, 0.02), f.Start)
	assert.Equal(t, measure.Angle(0.2), f.Direction)
	// One of both fixed leaves the other to the search.
	s := open(bond.Running)
	at := pt(0.03, 0.02)
	s.Start = &at
	f = lay(t, rectangle(2, 1), s)
	assert.Equal(t, 2, f.Search.Tried)
	assert.Equal(t, at, f.Start)
}

// The search keeps its word: what it reports is what is laid, the first start can be laid again, and none of the tries is
// better than the best.
func TestASearchReportsWhatItLays(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		o := star(t, 0.5, 1.5, false)
		s := drawSpec(t)
		s.Start, s.Direction = nil, nil
		s.LeastPiece = measure.Factor(rapid.SampledFrom([]float64{0, 0.25}).Draw(t, "least"))
		f := lay(t, o.Region(), s)
		require.Equal(t, f.Search.Best.Units, f.Bought.Units)
		require.Equal(t, [3]int{f.Search.Best.Whole, f.Search.Best.Cut, f.Search.Best.Under}, [3]int{f.Whole, f.Cut, f.Under})
		require.Equal(t, f.Search.Best.Start, f.Start)
		first := s
		first.Start, first.Direction = &f.Search.First.Start, &f.Search.First.Direction
		require.LessOrEqual(t, f.Bought.Units, lay(t, o.Region(), first).Bought.Units)
		require.GreaterOrEqual(t, f.Bought.Units, f.Bought.AreaBound)
		// Less work never finds a better one.
		s.Work = 1
		little := lay(t, o.Region(), s)
		require.Equal(t, 1, little.Search.Tried)
		require.True(t, little.Search.Stopped)
		require.GreaterOrEqual(t, little.Bought.Units, f.Bought.Units)
	})
}

// A field that is moved and turned is laid the same way: directions follow its sides.
func TestASearchFollowsTheField(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		o := star(t, 0.5, 1.2, false)
		s := drawSpec(t)
		s.Start, s.Direction = nil, nil
		by := measure.Angle(rapid.Float64Range(-3, 3).Draw(t, "by"))
		f := lay(t, o.Region(), s)
		g := lay(t, outline.Region{o.Loop().Rotate(pt(30, 4), by)}, s)
		require.Equal(t, f.Search.Tried, g.Search.Tried)
		require.Equal(t, f.Bought.Units, g.Bought.Units)
		require.Equal(t, f.Search.First.Units, g.Search.First.Units)
		for i, d := range f.Search.Directions {
			require.InDelta(t, 0, math.Remainder(float64(g.Search.Directions[i]-d-by), 2*math.Pi), 1e-9)
		}
	})
}

func TestTheSameFieldIsLaidTheSameToTheBit(t *testing.T) {
	t.Parallel()
	o, err := outline.Rectangle(pt(0, 0), 3, 2, 0.4)
	require.NoError(t, err)
	s := open(bond.Herringbone45)
	s.Reuse = true
	s.Openings = outline.Region{outline.CircleLoop(pt(1, 1), 0.2)}
	f := lay(t, o.Region(), s)
	for range 3 {
		require.Equal(t, f, lay(t, o.Region(), s))
	}
}
