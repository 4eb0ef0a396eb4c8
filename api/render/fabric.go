package render

import (
	"math"
	"slices"
	"strings"

	"bedline/api/render/drawing"
	"bedline/api/render/locale"
	"bedline/estimate"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
	"bedline/pricing"
)

// Classes of the shapes of a cutting plan.
const (
	classStrip   = "strip"       // a piece as it lies on a bed
	classStrips  = "whole strip" // with all its pieces, where they are too many
	classLap     = "lap"         // where two pieces lie on each other
	classOpening = "opening"     // cut for what stands there
	classEdging  = "edging"
	classPiece   = "piece"  // a piece as it is cut from a roll
	classOffcut  = "offcut" // what is left of a roll
)

const (
	bedsHigh    drawing.Millimetres = 78 // most that a bed takes
	rollWords   drawing.Millimetres = 35 // column of the names of rolls
	mostRolls                       = 9  // that are drawn one by one; of more, those alike together
	mostCovered                     = 12 // beds that are drawn
	mostPlaced                      = 80 // pieces of a bed whose numbers are set clear of what is there
)

// Fabric draws how the strips of fabric lie on each bed and how their pieces are cut from the rolls, numbered alike. Nil
// where no fabric is laid.
func Fabric(q *pricing.Quote, l *locale.Locale) *drawing.Sheet {
	if len(q.Takeoff.Fabrics) == 0 {
		return nil
	}
	c := newCutting(q, l)
	c.beds()
	c.rolls()
	c.key()
	return c.sheet
}

// cut is a piece as it lies on a bed: a rectangle in the frame turned by the direction of the strips.
type cut struct {
	number        int // from 1, over all pieces of the material
	length        measure.Length
	along, across outline.Interval
}

// covered is one bed with its pieces.
type covered struct {
	takeoff   *estimate.FabricTakeoff
	bed       *estimate.Bed
	pieces    []cut
	laps      []cut
	edging    outline.Region
	low, high outline.Point
}

type cutting struct {
	quote *pricing.Quote
	words *locale.Locale
	sheet *drawing.Sheet
	sets  []covered
	scale int // one to
	y     drawing.Millimetres
}

func newCutting(q *pricing.Quote, l *locale.Locale) *cutting {
	c := &cutting{quote: q, words: l, y: 1}
	next := map[string]int{} // by material; looked up only
	for i := range q.Takeoff.Fabrics {
		f := &q.Takeoff.Fabrics[i]
		set := covered{takeoff: f}
		for k := range q.Job.Beds {
			if q.Job.Beds[k].ID == f.Bed {
				set.bed = &q.Job.Beds[k]
			}
		}
		set.cut(next[f.Material.Key])
		next[f.Material.Key] += len(set.pieces)
		for k := range q.Takeoff.Courses {
			if course := &q.Takeoff.Courses[k]; course.Bed == f.Bed {
				set.edging = append(set.edging, course.Course.Band...)
			}
		}
		set.bound()
		c.sets = append(c.sets, set)
	}
	// Beds one under the other with all rolls should make a page.
	bars := 0
	for i := range q.Takeoff.Rolls {
		bars += min(len(q.Takeoff.Rolls[i].Plan.Rolls), mostRolls)
	}
	most := max(16, min(bedsHigh, (190-14*drawing.Millimetres(bars))/drawing.Millimetres(min(mostCovered, len(c.sets)))))
	for i, fits := 0, false; !fits; i++ {
		c.scale, fits = scales(q.Job.System, i), true
		for k := range c.sets {
			long, high := c.sets[k].size(c.scale)
			fits = fits && long <= planWidth-4 && high <= most
		}
	}
	c.sheet = &drawing.Sheet{Title: l.Say("charts.fabric.title", "job", titleOf(q)), Description: c.describe(), Language: l.Tag(), Width: planWidth}
	return c
}

// cut lays the pieces of every strip one after another, each with its lap.
func (s *covered) cut(before int) {
	lap := s.takeoff.Material.Lap
	strips := s.takeoff.Layout.Strips
	for i := range strips {
		strip := &strips[i]
		at := strip.Along.From
		for k, length := range strip.Pieces {
			before++
			if k > 0 {
				at -= lap
				s.laps = append(s.laps, cut{along: outline.Interval{From: at, To: at + lap}, across: strip.Across})
			}
			s.pieces = append(s.pieces, cut{number: before, length: length, along: outline.Interval{From: at, To: at + length}, across: strip.Across})
			at += length
		}
		if i == 0 {
			continue
		}
		last := &strips[i-1]
		seam := cut{along: outline.Interval{From: max(strip.Along.From, last.Along.From), To: min(strip.Along.To, last.Along.To)},
			across: outline.Interval{From: strip.Across.From, To: last.Across.To}}
		if seam.along.Length() > 0 && seam.across.Length() > 0 {
			s.laps = append(s.laps, seam)
		}
	}
}

