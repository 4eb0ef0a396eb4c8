package calendar

import (
	"bytes"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	ics "github.com/arran4/golang-ical"
	"github.com/google/uuid"

	"bedline/api/render/locale"
	"bedline/estimate"
	"bedline/pricing"
	"bedline/pricing/schedule"
)

// ErrUndated says that a plan has no days: the request does not say when the work begins (/crew/start).
var ErrUndated = errors.New("the plan has no dates: the request does not say when the work begins")

// namespace makes our identifiers (RFC 9562, 5.5).
var namespace = uuid.MustParse("5f0c0a52-3f0e-4c1b-9d6a-2b7f8e4d1c90")

// Of is the work plan of a quote as an iCalendar object, lines folded and ended by CR LF. Times are in the zone that the
// request gives, with its VTIMEZONE, or floating (RFC 5545, 3.3.5, form 1), which is the time on site, where it gives none.
// The error is ErrUndated where the request gives no first day.
func Of(q *pricing.Quote, l *locale.Locale) ([]byte, error) {
	if q.Plan == nil || !q.Plan.Calendar.IsDated() {
		return nil, ErrUndated
	}
	w := &writer{quote: q, plan: q.Plan, words: l, out: ics.NewCalendarFor("Bedline"), stamp: stamp(q), zone: q.Terms.Crew.Zone, last: map[estimate.Operation]string{}, first: map[estimate.Operation]*ics.VEvent{}}
	w.write()
	var out bytes.Buffer
	if err := w.out.SerializeTo(&out, ics.WithNewLine("\r\n")); err != nil {
		return nil, fmt.Errorf("writing a calendar: %w", err)
	}
	return out.Bytes(), nil
}

// stamp is the moment that the calendar is from: the day of the quote, or else that of its price list, or else the first
// day of work.
func stamp(q *pricing.Quote) time.Time {
	if !q.Terms.QuotedOn.IsZero() {
		return q.Terms.QuotedOn.UTC().Truncate(24 * time.Hour)
	}
	if t, err := time.Parse(time.DateOnly, q.List.Effective); err == nil {
		return t
	}
	return moment(q.Plan.Calendar.WorkDay(0).Clock(0), time.UTC)
}

type writer struct {
	quote *pricing.Quote
	plan  *pricing.WorkPlan
	words *locale.Locale
	out   *ics.Calendar
	zone  *time.Location // nil for floating times
	stamp time.Time

	first map[estimate.Operation]*ics.VEvent // of each task, as last; only looked up
	last  map[estimate.Operation]string      // their identifiers
}

func (w *writer) say(key string, values ...string) string {
	return w.words.Say("calendar."+key, values...)
}

func (w *writer) write() {
	title := strings.TrimSpace(w.quote.Job.Reference + " " + w.quote.Job.Title)
	if title == "" {
		title = w.say("title")
	}
	w.out.SetProductId("-//Bedline//Bedline//EN")
	w.out.SetCalscale("GREGORIAN")
	w.out.SetName(title)
	w.out.SetDescription(w.say("note"))
	if w.zone != nil {
		w.observances(moment(w.begins(), w.zone), moment(w.ends(), w.zone))
	}
	w.marking()
	for i := range w.plan.Tasks {
		w.task(&w.plan.Tasks[i])
	}
	for i := range w.plan.Tasks {
		t := &w.plan.Tasks[i]
		for k := range t.Waits {
			depend(w.first[t.Operation], w.last[t.Waits[k].For])
		}
	}
	for i := range w.plan.Holds {
		w.hold(&w.plan.Holds[i])
	}
	for i := range w.plan.Deliveries {
		w.delivery(&w.plan.Deliveries[i])
	}
	for i := range w.quote.Hires {
		w.hire(&w.quote.Hires[i])
	}
}

// begins is the first moment that an event with a time begins at.
func (w *writer) begins() schedule.Clock { return w.plan.Calendar.Start(0) }

// ends is the last moment of the plan, holds included.
func (w *writer) ends() schedule.Clock {
	end := w.plan.Calendar.End(w.plan.Length)
	for i := range w.plan.Holds {
		end = max(end, w.plan.Holds[i].Until)
	}
	return end
}

// uid is the identifier of an event, the same for the same job.
func (w *writer) uid(what ...string) string {
	job := "reference " + w.quote.Job.Reference
	if w.quote.Job.Reference == "" {
		job = "id " + w.quote.ID
	}
	return uuid.NewSHA1(namespace, []byte(job+"\n"+strings.Join(what, "\n"))).String()
}

// event begins an event.
func (w *writer) event(uid, category, summary, description string) *ics.VEvent {
	e := w.out.AddEvent(uid)
	e.SetDtStampTime(w.stamp)
	e.SetSequence(0)
	e.SetSummary(summary)
	e.SetDescription(description)
	e.SetProperty(ics.ComponentPropertyCategories, w.say("category."+category))
	return e
}

// depend says that an event can't begin before another one has ended.
func depend(e *ics.VEvent, uid string) {
	if e != nil && uid != "" {
		e.AddProperty(ics.ComponentPropertyRelatedTo, uid, &ics.KeyValues{Key: string(ics.ParameterReltype), Value: []string{"DEPENDS-ON"}})
	}
}

// local is a moment without its zone (RFC 5545, 3.3.5).
const local = "20060102T150405"

// between sets when an event begins and how long it is: the time that passes, also where the clock is changed between.
func (w *writer) between(e *ics.VEvent, from, until schedule.Clock) {
	start, end := moment(from, time.UTC), moment(until, time.UTC)
	if w.zone == nil {
		e.SetProperty(ics.ComponentPropertyDtStart, start.Format(local))
	} else {
		start, end = moment(from, w.zone), moment(until, w.zone)
		e.SetProperty(ics.ComponentPropertyDtStart, start.Format(local), ics.WithTZID(w.zone.String()))
	}
	if end.After(start) { // else it ends as it begins (RFC 5545, 3.6.1)
		e.SetProperty(ics.ComponentPropertyDuration, duration(start, end))
	}
}

// days sets the days of an event, both included.
func (w *writer) days(e *ics.VEvent, first, last schedule.Day) {
	e.SetProperty(ics.ComponentPropertyDtStart, moment(first.Clock(0), time.UTC).Format("20060102"), ics.WithValue(string(ics.ValueDataTypeDate)))
	e.SetProperty(ics.ComponentPropertyDuration, "P"+strconv.Itoa(int(last-first)+1)+"D")
	e.SetTimeTransparency(ics.TransparencyTransparent)
}

// moment is a moment of the clock in a zone.
func moment(c schedule.Clock, zone *time.Location) time.Time {
	return time.Date(1970, 1, 1+int(c.Day()), 0, c.Minute(), 0, 0, zone)
}

// duration is the time from start to end as RFC 5545, 3.3.6 and 3.8.2.5 have it: days of the calendar, which may have 23 or
// 25 hours, then hours and minutes as they pass.
func duration(start, end time.Time) string {
	days := 0
	for !start.AddDate(0, 0, days+1).After(end) {
		days++
	}
	rest := end.Sub(start.AddDate(0, 0, days))
	hours, minutes := int(rest/time.Hour), int(rest%time.Hour/time.Minute)
	text := "P"
	if days > 0 {
		text += strconv.Itoa(days) + "D"
	}
	if rest == 0 {
		return text
	}
	text += "T"
	if hours > 0 {
		text += strconv.Itoa(hours) + "H"
	}
	if minutes > 0 {
		text += strconv.Itoa(minutes) + "M"
	}
	return text
}
