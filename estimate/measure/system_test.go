package measure_test

import (
	"encoding/json"
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"
	"testing"

	"bedline/estimate/measure"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Printed conversion factors, compared at their printed precision.
// Source: MIL-HDBK-1004/6, Appendix B (SI conversion factors), ids U-in-mm to U-tonyd3.
func TestUnitsAgreeWithThePrintedTable(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		id, kind, one string
		per           float64 // SI units in the printed unit
		printed       string
	}{
		{"U-in-mm", "length", "1 in", 1e-3, "25.4"},
		{"U-ft-m", "length", "1 ft", 1, "0.3048"},
		{"U-in2-mm2", "area", "1 in2", 1e-6, "645.16"},
		{"U-ft2-m2", "area", "1 ft2", 1, "0.092903"},
		{"U-yd2-m2", "area", "1 yd2", 1, "0.836127"},
		{"U-in3-mm3", "volume", "1 in3", 1e-9, "16387.1"},
		{"U-ft3-m3", "volume", "1 ft3", 1, "0.028317"},
		{"U-yd3-m3", "volume", "1 yd3", 1, "0.764555"},
		{"U-gal-L", "volume", "1 gal", 1e-3, "3.78541"},
		{"U-lb-kg", "mass", "1 lb", 1, "0.453592"},
		{"U-ton-t", "mass", "1 ton", 1e3, "0.907185"},
		{"U-pcf", "density", "1 lb/ft3", 1, "16.0185"},
		{"U-tonyd3", "density", "1 ton/yd3", 1e3, "1.18655"},
	} {
		v, err := parsers[c.kind](c.one)
		require.NoError(t, err)
		_, decimals, _ := strings.Cut(c.printed, ".")
		assert.Equal(t, c.printed, strconv.FormatFloat(v/c.per, 'f', len(decimals), 64), c.id)
	}
}

// Relations between units. Source: NIST Handbook 44, Appendix C (derived from the exact definitions, ids U-t-lb,
// U-yd3-ft3, U-ft3-gal, U-yd3-gal, U-ft3-in3).
func TestUnitsAgreeWithTheDefinitions(t *testing.T) {
	t.Parallel()
	assert.InDelta(t, 2204.6226, measure.Tonne.In(measure.Pound), 5e-5)
	assert.InDelta(t, 27, measure.CubicYard.In(measure.CubicFoot), 1e-14)
	gallon, err := measure.ParseVolume("1 gal")
	require.NoError(t, err)
	assert.InDelta(t, 7.480519, measure.CubicFoot.In(gallon), 5e-7)
	assert.InDelta(t, 201.974026, measure.CubicYard.In(gallon), 5e-7)
	inch, err := measure.ParseVolume("1 in3")
	require.NoError(t, err)
	assert.InDelta(t, 1728, measure.CubicFoot.In(inch), 1e-10)
	for _, c := range []struct {
		kind, text string
		constant   float64
	}{
		{"length", "1 in", float64(measure.Inch)}, {"length", "1 ft", float64(measure.Foot)}, {"length", "1 yd", float64(measure.Yard)},
		{"length", "1 mm", float64(measure.Millimetre)}, {"area", "1 ft2", float64(measure.SquareFoot)},
		{"volume", "1 ft3", float64(measure.CubicFoot)}, {"volume", "1 yd3", float64(measure.CubicYard)},
		{"mass", "1 lb", float64(measure.Pound)}, {"mass", "1 ton", float64(measure.ShortTon)}, {"mass", "1 t", float64(measure.Tonne)},
	} {
		v, err := parsers[c.kind](c.text)
		require.NoError(t, err)
		assert.Equal(t, c.constant, v, c.text)
	}
}

// Item 39 of the quantities: the units of answers.
func TestItem39AnswersAreInTheUnitsOfTheirSystem(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name string
		got  measure.Quantity
		want measure.Quantity
	}{
		{"a length in feet", measure.US.Length(1.778), measure.Quantity{Value: 5.83333333333, Unit: "ft"}},
		{"a depth in inches", measure.US.Depth(0.12065), measure.Quantity{Value: 4.75, Unit: "in"}},
		{"an area in square feet", measure.US.Area(9.290304), measure.Quantity{Value: 100, Unit: "ft2"}},
		{"a volume in cubic yards", measure.US.Volume(0.382277428992), measure.Quantity{Value: 0.5, Unit: "yd3"}},
		{"a mass in pounds", measure.US.Mass(22.6796185), measure.Quantity{Value: 50, Unit: "lb"}},
		{"a density in pounds per cubic foot", measure.US.Density(1601.846337396), measure.Quantity{Value: 100, Unit: "lb/ft3"}},
		{"an angle in degrees", measure.US.Angle(measure.Pi / 8), measure.Quantity{Value: 22.5, Unit: "deg"}},
		{"a length in metres", measure.Metric.Length(1.65), measure.Quantity{Value: 1.65, Unit: "m"}},
		{"a depth in millimetres", measure.Metric.Depth(0.09), measure.Quantity{Value: 90, Unit: "mm"}},
		{"an area in square metres", measure.Metric.Area(12.5), measure.Quantity{Value: 12.5, Unit: "m2"}},
		{"a volume in cubic metres", measure.Metric.Volume(0.1 + 0.2), measure.Quantity{Value: 0.3, Unit: "m3"}},
		{"a mass in kilograms", measure.Metric.Mass(2.2), measure.Quantity{Value: 2.2, Unit: "kg"}},
		{"a density in kilograms per cubic metre", measure.Metric.Density(1600), measure.Quantity{Value: 1600, Unit: "kg/m3"}},
		{"an angle in degrees again", measure.Metric.Angle(-measure.Pi), measure.Quantity{Value: -180, Unit: "deg"}},
	} {
		assert.Equal(t, c.want, c.got, c.name)
	}
}

