//go:build geos

package geos

import (
	"math"

	"bedline/estimate/outline"
)

// chord is the turn of the chords that stand for arcs.
const chord = 2 * math.Pi / 1440

// Polygon is a shell and holes, each a ring of places, the first not given again.
type Polygon [][][2]float64

// Chord is a straight that stands for a stretch of arc: the ground between the two, and by how much the arc is longer.
type Chord struct {
	Low, High     [2]float64 // bounds of the stretch of arc
	Area, Shorter float64
}

// Flat is a region with chords in the place of arcs: the first loop is the shell, the others are holes. Chords lie at
// most r d^2/8 inside their arcs.
func Flat(r outline.Region) (Polygon, []Chord) {
	var p Polygon
	var chords []Chord
	for _, l := range r {
		var ring [][2]float64
		for _, e := range l {
			from := [2]float64{float64(e.From.X), float64(e.From.Y)}
			ring = append(ring, from)
			if e.Turn == 0 {
				continue
			}
			radius, turn := float64(e.Radius), float64(e.Turn)
			n := int(math.Ceil(math.Abs(turn) / chord))
			t := math.Abs(turn) / float64(n)
			start := math.Atan2(from[1]-float64(e.Centre.Y), from[0]-float64(e.Centre.X))
			before := from
			for k := 1; k <= n; k++ {
				sin, cos := math.Sincos(start + turn*float64(k)/float64(n))
				next := [2]float64{float64(e.Centre.X) + radius*cos, float64(e.Centre.Y) + radius*sin}
				if k < n {
					ring = append(ring, next)
				}
				// Circular segment r^2 (t - sin t)/2 and chord 2 r sin(t/2), for small t by their series, rounded up.
				away := radius * t * t / 8
				chords = append(chords, Chord{
					Low:  [2]float64{min(before[0], next[0]) - away, min(before[1], next[1]) - away},
					High: [2]float64{max(before[0], next[0]) + away, max(before[1], next[1]) + away},
					Area: radius * radius * t * t * t / 12, Shorter: radius * t * t * t / 24,
				})
				before = next
			}
		}
		p = append(p, ring)
	}
	return p, chords
}

// Off is by how much area and length can differ at most between a region and its chords.
func Off(chords []Chord) (area, length float64) {
	for i := range chords {
		area += chords[i].Area
		length += chords[i].Shorter
	}
	return area, length
}

// OffWithin is the same for the area within a rectangle.
func OffWithin(chords []Chord, low, high [2]float64) (area float64) {
	for i := range chords {
		if c := &chords[i]; c.Low[0] <= high[0] && c.High[0] >= low[0] && c.Low[1] <= high[1] && c.High[1] >= low[1] {
			area += c.Area
		}
	}
	return area
}
