package edition

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"bedline/api/render"
	"bedline/api/render/page"
	"bedline/estimate"
	"bedline/estimate/course"
	"bedline/estimate/fabric"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// fabric is how the cloth is cut, laid and pinned.
func (c *crew) fabric() {
	takeoff := c.quote.Takeoff
	if len(takeoff.Fabrics) == 0 {
		return
	}
	c.part("fabric", false)
	c.figure("", render.Fabric(c.quote, c.words), "fabric.caption")
	for i := range takeoff.Fabrics {
		f := &takeoff.Fabrics[i]
		c.under(capital(c.zone(f.Bed)))
		m := f.Material
		var list facts
		list.add(c.say("fact.cloth"), c.say("cloth", "name", m.Name, "width", c.length(m.RollWidth), "length", c.length(m.RollLength)))
		list.add(c.say("fact.direction"), c.direction(f.Layout.Direction-c.turned()))
		list.add(c.say("fact.lap"), c.depth(m.Lap))
		if m.Upturn > 0 {
			list.add(c.say("fact.upturn"), c.depth(m.Upturn))
		}
		list.add(c.say("fact.covered"), c.area(f.Layout.CoverArea))
		seams := c.length(f.Layout.SeamLength)
		if f.Layout.Joins > 0 {
			seams = c.say("seams", "length", seams, "joins", c.count("joins", f.Layout.Joins))
		}
		list.add(c.say("fact.seams"), seams)
		if f.Pins > 0 {
			list.add(c.say("fact.pins"), c.pins(f))
		}
		if f.CutLength > 0 {
			key := "openings"
			if b := c.bed(f.Bed); b != nil && b.Fabric != nil && b.Fabric.Lapped {
				key = "openings.lapped"
			}
			list.add(c.say("fact.openings"), c.say(key, "length", c.length(f.CutLength)))
		}
		c.add(list.block())
		t := c.table(c.say("strips.caption", "bed", capital(c.zone(f.Bed))), "strip", "#length", "cut_as*2")
		for k := 0; k < len(f.Layout.Strips); {
			length, cut := c.strip(&f.Layout.Strips[k])
			alike := 1
			for ; k+alike < len(f.Layout.Strips); alike++ {
				if l, as := c.strip(&f.Layout.Strips[k+alike]); l != length || as != cut {
					break
				}
			}
			name := c.words.Whole(k + 1)
			if alike > 1 {
				name = c.say("from_to", "from", name, "to", c.words.Whole(k+alike))
			}
			tick(t, name, length, cut)
			k += alike
		}
		c.show(t)
	}
	for i := range takeoff.Rolls {
		c.rolls(&takeoff.Rolls[i])
	}
}

// strip is how long a strip is and what it is cut as.
func (c *crew) strip(s *fabric.Strip) (length, cut string) {
	pieces := make([]string, len(s.Pieces))
	for i, v := range s.Pieces {
		pieces[i] = c.length(v)
	}
	length, cut = c.length(s.Length), strings.Join(pieces, " + ")
	if cut == length {
		cut = c.say("strip.whole")
	}
	return length, cut
}

func (c *crew) pins(f *estimate.FabricTakeoff) string {
	if b := c.bed(f.Bed); b != nil && b.Fabric != nil && b.Fabric.PinnedEvery > 0 {
		return c.count("pins_every", f.Pins, "every", c.length(b.Fabric.PinnedEvery))
	}
	return c.count("pins", f.Pins)
}

// bed finds a bed of the job by its id.
func (c *crew) bed(id string) *estimate.Bed {
	for i := range c.quote.Job.Beds {
		if b := &c.quote.Job.Beds[i]; b.ID == id {
			return b
		}
	}
	return nil
}

