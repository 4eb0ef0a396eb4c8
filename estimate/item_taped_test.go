package estimate_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate"
)

const (
	kidney = `{"kind":"path","start":["0 m","0 m"],"segments":[{"arc_to":["6 m","0 m"],"rise":"1.2 m","turn":"right"},
		{"arc_to":["6 m","3 m"],"radius":"1.5 m","turn":"left"},{"arc_to":["0 m","3 m"],"via":["3 m","4.5 m"]},{"arc_to":["0 m","0 m"],"rise":"1.5 m"}]}`
	fromWall = `{"kind":"offsets","stations":[["0 ft","3 ft"],["4 ft","4 ft 6 in"],["8 ft","5 ft"],["12 ft","3 ft 9 in"],["16 ft","0 ft"]],"join":"JOIN"}`
	// Heron's triangle of sides 13, 14, 15 on the wall, and its foot; 9 and 5 ft from it are the marks.
	tied = `{"kind":"ties","marks":[["0 ft","0 ft"],["14 ft","0 ft"]],"points":[["0 ft","14 ft"],["14 ft","0 in"],["13 ft","15 ft"]]}`
)

func TestItem03SegmentsOfAPathAreItsSides(t *testing.T) {
	t.Parallel()
	out := takeoff(t, plain(), job(beds(bed("b", kidney, edging(`"sides":[1,3]`, `"joint":{"width":"1/8 in"}`)))))
	require.Len(t, out.Courses, 1)
	runs := out.Courses[0].Course.Runs
	require.Len(t, runs, 2)
	assert.Equal(t, [2]int{1, 3}, [2]int{runs[0].Side, runs[1].Side})
	assert.InDelta(t, 3*math.Pi, float64(out.Beds[0].EdgedLength), near)
	// A rectangle of 6 x 3 m, two half circles of 1.5 m, a segment more at the top, one less at the bottom; radii by
	// r = (c^2/4 + h^2) / 2h, segments by r^2 acos((r-h)/r) - (r-h) sqrt(2rh - h^2) (handbook formulas).
	segment := func(c, h float64) float64 {
		r := (c*c/4 + h*h) / (2 * h)
		return r*r*math.Acos((r-h)/r) - (r-h)*math.Sqrt(2*r*h-h*h)
	}
	assert.InDelta(t, 18+math.Pi*2.25+segment(6, 1.5)-segment(6, 1.2), float64(out.Beds[0].Area), near)
}

func TestItem03TapedStretchesAreSidesFromTheLastStationBack(t *testing.T) {
	t.Parallel()
	for join, runs := range map[string][]int{"straight": {1, 2, 3, 4, 5}, "smooth": {1, 1, 2, 2, 3, 3, 4, 4, 5}} {
		outline := strings.Replace(fromWall, "JOIN", join, 1)
		out := takeoff(t, plain(), job(beds(bed("b", outline, edging(`"sides":[1,2,3,4,5]`, `"joint":{"width":"1/8 in"}`)))))
		var sides []int
		for _, r := range out.Courses[0].Course.Runs {
			sides = append(sides, r.Side)
		}
		// The last station lies on the wall: no square end there, the one at the first station is side 5.
		assert.Equal(t, runs, sides, join)
		assert.InDelta(t, 3, feet(out.Courses[0].Course.Runs[len(runs)-1].Length), near)
		assert.InDelta(t, 16, feet(out.Beds[0].Perimeter-out.Beds[0].EdgedLength), near)
	}
	straight := takeoff(t, plain(), job(beds(bed("b", strings.Replace(fromWall, "JOIN", "straight", 1)))))
	// Trapezoidal rule: 4 (3/2 + 4.5 + 5 + 3.75 + 0).
	assert.InDelta(t, 59, ft2(straight.Beds[0].Area), near)
}

func TestItem03TapedLinesRunBothWaysRound(t *testing.T) {
	t.Parallel()
	right := strings.NewReplacer(`"3 ft"`, `"-3 ft"`, `"4 ft 6 in"`, `"-4 ft 6 in"`, `"5 ft"`, `"-5 ft"`, `"3 ft 9 in"`, `"-3 ft 9 in"`, "JOIN", "smooth").Replace(fromWall)
	left := strings.Replace(fromWall, "JOIN", "smooth", 1)
	edged := edging(`"joint":{"width":"1/8 in"}`, base3, sand1)
	a := takeoff(t, plain(), job(beds(bed("b", left, edged, stone2))))
	b := takeoff(t, plain(), job(beds(bed("b", right, edged, stone2))))
	assert.InDelta(t, float64(a.Beds[0].NetStoneArea), float64(b.Beds[0].NetStoneArea), 1e-6)
	assert.Equal(t, a.Courses[0].Course.Units.Total, b.Courses[0].Course.Units.Total)
}

