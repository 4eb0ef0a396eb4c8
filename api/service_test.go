package api_test

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline"
	"bedline/api"
	"bedline/api/internal/contract"
	"bedline/estimate/document"
	"bedline/pricing"
)

// estimator is an Estimator made of a function.
type estimator func(context.Context, *document.Node, []byte) (*api.Estimate, []document.Fault, error)

func (f estimator) Estimate(ctx context.Context, n *document.Node, raw []byte) (*api.Estimate, []document.Fault, error) {
	return f(ctx, n, raw)
}

// publisher keeps price lists in memory.
type publisher struct{ lists *[]*pricing.List }

func (p publisher) Publish(_ context.Context, doc *pricing.Document, expect api.Expectation) (*pricing.List, bool, error) {
	var current *pricing.List
	for _, l := range *p.lists {
		if l.Name == doc.Name {
			current = l
		}
	}
	version := 1
	conflict := &pricing.VersionConflictError{Name: doc.Name}
	if current != nil {
		version, conflict.Current = current.Version+1, current.ETag()
	}
	matches := false
	for _, tag := range expect.ETags {
		matches = matches || current != nil && tag == current.ETag()
	}
	if expect.New && current != nil || expect.Exists && current == nil || expect.ETags != nil && !matches {
		return nil, false, conflict
	}
	list, err := doc.Compile(version)
	if err != nil {
		return nil, false, err
	}
	*p.lists = append(*p.lists, list)
	return list, true, nil
}

// kept are price lists that a publisher adds to.
type kept struct{ lists *[]*pricing.List }

func (k kept) Summaries(ctx context.Context) ([]pricing.Summary, error) {
	return pricing.Fixed(*k.lists...).Summaries(ctx)
}
func (k kept) Latest(ctx context.Context, name string) (*pricing.List, error) {
	return pricing.Fixed(*k.lists...).Latest(ctx, name)
}
func (k kept) Version(ctx context.Context, name string, n int) (*pricing.List, error) {
	return pricing.Fixed(*k.lists...).Version(ctx, name, n)
}

// service is a running service. Every answer that comes through it is held to the contract.
type service struct {
	t        testing.TB
	handler  *api.Handler
	server   *httptest.Server
	contract *contract.Contract
}

// loaded is the contract that answers are held to, apart from that of the service itself.
var loaded = sync.OnceValues(func() (*contract.Contract, error) { return contract.Load(bedline.OpenAPI()) })

func start(t testing.TB, change ...func(*api.Config)) *service {
	t.Helper()
	config := api.Config{Lists: pricing.Fixed(pricing.Sample()), PublicURL: "https://estimates.example"}
	for _, f := range change {
		f(&config)
	}
	handler, err := api.New(config)
	require.NoError(t, err)
	c, err := loaded()
	require.NoError(t, err)
	server := httptest.NewServer(handler)
	t.Cleanup(server.Close)
	server.Client().CheckRedirect = func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	return &service{t, handler, server, c}
}

// publishing lets price lists be published into memory, beginning with the sample.
func publishing(c *api.Config) {
	lists := []*pricing.List{pricing.Sample()}
	c.Lists, c.Publisher = kept{&lists}, publisher{&lists}
}

// answering replaces the engine.
func answering(f estimator) func(*api.Config) { return func(c *api.Config) { c.Estimator = f } }

type answer struct {
	status  int
	header  http.Header
	body    []byte
	problem problemDocument
}

type problemDocument struct {
	Type, Title, Detail, Instance string
	Status                        int
	Truncated                     bool
	Available                     []string
	Errors                        []struct {
		Pointer                         *string
		Parameter, Header, Code, Detail string
		Example                         any
	}
}

func (a answer) slug() string { return a.problem.Type[strings.LastIndexByte(a.problem.Type, '/')+1:] }

// faults are the places and codes of the errors.
func (a answer) faults() []string {
	var list []string
	for _, e := range a.problem.Errors {
		place := e.Parameter + e.Header
		if e.Pointer != nil {
			place = *e.Pointer
		}
		list = append(list, place+" "+e.Code)
	}
	return list
}

