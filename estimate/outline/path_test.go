package outline_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

func lineTo(x, y float64) outline.Segment { return outline.Segment{To: pt(x, y)} }

func arcVia(x, y, viaX, viaY float64) outline.Segment {
	return outline.Segment{Kind: outline.ViaSegment, To: pt(x, y), Via: pt(viaX, viaY)}
}

func arcRadius(x, y, r float64, turn outline.Hand, large bool) outline.Segment {
	return outline.Segment{Kind: outline.RadiusSegment, To: pt(x, y), Radius: measure.Length(r), Turn: turn, Large: large}
}

func arcRise(x, y, rise float64, turn outline.Hand) outline.Segment {
	return outline.Segment{Kind: outline.RiseSegment, To: pt(x, y), Rise: measure.Length(rise), Turn: turn}
}

// element gives the only element of a side.
func element(t require.TestingT, o *outline.Outline, side int) outline.Edge {
	var found []outline.Edge
	for _, e := range o.Elements() {
		if e.Side == side {
			found = append(found, e.Edge)
		}
	}
	require.Len(t, found, 1)
	return found[0]
}

// segmentArea is the area between a chord and an arc of height h over it (handbook formula, X-seg-h).
func segmentArea(r, h float64) float64 {
	return r*r*math.Acos((r-h)/r) - (r-h)*math.Sqrt(2*r*h-h*h)
}

func TestPathArcsHaveTheirFormulaRadiiAndAreas(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name     string
		start    outline.Point
		segments []outline.Segment
		radius   float64 // of side 0
		area     float64
	}{
		// r = (c^2/4 + h^2) / 2h (sagitta formula): chord 24, rise 6.
		{"rise over a chord", pt(0, 0), []outline.Segment{arcRise(24, 0, 6, outline.Outward), lineTo(0, 0)}, 15, segmentArea(15, 6)},
		{"rise of more than half the chord", pt(0, 0), []outline.Segment{arcRise(6, 0, 9, outline.Outward), lineTo(0, 0)}, 5, segmentArea(5, 9)},
		{"rise of a half circle", pt(0, 0), []outline.Segment{arcRise(6, 0, 3, outline.Left), lineTo(0, 0)}, 3, math.Pi * 9 / 2},
		{"radius and turn", pt(0, 0), []outline.Segment{arcRadius(6, 0, 5, outline.Left, false), lineTo(0, 0)}, 5, segmentArea(5, 1)},
		{"the longer way round", pt(0, 0), []outline.Segment{arcRadius(6, 0, 5, outline.Left, true), lineTo(0, 0)}, 5, segmentArea(5, 9)},
		{"turning right", pt(0, 0), []outline.Segment{arcRadius(6, 0, 5, outline.Right, false), lineTo(0, 0)}, 5, segmentArea(5, 1)},
		{"a radius of just half the chord", pt(0, 0), []outline.Segment{arcRadius(0.3, 0.4, 0.25, outline.Left, false), lineTo(0, 0)}, 0.25, math.Pi / 32},
		{"through a point", pt(0, 0), []outline.Segment{arcVia(10, 0, 5, -5), lineTo(0, 0)}, 5, math.Pi * 25 / 2},
		// The circle about a triangle has the radius a b c / 4 K: 8.125 for sides 13, 14, 15 of area 84 (Heron's triangle).
		// Its centre is 4.125 above the side of 14.
		{"about Heron's triangle", pt(0, 0), []outline.Segment{arcVia(14, 0, 5, 12), lineTo(0, 0)}, 8.125, segmentArea(8.125, 8.125+4.125)},
		// Two arcs meet in a lens: each a segment of radius 5 and height 2.
		{"two arcs", pt(0, 0), []outline.Segment{arcRise(8, 0, 2, outline.Outward), arcRise(0, 0, 2, outline.Outward)}, 5, 2 * segmentArea(5, 2)},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			o, err := outline.Path(c.start, c.segments)
			require.NoError(t, err)
			e := element(t, o, 0)
			assert.InEpsilon(t, c.radius, float64(e.Radius), 1e-12)
			assert.InEpsilon(t, c.area, float64(o.Area()), 1e-12)
			for _, end := range []outline.Point{e.From, e.To, e.Point(0.5)} {
				assert.InDelta(t, c.radius, dist(end, e.Centre), 1e-12)
			}
		})
	}
}

