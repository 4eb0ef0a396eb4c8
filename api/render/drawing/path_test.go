package drawing_test

import (
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api/render/drawing"
)

// read gives the places that path data goes to, as SVG 1.1 (8.3) says that commands are read; those of lower case go on
// from where the one before ended.
func read(t *testing.T, data string) (ends []drawing.Spot) {
	t.Helper()
	var at, start drawing.Spot
	for _, c := range regexp.MustCompile(`([MmLlHhVvAaZz])([^MmLlHhVvAaZz]*)`).FindAllStringSubmatch(data, -1) {
		var n []drawing.Millimetres
		for _, text := range regexp.MustCompile(`-?[0-9]*\.?[0-9]+`).FindAllString(c[2], -1) {
			v, err := strconv.ParseFloat(text, 64)
			require.NoError(t, err)
			n = append(n, drawing.Millimetres(v))
		}
		switch c[1] {
		case "M":
			at = drawing.Spot{X: n[0], Y: n[1]}
			start = at
		case "m":
			at = drawing.Spot{X: at.X + n[0], Y: at.Y + n[1]}
			start = at
		case "l":
			at = drawing.Spot{X: at.X + n[0], Y: at.Y + n[1]}
		case "h":
			at.X += n[0]
		case "v":
			at.Y += n[0]
		case "a":
			require.Len(t, n, 7)
			at = drawing.Spot{X: at.X + n[5], Y: at.Y + n[6]}
		case "z":
			at = start
		default:
			require.Fail(t, "a command that is not written", c[1])
		}
		ends = append(ends, at)
	}
	return ends
}

func TestPathDataGoesWhereTheStepsGo(t *testing.T) {
	t.Parallel()
	shape := &drawing.Shape{Ink: drawing.Outline}
	var want []drawing.Spot
	step := func(s drawing.Step, end drawing.Spot) {
		shape.Steps, want = append(shape.Steps, s), append(want, end)
	}
	for i := range 500 { // odd fractions, so that roundings would add up
		x, y := drawing.Millimetres(i)*0.33349, 10-drawing.Millimetres(i)*0.12345
		corner := drawing.Spot{X: x, Y: y}
		step(drawing.Move(x, y), corner)
		step(drawing.Line(x+1.23456, y), drawing.Spot{X: x + 1.23456, Y: y})
		step(drawing.Line(x+1.23456, y+0.04567), drawing.Spot{X: x + 1.23456, Y: y + 0.04567})
		step(drawing.Line(x, y+0.5), drawing.Spot{X: x, Y: y + 0.5})
		step(drawing.Step{Kind: drawing.ArcTo, To: drawing.Spot{X: x - 1, Y: y}, Centre: corner, Radius: 1, Turn: 90}, drawing.Spot{X: x - 1, Y: y})
		step(drawing.Closed(), corner)
	}
	sheet := &drawing.Sheet{Width: 200, Height: 100, Items: []drawing.Item{shape}}
	text := string(sheet.SVG())
	_, data, ok := strings.Cut(text, `<path d="`)
	require.True(t, ok)
	data, _, _ = strings.Cut(data, `"`)
	got := read(t, data)
	require.Len(t, got, len(want))
	for i := range want {
		assert.InDelta(t, float64(want[i].X), float64(got[i].X), 0.00051)
		assert.InDelta(t, float64(want[i].Y), float64(got[i].Y), 0.00051)
	}
}

func TestShapesThatLookAlikeAreWrittenAsOneGroup(t *testing.T) {
	t.Parallel()
	a, b := drawing.Rectangle(1, 1, 2, 2, drawing.Slab, drawing.Outline), drawing.Rectangle(4, 1, 2, 2, drawing.Slab, drawing.Outline)
	c := drawing.Rectangle(7, 1, 2, 2, drawing.Stone, drawing.NoInk)
	a.Class, b.Class = "slab", "slab"
	sheet := &drawing.Sheet{Width: 20, Height: 10, Items: []drawing.Item{a, b, c}}
	text := string(sheet.SVG())
	assert.Contains(t, text, `<g class="slab" fill="#d6dee6" stroke="#141414" stroke-width="0.3" stroke-linejoin="round">
<path d="M1 1h2v2h-2z"/>
<path d="M4 1h2v2h-2z"/>
</g>
<path d="M7 1h2v2h-2z" fill="url(#fill2)"/>
`)
}
