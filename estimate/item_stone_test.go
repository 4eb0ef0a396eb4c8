package estimate_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate"
	"bedline/estimate/measure"
)

func rounded(sides ...string) string {
	members := []string{base3, sand1}
	return bed("b", `{"kind":"polygon","points":[["0 ft","0 ft"],["22 ft","0 ft"],["22 ft","6 ft 6 in"],["0 ft","6 ft 6 in"]],"corner_radii":["0 in","0 in","24 in","24 in"]}`,
		append([]string{stone2}, edging(append(members, sides...)...))...)
}

func TestItem02CornersAreEdgedOnlyBetweenEdgedSides(t *testing.T) {
	t.Parallel()
	quarter := math.Pi / 2 * 2 // ft of arc at radius 2 ft
	tests := []struct {
		name   string
		sides  string
		edged  float64 // ft
		radius int     // arcs that are edged
	}{
		{"sides 1, 2 and 3 take both arcs", `"sides":[1,2,3]`, 4.5 + 18 + 4.5 + 2*quarter, 2},
		{"sides 1 and 2 take the arc between them", `"sides":[1,2]`, 4.5 + 18 + quarter, 1},
		{"side 2 alone takes none", `"sides":[2]`, 18, 0},
		{"sides 1 and 3 take none", `"sides":[1,3]`, 9, 0},
		{"a corner may be forced", `"sides":[2],"corners":[3]`, 18 + quarter, 1},
		{"without sides all are edged", `"curves":"cut"`, 22 + 4.5 + 18 + 4.5 + 2*quarter, 2},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			out := takeoff(t, plain(), job(beds(rounded(test.sides))))
			assert.InDelta(t, test.edged, feet(out.Beds[0].EdgedLength), 1e-9)
			arcs := 0
			for _, r := range out.Courses[0].Course.Runs {
				if !r.Edge.Straight() {
					arcs++
				}
			}
			assert.Equal(t, test.radius, arcs)
			// The band is 4 in wide: on a straight its length x 4 in, on an arc pi/4 (24^2 - 20^2) in2.
			band := (test.edged-float64(test.radius)*quarter)*4/12 + float64(test.radius)*math.Pi/4*176/144
			if test.name == "without sides all are edged" {
				band -= 2 * 16.0 / 144 // the two square corners, shared by two sides each
			}
			assert.InDelta(t, 143-2*(4-math.Pi)-band, ft2(out.Beds[0].NetStoneArea), 1e-8)
		})
	}
}

func TestItem07SlabsRunFromTheirCornerAndTurnAboutIt(t *testing.T) {
	t.Parallel()
	// A row of three slabs of 12 in that starts 6 ft along and 1 ft up fits into 10 x 3 ft until it is turned up.
	group := func(rotate string) string {
		return job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "3 ft"))),
			slabs(slabGroup("s", "slab", 1, 3, "6 ft", "1 ft", `"in_bed":"b"`, `"rotate":`+rotate)))
	}
	out := takeoff(t, plain(), group("0"))
	assert.InDelta(t, 3, feet(out.Slabs[0].Grid.Length()), near)
	assert.InDelta(t, 1, feet(out.Slabs[0].Grid.Width()), near)
	out = takeoff(t, plain(), group("10"))
	assert.InDelta(t, 3, ft2(dug(t, out, "s", estimate.PadPart).Area), 1e-8, "turning changes no area")
}

func TestItem07TurnedSlabsLeaveTheBed(t *testing.T) {
	t.Parallel()
	at := func(rotate string) []string {
		return faultsOf(t, job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "3 ft"))),
			slabs(slabGroup("s", "slab", 1, 3, "6 ft", "1 ft", `"in_bed":"b"`, `"rotate":`+rotate))))
	}
	assert.Empty(t, at("0"))
	assert.Equal(t, []string{"/slabs/0/at outside_bed"}, at("-30"), "3 ft turned down by 30 degrees reach 1.5 ft down from 1 ft")
	assert.Equal(t, []string{"/slabs/0/at outside_bed"}, at("90"), "turned upright they reach from 1 ft to 4 ft")
	assert.Empty(t, at("180"), "turned about their corner they lie from 3 to 6 ft and from 0 to 1 ft")
	assert.Equal(t, []string{"/slabs/0/at outside_bed"}, at("181"), "and dip below the bed a degree on")
	assert.Empty(t, at("10"), "3 sin 10 + cos 10 = 1.506 ft up from 1 ft")
}

