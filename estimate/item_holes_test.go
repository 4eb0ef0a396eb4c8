package estimate_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate"
	"bedline/estimate/course"
	"bedline/estimate/measure"
)

// with puts more members into an outline, edging or other object.
func with(object string, members ...string) string {
	return strings.TrimSuffix(object, "}") + more(members) + "}"
}

func holes(list ...string) string   { return `"holes":[` + strings.Join(list, ",") + `]` }
func islands(list ...string) string { return `"islands":[` + strings.Join(list, ",") + `]` }

func circle(x, y, radius string) string {
	return `{"kind":"circle","centre":["` + x + `","` + y + `"],"radius":"` + radius + `"}`
}

// court is a bed of 20 x 12 ft with a hole of 8 x 6 ft, in it an island of 2 x 2 ft, and a round hole of 1 ft: sides 0 to
// 3, 4 to 7, 8 to 11 and 12.
func court() string {
	return with(rectangle("0 ft", "0 ft", "20 ft", "12 ft"), holes(
		with(rectangle("2 ft", "3 ft", "8 ft", "6 ft"), islands(rectangle("5 ft", "5 ft", "2 ft", "2 ft"))), circle("15 ft", "6 ft", "1 ft")))
}

const courtArea = 240 - 48 + 4 - math.Pi

func TestItem01SidesGoOnOverHolesAndIslands(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		sides string
		edged float64 // ft
		runs  []int
	}{
		"the outer line alone": {"[0,1,2,3]", 64, []int{0, 1, 2, 3}},
		"the square hole":      {"[4,5,6,7]", 28, []int{4, 5, 6, 7}},
		"the island":           {"[8,9,10,11]", 8, []int{8, 9, 10, 11}},
		"the round hole":       {"[12]", 2 * math.Pi, []int{12}},
		"one side of each":     {"[1,6,8]", 12 + 8 + 2, []int{1, 6, 8}},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			out := takeoff(t, plain(), job(beds(bed("b", court(), stone2, edging(`"sides":`+c.sides)))))
			b := out.Beds[0]
			assert.InDelta(t, courtArea, ft2(b.Area), near)
			assert.InDelta(t, 64+28+8+2*math.Pi, feet(b.Perimeter), near)
			assert.InDelta(t, c.edged, feet(b.EdgedLength), near)
			var runs []int
			for _, r := range out.Courses[0].Course.Runs {
				runs = append(runs, r.Side)
			}
			assert.Equal(t, c.runs, runs)
			assert.InDelta(t, 64+28+8+2*math.Pi, measure.Length(done(out, estimate.SetOut)).In(measure.Foot), near, "all lines are set out")
			require.Len(t, b.Holes, 2)
			assert.Equal(t, []int{4, 4, 12, 1, 8, 4}, []int{b.Holes[0].Side, b.Holes[0].Sides, b.Holes[1].Side, b.Holes[1].Sides, b.Holes[0].Islands[0].Side, b.Holes[0].Islands[0].Sides})
			assert.InDelta(t, 48, ft2(b.Holes[0].Area), near)
			assert.InDelta(t, 4, ft2(b.Holes[0].Islands[0].Area), near)
		})
	}
	assert.Equal(t, []string{"/beds/0/edging/sides/0 unknown_side"}, faultsOf(t, job(beds(bed("b", court(), edging(`"sides":[13]`))))))
}

// A square hole with rounded corners: its corners are numbered on as its sides are, and are edged between edged sides.
func TestItem02CornersOfHolesAreEdgedBetweenEdgedSides(t *testing.T) {
	t.Parallel()
	line := with(rectangle("0 ft", "0 ft", "20 ft", "12 ft"), holes(`{"kind":"rectangle","at":["4 ft","2 ft"],"length":"10 ft","width":"8 ft","corner_radius":"2 ft"}`))
	for name, c := range map[string]struct {
		members string
		edged   float64
	}{
		"all sides of the hole":         {`"sides":[4,5,6,7]`, 2*6 + 2*4 + 4*math.Pi},
		"its first and its last side":   {`"sides":[4,7]`, 6 + 4 + math.Pi},
		"two sides that do not meet":    {`"sides":[4,6]`, 12},
		"its first corner is forced":    {`"sides":[5],"corners":[4]`, 4 + math.Pi},
		"the last outer side is apart":  {`"sides":[3,4]`, 12 + 6},
		"the outer line has no arc":     {`"sides":[0,1,2,3]`, 64},
		"the hole's last corner is 7":   {`"sides":[6,7]`, 6 + 4 + math.Pi},
		"no side but a corner":          {`"sides":[],"corners":[5]`, math.Pi},
		"without sides all are edged":   {`"curves":"cut"`, 64 + 2*6 + 2*4 + 4*math.Pi},
		"an outer side and a hole side": {`"sides":[0,4]`, 20 + 6},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			out := takeoff(t, plain(), job(beds(bed("b", line, edging(c.members)))))
			assert.InDelta(t, c.edged, feet(out.Beds[0].EdgedLength), near)
		})
	}
	assert.Equal(t, []string{"/beds/0/edging/corners unknown_corner"}, faultsOf(t, job(beds(bed("b", line, edging(`"sides":[4],"corners":[1]`))))), "corner 1 is sharp")
}

