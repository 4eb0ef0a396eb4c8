package pricing

import (
	"time"

	"github.com/govalues/decimal"

	"bedline/estimate/document"
	"bedline/pricing/money"
	"bedline/pricing/supply"
)

// Preference says which plan of buying a job wants.
type Preference string

// The preferences.
const (
	Cheapest   Preference = "cheapest"
	PreferBags Preference = "bags" // materials that are sold in bags are bought in bags only
	PreferBulk Preference = "bulk" // materials that are sold in bulk are bought in bulk only
)

// Terms are the commercial wishes of a request. They override those of the price list one by one.
type Terms struct {
	Prefer      Preference
	Steps       bool             // the steps of cost against quantity are asked for, in every break-even
	Contingency *decimal.Decimal // per cent, as all that follow
	Overhead    *decimal.Decimal
	Markup      *decimal.Decimal
	Margin      *decimal.Decimal
	Labour      LabourTerms
	Crew        CrewTerms

	Discount  *decimal.Decimal
	RoundTo   money.Amount // 0 for not said, as all that follow
	Rounding  string       // nearest or up
	Deposit   *decimal.Decimal
	Stages    []Stage // nil for not said, none for no stages
	ValidDays int
	QuotedOn  time.Time

	Tolerances Tolerances
	Confidence supply.Chance // that each material is enough; 0 asks for the least expected cost

	options
}

// ReadTerms reads the members supply, commercial, crew and labour of a request. Without a list, what depends on one is not
// checked.
func ReadTerms(r document.Reader, list *List) Terms {
	terms := Terms{Prefer: Cheapest}
	if s, ok := r.Object("supply", document.Optional); ok {
		terms = readSupply(s, aJob)
	}
	if c, ok := r.Object("commercial", document.Optional); ok {
		terms.readCommercial(c, list)
		c.Close()
	}
	if c, ok := r.Object("crew", document.Optional); ok {
		terms.Crew = readCrew(c)
	}
	if l, ok := r.Object("labour", document.Optional); ok {
		terms.Labour = readLabour(l)
	}
	return terms
}
