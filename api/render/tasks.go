package render

import (
	"strings"
	"time"

	"bedline/api/render/drawing"
	"bedline/api/render/locale"
	"bedline/pricing"
	"bedline/pricing/schedule"
)

// Classes of the shapes of the bar chart of tasks.
const (
	classTask      = "task"
	classCritical  = "task critical"
	classHold      = "hold"
	classDayOff    = "day off"
	classWait      = "wait"
	classSlack     = "slack"
	classMilestone = "task without length"
)

const (
	namesWide  drawing.Millimetres = 60 // column of the names of tasks
	nightWide  drawing.Millimetres = 0.6
	idleWide   drawing.Millimetres = 6 // a day on which nobody works, where the others are wide
	mostMarked                     = 120
)

// Tasks draws when the crew does each task: a row for each, bars over the working time, and what has to be waited for.
// Nil where there is no plan.
func Tasks(q *pricing.Quote, l *locale.Locale) *drawing.Sheet {
	if q.Plan == nil || len(q.Plan.Tasks) == 0 {
		return nil
	}
	c := newTaskChart(q, l)
	c.draw()
	return c.sheet
}

// stretch is a piece of the axis of time: a working day, a day off, or the night after a day.
type stretch struct {
	from, to    schedule.Clock
	x, width    drawing.Millimetres
	work        bool
	day         schedule.Day
	number      int              // of the working day, from 0
	first, last schedule.Minutes // places where the working time that is shown begins and ends
}

// taskRow is a row of the chart: a task or what is waited for after it.
type taskRow struct {
	task *pricing.PlannedTask
	hold *pricing.PlannedHold
	y    drawing.Millimetres // middle of its bar
}

type taskChart struct {
	quote  *pricing.Quote
	plan   *pricing.WorkPlan
	words  *locale.Locale
	sheet  *drawing.Sheet
	axis   []stretch // in order, without gaps
	rows   []taskRow
	high   drawing.Millimetres // of a row
	bar    drawing.Millimetres // of a bar
	top    drawing.Millimetres // of the rows
	bottom drawing.Millimetres
}

func newTaskChart(q *pricing.Quote, l *locale.Locale) *taskChart {
	c := &taskChart{quote: q, plan: q.Plan, words: l, high: 6.8, bar: 3}
	for i := range c.plan.Tasks {
		t := &c.plan.Tasks[i]
		c.rows = append(c.rows, taskRow{task: t})
		for k := range c.plan.Holds {
			if h := &c.plan.Holds[k]; h.After == t.Operation {
				c.rows = append(c.rows, taskRow{hold: h})
			}
		}
	}
	if len(c.rows) > 30 {
		c.high = 6
	}
	c.top = 14
	for i := range c.rows {
		c.rows[i].y = c.top + c.high*(drawing.Millimetres(i)+0.5)
	}
	c.bottom = c.top + c.high*drawing.Millimetres(len(c.rows))
	c.lay()
	return c
}

// lay lays the days from the first to the end of the last task and hold side by side.
func (c *taskChart) lay() {
	calendar := c.plan.Calendar
	first, last := calendar.Start(0).Day(), calendar.End(c.plan.Length).Day()
	for i := range c.plan.Holds {
		last = max(last, (c.plan.Holds[i].Until - 1).Day())
	}
	busy := make([]bool, int(last-first)+1) // something is done on the day
	for i := range c.plan.Tasks {
		t := &c.plan.Tasks[i]
		for at := t.Start; ; {
			n, _ := calendar.Number(at)
			if d := int(calendar.WorkDay(n) - first); d < len(busy) {
				busy[d] = true
			}
			if at = schedule.Minutes(n+1) * calendar.PerDay(); at >= t.End {
				break
			}
		}
	}
	perDay := calendar.PerDay()
	n := 0
	for d := first; d <= last; d++ {
		s := stretch{day: d, from: d.Clock(0), to: (d + 1).Clock(0)}
		if calendar.WorkDay(n) == d {
			s.work, s.number, s.first, s.last = true, n, schedule.Minutes(n)*perDay, schedule.Minutes(n+1)*perDay
			if first == last { // hours of a single day
				s.last = min(s.last, (c.plan.Length+59)/60*60)
			}
			s.from, s.to = calendar.Start(s.first), calendar.End(s.last)
			n++
		}
		if k := len(c.axis); k > 0 && c.axis[k-1].to < s.from {
			c.axis = append(c.axis, stretch{from: c.axis[k-1].to, to: s.from, day: c.axis[k-1].day, number: -1})
		}
		c.axis = append(c.axis, s)
	}
	c.widths(busy, first)
}

