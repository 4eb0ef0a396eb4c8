package earth_test

import (
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate/earth"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

func spot(x, y, level float64) earth.Spot {
	return earth.Spot{At: at(x, y), Level: measure.Length(level)}
}

func at(x, y float64) outline.Point {
	return outline.Point{X: measure.Length(x), Y: measure.Length(y)}
}

func surface(t require.TestingT, spots ...earth.Spot) *earth.Surface {
	s, err := earth.NewSurface(spots)
	require.NoError(t, err)
	return s
}

func TestSpotsAreRefused(t *testing.T) {
	t.Parallel()
	_, err := earth.NewSurface(nil)
	require.ErrorIs(t, err, earth.ErrNoSpots)

	_, err = earth.NewSurface([]earth.Spot{spot(1, 2, 0), spot(3, 4, 0.1), spot(1, 2, 0), spot(1, 2, 0.05), spot(0, math.NaN(), 0), spot(3, 4, 0)})
	var conflict *earth.SpotConflictError
	require.ErrorAs(t, err, &conflict)
	assert.Equal(t, earth.SpotConflictError{I: 0, J: 3}, *conflict)
	var number *earth.SpotNumberError
	require.ErrorAs(t, err, &number)
	assert.Equal(t, 4, number.Spot)
	assert.EqualError(t, err, "spot levels 0 and 3 are in one place but differ\n"+
		"spot level 4 has a number that is not finite or beyond 1000 km\nspot levels 1 and 5 are in one place but differ")

	for _, bad := range []earth.Spot{spot(math.Inf(1), 0, 0), spot(0, 0, math.Inf(-1)), spot(-1.1e6, 0, 0)} {
		_, err = earth.NewSurface([]earth.Spot{spot(0, 0, 0), bad})
		require.ErrorAs(t, err, &number)
	}
}

func TestSpotsInOnePlaceAreOne(t *testing.T) {
	t.Parallel()
	s := surface(t, spot(0, 0, 1), spot(0, 0, 1), spot(5e-10, 0, 1))
	assert.Equal(t, earth.Flat, s.Shape())
	assert.Len(t, s.Spots(), 1)
}

func TestShapes(t *testing.T) {
	t.Parallel()
	foot := float64(measure.Foot)
	tests := []struct {
		name  string
		spots []earth.Spot
		want  earth.Shape
	}{
		{"one spot is level", []earth.Spot{spot(3, 4, 0.2)}, earth.Flat},
		{"two are ruled", []earth.Spot{spot(3, 4, 0.2), spot(0, 0, 0)}, earth.Ruled},
		{"three on a line are ruled", []earth.Spot{spot(0, 0, 0), spot(1, 1, 1), spot(3, 3, 0)}, earth.Ruled},
		{"a line that is none in binary is one", []earth.Spot{spot(0, 0, 0), spot(foot, foot*0.1, 1), spot(3*foot, foot*0.3, 0)}, earth.Ruled},
		{"an upright line is one", []earth.Spot{spot(1, 0, 0), spot(1, 5, 1), spot(1, 3, 0)}, earth.Ruled},
		{"a line that is all but upright is one", []earth.Spot{spot(1+1e-10, 100, 0), spot(1, 3, 1), spot(1+2e-10, 3.001, 0), spot(1+1e-10, -7, 2)}, earth.Ruled},
		{"a millimetre off the line is a triangle", []earth.Spot{spot(0, 0, 0), spot(1, 0.001, 1), spot(3, 0, 0)}, earth.Triangulated},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			assert.Equal(t, test.want, surface(t, test.spots...).Shape())
		})
	}
}

