package pricing

import (
	"errors"
	"strconv"
	"strings"
	"time"
	_ "time/tzdata" // zones where the machine has no database of them

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
	"bedline/pricing/schedule"
)

// CrewTerms are what a request says of the crew that builds the job and of when it works.
type CrewTerms struct {
	Size   int              // people, 0 if it does not say
	PerDay schedule.Minutes // working time of a day, 0 if it does not say
	Dated  bool             // there is a start: Hours has the first day and the rest of the calendar
	Hours  schedule.Hours
	Waits  []CrewWait
	Tools  []CrewTool     // in the order of Operations
	Marked bool           // the utilities are marked before the first day
	Zone   *time.Location // in which the plan's hours of the clock are meant; nil if it does not say

	at string // pointer of the member
}

// CrewWait is a wait that a request adds to the order of building.
type CrewWait struct {
	Task, For   estimate.Operation
	Hours       measure.Hours // of the clock that have to pass between
	WorkingDays int           // whole weekdays that have to pass between
}

// CrewTool is the tool that a request wants for an operation.
type CrewTool struct {
	Operation estimate.Operation
	Tool      Tool
}

// Codes of the faults of a crew.
const (
	codeBadDate     = "bad_date"
	codeBadTime     = "bad_time"
	codeNoWorkDay   = "not_a_working_day"
	codeCircle      = "circular_waits"
	codeBadBreaks   = "bad_breaks"
	codeDayTooLong  = "day_too_long"
	codeDoubledItem = "duplicate_item"
	codeUnknownZone = "unknown_zone"
)

// Limits of a crew; the contract states the same.
const (
	mostCrew     = 50
	mostHolidays = 400
	mostBreaks   = 10
	mostWaits    = 100
	// mostWorkDays is how long a plan may be.
	mostWorkDays = 100000
)

// usualStart is when a working day begins of which a request does not say it: 7 in the morning, common practice.
const usualStart = 7 * 60

// The crew that is assumed where neither request nor list says how many work how long.
const (
	usualCrew                     = 2
	usualPerDay  schedule.Minutes = 8 * 60
	exampleStart                  = `"2027-04-12"`
)

var weekdayWords = [...]string{"mon", "tue", "wed", "thu", "fri", "sat", "sun"}

// readCrew reads the member crew of a request.
func readCrew(r document.Reader) CrewTerms {
	c := CrewTerms{at: r.Pointer()}
	c.Hours.StartsAt = usualStart
	c.Size, _ = r.Int("size", document.Optional, 1, mostCrew)
	if h, ok := r.Number("hours_per_day", document.Optional, 0.5, 24); ok {
		c.PerDay = minutesOf(float64(h))
	}
	if r.Has("start") {
		if text, ok := r.Text("start", document.Optional, 20); ok {
			c.Hours.Start, c.Dated = dayOf(r, "start", text)
		}
	}
	if text, ok := r.Text("starts_at", document.Optional, 5); ok {
		c.Hours.StartsAt = timeOf(r, "starts_at", text)
	}
	c.readBreaks(r)
	c.readDays(r)
	c.readZone(r)
	c.Marked, _ = r.Bool("utilities_marked", document.Optional)
	c.readWaits(r)
	if t, ok := r.Object("tools", document.Optional); ok {
		for _, op := range Operations() {
			if tool, ok := t.Choice(string(op), document.Optional, string(ByHand), string(ByMachine)); ok {
				c.Tools = append(c.Tools, CrewTool{op, Tool(tool)})
			}
		}
		t.Close()
	}
	r.Close()
	if !c.Dated && !r.Has("start") {
		for _, member := range [...]string{"starts_at", "breaks", "work_days", "holidays", "zone"} {
			if r.Has(member) {
				r.Fault(member, document.CodeMissing, "needs the first day of work, which start gives", exampleStart)
			}
		}
	}
	return c
}

func minutesOf(hours float64) schedule.Minutes { return schedule.Minutes(measure.RoundUp(hours * 60)) }

// The days that a plan may begin on.
const (
	firstDay schedule.Day = 0      // 1970-01-01
	lastDay  schedule.Day = 376199 // 2999-12-31
)

func dayOf(r document.Reader, member, text string) (schedule.Day, bool) {
	d, err := schedule.ParseDay(text)
	if err != nil {
		r.Fault(member, codeBadDate, "must be a day of the calendar as year, month and day", exampleStart)
		return 0, false
	}
	if d < firstDay || d > lastDay {
		r.Fault(member, document.CodeOutOfRange, "must be from 1970 to 2999", exampleStart)
		return 0, false
	}
	return d, true
}

// timeOf reads a time of the day, in minutes.
func timeOf(r document.Reader, member, text string) int {
	t, err := time.Parse("15:04", text)
	if err != nil || len(text) != 5 {
		r.Fault(member, codeBadTime, "must be a time of the day from 00:00 to 23:59, hours and minutes with two digits each", `"07:30"`)
		return usualStart
	}
	return t.Hour()*60 + t.Minute()
}

// readZone reads the time zone of the site: a name of the IANA time zone database. What depends on the machine, or is
// there for other reckonings of time than ours, is none.
func (c *CrewTerms) readZone(r document.Reader) {
	name, ok := r.Text("zone", document.Optional, 64)
	if !ok {
		return
	}
	zone, err := time.LoadLocation(name)
	switch {
	case name == "", name == "Local", name == "localtime", name == "posixrules", strings.HasPrefix(name, "posix/"), strings.HasPrefix(name, "right/"), err != nil:
		r.Fault("zone", codeUnknownZone, "must be a zone of the IANA time zone database, as area and city", `"America/Chicago"`)
	default:
		c.Zone = zone
	}
}

