package earth

import (
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// Formation is the surface that a digging leaves: so far below a finished surface that is level, or falls evenly away
// from the line of a side. Levels count from the level string, which runs at the finished level of that line.
type Formation struct {
	From, To outline.Point  // the line, the ground falling away to the left of it; one point for no fall
	Fall     measure.Factor // of the distance square to the line: 0.02 for 2 percent
	Depth    measure.Length // below the finished surface
}

// Finished is the finished level at a place. To the right of the line it rises as it falls to the left.
func (f Formation) Finished(at outline.Point) measure.Length {
	return measure.Length(f.plane(vec{}, 0).value(vec{float64(at.X), float64(at.Y)}))
}

// Level is the level of the formation at a place.
func (f Formation) Level(at outline.Point) measure.Length { return f.Finished(at) - f.Depth }

// plane is the plane at a depth below the finished surface, places taken from an origin.
func (f Formation) plane(origin vec, depth float64) plane {
	from := vec{float64(f.From.X), float64(f.From.Y)}
	d := vec{float64(f.To.X), float64(f.To.Y)}.minus(from)
	p := plane{at: from.minus(origin), level: -depth}
	if l := d.length(); l > 0 {
		p.gain = d.right().times(float64(f.Fall) / l)
	}
	return p
}

// Earthwork is what lies between the existing ground and a formation, in the ground. Areas are plan areas.
type Earthwork struct {
	Area measure.Area // of all the ground dug; where existing ground is at the formation neither cut nor fill

	Cut     measure.Volume // where the ground is above the formation
	CutArea measure.Area

	Fill     measure.Volume // where it is below; never taken off the cut
	FillArea measure.Area

	Resting measure.Area // of Area, where the level of the ground is not taken between spots (see Cover)

	// No cut and no fill is deeper. Over the parts of the ground that reach into the region, as far as the upright
	// rectangle about it; exact where the region is one.
	CutDepth, FillDepth measure.Length
}

// Plus is both together.
func (w Earthwork) Plus(v Earthwork) Earthwork {
	return Earthwork{
		Area: w.Area + v.Area,
		Cut:  w.Cut + v.Cut, CutArea: w.CutArea + v.CutArea,
		Fill: w.Fill + v.Fill, FillArea: w.FillArea + v.FillArea,
		Resting:  w.Resting + v.Resting,
		CutDepth: max(w.CutDepth, v.CutDepth), FillDepth: max(w.FillDepth, v.FillDepth),
	}
}