func TestLevelsBetweenAndBeyondTheSpots(t *testing.T) {
	t.Parallel()
	line := surface(t, spot(6, 0, 0.3), spot(0, 0, 0.1), spot(2, 0, 0.5))
	upright := surface(t, spot(1+1e-10, 100, 0), spot(1, 3, 1), spot(1+2e-10, 4, 0), spot(1+1e-10, -7, 2))
	square := surface(t, spot(0, 0, 0), spot(4, 0, 0.4), spot(4, 4, 0.8), spot(0, 4, 0.4))
	tests := []struct {
		name string
		on   *earth.Surface
		x, y float64
		want float64
	}{
		{"one spot, anywhere", surface(t, spot(3, 4, 0.2)), 100, -7, 0.2},
		{"on the line between two spots", line, 1, 0, 0.3},
		{"square to it the same", line, 1, 9, 0.3},
		{"between the next two", line, 4, -2, 0.4},
		{"beyond the first end", line, -3, 5, 0.1},
		{"beyond the last end", line, 9, 0, 0.3},
		{"on a line that is all but upright", upright, 7, 3.5, 0.5},
		{"on the next stretch of it", upright, -7, -2, 1.5},
		{"in the middle of a plane", square, 2, 2, 0.4},
		{"on a plane off the middle", square, 1, 3, 0.4},
		{"outside an edge the level at the edge", square, 3, -5, 0.3},
		{"outside a corner that of the corner", square, 7, 5, 0.8},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			assert.InDelta(t, test.want, float64(test.on.Level(at(test.x, test.y))), 1e-8)
		})
	}
}

// Sets of spots that are hard on a triangulation: many on one circle, many on one line, all but on a line.
func hardSets() map[string][]earth.Spot {
	r := rand.New(rand.NewPCG(20, 21))
	level := func() float64 { return math.Round(r.Float64()*400)/1000 - 0.2 }
	sets := map[string][]earth.Spot{}
	for i := range 500 {
		sets["500 at random"] = append(sets["500 at random"], spot(r.Float64()*40, r.Float64()*25, level()))
		sets["a grid in feet"] = append(sets["a grid in feet"], spot(float64(i%25)*0.3048*2, float64(i/25)*0.3048*2, level()))
		sin, cos := measure.Sin(0.3), measure.Cos(0.3)
		x, y := float64(i%25), float64(i/25)
		sets["a turned grid"] = append(sets["a turned grid"], spot(x*cos-y*sin, x*sin+y*cos, level()))
		if i < 120 {
			a := measure.Degrees(3 * float64(i))
			sets["a circle"] = append(sets["a circle"], spot(7*measure.Cos(a), 7*measure.Sin(a), level()))
			sets["slivers"] = append(sets["slivers"], spot(float64(i)*0.1, r.Float64()*1e-7, level()))
			sets["two lines"] = append(sets["two lines"], spot(float64(i%60)*0.25, float64(i/60)*3, level()))
			sets["far out"] = append(sets["far out"], spot(9e5+float64(i%12)*0.3048, -9e5+float64(i/12)*0.3048, level()))
			sets["clusters"] = append(sets["clusters"], spot(float64(i%3)*10+r.Float64()*1e-6, float64(i%2)*10+r.Float64()*1e-6, level()))
		}
	}
	sets["a circle"] = append(sets["a circle"], spot(0, 0, 0))
	// Whole places on one circle (Pythagorean triples): exactly so in binary.
	for _, p := range [][2]float64{{65, 0}, {63, 16}, {60, 25}, {56, 33}, {52, 39}, {39, 52}, {33, 56}, {25, 60}, {16, 63}, {0, 65}} {
		for _, q := range [][2]float64{{1, 1}, {1, -1}, {-1, 1}, {-1, -1}} {
			if x, y := p[0]*q[0], p[1]*q[1]; !slices.ContainsFunc(sets["twelve and more on a circle"], func(s earth.Spot) bool { return s.At == at(x, y) }) {
				sets["twelve and more on a circle"] = append(sets["twelve and more on a circle"], spot(x, y, level()))
			}
		}
	}
	return sets
}

func TestTriangulation(t *testing.T) {
	t.Parallel()
	for name, spots := range hardSets() {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := surface(t, spots...)
			require.Equal(t, earth.Triangulated, s.Shape())
			delaunay(t, s)
		})
	}
}

