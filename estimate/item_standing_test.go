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

func planters(list ...string) string  { return `"planters":[` + strings.Join(list, ",") + `]` }
func obstacles(list ...string) string { return `"obstacles":[` + strings.Join(list, ",") + `]` }

// planter is a planter filled to 12 in with the mix of `parts`, or as the members say.
func planter(id, length, width, x, y string, members ...string) string {
	text := strings.Join(members, ",")
	if !strings.Contains(text, `"fill"`) {
		members = append(members, `"fill":"12 in"`)
	}
	if !strings.Contains(text, `"mix"`) {
		members = append(members, `"mix":[{"material":"fill","parts":1}]`)
	}
	return fmt.Sprintf(`{"id":%q,"length":%q,"width":%q,"at":[%q,%q]%s}`, id, length, width, x, y, more(members))
}

func tree(x, y, trunk string, members ...string) string {
	return fmt.Sprintf(`{"kind":"tree","at":[%q,%q],"trunk_diameter":%q%s}`, x, y, trunk, more(members))
}

func post(x, y string, members ...string) string {
	return fmt.Sprintf(`{"kind":"post","at":[%q,%q]%s}`, x, y, more(members))
}

func face(kind, x1, y1, x2, y2 string, members ...string) string {
	return fmt.Sprintf(`{"kind":%q,"from":[%q,%q],"to":[%q,%q]%s}`, kind, x1, y1, x2, y2, more(members))
}

// patch is a bed of 10 x 8 ft with 2 in of stone, dug 6 in deep unless the members say otherwise.
func patch(members ...string) string {
	if !strings.Contains(strings.Join(members, ","), `"dig"`) {
		members = append(members, `"dig":"6 in"`)
	}
	return beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "8 ft"), append(members, stone2)...))
}

// said is the first notice of a code.
func said(t require.TestingT, out *estimate.Takeoff, code string) estimate.Notice {
	for _, n := range out.Notices {
		if n.Code == code {
			return n
		}
	}
	require.Failf(t, "no notice", "%s in %v", code, codes(out))
	return estimate.Notice{}
}

func TestItem25SoilIsSharedOutByPartsWithinTheWalls(t *testing.T) {
	t.Parallel()
	// 5 ft x 2 ft outside, 2 in walls: 56 x 20 in inside, 14 in deep: 15680 in3. Parts 5, 3 and 2 of ten.
	text := job(planters(planter("p", "5 ft", "2 ft", "0 ft", "0 ft", `"wall":"2 in"`, `"fill":"14 in"`,
		`"mix":[{"material":"base","parts":5},{"material":"stone-packed","parts":3},{"material":"stone","parts":2}]`)))
	list := plain()
	list.Allowances = map[estimate.LineKey]measure.Factor{estimate.PlanterSoil: 0.05}
	out := takeoff(t, list, text)
	const in3 = 56.0 * 20 * 14
	for _, want := range []struct {
		material                string
		parts, compaction, mass float64
	}{{"base", 5, 1.25, 0}, {"stone-packed", 3, 1.1, 0}, {"stone", 2, 1, 0}} {
		l := line(t, out, estimate.PlanterSoil, want.material)
		assert.InDelta(t, in3*want.parts/10, ft3(l.Measured)*1728, 1e-6)
		assert.InDelta(t, in3*want.parts/10*want.compaction*1.05, ft3(l.Required)*1728, 1e-6)
		assert.Equal(t, estimate.Waste{Factor: 1.05, Basis: estimate.Customary}, l.Waste)
		require.Len(t, l.Zones, 1)
		assert.Equal(t, "p", l.Zones[0].ID)
	}
	require.Len(t, out.Planters, 1)
	p := out.Planters[0]
	assert.InDelta(t, 10, ft2(p.Footprint), near)
	assert.InDelta(t, 56.0*20/144, ft2(p.Inside), near)
	assert.InDelta(t, in3/46656, yd3(p.Fill), near)
	// What is bought weighs 1500 kg/m3: 15680 x (0.5 x 1.25 + 0.3 x 1.1 + 0.2) in3 = 18110.4 in3.
	assert.InDelta(t, 18110.4/1728*float64(measure.CubicFoot)*1500, float64(p.Mass), 1e-6)
	assert.InDelta(t, 18110.4*1.05/1728, measure.Volume(done(out, estimate.FillPlanters)).In(measure.CubicFoot), 1e-6)
	assert.Empty(t, out.Diggings)
	assert.Zero(t, out.Spoil.Bank)
}

