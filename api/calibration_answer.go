package api

import (
	"encoding/json"
	"math"

	"bedline/estimate"
	"bedline/estimate/measure"
	"bedline/pricing"
	"bedline/pricing/calibrate"
)

// Calibration is the answer to POST /v1/calibrations. openapi.yaml describes every member.
type Calibration struct {
	ID                string             `json:"id"`
	Engine            string             `json:"engine"`
	Reference         string             `json:"reference,omitempty"`
	Title             string             `json:"title,omitempty"`
	Units             string             `json:"units"`
	PriceList         PriceListUsed      `json:"price_list"`
	Method            CalibrationMethod  `json:"method"`
	Rates             []CalibratedFigure `json:"rates"`
	Allowances        []CalibratedFigure `json:"allowances"`
	CompactionFactors []CalibratedFigure `json:"compaction_factors"`
	Patch             []PatchOperation   `json:"patch"`
	IfMatch           string             `json:"if_match"`
	Notices           []Notice           `json:"notices"`
}

// CalibrationMethod says how past jobs and the list were brought together.
type CalibrationMethod struct {
	Rule             string `json:"rule"`
	PastJobs         int    `json:"past_jobs"`
	PriorJobs        int    `json:"prior_jobs"`
	Outliers         string `json:"outliers"`
	Chance           Number `json:"chance"`
	RateSpread       Number `json:"rate_spread"`
	AllowanceSpread  Number `json:"allowance_spread"`
	CompactionSpread Number `json:"compaction_spread"`
}

// CalibratedFigure is one figure of the list as past jobs change it.
type CalibratedFigure struct {
	Pointer    string           `json:"pointer"`
	Operation  string           `json:"operation,omitempty"`
	Soil       string           `json:"soil,omitempty"`
	Cover      string           `json:"cover,omitempty"`
	Tool       string           `json:"tool,omitempty"`
	AccessFrom string           `json:"access_from,omitempty"`
	UnitMassTo string           `json:"unit_mass_to,omitempty"`
	HaulTo     string           `json:"haul_to,omitempty"`
	Per        *pricing.Content `json:"per,omitempty"`
	Line       string           `json:"line,omitempty"`
	Material   string           `json:"material,omitempty"`

	Old       json.Number   `json:"old,omitempty"`
	New       json.Number   `json:"new"`
	Changed   bool          `json:"changed"`
	Found     Number        `json:"found"`
	Low       Number        `json:"low"`
	High      Number        `json:"high"`
	Own       Number        `json:"own"`
	PastJobs  int           `json:"past_jobs"`
	Share     Number        `json:"share"`
	Spread    Number        `json:"spread"`
	Degrees   int           `json:"degrees"`
	Outliers  []PastOutlier `json:"outliers"`
	Otherwise []Otherwise   `json:"otherwise,omitempty"`
	Sentence  string        `json:"sentence"`
	Figures   []PastFigure  `json:"figures"`
	Workings  []Working     `json:"workings"`
}

// PastOutlier names an outlier.
type PastOutlier struct {
	Reference string   `json:"reference"`
	Pointers  []string `json:"pointers"`
	Ratio     Number   `json:"ratio"`
	Score     Number   `json:"score"`
	Why       string   `json:"why"`
}

// Otherwise is a figure with outliers used in another way.
type Otherwise struct {
	Outliers string `json:"outliers"`
	Value    Number `json:"value"`
	Low      Number `json:"low"`
	High     Number `json:"high"`
}

// PastFigure is what one past job says of a figure.
type PastFigure struct {
	Reference string   `json:"reference"`
	Date      string   `json:"date,omitempty"`
	Pointers  []string `json:"pointers"`
	Estimated Quantity `json:"estimated"`
	Actual    Quantity `json:"actual"`
	Ratio     Number   `json:"ratio"`
	Score     Number   `json:"score"`
	Outlier   bool     `json:"outlier"`
	Counted   *Number  `json:"counted,omitempty"` // absent where it does not count
}

// PatchOperation is one operation of a JSON Patch (RFC 6902).
type PatchOperation struct {
	Op    string          `json:"op"`
	Path  string          `json:"path"`
	Value json.RawMessage `json:"value"`
}

