package render

import (
	"slices"
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
	namesWide drawing.Millimetres = 60 // column of the names of tasks
	nightWide drawing.Millimetres = 0.6
	idleWide  drawing.Millimetres = 6   // a day on which nobody works, where the others are wide
	nameWide  drawing.Millimetres = 5.6 // a day that has room for its name
	leastHold drawing.Millimetres = 0.3
	mostDays                      = 120
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

// stretch is a piece of the axis of time: working time, a day off, or the night after a day.
type stretch struct {
	from, to    schedule.Clock
	x, width    drawing.Millimetres
	work, night bool
	idle        bool // nobody works then
	day         schedule.Day
	number      int              // of the working day, from 0
	first, last schedule.Minutes // places where the working time begins and ends
}

// dayColumn is what a day takes of the axis.
type dayColumn struct {
	x, width drawing.Millimetres
	work     bool
	day      schedule.Day
	number   int
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
	c.lay()
	c.top = 9
	for i := range c.axis {
		if c.axis[i].marksHours() {
			c.top = 11.6
		}
	}
	for i := range c.rows {
		c.rows[i].y = c.top + c.high*(drawing.Millimetres(i)+0.5)
	}
	c.bottom = c.top + c.high*drawing.Millimetres(len(c.rows))
	return c
}

// worked are the places where work first begins and last ends on a working day; ok is false where nobody works.
func (c *taskChart) worked(n int) (from, to schedule.Minutes, ok bool) {
	first := schedule.Minutes(n) * c.plan.Calendar.PerDay()
	last := first + c.plan.Calendar.PerDay()
	from, to = last, first
	for i := range c.plan.Tasks {
		t := &c.plan.Tasks[i]
		if start, _ := c.plan.Calendar.Number(t.Start); t.Start < last && t.End > first || t.Start == t.End && start == n {
			from, to, ok = min(from, max(first, t.Start)), max(to, min(last, t.End)), true
		}
	}
	return from, to, ok
}

// lay lays the days from the first to the end of the last task and hold side by side. All working time has one scale but
// for what nobody works in, which is drawn shorter; where days come out too narrow for that, they are all alike.
func (c *taskChart) lay() {
	calendar := c.plan.Calendar
	first, last := calendar.Start(0).Day(), calendar.End(c.plan.Length).Day()
	for i := range c.plan.Holds {
		last = max(last, (c.plan.Holds[i].Until - 1).Day())
	}
	room := planWidth - namesWide - 3
	if days := int(last-first) + 1; days <= mostDays {
		c.stretches(first, last, true)
		minutes, nights, idle := schedule.Minutes(0), 0, 0
		for i := range c.axis {
			switch s := &c.axis[i]; {
			case s.night:
				nights++
			case s.work && !s.idle:
				minutes += s.last - s.first
			default:
				idle++
			}
		}
		// Time without work wide enough for the name of a day, or else only to be seen.
		for _, try := range [...]struct{ idle, least drawing.Millimetres }{{6, 20}, {3, 9.5}} {
			scale := (room - try.idle*drawing.Millimetres(idle) - nightWide*drawing.Millimetres(nights)) / drawing.Millimetres(max(1, minutes))
			if scale*drawing.Millimetres(calendar.PerDay()) >= try.least {
				c.widths(scale, try.idle, nightWide)
				return
			}
		}
	}
	c.stretches(first, last, false)
	// No nights; of very many days no days off either.
	days, off := int(last-first)+1, drawing.Millimetres(1)
	if days > mostDays {
		days, off = 0, 0
		for i := range c.axis {
			if c.axis[i].work {
				days++
			}
		}
	}
	day := room / drawing.Millimetres(days)
	c.widths(day/drawing.Millimetres(calendar.PerDay()), day*off, 0)
}

// stretches cuts the time from a day to another into days and nights, and working days with what is done on them apart
// from the rest if they are to be split.
func (c *taskChart) stretches(first, last schedule.Day, split bool) {
	calendar := c.plan.Calendar
	c.axis = c.axis[:0]
	add := func(s stretch) {
		if k := len(c.axis); k > 0 && c.axis[k-1].to < s.from {
			if c.axis[k-1].work && s.work && c.axis[k-1].number == s.number {
				s.from = c.axis[k-1].to // a break
			} else {
				c.axis = append(c.axis, stretch{from: c.axis[k-1].to, to: s.from, day: c.axis[k-1].day, night: true})
			}
		}
		c.axis = append(c.axis, s)
	}
	n := 0
	for d := first; d <= last; d++ {
		if calendar.WorkDay(n) != d {
			add(stretch{day: d, from: d.Clock(0), to: (d + 1).Clock(0), number: -1})
			continue
		}
		begin := schedule.Minutes(n) * calendar.PerDay()
		end := begin + calendar.PerDay()
		if first == last { // hours of a single day
			end = min(end, begin+(c.plan.Length+59)/60*60)
		}
		part := func(from, to schedule.Minutes, idle bool) {
			if to > from {
				add(stretch{day: d, number: n, work: true, idle: idle, first: from, last: to, from: calendar.Start(from), to: calendar.End(to)})
			}
		}
		from, to, some := c.worked(n)
		switch {
		case !some || !split:
			part(begin, end, !some && split)
		default:
			// To whole hours, and only what is longer than an hour.
			from, to = begin+(from-begin)/60*60, min(end, begin+(to-begin+59)/60*60)
			if from-begin < 60 {
				from = begin
			}
			if end-to < 60 {
				to = end
			}
			part(begin, from, true)
			part(from, to, false)
			part(to, end, true)
		}
		n++
	}
}

// widths gives every stretch its place: working time to a scale, days off and time without work a width of their own.
func (c *taskChart) widths(scale, idle, night drawing.Millimetres) {
	x := namesWide
	for i := range c.axis {
		s := &c.axis[i]
		s.x = x
		switch {
		case s.night:
			s.width = night
		case s.work && !s.idle:
			s.width = scale * drawing.Millimetres(s.last-s.first)
		default:
			s.width = idle
		}
		x += s.width
	}
}

// columns are the days as they lie on the axis.
func (c *taskChart) columns() []dayColumn {
	var days []dayColumn
	for i := range c.axis {
		s := &c.axis[i]
		if s.night {
			continue
		}
		if k := len(days); k > 0 && days[k-1].day == s.day {
			days[k-1].width = s.x + s.width - days[k-1].x
			continue
		}
		days = append(days, dayColumn{x: s.x, width: s.width, work: s.work, day: s.day, number: s.number})
	}
	return days
}

// marksHours tells whether there is room for hours over a stretch.
func (s *stretch) marksHours() bool { return s.work && !s.idle && s.width >= 28 }

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
		if s := &c.axis[i]; s.work && s.number == n && s.first <= at && at <= s.last {
			return s.minutes(at)
		}
	}
	last := &c.axis[len(c.axis)-1]
	return last.x + last.width
}

