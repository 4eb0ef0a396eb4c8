package bond_test

import (
	"math"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate/bond"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

func pt(x, y float64) outline.Point {
	return outline.Point{X: measure.Length(x), Y: measure.Length(y)}
}

func polygon(t require.TestingT, xy ...float64) outline.Region {
	var p []outline.Point
	for i := 0; i < len(xy); i += 2 {
		p = append(p, pt(xy[i], xy[i+1]))
	}
	o, err := outline.Polygon(p, nil)
	require.NoError(t, err)
	return o.Region()
}

func rectangle(l, w float64) outline.Region {
	return outline.Region{outline.RectangleLoop(pt(0, 0), measure.Length(l), measure.Length(w), 0)}
}

// fixed is a spec with its start and direction.
func fixed(b bond.Bond, l, w, joint float64, at outline.Point, direction float64) bond.Spec {
	d := measure.Angle(direction)
	return bond.Spec{Bond: b, UnitLength: measure.Length(l), UnitWidth: measure.Length(w), Joint: measure.Length(joint), Start: &at, Direction: &d}
}

func lay(t require.TestingT, r outline.Region, s bond.Spec) *bond.Field {
	f, err := bond.Lay(r, s)
	require.NoError(t, err)
	return f
}

// star is a random outline about the origin, every corner seen from there; corners may be rounded.
func star(t *rapid.T, least, most float64, rounded bool) *outline.Outline {
	n := rapid.IntRange(3, 14).Draw(t, "corners")
	p := make([]outline.Point, n)
	for i := range p {
		a := (float64(i) + rapid.Float64Range(0, 0.7).Draw(t, "angle")) * 2 * math.Pi / float64(n)
		r := rapid.Float64Range(least, most).Draw(t, "radius")
		p[i] = pt(r*math.Cos(a), r*math.Sin(a))
	}
	var radii []measure.Length
	if rounded {
		radii = make([]measure.Length, n)
		for i := range radii {
			radii[i] = measure.Length(rapid.Float64Range(0, least/6).Draw(t, "rounding"))
		}
	}
	o, err := outline.Polygon(p, radii)
	if err != nil {
		t.Skip("no outline")
	}
	return o
}

var bonds = []bond.Bond{bond.Stack, bond.Running, bond.Herringbone45, bond.Herringbone90, bond.BasketWeave}

// drawSpec draws a bond with a unit that suits it.
func drawSpec(t *rapid.T) bond.Spec {
	k := float64(rapid.IntRange(2, 4).Draw(t, "times"))
	w := rapid.Float64Range(0.1, 0.3).Draw(t, "width")
	joint := rapid.SampledFrom([]float64{0, 0.003, 0.01}).Draw(t, "joint")
	s := fixed(rapid.SampledFrom(bonds).Draw(t, "bond"), k*(w+joint)-joint, w, joint,
		pt(rapid.Float64Range(-2, 2).Draw(t, "x"), rapid.Float64Range(-2, 2).Draw(t, "y")), rapid.Float64Range(-4, 4).Draw(t, "direction"))
	offset := measure.Factor(rapid.SampledFrom([]float64{0, 0.25, 1. / 3, 0.5, 1}).Draw(t, "offset"))
	s.Offset = &offset
	s.Reuse = rapid.Bool().Draw(t, "reuse")
	return s
}

// By hand, common practice: a field of 1.0 x 0.5 m in stack bond of 200 x 100 mm without joint from its corner is
// 5 x 5 whole units; each row has 4 joints at ends and each of 4 lines between rows 5.
func TestAFieldOfWholeUnitsHasNoCuts(t *testing.T) {
	t.Parallel()
	f := lay(t, rectangle(1, 0.5), fixed(bond.Stack, 0.2, 0.1, 0, pt(0, 0), 0))
	assert.Equal(t, 25, f.Whole)
	assert.Zero(t, f.Cut)
	assert.Empty(t, f.Pieces)
	assert.Equal(t, 5*4+4*5, f.Joints.Count)
	assert.InDelta(t, 5*4*0.1+4*5*0.2, float64(f.Joints.Length), 1e-12)
	assert.InDelta(t, 3, float64(f.Edge), 1e-12)
	assert.InDelta(t, 0, float64(f.LostArea()), 1e-12)
	assert.InDelta(t, 0, float64(f.JointArea), 1e-12)
	assert.Equal(t, bond.Bought{Units: 25, AreaBound: 25, RuleBound: 25, Exact: true, Method: bond.WholeUnits}, f.Bought)
}

// The grid of slabs is counted by another rule, rows by columns with gaps: a stack bond over its footprint is the same.
func TestStackBondOverAGridOfSlabsIsTheGrid(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		g := bond.Grid{
			At: pt(rapid.Float64Range(-9, 9).Draw(t, "x"), 1), UnitLength: 0.4, UnitWidth: 0.3,
			Gap: measure.Length(rapid.Float64Range(0, 0.02).Draw(t, "gap")), Rotate: measure.Angle(rapid.Float64Range(-4, 4).Draw(t, "turn")),
			Rows: rapid.IntRange(1, 9).Draw(t, "rows"), Columns: rapid.IntRange(1, 9).Draw(t, "columns"),
		}
		f := lay(t, outline.Region{g.Footprint()}, fixed(bond.Stack, 0.4, 0.3, float64(g.Gap), g.At, float64(g.Rotate)))
		require.Equal(t, g.Units(), f.Whole)
		require.Zero(t, f.Cut)
		require.InDelta(t, float64(g.GapArea()), float64(f.JointArea), 1e-9)
		require.Equal(t, g.Joints(), f.Joints.Count)
		require.InDelta(t, float64(g.JointLength()), float64(f.Joints.Length), 1e-9)
	})
}

