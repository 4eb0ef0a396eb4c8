package render

import (
	"math"
	"slices"

	"bedline/api/render/drawing"
)

// clip is the part of a line that is on the part of the sheet that shows the ground (Liang and Barsky's way).
func (p *planner) clip(a, b drawing.Spot) (from, to drawing.Spot, ok bool) {
	t0, t1 := 0.0, 1.0
	dx, dy := float64(b.X-a.X), float64(b.Y-a.Y)
	for _, side := range [...][2]float64{
		{-dx, float64(a.X - planEdge)}, {dx, float64(planWidth - planEdge - a.X)},
		{-dy, float64(a.Y - planEdge)}, {dy, float64(p.bottom - a.Y)},
	} {
		switch {
		case side[0] == 0:
			if side[1] < 0 {
				return a, b, false
			}
		case side[0] < 0:
			t0 = max(t0, side[1]/side[0])
		default:
			t1 = min(t1, side[1]/side[0])
		}
	}
	at := func(t float64) drawing.Spot {
		return drawing.Spot{X: a.X + drawing.Millimetres(t*dx), Y: a.Y + drawing.Millimetres(t*dy)}
	}
	return at(t0), at(t1), t0 < t1
}

// arcs are the parts of a circle on that part of the sheet, from one direction to another, clockwise on paper. All tells
// that there are none because the whole of it lies in the circle.
func (p *planner) arcs(c drawing.Spot, r drawing.Millimetres) (arcs [][2]float64, all bool) {
	low, high := drawing.Spot{X: planEdge, Y: planEdge}, drawing.Spot{X: planWidth - planEdge, Y: p.bottom}
	at := func(angle float64) drawing.Spot {
		return drawing.Spot{X: c.X + r*drawing.Millimetres(math.Cos(angle)), Y: c.Y + r*drawing.Millimetres(math.Sin(angle))}
	}
	var cuts []float64
	for _, x := range [...]drawing.Millimetres{low.X, high.X} {
		if d := float64((x - c.X) / r); math.Abs(d) < 1 {
			cuts = append(cuts, math.Acos(d), 2*math.Pi-math.Acos(d))
		}
	}
	for _, y := range [...]drawing.Millimetres{low.Y, high.Y} {
		if d := float64((y - c.Y) / r); math.Abs(d) < 1 {
			a := math.Asin(d)
			cuts = append(cuts, math.Mod(a+2*math.Pi, 2*math.Pi), math.Pi-a)
		}
	}
	inside := func(s drawing.Spot) bool { return s.X >= low.X && s.X <= high.X && s.Y >= low.Y && s.Y <= high.Y }
	if len(cuts) == 0 {
		if inside(at(0)) {
			return [][2]float64{{0, 2 * math.Pi}}, false
		}
		return nil, false // apart
	}
	slices.Sort(cuts)
	for i, from := range cuts {
		to := cuts[0] + 2*math.Pi
		if i+1 < len(cuts) {
			to = cuts[i+1]
		}
		if to-from > 1e-9 && inside(at((from+to)/2)) {
			arcs = append(arcs, [2]float64{from, to})
		}
	}
	middle := drawing.Spot{X: (low.X + high.X) / 2, Y: (low.Y + high.Y) / 2}
	return arcs, len(arcs) == 0 && math.Hypot(float64(middle.X-c.X), float64(middle.Y-c.Y)) < float64(r)
}
