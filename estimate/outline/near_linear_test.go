package outline_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// jagged is a star of n points, its spikes as long and as steep whatever their number: it grows with it.
func jagged(n int) []outline.Point {
	p := make([]outline.Point, n)
	for i := range p {
		a, r := 2*math.Pi*float64(i)/float64(n), float64(n)*0.04
		if i%2 == 1 {
			r -= 0.3
		}
		p[i] = pt(r*math.Cos(a), r*math.Sin(a))
	}
	return p
}

// tight is a star of n points in the same disc whatever their number.
func tight(n int) []outline.Point {
	p := make([]outline.Point, n)
	for i := range p {
		a, r := 2*math.Pi*float64(i)/float64(n), 20.0
		if i%2 == 1 {
			r = 10
		}
		p[i] = pt(r*math.Cos(a), r*math.Sin(a))
	}
	return p
}

// smoothly is a bed of n points whose line goes gently in and out.
func smoothly(n int) []outline.Point {
	p := make([]outline.Point, n)
	for i := range p {
		a := 2 * math.Pi * float64(i) / float64(n)
		r := 20 * (1 + 0.12*math.Sin(7*a) + 0.05*math.Cos(23*a))
		p[i] = pt(r*math.Cos(a), r*math.Sin(a))
	}
	return p
}

var growing = map[string]func(n int) []outline.Point{"jagged": jagged, "spikes": tight, "smooth": smoothly}

func made(tb testing.TB, p []outline.Point) *outline.Outline {
	o, err := outline.Polygon(p, nil)
	require.NoError(tb, err)
	return o
}

func bands(o *outline.Outline) []outline.Region {
	regions := []outline.Region{o.Region()}
	for _, e := range o.Elements() {
		regions = append(regions, outline.Region{band(e.Edge, 0.1)})
	}
	return regions
}

// BenchmarkShareOfFiveHundredPoints gives as "times" what 5,000 points cost over ten times what 500 cost: the fastest of
// many rounds each.
func BenchmarkShareOfFiveHundredPoints(b *testing.B) {
	for name, shape := range growing {
		small, large := shape(500), shape(5000)
		share(b, "outline of "+name, func() { made(b, small) }, func() { made(b, large) })
		few, many := []outline.Region{made(b, small).Region()}, []outline.Region{made(b, large).Region()}
		share(b, "divide "+name, func() { outline.Divide(few, 1, all) }, func() { outline.Divide(many, 1, all) })
		fewer, more := bands(made(b, small)), bands(made(b, large))
		share(b, "divide bands of "+name, func() { outline.Divide(fewer, 2, anyClass(2)) }, func() { outline.Divide(more, 2, anyClass(2)) })
		one := func(r []outline.Region) []outline.Region {
			var band outline.Region
			for _, b := range r[1:] {
				band = append(band, b...)
			}
			return []outline.Region{r[0], band}
		}
		fewer, more = one(fewer), one(more)
		share(b, "divide one band of "+name, func() { outline.Divide(fewer, 2, anyClass(2)) }, func() { outline.Divide(more, 2, anyClass(2)) })
	}
}

func share(b *testing.B, name string, small, large func()) {
	b.Run(name, func(b *testing.B) {
		least := [2]time.Duration{time.Hour, time.Hour}
		fastest := func(i int, do func()) {
			began := time.Now()
			do()
			least[i] = min(least[i], time.Since(began))
		}
		for b.Loop() {
			for range 10 {
				fastest(0, small)
			}
			fastest(1, large)
		}
		b.ReportMetric(least[0].Seconds()*1e3, "ms-500")
		b.ReportMetric(least[1].Seconds()*1e3, "ms-5000")
		b.ReportMetric(least[1].Seconds()/least[0].Seconds()/10, "times")
	})
}

var _ measure.Length