func TestItem25WorkingsCanBeFollowed(t *testing.T) {
	t.Parallel()
	mix := `"mix":[{"material":"base","parts":3},{"material":"stone","parts":1}]`
	var steps []string
	for _, w := range line(t, takeoff(t, plain(), job(planters(planter("p", "5 ft", "2 ft", "0 ft", "0 ft", `"wall":"2 in"`, `"fill":"14 in"`, mix)))), estimate.PlanterSoil, "base").Workings {
		steps = append(steps, w.Label+" | "+w.Expression+" | "+w.Result)
	}
	// 1120/144 = 7.778 ft2; 7.7778 x 14 / 324 = 0.336 yd3; three quarters of it 0.252; x 1.25 = 0.315.
	assert.Equal(t, []string{
		"p: ground within the walls | (60 in - 2 x 2 in) x (24 in - 2 x 2 in) / 144 | 7.778 ft2",
		"p: mix as settled | 7.778 ft2 x 14 in / 324 | 0.336 yd3",
		"p: its share of the mix | 0.336 yd3 x 3 / 4 | 0.252 yd3",
		"loose, to buy | 0.252 yd3 x 1.25 (compaction) x 1 (waste) | 0.315 yd3",
	}, steps)
	steps = nil
	for _, w := range line(t, takeoff(t, plain(), job(`"units":"metric"`, planters(planter("p", "1.2 m", "600 mm", "0 m", "0 m", `"fill":"250 mm"`, mix)))), estimate.PlanterSoil, "stone").Workings {
		steps = append(steps, w.Label+" | "+w.Expression+" | "+w.Result)
	}
	assert.Equal(t, []string{
		"p: ground within the walls | 1200 mm x 600 mm / 1000000 | 0.72 m2",
		"p: mix as settled | 0.72 m2 x 250 mm / 1000 | 0.18 m3",
		"p: its share of the mix | 0.18 m3 x 1 / 4 | 0.045 m3",
		"loose, to buy | 0.045 m3 x 1 (waste) | 0.045 m3",
	}, steps)
}

// A raised bed of 8 x 4 ft filled 10 in deep takes 26.7 ft3, a cubic yard less a hair (arithmetic; 8 x 4 x 10/12).
func TestItem31OneMaterialOfSeveralPlantersIsOneLine(t *testing.T) {
	t.Parallel()
	out := takeoff(t, plain(), job(planters(planter("p", "8 ft", "4 ft", "0 ft", "0 ft", `"fill":"10 in"`), planter("q", "8 ft", "4 ft", "0 ft", "10 ft", `"fill":"10 in"`))))
	require.Len(t, out.Lines, 1)
	assert.InDelta(t, 2*8*4*10/12.0, ft3(out.Lines[0].Measured), near)
	require.Len(t, out.Lines[0].Zones, 2)
	assert.InDelta(t, 8*4*10/12.0, ft3(out.Lines[0].Zones[1].Share), near)
}

