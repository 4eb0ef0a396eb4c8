package pricing_test

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate/document"
	"bedline/pricing"
	"bedline/pricing/money"
	"bedline/pricing/supply"
)

var background = context.Background()

func pooled(t require.TestingT, text string, list *pricing.List) (*pricing.Pool, []document.Fault) {
	root, err := document.Parse([]byte(text))
	require.NoError(t, err, text)
	p, faults, err := pricing.PoolSupply(background, new(supply.Workplace), pricing.Fixed(list), root, []byte(text))
	require.NoError(t, err, text)
	require.True(t, (p == nil) == (len(faults) > 0), "an answer or faults: %s", text)
	if p != nil {
		addsUp(t, p)
	}
	return p, faults
}

// poolOf buys for jobs given as quantities: "gravel 1 yd3, slab 30".
func poolOf(t require.TestingT, list *pricing.List, jobs ...string) *pricing.Pool {
	var parts []string
	for i, job := range jobs {
		var needs []string
		for one := range strings.SplitSeq(job, ", ") {
			material, quantity, _ := strings.Cut(one, " ")
			if strings.Contains(quantity, " ") {
				quantity = `"` + quantity + `"`
			}
			needs = append(needs, fmt.Sprintf(`{"material":%q,"quantity":%s}`, material, quantity))
		}
		parts = append(parts, fmt.Sprintf(`{"id":"job-%d","requirements":[%s]}`, i+1, strings.Join(needs, ",")))
	}
	p, faults := pooled(t, `{"jobs":[`+strings.Join(parts, ",")+`]}`, list)
	require.Empty(t, faults)
	return p
}

// addsUp holds the shares of any pool to its plan, to the cent and to the drop.
func addsUp(t require.TestingT, p *pricing.Pool) {
	var goods, delivery, adjustment, amount, apart money.Amount
	bought, required, byMaterial := map[string]float64{}, map[string]float64{}, map[string]money.Amount{}
	bySupplier := map[string]money.Amount{}
	for _, j := range p.Jobs {
		require.Equal(t, j.Goods+j.Delivery+j.Adjustment, j.Amount, "the parts of a job's share")
		var own money.Amount
		for _, m := range j.Materials {
			own += m.Amount
			byMaterial[m.Material.Key] += m.Amount
			bought[m.Material.Key] += m.Bought.Value
			required[m.Material.Key] += m.Required.Value
			require.GreaterOrEqual(t, int64(m.Amount), int64(0))
		}
		require.Equal(t, j.Goods, own, "the goods of a job")
		own = 0
		for _, d := range j.Deliveries {
			own += d.Amount
			bySupplier[d.Supplier] += d.Amount
		}
		require.Equal(t, j.Delivery, own, "the deliveries of a job")
		goods, delivery, adjustment, amount = goods+j.Goods, delivery+j.Delivery, adjustment+j.Adjustment, amount+j.Amount
		apart += j.Alone.Landed
		if p.Compared && p.Saved >= 0 {
			require.LessOrEqual(t, int64(j.Amount), int64(j.Alone.Landed), "no job pays more than alone")
			require.Equal(t, j.Alone.Landed-j.Amount, j.Saved)
		}
	}
	plan := &p.Supply.Plan
	require.Equal(t, plan.Goods, goods)
	require.Equal(t, plan.Delivery, delivery)
	require.Equal(t, money.Amount(0), adjustment)
	require.Equal(t, plan.Landed, amount)
	if p.Compared {
		require.Equal(t, apart, p.Apart)
		require.Equal(t, p.Apart-plan.Landed, p.Saved)
	}
	require.Len(t, byMaterial, len(p.Materials))
	for i, m := range p.Materials {
		key := m.Material.Key
		require.Equal(t, m.Amount, byMaterial[key])
		require.InEpsilon(t, m.Bought.Value, bought[key], 1e-9)
		require.InEpsilon(t, m.Required.Value, required[key], 1e-9)
		require.InDelta(t, float64(plan.Covers[i].Surplus), m.Surplus.Value, 1e-12)
	}
	for _, u := range plan.Suppliers {
		require.Equal(t, u.Charge, bySupplier[u.Supplier])
	}
}

