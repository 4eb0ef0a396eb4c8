package edition

import (
	"slices"
	"strings"

	"bedline/api/render"
	"bedline/api/render/page"
	"bedline/pricing"
	"bedline/pricing/schedule"
)

// days are the tasks day by day: a task that goes on over several days stands on each of them, with its box on the last.
// Days on which nothing begins or ends are one.
func (c *crew) days() {
	p := c.quote.Plan
	if p == nil || len(p.Tasks) == 0 {
		return
	}
	c.part("days", true)
	c.figure("", render.Tasks(c.quote, c.words), "tasks.caption")
	last := 0
	for i := range p.Tasks {
		_, until := c.daysOf(&p.Tasks[i])
		last = max(last, until)
	}
	if !p.Calendar.IsDated() {
		c.paragraph(c.say("days.undated"))
	}
	turning := c.turningDays()
	for day := 0; day <= last; day++ {
		end := day
		for end < last && !turning[day] && !turning[end+1] {
			end++
		}
		c.day(day, end)
		day = end
	}
	c.holds()
	if p.Shortest {
		c.remark(c.say("plan.shortest"))
	}
}

// turningDays are the days on which a task begins or ends. Those between two of them are all alike.
func (c *crew) turningDays() map[int]bool {
	days := map[int]bool{}
	for i := range c.quote.Plan.Tasks {
		first, last := c.daysOf(&c.quote.Plan.Tasks[i])
		days[first], days[last] = true, true
	}
	return days
}

// daysAtWork is the number of days on which somebody works.
func (c *crew) daysAtWork() int {
	at := map[int]bool{}
	for i := range c.quote.Plan.Tasks {
		first, last := c.daysOf(&c.quote.Plan.Tasks[i])
		for day := first; day <= last; day++ {
			at[day] = true
		}
	}
	return len(at)
}

// daysOf are the numbers of the days on which a task begins and ends.
func (c *crew) daysOf(t *pricing.PlannedTask) (first, last int) {
	first, _ = c.quote.Plan.Calendar.Number(t.Start)
	last, _ = c.quote.Plan.Calendar.EndNumber(t.End)
	return first, max(first, last)
}

func (c *crew) dayName(day int) string {
	calendar := c.quote.Plan.Calendar
	if !calendar.IsDated() {
		return c.say("day", "n", c.words.Whole(day+1))
	}
	return c.say("day.dated", "date", c.weekday(calendar.WorkDay(day)), "n", c.words.Whole(day+1))
}

// dayShort is the name of a day for a cell of a table.
func (c *crew) dayShort(day int) string {
	calendar := c.quote.Plan.Calendar
	if !calendar.IsDated() {
		return c.say("day", "n", c.words.Whole(day+1))
	}
	return c.say("day.short", "date", c.words.DayDate(calendar.WorkDay(day)), "n", c.words.Whole(day+1))
}

// day are the tasks of a day, or of several that are all alike.
func (c *crew) day(day, end int) {
	p := c.quote.Plan
	name := c.dayName(day)
	if end > day {
		name = c.say("days.alike", "from", name, "to", c.dayName(end))
	}
	t := c.table(capital(name), "when*1.6", "task*1.8", "#people*0.8", "#person_hours*0.8", "tool*1.3")
	var begun []*pricing.PlannedTask
	perDay := p.Calendar.PerDay()
	for i := range p.Tasks {
		task := &p.Tasks[i]
		first, last := c.daysOf(task)
		if day < first || day > last {
			continue
		}
		from, to := task.Start, task.End
		name := c.operation(task.Operation)
		if day > first {
			from = schedule.Minutes(day) * perDay
			name = c.say("task.goes_on", "task", name)
		} else {
			begun = append(begun, task)
		}
		if day < last {
			to = schedule.Minutes(day+1) * perDay
		}
		tool := c.say("tool." + string(task.Tool))
		if task.Machine != nil {
			tool = task.Machine.Name
		}
		hours := c.decimal(task.Hours)
		if day > first {
			hours = ""
		}
		t.Rows = append(t.Rows, page.Row{Cells: cells([]string{c.when(from, to), name, c.words.Whole(task.People), hours, tool}), Box: day == last})
	}
	if len(t.Rows) == 0 {
		return
	}
	c.add(t)
	if waits := c.waits(begun); len(waits) > 0 {
		c.add(&page.List{Items: waits})
	}
}

// when is a stretch of a day, by the clock where the plan has dates, else in the working time of the day.
func (c *crew) when(from, to schedule.Minutes) string {
	calendar := c.quote.Plan.Calendar
	if calendar.IsDated() {
		return c.say("from_to", "from", c.words.Hour(calendar.Start(from).Minute()), "to", c.words.Hour(calendar.End(to).Minute()))
	}
	_, start := calendar.Number(from)
	_, end := calendar.EndNumber(to)
	if to == from {
		end = start
	}
	return c.say("from_to", "from", clock(start), "to", clock(end))
}

func clock(m schedule.Minutes) string {
	h, rest := m/60, m%60
	digits := func(n schedule.Minutes) string { return string([]byte{'0' + byte(n/10), '0' + byte(n%10)}) }
	if h < 10 {
		return string([]byte{'0' + byte(h)}) + ":" + digits(rest)
	}
	return digits(h) + ":" + digits(rest)
}

