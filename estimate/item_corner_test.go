package estimate_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"bedline/estimate"
	"bedline/estimate/course"
)

// laid are the lengths of the runs in inches.
func laid(c *course.Course) []float64 {
	var list []float64
	for _, r := range c.Runs {
		list = append(list, math.Round(inches(r.RunLength)*1e9)/1e9)
	}
	return list
}

// A bed of 100 x 60 in. W = 4, j = 1/8.
func TestItem11CornersAreJointedAsTheRequestSays(t *testing.T) {
	t.Parallel()
	bedOf := func(members ...string) string {
		return job(beds(bed("b", rectangle("0 in", "0 in", "100 in", "60 in"), edging(append(members, joint18)...))))
	}
	for _, c := range []struct {
		name    string
		members []string
		want    []float64
		cuts    int // mitres
		gap     float64
	}{
		{"auto butts right corners", nil, []float64{100, 55.875, 95.875, 51.75}, 0, 0},
		{"auto may be said", []string{`"corner_joint":"auto"`}, []float64{100, 55.875, 95.875, 51.75}, 0, 0},
		{"butt", []string{`"corner_joint":"butt"`}, []float64{100, 55.875, 95.875, 51.75}, 0, 0},
		{"mitre: measured on the bed line", []string{`"corner_joint":"mitre"`}, []float64{100, 60, 100, 60}, 8, 0},
		{"open: 4 in off at each end, 8 sin 45 wide", []string{`"corner_joint":"open"`}, []float64{92, 52, 92, 52}, 0, 4 * math.Sqrt2},
		{"outside, butt: the higher side is longer by 4 in", []string{`"face":"outside"`}, []float64{100, 64, 104, 68}, 0, 0},
		{"outside, mitre: 4 in more at each end", []string{`"face":"outside"`, `"corner_joint":"mitre"`}, []float64{108, 68, 108, 68}, 8, 0},
		{"outside, open: as the bed line", []string{`"face":"outside"`, `"corner_joint":"open"`}, []float64{100, 60, 100, 60}, 0, 4 * math.Sqrt2},
		{"one corner by itself", []string{`"corner_joints":[{"corner":2,"joint":"mitre"}]`}, []float64{100, 60 - 4.125, 100, 60 - 8.25}, 2, 0},
		{"the inside may be said", []string{`"face":"inside"`}, []float64{100, 55.875, 95.875, 51.75}, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			out := takeoff(t, plain(), bedOf(c.members...))
			got := out.Courses[0].Course
			assert.Equal(t, c.want, laid(got))
			mitres, gap := 0, 0.0
			for _, cut := range got.Cuts {
				if cut.Kind == course.Mitre {
					mitres += cut.Count
				}
			}
			for _, r := range got.Runs {
				gap = max(gap, inches(r.Last.Gap))
			}
			assert.Equal(t, c.cuts, mitres)
			assert.InDelta(t, c.gap, gap, near)
			assert.InDelta(t, 320, inches(out.Beds[0].EdgedLength), near, "the bed line's, without deductions")
			// Item 15: every place where two units meet is a joint; open corners are half their gap wide on the mean.
			assert.Equal(t, got.Units.Total, got.Joints)
			in3 := 0.0
			for _, r := range got.Runs {
				in3 += float64(r.Joints) * inches(r.JointWidth) * 8
			}
			corner := 0.125
			if gap > 0 {
				corner = gap / 2
			}
			assert.InDelta(t, in3+4*corner*8, ft3(line(t, out, estimate.JointFill, "fill").Measured)*1728, 1e-6)
		})
	}
	for _, test := range []struct {
		name, member string
		want         []string
	}{
		{"a joint of no name", `"corner_joint":"dovetail"`, []string{"/beds/0/edging/corner_joint unknown_value"}},
		{"a face of no name", `"face":"top"`, []string{"/beds/0/edging/face unknown_value"}},
		{"a corner too many", `"corner_joints":[{"corner":4,"joint":"butt"}]`, []string{"/beds/0/edging/corner_joints/0/corner unknown_corner"}},
		{"a corner twice", `"corner_joints":[{"corner":1,"joint":"butt"},{"corner":1,"joint":"mitre"}]`, []string{"/beds/0/edging/corner_joints/1/corner duplicate_item"}},
		{"a corner without its joint", `"corner_joints":[{"corner":1}]`, []string{"/beds/0/edging/corner_joints/0/joint missing"}},
		{"a corner of a side that is not edged", `"sides":[0,1],"corner_joints":[{"corner":1,"joint":"open"},{"corner":3,"joint":"butt"}]`,
			[]string{"/beds/0/edging/corner_joints/1/corner unknown_corner"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			assert.Equal(t, test.want, faultsOf(t, bedOf(test.member)))
		})
	}
}

