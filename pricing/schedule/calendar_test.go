package schedule_test

import (
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/pricing/schedule"
)

// tableDay is a line of testdata/days.txt, which GNU date wrote:
//
//	seq 0 2600 | sed 's/.*/2023-12-25 + & days/' | date -u -f - '+%F %u %s' >testdata/days.txt
type tableDay struct {
	text    string
	weekday time.Weekday
	number  schedule.Day // since 1970-01-01
}

func table(t require.TestingT) []tableDay {
	text, err := os.ReadFile("testdata/days.txt")
	require.NoError(t, err)
	var days []tableDay
	for line := range strings.Lines(string(text)) {
		f := strings.Fields(line)
		weekday, err := strconv.Atoi(f[1])
		require.NoError(t, err)
		seconds, err := strconv.Atoi(f[2])
		require.NoError(t, err)
		days = append(days, tableDay{f[0], time.Weekday(weekday % 7), schedule.Day(seconds / 86400)})
	}
	require.Greater(t, len(days), 2500)
	return days
}

func TestDaysAreThoseOfGNUDate(t *testing.T) {
	t.Parallel()
	for _, d := range table(t) {
		read, err := schedule.ParseDay(d.text)
		require.NoError(t, err)
		assert.Equal(t, d.number, read, d.text)
		assert.Equal(t, d.text, read.String())
		assert.Equal(t, d.weekday, read.Weekday(), d.text)
	}
	for _, wrong := range []string{"2027-02-29", "2027-4-12", "12.04.2027", "2027-04-12T07:30", "", "2027-13-01"} {
		_, err := schedule.ParseDay(wrong)
		assert.Error(t, err, wrong)
	}
}

func day(t require.TestingT, s string) schedule.Day {
	d, err := schedule.ParseDay(s)
	require.NoError(t, err)
	return d
}

func dated(t require.TestingT, h schedule.Hours) *schedule.Calendar {
	c, err := schedule.Dated(h)
	require.NoError(t, err)
	return c
}

var weekdays = []time.Weekday{time.Monday, time.Tuesday, time.Wednesday, time.Thursday, time.Friday}

// The working minutes of a calendar are counted one by one over the days of GNU date's table: the n-th of them, the one
// before it and the number of them before any moment are what the calendar says in closed form.
func TestWorkingTimeIsWhatCountingMinutesGives(t *testing.T) {
	t.Parallel()
	days := table(t)
	rapid.Check(t, func(t *rapid.T) {
		h := schedule.Hours{StartsAt: 10 * rapid.IntRange(0, 60).Draw(t, "starts"), PerDay: schedule.Minutes(rapid.IntRange(1, 600).Draw(t, "per day"))}
		at := h.StartsAt
		for left := int(h.PerDay); len(h.Breaks) < 3 && left > 1 && rapid.Bool().Draw(t, "break"); {
			worked := rapid.IntRange(1, left-1).Draw(t, "before the break")
			b := schedule.Break{At: at + worked, Length: rapid.IntRange(1, 60).Draw(t, "length")}
			h.Breaks = append(h.Breaks, b)
			at, left = b.At+b.Length, left-worked
		}
		works := map[time.Weekday]bool{}
		for w := time.Sunday; w <= time.Saturday; w++ {
			if rapid.Bool().Draw(t, w.String()) {
				works[w] = true
				h.WorkDays = append(h.WorkDays, w)
			}
		}
		if len(works) == 0 {
			works[time.Friday] = true
			h.WorkDays = append(h.WorkDays, time.Friday)
		}
		const span = 60
		first := rapid.IntRange(0, len(days)-2*span).Draw(t, "first")
		off := map[schedule.Day]bool{}
		for range rapid.IntRange(0, 12).Draw(t, "holidays") {
			d := days[first+rapid.IntRange(-3, span).Draw(t, "holiday")%len(days)+3].number
			off[d] = true
			h.Holidays = append(h.Holidays, d)
		}
		for off[days[first].number] || !works[days[first].weekday] {
			first++
		}
		h.Start = days[first].number
		c := dated(t, h)

		var working []schedule.Clock // each minute of work by its beginning
		for _, d := range days[first : first+span] {
			if off[d.number] || !works[d.weekday] {
				continue
			}
			minute := h.StartsAt
			for left, k := int(h.PerDay), 0; left > 0; minute++ {
				if k < len(h.Breaks) && minute == h.Breaks[k].At {
					minute += h.Breaks[k].Length
					k++
				}
				working = append(working, schedule.Clock(int(d.number)*1440+minute))
				left--
			}
		}
		if len(working) < 2 {
			return
		}
		for range 50 {
			n := rapid.IntRange(1, len(working)-1).Draw(t, "n")
			assert.Equal(t, working[n], c.Start(schedule.Minutes(n)))
			assert.Equal(t, working[n-1]+1, c.End(schedule.Minutes(n)))
			moment := working[0] + schedule.Clock(rapid.IntRange(-2000, int(working[len(working)-1]-working[0])).Draw(t, "moment"))
			count := 0
			for count < len(working) && working[count] < moment {
				count++
			}
			assert.Equal(t, schedule.Minutes(count), c.From(moment), "%s", moment)
		}
	})
}

