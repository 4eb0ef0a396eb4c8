package edition

import (
	"strings"

	"github.com/govalues/decimal"

	"bedline/api/render/locale"
	"bedline/estimate/measure"
)

// area writes an area to a tenth of its unit.
func area(l *locale.Locale, a measure.Area, s measure.System) string {
	return l.Quantity(s.Area(a), 1)
}

// volume writes a volume to a tenth of its unit, small ones to a hundredth.
func volume(l *locale.Locale, v measure.Volume, s measure.System) string {
	q := s.Volume(v)
	if q.Value < 1 {
		return l.Quantity(q, 2)
	}
	return l.Quantity(q, 1)
}

// share writes a share per cent: 0.02 as 2 %.
func share(l *locale.Locale, f measure.Factor) string {
	return l.Quantity(measure.Quantity{Value: 100 * float64(f), Unit: "%"}, 2)
}

// percent writes a percentage.
func percent(l *locale.Locale, d decimal.Decimal) string {
	v, _ := d.Float64()
	return l.Quantity(measure.Quantity{Value: v, Unit: "%"}, 6)
}

// number writes a bare number.
func number(l *locale.Locale, v float64) string {
	return strings.TrimSpace(l.Quantity(measure.Quantity{Value: v}, 3))
}