func TestItem08SlabsMoreThanAMillimetreOutsideTheirBedAreRefused(t *testing.T) {
	t.Parallel()
	// One slab of 12 in in a bed of 10 x 3 ft, pushed over each side in turn.
	at := func(x, y string) []string {
		return faultsOf(t, job(beds(bed("b", rectangle("0 mm", "0 mm", "3048 mm", "914.4 mm"))),
			slabs(slabGroup("s", "slab", 1, 1, x, y, `"in_bed":"b"`))))
	}
	const refused = "/slabs/0/at outside_bed"
	for _, test := range []struct {
		name, x, y string
		faults     []string
	}{
		{"flush in the first corner", "0 mm", "0 mm", []string{}},
		{"flush in the last corner", "2743.2 mm", "609.6 mm", []string{}},
		{"1 mm out at the left", "-1 mm", "100 mm", []string{}},
		{"1 mm out at the right", "2744.2 mm", "100 mm", []string{}},
		{"1 mm out at the bottom", "100 mm", "-1 mm", []string{}},
		{"1 mm out at the top", "100 mm", "610.6 mm", []string{}},
		{"1.01 mm out at the left", "-1.01 mm", "100 mm", []string{refused}},
		{"1.01 mm out at the right", "2744.21 mm", "100 mm", []string{refused}},
		{"1.01 mm out at the top", "100 mm", "610.61 mm", []string{refused}},
		{"far away", "100 m", "100 m", []string{refused}},
	} {
		assert.Equal(t, test.faults, at(test.x, test.y), test.name)
	}
	assert.Empty(t, faultsOf(t, job(beds(bed("b", rectangle("0 mm", "0 mm", "3048 mm", "914.4 mm"))),
		slabs(slabGroup("s", "slab", 1, 1, "100 m", "100 m")))), "slabs of no bed may lie anywhere")
}

func TestItem08SlabsOutsideARoundBedAreRefused(t *testing.T) {
	t.Parallel()
	// In a circle of radius 5 ft about the origin the corner of a 1 ft slab may be at (4, 3) but not at (4.01, 3).
	at := func(x string) []string {
		return faultsOf(t, job(beds(bed("b", `{"kind":"circle","radius":"5 ft"}`)), slabs(slabGroup("s", "slab", 1, 1, x, "2 ft", `"in_bed":"b"`))))
	}
	assert.Empty(t, at("3 ft"))
	assert.Equal(t, []string{"/slabs/0/at outside_bed"}, at("3.01 ft"))
}

func TestItem08OverlapWithTheEdgingIsANoticeAndGroundIsTakenOnce(t *testing.T) {
	t.Parallel()
	// A bed of 10 x 3 ft edged at the top with 4 in; a slab of 12 in at the top lies on 12 x 4 in of it.
	out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "3 ft"), stone2, edging(base3, sand1, `"sides":[2]`))),
		slabs(slabGroup("s", "slab", 1, 1, "4 ft", "2 ft", `"in_bed":"b"`))))
	assert.Contains(t, codes(out), "slabs_on_edging")
	for _, n := range out.Notices {
		if n.Code == "slabs_on_edging" {
			assert.Equal(t, "/slabs/0/at", n.Where)
		}
	}
	assert.InDelta(t, 30-120.0*4/144-1+12.0*4/144, ft2(out.Beds[0].NetStoneArea), 1e-8)
	// A slab that only touches the course lies on nothing.
	out = takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "3 ft"), stone2, edging(base3, sand1, `"sides":[2]`))),
		slabs(slabGroup("s", "slab", 1, 1, "4 ft", "20 in", `"in_bed":"b"`))))
	assert.NotContains(t, codes(out), "slabs_on_edging")
	assert.InDelta(t, 30-120.0*4/144-1, ft2(out.Beds[0].NetStoneArea), 1e-8)
}

