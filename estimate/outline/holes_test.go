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

func rect(t require.TestingT, x, y, length, width float64) *outline.Outline {
	o, err := outline.Rectangle(pt(x, y), measure.Length(length), measure.Length(width), 0)
	require.NoError(t, err)
	return o
}

func circle(t require.TestingT, x, y, radius float64) *outline.Outline {
	o, err := outline.Circle(pt(x, y), measure.Length(radius))
	require.NoError(t, err)
	return o
}

// lawn is a bed of 10 x 8 with a round hole of radius 2 about (3, 4), an island of 1 x 1 in it, and a square hole of 2 x 2
// whose corners are rounded by 0.5 and whose points run clockwise.
func lawn(t require.TestingT) *outline.Outline {
	square, err := outline.Polygon(pts(7, 3, 7, 5, 9, 5, 9, 3), []measure.Length{0.5, 0.5, 0.5, 0.5})
	require.NoError(t, err)
	o, err := rect(t, 0, 0, 10, 8).WithHoles([]outline.Hole{
		{Outline: circle(t, 3, 4, 2), Islands: []*outline.Outline{rect(t, 2.5, 3.5, 1, 1)}}, {Outline: square}})
	require.NoError(t, err)
	return o
}

func TestHolesAreTakenOffAndIslandsAddedAgain(t *testing.T) {
	t.Parallel()
	o := lawn(t)
	// A square loses (4 - pi) r^2 at its rounded corners, and (8 - 2 pi) r of its length round.
	assert.InDelta(t, 80-4*math.Pi+1-(4-(4-math.Pi)/4), float64(o.Area()), 1e-12)
	assert.InDelta(t, 36+4*math.Pi+4+(8-(8-2*math.Pi)/2), float64(o.Perimeter()), 1e-12)
	low, high := o.Bounds()
	assert.Equal(t, []outline.Point{pt(0, 0), pt(10, 8)}, []outline.Point{low, high})
	shares := outline.Divide([]outline.Region{o.Region()}, 1, func(c outline.Cover) int { return 0 })
	assert.InDelta(t, float64(o.Area()), float64(shares[0].Area), 1e-12)
	assert.InDelta(t, float64(o.Perimeter()), float64(shares[0].Perimeter), 1e-9)
	assert.True(t, o.Holed())
	assert.False(t, rect(t, 0, 0, 1, 1).Holed())
}

func TestSideNumbersGoOnOverHolesAndIslands(t *testing.T) {
	t.Parallel()
	o := lawn(t)
	assert.Equal(t, 4+1+4+4, o.Sides())
	type ring struct {
		kind              outline.RingKind
		hole, island      int
		side, sides, many int
		falling           bool
	}
	var got []ring
	for _, r := range o.Rings() {
		got = append(got, ring{r.Kind, r.Hole, r.Island, r.Side, r.Sides, len(r.Elements), r.Falling})
	}
	assert.Equal(t, []ring{
		{outline.OuterRing, outline.None, outline.None, 0, 4, 4, false},
		{outline.HoleRing, 0, outline.None, 4, 1, 1, true},
		{outline.IslandRing, 0, 0, 5, 4, 4, false},
		{outline.HoleRing, 1, outline.None, 9, 4, 8, false}, // clockwise as given, as holes are walked
	}, got)
	// The bed is on the left of every element: a step to the left of its middle is on the bed, one to the right is not.
	for _, e := range o.Elements() {
		mid, h := e.Point(0.5), float64(e.Heading(0.5))
		left := pt(float64(mid.X)-0.01*math.Sin(h), float64(mid.Y)+0.01*math.Cos(h))
		right := pt(float64(mid.X)+0.01*math.Sin(h), float64(mid.Y)-0.01*math.Cos(h))
		assert.True(t, o.Contains(left, 0), "left of side %d corner %d", e.Side, e.Corner)
		assert.False(t, o.Contains(right, 0), "right of side %d corner %d", e.Side, e.Corner)
	}
	// Side 9 of the request is the left one of the square hole, from (7, 3) to (7, 5), the bed to its left.
	from, to, ok := o.SideLine(9)
	require.True(t, ok)
	assert.Equal(t, []outline.Point{pt(7, 3), pt(7, 5)}, []outline.Point{from, to})
	from, to, ok = o.SideLine(5)
	require.True(t, ok, "the island keeps its direction")
	assert.Equal(t, []outline.Point{pt(2.5, 3.5), pt(3.5, 3.5)}, []outline.Point{from, to})
	_, _, ok = o.SideLine(4)
	assert.False(t, ok, "the round hole has no straight side")
	for corner, want := range map[int][2]int{0: {3, 0}, 3: {2, 3}, 4: {4, 4}, 5: {8, 5}, 9: {12, 9}, 12: {11, 12}} {
		before, after, ok := o.Neighbours(corner)
		assert.True(t, ok)
		assert.Equal(t, want, [2]int{before, after}, "corner %d", corner)
	}
	_, _, ok = o.Neighbours(13)
	assert.False(t, ok)
}

