package render

import (
	"context"
	"encoding/json"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api/render/drawing"
	"bedline/api/render/internal/sample"
	"bedline/api/render/locale"
	"bedline/estimate/measure"
	"bedline/pricing"
	"bedline/pricing/supply"
)

func TestEveryCornerOfACostIsAStepOfTheAnswer(t *testing.T) {
	t.Parallel()
	sample.Each(t, func(t *testing.T, name string, q *pricing.Quote) {
		c := newCosts(q, locale.Default())
		if len(c.panels) == 0 {
			assert.Nil(t, Cost(q, locale.Default()))
			return
		}
		c.draw()
		bags, bulk := shapes(c.sheet, classBags), shapes(c.sheet, classBulk)
		require.Len(t, bags, len(c.panels))
		require.Len(t, bulk, len(c.panels))
		evens, needs := shapes(c.sheet, classBreakEven), shapes(c.sheet, classNeeded)
		for i := range c.panels {
			p := &c.panels[i]
			stepped(t, p, bags[i], p.steps.Bags)
			stepped(t, p, bulk[i], p.steps.Bulk)
			// Found by another way of the engine than the steps are.
			assert.Equal(t, p.compared.NeedBags, p.steps.Bags[pricing.Holds(p.steps.Bags, p.compared.Needed)].Cost)
			assert.Equal(t, p.compared.NeedBulk, p.steps.Bulk[pricing.Holds(p.steps.Bulk, p.compared.Needed)].Cost)
			if above := measure.Volume(p.compared.Above); p.compared.Found && above > 0 && above <= p.most {
				require.NotEmpty(t, evens)
				low, high := bounds(evens[0])
				assert.InDelta(t, float64(above), float64(p.quantity(low.X)), 1e-9, "break-even of %s", p.compared.Material.Key)
				assert.Equal(t, low.X, high.X)
				evens = evens[1:]
			}
			if p.compared.Needed <= p.most {
				require.NotEmpty(t, needs)
				low, _ := bounds(needs[0])
				assert.InDelta(t, float64(p.compared.Needed), float64(p.quantity(low.X)), 1e-9, "needed of %s", p.compared.Material.Key)
				needs = needs[1:]
			}
		}
		assert.Empty(t, evens)
		assert.Empty(t, needs)
	})
}

// quantity is what lies at a place of the axis.
func (p *costPanel) quantity(x drawing.Millimetres) measure.Volume {
	return measure.Volume(float64(x-p.left)/float64(p.right-p.left)) * p.most
}

// stepped holds a line to the steps that it draws: flat over each, no step left out, to the right end of the axis.
func stepped(t *testing.T, p *costPanel, line *drawing.Shape, steps []supply.Step) {
	cost := func(y drawing.Millimetres) float64 {
		return float64((p.bottom-y)/(p.bottom-p.top)) * float64(p.dearest)
	}
	require.Zero(t, len(line.Steps)%2)
	from := measure.Volume(0)
	for k := 0; k < len(line.Steps); k += 2 {
		a, b := line.Steps[k].To, line.Steps[k+1].To
		s := steps[k/2]
		to := min(p.most, measure.Volume(s.UpTo))
		assert.InDelta(t, float64(from), float64(p.quantity(a.X)), 1e-9)
		assert.InDelta(t, float64(to), float64(p.quantity(b.X)), 1e-9)
		assert.InDelta(t, float64(s.Cost), cost(a.Y), 1e-6)
		assert.Equal(t, a.Y, b.Y, "flat")
		from = to
	}
	assert.Equal(t, p.most, from, "to the end of the axis")
}

func TestStepsFoundForDrawingAreThoseOfAnAnswerWithSteps(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"garage-bed", "old-tree-by-house", "patio-in-doubt"} {
		text, err := os.ReadFile("../../testdata/jobs/" + name + ".json")
		require.NoError(t, err)
		var job map[string]any
		require.NoError(t, json.Unmarshal(text, &job))
		terms, ok := job["supply"].(map[string]any)
		if !ok {
			terms = map[string]any{}
		}
		terms["steps"] = true
		job["supply"] = terms
		asked, q := jobOf(t, job), sample.Quote(t, name)
		places := make([]int, len(q.Supply.Comparison))
		for i := range places {
			places[i] = i
		}
		found, err := q.CostSteps(context.Background(), places)
		require.NoError(t, err)
		require.NotEmpty(t, found)
		for i := range found {
			require.NotNil(t, asked.Supply.Comparison[i].Steps)
			assert.Equal(t, asked.Supply.Comparison[i].Steps, found[i], "%s: %s", name, q.Supply.Comparison[i].Material.Key)
		}
	}
}

func TestRoundStepsAreOneTwoOrFiveTimesAPowerOfTen(t *testing.T) {
	t.Parallel()
	for v, want := range map[float64]float64{1: 1, 1.1: 2, 3: 5, 6: 10, 0.03: 0.05, 240: 500, 2e6: 2e6} {
		assert.InEpsilon(t, want, roundStep(v), 1e-12)
	}
}
