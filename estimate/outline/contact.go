package outline

import (
	"math"

	"bedline/estimate/measure"
)

// box is the extent of an element, or of several that follow each other, along and across the direction in which most
// of the outline runs.
type box struct{ s0, s1, t0, t1 float64 }

func (a *box) clear(b *box) bool { return b.s0 > a.s1 || b.s1 < a.s0 || b.t0 > a.t1 || b.t1 < a.t0 }

func (a *box) join(b *box) box {
	return box{min(a.s0, b.s0), max(a.s1, b.s1), min(a.t0, b.t0), max(a.t1, b.t1)}
}

// contact finds the lowest pair of elements that meet where they should not: elements that are nearer to each other
// than 1e-9 m, other than neighbours at the point that they share. Lines and arcs are taken as they are.
//
// Candidates come from a tree of boxes over stretches of the line. Stretches that follow each other seldom overlap by
// much, so that this takes about as many steps as there are elements. The boxes lie in the main direction of the outline,
// so that the long parallel sides of a comb do not all lie over each other, whichever way it is turned.
func (o *Outline) contact() error {
	n := len(o.elements)
	t := boxTree{outline: o, leaves: o.boxes(), first: n, second: n}
	t.boxes = make([]box, 2*n)
	t.build(1, 0, n)
	t.within(1, 0, n)
	if t.first == n {
		return nil
	}
	e, f := &o.elements[t.first], &o.elements[t.second]
	fault := &CrossingError{SideA: e.Side, CornerA: e.Corner, SideB: f.Side, CornerB: f.Corner, At: t.at}
	if o.after != nil {
		fault.RingA, fault.RingB = o.ringOf(t.first), o.ringOf(t.second)
	}
	return fault
}

// boxTree halves the elements again and again, down to a few; node k has the halves 2k and 2k + 1.
type boxTree struct {
	outline       *Outline
	leaves, boxes []box
	first, second int // the lowest pair so far
	at            Point
}

// few elements are looked at one by one.
const few = 4

func (t *boxTree) build(node, from, to int) {
	if to-from <= few {
		b := t.leaves[from]
		for i := from + 1; i < to; i++ {
			b = b.join(&t.leaves[i])
		}
		t.boxes[node] = b
		return
	}
	mid := (from + to) / 2
	t.build(2*node, from, mid)
	t.build(2*node+1, mid, to)
	t.boxes[node] = t.boxes[2*node].join(&t.boxes[2*node+1])
}

// within looks for pairs among the elements of a node.
func (t *boxTree) within(node, from, to int) {
	if to-from <= few {
		for i := from; i < to; i++ {
			t.pairs(i, i+1, to)
		}
		return
	}
	mid := (from + to) / 2
	t.within(2*node, from, mid)
	t.within(2*node+1, mid, to)
	t.between(2*node, from, mid, 2*node+1, mid, to)
}

// between looks for pairs of one element each from two nodes, the first before the second.
func (t *boxTree) between(a, aFrom, aTo, b, bFrom, bTo int) {
	if t.boxes[a].clear(&t.boxes[b]) || aFrom > t.first {
		return
	}
	switch aFew, bFew := aTo-aFrom <= few, bTo-bFrom <= few; {
	case aFew && bFew:
		for i := aFrom; i < aTo; i++ {
			t.pairs(i, bFrom, bTo)
		}
	case bFew || !aFew && aTo-aFrom >= bTo-bFrom:
		mid := (aFrom + aTo) / 2
		t.between(2*a, aFrom, mid, b, bFrom, bTo)
		t.between(2*a+1, mid, aTo, b, bFrom, bTo)
	default:
		mid := (bFrom + bTo) / 2
		t.between(a, aFrom, aTo, 2*b, bFrom, mid)
		t.between(a, aFrom, aTo, 2*b+1, mid, bTo)
	}
}

