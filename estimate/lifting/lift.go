// Package lifting reckons the recommended weight limit and the lifting index of the revised NIOSH lifting equation.
//
//	RWL = LC x HM x VM x DM x AM x FM x CM    LI = load / RWL
//
// Source: Applications Manual for the Revised NIOSH Lifting Equation, DHHS (NIOSH) Publication No. 94-110, revised
// 9/2021. It is for two-handed lifting by one person who stands on a firm floor, in fair surroundings, without a tool.
package lifting

import (
	"math"

	"bedline/estimate/measure"
)

// Lift is one lift at one end of its travel: where the load is picked up, or where it is set down.
type Lift struct {
	Horizontal measure.Length // H, from the middle between the ankles to the hands
	Vertical   measure.Length // V, from the floor to the hands
	Travel     measure.Length // D, between the heights of the hands at the two ends
	Asymmetry  measure.Angle  // A, by which the load stands off to the side
	Frequency  Frequency
	Duration   Duration
	Coupling   Coupling
}

// Multipliers are the load constant and what becomes of it. Each multiplier lies from 0, where nobody should lift, to 1.
type Multipliers struct {
	System     measure.System // whose constants they are
	Load       measure.Mass   // LC
	Horizontal measure.Factor // HM
	Vertical   measure.Factor // VM
	Distance   measure.Factor // DM
	Asymmetric measure.Factor // AM
	Frequency  measure.Factor // FM
	Coupling   measure.Factor // CM
}

// form is the equation in one system of units.
type form struct {
	load              measure.Mass
	unit              measure.Length // that the constants are in
	near, far         float64        // H: from where HM falls below 1, and where it ends
	knuckles, fall    float64        // V: where VM is 1, and its fall per unit of height
	highest           float64        // V
	distance, longest float64        // D: the 1.8/D or 4.5/D, and where it ends
}

// Source: NIOSH 94-110 (revised 9/2021), pp. 7-18. The far ends of the metric form are from memory.
var (
	customary = form{load: 51 * measure.Pound, unit: measure.Inch, near: 10, far: 25, knuckles: 30, fall: 0.0075, highest: 70, distance: 1.8, longest: 70}
	metric    = form{load: 23 * measure.Kilogram, unit: 10 * measure.Millimetre, near: 25, far: 63, knuckles: 75, fall: 0.003, highest: 175, distance: 4.5, longest: 175}
)

const (
	leastDistance = 0.82   // of DM, to which 1.8/D or 4.5/D is added
	twist         = 0.0032 // fall of AM per degree
	mostTwist     = 135    // degrees
)

func formOf(s measure.System) *form {
	if s == measure.Metric {
		return &metric
	}
	return &customary
}

// Multipliers are those of the lift at full precision, by the constants of the manual in a system: pounds and inches, or kilograms and
// centimetres. The two differ by up to four parts in a hundred.
func (l Lift) Multipliers(s measure.System) Multipliers {
	f := formOf(s)
	h, v, d, a := l.Horizontal.In(f.unit), l.Vertical.In(f.unit), l.Travel.In(f.unit), math.Abs(l.Asymmetry.Degrees())
	m := Multipliers{System: s, Load: f.load, Frequency: l.Frequency.multiplier(l.Duration, !beyond(f.knuckles, v)), Coupling: l.Coupling.multiplier(!beyond(f.knuckles, v))}
	if !beyond(h, f.far) {
		m.Horizontal = measure.Factor(min(1, f.near/max(h, f.near)))
	}
	if !beyond(v, f.highest) {
		m.Vertical = measure.Factor(max(0, 1-float64(f.fall*math.Abs(v-f.knuckles))))
	}
	if !beyond(d, f.longest) {
		// A travel below 10 in or 25 cm counts as that.
		m.Distance = measure.Factor(min(1, leastDistance+f.distance/max(d, f.near)))
	}
	if !beyond(a, mostTwist) {
		m.Asymmetric = measure.Factor(1 - float64(twist*a))
	}
	return m
}

// beyond tells whether x lies above a limit by more than the error of a conversion of units.
func beyond(x, limit float64) bool { return x > limit+float64(1e-9*limit) }

// Limit is the recommended weight limit.
func (m Multipliers) Limit() measure.Mass {
	f := m.Horizontal * m.Vertical
	f *= m.Distance
	f *= m.Asymmetric
	f *= m.Frequency
	f *= m.Coupling
	return m.Load.Scale(f)
}

// Printed are the multipliers to two places, as the manual writes them down and a pencil multiplies them.
func (m Multipliers) Printed() Multipliers {
	for _, f := range [...]*measure.Factor{&m.Horizontal, &m.Vertical, &m.Distance, &m.Asymmetric, &m.Frequency, &m.Coupling} {
		*f = measure.Factor(places(float64(*f), 100))
	}
	return m
}

// PrintedLimit is the recommended weight limit to a tenth of a pound or a kilogram.
func (m Multipliers) PrintedLimit() measure.Mass {
	unit, _ := m.System.MassUnit()
	return unit.Scale(measure.Factor(places(m.Limit().In(unit), 10)))
}

// Index is the lifting index of a load: at most 1 is the aim, above 3 nearly all workers are at an increased risk.
// A limit of nothing gives infinity.
func Index(load, limit measure.Mass) measure.Factor { return measure.Factor(load.In(limit)) }

// PrintedIndex is the lifting index to one place.
func PrintedIndex(load, limit measure.Mass) measure.Factor {
	return measure.Factor(places(load.In(limit), 10))
}

// places rounds x half up to a fraction of one; an error of the last bits does not tell.
func places(x, fraction float64) float64 {
	return math.Floor(float64(x*fraction)+0.5+1e-9) / fraction
}

// FromWidth is how far the hands are from the middle between the ankles when it is not measured: half the depth of the
// load before the body, and 8 in (20 cm); 10 in (25 cm) with the hands lower than that.
// Source: NIOSH 94-110, horizontal component, from memory.
func FromWidth(depth, vertical measure.Length, s measure.System) measure.Length {
	f := formOf(s)
	body := f.near
	if vertical.In(f.unit) >= f.near {
		body = f.near * 0.8
	}
	return f.unit.Scale(measure.Factor(body)) + depth/2
}
