package api

import (
	"bytes"
	"context"
	"fmt"
	"html/template"
	"net/http"
	"slices"
	"strings"
	"sync"

	"bedline"
	"bedline/api/internal/accept"
	"bedline/api/internal/etag"
	"bedline/api/problem"
	"bedline/api/render"
	"bedline/api/render/locale"
	"bedline/estimate/document"
	"bedline/pricing"
)

const examplesPath = "/examples"

// exampleJobs are the sample jobs that are shown, those that show most first. Title and summary of each stand in the
// catalogues under examples.NAME.
var exampleJobs = []string{"garage-bed", "kidney-path", "bed-before-the-holiday", "patio-with-machines", "quoted-strip",
	"terrace-planters", "old-tree-by-house", "soldier-or-no-path", "wider-bed-change-order", "patio-round-a-post"}

// exampleFile is one representation of a sample job, under a name of its own, so that a link leads to it.
type exampleFile struct {
	name string
	form int // in estimateForms; -1 for the job itself
	wish wish
}

// exampleFiles are the representations of every sample job, in the order in which a visitor wants to see them.
var exampleFiles = []exampleFile{
	{"customer.html", formOf("html"), wish{edition: editionCustomer}},
	{"crew.html", formOf("html"), wish{edition: editionCrew}},
	{"customer.pdf", formOf("pdf"), wish{edition: editionCustomer}},
	{"crew.pdf", formOf("pdf"), wish{edition: editionCrew}},
	{"plan.svg", formOf("svg"), wish{view: "plan"}},
	{"section.svg", formOf("svg"), wish{view: "section"}},
	{"fabric.svg", formOf("svg"), wish{view: "fabric"}},
	{"cost.svg", formOf("svg"), wish{view: "cost"}},
	{"tasks.svg", formOf("svg"), wish{view: "tasks"}},
	{"line-items.csv", formOf("csv"), wish{table: "line-items"}},
	{"cuts.csv", formOf("csv"), wish{table: "cuts"}},
	{"shopping.csv", formOf("csv"), wish{table: "shopping"}},
	{"workbook.xlsx", formOf("xlsx"), wish{}},
	{"calendar.ics", formOf("ics"), wish{}},
	{"estimate.json", formOf("json"), wish{}},
	{"job.json", -1, wish{}},
}

// shelf keeps the answers that show sample jobs, which never change: at most one for each file of each job in each
// language.
type shelf struct {
	mu      sync.Mutex
	replies map[string]*reply // only looked up
}

