package estimate

import (
	"bedline/estimate/measure"
)

// units counts edging units, slabs and paving.
func (t *taker) units() {
	for k := range t.out.Courses {
		c := &t.out.Courses[k]
		line := t.ledger.line(Edging, c.Spec.Unit, CountAmount)
		for i := range c.Course.Runs {
			line.Workings = appendLaidLength(line.Workings, c, i, t.pencil)
			line.Workings = append(line.Workings, runWorking(c, i, t.pencil))
		}
		u := c.Course.Units
		line.add(c.Bed, float64(u.Total), c.Bed+": edging units", count(u.Whole)+" whole + "+count(u.Cut)+" cut", count(u.Total))
	}
	for k := range t.out.Slabs {
		s := &t.out.Slabs[k]
		line := t.ledger.line(Slabs, s.Group.Unit, CountAmount)
		n := s.Grid.Units()
		line.add(s.ID, float64(n), s.ID+": slabs", count(s.Group.Rows)+" rows x "+count(s.Group.Columns)+" columns", count(n))
	}
	t.pavingUnits()
}

// jointFill reckons the filling of real joints: between the units of a course, the fillet on its bed side, the gap on
// its outer side, between slabs, and in paving.
func (t *taker) jointFill() {
	p := t.pencil
	for k := range t.out.Courses {
		c := &t.out.Courses[k]
		if c.Spec.Fill == nil {
			continue
		}
		// The line comes up with the first of what it takes, so that there is none for closed joints.
		line := func() *MaterialLine { return t.ledger.line(JointFill, c.Spec.Fill, VolumeAmount) }
		if v := c.Course.JointVolume; v > 0 {
			depth := c.Spec.Laying.JointDepth
			if depth == 0 {
				depth = c.Spec.Unit.Thickness
			}
			mean := measure.Length(float64(v) / float64(c.Course.JointLength.Times(depth)))
			line().add(c.Bed, float64(v), c.Bed+": joints of the course",
				count(c.Course.Joints)+" joints, "+p.length(c.Course.JointLength)+" in all x "+p.depth(mean)+" wide on average x "+p.depth(depth)+" deep"+p.bead(),
				p.volume(v))
		}
		edged := c.Course.EdgedLength
		if h := c.Spec.Haunch; h > 0 {
			v := c.Course.Haunch(h)
			line().add(c.Bed, float64(v), c.Bed+": haunch on the bed side",
				p.length(edged)+" x "+p.depth(h)+" x "+p.depth(h)+" / 2"+p.bead(), p.volume(v))
		}
		if clear := c.Spec.Laying.Clearance; c.Spec.FillWallGap && clear > 0 {
			v := c.Course.WallGap(c.Spec.Laying)
			line().add(c.Bed, float64(v), c.Bed+": gap on the outer side",
				p.length(edged)+" x "+p.depth(clear)+" x "+p.depth(c.Spec.Unit.Thickness)+p.bead(), p.volume(v))
		}
	}
	for k := range t.out.Slabs {
		s := &t.out.Slabs[k]
		if s.Group.Fill == nil || s.Grid.GapArea() <= 0 {
			continue
		}
		depth := s.Group.FillDepth
		if depth == 0 {
			depth = s.Group.Unit.Thickness
		}
		line := t.ledger.line(JointFill, s.Group.Fill, VolumeAmount)
		v := s.Grid.GapArea().AtDepth(depth)
		line.add(s.ID, float64(v), s.ID+": joints between slabs", p.layer(s.Grid.GapArea(), depth), p.volume(v))
	}
	t.pavingFill()
}

// require turns what was measured into what has to be bought: compaction, then waste.
func (t *taker) require() {
	for i := range t.ledger.lines {
		l := &t.ledger.lines[i]
		l.Waste = t.waste(l.Key)
		factor := l.Waste.Factor
		p := t.pencil
		switch l.Key {
		case Fabric:
			t.requireRolls(l)
			continue
		case Edging, Slabs, Paving, Pins:
			l.Required = Amount{Kind: CountAmount, Value: l.Measured.Value * float64(factor)}
			if factor != 1 {
				l.Workings = append(l.Workings, Working{Label: "with " + string(l.Waste.Basis) + " allowance",
					Expression: number(l.Measured.Value) + " x " + number(float64(factor)), Result: number(l.Required.Value)})
			}
			continue
		}
		compaction := l.Material.CompactionFactor
		l.Required = Amount{Kind: VolumeAmount, Value: l.Measured.Value * float64(compaction) * float64(factor)}
		expression := p.amount(l.Measured)
		if compaction != 1 {
			expression += " x " + number(float64(compaction)) + " (compaction)"
		}
		expression += " x " + number(float64(factor)) + " (waste)"
		l.Workings = append(l.Workings, Working{Label: "loose, to buy", Expression: expression, Result: p.amount(l.Required)})
	}
}

// waste is the factor for a line: as the request says, else as the list says, else none.
func (t *taker) waste(key LineKey) Waste {
	basis := Customary
	switch key {
	case Edging, Slabs, Paving, Fabric, Pins:
		basis = ByLayout // counted piece by piece; the list may name breakage on top
	}
	if share, ok := t.job.Allowances[key]; ok {
		return Waste{Factor: 1 + share, Basis: Requested}
	}
	return Waste{Factor: 1 + t.job.Catalogue.Allowances[key], Basis: basis}
}

