package estimate

import (
	"errors"
	"strconv"

	"bedline/estimate/document"
	"bedline/estimate/outline"
)

// The limits of holes; the contract states the same.
const (
	maxHoles   = 100 // of an outline
	maxIslands = 20  // of a hole
)

// Codes of faults of holes and islands.
const (
	codeLinesMeet = "lines_meet"
	codeNotInside = "not_inside"
)

// RingTies are the tapes of a hole or an island that was taped from marks.
type RingTies struct {
	Pointer      string // of the hole or island in the request
	Hole, Island int    // Island is outline.None for a hole
	*outline.Adjustment
}

// outline reads one outline of any kind with its holes and their islands; nil after a fault.
func (b *jobReader) outline(r document.Reader) *outline.Outline {
	b.adjusted, b.ringTies = nil, nil
	o, ok := b.ring(r)
	if !ok {
		return nil
	}
	if !r.Has("holes") {
		r.Close()
		return o
	}
	adjusted := b.adjusted
	holes, good := b.holes(r)
	r.Close()
	b.adjusted = adjusted
	if o == nil || !good {
		return nil
	}
	sides := o.Sides()
	for _, h := range holes {
		sides += h.Outline.Sides()
		for _, i := range h.Islands {
			sides += i.Sides()
		}
	}
	if sides > maxPoints {
		b.faults.Add(r.At("holes"), codeTooMany, "brings the sides of the outline over "+strconv.Itoa(maxPoints)+": leave out holes, or take fewer points", "")
		return nil
	}
	whole, err := o.WithHoles(holes)
	b.holeFaults(r, holes, err)
	if err != nil {
		return nil
	}
	return whole
}

// holes reads the holes of an outline.
func (b *jobReader) holes(r document.Reader) (holes []outline.Hole, good bool) {
	good = true
	whole := r.Each("holes", document.Optional, 1, maxHoles, func(i int, v document.Value) {
		var hole outline.Hole
		hr, line, known := b.line(v, i, outline.None)
		hole.Outline = line
		if known && hr.Has("islands") && !hr.Each("islands", document.Optional, 1, maxIslands, func(k int, v document.Value) {
			ir, line, known := b.line(v, i, k)
			if known {
				ir.Close()
			}
			good = good && line != nil
			hole.Islands = append(hole.Islands, line)
		}) {
			good = false
		}
		if known {
			hr.Close()
		}
		good = good && line != nil
		holes = append(holes, hole)
	})
	return holes, whole && good
}

// line reads the line of a hole or an island; nil after a fault. The reader is to be closed where known is true.
func (b *jobReader) line(v document.Value, hole, island int) (r document.Reader, o *outline.Outline, known bool) {
	r, ok := v.Object()
	if !ok {
		return r, nil, false
	}
	if b.points >= maxJobPoints {
		if !b.full {
			b.faults.Add(r.Pointer(), codeTooMany, "brings the points of the job over "+strconv.Itoa(maxJobPoints)+": send its beds in several jobs", "")
		}
		b.full = true
		return r, nil, false
	}
	b.adjusted = nil
	if o, known = b.ring(r); o != nil && b.adjusted != nil {
		b.ringTies = append(b.ringTies, RingTies{Pointer: r.Pointer(), Hole: hole, Island: island, Adjustment: b.adjusted})
	}
	return r, o, known
}

// holeFaults reports what is wrong with the places of holes and islands, each fault at the line that would have to move.
func (b *jobReader) holeFaults(r document.Reader, holes []outline.Hole, err error) {
	pointer := func(hole, island int) string {
		switch {
		case hole == outline.None:
			return r.Pointer()
		case island == outline.None:
			return r.At("holes") + "/" + strconv.Itoa(hole)
		}
		return r.At("holes") + "/" + strconv.Itoa(hole) + "/islands/" + strconv.Itoa(island)
	}
	places := [][2]int{{outline.None, outline.None}} // by ring, as outline has them
	for h := range holes {
		places = append(places, [2]int{h, outline.None})
		for i := range holes[h].Islands {
			places = append(places, [2]int{h, i})
		}
	}
	for _, e := range unjoin(err) {
		var (
			crossing *outline.CrossingError
			nesting  *outline.NestingError
			small    *outline.TooSmallError
		)
		switch {
		case errors.As(e, &crossing):
			a, c := places[crossing.RingA], places[crossing.RingB]
			b.faults.Add(pointer(c[0], c[1]), codeLinesMeet, "crosses or touches the line at "+pointer(a[0], a[1])+": "+crossing.Error()+
				"; sides are numbered on from the outer line over the holes and their islands", "")
		case errors.As(e, &nesting) && nesting.InHole != outline.None:
			b.faults.Add(pointer(nesting.Hole, nesting.Island), codeNotInside, "lies inside the line at "+pointer(nesting.InHole, nesting.InIsland)+
				": holes lie apart from each other, and so do the islands of a hole", "")
		case errors.As(e, &nesting) && nesting.Island != outline.None:
			b.faults.Add(pointer(nesting.Hole, nesting.Island), codeNotInside, "lies outside the hole at "+pointer(nesting.Hole, outline.None)+": an island is ground inside its hole", "")
		case errors.As(e, &nesting):
			b.faults.Add(pointer(nesting.Hole, outline.None), codeNotInside, "does not lie inside the outline: all coordinates of a job count from one origin", "")
		case errors.As(e, &small):
			b.faults.Add(r.At("holes"), codeTooSmall, "leave less than 1 cm2 of the outline: check the units of their measures", "")
		default:
			b.faults.Add(r.At("holes"), "bad_outline", e.Error(), "")
		}
	}
}
