package bond_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate/bond"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// By hand: each row needs one whole unit of 200 mm and one piece. An offcut is what is left of 200 mm, less 3 mm.
func TestItem27PiecesComeFromOffcuts(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name                     string
		piece                    float64 // mm
		rows                     int
		units, areaBound, cutOff int // cutOff: from offcuts
		exact                    bool
	}{
		{"a little less than half: two from a unit", 98, 6, 6 + 3, 6 + 3, 3, true},
		{"98.5 mm and the saw cut fill a unit", 98.5, 6, 6 + 3, 6 + 3, 3, true},
		{"half is too much: the saw cut is in the way", 100, 6, 6 + 6, 6 + 3, 0, true},
		{"three from a unit", 60, 6, 6 + 2, 6 + 2, 4, true},
		{"seven thirds", 60, 7, 7 + 3, 7 + 3, 4, true},
		{"longer than half", 120, 6, 6 + 6, 6 + 4, 0, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			s := fixed(bond.Stack, 0.2, 0.1, 0, pt(0, 0), 0)
			field := rectangle(0.2+c.piece/1000, float64(c.rows)*0.1)
			plain := lay(t, field, s)
			assert.Equal(t, bond.Bought{Units: 2 * c.rows, AreaBound: c.areaBound, RuleBound: 2 * c.rows, Exact: true}, plain.Bought)
			s.Reuse = true
			b := lay(t, field, s).Bought
			assert.Equal(t, [3]int{c.units, c.areaBound, c.cutOff}, [3]int{b.Units, b.AreaBound, b.FromOffcuts})
			assert.Equal(t, c.exact, b.Exact)
			assert.LessOrEqual(t, b.RuleBound, b.Units)
		})
	}
}

// rect is a rectangle: along and across.
type rect struct{ p, q float64 }

// fewest is the least number of units by the rule for offcuts, by trying every order of the pieces, every open offcut
// and every turn one after the other.
func fewest(unit rect, open []rect, pieces []rect, bought, best int) int {
	if len(pieces) == 0 {
		return min(best, bought)
	}
	if bought >= best {
		return best
	}
	for i, p := range pieces {
		rest := append(append([]rect{}, pieces[:i]...), pieces[i+1:]...)
		for _, turned := range []rect{p, {p.q, p.p}} {
			for o := -1; o < len(open); o++ {
				from, more := unit, 1
				others := open
				if o >= 0 {
					from, more = open[o], 0
					others = append(append([]rect{}, open[:o]...), open[o+1:]...)
				}
				if turned.p > from.p+1e-9 || turned.q > from.q+1e-9 {
					continue
				}
				end := rect{max(0, from.p-turned.p-0.003), from.q}
				beside := rect{from.p, max(0, from.q-turned.q-0.003)}
				if beside.p*beside.q > end.p*end.q {
					end = beside
				}
				best = fewest(unit, append(append([]rect{}, others...), end), rest, bought+more, best)
			}
		}
	}
	return best
}

func TestItem27FewUnitsAgreeWithTryingEveryWay(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		// A comb: the field is rectangles of the pieces' sizes, each in the corner of a unit of its own.
		n := rapid.IntRange(1, 4).Draw(t, "pieces")
		var field outline.Region
		var pieces []rect
		for i := range n {
			p := rect{float64(rapid.IntRange(2, 19).Draw(t, "length")) / 100, float64(rapid.IntRange(1, 10).Draw(t, "width")) / 100}
			pieces = append(pieces, p)
			field = append(field, outline.RectangleLoop(pt(float64(i), 0), measure.Length(p.p), measure.Length(p.q), 0))
		}
		s := fixed(bond.Stack, 0.2, 0.1, 0, pt(0, 0), 0)
		s.Reuse = true
		f := lay(t, field, s)
		require.Equal(t, n, f.Cut)
		require.Equal(t, fewest(rect{0.2, 0.1}, nil, pieces, 0, n), f.Bought.Units)
		require.True(t, f.Bought.Exact)
		require.LessOrEqual(t, f.Bought.RuleBound, f.Bought.Units)
	})
}

// What is bought without offcuts is never less than with them, and the bound by area never more than either.
func TestOffcutsNeverAddUnits(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		r := star(t, 0.5, 2, true).Region()
		s := drawSpec(t)
		s.Reuse = false
		all := lay(t, r, s)
		s.Reuse = true
		f := lay(t, r, s)
		require.Equal(t, all.Whole+all.Cut, all.Bought.Units)
		require.LessOrEqual(t, f.Bought.Units, all.Bought.Units)
		require.LessOrEqual(t, f.Bought.AreaBound, f.Bought.Units)
		require.GreaterOrEqual(t, float64(f.Bought.Units)*float64(f.UnitArea()), float64(f.LaidArea)-1e-9)
		require.InDelta(t, float64(f.Bought.Units)*float64(f.UnitArea()), float64(f.LaidArea+f.LostArea()), 1e-9)
	})
}
