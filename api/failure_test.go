package api_test

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api"
	"bedline/estimate/document"
	"bedline/pricing"
)

// safeBuffer is a log that may be read while it is written.
type safeBuffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (s *safeBuffer) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.Write(p)
}

func (s *safeBuffer) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.String()
}

func panicking(v any) estimator {
	return func(context.Context, *document.Node, []byte) (*api.Estimate, []document.Fault, error) { panic(v) }
}

func TestB9APanicIsA500WithOneRecord(t *testing.T) {
	t.Parallel()
	log := &safeBuffer{}
	s := start(t, answering(panicking("secret of the engine")), func(c *api.Config) { c.Logger = slog.New(slog.NewJSONHandler(log, nil)) })
	a := s.post(job)
	assert.Equal(t, 500, a.status)
	assert.Equal(t, "internal-error", a.slug())
	assert.NotContains(t, string(a.body), "secret")
	assert.Equal(t, 1, strings.Count(log.String(), "panic while answering"))
	assert.Eventually(t, func() bool { return strings.Contains(log.String(), a.problem.Instance) }, time.Second, time.Millisecond, "E5: the instance is in the log")
	assert.Equal(t, 200, s.do("GET", "/healthz", "").status, "the service lives on")
}

func TestB10AnAbortStaysAnAbort(t *testing.T) {
	t.Parallel()
	s := start(t, answering(panicking(http.ErrAbortHandler)))
	_, err := s.server.Client().Post(s.server.URL+"/v1/estimates", "application/json", strings.NewReader(job))
	require.Error(t, err)
}

// halfway is a response writer that breaks after the first byte of content.
type halfway struct{ http.ResponseWriter }

func (h halfway) Write(b []byte) (int, error) {
	_, _ = h.ResponseWriter.Write(b[:1])
	_ = http.NewResponseController(h.ResponseWriter).Flush()
	panic("the writer broke")
}

func (h halfway) Unwrap() http.ResponseWriter { return h.ResponseWriter }

func TestB9AHalfAnswerBreaksTheConnection(t *testing.T) {
	t.Parallel()
	handler, err := api.New(api.Config{Lists: pricing.Fixed(pricing.Sample())})
	require.NoError(t, err)
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { handler.ServeHTTP(halfway{w}, r) }))
	server.Config.ErrorLog = nil
	t.Cleanup(server.Close)
	response, err := server.Client().Get(server.URL + "/openapi.json")
	require.NoError(t, err)
	defer func() { _ = response.Body.Close() }()
	body, err := io.ReadAll(response.Body)
	require.Error(t, err)
	assert.Len(t, body, 1, "nothing is written after the break")
}

func TestA15FailuresOfOursAreToldApart(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name   string
		err    error
		status int
		slug   string
	}{
		{"a bug", errors.New("index out of range"), 500, "internal-error"},
		{"the time is up", context.DeadlineExceeded, 503, "timeout"},
		{"the database is away", temporary{}, 503, "dependency-unavailable"},
		{"neither answer nor fault", nil, 500, "internal-error"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			s := start(t, answering(func(context.Context, *document.Node, []byte) (*api.Estimate, []document.Fault, error) {
				return nil, nil, tt.err
			}))
			a := s.post(job)
			assert.Equal(t, tt.status, a.status)
			assert.Equal(t, tt.slug, a.slug())
			if tt.status == 503 {
				assert.Equal(t, "1", a.header.Get("Retry-After"), "H4")
			}
			if tt.err != nil {
				assert.NotContains(t, string(a.body), tt.err.Error(), "E4")
			}
		})
	}
}

type temporary struct{}

func (temporary) Error() string   { return "host db-7.internal refused" }
func (temporary) Temporary() bool { return true }

func TestG11TheDeadlineOfARequestEndsTheWork(t *testing.T) {
	t.Parallel()
	s := start(t, func(c *api.Config) { c.Timeout = 50 * time.Millisecond },
		answering(func(ctx context.Context, _ *document.Node, _ []byte) (*api.Estimate, []document.Fault, error) {
			<-ctx.Done()
			return nil, nil, ctx.Err()
		}))
	a := s.post(job)
	assert.Equal(t, 503, a.status)
	assert.Equal(t, "timeout", a.slug())
}

