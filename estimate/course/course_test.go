package course_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate/course"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

const (
	inch  = measure.Inch
	inch2 = 0.0254 * 0.0254
	inch3 = 0.0254 * 0.0254 * 0.0254
	third = measure.Factor(1) / 3
)

// cobble is an invented edger of 8 x 4 x 2 in with 1/8 in joints.
func cobble() course.Spec {
	return course.Spec{
		Unit:       course.Unit{Length: 8 * inch, Width: 4 * inch, Thickness: 2 * inch},
		Joint:      inch / 8,
		JointMax:   3 * inch / 16,
		LeastPiece: third,
	}
}

// tight is the same without joints: many arcs can then be worked out with a pencil.
func tight() course.Spec {
	s := cobble()
	s.Joint = 0
	return s
}

// inches makes points of coordinates in inches.
func inches(xy ...float64) []outline.Point {
	var p []outline.Point
	for i := 0; i < len(xy); i += 2 {
		p = append(p, outline.Point{X: measure.Length(xy[i]) * inch, Y: measure.Length(xy[i+1]) * inch})
	}
	return p
}

func polygon(t require.TestingT, points []outline.Point, radii ...measure.Length) *outline.Outline {
	o, err := outline.Polygon(points, radii)
	require.NoError(t, err)
	return o
}

func bed(t require.TestingT, length, width measure.Length) *outline.Outline {
	o, err := outline.Rectangle(outline.Point{}, length, width, 0)
	require.NoError(t, err)
	return o
}

func disc(t require.TestingT, radius measure.Length) *outline.Outline {
	o, err := outline.Circle(outline.Point{X: 1, Y: 2}, radius)
	require.NoError(t, err)
	return o
}

func lay(t require.TestingT, o *outline.Outline, s course.Spec) *course.Course {
	c, err := course.Lay(o, s)
	require.NoError(t, err)
	return c
}

// near compares a length with inches.
func near(t *testing.T, want float64, got measure.Length, what ...any) {
	t.Helper()
	assert.InDelta(t, want, got.In(inch), 1e-6, what...)
}

func runLengths(c *course.Course) []float64 {
	var l []float64
	for _, r := range c.Runs {
		l = append(l, math.Round(r.RunLength.In(inch)*1e9)/1e9)
	}
	return l
}

func TestItem02ARoundedCornerIsEdgedOnlyWithBothItsSides(t *testing.T) {
	t.Parallel()
	o, err := outline.Rectangle(outline.Point{}, 200*inch, 100*inch, 24*inch)
	require.NoError(t, err)
	type id struct{ side, corner int }
	side := func(i int) id { return id{i, outline.None} }
	corner := func(i int) id { return id{outline.None, i} }
	for _, c := range []struct {
		name           string
		sides, corners []int
		want           []id
		closed         bool
	}{
		{"all sides take all corners", nil, nil,
			[]id{side(0), corner(1), side(1), corner(2), side(2), corner(3), side(3), corner(0)}, true},
		{"one side takes none", []int{1}, nil, []id{side(1)}, false},
		{"two neighbours take the one between", []int{1, 0}, nil, []id{side(0), corner(1), side(1)}, false},
		{"last and first are neighbours", []int{0, 3}, nil, []id{side(0), side(3), corner(0)}, false},
		{"opposite sides take none", []int{0, 2}, nil, []id{side(0), side(2)}, false},
		{"a corner is forced with one neighbour", []int{0}, []int{1}, []id{side(0), corner(1)}, false},
		{"no side at all", []int{}, nil, nil, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			s := cobble()
			s.Sides, s.Corners = c.sides, c.corners
			got := lay(t, o, s)
			var ids []id
			for _, r := range got.Runs {
				ids = append(ids, id{r.Side, r.Corner})
			}
			assert.Equal(t, c.want, ids)
			assert.Equal(t, c.closed, got.Closed)
		})
	}
}

func TestItem02ASideThatItsCornersUseUpLeavesTheCourseClosed(t *testing.T) {
	t.Parallel()
	// 200 x 48 with corners of 24: the ends are half circles of two arcs, sides 1 and 3 are gone.
	o, err := outline.Rectangle(outline.Point{}, 200*inch, 48*inch, 24*inch)
	require.NoError(t, err)
	got := lay(t, o, cobble())
	require.Len(t, got.Runs, 6)
	assert.True(t, got.Closed)
	near(t, 2*152+48*math.Pi, got.EdgedLength)
	assert.Equal(t, got.Units.Total, got.Joints)
	for _, r := range got.Runs {
		assert.Equal(t, course.Tangent, r.First.Kind)
		assert.Equal(t, course.Tangent, r.Last.Kind)
	}
	assert.InDelta(t, 304*4+math.Pi*(576-400), sum(got.Band), 1e-6)
}

