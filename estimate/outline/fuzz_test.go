package outline_test

import (
	"encoding/binary"
	"math"
	"testing"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// numbers reads float64 values: half of the time small fractions, so that shapes meet, else any bits at all.
func numbers(data []byte) []float64 {
	var list []float64
	for len(data) >= 3 {
		if data[0]&1 == 0 || len(data) < 9 {
			list = append(list, float64(int16(binary.LittleEndian.Uint16(data[1:])))/64)
			data = data[3:]
		} else {
			list = append(list, math.Float64frombits(binary.LittleEndian.Uint64(data[1:])))
			data = data[9:]
		}
	}
	return list
}

// FuzzPolygon: whatever the points and radii are, there is an error or a sound outline.
func FuzzPolygon(f *testing.F) {
	f.Add([]byte{0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0, 0, 0, 0, 1, 0, 0, 1, 0, 16, 0})
	f.Fuzz(func(t *testing.T, data []byte) {
		n := numbers(data)
		var points []outline.Point
		var radii []measure.Length
		for ; len(n) >= 3; n = n[3:] {
			points = append(points, pt(n[0], n[1]))
			radii = append(radii, measure.Length(n[2]))
		}
		o, err := outline.Polygon(points, radii)
		if (o == nil) == (err == nil) {
			t.Fatal("neither an outline nor an error, or both")
		}
		if err != nil {
			_ = err.Error()
			return
		}
		if !(o.Area() >= 1e-4) || !(o.Perimeter() > 0) || math.IsInf(float64(o.Area()), 0) {
			t.Fatalf("area %v, perimeter %v", o.Area(), o.Perimeter())
		}
		loop := o.Loop()
		for i, e := range loop {
			if e.To != loop[(i+1)%len(loop)].From {
				t.Fatal("the chain is open")
			}
		}
		if out := o.Outside(loop); float64(out) > 1e-6*float64(o.Perimeter()) {
			t.Fatalf("the outline lies %v outside itself", out)
		}
	})
}

// FuzzDivide: whatever the regions are, shares are finite and not below zero.
func FuzzDivide(f *testing.F) {
	f.Add([]byte{0, 0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 1, 0, 0, 0, 0, 32, 0, 0, 32, 0, 0, 0, 1, 0, 0, 1, 0, 0, 0})
	f.Fuzz(func(t *testing.T, data []byte) {
		n := numbers(data)
		var regions []outline.Region
		for ; len(n) >= 5; n = n[5:] {
			at, a, b := pt(n[0], n[1]), measure.Length(n[2]), measure.Length(n[3])
			switch len(regions) % 4 {
			case 0:
				regions = append(regions, outline.Region{outline.RectangleLoop(at, a, b, measure.Angle(n[4]))})
			case 1:
				regions = append(regions, outline.Region{outline.CircleLoop(at, a)})
			case 2:
				regions = append(regions, outline.Region{outline.Sector(at, a, b, 0, measure.Angle(n[4]))})
			case 3:
				regions = append(regions, outline.Region{{outline.Line(at, pt(n[2], n[3])), outline.Line(pt(n[2], n[3]), pt(n[4], n[0]))}})
			}
		}
		for _, r := range regions {
			for _, l := range r {
				for _, e := range l {
					if e.Radius < 0 {
						return // no arc at all
					}
					for _, x := range []measure.Length{e.From.X, e.From.Y, e.To.X, e.To.Y, e.Radius} {
						if math.Abs(float64(x)) > 1e6 {
							return // beyond any bed areas may overflow
						}
					}
				}
			}
		}
		for _, s := range outline.Divide(regions, 2, func(c outline.Cover) int { return int(c[0] & 1) }) {
			if !(s.Area >= 0) || !(s.Perimeter >= 0) || math.IsInf(float64(s.Area), 0) || math.IsInf(float64(s.Perimeter), 0) {
				t.Fatalf("%+v", s)
			}
		}
		class := func(c outline.Cover) int { return int(c[0] & 1) }
		shares := outline.Divide(regions, 2, class)
		for k, tract := range outline.Trace(regions, 2, class) {
			if tract.Share != shares[k] {
				t.Fatalf("traced %+v, divided %+v", tract.Share, shares[k])
			}
			for _, e := range tract.Edges {
				for _, x := range []float64{float64(e.From.X), float64(e.From.Y), float64(e.To.X), float64(e.To.Y), float64(e.Turn)} {
					if math.IsNaN(x) || math.IsInf(x, 0) {
						t.Fatalf("%+v", e)
					}
				}
			}
		}
		outline.Look(regions, covered, 0.3).Reach()
	})
}
