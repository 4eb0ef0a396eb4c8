package render

import (
	"math"
	"strings"

	"bedline/api/render/drawing"
	"bedline/estimate/measure"
)

// entry is a line of the key: a fill, an ink or a mark, and the message that says what it is.
type entry struct {
	fill drawing.Fill
	ink  drawing.Ink
	mark markKind
	word string
}

// markKind is a mark of the plan.
type markKind uint8

const (
	noMark markKind = iota
	stakeMark
	pivotMark
	datumMark
	ringMark
	levelMark
	fallMark
)

// explain puts what was drawn into the key, once.
func (p *planner) explain(e entry) {
	for _, k := range p.key {
		if k == e {
			return
		}
	}
	p.key = append(p.key, e)
}

const (
	keyLeft  drawing.Millimetres = 80
	keyRow   drawing.Millimetres = 4.6
	noteRow  drawing.Millimetres = 3.6
	noteWide drawing.Millimetres = planWidth - 8
)

// foot draws the arrow of the coordinates, the scale bar, the key and the notes.
func (p *planner) foot() {
	top := p.bottom + 3
	p.axes(4, top)
	p.scaleBar(31, top+5)
	columns := 2
	width := (planWidth - planEdge - keyLeft) / 2
	for _, e := range p.key {
		if 7+wide(p.words.Say(e.word), small, false) > width {
			columns = 1
		}
	}
	rows := (len(p.key) + columns - 1) / columns
	for i, e := range p.key {
		x, y := keyLeft+drawing.Millimetres(i/rows)*width, top+drawing.Millimetres(i%rows)*keyRow
		p.swatch(e, x, y)
		p.sheet.Add(&drawing.Label{At: drawing.Spot{X: x + 6.4, Y: y + 2.7}, Text: p.words.Say(e.word), Size: small, Ink: drawing.WordsInk})
	}
	y := top + max(planFoot-3, drawing.Millimetres(rows)*keyRow+1)
	for _, n := range p.notes {
		for _, line := range wrapped(n, tiny, noteWide) {
			y += noteRow
			p.sheet.Add(&drawing.Label{At: drawing.Spot{X: 4, Y: y - 0.6}, Text: line, Size: tiny, Ink: drawing.FaintInk})
		}
	}
	p.sheet.Height = y + 1.5
}

