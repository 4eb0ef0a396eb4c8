package pricing_test

import (
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate"
	"bedline/estimate/measure"
	"bedline/pricing"
)

// applied applies a patch as RFC 6902 says, sections 4.1, 4.3 and 4.6, to the JSON of a list, and compiles what comes out.
func applied(t require.TestingT, list *pricing.List, patch []pricing.PatchOperation) *pricing.List {
	read := func(text []byte) any {
		d := json.NewDecoder(strings.NewReader(string(text)))
		d.UseNumber()
		var v any
		require.NoError(t, d.Decode(&v))
		return v
	}
	root := read(list.JSON())
	for _, op := range patch {
		value := read(op.Value)
		steps := strings.Split(op.Path, "/")[1:]
		at := root
		for i, step := range steps {
			last := i == len(steps)-1
			switch node := at.(type) {
			case []any:
				var k int
				_, err := fmt.Sscan(step, &k)
				require.NoError(t, err)
				require.False(t, last && op.Op != "test")
				at = node[k]
			case map[string]any:
				old, there := node[step]
				if last && op.Op != "test" {
					require.True(t, there || op.Op == "add", "%+v", op)
					node[step] = value
				}
				at = old
			default:
				require.Fail(t, "there is nothing", op.Path)
			}
		}
		if op.Op == "test" {
			require.True(t, reflect.DeepEqual(at, value), "%s is another: %v, not %v", op.Path, at, value)
		}
	}
	text, err := json.Marshal(root)
	require.NoError(t, err)
	document, err := pricing.ReadDocument(text)
	require.NoError(t, err)
	out, err := document.Compile(list.Version + 1)
	require.NoError(t, err)
	return out
}

// From past jobs to a price: the patch applies, the list compiles, and the next estimate is that of the new figures.
func TestThePatchedListEstimatesWithTheNewFigures(t *testing.T) {
	t.Parallel()
	list, job := pricing.Sample(), garageBed(t)
	before := quoteOf(t, job)
	c := calibrationOf(t, list, `"prior_jobs":1,`, `"job":`+job+`,"hours":[{"operation":"dig_bed","hours":9},{"operation":"lay_slabs","hours":1.2}],
		"materials":[{"line":"decorative_stone","used":"1 yd3"}],"compaction":[{"material":"base-crushed","loose":"5 yd3","compacted":"3 yd3"}]`)
	next := applied(t, list, c.Patch)
	assert.Equal(t, list.Version+1, next.Version)
	after := quoteOf(t, job, next)
	hours := func(q *pricing.Quote, op estimate.Operation) float64 {
		sum := 0.0
		for _, l := range q.Lines {
			if l.Work != nil && l.Work.Operation == op {
				h, _ := l.Hours.Float64()
				sum += h
			}
		}
		return sum
	}
	// With the list as one past job beside one, the new hours are the geometric mean of those estimated and those taken.
	for op, taken := range map[estimate.Operation]float64{estimate.DigBed: 9, estimate.LaySlabs: 1.2} {
		assert.InEpsilon(t, math.Sqrt(hours(before, op)*taken), hours(after, op), 0.006, "%s: to three digits, and hours to a hundredth", op)
	}
	assert.Equal(t, hours(before, estimate.LayFabric), hours(after, estimate.LayFabric))
	base := func(q *pricing.Quote) (compaction measure.Factor) {
		for _, l := range q.Takeoff.Lines {
			if l.Key == estimate.Base {
				compaction = l.Material.CompactionFactor
			}
		}
		return
	}
	assert.InDelta(t, (1.25+5./3)/2, float64(base(after)), 0.005) // 1.458, so 1.46
	// The sources tell where the figures come from, and a second calibration does not pile them up.
	rate := func(l *pricing.List) string {
		for _, r := range l.Rates() {
			if r.Operation == estimate.LaySlabs {
				return r.Source
			}
		}
		return ""
	}
	assert.Equal(t, "Calibrated from 1 past job, 50 % of it; before 2.5 h (From memory, adjust to your crew)", rate(next))
	again := calibrationOf(t, next, "", `"hours":[{"operation":"lay_slabs","quantity":10,"hours":9}]`, `"hours":[{"operation":"lay_slabs","quantity":10,"hours":8}],"compaction":[{"material":"base-crushed","loose":"5 yd3","compacted":"3 yd3"}]`)
	third := applied(t, next, again.Patch)
	assert.Regexp(t, `^Calibrated from 2 past jobs, 40 % of it; before [0-9.]+ h \(From memory, adjust to your crew\)$`, rate(third))
	for _, m := range third.Document().Materials {
		if m.Key == "base-crushed" {
			assert.Equal(t, 1, strings.Count(m.Source, "Compaction factor calibrated"), m.Source)
		}
	}
}

func TestAListWithoutAFigureGetsIt(t *testing.T) {
	t.Parallel()
	list := sampleWith(t, func(d *pricing.Document) {
		d.Allowances.Base = nil
		for i := range d.Materials {
			d.Materials[i].Source = ""
			d.Materials[i].CompactionFactor = nil
		}
	})
	c := calibrationOf(t, list, "", `"materials":[{"line":"base","material":"base-crushed","measured":"1 yd3","used":"1.4 yd3"}],"compaction":[{"material":"base-crushed","loose":"5 yd3","compacted":"4 yd3"}]`)
	next := applied(t, list, c.Patch)
	// 1 + 0.25/4 = 1.0625, so 1.06; 1.4/1.06 = 1.32075, (1.32075 - 1)/4 = 8.0 %.
	d := next.Document()
	require.NotNil(t, d.Allowances.Base)
	assert.Equal(t, "8", d.Allowances.Base.String())
	m, ok := next.Catalogue.Material("base-crushed")
	require.True(t, ok)
	assert.Equal(t, measure.Factor(1.06), m.CompactionFactor)
	assert.Equal(t, "Compaction factor calibrated from 1 past job, 25 % of it; before 1", m.Source)
	for _, f := range c.Figures {
		assert.False(t, f.Listed)
	}
}

func TestNothingToChangeIsAnEmptyPatch(t *testing.T) {
	t.Parallel()
	c := calibrationOf(t, pricing.Sample(), "", dug("4", "7"))
	assert.Equal(t, "1.75", c.Figures[0].New.String())
	assert.Empty(t, c.Patch)
}
