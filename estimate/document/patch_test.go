package document_test

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate/document"
)

// patched applies changes to a document and gives what comes out, or the faults as "pointer code".
func patched(t testing.TB, target, changes string, kept ...document.Kept) (string, []document.Fault) {
	t.Helper()
	node := parse(t, target)
	return patchedBy(t, document.NewPatcher(node, kept...), changes)
}

func patchedBy(t testing.TB, p *document.Patcher, changes string) (string, []document.Fault) {
	t.Helper()
	root := parse(t, `{"changes":`+changes+`}`)
	var faults document.Faults
	v, ok := document.Read(root, &faults).Value("changes", document.Required)
	require.True(t, ok)
	out, ok := p.Apply(v)
	require.Equal(t, ok, faults.Len() == 0)
	if !ok {
		return "", faults.List(root)
	}
	return string(out.AppendJSON(nil)), nil
}

// The examples of RFC 6902, appendix A, from memory.
func TestTheExamplesOfRFC6902(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ name, target, patch, want string }{
		{"A.1 adding an object member", `{"foo":"bar"}`, `[{"op":"add","path":"/baz","value":"qux"}]`, `{"baz":"qux","foo":"bar"}`},
		{"A.2 adding an array element", `{"foo":["bar","baz"]}`, `[{"op":"add","path":"/foo/1","value":"qux"}]`, `{"foo":["bar","qux","baz"]}`},
		{"A.3 removing an object member", `{"baz":"qux","foo":"bar"}`, `[{"op":"remove","path":"/baz"}]`, `{"foo":"bar"}`},
		{"A.4 removing an array element", `{"foo":["bar","qux","baz"]}`, `[{"op":"remove","path":"/foo/1"}]`, `{"foo":["bar","baz"]}`},
		{"A.5 replacing a value", `{"baz":"qux","foo":"bar"}`, `[{"op":"replace","path":"/baz","value":"boo"}]`, `{"baz":"boo","foo":"bar"}`},
		{"A.6 moving a value", `{"foo":{"bar":"baz","waldo":"fred"},"qux":{"corge":"grault"}}`, `[{"op":"move","from":"/foo/waldo","path":"/qux/thud"}]`,
			`{"foo":{"bar":"baz"},"qux":{"corge":"grault","thud":"fred"}}`},
		{"A.7 moving an array element", `{"foo":["all","grass","cows","eat"]}`, `[{"op":"move","from":"/foo/1","path":"/foo/3"}]`, `{"foo":["all","cows","eat","grass"]}`},
		{"A.8 testing a value: success", `{"baz":"qux","foo":["a",2,"c"]}`, `[{"op":"test","path":"/baz","value":"qux"},{"op":"test","path":"/foo/1","value":2}]`, `{"baz":"qux","foo":["a",2,"c"]}`},
		{"A.9 testing a value: error", `{"baz":"qux"}`, `[{"op":"test","path":"/baz","value":"bar"}]`, "/changes/0/value test_failed"},
		{"A.10 adding a nested member object", `{"foo":"bar"}`, `[{"op":"add","path":"/child","value":{"grandchild":{}}}]`, `{"foo":"bar","child":{"grandchild":{}}}`},
		{"A.11 ignoring unrecognized elements", `{"foo":"bar"}`, `[{"op":"add","path":"/baz","value":"qux","xyz":123}]`, `{"foo":"bar","baz":"qux"}`},
		{"A.12 adding to a nonexistent target", `{"foo":"bar"}`, `[{"op":"add","path":"/baz/bat","value":"qux"}]`, "/changes/0/path no_such_value"},
		{"A.14 ~ escape ordering", `{"/":9,"~1":10}`, `[{"op":"test","path":"/~01","value":10}]`, `{"/":9,"~1":10}`},
		{"A.15 comparing strings and numbers", `{"/":9,"~1":10}`, `[{"op":"test","path":"/~01","value":"10"}]`, "/changes/0/value test_failed"},
		{"A.16 adding an array value", `{"foo":["bar"]}`, `[{"op":"add","path":"/foo/-","value":["abc","def"]}]`, `{"foo":["bar",["abc","def"]]}`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			got, faults := patched(t, tt.target, tt.patch)
			if tt.want[0] == '/' {
				require.Len(t, faults, 1)
				assert.Equal(t, tt.want, faults[0].Pointer+" "+faults[0].Code)
				return
			}
			require.Empty(t, faults)
			assert.JSONEq(t, tt.want, got)
		})
	}
	// A.13, two members op in one operation, is no JSON text that is read at all.
	_, err := document.Parse([]byte(`[{"op":"add","path":"/baz","value":"qux","op":"remove"}]`))
	assert.ErrorContains(t, err, "two members of the same name")
}

