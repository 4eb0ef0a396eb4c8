package locale_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"bedline/api/render/locale"
)

// RFC 9110, 12.5.4: values fall from 1, none counts as 1, 0 is not acceptable; a server may leave a field without a match
// aside. Which locale stands in for which language is CLDR's: en-AU is nearer to en-GB, es-MX and es-419 to es-US.
func TestChoose(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name   string
		header []string
		want   string
	}{
		{"no field", nil, "en-US"},
		{"an empty field", []string{""}, "en-US"},
		{"a locale by its name", []string{"es-US"}, "es-US"},
		{"in other letters", []string{"ES-us"}, "es-US"},
		{"a language alone", []string{"es"}, "es-US"},
		{"English alone", []string{"en"}, "en-US"},
		{"Spanish of Mexico", []string{"es-MX"}, "es-US"},
		{"Spanish of Latin America", []string{"es-419"}, "es-US"},
		{"Spanish of Spain, rather than English", []string{"es-ES, en;q=0.9"}, "es-US"},
		{"English of Britain", []string{"en-GB"}, "en-GB"},
		{"English of Australia", []string{"en-AU"}, "en-GB"},
		{"English of Canada", []string{"en-CA"}, "en-GB"},
		{"the greatest value wins", []string{"en-US;q=0.5, es-US;q=0.8, en-GB;q=0.7"}, "es-US"},
		{"the example of the RFC: Danish, else British English, else any English", []string{"da, en-gb;q=0.8, en;q=0.7"}, "en-GB"},
		{"the first of equals", []string{"es, en"}, "es-US"},
		{"no value counts as 1", []string{"en-GB;q=0.9, es"}, "es-US"},
		{"a language that there is none of", []string{"fr"}, "en-US"},
		{"it gives way to the next", []string{"fr, es;q=0.5"}, "es-US"},
		{"0 is not acceptable", []string{"es;q=0, en-GB"}, "en-GB"},
		{"0 alone", []string{"es;q=0"}, "en-US"},
		{"what is not acceptable is not chosen for its neighbour", []string{"en-US;q=0, es;q=0.1"}, "es-US"},
		{"anything", []string{"*"}, "en-US"},
		{"anything but", []string{"fr, *;q=0.5"}, "en-US"},
		{"several fields are one", []string{"fr", "es;q=0.4"}, "es-US"},
		{"white space", []string{" es ; q=0.9 , en ;q=0.1 "}, "es-US"},
		{"a wrong value", []string{"es;q=two"}, "en-US"},
		{"no tag at all", []string{"!!!"}, "en-US"},
		{"bytes that are no text", []string{"\xff\xfe"}, "en-US"},
		{"commas alone", []string{",,,"}, "en-US"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			assert.Equal(t, tt.want, locale.Choose(tt.header).Tag())
		})
	}
}

func TestLookupFindsEveryTagAndNoOther(t *testing.T) {
	t.Parallel()
	assert.Equal(t, everyTag, locale.Tags())
	for _, tag := range locale.Tags() {
		assert.Equal(t, tag, lookup(t, tag).Tag())
	}
	_, ok := locale.Lookup("fr-FR")
	assert.False(t, ok)
	assert.Equal(t, "en-US", locale.Default().Tag())
}

func FuzzChoose(f *testing.F) {
	for _, s := range []string{"", "es-MX", "da, en-gb;q=0.8, en;q=0.7", "*;q=0", "es;q=1.0000", "\xff", "en-US-u-ca-gregory-x-private", "i-klingon, zh-min-nan"} {
		f.Add(s, "en")
	}
	f.Fuzz(func(t *testing.T, a, b string) {
		l := locale.Choose([]string{a, b})
		assert.True(t, slices.Contains(locale.Tags(), l.Tag()))
		assert.Same(t, l, locale.Choose([]string{a, b}), "the same twice")
	})
}
