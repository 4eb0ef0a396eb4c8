package bond

import (
	"cmp"
	"slices"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// Search tells what was tried for a field without a fixed start or direction. The field with the fewest units to buy
// is taken; of those the one with the fewest cut units under the least piece, if there is such a rule; then the one
// with the fewest cut units; then the first.
//
// Directions: the first straight side of the field's first loop, then its other straight sides from the longest, each
// direction once, either way being one; at most 4. A field without a straight side is laid along +x.
//
// Starts, for each direction, in the frame of the units: a unit flush with the least and with the greatest
// coordinate, a unit in the middle, a joint in the middle, and steps from the flush one (quarters of a unit along and
// half a unit across in stack and running bond; one width at a time along in herringbone, at most 8; one square along
// in basket weave), every place along with every place across. Herringbone at 45 degrees starts instead with the
// corner of a unit in the first 8 corners and the middles of the first 8 edges of the first loop, and from each half a
// module along.
//
// The work is counted in clipped units, 16 units that need no clipping counting as one. When it is spent the best so
// far is taken; the first start is always tried.
type Search struct {
	Tried      int             // starts, of all directions
	Directions []measure.Angle // those tried
	Work       int             // clipped units
	Stopped    bool            // the work was spent before all were tried
	First      Try             // the first start
	Best       Try             // the one taken
}

// Try is the count from one start.
type Try struct {
	Start             outline.Point
	Direction         measure.Angle
	Whole, Cut, Under int
	Units             int // to buy
}

const (
	usualWork      = 50_000
	visits         = 16 // units without clipping that count as a clipped one
	mostDirections = 4
	mostCorners    = 8
)

// search finds the start and the direction.
func (j *job) search() (outline.Point, measure.Angle, Search, error) {
	var s Search
	if j.spec.Start != nil && j.spec.Direction != nil {
		return *j.spec.Start, *j.spec.Direction, s, nil
	}
	work := cmp.Or(j.spec.Work, usualWork)
	found := false
	for _, d := range j.directions() {
		if s.Stopped {
			break
		}
		origin := j.origin()
		fr := newFrame(origin, j.along(d))
		g, err := j.ground(&fr)
		if err != nil {
			return origin, d, s, err
		}
		s.Directions = append(s.Directions, d)
		if g == nil {
			return origin, d, s, nil
		}
		for _, at := range j.starts(g, &fr) {
			if found && s.Work >= work {
				s.Stopped = true
				break
			}
			// In the frame that lays it, so that a tie seen through rounding is the same again.
			start := origin
			if at != (place{}) {
				start = fr.out(at.x, at.y)
			}
			own := newFrame(start, j.along(d))
			g, err := j.ground(&own)
			if err != nil {
				return start, d, s, err
			}
			t := j.tally(g, nil)
			s.Tried++
			s.Work += t.clipped + t.visited/visits
			try := Try{start, d, t.whole, t.cut, t.under, j.buy(&t, false).Units}
			if !found {
				s.First, s.Best, found = try, try, true
			} else if try.better(s.Best) {
				s.Best = try
			}
		}
	}
	return s.Best.Start, s.Best.Direction, s, nil
}

func (t Try) better(u Try) bool {
	return cmp.Or(cmp.Compare(t.Units, u.Units), cmp.Compare(t.Under, u.Under), cmp.Compare(t.Cut, u.Cut)) < 0
}

// origin is the fixed start, or the first point of the field.
func (j *job) origin() outline.Point {
	if j.spec.Start != nil {
		return *j.spec.Start
	}
	for _, l := range j.field {
		if usable(l) {
			return l[0].From
		}
	}
	return outline.Point{}
}

// directions lists the directions to be tried.
func (j *job) directions() []measure.Angle {
	if j.spec.Direction != nil {
		return []measure.Angle{*j.spec.Direction}
	}
	var sides []outline.Edge
	for _, l := range j.field {
		if !usable(l) {
			continue
		}
		for _, e := range l {
			if e.Straight() && e.Length() > same {
				sides = append(sides, e)
			}
		}
		break
	}
	if len(sides) == 0 {
		return []measure.Angle{0}
	}
	// Lengths that differ by rounding only must not change the order.
	grain := sides[0].Length() / 1e6
	slices.SortStableFunc(sides[1:], func(a, b outline.Edge) int {
		return cmp.Compare(whole(b.Length().In(grain)+0.5), whole(a.Length().In(grain)+0.5))
	})
	var list []measure.Angle
	var taken []outline.Edge
	for _, e := range sides {
		if len(list) == mostDirections {
			break
		}
		if !slices.ContainsFunc(taken, func(t outline.Edge) bool { return parallel(t, e) }) {
			taken = append(taken, e)
			list = append(list, e.Heading(0))
		}
	}
	return list
}

func parallel(a, b outline.Edge) bool {
	c := cross(float64(a.To.X-a.From.X), float64(a.To.Y-a.From.Y), float64(b.To.X-b.From.X), float64(b.To.Y-b.From.Y))
	off := 1e-6 * (float64(a.Length()) * float64(b.Length()))
	return -off <= c && c <= off
}

// place is a place in the frame of the pattern.
type place struct{ x, y float64 }

// starts lists the starts to be tried in a frame.
func (j *job) starts(g *ground, fr *frame) []place {
	p := j.pattern
	if j.spec.Start != nil {
		return []place{{}}
	}
	if j.spec.Bond == Herringbone45 {
		return j.corners(fr)
	}
	x := []float64{g.x0, g.x1 - p.length, (g.x0 + g.x1 - p.length) / 2, (g.x0 + g.x1 + p.ends) / 2}
	y := []float64{g.y0, g.y1 - p.width, (g.y0 + g.y1 - p.width) / 2, (g.y0 + g.y1 + p.sides) / 2}
	switch j.spec.Bond {
	case Herringbone90:
		for i := 1; i < min(2*p.times, 8); i++ {
			x = append(x, g.x0+float64(float64(i)*p.wide))
		}
	case BasketWeave:
		x = append(x, g.x0+p.long)
	default:
		for i := 1; i < 4; i++ {
			x = append(x, g.x0+float64(float64(i)*(p.long/4)))
		}
		y = append(y, g.y0+p.wide/2)
	}
	list := make([]place, 0, len(x)*len(y))
	for _, a := range x {
		for _, b := range y {
			list = append(list, place{a, b})
		}
	}
	return list
}

// corners lists starts in the corners and the middles of edges.
func (j *job) corners(fr *frame) (list []place) {
	for _, l := range j.field {
		if !usable(l) {
			continue
		}
		for i := range min(len(l), mostCorners) {
			for _, t := range [2]measure.Factor{0, 0.5} {
				x, y := fr.in(l[i].Point(t))
				list = append(list, place{x, y}, place{x + j.pattern.wide/2, y})
			}
		}
		break
	}
	return list
}
