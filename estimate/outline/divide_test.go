package outline_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// byCount puts ground that k of n regions cover into class k-1.
func byCount(n int) func(outline.Cover) int {
	return func(c outline.Cover) int {
		k := 0
		for i := range n {
			if c.Has(i) {
				k++
			}
		}
		return k - 1
	}
}

func all(outline.Cover) int { return 0 }

// The area that two discs share: the lens formula, two circular segments (r^2 (t - sin t)/2 each).
func lens(r1, r2, d float64) (area, rim1, rim2 float64) {
	switch {
	case d >= r1+r2:
		return 0, 0, 0
	case d <= r1-r2:
		return math.Pi * r2 * r2, 0, 2 * math.Pi * r2
	case d <= r2-r1:
		return math.Pi * r1 * r1, 2 * math.Pi * r1, 0
	}
	a := 2 * math.Acos((d*d+r1*r1-r2*r2)/(2*d*r1))
	b := 2 * math.Acos((d*d+r2*r2-r1*r1)/(2*d*r2))
	return r1*r1*(a-math.Sin(a))/2 + r2*r2*(b-math.Sin(b))/2, r1 * a, r2 * b
}

func TestTwoDiscsShareALens(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		r1 := rapid.Float64Range(0.01, 3).Draw(t, "r1")
		r2 := rapid.Float64Range(0.01, 3).Draw(t, "r2")
		x, y := rapid.Float64Range(-4, 4).Draw(t, "x"), rapid.Float64Range(-4, 4).Draw(t, "y")
		d := math.Hypot(x, y)
		if math.Abs(d-r1-r2) < 1e-6 || math.Abs(d-math.Abs(r1-r2)) < 1e-6 || d < 1e-3 {
			t.Skip("the formula loses its digits where the circles touch or all but coincide")
		}
		s := outline.Divide([]outline.Region{
			{outline.CircleLoop(pt(10, 20), measure.Length(r1))},
			{outline.CircleLoop(pt(10+x, 20+y), measure.Length(r2))},
		}, 2, byCount(2))
		area, rim1, rim2 := lens(r1, r2, d)
		assert.InDelta(t, area, float64(s[1].Area), 1e-9)
		assert.InDelta(t, math.Pi*(r1*r1+r2*r2)-2*area, float64(s[0].Area), 1e-9)
		assert.InDelta(t, rim1+rim2, float64(s[1].Perimeter), 1e-6)
		assert.InDelta(t, 2*math.Pi*(r1+r2), float64(s[0].Perimeter), 1e-6)
	})
}

// Rectangles on a whole-metre grid, whose cells are counted one by one, moved and turned as a whole: edges lie on
// edges in every way, in the same and the opposite direction, with T-junctions and corners that touch.
func TestRectanglesOnAGridGiveTheCellsCounted(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		const size = 18
		var grid [size + 2][size + 2]int
		draw := func(high int, what string) int { return rapid.IntRange(1, high).Draw(t, what) }
		n := draw(8, "rectangles")
		angle := measure.Degrees(float64(rapid.SampledFrom([]int{0, 0, 90, 45, 30, 17, 1, 89, 270}).Draw(t, "degrees")))
		dx := measure.Length(rapid.Float64Range(-2000, 2000).Draw(t, "dx"))
		regions := make([]outline.Region, n)
		for i := range regions {
			x, y, l, w := draw(9, "x"), draw(9, "y"), draw(9, "length"), draw(9, "width")
			for u := x; u < x+l; u++ {
				for v := y; v < y+w; v++ {
					grid[u][v]++
				}
			}
			loop := outline.RectangleLoop(pt(float64(x), float64(y)), measure.Length(l), measure.Length(w), 0)
			if rapid.Bool().Draw(t, "clockwise") { // the way round does not matter to what is covered
				loop = loop.Reverse()
			}
			regions[i] = outline.Region{loop.Rotate(pt(3, 4), angle).Translate(dx, -dx)}
		}
		area, rim := make([]float64, n), make([]float64, n)
		for u := 1; u <= size; u++ {
			for v := 1; v <= size; v++ {
				k := grid[u][v]
				if k == 0 {
					continue
				}
				area[k-1]++
				for _, beside := range []int{grid[u+1][v], grid[u-1][v], grid[u][v+1], grid[u][v-1]} {
					if beside != k {
						rim[k-1]++
					}
				}
			}
		}
		for k, s := range outline.Divide(regions, n, byCount(n)) {
			assert.InDelta(t, area[k], float64(s.Area), 1e-8)
			assert.InDelta(t, rim[k], float64(s.Perimeter), 1e-6)
		}
	})
}

