package measure_test

import (
	"errors"
	"math/big"
	"regexp"
	"strings"
	"testing"

	"bedline/estimate/measure"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestLengthsAsACrewWritesThem(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name, text string
		metres     string // by hand, from 1 in = 0.0254 m
	}{
		{"inches", "70 in", "1.778"},
		{"feet and inches", "5 ft 10 in", "1.778"},
		{"feet and inches without spaces", "5ft10in", "1.778"},
		{"feet and inches with many spaces", "  5  ft   10  in ", "1.778"},
		{"marks", `5'10"`, "1.778"},
		{"marks with a mixed fraction", `5' 10 1/2"`, "1.7907"},
		{"primes", "5′ 10″", "1.778"},
		{"typographic quotes", "5’10”", "1.778"},
		{"marks and symbols together", "5' 10 in", "1.778"},
		{"a mixed fraction with a hyphen", "10-1/2 in", "0.2667"},
		{"a fraction alone", "1/2 in", "0.0127"},
		{"a fraction above one", "3/2 in", "0.0381"},
		{"a mixed fraction of feet", "5 1/2 ft", "1.6764"},
		{"a decimal", "0.25 in", "0.00635"},
		{"a decimal without the zero", ".25 in", "0.00635"},
		{"yards", "1.5 yd", "1.3716"},
		{"yards and feet", "2 yd 1 ft", "2.1336"},
		{"yards and inches", "1 yd 35 in", "1.8034"},
		{"a decimal of feet and inches", "5.5 ft 3 in", "1.7526"},
		{"no feet and inches", "0 ft 6 in", "0.1524"},
		{"metres", "1.65 m", "1.65"},
		{"millimetres", "90 mm", "0.09"},
		{"centimetres", "12.5 cm", "0.125"},
		{"metres and centimetres", "1 m 65 cm", "1.65"},
		{"metres and millimetres", "1 m 5 mm", "1.005"},
		{"centimetres and millimetres", "3 cm 5 mm", "0.035"},
		{"a negative level", "-2 in", "-0.0508"},
		{"a negative of two parts as a whole", "-5 ft 10 in", "-1.778"},
		{"a minus sign proper", "−2 in", "-0.0508"},
		{"zero with a unit", "0 in", "0"},
		{"zero with a sign", "-0 in", "0"},
		{"twelve digits", "123456.789012 m", "123456.789012"},
		{"twelve digits in two parts", "99999 ft 11.99999 in", "30479.999999746"},
		{"a third of a foot, rounded once", "1/3 ft", "0.1016"},
		{"a seventh of an inch, rounded once", "1/7 in", "0.003628571428571428571428571428571428571"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			exact, ok := new(big.Rat).SetString(c.metres)
			require.True(t, ok)
			want, _ := exact.Float64()
			got, err := measure.ParseLength(c.text)
			require.NoError(t, err)
			assert.Equal(t, measure.Length(want), got)
			assert.False(t, got == 0 && 1/float64(got) < 0, "minus zero")
		})
	}
}