func TestItem24PlantersAndObstaclesAreTakenOutOfTheStone(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name  string
		items string
		taken float64
	}{
		{"a planter's outside", planters(planter("p", "5 ft", "2 ft", "1 ft", "1 ft", `"wall":"2 in"`)), 10},
		{"a planter of no bed that stands in one", planters(planter("p", "5 ft", "2 ft", "7 ft", "1 ft")), 6},
		{"the disc of a trunk", obstacles(tree("5 ft", "4 ft", "2 ft")), math.Pi},
		{"with what is kept clear round it", obstacles(tree("5 ft", "4 ft", "2 ft", `"clear":"6 in"`)), math.Pi * 2.25},
		{"a round post", obstacles(post("5 ft", "4 ft", `"diameter":"6 in"`)), math.Pi / 16},
		{"a square post, turned, with 3 in clear", obstacles(post("5 ft", "4 ft", `"length":"6 in"`, `"width":"12 in"`, `"clear":"3 in"`, `"rotate":30`)), 1 * 1.5},
		{"walls and footings take none", obstacles(face("wall", "0 ft", "4 ft", "10 ft", "4 ft")), 0},
		{"a post dug under takes stone all the same", obstacles(post("5 ft", "4 ft", `"length":"1 ft"`, `"width":"1 ft"`, `"dig_under":true`)), 1},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			out := takeoff(t, plain(), job(patch(), test.items))
			assert.InDelta(t, 80-test.taken, ft2(out.Beds[0].NetStoneArea), 1e-8)
			assert.InDelta(t, (80-test.taken)*2/12, ft3(line(t, out, estimate.DecorativeStone, "stone").Measured), 1e-8)
		})
	}
}

func TestItem19PlantersAndObstaclesAreTakenOutOfTheBedsOwnDig(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name  string
		items string
		dug   float64
	}{
		{"a planter", planters(planter("p", "5 ft", "2 ft", "1 ft", "1 ft")), 70},
		{"a planter that is dug under", planters(planter("p", "5 ft", "2 ft", "1 ft", "1 ft", `"dig_under":true`)), 80},
		{"a tree with what is kept clear", obstacles(tree("5 ft", "4 ft", "2 ft", `"clear":"6 in"`)), 80 - math.Pi*2.25},
		{"a post", obstacles(post("5 ft", "4 ft", `"length":"1 ft"`, `"width":"1 ft"`)), 79},
		{"a post that is dug under", obstacles(post("5 ft", "4 ft", `"length":"1 ft"`, `"width":"1 ft"`, `"dig_under":true`)), 80},
		{"two that lie on one another, one of them dug under", planters(planter("p", "4 ft", "2 ft", "1 ft", "1 ft"), planter("q", "4 ft", "2 ft", "3 ft", "1 ft", `"dig_under":true`)), 72},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			out := takeoff(t, plain(), job(patch(), test.items))
			assert.InDelta(t, test.dug, ft2(dug(t, out, "b", estimate.BedPart).Area), 1e-8)
			assert.InDelta(t, test.dug*0.5, out.Spoil.Bank.In(measure.CubicFoot), 1e-8)
		})
	}
}

func TestItem19TrenchesAndPadsGoUnderPlanters(t *testing.T) {
	t.Parallel()
	// A pad of 2 x 2 ft under a planter of 4 x 4 ft: the pad is dug in full, the bed round the planter only.
	out := takeoff(t, plain(), job(patch(), slabs(slabGroup("s", "slab", 2, 2, "3 ft", "3 ft", base3, sand1)), planters(planter("p", "4 ft", "4 ft", "2 ft", "2 ft"))))
	assert.InDelta(t, 4, ft2(dug(t, out, "s", estimate.PadPart).Area), 1e-8)
	assert.InDelta(t, 64, ft2(dug(t, out, "b", estimate.BedPart).Area), 1e-8)
	assert.InDelta(t, 4*3/12.0, ft3(line(t, out, estimate.Base, "base").Measured), 1e-8)
	assert.InDelta(t, 64, ft2(out.Beds[0].NetStoneArea), 1e-8)
	// A planter flush with the bed line, on the edging: the trench is dug under it.
	out = takeoff(t, plain(), job(patch(edging(base3, sand1)), planters(planter("p", "4 ft", "2 ft", "3 ft", "0 ft"))))
	assert.InDelta(t, (120*96-112*88)/144.0, ft2(dug(t, out, "b", estimate.TrenchPart).Area), 1e-8)
	assert.InDelta(t, (112*88-48*20)/144.0, ft2(out.Beds[0].NetStoneArea), 1e-8)
}

