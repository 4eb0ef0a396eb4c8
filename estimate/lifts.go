package estimate

import (
	"strings"

	"bedline/estimate/lifting"
	"bedline/estimate/measure"
)

// Lifting is a thing of the job that one person should not lift alone, by the revised NIOSH lifting equation with the
// circumstances that are assumed. Multipliers, limit and index are rounded as the manual prints them.
type Lifting struct {
	Kind     string // unit, bag, tub or roll
	Material *Material
	Offer    string // of a pack
	Mass     measure.Mass
	Depth    measure.Length // of the thing before the body

	Inputs      lifting.Lift
	Multipliers lifting.Multipliers
	Limit       measure.Mass
	Index       measure.Factor // infinite where the limit is nothing
}

// What is assumed of every lift, common practice: picked up from the ground, carried at knuckle height, no handles.
// Units are taken one a minute while they are laid, packs three a minute while they are unloaded.
const (
	laidPerMinute     lifting.Frequency = 1
	unloadedPerMinute lifting.Frequency = 3
	packDepth                           = 12 * measure.Inch // of a bag or tub held before the body
	metricPackDepth                     = 300 * measure.Millimetre
)

const liftingSource = "NIOSH 94-110 (revised 9/2021), revised NIOSH lifting equation"

// knuckles is how high a load is carried.
// Source: NIOSH 94-110: knuckle height, 30 in or 75 cm.
func knuckles(s measure.System) measure.Length {
	if s == measure.Metric {
		return 750 * measure.Millimetre
	}
	return 30 * measure.Inch
}

// UnitLifting is the lifting of a unit as it is laid, held with its short side before the body. It is false where the
// index is at most 1 or the mass is not known.
func UnitLifting(m *Material, s measure.System) (Lifting, bool) {
	return liftingOf(Lifting{Kind: "unit", Material: m, Mass: m.Mass, Depth: min(m.Length, m.Width)}, laidPerMinute, s)
}

// PackLifting is the lifting of a bag, tub or roll as it is unloaded. It is false where the index is at most 1 or the
// mass is not known.
func PackLifting(m *Material, kind, offer string, mass measure.Mass, s measure.System) (Lifting, bool) {
	depth := packDepth
	if s == measure.Metric {
		depth = metricPackDepth
	}
	return liftingOf(Lifting{Kind: kind, Material: m, Offer: offer, Mass: mass, Depth: depth}, unloadedPerMinute, s)
}

func liftingOf(l Lifting, f lifting.Frequency, s measure.System) (Lifting, bool) {
	if l.Mass <= 0 {
		return Lifting{}, false
	}
	l.Inputs = lifting.Lift{Horizontal: lifting.FromWidth(l.Depth, 0, s), Travel: knuckles(s), Frequency: f, Duration: lifting.Short, Coupling: lifting.Poor}
	l.Multipliers = l.Inputs.Multipliers(s).Printed()
	l.Limit = l.Multipliers.PrintedLimit()
	l.Index = lifting.PrintedIndex(l.Mass, l.Limit)
	return l, l.Index > 1
}

// Sentence says what the index means and what to do.
func (l *Lifting) Sentence() string {
	smaller := ""
	if l.Kind != "unit" {
		smaller = ", or buy smaller ones"
	}
	const measured = "; the inputs are assumed: measure your own, and follow local rules"
	switch {
	case l.Limit <= 0:
		return "too wide to be held close enough for one person to lift: use a tool or two people" + smaller + measured
	case l.Index > 3:
		return "lifting index " + number(float64(l.Index)) + ", above 3, where nearly all are at an increased risk: do not lift it alone; use a tool or two people" + smaller + measured
	}
	return "lifting index " + number(float64(l.Index)) + ", above 1, where some are at an increased risk: use two people or a tool, hold it close, keep it off the ground" + smaller + measured
}

// Steps are the working of the limit and the index.
func (l *Lifting) Steps() []Working {
	m := &l.Multipliers
	p := pencil{m.System}
	body := l.Inputs.Horizontal - l.Depth/2
	steps := []Working{
		{Label: "reach, from the depth of the load", Expression: p.depth(body) + " + " + p.depth(l.Depth) + " / 2", Result: p.depth(l.Inputs.Horizontal)},
		{Label: "recommended weight limit, multipliers for reach, height, travel, turn, pace and grip", Expression: p.mass(m.Load) + " x " + number(float64(m.Horizontal)) + " x " + number(float64(m.Vertical)) + " x " +
			number(float64(m.Distance)) + " x " + number(float64(m.Asymmetric)) + " x " + number(float64(m.Frequency)) + " x " + number(float64(m.Coupling)), Result: p.mass(l.Limit)},
	}
	if l.Limit > 0 {
		steps = append(steps, Working{Label: "lifting index", Expression: p.mass(l.Mass) + " / " + p.mass(l.Limit), Result: number(float64(l.Index))})
	}
	return steps
}

// LiftingNotice is the one notice of things too heavy to lift alone.
func LiftingNotice(code string, things []Lifting, advice string) Notice {
	var names []string
	for i := range things[:min(len(things), mostNamed)] {
		l := &things[i]
		name := l.Material.Name
		if l.Kind != "unit" {
			name += " by the " + l.Kind
		}
		names = append(names, name+" ("+pencil{l.Multipliers.System}.mass(l.Mass)+", index "+indexWords(l)+")")
	}
	if more := len(things) - mostNamed; more > 0 {
		names = append(names, count(more)+" more")
	}
	return Notice{Code: code, Severity: Caution, Message: strings.Join(names, "; ") + ": more than one person should lift again and again, with the circumstances that stand under lifting; " + advice,
		Confirm: "reach, heights, turn, pace and grip as they are on site, and what local rules allow", Source: liftingSource}
}

func indexWords(l *Lifting) string {
	if l.Limit <= 0 {
		return "beyond the equation"
	}
	return number(float64(l.Index))
}

// heavyUnits warns of units that one person should not lift alone.
func (t *taker) heavyUnits() {
	add := func(m *Material) {
		for i := range t.out.Lifting {
			if t.out.Lifting[i].Material == m {
				return
			}
		}
		if l, heavy := UnitLifting(m, t.job.System); heavy {
			t.out.Lifting = append(t.out.Lifting, l)
		}
	}
	for k := range t.out.Courses {
		add(t.out.Courses[k].Spec.Unit)
	}
	for k := range t.out.Slabs {
		add(t.out.Slabs[k].Group.Unit)
	}
	for k := range t.job.Paving {
		add(t.job.Paving[k].Unit)
		if border := t.job.Paving[k].Border; border != nil {
			add(border.Unit)
		}
	}
	if len(t.out.Lifting) > 0 {
		t.out.Notices = append(t.out.Notices, LiftingNotice("heavy_unit", t.out.Lifting, "lift with two or with a tool, hold it close, and let the pack be set down beside the work"))
	}
}
