package estimate

import "bedline/estimate/measure"

// mostLifts is how many lifts are marked; a base of more is no base of a garden job.
const mostLifts = 20

// Gauge is what a crew marks on a stick to check the depths of one digging.
type Gauge struct {
	Zone  string // id of the bed, slab group or paved area
	Part  DiggingPart
	Marks []DepthMark // from the top down; the top of a unit that stands above the ground comes second all the same
}

// DepthMarkKind tells what is at a mark of a gauge stick.
type DepthMarkKind string

// The kinds.
const (
	FinishedSurface DepthMarkKind = "finished_surface"
	TopOfUnit       DepthMarkKind = "top_of_unit"
	TopOfStone      DepthMarkKind = "top_of_stone"
	TopOfSand       DepthMarkKind = "top_of_sand"
	TopOfBase       DepthMarkKind = "top_of_base"
	TopOfLift       DepthMarkKind = "top_of_lift" // of base; that of the last lift is the top of the base
	Bottom          DepthMarkKind = "bottom"
)

// DepthMark is a mark of a gauge stick.
type DepthMark struct {
	Kind DepthMarkKind
	Lift int            // of a lift: its number from the bottom up, from 1; else 0
	Down measure.Length // below the finished surface, negative above it
}

// gauges gives the depths of every digging, in the order in which diggings are listed. Lifts are marked as a machine
// compacts them.
func (t *taker) gauges() {
	out := &t.out.SetOut
	lift := t.job.Catalogue.Lifts.orUsual().Machine
	add := func(zone string, part DiggingPart, marks []DepthMark) {
		out.Gauges = append(out.Gauges, Gauge{Zone: zone, Part: part, Marks: marks})
	}
	for i := range t.job.Beds {
		bed := &t.job.Beds[i]
		if k, ok := t.edged[i]; ok {
			c := &t.out.Courses[k]
			add(bed.ID, TrenchPart, unitMarks(c.Spec.Unit, c.Spec.Reveal, c.SandDepth, depthOf(c.Spec.Base), c.BaseDepth, c.TrenchDepth, lift))
		}
		if bed.Dig > 0 {
			marks := []DepthMark{{Kind: FinishedSurface}}
			if bed.Stone != nil {
				marks = append(marks, DepthMark{Kind: TopOfStone, Down: bed.Dig - bed.Stone.Depth})
			}
			add(bed.ID, BedPart, append(marks, DepthMark{Kind: Bottom, Down: bed.Dig}))
		}
	}
	for j := range t.out.Slabs {
		s := &t.out.Slabs[j]
		add(s.ID, PadPart, unitMarks(s.Group.Unit, s.Group.Reveal, s.SandDepth, depthOf(s.Group.Base), s.BaseDepth, s.DigDepth, lift))
	}
	for k := range t.out.Paving {
		p := &t.out.Paving[k]
		add(p.ID, FieldPart, unitMarks(p.Area.Unit, p.Area.Reveal, p.SandDepth, depthOf(p.Area.Base), p.BaseDepth, p.DigDepth, lift))
	}
}

// unitMarks are the depths under units on sand and base, from the bottom up, since rounding the depth of the digging
// adds to the lowest layer that there is. The base is as laid, and as the request says it.
func unitMarks(unit *Material, reveal, sand, said, base, bottom, lift measure.Length) []DepthMark {
	lifts := liftsOf(said, base, lift)
	if lifts > mostLifts {
		lifts = 1
	}
	marks := make([]DepthMark, 2, 5+max(0, lifts-1))
	marks[0], marks[1] = DepthMark{Kind: FinishedSurface}, DepthMark{Kind: TopOfUnit, Down: 0 - reveal}
	if sand > 0 {
		marks = append(marks, DepthMark{Kind: TopOfSand, Down: unit.Thickness - reveal})
	}
	if base > 0 {
		marks = append(marks, DepthMark{Kind: TopOfBase, Down: bottom - base})
	}
	for n := lifts - 1; n > 0; n-- {
		marks = append(marks, DepthMark{Kind: TopOfLift, Lift: n, Down: bottom - base.Scale(measure.Factor(n)/measure.Factor(lifts))})
	}
	return append(marks, DepthMark{Kind: Bottom, Down: bottom})
}
