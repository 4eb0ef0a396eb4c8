package money

import (
	"fmt"
	"math/big"

	"github.com/govalues/decimal"
)

// Most is the largest sum that the functions of this package give, in minor units: far enough from the end of int64
// for a few thousand of them to be added without overflow.
const Most Amount = 1e15

// Exact is a decimal as a fraction.
func Exact(d decimal.Decimal) *big.Rat {
	numerator := new(big.Int).SetUint64(d.Coef())
	if d.IsNeg() {
		numerator.Neg(numerator)
	}
	return new(big.Rat).SetFrac(numerator, power(d.Scale()))
}

// RoundExact is a fraction of minor units rounded to whole ones, halves away from zero. The error is ErrTooLarge
// beyond Most.
func RoundExact(minor *big.Rat) (Amount, error) {
	// floor(|n/d| + 1/2) = floor((2|n| + d) / 2d)
	twice := new(big.Int).Lsh(new(big.Int).Abs(minor.Num()), 1)
	twice.Add(twice, minor.Denom())
	twice.Quo(twice, new(big.Int).Lsh(minor.Denom(), 1))
	if !twice.IsInt64() || twice.Int64() > int64(Most) {
		return 0, fmt.Errorf("rounding to minor units: %w", ErrTooLarge)
	}
	if minor.Sign() < 0 {
		return Amount(-twice.Int64()), nil
	}
	return Amount(twice.Int64()), nil
}

// Percent is a percentage of an amount, rounded once.
func Percent(of Amount, percent decimal.Decimal) (Amount, error) {
	p := Exact(percent)
	return RoundExact(p.Mul(p, big.NewRat(int64(of), 100)))
}

// MarginOn is the profit that makes the given percentage of the price when it is added to the cost, rounded once:
// cost/(1 - m) - cost. The percentage is below 100.
//
// Source: markup = margin/(1 - margin), Centennial College Libraries, Math help: Markup (rates of markup on cost and
// on selling price).
func MarginOn(cost Amount, percent decimal.Decimal) (Amount, error) {
	rest := new(big.Rat).Sub(big.NewRat(100, 1), Exact(percent))
	if rest.Sign() <= 0 {
		return 0, fmt.Errorf("a margin of %s %% of the price leaves nothing for the cost", percent)
	}
	p := Exact(percent)
	return RoundExact(p.Mul(p.Quo(p, rest), big.NewRat(int64(cost), 1)))
}

func power(n int) *big.Int { return new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(n)), nil) }
