package document_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"bedline/estimate/document"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Item 45: JSON is read strictly to the end.
func TestItem45TextsThatAreNotReadSayWhereAndWhy(t *testing.T) {
	t.Parallel()
	deep := func(n int) string { return strings.Repeat("[", n) + strings.Repeat("]", n) }
	for _, c := range []struct {
		name, text   string
		line, column int
		says         string
	}{
		{"nothing", "", 1, 1, "is empty"},
		{"space alone", " \n ", 0, 0, "is empty"},
		{"an object without its end", `{"a": 1`, 1, 8, "ends before"},
		{"an array without its end", "[1,\n2", 2, 2, "ends before"},
		{"a string without its end", `"abc`, 1, 5, "ends before"},
		{"a name without its value", `{"a"`, 1, 5, "ends before"},
		{"text after the end", `{} {}`, 1, 4, "goes on after its end"},
		{"a closing bracket after the end", "[1]\n]", 2, 1, "goes on after its end"},
		{"a comma after the end", `1,`, 1, 2, "goes on after its end"},
		{"a member twice", `{"a": 1, "a": 2}`, 1, 10, "two members of the same name"},
		{"a member twice, once escaped", `{"a": 1, "\u0061": 2}`, 1, 10, "two members of the same name"},
		{"a member twice after letters of two bytes", "{\"é\": 1,\n \"ü\": 1, \"ü\": 2}", 2, 10, "two members of the same name"},
		{"a byte order mark", "\xef\xbb\xbf{}", 1, 1, "byte order mark"},
		{"Latin-1", "[\"caf\xe9\"]", 1, 6, "is not UTF-8"},
		{"an encoded surrogate", "\"\xed\xa0\x80\"", 1, 2, "is not UTF-8"},
		{"an overlong encoding", "\"\xc0\xaf\"", 1, 2, "is not UTF-8"},
		{"a high surrogate alone", `["\ud800"]`, 1, 3, "surrogate"},
		{"a low surrogate alone", `["\udc00"]`, 1, 3, "surrogate"},
		{"a high surrogate before a letter", `["\ud800a"]`, 1, 3, "surrogate"},
		{"an unknown escape", `["\q"]`, 1, 3, "escape"},
		{"a line break in a string", "[\"a\nb\"]", 1, 4, "control character"},
		{"a NUL in a string", "\"\x00\"", 1, 2, "control character"},
		{"NaN", `[NaN]`, 1, 2, "not finite"},
		{"Infinity", `{"a": Infinity}`, 1, 7, "not finite"},
		{"minus Infinity", `[-Infinity]`, 1, 0, "not finite"},
		{"a number beyond the range", `[1, 1e400]`, 1, 5, "beyond the range"},
		{"a negative number beyond the range", `-1e309`, 1, 1, "beyond the range"},
		{"a number of 400 digits", "[" + strings.Repeat("9", 400) + "]", 1, 2, "beyond the range"},
		{"a leading zero", `[01]`, 1, 3, "not JSON"},
		{"a plus sign", `[+1]`, 1, 2, "not JSON"},
		{"a point without digits", `[1.]`, 1, 4, "not JSON"},
		{"a comma before the bracket", `[1, ]`, 1, 3, "comma before a closing bracket"},
		{"a comma before the brace", "{\"a\": 1,\n}", 1, 8, "comma before a closing bracket"},
		{"single quotes", `{'a': 1}`, 1, 2, "double quotes"},
		{"a name that is a number", `{1: 2}`, 1, 2, "not a string"},
		{"a comment", "// job\n{}", 1, 1, "comment"},
		{"a word", `[nil]`, 1, 0, "not JSON"},
		{"33 levels", deep(33), 1, 33, "more than 32 deep"},
		{"a great many levels", strings.Repeat(`{"a":[`, 100000), 1, 0, "more than 32 deep"},
		{"too many values", "[" + strings.Repeat("0,", document.MaxValues) + "0]", 1, 0, "values"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			n, err := document.Parse([]byte(c.text))
			require.Error(t, err)
			assert.Nil(t, n)
			var e *document.SyntaxError
			require.ErrorAs(t, err, &e)
			assert.Contains(t, e.Reason, c.says)
			if c.column > 0 {
				assert.Equal(t, [2]int{c.line, c.column}, [2]int{e.Line, e.Column})
			}
		})
	}
	_, err := document.Parse([]byte(deep(32)))
	assert.NoError(t, err)
}