// By hand: rows of 1.0 m in running bond of 200 mm. The rows that start flush have 5 whole units; those moved by a half
// have 4 whole and 2 halves; moved by a third, once a third with 4 whole and two thirds.
func TestItem26RunningBondMovesEveryOtherRow(t *testing.T) {
	t.Parallel()
	third := measure.Factor(1. / 3)
	for _, c := range []struct {
		name       string
		offset     *measure.Factor
		whole, cut int
		pieces     []float64 // lengths in order
	}{
		{"half is usual", nil, 5 + 4 + 5, 2, []float64{0.1, 0.1}},
		{"a third steps on from row to row", &third, 5 + 4 + 4, 4, []float64{0.2 / 3, 0.4 / 3, 0.4 / 3, 0.2 / 3}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			s := fixed(bond.Running, 0.2, 0.1, 0, pt(0, 0), 0)
			s.Offset = c.offset
			f := lay(t, rectangle(1, 0.3), s)
			assert.Equal(t, c.whole, f.Whole)
			require.Equal(t, c.cut, f.Cut)
			for i, l := range c.pieces {
				assert.InDelta(t, l, float64(f.Pieces[i].Length), 1e-12)
				assert.InDelta(t, 0.1, float64(f.Pieces[i].Width), 1e-12)
			}
		})
	}
}

// By hand: herringbone at 90 degrees of 2 x 1 over a square of 4 x 4 from the corner of a lying unit. Lying units start
// at (0,0), (1,1), (2,2), (3,3), (-3,1), (-2,2), (-1,3): 3 whole, (3,3) and (-1,3) half, (-3,1) and (-2,2) only touch.
// Standing ones at (-1,0) touch, (0,1), (1,2), (2,3) and (3,0), (2,-1), (0,-3): 16 squares less 3 x 2 + 2 lying = 8:
// (0,1), (1,2), (3,0) whole, (2,3) and (2,-1) half.
func TestHerringboneOverASquareByHand(t *testing.T) {
	t.Parallel()
	f := lay(t, rectangle(4, 4), fixed(bond.Herringbone90, 2, 1, 0, pt(0, 0), 0))
	assert.Equal(t, 6, f.Whole)
	assert.Equal(t, 4, f.Cut)
	// All lines between the 16 squares, 2 x 3 x 4, that are not inside one of the 6 whole units.
	assert.InDelta(t, 24-6, float64(f.Joints.Length), 1e-12)
}

// By hand: squares of 2 units each, every other one turned: 4 squares over 4 x 4, all whole.
func TestBasketWeaveOverASquareByHand(t *testing.T) {
	t.Parallel()
	f := lay(t, rectangle(4, 4), fixed(bond.BasketWeave, 2, 1, 0, pt(0, 0), 0))
	assert.Equal(t, 8, f.Whole)
	assert.Zero(t, f.Cut)
	turned := 0
	for _, u := range f.Units {
		if u.Turned {
			turned++
		}
	}
	assert.Equal(t, 4, turned)
	assert.InDelta(t, 24-8, float64(f.Joints.Length), 1e-12)
}

