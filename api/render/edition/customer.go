package edition

import (
	"bedline/api/render"
	"bedline/api/render/locale"
	"bedline/api/render/page"
	"bedline/pricing"
)

// Customer is the quote as the customer reads it and signs it off. Nothing in it tells what the job costs the crew.
func Customer(q *pricing.Quote, l *locale.Locale) *page.Document {
	d := &page.Document{Title: l.Say("customer.title"), Language: l.Tag()}
	d.Blocks = append(d.Blocks, &page.Heading{Level: 1, Words: d.Title})
	if s := render.Plan(q, l); s != nil {
		d.Blocks = append(d.Blocks, &page.Figure{Sheet: s})
	}
	d.Blocks = append(d.Blocks, &page.Sum{Words: l.Money(q.Totals.Price, q.List.Currency)})
	return d
}