// NewCalibration puts a calibration into the words of the contract, in the units that the request chose.
func NewCalibration(c *pricing.Calibration) *Calibration {
	w := writer{system: c.System, currency: c.List.Currency, list: c.List}
	out := &Calibration{
		ID: c.ID, Engine: estimate.Version, Reference: c.Reference, Title: c.Title, Units: c.System.String(), PriceList: listUsed(c.List),
		Method: CalibrationMethod{Rule: pricing.CalibrationRule, PastJobs: c.PastJobs, PriorJobs: c.PriorJobs, Outliers: string(c.Outliers), Chance: Number(calibrate.Chance),
			RateSpread: Number(pricing.RateSpread), AllowanceSpread: Number(pricing.AllowanceSpread), CompactionSpread: Number(pricing.CompactionSpread)},
		Rates: []CalibratedFigure{}, Allowances: []CalibratedFigure{}, CompactionFactors: []CalibratedFigure{}, Patch: []PatchOperation{},
		IfMatch: c.List.ETag(), Notices: notices(c.Notices),
	}
	for i := range c.Figures {
		f := &c.Figures[i]
		list := &out.Rates
		switch f.Kind {
		case pricing.CalibratedAllowance:
			list = &out.Allowances
		case pricing.CalibratedCompaction:
			list = &out.CompactionFactors
		}
		*list = append(*list, w.calibrated(f))
	}
	for _, op := range c.Patch {
		out.Patch = append(out.Patch, PatchOperation{Op: op.Op, Path: op.Path, Value: op.Value})
	}
	return out
}

func (w writer) calibrated(f *pricing.Calibrated) CalibratedFigure {
	e := &f.Estimate
	out := CalibratedFigure{
		Pointer: f.Pointer, New: decimalNumber(f.New), Changed: !f.New.Equal(f.Old), Found: Number(f.Found), Low: Number(f.Low), High: Number(f.High), Own: Number(f.Own),
		PastJobs: f.Counted(), Share: Number(e.Share), Spread: Number(math.Sqrt(float64(e.Variance))), Degrees: e.Degrees, Outliers: []PastOutlier{},
		Sentence: f.Sentence, Figures: make([]PastFigure, 0, len(f.Jobs)), Workings: workings(f.Workings),
	}
	if f.Listed {
		out.Old = decimalNumber(f.Old)
	}
	counted := "each"
	switch f.Kind {
	case pricing.CalibratedRate:
		said := f.Written
		out.Operation, out.Soil, out.Cover, out.Tool = said.Operation, said.Soil, said.Cover, said.Tool
		out.AccessFrom, out.UnitMassTo, out.HaulTo, out.Per = said.AccessFrom, said.UnitMassTo, said.HaulTo, &said.Per
	case pricing.CalibratedAllowance:
		out.Line = string(f.Line)
	case pricing.CalibratedCompaction:
		out.Material = f.Material.Key
	}
	for i := range f.Jobs {
		j := &f.Jobs[i]
		one := PastFigure{Reference: j.Reference, Date: j.Date, Pointers: j.Pointers, Ratio: Number(j.Ratio), Score: score(j.Score), Outlier: j.Outlier}
		if j.Counts {
			ratio := Number(j.Counted)
			one.Counted = &ratio
		}
		if f.Kind == pricing.CalibratedRate {
			one.Estimated, one.Actual = inHours(j.Estimated.Hours), inHours(j.Actual.Hours)
		} else {
			one.Estimated, one.Actual = w.amount(j.Estimated.Amount, counted), w.amount(j.Actual.Amount, counted)
		}
		out.Figures = append(out.Figures, one)
		if j.Outlier {
			out.Outliers = append(out.Outliers, PastOutlier{Reference: j.Reference, Pointers: j.Pointers, Ratio: Number(j.Ratio), Score: score(j.Score), Why: f.Why(j)})
		}
	}
	for _, o := range f.Others {
		out.Otherwise = append(out.Otherwise, Otherwise{Outliers: string(o.Outliers), Value: Number(o.Found), Low: Number(o.Low), High: Number(o.High)})
	}
	return out
}

func inHours(h measure.Hours) Quantity { return Quantity{Value: Number(h), Unit: "h"} }

// score is a score to four places: what is beyond is rounding error.
func score(s measure.Factor) Number { return Number(math.Round(float64(s)*1e4) / 1e4) }
