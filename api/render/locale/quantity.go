package locale

import (
	"strconv"
	"strings"

	"github.com/govalues/decimal"

	"bedline/estimate/measure"
	"bedline/pricing/schedule"
)

// Quantity writes a value with its unit, rounded to so many digits after the point at most: "128.5 ft²".
func (l *Locale) Quantity(q measure.Quantity, digits int) string {
	if q.Unit == "deg" {
		return l.Number(q.Value, digits) + l.Unit(q.Unit)
	}
	return l.Say("number.unit", "n", l.Number(q.Value, digits), "unit", l.Unit(q.Unit))
}

// Unit is the sign that people read for a unit of an answer: "ft²" for ft2. A unit without one is its own sign.
func (l *Locale) Unit(unit string) string {
	if sign, ok := l.messages()["unit."+unit]; ok {
		return sign
	}
	return unit
}

// Area writes an area in ft² with one digit or in m² with two, small ones with two significant digits.
func (l *Locale) Area(v measure.Area, s measure.System) string {
	q := s.Area(v)
	if s == measure.Metric {
		return l.Quantity(q, places(q.Value, 2, 2))
	}
	return l.Quantity(q, places(q.Value, 1, 2))
}

// Volume writes a volume in yd³ or m³ with two digits, small ones with two significant digits.
func (l *Locale) Volume(v measure.Volume, s measure.System) string {
	q := s.Volume(v)
	return l.Quantity(q, places(q.Value, 2, 2))
}

// Mass writes a mass in whole lb or kg, those below a hundred with three significant digits.
func (l *Locale) Mass(v measure.Mass, s measure.System) string {
	q := s.Mass(v)
	return l.Quantity(q, places(q.Value, 0, 3))
}

// Angle writes an angle in degrees with one digit: "92.5°".
func (l *Locale) Angle(v measure.Angle) string { return l.Quantity(measure.US.Angle(v), 1) }

// Length writes a length: feet and inches to the nearest 1/8 in, as "5 ft 10 3/8 in", or metres to the millimetre.
func (l *Locale) Length(v measure.Length, s measure.System) string {
	words := strings.Split(measure.FormatLength(v, s), " ")
	for i, w := range words {
		words[i] = l.digits(w)
	}
	return strings.Join(words, " ")
}

// Depth writes a depth, thickness, joint or gap in inches alone: to the nearest 1/8 in, "14 1/2 in", below an inch to
// the nearest 1/16 in, since joints are that narrow; or in whole millimetres, below 10 mm with one digit. What would be
// nothing so is written with two significant digits.
func (l *Locale) Depth(v measure.Length, s measure.System) string {
	q := s.Depth(v)
	size := max(q.Value, -q.Value)
	if s == measure.Metric {
		digits := 0
		if size < 9.95 {
			digits = places(q.Value, 1, 1)
		}
		return l.Quantity(q, digits)
	}
	part := 8
	if size < 1-1./32 {
		part = 16
	}
	text := measure.FormatNumber(size*float64(part), 0)
	n, err := strconv.Atoi(text)
	if err != nil || n == 0 && size > 0 {
		return l.Quantity(q, places(q.Value, 0, 2))
	}
	words := l.fraction(n, part)
	if q.Value < 0 {
		words = l.messages()["number.minus"] + words
	}
	return l.Say("number.unit", "n", words, "unit", l.Unit(q.Unit))
}

// fraction writes n parts of a whole: "4 3/4".
func (l *Locale) fraction(n, part int) string {
	whole, rest := n/part, n%part
	if rest == 0 {
		return l.Whole(whole)
	}
	for rest%2 == 0 {
		rest, part = rest/2, part/2
	}
	words := strconv.Itoa(rest) + "/" + strconv.Itoa(part)
	if whole > 0 {
		words = l.Whole(whole) + " " + words
	}
	return words
}

// Hours writes hours of work as a decimal number: "2.75 h".
func (l *Locale) Hours(h decimal.Decimal) string { return l.Say("hours", "n", l.Decimal(h)) }

// HoursOf writes hours to a hundredth: "2.75 h".
func (l *Locale) HoursOf(h measure.Hours) string { return l.Say("hours", "n", l.Number(float64(h), 2)) }

// Duration writes working time in hours and minutes: "1 h 45 min", "45 min", "2 h".
func (l *Locale) Duration(m schedule.Minutes) string {
	switch {
	case m < 0:
		return l.messages()["number.minus"] + l.Duration(-m)
	case m < 60:
		return l.Say("minutes", "n", l.Whole(int(m)))
	case m%60 == 0:
		return l.Say("hours", "n", l.Whole(int(m/60)))
	}
	return l.Say("hours.minutes", "hours", l.Duration(m-m%60), "minutes", l.Duration(m%60))
}
