package estimate

import (
	"bedline/estimate/course"
	"bedline/estimate/measure"
)

// runWorking shows how the units of one run are counted.
func runWorking(c *CourseTakeoff, i int, p pencil) Working {
	r := &c.Course.Runs[i]
	joint := c.Spec.Laying.Joint
	along := c.Spec.Unit.Length
	if c.Spec.Laying.Kind == course.Soldier {
		along = c.Spec.Unit.Width
	}
	w := Working{Label: c.Bed + ": " + runName(r.Side, r.Corner), Result: count(r.Units.Total) + " units"}
	if r.Edge.Straight() {
		w.Expression = "(" + p.depth(r.RunLength) + " + " + p.depth(joint) + ") / (" + p.depth(along) + " + " + p.depth(joint) + "): " + count(r.Full) + " of full length"
	} else {
		w.Expression = "arc of " + number(r.Turn.Degrees()) + " deg at radius " + p.depth(r.Radius) + ", " + number(r.UnitTurn.Degrees()) + " deg a unit: " + count(r.Full) + " of full length"
		if r.Laying == course.LaidCut {
			w.Expression += ", wedge cut"
		} else {
			w.Expression += ", joints open"
		}
	}
	if r.Closers > 0 {
		w.Expression += " and " + count(r.Closers) + " cut to " + p.depth(r.Closer)
	}
	return w
}

// appendLaidLength shows what the corners add to a run or take off it, where they do.
func appendLaidLength(list []Working, c *CourseTakeoff, i int, p pencil) []Working {
	r := &c.Course.Runs[i]
	if r.First.Added == 0 && r.Last.Added == 0 {
		return list
	}
	expression := p.depth(r.Length)
	for _, end := range [...]course.End{r.First, r.Last} {
		word := endWords[end.Kind]
		switch {
		case end.Added > 0:
			expression += " + " + p.depth(end.Added) + " (" + word + ")"
		case end.Added < 0:
			expression += " - " + p.depth(-end.Added) + " (" + word + ")"
		}
	}
	return append(list, Working{Label: c.Bed + ": " + runName(r.Side, r.Corner) + ", as laid between its corners", Expression: expression, Result: p.depth(r.RunLength)})
}

// endWords say what happens at the end of a run.
var endWords = [...]string{course.Free: "open end", course.Tangent: "goes on", course.Through: "butted, runs through", course.Short: "butted against the other",
	course.Long: "butted over the other", course.Mitred: "mitred", course.Open: "left open"}

// runName names a run by its side or corner.
func runName(side, corner int) string {
	if side >= 0 {
		return "side " + count(side)
	}
	return "corner " + count(corner)
}

// courseNotices passes on what the laying of the courses brought up.
func (t *taker) courseNotices() {
	for k := range t.out.Courses {
		c := &t.out.Courses[k]
		t.runNotices(c.Course, t.bedPointer(c.Bed)+"/edging", "bed "+c.Bed)
	}
}

// runNotices passes on what the laying of one course brought up.
func (t *taker) runNotices(c *course.Course, where, of string) {
	for _, n := range c.Notices {
		name := runName(n.Side, n.Corner) + " of " + of
		switch n.Kind {
		case course.WideJoint:
			t.notice("wide_joint", Confirm, "joints on "+name+" come to "+t.pencil.depth(n.Size)+", wider than the allowed "+t.pencil.depth(n.Limit)+
				": cut the units, use smaller ones, or fill with a material made for such joints", where, "")
		case course.NoRoom:
			t.notice("no_room_for_units", Confirm, name+" is too short for a unit beside its neighbours: it is left without", where, "")
		case course.NotButted:
			t.notice("mitred_instead", Confirm, "corner "+count(n.Side)+" of "+of+" is mitred: a butt joint at its angle would take "+t.pencil.depth(n.Size)+
				" off a unit of "+t.pencil.depth(n.Limit), where, "")
		case course.LongCut:
			t.notice("long_mitre", Confirm, "the cut at the end of "+name+" takes "+t.pencil.depth(n.Size)+", more than the piece that it is made on ("+t.pencil.depth(n.Limit)+
				") and so goes on into the next: set out this corner on the ground before cutting", where, "")
		}
	}
	for i := range c.Runs {
		r := &c.Runs[i]
		if r.Closers > 0 && r.Closer < leastCut-leastCut.Scale(hair) {
			t.notice("small_piece", Confirm, "a piece of "+t.pencil.depth(r.Closer)+" on "+runName(r.Side, r.Corner)+" of "+of+
				" is smaller than should be cut: shift the start or widen the joints a little", where,
				"Interlocking Concrete Pavement Institute, Construction Tolerances and Recommendations: 3/8 in")
		}
	}
}

// leastCut is the smallest cut unit for foot traffic.
// Source: Interlocking Concrete Pavement Institute, Construction Tolerances and Recommendations: 3/8 in.
const leastCut = 0.375 * measure.Inch

func (t *taker) bedPointer(id string) string {
	for i := range t.job.Beds {
		if t.job.Beds[i].ID == id {
			return t.job.Beds[i].Pointer
		}
	}
	return ""
}