func TestTextsThatAreNoLength(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ name, text, code, says string }{
		{"nothing", "", measure.CodeMalformed, "empty"},
		{"spaces", "   ", measure.CodeMalformed, "empty"},
		{"a number without a unit", "70", measure.CodeUnitMissing, "without a unit"},
		{"zero without a unit", "0", measure.CodeUnitMissing, "without a unit"},
		{"a second number without a unit", "5 ft 10", measure.CodeUnitMissing, "without a unit"},
		{"a first number without a unit", "5 10 in", measure.CodeUnitMissing, "without a unit"},
		{"a second part as long as the first unit", "5 ft 12 in", measure.CodeMalformed, "not less than one"},
		{"a second part longer than the first unit", "5 ft 14 in", measure.CodeMalformed, "not less than one"},
		{"a second part just as long, as a fraction", "5 ft 24/2 in", measure.CodeMalformed, "not less than one"},
		{"three feet after a yard", "1 yd 3 ft", measure.CodeMalformed, "not less than one"},
		{"36 inches after a yard", "1 yd 36 in", measure.CodeMalformed, "not less than one"},
		{"ten millimetres after a centimetre", "1 cm 10 mm", measure.CodeMalformed, "not less than one"},
		{"the smaller unit first", "10 in 5 ft", measure.CodeMalformed, "larger unit first"},
		{"the same unit twice", "5 ft 1 ft", measure.CodeMalformed, "larger unit first"},
		{"three parts", "1 yd 1 ft 1 in", measure.CodeMalformed, "more than two parts"},
		{"metric and customary units", "1 m 3 in", measure.CodeMalformed, "mixes"},
		{"customary and metric units", "1 ft 3 cm", measure.CodeMalformed, "mixes"},
		{"an exponent", "1e3 ft", measure.CodeMalformed, "exponent"},
		{"an exponent with a sign", "1E-3 ft", measure.CodeMalformed, "exponent"},
		{"a decimal comma", "1,5 m", measure.CodeMalformed, "comma"},
		{"a comma for thousands", "1,000 ft", measure.CodeMalformed, "comma"},
		{"thirteen digits", "1234567.890123 m", measure.CodeMalformed, "12 digits"},
		{"thirteen digits in two parts", "999999 ft 1.234567 in", measure.CodeMalformed, "12 digits"},
		{"very many digits", strings.Repeat("9", 50) + " m", measure.CodeMalformed, "12 digits"},
		{"a very long text", strings.Repeat(" ", 70) + "1 m", measure.CodeMalformed, "too long"},
		{"a plus sign", "+5 in", measure.CodeMalformed, "plus"},
		{"a minus sign inside", "5 ft -10 in", measure.CodeMalformed, "minus sign inside"},
		{"two minus signs", "--5 ft", measure.CodeMalformed, "not a number"},
		{"a zero denominator", "1/0 in", measure.CodeMalformed, "fraction"},
		{"a zero denominator in a mixed fraction", "1 1/0 in", measure.CodeMalformed, "fraction"},
		{"an improper mixed fraction", "10 3/2 in", measure.CodeMalformed, "fraction"},
		{"a fraction of decimals", "1.5/2 in", measure.CodeMalformed, "not a number"},
		{"a decimal and a fraction", "1.5 1/2 in", measure.CodeUnitMissing, "without a unit"},
		{"a point without decimals", "5. in", measure.CodeMalformed, "not a number"},
		{"two points", "1.2.3 in", measure.CodeMalformed, "not a number"},
		{"a unit alone", "in", measure.CodeMalformed, "not a number"},
		{"a mark alone", "'", measure.CodeMalformed, "not a number"},
		{"a unit word", "5 feet", measure.CodeUnitUnknown, "ft, in, yd, mm, cm, m"},
		{"a unit in capitals", "5 FT", measure.CodeUnitUnknown, "ft, in, yd, mm, cm, m"},
		{"an area", "5 ft2", measure.CodeUnitUnknown, "ft, in, yd, mm, cm, m"},
		{"an area with the sign", "5 ft²", measure.CodeUnitUnknown, "ft, in, yd, mm, cm, m"},
		{"kilometres", "1 km", measure.CodeUnitUnknown, "ft, in, yd, mm, cm, m"},
		{"text after the second part", "5 ft 10 in high", measure.CodeMalformed, "goes on"},
		{"text after the first part", "5 ft high", measure.CodeMalformed, "not a number"},
		{"a tab", "5\tft", measure.CodeUnitUnknown, "ft"},
		{"digits of another script", "٥ ft", measure.CodeMalformed, "not a number"},
		{"NaN", "NaN ft", measure.CodeMalformed, "not a number"},
		{"broken UTF-8", "5 \xff", measure.CodeUnitUnknown, "ft"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			v, err := measure.ParseLength(c.text)
			require.Error(t, err)
			assert.Zero(t, v)
			var e *measure.ParseError
			require.ErrorAs(t, err, &e)
			assert.Equal(t, "length", e.Kind)
			assert.Equal(t, c.code, e.Code, e.Reason)
			assert.Contains(t, e.Reason, c.says)
			assert.Equal(t, "70 in", e.Example)
		})
	}
}