// What a crew reads must lead from the bed line to the units.
func TestItem11TheLaidLengthIsWrittenOut(t *testing.T) {
	t.Parallel()
	// Side 1 turns by 45 degrees at both its ends: butted behind side 0, (4 + 1/8)/sin 45 = 5.834 less 4/tan 45 = 4; mitred
	// at the other: nothing.
	out := takeoff(t, plain(), job(beds(bed("b", `{"kind":"polygon","points":[["0 in","0 in"],["100 in","0 in"],["160 in","60 in"],["160 in","160 in"],["0 in","160 in"]]}`,
		edging(`"sides":[0,1,2]`, joint18, `"corner_joints":[{"corner":1,"joint":"butt"}]`)))))
	var said []string
	for _, w := range line(t, out, estimate.Edging, "edger").Workings {
		said = append(said, w.Label+" | "+w.Expression+" = "+w.Result)
	}
	assert.Equal(t, []string{
		"b: side 0, as laid between its corners | 100 in + 4 in (butted, runs through) = 104 in",
		"b: side 0 | (104 in + 0.125 in) / (8 in + 0.125 in): 12 of full length and 1 cut to 6.5 in = 13 units",
		"b: side 1, as laid between its corners | 84.853 in - 1.834 in (butted against the other) = 83.019 in",
		"b: side 1 | (83.019 in + 0.125 in) / (8 in + 0.125 in): 9 of full length and 2 cut to 4.885 in = 11 units",
		"b: side 2 | (100 in + 0.125 in) / (8 in + 0.125 in): 11 of full length and 2 cut to 5.25 in = 13 units",
	}, said[:5])
}

// Arcs of holes: the bed is outside the arc, so units laid inside the line touch it with the middle of their near face
// (item 12: turn 2 atan(L / 2(R + W))), and units laid outside it stand in the hole.
func TestItem12And13ArcsOfAHoleOnEitherFace(t *testing.T) {
	t.Parallel()
	bedOf := func(members ...string) string {
		return job(beds(bed("b", with(rectangle("0 in", "0 in", "200 in", "200 in"), holes(circle("100 in", "100 in", "40 in"))),
			edging(append(members, `"sides":[4]`, `"joint":{"width":"0 in","max":"1/16 in"}`)...))))
	}
	for _, c := range []struct {
		name, face, curves string
		turn               float64 // of a unit
		gap                float64
	}{
		{"cut, on the bed", "inside", "cut", 2 * math.Atan(8.0/88), 0},
		{"cut, in the hole", "outside", "cut", 2 * math.Asin(8.0/80), 0},
		{"open, on the bed", "inside", "open", 2 * math.Atan(8.0/80), 8 * math.Sin(math.Atan(0.1))},
		{"open, in the hole", "outside", "open", 2 * math.Atan(4/(math.Sqrt(1600-16)-4)), 8 * math.Sin(math.Atan(4/(math.Sqrt(1600-16)-4)))},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			out := takeoff(t, plain(), bedOf(`"face":"`+c.face+`"`, `"curves":"`+c.curves+`"`))
			r := out.Courses[0].Course.Runs[0]
			assert.InDelta(t, c.turn, float64(r.UnitTurn), 1e-9)
			assert.InDelta(t, c.gap, inches(r.Gap), 1e-9)
			assert.Equal(t, c.face == "outside", r.Inside)
			assert.Equal(t, r.Units.Total, r.Joints, "item 14: a full circle closes")
			if c.curves == "cut" {
				assert.Equal(t, 2*r.Joints+r.Closers, r.SawPasses)
			} else {
				assert.Equal(t, r.Closers, r.SawPasses)
			}
		})
	}
}

