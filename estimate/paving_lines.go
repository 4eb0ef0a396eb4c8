package estimate

import (
	"strings"

	"bedline/estimate/bond"
	"bedline/estimate/measure"
)

// pavingUnits counts the units of every paved area: those of the field after offcuts are used, and those of the border.
func (t *taker) pavingUnits() {
	p := t.pencil
	for k := range t.out.Paving {
		out := &t.out.Paving[k]
		f := out.Field
		line := t.ledger.line(Paving, out.Area.Unit, CountAmount)
		for _, w := range areaWorkings(out.Area.Outline, p) {
			w.Label = out.ID + ": " + strings.Replace(w.Label, "bed line", "outline", 1)
			line.Workings = append(line.Workings, w)
		}
		ground := "outline " + p.area(out.Area.Outline.Area())
		if holes := out.Area.Outline.Area() - out.Ground; holes > trifle {
			ground += " - openings " + p.area(holes)
		}
		if out.Border != nil {
			ground += " - border " + p.area(out.BorderArea) + " - joint against it " + p.area(out.EdgeArea)
		}
		line.Workings = append(line.Workings,
			Working{Label: out.ID + ": ground of the field", Expression: ground, Result: p.area(f.Area)},
			Working{Label: out.ID + ": laid in " + fieldWords(out.Area) + " from (" + p.length(f.Start.X) + ", " + p.length(f.Start.Y) + ") at " + number(f.Direction.Degrees()) + " deg",
				Expression: count(f.Whole) + " whole + " + count(f.Cut) + " cut", Result: count(f.Whole+f.Cut) + " units"},
			boughtWorking(out))
		expression := count(f.Whole) + " whole + " + count(f.Cut) + " cut"
		if n := f.Bought.FromOffcuts; n > 0 {
			expression += " - " + count(n) + " from offcuts"
		}
		line.add(out.ID, float64(f.Bought.Units), out.ID+": units of the field", expression, count(f.Bought.Units))
		line.Workings = append(line.Workings, Working{Label: out.ID + ": waste as counted; " + number(100*float64(out.Customary.Share)) + " % is customary (" + out.Customary.Source + ")",
			Expression: count(f.Bought.Units) + " x " + p.area(f.UnitArea()) + " / " + p.area(f.LaidArea) + " laid",
			Result:     number(float64(out.CountedWaste()))})
		if out.Border == nil {
			continue
		}
		spec := out.Area.Border
		line = t.ledger.line(Paving, spec.Unit, CountAmount)
		c := CourseTakeoff{Bed: out.ID + ", border", Spec: &CourseSpec{Unit: spec.Unit, Laying: spec.Laying}, Course: out.Border}
		for i := range out.Border.Runs {
			line.Workings = append(line.Workings, runWorking(&c, i, p))
		}
		u := out.Border.Units
		line.add(out.ID, float64(u.Total), out.ID+": units of the border", count(u.Whole)+" whole + "+count(u.Cut)+" cut", count(u.Total))
	}
}

// fieldWords names a bond for people.
func fieldWords(area *PavedArea) string {
	switch {
	case area.Bond == third:
		return "third bond"
	case area.Laying.Bond == bond.Herringbone45, area.Laying.Bond == bond.Herringbone90:
		return strings.ReplaceAll(area.Bond, "_", " at ") + " degrees"
	}
	return strings.ReplaceAll(area.Bond, "_", " ") + " bond"
}

// boughtWorking shows between which bounds the number of units bought lies.
func boughtWorking(out *PavingTakeoff) Working {
	b := &out.Field.Bought
	w := Working{Label: out.ID + ": offcuts, " + b.Method.String(), Result: count(b.Units) + " units"}
	w.Expression = "by area at least " + count(b.AreaBound)
	if b.Method != bond.WholeUnits {
		w.Expression += ", by the rule for offcuts at least " + count(b.RuleBound)
	}
	switch {
	case b.Method == bond.WholeUnits:
		w.Expression += "; every cut unit is bought whole"
	case b.Exact:
		w.Expression += "; fewer can't do"
	default:
		w.Expression += "; fewer may do"
	}
	return w
}

// pavingFill reckons the filling of the joints of paved areas.
func (t *taker) pavingFill() {
	p := t.pencil
	for k := range t.out.Paving {
		out := &t.out.Paving[k]
		if out.Area.Fill == nil {
			continue
		}
		line := func() *MaterialLine { return t.ledger.line(JointFill, out.Area.Fill, VolumeAmount) }
		fill := func(a measure.Area, what, expression string) {
			if a <= trifle {
				return
			}
			v := a.AtDepth(out.FillDepth)
			if expression != "" {
				line().Workings = append(line().Workings, Working{Label: out.ID + ": ground of joints in the field", Expression: expression, Result: p.area(a)})
			}
			line().add(out.ID, float64(v), out.ID+": "+what, p.layer(a, out.FillDepth), p.volume(v))
		}
		fill(out.Field.JointArea, "joints of the field", p.area(out.Field.Area)+" - "+p.area(out.Field.LaidArea)+" of faces")
		fill(out.EdgeArea, "joint between field and border", "")
		if out.Border == nil || out.Border.JointVolume <= 0 {
			continue
		}
		v := out.Border.JointVolume
		depth := out.Area.Border.Laying.JointDepth
		if depth == 0 {
			depth = out.Area.Border.Unit.Thickness
		}
		mean := measure.Length(float64(v) / float64(out.Border.JointLength.Times(depth)))
		line().add(out.ID, float64(v), out.ID+": joints of the border",
			count(out.Border.Joints)+" joints, "+p.length(out.Border.JointLength)+" in all x "+p.depth(mean)+" wide on average x "+p.depth(depth)+" deep"+p.bead(), p.volume(v))
	}
}

