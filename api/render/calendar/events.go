package calendar

import (
	"strconv"
	"strings"

	ics "github.com/arran4/golang-ical"

	"bedline/estimate"
	"bedline/pricing"
	"bedline/pricing/schedule"
)

func (w *writer) operation(op estimate.Operation) string {
	if k := "crew.operation." + string(op); w.words.Has(k) {
		return w.words.Say(k)
	}
	return pricing.Describe(op)
}

func (w *writer) supplier(key string) string {
	if s, ok := w.quote.List.Supplier(key); ok && s.Name != "" {
		return s.Name
	}
	return key
}

func (w *writer) material(key string) string {
	if m, ok := w.quote.List.Catalogue.Material(key); ok {
		return m.Name
	}
	return key
}

// marking is the last day to ask for the utilities to be marked.
func (w *writer) marking() {
	if !w.plan.MarksFirst {
		return
	}
	e := w.event(w.uid("marking"), "order", w.say("marking"), w.say("marking.why"))
	w.days(e, w.plan.MarkBy, w.plan.MarkBy)
}

// day is the part of a task that lies on one working day.
type day struct{ from, until schedule.Clock }

func days(c *schedule.Calendar, start, end schedule.Minutes) []day {
	if end <= start {
		return []day{{c.Start(start), c.Start(start)}}
	}
	var out []day
	for at := start; at < end; {
		n, _ := c.Number(at)
		to := min(end, schedule.Minutes(n+1)*c.PerDay())
		out = append(out, day{c.Start(at), c.End(to)})
		at = to
	}
	return out
}

// task is an event for each working day of a task.
func (w *writer) task(t *pricing.PlannedTask) {
	name := w.operation(t.Operation)
	var lines []string
	lines = append(lines, w.words.Count("calendar.people", t.People, "hours", w.words.Hours(t.Hours)))
	switch {
	case t.Machine != nil:
		lines = append(lines, w.say("machine", "machine", t.Machine.Name))
	case t.Tool == pricing.ByMachine:
		lines = append(lines, w.say("by_machine"))
	}
	if t.Times.Critical {
		lines = append(lines, w.say("critical"))
	}
	for i := range t.Waits {
		wait := &t.Waits[i]
		reason, _ := w.words.Sentence(wait.Reason)
		if wait.Requested || reason == "" {
			lines = append(lines, w.say("after", "task", w.operation(wait.For)))
		} else {
			lines = append(lines, w.say("after.why", "task", w.operation(wait.For), "why", reason))
		}
	}
	description := strings.Join(lines, "\n")
	parts := days(w.plan.Calendar, t.Start, t.End)
	for i, d := range parts {
		uid := w.uid("task", string(t.Operation), strconv.Itoa(i+1))
		summary := name
		if len(parts) > 1 {
			summary = w.say("part", "task", name, "n", w.words.Whole(i+1), "of", w.words.Whole(len(parts)))
		}
		e := w.event(uid, "task", summary, description)
		w.between(e, d.from, d.until)
		if i == 0 {
			w.first[t.Operation] = e
		} else {
			depend(e, w.last[t.Operation])
		}
		w.last[t.Operation] = uid
	}
}

// hold is a time to wait.
func (w *writer) hold(h *pricing.PlannedHold) {
	key := string(h.Key)
	if key == "" {
		key = "requested"
	}
	lines := []string{w.say("hold.after", "task", w.operation(h.After))}
	if len(h.Before) > 0 {
		names := make([]string, len(h.Before))
		for i, op := range h.Before {
			names[i] = w.operation(op)
		}
		lines = append(lines, w.say("hold.before", "tasks", w.words.List(names)))
	}
	what := []string{"hold", key, string(h.After)}
	if key == "requested" {
		for _, op := range h.Before {
			what = append(what, string(op))
		}
	}
	uid := w.uid(what...)
	e := w.event(uid, "hold", w.say("hold."+key), strings.Join(lines, "\n"))
	w.between(e, w.plan.Calendar.End(h.From), h.Until)
	e.SetTimeTransparency(ics.TransparencyTransparent)
	depend(e, w.last[h.After])
	for _, op := range h.Before {
		depend(w.first[op], uid)
	}
}

// delivery is when to order from a supplier and when its goods have to be there.
func (w *writer) delivery(d *pricing.PlannedDelivery) {
	names := make([]string, len(d.Materials))
	for i, key := range d.Materials {
		names[i] = w.material(key)
	}
	goods := strings.Join(names, "\n")
	supplier := w.supplier(d.Supplier)
	order := w.uid("order", d.Supplier)
	e := w.event(order, "order", w.say("order", "supplier", supplier), w.words.Count("calendar.order.lead", d.LeadDays)+"\n"+goods)
	w.days(e, d.OrderBy, d.OrderBy)
	needed := w.plan.Calendar.Start(d.Needed)
	there := w.uid("delivery", d.Supplier)
	e = w.event(there, "delivery", w.say("delivery", "supplier", supplier),
		w.say("delivery.for", "task", w.operation(d.For), "hour", w.words.Hour(needed.Minute()))+"\n"+goods)
	w.days(e, needed.Day(), needed.Day())
	depend(e, order)
	depend(w.first[d.For], there)
}

// hire is an event for every time that a machine is hired.
func (w *writer) hire(h *pricing.Hire) {
	if !h.Chosen {
		return
	}
	names := make([]string, len(h.For))
	for i, op := range h.For {
		names[i] = w.operation(op)
	}
	for i := range h.Periods {
		p := &h.Periods[i]
		uid := w.uid("hire", h.Machine.Key, strconv.Itoa(i+1))
		e := w.event(uid, "hire", w.say("hire", "machine", h.Machine.Name), w.say("hire.for", "tasks", w.words.List(names)))
		w.days(e, w.plan.Calendar.WorkDay(p.First), w.plan.Calendar.WorkDay(p.Last))
	}
}