func TestRiseBulgesOutWhicheverWayThePathRuns(t *testing.T) {
	t.Parallel()
	square := [][2]float64{{0, 0}, {8, 0}, {8, 6}, {0, 6}}
	over := segmentArea(5, 2)
	for _, backwards := range []bool{false, true} {
		corners := slices.Clone(square)
		side := 0
		if backwards {
			slices.Reverse(corners)
			side = 2 // the bottom again
		}
		bed := func(turn outline.Hand) *outline.Outline {
			var segments []outline.Segment
			for i := range corners {
				to := corners[(i+1)%4]
				if i == side {
					segments = append(segments, arcRise(to[0], to[1], 2, turn))
				} else {
					segments = append(segments, lineTo(to[0], to[1]))
				}
			}
			o, err := outline.Path(pt(corners[0][0], corners[0][1]), segments)
			require.NoError(t, err)
			assert.Equal(t, backwards, o.Reversed())
			return o
		}
		in, out := outline.Right, outline.Left
		if backwards {
			in, out = out, in
		}
		assert.InDelta(t, 48+over, float64(bed(outline.Outward).Area()), 1e-12)
		assert.InDelta(t, 48+over, float64(bed(out).Area()), 1e-12)
		assert.InDelta(t, 48-over, float64(bed(in).Area()), 1e-12)
	}
}

func TestPathClosesWithinAMillimetre(t *testing.T) {
	t.Parallel()
	ending := func(x float64) error {
		o, err := outline.Path(pt(0, 0), []outline.Segment{lineTo(4, 0), lineTo(4, 3), lineTo(x, 0)})
		if err == nil {
			loop := o.Loop()
			assert.Equal(t, loop[0].From, loop[2].To)
			assert.InDelta(t, 6, float64(o.Area()), 1e-12)
		}
		return err
	}
	require.NoError(t, ending(0))
	require.NoError(t, ending(0.001))
	require.NoError(t, ending(-0.0009))
	var open *outline.OpenPathError
	require.ErrorAs(t, ending(0.0011), &open)
	assert.Equal(t, 2, open.Segment)
	assert.InDelta(t, 0.0011, float64(open.Misses), 1e-12)
}

func TestPathFaultsNameTheirSegment(t *testing.T) {
	t.Parallel()
	back := lineTo(0, 0)
	for _, c := range []struct {
		name     string
		segments []outline.Segment
		want     error
	}{
		{"one segment is no outline", []outline.Segment{back}, &outline.PointCountError{Points: 1}},
		{"a segment without length", []outline.Segment{lineTo(4, 0), lineTo(4, 0), lineTo(4, 4), back}, &outline.DuplicatePointError{Point: 1}},
		{"an arc that ends where it starts", []outline.Segment{lineTo(4, 0), arcVia(4, 0, 6, 0), lineTo(4, 4), back}, &outline.DuplicatePointError{Point: 1}},
		{"a point between that lies on the chord", []outline.Segment{arcVia(4, 0, 1, 0), lineTo(4, 4), back}, &outline.ArcError{Segment: 0, Fault: outline.ViaOnLine}},
		{"a point between that lies beyond the end", []outline.Segment{lineTo(4, 0), arcVia(4, 4, 4, 7), back}, &outline.ArcError{Segment: 1, Fault: outline.ViaOnLine}},
		{"a point between that is an end", []outline.Segment{lineTo(4, 0), arcVia(4, 4, 4, 0), back}, &outline.ArcError{Segment: 1, Fault: outline.ViaOnLine}},
		{"a radius that is too short", []outline.Segment{lineTo(4, 0), arcRadius(4, 4, 1.99, outline.Left, false), back}, &outline.ArcError{Segment: 1, Fault: outline.ShortRadius, Least: 2}},
		{"a radius that turns nowhere", []outline.Segment{lineTo(4, 0), arcRadius(4, 4, 5, outline.Outward, false), back}, &outline.ArcError{Segment: 1, Fault: outline.NoSize}},
		{"no rise", []outline.Segment{lineTo(4, 0), arcRise(4, 4, 0, outline.Left), back}, &outline.ArcError{Segment: 1, Fault: outline.NoSize}},
		{"no number", []outline.Segment{lineTo(4, 0), lineTo(math.NaN(), 4), back}, &outline.NumberError{What: "segment", Index: 1}},
		{"too far out", []outline.Segment{lineTo(4, 0), lineTo(4, 2e6), back}, &outline.NumberError{What: "segment", Index: 1}},
		{"there and back", []outline.Segment{lineTo(4, 0), back}, &outline.PointCountError{Points: 2}},
		{"an arc that crosses a line", []outline.Segment{lineTo(6, 0), lineTo(6, 2), arcRise(0, 2, 2.5, outline.Right), back}, &outline.CrossingError{}},
		{"an area of nothing", []outline.Segment{arcRise(4, 0, 1e-5, outline.Left), back}, &outline.TooSmallError{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			o, err := outline.Path(pt(0, 0), c.segments)
			require.Error(t, err)
			assert.Nil(t, o)
			first := joined(err)[0]
			assert.NotEmpty(t, first.Error())
			switch c.want.(type) {
			case *outline.CrossingError, *outline.TooSmallError:
				assert.IsType(t, c.want, first)
			default:
				assert.Equal(t, c.want, first)
			}
		})
	}
}

