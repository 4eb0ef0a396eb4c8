package estimate

import (
	"bedline/estimate/earth"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// gradingNotices says what the levels rest on, what fill they ask for, and where diggings meet that follow others.
func (t *taker) gradingNotices(depths []measure.Length, of []int) {
	for i := range t.graded {
		g := &t.graded[i]
		at := g.pointer + "/spot_levels"
		if !g.used {
			t.notice("spot_levels_unused", Confirm, g.what+" has spot levels, and nothing is dug there: no cut or fill is reckoned; say how deep it is dug", at, "")
			continue
		}
		t.groundNotice(g, at)
		t.fillNotice(i, of, at)
	}
	for d, area := range t.meetings(of) {
		if area <= trifle {
			continue
		}
		dig := &t.out.Diggings[d]
		t.notice("grades_meet", Confirm, "the "+string(dig.Part)+" of "+dig.Zone+" shares "+t.pencil.area(area)+
			" with diggings that follow other spot levels or none: there the one deepest from its own finished ground counts, and it is cut and filled to its own levels; "+
			"confirm on site how the surfaces meet", t.diggingPointer(dig), "")
	}
	for k := range t.job.Paving {
		p := &t.job.Paving[k]
		for i := range t.graded {
			if g := &t.graded[i]; p.InBed != "" && g.id == p.InBed && p.Grade.Fall != nil && p.Grade.Ground == nil {
				t.notice("fall_set_by_bed", Confirm, "paved area "+p.ID+" has a fall of its own, and the spot levels are those of "+g.what+
					": cut and fill are reckoned to the finished surface of the bed; give the paved area spot levels to reckon them to its own", p.Pointer+"/fall", "")
			}
		}
	}
}

// groundNotice says how the ground is made of its spots, where that is a guess.
func (t *taker) groundNotice(g *graded, at string) {
	switch g.ground.Shape() {
	case earth.Flat:
		t.notice("ground_taken_level", Confirm, "the ground of "+g.what+" has one spot level and is taken as level: take one at every corner", at, "")
	case earth.Ruled:
		t.notice("ground_taken_ruled", Confirm, "the spot levels of "+g.what+" lie on one line: the ground is taken as level square to it, and beyond its ends as at the ends; take some off the line", at, "")
	}
	// Less than a hundredth of a percent is a sliver along the line.
	if g.rests > 1e-4 {
		t.notice("ground_beyond_spots", Confirm, percent(g.rests)+" of the ground of "+g.what+" lies outside its spot levels and rests on the nearest of them: take levels at the corners", at, "")
	}
}

// shrinkage is the volume of common earth as compacted by that in the ground.
// Source: US Army FM 5-434 Table 1-1, from memory: loam and clay, bank to compacted, 0.90.
const shrinkage measure.Factor = 0.90

// fillNotice says how much fill the diggings of a grading ask for. Nothing is bought for it and nothing of the spoil is
// kept back.
func (t *taker) fillNotice(i int, of []int, at string) {
	p := t.pencil
	var work earth.Earthwork
	for d := range t.out.Diggings {
		if of[d] == i {
			work = work.Plus(*t.out.Diggings[d].Earthwork)
		}
	}
	if work.FillArea <= trifle || work.Fill <= 0 {
		return
	}
	message := t.graded[i].what + " needs " + p.volume(work.Fill) + " of fill as compacted, under " + p.area(work.FillArea) + " and up to " + p.depth(work.FillDepth) +
		" deep, before its layers are laid; it is neither bought nor taken off the spoil. Confirm what is used: "
	if work.Cut > 0 {
		taken := work.Fill.Scale(1 / shrinkage)
		enough := ", enough for it,"
		if taken > work.Cut {
			enough = ", not enough for it,"
		}
		message += "about " + p.volume(taken) + " of common earth in the ground makes that much, and the cut of " + p.volume(work.Cut) + enough +
			" may serve where it is free of turf, roots and topsoil; else "
	}
	message += "base material or clean fill. Compact it in lifts"
	t.notice("fill_needed", Confirm, message, at, "US Army FM 5-434 Table 1-1, from memory: loam and clay, 0.90 compacted to 1 in the ground")
}

// diggingPointer is where the request asks for a digging.
func (t *taker) diggingPointer(d *DiggingTakeoff) string {
	for i := range t.job.Beds {
		if t.job.Beds[i].ID == d.Zone {
			return t.job.Beds[i].Pointer
		}
	}
	for j := range t.job.Slabs {
		if t.job.Slabs[j].ID == d.Zone {
			return t.job.Slabs[j].Pointer
		}
	}
	for k := range t.job.Paving {
		if t.job.Paving[k].ID == d.Zone {
			return t.job.Paving[k].Pointer
		}
	}
	return ""
}

const (
	// besideBuilding is how far from a foundation the ground has to fall.
	// Source: International Residential Code R401.3: 6 in within the first 10 ft, 2 percent where it is paved.
	besideBuilding = 10 * measure.Foot
	// leastPavedFall is the least fall of paving that sheds water.
	// Source: Interlocking Concrete Pavement Institute, Construction Tolerances and Recommendations.
	leastPavedFall measure.Factor = 0.02
)

// drainage warns of water: which way ground falls, and that it leads away from buildings.
func (t *taker) drainage() {
	before := len(t.out.Notices)
	for i := range t.job.Beds {
		b := &t.job.Beds[i]
		t.falls("bed "+b.ID, b.Pointer, &b.Grade, b.Outline, true)
	}
	for k := range t.job.Paving {
		a := &t.job.Paving[k]
		t.falls("paved area "+a.ID, a.Pointer, &a.Grade, a.Outline, a.InBed == "")
		if f := a.Grade.Fall; f != nil && f.Rate < leastPavedFall-1e-12 {
			t.notice("shallow_fall", Confirm, "paved area "+a.ID+" falls "+percent(f.Rate)+"; 2 % is the least that drains paving well", a.Pointer+"/fall",
				"Interlocking Concrete Pavement Institute, Construction Tolerances and Recommendations")
		}
	}
	if len(t.out.Notices) == before && len(t.job.Beds)+len(t.job.Paving) > 0 {
		t.drainageUnsaid()
	}
}

// drainageUnsaid stands for the fall of a job that gives none.
func (t *taker) drainageUnsaid() {
	t.ask("drainage", Confirm, "no fall is given: see that finished ground leads water away from every building, 6 in within the first 10 ft beside one, paving at least 2 %; local codes decide",
		"which way the ground falls beside buildings, and where the water goes", "", drainageSource)
}

const drainageSource = "International Residential Code R401.3"

func (t *taker) falls(what, pointer string, g *Grade, o *outline.Outline, alone bool) {
	f := g.Fall
	if f == nil {
		return
	}
	t.ask("drainage", Caution, what+" falls "+percent(f.Rate)+" away from side "+count(f.Side)+
		": see that this leads water away from every building; beside one the ground is to fall 6 in within the first 10 ft, paving at least 2 %, and local codes decide",
		"where the water goes", pointer+"/fall", drainageSource)
	if g.Ground == nil && alone {
		t.notice("fall_without_spots", Info, what+" has a fall and no spot levels: the digging is reckoned as deep everywhere, as if the ground fell like the finished surface", pointer+"/fall", "")
	}
	for i := range t.job.Obstacles {
		ob := &t.job.Obstacles[i]
		if ob.Kind != Wall && ob.Kind != Footing {
			continue
		}
		if towards(f, o, ob) {
			t.ask("falls_towards_wall", Caution, what+" falls towards a "+string(ob.Kind)+
				": water would stand against it; turn the fall round or lead the water off by a swale or a drain, as local codes ask",
				"where water can be led off", ob.Pointer, drainageSource)
		}
	}
}

// towards tells whether a fall leads to the face of a wall near the outline: the finished surface at the middle of the
// face lies lower than amid the corners of the outline.
func towards(f *Fall, o *outline.Outline, wall *Obstacle) bool {
	face := outline.Line(wall.From, wall.To)
	near := min(o.Distance(face.From), o.Distance(face.Point(0.5)), o.Distance(face.To))
	for _, e := range o.Elements() {
		near = min(near, fromLine(face, e.From))
	}
	var middle outline.Point
	outer := o.Rings()[0].Elements // wherever its holes are
	n := measure.Factor(len(outer))
	for _, e := range outer {
		middle = outline.Point{X: middle.X + e.From.X.Scale(1/n), Y: middle.Y + e.From.Y.Scale(1/n)}
	}
	finished := earth.Formation{From: f.From, To: f.To, Fall: f.Rate}
	return near <= besideBuilding && finished.Finished(face.Point(0.5)) < finished.Finished(middle)-measure.Millimetre/1000
}

// fromLine is the distance of a point from a straight edge.
func fromLine(e outline.Edge, p outline.Point) measure.Length {
	dx, dy := float64(e.To.X-e.From.X), float64(e.To.Y-e.From.Y)
	square := float64(dx*dx) + float64(dy*dy)
	if square == 0 {
		return distance(e.From, p)
	}
	along := (float64(float64(p.X-e.From.X)*dx) + float64(float64(p.Y-e.From.Y)*dy)) / square
	return distance(e.Point(measure.Factor(min(1, max(0, along)))), p)
}
