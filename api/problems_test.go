package api_test

import (
	"context"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline"
	"bedline/api"
	"bedline/api/problem"
	"bedline/estimate/document"
)

func TestE2EveryTypeIsAPageOfThisService(t *testing.T) {
	t.Parallel()
	s := start(t)
	for _, tt := range problem.Types() {
		path := "/problems/" + string(tt.Slug)
		page := s.do("GET", path, "", "Accept", "text/html")
		assert.Equal(t, 200, page.status)
		assert.Contains(t, string(page.body), "<h1>"+tt.Title+"</h1>")
		assert.Contains(t, string(page.body), "https://estimates.example"+path)
		data := s.do("GET", path, "", "Accept", "application/json")
		assert.Contains(t, string(data.body), `"type":"https://estimates.example`+path+`"`)
		list := s.do("GET", "/problems", "")
		assert.Contains(t, string(list.body), tt.Title)
	}
}

func TestE2TheTypeOfAProblemIsBelowThePublicAddress(t *testing.T) {
	t.Parallel()
	a := start(t).do("GET", "/nowhere", "")
	assert.Equal(t, "https://estimates.example/problems/not-found", a.problem.Type)
	a = start(t, func(c *api.Config) { c.PublicURL = "" }).do("GET", "/nowhere", "")
	assert.Equal(t, "http://localhost:8080/problems/not-found", a.problem.Type)
}

func TestE4TitlesAreConstantAndUnlike(t *testing.T) {
	t.Parallel()
	seen := map[string]bool{}
	for _, tt := range problem.Types() {
		assert.False(t, seen[tt.Title], tt.Title)
		seen[tt.Title] = true
		assert.NotEmpty(t, tt.Meaning)
		assert.NotEmpty(t, tt.Remedy)
	}
}

func TestE5EveryOccurrenceHasANameOfItsOwn(t *testing.T) {
	t.Parallel()
	s := start(t)
	a, b := s.do("GET", "/nowhere", ""), s.do("GET", "/nowhere", "")
	assert.Regexp(t, `^urn:uuid:[0-9a-f]{8}-[0-9a-f]{4}-4[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$`, a.problem.Instance)
	assert.NotEqual(t, a.problem.Instance, b.problem.Instance)
	assert.NotContains(t, string(s.post(job).body), "urn:uuid")
}

// E13: the types of the program and those of the contract are the same, both ways.
func TestE13TypesAndTheContractAgree(t *testing.T) {
	t.Parallel()
	text := string(bedline.OpenAPI())
	var documented []string
	for _, m := range regexp.MustCompile("- `/problems/([a-z0-9-]+)` \\(([0-9]{3})\\)").FindAllStringSubmatch(text, -1) {
		documented = append(documented, m[1]+" "+m[2])
	}
	var known, slugs []string
	for _, tt := range problem.Types() {
		known = append(known, fmt.Sprintf("%s %d", tt.Slug, tt.Status))
		slugs = append(slugs, string(tt.Slug))
	}
	slices.Sort(documented)
	slices.Sort(known)
	assert.Equal(t, known, documented)
	m := regexp.MustCompile(`/problems/\(([a-z0-9|-]+)\)`).FindStringSubmatch(text)
	require.NotNil(t, m)
	pattern := strings.Split(m[1], "|")
	slices.Sort(pattern)
	slices.Sort(slugs)
	assert.Equal(t, slugs, pattern)
}

func TestE6AllFindingsComeAndE10InTheOrderOfTheDocument(t *testing.T) {
	t.Parallel()
	s := start(t)
	body := `{"zz":1,"ground":{"haul":"60 ft","soil":3,"cover":"sand"},"price_list":"standard","aa":2,"beds":[{"outline":{"kind":"circle"},"id":"a"}]}`
	a := s.post(body)
	require.Equal(t, 422, a.status)
	assert.Equal(t, []string{"/zz unknown_member", "/ground/soil wrong_type", "/ground/cover unknown_value", "/aa unknown_member",
		"/beds/0/outline/radius missing"}, a.faults())
	for range 20 {
		assert.Equal(t, a.faults(), s.post(body).faults())
	}
}

func TestE7APointerIsAnRFC6901StringAndAMissingMemberPointsAtItsPlace(t *testing.T) {
	t.Parallel()
	a := start(t).post(`{"a/b~":1,"ground":{"soil":"loam","cover":"turf"},"beds":[{"id":"a","outline":{"kind":"polygon","points":[["0 ft","0 ft"],["9 ft","0 ft"],["9 ft",9]]}}]}`)
	assert.Equal(t, []string{"/a~1b~0 unknown_member", "/ground/haul missing", "/beds/0/outline/points/2/1 unit_missing"}, a.faults())
	assert.Equal(t, "70 in", a.problem.Errors[2].Example)
}

func TestE11NoValueOfTheClientComesBack(t *testing.T) {
	t.Parallel()
	const secret = "gr8secret"
	s := start(t)
	for _, body := range []string{
		`{"price_list":"` + secret + `","ground":{"soil":"` + secret + `","cover":"` + secret + `","haul":"` + secret + `"},"beds":[{"id":"` + secret + ` !","outline":{"kind":"` + secret + `"}}]}`,
		`{"reference":"` + secret + strings.Repeat("x", 100) + `","units":"` + secret + `","ground":"` + secret + `"}`,
		`{"x":` + secret + `}`, `{"` + secret, secret,
	} {
		a := s.post(body)
		assert.GreaterOrEqual(t, a.status, 400)
		assert.NotContains(t, string(a.body), secret)
	}
	for _, path := range []string{"/" + secret, "/v1/price-lists/" + secret, "/v1/price-lists/standard/versions/" + secret, "/problems/" + secret} {
		assert.NotContains(t, string(s.do("GET", path, "").body), secret)
	}
	assert.NotContains(t, string(s.do("GET", "/v1/price-lists", "", "Accept", secret+"/"+secret).body), secret)
}

func TestE15AtMostFiftyFindingsAreListedAndThatIsSaid(t *testing.T) {
	t.Parallel()
	s := start(t)
	beds := func(n int) string {
		var list []string
		for i := range n {
			list = append(list, fmt.Sprintf(`{"id":"b%d","outline":{"kind":"rectangle","length":"12 ft","width":"4 ft"},"dig":true}`, i))
		}
		return `{"price_list":"standard","ground":{"soil":"loam","cover":"turf","haul":"60 ft"},"beds":[` + strings.Join(list, ",") + `]}`
	}
	a := s.post(beds(50))
	assert.Len(t, a.problem.Errors, 50)
	assert.False(t, a.problem.Truncated)
	a = s.post(beds(51))
	assert.Len(t, a.problem.Errors, 50)
	assert.True(t, a.problem.Truncated)
	assert.Equal(t, "/beds/49/dig", *a.problem.Errors[49].Pointer)
}

func TestTheEnginesWordsComeBeforeThoseOfTheContract(t *testing.T) {
	t.Parallel()
	s := start(t, answering(func(context.Context, *document.Node, []byte) (*api.Estimate, []document.Fault, error) {
		return nil, []document.Fault{{Pointer: "/ground/haul", Code: "unit_missing", Detail: "says nothing of feet or metres"}, {Pointer: "", Code: "empty_job", Detail: "is empty"}}, nil
	}))
	a := s.post(`{"ground":{"soil":"loam","cover":"turf","haul":60}}`)
	assert.Equal(t, []string{" empty_job", "/ground/haul unit_missing"}, a.faults())
	assert.Equal(t, "says nothing of feet or metres", a.problem.Errors[1].Detail)
}
