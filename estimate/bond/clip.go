package bond

import (
	"cmp"
	"slices"
)

// part is a connected piece of a unit inside the ground, with its bounds in the frame.
type part struct {
	area           float64
	x0, y0, x1, y1 float64
	passes         int // of a saw; 0 where they are not counted
}

// span is one curve's way through a rectangle.
type span struct {
	c    *curve
	a, b float64
}

// step is a stretch of ground between two curves over one strip of a rectangle.
type step struct {
	low0, high0, low1, high1 float64 // at the left and the right end
	part                     int32
}

// clipper holds the scratch of clip.
type clipper struct {
	spans       []span
	events      []float64
	order       []rising
	before, now []step
	parts       []part
	join        []int32

	sawing bool // cut lines are wanted
	unit   cell // as it is before it is cut
	lines  []cutLine
}

type rising struct {
	y float64
	s int32
}

// clip is the part of a unit that lies in the ground. All is true for a unit that no curve enters and that lies in
// it wholly; then, and for one outside, there are no parts. The parts are lent until the next call.
func (g *ground) clip(c *cell) (parts []part, all, touched bool) {
	if c.x1 <= g.x0 || c.x0 >= g.x1 || c.y1 <= g.y0 || c.y0 >= g.y1 {
		return nil, false, false
	}
	from, to := g.column(c.x0), g.column(c.x1)
	low, high := g.row(c.y0), g.row(c.y1)
	near := false
	for y := low; y <= high; y++ {
		for x := from; x <= to; x++ {
			near = near || g.state[y*g.nx+x] == crossed
		}
	}
	if !near && c.x0 >= g.x0 && c.x1 <= g.x1 && c.y0 >= g.y0 && c.y1 <= g.y1 {
		return nil, g.state[low*g.nx+from] == inside, false
	}
	// Past the bounds of the field openings are not looked at, and nothing is ground.
	within := *c
	g.work.unit = *c
	within.x0, within.y0, within.x1, within.y1 = max(c.x0, g.x0), max(c.y0, g.y0), min(c.x1, g.x1), min(c.y1, g.y1)
	narrowed := within != *c
	c = &within
	g.question++
	g.near = g.near[:0]
	for y := low; y <= high; y++ {
		for x := from; x <= to; x++ {
			for _, i := range g.squares.of(y*g.nx + x) {
				if g.seen[i] != g.question {
					g.seen[i] = g.question
					g.near = append(g.near, i)
				}
			}
		}
	}
	base := g.levelScan(c.y0)
	w := &g.work
	w.spans, w.events = w.spans[:0], append(w.events[:0], c.x0, c.x1)
	for _, i := range g.near {
		w.enter(&g.curves[i], c)
	}
	if !narrowed && len(w.spans) == 0 && len(w.events) == 2 {
		// A hair above the lower side decides for all of it.
		if i, _ := slices.BinarySearch(base.at, c.x0); i == len(base.at) || base.at[i] >= c.x1 || base.at[i] == c.x0 {
			return nil, in(base.behind((c.x0 + c.x1) / 2)), false
		}
	}
	for _, x := range base.at {
		if x > c.x0 && x < c.x1 {
			w.events = append(w.events, x)
		}
	}
	w.crossings()
	return w.strips(c, base), false, true
}

// enter takes up the part of a curve inside the unit.
func (w *clipper) enter(k *curve, c *cell) {
	if k.x1 <= c.x0 || k.x0 >= c.x1 || k.high <= c.y0 || k.low >= c.y1 {
		return
	}
	a, b := max(k.x0, c.x0), min(k.x1, c.x1)
	if k.x0 == k.x1 {
		w.events = append(w.events, k.x0)
		return
	}
	start, end := &a, &b // where the curve is low and where it is high
	if k.y0 > k.y1 {
		start, end = &b, &a
	}
	if k.low < c.y0 {
		if x := k.across(c.y0); start == &a {
			*start = max(*start, x)
		} else {
			*start = min(*start, x)
		}
	}
	if k.high > c.y1 {
		if x := k.across(c.y1); end == &b {
			*end = min(*end, x)
		} else {
			*end = max(*end, x)
		}
	}
	if !(a < b) {
		if a == b && a > c.x0 && a < c.x1 {
			w.events = append(w.events, a)
		}
		return
	}
	w.spans = append(w.spans, span{k, a, b})
	w.events = append(w.events, a, b)
}

// crossings adds the places where curves cross.
func (w *clipper) crossings() {
	for i := range w.spans {
		p := &w.spans[i]
		for j := range w.spans[:i] {
			q := &w.spans[j]
			a, b := max(p.a, q.a), min(p.b, q.b)
			if !(a < b) || p.c.low > q.c.high || q.c.low > p.c.high {
				continue
			}
			x, n := p.c.meets(q.c)
			for _, v := range x[:n] {
				if v > a && v < b {
					w.events = append(w.events, v)
				}
			}
		}
	}
}

// tick is the width of a strip in metres that counts as none: in a strip of a few bits the middle is an end.
const tick = 1e-12

