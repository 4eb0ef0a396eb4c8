package supply

import "math"

// Chance is a share of all cases, 0 to 1.
type Chance float64

// upper is the chance that a standard normal value is above z. It is worked out from products and sums alone, so that it
// is the same to the bit on every machine: 1/2 - phi(z) (z + z^3/3 + z^5/(3 5) + ...), phi the density of the normal
// distribution. The absolute error is below 1e-14.
func upper(z float64) Chance {
	const far = 8 // beyond it the chance is below 1e-15
	switch {
	case z >= far:
		return 0
	case z <= -far:
		return 1
	}
	square := float64(z * z)
	sum, part := z, z
	for n := 3.0; math.Abs(part) > float64(1e-17*math.Abs(sum)); n += 2 {
		part = float64(part*square) / n
		sum += part
	}
	return Chance(min(1, max(0, 0.5-float64(fall(square/2)*sum)/rootTwoPi)))
}

const rootTwoPi = 2.5066282746310002

// density is that of the standard normal distribution at z.
func density(z float64) float64 {
	if z*z > 400 {
		return 0
	}
	return fall(float64(z*z)/2) / rootTwoPi
}

// fall is e to the power of -t, for t from 0 to some hundreds: by its series for a small part of t, squared again and again.
func fall(t float64) float64 {
	halvings := 0
	for ; t > 1.0/64; halvings++ {
		t /= 2
	}
	sum, part := 1.0, 1.0
	for n := 1.0; n <= 10; n++ {
		part = float64(part*-t) / n
		sum += part
	}
	for range halvings {
		sum = float64(sum * sum)
	}
	return sum
}

// Quantile is the standard normal value that a value exceeds with the chance 1-c, between -8 and 8.
func Quantile(c Chance) float64 {
	low, high := -8.0, 8.0
	for range 60 {
		middle := (low + high) / 2
		if upper(middle) > 1-c {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}

// Above is the chance that a standard normal value is above z.
func Above(z float64) Chance { return upper(z) }

// Loss is by how much a standard normal value is above z on average, nothing where it is below: the unit normal loss.
func Loss(z float64) float64 { return max(0, density(z)-float64(z*float64(upper(z)))) }
