package outline_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

func polygon(t require.TestingT, radii []measure.Length, xy ...float64) *outline.Outline {
	o, err := outline.Polygon(pts(xy...), radii)
	require.NoError(t, err)
	return o
}

// many is more stakes than any outline here needs.
const many = 100_000

// words writes stakes as "corner 2 (4, 3)".
func words(s *outline.Staking) []string {
	kinds := [...]string{outline.CornerStake: "corner", outline.TangentStake: "tangent", outline.JointStake: "joint", outline.StartStake: "start", outline.PivotStake: "pivot"}
	var list []string
	for _, at := range s.Stakes {
		number := fmt.Sprint(at.Corner)
		if at.Corner == outline.None {
			number = fmt.Sprint("side ", at.Side)
		}
		near := outline.Frame{}.Place(at.At) // without rounding error
		list = append(list, fmt.Sprintf("%s %s (%.6g, %.6g)", kinds[at.Kind], number, float64(near.X), float64(near.Y)))
	}
	return list
}

func TestStakesFollowTheRequest(t *testing.T) {
	t.Parallel()
	path := func(start outline.Point, segments ...outline.Segment) *outline.Outline {
		o, err := outline.Path(start, segments)
		require.NoError(t, err)
		return o
	}
	circle, err := outline.Circle(pt(6, 6), 5)
	require.NoError(t, err)
	for _, c := range []struct {
		name string
		o    *outline.Outline
		want string
	}{
		{"a triangle has its corners", polygon(t, nil, 0, 0, 4, 0, 0, 3), "corner 0 (0, 0); corner 1 (4, 0); corner 2 (0, 3)"},
		{"points that run clockwise keep their order", polygon(t, nil, 0, 0, 0, 3, 4, 0), "corner 0 (0, 0); corner 1 (0, 3); corner 2 (4, 0)"},
		{"a rounded corner has the crossing of its strings, two tangent points and a pivot", polygon(t, []measure.Length{0, 0, 1, 0}, 0, 0, 4, 0, 4, 3, 0, 3),
			"corner 0 (0, 0); corner 1 (4, 0); corner 2 (4, 3); tangent 2 (4, 2); tangent 2 (3, 3); corner 3 (0, 3); pivot 2 (3, 2)"},
		{"walked the other way the tangent points change places", polygon(t, []measure.Length{0, 0, 1, 0}, 0, 0, 0, 3, 4, 3, 4, 0),
			"corner 0 (0, 0); corner 1 (0, 3); corner 2 (4, 3); tangent 2 (3, 3); tangent 2 (4, 2); corner 3 (4, 0); pivot 2 (3, 2)"},
		{"a rounded first corner comes first", polygon(t, []measure.Length{1, 0, 0}, 0, 0, 4, 0, 0, 4),
			"corner 0 (0, 0); tangent 0 (0, 1); tangent 0 (1, 0); corner 1 (4, 0); corner 2 (0, 4); pivot 0 (1, 1)"},
		{"two arcs that use up their side share a tangent point and a pivot", polygon(t, []measure.Length{0, 1, 1, 0}, 0, 0, 5, 0, 5, 2, 0, 2),
			"corner 0 (0, 0); corner 1 (5, 0); tangent 1 (4, 0); corner 2 (5, 2); tangent 2 (5, 1); tangent 2 (4, 2); corner 3 (0, 2); pivot 1 (4, 1)"},
		{"an arc that runs up to a sharp corner ends at its stake", polygon(t, []measure.Length{0, 0, 2, 0}, 0, 0, 5, 0, 5, 2, 0, 2),
			"corner 0 (0, 0); corner 1 (5, 0); corner 2 (5, 2); tangent 2 (3, 2); corner 3 (0, 2); pivot 2 (3, 0)"},
		{"a reflex corner is no different", polygon(t, nil, 0, 0, 4, 0, 4, 1, 2, 1, 2, 3, 0, 3),
			"corner 0 (0, 0); corner 1 (4, 0); corner 2 (4, 1); corner 3 (2, 1); corner 4 (2, 3); corner 5 (0, 3)"},
		{"a circle has a start and a pivot", circle, "start side 0 (11, 6); pivot side 0 (6, 6)"},
		{"a half disc has two corners and the pivot of its arc", path(pt(0, 0), outline.Segment{Kind: outline.RiseSegment, To: pt(4, 0), Rise: 2}, outline.Segment{To: pt(0, 0)}),
			"corner 0 (0, 0); corner 1 (4, 0); pivot side 0 (2, 0)"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			assert.Equal(t, c.want, strings.Join(words(c.o.Staking(0, many)), "; "))
		})
	}
}