// The test cases of RFC 7396, appendix A, from memory; each stands below a member, since an array is an RFC 6902 patch here.
func TestTheExamplesOfRFC7396(t *testing.T) {
	t.Parallel()
	for _, tt := range [][3]string{
		{`{"a":"b"}`, `{"a":"c"}`, `{"a":"c"}`},
		{`{"a":"b"}`, `{"b":"c"}`, `{"a":"b","b":"c"}`},
		{`{"a":"b"}`, `{"a":null}`, `{}`},
		{`{"a":"b","b":"c"}`, `{"a":null}`, `{"b":"c"}`},
		{`{"a":["b"]}`, `{"a":"c"}`, `{"a":"c"}`},
		{`{"a":"c"}`, `{"a":["b"]}`, `{"a":["b"]}`},
		{`{"a":{"b":"c"}}`, `{"a":{"b":"d","c":null}}`, `{"a":{"b":"d"}}`},
		{`{"a":[{"b":"c"}]}`, `{"a":[1]}`, `{"a":[1]}`},
		{`["a","b"]`, `["c","d"]`, `["c","d"]`},
		{`{"a":"b"}`, `["c"]`, `["c"]`},
		{`{"a":"foo"}`, `"bar"`, `"bar"`},
		{`{"e":null}`, `{"a":1}`, `{"e":null,"a":1}`},
		{`[1,2]`, `{"a":"b","c":null}`, `{"a":"b"}`},
		{`{}`, `{"a":{"bb":{"ccc":null}}}`, `{"a":{"bb":{}}}`},
	} {
		got, faults := patched(t, `{"x":`+tt[0]+`}`, `{"x":`+tt[1]+`}`)
		require.Empty(t, faults, tt)
		assert.Equal(t, `{"x":`+tt[2]+`}`, got)
	}
	// The remaining one, null for the whole, takes the member away here.
	got, _ := patched(t, `{"x":{"a":"foo"}}`, `{"x":null}`)
	assert.Equal(t, `{}`, got)
	for _, tt := range [][3]string{{`{"a":1}`, `{}`, `{"a":1}`}, {`{"a":1,"b":[1.50,2e0]}`, `{"c":0.10}`, `{"a":1,"b":[1.50,2e0],"c":0.10}`}} {
		got, _ := patched(t, tt[0], tt[1])
		assert.Equal(t, tt[2], got, "numbers keep their literals and members their order")
	}
}

