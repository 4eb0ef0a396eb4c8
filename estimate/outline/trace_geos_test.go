//go:build geos

// Traced edges beside GEOS, which puts them together itself, through its command line tool geosop (Debian
// package geos-bin, 3.11). Run with
//
//	go test -tags geos ./estimate/outline
package outline_test

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

	"github.com/stretchr/testify/require"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// traceChords is the number of chords to a full circle that GEOS is given in the place of arcs.
const traceChords = 1440

// wkt writes regions as a GEOMETRYCOLLECTION of polygons (OGC Simple Features well-known text).
func wkt(regions []outline.Region) string {
	var b strings.Builder
	b.WriteString("GEOMETRYCOLLECTION (")
	for i, r := range regions {
		if i > 0 {
			b.WriteString(", ")
		}
		b.WriteString("POLYGON ((")
		first := r[0][0].From
		for _, e := range r[0] {
			steps := 1
			if e.Turn != 0 {
				steps = int(math.Ceil(math.Abs(float64(e.Turn)) / (2 * math.Pi) * traceChords))
			}
			for k := range steps {
				p := e.Point(measure.Factor(float64(k) / float64(steps)))
				fmt.Fprintf(&b, "%.17g %.17g, ", float64(p.X), float64(p.Y))
			}
		}
		fmt.Fprintf(&b, "%.17g %.17g))", float64(first.X), float64(first.Y))
	}
	b.WriteString(")\n")
	return b.String()
}

// rim writes edges as a MULTILINESTRING.
func rim(edges []outline.Edge) string {
	var b strings.Builder
	b.WriteString("MULTILINESTRING (")
	for i, e := range edges {
		if i > 0 {
			b.WriteString(", ")
		}
		b.WriteString("(")
		steps := 1
		if e.Turn != 0 {
			steps = int(math.Ceil(math.Abs(float64(e.Turn)) / (2 * math.Pi) * traceChords))
		}
		for k := range steps {
			p := e.Point(measure.Factor(float64(k) / float64(steps)))
			fmt.Fprintf(&b, "%.17g %.17g, ", float64(p.X), float64(p.Y))
		}
		fmt.Fprintf(&b, "%.17g %.17g)", float64(e.To.X), float64(e.To.Y))
	}
	b.WriteString(")\n")
	return b.String()
}

var (
	ring   = regexp.MustCompile(`\(([^()]+)\)`)
	figure = regexp.MustCompile(`[^ ,]+`)
)

// measured adds up the rings of well-known text: areas by the coordinate formula, holes running the other way, and lengths.
func measured(t *testing.T, text string) (area, length float64) {
	for _, polygon := range strings.Split(text, "((") {
		for i, m := range ring.FindAllStringSubmatch("("+strings.ReplaceAll(polygon, "))", ")"), -1) {
			var xy []float64
			for _, s := range figure.FindAllString(m[1], -1) {
				v, err := strconv.ParseFloat(s, 64)
				require.NoError(t, err, text)
				xy = append(xy, v)
			}
			sum := 0.0
			for k := 0; k+3 < len(xy); k += 2 {
				sum += (xy[k]-xy[0])*(xy[k+3]-xy[1]) - (xy[k+2]-xy[0])*(xy[k+1]-xy[1])
				length += math.Hypot(xy[k+2]-xy[k], xy[k+3]-xy[k+1])
			}
			if i == 0 {
				area += math.Abs(sum) / 2
			} else {
				area -= math.Abs(sum) / 2
			}
		}
	}
	return area, length
}

func TestTracesAgreeWithGEOS(t *testing.T) {
	tool, err := exec.LookPath("geosop")
	require.NoError(t, err, "needs the package geos-bin")
	random := rand.New(rand.NewPCG(11, 7))
	f := func(low, high float64) float64 { return low + (high-low)*random.Float64() }
	type job struct {
		regions []outline.Region
		round   float64 // length of all arcs
		radius  float64
	}
	var jobs []job
	var text strings.Builder
	for i := range 500 {
		var j job
		arcs := i >= 250
		for range 1 + random.IntN(7) {
			at := pt(f(0, 6), f(0, 6))
			var l outline.Loop
			switch kind := random.IntN(3); {
			case arcs && kind == 0:
				l = outline.CircleLoop(at, measure.Length(f(0.3, 2)))
			case arcs && kind == 1:
				l = outline.Sector(at, measure.Length(f(0.2, 1)), measure.Length(f(1.2, 3)), measure.Angle(f(0, 6)), measure.Angle(f(0.5, 6)))
			case kind == 2:
				var p []outline.Point
				for k := range 7 {
					a, r := 2*math.Pi*float64(k)/7, f(0.5, 3)
					p = append(p, pt(float64(at.X)+r*math.Cos(a), float64(at.Y)+r*math.Sin(a)))
				}
				o, err := outline.Polygon(p, nil)
				require.NoError(t, err)
				l = o.Loop()
			default:
				l = outline.RectangleLoop(at, measure.Length(f(0.5, 4)), measure.Length(f(0.5, 4)), measure.Angle(f(0, 6)))
			}
			for _, e := range l {
				if e.Turn != 0 {
					j.round += float64(e.Length())
					j.radius = max(j.radius, float64(e.Radius))
				}
			}
			j.regions = append(j.regions, outline.Region{l})
		}
		jobs = append(jobs, j)
		text.WriteString(wkt(j.regions))
	}
	file := filepath.Join(t.TempDir(), "jobs.wkt")
	require.NoError(t, os.WriteFile(file, []byte(text.String()), 0o600))
	out, err := exec.Command(tool, "-f", "wkt", "-a", file, "unaryUnion").Output()
	require.NoError(t, err)
	unions := strings.Split(strings.TrimSpace(string(out)), "\n")
	require.Len(t, unions, len(jobs))
	worst := 0.0
	var traces strings.Builder
	for i, j := range jobs {
		got := outline.Divide(j.regions, 1, all)[0]
		area, length := measured(t, unions[i])
		// A chord of turn d lies at most r d^2/8 inside its arc, and is shorter by the share d^2/24.
		d := 2 * math.Pi / traceChords
		away := j.radius * d * d / 8
		within := 1e-9*area + j.round*away
		require.InDelta(t, area, float64(got.Area), within, "area of job %d: %s", i, wkt(j.regions[:1]))
		// A crossing moves along by at most the distance over the sine of the angle of the two lines, seldom large.
		along := 1e-9*length + j.round*d*d/24 + 2000*away
		require.InDelta(t, length, float64(got.Perimeter), along, "perimeter of job %d", i)
		worst = max(worst, math.Abs(area-float64(got.Area))/area)
		traces.WriteString(rim(outline.Trace(j.regions, 1, all)[0].Edges))
	}
	require.NoError(t, os.WriteFile(file, []byte(traces.String()), 0o600))
	out, err = exec.Command(tool, "-f", "wkt", "-a", file, "buildArea").Output()
	require.NoError(t, err)
	built := strings.Split(strings.TrimSpace(string(out)), "\n")
	require.Len(t, built, len(jobs))
	for i, j := range jobs {
		// GEOS puts the edges together itself, so none can be missing or double.
		area, length := measured(t, unions[i])
		gotArea, gotLength := measured(t, built[i])
		d := 2 * math.Pi / traceChords
		away := j.radius * d * d / 8
		require.InDelta(t, area, gotArea, 1e-9*area+2*j.round*away, "area of the trace of job %d", i)
		require.InDelta(t, length, gotLength, 1e-9*length+2*(j.round*d*d/24+2000*away), "length of the trace of job %d", i)
	}
	t.Logf("greatest difference of area %.2g of the whole", worst)
}
