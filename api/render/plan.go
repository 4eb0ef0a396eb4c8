// Package render shows a quote to people: as drawings, pages, sheets and calendars. It reckons nothing: every figure
// comes from the quote.
package render

import (
	"strconv"

	"bedline/api/render/drawing"
	"bedline/api/render/locale"
	"bedline/estimate"
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
	planFoot   drawing.Millimetres = 16 // for scale bar and key
)

// Classes of the shapes of a plan, by which a program finds them.
const (
	classBed     = "bed"
	classUnit    = "unit"
	classCut     = "unit cut"
	classSlab    = "slab"
	classField   = "field"
	classCutTile = "field cut"
	classBorder  = "border"
	classPlanter = "planter"
)

// scales are the scales that a plan is drawn to: one to so many.
func scales(s measure.System) []int {
	if s == measure.US { // inches to the foot: 3, 1 1/2, 1, 3/4, 1/2, 3/8, 1/4, 3/16, 1/8, 3/32, 1/16; then engineers' scales
		return []int{4, 8, 12, 16, 24, 32, 48, 64, 96, 128, 192, 240, 360, 480, 600, 1200, 2400, 6000, 12000, 60000, 120000, 1200000}
	}
	return []int{5, 10, 20, 25, 50, 100, 200, 250, 500, 1000, 2000, 5000, 10000, 50000, 100000, 1000000}
}

// Plan draws what lies where, to scale: every unit in its place, cut ones marked, with sides and stakes.
func Plan(q *pricing.Quote, l *locale.Locale) *drawing.Sheet {
	p := newPlanner(q, l)
	p.beds()
	p.paving()
	p.slabs()
	p.courses()
	p.planters()
	p.obstacles()
	p.sides()
	p.stakes()
	p.foot()
	return p.sheet
}

// planner draws one plan.
type planner struct {
	quote *pricing.Quote
	words *locale.Locale
	sheet *drawing.Sheet
	scale int // one to
	low   outline.Point
	high  outline.Point
	top   drawing.Millimetres
	used  []entry // of the key
}

type entry struct {
	fill drawing.Fill
	word string
}

func newPlanner(q *pricing.Quote, l *locale.Locale) *planner {
	p := &planner{quote: q, words: l}
	p.low, p.high = extent(q)
	all := scales(q.Job.System)
	p.scale = all[len(all)-1]
	for _, s := range all {
		if p.onPaper(p.high.X-p.low.X, s) <= planWidth-2*planMargin && p.onPaper(p.high.Y-p.low.Y, s) <= planHeight-2*planMargin-planFoot {
			p.scale = s
			break
		}
	}
	height := p.onPaper(p.high.Y-p.low.Y, p.scale) + 2*planMargin + planFoot
	p.top = planMargin
	title := q.Job.Title
	if title == "" {
		title = q.Job.Reference
	}
	p.sheet = &drawing.Sheet{Title: "Plan of " + title, Description: p.describe(), Language: l.Tag(), Width: planWidth, Height: height}
	return p
}

