package outline

import "bedline/estimate/measure"

// Point is a place in the plane of the job.
type Point struct{ X, Y measure.Length }

// Edge is a directed straight line or circular arc.
type Edge struct {
	From, To Point

	// Centre and Radius of an arc; the zero values for a straight line.
	Centre Point
	Radius measure.Length

	// Turn is the angle swept about Centre from From to To: positive to the left (counter-clockwise), negative to
	// the right, zero for a straight line, at most a full circle.
	Turn measure.Angle
}

// Straight tells whether the edge is a straight line.
func (e Edge) Straight() bool { return e.Turn == 0 }

// Loop is a closed chain of edges: each starts where the one before ends.
type Loop []Edge

// Region is the set of points about which the loops wind a number of times other than zero. Loops may overlap and
// share edges: several counter-clockwise loops make their union.
type Region []Loop

// None marks an element that is no side, or no corner.
const None = -1

// Element is one edge of an outline under the name that the request gave it: a side, or the arc that rounds a corner.
type Element struct {
	Edge
	Side   int // number of the side, or None
	Corner int // number of the corner that this arc rounds, or None. Corner i lies between side i-1 and side i.
}
