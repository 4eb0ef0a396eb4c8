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

func TestItem12CutArcs(t *testing.T) {
	t.Parallel()
	s := tight()
	s.Curves = course.CutCurves
	// Bed inside, R 24, L 8, W 4, no joint: sin(turn/2) = 4/24, tan = 1/sqrt 35, cos = sqrt 35/6.
	in := lay(t, disc(t, 24*inch), s).Runs[0]
	assert.True(t, in.Inside)
	assert.InDelta(t, 2*math.Asin(1.0/6), float64(in.UnitTurn), 1e-12)
	assert.InDelta(t, math.Asin(1.0/6), float64(in.Wedge), 1e-12)
	near(t, 4/math.Sqrt(35), in.Off)
	near(t, 24/math.Sqrt(35), in.CutLength)
	near(t, 8-8/math.Sqrt(35), in.ShortFace)
	// Bed outside, R 20: tan(turn/2) = 4/(20 + 4), cos = 6/sqrt 37.
	out := lay(t, reflex(t, 90, 20), edged(s)).Runs[1]
	assert.False(t, out.Inside)
	assert.InDelta(t, 2*math.Atan(1.0/6), float64(out.UnitTurn), 1e-12)
	near(t, 4.0/6, out.Off)
	near(t, 4*math.Sqrt(37)/6, out.CutLength)
	near(t, 8-8.0/6, out.ShortFace)
	// With joints of 1/2 in the joint's own angle is added.
	s.Joint = inch / 2
	in = lay(t, disc(t, 24*inch), s).Runs[0]
	assert.InDelta(t, 2*math.Asin(8.0/48)+2*math.Asin(0.5/48), float64(in.UnitTurn), 1e-12)
	out = lay(t, reflex(t, 90, 20), edged(s)).Runs[1]
	assert.InDelta(t, 2*math.Atan(8.0/48)+2*math.Atan(0.5/48), float64(out.UnitTurn), 1e-12)
	// A soldier course swaps L and W: 4 along, 8 across.
	s = tight()
	s.Curves, s.Kind = course.CutCurves, course.Soldier
	in = lay(t, disc(t, 24*inch), s).Runs[0]
	near(t, 8*math.Tan(math.Asin(2.0/24)), in.Off)
}

func TestItem12TightRadiiAreRefusedWithTheLeastRadius(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name   string
		joint  float64
		curves course.Curves
		kind   course.Kind
		least  float64
	}{
		// L = 2 W tan(turn/2): tan = 1, and sin = 4/R: R = 4 sqrt 2.
		{"cut, no joint", 0, course.CutCurves, course.Sailor, 4 * math.Sqrt2},
		// The inner faces stand in the centre: h = W = 4, the same radius.
		{"open", 0, course.OpenCurves, course.Sailor, 4 * math.Sqrt2},
		{"auto falls back to cut", 0, course.AutoCurves, course.Sailor, 4 * math.Sqrt2},
		// Soldier: tan = 4/16, sin = 1/sqrt 17 = 2/R.
		{"soldier", 0, course.CutCurves, course.Soldier, 2 * math.Sqrt(17)},
		// asin(4/R) + asin(0.25/R) = 45 degrees. Chord c of 8 and 1/2 at 135 degrees: c^2 = 64 + 1/4 + 8 cos 45,
		// R = c/(2 sin 45).
		{"cut, joint 1/2 in", 0.5, course.CutCurves, course.Sailor, math.Sqrt(64.25+4*math.Sqrt2) / math.Sqrt2},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			s := cobble()
			s.Joint, s.Curves, s.Kind = measure.Length(c.joint)*inch, c.curves, c.kind
			_, err := course.Lay(disc(t, measure.Length(c.least*0.999)*inch), s)
			var e *course.TightRadiusError
			require.ErrorAs(t, err, &e)
			assert.Equal(t, 0, e.Side)
			assert.Equal(t, outline.None, e.Corner)
			near(t, c.least, e.Least)
			lay(t, disc(t, measure.Length(c.least*1.001)*inch), s)
		})
	}
	// Bed outside, joints of 1/2 in: tan of half the turn is 1 where (8 + 1/2) D = D^2 - 4: D = 8.947..., R = D/2 - 4.
	s := cobble()
	s.Joint, s.Curves = inch/2, course.CutCurves
	d := (8.5 + math.Sqrt(8.5*8.5+16)) / 2
	_, err := course.Lay(reflex(t, 90, (d/2-4)*0.99), edged(s))
	var e *course.TightRadiusError
	require.ErrorAs(t, err, &e)
	assert.Equal(t, 1, e.Corner)
	near(t, d/2-4, e.Least)
	lay(t, reflex(t, 90, (d/2-4)*1.01), edged(s))
}

