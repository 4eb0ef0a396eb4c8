package pricing_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate"
	"bedline/estimate/measure"
)

// The walk of testdata/jobs/walk-and-seat.json by hand: 12 x 4 ft in running bond, units of 8 x 4 x 2 3/8 in with joints of
// 1/8 in, from the corner. A row takes 4 1/8 in: 48 / 4.125 = 11.6: 11 rows, and a twelfth of 48 - 11 x 4.125 = 2 5/8 in.
func TestWalkByHand(t *testing.T) {
	t.Parallel()
	q := quoteOf(t, jobFile(t, "walk-and-seat.json"))
	require.Len(t, q.Takeoff.Paving, 2)
	walk := &q.Takeoff.Paving[0]
	f := walk.Field
	// Rows 0, 2 .. 10 begin with a whole unit: 17 x 8.125 = 138.125, a piece of 144 - 138.125 = 5 7/8 in. Rows 1, 3 .. 11 are
	// moved by half of 8.125: a piece of 4.0625 - 0.125 = 3 15/16 in, 17 whole, and 144 - 142.1875 = 1 13/16 in.
	// Whole: 11 x 17 = 187. Cut: 6 + 5 x 2 = 16, and all 19 of row 11, which is ripped: 35.
	assert.Equal(t, [2]int{187, 35}, [2]int{f.Whole, f.Cut})
	// Passes: 6 + 10, 17 rips, and two for each end piece of row 11: 37.
	assert.Equal(t, 37, f.SawPasses)
	// From one unit, with 0.118 in for the saw: 5.875 leaves 2.007, enough for 1.8125: six units hold all of both. 3.9375
	// leaves 3.944, enough for another: six pieces in three units. A rip leaves 1.257 in, too narrow for any. 17 + 6 + 3.
	assert.Equal(t, 187+26, f.Bought.Units)
	// 213 of which 2 % break: 217.26, so 218 at 0.90.
	l := lineOf(t, q, estimate.Paving, "paver-8x4")
	assert.InEpsilon(t, 217.26, l.Material.Required.Value, 1e-9)
	assert.Equal(t, "196.20", q.List.Currency.Format(l.Amount))
	// Faces: 187 x 32 = 5984; 6 x 5.875 x 4 = 141; 5 x 5.75 x 4 = 115; 17 x 8 x 2.625 = 357; 5.75 x 2.625 = 15.09375: 6612.09375
	// in2 = 45.917318 ft2. Joints: 48 - 45.917318 = 2.082682 ft2, 2 3/8 in deep: 0.0152666 yd3, x 1.15.
	assert.InEpsilon(t, 45.917318, f.LaidArea.In(measure.SquareFoot), figures)
	assert.InEpsilon(t, 0.0152666, walk.JointVolume.In(measure.CubicYard), 5e-6)
	// Joints between units: in rows 6 x 17 + 6 x 18 = 210; between 12 rows 11 x 36 (18 and 19 units share 36 stretches).
	// Length: 6 x 17 x 4 + 5 x 18 x 4 + 18 x 2.625 = 815.25; 11 x (144 - 35 x 0.125) = 1535.875; 2351.125 in = 195.927083 ft.
	assert.Equal(t, 606, f.Joints.Count)
	assert.InEpsilon(t, 195.927083, f.Joints.Length.In(measure.Foot), figures)
	// 2 3/8 + 1 + 4 = 7 3/8 in, dug 7 1/2: base 4 1/8. 48 x 4.125 / 324 = 0.611111 yd3.
	assert.InDelta(t, 7.5, walk.DigDepth.In(measure.Inch), 1e-9)
	assert.InEpsilon(t, 0.611111, yd3(lineOf(t, q, estimate.Base, "base-crushed").Material.Measured.Value), figures)
	assert.InEpsilon(t, 213*32/6612.09375, float64(walk.CountedWaste()), 1e-9)
}

