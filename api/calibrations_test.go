package api_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/api"
	"bedline/estimate/document"
)

const calibrations = "/v1/calibrations"

// The figures are worked by hand in the tests of package pricing.
func TestCalibratingOverHTTP(t *testing.T) {
	t.Parallel()
	s := start(t)
	const body = `{"reference":"s27","past_jobs":[{"reference":"a","date":"2027-05-04","hours":[{"operation":"dig_bed","soil":"loam","quantity":"4 yd3","hours":7}]},
		{"reference":"b","hours":[{"operation":"dig_bed","soil":"loam","quantity":"4 yd3","hours":8.4}]},{"reference":"c","hours":[{"operation":"dig_bed","soil":"loam","quantity":"4 yd3","hours":10.08}]}]}`
	a := s.buy(calibrations, body)
	require.Equal(t, 200, a.status, string(a.body))
	assert.Equal(t, "application/json", a.header.Get("Content-Type"))
	assert.Equal(t, "no-store", a.header.Get("Cache-Control"))
	assert.Equal(t, `</v1/price-lists/standard/versions/1>; rel="describedby"`, a.header.Get("Link"))
	var got api.Calibration
	require.NoError(t, json.Unmarshal(a.body, &got))
	require.Len(t, got.Rates, 1)
	assert.Equal(t, []string{"1.75", "1.92"}, []string{got.Rates[0].Old.String(), got.Rates[0].New.String()})
	assert.Equal(t, "2027-05-04", got.Rates[0].Figures[0].Date)
	assert.Equal(t, api.Quantity{Value: 7, Unit: "h"}, got.Rates[0].Figures[0].Estimated)
	assert.Empty(t, got.Allowances)
	assert.Equal(t, s.do("GET", "/v1/price-lists/standard/versions/1", "").header.Get("ETag"), got.IfMatch)
	assert.Equal(t, string(a.body), string(s.buy(calibrations, body).body), "F16")
	assert.NotContains(t, string(s.buy(calibrations, strings.Replace(body, "10.08", "10.1", 1)).body), got.ID, "another request has another id")
}

// patched is the JSON of a list after a patch whose tests hold (RFC 6902); the tests of package pricing apply them with care.
func patched(t *testing.T, list []byte, patch []api.PatchOperation) string {
	var root any
	require.NoError(t, json.Unmarshal(list, &root))
	for _, op := range patch {
		var value any
		require.NoError(t, json.Unmarshal(op.Value, &value))
		at := root
		steps := strings.Split(op.Path, "/")[1:]
		for i, step := range steps {
			switch node := at.(type) {
			case []any:
				k, err := strconv.Atoi(step)
				require.NoError(t, err)
				at = node[k]
			case map[string]any:
				at = node[step]
				if i == len(steps)-1 && op.Op != "test" {
					node[step] = value
				}
			}
		}
		if op.Op == "test" {
			require.Equal(t, value, at, op.Path)
		}
	}
	text, err := json.Marshal(root)
	require.NoError(t, err)
	return string(text)
}

// From past jobs over the patch and publishing to an estimate with the new rate, all of it over HTTP.
func TestThePatchIsPublishedAndUsed(t *testing.T) {
	t.Parallel()
	s := start(t, publishing)
	o, _ := s.contract.Operation("createCalibration")
	a := s.buy(calibrations, example(t, o))
	require.Equal(t, 200, a.status, string(a.body))
	var got api.Calibration
	require.NoError(t, json.Unmarshal(a.body, &got))
	list := s.do("GET", "/v1/price-lists/standard/versions/1", "")
	next := patched(t, list.body, got.Patch)
	put := func() answer {
		return s.do("PUT", "/v1/price-lists/standard", next, "Content-Type", "application/json", "If-Match", got.IfMatch)
	}
	b := put()
	require.Equal(t, 200, b.status, string(b.body))
	assert.Equal(t, "/v1/price-lists/standard/versions/2", b.header.Get("Content-Location"))
	assert.Equal(t, 412, put().status, "the patch is of the version before")
	// 27 x 12 ft dug 1 ft deep are 12 yd3 of loam: at 1.75 h 21 h, at the new 2.02 h 24.24 h.
	const job = `{"price_list_version":%d,"crew":{"tools":{"dig_bed":"hand"}},"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"beds":[{"id":"b","dig":"12 in","outline":{"kind":"rectangle","length":"27 ft","width":"12 ft"}}]}`
	for version, want := range map[int]string{1: "21", 2: "24.24"} {
		e := s.post(fmt.Sprintf(job, version))
		require.Equal(t, 200, e.status, string(e.body))
		var answer api.Answer
		require.NoError(t, json.Unmarshal(e.body, &answer))
		hours := ""
		for _, l := range answer.LineItems {
			if l.Operation == "dig_bed" {
				hours = l.Hours.String()
			}
		}
		assert.Equal(t, want, hours)
	}
}

