package pricing_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate"
	"bedline/estimate/measure"
	"bedline/pricing"
)

// groundBed is dugBed with more members of the ground and of the job.
func groundBed(ground, job string) string {
	return `{"ground":{"soil":"loam","cover":"bare"` + ground + `},"beds":[{"id":"b","outline":{"kind":"rectangle","length":"27 ft","width":"12 ft"},"dig":"1 in","stone":{"material":"pebble-20","depth":"1 in"}}],"crew":{"tools":{"dig_bed":"hand"}}` + job + `}`
}

func hoursOf(t require.TestingT, q *pricing.Quote, op estimate.Operation) string {
	return workOf(t, q, op).Hours.Pad(2).String()
}

// ILO/ASIST Technical Brief No. 2, Productivity Norms for labour-based construction (1998), recommended averages for
// hauling by wheelbarrow in m3 per worker-day: 8.5 to 20 m, 7.0 to 40, 6.5 to 60, 5.5 to 80, 5.0 to 100. The values are
// from memory, to be confirmed. The trips of the sample list's wheelbarrow with loose loam, in days of 8 hours, are to
// come within a twentieth: the table is rounded to half a cubic metre, and half of that is 5 % of 5.0.
func TestTripsComeToThePublishedWheelbarrowHauls(t *testing.T) {
	t.Parallel()
	barrow := barrowOf(t, pricing.Sample())
	loam, ok := pricing.Sample().Catalogue.Soil("loam")
	require.True(t, ok)
	const bank = measure.Volume(1000)
	loose, mass := bank.Scale(loam.SwellFactor), bank.Weigh(loam.BankDensity)
	for haul, perDay := range map[measure.Length]float64{20: 8.5, 40: 7.0, 60: 6.5, 80: 5.5, 100: 5.0} {
		hours := float64(barrow.Trips(loose, mass)) * float64(barrow.TripTime(haul, 0))
		assert.InEpsilon(t, perDay, float64(loose)/(hours/8), 0.05, "%v m", haul)
	}
}

func barrowOf(t require.TestingT, l *pricing.List) *pricing.Hauling {
	for i := range l.Hauling {
		if h := &l.Hauling[i]; h.Vehicle == pricing.Wheelbarrow {
			return h
		}
	}
	require.Fail(t, "no wheelbarrow")
	return nil
}

// Naismith's rule, as the Scottish Mountaineering Club Journal of 1892 has it (from memory): an hour for every three
// miles and an hour more for every 2,000 feet of ascent. A per cent of climb is 52.8 ft in a mile: 1.584 min on 20 min.
func TestTheSlopeOfTheSampleIsNaismiths(t *testing.T) {
	t.Parallel()
	assert.InDelta(t, 52.8/2000*60/20, float64(barrowOf(t, pricing.Sample()).SlopeFactor), 0.001)
}

// NAVEDTRA 14045 (Builder Advanced), Man-day Estimates and Durations, the example: 16,000 ft2 at 33 man-hours per 1000 ft2
// are 528 man-hours, 66 man-days of 8 hours before the delay factor.
func TestHoursOfAJobFollowThePublishedExample(t *testing.T) {
	t.Parallel()
	text := `{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"beds":[{"id":"b","outline":{"kind":"rectangle","length":"160 ft","width":"100 ft"},"fabric":{"material":"fabric-woven","under":"bed"}}],
		"labour":{"rates":[{"operation":"lay_fabric","per":"1000 ft2","hours":33}]}}`
	l := workOf(t, quoteOf(t, text), estimate.LayFabric)
	assert.Equal(t, "528", l.Hours.Trim(0).String())
	hours, _ := l.Hours.Float64()
	assert.InDelta(t, 66, hours/8, 1e-9)
	assert.Equal(t, estimate.Working{Label: "hours of one person", Expression: "16000 ft2 at 33 h per 1000 ft2, from the request", Result: "528 h"}, l.Workings[len(l.Workings)-2])
}

