package measure

import "math"

// guard is the share of a count that is taken for rounding error of the arithmetic and not for a need: 1e-9 of the
// count, or of one for counts below one.
const guard = 1e-9

// largest is the greatest count that a round-up gives; far above every limit of the contract.
const largest = 1 << 53

// RoundUp is the least whole number not below x, where an excess of 1e-9 relative (absolute below one) is rounding
// error: 6.000000001 is 6. It is the only way from a measured number to a count of packs or units. NaN gives 0, a
// number beyond 2^53 gives 2^53.
func RoundUp(x float64) int {
	if x > 1 && x < 1<<50 { // nearly every count
		return int(math.Ceil(x - float64(guard*x)))
	}
	return roundUp(x)
}

func roundUp(x float64) int {
	x = bound(x)
	return clamp(math.Ceil(x - float64(guard*max(1, math.Abs(x)))))
}

// RoundDown is the greatest whole number not above x, with the same guard as RoundUp: 5.9999999999 is 6.
func RoundDown(x float64) int {
	x = bound(x)
	return clamp(math.Floor(x + float64(guard*max(1, math.Abs(x)))))
}

// bound keeps infinities from becoming NaN where the guard is taken off.
func bound(x float64) float64 { return max(-2*largest, min(x, 2*largest)) }

func clamp(x float64) int {
	switch {
	case x != x:
		return 0
	case x > largest:
		return largest
	case x < -largest:
		return -largest
	}
	return int(x)
}