func TestOtherQuantitiesRefuseWhatTheyShould(t *testing.T) {
	t.Parallel()
	area := func(s string) error { _, err := measure.ParseArea(s); return err }
	volume := func(s string) error { _, err := measure.ParseVolume(s); return err }
	mass := func(s string) error { _, err := measure.ParseMass(s); return err }
	density := func(s string) error { _, err := measure.ParseDensity(s); return err }
	for _, c := range []struct {
		name       string
		parse      func(string) error
		text, code string
		says       string
	}{
		{"a length for an area", area, "5 ft", measure.CodeUnitUnknown, "ft2, in2"},
		{"a negative area", area, "-5 ft2", measure.CodeNegative, "negative"},
		{"an area of two parts", area, "5 ft2 3 in2", measure.CodeUnitUnknown, "ft2, in2"},
		{"an area without a unit", area, "5", measure.CodeUnitMissing, "without a unit"},
		{"a quart, which is one of two", volume, "8 qt", measure.CodeUnitUnknown, "dry and the liquid quart differ"},
		{"a yard for a cubic yard", volume, "2 yd", measure.CodeUnitUnknown, "yd3"},
		{"a volume without a unit", volume, "0", measure.CodeUnitMissing, "without a unit"},
		{"a negative volume with a minus sign proper", volume, "−1 m3", measure.CodeNegative, "negative"},
		{"millilitres in small letters", volume, "5 ml", measure.CodeUnitUnknown, "mL"},
		{"a plural mass", mass, "50 lbs", measure.CodeUnitUnknown, "lb, oz, ton"},
		{"a comma in a mass", mass, "1,5 kg", measure.CodeMalformed, "comma"},
		{"an exponent in a mass", mass, "1e3kg", measure.CodeMalformed, "exponent"},
		{"a density of spaces", density, "100 lb / ft3", measure.CodeUnitUnknown, "lb/ft3"},
		{"a mass for a density", density, "100 lb", measure.CodeUnitUnknown, "lb/ft3"},
		{"thirteen digits of density", density, "1000000000000 kg/m3", measure.CodeMalformed, "12 digits"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			var e *measure.ParseError
			require.ErrorAs(t, c.parse(c.text), &e)
			assert.Equal(t, c.code, e.Code)
			assert.Contains(t, e.Reason, c.says)
		})
	}
}

func TestExamplesInErrorsAreRight(t *testing.T) {
	t.Parallel()
	for kind, parse := range parsers {
		_, err := parse("")
		var e *measure.ParseError
		require.ErrorAs(t, err, &e)
		assert.Equal(t, kind, e.Kind)
		_, err = parse(e.Example)
		assert.NoError(t, err)
		assert.Contains(t, err2(parse("1")), e.Example)
	}
}

func err2(_ float64, err error) string { return err.Error() }

var parsers = map[string]func(string) (float64, error){
	"length":  func(s string) (float64, error) { v, err := measure.ParseLength(s); return float64(v), err },
	"area":    func(s string) (float64, error) { v, err := measure.ParseArea(s); return float64(v), err },
	"volume":  func(s string) (float64, error) { v, err := measure.ParseVolume(s); return float64(v), err },
	"mass":    func(s string) (float64, error) { v, err := measure.ParseMass(s); return float64(v), err },
	"density": func(s string) (float64, error) { v, err := measure.ParseDensity(s); return float64(v), err },
}

// Sizes of the units from the definitions: 1 in = 25.4 mm, 1 lb = 0.45359237 kg, 1 gal = 231 in3, 1 ton = 2000 lb.
// Source: NIST Handbook 44, Appendix C (from memory; the trade's tables below agree).
var sizes = func() map[string]map[string]*big.Rat {
	rat := func(s string) *big.Rat { r, _ := new(big.Rat).SetString(s); return r }
	mul := func(a, b *big.Rat) *big.Rat { return new(big.Rat).Mul(a, b) }
	quo := func(a, b *big.Rat) *big.Rat { return new(big.Rat).Quo(a, b) }
	square := func(a *big.Rat) *big.Rat { return mul(a, a) }
	cube := func(a *big.Rat) *big.Rat { return mul(a, mul(a, a)) }
	in, one, lb := rat("0.0254"), rat("1"), rat("0.45359237")
	ft, yd := mul(in, rat("12")), mul(in, rat("36"))
	return map[string]map[string]*big.Rat{
		"length": {"in": in, "ft": ft, "yd": yd, "mm": rat("0.001"), "cm": rat("0.01"), "m": one},
		"area": {"in2": square(in), "ft2": square(ft), "yd2": square(yd), "mm2": rat("0.000001"), "cm2": rat("0.0001"), "m2": one,
			"ft²": square(ft), "m²": one},
		"volume": {"in3": cube(in), "ft3": cube(ft), "yd3": cube(yd), "m3": one, "L": rat("0.001"), "l": rat("0.001"), "mL": rat("0.000001"),
			"gal": mul(cube(in), rat("231")), "yd³": cube(yd)},
		"mass": {"lb": lb, "oz": quo(lb, rat("16")), "ton": mul(lb, rat("2000")), "kg": one, "g": rat("0.001"), "t": rat("1000")},
		"density": {"lb/ft3": quo(lb, cube(ft)), "lb/yd3": quo(lb, cube(yd)), "ton/yd3": quo(mul(lb, rat("2000")), cube(yd)),
			"kg/m3": one, "t/m3": rat("1000")},
	}
}()

