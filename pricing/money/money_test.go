package money_test

import (
	"errors"
	"math/big"
	"testing"

	"github.com/govalues/decimal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/pricing/money"
)

func currency(t require.TestingT, code string) money.Currency {
	c, err := money.ParseCurrency(code)
	require.NoError(t, err)
	return c
}

// Digits of minor units: ISO 4217:2015, table A.1 (from memory: USD 2, JPY 0, KWD 3, BHD 3, EUR 2, ISK 0).
func TestCurrencyHasTheMinorDigitsOfISO4217(t *testing.T) {
	t.Parallel()
	for code, digits := range map[string]int{"USD": 2, "EUR": 2, "NZD": 2, "JPY": 0, "ISK": 0, "KWD": 3, "BHD": 3} {
		assert.Equal(t, money.Currency{Code: code, Digits: digits}, currency(t, code))
	}
}

func TestCurrencyRefusesWhatIsNoCode(t *testing.T) {
	t.Parallel()
	for _, code := range []string{"", "usd", "US", "USDD", "QQQ", "$", "US D"} {
		_, err := money.ParseCurrency(code)
		assert.Error(t, err, code)
	}
}

// Streamlined Sales and Use Tax Agreement, sec. 324 (as enacted in R.I. Gen. Laws 44-18.1-25): carried to the third
// decimal, and rounded up to the next cent whenever the third decimal is greater than four.
func TestRoundingFollowsTheSalesTaxRule(t *testing.T) {
	t.Parallel()
	usd := currency(t, "USD")
	for text, cents := range map[string]money.Amount{
		"1.234": 123, "1.235": 124, "1.245": 125, "1.2449": 124, "1.244999999": 124, "0.005": 1, "0.004": 0,
		"2.675": 268, "10.125": 1013, "-1.235": -124, "-0.004": 0, "-0.005": -1, "7": 700, "0": 0,
	} {
		got, err := usd.Round(decimal.MustParse(text))
		require.NoError(t, err)
		assert.Equal(t, cents, got, text)
	}
}

// The examples of ASTM E29 (half to even, as restated in a state DOT Field Sampling and Testing Manual, rules A-C,
// and in Hartnell College, Rules for rounding off, III), beside what money needs. Only exact halves differ.
func TestMoneyRoundsHalvesUpWhereMeasurementsRoundThemToEven(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ exact, measurement, money string }{
		{"45.74", "45.7", "45.7"},
		{"45.76", "45.8", "45.8"},
		{"45.7500", "45.8", "45.8"},
		{"45.4500", "45.4", "45.5"},
		{"45.45001", "45.5", "45.5"},
		{"21.350", "21.4", "21.4"},
		{"21.45", "21.4", "21.5"},
		{"21.4501", "21.5", "21.5"},
	} {
		d := decimal.MustParse(c.exact)
		assert.Equal(t, c.measurement, d.Round(1).String(), "the published figure for %s", c.exact)
		got, err := money.RoundHalfAway(d, 1)
		require.NoError(t, err)
		assert.Equal(t, c.money, got.String(), c.exact)
	}
}

func TestAmountsAreWrittenWithTheDigitsOfTheCurrency(t *testing.T) {
	t.Parallel()
	assert.Equal(t, "1234.50", currency(t, "USD").Format(123450))
	assert.Equal(t, "-0.05", currency(t, "USD").Format(-5))
	assert.Equal(t, "123450", currency(t, "JPY").Format(123450))
	assert.Equal(t, "123.450", currency(t, "KWD").Format(123450))
	assert.Equal(t, "0.00", currency(t, "EUR").Format(0))
}

func TestTimesRoundsOnceInEveryCurrency(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		code, price, count string
		want               money.Amount
	}{
		{"USD", "38.00", "1.5", 5700},
		{"USD", "0.335", "3", 101}, // 1.005
		{"USD", "0.0049999999999999999", "1", 0},
		{"JPY", "990", "2.5", 2475},
		{"JPY", "33", "0.5", 17},
		{"KWD", "1.2345", "1", 1235},
		{"KWD", "12", "0.333333333333", 4000},
		{"USD", "-0.335", "3", -101},
	} {
		got, err := currency(t, c.code).Times(decimal.MustParse(c.price), decimal.MustParse(c.count))
		require.NoError(t, err)
		assert.Equal(t, c.want, got, "%s x %s %s", c.price, c.count, c.code)
	}
}

