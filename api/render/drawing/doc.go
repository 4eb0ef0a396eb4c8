// Package drawing holds drawings as lines, arcs, fills and words on a sheet of paper, whatever they are then written as:
// SVG here, vectors of a PDF elsewhere. Coordinates are millimetres on paper from the upper left corner, x to the right
// and y down.
//
// Inks and fills are named for what they mark. Each fill has a tone and a pattern of its own, so that it is told from
// its neighbours in grey print and by the colour-blind; the tones are those of Okabe and Ito's palette, lightened.
package drawing
