package locale

import (
	"bedline/estimate/measure"
)

// Quantity writes a value with its unit, rounded to so many digits after the point at most.
func (l *Locale) Quantity(q measure.Quantity, digits int) string {
	return l.digits(measure.FormatNumber(q.Value, digits)) + " " + q.Unit
}

// Length writes a length: feet and inches to the nearest 1/8 in, or metres to the millimetre.
func (l *Locale) Length(v measure.Length, s measure.System) string { return measure.FormatLength(v, s) }
