package edition

import (
	"slices"
	"strconv"

	"bedline/api/render/page"
	"bedline/estimate"
	"bedline/estimate/outline"
)

// setOut is what puts the job on the ground: stakes, measures between them, right angles, arcs and curves.
func (c *crew) setOut() {
	s := &c.quote.Takeoff.SetOut
	if len(s.Parts) == 0 {
		return
	}
	c.part("set_out", false)
	if s.Spec.Stated {
		c.paragraph(c.say("set_out.stated", "x0", c.length(s.Spec.Origin.X), "y0", c.length(s.Spec.Origin.Y), "x1", c.length(s.Spec.Towards.X), "y1", c.length(s.Spec.Towards.Y)))
	} else {
		c.paragraph(c.say("set_out.as_drawn"))
	}
	alike, level := true, true
	for i := range s.Parts {
		alike = alike && s.Parts[i].Baseline == s.Parts[0].Baseline
		level = level && !falls(&s.Parts[i])
	}
	if alike { // said once for all
		c.baseline(&s.Parts[0])
	}
	if level {
		c.paragraph(c.say("level"))
	}
	for i := range s.Parts {
		p := &s.Parts[i]
		c.under(c.stakedName(p))
		if !alike {
			c.baseline(p)
		}
		if !level {
			c.surface(p)
		}
		c.staked(p)
	}
}

func (c *crew) baseline(p *estimate.StakedPart) {
	b := &p.Baseline
	c.paragraph(c.say("baseline", "first", b.First, "second", b.Second, "length", c.length(b.Length)))
}

// falls tells whether the finished surface lies below the string at some stake.
func falls(p *estimate.StakedPart) bool {
	return slices.ContainsFunc(p.Stakes, func(s estimate.StakeTakeoff) bool { return s.Kind != outline.PivotStake && s.Down != 0 })
}

// surface tells where the level string runs.
func (c *crew) surface(p *estimate.StakedPart) {
	switch f := c.fall(p); {
	case !falls(p):
		c.paragraph(c.say("level"))
	case f != nil:
		c.paragraph(c.say("falls", "share", c.percent(float64(f.Rate)), "side", strconv.Itoa(f.Side)))
	default:
		c.paragraph(c.say("falls_with"))
	}
}

// staked is one line with its stakes.
func (c *crew) staked(p *estimate.StakedPart) {
	name := c.stakedName(p)
	c.stakes(p, name)
	c.arcs(p, name)
	c.measures(p, name)
	c.rightAngles(p, name)
	c.curves(p, name)
	c.stations(p, name)
	c.ties(p)
}

func (c *crew) stakedName(p *estimate.StakedPart) string {
	name := c.say("zone."+string(p.Kind), "id", p.ID)
	if p.Hole != outline.None {
		name = c.say("hole", "part", name, "n", strconv.Itoa(p.Hole))
	}
	if p.Island != outline.None {
		name = c.say("island", "part", name, "n", strconv.Itoa(p.Island))
	}
	return capital(name)
}

func (c *crew) stakes(p *estimate.StakedPart, name string) {
	b := &p.Baseline
	sloped := falls(p)
	heads := []string{"stake*0.6", "marks*1.9", "#x", "#y", "#to", "#to"}
	if sloped {
		heads = append(heads, "#level")
	}
	t := c.table(c.say("stakes.caption", "part", name), heads...)
	t.Columns[4].Head, t.Columns[5].Head = c.say("head.to", "stake", b.First), c.say("head.to", "stake", b.Second)
	for i := range p.Stakes {
		s := &p.Stakes[i]
		words := []string{s.Label, c.marks(s), c.length(s.At.X), c.length(s.At.Y), c.length(s.ToFirst), c.length(s.ToSecond)}
		if sloped {
			down := ""
			if s.Kind != outline.PivotStake {
				down = c.down(s.Down, "string")
			}
			words = append(words, down)
		}
		tick(t, words...)
	}
	c.show(t)
}

// fall is that of the bed or the paving whose line is staked; nil for none of its own.
func (c *crew) fall(p *estimate.StakedPart) *estimate.Fall {
	j := c.quote.Job
	for i := range j.Beds {
		if p.Kind == estimate.StakedBed && j.Beds[i].ID == p.ID {
			return j.Beds[i].Grade.Fall
		}
	}
	for i := range j.Paving {
		if p.Kind == estimate.StakedPaving && j.Paving[i].ID == p.ID {
			return j.Paving[i].Grade.Fall
		}
	}
	return nil
}

var stakeKeys = [...]string{outline.CornerStake: "corner", outline.TangentStake: "tangent", outline.JointStake: "joint",
	outline.StartStake: "start", outline.PivotStake: "pivot"}

