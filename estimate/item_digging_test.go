package estimate_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate"
	"bedline/estimate/measure"
)

func TestItem17DiggingDepthIsRoundedUpWithAGuard(t *testing.T) {
	t.Parallel()
	in := func(x float64) measure.Length { return measure.Length(x * float64(measure.Inch)) }
	tests := []struct {
		name                              string
		thickness, reveal, sand, base, to float64
		depth, extra                      float64
	}{
		// Common practice: a unit of 1 3/4 in on 1 in of sand and 2 in of base.
		{"4 3/4 in are dug as 5 in", 1.75, 0, 1, 2, 0.5, 5, 0.25},
		{"6 in stay 6 in", 2, 0, 1, 3, 0.5, 6, 0},
		{"6.000000001 in are 6 in", 2.000000001, 0, 1, 3, 0.5, 6, 0},
		{"6.0001 in are more than 6 in", 2.0001, 0, 1, 3, 0.5, 6.5, 0.4999},
		{"a reveal lifts the unit out of the ground", 2, 0.5, 1, 4, 0.5, 6.5, 0},
		{"without rounding the depth is as needed", 1.75, 0, 1, 2, 0, 4.75, 0},
		{"a unit laid on the ground needs no digging", 2, 2, 0, 0, 0.5, 0, 0},
		{"2 3/8 in alone are dug as 2 1/2 in", 2.375, 0, 0, 0, 0.5, 2.5, 0.125},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			depth, extra := estimate.DigDepth(in(test.thickness), in(test.reveal), in(test.sand), in(test.base), in(test.to))
			assert.InDelta(t, test.depth, inches(depth), 1e-12)
			assert.InDelta(t, test.extra, inches(extra), 1e-12)
		})
	}
}

// Sums of whole centimetres and of eighths of an inch are rarely exact in binary. None may be dug a step too deep, and
// none may have an extra depth of a hair's breadth.
func TestItem17SumsThatAreWholeStepsHaveNoExtra(t *testing.T) {
	t.Parallel()
	for _, step := range []measure.Length{measure.Inch / 8, measure.Inch / 2, 10 * measure.Millimetre, 5 * measure.Millimetre, 0.1, measure.Foot / 10} {
		for a := 1; a <= 30; a++ {
			for b := 0; b <= 30; b++ {
				thickness, base := step.Scale(measure.Factor(a)), step.Scale(measure.Factor(b))
				depth, extra := estimate.DigDepth(thickness, 0, 0, base, step)
				require.InDelta(t, float64(a+b), depth.In(step), 1e-9)
				require.Zero(t, extra, "%d + %d steps of %g", a, b, float64(step))
			}
		}
	}
}

func TestItem17ExtraDepthIsBase(t *testing.T) {
	t.Parallel()
	// Common practice: 1 3/4 + 1 + 2 = 4 3/4 in, dug 5 in; the quarter inch is base: 2 1/4 in.
	out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "12 ft", "4 ft"),
		`"edging":{"unit":"edger-thin","course":"sailor","sides":[0],"base":{"material":"base","depth":"2 in"},`+sand1+`}`))))
	c := out.Courses[0]
	assert.InDelta(t, 5, inches(c.TrenchDepth), near)
	assert.InDelta(t, 2.25, inches(c.BaseDepth), near)
	assert.InDelta(t, 1, inches(c.SandDepth), near)
	// Side 0 alone is a strip of 12 ft x 4 in = 4 ft2.
	assert.InDelta(t, 4.0*2.25/324, yd3(measure.Volume(line(t, out, estimate.Base, "base").Measured.Value)), near)
	assert.InDelta(t, 4.0*2.25/324*1.25, yd3(measure.Volume(line(t, out, estimate.Base, "base").Required.Value)), near)
	assert.InDelta(t, 4.0*2.25/324, yd3(measure.Volume(done(out, estimate.PlaceBase))), near, "the extra counts in the lifts")
	assert.InDelta(t, 4.0*1/324, yd3(measure.Volume(line(t, out, estimate.BeddingSand, "sand").Measured.Value)), near)
}

func TestItem17ExtraDepthIsSandWithoutABase(t *testing.T) {
	t.Parallel()
	// 1 3/4 + 1 = 2 3/4 in, dug 3 in: 1 1/4 in of sand.
	out := takeoff(t, plain(), job(slabs(slabGroup("s", "slab-16", 1, 1, "0 ft", "0 ft", sand1))))
	assert.InDelta(t, 3, inches(out.Slabs[0].DigDepth), near)
	assert.InDelta(t, 1.25, inches(out.Slabs[0].SandDepth), near)
	assert.Zero(t, out.Slabs[0].BaseDepth)
	assert.InDelta(t, 256.0/144*1.25/12, ft3(line(t, out, estimate.BeddingSand, "sand").Measured), near)
}

