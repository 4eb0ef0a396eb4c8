package pricing

import (
	"bedline/estimate/document"
	"bedline/estimate/measure"
	"bedline/pricing/supply"
)

// Tolerances say how far what a job takes may be from what its request says: half-widths of the range that holds in 90 of
// 100 cases, so that the standard deviation is a half-width / 1.645.
type Tolerances struct {
	Depth      measure.Length // of each layer as laid
	Compaction measure.Factor // of the compaction factor of each layer, as a share of it
	Measuring  measure.Factor // of everything that is taped, as a share of it

	given []string // members of the request, in the order of the contract
}

// Given tells whether the request has any of them, be it zero.
func (t *Tolerances) Given() bool { return len(t.given) > 0 }

// Members of supply that say what is not certain.
const (
	depthTolerance      = "depth_tolerance"
	compactionTolerance = "compaction_tolerance_percent"
	measuringError      = "measuring_error_percent"
)

// Limits of the tolerances; the contract states the same.
const mostTolerance = 50 // per cent

// purpose is what a request for buying is about.
type purpose uint8

const (
	aJob        purpose = iota
	severalJobs         // a pool
	quantities          // without a job
)

// readSupply reads the members of supply.
func readSupply(s document.Reader, about purpose) Terms {
	terms := Terms{Prefer: Cheapest}
	if p, ok := s.Choice("prefer", document.Optional, string(Cheapest), string(PreferBags), string(PreferBulk)); ok {
		terms.Prefer = Preference(p)
	}
	if about == quantities {
		terms.Steps = true
	} else {
		terms.Steps, _ = s.Bool("steps", document.Optional)
	}
	readOptions(s, &terms.options)
	readTolerances(s, about, &terms)
	s.Close()
	return terms
}

// The greatest number of suppliers that a request can hold the plan to; the contract states the same.
const mostSuppliers = 64

// readOptions reads what the buying counts and keeps to beside goods and deliveries.
func readOptions(s document.Reader, o *options) {
	o.CrewTime, _ = s.Bool("crew_time", document.Optional)
	o.Tax, _ = s.Bool("tax", document.Optional)
	if worth, ok := s.Choice("surplus", document.Optional, "nothing", "listed"); ok {
		o.Surplus = worth == "listed"
	}
	o.WithinDays, _ = s.Int("within_days", document.Optional, 1, mostLeadDays)
	o.MostSuppliers, _ = s.Int("most_suppliers", document.Optional, 1, mostSuppliers)
}

// readTolerances reads what is not certain and how sure the plan has to be.
func readTolerances(s document.Reader, about purpose, terms *Terms) {
	t := &terms.Tolerances
	if about != quantities && s.Has(depthTolerance) {
		t.Depth, _ = s.Length(depthTolerance, document.Optional, document.NotNegative)
		t.given = append(t.given, depthTolerance)
	}
	percent := func(name string, share *measure.Factor) {
		if !s.Has(name) {
			return
		}
		p, _ := s.Number(name, document.Optional, 0, mostTolerance)
		*share = p / 100
		t.given = append(t.given, name)
	}
	percent(compactionTolerance, &t.Compaction)
	percent(measuringError, &t.Measuring)
	if terms.Surplus && len(t.given) > 0 {
		s.Fault("surplus", CodeConflict, "cannot be valued beside "+t.given[0]+": how much is left over is then not known. Leave out one of the two", `"nothing"`)
	}
	if !s.Has("confidence") {
		return
	}
	c, ok := s.Number("confidence", document.Optional, 0, 1)
	switch {
	case !ok:
	case c <= 0 || c >= 1:
		s.Fault("confidence", document.CodeOutOfRange, "must be above 0 and below 1: the share of cases in which what is bought of a material is enough", "0.9")
	case about == severalJobs && c < 0.5:
		s.Fault("confidence", document.CodeOutOfRange, "must be at least 0.5 for several jobs: below it buying together takes more than buying apart", "0.9")
	default:
		terms.Confidence = supply.Chance(c)
	}
	if about == severalJobs {
		return // the jobs may say what is not certain
	}
	if len(t.given) == 0 {
		s.Fault("confidence", CodeConflict, "has nothing to be sure of, since every quantity is taken as it is said: give "+toleranceNames(about)+" with it", "")
	}
}

func toleranceNames(about purpose) string {
	if about == quantities {
		return compactionTolerance + " or " + measuringError
	}
	return depthTolerance + ", " + compactionTolerance + " or " + measuringError
}
