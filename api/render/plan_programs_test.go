//go:build programs

package render_test

import (
	"bytes"
	"image"
	_ "image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api/render"
	"bedline/api/render/drawing"
	"bedline/api/render/internal/sample"
	"bedline/api/render/locale"
	"bedline/pricing"
)

// raster is a drawing as librsvg's rsvg-convert paints it, at so many pixels to the millimetre.
func raster(t *testing.T, sheet *drawing.Sheet, perMillimetre float64, name string) image.Image {
	t.Helper()
	var picture, complaints bytes.Buffer
	c := exec.CommandContext(t.Context(), "rsvg-convert", "--dpi-x", "25.4", "--dpi-y", "25.4", "--zoom", strconv.FormatFloat(perMillimetre, 'f', -1, 64))
	c.Stdin, c.Stdout, c.Stderr = bytes.NewReader(sheet.SVG()), &picture, &complaints
	require.NoError(t, c.Run(), complaints.String())
	assert.Empty(t, complaints.String())
	if seen := os.Getenv("BEDLINE_SEEN"); seen != "" && name != "" {
		require.NoError(t, os.WriteFile(filepath.Join(seen, name+".png"), picture.Bytes(), 0o600))
	}
	m, _, err := image.Decode(&picture)
	require.NoError(t, err)
	assert.InDelta(t, float64(sheet.Width)*perMillimetre, m.Bounds().Dx(), 1.01)
	assert.InDelta(t, float64(sheet.Height)*perMillimetre, m.Bounds().Dy(), 1.01)
	return m
}

// dark is how much of a picture is dark, in square millimetres.
func dark(m image.Image, perMillimetre float64) (sum float64) {
	for y := m.Bounds().Min.Y; y < m.Bounds().Max.Y; y++ {
		for x := m.Bounds().Min.X; x < m.Bounds().Max.X; x++ {
			r, g, b, a := m.At(x, y).RGBA()
			sum += (float64(a) - float64(r+g+b)/3) / 0xffff // the last row and column may be partly clear
		}
	}
	return sum / perMillimetre / perMillimetre
}

// TestProgramsPaintTheAreasOfPlans lets a program that is not ours paint the beds, units, slabs and planters of every
// plan, each alone and solid, and holds what it paints against the areas of the answer.
func TestProgramsPaintTheAreasOfPlans(t *testing.T) {
	sample.Each(t, func(t *testing.T, name string, q *pricing.Quote) {
		plan := render.Plan(q, locale.Default())
		scale := float64(render.ScaleOf(q, locale.Default()))
		want := map[string]float64{}
		for _, b := range q.Takeoff.Beds {
			want["bed"] += float64(b.Area)
		}
		for _, s := range q.Takeoff.Slabs {
			want["slab"] += float64(s.Grid.SlabArea())
		}
		for _, p := range q.Takeoff.Planters {
			want["planter"] += float64(p.Footprint)
		}
		for _, p := range q.Takeoff.Paving {
			want["field"] += float64(p.Field.LaidArea)
		}
		const perMillimetre = 6
		ink := 1 - (20.0 / 255) // solid is not quite black
		for _, class := range []string{"bed", "slab", "planter", "field"} {
			area := want[class] * 1e6 / scale / scale
			if area == 0 {
				continue
			}
			sheet := &drawing.Sheet{Title: class, Width: plan.Width, Height: plan.Height}
			for _, s := range append(shapes(plan)[class], shapes(plan)[class+" cut"]...) {
				sheet.Add(&drawing.Shape{Steps: s.Steps, Fill: drawing.Ink100})
			}
			got := dark(raster(t, sheet, perMillimetre, ""), perMillimetre) / ink
			assert.InDelta(t, area, got, 0.01*area+math.Sqrt(area)*0.02, "square millimetres of %s", class)
		}
	})
}
