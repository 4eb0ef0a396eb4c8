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

	cells []cell
}

// cell is ground covered by the same items.
type cell struct {
	cover outline.Cover
	area  measure.Area
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
	s.cut()
	t.overlaps()
}

// largestDrawn is how many slabs are drawn one by one where groups overlap something.
const largestDrawn = 20000

// shares are the areas that items have in common.
type shares struct {
	onCourse []measure.Area   // by slab group: on the edging of any bed
	groups   [][]measure.Area // by slab group, by an earlier one
	inBed    [][]measure.Area // by slab group, by bed
	beds     [][]measure.Area // by bed, by an earlier one
}

// share adds up, in one pass over the cells, what items have in common.
func (s *survey) share() shares {
	square := func(rows int, columns func(row int) int) [][]measure.Area {
		m := make([][]measure.Area, rows)
		for i := range m {
			m[i] = make([]measure.Area, columns(i))
		}
		return m
	}
	earlier := func(row int) int { return row }
	out := shares{onCourse: make([]measure.Area, len(s.grids)), groups: square(len(s.grids), earlier), beds: square(len(s.outlines), earlier),
		inBed: square(len(s.grids), func(int) int { return len(s.outlines) })}
	var grids, beds []int
	for _, c := range s.cells {
		grids, beds = c.items(grids[:0], s.grids), c.items(beds[:0], s.outlines)
		for n, i := range beds {
			for _, k := range beds[:n] {
				out.beds[i][k] += c.area
			}
		}
		for n, j := range grids {
			for _, k := range grids[:n] {
				out.groups[j][k] += c.area
			}
			for _, i := range beds {
				out.inBed[j][i] += c.area
			}
			if c.coveredByAny(s.bands) {
				out.onCourse[j] += c.area
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
		for k, both := range common.groups[j] {
			if both > trifle {
				draw[j], draw[k] = true, true
				t.notice("slabs_overlap", Confirm, "slab groups "+t.job.Slabs[k].ID+" and "+group.ID+" share "+
					t.pencil.area(both)+": one of them is in the wrong place; the ground is taken once", group.Pointer+"/at", "")
			}
		}
		whole := t.out.Slabs[j].Grid.Length().Times(t.out.Slabs[j].Grid.Width())
		for _, in := range common.inBed[j] {
			draw[j] = draw[j] || in > trifle && in < whole-trifle-whole.Scale(1e-9)
		}
	}
	t.draw(draw)
	for i := range s.outlines {
		for k, both := range common.beds[i] {
			if both > trifle {
				t.notice("beds_overlap", Confirm, "beds "+t.job.Beds[k].ID+" and "+t.job.Beds[i].ID+" share "+t.pencil.area(both)+
					": it is dug once, and each has its stone and fabric reckoned in full", t.job.Beds[i].Pointer+"/outline", "")
			}
		}
	}
}

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
			t.faults.Add(group.Pointer+"/at", codeTooMany, "overlaps the edging or other slabs or lies across a bed line, and there are too many slabs to draw one by one: move the group clear of them", "")
			return
		}
		s.laid[j] = s.add(t.out.Slabs[j].Grid.Slabs())
	}
	if drawn > 0 {
		s.cut()
	}
}

// open is the part of a cell that no slab covers.
func (t *taker) open(c cell) measure.Area {
	s := &t.ground
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
	depths := make([]measure.Length, len(t.out.Diggings))
	layered := make([]measure.Length, len(t.out.Diggings)) // a bed's own digging carries no layers
	for d, dig := range t.out.Diggings {
		depths[d] = dig.Depth
		if dig.Part != BedPart {
			layered[d] = dig.Depth
		}
	}
	t.layerArea = make([]measure.Area, len(t.out.Diggings))
	for _, c := range t.ground.cells {
		covers := func(d int) bool { return c.covered(t.dugGround[d]) }
		if d := earth.Deepest(depths, covers); d != earth.None {
			t.out.Diggings[d].Add(c.area, depths[d])
		}
		if d := earth.Deepest(layered, covers); d != earth.None {
			t.layerArea[d] += c.area
		}
	}
	var bank measure.Volume
	for _, dig := range t.out.Diggings {
		bank += dig.Volume
	}
	soil := t.job.Ground.Soil
	t.out.Spoil = earth.Heap(bank, soil.SwellFactor, soil.BankDensity)
}

func (t *taker) dig(zone string, part DiggingPart, depth measure.Length, ground int) {
	if depth <= 0 {
		return
	}
	t.out.Diggings = append(t.out.Diggings, DiggingTakeoff{Zone: zone, Part: part, Depth: depth})
	t.dugGround = append(t.dugGround, ground)
}
