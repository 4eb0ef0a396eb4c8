// Package render shows a quote to people: as drawings, pages, sheets and calendars. It reckons nothing: every figure
// comes from the quote.
package render

import (
	"math"
	"strings"

	"bedline/api/render/drawing"
	"bedline/api/render/locale"
	"bedline/estimate"
	"bedline/estimate/bond"
	"bedline/estimate/course"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
	"bedline/pricing"
)

// The paper that a plan may take: what A4 and Letter both leave within margins of 15 mm, with room for a page's words.
const (
	planWidth  drawing.Millimetres = 180
	planHeight drawing.Millimetres = 190
	planMargin drawing.Millimetres = 16 // for dimensions round the ground
	planFoot   drawing.Millimetres = 16 // for scale bar and key, at least
	planEdge   drawing.Millimetres = 1.5
)

// How many units a plan draws with a shape of their own, and at all. Beyond the first their faces and joints are drawn
// as one shape each; beyond the second they could not be told apart on the paper, and the ground is drawn that they
// cover.
const (
	mostShapes = 3_000
	mostUnits  = 12_000
)

// Classes of the shapes of a plan, by which a program finds them.
const (
	classBed     = "bed"
	classUnit    = "unit"
	classCut     = "unit cut"
	classSlab    = "slab"
	classPaving  = "paving"
	classField   = "field"
	classJoints  = "field joints"
	classCutTile = "field cut"
	classBorder  = "border"
	classPlanter = "planter"
	classTrunk   = "trunk"
	classClear   = "clear"
	classPost    = "post"
	classRoots   = "root zone"
	classWall    = "wall"
	classStake   = "stake"
	classPivot   = "pivot"
	classSpot    = "spot level"
	classDatum   = "datum"
	classTaped   = "ordinate"
	classFall    = "fall"
)

// scales are the scales that a plan is drawn to, one to so many, without end: i from 0.
func scales(s measure.System, i int) int {
	list := []int{1, 2, 5, 10, 20, 25, 50, 100, 200, 250, 500, 1000, 2000, 5000}
	if s == measure.US { // full and half size; inches to the foot: 3, 1 1/2, 1, 3/4, 1/2, 3/8, 1/4, 3/16, 1/8, 3/32, 1/16; then engineers' scales
		list = []int{1, 2, 4, 8, 12, 16, 24, 32, 48, 64, 96, 128, 192, 240, 360, 480, 600, 1200, 2400, 6000}
	}
	if i < len(list) {
		return list[i]
	}
	scale := list[len(list)-1]
	for range i - len(list) + 1 {
		scale *= 2
	}
	return scale
}

// Plan draws what lies where, to scale: every unit in its place, cut ones marked, with sides, stakes, levels and what
// stays where it is.
func Plan(q *pricing.Quote, l *locale.Locale) *drawing.Sheet { return planOf(q, l).sheet }

// ScaleOf is the scale that the plan of a quote is drawn to: one to so many.
func ScaleOf(q *pricing.Quote, l *locale.Locale) int { return planOf(q, l).scale }

// planOf draws the plan to the largest scale at which it fits on its paper, with its key.
func planOf(q *pricing.Quote, l *locale.Locale) *planner {
	low, high := extent(q)
	for i := 0; ; i++ {
		p := newPlanner(q, l, low, high, scales(q.Job.System, i))
		if p.onPaper(high.X-low.X) > planWidth-2*planMargin || p.onPaper(high.Y-low.Y) > planHeight-2*planMargin-planFoot {
			continue
		}
		p.ground()
		p.letter()
		p.foot()
		if p.sheet.Height <= planHeight || p.onPaper(high.Y-low.Y) < planMargin {
			return p
		}
	}
}

// planner draws one plan.
type planner struct {
	quote  *pricing.Quote
	words  *locale.Locale
	sheet  *drawing.Sheet
	scale  int // one to
	low    outline.Point
	high   outline.Point
	bottom drawing.Millimetres // of the part of the sheet that shows the ground
	place  *placer

	key   []entry // of what is drawn, in order
	notes []string

	unnamedStakes, unnumberedSides int
}

