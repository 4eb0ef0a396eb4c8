package render

import (
	"cmp"
	"slices"
	"strings"

	"bedline/api/render/drawing"
	"bedline/api/render/locale"
	"bedline/estimate"
	"bedline/estimate/measure"
	"bedline/pricing"
)

const (
	panelGap   drawing.Millimetres = 9
	groundLeft drawing.Millimetres = 26  // where the ground of a section begins; the depth marks are left of it
	groundRun  drawing.Millimetres = 70  // width of the ground that a section shows
	wordsLeft  drawing.Millimetres = 105 // where the notes of a section begin
	wordsRun   drawing.Millimetres = planWidth - planEdge - wordsLeft
	noteGap    drawing.Millimetres = 4.2
	markGap    drawing.Millimetres = 3.1
)

// mostPanels is how many sections a sheet shows; the further ones are told in the depth marks.
const mostPanels = 6

// The least that a layer is drawn high, so that a cloth is seen.
const clothHigh drawing.Millimetres = 0.8

// panel is one section: layers from the finished ground down, and what stands on them.
type panel struct {
	key   string   // of the message of its title
	ids   []string // of what it is a section of
	title []string // further values of the message
	parts []part
	marks []measure.Length // depths below the finished ground, from the top down
	lifts []measure.Length // tops of lifts of base

	beyond measure.Length // ground shown to the right of what does not go on there
}

// part is a rectangle of a section in metres: x from the left, y down from the finished ground. A fillet is the triangle
// below the diagonal from its upper left corner.
type part struct {
	x, y, width, height measure.Length
	fill                drawing.Fill
	class               string
	note                string
	fillet              bool
}

// Section draws what lies over what: edging, beds, slabs, paving and planters with their layers, each to a scale of its
// own, depths measured from the finished ground.
func Section(q *pricing.Quote, l *locale.Locale) *drawing.Sheet {
	s := &sectioner{quote: q, words: l}
	s.sheet = &drawing.Sheet{Title: l.Say("section.title", "title", titleOf(q)), Language: l.Tag(), Width: planWidth}
	panels := s.panels()
	description := []string{l.Say("section.describe")}
	y := drawing.Millimetres(7)
	for i := range panels[:min(len(panels), mostPanels)] {
		description = append(description, s.titleOf(&panels[i])+".")
		for k := range panels[i].parts {
			if n := panels[i].parts[k].note; n != "" {
				description = append(description, n+".")
			}
		}
		y = s.draw(&panels[i], y) + panelGap
	}
	if n := len(panels) - mostPanels; n > 0 {
		y = s.remark(l.Count("section.further", n), y)
	}
	if len(panels) == 0 {
		y = s.remark(l.Say("section.none"), y)
		description = append(description, l.Say("section.none"))
	}
	s.sheet.Description = strings.Join(description, " ")
	s.sheet.Height = y - panelGap + 5
	return s.sheet
}

// sectioner draws the sections of a quote.
type sectioner struct {
	quote *pricing.Quote
	words *locale.Locale
	sheet *drawing.Sheet
}

func (s *sectioner) remark(text string, y drawing.Millimetres) drawing.Millimetres {
	for _, line := range wrapped(text, small, noteWide) {
		s.sheet.Add(&drawing.Label{At: drawing.Spot{X: 4, Y: y}, Text: line, Size: small, Ink: drawing.WordsInk})
		y += noteGap
	}
	return y + panelGap - noteGap
}

func (s *sectioner) length(l measure.Length) string { return s.words.Depth(l, s.quote.Job.System) }

func (s *sectioner) titleOf(p *panel) string {
	ids := make([]string, len(p.ids))
	for i, id := range p.ids {
		ids[i] = shortened(id)
	}
	if len(ids) > 5 {
		ids = append(ids[:5], "…")
	}
	return s.words.Say(p.key, append([]string{"id", strings.Join(ids, ", ")}, p.title...)...)
}

