package render

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"bedline/api/render/drawing"
	"bedline/estimate"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

const (
	small    drawing.Millimetres = 2.5 // letters of measures
	tiny     drawing.Millimetres = 2.1 // letters of stakes and levels
	standoff drawing.Millimetres = 4.2 // of a dimension from its side
	cross    drawing.Millimetres = 1   // half of the mark of a stake

	datumRing drawing.Millimetres = 1.5
)

// letter marks and names what is on the ground. Whatever comes first gets its place first: marks, then the lengths of
// the sides, names, falls, levels, stakes, and last the sides that are too short for a dimension line.
func (p *planner) letter() {
	for i := range p.quote.Job.Beds {
		p.ordinates(p.quote.Job.Beds[i].Outline)
	}
	for i := range p.quote.Job.Paving {
		p.ordinates(p.quote.Job.Paving[i].Outline)
	}
	p.marks()
	p.datum()
	short := p.sides()
	p.names()
	p.falls()
	p.levels()
	p.stakes()
	p.shortSides(short)
	if p.unnumberedSides > 0 {
		p.notes = append(p.notes, p.words.Count("plan.sides_without_number", p.unnumberedSides))
	}
}

// shortened is a name that is not too long for a plan.
func shortened(name string) string {
	const most = 24
	if r := []rune(name); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return name
}

// put writes a text at a candidate, with its leader.
func (p *planner) put(c *candidate, text string, size, half, high drawing.Millimetres) {
	b := box{c.middle, half, high, c.turn}
	if c.leader {
		p.lead(c, &b)
	}
	p.sheet.Add(labelIn(c.middle, c.turn, text, size))
	p.place.take(b, false)
}

// lead draws the leader of a label.
func (p *planner) lead(c *candidate, b *box) {
	from, to := leaderOf(c, b)
	p.sheet.Add(drawing.Rule(from.X, from.Y, to.X, to.Y, drawing.Thin))
	p.place.take(segment(from, to), false)
}

// try writes a text at the first candidate with room for it.
func (p *planner) try(candidates []candidate, text string, size drawing.Millimetres) bool {
	half, high := halfOf(text, size)
	c, ok := p.place.place(candidates, half, high)
	if ok {
		p.put(&c, text, size, half, high)
	}
	return ok
}

// halfOf is half of the length and height of a label, with some air round it.
func halfOf(text string, size drawing.Millimetres) (half, high drawing.Millimetres) {
	return wide(text, size, false)/2 + 0.3, (above+under)/2*size + 0.15
}

// side is a side of an outline as the plan numbers it.
type side struct {
	outline.Edge
	number int
}

// sides writes the number and the length of every side of the beds and paved areas beside it, and gives back those that
// are too short.
func (p *planner) sides() []side {
	var short []side
	of := func(o *outline.Outline) {
		for r := range o.Rings() {
			ring := &o.Rings()[r]
			var own []side
			for i := range ring.Elements {
				if e := &ring.Elements[i]; e.Side >= 0 {
					own = append(own, side{e.Edge, e.Side})
				}
			}
			own = joined(own)
			for i := range own {
				if !p.dimension(&own[i]) {
					short = append(short, own[i])
				}
			}
		}
	}
	for i := range p.quote.Job.Beds {
		of(p.quote.Job.Beds[i].Outline)
	}
	for i := range p.quote.Job.Paving {
		of(p.quote.Job.Paving[i].Outline)
	}
	return short
}

// joined leaves out all but the longest element of a side that has several, which is where it is numbered.
func joined(sides []side) []side {
	out := sides[:0]
	for _, s := range sides {
		if n := len(out); n > 0 && out[n-1].number == s.number {
			if s.Length() > out[n-1].Length() {
				out[n-1] = s
			}
			continue
		}
		out = append(out, s)
	}
	return out
}

// tag is the number of a side in a ring and its length behind it.
type tag struct {
	number, length string
	ring, words    drawing.Millimetres // how long they are
	slack          drawing.Millimetres // what is most likely left over on either side
}

const tagGap drawing.Millimetres = 0.8