func TestItem06HolesThatMeetOrLieElsewhereAreRefusedWhereTheyStand(t *testing.T) {
	t.Parallel()
	outer := rectangle("0 ft", "0 ft", "20 ft", "12 ft")
	bedOf := func(members ...string) string { return job(beds(bed("b", with(outer, members...)))) }
	for _, test := range []struct {
		name, text string
		want       []string
	}{
		{"a hole across the outer line", bedOf(holes(circle("5 ft", "5 ft", "1 ft"), circle("19 ft", "5 ft", "2 ft"))), []string{"/beds/0/outline/holes/1 lines_meet"}},
		{"a hole that touches the outer line", bedOf(holes(circle("5 ft", "5 ft", "5 ft"))), []string{"/beds/0/outline/holes/0 lines_meet"}},
		{"a hole that lies along the outer line", bedOf(holes(rectangle("0 ft", "2 ft", "3 ft", "3 ft"))), []string{"/beds/0/outline/holes/0 lines_meet"}},
		{"two holes that share a side", bedOf(holes(rectangle("2 ft", "2 ft", "3 ft", "3 ft"), rectangle("5 ft", "3 ft", "1 ft", "1 ft"))), []string{"/beds/0/outline/holes/1 lines_meet"}},
		{"an island across its hole", bedOf(holes(with(circle("5 ft", "5 ft", "2 ft"), islands(circle("5 ft", "5 ft", "1 ft"), circle("6 ft 6 in", "5 ft", "1 ft"))))),
			[]string{"/beds/0/outline/holes/0/islands/1 lines_meet"}},
		{"holes beside the outline and inside another", bedOf(holes(circle("5 ft", "5 ft", "3 ft"), circle("40 ft", "5 ft", "1 ft"), circle("5 ft", "5 ft", "1 ft"))),
			[]string{"/beds/0/outline/holes/1 not_inside", "/beds/0/outline/holes/2 not_inside"}},
		{"an island beside its hole", bedOf(holes(with(circle("5 ft", "5 ft", "2 ft"), islands(circle("12 ft", "5 ft", "1 ft"))))), []string{"/beds/0/outline/holes/0/islands/0 not_inside"}},
		{"a hole that crosses itself, and one without a radius", bedOf(holes(`{"kind":"polygon","points":[["1 ft","1 ft"],["3 ft","3 ft"],["3 ft","1 ft"],["1 ft","3 ft"]]}`, `{"kind":"circle"}`)),
			[]string{"/beds/0/outline/holes/0/points outline_crosses_itself", "/beds/0/outline/holes/1/radius missing"}},
		{"islands of a faulty hole are read too", bedOf(holes(`{"kind":"circle","radius":"0 ft","islands":[{"kind":"circle","radius":"-1 ft"}]}`)),
			[]string{"/beds/0/outline/holes/0/radius not_positive", "/beds/0/outline/holes/0/islands/0/radius not_positive"}},
		{"a hole has no holes", bedOf(holes(with(circle("5 ft", "5 ft", "2 ft"), holes(circle("5 ft", "5 ft", "1 ft"))))), []string{"/beds/0/outline/holes/0/holes unknown_member"}},
		{"an island has neither", bedOf(holes(with(circle("5 ft", "5 ft", "3 ft"), islands(with(circle("5 ft", "5 ft", "2 ft"), islands(circle("5 ft", "5 ft", "1 ft"))))))),
			[]string{"/beds/0/outline/holes/0/islands/0/islands unknown_member"}},
		{"an outline has no islands", bedOf(islands(circle("5 ft", "5 ft", "1 ft"))), []string{"/beds/0/outline/islands unknown_member"}},
		{"no holes are no list", bedOf(holes()), []string{"/beds/0/outline/holes out_of_range"}},
		{"a hole that leaves next to nothing", job(beds(bed("b", with(rectangle("0 mm", "0 mm", "100 mm", "100 mm"), holes(rectangle("0.01 mm", "0.01 mm", "99.98 mm", "99.98 mm")))))),
			[]string{"/beds/0/outline/holes outline_too_small"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			assert.Equal(t, test.want, faultsOf(t, test.text))
		})
	}
	_, _, faults := take(t, catalogue(), bedOf(holes(circle("5 ft", "5 ft", "1 ft"), circle("19 ft", "5 ft", "2 ft"))))
	assert.Contains(t, faults[0].Detail, "/beds/0/outline", "names the other line")
	assert.Contains(t, faults[0].Detail, "side 1 and side 5 meet at")
}

