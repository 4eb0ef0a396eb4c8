package measure

import (
	"math/big"
	"math/bits"
	"strings"
	"unicode/utf8"
)

// MaxDigits is the most digits that the text of a quantity may have, all its numbers together.
const MaxDigits = 12

// maxText is the most bytes of a quantity's text; longer text is refused unread.
const maxText = 64

// Codes of a ParseError.
const (
	CodeUnitMissing = "unit_missing" // a number stands without its unit
	CodeUnitUnknown = "unit_unknown" // the unit is none of the quantity's
	CodeNegative    = "negative"     // a minus sign before a quantity that cannot be negative
	CodeMalformed   = "malformed"    // anything else
)

// ParseError says why a text is no quantity of the kind asked for. It never repeats the text.
type ParseError struct {
	Kind    string // what was asked for: "length", "area", "volume", "mass" or "density"
	Code    string // one of the Code constants
	Reason  string // what is wrong, to be read after the name of the field: "has no unit: ..."
	Example string // a right text: "70 in"
}

// Error is the kind, the reason and the example in one sentence.
func (e *ParseError) Error() string {
	return e.Kind + " " + e.Reason + "; write it like " + e.Example
}

// ParseLength reads a length as a crew writes it: "70 in", "5 ft 10 in", `5' 10 1/2"`, "1.65 m".
//
// At most two parts, the larger unit first and the second smaller than one of the first; units ft, in, yd, mm, cm, m
// and the foot and inch marks, straight or typographic; whole, decimal or mixed-fraction numbers of at most 12 digits
// together; no exponent, no comma, no mixing of systems. A minus sign before the text makes the whole negative. The
// value is the exact one rounded once, so "1 in" and "25.4 mm" are equal to the bit. The error is a *ParseError.
func ParseLength(s string) (Length, error) {
	v, f := parseLength(s)
	if f != fine {
		return 0, lengths.fail(f)
	}
	return Length(v), nil
}

// ParseArea reads an area, a number and a unit: ft2, in2, yd2, m2, cm2, mm2, or the same with the sign for squared.
// Numbers are as in ParseLength, without a sign. The error is a *ParseError.
func ParseArea(s string) (Area, error) {
	v, f := parseOne(s, areaUnit)
	if f != fine {
		return 0, areas.fail(f)
	}
	return Area(v), nil
}

// ParseVolume reads a volume, a number and a unit: ft3, in3, yd3, m3, L, l, mL, gal (US liquid gallon), or with the
// sign for cubed. A quart is refused because the dry and the liquid quart differ by a sixth. The error is a *ParseError.
func ParseVolume(s string) (Volume, error) {
	v, f := parseOne(s, volumeUnit)
	if f != fine {
		return 0, volumes.fail(f)
	}
	return Volume(v), nil
}

// ParseMass reads a mass, a number and a unit: lb, oz (avoirdupois), ton (short ton of 2000 lb), kg, g, t. The error
// is a *ParseError.
func ParseMass(s string) (Mass, error) {
	v, f := parseOne(s, massUnit)
	if f != fine {
		return 0, masses.fail(f)
	}
	return Mass(v), nil
}

// ParseDensity reads a density, a number and a unit: lb/ft3, lb/yd3, ton/yd3, kg/m3, t/m3, or with the sign for
// cubed. The error is a *ParseError.
func ParseDensity(s string) (Density, error) {
	v, f := parseOne(s, densityUnit)
	if f != fine {
		return 0, densities.fail(f)
	}
	return Density(v), nil
}

// rational is n/d, never reduced: with at most MaxDigits digits both stay far below 2^64.
type rational struct{ n, d uint64 }

// parseOne reads a number and a unit, nothing else.
func parseOne(s string, find func(string) (rational, flaw)) (float64, flaw) {
	c, f := open(s)
	if f != fine {
		return 0, f
	}
	if c.sign() {
		return 0, signed
	}
	n, f := c.number()
	if f != fine {
		return 0, f
	}
	c.spaces()
	rest := c.s[c.i:]
	if rest == "" {
		return 0, unitless
	}
	u, f := find(rest)
	if f != fine {
		return 0, c.misread(f)
	}
	num, a := mul(n.n, u.n)
	den, b := mul(n.d, u.d)
	if a && b && num <= exact && den <= exact {
		return float64(num) / float64(den), fine
	}
	return divide(product(n.n, u.n), product(n.d, u.d)), fine
}

