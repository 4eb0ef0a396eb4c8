package estimate_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/earth"
	"bedline/estimate/measure"
)

// levels are spot levels, each as x, y and how far the ground is below the string.
func levels(list ...string) string {
	items := make([]string, 0, len(list)/3)
	for i := 0; i < len(list); i += 3 {
		items = append(items, fmt.Sprintf(`{"at":[%q,%q],"down":%q}`, list[i], list[i+1], list[i+2]))
	}
	return `"spot_levels":[` + strings.Join(items, ",") + `]`
}

// corners are the spot levels of a rectangle from the origin, counter-clockwise.
func corners(length, width string, downs ...string) string {
	return levels("0 ft", "0 ft", downs[0], length, "0 ft", downs[1], length, width, downs[2], "0 ft", width, downs[3])
}

func fall(percent float64, side int) string {
	return fmt.Sprintf(`"fall":{"percent":%g,"away_from_side":%d}`, percent, side)
}

func notice(t require.TestingT, out *estimate.Takeoff, code string) estimate.Notice {
	for _, n := range out.Notices {
		if n.Code == code {
			return n
		}
	}
	require.Failf(t, "no notice", code)
	return estimate.Notice{}
}

// earthOf is the cut and fill of a digging that follows spot levels.
func earthOf(t require.TestingT, out *estimate.Takeoff, zone string, part estimate.DiggingPart) earth.Earthwork {
	d := dug(t, out, zone, part)
	require.NotNil(t, d.Earthwork)
	return *d.Earthwork
}

func cubicFeet(v measure.Volume) float64 { return v.In(measure.CubicFoot) }

func TestItem17DepthsAreFromFinishedGroundAndNotFromTheGroundAsItLies(t *testing.T) {
	t.Parallel()
	// Ground 2 in above finished all over: a bed 4 in deep is cut 6 in. A slab in it needs 6 in: cut 8 in.
	out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "10 ft"), `"dig":"4 in"`, corners("10 ft", "10 ft", "-2 in", "-2 in", "-2 in", "-2 in"))),
		slabs(slabGroup("s", "slab", 1, 1, "4 ft", "4 ft", base3, sand1, `"in_bed":"b"`))))
	assert.InDelta(t, 99*6.0/12, cubicFeet(dug(t, out, "b", estimate.BedPart).Volume), 1e-8)
	assert.InDelta(t, 8.0/12, cubicFeet(dug(t, out, "s", estimate.PadPart).Volume), 1e-8)
	assert.InDelta(t, 4, inches(dug(t, out, "b", estimate.BedPart).Depth), near)
}

func TestItem18LayersOnGradedGroundAreReckonedByPlanAreaAndDepth(t *testing.T) {
	t.Parallel()
	// A course all round, in cut on one half and in fill on the other: base and sand as on level ground.
	members := []string{edging(base3, sand1, `"side_clearance":"1 in"`), `"dig":"2 in"`, stone2}
	level := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "8 ft"), members...))))
	sloped := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "8 ft"), append(members, corners("10 ft", "8 ft", "-10 in", "-10 in", "20 in", "20 in"))...))))
	assert.Equal(t, level.Lines, sloped.Lines)
	assert.Positive(t, earthOf(t, sloped, "b", estimate.TrenchPart).Fill)
	assert.InDelta(t, (122.0*98-110*86)/144, ft2(earthOf(t, sloped, "b", estimate.TrenchPart).Area), 1e-8)
}

func TestItem19TheDeepestFromFinishedGroundCountsOnce(t *testing.T) {
	t.Parallel()
	// 120 x 96 in, edged all round without clearance: a band of 120 x 96 - 112 x 88 in2 at 6 in, the rest at 2 in. The
	// ground falls 8 in along the length: from 4 in above finished to 4 in below, 0 on average over band and rest alike.
	out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "8 ft"), `"dig":"2 in"`, edging(base3, sand1), corners("10 ft", "8 ft", "-4 in", "4 in", "4 in", "-4 in")))))
	band, rest := 120.0*96-112*88, 112.0*88
	trench, inner := earthOf(t, out, "b", estimate.TrenchPart), earthOf(t, out, "b", estimate.BedPart)
	assert.InDelta(t, band/144, ft2(trench.Area), 1e-8)
	assert.InDelta(t, rest/144, ft2(inner.Area), 1e-8)
	// The trench is 6 in deep and the ground never more than 4 in low: all of it is cut.
	assert.InDelta(t, band*6/1728, cubicFeet(trench.Cut), 1e-8)
	assert.Zero(t, trench.Fill)
	// The bed, from x 4 to 116 in: height above formation is 6 - x/15, in fill beyond x = 90.
	assert.InDelta(t, 88.0*(86*(6-4./15)/2)/1728, cubicFeet(inner.Cut), 1e-8)
	assert.InDelta(t, 88.0*(26*(116./15-6)/2)/1728, cubicFeet(inner.Fill), 1e-8)
	assert.InDelta(t, cubicFeet(trench.Cut+inner.Cut), cubicFeet(out.Spoil.Bank), 1e-9)
}

