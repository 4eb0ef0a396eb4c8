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

// TestRootZonesFollowTheTrunk holds radii against published ones.
func TestRootZonesFollowTheTrunk(t *testing.T) {
	t.Parallel()
	for _, test := range []struct {
		trunk  string
		radius float64 // ft
	}{
		{"12 in", 15}, // NC State Extension, tree protection zone guidelines, figure 3: 12 in trunk, at least 15 ft
		{"20 in", 25}, // 1.25 ft per inch, as the municipal range of the NC Urban Forest Council has it too
		{"6 in", 7.5},
		{"4 in", 6}, // the usual floor: NC Urban Forest Council, Tree Protection During Construction
		{"1 in", 6},
	} {
		out := takeoff(t, plain(), job(patch(), obstacles(tree("50 ft", "50 ft", test.trunk))))
		require.Len(t, out.RootZones, 1)
		assert.InDelta(t, test.radius, feet(out.RootZones[0].Radius), near, test.trunk)
		assert.InDelta(t, math.Pi*test.radius*test.radius, ft2(out.RootZones[0].Area), 1e-8)
	}
}

func TestDugGroundInARootZoneIsExact(t *testing.T) {
	t.Parallel()
	// A trunk of 6 in: radius 7.5 ft. The bed is 10 x 8 ft from (0, 0).
	segment := func(r, d float64) float64 { return r*r*math.Acos(d/r) - d*math.Sqrt(r*r-d*d) } // circular segment beyond distance d
	tests := []struct {
		name    string
		members []string
		want    float64
		deepest float64 // in
		code    string
	}{
		// Centre 3 ft below the bed, far from its ends: the segment beyond 3 ft, all of which is less than 8 ft deep, cut at x = 0 and 10.
		{"a bed wider than the zone", []string{beds(bed("b", rectangle("-20 ft", "3 ft", "40 ft", "8 ft"), `"dig":"6 in"`)), obstacles(tree("0 ft", "0 ft", "6 in"))}, segment(7.5, 3), 6, "root_zone_dug"},
		{"a bed wholly inside", []string{beds(bed("b", rectangle("2 ft", "2 ft", "2 ft", "1 ft"), `"dig":"4 in"`)), obstacles(tree("0 ft", "0 ft", "6 in"))}, 2, 4, "root_zone_dug"},
		{"the trunk itself is not dug", []string{beds(bed("b", rectangle("-1 ft", "-1 ft", "2 ft", "2 ft"), `"dig":"4 in"`)), obstacles(tree("0 ft", "0 ft", "6 in"))}, 4 - math.Pi/16, 4, "root_zone_dug"},
		{"of two diggings each counts once, the deeper is told", []string{beds(bed("b", rectangle("1 ft", "1 ft", "4 ft", "2 ft"), `"dig":"4 in"`), bed("c", rectangle("1 ft", "2 ft", "4 ft", "2 ft"), `"dig":"9 in"`)), obstacles(tree("0 ft", "0 ft", "6 in"))}, 12, 9, "root_zone_dug"},
		{"digging out of reach", []string{beds(bed("b", rectangle("7.6 ft", "0 ft", "4 ft", "2 ft"), `"dig":"4 in"`)), obstacles(tree("0 ft", "0 ft", "6 in"))}, 0, 0, "root_zone"},
		{"nothing dug", []string{beds(bed("b", rectangle("1 ft", "1 ft", "4 ft", "2 ft"), stone2)), obstacles(tree("0 ft", "0 ft", "6 in"))}, 0, 0, "root_zone"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			out := takeoff(t, plain(), job(test.members...))
			z := out.RootZones[0]
			assert.InDelta(t, test.want, ft2(z.Dug), 1e-7)
			assert.InDelta(t, test.deepest, inches(z.Deepest), near)
			assert.InDelta(t, test.want/(math.Pi*56.25), float64(z.Share()), near)
			n := said(t, out, test.code)
			assert.Contains(t, n.Source, "1.25 ft of radius per inch")
			assert.Equal(t, "/obstacles/0", n.Where)
			for _, other := range []string{"root_zone", "root_zone_dug"} {
				if other != test.code {
					assert.NotContains(t, codes(out), other)
				}
			}
		})
	}
}