// metre is the metre counted in tenths of a millimetre, in which every unit of length is whole.
const metre = 10000

func parseLength(s string) (float64, flaw) {
	c, f := open(s)
	if f != fine {
		return 0, f
	}
	minus := c.sign()
	n, f := c.number()
	if f != fine {
		return 0, f
	}
	u, us, f := c.lengthUnit()
	if f != fine {
		return 0, f
	}
	c.spaces()
	var v float64
	if c.i == len(c.s) {
		v = ratio(n, u)
	} else {
		m, w, f := c.second(u, us)
		if f != fine {
			return 0, f
		}
		v = sum(n, u, m, w)
	}
	if minus && v != 0 {
		v = -v
	}
	return v, fine
}

// second reads the smaller part of a length of two.
func (c *cursor) second(u uint64, us bool) (rational, uint64, flaw) {
	if c.sign() {
		return rational{}, 0, innerSign
	}
	m, f := c.number()
	if f != fine {
		return m, 0, f
	}
	w, also, f := c.lengthUnit()
	if f != fine {
		return m, 0, f
	}
	c.spaces()
	switch {
	case c.i != len(c.s):
		return m, 0, c.trailing()
	case us != also:
		return m, 0, mixedSystems
	case w >= u:
		return m, 0, order
	case m.n*w >= m.d*u: // at most 1e12 * 1e4 on either side
		return m, 0, overflowing
	}
	return m, w, fine
}

func ratio(n rational, u uint64) float64 {
	num, a := mul(n.n, u)
	den, b := mul(n.d, metre)
	if a && b && num <= exact && den <= exact {
		return float64(num) / float64(den)
	}
	return divide(product(n.n, u), product(n.d, metre))
}

func sum(n rational, u uint64, m rational, w uint64) float64 {
	a1, ok1 := mul(n.n*u, m.d)
	a2, ok2 := mul(m.n*w, n.d)
	d1, ok3 := mul(n.d, m.d)
	d, ok4 := mul(d1, metre)
	if ok1 && ok2 && ok3 && ok4 && a1 <= exact && a2 <= exact && a1+a2 <= exact && d <= exact {
		return float64(a1+a2) / float64(d)
	}
	num := product(n.n*u, m.d)
	num.Add(num, product(m.n*w, n.d))
	den := product(n.d, m.d)
	return divide(num, den.Mul(den, big.NewInt(metre)))
}

// exact is the greatest number up to which every whole number is a float64: the quotient of two such is the exact
// quotient rounded once.
const exact = 1 << 53

func mul(a, b uint64) (uint64, bool) {
	hi, lo := bits.Mul64(a, b)
	return lo, hi == 0
}

func product(a, b uint64) *big.Int {
	x := new(big.Int).SetUint64(a)
	return x.Mul(x, new(big.Int).SetUint64(b))
}

func divide(num, den *big.Int) float64 {
	v, _ := new(big.Rat).SetFrac(num, den).Float64()
	return v
}

// cursor walks over the text of a quantity.
type cursor struct {
	s      string
	i      int
	digits int
}

func open(s string) (cursor, flaw) {
	if len(s) > maxText {
		return cursor{}, tooLong
	}
	s = strings.Trim(s, " ")
	if s == "" {
		return cursor{}, empty
	}
	return cursor{s: s}, fine
}

func (c *cursor) spaces() {
	for c.i < len(c.s) && c.s[c.i] == ' ' {
		c.i++
	}
}

const minus = "\u2212"

func (c *cursor) sign() bool {
	switch {
	case c.i < len(c.s) && c.s[c.i] == '-':
		c.i++
	case strings.HasPrefix(c.s[c.i:], minus):
		c.i += len(minus)
	default:
		return false
	}
	return true
}

func (c *cursor) at(i int) byte {
	if i < len(c.s) {
		return c.s[i]
	}
	return 0
}

func digit(b byte) bool { return '0' <= b && b <= '9' }

