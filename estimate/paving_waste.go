package estimate

import (
	"math"

	"bedline/estimate/bond"
	"bedline/estimate/measure"
)

// CustomaryWaste is what crews add to the area of a field without counting: 0.1 for 10 %.
type CustomaryWaste struct {
	Share  measure.Factor
	Source string
}

// customaryWaste is the percentage that is usual for a bond. Common practice: 5 % for rows along a side, 10 % for
// herringbone along a side and basket weave, 15 % where units meet the edges at an angle.
func customaryWaste(area *PavedArea, direction measure.Angle) CustomaryWaste {
	const source = "common practice"
	switch {
	case area.Laying.Bond == bond.Herringbone45 || !alongSome(area, direction):
		return CustomaryWaste{Share: 0.15, Source: source}
	case area.Laying.Bond == bond.Stack || area.Laying.Bond == bond.Running:
		return CustomaryWaste{Share: 0.05, Source: source}
	}
	return CustomaryWaste{Share: 0.10, Source: source}
}

// alongSome tells whether rows run along or square to a straight side, or there is none.
func alongSome(area *PavedArea, direction measure.Angle) bool {
	const near = 1.0 / 90 // a degree, in quarter turns
	any := false
	for i := range area.Outline.Sides() {
		from, to, straight := area.Outline.SideLine(i)
		if !straight {
			continue
		}
		any = true
		turn := measure.Atan2(float64(to.Y-from.Y), float64(to.X-from.X)) - direction
		if quarters := float64(turn) / (float64(measure.Pi) / 2); math.Abs(quarters-math.Round(quarters)) < near {
			return true
		}
	}
	return !any
}

// Waste of a field as it is counted.
func (p *PavingTakeoff) boughtFaces() measure.Area {
	return p.Field.UnitArea().Scale(measure.Factor(p.Field.Bought.Units))
}

// CountedWaste is the face of the units bought for the field over the faces laid, 1 where nothing is laid.
func (p *PavingTakeoff) CountedWaste() measure.Factor { return over(p.boughtFaces(), p.Field.LaidArea) }

// AreaWaste is the face of the units bought for the field over its ground, joints included, 1 where there is none.
func (p *PavingTakeoff) AreaWaste() measure.Factor { return over(p.boughtFaces(), p.Field.Area) }

func over(a, b measure.Area) measure.Factor {
	if b <= 0 {
		return 1
	}
	return measure.Factor(float64(a) / float64(b))
}
