package pricing

import (
	"fmt"
	"math/big"
	"strings"
	"time"

	"github.com/govalues/decimal"

	"bedline/estimate"
	"bedline/pricing/money"
)

// margin says what profit is left after a discount and rounding, and warns where none is.
func (q *Quote) margin() error {
	t := &q.Totals
	if t.Discount == 0 && t.Rounding == 0 || t.BeforeTax <= 0 {
		return nil
	}
	left := t.BeforeTax - t.cost()
	share, err := money.RoundExact(new(big.Rat).Mul(big.NewRat(int64(left), int64(t.BeforeTax)), big.NewRat(1e4, 1)))
	if err != nil {
		return fmt.Errorf("reckoning the margin: %w", err)
	}
	percent := decimal.MustNew(int64(share), 2)
	t.Margin = &percent
	if left < 0 {
		where := ""
		if q.Terms.Discount != nil {
			where = "/commercial/discount_percent"
		}
		q.Notices = append(q.Notices[:len(q.Notices):len(q.Notices)], estimate.Notice{Code: "below_cost", Severity: estimate.Confirm, Where: where,
			Message: "the price before tax is " + q.List.Currency.Format(-left) + " less than what the job costs: the discount takes more than the profit", Confirm: "that the job is to be done at a loss"})
	}
	return nil
}

// payments splits the price into a deposit and stages by largest remainder. What a deposit leaves without stages is the
// balance.
func (q *Quote) payments() {
	t := &q.Totals
	c := &t.Commercial
	if c.DepositPercent.IsZero() && len(c.Stages) == 0 {
		return
	}
	if c.DepositPercent.IsPos() {
		t.Payments = append(t.Payments, Payment{Name: "Deposit", Percent: c.DepositPercent})
	}
	for _, s := range c.Stages {
		t.Payments = append(t.Payments, Payment{Name: s.Name, Percent: s.Percent})
	}
	if rest, err := hundred.Sub(c.DepositPercent); err == nil && len(c.Stages) == 0 && rest.IsPos() {
		t.Payments = append(t.Payments, Payment{Name: "Balance", Percent: rest})
	}
	weights := make([]money.Amount, len(t.Payments))
	for i := range t.Payments {
		// Percentages have at most six digits after the point.
		whole, parts, _ := t.Payments[i].Percent.Int64(6)
		weights[i] = money.Amount(whole*1e6 + parts)
	}
	for i, amount := range money.Share(t.Price, weights) {
		t.Payments[i].Amount = amount
	}
}

// validity says how long the quote holds.
func (q *Quote) validity() {
	v := &q.Totals.Validity
	v.Days = q.Totals.Commercial.ValidDays
	if day := q.Terms.QuotedOn; !day.IsZero() {
		v.QuotedOn = day.Format(time.DateOnly)
		if v.Days > 0 {
			v.Until = day.AddDate(0, 0, v.Days).Format(time.DateOnly)
		}
	}
}

// totalWorkings shows how the price comes about.
func (q *Quote) totalWorkings() {
	t, c, f := &q.Totals, &q.Totals.Commercial, q.List.Currency.Format
	step := func(label, expression, result string) {
		t.Workings = append(t.Workings, estimate.Working{Label: label, Expression: expression, Result: result})
	}
	rounded := pencil{q.Job.System, q.List.Currency}.rounding()
	step("direct cost", "materials "+f(t.Materials)+" + delivery "+f(t.Delivery)+" + equipment "+f(t.Equipment)+" + labour "+f(t.Labour)+" + disposal "+f(t.Disposal), f(t.Direct))
	step("contingency", f(t.Direct)+" x "+plain(c.ContingencyPercent)+" %"+rounded, f(t.Contingency))
	step("overhead", f(t.Direct+t.Contingency)+" x "+plain(c.OverheadPercent)+" %"+rounded, f(t.Overhead))
	cost := f(t.cost())
	if !c.MarginPercent.IsZero() {
		step("profit", cost+" / (1 - "+plain(c.MarginPercent)+" %) - "+cost+" (margin)"+rounded, f(t.Profit))
	} else {
		step("profit", cost+" x "+plain(c.MarkupPercent)+" % (markup)"+rounded, f(t.Profit))
	}
	sum := cost + " + " + f(t.Profit)
	if !c.DiscountPercent.IsZero() {
		step("discount", f(t.cost()+t.Profit)+" x "+plain(c.DiscountPercent)+" %"+rounded, f(t.Discount))
		sum += " - " + f(t.Discount)
	}
	if t.Rounding != 0 || t.Odd != 0 {
		way := "nearest multiple of "
		if c.RoundUp {
			way = "next multiple up of "
		}
		step("rounding of the price", "the price with tax is to be the "+way+f(c.RoundTo)+", "+f(t.Price)+"; so much of it before tax", f(t.Rounding))
		if t.Rounding < 0 {
			sum += " - " + f(-t.Rounding)
		} else {
			sum += " + " + f(t.Rounding)
		}
	}
	step("price before tax", sum, f(t.BeforeTax))
	if t.Margin != nil {
		step("margin in the end", "("+f(t.BeforeTax)+" - "+cost+") / "+f(t.BeforeTax)+", rounded half away from zero to 0.01 %", plain(*t.Margin)+" %")
	}
	q.taxWorkings(step, rounded)
	last := f(t.BeforeTax) + " + tax " + f(t.Tax)
	if t.Odd != 0 {
		last += " + " + f(t.Odd) + " that no price before tax makes up"
	}
	step("price", last, f(t.Price))
	if len(t.Payments) > 0 {
		parts := make([]string, len(t.Payments))
		for i, p := range t.Payments {
			parts[i] = f(p.Amount) + " (" + plain(p.Percent) + " %)"
		}
		step("payments", strings.Join(parts, " + ")+", shared by largest remainder", f(t.Price))
	}
}

// taxWorkings shows what is taxed and how.
func (q *Quote) taxWorkings(step func(label, expression, result string), rounded string) {
	t, f := &q.Totals, q.List.Currency.Format
	if len(t.Taxes) > 0 {
		var shares []string
		for i, base := range t.categoryPrices(t.BeforeTax) {
			if base != 0 {
				shares = append(shares, string(categories[i])+" "+f(base))
			}
		}
		step("price before tax of each category", f(t.BeforeTax)+" x its share of the direct cost of "+f(t.Direct)+", by largest remainder", strings.Join(shares, ", "))
	}
	for i := range t.Taxes {
		tax := &t.Taxes[i]
		parts := make([]string, len(tax.Parts))
		for k, p := range tax.Parts {
			parts[k] = string(p.Category) + " " + f(p.Base)
		}
		taxed := strings.Join(parts, " + ")
		if len(parts) > 1 {
			taxed = "(" + taxed + ")"
		}
		step(tax.label(), taxed+" x "+plain(tax.Percent)+" %"+rounded, f(tax.Amount))
	}
}

// label names a tax with whose it is.
func (t *TaxAmount) label() string {
	if t.Jurisdiction == "" {
		return t.Name
	}
	return t.Name + " (" + t.Jurisdiction + ")"
}

// plain writes a decimal without trailing zeros.
func plain(d decimal.Decimal) string { return d.Trim(0).String() }
