package outline_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

func pt(x, y float64) outline.Point { return outline.Point{X: measure.Length(x), Y: measure.Length(y)} }

func TestRoundedRectangle(t *testing.T) {
	t.Parallel()
	o, err := outline.Rectangle(pt(1, 2), 6, 2, 0.5)
	require.NoError(t, err)
	assert.InDelta(t, 12-(4-math.Pi)*0.25, float64(o.Area()), 1e-12)
	assert.InDelta(t, 12+math.Pi, float64(o.Perimeter()), 1e-12)
	require.Len(t, o.Elements(), 8)
	o, err = outline.Rectangle(pt(1, 2), 6, 2, 1)
	require.NoError(t, err)
	require.Len(t, o.Elements(), 6)
	assert.True(t, o.Contains(pt(4, 3), 0))
	assert.False(t, o.Contains(pt(1.1, 2.1), 0))
	assert.InDelta(t, math.Sqrt2*0.9-1, float64(o.Distance(pt(1.1, 2.1))), 1e-12)
	assert.InDelta(t, math.Sqrt2-1, float64(o.Outside(outline.RectangleLoop(pt(1, 2), 1, 1, 0))), 1e-12)
	_, err = outline.Polygon([]outline.Point{pt(0, 0), pt(4, 0), pt(0, 3), pt(4, 3)}, nil)
	var c *outline.CrossingError
	require.ErrorAs(t, err, &c)
	assert.Equal(t, 1, c.SideA)
	assert.Equal(t, 3, c.SideB)
}
