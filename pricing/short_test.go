package pricing_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/pricing"
	"bedline/pricing/money"
	"bedline/pricing/supply"
)

// standardNormal is the share of cases below z in the table of the standard normal distribution (NIST/SEMATECH e-Handbook
// of Statistical Methods, 1.3.6.7.1, "Cumulative Distribution Function of the Standard Normal Distribution": area from
// minus infinity to z; values from memory).
var standardNormal = map[string]float64{"0.00": 0.5, "0.67": 0.7486, "0.68": 0.7517, "1.28": 0.8997, "1.29": 0.9015, "1.31": 0.9049, "1.32": 0.9066,
	"1.64": 0.9495, "1.65": 0.9505, "1.66": 0.9515, "2.25": 0.9878, "2.26": 0.9881, "2.32": 0.9898, "2.33": 0.9901}

// shortOf asks for a job with a member supply.
func shortOf(t require.TestingT, text string) *pricing.Quote {
	q := quoteOf(t, text)
	require.NotNil(t, q.Supply.Short)
	return q
}

func riskOf(t require.TestingT, q *pricing.Quote, material string) *pricing.ShortMaterial {
	for i := range q.Supply.Short.Materials {
		if x := &q.Supply.Short.Materials[i]; x.Material.Key == material {
			return x
		}
	}
	require.Fail(t, "not in doubt", material)
	return nil
}

// 324 ft2 of stone 3 in deep are 3 yd3; a tolerance of 1/2 in is half a yard, and half a yard / 1.645 the deviation. In 90
// of 100 cases 3 + 1.282 x 0.304 = 3.39 yd3 do.
func TestItem36DepthToleranceByHand(t *testing.T) {
	t.Parallel()
	q := shortOf(t, stoneBed("3", `"supply":{"depth_tolerance":"1/2 in","confidence":0.9}`))
	x := riskOf(t, q, "pebble-20")
	assert.InDelta(t, 3, yd3(float64(x.Mean)), 1e-9)
	assert.InDelta(t, 0.5/1.645, yd3(float64(x.Deviation)), 1e-9)
	// The table has 0.8997 at 1.28 and 0.9015 at 1.29: 0.9 at 1.28 and a sixth of a hundredth.
	z := 1.28 + 0.01*(0.9-standardNormal["1.28"])/(standardNormal["1.29"]-standardNormal["1.28"])
	assert.InDelta(t, 3+z*0.5/1.645, yd3(float64(x.Target)), 1e-3)
	assert.GreaterOrEqual(t, float64(x.Bought), float64(x.Target)-1e-9)
	assert.LessOrEqual(t, float64(x.Short), 0.1)
	assert.Equal(t, x.Bought, q.Supply.Plan.Covers[0].Bought)
	assert.InDelta(t, yd3(float64(x.Bought))-3, yd3(float64(q.Supply.Plan.Covers[0].Surplus)), 1e-9)
}

