package outline

import (
	"cmp"
	"math"
	"slices"

	"bedline/estimate/measure"
)

// sweep moves an upright line over the plane and keeps the curves that it meets in order from bottom to top. It
// stops where a curve starts, ends, or crosses its neighbour, puts the curves touched there in their new order, and
// works out the cells above them. A curve is accounted for only when the classes beside it change, so that a step
// costs what it changes and not what the line meets. After Bentley and Ottmann (1979), with these differences:
// curves that are one (see relation) share their boundary; upright edges are left out and found again as the
// difference between the cells on both sides of a stop; an order that rounding has spoilt mends itself, because
// neighbours are compared by where they lie after the stop and not by how they came there.
type sweep struct {
	curves []curve
	stops  []float64 // x at which curves start or end
	starts lists     // numbers of the curves that start at each stop
	ends   lists
	status []int32 // curves on the line, bottom to top
	meets  []meeting

	class   func(Cover) int32
	words   int      // of a cover
	covers  []uint64 // by number
	free    []int32  // numbers of covers
	winding []int32  // by region: winding gained so far in a step
	open    int      // regions whose winding is gained but not lost again

	account func(c *curve, from, to float64)
	upright func(a, b int32, from, to float64) // nil where nobody asks
	serial  int32
	here    float64 // the last stop
	mends   int     // stops repeated there

	items   []item
	windows []window
	touched []int32
	old     []int32
	fresh   []int32
	left    []bound
	right   []bound
	empty   []uint64
}

// meeting is a crossing of two neighbours that lies ahead.
type meeting struct {
	x    float64
	p, q int32
}

// item is a place on the line that a stop changes.
type item struct {
	place int32
	piece int32
	kind  int8
}

const (
	enters int8 = iota // before the curve at that place
	leaves
	crosses
)

// window is a stretch of the line, from and to, with the items that fall into it.
type window struct{ from, to, first, last int }

// bound is where a class ends and the next begins, going up along a stop.
type bound struct {
	y     float64
	above int32
}

// newSweep makes a sweep over the edges of regions, seen from an origin. Loops with numbers that are not finite, or
// beyond 1e9 m, are left out.
func newSweep(regions []Region, origin Point) *sweep {
	n := 0
	for _, r := range regions {
		for _, l := range r {
			n += len(l)
			for i := range l {
				if !l[i].Straight() {
					n += 2
				}
			}
		}
	}
	s := &sweep{curves: make([]curve, 0, n), words: (len(regions) + 63) / 64, winding: make([]int32, len(regions))}
	for i, r := range regions {
		for _, l := range r {
			s.addLoop(l, int32(i), origin)
		}
	}
	s.line()
	return s
}

func (s *sweep) addLoop(l Loop, region int32, origin Point) {
	for i := range l {
		e := &l[i]
		for _, x := range [...]measure.Length{e.From.X, e.From.Y, e.To.X, e.To.Y, e.Centre.X, e.Centre.Y, e.Radius} {
			if !(math.Abs(float64(x)) <= 1000*reach) {
				return
			}
		}
	}
	for i := range l {
		s.curves = appendCurves(s.curves, &l[i], region, origin)
		if next := l[(i+1)%len(l)].From; next != l[i].To { // close what rounding left open
			gap := Line(l[i].To, next)
			s.curves = appendCurves(s.curves, &gap, region, origin)
		}
	}
}

// line finds the stops, takes those within 1e-10 m as one, and hangs the curves on them.
func (s *sweep) line() {
	xs := make([]float64, 0, 2*len(s.curves))
	for i := range s.curves {
		xs = append(xs, s.curves[i].x0, s.curves[i].x1)
	}
	by := newBuckets(xs)
	by.sort(xs)
	last := 0.0
	s.stops = xs[:0]
	for _, x := range xs {
		if n := len(s.stops); n == 0 || x-last > merge || x-s.stops[n-1] > 8*merge {
			s.stops = append(s.stops, x)
		}
		last = x
	}
	by.mark(s.stops)
	m := len(s.stops)
	s.starts.from, s.ends.from = make([]int32, m+1), make([]int32, m+1)
	n := 0
	for i := range s.curves {
		c := &s.curves[i]
		c.first, c.last = by.last(s.stops, c.x0), by.last(s.stops, c.x1)
		if c.first == c.last {
			continue // upright
		}
		c.x0, c.x1 = s.stops[c.first], s.stops[c.last]
		if c.half == 0 {
			c.slope = (c.y1 - c.y0) / (c.x1 - c.x0)
		}
		s.starts.from[c.first]++
		s.ends.from[c.last]++
		if n < i {
			s.curves[n] = *c
		}
		n++
	}
	s.curves = s.curves[:n]
	s.starts.fill(n, func(i int) int32 { return s.curves[i].first })
	s.ends.fill(n, func(i int) int32 { return s.curves[i].last })
}