func newPlanner(q *pricing.Quote, l *locale.Locale, low, high outline.Point, scale int) *planner {
	p := &planner{quote: q, words: l, low: low, high: high, scale: scale}
	p.bottom = p.onPaper(high.Y-low.Y) + 2*planMargin
	p.sheet = &drawing.Sheet{Title: l.Say("plan.title", "title", titleOf(q)), Language: l.Tag(), Width: planWidth, Height: p.bottom}
	p.sheet.Description = p.describe()
	return p
}

// titleOf is what the job is called.
func titleOf(q *pricing.Quote) string {
	if q.Job.Title == "" {
		return q.Job.Reference
	}
	return q.Job.Title
}

// describe says in words what the plan shows.
func (p *planner) describe() string {
	l, s := p.words, p.quote.Job.System
	text := []string{l.Say("plan.to_scale", "scale", l.Whole(p.scale))}
	for i := range p.quote.Takeoff.Beds {
		b := &p.quote.Takeoff.Beds[i]
		text = append(text, l.Say("plan.describe_bed", "id", b.ID, "area", l.Area(b.Area, s), "sides", l.Count("plan.sides", p.quote.Job.Beds[i].Outline.Sides()),
			"length", l.Length(b.Perimeter, s)))
	}
	for i := range p.quote.Takeoff.Courses {
		c := &p.quote.Takeoff.Courses[i]
		text = append(text, l.Say("plan.describe_edging", "id", c.Bed, "units", l.Count("units", c.Course.Units.Total), "cut", p.cutOf(c.Course.Units)))
	}
	for i := range p.quote.Takeoff.Slabs {
		g := &p.quote.Takeoff.Slabs[i]
		text = append(text, l.Say("plan.describe_slabs", "id", g.ID, "slabs", l.Count("plan.slabs", g.Grid.Units())))
	}
	for i := range p.quote.Takeoff.Paving {
		f := &p.quote.Takeoff.Paving[i]
		text = append(text, l.Say("plan.describe_paving", "id", f.ID, "area", l.Area(f.Ground, s),
			"whole", l.Count("plan.whole_units", f.Field.Whole), "cut", l.Count("plan.cut_units", f.Field.Cut)))
		if f.Border != nil {
			text = append(text, l.Say("plan.describe_border", "id", f.ID, "units", l.Count("units", f.Border.Units.Total), "cut", p.cutOf(f.Border.Units)))
		}
	}
	if n := len(p.quote.Job.Planters); n > 0 {
		text = append(text, l.Count("plan.describe_planters", n))
	}
	if n := len(p.quote.Job.Obstacles); n > 0 {
		text = append(text, l.Count("plan.describe_obstacles", n))
	}
	stakes := 0
	for i := range p.quote.Takeoff.SetOut.Parts {
		stakes += len(p.quote.Takeoff.SetOut.Parts[i].Stakes)
	}
	return strings.Join(append(text, l.Count("plan.describe_stakes", stakes)), " ")
}

// cutOf says how many units of a course are cut.
func (p *planner) cutOf(u course.Units) string {
	if u.Cut == 0 {
		return p.words.Say("plan.none_cut")
	}
	return p.words.Count("plan.of_them_cut", u.Cut)
}

