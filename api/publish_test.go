package api_test

import (
	"context"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api"
	"bedline/pricing"
)

func small(t *testing.T, s *service) string {
	t.Helper()
	o, ok := s.contract.Operation("putPriceList")
	require.True(t, ok)
	examples := o.Examples()
	return string(examples["small"])
}

func (s *service) put(name, body string, fields ...string) answer {
	s.t.Helper()
	return s.do("PUT", "/v1/price-lists/"+name, body, append([]string{"Content-Type", "application/json"}, fields...)...)
}

func TestAListIsPublishedOnConditionOnly(t *testing.T) {
	t.Parallel()
	s := start(t, publishing)
	list := small(t, s)

	a := s.put("small", list)
	assert.Equal(t, 428, a.status)
	assert.Equal(t, "precondition-required", a.slug())
	assert.Equal(t, 428, s.put("small", list, "If-None-Match", `"x"`).status, "only * says that the list is new")
	assert.Equal(t, 412, s.put("small", list, "If-Match", "*").status, "there is none yet")
	assert.Equal(t, 412, s.put("small", list, "If-Match", `"x"`).status)

	a = s.put("small", list, "If-None-Match", "*")
	require.Equal(t, 201, a.status, string(a.body))
	assert.Equal(t, "/v1/price-lists/small", a.header.Get("Location"))
	assert.Equal(t, "/v1/price-lists/small/versions/1", a.header.Get("Content-Location"))
	first := a.header.Get("ETag")
	b := s.do("GET", "/v1/price-lists/small", "")
	assert.Equal(t, first, b.header.Get("ETag"))
	assert.Equal(t, string(b.body), string(a.body))

	assert.Equal(t, 412, s.put("small", list, "If-None-Match", "*").status, "it exists now")
	assert.Equal(t, 412, s.put("small", list, "If-Match", "W/"+first).status, "RFC 9110, 13.1.1: a weak tag matches nothing")
	dearer := strings.Replace(list, `"38.00"`, `"39.00"`, 1)
	a = s.put("small", dearer, "If-Match", `"x", `+first)
	require.Equal(t, 200, a.status, string(a.body))
	assert.Empty(t, a.header.Get("Location"))
	assert.Equal(t, "/v1/price-lists/small/versions/2", a.header.Get("Content-Location"))
	assert.NotEqual(t, first, a.header.Get("ETag"))

	lost := s.put("small", list, "If-Match", first)
	assert.Equal(t, 412, lost.status, "somebody was quicker")
	assert.Equal(t, "precondition-failed", lost.slug())
	old := s.do("GET", "/v1/price-lists/small/versions/1", "")
	assert.Equal(t, first, old.header.Get("ETag"), "the first version stays")

	asCSV := s.do("GET", "/v1/price-lists/small", "", "Accept", "text/csv")
	assert.Equal(t, 200, s.put("small", list, "If-Match", asCSV.header.Get("ETag")).status, "who has read the CSV may publish too")
	assert.Equal(t, 200, s.put("small", dearer, "If-Match", "*").status)
	assert.Equal(t, 200, s.put("small", list, "If-Match", "*", "If-None-Match", "*").status, "RFC 9110, 13.2.2: If-Match comes first")
	summaries := s.do("GET", "/v1/price-lists", "")
	assert.Contains(t, string(summaries.body), `"name":"small","version":5,"currency":"USD"`)
}

func TestAPublishedListComesBackAndIsPublishedAgain(t *testing.T) {
	t.Parallel()
	s := start(t, publishing)
	a := s.do("GET", "/v1/price-lists/standard", "")
	b := s.put("standard", string(a.body), "If-Match", a.header.Get("ETag"))
	require.Equal(t, 200, b.status, string(b.body))
	assert.Equal(t, string(a.body), string(b.body))
}

