package pricing

import (
	"fmt"
	"math"

	"github.com/govalues/decimal"

	"bedline/estimate"
	"bedline/estimate/measure"
	"bedline/pricing/calibrate"
)

// find calibrates every figure that the observations speak of. Compaction comes first: allowances are what is used beyond
// the volume as compacted by the factors that the patch sets.
func (c *Calibration) find(past []pastJob, observations []observation) error {
	by := map[target][]observation{} // only looked up
	for _, o := range observations {
		by[o.target] = append(by[o.target], o)
	}
	factors := map[string]measure.Factor{} // of compaction; only looked up
	var compactions []Calibrated
	for i := range c.List.Catalogue.Materials {
		m := &c.List.Catalogue.Materials[i]
		factors[m.Key] = m.CompactionFactor
		list := by[target{kind: CalibratedCompaction, material: m.Key}]
		if len(list) == 0 {
			continue
		}
		one := c.compaction(i, m)
		if err := c.calibrate(&one, past, list); err != nil {
			return err
		}
		factors[m.Key] = factor(one.New)
		compactions = append(compactions, one)
	}
	for i := range c.List.rates {
		list := by[target{kind: CalibratedRate, rate: i}]
		if len(list) == 0 {
			continue
		}
		rate := &c.List.rates[i]
		one := Calibrated{Kind: CalibratedRate, Pointer: fmt.Sprintf("/labour/rates/%d/hours", i), Rate: rate, Written: &c.List.document.Labour.Rates[i], Old: rate.Hours, Listed: true,
			Prior: calibrate.Prior{Centre: 1, Jobs: c.PriorJobs, Spread: RateSpread}}
		if err := c.calibrate(&one, past, list); err != nil {
			return err
		}
		c.Figures = append(c.Figures, one)
	}
	for _, line := range allowanceLines() {
		list := by[target{kind: CalibratedAllowance, line: line.key}]
		if len(list) == 0 {
			continue
		}
		for i := range list {
			if list[i].kind == estimate.VolumeAmount {
				list[i].estimated *= float64(factors[list[i].material.Key])
			}
		}
		one := c.allowance(line.key)
		if err := c.calibrate(&one, past, list); err != nil {
			return err
		}
		c.Figures = append(c.Figures, one)
	}
	c.Figures = append(c.Figures, compactions...)
	c.tell()
	return nil
}

func (c *Calibration) compaction(i int, m *estimate.Material) Calibrated {
	one := Calibrated{Kind: CalibratedCompaction, Pointer: fmt.Sprintf("/materials/%d/compaction_factor", i), Material: m, Old: decimal.One,
		Prior: calibrate.Prior{Centre: m.CompactionFactor, Jobs: c.PriorJobs, Spread: CompactionSpread}}
	one.written = &c.List.document.Materials[i]
	if said := one.written.CompactionFactor; said != nil {
		one.Old, one.Listed = *said, true
	}
	return one
}

func (c *Calibration) allowance(line estimate.LineKey) Calibrated {
	one := Calibrated{Kind: CalibratedAllowance, Pointer: "/allowances/" + string(line), Line: line,
		Prior: calibrate.Prior{Centre: 1 + c.List.Catalogue.Allowances[line], Jobs: c.PriorJobs, Spread: AllowanceSpread}}
	if said := c.List.document.Allowances.of(line); said != nil {
		one.Old, one.Listed = *said, true
	}
	return one
}

// of is the percentage of a line, nil where the list has none.
func (d *Allowances) of(line estimate.LineKey) *decimal.Decimal {
	switch line {
	case estimate.Edging:
		return d.Edging
	case estimate.Base:
		return d.Base
	case estimate.BeddingSand:
		return d.BeddingSand
	case estimate.JointFill:
		return d.JointFill
	case estimate.Fabric:
		return d.Fabric
	case estimate.DecorativeStone:
		return d.DecorativeStone
	case estimate.Slabs:
		return d.Slabs
	case estimate.Paving:
		return d.Paving
	case estimate.PlanterSoil:
		return d.PlanterSoil
	case estimate.Pins:
		return d.Pins
	}
	return nil
}

// scale is the scale that a figure is averaged on.
func (c *Calibrated) scale() calibrate.Scale {
	if c.Kind == CalibratedRate {
		return calibrate.Logarithmic
	}
	return calibrate.Plain
}

// value is a ratio as the list writes the figure.
func (c *Calibrated) value(ratio measure.Factor) measure.Factor {
	switch c.Kind {
	case CalibratedRate:
		return measure.Factor(float64(factor(c.Rate.Hours)) * float64(ratio))
	case CalibratedAllowance:
		return (ratio - 1) * 100
	}
	return ratio
}