func TestItem05TiesAreMeasured(t *testing.T) {
	t.Parallel()
	out := takeoff(t, plain(), job(beds(bed("b", tied))))
	assert.InDelta(t, 84, ft2(out.Beds[0].Area), 1e-6) // Heron's triangle
	require.NotNil(t, out.Beds[0].Ties)
	assert.InDelta(t, 0, inches(out.Beds[0].Ties.Greatest), near)
	assert.NotContains(t, codes(out), "tie_misfit")
	// 1.5 in between two tapes along the wall is shared: 3/4 in each, which is told; 0.8 in is not.
	along := func(gap string) *estimate.Takeoff {
		return takeoff(t, plain(), job(beds(bed("b", strings.Replace(tied, `["0 ft","14 ft"]`, `["2 ft","`+gap+`"]`, 1)))))
	}
	out = along("11 ft 10 1/2 in")
	assert.InDelta(t, 0.75, inches(out.Beds[0].Ties.Greatest), 1e-6)
	i := slices.IndexFunc(out.Notices, func(n estimate.Notice) bool { return n.Code == "tie_misfit" })
	require.GreaterOrEqual(t, i, 0)
	assert.Equal(t, "/beds/0/outline/points/0/0", out.Notices[i].Where)
	assert.NotContains(t, codes(along("11 ft 11.2 in")), "tie_misfit")
	assert.Nil(t, takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "1 ft", "1 ft"))))).Beds[0].Ties)
}