func TestItem19WhereOtherLevelsMeetTheDeepestFromItsOwnFinishedGroundCounts(t *testing.T) {
	t.Parallel()
	// Bed a has spots 3 in above finished and is 2 in deep: 5 in of cut. Bed b has none and is 3 in deep. They share
	// 2 x 4 ft, which goes to b by depth and is dug 3 in.
	out := takeoff(t, plain(), job(beds(bed("a", rectangle("0 ft", "0 ft", "10 ft", "4 ft"), `"dig":"2 in"`, corners("10 ft", "4 ft", "-3 in", "-3 in", "-3 in", "-3 in")),
		bed("b", rectangle("8 ft", "0 ft", "10 ft", "4 ft"), `"dig":"3 in"`))))
	assert.InDelta(t, 32*5.0/12, cubicFeet(dug(t, out, "a", estimate.BedPart).Volume), 1e-8)
	assert.InDelta(t, 40*3.0/12, cubicFeet(dug(t, out, "b", estimate.BedPart).Volume), 1e-8)
	assert.Nil(t, dug(t, out, "b", estimate.BedPart).Earthwork)
	n := notice(t, out, "grades_meet")
	assert.Equal(t, "/beds/1", n.Where)
	assert.Contains(t, n.Message, "8 ft2")
}

func TestItem20FallAloneChangesNoVolume(t *testing.T) {
	t.Parallel()
	members := []string{`"dig":"3 in"`, edging(base3, sand1), stone2}
	level := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "12 ft", "5 ft"), members...))))
	falling := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "12 ft", "5 ft"), append(members, fall(2, 0))...))))
	assert.Equal(t, level.Diggings, falling.Diggings)
	assert.Equal(t, level.Spoil, falling.Spoil)
	assert.Equal(t, level.Lines, falling.Lines)
	assert.Equal(t, level.Work, falling.Work)
	assert.Contains(t, codes(falling), "fall_without_spots")
}

func TestItem20TheFinishedSurfaceFallsAwayFromTheLineOfTheSide(t *testing.T) {
	t.Parallel()
	// Level ground at the string, 10 x 5 ft, 2 in deep, falling 5 percent away from side 0 (along the 10 ft): formation
	// 2 in down at the side, 2 + 3 in at the far one. Mean cut 3.5 in.
	spots := corners("10 ft", "5 ft", "0 in", "0 in", "0 in", "0 in")
	dig := func(side int) estimate.DiggingTakeoff {
		out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "5 ft"), `"dig":"2 in"`, fall(5, side), spots))))
		return *dug(t, out, "b", estimate.BedPart)
	}
	assert.InDelta(t, 50*3.5/12, cubicFeet(dig(0).Volume), 1e-8)
	assert.InDelta(t, 50*3.5/12, cubicFeet(dig(2).Volume), 1e-8)
	assert.InDelta(t, 50*5.0/12, cubicFeet(dig(1).Volume), 1e-8) // 6 in over the 10 ft: 2 to 8 in
	assert.InDelta(t, 50*5.0/12, cubicFeet(dig(3).Volume), 1e-8)
	assert.InDelta(t, 8, inches(dig(3).Earthwork.CutDepth), 1e-9)
}

func TestItem20TheSideKeepsItsNumberWhicheverWayThePointsRun(t *testing.T) {
	t.Parallel()
	// Clockwise: side 0 is the left one, from (0, 0) to (0, 5); the ground falls to the right, 6 in over 10 ft.
	clockwise := `{"kind":"polygon","points":[["0 ft","0 ft"],["0 ft","5 ft"],["10 ft","5 ft"],["10 ft","0 ft"]]}`
	out := takeoff(t, plain(), job(beds(bed("b", clockwise, `"dig":"2 in"`, fall(5, 0), corners("10 ft", "5 ft", "0 in", "0 in", "0 in", "0 in")))))
	assert.InDelta(t, 50*5.0/12, cubicFeet(dug(t, out, "b", estimate.BedPart).Volume), 1e-8)
	f := out.Diggings[0].Earthwork
	assert.InDelta(t, 8, inches(f.CutDepth), 1e-9)
}

