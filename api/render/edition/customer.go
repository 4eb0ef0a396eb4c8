package edition

import (
	"bedline/api/render"
	"bedline/api/render/locale"
	"bedline/api/render/page"
	"bedline/pricing"
	"bedline/pricing/money"
)

// Customer is the quote as the customer reads and accepts it: what is built, what it costs them, what is in and not, and
// when. Nothing in it tells what the job costs the crew, how many hours it takes, or who sells the materials.
func Customer(q *pricing.Quote, l *locale.Locale) *page.Document {
	c := &customer{quote: q, words: l, scope: newScope(q, l)}
	name := titleOf(q)
	title, subject := l.Say("customer.title_only"), l.Say("customer.subject_only")
	if name != "" {
		title, subject = l.Say("customer.title", "name", name), l.Say("customer.subject", "name", name)
	}
	c.doc = &page.Document{Title: title, Language: l.Tag(), Subject: subject, Labels: labels(l)}
	c.add(&page.Heading{Level: 1, Words: title})
	c.reference()
	c.add(&page.Sum{Term: l.Say("customer.price"), Words: c.money(q.Totals.Price), Under: c.priceNote()})
	c.changeOrder()
	c.built()
	c.price()
	c.included()
	c.excluded()
	c.options()
	c.time()
	c.toConfirm()
	c.acceptance()
	return c.doc
}

// customer writes one document.
type customer struct {
	quote *pricing.Quote
	words *locale.Locale
	scope *scope
	doc   *page.Document
}

func (c *customer) add(blocks ...page.Block) { c.doc.Blocks = append(c.doc.Blocks, blocks...) }

func (c *customer) heading(key string) {
	c.add(&page.Heading{Level: 2, Words: c.words.Say("customer." + key)})
}

func (c *customer) say(key string, values ...string) string {
	return c.words.Say("customer."+key, values...)
}

func (c *customer) paragraph(key string, values ...string) {
	c.add(&page.Paragraph{Text: page.Plain(c.say(key, values...))})
}

func (c *customer) money(a money.Amount) string { return c.words.Money(a, c.quote.List.Currency) }

func (c *customer) list(items []string, boxes bool) {
	out := &page.List{Boxes: boxes}
	for _, words := range items {
		out.Items = append(out.Items, page.Plain(words))
	}
	c.add(out)
}

// shortID is how much of the quote's id is read out on the telephone.
const shortID = 12

// reference says which quote this is and how long it holds.
func (c *customer) reference() {
	q := c.quote
	var facts []page.Fact
	fact := func(key, words string) {
		facts = append(facts, page.Fact{Term: c.say(key), Text: page.Plain(words)})
	}
	if q.Job.Reference != "" {
		fact("reference", q.Job.Reference)
	}
	fact("number", q.ID[:min(shortID, len(q.ID))])
	if v := q.Totals.Validity; v.QuotedOn != "" {
		fact("quoted_on", c.date(v.QuotedOn))
	}
	if words := c.validity(); words != "" {
		fact("valid", words)
	}
	c.add(&page.Facts{Facts: facts})
	if q.List.Note == pricing.Sample().Note {
		c.add(&page.Note{Tone: page.Info, Kind: c.say("kind.info"), Text: page.Plain(c.say("invented"))})
	}
}

func (c *customer) validity() string {
	switch v := c.quote.Totals.Validity; {
	case v.Until != "":
		return c.say("valid_until", "date", c.date(v.Until))
	case v.Days > 0:
		return c.words.Count("customer.valid_days", v.Days)
	}
	return ""
}

// built says what is built, with the drawing of it.
func (c *customer) built() {
	c.heading("scope")
	c.paragraph("scope_intro")
	c.add(c.scope.blocks(3)...)
	c.ground()
	c.stays()
	if sheet := render.Plan(c.quote, c.words); sheet != nil {
		c.heading("drawing")
		c.add(&page.Figure{Sheet: sheet, Caption: c.say("drawing_caption")})
	}
}
