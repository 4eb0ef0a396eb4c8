package calibrate

import (
	"math"
	"slices"

	"bedline/estimate/measure"
)

// The rule for outliers: a modified z-score above 3.5 (Iglewicz and Hoaglin, How to Detect and Handle Outliers, as in the
// NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17).
const (
	mostScore = 3.5

	// A median absolute deviation is 0.6745 standard deviations of a normal distribution, a mean one 0.7979.
	perMedianDeviation = 0.6745
	perMeanDeviation   = 0.7979

	// leastSpread is the least spread of figures that the score reckons with: figures are written down to a few digits, and
	// differences below 3.5 times as much are never told as outliers.
	leastSpread = 0.01

	// alike is a spread that is nothing but rounding error of the arithmetic.
	alike = 1e-9

	// FewestForOutliers is how few figures tell nothing of outliers among them: with three, two that agree by chance make
	// one of the third.
	FewestForOutliers = 4
)

// Outliers are what stands out among figures.
type Outliers struct {
	Median measure.Factor   // as a ratio
	Spread measure.Factor   // of the figures, on the scale: a standard deviation as the rule reckons it
	Scores []measure.Factor // of each figure: how many spreads it lies above (or, below zero, below) the median
	Which  []int            // the figures whose scores are above 3.5 either way, rising
	Limits []measure.Factor // for each of Which the ratio at a score of 3.5 on its side
}

// FindOutliers scores figures by the rule. Weights have no bearing. Fewer than FewestForOutliers have no outliers.
//
// The spread is the median absolute deviation from the median over 0.6745; where half of the figures or more are
// alike, the mean absolute deviation over 0.7979; and never below 0.01.
func FindOutliers(scale Scale, figures []Figure) Outliers {
	n := len(figures)
	if n == 0 {
		return Outliers{}
	}
	values := make([]float64, n)
	for i, f := range figures {
		values[i] = scale.of(f.Ratio)
	}
	middle := median(values)
	off := make([]float64, n)
	for i, v := range values {
		off[i] = math.Abs(v - middle)
	}
	spread := median(off) / perMedianDeviation
	if spread < alike {
		ordered := slices.Sorted(slices.Values(off))
		sum := 0.0
		for _, d := range ordered {
			sum += d
		}
		spread = sum / float64(n) / perMeanDeviation
	}
	spread = max(spread, leastSpread)
	out := Outliers{Median: scale.back(middle), Spread: measure.Factor(spread), Scores: make([]measure.Factor, n)}
	for i, v := range values {
		score := (v - middle) / spread
		out.Scores[i] = measure.Factor(score)
		if n >= FewestForOutliers && math.Abs(score) > mostScore {
			out.Which = append(out.Which, i)
			out.Limits = append(out.Limits, scale.back(middle+math.Copysign(float64(mostScore*spread), score)))
		}
	}
	return out
}

// FarOff tells whether the figures' own mean lies as far from what was assumed as an outlier from its fellows.
func (p Prior) FarOff(scale Scale, e *Estimate) bool {
	return math.Abs(float64(e.Mean)-scale.of(p.Centre)) > mostScore*float64(p.Spread)
}

func median(values []float64) float64 {
	ordered := slices.Sorted(slices.Values(values))
	n := len(ordered)
	if n%2 == 1 {
		return ordered[n/2]
	}
	return (ordered[n/2-1] + ordered[n/2]) / 2
}