func (c *taskChart) draw() {
	title := c.words.Say("charts.tasks.title", "job", titleOf(c.quote))
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
	columns := c.columns()
	for i := range columns {
		d := &columns[i]
		switch {
		case len(columns) > mostDays:
		case !d.work:
			shape := drawing.Rectangle(d.x, c.top, d.width, c.bottom-c.top, drawing.DayOff, drawing.NoInk)
			shape.Class = classDayOff
			c.sheet.Add(shape)
		case d.width >= 3:
			c.sheet.Add(drawing.Rule(d.x, c.top-2, d.x, c.bottom, drawing.Joint))
		}
	}
	c.heads(columns)
	c.hours()
}

// heads writes the days over the chart, as many as there is room for.
func (c *taskChart) heads(columns []dayColumn) {
	const under = drawing.Millimetres(6.2)
	free := namesWide - 4
	narrow := !slices.ContainsFunc(columns, func(d dayColumn) bool { return d.width >= nameWide })
	monday := firstOfWeek(columns)
	years := columns[len(columns)-1].day-columns[0].day > 300
	for i := range columns {
		d := &columns[i]
		var upper, lower string
		switch dated := c.plan.Calendar.IsDated(); {
		case !dated:
			lower = c.words.Say("charts.tasks.day", "n", c.words.Whole(d.number+1))
			if !narrow && wide(lower, tiny, false) > d.width-0.6 {
				lower = c.words.Whole(d.number + 1)
			}
		case narrow:
			if !d.work || i > 0 && d.day.Weekday() != monday {
				continue
			}
			lower = c.words.MonthDay(d.day)
			if years {
				lower = c.words.ShortDate(d.day)
			}
		default:
			upper, lower = c.words.ShortWeekday(d.day), c.words.MonthDay(d.day)
			if wide(lower, tiny, false) > d.width-0.4 {
				lower = c.words.DayNumber(d.day)
			}
		}
		if !narrow && max(wide(upper, tiny, false), wide(lower, tiny, false)) > d.width+0.4 {
			continue
		}
		long := max(wide(upper, tiny, false), wide(lower, tiny, false))
		x := d.x + d.width/2
		if narrow {
			x = d.x + long/2
		}
		x = min(x, planWidth-long/2)
		if x-long/2 < free {
			continue
		}
		free = x + long/2 + 0.4
		if narrow {
			free += 1.5
			c.sheet.Add(drawing.Rule(d.x, c.top-2, d.x, c.bottom, drawing.Joint))
		}
		if upper != "" {
			c.sheet.Add(words(x, under-2.7, upper, tiny, drawing.Middle))
		}
		c.sheet.Add(words(x, under, lower, tiny, drawing.Middle))
	}
}