// corners are those of a rectangle in the frame of the strips, as points of the job.
func (s *covered) corners(c *cut) [4]outline.Point {
	sin, cos := measure.Length(measure.Sin(s.takeoff.Layout.Direction)), measure.Length(measure.Cos(s.takeoff.Layout.Direction))
	at := func(u, v measure.Length) outline.Point {
		return outline.Point{X: measure.Length(u*cos) - measure.Length(v*sin), Y: measure.Length(u*sin) + measure.Length(v*cos)}
	}
	return [4]outline.Point{at(c.along.From, c.across.From), at(c.along.To, c.across.From), at(c.along.To, c.across.To), at(c.along.From, c.across.To)}
}

// bound finds what ground the drawing shows.
func (s *covered) bound() {
	s.low, s.high = s.bed.Outline.Bounds()
	for i := range s.pieces {
		for _, p := range s.corners(&s.pieces[i]) {
			s.low = outline.Point{X: min(s.low.X, p.X), Y: min(s.low.Y, p.Y)}
			s.high = outline.Point{X: max(s.high.X, p.X), Y: max(s.high.Y, p.Y)}
		}
	}
}

func (s *covered) size(scale int) (long, high drawing.Millimetres) {
	mm := func(l measure.Length) drawing.Millimetres {
		return drawing.Millimetres(float64(l) * 1000 / float64(scale))
	}
	return mm(s.high.X - s.low.X), mm(s.high.Y - s.low.Y)
}

func (c *cutting) describe() string {
	parts := []string{c.words.Say("charts.fabric.description")}
	for i := range c.sets {
		parts = append(parts, c.bedWords(&c.sets[i]))
	}
	return strings.Join(parts, " ")
}

// bedWords say what one bed takes.
func (c *cutting) bedWords(s *covered) string {
	layout := s.takeoff.Layout
	return c.words.Say("charts.fabric.bed", "bed", s.takeoff.Bed, "strips", c.words.Count("charts.strips", len(layout.Strips)), "pieces", c.words.Count("charts.pieces", len(s.pieces)),
		"cloth", c.words.Area(layout.ClothArea, c.quote.Job.System), "material", s.takeoff.Material.Name)
}

// beds draws the beds, side by side where there is room.
func (c *cutting) beds() {
	const gap = drawing.Millimetres(8)
	c.sheet.Add(words(planWidth-1, c.y+3.4, c.words.Say("charts.scale", "n", c.words.Whole(c.scale)), small, drawing.End))
	c.title(c.words.Say("charts.fabric.on_beds"))
	more := len(c.sets) - mostCovered
	c.sets = c.sets[:min(len(c.sets), mostCovered)]
	for i := 0; i < len(c.sets); {
		// As many as fit into a row, each with room for its words.
		n, x := 0, drawing.Millimetres(0)
		high := drawing.Millimetres(0)
		var lefts []drawing.Millimetres
		for i+n < len(c.sets) {
			long, tall := c.sets[i+n].size(c.scale)
			long = max(long, 56) + 2
			if n > 0 && x+long > planWidth {
				break
			}
			lefts = append(lefts, x)
			x += long + gap
			high = max(high, tall)
			n++
		}
		lines := 0
		for k := range n {
			right := planWidth
			if k+1 < n {
				right = lefts[k+1] - gap/2
			}
			text := wrapped(c.bedWords(&c.sets[i+k]), small, right-lefts[k]-2)
			lines = max(lines, len(text))
			for line, t := range text {
				c.sheet.Add(words(lefts[k]+1, c.y+3+3.6*drawing.Millimetres(line), t, small, drawing.Start))
			}
		}
		c.y += 3.6*drawing.Millimetres(lines) + 1.4
		for k := range n {
			c.bed(&c.sets[i+k], lefts[k]+1.5, c.y)
		}
		c.y += high + 5
		i += n
	}
	if more > 0 {
		c.note(c.words.Count("charts.fabric.more_beds", more))
	}
}

