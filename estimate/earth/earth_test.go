package earth_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"bedline/estimate/earth"
	"bedline/estimate/measure"
)

func TestDeepestTakesTheDeepestThatCoversAndOfEqualOnesTheFirst(t *testing.T) {
	t.Parallel()
	all := func(int) bool { return true }
	tests := []struct {
		name   string
		depths []measure.Length
		covers func(int) bool
		want   int
	}{
		{"nothing is dug", nil, all, earth.None},
		{"no depth is no digging", []measure.Length{0, 0}, all, earth.None},
		{"the deeper counts", []measure.Length{0.05, 0.15, 0.10}, all, 1},
		{"the first of equals counts", []measure.Length{0.05, 0.15, 0.15}, all, 1},
		{"a binary digit makes none deeper", []measure.Length{0.1524, measure.Length(math.Nextafter(0.1524, 1))}, all, 0},
		{"a hundredth of a millimetre does", []measure.Length{0.1524, 0.15241}, all, 1},
		{"what does not cover does not count", []measure.Length{0.05, 0.15, 0.10}, func(i int) bool { return i != 1 }, 2},
		{"none covers", []measure.Length{0.05}, func(int) bool { return false }, earth.None},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			assert.Equal(t, test.want, earth.Deepest(test.depths, test.covers))
		})
	}
}

// US Army FM 5-434, Table 1-1, bank to loose, from memory. A US Navy training manual says the same of sand: 100 yd3 in
// place become 111 yd3 (from memory).
func TestHeapSwells(t *testing.T) {
	t.Parallel()
	for swell, loose := range map[measure.Factor]float64{1.11: 111, 1.25: 125, 1.43: 143, 1.50: 150} {
		assert.InDelta(t, loose, earth.Heap(100*measure.CubicYard, swell, 1500).Loose.In(measure.CubicYard), 1e-9)
	}
}

// Nunnally, Construction Methods and Management, Example 2-1, from memory: 2800 lb/yd3 in the bank and 1960 lb/yd3
// loose are a swell of 42.9 %; the heap weighs what the bank weighed.
func TestHeapKeepsItsMass(t *testing.T) {
	t.Parallel()
	perYard := func(lb float64) measure.Density {
		return measure.Density(lb * float64(measure.Pound) / float64(measure.CubicYard))
	}
	heap := earth.Heap(10*measure.CubicYard, 1.42857, perYard(2800))
	assert.InDelta(t, 28000, heap.Mass.In(measure.Pound), 1e-6)
	assert.InDelta(t, 1960, heap.Mass.In(measure.Pound)/heap.Loose.In(measure.CubicYard), 0.01)
}

func TestCutAddsUp(t *testing.T) {
	t.Parallel()
	var c earth.Cut
	c.Add(162*measure.SquareFoot, 2*measure.Inch) // 162 ft2 of 2 in are a cubic yard
	c.Add(81*measure.SquareFoot, 4*measure.Inch)  // and so are 81 ft2 of 4 in
	assert.InDelta(t, 243, c.Area.In(measure.SquareFoot), 1e-9)
	assert.InDelta(t, 2, c.Volume.In(measure.CubicYard), 1e-9)
}

func TestDeepestNeverTakesOneThatAnotherIsDeeperThan(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		depths := rapid.SliceOf(rapid.Custom(func(t *rapid.T) measure.Length {
			return measure.Length(rapid.IntRange(0, 5).Draw(t, "step")) * 0.0127
		})).Draw(t, "depths")
		covered := rapid.SliceOfN(rapid.Bool(), len(depths), len(depths)).Draw(t, "covered")
		best := earth.Deepest(depths, func(i int) bool { return covered[i] })
		for i, depth := range depths {
			if !covered[i] || depth == 0 {
				assert.NotEqual(t, i, best)
				continue
			}
			assert.NotEqual(t, earth.None, best)
			assert.LessOrEqual(t, depth, depths[best])
			assert.True(t, depth < depths[best] || i >= best, "an equal one before the one taken")
		}
	})
}
