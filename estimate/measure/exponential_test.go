package measure_test

import (
	"math"
	"math/big"
	"testing"

	"bedline/estimate/measure"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// exponential is e to the power of x by its series in 400 bits, good for |x| up to 20.
func exponential(x float64) *big.Float {
	term, sum := float(1), float(0)
	for k := 1; k < 260; k++ {
		sum.Add(sum, term)
		term.Mul(term, float(x))
		term.Quo(term, float(float64(k)))
	}
	return sum
}

func TestExponentialsAgreeWithTheirSeries(t *testing.T) {
	t.Parallel()
	for i := range 3000 {
		x := -16 + float64(i)*0.0107
		want, _ := exponential(x).Float64()
		require.LessOrEqual(t, ulps(measure.Exp(x), want), 1.0, "exp %v", x)
	}
}

// If e^l misses x by e, then l misses log x by e/x.
func TestLogarithmsInvertTheSeries(t *testing.T) {
	t.Parallel()
	for i := range 3000 {
		x := 0.001 + float64(i)*float64(i)*0.00107
		l := measure.Log(x)
		miss, _ := new(big.Float).Sub(exponential(l), float(x)).Float64()
		require.LessOrEqual(t, math.Abs(miss/x), 1*(math.Nextafter(math.Abs(l), 99)-math.Abs(l)), "log %v", x)
	}
}

// The reference is Go's package math, which has assembly of its own on some machines.
func TestExponentialsAndLogarithmsAreWithinTwoUlpsOfPackageMath(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(-700, 700).Draw(t, "x")
		assert.LessOrEqual(t, ulps(measure.Exp(x), math.Exp(x)), 2.0)
		y := math.Exp(x)
		assert.LessOrEqual(t, ulps(measure.Log(y), math.Log(y)), 2.0)
	})
}

func TestExponentialsAndLogarithmsAtTheEnds(t *testing.T) {
	t.Parallel()
	inf := math.Inf(1)
	assert.Equal(t, []float64{0, inf, -inf, inf, 1, 0, 5e-324}, []float64{measure.Log(1), measure.Log(inf), measure.Log(0), measure.Exp(inf), measure.Exp(0), measure.Exp(-inf), measure.Exp(-745)})
	assert.Equal(t, []float64{inf, 0}, []float64{measure.Exp(710), measure.Exp(-746)})
	for _, x := range []float64{measure.Log(-1), measure.Log(math.NaN()), measure.Exp(math.NaN())} {
		assert.True(t, math.IsNaN(x))
	}
	// Abramowitz and Stegun, tables 4.2 and 4.4, from memory: ln 2 and e to 15 places.
	assert.Equal(t, []float64{0.693147180559945, 2.718281828459045}, []float64{math.Trunc(measure.Log(2)*1e15) / 1e15, measure.Exp(1)})
}