func TestItem43LimitsHoldOverAllLines(t *testing.T) {
	t.Parallel()
	many := func(n int) string {
		var list []string
		for i := range n {
			list = append(list, rectangle(measure.FormatLength(measure.Length(1+2*(i%50)), measure.Metric), measure.FormatLength(measure.Length(1+2*(i/50)), measure.Metric), "1 m", "1 m"))
		}
		return with(rectangle("0 m", "0 m", "200 m", "10 m"), holes(list...))
	}
	out := takeoff(t, plain(), job(beds(bed("b", many(100), stone2))))
	assert.InDelta(t, 1900, float64(out.Beds[0].Area), 1e-6)
	assert.InDelta(t, 1900*2*0.0254, line(t, out, estimate.DecorativeStone, "stone").Measured.Value, 1e-6)
	assert.Equal(t, []string{"/beds/0/outline/holes out_of_range"}, faultsOf(t, job(beds(bed("b", many(101))))))
	// 4,990 points and three holes of four sides.
	whole := with(comb(4990), holes(rectangle("1 ft", "6 in", "6 in", "6 in"), rectangle("2 ft", "6 in", "6 in", "6 in")))
	out = takeoff(t, plain(), job(beds(bed("b", whole))))
	assert.Positive(t, out.Beds[0].Area)
	whole = with(comb(4990), holes(rectangle("1 ft", "6 in", "6 in", "6 in"), rectangle("2 ft", "6 in", "6 in", "6 in"), rectangle("3 ft", "6 in", "6 in", "6 in")))
	assert.Equal(t, []string{"/beds/0/outline/holes too_many"}, faultsOf(t, job(beds(bed("b", whole)))))
	big := func(id string) string {
		return bed(id, with(rectangle("0 ft", "-40 ft", "3000 ft", "60 ft"), holes(with(comb(4990)))))
	}
	assert.Contains(t, faultsOf(t, job(beds(big("a"), big("b"), big("c")))), "/beds/2/outline/holes/0/points too_many")
}

func TestItem08SlabsOverAHoleAreRefused(t *testing.T) {
	t.Parallel()
	in := func(x, y string) string { return slabGroup("s", "slab", 2, 2, x, y, `"in_bed":"b"`) }
	for _, c := range []struct {
		name, at string
		want     []string
	}{
		{"on the bed", in("11 ft", "3 ft"), []string{}},
		{"exactly on the island", in("5 ft", "5 ft"), []string{}},
		{"half in the hole", in("9 ft", "5 ft"), []string{"/slabs/0/at outside_bed"}},
		{"in the hole", in("2 ft 6 in", "5 ft"), []string{"/slabs/0/at outside_bed"}},
		{"over all of the round hole", in("14 ft", "5 ft"), []string{"/slabs/0/at outside_bed"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			assert.Equal(t, c.want, faultsOf(t, job(beds(bed("b", court())), slabs(c.at))))
		})
	}
}

