package calibrate

import (
	"math"

	"bedline/estimate/measure"
)

// Chance is the chance that the centre lies in the interval.
const Chance measure.Factor = 0.9

// Student is the value that a variable of Student's t distribution with so many degrees of freedom, at least 1, stays
// within either way with a chance of 90 in 100. It is good to 12 digits.
func Student(degrees int) measure.Factor {
	// t is the root of the degrees times the tangent of an angle between nothing and a right angle.
	low, high := measure.Angle(0), measure.Pi/2
	for range 64 {
		middle := (low + high) / 2
		if inside(middle, degrees) < float64(Chance) {
			low = middle
		} else {
			high = middle
		}
	}
	return measure.Factor(math.Sqrt(float64(degrees)) * measure.Tan((low+high)/2))
}

// inside is the chance that |t| is at most the root of n times the tangent of an angle (Abramowitz and Stegun, 26.7.3 and
// 26.7.4).
func inside(angle measure.Angle, n int) float64 {
	sin, cos := measure.Sin(angle), measure.Cos(angle)
	square := float64(cos * cos)
	if n%2 == 0 {
		term, sum := 1.0, 1.0
		for i := 2; i <= n-2; i += 2 {
			term = float64(term*square) * (float64(i-1) / float64(i))
			sum += term
		}
		return float64(sin * sum)
	}
	sum := 0.0
	if n > 1 {
		term := cos
		sum = term
		for i := 3; i <= n-2; i += 2 {
			term = float64(term*square) * (float64(i-1) / float64(i))
			sum += term
		}
	}
	return float64(2/math.Pi) * (float64(angle) + float64(sin*sum))
}
