package outline_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// every gives stations at equal steps.
func every(step float64, outs ...float64) []outline.Station {
	var s []outline.Station
	for i, out := range outs {
		s = append(s, outline.Station{Along: measure.Length(step * float64(i)), Out: measure.Length(out)})
	}
	return s
}

func taped(t require.TestingT, stations []outline.Station, join outline.Join) *outline.Outline {
	o, err := outline.Offsets(outline.Point{}, 0, stations, join)
	require.NoError(t, err)
	return o
}

func TestPublishedOffsets(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name               string
		stations           []outline.Station
		trapezoid, simpson float64
	}{
		// Surveying course, calculation of areas, example 1: nine ordinates at 10 m (WE-03): 460.75 m2 by the trapezoidal
		// rule, 461.167 m2 by Simpson's.
		{"nine offsets at 10 m", every(10, 3.15, 4.3, 8.2, 5.6, 6.85, 7.6, 4.2, 5.6, 4.3), 460.75, 461.167},
		// Surveying handout after La Putt, problems E1 and E2: thirteen ordinates at 3.5 m (WE-04): 211.4 m2 and 211.17 m2.
		{"thirteen offsets at 3.5 m", every(3.5, 0.8, 3.6, 4.7, 5.3, 3.9, 2.7, 4.6, 5.5, 4.9, 7.6, 8.8, 5.4, 6.0), 211.4, 211.17},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			assert.InDelta(t, c.trapezoid, float64(taped(t, c.stations, outline.Straight).Area()), 1e-9)
			// Arcs and Simpson's parabolas run through the same points: they differ by far less than the offsets do.
			assert.InEpsilon(t, c.simpson, float64(taped(t, c.stations, outline.Smooth).Area()), 0.01)
		})
	}
}

func TestSidesOfATapedLineFollowTheWalk(t *testing.T) {
	t.Parallel()
	// Square ends at both stations: baseline, end, two stretches, end.
	o := taped(t, every(3, 2, 4, 1), outline.Straight)
	assert.Equal(t, 5, o.Sides())
	for side, want := range [][2]outline.Point{{pt(0, 0), pt(6, 0)}, {pt(6, 0), pt(6, 1)}, {pt(6, 1), pt(3, 4)}, {pt(3, 4), pt(0, 2)}, {pt(0, 2), pt(0, 0)}} {
		from, to, ok := o.SideLine(side)
		require.True(t, ok, side)
		assert.Equal(t, want, [2]outline.Point{from, to}, side)
	}
	// No square end where the line starts at the wall.
	o = taped(t, every(3, 0, 4, 1), outline.Straight)
	assert.Equal(t, 4, o.Sides())
	from, to, _ := o.SideLine(3)
	assert.Equal(t, [2]outline.Point{pt(3, 4), pt(0, 0)}, [2]outline.Point{from, to})
	o = taped(t, every(3, 0, 4, 0), outline.Straight)
	assert.Equal(t, 3, o.Sides())
	// Each smooth stretch is one side of one or two elements, in order.
	o = taped(t, every(3, 2, 4, 1, 3), outline.Smooth)
	assert.Equal(t, 6, o.Sides())
	last, elements := 0, map[int]int{}
	for _, e := range o.Elements() {
		assert.GreaterOrEqual(t, e.Side, last)
		last = e.Side
		elements[e.Side]++
	}
	assert.Equal(t, map[int]int{0: 1, 1: 1, 2: 2, 3: 2, 4: 2, 5: 1}, elements)
	for side, straight := range []bool{true, true, false, false, false, true} {
		_, _, ok := o.SideLine(side)
		assert.Equal(t, straight, ok, side)
	}
	// Negative distances lie to the right of the baseline; the numbers stay.
	o = taped(t, every(3, -2, -4, -1), outline.Straight)
	assert.True(t, o.Reversed())
	assert.InDelta(t, 3*(3+2.5), float64(o.Area()), 1e-12)
}

