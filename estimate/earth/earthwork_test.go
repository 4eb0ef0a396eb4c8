package earth_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate/earth"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// polygon is the loop through places, given as x and y in turn.
func polygon(xy ...float64) outline.Loop {
	var loop outline.Loop
	for i := 0; i < len(xy); i += 2 {
		j := (i + 2) % len(xy)
		loop = append(loop, outline.Line(at(xy[i], xy[i+1]), at(xy[j], xy[j+1])))
	}
	return loop
}

// slope is ground on one plane: level at the origin, with gains along x and y.
func slope(t require.TestingT, level, gx, gy float64) *earth.Surface {
	at := func(x, y float64) earth.Spot { return spot(x, y, level+gx*x+gy*y) }
	return surface(t, at(-50, -50), at(60, -40), at(55, 70), at(-45, 50), at(3, 2), at(-7, 11))
}

func TestVolumesOfBodiesInClosedForm(t *testing.T) {
	t.Parallel()
	level := func(z float64) *earth.Surface { return surface(t, spot(0, 0, z)) }
	tests := []struct {
		name      string
		ground    *earth.Surface
		region    outline.Region
		formation earth.Formation
		cut, fill float64
	}{
		{"a box", level(0), outline.Region{outline.RectangleLoop(at(1, 1), 4, 3, 0)}, earth.Formation{Depth: 0.15}, 4 * 3 * 0.15, 0},
		{"a bed that is raised", level(-0.1), outline.Region{outline.RectangleLoop(at(1, 1), 4, 3, 0)}, earth.Formation{}, 0, 1.2},
		{"nothing to do", level(-0.1), outline.Region{outline.RectangleLoop(at(1, 1), 4, 3, 0)}, earth.Formation{Depth: 0.1}, 0, 0},
		// Half of a box of the depth that the fall comes to.
		{"a wedge", level(0), outline.Region{outline.RectangleLoop(at(0, 0), 6, 4, 0)},
			earth.Formation{From: at(0, 0), To: at(6, 0), Fall: 0.02}, 6 * 4 * 0.08 / 2, 0},
		// The fall crosses level ground 2.5 m from the line: two triangles, 0.05 and 0.03 high.
		{"cut and fill of a fall through level ground", level(-0.05), outline.Region{outline.RectangleLoop(at(0, 0), 6, 4, 0)},
			earth.Formation{From: at(0, 0), To: at(6, 0), Fall: 0.02}, 6 * 1.5 * 0.03 / 2, 6 * 2.5 * 0.05 / 2},
		// Width 6 by the section of a triangle with a hole of 1 by 1 at y 1 to 2.
		{"a wedge with a hole", level(0), outline.Region{outline.RectangleLoop(at(0, 0), 6, 4, 0), outline.RectangleLoop(at(2, 1), 1, 1, 0).Reverse()},
			earth.Formation{From: at(0, 0), To: at(6, 0), Fall: 0.02}, 6*4*0.08/2 - 0.02*1.5, 0},
		// A third of base by height.
		{"a pyramid on a square", surface(t, spot(0, 0, 0), spot(3, 0, 0), spot(3, 3, 0), spot(0, 3, 0), spot(1.5, 1.5, 0.8)),
			outline.Region{outline.RectangleLoop(at(0, 0), 3, 3, 0)}, earth.Formation{}, 9 * 0.8 / 3, 0},
		{"a hollow on a triangle", surface(t, spot(0, 0, 0), spot(4, 0, 0), spot(0, 3, 0), spot(1, 1, -0.6)),
			outline.Region{polygon(0, 0, 4, 0, 0, 3)}, earth.Formation{}, 0, 6 * 0.6 / 3},
		// The top of the pyramid over half its height is an eighth of it.
		{"the tip of a pyramid and the ground about it", surface(t, spot(0, 0, 0), spot(3, 0, 0), spot(3, 3, 0), spot(0, 3, 0), spot(1.5, 1.5, 0.8)),
			outline.Region{outline.RectangleLoop(at(0, 0), 3, 3, 0)}, earth.Formation{Depth: -0.4}, 2.4 / 8, 9*0.4 - (2.4 - 2.4/8)},
		{"a pyramid on ground beyond its foot", surface(t, spot(0, 0, 0), spot(3, 0, 0), spot(3, 3, 0), spot(0, 3, 0), spot(1.5, 1.5, 0.8)),
			outline.Region{polygon(-1, -2, 5, -2, 5, 9, -1, 9)}, earth.Formation{}, 2.4, 0},
		// A cylinder cut off aslant holds its middle height by its base.
		{"a round bed in a slope", slope(t, 1, 0.05, -0.03), outline.Region{outline.CircleLoop(at(2, 3), 4)},
			earth.Formation{Depth: 0.2}, math.Pi * 16 * (1 + 0.05*2 - 0.03*3 + 0.2), 0},
		// Cylindrical wedge (hoof) over half a disc: 2/3 g r^3, a closed form that Archimedes gave.
		{"a round bed half in cut and half in fill", slope(t, 0, 0.1, 0), outline.Region{outline.CircleLoop(at(0, 0), 3)},
			earth.Formation{}, 2. / 3 * 0.1 * 27, 2. / 3 * 0.1 * 27},
		{"the same turned, with a fall", level(0), outline.Region{outline.CircleLoop(at(7, -2), 3)},
			earth.Formation{From: at(7, -2), To: at(11, 1), Fall: 0.1}, 2. / 3 * 0.1 * 27, 2. / 3 * 0.1 * 27},
		{"half a ring in a slope along it", slope(t, 0, 0, 0.1), outline.Region{outline.Sector(at(0, 0), 3, 2, 0, measure.Pi)},
			earth.Formation{}, 2. / 3 * 0.1 * (27 - 8), 0},
		{"a whole ring", slope(t, 0, 0.08, 0.06), outline.Region{outline.Sector(at(0, 0), 3, 2, 0.4, 2*measure.Pi)},
			earth.Formation{}, 2. / 3 * 0.1 * (27 - 8), 2. / 3 * 0.1 * (27 - 8)},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			got := test.ground.Earthwork(test.region, test.formation)
			assert.InDelta(t, test.cut, float64(got.Cut), 1e-12)
			assert.InDelta(t, test.fill, float64(got.Fill), 1e-12)
			var area measure.Area
			for _, l := range test.region {
				area += l.Area()
			}
			assert.InDelta(t, float64(area), float64(got.Area), 1e-11)
			if test.cut == 0 {
				assert.InDelta(t, 0, float64(got.CutArea), 1e-14)
			}
			if test.fill == 0 {
				assert.InDelta(t, 0, float64(got.FillArea), 1e-14)
			}
		})
	}
}