func TestItem17ExtraDepthWithNothingToFillItIsSaid(t *testing.T) {
	t.Parallel()
	out := takeoff(t, plain(), job(slabs(slabGroup("s", "slab-16", 1, 1, "0 ft", "0 ft"))))
	assert.InDelta(t, 2, inches(out.Slabs[0].DigDepth), near)
	assert.Contains(t, codes(out), "rounded_depth_unfilled")
	// A slab of 2 in is dug 2 in: nothing to say.
	out = takeoff(t, plain(), job(slabs(slabGroup("s", "slab", 1, 1, "0 ft", "0 ft"))))
	assert.NotContains(t, codes(out), "rounded_depth_unfilled")
}

func TestItem17DepthsAreFromFinishedGroundNotFromAnotherDigging(t *testing.T) {
	t.Parallel()
	// A bed 4 in deep with a slab that needs 6 in: the pad is 6 in deep from the ground, not 4 + 6.
	out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "10 ft"), `"dig":"4 in"`)),
		slabs(slabGroup("s", "slab", 1, 1, "4 ft", "4 ft", base3, sand1))))
	assert.InDelta(t, 6.0/12, dug(t, out, "s", estimate.PadPart).Volume.In(measure.CubicFoot), near)
	assert.InDelta(t, 99*4.0/12, dug(t, out, "b", estimate.BedPart).Volume.In(measure.CubicFoot), 1e-8)
}

func TestItem17BedDigIsTakenAsSaid(t *testing.T) {
	t.Parallel()
	out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "10 ft"), `"dig":"2 1/3 in"`))))
	assert.InDelta(t, 100*(7.0/3)/12, dug(t, out, "b", estimate.BedPart).Volume.In(measure.CubicFoot), 1e-8)
}

func TestItem18TrenchOfAClosedCourseTakesInItsCorners(t *testing.T) {
	t.Parallel()
	// A rectangle of 10 x 8 ft edged all round with 4 in and 1 in of clearance on both sides: the trench lies between
	// the rectangle grown by 1 in and the one shrunk by 5 in. (122 x 98 - 110 x 86) in2.
	out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "8 ft"), edging(base3, sand1, `"side_clearance":"1 in"`)))))
	area := (122.0*98 - 110*86) / 144
	d := dug(t, out, "b", estimate.TrenchPart)
	assert.InDelta(t, area, ft2(d.Area), 1e-8)
	assert.InDelta(t, area*6/12, d.Volume.In(measure.CubicFoot), 1e-8)
	assert.InDelta(t, area*3/12, ft3(line(t, out, estimate.Base, "base").Measured), 1e-8, "base covers the trench")
	assert.InDelta(t, area*1/12, ft3(line(t, out, estimate.BeddingSand, "sand").Measured), 1e-8, "sand covers the trench")
	assert.InDelta(t, 6, inches(out.Courses[0].TrenchWidth), near)
}

func TestItem18TrenchHasNoClearanceAtOpenEnds(t *testing.T) {
	t.Parallel()
	out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "8 ft"), edging(base3, sand1, `"side_clearance":"1 in"`, `"sides":[2]`)))))
	assert.InDelta(t, 120.0*6/144, ft2(dug(t, out, "b", estimate.TrenchPart).Area), near)
}

func TestItem18PadIsTheGridWithItsOwnClearance(t *testing.T) {
	t.Parallel()
	// 2 rows x 3 columns of 12 in with 2 in gaps: 40 x 26 in. Clearance 3 in all round: 46 x 32 in.
	group := func(members ...string) string {
		return job(slabs(slabGroup("s", "slab", 2, 3, "0 ft", "0 ft", append(members, `"gap":"2 in"`, base3, sand1)...)))
	}
	out := takeoff(t, plain(), group())
	assert.InDelta(t, 40.0*26/144, ft2(dug(t, out, "s", estimate.PadPart).Area), near, "clearance is 0 unless said")
	out = takeoff(t, plain(), group(`"side_clearance":"3 in"`))
	assert.InDelta(t, 46.0*32/144, ft2(dug(t, out, "s", estimate.PadPart).Area), near)
	assert.InDelta(t, 46.0*32/144*3/12, ft3(line(t, out, estimate.Base, "base").Measured), near)
}

