package pricing_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"bedline/estimate"
)

// testdata/jobs/narrow-gate.json on paper, hours before all. Two beds of 16 x 3 ft edged along 16 ft, one with units 4 in
// wide (5.333333 ft2), one 6 in (8 ft2), and two groups of slabs, 12 and 24 ft2. Clay under turf.
func TestNarrowGateHoursByHand(t *testing.T) {
	t.Parallel()
	q := quoteOf(t, jobFile(t, "narrow-gate.json"))
	type key struct {
		op   estimate.Operation
		unit string
	}
	want := map[key]string{
		{estimate.LocateUtilities, ""}: "0.50",
		{estimate.SetOut, ""}:          "0.84", // 38 + 38 + 16 + 20 = 112 ft x 0.75 / 100
		{estimate.StripCover, ""}:      "1.98", // 48 + 48 + 12 + 24 = 132 ft2 x 1.5 / 100
		// Depths: 2 + 4 + 1 = 7 in; 2 3/8 + 4 + 1 = 7 3/8, dug 7 1/2; 1 3/4 + 2 = 3 3/4, dug 4; 2 + 6 = 8. (5.333333 x 7 + 8 x
		// 7.5 + 12 x 4 + 24 x 8) / 324 = 1.041152 yd3 x 2.65 = 2.759053.
		{estimate.DigTrench, ""}: "2.76",
		{estimate.DigBed, ""}:    "1.56", // (42.666667 + 40) x 3 / 324 = 0.765432 x 2.04 = 1.561481
		// 1.806584 yd3 of 110 lb/ft3 are 5365.6 lb: 17.89 of 300: 18 trips. 4.5 + 90 / 120 x (1 + 0.08 x 5) + 0.75 + 90 / 120 = 7.05
		// min: 126.9 min = 2.115.
		{estimate.HaulSpoil, ""}:     "2.12",
		{estimate.TrimFormation, ""}: "0.53", // 132 x 0.4 / 100 = 0.528
		// By 300 lb: 24.72 x 5.4 = 133.5 lb: 1; 16.48 x 14.3 = 235.7: 1; 12.36 x 21.1 = 260.8: 1; 6.18 x 96.7 = 597.6: 2; base
		// 0.912809 yd3 of 2600: 2373.3: 8; sand 0.052963 of 2400: 127.1: 1; gravel 0.765432 x 1.05 of 2600: 2089.6: 7. 21 trips,
		// downhill as on the level: 4.5 + 1 + 0.75 + 1 = 7.25 min: 152.25 min = 2.5375.
		{estimate.HaulMaterials, ""}: "2.54",
		{estimate.PlaceBase, ""}:     "0.42", // (5.333333 x 4 + 8 x 4.125 + 12 x 2.25 + 24 x 6) / 324 = 0.695473 x 0.6 = 0.417284
		{estimate.CompactBase, ""}:   "1.11", // 5.333333 x 2 + 8 x 2 + 12 x 1 + 24 x 3 = 110.666667 ft2 x 1 / 100
		{estimate.ScreedSand, ""}:    "0.20", // 13.333333 x 1.5 / 100
		// 16 ft / 8 in = 24 of 5.4 lb, 16 ft / 12 in = 16 of 14.3 lb.
		{estimate.LayEdging, "edger-8x4"}:  "1.08", // 24 x 4.5 / 100
		{estimate.LayEdging, "edger-12x6"}: "1.04", // 16 x 6.5 / 100
		{estimate.LaySlabs, "slab-12"}:     "1.44", // 12 at the 1.2 h for 10 of the request
		{estimate.LaySlabs, "slab-24"}:     "2.40", // 6 of 96.7 lb at the list's 4 h for 10
		{estimate.PlaceStone, ""}:          "0.48", // 0.803704 x 0.6 = 0.482222
		{estimate.CleanUp, ""}:             "2.00", // of the request
	}
	got := map[key]string{}
	for i := range q.Lines {
		if w := q.Lines[i].Work; w != nil {
			k := key{op: w.Operation}
			if w.Material != nil {
				k.unit = w.Material.Key
			}
			got[k] = q.Lines[i].Hours.Pad(2).String()
		}
	}
	assert.Equal(t, want, got)
	assert.Equal(t, "23.00", q.Totals.Hours.Pad(2).String())
	assert.Equal(t, "966.00", q.List.Currency.Format(q.Totals.Labour)) // at the 42.00 of the request
}
