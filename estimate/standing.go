package estimate

import (
	"strconv"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// PlanterTakeoff is one planter as it is filled.
type PlanterTakeoff struct {
	Planter   *Planter
	Footprint measure.Area   // outside
	Inside    measure.Area   // within the walls
	Fill      measure.Volume // of the mix as settled
	Mass      measure.Mass   // of the mix as bought, without planter, plants and water
}

// ObstacleTakeoff is one obstacle with the ground that it takes, or the digging beside it.
type ObstacleTakeoff struct {
	Obstacle  *Obstacle
	Footprint measure.Area // of a tree or post, with what is kept clear round it
	Near      []NearDigging
}

// NearDigging is digging that comes nearer to a wall or footing than it is deep.
type NearDigging struct {
	Zone     string
	Part     DiggingPart
	Depth    measure.Length
	Distance measure.Length
}

// inside is the ground within the walls.
func (p *Planter) inside() measure.Area { return (p.Length - 2*p.Wall).Times(p.Width - 2*p.Wall) }

// stand checks that planters and obstacles lie in their beds.
func (t *taker) stand() {
	if len(t.job.Planters) == 0 && len(t.job.Obstacles) == 0 {
		return
	}
	beds := map[string]*Bed{}
	for i := range t.job.Beds {
		beds[t.job.Beds[i].ID] = &t.job.Beds[i]
	}
	lies := func(pointer, inBed, what string, footprint outline.Loop) {
		if low, high := footprint.Bounds(); beyond(low, high) {
			t.faults.Add(pointer+"/at", codeTooLarge, "puts it farther out than 1,000 km: check the units of the measures", "")
			return
		}
		if bed, ok := beds[inBed]; ok {
			if out := bed.Outline.Outside(footprint); out > mostOutside {
				t.faults.Add(pointer+"/at", codeOutsideBed, "puts the "+what+" "+both(out)+" outside bed "+bed.ID, "")
			}
		}
	}
	for k := range t.job.Planters {
		p := &t.job.Planters[k]
		lies(p.Pointer, p.InBed, "planter", p.Footprint())
	}
	for k := range t.job.Obstacles {
		o := &t.job.Obstacles[k]
		if l := o.Footprint(); l != nil {
			what := string(o.Kind)
			if o.Clear > 0 {
				what += " with what is kept clear round it"
			}
			lies(o.Pointer, o.InBed, what, l)
		}
	}
}

// standsOn tells whether a planter, tree or post stands on a cell.
func (s *survey) standsOn(c cell) bool { return c.coveredByAny(s.planters) || c.coveredByAny(s.taken) }

// fillPlanters reckons the soil of the planters: each material by its parts of the volume within the walls. What it
// settles by is its compaction factor.
func (t *taker) fillPlanters() {
	p := t.pencil
	for k := range t.job.Planters {
		planter := &t.job.Planters[k]
		out := PlanterTakeoff{Planter: planter, Footprint: planter.Length.Times(planter.Width), Inside: planter.inside()}
		out.Fill = out.Inside.AtDepth(planter.Fill)
		steps := [2]Working{
			{Label: planter.ID + ": ground within the walls", Expression: p.walled(planter), Result: p.area(out.Inside)},
			{Label: planter.ID + ": mix as settled", Expression: p.layer(out.Inside, planter.Fill), Result: p.volume(out.Fill)},
		}
		var all measure.Factor
		for _, part := range planter.Mix {
			all += part.Parts
		}
		for _, part := range planter.Mix {
			m := part.Material
			share := out.Fill.Scale(part.Parts / all)
			out.Mass += share.Scale(m.CompactionFactor).Weigh(m.LooseDensity)
			line := t.ledger.line(PlanterSoil, m, VolumeAmount)
			line.Workings = append(line.Workings, steps[:]...)
			line.add(planter.ID, float64(share), planter.ID+": its share of the mix",
				p.volume(out.Fill)+" x "+number(float64(part.Parts))+" / "+number(float64(all)), p.volume(share))
		}
		t.out.Planters = append(t.out.Planters, out)
	}
}

// walled writes the ground within the walls of a planter: 144 square inches are a square foot, a million square
// millimetres a square metre.
func (p pencil) walled(planter *Planter) string {
	side := func(l measure.Length) string {
		if planter.Wall == 0 {
			return p.depth(l)
		}
		return "(" + p.depth(l) + " - 2 x " + p.depth(planter.Wall) + ")"
	}
	divisor := " / 144"
	if p.system == measure.Metric {
		divisor = " / 1000000"
	}
	return side(planter.Length) + " x " + side(planter.Width) + divisor
}

// heavyPlanters warns that filled planters are not shifted by hand. What a planter weighs empty is not known.
func (t *taker) heavyPlanters() {
	var heaviest *PlanterTakeoff
	heavy := 0
	for k := range t.out.Planters {
		p := &t.out.Planters[k]
		if p.Mass <= liftingLimit {
			continue
		}
		heavy++
		if heaviest == nil || p.Mass > heaviest.Mass {
			heaviest = p
		}
	}
	if heavy == 0 {
		return
	}
	what := "planter " + heaviest.Planter.ID + " holds about"
	if heavy > 1 {
		what = strconv.Itoa(heavy) + " planters are too heavy to lift once filled; the heaviest, " + heaviest.Planter.ID + ", holds about"
	}
	t.ask("heavy_planter", Caution, what+" "+measure.FormatNumber(t.pencil.system.Mass(heaviest.Mass).Value, 0)+" "+t.pencil.system.Mass(heaviest.Mass).Unit+" of mix as bought, without the planter itself and the water that soil takes up: "+
		"set planters in their place before they are filled, and confirm that what is under them bears it; on a deck, roof or balcony ask a licensed engineer",
		"what the planters weigh empty, and what bears them",
		heaviest.Planter.Pointer, "NIOSH 94-110, revised lifting equation: load constant 51 lb (23 kg)")
}
