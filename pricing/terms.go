package pricing

import (
	"github.com/govalues/decimal"

	"bedline/estimate/document"
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
}

// mostPercent is the greatest percentage that is taken.
const mostPercent = 1000

// ReadTerms reads the members supply, commercial, crew and labour of a request.
func ReadTerms(r document.Reader) Terms {
	terms := Terms{Prefer: Cheapest}
	if s, ok := r.Object("supply", document.Optional); ok {
		terms = readSupply(s)
	}
	if c, ok := r.Object("commercial", document.Optional); ok {
		terms.Contingency = percentOf(c, "contingency_percent")
		terms.Overhead = percentOf(c, "overhead_percent")
		terms.Markup = percentOf(c, "markup_percent")
		terms.Margin = percentOf(c, "margin_percent")
		if c.Has("markup_percent") && c.Has("margin_percent") {
			c.Fault("margin_percent", "conflict", "is given beside a markup: give one of the two, since each sets the price", "")
		}
		if terms.Margin != nil && !terms.Margin.Less(decimal.Hundred) {
			c.Fault("margin_percent", document.CodeOutOfRange, "must be below 100: the margin is a share of the price", "30")
		}
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

// readSupply reads the members of supply.
func readSupply(s document.Reader) Terms {
	terms := Terms{Prefer: Cheapest}
	if p, ok := s.Choice("prefer", document.Optional, string(Cheapest), string(PreferBags), string(PreferBulk)); ok {
		terms.Prefer = Preference(p)
	}
	terms.Steps, _ = s.Bool("steps", document.Optional)
	s.Close()
	return terms
}

func percentOf(r document.Reader, member string) *decimal.Decimal {
	if !r.Has(member) {
		return nil
	}
	if _, ok := r.Number(member, document.Optional, 0, mostPercent); !ok {
		return nil
	}
	text, ok := r.Literal(member, document.Optional)
	if !ok {
		return nil
	}
	d, err := decimal.Parse(text)
	d = d.Trim(0)
	if err != nil || d.Scale() > 6 {
		r.Fault(member, document.CodeOutOfRange, "must have at most 6 digits after the point", "12.5")
		return nil
	}
	return &d
}

// On is the commercial part of a list with the wishes of the request put over it. A markup asked for sets aside the
// margin of the list, and the other way round.
func (t Terms) On(c Commercial) Commercial {
	if t.Contingency != nil {
		c.ContingencyPercent = *t.Contingency
	}
	if t.Overhead != nil {
		c.OverheadPercent = *t.Overhead
	}
	if t.Markup != nil {
		c.MarkupPercent, c.MarginPercent = *t.Markup, decimal.Zero
	}
	if t.Margin != nil {
		c.MarginPercent, c.MarkupPercent = *t.Margin, decimal.Zero
	}
	return c
}