// extent is the ground that the plan shows.
func extent(q *pricing.Quote) (low, high outline.Point) {
	first := true
	grow := func(a, b outline.Point) {
		if first {
			low, high, first = a, b, false
			return
		}
		low = outline.Point{X: min(low.X, a.X), Y: min(low.Y, a.Y)}
		high = outline.Point{X: max(high.X, b.X), Y: max(high.Y, b.Y)}
	}
	for i := range q.Job.Beds {
		grow(q.Job.Beds[i].Outline.Bounds())
	}
	for i := range q.Takeoff.Slabs {
		grow(q.Takeoff.Slabs[i].Grid.Footprint().Bounds())
	}
	for i := range q.Job.Paving {
		grow(q.Job.Paving[i].Outline.Bounds())
	}
	for i := range q.Job.Planters {
		grow(q.Job.Planters[i].Footprint().Bounds())
	}
	for i := range q.Takeoff.Courses {
		for _, l := range q.Takeoff.Courses[i].Course.Band {
			grow(l.Bounds())
		}
	}
	for i := range q.Job.Obstacles {
		if l := q.Job.Obstacles[i].Footprint(); l != nil {
			grow(l.Bounds())
		}
	}
	return low, high
}

// onPaper is a length at the scale of the plan.
func (p *planner) onPaper(l measure.Length) drawing.Millimetres {
	return drawing.Millimetres(float64(l) * 1000 / float64(p.scale))
}

// spot is where a point of the job lies on the sheet.
func (p *planner) spot(at outline.Point) drawing.Spot {
	middle := planWidth/2 - p.onPaper(p.high.X-p.low.X)/2
	return drawing.Spot{X: middle + p.onPaper(at.X-p.low.X), Y: planMargin + p.onPaper(p.high.Y-at.Y)}
}

// onSheet tells whether a spot is on the part of the sheet that shows the ground, so far from its edges.
func (p *planner) onSheet(s drawing.Spot, margin drawing.Millimetres) bool {
	return s.X >= planEdge+margin && s.X <= planWidth-planEdge-margin && s.Y >= planEdge+margin && s.Y <= p.bottom-margin
}

// flat is how far an arc may stand over its chord on paper and yet be drawn as that: what no printer shows.
const flat = 1e-4

// steps are a loop as steps on paper.
func (p *planner) steps(loop outline.Loop) []drawing.Step {
	steps := make([]drawing.Step, 0, len(loop)+2)
	for i, e := range loop {
		from, to := p.spot(e.From), p.spot(e.To)
		if i == 0 {
			steps = append(steps, drawing.Move(from.X, from.Y))
		}
		r := p.onPaper(e.Radius)
		if e.Straight() || math.Abs(float64(e.Turn)) < 1 && float64(r)*float64(e.Turn)*float64(e.Turn)/8 < flat {
			if i < len(loop)-1 { // closing draws the last line
				steps = append(steps, drawing.Line(to.X, to.Y))
			}
			continue
		}
		// Left on the ground is counter-clockwise on paper. Half turns, so that a full circle can be written.
		turn, parts := -float64(e.Turn)*180/float64(measure.Pi), 1
		if turn > 180 || turn < -180 {
			parts = 2
		}
		for k := range parts {
			end := to
			if k < parts-1 {
				end = p.spot(e.Point(measure.Factor(k+1) / measure.Factor(parts)))
			}
			steps = append(steps, drawing.Step{Kind: drawing.ArcTo, To: end, Centre: p.spot(e.Centre), Radius: r, Turn: turn / float64(parts)})
		}
	}
	return append(steps, drawing.Closed())
}

// region draws ground with its holes as one shape.
func (p *planner) region(loops []outline.Loop, fill drawing.Fill, ink drawing.Ink, class string) {
	shape := &drawing.Shape{Fill: fill, Ink: ink, Class: class}
	for _, l := range loops {
		shape.Steps = append(shape.Steps, p.steps(l)...)
	}
	if len(shape.Steps) > 0 {
		p.sheet.Add(shape)
	}
}

// avoid lets labels keep off the line of a loop if they can.
func (p *planner) avoid(loop outline.Loop) {
	for _, e := range loop {
		parts := 1
		if !e.Straight() {
			parts = 1 + int(math.Min(48, math.Abs(float64(e.Turn))*8))
		}
		from := p.spot(e.From)
		for k := range parts {
			to := p.spot(e.Point(measure.Factor(k+1) / measure.Factor(parts)))
			p.place.take(segment(from, to), true)
			from = to
		}
	}
}