func TestItem26ModulesOfHerringboneAndBasketWeave(t *testing.T) {
	t.Parallel()
	mm := func(l, w, j float64) bond.Spec { return fixed(0, l/1000, w/1000, j/1000, pt(0, 0), 0) }
	for _, c := range []struct {
		name       string
		spec       bond.Spec
		times      int // of the refusal, 0 for none
		ends, side float64
	}{
		{"twice as long without joint", mm(200, 100, 0), 0, 0, 0},
		{"the joint closes to make it twice", mm(200, 100, 2), 0, 0, 0},
		{"the joint opens to make it twice", mm(203, 100, 1), 0, 3, 3},
		{"three times", mm(308, 100, 4), 0, 4, 4},
		{"too short for any joint: sides touch, ends stay open", mm(198, 100, 0), 0, 2, 0},
		{"4 mm off", mm(204, 100, 0), 2, 0, 0},
		{"square", mm(100, 100, 0), 2, 0, 0},
		{"two and a half times", mm(250, 100, 0), 3, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			for _, b := range bonds {
				c.spec.Bond = b
				f, err := bond.Lay(rectangle(2, 2), c.spec)
				if b == bond.Stack || b == bond.Running {
					require.NoError(t, err)
					continue
				}
				if c.times > 0 {
					var e *bond.ModuleError
					require.ErrorAs(t, err, &e)
					assert.Equal(t, b, e.Bond)
					if c.name != "two and a half times" {
						assert.Equal(t, c.times, e.Times)
					}
					continue
				}
				require.NoError(t, err)
				assert.InDelta(t, c.ends/1000, float64(f.EndJoint), 1e-12)
				assert.InDelta(t, c.side/1000, float64(f.SideJoint), 1e-12)
			}
		})
	}
}

// rat is a number as a fraction.
func rat(v float64) *big.Rat { return new(big.Rat).SetFloat64(v) }

// clipped is the exact area of a polygon clipped by an upright rectangle, after Sutherland and Hodgman (1974).
func clipped(p [][2]*big.Rat, x0, y0, x1, y1 float64) *big.Rat {
	for _, h := range []struct {
		axis int
		at   float64
		sign int64
	}{{0, x0, 1}, {0, x1, -1}, {1, y0, 1}, {1, y1, -1}} {
		at := rat(h.at)
		depth := func(v [2]*big.Rat) *big.Rat {
			d := new(big.Rat).Sub(v[h.axis], at)
			return d.Mul(d, big.NewRat(h.sign, 1))
		}
		var out [][2]*big.Rat
		for i, a := range p {
			b := p[(i+1)%len(p)]
			da, db := depth(a), depth(b)
			if da.Sign() >= 0 {
				out = append(out, a)
			}
			if da.Sign()*db.Sign() < 0 {
				s := new(big.Rat).Quo(da, new(big.Rat).Sub(da, db))
				var c [2]*big.Rat
				for k := range c {
					c[k] = new(big.Rat).Sub(b[k], a[k])
					c[k].Mul(c[k], s).Add(c[k], a[k])
				}
				out = append(out, c)
			}
		}
		p = out
	}
	sum := new(big.Rat)
	for i, a := range p {
		b := p[(i+1)%len(p)]
		sum.Add(sum, new(big.Rat).Mul(a[0], b[1]))
		sum.Sub(sum, new(big.Rat).Mul(a[1], b[0]))
	}
	return sum.Mul(sum, big.NewRat(1, 2))
}

// In fractions nothing is rounded: every unit of a stack bond against the exact clip of the polygon.
func TestUnitsAgreeWithClippingInFractions(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		o := star(t, 0.5, 3, false)
		var p [][2]*big.Rat
		for _, e := range o.Loop() {
			p = append(p, [2]*big.Rat{rat(float64(e.From.X)), rat(float64(e.From.Y))})
		}
		f := lay(t, o.Region(), fixed(bond.Stack, 0.5, 0.25, 0, pt(0, 0), 0))
		laid := map[[2]int]float64{}
		for _, u := range f.Units {
			area := 0.0
			for _, piece := range f.Pieces[u.First : u.First+u.Pieces] {
				area += float64(piece.Area)
			}
			laid[[2]int{int(math.Round(float64(u.At.X) / 0.5)), int(math.Round(float64(u.At.Y) / 0.25))}] = area
		}
		whole, cut, missed := 0, 0, 0.0
		for x := -7; x < 7; x++ {
			for y := -13; y < 13; y++ {
				want, _ := clipped(p, float64(x)*0.5, float64(y)*0.25, float64(x+1)*0.5, float64(y+1)*0.25).Float64()
				got, ok := laid[[2]int{x, y}]
				switch specks := 0.001 * 0.125; {
				case want > 0.125-specks:
					whole++
					require.True(t, ok && got == 0, "unit %d %d is whole", x, y)
				case ok:
					cut++
					// A speck beside another piece may have gone to the joint.
					require.InDelta(t, want, got, 2*specks, "unit %d %d", x, y)
					missed += want - got
				default:
					require.Less(t, want, 3*specks, "unit %d %d", x, y)
					missed += want
				}
			}
		}
		require.Equal(t, [2]int{whole, cut}, [2]int{f.Whole, f.Cut})
		require.InDelta(t, missed, float64(f.SpeckArea), 1e-12)
	})
}

