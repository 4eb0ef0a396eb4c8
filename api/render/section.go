package render

import (
	"cmp"
	"slices"

	"bedline/api/render/drawing"
	"bedline/api/render/locale"
	"bedline/estimate"
	"bedline/estimate/measure"
	"bedline/pricing"
)

const (
	panelGap  drawing.Millimetres = 12
	wordsLeft drawing.Millimetres = 96 // where the notes of a section begin
	groundRun drawing.Millimetres = 80 // width of the ground that a section shows
)

// mostPanels is how many sections a sheet shows; the further ones are alike or are told in the depth marks.
const mostPanels = 6

// panel is one section: layers from the finished ground down, and what stands on them.
type panel struct {
	title string
	parts []part
}

// part is a rectangle of a section in metres: x from the left, y down from the finished ground.
type part struct {
	x, y, width, height measure.Length
	fill                drawing.Fill
	note                string
}

// Section draws what lies over what: edging, slabs and paving with their layers, each to a scale of its own, depths
// measured from the finished ground.
func Section(q *pricing.Quote, l *locale.Locale) *drawing.Sheet {
	panels := panelsOf(q)
	title := q.Job.Title
	if title == "" {
		title = q.Job.Reference
	}
	sheet := &drawing.Sheet{Title: "Sections of " + title, Language: l.Tag(), Width: planWidth}
	y := drawing.Millimetres(8)
	sheet.Description = "Sections with the depth of every layer below finished ground."
	for i := range panels {
		sheet.Description += " " + panels[i].title + "."
		y = panels[i].draw(sheet, y, q.Job.System) + panelGap
	}
	if len(panels) == 0 {
		sheet.Add(&drawing.Label{At: drawing.Spot{X: 4, Y: y}, Text: "Nothing is laid on layers in this job.", Size: small, Ink: drawing.WordsInk})
		y += 8
	}
	sheet.Height = y
	return sheet
}

func panelsOf(q *pricing.Quote) []panel {
	var panels []panel
	for i := range q.Takeoff.Courses {
		c := &q.Takeoff.Courses[i]
		for k := range q.Job.Beds {
			if q.Job.Beds[k].ID == c.Bed {
				panels = append(panels, edgingPanel(q, c, &q.Job.Beds[k]))
			}
		}
	}
	for i := range q.Takeoff.Slabs {
		s := &q.Takeoff.Slabs[i]
		panels = append(panels, padPanel(q, "Slabs "+s.ID, s.Group.Unit, s.Group.Reveal, s.DigDepth, s.Group.Base, s.BaseDepth, s.Group.Sand, s.SandDepth))
	}
	for i := range q.Takeoff.Paving {
		p := &q.Takeoff.Paving[i]
		panels = append(panels, padPanel(q, "Paving "+p.ID, p.Area.Unit, p.Area.Reveal, p.DigDepth, p.Area.Base, p.BaseDepth, p.Area.Sand, p.SandDepth))
	}
	if len(panels) == 0 {
		for i := range q.Job.Beds {
			if b := &q.Job.Beds[i]; b.Stone != nil {
				panels = append(panels, panel{title: "Bed " + b.ID, parts: bedParts(q, b, 0, 12*measure.Inch)})
			}
		}
	}
	return panels[:min(len(panels), mostPanels)]
}

// bedParts are the layers of a bed over a width.
func bedParts(q *pricing.Quote, bed *estimate.Bed, x, width measure.Length) []part {
	s := q.Job.System
	var parts []part
	if bed.Stone != nil {
		// The stone fills the bed to its depth, from what is dug upwards.
		top := bed.Dig - bed.Stone.Depth
		parts = append(parts, part{x, top, width, bed.Stone.Depth, drawing.Stone, bed.Stone.Material.Name + ", " + measure.FormatLength(bed.Stone.Depth, s)})
	}
	if bed.Fabric != nil {
		parts = append(parts, part{x, bed.Dig, width, 0, drawing.Fabric, bed.Fabric.Material.Name})
	}
	return parts
}

func edgingPanel(q *pricing.Quote, c *estimate.CourseTakeoff, bed *estimate.Bed) panel {
	s := q.Job.System
	spec := c.Spec
	wide, thick, clear := spec.Laying.Width(), spec.Unit.Thickness, spec.Laying.Clearance
	lawn := 6 * measure.Inch
	trench := lawn - clear
	unit := lawn
	p := panel{title: "Edging of bed " + c.Bed + ", " + measure.FormatLength(c.TrenchDepth, s) + " deep, " + measure.FormatLength(c.TrenchWidth, s) + " wide"}
	bottom := c.TrenchDepth
	p.parts = append(p.parts, bedParts(q, bed, unit+wide, 10*measure.Inch)...)
	if c.BaseDepth > 0 && spec.Base != nil {
		p.parts = append(p.parts, part{trench, bottom - c.BaseDepth, c.TrenchWidth, c.BaseDepth, drawing.Base,
			spec.Base.Material.Name + ", " + measure.FormatLength(c.BaseDepth, s) + " compacted"})
	}
	if c.SandDepth > 0 && spec.Sand != nil {
		p.parts = append(p.parts, part{trench, bottom - c.BaseDepth - c.SandDepth, c.TrenchWidth, c.SandDepth, drawing.Sand,
			spec.Sand.Material.Name + ", " + measure.FormatLength(c.SandDepth, s)})
	}
	p.parts = append(p.parts, part{unit, -spec.Reveal, wide, thick, drawing.UnitFill, spec.Unit.Name + standing(spec.Reveal, s)})
	return p
}

