package outline

import (
	"math"
	"slices"

	"bedline/estimate/measure"
)

// Outside is the greatest distance at which any point of a loop's line lies outside the outline, 0 where all of it is
// inside or on the bed line. Distances up to 1e-9 m are 0. At the ends of the loop's edges, where the greatest
// distance mostly is, the figure is exact; between them it is searched for to 1e-9 of the edge. Of a hole that the loop
// covers it is the distance of a place in its middle from the bed line.
func (o *Outline) Outside(loop Loop) measure.Length {
	most := o.lineOutside(loop)
	if len(o.poles) > 0 {
		elements := make([]Element, len(loop))
		for i, e := range loop {
			elements[i].Edge = e
		}
		most = max(most, o.covers(elements))
	}
	return most
}

// GroundOutside is Outside of all ground of another outline: ground in that one's holes may be anywhere.
func (o *Outline) GroundOutside(other *Outline) measure.Length {
	most := o.covers(other.elements)
	for i := range other.rings {
		most = max(most, o.lineOutside(other.rings[i].Loop()))
	}
	return most
}

// lineOutside is how far the line of a loop reaches out of the ground.
func (o *Outline) lineOutside(loop Loop) measure.Length {
	var most measure.Length
	var cuts []float64
	for i := range loop {
		e := &loop[i]
		cuts = o.cuts(e, append(cuts[:0], 0, 1))
		slices.Sort(cuts)
		for k := 1; k < len(cuts); k++ {
			from, to := cuts[k-1], cuts[k]
			if to-from <= 1e-12 && len(cuts) > 2 {
				continue
			}
			mid := e.Point(measure.Factor((from + to) / 2))
			if o.winds(mid) || o.Distance(mid) <= same {
				continue
			}
			most = max(most, o.farthest(e, from, to))
		}
	}
	if most <= same {
		return 0
	}
	return most
}

// cuts adds the shares of e's length at which it meets the outline.
func (o *Outline) cuts(e *Edge, cuts []float64) []float64 {
	low, high := e.Bounds()
	for i := range o.elements {
		f := &o.elements[i].Edge
		if f.Straight() && (max(f.From.X, f.To.X) < low.X-same || min(f.From.X, f.To.X) > high.X+same ||
			max(f.From.Y, f.To.Y) < low.Y-same || min(f.From.Y, f.To.Y) > high.Y+same) {
			continue
		}
		if e.Straight() && f.Straight() {
			if p, met := linesCross(e, f); met {
				cuts = append(cuts, e.share(p))
			}
		} else {
			for _, p := range crossings(e, f) {
				if e.away(p) <= same && f.away(p) <= same {
					cuts = append(cuts, e.share(p))
				}
			}
		}
		if e.away(f.From) <= same { // the line runs on from here: one end of each element is enough
			cuts = append(cuts, e.share(f.From))
		}
	}
	return cuts
}

// share is the share of the length of e at which p lies, a point of e.
func (e *Edge) share(p Point) float64 {
	if e.Straight() {
		dx, dy := float64(e.To.X-e.From.X), float64(e.To.Y-e.From.Y)
		along := dot(dx, dy, float64(p.X-e.From.X), float64(p.Y-e.From.Y))
		return max(0, min(1, along/dot(dx, dy, dx, dy)))
	}
	fx, fy := float64(e.From.X-e.Centre.X), float64(e.From.Y-e.Centre.Y)
	px, py := float64(p.X-e.Centre.X), float64(p.Y-e.Centre.Y)
	turn := math.Abs(float64(e.Turn))
	c := cross(fx, fy, px, py)
	if e.Turn < 0 {
		c = -c
	}
	angle := float64(measure.Atan2(c, dot(fx, fy, px, py)))
	if angle < 0 && angle < turn/2-float64(measure.Pi) { // nearer to the end than to the start
		angle += 2 * float64(measure.Pi)
	}
	return max(0, min(1, angle/turn))
}

// farthest searches the stretch of e between two shares for the greatest distance from the bed line.
func (o *Outline) farthest(e *Edge, from, to float64) measure.Length {
	const steps = 16
	at := func(t float64) measure.Length { return o.Distance(e.Point(measure.Factor(t))) }
	step := (to - from) / steps
	best, where := at(from), from
	for k := 1; k <= steps; k++ {
		t := from + float64(float64(k)*step)
		if k == steps {
			t = to
		}
		if d := at(t); d > best {
			best, where = d, t
		}
	}
	// The distance has one summit between the neighbours of the best step; thirds close in on it.
	low, high := max(from, where-step), min(to, where+step)
	for high-low > 1e-9 {
		a, b := low+(high-low)/3, high-(high-low)/3
		da, db := at(a), at(b)
		best = max(best, da, db)
		if da < db {
			low = a
		} else {
			high = b
		}
	}
	return best
}