// panels are all sections; those that are alike are one.
func (s *sectioner) panels() []panel {
	q := s.quote
	var panels []panel
	add := func(p panel) {
		for i := range panels {
			o := &panels[i]
			if o.key == p.key && slices.Equal(o.title, p.title) && slices.Equal(o.parts, p.parts) && slices.Equal(o.marks, p.marks) && slices.Equal(o.lifts, p.lifts) {
				o.ids = append(o.ids, p.ids...)
				return
			}
		}
		panels = append(panels, p)
	}
	for i := range q.Job.Beds {
		bed := &q.Job.Beds[i]
		edged := false
		for k := range q.Takeoff.Courses {
			if c := &q.Takeoff.Courses[k]; c.Bed == bed.ID {
				edged = true
				add(s.edging(c, bed))
			}
		}
		if !edged && (bed.Stone != nil || bed.Dig > 0) {
			p := panel{key: "section.bed", ids: []string{bed.ID}, title: []string{"depth", s.length(bed.Dig)}, parts: s.bed(bed, lawn, 20*measure.Inch)}
			if bed.Dig == 0 {
				p.key = "section.undug_bed"
			}
			s.gauge(&p, bed.ID)
			add(p)
		}
	}
	for i := range q.Takeoff.Slabs {
		t := &q.Takeoff.Slabs[i]
		add(s.pad("section.slabs", t.ID, t.Group.Unit, t.Group.Reveal, t.DigDepth, t.Group.Clearance, t.Group.Base, t.BaseDepth, t.Group.Sand, t.SandDepth))
	}
	for i := range q.Takeoff.Paving {
		t := &q.Takeoff.Paving[i]
		add(s.pad("section.paving", t.ID, t.Area.Unit, t.Area.Reveal, t.DigDepth, t.Area.Clearance, t.Area.Base, t.BaseDepth, t.Area.Sand, t.SandDepth))
	}
	for i := range q.Job.Planters {
		add(s.planter(&q.Job.Planters[i]))
	}
	return panels
}

// gauge takes the depth marks of the diggings of a zone.
func (s *sectioner) gauge(p *panel, zone string) {
	for i := range s.quote.Takeoff.SetOut.Gauges {
		g := &s.quote.Takeoff.SetOut.Gauges[i]
		if g.Zone != zone {
			continue
		}
		for _, m := range g.Marks {
			p.marks = append(p.marks, m.Down)
			if m.Kind == estimate.TopOfLift {
				p.lifts = append(p.lifts, m.Down)
			}
		}
	}
	slices.Sort(p.marks)
	p.marks = slices.CompactFunc(p.marks, func(a, b measure.Length) bool { return max(a, b)-min(a, b) < measure.Millimetre/10 })
}

// classOpen is where ground is dug and nothing comes back.
const classOpen = "open"

// lawn is how much of the ground beside the digging a section shows.
const lawn = 4 * measure.Inch

// bed are the layers of a bed over a width, at the end of which it goes on.
func (s *sectioner) bed(bed *estimate.Bed, x, width measure.Length) []part {
	var parts []part
	if bed.Stone != nil {
		if low := bed.Dig - bed.Stone.Depth; low > 0 { // nothing comes back on stone that lies below the finished ground
			parts = append(parts, part{x: x, width: width, height: low, fill: drawing.Paper, class: classOpen})
		}
		// The stone fills the bed to its depth, from what is dug upwards.
		parts = append(parts, part{x: x, y: bed.Dig - bed.Stone.Depth, width: width, height: bed.Stone.Depth, fill: drawing.Stone, class: "stone",
			note: s.words.Say("section.layer", "material", bed.Stone.Material.Name, "depth", s.length(bed.Stone.Depth))})
	} else if bed.Dig > 0 {
		parts = append(parts, part{x: x, width: width, height: bed.Dig, fill: drawing.Ground, class: "dug", note: s.words.Say("section.dug", "depth", s.length(bed.Dig))})
	}
	if bed.Fabric != nil {
		parts = append(parts, part{x: x, y: bed.Dig, width: width, fill: drawing.Fabric, class: "fabric", note: bed.Fabric.Material.Name})
	}
	return parts
}

func (s *sectioner) edging(c *estimate.CourseTakeoff, bed *estimate.Bed) panel {
	spec := c.Spec
	wide, thick, clear := spec.Laying.Width(), spec.Unit.Thickness, spec.Laying.Clearance
	trench := lawn
	unit := trench + clear
	p := panel{key: "section.edging", ids: []string{c.Bed}, title: []string{"depth", s.length(c.TrenchDepth), "width", s.length(c.TrenchWidth)}}
	p.parts = s.layers(trench, c.TrenchWidth, c.TrenchDepth, spec.Base, c.BaseDepth, spec.Sand, c.SandDepth)
	p.parts = append(p.parts, s.bed(bed, unit+wide, max(8*measure.Inch, clear+3*measure.Inch))...)
	p.parts = append(p.parts, part{x: unit, y: -spec.Reveal, width: wide, height: thick, fill: drawing.UnitFill, class: "unit", note: s.standing(spec.Unit, spec.Reveal)})
	if spec.Haunch > 0 && spec.Fill != nil {
		// Against the bed side of the unit, its foot on the sand.
		p.parts = append(p.parts, part{x: unit + wide, y: thick - spec.Reveal - spec.Haunch, width: spec.Haunch, height: spec.Haunch, fill: drawing.Paper, class: "haunch", fillet: true,
			note: s.words.Say("section.haunch", "material", spec.Fill.Name, "depth", s.length(spec.Haunch))})
	}
	s.gauge(&p, c.Bed)
	return p
}