func TestItem08SlabsThatOverlapEachOtherAreTakenOnce(t *testing.T) {
	t.Parallel()
	out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "3 ft"), stone2)),
		slabs(slabGroup("s", "slab", 1, 1, "4 ft", "1 ft", `"in_bed":"b"`), slabGroup("u", "slab", 1, 1, "54 in", "1 ft", `"in_bed":"b"`))))
	assert.Contains(t, codes(out), "slabs_overlap")
	assert.InDelta(t, 30-1.5, ft2(out.Beds[0].NetStoneArea), 1e-8)
}

// A slab that fills half the gap of an earlier group leaves stone in the other half only.
func TestItem08ASlabInTheGapOfAnEarlierGroup(t *testing.T) {
	t.Parallel()
	for _, order := range [][2]int{{0, 1}, {1, 0}} {
		groups := []string{slabGroup("s", "slab", 1, 2, "1 ft", "1 ft", `"in_bed":"b"`, `"gap":"1 ft"`), slabGroup("u", "slab", 1, 1, "30 in", "1 ft", `"in_bed":"b"`)}
		out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "3 ft"), stone2)), slabs(groups[order[0]], groups[order[1]])))
		// Slabs from 1 to 2, 2.5 to 3.5 and 3 to 4 ft: 2.5 ft2.
		assert.InDelta(t, 30-2.5, ft2(out.Beds[0].NetStoneArea), 1e-8)
	}
}

func TestItem23CompactionAndItem30WasteMultiplyWhatIsMeasured(t *testing.T) {
	t.Parallel()
	// 27 x 12 ft at 1 in are a cubic yard.
	text := func(material, allowances string) string {
		return job(beds(bed("b", rectangle("0 ft", "0 ft", "27 ft", "12 ft"), `"stone":{"material":"`+material+`","depth":"1 in"}`)), `"allowances":{`+allowances+`}`)
	}
	tests := []struct {
		name, material, allowances string
		list                       *estimate.Catalogue
		factor                     float64
		basis                      estimate.Basis
		required                   float64
	}{
		{"the list's allowance is customary", "stone", "", catalogue(), 1.05, estimate.Customary, 1.05},
		{"a list without one adds none", "stone", "", plain(), 1, estimate.Customary, 1},
		{"the request's comes first", "stone", `"decorative_stone":8`, catalogue(), 1.08, estimate.Requested, 1.08},
		{"a request for none is one", "stone", `"decorative_stone":0`, catalogue(), 1, estimate.Requested, 1},
		{"a request for another line changes nothing", "stone", `"base":50`, catalogue(), 1.05, estimate.Customary, 1.05},
		{"compaction multiplies", "stone-packed", "", catalogue(), 1.05, estimate.Customary, 1.1 * 1.05},
		{"fractions of a per cent count", "stone", `"decorative_stone":7.25`, catalogue(), 1.0725, estimate.Requested, 1.0725},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			l := line(t, takeoff(t, test.list, text(test.material, test.allowances)), estimate.DecorativeStone, test.material)
			assert.InDelta(t, 1, ft3(l.Measured)/27, near)
			assert.InDelta(t, test.factor, float64(l.Waste.Factor), near)
			assert.Equal(t, test.basis, l.Waste.Basis)
			assert.InDelta(t, test.required, ft3(l.Required)/27, near)
		})
	}
}