func TestItem09StraightRunsCountUnitsAndClosers(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name    string
		run     float64 // inches
		kind    course.Kind
		joint   float64
		full    int
		closers int
		closer  float64
		width   float64 // of the joints
	}{
		// 100.125/8.125 = 12.3: 12, 100 - 97.5 = 2.5 left.
		{"a closer for what is left", 100, course.Sailor, 0.125, 12, 1, 2.5, 0.125},
		// 12 x 8 + 11 x 0.125 = 97.375.
		{"units and joints fit exactly", 97.375, course.Sailor, 0.125, 12, 0, 0, 0.125},
		// 97.45: 97.575/8.125 = 12.01: 12, rest -0.05: 11 joints share 97.45 - 96 = 1.45.
		{"joints take up a difference", 97.45, course.Sailor, 0.125, 12, 0, 0, 1.45 / 11},
		// Up to the last joint width: 97.5 = 12 x 8.125 leaves exactly nothing.
		{"nothing left after the last joint", 97.5, course.Sailor, 0.125, 12, 0, 0, 1.5 / 11},
		// 100.125/4.125 = 24.27: 24, 100 - 99 = 1 left.
		{"soldier swaps the sides", 100, course.Soldier, 0.125, 24, 1, 1, 0.125},
		{"shorter than one unit is one closer", 5, course.Sailor, 0.125, 0, 1, 5, 0},
		{"one unit, a little loose", 8.1, course.Sailor, 0.125, 1, 0, 0, 0},
		// Brick on end: one unit per 4 in of edge (BIA, Seven Easy Steps). 10 ft: 30.
		{"one unit on end per 4 in", 120, course.Soldier, 0, 30, 0, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			s := cobble()
			s.Kind, s.Joint, s.LeastPiece, s.Sides = c.kind, measure.Length(c.joint)*inch, 0, []int{0}
			got := lay(t, bed(t, measure.Length(c.run)*inch, 50*inch), s)
			require.Len(t, got.Runs, 1)
			r := got.Runs[0]
			assert.Equal(t, c.full, r.Full)
			assert.Equal(t, c.closers, r.Closers)
			near(t, c.closer, r.Closer)
			assert.Equal(t, c.full+c.closers-1, r.Joints)
			near(t, c.width, r.JointWidth)
			assert.Equal(t, course.Units{Whole: c.full, Cut: c.closers, Total: c.full + c.closers}, got.Units)
			assert.Equal(t, course.Free, r.First.Kind)
			assert.Equal(t, course.Free, r.Last.Kind)
			near(t, c.run, got.EdgedLength)
		})
	}
}

func TestItem10AShortCloserSharesWithTheLastUnit(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name    string
		run     float64
		kind    course.Kind
		least   measure.Factor
		full    int
		closers int
		closer  float64
	}{
		// 2.5 is below 8/3: two of (8 + 2.5)/2.
		{"below a third", 100, course.Sailor, third, 11, 2, 5.25},
		{"a least piece of a quarter lets it be", 100, course.Sailor, 0.25, 12, 1, 2.5},
		// 97.5 + 8/3 leaves a closer of exactly a third.
		{"exactly a third stays", 97.5 + 8.0/3, course.Sailor, third, 12, 1, 8.0 / 3},
		// The long side is 8 in also for a soldier course: 1 in is below, two of (4 + 1)/2.
		{"soldier", 100, course.Soldier, third, 23, 2, 2.5},
		{"without a whole unit there is nothing to share", 1, course.Sailor, third, 0, 1, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			s := cobble()
			s.Kind, s.LeastPiece, s.Sides = c.kind, c.least, []int{0}
			got := lay(t, bed(t, measure.Length(c.run)*inch, 50*inch), s)
			r := got.Runs[0]
			assert.Equal(t, c.full, r.Full)
			assert.Equal(t, c.closers, r.Closers)
			near(t, c.closer, r.Closer)
			require.Len(t, got.Cuts, 1)
			assert.Equal(t, course.Closer, got.Cuts[0].Kind)
			assert.Equal(t, c.closers, got.Cuts[0].Count)
			near(t, r.Closer.In(inch), got.Cuts[0].Left)
			assert.Equal(t, c.closers, got.SawPasses)
			// Nothing is lost: units and joints make up the run.
			assert.InDelta(t, c.run, float64(r.Full)*unitAlong(c.kind)+float64(r.Closers)*r.Closer.In(inch)+
				float64(r.Joints)*r.JointWidth.In(inch), 1e-9)
		})
	}
}

