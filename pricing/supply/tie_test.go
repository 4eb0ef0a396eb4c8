package supply_test

import (
	"testing"

	"github.com/govalues/decimal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate/measure"
	"bedline/pricing/supply"
)

// TestItem35ATieInSurplusOfSeveralTimesTheNeedIsATie: goods of 3.00 make the delivery free. 10 half packs at 0.50 and 2 at 0.502
// are 2.50 + 0.50, 9 and 3 are 2.25 + 0.75 (0.753 rounded); both are 6 packs and exceed the needs by 4 + 0 and 3.5 + 0.5
// times. The one that buys more of the offer whose key sorts first is taken.
func TestItem35ATieInSurplusOfSeveralTimesTheNeedIsATie(t *testing.T) {
	t.Parallel()
	half := decimal.MustParse("0.5")
	p := supply.Problem{
		Suppliers: []supply.Supplier{{Key: "yard", Delivery: &supply.Delivery{Fee: 200, Payload: 3, FreeFrom: 300}}},
		Needs: []supply.Need{
			{Material: "sand", Quantity: 1, Offers: []supply.Offer{{Key: "b", Supplier: "yard", Form: supply.Bag, Content: 1, Price: decimal.MustParse("0.502"), Increment: half}}},
			{Material: "stone", Quantity: 2, Offers: []supply.Offer{{Key: "a", Supplier: "yard", Form: supply.Bag, Content: 2, Price: decimal.One, Increment: half,
				Breaks: []supply.Break{{From: decimal.Two, Price: half}}}}},
		},
	}
	p.Currency.Digits = 2
	plan, err := supply.Solve(p)
	require.NoError(t, err)
	require.True(t, plan.Settled)
	require.Len(t, plan.Purchases, 2)
	steps := map[string]int{}
	for _, b := range plan.Purchases {
		steps[b.Offer] = b.Steps
	}
	assert.Equal(t, map[string]int{"a": 10, "b": 2}, steps)
	assert.EqualValues(t, 300, plan.Landed)
}

// Of plans of one cost the one with the fewest drops and trips is taken, then the fewest packs, then the least surplus,
// then by offer key.
func TestItem35TiesAreBrokenInTheStatedOrder(t *testing.T) {
	t.Parallel()
	offer := func(key, supplier string, content supply.Content, price string) supply.Offer {
		return supply.Offer{Key: key, Supplier: supplier, Form: supply.Bag, Content: content, Mass: measure.Mass(content), Price: decimal.MustParse(price)}
	}
	free := func(key string, payload measure.Mass) supply.Supplier {
		return supply.Supplier{Key: key, Delivery: &supply.Delivery{Payload: payload}}
	}
	for name, c := range map[string]struct {
		suppliers []supply.Supplier
		need      supply.Content
		offers    []supply.Offer
		takes     string
	}{
		"one drop before two, though the key sorts later": {[]supply.Supplier{free("near", 1), free("yard", 0)}, 2,
			[]supply.Offer{offer("a", "near", 2, "5"), offer("b", "yard", 2, "5")}, "b"},
		"one pack before two, though the key sorts later": {[]supply.Supplier{free("yard", 0)}, 2,
			[]supply.Offer{offer("a", "yard", 1, "2.50"), offer("b", "yard", 2, "5")}, "b"},
		"the pack that leaves less, though the key sorts later": {[]supply.Supplier{free("yard", 0)}, 2,
			[]supply.Offer{offer("a", "yard", 3, "5"), offer("b", "yard", 2, "5")}, "b"},
		"the key that sorts first, all else equal": {[]supply.Supplier{free("yard", 0)}, 2,
			[]supply.Offer{offer("b", "yard", 2, "5"), offer("a", "yard", 2, "5")}, "a"},
		"cost before all of these": {[]supply.Supplier{free("near", 1), free("yard", 0)}, 2,
			[]supply.Offer{offer("a", "near", 1, "2.49"), offer("b", "yard", 2, "5")}, "a"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			p := supply.Problem{Suppliers: c.suppliers, Needs: []supply.Need{{Material: "stone", Quantity: c.need, Offers: c.offers}}}
			p.Currency.Digits = 2
			plan, err := supply.Solve(p)
			require.NoError(t, err)
			require.Len(t, plan.Purchases, 1)
			assert.Equal(t, c.takes, plan.Purchases[0].Offer)
		})
	}
}
