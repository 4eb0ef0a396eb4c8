package render

import (
	"math"
	"strconv"

	"bedline/api/render/drawing"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

const (
	small    drawing.Millimetres = 2.5 // letters of measures
	tiny     drawing.Millimetres = 2.1 // letters of stakes
	standoff drawing.Millimetres = 4   // of a dimension from its side
)

// sides writes the number and the length of every side of the beds and paved areas beside it.
func (p *planner) sides() {
	for i := range p.quote.Job.Beds {
		p.dimensions(p.quote.Job.Beds[i].Outline)
	}
	for i := range p.quote.Job.Paving {
		p.dimensions(p.quote.Job.Paving[i].Outline)
	}
}

func (p *planner) dimensions(o *outline.Outline) {
	for r := range o.Rings() {
		ring := &o.Rings()[r]
		for i := range ring.Elements {
			e := &ring.Elements[i]
			if e.Side < 0 || p.onPaper(e.Length(), p.scale) < 9 {
				continue
			}
			p.dimension(e.Edge, e.Side)
		}
	}
}

// dimension writes a side's number and length on its right, where no ground of the outline lies.
func (p *planner) dimension(e outline.Edge, side int) {
	middle := p.spot(e.Point(0.5))
	heading := float64(e.Heading(0.5))
	x, y := math.Cos(heading), -math.Sin(heading) // the direction of the side on paper
	out := drawing.Spot{X: middle.X - drawing.Millimetres(y)*standoff, Y: middle.Y + drawing.Millimetres(x)*standoff}
	if e.Straight() {
		from, to := p.spot(e.From), p.spot(e.To)
		move := func(s drawing.Spot) drawing.Spot {
			return drawing.Spot{X: s.X - drawing.Millimetres(y)*standoff, Y: s.Y + drawing.Millimetres(x)*standoff}
		}
		a, b := move(from), move(to)
		p.sheet.Add(drawing.Rule(a.X, a.Y, b.X, b.Y, drawing.Measure))
		for _, end := range [...]drawing.Spot{a, b} { // ticks across the ends, as builders draw them
			d := drawing.Millimetres(0.9)
			u, v := drawing.Millimetres(x-y)*d, drawing.Millimetres(y+x)*d
			p.sheet.Add(drawing.Rule(end.X-u, end.Y-v, end.X+u, end.Y+v, drawing.Outline))
		}
	}
	turn := math.Atan2(y, x) * 180 / math.Pi
	if turn > 90.01 || turn < -89.99 { // read from below or from the right
		turn += 180
	}
	text := measure.FormatLength(e.Length(), p.quote.Job.System)
	p.sheet.Add(&drawing.Label{At: below(out, turn, small*0.36), Text: strconv.Itoa(side) + ": " + text, Size: small, Anchor: drawing.Middle, Turn: turn, Ink: drawing.WordsInk, Halo: true})
}

// below is the base line of letters whose middle is at a spot, when they are turned.
func below(at drawing.Spot, turn float64, by drawing.Millimetres) drawing.Spot {
	a := turn * math.Pi / 180
	return drawing.Spot{X: at.X - by*drawing.Millimetres(math.Sin(a)), Y: at.Y + by*drawing.Millimetres(math.Cos(a))}
}

// stakes marks every stake with its label.
func (p *planner) stakes() {
	for i := range p.quote.Takeoff.SetOut.Parts {
		part := &p.quote.Takeoff.SetOut.Parts[i]
		for k := range part.Stakes {
			s := p.spot(part.Position(k))
			if s.X < 1 || s.X > planWidth-8 || s.Y < 3 || s.Y > p.sheet.Height-planFoot {
				continue // a pivot far off; the set-out tells where
			}
			const arm = drawing.Millimetres(1)
			p.sheet.Add(
				drawing.Rule(s.X-arm, s.Y-arm, s.X+arm, s.Y+arm, drawing.Outline),
				drawing.Rule(s.X-arm, s.Y+arm, s.X+arm, s.Y-arm, drawing.Outline),
				&drawing.Label{At: drawing.Spot{X: s.X + 1.3, Y: s.Y - 0.9}, Text: part.Stakes[k].Label, Size: tiny, Ink: drawing.WordsInk, Halo: true})
		}
	}
}

// foot draws the arrow of the coordinates, the scale bar and the key.
func (p *planner) foot() {
	y := p.sheet.Height - planFoot + 4
	p.axes(4, y+8)
	p.scaleBar(28, y+6)
	x := drawing.Millimetres(84)
	row := y
	for i, e := range p.used {
		p.sheet.Add(drawing.Rectangle(x, row, 5, 3.4, e.fill, drawing.Thin),
			&drawing.Label{At: drawing.Spot{X: x + 6.4, Y: row + 2.7}, Text: e.word, Size: small, Ink: drawing.WordsInk})
		row += 4.6
		if i%2 == 1 {
			row, x = y, x+34
		}
	}
}

// axes shows where x and y run from the datum.
func (p *planner) axes(x, y drawing.Millimetres) {
	arrow := func(tipX, tipY, dx, dy drawing.Millimetres) {
		p.sheet.Add(drawing.Rule(x, y, tipX, tipY, drawing.Outline),
			&drawing.Shape{Steps: []drawing.Step{drawing.Move(tipX+dx*2, tipY+dy*2), drawing.Line(tipX+dy*0.8, tipY+dx*0.8), drawing.Line(tipX-dy*0.8, tipY-dx*0.8), drawing.Closed()}, Fill: drawing.Ink100})
	}
	arrow(x+9, y, 1, 0)
	arrow(x, y-9, 0, -1)
	p.sheet.Add(&drawing.Label{At: drawing.Spot{X: x + 12, Y: y + 0.9}, Text: "x", Size: small, Ink: drawing.WordsInk},
		&drawing.Label{At: drawing.Spot{X: x + 1.4, Y: y - 9}, Text: "y", Size: small, Ink: drawing.WordsInk})
}

// scaleBar draws a bar of a round length, about 30 mm on paper.
func (p *planner) scaleBar(x, y drawing.Millimetres) {
	unit, name := measure.Metre, " m"
	if p.quote.Job.System == measure.US {
		unit, name = measure.Foot, " ft"
	}
	most := 40 * float64(p.scale) / 1000 / float64(unit)
	step := math.Pow(10, math.Floor(math.Log10(most)))
	for _, k := range [...]float64{5, 2} {
		if k*step <= most {
			step *= k
			break
		}
	}
	long := p.onPaper(measure.Length(step)*unit, p.scale)
	p.sheet.Add(drawing.Rectangle(x, y, long/2, 1.4, drawing.Ink100, drawing.Thin), drawing.Rectangle(x+long/2, y, long/2, 1.4, drawing.Paper, drawing.Thin))
	word := func(at drawing.Millimetres, v float64, unit string) *drawing.Label {
		return &drawing.Label{At: drawing.Spot{X: at, Y: y + 4.4}, Text: measure.FormatNumber(v, 3) + unit, Size: small, Anchor: drawing.Middle, Ink: drawing.WordsInk}
	}
	p.sheet.Add(word(x, 0, ""), word(x+long/2, step/2, ""), word(x+long, step, name),
		&drawing.Label{At: drawing.Spot{X: x, Y: y - 1.4}, Text: "Scale 1 : " + strconv.Itoa(p.scale), Size: small, Ink: drawing.WordsInk})
}
