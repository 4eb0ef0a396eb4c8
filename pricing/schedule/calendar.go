package schedule

import (
	"errors"
	"slices"
	"sort"
	"time"
)

// Hours of a crew: when it works. The zero values of WorkDays, Holidays and Breaks are every day, none and none.
type Hours struct {
	Start    Day     // the first day; it must be a working day
	StartsAt int     // minute of the day, 0 to 1439
	PerDay   Minutes // working time of a day, without breaks, at least 1
	Breaks   []Break // rising, inside the working day
	WorkDays []time.Weekday
	Holidays []Day
}

// Break is a rest in the working day.
type Break struct {
	At     int // minute of the day
	Length int // minutes, above 0
}

// Faults of Hours.
var (
	ErrNoWorkDays = errors.New("no day of the week is a working day")
	ErrDayTooLong = errors.New("the working day with its breaks does not end by midnight")
	ErrBreaks     = errors.New("the breaks overlap, do not rise, or lie outside the working day")
)

// NotAWorkDayError says that the first day is no working day, and names the first one after it.
type NotAWorkDayError struct{ Start, Next Day }

// Error says what is there instead.
func (e *NotAWorkDayError) Error() string {
	return e.Start.String() + " is no working day; the next is " + e.Next.String()
}

// Calendar turns working time into days and hours of the clock, and back. It may be shared.
//
// With a start day weekends and holidays are left out. Without (Undated) day follows day.
type Calendar struct {
	dated    bool
	start    Day
	startsAt int
	perDay   Minutes
	breaks   []Break
	rests    []Minutes // working time of the day at which each break begins

	perWeek  int    // working days of a week
	works    [7]int // from the first day on: working days of the week up to and with that day
	nth      [7]int // of the n-th working day of the week, from 0: days after the first of the week
	holidays []Day  // sorted, each once
	lost     []int  // numbers of the working days that are holidays, were there none, sorted
}

// Dated is the calendar of a crew that begins on a day.
func Dated(h Hours) (*Calendar, error) {
	c, err := daily(h)
	if err != nil {
		return nil, err
	}
	c.dated, c.start = true, h.Start
	works := [7]bool{true, true, true, true, true, true, true}
	if len(h.WorkDays) > 0 {
		works = [7]bool{}
		for _, w := range h.WorkDays {
			works[w] = true
		}
	} else if h.WorkDays != nil {
		return nil, ErrNoWorkDays
	}
	for i := range 7 {
		if works[(h.Start + Day(i)).Weekday()] {
			c.nth[c.perWeek] = i
			c.perWeek++
		}
		c.works[i] = c.perWeek
	}
	c.holidays = slices.Clone(h.Holidays)
	slices.Sort(c.holidays)
	c.holidays = slices.Compact(c.holidays)
	for _, d := range c.holidays {
		if d >= h.Start && works[d.Weekday()] {
			c.lost = append(c.lost, c.week(d)-1)
		}
	}
	if first := c.day(0); first != h.Start {
		return nil, &NotAWorkDayError{Start: h.Start, Next: first}
	}
	return c, nil
}

// Undated is the calendar of a crew that has not said when it begins: day follows day.
func Undated(perDay Minutes) (*Calendar, error) {
	return daily(Hours{PerDay: perDay})
}

// daily checks what is the same every day.
func daily(h Hours) (*Calendar, error) {
	c := &Calendar{startsAt: h.StartsAt, perDay: h.PerDay, breaks: h.Breaks}
	end := h.StartsAt + int(h.PerDay)
	at := h.StartsAt
	for _, b := range h.Breaks {
		if b.At <= at || b.Length <= 0 || b.At >= end {
			return nil, ErrBreaks
		}
		c.rests = append(c.rests, Minutes(b.At-at))
		if n := len(c.rests); n > 1 {
			c.rests[n-1] += c.rests[n-2]
		}
		at = b.At + b.Length
		end += b.Length
	}
	if end > minutesPerDay || h.PerDay < 1 || h.StartsAt < 0 {
		return nil, ErrDayTooLong
	}
	return c, nil
}

// IsDated tells whether there are days and hours of the clock.
func (c *Calendar) IsDated() bool { return c.dated }

// PerDay is the working time of a day.
func (c *Calendar) PerDay() Minutes { return c.perDay }

