package fabric

import "bedline/estimate/measure"

// Rolls is the number of rolls of a length from which the pieces of several layouts can be cut together, and whether
// it is proved to be the least. A piece is not longer than a roll.
func Rolls(pieces []measure.Length, roll measure.Length) (least int, proved bool) {
	if len(pieces) == 0 {
		return 0, true
	}
	return rolls(pieces, roll)
}
