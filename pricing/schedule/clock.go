package schedule

import (
	"fmt"
	"time"
)

// Minutes is working time of a crew, in whole minutes. As a place on the calendar it counts from the first minute of work.
type Minutes int

// Day is a day of the Gregorian calendar: 0 is 1970-01-01, 1 the day after.
type Day int

// Clock is a moment: minutes of the clock since 1970-01-01 00:00, every day of 24 hours.
type Clock int

const minutesPerDay = 24 * 60

// dayForm is how a day is written: ISO 8601, extended.
const dayForm = "2006-01-02"

// ParseDay reads a day such as 2027-04-12.
func ParseDay(s string) (Day, error) {
	t, err := time.Parse(dayForm, s)
	if err != nil {
		return 0, fmt.Errorf("reading the day %q: %w", s, err)
	}
	return Day(floor(int(t.Unix()), minutesPerDay*60)), nil
}

// String writes the day as 2027-04-12.
func (d Day) String() string {
	return time.Unix(int64(d)*minutesPerDay*60, 0).UTC().Format(dayForm)
}

// Weekday is the day of the week.
func (d Day) Weekday() time.Weekday { return time.Weekday(modulo(int(d)+int(time.Thursday), 7)) }

// Clock is the moment of a minute of the day, 0 to 1440.
func (d Day) Clock(minute int) Clock { return Clock(int(d)*minutesPerDay + minute) }

// Day is the day of a moment; midnight belongs to the day that begins.
func (c Clock) Day() Day { return Day(floor(int(c), minutesPerDay)) }

// Minute is the minute of the day of a moment, 0 to 1439.
func (c Clock) Minute() int { return modulo(int(c), minutesPerDay) }

// String writes the moment as 2027-04-12T07:30, without a zone.
func (c Clock) String() string {
	return fmt.Sprintf("%sT%02d:%02d", c.Day(), c.Minute()/60, c.Minute()%60)
}

func floor(a, b int) int {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

func modulo(a, b int) int { return a - b*floor(a, b) }
