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

// yard is a bed of 200 x 120 in with a round hole of radius 24 about (50, 60), and a hole of 60 x 40 with its corner at
// (110, 40) with an island of 20 x 20 in it.
func yard(t require.TestingT) *outline.Outline {
	at := func(x, y float64) outline.Point { return inches(x, y)[0] }
	hole, err := outline.Circle(at(50, 60), 24*inch)
	require.NoError(t, err)
	box, err := outline.Rectangle(at(110, 40), 60*inch, 40*inch, 0)
	require.NoError(t, err)
	island, err := outline.Rectangle(at(130, 50), 20*inch, 20*inch, 0)
	require.NoError(t, err)
	o, err := bed(t, 200*inch, 120*inch).WithHoles([]outline.Hole{{Outline: hole}, {Outline: box, Islands: []*outline.Outline{island}}})
	require.NoError(t, err)
	return o
}

// on is how much of a region lies on an outline, and how much off it, in square inches.
func on(r outline.Region, o *outline.Outline) (on, off float64) {
	shares := outline.Divide([]outline.Region{r, o.Region()}, 2, func(c outline.Cover) int {
		switch {
		case !c.Has(0):
			return outline.None
		case c.Has(1):
			return 0
		}
		return 1
	})
	return float64(shares[0].Area) / inch2, float64(shares[1].Area) / inch2
}

func TestItem11ACourseRunsRoundHolesAndIslands(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name    string
		sides   []int
		face    course.Face
		lengths []float64 // of straight runs, on paper: butts as of item 11
		band    float64
		trench  float64
	}{
		// The bed is outside the hole: its corners turn away from the course. The higher-numbered side is longer by 4, the last
		// by 8. Band: 68 x 48 - 60 x 40. Trench: 70 x 50 - 58 x 38.
		{"a square hole, the course on the bed", []int{5, 6, 7, 8}, course.FaceInside, []float64{60, 44, 64, 48}, 68*48 - 2400, 3500 - 58*38},
		// The course lies in the hole: 60, 40 - 4 1/8, 60 - 4 1/8, 40 - 8 1/4. Band: 60 x 40 - 52 x 32. Trench: 62 x 42 - 50 x 30.
		{"a square hole, the course in it", []int{5, 6, 7, 8}, course.FaceOutside, []float64{60, 35.875, 55.875, 31.75}, 2400 - 52*32, 62*42 - 1500},
		{"an island, the course on it", []int{9, 10, 11, 12}, course.FaceInside, []float64{20, 15.875, 15.875, 11.75}, 400 - 144, 22*22 - 100},
		{"an island, the course in the hole", []int{9, 10, 11, 12}, course.FaceOutside, []float64{20, 24, 24, 28}, 28*28 - 400, 30*30 - 18*18},
		{"one side of the hole", []int{6}, course.FaceInside, []float64{40}, 160, 240},
		{"the outer line, the course outside", []int{0, 1, 2, 3}, course.FaceOutside, []float64{200, 124, 204, 128}, 208*128 - 24000, 210*130 - 198*118},
		{"all round", nil, course.FaceInside, []float64{200, 115.875, 195.875, 111.75, 60, 44, 64, 48, 20, 15.875, 15.875, 11.75},
			24000 - 192*112 + math.Pi*(28*28-24*24) + 68*48 - 2400 + 400 - 144,
			202*122 - 190*110 + math.Pi*(29*29-23*23) + 3500 - 58*38 + 22*22 - 100},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			o := yard(t)
			s := cobble()
			s.Clearance, s.Sides, s.Face, s.Curves = inch, c.sides, c.face, course.CutCurves
			got := lay(t, o, s)
			closedChain(t, got.Band)
			closedChain(t, got.Trench)
			var lengths []float64
			edged := 0.0
			var numbers []int
			for _, r := range got.Runs {
				numbers = append(numbers, r.Side)
				edged += r.Length.In(inch)
				if r.Edge.Straight() {
					lengths = append(lengths, math.Round(r.RunLength.In(inch)*1e9)/1e9)
				}
			}
			assert.Equal(t, c.lengths, lengths)
			assert.IsIncreasing(t, append([]int{-1}, numbers...))
			near(t, edged, got.EdgedLength)
			assert.InDelta(t, c.band, sum(got.Band), 1e-6)
			assert.InDelta(t, c.trench, sum(got.Trench), 1e-6)
			assert.Equal(t, c.sides == nil, got.Closed)
			inside, outside := on(got.Band, o)
			if c.face == course.FaceOutside {
				inside, outside = outside, inside
			}
			assert.InDelta(t, c.band, inside, 1e-6)
			assert.InDelta(t, 0, outside, 1e-6)
			if c.sides == nil {
				assert.Equal(t, got.Units.Total, got.Joints, "every ring is closed")
			}
		})
	}
}

