package pricing

import (
	"slices"
	"strconv"
	"time"

	"github.com/govalues/decimal"

	"bedline/estimate/document"
	"bedline/pricing/money"
)

const (
	mostPercent  = 1000 // the greatest percentage that is taken
	mostStages   = 12
	mostValid    = 365 // days
	mostNameText = 200 // characters of the name of a stage
)

// readCommercial reads the member commercial.
func (t *Terms) readCommercial(c document.Reader, list *List) {
	t.Contingency = percentOf(c, "contingency_percent", mostPercent)
	t.Overhead = percentOf(c, "overhead_percent", mostPercent)
	t.Markup = percentOf(c, "markup_percent", mostPercent)
	t.Margin = percentOf(c, "margin_percent", mostPercent)
	if c.Has("markup_percent") && c.Has("margin_percent") {
		c.Fault("margin_percent", CodeConflict, "is given beside a markup: give one of the two, since each sets the price", "")
	}
	if t.Margin != nil && !t.Margin.Less(hundred) {
		c.Fault("margin_percent", document.CodeOutOfRange, "must be below 100: the margin is a share of the price", "30")
	}
	t.Discount = percentOf(c, "discount_percent", mostPercent)
	if t.Discount != nil && !t.Discount.Less(hundred) {
		c.Fault("discount_percent", document.CodeOutOfRange, "must be below 100: nothing would be left of the price", "5")
	}
	t.readRounding(c, list)
	t.readPayments(c, list)
	t.ValidDays, _ = c.Int("valid_days", document.Optional, 1, mostValid)
	if text, ok := c.Text("quoted_on", document.Optional, 10); ok {
		day, err := time.Parse(time.DateOnly, text)
		if err != nil || day.Year() < 1 || day.Year() > 9000 {
			c.Fault("quoted_on", CodeBadDate, "must be a day that exists, as year-month-day", `"2027-03-30"`)
		} else {
			t.QuotedOn = day
		}
	}
}

// readRounding reads what the price is rounded to. The smallest coin of the currency is the least.
func (t *Terms) readRounding(c document.Reader, list *List) {
	example := `"5.00"`
	if list != nil {
		example = strconv.Quote(list.Currency.Format(money.Amount(5 * tens(list.Currency.Digits))))
	}
	t.Rounding, _ = c.Choice("rounding", document.Optional, "nearest", "up")
	said := c.Has("round_price_to")
	if t.Rounding != "" && !said && list != nil && list.Commercial.RoundTo == 0 {
		c.Fault("rounding", CodeConflict, `stands without round_price_to: give what the price is rounded to, such as "round_price_to": `+example+", or leave it out", "")
	}
	text, ok := c.Literal("round_price_to", document.Optional)
	if !ok {
		return
	}
	d, err := decimal.Parse(text)
	switch {
	case err != nil || d.Cmp(mostRounding) > 0:
		c.Fault("round_price_to", document.CodeOutOfRange, "must be an amount of at most "+mostRounding.String(), example)
	case !d.IsPos():
		c.Fault("round_price_to", document.CodeNotPositive, "must be above zero", example)
	case list != nil && d.Trim(0).Scale() > list.Currency.Digits:
		c.Fault("round_price_to", CodeTooManyDigits, "is finer than "+list.Currency.Format(1)+", the smallest amount of "+list.Currency.Code, example)
	case list != nil:
		if t.RoundTo, err = list.Currency.Round(d); err != nil {
			c.Fault("round_price_to", document.CodeOutOfRange, "must be an amount of at most "+mostRounding.String(), example)
		}
	}
}

// mostRounding is the greatest multiple that a price is rounded to.
var mostRounding = decimal.MustNew(1_000_000, 0)

func tens(n int) int64 {
	out := int64(1)
	for range n {
		out *= 10
	}
	return out
}

// readPayments reads deposit and stages. With those of the list that they leave standing they make up the whole price.
func (t *Terms) readPayments(c document.Reader, list *List) {
	t.Deposit = percentOf(c, "deposit_percent", 100)
	whole := !c.Has("deposit_percent") || t.Deposit != nil
	if c.Has("stages") {
		t.Stages = []Stage{}
		whole = c.Each("stages", document.Optional, 0, mostStages, func(_ int, at document.Value) {
			s, ok := at.Object()
			if !ok {
				whole = false
				return
			}
			name, named := s.Text("name", document.Required, mostNameText)
			percent := requiredPercent(s, "percent", 100, "70")
			s.Close()
			if !named || percent == nil {
				whole = false
				return
			}
			t.Stages = append(t.Stages, Stage{Name: name, Percent: *percent})
		}) && whole
	}
	if !whole || list == nil || (t.Stages == nil && t.Deposit == nil) {
		return
	}
	merged := t.On(list.Commercial)
	sum := merged.DepositPercent
	for _, s := range merged.Stages {
		sum, _ = sum.Add(s.Percent) // a dozen of at most 100, of few digits
	}
	if len(merged.Stages) == 0 || sum.Cmp(hundred) == 0 {
		return
	}
	rest, _ := hundred.Sub(merged.DepositPercent)
	at, detail := "stages", "come to "+plain(sum)+" % with a deposit of "+plain(merged.DepositPercent)+" %: together they must come to 100 %"
	if t.Stages == nil {
		at, detail = "deposit_percent", "comes to "+plain(sum)+" % with the stages of the price list: together they must come to 100 %; give stages too"
		c.Fault(at, document.CodeOutOfRange, detail, plain(list.Commercial.DepositPercent))
		return
	}
	c.Fault(at, document.CodeOutOfRange, detail, `[{"name": "On completion", "percent": `+plain(rest)+`}]`)
}

// requiredPercent is percentOf for a member that must be there.
func requiredPercent(r document.Reader, member string, most int, example string) *decimal.Decimal {
	if !r.Has(member) {
		r.Fault(member, document.CodeMissing, "is missing: it must be a number from 0 to "+strconv.Itoa(most), example)
		return nil
	}
	return percentOf(r, member, most)
}

func percentOf(r document.Reader, member string, most int) *decimal.Decimal {
	if !r.Has(member) {
		return nil
	}
	if _, ok := r.Number(member, document.Optional, 0, float64(most)); !ok {
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
	if t.Discount != nil {
		c.DiscountPercent = *t.Discount
	}
	if t.RoundTo != 0 {
		c.RoundTo = t.RoundTo
	}
	if t.Rounding != "" {
		c.RoundUp = t.Rounding == "up"
	}
	if t.Deposit != nil {
		c.DepositPercent = *t.Deposit
	}
	if t.Stages != nil {
		c.Stages = slices.Clone(t.Stages)
	}
	if t.ValidDays != 0 {
		c.ValidDays = t.ValidDays
	}
	return c
}