// shape draws a shape of lines and arcs on a grid, so that sides, tangents and centres often fall together.
func shape(t *rapid.T) outline.Region {
	whole := func(low, high int, what string) float64 { return float64(rapid.IntRange(low, high).Draw(t, what)) }
	at := func() outline.Point { return pt(whole(0, 6, "x"), whole(0, 6, "y")) }
	length := func(low, high int) measure.Length { return measure.Length(whole(low, high, "length")) }
	angle := func(low int) measure.Angle { return measure.Degrees(45 * whole(low, 8, "eighths")) }
	switch rapid.IntRange(0, 5).Draw(t, "shape") {
	case 0:
		return outline.Region{outline.RectangleLoop(at(), length(1, 5), length(1, 5), 0)}
	case 1:
		return outline.Region{outline.CircleLoop(at(), length(1, 3))}
	case 2:
		return outline.Region{outline.Sector(at(), length(0, 2), length(3, 5), angle(0), angle(1))}
	case 3:
		if o, err := outline.Polygon([]outline.Point{at(), at(), at(), at(), at()}, nil); err == nil {
			return o.Region()
		}
		return nil
	}
	o, err := outline.Rectangle(at(), length(2, 6), length(2, 6), 1)
	require.NoError(t, err)
	if rapid.Bool().Draw(t, "bed") {
		return o.Region()
	}
	var course outline.Region
	for _, e := range o.Elements() {
		course = append(course, band(e.Edge, 0.25))
	}
	return course
}

func shapes(t *rapid.T, most int) []outline.Region {
	regions := make([]outline.Region, rapid.IntRange(1, most).Draw(t, "shapes"))
	for i := range regions {
		regions[i] = shape(t)
	}
	return regions
}

func moved(regions []outline.Region, by measure.Angle, dx, dy measure.Length) []outline.Region {
	out := make([]outline.Region, len(regions))
	for i, r := range regions {
		for _, l := range r {
			out[i] = append(out[i], l.Rotate(pt(1, 2), by).Translate(dx, dy))
		}
	}
	return out
}

func TestAreasAgreeWithAScanOfUprightLines(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		regions := shapes(t, 4)
		n := len(regions)
		want := scanned(regions, n, byCount(n))
		for k, s := range outline.Divide(regions, n, byCount(n)) {
			assert.InDelta(t, float64(want[k]), float64(s.Area), 1e-6) // what the rule of 16 points is good for here
		}
	})
}

func TestTurningAndMovingKeepsEveryShare(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		regions := shapes(t, 6)
		n := len(regions)
		by := measure.Angle(rapid.Float64Range(-4, 4).Draw(t, "turn"))
		if rapid.Bool().Draw(t, "a hair") {
			by = measure.Angle(math.Pow(10, rapid.Float64Range(-14, -4).Draw(t, "exponent")))
		}
		dx, dy := measure.Length(rapid.Float64Range(-2000, 2000).Draw(t, "dx")), measure.Length(rapid.Float64Range(-2, 2).Draw(t, "dy"))
		before := outline.Divide(regions, n, byCount(n))
		after := outline.Divide(moved(regions, by, dx, dy), n, byCount(n))
		var sum, union measure.Area
		for k := range before {
			assert.InDelta(t, float64(before[k].Area), float64(after[k].Area), 1e-7)
			// Where a circle touches a line the two are one for about the square root of 8 r 1e-9 m.
			assert.InDelta(t, float64(before[k].Perimeter), float64(after[k].Perimeter), 5e-4)
			sum += before[k].Area
		}
		union = outline.Divide(regions, 1, all)[0].Area
		assert.InDelta(t, float64(union), float64(sum), 1e-9)
	})
}

// A side of a rectangle along a course whose rounded corners are tangent to it, all leaning by a hundred-thousandth: at
// the end of the course the curves come into their order only a hair after they start.
func TestSidesAlongEachOtherAreOneThoughTheyLeanAHair(t *testing.T) {
	t.Parallel()
	o, err := outline.Rectangle(pt(0, 1), 2, 4, 1)
	require.NoError(t, err)
	var course outline.Region
	for _, e := range o.Elements() {
		course = append(course, band(e.Edge, 0.25))
	}
	regions := []outline.Region{course, {outline.RectangleLoop(pt(0, 0), 1, 5, 0)}}
	upright := outline.Divide(regions, 2, byCount(2))
	for _, by := range []measure.Angle{1.0e-5, 1.1e-5, 1.2e-5, 1.3e-5, 1.4e-5, 1.5e-5, 1.6e-5, 2e-5, -1.1e-5, -1.3e-5} {
		for k, s := range outline.Divide(moved(regions, by, 0, 0), 2, byCount(2)) {
			assert.InDelta(t, float64(upright[k].Area), float64(s.Area), 1e-7, by)
			assert.InDelta(t, float64(upright[k].Perimeter), float64(s.Perimeter), 5e-4, by)
		}
	}
}