// All that may be off of one material: a layer of base with compaction 1.25 and 5 % waste, in two zones that share one draw
// of the depth, and the tape over all.
func TestSpreadsAddUpAsVariances(t *testing.T) {
	t.Parallel()
	slab := func(id, at string) string {
		return fmt.Sprintf(`{"id":%q,"unit":"slab-24","rows":9,"columns":9,"at":[%q,"0 ft"],"base":{"material":"base-crushed","depth":"5 in"},"sand":{"material":"sand-bedding","depth":"1 in"}}`, id, at)
	}
	// 18 x 18 ft each, 324 ft2: T 2 + sand 1 + base 5 = 8 in, so that the digging adds nothing.
	job := func(supply string) string {
		return `{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"slabs":[` + slab("a", "0 ft") + `,` + slab("b", "30 ft") + `],"supply":{` + supply + `}}`
	}
	deviation := func(material, supply string) float64 {
		return yd3(float64(riskOf(t, shortOf(t, job(supply)), material).Deviation))
	}
	loose := 2 * 5 * 1.25 * 1.05 // yd3 of base
	depth, compaction, tape := 2*0.5*1.25*1.05/1.645, loose*0.08/1.645, loose*0.02/1.645
	assert.InDelta(t, depth, deviation("base-crushed", `"depth_tolerance":"1/2 in"`), 1e-9)
	assert.InDelta(t, compaction, deviation("base-crushed", `"compaction_tolerance_percent":8`), 1e-9)
	assert.InDelta(t, tape, deviation("base-crushed", `"measuring_error_percent":2`), 1e-9)
	assert.InDelta(t, math.Sqrt(depth*depth+compaction*compaction+tape*tape),
		deviation("base-crushed", `"depth_tolerance":"1/2 in","compaction_tolerance_percent":8,"measuring_error_percent":2`), 1e-9)
	// Base and sand of one material are two layers, that is two draws; the tape is one.
	same := strings.ReplaceAll(job(`"depth_tolerance":"1/2 in","measuring_error_percent":2`), "sand-bedding", "base-crushed")
	sand := 2 * 1 * 1.25 * 1.1 // 10 % waste of bedding sand
	sandDepth := 2 * 0.5 * 1.25 * 1.1 / 1.645
	tapes := (loose + sand) * 0.02 / 1.645
	assert.InDelta(t, math.Sqrt(depth*depth+sandDepth*sandDepth+tapes*tapes), yd3(float64(riskOf(t, shortOf(t, same), "base-crushed").Deviation)), 1e-9)
	// Slabs are counted.
	for _, x := range shortOf(t, job(`"measuring_error_percent":2`)).Supply.Short.Materials {
		assert.NotEqual(t, "slab-24", x.Material.Key)
	}
}

// A roll is 50 ft. The bed of 36 x 4 ft takes one strip of 36 ft: it has to grow by 14 ft to want a second roll.
func TestFabricRunsShortWhereStripsOutgrowTheRoll(t *testing.T) {
	t.Parallel()
	job := `{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"beds":[{"id":"b","outline":{"kind":"rectangle","length":"%s","width":"3 ft 6 in"},"fabric":{"material":"fabric-woven","under":"bed"}}],
		"allowances":{"fabric":0,"pins":0},"supply":{"measuring_error_percent":10}}`
	x := riskOf(t, shortOf(t, fmt.Sprintf(job, "36 ft")), "fabric-woven")
	assert.InDelta(t, 0.72, float64(x.Mean), 1e-9)
	assert.InDelta(t, 0.72*0.1/1.645, float64(x.Deviation), 1e-9)
	assert.InDelta(t, (1-0.72)/(0.072/1.645), x.Score, 1e-6)
	// Two strips of 45 ft from two rolls: the fullest has 5 ft left, a ninth of a strip; 10 % is 1.645 deviations.
	x = riskOf(t, shortOf(t, strings.Replace(fmt.Sprintf(job, "45 ft"), "3 ft 6 in", "7 ft", 1)), "fabric-woven")
	assert.InDelta(t, 1.9, float64(x.Mean), 1e-9)
	if x.Bought == 2 {
		assert.InDelta(t, 1.645/0.1/9, x.Score, 1e-6)
	}
}

// With nothing in doubt the plan, its rivals and all lines are those of the request without.
func TestZeroToleranceBuysTheSame(t *testing.T) {
	t.Parallel()
	files, err := filepath.Glob("../testdata/jobs/*.json")
	require.NoError(t, err)
	for _, file := range files {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		var job map[string]json.RawMessage
		require.NoError(t, json.Unmarshal(text, &job))
		delete(job, "supply")
		with := func(supply string) *pricing.Quote {
			if supply != "" {
				job["supply"] = json.RawMessage(supply)
			}
			changed, err := json.Marshal(job)
			require.NoError(t, err)
			return quoteOf(t, string(changed))
		}
		plain := with("")
		for _, supply := range []string{`{"measuring_error_percent":0}`, `{"measuring_error_percent":0,"confidence":0.99}`} {
			q := with(supply)
			require.NotNil(t, q.Supply.Short, file)
			assert.Zero(t, q.Supply.Short.Taken.Short)
			assert.Equal(t, plain.Supply.Plan.Landed, q.Supply.Short.Taken.Expected)
			q.Supply.Short = nil
			assert.Equal(t, plain.Supply, q.Supply, file)
			assert.Equal(t, plain.Lines, q.Lines, file)
			assert.Equal(t, plain.Totals, q.Totals, file)
		}
	}
}

