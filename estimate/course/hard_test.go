package course_test

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate/course"
	"bedline/estimate/internal/hard"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// sound holds a course to what is true of every course.
func sound(t require.TestingT, o *outline.Outline, s course.Spec, c *course.Course) {
	number := func(name string, v float64) {
		require.True(t, v >= 0 && !math.IsInf(v, 0), "%s is %v", name, v)
	}
	var units course.Units
	length, joints := measure.Length(0), 0
	for _, r := range c.Runs {
		require.Equal(t, r.Units.Total, r.Units.Whole+r.Units.Cut)
		require.Equal(t, r.Units.Total, r.Full+r.Closers)
		units.Whole, units.Cut, units.Total = units.Whole+r.Units.Whole, units.Cut+r.Units.Cut, units.Total+r.Units.Total
		length, joints = length+r.Length, joints+r.Joints
		for name, v := range map[string]float64{"length": float64(r.Length), "run": float64(r.RunLength), "radius": float64(r.Radius), "turn": float64(r.Turn),
			"closer": float64(r.Closer), "joint": float64(r.JointWidth), "gap": float64(r.Gap), "unit turn": float64(r.UnitTurn), "off": float64(r.Off), "short face": float64(r.ShortFace)} {
			number(name, v)
		}
	}
	require.Equal(t, units, c.Units)
	require.InDelta(t, float64(length), float64(c.EdgedLength), 1e-9*float64(length))
	require.GreaterOrEqual(t, c.Joints, joints)
	for _, cut := range c.Cuts {
		number("cut", float64(cut.Count))
		number("angle of a cut", float64(cut.Angle))
		number("left of a cut", float64(cut.Left))
		number("length of a cut", float64(cut.Length))
	}
	number("joints", float64(c.JointVolume))
	// The band lies along the bed line, the trench round it.
	shares := outline.Divide([]outline.Region{o.Region(), c.Band, c.Trench}, 3, func(cover outline.Cover) int {
		switch {
		case cover.Has(1) && !cover.Has(2):
			return 2
		case cover.Has(1):
			return 0
		}
		return 1
	})
	for _, share := range shares {
		number("ground", float64(share.Area))
	}
	require.LessOrEqual(t, float64(shares[0].Area), float64(c.EdgedLength.Times(c.Width))+float64(len(c.Runs))*10*float64(c.Width.Times(c.Width)))
}

func TestHardOutlinesAreEdgedAllRound(t *testing.T) {
	t.Parallel()
	for _, h := range hard.Outlines() {
		t.Run(h.Name, func(t *testing.T) {
			t.Parallel()
			h.Placed(t, func(name string, o *outline.Outline, _, _ float64) {
				for _, kind := range []course.Kind{course.Sailor, course.Soldier} {
					for _, curves := range []course.Curves{course.AutoCurves, course.OpenCurves, course.CutCurves} {
						if len(o.Elements()) > 100 && (kind == course.Soldier || curves != course.AutoCurves) {
							continue // no arcs, and slow
						}
						s := cobble()
						s.Kind, s.Curves, s.Clearance = kind, curves, inch
						c, err := course.Lay(o, s)
						require.NoError(t, err, name)
						sound(t, o, s, c)
						assert.InDelta(t, float64(o.Perimeter()), float64(c.EdgedLength), 1e-8*float64(len(c.Runs)+1), name)
						assert.True(t, c.Closed, name)
					}
				}
			})
		})
	}
}

