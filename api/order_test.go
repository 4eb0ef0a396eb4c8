package api_test

import (
	"context"
	"errors"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api"
	"bedline/estimate/document"
)

// The order of decisions: a request wrong in two ways gets the answer of the earlier check.
func TestAOfTwoFaultsTheEarlierCheckAnswers(t *testing.T) {
	t.Parallel()
	big := `{"title":"` + strings.Repeat("x", 2000) + `"}`
	wrongDigest := "sha-256=:AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA=:"
	small := func(c *api.Config) { c.MaxBody = 1000 }
	readOnly := func(*api.Config) {}
	failing := answering(func(context.Context, *document.Node, []byte) (*api.Estimate, []document.Fault, error) {
		return nil, nil, errors.New("out of order")
	})
	for _, tt := range []struct {
		name         string
		config       func(*api.Config)
		drained      bool
		method, path string
		body         string
		fields       []string
		status       int
		slug         string
	}{
		{"2 before 3: stopping, unknown path", small, true, "GET", "/nowhere", "", nil, 503, "stopping"},
		{"3 before 4: unknown path, unknown method", small, false, "BREW", "/nowhere", "", nil, 404, "not-found"},
		{"3 before 7: unknown path, nothing acceptable", small, false, "GET", "/nowhere", "", []string{"Accept", "image/png"}, 404, "not-found"},
		{"4 before 7: wrong method, nothing acceptable", small, false, "DELETE", "/v1/estimates", "", []string{"Accept", "image/png"}, 405, "method-not-allowed"},
		{"5 before 7: no database, nothing acceptable", readOnly, false, "PUT", "/v1/price-lists/standard", "{}", []string{"Accept", "image/png"}, 403, "read-only"},
		{"5 before 8: no database, wrong media type", readOnly, false, "PUT", "/v1/price-lists/standard", "{}", []string{"Content-Type", "text/plain"}, 403, "read-only"},
		{"7 before 8: nothing acceptable, wrong media type", small, false, "POST", "/v1/estimates", "{}", []string{"Accept", "image/png", "Content-Type", "text/plain"}, 406, "not-acceptable"},
		{"8 before 9: wrong media type, too large", small, false, "POST", "/v1/estimates", big, []string{"Content-Type", "text/plain"}, 415, "unsupported-media-type"},
		{"8, coding: a coding, too large", small, false, "POST", "/v1/estimates", big, []string{"Content-Type", "application/json", "Content-Encoding", "gzip"}, 415, "unsupported-media-type"},
		{"9 before 10: too large, wrong digest", small, false, "POST", "/v1/estimates", big, []string{"Content-Type", "application/json", "Content-Digest", wrongDigest}, 413, "content-too-large"},
		{"9 before 11: too large, not JSON", small, false, "POST", "/v1/estimates", strings.Repeat("x", 2000), []string{"Content-Type", "application/json"}, 413, "content-too-large"},
		{"10 before 11: wrong digest, not JSON", small, false, "POST", "/v1/estimates", "{", []string{"Content-Type", "application/json", "Content-Digest", wrongDigest}, 400, "digest-mismatch"},
		{"11 before 12: not JSON, unknown parameter", small, false, "POST", "/v1/estimates?x=1", "{", []string{"Content-Type", "application/json"}, 400, "malformed-json"},
		{"12 before 13: unknown parameter, faulty job", small, false, "POST", "/v1/estimates?x=1", "{}", []string{"Content-Type", "application/json"}, 400, "invalid-parameter"},
		{"13 before 15: faulty job, failing engine", failing, false, "POST", "/v1/estimates", "{}", []string{"Content-Type", "application/json"}, 422, "invalid-job"},
		{"15: failing engine", failing, false, "POST", "/v1/estimates", job, []string{"Content-Type", "application/json"}, 500, "internal-error"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			s := start(t, tt.config)
			if tt.drained {
				s.handler.Drain()
			}
			a := s.do(tt.method, tt.path, tt.body, tt.fields...)
			assert.Equal(t, tt.status, a.status, string(a.body))
			assert.Equal(t, tt.slug, a.slug())
		})
	}
}

func TestA13And14FaultsOfTheContractTheEngineAndTheListComeTogether(t *testing.T) {
	t.Parallel()
	s := start(t)
	a := s.post(`{"price_list":"winter","colour":"red","ground":{"soil":"loam","cover":"turf","haul":60},
		"beds":[{"id":"a","outline":{"kind":"circle","radius":"-1 m"}}]}`)
	require.Equal(t, 422, a.status, string(a.body))
	assert.Equal(t, []string{"/price_list unknown_price_list", "/colour unknown_member", "/ground/haul unit_missing",
		"/beds/0/outline/radius not_positive"}, a.faults())
	assert.False(t, a.problem.Truncated)
}

