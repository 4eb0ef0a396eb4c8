package calibrate

import (
	"cmp"
	"math"
	"slices"

	"bedline/estimate/measure"
)

// Scale is the scale on which ratios are averaged.
type Scale uint8

// The scales.
const (
	// Plain averages the ratios themselves. With weights in proportion to what was estimated, their mean is what all
	// jobs took over what was estimated for all of them: the ratio estimator (Cochran, Sampling Techniques, 6.2).
	Plain Scale = iota + 1

	// Logarithmic averages natural logarithms: twice as much and half as much are equally far off.
	Logarithmic
)

// of is a ratio on the scale.
func (s Scale) of(r measure.Factor) float64 {
	if s == Logarithmic {
		return measure.Log(float64(r))
	}
	return float64(r)
}

// back is a value of the scale as a ratio.
func (s Scale) back(v float64) measure.Factor {
	if s == Logarithmic {
		return measure.Factor(measure.Exp(v))
	}
	return measure.Factor(v)
}

// Figure is what one past job says: the ratio of what it took to what was estimated, and how much that counts beside the
// other figures. Both are above zero and finite.
type Figure struct {
	Ratio  measure.Factor
	Weight measure.Factor // only the proportions of weights matter
}

// Prior is what was assumed before any job was looked at.
type Prior struct {
	Centre measure.Factor // a ratio; above zero where logarithms are averaged
	Jobs   int            // how many past jobs it counts as, at least 1
	Spread measure.Factor // the standard deviation of single jobs, on the scale; above zero
}

// Estimate is a factor as found from past jobs and what was assumed. Ratios are ratios again, whatever the scale; what
// is on the scale says so.
type Estimate struct {
	Centre    measure.Factor
	Low, High measure.Factor // the centre lies between them with a chance of 90 in 100
	Own       measure.Factor // the mean of the figures alone; the prior's centre where there are none
	Share     measure.Factor // of the figures in the centre, the prior has the rest: n / (k + n)
	Degrees   int            // of freedom, k + n
	Student   measure.Factor // the t of those degrees that the interval is made with

	// On the scale:
	Mean     measure.Factor // of the figures alone
	Squares  measure.Factor // the sum of w (y - Mean)^2
	Variance measure.Factor // of single jobs
	Middle   measure.Factor // the centre
	Margin   measure.Factor // half the interval
}

// Update brings together what was assumed and what past jobs say. The order of the figures has no bearing on the result,
// to the bit.
func (p Prior) Update(scale Scale, figures []Figure) Estimate {
	ordered := slices.Clone(figures)
	slices.SortFunc(ordered, func(a, b Figure) int {
		return cmp.Or(cmp.Compare(a.Ratio, b.Ratio), cmp.Compare(a.Weight, b.Weight))
	})
	centre, k, n := scale.of(p.Centre), float64(p.Jobs), float64(len(ordered))
	mean, squares := centre, 0.0
	if len(ordered) > 0 {
		var total, sum float64
		for _, f := range ordered {
			total += float64(f.Weight)
		}
		// About the first, so that digits are not lost where all lie close together.
		about := scale.of(ordered[0].Ratio)
		for _, f := range ordered {
			sum += float64(float64(f.Weight) / total * (scale.of(f.Ratio) - about))
		}
		mean = about + sum
		for _, f := range ordered {
			off := scale.of(f.Ratio) - mean
			squares += float64(float64(f.Weight) / total * n * float64(off*off))
		}
	}
	share := n / (k + n)
	gap := mean - centre
	variance := (float64(k*float64(p.Spread)*float64(p.Spread)) + squares + float64(k*share*float64(gap*gap))) / (k + n)
	middle := centre + float64(share*gap)
	degrees := p.Jobs + len(ordered)
	student := Student(degrees)
	margin := float64(float64(student) * math.Sqrt(variance/(k+n)))
	return Estimate{
		Centre: scale.back(middle), Low: scale.back(middle - margin), High: scale.back(middle + margin), Own: scale.back(mean),
		Share: measure.Factor(share), Degrees: degrees, Student: student,
		Mean: measure.Factor(mean), Squares: measure.Factor(squares), Variance: measure.Factor(variance),
		Middle: measure.Factor(middle), Margin: measure.Factor(margin),
	}
}
