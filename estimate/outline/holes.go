package outline

import (
	"errors"
	"fmt"
	"slices"

	"bedline/estimate/measure"
)

// Hole is ground left out of an outline, and the islands of the outline's ground that lie in it again.
type Hole struct {
	Outline *Outline
	Islands []*Outline
}

// RingKind tells what a ring of an outline bounds.
type RingKind uint8

const (
	OuterRing  RingKind = iota // all of the outline
	HoleRing                   // ground left out
	IslandRing                 // ground of the outline inside a hole
)

// Ring is one closed line of an outline.
type Ring struct {
	Kind   RingKind
	Hole   int // number of the hole that it bounds or lies in, None for the outer ring
	Island int // number of the island in its hole, None for the others

	// Side and Sides are the number of its first side and of all its sides. Corner numbers go on in the same way:
	// corner i of a ring lies between its sides i-1 and i, its first corner between its last side and its first.
	Side, Sides int

	// Elements of the ring, the ground of the outline on their left: counter-clockwise round the outer ring and islands,
	// clockwise round holes. Not to be changed.
	Elements []Element

	// Falling tells that side numbers fall along the elements.
	Falling bool

	Area      measure.Area // enclosed, whatever lies in it
	Perimeter measure.Length
}

// neighbours are the sides that meet in corner i.
func (r *Ring) neighbours(i int) (before, after int) {
	k := i - r.Side
	return r.Side + (k+r.Sides-1)%r.Sides, i
}

// Neighbours are the sides that meet in a corner, that before it in the request first; ok is false where there is no
// such corner.
func (o *Outline) Neighbours(corner int) (before, after int, ok bool) {
	for i := range o.rings {
		if r := &o.rings[i]; corner >= r.Side && corner < r.Side+r.Sides {
			before, after = r.neighbours(corner)
			return before, after, true
		}
	}
	return None, None, false
}

// Rings are the closed lines of the outline in the order of their side numbers: the outer one, the first hole, its
// islands, the next hole. The slice is not to be changed.
func (o *Outline) Rings() []Ring { return o.rings }

// Holed tells that the outline has holes.
func (o *Outline) Holed() bool { return len(o.rings) > 1 }

// WithHoles is the outline less holes, plus the islands in them. Side numbers go on from those of the outer line: those
// of the first hole, of its islands, of the next hole and so on. No two lines may cross or touch; holes lie wholly
// inside the outline and apart from each other, islands wholly inside their hole and apart from each other.
//
// All faults are given together: *CrossingError for the first pair of sides that meet, otherwise a *NestingError for
// each line in a wrong place. Holes and islands with holes of their own are refused with *NestedHolesError.
func (o *Outline) WithHoles(holes []Hole) (*Outline, error) {
	if len(holes) == 0 {
		return o, nil
	}
	var faults []error
	w := &Outline{reversed: o.reversed, taped: o.taped, low: o.low, high: o.high, elements: slices.Clone(o.elements), lines: slices.Clone(o.lines)}
	w.rings = []Ring{o.rings[0]}
	if o.Holed() {
		faults = append(faults, &NestedHolesError{Hole: None, Island: None})
	}
	for h := range holes {
		w.ring(holes[h].Outline, HoleRing, h, None, &faults)
		for i, island := range holes[h].Islands {
			w.ring(island, IslandRing, h, i, &faults)
		}
	}
	if len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	w.share()
	if fault := w.contact(); fault != nil {
		return nil, fault
	}
	if faults = w.nesting(); len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	for i := range w.rings {
		r := &w.rings[i]
		w.perimeter += r.Perimeter
		if r.Kind == HoleRing {
			w.area -= r.Area
			w.poles = append(w.poles, w.pole(i))
		} else {
			w.area += r.Area
		}
	}
	if !(w.area >= smallest) {
		return nil, &TooSmallError{Area: w.area}
	}
	return w, nil
}