// 1 yd3 and 0.5 yd3 of gravel. Alone: 1 yd3 = 27 ft3 is 36 bags at 4.98 = 179.28, or 1.5 yd3 in bulk 63.00 + 65.00 =
// 128.00; 0.5 yd3 = 13.5 ft3 is 18 bags = 89.64, or 128.00. 128.00 + 89.64 = 217.64. Together 1.5 yd3: 128.00. Saved 89.64.
// Goods 63.00 by 1 : 0.5 are 42.00 and 21.00; the drop 65.00 by 2 : 1 of the mass is 43.33 and 21.67.
func TestTwoJobsShareADropByHand(t *testing.T) {
	t.Parallel()
	p := poolOf(t, listFile(t, "pencil.json"), "gravel 1 yd3", "gravel 0.5 yd3")
	assert.Equal(t, money.Amount(12800), p.Supply.Plan.Landed)
	assert.Equal(t, money.Amount(21764), p.Apart)
	assert.Equal(t, money.Amount(8964), p.Saved)
	assert.Empty(t, p.Notices)
	for i, want := range []struct{ goods, delivery, amount, alone, saved money.Amount }{
		{4200, 4333, 8533, 12800, 4267}, {2100, 2167, 4267, 8964, 4697},
	} {
		j := p.Jobs[i]
		assert.Equal(t, want, struct{ goods, delivery, amount, alone, saved money.Amount }{j.Goods, j.Delivery, j.Amount, j.Alone.Landed, j.Saved})
		assert.Equal(t, money.Amount(0), j.Adjustment)
	}
	var words []string
	for _, w := range p.Jobs[1].Workings {
		words = append(words, w.Label+": "+w.Expression+" = "+w.Result)
	}
	assert.Equal(t, []string{
		"gravel from yard: 1.5 x 1 yd3 in bulk at 42.00 = 63.00, by 0.5 yd3 of 1.5 yd3 = 21.00",
		"delivery from yard: 1 drop 65.00, by 1350 lb of 4050 lb = 21.67",
		"share of job-2: 21.00 + 21.67 = 42.67",
	}, words)
}

// 20 yd3 of mulch (6000 lb) and 1 yd3 of grit (2700 lb) from the depot, which delivers for 100.00 or is gone to for 10.00 a
// cubic yard. Alone: 200.00 + 100.00 = 300.00 delivered; 20.00 + 10.00 = 30.00 fetched. Together all comes one way:
// 220.00 + 100.00 = 320.00, 10.00 less. By mass the grit would bear 100 x 2700 / 8700 = 31.03 of the drop and cost 51.03,
// more than alone: it pays 30.00, and the mulch bears the 21.03: 200.00 + 68.97 + 21.03 = 290.00.
func TestNoJobPaysMoreThanAlone(t *testing.T) {
	t.Parallel()
	p := poolOf(t, listFile(t, "pencil.json"), "mulch 20 yd3", "grit 1 yd3")
	assert.Equal(t, money.Amount(32000), p.Supply.Plan.Landed)
	assert.Equal(t, money.Amount(1000), p.Saved)
	mulch, grit := p.Jobs[0], p.Jobs[1]
	assert.Equal(t, []money.Amount{20000, 6897, 2103, 29000, 1000}, []money.Amount{mulch.Goods, mulch.Delivery, mulch.Adjustment, mulch.Amount, mulch.Saved})
	assert.Equal(t, []money.Amount{2000, 3103, -2103, 3000, 0}, []money.Amount{grit.Goods, grit.Delivery, grit.Adjustment, grit.Amount, grit.Saved})
	assert.Contains(t, p.Jobs[1].Workings[2].Label, "no job pays more than alone")
	assert.Equal(t, "30.00 - 51.03", p.Jobs[1].Workings[2].Expression)
	assert.Equal(t, "20.00 + 31.03 - 21.03", p.Jobs[1].Workings[3].Expression)
}

// 3 yd3 of chips (900 lb) and 1 yd3 of cobbles (2700 lb) from the cart. Alone: chips in one drop of 20.00 (three trips
// would be 30.00), cobbles in one trip of 10.00 (three drops would be 60.00): 30.00 + 20.00 and 20.00 + 10.00, 80.00 in all.
// Together one way: 3600 lb are four drops, 80.00; 4 yd3 are four trips, 40.00: 50.00 + 40.00 = 90.00. Trips are filled by
// volume, so it shares them: three and one.
func TestWhereBuyingApartIsCheaperThatIsSaid(t *testing.T) {
	t.Parallel()
	p := poolOf(t, listFile(t, "pencil.json"), "chips 3 yd3", "cobble 1 yd3")
	assert.Equal(t, money.Amount(9000), p.Supply.Plan.Landed)
	assert.Equal(t, money.Amount(-1000), p.Saved)
	require.Len(t, p.Notices, 1)
	assert.Equal(t, "apart_is_cheaper", p.Notices[0].Code)
	assert.Contains(t, p.Notices[0].Message, "costs 10.00 less")
	assert.Equal(t, []money.Amount{6000, -1000}, []money.Amount{p.Jobs[0].Amount, p.Jobs[0].Saved})
	assert.Equal(t, []money.Amount{3000, 0}, []money.Amount{p.Jobs[1].Amount, p.Jobs[1].Saved})
}

