package api

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"html/template"
	"net/http"

	"bedline"
	"bedline/api/internal/etag"
	"bedline/api/problem"
)

const (
	livenessPath  = "/healthz"
	readinessPath = "/readyz"
)

// encode writes a value as JSON with a line end.
func encode(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return nil, fmt.Errorf("writing JSON: %w", err)
	}
	return b.Bytes(), nil
}

// Root is the answer to GET /.
type Root struct {
	Name    string `json:"name"`
	Version string `json:"version"`
	Links   Links  `json:"links"`
}

// Links are addresses relative to that of the service.
type Links struct {
	Estimates    string `json:"estimates"`
	Comparisons  string `json:"supply_comparisons"`
	Plans        string `json:"supply_plans"`
	Calibrations string `json:"calibrations"`
	PriceLists   string `json:"price_lists"`
	Examples     string `json:"examples"`
	Contract     string `json:"contract"`
	ContractJSON string `json:"contract_json"`
	Reference    string `json:"reference"`
	Problems     string `json:"problems"`
	Liveness     string `json:"liveness"`
	Readiness    string `json:"readiness"`
}

// rootLink names the relations of RFC 8631.
const rootLink = `</openapi.yaml>; rel="service-desc"; type="application/yaml", ` +
	`</openapi.json>; rel="service-desc"; type="application/json", ` +
	`</docs>; rel="service-doc"; type="text/html", ` +
	`</readyz>; rel="status"; type="application/json"`

func (h *Handler) getRoot(c *call) (*reply, *problem.Problem) {
	body, err := encode(Root{Name: "Bedline", Version: h.contract.Version(), Links: Links{
		Estimates: "/v1/estimates", Comparisons: "/v1/supply-comparisons", Plans: "/v1/supply-plans", Calibrations: "/v1/calibrations", PriceLists: listsPath, Contract: "/openapi.yaml", ContractJSON: "/openapi.json",
		Examples:  examplesPath,
		Reference: "/docs", Problems: "/problems", Liveness: livenessPath, Readiness: readinessPath}})
	if err != nil {
		return nil, h.failure(c, "writing the links", err)
	}
	return &reply{contentType: "application/json", body: body, cache: shortLived, etag: etag.Of(body), header: http.Header{"Link": {rootLink}}}, nil
}

func (h *Handler) getContractYAML(*call) (*reply, *problem.Problem) {
	body := bedline.OpenAPI()
	return &reply{contentType: "application/yaml", body: body, cache: revalidated, etag: etag.Of(body)}, nil
}

func (h *Handler) getContractJSON(*call) (*reply, *problem.Problem) {
	body := h.contract.JSON()
	return &reply{contentType: "application/json", body: body, cache: revalidated, etag: etag.Of(body)}, nil
}

// Health is the answer of a health check. It says nothing of versions, hosts or errors.
type Health struct {
	Status string `json:"status"` // pass or fail
}

func (h *Handler) getLiveness(c *call) (*reply, *problem.Problem) {
	return h.health(c, nil)
}

func (h *Handler) getReadiness(c *call) (*reply, *problem.Problem) {
	if h.state.Load() != serving {
		return h.health(c, errors.New("about to stop"))
	}
	ready := h.config.Ready
	if ready == nil {
		ready = h.haveList
	}
	return h.health(c, ready(c.r.Context()))
}

func (h *Handler) haveList(ctx context.Context) error {
	summaries, err := h.config.Lists.Summaries(ctx)
	if err == nil && len(summaries) == 0 {
		err = errors.New("there is no price list")
	}
	return err
}

func (h *Handler) health(c *call, unwell error) (*reply, *problem.Problem) {
	a := &reply{contentType: "application/json", cache: neverStored}
	health := Health{Status: "pass"}
	if unwell != nil {
		a.status, health.Status = http.StatusServiceUnavailable, "fail"
	}
	var err error
	if a.body, err = encode(health); err != nil {
		return nil, h.failure(c, "writing the health", err)
	}
	return a, nil
}

// ProblemTypes is the answer to GET /problems.
type ProblemTypes struct {
	Problems []ProblemType `json:"problems"`
}

// ProblemType is the answer to GET /problems/{slug}.
type ProblemType struct {
	Type    string `json:"type"`
	Title   string `json:"title"`
	Status  int    `json:"status"`
	Meaning string `json:"meaning"`
	Remedy  string `json:"remedy"`
}

func (h *Handler) problemType(t problem.Type) ProblemType {
	return ProblemType{Type: problem.Address(h.config.PublicURL, t.Slug), Title: t.Title, Status: t.Status, Meaning: t.Meaning, Remedy: t.Remedy}
}

func (h *Handler) listProblems(c *call) (*reply, *problem.Problem) {
	var all ProblemTypes
	for _, t := range problem.Types() {
		all.Problems = append(all.Problems, h.problemType(t))
	}
	return h.page(c, problemsPage, all)
}

func (h *Handler) getProblem(c *call) (*reply, *problem.Problem) {
	t, ok := problem.Lookup(problem.Slug(c.param("slug")))
	if !ok {
		return nil, problem.New(problem.NotFound, "There is no problem type of this name; GET /problems lists them.")
	}
	return h.page(c, problemPage, h.problemType(t))
}

// page writes a value as HTML or JSON, in the order in which the endpoints of problems offer them.
func (h *Handler) page(c *call, page *template.Template, value any) (*reply, *problem.Problem) {
	a := &reply{contentType: c.offers[c.form], cache: shortLived}
	var err error
	if c.form == 0 {
		var b bytes.Buffer
		err = page.Execute(&b, value)
		a.body = b.Bytes()
		a.header = http.Header{"Content-Security-Policy": {pagePolicy}}
	} else {
		a.body, err = encode(value)
	}
	if err != nil {
		return nil, h.failure(c, "writing a page", err)
	}
	a.etag = etag.Of(a.body)
	return a, nil
}

// pagePolicy lets a page have styles of its own and nothing else.
const pagePolicy = "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'"

const pageHead = `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Bedline: problems</title>
<style>body{font:1rem/1.5 system-ui,sans-serif;max-width:46rem;margin:2rem auto;padding:0 1rem}dt{font-weight:600}code{overflow-wrap:anywhere}</style>
</head>
<body>
`

var problemsPage = template.Must(template.New("problems").Parse(pageHead + `<h1>Problem types</h1>
<p>Every refusal of this service is a problem document (RFC 9457) of one of these types.</p>
<dl>
{{range .Problems}}<dt><a href="{{.Type}}">{{.Title}}</a> ({{.Status}})</dt>
<dd>{{.Meaning}}</dd>
{{end}}</dl>
<p><a href="/docs">Reference</a></p>
</body>
</html>
`))

var problemPage = template.Must(template.New("problem").Parse(pageHead + `<h1>{{.Title}}</h1>
<p>Status {{.Status}}, type <code>{{.Type}}</code></p>
<h2>What happened</h2>
<p>{{.Meaning}}</p>
<h2>What to do</h2>
<p>{{.Remedy}}</p>
<p><a href="/problems">All problem types</a></p>
</body>
</html>
`))