// A plane that cuts a disc of radius r at distance c from its centre leaves a segment of r^2 acos(c/r) - c sqrt(r^2-c^2),
// and the moment of that about the centre is 2/3 (r^2 - c^2)^(3/2).
func TestSegmentsOfADiscInClosedForm(t *testing.T) {
	t.Parallel()
	for _, r := range []float64{0.3, 2, 40} {
		for i := -9; i <= 9; i++ {
			c, gain := float64(i)/10*r, 0.07
			h := math.Sqrt(r*r - c*c)
			area := func(c float64) float64 { return r*r*math.Acos(c/r) - c*h }
			volume := func(c float64) float64 { return gain * (2./3*h*h*h - c*area(c)) }
			for _, turn := range []float64{0, 0.3, 1.9, 3.1, 4.4} {
				sin, cos := math.Sin(turn), math.Cos(turn)
				ground := slope(t, -gain*(c+5*cos-2*sin), gain*cos, gain*sin)
				got := ground.Earthwork(outline.Region{outline.CircleLoop(at(5, -2), measure.Length(r))}, earth.Formation{})
				assert.InDelta(t, volume(c), float64(got.Cut), 1e-12*(1+r*r*r))
				assert.InDelta(t, volume(-c), float64(got.Fill), 1e-12*(1+r*r*r))
				assert.InDelta(t, area(c), float64(got.CutArea), 1e-11*(1+r*r))
				assert.InDelta(t, area(-c), float64(got.FillArea), 1e-11*(1+r*r))
			}
		}
	}
}

