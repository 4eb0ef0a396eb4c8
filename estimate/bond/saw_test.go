package bond_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate/bond"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

func box(x, y, l, w float64) outline.Loop {
	return outline.RectangleLoop(pt(x, y), measure.Length(l), measure.Length(w), 0)
}

// Every count is worked out by hand: one pass for each line along which a piece is cut.
func TestSawPassesAreOneForEachLineOfAPiece(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name          string
		field         outline.Region
		openings      outline.Region
		length, width float64
		cut, passes   int
	}{
		// 1.0 m is 3 units of 0.3 m and 0.1 m: a row has one cut piece with one cut end; 5 rows.
		{"ends of rows have one cut each", rectangle(1, 0.5), nil, 0.3, 0.1, 5, 5},
		// A sixth row of 0.05 m: 3 units ripped along, and a corner piece cut twice.
		{"a corner piece is cut twice", rectangle(1, 0.55), nil, 0.3, 0.1, 9, 5 + 3 + 2},
		{"a square opening inside a unit has four", rectangle(0.6, 0.6), outline.Region{box(0.2, 0.2, 0.1, 0.1)}, 0.6, 0.6, 1, 4},
		{"a notch in the side of a unit has three", rectangle(0.6, 0.6), outline.Region{box(0.2, -0.1, 0.1, 0.2)}, 0.6, 0.6, 1, 3},
		{"a notch in the corner of a unit has two", rectangle(0.6, 0.6), outline.Region{box(-0.1, -0.1, 0.2, 0.2)}, 0.6, 0.6, 1, 2},
		// Two notches: four upright sides, and bottoms on one line.
		{"two notches of one depth share the line of their bottoms", rectangle(0.6, 0.6),
			outline.Region{box(0.1, -0.1, 0.1, 0.2), box(0.4, -0.1, 0.1, 0.2)}, 0.6, 0.6, 1, 5},
		{"a slot leaves two pieces, each cut once", rectangle(0.6, 0.6), outline.Region{box(0.2, -0.1, 0.1, 0.8)}, 0.6, 0.6, 1, 2},
		{"a level slot too", rectangle(0.6, 0.6), outline.Region{box(-0.1, 0.2, 0.8, 0.1)}, 0.6, 0.6, 1, 2},
		{"a diagonal is one", polygon(t, 0, 0, 0.6, 0, 0, 0.6), nil, 0.6, 0.6, 1, 1},
		// A round post of 0.05 m: a straight pass may turn by 4 asin(sqrt(0.0015 / 0.1)) = 4 x 0.122783 = 0.491130, and
		// 2 pi / 0.491130 = 12.79.
		{"a post is cut in passes that leave its circle by half a saw cut", rectangle(0.6, 0.6),
			outline.Region{outline.CircleLoop(pt(0.3, 0.3), 0.05)}, 0.6, 0.6, 1, 13},
		// The same post where four units meet: a quarter each, 3.2: 4 passes.
		{"a post among four units", rectangle(0.6, 0.6), outline.Region{outline.CircleLoop(pt(0.3, 0.3), 0.05)}, 0.3, 0.3, 4, 16},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			s := fixed(bond.Stack, c.length, c.width, 0, pt(0, 0), 0)
			s.Openings = c.openings
			f := lay(t, c.field, s)
			assert.Equal(t, c.cut, f.Cut)
			assert.Equal(t, c.passes, f.SawPasses)
			turned := make(outline.Region, 0, len(c.field))
			for _, l := range c.field {
				turned = append(turned, l.Rotate(pt(3, -2), 0.7))
			}
			s = fixed(bond.Stack, c.length, c.width, 0, pt(0, 0).Rotate(pt(3, -2), 0.7), 0.7)
			for _, l := range c.openings {
				s.Openings = append(s.Openings, l.Rotate(pt(3, -2), 0.7))
			}
			assert.Equal(t, c.passes, lay(t, turned, s).SawPasses, "turned")
		})
	}
}

func TestSawPassesAddUpOverPiecesAndDoNotDependOnTheFrame(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := drawSpec(t)
		o := star(t, 0.4, 2, rapid.Bool().Draw(t, "rounded"))
		f, err := bond.Lay(o.Region(), s)
		require.NoError(t, err)
		sum := 0
		for _, p := range f.Pieces {
			assert.GreaterOrEqual(t, p.SawPasses, 1)
			sum += p.SawPasses
		}
		assert.Equal(t, sum, f.SawPasses)
		turn := measure.Angle(rapid.Float64Range(-math.Pi, math.Pi).Draw(t, "turn"))
		about := pt(rapid.Float64Range(-5, 5).Draw(t, "x"), 1)
		start, along := s.Start.Rotate(about, turn), *s.Direction+turn
		s.Start, s.Direction = &start, &along
		g, err := bond.Lay(outline.Region{o.Loop().Rotate(about, turn)}, s)
		require.NoError(t, err)
		assert.Equal(t, [3]int{f.Whole, f.Cut, f.SawPasses}, [3]int{g.Whole, g.Cut, g.SawPasses})
	})
}