func TestRootZonesOfSeveralTreesAreEachWhole(t *testing.T) {
	t.Parallel()
	// Two zones of 7.5 ft that both hold the bed of 2 ft2.
	out := takeoff(t, plain(), job(beds(bed("b", rectangle("2 ft", "2 ft", "2 ft", "1 ft"), `"dig":"4 in"`)), obstacles(tree("0 ft", "0 ft", "6 in"), tree("1 ft", "0 ft", "6 in", `"id":"oak"`))))
	require.Len(t, out.RootZones, 2)
	for _, z := range out.RootZones {
		assert.InDelta(t, 2, ft2(z.Dug), 1e-8)
	}
	// 2 / (pi x 56.25) = 1.1 %.
	assert.Contains(t, said(t, out, "root_zone_dug").Message, "obstacle 0 (tree) reaches 7.5 ft from its centre; 2 ft2 of it (1.1 %) are dug, 4 in at the deepest")
}

func TestDiggingNearerToAWallThanItIsDeep(t *testing.T) {
	t.Parallel()
	// The bed of 10 x 8 ft is dug 6 in.
	type near struct {
		part     estimate.DiggingPart
		distance float64 // in
	}
	none := []near(nil)
	tests := []struct {
		name string
		face string
		more []string
		want []near
	}{
		{"along the bed line", face("wall", "0 ft", "0 ft", "10 ft", "0 ft"), nil, []near{{estimate.BedPart, 0}}},
		{"through the bed", face("footing", "-1 ft", "4 ft", "11 ft", "4 ft"), nil, []near{{estimate.BedPart, 0}}},
		{"wholly in the bed", face("footing", "4 ft", "4 ft", "5 ft", "4 ft"), nil, []near{{estimate.BedPart, 0}}},
		{"5 in beside it", face("wall", "-20 ft", "-5 in", "20 ft", "-5 in"), nil, []near{{estimate.BedPart, 5}}},
		{"6 in beside it, as far as it is deep", face("wall", "-20 ft", "-6 in", "20 ft", "-6 in"), nil, none},
		{"off a corner, 3 and 4 in", face("wall", "-3 in", "-4 in", "-3 in", "-5 ft"), nil, []near{{estimate.BedPart, 5}}},
		{"off a corner, 4 and 5 in: 6.4 in", face("wall", "-4 in", "-5 in", "-4 in", "-5 ft"), nil, none},
		{"beside a planter that is not dug under", face("wall", "2 ft", "-5 in", "4 ft", "-5 in"), []string{planters(planter("p", "6 ft", "2 ft", "0 ft", "0 ft"))}, none},
		{"beside one that is", face("wall", "2 ft", "-5 in", "4 ft", "-5 in"), []string{planters(planter("p", "6 ft", "2 ft", "0 ft", "0 ft", `"dig_under":true`))}, []near{{estimate.BedPart, 5}}},
		// The pad is dug 2 + 1 + 3 = 6 in, its side 4 in from the wall.
		{"beside a pad", face("wall", "20 ft", "0 ft", "20 ft", "9 ft"), []string{slabs(slabGroup("s", "slab", 1, 1, "20 ft 4 in", "4 ft", base3, sand1))}, []near{{estimate.PadPart, 4}}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			out := takeoff(t, plain(), job(append([]string{patch(), obstacles(test.face)}, test.more...)...))
			require.Len(t, out.Obstacles, 1)
			got := none
			for _, n := range out.Obstacles[0].Near {
				got = append(got, near{n.Part, math.Round(inches(n.Distance)*1e9) / 1e9})
				assert.InDelta(t, 6, inches(n.Depth), 1e-9)
			}
			assert.Equal(t, test.want, got)
			if len(test.want) == 0 {
				assert.NotContains(t, codes(out), "near_wall")
				return
			}
			n := said(t, out, "near_"+string(out.Obstacles[0].Obstacle.Kind))
			assert.Equal(t, estimate.Caution, n.Severity)
			assert.Contains(t, n.Message, "licensed engineer")
			assert.Contains(t, n.Source, "29 CFR 1926.651(i)")
		})
	}
}

func TestACurvedTrenchBesideAFooting(t *testing.T) {
	t.Parallel()
	// A ring of 5 ft radius about (0, 0), its trench 1 in wider, dug 2 + 1 + 3 = 6 in; a footing that runs past it at
	// 66 in: 66 - 61 = 5 in away.
	out := takeoff(t, plain(), job(beds(bed("b", `{"kind":"circle","radius":"5 ft"}`, edging(base3, sand1, `"side_clearance":"1 in"`, `"curves":"cut"`))),
		obstacles(face("footing", "-9 ft", "66 in", "9 ft", "66 in", `"id":"house"`))))
	require.Len(t, out.Obstacles[0].Near, 1)
	assert.InDelta(t, 5, inches(out.Obstacles[0].Near[0].Distance), 1e-6)
	assert.True(t, strings.HasPrefix(said(t, out, "near_footing").Message, "footing house: the trench of b comes within 5 in of it and is 6 in deep: nearer than deep,"))
}

