package fabric

import (
	"errors"
	"fmt"
	"math"

	"bedline/estimate/measure"
)

// Roll is the material as bought and how it is laid.
type Roll struct {
	Width, Length measure.Length
	Lap           measure.Length // of neighbouring strips, and of the pieces of a strip that is longer than a roll
	Upturn        measure.Length // turned up or tucked in all round, beyond the ground
}

// Field names a number in an error.
type Field uint8

const (
	RollWidth Field = iota
	RollLength
	Lap
	Upturn
	PinSpacing
)

var fieldNames = [...]string{"roll width", "roll length", "lap", "upturn", "pin spacing"}

func (f Field) String() string { return fieldNames[f] }

// NumberError is a number that makes no sense: a roll without size, or a negative lap, upturn or spacing.
type NumberError struct {
	Field Field
	Value measure.Length
}

func (e *NumberError) Error() string {
	return fmt.Sprintf("%v is out of range: %g m", e.Field, float64(e.Value))
}

// LapError is a lap that leaves nothing of a roll's width or length.
type LapError struct {
	Lap  measure.Length
	Of   Field // RollWidth or RollLength
	Size measure.Length
}

func (e *LapError) Error() string {
	return fmt.Sprintf("a lap of %g m leaves nothing of a %v of %g m", float64(e.Lap), e.Of, float64(e.Size))
}

// PiecesError is ground so large for the roll, or a lap so near its size, that about so many pieces would be needed:
// more than MostPieces.
type PiecesError struct{ Pieces int }

func (e *PiecesError) Error() string {
	return fmt.Sprintf("about %d pieces of fabric would be needed, at most %d are laid out", e.Pieces, MostPieces)
}

// check gives all faults of the numbers, joined.
func (r Roll) check(pins measure.Length) error {
	var faults []error
	for _, n := range []struct {
		field Field
		value measure.Length
		zero  bool
	}{{RollWidth, r.Width, false}, {RollLength, r.Length, false}, {Lap, r.Lap, true}, {Upturn, r.Upturn, true},
		{PinSpacing, pins, true}} {
		if !(n.value > 0 || n.zero && n.value == 0) || math.IsInf(float64(n.value), 0) {
			faults = append(faults, &NumberError{Field: n.field, Value: n.value})
		}
	}
	if len(faults) > 0 {
		return errors.Join(faults...)
	}
	if r.Lap >= r.Width {
		faults = append(faults, &LapError{Lap: r.Lap, Of: RollWidth, Size: r.Width})
	}
	if r.Lap >= r.Length {
		faults = append(faults, &LapError{Lap: r.Lap, Of: RollLength, Size: r.Length})
	}
	return errors.Join(faults...)
}

// pieces cuts a strip from rolls: whole rolls and a rest, each join taking one lap.
func (r Roll) pieces(strip measure.Length) []measure.Length {
	n := max(1, measure.RoundUp((strip - r.Lap).In(r.Length-r.Lap)))
	cut := make([]measure.Length, n)
	for i := range n - 1 {
		cut[i] = r.Length
	}
	cut[n-1] = min(r.Length, strip-(r.Length-r.Lap).Scale(measure.Factor(n-1)))
	return cut
}
