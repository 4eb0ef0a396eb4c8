package edition

import (
	"strings"

	"bedline/api/render/page"
	"bedline/pricing"
	"bedline/pricing/money"
	"bedline/pricing/schedule"
)

// priceNote says whether the price has its taxes in it.
func (c *customer) priceNote() string {
	if c.quote.Totals.Tax == 0 {
		return ""
	}
	return c.say("taxes_included")
}

// price shows how the price comes from that before tax, and when it is paid.
func (c *customer) price() {
	t := &c.quote.Totals
	c.heading("price_heading")
	table := &page.Table{Caption: c.say("price_caption"), Columns: []page.Column{{Head: c.say("column.what"), Share: 3}, {Head: c.say("column.amount"), Numbers: true}}}
	row := func(words string, a money.Amount, sum bool) {
		table.Rows = append(table.Rows, page.Row{Cells: [][]page.Text{page.Plain(words), page.Plain(c.money(a))}, Sum: sum})
	}
	if t.Discount != 0 {
		row(c.say("before_discount"), t.BeforeTax-t.Rounding+t.Discount, false)
		row(c.say("discount", "percent", c.words.Percent(t.Commercial.DiscountPercent)), -t.Discount, false)
		if t.Rounding != 0 {
			row(c.say("rounding"), t.Rounding, false)
		}
	}
	row(c.say("before_tax"), t.BeforeTax, false)
	for i := range t.Taxes {
		row(c.tax(&t.Taxes[i]), t.Taxes[i].Amount, false)
	}
	if t.Odd != 0 {
		row(c.say("rounding"), t.Odd, false)
	}
	row(c.say("price"), t.Price, true)
	c.add(table)
	c.payments()
}

// tax names a tax. Its percentage is said where it falls on the whole price before tax: on a part of it, it would tell
// how large that part is.
func (c *customer) tax(t *pricing.TaxAmount) string {
	name := c.known(t.Name)
	if t.Jurisdiction != "" {
		name = c.say("tax_of", "name", name, "jurisdiction", t.Jurisdiction)
	}
	if t.Base == c.quote.Totals.BeforeTax {
		return c.say("tax_whole", "name", name, "percent", c.words.Percent(t.Percent))
	}
	return name
}

// known is a name as price lists usually have it in the language of the reader; any other stays as it is.
func (c *customer) known(name string) string {
	if key := "customer.known." + strings.ToLower(name); c.words.Has(key) {
		return c.words.Say(key)
	}
	return name
}

func (c *customer) payments() {
	list := c.quote.Totals.Payments
	if len(list) == 0 {
		return
	}
	table := &page.Table{Caption: c.say("payments_caption"), Columns: []page.Column{
		{Head: c.say("column.when"), Share: 2}, {Head: c.say("column.share"), Numbers: true}, {Head: c.say("column.amount"), Numbers: true}}}
	for i := range list {
		p := &list[i]
		table.Rows = append(table.Rows, page.Row{Cells: [][]page.Text{
			page.Plain(c.known(p.Name)), page.Plain(c.words.Percent(p.Percent)), page.Plain(c.money(p.Amount))}})
	}
	c.add(table)
}

// date writes a day that the quote has as year-month-day.
func (c *customer) date(day string) string {
	d, err := schedule.ParseDay(day)
	if err != nil {
		return day
	}
	return c.words.Date(d)
}

// more says a difference in price.
func (c *customer) more(a money.Amount) string {
	switch {
	case a > 0:
		return c.say("more", "amount", c.money(a))
	case a < 0:
		return c.say("less", "amount", c.money(-a))
	}
	return c.say("same_price")
}