func TestItem30CountsAreByLayoutUnlessTheRequestSays(t *testing.T) {
	t.Parallel()
	text := func(allowances string) string {
		return job(slabs(slabGroup("s", "slab", 2, 5, "0 ft", "0 ft")), `"allowances":{`+allowances+`}`)
	}
	l := line(t, takeoff(t, plain(), text("")), estimate.Slabs, "slab")
	assert.Equal(t, estimate.Waste{Factor: 1, Basis: estimate.ByLayout}, l.Waste)
	assert.InDelta(t, 10, l.Required.Value, near)
	breakage := plain()
	breakage.Allowances = map[estimate.LineKey]measure.Factor{estimate.Slabs: 0.03}
	l = line(t, takeoff(t, breakage, text("")), estimate.Slabs, "slab")
	assert.Equal(t, estimate.ByLayout, l.Waste.Basis)
	assert.InDelta(t, 10.3, l.Required.Value, near)
	l = line(t, takeoff(t, breakage, text(`"slabs":10`)), estimate.Slabs, "slab")
	assert.Equal(t, estimate.Requested, l.Waste.Basis)
	assert.InDelta(t, 11, l.Required.Value, near)
}

func TestItem24NetStoneAreaLeavesOutCourseAndSlabsButNotTheGaps(t *testing.T) {
	t.Parallel()
	// 10 x 8 ft, edged all round (band 120 x 96 - 112 x 88 in2), 2 x 3 slabs of 12 in with 2 in gaps: 6 ft2 of slabs.
	text := func(members ...string) string {
		return job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "8 ft"), stone2, edging(base3, sand1))),
			slabs(slabGroup("s", "slab", 2, 3, "2 ft", "2 ft", append(members, `"in_bed":"b"`, `"gap":"2 in"`)...)))
	}
	inside := 112.0 * 88 / 144
	out := takeoff(t, plain(), text())
	assert.InDelta(t, inside-6, ft2(out.Beds[0].NetStoneArea), 1e-8, "the stone fills the gaps")
	assert.InDelta(t, (inside-6)*2/12, ft3(line(t, out, estimate.DecorativeStone, "stone").Measured), 1e-8)
	out = takeoff(t, plain(), text(`"joint":{"fill":"fill"}`))
	gaps := 40.0*26/144 - 6
	assert.InDelta(t, inside-6-gaps, ft2(out.Beds[0].NetStoneArea), 1e-8, "the slabs name a joint fill")
	assert.InDelta(t, gaps*2/12, ft3(line(t, out, estimate.JointFill, "fill").Measured), 1e-8, "over the thickness of the slab")
	out = takeoff(t, plain(), text(`"joint":{"fill":"fill","depth":"1 in"}`))
	assert.InDelta(t, gaps*1/12, ft3(line(t, out, estimate.JointFill, "fill").Measured), 1e-8)
}

func TestItem24TrueArcsOfTheCourseAreTakenOut(t *testing.T) {
	t.Parallel()
	// A circle of radius 5 ft edged with 4 in: what is left is the circle of radius 56 in.
	out := takeoff(t, plain(), job(beds(bed("b", `{"kind":"circle","radius":"5 ft"}`, stone2, edging(base3, sand1, `"curves":"cut"`)))))
	assert.InDelta(t, math.Pi*56*56/144, ft2(out.Beds[0].NetStoneArea), 1e-8)
}

func TestItem24StoneIsReckonedWithoutSlabsInTheBed(t *testing.T) {
	t.Parallel()
	// A slab of no bed that lies in one all the same takes its ground; one beside it takes none.
	text := func(x string) string {
		return job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "8 ft"), stone2)), slabs(slabGroup("s", "slab", 1, 1, x, "2 ft")))
	}
	assert.InDelta(t, 79, ft2(takeoff(t, plain(), text("2 ft")).Beds[0].NetStoneArea), 1e-8)
	assert.InDelta(t, 80, ft2(takeoff(t, plain(), text("20 ft")).Beds[0].NetStoneArea), 1e-8)
	assert.InDelta(t, 79.5, ft2(takeoff(t, plain(), text("9.5 ft")).Beds[0].NetStoneArea), 1e-8)
}