func TestItem20CutAndFillAreNeverNetted(t *testing.T) {
	t.Parallel()
	// 12 x 4 ft, 1 in deep, ground from 5 in above to 7 in below finished along the length: the height over the formation
	// runs from 6 to -6 in. Two wedges of 6 ft, each 6 in at its end: 6 x 4 x 0.5 / 2 = 6 ft3 of cut and of fill.
	out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "12 ft", "4 ft"), `"dig":"1 in"`, corners("12 ft", "4 ft", "-5 in", "7 in", "7 in", "-5 in")))))
	w := earthOf(t, out, "b", estimate.BedPart)
	assert.InDelta(t, 6, cubicFeet(w.Cut), 1e-9)
	assert.InDelta(t, 6, cubicFeet(w.Fill), 1e-9)
	assert.InDelta(t, 24, ft2(w.CutArea), 1e-8)
	assert.InDelta(t, 24, ft2(w.FillArea), 1e-8)
	assert.InDelta(t, 48, ft2(dug(t, out, "b", estimate.BedPart).Area), 1e-8)
	assert.InDelta(t, 6, cubicFeet(out.Spoil.Bank), 1e-9, "spoil is the whole cut")
	assert.InDelta(t, 6, measure.Volume(done(out, estimate.DigBed)).In(measure.CubicFoot), 1e-9)
	n := notice(t, out, "fill_needed")
	assert.Equal(t, "/beds/0/spot_levels", n.Where)
	assert.Contains(t, n.Message, "0.222 yd3 of fill as compacted, under 24 ft2 and up to 6 in deep")
	assert.Contains(t, n.Message, "about 0.247 yd3 of common earth in the ground makes that much, and the cut of 0.222 yd3, not enough for it,") // 6 / 0.9 / 27
	for _, l := range out.Lines {
		assert.NotEqual(t, "fill", l.Material.Key, "no fill is bought")
	}
}

func TestItem20SpotLevelsApplyToAllDiggingsOfTheirBedOnly(t *testing.T) {
	t.Parallel()
	out := takeoff(t, plain(), job(beds(
		bed("b", rectangle("0 ft", "0 ft", "10 ft", "10 ft"), `"dig":"2 in"`, edging(base3, sand1), corners("10 ft", "10 ft", "-1 in", "-1 in", "-1 in", "-1 in")),
		bed("c", rectangle("20 ft", "0 ft", "10 ft", "10 ft"), `"dig":"2 in"`)),
		slabs(slabGroup("s", "slab", 1, 1, "4 ft", "4 ft", base3, sand1, `"in_bed":"b"`), slabGroup("u", "slab", 1, 1, "40 ft", "4 ft", base3, sand1))))
	for _, d := range out.Diggings {
		on := d.Zone == "b" || d.Zone == "s"
		require.Equal(t, on, d.Earthwork != nil, "%s %s", d.Zone, d.Part)
		depth := d.Depth
		if on {
			depth += measure.Inch
		}
		require.InDelta(t, float64(d.Area.AtDepth(depth)), float64(d.Volume), 1e-9, "%s %s", d.Zone, d.Part)
	}
}

func TestItem20GoesRoundPlantersAndObstacles(t *testing.T) {
	t.Parallel()
	// What is not dug is neither cut nor filled. The post is set by hand.
	text := job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "10 ft"), `"dig":"2 in"`, corners("10 ft", "10 ft", "-1 in", "-1 in", "-1 in", "-1 in"))))
	_, read, faults := take(t, plain(), text)
	require.Empty(t, faults)
	read.Obstacles = []estimate.Obstacle{{Kind: estimate.Post, At: at(5*0.3048, 5*0.3048), Length: 2 * measure.Foot, Width: 3 * measure.Foot}}
	out := estimate.Measure(read, new(document.Faults))
	assert.InDelta(t, 94*3.0/12, cubicFeet(dug(t, out, "b", estimate.BedPart).Volume), 1e-8)
}

