package locale

import (
	"math"
	"strings"

	"github.com/govalues/decimal"

	"bedline/estimate/measure"
)

// Whole writes a whole number: "1,234".
func (l *Locale) Whole(n int) string { return l.digits(decimal.MustNew(int64(n), 0).String()) }

// Number writes a number rounded half away from zero to so many digits after the point at most, without trailing
// zeros: "1,234.5". NaN is 0.
func (l *Locale) Number(v float64, digits int) string {
	return l.digits(measure.FormatNumber(v, digits))
}

// Decimal writes a decimal number exactly, without trailing zeros.
func (l *Locale) Decimal(d decimal.Decimal) string { return l.digits(d.Trim(0).String()) }

// Percent writes a number of per cent exactly, without trailing zeros: 8.25 is "8.25%".
func (l *Locale) Percent(d decimal.Decimal) string { return l.Say("number.percent", "n", l.Decimal(d)) }

// PercentOf writes a share in per cent with so many digits after the point at most: 0.0825 is "8.3%" with one.
func (l *Locale) PercentOf(share float64, digits int) string {
	return l.Say("number.percent", "n", l.Number(share*100, digits))
}

// digits is a decimal number as the locale writes it: from "1234.5" to "1,234.5". Anything else stays as it is.
func (l *Locale) digits(s string) string {
	whole, fraction, point := strings.Cut(s, ".")
	whole, minus := strings.CutPrefix(whole, "-")
	if !isDigits(whole) || point && !isDigits(fraction) {
		return s
	}
	var b strings.Builder
	if minus {
		b.WriteString(l.messages()["number.minus"])
	}
	for i := range len(whole) {
		if i > 0 && (len(whole)-i)%3 == 0 {
			b.WriteString(l.messages()["number.group"])
		}
		b.WriteByte(whole[i])
	}
	if point {
		b.WriteString(l.messages()["number.point"])
		b.WriteString(fraction)
	}
	return b.String()
}

func isDigits(s string) bool {
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return s != ""
}

// places are the digits after the point that a value takes: some, more where it has fewer significant digits so.
func places(v float64, some, significant int) int {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return some
	}
	return max(some, significant-1-int(math.Floor(math.Log10(math.Abs(v)))))
}
