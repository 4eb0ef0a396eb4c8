package pricing

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"bedline/estimate"
	"bedline/estimate/measure"
	"bedline/pricing/calibrate"
)

// Most terms of a sum that a working writes out, most outliers that notices name, and most figures that one notice names; the
// figures themselves tell of all.
const (
	mostTerms          = 12
	mostOutlierNotices = 100
	mostFewNamed       = 8
)

// three writes a value to three places, or to more where that would leave fewer than three digits.
func three(v measure.Factor) string {
	places := max(3, significantPlaces(math.Abs(float64(v))))
	return measure.FormatNumber(float64(v), places)
}

// name is what a figure is called in a sentence.
func (c *Calibrated) name() string {
	switch c.Kind {
	case CalibratedRate:
		return c.Rate.name()
	case CalibratedAllowance:
		return string(c.Line)
	}
	return c.Material.Key
}

// name is the operation of a rate and what narrows it.
func (r *Rate) name() string {
	var by []string
	if r.Soil != "" {
		by = append(by, r.Soil)
	}
	if r.Cover != "" {
		by = append(by, r.Cover)
	}
	switch r.Tool {
	case ByHand:
		by = append(by, "by hand")
	case ByMachine:
		by = append(by, "by machine")
	}
	if r.AccessFrom > 0 {
		by = append(by, "way in from "+measure.FormatNumber(r.AccessFrom.In(measure.Inch), 1)+" in")
	}
	if r.UnitMassTo > 0 {
		by = append(by, "units to "+measure.FormatNumber(r.UnitMassTo.In(measure.Pound), 1)+" lb")
	}
	if r.HaulTo > 0 {
		by = append(by, "haul to "+measure.FormatNumber(r.HaulTo.In(measure.Foot), 1)+" ft")
	}
	if len(by) == 0 {
		return string(r.Operation)
	}
	return string(r.Operation) + " (" + strings.Join(by, ", ") + ")"
}

// write gives a value of the figure with its unit.
func (c *Calibrated) write(value string) string {
	switch c.Kind {
	case CalibratedRate:
		return value + " h"
	case CalibratedAllowance:
		return value + " %"
	}
	return value
}

func pastJobs(n int) string {
	if n == 1 {
		return "1 past job"
	}
	return strconv.Itoa(n) + " past jobs"
}

// words write the sentence and the workings of a figure.
func (c *Calibration) words(f *Calibrated) {
	n := f.Counted()
	listed := f.write(plain(f.Old))
	var s string
	switch f.Kind {
	case CalibratedRate:
		s = fmt.Sprintf("%s: %s took %s times the hours of the list, %s per %s", f.name(), pastJobs(n), three(f.Estimate.Own), listed, f.Rate.Written)
	case CalibratedAllowance:
		s = fmt.Sprintf("%s: %s used %s %% more than measured, where the list allows %s", f.name(), pastJobs(n), measure.FormatNumber(float64(f.Own), 1), listed)
		if f.Own < 0 {
			s = fmt.Sprintf("%s: %s used %s %% less than measured, where the list allows %s", f.name(), pastJobs(n), measure.FormatNumber(-float64(f.Own), 1), listed)
		}
	case CalibratedCompaction:
		s = fmt.Sprintf("%s: %s took %s loose for each volume laid, where the list has %s", f.name(), pastJobs(n), three(f.Own), listed)
	}
	counts := "counts as " + strconv.Itoa(c.PriorJobs) + " past jobs"
	if c.PriorJobs == 1 {
		counts = "counts as 1 past job"
	}
	s += "; the list " + counts + ", so the new figure is " + f.write(plain(f.New)) + ", and lies between " + f.rounded(f.Low) + " and " + f.write(f.rounded(f.High)) + " with a chance of 90 in 100"
	if f.Outliers > 0 {
		s += ". " + f.outlierWords(c.Outliers)
	}
	f.Sentence = s + "."
	f.Workings = f.workings(c)
}

// rounded rounds a value as New is rounded.
func (c *Calibrated) rounded(v measure.Factor) string {
	if c.Kind == CalibratedAllowance {
		return measure.FormatNumber(float64(v), 1)
	}
	return measure.FormatNumber(float64(v), significantPlaces(math.Abs(float64(v))))
}

