// Package money holds exact amounts of a currency.
//
// An Amount is a whole number of minor units (cents). Unit prices, rates and percentages are decimals. There is one
// rounding from decimals to amounts, half away from zero (as sales-tax law rounds), and it lives here.
package money

import (
	"errors"
	"fmt"
	"math/big"
	"math/bits"

	"github.com/bojanz/currency"
	"github.com/govalues/decimal"
)

// Amount is a sum of money in minor units of its currency.
type Amount int64

// ErrTooLarge says that a result has more digits than an Amount or a decimal holds.
var ErrTooLarge = errors.New("amount too large")

// Currency is an ISO 4217 currency.
type Currency struct {
	Code   string
	Digits int // number of minor digits: 2 for USD, 0 for JPY, 3 for KWD
}

// ParseCurrency looks up an ISO 4217 code in capitals.
func ParseCurrency(code string) (Currency, error) {
	digits, ok := currency.GetDigits(code)
	if !ok {
		return Currency{}, fmt.Errorf("%q is not an ISO 4217 currency code", code)
	}
	return Currency{Code: code, Digits: int(digits)}, nil
}

// Round is d in whole minor units, halves away from zero. The error is ErrTooLarge beyond Most.
func (c Currency) Round(d decimal.Decimal) (Amount, error) { return c.round(Exact(d)) }

func (c Currency) round(x *big.Rat) (Amount, error) {
	minor := new(big.Rat).SetInt(power(c.Digits))
	a, err := RoundExact(minor.Mul(minor, x))
	if err != nil {
		return 0, fmt.Errorf("an amount in %s: %w", c.Code, err)
	}
	return a, nil
}

// Decimal is the amount as a decimal with exactly the minor digits of the currency.
func (c Currency) Decimal(a Amount) decimal.Decimal { return decimal.MustNew(int64(a), c.Digits) }

// Format is the amount as a decimal string with exactly the minor digits of the currency: "1234.50".
func (c Currency) Format(a Amount) string { return c.Decimal(a).String() }

// Times is price x count, rounded once from the exact product. The error is ErrTooLarge beyond Most.
func (c Currency) Times(price, count decimal.Decimal) (Amount, error) {
	if minor, ok := c.timesFast(price, count); ok {
		return minor, nil
	}
	p := Exact(price)
	return c.round(p.Mul(p, Exact(count)))
}

// timesFast does without fractions when the digits of the product fit into 64 bits.
func (c Currency) timesFast(price, count decimal.Decimal) (Amount, bool) {
	hi, product := bits.Mul64(price.Coef(), count.Coef())
	drop := price.Scale() + count.Scale() - c.Digits
	if hi != 0 || drop < 0 || drop >= len(powers) {
		return 0, false
	}
	minor, rest := product/powers[drop], product%powers[drop]
	if rest >= powers[drop]-rest {
		minor++
	}
	if minor > uint64(Most) {
		return 0, false
	}
	if price.IsNeg() != count.IsNeg() {
		return -Amount(minor), true
	}
	return Amount(minor), true
}

var powers = [...]uint64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18}

// RoundHalfAway rounds d to the given number of digits after the point, from 0 to 18, halves away from zero. Rounding
// half to even, as decimal.Round does and ASTM E29 asks of measurements, is wrong for money: the Streamlined Sales and
// Use Tax Agreement, sec. 324, rounds up whenever the third decimal is above four.
func RoundHalfAway(d decimal.Decimal, digits int) (decimal.Decimal, error) {
	if d.Scale() <= digits {
		return d, nil
	}
	truncated := d.Trunc(digits)
	rest, err := d.Sub(truncated)
	if err != nil {
		return decimal.Decimal{}, fmt.Errorf("rounding %s: %w", d, err)
	}
	half := decimal.MustNew(5, digits+1)
	if rest.Abs().Less(half) {
		return truncated, nil
	}
	step := decimal.MustNew(1, digits).CopySign(d)
	up, err := truncated.Add(step)
	if err != nil {
		return decimal.Decimal{}, fmt.Errorf("rounding %s: %w", d, err)
	}
	return up, nil
}
