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

// closedChain checks that every loop of a region is a closed chain whose arcs keep to their circles.
func closedChain(t require.TestingT, r outline.Region) {
	for _, loop := range r {
		for i, e := range loop {
			next := loop[(i+1)%len(loop)]
			require.InDelta(t, 0, math.Hypot(float64(next.From.X-e.To.X), float64(next.From.Y-e.To.Y)), 1e-12)
			if e.Straight() {
				continue
			}
			for _, p := range []outline.Point{e.From, e.To} {
				require.InDelta(t, float64(e.Radius), math.Hypot(float64(p.X-e.Centre.X), float64(p.Y-e.Centre.Y)), 1e-9)
			}
			start := math.Atan2(float64(e.From.Y-e.Centre.Y), float64(e.From.X-e.Centre.X)) + float64(e.Turn)
			require.InDelta(t, float64(e.To.X), float64(e.Centre.X)+float64(e.Radius)*math.Cos(start), 1e-9)
			require.InDelta(t, float64(e.To.Y), float64(e.Centre.Y)+float64(e.Radius)*math.Sin(start), 1e-9)
		}
	}
}

// sum adds the areas of the loops: the area of the region where they don't overlap, as mitred strips don't.
func sum(r outline.Region) float64 {
	a := 0.0
	for _, loop := range r {
		a += float64(loop.Area())
	}
	return a / inch2
}

func TestItem18BandAndTrench(t *testing.T) {
	t.Parallel()
	ell := inches(0, 0, 100, 0, 100, 40, 50, 40, 50, 90, 0, 90)
	root3 := math.Sqrt(3)
	for _, c := range []struct {
		name         string
		o            *outline.Outline
		sides        []int
		band, trench float64 // square inches, course 4 wide, clearance 1
	}{
		// 100 x 60 less 92 x 52; 102 x 62 less 90 x 50.
		{"rectangle all round", polygon(t, inches(0, 0, 100, 0, 100, 60, 0, 60)), nil, 6000 - 92*52, 102*62 - 90*50},
		// No clearance at the two open ends.
		{"one side", polygon(t, inches(0, 0, 100, 0, 100, 60, 0, 60)), []int{0}, 400, 600},
		// 100 x 4 + 4 x 56; 101 x 6 + 6 x 55: the corner square of the clearance is in, the ends have none.
		{"two sides", polygon(t, inches(0, 0, 100, 0, 100, 60, 0, 60)), []int{0, 1}, 400 + 224, 606 + 330},
		// Outline 100 x 40 + 50 x 50. Inner line 92 x 32 + 42 x 50. Trench from 102 x 42 + 52 x 50 to 90 x 30 + 40 x 50.
		{"reflex corner squared", polygon(t, ell), nil, 6500 - (92*32 + 42*50), (102*42 + 52*50) - (90*30 + 40*50)},
		// Hexagons of side a have 3/2 root 3 a^2; an offset of d takes 2 d/root 3 off a side.
		{"hexagon mitred", polygon(t, hexagon(40)), nil, 1.5 * root3 * (1600 - math.Pow(40-8/root3, 2)),
			1.5 * root3 * (math.Pow(40+2/root3, 2) - math.Pow(40-10/root3, 2))},
		// Rings: pi (24^2 - 20^2); pi (25^2 - 19^2) (annulus).
		{"circle", disc(t, 24*inch), nil, math.Pi * 176, math.Pi * (625 - 361)},
		// 200 x 100 with corners of 24: sides 152 and 52, a ring in four quarters.
		{"rounded rectangle", polygon(t, inches(0, 0, 200, 0, 200, 100, 0, 100), 24*inch, 24*inch, 24*inch, 24*inch), nil,
			408*4 + math.Pi*176, 408*6 + math.Pi*264},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			s := cobble()
			s.Clearance, s.Sides = inch, c.sides
			got := lay(t, c.o, s)
			closedChain(t, got.Band)
			closedChain(t, got.Trench)
			assert.InDelta(t, c.band, sum(got.Band), 1e-6)
			assert.InDelta(t, c.trench, sum(got.Trench), 1e-6)
			// The strips neither overlap nor leave the bed, and the trench goes out of it by the clearance only.
			shares := outline.Divide([]outline.Region{got.Band, got.Trench, c.o.Region()}, 4, func(s outline.Cover) int {
				switch {
				case s.Has(0) && s.Has(1) && s.Has(2):
					return 0
				case s.Has(0):
					return 1
				case s.Has(1) && s.Has(2):
					return 2
				case s.Has(1):
					return 3
				}
				return outline.None
			})
			area := func(i int) float64 { return float64(shares[i].Area) / inch2 }
			assert.InDelta(t, c.band, area(0), 1e-6)
			assert.InDelta(t, 0, area(1), 1e-6)
			assert.InDelta(t, c.trench, area(0)+area(2)+area(3), 1e-6)
			near(t, 6, got.TrenchWidth)
		})
	}
}

