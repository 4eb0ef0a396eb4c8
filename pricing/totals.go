package pricing

import (
	"fmt"
	"math/big"

	"github.com/govalues/decimal"

	"bedline/estimate"
	"bedline/pricing/money"
)

// total sums the lines and puts contingency, overhead, profit and tax on them.
//
//	contingency = c x direct
//	overhead    = o x (direct + contingency)
//	profit      = m x (direct + contingency + overhead) for a markup, cost/(1 - m) - cost for a margin
//	tax         = t x price before tax x (share of the taxed categories in direct)
//
// Each is rounded once, half away from zero, from rounded inputs; sums are exact.
func (q *Quote) total(c Commercial) error {
	t := &q.Totals
	t.Commercial = c
	t.Hours = decimal.Zero
	for i := range q.Lines {
		l := &q.Lines[i]
		sum := t.of(l.Category)
		*sum += l.Amount
		if *sum > largestAmount || *sum < -largestAmount {
			return fmt.Errorf("summing %s: %w", l.Category, money.ErrTooLarge)
		}
		hours, err := t.Hours.Add(l.Hours)
		if err != nil {
			return fmt.Errorf("summing hours: %w", err)
		}
		t.Hours = hours
	}
	t.Direct = t.Materials + t.Delivery + t.Equipment + t.Labour + t.Disposal
	var err error
	if t.Contingency, err = money.Percent(t.Direct, c.ContingencyPercent); err != nil {
		return fmt.Errorf("reckoning the contingency: %w", err)
	}
	if t.Overhead, err = money.Percent(t.Direct+t.Contingency, c.OverheadPercent); err != nil {
		return fmt.Errorf("reckoning the overhead: %w", err)
	}
	cost := t.Direct + t.Contingency + t.Overhead
	if c.MarginPercent.IsZero() {
		t.Profit, err = money.Percent(cost, c.MarkupPercent)
	} else {
		t.Profit, err = money.MarginOn(cost, c.MarginPercent)
	}
	if err != nil {
		return fmt.Errorf("reckoning the profit: %w", err)
	}
	t.BeforeTax = cost + t.Profit
	if t.BeforeTax > largestAmount {
		return fmt.Errorf("summing the price: %w", money.ErrTooLarge)
	}
	if err := q.tax(); err != nil {
		return err
	}
	t.Price = t.BeforeTax + t.Tax
	q.totalWorkings()
	return nil
}

// largestAmount keeps every sum and product of amounts far from overflow.
const largestAmount money.Amount = 1e15

// tax reckons each tax of the list and shares it over the lines that it falls on, by largest remainder.
func (q *Quote) tax() error {
	t := &q.Totals
	for _, tax := range q.List.Taxes {
		amount := TaxAmount{Name: tax.Name, Percent: tax.Percent, On: tax.On}
		var taxed money.Amount
		on := map[Category]bool{} // only looked up
		for _, c := range tax.On {
			on[c] = true
			taxed += *t.of(c)
		}
		if t.Direct > 0 {
			exact := money.Exact(tax.Percent)
			exact.Mul(exact, big.NewRat(int64(t.BeforeTax), 100))
			exact.Mul(exact, big.NewRat(int64(taxed), int64(t.Direct)))
			var err error
			if amount.Amount, err = money.RoundExact(exact); err != nil {
				return fmt.Errorf("reckoning %s: %w", tax.Name, err)
			}
		}
		weights := make([]money.Amount, len(q.Lines))
		for i := range q.Lines {
			if on[q.Lines[i].Category] {
				weights[i] = q.Lines[i].Amount
			}
		}
		for i, share := range money.Share(amount.Amount, weights) {
			q.Lines[i].Tax += share
		}
		t.Tax += amount.Amount
		t.Taxes = append(t.Taxes, amount)
	}
	return nil
}

// totalWorkings shows how the price comes about.
func (q *Quote) totalWorkings() {
	t, c, f := &q.Totals, q.Totals.Commercial, q.List.Currency.Format
	step := func(label, expression string, result money.Amount) {
		t.Workings = append(t.Workings, estimate.Working{Label: label, Expression: expression, Result: f(result)})
	}
	step("direct cost", "materials "+f(t.Materials)+" + delivery "+f(t.Delivery)+" + equipment "+f(t.Equipment)+" + labour "+f(t.Labour)+" + disposal "+f(t.Disposal), t.Direct)
	step("contingency", f(t.Direct)+" x "+plain(c.ContingencyPercent)+" %", t.Contingency)
	step("overhead", f(t.Direct+t.Contingency)+" x "+plain(c.OverheadPercent)+" %", t.Overhead)
	cost := f(t.Direct + t.Contingency + t.Overhead)
	if !c.MarginPercent.IsZero() {
		step("profit", cost+" / (1 - "+plain(c.MarginPercent)+" %) - "+cost+" (margin)", t.Profit)
	} else {
		step("profit", cost+" x "+plain(c.MarkupPercent)+" % (markup)", t.Profit)
	}
	step("price before tax", cost+" + "+f(t.Profit), t.BeforeTax)
	for _, tax := range t.Taxes {
		var taxed money.Amount
		names := ""
		for i, on := range tax.On {
			taxed += *t.of(on)
			if i > 0 {
				names += " and "
			}
			names += string(on)
		}
		step(tax.Name, f(t.BeforeTax)+" x "+f(taxed)+" / "+f(t.Direct)+" (share of "+names+") x "+plain(tax.Percent)+" %", tax.Amount)
	}
	step("price", f(t.BeforeTax)+" + tax "+f(t.Tax), t.Price)
}

// plain writes a decimal without trailing zeros.
func plain(d decimal.Decimal) string { return d.Trim(0).String() }