// layers are the base and the sand of a digging, from its bottom up.
func (s *sectioner) layers(x, width, bottom measure.Length, base *estimate.Layer, baseDepth measure.Length, sand *estimate.Layer, sandDepth measure.Length) []part {
	var parts []part
	if base != nil && baseDepth > 0 {
		parts = append(parts, part{x: x, y: bottom - baseDepth, width: width, height: baseDepth, fill: drawing.Base, class: "base",
			note: s.words.Say("section.compacted", "material", base.Material.Name, "depth", s.length(baseDepth))})
	}
	if sand != nil && sandDepth > 0 {
		parts = append(parts, part{x: x, y: bottom - baseDepth - sandDepth, width: width, height: sandDepth, fill: drawing.Sand, class: "sand",
			note: s.words.Say("section.layer", "material", sand.Material.Name, "depth", s.length(sandDepth))})
	}
	return parts
}

// standing names a unit and says how far it stands above the finished ground.
func (s *sectioner) standing(unit *estimate.Material, reveal measure.Length) string {
	switch {
	case reveal == 0:
		return s.words.Say("section.level", "unit", unit.Name)
	case reveal < 0:
		return s.words.Say("section.below", "unit", unit.Name, "length", s.length(-reveal))
	}
	return s.words.Say("section.above", "unit", unit.Name, "length", s.length(reveal))
}

func (s *sectioner) pad(key, id string, unit *estimate.Material, reveal, dug, clear measure.Length, base *estimate.Layer, baseDepth measure.Length, sand *estimate.Layer, sandDepth measure.Length) panel {
	p := panel{key: key, ids: []string{id}, title: []string{"depth", s.length(dug)}}
	// The edge of the pad, one unit and the next, as far as there is room; the pad goes on to the right.
	run := min(2*unit.Length, max(18*measure.Inch, clear+6*measure.Inch))
	p.parts = s.layers(lawn, clear+run, dug, base, baseDepth, sand, sandDepth)
	first := part{x: lawn + clear, y: -reveal, width: min(unit.Length, run), height: unit.Thickness, fill: drawing.Slab, class: "slab"}
	last := &first
	second := first
	if run > unit.Length {
		second.x, second.width = second.x+unit.Length, run-unit.Length
		last = &second
	}
	last.note = s.standing(unit, reveal)
	p.parts = append(p.parts, first)
	if last == &second {
		p.parts = append(p.parts, second)
	}
	s.gauge(&p, id)
	return p
}

func (s *sectioner) planter(t *estimate.Planter) panel {
	p := panel{key: "section.planter", ids: []string{t.ID}, title: []string{"depth", s.length(t.Fill)}}
	mix := make([]string, len(t.Mix))
	for i, m := range t.Mix {
		mix[i] = m.Material.Name
		if len(t.Mix) > 1 {
			mix[i] = s.words.Say("section.mix_part", "parts", measure.FormatNumber(float64(m.Parts), 2), "material", m.Material.Name)
		}
	}
	left := lawn
	wall := part{x: left, y: -t.Fill, width: t.Wall, height: t.Fill, fill: drawing.Planter, class: "wall"}
	soil := part{x: left + t.Wall, y: -t.Fill, width: t.Width - 2*t.Wall, height: t.Fill, fill: drawing.Subgrade, class: "soil",
		note: s.words.Say("section.layer", "material", strings.Join(mix, ", "), "depth", s.length(t.Fill))}
	far := wall
	far.x += t.Width - t.Wall
	if t.Wall > 0 {
		far.note = s.words.Say("section.wall", "thickness", s.length(t.Wall))
		p.parts = append(p.parts, wall, far)
	}
	p.parts = append(p.parts, soil)
	p.beyond = lawn
	return p
}

