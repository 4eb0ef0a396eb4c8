package estimate

import (
	"bedline/estimate/course"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// holes are the holes of a bed with their islands.
func (bed *Bed) holes() []HoleTakeoff {
	if !bed.Outline.Holed() {
		return nil
	}
	var holes []HoleTakeoff
	for _, r := range bed.Outline.Rings()[1:] {
		line := LineTakeoff{Side: r.Side, Sides: r.Sides, Area: r.Area, Perimeter: r.Perimeter}
		for _, ties := range bed.RingTies {
			if ties.Hole == r.Hole && ties.Island == r.Island {
				line.Ties = ties.Adjustment
			}
		}
		if r.Kind == outline.HoleRing {
			holes = append(holes, HoleTakeoff{LineTakeoff: line})
		} else {
			last := &holes[len(holes)-1]
			last.Islands = append(last.Islands, line)
		}
	}
	return holes
}

// courseOverlaps says where courses lie on ground that is not theirs: on their own bed although they go round it, or on
// themselves.
func (t *taker) courseOverlaps() {
	s := &t.ground
	for i, band := range s.bands {
		if band == none {
			continue
		}
		laid := t.out.Courses[t.edged[i]].Course
		var taken, onBed measure.Area
		for _, c := range s.cells {
			if c.covered(band) {
				taken += c.area
				if c.covered(s.outlines[i]) {
					onBed += c.area
				}
			}
		}
		bed := &t.job.Beds[i]
		var strips measure.Area
		for _, l := range laid.Band {
			strips += l.Area()
		}
		// Runs that go on in all but the same direction have square ends, which overlap by a thousandth of the square.
		square := float64(laid.Width.Times(laid.Width))
		slight := measure.Area(square * (0.01 + float64(0.001*float64(len(laid.Runs)))))
		if twice := strips - taken; twice > slight {
			t.notice("edging_overlaps_itself", Confirm, "runs of the edging of bed "+bed.ID+" would lie on "+t.pencil.area(twice)+
				" of each other: the ground between them is too narrow, or a side is shorter than the course is wide; leave a side unedged or take a narrower course", bed.Pointer+"/edging", "")
		}
		if bed.Edging.Laying.Face == course.FaceOutside && onBed > slight {
			t.notice("edging_on_bed", Confirm, "the edging outside bed "+bed.ID+" lies on "+t.pencil.area(onBed)+
				" of the bed where its line comes back near itself: lay that side inside, or leave it unedged", bed.Pointer+"/edging", "")
		}
	}
}
