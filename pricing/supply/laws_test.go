package supply_test

import (
	"testing"

	"github.com/govalues/decimal"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/pricing/money"
	"bedline/pricing/supply"
)

// Two requirements bought together: what each plan buys can be bought at once, the loads of a supplier share its drops,
// and its goods together reach what they reached apart. Only a supplier that one plan has deliver and the other picks up
// at would have to change.
func TestTwoRequirementsTogetherAreNotDearerThanApart(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t, 6)
		if len(p.Needs) < 2 {
			t.Skip("one requirement")
		}
		first, second := p, p
		first.Needs, second.Needs = p.Needs[:1], p.Needs[1:]
		a, err := supply.Solve(first)
		if err != nil {
			t.Skip("the first can't be had")
		}
		b, err := supply.Solve(second)
		if err != nil {
			t.Skip("the second can't be had")
		}
		ways := map[string]supply.Way{}
		for _, u := range a.Suppliers {
			ways[u.Supplier] = u.Way
		}
		for _, u := range b.Suppliers {
			if way, ok := ways[u.Supplier]; ok && way != u.Way {
				t.Skip("a supplier used in two ways")
			}
		}
		together, err := supply.Solve(p)
		require.NoError(t, err)
		require.LessOrEqual(t, together.Bound, a.Landed+b.Landed)
		if together.Optimal {
			require.LessOrEqual(t, together.Landed, a.Landed+b.Landed)
		}
	})
}

// Prices, fees and amounts so many times as high make the plan so many times as dear, and no other.
func TestScaledPricesScaleTheCost(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t, 6)
		p.Tax = supply.Tax{}
		for i := range p.Needs {
			if p.Needs[i].Surplus.Per > 0 {
				p.Needs[i].Surplus.Per = 1
			}
		}
		// 2000 times the prices are whole cents for half a count, so that nothing is rounded.
		one := scaled(p, 2000)
		factor := rapid.Int64Range(2, 9).Draw(t, "factor")
		many := scaled(p, 2000*factor)
		a, err := supply.Solve(one)
		b, other := supply.Solve(many)
		if err != nil {
			require.Error(t, other)
			return
		}
		require.NoError(t, other)
		if a.Settled && b.Settled {
			require.EqualValues(t, int64(a.Landed)*factor, b.Landed)
			require.Equal(t, keysAndSteps(a), keysAndSteps(b))
		}
	})
}

func scaled(p supply.Problem, factor int64) supply.Problem {
	times := func(d decimal.Decimal) decimal.Decimal {
		product, err := d.Mul(decimal.MustNew(factor, 0))
		if err != nil {
			panic(err)
		}
		return product
	}
	q := p
	q.Suppliers, q.Needs = nil, nil
	for _, s := range p.Suppliers {
		s.MinimumOrder *= money.Amount(factor)
		if s.Delivery != nil {
			d := *s.Delivery
			d.Fee *= money.Amount(factor)
			d.FreeFrom *= money.Amount(factor)
			s.Delivery = &d
		}
		if s.PickUp != nil {
			d := *s.PickUp
			d.TripCost *= money.Amount(factor)
			d.Crew *= money.Amount(factor)
			s.PickUp = &d
		}
		q.Suppliers = append(q.Suppliers, s)
	}
	for _, n := range p.Needs {
		offers := n.Offers
		n.Offers, n.Surplus.Price = nil, times(n.Surplus.Price)
		for _, o := range offers {
			o.Price, o.Handling = times(o.Price), times(o.Handling)
			breaks := o.Breaks
			o.Breaks = nil
			for _, b := range breaks {
				o.Breaks = append(o.Breaks, supply.Break{From: b.From, Price: times(b.Price)})
			}
			n.Offers = append(n.Offers, o)
		}
		q.Needs = append(q.Needs, n)
	}
	return q
}

// Markets on which a careless split of the search once missed the optimum; the landed costs are those that glpsol and
// cbc, or the search without that split, prove.
func TestSplitSearchesMissNothing(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name   string
		p      supply.Problem
		landed money.Amount
	}{
		{"two offers of one content, held to a number of steps", yard(45, 3, 3, 9), 42793},
		{"bags beside bags of another supplier", atMost(2, yard(80, 3, 3, 9)), 42308},
		{"half steps beside bags", wholeMarket(176, 5, 3, 12), 30514},
		{"many trips", yard(46, 7, 4, 20), 61625},
		{"two suppliers do with a load that just fits", yard(27, 8, 5, 40), 76519},
		{"trips of four suppliers", wholeMarket(28, 8, 5, 40), 42976},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			c.p.Limits.Nodes = 1_000_000
			plan, err := supply.Solve(c.p)
			require.NoError(t, err)
			require.True(t, plan.Settled)
			require.Equal(t, c.landed, plan.Landed)
		})
	}
}

func atMost(suppliers int, p supply.Problem) supply.Problem {
	p.Limits.MaxSuppliers = suppliers
	return p
}