// do sends a request; fields are names and values in turn.
func (s *service) do(method, path, body string, fields ...string) answer {
	s.t.Helper()
	var content io.Reader
	if body != "" {
		content = strings.NewReader(body)
	}
	return s.send(method, path, content, fields...)
}

func (s *service) send(method, path string, content io.Reader, fields ...string) answer {
	s.t.Helper()
	r, err := http.NewRequest(method, s.server.URL+path, content)
	require.NoError(s.t, err)
	r.Header.Set("Accept-Encoding", "identity")
	for i := 0; i < len(fields); i += 2 {
		r.Header.Add(fields[i], fields[i+1])
	}
	response, err := s.server.Client().Do(r)
	require.NoError(s.t, err)
	defer func() { _ = response.Body.Close() }()
	text, err := io.ReadAll(response.Body)
	require.NoError(s.t, err)
	a := answer{status: response.StatusCode, header: response.Header, body: text}
	s.hold(method, path, &a)
	return a
}

// post sends a job.
func (s *service) post(body string, fields ...string) answer {
	s.t.Helper()
	return s.do("POST", "/v1/estimates", body, append([]string{"Content-Type", "application/json"}, fields...)...)
}

// hold checks what every answer must be: as the contract says, with its caching stated, inert in a browser.
func (s *service) hold(method, path string, a *answer) {
	s.t.Helper()
	path, _, _ = strings.Cut(path, "?")
	assert.NotEmpty(s.t, a.header.Get("Cache-Control"), "D1")
	assert.Equal(s.t, "nosniff", a.header.Get("X-Content-Type-Options"), "M2")
	assert.Contains(s.t, a.header.Get("Content-Security-Policy"), "default-src 'none'", "M3")
	assert.Contains(s.t, a.header.Get("Content-Security-Policy"), "frame-ancestors 'none'", "M3")
	assert.Equal(s.t, "no-referrer", a.header.Get("Referrer-Policy"), "M3")
	assert.Contains(s.t, a.header.Get("Vary"), "Accept", "C8")
	assert.Empty(s.t, a.header.Get("Server"), "L14")
	assert.NotContains(s.t, []int{301, 302, 303, 307, 308}, a.status, "B6")
	if a.status >= 400 && a.header.Get("Content-Type") != "application/json" { // a failing health check is no problem document
		assert.Equal(s.t, "application/problem+json", a.header.Get("Content-Type"), "E1")
		assert.Equal(s.t, "no-store", a.header.Get("Cache-Control"), "D10")
		if method != http.MethodHead {
			require.NoError(s.t, json.Unmarshal(a.body, &a.problem), string(a.body))
			assert.Equal(s.t, a.status, a.problem.Status, "E3")
		}
	}
	if method == http.MethodOptions && a.status == http.StatusNoContent {
		assert.Empty(s.t, a.body)
		return
	}
	var body []byte
	if method != http.MethodHead {
		body = bytes.Clone(a.body)
		if body == nil {
			body = []byte{}
		}
	}
	assert.NoError(s.t, s.contract.CheckResponse(s.operation(method, path), a.status, a.header, body), "%s %s: %s", method, path, a.body)
}

// operation is the operation that a request is for, or nil.
func (s *service) operation(method, path string) *contract.Operation {
	if method == http.MethodHead {
		method = http.MethodGet
	}
	var found *contract.Operation
	for _, o := range s.contract.Operations() {
		if o.Method != method {
			continue
		}
		want, got := strings.Split(o.Path, "/"), strings.Split(path, "/")
		match := len(want) == len(got)
		for i := 0; match && i < len(want); i++ {
			match = want[i] == got[i] || strings.HasPrefix(want[i], "{") && got[i] != ""
		}
		if match && (found == nil || !strings.Contains(o.Path, "{")) {
			found = o
		}
	}
	return found
}

// job is a right request.
const job = `{"price_list":"standard","ground":{"soil":"loam","cover":"turf","haul":"60 ft"},
	"beds":[{"id":"garage","outline":{"kind":"rectangle","length":"12 ft","width":"4 ft"},"dig":"2 in"}]}`