func (p *planner) tag(s *side) tag {
	t := tag{number: strconv.Itoa(s.number), length: p.words.Length(s.Length(), p.quote.Job.System)}
	t.ring, t.words = max(3.4, wide(t.number, tiny, false)+1.4), wide(t.length, small, false)
	t.slack = (t.words - likely(t.length, small)) / 2
	return t
}

func (t *tag) half() drawing.Millimetres { return (t.ring+tagGap+t.words)/2 + 0.3 }

const tagHigh drawing.Millimetres = 1.8

// drawTag draws a tag at its place.
func (p *planner) drawTag(t *tag, c *candidate) {
	sin, cos := math.Sincos(c.turn * math.Pi / 180)
	at := func(along, across drawing.Millimetres) drawing.Spot {
		return drawing.Spot{
			X: c.middle.X + along*drawing.Millimetres(cos) - across*drawing.Millimetres(sin),
			Y: c.middle.Y + along*drawing.Millimetres(sin) + across*drawing.Millimetres(cos),
		}
	}
	b := box{c.middle, t.half(), tagHigh, c.turn}
	if c.leader {
		p.lead(c, &b)
	}
	r := drawing.Millimetres(1.7)
	left := -t.half() + 0.3 + t.slack + r
	right := left + t.ring - 2*r
	start := at(left, r)
	p.sheet.Add(&drawing.Shape{Steps: []drawing.Step{
		drawing.Move(start.X, start.Y),
		{Kind: drawing.ArcTo, To: at(left, -r), Centre: at(left, 0), Radius: r, Turn: 180},
		{Kind: drawing.LineTo, To: at(right, -r)},
		{Kind: drawing.ArcTo, To: at(right, r), Centre: at(right, 0), Radius: r, Turn: 180},
		drawing.Closed(),
	}, Fill: drawing.Paper, Ink: drawing.Measure},
		labelIn(at((left+right)/2, 0), c.turn, t.number, tiny))
	length := labelIn(at(right+r+tagGap, 0), c.turn, t.length, small)
	length.Anchor = drawing.Start
	p.sheet.Add(length)
	p.place.take(b, false)
	p.explain(entry{mark: ringMark, word: "plan.side_number"})
}

// upright turns words so that they are read from below or from the right.
func upright(turn float64) float64 {
	turn = math.Remainder(turn, 360)
	switch {
	case turn >= 89.99:
		return turn - 180
	case turn < -90.01:
		return turn + 180
	}
	return turn
}

// dimension writes a side's number and length on its right, where no ground of the outline lies, or, where that has no
// room, on its left. It is false for a side that is too short, or that finds no room.
func (p *planner) dimension(s *side) bool {
	t := p.tag(s)
	if p.onPaper(s.Length()) < 2*t.half()+3 {
		return false
	}
	if s.Straight() {
		return p.straightDimension(s, &t)
	}
	var candidates []candidate
	shares := []measure.Factor{0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9}
	if s.From == s.To {
		shares = []measure.Factor{0.25, 0.75, 0.375, 0.125, 0.625, 0.875, 0.5, 0}
	}
	for _, off := range [...]drawing.Millimetres{3, -3 - p.across(), 5, -5 - p.across(), 8, -8 - p.across(), 11, -11 - p.across()} {
		for _, share := range shares {
			heading := float64(s.Heading(share))
			sin, cos := math.Sincos(heading)
			middle := p.spot(s.Point(share))
			middle.X += off * drawing.Millimetres(sin)
			middle.Y += off * drawing.Millimetres(cos)
			candidates = append(candidates, candidate{middle: middle, turn: upright(-heading * 180 / math.Pi)})
		}
	}
	c, ok := p.place.place(candidates, t.half(), tagHigh)
	if ok {
		p.drawTag(&t, &c)
	}
	return ok
}

// across is the widest course on paper, which a label on the ground's side has to clear.
func (p *planner) across() drawing.Millimetres {
	var most measure.Length
	for i := range p.quote.Takeoff.Courses {
		most = max(most, p.quote.Takeoff.Courses[i].Course.Width)
	}
	return p.onPaper(most)
}

