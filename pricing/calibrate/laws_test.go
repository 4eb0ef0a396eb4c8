package calibrate_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"bedline/estimate/measure"
	"bedline/pricing/calibrate"
)

var scales = rapid.SampledFrom([]calibrate.Scale{calibrate.Plain, calibrate.Logarithmic})

func figures(least, most int) *rapid.Generator[[]calibrate.Figure] {
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) calibrate.Figure {
		return calibrate.Figure{Ratio: measure.Factor(rapid.Float64Range(0.1, 10).Draw(t, "ratio")), Weight: measure.Factor(rapid.Float64Range(0.01, 100).Draw(t, "weight"))}
	}), least, most)
}

func priors() *rapid.Generator[calibrate.Prior] {
	return rapid.Custom(func(t *rapid.T) calibrate.Prior {
		return calibrate.Prior{Centre: measure.Factor(rapid.Float64Range(0.5, 2).Draw(t, "centre")), Jobs: rapid.IntRange(1, 50).Draw(t, "jobs"),
			Spread: measure.Factor(rapid.Float64Range(0.01, 1).Draw(t, "spread"))}
	})
}

func TestTheOrderOfFiguresHasNoBearingToTheBit(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		scale, p, list := scales.Draw(t, "scale"), priors().Draw(t, "prior"), figures(0, 30).Draw(t, "figures")
		turned := rapid.Permutation(list).Draw(t, "turned")
		assert.Equal(t, p.Update(scale, list), p.Update(scale, turned))
		a, b := calibrate.FindOutliers(scale, list), calibrate.FindOutliers(scale, turned)
		assert.Equal(t, []any{a.Median, a.Spread, len(a.Which)}, []any{b.Median, b.Spread, len(b.Which)})
	})
}

func TestRatiosInAnotherUnitGiveTheSameInThatUnit(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		scale, p, list := scales.Draw(t, "scale"), priors().Draw(t, "prior"), figures(1, 30).Draw(t, "figures")
		times := measure.Factor(rapid.Float64Range(0.2, 5).Draw(t, "times"))
		weigh := measure.Factor(rapid.Float64Range(0.2, 5).Draw(t, "weigh"))
		scaled, q := make([]calibrate.Figure, len(list)), p
		for i, f := range list {
			scaled[i] = calibrate.Figure{Ratio: f.Ratio * times, Weight: f.Weight * weigh}
		}
		q.Centre *= times
		if scale == calibrate.Plain {
			q.Spread *= times
		}
		a, b := p.Update(scale, list), q.Update(scale, scaled)
		for _, pair := range [][2]measure.Factor{{a.Centre, b.Centre}, {a.Own, b.Own}, {a.High, b.High}, {a.High - a.Low, b.High - b.Low}} {
			assert.InEpsilon(t, float64(pair[0]*times), float64(pair[1]), 1e-9)
		}
	})
}

func TestTheCentreLiesBetweenWhatWasAssumedAndTheFigures(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		scale, p, list := scales.Draw(t, "scale"), priors().Draw(t, "prior"), figures(0, 30).Draw(t, "figures")
		e := p.Update(scale, list)
		assert.GreaterOrEqual(t, float64(e.Centre), math.Min(float64(p.Centre), float64(e.Own))*(1-1e-12))
		assert.LessOrEqual(t, float64(e.Centre), math.Max(float64(p.Centre), float64(e.Own))*(1+1e-12))
		assert.Less(t, e.Low, e.Centre)
		assert.Greater(t, e.High, e.Centre)
		if len(list) == 0 {
			assert.InEpsilon(t, float64(p.Centre), float64(e.Centre), 1e-15)
		}
	})
}

func TestMoreJobsOfTheSameKindMoveTheCentreFartherFromWhatWasAssumed(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		scale, p, list := scales.Draw(t, "scale"), priors().Draw(t, "prior"), figures(1, 10).Draw(t, "figures")
		var all []calibrate.Figure
		var before calibrate.Estimate
		for i := range 6 {
			all = append(all, list...)
			e := p.Update(scale, all)
			if i > 0 {
				assert.GreaterOrEqual(t, math.Abs(float64(e.Middle)-mid(scale, p.Centre)), math.Abs(float64(before.Middle)-mid(scale, p.Centre))-1e-12)
				assert.InDelta(t, float64(e.Own), float64(before.Own), 1e-9)
			}
			before = e
		}
		// With 49 times as many jobs as the prior counts as, a fiftieth of what was assumed is left.
		p.Jobs = 1
		for len(all) < 49 {
			all = append(all, all...)
		}
		e := p.Update(scale, all[:49])
		assert.InDelta(t, 0.98, float64(e.Share), 1e-12)
		assert.InDelta(t, (mid(scale, p.Centre)+49*float64(e.Mean))/50, float64(e.Middle), 1e-9)
	})
}

func mid(scale calibrate.Scale, r measure.Factor) float64 {
	if scale == calibrate.Logarithmic {
		return math.Log(float64(r))
	}
	return float64(r)
}

func TestAPriorOfVeryManyJobsStands(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		scale, p, list := scales.Draw(t, "scale"), priors().Draw(t, "prior"), figures(1, 10).Draw(t, "figures")
		last := math.Inf(1)
		for _, jobs := range []int{1, 10, 100, 1000, 100000} {
			p.Jobs = jobs
			gap := math.Abs(float64(p.Update(scale, list).Centre - p.Centre))
			assert.LessOrEqual(t, gap, last+1e-12)
			last = gap
		}
		assert.Less(t, last, 0.002)
	})
}

// Simulated crews: the interval of nine in ten holds the truth as often as it says, where truth and jobs are drawn as the
// estimator assumes (Box and Tiao: intervals of a proper prior are right on the average over it).
func TestIntervalsHoldTheTruthAsOftenAsTheySay(t *testing.T) {
	t.Parallel()
	next := uint64(20270411)
	uniform := func() float64 { // a multiplicative generator with a fixed beginning (L'Ecuyer 1999, from memory)
		next = next*6364136223846793005 + 1442695040888963407
		return (float64(next>>11) + 0.5) / (1 << 53)
	}
	normal := func() float64 { // Box and Muller
		return math.Sqrt(-2*math.Log(uniform())) * math.Cos(2*math.Pi*uniform())
	}
	const crews, k, spread = 10000, 3, 0.25
	held := 0
	for range crews {
		squares := 0.0
		for range k {
			z := normal()
			squares += z * z
		}
		deviation := spread * math.Sqrt(k/squares) // scaled inverse chi-squared, k degrees
		truth := deviation / math.Sqrt(k) * normal()
		list := make([]calibrate.Figure, 5)
		for i := range list {
			list[i] = calibrate.Figure{Ratio: measure.Factor(math.Exp(truth + deviation*normal())), Weight: 1}
		}
		e := calibrate.Prior{Centre: 1, Jobs: k, Spread: spread}.Update(calibrate.Logarithmic, list)
		if truth > math.Log(float64(e.Low)) && truth < math.Log(float64(e.High)) {
			held++
		}
	}
	// 90 % within four standard deviations of the count: sqrt(0.9 x 0.1/10000) = 0.003.
	assert.InDelta(t, 0.9, float64(held)/crews, 0.012)
}