func TestTheTreeKeepsOrderLiteralsAndPlaces(t *testing.T) {
	t.Parallel()
	text := ` {"b": [1.50, -0, "x\u00e9\ud83c\udf31"], "a": {"t": true, "f": false, "n": null}} `
	root, err := document.Parse([]byte(text))
	require.NoError(t, err)
	assert.Equal(t, 1, root.Offset)
	require.Len(t, root.Members, 2)
	assert.Equal(t, []string{"b", "a"}, []string{root.Members[0].Name, root.Members[1].Name})
	items := root.Members[0].Value.Items
	assert.Equal(t, []string{"1.50", "-0", "xé🌱"}, []string{items[0].Text, items[1].Text, items[2].Text})
	assert.Equal(t, 1.5, items[0].Float())
	assert.Equal(t, strings.Index(text, "-0"), items[1].Offset)
	a := root.Member("a")
	assert.Equal(t, document.Object, a.Kind)
	assert.True(t, a.Member("t").True)
	assert.Equal(t, document.Bool, a.Member("f").Kind)
	assert.Equal(t, document.Null, a.Member("n").Kind)
	assert.Equal(t, strings.Index(text, "null"), a.Member("n").Offset)
	assert.Nil(t, root.Member("c"))
}

// The document and the pointers of RFC 6901, section 5 (from memory).
func TestPointersOfTheStandardFindTheirValues(t *testing.T) {
	t.Parallel()
	root, err := document.Parse([]byte(`{"foo": ["bar", "baz"], "": 0, "a/b": 1, "c%d": 2, "e^f": 3, "g|h": 4, "i\\j": 5, "k\"l": 6, " ": 7, "m~n": 8}`))
	require.NoError(t, err)
	for _, c := range []struct{ pointer, text string }{
		{"/foo/0", "bar"}, {"/", "0"}, {"/a~1b", "1"}, {"/c%d", "2"}, {"/e^f", "3"}, {"/g|h", "4"}, {`/i\j`, "5"}, {`/k"l`, "6"}, {"/ ", "7"}, {"/m~0n", "8"},
	} {
		n, ok := root.Lookup(c.pointer)
		require.True(t, ok, c.pointer)
		assert.Equal(t, c.text, n.Text)
	}
	n, ok := root.Lookup("")
	require.True(t, ok)
	assert.Same(t, root, n)
	for _, bad := range []string{"foo", "/foo/2", "/foo/-", "/foo/00", "/foo/+1", "/foo/0/x", "/bar", "/m~n~1"} {
		_, ok := root.Lookup(bad)
		assert.False(t, ok, bad)
	}
	assert.Equal(t, "/beds/0/a~1b/m~0n", document.Pointer("beds", 0, "a/b", "m~n"))
	assert.Equal(t, "~01", document.Escape("~1"))
}