func TestOffsetsLieWhereTheBaselineIs(t *testing.T) {
	t.Parallel()
	o, err := outline.Offsets(pt(10, 20), measure.Degrees(90), []outline.Station{{Along: -1, Out: 2}, {Along: 3, Out: 1}}, outline.Smooth)
	require.NoError(t, err)
	low, high := o.Bounds()
	assert.InDelta(t, 0, dist(pt(8, 19), low), 1e-12)
	assert.InDelta(t, 0, dist(pt(10, 23), high), 1e-12)
	assert.InDelta(t, 6, float64(o.Area()), 1e-12)
}

func TestSmoothLinesReproduceCirclesAndStraights(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.Float64Range(0.5, 50).Draw(t, "radius")
		n := rapid.IntRange(3, 12).Draw(t, "stations")
		from := rapid.Float64Range(0.5, 1).Draw(t, "from") * math.Pi
		to := rapid.Float64Range(0, 0.45).Draw(t, "to") * math.Pi
		var arc, straight []outline.Station
		for i := range n { // equally far apart on the circle, left to right
			a := from + (to-from)*float64(i)/float64(n-1)
			arc = append(arc, outline.Station{Along: measure.Length(r * math.Cos(a)), Out: measure.Length(1 + r*math.Sin(a))})
			straight = append(straight, outline.Station{Along: measure.Length(i * i), Out: measure.Length(2 + 0.3*float64(i*i))})
		}
		o := taped(t, arc, outline.Smooth)
		for _, e := range o.Elements() {
			if !e.Straight() {
				assert.InEpsilon(t, r, float64(e.Radius), 1e-6)
				assert.InDelta(t, 0, dist(e.Centre, pt(0, 1)), 1e-6*r)
			}
		}
		// Under the arc: the sector from angle to to from, the triangles that it leaves, and 1 m all along.
		under := r*r*(from-to)/2 + r*r*(math.Sin(to)*math.Cos(to)-math.Sin(from)*math.Cos(from))/2 + r*(math.Cos(to)-math.Cos(from))
		assert.InEpsilon(t, under, float64(o.Area()), 1e-9)
		assert.Len(t, o.Elements(), n+2, "one arc a stretch")

		o = taped(t, straight, outline.Smooth)
		for _, e := range o.Elements() {
			assert.True(t, e.Straight())
		}
	})
}

// strolls draws the stations of a curved bed, some of it steep.
func strolls(t *rapid.T) []outline.Station {
	n := rapid.IntRange(3, 12).Draw(t, "stations")
	var s []outline.Station
	along := 0.0
	for range n {
		along += rapid.Float64Range(0.05, 4).Draw(t, "step")
		s = append(s, outline.Station{Along: measure.Length(along), Out: measure.Length(rapid.Float64Range(5, 9).Draw(t, "out"))})
	}
	return s
}