func TestFaultsOfTapedOutlinesStandWhereTheyAre(t *testing.T) {
	t.Parallel()
	path := func(segments string) string {
		return `{"kind":"path","start":["0 ft","0 ft"],"segments":[` + segments + `]}`
	}
	const back = `,{"line_to":["4 ft","4 ft"]},{"line_to":["0 ft","0 ft"]}`
	first := func(segment string) string { return path(segment + back) }
	offsets := func(stations string) string { return `{"kind":"offsets","stations":[` + stations + `]}` }
	ties := func(points, more string) string {
		return `{"kind":"ties","marks":[["0 ft","0 ft"],["14 ft","0 ft"],["7 ft","9 ft"]],"points":[` + points + `]` + more + `}`
	}
	const two = `["4 ft","12 ft",null],["12 ft","4 ft",null]`
	for _, c := range []struct {
		name, outline string
		faults        []string
	}{
		{"a path that stays open", path(`{"line_to":["4 ft","0 ft"]},{"line_to":["4 ft","4 ft"]},{"line_to":["0 ft","1 in"]}`), []string{"/segments/2/line_to not_closed"}},
		{"a segment of nothing", first(`{}`), []string{"/segments/0/via missing"}},
		{"an arc without its arc", first(`{"arc_to":["4 ft","0 ft"]}`), []string{"/segments/0/via missing"}},
		{"an arc without its end", first(`{"via":["4 ft","0 ft"]}`), []string{"/segments/0/arc_to missing"}},
		{"a line and an arc", first(`{"line_to":["4 ft","0 ft"],"via":["2 ft","1 ft"]}`), []string{"/segments/0/line_to conflict"}},
		{"a radius and a rise", first(`{"arc_to":["4 ft","0 ft"],"radius":"9 ft","turn":"left","rise":"1 ft"}`), []string{"/segments/0/rise conflict"}},
		{"a radius that turns no way", first(`{"arc_to":["4 ft","0 ft"],"radius":"9 ft"}`), []string{"/segments/0/turn missing"}},
		{"a radius that turns a wrong way", first(`{"arc_to":["4 ft","0 ft"],"radius":"9 ft","turn":"up"}`), []string{"/segments/0/turn unknown_value"}},
		{"a radius too short", first(`{"arc_to":["4 ft","0 ft"],"radius":"23 in","turn":"left"}`), []string{"/segments/0/radius radius_does_not_fit"}},
		{"a radius of nothing", first(`{"arc_to":["4 ft","0 ft"],"radius":"0 in","turn":"left"}`), []string{"/segments/0/radius not_positive"}},
		{"a rise below the string", first(`{"arc_to":["4 ft","0 ft"],"rise":"-1 ft"}`), []string{"/segments/0/rise not_positive"}},
		{"a turn of a straight", first(`{"line_to":["4 ft","0 ft"],"turn":"left"}`), []string{"/segments/0/turn unknown_member"}},
		{"a point between on the string", first(`{"arc_to":["4 ft","0 ft"],"via":["1 ft","0 ft"]}`), []string{"/segments/0/via straight_arc"}},
		{"a segment without length", first(`{"line_to":["0 in","0 in"]}`), []string{"/segments/0/line_to duplicate_point"}},
		{"a path too far out", first(`{"line_to":["2000 m","2000000 m"]}`), []string{"/segments/0 too_large"}},
		{"a path that crosses itself", path(`{"line_to":["4 ft","4 ft"]},{"line_to":["4 ft","0 ft"]},{"line_to":["0 ft","4 ft"]},{"line_to":["0 ft","0 ft"]}`), []string{"/segments outline_crosses_itself"}},
		{"a point that is none", first(`{"line_to":["4 ft"]}`), []string{"/segments/0/line_to out_of_range"}},

		{"stations running backwards", offsets(`["0 ft","2 ft"],["4 ft","2 ft"],["3 ft","2 ft"]`), []string{"/stations/2/0 not_rising"}},
		{"two stations in one place", offsets(`["0 ft","2 ft"],["0 ft","3 ft"]`), []string{"/stations/1/0 not_rising"}},
		{"a station over the wall", offsets(`["0 ft","2 ft"],["4 ft","-2 ft"],["5 ft","2 ft"]`), []string{"/stations/1/1 outline_crosses_itself"}},
		{"an inner station on the wall", offsets(`["0 ft","2 ft"],["4 ft","0 ft"],["5 ft","2 ft"]`), []string{"/stations/1/1 outline_crosses_itself"}},
		{"stations on the wall only", offsets(`["0 ft","0 ft"],["4 ft","0 ft"]`), []string{" outline_too_small"}},
		{"one station", offsets(`["0 ft","2 ft"]`), []string{"/stations out_of_range"}},
		{"a baseline too far out", `{"kind":"offsets","at":["2000000 m","0 m"],"stations":[["0 ft","2 ft"],["4 ft","2 ft"]]}`, []string{"/at too_large"}},
		{"another way to join", `{"kind":"offsets","join":"curved","stations":[["0 ft","2 ft"],["4 ft","2 ft"]]}`, []string{"/join unknown_value"}},

		{"tapes that do not meet", ties(`["4 ft","9 ft",null],`+two, ""), []string{"/points/0/0 ties_do_not_meet"}},
		{"a spare tape that was misread", ties(`["10 ft 7 1/2 in","10 ft 7 1/2 in","3 ft"],`+two, ""), []string{"/points/0/2 ties_do_not_meet"}},
		{"less misfit asked for", ties(`["5 ft","8.9 ft",null],`+two, `,"misfit_max":"1/4 in"`), []string{"/points/0/0 ties_do_not_meet"}},
		{"a check that was misread", ties(`["13 ft 10 3/4 in","13 ft 10 3/4 in",null],["4 ft","12 ft",null],["8 ft 7 1/4 in","8 ft 7 1/4 in",null]`, `,"checks":[[0,2,"5 ft"]]`), []string{"/checks/0/2 ties_do_not_meet"}},
		{"one tape", ties(`["13 ft",null,null],`+two, ""), []string{"/points/0 too_few_tapes"}},
		{"tapes for fewer marks", ties(`["13 ft","15 ft"],`+two, ""), []string{"/points/0 wrong_count"}},
		{"a point on the other side", ties(`["13 ft","15 ft","21 ft 1 in"],`+two, ""), []string{"/points/0 wrong_side"}},
		{"a tape below nothing", ties(`["13 ft","-15 ft",null],`+two, ""), []string{"/points/0/1 negative"}},
		{"a tape without a unit", ties(`["13 ft",15,null],`+two, ""), []string{"/points/0/1 unit_missing"}},
		{"a check to a point that is not there", ties(`["13 ft","15 ft",null],`+two, `,"checks":[[0,3,"15 ft"]]`), []string{"/checks/0/1 out_of_range"}},
		{"a check to itself", ties(`["13 ft","15 ft",null],`+two, `,"checks":[[1,1,"15 ft"]]`), []string{"/checks/0/1 duplicate_item"}},
		{"a point to the right that is not there", ties(`["13 ft","15 ft",null],`+two, `,"right_of_marks":[3]`), []string{"/right_of_marks/0 out_of_range"}},
		{"two marks in one place", `{"kind":"ties","marks":[["1 ft","0 ft"],["12 in","0 ft"]],"points":[["4 ft","4 ft"],["5 ft","5 ft"],["6 ft","6 ft"]]}`, []string{"/marks/1 duplicate_point"}},
		{"a tied point twice", ties(`["4 ft","12 ft",null],`+two, ""), []string{"/points/1 duplicate_point"}},
		{"a null mark", `{"kind":"ties","marks":[["1 ft","0 ft"],null],"points":[["4 ft","4 ft"],["5 ft","5 ft"],["6 ft","6 ft"]]}`, []string{"/marks/1 null"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			var want []string
			for _, f := range c.faults {
				want = append(want, "/beds/0/outline"+f)
			}
			assert.Equal(t, want, faultsOf(t, job(beds(bed("b", c.outline)))))
		})
	}
	assert.Equal(t, []string{"/beds/0/outline/stations/1/0 not_rising", "/beds/1/outline/segments/2/line_to not_closed"},
		faultsOf(t, job(beds(bed("a", offsets(`["0 ft","2 ft"],["0 ft","3 ft"]`)), bed("b", path(`{"line_to":["4 ft","0 ft"]},{"line_to":["4 ft","4 ft"]},{"line_to":["0 ft","1 in"]}`))))), "faults of several beds come together")
}