// ground draws what is on the ground.
func (p *planner) ground() {
	p.place = newPlacer(drawing.Spot{X: planEdge, Y: planEdge}, drawing.Spot{X: planWidth - planEdge, Y: p.bottom})
	p.beds()
	p.paving()
	p.slabs()
	p.courses()
	p.planters()
	p.obstacles()
}

func (p *planner) beds() {
	for i := range p.quote.Job.Beds {
		bed := &p.quote.Job.Beds[i]
		fill, word := drawing.Ground, "plan.open_ground"
		if bed.Stone != nil {
			fill, word = drawing.Stone, "plan.stone"
		}
		p.explain(entry{fill: fill, ink: drawing.Thin, word: word})
		p.region(bed.Outline.Region(), fill, drawing.Outline, classBed)
		for _, l := range bed.Outline.Region() {
			p.avoid(l)
		}
	}
}

// drawn is how many units the plan has, slabs not counted.
func (p *planner) drawn() int {
	n := 0
	for i := range p.quote.Takeoff.Courses {
		n += p.quote.Takeoff.Courses[i].Course.Units.Total
	}
	for i := range p.quote.Takeoff.Paving {
		f := &p.quote.Takeoff.Paving[i]
		n += len(f.Field.Units)
		if f.Border != nil {
			n += f.Border.Units.Total
		}
	}
	return n
}

func (p *planner) courses() {
	for i := range p.quote.Takeoff.Courses {
		c := &p.quote.Takeoff.Courses[i]
		p.units(c.Course, c.Spec.Laying, classUnit, classCut)
	}
}

// units draws those of a course.
func (p *planner) units(c *course.Course, spec course.Spec, whole, cut string) {
	for _, l := range c.Band {
		p.avoid(l)
	}
	n := p.drawn()
	if n > mostUnits {
		p.explain(entry{fill: drawing.UnitFill, ink: drawing.Thin, word: "plan.units_together"})
		p.region(c.Band, drawing.UnitFill, drawing.Joint, whole)
		return
	}
	merge := [2]*drawing.Shape{{Fill: drawing.UnitFill, Ink: drawing.Joint, Class: whole}, {Fill: drawing.CutFill, Ink: drawing.Joint, Class: cut}}
	for _, piece := range c.Pieces(spec) {
		kind := 0
		if piece.Cut {
			kind = 1
		}
		if n > mostShapes {
			merge[kind].Steps = append(merge[kind].Steps, p.steps(piece.Loop)...)
			continue
		}
		p.region([]outline.Loop{piece.Loop}, merge[kind].Fill, drawing.Joint, merge[kind].Class)
	}
	for _, shape := range merge {
		if len(shape.Steps) > 0 {
			p.sheet.Add(shape)
		}
	}
	if c.Units.Whole > 0 {
		p.explain(entry{fill: drawing.UnitFill, ink: drawing.Thin, word: "plan.whole_unit"})
	}
	if c.Units.Cut > 0 {
		p.explain(entry{fill: drawing.CutFill, ink: drawing.Thin, word: "plan.cut_unit"})
	}
}

func (p *planner) paving() {
	n := p.drawn()
	for i := range p.quote.Takeoff.Paving {
		area := &p.quote.Takeoff.Paving[i]
		p.region(area.Area.Outline.Region(), drawing.Sand, drawing.Outline, classPaving)
		for _, l := range area.Area.Outline.Region() {
			p.avoid(l)
		}
		switch {
		case n > mostUnits:
			p.explain(entry{fill: drawing.Field, ink: drawing.Thin, word: "plan.units_together"})
			p.region(area.FieldGround, drawing.Field, drawing.Joint, classField)
		case n > mostShapes:
			p.joints(area)
		default:
			p.field(area)
		}
		for _, l := range area.Openings {
			p.avoid(l)
		}
		if area.Border != nil {
			p.units(area.Border, area.Area.Border.Laying, classBorder, classBorder+" cut")
		}
	}
}