// delaunay checks in rational numbers that no spot lies inside the circle about any triangle, that the triangles run
// counter-clockwise, and that they fill the convex hull (Andrew's monotone chain) exactly; only triangles flatter
// than rounding may be gone from its rim.
func delaunay(t require.TestingT, s *earth.Surface) {
	rat := func(l measure.Length) *big.Rat { return new(big.Rat).SetFloat64(float64(l)) }
	sub := func(a, b *big.Rat) *big.Rat { return new(big.Rat).Sub(a, b) }
	mul := func(a, b *big.Rat) *big.Rat { return new(big.Rat).Mul(a, b) }
	add := func(a, b *big.Rat) *big.Rat { return new(big.Rat).Add(a, b) }
	cross := func(o, a, b earth.Spot) *big.Rat {
		return sub(mul(sub(rat(a.At.X), rat(o.At.X)), sub(rat(b.At.Y), rat(o.At.Y))), mul(sub(rat(a.At.Y), rat(o.At.Y)), sub(rat(b.At.X), rat(o.At.X))))
	}
	filled := new(big.Rat)
	spots := s.Spots()
	for _, tri := range s.Triangles() {
		twice := cross(tri[0], tri[1], tri[2])
		if !assert.Positive(t, twice.Sign(), "a triangle runs clockwise or is flat") {
			return
		}
		filled = add(filled, twice)
		// The centre of the circle, from the first corner.
		bx, by := sub(rat(tri[1].At.X), rat(tri[0].At.X)), sub(rat(tri[1].At.Y), rat(tri[0].At.Y))
		cx, cy := sub(rat(tri[2].At.X), rat(tri[0].At.X)), sub(rat(tri[2].At.Y), rat(tri[0].At.Y))
		bb, cc := add(mul(bx, bx), mul(by, by)), add(mul(cx, cx), mul(cy, cy))
		d := mul(twice, big.NewRat(2, 1))
		ux := new(big.Rat).Quo(sub(mul(cy, bb), mul(by, cc)), d)
		uy := new(big.Rat).Quo(sub(mul(bx, cc), mul(cx, bb)), d)
		fx, fy := rat(tri[0].At.X), rat(tri[0].At.Y)
		ox, _ := add(ux, fx).Float64()
		oy, _ := add(uy, fy).Float64()
		rr, _ := add(mul(ux, ux), mul(uy, uy)).Float64()
		for _, p := range spots {
			// Far from the circle, in floating point, there is nothing to decide.
			if px, py := float64(p.At.X)-ox, float64(p.At.Y)-oy; px*px+py*py > rr*(1+1e-6)+1e-6 {
				continue
			}
			px, py := sub(rat(p.At.X), fx), sub(rat(p.At.Y), fy)
			// Inside where |p|^2 < 2 p.u
			if sub(add(mul(px, px), mul(py, py)), mul(big.NewRat(2, 1), add(mul(px, ux), mul(py, uy)))).Sign() < 0 {
				assert.Fail(t, "not empty", "the circle about %v holds %v", tri, p)
				return
			}
		}
	}
	sorted := slices.Clone(spots)
	slices.SortFunc(sorted, func(a, b earth.Spot) int {
		if a.At.X != b.At.X {
			return int(math.Copysign(1, float64(a.At.X-b.At.X)))
		}
		return int(math.Copysign(1, float64(a.At.Y-b.At.Y)))
	})
	var hull []earth.Spot
	for range 2 {
		base := max(0, len(hull)-1)
		hull = hull[:base]
		for _, p := range sorted {
			for len(hull) >= base+2 && cross(hull[len(hull)-2], hull[len(hull)-1], p).Sign() <= 0 {
				hull = hull[:len(hull)-1]
			}
			hull = append(hull, p)
		}
		slices.Reverse(sorted)
	}
	whole := new(big.Rat)
	for i := 2; i < len(hull); i++ {
		whole = add(whole, cross(hull[0], hull[i-1], hull[i]))
	}
	gone, _ := sub(whole, filled).Float64()
	first, last := sorted[0].At, sorted[len(sorted)-1].At
	extent := math.Abs(float64(last.X-first.X)) + 1
	for _, p := range spots {
		extent = max(extent, math.Abs(float64(p.At.Y-first.Y)))
	}
	assert.GreaterOrEqual(t, gone, 0.0)
	assert.LessOrEqual(t, gone, 4e-9*extent*float64(len(spots)))
}