func TestCuttingGroundInTwoConservesIt(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		regions := shapes(t, 3)
		whole := outline.Divide(regions, 1, all)[0].Area
		x := measure.Length(rapid.Float64Range(-1, 8).Draw(t, "cut at"))
		half := outline.Region{outline.RectangleLoop(pt(-100, -100).Rotate(pt(0, 0), 0), 100+x, 200, 0)}
		n := len(regions)
		s := outline.Divide(append(regions, half), 2, func(c outline.Cover) int {
			for i := range n {
				if c.Has(i) {
					if c.Has(n) {
						return 0
					}
					return 1
				}
			}
			return outline.None
		})
		assert.InDelta(t, float64(whole), float64(s[0].Area+s[1].Area), 2e-8) // cuts within 1e-9 m of a side are on it
	})
}

// General position: each edge is cut at its crossings, and the pieces count whose two sides differ in class.
func TestPerimetersAgreeWithEdgesTakenOneByOne(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 4).Draw(t, "shapes")
		random := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1)) // rapid itself prefers round numbers
		var regions []outline.Region
		for range n {
			f := func(low, high float64) float64 { return low + (high-low)*random.Float64() }
			at := pt(f(0, 4), f(0, 4))
			if random.IntN(2) == 0 {
				regions = append(regions, outline.Region{outline.Sector(at, measure.Length(f(0.1, 1)), measure.Length(f(1.2, 3)), measure.Angle(f(0, 6)), measure.Angle(f(0.5, 6)))})
			} else {
				regions = append(regions, outline.Region{outline.RectangleLoop(at, measure.Length(f(1, 4)), measure.Length(f(1, 4)), measure.Angle(f(0, 6)))})
			}
		}
		rim := oneByOne(regions, n, byCount(n))
		if rim == nil {
			t.Skip("edges nearly touch")
		}
		for k, s := range outline.Divide(regions, n, byCount(n)) {
			assert.InDelta(t, rim[k], float64(s.Perimeter), 1e-6)
		}
	})
}

func TestFlushShapesLeaveNoSlivers(t *testing.T) {
	t.Parallel()
	for _, turn := range []float64{0, 30, 90, 123.4, 179.9999} {
		o, err := outline.Rectangle(pt(0, 0), 6, 2, 0.6)
		require.NoError(t, err)
		regions := []outline.Region{o.Region()}
		var course outline.Region
		for _, e := range o.Elements() {
			course = append(course, band(e.Edge, 0.1))
		}
		regions = append(regions, course, outline.Region{outline.RectangleLoop(pt(1, 0.1), 1, 1, 0)}, outline.Region{outline.RectangleLoop(pt(2, 0.1), 1, 1, 0)})
		regions = moved(regions, measure.Degrees(turn), 1234.5678, -987.654)
		s := outline.Divide(regions, 3, func(c outline.Cover) int {
			switch {
			case !c.Has(0):
				return outline.None
			case c.Has(1):
				return 0
			case c.Has(2) || c.Has(3):
				return 1
			}
			return 2
		})
		inner := 5.8*1.8 - (4-math.Pi)*0.25
		assert.InDelta(t, 12-(4-math.Pi)*0.36-inner, float64(s[0].Area), 1e-8, "course %v", turn)
		assert.InDelta(t, 2, float64(s[1].Area), 1e-8, "slabs")
		assert.InDelta(t, inner-2, float64(s[2].Area), 1e-8, "stone")
		assert.InDelta(t, 16-8*0.6+2*math.Pi*0.6+(15.2-8*0.5+2*math.Pi*0.5), float64(s[0].Perimeter), 1e-6, "course")
		assert.InDelta(t, 6, float64(s[1].Perimeter), 1e-6, "slabs")
		assert.InDelta(t, 15.2-8*0.5+2*math.Pi*0.5+2, float64(s[2].Perimeter), 1e-6, "stone")
	}
}

func TestSliversAndScales(t *testing.T) {
	t.Parallel()
	for _, size := range []float64{0.1, 1, 2000} {
		// A strip of 0.1 mm along a side of the whole bed is ground, one of 5e-11 m is not.
		for width, strip := range map[float64]float64{1e-4: 1e-4 * size, 5e-11: 0} {
			a := outline.Region{outline.RectangleLoop(pt(0, 0), measure.Length(size), measure.Length(size), 0)}
			b := outline.Region{outline.RectangleLoop(pt(0, width), measure.Length(size), measure.Length(size), 0)}
			for _, turn := range []float64{0, 33, 90} {
				s := outline.Divide(moved([]outline.Region{a, b}, measure.Degrees(turn), 0, 0), 1, func(c outline.Cover) int {
					if c.Has(0) && !c.Has(1) {
						return 0
					}
					return outline.None
				})[0]
				assert.InDelta(t, strip, float64(s.Area), 2e-9*size, "%v %v %v", size, width, turn)
				if strip == 0 {
					assert.InDelta(t, 0, float64(s.Perimeter), 1e-6, "%v %v", size, turn)
				} else {
					assert.InDelta(t, 2*(size+width), float64(s.Perimeter), 1e-6)
				}
			}
		}
	}
}

