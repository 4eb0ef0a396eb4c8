package pricing

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/govalues/decimal"

	"bedline/estimate/document"
	"bedline/estimate/measure"
	"bedline/pricing/money"
)

// Codes of the faults of a price list, beside those of package document.
const (
	CodeDuplicate     = "duplicate"       // a key, name or rate that is there already
	CodeConflict      = "conflict"        // two members that exclude each other
	CodeUnknownKey    = "unknown_key"     // the key of something that the list does not have
	CodeWrongKind     = "wrong_kind"      // a quantity that cannot be counted in what is asked for
	CodeTooManyDigits = "too_many_digits" // a number with more digits than the list keeps
	CodeNotRising     = "not_rising"      // a break that does not come after the one before
	CodeBadDate       = "bad_date"        // no day of the calendar
)

// Limits on the digits of numbers. They fit a price into numeric(12,4) and every other number into numeric(10,6).
const (
	PriceWhole     = 8 // digits of a price before the point
	PriceFraction  = 4 // and after it; amounts have the minor digits of the currency instead
	NumberWhole    = 4 // digits of any other number before the point; none is above 1000
	NumberFraction = 6
)

// fault notes a fault with a right text as the example.
func (c *compiler) fault(pointer, code, detail, example string) {
	c.faults = append(c.faults, document.Fault{Pointer: pointer, Code: code, Detail: detail, Example: strconv.Quote(example)})
}

// numberFault is fault with an example that is a number.
func (c *compiler) numberFault(pointer, code, detail, example string) {
	c.faults = append(c.faults, document.Fault{Pointer: pointer, Code: code, Detail: detail, Example: example})
}

// unreadable notes the error of one of measure's parsers.
func (c *compiler) unreadable(at string, err error, example string) {
	var parse *measure.ParseError
	switch {
	case !errors.As(err, &parse):
		c.fault(at, document.CodeBadQuantity, "cannot be read", example)
	case parse.Code == measure.CodeUnitMissing:
		c.fault(at, document.CodeUnitMissing, parse.Reason, example)
	case parse.Code == measure.CodeNegative:
		c.fault(at, document.CodeNegative, "must not be negative", example)
	default:
		c.fault(at, document.CodeBadQuantity, parse.Reason, example)
	}
}

// misfit notes a text that is no quantity of the kinds that fit: one without a unit or below zero as such.
func (c *compiler) misfit(at, detail, example string, err error) {
	var parse *measure.ParseError
	code := CodeWrongKind
	if errors.As(err, &parse) {
		switch parse.Code {
		case measure.CodeUnitMissing:
			code, detail = document.CodeUnitMissing, detail+": a number alone is none"
		case measure.CodeNegative:
			code, detail = document.CodeNegative, "must not be negative"
		}
	}
	c.fault(at, code, detail, example)
}

// bound is the least value that a quantity may have.
type bound bool

const (
	aboveZero bound = true  // zero is refused
	fromZero  bound = false // zero is allowed
)

// No quantity of a list is smaller or larger, in SI units, so that no sum or product of them vanishes or overflows.
const (
	smallest = 1e-9
	largest  = 1e9
)

// mostQuantity is the most characters of the text of a quantity.
const mostQuantity = 40

func quantity[Q ~float64](c *compiler, at, text string, parse func(string) (Q, error), least bound, example string) Q {
	if text == "" {
		c.fault(at, document.CodeMissing, "is missing", example)
		return 0
	}
	if c.tooLong(at, text, example) {
		return 0
	}
	q, err := parse(text)
	switch {
	case err != nil:
		c.unreadable(at, err, example)
	case q < 0:
		c.fault(at, document.CodeNegative, "must not be negative", example)
	case q == 0 && least == aboveZero:
		c.fault(at, document.CodeNotPositive, "must be above zero", example)
	case q > largest || q != 0 && q < smallest:
		c.fault(at, document.CodeOutOfRange, "is far from anything that is bought or built with", example)
	default:
		return q
	}
	return 0
}

func (c *compiler) tooLong(at, text, example string) bool {
	if utf8.RuneCountInString(text) <= mostQuantity {
		return false
	}
	c.fault(at, document.CodeBadQuantity, "is too long for a quantity", example)
	return true
}

func (c *compiler) length(at, text string, least bound, example string) measure.Length {
	return quantity(c, at, text, measure.ParseLength, least, example)
}

func (c *compiler) mass(at, text string, example string) measure.Mass {
	return quantity(c, at, text, measure.ParseMass, aboveZero, example)
}