func TestPropertyTriangulationOfWholePlaces(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 40).Draw(t, "n")
		size := rapid.IntRange(2, 12).Draw(t, "size")
		var spots []earth.Spot
		seen := map[outline.Point]bool{}
		for range n {
			p := at(float64(rapid.IntRange(0, size).Draw(t, "x")), float64(rapid.IntRange(0, size).Draw(t, "y")))
			if !seen[p] {
				seen[p] = true
				spots = append(spots, earth.Spot{At: p, Level: measure.Length(len(spots))})
			}
		}
		s := surface(t, spots...)
		if s.Shape() == earth.Triangulated {
			delaunay(t, s)
		}
		// In whatever order the spots come, and moved by whole places, the same triangles are chosen.
		shuffled := rapid.Permutation(spots).Draw(t, "order")
		assert.Equal(t, s.Triangles(), surface(t, shuffled...).Triangles())
	})
}

func TestPropertyTriangulationOfSlivers(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 25).Draw(t, "n")
		slope := rapid.Float64Range(-3, 3).Draw(t, "slope")
		scale := rapid.SampledFrom([]float64{1e-16, 1e-12, 1e-9, 1e-8, 1e-4, 1}).Draw(t, "scale")
		var spots []earth.Spot
		for range n {
			x := rapid.Float64Range(0, 10).Draw(t, "x")
			more := spot(x, x*slope+scale*rapid.Float64Range(-1, 1).Draw(t, "off"), rapid.Float64Range(-1, 1).Draw(t, "level"))
			if _, err := earth.NewSurface(append(slices.Clone(spots), more)); err == nil {
				spots = append(spots, more)
			}
		}
		s := surface(t, spots...)
		if s.Shape() == earth.Triangulated {
			delaunay(t, s)
		}
		w := s.Earthwork(outline.Region{outline.RectangleLoop(at(-1, -31), 12, 62, 0)}, earth.Formation{})
		for _, v := range []float64{float64(w.Cut), float64(w.Fill), float64(w.CutArea), float64(w.FillArea), float64(w.Resting)} {
			require.False(t, math.IsNaN(v) || math.IsInf(v, 0), "%+v", w)
		}
		// The direction of a hull edge of 1e-9 m is good to some 1e-7, and so is the ground outside counted from it.
		assert.InDelta(t, 744, float64(w.Area), 1e-3)
	})
}

func TestCoverJoinsTheCornersOutsideTheHull(t *testing.T) {
	t.Parallel()
	// Spots over the left half of a bed of 4 by 2; the two corners on the right take the level of the nearest point.
	s := surface(t, spot(0, 0, 0), spot(2, 0, 0.2), spot(2, 2, 0.4), spot(0, 2, 0.2))
	bed, err := outline.Rectangle(at(0, 0), 4, 2, 0)
	require.NoError(t, err)
	covered, rests := s.Cover(bed)
	assert.Equal(t, []earth.Spot{spot(4, 0, 0.2), spot(4, 2, 0.4)}, covered.Joined())
	assert.InDelta(t, 0.5, float64(rests), 1e-12)
	assert.InDelta(t, 0.3, float64(covered.Level(at(3, 1))), 1e-12)
	assert.Empty(t, s.Joined(), "the surface itself stays as it is")

	// Beds that share corners join them once.
	neighbour, err := outline.Rectangle(at(4, 0), 3, 2, 0)
	require.NoError(t, err)
	both, _ := s.Cover(bed, neighbour)
	assert.Equal(t, []earth.Spot{spot(4, 0, 0.2), spot(4, 2, 0.4), spot(7, 0, 0.2), spot(7, 2, 0.4)}, both.Joined())

	within, err := outline.Rectangle(at(0, 0), 2, 2, 0)
	require.NoError(t, err)
	same, rests := s.Cover(within)
	assert.Same(t, s, same)
	assert.InDelta(t, 0, float64(rests), 1e-12)
}