// number draws a number as it may be written, of at most so many digits, with its value.
func number(t *rapid.T, digits int) (string, *big.Rat) {
	whole := func(label string, n int) string {
		return rapid.StringOfN(rapid.RuneFrom([]rune("0123456789")), 1, n, -1).Draw(t, label)
	}
	rat := func(s string) *big.Rat { r, _ := new(big.Rat).SetString(s); return r }
	switch rapid.IntRange(0, 3).Draw(t, "form") {
	case 0:
		s := whole("whole", digits)
		return s, rat(s)
	case 1:
		s := whole("units", digits/2) + "." + whole("decimals", digits-digits/2)
		return s, rat(s)
	case 2:
		n, d := whole("numerator", digits/2), rapid.StringMatching("[1-9][0-9]").Draw(t, "denominator")
		return n + "/" + d, new(big.Rat).Quo(rat(n), rat(d))
	}
	n := rapid.IntRange(0, 15).Draw(t, "sixteenths")
	w := whole("before", digits-4)
	f := new(big.Rat).SetFrac64(int64(n), 16)
	sep := rapid.SampledFrom([]string{" ", "-", "  "}).Draw(t, "sep")
	return w + sep + f.Num().String() + "/16", f.SetFrac64(f.Num().Int64(), 16).Add(f, rat(w))
}

func TestEveryQuantityIsTheExactValueRoundedOnce(t *testing.T) {
	t.Parallel()
	for kind, units := range sizes {
		t.Run(kind, func(t *testing.T) {
			t.Parallel()
			names := make([]string, 0, len(units))
			for u := range units {
				names = append(names, u)
			}
			rapid.Check(t, func(t *rapid.T) {
				text, value := number(t, 12)
				unit := rapid.SampledFrom(names).Draw(t, "unit")
				gap := rapid.SampledFrom([]string{"", " "}).Draw(t, "gap")
				want, _ := new(big.Rat).Mul(value, units[unit]).Float64()
				got, err := parsers[kind](text + gap + unit)
				require.NoError(t, err)
				assert.Equal(t, want, got)
			})
		})
	}
}

func TestTwoPartsAddUpExactly(t *testing.T) {
	t.Parallel()
	pairs := [][2]string{{"yd", "ft"}, {"yd", "in"}, {"ft", "in"}, {"m", "cm"}, {"m", "mm"}, {"cm", "mm"}}
	rapid.Check(t, func(t *rapid.T) {
		pair := rapid.SampledFrom(pairs).Draw(t, "pair")
		first, a := number(t, 6)
		second, b := number(t, 6)
		larger, smaller := sizes["length"][pair[0]], sizes["length"][pair[1]]
		part := new(big.Rat).Mul(b, smaller)
		got, err := measure.ParseLength(first + " " + pair[0] + " " + second + pair[1])
		if part.Cmp(larger) >= 0 {
			require.ErrorContains(t, err, "not less than one")
			return
		}
		require.NoError(t, err)
		want, _ := part.Add(part, new(big.Rat).Mul(a, larger)).Float64()
		assert.Equal(t, measure.Length(want), got)
	})
}