// A barrow of 300 lb and 6 ft3, walked at 120 ft a minute, filled in 4.5 min, tipped in 0.75, slowed by 0.08 a per cent.
// Spoil: a yard of loam in the ground is 2565 lb: 8.55, so 9 trips. Stone: 1.05 yd3 of 2600 lb are 2730 lb: 9.1, so 10.
func TestHaulsAreReckonedTripByTrip(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		ground   string
		out, in  string
		minutes  float64
		expected string // the step of a trip of the stone
	}{
		// 4.5 + 1 + 0.75 + 1 = 7.25 min: 9 x 7.25 / 60 = 1.0875; 10 x 7.25 / 60 = 1.2083.
		"on the level": {`,"haul":"120 ft"`, "1.09", "1.21", 7.25, "4.5 + 120 ft / 120 ft + 0.75 + 120 ft / 120 ft"},
		// Out at 5 %: 1 x 1.4: 7.65 min: 1.1475. In it falls: 7.25.
		"out uphill": {`,"haul":"120 ft","haul_slope_percent":5`, "1.15", "1.21", 7.25, "4.5 + 120 ft / 120 ft + 0.75 + 120 ft / 120 ft"},
		// Out it falls: 7.25. In at 5 %: 10 x 7.65 / 60 = 1.275.
		"out downhill": {`,"haul":"120 ft","haul_slope_percent":-5`, "1.09", "1.28", 7.65, "4.5 + 120 ft / 120 ft x (1 + 0.08 x 5 % climb) + 0.75 + 120 ft / 120 ft"},
		// In over 60 ft at 10 %: 4.5 + 0.5 x 1.8 + 0.75 + 0.5 = 6.65 min: 1.1083.
		"in another way": {`,"haul":"120 ft","haul_in":"60 ft","haul_in_slope_percent":10`, "1.09", "1.11", 6.65, "4.5 + 60 ft / 120 ft x (1 + 0.08 x 10 % climb) + 0.75 + 60 ft / 120 ft"},
		// No way at all is still filled and tipped: 5.25 min: 0.7875, 0.875.
		"beside the bed": {`,"haul":"0 ft"`, "0.79", "0.88", 5.25, "4.5 + 0 ft / 120 ft + 0.75 + 0 ft / 120 ft"},
		// A barrow passes 30 in.
		"a way in as wide as the barrow needs": {`,"haul":"120 ft","access":"30 in"`, "1.09", "1.21", 7.25, "4.5 + 120 ft / 120 ft + 0.75 + 120 ft / 120 ft"},
	} {
		q := quoteOf(t, groundBed(c.ground, ""))
		assert.Equal(t, c.out, hoursOf(t, q, estimate.HaulSpoil), name)
		assert.Equal(t, c.in, hoursOf(t, q, estimate.HaulMaterials), name)
		w := workOf(t, q, estimate.HaulMaterials).Workings
		assert.Equal(t, []estimate.Working{
			{Label: "pebble-20 by the wheelbarrow, mass governs", Expression: "2730 lb / 300 lb = 9.1", Result: "10 trips"},
			{Label: "minutes of a trip: fill, way with the load, tip, way back", Expression: c.expected, Result: measure.FormatNumber(c.minutes, 3) + " min"},
			{Label: "hours of one person", Expression: "10 trips x " + measure.FormatNumber(c.minutes, 3) + " min / 60", Result: measure.FormatNumber(c.minutes/6, 2) + " h"},
		}, w[1:4], name)
	}
	// Bark of 300 lb/yd3 fills the barrow first: 1.05 yd3 = 28.35 ft3 by 6: 4.73, so 5.
	q := quoteOf(t, strings.Replace(groundBed(`,"haul":"120 ft"`, ""), "pebble-20", "bark-fine", 1))
	assert.Equal(t, estimate.Working{Label: "bark-fine by the wheelbarrow, volume governs", Expression: "1.05 yd3 / 0.222 yd3 = 4.73", Result: "5 trips"}, workOf(t, q, estimate.HaulMaterials).Workings[1])
}

