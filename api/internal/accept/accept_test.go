package accept_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"bedline/api/internal/accept"
)

func TestC5AcceptIsHonoured(t *testing.T) {
	t.Parallel()
	// The ranges of the example in RFC 9110, 12.5.1.
	example := "text/*;q=0.3, text/plain;q=0.7, text/plain;format=flowed, text/plain;format=fixed;q=0.4, */*;q=0.5"
	for _, tt := range []struct {
		name   string
		header []string
		offers []string
		want   string
	}{
		{"no field accepts anything", nil, []string{"application/json", "text/csv"}, "application/json"},
		{"an empty field accepts anything", []string{""}, []string{"application/json"}, "application/json"},
		{"an exact type", []string{"text/csv"}, []string{"application/json", "text/csv"}, "text/csv"},
		{"types are case-insensitive", []string{"TEXT/CSV"}, []string{"application/json", "text/csv"}, "text/csv"},
		{"the offer's parameters need not be named", []string{"text/csv"}, []string{"application/json", "text/csv; charset=utf-8"}, "text/csv; charset=utf-8"},
		{"a charset of UTF-8 changes nothing", []string{"application/json;charset=UTF-8"}, []string{"application/json"}, "application/json"},
		{"another charset is not on offer", []string{"application/json;charset=latin-1"}, []string{"application/json"}, ""},
		{"a wildcard takes the first", []string{"*/*"}, []string{"application/json", "text/csv"}, "application/json"},
		{"a type wildcard", []string{"text/*"}, []string{"application/json", "text/csv"}, "text/csv"},
		{"the higher quality wins", []string{"application/json;q=0.5, text/csv;q=0.6"}, []string{"application/json", "text/csv"}, "text/csv"},
		{"the order of ranges means nothing", []string{"text/csv, application/json"}, []string{"application/json", "text/csv"}, "application/json"},
		{"quality 0 excludes", []string{"application/json;q=0, */*"}, []string{"application/json", "text/csv"}, "text/csv"},
		{"quality 0 of all excludes all", []string{"*/*;q=0"}, []string{"application/json"}, ""},
		{"the more specific counts even when it is lower", []string{"*/*;q=1, application/json;q=0.1, text/csv;q=0.2"}, []string{"application/json", "text/csv"}, "text/csv"},
		{"several lines are one list", []string{"application/json;q=0.1", "text/csv"}, []string{"application/json", "text/csv"}, "text/csv"},
		{"nothing acceptable", []string{"image/png"}, []string{"application/json"}, ""},
		{"a comma in quotes separates nothing", []string{`text/csv;x="a,b", application/json;q=0.1`}, []string{"application/json", "text/csv"}, "application/json"},
		{"a quality above one is no range", []string{"text/csv;q=1.5, application/json"}, []string{"text/csv", "application/json"}, "application/json"},
		{"a quality of four decimals is no range", []string{"text/csv;q=0.1234, application/json"}, []string{"text/csv", "application/json"}, "application/json"},
		{"a field of nonsense accepts anything", []string{"json"}, []string{"application/json"}, "application/json"},
		{"RFC 9110 example: flowed text is preferred", []string{example}, []string{"text/plain", "text/plain;format=flowed"}, "text/plain;format=flowed"},
		{"RFC 9110 example: JPEG at 0.5 beats HTML at 0.3", []string{example}, []string{"text/html", "image/jpeg"}, "image/jpeg"},
		{"RFC 9110 example: plain text at 0.7 beats JPEG at 0.5", []string{example}, []string{"image/jpeg", "text/plain"}, "text/plain"},
		{"RFC 9110 example: fixed text at 0.4 loses to JPEG", []string{example}, []string{"text/plain;format=fixed", "image/jpeg"}, "image/jpeg"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			i, ok := accept.Choose(tt.header, tt.offers)
			if tt.want == "" {
				assert.False(t, ok)
				return
			}
			assert.True(t, ok)
			assert.Equal(t, tt.want, tt.offers[i])
		})
	}
}

func FuzzChoose(f *testing.F) {
	f.Add("text/*;q=0.3, text/plain;format=flowed")
	f.Add(`a/b;x="\",;q=0`)
	f.Fuzz(func(t *testing.T, field string) {
		i, ok := accept.Choose([]string{field}, []string{"application/json", "text/csv"})
		assert.True(t, i == 0 || i == 1)
		_ = ok
		if _, ok := accept.Choose([]string{field, "*/*;q=0"}, nil); ok {
			t.Error("nothing is on offer and something was chosen")
		}
	})
}