// describe says in words what the plan shows.
func (p *planner) describe() string {
	text := "Plan to scale, one to " + strconv.Itoa(p.scale) + "."
	for i := range p.quote.Takeoff.Beds {
		b := &p.quote.Takeoff.Beds[i]
		text += " Bed " + b.ID + ", " + strconv.Itoa(p.quote.Job.Beds[i].Outline.Sides()) + " sides."
	}
	for i := range p.quote.Takeoff.Courses {
		c := &p.quote.Takeoff.Courses[i]
		text += " Edging of bed " + c.Bed + ": " + strconv.Itoa(c.Course.Units.Total) + " units, " + strconv.Itoa(c.Course.Units.Cut) + " of them cut."
	}
	for i := range p.quote.Takeoff.Paving {
		f := &p.quote.Takeoff.Paving[i]
		text += " Paved area " + f.ID + ": " + strconv.Itoa(f.Field.Whole) + " whole units and " + strconv.Itoa(f.Field.Cut) + " cut ones."
	}
	return text
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

// onPaper is a length at a scale of one to so many.
func (p *planner) onPaper(l measure.Length, scale int) drawing.Millimetres {
	return drawing.Millimetres(float64(l) * 1000 / float64(scale))
}

// spot is where a point of the job lies on the sheet.
func (p *planner) spot(at outline.Point) drawing.Spot {
	middle := planWidth/2 - p.onPaper(p.high.X-p.low.X, p.scale)/2
	return drawing.Spot{X: middle + p.onPaper(at.X-p.low.X, p.scale), Y: p.top + p.onPaper(p.high.Y-at.Y, p.scale)}
}

// steps are a loop as steps on paper.
func (p *planner) steps(loop outline.Loop) []drawing.Step {
	steps := make([]drawing.Step, 0, len(loop)+2)
	for i, e := range loop {
		from, to := p.spot(e.From), p.spot(e.To)
		if i == 0 {
			steps = append(steps, drawing.Move(from.X, from.Y))
		}
		if e.Straight() {
			steps = append(steps, drawing.Line(to.X, to.Y))
			continue
		}
		c, r := p.spot(e.Centre), p.onPaper(e.Radius, p.scale)
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
			steps = append(steps, drawing.Step{Kind: drawing.ArcTo, To: end, Centre: c, Radius: r, Turn: turn / float64(parts)})
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
	p.sheet.Add(shape)
}

// mark notes a fill for the key, once.
func (p *planner) mark(fill drawing.Fill, word string) {
	for _, e := range p.used {
		if e.fill == fill {
			return
		}
	}
	p.used = append(p.used, entry{fill, word})
}

func (p *planner) beds() {
	for i := range p.quote.Job.Beds {
		bed := &p.quote.Job.Beds[i]
		fill, word := drawing.Ground, "open ground"
		if bed.Stone != nil {
			fill, word = drawing.Stone, "decorative stone"
		}
		p.mark(fill, word)
		p.region(bed.Outline.Region(), fill, drawing.Outline, classBed)
	}
}

func (p *planner) courses() {
	for i := range p.quote.Takeoff.Courses {
		c := &p.quote.Takeoff.Courses[i]
		p.pieces(c.Course.Pieces(c.Spec.Laying), classUnit, classCut)
	}
}

func (p *planner) pieces(pieces []course.Piece, whole, cut string) {
	for _, piece := range pieces {
		fill, class := drawing.UnitFill, whole
		if piece.Cut {
			fill, class = drawing.CutFill, cut
			p.mark(fill, "cut unit")
		} else {
			p.mark(fill, "unit")
		}
		p.region([]outline.Loop{piece.Loop}, fill, drawing.Joint, class)
	}
}

func (p *planner) paving() {
	for i := range p.quote.Takeoff.Paving {
		area := &p.quote.Takeoff.Paving[i]
		p.region(area.Area.Outline.Region(), drawing.Sand, drawing.Outline, "paving")
		for u := range area.Field.Units {
			rectangle := area.Field.Rectangle(u)
			if area.Field.Units[u].Pieces == 0 {
				p.region([]outline.Loop{rectangle}, drawing.Field, drawing.Joint, classField)
				p.mark(drawing.Field, "paving unit")
				continue
			}
			tract := outline.Trace([]outline.Region{{rectangle}, area.FieldGround, area.Openings}, 1, func(c outline.Cover) int {
				if c.Has(0) && c.Has(1) && !c.Has(2) {
					return 0
				}
				return outline.None
			})
			p.mark(drawing.CutFill, "cut unit")
			p.region(tract[0].Loops(), drawing.CutFill, drawing.Joint, classCutTile)
		}
		if area.Border != nil {
			p.pieces(area.Border.Pieces(area.Area.Border.Laying), classBorder, classBorder+" cut")
		}
	}
}

func (p *planner) slabs() {
	for i := range p.quote.Takeoff.Slabs {
		for _, s := range p.quote.Takeoff.Slabs[i].Grid.Slabs() {
			p.region([]outline.Loop{s}, drawing.Slab, drawing.Outline, classSlab)
			p.mark(drawing.Slab, "slab")
		}
	}
}

func (p *planner) planters() {
	for i := range p.quote.Job.Planters {
		planter := &p.quote.Job.Planters[i]
		p.region([]outline.Loop{planter.Footprint()}, drawing.Planter, drawing.Outline, classPlanter)
		p.mark(drawing.Planter, "planter")
		low, high := planter.Footprint().Bounds()
		p.name(outline.Point{X: (low.X + high.X) / 2, Y: (low.Y + high.Y) / 2}, planter.ID)
	}
}

func (p *planner) obstacles() {
	for i := range p.quote.Takeoff.RootZones {
		z := &p.quote.Takeoff.RootZones[i]
		at := p.spot(z.Obstacle.At)
		p.sheet.Add(drawing.Circle(at.X, at.Y, p.onPaper(z.Radius, p.scale), drawing.NoFill, drawing.Warning))
	}
	for i := range p.quote.Job.Obstacles {
		o := &p.quote.Job.Obstacles[i]
		switch o.Kind {
		case estimate.Tree:
			p.region([]outline.Loop{o.Footprint()}, drawing.NoFill, drawing.Hidden, "clear")
			at := p.spot(o.At)
			p.sheet.Add(drawing.Circle(at.X, at.Y, max(0.8, p.onPaper(o.Diameter/2, p.scale)), drawing.Tree, drawing.Outline))
			p.mark(drawing.Tree, "tree")
		case estimate.Post:
			p.region([]outline.Loop{o.Footprint()}, drawing.Post, drawing.Outline, "post")
			p.mark(drawing.Post, "post")
		default:
			a, b := p.spot(o.From), p.spot(o.To)
			p.sheet.Add(drawing.Rule(a.X, a.Y, b.X, b.Y, drawing.Heavy))
		}
	}
}

// name writes a name on the ground.
func (p *planner) name(at outline.Point, text string) {
	s := p.spot(at)
	p.sheet.Add(&drawing.Label{At: drawing.Spot{X: s.X, Y: s.Y + 1}, Text: text, Size: 2.8, Anchor: drawing.Middle, Ink: drawing.WordsInk, Halo: true})
}

// ScaleOf is the scale that the plan of a quote is drawn to: one to so many.
func ScaleOf(q *pricing.Quote, l *locale.Locale) int { return newPlanner(q, l).scale }
