package earth_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate/earth"
	"bedline/estimate/outline"
)

// By hand: a bed of 4 x 2 m falls 2 % away from its side along y = 0, so that its finished level is -0.04 m at the far
// side and -0.02 m on the mean; dug 0.1 m deep.
func TestItem20FallChangesTheVolumeOnlyAgainstTheLevelsOfTheGround(t *testing.T) {
	t.Parallel()
	bed, err := outline.Rectangle(at(0, 0), 4, 2, 0)
	require.NoError(t, err)
	formation := earth.Formation{From: at(0, 0), To: at(4, 0), Fall: 0.02, Depth: 0.1}
	for _, c := range []struct {
		name      string
		spots     []earth.Spot
		cut, fill float64
	}{
		{"ground at the string: 0.12 m deep on the mean", []earth.Spot{spot(1, 1, 0)}, 8 * 0.12, 0},
		{"ground that falls as the bed: the depth everywhere", []earth.Spot{spot(0, 0, 0), spot(4, 0, 0), spot(0, 2, -0.04), spot(4, 2, -0.04)}, 8 * 0.1, 0},
		{"ground 0.2 m low: all is filled", []earth.Spot{spot(1, 1, -0.2)}, 0, 8 * (0.2 - 0.12)},
		// Formation -0.1 to -0.14, ground -0.12: cut where y > 1, fill where y < 1, each a wedge of 0.02 m over 1 m.
		{"cut and fill are not set off against each other", []earth.Spot{spot(1, 1, -0.12)}, 4 * 1 * 0.02 / 2, 4 * 1 * 0.02 / 2},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			w := surface(t, c.spots...).Earthwork(bed.Region(), formation)
			assert.InDelta(t, 8, float64(w.Area), 1e-12)
			assert.InDelta(t, c.cut, float64(w.Cut), 1e-12)
			assert.InDelta(t, c.fill, float64(w.Fill), 1e-12)
		})
	}
}

// By hand, over a bed of 4 x 2 m dug 0.1 m deep below the string.
func TestItem21GroundIsLevelRuledOrTriangulatedByItsSpots(t *testing.T) {
	t.Parallel()
	bed, err := outline.Rectangle(at(0, 0), 4, 2, 0)
	require.NoError(t, err)
	for _, c := range []struct {
		name       string
		spots      []earth.Spot
		cut, rests float64
	}{
		{"one spot: level", []earth.Spot{spot(9, 9, 0.1)}, 8 * 0.2, 0},
		{"two spots: ruled along their line, mean 0.1 m", []earth.Spot{spot(0, 5, 0), spot(4, 5, 0.2)}, 8 * 0.2, 0},
		// To the ends of the line 0.1 m on the mean, beyond them the level of the end: 0 to x = 1, 0.2 from x = 3.
		{"two spots within: level beyond the ends", []earth.Spot{spot(1, 0, 0), spot(3, 0, 0.2)}, 8 * 0.2, 0.5},
		{"three spots in line: straight between neighbours", []earth.Spot{spot(0, 1, 0), spot(2, 1, 0.4), spot(4, 1, 0)}, 8 * 0.3, 0},
		{"four spots at the corners of a plane", []earth.Spot{spot(0, 0, 0), spot(4, 0, 0.2), spot(0, 2, 0.2), spot(4, 2, 0.4)}, 8 * 0.3, 0},
		// A pyramid of 0.3 m over the four corners at 0: a third of it on the mean.
		{"a spot in the middle of four", []earth.Spot{spot(0, 0, 0), spot(4, 0, 0), spot(0, 2, 0), spot(4, 2, 0), spot(2, 1, 0.3)}, 8 * (0.1 + 0.1), 0},
		// The triangle covers half of the bed; the corner (4, 2) is nearest to a point between two spots at 0, so that the other
		// half is at 0.
		{"a corner outside takes the level of the nearest point of the hull", []earth.Spot{spot(0, 0, 0.3), spot(4, 0, 0), spot(0, 2, 0)}, 8*0.1 + 4*0.1, 0.5},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			covered, rests := surface(t, c.spots...).Cover(bed)
			w := covered.Earthwork(bed.Region(), earth.Formation{Depth: 0.1})
			assert.InDelta(t, c.cut, float64(w.Cut), 1e-9)
			assert.Zero(t, w.Fill)
			assert.InDelta(t, c.rests, float64(rests), 1e-9)
		})
	}
}
