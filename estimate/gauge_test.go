package estimate_test

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"bedline/estimate"
)

// depths writes the marks of a gauge in inches.
func depths(g estimate.Gauge) string {
	var list []string
	for _, m := range g.Marks {
		name := string(m.Kind)
		if m.Lift > 0 {
			name += strconv.Itoa(m.Lift)
		}
		list = append(list, fmt.Sprintf("%s %.6g", name, inches(m.Down)))
	}
	return g.Zone + " " + string(g.Part) + ": " + strings.Join(list, ", ")
}

func TestItem17GaugesAgreeWithTheDigging(t *testing.T) {
	t.Parallel()
	side := rectangle("0 ft", "0 ft", "20 ft", "6 ft")
	for _, c := range []struct {
		name, job string
		want      []string
	}{
		{"2 in unit, 1 in sand, 3 in base", beds(bed("b", side, `"dig":"3 in"`, stone2, edging(base3, sand1))),
			[]string{"b trench: finished_surface 0, top_of_unit 0, top_of_sand 2, top_of_base 3, bottom 6", "b bed: finished_surface 0, top_of_stone 1, bottom 3"}},
		{"a reveal lifts all but the bottom of the bed", beds(bed("b", side, `"dig":"2 in"`, edging(base3, sand1, `"reveal":"1/2 in"`))),
			[]string{"b trench: finished_surface 0, top_of_unit -0.5, top_of_sand 1.5, top_of_base 2.5, bottom 5.5", "b bed: finished_surface 0, bottom 2"}},
		{"what rounding adds is base", slabs(slabGroup("s", "slab-16", 1, 1, "0 ft", "0 ft", `"base":{"material":"base","depth":"2 in"}`, sand1)),
			[]string{"s pad: finished_surface 0, top_of_unit 0, top_of_sand 1.75, top_of_base 2.75, bottom 5"}},
		{"or sand where there is no base", slabs(slabGroup("s", "slab-16", 1, 1, "0 ft", "0 ft", sand1)),
			[]string{"s pad: finished_surface 0, top_of_unit 0, top_of_sand 1.75, bottom 3"}},
		{"6 in of base in two lifts", beds(bed("b", side, edging(`"base":{"material":"base","depth":"6 in"}`, sand1))),
			[]string{"b trench: finished_surface 0, top_of_unit 0, top_of_sand 2, top_of_base 3, top_of_lift1 6, bottom 9"}},
		{"12 in and what rounding adds in three", slabs(slabGroup("s", "slab-16", 1, 1, "0 ft", "0 ft", `"base":{"material":"base","depth":"12 in"}`)),
			[]string{"s pad: finished_surface 0, top_of_unit 0, top_of_base 1.75, top_of_lift2 5.83333, top_of_lift1 9.91667, bottom 14"}},
		{"4 in and what rounding adds in one", slabs(slabGroup("s", "slab-16", 1, 1, "0 ft", "0 ft", `"base":{"material":"base","depth":"4 in"}`)),
			[]string{"s pad: finished_surface 0, top_of_unit 0, top_of_base 1.75, bottom 6"}},
		{"a base of 200 ft has no lifts marked", slabs(slabGroup("s", "slab", 1, 1, "0 ft", "0 ft", `"base":{"material":"base","depth":"200 ft"}`)),
			[]string{"s pad: finished_surface 0, top_of_unit 0, top_of_base 2, bottom 2402"}},
		{"a bed that is not dug has no gauge", beds(bed("b", side, stone2)), nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			out := takeoff(t, catalogue(), job(c.job))
			var got []string
			for _, g := range out.SetOut.Gauges {
				got = append(got, depths(g))
				assert.Equal(t, dug(t, out, g.Zone, g.Part).Depth, g.Marks[len(g.Marks)-1].Down, "the depth of the excavation line")
			}
			assert.Equal(t, c.want, got)
		})
	}
}
