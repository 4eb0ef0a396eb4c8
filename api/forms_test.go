package api_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"net/http/httptest"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api"
	"bedline/api/render/locale"
	"bedline/estimate/document"
	"bedline/pricing"
)

// The media types that clients ask for.
const (
	htmlType = "text/html"
	pdfType  = "application/pdf"
	svgType  = "image/svg+xml"
	csvType  = "text/csv"
	xlsxType = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
	icsType  = "text/calendar"
)

func TestTheFormOfAnEstimateIsChosenByAcceptAndParameters(t *testing.T) {
	t.Parallel()
	s := start(t)
	dated := sampleJob(t, "bed-before-the-holiday.json")
	for _, tt := range []struct {
		name, query, accept, language string
		contentType, file, begins     string
		says                          []string
	}{
		{"a page for the customer is what HTML is without a parameter", "", htmlType, "", "text/html; charset=utf-8", "ar-131.html", "<!DOCTYPE html>", []string{`lang="en-US"`}},
		{"a page for the crew", "?edition=crew", htmlType, "", "text/html; charset=utf-8", "ar-131-crew.html", "<!DOCTYPE html>", []string{`lang="en-US"`}},
		{"in Spanish", "?edition=crew", htmlType, "es-MX,es;q=0.8", "text/html; charset=utf-8", "ar-131-crew.html", "<!DOCTYPE html>", []string{`lang="es-US"`}},
		{"on paper", "?edition=customer", pdfType, "en-GB", pdfType, "ar-131-customer.pdf", "%PDF-", nil},
		{"on other paper", "?paper=a4", pdfType, "", pdfType, "ar-131.pdf", "%PDF-", nil},
		{"a plan", "", svgType, "", svgType, "ar-131.svg", "<", []string{"<svg"}},
		{"a section", "?view=section", svgType, "", svgType, "ar-131-section.svg", "<", []string{"<svg"}},
		{"the fabric", "?view=fabric", svgType, "", svgType, "ar-131-fabric.svg", "<", []string{"<svg"}},
		{"the cost", "?view=cost", svgType, "", svgType, "ar-131-cost.svg", "<", []string{"<svg"}},
		{"the tasks", "?view=tasks", svgType, "", svgType, "ar-131-tasks.svg", "<", []string{"<svg"}},
		{"line items", "", csvType, "", "text/csv; charset=utf-8; header=present", "ar-131.csv", "", []string{"\r\n"}},
		{"cuts", "?table=cuts", csvType, "", "text/csv; charset=utf-8; header=present", "ar-131-cuts.csv", "", []string{"\r\n"}},
		{"what to buy", "?table=shopping", csvType, "", "text/csv; charset=utf-8; header=present", "ar-131-shopping.csv", "", []string{"\r\n"}},
		{"a workbook", "", xlsxType, "", xlsxType, "ar-131.xlsx", "PK", nil},
		{"a calendar", "", icsType, "", "text/calendar; charset=utf-8", "ar-131.ics", "BEGIN:VCALENDAR\r\n", []string{"BEGIN:VEVENT\r\n"}},
		{"the best of several", "", "image/png, text/csv;q=0.4, image/svg+xml;q=0.5", "", svgType, "ar-131.svg", "<", nil},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			a := s.do("POST", "/v1/estimates"+tt.query, dated, "Content-Type", "application/json", "Accept", tt.accept, "Accept-Language", tt.language)
			require.Equal(t, 200, a.status, string(a.body))
			assert.Equal(t, tt.contentType, a.header.Get("Content-Type"))
			assert.Equal(t, `inline; filename="`+tt.file+`"`, a.header.Get("Content-Disposition"))
			assert.Equal(t, "Accept, Accept-Language", a.header.Get("Vary"))
			assert.Equal(t, "no-store", a.header.Get("Cache-Control"))
			assert.NotEmpty(t, a.header.Get("Content-Language"))
			assert.Equal(t, `</v1/price-lists/standard/versions/1>; rel="describedby"`, a.header.Get("Link"))
			assert.True(t, strings.HasPrefix(string(a.body), tt.begins), "%.40s", a.body)
			for _, says := range tt.says {
				assert.Contains(t, string(a.body), says)
			}
			again := s.do("POST", "/v1/estimates"+tt.query, dated, "Content-Type", "application/json", "Accept", tt.accept, "Accept-Language", tt.language)
			assert.True(t, bytes.Equal(a.body, again.body), "the same twice")
			switch tt.contentType {
			case svgType:
				d := xml.NewDecoder(bytes.NewReader(a.body))
				for {
					if _, err := d.Token(); errors.Is(err, io.EOF) {
						break
					} else {
						require.NoError(t, err)
					}
				}
			case "text/csv; charset=utf-8; header=present":
				rows, err := csv.NewReader(bytes.NewReader(a.body)).ReadAll()
				require.NoError(t, err)
				assert.Greater(t, len(rows), 1)
			}
		})
	}
}

