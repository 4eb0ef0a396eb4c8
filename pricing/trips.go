package pricing

import (
	"strconv"

	"bedline/estimate"
	"bedline/estimate/measure"
)

// usualAccess is the narrowest way in that a vehicle passes where the list does not say. From memory: a barrow of 6 ft3 is
// some 27 in wide and wants room for the hands, a box trailer some 5 ft, a small tipper 7.
func usualAccess(v Vehicle) measure.Length {
	switch v {
	case Wheelbarrow:
		return 30 * measure.Inch
	case Trailer:
		return 6 * measure.Foot
	}
	return 8 * measure.Foot
}

// passes tells whether a vehicle gets through a way in; 0 is wide enough for anything.
func (h *Hauling) passes(access measure.Length) bool {
	return access <= 0 || float64(access) >= float64(h.AccessFrom)*(1-1e-9)
}

// carrier is the vehicle whose trips a haul is reckoned by: by hand the wheelbarrow, by machine the trailer, where the
// list says what a trip of it takes and it gets through; nil for none.
func (q *Quote) carrier(tool Tool) *Hauling {
	with := Wheelbarrow
	if tool == ByMachine {
		with = Trailer
	}
	for i := range q.List.Hauling {
		if h := &q.List.Hauling[i]; h.Vehicle == with && h.Pace > 0 && h.passes(q.Job.Ground.Access) {
			return h
		}
	}
	return nil
}

// way is the haul of an operation, one way, and its climb with a load.
func (q *Quote) way(op estimate.Operation) (measure.Length, measure.Factor) {
	if op == estimate.HaulMaterials {
		return q.Job.Ground.HaulIn, q.Job.Ground.ClimbIn
	}
	return q.Job.Ground.Haul, q.Job.Ground.Climb
}

// TripTime is what one trip takes: filling, the way out with a load, tipping and the empty way back. Each per cent of
// climb slows the loaded way by the slope factor; downhill it is as on the level, since a load has to be held back and
// the empty vehicle climbs home. Without a pace there is no time.
func (h *Hauling) TripTime(haul measure.Length, climb measure.Factor) measure.Hours {
	if h.Pace <= 0 {
		return 0
	}
	ways := 2 + float64(float64(h.SlopeFactor)*100*max(0, float64(climb)))
	return h.Fill + h.Tip + measure.Hours(float64(float64(haul)/float64(h.Pace)*ways)/60)
}

// Trips are the whole loads that a mass and a volume take, whichever governs.
func (h *Hauling) Trips(loose measure.Volume, mass measure.Mass) int {
	return measure.RoundUp(max(float64(mass)/float64(h.Payload), float64(loose)/float64(h.Volume)))
}

// trips are the hours of a haul, trip by trip, and how they come about. Each kind of goods is moved for itself.
func (q *Quote) trips(w *estimate.WorkLine, h *Hauling) (measure.Hours, []estimate.Working) {
	p := pencil{q.Job.System, q.List.Currency}
	workings := make([]estimate.Working, 0, len(w.Carried)+2)
	all := 0
	for i := range w.Carried {
		c := &w.Carried[i]
		n := h.Trips(c.Volume, c.Mass)
		all += n
		name := "spoil"
		if c.Material != nil {
			name = c.Material.Key
		}
		step := estimate.Working{Result: strconv.Itoa(n) + plainPlural(" trip", n)}
		if byMass := float64(c.Mass) / float64(h.Payload); byMass >= float64(c.Volume)/float64(h.Volume) {
			step.Label, step.Expression = name+" by the "+string(h.Vehicle)+", mass governs", p.mass(c.Mass)+" / "+p.mass(h.Payload)+" = "+measure.FormatNumber(byMass, 2)
		} else {
			step.Label, step.Expression = name+" by the "+string(h.Vehicle)+", volume governs", p.volume(c.Volume)+" / "+p.volume(h.Volume)+" = "+measure.FormatNumber(float64(c.Volume)/float64(h.Volume), 2)
		}
		workings = append(workings, step)
	}
	haul, climb := q.way(w.Operation)
	one := h.TripTime(haul, climb)
	length := func(l measure.Length) string { return p.quantity(p.system.Length(l)) }
	leg := length(haul) + " / " + length(h.Pace)
	loaded := leg
	if climb > 0 && h.SlopeFactor > 0 {
		loaded += " x (1 + " + measure.FormatNumber(float64(h.SlopeFactor), 4) + " x " + measure.FormatNumber(100*float64(climb), 2) + " % climb)"
	}
	minutes := float64(one) * 60
	workings = append(workings, estimate.Working{Label: "minutes of a trip: fill, way with the load, tip, way back",
		Expression: measure.FormatNumber(float64(h.Fill)*60, 2) + " + " + loaded + " + " + measure.FormatNumber(float64(h.Tip)*60, 2) + " + " + leg,
		Result:     measure.FormatNumber(minutes, 3) + " min"})
	hours := measure.Hours(float64(all) * float64(one))
	workings = append(workings, estimate.Working{Label: "hours of one person", Expression: strconv.Itoa(all) + plainPlural(" trip", all) + " x " + measure.FormatNumber(minutes, 3) + " min / 60",
		Result: measure.FormatNumber(float64(hours), 2) + " h"})
	return hours, workings
}

func plainPlural(word string, n int) string {
	if n == 1 {
		return word
	}
	return word + "s"
}
