package fabric_test

import (
	"math"
	"math/bits"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate/fabric"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

const (
	foot = measure.Foot
	ft2  = 0.3048 * 0.3048
)

// weed is an invented roll of 4 ft by 50 ft, laps of 6 in.
var weed = fabric.Roll{Width: 4 * foot, Length: 50 * foot, Lap: foot / 2}

func all(outline.Cover) bool { return true }

// ground is one outline of points in feet.
func ground(t require.TestingT, xy ...float64) *outline.Outline {
	var p []outline.Point
	for i := 0; i < len(xy); i += 2 {
		p = append(p, outline.Point{X: measure.Length(xy[i]) * foot, Y: measure.Length(xy[i+1]) * foot})
	}
	o, err := outline.Polygon(p, nil)
	require.NoError(t, err)
	return o
}

func sides(o *outline.Outline) []measure.Angle {
	var d []measure.Angle
	for _, e := range o.Elements() {
		if e.Straight() {
			d = append(d, e.Heading(0))
		}
	}
	return d
}

func cut(t require.TestingT, o *outline.Outline, roll fabric.Roll, pins measure.Length) *fabric.Layout {
	l, err := fabric.Cut([]outline.Region{o.Region()}, all, sides(o), roll, pins)
	require.NoError(t, err)
	return l
}

// The order area of a rectangle is strips x roll width x length with ceil((W - lap)/(roll width - lap)) strips.
func TestItem29StripsOfARectangle(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name          string
		length, width float64
		roll          fabric.Roll
		strips        int
		cloth         float64 // ft
		joins         int
		seam          float64
		rolls         int
		pins          int // every 3 ft
	}{
		// Along 22 ft: ceil(6/3.5) = 2 strips, 44 ft; across: ceil(21.5/3.5) = 7 of 6.5 ft, 45.5 ft. One seam.
		// Pins (57 + 22)/3 = 26.3.
		{"a bed of 22 by 6.5 ft", 22, 6.5, weed, 2, 44, 0, 22, 1, 27},
		// One strip, no seam: pins (20 + 8)/3 = 9.3.
		{"as wide as the roll", 10, 4, weed, 1, 10, 0, 0, 1, 10},
		// 3.5 x 2 + 0.5 = 7.5 exactly: 2 strips, not 3. Pins (35 + 10)/3 = 15 exactly.
		{"two strips fit exactly", 10, 7.5, weed, 2, 20, 0, 10, 1, 15},
		// Along: 120 ft in one strip: ceil(119.5/49.5) = 3 pieces with 2 joins, 121 ft in 50, 50 and 21. Across:
		// ceil(119.5/3.5) = 35 strips of 4 ft, 140 ft. Seam: two joins of 4 ft. Pins (248 + 8)/3 = 85.3.
		{"a strip longer than a roll is joined", 120, 4, weed, 1, 121, 2, 8, 3, 86},
		// Unsewn laps of 12 in (Colorado DRMS permit specification 7.4.2.3: minimum overlap 12 in), roll 12.5 x 360 ft:
		// along 100 ft: ceil(39/11.5) = 4 strips, 400 ft; across: ceil(99/11.5) = 9 of 40 ft, 360 ft, eight seams.
		// Pins (280 + 320)/3 = 200.
		{"a wide roll across", 100, 40, fabric.Roll{Width: 12.5 * foot, Length: 360 * foot, Lap: foot}, 9, 360, 0, 320, 1, 200},
		// Upturn of 3 in: 10.5 by 4.5: ceil(4/3.5) = 2 strips of 10.5, or ceil(10/3.5) = 3 of 4.5 = 13.5 ft.
		{"an upturn all round", 10, 4, fabric.Roll{Width: 4 * foot, Length: 50 * foot, Lap: foot / 2, Upturn: foot / 4}, 3, 13.5, 0, 9, 1, 13},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			o := ground(t, 0, 0, c.length, 0, c.length, c.width, 0, c.width)
			l := cut(t, o, c.roll, 3*foot)
			assert.Len(t, l.Strips, c.strips)
			assert.InDelta(t, c.cloth, l.ClothLength.In(foot), 1e-9)
			assert.InDelta(t, c.cloth*c.roll.Width.In(foot), float64(l.ClothArea)/ft2, 1e-6)
			assert.InDelta(t, c.length*c.width, float64(l.CoverArea)/ft2, 1e-6)
			assert.Equal(t, c.joins, l.Joins)
			assert.InDelta(t, c.seam, l.SeamLength.In(foot), 1e-9)
			assert.Equal(t, c.rolls, l.Rolls)
			assert.True(t, l.RollsProved)
			assert.Equal(t, c.pins, l.Pins)
		})
	}
}

