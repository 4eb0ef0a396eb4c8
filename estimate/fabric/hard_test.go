package fabric_test

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate/fabric"
	"bedline/estimate/internal/hard"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// sound holds a layout to what is true of every layout.
func sound(t require.TestingT, l *fabric.Layout, roll fabric.Roll, pins measure.Length) {
	var cloth measure.Length
	joins := 0
	for _, s := range l.Strips {
		require.True(t, s.Length > 0 && !math.IsInf(float64(s.Length), 0), "%+v", s)
		require.NotEmpty(t, s.Pieces)
		laps := measure.Length(len(s.Pieces)-1) * roll.Lap
		sum := measure.Length(0)
		for _, p := range s.Pieces {
			require.True(t, p > 0 && p <= roll.Length*(1+1e-9), "%+v", s)
			sum += p
		}
		require.InDelta(t, float64(s.Length+laps), float64(sum), 1e-9*float64(sum))
		cloth, joins = cloth+sum, joins+len(s.Pieces)-1
	}
	require.InDelta(t, float64(cloth), float64(l.ClothLength), 1e-9*float64(cloth))
	require.Equal(t, joins, l.Joins)
	require.GreaterOrEqual(t, float64(l.ClothArea), float64(l.CoverArea)*(1-1e-9)-1e-9)
	if len(l.Strips) > 0 {
		// By area no fewer rolls can do.
		require.GreaterOrEqual(t, float64(l.Rolls)*float64(roll.Length)*(1+1e-6), float64(cloth))
		if pins > 0 {
			require.InDelta(t, math.Ceil(float64(l.Perimeter+l.SeamLength)/float64(pins)), float64(l.Pins), 1e-6*float64(l.Pins)+1)
		}
	}
}

func TestHardOutlinesAreCovered(t *testing.T) {
	t.Parallel()
	for _, h := range hard.Outlines() {
		t.Run(h.Name, func(t *testing.T) {
			t.Parallel()
			h.Placed(t, func(name string, o *outline.Outline, area, within float64) {
				low, high := o.Bounds()
				roll := weed
				roll.Width = max(roll.Width, (high.X-low.X)/50, (high.Y-low.Y)/50)
				directions := sides(o)
				if len(directions) > 100 {
					directions = directions[:2]
				}
				l, err := fabric.Cut([]outline.Region{o.Region()}, all, directions, roll, foot)
				require.NoError(t, err, name)
				require.NotEmpty(t, l.Strips, name)
				sound(t, l, roll, foot)
				assert.InDelta(t, area, float64(l.CoverArea), within+1e-9*float64(o.Perimeter()), name)
			})
		})
	}
}

func TestGroundThatTakesMorePiecesThanCanBeDrawnIsRefused(t *testing.T) {
	t.Parallel()
	o, err := outline.Rectangle(outline.Point{}, 5000, 5000, 0)
	require.NoError(t, err)
	var many *fabric.PiecesError
	_, err = fabric.Cut([]outline.Region{o.Region()}, all, nil, weed, 0)
	require.ErrorAs(t, err, &many)
}

// FuzzCut: whatever ground and roll are, there is an error of a known kind or a sound layout.
func FuzzCut(f *testing.F) {
	f.Add([]byte{0, 0, 0, 0, 0, 0, 0, 64, 0, 0, 0, 0, 0, 64, 0, 0, 64, 0, 0, 0, 0, 0, 64, 0}, 1.2, 15.0, 0.15, 0.1, 1.0)
	f.Fuzz(func(t *testing.T, data []byte, width, length, lap, upturn, pins float64) {
		var points []outline.Point
		for n := hard.Numbers(data); len(n) >= 2; n = n[2:] {
			points = append(points, outline.Point{X: measure.Length(n[0]), Y: measure.Length(n[1])})
		}
		o, err := outline.Polygon(points, nil)
		if err != nil {
			return
		}
		if float64(o.Area()) > 1000*width*length {
			return // slow, and no more to be seen
		}
		roll := fabric.Roll{Width: measure.Length(width), Length: measure.Length(length), Lap: measure.Length(lap), Upturn: measure.Length(upturn)}
		l, err := fabric.Cut([]outline.Region{o.Region()}, all, sides(o), roll, measure.Length(pins))
		if err != nil {
			var number *fabric.NumberError
			var laps *fabric.LapError
			var many *fabric.PiecesError
			if !errors.As(err, &number) && !errors.As(err, &laps) && !errors.As(err, &many) {
				t.Fatal(err)
			}
			_ = err.Error()
			return
		}
		sound(t, l, roll, 0)
	})
}