func TestItem07AtIsTheCornerBeforeTurningAndTheCentreOfTrees(t *testing.T) {
	t.Parallel()
	// A planter of 4 x 2 ft at (6, 3) turned by 90 degrees covers x from 4 to 6 and y from 3 to 7: a bed that ends at
	// x = 5 has half of it.
	half := beds(bed("b", rectangle("0 ft", "0 ft", "5 ft", "8 ft"), stone2))
	out := takeoff(t, plain(), job(half, planters(planter("p", "4 ft", "2 ft", "6 ft", "3 ft", `"rotate":90`))))
	assert.InDelta(t, 40-4, ft2(out.Beds[0].NetStoneArea), 1e-8)
	// A trunk centred on the bed line: half a disc.
	out = takeoff(t, plain(), job(half, obstacles(tree("5 ft", "4 ft", "2 ft"))))
	assert.InDelta(t, 40-math.Pi/2, ft2(out.Beds[0].NetStoneArea), 1e-8)
	// A square post turned about its centre by 45 degrees, centred in the corner of the bed: a quarter of it.
	out = takeoff(t, plain(), job(half, obstacles(post("5 ft", "8 ft", `"length":"2 ft"`, `"width":"2 ft"`, `"rotate":45`))))
	assert.InDelta(t, 40-1, ft2(out.Beds[0].NetStoneArea), 1e-8)
}

func TestItem08WhatStandsOutsideItsBedIsRefusedAtItsPlace(t *testing.T) {
	t.Parallel()
	in := `"in_bed":"b"`
	tests := []struct {
		name, items string
		want        []string
	}{
		{"a planter 0.9 mm out", planters(planter("p", "1 m", "500 mm", "-0.9 mm", "1 ft", in)), nil},
		{"a planter 1.1 mm out", planters(planter("p", "1 m", "500 mm", "-1.1 mm", "1 ft", in)), []string{"/planters/0/at outside_bed"}},
		{"a planter turned out of its bed", planters(planter("p", "3 ft", "1 ft", "0.5 ft", "1 ft", in, `"rotate":90`)), []string{"/planters/0/at outside_bed"}},
		{"a planter of no bed", planters(planter("p", "3 ft", "1 ft", "-9 ft", "1 ft")), nil},
		{"a trunk within 1 mm", obstacles(tree("9 in", "4 ft", "18 in", in)), nil},
		{"a trunk whose clear ground is out", obstacles(tree("9 in", "4 ft", "18 in", in, `"clear":"1 in"`)), []string{"/obstacles/0/at outside_bed"}},
		{"two at once", planters(planter("p", "3 ft", "1 ft", "8 ft", "1 ft", in)) + "," + obstacles(tree("1 ft", "1 ft", "6 in", in), post("10 ft", "8 ft", `"diameter":"4 in"`, in)),
			[]string{"/planters/0/at outside_bed", "/obstacles/1/at outside_bed"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			assert.ElementsMatch(t, test.want, faultsOf(t, job(patch(), test.items)))
		})
	}
}

