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
		layout, err := t.cutFabric(i, bed)
		if err != nil {
			t.fabricFaults(bed, err)
			continue
		}
		if len(layout.Strips) == 0 {
			t.notice("nothing_to_cover", Confirm, "there is no ground inside the course of bed "+bed.ID+" for its fabric to cover", bed.Pointer+"/fabric", "")
			continue
		}
		t.out.Fabrics = append(t.out.Fabrics, FabricTakeoff{Bed: bed.ID, Material: bed.Fabric.Material, Layout: layout})
		t.fabricArea += layout.CoverArea
		p := t.pencil
		line := t.ledger.line(Fabric, bed.Fabric.Material, AreaAmount)
		line.Workings = append(line.Workings, fabricWorking(bed, layout, p))
		line.add(bed.ID, float64(layout.CoverArea), bed.ID+": ground covered", p.area(layout.CoverArea), p.area(layout.CoverArea))
		if pin := bed.Fabric.PinMaterial; pin != nil && layout.Pins > 0 {
			pins := t.ledger.line(Pins, pin, CountAmount)
			pins.add(bed.ID, float64(layout.Pins), bed.ID+": pins",
				"("+p.length(layout.Perimeter)+" round + "+p.length(layout.SeamLength)+" of seams) / "+p.length(bed.Fabric.PinnedEvery)+", rounded up", count(layout.Pins))
		}
	}
}

// cutFabric covers the ground inside the course, or the dug bed and its trench.
func (t *taker) cutFabric(i int, bed *Bed) (*fabric.Layout, error) {
	regions := []outline.Region{bed.Outline.Region()}
	wanted := func(c outline.Cover) bool { return c.Has(0) }
	if k, ok := t.edged[i]; ok {
		if bed.Fabric.TrenchesToo {
			regions = append(regions, t.out.Courses[k].Course.Trench)
			wanted = func(c outline.Cover) bool { return c.Has(0) || c.Has(1) }
		} else {
			regions = append(regions, t.out.Courses[k].Course.Band)
			wanted = func(c outline.Cover) bool { return c.Has(0) && !c.Has(1) }
		}
	}
	m := bed.Fabric.Material
	roll := fabric.Roll{Width: m.RollWidth, Length: m.RollLength, Lap: m.Lap, Upturn: m.Upturn}
	return fabric.Cut(regions, wanted, sideDirections(bed.Outline), roll, bed.Fabric.PinnedEvery)
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

// requireRolls counts the rolls of one fabric over the whole job: strips of all beds are cut from the same rolls.
func (t *taker) requireRolls(l *MaterialLine) {
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
		}
	}
	p := t.pencil
	rolls, proved := fabric.Rolls(pieces, l.Material.RollLength)
	how := "cut from rolls of " + p.length(l.Material.RollLength)
	if !proved {
		how += "; fewer rolls may do"
	}
	l.Workings = append(l.Workings, Working{Label: "rolls", Expression: count(len(pieces)) + " pieces " + how, Result: count(rolls)})
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