func TestItem24GapsOfSlabsThatRunOutOfTheBedAreExact(t *testing.T) {
	t.Parallel()
	// Two columns of 12 in with a gap of 12 in that straddle the bed line, which runs through the gap or a slab.
	for _, test := range []struct {
		x    string
		slab float64 // ft2 of slab in the bed of 10 x 8 ft
	}{
		{"9 ft", 1},        // slab 9..10, gap 10..11
		{"8 ft 6 in", 1},   // slab 8.5..9.5, gap 9.5..10.5
		{"7 ft 6 in", 1.5}, // slab 7.5..8.5, gap 8.5..9.5, slab 9.5..10.5
		{"7 ft", 2},
		{"-1 ft", 0},
		{"-2 ft", 1},
		{"-0.5 ft", 0.5 + 1},
	} {
		out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "8 ft"), stone2)),
			slabs(slabGroup("s", "slab", 1, 2, test.x, "2 ft", `"gap":"12 in"`))))
		want := 80 - test.slab
		if test.x == "-1 ft" { // slab -1..0, gap 0..1, slab 1..2
			want = 79
		}
		assert.InDelta(t, want, ft2(out.Beds[0].NetStoneArea), 1e-8, test.x)
	}
}

func TestItem24EdgingOfAnotherBedTakesItsGround(t *testing.T) {
	t.Parallel()
	// A ring of radius 2 ft, edged, inside a bed of 10 x 10 ft: the units lie on no stone of the outer bed.
	out := takeoff(t, plain(), job(beds(bed("outer", rectangle("0 ft", "0 ft", "10 ft", "10 ft"), stone2),
		bed("ring", `{"kind":"circle","centre":["5 ft","5 ft"],"radius":"2 ft"}`, edging(base3, sand1, `"curves":"cut"`)))))
	band := math.Pi * (24*24 - 20*20) / 144
	assert.InDelta(t, 100-band, ft2(out.Beds[0].NetStoneArea), 1e-8)
	assert.InDelta(t, math.Pi*400/144, ft2(out.Beds[1].NetStoneArea), 1e-8)
}

func TestItem24BedsThatMeetAlongALineTakeNothingFromEachOther(t *testing.T) {
	t.Parallel()
	for _, x := range []string{"10 ft", "3.048 m", "120 in"} {
		out := takeoff(t, plain(), job(beds(bed("a", rectangle("0 ft", "0 ft", "10 ft", "4 ft"), stone2, edging(base3, sand1)),
			bed("b", rectangle(x, "0 ft", "10 ft", "4 ft"), stone2, edging(base3, sand1)))))
		assert.NotContains(t, codes(out), "beds_overlap")
		for _, b := range out.Beds {
			assert.InDelta(t, 112.0*40/144, ft2(b.NetStoneArea), 1e-8)
		}
	}
}

func TestItem08NoticesNameWhatIsOverlapped(t *testing.T) {
	t.Parallel()
	// Squares of 10 ft in one place: each but the first lies on all before it.
	var list []string
	for i := range 5 {
		list = append(list, bed(fmt.Sprintf("b%d", i), rectangle("0 ft", "0 ft", "10 ft", "10 ft")))
	}
	var said []string
	for _, n := range takeoff(t, plain(), job(beds(list...))).Notices {
		if n.Code == "beds_overlap" {
			said = append(said, n.Where+": "+n.Message[:strings.Index(n.Message, ":")])
		}
	}
	assert.Equal(t, []string{
		"/beds/1/outline: bed b1 shares 100 ft2 with bed b0",
		"/beds/2/outline: bed b2 shares 100 ft2 with beds b0 and b1",
		"/beds/3/outline: bed b3 shares 100 ft2 with beds b0, b1 and b2",
		"/beds/4/outline: bed b4 shares 100 ft2 with beds b0, b1, b2 and others",
	}, said)
}