// widths gives every stretch its width: working days alike, days without work less where the others come out wide.
func (c *taskChart) widths(busy []bool, first schedule.Day) {
	room := planWidth - namesWide - 3
	wide, narrow, nights := 0, 0, 0
	for i := range c.axis {
		switch s := &c.axis[i]; {
		case s.number < 0:
			nights++
		case s.work && busy[s.day-first]:
			wide++
		default:
			narrow++
		}
	}
	night, idle := nightWide, idleWide
	day := (room - idle*drawing.Millimetres(narrow) - night*drawing.Millimetres(nights)) / drawing.Millimetres(max(1, wide))
	if day < 8 {
		night = min(night, room/drawing.Millimetres(10*(wide+narrow)))
		day = (room - night*drawing.Millimetres(nights)) / drawing.Millimetres(wide+narrow)
		idle = day
	}
	x := namesWide
	for i := range c.axis {
		s := &c.axis[i]
		s.x = x
		switch {
		case s.number < 0:
			s.width = night
		case s.work && busy[s.day-first]:
			s.width = day
		default:
			s.width = idle
		}
		x += s.width
	}
}

// minutes is where a place of working time lies in a working day.
func (s *stretch) minutes(at schedule.Minutes) drawing.Millimetres {
	return s.x + s.width*drawing.Millimetres(at-s.first)/drawing.Millimetres(s.last-s.first)
}

// clock is where a moment lies.
func (c *taskChart) clock(t schedule.Clock) drawing.Millimetres {
	for i := range c.axis {
		s := &c.axis[i]
		if t > s.to {
			continue
		}
		if t < s.from {
			return s.x
		}
		if s.work {
			return s.minutes(min(s.last, max(s.first, c.plan.Calendar.From(t))))
		}
		return s.x + s.width*drawing.Millimetres(t-s.from)/drawing.Millimetres(s.to-s.from)
	}
	last := &c.axis[len(c.axis)-1]
	return last.x + last.width
}

// starts and ends are where work begins and ends at a place.
func (c *taskChart) starts(at schedule.Minutes) drawing.Millimetres {
	n, _ := c.plan.Calendar.Number(at)
	return c.place(n, at)
}

func (c *taskChart) ends(at schedule.Minutes) drawing.Millimetres {
	n, _ := c.plan.Calendar.EndNumber(at)
	return c.place(n, at)
}

func (c *taskChart) place(n int, at schedule.Minutes) drawing.Millimetres {
	for i := range c.axis {
		if s := &c.axis[i]; s.work && s.number == n {
			return s.minutes(at)
		}
	}
	last := &c.axis[len(c.axis)-1]
	return last.x + last.width
}

func (c *taskChart) draw() {
	title := c.words.Say("charts.tasks.title", "job", nameOf(c.quote))
	c.sheet = &drawing.Sheet{Title: title, Language: c.words.Tag(), Width: planWidth}
	c.days()
	for i := range c.rows {
		y := c.top + c.high*drawing.Millimetres(i+1)
		c.sheet.Add(drawing.Rule(0, y, planWidth, y, drawing.Joint))
	}
	c.sheet.Add(drawing.Rule(0, c.top, planWidth, c.top, drawing.Outline))
	c.waits()
	description := []string{c.words.Say("charts.tasks.description")}
	for i := range c.rows {
		r := &c.rows[i]
		name, detail := "", ""
		if r.task != nil {
			name, detail = c.taskName(r.task), c.taskDetail(r.task)
			c.drawTask(r)
		} else {
			name, detail = c.holdName(r.hold), c.holdDetail(r.hold)
			c.drawHold(r)
		}
		c.sheet.Add(words(1, r.y-0.2, fitted(name, small, namesWide-3), small, drawing.Start))
		second := words(1, r.y+2.5, fitted(detail, tiny, namesWide-3), tiny, drawing.Start)
		second.Ink = drawing.FaintInk
		c.sheet.Add(second)
		description = append(description, name+": "+detail+".")
	}
	c.sheet.Description = strings.Join(description, " ")
	c.foot()
}