func TestHolesAndIslandsKeepTheirNumbers(t *testing.T) {
	t.Parallel()
	bed := polygon(t, nil, 0, 0, 20, 0, 20, 10, 0, 10)
	hole := polygon(t, []measure.Length{0, 0, 1, 0}, 2, 2, 8, 2, 8, 8, 2, 8)
	island := polygon(t, nil, 4, 4, 4, 6, 6, 4) // clockwise
	ring, err := outline.Circle(pt(14, 5), 3)
	require.NoError(t, err)
	o, err := bed.WithHoles([]outline.Hole{{Outline: hole, Islands: []*outline.Outline{island}}, {Outline: ring}})
	require.NoError(t, err)
	require.Len(t, o.Rings(), 4)
	for i, want := range []string{
		"corner 0 (0, 0); corner 1 (20, 0); corner 2 (20, 10); corner 3 (0, 10)",
		"corner 4 (2, 2); corner 5 (8, 2); corner 6 (8, 8); tangent 6 (8, 7); tangent 6 (7, 8); corner 7 (2, 8); pivot 6 (7, 7)",
		"corner 8 (4, 4); corner 9 (4, 6); corner 10 (6, 4)",
		"start side 11 (17, 5); pivot side 11 (14, 5)",
	} {
		s := o.Staking(i, many)
		assert.Equal(t, want, strings.Join(words(s), "; "), i)
		for _, p := range s.Pivots {
			assert.Positive(t, p.Sweep, "to the left, as the request runs")
		}
		assert.LessOrEqual(t, len(s.RightAngles(1, 20)), 4)
		s.Curves(0.5)
	}
	require.Len(t, o.Staking(1, many).RightAngles(1, 20), 4)
	first, second := o.Staking(1, many).Baseline()
	assert.Equal(t, []int{0, 1}, []int{first, second})
}

func TestTheStakesOfALoopAreItsCorners(t *testing.T) {
	t.Parallel()
	// Turned by 90 degrees about its corner: length runs up, width to the left.
	s := outline.RectangleLoop(pt(1, 2), 4, 3, measure.Degrees(90)).Staking(many)
	assert.Equal(t, "corner 0 (1, 2); corner 1 (1, 6); corner 2 (-2, 6); corner 3 (-2, 2)", strings.Join(words(s), "; "))
	assert.Empty(t, s.Pivots)
	assert.True(t, outline.EqualDiagonals(s.Spans()))
}

// TestARoundedCornerIsTheCurveOfTheHandbook is the simple curve of US Army FM 5-233, Construction Surveying, chapter 3:
// intersection angle 45 degrees, degree of curvature 15 by the arc definition, in feet (figures from memory, printed to
// a hundredth): R 381.97, T 158.22, L 300.00, long chord 292.35, middle ordinate 29.08.
func TestARoundedCornerIsTheCurveOfTheHandbook(t *testing.T) {
	t.Parallel()
	const r = 5729.578 / 15 // a curve of one degree has that radius: FM 5-430-00-1, appendix F
	h := 1000 * math.Sqrt2 / 2
	o := polygon(t, []measure.Length{0, r, 0, 0}, 0, 0, 1000, 0, 1000+h, h, 0, 1500)
	s := o.Staking(0, many)
	require.Len(t, s.Pivots, 1)
	p := s.Pivots[0]
	assert.Equal(t, 1, p.Corner)
	assert.InDelta(t, 45, p.Sweep.Degrees(), 1e-9)
	assert.InDelta(t, 381.97, float64(p.Radius), 0.005)
	apex, from, to := s.Stakes[s.Corners[1]].At, s.Stakes[p.From].At, s.Stakes[p.To].At
	assert.InDelta(t, 158.22, dist(from, apex), 0.01)
	assert.InDelta(t, 158.22, dist(apex, to), 0.01)
	assert.InDelta(t, 292.35, float64(p.Chord), 0.01)
	assert.InDelta(t, 29.08, float64(p.Rise), 0.01)
	curves := s.Curves(50)
	require.Len(t, curves, 1)
	assert.InDelta(t, 300, float64(curves[0].Length), 0.01)
	// Deflection angles of the same chapter: d = s D/200 from the tangent, the chord from the point of curvature 2 R sin d.
	require.Len(t, curves[0].Marks, 7)
	for i, m := range curves[0].Marks {
		d := 50 * float64(i) * 15 / 200 * math.Pi / 180
		assert.InDelta(t, float64(from.X)+2*r*math.Sin(d)*math.Cos(d), float64(m.At.X), 0.01, i)
		assert.InDelta(t, float64(from.Y)+2*r*math.Sin(d)*math.Sin(d), float64(m.At.Y), 0.01, i)
	}
}

