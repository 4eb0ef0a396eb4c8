package course

import (
	"math"

	"bedline/estimate/measure"
)

// lot is what one run takes.
type lot struct {
	full    int     // units of their full length along the line
	closers int     // 0, 1 or 2 units cut to length
	closer  float64 // length of each closer along the line
	joints  int     // joints inside the run
	joint   float64 // width of each
}

func (t lot) units() int { return t.full + t.closers }

// straight lays a straight run: full = floor((R + j)/(L + j)), a closer for what is left after full (L + j), or joints
// that take up the difference when nothing is. There is no joint at the two ends.
func straight(run, along, joint, least float64) lot {
	step := along + joint
	if measure.RoundUp(run/step) <= 0 {
		return lot{}
	}
	t := lot{full: measure.RoundDown((run + joint) / step), joint: joint}
	if measure.RoundUp(run/step) > t.full {
		t.close(run-float64(float64(t.full)*step), along, least)
	}
	t.joints = t.units() - 1
	if t.closers == 0 && t.joints > 0 {
		t.joint = math.Max(0, (run-float64(float64(t.full)*along))/float64(t.joints))
	}
	return t
}

// close adds a closer of the length left. One shorter than the least piece shares with the last full unit: two
// closers of the mean length.
func (t *lot) close(left, along, least float64) {
	t.closers, t.closer = 1, left
	if t.full > 0 && measure.RoundUp(left/along) <= 0 || t.full > 0 && less(left, least) {
		t.full, t.closers, t.closer = t.full-1, 2, (along+left)/2
	}
}

// less tells whether a is below b by more than rounding error of the arithmetic.
func less(a, b float64) bool { return a < b-float64(1e-9*math.Abs(b)) }
