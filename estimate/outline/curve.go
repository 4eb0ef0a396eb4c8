package outline

import (
	"math"

	"bedline/estimate/measure"
)

// curve is a piece of an edge that a sweep along x meets once at each x: a straight line that is not upright, or part
// of the upper or lower half of a circle. It is kept from left to right.
type curve struct {
	x0, y0, x1, y1 float64
	low, high      float64 // extent in y
	slope          float64 // of a straight line
	cx, cy, r      float64 // of an arc

	half   int8  // 0 a straight line, 1 an upper half, -1 a lower half
	delta  int8  // what winding the region gains from below to above
	active bool  // in the sweep
	joined bool  // one with the next curve above, in the sense of relation
	region int32 // number of its region
	first  int32 // number of the event at which it starts
	last   int32 // number of the event at which it ends

	// The state in the sweep.
	since        float64 // from here on not yet accounted for
	wind         int32   // winding of its region above it
	class        int32   // class of the cell above it
	below, above int32   // classes that it divides; the same where it stands for no boundary
	cover        int32   // number of the set that covers the cell above it
	place        int32   // in the sweep when last looked at
	mark         int32   // serial of the last event that touched it
}

// at is the y at x, which is held between the ends.
func (c *curve) at(x float64) float64 {
	switch {
	case x <= c.x0:
		return c.y0
	case x >= c.x1:
		return c.y1
	case c.half == 0:
		if x-c.x0 < c.x1-x {
			return c.y0 + float64((x-c.x0)*c.slope)
		}
		return c.y1 - float64((c.x1-x)*c.slope)
	}
	d := x - c.cx
	h := math.Sqrt(max(0, (c.r-d)*(c.r+d)))
	if c.half > 0 {
		return c.cy + h
	}
	return c.cy - h
}

// steep is the slope at x without its sign.
func (c *curve) steep(x float64) float64 {
	if c.half == 0 {
		return math.Abs(c.slope)
	}
	d := x - c.cx
	return math.Abs(d) / math.Sqrt(max(1e-300, (c.r-d)*(c.r+d)))
}

// under gives the area between the curve and y = 0 from a to b, and the length of that stretch.
func (c *curve) under(a, b float64) (area, length float64) {
	ya, yb := c.at(a), c.at(b)
	w := b - a
	area = float64(w * ((ya + yb) / 2))
	if c.half == 0 {
		return area, norm(w, yb-ya)
	}
	// A trapezoid below the chord and the circular segment r^2 (t - sin t) / 2 between chord and arc.
	ax, ay, bx, by := a-c.cx, ya-c.cy, b-c.cx, yb-c.cy
	turn := math.Abs(float64(measure.Atan2(cross(ax, ay, bx, by), dot(ax, ay, bx, by))))
	segment := float64(float64(c.r*c.r) * measure.Slack(measure.Angle(turn)) / 2)
	if c.half > 0 {
		return area + segment, float64(c.r * turn)
	}
	return area - segment, float64(c.r * turn)
}

// turning is the y of the top or bottom of the circle if the curve passes it between a and b.
func (c *curve) turning(a, b float64) (y float64, ok bool) {
	if c.half == 0 || c.cx <= a || c.cx >= b {
		return 0, false
	}
	return c.cy + float64(float64(c.half)*c.r), true
}

// merge is the distance in metres along x below which two stops are one: far enough below same that curves moved by
// it stay one with their like, however steep they are.
const merge = same / 10

// tick is the distance in metres along x that counts as none.
const tick = 1e-12

// never is the x of a crossing that does not come.
var never = math.Inf(1)

// relation tells how q lies to p right after x: 1 above, -1 below, 0 as one with it, and the next x at which that
// turns round. Curves are one where they stay within 1e-9 m of each other, square to their direction, up to the next
// end or crossing.
func relation(p, q *curve, x float64) (sign int, next float64) {
	if q.low > p.high+8*same {
		return 1, never
	}
	if q.high < p.low-8*same {
		return -1, never
	}
	to := min(p.x1, q.x1)
	if p.half == 0 && q.half == 0 {
		tol := same * (1 + min(math.Abs(p.slope), math.Abs(q.slope)))
		a, b := q.at(x)-p.at(x), q.at(to)-p.at(to)
		sa, sb := signOf(a, tol), signOf(b, tol)
		switch {
		case sa == 0 || sa == sb:
			return sb, never
		case sb == 0:
			return sa, never
		}
		meet := x + float64((to-x)*(math.Abs(a)/(math.Abs(a)+math.Abs(b))))
		if meet <= x+tick {
			return sb, never
		}
		return sa, meet
	}
	// Where the curves meet at an end, the roots near it are that meeting, seen through rounding.
	from, till := x+tick, to-tick
	if signOf(q.at(x)-p.at(x), same*(1+min(p.steep(x), q.steep(x)))) == 0 {
		from = x + merge
	}
	if signOf(q.at(to)-p.at(to), same*(1+min(p.steep(to), q.steep(to)))) == 0 {
		till = to - merge
	}
	var cuts [4]float64
	n := p.cuts(q, from, till, &cuts)
	for i := 1; i <= n; i++ {
		if i == 1 {
			cuts[0] = x
		}
		s := between(p, q, cuts[i-1], cuts[i])
		switch {
		case sign == 0:
			sign = s
		case s == -sign:
			return sign, cuts[i-1]
		}
	}
	return sign, never
}