// work gathers the quantity of every operation.
func (t *taker) work() {
	p := t.pencil
	one := func(op Operation, kind AmountKind, value float64, label, expression, result string) {
		if value <= 0 {
			return
		}
		t.out.Work = append(t.out.Work, WorkLine{Operation: op, Quantity: Amount{Kind: kind, Value: value},
			Workings: []Working{{Label: label, Expression: expression, Result: result}}})
	}
	var dugArea measure.Area
	volumes := map[DiggingPart]measure.Volume{}
	terms := map[DiggingPart][]string{}
	for _, d := range t.out.Diggings {
		if d.Area <= trifle {
			continue
		}
		dugArea += d.Area
		part := d.Part
		if part == PadPart || part == FieldPart {
			part = TrenchPart
		}
		volumes[part] += d.Volume
		terms[part] = append(terms[part], t.cutTerm(&d))
	}
	if dugArea > 0 {
		one(LocateUtilities, CountAmount, 1, "once a job", "1", "1")
	}
	var lines measure.Length
	var sides []string
	for _, b := range t.out.Beds {
		lines += b.Perimeter
		sides = append(sides, b.ID+" "+p.length(b.Perimeter))
	}
	for _, s := range t.out.Slabs {
		round := 2 * (s.Grid.Length() + s.Grid.Width())
		lines += round
		sides = append(sides, s.ID+" "+p.length(round))
	}
	for k := range t.out.Paving {
		round := t.out.Paving[k].Area.Outline.Perimeter()
		lines += round
		sides = append(sides, t.out.Paving[k].ID+" "+p.length(round))
	}
	one(SetOut, LengthAmount, float64(lines), "lines to set out", join(sides, " + "), p.length(lines))
	if t.job.Ground.Cover != Bare {
		one(StripCover, AreaAmount, float64(dugArea), "ground that is dug", p.area(dugArea), p.area(dugArea))
	}
	one(DigTrench, VolumeAmount, float64(volumes[TrenchPart]), "in the ground", join(terms[TrenchPart], " + "), p.volume(volumes[TrenchPart]))
	one(DigBed, VolumeAmount, float64(volumes[BedPart]), "in the ground", join(terms[BedPart], " + "), p.volume(volumes[BedPart]))
	t.gradedWorkings()
	spoil := t.out.Spoil
	one(HaulSpoil, VolumeAmount, float64(spoil.Loose), "loose spoil",
		p.volume(spoil.Bank)+" x "+number(float64(t.job.Ground.Soil.SwellFactor))+" (swell)", p.volume(spoil.Loose))
	one(LayFabric, AreaAmount, float64(t.fabricArea), "ground under fabric", p.area(t.fabricArea), p.area(t.fabricArea))
	one(PlaceBase, VolumeAmount, float64(t.baseVolume), "base as compacted", p.volume(t.baseVolume), p.volume(t.baseVolume))
	one(ScreedSand, AreaAmount, float64(t.sandArea), "bed of sand", p.area(t.sandArea), p.area(t.sandArea))
	edgers, slabs, passes := 0, 0, 0
	for k := range t.out.Courses {
		edgers += t.out.Courses[k].Course.Units.Total
		passes += t.out.Courses[k].Course.SawPasses
	}
	for k := range t.out.Slabs {
		slabs += t.out.Slabs[k].Grid.Units()
	}
	var paved measure.Area
	var fields []string
	for k := range t.out.Paving {
		out := &t.out.Paving[k]
		area := out.Field.Area + out.EdgeArea
		paved += area
		fields = append(fields, out.ID+" "+p.area(area))
		passes += out.SawPasses()
		if out.Border != nil {
			edgers += out.Border.Units.Total
		}
	}
	one(LayEdging, CountAmount, float64(edgers), "units to lay", count(edgers), count(edgers))
	one(LaySlabs, CountAmount, float64(slabs), "slabs to lay", count(slabs), count(slabs))
	one(LayPaving, AreaAmount, float64(paved), "fields to lay, joints included", join(fields, " + "), p.area(paved))
	one(CutUnits, CountAmount, float64(passes), "saw passes", count(passes), count(passes))
	one(FillJoints, LengthAmount, float64(t.filledLength()), "joints to fill", p.length(t.filledLength()), p.length(t.filledLength()))
	var stone measure.Volume
	for _, l := range t.ledger.lines {
		if l.Key == DecorativeStone {
			stone += measure.Volume(l.Required.Value)
		}
	}
	one(PlaceStone, VolumeAmount, float64(stone), "stone as bought", p.volume(stone), p.volume(stone))
	var mixed measure.Volume
	for _, l := range t.ledger.lines {
		if l.Key == PlanterSoil {
			mixed += measure.Volume(l.Required.Value)
		}
	}
	one(FillPlanters, VolumeAmount, float64(mixed), "mix as bought", p.volume(mixed), p.volume(mixed))
	one(CleanUp, CountAmount, 1, "once a job", "1", "1")
}

// filledLength is the length of the joints that are filled, with haunches.
func (t *taker) filledLength() measure.Length {
	var sum measure.Length
	for k := range t.out.Courses {
		c := &t.out.Courses[k]
		if c.Spec.Fill == nil {
			continue
		}
		sum += c.Course.JointLength
		if c.Spec.Haunch > 0 {
			sum += c.Course.EdgedLength
		}
		if c.Spec.FillWallGap && c.Spec.Laying.Clearance > 0 {
			sum += c.Course.EdgedLength
		}
	}
	for k := range t.out.Slabs {
		if t.out.Slabs[k].Group.Fill != nil {
			sum += t.out.Slabs[k].Grid.JointLength()
		}
	}
	for k := range t.out.Paving {
		if out := &t.out.Paving[k]; out.Area.Fill != nil && out.JointVolume > 0 {
			sum += out.JointLength()
		}
	}
	return sum
}
