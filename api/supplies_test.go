package api_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"net/http"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/api"
	"bedline/api/internal/contract"
	"bedline/estimate/document"
)

const (
	comparisons = "/v1/supply-comparisons"
	plans       = "/v1/supply-plans"
)

// example is the first example of a request of an operation.
func example(t require.TestingT, o *contract.Operation) string {
	examples := o.Examples()
	require.NotEmpty(t, examples, o.ID)
	return string(examples[slices.Sorted(maps.Keys(examples))[0]])
}

// buy sends a request for buying.
func (s *service) buy(path, body string, fields ...string) answer {
	s.t.Helper()
	return s.do("POST", path, body, append([]string{"Content-Type", "application/json"}, fields...)...)
}

// 2 yd3 of pebble. North yard: 2 x 68.00 + 65.00 = 201.00 delivered; 2 yd3 are 5200 lb, four trips of 1500 lb at 18.00:
// 136.00 + 72.00 = 208.00. Bags: 54 ft3 are 108 bags at 5.70 (from 56 on) = 615.60 and four trips at 12.00: 663.60. Stone
// yard: 5200 lb = 2.6 ton, sold by half tons: 3 x 49.00 = 147.00, below its minimum order of 150.00, so 3.5 x 49.00 = 171.50
// delivered for 90.00 = 261.50; fetched, 6000 lb are four trips at 24.00: 147.00 + 96.00 = 243.00.
func TestComparingOverHTTP(t *testing.T) {
	t.Parallel()
	s := start(t)
	const body = `{"reference":"w16","units":"metric","requirements":[{"material":"pebble-20","quantity":"2 yd3"}]}`
	a := s.buy(comparisons, body)
	require.Equal(t, 200, a.status, string(a.body))
	assert.Equal(t, "application/json", a.header.Get("Content-Type"))
	assert.Equal(t, "no-store", a.header.Get("Cache-Control"))
	assert.Equal(t, `</v1/price-lists/standard/versions/1>; rel="describedby"`, a.header.Get("Link"))
	var got api.Comparison
	require.NoError(t, json.Unmarshal(a.body, &got))
	assert.Equal(t, "w16", got.Reference)
	assert.Equal(t, "201.00", got.Supply.Plan.LandedCost)
	require.Len(t, got.Supply.BreakEven, 1)
	assert.Equal(t, "663.60", got.Supply.BreakEven[0].Bags.LandedCost)
	assert.Equal(t, "201.00", got.Supply.BreakEven[0].Bulk.LandedCost)
	assert.True(t, strings.HasPrefix(got.Supply.BreakEven[0].Sentence, "108 bags of 0.5 ft3 at 5.70 + 4 trips 48.00 = 663.60; 2 x 1 yd3 in bulk at 68.00 + 1 drop 65.00 = 201.00; bags win up to "), got.Supply.BreakEven[0].Sentence)
	// 2 yd3 = 1.52910971597 m3 (0.9144^3 = 0.764554857984).
	assert.Equal(t, api.Quantity{Value: 1.52910971597, Unit: "m3"}, got.Requirements[0].Required)
	marked := map[string]int{}
	steps := got.Supply.BreakEven[0].Steps
	require.NotNil(t, steps)
	for name, side := range map[string][]api.Step{"bags 663.60": steps.Bags, "bulk 201.00": steps.Bulk} {
		for _, step := range side {
			if step.Needed {
				assert.True(t, strings.HasSuffix(name, step.Cost), "%s: %s", name, step.Cost)
				marked[name]++
			}
		}
	}
	assert.Equal(t, map[string]int{"bags 663.60": 1, "bulk 201.00": 1}, marked, "the need is marked once in each")
	assert.Equal(t, string(a.body), string(s.buy(comparisons, body).body), "F16")
	other := s.buy(comparisons, strings.Replace(body, "2 yd3", "2.0 yd3", 1))
	assert.NotContains(t, string(other.body), got.ID, "another request has another id")
}