// lists are many short lists of numbers in one.
type lists struct{ from, numbers []int32 }

// fill puts the numbers below n into the lists that place says, whose lengths stand in from.
func (l *lists) fill(n int, place func(int) int32) {
	sum := int32(0)
	for i, count := range l.from {
		sum += count
		l.from[i] = sum // the end, from where it is filled backwards
	}
	l.numbers = make([]int32, n)
	for i := n - 1; i >= 0; i-- {
		at := &l.from[place(i)]
		*at--
		l.numbers[*at] = int32(i)
	}
}

func (l *lists) of(i int) []int32 { return l.numbers[l.from[i]:l.from[i+1]] }

// run moves the line from left to right.
func (s *sweep) run() {
	s.empty = make([]uint64, s.words)
	for k := 0; k < len(s.stops); {
		x := s.stops[k]
		if len(s.meets) > 0 && s.meets[0].x < x-tick {
			x = s.meets[0].x
			s.step(x, nil, nil)
			continue
		}
		s.step(x, s.starts.of(k), s.ends.of(k))
		k++
	}
}

// step handles the stop at x.
func (s *sweep) step(x float64, starts, ends []int32) {
	s.serial++
	if x > s.here+tick || s.serial == 1 {
		s.here, s.mends = x, 0
	}
	s.touched = s.touched[:0]
	for len(s.meets) > 0 && s.meets[0].x <= x+tick {
		m := s.pop()
		for _, id := range [2]int32{m.p, m.q} {
			if c := &s.curves[id]; c.active && c.x1 > x && c.mark != s.serial {
				c.mark = s.serial
				s.touched = append(s.touched, id)
			}
		}
	}
	s.items = s.items[:0]
	for _, id := range s.touched {
		s.items = append(s.items, item{s.find(id), id, crosses})
	}
	for _, id := range ends {
		s.items = append(s.items, item{s.find(id), id, leaves})
	}
	s.enter(x, starts)
	if len(s.items) == 0 {
		return
	}
	order := func(a, b item) int {
		if a.place != b.place {
			return int(a.place - b.place)
		}
		return int(a.kind - b.kind)
	}
	if len(s.items) < 24 {
		sortFew(s.items, func(a, b item) bool { return order(a, b) > 0 })
	} else {
		slices.SortStableFunc(s.items, order)
	}
	s.part()
	for i := len(s.windows) - 1; i >= 0; i-- { // from the top, so that places below stay as they are
		s.change(x, s.windows[i])
	}
}

// sortFew sorts a short list in place, stably.
func sortFew[E any](list []E, after func(a, b E) bool) {
	for i := 1; i < len(list); i++ {
		for j := i; j > 0 && after(list[j-1], list[j]); j-- {
			list[j-1], list[j] = list[j], list[j-1]
		}
	}
}

// find is the place of an active curve: near where it was last seen, moved by what came and went below it.
func (s *sweep) find(id int32) int32 {
	up := int(s.curves[id].place)
	up = min(up, len(s.status)-1)
	for down := up; ; {
		if down >= 0 {
			if s.status[down] == id {
				return int32(down)
			}
			down--
		}
		if up < len(s.status) {
			if s.status[up] == id {
				return int32(up)
			}
			up++
		} else if down < 0 {
			panic("outline: curve is not on the line")
		}
	}
}

// enter finds the places of the curves that start.
func (s *sweep) enter(x float64, starts []int32) {
	if len(starts) == 0 {
		return
	}
	after := func(a, b int32) int {
		if sign, _ := relation(&s.curves[b], &s.curves[a], x); sign != 0 {
			return sign
		}
		return cmp.Compare(a, b)
	}
	if len(starts) < 24 {
		sortFew(starts, func(a, b int32) bool { return after(a, b) > 0 })
	} else {
		slices.SortFunc(starts, after)
	}
	low := 0
	for _, id := range starts {
		low = s.slot(&s.curves[id], x, low)
		s.items = append(s.items, item{int32(low), id, enters})
	}
}

