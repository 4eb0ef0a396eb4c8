package outline

import "bedline/estimate/measure"

// Taped is an outline by offsets as it was taped.
type Taped struct {
	At       Point         // where Along counts from
	Rotate   measure.Angle // of the baseline
	Stations []Station
}

// Taped tells how an outline by offsets was taped; nil for any other.
func (o *Outline) Taped() *Taped { return o.taped }

// Corner is the number of the corner at station i: the taped line runs back from the last to the first.
func (t *Taped) Corner(i int) int {
	n := len(t.Stations)
	first, sides := 1, n // the last station, and how many sides there are
	if !zero(t.Stations[n-1].Out) {
		first, sides = 2, n+1
	}
	if !zero(t.Stations[0].Out) {
		sides++
	}
	return (first + n - 1 - i) % sides
}