func TestItem21OneSpotIsLevelTwoAreRuled(t *testing.T) {
	t.Parallel()
	one := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "6 ft"), `"dig":"2 in"`, levels("3 ft", "2 ft", "-1 in")))))
	assert.InDelta(t, 60*3.0/12, cubicFeet(dug(t, one, "b", estimate.BedPart).Volume), 1e-8)
	assert.Contains(t, codes(one), "ground_taken_level")
	// Two spots along the length: level across it; -1 in at one end, -5 in at the other: 3 in more on average.
	two := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "6 ft"), `"dig":"2 in"`, levels("0 ft", "9 ft", "-1 in", "10 ft", "9 ft", "-5 in")))))
	assert.InDelta(t, 60*5.0/12, cubicFeet(dug(t, two, "b", estimate.BedPart).Volume), 1e-8)
	assert.Contains(t, codes(two), "ground_taken_ruled")
	assert.NotContains(t, codes(two), "ground_beyond_spots")
	// From 2 ft to 6 ft only: 2 ft and 4 ft of the 10 lie beyond the ends, level with them.
	short := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "6 ft"), `"dig":"2 in"`, levels("2 ft", "0 ft", "-1 in", "6 ft", "0 ft", "-5 in")))))
	assert.InDelta(t, (2*6*3.0+4*6*5+4*6*7)/12, cubicFeet(dug(t, short, "b", estimate.BedPart).Volume), 1e-8)
	assert.Contains(t, notice(t, short, "ground_beyond_spots").Message, "60 % of the ground of bed b")
}

func TestItem21CornersBeyondTheSpotsTakeTheNearestLevelAndAreSaid(t *testing.T) {
	t.Parallel()
	// Spots on a square of 4 ft amid a bed of 8 ft, all level: so is the rest. 48 of 64 ft2 rest on the nearest: 75 %.
	out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "8 ft", "8 ft"), `"dig":"2 in"`,
		levels("2 ft", "2 ft", "-1 in", "6 ft", "2 ft", "-1 in", "6 ft", "6 ft", "-1 in", "2 ft", "6 ft", "-1 in")))))
	w := earthOf(t, out, "b", estimate.BedPart)
	assert.InDelta(t, 16, cubicFeet(w.Cut), 1e-8)
	assert.InDelta(t, 48, ft2(w.Resting), 1e-8)
	n := notice(t, out, "ground_beyond_spots")
	assert.Contains(t, n.Message, "75 %")
	assert.Equal(t, "/beds/0/spot_levels", n.Where)
	// With the corners taken nothing rests on a guess.
	out = takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "8 ft", "8 ft"), `"dig":"2 in"`, corners("8 ft", "8 ft", "0 in", "1 in", "0 in", "2 in")))))
	assert.NotContains(t, codes(out), "ground_beyond_spots")
	assert.Equal(t, earth.Triangulated, dug(t, out, "b", estimate.BedPart).Ground)
}

func TestItem21EitherDiagonalOfFourSpotsIsRight(t *testing.T) {
	t.Parallel()
	// Corners at 0, 3, 0, 3 in: planes over one diagonal give a mean of 1 in, over the other 2 in. Either may come, the
	// same always.
	volume := func() float64 {
		out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "6 ft", "6 ft"), `"dig":"2 in"`, corners("6 ft", "6 ft", "0 in", "-3 in", "0 in", "-3 in")))))
		return cubicFeet(dug(t, out, "b", estimate.BedPart).Volume)
	}
	first := volume()
	mean := first/36*12 - 2
	assert.True(t, math.Abs(mean-1) < 1e-9 || math.Abs(mean-2) < 1e-9, "mean %v in", mean)
	for range 5 {
		assert.Equal(t, first, volume()) //nolint:testifylint // to the last bit
	}
}

func TestItem22SpoilOfGradedGroundIsTheCut(t *testing.T) {
	t.Parallel()
	// 27 x 12 ft, 1 in deep, ground 2 in above finished: 3 in, which is 3 yd3; loam swells 1.25 (FM 5-434 Table 1-1,
	// from memory) and weighs 95 lb/ft3 in the ground.
	out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "27 ft", "12 ft"), `"dig":"1 in"`, corners("27 ft", "12 ft", "-2 in", "-2 in", "-2 in", "-2 in")))))
	assert.InDelta(t, 3, yd3(out.Spoil.Bank), 1e-9)
	assert.InDelta(t, 3.75, yd3(out.Spoil.Loose), 1e-9)
	assert.InDelta(t, 81*95, out.Spoil.Mass.In(measure.Pound), 1e-5)
	// All fill: nothing to haul away, and still ground to strip and utilities to mark.
	out = takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "27 ft", "12 ft"), `"dig":"1 in"`, corners("27 ft", "12 ft", "2 in", "2 in", "2 in", "2 in")))))
	assert.Zero(t, out.Spoil)
	assert.Zero(t, done(out, estimate.HaulSpoil))
	assert.Zero(t, done(out, estimate.DigBed))
	assert.InDelta(t, 1, done(out, estimate.LocateUtilities), 0)
	assert.InDelta(t, 1, yd3(earthOf(t, out, "b", estimate.BedPart).Fill), 1e-9)
	assert.NotContains(t, notice(t, out, "fill_needed").Message, "may serve")
}