// scaleFor is the scale of a panel and the ground that it shows.
func (s *sectioner) scaleFor(p *panel) (scale int, right, top, bottom measure.Length) {
	for _, r := range p.parts {
		right, top, bottom = max(right, r.x+r.width), min(top, r.y), max(bottom, r.y+r.height)
	}
	right += p.beyond
	for i := 0; ; i++ {
		scale = scales(s.quote.Job.System, i)
		if float64(right)*1000/float64(scale) <= float64(groundRun) && float64(bottom-top)*1000/float64(scale) <= 55 {
			return scale, right, top, bottom
		}
	}
}

// draw puts a panel on the sheet from y on and gives where it ends.
func (s *sectioner) draw(p *panel, y drawing.Millimetres) drawing.Millimetres {
	scale, right, top, bottom := s.scaleFor(p)
	title := s.words.Say("section.panel", "section", s.titleOf(p), "scale", s.words.Whole(scale))
	for _, line := range wrapped(title, 3.2*1.12, noteWide) {
		s.sheet.Add(&drawing.Label{At: drawing.Spot{X: 4, Y: y}, Text: line, Size: 3.2, Bold: true, Ink: drawing.WordsInk})
		y += 4.6
	}
	mm := func(l measure.Length) drawing.Millimetres {
		return drawing.Millimetres(float64(l) * 1000 / float64(scale))
	}
	level := y + 1.5 + mm(-top)
	end := level + mm(bottom) + 5
	s.sheet.Add(&drawing.Shape{Steps: drawing.Rectangle(groundLeft, level, mm(right), end-level, drawing.Subgrade, drawing.NoInk).Steps, Fill: drawing.Subgrade, Class: "subgrade"})
	for i := range p.parts {
		s.part(&p.parts[i], level, mm)
	}
	for _, l := range p.lifts {
		for i := range p.parts {
			if b := &p.parts[i]; b.class == "base" && l > b.y && l < b.y+b.height {
				line := drawing.Rule(groundLeft+mm(b.x), level+mm(l), groundLeft+mm(b.x+b.width), level+mm(l), drawing.Hidden)
				line.Class = "lift"
				s.sheet.Add(line)
			}
		}
	}
	s.sheet.Add(drawing.Rule(groundLeft-2, level, groundLeft+mm(right)+2, level, drawing.Hidden))
	low := s.ruler(p, level, mm)
	return max(end, low, s.notes(p, y, level, right, bottom, mm))
}

func (s *sectioner) part(r *part, level drawing.Millimetres, mm func(measure.Length) drawing.Millimetres) {
	x, y := groundLeft+mm(r.x), level+mm(r.y)
	shape := drawing.Rectangle(x, y, mm(r.width), mm(r.height), r.fill, drawing.Outline)
	if r.height == 0 {
		shape = drawing.Rectangle(x, y, mm(r.width), clothHigh, r.fill, drawing.Thin)
	}
	if r.fillet {
		shape.Steps = []drawing.Step{drawing.Move(x, y), drawing.Line(x+mm(r.width), y+mm(r.height)), drawing.Line(x, y+mm(r.height)), drawing.Closed()}
	}
	if r.class == classOpen {
		shape.Ink = drawing.NoInk
	}
	shape.Class = r.class
	s.sheet.Add(shape)
}

// ruler writes the depth marks beside the ground and gives where they end.
func (s *sectioner) ruler(p *panel, level drawing.Millimetres, mm func(measure.Length) drawing.Millimetres) drawing.Millimetres {
	if len(p.marks) == 0 {
		return level
	}
	right := groundLeft - 1.5
	first, last := level+mm(p.marks[0]), level+mm(p.marks[len(p.marks)-1])
	ticks := &drawing.Shape{Ink: drawing.Measure, Class: "depth mark", Steps: []drawing.Step{drawing.Move(right, first), drawing.Line(right, last)}}
	row := first - markGap
	for _, m := range p.marks {
		at := level + mm(m)
		row = max(row+markGap, at)
		ticks.Steps = append(ticks.Steps, drawing.Move(right+1.2, at), drawing.Line(right-1.2, at), drawing.Line(right-3, row))
		s.sheet.Add(&drawing.Label{At: drawing.Spot{X: right - 3.4, Y: row + 0.8}, Text: s.length(m), Size: tiny, Anchor: drawing.End, Ink: drawing.WordsInk})
	}
	s.sheet.Add(ticks)
	return row + 2
}

// dotGap is how far the lines to two parts are apart at least, if they can be.
const dotGap drawing.Millimetres = 1.1