func TestItem05TiesOfHolesAreMeasuredAndReported(t *testing.T) {
	t.Parallel()
	// The triangle 13, 14, 15 of the hole lies in a bed of 40 x 40 ft; a check of 13 ft 4 in misses by four, which the
	// three tapes to and along it share.
	ties := with(tied, `"checks":[[0,2,"13 ft 4 in"]]`, `"misfit_max":"4 in"`)
	line := with(rectangle("-10 ft", "-10 ft", "40 ft", "40 ft"), holes(ties))
	out := takeoff(t, plain(), job(beds(bed("b", line))))
	require.Len(t, out.Beds[0].Holes, 1)
	assert.Nil(t, out.Beds[0].Ties, "the outer line is no taped one")
	require.NotNil(t, out.Beds[0].Holes[0].Ties)
	assert.Equal(t, 7, out.Beds[0].Holes[0].Ties.Tapes)
	assert.Less(t, inches(out.Beds[0].Holes[0].Ties.Greatest), 4.0)
	assert.InDelta(t, 84, ft2(out.Beds[0].Holes[0].Area), 2, "Heron's triangle, but for the misread check")
	assert.InDelta(t, 1600-ft2(out.Beds[0].Holes[0].Area), ft2(out.Beds[0].Area), near)
	for _, n := range out.Notices {
		if n.Code == "tie_misfit" {
			assert.True(t, strings.HasPrefix(n.Where, "/beds/0/outline/holes/0/"), n.Where)
			assert.Contains(t, n.Message, "hole 0 of bed b")
		}
	}
	assert.Contains(t, codes(out), "tie_misfit")
	// Taped outer line, plain hole: the ties are the outer line's.
	out = takeoff(t, plain(), job(beds(bed("b", with(tied, holes(circle("5 ft", "4 ft", "1 ft")))))))
	require.NotNil(t, out.Beds[0].Ties)
	assert.Nil(t, out.Beds[0].Holes[0].Ties)
	assert.InDelta(t, 84-math.Pi, ft2(out.Beds[0].Area), near)
}

// 20 x 12 ft with holes and island, dug 2 in, covered with fabric and stone, edged round the square hole (course 4 in, trench
// 6 in wide and 6 in deep) on either face.
func TestItem24StoneDiggingAndFabricFollowTheFaceOfTheCourse(t *testing.T) {
	t.Parallel()
	const in2 = 1.0 / 144
	for _, c := range []struct {
		face              string
		taken             float64 // ft2 of the bed under the course
		trench            float64 // ft2
		bedDug            float64 // ft2 left to the bed's own digging
		inside, alsoUnder float64 // ft2 of fabric under the bed, and under the trench too
	}{
		// Course on the bed round the hole of 96 x 72 in: 104 x 80 less the hole. Trench from 94 x 70 to 106 x 82; on the bed 106
		// x 82 less the hole. Fabric under the trench too: the strip of 1 in in the hole.
		{"inside", (104*80 - 96*72) * in2, (106*82 - 94*70) * in2, courtArea - (106*82-96*72)*in2, courtArea - (104*80-96*72)*in2, courtArea + (96*72-94*70)*in2},
		// Course in the hole: 96 x 72 less 88 x 64. Trench from 86 x 62 to 98 x 74.
		{"outside", 0, (98*74 - 86*62) * in2, courtArea - (98*74-96*72)*in2, courtArea, courtArea + (96*72-86*62)*in2},
	} {
		t.Run(c.face, func(t *testing.T) {
			t.Parallel()
			text := func(under string) string {
				return job(beds(bed("b", court(), stone2, `"dig":"2 in"`, `"fabric":{"material":"fabric","under":"`+under+`"}`,
					edging(base3, sand1, `"sides":[4,5,6,7]`, `"side_clearance":"1 in"`, `"face":"`+c.face+`"`))))
			}
			out := takeoff(t, plain(), text("bed"))
			assert.InDelta(t, courtArea-c.taken, ft2(out.Beds[0].NetStoneArea), near)
			assert.InDelta(t, (courtArea-c.taken)*2/12, ft3(line(t, out, estimate.DecorativeStone, "stone").Measured), near)
			assert.InDelta(t, c.trench, ft2(dug(t, out, "b", estimate.TrenchPart).Area), near)
			assert.InDelta(t, c.trench*3/12, ft3(line(t, out, estimate.Base, "base").Measured), near)
			assert.InDelta(t, c.bedDug, ft2(dug(t, out, "b", estimate.BedPart).Area), near)
			assert.InDelta(t, (c.trench*6+c.bedDug*2)/12/27, yd3(out.Spoil.Bank), near)
			assert.InDelta(t, c.inside, line(t, out, estimate.Fabric, "fabric").Measured.Value/float64(measure.SquareFoot), near)
			out = takeoff(t, plain(), text("bed_and_trench"))
			assert.InDelta(t, c.alsoUnder, line(t, out, estimate.Fabric, "fabric").Measured.Value/float64(measure.SquareFoot), near)
		})
	}
	// Outside the outer line.
	out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "8 ft"), stone2, edging(base3, sand1, `"face":"outside"`)))))
	assert.InDelta(t, 80, ft2(out.Beds[0].NetStoneArea), near)
	assert.InDelta(t, (128.0*104-120*96)/144, ft2(dug(t, out, "b", estimate.TrenchPart).Area), near)
	assert.Equal(t, course.FaceOutside, out.Courses[0].Spec.Laying.Face)
}

