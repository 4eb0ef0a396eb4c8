package api_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
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
