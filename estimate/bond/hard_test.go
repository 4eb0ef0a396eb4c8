package bond_test

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate/bond"
	"bedline/estimate/internal/hard"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// sound holds a field to what is true of every field.
func sound(t require.TestingT, f *bond.Field) {
	for _, v := range []float64{float64(f.Area), float64(f.LaidArea), float64(f.JointArea), float64(f.SpeckArea), float64(f.Edge), float64(f.Joints.Length), float64(f.LostArea())} {
		require.True(t, v >= 0 && !math.IsInf(v, 0), "%v is no size", v)
	}
	require.Len(t, f.Units, f.Whole+f.Cut)
	pieces := 0
	for _, u := range f.Units {
		if u.Pieces > 0 {
			pieces += u.Pieces
			require.LessOrEqual(t, u.First+u.Pieces, len(f.Pieces))
		}
	}
	require.Len(t, f.Pieces, pieces)
	for _, p := range f.Pieces {
		require.True(t, p.Area > 0 && p.Length > 0 && p.Width > 0, "%+v", p)
		require.LessOrEqual(t, float64(p.Area), float64(p.Length.Times(p.Width))*(1+1e-9)+1e-12)
	}
	require.LessOrEqual(t, f.Bought.Units, len(f.Units))
}

func TestHardOutlinesAreLaidWhole(t *testing.T) {
	t.Parallel()
	for i, h := range hard.Outlines() {
		t.Run(h.Name, func(t *testing.T) {
			t.Parallel()
			h.Placed(t, func(name string, o *outline.Outline, area, within float64) {
				// Some hundred units over a bed, whatever its size.
				low, high := o.Bounds()
				wide := max(measure.Length(math.Sqrt(h.Area/1000)), (high.X-low.X)/1000, (high.Y-low.Y)/1000)
				b := bonds[i%len(bonds)]
				start := o.Elements()[0].From
				s := fixed(b, float64(2*wide), float64(wide), 0, start, 0.3)
				s.Reuse = true
				f, err := bond.Lay(o.Region(), s)
				require.NoError(t, err, name)
				sound(t, f)
				assert.InDelta(t, area, float64(f.Area), within+1e-9*float64(o.Perimeter()), name)
				// Without joints units, their cuts rounded up to whole ones, cover the field.
				whole := speckShare * float64(f.UnitArea()) * float64(f.Whole)
				assert.InDelta(t, area, float64(f.LaidArea+f.SpeckArea), whole+within+2e-9*float64(o.Perimeter()), name)
				s.Start, s.Direction, s.Work = nil, nil, 100
				f, err = bond.Lay(o.Region(), s)
				require.NoError(t, err, name)
				sound(t, f)
			})
		})
	}
}

// speckShare is the share of a unit that a whole one may lack.
const speckShare = 0.001

func TestAFieldOfTwoKilometresIsRefusedForItsNumberOfUnits(t *testing.T) {
	t.Parallel()
	var many *bond.TooManyError
	_, err := bond.Lay(rectangle(2000, 2000), fixed(bond.Running, 0.2, 0.1, 0.003, pt(0, 0), 0))
	require.ErrorAs(t, err, &many)
	_, err = bond.Lay(rectangle(2000, 2000), open(bond.Herringbone45))
	require.ErrorAs(t, err, &many)
}

// FuzzLay: whatever field, openings and spec are, there is an error of a known kind or a sound field.
func FuzzLay(f *testing.F) {
	f.Add([]byte{0, 0, 0, 0, 0, 0, 0, 64, 0, 0, 0, 0, 0, 64, 0, 0, 64, 0, 0, 0, 0, 0, 64, 0}, byte(1), 0.2, 0.1, 0.003)
	f.Fuzz(func(t *testing.T, data []byte, kind byte, length, width, joint float64) {
		n := hard.Numbers(data)
		var points []outline.Point
		for i := 0; i+1 < len(n); i += 2 {
			points = append(points, pt(n[i], n[i+1]))
		}
		var r, openings outline.Region
		if o, err := outline.Polygon(points, nil); err == nil {
			r = o.Region()
		} else if len(points) > 0 { // as it is, crossed, open or far out
			var l outline.Loop
			for i := range points {
				l = append(l, outline.Line(points[i], points[(i+1)%len(points)]))
			}
			r = outline.Region{l}
		}
		if len(n) > 4 {
			openings = outline.Region{outline.CircleLoop(pt(n[1], n[2]), measure.Length(math.Abs(n[4]))), outline.RectangleLoop(pt(n[0], n[3]), measure.Length(n[1]), measure.Length(n[2]), 0.5)}
		}
		s := bond.Spec{Bond: bond.Bond(kind % 6), UnitLength: measure.Length(length), UnitWidth: measure.Length(width), Joint: measure.Length(joint),
			Openings: openings, LeastPiece: 0.3, Reuse: kind&8 != 0, Work: 200}
		if kind&16 != 0 && len(points) > 0 {
			s.Start = &points[0]
		}
		for _, l := range r {
			if low, high := l.Bounds(); max(float64(high.X-low.X), float64(high.Y-low.Y)) > 200*min(length, width) {
				return // slow, and no more to be seen
			}
		}
		got, err := bond.Lay(r, s)
		if err != nil {
			var spec *bond.SpecError
			var module *bond.ModuleError
			var many *bond.TooManyError
			if !errors.As(err, &spec) && !errors.As(err, &module) && !errors.As(err, &many) {
				t.Fatal(err)
			}
			_ = err.Error()
			return
		}
		sound(t, got)
	})
}