func (p *planner) straightDimension(s *side, t *tag) bool {
	from, to := p.spot(s.From), p.spot(s.To)
	long := math.Hypot(float64(to.X-from.X), float64(to.Y-from.Y))
	x, y := drawing.Millimetres(float64(to.X-from.X)/long), drawing.Millimetres(float64(to.Y-from.Y)/long)
	turn := upright(math.Atan2(float64(y), float64(x)) * 180 / math.Pi)
	move := func(s drawing.Spot, along, off drawing.Millimetres) drawing.Spot { // off to the right as the side runs
		return drawing.Spot{X: s.X + along*x - off*y, Y: s.Y + along*y + off*x}
	}
	// Well clear of the lines of the ground if it can be, so that it is not taken for one of those of a neighbour; then
	// clear of them, or the words at least.
	for _, clear := range [...]struct {
		line, words bool
		by          drawing.Millimetres
	}{{true, true, 2}, {true, true, 0}, {false, true, 0}, {false, false, 0}} {
		for _, off := range [...]drawing.Millimetres{standoff, standoff + 3.6, standoff + 7.2, -standoff - p.across(), -standoff - 4 - p.across()} {
			a, b := move(from, 0, off), move(to, 0, off)
			whole := segment(a, b)
			inner := segment(move(a, 1, 0), move(b, -1, 0))
			beside := inner
			beside.high = clear.by
			if clear.by > 0 && !p.place.offLines(&beside) || !p.place.inside(&whole) || !p.place.free(&inner, clear.line) || !p.place.free(&whole, false) {
				continue
			}
			for _, share := range [...]drawing.Millimetres{0.5, 0.4, 0.6, 0.3, 0.7} {
				along := drawing.Millimetres(long) * share
				if along-t.half() < 1.2 || drawing.Millimetres(long)-along-t.half() < 1.2 {
					continue
				}
				c := candidate{middle: move(a, along, 0), turn: turn}
				if !p.place.stands(&c, t.half(), tagHigh, clear.words) {
					continue
				}
				p.dimensionLine(a, b, move(a, along-t.half()+t.slack, 0), move(a, along+t.half()-t.slack, 0), x, y)
				p.place.take(whole, false)
				p.drawTag(t, &c)
				return true
			}
		}
	}
	return false
}

// dimensionLine runs from a to b but for a gap, with ticks across its ends as builders draw them.
func (p *planner) dimensionLine(a, b, gapFrom, gapTo drawing.Spot, x, y drawing.Millimetres) {
	p.sheet.Add(&drawing.Shape{Ink: drawing.Measure, Steps: []drawing.Step{
		drawing.Move(a.X, a.Y), drawing.Line(gapFrom.X, gapFrom.Y), drawing.Move(gapTo.X, gapTo.Y), drawing.Line(b.X, b.Y)}})
	ticks := &drawing.Shape{Ink: drawing.Outline}
	for _, end := range [...]drawing.Spot{a, b} {
		const d = drawing.Millimetres(0.9)
		u, v := (x-y)*d, (y+x)*d
		ticks.Steps = append(ticks.Steps, drawing.Move(end.X-u, end.Y-v), drawing.Line(end.X+u, end.Y+v))
		p.place.take(segment(drawing.Spot{X: end.X - u, Y: end.Y - v}, drawing.Spot{X: end.X + u, Y: end.Y + v}), true)
	}
	p.sheet.Add(ticks)
}

// mostShort is how many short sides are numbered at most; of more, only one in so many is.
const mostShort = 40

// shortSides numbers the sides that have no dimension line, each on a leader.
func (p *planner) shortSides(short []side) {
	every := thinned(len(short), mostShort)
	if every > 1 {
		p.notes = append(p.notes, p.words.Say("plan.short_sides_thinned", "every", p.words.Whole(every)))
	}
	for i := range short {
		s := &short[i]
		if i%every != 0 {
			continue
		}
		t := p.tag(s)
		middle := p.spot(s.Point(0.5))
		begin := drawing.Millimetres(0.4)
		if p.onPaper(s.Length()) < 2*(cross+begin) { // the stakes of its ends stand there
			begin = cross + 0.6
		}
		var candidates []candidate
		for _, far := range [...]drawing.Millimetres{4, 7, 10, 14, 18} {
			for _, lean := range [...]float64{0, 25, -25, 50, -50, 180, 155, 205, 130, 230} {
				sin, cos := math.Sincos(float64(s.Heading(0.5)) - math.Pi/2 + lean*math.Pi/180)
				dx, dy := drawing.Millimetres(cos), drawing.Millimetres(-sin)
				candidates = append(candidates, candidate{
					middle: drawing.Spot{X: middle.X + dx*(far+t.half()-2), Y: middle.Y + dy*far}, leader: true,
					from: drawing.Spot{X: middle.X + dx*begin, Y: middle.Y + dy*begin},
				})
			}
		}
		c, ok := p.place.place(candidates, t.half(), tagHigh)
		if !ok {
			p.unnumberedSides++
			continue
		}
		p.drawTag(&t, &c)
	}
}