func TestItem29EachStripReachesFromFirstToLastPointOfTheGround(t *testing.T) {
	t.Parallel()
	// An L: 20 x 4 below, a leg of 6 x 7 on its left. Along x, roll 4 and lap 1/2: extent 11, ceil(10.5/3.5) = 3
	// strips: 0-4 with 20 ft, 3.5-7.5 with 20 ft (it starts in the lower part), 7-11 with 6 ft: 46 ft with seams of
	// 20 + 6 = 26. Across: ceil(19.5/3.5) = 6 strips, 38 ft with seams of 11 + 4 x 4 = 27. One roll of 50 ft does for
	// either; the shorter seams decide. Turned by any angle it is the same.
	for _, turn := range []float64{0, 30, 90, 200} {
		s, c := math.Sincos(turn * math.Pi / 180)
		var xy []float64
		for _, p := range [][2]float64{{0, 0}, {20, 0}, {20, 4}, {6, 4}, {6, 11}, {0, 11}} {
			xy = append(xy, 3+p[0]*c-p[1]*s, p[0]*s+p[1]*c)
		}
		l := cut(t, ground(t, xy...), weed, 0)
		require.Len(t, l.Strips, 3)
		var lengths []float64
		for _, strip := range l.Strips {
			lengths = append(lengths, math.Round(strip.Length.In(foot)*1e6)/1e6)
		}
		assert.ElementsMatch(t, []float64{20, 20, 6}, lengths)
		assert.InDelta(t, 46, l.ClothLength.In(foot), 1e-6)
		assert.InDelta(t, 20+6, l.SeamLength.In(foot), 1e-6)
		assert.Zero(t, l.Pins)
	}
}

func TestItem29ACircleHasNoSideAndIsCoveredAlongX(t *testing.T) {
	t.Parallel()
	// Radius 3, roll 4, lap 1/2: ceil(5.5/3.5) = 2 strips: v from -3 to 1 holds the diameter, 6; 0.5 to 3:
	// 2 sqrt(9 - 1/4).
	o, err := outline.Circle(outline.Point{}, 3*foot)
	require.NoError(t, err)
	l := cut(t, o, weed, 0)
	require.Len(t, l.Strips, 2)
	assert.Zero(t, l.Direction)
	assert.InDelta(t, 6, l.Strips[0].Length.In(foot), 1e-6)
	assert.InDelta(t, 2*math.Sqrt(8.75), l.Strips[1].Length.In(foot), 1e-6)
	assert.InDelta(t, math.Pi*9, float64(l.CoverArea)/ft2, 1e-6)
}

func TestGroundApartLeavesOutStripsThatHoldNone(t *testing.T) {
	t.Parallel()
	low, high := ground(t, 0, 0, 10, 0, 10, 2, 0, 2), ground(t, 0, 30, 10, 30, 10, 32, 0, 32)
	regions := []outline.Region{low.Region(), high.Region()}
	l, err := fabric.Cut(regions, all, []measure.Angle{0}, weed, 0)
	require.NoError(t, err)
	// Along x: from 0, steps of 3.5: only 0-4 and 28-32 hold ground: 20 ft. Across: 3 strips of 32 ft.
	assert.Len(t, l.Strips, 2)
	assert.InDelta(t, 20, l.ClothLength.In(foot), 1e-9)
	assert.Zero(t, l.SeamLength)
	// Only what is wanted, the second: 10 ft along in one strip, no seam; across it would be ceil(9.5/3.5) = 3 strips of
	// 2 ft with two seams.
	l, err = fabric.Cut(regions, func(c outline.Cover) bool { return c.Has(1) }, []measure.Angle{0}, weed, 0)
	require.NoError(t, err)
	assert.InDelta(t, 10, l.ClothLength.In(foot), 1e-9)
	assert.Zero(t, l.SeamLength)
	assert.InDelta(t, 20, float64(l.CoverArea)/ft2, 1e-9)
	// And nothing.
	l, err = fabric.Cut(regions, func(outline.Cover) bool { return false }, nil, weed, 1)
	require.NoError(t, err)
	assert.Empty(t, l.Strips)
	assert.Zero(t, l.Rolls+l.Pins)
}

func TestImpossibleRollsAreRefused(t *testing.T) {
	t.Parallel()
	o := ground(t, 0, 0, 10, 0, 10, 4, 0, 4)
	try := func(r fabric.Roll, pins measure.Length) error {
		_, err := fabric.Cut([]outline.Region{o.Region()}, all, nil, r, pins)
		return err
	}
	var lap *fabric.LapError
	require.ErrorAs(t, try(fabric.Roll{Width: 1, Length: 10, Lap: 1}, 0), &lap)
	assert.Equal(t, fabric.RollWidth, lap.Of)
	require.ErrorAs(t, try(fabric.Roll{Width: 2, Length: 1, Lap: 1}, 0), &lap)
	assert.Equal(t, fabric.RollLength, lap.Of)
	var number *fabric.NumberError
	require.ErrorAs(t, try(fabric.Roll{Width: 0, Length: 10}, 0), &number)
	assert.Equal(t, fabric.RollWidth, number.Field)
	require.ErrorAs(t, try(fabric.Roll{Width: 1, Length: measure.Length(math.NaN())}, 0), &number)
	assert.Equal(t, fabric.RollLength, number.Field)
	require.ErrorAs(t, try(fabric.Roll{Width: 1, Length: 10, Lap: -1}, 0), &number)
	assert.Equal(t, fabric.Lap, number.Field)
	require.ErrorAs(t, try(fabric.Roll{Width: 1, Length: 10, Upturn: -1}, 0), &number)
	assert.Equal(t, fabric.Upturn, number.Field)
	require.ErrorAs(t, try(weed, -1), &number)
	assert.Equal(t, fabric.PinSpacing, number.Field)
	var many *fabric.PiecesError
	require.ErrorAs(t, try(fabric.Roll{Width: 1, Length: 10, Lap: 0.9999999}, 0), &many)
	require.ErrorAs(t, try(fabric.Roll{Width: 1, Length: 1e-9}, 0), &many)
}

