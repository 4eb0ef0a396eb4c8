package bond

import (
	"slices"

	"bedline/estimate/measure"
)

// Joints are the edges between two units of a field, each once. A joint is as long as the faces that the two units
// turn to each other, as far as the line midway between them lies in the field; crossings of joints are not in it.
type Joints struct {
	Count  int
	Length measure.Length
}

// side is one side of a unit on a line between modules.
type side struct {
	line, from, to float64
	unit           int32
}

// joints pairs the units whose modules meet.
func (g *ground) joints(p *pattern, units []laid) Joints {
	var j Joints
	near, far := make([]side, len(units)), make([]side, len(units))
	for _, upright := range [2]bool{false, true} {
		for i := range units {
			c := &units[i]
			if upright {
				near[i] = side{c.right, c.y0, c.y1, int32(i)}
				far[i] = side{c.left, c.y0, c.y1, int32(i)}
			} else {
				near[i] = side{c.high, c.x0, c.x1, int32(i)}
				far[i] = side{c.low, c.x0, c.x1, int32(i)}
			}
		}
		near, far := sorted(near, p.wide), sorted(far, p.wide)
		for i, k := 0, 0; i < len(near) && k < len(far); {
			a, b := &near[i], &far[k]
			switch {
			case a.line < b.line:
				i++
				continue
			case a.line > b.line:
				k++
				continue
			}
			if from, to := max(a.from, b.from), min(a.to, b.to); to-from > same {
				l := to - from
				if units[a.unit].cut || units[b.unit].cut {
					if upright {
						l = g.plumbScan(a.line).inside(from, to)
					} else {
						l = g.levelScan(a.line).inside(from, to)
					}
				}
				if l > same {
					j.Count++
					j.Length += measure.Length(l)
				}
			}
			if a.to <= b.to {
				i++
			} else {
				k++
			}
		}
	}
	return j
}

// sorted orders sides by line and along it. They come nearly in order, row by row: those of a line are put together
// first.
func sorted(sides []side, wide float64) []side {
	if slices.IsSortedFunc(sides, order) {
		return sides
	}
	low, high := sides[0].line, sides[0].line
	for i := range sides {
		low, high = min(low, sides[i].line), max(high, sides[i].line)
	}
	place := func(s *side) int { return whole((s.line - low) / wide) }
	n := whole((high-low)/wide) + 1
	if n > len(sides) {
		sides = slices.Clone(sides)
		slices.SortFunc(sides, order)
		return sides
	}
	by := count(n, func(put func(int, int32)) {
		for i := range sides {
			put(place(&sides[i]), int32(i))
		}
	})
	out := make([]side, len(sides))
	for i, v := range by.items {
		out[i] = sides[v]
	}
	for i := range n {
		if one := out[by.from[i]:by.from[i+1]]; !slices.IsSortedFunc(one, order) {
			slices.SortFunc(one, order)
		}
	}
	return out
}

func order(a, b side) int {
	switch {
	case a.line < b.line:
		return -1
	case a.line > b.line:
		return 1
	case a.from < b.from:
		return -1
	case a.from > b.from:
		return 1
	}
	return 0
}
