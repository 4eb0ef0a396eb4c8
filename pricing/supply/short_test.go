package supply_test

import (
	"math"
	"testing"

	"github.com/govalues/decimal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate/measure"
	"bedline/pricing/money"
	"bedline/pricing/supply"
)

// unitsOf is a market of one material in packs of one.
func unitsOf(quantity supply.Content, price string) supply.Problem {
	return supply.Problem{Currency: usd, Suppliers: []supply.Supplier{{Key: "shop"}}, Needs: one(quantity, bag("b", "shop", price, 1))}
}

// The newsvendor with normal demand of mean 50 and deviation 20, a cost of 5.00 and a price of 7.00 orders 38.68
// (calcfxc.com, "Newsvendor Model Calculator - Normal Distribution", its worked example). Here a unit not ordered is
// bought for 7.00 when it is wanted and one left over is worth nothing, so that too little costs 2.00 a unit and too
// much 5.00, as there: of whole units 39 is the first that holds the share of 2/7.
func TestNewsvendorOrdersAsPublished(t *testing.T) {
	t.Parallel()
	h, err := supply.Hedged(unitsOf(50, "5.00"), []supply.Tolerance{{Deviation: 20, TopUp: supply.TopUp{Content: 1, Price: 700}}})
	require.NoError(t, err)
	require.True(t, h.Proved)
	assert.InDelta(t, 39, float64(h.Plan.Covers[0].Bought), 1e-9)
	// Half of the cases are above the mean; (39 - 50) / 20 = -0.55, and the table of the normal distribution gives
	// 0.7088 for 0.55 (Abramowitz and Stegun, table 26.1).
	assert.InDelta(t, 0.7088, float64(h.Short), 5e-5)
	assert.Equal(t, money.Amount(39*500-50*500), h.Premium)
}

// The table of the normal distribution (Abramowitz and Stegun, table 26.1 and 26.5): 0.9 at 1.2816, 0.95 at 1.6449,
// 0.99 at 2.3263, 0.75 at 0.6745.
func TestConfidenceCoversTheQuantile(t *testing.T) {
	t.Parallel()
	for confidence, z := range map[supply.Chance]float64{0.9: 1.2816, 0.95: 1.6449, 0.99: 2.3263, 0.75: 0.6745, 0.5: 0} {
		h, err := supply.Confident(unitsOf(1000, "5.00"), []supply.Tolerance{{Deviation: 100, TopUp: supply.TopUp{Content: 1, Price: 900, Trip: 2000}}}, confidence)
		require.NoError(t, err)
		assert.InDelta(t, 1000+100*z, float64(h.Risks[0].Target), 0.006)
		assert.LessOrEqual(t, float64(h.Short), 1-float64(confidence)+1e-9)
		assert.EqualValues(t, 500*math.Ceil(100*z-1e-6), h.Premium)
	}
	// A half-width of 90 in 100 is 1.645 deviations.
	assert.InDelta(t, 10, float64(supply.NinetyPercent(16.45)), 1e-12)
}

func TestWithoutToleranceTheHedgeIsThePlan(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t, 5)
		plan, err := supply.Solve(p)
		if err != nil {
			t.Skip("nothing to be had")
		}
		none := make([]supply.Tolerance, len(p.Needs))
		h, err := supply.Hedged(p, none)
		require.NoError(t, err)
		require.Equal(t, plan, h.Plan)
		require.Equal(t, plan.Landed, h.Expected)
		require.Zero(t, h.Short)
		require.Zero(t, h.Premium)
		h, err = supply.Confident(p, none, 0.99)
		require.NoError(t, err)
		require.Equal(t, plan, h.Plan)
	})
}