// What is expected to be paid is never more than with the plan for what is said, nor than with any confidence; more
// confidence never costs less now.
func TestLawsOfRunningShort(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		depth := rapid.IntRange(1, 6).Draw(t, "eighths")
		tape := rapid.IntRange(0, 5).Draw(t, "tape")
		deep := rapid.IntRange(1, 6).Draw(t, "inches")
		ask := func(more string) *pricing.RunningShort {
			return shortOf(t, stoneBed(fmt.Sprint(deep), fmt.Sprintf(`"supply":{"depth_tolerance":"%d mm","measuring_error_percent":%d%s}`, 3*depth, tape, more))).Supply.Short
		}
		least := ask("")
		rounding := 2 + 2*len(least.Materials)
		require.LessOrEqual(t, int(least.Taken.Expected), int(least.Certain.Expected))
		var before money.Amount
		for _, c := range []string{"0.5", "0.8", "0.9", "0.99"} {
			sure := ask(`,"confidence":` + c)
			require.LessOrEqual(t, before, sure.Taken.Plan.Landed)
			if least.Taken.Proved {
				require.LessOrEqual(t, int(least.Taken.Expected), int(sure.Taken.Expected)+rounding)
			}
			require.LessOrEqual(t, int(least.Taken.Bound), int(sure.Taken.Expected))
			require.LessOrEqual(t, int(sure.Least.Expected), int(least.Taken.Expected))
			require.LessOrEqual(t, sure.Least.Expected, sure.Taken.Expected)
			before = sure.Taken.Plan.Landed
		}
	})
}

// Two jobs whose layers turn out by themselves need less together: deviations of 1 and 1 are the root of 2.
func TestPooledJobsShareTheirDoubt(t *testing.T) {
	t.Parallel()
	pool := func(supply string, jobs ...string) *pricing.Pool {
		p, faults := pooled(t, `{"jobs":[`+strings.Join(jobs, ",")+`],"supply":{`+supply+`}}`, pricing.Sample())
		require.Empty(t, faults)
		return p
	}
	one := `{"id":"a","requirements":[{"material":"pebble-20","quantity":"10 yd3"}]}`
	two := `{"id":"b","requirements":[{"material":"pebble-20","quantity":"10 yd3"}]}`
	p := pool(`"measuring_error_percent":16.45,"confidence":0.9`, one, two)
	x := p.Supply.Short.Materials[0]
	assert.InDelta(t, math.Sqrt2, yd3(float64(x.Deviation)), 1e-9)
	assert.InDelta(t, 20+1.2816*math.Sqrt2, yd3(float64(x.Target)), 1e-3)
	assert.Nil(t, p.Supply.Short.Least)
	for _, j := range p.Jobs {
		assert.GreaterOrEqual(t, yd3(float64(j.Alone.Covers[0].Bought)), 10+1.2815)
	}
	addsUp(t, p)
	// A job that says by itself how sure it is keeps to that.
	whole := `{"id":"c","job":` + stoneBed("3", `"supply":{"depth_tolerance":"1/2 in"}`) + `}`
	p = pool(`"measuring_error_percent":16.45,"confidence":0.9`, one, whole)
	assert.InDelta(t, math.Sqrt(1+math.Pow(0.5/1.645, 2)), yd3(float64(p.Supply.Short.Materials[0].Deviation)), 1e-9)
}