func TestItem23CompactionOfLayersKnowsNothingOfTheCut(t *testing.T) {
	t.Parallel()
	// The same base is bought whether the ground is high or low.
	base := func(down string) estimate.Amount {
		out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "8 ft"), edging(base3, `"sides":[0]`), corners("10 ft", "8 ft", down, down, down, down)))))
		return line(t, out, estimate.Base, "base").Required
	}
	// A strip of 120 x 4 in, 3 in deep, compaction 1.25.
	assert.InDelta(t, 1440*1.25/1728, ft3(base("-3 in")), 1e-8)
	assert.Equal(t, base("-3 in"), base("9 in"))
}

func TestSpotLevelsWithNothingDugAreSaid(t *testing.T) {
	t.Parallel()
	out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "8 ft"), stone2, corners("10 ft", "8 ft", "0 in", "1 in", "2 in", "3 in")))))
	assert.Contains(t, codes(out), "spot_levels_unused")
	assert.Empty(t, out.Diggings)
}

func TestADeepCutIntoHighGroundIsCautioned(t *testing.T) {
	t.Parallel()
	// 29 CFR 1926.652(a)(1), from memory: protection from 5 ft. The bed is 1 ft deep, the ground stands 4 ft above it.
	high := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "8 ft"), `"dig":"1 ft"`, corners("10 ft", "8 ft", "-4 ft", "0 in", "0 in", "0 in")))))
	assert.Contains(t, notice(t, high, "deep_excavation").Message, "60 in")
	low := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "8 ft"), `"dig":"1 ft"`, corners("10 ft", "8 ft", "-3.9 ft", "0 in", "0 in", "0 in")))))
	assert.NotContains(t, codes(low), "deep_excavation")
}

func TestFallsAreCautionedAboutBuildings(t *testing.T) {
	t.Parallel()
	// International Residential Code R401.3: 6 in within the first 10 ft, 2 percent where it is paved.
	text := job(beds(bed("b", rectangle("0 ft", "0 ft", "12 ft", "5 ft"), `"dig":"3 in"`, fall(2, 0))))
	assert.Equal(t, estimate.Caution, notice(t, takeoff(t, plain(), text), "drainage").Severity)
	wall := func(y float64) []string {
		_, read, faults := take(t, plain(), text)
		require.Empty(t, faults)
		read.Obstacles = []estimate.Obstacle{{Kind: estimate.Wall, From: at(0, y*0.3048), To: at(12*0.3048, y*0.3048)}}
		return codes(estimate.Measure(read, new(document.Faults)))
	}
	assert.NotContains(t, wall(0), "falls_towards_wall", "away from the wall")
	assert.NotContains(t, wall(-2), "falls_towards_wall")
	assert.Contains(t, wall(5), "falls_towards_wall")
	assert.Contains(t, wall(14), "falls_towards_wall")
	assert.NotContains(t, wall(16), "falls_towards_wall", "farther than 10 ft")
}

