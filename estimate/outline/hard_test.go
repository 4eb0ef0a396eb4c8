package outline_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate/internal/hard"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

func TestHardOutlinesHaveTheirAreaWhereverTheyLie(t *testing.T) {
	t.Parallel()
	for _, h := range hard.Outlines() {
		t.Run(h.Name, func(t *testing.T) {
			t.Parallel()
			h.Placed(t, func(name string, o *outline.Outline, area, within float64) {
				assert.InDelta(t, area, float64(o.Area()), within, name)
				share := outline.Divide([]outline.Region{o.Region()}, 1, all)[0]
				assert.InDelta(t, area, float64(share.Area), within+1e-9*float64(o.Perimeter()), "%s, divided", name)
				assert.InDelta(t, float64(o.Perimeter()), float64(share.Perimeter), 1e-6*float64(o.Perimeter()), "%s, divided", name)
				assert.LessOrEqual(t, float64(o.Outside(o.Loop())), 1e-9, "%s lies in itself", name)
			})
		})
	}
}

// Seen along a direction, ground reaches as far as its points do.
func TestHardOutlinesReachAsFarAsTheirPoints(t *testing.T) {
	t.Parallel()
	for _, h := range hard.Outlines() {
		h.Placed(t, func(name string, o *outline.Outline, _, _ float64) {
			for _, by := range []float64{0, 0.7, 2} {
				sin, cos := math.Sincos(by)
				low, high := math.Inf(1), math.Inf(-1)
				for _, e := range o.Loop() {
					for k := range 33 {
						p := e.Point(measure.Factor(k) / 32)
						along := float64(p.X)*cos + float64(p.Y)*sin
						low, high = min(low, along), max(high, along)
						if e.Straight() {
							break
						}
					}
				}
				u, v, ok := outline.Look([]outline.Region{o.Region()}, func(outline.Cover) bool { return true }, measure.Angle(by)).Reach()
				require.True(t, ok, "%s along %v", name, by)
				require.False(t, v.Empty())
				// Arcs bulge a little beyond what is looked at of them.
				assert.InDelta(t, low, float64(u.From), 2e-9+0.01*(high-low), "%s along %v", name, by)
				assert.InDelta(t, high, float64(u.To), 2e-9+0.01*(high-low), "%s along %v", name, by)
			}
		})
	}
}

func TestOutlinesThatTouchOrRepeatThemselvesAreRefusedWhereverTheyLie(t *testing.T) {
	t.Parallel()
	half := func(x, y, from float64) outline.Edge {
		return outline.Arc(pt(x, y), 1, measure.Degrees(from), measure.Pi)
	}
	joined := func(edges ...outline.Edge) []outline.Edge {
		for i := range edges {
			edges[i].From = edges[(i+len(edges)-1)%len(edges)].To
		}
		return edges
	}
	loop := func(p ...outline.Point) []outline.Edge {
		var edges []outline.Edge
		for i := range p {
			edges = append(edges, outline.Line(p[i], p[(i+1)%len(p)]))
		}
		return edges
	}
	for _, c := range []struct {
		name  string
		edges []outline.Edge
		want  any
	}{
		{"two discs that touch in a point are no outline", joined(half(0, 0, 0), half(0, 0, 180), half(2, 0, 180), half(2, 0, 0)), new(*outline.CrossingError)},
		{"a disc in a disc that touches it is no outline", []outline.Edge{
			outline.Arc(pt(0, 0), 2, 0, measure.Pi), outline.Arc(pt(0, 0), 2, measure.Pi, measure.Pi),
			outline.Arc(pt(1, 0), 1, 0, -measure.Pi), outline.Arc(pt(1, 0), 1, measure.Pi, -measure.Pi)}, new(*outline.CrossingError)},
		{"an arc that touches a side in between is no outline", joined(outline.Line(pt(-2, 0), pt(2, 0)), outline.Line(pt(2, 0), pt(2, 1)), outline.Line(pt(2, 1), pt(1, 1)),
			outline.Arc(pt(0, 1), 1, 0, -measure.Pi), outline.Line(pt(-1, 1), pt(-2, 1)), outline.Line(pt(-2, 1), pt(-2, 0))), new(*outline.CrossingError)},
		{"two arcs along each other there and back are no outline", []outline.Edge{
			outline.Arc(pt(0, 0), 1, 0, measure.Pi), outline.Arc(pt(0, 0), 1, measure.Pi, -measure.Pi)}, new(*outline.TooSmallError)},
		{"an arc there and back out of a bed is no outline", joined(outline.Line(pt(0, 0), pt(3, 0)), outline.Line(pt(3, 0), pt(3, 3)), outline.Line(pt(3, 3), pt(1, 3)),
			outline.Arc(pt(2, 3), 1, measure.Pi, -measure.Pi/2), outline.Arc(pt(2, 3), 1, measure.Pi/2, measure.Pi/2),
			outline.Line(pt(1, 3), pt(0, 3)), outline.Line(pt(0, 3), pt(0, 0))), new(*outline.CrossingError)},
		{"a side there and back is no outline", loop(pts(0, 0, 2, 0, 2, 1, 2, 3, 2, 1, 0, 1)...), new(*outline.CrossingError)},
		{"a point given twice is refused", loop(pts(0, 0, 2, 0, 2, 0, 2, 1, 0, 1)...), new(*outline.DuplicatePointError)},
		{"a point 1e-10 m from the one before is refused", loop(pts(0, 0, 2, 0, 2, 1e-10, 2, 1, 0, 1)...), new(*outline.DuplicatePointError)},
		{"the first point given again as the last is refused", loop(pts(0, 0, 2, 0, 2, 1, 0, 1, 0, 0)...), new(*outline.DuplicatePointError)},
		{"a sliver thinner than a point is refused", loop(pts(0, 0, 2, 0, 2, 5e-10, 0, 5e-10)...), new(*outline.DuplicatePointError)},
		{"less than a square centimetre is refused", loop(pts(0, 0, 0.5, 0, 0.5, 0.0001, 0, 0.0001)...), new(*outline.TooSmallError)},
		{"points on one line are refused", loop(pts(0, 0, 1, 0, 2, 0, 1.5, 0)...), new(*outline.CrossingError)},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			for _, turn := range []measure.Angle{0, 0.7} {
				for _, away := range []measure.Length{0, 1000} {
					_, err := outline.Chain(outline.Loop(c.edges).Rotate(pt(0.3, 0.1), turn).Translate(away, -away))
					require.Error(t, err)
					assert.ErrorAs(t, err, c.want, "turned by %v, %v m away", turn, away)
				}
			}
		})
	}
}