// Between two stations the line stays within c/2 tan(a/2) of their straight, a the greater angle of its tangents to that,
// and the tangents lean at most 60 degrees, or half of the corner, from the straights.
func TestSmoothLinesDoNotOvershoot(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := strolls(t)
		o, err := outline.Offsets(outline.Point{}, 0, s, outline.Smooth)
		if err != nil { // steep ones may cross themselves
			var crossing *outline.CrossingError
			require.ErrorAs(t, err, &crossing)
			t.Skip("crosses itself")
		}
		n := len(s)
		at := func(i int) outline.Point { return outline.Point{X: s[i].Along, Y: s[i].Out} }
		head := func(p, q outline.Point) float64 {
			return math.Atan2(float64(q.Y-p.Y), float64(q.X-p.X))
		}
		apart := func(a, b float64) float64 { return math.Abs(math.Remainder(a-b, 2*math.Pi)) }
		var before outline.Edge
		for k := range n - 1 {
			i := n - 1 - k // from station i back to i-1
			p, q := at(i), at(i-1)
			var pieces []outline.Edge
			for _, e := range o.Elements() {
				if e.Side == 2+k {
					pieces = append(pieces, e.Edge)
				}
			}
			require.NotEmpty(t, pieces)
			first, last := pieces[0], pieces[len(pieces)-1]
			assert.Equal(t, [2]outline.Point{p, q}, [2]outline.Point{first.From, last.To})
			chord := head(p, q)
			a, b := apart(float64(first.Heading(0)), chord), apart(float64(last.Heading(1)), chord)
			bound := dist(p, q) / 2 * math.Tan(max(a, b)/2)
			for _, e := range pieces {
				for share := range 21 {
					x := e.Point(measure.Factor(float64(share) / 20))
					assert.LessOrEqual(t, distToLine(x, p, q), bound+1e-9)
				}
			}
			if len(pieces) == 2 { // tangent to each other
				assert.InDelta(t, 0, apart(float64(first.Heading(1)), float64(last.Heading(0))), 1e-6)
			}
			if k > 0 { // and to the stretch before: parallel to the chord of the neighbours unless that leans too far
				assert.InDelta(t, 0, apart(float64(before.Heading(1)), float64(first.Heading(0))), 1e-6)
				corner := apart(head(at(i+1), p), chord)
				assert.LessOrEqual(t, a, max(math.Pi/3, corner/2)+1e-6)
				wanted := head(at(i+1), q)
				if max(apart(wanted, chord), apart(wanted, head(at(i+1), p))) < math.Pi/3 {
					assert.InDelta(t, 0, apart(wanted, float64(first.Heading(0))), 1e-6)
				}
			}
			before = last
		}
		// At the ends it does not run out past the square ends.
		assert.LessOrEqual(t, apart(float64(before.Heading(1)), math.Pi), math.Pi/2+1e-6)
	})
}

// distToLine is the distance of x from the straight from p to q.
func distToLine(x, p, q outline.Point) float64 {
	dx, dy := float64(q.X-p.X), float64(q.Y-p.Y)
	l := math.Hypot(dx, dy)
	t := max(0, min(l, (float64(x.X-p.X)*dx+float64(x.Y-p.Y)*dy)/l))
	return math.Hypot(float64(x.X-p.X)-t*dx/l, float64(x.Y-p.Y)-t*dy/l)
}

// At the ends the tangent is that of the circle through three points: for (0, 5), (3, 6), (9, 3) it has the centre of
// equal distances, found here from the perpendicular bisectors.
func TestSmoothLinesEndAlongTheCircleThroughThreePoints(t *testing.T) {
	t.Parallel()
	o := taped(t, []outline.Station{{Along: 0, Out: 5}, {Along: 3, Out: 6}, {Along: 9, Out: 3}, {Along: 12, Out: 4}}, outline.Smooth)
	// 6 x + 2 y = 20 and 18 x - 4 y = 65 are the places equally far from the first and the second, the first and the third.
	x := (2*20 + 65.0) / 30
	y := (20 - 6*x) / 2
	elements := o.Elements()
	last := elements[len(elements)-2]
	require.Equal(t, pt(0, 5), last.To)
	radius := math.Atan2(y-5, x)
	assert.InDelta(t, 0, math.Cos(float64(last.Heading(1))-radius), 1e-9)
}

