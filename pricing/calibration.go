package pricing

import (
	"context"

	"github.com/govalues/decimal"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
	"bedline/pricing/calibrate"
)

// Limits of a calibration; the contract states the same.
const (
	MostPastJobs    = 500
	MostPastFigures = 20000 // of all jobs
	mostJobFigures  = 200   // of one job and kind
	mostWholeJobs   = 50
	mostPriorJobs   = 1000
	mostJobHours    = 100000
	mostPastRatio   = 1000 // actual over estimated, or the other way round
)

// DefaultPriorJobs is how many past jobs a figure of the price list counts as, unless the request says otherwise.
const DefaultPriorJobs = 3

// The spreads of single jobs that are assumed before any is looked at, as standard deviations: of the natural logarithm of
// hours over hours, of what was used over what was to be used, of compaction factors. Common practice, from memory: hours
// vary by a quarter from job to job, stone and sand by a tenth, how far one material is compacted by a twentieth. They count as many
// jobs as the list does, so that a handful of past jobs outweighs them.
const (
	RateSpread       measure.Factor = 0.25
	AllowanceSpread  measure.Factor = 0.10
	CompactionSpread measure.Factor = 0.05
)

// CalibrationRule says how past jobs and the price list are brought together.
const CalibrationRule = "Each past job gives one ratio for each figure: what it took over what the price list gives for it. The figure of the list counts as prior_jobs past jobs (k), the n past jobs as n, " +
	"so that the new figure has n / (n + k) of the past jobs and the rest of the list. Hours are averaged as natural logarithms, each job alike; allowances and compaction factors as ratios, each job by its quantity, " +
	"so that their mean is all that was used over all that was to be used. The scatter of single jobs is unknown and estimated likewise, from what is assumed (as k jobs), the scatter among the jobs, and how far they lie from the list. " +
	"The figure lies in its interval with a chance of 90 in 100, by Student's t of n + k degrees of freedom (the conjugate estimator of a normal mean with unknown variance). " +
	"A job is an outlier where its modified z-score, 0.6745 x (ratio - median) / median absolute deviation, is above 3.5 either way; it is always named. It counts as if its score were 3.5 (outliers: limit), as it is (keep), or not at all (set_aside)."

// OutlierUse says how outliers count.
type OutlierUse string

// The ways.
const (
	LimitOutliers    OutlierUse = "limit"     // as if they lay at the limit of the rule, on their side
	KeepOutliers     OutlierUse = "keep"      // as they are
	SetAsideOutliers OutlierUse = "set_aside" // not at all
)

// CalibratedKind tells what sort of figure of a price list is calibrated.
type CalibratedKind string

// The kinds.
const (
	CalibratedRate       CalibratedKind = "rate"
	CalibratedAllowance  CalibratedKind = "allowance"
	CalibratedCompaction CalibratedKind = "compaction_factor"
)

// Calibration is what past jobs say of the figures of a price list.
type Calibration struct {
	ID        string // see Identify
	Reference string
	Title     string
	System    measure.System
	List      *List
	PriorJobs int
	Outliers  OutlierUse

	PastJobs int
	Figures  []Calibrated // rates in the order of the list, allowances in that of the contract, then materials in that of the list
	Patch    []PatchOperation
	Notices  []estimate.Notice
}

// Calibrated is one figure of the price list as past jobs change it. Values are as the list writes them: hours per
// Rate.Written, per cent, or a factor.
type Calibrated struct {
	Kind     CalibratedKind
	Pointer  string             // into the document of the list, there or not
	Rate     *Rate              // of a rate
	Written  *RateDocument      // of a rate, as the list says it; shared, not to be changed
	Line     estimate.LineKey   // of an allowance
	Material *estimate.Material // of a compaction factor

	Old     decimal.Decimal
	Listed  bool            // the list says Old; otherwise it is what holds without
	New     decimal.Decimal // Found, rounded, within what a list may say
	Limited bool            // New is what a list may say at most or at least, and not Found
	Found   measure.Factor
	Low     measure.Factor // the end of the interval, as High
	High    measure.Factor
	Own     measure.Factor // of the past jobs that count, alone

	Prior    calibrate.Prior
	Estimate calibrate.Estimate
	Outliers int
	Others   []OtherFigure // what it would be with outliers used otherwise; none without any
	Median   measure.Factor
	Spread   measure.Factor // of the jobs, as the rule for outliers reckons it
	FarOff   bool           // the past jobs lie very far from the list
	Jobs     []PastFigure   // in the order of the request

	Sentence string
	Workings []estimate.Working

	written *MaterialDocument // of a compaction factor
}

// Counted is how many past jobs count.
func (c *Calibrated) Counted() int {
	n := 0
	for i := range c.Jobs {
		if c.Jobs[i].Counts {
			n++
		}
	}
	return n
}

// OtherFigure is a figure with outliers used in another way than the one that was asked for.
type OtherFigure struct {
	Outliers OutlierUse

	Found, Low, High measure.Factor
}

// PastFigure is what one past job says of a figure.
type PastFigure struct {
	Pointers  []string // of its figures in the request
	Reference string
	Date      string // as given, or empty
	Estimated Taken  // by the price list; of a compaction factor the compacted volume
	Actual    Taken
	Ratio     measure.Factor // of the two
	Score     measure.Factor // see calibrate.Outliers
	Outlier   bool
	Counts    bool
	Counted   measure.Factor // the ratio as it counts: of an outlier perhaps its limit
}

// Taken is hours, or an amount of a material.
type Taken struct {
	Hours  measure.Hours
	Amount estimate.Amount // of no kind for hours
}

// Calibrate reads a request of past jobs and finds what they say. Every fault of the request comes back at once, in the
// order of the document. An error is a failure of ours, not of the request, or that of a context which ended.
func Calibrate(ctx context.Context, lists Lists, root *document.Node, text []byte) (*Calibration, []document.Fault, error) {
	var faults document.Faults
	r := document.Read(root, &faults)
	head, err := readHead(ctx, r, lists, &faults)
	if err != nil {
		return nil, nil, err
	}
	c := &Calibration{Reference: head.reference, Title: head.title, System: head.system, List: head.list, PriorJobs: DefaultPriorJobs, Outliers: LimitOutliers}
	if jobs, ok := r.Int("prior_jobs", document.Optional, 1, mostPriorJobs); ok {
		c.PriorJobs = jobs
	}
	if how, ok := r.Choice("outliers", document.Optional, string(LimitOutliers), string(KeepOutliers), string(SetAsideOutliers)); ok {
		c.Outliers = OutlierUse(how)
	}
	reader := pastReader{ctx: ctx, head: head, faults: &faults, references: map[string]bool{}}
	reader.jobs(r)
	r.Close()
	if err := ctx.Err(); err != nil {
		return nil, nil, err
	}
	if faults.Len() > 0 {
		return nil, faults.List(root), nil
	}
	c.PastJobs = len(reader.past)
	if err := c.find(reader.past, reader.observations); err != nil {
		return nil, nil, err
	}
	if c.Patch, err = c.patch(); err != nil {
		return nil, nil, err
	}
	c.ID, err = Identify(text, c.List)
	return c, nil, err
}