// pieces are what is laid of some units of a field.
func pieces(area *estimate.PavingTakeoff, faces outline.Region) outline.Region {
	tract := outline.Trace([]outline.Region{faces, area.FieldGround, area.Openings}, 1, func(c outline.Cover) int {
		if c.Has(0) && c.Has(1) && !c.Has(2) {
			return 0
		}
		return outline.None
	})
	return tract[0].Loops()
}

// mostClips is how much work it may be to clip every cut unit by itself: cut units times edges of the ground. Beyond
// that all are clipped at once and drawn as one shape.
const mostClips = 200_000

// field draws every unit of a field as a shape of its own.
func (p *planner) field(area *estimate.PavingTakeoff) {
	edges := 0
	for _, l := range area.FieldGround {
		edges += len(l)
	}
	var together outline.Region
	for u := range area.Field.Units {
		rectangle := area.Field.Rectangle(u)
		if area.Field.Units[u].Pieces == 0 {
			p.region([]outline.Loop{rectangle}, drawing.Field, drawing.Joint, classField)
			continue
		}
		if area.Field.Cut*edges > mostClips {
			together = append(together, rectangle)
			continue
		}
		p.region(pieces(area, outline.Region{rectangle}), drawing.CutFill, drawing.Joint, classCutTile)
	}
	if len(together) > 0 {
		p.region(pieces(area, together), drawing.CutFill, drawing.Joint, classCutTile)
	}
	p.explainField(area.Field)
}

// joints draws a field of many units: its ground, all cut units as one shape, and of each whole one the two edges that
// its neighbours lack, as one line.
func (p *planner) joints(area *estimate.PavingTakeoff) {
	p.region(area.FieldGround, drawing.Field, drawing.NoInk, classField)
	lines := &drawing.Shape{Ink: drawing.Joint, Class: classJoints}
	var cut outline.Region
	for u := range area.Field.Units {
		rectangle := area.Field.Rectangle(u)
		if area.Field.Units[u].Pieces > 0 {
			cut = append(cut, rectangle)
			continue
		}
		a, b, c := p.spot(rectangle[0].From), p.spot(rectangle[1].From), p.spot(rectangle[2].From)
		lines.Steps = append(lines.Steps, drawing.Move(a.X, a.Y), drawing.Line(b.X, b.Y), drawing.Line(c.X, c.Y))
	}
	if len(cut) > 0 {
		p.region(pieces(area, cut), drawing.CutFill, drawing.Joint, classCutTile)
	}
	if len(lines.Steps) > 0 {
		p.sheet.Add(lines)
	}
	p.region(area.FieldGround, drawing.NoFill, drawing.Joint, classPaving+" edge")
	p.explainField(area.Field)
}

func (p *planner) explainField(f *bond.Field) {
	if f.Whole > 0 {
		p.explain(entry{fill: drawing.Field, ink: drawing.Thin, word: "plan.paving_unit"})
	}
	if f.Cut > 0 {
		p.explain(entry{fill: drawing.CutFill, ink: drawing.Thin, word: "plan.cut_unit"})
	}
}

func (p *planner) slabs() {
	for i := range p.quote.Takeoff.Slabs {
		slabs := p.quote.Takeoff.Slabs[i].Grid.Slabs()
		p.explain(entry{fill: drawing.Slab, ink: drawing.Thin, word: "plan.slab"})
		if len(slabs) > mostShapes {
			p.region(slabs, drawing.Slab, drawing.Thin, classSlab)
			continue
		}
		for _, s := range slabs {
			p.region([]outline.Loop{s}, drawing.Slab, drawing.Outline, classSlab)
			if len(slabs) < 100 {
				p.avoid(s)
			}
		}
	}
}

