package course

import (
	"errors"
	"slices"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

const (
	// rightWithin is how far a corner may be from 90 degrees to be butted.
	rightWithin = 2 * measure.Pi / 180

	// tangentWithin is the change of direction that counts as none: taped arcs meet their straights no better.
	tangentWithin = 0.1 * measure.Pi / 180

	// cuspWithin is how near to a half turn the line runs back along itself: rounding error of directions.
	cuspWithin measure.Angle = 1e-7

	// angleGuard is rounding error of an angle.
	angleGuard measure.Angle = 1e-9

	// pointLike is the length of an edge that isn't there.
	pointLike = 1e-9
)

// chain is the edged part of an outline: ring by ring, with the course on the left of the elements.
type chain struct {
	elements     []outline.Element
	next, before []int    // neighbours in the ring
	down         []bool   // by element: the numbers of the request fall along its ring
	rings        [][2]int // first element of a ring and the one after its last
	edged        []bool
	ends         [][2]End // at From and To of each element
}

// addRing adds the line of a ring, turned round where the course lies on the other side.
func (c *chain) addRing(r *outline.Ring, face Face) {
	first := len(c.elements)
	down := r.Falling
	for i := range r.Elements {
		e := r.Elements[i]
		if face == FaceOutside {
			e = r.Elements[len(r.Elements)-1-i]
			e.Edge = e.Reverse()
		}
		if e.Length() > pointLike {
			c.elements = append(c.elements, e)
		}
	}
	if face == FaceOutside {
		down = !down
	}
	n := len(c.elements) - first
	for i := range n {
		c.next = append(c.next, first+(i+1)%n)
		c.before = append(c.before, first+(i+n-1)%n)
		c.down = append(c.down, down)
	}
	c.rings = append(c.rings, [2]int{first, first + n})
}

// newChain finds out which elements are edged and how they meet.
func newChain(o *outline.Outline, s Spec) (*chain, error) {
	c := &chain{}
	rings := o.Rings()
	for i := range rings {
		c.addRing(&rings[i], s.Face)
	}
	sides, corners := s.Sides, s.Corners
	n := o.Sides()
	side := make([]bool, n)
	var faults []error
	for i, k := range sides {
		switch {
		case k < 0 || k >= n:
			faults = append(faults, &UnknownSideError{Index: i, Side: k, Count: n})
		case side[k]:
			faults = append(faults, &RepeatedSideError{Index: i, Side: k})
		default:
			side[k] = true
		}
	}
	if sides == nil {
		for k := range side {
			side[k] = true
		}
	}
	for i, k := range corners {
		switch {
		case !slices.ContainsFunc(c.elements, func(e outline.Element) bool { return k >= 0 && e.Corner == k }):
			faults = append(faults, &UnknownCornerError{Index: i, Corner: k})
		case slices.Contains(corners[:i], k):
			faults = append(faults, &RepeatedCornerError{Index: i, Corner: k})
		}
	}
	if len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	c.edged = make([]bool, len(c.elements))
	for i, e := range c.elements {
		switch {
		case e.Side >= 0:
			c.edged[i] = side[e.Side]
		case e.Corner >= 0:
			a, b, _ := o.Neighbours(e.Corner)
			c.edged[i] = side[a] && side[b] || slices.Contains(corners, e.Corner)
		}
	}
	return c, c.meet(s)
}

// closed tells whether the course runs all the way round every ring.
func (c *chain) closed() bool { return len(c.edged) > 0 && !slices.Contains(c.edged, false) }

// round tells whether element i is a whole circle.
func (c *chain) round(i int) bool { return c.next[i] == i }

// meet settles the ends of all edged elements.
func (c *chain) meet(s Spec) error {
	choices := make(map[int]CornerJoint, len(s.CornerJoints))
	var faults []error
	for i, k := range s.CornerJoints {
		if _, twice := choices[k.Corner]; twice {
			faults = append(faults, &RepeatedJointError{Index: i, Corner: k.Corner})
		}
		choices[k.Corner] = k.Joint
	}
	c.ends = make([][2]End, len(c.elements))
	for i := range c.ends {
		c.ends[i] = [2]End{{Corner: outline.None}, {Corner: outline.None}}
	}
	sharp := make(map[int]bool, len(s.CornerJoints))
	for i, e := range c.elements {
		k := c.next[i]
		if !c.edged[i] || !c.edged[k] {
			continue
		}
		f := c.elements[k]
		in, out := heading(e.Edge, e.To), heading(f.Edge, f.From)
		turn := measure.Atan2(in.cross(out), in.dot(out))
		switch {
		case i == k: // a circle meets itself
			turn = 0
		case max(turn, -turn) > measure.Pi-cuspWithin && bent(e.Edge)+bent(f.Edge) != 0:
			// Back along itself, to the side to which the line bends away: left if the tip stands out.
			turn = measure.Pi
			if bent(e.Edge)+bent(f.Edge) > 0 {
				turn = -turn
			}
		}
		if bend := max(turn, -turn); bend <= tangentWithin {
			c.ends[i][1] = End{Kind: Tangent, Turn: turn, Corner: outline.None}
			c.ends[k][0] = c.ends[i][1]
			continue
		}
		corner, first := f.Side, e.Side < f.Side
		if c.down[i] {
			corner = e.Side
		}
		joint := s.CornerJoint
		if e.Side < 0 || f.Side < 0 {
			corner, joint = outline.None, MitreJoint
		} else if chosen, ok := choices[corner]; ok {
			joint, sharp[corner] = chosen, true
		}
		through, other := s.join(turn, joint)
		through.Corner, other.Corner = corner, corner
		if first {
			c.ends[i][1], c.ends[k][0] = through, other
		} else {
			c.ends[i][1], c.ends[k][0] = other, through
		}
	}
	for i, k := range s.CornerJoints {
		if !sharp[k.Corner] {
			faults = append(faults, &NoCornerError{Index: i, Corner: k.Corner})
		}
	}
	return errors.Join(faults...)
}

// bent is the curvature of an edge, positive to the left.
func bent(e outline.Edge) float64 {
	switch {
	case e.Turn > 0:
		return 1 / float64(e.Radius)
	case e.Turn < 0:
		return -1 / float64(e.Radius)
	}
	return 0
}

// order gives the indices of the elements in the order of the request: ring by ring, from the lowest-numbered side on.
func (c *chain) order() []int {
	rank := func(i int) int {
		e := c.elements[i]
		if e.Side >= 0 {
			return e.Side
		}
		return e.Corner + 1<<32 // corners only where there is no side at all
	}
	order := make([]int, 0, len(c.elements))
	for _, ring := range c.rings {
		first := ring[0]
		for i := ring[0]; i < ring[1]; i++ {
			if rank(i) < rank(first) {
				first = i
			}
		}
		for i, n := first, ring[1]-ring[0]; n > 0; n-- {
			order = append(order, i)
			if c.down[i] {
				i = c.before[i]
			} else {
				i = c.next[i]
			}
		}
	}
	return order
}
