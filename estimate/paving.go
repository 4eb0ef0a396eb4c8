package estimate

import (
	"errors"

	"bedline/estimate/bond"
	"bedline/estimate/course"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// PavingTakeoff is one paved area as it is laid.
type PavingTakeoff struct {
	ID        string
	Area      *PavedArea
	Field     *bond.Field
	Border    *course.Course // nil where there is none
	Customary CustomaryWaste

	Ground     measure.Area   // inside the outline, less its openings
	BorderArea measure.Area   // ground under the border, less the openings
	borderCut  measure.Area   // ground under the border that openings take
	borderBand outline.Region // a loop for each run
	EdgeArea   measure.Area   // joint between border and field
	EdgeLength measure.Length // of the field's edge against its border

	FieldGround outline.Region // that the field was laid over
	Openings    outline.Region // that it leaves out

	FillDepth   measure.Length // of the field's joints
	JointVolume measure.Volume // of all joints: in the field, against the border and in it

	DigDepth  measure.Length
	BaseDepth measure.Length // as laid, with what the rounding of the depth adds
	SandDepth measure.Length
}

// JointLength is the length of all joints: in the field, against the border and in it.
func (p *PavingTakeoff) JointLength() measure.Length {
	sum := p.Field.Joints.Length + p.EdgeLength
	if p.Border != nil {
		sum += p.Border.JointLength
	}
	return sum
}

// SawPasses are those of the field and its border.
func (p *PavingTakeoff) SawPasses() int {
	if p.Border == nil {
		return p.Field.SawPasses
	}
	return p.Field.SawPasses + p.Border.SawPasses
}

// Limits of the laying, so that a job takes about a second at most.
const (
	pavingWork = 40_000 // clipped units that searches may take, shared by the areas that are searched

	// The pattern is drawn over the rectangle round a field. A path far longer than wide, laid across, is that much
	// smaller than its rectangle.
	patternTimes = 60
	patternMore  = 100_000
)

// paving lays every paved area.
func (t *taker) paving() {
	if len(t.job.Paving) == 0 {
		return
	}
	drawn, searched := 0, 0
	units := make([]int, len(t.job.Paving))
	for j := range t.out.Slabs {
		drawn += t.out.Slabs[j].Grid.Units()
	}
	for k := range t.job.Paving {
		p := &t.job.Paving[k]
		face := (p.Laying.UnitLength + p.Laying.Joint).Times(p.Laying.UnitWidth + p.Laying.Joint)
		units[k] = measure.RoundUp(min(float64(p.Outline.Area())/float64(face), maxUnits+1))
		if drawn += units[k]; drawn > maxUnits {
			t.faults.Add(p.Pointer+"/outline", codeTooMany, "brings the units of the job over "+count(maxUnits)+": check the units of its measures, or send it in several jobs", "")
			return
		}
		if p.Laying.Start == nil || p.Laying.Direction == nil {
			searched++
		}
	}
	for k := range t.job.Paving {
		t.pave(&t.job.Paving[k], max(1, pavingWork/max(1, searched)), patternTimes*units[k]+patternMore)
	}
}

// pave lays one area: its border, then the field inside it. Work and cells bound what that may take.
func (t *taker) pave(area *PavedArea, work, cells int) {
	out := PavingTakeoff{ID: area.ID, Area: area, FillDepth: area.FillDepth}
	if out.FillDepth == 0 {
		out.FillDepth = area.Unit.Thickness
	}
	for i := range t.job.Beds {
		if bed := &t.job.Beds[i]; bed.ID == area.InBed && bed.Outline != nil {
			if far := bed.Outline.GroundOutside(area.Outline); far > mostOutside {
				t.faults.Add(area.Pointer+"/outline", codeOutsideBed, "lies "+both(far)+" outside bed "+bed.ID, "")
			}
		}
	}
	if area.Border != nil {
		laid, err := course.Lay(area.Outline, area.Border.Laying)
		if err != nil {
			t.borderFaults(area, err)
			return
		}
		closeCourse(laid, &area.Border.Laying)
		out.Border = laid
	}
	ground := t.groundOf(area)
	ground.measure(&out)
	if area.Border != nil && out.Ground-out.BorderArea-out.EdgeArea <= trifle {
		t.faults.Add(area.Border.Pointer, codeNoField, "takes all of the ground inside the outline, so that none is left for the field: use a narrower course or leave the border out", "")
		return
	}
	spec := area.Laying
	spec.Openings, spec.Work, spec.Cells = ground.openings, work, cells
	field, err := bond.Lay(ground.field, spec)
	if err != nil {
		t.fieldFaults(area, err)
		return
	}
	out.Field, out.FieldGround, out.Openings = field, ground.field, ground.openings
	if field.JointArea <= field.Area.Scale(hair) { // rounding error of units laid tight
		field.JointArea = 0
	}
	out.Customary = customaryWaste(area, field.Direction)
	out.JointVolume = field.JointArea.AtDepth(out.FillDepth) + out.EdgeArea.AtDepth(out.FillDepth)
	if out.Border != nil {
		out.JointVolume += out.Border.JointVolume
	}
	thick := area.Unit.Thickness
	if area.Border != nil {
		thick = max(thick, area.Border.Unit.Thickness)
	}
	base, sand := depthOf(area.Base), depthOf(area.Sand)
	dug, extra := DigDepth(thick, area.Reveal, sand, base, t.job.Catalogue.DigTo)
	out.BaseDepth, out.SandDepth = addExtra(area.Base, area.Sand, base, sand, extra)
	out.DigDepth = dug
	t.out.Paving = append(t.out.Paving, out)
	if extra > 0 && area.Base == nil && area.Sand == nil {
		t.notice("rounded_depth_unfilled", Confirm, "the ground of paved area "+area.ID+" is dug "+t.pencil.depth(extra)+
			" deeper than the units need, and there is neither base nor sand to fill it", area.Pointer, "")
	}
}

// closeCourse is closeJoints for a course without a CourseSpec.
func closeCourse(laid *course.Course, s *course.Spec) {
	closeJoints(laid, &CourseSpec{Unit: &Material{Thickness: s.Unit.Thickness}, Laying: *s})
}

// groundPaved is the ground of one area as the bond wants it.
type groundPaved struct {
	outside   outline.Region // the outline with its holes
	field     outline.Region // what the field is laid over, less the openings
	openings  outline.Region // obstacles, and the border where the field could not be drawn inside it
	obstacles outline.Region
	border    outline.Region // ground under the course
	standoff  outline.Region // with the joint between it and the field
	inside    outline.Region // the outline moved in by both, or nil
}

// groundOf gathers the ground of an area: its outline, obstacles in it, and its border.
func (t *taker) groundOf(area *PavedArea) *groundPaved {
	g := &groundPaved{}
	low, high := area.Outline.Bounds()
	for k := range t.job.Obstacles {
		l := t.job.Obstacles[k].Footprint()
		if l == nil {
			continue
		}
		if a, b := l.Bounds(); a.X < high.X && low.X < b.X && a.Y < high.Y && low.Y < b.Y {
			g.obstacles = append(g.obstacles, l)
		}
	}
	g.openings = g.obstacles
	g.outside, _ = course.Inset(area.Outline, 0) // the same ground, begun with side 0
	g.field = g.outside
	if area.Border == nil {
		return g
	}
	width := area.Border.Laying.Width()
	clear := width + area.Border.Laying.Joint
	g.border = course.Strip(area.Outline, 0, width)
	g.standoff = course.Strip(area.Outline, 0, clear)
	g.inside, _ = course.Inset(area.Outline, clear)
	return g
}

// measure divides the ground into border, the joint against it and field.
func (g *groundPaved) measure(out *PavingTakeoff) {
	const (
		border = iota
		edge
		field
		cut
		classes
	)
	regions := []outline.Region{g.outside, g.border, g.standoff, g.obstacles, g.inside}
	class := func(c outline.Cover) int {
		switch {
		case c.Has(0) && c.Has(1) && c.Has(3):
			return cut
		case !c.Has(0) || c.Has(3):
			return outline.None
		case c.Has(1):
			return border
		case c.Has(2):
			return edge
		}
		return field
	}
	// The inset is the ground of the field only if nothing lies in one of them and not in the other.
	shares := outline.Divide(regions, 2*classes, func(c outline.Cover) int {
		n := class(c)
		if n == outline.None || len(g.inside) == 0 || c.Has(4) == (c.Has(0) && !c.Has(2)) {
			return n
		}
		return classes + n
	})
	var off measure.Area
	for n := range classes {
		off += shares[classes+n].Area
		shares[n].Area += shares[classes+n].Area
	}
	out.borderBand = g.border
	out.BorderArea, out.EdgeArea, out.borderCut = shares[border].Area, shares[edge].Area, shares[cut].Area
	out.Ground = shares[border].Area + shares[edge].Area + shares[field].Area
	switch {
	case len(g.border) == 0:
		return
	case len(g.inside) > 0 && off <= trifle:
		g.field = g.inside
		if len(g.obstacles) == 0 {
			for _, l := range g.inside {
				out.EdgeLength += l.Perimeter()
			}
			return
		}
	default:
		g.openings = append(append(outline.Region{}, g.obstacles...), g.standoff...)
	}
	// What two neighbours have in common bounds both of them and not the two together.
	round := func(wanted func(n int) bool) measure.Length {
		return outline.Divide(regions[:4], 1, func(c outline.Cover) int {
			if wanted(class(c)) {
				return 0
			}
			return outline.None
		})[0].Perimeter
	}
	inner := round(func(n int) bool { return n == field })
	outer := round(func(n int) bool { return n == border || n == edge })
	both := round(func(n int) bool { return n == border || n == edge || n == field })
	out.EdgeLength = max(0, (inner+outer-both)/2)
}

// borderFaults reports why a border can't be laid.
func (t *taker) borderFaults(area *PavedArea, err error) {
	for _, e := range unjoin(err) {
		var tight *course.TightRadiusError
		if !errors.As(e, &tight) {
			t.faults.Add(area.Border.Pointer, "bad_course", e.Error(), "")
			continue
		}
		where := "side " + count(tight.Side)
		if tight.Side < 0 {
			where = "corner " + count(tight.Corner)
		}
		t.faults.Add(area.Border.UnitPointer, codeTightRadius, "can't be laid as a border on the arc of "+where+", radius "+both(tight.Radius)+
			": more than "+both(tight.Least)+" is needed; use a smaller unit, the other course, or a larger radius", "")
	}
}

// fieldFaults reports why a field can't be laid, each fault at the member that would have to change.
func (t *taker) fieldFaults(area *PavedArea, err error) {
	for _, e := range unjoin(err) {
		var (
			module *bond.ModuleError
			many   *bond.TooManyError
			spec   *bond.SpecError
		)
		switch {
		case errors.As(e, &module):
			fits, k := "", measure.Factor(module.Times)
			if j := (module.Length - module.Width.Scale(k)).Scale(1 / (k - 1)); j >= 0 && j < module.Width {
				fits = "; with joints of " + both(j) + " it would"
			}
			t.faults.Add(area.Pointer+"/unit", codeUnitSize, "can't be laid in "+area.Bond+": its length and joint, "+both(module.Length+module.Joint)+
				", must be "+count(module.Times)+" times its width and joint, "+both(module.Width+module.Joint)+", or another whole number of times, within 3 mm"+fits, "")
		case errors.As(e, &many):
			t.faults.Add(area.Pointer+"/outline", codeTooMany, "lies so scattered that its pattern takes more than "+count(many.Most)+" units over the rectangle round it: give it as several areas", "")
		case errors.As(e, &spec):
			at, code := specMember(spec.Field)
			t.faults.Add(area.Pointer+at, code, e.Error(), "")
		default:
			t.faults.Add(area.Pointer, "bad_bond", e.Error(), "")
		}
	}
}

// specMember is the member of the request that a number of a bond comes from.
func specMember(f bond.SpecField) (at, code string) {
	switch f {
	case bond.SpecUnitLength, bond.SpecUnitWidth:
		return "/unit", codeUnitSize
	case bond.SpecJoint:
		return "/joint/width", "out_of_range"
	case bond.SpecOffset:
		return "/offset", "out_of_range"
	case bond.SpecStart:
		return "/start/at", codeTooLarge
	case bond.SpecDirection:
		return "/direction", "out_of_range"
	}
	return "", "bad_bond"
}

// pavedGround is the ground of a paved area, and that dug for it.
func (p *PavedArea) pavedGround() (field, dug outline.Region) {
	field = p.Outline.Region()
	if p.Clearance <= 0 {
		return field, field
	}
	dug = append(outline.Region{}, field...)
	return field, append(dug, course.Strip(p.Outline, p.Clearance, 0)...)
}

func (t *taker) pavingOf(zone string) *PavingTakeoff {
	for k := range t.out.Paving {
		if t.out.Paving[k].ID == zone {
			return &t.out.Paving[k]
		}
	}
	return nil
}