// wander draws a path round the origin with every kind of segment.
func wander(t *rapid.T) (outline.Point, []outline.Segment) {
	n := rapid.IntRange(3, 9).Draw(t, "sides")
	at := func(i int) (x, y float64) {
		a := 2 * math.Pi * float64(i%n) / float64(n)
		return 5 * math.Cos(a), 4 * math.Sin(a)
	}
	var segments []outline.Segment
	for i := range n {
		x0, y0 := at(i)
		x, y := at(i + 1)
		chord := math.Hypot(x-x0, y-y0)
		size := chord * rapid.Float64Range(0.01, 0.08).Draw(t, "rise")
		switch rapid.IntRange(0, 4).Draw(t, "kind") {
		case 0:
			segments = append(segments, lineTo(x, y))
		case 1:
			segments = append(segments, arcRise(x, y, size, outline.Outward))
		case 2:
			segments = append(segments, arcRise(x, y, size, outline.Right))
		case 3:
			segments = append(segments, arcRadius(x, y, chord*chord/8/size+size/2, outline.Left, false))
		case 4:
			segments = append(segments, arcVia(x, y, (x+x0)/2+(y-y0)*size/chord, (y+y0)/2-(x-x0)*size/chord))
		}
	}
	x, y := at(0)
	return pt(x, y), segments
}

func TestPathsKeepTheirMeasuresWhenMovedTurnedOrWalkedBackwards(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		start, segments := wander(t)
		o, err := outline.Path(start, segments)
		require.NoError(t, err)
		require.False(t, o.Reversed())

		by := measure.Angle(rapid.Float64Range(-3, 3).Draw(t, "turn"))
		dx, dy := rapid.Float64Range(-100, 100).Draw(t, "dx"), rapid.Float64Range(-100, 100).Draw(t, "dy")
		move := func(p outline.Point) outline.Point {
			p = p.Rotate(outline.Point{}, by)
			return pt(float64(p.X)+dx, float64(p.Y)+dy)
		}
		moved := slices.Clone(segments)
		for i := range moved {
			moved[i].To, moved[i].Via = move(moved[i].To), move(moved[i].Via)
		}
		turned, err := outline.Path(move(start), moved)
		require.NoError(t, err)
		assert.InDelta(t, float64(o.Area()), float64(turned.Area()), 1e-9)
		assert.InDelta(t, float64(o.Perimeter()), float64(turned.Perimeter()), 1e-9)

		n := len(segments)
		back := make([]outline.Segment, n)
		for i := range segments {
			s := segments[n-1-i]
			switch s.Turn {
			case outline.Left:
				s.Turn = outline.Right
			case outline.Right:
				s.Turn = outline.Left
			}
			s.To = start
			if i < n-1 {
				s.To = segments[n-2-i].To
			}
			back[i] = s
		}
		reversed, err := outline.Path(start, back)
		require.NoError(t, err)
		assert.True(t, reversed.Reversed())
		assert.InDelta(t, float64(o.Area()), float64(reversed.Area()), 1e-9)
		assert.InDelta(t, float64(o.Perimeter()), float64(reversed.Perimeter()), 1e-9)
	})
}

// FuzzPath: whatever the segments are, there is an error or a sound outline.
func FuzzPath(f *testing.F) {
	f.Add([]byte{0, 0, 4, 0, 0, 0, 0, 0, 4, 0, 0, 1, 0, 0, 2, 0, 64, 0})
	f.Fuzz(func(t *testing.T, data []byte) {
		n := numbers(data)
		var segments []outline.Segment
		for ; len(n) >= 5; n = n[5:] {
			pick := int(int64(n[4]*64)) & 63
			segments = append(segments, outline.Segment{Kind: outline.SegmentKind(pick & 3), To: pt(n[0], n[1]), Via: pt(n[2], n[3]),
				Radius: measure.Length(n[2]), Rise: measure.Length(n[3]), Turn: outline.Hand((pick >> 2 & 3) % 3), Large: pick&16 != 0})
		}
		start := pt(0, 0)
		if len(segments) > 0 {
			start = segments[len(segments)-1].To
		}
		sound(t, func() (*outline.Outline, error) { return outline.Path(start, segments) })
	})
}

// sound fails where neither an error nor a sound outline comes.
func sound(t *testing.T, make func() (*outline.Outline, error)) {
	t.Helper()
	o, err := make()
	if (o == nil) == (err == nil) {
		t.Fatal("neither an outline nor an error, or both")
	}
	if err != nil {
		_ = err.Error()
		return
	}
	if !(o.Area() >= 1e-4) || !(o.Perimeter() > 0) || math.IsInf(float64(o.Area()), 0) || math.IsInf(float64(o.Perimeter()), 0) {
		t.Fatalf("area %v, perimeter %v", o.Area(), o.Perimeter())
	}
	loop := o.Loop()
	for i, e := range loop {
		if e.To != loop[(i+1)%len(loop)].From {
			t.Fatal("the chain is open")
		}
		if side := o.Elements()[i].Side; side < 0 || side >= o.Sides() {
			t.Fatalf("side %d of %d", side, o.Sides())
		}
	}
	if out := o.Outside(loop); float64(out) > 1e-6*float64(o.Perimeter()) {
		t.Fatalf("the outline lies %v outside itself", out)
	}
}
