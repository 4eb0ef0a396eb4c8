package api_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestF1ToF7JSONIsReadStrictly(t *testing.T) {
	t.Parallel()
	s := start(t)
	deep := strings.Repeat("[", 33) + strings.Repeat("]", 33)
	for _, tt := range []struct {
		name, body string
		status     int
	}{
		{"F1: an invalid byte", `{"title":"` + "\xff" + `"}`, 400},
		{"F1: an overlong sequence", `{"title":"` + "\xc0\xaf" + `"}`, 400},
		{"F1: half a surrogate pair", `{"title":"\ud800"}`, 400},
		{"F2: a byte order mark", "\xef\xbb\xbf" + job, 400},
		{"F3: a duplicate member", `{"title":"a","title":"b"}`, 400},
		{"F3: a duplicate member in other spelling", `{"title":"a","\u0074itle":"b"}`, 400},
		{"F4: nothing", ` `, 400},
		{"F4: a second text", job + job, 400},
		{"F4: garbage after the text", job + "x", 400},
		{"F4: white space after the text", job + " \r\n\t", 200},
		{"F4: a comment", job + "// done", 400},
		{"F5: an unknown member", strings.Replace(job, `"beds"`, `"colour":"red","beds"`, 1), 422},
		{"F6: a member in other capitals", strings.Replace(job, `"haul"`, `"Haul"`, 1), 422},
		{"F7: nested too deep", strings.Replace(job, `"beds"`, `"x":`+deep+`,"beds"`, 1), 400},
		{"F8: NaN", `{"allowances":{"base":NaN}}`, 400},
		{"F8: a number beyond double precision", `{"allowances":{"base":1e999}}`, 400},
		{"F8: a number beyond the range", strings.Replace(job, `"beds"`, `"allowances":{"base":201},"beds"`, 1), 422},
		{"F8: a negative number", strings.Replace(job, `"beds"`, `"allowances":{"base":-1},"beds"`, 1), 422},
		{"F15: null", strings.Replace(job, `"beds"`, `"slabs":null,"beds"`, 1), 422},
		{"F15: null for an optional text", strings.Replace(job, `"beds"`, `"title":null,"beds"`, 1), 422},
		{"an array", `[]`, 422},
		{"a text", `"job"`, 422},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			a := s.post(tt.body)
			require.Equal(t, tt.status, a.status, string(a.body))
			switch tt.status {
			case 400:
				assert.Equal(t, "malformed-json", a.slug())
				assert.Regexp(t, `line [0-9]+, column [0-9]+`, a.problem.Detail)
			case 422:
				assert.Equal(t, "invalid-job", a.slug())
				assert.NotEmpty(t, a.problem.Errors)
			}
		})
	}
}

var exponent = regexp.MustCompile(`[0-9][eE][+-]?[0-9]`)

func TestF8ToF17AnswersKeepTheForm(t *testing.T) {
	t.Parallel()
	s := start(t)
	for _, body := range []string{job, strings.Replace(job, `"beds"`, `"units":"metric","beds"`, 1), strings.Replace(job, `12 ft`, `0.01 in`, 1), strings.Replace(job, `12 ft`, `5000 ft`, 1)} {
		a := s.post(body)
		require.Equal(t, 200, a.status, string(a.body))
		decoder := json.NewDecoder(bytes.NewReader(a.body))
		decoder.UseNumber()
		var value any
		require.NoError(t, decoder.Decode(&value))
		walk("", value, func(place string, v any) {
			require.NotNil(t, v, "F15: %s", place)
			if n, ok := v.(json.Number); ok {
				require.False(t, exponent.MatchString(n.String()), "F8: %s is %s", place, n)
				require.NotEqual(t, "-0", n.String(), place)
				f, err := n.Float64()
				require.NoError(t, err)
				require.False(t, math.IsNaN(f) || math.IsInf(f, 0), place)
			}
			name := place[strings.LastIndexByte(place, '/')+1:]
			require.Regexp(t, `^[a-z0-9_]*$`, name, "F17")
			if name == "amount" || name == "price" || name == "landed_cost" {
				require.Regexp(t, `^[0-9]+\.[0-9]{2,}$`, fmt.Sprint(v), "F10: %s", place)
			}
		})
		assert.Contains(t, string(a.body), `"currency":"USD"`, "F10")
	}
}

func walk(place string, v any, visit func(string, any)) {
	visit(place, v)
	switch v := v.(type) {
	case map[string]any:
		for name, member := range v {
			walk(place+"/"+name, member, visit)
		}
	case []any:
		for i, item := range v {
			walk(fmt.Sprintf("%s/%d", place, i), item, visit)
		}
	}
}
