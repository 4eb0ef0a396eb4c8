package render

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api/render/drawing"
	"bedline/api/render/internal/sample"
	"bedline/api/render/locale"
	"bedline/pricing"
)

// dotsOf are the spots of the dots at which the lines of the notes of a section begin.
func dotsOf(s *drawing.Sheet) []drawing.Spot {
	var dots []drawing.Spot
	for _, item := range s.Items {
		if shape, ok := item.(*drawing.Shape); ok && shape.Fill == drawing.Ink100 && shape.Class == "" {
			low, high := bounds(shape)
			dots = append(dots, drawing.Spot{X: (low.X + high.X) / 2, Y: low.Y})
		}
	}
	return dots
}

// topmost is the class of the layer that is seen at a spot of a section.
func topmost(s *drawing.Sheet, at drawing.Spot) string {
	for _, item := range slices.Backward(s.Items) {
		shape, ok := item.(*drawing.Shape)
		if !ok || shape.Class == "" || shape.Fill == drawing.NoFill {
			continue
		}
		if low, high := bounds(shape); at.X > low.X && at.X < high.X && at.Y > low.Y && at.Y < high.Y {
			return shape.Class
		}
	}
	return ""
}

func TestTheNotesOfASectionPointAtWhatIsSeenOfEveryLayer(t *testing.T) {
	t.Parallel()
	sample.Each(t, func(t *testing.T, _ string, q *pricing.Quote) {
		sheet := Section(q, locale.Default())
		dots := dotsOf(sheet)
		named := map[string]int{}
		for i, d := range dots {
			named[topmost(sheet, d)]++
			for _, o := range dots[:i] {
				assert.Greater(t, math.Abs(float64(d.Y-o.Y)), 0.5, "the lines of two notes run into each other")
			}
		}
		for _, class := range []string{"unit", "stone", "sand", "base", "fabric", "slab", "wall", "soil"} {
			drawn := shapes(sheet, class)
			assert.Equal(t, len(drawn) > 0, named[class] > 0, "a note at a layer of %s", class)
		}
	})
}

func TestNothingIsDrawnOnStoneThatLiesBelowTheFinishedGround(t *testing.T) {
	t.Parallel()
	// The stone of the terrace is 2 in deep in a bed dug 3 in, that of the corner 2 1/2 in of 3 in.
	for name, low := range map[string]float64{"terrace-planters": 25.4, "corner-bed": 12.7} {
		q := sample.Quote(t, name)
		sheet := Section(q, locale.Default())
		open := shapes(sheet, classOpen)
		require.Len(t, open, 1)
		assert.Equal(t, drawing.Paper, open[0].Fill)
		from, to := bounds(open[0])
		assert.InDelta(t, low/float64(ScalesOf(q, locale.Default())[0]), float64(to.Y-from.Y), 1e-9)
		stone, _ := bounds(shapes(sheet, "stone")[0])
		assert.InDelta(t, float64(stone.Y), float64(to.Y), 1e-9, "down to the stone")
		ground, _ := bounds(shapes(sheet, "subgrade")[0])
		assert.InDelta(t, float64(ground.Y), float64(from.Y), 1e-9, "from the finished ground")
	}
}

func TestAKeyOfTasksNamesOnlyWhatIsDrawn(t *testing.T) {
	t.Parallel()
	l := locale.Default()
	sample.Each(t, func(t *testing.T, _ string, q *pricing.Quote) {
		sheet := Tasks(q, l)
		if sheet == nil {
			return
		}
		var written []string
		for _, label := range labels(sheet) {
			written = append(written, label.Text)
		}
		for class, key := range map[string]string{classTask: "task", classCritical: "critical", classHold: "hold", classSlack: "slack", classWait: "wait", classDayOff: "day_off"} {
			drawn := slices.ContainsFunc(sheet.Items, func(item drawing.Item) bool { s, ok := item.(*drawing.Shape); return ok && s.Class == class })
			assert.Equal(t, drawn, slices.Contains(written, l.Say("charts.tasks.key."+key)), key)
		}
	})
}

// level are the level lines of a shape, each from left to right.
func level(s *drawing.Shape) (lines [][2]drawing.Spot) {
	var at, start drawing.Spot
	for _, step := range s.Steps {
		to := step.To
		if step.Kind == drawing.Close {
			to = start
		}
		if step.Kind == drawing.MoveTo {
			start = to
		} else if step.Kind != drawing.ArcTo && math.Abs(float64(to.Y-at.Y)) < 1e-6 {
			lines = append(lines, [2]drawing.Spot{{X: min(at.X, to.X), Y: to.Y}, {X: max(at.X, to.X), Y: to.Y}})
		}
		at = to
	}
	return lines
}

func TestADimensionStandsClearOfTheSidesOfANeighbour(t *testing.T) {
	t.Parallel()
	sheet := Plan(sample.Quote(t, "walk-and-seat"), locale.Default())
	dimensions := 0
	for _, item := range sheet.Items {
		line, ok := item.(*drawing.Shape)
		if !ok || line.Ink != drawing.Measure || len(line.Steps) != 4 || line.Fill != drawing.NoFill {
			continue
		}
		for _, d := range level(line) {
			dimensions++
			for _, ground := range slices.Concat(shapes(sheet, classBed), shapes(sheet, classPaving)) {
				for _, side := range level(ground) {
					if min(d[1].X, side[1].X)-max(d[0].X, side[0].X) > 2 {
						assert.Greater(t, math.Abs(float64(d[0].Y-side[0].Y)), 1.99)
					}
				}
			}
		}
	}
	assert.Equal(t, 2*2*3, dimensions, "two lines each, of two level sides of three outlines")
}

func TestTheNameOfAWallStandsClearOfTheTicksOfADimension(t *testing.T) {
	t.Parallel()
	for _, l := range locales(t) {
		sheet := Plan(sample.Quote(t, "old-tree-by-house"), l)
		found := false
		for _, label := range labels(sheet) {
			if !strings.Contains(label.Text, "garden-wall") {
				continue
			}
			found = true
			for _, item := range sheet.Items {
				tick, ok := item.(*drawing.Shape)
				if !ok || tick.Ink != drawing.Outline || len(tick.Steps) != 4 || tick.Fill != drawing.NoFill || tick.Class != "" {
					continue
				}
				for k := 0; k < 4; k += 2 {
					a, b := tick.Steps[k].To, tick.Steps[k+1].To
					assert.False(t, overlap(corners(label), [4]drawing.Spot{a, b, {X: b.X + 0.01, Y: b.Y}, {X: a.X + 0.01, Y: a.Y}}), label.Text)
				}
			}
		}
		assert.True(t, found)
	}
}

func TestTheNumberOfAPieceOfFabricStandsOnNoLineOfTheEdging(t *testing.T) {
	t.Parallel()
	// Of the second piece little lies on the bed, and that under the edging: its number stands beside the bed.
	q := sample.Quote(t, "wall-bed-offsets")
	assert.True(t, slices.ContainsFunc(labels(Fabric(q, locale.Default())), func(l *drawing.Label) bool { return l.Text == "2: 19 ft 2 7/8 in" }))
}
