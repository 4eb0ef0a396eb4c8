package bond

import (
	"math"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// same is the distance in metres below which two points are one, as in package outline.
const same = 1e-9

// curve is a piece of an edge that neither turns back in x nor in y: a straight line or part of a quarter circle. It
// is kept from left to right.
type curve struct {
	x0, y0, x1, y1 float64
	low, high      float64 // in y
	cx, cy, r      float64 // of an arc; r is 0 for a straight line
	sx, sy         float64 // side of the centre on which the quarter lies
	right          int8    // 1 where the edge runs to the right, -1 to the left
	up             int8    // 1 where the edge runs up, -1 down, 0 level
	set            int8    // 0 the field, 1 its openings
}

// at is the y at x, held between the ends.
func (c *curve) at(x float64) float64 {
	switch {
	case x <= c.x0:
		return c.y0
	case x >= c.x1:
		return c.y1
	case c.r == 0:
		return between(x, c.x0, c.y0, c.x1, c.y1)
	}
	d := x - c.cx
	h := math.Sqrt(max(0, float64((c.r-d)*(c.r+d))))
	return min(c.high, max(c.low, c.cy+float64(c.sy*h)))
}

// across is the x at y, held between the ends.
func (c *curve) across(y float64) float64 {
	fx, fy, tx, ty := c.x0, c.y0, c.x1, c.y1
	if fy > ty {
		fx, fy, tx, ty = tx, ty, fx, fy
	}
	switch {
	case y <= fy:
		return fx
	case y >= ty:
		return tx
	case c.r == 0:
		return between(y, fy, fx, ty, tx)
	}
	d := y - c.cy
	h := math.Sqrt(max(0, float64((c.r-d)*(c.r+d))))
	return min(c.x1, max(c.x0, c.cx+float64(c.sx*h)))
}

// between is the straight line at v, from the nearer end.
func between(v, v0, w0, v1, w1 float64) float64 {
	if v-v0 < v1-v {
		return w0 + float64((v-v0)*((w1-w0)/(v1-v0)))
	}
	return w1 - float64((v1-v)*((w1-w0)/(v1-v0)))
}

// under is the area between the curve and y = base from a to b, where it has the heights ya and yb.
func (c *curve) under(a, ya, b, yb, base float64) float64 {
	w := b - a
	area := float64(w * ((ya-base)/2 + (yb-base)/2))
	if c.r == 0 {
		return area
	}
	// The circular segment r^2 (t - sin t) / 2 between chord and arc.
	h := yb - ya
	chord := math.Sqrt(float64(w*w) + float64(h*h))
	turn := 2 * float64(measure.Asin(min(1, chord/2/c.r)))
	return area + float64(c.sy*(float64(c.r*c.r)*measure.Slack(measure.Angle(turn))/2))
}

// meets gives the x, if any, at which two curves cross; crossings at their ends may be among them or not.
func (c *curve) meets(d *curve) (x [2]float64, n int) {
	if c.r == 0 && d.r == 0 {
		ax, ay, bx, by := c.x1-c.x0, c.y1-c.y0, d.x1-d.x0, d.y1-d.y0
		den := cross(ax, ay, bx, by)
		if den == 0 {
			return x, 0
		}
		x[0] = c.x0 + float64(ax*(cross(d.x0-c.x0, d.y0-c.y0, bx, by)/den))
		return x, 1
	}
	if c.r == 0 {
		c, d = d, c
	}
	var along, ux, uy float64
	if d.r == 0 {
		dx, dy := d.x1-d.x0, d.y1-d.y0
		l := math.Sqrt(float64(dx*dx) + float64(dy*dy))
		if l == 0 {
			return x, 0
		}
		ux, uy = -dy/l, dx/l
		along = float64(ux*(d.x0-c.cx)) + float64(uy*(d.y0-c.cy))
	} else {
		dx, dy := d.cx-c.cx, d.cy-c.cy
		apart := math.Sqrt(float64(dx*dx) + float64(dy*dy))
		if apart <= same {
			return x, 0
		}
		ux, uy = dx/apart, dy/apart
		along = (apart + float64((c.r-d.r)*(c.r+d.r))/apart) / 2
	}
	square := float64((c.r - along) * (c.r + along))
	if !(square > 0) {
		return x, 0
	}
	off := float64(math.Sqrt(square) * uy)
	mid := c.cx + float64(along*ux)
	return [2]float64{mid - off, mid + off}, 2
}

func cross(ax, ay, bx, by float64) float64 { return float64(ax*by) - float64(ay*bx) }

// frame turns places of the job into those of a pattern.
type frame struct{ x, y, sin, cos float64 }

func newFrame(at outline.Point, along measure.Angle) frame {
	return frame{float64(at.X), float64(at.Y), measure.Sin(along), measure.Cos(along)}
}

func (f *frame) in(p outline.Point) (x, y float64) {
	dx, dy := float64(p.X)-f.x, float64(p.Y)-f.y
	return float64(dx*f.cos) + float64(dy*f.sin), float64(dy*f.cos) - float64(dx*f.sin)
}

func (f *frame) out(x, y float64) outline.Point {
	return outline.Point{
		X: measure.Length(f.x + (float64(x*f.cos) - float64(y*f.sin))),
		Y: measure.Length(f.y + (float64(x*f.sin) + float64(y*f.cos))),
	}
}

// appendRegion cuts a region into curves in a frame. Loops left open are closed; loops with numbers that are not
// finite or beyond 1e6 m are left out, as everywhere.
func appendRegion(curves []curve, f *frame, r outline.Region, set int8) []curve {
	for _, l := range r {
		if !usable(l) {
			continue
		}
		px, py := f.in(l[len(l)-1].To)
		for i := range l {
			e := &l[i]
			fx, fy := f.in(e.From)
			if gap := math.Abs(fx-px) + math.Abs(fy-py); gap > 2*same {
				curves = appendLine(curves, px, py, fx, fy, set)
			} else {
				fx, fy = px, py
			}
			tx, ty := f.in(e.To)
			if e.From == e.To {
				tx, ty = fx, fy
			}
			if e.Straight() {
				curves = appendLine(curves, fx, fy, tx, ty, set)
			} else {
				cx, cy := f.in(e.Centre)
				curves = appendArc(curves, fx, fy, tx, ty, cx, cy, float64(e.Radius), float64(e.Turn), set)
			}
			px, py = tx, ty
		}
	}
	return curves
}

// reach is the greatest coordinate and radius, as in package outline.
const reach = 1e6

func usable(l outline.Loop) bool {
	for i := range l {
		e := &l[i]
		for _, v := range [...]measure.Length{e.From.X, e.From.Y, e.To.X, e.To.Y, e.Centre.X, e.Centre.Y, e.Radius, measure.Length(e.Turn)} {
			if !(math.Abs(float64(v)) <= reach) {
				return false
			}
		}
		if !e.Straight() && e.Radius <= 0 {
			return false
		}
	}
	return len(l) > 0
}

func appendLine(curves []curve, fx, fy, tx, ty float64, set int8) []curve {
	if fx == tx && fy == ty {
		return curves
	}
	c := curve{x0: fx, y0: fy, x1: tx, y1: ty, right: 1, set: set}
	switch {
	case ty > fy:
		c.up = 1
	case ty < fy:
		c.up = -1
	}
	if fx > tx {
		c.x0, c.y0, c.x1, c.y1, c.right = tx, ty, fx, fy, -1
	}
	c.low, c.high = min(fy, ty), max(fy, ty)
	return append(curves, c)
}

// appendArc cuts an arc into parts of quarter circles.
func appendArc(curves []curve, fx, fy, tx, ty, cx, cy, r, turn float64, set int8) []curve {
	left := turn > 0
	if !left {
		fx, fy, tx, ty, turn = tx, ty, fx, fy, -turn
	}
	q := quarter(fx-cx, fy-cy)
	n := (quarterBefore(tx-cx, ty-cy) - q + 4) % 4
	// Rounding at the ends of quarters must not add or drop a whole circle.
	t := turn / (float64(measure.Pi) / 2)
	if float64(n) > t+1+1e-6 {
		n = max(0, n-4)
	} else if float64(n) < t-1-1e-6 {
		n += 4
	}
	for ; n >= 0; n-- {
		x, y := tx, ty
		sx, sy := 1.0, 1.0
		if q == 1 || q == 2 {
			sx = -1
		}
		if q >= 2 {
			sy = -1
		}
		if n > 0 {
			switch q {
			case 0:
				x, y = cx, cy+r
			case 1:
				x, y = cx-r, cy
			case 2:
				x, y = cx, cy-r
			default:
				x, y = cx+r, cy
			}
		}
		k := len(curves)
		if left {
			curves = appendLine(curves, fx, fy, x, y, set)
		} else {
			curves = appendLine(curves, x, y, fx, fy, set)
		}
		if len(curves) > k {
			c := &curves[k]
			c.cx, c.cy, c.r, c.sx, c.sy = cx, cy, r, sx, sy
		}
		fx, fy, q = x, y, (q+1)%4
	}
	return curves
}

// quarter is the number of the quarter, counter-clockwise from +x, into which an arc starts at a direction.
func quarter(x, y float64) int {
	switch {
	case x > 0 && y >= 0:
		return 0
	case y > 0:
		return 1
	case x < 0:
		return 2
	}
	return 3
}

// quarterBefore is the number of the quarter in which an arc ends.
func quarterBefore(x, y float64) int {
	switch {
	case x >= 0 && y > 0:
		return 0
	case x < 0 && y >= 0:
		return 1
	case y < 0 && x <= 0:
		return 2
	}
	return 3
}
