package outline_test

import (
	"testing"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// job is a bed as it is often built: a rounded rectangle with a course on three sides and eight slabs.
func job(tb testing.TB) []outline.Region {
	o, err := outline.Polygon([]outline.Point{pt(0, 0), pt(6.7, 0), pt(6.7, 1.98), pt(0, 1.98)}, []measure.Length{0, 0, 0.61, 0.61})
	if err != nil {
		tb.Fatal(err)
	}
	regions := []outline.Region{o.Region()}
	for _, e := range o.Elements() {
		if e.Side == 0 {
			continue
		}
		regions = append(regions, outline.Region{band(e.Edge, 0.1)})
	}
	for i := range 8 {
		regions = append(regions, outline.Region{outline.RectangleLoop(pt(0.3+0.7*float64(i), 0.8), 0.6, 0.4, 0)})
	}
	return regions
}

// band is the ground on the left of an edge.
func band(e outline.Edge, width measure.Length) outline.Loop {
	in, ok := e.Offset(width)
	if !ok {
		panic("no offset")
	}
	return outline.Loop{e, outline.Line(e.To, in.To), in.Reverse(), outline.Line(in.From, e.From)}
}

func anyClass(n int) func(outline.Cover) int {
	return func(c outline.Cover) int {
		if c.Has(0) {
			return 0
		}
		return 1
	}
}

func BenchmarkDivideJob(b *testing.B) {
	regions := job(b)
	b.ReportAllocs()
	for b.Loop() {
		outline.Divide(regions, 2, anyClass(2))
	}
}

// comb has 5,000 points: teeth of the given length and pitch, turned.
func comb(pitch, length float64, turn measure.Angle) []outline.Point {
	var p []outline.Point
	for i := range 1249 {
		x := float64(i) * pitch * 2
		p = append(p, pt(x, 0), pt(x, length), pt(x+pitch, length), pt(x+pitch, 0))
	}
	p = append(p, pt(1249*pitch*2, 0), pt(1249*pitch*2, -1), pt(0, -1))
	for i := range p {
		p[i] = p[i].Rotate(pt(0, 0), turn)
	}
	return p
}

func BenchmarkPolygonComb(b *testing.B) {
	for name, turn := range map[string]float64{"upright": 0, "aslant": 33, "flat": 90} {
		p := comb(0.05, 3, measure.Degrees(turn))
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := outline.Polygon(p, nil); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkDivideComb(b *testing.B) {
	for _, pitch := range []float64{0.5, 0.05, 0.01} {
		for name, turn := range map[string]float64{"upright": 0, "aslant": 33, "flat": 90} {
			o, err := outline.Polygon(comb(pitch, 3, measure.Degrees(turn)), nil)
			if err != nil {
				b.Fatal(err)
			}
			regions := []outline.Region{o.Region()}
			for _, e := range o.Elements() {
				regions = append(regions, outline.Region{band(e.Edge, 0.1)})
			}
			b.Run(name, func(b *testing.B) {
				b.ReportAllocs()
				b.Logf("pitch %g", pitch)
				for b.Loop() {
					outline.Divide(regions, 2, anyClass(2))
				}
			})
		}
	}
}
