package pricing

import (
	"strconv"

	"github.com/govalues/decimal"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
)

// LabourTerms are the wishes of a request for its hours. They set aside what the price list says, for this job only.
type LabourTerms struct {
	HourlyCost *decimal.Decimal // of one person; nil for that of the list
	Rates      []Rate           // in the order of the request, each Requested
}

// mostJobRates is how many rates a request may set; the contract states the same.
const mostJobRates = 100

// mostRateHours is the most hours of a rate, as in a price list.
const mostRateHours = 1000

// readLabour reads the member labour of a request.
func readLabour(r document.Reader) LabourTerms {
	var terms LabourTerms
	if r.Has("hourly_cost") {
		terms.HourlyCost = costOf(r, "hourly_cost")
	}
	type sameRate struct {
		operation estimate.Operation
		tool      Tool
		mass      measure.Mass
	}
	seen := map[sameRate]int{}
	r.Each("rates", document.Optional, 0, mostJobRates, func(i int, v document.Value) {
		rr, ok := v.Object()
		if !ok {
			return
		}
		rate, ok := readRate(rr)
		if !ok {
			return
		}
		here := sameRate{rate.Operation, rate.Tool, rate.UnitMassTo}
		if first, double := seen[here]; double {
			rr.Fault("operation", CodeDuplicate, "holds for the same as rate "+strconv.Itoa(first)+" of the request, counted from 0: one of them would never be used", `"dig_bed"`)
			return
		}
		seen[here] = i
		terms.Rates = append(terms.Rates, rate)
	})
	r.Close()
	return terms
}

// readRate reads one rate; of a job soil, cover and ways are settled, so only the tool and the mass of units narrow it.
func readRate(r document.Reader) (Rate, bool) {
	rate := Rate{Stretch: 1, Requested: true, Source: "the request"}
	operations := Operations()
	words := make([]string, len(operations))
	for i, o := range operations {
		words[i] = string(o)
	}
	name, ok := r.Choice("operation", document.Required, words...)
	rate.Operation = estimate.Operation(name)
	rate.Kind, _ = RateKindOf(rate.Operation)
	if tool, given := r.Choice("tool", document.Optional, string(ByHand), string(ByMachine)); given {
		rate.Tool = Tool(tool)
	} else if r.Has("tool") {
		ok = false
	}
	if mass, given := r.Mass("unit_mass_to", document.Optional, document.Positive); given {
		rate.UnitMassTo = mass
	} else if r.Has("unit_mass_to") {
		ok = false
	}
	if !readPer(r, &rate) {
		ok = false
	}
	if hours, fine := exactOf(r, "hours", mostRateHours); fine {
		rate.Hours, rate.hours = hours, float64(factor(hours))
	} else {
		ok = false
	}
	r.Close()
	return rate, ok
}

// readPer reads the quantity of a rate in the kind of its operation; of an unknown operation it is only looked at.
func readPer(r document.Reader, rate *Rate) bool {
	switch rate.Kind {
	case PerCount:
		n, ok := r.Int("per", document.Required, 1, MaxCount)
		rate.per, rate.Written = float64(n), Content{Count: n}
		return ok
	case PerLength:
		l, ok := r.Length("per", document.Required, document.Positive)
		rate.per = float64(l)
		return ok && writtenPer(r, rate)
	case PerArea:
		a, ok := r.Area("per", document.Required, document.Positive)
		rate.per = float64(a)
		return ok && writtenPer(r, rate)
	case PerVolume:
		v, ok := r.Volume("per", document.Required, document.Positive)
		rate.per = float64(v)
		return ok && writtenPer(r, rate)
	}
	_, _ = r.Value("per", document.Required)
	return false
}

func writtenPer(r document.Reader, rate *Rate) bool {
	v, ok := r.Value("per", document.Required)
	if ok {
		rate.Written = Content{Quantity: v.Node().Text}
	}
	return ok
}

// exactOf reads a number from 0 to most with as many digits as a price list keeps.
func exactOf(r document.Reader, member string, most float64) (decimal.Decimal, bool) {
	if _, ok := r.Number(member, document.Required, 0, most); !ok {
		return decimal.Decimal{}, false
	}
	text, ok := r.Literal(member, document.Required)
	if !ok {
		return decimal.Decimal{}, false
	}
	d, err := decimal.Parse(text)
	d = d.Trim(0)
	if err != nil || d.Scale() > NumberFraction {
		r.Fault(member, document.CodeOutOfRange, "must have at most "+strconv.Itoa(NumberFraction)+" digits after the point", "1.8")
		return decimal.Decimal{}, false
	}
	return d, true
}

// costOf reads an optional price per hour.
func costOf(r document.Reader, member string) *decimal.Decimal {
	if v, ok := r.Value(member, document.Optional); !ok || v.Kind() != document.String { // as prices are
		if ok {
			r.Fault(member, document.CodeWrongType, `must be an amount of money as a text, such as "38.00"`, `"38.00"`)
		}
		return nil
	}
	text, ok := r.Literal(member, document.Optional)
	if !ok {
		return nil
	}
	d, err := decimal.Parse(text)
	if err != nil || d.IsNeg() {
		r.Fault(member, document.CodeNegative, "must not be negative", `"38.00"`)
		return nil
	}
	if whole, fraction := digits(d); whole > PriceWhole || fraction > PriceFraction {
		r.Fault(member, document.CodeOutOfRange, "must have at most "+strconv.Itoa(PriceWhole)+" digits before the point and "+strconv.Itoa(PriceFraction)+" after it", `"38.00"`)
		return nil
	}
	return &d
}

// rate finds the rate that the request sets for work, of those that fit the narrowest.
func (t *LabourTerms) rate(q RateQuery) (Rate, bool) {
	var best *Rate
	for i := range t.Rates {
		r := &t.Rates[i]
		asked := q
		if r.Tool == "" {
			asked.Tool = "" // unlike one of a list, it is set for this job, whatever it is done with
		}
		if r.fits(&asked) && (best == nil || r.narrower(best)) {
			best = r
		}
	}
	if best == nil {
		return Rate{}, false
	}
	return *best, true
}