// TestMarksRoundACircleAreThoseOfTheTableOfChords spaces off a circle of diameter 1: chords of the table in Machinery's
// Handbook, lengths of chords for spacing off the circumference of circles (from memory).
func TestMarksRoundACircleAreThoseOfTheTableOfChords(t *testing.T) {
	t.Parallel()
	o, err := outline.Circle(pt(3, -2), 0.5)
	require.NoError(t, err)
	for n, chord := range map[int]float64{3: 0.866025, 5: 0.587785, 6: 0.5, 8: 0.382683, 12: 0.258819, 24: 0.130526} {
		c := o.Staking(0, many).Curves(measure.Length(math.Pi / float64(n)))
		require.Len(t, c, 1)
		require.Len(t, c[0].Marks, n+1, n)
		for i := range n {
			assert.InDelta(t, chord, dist(c[0].Marks[i].At, c[0].Marks[i+1].At), 1e-6)
		}
		assert.Equal(t, c[0].From, c[0].To)
		assert.Equal(t, 0, c[0].Marks[n].Stake)
	}
}

func TestRightAnglesTakeTheLargestThreeFourFive(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name string
		o    *outline.Outline
		unit measure.Length
		want string // corner: towards before, towards after, hypotenuse
	}{
		{"12 by 9 takes all of both sides", polygon(t, nil, 0, 0, 12, 0, 12, 9, 0, 9), 1, "0: 9 12 15; 1: 12 9 15; 2: 9 12 15; 3: 12 9 15"},
		{"22 by 6.5 takes 8 and 6", polygon(t, nil, 0, 0, 22, 0, 22, 6.5, 0, 6.5), 1, "0: 6 8 10; 1: 8 6 10; 2: 6 8 10; 3: 8 6 10"},
		{"4 is on the shorter side where more fits so", polygon(t, nil, 0, 0, 8.5, 0, 8.5, 8, 0, 8), 1, "0: 6 8 10; 1: 8 6 10; 2: 6 8 10; 3: 8 6 10"},
		{"a square has it on the side before", polygon(t, nil, 0, 0, 8, 0, 8, 8, 0, 8), 1, "0: 8 6 10; 1: 8 6 10; 2: 8 6 10; 3: 8 6 10"},
		{"less than 3 by 4 has none", polygon(t, nil, 0, 0, 4, 0, 4, 2.99, 0, 2.99), 1, ""},
		{"3 by 4 to the last digit fits", polygon(t, nil, 0, 0, 0.1*40, 0, 4, 0.3*10, 0, 3), 1, "0: 3 4 5; 1: 4 3 5; 2: 3 4 5; 3: 4 3 5"},
		{"halves of a metre", polygon(t, nil, 0, 0, 2.2, 0, 2.2, 1.6, 0, 1.6), 0.5, "0: 1.5 2 2.5; 1: 2 1.5 2.5; 2: 1.5 2 2.5; 3: 2 1.5 2.5"},
		{"a longer tape than 20 times 5 there is not", polygon(t, nil, 0, 0, 400, 0, 400, 300, 0, 300), 1, "0: 60 80 100; 1: 80 60 100; 2: 60 80 100; 3: 80 60 100"},
		{"a rounded corner is checked along its strings", polygon(t, []measure.Length{3, 0, 0, 0}, 0, 0, 4, 0, 4, 3, 0, 3), 1, "0: 3 4 5; 1: 4 3 5; 2: 3 4 5; 3: 4 3 5"},
		{"reflex corners too", polygon(t, nil, 0, 0, 8, 0, 8, 4, 4, 4, 4, 8, 0, 8), 1, "0: 8 6 10; 1: 4 3 5; 2: 4 3 5; 3: 4 3 5; 4: 4 3 5; 5: 3 4 5"},
		{"half a degree off is no right angle", polygon(t, nil, 0, 0, 12, 0, 12, 9, 9*math.Sin(math.Pi/360), 9), 1, "1: 12 9 15; 2: 6 8 10"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			s := c.o.Staking(0, many)
			var got []string
			for _, a := range s.RightAngles(c.unit, 20) {
				x, y, h := float64(a.Legs[0].Length), float64(a.Legs[1].Length), float64(a.Hypotenuse)
				assert.InDelta(t, h*h, x*x+y*y, 1e-9, "Pythagoras")
				n := len(s.Corners)
				i := s.Stakes[a.At].Corner
				assert.Equal(t, s.Corners[(i+n-1)%n], a.Legs[0].Towards)
				assert.Equal(t, s.Corners[(i+1)%n], a.Legs[1].Towards)
				got = append(got, fmt.Sprintf("%d: %.6g %.6g %.6g", i, x, y, h))
			}
			assert.Equal(t, c.want, strings.Join(got, "; "))
		})
	}
}