// rolls are cut into the pieces of the strips.
func (c *crew) rolls(r *estimate.RollsTakeoff) {
	t := c.table(c.say("rolls.caption", "material", r.Material.Name), "roll", "pieces*3.5", "#left")
	for i := 0; i < len(r.Plan.Rolls); {
		roll := &r.Plan.Rolls[i]
		alike := r.Alike(i)
		name := c.say("roll", "n", c.words.Whole(i+1))
		if alike > 1 {
			name = c.say("rolls_from_to", "from", c.words.Whole(i+1), "to", c.words.Whole(i+alike))
		}
		tick(t, name, strings.Join(c.cloth(r, roll.Pieces), "; "), c.length(roll.Left))
		i += alike
	}
	c.show(t)
}

// cloth is what is cut from one roll, pieces that read alike together, with their beds where a cloth goes to several.
func (c *crew) cloth(r *estimate.RollsTakeoff, pieces []int) []string {
	name := func(k int) string {
		p := &r.Pieces[pieces[k]]
		if !slices.ContainsFunc(r.Pieces, func(o estimate.FabricPiece) bool { return o.Bed != p.Bed }) {
			return c.length(p.Length)
		}
		return c.say("piece_for", "length", c.length(p.Length), "bed", c.zone(p.Bed))
	}
	var words []string
	for i := 0; i < len(pieces); {
		alike := 1
		for i+alike < len(pieces) && name(i+alike) == name(i) {
			alike++
		}
		words = append(words, c.say("times", "count", c.words.Whole(alike), "pack", name(i)))
		i += alike
	}
	return words
}

// edging is laid run by run.
func (c *crew) edging() {
	if len(c.quote.Takeoff.Courses) == 0 {
		return
	}
	c.part("edging", false)
	for i := range c.quote.Takeoff.Courses {
		k := &c.quote.Takeoff.Courses[i]
		spec := k.Spec
		c.under(c.say("edging_of", "id", k.Bed))
		var f facts
		f.add(c.say("fact.unit"), spec.Unit.Name)
		f.add(c.say("fact.course"), c.courseWords(&spec.Laying))
		f.add(c.say("fact.trench"), c.say("trench", "depth", c.depth(k.TrenchDepth), "width", c.depth(k.Course.TrenchWidth)))
		f.add(c.say("fact.units"), c.unitsWords(k.Course.Units))
		if spec.Laying.Joint > 0 {
			f.add(c.say("fact.joints"), c.count("joints", k.Course.Joints, "width", c.depth(spec.Laying.Joint), "length", c.length(k.Course.JointLength)))
		} else {
			f.add(c.say("fact.joints"), c.count("joints_closed", k.Course.Joints))
		}
		if spec.Fill != nil {
			f.add(c.say("fact.fill"), spec.Fill.Name)
		} else {
			f.add(c.say("fact.fill"), c.say("fill.open"))
		}
		if spec.Haunch > 0 {
			f.add(c.say("fact.haunch"), c.depth(spec.Haunch))
		}
		c.add(f.block())
		c.runs(c.say("runs.caption", "of", c.say("edging_of", "id", k.Bed)), k.Course)
	}
}

func (c *crew) courseWords(s *course.Spec) string {
	key := "course.sailor"
	if s.Kind == course.Soldier {
		key = "course.soldier"
	}
	face := "face.inside"
	if s.Face == course.FaceOutside {
		face = "face.outside"
	}
	return c.say(key) + ", " + c.say(face)
}

func (c *crew) unitsWords(u course.Units) string {
	return c.say("units.whole_cut", "whole", c.words.Whole(u.Whole), "cut", c.words.Whole(u.Cut), "total", c.words.Whole(u.Total))
}

