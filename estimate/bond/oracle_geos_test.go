//go:build geos

// A second opinion by GEOS, the geometry engine of many map systems, through its C interface (Debian package
// libgeos-dev, 3.11). Run with
//
//	.ci/geos
package bond_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate/bond"
	"bedline/estimate/internal/geos"
	"bedline/estimate/outline"
)

// faces are the rectangles of all units of a field.
func faces(f *bond.Field) []geos.Polygon {
	list := make([]geos.Polygon, len(f.Units))
	for i := range list {
		list[i], _ = geos.Flat(outline.Region{f.Rectangle(i)})
	}
	return list
}

func bounds(p geos.Polygon) (low, high [2]float64) {
	low, high = p[0][0], p[0][0]
	for _, v := range p[0] {
		low, high = [2]float64{min(low[0], v[0]), min(low[1], v[1])}, [2]float64{max(high[0], v[0]), max(high[1], v[1])}
	}
	return low, high
}

// Fields over 2,000 outlines, holes and all, in each bond: every unit is whole or cut as GEOS finds it, into as many
// pieces, of the same areas; and with units laid without joints the intersections add up to the field, so that none is
// missing. Pieces of straights agree to 1e-9 of a unit, those along arcs within what lies between the arcs and the
// chords that GEOS gets.
func TestUnitsAgreeWithGEOS(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(3, 5))
	shapes := geos.Outlines(2000, 13)
	fields := make([]*bond.Field, len(shapes))
	units, chords := make([][]geos.Polygon, len(shapes)), make([][]geos.Chord, len(shapes))
	var jobs geos.Jobs
	for i, s := range shapes {
		spec := fixed(bonds[i%len(bonds)], 0.4, 0.2, 0, pt(random.Float64(), random.Float64()), 6*random.Float64())
		fields[i] = lay(t, s.Ground, spec)
		units[i] = faces(fields[i])
		ground, c := geos.Flat(s.Ground)
		chords[i] = c
		jobs.Clip(ground, units[i], 1)
	}
	answers := jobs.Run(t)
	worst, laid, cuts, close := 0.0, 0, 0, 0
	for i, f := range fields {
		parts, _ := answers.Clipped(len(f.Units))
		unit := float64(f.UnitArea())
		whole, cut, either, total := 0, 0, 0, 0.0
		for k, u := range f.Units {
			low, high := bounds(units[i][k])
			off := digits*unit + geos.OffWithin(chords[i], low, high)
			var want []float64
			sum, kept, doubt := 0.0, 0.0, false
			for _, a := range parts[k] {
				sum += a
				if a >= speck*unit {
					kept += a
					want = append(want, a)
				}
				doubt = doubt || math.Abs(a-speck*unit) <= off
			}
			total += sum
			doubt = doubt || math.Abs(kept-(1-speck)*unit) <= off
			if doubt { // at the very limit between a piece and a speck
				either++
				continue
			}
			require.NotEmpty(t, want, "unit %d of field %d", k, i)
			if kept > (1-speck)*unit {
				whole++
				require.Zero(t, u.Pieces, "unit %d of field %d is whole", k, i)
				continue
			}
			cut++
			var got []float64
			for _, p := range f.Pieces[u.First : u.First+u.Pieces] {
				got = append(got, float64(p.Area))
			}
			slices.Sort(got)
			slices.Sort(want)
			require.Len(t, got, len(want), "pieces of unit %d of field %d: %v %v", k, i, got, want)
			for n := range got {
				require.InDelta(t, want[n], got[n], off, "piece of unit %d of field %d", k, i)
				if !shapes[i].Round {
					worst = max(worst, math.Abs(want[n]-got[n])/unit)
				}
			}
		}
		require.InDelta(t, whole, f.Whole, float64(either), "whole units of field %d", i)
		require.InDelta(t, cut, f.Cut, float64(either), "cut units of field %d", i)
		off, _ := geos.Off(chords[i])
		require.InDelta(t, float64(f.Area), total, digits*float64(f.Area)+off+float64(f.SpeckArea), "field %d is covered", i)
		require.InDelta(t, float64(f.Area), float64(f.LaidArea+f.SpeckArea), speck*unit*float64(f.Whole)+digits*float64(f.Area), "field %d", i)
		laid, cuts, close = laid+len(f.Units), cuts+cut, close+either
	}
	assert.Less(t, close, laid/1000)
	t.Logf("%d units, %d cut, %d too close to tell: pieces of straights differ by %.2g of a unit at most", laid, cuts, close, worst)
}

// digits is how far results may differ that are exact on both sides; speck is the share of a unit that is no piece.
const digits, speck = 1e-9, 0.001

// The same 2,000 units in an outline of 200 points, laid, clipped, counted and jointed here, and intersected one by one
// with GEOSIntersection, whose time is without making or freeing polygons. Both are the fastest of many rounds.
func BenchmarkTimesFasterThanGEOS(b *testing.B) {
	r := waves(b, 200, 3.52)
	ground, _ := geos.Flat(r)
	for _, kind := range bonds {
		b.Run(kind.String(), func(b *testing.B) {
			s := fixed(kind, 0.2, 0.1, 0, pt(0.013, 0.027), 0.3)
			f := lay(b, r, s)
			var jobs geos.Jobs
			jobs.Clip(ground, faces(f), 10)
			_, theirs := jobs.Run(b).Clipped(len(f.Units))
			ours := time.Hour
			for b.Loop() {
				began := time.Now()
				lay(b, r, s)
				ours = min(ours, time.Since(began))
			}
			b.ReportMetric(float64(len(f.Units)), "units")
			b.ReportMetric(theirs.Seconds()*1e3, "ms-geos")
			b.ReportMetric(ours.Seconds()*1e3, "ms-here")
			b.ReportMetric(theirs.Seconds()/ours.Seconds(), "times")
		})
	}
}
