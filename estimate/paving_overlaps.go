package estimate

import "bedline/estimate/measure"

// pavingOverlaps says what paved areas lie on, and marks the slab groups whose slabs have to be drawn for it.
func (t *taker) pavingOverlaps(draw []bool) {
	s := &t.ground
	n := len(s.fields)
	if n == 0 {
		return
	}
	onCourse := make([]measure.Area, n)
	onSlabs := make([]sharing, n)
	onFields := make([]sharing, n)
	underGroup := make([]measure.Area, len(s.grids))
	var fields, grids []int
	for _, c := range s.cells {
		fields = c.items(fields[:0], s.fields)
		if len(fields) == 0 {
			continue
		}
		grids = c.items(grids[:0], s.grids)
		tally(onFields, fields, c.area)
		for _, j := range grids {
			underGroup[j] += c.area
		}
		for _, k := range fields {
			if c.onCourse {
				onCourse[k] += c.area
			}
			if len(grids) > 0 {
				onSlabs[k].any += c.area
			}
			for _, j := range grids {
				onSlabs[k].note(j, c.area)
			}
		}
	}
	for j, a := range underGroup {
		draw[j] = draw[j] || a > trifle
	}
	for k := range t.job.Paving {
		area := &t.job.Paving[k]
		say := func(code, on string) {
			t.notice(code, Confirm, "paved area "+area.ID+" lies on "+on+"; the ground is taken once", area.Pointer+"/outline", "")
		}
		if onCourse[k] > trifle {
			say("paving_on_edging", t.pencil.area(onCourse[k])+" of the edging: move it or leave that side unedged")
		}
		if onSlabs[k].any > trifle {
			say("paving_overlaps", t.pencil.area(onSlabs[k].any)+" of "+
				onSlabs[k].names("slab group", "slab groups", func(j int) string { return t.job.Slabs[j].ID })+": one of them is in the wrong place")
		}
		if onFields[k].earlier > trifle {
			say("paving_overlaps", t.pencil.area(onFields[k].earlier)+" of "+
				onFields[k].names("paved area", "paved areas", func(j int) string { return t.job.Paving[j].ID })+": one of them is in the wrong place")
		}
	}
}