func TestItem13OpenArcs(t *testing.T) {
	t.Parallel()
	s := tight()
	s.Curves = course.OpenCurves
	// Bed inside: R = sqrt 65, h = sqrt(65 - 16) = 7, touching faces at h - W = 3: tan(turn/2) = 4/3, sin = 0.8,
	// gap = 2 x 4 x 0.8 = 6.4. A rounded corner of 170 degrees has room for one and a closer.
	in := lay(t, convex(t, 170, math.Sqrt(65)), edged(s))
	r := in.Runs[1]
	assert.InDelta(t, 2*math.Atan(4.0/3), float64(r.UnitTurn), 1e-12)
	near(t, 6.4, r.Gap)
	near(t, 3.2, r.JointWidth, "mean of 0 and the gap")
	assert.Equal(t, 1, r.Full)
	// 170 degrees less the turn of 106.26 leaves 63.74: 2 x 3 tan 31.87 = 3.73.
	near(t, 6*math.Tan(85*math.Pi/180-math.Atan(4.0/3)), r.Closer)
	assert.Equal(t, course.Units{Whole: 1, Cut: 1, Total: 2}, r.Units)
	require.NotEmpty(t, in.Notices)
	assert.Equal(t, course.WideJoint, in.Notices[0].Kind)
	near(t, 6.4, in.Notices[0].Size)
	near(t, 3.0/16, in.Notices[0].Limit)
	// Bed outside: R = 3, tan(turn/2) = 4/3, the same gap. 170 degrees would need 1.6 turns.
	r = lay(t, reflex(t, 110, 3), edged(s)).Runs[1]
	assert.InDelta(t, 2*math.Atan(4.0/3), float64(r.UnitTurn), 1e-12)
	near(t, 6.4, r.Gap)
}

func TestItem13AutoLeavesOpenWhereTheJointAllows(t *testing.T) {
	t.Parallel()
	s := cobble()
	// Gap 3/16: sin(turn/2) = 3/128. Bed inside: cos/sin = 42.655..., touching faces at 4 x that = 170.62, h = 174.62.
	cot := math.Sqrt(1-9.0/(128*128)) * 128 / 3
	inside := math.Hypot(4*cot+4, 4)
	least, ok := s.LeastUncut(true)
	require.True(t, ok)
	near(t, inside, least)
	assert.Equal(t, course.LaidOpen, lay(t, disc(t, measure.Length(inside+0.01)*inch), s).Runs[0].Laying)
	assert.Equal(t, course.LaidCut, lay(t, disc(t, measure.Length(inside-0.01)*inch), s).Runs[0].Laying)
	// Bed outside: R itself is 4 x cot.
	least, ok = s.LeastUncut(false)
	require.True(t, ok)
	near(t, 4*cot, least)
	assert.Equal(t, course.LaidOpen, lay(t, reflex(t, 90, 4*cot+0.01), edged(s)).Runs[1].Laying)
	assert.Equal(t, course.LaidCut, lay(t, reflex(t, 90, 4*cot-0.01), edged(s)).Runs[1].Laying)
	// An allowance of nothing leaves nothing open.
	s.JointMax = 0
	_, ok = s.LeastUncut(true)
	assert.False(t, ok)
}

func TestItem14UnitsOnAnArc(t *testing.T) {
	t.Parallel()
	s := tight()
	s.Curves = course.CutCurves
	turn := 2 * math.Asin(1.0/6) // R 24: 19.188 degrees
	// 90/19.188 = 4.69: 4 units, 13.247 degrees left: 48 sin 6.624 = 5.54. All five are cut, two cuts at 4 joints.
	r := lay(t, convex(t, 90, 24), edged(s)).Runs[1]
	assert.Equal(t, 4, r.Full)
	assert.Equal(t, 1, r.Closers)
	near(t, 48*math.Sin((math.Pi/2-4*turn)/2), r.Closer)
	assert.Equal(t, 4, r.Joints)
	assert.Equal(t, 8, r.WedgeCuts())
	assert.Equal(t, course.Units{Whole: 0, Cut: 5, Total: 5}, r.Units)
	// Joints of 1 in: one joint's angle more may be used, as there is none at the ends: 4 turns less a joint.
	s.Joint = inch
	jointed := turn + 2*math.Asin(1.0/48)
	exact := (4*jointed - 2*math.Asin(1.0/48)) * 180 / math.Pi
	r = lay(t, convex(t, exact, 24), edged(s)).Runs[1]
	assert.Equal(t, 4, r.Full)
	assert.Zero(t, r.Closers)
	near(t, 1, r.JointWidth)
	// Half a joint more: three joints share it.
	r = lay(t, convex(t, exact+math.Asin(1.0/48)*180/math.Pi, 24), edged(s)).Runs[1]
	assert.Equal(t, 4, r.Full)
	assert.Zero(t, r.Closers)
	near(t, 48*math.Sin(math.Asin(1.0/48)*(1+1.0/6)), r.JointWidth)
	// A single unit has no joint and no wedge.
	s.Joint = 0
	r = lay(t, convex(t, turn*180/math.Pi, 24), edged(s)).Runs[1]
	assert.Equal(t, course.Units{Whole: 1, Cut: 0, Total: 1}, r.Units)
	assert.Zero(t, r.WedgeCuts())
}