// note writes a line in faint letters.
func (c *cutting) note(text string) {
	for _, line := range wrapped(text, tiny, planWidth-2) {
		label := words(1, c.y+2, line, tiny, drawing.Start)
		label.Ink = drawing.FaintInk
		c.sheet.Add(label)
		c.y += 3.2
	}
	c.y += 1.4
}

// title writes a heading.
func (c *cutting) title(text string) {
	head := words(1, c.y+3.4, text, heading, drawing.Start)
	head.Bold = true
	c.sheet.Add(head)
	c.y += 5
}

// bed draws one bed with its upper left corner at a spot.
func (c *cutting) bed(s *covered, x, y drawing.Millimetres) {
	p := &planner{quote: c.quote, words: c.words, sheet: c.sheet, scale: c.scale, low: s.low, high: s.high}
	// The planner sets its ground in the middle of its sheet; this one stands elsewhere.
	corner := p.spot(outline.Point{X: s.low.X, Y: s.high.Y})
	ground := func(mm drawing.Millimetres) measure.Length {
		return measure.Length(float64(mm) * float64(c.scale) / 1000)
	}
	right, up := ground(x-corner.X), ground(corner.Y-y)
	place := func(at outline.Point) outline.Point { return outline.Point{X: at.X + right, Y: at.Y + up} }
	moved := func(loops []outline.Loop) []outline.Loop {
		out := make([]outline.Loop, len(loops))
		for i, loop := range loops {
			for _, e := range loop {
				e.From, e.To, e.Centre = place(e.From), place(e.To), place(e.Centre)
				out[i] = append(out[i], e)
			}
		}
		return out
	}
	flat := func(r *cut, fill drawing.Fill, ink drawing.Ink, class string) {
		shape := &drawing.Shape{Fill: fill, Ink: ink, Class: class}
		for i, corner := range s.corners(r) {
			at := p.spot(place(corner))
			if i == 0 {
				shape.Steps = append(shape.Steps, drawing.Move(at.X, at.Y))
				continue
			}
			shape.Steps = append(shape.Steps, drawing.Line(at.X, at.Y))
		}
		shape.Steps = append(shape.Steps, drawing.Closed())
		c.sheet.Add(shape)
	}
	if len(s.pieces) > mostShapes { // too small to be told apart
		for i := range s.takeoff.Layout.Strips {
			if strip := &s.takeoff.Layout.Strips[i]; i < mostShapes {
				flat(&cut{along: strip.Along, across: strip.Across}, drawing.Fabric, drawing.Joint, classStrips)
			}
		}
	} else {
		for i := range s.pieces {
			flat(&s.pieces[i], drawing.Fabric, drawing.Outline, classStrip)
		}
		for i := range s.laps {
			flat(&s.laps[i], drawing.Lap, drawing.Thin, classLap)
		}
	}
	var openings []outline.Loop
	for i := range c.quote.Job.Planters {
		footprint := c.quote.Job.Planters[i].Footprint()
		if s.holds(footprint) {
			openings = append(openings, footprint)
			p.region(moved([]outline.Loop{footprint}), drawing.Paper, drawing.Hidden, classOpening)
			c.name(p, footprint, c.quote.Job.Planters[i].ID, place)
		}
	}
	for i := range c.quote.Job.Obstacles {
		o := &c.quote.Job.Obstacles[i]
		footprint := o.Footprint()
		if footprint == nil || !s.holds(footprint) {
			continue
		}
		openings = append(openings, footprint)
		p.region(moved([]outline.Loop{footprint}), drawing.Paper, drawing.Hidden, classOpening)
		c.name(p, footprint, c.words.Say("charts.fabric."+string(o.Kind)), place)
	}
	p.region(moved(s.edging), drawing.NoFill, drawing.Thin, classEdging)
	p.region(moved(s.bed.Outline.Region()), drawing.NoFill, drawing.Heavy, classBed)
	if len(s.pieces) <= mostShapes {
		for i := range s.pieces {
			c.number(p, s, &s.pieces[i], openings, place)
		}
	}
}