// thinned tells that one in so many of n is to be named so that at most so many are.
func thinned(n, most int) int {
	k := 0
	for (n+step(k)-1)/step(k) > most {
		k++
	}
	return step(k)
}

// step is 1, 2, 5, 10, 20, 50 and so on.
func step(k int) int {
	n := [...]int{1, 2, 5}[k%3]
	for range k / 3 {
		n *= 10
	}
	return n
}

// datum marks where coordinates are taken from.
func (p *planner) datum() {
	spec := p.quote.Takeoff.SetOut.Spec
	mark := func(at outline.Point, name, word string) {
		s := p.spot(at)
		if !p.onSheet(s, 3) {
			return
		}
		ring := drawing.Circle(s.X, s.Y, datumRing, drawing.NoFill, drawing.Outline)
		ring.Class = classDatum
		p.sheet.Add(ring)
		p.explain(entry{mark: datumMark, word: word})
		p.place.take(box{s, datumRing, datumRing, 0}, false)
		if name != "" {
			p.try(round(s, 1.8, halfWidth(name), tiny/2), name, tiny)
		}
	}
	if spec != nil && spec.Stated {
		mark(spec.Origin, estimate.OriginLabel, "plan.datum")
		mark(spec.Towards, estimate.TowardsLabel, "plan.datum")
		return
	}
	mark(outline.Point{}, "", "plan.origin")
}

func halfWidth(text string) drawing.Millimetres {
	half, _ := halfOf(text, tiny)
	return half
}

// How many stakes of a part are marked and named at most, and how far apart their marks are on the mean at least. Of
// more, only one in so many is.
const (
	mostMarked = 400
	mostNamed  = 60

	leastApart drawing.Millimetres = 1.6
)

// marked tells that one in so many of the stakes of a part is marked.
func (p *planner) marked(part *estimate.StakedPart) int {
	var long drawing.Millimetres
	for k := range part.Stakes {
		if k > 0 {
			a, b := p.spot(part.Position(k-1)), p.spot(part.Position(k))
			long += drawing.Millimetres(math.Hypot(float64(b.X-a.X), float64(b.Y-a.Y)))
		}
	}
	return thinned(len(part.Stakes), min(mostMarked, max(mostShort, int(long/leastApart))))
}

// marks takes the paper of all marks, so that no label stands on one.
func (p *planner) marks() {
	for i := range p.quote.Takeoff.SetOut.Parts {
		part := &p.quote.Takeoff.SetOut.Parts[i]
		every := p.marked(part)
		for k := range part.Stakes {
			if s := p.spot(part.Position(k)); k%every == 0 && p.onSheet(s, 1) {
				p.place.take(box{s, cross, cross, 0}, false)
			}
		}
	}
	for _, g := range p.grades() {
		for k := range g.Spots {
			p.place.take(box{p.spot(g.Spots[k].At), 0.9, 0.9, 0}, false)
		}
	}
}

// grades are those of beds and paved areas.
func (p *planner) grades() []*estimate.Grade {
	var all []*estimate.Grade
	for i := range p.quote.Job.Beds {
		all = append(all, &p.quote.Job.Beds[i].Grade)
	}
	for i := range p.quote.Job.Paving {
		all = append(all, &p.quote.Job.Paving[i].Grade)
	}
	return all
}