// strips cuts the unit into strips between events and gathers what is ground in each.
func (w *clipper) strips(c *cell, base *scan) []part {
	slices.Sort(w.events)
	slices.SortFunc(w.spans, func(p, q span) int { return cmp.Compare(p.a, q.a) })
	w.parts, w.join, w.before, w.now, w.lines = w.parts[:0], w.join[:0], w.before[:0], w.now[:0], w.lines[:0]
	started := 0
	live := w.order[:0]
	a := c.x0
	for _, b := range w.events {
		if b-a <= tick {
			a = b
			continue
		}
		mid := a + (b-a)/2
		// Curves that cover the strip, from the lowest.
		kept := live[:0]
		for _, v := range live {
			if w.spans[v.s].b >= b {
				kept = append(kept, v)
			}
		}
		live = kept
		for ; started < len(w.spans) && w.spans[started].a <= a; started++ {
			if w.spans[started].b >= b {
				live = append(live, rising{0, int32(started)})
			}
		}
		for i := range live {
			live[i].y = w.spans[live[i].s].c.at(mid)
		}
		slices.SortFunc(live, func(p, q rising) int {
			if p.y != q.y {
				return cmp.Compare(p.y, q.y)
			}
			return cmp.Compare(p.s, q.s)
		})
		w.strip(c, a, b, base.behind(mid), live)
		a = b
	}
	w.order = live[:0]
	if w.sawing {
		w.plumbs(c.x1, w.now, nil)
	}
	return w.gather()
}

// strip walks up one strip.
func (w *clipper) strip(c *cell, a, b float64, wind [2]int32, live []rising) {
	w.before, w.now = w.now, w.before[:0]
	floor := (*curve)(nil)
	for i := 0; i <= len(live); i++ {
		var roof *curve
		next := wind
		if i < len(live) {
			roof = w.spans[live[i].s].c
			next[roof.set] += int32(roof.right)
			if in(next) == in(wind) {
				wind = next
				continue
			}
		}
		if in(wind) {
			w.take(c, a, b, floor, roof)
		}
		floor, wind = roof, next
	}
	if w.sawing {
		w.plumbs(a, w.before, w.now)
	}
}

// take adds the ground between two curves, or the sides of the unit where they are nil, over a strip.
func (w *clipper) take(c *cell, a, b float64, floor, roof *curve) {
	s := step{c.y0, c.y1, c.y0, c.y1, int32(len(w.parts))}
	area := 0.0
	if roof == nil {
		area = float64((b - a) * (c.y1 - c.y0))
	} else {
		s.high0, s.high1 = roof.at(a), roof.at(b)
		area = roof.under(a, s.high0, b, s.high1, c.y0)
	}
	if floor != nil {
		s.low0, s.low1 = floor.at(a), floor.at(b)
		area -= floor.under(a, s.low0, b, s.low1, c.y0)
	}
	if w.sawing {
		w.edges(&s, a, b, floor, roof)
	}
	p := part{area: max(0, area), x0: a, y0: max(c.y0, min(s.low0, s.low1)), x1: b, y1: min(c.y1, max(s.high0, s.high1))}
	w.parts = append(w.parts, p)
	w.join = append(w.join, s.part)
	for i := range w.before {
		if t := &w.before[i]; min(s.high0, t.high1)-max(s.low0, t.low1) > same {
			w.union(s.part, t.part)
		}
	}
	w.now = append(w.now, s)
}

func (w *clipper) root(i int32) int32 {
	for w.join[i] != i {
		w.join[i] = w.join[w.join[i]]
		i = w.join[i]
	}
	return i
}

func (w *clipper) union(i, j int32) {
	i, j = w.root(i), w.root(j)
	w.join[max(i, j)] = min(i, j)
}

// edges notes the cut edges above and below a step.
func (w *clipper) edges(s *step, a, b float64, floor, roof *curve) {
	if roof != nil {
		w.sawAlong(s.part, roof, a, s.high0, b, s.high1)
	} else {
		w.sawStraight(s.part, a, s.high0, b, s.high1)
	}
	if floor != nil {
		w.sawAlong(s.part, floor, a, s.low0, b, s.low1)
	} else {
		w.sawStraight(s.part, a, s.low0, b, s.low1)
	}
}

// gather adds the steps up to connected parts, in the order of their first steps.
func (w *clipper) gather() []part {
	for i := range w.parts {
		if r := w.root(int32(i)); r != int32(i) {
			p, q := &w.parts[r], &w.parts[i]
			p.area += q.area
			p.x0, p.y0, p.x1, p.y1 = min(p.x0, q.x0), min(p.y0, q.y0), max(p.x1, q.x1), max(p.y1, q.y1)
		}
	}
	if w.sawing {
		w.sawn()
	}
	n := 0
	for i := range w.parts {
		if w.join[i] == int32(i) {
			w.parts[n] = w.parts[i]
			n++
		}
	}
	return w.parts[:n]
}