func TestItem29OpeningsAreCutRoundAndNothingIsDeducted(t *testing.T) {
	t.Parallel()
	// Fabric under a bed of 10 x 8 ft without edging: strips of 4 ft with laps of 6 in: ceil(7.5/3.5) = 3 of 10 ft along, or
	// ceil(9.5/3.5) = 3 of 8 ft across, which has the shorter seams: 24 ft of cloth. Pins: (36 + 16)/3 = 17.3: 18.
	fabric := func(members string) string {
		return patch(`"fabric":{"material":"fabric","under":"bed"` + members + `}`)
	}
	tests := []struct {
		name    string
		members string
		items   []string
		cut     float64 // ft
		pins    int
	}{
		{"nothing stands there", "", nil, 0, 18},
		{"a planter", "", []string{planters(planter("p", "5 ft", "2 ft", "1 ft", "1 ft"))}, 14, 18},
		{"a planter whose cut edges are pinned: 66/3", `,"pin_openings":true`, []string{planters(planter("p", "5 ft", "2 ft", "1 ft", "1 ft"))}, 14, 22},
		{"a planter that the fabric is lapped against", `,"openings":"lapped"`, []string{planters(planter("p", "5 ft", "2 ft", "1 ft", "1 ft"))}, 0, 18},
		{"cut because it is said", `,"openings":"cut"`, []string{planters(planter("p", "5 ft", "2 ft", "1 ft", "1 ft"))}, 14, 18},
		{"a planter along the bed line is cut along three sides", "", []string{planters(planter("p", "5 ft", "2 ft", "1 ft", "0 ft"))}, 9, 18},
		{"a planter that stands half outside", "", []string{planters(planter("p", "4 ft", "2 ft", "8 ft", "3 ft"))}, 2 + 2 + 2, 18},
		{"two planters on one another", "", []string{planters(planter("p", "4 ft", "2 ft", "1 ft", "1 ft"), planter("q", "4 ft", "2 ft", "3 ft", "1 ft"))}, 16, 18},
		{"two planters side by side", "", []string{planters(planter("p", "2 ft", "2 ft", "1 ft", "1 ft"), planter("q", "2 ft", "2 ft", "3 ft", "1 ft"))}, 12, 18},
		{"a trunk with what is kept clear", "", []string{obstacles(tree("5 ft", "4 ft", "1 ft", `"clear":"6 in"`))}, 2 * math.Pi, 18},
		{"a square post", "", []string{obstacles(post("5 ft", "4 ft", `"length":"6 in"`, `"width":"6 in"`))}, 2, 18},
		{"a wall takes no ground", "", []string{obstacles(face("wall", "0 ft", "4 ft", "10 ft", "4 ft"))}, 0, 18},
		{"a planter beside the bed", "", []string{planters(planter("p", "5 ft", "2 ft", "20 ft", "1 ft"))}, 0, 18},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			out := takeoff(t, plain(), job(append(test.items, fabric(test.members))...))
			require.Len(t, out.Fabrics, 1)
			f := out.Fabrics[0]
			assert.InDelta(t, test.cut, feet(f.CutLength), 1e-8)
			assert.Equal(t, test.pins, f.Pins)
			assert.InDelta(t, float64(test.pins), line(t, out, estimate.Pins, "pin").Measured.Value, 0)
			assert.InDelta(t, 80, ft2(f.Layout.CoverArea), 1e-8, "plan area, nothing deducted")
			assert.InDelta(t, 24*4, line(t, out, estimate.Fabric, "fabric").Cover.Value/float64(measure.SquareFoot), 1e-8)
		})
	}
}

