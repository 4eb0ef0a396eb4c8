//go:build programs

package render

import (
	"bytes"
	"image"
	"image/draw"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api/render/drawing"
	"bedline/api/render/internal/sample"
	"bedline/api/render/locale"
	"bedline/pricing"
)

// rasterised is a drawing as librsvg shows it, at 150 dots to the inch.
func rasterised(t *testing.T, svg []byte) image.Image {
	program, err := exec.LookPath("rsvg-convert")
	require.NoError(t, err, "librsvg2-bin is needed")
	run := exec.Command(program, "--dpi-x", "150", "--dpi-y", "150", "--format", "png")
	run.Stdin = bytes.NewReader(svg)
	var out, faults bytes.Buffer
	run.Stdout, run.Stderr = &out, &faults
	require.NoError(t, run.Run(), faults.String())
	assert.Empty(t, faults.String())
	picture, err := png.Decode(&out)
	require.NoError(t, err)
	return picture
}

// keep writes a picture where it can be looked at.
func keep(t *testing.T, name string, picture image.Image) {
	folder := os.Getenv("BEDLINE_SEEN")
	if folder == "" {
		return
	}
	var out bytes.Buffer
	require.NoError(t, png.Encode(&out, picture))
	require.NoError(t, os.WriteFile(filepath.Join(folder, name+".png"), out.Bytes(), 0o600))
}

func TestProgramsRasteriseEveryDrawing(t *testing.T) {
	t.Parallel()
	sample.Each(t, func(t *testing.T, name string, q *pricing.Quote) {
		spanish, ok := locale.Lookup("es-US")
		require.True(t, ok)
		for _, l := range []*locale.Locale{locale.Default(), spanish} {
			drawings := []struct {
				what  string
				sheet *drawing.Sheet
			}{{"plan", Plan(q, l)}, {"section", Section(q, l)}, {"fabric", Fabric(q, l)}, {"cost", Cost(q, l)}, {"tasks", Tasks(q, l)}}
			for _, d := range drawings {
				if d.sheet == nil {
					continue
				}
				file := name + "-" + d.what + "-" + l.Tag()
				picture := rasterised(t, d.sheet.SVG())
				size := picture.Bounds().Size()
				// 25.4 mm to the inch.
				assert.InDelta(t, float64(d.sheet.Width)*150/25.4, float64(size.X), 1.01, file)
				assert.InDelta(t, float64(d.sheet.Height)*150/25.4, float64(size.Y), 1.01, file)
				shown := image.NewRGBA(picture.Bounds()) // on white paper
				draw.Draw(shown, shown.Bounds(), image.White, image.Point{}, draw.Src)
				draw.Draw(shown, shown.Bounds(), picture, image.Point{}, draw.Over)
				grey := image.NewGray(picture.Bounds())
				dark := 0
				for i := range grey.Pix {
					p := shown.Pix[4*i : 4*i+3]
					grey.Pix[i] = uint8((299*int(p[0]) + 587*int(p[1]) + 114*int(p[2]) + 500) / 1000)
					if grey.Pix[i] < 128 {
						dark++
					}
				}
				assert.Greater(t, dark, 500, "%s shows something", file)
				cut := 0
				for _, tone := range grey.Pix[(size.Y-1)*size.X:] {
					if tone < 128 {
						cut++
					}
				}
				assert.Zero(t, cut, "%s: something is cut off below", file)
				keep(t, file, picture)
				if l == locale.Default() {
					keep(t, file+"-grey", grey)
				}
			}
		}
	})
}