func TestDivideTakesAnything(t *testing.T) {
	t.Parallel()
	nan := math.NaN()
	inf := math.Inf(1)
	square := outline.RectangleLoop(pt(0, 0), 1, 1, 0)
	for name, regions := range map[string][]outline.Region{
		"nothing":            nil,
		"empty regions":      {nil, {}, {nil}, {{}}},
		"not a number":       {{square}, {outline.RectangleLoop(pt(nan, 0), 1, 1, 0)}},
		"infinite":           {{square}, {outline.RectangleLoop(pt(inf, 0), 1, 1, 0)}, {outline.CircleLoop(pt(0, 0), measure.Length(inf))}},
		"no size":            {{square}, {outline.RectangleLoop(pt(0.5, 0.5), 0, 0, 0)}, {outline.CircleLoop(pt(0.5, 0.5), 0)}},
		"a line":             {{square}, {{outline.Line(pt(0, 0), pt(1, 1)), outline.Line(pt(1, 1), pt(0, 0))}}},
		"an open loop":       {{square}, {{outline.Line(pt(0, 0), pt(1, 0)), outline.Line(pt(1, 0), pt(1, 1))}}},
		"the same one twice": {{square}, {square, square}},
	} {
		s := outline.Divide(regions, 1, all)
		require.Len(t, s, 1, name)
		if len(regions) > 0 && len(regions[0]) > 0 {
			assert.InDelta(t, 1, float64(s[0].Area), 1e-12, name)
			assert.InDelta(t, 4, float64(s[0].Perimeter), 1e-12, name)
		} else {
			assert.Zero(t, s[0], name)
		}
	}
	open := outline.Divide([]outline.Region{{{outline.Line(pt(0, 0), pt(1, 0)), outline.Line(pt(1, 0), pt(1, 1))}}}, 1, all)[0]
	assert.InDelta(t, 0.5, float64(open.Area), 1e-12, "an open loop is closed straight")
}

func TestHundredsOfRegions(t *testing.T) {
	t.Parallel()
	// A checkerboard of 400 squares: more regions than one word of a set holds.
	var regions []outline.Region
	for i := range 20 {
		for j := range 20 {
			regions = append(regions, outline.Region{outline.RectangleLoop(pt(float64(i), float64(j)), 1, 1, 0)})
		}
	}
	for _, turn := range []float64{0, 45, 61} {
		s := outline.Divide(moved(regions, measure.Degrees(turn), 5, 5), 2, func(c outline.Cover) int {
			for i := range regions {
				if c.Has(i) {
					return (i/20 + i) % 2
				}
			}
			return outline.None
		})
		for _, half := range s {
			assert.InDelta(t, 200, float64(half.Area), 1e-9)
			assert.InDelta(t, 800, float64(half.Perimeter), 1e-6)
		}
	}
}

func TestCombWithACourseOnEverySide(t *testing.T) {
	t.Parallel()
	for _, turn := range []float64{0, 33, 90} {
		o, err := outline.Polygon(comb(0.5, 3, measure.Degrees(turn)), nil)
		require.NoError(t, err)
		regions := []outline.Region{o.Region()}
		for _, e := range o.Elements() {
			regions = append(regions, outline.Region{band(e.Edge, 0.1)})
		}
		require.Greater(t, len(regions), 4990)
		s := outline.Divide(regions, 2, func(c outline.Cover) int {
			if !c.Has(0) {
				return outline.None
			}
			for i, word := range c {
				if i == 0 {
					word &^= 1
				}
				if word != 0 {
					return 0
				}
			}
			return 1
		})
		// What is left inside: each tooth, and the back of 1 m by 1249 m, less 0.1 m along the bed line.
		teeth, back := 1249*0.3*2.9, (1249-0.2)*0.8
		neck := 1249*0.3*0.1 + 0*0.1 // where a tooth opens into the back no side runs along
		assert.InDelta(t, teeth+back+neck, float64(s[1].Area), 1249*0.3*0.1, "%v", turn)
		assert.InEpsilon(t, float64(o.Area()), float64(s[0].Area+s[1].Area), 1e-9)
	}
}