func letter(b byte) bool { return 'a' <= b|0x20 && b|0x20 <= 'z' }

// run reads digits onto v; past MaxDigits it only counts.
func (c *cursor) run(v uint64) (uint64, int) {
	start := c.i
	for ; digit(c.at(c.i)); c.i++ {
		if c.digits++; c.digits <= MaxDigits {
			v = v*10 + uint64(c.s[c.i]-'0')
		}
	}
	return v, c.i - start
}

var powers = [MaxDigits + 1]uint64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12}

func (c *cursor) number() (rational, flaw) {
	v, n := c.run(0)
	r := rational{v, 1}
	switch b := c.at(c.i); {
	case b == '.':
		c.i++
		var k int
		v, k = c.run(v)
		if k == 0 {
			return r, noNumber
		}
		r = rational{v, powers[min(k, MaxDigits)]}
	case n == 0:
		if b == '+' {
			return r, plus
		}
		return r, noNumber
	case b == '/':
		c.i++
		d, k := c.run(0)
		if k == 0 || d == 0 {
			return r, badFraction
		}
		r = rational{v, d}
	default:
		whole, f := c.mixed(v)
		if f != fine {
			return r, f
		}
		r = whole
	}
	switch b := c.at(c.i); {
	case c.digits > MaxDigits:
		return r, tooManyDigits
	case b == ',':
		return r, comma
	case b == '.' || b == '/':
		return r, noNumber
	case (b == 'e' || b == 'E') && (digit(c.at(c.i+1)) || c.at(c.i+1) == '-' || c.at(c.i+1) == '+'):
		return r, exponent
	}
	return r, fine
}

// mixed reads the fraction after a whole number: "10 1/2", "10-1/2". Without one it leaves the cursor where it was.
func (c *cursor) mixed(whole uint64) (rational, flaw) {
	back := *c
	if c.at(c.i) == '-' {
		c.i++
	} else if c.spaces(); c.i == back.i {
		return rational{whole, 1}, fine
	}
	n, k := c.run(0)
	if k == 0 || c.at(c.i) != '/' {
		*c = back
		return rational{whole, 1}, fine
	}
	c.i++
	d, k := c.run(0)
	if k == 0 || d == 0 || n >= d {
		return rational{}, badFraction
	}
	if c.digits > MaxDigits {
		return rational{}, tooManyDigits
	}
	return rational{whole*d + n, d}, fine
}

// lengthUnit reads a unit of length: its size in tenths of a millimetre and whether it is customary.
func (c *cursor) lengthUnit() (uint64, bool, flaw) {
	c.spaces()
	start := c.i
	for letter(c.at(c.i)) {
		c.i++
	}
	word := c.s[start:c.i]
	if word == "" {
		r, size := utf8.DecodeRuneInString(c.s[c.i:])
		switch r {
		case '\'', '\u2032', '\u2019':
			c.i += size
			return 3048, true, fine
		case '"', '\u2033', '\u201d':
			c.i += size
			return 254, true, fine
		}
		return 0, false, c.misread(unitless)
	}
	u, us := uint64(0), true
	switch word {
	case "in":
		u = 254
	case "ft":
		u = 3048
	case "yd":
		u = 9144
	case "mm":
		u, us = 10, false
	case "cm":
		u, us = 100, false
	case "m":
		u, us = metre, false
	default:
		return 0, false, unknownUnit
	}
	if rest := c.s[c.i:]; rest == "2" || rest == "3" || rest == "\u00b2" || rest == "\u00b3" {
		return 0, false, unknownUnit // an area or a volume
	}
	return u, us, fine
}

// misread finds the better word for a text that goes on with something else than a unit.
func (c *cursor) misread(f flaw) flaw {
	b := c.at(c.i)
	switch {
	case f == quart:
		return f
	case c.i == len(c.s) || digit(b):
		return unitless
	case b == ',':
		return comma
	case b == '-' || strings.HasPrefix(c.s[c.i:], minus):
		return innerSign
	}
	return unknownUnit
}

// trailing names what stands after the second part.
func (c *cursor) trailing() flaw {
	if digit(c.at(c.i)) {
		return threeParts
	}
	return leftOver
}