func TestANarrowWayInIsCarriedByTheRates(t *testing.T) {
	t.Parallel()
	q := quoteOf(t, groundBed(`,"haul":"60 ft","access":"24 in"`, ""))
	// In buckets over at most 65 ft: 1.25 yd3 of spoil at 1 h, 1.05 of stone at 1.25 h.
	assert.Equal(t, "1.25", hoursOf(t, q, estimate.HaulSpoil))
	assert.Equal(t, "1.31", hoursOf(t, q, estimate.HaulMaterials))
	// A list that knows only of barrows can't do it, and says for which way in.
	barrows := sampleWith(t, func(d *pricing.Document) {
		for i := range d.Labour.Rates {
			if r := &d.Labour.Rates[i]; r.Operation == "haul_spoil" || r.Operation == "haul_materials" {
				r.AccessFrom = "30 in"
			}
		}
	})
	_, faults, err := ask(t, groundBed(`,"haul":"60 ft","access":"24 in"`, ""), barrows)
	require.NoError(t, err)
	require.Len(t, faults, 1)
	assert.Equal(t, "/price_list missing_rate", faults[0].Pointer+" "+faults[0].Code)
	assert.Contains(t, faults[0].Detail, "a way in of 2 ft")
	assert.Contains(t, faults[0].Detail, ": haul_spoil;")
}

func TestAListWithoutTheLaterRatesLeavesThemOutAndSaysSo(t *testing.T) {
	t.Parallel()
	old := sampleWith(t, func(d *pricing.Document) {
		d.Hauling = nil
		var kept []pricing.RateDocument
		for _, r := range d.Labour.Rates {
			switch r.Operation {
			case "trim_formation", "haul_materials", "compact_base", "wet_and_cure":
			default:
				kept = append(kept, r)
			}
		}
		d.Labour.Rates = kept
	})
	q := quoteOf(t, jobFile(t, "garage-bed.json"), old)
	var said []string
	for _, n := range q.Notices {
		if n.Code == "operation_without_rate" {
			said = append(said, n.Message)
		}
	}
	require.Len(t, said, 1)
	assert.Contains(t, said[0], "trim_formation, haul_materials, compact_base, wet_and_cure:")
	for i := range q.Lines {
		if w := q.Lines[i].Work; w != nil {
			assert.False(t, w.Operation.MayLackRate(), w.Operation)
		}
	}
	for _, n := range quoteOf(t, jobFile(t, "garage-bed.json")).Notices {
		assert.NotEqual(t, "operation_without_rate", n.Code)
	}
}

func TestTheRequestSetsItsOwnHours(t *testing.T) {
	t.Parallel()
	text := func(labour string) string { return groundBed(`,"haul":"120 ft"`, `,"labour":`+labour) }
	q := quoteOf(t, text(`{"hourly_cost":"40.00"}`))
	l := workOf(t, q, estimate.DigBed)
	assert.Equal(t, "1.75 h x 40.00, from the request", l.Workings[len(l.Workings)-1].Expression)
	assert.Equal(t, "70.00", q.List.Currency.Format(l.Amount))
	for name, c := range map[string]struct {
		rates string
		op    estimate.Operation
		hours string
	}{
		"instead of a rate of the list":  {`{"operation":"dig_bed","per":"1 yd3","hours":2.4}`, estimate.DigBed, "2.40"},
		"in other units":                 {`{"operation":"dig_bed","per":"1 m3","hours":2}`, estimate.DigBed, "1.53"},
		"instead of trips":               {`{"operation":"haul_spoil","per":"1 yd3","hours":3}`, estimate.HaulSpoil, "3.75"},
		"by hand":                        {`{"operation":"dig_bed","tool":"hand","per":"1 yd3","hours":9}`, estimate.DigBed, "9.00"},
		"for a machine that is not used": {`{"operation":"dig_bed","tool":"machine","per":"1 yd3","hours":9}`, estimate.DigBed, "1.75"},
		"by hand before any tool":        {`{"operation":"dig_bed","per":"1 yd3","hours":5},{"operation":"dig_bed","tool":"hand","per":"1 yd3","hours":6}`, estimate.DigBed, "6.00"},
		"of another operation":           {`{"operation":"dig_trench","per":"1 yd3","hours":9}`, estimate.DigBed, "1.75"},
		"no time at all":                 {`{"operation":"clean_up","per":1,"hours":0}`, estimate.CleanUp, "0.00"},
	} {
		assert.Equal(t, c.hours, hoursOf(t, quoteOf(t, text(`{"rates":[`+c.rates+`]}`)), c.op), name)
	}
	// A rate of the request makes up for one that the list lacks.
	lacking := sampleWith(t, func(d *pricing.Document) {
		var kept []pricing.RateDocument
		for _, r := range d.Labour.Rates {
			if r.Operation != "dig_bed" {
				kept = append(kept, r)
			}
		}
		d.Labour.Rates = kept
	})
	assert.Equal(t, []string{"/price_list missing_rate"}, faulted(t, text(`{}`), lacking))
	assert.Equal(t, "2.40", hoursOf(t, quoteOf(t, text(`{"rates":[{"operation":"dig_bed","per":"1 yd3","hours":2.4}]}`), lacking), estimate.DigBed))
}