// stakes marks every stake with its label. Of a row too dense for all names only one in so many is named, which the
// notes tell.
func (p *planner) stakes() {
	off := 0
	for i := range p.quote.Takeoff.SetOut.Parts {
		part := &p.quote.Takeoff.SetOut.Parts[i]
		marked := p.marked(part)
		var seen []int
		for k := range part.Stakes {
			if k%marked != 0 {
				continue
			}
			s := p.spot(part.Position(k))
			if !p.onSheet(s, 1) {
				off++ // a pivot far off; the set-out tells where
				continue
			}
			seen = append(seen, k)
			p.stakeMark(s, part.Stakes[k].Kind == outline.PivotStake)
		}
		every := p.nameStakes(part, seen)
		first := ""
		if len(seen) > 0 {
			first = part.Stakes[seen[0]].Label
		}
		switch {
		case marked > 1:
			p.notes = append(p.notes, p.words.Say("plan.stakes_marked", "first", first, "every", p.words.Whole(marked)))
			fallthrough
		case every > 1:
			if every > 1 {
				p.notes = append(p.notes, p.words.Say("plan.stakes_thinned", "first", first, "every", p.words.Whole(every*marked)))
			}
		}
	}
	if p.unnamedStakes > 0 {
		p.notes = append(p.notes, p.words.Count("plan.stakes_without_name", p.unnamedStakes))
	}
	if off > 0 {
		p.notes = append(p.notes, p.words.Count("plan.stakes_off", off))
	}
}

func (p *planner) stakeMark(s drawing.Spot, pivot bool) {
	if pivot {
		ring := drawing.Circle(s.X, s.Y, 0.7, drawing.Paper, drawing.Outline)
		ring.Class = classPivot
		p.sheet.Add(ring, drawing.Circle(s.X, s.Y, 0.2, drawing.Ink100, drawing.NoInk))
		p.explain(entry{mark: pivotMark, word: "plan.pivot"})
		return
	}
	p.sheet.Add(&drawing.Shape{Ink: drawing.Outline, Class: classStake, Steps: []drawing.Step{
		drawing.Move(s.X-cross, s.Y-cross), drawing.Line(s.X+cross, s.Y+cross), drawing.Move(s.X-cross, s.Y+cross), drawing.Line(s.X+cross, s.Y-cross)}})
	p.explain(entry{mark: stakeMark, word: "plan.stake"})
}

// roundStake are places round the mark of a stake or a level, first close by, then beside the ring of a datum there.
func roundStake(at drawing.Spot, half, high drawing.Millimetres) []candidate {
	near := round(at, cross+0.25, half, high)
	return append(near[:beside:beside], append(round(at, datumRing+0.4, half, high), near[beside:]...)...)
}

// nameStakes names one in so many of the stakes of a part: every one, if there is room for nearly all.
func (p *planner) nameStakes(part *estimate.StakedPart, seen []int) (every int) {
	boxes, items := len(p.place.boxes), len(p.sheet.Items)
	for k := 0; ; k++ {
		every = step(k)
		if len(seen) > every*mostNamed {
			continue
		}
		named, left := 0, 0
		for i, stake := range seen {
			if i%every != 0 {
				continue
			}
			named++
			text, at := part.Stakes[stake].Label, p.spot(part.Position(stake))
			half, high := halfOf(text, tiny)
			if !p.try(roundStake(at, half, high), text, tiny) {
				left++
			}
			if left > 1 && left > len(seen)/every/5 {
				break
			}
		}
		if left <= 1 || left <= named/5 {
			p.unnamedStakes += left
			return every
		}
		p.place.undo(boxes)
		p.sheet.Items = p.sheet.Items[:items]
	}
}

// within are places on the ground of an outline, those nearest to its middle first.
func (p *planner) within(o *outline.Outline) []candidate {
	low, high := o.Bounds()
	const parts = 12
	type place struct {
		candidate
		far float64
	}
	places := make([]place, 0, parts*parts)
	for i := range parts + 1 {
		for k := range parts + 1 {
			u, v := float64(i)/parts, float64(k)/parts
			at := outline.Point{X: low.X + measure.Length(u)*(high.X-low.X), Y: low.Y + measure.Length(v)*(high.Y-low.Y)}
			if !o.Contains(at, 0) {
				continue
			}
			places = append(places, place{candidate{middle: p.spot(at)}, math.Hypot(float64(at.X-(low.X+high.X)/2), float64(at.Y-(low.Y+high.Y)/2))})
		}
	}
	slices.SortStableFunc(places, func(a, b place) int {
		switch {
		case a.far < b.far-1e-9:
			return -1
		case a.far > b.far+1e-9:
			return 1
		}
		return 0
	})
	out := make([]candidate, len(places))
	for i := range places {
		out[i] = places[i].candidate
	}
	return out
}