// outlierWords name the outliers and say what the figure would be with them used otherwise.
func (f *Calibrated) outlierWords(use OutlierUse) string {
	var names []string
	for i := range f.Jobs {
		if f.Jobs[i].Outlier {
			names = append(names, f.Jobs[i].Reference+" ("+three(f.Jobs[i].Ratio)+")")
		}
	}
	more := ""
	if len(names) > mostTerms {
		more = " and " + strconv.Itoa(len(names)-mostTerms) + " more"
		names = names[:mostTerms]
	}
	many := f.Outliers > 1
	s := strings.Join(names, ", ") + more + map[bool]string{false: " stands out and ", true: " stand out and "}[many]
	switch {
	case use == KeepOutliers && many:
		s += "count as they are"
	case use == KeepOutliers:
		s += "counts as it is"
	case use == SetAsideOutliers && many:
		s += "are set aside"
	case use == SetAsideOutliers:
		s += "is set aside"
	case many:
		s += "count as if they lay at the limit of what does not"
	default:
		s += "counts as if it lay at the limit of what does not"
	}
	var others []string
	for _, o := range f.Others {
		others = append(others, f.write(f.rounded(o.Found))+" "+otherWay(o.Outliers, many))
	}
	return s + "; the figure would be " + strings.Join(others, ", ")
}

func otherWay(use OutlierUse, many bool) string {
	it := "it"
	if many {
		it = "them"
	}
	switch use {
	case KeepOutliers:
		return "with " + it + " in full"
	case SetAsideOutliers:
		return "without " + it
	}
	return "with " + it + " limited"
}

// sum writes terms as a sum, a long one cut short in the middle.
func sum(terms []string) string {
	if len(terms) > mostTerms {
		short := append([]string{}, terms[:mostTerms-2]...)
		terms = append(append(short, "... "+strconv.Itoa(len(terms)-mostTerms+1)+" more"), terms[len(terms)-1])
	}
	return strings.Join(terms, " + ")
}

// workings are the steps from the ratios of past jobs to the figure.
func (c *Calibrated) workings(of *Calibration) []estimate.Working {
	e, p := &c.Estimate, pencil{of.System, of.List.Currency}
	n, k := float64(c.Counted()), float64(of.PriorJobs)
	whole := func(v float64) string { return measure.FormatNumber(v, 0) }
	var ratios, before, after []string
	for i := range c.Jobs {
		j := &c.Jobs[i]
		if !j.Counts {
			continue
		}
		ratios = append(ratios, "ln "+three(j.Counted))
		actual := j.Actual.Amount
		if j.Counted != j.Ratio {
			actual.Value = j.Estimated.Amount.Value * float64(j.Counted)
		}
		before, after = append(before, p.amount(j.Estimated.Amount)), append(after, p.amount(actual))
	}
	var out []estimate.Working
	step := func(label, expression, result string) {
		out = append(out, estimate.Working{Label: label, Expression: expression, Result: result})
	}
	for i := range c.Jobs {
		j := &c.Jobs[i]
		if j.Counts && j.Counted != j.Ratio && len(out) < mostTerms {
			step("limit of "+j.Reference, c.limit(j), three(j.Counted))
		}
	}
	centre := float64(c.Prior.Centre)
	gap := float64(e.Mean) - centre
	if c.Kind == CalibratedRate {
		centre, gap = 0, float64(e.Mean)
		if n > 0 {
			step("mean logarithm of the ratios", "("+sum(ratios)+") / "+whole(n), three(e.Mean))
			step("hours over those of the list", "e^"+three(e.Mean), three(e.Own))
		}
	} else if n > 0 {
		label := "all that was used over all that was to be used"
		if c.Kind == CalibratedCompaction {
			label = "all loose volumes over all compacted ones"
		}
		step(label, "("+sum(after)+") / ("+sum(before)+")", three(e.Own))
	}
	step("part of the past jobs", whole(n)+" / ("+pastJobs(c.Counted())+" + "+whole(k)+" of the list)", three(e.Share))
	middle := three(measure.Factor(centre)) + " + " + three(e.Share) + " x (" + three(e.Mean) + " - " + three(measure.Factor(centre)) + ")"
	switch c.Kind {
	case CalibratedRate:
		step("new rate", plain(c.Rate.Hours)+" h x e^("+three(e.Share)+" x "+three(e.Mean)+")", three(c.Found)+" h")
	case CalibratedAllowance:
		step("new factor", middle, three(e.Middle))
		step("new allowance", "("+three(e.Middle)+" - 1) x 100", three(c.Found)+" %")
	case CalibratedCompaction:
		step("new factor", middle, three(e.Middle))
	}
	rounding := "to three significant digits"
	if c.Kind == CalibratedAllowance {
		rounding = "to a tenth"
	}
	if c.Limited {
		rounding = "the nearest that a price list may say"
	}
	step("rounded", rounding, c.write(plain(c.New)))
	spread := math.Sqrt(float64(e.Variance))
	step("scatter of single jobs", "sqrt(("+whole(k)+" x "+three(c.Prior.Spread)+"^2 + "+three(e.Squares)+" among the past jobs + "+whole(k)+" x "+three(e.Share)+" x "+three(measure.Factor(gap))+"^2) / "+whole(n+k)+")", three(measure.Factor(spread)))
	margin := three(e.Student) + " x " + three(measure.Factor(spread)) + " / sqrt(" + whole(n+k) + ")"
	step("half the interval, Student's t of "+strconv.Itoa(e.Degrees)+" degrees of freedom", margin, three(e.Margin))
	ends := three(e.Middle) + " - " + three(e.Margin) + " to " + three(e.Middle) + " + " + three(e.Margin)
	if c.Kind == CalibratedRate {
		ends = plain(c.Rate.Hours) + " h x e^(" + three(e.Middle) + " - " + three(e.Margin) + ") to " + plain(c.Rate.Hours) + " h x e^(" + three(e.Middle) + " + " + three(e.Margin) + ")"
	}
	step("interval", ends, c.rounded(c.Low)+" to "+c.write(c.rounded(c.High)))
	return out
}

