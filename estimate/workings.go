package estimate

import (
	"strconv"
	"strings"

	"bedline/estimate/measure"
)

// pencil writes the steps of the arithmetic in the units of the answer: feet, inches, square feet and cubic yards, or
// metres, millimetres, square and cubic metres.
type pencil struct{ system measure.System }

// number writes v to three places, or to more where that would leave fewer than three figures.
func number(v float64) string {
	digits := 3
	for w := v; digits < 9 && w != 0 && w < 0.1 && w > -0.1; digits++ {
		w *= 10
	}
	return measure.FormatNumber(v, digits)
}

func count(n int) string { return strconv.Itoa(n) }

func (p pencil) length(l measure.Length) string {
	unit, name := p.system.LengthUnit()
	return number(l.In(unit)) + " " + name
}

func (p pencil) depth(l measure.Length) string {
	unit, name := p.system.DepthUnit()
	return number(l.In(unit)) + " " + name
}

func (p pencil) area(a measure.Area) string {
	unit, name := p.system.AreaUnit()
	return number(a.In(unit)) + " " + name
}

func (p pencil) volume(v measure.Volume) string {
	unit, name := p.system.VolumeUnit()
	return number(v.In(unit)) + " " + name
}

func (p pencil) mass(m measure.Mass) string {
	unit, name := p.system.MassUnit()
	return number(m.In(unit)) + " " + name
}

// layer writes the volume of a layer: 324 ft2 of an inch are a cubic yard, 1000 m2 of a millimetre a cubic metre.
func (p pencil) layer(a measure.Area, d measure.Length) string {
	divisor := " / 324"
	if p.system == measure.Metric {
		divisor = " / 1000"
	}
	return p.area(a) + " x " + p.depth(d) + divisor
}

// bead is what a length by two depths is divided by: 3888 ft of a square inch are a cubic yard, a million metres of a
// square millimetre a cubic metre.
func (p pencil) bead() string {
	if p.system == measure.Metric {
		return " / 1000000"
	}
	return " / 3888"
}

// amount writes an amount with its unit; counts have none.
func (p pencil) amount(a Amount) string {
	switch a.Kind {
	case LengthAmount:
		return p.length(measure.Length(a.Value))
	case AreaAmount:
		return p.area(measure.Area(a.Value))
	case VolumeAmount:
		return p.volume(measure.Volume(a.Value))
	default:
		return number(a.Value)
	}
}

// join writes a sum; a long one is cut short in the middle, so that a working stays readable.
func join(terms []string, sign string) string {
	const most = 12
	if len(terms) > most {
		terms = append(append(append([]string{}, terms[:most-2]...), "... "+count(len(terms)-most+1)+" more"), terms[len(terms)-1])
	}
	return strings.Join(terms, sign)
}
