package render

import (
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api/render/drawing"
	"bedline/api/render/internal/sample"
	"bedline/api/render/locale"
	"bedline/pricing"
)

// locales are all that there are.
func locales(t *testing.T) []*locale.Locale {
	var all []*locale.Locale
	for _, tag := range locale.Tags() {
		l, ok := locale.Lookup(tag)
		require.True(t, ok)
		all = append(all, l)
	}
	return all
}

// charts are the drawings of a quote that are no plan of the ground, by name; nil where there is nothing to show.
func charts(q *pricing.Quote, l *locale.Locale) map[string]*drawing.Sheet {
	return map[string]*drawing.Sheet{"fabric": Fabric(q, l), "cost": Cost(q, l), "tasks": Tasks(q, l)}
}

func shapes(s *drawing.Sheet, class string) []*drawing.Shape {
	var out []*drawing.Shape
	for _, item := range s.Items {
		if shape, ok := item.(*drawing.Shape); ok && (shape.Class == class || strings.HasPrefix(shape.Class, class+" ")) {
			out = append(out, shape)
		}
	}
	return out
}

func labels(s *drawing.Sheet) []*drawing.Label {
	var out []*drawing.Label
	for _, item := range s.Items {
		if label, ok := item.(*drawing.Label); ok {
			out = append(out, label)
		}
	}
	return out
}

func bounds(s *drawing.Shape) (low, high drawing.Spot) {
	low, high = drawing.Spot{X: math.MaxFloat32, Y: math.MaxFloat32}, drawing.Spot{X: -math.MaxFloat32, Y: -math.MaxFloat32}
	for _, step := range s.Steps {
		if step.Kind != drawing.Close {
			low = drawing.Spot{X: min(low.X, step.To.X), Y: min(low.Y, step.To.Y)}
			high = drawing.Spot{X: max(high.X, step.To.X), Y: max(high.Y, step.To.Y)}
		}
	}
	return low, high
}

// corners are those of the letters of a label, each taken to be 0.55 of its size wide, from the base line up to 0.75 and
// down to 0.2 of it.
func corners(l *drawing.Label) [4]drawing.Spot {
	long := drawing.Millimetres(utf8.RuneCountInString(l.Text)) * l.Size * 0.55
	from := drawing.Millimetres(0)
	switch l.Anchor {
	case drawing.Middle:
		from = -long / 2
	case drawing.End:
		from = -long
	}
	sin, cos := math.Sincos(l.Turn * math.Pi / 180)
	at := func(x, y drawing.Millimetres) drawing.Spot {
		return drawing.Spot{X: l.At.X + x*drawing.Millimetres(cos) - y*drawing.Millimetres(sin), Y: l.At.Y + x*drawing.Millimetres(sin) + y*drawing.Millimetres(cos)}
	}
	up, down := -l.Size*0.75, l.Size*0.2
	return [4]drawing.Spot{at(from, up), at(from+long, up), at(from+long, down), at(from, down)}
}

// overlap tells whether two convex figures have ground in common: there is no line that parts them.
func overlap(a, b [4]drawing.Spot) bool {
	for _, pair := range [...][2][4]drawing.Spot{{a, b}, {b, a}} {
		for i := range pair[0] {
			p, q := pair[0][i], pair[0][(i+1)%4]
			out := true
			for _, r := range pair[1] {
				out = out && (q.X-p.X)*(r.Y-p.Y)-(q.Y-p.Y)*(r.X-p.X) <= 1e-9
			}
			if out {
				return false
			}
		}
	}
	return true
}

func TestLabelsThatCrossAreFound(t *testing.T) {
	t.Parallel()
	box := func(x, y, turn float64) [4]drawing.Spot {
		return corners(&drawing.Label{At: drawing.Spot{X: drawing.Millimetres(x), Y: drawing.Millimetres(y)}, Text: "four", Size: 2, Turn: turn})
	}
	assert.True(t, overlap(box(0, 0, 0), box(3, 0, 0)))
	assert.True(t, overlap(box(0, 0, 0), box(2, 2, -90)))
	assert.False(t, overlap(box(0, 0, 0), box(4.5, 0, 0)))
	assert.False(t, overlap(box(0, 0, 0), box(0, 2.2, 0)))
	assert.False(t, overlap(box(0, 0, 0), box(8, 2, 45)))
}

func TestNoWordsOfAChartCrossOrLeaveTheSheet(t *testing.T) {
	t.Parallel()
	sample.Each(t, func(t *testing.T, name string, q *pricing.Quote) {
		for _, l := range locales(t) {
			for what, sheet := range charts(q, l) {
				if sheet == nil {
					continue
				}
				readable(t, what+" "+l.Tag(), sheet)
			}
		}
	})
}

// readable holds a sheet to what every chart is held to.
func readable(t *testing.T, what string, sheet *drawing.Sheet) {
	assert.Equal(t, planWidth, sheet.Width, what)
	assert.NotEmpty(t, sheet.Title)
	assert.NotEmpty(t, sheet.Description)
	all := labels(sheet)
	boxes := make([][4]drawing.Spot, len(all))
	for i, label := range all {
		assert.NotEmpty(t, label.Text, what)
		assert.NotContains(t, label.Text, "charts.", what)
		assert.NotContains(t, label.Text, "{", what)
		boxes[i] = corners(label)
		for _, c := range boxes[i] {
			assert.True(t, c.X >= 0 && c.X <= sheet.Width && c.Y >= 0 && c.Y <= sheet.Height, "%s: %q leaves the sheet at %v", what, label.Text, c)
		}
		for k := range i {
			assert.False(t, overlap(boxes[k], boxes[i]), "%s: %q lies on %q", what, label.Text, all[k].Text)
		}
	}
	for _, item := range sheet.Items {
		if shape, ok := item.(*drawing.Shape); ok {
			low, high := bounds(shape)
			assert.True(t, low.X >= -1e-9 && low.Y >= -1e-9 && high.X <= sheet.Width+1e-9 && high.Y <= sheet.Height+1e-9, "%s: %s leaves the sheet: %v to %v", what, shape.Class, low, high)
		}
	}
	reader := xml.NewDecoder(strings.NewReader(string(sheet.SVG())))
	for {
		if _, err := reader.Token(); errors.Is(err, io.EOF) {
			break
		} else {
			require.NoError(t, err, what)
		}
	}
}

func TestChartsAreTheSameTwice(t *testing.T) {
	t.Parallel()
	q := sample.Quote(t, "island-beds")
	for what, sheet := range charts(q, locale.Default()) {
		require.NotNil(t, sheet, what)
		assert.Equal(t, string(sheet.SVG()), string(charts(sample.Quote(t, "island-beds"), locale.Default())[what].SVG()), what)
	}
}

// jobOf is a job in JSON.
func jobOf(t *testing.T, job map[string]any) *pricing.Quote {
	text, err := json.Marshal(job)
	require.NoError(t, err)
	return sample.Of(t, text)
}

// garden is a made-up job: a rectangle with fabric and stone.
func garden(length, width string) map[string]any {
	return map[string]any{"reference": "G-1", "title": "A bed", "units": "us", "price_list": "standard",
		"ground": map[string]any{"soil": "loam", "cover": "bare", "haul": "40 ft"},
		"beds": []any{map[string]any{"id": "long", "outline": map[string]any{"kind": "rectangle", "length": length, "width": width}, "dig": "3 in",
			"fabric": map[string]any{"material": "fabric-woven", "under": "bed"}, "stone": map[string]any{"material": "gravel-10", "depth": "2 in"}}}}
}
