package bond_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate/bond"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// waves is an outline of n points about the origin that goes in and out.
func waves(t require.TestingT, n int, radius float64) outline.Region {
	p := make([]outline.Point, n)
	for i := range p {
		a := 2 * math.Pi * float64(i) / float64(n)
		r := radius * (1 + 0.12*math.Sin(7*a) + 0.05*math.Cos(23*a))
		p[i] = pt(r*math.Cos(a), r*math.Sin(a))
	}
	o, err := outline.Polygon(p, nil)
	require.NoError(t, err)
	return o.Region()
}

func BenchmarkTwoThousandUnitsInTwoHundredPoints(b *testing.B) {
	r := waves(b, 200, 3.52)
	for _, kind := range bonds {
		for _, reuse := range []bool{false, true} {
			name := kind.String()
			if reuse {
				name += " with offcuts"
			}
			b.Run(name, func(b *testing.B) {
				s := fixed(kind, 0.2, 0.1, 0, pt(0.013, 0.027), 0.3)
				s.Reuse = reuse
				var f *bond.Field
				for b.Loop() {
					f = lay(b, r, s)
				}
				b.ReportMetric(float64(len(f.Units)), "units")
				b.ReportMetric(float64(f.Cut), "cut")
			})
		}
	}
}

func BenchmarkSearchOfTwoThousandUnits(b *testing.B) {
	r := waves(b, 200, 3.52)
	for b.Loop() {
		s := open(bond.Herringbone45)
		s.Reuse = true
		lay(b, r, s)
	}
}

func BenchmarkHundredThousandUnits(b *testing.B) {
	r := waves(b, 200, 24.8)
	for b.Loop() {
		lay(b, r, fixed(bond.Herringbone90, 0.2, 0.1, 0, pt(0, 0), 0.3))
	}
}

// The largest field that is drawn, searched and with offcuts, takes less than a second: here ten times that is allowed
// for slow machines and the race detector.
func TestTheLargestFieldIsLaid(t *testing.T) {
	t.Parallel()
	r := waves(t, 5000, 24.8)
	for _, kind := range bonds {
		s := bond.Spec{Bond: kind, UnitLength: 0.2, UnitWidth: 0.1, Reuse: true}
		for i := range 300 {
			s.Openings = append(s.Openings, outline.CircleLoop(pt(-15+0.1*float64(i), 0.05*float64(i)), measure.Length(0.2)))
		}
		began := time.Now()
		f := lay(t, r, s)
		took := time.Since(began)
		t.Logf("%v: %d whole, %d cut, %d tries in %v", kind, f.Whole, f.Cut, f.Search.Tried, took)
		assert.Greater(t, len(f.Units), 90_000)
	}
}