// cuts fills in from, the x of the crossings of the whole lines or circles that are between, and to; n is the number
// of stretches between them.
func (c *curve) cuts(d *curve, from, to float64, cuts *[4]float64) (n int) {
	cuts[0] = from
	if c.half == 0 {
		c, d = d, c
	}
	var along, ux, uy float64
	if d.half == 0 {
		l := math.Sqrt(1 + float64(d.slope*d.slope))
		ux, uy = -d.slope/l, 1/l
		along = dot(ux, uy, d.x0-c.cx, d.y0-c.cy)
	} else {
		dx, dy := d.cx-c.cx, d.cy-c.cy
		if apart := norm(dx, dy); apart > same {
			ux, uy = dx/apart, dy/apart
			along = (apart + float64((c.r-d.r)*(c.r+d.r))/apart) / 2
		} else {
			along = never
		}
	}
	if square := (c.r - along) * (c.r + along); square > 0 {
		off := math.Abs(math.Sqrt(square) * uy)
		mid := c.cx + float64(along*ux)
		for _, x := range [2]float64{mid - off, mid + off} {
			if x > cuts[n] && x < to {
				n++
				cuts[n] = x
			}
		}
	}
	n++
	cuts[n] = max(from, to)
	return n
}

// between is the sign of q - p where they don't cross, between from and to.
func between(p, q *curve, from, to float64) int {
	w := to - from
	for _, share := range [3]float64{0.5, 0.25, 0.75} {
		x := from + float64(w*share)
		tol := same * (1 + min(p.steep(x), q.steep(x)))
		if s := signOf(q.at(x)-p.at(x), tol); s != 0 {
			return s
		}
	}
	return 0
}

func signOf(d, tol float64) int {
	switch {
	case d > tol:
		return 1
	case d < -tol:
		return -1
	}
	return 0
}

// appendCurves cuts an edge at the left and right ends of its circle. Coordinates are taken from an origin.
func appendCurves(curves []curve, e *Edge, region int32, origin Point) []curve {
	fx, fy := float64(e.From.X-origin.X), float64(e.From.Y-origin.Y)
	tx, ty := float64(e.To.X-origin.X), float64(e.To.Y-origin.Y)
	if e.Straight() {
		return appendCurve(curves, fx, fy, tx, ty, region, 1)
	}
	cx, cy, r := float64(e.Centre.X-origin.X), float64(e.Centre.Y-origin.Y), float64(e.Radius)
	turn, gain := float64(e.Turn), int8(1)
	if turn < 0 {
		fx, fy, tx, ty, turn, gain = tx, ty, fx, fy, -turn, -1
	}
	half := func(x, y, ahead float64) float64 { // which half an arc starts into (ahead 1) or comes from (ahead -1)
		if d := y - cy; d != 0 {
			return math.Copysign(1, d)
		}
		return math.Copysign(1, (x-cx)*ahead)
	}
	h, end := half(fx, fy, 1), half(tx, ty, -1)
	direct := false
	if h == end {
		// Counter-clockwise the upper half runs to the left. A short arc never goes all round, a long one always.
		direct = turn < float64(measure.Pi)/2 || turn < float64(measure.Pi)*1.5 && (fx-tx)*h > 0
	}
	for range 3 {
		x, y := tx, ty
		if !direct {
			x, y = cx-float64(h*r), cy
		}
		n := len(curves)
		curves = appendCurve(curves, fx, fy, x, y, region, gain)
		if len(curves) > n {
			c := &curves[n]
			c.cx, c.cy, c.r, c.half = cx, cy, r, int8(h)
			if top, ok := c.turning(c.x0, c.x1); ok {
				c.low, c.high = min(c.low, top), max(c.high, top)
			}
		}
		if direct {
			break
		}
		fx, fy, h = x, y, -h
		direct = h == end
	}
	return curves
}

func appendCurve(curves []curve, fx, fy, tx, ty float64, region int32, gain int8) []curve {
	if fx > tx {
		fx, fy, tx, ty, gain = tx, ty, fx, fy, -gain
	}
	if !(fx < tx) {
		return curves
	}
	return append(curves, curve{x0: fx, y0: fy, x1: tx, y1: ty, low: min(fy, ty), high: max(fy, ty), region: region, delta: gain})
}
