package course_test

import (
	"testing"

	"bedline/estimate/course"
	"bedline/estimate/internal/scaling"
	"bedline/estimate/outline"
)

// The benchmarks here give as "times" what 5,000 points cost over ten times what 500 cost; it is to stay below 1.2.

func BenchmarkGrowthOfACourseAllRound(b *testing.B) {
	scaling.Each(b, func(o *outline.Outline) func() {
		s := cobble()
		s.Sides, s.Clearance = nil, inch
		return func() {
			if _, err := course.Lay(o, s); err != nil {
				b.Fatal(err)
			}
		}
	})
}

func BenchmarkGrowthOfDividingBedCourseAndTrench(b *testing.B) {
	scaling.Each(b, func(o *outline.Outline) func() {
		s := cobble()
		s.Sides, s.Clearance = nil, inch
		c, err := course.Lay(o, s)
		if err != nil {
			b.Fatal(err)
		}
		regions := []outline.Region{o.Region(), c.Band, c.Trench}
		return func() {
			outline.Divide(regions, 8, func(c outline.Cover) int { return int(c[0]) })
		}
	})
}