func TestJSONStaysWhatItIsInEveryLanguage(t *testing.T) {
	t.Parallel()
	s := start(t)
	plain := s.post(job)
	spanish := s.post(job, "Accept-Language", "es-US")
	assert.Equal(t, string(plain.body), string(spanish.body))
	assert.Empty(t, spanish.header.Get("Content-Disposition"))
	assert.Empty(t, spanish.header.Get("Content-Language"))
}

func TestAParameterThatSaysNothingOfTheFormIsRefused(t *testing.T) {
	t.Parallel()
	s := start(t)
	for _, tt := range []struct{ name, query, accept, parameter, detail string }{
		{"an edition of JSON", "?edition=crew", "application/json", "edition", "says nothing of application/json, which the request accepts: leave it out, or send Accept: text/html or Accept: application/pdf"},
		{"a view of a page", "?view=plan", htmlType, "view", "says nothing of text/html, which the request accepts: leave it out, or send Accept: image/svg+xml"},
		{"paper of a page", "?paper=a4", htmlType, "paper", "says nothing of text/html, which the request accepts: leave it out, or send Accept: application/pdf"},
		{"a table of a calendar", "?table=cuts", icsType, "table", "says nothing of text/calendar, which the request accepts: leave it out, or send Accept: text/csv"},
		{"an edition that there is not", "?edition=boss", htmlType, "edition", "must be one of"},
		{"a view that there is not", "?view=elevation", svgType, "view", "must be one of"},
		{"two editions", "?edition=crew&edition=customer", htmlType, "edition", "is given more than once"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			a := s.do("POST", "/v1/estimates"+tt.query, job, "Content-Type", "application/json", "Accept", tt.accept)
			require.Equal(t, 400, a.status, string(a.body))
			require.Len(t, a.problem.Errors, 1)
			assert.Equal(t, tt.parameter, a.problem.Errors[0].Parameter)
			assert.Contains(t, a.problem.Errors[0].Detail, tt.detail)
		})
	}
	a := s.do("POST", "/v1/estimates?edition=crew&table=cuts&view=plan", job, "Content-Type", "application/json", "Accept", xlsxType)
	assert.Len(t, a.problem.Errors, 3, "all at once")
	a = s.do("POST", "/v1/estimates?view=elevation&edition=crew&colour=red", job, "Content-Type", "application/json", "Accept", svgType)
	assert.Equal(t, []string{"view unknown_value", "colour unknown_parameter", "edition conflict"}, a.faults(), "whatever is wrong with them")
}

func TestWhatAClientAcceptsIsReadAsTheStandardHasIt(t *testing.T) {
	t.Parallel()
	s := start(t)
	for _, tt := range []struct{ accept, contentType string }{
		{"*/*", "application/json"},
		{"", "application/json"},
		{"text/html;charset=utf-8", "text/html; charset=utf-8"},
		{`text/html; charset="UTF-8", */*;q=0.1`, "text/html; charset=utf-8"},
		{"text/*", "text/html; charset=utf-8"},
		{"text/csv; header=present", "text/csv; charset=utf-8; header=present"},
		{"application/*;q=0.5, image/*;q=0.6", svgType},
		{"text/html,application/xhtml+xml,application/xml;q=0.9,image/avif,image/webp,*/*;q=0.8", "text/html; charset=utf-8"},
		{"application/json;q=0, */*", "text/html; charset=utf-8"},
		{"garbage", "application/json"},
	} {
		a := s.post(job, "Accept", tt.accept)
		require.Equal(t, 200, a.status, tt.accept)
		assert.Equal(t, tt.contentType, a.header.Get("Content-Type"), tt.accept)
	}
}