func TestG10BeyondTheLimitRequestsAreShedAndProbesAnswered(t *testing.T) {
	t.Parallel()
	began, release := make(chan struct{}), make(chan struct{})
	s := start(t, func(c *api.Config) { c.MaxInFlight = 1 },
		answering(func(ctx context.Context, n *document.Node, raw []byte) (*api.Estimate, []document.Fault, error) {
			began <- struct{}{}
			<-release
			return api.NewEngine(pricing.Fixed(pricing.Sample())).Estimate(ctx, n, raw)
		}))
	done := make(chan answer)
	go func() { done <- s.post(job) }()
	<-began
	a := s.do("GET", "/v1/price-lists", "")
	assert.Equal(t, 503, a.status)
	assert.Equal(t, "overloaded", a.slug())
	assert.Equal(t, "1", a.header.Get("Retry-After"))
	assert.Equal(t, 200, s.do("GET", "/healthz", "").status)
	assert.Equal(t, 200, s.do("GET", "/readyz", "").status)
	close(release)
	assert.Equal(t, 200, (<-done).status)
	assert.Equal(t, 200, s.do("GET", "/v1/price-lists", "").status, "the slot is free again, and after a panic too")
}

func TestG10APanicFreesItsSlot(t *testing.T) {
	t.Parallel()
	s := start(t, func(c *api.Config) { c.MaxInFlight = 1 }, answering(panicking("x")))
	for range 3 {
		assert.Equal(t, 500, s.post(job).status)
	}
}

func TestM7DrainingRefusesAndReadinessSaysSo(t *testing.T) {
	t.Parallel()
	s := start(t)
	assert.Equal(t, 200, s.do("GET", "/readyz", "").status)
	s.handler.Withdraw()
	a := s.do("GET", "/readyz", "")
	assert.Equal(t, 503, a.status)
	assert.JSONEq(t, `{"status":"fail"}`, string(a.body))
	assert.Equal(t, "no-store", a.header.Get("Cache-Control"), "L10")
	assert.Equal(t, 200, s.do("GET", "/v1/price-lists", "").status, "withdrawn is not yet draining")
	s.handler.Drain()
	s.handler.Withdraw()
	a = s.do("GET", "/v1/price-lists", "")
	assert.Equal(t, 503, a.status)
	assert.Equal(t, "stopping", a.slug())
	assert.Equal(t, 503, s.do("GET", "/readyz", "").status)
	assert.Equal(t, 200, s.do("GET", "/healthz", "").status)
}

func TestL10WithoutAPriceListTheServiceIsNotReady(t *testing.T) {
	t.Parallel()
	assert.Equal(t, 503, start(t, func(c *api.Config) { c.Lists = pricing.Fixed() }).do("GET", "/readyz", "").status)
	assert.Equal(t, 503, start(t, func(c *api.Config) { c.Ready = func(context.Context) error { return temporary{} } }).do("GET", "/readyz", "").status)
}

// raw sends text as it is and returns what comes back.
func (s *service) raw(text string) *http.Response {
	s.t.Helper()
	conn, err := net.Dial("tcp", s.server.Listener.Addr().String())
	require.NoError(s.t, err)
	s.t.Cleanup(func() { _ = conn.Close() })
	require.NoError(s.t, conn.SetDeadline(time.Now().Add(10*time.Second)))
	_, err = io.WriteString(conn, strings.ReplaceAll(text, "\n", "\r\n"))
	require.NoError(s.t, err)
	response, err := http.ReadResponse(bufio.NewReader(conn), nil)
	require.NoError(s.t, err)
	s.t.Cleanup(func() { _ = response.Body.Close() })
	return response
}

