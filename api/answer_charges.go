package api

import (
	"encoding/json"
	"strconv"

	"bedline/pricing"
)

// Discount is taken off the price before tax.
type Discount struct {
	Percent json.Number `json:"percent"`
	Of      string      `json:"of"` // the price before tax without it
	Amount  string      `json:"amount"`
}

// Rounding brings the price to a multiple.
type Rounding struct {
	To        string `json:"to"`
	Way       string `json:"way"` // nearest or up
	BeforeTax string `json:"before_tax"`
	AfterTax  string `json:"after_tax"`
}

// TaxPart is what a category bears of a tax.
type TaxPart struct {
	Category string `json:"category"`
	Base     string `json:"base"`
	Amount   string `json:"amount"`
}

// Payment is a part of the price.
type Payment struct {
	Name    string      `json:"name"`
	Percent json.Number `json:"percent"`
	Amount  string      `json:"amount"`
}

// Validity tells how long the quote holds.
type Validity struct {
	Days       int    `json:"days,omitempty"`
	QuotedOn   string `json:"quoted_on,omitempty"`
	ValidUntil string `json:"valid_until,omitempty"`
}

func (w writer) taxParts(parts []pricing.TaxPart) []TaxPart {
	out := make([]TaxPart, len(parts))
	for i, p := range parts {
		out[i] = TaxPart{Category: string(p.Category), Base: w.money(p.Base), Amount: w.money(p.Amount)}
	}
	return out
}

// charges fills what only some jobs have in their totals.
func (w writer) charges(t *pricing.Totals, out *Totals) {
	c := &t.Commercial
	if !c.DiscountPercent.IsZero() {
		out.Discount = &Discount{Percent: decimalNumber(c.DiscountPercent), Of: w.money(t.BeforeTax - t.Rounding + t.Discount), Amount: w.money(t.Discount)}
	}
	if c.RoundTo > 0 {
		out.Rounding = &Rounding{To: w.money(c.RoundTo), Way: "nearest", BeforeTax: w.money(t.Rounding), AfterTax: w.money(t.Odd)}
		if c.RoundUp {
			out.Rounding.Way = "up"
		}
	}
	if t.Margin != nil {
		out.Margin = decimalNumber(*t.Margin)
	}
	for _, p := range t.Payments {
		out.Payments = append(out.Payments, Payment{Name: p.Name, Percent: decimalNumber(p.Percent), Amount: w.money(p.Amount)})
	}
	if v := t.Validity; v != (pricing.Validity{}) {
		out.Validity = &Validity{Days: v.Days, QuotedOn: v.QuotedOn, ValidUntil: v.Until}
	}
}

func appendCharges(b []byte, v *Totals) []byte {
	if d := v.Discount; d != nil {
		b = append(b, `,"discount":{"percent":`...)
		b = append(b, d.Percent...)
		b = append(b, `,"of":`...)
		b = appendText(b, d.Of)
		b = append(b, `,"amount":`...)
		b = appendText(b, d.Amount)
		b = append(b, '}')
	}
	if r := v.Rounding; r != nil {
		b = append(b, `,"rounding":{"to":`...)
		b = appendText(b, r.To)
		b = append(b, `,"way":`...)
		b = appendText(b, r.Way)
		b = append(b, `,"before_tax":`...)
		b = appendText(b, r.BeforeTax)
		b = append(b, `,"after_tax":`...)
		b = appendText(b, r.AfterTax)
		b = append(b, '}')
	}
	if v.Margin != "" {
		b = append(b, `,"margin_percent":`...)
		b = append(b, v.Margin...)
	}
	if len(v.Payments) > 0 {
		b = append(b, `,"payments":`...)
		b = appendList(b, v.Payments, appendPayment)
	}
	if v.Validity != nil {
		b = append(b, `,"validity":`...)
		b = appendValidity(b, v.Validity)
	}
	return b
}

func appendPayment(b []byte, v *Payment) []byte {
	b = append(b, `{"name":`...)
	b = appendText(b, v.Name)
	b = append(b, `,"percent":`...)
	b = append(b, v.Percent...)
	b = append(b, `,"amount":`...)
	b = appendText(b, v.Amount)
	return append(b, '}')
}

func appendTaxPart(b []byte, v *TaxPart) []byte {
	b = append(b, `{"category":`...)
	b = appendText(b, v.Category)
	b = append(b, `,"base":`...)
	b = appendText(b, v.Base)
	b = append(b, `,"amount":`...)
	b = appendText(b, v.Amount)
	return append(b, '}')
}

func appendValidity(b []byte, v *Validity) []byte {
	separator := byte('{')
	member := func(name string) {
		b = append(b, separator, '"')
		b = append(b, name...)
		b = append(b, '"', ':')
		separator = ','
	}
	if v.Days != 0 {
		member("days")
		b = strconv.AppendInt(b, int64(v.Days), 10)
	}
	if v.QuotedOn != "" {
		member("quoted_on")
		b = appendText(b, v.QuotedOn)
	}
	if v.ValidUntil != "" {
		member("valid_until")
		b = appendText(b, v.ValidUntil)
	}
	return append(b, '}')
}