func TestItem29RollsSayWhatIsCutFromEach(t *testing.T) {
	t.Parallel()
	// Five beds of 20 x 4 ft, one strip each, two to a roll of 50 ft with 10 ft left, the last one alone with 30 ft left.
	var list []string
	for i := range 5 {
		list = append(list, bed(string(rune('a'+i)), rectangle("0 ft", string(rune('0'+i))+"0 ft", "20 ft", "4 ft"), `"fabric":{"material":"fabric","under":"bed"}`))
	}
	out := takeoff(t, plain(), job(beds(list...)))
	require.Len(t, out.Rolls, 1)
	r := out.Rolls[0]
	require.Len(t, r.Plan.Rolls, 3)
	assert.Equal(t, 3, r.Plan.Bound)
	left := []float64{10, 10, 30}
	var cutFor []string
	for i, roll := range r.Plan.Rolls {
		assert.InDelta(t, left[i], feet(roll.Left), near)
		for _, k := range roll.Pieces {
			cutFor = append(cutFor, r.Pieces[k].Bed)
			assert.InDelta(t, 20, feet(r.Pieces[k].Length), near)
		}
	}
	assert.Equal(t, []string{"a", "b", "c", "d", "e"}, cutFor)
	var steps []string
	for _, w := range line(t, out, estimate.Fabric, "fabric").Workings {
		if strings.HasPrefix(w.Label, "roll") {
			steps = append(steps, w.Label+" | "+w.Expression+" | "+w.Result)
		}
	}
	assert.Equal(t, []string{
		"rolls | 5 pieces cut from rolls of 50 ft | 3",
		"roll 1: left over | 50 ft - 20 ft - 20 ft | 10 ft",
		"roll 2: left over | 50 ft - 20 ft - 20 ft | 10 ft",
		"roll 3: left over | 50 ft - 20 ft | 30 ft",
	}, steps)
}

func TestItem29OpeningsBesideACourseAndOverATrench(t *testing.T) {
	t.Parallel()
	// Edged all round, 4 in wide, 1 in clear: fabric inside the course from 4 in, or under the trench from -1 in. A planter
	// of 4 x 2 ft on the bed line is cut along 20 + 48 + 20 in of its outside, or all round it.
	text := func(under string) string {
		return job(patch(`"fabric":{"material":"fabric","under":"`+under+`"}`, edging(base3, sand1, `"side_clearance":"1 in"`)), planters(planter("p", "4 ft", "2 ft", "3 ft", "0 ft")))
	}
	assert.InDelta(t, 88, inches(takeoff(t, plain(), text("bed")).Fabrics[0].CutLength), 1e-6)
	assert.InDelta(t, 144, inches(takeoff(t, plain(), text("bed_and_trench")).Fabrics[0].CutLength), 1e-6)
}

func TestItem29RollsThatAreNotProvedGiveTheirBound(t *testing.T) {
	t.Parallel()
	// 390 ft of strips from rolls of 50 ft: 8 rolls at least. Nine are found; whether eight would do is not searched to
	// the end.
	var list []string
	sum := 0
	for i, n := range []int{15, 14, 13, 17, 18, 23, 18, 20, 19, 23, 22, 23, 21, 22, 21, 13, 14, 16, 20, 14, 24} {
		sum += n
		list = append(list, bed(fmt.Sprintf("b%d", i), rectangle("0 ft", fmt.Sprintf("%d ft", 10*i), fmt.Sprintf("%d ft", n), "4 ft"), `"fabric":{"material":"fabric","under":"bed"}`))
	}
	require.Equal(t, 390, sum)
	out := takeoff(t, plain(), job(beds(list...)))
	assert.Len(t, out.Rolls[0].Plan.Rolls, 9)
	assert.Equal(t, 8, out.Rolls[0].Plan.Bound)
	f := line(t, out, estimate.Fabric, "fabric")
	assert.InDelta(t, 9, f.Required.Value, 0)
	var said []string
	for _, w := range f.Workings {
		if w.Label == "rolls" {
			said = append(said, w.Expression)
		}
	}
	assert.Equal(t, []string{"21 pieces cut from rolls of 50 ft; 8 at least, and fewer than these may do"}, said)
}

func TestDiggingBesideAWallGoesAsDeepAsTheGroundIsHigh(t *testing.T) {
	t.Parallel()
	// A bed dug 2 in below finished ground; the ground stands 6 in above that (a level of -6 in, up from the string): 8 in deep.
	text := func(level string) string {
		return job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "8 ft"), `"dig":"2 in"`, `"spot_levels":[{"at":["1 ft","1 ft"],"down":"`+level+`"}]`)),
			obstacles(face("wall", "0 ft", "-5 in", "10 ft", "-5 in"), tree("20 ft", "4 ft", "12 in")))
	}
	out := takeoff(t, plain(), text("-6 in"))
	require.Len(t, out.Obstacles[0].Near, 1)
	assert.InDelta(t, 8, inches(out.Obstacles[0].Near[0].Depth), 1e-9)
	assert.InDelta(t, 8, inches(out.RootZones[0].Deepest), 1e-9)
	assert.Empty(t, takeoff(t, plain(), text("0 in")).Obstacles[0].Near, "2 in deep at 5 in")
	assert.Empty(t, takeoff(t, plain(), text("3 in")).Obstacles[0].Near, "filled, not dug")
}