func TestPoolingOverHTTP(t *testing.T) {
	t.Parallel()
	s := start(t)
	// 1 yd3 of pebble each. Alone: 68.00 + two trips of 18.00 (2600 lb) = 104.00; the stone yard has 1.5 ton for 73.50 and
	// two trips of 24.00 (3000 lb), 121.50. Together 2 yd3: 201.00, see above. Saved 7.00; each bears 68.00 and 32.50.
	body := `{"jobs":[{"id":"hill","requirements":[{"material":"pebble-20","quantity":"1 yd3"}]},{"id":"mill","requirements":[{"material":"pebble-20","quantity":"27 ft3"}]}]}`
	a := s.buy(plans, body)
	require.Equal(t, 200, a.status, string(a.body))
	assert.Equal(t, "no-store", a.header.Get("Cache-Control"))
	assert.Equal(t, `</v1/price-lists/standard/versions/1>; rel="describedby"`, a.header.Get("Link"))
	var got api.PooledPlan
	require.NoError(t, json.Unmarshal(a.body, &got))
	assert.Equal(t, []string{"208.00", "201.00", "7.00"}, []string{got.Apart, got.Together, got.Saved})
	for i, id := range []string{"hill", "mill"} {
		j := got.Jobs[i]
		assert.Equal(t, []string{id, "68.00", "32.50", "0.00", "100.50", "104.00", "3.50"}, []string{j.ID, j.Goods, j.Delivery, j.Adjustment, j.Amount, j.AloneAmount, j.Saved})
	}
	assert.Nil(t, got.Supply.BreakEven[0].Steps)
	assert.Contains(t, got.Rule, "no job pays more than alone")
	assert.Equal(t, string(a.body), string(s.buy(plans, body).body), "F16")
	a = s.buy(plans, strings.Replace(body, `{"jobs"`, `{"supply":{"steps":true},"jobs"`, 1))
	assert.Contains(t, string(a.body), `"needed":true`)
}

func TestEstimatesHaveStepsOnlyWhereTheyAreAskedFor(t *testing.T) {
	t.Parallel()
	s := start(t)
	o, _ := s.contract.Operation("createEstimate")
	plain := string(o.Examples()["round_bed"])
	with := func(supply string) answer {
		return s.post(strings.Replace(plain, `{"beds"`, `{"supply":`+supply+`,"beds"`, 1))
	}
	require.NotEqual(t, plain, strings.Replace(plain, `{"beds"`, "", 1))
	assert.NotContains(t, string(s.post(plain).body), `"steps"`)
	assert.NotContains(t, string(with(`{"steps":false}`).body), `"steps"`)
	a := with(`{"steps":true}`)
	require.Equal(t, 200, a.status)
	var stepped api.Answer
	require.NoError(t, json.Unmarshal(a.body, &stepped))
	require.NotEmpty(t, stepped.Supply.BreakEven)
	for _, b := range stepped.Supply.BreakEven {
		require.NotNil(t, b.Steps)
		assert.NotEmpty(t, b.Steps.Bags)
		assert.NotEmpty(t, b.Steps.Bulk)
	}
	// But for the steps and the id the answer is the same.
	var bare api.Answer
	require.NoError(t, json.Unmarshal(s.post(plain).body, &bare))
	for i := range stepped.Supply.BreakEven {
		stepped.Supply.BreakEven[i].Steps = nil
	}
	stepped.ID = bare.ID
	assert.Equal(t, bare, stepped)
	// And it is written as the standard library writes it.
	require.NoError(t, json.Unmarshal(a.body, &stepped))
	var want bytes.Buffer
	e := json.NewEncoder(&want)
	e.SetEscapeHTML(false)
	require.NoError(t, e.Encode(stepped))
	assert.Equal(t, strings.TrimSuffix(want.String(), "\n"), string(stepped.Append(nil)))
	assert.Equal(t, []string{"/supply/steps wrong_type"}, with(`{"steps":1}`).faults())
}

