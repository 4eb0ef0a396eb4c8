package estimate

import (
	"strings"

	"bedline/estimate/measure"
)

// stood is what a planter, tree or post shares its ground with.
type stood struct {
	course measure.Area
	slabs  sharing
	fields sharing
}

// standingOverlaps says what planters, trees and posts stand on beside open ground.
func (t *taker) standingOverlaps() {
	s := &t.ground
	planters := len(s.planters)
	list := append(append(make([]int, 0, planters+len(s.taken)), s.planters...), s.taken...)
	if len(list) == 0 {
		return
	}
	on := make([]stood, len(list))
	others := make([]sharing, len(list)) // with those that come before
	var items, grids, fields []int
	for _, c := range s.cells {
		if items = c.items(items[:0], list); len(items) == 0 {
			continue
		}
		grids, fields = c.items(grids[:0], s.grids), c.items(fields[:0], s.fields)
		tally(others, items, c.area)
		for _, i := range items {
			if c.onCourse {
				on[i].course += c.area
			}
			for _, j := range grids {
				on[i].slabs.note(j, c.area)
			}
			for _, k := range fields {
				on[i].fields.note(k, c.area)
			}
		}
	}
	name := func(i int) string {
		if i < planters {
			return "planter " + t.job.Planters[i].ID
		}
		return t.job.Obstacles[i-planters].name()
	}
	for i := range on {
		at := &on[i]
		var parts []string
		if at.course > trifle {
			parts = append(parts, t.pencil.area(at.course)+" of the edging")
		}
		part := func(shared *sharing, one, many string, id func(int) string) {
			var sum measure.Area
			for _, p := range shared.with {
				sum += p.area
			}
			if sum > trifle {
				parts = append(parts, t.pencil.area(sum)+" of "+strings.TrimSpace(shared.names(one, many, id)))
			}
		}
		part(&at.slabs, "slab group", "slab groups", func(k int) string { return t.job.Slabs[k].ID })
		if i < planters { // paving is laid round trees and posts
			part(&at.fields, "paving", "paving", func(k int) string { return t.job.Paving[k].ID })
		}
		part(&others[i], "", "", name)
		if len(parts) == 0 {
			continue
		}
		where := ""
		if i < planters {
			where = t.job.Planters[i].Pointer
		} else {
			where = t.job.Obstacles[i-planters].Pointer
		}
		t.notice("standing_overlap", Confirm, name(i)+" stands on "+strings.Join(parts, ", ")+
			": confirm that it is in the right place; the ground is taken once, and edging and slabs there are still counted", where+"/at", "")
	}
}
