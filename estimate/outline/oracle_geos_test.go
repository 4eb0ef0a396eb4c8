//go:build geos

// A second opinion by GEOS, the geometry engine of many map systems, through its C interface (Debian package
// libgeos-dev, 3.11). Run with
//
//	.ci/geos
package outline_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate/internal/geos"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// digits is how far results may differ that are exact on both sides.
const digits = 1e-9

// Outlines of straights agree to 1e-9; those with arcs within what lies between the arcs and the chords that GEOS gets.
func TestOutlinesAgreeWithGEOS(t *testing.T) {
	t.Parallel()
	shapes := geos.Outlines(2000, 11)
	var jobs geos.Jobs
	chords := make([][2][]geos.Chord, len(shapes))
	for i, s := range shapes {
		p, c := geos.Flat(s.Region())
		jobs.Measure(p)
		ground, g := geos.Flat(s.Ground)
		jobs.Measure(ground)
		chords[i] = [2][]geos.Chord{c, g}
	}
	answers := jobs.Run(t)
	holes, straight, worst := 0, 0, 0.0
	for i, s := range shapes {
		area, length := answers.Measured()
		offArea, offLength := geos.Off(chords[i][0])
		require.InDelta(t, area, float64(s.Area()), digits*area+offArea, "area of outline %d", i)
		require.InDelta(t, length+offLength/2, float64(s.Perimeter()), digits*length+offLength/2, "perimeter of outline %d", i)
		area, length = answers.Measured()
		offArea, offLength = geos.Off(chords[i][1])
		ground := outline.Divide([]outline.Region{s.Ground}, 1, all)[0]
		require.InDelta(t, area, float64(ground.Area), digits*area+offArea, "area of ground %d", i)
		require.InDelta(t, length+offLength/2, float64(ground.Perimeter), digits*length+offLength/2, "perimeter of ground %d", i)
		require.InDelta(t, area, float64(outline.Divide([]outline.Region{inChords(s.Ground)}, 1, all)[0].Area), digits*area, "area of ground %d in chords", i)
		if s.Hole {
			holes++
		}
		if !s.Round {
			straight++
			worst = max(worst, math.Abs(area-float64(ground.Area))/area)
		}
	}
	assert.Greater(t, holes, 500)
	t.Logf("%d outlines, %d with a hole, %d of straights only: these differ by %.2g of the area at most", len(shapes), holes, straight, worst)
}

// inChords is a region as GEOS gets it.
func inChords(r outline.Region) outline.Region {
	p, _ := geos.Flat(r)
	out := make(outline.Region, len(p))
	for i, ring := range p {
		for k, v := range ring {
			next := ring[(k+1)%len(ring)]
			out[i] = append(out[i], outline.Line(pt(v[0], v[1]), pt(next[0], next[1])))
		}
	}
	return out
}

// Unions of two to six outlines, turned and moved over each other, holes and all: those of straights agree to 1e-9, and
// so do those with arcs once cut into the same chords; the areas of the arcs themselves lie within what is between
// arcs and chords.
func TestUnionsAgreeWithGEOS(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(11, 7))
	f := func(low, high float64) float64 { return low + (high-low)*random.Float64() }
	type union struct{ regions, flat []outline.Region }
	var unions []union
	var off []float64
	var jobs geos.Jobs
	for shapes := geos.Outlines(2000, 12); len(shapes) > 0; {
		n := min(2+random.IntN(5), len(shapes))
		var u union
		var list []geos.Polygon
		sum := 0.0
		for _, s := range shapes[:n] {
			turn, x, y := measure.Angle(f(0, 6)), measure.Length(f(-2, 2)), measure.Length(f(-2, 2))
			r := make(outline.Region, len(s.Ground))
			for i, l := range s.Ground {
				r[i] = l.Rotate(pt(0, 0), turn).Translate(x, y)
			}
			p, chords := geos.Flat(r)
			area, _ := geos.Off(chords)
			sum += area
			list = append(list, p)
			u.regions, u.flat = append(u.regions, r), append(u.flat, inChords(r))
		}
		shapes = shapes[n:]
		jobs.Union(list)
		unions, off = append(unions, u), append(off, sum)
	}
	answers := jobs.Run(t)
	round, worst := 0, 0.0
	for i, u := range unions {
		area, length := answers.Measured()
		got := outline.Divide(u.flat, 1, all)[0]
		require.InDelta(t, area, float64(got.Area), digits*area, "area of union %d in chords", i)
		require.InDelta(t, length, float64(got.Perimeter), digits*length, "perimeter of union %d in chords", i)
		worst = max(worst, math.Abs(area-float64(got.Area))/area)
		if off[i] > 0 {
			round++
			got = outline.Divide(u.regions, 1, all)[0]
			require.InDelta(t, area, float64(got.Area), digits*area+off[i], "area of union %d", i)
		}
	}
	t.Logf("%d unions, %d with arcs: those in chords differ by %.2g of the area at most", len(unions), round, worst)
}