func TestB1UndocumentedMethodsAreRefusedOnEveryPath(t *testing.T) {
	t.Parallel()
	s := start(t)
	for path, want := range map[string]string{
		"/v1/estimates": "POST, OPTIONS", "/v1/supply-comparisons": "POST, OPTIONS", "/v1/supply-plans": "POST, OPTIONS", "/v1/calibrations": "POST, OPTIONS", "/v1/price-lists": "GET, HEAD, OPTIONS", "/v1/price-lists/standard": "GET, HEAD, PUT, OPTIONS",
		"/v1/price-lists/standard/versions/1": "GET, HEAD, OPTIONS", "/": "GET, HEAD, OPTIONS", "/openapi.yaml": "GET, HEAD, OPTIONS",
		"/openapi.json": "GET, HEAD, OPTIONS", "/docs": "GET, HEAD, OPTIONS", "/docs/page.js": "GET, HEAD, OPTIONS", "/problems": "GET, HEAD, OPTIONS",
		"/problems/timeout": "GET, HEAD, OPTIONS", "/healthz": "GET, HEAD, OPTIONS", "/readyz": "GET, HEAD, OPTIONS",
	} {
		for _, method := range []string{"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "TRACE"} {
			if strings.Contains(want, method) {
				continue
			}
			a := s.do(method, path, "")
			assert.Equal(t, 405, a.status, "%s %s", method, path)
			assert.Equal(t, want, a.header.Get("Allow"), "%s %s", method, path)
			if method != http.MethodHead {
				assert.Equal(t, "method-not-allowed", a.slug())
			}
		}
		a := s.do("OPTIONS", path, "") // B3
		assert.Equal(t, 204, a.status)
		assert.Equal(t, want, a.header.Get("Allow"), path)
		a = s.do("BREW", path, "") // B4
		assert.Equal(t, 501, a.status)
		assert.Equal(t, "not-implemented", a.slug())
		assert.Equal(t, want, a.header.Get("Allow"), path)
	}
}

func TestB2HeadIsGetWithoutContent(t *testing.T) {
	t.Parallel()
	s := start(t)
	for _, path := range []string{"/v1/price-lists", "/v1/price-lists/standard", "/v1/price-lists/standard/versions/1", "/", "/openapi.yaml",
		"/openapi.json", "/docs", "/docs/swagger-ui.css", "/problems", "/problems/timeout", "/healthz", "/readyz", "/v1/price-lists/none", "/nowhere"} {
		get, head := s.do("GET", path, ""), s.do("HEAD", path, "")
		assert.Equal(t, get.status, head.status, path)
		assert.Empty(t, head.body)
		get.header.Del("Date")
		head.header.Del("Date")
		assert.Equal(t, get.header, head.header, path)
		assert.NotEmpty(t, head.header.Get("Content-Length"), path)
	}
}

func TestB5UnknownPathsAreProblems(t *testing.T) {
	t.Parallel()
	s := start(t)
	for _, path := range []string{"/nowhere", "/v1", "/v1/price-lists/standard/versions", "/docs/", "/docs/page.html", "/problems/none", "/metrics", "/debug/pprof/", "/v1/price-lists/a%2Fb"} {
		a := s.do("GET", path, "")
		assert.Equal(t, 404, a.status, path)
		assert.Equal(t, "not-found", a.slug(), path)
	}
}

func TestB6NothingRedirects(t *testing.T) {
	t.Parallel()
	s := start(t)
	for _, path := range []string{"/v1/estimates/", "/V1/Estimates", "//v1/estimates", "/v1//estimates", "/v1/./estimates", "/v1/x/../estimates", "/docs/../healthz"} {
		a := s.do("POST", path, "{}", "Content-Type", "application/json")
		assert.Equal(t, 404, a.status, path)
	}
}

func TestB11UnknownParametersAreRefused(t *testing.T) {
	t.Parallel()
	s := start(t)
	for _, path := range []string{"/v1/price-lists?a=1&b=2&a=3", "/healthz?a&b", "/openapi.yaml?b=&a="} {
		a := s.do("GET", path, "")
		assert.Equal(t, 400, a.status, path)
		assert.Equal(t, []string{"a unknown_parameter", "b unknown_parameter"}, a.faults())
	}
	a := s.do("GET", "/v1/price-lists/Standard", "")
	assert.Equal(t, []string{"name bad_key"}, a.faults())
	a = s.do("GET", "/v1/price-lists?"+strings.Repeat("z", 500), "")
	assert.Less(t, len(a.problem.Errors[0].Parameter), 200)
}
