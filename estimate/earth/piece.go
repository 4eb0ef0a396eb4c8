package earth

import (
	"cmp"
	"math"
	"slices"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// piece is a stretch of an edge with one y for each x: straight, or of the upper or lower half of a circle.
type piece struct {
	x0, y0, x1, y1 float64 // from left to right
	low, high      float64 // extent in y
	c              vec     // centre of an arc
	r              float64
	half           float64 // 0 straight, 1 of the upper half, -1 of the lower
	gain           float64 // 1 where the region lies below, -1 above
}

func appendPieces(pieces []piece, e *outline.Edge, origin vec) []piece {
	local := func(p outline.Point) vec { return vec{float64(p.X), float64(p.Y)}.minus(origin) }
	from, to := local(e.From), local(e.To)
	if e.Straight() {
		return appendPiece(pieces, piece{x0: from.x, y0: from.y, x1: to.x, y1: to.y})
	}
	arc := piece{c: local(e.Centre), r: float64(e.Radius)}
	// Angles are counted in half turns; at the whole ones the arc passes the right or left end of its circle.
	start := float64(measure.Atan2(from.y-arc.c.y, from.x-arc.c.x)) / float64(measure.Pi)
	turn := float64(e.Turn) / float64(measure.Pi)
	way := math.Copysign(1, turn)
	stop := math.Floor(float64(start*way)) + 1 // the next whole half turn ahead, seen in the way of the turn
	at, angle := from, float64(start*way)
	end := angle + math.Abs(turn)
	for ; ; stop++ {
		p, till := to, end
		if last := stop >= end; !last {
			till = stop
			p = vec{arc.c.x + arc.r, arc.c.y}
			if int(math.Abs(stop))%2 == 1 {
				p.x = arc.c.x - arc.r
			}
		}
		arc.half = 1
		if middle := float64((angle + till) / 2 * way); int(math.Floor(middle))&1 == 1 {
			arc.half = -1
		}
		arc.x0, arc.y0, arc.x1, arc.y1 = at.x, at.y, p.x, p.y
		pieces = appendPiece(pieces, arc)
		if stop >= end {
			return pieces
		}
		at, angle = p, till
	}
}

func appendPiece(pieces []piece, p piece) []piece {
	p.gain = -1
	if p.x0 > p.x1 {
		p.x0, p.y0, p.x1, p.y1, p.gain = p.x1, p.y1, p.x0, p.y0, 1
	}
	if p.x0 == p.x1 {
		p.gain = 0 // nothing lies below it, but what it cuts must be seen to be cut
	}
	p.low, p.high = min(p.y0, p.y1), max(p.y0, p.y1)
	if p.half != 0 && p.x0 < p.c.x && p.x1 > p.c.x {
		top := p.c.y + float64(p.half*p.r)
		p.low, p.high = min(p.low, top), max(p.high, top)
	}
	return append(pieces, p)
}

// y is the height at x, which is held between the ends.
func (p *piece) y(x float64) float64 {
	switch {
	case x <= p.x0:
		return p.y0
	case x >= p.x1:
		return p.y1
	case p.half == 0:
		return line{p.x0, p.y0, p.x1, p.y1}.y(x)
	}
	d := x - p.c.x
	return p.c.y + float64(p.half*math.Sqrt(max(0, float64((p.r-d)*(p.r+d)))))
}

// line is a straight line over a stretch of x that is not empty.
type line struct{ x0, y0, x1, y1 float64 }

func (l line) y(x float64) float64 {
	if x-l.x0 < l.x1-x {
		return spread(l.y0, l.y1, (x-l.x0)/(l.x1-l.x0))
	}
	return spread(l.y1, l.y0, (l.x1-x)/(l.x1-l.x0))
}

// crossings appends the x between from and to at which the piece may pass through a line.
func (p *piece) crossings(xs []float64, l line, from, to float64) []float64 {
	if p.half == 0 {
		a, b := p.y(from)-l.y(from), p.y(to)-l.y(to)
		if a < 0 && b > 0 || a > 0 && b < 0 {
			xs = append(xs, spread(from, to, a/(a-b)))
		}
		return xs
	}
	start := vec{l.x0, l.y0}
	d := vec{l.x1, l.y1}.minus(start).unit()
	foot := start.plus(d.times(p.c.minus(start).dot(d)))
	off := foot.minus(p.c).length()
	if off >= p.r {
		return xs
	}
	reach := float64(math.Sqrt(float64((p.r-off)*(p.r+off))) * d.x)
	for _, x := range [2]float64{foot.x - reach, foot.x + reach} {
		if x > from && x < to {
			xs = append(xs, x)
		}
	}
	return xs
}

// integrate is the area of the region in a convex ring and the integral over it of a height. It adds up what of the
// ring lies below each piece of the region's boundary, so no place need be found inside or outside, and an error in
// where two lines cross has next to no weight.
func integrate(pieces []piece, ring []vec, height plane) (area, volume float64) {
	slabs := slabsOf(ring)
	if len(slabs) == 0 {
		return 0, 0
	}
	left, right := slabs[0].low.x0, slabs[len(slabs)-1].low.x1
	low, high := ring[0].y, ring[0].y
	for _, v := range ring {
		low, high = min(low, v.y), max(high, v.y)
	}
	winds, cut := winding(pieces, left, right, low, high)
	var areas, volumes total
	if !cut { // no piece comes into the ring's box: all or nothing of it
		for _, s := range slabs {
			if winds != 0 {
				a, v := strip(s.low, s.high, height)
				areas.add(float64(winds * a))
				volumes.add(float64(winds * v))
			}
		}
		return areas.sum + areas.lost, volumes.sum + volumes.lost
	}
	for i := range pieces {
		p := &pieces[i]
		if p.x0 >= right {
			break
		}
		if p.x1 <= left || p.high <= low {
			continue
		}
		for _, s := range slabs {
			from, to := max(p.x0, s.low.x0), min(p.x1, s.low.x1)
			if !(from < to) {
				continue
			}
			var a, v float64
			if p.low >= high {
				a, v = s.full(from, to, height)
			} else {
				a, v = s.under(p, from, to, height)
			}
			areas.add(float64(p.gain * a))
			volumes.add(float64(p.gain * v))
		}
	}
	return areas.sum + areas.lost, volumes.sum + volumes.lost
}

// winding tells whether a piece comes into an upright box, and if none does how often the region covers it.
func winding(pieces []piece, left, right, low, high float64) (winds float64, cut bool) {
	middle := left + float64((right-left)/2)
	for i := range pieces {
		p := &pieces[i]
		if p.x0 >= right {
			break
		}
		if p.x1 <= left || p.high <= low {
			continue
		}
		if p.low < high {
			return 0, true
		}
		if p.x0 <= middle && p.x1 > middle {
			winds += p.gain
		}
	}
	return winds, false
}

// slab is the part of a convex ring between two upright lines with no corner between them.
type slab struct{ low, high line }

func slabsOf(ring []vec) []slab {
	var xs [16]float64
	stops := xs[:0]
	for _, v := range ring {
		stops = append(stops, v.x)
	}
	slices.Sort(stops)
	stops = slices.Compact(stops)
	var slabs []slab
	for i := 1; i < len(stops); i++ {
		s := slab{}
		a, b := stops[i-1], stops[i]
		ok := 0
		for j, v := range ring {
			u := ring[(j+len(ring)-1)%len(ring)]
			switch {
			case u.x <= a && v.x >= b:
				l := line{u.x, u.y, v.x, v.y}
				s.low = line{a, l.at(a), b, l.at(b)}
				ok |= 1
			case v.x <= a && u.x >= b:
				l := line{v.x, v.y, u.x, u.y}
				s.high = line{a, l.at(a), b, l.at(b)}
				ok |= 2
			}
		}
		if ok == 3 {
			slabs = append(slabs, s)
		}
	}
	return slabs
}

func (l line) at(x float64) float64 {
	switch x {
	case l.x0:
		return l.y0
	case l.x1:
		return l.y1
	}
	return l.y(x)
}

// under is the area of the slab below a piece between from and to, and the integral over it of a height.
func (s *slab) under(p *piece, from, to float64, height plane) (area, volume float64) {
	var room [6]float64
	xs := append(room[:0], from)
	xs = p.crossings(xs, s.low, from, to)
	xs = p.crossings(xs, s.high, from, to)
	xs = append(xs, to)
	slices.SortFunc(xs, cmp.Compare[float64])
	for i := 1; i < len(xs); i++ {
		a, b := xs[i-1], xs[i]
		if !(a < b) {
			continue
		}
		if p.over(s.low, a, b) <= 0 {
			continue
		}
		top := line{a, s.high.y(a), b, s.high.y(b)}
		inside := p.over(s.high, a, b) < 0
		if inside {
			top = line{a, p.y(a), b, p.y(b)}
		}
		da, dv := strip(line{a, s.low.y(a), b, s.low.y(b)}, top, height)
		area, volume = area+da, volume+dv
		if inside && p.half != 0 {
			da, dv = p.segment(top, height)
			area, volume = area+da, volume+dv
		}
	}
	return area, volume
}

// full is the area of the whole slab between from and to, and the integral over it of a height.
func (s *slab) full(from, to float64, height plane) (area, volume float64) {
	return strip(line{from, s.low.y(from), to, s.low.y(to)}, line{from, s.high.y(from), to, s.high.y(to)}, height)
}

// over is above zero where the piece runs above a line that it does not cross between a and b. It may touch it
// anywhere, so one place would not tell.
func (p *piece) over(l line, a, b float64) (sum float64) {
	for _, share := range [3]float64{0.25, 0.5, 0.75} {
		x := spread(a, b, share)
		sum += p.y(x) - l.y(x)
	}
	return sum
}

// strip is the area between two lines over one stretch of x and the integral over it of a height. Along x that is a
// polynomial of the second degree, for which Simpson's rule is exact.
func strip(low, high line, height plane) (area, volume float64) {
	w := low.x1 - low.x0
	a, b := high.y0-low.y0, high.y1-low.y1
	m := (a + b) / 2
	ya, yb := float64(0.5*(high.y0+low.y0)), float64(0.5*(high.y1+low.y1))
	middle := vec{float64(0.5 * (low.x0 + low.x1)), float64(0.5 * (ya + yb))}
	f := float64(a * height.value(vec{low.x0, ya}))
	f += float64(4 * m * height.value(middle))
	f += float64(b * height.value(vec{low.x1, yb}))
	return float64(w * m), float64(w * f / 6)
}

// segment is the area between an arc and its chord and the integral over it of a height, both counted down where the
// arc is below. The area is r^2 (t - sin t) / 2; its first moment about a line through the centre parallel to the
// chord, c long, is c^3 / 12.
func (p *piece) segment(chord line, height plane) (area, volume float64) {
	a, b := vec{chord.x0, chord.y0}, vec{chord.x1, chord.y1}
	middle := between(a, b, 0.5)
	c := b.minus(a)
	l := c.length()
	off := middle.minus(p.c).length()
	area = float64(p.r*p.r) * measure.Slack(2*measure.Atan2(l/2, off)) / 2
	moment := l*l*l/12 - float64(area*off) // about the chord, away from the centre
	out := vec{-c.y, c.x}.times(p.half / l)
	volume = float64(area*height.value(middle)) + float64(moment*height.gain.dot(out))
	return float64(p.half * area), float64(p.half * volume)
}