func unitAlong(k course.Kind) float64 {
	if k == course.Soldier {
		return 4
	}
	return 8
}

func TestItem11RightCornersAreButted(t *testing.T) {
	t.Parallel()
	ell := inches(0, 0, 100, 0, 100, 40, 50, 40, 50, 90, 0, 90)
	for _, c := range []struct {
		name   string
		points []outline.Point
		sides  []int
		want   []float64
	}{
		// Side 0 runs through, 1 and 2 start 4 + 1/8 in later, the last also ends against the first.
		{"closed rectangle", inches(0, 0, 100, 0, 100, 60, 0, 60), nil, []float64{100, 55.875, 95.875, 51.75}},
		{"points the other way round", inches(0, 0, 0, 60, 100, 60, 100, 0), nil, []float64{60, 95.875, 55.875, 91.75}},
		{"two sides", inches(0, 0, 100, 0, 100, 60, 0, 60), []int{0, 1}, []float64{100, 55.875}},
		{"first and last", inches(0, 0, 100, 0, 100, 60, 0, 60), []int{0, 3}, []float64{100, 55.875}},
		{"opposite sides", inches(0, 0, 100, 0, 100, 60, 0, 60), []int{0, 2}, []float64{100, 100}},
		// Reflex at point 3: side 2 ends at the corner, side 3 is longer by 4 in.
		{"reflex corner", ell, nil, []float64{100, 35.875, 45.875, 54, 45.875, 81.75}},
		{"reflex corner alone", ell, []int{2, 3}, []float64{50, 54}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			s := cobble()
			s.Sides = c.sides
			got := lay(t, polygon(t, c.points), s)
			assert.Equal(t, c.want, runLengths(got))
			edged := 0.0
			for _, r := range got.Runs {
				edged += r.Length.In(inch)
			}
			near(t, edged, got.EdgedLength)
		})
	}
}

func TestItem11CornersWithinTwoDegreesOfRightAreButtedOthersMitred(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		turn  float64 // degrees
		first course.EndKind
		next  course.EndKind
	}{
		{90, course.Through, course.Short}, {91.9, course.Through, course.Short}, {88.1, course.Through, course.Short},
		{92.1, course.Mitred, course.Mitred}, {87.9, course.Mitred, course.Mitred}, {45, course.Mitred, course.Mitred},
		{0, course.Tangent, course.Tangent},
	} {
		a := c.turn * math.Pi / 180
		// Side 0 along +x, side 1 turned by a; closed far away.
		points := inches(0, 0, 100, 0, 100+100*math.Cos(a), 100*math.Sin(a), 0, 300)
		s := cobble()
		s.Sides = []int{0, 1}
		got := lay(t, polygon(t, points), s)
		assert.Equal(t, c.first, got.Runs[0].Last.Kind, "%v degrees", c.turn)
		assert.Equal(t, c.next, got.Runs[1].First.Kind, "%v degrees", c.turn)
		assert.Equal(t, got.Runs[0].Units.Total+got.Runs[1].Units.Total-1, got.Joints, "%v degrees", c.turn)
	}
}

func hexagon(side float64) []outline.Point {
	var xy []float64
	for i := range 6 {
		a := float64(i) * math.Pi / 3
		xy = append(xy, side*math.Cos(a), side*math.Sin(a))
	}
	return inches(xy...)
}

func TestItem11MitresCutOneUnitAtEachRunEnd(t *testing.T) {
	t.Parallel()
	// Regular hexagon of 40 in, corners of 120 degrees, mitres of 30. Each run 40.125/8.125 = 4.9: 4 units and a closer
	// of 40 - 32.5 = 7.5. The mitre at the end is on the closer, that at the start on a whole unit: 2 cut, 3 whole.
	// 4 tan 30 = 4/sqrt 3 off, cut length 4/cos 30 = 8/sqrt 3.
	got := lay(t, polygon(t, hexagon(40)), cobble())
	assert.Equal(t, course.Units{Whole: 18, Cut: 12, Total: 30}, got.Units)
	assert.Equal(t, 30, got.Joints, "4 in each run and 6 mitres")
	near(t, 240, got.EdgedLength)
	closers, mitres := 0, 0
	for _, cut := range got.Cuts {
		switch cut.Kind {
		case course.Closer:
			closers += cut.Count
			near(t, 7.5, cut.Left)
			near(t, 0.5, cut.Off)
			near(t, 4, cut.Length)
		case course.Mitre:
			mitres += cut.Count
			assert.InDelta(t, 30, cut.Angle.Degrees(), 1e-9)
			near(t, 4/math.Sqrt(3), cut.Off)
			near(t, 8/math.Sqrt(3), cut.Length)
			near(t, 8-4/math.Sqrt(3), cut.Left)
		}
	}
	assert.Equal(t, 6, closers)
	assert.Equal(t, 12, mitres)
	assert.Equal(t, 18, got.SawPasses)

	// Sides of 8 in take one unit each, with both its ends mitred: one cut unit, two cuts.
	got = lay(t, polygon(t, hexagon(8)), cobble())
	assert.Equal(t, course.Units{Whole: 0, Cut: 6, Total: 6}, got.Units)
	assert.Equal(t, 12, got.SawPasses)

	// Two sides only: one mitre each, free ends square. Run 0: closer at its mitred end, 1 cut. Run 1: mitre at its
	// start, closer at its free end, 2 cut.
	s := cobble()
	s.Sides = []int{0, 1}
	got = lay(t, polygon(t, hexagon(40)), s)
	assert.Equal(t, 1, got.Runs[0].Units.Cut)
	assert.Equal(t, 2, got.Runs[1].Units.Cut)
	assert.Equal(t, 9, got.Joints)
}

