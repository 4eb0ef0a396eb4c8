package locale

import (
	"fmt"
	"time"

	"bedline/pricing/schedule"
)

// Date writes a day in full, without its weekday: "April 5, 2027".
func (l *Locale) Date(d schedule.Day) string { return l.day("date.long", d) }

// FullDate writes a day in full with its weekday: "Monday, April 5, 2027".
func (l *Locale) FullDate(d schedule.Day) string { return l.day("date.full", d) }

// ShortDate writes a day short, for tables: "Apr 5, 2027".
func (l *Locale) ShortDate(d schedule.Day) string { return l.day("date.short", d) }

// DayDate writes a day with its weekday and without its year, both short, for tables of a few weeks: "Mon, Apr 5".
func (l *Locale) DayDate(d schedule.Day) string { return l.day("date.day", d) }

// Weekday is the name of the day of the week.
func (l *Locale) Weekday(d schedule.Day) string { return l.day("{weekday}", d) }

// ShortWeekday is the short name of the day of the week: "Mon".
func (l *Locale) ShortWeekday(d schedule.Day) string { return l.day("{wkd}", d) }

// Hour writes a minute of the day as an hour of the clock: "1:05 PM". 1440 is midnight.
func (l *Locale) Hour(minute int) string {
	clock := schedule.Clock(minute).Minute()
	h, half := clock/60, l.messages()["time.am"]
	if h >= 12 {
		half = l.messages()["time.pm"]
	}
	return l.Say("time", "h", fmt.Sprint((h+11)%12+1), "HH", fmt.Sprintf("%02d", h), "mm", fmt.Sprintf("%02d", clock%60), "half", half)
}

// DateTime writes a moment in full, with its weekday: "Monday, April 5, 2027 at 1:05 PM".
func (l *Locale) DateTime(c schedule.Clock) string {
	return l.Say("date.time", "date", l.FullDate(c.Day()), "time", l.Hour(c.Minute()))
}

// ShortDateTime writes a moment without its year, for tables: "Mon, Apr 5, 1:05 PM".
func (l *Locale) ShortDateTime(c schedule.Clock) string {
	return l.Say("date.time.short", "date", l.DayDate(c.Day()), "time", l.Hour(c.Minute()))
}

// day is a pattern of the catalogue, or one given, with the parts of a day.
func (l *Locale) day(pattern string, d schedule.Day) string {
	t := time.Unix(int64(d)*86400, 0).UTC()
	month, weekday := fmt.Sprintf("%02d", t.Month()), fmt.Sprint(int(d.Weekday()))
	return l.Say(pattern,
		"day", fmt.Sprint(t.Day()), "year", fmt.Sprint(t.Year()),
		"month", l.messages()["date.month."+month], "mon", l.messages()["date.mon."+month],
		"weekday", l.messages()["date.weekday."+weekday], "wkd", l.messages()["date.wkd."+weekday])
}