// ring adds the line of a hole or an island. Elements are counted by Sides until share cuts them up.
func (o *Outline) ring(line *Outline, kind RingKind, hole, island int, faults *[]error) {
	if line.Holed() {
		*faults = append(*faults, &NestedHolesError{Hole: hole, Island: island})
	}
	first := len(o.lines)
	r := Ring{Kind: kind, Hole: hole, Island: island, Side: first, Sides: len(line.lines), Falling: line.reversed, Area: line.area, Perimeter: line.perimeter}
	elements, lines := slices.Clone(line.elements), slices.Clone(line.lines)
	if kind == HoleRing {
		r.Falling = !line.reversed
		slices.Reverse(elements)
		for i := range elements {
			elements[i].Edge = elements[i].Reverse()
		}
		for i := range lines {
			lines[i] = lines[i].Reverse()
		}
	}
	for i := range elements {
		if elements[i].Side != None {
			elements[i].Side += first
		}
		if elements[i].Corner != None {
			elements[i].Corner += first
		}
	}
	r.Elements = elements
	o.lines = append(o.lines, lines...)
	o.elements = append(o.elements, elements...)
	o.rings = append(o.rings, r)
}

// share lets the rings share the elements of the outline.
func (o *Outline) share() {
	at := 0
	for i := range o.rings {
		n := len(o.rings[i].Elements)
		o.rings[i].Elements = o.elements[at : at+n : at+n]
		at += n
	}
	if len(o.rings) == 1 {
		return
	}
	o.after = make([]int32, len(o.elements))
	at = 0
	for i := range o.rings {
		n := len(o.rings[i].Elements)
		for k := range n {
			o.after[at+k] = int32(at + (k+1)%n)
		}
		at += n
	}
}

// next is the index of the element that follows element i in its ring.
func (o *Outline) next(i int) int {
	if o.after != nil {
		return int(o.after[i])
	}
	return (i + 1) % len(o.elements)
}

// ringOf is the index of the ring of element i.
func (o *Outline) ringOf(i int) int {
	for k := range o.rings {
		if i -= len(o.rings[k].Elements); i < 0 {
			return k
		}
	}
	return 0
}

// nesting looks for lines that do not lie where they belong; none cross or touch each other.
func (o *Outline) nesting() (faults []error) {
	inside := func(k, in int) bool { return winds(o.rings[in].Elements, o.rings[k].Elements[0].From) }
	for k := 1; k < len(o.rings); k++ {
		r := &o.rings[k]
		home := 0
		if r.Kind == IslandRing {
			for home = k - 1; o.rings[home].Kind != HoleRing; home-- {
			}
		}
		fault := &NestingError{Hole: r.Hole, Island: r.Island, InHole: None, InIsland: None}
		if !inside(k, home) {
			faults = append(faults, fault)
			continue
		}
		for j := 1; j < len(o.rings); j++ {
			other := &o.rings[j]
			if j != k && j != home && (r.Kind == HoleRing && other.Kind == HoleRing || r.Kind == IslandRing && other.Kind == IslandRing && other.Hole == r.Hole) &&
				inside(k, j) {
				fault.InHole, fault.InIsland = other.Hole, other.Island
				faults = append(faults, fault)
				break
			}
		}
	}
	return faults
}

// pole is a place deep inside a hole and its distance from the ground of the outline.
type pole struct {
	at   Point
	deep measure.Length
}