// clearSpot finds where the middle of a text along a piece crosses no opening and no line of the bed; if there is no such
// place, where it does least. With it comes how much that is: 0 for nothing.
func (c *cutting) clearSpot(p *planner, s *covered, r *cut, across outline.Interval, text string, size drawing.Millimetres, openings []outline.Loop) (outline.Point, float64) {
	half := float64(wide(text, size, false)/2+0.4) / float64(max(p.onPaper(r.along.Length()), 0.001))
	deep := float64(size*0.5+0.2) / float64(max(p.onPaper(across.Length()), 0.001))
	best, beside, least := 0.5, 0.5, math.Inf(1)
	for _, v := range [...]float64{0.5, 0.35, 0.65, 0.22, 0.78} {
		if v != 0.5 && (v-deep < 0.02 || v+deep > 0.98) {
			continue
		}
		for _, u := range [...]float64{0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.12, 0.88, 0.06, 0.94} {
			if u != 0.5 && (u-half < 0.01 || u+half > 0.99) {
				continue
			}
			box := cut{along: share(r.along, u-half, u+half), across: share(across, v-deep, v+deep)}
			if covered := s.covers(&box, openings); covered < least-1e-6 {
				best, beside, least = u, v, covered
			}
		}
		if least < 1e-6 {
			break
		}
	}
	middle := cut{along: share(r.along, best, best), across: share(across, beside, beside)}
	return s.corners(&middle)[0], least
}

// name writes in an opening what stands there, if there is room.
func (c *cutting) name(p *planner, footprint outline.Loop, text string, place func(outline.Point) outline.Point) {
	low, high := footprint.Bounds()
	room := p.onPaper(min(high.X-low.X, high.Y-low.Y))
	if wide(text, small, false) > p.onPaper(high.X-low.X)*0.9 || room < 3.4 {
		return
	}
	at := p.spot(place(outline.Point{X: (low.X + high.X) / 2, Y: (low.Y + high.Y) / 2}))
	c.sheet.Add(words(at.X, at.Y+small*0.36, text, small, drawing.Middle))
}

// holds tells whether what stands somewhere touches the cloth of the bed.
func (s *covered) holds(footprint outline.Loop) bool {
	low, high := footprint.Bounds()
	from, to := s.bed.Outline.Bounds()
	if low.X > to.X || low.Y > to.Y || high.X < from.X || high.Y < from.Y {
		return false
	}
	shares := outline.Divide([]outline.Region{{footprint}, s.bed.Outline.Region()}, 1, func(c outline.Cover) int {
		if c.Has(0) && c.Has(1) {
			return 0
		}
		return outline.None
	})
	return shares[0].Area > 0
}

// number writes the number of a piece on it, and its length where there is room, clear of openings and laps.
func (c *cutting) number(p *planner, s *covered, r *cut, openings []outline.Loop, place func(outline.Point) outline.Point) {
	across := r.across
	for i := range s.laps {
		// The band that lies over or under the neighbour is hatched.
		lap := &s.laps[i]
		if lap.along.To <= r.along.From || lap.along.From >= r.along.To || lap.across.Length() > across.Length()*0.9 {
			continue
		}
		if lap.across.From <= across.From && lap.across.To > across.From && lap.across.To < across.To {
			across.From = lap.across.To
		}
		if lap.across.To >= across.To && lap.across.From < across.To && lap.across.From > across.From {
			across.To = lap.across.From
		}
	}
	room := p.onPaper(across.Length())
	long := p.onPaper(r.along.Length())
	number := c.words.Whole(r.number)
	turn := -float64(s.takeoff.Layout.Direction) * 180 / float64(measure.Pi)
	turn = math.Remainder(turn, 180)
	if turn > 89.99 { // read from below or from the right
		turn -= 180
	}
	text := number + ": " + c.words.Length(r.length, c.quote.Job.System)
	size := small
	if room < 3.4 {
		size = max(1.5, room*0.75)
	}
	if wide(text, size, false) > long-2 {
		text = number
	}
	if wide(text, size, false) > long-0.4 || room < 1.6 {
		return // the roll below shows it
	}
	if len(s.pieces) > mostPlaced {
		middle := cut{along: share(r.along, 0.5, 0.5), across: share(across, 0.5, 0.5)}
		at := p.spot(place(s.corners(&middle)[0]))
		c.sheet.Add(&drawing.Label{At: beneath(at, turn, size*0.36), Text: text, Size: size, Anchor: drawing.Middle, Turn: turn, Ink: drawing.WordsInk, Halo: true})
		return
	}
	spot, crossed := c.clearSpot(p, s, r, across, text, size, openings)
	if alone, less := c.clearSpot(p, s, r, across, number, size, openings); less < crossed-0.01 {
		text, spot = number, alone
	}
	at := p.spot(place(spot))
	label := &drawing.Label{At: beneath(at, turn, size*0.36), Text: text, Size: size, Anchor: drawing.Middle, Turn: turn, Ink: drawing.WordsInk, Halo: true}
	c.sheet.Add(label)
}

