package estimate

import (
	"cmp"
	"slices"

	"bedline/estimate/fabric"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// fabrics cuts the fabric of every bed into strips and counts its pins.
func (t *taker) fabrics() {
	for i := range t.job.Beds {
		bed := &t.job.Beds[i]
		if bed.Fabric == nil {
			continue
		}
		regions, wanted := t.fabricGround(i, bed)
		m := bed.Fabric.Material
		roll := fabric.Roll{Width: m.RollWidth, Length: m.RollLength, Lap: m.Lap, Upturn: m.Upturn}
		layout, err := fabric.Cut(regions, wanted, sideDirections(bed.Outline), roll, bed.Fabric.PinnedEvery)
		if err != nil {
			t.fabricFaults(bed, err)
			continue
		}
		if len(layout.Strips) == 0 {
			t.notice("nothing_to_cover", Confirm, "there is no ground inside the course of bed "+bed.ID+" for its fabric to cover", bed.Pointer+"/fabric", "")
			continue
		}
		out := FabricTakeoff{Bed: bed.ID, Material: m, Layout: layout, Pins: layout.Pins}
		t.fabricArea += layout.CoverArea
		p := t.pencil
		line := t.ledger.line(Fabric, m, AreaAmount)
		line.Workings = append(line.Workings, fabricWorking(bed, layout, p))
		if cut := t.openingsCut(bed, regions, wanted, layout); cut > 0 {
			out.CutLength = cut
			line.Workings = append(line.Workings, Working{Label: bed.ID + ": cut round planters, trees and posts, whose ground is not taken off the cloth",
				Expression: p.length(cut), Result: p.length(cut)})
			if bed.Fabric.PinOpenings && bed.Fabric.PinnedEvery > 0 {
				out.Pins = measure.RoundUp((layout.Perimeter + layout.SeamLength + cut).In(bed.Fabric.PinnedEvery))
			}
		}
		t.out.Fabrics = append(t.out.Fabrics, out)
		line.add(bed.ID, float64(layout.CoverArea), bed.ID+": ground covered", p.area(layout.CoverArea), p.area(layout.CoverArea))
		if pin := bed.Fabric.PinMaterial; pin != nil && out.Pins > 0 {
			pins := t.ledger.line(Pins, pin, CountAmount)
			cuts := ""
			if out.CutLength > 0 && bed.Fabric.PinOpenings {
				cuts = " + " + p.length(out.CutLength) + " of cut edges"
			}
			pins.add(bed.ID, float64(out.Pins), bed.ID+": pins",
				"("+p.length(layout.Perimeter)+" round + "+p.length(layout.SeamLength)+" of seams"+cuts+") / "+p.length(bed.Fabric.PinnedEvery)+", rounded up", count(out.Pins))
		}
	}
}

// fabricGround is the ground inside the course, or the dug bed and its trench, as fabric.Cut takes it.
func (t *taker) fabricGround(i int, bed *Bed) ([]outline.Region, func(outline.Cover) bool) {
	regions := []outline.Region{bed.Outline.Region()}
	k, edged := t.edged[i]
	switch {
	case edged && bed.Fabric.TrenchesToo:
		return append(regions, t.out.Courses[k].Course.Trench), func(c outline.Cover) bool { return c.Has(0) || c.Has(1) }
	case edged:
		return append(regions, t.out.Courses[k].Course.Band), func(c outline.Cover) bool { return c.Has(0) && !c.Has(1) }
	}
	return regions, func(c outline.Cover) bool { return c.Has(0) }
}

// openingsCut is the length along which the cloth is cut round planters, trees and posts; 0 where it is lapped. The
// edge of what they take is on the border of the ground beside them and on that of the ground under them, and the
// border of all ground is on one of the two.
func (t *taker) openingsCut(bed *Bed, regions []outline.Region, wanted func(outline.Cover) bool, l *fabric.Layout) measure.Length {
	if len(t.job.Planters) == 0 && len(t.job.Obstacles) == 0 || bed.Fabric.Lapped {
		return 0
	}
	ground := len(regions)
	regions = slices.Clip(regions)
	add := func(footprint outline.Loop) {
		if footprint == nil {
			return
		}
		place := boxOf(outline.Region{footprint})
		for _, r := range regions[:ground] {
			if boxOf(r).within(place, 0) { // what is not on the cloth changes nothing
				regions = append(regions, outline.Region{footprint})
				return
			}
		}
	}
	for k := range t.job.Planters {
		add(t.job.Planters[k].Footprint())
	}
	for k := range t.job.Obstacles {
		add(t.job.Obstacles[k].Footprint())
	}
	if len(regions) == ground {
		return 0
	}
	shares := outline.Divide(regions, 2, func(c outline.Cover) int {
		if !wanted(c) {
			return outline.None
		}
		for i := ground; i < len(regions); i++ {
			if c.Has(i) {
				return 1
			}
		}
		return 0
	})
	if shares[1].Area <= trifle {
		return 0
	}
	const hairline = measure.Millimetre / 1000
	if cut := (shares[0].Perimeter + shares[1].Perimeter - l.Perimeter) / 2; cut > hairline {
		return cut
	}
	return 0
}

// mostSurveyed bounds the work of trying directions: every direction looks at every element of the outline.
const mostSurveyed = 20000

// sideDirections are the directions of the straight sides; of an outline with very many sides those of the longest.
func sideDirections(o *outline.Outline) []measure.Angle {
	var sides []outline.Edge
	for _, e := range o.Elements() {
		if e.Side != outline.None && e.Straight() {
			sides = append(sides, e.Edge)
		}
	}
	if most := max(1, mostSurveyed/max(1, len(o.Elements()))); len(sides) > most {
		slices.SortStableFunc(sides, func(a, b outline.Edge) int { return cmp.Compare(b.Length(), a.Length()) })
		sides = sides[:most]
	}
	directions := make([]measure.Angle, len(sides))
	for i, e := range sides {
		directions[i] = measure.Atan2(float64(e.To.Y-e.From.Y), float64(e.To.X-e.From.X))
	}
	return directions
}

// fabricFaults reports why a fabric can't be cut.
func (t *taker) fabricFaults(bed *Bed, err error) {
	for _, e := range unjoin(err) {
		t.faults.Add(bed.Pointer+"/fabric/material", "bad_fabric", "can't be cut: "+e.Error(), "")
	}
}

func fabricWorking(bed *Bed, l *fabric.Layout, p pencil) Working {
	lengths := make([]string, len(l.Strips))
	for i, s := range l.Strips {
		lengths[i] = p.length(s.Length)
	}
	return Working{Label: bed.ID + ": cloth, " + count(len(l.Strips)) + " strips with their laps",
		Expression: "(" + join(lengths, " + ") + ") x " + p.length(bed.Fabric.Material.RollWidth), Result: p.area(l.ClothArea)}
}

// RollsTakeoff is how the strips of all beds with one fabric are cut from its rolls.
type RollsTakeoff struct {
	Material *Material
	Plan     fabric.Plan
	Pieces   []FabricPiece // that the plan counts by
}

// FabricPiece is one piece of a strip.
type FabricPiece struct {
	Bed    string
	Length measure.Length
}

// Alike counts the rolls from place i on, in their order, of which the same pieces for the same beds are cut.
func (r *RollsTakeoff) Alike(i int) int {
	n := 1
	for i+n < len(r.Plan.Rolls) && slices.EqualFunc(r.Plan.Rolls[i].Pieces, r.Plan.Rolls[i+n].Pieces, func(a, b int) bool { return r.Pieces[a] == r.Pieces[b] }) {
		n++
	}
	return n
}

// mostRollsShown is how many kinds of rolls the workings list.
const mostRollsShown = 12

// requireRolls counts the rolls of one fabric over the whole job: strips of all beds are cut from the same rolls.
func (t *taker) requireRolls(l *MaterialLine) {
	out := RollsTakeoff{Material: l.Material}
	var pieces []measure.Length
	var cloth measure.Area
	for k := range t.out.Fabrics {
		f := &t.out.Fabrics[k]
		if f.Material.Key != l.Material.Key {
			continue
		}
		cloth += f.Layout.ClothArea
		for _, s := range f.Layout.Strips {
			pieces = append(pieces, s.Pieces...)
			for _, p := range s.Pieces {
				out.Pieces = append(out.Pieces, FabricPiece{Bed: f.Bed, Length: p})
			}
		}
	}
	p := t.pencil
	out.Plan = fabric.Pack(pieces, l.Material.RollLength)
	rolls := len(out.Plan.Rolls)
	how := "cut from rolls of " + p.length(l.Material.RollLength)
	if !out.Plan.Proved() {
		how += "; " + count(out.Plan.Bound) + " at least, and fewer than these may do"
	}
	l.Workings = append(l.Workings, Working{Label: "rolls", Expression: count(len(pieces)) + " pieces " + how, Result: count(rolls)})
	t.rollWorkings(l, &out)
	t.out.Rolls = append(t.out.Rolls, out)
	if factor := l.Waste.Factor; factor != 1 {
		roll := l.Material.RollWidth.Times(l.Material.RollLength)
		least := measure.RoundUp(cloth.Scale(factor).In(roll))
		l.Workings = append(l.Workings, Working{Label: "rolls with " + string(l.Waste.Basis) + " allowance",
			Expression: p.area(cloth) + " x " + number(float64(factor)) + " / " + p.area(roll) + ", rounded up", Result: count(least)})
		rolls = max(rolls, least)
	}
	l.Cover = Amount{Kind: AreaAmount, Value: float64(cloth)}
	l.Required = Amount{Kind: CountAmount, Value: float64(rolls)}
}

// rollWorkings lists what is cut from each roll and what is left of it.
func (t *taker) rollWorkings(l *MaterialLine, out *RollsTakeoff) {
	p := t.pencil
	shown := 0
	for i := 0; i < len(out.Plan.Rolls); {
		if shown++; shown > mostRollsShown {
			return
		}
		alike := out.Alike(i)
		label := "roll " + count(i+1)
		if alike > 1 {
			label = "rolls " + count(i+1) + " to " + count(i+alike) + ", each"
		}
		r := &out.Plan.Rolls[i]
		cuts := make([]string, len(r.Pieces))
		for n, k := range r.Pieces {
			cuts[n] = p.length(out.Pieces[k].Length)
		}
		l.Workings = append(l.Workings, Working{Label: label + ": left over",
			Expression: p.length(l.Material.RollLength) + " - " + join(cuts, " - "), Result: p.length(r.Left)})
		i += alike
	}
}