func TestItem08OverlapsAreToldAndGroundIsTakenOnce(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name    string
		items   []string
		message string
		where   string
		taken   float64
	}{
		{"planter on planter", []string{planters(planter("p", "4 ft", "2 ft", "1 ft", "1 ft"), planter("q", "4 ft", "2 ft", "3 ft", "2 ft"))},
			"planter q stands on 2 ft2 of planter p:", "/planters/1/at", 14},
		{"planter on a slab group without gaps", []string{slabs(slabGroup("s", "slab", 1, 2, "1 ft", "1 ft")), planters(planter("p", "4 ft", "2 ft", "2 ft", "1 ft"))},
			"planter p stands on 1 ft2 of slab group s:", "/planters/0/at", 9},
		{"a square post in a planter", []string{planters(planter("p", "4 ft", "2 ft", "1 ft", "1 ft")), obstacles(post("2 ft", "2 ft", `"length":"1 ft"`, `"width":"1 ft"`))},
			"obstacle 0 (post) stands on 1 ft2 of planter p:", "/obstacles/0/at", 8},
		{"posts on one another", []string{obstacles(post("2 ft", "2 ft", `"length":"1 ft"`, `"width":"1 ft"`, `"id":"old"`), post("2 ft", "2 ft", `"length":"2 ft"`, `"width":"1 ft"`, `"id":"new"`))},
			"post new stands on 1 ft2 of post old:", "/obstacles/1/at", 2},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			out := takeoff(t, plain(), job(append(test.items, patch())...))
			n := said(t, out, "standing_overlap")
			assert.True(t, strings.HasPrefix(n.Message, test.message), n.Message)
			assert.Equal(t, test.where, n.Where)
			assert.Equal(t, estimate.Confirm, n.Severity)
			assert.InDelta(t, 80-test.taken, ft2(out.Beds[0].NetStoneArea), 1e-8)
		})
	}
	out := takeoff(t, plain(), job(patch(edging(base3, sand1)), planters(planter("p", "4 ft", "2 ft", "3 ft", "0 ft"))))
	assert.Contains(t, said(t, out, "standing_overlap").Message, "planter p stands on 1.333 ft2 of the edging:")
	out = takeoff(t, plain(), job(patch(), planters(planter("p", "4 ft", "2 ft", "1 ft", "1 ft"), planter("q", "4 ft", "2 ft", "5 ft", "1 ft"))))
	assert.NotContains(t, codes(out), "standing_overlap", "side by side")
	area := paving(paved("a", "edger", "running", rectangle("0 ft", "0 ft", "8 ft", "6 ft"), base3))
	out = takeoff(t, pavingUnits(plain()), job(area, planters(planter("p", "4 ft", "2 ft", "1 ft", "1 ft"))))
	assert.Contains(t, said(t, out, "standing_overlap").Message, "planter p stands on 8 ft2 of paving a:")
	out = takeoff(t, pavingUnits(plain()), job(area, obstacles(post("3 ft", "3 ft", `"diameter":"6 in"`))))
	assert.NotContains(t, codes(out), "standing_overlap", "paving is laid round a post")
}

func TestItem08SlabsWithGapsUnderAPlanterAreDrawnOneByOne(t *testing.T) {
	t.Parallel()
	// Slabs of 1 ft with gaps of 1 ft: from 1 to 2, 3 to 4 and 5 to 6 ft. The planter covers what the table says.
	for _, test := range []struct {
		x     string
		taken float64 // slabs and planter together, of the strip 1 ft wide
	}{
		{"2 ft", 2 + 1 + 1},           // planter 2 to 4, on the slab 3 to 4
		{"3 ft", 2 + 1 + 1},           // planter 3 to 5, on the same
		{"2.5 ft", 2 + 1 + 1},         // planter 2.5 to 4.5, on the same
		{"1.5 ft", 2 + 0.5 + 0.5 + 1}, // planter 1.5 to 3.5, on half of two slabs
		{"7 ft", 2 + 3},
	} {
		text := job(patch(), slabs(slabGroup("s", "slab", 1, 3, "1 ft", "1 ft", `"gap":"1 ft"`)))
		text = strings.TrimSuffix(text, "}") + "," + planters(planter("p", "2 ft", "1 ft", test.x, "1 ft")) + "}"
		out := takeoff(t, plain(), text)
		assert.InDelta(t, 80-test.taken, ft2(out.Beds[0].NetStoneArea), 1e-8, test.x)
	}
	// A trunk in a gap of the same group takes its disc.
	out := takeoff(t, plain(), job(patch(), slabs(slabGroup("s", "slab", 1, 3, "1 ft", "1 ft", `"gap":"1 ft"`)), obstacles(tree("2.5 ft", "1.5 ft", "6 in"))))
	assert.InDelta(t, 80-3-math.Pi/16, ft2(out.Beds[0].NetStoneArea), 1e-8)
}