func TestFaultsOfCalibratingComeTogether(t *testing.T) {
	t.Parallel()
	s := start(t)
	a := s.buy(calibrations, `{"colour":"red","past_jobs":[{"reference":"a","hours":[{"operation":"dig_bed","quantity":3,"hours":"gr8secret"}]},{"reference":"a","job":{"beds":7}}]}`)
	require.Equal(t, 422, a.status)
	assert.Equal(t, "invalid-calibration", a.slug())
	assert.Subset(t, a.faults(), []string{"/colour unknown_member", "/past_jobs/0/hours/0/quantity unit_missing", "/past_jobs/0/hours/0/hours wrong_type", "/past_jobs/1/reference duplicate_id",
		"/past_jobs/1/job/beds wrong_type", "/past_jobs/1/job/ground missing", "/past_jobs/1/hours missing"})
	assert.NotContains(t, string(a.body), "gr8secret", "E11")
}

func TestCalibratingGoesThroughTheStepsOfEveryRequest(t *testing.T) {
	t.Parallel()
	s := start(t, func(c *api.Config) { c.MaxBody = 1000 })
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
		{`{"past_jobs":[],"past_jobs":[]}`, []string{"Content-Type", "application/json"}, 400, "malformed-json"},
		{"{}", []string{"Content-Type", "application/json"}, 422, "invalid-calibration"},
	} {
		a := s.do("POST", calibrations, tt.body, tt.fields...)
		assert.Equal(t, tt.status, a.status, tt.body)
		assert.Equal(t, tt.slug, a.slug())
	}
	assert.Equal(t, 400, s.buy(calibrations+"?x=1", "{}").status)
	assert.Equal(t, 405, s.do("GET", calibrations, "").status)
}

// calibrator replaces the calibrating.
type calibrator func() (*api.Estimate, []document.Fault, error)

func (f calibrator) Calibrate(context.Context, *document.Node, []byte) (*api.Estimate, []document.Fault, error) {
	return f()
}

func TestFailuresOfCalibratingAreOurs(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		err    error
		status int
	}{{errors.New("out of order"), 500}, {context.DeadlineExceeded, 503}, {nil, 500}} {
		s := start(t, func(c *api.Config) {
			c.Calibrator = calibrator(func() (*api.Estimate, []document.Fault, error) { return nil, nil, tt.err })
		})
		o, _ := s.contract.Operation("createCalibration")
		a := s.buy(calibrations, example(t, o))
		assert.Equal(t, tt.status, a.status)
		assert.NotContains(t, string(a.body), "out of order")
	}
	s := start(t, answering(panicking("not to be called"))) // an Estimator of another making
	o, _ := s.contract.Operation("createCalibration")
	assert.Equal(t, 200, s.buy(calibrations, example(t, o)).status)
}

