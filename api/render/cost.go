package render

import (
	"context"
	"math"
	"strings"

	"bedline/api/render/drawing"
	"bedline/api/render/locale"
	"bedline/estimate/measure"
	"bedline/pricing"
	"bedline/pricing/money"
	"bedline/pricing/supply"
)

// Classes of the shapes of the cost of bags against bulk.
const (
	classBags      = "bags"
	classBulk      = "bulk"
	classBreakEven = "break-even"
	classNeeded    = "needed"
)

// mostCosts is how many materials a sheet shows.
const mostCosts = 6

// costPanel is the chart of one material: cost upwards, quantity to the right.
type costPanel struct {
	material int // place of its comparison
	compared *pricing.Comparison
	steps    *pricing.Steps

	left, right, top, bottom drawing.Millimetres // of the field within the axes
	most                     measure.Volume      // at the right
	dearest                  money.Amount        // at the top
}

// Cost draws what each loose material costs in bags and in bulk, its delivery with it, against its quantity, to the step.
// Nil where no material is sold both ways.
func Cost(q *pricing.Quote, l *locale.Locale) *drawing.Sheet {
	c := newCosts(q, l)
	if len(c.panels) == 0 && len(c.unproved) == 0 {
		return nil
	}
	c.draw()
	return c.sheet
}

type costs struct {
	quote  *pricing.Quote
	words  *locale.Locale
	sheet  *drawing.Sheet
	panels []costPanel
	apart  []string // materials that are not shown

	unproved []string // and those whose steps take too much work to find
}

func newCosts(q *pricing.Quote, l *locale.Locale) *costs {
	c := &costs{quote: q, words: l}
	var places []int
	for i := range q.Supply.Comparison {
		one := &q.Supply.Comparison[i]
		if len(one.BagPlan.Purchases) == 0 || len(one.BulkPlan.Purchases) == 0 || len(places) == mostCosts {
			c.apart = append(c.apart, one.Material.Name)
			continue
		}
		places = append(places, i)
	}
	steps, err := q.CostSteps(context.Background(), places)
	if err != nil {
		return c // a sheet less; the answer has the break-even in words
	}
	for i, k := range places {
		one := &q.Supply.Comparison[k]
		if steps[i] != nil && steps[i].Unproved {
			c.unproved = append(c.unproved, one.Material.Name)
			continue
		}
		if steps[i] == nil || len(steps[i].Bags) == 0 || len(steps[i].Bulk) == 0 {
			c.apart = append(c.apart, one.Material.Name)
			continue
		}
		c.panels = append(c.panels, costPanel{material: k, compared: one, steps: steps[i]})
	}
	return c
}

func (c *costs) draw() {
	const gap drawing.Millimetres = 8
	title := c.words.Say("charts.cost.title", "job", titleOf(c.quote))
	c.sheet = &drawing.Sheet{Title: title, Language: c.words.Tag(), Width: planWidth}
	description := []string{c.words.Say("charts.cost.description")}
	width := (planWidth - gap) / 2
	if len(c.panels) == 1 {
		width = 130
	}
	y := drawing.Millimetres(1)
	for i := 0; i < len(c.panels); i += 2 {
		below := y
		for k := i; k < min(i+2, len(c.panels)); k++ {
			below = max(below, c.heads(&c.panels[k], drawing.Millimetres(k-i)*(width+gap), y, width))
		}
		low := below
		for k := i; k < min(i+2, len(c.panels)); k++ {
			p := &c.panels[k]
			low = max(low, c.chart(p, drawing.Millimetres(k-i)*(width+gap), below, width))
			description = append(description, p.compared.Material.Name+": "+c.needs(p)+" "+c.verdict(p))
		}
		y = low + 6
	}
	for _, left := range [...]struct {
		key       string
		materials []string
	}{{"charts.cost.apart", c.apart}, {"charts.cost.unproved", c.unproved}} {
		if len(left.materials) == 0 {
			continue
		}
		text := c.words.Say(left.key, "materials", strings.Join(left.materials, ", "))
		description = append(description, text)
		for _, line := range wrapped(text, small, planWidth-2) {
			y += 4
			c.sheet.Add(words(1, y-3, line, small, drawing.Start))
		}
	}
	c.sheet.Height = y
	c.sheet.Description = strings.Join(description, " ")
}

// needs says what is needed and what it costs either way.
func (c *costs) needs(p *costPanel) string {
	return c.words.Say("charts.cost.needs", "quantity", c.volume(p.compared.Needed), "bags", c.words.Money(p.compared.NeedBags, c.quote.List.Currency),
		"bulk", c.words.Money(p.compared.NeedBulk, c.quote.List.Currency))
}

