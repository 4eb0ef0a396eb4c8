package outline

import (
	"math"

	"bedline/estimate/measure"
)

// Distance is the least distance between the straight line from one point to another and the ground: 0 where the line
// runs over it or within 1e-9 m of it, infinite without ground.
func (t *Tract) Distance(from, to Point) measure.Length {
	wind := 0
	for i := range t.Edges {
		wind += t.Edges[i].winds(from)
	}
	if wind != 0 {
		return 0
	}
	line := Line(from, to)
	least := measure.Length(math.Inf(1))
	for i := range t.Edges {
		least = min(least, t.Edges[i].apart(&line))
	}
	if least <= same {
		return 0
	}
	return least
}

// apart is the least distance between an edge and a straight line.
func (e *Edge) apart(line *Edge) measure.Length {
	least := min(e.away(line.From), e.away(line.To), line.away(e.From), line.away(e.To))
	if e.Straight() {
		if _, crossed := linesCross(e, line); crossed {
			return 0
		}
		return least
	}
	for _, p := range crossings(e, line) {
		if e.away(p) <= same && line.away(p) <= same {
			return 0
		}
	}
	// Where the arc runs along the line: at the points whose radius is square to it.
	dx, dy := float64(line.To.X-line.From.X), float64(line.To.Y-line.From.Y)
	l := norm(dx, dy)
	if l == 0 {
		return least
	}
	for _, r := range [2]float64{float64(e.Radius), -float64(e.Radius)} {
		ux, uy := -dy/l*r, dx/l*r
		if e.sweeps(ux, uy) {
			least = min(least, line.away(Point{e.Centre.X + measure.Length(ux), e.Centre.Y + measure.Length(uy)}))
		}
	}
	return least
}