func TestItem15JointFillOfACourse(t *testing.T) {
	t.Parallel()
	// One side of 54 in: (54 + 1/8)/(8 + 1/8) = 6.66: 6 units, 54 - 6 x 8 1/8 = 5 1/4 in of closer; 6 joints of
	// 4 x 1/8 x 2 in = 1 in3 each.
	text := func(joint string, members ...string) string {
		return job(beds(bed("b", rectangle("0 in", "0 in", "54 in", "36 in"), edging(append(members, base3, sand1, `"sides":[0]`, `"joint":{`+joint+`}`)...))))
	}
	out := takeoff(t, plain(), text(`"width":"1/8 in","fill":"fill"`))
	c := out.Courses[0].Course
	assert.Equal(t, 7, c.Units.Total)
	assert.Equal(t, 6, c.Joints)
	in3 := func(out *estimate.Takeoff) float64 {
		return ft3(line(t, out, estimate.JointFill, "fill").Measured) * 1728
	}
	assert.InDelta(t, 6, in3(out), 1e-6)
	assert.InDelta(t, 3, in3(takeoff(t, plain(), text(`"width":"1/8 in","depth":"1 in","fill":"fill"`))), 1e-6)
	// Item 16: a haunch of 1 in on the bed side is 1/2 in2 x 54 in; the gap of 1 in on the outer side 54 x 1 x 2 in3.
	assert.InDelta(t, 6+27, in3(takeoff(t, plain(), text(`"width":"1/8 in","fill":"fill"`, `"haunch":"1 in"`))), 1e-6)
	assert.InDelta(t, 6+108, in3(takeoff(t, plain(), text(`"width":"1/8 in","fill":"fill"`, `"side_clearance":"1 in"`, `"fill_wall_gap":true`))), 1e-6)
	assert.InDelta(t, 6, in3(takeoff(t, plain(), text(`"width":"1/8 in","fill":"fill"`, `"side_clearance":"1 in"`))), 1e-6, "off unless asked")
	assert.InDelta(t, 6*4+54, float64(done(takeoff(t, plain(), text(`"width":"1/8 in","fill":"fill"`, `"haunch":"1 in"`)), estimate.FillJoints))/float64(measure.Inch), 1e-6)
}

func TestItem15ClosedJointsTakeNoFill(t *testing.T) {
	t.Parallel()
	// Whole units that fill their side end to end, without joints: a rounding error in the sum is nothing to buy for.
	for feet := 2; feet <= 60; feet++ {
		out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", fmt.Sprintf("%d ft", feet), "8 ft"), edging(base3, sand1, `"joint":{"width":"0 in","fill":"fill"}`, `"sides":[0,1]`)))))
		for _, l := range out.Lines {
			require.NotEqual(t, estimate.JointFill, l.Key, "%d ft: %g m3", feet, l.Measured.Value)
		}
		require.Zero(t, out.Courses[0].Course.JointVolume)
	}
}

func TestItem16HaunchAndWallGapNeedAFill(t *testing.T) {
	t.Parallel()
	for _, member := range []string{`"haunch":"1 in"`, `"fill_wall_gap":true`} {
		got := faultsOf(t, job(beds(bed("b", rectangle("0 in", "0 in", "54 in", "36 in"), edging(base3, sand1, member)))))
		require.Len(t, got, 1)
		assert.Contains(t, got[0], "/beds/0/edging/")
		assert.Contains(t, got[0], " missing")
	}
}