// verdict says which way is the cheaper, and from where on bulk is.
func (c *costs) verdict(p *costPanel) string {
	one := p.compared
	text := c.words.Say("charts.cost.alike")
	switch {
	case one.NeedBags < one.NeedBulk:
		text = c.words.Say("charts.cost.bags_cheaper")
	case one.NeedBulk < one.NeedBags:
		text = c.words.Say("charts.cost.bulk_cheaper")
	}
	switch {
	case !one.Found:
		return text + " " + c.words.Say("charts.cost.bags_win", "quantity", c.volume(measure.Volume(one.Range)))
	case one.Above <= 0:
		return text + " " + c.words.Say("charts.cost.bulk_wins")
	}
	return text + " " + c.words.Say("charts.cost.bulk_from", "quantity", c.volume(measure.Volume(one.Above)))
}

func (c *costs) volume(v measure.Volume) string { return c.words.Volume(v, c.quote.Job.System) }

// heads writes the words of a panel and gives where they end.
func (c *costs) heads(p *costPanel, x, y, width drawing.Millimetres) drawing.Millimetres {
	head := words(x+1, y+3.5, fitted(p.compared.Material.Name, heading, width-2), heading, drawing.Start)
	head.Bold = true
	c.sheet.Add(head)
	y += 4
	texts := []string{c.needs(p), c.verdict(p)}
	if p.compared.Needed > p.reach() {
		texts = append(texts, c.words.Say("charts.cost.beyond", "quantity", c.volume(p.reach())))
	}
	for _, text := range texts {
		for _, line := range wrapped(text, small, width-2) {
			y += 3.6
			c.sheet.Add(words(x+1, y, line, small, drawing.Start))
		}
	}
	return y
}

// x and y are where a quantity and a cost lie on the sheet.
func (p *costPanel) x(v measure.Volume) drawing.Millimetres {
	return p.left + (p.right-p.left)*drawing.Millimetres(float64(v)/float64(p.most))
}

func (p *costPanel) y(a money.Amount) drawing.Millimetres {
	return p.bottom - (p.bottom-p.top)*drawing.Millimetres(float64(a)/float64(p.dearest))
}

// reach is how far to the right the chart goes: well past what is needed and past the break-even, within the steps.
func (p *costPanel) reach() measure.Volume {
	reach := p.compared.Needed * 2
	if above := measure.Volume(p.compared.Above); p.compared.Found {
		reach = max(reach, above*1.4)
	}
	if reach <= 0 || reach > p.steps.UpTo {
		return p.steps.UpTo
	}
	return reach
}

// roundStep is the least of 1, 2 and 5 times a power of ten that is at least v.
func roundStep(v float64) float64 {
	step := math.Pow(10, math.Floor(math.Log10(v)))
	for _, k := range [...]float64{1, 2, 5, 10} {
		if k*step >= v*(1-1e-9) {
			return k * step
		}
	}
	return v
}

// chart draws axes, costs and marks of a panel from y down and gives where it ends.
func (c *costs) chart(p *costPanel, x, y, width drawing.Millimetres) drawing.Millimetres {
	high := drawing.Millimetres(40)
	if len(c.panels) > 4 { // three rows make a page
		high = 31
	}
	p.most = p.reach()
	reached := func(steps []supply.Step) (dearest money.Amount) {
		for i, s := range steps {
			if i == 0 || measure.Volume(steps[i-1].UpTo) < p.most {
				dearest = max(dearest, s.Cost)
			}
		}
		return dearest
	}
	most := max(1, reached(p.steps.Bags), reached(p.steps.Bulk))
	step := money.Amount(max(1, math.Round(roundStep(float64(most)/4.5))))
	p.dearest = (most + step - 1) / step * step
	var marks []string
	widest := drawing.Millimetres(0)
	for a := money.Amount(0); a <= p.dearest; a += step {
		mark := c.words.RoundMoney(a, c.quote.List.Currency)
		marks, widest = append(marks, mark), max(widest, wide(mark, tiny, false))
	}
	ways := [...]string{c.words.Say("charts.cost.bags"), c.words.Say("charts.cost.bulk")}
	p.left, p.right = x+widest+2.6, x+width-max(wide(ways[0], small, false), wide(ways[1], small, false))-2
	p.top = y + 10
	p.bottom = p.top + high

	for i, mark := range marks {
		at := p.y(money.Amount(i) * step)
		c.sheet.Add(drawing.Rule(p.left-1, at, p.right, at, drawing.Joint), words(p.left-1.6, at+tiny*0.36, mark, tiny, drawing.End))
	}
	c.quantities(p)
	c.sheet.Add(drawing.Rule(p.left, p.top, p.left, p.bottom, drawing.Heavy), drawing.Rule(p.left, p.bottom, p.right, p.bottom, drawing.Heavy))
	c.marks(p, x, width)

	ends := [2]drawing.Millimetres{}
	for i, series := range [...]struct {
		steps []supply.Step
		ink   drawing.Ink
		class string
	}{{p.steps.Bags, drawing.Series1, classBags}, {p.steps.Bulk, drawing.Series2, classBulk}} {
		shape := p.line(series.steps)
		shape.Ink, shape.Class = series.ink, series.class
		c.sheet.Add(shape)
		ends[i] = shape.Steps[len(shape.Steps)-1].To.Y
	}
	const apart = drawing.Millimetres(3.2)
	upper, lower := 0, 1
	if ends[1] < ends[0] {
		upper, lower = 1, 0
	}
	if d := ends[lower] - ends[upper]; d < apart {
		middle := min((ends[0]+ends[1])/2, p.bottom-apart/2)
		ends[upper], ends[lower] = middle-apart/2, middle+apart/2
	}
	for i, way := range ways {
		c.sheet.Add(words(p.right+1.2, ends[i]+small*0.36, way, small, drawing.Start))
	}
	return p.bottom + 9
}

