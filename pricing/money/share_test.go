package money_test

import (
	"math"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/pricing/money"
)

func TestShareGivesTheUnitsLeftOverToThePartsThatLostMost(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		total   money.Amount
		weights []money.Amount
		want    []money.Amount
	}{
		"a third each, the cent to the first":       {1000, []money.Amount{1, 1, 1}, []money.Amount{334, 333, 333}},
		"two cents to the first two of three":       {1001, []money.Amount{7, 7, 7}, []money.Amount{334, 334, 333}},
		"the largest remainder, not the first part": {100, []money.Amount{10, 10, 13}, []money.Amount{30, 30, 40}}, // 30.30 30.30 39.39
		"a weight of zero gets nothing":             {5, []money.Amount{0, 1}, []money.Amount{0, 5}},
		"less than one unit each":                   {1, []money.Amount{1, 2, 2}, []money.Amount{0, 1, 0}},
		"a negative total like a positive one":      {-1000, []money.Amount{1, 1, 1}, []money.Amount{-334, -333, -333}},
		"nothing to share":                          {0, []money.Amount{3, 4}, []money.Amount{0, 0}},
		"no weight at all: equal parts":             {3, []money.Amount{0, 0}, []money.Amount{2, 1}},
		"a weight below zero counts as zero":        {9, []money.Amount{-5, 1}, []money.Amount{0, 9}},
		"nobody to share with":                      {9, nil, nil},
		"far beyond 64 bits in between":             {1e15, []money.Amount{1e15, 2e15}, []money.Amount{333333333333333, 666666666666667}},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			assert.Equal(t, c.want, money.Share(c.total, c.weights))
		})
	}
}

// The seats of a textbook election by the largest remainder: 100,000 votes in six lists, ten seats (the example in
// the usual accounts of Hamilton's method, from memory: 47,000, 16,000, 15,800, 12,000, 6,100, 3,100 give 5, 2, 1, 1, 1, 0).
func TestShareIsHamiltonsMethod(t *testing.T) {
	t.Parallel()
	assert.Equal(t, []money.Amount{5, 2, 1, 1, 1, 0}, money.Share(10, []money.Amount{47000, 16000, 15800, 12000, 6100, 3100}))
}

func TestShareByTakesMeasuredWeights(t *testing.T) {
	t.Parallel()
	assert.Equal(t, []money.Amount{334, 333, 333}, money.ShareBy(1000, []float64{0.1, 0.1, 0.1}))
	assert.Equal(t, []money.Amount{0, 100}, money.ShareBy(100, []float64{5e-324, 1.7e308}))
	assert.Equal(t, []money.Amount{0, 0, 0, 7}, money.ShareBy(7, []float64{math.NaN(), math.Inf(1), -3, 0.25}))
	assert.Equal(t, []money.Amount{4, 3}, money.ShareBy(7, []float64{0, 0}))
	assert.Nil(t, money.ShareBy(7, nil))
}

func TestSharesAddUpAndAreWithinOneUnitOfTheExactPart(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		total := money.Amount(rapid.Int64Range(-1e12, 1e12).Draw(t, "total"))
		weights := rapid.SliceOfN(rapid.Float64Range(0, 1e6), 1, 12).Draw(t, "weights")
		parts := money.ShareBy(total, weights)
		require.Len(t, parts, len(weights))
		sum, sumWeights := money.Amount(0), new(big.Rat)
		for i, w := range weights {
			sum += parts[i]
			sumWeights.Add(sumWeights, new(big.Rat).SetFloat64(w))
		}
		require.Equal(t, total, sum)
		if sumWeights.Sign() == 0 {
			return
		}
		for i, w := range weights {
			exact := new(big.Rat).Mul(big.NewRat(int64(total), 1), new(big.Rat).SetFloat64(w))
			exact.Quo(exact, sumWeights)
			off := exact.Sub(exact, big.NewRat(int64(parts[i]), 1))
			require.Negative(t, off.Abs(off).Cmp(big.NewRat(1, 1)), "part %d", i)
		}
	})
}

func TestShareIsShareByOfTheSameWeights(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		total := money.Amount(rapid.Int64Range(-1e12, 1e12).Draw(t, "total"))
		whole := rapid.SliceOfN(rapid.Int64Range(0, 1<<50), 1, 12).Draw(t, "weights")
		amounts, floats := make([]money.Amount, len(whole)), make([]float64, len(whole))
		for i, w := range whole {
			amounts[i], floats[i] = money.Amount(w), float64(w)
		}
		require.Equal(t, money.Share(total, amounts), money.ShareBy(total, floats))
	})
}

func BenchmarkTimes(b *testing.B) {
	c := currency(b, "USD")
	price, count := money.Currency{Digits: 4}.Decimal(380000), money.Currency{Digits: 1}.Decimal(15)
	for b.Loop() {
		if _, err := c.Times(price, count); err != nil {
			b.Fatal(err)
		}
	}
}
