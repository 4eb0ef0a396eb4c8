package earth_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate/earth"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// dig is a dig drawn at random: spots in general position, a bed line with arcs, a formation.
type dig struct {
	spots     []earth.Spot
	region    outline.Region
	formation earth.Formation
}

func drawDig(t *rapid.T) dig {
	number := func(low, high float64, what string) float64 {
		// Odd steps: no four spots on one circle but by chance, which would leave a choice of diagonals to rounding.
		return low + (high-low)*float64(rapid.IntRange(0, 99991).Draw(t, what))/99991
	}
	var d dig
	for range rapid.IntRange(1, 12).Draw(t, "spots") {
		s := spot(number(-6, 6, "x"), number(-6, 6, "y"), number(-0.5, 0.5, "level"))
		if !slices.ContainsFunc(d.spots, func(o earth.Spot) bool {
			return math.Abs(float64(o.At.X-s.At.X)) < 0.01 || math.Abs(float64(o.At.Y-s.At.Y)) < 0.01
		}) {
			d.spots = append(d.spots, s)
		}
	}
	x, y := number(-3, 3, "region x"), number(-3, 3, "region y")
	switch rapid.IntRange(0, 3).Draw(t, "kind") {
	case 0:
		d.region = outline.Region{outline.CircleLoop(at(x, y), measure.Length(number(0.5, 5, "radius")))}
	case 1:
		d.region = outline.Region{outline.Sector(at(x, y), measure.Length(number(0, 2, "inner")), measure.Length(number(2.5, 6, "outer")),
			measure.Angle(number(-3, 3, "from")), measure.Angle(number(0.3, 6, "turn")))}
	case 2:
		length, width := number(2, 8, "length"), number(2, 8, "width")
		bed, err := outline.Rectangle(at(x, y), measure.Length(length), measure.Length(width), measure.Length(number(0.1, 0.9, "corner")))
		require.NoError(t, err)
		d.region = bed.Region()
	case 3:
		d.region = outline.Region{outline.RectangleLoop(at(x, y), measure.Length(number(2, 8, "length")), measure.Length(number(2, 8, "width")),
			measure.Angle(number(-3, 3, "turn")))}
	}
	d.formation = earth.Formation{
		From: at(x, y), To: at(x+number(0.5, 1, "dx"), y+number(-1, 1, "dy")),
		Fall: measure.Factor(number(-0.1, 0.1, "fall")), Depth: measure.Length(number(-0.3, 0.3, "depth")),
	}
	return d
}

func (d dig) work(t require.TestingT) earth.Earthwork {
	return surface(t, d.spots...).Earthwork(d.region, d.formation)
}

// changed is the dig with every place, loop and level changed.
func (d dig) changed(place func(outline.Point) outline.Point, loop func(outline.Loop) outline.Loop, length func(measure.Length) measure.Length) dig {
	out := dig{formation: d.formation}
	for _, s := range d.spots {
		out.spots = append(out.spots, earth.Spot{At: place(s.At), Level: length(s.Level)})
	}
	for _, l := range d.region {
		out.region = append(out.region, loop(l))
	}
	out.formation.From, out.formation.To = place(d.formation.From), place(d.formation.To)
	out.formation.Depth = length(d.formation.Depth)
	return out
}

func same(t require.TestingT, want, got earth.Earthwork, tolerance float64) {
	assert.InDelta(t, float64(want.Area), float64(got.Area), tolerance, "area")
	assert.InDelta(t, float64(want.Cut), float64(got.Cut), tolerance, "cut")
	assert.InDelta(t, float64(want.Fill), float64(got.Fill), tolerance, "fill")
}

func unchanged(l measure.Length) measure.Length { return l }

func TestPropertyPlanAreaIsThatOfTheRegion(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		d := drawDig(t)
		w := d.work(t)
		area := 0.0
		for _, l := range d.region {
			area += float64(l.Area())
		}
		assert.InDelta(t, area, float64(w.Area), 1e-10)
		assert.InDelta(t, area, float64(w.CutArea+w.FillArea), 1e-10)
		assert.LessOrEqual(t, float64(w.Resting), area+1e-10)
	})
}

func TestPropertyMovingAndTurningChangesNothing(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		d := drawDig(t)
		w := d.work(t)
		dx, dy := measure.Length(rapid.Float64Range(-1000, 1000).Draw(t, "dx")), measure.Length(rapid.Float64Range(-1000, 1000).Draw(t, "dy"))
		moved := d.changed(
			func(p outline.Point) outline.Point { return outline.Point{X: p.X + dx, Y: p.Y + dy} },
			func(l outline.Loop) outline.Loop { return l.Translate(dx, dy) }, unchanged)
		same(t, w, moved.work(t), 1e-8)
		turn := measure.Angle(rapid.Float64Range(-7, 7).Draw(t, "turn"))
		turned := d.changed(
			func(p outline.Point) outline.Point { return p.Rotate(at(1, 2), turn) },
			func(l outline.Loop) outline.Loop { return l.Rotate(at(1, 2), turn) }, unchanged)
		same(t, w, turned.work(t), 1e-8)
	})
}