func TestItem19DiggingsAreUnitedAndTheDeepestCounts(t *testing.T) {
	t.Parallel()
	// Two beds of 10 x 4 ft that share 2 x 4 ft, dug 2 in and 3 in: the shared ground is dug 3 in, for bed b.
	out := takeoff(t, plain(), job(beds(bed("a", rectangle("0 ft", "0 ft", "10 ft", "4 ft"), `"dig":"2 in"`),
		bed("b", rectangle("8 ft", "0 ft", "10 ft", "4 ft"), `"dig":"3 in"`))))
	assert.InDelta(t, 32, ft2(dug(t, out, "a", estimate.BedPart).Area), 1e-8)
	assert.InDelta(t, 40, ft2(dug(t, out, "b", estimate.BedPart).Area), 1e-8)
	assert.InDelta(t, (32*2.0+40*3)/12, out.Spoil.Bank.In(measure.CubicFoot), 1e-8)
	assert.Contains(t, codes(out), "beds_overlap")
}

func TestItem19TiesGoToTheFirstInTheRequest(t *testing.T) {
	t.Parallel()
	for _, depths := range [][2]string{
		{"6 in", "6 in"},
		{"6 in", "152.4 mm"},
		{"0.5 ft", "6 in"},
	} {
		out := takeoff(t, plain(), job(beds(bed("a", rectangle("0 ft", "0 ft", "10 ft", "4 ft"), fmt.Sprintf(`"dig":%q`, depths[0])),
			bed("b", rectangle("8 ft", "0 ft", "10 ft", "4 ft"), fmt.Sprintf(`"dig":%q`, depths[1])))))
		assert.InDelta(t, 40, ft2(dug(t, out, "a", estimate.BedPart).Area), 1e-8, "%v", depths)
		assert.InDelta(t, 32, ft2(dug(t, out, "b", estimate.BedPart).Area), 1e-8, "%v", depths)
	}
}

// Of depths that are equal on paper the first in the request gets the ground, even where the sum T - reveal + sand +
// base differs in its last binary digit.
func TestItem19DepthsEqualOnPaperAreATie(t *testing.T) {
	t.Parallel()
	for eighths := 17; eighths <= 80; eighths++ {
		depth := fmt.Sprintf("%d/8 in", eighths)
		base := fmt.Sprintf("%d/8 in", eighths-16) // under a slab of 2 in
		c := plain()
		c.DigTo = measure.Inch / 8
		out := takeoff(t, c, job(beds(bed("a", rectangle("0 ft", "0 ft", "10 ft", "4 ft"), fmt.Sprintf(`"dig":%q`, depth))),
			slabs(slabGroup("s", "slab", 1, 1, "1 ft", "1 ft", fmt.Sprintf(`"base":{"material":"base","depth":%q}`, base)))))
		require.InDelta(t, 40, ft2(dug(t, out, "a", estimate.BedPart).Area), 1e-8, "bed and pad %s deep", depth)
		require.NotContains(t, codes(out), "rounded_depth_unfilled")
	}
}

func TestItem19TrenchIsDugOnceWhereItLiesInTheBed(t *testing.T) {
	t.Parallel()
	// 10 x 8 ft, edged all round without clearance: band 120 x 96 - 112 x 88 in2 at 6 in, the rest 112 x 88 in2 at 2 in.
	out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "8 ft"), `"dig":"2 in"`, edging(base3, sand1)))))
	assert.InDelta(t, (120.0*96-112*88)/144, ft2(dug(t, out, "b", estimate.TrenchPart).Area), 1e-8)
	assert.InDelta(t, 112.0*88/144, ft2(dug(t, out, "b", estimate.BedPart).Area), 1e-8)
}

func TestItem19LayersLieOverTheirOwnFootprintAndOverlapsBelongToTheDeeper(t *testing.T) {
	t.Parallel()
	// Two pads of 12 x 12 in that share 6 x 12 in: a is 6 in deep (3 base + 1 sand), b is 7 in (4 base + 1 sand).
	out := takeoff(t, plain(), job(slabs(
		slabGroup("a", "slab", 1, 1, "0 in", "0 in", base3, sand1),
		slabGroup("b", "slab", 1, 1, "6 in", "0 in", `"base":{"material":"base","depth":"4 in"}`, sand1))))
	base := line(t, out, estimate.Base, "base")
	require.Len(t, base.Zones, 2)
	assert.InDelta(t, 0.5*3/12, ft3(base.Zones[0].Share), near)
	assert.InDelta(t, 1.0*4/12, ft3(base.Zones[1].Share), near)
	assert.InDelta(t, 1.5/12, ft3(line(t, out, estimate.BeddingSand, "sand").Measured), near)
	assert.InDelta(t, 1.5*144, float64(done(out, estimate.ScreedSand))/float64(measure.Inch*measure.Inch), 1e-6)
	assert.Contains(t, codes(out), "slabs_overlap")
}