// limit writes the ratio that an outlier counts as.
func (c *Calibrated) limit(j *PastFigure) string {
	sign := " + "
	if j.Score < 0 {
		sign = " - "
	}
	if c.Kind == CalibratedRate {
		return three(c.Median) + " x e^(" + strings.TrimSpace(strings.TrimPrefix(sign, " +")) + "3.5 x " + three(c.Spread) + ")"
	}
	return three(c.Median) + sign + "3.5 x " + three(c.Spread)
}

// tell says what people should look at before they publish.
func (c *Calibration) tell() {
	note := func(code string, severity estimate.Severity, where, message string) {
		c.Notices = append(c.Notices, estimate.Notice{Code: code, Severity: severity, Message: message, Where: where})
	}
	told, untold := 0, 0
	var few []string
	for i := range c.Figures {
		f := &c.Figures[i]
		if len(f.Jobs) < calibrate.FewestForOutliers {
			few = append(few, f.name())
		}
		for k := range f.Jobs {
			j := &f.Jobs[k]
			if !j.Outlier {
				continue
			}
			if told++; told > mostOutlierNotices {
				untold++
				continue
			}
			note("outlier", estimate.Confirm, j.Pointers[0], f.why(j))
		}
		if f.FarOff {
			note("far_from_list", estimate.Confirm, f.Jobs[0].Pointers[0], f.name()+": the past jobs lie very far from the price list. Hours are those of one person, two people for an hour are two; check the units and the points of the figures.")
		}
		if f.Limited {
			note("at_limit", estimate.Confirm, f.Jobs[0].Pointers[0], f.name()+": the past jobs come to "+f.write(f.rounded(f.Found))+", which a price list cannot say: the nearest that it can is in the patch. Check what was measured, and the compaction factor.")
		}
	}
	if untold > 0 {
		note("outliers_left_out", estimate.Info, "", strconv.Itoa(untold)+" more outliers are named with their figures.")
	}
	if len(few) > 0 {
		more := ""
		if len(few) > mostFewNamed {
			more = " and " + strconv.Itoa(len(few)-mostFewNamed) + " more"
			few = few[:mostFewNamed]
		}
		note("few_past_jobs", estimate.Info, "", "Fewer than "+strconv.Itoa(calibrate.FewestForOutliers)+" past jobs tell nothing of outliers among them, and the interval rests on what is assumed: "+strings.Join(few, ", ")+more+".")
	}
}

// why says why a past job is an outlier.
func (c *Calibrated) why(j *PastFigure) string {
	s := fmt.Sprintf("%s: the ratio of %s is %s, %s times the spread %s the median of %s", c.name(), j.Reference, three(j.Ratio), three(measure.Factor(math.Abs(float64(j.Score)))), beyond(j.Score), three(c.Median))
	switch {
	case !j.Counts:
		return s + ". It is set aside."
	case j.Counted != j.Ratio:
		return s + ". It counts as " + three(j.Counted) + ", 3.5 times the spread; check the figure."
	}
	return s + ". It counts as it is; check the figure."
}

func beyond(score measure.Factor) string {
	if score < 0 {
		return "below"
	}
	return "above"
}

// Why says why a past job of this figure is an outlier; empty where it is none.
func (c *Calibrated) Why(j *PastFigure) string {
	if !j.Outlier {
		return ""
	}
	return c.why(j)
}
