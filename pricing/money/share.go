package money

import (
	"cmp"
	"math"
	"math/big"
	"slices"
)

// Share splits a total in proportion to the weights by the method of the largest remainder: every part is the exact
// one rounded towards zero, and the minor units left over go one each to the parts that lost most, to the first
// among equals. The parts add up to the total. A total below zero is split like one above.
//
// Weights below zero count as zero. If all are zero, all parts are equal but for the units left over. Without
// weights there are no parts.
func Share(total Amount, weights []Amount) []Amount {
	exact := make([]*big.Int, len(weights))
	for i, w := range weights {
		exact[i] = big.NewInt(int64(max(0, w)))
	}
	return share(total, exact)
}

// ShareBy is Share by measured quantities, each taken as the exact value of the float64. Infinite weights and NaN
// count as zero.
func ShareBy(total Amount, weights []float64) []Amount {
	// The least power of two makes every weight a whole number: only their proportion matters.
	least := math.MaxInt
	mantissas, exponents := make([]*big.Int, len(weights)), make([]int, len(weights))
	for i, w := range weights {
		mantissas[i] = new(big.Int)
		if w <= 0 || w != w || math.IsInf(w, 0) {
			continue
		}
		fraction, exponent := math.Frexp(w)
		mantissas[i].SetInt64(int64(fraction * (1 << 53)))
		exponents[i] = exponent
		least = min(least, exponent)
	}
	for i, m := range mantissas {
		if m.Sign() > 0 {
			m.Lsh(m, uint(exponents[i]-least))
		}
	}
	return share(total, mantissas)
}

func share(total Amount, weights []*big.Int) []Amount {
	if len(weights) == 0 {
		return nil
	}
	sum := new(big.Int)
	for _, w := range weights {
		sum.Add(sum, w)
	}
	if sum.Sign() == 0 {
		for i := range weights {
			weights[i] = big.NewInt(1)
		}
		sum.SetInt64(int64(len(weights)))
	}
	whole := new(big.Int).Abs(big.NewInt(int64(total)))
	left := new(big.Int).Set(whole)
	parts := make([]*big.Int, len(weights))
	lost := make([]*big.Int, len(weights))
	order := make([]int, len(weights))
	for i, w := range weights {
		parts[i], lost[i] = new(big.Int).QuoRem(new(big.Int).Mul(whole, w), sum, new(big.Int))
		left.Sub(left, parts[i])
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(lost[b].Cmp(lost[a]), 0) })
	for _, i := range order[:left.Int64()] { // fewer than the weights
		parts[i].Add(parts[i], big.NewInt(1))
	}
	out := make([]Amount, len(parts))
	for i, p := range parts {
		if total < 0 {
			p.Neg(p)
		}
		out[i] = Amount(p.Int64())
	}
	return out
}