func TestPlacesInAndRoundHoles(t *testing.T) {
	t.Parallel()
	o := lawn(t)
	for _, c := range []struct {
		name string
		at   outline.Point
		on   bool
		away float64
	}{
		{"between the holes", pt(6, 4), true, 1},
		{"in the round hole beside the island", pt(1.75, 4), false, 0.75},
		{"on the island", pt(3, 4), true, 0.5},
		{"in the square hole", pt(8, 4), false, 1},
		{"in the corner that the rounding leaves to the bed", pt(7.01, 3.01), true, (0.49*math.Sqrt2 - 0.5)},
		{"outside", pt(11, 4), false, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			assert.Equal(t, c.on, o.Contains(c.at, 0))
			assert.InDelta(t, c.away, float64(o.Distance(c.at)), 1e-12)
			assert.True(t, o.Contains(c.at, measure.Length(c.away+1e-9)), "within the tolerance")
		})
	}
}

func TestOutsideReachesIntoHoles(t *testing.T) {
	t.Parallel()
	o := lawn(t)
	box := func(x, y, l, w float64) outline.Loop {
		return outline.RectangleLoop(pt(x, y), measure.Length(l), measure.Length(w), 0)
	}
	for _, c := range []struct {
		name string
		loop outline.Loop
		want float64
	}{
		{"clear of holes", box(5.5, 1, 1, 1), 0},
		{"on the island", box(2.6, 3.6, 0.8, 0.8), 0},
		{"on all of the island", box(2.5, 3.5, 1, 1), 0},
		{"into the square hole by a quarter", box(6, 3.75, 1.25, 0.5), 0.25},
		{"over the square hole and all round it", box(6.5, 2.5, 3, 3), 1},
		{"exactly the square that the square hole was rounded from", box(7, 3, 2, 2), 1},
		// Farthest from the island and the circle: between them on the axis, 1.5 wide; more beside the island's corners is not
		// possible, since the diagonal leaves 2 - sqrt(0.5) = 1.29.
		{"over the round hole with its island", box(0.5, 1.5, 5, 5), 0.75},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			assert.InDelta(t, c.want, float64(o.Outside(c.loop)), 1e-6)
		})
	}
	thin, err := rect(t, 0, 0, 10, 10).WithHoles([]outline.Hole{{Outline: rect(t, 1, 5, 8, 0.01)}})
	require.NoError(t, err)
	assert.InDelta(t, 0.005, float64(thin.Outside(box(0.5, 4, 9, 2))), 1e-9, "a crack of 10 mm lies under the slabs")
}

