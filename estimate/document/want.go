package document

import (
	"math"
	"strconv"
	"strings"

	"bedline/estimate/measure"
)

// want is what a value should be, for sentences that begin "must be", and the JSON text of a right one.
type want struct{ what, example string }

var (
	wantObject  = want{"an object", "{}"}
	wantArray   = want{"an array", "[]"}
	wantText    = want{"a text", `"Garage bed"`}
	wantKey     = want{"an identifier of 1 to 64 small letters, digits, _ and -, beginning with a letter or digit", `"garage-bed"`}
	wantBool    = want{"true or false", "true"}
	wantDecimal = want{"a decimal number without exponent, such as 12.50", `"12.50"`}
	wantLength  = want{"a length with its unit, such as 70 in", `"70 in"`}
	wantArea    = want{"an area with its unit, such as 24 ft2", `"24 ft2"`}
	wantVolume  = want{"a volume with its unit, such as 0.5 yd3", `"0.5 yd3"`}
	wantMass    = want{"a mass with its unit, such as 50 lb", `"50 lb"`}
	wantDensity = want{"a density with its unit, such as 100 lb/ft3", `"100 lb/ft3"`}
	wantPoint   = want{"a point: an array of two lengths with their units", `["22 ft", "6 ft 6 in"]`}
)

func wantInt(min, max int) want {
	w := want{example: strconv.Itoa(clamp(1, min, max))}
	switch {
	case max == math.MaxInt && min == math.MinInt:
		w.what = "a whole number"
	case max == math.MaxInt:
		w.what = "a whole number of at least " + strconv.Itoa(min)
	case min == math.MinInt:
		w.what = "a whole number of at most " + strconv.Itoa(max)
	default:
		w.what = "a whole number from " + strconv.Itoa(min) + " to " + strconv.Itoa(max)
	}
	return w
}

func wantNumber(low, high float64) want {
	number := func(x float64) string { return string(measure.AppendNumber(nil, x)) }
	w := want{example: number(math.Min(math.Max(1, low), high))}
	switch {
	case math.IsInf(low, -1) && math.IsInf(high, 1):
		w.what = "a number"
	case math.IsInf(high, 1):
		w.what = "a number of at least " + number(low)
	case math.IsInf(low, -1):
		w.what = "a number of at most " + number(high)
	default:
		w.what = "a number from " + number(low) + " to " + number(high)
	}
	return w
}

// mostChoices is how many choices a sentence lists.
const mostChoices = 16

func wantChoice(choices []string) want {
	if len(choices) == 0 {
		return want{"one of the known words", ""}
	}
	if len(choices) > mostChoices {
		return want{"one of the " + strconv.Itoa(len(choices)) + " known words", strconv.Quote(choices[0])}
	}
	return want{"one of " + strings.Join(choices, ", "), strconv.Quote(choices[0])}
}

// alternatives is "a", "a or b", "a, b or c".
func alternatives(words []string) string {
	last := len(words) - 1
	if last == 0 {
		return words[0]
	}
	return strings.Join(words[:last], ", ") + " or " + words[last]
}

func span(low, high string, same bool) string {
	if same {
		return low
	}
	return low + " to " + high
}

func clamp(n, low, high int) int { return max(low, min(n, high)) }