func TestALanguageThatCannotBeReadIsTheOneForEverybody(t *testing.T) {
	t.Parallel()
	s := start(t)
	for _, tt := range []struct{ field, tag string }{
		{"", "en-US"}, {"*", "en-US"}, {"xx", "en-US"}, {"-", "en-US"}, {"en-US-x-" + strings.Repeat("a-", 500), "en-US"}, {"es;q=0, en-GB", "en-GB"},
		{"\u202e", "en-US"}, {"fr, es;q=0.1", "es-US"}, {strings.Repeat("de, ", 500) + "es", "es-US"},
	} {
		a := s.post(job, "Accept", svgType, "Accept-Language", tt.field)
		require.Equal(t, 200, a.status, "%.40s", tt.field)
		assert.Equal(t, tt.tag, a.header.Get("Content-Language"), "%.40s", tt.field)
	}
	a := s.post(job, "Accept", svgType, "Accept-Language", strings.Repeat("es, ", 2500))
	assert.Equal(t, 400, a.status)
	assert.Equal(t, []string{"Accept-Language out_of_range"}, a.faults())
}

// A deadline that passes while a form is written is told as one that passes before.
func TestADeadlineThatPassesWhileAFormIsWrittenIsATimeout(t *testing.T) {
	t.Parallel()
	engine := api.NewEngine(pricing.Fixed(pricing.Sample()))
	s := start(t, func(c *api.Config) { c.Timeout = 200 * time.Millisecond },
		answering(func(ctx context.Context, n *document.Node, raw []byte) (*api.Estimate, []document.Fault, error) {
			e, faults, err := engine.Estimate(context.WithoutCancel(ctx), n, raw)
			<-ctx.Done()
			return e, faults, err
		}))
	for _, accept := range []string{htmlType, pdfType, svgType, csvType, xlsxType, icsType} {
		a := s.post(sampleJob(t, "bed-before-the-holiday.json"), "Accept", accept)
		assert.Equal(t, 503, a.status, accept)
		assert.Equal(t, "timeout", a.slug())
		assert.Equal(t, "1", a.header.Get("Retry-After"))
		assert.Empty(t, a.header.Get("Content-Disposition"))
	}
}

func TestAllFormsAtOnceAreWhatTheyAreAlone(t *testing.T) {
	t.Parallel()
	h := serviceOf(t, pricing.Sample())
	text := sampleJob(t, "bed-before-the-holiday.json")
	alone := make([][]byte, len(everyForm))
	for i, form := range everyForm {
		alone[i] = form.of(h, text, locale.Tags()[i%3]).Body.Bytes()
	}
	var wait sync.WaitGroup
	for turn := range 2 {
		for i, form := range everyForm {
			wait.Go(func() {
				assert.True(t, bytes.Equal(alone[i], form.of(h, text, locale.Tags()[i%3]).Body.Bytes()), "%v, turn %d", form, turn)
			})
			wait.Go(func() {
				w := httptest.NewRecorder()
				h.ServeHTTP(w, httptest.NewRequest("GET", "/examples/bed-before-the-holiday/"+[]string{"crew.pdf", "plan.svg", "workbook.xlsx", "customer.html"}[i%4], nil))
				assert.Equal(t, 200, w.Code)
			})
		}
	}
	wait.Wait()
}

func TestAnExampleIsOfOneLanguageAndCostsNothingTwice(t *testing.T) {
	t.Parallel()
	s := start(t)
	for _, tt := range []struct {
		path, vary string
		languages  int
	}{
		{"/examples", "Accept, Accept-Language", 3},
		{"/examples/bed-before-the-holiday/customer.pdf", "Accept, Accept-Language", 3},
		{"/examples/bed-before-the-holiday/calendar.ics", "Accept, Accept-Language", 3},
		{"/examples/bed-before-the-holiday/estimate.json", "Accept", 1},
		{"/examples/bed-before-the-holiday/job.json", "Accept", 1},
	} {
		tags := map[string]bool{}
		for _, language := range locale.Tags() {
			a := s.do("GET", tt.path, "", "Accept-Language", language)
			require.Equal(t, 200, a.status)
			tags[a.header.Get("ETag")] = true
			assert.Equal(t, tt.vary, a.header.Get("Vary"), tt.path)
			head := s.do("HEAD", tt.path, "", "Accept-Language", language)
			assert.Equal(t, 200, head.status)
			assert.Empty(t, head.body)
			assert.Equal(t, strconv.Itoa(len(a.body)), head.header.Get("Content-Length"))
			for _, name := range []string{"ETag", "Content-Type", "Content-Language", "Content-Disposition", "Content-Security-Policy", "Vary", "Cache-Control"} {
				assert.Equal(t, a.header.Get(name), head.header.Get(name), name)
			}
			for _, other := range locale.Tags() {
				b := s.do("GET", tt.path, "", "Accept-Language", other, "If-None-Match", a.header.Get("ETag"))
				want := 200
				if other == language || tt.languages == 1 {
					want = 304
				}
				assert.Equal(t, want, b.status, "%s of %s for %s", tt.path, language, other)
			}
		}
		assert.Len(t, tags, tt.languages, tt.path)
	}
	kept := s.handler.Shelved()
	for range 3 {
		s.do("GET", "/examples/terrace-planters/crew.pdf", "", "Accept-Language", "fr")
		s.do("HEAD", "/examples/terrace-planters/crew.pdf", "")
		s.do("GET", "/examples/terrace-planters/crew.pdf?x=1", "")
		s.do("GET", "/examples/terrace-planters/nothing.pdf", "")
	}
	assert.Equal(t, kept+1, s.handler.Shelved(), "one for a file of a job in a language, whoever asks")
}