// The gift can be had only beside the other job's peat: 60.00 + 10.00, the drop shared by 1000 lb and 1000 lb.
func TestAJobThatCannotBeBoughtForAlone(t *testing.T) {
	t.Parallel()
	p := poolOf(t, listFile(t, "pencil.json"), "gift 1 yd3", "peat 1 yd3")
	assert.False(t, p.Compared)
	assert.Error(t, p.Jobs[0].Unavailable)
	assert.NoError(t, p.Jobs[1].Unavailable)
	assert.Equal(t, money.Amount(500), p.Jobs[0].Amount)
	assert.Equal(t, money.Amount(6500), p.Jobs[1].Amount)
}

// 11 and 11 pins of a bag of 50 at 9.80, and 3 jobs of one slab at 3.00 each: cents that do not divide.
func TestCentsGoToTheLargestRemainders(t *testing.T) {
	t.Parallel()
	list := listFile(t, "pencil.json")
	p := poolOf(t, list, "pin 11", "pin 11", "pin 11")
	// 9.80 / 3 = 3.2667: 3.27, 3.27, 3.26.
	assert.Equal(t, []money.Amount{327, 327, 326}, []money.Amount{p.Jobs[0].Goods, p.Jobs[1].Goods, p.Jobs[2].Goods})
	// 50 - 33 = 17 pins are left over, shared alike.
	assert.InDelta(t, 17.0/3, p.Jobs[0].Materials[0].Surplus.Value, 1e-12)
	// The shop's trip costs nothing and pins weigh nothing known: nothing to share, but each job is told of it.
	assert.Len(t, p.Jobs[2].Deliveries, 1)
}

func TestWholeJobsArePooledByWhatTheyRequire(t *testing.T) {
	t.Parallel()
	// 27 x 12 ft at 2 in are 2 yd3, see stoneBed.
	text := fmt.Sprintf(`{"jobs":[{"id":"a","job":%s},{"id":"b","requirements":[{"material":"pebble-20","quantity":"1 yd3"}]}],"supply":{"steps":true}}`, stoneBed("2", `"supply":{"prefer":"bags"}`, `"commercial":{"margin_percent":90}`))
	p, faults := pooled(t, text, pricing.Sample())
	require.Empty(t, faults)
	require.Len(t, p.Jobs[0].Materials, 1)
	assert.InDelta(t, 2, yd3(p.Jobs[0].Materials[0].Required.Value), 1e-9)
	assert.Nil(t, p.Jobs[0].Requirements)
	assert.Len(t, p.Jobs[1].Requirements, 1)
	assert.InDelta(t, 3, yd3(p.Materials[0].Required.Value), 1e-9)
	require.NotNil(t, p.Supply.Comparison[0].Steps)
	// North yard: 3 x 68.00 + 65.00 = 269.00 delivered; the stone yard, 3 yd3 = 7800 lb = 4 ton: 4 x 49.00 + 90.00 = 286.00.
	assert.Equal(t, money.Amount(26900), p.Supply.Plan.Landed)
	// The estimate of the job alone requires the same.
	q := quoteOf(t, stoneBed("2"))
	assert.Equal(t, q.Supply.Plan.Landed, p.Jobs[0].Alone.Landed)
}