// The seat: slabs of 18 in on the diagonal in a square of two of their diagonals, 50.91169 in; a corner of a slab in the
// middle of side 0. In steps of half a diagonal their centres are at places whose sum is odd: (1,2), (2,1), (2,3), (3,2)
// inside, and 8 on the sides, which are cut in half by them. 4 + 8 / 2 = 8 faces of 2.25 ft2 are the 18 ft2 of the square.
func TestSeatOnTheDiagonalByHand(t *testing.T) {
	t.Parallel()
	q := quoteOf(t, jobFile(t, "walk-and-seat.json"))
	seat := &q.Takeoff.Paving[1]
	assert.Equal(t, [4]int{4, 8, 8, 12}, [4]int{seat.Field.Whole, seat.Field.Cut, seat.Field.SawPasses, seat.Field.Bought.Units},
		"the rectangle round half a slab is a slab, so none comes from an offcut")
	assert.InEpsilon(t, 1.5, float64(seat.CountedWaste()), 1e-6)
	// The nook, 36 ft2, keeps 18 for its stone; the seat is dug 2 + 1.5 = 3.5 in, the rest of the nook 2.
	assert.InEpsilon(t, 18, q.Takeoff.Beds[0].NetStoneArea.In(measure.SquareFoot), figures)
	for i, want := range []float64{18 * 2.0 / 324, 48 * 7.5 / 324, 18 * 3.5 / 324} {
		assert.InEpsilon(t, want, q.Takeoff.Diggings[i].Volume.In(measure.CubicYard), figures)
	}
	// Laying, a line for each unit: 48 ft2 x 6.5 / 100 = 3.12 h and 18 x 6.5 / 100 = 1.17. Cutting: 37 + 8 = 45 x 0.6 / 10 =
	// 2.7 h with the saw.
	laying := map[string]string{}
	for i := range q.Lines {
		if w := q.Lines[i].Work; w != nil && w.Operation == estimate.LayPaving {
			laying[w.Material.Key] = q.Lines[i].Hours.Pad(2).String()
		}
	}
	assert.Equal(t, map[string]string{"paver-8x4": "3.12", "slab-18": "1.17"}, laying)
	assert.Equal(t, "2.70", workOf(t, q, estimate.CutUnits).Hours.Pad(2).String())
}

// The landing of testdata/jobs/landing-herringbone.json: 8 x 6 ft, a soldier course of bricks 7 5/8 x 3 5/8 in with joints of
// 3/8 in round it. The counts of its herringbone were found by a program of its own that clips every brick as a polygon.
func TestLandingByHand(t *testing.T) {
	t.Parallel()
	q := quoteOf(t, jobFile(t, "landing-herringbone.json"))
	p := &q.Takeoff.Paving[0]
	// A brick and its joint take 4 in along the course: side 0 has (96 + 3/8) / 4 = 24.09: 24. Side 1 is shorter by a course
	// and a joint, 8 in: 64: 16. Side 2: 88: 22. Side 3 by two: 56: 14. 76 bricks; 72 joints and 4 at the corners.
	assert.Equal(t, 76, p.Border.Units.Whole)
	assert.Equal(t, 76, p.Border.Joints)
	// The field: 80 x 56 in = 31.111111 ft2, its edge 272 in = 22.666667 ft. The border: 96 x 72 - 80.75 x 56.75 = 2329.4375
	// in2 = 16.176649 ft2; the joint between them 4582.5625 - 4480 = 102.5625 in2 = 0.712240 ft2.
	assert.InEpsilon(t, 31.111111, p.Field.Area.In(measure.SquareFoot), figures)
	assert.InEpsilon(t, 22.666667, p.EdgeLength.In(measure.Foot), figures)
	assert.InEpsilon(t, 16.176649, p.BorderArea.In(measure.SquareFoot), figures)
	assert.InEpsilon(t, 0.712240, p.EdgeArea.In(measure.SquareFoot), figures)
	assert.Equal(t, [4]int{102, 79, 84, 34}, [4]int{p.Field.Whole, p.Field.Cut, p.Field.SawPasses, p.Field.Under})
	assert.InEpsilon(t, 26.859518, p.Field.LaidArea.In(measure.SquareFoot), figures)
	// 31.111111 - 26.859518 = 4.251593 ft2 of joints in the field, 2 1/4 in deep like the other: (4.251593 + 0.712240) x 2.25 /
	// 324 = 0.0344711 yd3. The border's joints take up the rest of each side, so that they are (96 - 24 x 3.625) / 23 and so on:
	// 23 + 15 + 21 + 13 joints take 9 + 6 + 8.25 + 5.25 = 28.5 in, the corners 4 x 3/8: 30 in x 7.625 x 2.25 = 514.6875 in3 =
	// 0.0110315 yd3.
	assert.InEpsilon(t, 0.0344711+0.0110315, p.JointVolume.In(measure.CubicYard), 5e-6)
	// Dug: 2 1/4 + 1 + 4 = 7 1/4, so 7 1/2 in, over 9 x 7 = 63 ft2: 1.458333 yd3.
	require.Len(t, q.Takeoff.Diggings, 1)
	assert.InEpsilon(t, 63*7.5/324, q.Takeoff.Diggings[0].Volume.In(measure.CubicYard), 1e-9)
	// 149 bricks for the field; by area at least 26.859518 / 0.191949 = 139.93: 140. With 76: 225, x 1.02 = 229.5:
	// 230 at 0.86.
	assert.Equal(t, 140, p.Field.Bought.AreaBound)
	l := lineOf(t, q, estimate.Paving, "brick-modular")
	assert.InDelta(t, float64(p.Field.Bought.Units+76), l.Material.Measured.Value, 0)
	assert.Equal(t, "197.80", q.List.Currency.Format(l.Amount))
	// One by one: 76 bricks of the border at 4.5 h per 100.
	assert.Equal(t, "3.42", workOf(t, q, estimate.LayEdging).Hours.Pad(2).String())
}