func TestHolesThatMeetOtherLinesAreRefused(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name  string
		holes []outline.Hole
		want  *outline.CrossingError
	}{
		{"a hole across the outer line", []outline.Hole{{Outline: rect(t, 9, 3, 2, 2)}},
			&outline.CrossingError{SideA: 1, CornerA: outline.None, SideB: 6, CornerB: outline.None, RingB: 1, At: pt(10, 5)}},
		{"a hole that lies along the outer line", []outline.Hole{{Outline: rect(t, 3, 0, 2, 2)}},
			&outline.CrossingError{SideA: 0, CornerA: outline.None, SideB: 7, CornerB: outline.None, RingB: 1, At: pt(3, 0)}},
		{"a round hole that touches a side from within", []outline.Hole{{Outline: circle(t, 5, 2, 2)}},
			&outline.CrossingError{SideA: 0, CornerA: outline.None, SideB: 4, CornerB: outline.None, RingB: 1, At: pt(5, 0)}},
		{"two round holes that touch", []outline.Hole{{Outline: circle(t, 3, 4, 1)}, {Outline: circle(t, 5, 4, 1)}},
			&outline.CrossingError{SideA: 4, CornerA: outline.None, SideB: 5, CornerB: outline.None, RingA: 1, RingB: 2, At: pt(4, 4)}},
		{"one hole twice", []outline.Hole{{Outline: circle(t, 3, 4, 1)}, {Outline: circle(t, 3, 4, 1)}},
			&outline.CrossingError{SideA: 4, CornerA: outline.None, SideB: 5, CornerB: outline.None, RingA: 1, RingB: 2, At: pt(4, 4)}},
		{"an island across its hole", []outline.Hole{{Outline: rect(t, 2, 2, 2, 2), Islands: []*outline.Outline{rect(t, 3, 2.5, 2, 1)}}},
			&outline.CrossingError{SideA: 5, CornerA: outline.None, SideB: 8, CornerB: outline.None, RingA: 1, RingB: 2, At: pt(4, 2.5)}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			_, err := rect(t, 0, 0, 10, 8).WithHoles(c.holes)
			var got *outline.CrossingError
			require.ErrorAs(t, err, &got)
			assert.InDelta(t, 0, dist(c.want.At, got.At), 1e-9)
			got.At = c.want.At
			assert.Equal(t, c.want, got)
		})
	}
	// A hair apart is apart.
	for _, hair := range []float64{2e-9, 1e-6} {
		_, err := rect(t, 0, 0, 10, 8).WithHoles([]outline.Hole{{Outline: rect(t, 3, hair, 2, 2)}, {Outline: rect(t, 5+hair, hair, 2, 2)}})
		require.NoError(t, err, "%g", hair)
	}
}

func TestHolesInTheWrongPlaceAreRefused(t *testing.T) {
	t.Parallel()
	const none = outline.None
	for _, c := range []struct {
		name  string
		holes []outline.Hole
		want  []outline.NestingError
	}{
		{"a hole beside the outline", []outline.Hole{{Outline: rect(t, 20, 0, 1, 1)}}, []outline.NestingError{{0, none, none, none}}},
		{"a hole round the outline", []outline.Hole{{Outline: rect(t, -1, -1, 20, 20)}}, []outline.NestingError{{0, none, none, none}}},
		{"a hole in a hole, and one beside the outline", []outline.Hole{{Outline: rect(t, 1, 1, 5, 5)}, {Outline: rect(t, 2, 2, 1, 1)}, {Outline: rect(t, 20, 0, 1, 1)}},
			[]outline.NestingError{{1, none, 0, none}, {2, none, none, none}}},
		{"an island beside its hole", []outline.Hole{{Outline: rect(t, 1, 1, 1, 1), Islands: []*outline.Outline{rect(t, 5, 5, 1, 1)}}},
			[]outline.NestingError{{0, 0, none, none}}},
		{"an island in an island", []outline.Hole{{Outline: rect(t, 1, 1, 5, 5), Islands: []*outline.Outline{rect(t, 3, 3, 0.5, 0.5), rect(t, 2, 2, 3, 3)}}},
			[]outline.NestingError{{0, 0, 0, 1}}},
		{"a hole on an island of another hole", []outline.Hole{{Outline: rect(t, 1, 1, 5, 5), Islands: []*outline.Outline{rect(t, 2, 2, 3, 3)}}, {Outline: rect(t, 3, 3, 1, 1)}},
			[]outline.NestingError{{1, none, 0, none}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			_, err := rect(t, 0, 0, 10, 8).WithHoles(c.holes)
			var got []outline.NestingError
			for _, e := range joined(err) {
				var nesting *outline.NestingError
				require.ErrorAs(t, e, &nesting)
				got = append(got, *nesting)
				assert.NotEmpty(t, nesting.Error())
			}
			assert.Equal(t, c.want, got)
		})
	}
	holed := lawn(t)
	_, err := rect(t, -5, -5, 30, 30).WithHoles([]outline.Hole{{Outline: holed}})
	var nested *outline.NestedHolesError
	require.ErrorAs(t, err, &nested)
	assert.Equal(t, "hole 0 has holes of its own", err.Error())
	_, err = holed.WithHoles([]outline.Hole{{Outline: rect(t, 1, 1, 0.1, 0.1)}})
	require.ErrorAs(t, err, &nested)
	var small *outline.TooSmallError
	_, err = rect(t, 0, 0, 1, 1).WithHoles([]outline.Hole{{Outline: rect(t, 1e-6, 1e-6, 1-2e-6, 1-2e-6)}})
	require.ErrorAs(t, err, &small)
	same, err := holed.WithHoles(nil)
	require.NoError(t, err)
	assert.Same(t, holed, same)
}