func TestItem14FullCircles(t *testing.T) {
	t.Parallel()
	s := tight()
	s.Curves = course.CutCurves
	turn := 2 * math.Asin(1.0/6)
	// 360/19.188 = 18.76: 18. Spread: 20 - 19.188 = 0.812 degrees a joint, 48 sin 0.406 = 0.340 in.
	spread := 48 * math.Sin((math.Pi/9-turn)/2)
	s.JointMax = 3 * inch / 8
	c := lay(t, disc(t, 24*inch), s)
	assert.True(t, c.Closed)
	assert.Equal(t, course.Units{Cut: 18, Total: 18}, c.Units)
	assert.Equal(t, 18, c.Joints)
	near(t, spread, c.Runs[0].JointWidth)
	assert.Equal(t, 36, c.SawPasses)
	// 3/16 in is not enough: a closer of 360 - 18 x 19.188 = 14.614 degrees, 48 sin 7.307 = 6.10.
	s.JointMax = 3 * inch / 16
	c = lay(t, disc(t, 24*inch), s)
	assert.Equal(t, 19, c.Units.Total)
	near(t, 48*math.Sin(math.Pi-9*turn), c.Runs[0].Closer)
	assert.Equal(t, 19, c.Joints)
	assert.Equal(t, 38+1, c.SawPasses)
	// A remainder of less than a joint that may not be spread: two closers of (8 + left - joint)/2.
	s.Joint, s.JointMax = inch/2, inch/2
	seven := 0.0 // radius in which 18 units with 18 joints and a quarter of a joint more go round
	for lo, hi := 10.0, 40.0; hi-lo > 1e-12; {
		seven = (lo + hi) / 2
		if 18*2*(math.Asin(4/seven)+math.Asin(0.25/seven))+2*math.Asin(0.0625/seven) > 2*math.Pi {
			lo = seven
		} else {
			hi = seven
		}
	}
	c = lay(t, disc(t, measure.Length(seven)*inch), s)
	assert.Equal(t, 19, c.Units.Total)
	assert.Equal(t, 2, c.Runs[0].Closers)
	assert.InDelta(t, (8+0.125-0.5)/2, c.Runs[0].Closer.In(inch), 1e-3)
	// Open, bed inside: R = sqrt 65, 360/106.26 = 3.39: 3 units do not close within 3/16.
	s = tight()
	s.Curves = course.OpenCurves
	c = lay(t, disc(t, measure.Length(math.Sqrt(65))*inch), s)
	assert.Equal(t, 4, c.Units.Total)
	// With any joint allowed they spread: turn 120. Near corners at 5 from the centre, half their face takes
	// atan(4/3): 10 sin(60 - 53.13) apart; outer corners at sqrt 65, half atan(4/7).
	s.JointMax = 9 * inch
	c = lay(t, disc(t, measure.Length(math.Sqrt(65))*inch), s)
	assert.Equal(t, course.Units{Whole: 3, Total: 3}, c.Units)
	wide := 2 * math.Sqrt(65) * math.Sin(math.Pi/3-math.Atan(4.0/7))
	narrow := 10 * math.Sin(math.Pi/3-math.Atan(4.0/3))
	near(t, wide, c.Runs[0].Gap)
	near(t, (wide+narrow)/2, c.Runs[0].JointWidth)
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

// convex is a large triangle whose corner 1 turns left by so many degrees and is rounded: the bed is inside the arc.
func convex(t require.TestingT, turn, radius float64) *outline.Outline {
	a := turn * math.Pi / 180
	d := 50 + 3*radius*math.Tan(a/2)
	return polygon(t, inches(-d, 0, 0, 0, d*math.Cos(a), d*math.Sin(a)), 0, measure.Length(radius)*inch, 0)
}

// reflex is a large outline whose corner 1 turns right: the bed is outside the arc.
func reflex(t require.TestingT, turn, radius float64) *outline.Outline {
	a := turn * math.Pi / 180
	d := 50 + 3*radius*math.Tan(a/2)
	return polygon(t, inches(-d, 0, 0, 0, d*math.Cos(a), -d*math.Sin(a), 3*d, -d, 3*d, 3*d, -d, 3*d),
		0, measure.Length(radius)*inch, 0, 0, 0, 0)
}

// edged is the spec for the two sides at corner 1 and its arc: runs 0, 1 (the arc) and 2.
func edged(s course.Spec) course.Spec {
	s.Sides = []int{0, 1}
	return s
}