func TestFaultsOfAListComeTogether(t *testing.T) {
	t.Parallel()
	s := start(t, publishing)
	list := small(t, s)
	list = strings.Replace(list, `"USD"`, `"XXZ"`, 1)
	list = strings.Replace(list, `"38.00"`, `38`, 1)
	list = strings.Replace(list, `"100 lb/ft3"`, `"0 lb/ft3"`, 1)
	list = strings.Replace(list, `"small"`, `"large"`, 1)
	a := s.put("small", list, "If-None-Match", "*")
	require.Equal(t, 422, a.status, string(a.body))
	assert.Equal(t, "invalid-price-list", a.slug())
	faults := strings.Join(a.faults(), "; ")
	for _, pointer := range []string{"/name conflict", "/currency ", "/materials/0/loose_density "} {
		assert.Contains(t, faults, pointer)
	}
	assert.Equal(t, 422, s.put("small", `{}`, "If-None-Match", `"x"`, "If-Match", `"x"`).status, "D5: faults come before preconditions")
	assert.Equal(t, 404, s.do("GET", "/v1/price-lists/small", "").status)
}

func TestAnOfferInAnotherCurrencyIsRefusedByItsName(t *testing.T) {
	t.Parallel()
	s := start(t, publishing)
	list := small(t, s)
	at := strings.Index(list, `"offers"`)
	require.Positive(t, at)
	place := regexp.MustCompile(`"price": *"[0-9.]+"`).FindStringIndex(list[at:])
	require.NotNil(t, place)
	for detail, price := range map[string]string{
		"names a currency, EUR":                `"price":"38.00 EUR"`,
		"are in the currency of the list, USD": `"price":"38.00","currency":"EUR"`,
		"must not be negative (offer":          `"price":"-38.00"`,
	} {
		a := s.put("small", list[:at+place[0]]+price+list[at+place[1]:], "If-None-Match", "*")
		assert.Equal(t, 422, a.status)
		assert.Contains(t, string(a.body), detail)
		assert.Contains(t, string(a.body), "(offer ")
	}
}

func TestE15AListWithManyFaultsSaysThatThereAreMore(t *testing.T) {
	t.Parallel()
	s := start(t, publishing)
	var materials []string
	for i := range 51 {
		materials = append(materials, fmt.Sprintf(`{"key":"m%d","name":"M","kind":"loose","loose_density":"0 lb/ft3"}`, i))
	}
	list := regexp.MustCompile(`"materials":\[.*?\],"name"`).ReplaceAllString(small(t, s), `"materials":[`+strings.Join(materials, ",")+`],"name"`)
	a := s.put("small", list, "If-None-Match", "*")
	require.Equal(t, 422, a.status, string(a.body))
	assert.Len(t, a.problem.Errors, 50)
	assert.True(t, a.problem.Truncated)
	assert.Equal(t, "There are more than 50 faults; the first 50 are listed.", a.problem.Detail)
}

func TestWithoutADatabaseListsAreReadOnly(t *testing.T) {
	t.Parallel()
	s := start(t)
	a := s.put("standard", "{}", "If-Match", "*")
	assert.Equal(t, 403, a.status)
	assert.Equal(t, "read-only", a.slug())
	assert.Contains(t, a.problem.Detail, "bedline serve --database URL")
	assert.Contains(t, a.problem.Detail, "BEDLINE_DATABASE")
}

func TestAPI10AFailingDatabaseDoesNotShow(t *testing.T) {
	t.Parallel()
	s := start(t, func(c *api.Config) { c.Lists = broken{} })
	for _, path := range []string{"/v1/price-lists", "/v1/price-lists/standard", "/v1/price-lists/standard/versions/1"} {
		a := s.do("GET", path, "")
		assert.Equal(t, 503, a.status, path)
		assert.Equal(t, "dependency-unavailable", a.slug())
		assert.NotContains(t, string(a.body), "internal refused")
	}
	assert.Equal(t, 503, s.post(job).status)
	a := s.do("GET", "/readyz", "")
	assert.Equal(t, 503, a.status)
	assert.JSONEq(t, `{"status":"fail"}`, string(a.body), "L12")
}

var _ pricing.Lists = broken{}

// refusing is a publisher for whom every list exists already.
type refusing struct{}

func (refusing) Publish(context.Context, *pricing.Document, api.Expectation) (*pricing.List, bool, error) {
	return nil, false, &pricing.VersionConflictError{Name: "small", Current: `"x"`}
}
