package render_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api/render"
	"bedline/api/render/drawing"
	"bedline/api/render/internal/sample"
	"bedline/api/render/locale"
	"bedline/estimate/measure"
	"bedline/pricing"
)

func TestTheSectionOfEveryJobNamesEveryLayer(t *testing.T) {
	t.Parallel()
	sample.Each(t, func(t *testing.T, name string, q *pricing.Quote) {
		text := render.Section(q, locale.Default()).SVG()
		wellFormed(t, text)
		save(t, name+"-section", text)
		for i := range q.Takeoff.Courses {
			assert.Contains(t, string(text), q.Takeoff.Courses[i].Spec.Unit.Name)
		}
	})
}

// heights are how high the shapes of a class are, in millimetres on paper.
func heights(sheet *drawing.Sheet, class string) (all []float64) {
	for _, s := range shapes(sheet)[class] {
		low, high := s.Steps[0].To.Y, s.Steps[0].To.Y
		for _, step := range s.Steps {
			if step.Kind != drawing.Close {
				low, high = min(low, step.To.Y), max(high, step.To.Y)
			}
		}
		all = append(all, float64(high-low))
	}
	return all
}

func TestTheLayersOfASectionAreAsHighAsTheyAreDeep(t *testing.T) {
	t.Parallel()
	sample.Each(t, func(t *testing.T, _ string, q *pricing.Quote) {
		sheet := render.Section(q, locale.Default())
		scales := render.ScalesOf(q, locale.Default())
		if len(scales) != 1 {
			return // which shape is of which section would not be told
		}
		same := func(class string, deep measure.Length) {
			t.Helper()
			got := heights(sheet, class)
			assert.Equal(t, deep > 0, len(got) > 0, class)
			for _, h := range got {
				assert.InDelta(t, float64(deep)*1000/float64(scales[0]), h, 1e-9, class)
			}
		}
		for i := range q.Takeoff.Courses {
			c := &q.Takeoff.Courses[i]
			same("unit", c.Spec.Unit.Thickness)
			same("base", c.BaseDepth)
			same("sand", c.SandDepth)
		}
		for i := range q.Takeoff.Slabs {
			s := &q.Takeoff.Slabs[i]
			same("slab", s.Group.Unit.Thickness)
			same("base", s.BaseDepth)
			same("sand", s.SandDepth)
		}
		for i := range q.Takeoff.Paving {
			p := &q.Takeoff.Paving[i]
			same("slab", p.Area.Unit.Thickness)
			same("base", p.BaseDepth)
			same("sand", p.SandDepth)
		}
		for i := range q.Job.Beds {
			if s := q.Job.Beds[i].Stone; s != nil {
				same("stone", s.Depth)
			}
		}
	})
}

func TestTheDepthMarksOfASectionAreThoseOfTheSetOut(t *testing.T) {
	t.Parallel()
	words := texts(render.Section(sample.Quote(t, "corner-bed"), locale.Default()))
	// Of the trench: 0, -1/2 (top of the unit), 1 1/2, 2 1/2, 6 1/2 in; of the bed: 0, 1/2, 3 in.
	assert.Subset(t, words, []string{"-1/2 in", "0 in", "1/2 in", "1 1/2 in", "2 1/2 in", "3 in", "6 1/2 in"})
}

func TestSectionsThatAreAlikeAreOne(t *testing.T) {
	t.Parallel()
	q := sample.Quote(t, "stepping-walk") // two groups of the same slabs
	require.Len(t, q.Takeoff.Slabs, 2)
	assert.Len(t, render.ScalesOf(q, locale.Default()), 1)
	assert.Contains(t, texts(render.Section(q, locale.Default()))[0], "straight, turned")
}