// pairs looks at element i beside all from others on.
func (t *boxTree) pairs(i, from, to int) {
	for j := from; j < to; j++ {
		if t.leaves[i].clear(&t.leaves[j]) || i > t.first || i == t.first && j >= t.second {
			continue
		}
		if place, met := t.outline.meet(i, j); met {
			t.first, t.second, t.at = i, j, place
		}
	}
}

func (o *Outline) boxes() []box {
	var double, twice float64 // sums of length times cosine and sine of the doubled direction
	for i := range o.elements {
		e := &o.elements[i].Edge
		dx, dy := float64(e.To.X-e.From.X), float64(e.To.Y-e.From.Y)
		if l := norm(dx, dy); l > 0 {
			double += (float64(dx*dx) - float64(dy*dy)) / l
			twice += float64(2*dx*dy) / l
		}
	}
	// Half of that direction by the half-angle formulas: (c, s) runs along the outline.
	c, s := 1.0, 0.0
	if l := norm(double, twice); l > 0 {
		c = math.Sqrt(max(0, (1+double/l)/2))
		s = math.Sqrt(max(0, (1-double/l)/2))
		if twice < 0 {
			s = -s
		}
	}
	boxes := make([]box, len(o.elements))
	low := o.elements[0].From
	for i := range o.elements {
		e := &o.elements[i].Edge
		x0, y0 := float64(e.From.X-low.X), float64(e.From.Y-low.Y)
		x1, y1 := float64(e.To.X-low.X), float64(e.To.Y-low.Y)
		across0, across1 := dot(-s, c, x0, y0), dot(-s, c, x1, y1)
		along0, along1 := dot(c, s, x0, y0), dot(c, s, x1, y1)
		b := box{min(across0, across1), max(across0, across1), min(along0, along1), max(along0, along1)}
		if !e.Straight() {
			r := float64(e.Radius)
			x, y := float64(e.Centre.X-low.X), float64(e.Centre.Y-low.Y)
			across, along := dot(-s, c, x, y), dot(c, s, x, y)
			if e.sweeps(-s, c) {
				b.s1 = max(b.s1, across+r)
			}
			if e.sweeps(s, -c) {
				b.s0 = min(b.s0, across-r)
			}
			if e.sweeps(c, s) {
				b.t1 = max(b.t1, along+r)
			}
			if e.sweeps(-c, -s) {
				b.t0 = min(b.t0, along-r)
			}
		}
		const margin = same / 2 * 1.001
		grow := margin + float64(1e-15*max(math.Abs(b.s0), math.Abs(b.s1), math.Abs(b.t0), math.Abs(b.t1)))
		b.s0, b.s1, b.t0, b.t1 = b.s0-grow, b.s1+grow, b.t0-grow, b.t1+grow
		boxes[i] = b
	}
	return boxes
}

// meet tells whether elements i and j touch, apart from the end that neighbours share, and where.
func (o *Outline) meet(i, j int) (Point, bool) {
	e, f := &o.elements[i].Edge, &o.elements[j].Edge
	if e.Straight() && f.Straight() && (beside(e, f) || beside(f, e)) {
		return Point{}, false
	}
	after := o.next(i) == j  // f starts where e ends
	before := o.next(j) == i // e starts where f ends
	own := func(p Point, t float64) bool {
		return after && !parted(e, f, e.To, p, t) || before && !parted(f, e, f.To, p, t)
	}
	ends := [4]struct {
		p     Point
		on    *Edge
		share bool
	}{
		{e.From, f, before}, {e.To, f, after}, {f.From, e, after}, {f.To, e, before},
	}
	if e.Straight() && f.Straight() {
		if !after && !before {
			if p, met := linesCross(e, f); met {
				return p, true
			}
		}
	} else {
		for _, p := range crossings(e, f) {
			if e.away(p) <= same && f.away(p) <= same && !own(p, same) {
				return p, true
			}
		}
	}
	for _, end := range ends {
		if end.share {
			continue
		}
		if end.on.away(end.p) <= same && !(after && near(end.p, e.To)) && !(before && near(end.p, f.To)) {
			return end.p, true
		}
	}
	return Point{}, false
}