func TestItem19ADeeperBedTakesTheDiggingButNotTheLayers(t *testing.T) {
	t.Parallel()
	// A bed dug 8 in with a pad of 6 in in it: all ground is the bed's, the pad's base and sand are laid all the same.
	out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "10 ft"), `"dig":"8 in"`)),
		slabs(slabGroup("s", "slab", 1, 1, "4 ft", "4 ft", base3, sand1))))
	assert.InDelta(t, 100, ft2(dug(t, out, "b", estimate.BedPart).Area), 1e-8)
	assert.InDelta(t, 0, ft2(dug(t, out, "s", estimate.PadPart).Area), near)
	assert.InDelta(t, 3.0/12, ft3(line(t, out, estimate.Base, "base").Measured), near)
	assert.InDelta(t, 1.0/12, ft3(line(t, out, estimate.BeddingSand, "sand").Measured), near)
}

// US Army FM 5-434, Table 1-1, bank to loose, from memory: sand 1.11, loam 1.25, clay 1.43.
func TestItem22SpoilSwells(t *testing.T) {
	t.Parallel()
	for soil, want := range map[string]struct{ swell, lbPerFt3 float64 }{"sand": {1.11, 100}, "loam": {1.25, 95}, "clay": {1.43, 110}} {
		// 27 x 12 ft dug 1 in deep are one cubic yard.
		text := `{"ground":{"soil":"` + soil + `","cover":"turf","haul":"20 ft"},` + beds(bed("b", rectangle("0 ft", "0 ft", "27 ft", "12 ft"), `"dig":"1 in"`)) + `}`
		out := takeoff(t, plain(), text)
		assert.InDelta(t, 1, yd3(out.Spoil.Bank), near)
		assert.InDelta(t, want.swell, yd3(out.Spoil.Loose), near)
		assert.InDelta(t, 27*want.lbPerFt3, out.Spoil.Mass.In(measure.Pound), 1e-6, "mass is that in the ground: swelling adds none")
		assert.InDelta(t, want.swell, yd3(measure.Volume(done(out, estimate.HaulSpoil))), near)
		assert.InDelta(t, 324, ft2(measure.Area(done(out, estimate.StripCover))), 1e-8)
	}
}

func TestItem22TurfIsPartOfTheCutAndBackfillIsNotDeducted(t *testing.T) {
	t.Parallel()
	text := func(cover string) string {
		return `{"ground":{"soil":"loam","cover":"` + cover + `","haul":"0 ft"},` +
			beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "8 ft"), `"dig":"2 in"`, stone2, edging(base3, sand1))) + `}`
	}
	bare, turf := takeoff(t, plain(), text("bare")), takeoff(t, plain(), text("turf"))
	assert.Equal(t, bare.Spoil, turf.Spoil)
	assert.Zero(t, done(bare, estimate.StripCover))
	assert.Positive(t, done(turf, estimate.StripCover))
	band := (120.0*96 - 112*88) / 144
	assert.InDelta(t, (band*6+(80-band)*2)/12, bare.Spoil.Bank.In(measure.CubicFoot), 1e-8)
}

func TestItem22NoDiggingNoSpoil(t *testing.T) {
	t.Parallel()
	out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "8 ft"), stone2))))
	assert.Zero(t, out.Spoil.Loose)
	assert.NotContains(t, codes(out), "utilities")
	for _, op := range []estimate.Operation{estimate.LocateUtilities, estimate.DigBed, estimate.DigTrench, estimate.HaulSpoil} {
		assert.Zero(t, done(out, op), op)
	}
	assert.False(t, math.Signbit(float64(out.Spoil.Bank)))
}

func TestABedAsDeepAsItsTrenchIsNotDeeper(t *testing.T) {
	t.Parallel()
	for eighths := 24; eighths <= 96; eighths++ { // a unit of 2 in on 1 in of sand and some base
		c := plain()
		c.DigTo = measure.Inch / 8
		base := ""
		if eighths > 24 {
			base = fmt.Sprintf(`,"base":{"material":"base","depth":"%d/8 in"}`, eighths-24)
		}
		out := takeoff(t, c, job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "8 ft"), fmt.Sprintf(`"dig":"%d/8 in"`, eighths),
			`"edging":{"unit":"edger","course":"sailor",`+sand1+base+`}`))))
		require.NotContains(t, codes(out), "bed_deeper_than_trench", "%d/8 in", eighths)
	}
	out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "8 ft"), `"dig":"7 in"`, edging(base3, sand1)))))
	assert.Contains(t, codes(out), "bed_deeper_than_trench")
}