// line is a cost as steps: flat as far as one step goes, then straight up or down to the next.
func (p *costPanel) line(steps []supply.Step) *drawing.Shape {
	shape := &drawing.Shape{Steps: []drawing.Step{drawing.Move(p.x(0), p.y(steps[0].Cost))}}
	for i, s := range steps {
		if i > 0 {
			shape.Steps = append(shape.Steps, drawing.Line(p.x(measure.Volume(steps[i-1].UpTo)), p.y(s.Cost)))
		}
		shape.Steps = append(shape.Steps, drawing.Line(p.x(min(p.most, measure.Volume(s.UpTo))), p.y(s.Cost)))
		if measure.Volume(s.UpTo) >= p.most {
			break
		}
	}
	return shape
}

// quantities draws the marks of the axis of quantities.
func (c *costs) quantities(p *costPanel) {
	unit, name := c.quote.Job.System.VolumeUnit()
	most := p.most.In(unit)
	step := roundStep(most / 6)
	digits := max(0, -int(math.Floor(math.Log10(step)+1e-9)))
	for k := 0; float64(k)*step <= most*(1+1e-9); k++ {
		v := float64(k) * step
		at := p.x(measure.Volume(v * float64(unit)))
		c.sheet.Add(drawing.Rule(at, p.bottom, at, p.bottom+1, drawing.Outline),
			words(at, p.bottom+3.6, c.words.Number(v, digits), tiny, drawing.Middle))
	}
	c.sheet.Add(words((p.left+p.right)/2, p.bottom+7.4, c.words.Say("charts.cost.quantity", "unit", c.words.Unit(name)), small, drawing.Middle))
}

// costMark is an upright line with its words above the field.
type costMark struct {
	at    drawing.Millimetres
	text  string
	class string
	ink   drawing.Ink
}

// marks draws what is needed and the break-even, with their words in two rows above the field.
func (c *costs) marks(p *costPanel, x, width drawing.Millimetres) {
	var marks []costMark
	if p.compared.Needed <= p.most {
		marks = append(marks, costMark{p.x(p.compared.Needed), c.words.Say("charts.cost.needed", "quantity", c.volume(p.compared.Needed)), classNeeded, drawing.Outline})
	}
	if above := measure.Volume(p.compared.Above); p.compared.Found && above > 0 && above <= p.most {
		marks = append(marks, costMark{p.x(above), c.words.Say("charts.cost.break_even", "quantity", c.volume(above)), classBreakEven, drawing.Hidden})
	}
	// The lower row goes to the mark whose words fit beside the line of the other.
	row := [...]drawing.Millimetres{p.top - 1.4, p.top - 5.4}
	place := func(m *costMark, row, from, to drawing.Millimetres) {
		long := wide(m.text, small, false)
		start := max(from, min(m.at-long/2, to-long))
		c.sheet.Add(drawing.Rule(m.at, row+0.8, m.at, p.bottom, m.ink), words(start, row, m.text, small, drawing.Start))
		c.sheet.Items[len(c.sheet.Items)-2].(*drawing.Shape).Class = m.class
	}
	left, right := x+1, x+width-0.5
	switch len(marks) {
	case 1:
		place(&marks[0], row[0], left, right)
	case 2:
		a, b := &marks[0], &marks[1]
		if b.at < a.at {
			a, b = b, a
		}
		if a.at-1-left >= wide(a.text, small, false) && b.at-1-left-wide(a.text, small, false) < right-a.at-1-wide(b.text, small, false) || right-a.at-1 < wide(b.text, small, false) {
			place(a, row[0], left, b.at-1)
			place(b, row[1], left, right)
			return
		}
		place(b, row[0], a.at+1, right)
		place(a, row[1], left, right)
	}
}