// beside tells that all of the straight edge f lies clear of the line of e, on one side: the quick way out.
func beside(e, f *Edge) bool {
	dx, dy := float64(e.To.X-e.From.X), float64(e.To.Y-e.From.Y)
	a := cross(dx, dy, float64(f.From.X-e.From.X), float64(f.From.Y-e.From.Y))
	b := cross(dx, dy, float64(f.To.X-e.From.X), float64(f.To.Y-e.From.Y))
	return a > 0 == (b > 0) && min(float64(a*a), float64(b*b)) > 4*same*same*dot(dx, dy, dx, dy)
}

func near(p, q Point) bool { return distance(p, q) <= same }

// parted tells whether two neighbours that share a point have left each other before they meet again at p. Where they
// are one all the way, as a side and its tangent arc are for a short stretch, they have not.
func parted(e, f *Edge, shared, p Point, tolerance float64) bool {
	if near(shared, p) {
		return false
	}
	// A point of e half way to p, if off f, shows that ground lies between.
	half := Point{(shared.X + p.X) / 2, (shared.Y + p.Y) / 2}
	return float64(f.away(e.nearest(half))) > tolerance || float64(e.away(f.nearest(half))) > tolerance
}

// linesCross finds the proper crossing of two straight edges.
func linesCross(e, f *Edge) (Point, bool) {
	ex, ey := float64(e.To.X-e.From.X), float64(e.To.Y-e.From.Y)
	fx, fy := float64(f.To.X-f.From.X), float64(f.To.Y-f.From.Y)
	a := cross(ex, ey, float64(f.From.X-e.From.X), float64(f.From.Y-e.From.Y))
	b := cross(ex, ey, float64(f.To.X-e.From.X), float64(f.To.Y-e.From.Y))
	if a > 0 == (b > 0) {
		return Point{}, false
	}
	c := cross(fx, fy, float64(e.From.X-f.From.X), float64(e.From.Y-f.From.Y))
	d := cross(fx, fy, float64(e.To.X-f.From.X), float64(e.To.Y-f.From.Y))
	if c > 0 == (d > 0) {
		return Point{}, false
	}
	return e.Point(measure.Factor(c / (c - d))), true
}

// crossings lists the common points of the whole lines or circles that carry two edges, at least one of them an arc:
// up to two, and where they pass each other within 1e-9 m the place of least distance. They may lie off the edges.
func crossings(e, f *Edge) []Point {
	if e.Straight() {
		e, f = f, e
	}
	cx, cy, r := float64(e.Centre.X), float64(e.Centre.Y), float64(e.Radius)
	var ux, uy, along, off float64 // the chord: along u from the centre, off to both sides
	if f.Straight() {
		dx, dy := float64(f.To.X-f.From.X), float64(f.To.Y-f.From.Y)
		l := norm(dx, dy)
		if l == 0 {
			return nil
		}
		ux, uy = -dy/l, dx/l
		along = dot(ux, uy, float64(f.From.X)-cx, float64(f.From.Y)-cy)
		if math.Abs(along) > r+same {
			return nil
		}
		along = max(-r, min(r, along))
	} else {
		dx, dy, q := float64(f.Centre.X)-cx, float64(f.Centre.Y)-cy, float64(f.Radius)
		d := norm(dx, dy)
		if d <= same || d > r+q+same || d < math.Abs(r-q)-same {
			return nil
		}
		ux, uy = dx/d, dy/d
		along = (d + float64((r-q)*(r+q))/d) / 2
		along = max(-r, min(r, along))
	}
	off = math.Sqrt((r - along) * (r + along))
	bx, by := cx+float64(along*ux), cy+float64(along*uy)
	ox, oy := -float64(off*uy), float64(off*ux)
	p := Point{measure.Length(bx + ox), measure.Length(by + oy)}
	if off <= same {
		return []Point{p}
	}
	return []Point{p, {measure.Length(bx - ox), measure.Length(by - oy)}}
}