// Package outline overlays regions by a sweep, another way than clipping units one by one: every unit with arcs and
// openings against it.
func TestUnitsAgreeWithTheOverlayOfRegions(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		r := star(t, 0.5, 2, true).Region()
		s := drawSpec(t)
		for range rapid.IntRange(0, 3).Draw(t, "openings") {
			at := pt(rapid.Float64Range(-2, 2).Draw(t, "ox"), rapid.Float64Range(-2, 2).Draw(t, "oy"))
			if rapid.Bool().Draw(t, "round") {
				s.Openings = append(s.Openings, outline.CircleLoop(at, measure.Length(rapid.Float64Range(0.02, 0.7).Draw(t, "r"))))
			} else {
				s.Openings = append(s.Openings, outline.RectangleLoop(at, 0.6, 0.2, measure.Angle(rapid.Float64Range(0, 3).Draw(t, "turn"))))
			}
		}
		f := lay(t, r, s)
		unit := float64(f.UnitArea())
		total, missed := 0.0, 0.0
		for i, u := range f.Units {
			want := float64(outline.Divide([]outline.Region{r, s.Openings, {f.Rectangle(i)}}, 1, func(c outline.Cover) int {
				if c.Has(0) && !c.Has(1) && c.Has(2) {
					return 0
				}
				return outline.None
			})[0].Area)
			total += want
			if u.Pieces == 0 {
				require.InDelta(t, unit, want, 0.001*unit+1e-12)
				continue
			}
			got := 0.0
			for _, p := range f.Pieces[u.First : u.First+u.Pieces] {
				require.Equal(t, i, p.Unit)
				got += float64(p.Area)
				require.LessOrEqual(t, float64(p.Area), float64(p.Length)*float64(p.Width)*(1+1e-9))
				require.GreaterOrEqual(t, float64(p.Along), -1e-12)
				require.GreaterOrEqual(t, float64(p.Across), -1e-12)
				require.LessOrEqual(t, float64(p.Along+p.Length), float64(f.UnitLength)+1e-9)
				require.LessOrEqual(t, float64(p.Across+p.Width), float64(f.UnitWidth)+1e-9)
			}
			// Only specks of less than 0.1 % each may be missing.
			require.LessOrEqual(t, got, want+1e-9*unit)
			require.GreaterOrEqual(t, got, want-0.004*unit)
			missed += want - got
		}
		// Nothing but specks is missing. The sweep takes points nearer than 1e-9 m for one.
		tolerance := 1e-9 * float64(4+f.Cut)
		require.LessOrEqual(t, missed, float64(f.SpeckArea)+tolerance)
		require.LessOrEqual(t, float64(f.LaidArea), total+tolerance)
		require.GreaterOrEqual(t, float64(f.LaidArea+f.SpeckArea), total-tolerance)
		require.InDelta(t, float64(f.Area), float64(f.LaidArea+f.JointArea), 1e-9)
		require.LessOrEqual(t, f.Bought.AreaBound, f.Bought.RuleBound)
		require.LessOrEqual(t, f.Bought.RuleBound, f.Bought.Units)
		require.LessOrEqual(t, f.Bought.Units, f.Whole+f.Cut)
		require.Equal(t, f.Whole+f.Cut-f.Bought.Units, f.Bought.FromOffcuts)
	})
}