func TestEqualQuantitiesAreEqualToTheBit(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ kind, a, b string }{
		{"length", "1 in", "25.4 mm"},
		{"length", "5 ft 10 in", "70 in"},
		{"length", "1 yd", "0.9144 m"},
		{"length", "1/8 in", "3.175 mm"},
		{"area", "1 yd2", "9 ft2"},
		{"area", "1 ft2", "144 in2"},
		{"area", "1 in2", "645.16 mm2"},
		{"volume", "0.5 yd3", "13.5 ft3"},
		{"volume", "1 ft3", "1728 in3"},
		{"volume", "1 gal", "231 in3"},
		{"volume", "1 gal", "3.785411784 L"},
		{"mass", "1 ton", "2000 lb"},
		{"mass", "1 lb", "16 oz"},
		{"mass", "1 lb", "0.45359237 kg"},
		{"mass", "1 t", "1000 kg"},
		{"density", "1 ton/yd3", "2000 lb/yd3"},
		{"density", "100 lb/ft3", "2700 lb/yd3"},
		{"density", "1.5 t/m3", "1500 kg/m3"},
	} {
		a, err := parsers[c.kind](c.a)
		require.NoError(t, err)
		b, err := parsers[c.kind](c.b)
		require.NoError(t, err)
		assert.Equal(t, a, b, "%s and %s", c.a, c.b)
	}
	one, err := measure.ParseLength("1 in")
	require.NoError(t, err)
	assert.Equal(t, measure.Inch, one)
}

// The grammar once more, as a regular expression.
var grammar = func() *regexp.Regexp {
	n := `(?:\d+\.\d+|\.\d+|\d+(?: +|-)\d+/\d+|\d+/\d+|\d+) *`
	u := `(?:ft|in|yd|mm|cm|m|['"′″’”]) *`
	return regexp.MustCompile(`^ *[-−]?` + n + u + `(?:` + n + u + `)?$`)
}()

func TestOnlyTextsOfTheGrammarAreLengths(t *testing.T) {
	t.Parallel()
	pieces := rapid.SampledFrom([]string{"1", "2", "10", "0", ".5", "1/2", "-", "−", " ", " ", "ft", "in", "yd", "m", "mm", "cm", "'", `"`, "′", "”", ".", "/", "e", "2"})
	rapid.Check(t, func(t *rapid.T) {
		s := strings.Join(rapid.SliceOfN(pieces, 1, 9).Draw(t, "pieces"), "")
		_, err := measure.ParseLength(s)
		if err == nil {
			assert.Regexp(t, grammar, s)
		}
	})
}

func TestUsualQuantitiesTakeNoMemory(t *testing.T) {
	for _, s := range []string{"70 in", "5 ft 10 1/2 in", `5'10"`, "1.65 m", "-2 in"} {
		assert.Zero(t, testing.AllocsPerRun(10, func() { _, _ = measure.ParseLength(s) }), s)
	}
	assert.Zero(t, testing.AllocsPerRun(10, func() { _, _ = measure.ParseVolume("0.5 yd3") }))
	assert.Zero(t, testing.AllocsPerRun(10, func() { _, _ = measure.ParseDensity("106.5 lb/ft3") }))
}

func fuzz(f *testing.F, kind string, seeds ...string) {
	for _, s := range seeds {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		v, err := parsers[kind](s)
		if err == nil {
			if v != v || v > 1e18 || v < -1e18 || v < 0 && kind != "length" {
				t.Fatalf("%q is %v", s, v)
			}
			if kind == "length" && !grammar.MatchString(s) {
				t.Fatalf("%q is not in the grammar", s)
			}
			return
		}
		var e *measure.ParseError
		if !errors.As(err, &e) || e.Reason == "" || v != 0 {
			t.Fatalf("%q: %v", s, err)
		}
	})
}

func FuzzParseLength(f *testing.F) {
	fuzz(f, "length", "70 in", `5' 10 1/2"`, "-5 ft 10 in", "1 m 3 in", "5′10″", "10-1/2in", "1,5 m", "1e3 ft")
}
func FuzzParseArea(f *testing.F)    { fuzz(f, "area", "24 ft2", "1.5 m²", "3 in2") }
func FuzzParseVolume(f *testing.F)  { fuzz(f, "volume", "0.5 yd3", "8 qt", "2 L", "1 gal") }
func FuzzParseMass(f *testing.F)    { fuzz(f, "mass", "50 lb", "2.2 kg", "1 ton") }
func FuzzParseDensity(f *testing.F) { fuzz(f, "density", "100 lb/ft3", "1.5 t/m3", "1 ton/yd³") }

func BenchmarkParseLength(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		_, _ = measure.ParseLength("5 ft 10 1/2 in")
	}
}

func BenchmarkParseLengthOfTwelveDigits(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		_, _ = measure.ParseLength("99999 ft 11.99999 in")
	}
}