// A bed of 100 x 60 in edged outside, clearance 1 in on both sides: the haunch runs along the bed line on the bed side, h^2/2 a
// length, and the gap on the far side of the course is the clearance x T a length, whichever side that is.
func TestItem16HaunchAndWallGapOfACourseOutsideTheLine(t *testing.T) {
	t.Parallel()
	for _, face := range []string{"inside", "outside"} {
		out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 in", "0 in", "100 in", "60 in"),
			edging(`"face":"`+face+`"`, `"joint":{"width":"0 in","fill":"fill"}`, `"sides":[0,2]`, `"haunch":"1 in"`, `"side_clearance":"1 in"`, `"fill_wall_gap":true`)))))
		joints := float64(out.Courses[0].Course.JointVolume)
		assert.InDelta(t, 200*0.5+200*1*2, ft3(line(t, out, estimate.JointFill, "fill").Measured)*1728-joints/0.0254/0.0254/0.0254, 1e-6, face)
	}
}

// Items 9 and 10 on what the corners leave of a side: side 1 of a bed of 100 x 60 in.
func TestItem09And10UnitsFillWhatTheCornersLeave(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		joint, face string
		full, cut   int
		closer      float64
	}{
		// 55.875: 56/8.125 = 6.89, 55.875 - 48.75 = 7.125.
		{"butt", "inside", 6, 1, 7.125},
		// 60: 60.125/8.125 = 7.4, 60 - 56.875 = 3.125, more than a third of 8.
		{"mitre", "inside", 7, 1, 3.125},
		// 52: 52.125/8.125 = 6.42, 52 - 48.75 = 3.25.
		{"open", "inside", 6, 1, 3.25},
		// 64: 64.125/8.125 = 7.89, 64 - 56.875 = 7.125.
		{"butt", "outside", 7, 1, 7.125},
		// 68: 68.125/8.125 = 8.38, 68 - 65 = 3.
		{"mitre", "outside", 8, 1, 3},
	} {
		out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 in", "0 in", "100 in", "60 in"), edging(joint18, `"corner_joint":"`+c.joint+`"`, `"face":"`+c.face+`"`)))))
		r := out.Courses[0].Course.Runs[1]
		assert.Equal(t, [2]int{c.full, c.cut}, [2]int{r.Full, r.Closers}, "%s %s", c.joint, c.face)
		assert.InDelta(t, c.closer, inches(r.Closer), near, "%s %s", c.joint, c.face)
	}
	// A least piece of a third of 8 in: 100 in of side 2, mitred, leave 100 - 97.5 = 2.5: two of (8 + 2.5)/2.
	out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 in", "0 in", "100 in", "60 in"), edging(joint18, `"corner_joint":"mitre"`)))))
	r := out.Courses[0].Course.Runs[2]
	assert.True(t, r.Shared())
	assert.InDelta(t, 5.25, inches(r.Closer), near)
	assert.Equal(t, 4, r.SawPasses, "two closers and two mitres")
}

// Side 3 is left 8 5/8 - 2 x 4 1/8 = 3/8 in, the least piece that may be cut, wherever the bed lies.
func TestItem11APieceOfThreeEighthsIsNotTooSmall(t *testing.T) {
	t.Parallel()
	for eighths := range 60 {
		y := fmt.Sprintf("%g in", float64(eighths)/8)
		out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 in", y, "100 in", "8.625 in"), edging(joint18)))))
		run := out.Courses[0].Course.Runs[3]
		assert.InDelta(t, 0.375, inches(run.Closer), 1e-9)
		assert.NotContains(t, codes(out), "small_piece", y)
	}
	out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 in", "0 in", "100 in", "8.5 in"), edging(joint18)))))
	assert.Contains(t, codes(out), "small_piece", "a quarter of an inch is")
}