// share is a stretch of an interval, from one share of it to another.
func share(i outline.Interval, from, to float64) outline.Interval {
	return outline.Interval{From: i.From + measure.Length(from)*i.Length(), To: i.From + measure.Length(to)*i.Length()}
}

// covers tells how badly words in a box stand: on an opening, across a line of the bed or of its edging, or off the bed.
func (s *covered) covers(box *cut, openings []outline.Loop) float64 {
	corners := s.corners(box)
	loop := outline.Loop{}
	for i := range corners {
		loop = append(loop, outline.Edge{From: corners[i], To: corners[(i+1)%4]})
	}
	shares := outline.Divide([]outline.Region{{loop}, openings, s.bed.Outline.Region(), s.edging}, 3, func(c outline.Cover) int {
		switch {
		case !c.Has(0):
			return outline.None
		case c.Has(1):
			return 0
		case !c.Has(2):
			return 1
		case c.Has(3):
			return 2
		}
		return outline.None
	})
	area := float64(box.along.Length()) * float64(box.across.Length())
	cut, off, edging := float64(shares[0].Area)/area, float64(shares[1].Area)/area, float64(shares[2].Area)/area
	return 4*cut + 4*min(off, 1-off) + 0.3*off + 2*min(edging, 1-edging)
}

// rolls draws every roll as a bar, the pieces in the order in which they are cut from it.
func (c *cutting) rolls() {
	for i := range c.quote.Takeoff.Rolls {
		r := &c.quote.Takeoff.Rolls[i]
		material := r.Material
		c.title(c.words.Say("charts.fabric.from_rolls", "material", material.Name))
		text := c.words.Say("charts.fabric.rolls", "rolls", c.words.Count("charts.rolls", len(r.Plan.Rolls)),
			"length", c.words.Length(material.RollLength, c.quote.Job.System), "width", c.words.Length(material.RollWidth, c.quote.Job.System),
			"lap", c.words.Length(material.Lap, c.quote.Job.System))
		if bought := c.bought(material.Key); bought > len(r.Plan.Rolls) {
			text += " " + c.words.Count("charts.fabric.bought", bought)
		}
		for _, line := range wrapped(text, small, planWidth-2) {
			c.sheet.Add(words(1, c.y+2.6, line, small, drawing.Start))
			c.y += 3.6
		}
		c.y += 1
		step := func(int) int { return 1 }
		if len(r.Plan.Rolls) > mostRolls {
			step = r.Alike
		}
		bars := 0
		for k := 0; k < len(r.Plan.Rolls); bars++ {
			if bars == mostRolls {
				c.note(c.words.Count("charts.fabric.more_rolls", len(r.Plan.Rolls)-k))
				break
			}
			n := step(k)
			c.roll(r, k, n)
			k += n
		}
		c.y += 3
	}
}

// bought is how many rolls of a material are bought.
func (c *cutting) bought(material string) int {
	for i := range c.quote.Takeoff.Lines {
		if line := &c.quote.Takeoff.Lines[i]; line.Key == estimate.Fabric && line.Material.Key == material {
			return int(line.Required.Value)
		}
	}
	return 0
}

// roll draws the k-th roll of a material, or n of them of which the same pieces are cut.
func (c *cutting) roll(r *estimate.RollsTakeoff, k, n int) {
	long := planWidth - rollWords - 1
	scale := float64(long) / float64(r.Material.RollLength)
	high := min(13, max(7, drawing.Millimetres(float64(r.Material.RollWidth)*scale)))
	name := c.words.Say("charts.fabric.roll", "n", c.words.Whole(k+1))
	if n > 1 {
		name = c.words.Say("charts.fabric.rolls_alike", "from", c.words.Whole(k+1), "to", c.words.Whole(k+n))
	}
	cut := &r.Plan.Rolls[k]
	left := words(1, c.y+high/2+2.6, fitted(c.words.Say("charts.fabric.left_of", "length", c.words.Length(cut.Left, c.quote.Job.System)), tiny, rollWords-1.5), tiny, drawing.Start)
	if cut.Left < measure.Millimetre {
		left.Text = c.words.Say("charts.fabric.used_up")
	}
	left.Ink = drawing.FaintInk
	c.sheet.Add(words(1, c.y+high/2-0.4, fitted(name, small, rollWords-2), small, drawing.Start), left)
	x := rollWords
	for _, piece := range cut.Pieces {
		width := drawing.Millimetres(float64(r.Pieces[piece].Length) * scale)
		shape := drawing.Rectangle(x, c.y, width, high, drawing.Fabric, drawing.Outline)
		shape.Class = classPiece
		c.sheet.Add(shape)
		number := c.words.Whole(piece + 1)
		if n > 1 {
			number = c.words.Say("charts.fabric.each")
		}
		c.pieceWords(number, c.words.Length(r.Pieces[piece].Length, c.quote.Job.System), x, width, high, true)
		x += width
	}
	if width := drawing.Millimetres(float64(cut.Left) * scale); width > 0.01 {
		shape := drawing.Rectangle(x, c.y, width, high, drawing.Offcut, drawing.Outline)
		shape.Class = classOffcut
		c.sheet.Add(shape)
		c.pieceWords(c.words.Say("charts.fabric.left"), c.words.Length(cut.Left, c.quote.Job.System), x, width, high, false)
	}
	c.y += high + 2
}