func TestFaultsOfTheHoursOfARequest(t *testing.T) {
	t.Parallel()
	for labour, want := range map[string][]string{
		`{"hourly_cost":"-1"}`:       {"/labour/hourly_cost negative"},
		`{"hourly_cost":40}`:         {"/labour/hourly_cost wrong_type"},
		`{"hourly_cost":"forty"}`:    {"/labour/hourly_cost bad_number"},
		`{"hourly_cost":"40.12345"}`: {"/labour/hourly_cost out_of_range"},
		`{"cost":"40"}`:              {"/labour/cost unknown_member"},
		`{"rates":[{"operation":"dig_bad","per":"1 yd3","hours":1}]}`:                                                 {"/labour/rates/0/operation unknown_value"},
		`{"rates":[{"operation":"dig_bed","per":"1 ft2","hours":1}]}`:                                                 {"/labour/rates/0/per bad_quantity"},
		`{"rates":[{"operation":"dig_bed","per":1,"hours":1}]}`:                                                       {"/labour/rates/0/per unit_missing"},
		`{"rates":[{"operation":"dig_bed","per":"0 yd3","hours":1}]}`:                                                 {"/labour/rates/0/per not_positive"},
		`{"rates":[{"operation":"clean_up","per":"1 ft","hours":1}]}`:                                                 {"/labour/rates/0/per wrong_type"},
		`{"rates":[{"operation":"clean_up","per":0,"hours":1}]}`:                                                      {"/labour/rates/0/per out_of_range"},
		`{"rates":[{"operation":"clean_up","per":1,"hours":-1}]}`:                                                     {"/labour/rates/0/hours out_of_range"},
		`{"rates":[{"operation":"clean_up","per":1,"hours":1.0000001}]}`:                                              {"/labour/rates/0/hours out_of_range"},
		`{"rates":[{"operation":"clean_up"}]}`:                                                                        {"/labour/rates/0/per missing", "/labour/rates/0/hours missing"},
		`{"rates":[{"operation":"dig_bed","tool":"spade","per":"1 yd3","hours":1}]}`:                                  {"/labour/rates/0/tool unknown_value"},
		`{"rates":[{"operation":"lay_slabs","unit_mass_to":"0 lb","per":10,"hours":1}]}`:                              {"/labour/rates/0/unit_mass_to not_positive"},
		`{"rates":[{"operation":"dig_bed","per":"1 yd3","hours":1},{"operation":"dig_bed","per":"2 yd3","hours":1}]}`: {"/labour/rates/1/operation duplicate"},
	} {
		got := faulted(t, groundBed(`,"haul":"0 ft"`, `,"labour":`+labour))
		assert.ElementsMatch(t, want, got, labour)
	}
}