// tapedBed is a bed taped from a wall, in metres.
func tapedBed(t require.TestingT, join outline.Join, list ...outline.Station) *outline.Outline {
	o, err := outline.Offsets(pt(10, 5), measure.Degrees(90), list, join)
	require.NoError(t, err)
	return o
}

func TestStationsStandAtTheirCorners(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name string
		join outline.Join
		list []outline.Station
	}{
		{"ends on the baseline", outline.Smooth, []outline.Station{{Along: 0, Out: 0}, {Along: 2, Out: 1.5}, {Along: 4, Out: 1}, {Along: 6, Out: 0}}},
		{"square ends", outline.Smooth, []outline.Station{{Along: 1, Out: 1}, {Along: 2, Out: 1.5}, {Along: 4, Out: 1}, {Along: 6, Out: 2}}},
		{"one end on it, straight", outline.Straight, []outline.Station{{Along: 0, Out: 0}, {Along: 2, Out: 1.5}, {Along: 6, Out: 2}}},
		{"the other end, on the right", outline.Straight, []outline.Station{{Along: 0, Out: -1}, {Along: 2, Out: -1.5}, {Along: 6, Out: 0}}},
		{"two stations", outline.Straight, []outline.Station{{Along: 0, Out: 1}, {Along: 3, Out: 2}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			o := tapedBed(t, c.join, c.list...)
			s, taped := o.Staking(0, many), o.Taped()
			require.NotNil(t, taped)
			assert.Equal(t, c.list, taped.Stations)
			for i, at := range c.list {
				// The baseline runs up from (10, 5), so that out is to the left: -x.
				stake := s.Stakes[s.Corners[taped.Corner(i)]]
				assert.InDelta(t, 10-float64(at.Out), float64(stake.At.X), 1e-9, i)
				assert.InDelta(t, 5+float64(at.Along), float64(stake.At.Y), 1e-9, i)
			}
			first, second := s.Baseline()
			last := c.list[len(c.list)-1]
			assert.InDelta(t, float64(last.Along-c.list[0].Along), dist(s.Stakes[first].At, s.Stakes[second].At), 1e-9)
			assert.InDelta(t, 10, float64(s.Stakes[first].At.X), 1e-9)
			assert.InDelta(t, 10, float64(s.Stakes[second].At.X), 1e-9)
		})
	}
	assert.Nil(t, polygon(t, nil, 0, 0, 1, 0, 0, 1).Taped())
}