// pieceWords writes two lines on a piece, or what of them fits.
func (c *cutting) pieceWords(first, second string, x, width, high drawing.Millimetres, numbered bool) {
	middle := x + width/2
	add := func(text string, y, size drawing.Millimetres, bold bool) {
		label := words(middle, y, text, size, drawing.Middle)
		label.Halo, label.Bold = true, bold
		c.sheet.Add(label)
	}
	fits := func(text string, size drawing.Millimetres) bool { return wide(text, size, false) <= width-0.8 }
	upright := func(text string, at drawing.Millimetres) {
		label := words(at+tiny*0.36, c.y+high/2, text, tiny, drawing.Middle)
		label.Turn, label.Halo = -90, true
		c.sheet.Add(label)
	}
	one := first + ": " + second
	switch {
	case fits(first, small) && fits(second, tiny):
		add(first, c.y+high/2-0.4, small, numbered)
		add(second, c.y+high/2+2.4, tiny, false)
	case width >= 3.2 && wide(one, tiny, false) <= high-0.6:
		upright(one, middle)
	case width >= 3.2 && wide(second, tiny, false) <= high-0.6 && !numbered:
		upright(second, middle)
	case width >= 5.4 && wide(second, tiny, false) <= high-0.6 && fits(first, small):
		add(first, c.y+high/2-0.4, small, numbered)
	case fits(first, small) && numbered:
		add(first, c.y+high/2+small*0.36, small, true)
	}
}

// has tells whether the sheet has a shape of a class.
func (c *cutting) has(class string) bool {
	return slices.ContainsFunc(c.sheet.Items, func(item drawing.Item) bool {
		shape, ok := item.(*drawing.Shape)
		return ok && shape.Class == class
	})
}

// key says what is what.
func (c *cutting) key() {
	c.y += 1
	type entry struct {
		fill drawing.Fill
		ink  drawing.Ink
		word string
	}
	entries := []entry{{drawing.Fabric, drawing.Outline, "charts.fabric.key.piece"}}
	if slices.ContainsFunc(c.sets, func(s covered) bool { return len(s.laps) > 0 }) {
		entries = append(entries, entry{drawing.Lap, drawing.Thin, "charts.fabric.key.lap"})
	}
	if c.has(classOpening) {
		word := "charts.fabric.key.opening"
		if slices.ContainsFunc(c.sets, func(s covered) bool { return s.bed.Fabric.Lapped }) {
			word = "charts.fabric.key.slit"
		}
		entries = append(entries, entry{drawing.Paper, drawing.Hidden, word})
	}
	entries = append(entries, entry{drawing.Offcut, drawing.Outline, "charts.fabric.key.offcut"}, entry{drawing.Paper, drawing.Heavy, "charts.fabric.key.bed"})
	if c.has(classEdging) {
		entries = append(entries, entry{drawing.Paper, drawing.Thin, "charts.fabric.key.edging"})
	}
	x := drawing.Millimetres(1)
	for _, e := range entries {
		text := c.words.Say(e.word)
		long := 8 + wide(text, small, false) + 4
		if x+long > planWidth {
			x, c.y = 1, c.y+4.8
		}
		c.sheet.Add(drawing.Rectangle(x, c.y, 6.4, 3, e.fill, e.ink), words(x+8, c.y+2.4, text, small, drawing.Start))
		x += long
	}
	c.sheet.Height = c.y + 5
}
