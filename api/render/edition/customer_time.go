package edition

import (
	"bedline/api/render/page"
	"bedline/estimate"
	"bedline/estimate/measure"
	"bedline/pricing"
	"bedline/pricing/schedule"
)

// time says when the work would be done, and what has to wait before or after.
func (c *customer) time() {
	p := c.quote.Plan
	if p == nil || len(p.Tasks) == 0 {
		return
	}
	c.heading("time")
	var facts []page.Fact
	fact := func(key, words string) {
		facts = append(facts, page.Fact{Term: c.say(key), Text: page.Plain(words)})
	}
	start, end := c.onSite()
	first, _ := p.Calendar.Number(start)
	last, _ := p.Calendar.EndNumber(end)
	fact("time.days", c.words.Count("customer.working_days", last-first+1))
	if p.Calendar.IsDated() {
		fact("time.start", c.words.FullDate(p.Calendar.Start(start).Day()))
		fact("time.end", c.words.FullDate(p.Calendar.End(end).Day()))
	}
	for i := range p.Holds {
		h := &p.Holds[i]
		if h.Key == pricing.UtilityMarking {
			fact("time.marking", c.say("marking", "wait", c.wait(&h.Hold)))
		}
	}
	for i := range p.Holds {
		switch h := &p.Holds[i]; h.Key {
		case pricing.JointCure:
			fact("time.cure", c.cure(h, end))
		case pricing.JointDry:
			fact("time.dry", c.say("dry", "wait", c.wait(&h.Hold)))
		}
	}
	c.add(&page.Facts{Facts: facts})
	c.paragraph("time_end")
}

// onSite is when the crew begins and ends on site. Asking for the marks of utilities is no day on site, unless they are
// there before.
func (c *customer) onSite() (start, end schedule.Minutes) {
	p := c.quote.Plan
	begun := false
	for i := range p.Tasks {
		t := &p.Tasks[i]
		end = max(end, t.End)
		if t.Operation == estimate.LocateUtilities && !p.MarksFirst && len(p.Tasks) > 1 {
			continue
		}
		if !begun || t.Start < start {
			start, begun = t.Start, true
		}
	}
	return start, end
}

func (c *customer) cure(h *pricing.PlannedHold, end schedule.Minutes) string {
	p := c.quote.Plan
	if p.Calendar.IsDated() && h.Until > p.Calendar.End(end) {
		return c.say("cure_until", "wait", c.wait(&h.Hold), "moment", c.words.DateTime(h.Until))
	}
	return c.say("cure", "wait", c.wait(&h.Hold))
}

func (c *customer) wait(h *pricing.Hold) string {
	if h.WorkingDays > 0 {
		return c.words.Count("customer.working_days", h.WorkingDays)
	}
	if n := int(h.Hours); measure.Hours(n) == h.Hours {
		return c.words.Count("customer.hours", n)
	}
	return c.say("hours_part", "n", c.words.Number(float64(h.Hours), 2))
}

// line is where a pen writes.
const line = "______________________________"

// acceptance is what the customer signs.
func (c *customer) acceptance() {
	q := c.quote
	c.heading("acceptance")
	c.paragraph("acceptance_intro", "price", c.money(q.Totals.Price))
	if len(q.Options) > 0 {
		var items []string
		for i := range q.Options {
			items = append(items, c.say("with_option", "name", q.Options[i].Name, "difference", c.more(q.Options[i].Difference.Totals.Price)))
		}
		c.paragraph("options_taken")
		c.list(items, true)
	}
	var facts []page.Fact
	for _, key := range [...]string{"accept.name", "accept.signature", "accept.date", "accept.crew"} {
		facts = append(facts, page.Fact{Term: c.say(key), Text: page.Plain(line)})
	}
	c.add(&page.Paragraph{Text: page.Plain(c.say("identifier", "id", q.ID)), Faint: true}, &page.Facts{Facts: facts})
}
