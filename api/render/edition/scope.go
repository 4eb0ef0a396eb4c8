package edition

import (
	"strings"

	"bedline/api/render/locale"
	"bedline/api/render/page"
	"bedline/estimate"
	"bedline/estimate/course"
	"bedline/estimate/measure"
	"bedline/pricing"
)

// piece is one thing that is built, in plain words: a bed, a paved area, a group of slabs, a planter. Nothing in it
// counts what is bought or how long it takes.
type piece struct {
	name  string // no other piece of the job has it
	facts []fact
}

type fact struct{ term, words string }

// scope tells what a job builds.
type scope struct {
	quote  *pricing.Quote
	words  *locale.Locale
	pieces []piece
}

// newScope is what a job builds, in the order beds, paved areas, slabs, planters, each as the request has them.
func newScope(q *pricing.Quote, l *locale.Locale) *scope {
	s := &scope{quote: q, words: l}
	for i := range q.Job.Beds {
		s.bed(&q.Job.Beds[i], &q.Takeoff.Beds[i])
	}
	for i := range q.Takeoff.Paving {
		s.paving(&q.Takeoff.Paving[i])
	}
	for i := range q.Takeoff.Slabs {
		s.slabs(&q.Takeoff.Slabs[i])
	}
	for i := range q.Takeoff.Planters {
		s.planter(&q.Takeoff.Planters[i])
	}
	return s
}

func (s *scope) begin(kind, id, inBed string) {
	name := s.words.Say("scope."+kind, "id", id)
	if inBed != "" {
		name = s.words.Say("scope.within", "what", name, "id", inBed)
	}
	s.pieces = append(s.pieces, piece{name: name})
}

// add says a fact of the piece that was begun last.
func (s *scope) add(term, key string, values ...string) {
	p := &s.pieces[len(s.pieces)-1]
	p.facts = append(p.facts, fact{s.words.Say("scope.term." + term), s.words.Say("scope."+key, values...)})
}

func (s *scope) length(v measure.Length) string { return s.words.Length(v, s.quote.Job.System) }
func (s *scope) depth(v measure.Length) string  { return s.words.Depth(v, s.quote.Job.System) }
func (s *scope) area(v measure.Area) string     { return s.words.Area(v, s.quote.Job.System) }

func (s *scope) bed(b *estimate.Bed, t *estimate.BedTakeoff) {
	s.begin("bed", b.ID, "")
	if n := len(t.Holes); n > 0 {
		s.add("size", "size_with_openings", "area", s.area(t.Area), "openings", s.words.Count("scope.openings", n))
	} else {
		s.add("size", "size", "area", s.area(t.Area))
	}
	if b.Dig > 0 {
		s.add("digging", "dug_bed", "depth", s.depth(b.Dig))
	}
	if b.Fabric != nil {
		s.fabric(b)
	}
	if b.Stone != nil {
		s.add("top", "stone", "material", b.Stone.Material.Name, "depth", s.depth(b.Stone.Depth), "area", s.area(t.NetStoneArea))
	}
	for i := range s.quote.Takeoff.Courses {
		if c := &s.quote.Takeoff.Courses[i]; c.Bed == b.ID {
			s.edging(c)
		}
	}
	s.fall(b.Grade.Fall)
}

func (s *scope) fabric(b *estimate.Bed) {
	for i := range s.quote.Takeoff.Fabrics {
		if f := &s.quote.Takeoff.Fabrics[i]; f.Bed == b.ID {
			key := "fabric"
			if b.Fabric.TrenchesToo {
				key = "fabric_trenches"
			}
			s.add("fabric", key, "material", f.Material.Name, "area", s.area(f.Layout.CoverArea))
		}
	}
}

func (s *scope) edging(c *estimate.CourseTakeoff) {
	key := "edging"
	if c.Spec.Laying.Face == course.FaceOutside {
		key = "edging_outside"
	}
	s.add("edging", key, "unit", c.Spec.Unit.Name, "course", s.course(c.Spec.Laying.Kind), "length", s.length(c.Course.EdgedLength))
	s.height("edging_height", c.Spec.Reveal)
	s.under("edging_under", c.Spec.Base, c.BaseDepth, c.Spec.Sand, c.SandDepth)
	s.joints("edging_joints", c.Spec.Laying.Joint, c.Spec.Fill)
}

func (s *scope) course(k course.Kind) string {
	if k == course.Soldier {
		return s.words.Say("scope.soldier")
	}
	return s.words.Say("scope.sailor")
}

func (s *scope) height(term string, reveal measure.Length) {
	if reveal == 0 {
		s.add(term, "level")
		return
	}
	s.add(term, "above", "height", s.depth(reveal))
}

// under says what lies under units, from the top down.
func (s *scope) under(term string, base *estimate.Layer, baseDepth measure.Length, sand *estimate.Layer, sandDepth measure.Length) {
	hasBase, hasSand := base != nil && baseDepth > 0, sand != nil && sandDepth > 0
	switch {
	case hasBase && hasSand:
		s.add(term, "sand_over_base", "sand", sand.Material.Name, "sand_depth", s.depth(sandDepth), "base", base.Material.Name, "base_depth", s.depth(baseDepth))
	case hasBase:
		s.add(term, "base_only", "base", base.Material.Name, "base_depth", s.depth(baseDepth))
	case hasSand:
		s.add(term, "sand_only", "sand", sand.Material.Name, "sand_depth", s.depth(sandDepth))
	default:
		s.add(term, "on_ground")
	}
}

