package pricing_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate"
	"bedline/estimate/measure"
)

// The patio of testdata/jobs/patio-round-a-post.json by hand. It is made to fit: inside a border of one width and a joint
// on every side, 4 1/8 in, there are 17 units of 8 in with joints of 1/8 in (138 in) by 28 rows (115 3/8 in).
func TestPatioRoundAPostByHand(t *testing.T) {
	t.Parallel()
	q := quoteOf(t, jobFile(t, "patio-round-a-post.json"))
	require.Len(t, q.Takeoff.Paving, 1)
	patio := &q.Takeoff.Paving[0]
	f := patio.Field
	// 14 rows of 17 whole, 14 moved by half of 8.125 with 16 whole and a piece of 3 15/16 in at both ends: 462 whole. The
	// post, 6 in square in the middle of the 28 rows, from 100.875 to 106.875 in along, reaches 2 15/16 in into two rows and
	// takes 4.625 + 1.25 in of the lengths of the one, 0.5625 + 5.3125 of the other: 4 units with a notch, two passes each.
	assert.Equal(t, [3]int{458, 28 + 4, 28 + 8}, [3]int{f.Whole, f.Cut, f.SawPasses})
	// Two end pieces come from one unit, which leaves 8 - 3.9375 - 0.118 = 3.944 in.
	assert.Equal(t, 462+14, f.Bought.Units)
	// 462 x 32 - 2.9375 x 11.75 + 28 x 3.9375 x 4 = 15190.484375 in2.
	assert.InEpsilon(t, 15190.484375/144, f.LaidArea.In(measure.SquareFoot), 1e-9)
	assert.InEpsilon(t, 476*32/15190.484375, float64(patio.CountedWaste()), 1e-9)
	// 2 3/8 + 1 + 4 in, dug 7 1/2. The ground is level where the patio falls 2 % of 123.625 in, and what is dug lies evenly
	// about its middle, the post too: 7.5 + 2.4725 / 2 in on (146.25 + 12) x (123.625 + 12) - 36 in2.
	require.Len(t, q.Takeoff.Diggings, 1)
	dug := q.Takeoff.Diggings[0]
	assert.InEpsilon(t, (158.25*135.625-36)/144, dug.Area.In(measure.SquareFoot), 1e-9)
	assert.InEpsilon(t, (158.25*135.625-36)*8.73625/46656, dug.Volume.In(measure.CubicYard), 1e-9)
	require.NotNil(t, dug.Earthwork)
	assert.InDelta(t, 0, float64(dug.Earthwork.Fill), 1e-12)
	assert.InEpsilon(t, (158.25*135.625-36)/144*4.125/324, yd3(lineOf(t, q, estimate.Base, "base-crushed").Material.Measured.Value), 1e-9)
	for _, n := range q.Notices {
		assert.NotEqual(t, "standing_overlap", n.Code, "paving is laid round a post")
	}
}
