package supply_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/pricing/supply"
)

func planOf(t *testing.T, p supply.Problem) supply.Plan {
	t.Helper()
	plan, err := supply.Solve(p)
	require.NoError(t, err)
	return plan
}

// Nasty markets are proved, and what their plans cost is what the definitions make of the purchases. That nothing costs less
// the solvers show (see the head of solvers_test.go).
func TestNastyMarketsAreProved(t *testing.T) {
	t.Parallel()
	for k, kind := range slices.Concat(nasty, loadGroups, leftovers) {
		t.Run(kind.name, func(t *testing.T) {
			t.Parallel()
			for i := range uint64(3) {
				p := kind.draw(rand.New(rand.NewPCG(i, uint64(k))))
				p.Limits.Nodes = 1_000_000
				plan := planOf(t, p)
				require.True(t, plan.Optimal, "%d: gap %d", i, plan.Gap())
				require.True(t, shows(p, plan), "%d: %+v", i, plan.Purchases)
			}
		})
	}
}

// The same plan costs its handling and taxes more: 24 bags at 5.00 are 120.00, with 8.25 % 9.90 and 24 times 0.40 for
// carrying; the drop of 65.00 bears 10 %.
func TestHandlingAndTaxesAreSaidApart(t *testing.T) {
	t.Parallel()
	p := unitsOf(24, "5.00")
	p.Suppliers[0] = delivered("shop", 6500)
	p.Needs[0].Offers[0].Handling = dec("0.40")
	p.Tax.Goods, p.Tax.Delivery = dec("0.0825"), dec("0.1")
	plan := planOf(t, p)
	assert.EqualValues(t, 12000, plan.Goods)
	assert.EqualValues(t, 6500, plan.Delivery)
	assert.EqualValues(t, 960, plan.Handling)
	assert.EqualValues(t, 990+650, plan.Tax)
	assert.EqualValues(t, 12000+6500+960+990+650, plan.Landed)
	assert.EqualValues(t, 650, plan.Suppliers[0].Tax)

	p.Needs[0].Offers[0].LeadDays, p.Limits.LeadDays = 4, 3
	_, err := supply.Solve(p)
	require.Error(t, err)
	p.Limits.LeadDays = 4
	planOf(t, p)
	p.Tax.Goods = dec("1.5")
	_, err = supply.Solve(p)
	require.ErrorContains(t, err, "tax on goods")
}