func TestTooMuchMoneyIsAnError(t *testing.T) {
	t.Parallel()
	usd := currency(t, "USD")
	_, err := usd.Round(decimal.MustParse("10000000000000.01"))
	assert.ErrorIs(t, err, money.ErrTooLarge)
	_, err = usd.Times(decimal.MustParse("9999999999"), decimal.MustParse("9999999999"))
	assert.ErrorIs(t, err, money.ErrTooLarge)
	_, err = money.Percent(money.Most, decimal.MustParse("100.1"))
	assert.True(t, errors.Is(err, money.ErrTooLarge))
	most, err := usd.Round(decimal.MustParse("10000000000000.00"))
	require.NoError(t, err)
	assert.Equal(t, money.Most, most)
}

func TestPercentIsRoundedOnce(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		of      money.Amount
		percent string
		want    money.Amount
	}{
		{10000, "6", 600}, {1050, "5", 53}, {1049, "5", 52}, {1, "50", 1}, {-1050, "5", -53}, {0, "20", 0}, {12345, "7.25", 895},
	} {
		got, err := money.Percent(c.of, decimal.MustParse(c.percent))
		require.NoError(t, err)
		assert.Equal(t, c.want, got, "%s %% of %d", c.percent, c.of)
	}
}

// The margins that equal a markup of 25, 33 1/3, 50, 66 2/3 and 100 per cent are 20, 25, 33 1/3, 40 and 50 (algebra:
// margin = markup/(1 + markup); formulas in Centennial College Libraries, Math help: Markup).
func TestMarginIsAShareOfThePrice(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		margin string
		profit money.Amount // on 300.00
	}{{"20", 7500}, {"25", 10000}, {"40", 20000}, {"50", 30000}, {"0", 0}, {"99.99", 299970000}} {
		got, err := money.MarginOn(30000, decimal.MustParse(c.margin))
		require.NoError(t, err)
		assert.Equal(t, c.profit, got, c.margin)
	}
	for _, margin := range []string{"100", "120"} {
		_, err := money.MarginOn(30000, decimal.MustParse(margin))
		assert.Error(t, err, margin)
	}
}

func drawDecimal(t *rapid.T, name string, least int64) decimal.Decimal {
	scale := rapid.IntRange(0, 19).Draw(t, name+" scale")
	return decimal.MustNew(rapid.Int64Min(least).Draw(t, name), scale)
}

// halfAway is the reference: the whole number nearest to x, of two the one further from zero, by long division.
func halfAway(x *big.Rat) *big.Int {
	quotient, rest := new(big.Int).QuoRem(x.Num(), x.Denom(), new(big.Int))
	if rest.Abs(rest).Lsh(rest, 1).Cmp(x.Denom()) >= 0 {
		quotient.Add(quotient, big.NewInt(int64(x.Sign())))
	}
	return quotient
}

func minor(t *rapid.T, text string, digits int) *big.Rat {
	x, ok := new(big.Rat).SetString(text)
	require.True(t, ok)
	for range digits {
		x.Mul(x, big.NewRat(10, 1))
	}
	return x
}

func TestProductsAgreeWithBigFractions(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		c := currency(t, rapid.SampledFrom([]string{"USD", "JPY", "KWD"}).Draw(t, "currency"))
		price, count := drawDecimal(t, "price", -1<<62), drawDecimal(t, "count", -1<<62)
		exact := minor(t, price.String(), c.Digits)
		other, _ := new(big.Rat).SetString(count.String())
		want := halfAway(exact.Mul(exact, other))
		got, err := c.Times(price, count)
		if new(big.Int).Abs(want).Cmp(big.NewInt(int64(money.Most))) > 0 {
			require.ErrorIs(t, err, money.ErrTooLarge)
			return
		}
		require.NoError(t, err)
		require.Equal(t, want.Int64(), int64(got))
	})
}

func TestRoundingAgreesWithBigFractions(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		d, digits := drawDecimal(t, "d", -1<<62), rapid.IntRange(0, 6).Draw(t, "digits")
		got, err := money.RoundHalfAway(d, digits)
		require.NoError(t, err)
		require.Equal(t, halfAway(minor(t, d.String(), digits)).String(), halfAway(minor(t, got.String(), digits)).String())
		require.LessOrEqual(t, got.Trim(0).Scale(), digits)
	})
}

func TestAmountsSurviveWritingAndReading(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		c := currency(t, rapid.SampledFrom([]string{"USD", "JPY", "KWD"}).Draw(t, "currency"))
		a := money.Amount(rapid.Int64Range(-int64(money.Most), int64(money.Most)).Draw(t, "amount"))
		back, err := c.Round(decimal.MustParse(c.Format(a)))
		require.NoError(t, err)
		require.Equal(t, a, back)
	})
}