// week counts the working days of the week from the first day up to and with a day, as if there were no holidays.
func (c *Calendar) week(d Day) int {
	after := int(d - c.start)
	return floor(after, 7)*c.perWeek + c.works[modulo(after, 7)]
}

// day is the n-th working day, from 0.
func (c *Calendar) day(n int) Day {
	if !c.dated {
		return c.start + Day(n)
	}
	for _, l := range c.lost {
		if l > n {
			break
		}
		n++
	}
	return c.start + Day(7*(n/c.perWeek)+c.nth[n%c.perWeek])
}

// before counts the working days before a day: the number of that day if it is one, else of the next.
func (c *Calendar) before(d Day) int {
	if !c.dated {
		return int(d - c.start)
	}
	n := c.week(d - 1)
	return n - sort.SearchInts(c.lost, n)
}

// startOf and endOf are the minute of the day at which working time begins and ends: at a break the one is after it, the
// other before.
func (c *Calendar) startOf(m Minutes) int {
	at := c.startsAt + int(m)
	for i, r := range c.rests {
		if r <= m {
			at += c.breaks[i].Length
		}
	}
	return at
}

func (c *Calendar) endOf(m Minutes) int {
	at := c.startsAt + int(m)
	for i, r := range c.rests {
		if r < m {
			at += c.breaks[i].Length
		}
	}
	return at
}

// Number is the number of the working day on which work begins at a place, from 0, and the working time of that day
// before it.
func (c *Calendar) Number(at Minutes) (day int, into Minutes) {
	return int(at / c.perDay), at % c.perDay
}

// EndNumber is Number for work that ends at a place: the end of a day belongs to that day.
func (c *Calendar) EndNumber(at Minutes) (day int, into Minutes) {
	if at > 0 && at%c.perDay == 0 {
		return int(at/c.perDay) - 1, c.perDay
	}
	return c.Number(at)
}

// Start is the moment at which work begins at a place; without dates the days count from 1970-01-01.
func (c *Calendar) Start(at Minutes) Clock {
	n, m := c.Number(at)
	return c.day(n).Clock(c.startOf(m))
}

// End is the moment at which work ends at a place.
func (c *Calendar) End(at Minutes) Clock {
	n, m := c.EndNumber(at)
	return c.day(n).Clock(c.endOf(m))
}

// WorkDay is the n-th working day, from 0.
func (c *Calendar) WorkDay(n int) Day { return c.day(n) }

// From is the first place at which work can begin at a moment or later; 0 for moments before the first.
func (c *Calendar) From(t Clock) Minutes {
	d := t.Day()
	if d < c.start {
		return 0
	}
	n := c.before(d)
	first := Minutes(n) * c.perDay
	if c.day(n) != d {
		return first
	}
	minute := t.Minute()
	if minute > c.endOf(c.perDay) {
		return first + c.perDay
	}
	m := Minutes(max(0, minute-c.startsAt))
	rested := 0
	for i, b := range c.breaks {
		if minute < b.At+b.Length {
			m = min(m-Minutes(rested), c.rests[i])
			return first + m
		}
		rested += b.Length
	}
	return first + min(m-Minutes(rested), c.perDay)
}

// Marked is the first working day after n whole weekdays, Monday to Friday without holidays, that follow a day; without
// dates every day counts as one. Whether the crew works on them does not matter: others do the marking.
func (c *Calendar) Marked(d Day, n int) Day {
	if !c.dated {
		return d + Day(n) + 1
	}
	end := c.afterWeekdays(d, n)
	return c.day(c.before(end + 1))
}

// afterWeekdays is the n-th weekday without a holiday after a day; the day itself for 0.
func (c *Calendar) afterWeekdays(d Day, n int) Day {
	for n > 0 {
		d++
		if w := d.Weekday(); w == time.Saturday || w == time.Sunday {
			continue
		}
		if _, off := slices.BinarySearch(c.holidays, d); !off {
			n--
		}
	}
	return d
}

// BeforeWeekdays is the day that has n whole weekdays, Monday to Friday without holidays, between it and a day.
func (c *Calendar) BeforeWeekdays(d Day, n int) Day {
	d--
	for n > 0 {
		if w := d.Weekday(); w != time.Saturday && w != time.Sunday {
			if _, off := slices.BinarySearch(c.holidays, d); !off || !c.dated {
				n--
			}
		}
		d--
	}
	return d
}
