package document

import (
	"errors"
	"math"
	"strconv"

	"bedline/estimate/measure"
)

// Sign says which signs a quantity may have.
type Sign uint8

// Signs of a quantity.
const (
	Positive    Sign = iota // above zero
	NotNegative             // zero or above
	AnySign                 // lengths only: coordinates and levels
)

// bounds are the least and greatest size of a quantity other than zero, in SI units: far outside what a job can have,
// so that no sum or product of them overflows or vanishes.
type bounds struct {
	least, most       float64
	smallest, largest string
}

var (
	lengthBounds  = bounds{1e-6, 1e7, "0.001 mm", "10,000 km"}
	areaBounds    = bounds{1e-12, 1e12, "0.000001 mm2", "1,000,000 km2"}
	volumeBounds  = bounds{1e-12, 1e12, "0.001 mm3", "1,000 km3"}
	massBounds    = bounds{1e-9, 1e12, "0.000001 g", "1,000,000,000 t"}
	densityBounds = bounds{1e-3, 1e5, "0.001 kg/m3", "100,000 kg/m3"}
)

// Length reads a length with its unit, at most 1e7 m either way.
func (v Value) Length(s Sign) (measure.Length, bool) {
	return quantity(v, s, wantLength, measure.ParseLength, &lengthBounds)
}

// Area reads an area with its unit.
func (v Value) Area(s Sign) (measure.Area, bool) {
	return quantity(v, s, wantArea, measure.ParseArea, &areaBounds)
}

// Volume reads a volume with its unit.
func (v Value) Volume(s Sign) (measure.Volume, bool) {
	return quantity(v, s, wantVolume, measure.ParseVolume, &volumeBounds)
}

// Mass reads a mass with its unit.
func (v Value) Mass(s Sign) (measure.Mass, bool) {
	return quantity(v, s, wantMass, measure.ParseMass, &massBounds)
}

// Density reads a density with its unit.
func (v Value) Density(s Sign) (measure.Density, bool) {
	return quantity(v, s, wantDensity, measure.ParseDensity, &densityBounds)
}

func quantity[T ~float64](v Value, s Sign, w want, parse func(string) (T, error), b *bounds) (T, bool) {
	if v.node == nil {
		return 0, false
	}
	if v.node.Kind == Number {
		v.Fault(CodeUnitMissing, "is a number without a unit: it must be "+w.what, w.example)
		return 0, false
	}
	if !v.is(String, w) {
		return 0, false
	}
	q, err := parse(v.node.Text)
	if err != nil {
		v.badQuantity(err, s, w)
		return 0, false
	}
	size := math.Abs(float64(q))
	switch {
	case q <= 0 && s == Positive:
		v.Fault(CodeNotPositive, "must be more than zero", w.example)
	case q < 0 && s == NotNegative:
		v.Fault(CodeNegative, "must not be negative", w.example)
	case size > b.most:
		v.Fault(CodeOutOfRange, "must be at most "+b.largest, w.example)
	case size < b.least && q != 0:
		v.Fault(CodeOutOfRange, "must be at least "+b.smallest+", or zero where zero is allowed", w.example)
	default:
		return q, true
	}
	return 0, false
}

func (v Value) badQuantity(err error, s Sign, w want) {
	code, reason := CodeBadQuantity, "is not "+w.what
	if e := (*measure.ParseError)(nil); errors.As(err, &e) {
		reason = e.Reason
		switch {
		case e.Code == measure.CodeUnitMissing:
			code = CodeUnitMissing
		case e.Code == measure.CodeNegative && s == Positive:
			code, reason = CodeNotPositive, "must be more than zero"
		case e.Code == measure.CodeNegative:
			code, reason = CodeNegative, "must not be negative"
		}
	}
	v.Fault(code, reason+", such as "+text(w.example), w.example)
}

// text is a quoted example without its quotes.
func text(example string) string {
	s, err := strconv.Unquote(example)
	if err != nil {
		return example
	}
	return s
}