func TestHeavyPlantersAreSetBeforeTheyAreFilled(t *testing.T) {
	t.Parallel()
	// 1 ft3 at 1500 kg/m3 is 42.5 kg, above 51 lb (23.1 kg); half of it is not.
	out := takeoff(t, plain(), job(planters(planter("p", "1 ft", "1 ft", "0 ft", "0 ft"), planter("q", "2 ft", "1 ft", "0 ft", "3 ft"))))
	n := said(t, out, "heavy_planter")
	assert.Contains(t, n.Message, "2 planters are too heavy to lift once filled; the heaviest, q, holds about 187 lb of mix") // 2 ft3 of 1500 kg/m3, 93.642 lb/ft3
	assert.Equal(t, "/planters/1", n.Where)
	assert.Equal(t, estimate.Caution, n.Severity)
	assert.NotContains(t, codes(takeoff(t, plain(), job(planters(planter("p", "1 ft", "1 ft", "0 ft", "0 ft", `"fill":"6 in"`))))), "heavy_planter")
}

func TestItem30PlanterSoilHasAnAllowanceOfItsOwn(t *testing.T) {
	t.Parallel()
	text := func(members ...string) string {
		return job(append(members, planters(planter("p", "3 ft", "3 ft", "0 ft", "0 ft", `"fill":"36 in"`, `"mix":[{"material":"stone-packed","parts":7}]`)))...)
	}
	list := plain()
	list.Allowances = map[estimate.LineKey]measure.Factor{estimate.PlanterSoil: 0.04}
	for _, test := range []struct {
		text  string
		waste estimate.Waste
	}{
		{text(), estimate.Waste{Factor: 1.04, Basis: estimate.Customary}},
		{text(`"allowances":{"planter_soil":10}`), estimate.Waste{Factor: 1.1, Basis: estimate.Requested}},
	} {
		l := line(t, takeoff(t, list, test.text), estimate.PlanterSoil, "stone-packed")
		assert.Equal(t, test.waste.Basis, l.Waste.Basis)
		assert.InDelta(t, float64(test.waste.Factor), float64(l.Waste.Factor), near)
		assert.InDelta(t, 1, ft3(l.Measured)/27, near) // 3 x 3 x 3 ft are a cubic yard
		assert.InDelta(t, 1.1*float64(test.waste.Factor), ft3(l.Required)/27, near)
	}
}

func TestItem24TheWorkingOfTheStoneNamesWhatStands(t *testing.T) {
	t.Parallel()
	out := takeoff(t, plain(), job(patch(), slabs(slabGroup("s", "slab", 1, 2, "1 ft", "5 ft")), planters(planter("p", "5 ft", "2 ft", "1 ft", "1 ft")), obstacles(post("8 ft", "6 ft", `"length":"1 ft"`, `"width":"1 ft"`))))
	var steps []string
	for _, w := range line(t, out, estimate.DecorativeStone, "stone").Workings {
		steps = append(steps, w.Expression+" = "+w.Result)
	}
	assert.Contains(t, steps, "outline 80 ft2 - course 0 ft2 - slabs 2 ft2 - planters, trees and posts 11 ft2 = 67 ft2")
}