func TestCoverOfACircleKeepsTheLevelOfTheNearestPoint(t *testing.T) {
	t.Parallel()
	// Spots at the corners of a square in a circle of radius r: outside the square lies 1 - 2/pi of the circle.
	s := surface(t, spot(5, 0, 0.1), spot(0, 5, 0.1), spot(-5, 0, 0.1), spot(0, -5, 0.1))
	bed, err := outline.Circle(at(0, 0), 5)
	require.NoError(t, err)
	covered, rests := s.Cover(bed)
	assert.Empty(t, covered.Joined())
	assert.InDelta(t, 1-2/math.Pi, float64(rests), 1e-12)
	w := covered.Earthwork(bed.Region(), earth.Formation{})
	assert.InDelta(t, math.Pi*25*0.1, float64(w.Cut), 1e-12)

	// The point where a circle starts is no corner.
	covered, rests = surface(t, spot(1, 1, 0), spot(-1, 1, 0), spot(-1, -1, 0), spot(1, -1, 0)).Cover(bed)
	assert.Empty(t, covered.Joined())
	assert.InDelta(t, 1-4/(25*math.Pi), float64(rests), 1e-12)
}

func TestCoverOfRuledGroundSaysWhatLiesBeyondItsEnds(t *testing.T) {
	t.Parallel()
	s := surface(t, spot(1, 1, 0), spot(3, 1, 0.2))
	bed, err := outline.Rectangle(at(0, 0), 5, 2, 0)
	require.NoError(t, err)
	covered, rests := s.Cover(bed)
	assert.InDelta(t, 3.0/5, float64(rests), 1e-12)
	w := covered.Earthwork(bed.Region(), earth.Formation{})
	assert.InDelta(t, 2*(2*0.1+2*0.2), float64(w.Cut), 1e-12)

	// Along x 1 from -7 to 100: 2 to 1 over 10 m, 1 to 0 over 1 m, then 0.
	upright := surface(t, spot(1+1e-10, 100, 0), spot(1, 3, 1), spot(1+2e-10, 4, 0), spot(1+1e-10, -7, 2))
	w = upright.Earthwork(outline.Region{outline.RectangleLoop(at(0, -7), 2, 20, 0)}, earth.Formation{})
	assert.InDelta(t, 2*(15+0.5), float64(w.Cut), 1e-7)

	_, rests = surface(t, spot(1, 1, 0)).Cover(bed)
	assert.Zero(t, rests)
}

func TestASpotOnTheHullCountsOnBothSides(t *testing.T) {
	t.Parallel()
	// Three spots along each long side of a turned rectangle: in binary the middle ones lie a hair off it.
	for i := range 40 {
		turn := measure.Degrees(float64(i) * 9.1)
		var spots []earth.Spot
		for j := range 3 {
			for k := range 2 {
				p := at(float64(j)*1.7, float64(k)*2.3).Rotate(at(0.3, 0.1), turn)
				spots = append(spots, earth.Spot{At: p, Level: measure.Length(j % 2)})
			}
		}
		s := surface(t, spots...)
		outside := at(1.7, -1).Rotate(at(0.3, 0.1), turn)
		assert.InDelta(t, 1, float64(s.Level(outside)), 1e-9, "turned by %v", turn.Degrees())
		strip := outline.Region{outline.RectangleLoop(at(0, -1), 3.4, 1, 0).Rotate(at(0.3, 0.1), turn)}
		assert.InDelta(t, 1.7, float64(s.Earthwork(strip, earth.Formation{}).Cut), 1e-9, "turned by %v", turn.Degrees())
	}
}

func BenchmarkEarthwork(b *testing.B) {
	spots := hardSets()["500 at random"]
	for _, corners := range []int{8, 200, 5000} {
		b.Run(fmt.Sprint(corners), func(b *testing.B) {
			points := make([]outline.Point, corners)
			for i := range points {
				a := measure.Angle(2 * math.Pi * float64(i) / float64(corners))
				points[i] = at(20+25*measure.Cos(a), 12+18*measure.Sin(a))
			}
			bed, err := outline.Polygon(points, nil)
			require.NoError(b, err)
			for b.Loop() {
				s, err := earth.NewSurface(spots)
				require.NoError(b, err)
				covered, _ := s.Cover(bed)
				covered.Earthwork(bed.Region(), earth.Formation{From: at(0, 0), To: at(1, 0), Fall: 0.02, Depth: 0.1})
			}
		})
	}
}