// marks tells what a stake marks.
func (c *crew) marks(s *estimate.StakeTakeoff) string {
	of := c.sideOf(s.Side, s.Corner)
	if s.Kind == outline.CornerStake {
		return of
	}
	what := c.say("stake." + stakeKeys[s.Kind])
	if of == "" {
		return what
	}
	return what + ", " + of
}

// arcs are swung from their pivots.
func (c *crew) arcs(p *estimate.StakedPart, name string) {
	t := c.table(c.say("arcs.caption", "part", name), "arc", "pivot", "from_to", "#radius", "turn", "#chord", "#rise")
	for i := range p.Pivots {
		v := &p.Pivots[i]
		turn := c.say("turn.left", "angle", c.angle(v.Sweep))
		if v.Sweep < 0 {
			turn = c.say("turn.right", "angle", c.angle(-v.Sweep))
		}
		chord, rise := c.length(v.Chord), c.length(v.Rise)
		if v.From == v.To {
			turn, chord, rise = c.say("turn.round"), c.say("none"), c.say("none")
		}
		tick(t, c.sideOf(v.Side, v.Corner), p.Stakes[v.Stake].Label, c.fromTo(p, v.From, v.To), c.length(v.Radius), turn, chord, rise)
	}
	c.show(t)
	if len(t.Rows) > 0 {
		c.remark(c.say("arcs.note"))
	}
}

func (c *crew) fromTo(p *estimate.StakedPart, from, to int) string {
	return c.say("from_to", "from", p.Stakes[from].Label, "to", p.Stakes[to].Label)
}

func (c *crew) measures(p *estimate.StakedPart, name string) {
	kinds := [...]string{outline.SideSpan: "side", outline.DiagonalSpan: "diagonal", outline.CrossSpan: "cross"}
	t := c.table(c.say("measures.caption", "part", name), "measure", "#length")
	for _, s := range p.Spans {
		tick(t, c.say("measure."+kinds[s.Kind], "stakes", c.fromTo(p, s.From, s.To)), c.length(s.Length))
	}
	c.show(t)
	if p.EqualDiagonals {
		c.paragraph(c.say("diagonals_equal"))
	}
}

// rightAngles are checked with triangles of sides 3, 4 and 5.
func (c *crew) rightAngles(p *estimate.StakedPart, name string) {
	t := c.table(c.say("right_angles.caption", "part", name), "at", "leg", "leg", "#hypotenuse")
	for i := range p.RightAngles {
		a := &p.RightAngles[i]
		leg := func(l outline.Leg) string {
			return c.say("leg", "length", c.length(l.Length), "stake", p.Stakes[l.Towards].Label)
		}
		tick(t, p.Stakes[a.At].Label, leg(a.Legs[0]), leg(a.Legs[1]), c.length(a.Hypotenuse))
	}
	c.show(t)
}

// curves have running totals along them.
func (c *crew) curves(p *estimate.StakedPart, name string) {
	for i := range p.Curves {
		v := &p.Curves[i]
		t := c.table(c.say("curve.caption", "part", name, "from", p.Stakes[v.From].Label, "to", p.Stakes[v.To].Label, "length", c.length(v.Length)), "#along", "#x", "#y", "stake")
		for _, m := range v.Marks {
			stake := ""
			if m.Stake != outline.None {
				stake = p.Stakes[m.Stake].Label
			}
			tick(t, c.length(m.Along), c.length(m.At.X), c.length(m.At.Y), stake)
		}
		c.show(t)
	}
}

// stations are those of an outline by offsets, as they were taped.
func (c *crew) stations(p *estimate.StakedPart, name string) {
	t := c.table(c.say("stations.caption", "part", name), "#along", "#out", "stake")
	for _, s := range p.Taped {
		tick(t, c.length(s.Along), c.length(s.Out), p.Stakes[s.Stake].Label)
	}
	c.show(t)
}

// ties tell how well the tapes of a line that was taped from marks fit.
func (c *crew) ties(p *estimate.StakedPart) {
	if p.Kind != estimate.StakedBed {
		return
	}
	for i := range c.quote.Takeoff.Beds {
		b := &c.quote.Takeoff.Beds[i]
		if b.ID != p.ID {
			continue
		}
		ties := b.Ties
		if p.Hole != outline.None {
			hole := &b.Holes[p.Hole]
			ties = hole.Ties
			if p.Island != outline.None {
				ties = hole.Islands[p.Island].Ties
			}
		}
		if ties != nil {
			c.add(&page.Paragraph{Text: page.Plain(c.count("ties", ties.Tapes, "greatest", c.length(ties.Greatest)))})
		}
	}
}
