//go:build geos

// A second opinion by GEOS, the geometry engine of many map systems, through its command line tool geosop (Debian
// package geos-bin, 3.11). Run with
//
//	go test -tags geos ./estimate/bond
package bond_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"bedline/estimate/bond"
	"bedline/estimate/outline"
)

// wkt writes a loop of straights as a polygon (OGC Simple Features well-known text).
func wkt(l outline.Loop) string {
	var b strings.Builder
	b.WriteString("POLYGON ((")
	for _, e := range l {
		fmt.Fprintf(&b, "%.17g %.17g, ", float64(e.From.X), float64(e.From.Y))
	}
	fmt.Fprintf(&b, "%.17g %.17g))", float64(l[0].From.X), float64(l[0].From.Y))
	return b.String()
}

var (
	ring   = regexp.MustCompile(`\(([^()]+)\)`)
	number = regexp.MustCompile(`[^ ,]+`)
)

// area adds up the rings of well-known text by the coordinate formula. Outlines without holes give polygons without.
func area(t testing.TB, text string) (area float64) {
	for _, m := range ring.FindAllStringSubmatch(text, -1) {
		var xy []float64
		for _, s := range number.FindAllString(m[1], -1) {
			v, err := strconv.ParseFloat(s, 64)
			require.NoError(t, err, text)
			xy = append(xy, v)
		}
		sum := 0.0
		for k := 0; k+3 < len(xy); k += 2 {
			sum += (xy[k]-xy[0])*(xy[k+3]-xy[1]) - (xy[k+2]-xy[0])*(xy[k+1]-xy[1])
		}
		area += math.Abs(sum) / 2
	}
	return area
}

// intersections are the areas of one polygon with each of many, and the time that GEOS took for them.
func intersections(t testing.TB, one outline.Loop, many []outline.Loop) ([]float64, time.Duration) {
	tool, err := exec.LookPath("geosop")
	require.NoError(t, err, "needs the package geos-bin")
	var b strings.Builder
	for _, l := range many {
		b.WriteString(wkt(l) + "\n")
	}
	dir := t.TempDir()
	all, field := filepath.Join(dir, "units.wkt"), filepath.Join(dir, "field.wkt")
	require.NoError(t, os.WriteFile(all, []byte(b.String()), 0o600))
	require.NoError(t, os.WriteFile(field, []byte(wkt(one)+"\n"), 0o600))
	began := time.Now()
	out, err := exec.Command(tool, "-f", "wkt", "-p", "17", "-a", all, "-b", field, "intersection").Output()
	took := time.Since(began)
	require.NoError(t, err)
	lines := strings.Split(strings.TrimSpace(string(out)), "\n")
	require.Len(t, lines, len(many))
	areas := make([]float64, len(many))
	for i, line := range lines {
		areas[i] = area(t, line)
	}
	return areas, took
}

func TestUnitsAgreeWithGEOS(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 5))
	worst, units, cuts := 0.0, 0, 0
	for i := range 60 {
		n := 3 + random.IntN(60)
		p := make([]outline.Point, n)
		for k := range p {
			a := (float64(k) + 0.8*random.Float64()) * 2 * math.Pi / float64(n)
			r := 0.5 + 1.5*random.Float64()
			p[k] = pt(r*math.Cos(a), r*math.Sin(a))
		}
		o, err := outline.Polygon(p, nil)
		require.NoError(t, err)
		s := fixed(bonds[i%len(bonds)], 0.2, 0.1, 0, pt(random.Float64(), random.Float64()), 6*random.Float64())
		f := lay(t, o.Region(), s)
		loops := make([]outline.Loop, len(f.Units))
		for k := range loops {
			loops[k] = f.Rectangle(k)
		}
		want, _ := intersections(t, o.Loop(), loops)
		total, specks := 0.0, 0.0
		for k, u := range f.Units {
			got := float64(f.UnitArea())
			if u.Pieces > 0 {
				cuts, got = cuts+1, 0
				for _, piece := range f.Pieces[u.First : u.First+u.Pieces] {
					got += float64(piece.Area)
				}
				off := math.Abs(got-want[k]) / want[k]
				if off > 1e-9 { // only a speck beside the piece may be missing
					specks += want[k] - got
					require.Less(t, want[k]-got, 0.004*float64(f.UnitArea()))
					require.Greater(t, want[k], got)
				} else {
					worst = max(worst, off)
				}
			}
			total += want[k]
		}
		units += len(f.Units)
		require.LessOrEqual(t, specks, float64(f.SpeckArea)+1e-12)
		require.LessOrEqual(t, total, float64(f.Area)+1e-9)
		require.InDelta(t, float64(o.Area()), float64(f.LaidArea+f.SpeckArea), 1e-9*float64(o.Area()))
	}
	t.Logf("%d units, %d cut: greatest difference %.2g of a piece", units, cuts, worst)
}

// The time of GEOS is that of its whole process with reading and writing; its own time for the same job, measured in
// a process of its own, was 60 ms.
func TestSpeedAgainstGEOS(t *testing.T) {
	r := waves(t, 200, 3.52)
	s := fixed(bond.Running, 0.2, 0.1, 0, pt(0.013, 0.027), 0.3)
	f := lay(t, r, s)
	loops := make([]outline.Loop, len(f.Units))
	for i := range loops {
		loops[i] = f.Rectangle(i)
	}
	_, took := intersections(t, r[0], loops)
	best := time.Hour
	for range 20 {
		began := time.Now()
		lay(t, r, s)
		best = min(best, time.Since(began))
	}
	t.Logf("%d units: %v laid, clipped, counted and jointed; GEOS one by one %v", len(f.Units), best, took)
}
