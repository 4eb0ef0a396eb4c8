package calendar_test

import (
	"bytes"
	"strings"
	"testing"
	"time"

	ics "github.com/arran4/golang-ical"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api/render/calendar"
	"bedline/api/render/internal/sample"
	"bedline/api/render/locale"
	"bedline/estimate"
	"bedline/pricing"
)

// holiday is the sample with a long weekend, its crew changed by pairs of old and new text.
func holiday(t testing.TB, changes ...string) *pricing.Quote {
	t.Helper()
	return sample.Of(t, []byte(strings.NewReplacer(changes...).Replace(string(sample.Job(t, "bed-before-the-holiday")))))
}

func written(t testing.TB, q *pricing.Quote, tag string) []byte {
	t.Helper()
	l, ok := locale.Lookup(tag)
	require.True(t, ok)
	text, err := calendar.Of(q, l)
	require.NoError(t, err)
	return text
}

func parsed(t testing.TB, text []byte) *ics.Calendar {
	t.Helper()
	c, err := ics.ParseCalendar(bytes.NewReader(text))
	require.NoError(t, err)
	return c
}

func value(e *ics.VEvent, p ics.ComponentProperty) string {
	if v := e.GetProperty(p); v != nil {
		return v.Value
	}
	return ""
}

// event finds the event of a summary.
func event(t testing.TB, c *ics.Calendar, summary string) *ics.VEvent {
	t.Helper()
	for _, e := range c.Events() {
		if value(e, ics.ComponentPropertySummary) == summary {
			return e
		}
	}
	require.Fail(t, "no event", summary)
	return nil
}

func dependsOn(e *ics.VEvent) []string {
	var out []string
	for _, p := range e.GetProperties(ics.ComponentPropertyRelatedTo) {
		if r := p.ICalParameters["RELTYPE"]; len(r) == 1 && r[0] == "DEPENDS-ON" {
			out = append(out, p.Value)
		}
	}
	return out
}

// The plan of a long weekend, read against a calendar by hand: 2027-05-24 is a Monday, the last Monday of May (the 31st)
// is a holiday (5 U.S.C. 6103(a)). Marks take three whole working days, so that stakes go in on Friday; the crew begins at
// half past seven.
func TestAPlanWithALongWeekendReadsAsTheCalendarHangs(t *testing.T) {
	t.Parallel()
	c := parsed(t, written(t, holiday(t), "en-US"))
	for _, test := range []struct{ summary, start, duration string }{
		{"Have utilities located and marked", "20270524T073000", "PT30M"},
		{"Wait for utility marks", "20270524T080000", "P3DT16H"}, // Tuesday, Wednesday and Thursday whole
		{"Set out lines and levels", "20270528T073000", "PT21M"},
	} {
		e := event(t, c, test.summary)
		assert.Equal(t, test.start, value(e, ics.ComponentPropertyDtStart), test.summary)
		assert.Equal(t, test.duration, value(e, ics.ComponentPropertyDuration), test.summary)
	}
	for _, e := range c.Events() {
		start := value(e, ics.ComponentPropertyDtStart)
		if value(e, ics.ComponentPropertyCategories) == "Task" {
			day, err := time.Parse("20060102", start[:8])
			require.NoError(t, err)
			assert.NotContains(t, []time.Weekday{time.Saturday, time.Sunday}, day.Weekday(), start)
			assert.NotEqual(t, "20270531", start[:8], "nobody works on the holiday")
		}
	}
}