// days draws the heads of the days, and the days off down all rows.
func (c *taskChart) days() {
	marked := len(c.axis) <= 2*mostMarked
	for i := range c.axis {
		s := &c.axis[i]
		if !marked || s.number < 0 {
			continue
		}
		if !s.work {
			shape := drawing.Rectangle(s.x, c.top, s.width, c.bottom-c.top, drawing.DayOff, drawing.NoInk)
			shape.Class = classDayOff
			c.sheet.Add(shape)
		} else if s.width >= 3 {
			c.sheet.Add(drawing.Rule(s.x, c.top-2, s.x, c.bottom, drawing.Joint))
		}
	}
	c.heads()
	c.hours()
}

// heads writes the days over the chart, as many as there is room for.
func (c *taskChart) heads() {
	const under = drawing.Millimetres(7.4)
	free, narrow := namesWide-4, false
	for i := range c.axis {
		if s := &c.axis[i]; s.number >= 0 && s.width < 5.6 {
			narrow = true
		}
	}
	for i := range c.axis {
		s := &c.axis[i]
		if s.number < 0 {
			continue
		}
		var upper, lower string
		switch dated := c.plan.Calendar.IsDated(); {
		case !dated:
			lower = c.words.Say("charts.tasks.day", "n", c.words.Whole(s.number+1))
			if wide(lower, tiny) > s.width-0.6 {
				lower = c.words.Whole(s.number + 1)
			}
		case narrow:
			if !s.work || i > 0 && s.day.Weekday() != c.firstOfWeek() {
				continue
			}
			lower = c.words.DayOfMonth(s.day)
		default:
			upper, lower = c.words.WeekdayShort(s.day), c.words.DayOfMonth(s.day)
			if wide(lower, tiny) > s.width-0.4 {
				lower = c.words.DayNumber(s.day)
			}
		}
		long := max(wide(upper, tiny), wide(lower, tiny))
		x := s.x + s.width/2
		if narrow {
			x = s.x + long/2
		}
		x = min(x, planWidth-long/2)
		if x-long/2 < free {
			continue
		}
		free = x + long/2 + 0.4
		if narrow {
			free += 1.5
			c.sheet.Add(drawing.Rule(s.x, c.top-3.6, s.x, c.bottom, drawing.Joint))
		}
		if upper != "" {
			c.sheet.Add(words(x, under-2.6, upper, tiny, drawing.Middle))
		}
		c.sheet.Add(words(x, under, lower, tiny, drawing.Middle))
	}
}

// firstOfWeek is the weekday on which the working weeks of the plan begin.
func (c *taskChart) firstOfWeek() time.Weekday {
	for i := 1; i < len(c.axis); i++ {
		s := &c.axis[i]
		if !s.work || s.number == 0 {
			continue
		}
		for k := i - 1; k >= 0; k-- {
			if c.axis[k].number >= 0 {
				if !c.axis[k].work {
					return s.day.Weekday()
				}
				break
			}
		}
	}
	return c.axis[0].day.Weekday()
}

// hours marks the hours of days that come out wide: those of the clock, or hours of work where there are no dates.
func (c *taskChart) hours() {
	for i := range c.axis {
		s := &c.axis[i]
		if !s.work || s.width < 28 {
			continue
		}
		free, before := s.x-1, s.x-1
		for h := range 25 {
			var x drawing.Millimetres
			var text string
			if c.plan.Calendar.IsDated() {
				at := s.day.Clock(h * 60)
				if at < s.from || at > s.to {
					continue
				}
				x, text = c.clock(at), c.words.Hour(h*60)
			} else {
				at := s.first + schedule.Minutes(h*60)
				if at > s.last {
					continue
				}
				x, text = s.minutes(at), c.words.Say("charts.duration.hours", "h", c.words.Whole(h))
			}
			if x <= before {
				continue
			}
			before = x
			c.sheet.Add(drawing.Rule(x, c.top-1.2, x, c.top, drawing.Outline))
			long := wide(text, tiny)
			if from := x - long/2; from >= free && x+long/2 <= min(planWidth, s.x+s.width+1) {
				c.sheet.Add(words(x, c.top-2, text, tiny, drawing.Middle))
				free = x + long/2 + 1
			}
		}
	}
}

