package edition

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"bedline/api/render"
	"bedline/api/render/page"
	"bedline/estimate"
	"bedline/estimate/earth"
	"bedline/estimate/measure"
	"bedline/pricing"
)

// down is a depth under a level, or a height over it: "4 3/4 in below".
func (c *crew) down(v measure.Length, of string) string {
	switch {
	case v > 0:
		return c.say("down."+of, "depth", c.depth(v))
	case v < 0:
		return c.say("up."+of, "depth", c.depth(-v))
	}
	return c.say("at." + of)
}

// depths are the marks of the gauge sticks, and the section.
func (c *crew) depths() {
	if len(c.quote.Takeoff.SetOut.Gauges) == 0 {
		return
	}
	c.part("depths", false)
	c.gauges(c.quote.Takeoff.SetOut.Gauges)
	c.remark(c.say("gauge.note"))
	c.figure("", render.Section(c.quote, c.words), "section.caption")
}

// gaugeMark is what a column of the gauge sticks is about.
type gaugeMark struct {
	kind estimate.DepthMarkKind
	lift int
}

// gaugeOrder is that of the columns, from the top down. Finished ground, which is 0 on every stick, has none.
var gaugeOrder = [...]estimate.DepthMarkKind{estimate.TopOfStone, estimate.TopOfUnit, estimate.TopOfSand, estimate.TopOfBase, estimate.TopOfLift, estimate.Bottom}

// compare orders marks from the top down; lifts are numbered from the bottom up.
func (m gaugeMark) compare(o gaugeMark) int {
	return cmp.Or(cmp.Compare(slices.Index(gaugeOrder[:], m.kind), slices.Index(gaugeOrder[:], o.kind)), cmp.Compare(o.lift, m.lift))
}

// mostMarks is how many marks stand side by side.
const mostMarks = 6

// gauges are the sticks, one a row, in as few tables as hold their marks.
func (c *crew) gauges(sticks []estimate.Gauge) {
	for len(sticks) > 0 {
		n, marks := 0, []gaugeMark(nil)
		for ; n < len(sticks); n++ {
			all := marks
			for _, m := range sticks[n].Marks {
				if mark := (gaugeMark{m.Kind, m.Lift}); m.Kind != estimate.FinishedSurface && !slices.Contains(all, mark) {
					all = append(all[:len(all):len(all)], mark)
				}
			}
			if n > 0 && len(all) > mostMarks {
				break
			}
			marks = all
		}
		slices.SortFunc(marks, gaugeMark.compare)
		if len(marks) > mostMarks { // one stick with many lifts
			c.stick(&sticks[0])
		} else {
			c.sticks(sticks[:n], marks)
		}
		sticks = sticks[n:]
	}
}

func (c *crew) sticks(sticks []estimate.Gauge, marks []gaugeMark) {
	t := c.table(c.say("gauges.caption"), "stick*1.6")
	for _, m := range marks {
		t.Columns = append(t.Columns, page.Column{Head: c.mark(m), Numbers: true})
	}
	for i := range sticks {
		words := make([]string, 1+len(marks))
		words[0] = capital(c.dug(sticks[i].Zone, sticks[i].Part))
		for _, m := range sticks[i].Marks {
			if m.Kind != estimate.FinishedSurface {
				words[1+slices.Index(marks, gaugeMark{m.Kind, m.Lift})] = c.down(m.Down, "finished")
			}
		}
		tick(t, words...)
	}
	c.add(t)
}

// stick is one stick from the top down.
func (c *crew) stick(g *estimate.Gauge) {
	t := c.table(c.say("gauge.caption", "where", capital(c.dug(g.Zone, g.Part))), "mark*1.5", "#finished")
	for _, m := range g.Marks {
		if m.Kind != estimate.FinishedSurface {
			tick(t, c.mark(gaugeMark{m.Kind, m.Lift}), c.down(m.Down, "finished"))
		}
	}
	c.add(t)
}

func (c *crew) mark(m gaugeMark) string {
	return c.say("mark."+string(m.kind), "n", c.words.Whole(m.lift))
}

// digging is what is dug, where it goes, and in how many loads.
func (c *crew) digging() {
	takeoff := c.quote.Takeoff
	if len(takeoff.Diggings) == 0 {
		return
	}
	c.part("digging", false)
	t := c.table(c.say("digging.caption"), "where*2", "#dug_depth", "#area", "#volume")
	graded := c.table(c.say("earthwork.caption"), "where*1.6", "#cut", "#cut_depth", "#cut_area", "#fill", "#fill_depth", "#fill_area")
	var notes alike
	for i := range takeoff.Diggings {
		d := &takeoff.Diggings[i]
		where := capital(c.dug(d.Zone, d.Part))
		tick(t, where, c.depth(d.Depth), c.area(d.Area), c.volume(d.Volume))
		if e := d.Earthwork; e != nil {
			row(graded, where, c.volume(e.Cut), c.depth(e.CutDepth), c.area(e.CutArea), c.volume(e.Fill), c.depth(e.FillDepth), c.area(e.FillArea))
			notes.add(c.earthwork(d), where)
		}
	}
	total(t, c.say("digging.total"), "", "", c.volume(takeoff.Spoil.Bank))
	c.show(t)
	c.show(graded)
	for i, words := range notes.words {
		c.paragraph(strings.Join(notes.of[i], ", ") + ": " + words)
	}
	c.spots()
	c.standing()
	c.spoil()
	c.loads()
}

