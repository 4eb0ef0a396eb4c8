// Package bond holds fields of units: the grid of slabs, rows by columns with gaps between them, and the field of units
// laid in a bond (stack, running, herringbone, basket weave) inside an outline, with what is whole, cut and lost, the
// joints, the units to buy where offcuts are used again, and a search for the best start.
package bond