func TestASmoothLineIsOneCurve(t *testing.T) {
	t.Parallel()
	o := tapedBed(t, outline.Smooth, outline.Station{Along: 0, Out: 1}, outline.Station{Along: 2, Out: 1.5}, outline.Station{Along: 4, Out: 1}, outline.Station{Along: 6, Out: 2})
	s := o.Staking(0, many)
	curves := s.Curves(1)
	require.Len(t, curves, 1)
	c := curves[0]
	assert.Equal(t, s.Corners[2], c.From, "the last station")
	assert.Equal(t, s.Corners[5], c.To, "the first station")
	stakes := 0
	for _, m := range c.Marks {
		if m.Stake != outline.None {
			stakes++
			assert.Equal(t, s.Stakes[m.Stake].At, m.At)
		}
	}
	arcs := 0
	for _, e := range o.Elements() {
		if e.Side >= 2 && e.Side <= 4 { // 0 is the baseline, 1 and 5 are the square ends
			arcs++
		}
	}
	assert.Equal(t, arcs+1, stakes)
	assert.Greater(t, arcs, 3)
}

func TestBendsEndACurve(t *testing.T) {
	t.Parallel()
	// A lens of two arcs meets itself in two bends; a stadium closes without one.
	o, err := outline.Path(pt(0, 0), []outline.Segment{{Kind: outline.RiseSegment, To: pt(4, 0), Rise: 1}, {Kind: outline.RiseSegment, To: pt(0, 0), Rise: 1}})
	require.NoError(t, err)
	curves := o.Staking(0, many).Curves(1)
	require.Len(t, curves, 2)
	assert.Equal(t, curves[0].To, curves[1].From)
	// r = (c^2/4 + h^2) / 2h = 2.5, and the arc 4 r atan(2h/c) (segment formulas, X-seg-h).
	assert.InDelta(t, 10*math.Atan(0.5), float64(curves[0].Length), 1e-12)

	all := polygon(t, []measure.Length{1, 1, 1, 1}, 0, 0, 2, 0, 2, 2, 0, 2).Staking(0, many).Curves(0.5)
	require.Len(t, all, 1)
	assert.InDelta(t, 2*math.Pi, float64(all[0].Length), 1e-12)
	assert.Equal(t, all[0].From, all[0].To)
}

func TestRoundedCornersAreMarkedAboveTheSpacing(t *testing.T) {
	t.Parallel()
	s := polygon(t, []measure.Length{0, 2, 0, 0}, 0, 0, 10, 0, 10, 8, 0, 8).Staking(0, many) // an arc of 3.14
	assert.Empty(t, s.Curves(5))
	assert.Empty(t, s.Curves(math.Pi))
	require.Len(t, s.Curves(3), 1)
	var along []string
	for _, m := range s.Curves(1)[0].Marks {
		along = append(along, fmt.Sprintf("%.4f", float64(m.Along)))
	}
	assert.Equal(t, "0.0000 1.0000 2.0000 3.0000 3.1416", strings.Join(along, " "))
	assert.InDelta(t, 3, s.Spacings(1), 0)
}

func TestSpansFixTheCorners(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		points := star(t)
		o, err := outline.Polygon(points, nil)
		require.NoError(t, err)
		s := o.Staking(0, many)
		n := len(points)
		length := map[[2]int]float64{}
		for _, span := range s.Spans() {
			length[[2]int{s.Stakes[span.From].Corner, s.Stakes[span.To].Corner}] = float64(span.Length)
		}
		if n == 4 { // a diagonal serves as the cross measure from either end
			length[[2]int{2, 0}], length[[2]int{3, 1}] = length[[2]int{0, 2}], length[[2]int{1, 3}]
		}
		if n == 3 {
			require.Len(t, length, 3)
			return
		}
		require.LessOrEqual(t, len(s.Spans()), 2*n)
		// Each angle by the law of cosines from two sides and the measure across them, and which way it turns by sight.
		var sum float64
		for i := range n {
			j, k := (i+1)%n, (i+2)%n
			a, b, c := length[[2]int{i, j}], length[[2]int{j, k}], length[[2]int{i, k}]
			turn := math.Pi - math.Acos(max(-1, min(1, (a*a+b*b-c*c)/(2*a*b))))
			p, q, r := points[i], points[j], points[k]
			if float64(q.X-p.X)*float64(r.Y-q.Y)-float64(q.Y-p.Y)*float64(r.X-q.X) < 0 {
				turn = -turn
			}
			sum += turn
		}
		assert.InDelta(t, 2*math.Pi, sum, 1e-6, "the angles of a closed figure")
	})
}