// fewest is the least number of rolls by trying every set of pieces as the content of one roll.
func fewest(pieces []float64, roll float64) int {
	n := len(pieces)
	best := make([]int, 1<<n)
	for set := 1; set < 1<<n; set++ {
		best[set] = bits.OnesCount(uint(set))
		for sub := set; sub > 0; sub = (sub - 1) & set {
			sum := 0.0
			for i, p := range pieces {
				if sub>>i&1 == 1 {
					sum += p
				}
			}
			if sum <= roll*(1+1e-9) {
				best[set] = min(best[set], 1+best[set&^sub])
			}
		}
	}
	return best[1<<n-1]
}

func TestStripsCoverTheGroundAndRollsAreTheFewest(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 7).Draw(t, "corners")
		var xy []float64
		for i := range n { // a star-shaped outline
			a := (float64(i) + rapid.Float64Range(0, 0.7).Draw(t, "place")) / float64(n) * 2 * math.Pi
			r := rapid.Float64Range(3, 12).Draw(t, "out")
			xy = append(xy, r*math.Cos(a), r*math.Sin(a))
		}
		o := ground(t, xy...)
		roll := weed
		roll.Length = measure.Length(rapid.SampledFrom([]float64{12, 25, 50}).Draw(t, "roll")) * foot
		roll.Upturn = measure.Length(rapid.SampledFrom([]float64{0, 0.25}).Draw(t, "upturn")) * foot
		l := cut(t, o, roll, 0)

		sin, cos := math.Sincos(float64(l.Direction))
		for range 40 {
			p := outline.Point{X: measure.Length(rapid.Float64Range(-12, 12).Draw(t, "x")) * foot,
				Y: measure.Length(rapid.Float64Range(-12, 12).Draw(t, "y")) * foot}
			if !o.Contains(p, -1e-6) {
				continue
			}
			u := measure.Length(float64(p.X)*cos + float64(p.Y)*sin)
			v := measure.Length(float64(p.Y)*cos - float64(p.X)*sin)
			covered := false
			for _, s := range l.Strips {
				covered = covered || s.Along.From <= u && u <= s.Along.To && s.Across.From <= v && v <= s.Across.To
			}
			require.True(t, covered, "%v", p)
		}

		var pieces []float64
		joined := 0.0
		for i, s := range l.Strips {
			sum := 0.0
			for _, p := range s.Pieces {
				require.LessOrEqual(t, p, roll.Length)
				require.Positive(t, p)
				pieces = append(pieces, float64(p))
				sum += float64(p)
			}
			// Every join takes one lap.
			require.InDelta(t, float64(s.Length)+float64(len(s.Pieces)-1)*float64(roll.Lap), sum, 1e-9)
			joined += sum
			if i > 0 {
				require.InDelta(t, float64(roll.Lap), float64(l.Strips[i-1].Across.To-s.Across.From), 1e-9)
			}
		}
		require.InDelta(t, float64(l.ClothLength), joined, 1e-9)
		require.GreaterOrEqual(t, float64(l.ClothArea), float64(o.Area())-1e-9)
		if len(pieces) <= 10 {
			require.True(t, l.RollsProved)
			require.Equal(t, fewest(pieces, float64(roll.Length)), l.Rolls)
		}
	})
}

// First fit decreasing cuts 4 + 3, 3 + 2 + 2 and 2 from three rolls of 8 ft; 4 + 2 + 2 and 3 + 3 + 2 come from two.
func TestItem29RollsAreSearchedWhereFirstFitWastesOne(t *testing.T) {
	t.Parallel()
	widths := []float64{4, 3, 3, 2, 2, 2}
	require.Equal(t, 2, fewest(widths, 8))
	// Ground of separate rectangles in rows of one strip each, 2 wide and 2 apart, roll 2 wide without lap.
	var regions []outline.Region
	for i, w := range widths {
		y := float64(i) * 4
		regions = append(regions, ground(t, 0, y, w, y, w, y+2, 0, y+2).Region())
	}
	l, err := fabric.Cut(regions, all, []measure.Angle{0}, fabric.Roll{Width: 2 * foot, Length: 8 * foot}, 0)
	require.NoError(t, err)
	require.InDelta(t, 16, l.ClothLength.In(foot), 1e-9)
	assert.Equal(t, 2, l.Rolls)
	assert.True(t, l.RollsProved)
}