func TestTheBandOfAReflexArcIsASectorOutsideIt(t *testing.T) {
	t.Parallel()
	s := edged(cobble())
	s.Clearance = inch
	got := lay(t, reflex(t, 70, 30), s)
	a := 70 * math.Pi / 180
	straights := (got.Runs[0].Length + got.Runs[2].Length).In(inch)
	assert.InDelta(t, straights*4+a/2*(34*34-30*30), sum(got.Band), 1e-6)
	assert.InDelta(t, straights*6+a/2*(35*35-29*29), sum(got.Trench), 1e-6)
}

func TestAHalfDiscIsMitredOrSquaredAtItsArc(t *testing.T) {
	t.Parallel()
	// A straight of 100 in and a half circle over it meet at right angles. Inner line: the half disc of 46 about the
	// centre, less the strip of 4 in along the straight.
	d := 100 * inch
	o, err := outline.Chain([]outline.Edge{outline.Line(outline.Point{}, outline.Point{X: d}),
		{From: outline.Point{X: d}, To: outline.Point{}, Centre: outline.Point{X: d / 2}, Radius: d / 2, Turn: measure.Pi}})
	require.NoError(t, err)
	s := cobble()
	got := lay(t, o, s)
	closedChain(t, got.Band)
	half := math.Acos(4.0 / 46) // of the inner half disc's chord
	inner := 46*46*half - 4*math.Sqrt(46*46-16)
	assert.InDelta(t, math.Pi*1250-inner, sum(got.Band), 1e-6)
	// Side 0 runs through; the arc is shorter by 4 1/8 at both ends.
	near(t, 100, got.Runs[0].RunLength)
	near(t, 50*math.Pi-8.25, got.Runs[1].RunLength)
	assert.InDelta(t, math.Pi-8.25/50, float64(got.Runs[1].Turn), 1e-9)
	assert.True(t, got.Closed)
}

// winding is how often the region winds about a point, with arcs cut into short chords.
func winding(r outline.Region, p outline.Point) int {
	total := 0.0
	for _, loop := range r {
		for _, e := range loop {
			steps := 1
			if !e.Straight() {
				steps = 400
			}
			last := e.From
			for i := 1; i <= steps; i++ {
				q := e.Point(measure.Factor(i) / measure.Factor(steps))
				ax, ay, bx, by := last.X-p.X, last.Y-p.Y, q.X-p.X, q.Y-p.Y
				total += math.Atan2(float64(ax)*float64(by)-float64(ay)*float64(bx), float64(ax)*float64(bx)+float64(ay)*float64(by))
				last = q
			}
		}
	}
	return int(math.Round(total / (2 * math.Pi)))
}

// away is the distance of a point from the outline, and whether it is inside, by trial along chords.
func away(o *outline.Outline, p outline.Point) (float64, bool) {
	least := math.Inf(1)
	for _, e := range o.Elements() {
		steps := 1
		if !e.Straight() {
			steps = 400
		}
		last := e.From
		for i := 1; i <= steps; i++ {
			q := e.Point(measure.Factor(i) / measure.Factor(steps))
			dx, dy := float64(q.X-last.X), float64(q.Y-last.Y)
			f := (float64(p.X-last.X)*dx + float64(p.Y-last.Y)*dy) / (dx*dx + dy*dy)
			f = min(1, max(0, f))
			least = min(least, math.Hypot(float64(last.X-p.X)+f*dx, float64(last.Y-p.Y)+f*dy))
			last = q
		}
	}
	return least, winding(outline.Region{o.Loop()}, p) != 0
}