func TestOddRequestsOfTheWire(t *testing.T) {
	t.Parallel()
	post := "POST /v1/estimates HTTP/1.1\nHost: a\nContent-Type: application/json\n"
	for _, tt := range []struct {
		name, text string
		status     int
		slug       string
	}{
		{"G1: a declared length beyond the limit is refused before the body comes", post + "Content-Length: 99999999\n\n", 413, "content-too-large"},
		{"G1: chunks beyond the limit", post + "Transfer-Encoding: chunked\n\n" + "400\n" + strings.Repeat(" ", 1024) + "\n" + "400\n" + strings.Repeat(" ", 1024) + "\n0\n\n", 413, "content-too-large"},
		{"GN1: the limit counts what follows the JSON text too", post + "Transfer-Encoding: chunked\n\n" + "2\n{}\n" + "7ff\n" + strings.Repeat(" ", 2047) + "\n0\n\n", 413, "content-too-large"},
		{"a body that is malformed in its chunks", post + "Transfer-Encoding: chunked\n\nzz\n", 400, "malformed-request"},
		{"KO17: a chunked body on GET", "GET /v1/price-lists HTTP/1.1\nHost: a\nTransfer-Encoding: chunked\n\n0\n\n", 400, "malformed-request"},
		{"KO17: a body on GET", "GET /v1/price-lists HTTP/1.1\nHost: a\nContent-Length: 2\n\n{}", 400, "malformed-request"},
		{"a body on OPTIONS", "OPTIONS /v1/price-lists HTTP/1.1\nHost: a\nContent-Length: 2\n\n{}", 400, "malformed-request"},
		{"C2: content without a type", "POST /v1/estimates HTTP/1.1\nHost: a\nContent-Length: 2\n\n{}", 415, "unsupported-media-type"},
		{"two types", post + "Content-Type: text/plain\nContent-Length: 2\n\n{}", 415, "unsupported-media-type"},
		{"a body that breaks off in time", post + "Content-Length: 20\n\n{}", 408, "request-timeout"},
		{"an address with a host", "GET http://a/nowhere HTTP/1.1\nHost: a\n\n", 404, "not-found"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			s := start(t, func(c *api.Config) { c.MaxBody = 2048 - 1; c.Timeout = 500 * time.Millisecond })
			response := s.raw(tt.text)
			body, err := io.ReadAll(response.Body)
			require.NoError(t, err)
			a := answer{status: response.StatusCode, header: response.Header, body: body}
			s.hold(strings.Fields(tt.text)[0], strings.Fields(tt.text)[1], &a)
			assert.Equal(t, tt.status, a.status, string(body))
			assert.Equal(t, tt.slug, a.slug())
		})
	}
}

func TestL13TheLogHoldsNoBodiesAndNoHeaderFields(t *testing.T) {
	t.Parallel()
	log := &safeBuffer{}
	s := start(t, func(c *api.Config) { c.Logger = slog.New(slog.NewJSONHandler(log, nil)) })
	s.post(`{"title":"secret-title","price_list":"secret-list"}`, "Authorization", "Bearer secret-token")
	s.do("GET", "/v1/price-lists/secret-list", "")
	require.Eventually(t, func() bool { return strings.Count(log.String(), `"msg":"request"`) == 2 }, time.Second, time.Millisecond)
	assert.NotContains(t, log.String(), "secret")
	assert.Contains(t, log.String(), `"route":"/v1/price-lists/:name"`)
	assert.Contains(t, log.String(), `"problem":"price-list-not-found"`)
}

func TestANewServiceRefusesWhatItCannotWorkWith(t *testing.T) {
	t.Parallel()
	_, err := api.New(api.Config{})
	require.Error(t, err)
	for _, address := range []string{"ftp://a", "http://", "http://a/b", "http://u@a", "http://a?b", "::"} {
		_, err := api.New(api.Config{Lists: pricing.Fixed(), PublicURL: address})
		require.Error(t, err, address)
	}
	_, err = api.New(api.Config{Lists: pricing.Fixed(), PublicURL: "https://a/"})
	require.NoError(t, err)
}

// broken are price lists whose database is away.
type broken struct{}

func (broken) Summaries(context.Context) ([]pricing.Summary, error)  { return nil, temporary{} }
func (broken) Latest(context.Context, string) (*pricing.List, error) { return nil, temporary{} }
func (broken) Version(context.Context, string, int) (*pricing.List, error) {
	return nil, temporary{}
}