func TestItem24EdgingOutsideTakesTheGroundOfTheBedBeside(t *testing.T) {
	t.Parallel()
	// Beds of 10 x 8 ft side by side; the first is edged outside along the side that they share: 8 ft x 4 in of the second.
	out := takeoff(t, plain(), job(beds(bed("a", rectangle("0 ft", "0 ft", "10 ft", "8 ft"), stone2, edging(`"sides":[1]`, `"face":"outside"`)),
		bed("b", rectangle("10 ft", "0 ft", "10 ft", "8 ft"), stone2))))
	assert.InDelta(t, 80, ft2(out.Beds[0].NetStoneArea), near)
	assert.InDelta(t, 80-8.0/3, ft2(out.Beds[1].NetStoneArea), near)
	// A slot of 3 in is too narrow for a course of 4 in outside the line on its two sides: it lies on the bed and on itself.
	slot := `{"kind":"polygon","points":[["0 in","0 in"],["100 in","0 in"],["100 in","80 in"],["53 in","80 in"],["53 in","40 in"],["50 in","40 in"],["50 in","80 in"],["0 in","80 in"]]}`
	out = takeoff(t, plain(), job(beds(bed("c", slot, edging(`"sides":[3,5]`, `"face":"outside"`)))))
	assert.Contains(t, codes(out), "edging_on_bed")
	assert.Contains(t, codes(out), "edging_overlaps_itself")
	out = takeoff(t, plain(), job(beds(bed("c", slot, edging(`"sides":[0,1]`, `"face":"outside"`)))))
	assert.NotContains(t, codes(out), "edging_on_bed")
	assert.NotContains(t, codes(out), "edging_overlaps_itself")
}

func TestTheAreaOfABedWithHolesIsWrittenOut(t *testing.T) {
	t.Parallel()
	out := takeoff(t, plain(), job(beds(bed("b", court(), stone2))))
	var said []string
	for _, w := range line(t, out, estimate.DecorativeStone, "stone").Workings {
		said = append(said, w.Label+": "+w.Expression+" = "+w.Result)
	}
	assert.Equal(t, []string{
		"b: area inside the outer line: 20 ft x 12 ft = 240 ft2",
		"b: area of hole 0: 6 ft x 8 ft = 48 ft2",
		"b: area of island 0 of hole 0: 2 ft x 2 ft = 4 ft2",
		"b: area of hole 1: 3.14159 x 1 ft x 1 ft = 3.142 ft2",
		"b: area inside the bed line, without holes, with islands: 240 ft2 - 48 ft2 + 4 ft2 - 3.142 ft2 = 192.858 ft2",
	}, said[:5])
	// Points that run clockwise, on the bed and in the hole: the corners are written in the order that gives a positive area.
	const clockwise = `{"kind":"polygon","points":[["0 ft","0 ft"],["0 ft","9 ft"],["12 ft","0 ft"]]}`
	inner := `{"kind":"polygon","points":[["1 ft","1 ft"],["1 ft","3 ft"],["3 ft","1 ft"]]}`
	out = takeoff(t, plain(), job(beds(bed("b", with(clockwise, holes(inner)), stone2))))
	w := line(t, out, estimate.DecorativeStone, "stone").Workings
	assert.Equal(t, "(0 x 0 - 12 x 0 + 12 x 9 - 0 x 0 + 0 x 0 - 0 x 9) / 2", w[0].Expression)
	assert.Equal(t, "54 ft2", w[0].Result)
	assert.Equal(t, "(3 x 3 - 1 x 1 + 1 x 1 - 1 x 3 + 1 x 1 - 3 x 1) / 2", w[1].Expression)
	assert.Equal(t, "2 ft2", w[1].Result)
}

// Paving that goes round a hole of its bed lies in the bed; paving over the hole does not.
func TestItem08PavingMayGoRoundAHoleOfItsBed(t *testing.T) {
	t.Parallel()
	bedLine := with(rectangle("0 m", "0 m", "6 m", "6 m"), holes(circle("3 m", "3 m", "0.5 m")))
	over := rectangle("2 m", "2 m", "2 m", "2 m")
	around := with(over, holes(circle("3 m", "3 m", "0.6 m")))
	c := pavingUnits(plain())
	faults := func(line string) []string {
		_, _, list := take(t, c, job(beds(bed("b", bedLine)), paving(paved("a", "brick", "running", line, `"in_bed":"b"`))))
		var got []string
		for _, f := range list {
			got = append(got, f.Pointer+" "+f.Code)
		}
		return got
	}
	assert.Empty(t, faults(around))
	assert.Equal(t, []string{"/paving/0/outline outside_bed"}, faults(over))
}
