package earth

import (
	"errors"
	"fmt"
	"math"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// same is the distance in metres below which two places, or two levels, are one.
const same = 1e-9

// farthest is the greatest coordinate and level in metres, as for outlines.
const farthest = 1e6

// Spot is a spot level: how far the ground at a place stands above the level string, negative below it.
type Spot struct {
	At    outline.Point
	Level measure.Length
}

func (s Spot) place() vec { return vec{float64(s.At.X), float64(s.At.Y)} }

// ErrNoSpots tells that there is no spot level to make ground of.
var ErrNoSpots = errors.New("no spot levels")

// SpotNumberError tells of a spot whose place or level is not finite or farther out than 1e6 m.
type SpotNumberError struct{ Spot int }

func (e *SpotNumberError) Error() string {
	return fmt.Sprintf("spot level %d has a number that is not finite or beyond 1000 km", e.Spot)
}

// SpotConflictError tells that two spots are in one place, to 1e-9 m, but their levels differ. I is the first.
type SpotConflictError struct{ I, J int }

func (e *SpotConflictError) Error() string {
	return fmt.Sprintf("spot levels %d and %d are in one place but differ", e.I, e.J)
}

// merged checks spots and leaves one of those in one place.
func merged(spots []Spot) ([]Spot, error) {
	if len(spots) == 0 {
		return nil, ErrNoSpots
	}
	var faults []error
	var kept []Spot
	var number []int // of the spots kept
next:
	for j, s := range spots {
		for _, v := range [3]measure.Length{s.At.X, s.At.Y, s.Level} {
			if !(math.Abs(float64(v)) <= farthest) {
				faults = append(faults, &SpotNumberError{j})
				continue next
			}
		}
		for k, t := range kept {
			if s.place().near(t.place()) {
				if math.Abs(float64(s.Level-t.Level)) > same {
					faults = append(faults, &SpotConflictError{number[k], j})
				}
				continue next
			}
		}
		kept, number = append(kept, s), append(number, j)
	}
	return kept, errors.Join(faults...)
}