// TestHedgesAreTheBestOfAllPurchases tries every number of packs of every offer, with the chances from the error function
// of the library.
func TestHedgesAreTheBestOfAllPurchases(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		p := supply.Problem{Currency: usd, Suppliers: []supply.Supplier{drawSupplier(t, "s0"), drawSupplier(t, "s1")}}
		tolerances := make([]supply.Tolerance, 2)
		for i := range 2 {
			n := supply.Need{Material: "m" + string(rune('0'+i)), Quantity: supply.Content(rapid.IntRange(3, 6).Draw(t, "quantity"))}
			for k := range 2 {
				o := drawOffer(t, "o"+string(rune('0'+2*i+k)), p.Suppliers)
				o.Content, o.Increment, o.Minimum = supply.Content(1+k), decimal.Decimal{}, decimal.Decimal{}
				o.Mass, o.Volume = measure.Mass(o.Content), measure.Volume(o.Content)
				n.Offers = append(n.Offers, o)
			}
			p.Needs = append(p.Needs, n)
			tolerances[i] = supply.Tolerance{
				Deviation: supply.Content(rapid.IntRange(0, 4).Draw(t, "deviation")) / 4,
				TopUp: supply.TopUp{Content: 1, Price: money.Amount(rapid.IntRange(100, 3000).Draw(t, "quick price")),
					Trip: money.Amount(rapid.IntRange(0, 3000).Draw(t, "quick trip"))},
			}
		}
		h, err := supply.Hedged(p, tolerances)
		if err != nil || !h.Proved {
			t.Skip("no plan")
		}
		risk := func(i, bought int) float64 {
			x := &tolerances[i]
			if x.Deviation == 0 {
				return 0
			}
			beyond := func(b float64) float64 {
				return 0.5 * math.Erfc((b-float64(p.Needs[i].Quantity))/float64(x.Deviation)/math.Sqrt2)
			}
			cost := beyond(float64(bought)) * float64(x.TopUp.Trip)
			for k := bought; k < bought+40; k++ {
				cost += beyond(float64(k)) * float64(x.TopUp.Price)
			}
			return cost
		}
		// The same places with nothing to be covered: what is rated is the cost alone.
		bare := p
		bare.Needs = nil
		for i, n := range p.Needs {
			n.Quantity = 0
			if tolerances[i].Deviation == 0 {
				n.Quantity = p.Needs[i].Quantity
			}
			bare.Needs = append(bare.Needs, n)
		}
		places := byKey(bare)
		best := math.Inf(1)
		steps := make([]int, 4)
		const most = 9
		for code := range most * most * most * most {
			for i, rest := 0, code; i < 4; i++ {
				steps[i] = rest % most
				rest /= most
			}
			w, ok := rate(bare, places, steps)
			a, b := steps[0]+2*steps[1], steps[2]+2*steps[3]
			// Hedged buys three deviations below the quantity at least.
			if !ok || float64(a) < math.Max(1, float64(p.Needs[0].Quantity-3*tolerances[0].Deviation)) || float64(b) < math.Max(1, float64(p.Needs[1].Quantity-3*tolerances[1].Deviation)) {
				continue
			}
			best = math.Min(best, float64(w.landed)+risk(0, a)+risk(1, b))
		}
		if math.IsInf(best, 1) {
			t.Skip("thresholds further than is looked")
		}
		require.LessOrEqual(t, float64(h.Expected), best+0.61)
		for _, s := range stepsOf(places, h.Plan) {
			if s >= most {
				t.Skip("further than is looked")
			}
		}
		require.InDelta(t, best, float64(h.Expected), 0.61)
	})
}

func TestQuickTopUpIsTheDearestThatCanBeFetched(t *testing.T) {
	t.Parallel()
	p := supply.Problem{
		Currency:  usd,
		Suppliers: []supply.Supplier{delivered("yard", 6500), pickedUp("shop", 1200)},
		Needs:     one(2, bulk("l", "yard", "90.00"), bag("b", "shop", "5.00", 0.1), bag("c", "shop", "4.80", 0.1)),
	}
	top, ok, err := supply.QuickTopUp(p, 0, 2850)
	require.NoError(t, err)
	require.True(t, ok)
	// 50.00 per unit against 48.00; a trip is 12.00 and the crew's 28.50.
	assert.Equal(t, supply.TopUp{Content: 0.1, Price: 500, Trip: 4050}, top)
	p.Needs[0].Offers = p.Needs[0].Offers[:1]
	top, ok, err = supply.QuickTopUp(p, 0, 2850)
	require.NoError(t, err)
	require.True(t, ok)
	// Half of one at 90.00.
	assert.Equal(t, supply.TopUp{Content: 0.5, Price: 4500, Trip: 9350}, top)
	p.Needs[0].Offers = nil
	_, ok, err = supply.QuickTopUp(p, 0, 0)
	require.NoError(t, err)
	assert.False(t, ok)
}

func TestSenselessTolerancesAreRefused(t *testing.T) {
	t.Parallel()
	p := unitsOf(5, "1.00")
	for name, list := range map[string][]supply.Tolerance{
		"none":                nil,
		"negative":            {{Deviation: -1}},
		"without a top-up":    {{Deviation: 1}},
		"not a number":        {{Deviation: supply.Content(math.NaN())}},
		"a price below zero":  {{Deviation: 1, TopUp: supply.TopUp{Content: 1, Price: -1}}},
		"a trip below zero":   {{Deviation: 1, TopUp: supply.TopUp{Content: 1, Trip: -1}}},
		"one too many of two": {{}, {}},
	} {
		_, err := supply.Hedged(p, list)
		var input *supply.InputError
		require.ErrorAs(t, err, &input, name)
	}
	for _, c := range []supply.Chance{0, 1, -1, supply.Chance(math.NaN())} {
		_, err := supply.Confident(p, make([]supply.Tolerance, 1), c)
		require.Error(t, err)
	}
}