// runs are the straights and arcs of a course, in the order of laying.
func (c *crew) runs(caption string, laid *course.Course) {
	t := c.table(caption, "run", "#laid_length*1.2", "#whole*0.8", "#cut_units*0.8", "#joint*0.8", "closers*2")
	arcs := c.table(c.say("arc_runs.caption"), "run", "#radius", "#turn*0.8", "#unit_turn*0.8", "laid_as*2.8")
	ends := c.table(c.say("ends.caption"), "run", "starts*2.5", "ends*2.5")
	for i := range laid.Runs {
		r := &laid.Runs[i]
		name := c.sideOf(r.Side, r.Corner)
		closers := ""
		if r.Closers > 0 {
			key := "closers"
			if r.Shared() {
				key = "closers_shared"
			}
			closers = c.count(key, r.Closers, "length", c.depth(r.Closer))
		}
		tick(t, name, c.length(r.RunLength), c.words.Whole(r.Units.Whole), c.words.Whole(r.Units.Cut), c.depth(r.JointWidth), closers)
		if r.Laying != course.LaidStraight {
			as := ""
			if r.Laying == course.LaidCut {
				as = c.say("laid.cut", "angle", c.angle(r.Wedge), "off", c.depth(r.Off), "short", c.depth(r.ShortFace))
			} else {
				as = c.say("laid.open", "gap", c.depth(r.Gap))
			}
			row(arcs, name, c.length(r.Radius), c.angle(r.Turn), c.angle(r.UnitTurn), as)
		}
		row(ends, name, c.end(&r.First), c.end(&r.Last))
	}
	total(t, c.say("runs.total"), "", c.words.Whole(laid.Units.Whole), c.words.Whole(laid.Units.Cut), "", "")
	c.show(t)
	c.show(arcs)
	c.show(ends)
}

// end is how a run starts or ends.
func (c *crew) end(e *course.End) string {
	keys := [...]string{course.Free: "free", course.Tangent: "tangent", course.Through: "through", course.Short: "short", course.Long: "long", course.Mitred: "mitre", course.Open: "open"}
	corner := ""
	if e.Corner != outline.None {
		corner = strconv.Itoa(e.Corner)
	}
	words := c.say("end."+keys[e.Kind], "corner", corner, "cut", c.angle(e.Cut), "gap", c.depth(e.Gap))
	if e.Corner == outline.None {
		return words
	}
	switch back := e.Back; {
	case back > measure.Millimetre/2:
		words += ", " + c.say("end.back", "length", c.depth(back))
	case back < -measure.Millimetre/2:
		words += ", " + c.say("end.beyond", "length", c.depth(-back))
	}
	return words
}

// cutList is every cut of courses and borders, with a box for each kind of piece, and the passes of the saw.
func (c *crew) cutList() {
	takeoff := c.quote.Takeoff
	passes := 0
	tables := make([]*page.Table, 0, len(takeoff.Courses)+len(takeoff.Paving))
	for i := range takeoff.Courses {
		k := &takeoff.Courses[i]
		passes += k.Course.SawPasses
		tables = append(tables, c.cuts(c.say("edging_of", "id", k.Bed), k.Spec.Unit, k.Course))
	}
	for i := range takeoff.Paving {
		p := &takeoff.Paving[i]
		passes += p.SawPasses()
		if p.Border != nil {
			tables = append(tables, c.cuts(c.say("border_of", "id", p.ID), p.Area.Border.Unit, p.Border))
		}
		tables = append(tables, c.pieces(p))
	}
	if passes == 0 {
		return
	}
	c.part("cuts", false)
	c.paragraph(c.count("saw_passes", passes))
	for _, t := range tables {
		c.show(t)
	}
	c.remark(c.say("cuts.note"))
}

var cutKeys = [...]string{course.Closer: "closer", course.Wedge: "wedge", course.Mitre: "mitre", course.Splay: "splay"}