// Along a hole the bed is outside the arc: the near face of a unit touches the line. Edged from the other side, the
// outer corners stand on it.
func TestItem12ArcsOfHolesAndOfCoursesOutsideTheLine(t *testing.T) {
	t.Parallel()
	s := cobble()
	s.Sides, s.Curves = []int{4}, course.CutCurves
	within := 2 * (math.Asin(8.0/48) + math.Asin(0.125/48))
	without := 2 * (math.Atan(8.0/56) + math.Atan(0.125/56))
	for _, c := range []struct {
		name   string
		o      *outline.Outline
		side   int
		face   course.Face
		inside bool
		turn   float64
		ring   float64
	}{
		{"the bed round a hole", yard(t), 4, course.FaceInside, false, without, 28*28 - 24*24},
		{"in the hole", yard(t), 4, course.FaceOutside, true, within, 24*24 - 20*20},
		{"in a round bed", disc(t, 24*inch), 0, course.FaceInside, true, within, 24*24 - 20*20},
		{"round a round bed", disc(t, 24*inch), 0, course.FaceOutside, false, without, 28*28 - 24*24},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			s := s
			s.Sides, s.Face = []int{c.side}, c.face
			got := lay(t, c.o, s)
			require.Len(t, got.Runs, 1)
			r := got.Runs[0]
			assert.Equal(t, c.inside, r.Inside)
			assert.InDelta(t, c.turn, float64(r.UnitTurn), 1e-12)
			assert.InDelta(t, math.Pi*c.ring, sum(got.Band), 1e-6)
			assert.Equal(t, int(math.Floor(2*math.Pi/c.turn))+1, r.Units.Total, "and a closer")
			assert.Equal(t, r.Units.Total, r.Joints)
			assert.Equal(t, 2*r.Joints+r.Closers, r.SawPasses)
			near(t, 4*math.Tan(c.turn/2), r.Off)
		})
	}
	// A course of 4 in does not fit into a hole of radius 4: too tight; round it it does.
	o, err := bed(t, 100*inch, 100*inch).WithHoles([]outline.Hole{{Outline: circleAt(t, 50, 50, 4)}})
	require.NoError(t, err)
	s.Face = course.FaceOutside
	_, err = course.Lay(o, s)
	var tight *course.TightRadiusError
	require.ErrorAs(t, err, &tight)
	assert.Equal(t, 4, tight.Side)
}

func circleAt(t require.TestingT, x, y, r float64) *outline.Outline {
	o, err := outline.Circle(inches(x, y)[0], measure.Length(r)*inch)
	require.NoError(t, err)
	return o
}

// Item 13: the least radius at which units can stay uncut, against units moved until they touch.
func TestItem13LeastRadiusUncutAsLaidByTrial(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ l, w, most float64 }{{8, 4, 3.0 / 16}, {8, 4, 0.5}, {4, 8, 3.0 / 16}, {12, 6, 0.25}, {4, 4, 1}} {
		for _, inside := range []bool{true, false} {
			s := cobble()
			s.Unit.Length, s.Unit.Width = measure.Length(max(c.l, c.w))*inch, measure.Length(min(c.l, c.w))*inch
			if c.w > c.l {
				s.Kind = course.Soldier
			}
			s.JointMax = measure.Length(c.most) * inch
			least, ok := s.LeastUncut(inside)
			require.True(t, ok)
			gap := func(r float64) float64 {
				near := r
				if inside {
					near = math.Sqrt(r*r-c.l*c.l/4) - c.w
				}
				unit := brick(c.l, near, near+c.w)
				turn := bisect(0, math.Pi, func(a float64) bool { return clear(unit, unit.turned(a)) >= 0 })
				next := unit.turned(turn)
				return math.Hypot(unit[3].x-next[2].x, unit[3].y-next[2].y)
			}
			want := bisect(math.Hypot(c.w, c.l/2)+1e-3, 1e5, func(r float64) bool { return gap(r) <= c.most })
			assert.InEpsilon(t, want, least.In(inch), 1e-5, "%v inside %v", c, inside)
		}
	}
	s := cobble()
	s.JointMax = 0
	_, ok := s.LeastUncut(true)
	assert.False(t, ok, "without a joint no radius is large enough")
}

func TestFacesOfRunsLieOnTheBedLine(t *testing.T) {
	t.Parallel()
	at := func(x, y float64, p outline.Point) {
		t.Helper()
		near(t, x, p.X)
		near(t, y, p.Y)
	}
	got := lay(t, bed(t, 100*inch, 60*inch), cobble())
	first, last := got.Runs[3].Faces() // down the left side, behind both its neighbours
	at(0, 60-4.125, first)
	at(0, 4.125, last)
	// Clockwise points: side 0 goes up from the origin.
	got = lay(t, polygon(t, inches(0, 0, 0, 60, 100, 60, 100, 0)), cobble())
	first, last = got.Runs[0].Faces()
	at(0, 0, first)
	at(0, 60, last)
	first, last = got.Runs[1].Faces()
	at(4.125, 60, first)
	at(100, 60, last)
	// Outside, the second side reaches over the end of the first by the width of the course.
	s := cobble()
	s.Face = course.FaceOutside
	got = lay(t, bed(t, 100*inch, 60*inch), s)
	first, last = got.Runs[1].Faces()
	at(100, -4, first)
	at(100, 60, last)
	// A half disc: the arc starts 4 1/8 in of its length behind the straight.
	d := 100 * inch
	o, err := outline.Chain([]outline.Edge{outline.Line(outline.Point{}, outline.Point{X: d}),
		{From: outline.Point{X: d}, To: outline.Point{}, Centre: outline.Point{X: d / 2}, Radius: d / 2, Turn: measure.Pi}})
	require.NoError(t, err)
	first, _ = lay(t, o, cobble()).Runs[1].Faces()
	at(50+50*math.Cos(4.125/50), 50*math.Sin(4.125/50), first)
}