// Examples of RFC 8785 (from memory): section 3.2.2 and the sorting of section 3.2.3, numbers of appendix B.
func TestCanonicalFormIsThatOfTheStandard(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ name, text, want string }{
		{"primitive types",
			`{"numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
			  "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/", "literals": [null, true, false]}`,
			`{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"€$\u000f\nA'B\"\\\\\"/"}`},
		{"sorting by UTF-16",
			`{"\u20ac": "Euro Sign", "\r": "Carriage Return", "\ufb33": "Hebrew Letter Dalet With Dagesh", "1": "One", "\ud83d\ude00": "Emoji: Grinning Face", "\u0080": "Control", "\u00f6": "Latin Small Letter O With Diaeresis"}`,
			`{"\r":"Carriage Return","1":"One","` + "\u0080" + `":"Control","ö":"Latin Small Letter O With Diaeresis","€":"Euro Sign","😀":"Emoji: Grinning Face","` + "\ufb33" + `":"Hebrew Letter Dalet With Dagesh"}`},
		{"minus zero", `-0`, `0`},
		{"the least number", `5e-324`, `5e-324`},
		{"the greatest number", `1.7976931348623157e308`, `1.7976931348623157e+308`},
		{"the greatest whole number", `9007199254740992`, `9007199254740992`},
		{"a number just below an exponent", `999999999999999900000`, `999999999999999900000`},
		{"a number with an exponent", `1000000000000000000000`, `1e+21`},
		{"a small number without an exponent", `0.000001`, `0.000001`},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			text := []byte(c.text)
			got, err := document.Canonical(text)
			require.NoError(t, err)
			assert.Equal(t, c.want, string(got))
			assert.Equal(t, c.text, string(text), "the text given was changed")
			again, err := document.Canonical(got)
			require.NoError(t, err)
			assert.Equal(t, string(got), string(again))
		})
	}
}

func anything() *rapid.Generator[any] {
	leaf := rapid.OneOf(
		rapid.Just[any](nil),
		rapid.Map(rapid.Bool(), func(b bool) any { return b }),
		rapid.Map(rapid.Float64(), func(f float64) any { return f }),
		rapid.Map(rapid.String(), func(s string) any { return s }),
		rapid.Map(rapid.IntRange(-1000, 1000), func(n int) any { return float64(n) }),
	)
	value := leaf
	for range 3 {
		value = rapid.OneOf(leaf,
			rapid.Map(rapid.SliceOfN(value, 0, 5), func(a []any) any { return a }),
			rapid.Map(rapid.MapOfN(rapid.String(), value, 0, 5), func(m map[string]any) any { return m }))
	}
	return value
}

// The reference is encoding/json.
func TestAnyAgreesWithEncodingJSON(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		v := anything().Draw(t, "value")
		text, err := json.Marshal(v)
		require.NoError(t, err)
		if rapid.Bool().Draw(t, "indent") {
			var b bytes.Buffer
			require.NoError(t, json.Indent(&b, text, "", "  "))
			text = b.Bytes()
		}
		var want any
		require.NoError(t, json.Unmarshal(text, &want))
		root, err := document.Parse(text)
		require.NoError(t, err)
		require.Equal(t, want, root.Any())
		canonical, err := document.Canonical(text)
		require.NoError(t, err)
		var same any
		require.NoError(t, json.Unmarshal(canonical, &same))
		require.Equal(t, want, same)
	})
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{`{"a": [1, "x", null]}`, `[1e400]`, `"\ud800"`, `{"a":1,"a":2}`, "[NaN]", "{} x", "\xef\xbb\xbf1", `[[[[`, "[1,]", "\"\xff\"", "-"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		before := bytes.Clone(text)
		root, err := document.Parse(text)
		if !bytes.Equal(before, text) {
			t.Fatal("the text was changed")
		}
		if err != nil {
			var e *document.SyntaxError
			if !errors.As(err, &e) || e.Line < 1 || e.Column < 1 || e.Reason == "" || root != nil {
				t.Fatalf("%v", err)
			}
			return
		}
		var want any
		if err := json.Unmarshal(text, &want); err != nil {
			t.Fatalf("encoding/json: %v", err)
		}
		assert.Equal(t, want, root.Any())
		canonical, err := document.Canonical(text)
		if err != nil {
			t.Fatal(err)
		}
		again, err := document.Canonical(canonical)
		if err != nil || !bytes.Equal(canonical, again) {
			t.Fatalf("%s and %s: %v", canonical, again, err)
		}
	})
}