// FuzzLay: whatever outline and spec are, there is an error of a known kind or a sound course.
func FuzzLay(f *testing.F) {
	f.Add([]byte{0, 0, 0, 0, 0, 0, 0, 64, 0, 0, 0, 0, 0, 64, 0, 0, 64, 0, 0, 0, 0, 0, 64, 0}, byte(0), 8.0, 4.0, 0.125, 1.0)
	f.Add([]byte{0, 0, 0, 0, 0, 0, 0, 8, 0, 0, 0, 4, 0, 0, 0, 0, 8, 0, 0, 0, 4, 0, 2, 0, 0, 8, 0, 0, 1, 0}, byte(5), 8.0, 4.0, 0.0, 0.0)
	f.Fuzz(func(t *testing.T, data []byte, kind byte, length, width, joint, clearance float64) {
		n := hard.Numbers(data)
		var points []outline.Point
		var radii []measure.Length
		for ; len(n) >= 3; n = n[3:] {
			points = append(points, outline.Point{X: measure.Length(n[0]), Y: measure.Length(n[1])})
			radii = append(radii, measure.Length(math.Abs(n[2])))
		}
		if kind&64 != 0 {
			radii = nil
		}
		o, err := outline.Polygon(points, radii)
		if err != nil {
			return
		}
		s := course.Spec{Unit: course.Unit{Length: measure.Length(length) * inch, Width: measure.Length(width) * inch, Thickness: 2 * inch},
			Kind: course.Kind(kind & 1), Curves: course.Curves(kind >> 1 % 3), Joint: measure.Length(joint) * inch, JointMax: inch / 4,
			Clearance: measure.Length(clearance) * inch, LeastPiece: third}
		if kind&32 != 0 {
			s.Sides = []int{int(kind) % 5, 0}
		}
		c, err := course.Lay(o, s)
		if err != nil {
			var unit *course.UnitError
			var spec *course.SpecError
			var unknown *course.UnknownSideError
			var twice *course.RepeatedSideError
			var tight *course.TightRadiusError
			if !errors.As(err, &unit) && !errors.As(err, &spec) && !errors.As(err, &unknown) && !errors.As(err, &twice) && !errors.As(err, &tight) {
				t.Fatal(err)
			}
			_ = err.Error()
			return
		}
		if length+width+clearance > 1e5 || length < 1e-3 || width < 1e-3 {
			return // units of kilometres or of a hair make no courses
		}
		sound(t, o, s, c)
	})
}

// Where two edges of the bed line run back along each other from their corner, rounding must not settle whether the corner
// stands out or in.
func TestCuspsStandOutOrInWhicheverWayRoundingFalls(t *testing.T) {
	t.Parallel()
	at := func(x, y float64) outline.Point {
		return outline.Point{X: measure.Length(x), Y: measure.Length(y)}
	}
	quarter := func(x, y, from, turn float64, start, end outline.Point) outline.Edge {
		e := outline.Arc(at(x, y), 2, measure.Degrees(from), measure.Degrees(turn))
		e.From, e.To = start, end
		return e
	}
	for _, c := range []struct {
		name  string
		edges []outline.Edge
		cusp  int // the side that ends in it
		turn  float64
	}{
		{"a side and an arc that meet in a tip", []outline.Edge{outline.Line(at(0, 0), at(2, 0)), outline.Line(at(2, 0), at(2, 2)), quarter(0, 2, 0, -90, at(2, 2), at(0, 0))}, 2, math.Pi},
		{"an arc and a side that meet in a tip", []outline.Edge{quarter(0, -2, 90, -90, at(0, 0), at(2, -2)), outline.Line(at(2, -2), at(2, 0)), outline.Line(at(2, 0), at(0, 0))}, 2, math.Pi},
		{"two arcs that meet in a tip", []outline.Edge{quarter(0, -2, 90, -90, at(0, 0), at(2, -2)), outline.Line(at(2, -2), at(2, 2)), quarter(0, 2, 0, -90, at(2, 2), at(0, 0))}, 2, math.Pi},
		{"a notch between an arc and a side", []outline.Edge{outline.Line(at(0, 0), at(6, 0)), outline.Line(at(6, 0), at(6, 4)), outline.Line(at(6, 4), at(5, 4)),
			quarter(5, 2, 90, 90, at(5, 4), at(3, 2)), outline.Line(at(3, 2), at(3, 4)), outline.Line(at(3, 4), at(0, 4)), outline.Line(at(0, 4), at(0, 0))}, 3, -math.Pi},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			var first float64
			for i := range 40 {
				by, away := measure.Angle(0.37*float64(i)), measure.Length(31.7*float64(i))
				o, err := outline.Chain(outline.Loop(c.edges).Rotate(at(0.3, 0.1), by).Translate(away, -away))
				require.NoError(t, err)
				s := cobble()
				s.Curves = course.CutCurves
				got, err := course.Lay(o, s)
				require.NoError(t, err)
				for _, r := range got.Runs {
					if r.Side == c.cusp {
						assert.InDelta(t, c.turn, float64(r.Last.Turn), 1e-9, "turned by %v", by)
					}
				}
				area := float64(outline.Divide([]outline.Region{got.Band}, 1, func(outline.Cover) int { return 0 })[0].Area)
				if i == 0 {
					first = area
				}
				assert.InDelta(t, first, area, 1e-7, "turned by %v", by)
			}
		})
	}
}