// drawTask draws the bars of a task, one for each of its days, and how much later it might end.
func (c *taskChart) drawTask(r *taskRow) {
	t := r.task
	fill, class := drawing.BarFill, classTask
	if t.Times.Critical {
		fill, class = drawing.CriticalBar, classCritical
	}
	if late := t.Times.LateEnd; late > t.End {
		from, to := c.ends(t.End), c.ends(min(late, max(t.End, c.plan.Length)))
		if to > from {
			line, tick := drawing.Rule(from, r.y, to, r.y, drawing.Measure), drawing.Rule(to, r.y-0.9, to, r.y+0.9, drawing.Measure)
			line.Class, tick.Class = classSlack, classSlack
			c.sheet.Add(line, tick)
		}
	}
	if t.End <= t.Start {
		x := c.starts(t.Start)
		c.sheet.Add(&drawing.Shape{Steps: []drawing.Step{drawing.Move(x, r.y-1.2), drawing.Line(x+1.2, r.y), drawing.Line(x, r.y+1.2), drawing.Line(x-1.2, r.y), drawing.Closed()},
			Fill: drawing.Ink100, Class: classMilestone})
		return
	}
	for i := range c.axis {
		s := &c.axis[i]
		from, to := max(t.Start, s.first), min(t.End, s.last)
		if !s.work || from >= to {
			continue
		}
		shape := drawing.Rectangle(s.minutes(from), r.y-c.bar/2, s.minutes(to)-s.minutes(from), c.bar, fill, drawing.Outline)
		shape.Class = class
		c.sheet.Add(shape)
	}
}

func (c *taskChart) drawHold(r *taskRow) {
	from, to := c.ends(r.hold.From), c.clock(r.hold.Until)
	if to <= from {
		return // over before anybody works again
	}
	shape := drawing.Rectangle(from, r.y-c.bar/2, to-from, c.bar, drawing.Hold, drawing.Thin)
	shape.Class = classHold
	c.sheet.Add(shape)
}

// waits draws an arrow from the end of each task to the start of one that waits for it.
func (c *taskChart) waits() {
	for i := range c.rows {
		r := &c.rows[i]
		if r.task == nil {
			continue
		}
		for k := range r.task.Waits {
			for b := range c.rows {
				before := &c.rows[b]
				if before.task == nil || before.task.Operation != r.task.Waits[k].For {
					continue
				}
				from, to := c.ends(before.task.End), c.starts(r.task.Start)
				arrow := &drawing.Shape{Steps: []drawing.Step{drawing.Move(from, before.y)}, Ink: drawing.Thin, Class: classWait}
				if to > from {
					arrow.Steps = append(arrow.Steps, drawing.Line(to, before.y))
				}
				tip := r.y - c.bar/2
				arrow.Steps = append(arrow.Steps, drawing.Line(to, tip))
				c.sheet.Add(arrow, &drawing.Shape{Steps: []drawing.Step{drawing.Move(to, tip), drawing.Line(to-0.6, tip-1.4), drawing.Line(to+0.6, tip-1.4), drawing.Closed()}, Fill: drawing.Ink100})
			}
		}
	}
}