func TestSmoothLinesKeepTheirAreaMovedTurnedAndMirrored(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := strolls(t)
		o, err := outline.Offsets(outline.Point{}, 0, s, outline.Smooth)
		if err != nil {
			t.Skip("crosses itself")
		}
		end := s[len(s)-1].Along
		var mirrored, under []outline.Station
		for i := range s {
			mirrored = append(mirrored, outline.Station{Along: end - s[len(s)-1-i].Along, Out: s[len(s)-1-i].Out})
			under = append(under, outline.Station{Along: s[i].Along, Out: -s[i].Out})
		}
		by := measure.Angle(rapid.Float64Range(-6, 6).Draw(t, "turn"))
		for _, c := range []struct {
			at       outline.Point
			by       measure.Angle
			stations []outline.Station
		}{{pt(3, -7), by, s}, {pt(0, 0), 0, mirrored}, {pt(0, 0), 0, under}} {
			again, err := outline.Offsets(c.at, c.by, c.stations, outline.Smooth)
			require.NoError(t, err)
			assert.InDelta(t, float64(o.Area()), float64(again.Area()), 1e-6)
			assert.InDelta(t, float64(o.Perimeter()), float64(again.Perimeter()), 1e-5)
		}
	})
}

func TestOffsetFaultsNameTheirStation(t *testing.T) {
	t.Parallel()
	at := func(ao ...float64) []outline.Station {
		var s []outline.Station
		for i := 0; i < len(ao); i += 2 {
			s = append(s, outline.Station{Along: measure.Length(ao[i]), Out: measure.Length(ao[i+1])})
		}
		return s
	}
	for _, c := range []struct {
		name     string
		stations []outline.Station
		want     error
	}{
		{"one station is no line", at(0, 1), &outline.PointCountError{Points: 1}},
		{"stations running backwards", at(0, 1, 2, 1, 1, 2), &outline.StationOrderError{Station: 2}},
		{"two stations in one place", at(0, 1, 2, 1, 2, 3), &outline.StationOrderError{Station: 2}},
		{"an inner station on the baseline", at(0, 1, 2, 0, 3, 3), &outline.StationSideError{Station: 1}},
		{"a station on the other side", at(0, 1, 2, 1, 3, -3), &outline.StationSideError{Station: 2}},
		{"nothing but baseline", at(0, 0, 2, 0), &outline.TooSmallError{}},
		{"no number", at(0, 1, math.NaN(), 1), &outline.NumberError{What: "station", Index: 1}},
		{"too far out", at(0, 1, 2, 2e6), &outline.NumberError{What: "station", Index: 1}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			for _, join := range []outline.Join{outline.Straight, outline.Smooth} {
				_, err := outline.Offsets(outline.Point{}, 0, c.stations, join)
				require.Error(t, err)
				assert.Equal(t, c.want, joined(err)[0])
				assert.NotEmpty(t, err.Error())
			}
		})
	}
	_, err := outline.Offsets(pt(math.Inf(1), 0), 0, at(0, 1, 2, 1), outline.Straight)
	assert.Equal(t, &outline.NumberError{What: "point"}, joined(err)[0])
	// A line that leaves the wall and dips back over it where it runs smoothly.
	_, err = outline.Offsets(outline.Point{}, 0, at(0, 0.001, 4, 0.001, 5, 6, 9, 6), outline.Smooth)
	var crossing *outline.CrossingError
	require.ErrorAs(t, err, &crossing)
	assert.Equal(t, 0, crossing.SideA)
}

// FuzzOffsets: whatever the stations are, there is an error or a sound outline.
func FuzzOffsets(f *testing.F) {
	f.Add([]byte{0, 0, 0, 0, 64, 0, 0, 64, 0, 0, 80, 0, 0, 96, 0, 0, 9, 0}, true)
	f.Fuzz(func(t *testing.T, data []byte, rising bool) {
		n := numbers(data)
		var stations []outline.Station
		along := 0.0
		for ; len(n) >= 2; n = n[2:] {
			if rising {
				along += math.Abs(n[0])
			} else {
				along = n[0]
			}
			stations = append(stations, outline.Station{Along: measure.Length(along), Out: measure.Length(n[1])})
		}
		for _, join := range []outline.Join{outline.Straight, outline.Smooth} {
			sound(t, func() (*outline.Outline, error) { return outline.Offsets(pt(1, 2), 0.1, stations, join) })
		}
	})
}