func (c *compiler) volume(at, text string, example string) measure.Volume {
	return quantity(c, at, text, measure.ParseVolume, aboveZero, example)
}

func (c *compiler) density(at, text string, example string) measure.Density {
	return quantity(c, at, text, measure.ParseDensity, aboveZero, example)
}

// key checks the spelling of a key: it stands in addresses and in spreadsheets.
func (c *compiler) key(at, key, example string) bool {
	ok := key != "" && len(key) <= 64 && key[0] != '-' && key[0] != '_' &&
		strings.Trim(key, "abcdefghijklmnopqrstuvwxyz0123456789_-") == ""
	switch {
	case key == "":
		c.fault(at, document.CodeMissing, "is missing", example)
	case !ok:
		c.fault(at, document.CodeBadKey,
			"must be an identifier of 1 to 64 small letters, digits, _ and -, beginning with a letter or digit", example)
	}
	return ok
}

// uniqueKey checks the spelling of a key and that no item before has it, and remembers it.
func (c *compiler) uniqueKey(at, key string, seen map[string]int, i int, where, example string) {
	if c.key(at, key, example) {
		c.duplicate(at, key, seen, i, where, "key", example+"-2")
	}
}

func (c *compiler) duplicate(at, value string, seen map[string]int, i int, where, member, example string) {
	if first, ok := seen[value]; ok {
		c.fault(at, CodeDuplicate, fmt.Sprintf("is that of /%s/%d too: every %s must be its own", where, first, member), example)
		return
	}
	seen[value] = i
}

// digits counts the digits of a decimal before the point and after it, without zeros at the ends.
func digits(d decimal.Decimal) (whole, fraction int) {
	d = d.Trim(0)
	return max(0, d.Prec()-d.Scale()), d.Scale()
}

// number checks a number that is no price: not negative, not too long.
func (c *compiler) number(at string, d decimal.Decimal, example string) bool {
	whole, fraction := digits(d)
	switch {
	case d.IsNeg():
		c.numberFault(at, document.CodeNegative, "must not be negative", example)
	case whole > NumberWhole || fraction > NumberFraction:
		c.numberFault(at, CodeTooManyDigits, fmt.Sprintf("must have at most %d digits before the point and %d after it",
			NumberWhole, NumberFraction), example)
	case whole > 3 && thousand.Less(d):
		c.numberFault(at, document.CodeOutOfRange, "must be at most 1000", example)
	default:
		return true
	}
	return false
}

// percent checks a percentage from 0 to most; most 0 leaves the upper end to the caller.
func (c *compiler) percent(at string, d *decimal.Decimal, most int64, example string) (decimal.Decimal, bool) {
	if d == nil {
		return decimal.Decimal{}, false
	}
	if !c.number(at, *d, example) {
		return decimal.Decimal{}, false
	}
	if most > 0 && decimal.MustNew(most, 0).Less(*d) {
		c.numberFault(at, document.CodeOutOfRange, fmt.Sprintf("must be at most %d", most), example)
		return decimal.Decimal{}, false
	}
	return *d, true
}

// price checks a price per something, which may have more digits than its currency has coins for.
func (c *compiler) price(at string, d decimal.Decimal) bool {
	return c.priced(at, d, PriceFraction, fmt.Sprintf("must have at most %d digits before the point and %d after it",
		PriceWhole, PriceFraction))
}

func (c *compiler) priced(at string, d decimal.Decimal, fractions int, detail string) bool {
	whole, fraction := digits(d)
	example := c.currency.Format(3800)
	switch {
	case d.IsNeg():
		c.fault(at, document.CodeNegative, "must not be negative", example)
	case whole > PriceWhole || fraction > fractions:
		c.fault(at, CodeTooManyDigits, detail, example)
	default:
		return true
	}
	return false
}

// amount checks a sum that is paid as it stands.
func (c *compiler) amount(at string, d decimal.Decimal) money.Amount {
	fractions, detail := c.currency.Digits, fmt.Sprintf("must have at most %d digits before the point and the %d of %s after it",
		PriceWhole, c.currency.Digits, c.currency.Code)
	if c.currency.Code == "" { // already a fault
		fractions, detail = PriceFraction, "has too many digits"
	}
	if !c.priced(at, d, fractions, detail) {
		return 0
	}
	rounded, err := c.currency.Round(d)
	if err != nil {
		c.fault(at, CodeTooManyDigits, detail, c.currency.Format(3800))
		return 0
	}
	return rounded
}