func TestHeavierUnitsTakeLonger(t *testing.T) {
	t.Parallel()
	text := `{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"slabs":[
		{"id":"a","unit":"slab-12","rows":2,"columns":5,"at":["0 ft","0 ft"]},{"id":"b","unit":"slab-18","rows":2,"columns":5,"at":["20 ft","0 ft"]},
		{"id":"c","unit":"slab-24","rows":2,"columns":5,"at":["40 ft","0 ft"]}]`
	hours := func(q *pricing.Quote) map[string]string {
		out := map[string]string{}
		for i := range q.Lines {
			if w := q.Lines[i].Work; w != nil && w.Operation == estimate.LaySlabs {
				out[w.Material.Key] = q.Lines[i].Hours.Pad(2).String()
			}
		}
		return out
	}
	// 21.1, 54.4 and 96.7 lb: up to 25 lb 1.5 h for 10, up to 60 lb 2.5, above 4.
	assert.Equal(t, map[string]string{"slab-12": "1.50", "slab-18": "2.50", "slab-24": "4.00"}, hours(quoteOf(t, text+`}`)))
	assert.Equal(t, map[string]string{"slab-12": "1.00", "slab-18": "1.00", "slab-24": "6.00"},
		hours(quoteOf(t, text+`,"labour":{"rates":[{"operation":"lay_slabs","unit_mass_to":"60 lb","per":10,"hours":1},{"operation":"lay_slabs","per":10,"hours":6}]}}`)))
}

// By machine: what names the machine counts, lifts are thicker, and where there is no rate there are no hours.
func TestHoursOfAMachine(t *testing.T) {
	t.Parallel()
	text := `{"ground":{"soil":"loam","cover":"turf","haul":"0 ft"%s},"slabs":[{"id":"a","unit":"slab-12","rows":10,"columns":10,"at":["0 ft","0 ft"],"base":{"material":"base-crushed","depth":"4 in"}}]}`
	q := quoteOf(t, fmt.Sprintf(text, ""))
	of := func(q *pricing.Quote, op estimate.Operation, tool pricing.Tool) (float64, bool) {
		for i := range q.Takeoff.Work {
			if w := &q.Takeoff.Work[i]; w.Operation == op {
				hours, rate, workings, ok := pricing.HoursOf(q, w, tool)
				assert.Equal(t, ok, len(workings) > 0)
				assert.Equal(t, ok, rate.Operation == op)
				return float64(hours), ok
			}
		}
		require.Fail(t, "no work", op)
		return 0, false
	}
	// 100 ft2 of 4 in (and a quarter that rounding the digging adds), two lifts by hand at 1 h, one under the plate at 0.3 h.
	byHand, ok := of(q, estimate.CompactBase, pricing.ByHand)
	assert.True(t, ok)
	assert.InDelta(t, 2, byHand, 1e-9)
	byMachine, ok := of(q, estimate.CompactBase, pricing.ByMachine)
	assert.True(t, ok)
	assert.InDelta(t, 0.3, byMachine, 1e-9)
	// Turf: 1.5 h by hand, 0.5 with a sod cutter.
	byMachine, _ = of(q, estimate.StripCover, pricing.ByMachine)
	assert.InDelta(t, 0.5, byMachine, 1e-9)
	_, ok = of(q, estimate.LaySlabs, pricing.ByMachine)
	assert.False(t, ok, "the list has no machine for it")
	_, ok = of(q, estimate.HaulMaterials, pricing.ByMachine)
	assert.False(t, ok, "nor trips of a trailer")
	_, ok = of(q, estimate.DigTrench, pricing.ByMachine)
	assert.True(t, ok)
	_, ok = of(quoteOf(t, fmt.Sprintf(text, `,"access":"30 in"`)), estimate.DigTrench, pricing.ByMachine)
	assert.False(t, ok, "the digger needs 36 in")
	// A trailer with a pace: 2000 lb, 88 ft at 88 ft a minute out and back, 10 + 2 min.
	trailer := sampleWith(t, func(d *pricing.Document) {
		ten, two := dec("10"), dec("2")
		d.Hauling[1].Pace, d.Hauling[1].FillMinutes, d.Hauling[1].TipMinutes = "88 ft", &ten, &two
	})
	// 100 ft2 x 6 in in the ground: 50 ft3 x 95 lb = 4750 lb (1 3/4 + 4 = 5 3/4, dug 6 in): 2.375, so 3 trips of 14 min.
	wide := quoteOf(t, strings.Replace(fmt.Sprintf(text, ""), `"haul":"0 ft"`, `"haul":"88 ft"`, 1), trailer)
	byMachine, ok = of(wide, estimate.HaulSpoil, pricing.ByMachine)
	assert.True(t, ok)
	assert.InDelta(t, 3*14.0/60, byMachine, 1e-9)
	_, ok = of(quoteOf(t, fmt.Sprintf(text, `,"access":"5 ft"`), trailer), estimate.HaulSpoil, pricing.ByMachine)
	assert.False(t, ok, "the trailer does not get in")
}