// wrapped breaks a text into lines of a length at most.
func wrapped(text string, size, most drawing.Millimetres) []string {
	var lines []string
	line := ""
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '\n' || r == '\t' }) { // not at a hard space
		for wide(word, size, false) > most { // a word that no line holds
			r := []rune(word)
			n := max(1, int(most/size/1.02))
			if line != "" {
				lines, line = append(lines, line), ""
			}
			lines, word = append(lines, string(r[:min(n, len(r))])), string(r[min(n, len(r)):])
		}
		switch longer := line + " " + word; {
		case line == "":
			line = word
		case wide(longer, size, false) > most:
			lines, line = append(lines, line), word
		default:
			line = longer
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// swatch draws a sample of what a line of the key explains, 5 mm wide.
func (p *planner) swatch(e entry, x, y drawing.Millimetres) {
	c := drawing.Spot{X: x + 2.5, Y: y + 1.7}
	switch e.mark {
	case stakeMark:
		p.sheet.Add(&drawing.Shape{Ink: drawing.Outline, Steps: []drawing.Step{
			drawing.Move(c.X-cross, c.Y-cross), drawing.Line(c.X+cross, c.Y+cross), drawing.Move(c.X-cross, c.Y+cross), drawing.Line(c.X+cross, c.Y-cross)}})
	case pivotMark:
		p.sheet.Add(drawing.Circle(c.X, c.Y, 0.7, drawing.Paper, drawing.Outline), drawing.Circle(c.X, c.Y, 0.2, drawing.Ink100, drawing.NoInk))
	case datumMark:
		p.sheet.Add(drawing.Circle(c.X, c.Y, 1.5, drawing.NoFill, drawing.Outline))
	case ringMark:
		p.sheet.Add(drawing.Circle(c.X, c.Y, 1.7, drawing.Paper, drawing.Measure), labelIn(c, 0, "n", tiny))
	case levelMark:
		p.sheet.Add(&drawing.Shape{Steps: []drawing.Step{drawing.Move(c.X-0.8, c.Y-0.8), drawing.Line(c.X+0.8, c.Y-0.8), drawing.Line(c.X, c.Y+0.6), drawing.Closed()},
			Fill: drawing.Paper, Ink: drawing.Outline})
	case fallMark:
		p.sheet.Add(drawing.Rule(x, c.Y, x+3.4, c.Y, drawing.Outline),
			&drawing.Shape{Steps: []drawing.Step{drawing.Move(x+5, c.Y), drawing.Line(x+3.2, c.Y-0.7), drawing.Line(x+3.2, c.Y+0.7), drawing.Closed()}, Fill: drawing.Ink100})
	default:
		if e.fill == drawing.NoFill {
			p.sheet.Add(drawing.Rule(x, c.Y, x+5, c.Y, e.ink))
			return
		}
		p.sheet.Add(drawing.Rectangle(x, y, 5, 3.4, e.fill, e.ink))
	}
}

// axes shows which way x and y of the set-out run. The upper left corner of the room for them is given.
func (p *planner) axes(left, top drawing.Millimetres) {
	turn := 0.0 // of x, counter-clockwise
	if spec := p.quote.Takeoff.SetOut.Spec; spec != nil && spec.Stated {
		turn = math.Atan2(float64(spec.Towards.Y-spec.Origin.Y), float64(spec.Towards.X-spec.Origin.X))
	}
	const long, room = 8, 24
	type tip struct{ x, y float64 }
	sin, cos := math.Sincos(turn)
	tips := [...]tip{{cos, -sin}, {-sin, -cos}}
	// The two arrows stand in the middle of their room.
	low, high := tip{}, tip{}
	for _, t := range tips {
		low, high = tip{min(low.x, t.x), min(low.y, t.y)}, tip{max(high.x, t.x), max(high.y, t.y)}
	}
	x := left + room/2 - drawing.Millimetres((low.x+high.x)/2*long)
	y := top + 7.5 - drawing.Millimetres((low.y+high.y)/2*long)
	for i, t := range tips {
		dx, dy := drawing.Millimetres(t.x), drawing.Millimetres(t.y)
		end := drawing.Spot{X: x + dx*(long-2), Y: y + dy*(long-2)}
		name := labelIn(drawing.Spot{X: x + dx*(long+1.7), Y: y + dy*(long+1.7)}, 0, [...]string{"x", "y"}[i], small)
		p.sheet.Add(drawing.Rule(x, y, end.X, end.Y, drawing.Outline), name,
			&drawing.Shape{Steps: []drawing.Step{drawing.Move(end.X+dx*2, end.Y+dy*2), drawing.Line(end.X+dy*0.8, end.Y-dx*0.8), drawing.Line(end.X-dy*0.8, end.Y+dx*0.8), drawing.Closed()}, Fill: drawing.Ink100})
	}
}

// barLength is the round length that a scale bar shows, at most so many: half of it can be written as well.
func barLength(most measure.Length, s measure.System) measure.Length {
	var best measure.Length
	try := func(l measure.Length) {
		if l <= most {
			best = max(best, l)
		}
	}
	if s == measure.US {
		for _, inches := range [...]measure.Length{0.25, 0.5, 1, 2, 4, 6} {
			try(inches * measure.Inch)
		}
	}
	unit := measure.Millimetre
	if s == measure.US {
		unit = measure.Foot
	}
	for size := unit; size <= most; size *= 10 {
		try(size)
		try(2 * size)
		if size > measure.Millimetre {
			try(5 * size)
		}
	}
	return best
}

// scaleBar draws a bar of a round length, about 30 mm on paper.
func (p *planner) scaleBar(x, y drawing.Millimetres) {
	s := p.quote.Job.System
	length := barLength(measure.Length(float64(p.scale)*0.034), s)
	long := p.onPaper(length)
	p.sheet.Add(drawing.Rectangle(x, y, long/2, 1.4, drawing.Ink100, drawing.Thin), drawing.Rectangle(x+long/2, y, long/2, 1.4, drawing.Paper, drawing.Thin))
	word := func(at drawing.Millimetres, text string) *drawing.Label {
		return &drawing.Label{At: drawing.Spot{X: at, Y: y + 4.4}, Text: text, Size: small, Anchor: drawing.Middle, Ink: drawing.WordsInk}
	}
	p.sheet.Add(word(x, p.words.Whole(0)), word(x+long, p.words.Length(length, s)),
		&drawing.Label{At: drawing.Spot{X: x - 1, Y: y - 1.8}, Text: p.scaleWords(), Size: small, Ink: drawing.WordsInk})
	if half := p.words.Length(length/2, s); 1.5+wide(half, small, false)+wide(p.words.Length(length, s), small, false)/2 < long/2+1 {
		p.sheet.Add(word(x+long/2, half))
	}
}

// scaleWords tells the scale, in US units also as architects say it.
func (p *planner) scaleWords() string {
	scale := p.words.Whole(p.scale)
	if p.quote.Job.System == measure.US && p.scale >= 4 && 192%p.scale == 0 { // inches to the foot in sixteenths
		return p.words.Say("plan.scale_us", "scale", scale, "length", p.words.Depth(measure.Foot/measure.Length(p.scale), measure.US), "ground", p.words.Length(measure.Foot, measure.US))
	}
	return p.words.Say("plan.scale", "scale", scale)
}
