package api

import (
	"context"
	"log/slog"
	"net/http"
	"runtime/debug"
	"sync/atomic"
	"time"

	"bedline/api/problem"
)

// state is how far the service is on its way to its end.
type state struct{ atomic.Int32 }

const (
	serving   int32 = iota
	withdrawn       // not ready any more, still answering
	draining        // refusing new requests
)

// Withdraw makes the readiness check fail while requests are still answered, so that load balancers look elsewhere.
func (h *Handler) Withdraw() { h.state.CompareAndSwap(serving, withdrawn) }

// Drain refuses new requests with 503, health checks aside. Requests in flight are finished.
func (h *Handler) Drain() { h.state.Store(draining) }

// ServeHTTP takes a request through what all requests have in common, in the order in which faults are reported: a
// service that stops or is busy, then the router with everything that a resource decides.
func (h *Handler) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	began := time.Now()
	rec := &recorder{ResponseWriter: w}
	secure(rec.Header())
	defer h.finish(rec, r, began)

	if r.URL.Path != livenessPath && r.URL.Path != readinessPath {
		if h.state.Load() == draining {
			rec.Header().Set("Connection", "close")
			h.refuse(rec, r, problem.New(problem.Stopping, ""))
			return
		}
		select {
		case h.slots <- struct{}{}:
			defer func() { <-h.slots }()
		default:
			h.refuse(rec, r, problem.New(problem.Overloaded, ""))
			return
		}
	}
	ctx, cancel := context.WithTimeout(r.Context(), h.config.Timeout)
	defer cancel()
	// A client that sends its body slowly is told so before the time for the answer is over.
	_ = http.NewResponseController(w).SetReadDeadline(began.Add(h.config.Timeout))
	h.router.ServeHTTP(rec, r.WithContext(ctx))
}

// secure sets the header fields that keep every answer inert in a browser.
func secure(header http.Header) {
	header["X-Content-Type-Options"] = nosniff
	header["Content-Security-Policy"] = inert
	header["Referrer-Policy"] = noReferrer
	header["Vary"] = varyAccept
}

// Shared values of header fields; net/http only reads them.
var (
	nosniff    = []string{"nosniff"}
	inert      = []string{"default-src 'none'; frame-ancestors 'none'"}
	noReferrer = []string{"no-referrer"}
	varyAccept = []string{"Accept"}
)

// finish ends a request: a panic becomes a problem document or, when part of an answer is out already, a broken
// connection, so that nobody takes half an answer for a whole one. Then the request is logged, without bodies.
func (h *Handler) finish(rec *recorder, r *http.Request, began time.Time) {
	if v := recover(); v != nil {
		if v == http.ErrAbortHandler {
			panic(v)
		}
		h.config.Logger.LogAttrs(r.Context(), slog.LevelError, "panic while answering",
			slog.String("method", r.Method), slog.String("route", rec.route), slog.Any("panic", v), slog.String("stack", string(debug.Stack())))
		if rec.status != 0 {
			panic(http.ErrAbortHandler)
		}
		h.refuse(rec, r, problem.New(problem.InternalError, ""))
	}
	attributes := []slog.Attr{slog.String("method", r.Method), slog.String("route", rec.route), slog.Int("status", rec.status),
		slog.Int64("bytes", rec.bytes), slog.Duration("duration", time.Since(began))}
	if rec.problem != "" {
		attributes = append(attributes, slog.String("problem", string(rec.problem)), slog.String("instance", rec.instance))
	}
	h.config.Logger.LogAttrs(r.Context(), slog.LevelInfo, "request", attributes...)
}

// recorder remembers what was answered.
type recorder struct {
	http.ResponseWriter
	status   int
	bytes    int64
	route    string
	problem  problem.Slug
	instance string
}

func (rec *recorder) WriteHeader(status int) {
	if rec.status == 0 {
		rec.status = status
	}
	rec.ResponseWriter.WriteHeader(status)
}

func (rec *recorder) Write(b []byte) (int, error) {
	if rec.status == 0 {
		rec.status = http.StatusOK
	}
	n, err := rec.ResponseWriter.Write(b)
	rec.bytes += int64(n)
	return n, err
}

// Unwrap lets http.ResponseController reach the connection.
func (rec *recorder) Unwrap() http.ResponseWriter { return rec.ResponseWriter }