// RFC 5545: 3.1 lines end by CR LF and have at most 75 octets; 3.6.1 UID and DTSTAMP are required, DTEND and DURATION
// exclude each other; 3.6.5 a zone that is named is there. RFC 4791, 4.1: no METHOD in what a server keeps.
func TestEveryCalendarKeepsTheRulesOfTheStandard(t *testing.T) {
	t.Parallel()
	dated := 0
	sample.Each(t, func(t *testing.T, _ string, q *pricing.Quote) {
		for _, tag := range locale.Tags() {
			l, _ := locale.Lookup(tag)
			text, err := calendar.Of(q, l)
			if !q.Plan.Calendar.IsDated() {
				require.ErrorIs(t, err, calendar.ErrUndated)
				continue
			}
			dated++
			require.NoError(t, err)
			again, err := calendar.Of(q, l)
			require.NoError(t, err)
			assert.Equal(t, text, again)
			for line := range strings.SplitSeq(strings.TrimSuffix(string(text), "\r\n"), "\r\n") {
				assert.LessOrEqual(t, len(line), 75)
				assert.NotContains(t, line, "\n")
				assert.NotContains(t, line, "calendar.", "a message without words")
			}
			assert.NotContains(t, string(text), "METHOD")
			c := parsed(t, text)
			seen := map[string]bool{}
			for _, e := range c.Events() {
				uid := value(e, ics.ComponentPropertyUniqueId)
				assert.False(t, seen[uid], "the identifier %s is there twice", uid)
				seen[uid] = true
				assert.NotEmpty(t, value(e, ics.ComponentPropertyDtstamp))
				assert.NotEmpty(t, value(e, ics.ComponentPropertyDtStart))
				assert.NotEmpty(t, value(e, ics.ComponentPropertySummary))
				assert.Nil(t, e.GetProperty(ics.ComponentPropertyDtEnd))
			}
			for _, e := range c.Events() {
				for _, uid := range dependsOn(e) {
					assert.True(t, seen[uid], "%s depends on what is not there", value(e, ics.ComponentPropertySummary))
				}
			}
		}
	})
}

// Every task lies in the calendar when the plan has it: its events cover its working time and nothing else of the clock
// but breaks.
func TestEveryTaskIsThereWithItsWorkingTimeAndItsWaits(t *testing.T) {
	t.Parallel()
	q := holiday(t, `"size": 2`, `"size": 1`)
	c := parsed(t, written(t, q, "en-US"))
	parts := map[string][]*ics.VEvent{}
	for _, e := range c.Events() {
		if value(e, ics.ComponentPropertyCategories) == "Task" {
			name, _, _ := strings.Cut(value(e, ics.ComponentPropertySummary), " (")
			parts[name] = append(parts[name], e)
		}
	}
	require.Len(t, parts, len(q.Plan.Tasks))
	longest := 0
	for i := range q.Plan.Tasks {
		task := &q.Plan.Tasks[i]
		events := parts[pricing.Describe(task.Operation)]
		require.NotEmpty(t, events, task.Operation)
		longest = max(longest, len(events))
		var clock time.Duration
		for _, e := range events {
			d, err := time.ParseDuration(strings.ToLower(strings.TrimPrefix(value(e, ics.ComponentPropertyDuration), "PT")))
			require.NoError(t, err)
			clock += d
		}
		worked := time.Duration(task.Length) * time.Minute
		assert.GreaterOrEqual(t, clock, worked, task.Operation)
		assert.LessOrEqual(t, clock, worked+time.Duration(len(events))*30*time.Minute, "no more than the break of each day beside")
		start, _ := time.Parse("2006-01-02T15:04", q.Plan.Calendar.Start(task.Start).String())
		assert.Equal(t, start.Format("20060102T150405"), value(events[0], ics.ComponentPropertyDtStart))
		needs := dependsOn(events[0])
		for k := range task.Waits {
			before := parts[pricing.Describe(task.Waits[k].For)]
			assert.Contains(t, needs, value(before[len(before)-1], ics.ComponentPropertyUniqueId), "%s waits for %s", task.Operation, task.Waits[k].For)
		}
	}
	assert.Greater(t, longest, 1, "a task goes over a night")
}