// waits tell what tasks wait for, and why: what one waits for with one reason stands together, and so do tasks that wait
// for the same with the same reason.
func (c *crew) waits(tasks []*pricing.PlannedTask) [][]page.Text {
	type why struct{ on, reason string }
	var whys []why
	waiting := map[why][]string{}
	for _, t := range tasks {
		for i := range t.Waits {
			reason := t.Waits[i].Reason
			if slices.ContainsFunc(t.Waits[:i], func(w pricing.PlannedWait) bool { return w.Reason == reason }) {
				continue
			}
			var on []string
			for k := range t.Waits {
				if t.Waits[k].Reason == reason {
					on = append(on, c.waitedFor(&t.Waits[k]))
				}
			}
			w := why{strings.Join(on, ", "), reason}
			if len(waiting[w]) == 0 {
				whys = append(whys, w)
			}
			waiting[w] = append(waiting[w], c.operation(t.Operation))
		}
	}
	out := make([][]page.Text, len(whys))
	for i, w := range whys {
		words := c.say("wait", "task", strings.Join(waiting[w], ", "), "for", w.on) + " "
		out[i] = append([]page.Text{{Words: words}}, c.sentence(w.reason)...)
	}
	return out
}

// waitedFor is a task that is waited for, with the times that have to pass after it.
func (c *crew) waitedFor(w *pricing.PlannedWait) string {
	holds := make([]string, len(w.Holds))
	for i := range w.Holds {
		holds[i] = c.hold(&w.Holds[i])
	}
	if len(holds) == 0 {
		return c.operation(w.For)
	}
	return c.operation(w.For) + " (" + strings.Join(holds, "; ") + ")"
}

// hold is a time to wait: "cure of joints, 24 h".
func (c *crew) hold(h *pricing.Hold) string {
	key := string(h.Key)
	if key == "" {
		key = "requested"
	}
	name := c.say("hold." + key)
	if h.Hours > 0 {
		return c.say("hold.hours", "hold", name, "hours", c.words.HoursOf(h.Hours))
	}
	return c.count("hold.days", h.WorkingDays, "hold", name)
}

// holds are the times to wait, with the moment until which they last where the plan has dates.
func (c *crew) holds() {
	p := c.quote.Plan
	t := c.table(c.say("holds.caption"), "hold*1.4", "after*1.4", "until*1.4", "holds_back")
	for i := range p.Holds {
		h := &p.Holds[i]
		until := c.say("hold.from", "day", c.dayNumber(h.From))
		if p.Calendar.IsDated() {
			until = c.words.DateTime(h.Until)
		}
		var before []string
		for _, op := range h.Before {
			before = append(before, c.operation(op))
		}
		back := strings.Join(before, ", ")
		if back == "" {
			back = c.say("hold.feet")
		}
		row(t, c.hold(&h.Hold), c.operation(h.After), until, back)
	}
	c.show(t)
}

func (c *crew) dayNumber(at schedule.Minutes) string {
	day, _ := c.quote.Plan.Calendar.EndNumber(at)
	return c.words.Whole(day + 1)
}

// machines are hired, or not, and why.
func (c *crew) machines() {
	t := c.table(c.say("machines.caption"), "machine*1.5", "for_tasks*1.4", "from_day*1.3", "to_day*1.3", "hire_days*0.9", "#hire*0.7")
	list := &page.List{}
	for i := range c.quote.Hires {
		h := &c.quote.Hires[i]
		tasks := make([]string, len(h.For))
		for k, op := range h.For {
			tasks[k] = c.operation(op)
		}
		for k := range h.Periods {
			if !h.Chosen {
				break
			}
			p := &h.Periods[k]
			var days []string
			if p.Days > 0 {
				days = append(days, c.count("hire.days", p.Days))
			}
			if p.HalfDays > 0 {
				days = append(days, c.count("hire.half_days", p.HalfDays))
			}
			tick(t, h.Machine.Name, strings.Join(tasks, ", "), c.dayShort(p.First), c.dayShort(p.Last), strings.Join(days, ", "), c.money(p.Amount))
		}
		list.Items = append(list.Items, page.Plain(c.hire(h, strings.Join(tasks, ", "))))
	}
	if len(list.Items) == 0 {
		return
	}
	c.part("machines", false)
	c.show(t)
	c.add(list)
}

// hire sets the machine beside the same work by hand.
func (c *crew) hire(h *pricing.Hire, tasks string) string {
	values := []string{"machine", h.Machine.Name, "tasks", tasks, "machine_hours", c.hours(h.ByIt.Hours), "machine_cost", c.money(h.Cost())}
	if h.Hand == nil {
		return c.say("hire.only", values...)
	}
	values = append(values, "hand_hours", c.hours(h.Hand.Hours), "hand_cost", c.money(h.Hand.Cost))
	switch {
	case h.Chosen && h.Asked:
		return c.say("hire.asked", values...)
	case h.Chosen:
		return c.say("hire.chosen", values...)
	case h.Asked:
		return c.say("hire.asked_hand", values...)
	}
	return c.say("hire.hand", values...)
}