func TestFaultsOfPooledJobsComeTogetherWithTheirPlaces(t *testing.T) {
	t.Parallel()
	list := pricing.Sample()
	bad := strings.Replace(stoneBed("2"), `"12 ft"`, `12`, 1)
	text := fmt.Sprintf(`{"jobs":[
		{"id":"a","job":%s},
		{"id":"a","requirements":[{"material":"pebble-2","quantity":"1 yd3"}]},
		{"id":"c"},
		{"id":"d","job":{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"}},"requirements":[]},
		{"id":"e","job":{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"}}},
		{"id":"f","job":%s},
		{"job":[]},
		{"id":"h","job":%s},
		7
	],"supply":{"prefer":"cheapest","step":true}}`, bad,
		strings.Replace(stoneBed("2"), `{"ground"`, `{"price_list":"winter","price_list_version":7,"ground"`, 1),
		strings.Replace(stoneBed("2"), `{"ground"`, `{"price_list":"standard","price_list_version":1,"ground"`, 1))
	_, faults := pooled(t, text, list)
	assert.Equal(t, []string{
		"/jobs/0/job/beds/0/outline/width unit_missing",
		"/jobs/1/id duplicate_id",
		"/jobs/1/requirements/0/material unknown_material",
		"/jobs/2/requirements missing",
		"/jobs/3/job conflict",
		"/jobs/4/job empty_job",
		"/jobs/5/job/price_list conflict",
		"/jobs/5/job/price_list_version conflict",
		"/jobs/6/job wrong_type",
		"/jobs/6/id missing",
		"/jobs/8 wrong_type",
		"/supply/step unknown_member",
	}, placed(faults))
	many := strings.TrimSuffix(strings.Repeat(`{},`, 21), ",")
	_, faults = pooled(t, `{"jobs":[`+many+`]}`, list)
	assert.Equal(t, []string{"/jobs out_of_range"}, placed(faults))
	_, faults = pooled(t, `{}`, list)
	assert.Equal(t, []string{"/jobs missing"}, placed(faults))
}

func TestWhatAPoolCannotBuyIsNamedInEveryJob(t *testing.T) {
	t.Parallel()
	without := sampleWith(t, func(d *pricing.Document) {
		kept := d.Offers[:0]
		for _, o := range d.Offers {
			if o.Material != "pebble-20" {
				kept = append(kept, o)
			}
		}
		d.Offers = kept
	})
	text := fmt.Sprintf(`{"jobs":[{"id":"a","job":%s},{"id":"b","requirements":[{"material":"slab-18","quantity":1},{"material":"pebble-20","quantity":"1 yd3"}]}]}`, stoneBed("2"))
	_, faults := pooled(t, text, without)
	assert.Equal(t, []string{"/jobs/0/job/beds/0/stone/material no_offer", "/jobs/1/requirements/1/material no_offer"}, placed(faults))
}

func TestTheTimeOfARequestEndsAPool(t *testing.T) {
	t.Parallel()
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	text := fmt.Sprintf(`{"jobs":[{"id":"a","job":%s}]}`, stoneBed("2"))
	root, err := document.Parse([]byte(text))
	require.NoError(t, err)
	p, faults, err := pricing.PoolSupply(ctx, new(supply.Workplace), pricing.Fixed(pricing.Sample()), root, []byte(text))
	assert.Nil(t, p)
	assert.Empty(t, faults)
	assert.ErrorIs(t, err, context.Canceled)
}

// drawPool is two to four jobs of up to four materials of the sample list.
func drawPool(t *rapid.T) []string {
	loose := []string{"pebble-20", "base-crushed", "sand-bedding", "bark-fine", "sand-polymeric", "topsoil"}
	units := []string{"slab-18", "edger-8x4", "pin-6", "fabric-woven"}
	jobs := make([]string, rapid.IntRange(2, 4).Draw(t, "jobs"))
	for i := range jobs {
		var needs []string
		for range rapid.IntRange(1, 4).Draw(t, "needs") {
			if rapid.Bool().Draw(t, "loose") {
				needs = append(needs, fmt.Sprintf("%s %d L", rapid.SampledFrom(loose).Draw(t, "material"), rapid.IntRange(1, 8000).Draw(t, "litres")))
			} else {
				needs = append(needs, fmt.Sprintf("%s %d", rapid.SampledFrom(units).Draw(t, "material"), rapid.IntRange(1, 200).Draw(t, "count")))
			}
		}
		jobs[i] = strings.Join(needs, ", ")
	}
	return jobs
}

