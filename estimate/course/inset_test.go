package course_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate/course"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// A course 4 in wide inside the line; what it leaves, worked out by hand.
func TestInsetIsWhatACourseLeaves(t *testing.T) {
	t.Parallel()
	rectangle := polygon(t, inches(0, 0, 100, 0, 100, 60, 0, 60))
	clockwise := polygon(t, inches(0, 0, 0, 60, 100, 60, 100, 0))
	rounded, err := outline.Rectangle(outline.Point{}, 100*measure.Inch, 60*measure.Inch, 10*measure.Inch)
	require.NoError(t, err)
	circle, err := outline.Circle(outline.Point{}, 50*measure.Inch)
	require.NoError(t, err)
	for _, c := range []struct {
		name  string
		o     *outline.Outline
		area  float64 // square inches
		edges int
	}{
		{"rectangle", rectangle, 92 * 52, 4},
		{"clockwise", clockwise, 92 * 52, 4},
		// The corners of 10 in become 6 in: 92 x 52 - (4 - pi) 36.
		{"rounded rectangle", rounded, 92*52 - (4-math.Pi)*36, 8},
		{"circle", circle, math.Pi * 46 * 46, 1},
		// L: 100 x 40 + 50 x 50 less the course: 92 x 32 + 42 x 50.
		{"reflex corner", polygon(t, inches(0, 0, 100, 0, 100, 40, 50, 40, 50, 90, 0, 90)), 92*32 + 42*50, 6},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			inside, ok := course.Inset(c.o, 4*measure.Inch)
			require.True(t, ok)
			require.Len(t, inside, 1)
			assert.Len(t, inside[0], c.edges)
			closedChain(t, inside)
			assert.InEpsilon(t, c.area, float64(inside[0].Area())/inch2, 1e-12)
			outside, ok := course.Inset(c.o, 0)
			require.True(t, ok)
			assert.InEpsilon(t, float64(c.o.Area()), float64(outside[0].Area()), 1e-12)
			strip := outline.Divide([]outline.Region{course.Strip(c.o, 0, 4*measure.Inch)}, 1, func(outline.Cover) int { return 0 })[0]
			assert.InEpsilon(t, float64(c.o.Area()-inside[0].Area()), float64(strip.Area), 1e-9)
		})
	}
}

func TestInsetIsRefusedWhereNothingOrNoSingleGroundIsLeft(t *testing.T) {
	t.Parallel()
	small, err := outline.Circle(outline.Point{}, 4*measure.Inch)
	require.NoError(t, err)
	for name, o := range map[string]*outline.Outline{
		"circle of the course's width": small,
		// Two rooms of 40 in with a neck of 6 in between.
		"neck": polygon(t, inches(0, 0, 40, 0, 40, 17, 60, 17, 60, 0, 100, 0, 100, 40, 60, 40, 60, 23, 40, 23, 40, 40, 0, 40)),
	} {
		_, ok := course.Inset(o, 4*measure.Inch)
		assert.False(t, ok, name)
	}
}

// Clearance of 6 in round 8 x 6 ft digs 9 x 7 ft.
func TestItem18StripOutsideTheLine(t *testing.T) {
	t.Parallel()
	o := polygon(t, inches(0, 0, 96, 0, 96, 72, 0, 72))
	strip := course.Strip(o, 6*measure.Inch, 0)
	assert.InEpsilon(t, 108*84-96*72, sum(strip), 1e-12)
}

// Where an inset is given and its strip lies inside the outline, the two share out the ground.
func TestInsetAndStripShareOutTheGround(t *testing.T) {
	t.Parallel()
	found := 0
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 12).Draw(t, "corners")
		p := make([]outline.Point, n)
		radii := make([]measure.Length, n)
		for i := range p {
			a := (float64(i) + rapid.Float64Range(0, 0.6).Draw(t, "angle")) * 2 * math.Pi / float64(n)
			r := rapid.Float64Range(1, 3).Draw(t, "radius")
			p[i] = outline.Point{X: measure.Length(r * math.Cos(a)), Y: measure.Length(r * math.Sin(a))}
			radii[i] = measure.Length(rapid.SampledFrom([]float64{0, 0, 0.16, 0.2}).Draw(t, "rounding"))
		}
		o, err := outline.Polygon(p, radii)
		if err != nil {
			return
		}
		by := measure.Length(rapid.Float64Range(0.01, 0.15).Draw(t, "width"))
		inside, ok := course.Inset(o, by)
		if !ok {
			return
		}
		shares := outline.Divide([]outline.Region{o.Region(), course.Strip(o, 0, by), inside}, 2, func(c outline.Cover) int {
			switch {
			case c.Has(2) != (c.Has(0) && !c.Has(1)):
				return 1
			case c.Has(2):
				return 0
			}
			return outline.None
		})
		if shares[1].Area > 1e-7 {
			return // strips that reach across each other, as at spikes: the caller compares too
		}
		found++
		assert.InDelta(t, float64(inside[0].Area()), float64(shares[0].Area), 1e-7)
		for i := range inside[0] { // as the crow flies, not by the rule that made it
			assert.InDelta(t, float64(by), float64(o.Distance(inside[0][i].Point(0.5))), 1e-7)
		}
	})
	assert.Positive(t, found)
}

// A hole grows as the outer line shrinks: 92 x 52 less a circle of 14 in.
func TestInsetMovesHolesInwardsToo(t *testing.T) {
	t.Parallel()
	outer := polygon(t, inches(0, 0, 100, 0, 100, 60, 0, 60))
	hole, err := outline.Circle(outline.Point{X: 50 * measure.Inch, Y: 30 * measure.Inch}, 10*measure.Inch)
	require.NoError(t, err)
	o, err := outer.WithHoles([]outline.Hole{{Outline: hole}})
	require.NoError(t, err)
	inside, ok := course.Inset(o, 4*measure.Inch)
	require.True(t, ok)
	require.Len(t, inside, 2)
	assert.InEpsilon(t, 92*52-math.Pi*14*14, float64(inside[0].Area()+inside[1].Area())/inch2, 1e-12)
}