// dots are where the lines of the notes begin, by part: on what is seen of it, each at a height of its own, so that no
// two lines run into each other. The thinnest parts choose first. Lines at the given heights are there already.
func (p *panel) dots(level, under drawing.Millimetres, mm func(measure.Length) drawing.Millimetres) []drawing.Spot {
	type area struct{ left, top, right, bottom drawing.Millimetres }
	areas := make([]area, len(p.parts))
	dots := make([]drawing.Spot, len(p.parts))
	taken := []drawing.Millimetres{level, under}
	var order []int
	for i := range p.parts {
		r := &p.parts[i]
		a := area{left: groundLeft + mm(r.x), top: level + mm(r.y)}
		a.right, a.bottom = a.left+mm(r.width), a.top+max(mm(r.height), clothHigh)
		areas[i] = a
		switch {
		case r.note == "":
		case r.fillet:
			dots[i] = drawing.Spot{X: groundLeft + mm(r.x+r.width/3), Y: level + mm(r.y+r.height*2/3)}
			taken = append(taken, dots[i].Y)
		default:
			order = append(order, i)
		}
	}
	seen := func(i int, at drawing.Spot) bool {
		const air = 0.4
		for k := i + 1; k < len(areas); k++ {
			if o := &areas[k]; at.X > o.left-air && at.X < o.right+air && at.Y > o.top-air && at.Y < o.bottom+air {
				return false
			}
		}
		return true
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(areas[a].bottom-areas[a].top, areas[b].bottom-areas[b].top) })
	for _, i := range order {
		a := &areas[i]
		edge := min(1.5, (a.right-a.left)/2)
		best := drawing.Millimetres(-1)
		for _, share := range [...]drawing.Millimetres{0.5, 0.35, 0.65, 0.2, 0.8} {
			for x := a.right - edge; x >= a.left+edge-1e-9 && best < dotGap; x -= 1.5 {
				at := drawing.Spot{X: x, Y: a.top + share*(a.bottom-a.top)}
				gap := planHeight
				for _, y := range taken {
					gap = min(gap, max(y-at.Y, at.Y-y))
				}
				if !seen(i, at) {
					gap = 0
				}
				if gap > best {
					best, dots[i] = gap, at
				}
			}
		}
		taken = append(taken, dots[i].Y)
	}
	return dots
}

// notes writes what everything is, on the right from the top of the section down, each with a line to what it speaks of.
func (s *sectioner) notes(p *panel, y, level drawing.Millimetres, right, bottom measure.Length, mm func(measure.Length) drawing.Millimetres) drawing.Millimetres {
	type word struct {
		text string
		at   drawing.Spot
	}
	words := []word{{s.words.Say("section.finished_ground"), drawing.Spot{X: groundLeft + mm(right) + 2, Y: level}}}
	under := level + mm(bottom) + 2.5
	dots := p.dots(level, under, mm)
	for i := range p.parts {
		if note := p.parts[i].note; note != "" {
			words = append(words, word{note, dots[i]})
		}
	}
	if bottom > 0 {
		words = append(words, word{s.words.Say("section.formation", "depth", s.length(bottom)), drawing.Spot{X: groundLeft + mm(right) - 3, Y: under}})
	}
	slices.SortStableFunc(words, func(a, b word) int { return cmp.Compare(a.at.Y, b.at.Y) })
	row := y
	const bend = groundLeft + groundRun + 2
	for _, w := range words {
		row = max(row, w.at.Y+0.9)
		s.sheet.Add(&drawing.Shape{Ink: drawing.Thin, Steps: []drawing.Step{
			drawing.Move(w.at.X, w.at.Y), drawing.Line(max(bend, w.at.X), w.at.Y), drawing.Line(wordsLeft-1.5, row-0.9)}},
			drawing.Circle(w.at.X, w.at.Y, 0.5, drawing.Ink100, drawing.NoInk))
		for _, line := range wrapped(w.text, small, wordsRun) {
			s.sheet.Add(&drawing.Label{At: drawing.Spot{X: wordsLeft, Y: row}, Text: line, Size: small, Ink: drawing.WordsInk})
			row += noteGap - 0.8
		}
		row += 0.8
	}
	return row - noteGap + 1
}

// ScalesOf are the scales of the sections of a quote, in their order: one to so many.
func ScalesOf(q *pricing.Quote, l *locale.Locale) []int {
	s := &sectioner{quote: q, words: l}
	panels := s.panels()
	out := make([]int, min(len(panels), mostPanels))
	for i := range out {
		out[i], _, _, _ = s.scaleFor(&panels[i])
	}
	return out
}
