package fabric_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate/fabric"
	"bedline/estimate/measure"
)

func TestPiecesOfSeveralLayoutsShareRolls(t *testing.T) {
	t.Parallel()
	// 4 + 2 + 2 and 3 + 3 + 2 make two rolls of 8, where first fit decreasing takes three.
	n, proved := fabric.Rolls([]measure.Length{4, 3, 2, 2, 3, 2}, 8)
	assert.Equal(t, 2, n)
	assert.True(t, proved)
	n, proved = fabric.Rolls(nil, 8)
	assert.Zero(t, n)
	assert.True(t, proved)
	// 40 of 3 m: two to a roll of 8 m, and never three, so that 20 is the least although their length asks for 15 only.
	many := make([]measure.Length, 40)
	for i := range many {
		many[i] = 3
	}
	n, proved = fabric.Rolls(many, 8)
	assert.Equal(t, 20, n)
	assert.True(t, proved)
}

// assigned is the least number of rolls over all assignments of pieces to rolls, by trying each.
func assigned(pieces []float64, roll float64) int {
	best := len(pieces)
	left := []float64{}
	var try func(i int)
	try = func(i int) {
		if i == len(pieces) {
			best = min(best, len(left))
			return
		}
		for k := range left {
			if pieces[i] <= left[k]+1e-9*roll {
				left[k] -= pieces[i]
				try(i + 1)
				left[k] += pieces[i]
			}
		}
		left = append(left, roll-pieces[i])
		try(i + 1)
		left = left[:len(left)-1]
	}
	try(0)
	return best
}

// holds checks that a plan cuts every piece once, from rolls that are long enough.
func holds(t require.TestingT, plan fabric.Plan, pieces []measure.Length, roll measure.Length) {
	cut := make([]int, len(pieces))
	for _, r := range plan.Rolls {
		require.NotEmpty(t, r.Pieces)
		sum := measure.Length(0)
		for i, k := range r.Pieces {
			cut[k]++
			sum += pieces[k]
			if i > 0 {
				require.LessOrEqual(t, pieces[k], pieces[r.Pieces[i-1]])
			}
		}
		require.LessOrEqual(t, float64(sum), float64(roll)*(1+1e-9))
		require.InDelta(t, float64(roll-sum), float64(r.Left), 1e-8)
	}
	for k, n := range cut {
		require.Equal(t, 1, n, "piece %d", k)
	}
	require.LessOrEqual(t, plan.Bound, len(plan.Rolls))
}

func TestItem29RollsAreTheFewestOfAllAssignments(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		const roll = 50
		draw := rapid.Float64Range(0.5, roll)
		if rapid.Bool().Draw(t, "whole feet") { // many sums meet the roll exactly
			draw = rapid.Map(rapid.IntRange(1, roll), func(n int) float64 { return float64(n) })
		}
		list := rapid.SliceOfN(draw, 1, 8).Draw(t, "pieces")
		pieces := make([]measure.Length, len(list))
		for i, p := range list {
			pieces[i] = measure.Length(p)
		}
		plan := fabric.Pack(pieces, roll)
		holds(t, plan, pieces, roll)
		least := assigned(list, roll)
		require.Len(t, plan.Rolls, least)
		require.True(t, plan.Proved())
		n, proved := fabric.Rolls(pieces, roll)
		require.Equal(t, least, n)
		require.True(t, proved)
	})
}

func TestManyPiecesKeepToTheirBound(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		const roll = 100
		n := rapid.IntRange(1, 60).Draw(t, "rolls")
		// Rolls cut up without any rest: no plan can take fewer, none that is proved takes more.
		var pieces []measure.Length
		for range n {
			left := roll
			for left > 0 {
				p := rapid.IntRange(1, left).Draw(t, "piece")
				if left-p < 10 {
					p = left
				}
				pieces = append(pieces, measure.Length(p))
				left -= p
			}
		}
		plan := fabric.Pack(pieces, roll)
		holds(t, plan, pieces, roll)
		require.GreaterOrEqual(t, len(plan.Rolls), n)
		require.Equal(t, n, plan.Bound, "the length of all pieces is that of the rolls")
		first, _ := fabric.Rolls(pieces, roll)
		require.LessOrEqual(t, len(plan.Rolls), first)
	})
}

// The bound L2 of Martello and Toth, Knapsack Problems (1990), from memory; the figures are worked by hand.
func TestBoundOfLongPiecesBesideShorterOnes(t *testing.T) {
	t.Parallel()
	// Three pieces of 6 and four of 5 from rolls of 10: their length is 38, so at least 4 rolls; a 5 fits beside no 6, and
	// only two of them share a roll, so 3 + 2 = 5. Twenty times as many is too much to search.
	for _, times := range []int{1, 20} {
		var pieces []measure.Length
		for range times {
			pieces = append(pieces, 6, 5, 6, 5, 6, 5, 5)
		}
		plan := fabric.Pack(pieces, 10)
		holds(t, plan, pieces, 10)
		assert.Len(t, plan.Rolls, 5*times)
		assert.Equal(t, 5*times, plan.Bound)
	}
}

func TestPackOfNothingAndOfWholeRolls(t *testing.T) {
	t.Parallel()
	plan := fabric.Pack(nil, 8)
	assert.Empty(t, plan.Rolls)
	assert.True(t, plan.Proved())
	plan = fabric.Pack([]measure.Length{8, 8}, 8)
	assert.Equal(t, []fabric.CutRoll{{Pieces: []int{0}}, {Pieces: []int{1}}}, plan.Rolls)
	// The search finds what first fit decreasing misses, and says which piece comes from which roll.
	plan = fabric.Pack([]measure.Length{4, 3, 2, 2, 3, 2}, 8)
	holds(t, plan, []measure.Length{4, 3, 2, 2, 3, 2}, 8)
	assert.Len(t, plan.Rolls, 2)
	assert.Zero(t, plan.Rolls[0].Left+plan.Rolls[1].Left)
}