// alike gathers what is said of several things in the same words.
type alike struct {
	words []string
	of    [][]string
}

func (a *alike) add(words, of string) {
	at := slices.Index(a.words, words)
	if at < 0 {
		at = len(a.words)
		a.words, a.of = append(a.words, words), append(a.of, nil)
	}
	a.of[at] = append(a.of[at], of)
}

// earthwork tells how the ground of a digging is taken between its spot levels.
func (c *crew) earthwork(d *estimate.DiggingTakeoff) string {
	key := "ground.surface"
	switch d.Ground {
	case earth.Flat:
		key = "ground.level"
	case earth.Ruled:
		key = "ground.ruled"
	case earth.Triangulated:
	}
	rests := 0.0
	if d.Earthwork.Area > 0 {
		rests = min(1, float64(d.Earthwork.Resting)/float64(d.Earthwork.Area))
	}
	words := c.say(key)
	if share := c.percent(rests); d.Ground != earth.Flat && share != c.percent(0) {
		words += " " + c.say("ground.rests", "share", share)
	}
	return words
}

// spots are the levels of the ground as they were taken, to check it by before digging.
func (c *crew) spots() {
	show := func(id string, spots []estimate.SpotLevel) {
		t := c.table(c.say("spots.caption", "where", capital(c.zone(id))), "#x", "#y", "#ground_level")
		for i := range spots {
			at := c.placed(spots[i].At)
			tick(t, c.length(at.X), c.length(at.Y), c.down(spots[i].Down, "string"))
		}
		c.show(t)
	}
	for i := range c.quote.Job.Beds {
		show(c.quote.Job.Beds[i].ID, c.quote.Job.Beds[i].Grade.Spots)
	}
	for i := range c.quote.Job.Paving {
		show(c.quote.Job.Paving[i].ID, c.quote.Job.Paving[i].Grade.Spots)
	}
}

// standing is what stays where it is, and what the digging comes near.
func (c *crew) standing() {
	list := &page.List{}
	for i := range c.quote.Job.Obstacles {
		o := &c.quote.Job.Obstacles[i]
		if o.Footprint() != nil {
			at := c.placed(o.At)
			words := c.say("stays."+string(o.Kind), "id", obstacle(o), "at", c.say("point", "x", c.length(at.X), "y", c.length(at.Y)))
			if o.Clear > 0 {
				words += " " + c.say("stays.clear", "clear", c.depth(o.Clear))
			}
			list.Items = append(list.Items, page.Plain(words))
		}
	}
	for i := range c.quote.Takeoff.RootZones {
		z := &c.quote.Takeoff.RootZones[i]
		if z.Dug > 0 {
			list.Items = append(list.Items, page.Plain(c.say("root_zone", "id", obstacle(z.Obstacle), "radius", c.length(z.Radius), "area", c.area(z.Dug),
				"share", c.percent(float64(z.Share())), "depth", c.depth(z.Deepest))))
		} else {
			list.Items = append(list.Items, page.Plain(c.say("root_zone.clear", "id", obstacle(z.Obstacle), "radius", c.length(z.Radius))))
		}
	}
	for i := range c.quote.Takeoff.Obstacles {
		o := &c.quote.Takeoff.Obstacles[i]
		for _, n := range o.Near {
			list.Items = append(list.Items, page.Plain(c.say("near."+string(o.Obstacle.Kind), "id", obstacle(o.Obstacle), "where", c.dug(n.Zone, n.Part), "depth", c.depth(n.Depth), "distance", c.depth(n.Distance))))
		}
	}
	if len(list.Items) > 0 {
		c.add(list)
	}
}

// obstacle is the name of an obstacle: its id, or its place in the list of the request.
func obstacle(o *estimate.Obstacle) string {
	if o.ID != "" {
		return o.ID
	}
	return strconv.Itoa(o.Number)
}

// spoil is what is hauled off.
func (c *crew) spoil() {
	s := &c.quote.Takeoff.Spoil
	var f facts
	f.add(c.say("fact.loose"), c.say("loose", "volume", c.volume(s.Loose), "mass", c.mass(s.Mass)))
	for i := range c.quote.Lines {
		if l := &c.quote.Lines[i]; l.Spoil {
			f.add(c.say("fact.disposal"), c.say("disposal", "volume", c.volume(l.Loose), "amount", c.money(l.Amount)))
		}
	}
	c.add(f.block())
}

