package outline

// change puts the curves of a window in their order after x, works out the cells between them, and accounts for
// what ends there.
func (s *sweep) change(x float64, w window) {
	s.reorder(x, w)
	base := none
	if w.from > 0 {
		base = s.curves[s.status[w.from-1]].class
	}
	s.left = s.left[:0]
	if s.upright != nil {
		s.left = s.bounds(s.left, s.old, x)
	}
	s.status = replaced(s.status, w.from, w.to, s.fresh)
	s.cover(w)
	s.meet(x, w)
	for _, id := range s.old {
		if c := &s.curves[id]; !c.active {
			s.close(c, x)
			s.free = append(s.free, c.cover)
		}
	}
	below := base
	for i := 0; i < len(s.fresh); {
		k := i
		for k+1 < len(s.fresh) && s.curves[s.fresh[k]].joined {
			k++
		}
		above := s.curves[s.fresh[k]].class
		s.divide(s.fresh[i], x, below, above)
		for i++; i <= k; i++ {
			s.divide(s.fresh[i], x, none, none)
		}
		below = above
	}
	for i, id := range s.fresh {
		s.curves[id].place = int32(w.from + i)
	}
	if s.upright != nil {
		s.right = s.bounds(s.right[:0], s.fresh, x)
		s.compare(base)
	}
}

const none = int32(None)

// reorder makes fresh, the new order of a window, from old.
func (s *sweep) reorder(x float64, w window) {
	s.old = append(s.old[:0], s.status[w.from:w.to]...)
	s.fresh = s.fresh[:0]
	items := s.items[w.first:w.last]
	for place := w.from; place <= w.to; place++ {
		var id int32 = -1
		if place < w.to {
			id = s.status[place]
			s.curves[id].place = int32(place)
		}
		for len(items) > 0 && int(items[0].place) == place {
			c := &s.curves[items[0].piece]
			switch items[0].kind {
			case enters:
				c.active, c.mark, c.since, c.place = true, s.serial, x, -2
				c.cover = -1
				s.fresh = append(s.fresh, items[0].piece)
			case leaves:
				c.active = false
				id = -1
			}
			items = items[1:]
		}
		if id >= 0 {
			s.fresh = append(s.fresh, id)
		}
	}
	for i := 1; i < len(s.fresh); i++ {
		for j := i; j > 0; j-- {
			p, q := &s.curves[s.fresh[j-1]], &s.curves[s.fresh[j]]
			if s.settled(p, q) {
				break
			}
			if sign, _ := relation(p, q, x); sign >= 0 {
				break
			}
			p.mark, q.mark = s.serial, s.serial
			s.fresh[j-1], s.fresh[j] = s.fresh[j], s.fresh[j-1]
		}
	}
}

// settled tells that two curves were neighbours before the stop, and that it touches neither.
func (s *sweep) settled(p, q *curve) bool {
	return p.mark != s.serial && q.mark != s.serial && q.place == p.place+1
}

// cover works out which regions cover the cells above the curves of fresh.
func (s *sweep) cover(w window) {
	old := s.old
	for i, id := range s.fresh {
		c := &s.curves[id]
		if c.mark == s.serial {
			s.gain(c.region, int32(c.delta))
		} else {
			for len(old) > 0 {
				q := &s.curves[old[0]]
				stays := old[0] == id
				old = old[1:]
				if stays {
					break
				}
				s.gain(q.region, -int32(q.delta))
			}
			if s.open == 0 {
				continue
			}
		}
		s.raise(c, w.from+i)
	}
	for _, id := range old {
		s.gain(s.curves[id].region, -int32(s.curves[id].delta))
	}
	s.settle()
}