func TestFaultsOfTolerances(t *testing.T) {
	t.Parallel()
	stone := func(supply string) string { return stoneBed("2", `"supply":{`+supply+`}`) }
	for name, c := range map[string]struct {
		text string
		want []string
	}{
		"nothing to be sure of":        {stone(`"confidence":0.9`), []string{"/supply/confidence conflict"}},
		"sure beyond all":              {stone(`"confidence":1,"depth_tolerance":"1/4 in"`), []string{"/supply/confidence out_of_range"}},
		"not sure at all":              {stone(`"confidence":0,"depth_tolerance":"1/4 in"`), []string{"/supply/confidence out_of_range"}},
		"deeper than the layer":        {stone(`"depth_tolerance":"2 1/8 in"`), []string{"/supply/depth_tolerance out_of_range"}},
		"a depth without a unit":       {stone(`"depth_tolerance":0.5`), []string{"/supply/depth_tolerance unit_missing"}},
		"a depth below zero":           {stone(`"depth_tolerance":"-1 in"`), []string{"/supply/depth_tolerance negative"}},
		"nothing that is compacted":    {stone(`"compaction_tolerance_percent":5`), []string{"/supply/compaction_tolerance_percent conflict"}},
		"more than half":               {stone(`"measuring_error_percent":51`), []string{"/supply/measuring_error_percent out_of_range"}},
		"surplus beside a tolerance":   {stone(`"measuring_error_percent":1,"surplus":"listed"`), []string{"/supply/surplus conflict"}},
		"no days":                      {stone(`"within_days":0`), []string{"/supply/within_days out_of_range"}},
		"no suppliers":                 {stone(`"most_suppliers":0`), []string{"/supply/most_suppliers out_of_range"}},
		"all at once":                  {stone(`"confidence":2,"depth_tolerance":"3 in","measuring_error_percent":-1,"crew_time":1,"surplus":"all"`), []string{"/supply/confidence out_of_range", "/supply/crew_time wrong_type", "/supply/depth_tolerance out_of_range", "/supply/measuring_error_percent out_of_range", "/supply/surplus unknown_value"}},
		"no layers":                    {`{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"slabs":[{"id":"s","unit":"slab-12","rows":1,"columns":2,"at":["0 ft","0 ft"]}],"supply":{"depth_tolerance":"1/4 in"}}`, []string{"/supply/depth_tolerance conflict"}},
		"only what is counted":         {`{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"slabs":[{"id":"s","unit":"slab-12","rows":1,"columns":2,"at":["0 ft","0 ft"]}],"supply":{"measuring_error_percent":1}}`, []string{"/supply/measuring_error_percent conflict"}},
		"as deep as the layer is none": {stone(`"depth_tolerance":"2 in"`), nil},
	} {
		_, faults, err := ask(t, c.text)
		require.NoError(t, err)
		assert.ElementsMatch(t, c.want, placed(faults), name)
		for _, f := range faults {
			assert.NotEmpty(t, f.Detail)
		}
	}
}

func TestFaultsOfTolerancesWithoutAJob(t *testing.T) {
	t.Parallel()
	for supply, want := range map[string][]string{
		`"depth_tolerance":"1 in"`:           {"/supply/depth_tolerance unknown_member"},
		`"compaction_tolerance_percent":5`:   {"/supply/compaction_tolerance_percent conflict"},
		`"confidence":0.9`:                   {"/supply/confidence conflict"},
		`"measuring_error_percent":5`:        nil,
		`"steps":true`:                       {"/supply/steps unknown_member"},
		`"within_days":1,"most_suppliers":1`: nil,
	} {
		_, faults := compared(t, `{"requirements":[{"material":"base-crushed","quantity":"2 yd3"}],"supply":{`+supply+`}}`, pricing.Sample())
		assert.ElementsMatch(t, want, placed(faults), supply)
	}
	c, faults := compared(t, `{"requirements":[{"material":"base-crushed","quantity":"2 yd3","compacted":true}],"supply":{"compaction_tolerance_percent":16.45}}`, pricing.Sample())
	require.Empty(t, faults)
	assert.InDelta(t, 0.25, yd3(float64(c.Supply.Short.Materials[0].Deviation)), 1e-9) // a tenth of 2.5 yd3
	for supply, want := range map[string][]string{
		`"measuring_error_percent":5`:                    {"/supply/confidence missing"},
		`"confidence":0.9`:                               {"/supply/confidence conflict"},
		`"confidence":0.4,"measuring_error_percent":5`:   {"/supply/confidence out_of_range"},
		`"confidence":0.9,"depth_tolerance":"1/4 in"`:    {"/supply/depth_tolerance conflict"},
		`"confidence":0.9,"measuring_error_percent":2.5`: nil,
	} {
		_, faults := pooled(t, `{"jobs":[{"id":"a","requirements":[{"material":"base-crushed","quantity":"2 yd3"}]}],"supply":{`+supply+`}}`, pricing.Sample())
		assert.ElementsMatch(t, want, placed(faults), supply)
	}
}