// cuts are those of a course: pieces that are cut alike stand together, with all the runs that they are for.
func (c *crew) cuts(of string, unit *estimate.Material, laid *course.Course) *page.Table {
	type share struct {
		run   string
		count int
	}
	type cut struct {
		words []string // what it is and its measures
		runs  []share
		count int
	}
	var cuts []cut
	for i := range laid.Cuts {
		k := &laid.Cuts[i]
		words := []string{c.say("cut." + cutKeys[k.Kind]), c.angle(k.Angle), c.depth(k.Off), c.depth(k.Left), c.depth(k.Length)}
		at := slices.IndexFunc(cuts, func(x cut) bool { return slices.Equal(x.words, words) })
		if at < 0 {
			at = len(cuts)
			cuts = append(cuts, cut{words: words})
		}
		cuts[at].count += k.Count
		run := c.sideOf(k.Side, k.Corner)
		part := slices.IndexFunc(cuts[at].runs, func(x share) bool { return x.run == run })
		if part < 0 {
			part = len(cuts[at].runs)
			cuts[at].runs = append(cuts[at].runs, share{run: run})
		}
		cuts[at].runs[part].count += k.Count
	}
	t := c.table(c.say("cuts.caption", "of", of, "unit", unit.Name), "cut_kind", "#count*0.8", "#angle*0.8", "#off", "#left", "#cut_length", "for*2")
	for _, x := range cuts {
		runs := make([]string, len(x.runs))
		for i, r := range x.runs {
			if runs[i] = r.run; len(x.runs) > 1 {
				runs[i] += " (" + c.words.Whole(r.count) + ")"
			}
		}
		tick(t, x.words[0], c.words.Whole(x.count), x.words[1], x.words[2], x.words[3], x.words[4], strings.Join(runs, ", "))
	}
	return t
}

// mostPieces is how many sizes of cut pieces of a field are listed.
const mostPieces = 24

// pieces are the cut pieces of a field by the size of the rectangle round them, the most frequent first.
func (c *crew) pieces(p *estimate.PavingTakeoff) *page.Table {
	type size struct {
		words       string
		count, each int
	}
	var sizes []size
	for i := range p.Field.Pieces {
		k := &p.Field.Pieces[i]
		words := c.say("size", "length", c.depth(k.Length), "width", c.depth(k.Width))
		at := slices.IndexFunc(sizes, func(s size) bool { return s.words == words && s.each == k.SawPasses })
		if at < 0 {
			at = len(sizes)
			sizes = append(sizes, size{words: words, each: k.SawPasses})
		}
		sizes[at].count++
	}
	slices.SortStableFunc(sizes, func(a, b size) int { return cmp.Compare(b.count, a.count) })
	t := c.table(c.say("pieces.caption", "of", c.zone(p.ID), "unit", p.Area.Unit.Name), "size", "#count", "#passes_each")
	rest, others := 0, 0
	for i, s := range sizes {
		if i >= mostPieces {
			rest, others = rest+s.count, others+1
			continue
		}
		tick(t, s.words, c.words.Whole(s.count), c.words.Whole(s.each))
	}
	if others > 0 {
		tick(t, c.count("sizes_more", others), c.words.Whole(rest), "")
	}
	return t
}

// paving is where a field starts, how it runs and what it takes.
func (c *crew) paving() {
	if len(c.quote.Takeoff.Paving) == 0 {
		return
	}
	c.part("paving", false)
	for i := range c.quote.Takeoff.Paving {
		p := &c.quote.Takeoff.Paving[i]
		c.under(capital(c.zone(p.ID)))
		field := p.Field
		start := c.placed(field.Start)
		var f facts
		f.add(c.say("fact.unit"), p.Area.Unit.Name)
		f.add(c.say("fact.area"), c.area(p.Ground))
		f.add(c.say("fact.clearance"), c.depth(p.Area.Clearance))
		f.add(c.say("fact.bond"), c.oneOf("bond", p.Area.Bond))
		f.add(c.say("fact.start"), c.say("point", "x", c.length(start.X), "y", c.length(start.Y)))
		f.add(c.say("fact.direction"), c.direction(field.Direction-c.turned()))
		f.add(c.say("fact.units"), c.unitsWords(course.Units{Whole: field.Whole, Cut: field.Cut, Total: field.Whole + field.Cut}))
		f.add(c.say("fact.offcuts"), c.say("offcuts", "bought", c.words.Whole(field.Bought.Units), "n", c.words.Whole(field.Bought.FromOffcuts)))
		f.add(c.say("fact.field_joints"), c.say("field_joints", "side", c.depth(field.SideJoint), "end", c.depth(field.EndJoint)))
		if p.Area.Fill != nil {
			f.add(c.say("fact.fill"), c.say("fill.to", "name", p.Area.Fill.Name, "depth", c.depth(p.FillDepth)))
		} else {
			f.add(c.say("fact.fill"), c.say("fill.open"))
		}
		f.add(c.say("fact.passes"), c.words.Whole(p.SawPasses()))
		if field.Narrow > 0 {
			f.add(c.say("fact.narrow"), c.words.Whole(field.Narrow))
		}
		if g := p.Area.Grade.Fall; g != nil {
			f.add(c.say("fact.fall"), c.say("fall", "share", c.percent(float64(g.Rate)), "side", strconv.Itoa(g.Side)))
		}
		if p.Border != nil {
			f.add(c.say("fact.border"), p.Area.Border.Unit.Name+", "+c.courseWords(&p.Area.Border.Laying)+", "+c.unitsWords(p.Border.Units))
		}
		c.add(f.block())
		if p.Border != nil {
			c.runs(c.say("runs.caption", "of", c.say("border_of", "id", p.ID)), p.Border)
		}
	}
}