// loads are those of every vehicle, for the spoil and every loose material.
func (c *crew) loads() {
	hauling := c.quote.List.Hauling
	heads := []string{"what*2", "#loose", "#mass"}
	for i := range hauling {
		heads = append(heads, "#"+string(hauling[i].Vehicle))
	}
	t := c.table(c.say("loads.caption"), heads...)
	for i := range c.quote.Loads {
		l := &c.quote.Loads[i]
		name := c.say("spoil")
		if l.Material != nil {
			name = l.Material.Name
		}
		words := []string{name, c.volume(l.Loose), c.mass(l.Mass)}
		for k := range l.By {
			n := c.words.Whole(l.By[k].Loads)
			if !l.By[k].MassGoverns() {
				n = c.say("loads.by_volume", "n", n)
			}
			words = append(words, n)
		}
		row(t, words...)
	}
	c.show(t)
	var one []string
	for i := range hauling {
		h := &hauling[i]
		one = append(one, c.say("load", "vehicle", c.say("vehicle."+string(h.Vehicle)), "mass", c.mass(h.Payload), "volume", c.volume(h.Volume)))
	}
	if len(t.Rows) > 0 {
		c.remark(c.say("loads.note", "loads", capital(strings.Join(one, "; "))))
	}
}

// layers are the depths of what lies under the units, and how much of every material goes where.
func (c *crew) layers() {
	t := c.table(c.say("layers.caption"), "where*1.8", "#dig", "#base", "#sand", "#unit", "#reveal")
	takeoff := c.quote.Takeoff
	for i := range takeoff.Courses {
		k := &takeoff.Courses[i]
		row(t, c.say("edging_of", "id", k.Bed), c.depth(k.TrenchDepth), c.layer(k.BaseDepth), c.layer(k.SandDepth), c.depth(k.Spec.Unit.Thickness), c.depth(k.Spec.Reveal))
	}
	for i := range takeoff.Slabs {
		s := &takeoff.Slabs[i]
		row(t, capital(c.zone(s.ID)), c.depth(s.DigDepth), c.layer(s.BaseDepth), c.layer(s.SandDepth), c.depth(s.Group.Unit.Thickness), c.depth(s.Group.Reveal))
	}
	for i := range takeoff.Paving {
		p := &takeoff.Paving[i]
		row(t, capital(c.zone(p.ID)), c.depth(p.DigDepth), c.layer(p.BaseDepth), c.layer(p.SandDepth), c.depth(p.Area.Unit.Thickness), c.depth(p.Area.Reveal))
	}
	amounts := c.amounts()
	if len(amounts.Rows) == 0 {
		return // layers take materials
	}
	c.part("layers", false)
	c.show(t)
	for i := range c.quote.Job.Beds {
		b := &c.quote.Job.Beds[i]
		if b.Stone != nil {
			key := "stone"
			if b.Dig <= 0 {
				key = "stone.undug"
			}
			c.paragraph(c.say(key, "where", capital(c.zone(b.ID)), "material", b.Stone.Material.Name, "depth", c.depth(b.Stone.Depth), "dig", c.depth(b.Dig)))
		}
	}
	c.add(amounts)
	c.remark(c.say("amounts.note"))
	if len(takeoff.Diggings) == 0 {
		c.loads() // else they stand with those of the spoil
	}
}

func (c *crew) layer(v measure.Length) string {
	if v <= 0 {
		return c.say("none")
	}
	return c.depth(v)
}

// amounts are how much of every material goes where, as laid, and what that takes to buy.
func (c *crew) amounts() *page.Table {
	t := c.table(c.say("amounts.caption"), "purpose*1.2", "material*2.6", "where*1.4", "#laid", "#to_buy")
	for i := range c.quote.Lines {
		l := &c.quote.Lines[i]
		m := l.Material
		if m == nil {
			continue
		}
		purpose := c.purpose(l)
		buy := c.needed(m.Required, m.Material)
		if len(m.Zones) == 1 {
			z := &m.Zones[0]
			row(t, purpose, m.Material.Name, capital(c.zone(z.ID)), c.amount(z.Share, m.Material), buy)
			continue
		}
		for _, z := range m.Zones {
			row(t, purpose, m.Material.Name, capital(c.zone(z.ID)), c.amount(z.Share, m.Material), "")
		}
		total(t, purpose, m.Material.Name, c.say("amounts.total"), c.amount(m.Measured, m.Material), buy)
	}
	return t
}

func (c *crew) purpose(l *pricing.Line) string { return c.say("purpose." + string(l.Key)) }