// The crew's time, taxes, lead days and the number of suppliers are put to the buying; what it comes to is told.
func TestBuyingCountsAndKeepsToWhatIsAsked(t *testing.T) {
	t.Parallel()
	job := func(supply string) string { return stoneBed("1", `"supply":{`+supply+`}`) } // one yd3 of pebble
	plain := quoteOf(t, job(`"prefer":"bags"`))
	// 54 bags of 1/2 ft3; 56 are cheaper, at 5.70, and two trips for 2696 lb at 1500 lb a trip; half an hour each at 38.00.
	assert.Equal(t, "343.20", plain.List.Currency.Format(plain.Supply.Plan.Landed))
	q := quoteOf(t, job(`"prefer":"bags","crew_time":true`))
	assert.Equal(t, "381.20", q.List.Currency.Format(q.Supply.Plan.Landed))
	assert.Equal(t, "38.00", q.List.Currency.Format(q.Supply.Plan.Handling))
	var crew *pricing.Line
	for i := range q.Lines {
		if q.Lines[i].Description == "Fetch and unload what is bought" {
			crew = &q.Lines[i]
		}
	}
	require.NotNil(t, crew)
	assert.Equal(t, "38.00", q.List.Currency.Format(crew.Amount))
	assert.Equal(t, plain.Totals.Labour+crew.Amount, q.Totals.Labour)
	// The same hour at what an hour costs in this job.
	q = quoteOf(t, stoneBed("1", `"supply":{"prefer":"bags","crew_time":true},"labour":{"hourly_cost":"50.00"}`))
	assert.Equal(t, "50.00", q.List.Currency.Format(q.Supply.Plan.Handling))
	assert.Equal(t, "393.20", q.List.Currency.Format(q.Supply.Plan.Landed))
	// 6 % of 319.20 is 19.15.
	q = quoteOf(t, job(`"prefer":"bags","tax":true`))
	assert.Equal(t, "362.35", q.List.Currency.Format(q.Supply.Plan.Landed))
	assert.Equal(t, plain.Totals.Price, q.Totals.Price, "what is counted for the choice is not charged twice")

	late := sampleWith(t, func(d *pricing.Document) {
		for i := range d.Offers {
			if d.Offers[i].Supplier != "shop" {
				d.Offers[i].LeadDays = decPointer("5")
			}
		}
	})
	q = quoteOf(t, job(`"within_days":4`), late)
	for _, b := range q.Supply.Plan.Purchases {
		assert.Equal(t, "shop", b.Supplier)
	}
	_, faults, err := ask(t, `{"requirements":[]}`)
	require.NoError(t, err)
	assert.NotEmpty(t, faults)
	walled := strings.Replace(job(`"within_days":4`), "pebble-20", "base-crushed", 1)
	gone := sampleWith(t, func(d *pricing.Document) {
		for i := range d.Offers {
			if d.Offers[i].Material == "base-crushed" {
				d.Offers[i].LeadDays = decPointer("5")
			}
		}
	})
	_, faults, err = ask(t, walled, gone)
	require.NoError(t, err)
	require.Len(t, faults, 1)
	assert.Equal(t, "/beds/0/stone/material", faults[0].Pointer)
	assert.Contains(t, faults[0].Detail, "within 4 days")

	two := `{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"beds":[{"id":"b","outline":{"kind":"rectangle","length":"9 ft","width":"4 ft"},"stone":{"material":"pebble-20","depth":"2 in"},
		"fabric":{"material":"fabric-nonwoven","under":"bed"}}],"supply":{"most_suppliers":1}}`
	_, faults, err = ask(t, two)
	require.NoError(t, err)
	if len(faults) > 0 {
		assert.Equal(t, []string{"/supply/most_suppliers no_offer"}, placed(faults))
	}
}

// The working of a chance is a line of a published table: in each case the share below the deviations that the working
// gives lies between two lines of the table.
func TestChancesAreThoseOfTheTable(t *testing.T) {
	t.Parallel()
	for z, below := range standardNormal {
		var at float64
		_, err := fmt.Sscan(z, &at)
		require.NoError(t, err)
		assert.InDelta(t, 1-below, float64(supply.Above(at)), 5.1e-5, z)
	}
}
