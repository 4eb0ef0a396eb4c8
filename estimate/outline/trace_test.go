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

// sums are the area that edges go round, in any order, and their length: the cross products of their ends and the
// segment r^2 (t - sin t) / 2 of each arc.
func sums(edges []outline.Edge) (area, length float64) {
	if len(edges) == 0 {
		return 0, 0
	}
	o := edges[0].From
	for _, e := range edges {
		ax, ay, bx, by := float64(e.From.X-o.X), float64(e.From.Y-o.Y), float64(e.To.X-o.X), float64(e.To.Y-o.Y)
		area += (ax*by - ay*bx) / 2
		t, r := float64(e.Turn), float64(e.Radius)
		area += r * r * (t - math.Sin(t)) / 2
		if t == 0 {
			length += math.Hypot(bx-ax, by-ay)
		} else {
			length += r * math.Abs(t)
		}
	}
	return area, length
}

// tolerance is what moving the boundary by a nanometre may come to.
func tolerance(s outline.Share) float64 { return 1e-9 + 4e-9*float64(s.Perimeter) }

func traced(t require.TestingT, regions []outline.Region, classes int, class func(outline.Cover) int) []outline.Tract {
	tracts := outline.Trace(regions, classes, class)
	for k, s := range outline.Divide(regions, classes, class) {
		require.Equal(t, s, tracts[k].Share)
		area, length := sums(tracts[k].Edges)
		require.InDelta(t, float64(s.Area), area, tolerance(s), "area of class %d", k)
		require.InDelta(t, float64(s.Perimeter), length, 5e-5, "perimeter of class %d", k)
		closed(t, tracts[k].Edges)
	}
	return tracts
}

// closed holds edges to start as often as they end in every place, to the last bit.
func closed(t require.TestingT, edges []outline.Edge) {
	open := map[outline.Point]int{}
	for _, e := range edges {
		open[e.From]++
		open[e.To]--
	}
	for at, n := range open {
		require.Zero(t, n, "at %v", at)
	}
}

func TestTracedEdgesGoRoundTheirGround(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		regions := shapes(t, 5)
		by := measure.Degrees(float64(rapid.SampledFrom([]int{0, 0, 90, 45, 17}).Draw(t, "degrees")))
		if rapid.Bool().Draw(t, "a hair") { // edges all but upright turn the frame of the sweep
			by = measure.Angle(math.Pow(10, rapid.Float64Range(-9, -5).Draw(t, "exponent")))
		}
		dx := measure.Length(rapid.Float64Range(-2000, 2000).Draw(t, "dx"))
		traced(t, moved(regions, by, dx, -dx), len(regions), byCount(len(regions)))
	})
}

// winding is how often edges go round a point: those that an upright ray meets below it.
func winding(edges []outline.Edge, x, y float64) (n int) {
	for _, e := range edges {
		for _, h := range meets(e, x, 0) {
			if h.y < y {
				n += h.gain
			}
		}
	}
	return n
}

// A raster of points: each lies in the class that its cover says, and the edges of that class alone go round it, once.
func TestTracedEdgesHoldThePointsOfTheirClassAndNoOthers(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(5, 9))
	f := func(low, high float64) float64 { return low + (high-low)*random.Float64() }
	for range 150 {
		var regions []outline.Region
		for range 1 + random.IntN(6) {
			at := pt(f(0, 5), f(0, 5))
			switch random.IntN(3) {
			case 0:
				regions = append(regions, outline.Region{outline.CircleLoop(at, measure.Length(f(0.3, 3)))})
			case 1:
				regions = append(regions, outline.Region{outline.Sector(at, measure.Length(f(0.2, 1)), measure.Length(f(1.2, 3)), measure.Angle(f(0, 6)), measure.Angle(f(0.5, 6)))})
			default:
				regions = append(regions, outline.Region{outline.RectangleLoop(at, measure.Length(f(0.5, 4)), measure.Length(f(0.5, 4)), measure.Angle(random.IntN(2))*measure.Angle(f(0, 6)))})
			}
		}
		n := len(regions)
		class := byCount(n)
		tracts := traced(t, regions, n, class)
		for range 60 {
			x, y := f(-3, 9), f(-3, 9)
			cover := make(outline.Cover, 1)
			for i, r := range regions {
				wind := 0
				for _, h := range hits([]outline.Region{r}, x) {
					if h.y < y {
						wind += h.gain
					}
				}
				if wind != 0 {
					cover[0] |= 1 << i
				}
			}
			for k := range tracts {
				want := 0
				if class(cover) == k {
					want = 1
				}
				require.Equal(t, want, winding(tracts[k].Edges, x, y), "class %d at %v, %v", k, x, y)
			}
		}
	}
}

func TestTracedHolesRunClockwise(t *testing.T) {
	t.Parallel()
	// A ring is left of a round bed about a square pad: the circle counter-clockwise, the square clockwise.
	tracts := traced(t, []outline.Region{{outline.CircleLoop(pt(3, 4), 2)}, {outline.RectangleLoop(pt(2, 3), 2, 2, 0)}}, 2, byCount(2))
	var round, straight []outline.Edge
	for _, e := range tracts[0].Edges {
		if e.Straight() {
			straight = append(straight, e)
		} else {
			require.InDelta(t, 2, float64(e.Radius), 0)
			require.Equal(t, pt(3, 4), e.Centre)
			round = append(round, e)
		}
	}
	area, length := sums(round)
	assert.InDelta(t, 4*math.Pi, area, 1e-12)
	assert.InDelta(t, 4*math.Pi, length, 1e-12)
	area, length = sums(straight)
	assert.InDelta(t, -4, area, 1e-12)
	assert.InDelta(t, 8, length, 1e-12)
}

func TestTraceTakesAnything(t *testing.T) {
	t.Parallel()
	for name, regions := range map[string][]outline.Region{
		"nothing":      nil,
		"empty":        {nil, {}, {nil}, {{}}},
		"not a number": {{outline.RectangleLoop(pt(math.NaN(), 0), 1, 1, 0)}},
		"no size":      {{outline.CircleLoop(pt(0.5, 0.5), 0)}, {outline.RectangleLoop(pt(0, 0), 0, 1, 0)}},
	} {
		tracts := outline.Trace(regions, 1, all)
		require.Len(t, tracts, 1, name)
		assert.Zero(t, tracts[0].Share, name)
		assert.Empty(t, tracts[0].Edges, name)
	}
}

func TestTraceOfACombWithACourse(t *testing.T) {
	t.Parallel()
	for _, turn := range []float64{0, 33, 90} {
		o, err := outline.Polygon(comb(0.5, 3, measure.Degrees(turn)), nil)
		require.NoError(t, err)
		regions := []outline.Region{o.Region()}
		for i, e := range o.Elements() {
			if i%8 == 0 {
				regions = append(regions, outline.Region{band(e.Edge, 0.1)})
			}
		}
		n := len(regions)
		tracts := traced(t, regions, 2, func(c outline.Cover) int {
			if !c.Has(0) {
				return outline.None
			}
			for i := 1; i < n; i++ {
				if c.Has(i) {
					return 0
				}
			}
			return 1
		})
		assert.InEpsilon(t, float64(o.Area()), float64(tracts[0].Area+tracts[1].Area), 1e-9)
	}
}
