package course

import (
	"math"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// A strip is the ground between two offsets of a run. Where two runs meet, their strips share the mitre: the line
// from the meeting of the outer offsets over the corner to that of the inner ones. So no ground is missing between
// them at a corner that stands out or in, and none is outside it. At free ends strips are square.

// spike is the turn beyond which a mitre round the outside of a corner is cut short at the distance of the offset: a
// corner of less than 15 degrees.
const spike = 165 * measure.Pi / 180

// strips is the ground between the offsets low and high (to the left) of all edged runs.
func (c *chain) strips(low, high measure.Length) outline.Region {
	ground := make(outline.Region, 0, len(c.elements))
	for _, i := range c.order() {
		if !c.edged[i] {
			continue
		}
		if e := c.elements[i].Edge; c.round(i) {
			ground = append(ground, fullRing(e, float64(low), float64(high))...)
		} else if loop := c.strip(i, float64(low), float64(high)); len(loop) > 0 {
			ground = append(ground, loop)
		}
	}
	return ground
}

// fullRing is the ground between two offsets of a full circle: a disc where the inner one has no radius.
func fullRing(e outline.Edge, low, high float64) outline.Region {
	var ground outline.Region
	for _, d := range [...]float64{low, high} {
		r := offsetRadius(e, d)
		if r <= pointLike {
			continue
		}
		start := at(e.Centre, from(e.Centre, e.From).unit().times(r))
		turn := e.Turn
		if d == high {
			turn = -turn
		}
		ground = append(ground, outline.Loop{{From: start, To: start, Centre: e.Centre, Radius: measure.Length(r), Turn: turn}})
	}
	return ground
}

// offsetRadius is the radius of an arc moved by d to its left.
func offsetRadius(e outline.Edge, d float64) float64 {
	if e.Turn > 0 {
		return float64(e.Radius) - d
	}
	return float64(e.Radius) + d
}

// strip is the loop round the ground between two offsets of element i.
func (c *chain) strip(i int, low, high float64) outline.Loop {
	e := c.elements[i].Edge
	lowFrom, lowTo, lowMid := c.offset(i, low)
	highFrom, highTo, highMid := c.offset(i, high)
	size := 4
	if low != 0 && high != 0 { // two lines at each end
		size = 6
	}
	loop := make(outline.Loop, 0, size)
	line := func(p, q outline.Point) {
		if from(p, q).size() > 0 {
			loop = append(loop, outline.Edge{From: p, To: q})
		}
	}
	side := func(p, q, mid outline.Point, d float64, back bool) {
		r := offsetRadius(e, d)
		switch {
		case p == q:
		case e.Straight():
			line(p, q)
		case r <= pointLike: // over the centre
			line(p, mid)
			line(mid, q)
		default:
			u, v := onto(e.Centre, p, r), onto(e.Centre, q, r)
			line(p, u)
			loop = append(loop, arc(e, u, v, r, back))
			line(v, q)
		}
	}
	side(lowFrom, lowTo, lowMid, low, false)
	if low != 0 && high != 0 {
		line(lowTo, e.To)
		line(e.To, highTo)
	} else {
		line(lowTo, highTo)
	}
	side(highTo, highFrom, highMid, high, true)
	if low != 0 && high != 0 {
		line(highFrom, e.From)
		line(e.From, lowFrom)
	} else {
		line(highFrom, lowFrom)
	}
	return loop
}

// onto is p, or where the ray from a centre through p meets the circle of radius r if p is not on it: at a tip that is
// cut short.
func onto(centre, p outline.Point, r float64) outline.Point {
	away := from(centre, p)
	if off := away.size() - r; math.Abs(off) <= pointLike || away.size() <= pointLike {
		return p
	}
	return at(centre, away.unit().times(r))
}

// arc is the part of the circle of radius r about the centre of e from p to q, in the sense of e or back.
func arc(e outline.Edge, p, q outline.Point, r float64, back bool) outline.Edge {
	turn := e.Turn
	a, b := from(e.Centre, e.From), from(e.Centre, e.To)
	if back {
		turn, a, b = -turn, b, a
	}
	u, v := from(e.Centre, p), from(e.Centre, q)
	// p and q are near the ends of e as seen from the centre: only what they differ by is measured.
	turn += measure.Atan2(b.cross(v), b.dot(v)) - measure.Atan2(a.cross(u), a.dot(u))
	return outline.Edge{From: p, To: q, Centre: e.Centre, Radius: measure.Length(r), Turn: turn}
}

// offset gives the ends of element i moved by d to the left. Where the mitres at the two ends cross before they get
// there, both ends are the crossing. mid is the centre of an arc.
func (c *chain) offset(i int, d float64) (start, end, mid outline.Point) {
	e := c.elements[i]
	if d == 0 {
		return e.From, e.To, e.Centre
	}
	start, end = c.corner(i, 0, d), c.corner(i, 1, d)
	if !c.crossed(i, start, end, d) {
		return start, end, e.Centre
	}
	v, w := from(e.From, start), from(e.To, end)
	k := v.cross(w)
	if k == 0 {
		mid = at(start, from(start, end).times(0.5))
		return mid, mid, e.Centre
	}
	share := from(e.From, e.To).cross(w) / k
	if !(share >= 0 && share <= 1) {
		// The mitres run beside each other, as between thin teeth, and would cross far away if at all.
		mid = at(start, from(start, end).times(0.5))
		return mid, mid, e.Centre
	}
	apex := at(e.From, v.times(share))
	return apex, apex, e.Centre
}

// crossed tells whether the offset of element i would run backwards from start to end.
func (c *chain) crossed(i int, start, end outline.Point, d float64) bool {
	e := c.elements[i].Edge
	if e.Straight() {
		return from(start, end).dot(from(e.From, e.To)) < 0
	}
	r := offsetRadius(e, d)
	if r <= pointLike {
		return false
	}
	return float64(arc(e, start, end, r, false).Turn)*float64(e.Turn) < 0
}

// corner is the end of element i moved by d to the left: at its From (end 0) or To (end 1).
func (c *chain) corner(i, end int, d float64) outline.Point {
	e := c.elements[i]
	p := e.From
	if end == 1 {
		p = e.To
	}
	square := at(p, heading(e.Edge, p).left().times(d))
	switch k := c.ends[i][end].Kind; {
	case k == Free || k == Tangent:
		if !e.Straight() && offsetRadius(e.Edge, d) <= pointLike {
			return e.Centre
		}
		return square
	}
	before, after := e.Edge, c.elements[c.next[i]].Edge
	if end == 0 {
		before, after = c.elements[c.before[i]].Edge, e.Edge
	}
	in, out := heading(before, p), heading(after, p)
	across := in.left().plus(out.left())
	turn := c.ends[i][end].Turn
	outer := (turn > 0) != (d > 0)
	if outer && max(turn, -turn) > spike || across.size() < 1e-6 {
		// Straight out of the tip, or into it.
		tip := in.plus(out.times(-1)).unit()
		if turn > 0 {
			tip = tip.times(-1)
		}
		end := at(p, tip.times(d))
		if !outer { // in a cusp the offsets meet where its sides have parted
			end, _ = meet(before, after, p, d, end)
		}
		return end
	}
	// Two lines of unit normals m and n moved by d meet at d (m + n) / (1 + m n).
	mitre := across.times(2 * d / across.dot(across))
	if hit, ok := meet(before, after, p, d, at(p, mitre)); ok {
		return hit
	}
	return at(p, across.unit().times(d))
}

// meet is the point nearest to near in which the offsets by d of two edges that share the point p cross; near itself if
// they do not.
func meet(e, f outline.Edge, p outline.Point, d float64, near outline.Point) (outline.Point, bool) {
	switch {
	case e.Straight() && f.Straight():
		return near, true
	case e.Straight():
		return lineCircle(e, f, p, d, near)
	case f.Straight():
		return lineCircle(f, e, p, d, near)
	}
	r, s := offsetRadius(e, d), offsetRadius(f, d)
	between := from(e.Centre, f.Centre)
	apart := between.size()
	if r <= pointLike || s <= pointLike || apart <= pointLike {
		return near, false
	}
	// From the centre of e: x along the line of centres, y square to it.
	x := (float64(apart*apart) + float64(r*r) - float64(s*s)) / (2 * apart)
	return pick(e.Centre, between.unit(), x, float64(r*r)-float64(x*x), near)
}

// lineCircle is meet for the straight e and the arc f.
func lineCircle(e, f outline.Edge, p outline.Point, d float64, near outline.Point) (outline.Point, bool) {
	r := offsetRadius(f, d)
	if r <= pointLike {
		return near, false
	}
	normal := heading(e, p).left()
	x := from(f.Centre, at(p, normal.times(d))).dot(normal)
	return pick(f.Centre, normal, x, float64(r*r)-float64(x*x), near)
}

// pick is the point at x along u from c and at plus or minus the root of square to its side, whichever is nearer.
func pick(c outline.Point, u vector, x, square float64, near outline.Point) (outline.Point, bool) {
	if square < 0 {
		return near, false
	}
	y := math.Sqrt(square)
	p := at(c, u.times(x).plus(u.left().times(y)))
	q := at(c, u.times(x).plus(u.left().times(-y)))
	if from(near, q).size() < from(near, p).size() {
		return q, true
	}
	return p, true
}
