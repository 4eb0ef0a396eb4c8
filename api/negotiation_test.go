package api_test

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/base64"
	"encoding/csv"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline"
	"bedline/pricing"
)

func TestC1ToC4OnlyPlainJSONInUTF8IsRead(t *testing.T) {
	t.Parallel()
	s := start(t)
	for _, tt := range []struct {
		name   string
		fields []string
		status int
		hint   string // the header field that says what would do
	}{
		{"C1: application/json", []string{"Content-Type", "application/json"}, 200, ""},
		{"C1: in capitals", []string{"Content-Type", "Application/JSON"}, 200, ""},
		{"C1: with parameters", []string{"Content-Type", `application/json; charset="UTF-8"; profile=x`}, 200, ""},
		{"C1: another JSON type", []string{"Content-Type", "application/ld+json"}, 415, "Accept"},
		{"C1: a form", []string{"Content-Type", "application/x-www-form-urlencoded"}, 415, "Accept"},
		{"C1: a type that cannot be read", []string{"Content-Type", "application/json; charset"}, 415, "Accept"},
		{"C2: no type", nil, 415, "Accept"},
		{"C3: Latin-1", []string{"Content-Type", "application/json; charset=iso-8859-1"}, 415, "Accept"},
		{"C3: UTF-16", []string{"Content-Type", "application/json; charset=utf-16"}, 415, "Accept"},
		{"C4: gzip", []string{"Content-Type", "application/json", "Content-Encoding", "gzip"}, 415, "Accept-Encoding"},
		{"C4: gzip after identity", []string{"Content-Type", "application/json", "Content-Encoding", "identity, GZIP"}, 415, "Accept-Encoding"},
		{"C4: identity", []string{"Content-Type", "application/json", "Content-Encoding", "Identity"}, 200, ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			a := s.do("POST", "/v1/estimates", job, tt.fields...)
			require.Equal(t, tt.status, a.status, string(a.body))
			if tt.hint != "" {
				assert.Equal(t, map[string]string{"Accept": "application/json", "Accept-Encoding": "identity"}[tt.hint], a.header.Get(tt.hint))
				assert.Equal(t, "unsupported-media-type", a.slug())
			}
		})
	}
}

func TestC6WhatIsNotAcceptableIsRefusedWithWhatExists(t *testing.T) {
	t.Parallel()
	s := start(t)
	a := s.post(job, "Accept", "image/png")
	assert.Equal(t, 406, a.status)
	assert.Equal(t, []string{"application/json", "text/html", "application/pdf", "image/svg+xml", "text/csv",
		"application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", "text/calendar"}, a.problem.Available)
	a = s.do("GET", "/v1/price-lists/standard", "", "Accept", "image/png, */*;q=0")
	assert.Equal(t, []string{"application/json", "text/csv"}, a.problem.Available)
	for _, path := range []string{"/", "/healthz", "/openapi.yaml", "/docs", "/docs/page.js", "/problems", "/problems/timeout", "/v1/price-lists"} {
		assert.Equal(t, 406, s.do("GET", path, "", "Accept", "image/png").status, path)
	}
}

func TestC7ErrorsAreProblemsWhateverTheClientAccepts(t *testing.T) {
	t.Parallel()
	s := start(t)
	assert.Equal(t, "application/problem+json", s.post(`{}`, "Accept", "application/json").header.Get("Content-Type"))
	a := s.do("GET", "/nowhere", "", "Accept", "text/html")
	assert.Equal(t, "application/problem+json", a.header.Get("Content-Type"))
	assert.Equal(t, "en", a.header.Get("Content-Language"), "C10")
}

func TestC11JSONHasNoCharset(t *testing.T) {
	t.Parallel()
	s := start(t)
	for _, path := range []string{"/", "/healthz", "/openapi.json", "/v1/price-lists", "/v1/price-lists/standard"} {
		assert.Equal(t, "application/json", s.do("GET", path, "").header.Get("Content-Type"), path)
	}
}