func TestItem29FabricUnderTheBedOrTheTrenchToo(t *testing.T) {
	t.Parallel()
	text := func(under string) string {
		return job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "8 ft"), `"fabric":{"material":"fabric","under":"`+under+`"}`,
			edging(base3, sand1, `"side_clearance":"1 in"`))), slabs(slabGroup("s", "slab", 1, 1, "4 ft", "4 ft")))
	}
	// Inside the course: 112 x 88 in. Strips of 4 ft with laps of 6 in across 88 in: ceil((88 - 6)/42) = 2 strips of
	// 112 in; the other way ceil((112 - 6)/42) = 3 of 88 in, which is more cloth.
	out := takeoff(t, plain(), text("bed"))
	f := line(t, out, estimate.Fabric, "fabric")
	assert.InDelta(t, 112.0*88/144, f.Measured.Value/float64(measure.SquareFoot), 1e-8, "nothing is deducted for slabs")
	assert.InDelta(t, 2*112.0*48/144, f.Cover.Value/float64(measure.SquareFoot), 1e-8)
	assert.InDelta(t, 1, f.Required.Value, 0)
	// Pins: (2 x (112 + 88) + 112) / 36 = 14.2: 15.
	assert.InDelta(t, 15, line(t, out, estimate.Pins, "pin").Measured.Value, 0)
	// The dug bed with its trench: 122 x 98 in: ceil((98 - 6)/42) = 3 strips of 122 in, or ceil((122 - 6)/42) = 3 of 98 in.
	out = takeoff(t, plain(), text("bed_and_trench"))
	f = line(t, out, estimate.Fabric, "fabric")
	assert.InDelta(t, 122.0*98/144, f.Measured.Value/float64(measure.SquareFoot), 1e-8)
	assert.InDelta(t, 3*98.0*48/144, f.Cover.Value/float64(measure.SquareFoot), 1e-8)
	// Pins: (2 x (122 + 98) + 2 x 98) / 36 = 17.7: 18.
	assert.InDelta(t, 18, line(t, out, estimate.Pins, "pin").Measured.Value, 0)
}

func TestItem29StripsOfAllBedsComeFromTheSameRolls(t *testing.T) {
	t.Parallel()
	// Five beds of 20 x 4 ft: five strips of 20 ft, two to a roll of 50 ft: three rolls, not five.
	var list []string
	for i := range 5 {
		list = append(list, bed(fmt.Sprintf("b%d", i), rectangle("0 ft", fmt.Sprintf("%d ft", 10*i), "20 ft", "4 ft"), `"fabric":{"material":"fabric","under":"bed"}`))
	}
	f := line(t, takeoff(t, plain(), job(beds(list...))), estimate.Fabric, "fabric")
	assert.InDelta(t, 3, f.Required.Value, 0)
	assert.Len(t, f.Zones, 5)
}

func TestItem31OneLinePerKeyAndMaterialWithZones(t *testing.T) {
	t.Parallel()
	out := takeoff(t, plain(), job(beds(
		bed("a", rectangle("0 ft", "0 ft", "10 ft", "4 ft"), stone2, edging(base3, sand1)),
		bed("b", rectangle("0 ft", "10 ft", "20 ft", "4 ft"), `"stone":{"material":"stone","depth":"3 in"}`),
		bed("c", rectangle("0 ft", "20 ft", "20 ft", "4 ft"), `"stone":{"material":"base","depth":"3 in"}`)),
		slabs(slabGroup("s", "edger", 1, 2, "0 ft", "30 ft", base3, sand1))))
	seen := map[string]bool{}
	for _, l := range out.Lines {
		key := string(l.Key) + " " + l.Material.Key
		assert.False(t, seen[key], "two lines of %s", key)
		seen[key] = true
		var sum float64
		for _, z := range l.Zones {
			sum += z.Share.Value
			assert.Equal(t, l.Measured.Kind, z.Share.Kind)
		}
		assert.InDelta(t, l.Measured.Value, sum, 1e-9, key)
	}
	stone := line(t, out, estimate.DecorativeStone, "stone")
	require.Len(t, stone.Zones, 2)
	assert.Equal(t, "a", stone.Zones[0].ID)
	assert.InDelta(t, 112.0*40/144*2/12, ft3(stone.Zones[0].Share), 1e-8)
	assert.InDelta(t, 20, ft3(stone.Zones[1].Share), 1e-8)
	assert.InDelta(t, 20, ft3(line(t, out, estimate.DecorativeStone, "base").Measured), 1e-8, "base bought as stone has a line of its own")
	require.Len(t, line(t, out, estimate.Base, "base").Zones, 2)
	line(t, out, estimate.Edging, "edger")
	line(t, out, estimate.Slabs, "edger")
}
