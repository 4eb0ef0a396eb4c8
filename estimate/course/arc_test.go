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
	// Bed outside: R = 3, tan(turn/2) = 4/3, the same gap.
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