func TestUnknownAndRepeatedParametersOfExamplesAreRefused(t *testing.T) {
	t.Parallel()
	s := start(t)
	for _, path := range []string{"/examples?x=1", "/examples/garage-bed/plan.svg?view=plan", "/examples/garage-bed/plan.svg?x=1&x=2"} {
		assert.Equal(t, 400, s.do("GET", path, "").status, path)
	}
}

func TestAnUndatedJobHasNoCalendarAndSaysWhatIsMissing(t *testing.T) {
	t.Parallel()
	s := start(t)
	a := s.post(job, "Accept", icsType)
	require.Equal(t, 422, a.status, string(a.body))
	require.Len(t, a.problem.Errors, 1)
	assert.Equal(t, []string{"/crew/start missing"}, a.faults())
}

func TestAFaultyJobIsAProblemInEveryForm(t *testing.T) {
	t.Parallel()
	s := start(t)
	for _, accept := range []string{htmlType, pdfType, svgType, csvType, xlsxType, icsType} {
		a := s.post(`{"units": "furlong"}`, "Accept", accept)
		assert.Equal(t, 422, a.status, accept)
		assert.Equal(t, "application/problem+json", a.header.Get("Content-Type"), accept)
	}
}

func TestTheSampleJobsAreShownInEveryForm(t *testing.T) {
	t.Parallel()
	s := start(t)
	a := s.do("GET", "/examples", "", "Accept", "application/json")
	require.Equal(t, 200, a.status)
	var all struct {
		Examples []struct {
			Name, Title, Summary string
			Links                []struct{ File, Title, Type, Href string }
		}
	}
	require.NoError(t, json.Unmarshal(a.body, &all))
	require.GreaterOrEqual(t, len(all.Examples), 8)
	page := string(s.do("GET", "/examples", "").body)
	spanish := string(s.do("GET", "/examples", "", "Accept-Language", "es").body)
	assert.Contains(t, spanish, `<html lang="es-US">`)
	seen := map[string]bool{}
	for _, x := range all.Examples {
		assert.NotContains(t, x.Title, "examples.", "every title stands in the catalogue")
		assert.NotContains(t, x.Summary, "examples.")
		for _, link := range x.Links {
			seen[link.File] = true
			assert.NotContains(t, link.Title, "examples.")
			assert.Contains(t, page, `href="`+link.Href+`"`)
			assert.Contains(t, spanish, `href="`+link.Href+`"`)
			got := s.do("GET", link.Href, "")
			require.Equal(t, 200, got.status, "%s: %s", link.Href, got.body)
			assert.True(t, strings.HasPrefix(got.header.Get("Content-Type"), link.Type), link.Href)
			assert.NotEmpty(t, got.body, link.Href)
		}
	}
	assert.Len(t, seen, 16, "every form is shown somewhere")
	assert.Equal(t, 404, s.do("GET", "/examples/garage-bed/calendar.ics", "").status, "the job has no dates")
	assert.Equal(t, 404, s.do("GET", "/examples/garage-bed/plan.png", "").status)
	assert.Equal(t, 404, s.do("GET", "/examples/nowhere/plan.svg", "").status)
	assert.Equal(t, 404, s.do("GET", "/examples/corner-bed/plan.svg", "").status, "a sample job that is not shown")
	assert.Equal(t, 406, s.do("GET", "/examples/garage-bed/plan.svg", "", "Accept", "text/csv").status)
}

func TestTheEstimateOfAnExampleIsTheServicesOwn(t *testing.T) {
	t.Parallel()
	s := start(t)
	text := s.do("GET", "/examples/quoted-strip/job.json", "")
	require.Equal(t, 200, text.status)
	assert.Equal(t, string(s.post(string(text.body)).body), string(s.do("GET", "/examples/quoted-strip/estimate.json", "").body))
}