// Whole weekdays after a day: the next working day after n days of Monday to Friday that are no holidays.
func TestMarkingTakesWholeWeekdays(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name  string
		works []time.Weekday
		on    string
		days  int
		want  string
	}{
		{"asked on a Monday, three whole days follow", weekdays, "2027-04-12", 3, "2027-04-16"},
		{"a weekend does not count", weekdays, "2027-04-15", 3, "2027-04-21"},
		{"a Saturday on which the crew works does not count", append([]time.Weekday{time.Saturday}, weekdays...), "2027-04-15", 1, "2027-04-17"},
		{"nor does it when it is the day after the asking", append([]time.Weekday{time.Saturday}, weekdays...), "2027-04-16", 1, "2027-04-20"},
		{"days on which only others work count", []time.Weekday{time.Monday}, "2027-04-12", 3, "2027-04-19"},
		{"a holiday does not count", weekdays, "2027-05-28", 1, "2027-06-02"}, // a Friday; Monday 2027-05-31 is one
		{"no days at all: the next working day", weekdays, "2027-04-16", 0, "2027-04-19"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			calendar := dated(t, schedule.Hours{Start: day(t, "2027-04-12"), PerDay: 480, StartsAt: 420, WorkDays: c.works, Holidays: []schedule.Day{day(t, "2027-05-31")}})
			assert.Equal(t, c.want, calendar.Marked(day(t, c.on), c.days).String())
		})
	}
	calendar, err := schedule.Undated(480)
	require.NoError(t, err)
	assert.EqualValues(t, 4, calendar.Marked(0, 3), "without dates every day counts")
}

func TestMarkingIsAskedForAsManyWeekdaysBefore(t *testing.T) {
	t.Parallel()
	calendar := dated(t, schedule.Hours{Start: day(t, "2027-04-12"), PerDay: 480, StartsAt: 420, WorkDays: weekdays, Holidays: []schedule.Day{day(t, "2027-04-09")}})
	assert.Equal(t, "2027-04-06", calendar.BeforeWeekdays(day(t, "2027-04-12"), 2).String(), "Wednesday and Thursday, for Friday is a holiday")
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 30).Draw(t, "days")
		d := day(t, "2027-04-12") + schedule.Day(rapid.IntRange(0, 300).Draw(t, "day"))
		from := calendar.BeforeWeekdays(d, n)
		count := 0
		for k := from + 1; k < d; k++ {
			if w := k.Weekday(); w != time.Saturday && w != time.Sunday && k.String() != "2027-04-09" {
				count++
			}
		}
		assert.Equal(t, n, count)
	})
}

func TestImpossibleHoursAreNamed(t *testing.T) {
	t.Parallel()
	good := schedule.Hours{Start: day(t, "2027-04-12"), StartsAt: 450, PerDay: 480, WorkDays: weekdays}
	for name, c := range map[string]struct {
		change func(*schedule.Hours)
		want   error
	}{
		"a week without work":          {func(h *schedule.Hours) { h.WorkDays = []time.Weekday{} }, schedule.ErrNoWorkDays},
		"a day beyond midnight":        {func(h *schedule.Hours) { h.StartsAt = 1000 }, schedule.ErrDayTooLong},
		"a day of no time":             {func(h *schedule.Hours) { h.PerDay = 0 }, schedule.ErrDayTooLong},
		"a break before work":          {func(h *schedule.Hours) { h.Breaks = []schedule.Break{{At: 400, Length: 30}} }, schedule.ErrBreaks},
		"a break after work":           {func(h *schedule.Hours) { h.Breaks = []schedule.Break{{At: 930, Length: 30}} }, schedule.ErrBreaks},
		"a break of no time":           {func(h *schedule.Hours) { h.Breaks = []schedule.Break{{At: 720}} }, schedule.ErrBreaks},
		"a break in another":           {func(h *schedule.Hours) { h.Breaks = []schedule.Break{{At: 720, Length: 30}, {At: 740, Length: 30}} }, schedule.ErrBreaks},
		"a break that pushes the rest": {func(h *schedule.Hours) { h.StartsAt, h.Breaks = 950, []schedule.Break{{At: 1000, Length: 60}} }, schedule.ErrDayTooLong},
	} {
		h := good
		c.change(&h)
		_, err := schedule.Dated(h)
		assert.ErrorIs(t, err, c.want, name)
	}
	for start, next := range map[string]string{"2027-04-17": "2027-04-19", "2027-05-31": "2027-06-01"} {
		h := good
		h.Start, h.Holidays = day(t, start), []schedule.Day{day(t, "2027-05-31")}
		_, err := schedule.Dated(h)
		var none *schedule.NotAWorkDayError
		require.ErrorAs(t, err, &none)
		assert.Equal(t, next, none.Next.String())
	}
}
