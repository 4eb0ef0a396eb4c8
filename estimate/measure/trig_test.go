package measure_test

import (
	"fmt"
	"math"
	"math/big"
	"os"
	"os/exec"
	"runtime"
	"strings"
	"testing"

	"bedline/estimate/measure"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// ulps is the distance of got from want in units of the last place of want.
func ulps(got, want float64) float64 {
	if got == want || got != got && want != want {
		return 0
	}
	return math.Abs(got-want) / (math.Nextafter(math.Abs(want), math.Inf(1)) - math.Abs(want))
}

func plain(f func(measure.Angle) float64) func(float64) float64 {
	return func(x float64) float64 { return f(measure.Angle(x)) }
}

func angled(f func(float64) measure.Angle) func(float64) float64 {
	return func(x float64) float64 { return float64(f(x)) }
}

// The reference is Go's package math, which goes another way (Cephes).
func TestFunctionsAreWithinTwoUlpsOfPackageMath(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name       string
		ours, math func(float64) float64
		low, high  float64
	}{
		{"sine near zero", plain(measure.Sin), math.Sin, -4, 4},
		{"sine far out", plain(measure.Sin), math.Sin, -1e4, 1e4},
		{"cosine near zero", plain(measure.Cos), math.Cos, -4, 4},
		{"cosine far out", plain(measure.Cos), math.Cos, -1e4, 1e4},
		{"tangent near zero", plain(measure.Tan), math.Tan, -4, 4},
		{"tangent far out", plain(measure.Tan), math.Tan, -1e4, 1e4},
		{"arctangent of slopes", angled(measure.Atan), math.Atan, -3, 3},
		{"arctangent far out", angled(measure.Atan), math.Atan, -1e6, 1e6},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			worst, at := 0.0, 0.0
			const n = 400_000
			for i := range n + 1 {
				x := c.low + (c.high-c.low)*float64(i)/n
				if u := ulps(c.ours(x), c.math(x)); u > worst {
					worst, at = u, x
				}
			}
			assert.LessOrEqual(t, worst, 2.0, "at %v", at)
		})
	}
}

const precision = 400

func float(x float64) *big.Float { return new(big.Float).SetPrec(precision).SetFloat64(x) }

// series is sin x (from the power 1) or cos x (from 0) by Taylor's series in 400 bits, good for |x| up to 10.
func series(x float64, from int64) *big.Float {
	square := float(x)
	square.Mul(square, float(x))
	term, sum := float(1), float(0)
	if from == 1 {
		term = float(x)
	}
	for k := from; k < 140; k += 2 {
		sum.Add(sum, term)
		term.Mul(term, square)
		term.Quo(term, float(float64((k+1)*(k+2))))
		term.Neg(term)
	}
	return sum
}

func TestSineCosineAndTangentAgreeWithTheirSeries(t *testing.T) {
	t.Parallel()
	for i := range 1500 {
		x := -8 + float64(i)*0.0107
		s, c := series(x, 1), series(x, 0)
		tan, _ := new(big.Float).SetPrec(precision).Quo(s, c).Float64()
		sin, _ := s.Float64()
		cos, _ := c.Float64()
		require.LessOrEqual(t, ulps(measure.Sin(measure.Angle(x)), sin), 1.0, "sin %v", x)
		require.LessOrEqual(t, ulps(measure.Cos(measure.Angle(x)), cos), 1.0, "cos %v", x)
		require.LessOrEqual(t, ulps(measure.Tan(measure.Angle(x)), tan), 1.0, "tan %v", x)
	}
}

// Package math is no reference here: near 1 it loses half of the digits. If sin(a) misses x by e, then a misses
// asin(x) by e/cos(a), and likewise for the cosine.
func TestArcsineAndArccosineInvertTheSeries(t *testing.T) {
	t.Parallel()
	check := func(x float64) {
		a := float64(measure.Asin(x))
		miss, _ := new(big.Float).Sub(series(a, 1), float(x)).Float64()
		if x != 1 && x != -1 {
			cos, _ := series(a, 0).Float64()
			require.LessOrEqual(t, math.Abs(miss/cos), 1*(math.Nextafter(math.Abs(a), 4)-math.Abs(a)), "asin %v", x)
		}
		b := float64(measure.Acos(x))
		miss, _ = new(big.Float).Sub(series(b, 0), float(x)).Float64()
		if x != 1 && x != -1 {
			sin, _ := series(b, 1).Float64()
			require.LessOrEqual(t, math.Abs(miss/sin), 1*(math.Nextafter(math.Abs(b), 4)-math.Abs(b)), "acos %v", x)
		}
	}
	for i := range 2001 {
		check(float64(i-1000) / 1000)
	}
	for e := 1e-15; e < 0.1; e *= 1.7 {
		check(1 - e)
		check(-1 + e)
		check(e)
	}
}

