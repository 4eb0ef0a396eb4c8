package earth_test

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate/earth"
	"bedline/estimate/internal/hard"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// Level ground dug to a depth is the area by the depth, whether one spot says that it is level, two, or a triangle of
// spots from which the corners of the bed stick out.
func TestHardOutlinesAreDugToTheirAreaByTheDepth(t *testing.T) {
	t.Parallel()
	for _, h := range hard.Outlines() {
		t.Run(h.Name, func(t *testing.T) {
			t.Parallel()
			h.Placed(t, func(name string, o *outline.Outline, area, within float64) {
				low, high := o.Bounds()
				x, y, w, d := float64(low.X), float64(low.Y), float64(high.X-low.X), float64(high.Y-low.Y)
				level := func(share ...float64) []earth.Spot {
					var spots []earth.Spot
					for i := 0; i < len(share); i += 2 {
						spots = append(spots, spot(x+w*share[i], y+d*share[i+1], 0.05))
					}
					return spots
				}
				for ground, spots := range map[string][]earth.Spot{
					"one spot": level(0.5, 0.5), "two spots": level(0.2, 0.3, 0.9, 0.4), "spots about it": level(-1, -1, 3, -1, -1, 3),
					"spots within it": level(0.3, 0.3, 0.7, 0.3, 0.5, 0.8),
				} {
					if len(o.Elements()) > 100 && ground == "spots within it" {
						continue // thousands of corners to join take long under the race detector
					}
					covered, rests := surface(t, spots...).Cover(o)
					work := covered.Earthwork(o.Region(), earth.Formation{From: low, To: low, Depth: 0.1})
					off := within + 2e-9*float64(o.Perimeter())
					assert.InDelta(t, area, float64(work.Area), off, "%s, %s", name, ground)
					assert.InDelta(t, 0.15*area, float64(work.Cut), off, "%s, %s", name, ground)
					assert.InDelta(t, 0, float64(work.Fill), off, "%s, %s", name, ground)
					assert.True(t, rests >= 0 && rests <= 1, "%s, %s: %v", name, ground, rests)
				}
			})
		})
	}
}

// FuzzEarthwork: whatever spots and outline are, there is an error of a known kind or work that is a number.
func FuzzEarthwork(f *testing.F) {
	f.Add([]byte{0, 0, 0, 0, 0, 0, 0, 64, 0, 0, 0, 0, 0, 64, 0, 0, 64, 0, 0, 0, 0, 0, 64, 0}, []byte{0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 64, 0, 0, 0, 0, 0, 2, 0, 0, 9, 0, 0, 64, 0, 0, 0, 0}, 0.02, 0.1)
	f.Fuzz(func(t *testing.T, bed, levels []byte, fall, depth float64) {
		var spots []earth.Spot
		for n := hard.Numbers(levels); len(n) >= 3; n = n[3:] {
			spots = append(spots, spot(n[0], n[1], n[2]))
		}
		s, err := earth.NewSurface(spots)
		if err != nil {
			var number *earth.SpotNumberError
			var conflict *earth.SpotConflictError
			if !errors.Is(err, earth.ErrNoSpots) && !errors.As(err, &number) && !errors.As(err, &conflict) {
				t.Fatal(err)
			}
			return
		}
		var points []outline.Point
		for n := hard.Numbers(bed); len(n) >= 2; n = n[2:] {
			points = append(points, at(n[0], n[1]))
		}
		o, err := outline.Polygon(points, nil)
		if err != nil || !(math.Abs(fall) <= 1) || !(math.Abs(depth) <= 100) {
			return
		}
		covered, rests := s.Cover(o)
		require.True(t, rests >= 0 && rests <= 1, "%v", rests)
		w := covered.Earthwork(o.Region(), earth.Formation{From: points[0], To: points[1], Fall: measure.Factor(fall), Depth: measure.Length(depth)})
		for _, v := range []float64{float64(w.Area), float64(w.Cut), float64(w.CutArea), float64(w.Fill), float64(w.FillArea), float64(w.Resting)} {
			require.True(t, v >= 0 && !math.IsInf(v, 0), "%+v", w)
		}
		low, high := o.Bounds()
		size := math.Abs(float64(high.X)) + math.Abs(float64(high.Y)) + math.Abs(float64(low.X)) + math.Abs(float64(low.Y))
		require.InDelta(t, float64(o.Area()), float64(w.Area), 1e-6*float64(o.Area())+1e-8*size*float64(len(points)), "the area of the bed")
	})
}
