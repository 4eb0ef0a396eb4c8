package etag_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"bedline/api/internal/etag"
)

// The table of RFC 9110, 8.8.3.2, with "1" as the current strong tag, and the forms of 13.1.1 and 13.1.2.
func TestEntityTagsCompareAsSpecified(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name         string
		lines        []string
		strong, weak bool
	}{
		{"the same strong tag", []string{`"1"`}, true, true},
		{"a weak tag of the same text", []string{`W/"1"`}, false, true},
		{"another tag", []string{`"2"`}, false, false},
		{"anything", []string{`*`}, true, true},
		{"a list", []string{`"a", W/"b" ,"1"`}, true, true},
		{"a list over two lines", []string{`"a"`, `"1"`}, true, true},
		{"a tag with a comma in it", []string{`"a,1", "1"`}, true, true},
		{"a tag without quotes is none", []string{`1`}, false, false},
		{"a tag with only one quote is none", []string{`"1`}, false, false},
		{"nonsense before a tag", []string{`x, "1"`}, true, true},
		{"empty", []string{``}, false, false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			l := etag.Parse(tt.lines)
			assert.Equal(t, tt.strong, l.Match(`"1"`, etag.Strong))
			assert.Equal(t, tt.weak, l.Match(`"1"`, etag.Weak))
		})
	}
}

func TestATagChangesWithTheBytes(t *testing.T) {
	t.Parallel()
	assert.NotEqual(t, etag.Of([]byte("a")), etag.Of([]byte("b")))
	assert.Regexp(t, `^"[A-Za-z0-9_-]{24}"$`, etag.Of(nil))
}

func FuzzParse(f *testing.F) {
	f.Add(`W/"a", "b,c", *`)
	f.Fuzz(func(t *testing.T, field string) {
		for _, tag := range etag.Parse([]string{field}).Tags {
			assert.Regexp(t, `^(W/)?"[^"]*"$`, tag)
		}
	})
}