func TestAPatchSaysWhichOperationIsWrong(t *testing.T) {
	t.Parallel()
	const job = `{"price_list":"standard","beds":[{"id":"a","dig":"2 in","edging":{"course":"sailor"}}],"slabs":[]}`
	kept := []document.Kept{{Name: "price_list", Why: "it stays"}, {Name: "options", Why: "they do not nest"}}
	deep := strings.Repeat(`[`, 20) + strings.Repeat(`]`, 20)
	for _, tt := range []struct{ name, patch, want, example string }{
		{"a member that is not there", `[{"op":"replace","path":"/beds/0/edgin/course","value":"soldier"}]`, "/changes/0/path no_such_value", `"/beds/0/edging"`},
		{"an item beyond the end", `[{"op":"remove","path":"/beds/1"}]`, "/changes/0/path out_of_range", `"/beds/0"`},
		{"an item far beyond the end of what is added to", `[{"op":"add","path":"/beds/3","value":{}}]`, "/changes/0/path out_of_range", `"/beds/-"`},
		{"an item of an empty array", `[{"op":"remove","path":"/slabs/0"}]`, "/changes/0/path out_of_range", `"/slabs"`},
		{"a number with a zero before it", `[{"op":"remove","path":"/beds/00"}]`, "/changes/0/path out_of_range", `"/beds/0"`},
		{"the end where something must be", `[{"op":"remove","path":"/beds/-"}]`, "/changes/0/path out_of_range", `"/beds/0"`},
		{"into a text", `[{"op":"add","path":"/beds/0/dig/x","value":1}]`, "/changes/0/path no_such_value", `"/beds/0/dig"`},
		{"an unknown op", `[{"op":"change","path":"/beds/0/dig","value":"3 in"}]`, "/changes/0/op unknown_value", `"add"`},
		{"a misspelt op", `[{"op":"replacee","path":"/beds/0/dig","value":"3 in"}]`, "/changes/0/op unknown_value", `"replace"`},
		{"no path", `[{"op":"remove"}]`, "/changes/0/path missing", `"/beds/0/dig"`},
		{"no value", `[{"op":"replace","path":"/beds/0/dig"}]`, "/changes/0/value missing", `"3 in"`},
		{"no from", `[{"op":"move","path":"/beds/0/dig"}]`, "/changes/0/from missing", `"/beds/0/dig"`},
		{"a path without a slash", `[{"op":"remove","path":"beds/0"}]`, "/changes/0/path bad_pointer", `"/beds/0/dig"`},
		{"a path with a loose tilde", `[{"op":"remove","path":"/beds/~2"}]`, "/changes/0/path bad_pointer", `"/beds/0/dig"`},
		{"a path that is a number", `[{"op":"remove","path":3}]`, "/changes/0/path wrong_type", `"/beds/0/dig"`},
		{"an operation that is a text", `["remove"]`, "/changes/0 wrong_type", `{}`},
		{"a test that fails", `[{"op":"test","path":"/beds/0/dig","value":"3 in"}]`, "/changes/0/value test_failed", `"2 in"`},
		{"a move into itself", `[{"op":"move","from":"/beds","path":"/beds/0/x"}]`, "/changes/0/path conflict", ``},
		{"the whole job taken away", `[{"op":"remove","path":""}]`, "/changes/0/path out_of_range", `"/beds/0/stone"`},
		{"a job that is no object", `[{"op":"replace","path":"","value":[]}]`, "/changes wrong_type", `[{"op":"replace","path":"/beds/0/dig","value":"3 in"}]`},
		{"another price list", `[{"op":"replace","path":"/price_list","value":"x"}]`, "/changes/0/path not_to_change", `"/beds/0/dig"`},
		{"a price list moved away", `[{"op":"move","from":"/price_list","path":"/title"}]`, "/changes/0/from not_to_change", `"/beds/0/dig"`},
		{"options in an option", `[{"op":"add","path":"/options","value":[]}]`, "/changes/0/path not_to_change", `"/beds/0/dig"`},
		{"another price list with the whole", `[{"op":"replace","path":"","value":{"price_list":"x"}}]`, "/changes not_to_change", `[{"op":"replace","path":"/beds/0/dig","value":"3 in"}]`},
		{"options with the whole", `[{"op":"replace","path":"","value":{"price_list":"standard","options":[]}}]`, "/changes not_to_change", `[{"op":"replace","path":"/beds/0/dig","value":"3 in"}]`},
		{"another price list by merging", `{"price_list":null}`, "/changes/price_list not_to_change", ``},
		{"too deep", `[{"op":"add","path":"/beds/0/a","value":` + deep + `},{"op":"copy","from":"/beds/0","path":"/beds/0/a/0/0/0/0/0/0/0/0/0/0/0/0/0/0/0/0/0/0/0/-"}]`, "/changes/1/path too_large", `"/beds/0/dig"`},
		{"neither patch", `"sailor"`, "/changes wrong_type", `[{"op":"replace","path":"/beds/0/dig","value":"3 in"}]`},
		{"only the first that fails is told, what follows builds on it", `[{"op":"remove","path":"/x"},{"op":"remove","path":"/y"}]`, "/changes/0/path no_such_value", `"/price_list"`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			_, faults := patched(t, job, tt.patch, kept...)
			require.Len(t, faults, 1)
			assert.Equal(t, tt.want, faults[0].Pointer+" "+faults[0].Code)
			assert.Equal(t, tt.example, faults[0].Example)
			assert.NotEmpty(t, faults[0].Detail)
		})
	}
	_, faults := patched(t, job, `[{"op":"x","path":"y"},3,{"op":"add","path":"/title"}]`)
	assert.Equal(t, []string{"/changes/0/op unknown_value", "/changes/0/path bad_pointer", "/changes/1 wrong_type", "/changes/2/value missing"}, names(faults), "all that is malformed at once")
}

func names(faults []document.Fault) []string {
	var out []string
	for _, f := range faults {
		out = append(out, f.Pointer+" "+f.Code)
	}
	return out
}

