package render_test

import (
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api/render"
	"bedline/api/render/drawing"
	"bedline/api/render/internal/sample"
	"bedline/api/render/locale"
	"bedline/pricing"
)

// into is a directory that the drawings are written to, to be looked at.
var into = flag.String("into", "", "write the drawings of the sample jobs to this directory")

func wellFormed(t *testing.T, text []byte) {
	d := xml.NewDecoder(strings.NewReader(string(text)))
	for {
		_, err := d.Token()
		if errors.Is(err, io.EOF) {
			return
		}
		require.NoError(t, err)
	}
}

func TestThePlanOfEveryJobShowsItsUnitsAndItsGround(t *testing.T) {
	t.Parallel()
	sample.Each(t, func(t *testing.T, name string, q *pricing.Quote) {
		sheet := render.Plan(q, locale.Default())
		text := sheet.SVG()
		wellFormed(t, text)
		if *into != "" {
			require.NoError(t, os.WriteFile(filepath.Join(*into, name+"-plan.svg"), text, 0o600))
		}
		assert.Equal(t, string(text), string(render.Plan(q, locale.Default()).SVG()), "the same twice")
		count := map[string]int{}
		area := map[string]float64{}
		for _, item := range sheet.Items {
			if s, ok := item.(*drawing.Shape); ok {
				count[s.Class]++
				area[s.Class] -= s.Area() // ground on the left runs counter-clockwise on paper
			}
		}
		whole, cut := 0, 0
		for _, c := range q.Takeoff.Courses {
			whole, cut = whole+c.Course.Units.Whole, cut+c.Course.Units.Cut
		}
		assert.Equal(t, whole, count["unit"], "whole units")
		assert.Equal(t, cut, count["unit cut"], "cut units")
		slabs, bed := 0, 0.0
		for _, s := range q.Takeoff.Slabs {
			slabs += s.Grid.Units()
		}
		assert.Equal(t, slabs, count["slab"], "slabs")
		for _, b := range q.Takeoff.Beds {
			bed += float64(b.Area)
		}
		// Square metres on paper times the square of the scale.
		scale := float64(render.ScaleOf(q, locale.Default()))
		assert.InEpsilon(t, bed+1e-9, area["bed"]*scale*scale/1e6+1e-9, 1e-9, "area of the beds")
		fieldWhole, fieldCut, laid := 0, 0, 0.0
		for _, p := range q.Takeoff.Paving {
			fieldWhole, fieldCut = fieldWhole+p.Field.Whole, fieldCut+p.Field.Cut
			laid += float64(p.Field.LaidArea)
		}
		assert.Equal(t, fieldWhole, count["field"], "whole paving units")
		assert.Equal(t, fieldCut, count["field cut"], "cut paving units")
		assert.InDelta(t, laid, (area["field"]+area["field cut"])*scale*scale/1e6, 1e-3*laid+1e-9, "faces of the paving")
	})
}

func TestTheSectionOfEveryJobNamesEveryLayer(t *testing.T) {
	t.Parallel()
	sample.Each(t, func(t *testing.T, name string, q *pricing.Quote) {
		text := render.Section(q, locale.Default()).SVG()
		wellFormed(t, text)
		if *into != "" {
			require.NoError(t, os.WriteFile(filepath.Join(*into, name+"-section.svg"), text, 0o600))
		}
		for i := range q.Takeoff.Courses {
			assert.Contains(t, string(text), q.Takeoff.Courses[i].Spec.Unit.Name)
		}
	})
}
