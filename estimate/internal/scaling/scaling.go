// Package scaling measures how the time for an outline grows with its points. It is for benchmarks only.
package scaling

import (
	"math"
	"runtime"
	"testing"
	"time"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// Small and Large are the numbers of points that are compared.
const (
	Small = 500
	Large = 5000
)

// shapes give the points of an outline by direction and distance from the origin.
var shapes = []struct {
	name  string
	place func(n, i int) (direction, distance float64)
}{
	{"longer star", func(n, i int) (float64, float64) {
		r := 0.04 * float64(n)
		if i%2 == 1 {
			r -= 0.3
		}
		return 2 * math.Pi * float64(i) / float64(n), r
	}},
	{"longer waves", func(n, i int) (float64, float64) {
		a := 2 * math.Pi * float64(i) / float64(n)
		return a, 0.04 * float64(n) * (1 + 0.12*math.Sin(7*a) + 0.05*math.Cos(23*a))
	}},
	{"denser waves", func(n, i int) (float64, float64) {
		a := 2 * math.Pi * float64(i) / float64(n)
		return a, 20 * (1 + 0.12*math.Sin(7*a) + 0.05*math.Cos(23*a))
	}},
}

// Each runs a benchmark for each of three shapes: "longer star" and "longer waves" are a bed line with as much more of the
// same, "denser waves" is the same bed by more points. What prepare gives is timed, for Small and for Large points, and
// reported as "times" is the time for Large over that for Small, each per point. Times are those of the fastest rounds,
// on Linux of processor time.
func Each(b *testing.B, prepare func(*outline.Outline) func()) {
	for _, s := range shapes {
		b.Run(s.name, func(b *testing.B) {
			var do [2]func()
			for k, n := range [2]int{Small, Large} {
				points := make([]outline.Point, n)
				for i := range points {
					a, r := s.place(n, i)
					points[i] = outline.Point{X: measure.Length(r * math.Cos(a)), Y: measure.Length(r * math.Sin(a))}
				}
				o, err := outline.Polygon(points, nil)
				if err != nil {
					b.Fatal(err)
				}
				do[k] = prepare(o)
			}
			least := [2]time.Duration{math.MaxInt64, math.MaxInt64}
			runtime.LockOSThread()
			defer runtime.UnlockOSThread()
			for b.Loop() {
				for k, rounds := range [2]int{Large / Small, 1} {
					for range rounds {
						began := now()
						do[k]()
						least[k] = min(least[k], now()-began)
					}
				}
			}
			b.ReportMetric(0, "ns/op")
			b.ReportMetric(least[0].Seconds()*1e3, "ms-500")
			b.ReportMetric(least[1].Seconds()*1e3, "ms-5000")
			b.ReportMetric(least[1].Seconds()*Small/(least[0].Seconds()*Large), "times")
		})
	}
}
