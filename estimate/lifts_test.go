package estimate_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate"
	"bedline/estimate/measure"
)

// A slab of 16 x 16 in and 37.6 lb by hand, with the formulas of NIOSH 94-110 (revised 9/2021) rounded as it prints
// them. Hands on the ground, so H = 10 + 16/2 = 18 in. HM 10/18 = .56; VM 1 - .0075 x 30 = .775 = .78; DM .82 + 1.8/30 = .88;
// AM 1; one lift a minute for up to an hour .94; poor grip .90. 51 x .56 x .78 x .88 x .94 x .90 = 16.58: 16.6 lb.
// 37.6/16.6 = 2.3.
func TestLiftingOfASlabByHand(t *testing.T) {
	t.Parallel()
	slab := &estimate.Material{Key: "slab", Name: "Slab", Length: 18 * measure.Inch, Width: 16 * measure.Inch, Mass: 37.6 * measure.Pound}
	got, heavy := estimate.UnitLifting(slab, measure.US)
	require.True(t, heavy)
	assert.InDelta(t, 16.6, got.Limit.In(measure.Pound), 1e-9)
	assert.InDelta(t, 2.3, float64(got.Index), 1e-9)
	assert.Equal(t, []estimate.Working{
		{Label: "reach, from the depth of the load", Expression: "10 in + 16 in / 2", Result: "18 in"},
		{Label: "recommended weight limit, multipliers for reach, height, travel, turn, pace and grip", Expression: "51 lb x 0.56 x 0.78 x 0.88 x 1 x 0.94 x 0.9", Result: "16.6 lb"},
		{Label: "lifting index", Expression: "37.6 lb / 16.6 lb", Result: "2.3"},
	}, got.Steps())
	assert.Contains(t, got.Sentence(), "above 1")
	// Metric: 40 cm is taken as it is: H = 25 + 20 = 45 cm, HM .56; VM 1 - .003 x 75 = .775 = .78; DM .82 + 4.5/75 = .88.
	// 23 x .56 x .78 x .88 x .94 x .90 = 7.479: 7.5 kg; 17 kg: 2.3.
	tile := &estimate.Material{Key: "tile", Name: "Tile", Length: 400 * measure.Millimetre, Width: 400 * measure.Millimetre, Mass: 17}
	got, heavy = estimate.UnitLifting(tile, measure.Metric)
	require.True(t, heavy)
	assert.InDelta(t, 7.5, float64(got.Limit), 1e-9)
	assert.InDelta(t, 2.3, float64(got.Index), 1e-9)
	assert.Equal(t, "250 mm + 400 mm / 2", got.Steps()[0].Expression)
}

// A bag of 50 lb by hand: H = 10 + 12/2 = 16 in, HM .625 = .63; three lifts a minute .88. 51 x .63 x .78 x .88 x .88 x .90 =
// 17.47: 17.5 lb. 50/17.5 = 2.9. One of 60 lb comes to 3.4, above 3; one of 17.5 lb to 1.0, the aim.
func TestLiftingOfABagByHand(t *testing.T) {
	t.Parallel()
	sand := &estimate.Material{Key: "sand", Name: "Sand"}
	bag := func(mass measure.Mass) (estimate.Lifting, bool) {
		return estimate.PackLifting(sand, "bag", "sand-bag", mass, measure.US)
	}
	got, heavy := bag(50 * measure.Pound)
	require.True(t, heavy)
	assert.InDelta(t, 17.5, got.Limit.In(measure.Pound), 1e-9)
	assert.InDelta(t, 2.9, float64(got.Index), 1e-9)
	assert.Contains(t, got.Sentence(), "buy smaller ones")
	got, heavy = bag(60 * measure.Pound)
	require.True(t, heavy)
	assert.InDelta(t, 3.4, float64(got.Index), 1e-9)
	assert.Contains(t, got.Sentence(), "above 3")
	_, heavy = bag(17.5 * measure.Pound)
	assert.False(t, heavy)
	_, heavy = bag(0)
	assert.False(t, heavy, "its mass is not known")
	// NIOSH 94-110: beyond 25 in the limit is nothing. 10 + 31/2 = 25.5 in.
	wide, heavy := estimate.UnitLifting(&estimate.Material{Length: 36 * measure.Inch, Width: 31 * measure.Inch, Mass: measure.Pound}, measure.US)
	require.True(t, heavy)
	assert.Zero(t, wide.Limit)
	assert.Len(t, wide.Steps(), 2)
	assert.Contains(t, wide.Sentence(), "too wide")
	assert.Contains(t, estimate.LiftingNotice("x", []estimate.Lifting{wide, wide, wide, wide, wide}, "y").Message, "beyond the equation); 2 more: ")
}

// Every caution of a whole job names its source and what to confirm, and comes once.
func TestEachHazardIsWarnedOfOnce(t *testing.T) {
	t.Parallel()
	out := takeoff(t, plain(), job(
		beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "4 ft"), edging(`"sides":[0]`, `"joint":{"width":"1/8 in","fill":"fill"}`)), bed("c", rectangle("20 ft", "0 ft", "10 ft", "4 ft"), `"dig":"6 ft"`)),
		slabs(slabGroup("s", "slab-heavy", 1, 1, "0 ft", "10 ft"), slabGroup("t", "slab-heavy", 1, 1, "0 ft", "20 ft"))))
	seen := map[string]int{}
	for _, n := range out.Notices {
		if n.Severity == estimate.Caution {
			seen[n.Code]++
			assert.NotEmpty(t, n.Source, n.Code)
			assert.LessOrEqual(t, len(n.Message), 600, n.Code)
			if n.Code != "spoil_setback" {
				assert.NotEmpty(t, n.Confirm, n.Code)
			}
		}
	}
	assert.Equal(t, map[string]int{"utilities": 1, "spoil_setback": 1, "deep_excavation": 1, "silica_dust": 1, "heavy_unit": 1, "weather": 1, "heat": 1}, seen)
	require.Len(t, out.Lifting, 1)
	// The words of the rules: 29 CFR 1926.1153 Table 1 (4 h, APF 10); Common Ground Alliance 5.19 (18 in); IRC R401.3 (6 in in 10 ft).
	for code, words := range map[string][]string{"silica_dust": {"4 h", "APF 10", "water"}, "utilities": {"18 in", "local law"}, "drainage": {"6 in within the first 10 ft", "local codes"}, "weather": {"saturated", "joints"}} {
		found := false
		for _, n := range out.Notices {
			if n.Code == code {
				found = true
				for _, w := range words {
					assert.True(t, strings.Contains(n.Message, w), "%s: %s", code, w)
				}
			}
		}
		assert.True(t, found, code)
	}
}

func TestAFallThatIsSaidTakesThePlaceOfTheGeneralWord(t *testing.T) {
	t.Parallel()
	general := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "4 ft"), `"dig":"2 in"`))))
	said := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "4 ft"), `"dig":"2 in"`, `"fall":{"percent":2,"away_from_side":0}`))))
	for _, out := range []*estimate.Takeoff{general, said} {
		n := 0
		for _, c := range codes(out) {
			if c == "drainage" {
				n++
			}
		}
		assert.Equal(t, 1, n)
	}
}
