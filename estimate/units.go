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