// calibrate finds a figure from what past jobs say of it.
func (c *Calibration) calibrate(one *Calibrated, past []pastJob, observations []observation) error {
	one.gather(past, observations)
	all := make([]calibrate.Figure, len(one.Jobs))
	for i := range one.Jobs {
		all[i] = calibrate.Figure{Ratio: one.Jobs[i].Ratio, Weight: 1}
		if one.Kind != CalibratedRate {
			all[i].Weight = measure.Factor(one.Jobs[i].Estimated.Amount.Value)
		}
	}
	scale := one.scale()
	outliers := foundOutliers{calibrate.FindOutliers(scale, all)}
	one.Median, one.Spread, one.Outliers = outliers.Median, outliers.Spread, len(outliers.Which)
	for i := range one.Jobs {
		j := &one.Jobs[i]
		j.Score, j.Counts, j.Counted = outliers.Scores[i], true, j.Ratio
	}
	for k, i := range outliers.Which {
		j := &one.Jobs[i]
		j.Outlier, j.Counts = true, c.Outliers != SetAsideOutliers
		if c.Outliers == LimitOutliers {
			j.Counted = outliers.Limits[k]
		}
	}
	one.Estimate = one.Prior.Update(scale, outliers.use(c.Outliers, all))
	e := &one.Estimate
	one.Found, one.Low, one.High, one.Own = one.value(e.Centre), one.value(e.Low), one.value(e.High), one.value(e.Own)
	for _, way := range [...]OutlierUse{LimitOutliers, KeepOutliers, SetAsideOutliers} {
		if way != c.Outliers && one.Outliers > 0 {
			o := one.Prior.Update(scale, outliers.use(way, all))
			one.Others = append(one.Others, OtherFigure{Outliers: way, Found: one.value(o.Centre), Low: one.value(o.Low), High: one.value(o.High)})
		}
	}
	one.FarOff = one.Prior.FarOff(scale, e)
	if err := one.round(); err != nil {
		return err
	}
	c.words(one)
	return nil
}

// foundOutliers are the outliers of a figure.
type foundOutliers struct{ calibrate.Outliers }

// use gives the figures as they count when outliers are used so.
func (o foundOutliers) use(way OutlierUse, all []calibrate.Figure) []calibrate.Figure {
	if len(o.Which) == 0 || way == KeepOutliers {
		return all
	}
	out := make([]calibrate.Figure, 0, len(all))
	next := 0
	for i, f := range all {
		if next < len(o.Which) && o.Which[next] == i {
			next++
			if way == SetAsideOutliers {
				continue
			}
			f.Ratio = o.Limits[next-1]
		}
		out = append(out, f)
	}
	return out
}

// gather makes one figure of all that a past job says, in the order of the request.
func (c *Calibrated) gather(past []pastJob, observations []observation) {
	last := -1
	for i := range observations {
		o := &observations[i]
		if o.job != last { // the observations come job by job
			last = o.job
			c.Jobs = append(c.Jobs, PastFigure{Reference: past[o.job].reference, Date: past[o.job].date})
			if c.Kind != CalibratedRate {
				j := &c.Jobs[len(c.Jobs)-1]
				j.Estimated.Amount.Kind, j.Actual.Amount.Kind = o.kind, o.kind
			}
		}
		j := &c.Jobs[len(c.Jobs)-1]
		if n := len(j.Pointers); n == 0 || j.Pointers[n-1] != o.pointer {
			j.Pointers = append(j.Pointers, o.pointer)
		}
		if c.Kind == CalibratedRate {
			j.Estimated.Hours += measure.Hours(o.estimated)
			j.Actual.Hours += measure.Hours(o.actual)
		} else {
			j.Estimated.Amount.Value += o.estimated
			j.Actual.Amount.Value += o.actual
		}
	}
	for i := range c.Jobs {
		j := &c.Jobs[i]
		if c.Kind == CalibratedRate {
			j.Ratio = measure.Factor(float64(j.Actual.Hours) / float64(j.Estimated.Hours))
		} else {
			j.Ratio = measure.Factor(j.Actual.Amount.Value / j.Estimated.Amount.Value)
		}
	}
}

// Ends of what a price list says.
const (
	mostHours     = 1000
	mostAllowance = 200 // per cent
	leastFactor   = 1
	mostFactor    = 1000
)

// round makes New of Found: hours and factors to three significant digits, percentages to a tenth, within what a list may
// say.
func (c *Calibrated) round() error {
	value := float64(c.Found)
	places := 1
	low, high := 0.0, float64(mostAllowance)
	switch c.Kind {
	case CalibratedRate:
		places, high = significantPlaces(value), mostHours
		low = 1 / math.Pow10(NumberFraction)
	case CalibratedCompaction:
		places, low, high = significantPlaces(value), leastFactor, mostFactor
	}
	bounded := max(low, min(value, high))
	c.Limited = bounded != value
	var err error
	if c.New, err = decimal.Parse(measure.FormatNumber(bounded, places)); err != nil {
		return fmt.Errorf("rounding the figure at %s: %w", c.Pointer, err)
	}
	return nil
}

// significantPlaces is how many places after the point give three significant digits, as far as a list keeps places.
func significantPlaces(value float64) int {
	places := 2
	for ; places > 0 && value >= 10; value /= 10 {
		places--
	}
	for ; places < NumberFraction && value < 1; value *= 10 {
		places++
	}
	return places
}
