package estimate

import (
	"bedline/estimate/document"
)

// maxClimb is the steepest way that a haul may take, in per cent; the contract states the same.
const maxClimb = 50

// ways reads how spoil gets out and materials in. Without more being said materials come in the way that the spoil goes
// out, which climbs one way as it falls the other.
func (b *jobReader) ways(r document.Reader, g *Ground) {
	g.HaulIn = g.Haul
	if climb, ok := r.Number("haul_slope_percent", document.Optional, -maxClimb, maxClimb); ok {
		g.Climb, g.ClimbIn = climb/100, -climb/100
	}
	if in, ok := r.Length("haul_in", document.Optional, document.NotNegative); ok {
		g.HaulIn = in
	}
	if climb, ok := r.Number("haul_in_slope_percent", document.Optional, -maxClimb, maxClimb); ok {
		g.ClimbIn = climb / 100
	}
	g.Access, _ = r.Length("access", document.Optional, document.Positive)
}