func (p *planner) planters() {
	for i := range p.quote.Job.Planters {
		planter := &p.quote.Job.Planters[i]
		p.region([]outline.Loop{planter.Footprint()}, drawing.Planter, drawing.Outline, classPlanter)
		p.explain(entry{fill: drawing.Planter, ink: drawing.Thin, word: "plan.planter"})
		p.avoid(planter.Footprint())
	}
}

// leastTrunk is the least radius that a trunk is drawn with, so that it is seen.
const leastTrunk drawing.Millimetres = 0.8

func (p *planner) obstacles() {
	for i := range p.quote.Takeoff.RootZones {
		p.roots(&p.quote.Takeoff.RootZones[i])
	}
	for i := range p.quote.Job.Obstacles {
		o := &p.quote.Job.Obstacles[i]
		at := p.spot(o.At)
		switch o.Kind {
		case estimate.Tree:
			if o.Clear > 0 {
				p.region([]outline.Loop{o.Footprint()}, drawing.NoFill, drawing.Hidden, classClear)
				p.explain(entry{ink: drawing.Hidden, word: "plan.kept_clear"})
			}
			r := max(leastTrunk, p.onPaper(o.Diameter/2))
			trunk := drawing.Circle(at.X, at.Y, r, drawing.Tree, drawing.Outline)
			trunk.Class = classTrunk
			p.sheet.Add(trunk)
			p.explain(entry{fill: drawing.Tree, ink: drawing.Thin, word: "plan.tree"})
			p.avoid(o.Footprint())
			p.place.take(box{at, r, r, 0}, true)
		case estimate.Post:
			p.region([]outline.Loop{o.Footprint()}, drawing.Post, drawing.Outline, classPost)
			p.explain(entry{fill: drawing.Post, ink: drawing.Thin, word: "plan.post"})
			p.avoid(o.Footprint())
		case estimate.Wall, estimate.Footing:
			if a, b, ok := p.clip(p.spot(o.From), p.spot(o.To)); ok {
				line := drawing.Rule(a.X, a.Y, b.X, b.Y, drawing.Heavy)
				line.Class = classWall
				p.sheet.Add(line)
				p.place.take(segment(a, b), true)
				p.explain(entry{ink: drawing.Heavy, word: "plan.wall_line"})
			}
		}
	}
}

// roots draws the root zone of a tree as far as it is on the sheet.
func (p *planner) roots(z *estimate.RootZone) {
	c, r := p.spot(z.Obstacle.At), p.onPaper(z.Radius)
	arcs, all := p.arcs(c, r)
	if all {
		p.notes = append(p.notes, p.words.Say("plan.all_in_root_zone", "id", obstacleName(z.Obstacle, p.words), "radius", p.words.Length(z.Radius, p.quote.Job.System)))
		return
	}
	for _, a := range arcs {
		shape := drawing.Circle(c.X, c.Y, r, drawing.NoFill, drawing.Warning)
		if a[1]-a[0] < 2*math.Pi {
			at := func(angle float64) drawing.Spot {
				return drawing.Spot{X: c.X + r*drawing.Millimetres(math.Cos(angle)), Y: c.Y + r*drawing.Millimetres(math.Sin(angle))}
			}
			middle := (a[0] + a[1]) / 2
			turn := (a[1] - a[0]) * 90 / math.Pi
			from := at(a[0])
			shape.Steps = []drawing.Step{drawing.Move(from.X, from.Y),
				{Kind: drawing.ArcTo, To: at(middle), Centre: c, Radius: r, Turn: turn}, {Kind: drawing.ArcTo, To: at(a[1]), Centre: c, Radius: r, Turn: turn}}
		}
		shape.Class = classRoots
		p.sheet.Add(shape)
		p.explain(entry{ink: drawing.Warning, word: "plan.root_zone"})
	}
}

// obstacleName is what an obstacle is called.
func obstacleName(o *estimate.Obstacle, l *locale.Locale) string {
	if o.ID != "" {
		return shortened(o.ID)
	}
	return l.Say("plan." + string(o.Kind))
}