// Farther, steeper, harder ground and more of it never take less time; twice the bed takes twice the digging.
func TestHoursAreMonotone(t *testing.T) {
	t.Parallel()
	hard := []string{"sand", "loam", "clay", "gravel"}
	of := func(q *pricing.Quote, op estimate.Operation) float64 {
		h, _ := workOf(t, q, op).Hours.Float64()
		return h
	}
	rapid.Check(t, func(r *rapid.T) {
		haul, slope := rapid.IntRange(0, 400).Draw(r, "haul"), rapid.IntRange(-50, 50).Draw(r, "slope")
		farther, steeper := rapid.IntRange(haul, 500).Draw(r, "farther"), rapid.IntRange(slope, 50).Draw(r, "steeper")
		soil := rapid.IntRange(0, 3).Draw(r, "soil")
		width := rapid.IntRange(1, 60).Draw(r, "width")
		access := rapid.SampledFrom([]string{"", `,"access":"20 in"`, `,"access":"4 ft"`}).Draw(r, "access")
		text := func(soil string, haul, slope, width int) string {
			return fmt.Sprintf(`{"ground":{"soil":%q,"cover":"bare","haul":"%d ft","haul_slope_percent":%d%s},"beds":[{"id":"b","outline":{"kind":"rectangle","length":"20 ft","width":"%d ft"},"dig":"4 in","stone":{"material":"gravel-10","depth":"2 in"}}],"supply":{"prefer":"bulk"},"crew":{"tools":{"dig_bed":"hand","haul_spoil":"hand"}}}`, soil, haul, slope, access, width)
		}
		base := quoteOf(r, text(hard[soil], haul, slope, width))
		far := quoteOf(r, text(hard[soil], farther, slope, width))
		steep := quoteOf(r, text(hard[soil], haul, steeper, width))
		double := quoteOf(r, text(hard[soil], haul, slope, 2*width))
		for _, op := range []estimate.Operation{estimate.HaulSpoil, estimate.HaulMaterials} {
			require.GreaterOrEqual(r, of(far, op), of(base, op), op)
			require.GreaterOrEqual(r, of(double, op), of(base, op), op)
		}
		require.GreaterOrEqual(r, of(steep, estimate.HaulSpoil), of(base, estimate.HaulSpoil))
		require.LessOrEqual(r, of(steep, estimate.HaulMaterials), of(base, estimate.HaulMaterials), "what is steeper out is less steep in")
		require.InDelta(r, 2*of(base, estimate.DigBed), of(double, estimate.DigBed), 0.016)
		require.InDelta(r, 2*of(base, estimate.TrimFormation), of(double, estimate.TrimFormation), 0.016)
		require.LessOrEqual(r, of(double, estimate.HaulSpoil), 2*of(base, estimate.HaulSpoil)+0.016, "twice the load needs no more than twice the trips")
		for harder := soil + 1; harder < len(hard); harder++ {
			require.Greater(r, of(quoteOf(r, text(hard[harder], haul, slope, width)), estimate.DigBed), of(base, estimate.DigBed))
		}
	})
}