// open are places on a bed, those first on which nothing stands.
func (p *planner) open(bed *estimate.Bed) []candidate {
	covers := func(l outline.Loop) box {
		low, high := l.Bounds()
		return box{p.spot(outline.Point{X: (low.X + high.X) / 2, Y: (low.Y + high.Y) / 2}), p.onPaper(high.X-low.X) / 2, p.onPaper(high.Y-low.Y) / 2, 0}
	}
	var taken []box
	for i := range p.quote.Job.Paving {
		taken = append(taken, covers(p.quote.Job.Paving[i].Outline.Loop()))
	}
	for i := range p.quote.Takeoff.Slabs {
		taken = append(taken, covers(p.quote.Takeoff.Slabs[i].Grid.Footprint()))
	}
	for i := range p.quote.Job.Planters {
		taken = append(taken, covers(p.quote.Job.Planters[i].Footprint()))
	}
	half, high := halfOf(shortened(bed.ID), small)
	var first, last []candidate
	for _, c := range p.within(bed.Outline) {
		b := box{c.middle, half, high, 0}
		if slices.ContainsFunc(taken, func(t box) bool { return t.meets(&b) }) {
			last = append(last, c)
			continue
		}
		first = append(first, c)
	}
	return append(first, last...)
}

// names writes what everything is called.
func (p *planner) names() {
	s := p.quote.Job.System
	for i := range p.quote.Job.Planters {
		t := &p.quote.Job.Planters[i]
		p.name(t.Footprint(), []outline.Loop{t.Footprint()}, t.ID, p.words.Length(t.Length, s), p.words.Length(t.Width, s))
	}
	for i := range p.quote.Takeoff.Slabs {
		g := &p.quote.Takeoff.Slabs[i].Grid
		p.name(g.Footprint(), g.Slabs(), p.quote.Takeoff.Slabs[i].ID, p.words.Length(g.Length(), s), p.words.Length(g.Width(), s))
	}
	for i := range p.quote.Job.Obstacles {
		o := &p.quote.Job.Obstacles[i]
		if o.Footprint() == nil {
			p.nameLine(o)
			continue
		}
		at := p.spot(o.At)
		name := obstacleName(o, p.words)
		half, high := halfOf(name, tiny)
		r := p.onPaper(max(o.Diameter/2, measure.Length(math.Hypot(float64(o.Length), float64(o.Width))/2)))
		p.try(round(at, max(leastTrunk, r)+0.6, half, high), name, tiny)
	}
	for i := range p.quote.Job.Beds {
		bed := &p.quote.Job.Beds[i]
		p.try(append(p.open(bed), p.besideThin(bed.Outline, bed.ID)...), shortened(bed.ID), small)
	}
	for i := range p.quote.Job.Paving {
		area := &p.quote.Job.Paving[i]
		p.try(append(p.within(area.Outline), p.besideThin(area.Outline, area.ID)...), shortened(area.ID), small)
	}
}

// besideThin are places beside ground that is too thin on paper to hold its name.
func (p *planner) besideThin(o *outline.Outline, id string) []candidate {
	low, high := o.Bounds()
	thin := p.onPaper(min(high.X-low.X, high.Y-low.Y))
	if thin > 6 {
		return nil
	}
	half, tall := halfOf(shortened(id), small)
	return round(p.spot(outline.Point{X: (low.X + high.X) / 2, Y: (low.Y + high.Y) / 2}), thin/2+0.6, half, tall)
}

// mostCells is how many slabs of a group are tried for its name.
const mostCells = 60