func TestFaultsOfFallsAndSpotLevels(t *testing.T) {
	t.Parallel()
	rect := rectangle("0 ft", "0 ft", "10 ft", "8 ft")
	circle := `{"kind":"circle","radius":"4 ft"}`
	many := func(n int) string {
		list := make([]string, 0, 3*n)
		for i := range n {
			list = append(list, fmt.Sprintf("%d ft", i%25), fmt.Sprintf("%d ft", i/25), "1 in")
		}
		return levels(list...)
	}
	tests := []struct {
		name    string
		outline string
		members string
		want    []string
	}{
		{"a side that is not there", rect, fall(2, 4), []string{"/beds/0/fall/away_from_side unknown_side"}},
		{"a curved side", circle, fall(2, 0), []string{"/beds/0/fall/away_from_side side_not_straight"}},
		{"no fall at all", rect, fall(0, 0), []string{"/beds/0/fall/percent out_of_range"}},
		{"a fall uphill", rect, fall(-1, 0), []string{"/beds/0/fall/percent out_of_range"}},
		{"a bank", rect, fall(51, 0), []string{"/beds/0/fall/percent out_of_range"}},
		{"a fall without a side", rect, `"fall":{"percent":2}`, []string{"/beds/0/fall/away_from_side missing"}},
		{"no spots", rect, `"spot_levels":[]`, []string{"/beds/0/spot_levels out_of_range"}},
		{"a spot without a level", rect, `"spot_levels":[{"at":["0 ft","0 ft"]}]`, []string{"/beds/0/spot_levels/0/down missing"}},
		{"a level without a unit", rect, `"spot_levels":[{"at":["0 ft","0 ft"],"down":"0"}]`, []string{"/beds/0/spot_levels/0/down unit_missing"}},
		{"a member of another name", rect, `"spot_levels":[{"at":["0 ft","0 ft"],"down":"0 in","level":"1 in"}]`, []string{"/beds/0/spot_levels/0/level unknown_member"}},
		{"two levels at one place", rect, levels("1 ft", "1 ft", "2 in", "5 ft", "5 ft", "0 in", "12 in", "1 ft", "2.5 in"), []string{"/beds/0/spot_levels/2/down spot_levels_differ"}},
		{"a wrong percentage and a wrong side", rect, fall(0, 4), []string{"/beds/0/fall/percent out_of_range", "/beds/0/fall/away_from_side unknown_side"}},
		{"two levels at one place and a third that can't be read", rect, levels("1 ft", "1 ft", "2 in", "1 ft", "12 in", "3 in", "1 ft", "5 ft", "x"),
			[]string{"/beds/0/spot_levels/1/down spot_levels_differ", "/beds/0/spot_levels/2/down bad_quantity"}},
		{"far out", rect, levels("1001000 m", "1 m", "2 in"), []string{"/beds/0/spot_levels/0 too_large"}},
		{"too many of a bed", rect, many(501), []string{"/beds/0/spot_levels out_of_range"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			assert.Equal(t, test.want, faultsOf(t, job(beds(bed("b", test.outline, test.members)))))
		})
	}
	var list []string
	for i := range 5 {
		n := 500
		if i == 4 {
			n = 1
		}
		list = append(list, bed(fmt.Sprintf("b%d", i), rectangle(fmt.Sprintf("%d ft", 30*i), "0 ft", "10 ft", "8 ft"), many(n)))
	}
	assert.Equal(t, []string{"/beds/4/spot_levels too_many"}, faultsOf(t, job(beds(list...))))
	assert.Empty(t, faultsOf(t, job(beds(list[:4]...))))
}

// Two spots in one place that agree are one.
func TestItem46SpotLevelsInOnePlaceMustAgree(t *testing.T) {
	t.Parallel()
	out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "6 ft"), `"dig":"2 in"`, levels("3 ft", "2 ft", "-1 in", "36 in", "24 in", "-25.4 mm")))))
	assert.InDelta(t, 60*3.0/12, cubicFeet(dug(t, out, "b", estimate.BedPart).Volume), 1e-8)
}

func TestWorkingsShowEverySpotAndTheMeanDepths(t *testing.T) {
	t.Parallel()
	out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "12 ft", "4 ft"), `"dig":"1 in"`, fall(2, 3), corners("12 ft", "4 ft", "-5 in", "7 in", "7 in", "-5 in")))))
	var w *estimate.WorkLine
	for i := range out.Work {
		if out.Work[i].Operation == estimate.DigBed {
			w = &out.Work[i]
		}
	}
	require.NotNil(t, w)
	require.Len(t, w.Workings, 4+2+1)
	// At spot 1 the finished surface is 2 / 100 x 12 ft x 12 = 2.88 in down, and the ground 7 in.
	assert.Equal(t, "2 / 100 x 12 ft x 12 - 7 in", w.Workings[1].Expression)
	assert.Equal(t, "-4.12 in", w.Workings[1].Result)
	assert.Equal(t, "2 / 100 x 0 ft x 12 - (-5 in)", w.Workings[0].Expression)
	assert.Equal(t, "5 in", w.Workings[0].Result)
	// Over the formation: 6 in at x = 0, -3.12 in at 12 ft: zero at 12 x 6 / 9.12 = 7.895 ft.
	cutLength := 12 * 6 / 9.12
	assert.InDelta(t, cutLength*4*3/12, cubicFeet(earthOf(t, out, "b", estimate.BedPart).Cut), 1e-8)
	assert.Equal(t, "31.579 ft2 x 3 in / 324", w.Workings[4].Expression)
	assert.Equal(t, "16.421 ft2 x 1.56 in / 324", w.Workings[5].Expression)
}
