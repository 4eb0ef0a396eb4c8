package render_test

import (
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api/render"
	"bedline/api/render/drawing"
	"bedline/api/render/internal/sample"
	"bedline/api/render/locale"
	"bedline/estimate"
	"bedline/pricing"
)

// into is a directory that the drawings are written to, to be looked at.
var into = flag.String("into", "", "write the drawings of the sample jobs to this directory")

// save writes a drawing to be looked at.
func save(t *testing.T, name string, text []byte) {
	if *into != "" {
		require.NoError(t, os.WriteFile(filepath.Join(*into, name+".svg"), text, 0o600))
	}
}

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

// eachLocale runs a test in every locale.
func eachLocale(t *testing.T, do func(t *testing.T, l *locale.Locale)) {
	for _, tag := range locale.Tags() {
		l, ok := locale.Lookup(tag)
		require.True(t, ok)
		do(t, l)
	}
}

// shapes are the shapes of a sheet by their class.
func shapes(sheet *drawing.Sheet) map[string][]*drawing.Shape {
	all := map[string][]*drawing.Shape{}
	for _, item := range sheet.Items {
		if s, ok := item.(*drawing.Shape); ok {
			all[s.Class] = append(all[s.Class], s)
		}
	}
	return all
}

// covered is the paper that shapes cover, in square millimetres: ground on the left runs counter-clockwise on paper.
func covered(all []*drawing.Shape) (sum float64) {
	for _, s := range all {
		sum -= s.Area()
	}
	return sum
}

func TestThePlanOfEveryJobShowsItsUnitsAndItsGround(t *testing.T) {
	t.Parallel()
	sample.Each(t, func(t *testing.T, name string, q *pricing.Quote) {
		sheet := render.Plan(q, locale.Default())
		text := sheet.SVG()
		wellFormed(t, text)
		save(t, name+"-plan", text)
		assert.Less(t, len(text), 250_000, "bytes of a drawing")
		assert.Equal(t, string(text), string(render.Plan(q, locale.Default()).SVG()), "the same twice")

		all := shapes(sheet)
		// Square metres on paper times the square of the scale.
		scale := float64(render.ScaleOf(q, locale.Default()))
		area := func(class string) float64 { return covered(all[class]) * scale * scale / 1e6 }
		same := func(want float64, class, what string) {
			t.Helper()
			assert.InDelta(t, want, area(class), 1e-9*want+1e-9, what)
		}

		whole, cut := 0, 0
		for _, c := range q.Takeoff.Courses {
			whole, cut = whole+c.Course.Units.Whole, cut+c.Course.Units.Cut
		}
		assert.Len(t, all["unit"], whole, "whole units")
		assert.Len(t, all["unit cut"], cut, "cut units")

		slabs, faces := 0, 0.0
		for _, s := range q.Takeoff.Slabs {
			slabs, faces = slabs+s.Grid.Units(), faces+float64(s.Grid.SlabArea())
		}
		assert.Len(t, all["slab"], slabs, "slabs")
		same(faces, "slab", "faces of the slabs")

		bed, holes := 0.0, 0
		for i, b := range q.Takeoff.Beds {
			bed += float64(b.Area)
			holes += len(q.Job.Beds[i].Outline.Rings())
		}
		same(bed, "bed", "area of the beds, without their holes")
		assert.Equal(t, holes, subpaths(all["bed"]), "lines of the beds, their holes and islands")

		fieldWhole, fieldCut, laid, ground := 0, 0, 0.0, 0.0
		borderWhole, borderCut := 0, 0
		for _, p := range q.Takeoff.Paving {
			fieldWhole, fieldCut = fieldWhole+p.Field.Whole, fieldCut+p.Field.Cut
			laid += float64(p.Field.LaidArea)
			ground += float64(p.Area.Outline.Area())
			if p.Border != nil {
				borderWhole, borderCut = borderWhole+p.Border.Units.Whole, borderCut+p.Border.Units.Cut
			}
		}
		assert.Len(t, all["field"], fieldWhole, "whole paving units")
		assert.Len(t, all["field cut"], fieldCut, "cut paving units")
		assert.InDelta(t, laid, area("field")+area("field cut"), 1e-3*laid+1e-9, "faces of the paving")
		same(ground, "paving", "paved ground")
		assert.Len(t, all["border"], borderWhole, "whole units of borders")
		assert.Len(t, all["border cut"], borderCut, "cut units of borders")

		planters, trunks, clear, posts := 0.0, 0, 0.0, 0.0
		for _, p := range q.Takeoff.Planters {
			planters += float64(p.Footprint)
		}
		for _, o := range q.Takeoff.Obstacles {
			switch o.Obstacle.Kind {
			case estimate.Tree:
				trunks++
				if o.Obstacle.Clear > 0 {
					clear += float64(o.Footprint)
				}
			case estimate.Post:
				posts += float64(o.Footprint)
			}
		}
		assert.Len(t, all["planter"], len(q.Takeoff.Planters))
		same(planters, "planter", "ground under planters")
		assert.Len(t, all["trunk"], trunks)
		same(clear, "clear", "ground kept clear round trees")
		same(posts, "post", "ground that posts take")
		for _, s := range all["root zone"] {
			for _, step := range s.Steps {
				if step.Kind != drawing.ArcTo {
					continue
				}
				far := math.Hypot(float64(step.To.X-step.Centre.X), float64(step.To.Y-step.Centre.Y)) * scale / 1000
				assert.InDelta(t, float64(q.Takeoff.RootZones[0].Radius), far, 1e-9, "a root zone's line is so far from its tree")
				assert.True(t, onSheet(sheet, step.To), "a root zone ends at the edge of the sheet")
			}
		}
		for _, s := range all["wall"] {
			for _, step := range s.Steps {
				assert.True(t, onSheet(sheet, step.To), "a wall ends at the edge of the sheet")
			}
		}
	})
}