func TestATestComparesNumbersByValue(t *testing.T) {
	t.Parallel()
	for _, same := range [][2]string{{"1", "1.0"}, {"10", "1e1"}, {"0.5", "5E-1"}, {"-0", "0.0"}, {"100", "1.00e2"}, {"0.001", "1e-3"}, {"12.50", "125e-1"}, {"1e-999999999999999999999", "1E-999999999999999999998"}} {
		_, faults := patched(t, `{"a":`+same[0]+`}`, `[{"op":"test","path":"/a","value":`+same[1]+`}]`)
		assert.Empty(t, faults, same)
	}
	for _, other := range [][2]string{{"1", "1.0000000000000000000000001"}, {"9007199254740993", "9007199254740992"}, {"1", "-1"}, {"1", "10"}, {"0", "1e-400"}, {"true", "1"}, {"null", "0"}} {
		_, faults := patched(t, `{"a":`+other[0]+`}`, `[{"op":"test","path":"/a","value":`+other[1]+`}]`)
		assert.Len(t, faults, 1, other)
	}
	_, faults := patched(t, `{"a":{"x":[1,{"y":null}],"z":"t"}}`, `[{"op":"test","path":"/a","value":{"z":"t","x":[1.0,{"y":null}]}}]`)
	assert.Empty(t, faults, "members in any order")
}

func TestAPatchCannotGrowWithoutEnd(t *testing.T) {
	t.Parallel()
	// Each copy doubles the job: 2^200 values if nothing stopped it.
	bomb := `{"op":"copy","from":"/a","path":"/a/-"}` + strings.Repeat(`,{"op":"copy","from":"/a","path":"/b"},{"op":"move","from":"/b","path":"/a/-"}`, 99)
	_, faults := patched(t, `{"a":["x","y"]}`, `[`+bomb+`]`)
	require.Len(t, faults, 1)
	assert.Equal(t, "too_large", faults[0].Code)
	flat := `{"op":"copy","from":"/a","path":"/b"}` + strings.Repeat(`,{"op":"copy","from":"/b","path":"/c"},{"op":"copy","from":"/c","path":"/b/x"}`, 10)
	_, faults = patched(t, `{"a":{"t":"`+strings.Repeat("x", 200000)+`"}}`, `[`+flat+`]`)
	require.Len(t, faults, 1)
	assert.Equal(t, "/changes/4 too_large", names(faults)[0], "copies of 200, 200, 200, 400 and 400 thousand bytes are more than a mebibyte")

	// Many operations that each go over much: the work of all patches of a patcher counts together.
	wide := `{"a":[` + strings.Repeat(`0,`, 100000) + `0]}`
	p := document.NewPatcher(parse(t, wide))
	tests := `[` + strings.TrimSuffix(strings.Repeat(`{"op":"add","path":"/a/0","value":1},`, 190), ",") + `]`
	_, faults = patchedBy(t, p, tests)
	assert.Equal(t, "too_large", faults[0].Code)
	var many strings.Builder
	for i := range 20000 {
		many.WriteString(`"m` + strconv.Itoa(i) + `":1,`)
	}
	object := `{` + strings.TrimSuffix(many.String(), ",") + `}`
	_, faults = patched(t, object, object)
	assert.Equal(t, []string{"/changes too_large"}, names(faults), "20,000 members looked up among 20,000")
	_, faults = patched(t, `{"a":`+object+`}`, `[{"op":"test","path":"/a","value":`+object+`}]`)
	assert.Empty(t, faults, "compared by name in a moment")
}

func TestAValueOfAPatchKnowsWhereItComesFrom(t *testing.T) {
	t.Parallel()
	const text = `{"beds":[{"id":"a","dig":"2 in"}],"changes":[{"op":"add","path":"/beds/0","value":{"id":"b","edging":{"unit":"x"}}}]}`
	root := parse(t, text)
	var faults document.Faults
	v, _ := document.Read(root, &faults).Value("changes", document.Required)
	out, ok := document.NewPatcher(root).Apply(v)
	require.True(t, ok)
	for inner, want := range map[string]string{
		"/beds/0/edging/unit": "/changes/0/value/edging/unit", "/beds/0": "/changes/0/value", "/beds/1/dig": "/beds/0/dig", "/beds/1": "/beds/0", "": "",
	} {
		n, ok := out.Lookup(inner)
		require.True(t, ok, inner)
		at, ok := root.PointerTo(n.Offset)
		assert.True(t, ok)
		assert.Equal(t, want, at, inner)
	}
	_, ok = root.PointerTo(3)
	assert.False(t, ok, "no value begins there")
	assert.Equal(t, "a", root.Member("beds").Items[0].Member("id").Text, "the document itself stays as it was")
}