// pole looks for the place in a hole that is farthest from its line and its islands: from the middles of its longest
// elements across, then step by step. It is exact for circles and rectangles without islands; elsewhere the distance
// may be less than the greatest.
func (o *Outline) pole(ring int) pole {
	own := o.rings[ring].Elements
	from, to := 0, 0
	for k := range o.rings {
		if k < ring {
			from += len(o.rings[k].Elements)
		} else if k == ring || o.rings[k].Kind == IslandRing && o.rings[k].Hole == o.rings[ring].Hole {
			to += len(o.rings[k].Elements)
		}
	}
	near := o.elements[from : from+to]
	deep := func(p Point) measure.Length {
		wind := winds(near, p)
		if !wind {
			return -1
		}
		return distanceTo(near, p)
	}
	longest := make([]Element, len(own))
	copy(longest, own)
	slices.SortStableFunc(longest, func(a, b Element) int {
		switch la, lb := a.Length(), b.Length(); {
		case la > lb:
			return -1
		case la < lb:
			return 1
		}
		return 0
	})
	best := pole{deep: -1}
	try := func(p Point) bool {
		d := deep(p)
		if d > best.deep {
			best.at, best.deep = p, d
			return true
		}
		return false
	}
	const seeds = 24
	for i := range longest[:min(len(longest), seeds)] {
		e := &longest[i]
		mid := e.Point(0.5)
		// Across the hole, to the right of its line: a chord of it.
		h := e.Heading(0.5)
		dx, dy := measure.Sin(h), -measure.Cos(h)
		half := float64(chord(near, mid, dx, dy) / 2)
		try(Point{mid.X + measure.Length(dx*half), mid.Y + measure.Length(dy*half)})
	}
	for step, tries := best.deep/2, 0; step > same && tries < 400; tries++ {
		moved := false
		for _, d := range [...]Point{{step, 0}, {-step, 0}, {0, step}, {0, -step}} {
			moved = try(Point{best.at.X + d.X, best.at.Y + d.Y}) || moved
		}
		if !moved {
			step /= 2
		}
	}
	return best
}

// chord is how far a ray from a point of one of the elements runs before it meets them again.
func chord(elements []Element, p Point, dx, dy float64) measure.Length {
	low, high := p, p
	for i := range elements {
		a, b := elements[i].Bounds()
		low, high = Point{min(low.X, a.X), min(low.Y, a.Y)}, Point{max(high.X, b.X), max(high.Y, b.Y)}
	}
	reach := distance(low, high) + 1
	ray := Line(p, Point{p.X + measure.Length(dx*float64(reach)), p.Y + measure.Length(dy*float64(reach))})
	best := reach
	meets := func(q Point) {
		if d := distance(p, q); d > 10*same && d < best {
			best = d
		}
	}
	for i := range elements {
		f := &elements[i].Edge
		if f.Straight() {
			if q, met := linesCross(&ray, f); met {
				meets(q)
			}
			continue
		}
		for _, q := range crossings(&ray, f) {
			if ray.away(q) <= same && f.away(q) <= same {
				meets(q)
			}
		}
	}
	return best
}

// covers is the greatest distance from the outline's ground of the middles of those holes that closed chains cover.
func (o *Outline) covers(elements []Element) measure.Length {
	var most measure.Length
	for _, p := range o.poles {
		if p.deep > most && winds(elements, p.at) {
			most = p.deep
		}
	}
	return most
}

// NestingError tells that a hole does not lie inside the outline, or an island not inside its hole; or, where InHole is
// not None, that it lies inside another hole or, where InIsland is not None too, inside another island.
type NestingError struct {
	Hole, Island     int // Island is None for a hole
	InHole, InIsland int
}

func (e *NestingError) Error() string {
	what := ringName(e.Hole, e.Island)
	switch {
	case e.InHole != None:
		return what + " lies inside " + ringName(e.InHole, e.InIsland)
	case e.Island != None:
		return what + " does not lie inside its hole"
	}
	return what + " does not lie inside the outline"
}

// ringName names a ring: hole 0, island 1 of hole 0, the outer line.
func ringName(hole, island int) string {
	switch {
	case hole == None:
		return "the outer line"
	case island == None:
		return fmt.Sprintf("hole %d", hole)
	}
	return fmt.Sprintf("island %d of hole %d", island, hole)
}

// NestedHolesError tells that a hole or an island (the outline itself where both are None) has holes already.
type NestedHolesError struct{ Hole, Island int }

func (e *NestedHolesError) Error() string {
	return ringName(e.Hole, e.Island) + " has holes of its own"
}