func subpaths(all []*drawing.Shape) (n int) {
	for _, s := range all {
		for _, step := range s.Steps {
			if step.Kind == drawing.MoveTo {
				n++
			}
		}
	}
	return n
}

func onSheet(sheet *drawing.Sheet, s drawing.Spot) bool {
	return s.X >= 0 && s.X <= sheet.Width && s.Y >= 0 && s.Y <= sheet.Height
}

func TestPlansShowTreesPostsWallsFallsLevelsAndTheDatum(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		job, class string
		count      int
	}{
		{"old-tree-by-house", "trunk", 1},
		{"old-tree-by-house", "clear", 1},
		{"old-tree-by-house", "wall", 2},
		{"patio-round-a-post", "post", 1},
		{"patio-round-a-post", "fall", 1},
		{"patio-round-a-post", "spot level", 4},
		{"sloping-bed", "spot level", 9},
		{"sloping-bed", "fall", 1},
		{"street-corner", "datum", 2},
		{"front-strip", "datum", 1},
		{"kidney-path", "pivot", 3},
		{"wall-bed-offsets", "ordinate", 6},
		{"terrace-planters", "planter", 3},
	} {
		t.Run(c.class+" of "+c.job, func(t *testing.T) {
			t.Parallel()
			assert.Len(t, shapes(render.Plan(sample.Quote(t, c.job), locale.Default()))[c.class], c.count)
		})
	}
}

func TestEverySideThatHasRoomBearsItsNumberAndLength(t *testing.T) {
	t.Parallel()
	words := texts(render.Plan(sample.Quote(t, "front-strip"), locale.Default()))
	assert.Subset(t, words, []string{"0", "1", "2", "3", "18 ft", "3 ft"})
	words = texts(render.Plan(sample.Quote(t, "wall-bed-offsets"), locale.Default()))
	assert.Subset(t, words, []string{"0", "1", "2", "3", "4", "5", "6", "7"})
}

func texts(sheet *drawing.Sheet) (words []string) {
	for _, l := range labels(sheet) {
		words = append(words, l.Text)
	}
	return words
}

func labels(sheet *drawing.Sheet) (all []*drawing.Label) {
	for _, item := range sheet.Items {
		if l, ok := item.(*drawing.Label); ok {
			all = append(all, l)
		}
	}
	return all
}

// corners are those of the paper that a label takes at least: letters 0.56 of their size wide, the mean of a text in
// DejaVu Sans as measured with it, and three quarters of it high.
func corners(l *drawing.Label) (four [4]drawing.Spot) {
	width := 0.56 * l.Size * drawing.Millimetres(utf8.RuneCountInString(l.Text))
	if l.Bold {
		width *= 1.1
	}
	left := map[drawing.Anchor]drawing.Millimetres{drawing.Start: 0, drawing.Middle: -width / 2, drawing.End: -width}[l.Anchor]
	sin, cos := math.Sincos(l.Turn * math.Pi / 180)
	for i, at := range [...][2]drawing.Millimetres{{left, -0.7 * l.Size}, {left + width, -0.7 * l.Size}, {left + width, 0.1 * l.Size}, {left, 0.1 * l.Size}} {
		four[i] = drawing.Spot{
			X: l.At.X + at[0]*drawing.Millimetres(cos) - at[1]*drawing.Millimetres(sin),
			Y: l.At.Y + at[0]*drawing.Millimetres(sin) + at[1]*drawing.Millimetres(cos),
		}
	}
	return four
}

