package calibrate_test

import (
	"encoding/json"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate/measure"
	"bedline/pricing/calibrate"
)

// testdata/oracle.py says how the figures of testdata/oracle.json were found: by integrating over a grid, and by the
// incomplete beta function of SciPy.
func TestPosteriorsAgreeWithIntegrationOverAGrid(t *testing.T) {
	t.Parallel()
	text, err := os.ReadFile("testdata/oracle.json")
	require.NoError(t, err)
	var oracle struct {
		Student    map[int]float64
		Posteriors []struct {
			Logarithmic       bool
			Centre, Spread    measure.Factor
			Jobs              int
			Ratios, Weights   []measure.Factor
			Middle, Low, High float64
		}
	}
	require.NoError(t, json.Unmarshal(text, &oracle))
	require.Len(t, oracle.Student, 70)
	for degrees, want := range oracle.Student {
		assert.InEpsilon(t, want, float64(calibrate.Student(degrees)), 1e-11, "%d degrees", degrees)
	}
	require.Len(t, oracle.Posteriors, 14)
	for i, c := range oracle.Posteriors {
		scale := calibrate.Plain
		if c.Logarithmic {
			scale = calibrate.Logarithmic
		}
		var figures []calibrate.Figure
		for k := range c.Ratios {
			figures = append(figures, calibrate.Figure{Ratio: c.Ratios[k], Weight: c.Weights[k]})
		}
		e := calibrate.Prior{Centre: c.Centre, Jobs: c.Jobs, Spread: c.Spread}.Update(scale, figures)
		assert.InDelta(t, c.Middle, float64(e.Middle), 2e-5, "case %d", i)
		assert.InDelta(t, c.Low, float64(e.Middle-e.Margin), 2e-4, "case %d", i)
		assert.InDelta(t, c.High, float64(e.Middle+e.Margin), 2e-4, "case %d", i)
	}
}