// name writes the name of a planter or a group of slabs with its size on one of its cells, without the size where that
// has no room, beside it where even that is too long.
func (p *planner) name(footprint outline.Loop, cells []outline.Loop, id, length, width string) {
	id = shortened(id)
	centre := func(l outline.Loop) (drawing.Spot, box) {
		low, high := l.Bounds()
		at := p.spot(outline.Point{X: (low.X + high.X) / 2, Y: (low.Y + high.Y) / 2})
		return at, box{at, p.onPaper(high.X-low.X) / 2, p.onPaper(high.Y-low.Y) / 2, 0}
	}
	middle, reach := centre(footprint)
	cells = slices.Clone(cells[:min(len(cells), mostCells)])
	far := func(l outline.Loop) float64 {
		at, _ := centre(l)
		return math.Round(1000*math.Hypot(float64(at.X-middle.X), float64(at.Y-middle.Y)) + 0.137) // equals stay equal
	}
	slices.SortStableFunc(cells, func(a, b outline.Loop) int { return cmp.Compare(far(a), far(b)) })
	sized := p.words.Say("plan.name_and_size", "id", id, "length", length, "width", width)
	for _, text := range [...]string{sized, id} {
		half, tall := halfOf(text, small)
		var candidates []candidate
		for _, cell := range cells {
			at, room := centre(cell)
			for _, v := range [...]drawing.Millimetres{0, 0.4, -0.4, 0.7, -0.7, 1, -1} {
				y := at.Y + v*max(0, room.high-tall)
				corners := [...]drawing.Spot{{X: at.X - half, Y: y - tall}, {X: at.X + half, Y: y - tall}, {X: at.X + half, Y: y + tall}, {X: at.X - half, Y: y + tall}}
				if !slices.ContainsFunc(corners[:], func(c drawing.Spot) bool { return !p.holds(cell, c) }) {
					candidates = append(candidates, candidate{middle: drawing.Spot{X: at.X, Y: y}})
				}
			}
		}
		if len(candidates) > 0 && p.try(candidates, text, small) {
			return
		}
	}
	half, tall := halfOf(id, tiny)
	beside := round(middle, min(reach.half, reach.high)+0.4, half, tall)
	p.try(append(beside, candidate{middle: middle}), id, tiny)
}

// holds tells whether a spot is inside of a rectangle on the ground.
func (p *planner) holds(l outline.Loop, s drawing.Spot) bool {
	for _, e := range l {
		a, b := p.spot(e.From), p.spot(e.To)
		if (b.X-a.X)*(s.Y-a.Y)-(b.Y-a.Y)*(s.X-a.X) > 0 { // counter-clockwise on the ground
			return false
		}
	}
	return true
}

// nameLine writes what a wall or footing is called along it.
func (p *planner) nameLine(o *estimate.Obstacle) {
	a, b, ok := p.clip(p.spot(o.From), p.spot(o.To))
	if !ok {
		return
	}
	text := p.words.Say("plan." + string(o.Kind))
	if o.ID != "" {
		text = p.words.Say("plan.named_"+string(o.Kind), "id", shortened(o.ID))
	}
	line := segment(a, b)
	turn := upright(line.turn)
	sin, cos := math.Sincos(turn * math.Pi / 180)
	half, _ := halfOf(text, tiny)
	var candidates []candidate
	for _, off := range [...]drawing.Millimetres{2, -2, 4, -4} {
		for _, share := range [...]drawing.Millimetres{0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9, 0, 1} {
			along := (share*2 - 1) * max(0, line.half-half)
			candidates = append(candidates, candidate{turn: turn, middle: drawing.Spot{
				X: line.middle.X + along*drawing.Millimetres(cos) - off*drawing.Millimetres(sin),
				Y: line.middle.Y + along*drawing.Millimetres(sin) + off*drawing.Millimetres(cos),
			}})
		}
	}
	p.try(candidates, text, tiny)
}

