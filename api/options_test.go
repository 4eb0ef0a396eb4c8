package api_test

import (
	"encoding/json"
	"net/http"
	"os"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api"
	"bedline/pricing"
	"bedline/pricing/money"
)

func sampleJob(t testing.TB, name string) string {
	t.Helper()
	text, err := os.ReadFile("../testdata/jobs/" + name)
	require.NoError(t, err)
	return strings.TrimSpace(string(text))
}

func withMember(job, member string) string { return job[:len(job)-1] + "," + member + "}" }

// The whole answer of an option is the one to the job with its changes, byte for byte.
func TestTheWholeAnswerOfAnOptionIsThatOfTheJobWithItsChanges(t *testing.T) {
	t.Parallel()
	s := start(t)
	job := sampleJob(t, "garage-bed.json")
	post := func(body string) []byte {
		w := inside(s.handler, http.MethodPost, "/v1/estimates", body)
		require.Equal(t, 200, w.Code, w.Body)
		o, _ := s.contract.Operation("createEstimate")
		require.NoError(t, s.contract.CheckResponse(o, w.Code, w.Header(), w.Body.Bytes()))
		return w.Body.Bytes()
	}
	var answer struct {
		ID      string `json:"id"`
		Options []struct {
			ID     string          `json:"id"`
			Answer json.RawMessage `json:"answer"`
		} `json:"options"`
	}
	body := post(withMember(job, `"options":[{"name":"Soldier","full":true,"changes":[{"op":"replace","path":"/beds/0/edging/course","value":"soldier"}]},{"name":"None","full":true,"changes":{}},{"name":"Brief","changes":{}}]`))
	require.NoError(t, json.Unmarshal(body, &answer))
	soldier := strings.Replace(job, `"sailor"`, `"soldier"`, 1)
	assert.Equal(t, string(post(soldier)), string(answer.Options[0].Answer))
	assert.Equal(t, string(post(job)), string(answer.Options[1].Answer))
	assert.Empty(t, answer.Options[2].Answer)
	assert.NotEqual(t, answer.ID, answer.Options[1].ID, "the id is over the whole request, options and all")
	assert.Equal(t, answer.Options[1].ID, answer.Options[2].ID)
}

// Every amount of the totals, and every figure of the wire, is compared: a total that is added later must be, too.
func TestEveryTotalHasItsDifference(t *testing.T) {
	t.Parallel()
	var after, before pricing.Totals
	list := reflect.ValueOf(&after).Elem()
	for i := range list.NumField() {
		if list.Field(i).Type() == reflect.TypeFor[money.Amount]() {
			list.Field(i).SetInt(int64(i + 1))
		}
	}
	d, err := after.Less(&before)
	require.NoError(t, err)
	assert.Equal(t, after, d)
	totals, differences := members(reflect.TypeFor[api.Totals]()), members(reflect.TypeFor[api.TotalsDifference]())
	for name := range totals {
		if name != "taxes" && name != "workings" {
			assert.Contains(t, differences, name)
		}
	}
}

func members(t reflect.Type) map[string]bool {
	names := map[string]bool{}
	for i := range t.NumField() {
		name, _, _ := strings.Cut(t.Field(i).Tag.Get("json"), ",")
		names[name] = true
	}
	return names
}

func TestFaultsOfOptionsAndOfTheContractComeTogether(t *testing.T) {
	t.Parallel()
	s := start(t)
	job := sampleJob(t, "garage-bed.json")
	pointers := func(member string) []string {
		t.Helper()
		w := inside(s.handler, http.MethodPost, "/v1/estimates", withMember(job, member))
		require.Equal(t, 422, w.Code, w.Body)
		var p struct {
			Errors []struct{ Pointer, Code string } `json:"errors"`
		}
		require.NoError(t, json.Unmarshal(w.Body.Bytes(), &p))
		var out []string
		for _, e := range p.Errors {
			out = append(out, e.Pointer+" "+e.Code)
		}
		return out
	}
	assert.Equal(t, []string{"/options/1/name duplicate"}, pointers(`"options":[{"name":"A","changes":[]},{"name":"A","changes":{}}]`))
	assert.Equal(t, []string{"/options/0/changes/0/op unknown_value", "/options/0/changes/1 wrong_type", "/options/0/changes/2/path missing"},
		pointers(`"options":[{"name":"A","changes":[{"op":"set","path":"/title","value":1},7,{"op":"remove"}]}]`))
	assert.Equal(t, []string{"/options/0/changes wrong_type"}, pointers(`"options":[{"name":"A","changes":3}]`))
	assert.Equal(t, []string{"/changes_from/ground/haul unit_missing", "/changes_from/options/0/changes missing", "/changes_from/beds/0/colour unknown_member"},
		pointers(`"changes_from":{"ground":{"soil":"loam","cover":"bare","haul":3},"options":[{"name":"x"}],"beds":[{"id":"a","colour":"x","outline":{"kind":"rectangle","length":"5 ft","width":"3 ft"}}]}`))
	many := strings.TrimSuffix(strings.Repeat(`{"name":"A","changes":[{"op":"x","path":"y"}]},`, 10), ",")
	assert.Len(t, pointers(`"options":[`+many+`],"changes_from":`+strings.Replace(job, `"id": "garage",`, strings.Repeat(" ", 3)+manyMembers(60), 1)), 50)
}

// manyMembers are members that no bed has.
func manyMembers(n int) string {
	var b strings.Builder
	for i := range n {
		b.WriteString(`"extra` + strings.Repeat("a", i) + `": 1, `)
	}
	return b.String()
}