// apart tells whether a side of one of two quadrilaterals parts them.
func apart(a, b [4]drawing.Spot) bool {
	for _, q := range [...][2][4]drawing.Spot{{a, b}, {b, a}} {
		for i := range 4 {
			from, to := q[0][i], q[0][(i+1)%4]
			outside := true
			for _, c := range q[1] {
				outside = outside && (to.X-from.X)*(c.Y-from.Y)-(to.Y-from.Y)*(c.X-from.X) <= 0
			}
			if outside {
				return true
			}
		}
	}
	return false
}

// legible holds that no label of a sheet overlaps another, leaves the sheet, or has its middle on the mark of a stake.
func legible(t *testing.T, sheet *drawing.Sheet) {
	t.Helper()
	all := labels(sheet)
	boxes := make([][4]drawing.Spot, len(all))
	for i, l := range all {
		boxes[i] = corners(l)
		for _, c := range boxes[i] {
			assert.True(t, onSheet(sheet, c), "%q at %v is within the sheet", l.Text, l.At)
		}
		for k := range i {
			assert.True(t, apart(boxes[i], boxes[k]), "%q at %v and %q at %v are apart", l.Text, l.At, all[k].Text, all[k].At)
		}
	}
	for class, marks := range shapes(sheet) {
		if class != "stake" && class != "pivot" && class != "datum" {
			continue
		}
		for _, m := range marks {
			low, high := m.Steps[0].To, m.Steps[0].To
			for _, s := range m.Steps {
				if s.Kind != drawing.Close {
					low = drawing.Spot{X: min(low.X, s.To.X), Y: min(low.Y, s.To.Y)}
					high = drawing.Spot{X: max(high.X, s.To.X), Y: max(high.Y, s.To.Y)}
				}
			}
			for i, l := range all {
				middle := drawing.Spot{X: (boxes[i][0].X + boxes[i][2].X) / 2, Y: (boxes[i][0].Y + boxes[i][2].Y) / 2}
				on := middle.X > low.X && middle.X < high.X && middle.Y > low.Y && middle.Y < high.Y
				assert.False(t, on, "%q at %v stands on a stake", l.Text, l.At)
			}
		}
	}
}

func TestNoLabelOfADrawingOverlapsAnotherOrLeavesTheSheet(t *testing.T) {
	t.Parallel()
	sample.Each(t, func(t *testing.T, name string, q *pricing.Quote) {
		eachLocale(t, func(t *testing.T, l *locale.Locale) {
			plan, section := render.Plan(q, l), render.Section(q, l)
			legible(t, plan)
			legible(t, section)
			save(t, name+"-plan-"+l.Tag(), plan.SVG())
			save(t, name+"-section-"+l.Tag(), section.SVG())
			for _, text := range append(append(texts(plan), texts(section)...), plan.Title, plan.Description, section.Title, section.Description) {
				assert.NotContains(t, text, "plan.", "a message that the catalogue lacks")
				assert.NotContains(t, text, "section.", "a message that the catalogue lacks")
				assert.NotContains(t, text, "{", "a value that a message lacks")
			}
		})
	})
}

func TestDrawingsSpeakTheLanguageOfTheirReader(t *testing.T) {
	t.Parallel()
	l, ok := locale.Lookup("es-US")
	require.True(t, ok)
	q := sample.Quote(t, "front-strip")
	plan, section := render.Plan(q, l), render.Section(q, l)
	assert.Equal(t, "es-US", plan.Language)
	assert.Contains(t, plan.Title, "Plano de ")
	assert.Contains(t, plan.Description, "4 lados")
	assert.Subset(t, texts(plan), []string{"capa superior", "pieza entera", "estaca"})
	assert.Contains(t, section.Title, "Cortes de ")
	assert.Subset(t, texts(section), []string{"suelo terminado"})
}

func TestTheDescriptionOfAPlanTellsItsMainFigures(t *testing.T) {
	t.Parallel()
	plan := render.Plan(sample.Quote(t, "front-strip"), locale.Default())
	assert.Equal(t, "Plan to scale, 1 to 48. Bed front: 54 ft², 4 sides, 42 ft around. Edging of bed front: 27 units, none of them cut. 4 stakes to set out.", plan.Description)
}