// The offers of every endpoint are the media types of the contract. The contract check of every answer finds a type
// that is not in the contract; this finds one that the service never gives.
func TestC5EveryRepresentationOfTheContractExists(t *testing.T) {
	t.Parallel()
	s := start(t)
	path := strings.NewReplacer("{name}", "standard", "{n}", "1", "{slug}", "timeout")
	files := map[string]string{"application/json": "estimate.json", "text/html": "crew.html", "application/pdf": "crew.pdf", "image/svg+xml": "plan.svg",
		"text/csv": "cuts.csv", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet": "workbook.xlsx", "text/calendar": "calendar.ics"}
	dated, err := bedline.SampleJob("bed-before-the-holiday")
	require.NoError(t, err)
	assets := map[string]string{"text/javascript": "page.js", "text/css": "swagger-ui.css", "text/plain": "licences.txt"}
	n := 0
	for _, o := range s.contract.Operations() {
		for _, mediaType := range o.ResponseTypes(200) {
			if o.Method == "PUT" {
				continue
			}
			body, fields := "", []string{"Accept", mediaType}
			if o.Method == "POST" {
				body, fields = string(dated), append(fields, "Content-Type", "application/json")
				if o.ID != "createEstimate" {
					body = example(t, o)
				}
			}
			where := strings.NewReplacer("/examples/{name}", "/examples/bed-before-the-holiday", "{file}", files[mediaType], "{asset}", assets[mediaType]).Replace(o.Path)
			a := s.do(o.Method, path.Replace(where), body, fields...)
			assert.Equal(t, 200, a.status, "%s as %s", o.ID, mediaType)
			assert.True(t, strings.HasPrefix(a.header.Get("Content-Type"), mediaType), "%s as %s is %s", o.ID, mediaType, a.header.Get("Content-Type"))
			n++
		}
	}
	assert.Greater(t, n, 15)
}

func TestAPriceListAsCSVHoldsTheSameList(t *testing.T) {
	t.Parallel()
	s := start(t)
	a := s.do("GET", "/v1/price-lists/standard", "", "Accept", "text/csv")
	require.Equal(t, 200, a.status)
	assert.Equal(t, "text/csv; charset=utf-8; header=present", a.header.Get("Content-Type"))
	rows, err := csv.NewReader(bytes.NewReader(a.body)).ReadAll()
	require.NoError(t, err)
	assert.Greater(t, len(rows), 10)
	doc, err := pricing.ReadCSV(a.body)
	require.NoError(t, err)
	text, err := doc.JSON()
	require.NoError(t, err)
	assert.Equal(t, string(s.do("GET", "/v1/price-lists/standard", "").body), string(text))
}

func TestD3ToD5ConditionalRequests(t *testing.T) {
	t.Parallel()
	s := start(t)
	for _, path := range []string{"/v1/price-lists", "/v1/price-lists/standard", "/v1/price-lists/standard/versions/1", "/openapi.yaml", "/openapi.json",
		"/docs", "/docs/swagger-ui-bundle.js", "/problems", "/problems/timeout", "/", "/examples", "/examples/garage-bed/plan.svg", "/examples/garage-bed/customer.html"} {
		a := s.do("GET", path, "")
		tag := a.header.Get("ETag")
		require.Regexp(t, `^"[^"]+"$`, tag, "D3: strong, %s", path)
		for _, field := range []string{tag, "W/" + tag, `"x", ` + tag, "*"} {
			for _, method := range []string{"GET", "HEAD"} {
				b := s.do(method, path, "", "If-None-Match", field)
				require.Equal(t, 304, b.status, "D4: %s with %s", path, field)
				assert.Empty(t, b.body)
				for _, name := range []string{"ETag", "Cache-Control", "Vary", "Content-Location"} {
					assert.Equal(t, a.header.Get(name), b.header.Get(name), "D4: %s of %s", name, path)
				}
				assert.NotEmpty(t, b.header.Get("Date"))
			}
		}
		b := s.do("GET", path, "", "If-None-Match", `"x"`)
		assert.Equal(t, 200, b.status)
		assert.Equal(t, tag, b.header.Get("ETag"))
	}
	assert.Equal(t, 404, s.do("GET", "/v1/price-lists/none", "", "If-None-Match", "*").status, "D5")
	assert.Equal(t, 406, s.do("GET", "/v1/price-lists", "", "If-None-Match", "*", "Accept", "image/png").status, "D5")
	a := s.post(job, "If-None-Match", "*")
	assert.Equal(t, 200, a.status, "D9: an estimate has no entity tag")
	assert.Empty(t, a.header.Get("ETag"))
}

func TestD3RepresentationsHaveTagsOfTheirOwn(t *testing.T) {
	t.Parallel()
	s := start(t)
	asJSON := s.do("GET", "/v1/price-lists/standard", "")
	asCSV := s.do("GET", "/v1/price-lists/standard", "", "Accept", "text/csv")
	assert.NotEqual(t, asJSON.header.Get("ETag"), asCSV.header.Get("ETag"))
	assert.Equal(t, 200, s.do("GET", "/v1/price-lists/standard", "", "Accept", "text/csv", "If-None-Match", asJSON.header.Get("ETag")).status)
	assert.Equal(t, 304, s.do("GET", "/v1/price-lists/standard", "", "Accept", "text/csv", "If-None-Match", asCSV.header.Get("ETag")).status)
	plain := s.do("GET", "/docs/swagger-ui.css", "")
	zipped := s.do("GET", "/docs/swagger-ui.css", "", "Accept-Encoding", "gzip")
	assert.NotEqual(t, plain.header.Get("ETag"), zipped.header.Get("ETag"), "C9")
}

func TestD6AndD7VersionsLastAndCurrentListsDoNot(t *testing.T) {
	t.Parallel()
	s := start(t)
	a := s.do("GET", "/v1/price-lists/standard/versions/1", "")
	assert.Equal(t, "public, max-age=31536000, immutable", a.header.Get("Cache-Control"))
	assert.Equal(t, "/v1/price-lists/standard/versions/1", a.header.Get("Content-Location"))
	b := s.do("GET", "/v1/price-lists/standard", "")
	assert.Equal(t, "public, max-age=60, stale-while-revalidate=300, stale-if-error=86400", b.header.Get("Cache-Control"))
	assert.Equal(t, "/v1/price-lists/standard/versions/1", b.header.Get("Content-Location"))
	assert.Equal(t, string(a.body), string(b.body))
	c := s.do("GET", "/v1/price-lists/standard/versions/9", "")
	assert.Equal(t, 404, c.status)
	assert.Equal(t, "price-list-not-found", c.slug())
	assert.Contains(t, c.problem.Detail, "the latest is 1")
	c = s.do("GET", "/v1/price-lists/winter", "")
	assert.Contains(t, c.problem.Detail, "there are: standard")
}

func TestI3ADigestOfTheBodyIsVerified(t *testing.T) {
	t.Parallel()
	s := start(t)
	sum := sha256.Sum256([]byte(job))
	right := "sha-256=:" + base64.StdEncoding.EncodeToString(sum[:]) + ":"
	assert.Equal(t, 200, s.post(job, "Content-Digest", right).status)
	a := s.post(job+" ", "Content-Digest", right)
	assert.Equal(t, 400, a.status)
	assert.Equal(t, "digest-mismatch", a.slug())
}

func TestTheReferenceComesCompressedToThoseWhoTakeIt(t *testing.T) {
	t.Parallel()
	s := start(t)
	plain := s.do("GET", "/docs/swagger-ui.css", "")
	assert.Empty(t, plain.header.Get("Content-Encoding"))
	for field, want := range map[string]string{"gzip": "gzip", "br, gzip;q=0.1": "gzip", "*": "gzip", "gzip;q=0, *": "", "identity": "", "br": "", "GZIP": "gzip"} {
		a := s.do("GET", "/docs/swagger-ui.css", "", "Accept-Encoding", field)
		assert.Equal(t, want, a.header.Get("Content-Encoding"), field)
		assert.Equal(t, "Accept, Accept-Encoding", a.header.Get("Vary"))
		body := a.body
		if want == "gzip" {
			r, err := gzip.NewReader(bytes.NewReader(a.body))
			require.NoError(t, err, field)
			body, err = io.ReadAll(r)
			require.NoError(t, err)
		}
		assert.Equal(t, string(plain.body), string(body), field)
	}
	page := s.do("GET", "/docs", "")
	assert.Contains(t, page.header.Get("Content-Security-Policy"), "script-src 'self'")
	assert.NotContains(t, string(page.body), "//", "nothing from another host")
}

func TestJ2TheContractIsServedAsItIsWritten(t *testing.T) {
	t.Parallel()
	s := start(t)
	a := s.do("GET", "/openapi.yaml", "")
	assert.Equal(t, "application/yaml", a.header.Get("Content-Type"))
	assert.Equal(t, string(bedline.OpenAPI()), string(a.body))
	b := s.do("GET", "/openapi.json", "")
	assert.Contains(t, string(b.body), `"openapi":"3.0.3"`)
	assert.Contains(t, string(b.body), `"pattern":"^ *(`, "clients see the patterns of quantities")
	assert.NotContains(t, string(b.body), "quantity-Length")
}

func TestJ6TheRootLinksToEverything(t *testing.T) {
	t.Parallel()
	s := start(t)
	a := s.do("GET", "/", "")
	for _, relation := range []string{`</openapi.yaml>; rel="service-desc"; type="application/yaml"`, `</docs>; rel="service-doc"`, `</readyz>; rel="status"`} {
		assert.Contains(t, a.header.Get("Link"), relation)
	}
	for _, target := range []string{"/v1/price-lists", "/openapi.yaml", "/openapi.json", "/docs", "/problems", "/healthz", "/readyz"} {
		assert.Contains(t, string(a.body), `"`+target+`"`)
		assert.Equal(t, 200, s.do("GET", target, "").status)
	}
}