func TestFaultsOfBuyingComeTogether(t *testing.T) {
	t.Parallel()
	s := start(t)
	a := s.buy(comparisons, `{"colour":"red","price_list":"standard","requirements":[{"material":"pebble-20","quantity":4},{"material":"pebble-20","quantity":"300 ft2"},
		{"material":"gr8secret","quantity":"-1 yd3"},{"material":"slab-18","quantity":0},{"material":"slab-18","quantity":2.5,"waste_percent":"5"},{}]}`)
	require.Equal(t, 422, a.status)
	assert.Equal(t, "invalid-requirements", a.slug())
	assert.Equal(t, []string{"/colour unknown_member", "/requirements/0/quantity unit_missing", "/requirements/1/quantity no_conversion",
		"/requirements/2/material unknown_material", "/requirements/2/quantity bad_quantity", "/requirements/3/quantity out_of_range", "/requirements/4/quantity wrong_type", "/requirements/4/waste_percent wrong_type",
		"/requirements/5/material missing", "/requirements/5/quantity missing"}, a.faults())
	assert.NotContains(t, string(a.body), "gr8secret", "E11")
	assert.Equal(t, "4 yd3", a.problem.Errors[1].Example)
	a = s.buy(plans, `{"price_list":"winter","jobs":[{"id":"a"},{"id":"b","requirements":[],"job":{}},{"id":"a","requirements":[{"material":"pebble-20","quantity":3}]},
		{"id":"d","job":{"ground":{"soil":"loam","cover":"turf","haul":60},"beds":[{"id":"a","outline":{"kind":"circle","radius":"-1 m"}}]}}]}`)
	require.Equal(t, 422, a.status)
	assert.Equal(t, "invalid-requirements", a.slug())
	assert.Equal(t, []string{"/price_list unknown_price_list", "/jobs/0/requirements missing", "/jobs/1/requirements out_of_range", "/jobs/1/job conflict", "/jobs/2/id duplicate_id",
		"/jobs/3/job/ground/haul unit_missing", "/jobs/3/job/beds/0/outline/radius not_positive"}, slices.DeleteFunc(a.faults(), func(f string) bool { return strings.HasPrefix(f, "/jobs/1/job/") || f == "/jobs/1/job missing" }))
}

func TestBuyingGoesThroughTheStepsOfEveryRequest(t *testing.T) {
	t.Parallel()
	small := func(c *api.Config) { c.MaxBody = 1000 }
	s := start(t, small)
	for _, path := range []string{comparisons, plans} {
		for _, tt := range []struct {
			body   string
			fields []string
			status int
			slug   string
		}{
			{"{}", []string{"Accept", "image/png", "Content-Type", "application/json"}, 406, "not-acceptable"},
			{"{}", []string{"Content-Type", "text/plain"}, 415, "unsupported-media-type"},
			{`{"title":"` + strings.Repeat("x", 2000) + `"}`, []string{"Content-Type", "application/json"}, 413, "content-too-large"},
			{"{", []string{"Content-Type", "application/json"}, 400, "malformed-json"},
			{`{"jobs":[],"jobs":[]}`, []string{"Content-Type", "application/json"}, 400, "malformed-json"},
			{"{}", []string{"Content-Type", "application/json"}, 422, "invalid-requirements"},
		} {
			a := s.do("POST", path, tt.body, tt.fields...)
			assert.Equal(t, tt.status, a.status, "%s %s", path, tt.body)
			assert.Equal(t, tt.slug, a.slug())
		}
		assert.Equal(t, 400, s.buy(path+"?x=1", "{}").status)
	}
}

// buyer replaces the buying.
type buyer func() (*api.Estimate, []document.Fault, error)

func (f buyer) CompareSupply(context.Context, *document.Node, []byte) (*api.Estimate, []document.Fault, error) {
	return f()
}
func (f buyer) PoolSupply(context.Context, *document.Node, []byte) (*api.Estimate, []document.Fault, error) {
	return f()
}

func TestFailuresOfBuyingAreOurs(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		err    error
		status int
	}{{errors.New("out of order"), 500}, {context.DeadlineExceeded, 503}, {nil, 500}} {
		s := start(t, func(c *api.Config) {
			c.Buyer = buyer(func() (*api.Estimate, []document.Fault, error) { return nil, nil, tt.err })
		})
		for path, id := range map[string]string{comparisons: "createSupplyComparison", plans: "createSupplyPlan"} {
			o, _ := s.contract.Operation(id)
			a := s.buy(path, example(t, o))
			assert.Equal(t, tt.status, a.status)
			assert.NotContains(t, string(a.body), "out of order")
		}
	}
}