// A bed line with arcs of both turns on ground of many spots, against the level of the same ground asked at the middles
// of 600 by 600 small cells: midpoint rule in columns that end on the bed line, its arcs as 1500 chords each.
func TestVolumesAgainstSubdivision(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(7, 11))
	var spots []earth.Spot
	for range 14 {
		spots = append(spots, spot(1+r.Float64()*6, 0.5+r.Float64()*4, r.Float64()*0.8-0.6))
	}
	bed, err := outline.Path(at(0, 0), []outline.Segment{
		{To: at(8, 0)},
		{Kind: outline.RiseSegment, To: at(8, 5), Rise: 1.5},
		{Kind: outline.RiseSegment, To: at(0, 5), Rise: 1, Turn: outline.Right},
		{Kind: outline.RadiusSegment, To: at(0, 0), Radius: 3.5, Turn: outline.Left},
	})
	require.NoError(t, err)
	covered, rests := surface(t, spots...).Cover(bed)
	require.Len(t, covered.Joined(), 4)
	require.Greater(t, float64(rests), 0.1)
	f := earth.Formation{From: at(0, 0), To: at(8, 0), Fall: 0.03, Depth: 0.05}

	var line []outline.Point
	for _, e := range bed.Elements() {
		n := 1500
		if e.Straight() {
			n = 1
		}
		for i := range n {
			line = append(line, e.Point(measure.Factor(float64(i)/float64(n))))
		}
	}
	low, high := bed.Bounds()
	const columns, rows = 600, 600
	w := float64(high.X-low.X) / columns
	var cut, fill, area float64
	for i := range columns {
		x := float64(low.X) + (float64(i)+0.5)*w
		var ys []float64
		for j, p := range line {
			q := line[(j+1)%len(line)]
			px, py, qx, qy := float64(p.X), float64(p.Y), float64(q.X), float64(q.Y)
			if (px <= x) != (qx <= x) {
				ys = append(ys, py+(qy-py)*(x-px)/(qx-px))
			}
		}
		slices.Sort(ys)
		for j := 1; j < len(ys); j += 2 {
			h := (ys[j] - ys[j-1]) / rows
			area += w * (ys[j] - ys[j-1])
			for k := range rows {
				p := at(x, ys[j-1]+(float64(k)+0.5)*h)
				d := float64(covered.Level(p) - f.Level(p))
				cut += max(0, d) * h * w
				fill += max(0, -d) * h * w
			}
		}
	}
	got := covered.Earthwork(bed.Region(), f)
	assert.InDelta(t, area, float64(got.Area), 2e-3)
	assert.InDelta(t, cut, float64(got.Cut), 3e-4)
	assert.InDelta(t, fill, float64(got.Fill), 3e-4)
	assert.Greater(t, fill, 0.5)
	assert.Greater(t, cut, 0.5)
	assert.InDelta(t, float64(bed.Area()), float64(got.Area), 1e-12)
}

// An L with upright sides that pass right through triangles, and a comb: ground left and right of a side differs.
func TestRegionsThatAreNotConvex(t *testing.T) {
	t.Parallel()
	ground := slope(t, 1, 0.02, 0.01)
	l := outline.Region{polygon(0, 0, 10, 0, 10, 2, 3, 2, 3, 9, 0, 9)}
	got := ground.Earthwork(l, earth.Formation{})
	// Two rectangles, each its area by the level of its middle.
	assert.InDelta(t, 10*2*(1+0.02*5+0.01*1)+3*7*(1+0.02*1.5+0.01*5.5), float64(got.Cut), 1e-12)
	var comb []float64
	want := 0.0
	for i := range 20 {
		x := float64(i)
		comb = append(comb, x, 3, x, 8, x+0.5, 8, x+0.5, 3)
		want += 2.5 * (1 + 0.02*(x+0.25) + 0.01*5.5)
	}
	comb = append(comb, 19.5, 0, 0, 0)
	want += 19.5 * 3 * (1 + 0.02*9.75 + 0.01*1.5)
	got = ground.Earthwork(outline.Region{polygon(comb...).Reverse()}, earth.Formation{})
	assert.InDelta(t, want, float64(got.Cut), 1e-11)
}

func TestEdgesMayComeInAnyOrder(t *testing.T) {
	t.Parallel()
	bed, err := outline.Rectangle(at(-2, 1), 7, 4, 1)
	require.NoError(t, err)
	ground, f := slope(t, 0.1, 0.05, -0.04), earth.Formation{From: at(0, 0), To: at(1, 0.2), Fall: 0.02}
	want := ground.Earthwork(bed.Region(), f)
	require.Greater(t, float64(want.Fill), 0.01)
	loose := slices.Clone(bed.Loop())
	slices.Reverse(loose)
	loose[1], loose[4] = loose[4], loose[1]
	same(t, want, ground.Earthwork(outline.Region{loose[:3], loose[3:]}, f), 1e-13)
}

