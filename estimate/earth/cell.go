package earth

// plane is a level that falls evenly: at a place, and its gain per metre along x and y.
type plane struct {
	at    vec
	level float64
	gain  vec
}

func (p plane) value(v vec) float64 { return p.level + p.gain.dot(v.minus(p.at)) }

// cell is a convex piece of the plane, counter-clockwise, over which the ground is one plane.
type cell struct {
	ring    []vec
	ground  plane
	resting bool // its level is not taken between spots
}

// cells hands out the pieces of the ground that can reach into the upright box from low to high. Together they cover
// it once. Places are taken from an origin.
func (s *Surface) cells(origin, low, high vec, each func(cell)) {
	out := reach{s: s, origin: origin, each: each}
	from, to := low, high
	for i := range s.spots {
		v := out.place(int32(i))
		from = vec{min(from.x, v.x), min(from.y, v.y)}
		to = vec{max(to.x, v.x), max(to.y, v.y)}
	}
	out.far = float64(2*to.minus(from).length()) + 1
	switch s.shape {
	case Flat:
		each(cell{ring: []vec{low, {high.x, low.y}, high, {low.x, high.y}}, ground: plane{level: s.level(0)}})
	case Ruled:
		out.ruled()
	case Triangulated:
		for _, t := range s.triangles {
			out.triangle(t)
		}
		out.beyond()
	}
}

// reach makes cells; those that have no end are cut off far enough out.
type reach struct {
	s      *Surface
	origin vec
	far    float64
	each   func(cell)
}

func (r *reach) place(i int32) vec { return r.s.place(i).minus(r.origin) }

func (r *reach) triangle(t [3]int32) {
	a, b, c := r.place(t[0]), r.place(t[1]), r.place(t[2])
	u, v := b.minus(a), c.minus(a)
	whole := u.cross(v)
	if !(whole > 0) {
		return // no area in floating point
	}
	du, dv := r.s.level(t[1])-r.s.level(t[0]), r.s.level(t[2])-r.s.level(t[0])
	gain := vec{
		(float64(du*v.y) - float64(dv*u.y)) / whole,
		(float64(dv*u.x) - float64(du*v.x)) / whole,
	}
	r.each(cell{
		ring:    []vec{a, b, c},
		ground:  plane{a, r.s.level(t[0]), gain},
		resting: r.s.added[t[0]] || r.s.added[t[1]] || r.s.added[t[2]],
	})
}

// along is the plane through an edge of the hull or line that is level square to it.
func (r *reach) along(e [2]int32) (p plane, d vec, ok bool) {
	a := r.place(e[0])
	d = r.place(e[1]).minus(a)
	l := d.length()
	if !(l > 0) {
		return plane{}, vec{}, false
	}
	d = d.times(1 / l)
	return plane{a, r.s.level(e[0]), d.times((r.s.level(e[1]) - r.s.level(e[0])) / l)}, d, true
}

// ruled makes one band square to the line for each of its stretches, and one beyond each of its ends.
func (r *reach) ruled() {
	n := int32(len(r.s.spots))
	first, last := r.place(0), r.place(n-1)
	d := last.minus(first).unit()
	band := func(from, to vec, ground plane, resting bool) {
		side := d.right().times(r.far)
		r.each(cell{[]vec{from.plus(side), to.plus(side), to.minus(side), from.minus(side)}, ground, resting})
	}
	station := func(i int32) vec { return first.plus(d.times(r.place(i).minus(first).dot(d))) }
	for _, e := range r.s.rim {
		a, b := station(e[0]), station(e[1])
		if l := b.minus(a).dot(d); l > 0 {
			band(a, b, plane{a, r.s.level(e[0]), d.times((r.s.level(e[1]) - r.s.level(e[0])) / l)}, false)
		}
	}
	out := d.times(r.far)
	band(first.minus(out), first, plane{level: r.s.level(0)}, true)
	band(last, last.plus(out), plane{level: r.s.level(n - 1)}, true)
}

// beyond makes the ground outside the hull: square out from each edge its level, and about each corner between two
// such bands the level of the corner.
func (r *reach) beyond() {
	rim := r.s.rim
	for i, e := range rim {
		ground, d, ok := r.along(e)
		if !ok {
			continue
		}
		_, after, _ := r.along(rim[(i+1)%len(rim)])
		a, b := r.place(e[0]), r.place(e[1])
		square := d.right()
		r.each(cell{
			ring:    []vec{a, a.plus(square.times(r.far)), b.plus(square.times(r.far)), b},
			ground:  ground,
			resting: true,
		})
		if d.cross(after) > 0 || d.dot(after) < 0 { // at a needle's tip the cross product may be lost
			r.corner(b, square, after.right(), d.minus(after), r.s.level(e[1]))
		}
	}
}

// corner makes the ground about a corner of the hull between two directions square to its edges, in two halves, each
// as wide as a circle of the far radius.
func (r *reach) corner(at, from, to, tip vec, level float64) {
	middle := from.plus(to)
	if from.dot(to) < 0 {
		middle = tip // the edges all but run back along each other
	}
	middle = middle.unit()
	for _, half := range [2][2]vec{{from, middle}, {middle, to}} {
		u, v := half[0], half[1]
		w := u.plus(v).times(r.far / (1 + u.dot(v)))
		r.each(cell{
			ring:    []vec{at, at.plus(u.times(r.far)), at.plus(w), at.plus(v.times(r.far))},
			ground:  plane{level: level},
			resting: true,
		})
	}
}
