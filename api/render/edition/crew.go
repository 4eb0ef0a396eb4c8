package edition

import (
	"bedline/api/render"
	"bedline/api/render/drawing"
	"bedline/api/render/locale"
	"bedline/api/render/page"
	"bedline/estimate"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
	"bedline/pricing"
)

// Crew is the quote as the crew takes it to the site: what to watch out for, where everything lies and how deep, what to
// cut, buy and do, in the order in which it is needed. It tells what goods cost, since the crew buys them, and leaves out
// what makes a price of the cost.
func Crew(q *pricing.Quote, l *locale.Locale) *page.Document {
	c := &crew{quote: q, words: l, system: q.Job.System}
	if q.Job.SetOut.Stated {
		c.frame, _ = outline.NewFrame(q.Job.SetOut.Origin, q.Job.SetOut.Towards) // read as such
	}
	title := q.Job.Title
	if title == "" {
		title = q.Job.Reference
	}
	c.doc = &page.Document{Title: c.say("title", "job", title), Language: l.Tag(), Subject: c.say("subject", "reference", q.Job.Reference),
		Labels: labels(l)}
	c.head()
	c.cautions()
	c.before()
	c.figure("plan", render.Plan(q, l), "plan.caption")
	c.setOut()
	c.depths()
	c.digging()
	c.layers()
	c.fabric()
	c.edging()
	c.cutList()
	c.paving()
	c.slabs()
	c.planters()
	c.shopping()
	c.short()
	c.leftOver()
	c.days()
	c.machines()
	c.lifting()
	c.changes()
	c.forms()
	return c.doc
}

// crew writes one edition for the crew.
type crew struct {
	quote  *pricing.Quote
	words  *locale.Locale
	system measure.System
	frame  outline.Frame // of the set-out, from the coordinates of the request
	doc    *page.Document
}

// head tells which job it is, by whom and how long.
func (c *crew) head() {
	q := c.quote
	c.add(&page.Heading{Level: 1, Words: c.doc.Title})
	var f facts
	f.add(c.say("fact.reference"), q.Job.Reference)
	f.add(c.say("fact.list"), c.say("list.version", "name", q.List.Name, "version", c.words.Whole(q.List.Version)))
	if p := q.Plan; p != nil {
		f.add(c.say("fact.crew"), c.count("people", p.Crew.Size))
		days, _ := p.Calendar.EndNumber(p.Length)
		first, last := "", ""
		if p.Calendar.IsDated() {
			first, last = c.date(p.Calendar.WorkDay(0)), c.date(p.Calendar.WorkDay(days))
		}
		time := c.count("working_days", days+1)
		if work := c.daysAtWork(); work < days+1 {
			time = c.say("days_of", "all", time, "work", c.count("days_at_work", work))
		}
		f.add(c.say("fact.days"), time)
		f.add(c.say("fact.per_day"), c.span(p.Crew.PerDay))
		f.add(c.say("fact.first"), first)
		f.add(c.say("fact.last"), last)
		if p.Crew.SizeAssumed || p.Crew.HoursAssumed {
			f.add(c.say("fact.assumed"), c.say("crew_assumed"))
		}
	}
	f.add(c.say("fact.hours"), c.hours(q.Totals.Hours))
	g := &q.Job.Ground
	f.add(c.say("fact.soil"), c.oneOf("soil", g.Soil.Key))
	f.add(c.say("fact.cover"), c.oneOf("cover", string(g.Cover)))
	if g.Haul > 0 {
		f.add(c.say("fact.haul"), c.length(g.Haul))
	}
	if g.HaulIn > 0 {
		f.add(c.say("fact.haul_in"), c.length(g.HaulIn))
	}
	if g.Climb != 0 {
		f.add(c.say("fact.climb"), c.percent(float64(g.Climb)))
	}
	if g.ClimbIn != 0 {
		f.add(c.say("fact.climb_in"), c.percent(float64(g.ClimbIn)))
	}
	if g.Access > 0 {
		f.add(c.say("fact.access"), c.length(g.Access))
	}
	c.add(f.block())
}

// cautions come first: what can hurt someone, what has to be confirmed on site, what else there is to know.
func (c *crew) cautions() {
	if len(c.quote.Notices) == 0 {
		return
	}
	c.part("cautions", false)
	for _, s := range [...]struct {
		severity estimate.Severity
		tone     page.Tone
	}{{estimate.Caution, page.Caution}, {estimate.Confirm, page.Confirm}, {estimate.Info, page.Info}} {
		for i := range c.quote.Notices {
			n := &c.quote.Notices[i]
			if n.Severity != s.severity {
				continue
			}
			note := &page.Note{Tone: s.tone, Kind: c.say("severity." + string(s.severity)), Text: c.sentence(n.Message), Source: n.Source}
			if n.Confirm != "" {
				note.Ask = []page.Text{{Words: c.say("ask") + " "}, c.said(n.Confirm)}
			}
			c.add(note)
		}
	}
}

// before is what has to be asked for and ordered before the first day.
func (c *crew) before() {
	p := c.quote.Plan
	if p == nil {
		return
	}
	list := &page.List{Boxes: true}
	if p.MarksFirst {
		if p.Calendar.IsDated() {
			list.Items = append(list.Items, page.Plain(c.say("before.marks_by", "date", c.weekday(p.MarkBy))))
		} else {
			list.Items = append(list.Items, page.Plain(c.say("before.marks")))
		}
	}
	for i := range p.Deliveries {
		list.Items = append(list.Items, page.Plain(c.order(&p.Deliveries[i])))
	}
	if len(list.Items) > 0 {
		c.part("before", false)
		c.add(list)
	}
}

// figure shows a drawing under a heading of its own; nothing where there is none.
func (c *crew) figure(part string, sheet *drawing.Sheet, caption string) {
	if sheet == nil {
		return
	}
	if part != "" {
		c.part(part, false)
	}
	c.add(&page.Figure{Sheet: sheet, Caption: c.say(caption)})
}