func (s *scope) joints(term string, width measure.Length, fill *estimate.Material) {
	switch {
	case width == 0:
		s.add(term, "joints_tight")
	case fill == nil:
		s.add(term, "joints_open", "width", s.depth(width))
	default:
		s.add(term, "joints_filled", "width", s.depth(width), "material", fill.Name)
	}
}

func (s *scope) fall(f *estimate.Fall) {
	if f != nil {
		s.add("fall", "fall", "share", s.words.PercentOf(float64(f.Rate), 2), "side", s.words.Whole(f.Side))
	}
}

func (s *scope) paving(p *estimate.PavingTakeoff) {
	a := p.Area
	s.begin("paving", p.ID, a.InBed)
	s.add("size", "size", "area", s.area(p.Ground))
	s.add("paving", "paved", "unit", a.Unit.Name, "bond", s.words.Say("scope.bond."+a.Bond))
	if a.Border != nil {
		unit := a.Border.Unit
		if unit == nil {
			unit = a.Unit
		}
		s.add("border", "border", "unit", unit.Name, "course", s.course(a.Border.Laying.Kind))
	}
	s.height("height", a.Reveal)
	s.under("under", a.Base, p.BaseDepth, a.Sand, p.SandDepth)
	s.add("digging", "dug", "depth", s.depth(p.DigDepth))
	s.joints("joints", a.Laying.Joint, a.Fill)
	s.fall(a.Grade.Fall)
}

func (s *scope) slabs(t *estimate.SlabTakeoff) {
	g := t.Group
	s.begin("slabs", t.ID, g.InBed)
	n := g.Rows * g.Columns
	units := s.words.Count("scope.slabs_counted", n, "unit", g.Unit.Name)
	if n > 1 {
		s.add("slabs", "slabs_laid", "slabs", units, "rows", s.words.Count("scope.rows", g.Rows), "columns", s.words.Whole(g.Columns),
			"length", s.length(t.Grid.Length()), "width", s.length(t.Grid.Width()))
	} else {
		s.add("slabs", "as_is", "words", units)
	}
	s.height("height", g.Reveal)
	s.under("under", g.Base, t.BaseDepth, g.Sand, t.SandDepth)
	s.add("digging", "dug", "depth", s.depth(t.DigDepth))
	if n > 1 {
		s.joints("gaps", g.Gap, g.Fill)
	}
}

func (s *scope) planter(t *estimate.PlanterTakeoff) {
	p := t.Planter
	s.begin("planter", p.ID, p.InBed)
	s.add("size", "planter_size", "length", s.length(p.Length), "width", s.length(p.Width))
	parts := make([]string, len(p.Mix))
	for i, m := range p.Mix {
		if n := int(m.Parts); measure.Factor(n) == m.Parts {
			parts[i] = s.words.Count("scope.mix_part", n, "material", m.Material.Name)
		} else {
			parts[i] = s.words.Say("scope.mix_part.other", "n", s.words.Number(float64(m.Parts), 3), "material", m.Material.Name)
		}
	}
	key := "filled_mix"
	if len(p.Mix) == 1 {
		key, parts[0] = "filled", p.Mix[0].Material.Name
	}
	s.add("filling", key, "depth", s.depth(p.Fill), "volume", s.words.Volume(t.Fill, s.quote.Job.System), "mix", s.words.List(parts))
}

// blocks are the pieces as parts of a document.
func (s *scope) blocks(level int) []page.Block {
	var out []page.Block
	for i := range s.pieces {
		p := &s.pieces[i]
		facts := make([]page.Fact, len(p.facts))
		for k, f := range p.facts {
			facts[k] = page.Fact{Term: f.term, Text: page.Plain(f.words)}
		}
		out = append(out, &page.Heading{Level: level, Words: p.name}, &page.Facts{Facts: facts})
	}
	return out
}

// changes say what is built otherwise than before; none where all is the same.
func (s *scope) changes(before *scope) []string {
	var out []string
	for i := range s.pieces {
		now := &s.pieces[i]
		was := before.piece(now.name)
		if was == nil {
			words := make([]string, len(now.facts))
			for k, f := range now.facts {
				words[k] = s.words.Say("scope.change.fact", "term", f.term, "words", f.words)
			}
			out = append(out, s.words.Say("scope.change.new", "what", now.name, "facts", strings.Join(words, "; ")))
			continue
		}
		out = s.factChanges(out, was, now)
	}
	for i := range before.pieces {
		if name := before.pieces[i].name; s.piece(name) == nil {
			out = append(out, s.words.Say("scope.change.gone", "what", name))
		}
	}
	return out
}

func (s *scope) factChanges(out []string, was, now *piece) []string {
	say := func(key string, f fact, values ...string) {
		out = append(out, s.words.Say("scope.change."+key, append([]string{"what", now.name, "term", f.term, "now", f.words}, values...)...))
	}
	for _, f := range now.facts {
		switch before, ok := was.fact(f.term); {
		case !ok:
			say("added", f)
		case before != f.words:
			say("other", f, "was", before)
		}
	}
	for _, f := range was.facts {
		if _, ok := now.fact(f.term); !ok {
			say("dropped", f)
		}
	}
	return out
}

func (s *scope) piece(name string) *piece {
	for i := range s.pieces {
		if s.pieces[i].name == name {
			return &s.pieces[i]
		}
	}
	return nil
}

func (p *piece) fact(term string) (words string, ok bool) {
	for _, f := range p.facts {
		if f.term == term {
			return f.words, true
		}
	}
	return "", false
}
