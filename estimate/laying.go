package estimate

import (
	"errors"

	"bedline/estimate/bond"
	"bedline/estimate/course"
	"bedline/estimate/earth"
	"bedline/estimate/measure"
)

// courses lays the edging of every bed.
func (t *taker) courses() {
	t.edged = map[int]int{}
	for i := range t.job.Beds {
		bed := &t.job.Beds[i]
		if bed.Edging == nil {
			continue
		}
		spec := bed.Edging
		laid, err := course.Lay(bed.Outline, spec.Laying)
		if err != nil {
			t.courseFaults(bed, err)
			continue
		}
		closeJoints(laid, spec)
		base, sand := depthOf(spec.Base), depthOf(spec.Sand)
		dug, extra := DigDepth(spec.Unit.Thickness, spec.Reveal, sand, base, t.job.Catalogue.DigTo)
		base, sand = addExtra(spec.Base, spec.Sand, base, sand, extra)
		t.edged[i] = len(t.out.Courses)
		t.out.Courses = append(t.out.Courses, CourseTakeoff{
			Bed: bed.ID, Spec: spec, Course: laid,
			TrenchDepth: dug, TrenchWidth: spec.Laying.Width() + 2*spec.Laying.Clearance,
			BaseDepth: base, SandDepth: sand,
		})
		if extra > 0 && spec.Base == nil && spec.Sand == nil {
			t.notice("rounded_depth_unfilled", Confirm, "the trench of bed "+bed.ID+" is dug "+t.pencil.depth(extra)+
				" deeper than the unit needs, and there is neither base nor sand to fill it", bed.Pointer+"/edging", "")
		}
		if earth.Deeper(bed.Dig, dug) {
			t.notice("bed_deeper_than_trench", Confirm, "bed "+bed.ID+" is dug deeper than its trench: the base needs firm ground under it, "+
				"so leave a shelf or fill and compact "+t.pencil.depth(bed.Dig-dug), bed.Pointer+"/dig", "common practice")
		}
	}
}

// closeJoints takes joints that are open by a rounding error only for closed: nothing fills them.
func closeJoints(laid *course.Course, spec *CourseSpec) {
	const closed = measure.Millimetre / 1000
	for i := range laid.Runs {
		if r := &laid.Runs[i]; r.JointWidth < closed {
			r.JointWidth = 0
		}
	}
	depth := spec.Laying.JointDepth
	if depth == 0 {
		depth = spec.Unit.Thickness
	}
	if laid.JointVolume < laid.JointLength.Times(closed).AtDepth(depth) {
		laid.JointVolume = 0
	}
}

func depthOf(l *Layer) measure.Length {
	if l == nil {
		return 0
	}
	return l.Depth
}

// addExtra gives what rounding the depth adds to the base, or to the sand where there is no base.
func addExtra(baseLayer, sandLayer *Layer, base, sand, extra measure.Length) (measure.Length, measure.Length) {
	switch {
	case baseLayer != nil:
		return base + extra, sand
	case sandLayer != nil:
		return base, sand + extra
	}
	return base, sand
}

// courseFaults reports why a course can't be laid, each fault at the member that would have to change.
func (t *taker) courseFaults(bed *Bed, err error) {
	at := bed.Pointer + "/edging"
	for _, e := range unjoin(err) {
		var (
			tight  *course.TightRadiusError
			side   *course.UnknownSideError
			corner *course.UnknownCornerError
			sharp  *course.NoCornerError
		)
		switch {
		case errors.As(e, &tight):
			where := "side " + count(tight.Side)
			if tight.Side < 0 {
				where = "corner " + count(tight.Corner)
			}
			t.faults.Add(at+"/unit", codeTightRadius, "can't be laid on the arc of "+where+", radius "+both(tight.Radius)+
				": more than "+both(tight.Least)+" is needed; use a smaller unit, the other course, or a larger radius", "")
		case errors.As(e, &side):
			t.faults.Add(at+"/sides", codeUnknownSide, e.Error(), "[0]")
		case errors.As(e, &sharp):
			pointer := at + "/corner_joints"
			if sharp.Index < len(bed.Edging.choices) {
				pointer = bed.Edging.choices[sharp.Index]
			}
			t.faults.Add(pointer, codeUnknownCorner, "is no sharp corner between two edged sides, so that it takes no joint: corner i lies between side i - 1 and side i", "")
		case errors.As(e, &corner):
			t.faults.Add(at+"/corners", codeUnknownCorner, e.Error(), "")
		default:
			t.faults.Add(at, "bad_course", e.Error(), "")
		}
	}
}

// mostOutside is how far slabs may lie outside their bed: 1 mm, with rounding error.
const mostOutside = measure.Millimetre + 1e-9

// farthest is how far from the origin ground is surveyed, as package outline has it.
const farthest = 1e6 * measure.Metre

// slabs sets out every slab group and checks that it lies in its bed.
func (t *taker) slabs() {
	beds := map[string]*Bed{}
	for i := range t.job.Beds {
		beds[t.job.Beds[i].ID] = &t.job.Beds[i]
	}
	total := 0
	for j := range t.job.Slabs {
		group := &t.job.Slabs[j]
		grid := bond.Grid{At: group.At, UnitLength: group.Unit.Length, UnitWidth: group.Unit.Width, Gap: group.Gap,
			Rows: group.Rows, Columns: group.Columns, Rotate: group.Rotate}
		if total += grid.Units(); total > maxUnits {
			t.faults.Add(group.Pointer+"/rows", codeTooMany, "brings the slabs of the job over "+count(maxUnits), "")
			return
		}
		if low, high := grid.Footprint().Bounds(); min(low.X, low.Y) < -farthest || max(high.X, high.Y) > farthest {
			t.faults.Add(group.Pointer+"/at", codeTooLarge, "puts slabs farther out than 1,000 km: check the units of the measures", "")
			continue
		}
		base, sand := depthOf(group.Base), depthOf(group.Sand)
		dug, extra := DigDepth(group.Unit.Thickness, group.Reveal, sand, base, t.job.Catalogue.DigTo)
		base, sand = addExtra(group.Base, group.Sand, base, sand, extra)
		t.out.Slabs = append(t.out.Slabs, SlabTakeoff{ID: group.ID, Group: group, Grid: grid, DigDepth: dug, BaseDepth: base, SandDepth: sand})
		if extra > 0 && group.Base == nil && group.Sand == nil {
			t.notice("rounded_depth_unfilled", Confirm, "the pad of slab group "+group.ID+" is dug "+t.pencil.depth(extra)+
				" deeper than the slabs need, and there is neither base nor sand to fill it", group.Pointer, "")
		}
		if bed, ok := beds[group.InBed]; ok {
			if out := bed.Outline.Outside(grid.Footprint()); out > mostOutside {
				t.faults.Add(group.Pointer+"/at", codeOutsideBed, "puts the slabs "+both(out)+" outside bed "+bed.ID+
					": they take "+both(grid.Length())+" along and "+both(grid.Width())+" across", "")
			}
		}
	}
}

func (t *taker) notice(code string, severity Severity, message, where, source string) {
	t.ask(code, severity, message, "", where, source)
}

// ask is a notice that says what to confirm before the work.
func (t *taker) ask(code string, severity Severity, message, confirm, where, source string) {
	t.out.Notices = append(t.out.Notices, Notice{Code: code, Severity: severity, Message: message, Confirm: confirm, Where: where, Source: source})
}