// In an outline without reflex corners the band is what lies inside within the course width of the line, however
// short the sides and sharp the corners.
func TestTheBandOfAConvexOutlineIsWhatLiesNearTheLine(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 9).Draw(t, "corners")
		var points []outline.Point
		radii := make([]measure.Length, n)
		for i := range n { // points on an ellipse in rising directions
			a := (float64(i) + rapid.Float64Range(0, 0.8).Draw(t, "place")) / float64(n) * 2 * math.Pi
			points = append(points, outline.Point{X: measure.Length(1.5 * math.Cos(a)), Y: measure.Length(math.Sin(a))})
		}
		if rapid.Bool().Draw(t, "rounded") {
			for i := range radii {
				radii[i] = 0.15
			}
		}
		o, err := outline.Polygon(points, radii)
		if err != nil {
			t.Skip("no outline: " + err.Error())
		}
		s := course.Spec{Unit: course.Unit{Length: 0.06, Width: 0.04, Thickness: 0.06}, Clearance: 0.03}
		s.Unit.Width = measure.Length(rapid.SampledFrom([]float64{0.02, 0.04, 0.055}).Draw(t, "width"))
		got, err := course.Lay(o, s)
		require.NoError(t, err)
		closedChain(t, got.Band)
		closedChain(t, got.Trench)
		w := float64(got.Width)
		for range 20 {
			p := outline.Point{X: measure.Length(rapid.Float64Range(-1.6, 1.6).Draw(t, "x")), Y: measure.Length(rapid.Float64Range(-1.1, 1.1).Draw(t, "y"))}
			if rapid.Bool().Draw(t, "near") { // near the line, where it matters
				e := rapid.SampledFrom(o.Elements()).Draw(t, "element")
				p = e.Point(measure.Factor(rapid.Float64Range(0, 1).Draw(t, "along")))
				p.X += measure.Length(rapid.Float64Range(-0.1, 0.1).Draw(t, "dx"))
				p.Y += measure.Length(rapid.Float64Range(-0.1, 0.1).Draw(t, "dy"))
			}
			// Off the seams between the strips, on which nothing can be said.
			p.X, p.Y = p.X+1.237e-6, p.Y+0.713e-6
			d, in := away(o, p)
			if d < 1e-5 || math.Abs(d-w) < 1e-5 {
				continue
			}
			require.Equal(t, in && d < w, winding(got.Band, p) != 0, "%v: %g m from the line, inside %v", p, d, in)
			if math.Abs(d-(w+0.03)) > 1e-5 && in {
				require.Equal(t, d < w+0.03, winding(got.Trench, p) != 0, "%v: trench, %g m inside", p, d)
			}
			if !in && d < 0.03-1e-5 && !spiky(o) { // the clearance round sharper corners is cut short
				require.NotZero(t, winding(got.Trench, p), "%v: trench, %g m outside", p, d)
			}
		}
	})
}

// spiky tells of a corner of less than 15 degrees.
func spiky(o *outline.Outline) bool {
	all := o.Elements()
	for i, e := range all {
		turn := all[(i+1)%len(all)].Heading(0) - e.Heading(1)
		if math.Abs(math.Remainder(float64(turn), 2*math.Pi)) > 165*math.Pi/180 {
			return true
		}
	}
	return false
}

func TestFaultsAreGivenTogether(t *testing.T) {
	t.Parallel()
	o, err := outline.Rectangle(outline.Point{}, 1, 1, 0.1)
	require.NoError(t, err)
	_, err = course.Lay(o, course.Spec{
		Unit: course.Unit{Length: 0, Width: -1, Thickness: measure.Length(math.NaN())}, Joint: -1, JointMax: -1,
		LeastPiece: 1, Clearance: measure.Length(math.Inf(1)), Sides: []int{0, 4, 0, -1}, Corners: []int{1, 1, 7},
	})
	var unit *course.UnitError
	var spec *course.SpecError
	var unknown *course.UnknownSideError
	var repeated *course.RepeatedSideError
	var corner *course.UnknownCornerError
	var again *course.RepeatedCornerError
	require.ErrorAs(t, err, &unit)
	require.ErrorAs(t, err, &spec)
	require.ErrorAs(t, err, &unknown)
	require.ErrorAs(t, err, &repeated)
	require.ErrorAs(t, err, &corner)
	require.ErrorAs(t, err, &again)
	assert.Equal(t, course.UnknownSideError{Index: 1, Side: 4, Count: 4}, *unknown)
	assert.Equal(t, course.RepeatedSideError{Index: 2, Side: 0}, *repeated)
	assert.Equal(t, course.UnknownCornerError{Index: 2, Corner: 7}, *corner)
	assert.Equal(t, course.RepeatedCornerError{Index: 1, Corner: 1}, *again)
	assert.Equal(t, course.FieldJoint, spec.Field)
	assert.Equal(t, course.FieldUnitLength, unit.Field)
	// Two rounded corners too tight for the unit: both are named.
	s := cobble()
	s.Curves = course.CutCurves
	_, err = course.Lay(o, s)
	joined, ok := err.(interface{ Unwrap() []error })
	require.True(t, ok)
	require.Len(t, joined.Unwrap(), 4)
	for i, want := range []int{1, 2, 3, 0} {
		var tight *course.TightRadiusError
		require.ErrorAs(t, joined.Unwrap()[i], &tight)
		assert.Equal(t, want, tight.Corner)
	}
}