// pavingNotices says what the laying of paved areas brought up.
func (t *taker) pavingNotices() {
	p := t.pencil
	for k := range t.out.Paving {
		out := &t.out.Paving[k]
		area, f := out.Area, out.Field
		name := "paved area " + out.ID
		if f.Narrow > 0 {
			t.notice("narrow_pieces", Confirm, count(f.Narrow)+" pieces of "+name+" are narrower than "+p.depth(10*measure.Millimetre)+
				", hard to cut and to hold: shift the start, turn the rows, or widen the joints a little", area.Pointer,
				"Interlocking Concrete Pavement Institute, Construction Tolerances and Recommendations: 3/8 in")
		}
		if f.Under > 0 {
			t.notice("small_pieces", Confirm, count(f.Under)+" cut units of "+name+" keep less than "+number(100*float64(area.Laying.LeastPiece))+
				" % of their face: under wheels none should", area.Pointer,
				"Interlocking Concrete Pavement Institute, Construction Tolerances and Recommendations: one third of a unit")
		}
		if f.Search.Stopped {
			t.notice("search_stopped", Info, "the search for the best start of "+name+" was stopped after "+count(f.Search.Tried)+
				" starts: a start of your own may do with fewer units", area.Pointer, "")
		}
		const told = measure.Millimetre / 20
		if off := max(f.EndJoint-area.Laying.Joint, area.Laying.Joint-f.EndJoint, f.SideJoint-area.Laying.Joint, area.Laying.Joint-f.SideJoint); off > told {
			t.notice("joint_adjusted", Confirm, "in "+fieldWords(area)+" the units of "+name+" keep their pattern with joints of "+p.depth(f.SideJoint)+
				" along their sides and "+p.depth(f.EndJoint)+" at their ends, not "+p.depth(area.Laying.Joint), area.Pointer, "")
		}
		if wide := max(f.EndJoint, f.SideJoint); wide > area.JointMax+told {
			t.notice("wide_joint", Confirm, "joints in "+name+" come to "+p.depth(wide)+", wider than the allowed "+p.depth(area.JointMax)+
				": use units that fit each other, or fill with a material made for such joints", area.Pointer, "")
		}
		if len(f.Units) == 0 {
			t.notice("no_units_in_field", Confirm, "the ground of "+name+" is too small for a piece of a unit: it is left to the joints", area.Pointer, "")
		}
		t.borderNotices(out)
	}
	if len(t.out.Paving) > 0 {
		t.notice("edge_restraint", Confirm, "the edges of paving creep unless something holds them: confirm a restraint on every edge that no wall or set course holds", "", "common practice")
	}
}

// borderNotices says what the border of a paved area brought up.
func (t *taker) borderNotices(out *PavingTakeoff) {
	if out.Border == nil {
		return
	}
	p := t.pencil
	border := out.Area.Border
	t.runNotices(out.Border, border.Pointer, "the border of paved area "+out.ID)
	if off := border.Unit.Thickness - out.Area.Unit.Thickness; max(off, -off) > measure.Millimetre/2 {
		t.notice("thickness_differs", Confirm, "border and field of paved area "+out.ID+" differ by "+p.depth(max(off, -off))+
			" in thickness: all of it is dug for the thicker, and the thinner lies on that much more sand or base, which is not reckoned", border.Pointer, "")
	}
	var strips measure.Area
	for _, l := range out.borderBand {
		strips += l.Area()
	}
	// Runs that go on in all but the same direction have square ends, which overlap by a thousandth of the square.
	square := out.Border.Width.Times(out.Border.Width)
	slight := square.Scale(measure.Factor(0.01 + 0.001*float64(len(out.Border.Runs))))
	if twice := strips - out.BorderArea - out.borderCut; twice > slight {
		t.notice("border_overlaps_itself", Confirm, "runs of the border of paved area "+out.ID+" would lie on "+p.area(twice)+
			" of each other where the area is narrower than two courses: take a narrower course or widen the area there", border.Pointer, "")
	}
	if out.borderCut > trifle {
		t.notice("opening_in_border", Confirm, "an obstacle or hole lies on "+p.area(out.borderCut)+" of the border of paved area "+out.ID+
			": its units are counted as if they ran through", border.Pointer, "")
	}
}