func TestPropertyScalingByTwoGivesEightTimes(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		d := drawDig(t)
		w := d.work(t)
		twice := func(l measure.Length) measure.Length { return 2 * l }
		place := func(p outline.Point) outline.Point { return outline.Point{X: 2 * p.X, Y: 2 * p.Y} }
		scaled := d.changed(place, func(l outline.Loop) outline.Loop {
			out := make(outline.Loop, len(l))
			for i, e := range l {
				out[i] = outline.Edge{From: place(e.From), To: place(e.To), Centre: place(e.Centre), Radius: 2 * e.Radius, Turn: e.Turn}
			}
			return out
		}, twice).work(t)
		assert.InEpsilon(t, 1+8*float64(w.Cut), 1+float64(scaled.Cut), 1e-11)
		assert.InEpsilon(t, 1+8*float64(w.Fill), 1+float64(scaled.Fill), 1e-11)
		assert.InEpsilon(t, 4*float64(w.Area), float64(scaled.Area), 1e-12)
	})
}

func TestPropertyRaisingGroundAndFormationAlikeChangesNothing(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		d := drawDig(t)
		w := d.work(t)
		rise := measure.Length(rapid.Float64Range(-10, 10).Draw(t, "rise"))
		raised := d
		raised.spots = nil
		for _, s := range d.spots {
			raised.spots = append(raised.spots, earth.Spot{At: s.At, Level: s.Level + rise})
		}
		alike := raised
		alike.formation.Depth -= rise
		same(t, w, alike.work(t), 1e-10)
		// Raising the ground alone adds the rise over the whole area, to the cut or off the fill.
		more := raised.work(t)
		assert.InDelta(t, float64(w.Cut-w.Fill)+float64(rise)*float64(w.Area), float64(more.Cut-more.Fill), 1e-9)
	})
}

// With a formation below all ground the cut is the integral of the difference, and so is cut less fill of any other
// formation but for the volume of the plate between the two.
func TestPropertyCutLessFillIsTheIntegralOfTheDifference(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		d := drawDig(t)
		w := d.work(t)
		deep := d
		deep.formation.Depth += 20
		below := deep.work(t)
		assert.InDelta(t, 0, float64(below.Fill), 1e-12)
		assert.InDelta(t, float64(below.Cut)-20*float64(w.Area), float64(w.Cut-w.Fill), 1e-9)
		assert.GreaterOrEqual(t, float64(w.Cut), 0.0)
		assert.GreaterOrEqual(t, float64(w.Fill), 0.0)
	})
}

func TestPropertySplittingTheRegionConserves(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		d := drawDig(t)
		s := surface(t, d.spots...)
		centre, r := at(rapid.Float64Range(-4, 4).Draw(t, "cx"), rapid.Float64Range(-4, 4).Draw(t, "cy")), measure.Length(rapid.Float64Range(0.5, 6).Draw(t, "r"))
		from, turn := measure.Angle(rapid.Float64Range(-4, 4).Draw(t, "a")), measure.Angle(rapid.Float64Range(0.1, 6.1).Draw(t, "b"))
		whole := s.Earthwork(outline.Region{outline.CircleLoop(centre, r)}, d.formation)
		// Along a chord.
		near, far := outline.Arc(centre, r, from, turn), outline.Arc(centre, r, from+turn, 2*measure.Pi-turn)
		near.To, far.To = far.From, near.From
		one := s.Earthwork(outline.Region{{near, outline.Line(near.To, near.From)}}, d.formation)
		other := s.Earthwork(outline.Region{{far, outline.Line(far.To, far.From)}}, d.formation)
		same(t, whole, one.Plus(other), 1e-10)
		assert.InDelta(t, float64(whole.Resting), float64(one.Resting+other.Resting), 1e-10)
		// Along a smaller circle, which is the hole of the outer part.
		hole := outline.CircleLoop(centre, r/3)
		inner := s.Earthwork(outline.Region{hole}, d.formation)
		outer := s.Earthwork(outline.Region{outline.CircleLoop(centre, r), hole.Reverse()}, d.formation)
		same(t, whole, inner.Plus(outer), 1e-10)
	})
}

func TestPropertyCoveringKeepsTheSpotsAndReachesTheCorners(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		d := drawDig(t)
		s := surface(t, d.spots...)
		bed, err := outline.Chain(d.region[0])
		require.NoError(t, err)
		covered, rests := s.Cover(bed)
		assert.False(t, math.IsNaN(float64(rests)))
		assert.True(t, rests >= 0 && rests <= 1)
		for _, p := range d.spots {
			assert.InDelta(t, float64(p.Level), float64(covered.Level(p.At)), 1e-6)
		}
		for _, p := range covered.Joined() {
			assert.InDelta(t, float64(s.Level(p.At)), float64(p.Level), 1e-9, "the level of the nearest point of the hull")
			assert.InDelta(t, float64(p.Level), float64(covered.Level(p.At)), 1e-9)
		}
		// All the ground of a bed without arcs then lies within the hull: covering again joins nothing more.
		again, _ := covered.Cover(bed)
		assert.Same(t, covered, again)
	})
}
