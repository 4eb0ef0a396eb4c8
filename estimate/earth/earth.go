// Package earth holds the digging of a job: which of several overlapping diggings counts, the existing ground between
// spot levels, the cut and the fill down or up to a formation with fall, and what the spoil comes to.
package earth

import "bedline/estimate/measure"

// None says that no digging covers a place.
const None = -1

// Cut is what one digging comes to: the plan area that is charged to it, and the bank volume of it.
type Cut struct {
	Area   measure.Area
	Volume measure.Volume
}

// Add charges ground dug to a depth to the cut.
func (c *Cut) Add(area measure.Area, depth measure.Length) {
	c.Area += area
	c.Volume += area.AtDepth(depth)
}

// Deeper tells that a is deeper than b by more than the rounding error of sums that are equal on paper.
func Deeper(a, b measure.Length) bool { return a > b+b.Scale(1e-9) }

// Deepest is the digging that counts where several cover a place: the deepest, and of equally deep ones the first.
// Diggings of no depth do not count. covers tells which diggings cover the place.
func Deepest(depths []measure.Length, covers func(i int) bool) int {
	best := None
	for i, depth := range depths {
		if depth > 0 && (best == None || Deeper(depth, depths[best])) && covers(i) {
			best = i
		}
	}
	return best
}

// Spoil is dug ground on the heap.
type Spoil struct {
	Bank  measure.Volume
	Loose measure.Volume
	Mass  measure.Mass
}

// Heap is what the bank volume becomes: loose by the swell factor of the soil (above 1), weighed at its bank density.
func Heap(bank measure.Volume, swell measure.Factor, density measure.Density) Spoil {
	return Spoil{Bank: bank, Loose: bank.Scale(swell), Mass: bank.Weigh(density)}
}