func TestItem11ARunWithoutRoomHasNoUnitsAndSaysSo(t *testing.T) {
	t.Parallel()
	// 20 cm square, units of 20 x 10 cm, no joints: 20, 10, 10 and 20 - 2 x 10 = 0 cm.
	s := course.Spec{Unit: course.Unit{Length: 0.2, Width: 0.1, Thickness: 0.06}, LeastPiece: third}
	got := lay(t, bed(t, 0.2, 0.2), s)
	require.Len(t, got.Runs, 4)
	assert.Equal(t, course.Units{Whole: 1, Cut: 2, Total: 3}, got.Units)
	assert.InDelta(t, 0.8, float64(got.EdgedLength), 1e-12)
	require.Len(t, got.Notices, 1)
	assert.Equal(t, course.NoRoom, got.Notices[0].Kind)
	assert.Equal(t, 3, got.Notices[0].Side)
	assert.Equal(t, 2, got.Joints, "0 with 1, 1 with 2")
}

func TestItem15JointsOfAClosedCourse(t *testing.T) {
	t.Parallel()
	// 100: 11 + 2 units, 55.875: 6 + 1, 95.875: 11 + 1, 51.75: 6 + 1 (see items 9 to 11). 39 units, and in a closed
	// course as many joints: 35 inside the runs, 4 corners. Cut: 2 + 1 + 1 + 1.
	s := cobble()
	c := lay(t, bed(t, 100*inch, 60*inch), s)
	assert.Equal(t, course.Units{Whole: 34, Cut: 5, Total: 39}, c.Units)
	assert.Equal(t, 39, c.Joints)
	near(t, 39*4, c.JointLength)
	assert.InDelta(t, 39*4*0.125*2*inch3, float64(c.JointVolume), 1e-12)
	assert.Equal(t, 5, c.SawPasses)
	s.JointDepth = inch / 2
	c = lay(t, bed(t, 100*inch, 60*inch), s)
	assert.InDelta(t, 39*4*0.125*0.5*inch3, float64(c.JointVolume), 1e-12)
	// Soldier: the joint is 8 in long. 100: (100.125)/4.125 = 24, 1 in left: 25 units. Open run, 24 joints.
	s = cobble()
	s.Kind, s.Sides = course.Soldier, []int{0}
	c = lay(t, bed(t, 100*inch, 60*inch), s)
	assert.InDelta(t, 24*8*0.125*2*inch3, float64(c.JointVolume), 1e-12)
	// Open arc: mean width half the gap. Four joints of mean 3.2, see item 13; two units, one joint; two joints of
	// no width with the straights.
	s = tight()
	s.Curves = course.OpenCurves
	c = lay(t, convex(t, 170, math.Sqrt(65)), edged(s))
	straights := 0
	for _, r := range []course.Run{c.Runs[0], c.Runs[2]} {
		straights += r.Joints
	}
	assert.Equal(t, straights+1+2, c.Joints)
	widths := 3.2
	for _, r := range []course.Run{c.Runs[0], c.Runs[2]} {
		widths += float64(r.Joints) * r.JointWidth.In(inch)
	}
	assert.InDelta(t, widths*4*2*inch3, float64(c.JointVolume), 1e-9)
}

func TestItem16HaunchAndWallGap(t *testing.T) {
	t.Parallel()
	s := cobble()
	s.Clearance = inch
	c := lay(t, bed(t, 100*inch, 60*inch), s)
	assert.InDelta(t, 320*0.5*inch3, float64(c.Haunch(inch)), 1e-12)
	assert.InDelta(t, 320*1*2*inch3, float64(c.WallGap(s)), 1e-12)
}