// Source: University of Maine Cooperative Extension, Mulch, Soil, and Compost: Amounts Needed, table (rounded there to
// about the nearest half yard).
func TestSoilOfThePublishedTable(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		length, width, depth string
		table                float64 // yd3
	}{
		{"10 ft", "5 ft", "6 in", 1},     // 50 ft2
		{"10 ft", "5 ft", "12 in", 2},    // 50 ft2
		{"65 ft", "10 ft", "4 in", 8},    // 650 ft2
		{"65 ft", "10 ft", "8 in", 16},   // 650 ft2
		{"34 ft", "25 ft", "4 in", 10.5}, // 850 ft2
		{"38 ft", "25 ft", "6 in", 17.5}, // 950 ft2
		{"40 ft", "25 ft", "8 in", 25},   // 1000 ft2
		{"40 ft", "25 ft", "12 in", 37},  // 1000 ft2
	} {
		out := takeoff(t, plain(), job(planters(planter("p", row.length, row.width, "0 ft", "0 ft", `"fill":"`+row.depth+`"`))))
		assert.InDelta(t, row.table, yd3(out.Planters[0].Fill), 0.32, "%v", row)
	}
	// A raised bed of 4 x 8 ft, the size drawn in Alabama Cooperative Extension ANR-1345, filled 12 in deep: 32 ft3.
	out := takeoff(t, plain(), job(planters(planter("p", "8 ft", "4 ft", "0 ft", "0 ft"))))
	assert.InDelta(t, 32, ft3(line(t, out, estimate.PlanterSoil, "fill").Required), near)
}

func TestItem08AHoleIsOutsideItsBed(t *testing.T) {
	t.Parallel()
	// A bed of 10 x 8 ft round a hole of 2 x 2 ft at (4, 3).
	holed := func(members ...string) string {
		return beds(bed("b", `{"kind":"rectangle","length":"10 ft","width":"8 ft","holes":[`+rectangle("4 ft", "3 ft", "2 ft", "2 ft")+`]}`, append(members, stone2, `"dig":"6 in"`)...))
	}
	in := `"in_bed":"b"`
	assert.Equal(t, []string{"/planters/0/at outside_bed"}, faultsOf(t, job(holed(), planters(planter("p", "2 ft", "2 ft", "3 ft", "3 ft", in)))))
	assert.Equal(t, []string{"/obstacles/0/at outside_bed"}, faultsOf(t, job(holed(), obstacles(tree("5 ft", "4 ft", "1 ft", in)))))
	assert.Equal(t, []string{"/planters/0/at outside_bed"}, faultsOf(t, job(holed(), planters(planter("p", "4 ft", "4 ft", "3 ft", "2 ft", in)))), "round the hole")
	// Of no bed it takes what lies beside the hole, and its fabric is cut there: 1 + 2 + 1 ft.
	out := takeoff(t, plain(), job(holed(`"fabric":{"material":"fabric","under":"bed"}`), planters(planter("p", "2 ft", "2 ft", "3 ft", "3 ft"))))
	assert.InDelta(t, 76-2, ft2(out.Beds[0].NetStoneArea), 1e-8)
	assert.InDelta(t, 74, ft2(dug(t, out, "b", estimate.BedPart).Area), 1e-8)
	assert.InDelta(t, 4, feet(out.Fabrics[0].CutLength), 1e-8)
	// Digging keeps 2 in from a footing in the hole.
	out = takeoff(t, plain(), job(holed(), obstacles(face("footing", "4 ft 2 in", "4 ft", "5 ft", "4 ft"))))
	require.Len(t, out.Obstacles[0].Near, 1)
	assert.InDelta(t, 2, inches(out.Obstacles[0].Near[0].Distance), 1e-9)
}

// Faults come in the order of the document's kinds, and each shows a right example.
func TestItem47WhatIsMissingIsShownByAnExample(t *testing.T) {
	t.Parallel()
	_, _, found := take(t, pavingUnits(plain()), job(paving(paved("p", "edger", "running", rectangle("0 ft", "0 ft", "4 ft", "3 ft"))), `"planters":[{"id":"p","length":"4 ft","width":"2 ft","fill":"1 ft"}]`))
	got := map[string]string{}
	for _, f := range found {
		got[f.Pointer] = f.Example
	}
	assert.Equal(t, map[string]string{"/planters/0/id": `"bed-2"`, "/planters/0/at": `["9 ft","1 ft"]`,
		"/planters/0/mix": `[{"material":"soil-garden","parts":5},{"material":"compost","parts":3}]`}, got)
}
