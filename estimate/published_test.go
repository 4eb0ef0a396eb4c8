package estimate_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"bedline/estimate"
	"bedline/estimate/measure"
)

// University of Maine Cooperative Extension, Mulch, Soil, and Compost: Amounts Needed: cubic yards for an area and a
// depth. The table rounds, mostly to half a yard; its note says so.
func TestCoverageAgreesWithTheMaineTable(t *testing.T) {
	t.Parallel()
	depths := []string{"2 in", "3 in", "4 in", "6 in", "8 in", "12 in"}
	table := map[string][]float64{ // ft2 as length x 10 ft; yd3 by depth
		"5 ft":   {0.25, 0.5, 0.5, 1, 1, 2},
		"65 ft":  {4, 6, 8, 12, 16, 24},
		"85 ft":  {5, 8, 10.5, 15.5, 21, 31},
		"95 ft":  {6, 9, 12, 17.5, 23, 35},
		"100 ft": {6, 9, 12, 18.5, 25, 37},
	}
	for length, row := range table {
		for i, depth := range depths {
			out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", length, "10 ft"), `"stone":{"material":"stone","depth":"`+depth+`"}`))))
			assert.InDelta(t, row[i], ft3(line(t, out, estimate.DecorativeStone, "stone").Measured)/27, 0.5, "%s x 10 ft, %s", length, depth)
		}
	}
}

// The same source's example: 50 x 20 ft at 3 in are 9 cubic yards to the whole yard (9.26).
func TestCoverageAgreesWithTheMaineExample(t *testing.T) {
	t.Parallel()
	out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "50 ft", "20 ft"), `"stone":{"material":"stone","depth":"3 in"}`))))
	yards := ft3(line(t, out, estimate.DecorativeStone, "stone").Measured) / 27
	assert.InDelta(t, 9.259, yards, 0.0005)
	assert.Equal(t, 9, int(yards))
}

// Identity: a cubic yard covers 324 ft2 to the inch.
func TestACubicYardCovers324SquareFeetToTheInch(t *testing.T) {
	t.Parallel()
	for inches, ft2 := range map[int]string{1: "324", 2: "162", 3: "108", 4: "81", 5: "64.8", 6: "54", 8: "40.5", 12: "27"} {
		out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", ft2+" ft", "1 ft"), fmt.Sprintf(`"stone":{"material":"stone","depth":"%d in"}`, inches)))))
		assert.InDelta(t, 27, ft3(line(t, out, estimate.DecorativeStone, "stone").Measured), 1e-9, "%d in", inches)
	}
}

// Brick Industry Association, Seven Easy Steps, step 1: 4.5 units of 4 x 8 in to the square foot without joints; and
// its factors for a patio of 10 x 20 ft: 0.00309 yd3 of sand per ft2 at 1 in (0.62 yd3), 0.01235 yd3 of crushed stone at
// 4 in (2.47 yd3). The factors are 1/324 and 4/324 rounded up, which is within 0.2 %.
func TestPatioAgreesWithTheBrickAssociation(t *testing.T) {
	t.Parallel()
	out := takeoff(t, plain(), job(slabs(slabGroup("patio", "edger", 30, 30, "0 ft", "0 ft", `"base":{"material":"base","depth":"4 in"}`, sand1))))
	assert.InDelta(t, 200, ft2(dug(t, out, "patio", estimate.PadPart).Area), 1e-8)
	assert.InDelta(t, 4.5*200, line(t, out, estimate.Slabs, "edger").Measured.Value, 0)
	sand, stone := ft3(line(t, out, estimate.BeddingSand, "sand").Measured)/27, ft3(line(t, out, estimate.Base, "base").Measured)/27
	assert.InEpsilon(t, 0.00309*200, sand, 0.002)
	assert.InEpsilon(t, 0.01235*200, stone, 0.002)
	assert.InDelta(t, 0.62, sand, 0.005)
	assert.InDelta(t, 2.47, stone, 0.005)
}

