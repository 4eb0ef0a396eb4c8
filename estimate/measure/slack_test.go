package measure_test

import (
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"

	"bedline/estimate/measure"
)

// t - sin t by its series in 200 bits.
func TestSlackKeepsItsDigitsAtSmallAngles(t *testing.T) {
	t.Parallel()
	for _, angle := range []float64{1e-9, 1e-5, 0.001, 0.1, 0.2499, 0.2501, 1, 3, 6.28, -0.01, -2} {
		x := new(big.Float).SetPrec(200).SetFloat64(angle)
		square := new(big.Float).Mul(x, x)
		term, sum := new(big.Float).SetPrec(200).Set(x), new(big.Float).SetPrec(200)
		for k := int64(1); k < 60; k++ {
			term.Mul(term, square)
			term.Quo(term, new(big.Float).SetInt64(2*k*(2*k+1)))
			if k%2 == 1 {
				sum.Add(sum, term)
			} else {
				sum.Sub(sum, term)
			}
		}
		want, _ := sum.Float64()
		assert.InEpsilon(t, want, measure.Slack(measure.Angle(angle)), 1e-13, angle)
	}
}