func TestStakesKeepTheMeasuresOfTheOutline(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		points := star(t)
		if rapid.Bool().Draw(t, "back") {
			for i, j := 0, len(points)-1; i < j; i, j = i+1, j-1 {
				points[i], points[j] = points[j], points[i]
			}
		}
		radii := make([]measure.Length, len(points))
		for i := range radii {
			radii[i] = measure.Length(rapid.SampledFrom([]float64{0, 0, 0.02, 0.1, 0.3}).Draw(t, "corner radius"))
		}
		o, err := outline.Polygon(points, radii)
		if err != nil {
			t.Skip("radius does not fit")
		}
		s := o.Staking(0, many)
		require.Len(t, s.Corners, len(points))
		for i, at := range s.Corners {
			assert.Equal(t, points[i], s.Stakes[at].At, "corner %d", i)
			assert.Equal(t, i, s.Stakes[at].Corner)
		}
		for i, span := range s.Spans()[:len(points)] {
			assert.InDelta(t, dist(points[i], points[(i+1)%len(points)]), float64(span.Length), 1e-12)
		}
		every := measure.Length(rapid.Float64Range(0.01, 1).Draw(t, "every"))
		checkPivots(t, o, s)
		checkCurves(t, s, every)
	})
}

func TestSmoothLinesKeepTheirMeasures(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		list := make([]outline.Station, rapid.IntRange(3, 8).Draw(t, "stations"))
		along := 0.0
		for i := range list {
			along += rapid.Float64Range(0.5, 2).Draw(t, "step")
			list[i] = outline.Station{Along: measure.Length(along), Out: measure.Length(rapid.Float64Range(1, 3).Draw(t, "out"))}
		}
		o, err := outline.Offsets(pt(0, 0), 0, list, outline.Smooth)
		if err != nil {
			t.Skip("crosses itself")
		}
		s := o.Staking(0, many)
		checkPivots(t, o, s)
		checkCurves(t, s, measure.Length(rapid.Float64Range(0.1, 3).Draw(t, "every")))
	})
}

// checkPivots holds every arc to its pivot: the radius to both ends, chord, rise and length, and all arcs and straights to
// the perimeter.
func checkPivots(t *rapid.T, o *outline.Outline, s *outline.Staking) {
	arcs := 0.0
	for _, p := range s.Pivots {
		centre, from, to := s.Stakes[p.Stake].At, s.Stakes[p.From].At, s.Stakes[p.To].At
		r, chord := float64(p.Radius), dist(from, to)
		tol := 1e-9 * max(1, r)
		assert.InDelta(t, r, dist(centre, from), tol)
		assert.InDelta(t, r, dist(centre, to), tol)
		assert.InDelta(t, chord, float64(p.Chord), 1e-12)
		assert.InDelta(t, chord, 2*r*math.Abs(math.Sin(float64(p.Sweep)/2)), 1e-8)
		assert.InDelta(t, r-r*math.Cos(float64(p.Sweep)/2), float64(p.Rise), tol)
		arcs += r * math.Abs(float64(p.Sweep))
	}
	straights := 0.0
	for _, e := range o.Elements() {
		if e.Straight() {
			straights += dist(e.From, e.To)
		}
	}
	assert.InDelta(t, float64(o.Perimeter()), arcs+straights, 1e-9)
}

