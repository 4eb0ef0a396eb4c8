package earth

// mesh is a Delaunay triangulation: no place lies inside the circle about a triangle. Half-edge h belongs to triangle
// h/3 and runs from from[h] to the start of the next one; its triangle is on the left of it.
type mesh struct {
	exact
	from []int32
	twin []int32 // the same edge in the next triangle, or -1 on the hull
	rim  []int32 // by place on the hull: the half-edge of the hull that starts there; -1 elsewhere
	todo []int32
}

// triangulate joins places that are sorted by x and then y, no two of which are one and which are not all on one
// line. Each place in turn lies outside the hull of those before it: it is joined to all hull edges that it sees, and
// edges that the circle test does not pass are turned (Lawson's flips).
func triangulate(places []vec) *mesh {
	m := &mesh{exact: exact{at: places}, rim: make([]int32, len(places))}
	n := int32(len(places))
	first := int32(2) // the first place off the line of those before it
	side := 0
	for ; first < n; first++ {
		if side = m.orient(0, 1, first); side != 0 {
			break
		}
	}
	if first == n {
		return m
	}
	var last int32 = -1 // half-edge from the new place to the line in the triangle before
	for i := int32(1); i < first; i++ {
		if side > 0 {
			h := m.add(i-1, i, first)
			m.join(h+2, last)
			last = h + 1
		} else {
			h := m.add(i, i-1, first)
			m.join(h+1, last)
			last = h + 2
		}
	}
	for i := range m.rim {
		m.rim[i] = -1
	}
	for h, g := range m.twin {
		if g < 0 {
			m.rim[m.from[h]] = int32(h)
		}
	}
	for i := first + 1; i < n; i++ {
		m.reach(i)
	}
	return m
}

func next(h int32) int32 { return h - h%3 + (h+1)%3 }
func prev(h int32) int32 { return h - h%3 + (h+2)%3 }

// to is the place where half-edge h ends.
func (m *mesh) to(h int32) int32 { return m.from[next(h)] }

// add makes the triangle a, b, c, all of its edges on the hull for now.
func (m *mesh) add(a, b, c int32) int32 {
	h := int32(len(m.from))
	m.from = append(m.from, a, b, c)
	m.twin = append(m.twin, -1, -1, -1)
	m.rim[a], m.rim[b], m.rim[c] = h, h+1, h+2
	return h
}

// join makes two half-edges the sides of one edge; with h -1 half-edge g is on the hull.
func (m *mesh) join(g, h int32) {
	m.twin[g] = h
	if h < 0 {
		m.rim[m.from[g]] = g
	} else {
		m.twin[h] = g
	}
}

// reach joins place p, right of or above all places so far, to the hull. The place before it is on the hull and is
// seen from p, so the edges that p sees lie next to it, to either side.
func (m *mesh) reach(p int32) {
	start, end := p-1, p-1
	for {
		h := m.into(start)
		if m.orient(m.from[h], start, p) >= 0 {
			break
		}
		start = m.from[h]
	}
	for {
		to := m.to(m.rim[end])
		if m.orient(end, to, p) >= 0 {
			break
		}
		end = to
	}
	var last int32 = -1
	for a := start; a != end; {
		seen := m.rim[a]
		b := m.to(seen)
		follow := m.rim[b]
		h := m.add(b, a, p) // b to a, a to p, p to b
		m.join(h, seen)
		if last >= 0 {
			m.join(h+1, last)
			m.rim[a] = -1
		}
		m.rim[b] = follow
		m.todo = append(m.todo, h)
		last, a = h+2, b
	}
	m.rim[p] = last
	for len(m.todo) > 0 {
		h := m.todo[len(m.todo)-1]
		m.todo = m.todo[:len(m.todo)-1]
		m.turn(h)
	}
}

// into is the half-edge of the hull that ends at place v: the first one clockwise about v from that which starts there.
func (m *mesh) into(v int32) int32 {
	h := prev(m.rim[v])
	for m.twin[h] >= 0 {
		h = prev(m.twin[h])
	}
	return h
}

// turn exchanges the edge of half-edge a for the other diagonal of its two triangles if the place opposite in the
// second lies inside the circle about the first.
func (m *mesh) turn(a int32) {
	b := m.twin[a]
	if b < 0 {
		return
	}
	near, far := prev(a), prev(b) // they start at the places opposite
	r, s := m.from[near], m.from[far]
	if m.inCircle(m.from[a], m.from[b], r, s) <= 0 {
		return // of two diagonals that both pass the first stays: the order of the places alone decides
	}
	nearTwin, farTwin := m.twin[near], m.twin[far]
	m.from[a], m.from[b] = s, r
	m.join(a, farTwin)
	m.join(b, nearTwin)
	m.join(near, far)
	m.todo = append(m.todo, a, next(a), b, next(b))
}

// trim takes off triangles so flat that their place opposite a hull edge lies on it but for rounding: the hull then
// runs through that place, whose level would otherwise count for nothing just outside. It returns the triangles left.
func (m *mesh) trim() (kept []bool) {
	kept = make([]bool, len(m.from)/3)
	for t := range kept {
		kept[t] = true
	}
	for v := 0; v < len(m.rim); {
		h := m.rim[v]
		if h < 0 || !m.flat(h) {
			v++
			continue
		}
		kept[h/3] = false
		m.rim[v] = -1
		for _, g := range [2]int32{next(h), prev(h)} {
			m.join(m.twin[g], -1)
		}
		v = 0
	}
	return kept
}

// flat tells that the triangle of a hull edge has no height over it, and the other two edges are inner ones.
func (m *mesh) flat(h int32) bool {
	n, p := next(h), prev(h)
	apex := m.from[p]
	if m.twin[n] < 0 || m.twin[p] < 0 || m.rim[apex] >= 0 {
		return false
	}
	a, b, c := m.at[m.from[h]], m.at[m.from[n]], m.at[apex]
	d := b.minus(a)
	l := d.length()
	along := c.minus(a).dot(d) / l
	side := min(along, l-along, 1) // of close places less will do: the hull must not turn in by an angle that shows
	return side > 0 && d.cross(c.minus(a)) <= same/10*side*l
}