func TestHoldsOrdersDeliveriesAndHiresAreThere(t *testing.T) {
	t.Parallel()
	sample.Each(t, func(t *testing.T, _ string, q *pricing.Quote) {
		if !q.Plan.Calendar.IsDated() {
			return
		}
		count := map[string]int{}
		for _, e := range parsed(t, written(t, q, "en-US")).Events() {
			count[value(e, ics.ComponentPropertyCategories)]++
			if value(e, ics.ComponentPropertyCategories) != "Task" {
				assert.Equal(t, "TRANSPARENT", value(e, ics.ComponentPropertyTransp), "nobody is taken up by it")
			}
		}
		hires := 0
		for i := range q.Hires {
			if q.Hires[i].Chosen {
				hires += len(q.Hires[i].Periods)
			}
		}
		orders := len(q.Plan.Deliveries)
		if q.Plan.MarksFirst {
			orders++
		}
		assert.Equal(t, []int{len(q.Plan.Holds), orders, len(q.Plan.Deliveries), hires},
			[]int{count["Wait"], count["To arrange"], count["Delivery"], count["Machine"]})
	})
}

func TestTheLastDayToAskForMarkingIsThereWhereTheMarksComeFirst(t *testing.T) {
	t.Parallel()
	q := holiday(t, `"size": 2`, `"size": 2, "utilities_marked": true`)
	e := event(t, parsed(t, written(t, q, "en-US")), "Last day to ask for utility marking")
	assert.Equal(t, strings.ReplaceAll(q.Plan.MarkBy.String(), "-", ""), value(e, ics.ComponentPropertyDtStart))
	assert.Equal(t, "P1D", value(e, ics.ComponentPropertyDuration))
}

func TestIdentifiersStayTheSameWhenAJobIsQuotedAgain(t *testing.T) {
	t.Parallel()
	of := func(q *pricing.Quote) map[string]string {
		uids := map[string]string{}
		for _, e := range parsed(t, written(t, q, "en-US")).Events() {
			uids[value(e, ics.ComponentPropertySummary)] = value(e, ics.ComponentPropertyUniqueId)
		}
		return uids
	}
	first := of(holiday(t))
	same := 0
	for summary, uid := range of(holiday(t, `"40 ft"`, `"39 ft"`, "2027-05-24", "2027-06-07")) {
		if was, ok := first[summary]; ok {
			same++
			assert.Equal(t, was, uid, summary)
		}
	}
	assert.Greater(t, same, 20)
	assert.Len(t, first, len(of(holiday(t, "AR-131", "AR-132"))))
	for summary, uid := range of(holiday(t, "AR-131", "AR-132")) {
		assert.NotEqual(t, first[summary], uid, "another job")
	}
	for summary, uid := range of(holiday(t, `"reference": "AR-131",`, "")) {
		assert.NotEqual(t, first[summary], uid, "a job without reference has its own")
	}
}

// Clocks in Chicago go from 02:00 to 03:00 on the second Sunday of March, 2027-03-14, and back from 02:00 to 01:00 on the
// first Sunday of November, 2027-11-07 (15 U.S.C. 260a(a); six and five hours behind UTC). Marks that
// are asked for on a Wednesday take Thursday, Friday and Monday: five days of the calendar and sixteen hours.
func TestAPlanOverTheNightOfTheChangeSaysWhenTheClockIsPutForward(t *testing.T) {
	t.Parallel()
	crew := []string{"2027-05-24", "2027-03-10", `"size": 2`, `"zone": "America/Chicago", "size": 2`}
	q := holiday(t, crew...)
	text := written(t, q, "en-US")
	c := parsed(t, text)
	require.Len(t, c.Timezones(), 1)
	for _, want := range []string{
		"BEGIN:VTIMEZONE\r\nTZID:America/Chicago\r\n",
		"BEGIN:DAYLIGHT\r\nDTSTART:20270314T020000\r\nTZOFFSETFROM:-0600\r\nTZOFFSETTO:-0500\r\nTZNAME:CDT\r\nEND:DAYLIGHT\r\n",
		"BEGIN:STANDARD\r\nDTSTART:20271107T020000\r\nTZOFFSETFROM:-0500\r\nTZOFFSETTO:-0600\r\nTZNAME:CST\r\nEND:STANDARD\r\n",
		"BEGIN:STANDARD\r\nDTSTART:20261101T020000\r\n", // what holds when the plan begins
	} {
		assert.Contains(t, string(text), want)
	}
	e := event(t, c, "Wait for utility marks")
	assert.Equal(t, []string{"20270310T080000", "P5DT16H"}, []string{value(e, ics.ComponentPropertyDtStart), value(e, ics.ComponentPropertyDuration)})
	for _, e := range c.Events() {
		start := e.GetProperty(ics.ComponentPropertyDtStart)
		if len(start.Value) > 8 {
			assert.Equal(t, []string{"America/Chicago"}, start.ICalParameters["TZID"])
		}
	}
}