func TestSystemsHaveNames(t *testing.T) {
	t.Parallel()
	for _, s := range []measure.System{measure.US, measure.Metric} {
		got, err := measure.ParseSystem(s.String())
		require.NoError(t, err)
		assert.Equal(t, s, got)
	}
	_, err := measure.ParseSystem("US")
	assert.ErrorContains(t, err, "us or metric")
}

func TestQuantitiesAreWrittenAsJSON(t *testing.T) {
	t.Parallel()
	b, err := json.Marshal(measure.US.Depth(0.12065))
	require.NoError(t, err)
	assert.Equal(t, `{"value":4.75,"unit":"in"}`, string(b))
	b, err = json.Marshal(measure.Metric.Volume(1e-9))
	require.NoError(t, err)
	assert.Equal(t, `{"value":0.000000001,"unit":"m3"}`, string(b))
}

func TestNumbersAreWrittenPlainly(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		value float64
		want  string
	}{
		{0, "0"}, {math.Copysign(0, -1), "0"}, {1, "1"}, {-1, "-1"}, {10, "10"}, {4.75, "4.75"}, {4.7500000000001, "4.75"},
		{0.1 + 0.2, "0.3"}, {123456789012, "123456789012"}, {1234567890123, "1234567890120"}, {1e21, "1000000000000000000000"},
		{1e-7, "0.0000001"}, {-0.05, "-0.05"}, {999999999999.9, "1000000000000"}, {1.0 / 3, "0.333333333333"}, {math.NaN(), "0"},
		{5e-324, "0." + strings.Repeat("0", 323) + "494065645841"},
	} {
		assert.Equal(t, c.want, string(measure.AppendNumber(nil, c.value)), "%v", c.value)
	}
	assert.Equal(t, `{"v":2.5`, string(measure.AppendNumber([]byte(`{"v":`), 2.5)))
}

func TestEveryWrittenNumberIsJSONNearItsValue(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64().Draw(t, "v")
		s := string(measure.AppendNumber(nil, v))
		require.True(t, json.Valid([]byte(s)), s)
		require.NotContains(t, strings.ToLower(s), "e")
		require.NotEqual(t, "-0", s)
		digits := strings.Trim(strings.NewReplacer("-", "", ".", "").Replace(s), "0")
		require.LessOrEqual(t, len(digits), 12)
		back, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		if !math.IsInf(v, 0) && math.Abs(v) < 1e307 {
			require.InDelta(t, v, back, math.Abs(v)*5.01e-12)
			// what is rounded is written as it is, and is the same again
			q := measure.Metric.Length(measure.Length(v)).Value
			require.Equal(t, s, string(measure.AppendNumber(nil, q)))
			require.Equal(t, q, measure.Metric.Length(measure.Length(q)).Value)
		}
	})
}

func TestQuantitiesAreAlwaysFinite(t *testing.T) {
	t.Parallel()
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, -math.MaxFloat64, math.Copysign(0, -1)} {
		for _, s := range []measure.System{measure.US, measure.Metric} {
			for _, q := range []measure.Quantity{s.Length(measure.Length(v)), s.Depth(measure.Length(v)), s.Area(measure.Area(v)),
				s.Volume(measure.Volume(v)), s.Mass(measure.Mass(v)), s.Density(measure.Density(v)), s.Angle(measure.Angle(v))} {
				assert.False(t, math.IsNaN(q.Value) || math.IsInf(q.Value, 0), "%v %v", v, q)
				assert.False(t, q.Value == 0 && math.Signbit(q.Value), "%v %v", v, q)
			}
			_ = measure.FormatLength(measure.Length(v), s)
		}
		_ = measure.FormatNumber(v, 2)
	}
}

func TestNumbersInWorkingsAreRoundedAsWithAPencil(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		value  float64
		digits int
		want   string
	}{
		{2.675, 2, "2.68"}, {1.005, 2, "1.01"}, {-2.675, 2, "-2.68"}, {0.125, 2, "0.13"}, {0.5, 0, "1"}, {1.5, 0, "2"}, {2.5, 0, "3"}, {-0.5, 0, "-1"},
		{0.49, 0, "0"}, {-0.004, 2, "0"}, {99.96, 1, "100"}, {0.0996, 3, "0.1"}, {9.999, 2, "10"}, {1234567, 2, "1234567"},
		{1.10, 2, "1.1"}, {0.05, 1, "0.1"}, {0.04, 1, "0"}, {0.006, 2, "0.01"}, {0.0006, 2, "0"}, {12.3456, -1, "12"}, {1e15, 3, "1000000000000000"},
	} {
		assert.Equal(t, c.want, measure.FormatNumber(c.value, c.digits), "%v to %d", c.value, c.digits)
	}
}

