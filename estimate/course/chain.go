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

// EndKind tells how a run ends.
type EndKind uint8

const (
	Free    EndKind = iota // open end, square
	Tangent                // the next run goes on in the same direction
	Through                // at a right corner: measured to the bed line, the other run ends against it
	Short                  // at a right corner: ends one course width and one joint before the bed line
	Long                   // at a right reflex corner: goes on for one course width and fills the corner
	Mitred                 // measured to the bed line and cut at half the turn
)

// End is one end of a run. Turn is the change of direction of the bed line there, counter-clockwise with the inside
// on the left: positive at a corner that stands out, negative at a reflex corner.
type End struct {
	Kind EndKind
	Turn measure.Angle
}

// chain is the edged part of an outline in counter-clockwise order.
type chain struct {
	elements []outline.Element
	edged    []bool
	ends     [][2]End // at From and To of each element
	down     bool     // the numbers of the request fall along the chain
}

// newChain finds out which elements are edged and how they meet.
func newChain(o *outline.Outline, sides, corners []int) (*chain, error) {
	c := &chain{}
	for _, e := range o.Elements() {
		if e.Length() > pointLike {
			c.elements = append(c.elements, e)
		}
	}
	n := o.Sides()
	side := make([]bool, n)
	var faults []error
	for i, s := range sides {
		switch {
		case s < 0 || s >= n:
			faults = append(faults, &UnknownSideError{Index: i, Side: s, Count: n})
		case side[s]:
			faults = append(faults, &RepeatedSideError{Index: i, Side: s})
		default:
			side[s] = true
		}
	}
	if sides == nil {
		for s := range side {
			side[s] = true
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
			c.edged[i] = side[e.Corner%n] && side[(e.Corner+n-1)%n] || slices.Contains(corners, e.Corner)
		}
	}
	c.down = o.Reversed()
	c.meet()
	return c, nil
}

// closed tells whether the course runs all the way round.
func (c *chain) closed() bool { return len(c.edged) > 0 && !slices.Contains(c.edged, false) }

// meet settles the ends of all edged elements.
func (c *chain) meet() {
	n := len(c.elements)
	c.ends = make([][2]End, n)
	for i, e := range c.elements {
		k := (i + 1) % n
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
		first, second := endKinds(turn, e, f)
		c.ends[i][1] = End{Kind: first, Turn: turn}
		c.ends[k][0] = End{Kind: second, Turn: turn}
	}
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

// endKinds are the ends of e and f where the bed line turns from e into f. The lower-numbered side runs through.
func endKinds(turn measure.Angle, e, f outline.Element) (EndKind, EndKind) {
	bend := max(turn, -turn)
	sides := e.Side >= 0 && f.Side >= 0
	switch {
	case bend <= tangentWithin:
		return Tangent, Tangent
	case !sides || max(bend-measure.Pi/2, measure.Pi/2-bend) > rightWithin+angleGuard:
		return Mitred, Mitred
	}
	second := Short
	if turn < 0 {
		second = Long
	}
	if e.Side < f.Side {
		return Through, second
	}
	return second, Through
}

// order gives the indices of the elements in the order of the request, from the lowest-numbered side on.
func (c *chain) order() []int {
	n := len(c.elements)
	first := 0
	rank := func(i int) int {
		e := c.elements[i]
		if e.Side >= 0 {
			return e.Side
		}
		return e.Corner + 1<<32 // corners only where there is no side at all
	}
	for i := range c.elements {
		if rank(i) < rank(first) {
			first = i
		}
	}
	step := 1
	if c.down {
		step = n - 1
	}
	order := make([]int, n)
	for i := range order {
		order[i] = (first + i*step) % n
	}
	return order
}