// foot draws the key, and says when the crew is done.
func (c *taskChart) foot() {
	y := c.bottom + 5
	n, _ := c.plan.Calendar.EndNumber(c.plan.Length)
	end := c.words.Say("charts.tasks.done_undated", "day", c.words.Whole(n+1), "crew", c.words.Count("charts.people", c.plan.Crew.Size))
	if c.plan.Calendar.IsDated() {
		end = c.words.Say("charts.tasks.done", "moment", c.moment(c.plan.Calendar.End(c.plan.Length)), "crew", c.words.Count("charts.people", c.plan.Crew.Size))
	}
	for _, line := range wrapped(end, small, planWidth-2) {
		c.sheet.Add(words(1, y, line, small, drawing.Start))
		y += 3.8
	}
	x, row := drawing.Millimetres(1), y
	entry := func(key string, picture func(x, y drawing.Millimetres)) {
		text := c.words.Say(key)
		long := 8 + wide(text, small) + 4
		if x+long > planWidth {
			x, row = 1, row+4.8
		}
		picture(x, row)
		c.sheet.Add(words(x+8, row+2.4, text, small, drawing.Start))
		x += long
	}
	box := func(fill drawing.Fill, ink drawing.Ink) func(x, y drawing.Millimetres) {
		return func(x, y drawing.Millimetres) { c.sheet.Add(drawing.Rectangle(x, y, 6.4, c.bar, fill, ink)) }
	}
	entry("charts.tasks.key.task", box(drawing.BarFill, drawing.Outline))
	entry("charts.tasks.key.critical", box(drawing.CriticalBar, drawing.Outline))
	entry("charts.tasks.key.hold", box(drawing.Hold, drawing.Thin))
	if c.plan.Calendar.IsDated() {
		entry("charts.tasks.key.day_off", box(drawing.DayOff, drawing.NoInk))
	}
	entry("charts.tasks.key.slack", func(x, y drawing.Millimetres) {
		c.sheet.Add(drawing.Rule(x, y+1.5, x+6.4, y+1.5, drawing.Measure), drawing.Rule(x+6.4, y+0.6, x+6.4, y+2.4, drawing.Measure))
	})
	entry("charts.tasks.key.wait", func(x, y drawing.Millimetres) {
		c.sheet.Add(&drawing.Shape{Steps: []drawing.Step{drawing.Move(x, y+0.4), drawing.Line(x+4, y+0.4), drawing.Line(x+4, y+2)}, Ink: drawing.Thin},
			&drawing.Shape{Steps: []drawing.Step{drawing.Move(x+4, y+3), drawing.Line(x+3.4, y+1.6), drawing.Line(x+4.6, y+1.6), drawing.Closed()}, Fill: drawing.Ink100})
	})
	c.sheet.Height = row + 5
}

func (c *taskChart) taskName(t *pricing.PlannedTask) string {
	if key := "charts.task." + string(t.Operation); c.words.Has(key) {
		return c.words.Say(key)
	}
	return pricing.Describe(t.Operation)
}

func (c *taskChart) taskDetail(t *pricing.PlannedTask) string {
	parts := []string{c.words.Count("charts.people", t.People), c.duration(t.Length)}
	if t.Machine != nil {
		parts = append(parts, t.Machine.Name)
	}
	return strings.Join(parts, ", ")
}

func (c *taskChart) holdName(h *pricing.PlannedHold) string {
	if key := "charts.hold." + string(h.Key); h.Key != "" && c.words.Has(key) {
		return c.words.Say(key)
	}
	return c.words.Say("charts.hold.requested")
}

// holdDetail says until when is waited.
func (c *taskChart) holdDetail(h *pricing.PlannedHold) string {
	calendar := c.plan.Calendar
	if calendar.IsDated() {
		return c.words.Say("charts.tasks.until", "moment", c.moment(h.Until))
	}
	n, into := calendar.Number(calendar.From(h.Until))
	if into == 0 {
		return c.words.Say("charts.tasks.until_day", "day", c.words.Whole(n+1))
	}
	return c.words.Say("charts.tasks.until_day_after", "day", c.words.Whole(n+1), "duration", c.duration(into))
}

// moment is a day with its hour.
func (c *taskChart) moment(t schedule.Clock) string {
	return c.words.Say("charts.moment", "weekday", c.words.WeekdayShort(t.Day()), "day", c.words.DayOfMonth(t.Day()), "hour", c.words.Hour(t.Minute()))
}

func (c *taskChart) duration(m schedule.Minutes) string {
	h, rest := c.words.Whole(int(m)/60), c.words.Whole(int(m)%60)
	switch {
	case m < 60:
		return c.words.Say("charts.duration.minutes", "m", rest)
	case m%60 == 0:
		return c.words.Say("charts.duration.hours", "h", h)
	}
	return c.words.Say("charts.duration.both", "h", h, "m", rest)
}