// placed is a point of the request in the coordinates of the set-out.
func (c *crew) placed(p outline.Point) outline.Point {
	if !c.quote.Job.SetOut.Stated {
		return p
	}
	return c.frame.Place(p)
}

// turned is the direction of x of the set-out in the coordinates of the request.
func (c *crew) turned() measure.Angle {
	s := &c.quote.Job.SetOut
	if !s.Stated {
		return 0
	}
	return measure.Atan2(float64(s.Towards.Y-s.Origin.Y), float64(s.Towards.X-s.Origin.X))
}

// slabs are laid group by group.
func (c *crew) slabs() {
	if len(c.quote.Takeoff.Slabs) == 0 {
		return
	}
	c.part("slabs", false)
	for i := range c.quote.Takeoff.Slabs {
		s := &c.quote.Takeoff.Slabs[i]
		c.under(capital(c.zone(s.ID)))
		at := c.placed(s.Group.At)
		var f facts
		f.add(c.say("fact.unit"), s.Group.Unit.Name)
		f.add(c.say("fact.grid"), c.count("grid", s.Grid.Units(), "rows", c.words.Whole(s.Grid.Rows), "columns", c.words.Whole(s.Grid.Columns)))
		f.add(c.say("fact.gap"), c.depth(s.Grid.Gap))
		f.add(c.say("fact.overall"), c.say("size", "length", c.length(s.Grid.Length()), "width", c.length(s.Grid.Width())))
		f.add(c.say("fact.corner"), c.say("point", "x", c.length(at.X), "y", c.length(at.Y)))
		f.add(c.say("fact.direction"), c.direction(s.Grid.Rotate-c.turned()))
		f.add(c.say("fact.clearance"), c.depth(s.Group.Clearance))
		if s.Group.Fill != nil {
			f.add(c.say("fact.fill"), s.Group.Fill.Name)
		}
		c.add(f.block())
	}
}

// planters are set and filled.
func (c *crew) planters() {
	if len(c.quote.Takeoff.Planters) == 0 {
		return
	}
	c.part("planters", false)
	t := c.table(c.say("planters.caption"), "planter", "outside*1.2", "#fill_depth_of*0.8", "#fill_volume", "#mix_mass", "mix*2.5")
	for i := range c.quote.Takeoff.Planters {
		p := &c.quote.Takeoff.Planters[i]
		mix := make([]string, len(p.Planter.Mix))
		for k, m := range p.Planter.Mix {
			mix[k] = c.say("mix"+c.form(c.number(float64(m.Parts), 2)), "parts", c.number(float64(m.Parts), 2), "material", m.Material.Name)
		}
		tick(t, p.Planter.ID, c.say("size", "length", c.length(p.Planter.Length), "width", c.length(p.Planter.Width)), c.depth(p.Planter.Fill), c.volume(p.Fill), c.mass(p.Mass), strings.Join(mix, ", "))
	}
	c.show(t)
}