// Beall, Masonry and Concrete, p. 312: a cubic yard of sand for 150 ft2 screeded at 1 3/4 in; neat it is 0.81 yd3, so
// that the rule of thumb holds 23 % for loss.
func TestScreededSandAgreesWithBeall(t *testing.T) {
	t.Parallel()
	c := plain()
	c.Materials = append([]estimate.Material(nil), c.Materials...)
	text := job(slabs(slabGroup("s", "slab", 10, 15, "0 ft", "0 ft", `"sand":{"material":"fill","depth":"1 3/4 in"}`)))
	c = estimate.NewCatalogue(c.Materials, c.Soils, map[estimate.LineKey]measure.Factor{estimate.BeddingSand: 0.234}, 0, 0.333)
	l := line(t, takeoff(t, c, text), estimate.BeddingSand, "fill")
	assert.InDelta(t, 0.8102, ft3(l.Measured)/27, 0.00005)
	assert.InDelta(t, 1, ft3(l.Required)/27, 0.001)
}

// Nunnally, Construction Methods and Management, Example 2-4, from memory: 100 yd3 in the bank swell by 12 % to 3024 ft3.
func TestSwellAgreesWithNunnally(t *testing.T) {
	t.Parallel()
	c := estimate.NewCatalogue(catalogue().Materials, []estimate.Soil{{Key: "loam", SwellFactor: 1.12, BankDensity: 1600}}, nil, 0, 0.333)
	// 100 yd3: 324 x 10 ft2 dug 10 in.
	out := takeoff(t, c, job(beds(bed("b", rectangle("0 ft", "0 ft", "324 ft", "10 ft"), `"dig":"10 in"`))))
	assert.InDelta(t, 100, yd3(out.Spoil.Bank), 1e-9)
	assert.InDelta(t, 3024, out.Spoil.Loose.In(measure.CubicFoot), 1e-6)
}

// The same source, Example 2-1, from memory: 2800 lb/yd3 in the bank, 1960 loose: swell 42.9 %, load factor 0.70.
func TestLoadFactorAgreesWithNunnally(t *testing.T) {
	t.Parallel()
	c := estimate.NewCatalogue(catalogue().Materials, []estimate.Soil{{Key: "loam", SwellFactor: 1.429,
		BankDensity: measure.Density(2800 * float64(measure.Pound) / float64(measure.CubicYard))}}, nil, 0, 0.333)
	out := takeoff(t, c, job(beds(bed("b", rectangle("0 ft", "0 ft", "27 ft", "12 ft"), `"dig":"1 in"`))))
	assert.InDelta(t, 2800, out.Spoil.Mass.In(measure.Pound), 1e-6)
	assert.InDelta(t, 1960, out.Spoil.Mass.In(measure.Pound)/yd3(out.Spoil.Loose), 1)
	assert.InDelta(t, 0.70, yd3(out.Spoil.Bank)/yd3(out.Spoil.Loose), 0.001)
}