// slot is the place, not below low, before which a curve that starts at x comes in.
func (s *sweep) slot(c *curve, x float64, low int) int {
	high := len(s.status)
	ending := func(i int) (q *curve, ends, here bool) {
		q = &s.curves[s.status[i]]
		ends = q.x1 <= x
		return q, ends, ends && q.y1-c.y0 <= same && c.y0-q.y1 <= same
	}
	bottom := low
	for low < high {
		mid := (low + high) / 2
		q, ends, here := ending(mid)
		switch {
		case !ends:
			if sign, _ := relation(q, c, x); sign > 0 {
				low = mid + 1
			} else {
				high = mid
			}
			continue
		case !here:
			if c.y0 > q.y1 {
				low = mid + 1
			} else {
				high = mid
			}
			continue
		}
		// The curve starts where this one ends. What passes through here besides lies just above or just below.
		up := mid + 1
		for up < high {
			if q, ends, here = ending(up); !here {
				break
			}
			up++
		}
		if up < high && !ends {
			if sign, _ := relation(q, c, x); sign > 0 {
				low = up + 1
				continue
			}
		}
		down := mid - 1
		for down >= bottom {
			if q, ends, here = ending(down); !here {
				break
			}
			down--
		}
		if down >= bottom && !ends {
			if sign, _ := relation(q, c, x); sign < 0 {
				high = down
				continue
			}
		}
		return mid
	}
	return low
}

// part gathers the items into windows: each with the curves next to what changes, and closed, so that no winding is
// gained within a window that is not lost again.
func (s *sweep) part() {
	s.windows = s.windows[:0]
	w := window{from: -1}
	for i, it := range s.items {
		from, to := int(it.place), int(it.place)
		if it.kind != enters {
			to++
		}
		if from > 0 {
			from--
		}
		for from > 0 && s.curves[s.status[from-1]].joined {
			from--
		}
		if w.from >= 0 && s.open == 0 && from > w.to {
			s.windows = append(s.windows, w)
			w.from = -1
		}
		if w.from < 0 {
			w = window{from: from, to: from, first: i}
		}
		w.from = min(w.from, from)
		w.last = i + 1
		if to < len(s.status) {
			to++
		}
		for to < len(s.status) && s.curves[s.status[to-1]].joined {
			to++
		}
		w.to = max(w.to, to)
		c := &s.curves[it.piece]
		switch it.kind {
		case enters:
			s.gain(c.region, int32(c.delta))
		case leaves:
			s.gain(c.region, -int32(c.delta))
		}
	}
	s.windows = append(s.windows, w)
	s.settle()
}

// settle forgets windings gained. None are left where all loops are closed, and all loops are.
func (s *sweep) settle() {
	if s.open != 0 {
		clear(s.winding)
		s.open = 0
	}
}

// gain adds to the winding of a region.
func (s *sweep) gain(region, delta int32) {
	w := &s.winding[region]
	if *w == 0 {
		s.open++
	}
	if *w += delta; *w == 0 {
		s.open--
	}
}

// push and pop keep the crossings ahead in a heap, the nearest first.
func (s *sweep) push(m meeting) {
	s.meets = append(s.meets, m)
	for i := len(s.meets) - 1; i > 0; {
		up := (i - 1) / 2
		if !sooner(s.meets[i], s.meets[up]) {
			break
		}
		s.meets[i], s.meets[up] = s.meets[up], s.meets[i]
		i = up
	}
}

func (s *sweep) pop() meeting {
	m := s.meets[0]
	n := len(s.meets) - 1
	s.meets[0] = s.meets[n]
	s.meets = s.meets[:n]
	for i := 0; ; {
		next := 2*i + 1
		if next >= n {
			return m
		}
		if next+1 < n && sooner(s.meets[next+1], s.meets[next]) {
			next++
		}
		if !sooner(s.meets[next], s.meets[i]) {
			return m
		}
		s.meets[i], s.meets[next] = s.meets[next], s.meets[i]
		i = next
	}
}

func sooner(a, b meeting) bool {
	if a.x != b.x {
		return a.x < b.x
	}
	if a.p != b.p {
		return a.p < b.p
	}
	return a.q < b.q
}