// Circles in a circle: whether they are apart and inside follows from their centres and radii alone, and so do area and
// the places on the ground.
func TestRoundHolesAgreeWithTheArithmeticOfTheirCentres(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		type disc struct{ x, y, r float64 }
		draw := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		const outer = 10.0
		var discs []disc
		var holes []outline.Hole
		apart, inside := true, true
		for range rapid.IntRange(1, 5).Draw(t, "holes") {
			d := disc{draw("x", -9, 9), draw("y", -9, 9), draw("r", 0.1, 4)}
			gap := outer - d.r - math.Hypot(d.x, d.y)
			if math.Abs(gap) < 1e-6 {
				t.Skip("too close to tell")
			}
			inside = inside && gap > 0
			for _, e := range discs {
				between := math.Hypot(d.x-e.x, d.y-e.y)
				if math.Abs(between-d.r-e.r) < 1e-6 || math.Abs(between-math.Abs(d.r-e.r)) < 1e-6 {
					t.Skip("too close to tell")
				}
				apart = apart && between > d.r+e.r
			}
			discs = append(discs, d)
			holes = append(holes, outline.Hole{Outline: circle(t, d.x, d.y, d.r)})
		}
		o, err := circle(t, 0, 0, outer).WithHoles(holes)
		require.Equal(t, apart && inside, err == nil, "%v", err)
		if err != nil {
			return
		}
		area, round := outer*outer, outer
		for _, d := range discs {
			area, round = area-d.r*d.r, round+d.r
		}
		require.InDelta(t, math.Pi*area, float64(o.Area()), 1e-9)
		require.InDelta(t, 2*math.Pi*round, float64(o.Perimeter()), 1e-9)
		for range 20 {
			x, y := draw("px", -11, 11), draw("py", -11, 11)
			away := math.Abs(outer - math.Hypot(x, y))
			on := math.Hypot(x, y) < outer
			for _, d := range discs {
				from := math.Hypot(x-d.x, y-d.y)
				away = min(away, math.Abs(from-d.r))
				on = on && from > d.r
			}
			require.InDelta(t, away, float64(o.Distance(pt(x, y))), 1e-9)
			if away > 1e-6 {
				require.Equal(t, on, o.Contains(pt(x, y), 0))
			}
		}
		d := rapid.SampledFrom(discs).Draw(t, "covered")
		require.InDelta(t, d.r, float64(o.Outside(outline.CircleLoop(pt(d.x, d.y), measure.Length(d.r)))), 1e-6, "a hole covered exactly")
	})
}

func TestGroundWithAHoleMayLieRoundAHole(t *testing.T) {
	t.Parallel()
	o := lawn(t)
	ring := func(x, y, outer, inner float64) *outline.Outline {
		r, err := circle(t, x, y, outer).WithHoles([]outline.Hole{{Outline: circle(t, x, y, inner)}})
		require.NoError(t, err)
		return r
	}
	for _, c := range []struct {
		name  string
		other *outline.Outline
		want  float64
	}{
		{"a ring round the round hole", ring(3, 4, 2.9, 2), 0},
		{"a ring that reaches into the hole by 0.25", ring(3, 4, 2.9, 1.75), 0.25},
		{"a disc over the hole with its island", circle(t, 3, 4, 2.9), 0.75},
		{"a disc on the island", circle(t, 3, 4, 0.5), 0},
		{"a disc that reaches out of the bed by 0.5", circle(t, 9.5, 7, 1), 0.5},
	} {
		assert.InDelta(t, c.want, float64(o.GroundOutside(c.other)), 1e-6, c.name)
	}
}
