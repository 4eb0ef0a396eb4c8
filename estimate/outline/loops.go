package outline

import "math"

// Loops joins the edges of the tract to closed loops, ground on the left: outer lines counter-clockwise, holes clockwise.
// Gaps of the sweep up to 1e-5 m are closed.
func (t *Tract) Loops() []Loop {
	left := append([]Edge(nil), t.Edges...)
	var loops []Loop
	for len(left) > 0 {
		loop := Loop{left[0]}
		left = append(left[:0], left[1:]...)
		for {
			end, start := loop[len(loop)-1].To, loop[0].From
			next, near := -1, 1e-4
			for i := range left {
				if d := apart(end, left[i].From); d < near {
					next, near = i, d
				}
			}
			if apart(end, start) <= near && (len(loop) > 1 || !loop[0].Straight()) {
				loop[len(loop)-1].To = closing(&loop[len(loop)-1], start)
				break
			}
			if next < 0 {
				break // what does not close is no ground
			}
			e := left[next]
			left = append(left[:next], left[next+1:]...)
			e.From = end
			loop = append(loop, e)
		}
		if len(loop) > 1 || !loop[0].Straight() {
			loops = append(loops, loop)
		}
	}
	return loops
}

// closing is where the last edge of a loop ends; a full circle keeps its end.
func closing(e *Edge, start Point) Point {
	if !e.Straight() && apart(e.From, e.To) == 0 {
		return e.To
	}
	return start
}

func apart(p, q Point) float64 {
	dx, dy := float64(p.X-q.X), float64(p.Y-q.Y)
	return math.Sqrt(float64(dx*dx) + float64(dy*dy))
}
