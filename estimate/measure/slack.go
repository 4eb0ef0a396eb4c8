package measure

import "math"

// Slack is t - sin t without the loss of digits at small angles: a segment of a circle of radius r over the angle t has
// the area r^2 Slack(t) / 2.
func Slack(angle Angle) float64 {
	t := float64(angle)
	if math.Abs(t) > 0.25 {
		return t - Sin(angle)
	}
	s := float64(t * t)
	// Taylor series; the term left out is below 1e-17 of the sum at 0.25.
	sum := 1 - float64(s/156)
	sum = 1 - float64(float64(s/110)*sum)
	sum = 1 - float64(float64(s/72)*sum)
	sum = 1 - float64(float64(s/42)*sum)
	sum = 1 - float64(float64(s/20)*sum)
	return t * s / 6 * sum
}
