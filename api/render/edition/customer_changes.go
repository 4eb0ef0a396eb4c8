package edition

import (
	"bedline/api/render/page"
	"bedline/pricing"
)

// options shows what else the customer may choose: the price with it, how far that is from the price, what changes.
func (c *customer) options() {
	if len(c.quote.Options) == 0 {
		return
	}
	c.heading("options")
	c.paragraph("options_intro")
	table := &page.Table{Caption: c.say("options_caption"), Columns: []page.Column{{Head: c.say("column.option"), Share: 2},
		{Head: c.say("column.difference"), Numbers: true, Share: 2}, {Head: c.say("column.price_with"), Numbers: true}}}
	for i := range c.quote.Options {
		o := &c.quote.Options[i]
		table.Rows = append(table.Rows, page.Row{Cells: [][]page.Text{
			page.Plain(optionName(c.quote, i, c.words)), page.Plain(c.more(o.Difference.Totals.Price)), page.Plain(c.money(o.Quote.Totals.Price))}})
	}
	c.add(table)
	for i := range c.quote.Options {
		o := &c.quote.Options[i]
		c.add(&page.Heading{Level: 3, Words: optionName(c.quote, i, c.words)})
		c.changes(newScope(o.Quote, c.words), c.scope)
	}
}

func (c *customer) changes(now, was *scope) {
	items := now.changes(was)
	if len(items) == 0 {
		c.paragraph("nothing_changes")
		return
	}
	c.list(items, false)
}

// changeOrder sets the price beside that of the work as it was agreed before.
func (c *customer) changeOrder() {
	o := c.quote.ChangeOrder
	if o == nil {
		return
	}
	c.heading("change_order")
	name := o.Earlier.Job.Reference
	if name == "" {
		name = o.Earlier.ID[:min(shortID, len(o.Earlier.ID))]
	}
	c.paragraph("change_order_intro", "name", name)
	c.add(&page.Table{Caption: c.say("change_order_caption"),
		Columns: []page.Column{{Head: c.say("column.what"), Share: 3}, {Head: c.say("column.amount"), Numbers: true}},
		Rows: []page.Row{
			{Cells: [][]page.Text{page.Plain(c.say("price_before")), page.Plain(c.money(o.Earlier.Totals.Price))}},
			{Cells: [][]page.Text{page.Plain(c.say("price_difference")), page.Plain(c.money(o.Difference.Totals.Price))}},
			{Cells: [][]page.Text{page.Plain(c.say("price_now")), page.Plain(c.money(c.quote.Totals.Price))}, Sum: true},
		}})
	c.add(&page.Heading{Level: 3, Words: c.say("what_changes")})
	c.changes(c.scope, newScope(o.Earlier, c.words))
	c.workChanges("new_work", c.quote, o.NewWork)
	c.workChanges("dropped_work", o.Earlier, o.Dropped)
}

// workChanges lists kinds of work that only one of two jobs has.
func (c *customer) workChanges(key string, q *pricing.Quote, work []pricing.Work) {
	var items []string
	for i := range work {
		items = append(items, c.work(q, work[i].Operation))
	}
	if len(items) == 0 {
		return
	}
	c.paragraph(key)
	c.list(items, false)
}