// The reference is decimal rounding of the exact value in whole hundredths.
func TestRoundingOfDecimalsIsHalfAwayFromZero(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.Int64Range(-1e10, 1e10).Draw(t, "thousandths")
		q, r := n/10, n%10
		if r >= 5 {
			q++
		} else if r <= -5 {
			q--
		}
		want := new(big.Rat).SetFrac64(q, 100).FloatString(2)
		want = strings.TrimRight(strings.TrimRight(want, "0"), ".")
		require.Equal(t, want, measure.FormatNumber(float64(n)/1000, 2))
	})
}

func TestLengthsForPeople(t *testing.T) {
	t.Parallel()
	in := func(x float64) measure.Length { return measure.Length(x * 0.0254) }
	for _, c := range []struct {
		length measure.Length
		system measure.System
		want   string
	}{
		{in(70.5), measure.US, "5 ft 10 1/2 in"}, {in(4.75), measure.US, "4 3/4 in"}, {in(0.125), measure.US, "1/8 in"}, {in(12), measure.US, "1 ft"},
		{in(72), measure.US, "6 ft"}, {0, measure.US, "0 in"}, {in(0.05), measure.US, "0 in"}, {in(-0.05), measure.US, "0 in"},
		{in(-70), measure.US, "-5 ft 10 in"}, {in(-0.5), measure.US, "-1/2 in"}, {in(12.25), measure.US, "1 ft 1/4 in"}, {in(11.95), measure.US, "1 ft"},
		{in(0.0625), measure.US, "1/8 in"}, {in(0.1875), measure.US, "1/4 in"}, {in(264), measure.US, "22 ft"}, {in(78), measure.US, "6 ft 6 in"},
		{0.09, measure.Metric, "90 mm"}, {1.65, measure.Metric, "1.65 m"}, {1, measure.Metric, "1 m"}, {0.9994, measure.Metric, "999 mm"},
		{0.9996, measure.Metric, "1 m"}, {0, measure.Metric, "0 mm"}, {-0.0004, measure.Metric, "0 mm"}, {-0.05, measure.Metric, "-50 mm"},
		{12.3456, measure.Metric, "12.346 m"}, {0.0005, measure.Metric, "1 mm"}, {-2.5, measure.Metric, "-2.5 m"}, {100, measure.Metric, "100 m"},
	} {
		assert.Equal(t, c.want, measure.FormatLength(c.length, c.system))
	}
}

func TestLengthsForPeopleCanBeReadBack(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		l := measure.Length(rapid.Float64Range(-1e5, 1e5).Draw(t, "l"))
		us, err := measure.ParseLength(measure.FormatLength(l, measure.US))
		require.NoError(t, err)
		require.InDelta(t, float64(l), float64(us), 0.0254/16+1e-6)
		metric, err := measure.ParseLength(measure.FormatLength(l, measure.Metric))
		require.NoError(t, err)
		require.InDelta(t, float64(l), float64(metric), 0.0005+1e-6)
	})
}

// Item 31: the guard of rounding up.
func TestItem31RoundingUpForgivesRoundingErrors(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		x        float64
		up, down int
	}{
		{6, 6, 6}, {6.000000001, 6, 6}, {6.00000001, 7, 6}, {5.9999999999, 6, 6}, {5.9, 6, 5}, {0, 0, 0}, {1e-10, 0, 0}, {1e-8, 1, 0}, {-0.5, 0, -1},
		{-1e-10, 0, 0}, {math.NaN(), 0, 0}, {math.Inf(1), 1 << 53, 1 << 53}, {math.Inf(-1), -1 << 53, -1 << 53}, {1e6 + 1e-4, 1e6, 1e6}, {1e6 + 1e-2, 1e6 + 1, 1e6},
	} {
		assert.Equal(t, c.up, measure.RoundUp(c.x), "up %v", c.x)
		assert.Equal(t, c.down, measure.RoundDown(c.x), "down %v", c.x)
	}
}

func ExampleParseLength() {
	l, err := measure.ParseLength(`5' 10 1/2"`)
	fmt.Println(float64(l), err)
	_, err = measure.ParseLength("70")
	fmt.Println(err)
	// Output:
	// 1.7907 <nil>
	// length has a number without a unit: use ft, in, yd, mm, cm, m or the foot and inch marks; write it like 70 in
}

func ExampleFormatLength() {
	fmt.Println(measure.FormatLength(1.7907, measure.US))
	fmt.Println(measure.FormatLength(1.7907, measure.Metric))
	// Output:
	// 5 ft 10 1/2 in
	// 1.791 m
}

func BenchmarkAppendNumber(b *testing.B) {
	b.ReportAllocs()
	var buf [64]byte
	for b.Loop() {
		_ = measure.AppendNumber(buf[:0], 4.75)
	}
}
