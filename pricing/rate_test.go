package pricing_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate"
	"bedline/estimate/measure"
	"bedline/pricing"
)

func ratesOf(t *testing.T, rates ...pricing.RateDocument) *pricing.List {
	t.Helper()
	d := smallDocument()
	d.Soils = append(d.Soils, pricing.SoilDocument{Key: "clay", SwellFactor: dec("1.43"), BankDensity: "110 lb/ft3"})
	d.Labour.Rates = rates
	return compiled(t, d)
}

func TestTheNarrowestRateThatFitsIsUsed(t *testing.T) {
	t.Parallel()
	yard := quantity("1 yd3")
	l := ratesOf(t,
		pricing.RateDocument{Operation: "dig_bed", Per: yard, Hours: dec("1")},
		pricing.RateDocument{Operation: "dig_bed", Soil: "clay", Per: yard, Hours: dec("2")},
		pricing.RateDocument{Operation: "dig_bed", Cover: "turf", Per: yard, Hours: dec("3")},
		pricing.RateDocument{Operation: "dig_bed", Soil: "clay", Cover: "turf", Per: yard, Hours: dec("4")},
		pricing.RateDocument{Operation: "dig_bed", Cover: "gravel", Per: yard, Hours: dec("5")},
	)
	for _, c := range []struct{ soil, cover, hours string }{
		{"loam", "bare", "1"}, {"clay", "bare", "2"}, {"loam", "turf", "3"}, {"clay", "turf", "4"}, {"loam", "gravel", "5"}, {"clay", "gravel", "2"},
	} {
		rate, ok, beyond := l.Rate(pricing.RateQuery{Operation: estimate.DigBed, Soil: c.soil, Cover: c.cover})
		require.True(t, ok)
		assert.False(t, beyond)
		assert.Equal(t, c.hours, rate.Hours.String(), "%s under %s", c.soil, c.cover)
	}
	_, ok, _ := l.Rate(pricing.RateQuery{Operation: estimate.DigTrench, Soil: "loam", Cover: "bare"})
	assert.False(t, ok, "an operation without a rate")
}

// The wheelbarrow hauls of ILO/ASIST Technical Brief No. 2 (recommended averages, from memory, to be confirmed): 8.5,
// 7.0, 6.5, 5.5 and 5.0 m3 in a worker-day of 8 hours over 20, 40, 60, 80 and 100 m.
func TestTheShortestHaulThatReachesIsUsedAndTheLongestIsStretched(t *testing.T) {
	t.Parallel()
	l := compiled(t, readTestList(t, "metric"))
	for _, c := range []struct {
		haul   measure.Length
		hours  float64 // for 10 m3
		beyond bool
	}{
		{0, 80 / 8.5, false}, {20, 80 / 8.5, false}, {20.1, 80 / 7.0, false}, {40, 80 / 7.0, false}, {59, 80 / 6.5, false},
		{80, 80 / 5.5, false}, {100, 80 / 5.0, false}, {150, 80 / 5.0 * 1.5, true},
	} {
		rate, ok, beyond := l.Rate(pricing.RateQuery{Operation: estimate.HaulSpoil, Soil: "loam", Cover: "turf", Haul: c.haul})
		require.True(t, ok)
		assert.Equal(t, c.beyond, beyond, c.haul)
		assert.InDelta(t, c.hours, float64(rate.ForVolume(10)), 1e-9, c.haul)
	}
}

func TestARateWithoutAHaulHoldsForAnyDistance(t *testing.T) {
	t.Parallel()
	yard := quantity("1 yd3")
	l := ratesOf(t,
		pricing.RateDocument{Operation: "haul_spoil", Per: yard, Hours: dec("9")},
		pricing.RateDocument{Operation: "haul_spoil", HaulTo: "60 ft", Per: yard, Hours: dec("1")})
	rate, ok, beyond := l.Rate(pricing.RateQuery{Operation: estimate.HaulSpoil, Haul: measure.Foot.Scale(60)})
	require.True(t, ok)
	assert.Equal(t, "1", rate.Hours.String())
	assert.False(t, beyond)
	rate, _, beyond = l.Rate(pricing.RateQuery{Operation: estimate.HaulSpoil, Haul: measure.Foot.Scale(61)})
	assert.Equal(t, "9", rate.Hours.String())
	assert.False(t, beyond)
}

// 33 man-hours per 1000 ft2 for 16,000 ft2 are 528 man-hours (NAVEDTRA 14045, Man-day Estimates and Durations, example).
func TestHoursFollowTheManHourTables(t *testing.T) {
	t.Parallel()
	l := ratesOf(t, pricing.RateDocument{Operation: "lay_fabric", Per: quantity("1000 ft2"), Hours: dec("33")})
	rate, ok, _ := l.Rate(pricing.RateQuery{Operation: estimate.LayFabric})
	require.True(t, ok)
	assert.InDelta(t, 528, float64(rate.ForArea(measure.SquareFoot.Scale(16000))), 1e-9)
	assert.Zero(t, rate.ForVolume(1), "a rate per area gives no hours for a volume")
	assert.Zero(t, rate.ForCount(1))
	assert.Zero(t, rate.ForLength(1))
}

func TestEveryOperationHasItsKindOfQuantity(t *testing.T) {
	t.Parallel()
	kinds := map[pricing.RateKind]int{}
	for _, operation := range pricing.Operations() {
		kind, ok := pricing.RateKindOf(operation)
		require.True(t, ok, operation)
		kinds[kind]++
	}
	assert.Equal(t, map[pricing.RateKind]int{pricing.PerCount: 5, pricing.PerLength: 3, pricing.PerArea: 6, pricing.PerVolume: 7}, kinds)
	_, ok := pricing.RateKindOf("paint")
	assert.False(t, ok)
}
