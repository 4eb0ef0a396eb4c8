package estimate

import (
	"encoding/binary"

	"bedline/estimate/earth"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// graded is a bed or paved area with spot levels.
type graded struct {
	what    string // "bed garage"
	id      string
	pointer string
	grade   *Grade
	outline *outline.Outline
	ground  *earth.Surface // out to the corners of the outline
	rests   measure.Factor // share of the outline's ground whose level is not taken between spots
	used    bool           // by a digging
}

// formation is the surface that a digging of that depth leaves.
func (g *graded) formation(depth measure.Length) earth.Formation {
	f := earth.Formation{Depth: depth}
	if fall := g.grade.Fall; fall != nil {
		f.From, f.To, f.Fall = fall.From, fall.To, fall.Rate
	}
	return f
}

// gradings are the beds and paved areas with spot levels, in the order of the request.
func (t *taker) gradings() []graded {
	var list []graded
	for i := range t.job.Beds {
		if b := &t.job.Beds[i]; b.Grade.Ground != nil {
			list = append(list, graded{what: "bed " + b.ID, id: b.ID, pointer: b.Pointer, grade: &b.Grade, outline: b.Outline})
		}
	}
	for k := range t.job.Paving {
		if p := &t.job.Paving[k]; p.Grade.Ground != nil {
			list = append(list, graded{what: "paved area " + p.ID, id: p.ID, pointer: p.Pointer, grade: &p.Grade, outline: p.Outline})
		}
	}
	return list
}

// gradingOf is which grading each digging follows, or none: its own, else that of the bed that it says it is in.
func (t *taker) gradingOf() []int {
	byID := map[string]int{}
	for i := range t.graded {
		byID[t.graded[i].id] = i
	}
	inBed := map[string]string{}
	for j := range t.job.Slabs {
		inBed[t.job.Slabs[j].ID] = t.job.Slabs[j].InBed
	}
	for k := range t.job.Paving {
		inBed[t.job.Paving[k].ID] = t.job.Paving[k].InBed
	}
	of := make([]int, len(t.out.Diggings))
	for d := range t.out.Diggings {
		of[d] = none
		zone := t.out.Diggings[d].Zone
		if i, ok := byID[zone]; ok {
			of[d] = i
		} else if i, ok := byID[inBed[zone]]; ok {
			of[d] = i
		}
	}
	return of
}

// regrade reckons cut and fill of the diggings whose bed has spot levels. Which digging counts at a place stays as it is:
// the deepest from finished ground, which all diggings of a bed have in common.
func (t *taker) regrade(depths []measure.Length) {
	if t.graded = t.gradings(); len(t.graded) == 0 {
		return
	}
	of := t.gradingOf()
	for i := range t.graded {
		g := &t.graded[i]
		g.ground, g.rests = g.grade.Ground.Cover(g.outline)
	}
	for d, tract := range t.dugTracts(depths, of) {
		dig := &t.out.Diggings[d]
		if of[d] == none {
			continue
		}
		g := &t.graded[of[d]]
		g.used = true
		dig.Ground = g.ground.Shape()
		dig.Earthwork = &earth.Earthwork{}
		if dig.Area > trifle {
			*dig.Earthwork = g.ground.Earthwork(tract.Region(), g.formation(dig.Depth))
		}
		dig.Volume = dig.Earthwork.Cut
	}
	t.gradingNotices(depths, of)
}

// dugTracts is the ground of each digging that follows spot levels, with its boundary, for the digging that counts there.
func (t *taker) dugTracts(depths []measure.Length, of []int) []outline.Tract {
	known := map[string]int{}
	var key []byte
	return outline.Trace(t.ground.regions, len(depths), func(cover outline.Cover) int {
		key = key[:0]
		for _, word := range cover {
			key = binary.LittleEndian.AppendUint64(key, word)
		}
		if d, ok := known[string(key)]; ok {
			return d
		}
		d := earth.Deepest(depths, t.diggingsOn(cell{cover: cover}))
		if d != earth.None && of[d] == none {
			d = outline.None
		}
		known[string(key)] = d
		return d
	})
}

// diggingsOn tells which diggings reach into a cell.
func (t *taker) diggingsOn(c cell) func(d int) bool {
	undug := c.coveredByAny(t.ground.undug)
	standing := undug && c.coveredByAny(t.ground.standing)
	return func(d int) bool {
		return c.covered(t.dugGround[d]) && !(undug && t.keepsClear(t.out.Diggings[d].Part, standing))
	}
}

// meetings is by digging the ground that it shares with diggings which follow another grading or none.
func (t *taker) meetings(of []int) []measure.Area {
	met := make([]measure.Area, len(of))
	for _, c := range t.ground.cells {
		on := t.diggingsOn(c)
		first := none
		for d := range of {
			switch {
			case !on(d):
			case first == none:
				first = d
			case of[d] != of[first]:
				met[d] += c.area
			}
		}
	}
	return met
}

// cutTerm is what a digging adds to the volume that is dug, for the sum of an operation.
func (t *taker) cutTerm(d *DiggingTakeoff) string {
	what := d.Zone + " " + string(d.Part) + " "
	if d.Earthwork == nil {
		return what + t.pencil.layer(d.Area, d.Depth)
	}
	return what + t.pencil.volume(d.Volume)
}

// gradedWorkings shows on the lines of digging how the cut of graded ground comes about.
func (t *taker) gradedWorkings() {
	if len(t.graded) == 0 {
		return
	}
	spots := t.spotWorkings() // once, on the first of the two
	for i := range t.out.Work {
		w := &t.out.Work[i]
		if w.Operation != DigTrench && w.Operation != DigBed {
			continue
		}
		var list []Working
		for d := range t.out.Diggings {
			dig := &t.out.Diggings[d]
			if dig.Earthwork != nil && (dig.Part != BedPart) == (w.Operation == DigTrench) {
				list = append(list, t.earthWorkings(dig)...)
			}
		}
		if len(list) > 0 {
			w.Workings = append(append(spots, list...), w.Workings...)
			spots = nil
		}
	}
}

// earthWorkings are the mean depths of cut and fill over their ground.
func (t *taker) earthWorkings(dig *DiggingTakeoff) []Working {
	p := t.pencil
	var list []Working
	for _, part := range [...]struct {
		word   string
		area   measure.Area
		volume measure.Volume
	}{{"cut", dig.Earthwork.CutArea, dig.Earthwork.Cut}, {"fill, as compacted", dig.Earthwork.FillArea, dig.Earthwork.Fill}} {
		if part.area <= trifle || part.volume <= 0 {
			continue
		}
		mean := measure.Length(float64(part.volume) / float64(part.area))
		list = append(list, Working{Label: dig.Zone + " " + string(dig.Part) + ": " + part.word + ", mean depth over planes between the spots, with a depth of " + p.depth(dig.Depth),
			Expression: p.layer(part.area, mean), Result: p.volume(part.volume)})
	}
	return list
}

// mostSpotsShown is how many spot levels of a bed are worked out one by one.
const mostSpotsShown = 12

// spotWorkings shows how far the ground stands above the finished surface at the spots; the depth of a digging goes on
// top of that.
func (t *taker) spotWorkings() []Working {
	p := t.pencil
	var list []Working
	for i := range t.graded {
		g := &t.graded[i]
		if !g.used {
			continue
		}
		finished := g.formation(0)
		for n, s := range g.grade.Spots {
			if n == mostSpotsShown {
				list = append(list, Working{Label: g.id + ": and so at the other spots", Expression: count(len(g.grade.Spots) - n), Result: "more"})
				break
			}
			below := 0 - finished.Finished(s.At)
			expression := "0 - " + p.signed(s.Down)
			if f := g.grade.Fall; f != nil {
				away := measure.Length(float64(below) / float64(f.Rate))
				expression = p.fall(f.Rate, away) + " - " + p.signed(s.Down)
			}
			list = append(list, Working{
				Label:      g.id + ": ground above the finished surface at spot " + count(n) + ", " + p.place(s.At) + "; add the depth of a digging for its cut",
				Expression: expression,
				Result:     p.depth(below - s.Down),
			})
		}
	}
	return list
}

// fall writes how far a fall comes down over a distance.
func (p pencil) fall(rate measure.Factor, away measure.Length) string {
	times := " x 12"
	if p.system == measure.Metric {
		times = " x 1000"
	}
	return number(100*float64(rate)) + " / 100 x " + p.signedLength(away) + times
}

// signed and signedLength put what is below zero in brackets.
func (p pencil) signed(l measure.Length) string {
	if l < 0 {
		return "(" + p.depth(l) + ")"
	}
	return p.depth(l)
}

func (p pencil) signedLength(l measure.Length) string {
	if l < 0 {
		return "(" + p.length(l) + ")"
	}
	return p.length(l)
}

func (p pencil) place(at outline.Point) string {
	return "(" + p.length(at.X) + ", " + p.length(at.Y) + ")"
}

// percent writes a share for a sentence.
func percent(f measure.Factor) string { return measure.FormatNumber(100*float64(f), 1) + " %" }