// raise works out the cell above the curve at a place from the one below.
func (s *sweep) raise(c *curve, place int) {
	under := s.empty
	if place > 0 {
		under = s.set(s.curves[s.status[place-1]].cover)
	}
	word, bit := c.region/64, uint64(1)<<(c.region%64)
	c.wind = int32(c.delta)
	if under[word]&bit != 0 {
		for i := place - 1; i >= 0; i-- {
			if q := &s.curves[s.status[i]]; q.region == c.region {
				c.wind += q.wind
				break
			}
		}
	}
	if c.cover < 0 {
		c.cover = s.newSet()
		if place > 0 { // the sets may have moved
			under = s.set(s.curves[s.status[place-1]].cover)
		}
	}
	over := s.set(c.cover)
	copy(over, under)
	if c.wind != 0 {
		over[word] |= bit
	} else {
		over[word] &^= bit
	}
	for _, bits := range over {
		if bits != 0 {
			c.class = s.class(over)
			return
		}
	}
	c.class = none
}

func (s *sweep) set(number int32) Cover {
	at := int(number) * s.words
	return s.covers[at : at+s.words : at+s.words]
}

func (s *sweep) newSet() int32 {
	if n := len(s.free); n > 0 {
		number := s.free[n-1]
		s.free = s.free[:n-1]
		return number
	}
	number := len(s.covers) / s.words
	s.covers = append(s.covers, s.empty...)
	return int32(number)
}

// meet compares the new neighbours in and at the edge of a window: whether they are one, and where they will cross.
func (s *sweep) meet(x float64, w window) {
	for i := max(w.from, 1); i <= w.from+len(s.fresh) && i < len(s.status); i++ {
		lower, upper := s.status[i-1], s.status[i]
		p, q := &s.curves[lower], &s.curves[upper]
		rim := i == w.from || i == w.from+len(s.fresh)
		if rim {
			if p.mark != s.serial && q.mark != s.serial {
				continue
			}
		} else if s.settled(p, q) {
			continue
		}
		sign, next := relation(p, q, x)
		grown := rim && sign == 0 && !p.joined
		p.joined = sign == 0
		switch {
		case (sign < 0 || grown) && s.mends < 2*len(s.status): // out of order, or one, beyond the window: stop here once more
			s.mends++
			s.push(meeting{x, lower, upper})
		case next < never:
			s.push(meeting{next, lower, upper})
		}
	}
	if n := len(s.status); n > 0 && w.from+len(s.fresh) == n {
		s.curves[s.status[n-1]].joined = false
	}
}

// divide sets the classes that a curve divides from x on.
func (s *sweep) divide(id int32, x float64, below, above int32) {
	c := &s.curves[id]
	if c.since < x {
		if c.below == below && c.above == above {
			return
		}
		s.close(c, x)
	}
	c.since, c.below, c.above = x, below, above
}

// close accounts for a curve up to x.
func (s *sweep) close(c *curve, x float64) {
	if c.below != c.above && c.since < x {
		s.account(c, c.since, x)
	}
	c.since = x
}

// bounds lists where the classes change along the line at x.
func (s *sweep) bounds(list []bound, ids []int32, x float64) []bound {
	for _, id := range ids {
		if c := &s.curves[id]; c.below != c.above {
			y := c.at(x)
			if n := len(list); n > 0 {
				y = max(y, list[n-1].y)
			}
			list = append(list, bound{y, c.above})
		}
	}
	return list
}

// compare finds the stretches along a stop that have different classes on the left and on the right: upright
// boundaries.
func (s *sweep) compare(base int32) {
	left, right := s.left, s.right
	a, b, y := base, base, 0.0
	for len(left) > 0 || len(right) > 0 {
		var next float64
		fromLeft := len(right) == 0 || len(left) > 0 && left[0].y <= right[0].y
		if fromLeft {
			next = left[0].y
		} else {
			next = right[0].y
		}
		if a != b && next-y > same {
			s.upright(a, b, y, next)
		}
		y = next
		if fromLeft {
			a, left = left[0].above, left[1:]
		} else {
			b, right = right[0].above, right[1:]
		}
	}
}

// replaced puts fresh in the place of list[from:to].
func replaced(list []int32, from, to int, fresh []int32) []int32 {
	grow := len(fresh) - (to - from)
	n := len(list)
	if grow > 0 {
		list = append(list, fresh[:grow]...)
		copy(list[to+grow:], list[to:n])
	} else if grow < 0 {
		copy(list[to+grow:], list[to:])
		list = list[:n+grow]
	}
	copy(list[from:], fresh)
	return list
}