// checkCurves holds running totals: from 0 to the length, by no more than the spacing, every mark at its distance from
// the one before by the chord of the arc between, and on the line.
func checkCurves(t *rapid.T, s *outline.Staking, every measure.Length) {
	total, shown := 0.0, 0.0
	for _, p := range s.Pivots {
		total += float64(p.Radius) * math.Abs(float64(p.Sweep))
	}
	for _, c := range s.Curves(every) {
		shown += float64(c.Length)
		require.GreaterOrEqual(t, len(c.Marks), 2)
		first, last := c.Marks[0], c.Marks[len(c.Marks)-1]
		assert.Zero(t, first.Along)
		assert.Equal(t, c.Length, last.Along, "the last running total is the length")
		assert.Equal(t, c.From, first.Stake)
		assert.Equal(t, c.To, last.Stake)
		for i := 1; i < len(c.Marks); i++ {
			a, b := c.Marks[i-1], c.Marks[i]
			gap := float64(b.Along - a.Along)
			assert.Positive(t, gap)
			assert.LessOrEqual(t, gap, float64(every)+0.002)
			if b.Stake == outline.None {
				share := float64(b.Along) / float64(every)
				assert.InDelta(t, math.Round(share), share, 1e-9, "a multiple of the spacing")
			}
			assert.LessOrEqual(t, dist(a.At, b.At), gap+1e-9, "a chord is no longer than its arc")
			assert.GreaterOrEqual(t, dist(a.At, b.At), gap*2/math.Pi-1e-9, "nor shorter than that of a half circle")
		}
	}
	assert.LessOrEqual(t, shown, total+1e-9)
}

func TestAFrameTakesCoordinatesFromTwoMarks(t *testing.T) {
	t.Parallel()
	f, ok := outline.NewFrame(pt(2, 1), pt(2, 9)) // x runs up, y to the left of that
	require.True(t, ok)
	assert.Equal(t, pt(0, 0), f.Place(pt(2, 1)))
	assert.Equal(t, pt(8, 0), f.Place(pt(2, 9)))
	assert.Equal(t, pt(3, -5), f.Place(pt(7, 4)))
	assert.Equal(t, pt(7, 4), outline.Frame{}.Place(pt(7, 4)), "as taped")
	assert.Equal(t, pt(0, 4), outline.Frame{}.Place(pt(9e-17, 4)), "no rounding error")
	_, ok = outline.NewFrame(pt(2, 1), pt(2, 1.0005))
	assert.False(t, ok)
}

func TestAFrameKeepsDistances(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		at := func(name string) outline.Point {
			return pt(rapid.Float64Range(-50, 50).Draw(t, name), rapid.Float64Range(-50, 50).Draw(t, name))
		}
		o, x, p, q := at("origin"), at("towards"), at("p"), at("q")
		f, ok := outline.NewFrame(o, x)
		if !ok {
			t.Skip("one point")
		}
		assert.InDelta(t, dist(p, q), dist(f.Place(p), f.Place(q)), 1e-9)
		assert.InDelta(t, 0, dist(f.Place(o), pt(0, 0)), 1e-9)
		assert.InDelta(t, 0, dist(f.Place(x), pt(dist(o, x), 0)), 1e-9)
		// Never mirrored: p stays on its side of the line.
		side := float64(x.X-o.X)*float64(p.Y-o.Y) - float64(x.Y-o.Y)*float64(p.X-o.X)
		assert.InDelta(t, side, dist(o, x)*float64(f.Place(p).Y), 1e-6)
	})
}

func TestALargeOutlineHasItsCornersOnly(t *testing.T) {
	t.Parallel()
	const n = 5000
	points, radii := make([]outline.Point, n), make([]measure.Length, n)
	for i := range points {
		r, a := 100+float64(i%2), 2*math.Pi*float64(i)/n
		points[i], radii[i] = pt(r*math.Cos(a), r*math.Sin(a)), 0.01
	}
	o, err := outline.Polygon(points, radii)
	require.NoError(t, err)
	s := o.Staking(0, 4*n)
	assert.True(t, s.Whole)
	assert.Len(t, s.Stakes, 4*n, "a corner, two tangent points and a pivot")
	s = o.Staking(0, 4*n-1)
	assert.False(t, s.Whole)
	require.Len(t, s.Stakes, n)
	for i, at := range s.Stakes {
		require.Equal(t, outline.Stake{Kind: outline.CornerStake, Side: outline.None, Corner: i, At: points[i]}, at)
	}
	assert.Len(t, s.Spans(), 2*n)
	assert.Empty(t, s.Pivots)
	assert.Empty(t, s.Curves(0.001))
	assert.Zero(t, s.Spacings(0.001))
	first, second := s.Baseline()
	assert.Equal(t, 1, second-first)

	circle, err := outline.Circle(pt(0, 0), 1)
	require.NoError(t, err)
	assert.True(t, circle.Staking(0, 0).Whole, "a few stakes there are in any case")
}