// firstOfWeek is the weekday on which the working weeks of the plan begin.
func firstOfWeek(columns []dayColumn) time.Weekday {
	for i := 1; i < len(columns); i++ {
		if columns[i].work && !columns[i-1].work {
			return columns[i].day.Weekday()
		}
	}
	return columns[0].day.Weekday()
}

// hours marks the hours of days that come out wide: those of the clock, or hours of work where there are no dates. As many
// are written as there is room for, at even steps.
func (c *taskChart) hours() {
	type mark struct {
		x    drawing.Millimetres
		hour int
		text string
	}
	taken := drawing.Millimetres(0) // up to where the words of the day before reach
	for i := range c.axis {
		s := &c.axis[i]
		if !s.marksHours() {
			continue
		}
		var marks []mark
		for h := range 25 {
			m := mark{hour: h}
			if c.plan.Calendar.IsDated() {
				at := s.day.Clock(h * 60)
				if at < s.from || at > s.to {
					continue
				}
				m.x, m.text = c.clock(at), c.words.Hour(h%24*60)
			} else {
				at := schedule.Minutes(s.number)*c.plan.Calendar.PerDay() + schedule.Minutes(h*60)
				if at < s.first || at > s.last {
					continue
				}
				m.x, m.text = s.minutes(at), c.words.Say("hours", "n", c.words.Whole(h))
			}
			if k := len(marks); k > 0 && m.x <= marks[k-1].x {
				continue // within a break
			}
			marks = append(marks, m)
			c.sheet.Add(drawing.Rule(m.x, c.top-1.2, m.x, c.top, drawing.Outline))
		}
		for _, every := range [...]int{1, 2, 3, 4, 6, 12, 24} {
			var row []drawing.Item
			free, fits := s.x-4, true
			for _, m := range marks {
				long := wide(m.text, tiny, false)
				if m.hour%every != 0 || m.x-long/2 < taken || m.x+long/2 > min(planWidth, s.x+s.width+3) {
					continue
				}
				fits = fits && m.x-long/2 >= free
				free = m.x + long/2 + 1
				row = append(row, words(m.x, c.top-2, m.text, tiny, drawing.Middle))
			}
			if fits {
				c.sheet.Add(row...)
				taken = free
				break
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
			line, tick := drawing.Rule(from, r.y+1, to, r.y+1, drawing.Measure), drawing.Rule(to, r.y+0.3, to, r.y+1.7, drawing.Measure)
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
	var bar *drawing.Shape
	for i := range c.axis {
		s := &c.axis[i]
		from, to := max(t.Start, s.first), min(t.End, s.last)
		if !s.work || from >= to {
			continue
		}
		left, right := s.minutes(from), s.minutes(to)
		if bar != nil && left-bar.Steps[1].To.X < 1e-6 { // no night between them
			bar.Steps[1].To.X, bar.Steps[2].To.X = right, right
			continue
		}
		bar = drawing.Rectangle(left, r.y-c.bar/2, right-left, c.bar, fill, drawing.Outline)
		bar.Class = class
		c.sheet.Add(bar)
	}
}

func (c *taskChart) drawHold(r *taskRow) {
	from, to := c.ends(r.hold.From), c.clock(r.hold.Until)
	if to <= from {
		to = from + leastHold // over a night that has no width
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
		end = c.words.Say("charts.tasks.done", "moment", c.words.DateTime(c.plan.Calendar.End(c.plan.Length)), "crew", c.words.Count("charts.people", c.plan.Crew.Size))
	}
	if slices.ContainsFunc(c.axis, func(s stretch) bool { return s.idle }) {
		end += " " + c.words.Say("charts.tasks.shorter")
	}
	if c.plan.Calendar.IsDated() && len(c.columns()) > mostDays {
		end += " " + c.words.Say("charts.tasks.working_days")
	}
	for _, line := range wrapped(end, small, planWidth-2) {
		c.sheet.Add(words(1, y, line, small, drawing.Start))
		y += 3.8
	}
	x, row := drawing.Millimetres(1), y
	entry := func(key string, picture func(x, y drawing.Millimetres)) {
		text := c.words.Say(key)
		long := 8 + wide(text, small, false) + 4
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
	// What is not drawn needs no key.
	drawn := func(class string) bool {
		return slices.ContainsFunc(c.sheet.Items, func(item drawing.Item) bool { s, ok := item.(*drawing.Shape); return ok && s.Class == class })
	}
	boxes := [...]struct {
		class, key string
		fill       drawing.Fill
		ink        drawing.Ink
	}{
		{classTask, "charts.tasks.key.task", drawing.BarFill, drawing.Outline}, {classCritical, "charts.tasks.key.critical", drawing.CriticalBar, drawing.Outline},
		{classHold, "charts.tasks.key.hold", drawing.Hold, drawing.Thin}, {classDayOff, "charts.tasks.key.day_off", drawing.DayOff, drawing.NoInk},
	}
	for _, b := range boxes {
		if drawn(b.class) {
			entry(b.key, box(b.fill, b.ink))
		}
	}
	slack, waits := drawn(classSlack), drawn(classWait)
	if slack {
		entry("charts.tasks.key.slack", func(x, y drawing.Millimetres) {
			c.sheet.Add(drawing.Rule(x, y+1.5, x+6.4, y+1.5, drawing.Measure), drawing.Rule(x+6.4, y+0.6, x+6.4, y+2.4, drawing.Measure))
		})
	}
	if waits {
		entry("charts.tasks.key.wait", func(x, y drawing.Millimetres) {
			c.sheet.Add(&drawing.Shape{Steps: []drawing.Step{drawing.Move(x, y+0.4), drawing.Line(x+4, y+0.4), drawing.Line(x+4, y+2)}, Ink: drawing.Thin},
				&drawing.Shape{Steps: []drawing.Step{drawing.Move(x+4, y+3), drawing.Line(x+3.4, y+1.6), drawing.Line(x+4.6, y+1.6), drawing.Closed()}, Fill: drawing.Ink100})
		})
	}
	c.sheet.Height = row + 5
}

func (c *taskChart) taskName(t *pricing.PlannedTask) string {
	for _, topic := range [...]string{"charts.task.", "crew.operation."} { // the first are short
		if key := topic + string(t.Operation); c.words.Has(key) {
			return c.words.Say(key)
		}
	}
	return pricing.Describe(t.Operation)
}

func (c *taskChart) taskDetail(t *pricing.PlannedTask) string {
	parts := []string{c.words.Count("charts.people", t.People), c.words.Duration(t.Length)}
	if t.Machine != nil {
		parts = append(parts, t.Machine.Name)
	}
	text := strings.Join(parts, ", ")
	if t.Machine != nil && wide(text, tiny, false) > namesWide-3 {
		parts[len(parts)-1], _, _ = strings.Cut(t.Machine.Name, ",")
		text = strings.Join(parts, ", ")
	}
	return text
}

func (c *taskChart) holdName(h *pricing.PlannedHold) string {
	if key := "calendar.hold." + string(h.Key); h.Key != "" && c.words.Has(key) {
		return c.words.Say(key)
	}
	return c.words.Say("calendar.hold.requested")
}

// holdDetail says until when is waited.
func (c *taskChart) holdDetail(h *pricing.PlannedHold) string {
	calendar := c.plan.Calendar
	if calendar.IsDated() {
		return c.words.Say("charts.tasks.until", "moment", c.words.ShortDateTime(h.Until))
	}
	n, into := calendar.Number(calendar.From(h.Until))
	if into == 0 {
		return c.words.Say("charts.tasks.until_day", "day", c.words.Whole(n+1))
	}
	return c.words.Say("charts.tasks.until_day_after", "day", c.words.Whole(n+1), "duration", c.words.Duration(into))
}