// Shares add up (pooled holds every pool to it). And what the jobs bought apart can be bought together in the same ways:
// where all use each supplier in one way, buying together is no dearer, but for the cent that the rounding of each
// order line can make.
func TestPoolingIsNoDearerWhereSuppliersAreUsedInOneWay(t *testing.T) {
	t.Parallel()
	list := pricing.Sample()
	alike := 0
	rapid.Check(t, func(t *rapid.T) {
		p := poolOf(t, list, drawPool(t)...)
		if !p.Compared || !p.Supply.Plan.Optimal {
			return
		}
		ways, lines, same := map[string]supply.Way{}, 0, true
		for _, j := range p.Jobs {
			lines += len(j.Alone.Purchases)
			for _, u := range j.Alone.Suppliers {
				if way, ok := ways[u.Supplier]; ok && way != u.Way {
					same = false
				}
				ways[u.Supplier] = u.Way
			}
		}
		if same {
			alike++
			require.GreaterOrEqual(t, int64(p.Saved), -int64(lines))
		}
	})
	assert.Positive(t, alike)
}

// The order of the jobs changes no plan and no share but for cents that go to the first among equals.
func TestSharesDoNotDependOnTheOrderOfJobs(t *testing.T) {
	t.Parallel()
	list := pricing.Sample()
	rapid.Check(t, func(t *rapid.T) {
		jobs := drawPool(t)
		p := poolOf(t, list, jobs...)
		turned := append(append([]string{}, jobs[1:]...), jobs[0])
		q := poolOf(t, list, turned...)
		if !p.Supply.Plan.Settled || !q.Supply.Plan.Settled {
			return
		}
		require.Equal(t, p.Supply.Plan.Landed, q.Supply.Plan.Landed)
		require.Equal(t, p.Saved, q.Saved)
		cents := 2 * float64(len(p.Supply.Plan.Purchases)+len(p.Supply.Plan.Suppliers)+len(jobs))
		for i := range jobs {
			same := q.Jobs[(i+len(jobs)-1)%len(jobs)]
			require.Equal(t, p.Jobs[i].Alone.Landed, same.Alone.Landed)
			require.InDelta(t, float64(p.Jobs[i].Amount), float64(same.Amount), cents)
		}
	})
}

func FuzzPoolSupply(f *testing.F) {
	f.Add(`{"jobs":[{"id":"a","requirements":[{"material":"gravel","quantity":"1 yd3"}]},{"id":"b","requirements":[{"material":"gravel","quantity":"0.5 yd3"},{"material":"pin","quantity":11}]}],"supply":{"prefer":"bulk","steps":true}}`)
	f.Add(`{"jobs":[{"id":"a","job":{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"beds":[{"id":"b","outline":{"kind":"rectangle","length":"27 ft","width":"12 ft"},"stone":{"material":"gravel","depth":"2 in"}}]}}]}`)
	f.Add(`{"jobs":[{"id":"a","requirements":[{"material":"gift","quantity":"1 yd3"}]},{"id":"b","requirements":[{"material":"peat","quantity":"1 yd3"}]}]}`)
	list := listFile(f, "pencil.json")
	f.Fuzz(func(t *testing.T, text string) {
		root, err := document.Parse([]byte(text))
		if err != nil {
			return
		}
		p, faults, err := pricing.PoolSupply(background, new(supply.Workplace), pricing.Fixed(list), root, []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		if (p == nil) != (len(faults) > 0) {
			t.Fatalf("an answer %v beside %d faults", p != nil, len(faults))
		}
		if p != nil {
			addsUp(t, p)
		}
	})
}

// All sample jobs, bought for together: each requires and pays alone what its estimate says.
func TestSampleJobsArePooled(t *testing.T) {
	t.Parallel()
	files, err := filepath.Glob("../testdata/jobs/*.json")
	require.NoError(t, err)
	var parts []string
	var alone []money.Amount
	for _, file := range files {
		text := jobFile(t, filepath.Base(file))
		q, faults, err := ask(t, text)
		require.NoError(t, err)
		require.Empty(t, faults)
		// Jobs in doubt need a confidence in a pool.
		if q.Terms.Prefer != pricing.Cheapest || q.Supply.Short != nil || len(parts) == pricing.MostPooledJobs {
			continue
		}
		parts = append(parts, fmt.Sprintf(`{"id":"job-%d","job":%s}`, len(parts), text))
		alone = append(alone, q.Supply.Plan.Landed)
	}
	require.Greater(t, len(parts), 5)
	p, faults := pooled(t, `{"jobs":[`+strings.Join(parts, ",")+`]}`, pricing.Sample())
	require.Empty(t, faults)
	for i, j := range p.Jobs {
		assert.Equal(t, alone[i], j.Alone.Landed, j.Key)
	}
	t.Log(len(parts), p.Apart, p.Saved, p.Supply.Plan.Optimal)
}
