package render

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api/render/drawing"
	"bedline/api/render/internal/sample"
	"bedline/api/render/locale"
	"bedline/pricing"
	"bedline/pricing/schedule"
)

func TestTheBarsOfATaskAreAsLongAsItTakes(t *testing.T) {
	t.Parallel()
	sample.Each(t, func(t *testing.T, name string, q *pricing.Quote) { wholePlan(t, q) })
}

// wholePlan holds the chart of a plan to its tasks and holds.
func wholePlan(t *testing.T, q *pricing.Quote) {
	c := newTaskChart(q, locale.Default())
	c.draw()
	// All time in which somebody works has one scale.
	scale := 0.0
	for i := range c.axis {
		if s := &c.axis[i]; s.work && !s.idle {
			one := float64(s.width) / float64(s.last-s.first)
			if scale == 0 {
				scale = one
			}
			require.InEpsilon(t, scale, one, 1e-9)
		}
	}
	bars, holds := shapes(c.sheet, classTask), shapes(c.sheet, classHold)
	milestones := shapes(c.sheet, classMilestone)
	row := func(s *drawing.Shape) int {
		low, high := bounds(s)
		for i := range c.rows {
			if y := c.rows[i].y; y > low.Y && y < high.Y {
				return i
			}
		}
		return -1
	}
	minutes := make([]float64, len(c.rows))
	for _, b := range bars {
		low, high := bounds(b)
		assert.Greater(t, high.X, low.X)
		i := row(b)
		require.GreaterOrEqual(t, i, 0)
		require.NotNil(t, c.rows[i].task)
		assert.Equal(t, c.rows[i].task.Times.Critical, b.Class == classCritical)
		minutes[i] += float64(high.X-low.X) / scale
	}
	tasks, held, waits := 0, 0, 0
	for i := range c.rows {
		r := &c.rows[i]
		if r.hold != nil {
			held++
			continue
		}
		tasks++
		waits += len(r.task.Waits)
		assert.InDelta(t, float64(r.task.Length), minutes[i], 1e-9*float64(r.task.Length+1), "minutes of %s", r.task.Operation)
		if r.task.Length == 0 {
			require.NotEmpty(t, milestones)
			milestones = milestones[1:]
		}
		if k := i - 1; k >= 0 && c.rows[k].task != nil {
			assert.LessOrEqual(t, c.rows[k].task.Start, r.task.Start, "in order of their starts")
		}
	}
	assert.Equal(t, len(q.Plan.Tasks), tasks)
	assert.Equal(t, len(q.Plan.Holds), held)
	assert.Len(t, shapes(c.sheet, classWait), waits)
	for _, h := range holds {
		low, high := bounds(h)
		assert.Greater(t, high.X, low.X)
		i := row(h)
		require.NotNil(t, c.rows[i].hold)
		// It begins where its task ends, and ends no later than what waits for it starts.
		assert.InDelta(t, float64(c.ends(c.rows[i].hold.From)), float64(low.X), 1e-9)
		for _, op := range c.rows[i].hold.Before {
			for k := range c.rows {
				if task := c.rows[k].task; task != nil && task.Operation == op {
					assert.LessOrEqual(t, float64(high.X), float64(c.starts(task.Start))+1e-6)
				}
			}
		}
	}
	assert.Len(t, holds, len(q.Plan.Holds), "a bar for every hold")
}

func TestMomentsLieInTheirOrderOnTheAxis(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"bed-before-the-holiday", "patio-with-machines", "garage-bed"} {
		q := sample.Quote(t, name)
		c := newTaskChart(q, locale.Default())
		last := c.axis[len(c.axis)-1]
		before := c.clock(c.axis[0].from)
		assert.InDelta(t, float64(namesWide), float64(before), 1e-9)
		for at := c.axis[0].from; at <= last.to; at += 7 {
			x := c.clock(at)
			assert.GreaterOrEqual(t, x, before)
			before = x
		}
		assert.InDelta(t, float64(planWidth-3), float64(last.x+last.width), 1e-6)
		for at := schedule.Minutes(0); at <= q.Plan.Length; at += 5 {
			assert.InDelta(t, float64(c.starts(at)), float64(c.clock(q.Plan.Calendar.Start(at))), 1e-9)
		}
	}
}

func TestPlansOfAnyLengthAreReadable(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name, length, width string
		crew                map[string]any
	}{
		{"an hour", "3 ft", "2 ft", nil},
		{"weeks", "400 ft", "60 ft", map[string]any{"size": 2, "start": "2027-04-12"}},
		{"weeks without dates", "400 ft", "60 ft", nil},
		{"a year", "900 ft", "300 ft", map[string]any{"size": 2, "start": "2027-04-12"}},
		{"years", "3000 ft", "900 ft", map[string]any{"size": 1, "start": "2027-04-12"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			job := garden(c.length, c.width)
			delete(job["beds"].([]any)[0].(map[string]any), "fabric")
			if c.crew != nil {
				job["crew"] = c.crew
			}
			q := jobOf(t, job)
			wholePlan(t, q)
			for _, l := range locales(t) {
				readable(t, c.name, Tasks(q, l))
			}
		})
	}
}
