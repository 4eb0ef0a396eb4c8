// Package outline holds plane outlines as exact chains of straight lines and circular arcs.
//
// One coordinate system serves a whole job: x to the right, y up, in metres. An Outline keeps the numbers that the
// request gave its sides, whichever way round its points ran; inside, its chain always runs counter-clockwise, so the
// enclosed ground is on the left of every element. Arcs stay arcs: areas, lengths and overlays are closed forms of
// lines and arcs, nothing is flattened to chords.
//
// Points nearer than 1e-9 m are one. Coordinates and radii of outlines reach to 1e6 m, where a float64 still tells
// such points apart.
package outline
