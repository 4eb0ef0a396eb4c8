package api

import (
	"bytes"
	"compress/gzip"
	"embed"
	"fmt"
	"io"
	"net/http"
	"strconv"
	"strings"

	"bedline/api/internal/accept"
	"bedline/api/internal/etag"
	"bedline/api/problem"
)

// referenceFiles are the reference page and what it loads. The library that draws it is kept compressed, as it was
// published; its licences are beside it.
//
//go:embed docs/page.html docs/page.js docs/swagger-ui-bundle.js.gz docs/swagger-ui.css.gz docs/licences.txt.gz
var referenceFiles embed.FS

// asset is a file of the reference page.
type asset struct {
	contentType string
	file        string
	compressed  bool
}

func findAsset(name string) (asset, bool) {
	switch name {
	case "page.js":
		return asset{"text/javascript; charset=utf-8", "docs/page.js", false}, true
	case "swagger-ui-bundle.js":
		return asset{"text/javascript; charset=utf-8", "docs/swagger-ui-bundle.js.gz", true}, true
	case "swagger-ui.css":
		return asset{"text/css; charset=utf-8", "docs/swagger-ui.css.gz", true}, true
	case "licences.txt":
		return asset{"text/plain; charset=utf-8", "docs/licences.txt.gz", true}, true
	}
	return asset{}, false
}

// referencePolicy lets the page load what this service serves and nothing else. The library sets styles in line.
const referencePolicy = "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:; " +
	"connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

func (h *Handler) getDocs(c *call) (*reply, *problem.Problem) {
	body, err := referenceFiles.ReadFile("docs/page.html")
	if err != nil {
		return nil, h.failure(c, "reading the reference page", err)
	}
	return &reply{contentType: "text/html; charset=utf-8", body: body, cache: shortLived, etag: etag.Of(body),
		header: http.Header{"Content-Security-Policy": {referencePolicy}}}, nil
}

func (h *Handler) getDocsAsset(c *call) (*reply, *problem.Problem) {
	a, ok := findAsset(c.param("asset"))
	if !ok {
		return nil, problem.New(problem.NotFound, "")
	}
	if _, ok := accept.Choose(c.r.Header["Accept"], []string{a.contentType}); !ok {
		return nil, notAcceptable([]string{a.contentType})
	}
	body, err := referenceFiles.ReadFile(a.file)
	if err != nil {
		return nil, h.failure(c, "reading a file of the reference page", err)
	}
	header := http.Header{"Vary": {"Accept, Accept-Encoding"}}
	if a.compressed && takesGzip(c.r.Header["Accept-Encoding"]) {
		header.Set("Content-Encoding", "gzip")
	} else if a.compressed {
		if body, err = expand(body); err != nil {
			return nil, h.failure(c, "expanding a file of the reference page", err)
		}
	}
	return &reply{contentType: a.contentType, body: body, cache: shortLived, etag: etag.Of(body), header: header}, nil
}

// takesGzip tells whether the client accepts the coding (RFC 9110, 12.5.3).
func takesGzip(lines []string) bool {
	any := false
	for element := range strings.SplitSeq(strings.Join(lines, ","), ",") {
		coding, weight, _ := strings.Cut(strings.ToLower(strings.ReplaceAll(element, " ", "")), ";")
		refused := false
		if q, ok := strings.CutPrefix(weight, "q="); ok {
			v, err := strconv.ParseFloat(q, 64)
			refused = err != nil || !(v > 0)
		}
		switch coding {
		case "gzip", "x-gzip":
			return !refused
		case "*":
			any = !refused
		}
	}
	return any
}

func expand(compressed []byte) ([]byte, error) {
	r, err := gzip.NewReader(bytes.NewReader(compressed))
	if err != nil {
		return nil, fmt.Errorf("opening a compressed file: %w", err)
	}
	body, err := io.ReadAll(r)
	if err != nil {
		return nil, fmt.Errorf("expanding a compressed file: %w", err)
	}
	return body, nil
}
