package api

import (
	"log/slog"
	"net/http"
	"strconv"

	"github.com/google/uuid"

	"bedline/api/internal/etag"
	"bedline/api/problem"
)

// How long answers may be kept (RFC 9111, 5.2).
const (
	neverStored = "no-store"
	revalidated = "no-cache"
	shortLived  = "public, max-age=60, stale-while-revalidate=300, stale-if-error=86400"
	immutable   = "public, max-age=31536000, immutable"
)

// reply is a finished answer: it is written whole or not at all.
type reply struct {
	status      int // 0 is 200
	contentType string
	body        []byte
	cache       string
	etag        string      // strong; a matching If-None-Match of a GET gives 304
	header      http.Header // anything else
	sent        func()      // called when body is read no more; nil for nothing
}

// send writes the reply. A HEAD gets the header fields of the GET; net/http keeps the content back.
func send(w http.ResponseWriter, r *http.Request, a *reply) {
	header := w.Header()
	for name, values := range a.header {
		header[name] = values
	}
	header.Set("Cache-Control", a.cache)
	if a.etag != "" {
		header.Set("ETag", a.etag)
	}
	if a.etag != "" && (r.Method == http.MethodGet || r.Method == http.MethodHead) {
		if lines := r.Header["If-None-Match"]; lines != nil && etag.Parse(lines).Match(a.etag, etag.Weak) {
			w.WriteHeader(http.StatusNotModified)
			return
		}
	}
	status := a.status
	if status == 0 {
		status = http.StatusOK
	}
	if status != http.StatusNoContent {
		header.Set("Content-Type", a.contentType)
		header.Set("Content-Length", strconv.Itoa(len(a.body)))
	}
	w.WriteHeader(status)
	_, _ = w.Write(a.body) // an error is the client's absence
	if a.sent != nil {
		a.sent()
	}
}

// refuse writes a problem document. Its instance, the one random thing in any answer, is in the log too.
func (h *Handler) refuse(w http.ResponseWriter, r *http.Request, p *problem.Problem) {
	instance := "urn:uuid:" + uuid.NewString()
	body, err := p.JSON(h.config.PublicURL, instance)
	if err != nil {
		h.config.Logger.LogAttrs(r.Context(), slog.LevelError, "writing a problem failed", slog.String("error", err.Error()))
		p = problem.New(problem.InternalError, "")
		body, _ = p.JSON(h.config.PublicURL, instance) // its parts are constants
	}
	t := p.Type()
	rec := record(w)
	rec.problem, rec.instance = t.Slug, instance
	header := w.Header()
	for _, name := range []string{"ETag", "Content-Location", "Location", "Link", "Content-Encoding"} {
		header.Del(name)
	}
	header.Set("Cache-Control", neverStored)
	header.Set("Content-Type", problem.MediaType)
	header.Set("Content-Language", "en")
	header.Set("Content-Length", strconv.Itoa(len(body)))
	if t.Status == http.StatusServiceUnavailable {
		header.Set("Retry-After", "1")
	}
	w.WriteHeader(t.Status)
	_, _ = w.Write(body)
}