// Without joints nothing but specks is left over: units of every bond cover the plane once.
func TestBondsCoverTheFieldOnce(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		r := star(t, 0.5, 3, true).Region()
		s := drawSpec(t)
		s.UnitLength = s.UnitWidth * measure.Length(rapid.IntRange(2, 4).Draw(t, "k"))
		s.Joint = 0
		f := lay(t, r, s)
		unit := float64(f.UnitArea())
		require.LessOrEqual(t, float64(f.SpeckArea), float64(f.Specks+2*len(f.Pieces)+f.Whole)*0.001*unit)
		require.InDelta(t, float64(f.Area), float64(f.LaidArea+f.SpeckArea), 1e-9)
		// Joints are all sides of whole units but those on the edge: each side of a unit lies in a joint or the edge.
		sides := 2 * float64(f.Whole) * float64(f.UnitLength+f.UnitWidth)
		require.GreaterOrEqual(t, 2*float64(f.Joints.Length), sides-float64(f.Edge)-float64(f.Cut)*float64(f.UnitLength)*0.1)
	})
}

// counts is what must not change when the job is moved.
func counts(f *bond.Field) [6]int {
	return [6]int{f.Whole, f.Cut, len(f.Pieces), f.Specks, f.Joints.Count, f.Bought.Units}
}

func TestMovingFieldAndStartTogetherChangesNothing(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		r := star(t, 0.5, 2, true).Region()
		s := drawSpec(t)
		s.LeastPiece = 0.3
		s.Openings = outline.Region{outline.CircleLoop(pt(0.1, 0.2), 0.11)}
		f := lay(t, r, s)
		about, by := pt(rapid.Float64Range(-50, 50).Draw(t, "ax"), 7), measure.Angle(rapid.Float64Range(-4, 4).Draw(t, "by"))
		move := func(r outline.Region) (m outline.Region) {
			for _, l := range r {
				m = append(m, l.Rotate(about, by))
			}
			return m
		}
		at, along := s.Start.Rotate(about, by), *s.Direction+by
		m := s
		m.Start, m.Direction, m.Openings = &at, &along, move(s.Openings)
		g := lay(t, move(r), m)
		require.InDelta(t, float64(f.LaidArea), float64(g.LaidArea), 1e-8)
		require.InDelta(t, float64(f.Joints.Length), float64(g.Joints.Length), 1e-6)
		require.Equal(t, counts(f), counts(g))
		require.Equal(t, f.Under, g.Under)
	})
}

// Arcs: the pieces of a disc add up to pi r^2 (Archimedes), here without joints and with units so large that specks are few.
func TestADiscIsLaidWhole(t *testing.T) {
	t.Parallel()
	f := lay(t, outline.Region{outline.CircleLoop(pt(3, 4), 1)}, fixed(bond.Stack, 1, 1, 0, pt(3, 4), 0))
	require.Equal(t, 4, f.Cut)
	assert.Zero(t, f.Whole)
	for _, p := range f.Pieces {
		assert.InDelta(t, math.Pi/4, float64(p.Area), 1e-14)
		assert.InDelta(t, 1, float64(p.Length), 1e-14)
	}
	// The two joints are the diameters.
	assert.Equal(t, 4, f.Joints.Count)
	assert.InDelta(t, 4, float64(f.Joints.Length), 1e-12)
	assert.InDelta(t, 2*math.Pi, float64(f.Edge), 1e-12)
}

// By hand: in a right triangle with legs of 3.5 the lines 1, 2 and 3 from a leg are 2.5, 1.5 and 0.5 long, and so from
// the other; between unit squares they fall into 3 + 2 + 1 joints each way. An opening takes its part out.
func TestItem28JointsEndWhereTheFieldEnds(t *testing.T) {
	t.Parallel()
	s := fixed(bond.Stack, 1, 1, 0, pt(0, 0), 0)
	f := lay(t, polygon(t, 0, 0, 3.5, 0, 0, 3.5), s)
	assert.Equal(t, 12, f.Joints.Count)
	assert.InDelta(t, 9, float64(f.Joints.Length), 1e-12)
	s.Openings = outline.Region{outline.CircleLoop(pt(1, 0.5), 0.2)} // on the line x = 1
	f = lay(t, polygon(t, 0, 0, 3.5, 0, 0, 3.5), s)
	assert.Equal(t, 12, f.Joints.Count)
	assert.InDelta(t, 9-0.4, float64(f.Joints.Length), 1e-12)
	assert.InDelta(t, 7+3.5*math.Sqrt2+0.4*math.Pi, float64(f.Edge), 1e-12)
}

