package estimate

import (
	"slices"
	"strings"

	"bedline/estimate/measure"
)

// mostNamed is how many others a notice names that an item lies on.
const mostNamed = 3

// sharing is the ground that an item shares with others of its kind.
type sharing struct {
	any     measure.Area // with any other
	earlier measure.Area // with any that comes before it in the request
	with    []partner    // some of those
}

type partner struct {
	item int
	area measure.Area
}

// note adds ground shared with an earlier item.
func (s *sharing) note(item int, area measure.Area) {
	for p := range s.with {
		if s.with[p].item == item {
			s.with[p].area += area
			return
		}
	}
	if len(s.with) < 4*mostNamed {
		s.with = append(s.with, partner{item, area})
	}
}

// names are those of the first few earlier items: "bed a", "beds a and b", "beds a, b, c and others".
func (s *sharing) names(one, many string, id func(int) string) string {
	var items []int
	for _, p := range s.with {
		if p.area > trifle {
			items = append(items, p.item)
		}
	}
	slices.Sort(items)
	switch len(items) {
	case 0:
		return many
	case 1:
		return one + " " + id(items[0])
	}
	words := make([]string, 0, mostNamed+1)
	for _, item := range items[:min(len(items), mostNamed)] {
		words = append(words, id(item))
	}
	if len(items) > mostNamed {
		words = append(words, "others")
	}
	last := len(words) - 1
	return many + " " + strings.Join(words[:last], ", ") + " and " + words[last]
}

// tally adds a cell to the sharing of the items on it, which are given in their order.
func tally(list []sharing, items []int, area measure.Area) {
	if len(items) < 2 {
		return
	}
	for n, i := range items {
		list[i].any += area
		if n == 0 {
			continue
		}
		list[i].earlier += area
		for _, k := range items[:min(n, mostNamed+1)] { // one more, to know of others
			list[i].note(k, area)
		}
	}
}

// shares are the areas that items have in common.
type shares struct {
	onCourse []measure.Area   // by slab group: on the edging of any bed
	inBed    [][]measure.Area // by slab group, by bed
	standing []measure.Area   // by slab group: under paving, planters, trees and posts
	groups   []sharing
	beds     []sharing
}

// share adds up, in one pass over the cells, what items have in common.
func (s *survey) share() shares {
	out := shares{onCourse: make([]measure.Area, len(s.grids)), inBed: make([][]measure.Area, len(s.grids)),
		standing: make([]measure.Area, len(s.grids)), groups: make([]sharing, len(s.grids)), beds: make([]sharing, len(s.outlines))}
	for j := range out.inBed {
		out.inBed[j] = make([]measure.Area, len(s.outlines))
	}
	var grids, beds []int
	for _, c := range s.cells {
		grids, beds = c.items(grids[:0], s.grids), c.items(beds[:0], s.outlines)
		tally(out.groups, grids, c.area)
		tally(out.beds, beds, c.area)
		for _, j := range grids {
			for _, i := range beds {
				out.inBed[j][i] += c.area
			}
			if c.onCourse {
				out.onCourse[j] += c.area
			}
			if c.coveredByAny(s.fields) || s.standsOn(c) {
				out.standing[j] += c.area
			}
		}
	}
	return out
}

// overlaps says what lies on what. It draws the slabs of a group with gaps one by one where the group is overlapped or
// lies across a bed line, since the stone in its gaps can't be had from the count then.
func (t *taker) overlaps() {
	s := &t.ground
	common := s.share()
	draw := make([]bool, len(s.grids))
	for j := range s.grids {
		group := &t.job.Slabs[j]
		if on := common.onCourse[j]; on > trifle {
			draw[j] = true
			t.notice("slabs_on_edging", Confirm, "slab group "+group.ID+" lies on "+t.pencil.area(on)+
				" of the edging: move it or leave that side unedged; the ground is taken once", group.Pointer+"/at", "")
		}
		draw[j] = draw[j] || common.groups[j].any > trifle || common.standing[j] > trifle
		if both := common.groups[j].earlier; both > trifle {
			t.notice("slabs_overlap", Confirm, "slab group "+group.ID+" shares "+t.pencil.area(both)+" with "+
				common.groups[j].names("slab group", "slab groups", func(k int) string { return t.job.Slabs[k].ID })+
				": one of them is in the wrong place; the ground is taken once", group.Pointer+"/at", "")
		}
		whole := t.out.Slabs[j].Grid.Length().Times(t.out.Slabs[j].Grid.Width())
		for _, in := range common.inBed[j] {
			draw[j] = draw[j] || in > trifle && in < whole-trifle-whole.Scale(1e-9)
		}
	}
	t.pavingOverlaps(draw)
	t.draw(draw)
	t.standingOverlaps()
	for i := range s.outlines {
		if both := common.beds[i].earlier; both > trifle {
			t.notice("beds_overlap", Confirm, "bed "+t.job.Beds[i].ID+" shares "+t.pencil.area(both)+" with "+
				common.beds[i].names("bed", "beds", func(k int) string { return t.job.Beds[k].ID })+
				": it is dug once, and each has its stone and fabric reckoned in full", t.job.Beds[i].Pointer+"/outline", "")
		}
	}
}

// largestDrawn is how many slabs are drawn one by one where groups overlap something.
const largestDrawn = 20000

// draw adds the slabs of the groups marked to the survey one by one, where there are gaps that stone fills.
func (t *taker) draw(marked []bool) {
	s := &t.ground
	drawn := 0
	for j, on := range marked {
		group := &t.job.Slabs[j]
		if !on || group.Gap == 0 || group.Fill != nil {
			continue
		}
		if drawn += group.Rows * group.Columns; drawn > largestDrawn {
			t.faults.Add(group.Pointer+"/at", codeTooMany, "overlaps the edging, other slabs, paving, planters or obstacles or lies across a bed line, and there are too many slabs to draw one by one: move the group clear of them", "")
			return
		}
		s.laid[j] = s.add(t.out.Slabs[j].Grid.Slabs())
	}
	if drawn > 0 {
		s.cut()
	}
}