// reply is what stands under a key, written first where nothing does. Several may write it at once: they write the same.
func (s *shelf) reply(key string, write func() (*reply, *problem.Problem)) (*reply, *problem.Problem) {
	s.mu.Lock()
	a, ok := s.replies[key]
	s.mu.Unlock()
	if ok {
		return a, nil
	}
	a, p := write()
	if p != nil {
		return nil, p
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.replies == nil {
		s.replies = map[string]*reply{}
	}
	s.replies[key] = a
	return a, nil
}

func formOf(ending string) int {
	for i := range estimateForms {
		if estimateForms[i].ending == ending {
			return i
		}
	}
	panic("no representation ends in " + ending)
}

func (f *exampleFile) contentType() string {
	if f.form < 0 {
		return "application/json"
	}
	return estimateForms[f.form].contentType
}

// speaks tells whether the file is in the language of its reader.
func (f *exampleFile) speaks() bool { return f.form > 0 }

// exampleEngine prices the sample jobs with the invented list that comes with the program, whatever lists the service has.
var exampleEngine = sync.OnceValue(func() *Engine { return NewEngine(pricing.Fixed(pricing.Sample())) })

func exampleEstimate(ctx context.Context, name string) ([]byte, *Estimate, error) {
	text, err := bedline.SampleJob(name)
	if err != nil {
		return nil, nil, err
	}
	root, err := document.Parse(text)
	if err != nil {
		return nil, nil, fmt.Errorf("reading the sample job %s: %w", name, err)
	}
	e, faults, err := exampleEngine().Estimate(ctx, root, text)
	if err == nil && len(faults) > 0 {
		err = fmt.Errorf("%s %s", faults[0].Pointer, faults[0].Detail)
	}
	if err != nil {
		return nil, nil, fmt.Errorf("estimating the sample job %s: %w", name, err)
	}
	return text, e, nil
}

// dated tells whether a sample job says when the crew begins, so that there is a calendar of it.
func dated(name string) bool {
	text, err := bedline.SampleJob(name)
	if err != nil {
		return false
	}
	root, err := document.Parse(text)
	if err != nil {
		return false
	}
	crew := root.Member("crew")
	return crew != nil && crew.Member("start") != nil
}

// Examples is the answer to GET /examples.
type Examples struct {
	Examples []Example `json:"examples"`
}

// Example is one sample job with the addresses of its representations.
type Example struct {
	Name    string        `json:"name"`
	Title   string        `json:"title"`
	Summary string        `json:"summary"`
	Links   []ExampleLink `json:"links"`
	Drawing template.HTML `json:"-"` // the plan
}

// ExampleLink is the address of a representation.
type ExampleLink struct {
	File  string `json:"file"`
	Title string `json:"title"`
	Type  string `json:"type"`
	Href  string `json:"href"`
}

func (h *Handler) listExamples(c *call) (*reply, *problem.Problem) {
	words := locale.Choose(c.r.Header["Accept-Language"])
	return h.shelf.reply(c.offers[c.form]+" "+words.Tag(), func() (*reply, *problem.Problem) { return h.writeExamples(c, words) })
}

func (h *Handler) writeExamples(c *call, words *locale.Locale) (*reply, *problem.Problem) {
	var all Examples
	for _, name := range exampleJobs {
		x := Example{Name: name, Title: words.Say("examples." + name + ".title"), Summary: words.Say("examples." + name + ".summary")}
		for i := range exampleFiles {
			f := &exampleFiles[i]
			if strings.HasSuffix(f.name, ".ics") && !dated(name) {
				continue
			}
			mediaType, _, _ := strings.Cut(f.contentType(), ";")
			x.Links = append(x.Links, ExampleLink{File: f.name, Type: mediaType, Href: examplesPath + "/" + name + "/" + f.name,
				Title: words.Say("examples.file." + strings.ReplaceAll(f.name, ".", "_"))})
		}
		all.Examples = append(all.Examples, x)
	}
	a := &reply{contentType: c.offers[c.form], cache: shortLived, header: http.Header{"Vary": {"Accept, Accept-Language"}, "Content-Language": {words.Tag()}}}
	var err error
	if c.form == 0 {
		for i := range all.Examples {
			_, e, err := exampleEstimate(c.r.Context(), all.Examples[i].Name)
			if err != nil {
				return nil, h.failure(c, "showing the examples", err)
			}
			all.Examples[i].Drawing = template.HTML(render.Plan(e.Quote, words).Inline(fmt.Sprintf("x%d", i))) // our own, escaped
			exampleEngine().Release(e)
		}
		var b bytes.Buffer
		err = examplesPage.Execute(&b, struct {
			Examples
			Words *locale.Locale
		}{all, words})
		a.body = b.Bytes()
		a.header.Set("Content-Security-Policy", pagePolicy)
	} else {
		a.body, err = encode(all)
	}
	if err != nil {
		return nil, h.failure(c, "writing the examples", err)
	}
	a.etag = etag.Of(a.body)
	return a, nil
}

func (h *Handler) getExample(c *call) (*reply, *problem.Problem) {
	name, file := c.param("name"), c.param("file")
	var f *exampleFile
	for i := range exampleFiles {
		if exampleFiles[i].name == file {
			f = &exampleFiles[i]
		}
	}
	if f == nil || !slices.Contains(exampleJobs, name) || strings.HasSuffix(file, ".ics") && !dated(name) {
		return nil, problem.New(problem.NotFound, "There is no such example; GET /examples lists them.")
	}
	if _, ok := accept.Choose(c.r.Header["Accept"], []string{f.contentType()}); !ok {
		return nil, notAcceptable([]string{f.contentType()})
	}
	key, words := name+"/"+file, locale.Default()
	if f.speaks() {
		words = locale.Choose(c.r.Header["Accept-Language"])
		key += " " + words.Tag()
	}
	return h.shelf.reply(key, func() (*reply, *problem.Problem) { return h.writeExample(c, name, f, words) })
}

func (h *Handler) writeExample(c *call, name string, f *exampleFile, words *locale.Locale) (*reply, *problem.Problem) {
	text, e, err := exampleEstimate(c.r.Context(), name)
	if err != nil {
		return nil, h.failure(c, "showing an example", err)
	}
	a := &reply{contentType: f.contentType(), body: text, header: http.Header{}}
	if f.form >= 0 {
		w := f.wish
		w.words = words
		var p *problem.Problem
		if a, p = h.represent(c, e, &estimateForms[f.form], w); p != nil {
			return nil, p
		}
	}
	if f.speaks() {
		a.header.Set("Content-Disposition", fmt.Sprintf("inline; filename=%q", name+"-"+f.name))
	}
	a.body = bytes.Clone(a.body) // the text of an estimate goes back to the engine
	exampleEngine().Release(e)
	a.cache, a.etag = shortLived, etag.Of(a.body)
	return a, nil
}

var examplesPage = template.Must(template.New("examples").Parse(`<!DOCTYPE html>
<html lang="{{.Words.Tag}}">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Bedline: {{.Words.Say "examples.heading"}}</title>
<style>
:root{color-scheme:light dark;--line:#9aa3ab;--ink:#1d2429;--paper:#fff;--link:#005a8c}
@media (prefers-color-scheme:dark){:root{--line:#5b656d;--ink:#e6eaed;--paper:#14191d;--link:#7cc4f0}}
body{font:1rem/1.5 system-ui,sans-serif;color:var(--ink);background:var(--paper);max-width:72rem;margin:0 auto;padding:1rem}
h1{font-size:1.6rem;margin:.5rem 0}
h2{font-size:1.15rem;margin:0 0 .25rem}
a{color:var(--link)}
article{display:grid;grid-template-columns:minmax(0,15rem) minmax(0,1fr);gap:1.25rem;padding:1.25rem 0;border-top:1px solid var(--line)}
figure{margin:0;background:#fff;border:1px solid var(--line);align-self:start}
figure svg{display:block;width:100%;height:auto;max-height:18rem}
ul{list-style:none;margin:.5rem 0 0;padding:0;display:grid;grid-template-columns:repeat(auto-fill,minmax(15.5rem,1fr));gap:.15rem 1rem}
li a{display:inline-block;padding:.2rem 0}
@media (max-width:40rem){article{grid-template-columns:minmax(0,1fr)}figure{max-width:18rem}}
</style>
</head>
<body>
<main>
<h1>{{.Words.Say "examples.heading"}}</h1>
<p>{{.Words.Say "examples.intro"}}</p>
{{range .Examples.Examples}}<article aria-labelledby="{{.Name}}">
<figure><a href="/examples/{{.Name}}/plan.svg">{{.Drawing}}</a></figure>
<div>
<h2 id="{{.Name}}">{{.Title}}</h2>
<p>{{.Summary}}</p>
<ul>
{{range .Links}}<li><a href="{{.Href}}" type="{{.Type}}">{{.Title}}</a></li>
{{end}}</ul>
</div>
</article>
{{end}}<p><a href="/docs" hreflang="en">{{.Words.Say "examples.reference"}}</a></p>
</main>
</body>
</html>
`))
