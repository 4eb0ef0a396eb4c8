package estimate

import (
	"encoding/binary"

	"bedline/estimate/earth"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// none marks ground that an item of the job does not have.
const none = -1

// survey is all ground of the job that matters, cut into cells by every edge of it. Each cell is the sum of the ground
// that the same items cover; every area of the takeoff is a sum of cells, so that shares add up.
type survey struct {
	regions []outline.Region

	// Indices into regions, or none.
	outlines []int // by bed
	bands    []int // by bed: ground under the course
	trenches []int // by bed
	pads     []int // by slab group: dug ground
	grids    []int // by slab group: the slabs with their gaps
	laid     []int // by slab group: the slabs alone, where they had to be drawn one by one
	fields   []int // by paved area
	fieldDug []int // by paved area: dug ground
	planters []int // by planter
	taken    []int // by obstacle: the ground that it takes
	undug    []int // the planters and obstacles that no bed is dug under
	standing []int // the obstacles of those

	cells []cell
}

// cell is ground covered by the same items.
type cell struct {
	cover    outline.Cover
	area     measure.Area
	onCourse bool // under the edging of any bed
}

func (s *survey) add(r outline.Region) int {
	s.regions = append(s.regions, r)
	return len(s.regions) - 1
}

// cut divides the regions and collects the cells.
func (s *survey) cut() {
	for classes := 64; ; classes *= 8 {
		cells, whole := s.divide(classes)
		if whole {
			s.cells = cells
			return
		}
	}
}

func (s *survey) divide(classes int) ([]cell, bool) {
	index := make(map[string]int, classes)
	var cells []cell
	whole := true
	var key []byte
	shares := outline.Divide(s.regions, classes, func(c outline.Cover) int {
		key = key[:0]
		for _, word := range c {
			key = binary.LittleEndian.AppendUint64(key, word)
		}
		i, ok := index[string(key)]
		if ok {
			return i
		}
		if len(cells) == classes {
			whole = false
			return outline.None
		}
		cells = append(cells, cell{cover: append(outline.Cover(nil), c...)})
		index[string(key)] = len(cells) - 1
		return len(cells) - 1
	})
	for i := range cells {
		cells[i].area = shares[i].Area
		cells[i].onCourse = cells[i].coveredByAny(s.bands)
	}
	return cells, whole
}

// covered tells whether item i, which may be none, covers the cell.
func (c cell) covered(i int) bool { return i != none && c.cover.Has(i) }

// coveredByAny tells whether any of the items covers the cell.
func (c cell) coveredByAny(items []int) bool {
	for _, i := range items {
		if c.covered(i) {
			return true
		}
	}
	return false
}

// items appends the places in the list of those items that cover the cell.
func (c cell) items(dst, list []int) []int {
	for place, i := range list {
		if c.covered(i) {
			dst = append(dst, place)
		}
	}
	return dst
}

// trifle is an area too small to be an overlap: rounding error along edges that meet.
const trifle measure.Area = 1e-7

// survey lays out the ground of the job and cuts it.
func (t *taker) survey() {
	s := &t.ground
	for i := range t.job.Beds {
		s.outlines = append(s.outlines, s.add(t.job.Beds[i].Outline.Region()))
		band, trench := none, none
		if k, ok := t.edged[i]; ok {
			band = s.add(t.out.Courses[k].Course.Band)
			trench = s.add(t.out.Courses[k].Course.Trench)
		}
		s.bands = append(s.bands, band)
		s.trenches = append(s.trenches, trench)
	}
	for j := range t.job.Slabs {
		grid := t.out.Slabs[j].Grid
		g := s.add(outline.Region{grid.Footprint()})
		pad := g
		if clearance := t.job.Slabs[j].Clearance; clearance > 0 {
			pad = s.add(outline.Region{grid.Trench(clearance)})
		}
		s.grids = append(s.grids, g)
		s.pads = append(s.pads, pad)
		s.laid = append(s.laid, none)
	}
	for k := range t.job.Paving {
		field, dug := t.job.Paving[k].pavedGround()
		f := s.add(field)
		d := f
		if t.job.Paving[k].Clearance > 0 {
			d = s.add(dug)
		}
		s.fields, s.fieldDug = append(s.fields, f), append(s.fieldDug, d)
	}
	for k := range t.job.Planters {
		p := &t.job.Planters[k]
		i := s.add(outline.Region{p.Footprint()})
		s.planters = append(s.planters, i)
		if !p.DigUnder {
			s.undug = append(s.undug, i)
		}
	}
	for k := range t.job.Obstacles {
		o := &t.job.Obstacles[k]
		i := none
		if l := o.Footprint(); l != nil {
			i = s.add(outline.Region{l})
			if !o.DigUnder {
				s.undug, s.standing = append(s.undug, i), append(s.standing, i)
			}
		}
		s.taken = append(s.taken, i)
	}
	if t.crowded() {
		return
	}
	s.cut()
	t.overlaps()
	t.courseOverlaps()
}

// mostOverlaps is how many pairs of beds, slab groups, paved areas, planters and obstacles may lie on one another, by
// the boxes round them: each pair costs time, and a job with so many is drawn wrongly.
const mostOverlaps = 1000

// crowded refuses a job in which everything lies on everything.
func (t *taker) crowded() bool {
	var boxes []box
	for i := range t.job.Beds {
		low, high := t.job.Beds[i].Outline.Bounds()
		boxes = append(boxes, box{low, high})
	}
	for j := range t.job.Slabs {
		low, high := t.out.Slabs[j].Grid.Footprint().Bounds()
		boxes = append(boxes, box{low, high})
	}
	for k := range t.job.Paving {
		low, high := t.job.Paving[k].Outline.Bounds()
		boxes = append(boxes, box{low, high})
	}
	for k := range t.job.Planters {
		low, high := t.job.Planters[k].Footprint().Bounds()
		boxes = append(boxes, box{low, high})
	}
	for k := range t.job.Obstacles {
		if l := t.job.Obstacles[k].Footprint(); l != nil {
			low, high := l.Bounds()
			boxes = append(boxes, box{low, high})
		}
	}
	pairs := 0
	for i, a := range boxes {
		for _, b := range boxes[:i] {
			if a.low.X < b.high.X && b.low.X < a.high.X && a.low.Y < b.high.Y && b.low.Y < a.high.Y {
				pairs++
			}
		}
	}
	if pairs <= mostOverlaps {
		return false
	}
	at := "/beds"
	switch {
	case len(t.job.Beds) > 0:
	case len(t.job.Slabs) > 0:
		at = "/slabs"
	case len(t.job.Paving) > 0:
		at = "/paving"
	default:
		at = "/planters"
	}
	t.faults.Add(at, codeTooMany, "more than "+count(mostOverlaps)+" pairs of beds, slab groups, paved areas, planters and obstacles lie on one another: set them where they are on the ground", "")
	return true
}

// open is the part of a cell that no slab, paving, planter or obstacle covers.
func (t *taker) open(c cell) measure.Area {
	s := &t.ground
	if c.coveredByAny(s.fields) || c.coveredByAny(s.planters) || c.coveredByAny(s.taken) {
		return 0
	}
	left := c.area
	for j, g := range s.grids {
		if !c.covered(g) {
			continue
		}
		group := &t.job.Slabs[j]
		switch {
		case group.Gap == 0 || group.Fill != nil:
			return 0
		case s.laid[j] != none:
			if c.covered(s.laid[j]) {
				return 0
			}
		default:
			grid := t.out.Slabs[j].Grid
			whole := grid.Length().Times(grid.Width())
			left = left.Scale(measure.Factor(float64(grid.GapArea()) / float64(whole)))
		}
	}
	return left
}

// earthwork unites the diggings of the job and heaps the spoil.
func (t *taker) earthwork() {
	for i := range t.job.Beds {
		bed := &t.job.Beds[i]
		if k, ok := t.edged[i]; ok {
			t.dig(bed.ID, TrenchPart, t.out.Courses[k].TrenchDepth, t.ground.trenches[i])
		}
		t.dig(bed.ID, BedPart, bed.Dig, t.ground.outlines[i])
	}
	for j := range t.job.Slabs {
		t.dig(t.job.Slabs[j].ID, PadPart, t.out.Slabs[j].DigDepth, t.ground.pads[j])
	}
	for k := range t.out.Paving {
		p := &t.out.Paving[k]
		t.dig(p.ID, FieldPart, p.DigDepth, t.ground.fieldDug[k])
	}
	depths := make([]measure.Length, len(t.out.Diggings))
	layered := make([]measure.Length, len(t.out.Diggings)) // a bed's own digging carries no layers
	floored := make([]bool, len(t.out.Diggings))           // but stone or fabric lies on its floor
	for d, dig := range t.out.Diggings {
		depths[d] = dig.Depth
		if dig.Part != BedPart {
			layered[d] = dig.Depth
		} else {
			floored[d] = t.hasFloor(dig.Zone)
		}
	}
	t.layerArea = make([]measure.Area, len(t.out.Diggings))
	for _, c := range t.ground.cells {
		covers := t.diggingsOn(c)
		d := earth.Deepest(depths, covers)
		if d != earth.None {
			t.out.Diggings[d].Add(c.area, depths[d])
		}
		on := earth.Deepest(layered, covers)
		if on != earth.None {
			t.layerArea[on] += c.area
		}
		if on != earth.None || d != earth.None && floored[d] {
			t.formation += c.area
		}
	}
	t.regrade(depths)
	var bank measure.Volume
	for _, dig := range t.out.Diggings {
		bank += dig.Volume
	}
	soil := t.job.Ground.Soil
	t.out.Spoil = earth.Heap(bank, soil.SwellFactor, soil.BankDensity)
}

// keepsClear tells whether a digging goes round ground that is not to be dug. Beds do; paving goes round obstacles and
// runs on under planters; trenches and pads go under both.
func (t *taker) keepsClear(part DiggingPart, obstacle bool) bool {
	return part == BedPart || part == FieldPart && obstacle
}

func (t *taker) dig(zone string, part DiggingPart, depth measure.Length, ground int) {
	if depth <= 0 {
		return
	}
	t.out.Diggings = append(t.out.Diggings, DiggingTakeoff{Zone: zone, Part: part, Depth: depth})
	t.dugGround = append(t.dugGround, ground)
}
