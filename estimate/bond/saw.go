package bond

import (
	"math"

	"bedline/estimate/measure"
)

// A piece is sawn once along each straight line that parts it from the rest of its unit, however often it meets that
// line. An arc is sawn as a chain of straight passes that leave it by no more than half a saw cut: one pass for each
// 4 asin(sqrt(s / 2r)) of its turn, where s is that half and r the radius. Lines within 0.1 % of the unit's size of
// its own side are that side.

// offArc is how far straight passes may leave an arc.
const offArc = SawCut / 2

// cutLine is a stretch of a line or circle along which a part is cut.
type cutLine struct {
	part           int32
	x0, y0, x1, y1 float64 // the stretch
	nx, ny, off    float64 // unit normal of a straight line, and its distance from the origin
	cx, cy, r      float64 // of a circle; r is 0 for a straight line
}

// own tells whether a stretch is a side of the unit itself.
func (w *clipper) own(x0, y0, x1, y1 float64) bool {
	u := &w.unit
	tx, ty := float64(speck*(u.x1-u.x0)), float64(speck*(u.y1-u.y0))
	return max(x0, x1) <= u.x0+tx || min(x0, x1) >= u.x1-tx || max(y0, y1) <= u.y0+ty || min(y0, y1) >= u.y1-ty
}

// sawAlong notes that a part ends at a curve between two places.
func (w *clipper) sawAlong(part int32, c *curve, x0, y0, x1, y1 float64) {
	if w.own(x0, y0, x1, y1) {
		return
	}
	l := cutLine{part: part, x0: x0, y0: y0, x1: x1, y1: y1}
	if c.r > 0 {
		l.cx, l.cy, l.r = c.cx, c.cy, c.r
	} else {
		l.direct(c.x0, c.y0, c.x1, c.y1)
	}
	w.lines = append(w.lines, l)
}

// sawStraight notes that a part ends at a level or plumb line.
func (w *clipper) sawStraight(part int32, x0, y0, x1, y1 float64) {
	if w.own(x0, y0, x1, y1) {
		return
	}
	l := cutLine{part: part, x0: x0, y0: y0, x1: x1, y1: y1}
	l.direct(x0, y0, x1, y1)
	w.lines = append(w.lines, l)
}

func (l *cutLine) direct(x0, y0, x1, y1 float64) {
	dx, dy := x1-x0, y1-y0
	size := math.Sqrt(float64(dx*dx) + float64(dy*dy))
	l.nx, l.ny = -dy/size, dx/size
	l.off = float64(l.nx*x0) + float64(l.ny*y0)
}

// plumbs notes the plumb stretches at x by which steps on the left of it and on its right end.
func (w *clipper) plumbs(x float64, left, right []step) {
	for i := range left {
		s := &left[i]
		w.bare(x, s.part, s.low1, s.high1, right, func(t *step) (float64, float64) { return t.low0, t.high0 })
	}
	for i := range right {
		s := &right[i]
		w.bare(x, s.part, s.low0, s.high0, left, func(t *step) (float64, float64) { return t.low1, t.high1 })
	}
}

// bare notes the stretches between two heights at x that no step on the other side covers.
func (w *clipper) bare(x float64, part int32, low, high float64, others []step, ends func(*step) (float64, float64)) {
	least := float64(speck * (w.unit.y1 - w.unit.y0))
	for i := range others {
		from, to := ends(&others[i])
		if to <= low || from >= high {
			continue
		}
		if from-low > least {
			w.sawStraight(part, x, low, x, from)
		}
		low = max(low, to)
	}
	if high-low > least {
		w.sawStraight(part, x, low, x, high)
	}
}

// sameLine is how far in metres stretches of one line may lie apart.
const sameLine = 1e-6

// with tells whether another stretch lies on the same line or circle.
func (l *cutLine) with(m *cutLine) bool {
	if l.r > 0 || m.r > 0 {
		return l.r == m.r && l.cx == m.cx && l.cy == m.cy
	}
	away := func(x, y float64) float64 { return math.Abs(float64(l.nx*x) + float64(l.ny*y) - l.off) }
	return away(m.x0, m.y0) <= sameLine && away(m.x1, m.y1) <= sameLine
}

// sawn counts the passes of every part, once the parts are joined to their roots.
func (w *clipper) sawn() {
	for i := range w.lines {
		w.lines[i].part = w.root(w.lines[i].part)
	}
	for i := range w.lines {
		l := &w.lines[i]
		if l.part < 0 {
			continue // counted with an earlier stretch
		}
		turn := l.turn()
		for k := i + 1; k < len(w.lines); k++ {
			if m := &w.lines[k]; m.part == l.part && l.with(m) {
				turn += m.turn()
				m.part = -1
			}
		}
		n := 1
		if l.r > 0 {
			step := 4 * measure.Asin(min(1, math.Sqrt(float64(offArc)/(2*l.r))))
			n = max(1, measure.RoundUp(float64(turn/step)))
		}
		w.parts[l.part].passes += n
	}
}

// turn is what a stretch of an arc turns, of a line 0.
func (l *cutLine) turn() measure.Angle {
	if l.r == 0 {
		return 0
	}
	dx, dy := l.x1-l.x0, l.y1-l.y0
	return 2 * measure.Asin(min(1, math.Sqrt(float64(dx*dx)+float64(dy*dy))/2/l.r))
}
