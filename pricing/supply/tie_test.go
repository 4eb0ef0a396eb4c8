package supply_test

import (
	"testing"

	"github.com/govalues/decimal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/pricing/supply"
)

// TestATieInSurplusOfSeveralTimesTheNeedIsATie: goods of 3.00 make the delivery free. 10 half packs at 0.50 and 2 at 0.502
// are 2.50 + 0.50, 9 and 3 are 2.25 + 0.75 (0.753 rounded); both are 6 packs and exceed the needs by 4 + 0 and 3.5 + 0.5
// times. The one that buys more of the offer whose key sorts first is taken.
func TestATieInSurplusOfSeveralTimesTheNeedIsATie(t *testing.T) {
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