// A service with an Estimator of its own still buys with the lists that it has.
func TestBuyingNeedsNoEstimatorOfOurs(t *testing.T) {
	t.Parallel()
	s := start(t, answering(panicking("not to be called")))
	o, _ := s.contract.Operation("createSupplyComparison")
	assert.Equal(t, 200, s.buy(comparisons, example(t, o)).status)
}

func requirements(t *rapid.T) string {
	fitting := []string{`"pebble-20","quantity":"4 yd3"`, `"pebble-20","quantity":"1/2 yd3"`, `"base-crushed","quantity":"3 ton"`, `"sand-bedding","quantity":"50 lb"`, `"bark-fine","quantity":"0.3 m3"`,
		`"slab-18","quantity":"100 ft2"`, `"slab-18","quantity":30`, `"edger-8x4","quantity":"5' 10 1/2\""`, `"edger-8x4","quantity":1000000`, `"fabric-woven","quantity":"300 ft2"`, `"pin-6","quantity":1`}
	odd := []string{`"pebble-20","quantity":"99999999999 yd3"`, `"pebble-20","quantity":"0.0000000001 mL"`, `"sand-bedding","quantity":"0 yd3"`, `"pebble-20","quantity":30`, `"no-such-thing","quantity":30`,
		`"slab-18","quantity":"4 yd3"`, `"pin-6","quantity":"12 ft"`, `"base-crushed","quantity":"100 ft2"`, `"slab-18","quantity":"0.000001 mm2"`, `"base-crushed","quantity":"0.000001 g"`}
	var list []string
	for range rapid.IntRange(1, 5).Draw(t, "requirements") {
		from := fitting
		if rapid.IntRange(0, 19).Draw(t, "odd") == 0 {
			from = odd
		}
		one := `{"material":` + rapid.SampledFrom(from).Draw(t, "one")
		if rapid.Bool().Draw(t, "waste") {
			one += fmt.Sprintf(`,"waste_percent":%d`, rapid.IntRange(0, 200).Draw(t, "percent"))
		}
		if strings.Contains(one, "yd3") && rapid.Bool().Draw(t, "compacted") {
			one += `,"compacted":true`
		}
		list = append(list, one+"}")
	}
	return "[" + strings.Join(list, ",") + "]"
}

// A request that the contract allows is answered or refused with faults; the service never fails over it.
func TestWhatTheContractAllowsOfBuyingNeverFails(t *testing.T) {
	t.Parallel()
	s := start(t, func(c *api.Config) { c.Timeout = 10 * time.Minute }) // a busy machine is no failure
	seen := map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		prefer := rapid.SampledFrom([]string{"cheapest", "bags", "bulk"}).Draw(t, "prefer")
		path, id, body := comparisons, "createSupplyComparison", fmt.Sprintf(`{"requirements":%s,"supply":{"prefer":%q}}`, requirements(t), prefer)
		if rapid.Bool().Draw(t, "pool") {
			var list []string
			for i := range rapid.IntRange(1, 3).Draw(t, "jobs") {
				what := `"requirements":` + requirements(t)
				if rapid.IntRange(0, 9).Draw(t, "whole") == 0 {
					what = `"job":` + jobs().Draw(t, "job")
				}
				list = append(list, fmt.Sprintf(`{"id":"j%d",%s}`, i, what))
			}
			path, id = plans, "createSupplyPlan"
			body = fmt.Sprintf(`{"jobs":[%s],"supply":{"prefer":%q,"steps":%v}}`, strings.Join(list, ","), prefer, rapid.Bool().Draw(t, "steps"))
		}
		w := inside(s.handler, http.MethodPost, path, body)
		seen[fmt.Sprint(path, " ", w.Code)]++
		if w.Code != 200 && w.Code != 422 {
			t.Fatalf("status %d for %s: %s", w.Code, body, w.Body)
		}
		o, _ := s.contract.Operation(id)
		if err := s.contract.CheckResponse(o, w.Code, w.Header(), w.Body.Bytes()); err != nil {
			t.Fatalf("%v: %s", err, body)
		}
	})
	t.Log(seen)
}