// A request that the contract allows is answered or refused with faults; the service never fails over it.
func TestWhatTheContractAllowsOfCalibratingNeverFails(t *testing.T) {
	t.Parallel()
	s := start(t, func(c *api.Config) { c.Timeout = 10 * time.Minute }) // a busy machine is no failure
	o, _ := s.contract.Operation("createCalibration")
	mostly := func(fitting, odd []string) *rapid.Generator[string] {
		return rapid.Custom(func(t *rapid.T) string {
			if rapid.IntRange(0, 39).Draw(t, "odd") == 0 {
				return rapid.SampledFrom(odd).Draw(t, "one")
			}
			return rapid.SampledFrom(fitting).Draw(t, "one")
		})
	}
	hours := mostly([]string{`"operation":"dig_bed","quantity":"4 yd3"`, `"operation":"haul_spoil","haul":"9999 ft","quantity":"1/2 yd3"`, `"operation":"lay_edging","unit":"edger-8x4","quantity":1000`,
		`"operation":"lay_slabs","unit_mass":"5 lb","quantity":30`, `"operation":"set_out","quantity":"5' 10 1/2\""`, `"operation":"strip_cover","cover":"turf","access":"1 in","quantity":"10 m2"`},
		[]string{`"operation":"dig_bed","soil":"loam","quantity":"0.0000000001 mL"`, `"operation":"lay_slabs","tool":"machine","quantity":3`, `"operation":"strip_cover","quantity":"99999999999 ft2"`, `"operation":"haul_spoil","quantity":"1 yd3"`})
	materials := mostly([]string{`"line":"base","material":"base-crushed","measured":"1 yd3","used":"1.4 ton"`, `"line":"slabs","material":"slab-18","measured":3,"used":4`, `"line":"pins","material":"pin-6","measured":"5 lb","used":3`,
		`"line":"fabric","material":"fabric-woven","measured":"300 ft2","used":2`, `"line":"decorative_stone","material":"pebble-20","measured":"3 yd3","used":"0.4 m3"`},
		[]string{`"line":"fabric","material":"fabric-woven","measured":"0.000001 ft","used":1000000`, `"line":"decorative_stone","material":"pebble-20","measured":"0.0000000001 mL","used":"9999 yd3"`, `"line":"edging","used":7`})
	compaction := mostly([]string{`"material":"base-crushed","loose":"5 yd3","compacted":"4 yd3"`, `"material":"compost","loose":"9 yd3","compacted":"1/8 yd3"`},
		[]string{`"material":"perlite","loose":"1 lb","compacted":"9 yd3"`, `"material":"slab-18","loose":"1 yd3","compacted":"9 yd3"`})
	seen := map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		var list []string
		for i := range rapid.IntRange(1, 8).Draw(t, "jobs") {
			job := fmt.Sprintf(`{"reference":"j%d","hours":[{%s,"hours":%v}],"materials":[{%s}]`, i, hours.Draw(t, "hours"), rapid.SampledFrom([]float64{0.5, 1, 7.25, 900}).Draw(t, "h"), materials.Draw(t, "materials"))
			if rapid.Bool().Draw(t, "compacted") {
				job += `,"compaction":[{` + compaction.Draw(t, "compaction") + `}]`
			}
			if rapid.IntRange(0, 49).Draw(t, "whole") == 0 {
				job += `,"job":` + jobs().Draw(t, "job")
			}
			list = append(list, job+"}")
		}
		body := fmt.Sprintf(`{"prior_jobs":%d,"outliers":%q,"past_jobs":[%s]}`, rapid.IntRange(1, 1000).Draw(t, "prior"), rapid.SampledFrom([]string{"limit", "keep", "set_aside"}).Draw(t, "outliers"), strings.Join(list, ","))
		w := inside(s.handler, http.MethodPost, calibrations, body)
		seen[strconv.Itoa(w.Code)]++
		if w.Code != 200 && w.Code != 422 {
			t.Fatalf("status %d for %s: %s", w.Code, body, w.Body)
		}
		if err := s.contract.CheckResponse(o, w.Code, w.Header(), w.Body.Bytes()); err != nil {
			t.Fatalf("%v: %s", err, body)
		}
	})
	t.Log(seen)
}