// Between a chord c and a flat arc of radius r lies r^2 (t - sin t) / 2 with sin(t/2) = c / 2r: c^3 / 12r and, to the
// next term of the series, c^5 / 160 r^3 more.
func TestFlatArcsLoseNoDigits(t *testing.T) {
	t.Parallel()
	const c = 10.0
	for _, r := range []float64{1e3, 1e5} {
		h := math.Sqrt(r*r - c*c/4)
		turn := measure.Angle(2 * math.Asin(c/2/r))
		arc := outline.Edge{From: at(c/2, 0), To: at(-c/2, 0), Centre: at(0, -h), Radius: measure.Length(r), Turn: turn}
		got := surface(t, spot(0, 0, 1)).Earthwork(outline.Region{{arc, outline.Line(arc.To, arc.From)}}, earth.Formation{})
		assert.InEpsilon(t, c*c*c/12/r+math.Pow(c, 5)/160/(r*r*r), float64(got.Cut), 1e-9)
	}
}

func TestNoRegionIsNoWork(t *testing.T) {
	t.Parallel()
	s := slope(t, 1, 0.02, 0.01)
	assert.Zero(t, s.Earthwork(nil, earth.Formation{}))
	assert.Zero(t, s.Earthwork(outline.Region{{}}, earth.Formation{}))
	assert.Zero(t, s.Earthwork(outline.Region{polygon(1, 1, 4, 1)}, earth.Formation{}))
	assert.Zero(t, s.Earthwork(outline.Region{polygon(1, 1, 4, 1, math.NaN(), 3)}, earth.Formation{}))
	assert.Zero(t, s.Earthwork(outline.Region{polygon(1, 1, 4, 1, 2, math.Inf(1))}, earth.Formation{}))
}

func TestFormationFallsAwayFromTheLine(t *testing.T) {
	t.Parallel()
	f := earth.Formation{From: at(2, 1), To: at(2, 9), Fall: 0.02, Depth: 0.1} // runs up: the bed lies to smaller x
	assert.InDelta(t, -0.06, float64(f.Finished(at(-1, 4))), 1e-15)
	assert.InDelta(t, -0.16, float64(f.Level(at(-1, 40))), 1e-15)
	assert.InDelta(t, 0, float64(f.Finished(at(2, -3))), 1e-15)
	assert.InDelta(t, -0.1, float64(earth.Formation{Depth: 0.1}.Level(at(7, 7))), 1e-15)
}

func TestHardSpotsGiveSoundWork(t *testing.T) {
	t.Parallel()
	for name, spots := range hardSets() {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := surface(t, spots...)
			low, high := spots[0].At, spots[0].At
			for _, p := range spots {
				low = outline.Point{X: min(low.X, p.At.X), Y: min(low.Y, p.At.Y)}
				high = outline.Point{X: max(high.X, p.At.X), Y: max(high.Y, p.At.Y)}
			}
			// Beds that reach out of the spots, that end on them and that lie within.
			for _, over := range []measure.Length{3, 0, -0.3048} {
				length, width := high.X-low.X+2*over, max(high.Y-low.Y, 1)+2*over
				bed, err := outline.Rectangle(outline.Point{X: low.X - over, Y: low.Y - over}, length, width, measure.Length(0.2*min(float64(length), float64(width))))
				require.NoError(t, err)
				covered, rests := s.Cover(bed)
				w := covered.Earthwork(bed.Region(), earth.Formation{From: low, To: outline.Point{X: high.X, Y: low.Y}, Fall: 0.01, Depth: 0.02})
				bound := 0.25*float64(bed.Area()) + 0.01*float64(width)*float64(bed.Area()) + 0.05*float64(bed.Area())
				for _, v := range []float64{float64(w.Cut), float64(w.Fill), float64(w.CutArea), float64(w.FillArea), float64(w.Resting), float64(rests)} {
					assert.True(t, v >= 0 && v <= bound*10, "%v", v) // NaN is neither
				}
				tolerance := 1e-8 * float64(bed.Area()) // far out, a coordinate is good to 1e-10 m
				assert.InDelta(t, float64(bed.Area()), float64(w.Area), tolerance)
				deep := covered.Earthwork(bed.Region(), earth.Formation{Depth: 1})
				level := covered.Earthwork(bed.Region(), earth.Formation{})
				assert.InDelta(t, float64(bed.Area()), float64(deep.Cut)-float64(level.Cut-level.Fill), tolerance)
			}
		})
	}
}
