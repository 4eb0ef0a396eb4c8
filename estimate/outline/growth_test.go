package outline_test

import (
	"testing"

	"bedline/estimate/internal/scaling"
	"bedline/estimate/outline"
)

// The benchmarks here give as "times" what 5,000 points cost over ten times what 500 cost; it is to stay below 1.2.

func BenchmarkGrowthOfMakingAnOutline(b *testing.B) {
	scaling.Each(b, func(o *outline.Outline) func() {
		var points []outline.Point
		for _, e := range o.Elements() {
			points = append(points, e.From)
		}
		return func() {
			if _, err := outline.Polygon(points, nil); err != nil {
				b.Fatal(err)
			}
		}
	})
}

func BenchmarkGrowthOfDividing(b *testing.B) {
	scaling.Each(b, func(o *outline.Outline) func() {
		regions := []outline.Region{o.Region(), {outline.RectangleLoop(pt(-5, -5), 10, 100, 0)}}
		return func() { outline.Divide(regions, 2, anyClass(2)) }
	})
}