func TestAnglesKnownExactly(t *testing.T) {
	t.Parallel()
	assert.Equal(t, measure.Pi/2, measure.Degrees(90))
	assert.Equal(t, measure.Pi/4, measure.Degrees(45))
	assert.Equal(t, measure.Pi, measure.Degrees(180))
	assert.Equal(t, 2*measure.Pi, measure.Degrees(360))
	assert.Equal(t, -measure.Pi/2, measure.Degrees(-90))
	for d := -720.0; d <= 720; d += 0.125 {
		assert.Equal(t, d, measure.Degrees(d).Degrees())
	}
	assert.Equal(t, 1.0, measure.Sin(measure.Degrees(90)))
	assert.Equal(t, 1.0, measure.Cos(0))
	assert.InDelta(t, 0, measure.Sin(measure.Pi), 1.3e-16)
	assert.InDelta(t, 0.5, measure.Sin(measure.Degrees(30)), 1e-16)
	assert.InDelta(t, 0.5, measure.Cos(measure.Degrees(60)), 2e-16)
	assert.InDelta(t, 1, measure.Tan(measure.Degrees(45)), 2e-16)
	assert.Equal(t, measure.Pi/2, measure.Asin(1))
	assert.Equal(t, measure.Pi, measure.Acos(-1))
	assert.Equal(t, measure.Pi/4, measure.Atan(1))
	assert.True(t, math.IsNaN(float64(measure.Asin(1.0000001))))
	assert.True(t, math.IsNaN(float64(measure.Acos(-1.0000001))))
	assert.True(t, math.IsNaN(measure.Sin(measure.Angle(math.Inf(1)))))
	assert.True(t, math.IsNaN(measure.Tan(measure.Angle(math.NaN()))))
}

// Where y/x vanishes package math gives a negative y the angle +Pi (Go 1.26); the sign of y is right (C standard, annex F, from memory).
func TestArctangentOfTwoTreatsEdgesAsPackageMath(t *testing.T) {
	t.Parallel()
	edges := []float64{0, math.Copysign(0, -1), 1, -1, 1e-300, -1e-300, 1e300, -1e300, math.Inf(1), math.Inf(-1), math.NaN(), 5e-324}
	for _, y := range edges {
		for _, x := range edges {
			got, want := float64(measure.Atan2(y, x)), math.Atan2(y, x)
			if want != want {
				assert.True(t, got != got, "atan2 %v %v", y, x)
				continue
			}
			assert.LessOrEqual(t, ulps(math.Abs(got), math.Abs(want)), 1.0, "atan2 %v %v: %v for %v", y, x, got, want)
			assert.Equal(t, math.Signbit(y), math.Signbit(got), "atan2 %v %v", y, x)
		}
	}
}

func TestTrigonometryHoldsItsIdentities(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(-1e4, 1e4).Draw(t, "x")
		a := measure.Angle(x)
		s, c := measure.Sin(a), measure.Cos(a)
		assert.InDelta(t, 1, s*s+c*c, 4e-16)
		assert.Equal(t, -s, measure.Sin(-a))
		assert.Equal(t, c, measure.Cos(-a))
		assert.Equal(t, -measure.Tan(a), measure.Tan(-a))
		assert.LessOrEqual(t, ulps(s, math.Sin(x)), 2.0)
		assert.LessOrEqual(t, ulps(c, math.Cos(x)), 2.0)
		y := rapid.Float64Range(-1e4, 1e4).Draw(t, "y")
		assert.LessOrEqual(t, ulps(float64(measure.Atan2(y, x)), math.Atan2(y, x)), 2.0)
	})
}

// The same program is built for the first and the third level of the instruction set; the third has fused
// multiply-add, which the compiler uses wherever it may.
func TestBitsAreTheSameWithAndWithoutFusedMultiplyAdd(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("builds two programs")
	}
	if runtime.GOARCH != "amd64" {
		t.Skip("the levels are those of amd64")
	}
	flags, err := os.ReadFile("/proc/cpuinfo")
	if err != nil {
		t.Skip("cannot tell what the processor can do")
	}
	for _, need := range []string{" fma ", " avx2 ", " bmi2 "} {
		if !strings.Contains(strings.ReplaceAll(string(flags), "\n", " "), need) {
			t.Skipf("the processor lacks%s", need)
		}
	}
	run := func(level string) []string {
		cmd := exec.Command("go", "run", "./testdata/bits")
		cmd.Env = append(os.Environ(), "GOAMD64="+level, "GOFLAGS=")
		out, err := cmd.CombinedOutput()
		require.NoError(t, err, "%s", out)
		return strings.Split(strings.TrimSpace(string(out)), "\n")
	}
	v1, v3 := run("v1"), run("v3")
	require.Len(t, v1, 32)
	last := len(v1) - 1
	assert.Equal(t, v1[:last], v3[:last])
	assert.NotEqual(t, v1[last], v3[last], "nothing was fused, so nothing was shown")
}

func ExampleDegrees() {
	fmt.Println(measure.Degrees(90).Degrees())
	// Output: 90
}
