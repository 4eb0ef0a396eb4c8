// Package course lays a course of units along a bed line: how many units, what has to be cut, how many joints, and
// the ground under the course.
//
// The outline is the finished bed line. The course lies inside it, its outer face on the line, or outside it, its inner
// face on the line; along a hole the bed is outside the hole's line. A sailor course has
// the long side of the unit along the line and is as wide as the short side; a soldier course the other way round.
// Every straight and every arc is a run of its own.
//
// Closed forms of plane geometry are used throughout. L, W and T are the long side, short side and thickness of a
// unit, j the joint; for a soldier course L and W change places in the formulas of a run.
package course