// Closed forms: circle pi r^2; a corner of 90 degrees rounded at r loses r^2 (1 - pi/4), 1.931417 at r = 3; a ring
// between radii 10 and 8 is 36 pi = 113.097336; a reflex corner rounded at r gains what it would have lost.
func TestAreasOfRoundShapes(t *testing.T) {
	t.Parallel()
	area := func(outline string) float64 {
		return ft2(takeoff(t, plain(), job(beds(bed("b", outline)))).Beds[0].Area)
	}
	assert.InDelta(t, 314.159265, area(`{"kind":"circle","radius":"10 ft"}`), 1e-6)
	assert.InDelta(t, 4*math.Pi/4, area(`{"kind":"circle","diameter":"2 ft"}`), 1e-9)
	assert.InDelta(t, 100-1.931417, area(`{"kind":"polygon","points":[["0 ft","0 ft"],["10 ft","0 ft"],["10 ft","10 ft"],["0 ft","10 ft"]],"corner_radii":["3 ft","0 ft","0 ft","0 ft"]}`), 1e-6)
	assert.InDelta(t, 100-4*1.931417, area(`{"kind":"rectangle","length":"10 ft","width":"10 ft","corner_radius":"3 ft"}`), 4e-6)
	ell := `{"kind":"polygon","points":[["0 ft","0 ft"],["10 ft","0 ft"],["10 ft","4 ft"],["4 ft","4 ft"],["4 ft","10 ft"],["0 ft","10 ft"]]`
	assert.InDelta(t, 64, area(ell+`}`), 1e-9)
	assert.InDelta(t, 64+1.931417, area(ell+`,"corner_radii":["0 ft","0 ft","0 ft","3 ft","0 ft","0 ft"]}`), 1e-6)
	// The classical triangle of sides 13, 14 and 15 has an area of 84.
	assert.InDelta(t, 84, area(`{"kind":"polygon","points":[["0 ft","0 ft"],["14 ft","0 ft"],["5 ft","12 ft"]]}`), 1e-9)
	ring := takeoff(t, plain(), job(beds(bed("b", `{"kind":"circle","radius":"10 ft"}`, stone2, `"edging":{"unit":"slab-16","course":"sailor","curves":"cut"}`))))
	// A ring of 16 in: pi (120^2 - 104^2) in2.
	assert.InDelta(t, 314.159265-math.Pi*(120*120-104*104)/144, ft2(ring.Beds[0].NetStoneArea), 1e-6)
}

// NIOSH 94-110, revised lifting equation: the load constant is 51 lb. 29 CFR 1926.651 and 1926.1153 stand behind the
// cautions about utilities, spoil and dust.
func TestCautions(t *testing.T) {
	t.Parallel()
	has := func(text string) []string { return codes(takeoff(t, plain(), text)) }
	assert.Contains(t, has(job(slabs(slabGroup("s", "slab-heavy", 1, 1, "0 ft", "0 ft")))), "heavy_unit")
	assert.NotContains(t, has(job(slabs(slabGroup("s", "slab", 1, 1, "0 ft", "0 ft")))), "heavy_unit")
	digging := has(job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "4 ft"), `"dig":"2 in"`))))
	for _, code := range []string{"utilities", "spoil_setback", "footings_and_roots"} {
		assert.Contains(t, digging, code)
	}
	assert.NotContains(t, digging, "deep_excavation")
	assert.Contains(t, has(job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "4 ft"), `"dig":"5 ft"`)))), "deep_excavation")
	assert.NotContains(t, digging, "silica_dust")
	assert.Contains(t, has(job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "4 ft"), edging(`"sides":[0]`, `"joint":{"width":"1/8 in"}`))))), "silica_dust")
	// Interlocking Concrete Pavement Institute: 4 in of base under walks and patios, 1 in of sand.
	group := func(base, sand string) []string {
		return has(job(slabs(slabGroup("s", "slab", 1, 1, "0 ft", "0 ft", `"base":{"material":"base","depth":"`+base+`"}`, `"sand":{"material":"sand","depth":"`+sand+`"}`))))
	}
	assert.NotContains(t, group("4 in", "1 in"), "thin_base")
	assert.NotContains(t, group("100 mm", "1 in"), "thin_base")
	assert.Contains(t, group("3 in", "1 in"), "thin_base")
	assert.NotContains(t, group("4 in", "1 1/2 in"), "thick_sand")
	assert.Contains(t, group("4 in", "2 in"), "thick_sand")
	for _, n := range takeoff(t, plain(), job(slabs(slabGroup("s", "slab-heavy", 1, 1, "0 ft", "0 ft", `"sand":{"material":"sand","depth":"2 in"}`)))).Notices {
		assert.NotEmpty(t, n.Message)
		assert.NotEmpty(t, n.Source, n.Code)
	}
}