// With all seven days worked, the units lie on Saturday, the 13th, at 15:27, and the twelve hours that the request asks
// for end by the clock at 03:27: eleven hours later.
func TestAWaitOfANightOnWhichTheClockIsPutForwardIsAnHourShorter(t *testing.T) {
	t.Parallel()
	crew := []string{"2027-05-24", "2027-03-09", `["mon", "tue", "wed", "thu", "fri"]`, `["mon", "tue", "wed", "thu", "fri", "sat", "sun"]`}
	for _, test := range []struct{ zone, duration string }{
		{"", "PT12H"}, {`"zone": "America/Chicago", `, "PT11H"}, {`"zone": "America/Phoenix", `, "PT12H"},
	} {
		q := holiday(t, append(crew[:4:4], `"size": 2`, test.zone+`"size": 2`)...)
		e := event(t, parsed(t, written(t, q, "en-US")), "Wait that was asked for")
		assert.Equal(t, []string{"20270313T152700", test.duration}, []string{value(e, ics.ComponentPropertyDtStart), value(e, ics.ComponentPropertyDuration)}, test.zone)
	}
}

// Zones that never change their clocks, with whole hours, with minutes, and none at all beside UTC.
func TestZonesWithoutChangesHaveOneObservance(t *testing.T) {
	t.Parallel()
	for zone, offset := range map[string]string{"America/Phoenix": "-0700", "Asia/Kolkata": "+0530", "Etc/UTC": "+0000"} {
		text := string(written(t, holiday(t, `"size": 2`, `"zone": "`+zone+`", "size": 2`), "en-US"))
		assert.Equal(t, 1, strings.Count(text, "TZOFFSETTO"), zone)
		assert.Contains(t, text, "TZOFFSETTO:"+offset+"\r\n", zone)
	}
}

func TestTextWithSignsOfTheFormatComesBackAsItWas(t *testing.T) {
	t.Parallel()
	q := holiday(t, "Edged bed, begun", `Müller's bed; a \\ b, \"c\": begun`)
	c := parsed(t, written(t, q, "es-US"))
	name := ""
	for _, p := range c.CalendarProperties {
		if p.IANAToken == "NAME" {
			name = p.Value
		}
	}
	assert.Contains(t, ics.FromText(name), `Müller's bed; a \ b, "c": begun`)
}

func TestATaskWithoutLengthEndsAsItBegins(t *testing.T) {
	t.Parallel()
	q := *holiday(t)
	plan := *q.Plan
	plan.Tasks = append([]pricing.PlannedTask(nil), plan.Tasks...)
	plan.Tasks[0].End = plan.Tasks[0].Start
	q.Plan = &plan
	require.Equal(t, estimate.LocateUtilities, plan.Tasks[0].Operation)
	e := event(t, parsed(t, written(t, &q, "en-US")), "Have utilities located and marked")
	assert.Empty(t, value(e, ics.ComponentPropertyDuration))
}
