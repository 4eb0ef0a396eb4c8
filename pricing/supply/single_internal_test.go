package supply

import (
	"testing"

	"github.com/govalues/decimal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestANeedAmongOthersIsComparedAsIfItWereAlone holds the plans of a break-even, which share the work that was done for
// the whole problem, to those of a problem of the one need.
func TestANeedAmongOthersIsComparedAsIfItWereAlone(t *testing.T) {
	t.Parallel()
	offer := func(key, supplier string, form Form, content Content, price string) Offer {
		return Offer{Key: key, Supplier: supplier, Form: form, Content: content, Mass: 20, Volume: 0.014, Price: decimal.MustParse(price)}
	}
	p := Problem{
		Suppliers: []Supplier{{Key: "yard", Delivery: &Delivery{Fee: 6500}}, {Key: "shop", PickUp: &PickUp{TripCost: 1200}}},
		Needs: []Need{
			{Material: "stone", Quantity: 40, Offers: []Offer{offer("stone-bag", "shop", Bag, 1, "4.98"), offer("stone-bulk", "yard", Bulk, 54, "42.00")}},
			{Material: "sand", Quantity: 7, Offers: []Offer{offer("sand-bag", "shop", Bag, 1, "3.10"), offer("sand-bulk", "yard", Bulk, 54, "30.00")}},
		},
	}
	p.Currency.Digits = 2
	whole, err := New(p)
	require.NoError(t, err)
	for i := range p.Needs {
		one := p
		one.Needs = p.Needs[i : i+1]
		alone, err := New(one)
		require.NoError(t, err)
		want, ok, err := alone.BreakEven(0, 100)
		require.NoError(t, err)
		require.True(t, ok)
		got, ok, err := whole.BreakEven(i, 100)
		require.NoError(t, err)
		require.True(t, ok)
		want.BagPlan.Nodes, want.BulkPlan.Nodes, got.BagPlan.Nodes, got.BulkPlan.Nodes = 0, 0, 0, 0
		assert.Equal(t, want, got)
	}
}
