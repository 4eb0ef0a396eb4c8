package estimate

import (
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// PavingTakeoff is one paved area as it is laid.
type PavingTakeoff struct {
	ID        string
	Area      *PavedArea
	DigDepth  measure.Length
	BaseDepth measure.Length // as laid, with what the rounding of the depth adds
	SandDepth measure.Length
}

// paving lays every paved area.
func (t *taker) paving() {}

// pavedGround is the ground of a paved area, and that dug for it.
func (p *PavedArea) pavedGround() (field, dug outline.Region) {
	field = p.Outline.Region()
	return field, field
}