// standing says how far something stands above the finished ground.
func standing(reveal measure.Length, s measure.System) string {
	if reveal == 0 {
		return ", level with the ground"
	}
	return ", " + measure.FormatLength(reveal, s) + " above the ground"
}

func padPanel(q *pricing.Quote, what string, unit *estimate.Material, reveal, dug measure.Length, base *estimate.Layer, baseDepth measure.Length, sand *estimate.Layer, sandDepth measure.Length) panel {
	s := q.Job.System
	left, wide := 4*measure.Inch, 2*unit.Length
	p := panel{title: what + ", " + measure.FormatLength(dug, s) + " deep"}
	if base != nil && baseDepth > 0 {
		p.parts = append(p.parts, part{left, dug - baseDepth, wide, baseDepth, drawing.Base, base.Material.Name + ", " + measure.FormatLength(baseDepth, s) + " compacted"})
	}
	if sand != nil && sandDepth > 0 {
		p.parts = append(p.parts, part{left, dug - baseDepth - sandDepth, wide, sandDepth, drawing.Sand, sand.Material.Name + ", " + measure.FormatLength(sandDepth, s)})
	}
	p.parts = append(p.parts,
		part{left, -reveal, unit.Length, unit.Thickness, drawing.Slab, unit.Name + standing(reveal, s)},
		part{left + unit.Length, -reveal, unit.Length, unit.Thickness, drawing.Slab, ""})
	return p
}

// draw puts the panel on the sheet from y on and gives where it ends.
func (p *panel) draw(sheet *drawing.Sheet, y drawing.Millimetres, s measure.System) drawing.Millimetres {
	sheet.Add(&drawing.Label{At: drawing.Spot{X: 4, Y: y}, Text: p.title, Size: 3.2, Bold: true, Ink: drawing.WordsInk})
	var right, top, bottom measure.Length
	for _, r := range p.parts {
		right, top, bottom = max(right, r.x+r.width), min(top, r.y), max(bottom, r.y+r.height)
	}
	right += 3 * measure.Inch
	scale := float64(groundRun) / float64(right)
	if deep := float64(bottom - top); deep > 0 {
		scale = min(scale, 60/deep)
	}
	mm := func(l measure.Length) drawing.Millimetres { return drawing.Millimetres(float64(l) * scale) }
	level := y + 6 + mm(-top)
	under := level + mm(bottom) + 5
	sheet.Add(drawing.Rectangle(4, level, groundRun, under-level, drawing.Subgrade, drawing.NoInk))
	for _, r := range p.parts {
		shape := drawing.Rectangle(4+mm(r.x), level+mm(r.y), mm(r.width), max(mm(r.height), 0.8), r.fill, drawing.Outline)
		if r.height == 0 {
			shape.Ink = drawing.Thin
		}
		sheet.Add(shape)
	}
	sheet.Add(drawing.Rule(2, level, 4+groundRun+2, level, drawing.Hidden))
	// Notes on the right, from the top of the section down, each with a line to what it speaks of.
	row := y + 7
	note := func(text string, at drawing.Spot) {
		sheet.Add(drawing.Rule(at.X, at.Y, wordsLeft-2, row-0.9, drawing.Thin),
			drawing.Circle(at.X, at.Y, 0.5, drawing.Ink100, drawing.NoInk),
			&drawing.Label{At: drawing.Spot{X: wordsLeft, Y: row}, Text: text, Size: small, Ink: drawing.WordsInk})
		row += 4.4
	}
	type word struct {
		text string
		at   drawing.Spot
	}
	words := []word{{"finished ground", drawing.Spot{X: 4 + groundRun, Y: level}}}
	for _, r := range p.parts {
		if r.note != "" {
			words = append(words, word{r.note, drawing.Spot{X: 4 + mm(r.x+r.width) - 1.5, Y: level + mm(r.y) + max(mm(r.height), 0.8)/2}})
		}
	}
	words = append(words, word{"formation, " + measure.FormatLength(bottom, s) + " below", drawing.Spot{X: 8, Y: level + mm(bottom)}})
	slices.SortStableFunc(words, func(a, b word) int { return cmp.Compare(a.at.Y, b.at.Y) })
	for _, w := range words {
		note(w.text, w.at)
	}
	return max(under, row)
}