// falls draws an arrow down every fall, with its rate.
func (p *planner) falls() {
	fall := func(f *estimate.Fall, o *outline.Outline) {
		if f == nil {
			return
		}
		// Away from the line of the side, to its left on the ground.
		x, y := float64(f.To.X-f.From.X), float64(f.To.Y-f.From.Y)
		down := math.Atan2(-x, -y) * 180 / math.Pi // the direction (-y, x) on paper, where y points down
		text := p.words.PercentOf(float64(f.Rate), 2)
		half, high := max(wide(text, small, false)/2+0.4, 6), drawing.Millimetres(2.6)
		places := p.within(o)
		for i := range places {
			places[i].turn = upright(down)
		}
		c, ok := p.place.place(places, half, high)
		if !ok {
			return
		}
		forward := drawing.Millimetres(1)
		if math.Abs(math.Remainder(down-c.turn, 360)) > 90 {
			forward = -1
		}
		sin, cos := math.Sincos(c.turn * math.Pi / 180)
		at := func(along, across drawing.Millimetres) drawing.Spot {
			return drawing.Spot{X: c.middle.X + along*drawing.Millimetres(cos) - across*drawing.Millimetres(sin), Y: c.middle.Y + along*drawing.Millimetres(sin) + across*drawing.Millimetres(cos)}
		}
		tail, neck, tip := at(-5.6*forward, 1.5), at(3.6*forward, 1.5), at(5.6*forward, 1.5)
		left, right := at(3.6*forward, 0.8), at(3.6*forward, 2.2)
		line := drawing.Rule(tail.X, tail.Y, neck.X, neck.Y, drawing.Outline)
		line.Class = classFall
		p.sheet.Add(line, &drawing.Shape{Steps: []drawing.Step{drawing.Move(tip.X, tip.Y), drawing.Line(left.X, left.Y), drawing.Line(right.X, right.Y), drawing.Closed()}, Fill: drawing.Ink100},
			labelIn(at(0, -1), c.turn, text, small))
		p.place.take(box{c.middle, half, high, c.turn}, false)
		p.explain(entry{mark: fallMark, word: "plan.falls"})
	}
	for i := range p.quote.Job.Beds {
		fall(p.quote.Job.Beds[i].Grade.Fall, p.quote.Job.Beds[i].Outline)
	}
	for i := range p.quote.Job.Paving {
		fall(p.quote.Job.Paving[i].Grade.Fall, p.quote.Job.Paving[i].Outline)
	}
}

// mostLevels is how many levels bear their figures at most; of more, only one in so many does.
const mostLevels = 120

// levels marks the ground as it was taken with a level string: how far it is below.
func (p *planner) levels() {
	n := 0
	for _, g := range p.grades() {
		n += len(g.Spots)
	}
	every := thinned(n, mostLevels)
	i, left := 0, 0
	for _, g := range p.grades() {
		for k := range g.Spots {
			s := p.spot(g.Spots[k].At)
			if !p.onSheet(s, 1) {
				continue
			}
			p.sheet.Add(&drawing.Shape{Steps: []drawing.Step{drawing.Move(s.X-0.8, s.Y-0.8), drawing.Line(s.X+0.8, s.Y-0.8), drawing.Line(s.X, s.Y+0.6), drawing.Closed()},
				Fill: drawing.Paper, Ink: drawing.Outline, Class: classSpot})
			p.explain(entry{mark: levelMark, word: "plan.level"})
			text := p.words.Depth(g.Spots[k].Down, p.quote.Job.System)
			half, high := halfOf(text, tiny)
			if i++; (i-1)%every != 0 || !p.try(roundStake(s, half, high), text, tiny) {
				left++
			}
		}
	}
	if left > 0 {
		p.notes = append(p.notes, p.words.Count("plan.levels_without_figure", left))
	}
}

// ordinates draws how an outline by offsets was taped from its baseline.
func (p *planner) ordinates(o *outline.Outline) {
	t := o.Taped()
	if t == nil || len(t.Stations) > mostShort {
		return
	}
	for _, s := range t.Stations {
		if s.Out == 0 {
			continue
		}
		foot := outline.Point{X: t.At.X + s.Along, Y: t.At.Y}.Rotate(t.At, t.Rotate)
		end := outline.Point{X: t.At.X + s.Along, Y: t.At.Y + s.Out}.Rotate(t.At, t.Rotate)
		a, b := p.spot(foot), p.spot(end)
		line := drawing.Rule(a.X, a.Y, b.X, b.Y, drawing.Hidden)
		line.Class = classTaped
		p.sheet.Add(line)
		p.explain(entry{ink: drawing.Hidden, word: "plan.ordinate"})
	}
}