func (c *CrewTerms) readBreaks(r document.Reader) {
	r.Each("breaks", document.Optional, 0, mostBreaks, func(_ int, v document.Value) {
		b, ok := v.Object()
		if !ok {
			return
		}
		var rest schedule.Break
		at, okAt := b.Text("at", document.Required, 5)
		if okAt {
			rest.At = timeOf(b, "at", at)
		}
		length, okLength := b.Int("minutes", document.Required, 1, 600)
		rest.Length = length
		b.Close()
		if okAt && okLength {
			c.Hours.Breaks = append(c.Hours.Breaks, rest)
		}
	})
}

// readDays reads the days of the week on which the crew works, Monday to Friday where it does not say, and the holidays.
func (c *CrewTerms) readDays(r document.Reader) {
	if !r.Has("work_days") {
		c.Hours.WorkDays = []time.Weekday{time.Monday, time.Tuesday, time.Wednesday, time.Thursday, time.Friday}
	}
	var seen [7]bool
	r.Each("work_days", document.Optional, 1, 7, func(_ int, v document.Value) {
		word, ok := v.Choice(weekdayWords[:]...)
		for i, w := range weekdayWords {
			if !ok || w != word {
				continue
			}
			if seen[i] {
				v.Fault(codeDoubledItem, "stands in the list already", "")
			}
			seen[i] = true
			c.Hours.WorkDays = append(c.Hours.WorkDays, time.Weekday((i+1)%7))
		}
	})
	r.Each("holidays", document.Optional, 0, mostHolidays, func(_ int, v document.Value) {
		text, ok := v.Text(20)
		if !ok {
			return
		}
		d, err := schedule.ParseDay(text)
		if err != nil {
			v.Fault(codeBadDate, "must be a day of the calendar as year, month and day", `"2027-05-31"`)
			return
		}
		c.Hours.Holidays = append(c.Hours.Holidays, d)
	})
}

func (c *CrewTerms) readWaits(r document.Reader) {
	operations := Operations()
	words := make([]string, len(operations))
	for i, o := range operations {
		words[i] = string(o)
	}
	r.Each("waits", document.Optional, 0, mostWaits, func(_ int, v document.Value) {
		wr, ok := v.Object()
		if !ok {
			return
		}
		task, okTask := wr.Choice("task", document.Required, words...)
		before, okFor := wr.Choice("for", document.Required, words...)
		w := CrewWait{Task: estimate.Operation(task), For: estimate.Operation(before)}
		if h, ok := wr.Number("hours", document.Optional, 0, mostHoldHours); ok {
			w.Hours = measure.Hours(h)
		}
		w.WorkingDays, _ = wr.Int("working_days", document.Optional, 0, mostHoldDays)
		if wr.Has("hours") && wr.Has("working_days") {
			wr.Fault("working_days", CodeConflict, "stands beside hours: give one of the two", "3")
		}
		wr.Close()
		if okTask && okFor {
			c.Waits = append(c.Waits, w)
		}
	})
}

// Crew is the crew of a plan.
type Crew struct {
	Size         int
	PerDay       schedule.Minutes
	SizeAssumed  bool // neither request nor list says it
	HoursAssumed bool
}

// crewOn is the crew of a request with the list, which may be nil, for what it does not say.
func (c *CrewTerms) crewOn(list *List) Crew {
	crew := Crew{Size: c.Size, PerDay: c.PerDay}
	if list != nil && crew.Size == 0 {
		crew.Size = list.CrewSize
	}
	if list != nil && crew.PerDay == 0 && !list.HoursPerDay.IsZero() {
		crew.PerDay = minutesOf(float64(factor(list.HoursPerDay)))
	}
	if crew.Size == 0 {
		crew.Size, crew.SizeAssumed = usualCrew, true
	}
	if crew.PerDay == 0 {
		crew.PerDay, crew.HoursAssumed = usualPerDay, true
	}
	return crew
}

// calendarOn is the calendar of the crew; nil after a fault.
func (c *CrewTerms) calendarOn(crew Crew, faults *document.Faults) *schedule.Calendar {
	var calendar *schedule.Calendar
	var err error
	if c.Dated {
		h := c.Hours
		h.PerDay = crew.PerDay
		calendar, err = schedule.Dated(h)
	} else {
		calendar, err = schedule.Undated(crew.PerDay)
	}
	var off *schedule.NotAWorkDayError
	switch {
	case errors.As(err, &off):
		faults.Add(c.at+"/start", codeNoWorkDay, "is no working day of the crew; the next one is "+off.Next.String(), strconv.Quote(off.Next.String()))
	case errors.Is(err, schedule.ErrBreaks):
		faults.Add(c.at+"/breaks", codeBadBreaks, "overlap, do not rise, or do not lie inside the working day", `[{"at":"12:00","minutes":30}]`)
	case errors.Is(err, schedule.ErrDayTooLong):
		faults.Add(c.at+"/starts_at", codeDayTooLong, "lets the working day with its breaks end after midnight", `"07:30"`)
	case err != nil:
		faults.Add(c.at+"/work_days", document.CodeOutOfRange, "leaves no day to work on", `["mon","tue","wed","thu","fri"]`)
	}
	if err != nil {
		return nil
	}
	return calendar
}

// toolFor is the tool that the request wants for an operation, empty for any.
func (c *CrewTerms) toolFor(op estimate.Operation) Tool {
	for _, t := range c.Tools {
		if t.Operation == op {
			return t.Tool
		}
	}
	return ""
}