func TestOddFields(t *testing.T) {
	t.Parallel()
	unit := fixed(bond.Stack, 0.2, 0.1, 0, pt(0, 0), 0)
	for _, c := range []struct {
		name                       string
		field, openings            outline.Region
		whole, cut, pieces, narrow int
		specks                     int
	}{
		{"nothing", nil, nil, 0, 0, 0, 0, 0},
		{"less than a speck is joint", rectangle(0.003, 0.005), nil, 0, 0, 0, 0, 1},
		{"inside one unit", polygon(t, 0.05, 0.02, 0.1, 0.02, 0.1, 0.08), nil, 0, 1, 1, 0, 0},
		{"a strip 5 mm wide is narrow", rectangle(0.6, 0.005), nil, 0, 3, 3, 3, 0},
		{"0.1 mm short of a unit leaves it whole", rectangle(0.1999, 0.1), nil, 1, 0, 0, 0, 0},
		{"1 mm short cuts it", rectangle(0.199, 0.1), nil, 0, 1, 1, 0, 0},
		{"a hole as a clockwise loop", outline.Region{rectangle(0.2, 0.1)[0], outline.CircleLoop(pt(0.1, 0.05), 0.02).Reverse()}, nil, 0, 1, 1, 0, 0},
		{"an opening across makes two pieces of one cut unit", rectangle(0.2, 0.1), outline.Region{outline.RectangleLoop(pt(0.08, -1), 0.04, 2, 0)}, 0, 1, 2, 0, 0},
		{"openings that overlap count once", rectangle(0.4, 0.1), outline.Region{outline.RectangleLoop(pt(0.2, -1), 0.1, 2, 0), outline.RectangleLoop(pt(0.25, -1), 0.15, 2, 0)}, 1, 0, 0, 0, 0},
		{"an opening over everything", rectangle(0.4, 0.1), outline.Region{outline.CircleLoop(pt(0, 0), 5)}, 0, 0, 0, 0, 0},
		{"an opening elsewhere", rectangle(0.4, 0.1), outline.Region{outline.CircleLoop(pt(9, 9), 5)}, 2, 0, 0, 0, 0},
		{"loops that overlap are one field", outline.Region{rectangle(0.4, 0.1)[0], rectangle(0.3, 0.2)[0]}, nil, 3, 1, 1, 0, 0},
		{"numbers that are none are left out", outline.Region{{outline.Line(pt(0, 0), pt(math.NaN(), 1))}}, nil, 0, 0, 0, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			s := unit
			s.Openings = c.openings
			f := lay(t, c.field, s)
			assert.Equal(t, [5]int{c.whole, c.cut, c.pieces, c.narrow, c.specks}, [5]int{f.Whole, f.Cut, len(f.Pieces), f.Narrow, f.Specks})
			s.Start, s.Direction = nil, nil
			lay(t, c.field, s)
		})
	}
}

func TestNumbersThatLayNoFieldAreRefusedTogether(t *testing.T) {
	t.Parallel()
	nan, two := measure.Angle(math.NaN()), measure.Factor(2)
	bad := pt(math.Inf(1), 0)
	_, err := bond.Lay(rectangle(1, 1), bond.Spec{Bond: 9, UnitWidth: -1, Joint: -1, Offset: &two, Start: &bad, Direction: &nan, LeastPiece: 1, Work: -1})
	joined, ok := err.(interface{ Unwrap() []error })
	require.True(t, ok)
	var fields []bond.SpecField
	for _, e := range joined.Unwrap() {
		var s *bond.SpecError
		require.ErrorAs(t, e, &s)
		require.NotEmpty(t, s.Error())
		fields = append(fields, s.Field)
	}
	assert.Equal(t, []bond.SpecField{bond.SpecBond, bond.SpecUnitLength, bond.SpecUnitWidth, bond.SpecJoint, bond.SpecOffset, bond.SpecStart, bond.SpecDirection, bond.SpecLeastPiece, bond.SpecWork}, fields)
	var many *bond.TooManyError
	_, err = bond.Lay(rectangle(50, 50), fixed(bond.Stack, 0.1, 0.1, 0, pt(0, 0), 0))
	require.ErrorAs(t, err, &many)
	assert.Equal(t, 250_000, many.Units)
	// A frame of two narrow strips far apart: few units, yet millions in the rectangle round them.
	_, err = bond.Lay(outline.Region{rectangle(0.1, 500)[0], outline.RectangleLoop(pt(500, 0), 0.1, 500, 0)}, fixed(bond.Stack, 0.1, 0.1, 0, pt(0, 0), 0))
	require.ErrorAs(t, err, &many)
}

func TestBondsHaveNames(t *testing.T) {
	t.Parallel()
	for _, b := range bonds {
		got, ok := bond.ParseBond(b.String())
		assert.True(t, ok)
		assert.Equal(t, b, got)
	}
	_, ok := bond.ParseBond("flemish")
	assert.False(t, ok)
}
