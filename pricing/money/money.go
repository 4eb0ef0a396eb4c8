// Package money holds exact amounts of a currency.
//
// An Amount is a whole number of minor units (cents). Unit prices, rates and percentages are decimals. There is one
// rounding from decimals to amounts, half away from zero (as sales-tax law rounds), and it lives here.
package money

import (
	"errors"
	"fmt"

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

// Round is d in whole minor units, halves away from zero.
func (c Currency) Round(d decimal.Decimal) (Amount, error) {
	rounded, err := RoundHalfAway(d, c.Digits)
	if err != nil {
		return 0, err
	}
	scaled := rounded.Pad(c.Digits)
	if scaled.Scale() != c.Digits {
		return 0, fmt.Errorf("rounding %s to %s: %w", d, c.Code, ErrTooLarge)
	}
	minor := int64(scaled.Coef())
	if minor < 0 || scaled.Coef() > 1<<62 {
		return 0, fmt.Errorf("rounding %s to %s: %w", d, c.Code, ErrTooLarge)
	}
	if scaled.IsNeg() {
		minor = -minor
	}
	return Amount(minor), nil
}

// Decimal is the amount as a decimal with exactly the minor digits of the currency.
func (c Currency) Decimal(a Amount) decimal.Decimal { return decimal.MustNew(int64(a), c.Digits) }

// Format is the amount as a decimal string with exactly the minor digits of the currency: "1234.50".
func (c Currency) Format(a Amount) string { return c.Decimal(a).String() }

// Times is price x count, rounded once.
func (c Currency) Times(price, count decimal.Decimal) (Amount, error) {
	product, err := price.Mul(count)
	if err != nil {
		return 0, fmt.Errorf("%s x %s: %w: %w", price, count, ErrTooLarge, err)
	}
	return c.Round(product)
}

// RoundHalfAway rounds d to the given number of digits after the point, halves away from zero.
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
