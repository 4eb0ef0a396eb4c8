package earth

import (
	"math"
	"slices"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// Earthwork is the cut and the fill between the ground and a formation over a region, exact up to rounding, arcs
// included. Every edge of the region has the ground to be dug on its left: loops run counter-clockwise round it and
// clockwise round holes, and must not overlap (where two do, their ground counts twice). In what order the edges come
// does not matter, but none may be missing. A region without extent, or with numbers that are not finite or beyond
// 1e9 m, holds no work.
func (s *Surface) Earthwork(region outline.Region, f Formation) Earthwork {
	low, high, ok := bounds(region)
	if !ok {
		return Earthwork{}
	}
	origin := between(low, high, 0.5)
	var pieces []piece
	for _, loop := range region {
		for i := range loop {
			pieces = appendPieces(pieces, &loop[i], origin)
		}
	}
	slices.SortStableFunc(pieces, func(p, q piece) int { return sign(p.x0 - q.x0) })
	low, high = low.minus(origin), high.minus(origin)
	formation := f.plane(origin, float64(f.Depth))
	var w works
	s.cells(origin, low, high, func(c cell) {
		ring := clipped(c.ring, func(v vec) float64 { return v.x - low.x })
		ring = clipped(ring, func(v vec) float64 { return high.x - v.x })
		ring = clipped(ring, func(v vec) float64 { return v.y - low.y })
		ring = clipped(ring, func(v vec) float64 { return high.y - v.y })
		if len(ring) < 3 {
			return
		}
		above := c.ground.less(formation)
		w.take(pieces, ring, above, c.resting)
	})
	return Earthwork{
		Area: measure.Area(w.area.value()),
		Cut:  measure.Volume(w.cut.value()), CutArea: measure.Area(w.cutArea.value()),
		Fill: measure.Volume(w.fill.value()), FillArea: measure.Area(w.fillArea.value()),
		Resting:  measure.Area(w.resting.value()),
		CutDepth: measure.Length(w.deepest), FillDepth: measure.Length(w.highest),
	}
}

// less is the height of p over q.
func (p plane) less(q plane) plane {
	return plane{p.at, p.level - q.value(p.at), p.gain.minus(q.gain)}
}

type works struct {
	area, cut, cutArea, fill, fillArea, resting total
	deepest, highest                            float64
}

// none is an area in square metres that is nothing but rounding.
const none = 1e-12

// take adds up the part of one cell: it is cut in two where the ground passes through the formation.
func (w *works) take(pieces []piece, ring []vec, above plane, resting bool) {
	var over, under bool
	for _, v := range ring {
		h := above.value(v)
		over, under = over || h > 0, under || h < 0
	}
	add := func(ring []vec, volume, plan *total, sign float64) {
		area, height := integrate(pieces, ring, above)
		w.area.add(area)
		if resting {
			w.resting.add(area)
		}
		if plan != nil {
			if area > none {
				for _, v := range ring {
					h := above.value(v)
					w.deepest, w.highest = max(w.deepest, h), max(w.highest, -h)
				}
			}
			plan.add(area)
			volume.add(float64(sign * height))
		}
	}
	switch {
	case over && under:
		add(clipped(ring, above.value), &w.cut, &w.cutArea, 1)
		add(clipped(ring, func(v vec) float64 { return -above.value(v) }), &w.fill, &w.fillArea, -1)
	case over:
		add(ring, &w.cut, &w.cutArea, 1)
	case under:
		add(ring, &w.fill, &w.fillArea, -1)
	default:
		add(ring, nil, nil, 0)
	}
}

// clipped is the part of a convex ring where a linear function is not below zero.
func clipped(ring []vec, in func(vec) float64) []vec {
	var out []vec
	for i, v := range ring {
		u := ring[(i+len(ring)-1)%len(ring)]
		hu, hv := in(u), in(v)
		if hu < 0 && hv > 0 || hu > 0 && hv < 0 {
			out = append(out, between(u, v, hu/(hu-hv)))
		}
		if hv >= 0 {
			out = append(out, v)
		}
	}
	return out
}

func bounds(region outline.Region) (low, high vec, ok bool) {
	low, high = vec{math.Inf(1), math.Inf(1)}, vec{math.Inf(-1), math.Inf(-1)}
	for _, loop := range region {
		a, b := loop.Bounds()
		low = vec{min(low.x, float64(a.X)), min(low.y, float64(a.Y))}
		high = vec{max(high.x, float64(b.X)), max(high.y, float64(b.Y))}
	}
	sound := min(low.x, low.y) >= -1000*farthest && max(high.x, high.y) <= 1000*farthest
	return low, high, sound && low.x < high.x && low.y < high.y
}

// total adds up with what each sum loses (Neumaier).
type total struct{ sum, lost float64 }

func (t *total) add(v float64) {
	sum := t.sum + v
	if math.Abs(t.sum) >= math.Abs(v) {
		t.lost += (t.sum - sum) + v
	} else {
		t.lost += (v - sum) + t.sum
	}
	t.sum = sum
}

// value is the sum; what should be nothing may come out a hair below zero.
func (t *total) value() float64 { return max(0, t.sum+t.lost) }
