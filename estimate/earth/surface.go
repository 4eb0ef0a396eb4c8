package earth

import (
	"math"
	"slices"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// Shape tells how ground is made of its spots.
type Shape uint8

const (
	Flat         Shape = iota // one spot: level everywhere
	Ruled                     // two, or all on one line: straight between neighbours, level square to the line
	Triangulated              // three or more: plane over each triangle of the Delaunay triangulation
)

// Surface is existing ground. It has a level everywhere: outside the hull of its places that of the nearest point of
// the hull. It does not change once made.
type Surface struct {
	shape Shape
	spots []Spot // in order of x and then y; ruled, in order along the line
	added []bool // as spots: joined by Cover

	triangles [][3]int32 // counter-clockwise
	rim       [][2]int32 // the edges of the hull, counter-clockwise; ruled, the stretches of the line
}

// NewSurface is the ground through spot levels, in any order. Spots within 1e-9 m of each other are one; spots within
// 1e-9 m of one line are on it. Of the diagonals of four spots on one circle the choice depends on their places only.
//
// Errors, all that hold joined: ErrNoSpots, *SpotNumberError, *SpotConflictError.
func NewSurface(spots []Spot) (*Surface, error) {
	kept, err := merged(spots)
	if err != nil {
		return nil, err
	}
	return newSurface(kept, make([]bool, len(kept))), nil
}

func newSurface(spots []Spot, added []bool) *Surface {
	s := &Surface{}
	order := make([]int, len(spots))
	for i := range order {
		order[i] = i
	}
	arrange := func(by func(a, b vec) bool) {
		slices.SortStableFunc(order, func(i, j int) int {
			a, b := spots[i].place(), spots[j].place()
			switch {
			case by(a, b):
				return -1
			case by(b, a):
				return 1
			}
			return 0
		})
	}
	arrange(vec.before)
	// The ends of the line, if it is one: by x alone they would not be found on one that is all but upright.
	low := farthestFrom(spots[order[0]].place(), spots)
	high := farthestFrom(low, spots)
	if high.before(low) {
		low, high = high, low
	}
	if len(spots) == 1 {
		s.shape = Flat
	} else if onLine(spots, low, high) {
		s.shape = Ruled
		d := high.minus(low)
		arrange(func(a, b vec) bool { return a.minus(low).dot(d) < b.minus(low).dot(d) })
	} else {
		s.shape = Triangulated
	}
	places := make([]vec, len(order))
	for i, o := range order {
		s.spots, s.added = append(s.spots, spots[o]), append(s.added, added[o])
		places[i] = spots[o].place()
	}
	switch s.shape {
	case Ruled:
		for i := range int32(len(places) - 1) {
			s.rim = append(s.rim, [2]int32{i, i + 1})
		}
	case Triangulated:
		m := triangulate(places)
		for t, kept := range m.trim() {
			if kept {
				s.triangles = append(s.triangles, [3]int32(m.from[3*t:3*t+3]))
			}
		}
		for v, start := int32(0), int32(0); ; { // the first place is on the hull
			to := m.to(m.rim[v])
			s.rim = append(s.rim, [2]int32{v, to})
			if v = to; v == start {
				break
			}
		}
	}
	return s
}

func farthestFrom(p vec, spots []Spot) (farthest vec) {
	best := -1.0
	for _, s := range spots {
		v := s.place()
		if d := v.minus(p).length(); d > best || d == best && v.before(farthest) {
			best, farthest = d, v
		}
	}
	return farthest
}

func onLine(spots []Spot, low, high vec) bool {
	d := high.minus(low)
	tolerance := float64(same * d.length())
	for _, s := range spots {
		if math.Abs(d.cross(s.place().minus(low))) > tolerance {
			return false
		}
	}
	return true
}

// Shape tells how the ground is made of its spots.
func (s *Surface) Shape() Shape { return s.shape }

// Joined are the places that Cover joined to the surface, with the levels that they took, in order of x and then y.
func (s *Surface) Joined() []Spot {
	var joined []Spot
	for i, added := range s.added {
		if added {
			joined = append(joined, s.spots[i])
		}
	}
	return joined
}

// Level is the level of the ground at a place.
func (s *Surface) Level(at outline.Point) measure.Length {
	p := vec{float64(at.X), float64(at.Y)}
	best, level := math.Inf(-1), 0.0
	for _, t := range s.triangles {
		a, b, c := s.place(t[0]), s.place(t[1]), s.place(t[2])
		ab, bc, ca := b.minus(a).cross(p.minus(a)), c.minus(b).cross(p.minus(b)), a.minus(c).cross(p.minus(c))
		whole := ab + bc + ca
		if whole <= 0 {
			continue
		}
		ab, bc, ca = ab/whole, bc/whole, ca/whole
		if inside := min(ab, bc, ca); inside > best {
			best = inside
			level = float64(ab*s.level(t[2])) + float64(bc*s.level(t[0])) + float64(ca*s.level(t[1]))
		}
	}
	if best >= 0 {
		return measure.Length(level)
	}
	level, _ = s.nearest(p)
	return measure.Length(level)
}

// Cover joins the corners of outlines to the ground where they lie outside the hull of its spots: each takes the level
// of the nearest point of the hull. Corners are the places where two sides or corner arcs meet; whole circles have
// none. An arc may still reach out of the hull; the ground there keeps the level of the nearest point of the new hull.
// Flat and ruled ground has no hull to be outside of and stays as it is.
//
// rests is the share of the outlines' ground whose level is not taken between spots: that of triangles with a corner
// that was joined, and that outside the hull; of ruled ground, that beyond the ends of the line; of flat ground none.
func (s *Surface) Cover(outlines ...*outline.Outline) (covered *Surface, rests measure.Factor) {
	covered = s
	if s.shape == Triangulated {
		covered = s.join(outlines)
	}
	var area, resting measure.Area
	for _, o := range outlines {
		w := covered.Earthwork(o.Region(), Formation{})
		area, resting = area+w.Area, resting+w.Resting
	}
	if area <= 0 {
		return covered, 0
	}
	return covered, measure.Factor(min(1, max(0, float64(resting)/float64(area))))
}

func (s *Surface) join(outlines []*outline.Outline) *Surface {
	spots, added := slices.Clone(s.spots), slices.Clone(s.added)
	for _, o := range outlines {
	next:
		for _, e := range o.Elements() {
			if e.From == e.To {
				continue // a whole circle
			}
			corner := Spot{At: e.From}
			p := corner.place()
			level, outside := s.nearest(p)
			if !outside {
				continue
			}
			for _, t := range spots[len(s.spots):] {
				if p.near(t.place()) {
					continue next
				}
			}
			corner.Level = measure.Length(level)
			spots, added = append(spots, corner), append(added, true)
		}
	}
	if len(spots) == len(s.spots) {
		return s
	}
	return newSurface(spots, added)
}

// nearest is the level at the nearest point of the hull or of the line, and whether p lies outside the hull by more
// than rounding.
func (s *Surface) nearest(p vec) (level float64, outside bool) {
	if s.shape == Flat {
		return s.level(0), false
	}
	best := math.Inf(1)
	right := false
	for _, e := range s.rim {
		a, b := s.place(e[0]), s.place(e[1])
		d := b.minus(a)
		t := min(1, max(0, p.minus(a).dot(d)/d.dot(d)))
		if !(t >= 0) { // two places on the line in one station
			t = 0
		}
		if l := p.minus(between(a, b, t)).length(); l < best {
			best, level = l, spread(s.level(e[0]), s.level(e[1]), t)
		}
		right = right || d.cross(p.minus(a)) < 0
	}
	return level, right && best > same
}

func (s *Surface) place(i int32) vec     { return s.spots[i].place() }
func (s *Surface) level(i int32) float64 { return float64(s.spots[i].Level) }
