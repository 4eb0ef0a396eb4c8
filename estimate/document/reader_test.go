package document_test

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"bedline/estimate/document"
	"bedline/estimate/measure"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func parse(t require.TestingT, text string) *document.Node {
	root, err := document.Parse([]byte(text))
	require.NoError(t, err)
	return root
}

// want is a fault without its sentence.
type want struct{ pointer, code string }

func codes(faults []document.Fault) []want {
	out := []want{}
	for _, f := range faults {
		out = append(out, want{f.Pointer, f.Code})
	}
	return out
}

func TestRightMembersAreRead(t *testing.T) {
	t.Parallel()
	root := parse(t, `{"id": "bed-1", "title": "Garage bed", "course": "sailor", "on": true, "off": false, "rows": 2, "columns": 2.0, "far": 1e2,
		"factor": 1.25, "length": "5 ft 10 in", "down": "-2 in", "area": "24 ft2", "content": "0.5 yd3", "mass": "50 lb", "density": "100 lb/ft3",
		"price": "38.00", "percent": 6.5, "empty": "", "points": [["0 ft", "1 ft"], ["-1 ft", "2 ft"]], "at": {"x": "1 in"}, "any": [1]}`)
	var f document.Faults
	r := document.Read(root, &f)
	equal := func(want, got any, ok bool) {
		t.Helper()
		assert.True(t, ok)
		assert.Equal(t, want, got)
	}
	key, ok := r.Key("id", document.Required)
	equal("bed-1", key, ok)
	title, ok := r.Text("title", document.Required, 10)
	equal("Garage bed", title, ok)
	course, ok := r.Choice("course", document.Required, "soldier", "sailor")
	equal("sailor", course, ok)
	on, ok := r.Bool("on", document.Required)
	equal(true, on, ok)
	off, ok := r.Bool("off", document.Optional)
	equal(false, off, ok)
	rows, ok := r.Int("rows", document.Required, 1, 9)
	equal(2, rows, ok)
	columns, ok := r.Int("columns", document.Required, 1, 9)
	equal(2, columns, ok)
	far, ok := r.Int("far", document.Required, 1, 100)
	equal(100, far, ok)
	factor, ok := r.Number("factor", document.Required, 1, math.Inf(1))
	equal(measure.Factor(1.25), factor, ok)
	length, ok := r.Length("length", document.Required, document.Positive)
	equal(measure.Length(1.778), length, ok)
	down, ok := r.Length("down", document.Required, document.AnySign)
	equal(measure.Length(-0.0508), down, ok)
	area, ok := r.Area("area", document.Required, document.Positive)
	equal(measure.Area(2.22967296), area, ok)
	content, ok := r.Volume("content", document.Required, document.Positive)
	equal(measure.Volume(0.382277428992), content, ok)
	mass, ok := r.Mass("mass", document.Required, document.Positive)
	equal(measure.Mass(22.6796185), mass, ok)
	density, ok := r.Density("density", document.Required, document.Positive)
	assert.True(t, ok)
	assert.InDelta(t, 1601.846, float64(density), 1e-3) // MIL-HDBK-1004/6, Appendix B, U-pcf: 16.0185 to 6 figures
	price, ok := r.Literal("price", document.Required)
	equal("38.00", price, ok)
	percent, ok := r.Literal("percent", document.Required)
	equal("6.5", percent, ok)
	empty, ok := r.Text("empty", document.Optional, 10)
	equal("", empty, ok)
	var xs []measure.Length
	assert.True(t, r.Each("points", document.Required, 2, 2, func(i int, at document.Value) {
		assert.Equal(t, fmt.Sprintf("/points/%d", i), at.Pointer())
		x, y, ok := at.Point(document.AnySign)
		assert.True(t, ok)
		xs = append(xs, x, y)
	}))
	assert.Equal(t, []measure.Length{0, 0.3048, -0.3048, 0.6096}, xs)
	at, ok := r.Object("at", document.Required)
	assert.True(t, ok)
	assert.Equal(t, "/at", at.Pointer())
	assert.Equal(t, "/at/x~1y", at.At("x/y"))
	x, ok := at.Length("x", document.Required, document.Positive)
	equal(measure.Inch, x, ok)
	at.Close()
	v, ok := r.Value("any", document.Required)
	assert.True(t, ok)
	assert.Equal(t, document.Array, v.Kind())
	assert.Equal(t, root.Member("any"), v.Node())
	r.Close()
	assert.Empty(t, f.List(root))
}

func TestEachFaultHasItsCodeAndARightExample(t *testing.T) {
	t.Parallel()
	length := func(s document.Sign) func(document.Reader) bool {
		return func(r document.Reader) bool { _, ok := r.Length("m", document.Required, s); return ok }
	}
	area := func(r document.Reader) bool { _, ok := r.Area("m", document.Required, document.Positive); return ok }
	volume := func(r document.Reader) bool {
		_, ok := r.Volume("m", document.Required, document.NotNegative)
		return ok
	}
	mass := func(r document.Reader) bool { _, ok := r.Mass("m", document.Required, document.Positive); return ok }
	density := func(r document.Reader) bool {
		_, ok := r.Density("m", document.Required, document.Positive)
		return ok
	}
	text := func(r document.Reader) bool { _, ok := r.Text("m", document.Required, 10); return ok }
	key := func(r document.Reader) bool { _, ok := r.Key("m", document.Required); return ok }
	choice := func(r document.Reader) bool {
		_, ok := r.Choice("m", document.Required, "sailor", "soldier")
		return ok
	}
	boolean := func(r document.Reader) bool { _, ok := r.Bool("m", document.Required); return ok }
	whole := func(r document.Reader) bool { _, ok := r.Int("m", document.Required, 2, 9); return ok }
	number := func(r document.Reader) bool { _, ok := r.Number("m", document.Required, 0, 2.5); return ok }
	literal := func(r document.Reader) bool { _, ok := r.Literal("m", document.Required); return ok }
	object := func(r document.Reader) bool { _, ok := r.Object("m", document.Required); return ok }
	array := func(r document.Reader) bool {
		return r.Each("m", document.Required, 1, 2, func(int, document.Value) {})
	}
	point := func(r document.Reader) bool {
		v, ok := r.Value("m", document.Required)
		if ok {
			_, _, ok = v.Point(document.AnySign)
		}
		return ok
	}
	for _, c := range []struct {
		name   string
		read   func(document.Reader) bool
		member string // "" for none
		code   string
		says   string
	}{
		{"a length that is not there", length(document.Positive), "", "missing", "a length with its unit, such as 70 in"},
		{"a null for a length", length(document.Positive), "null", "null", "is null"},
		{"a number for a length", length(document.Positive), "70", "unit_missing", "is a number without a unit"},
		{"zero for a length", length(document.NotNegative), "0", "unit_missing", "is a number without a unit"},
		{"a text without a unit for a length", length(document.Positive), `"70"`, "unit_missing", "without a unit"},
		{"an array for a length", length(document.Positive), `["70 in"]`, "wrong_type", "must be a length with its unit"},
		{"a length that is none", length(document.Positive), `"5 ft 14 in"`, "bad_quantity", "not less than one of the first unit, such as 70 in"},
		{"a zero length", length(document.Positive), `"0 in"`, "not_positive", "more than zero"},
		{"a negative length where positive", length(document.Positive), `"-1 in"`, "not_positive", "more than zero"},
		{"a negative length", length(document.NotNegative), `"-1 in"`, "negative", "not be negative"},
		{"a length beyond the earth", length(document.AnySign), `"-99999999999 m"`, "out_of_range", "at most 10,000 km"},
		{"a vanishing length", length(document.AnySign), `"0.00000000001 mm"`, "out_of_range", "at least"},
		{"a negative area", area, `"-2 ft2"`, "not_positive", "more than zero"},
		{"a length for an area", area, `"2 ft"`, "bad_quantity", "ft2"},
		{"a negative volume", volume, `"-2 ft3"`, "negative", "not be negative"},
		{"quarts", volume, `"8 qt"`, "bad_quantity", "quart"},
		{"a mass without a unit", mass, `50`, "unit_missing", "a mass with its unit, such as 50 lb"},
		{"a zero density", density, `"0 kg/m3"`, "not_positive", "more than zero"},
		{"a density of a star", density, `"99999999 t/m3"`, "out_of_range", "at most"},
		{"a number for a text", text, `5`, "wrong_type", "must be a text"},
		{"an empty text", text, `""`, "out_of_range", "1 to 10 characters"},
		{"a long text", text, `"0123456789é"`, "out_of_range", "1 to 10 characters"},
		{"a text of two lines", text, `"a\nb"`, "bad_text", "one line"},
		{"a key in capitals", key, `"Bed"`, "bad_key", "identifier"},
		{"a key of hyphens", key, `"-bed"`, "bad_key", "identifier"},
		{"a key of 65 letters", key, `"` + strings.Repeat("a", 65) + `"`, "bad_key", "identifier"},
		{"a misspelt choice", choice, `"soldeir"`, "unknown_value", "one of sailor, soldier: did you mean soldier?"},
		{"another choice", choice, `"stretcher"`, "unknown_value", "one of sailor, soldier"},
		{"a number for a choice", choice, `1`, "wrong_type", "one of sailor, soldier"},
		{"a choice that is not there", choice, "", "missing", "one of sailor, soldier"},
		{"a text for a boolean", boolean, `"true"`, "wrong_type", "true or false"},
		{"a fraction for a count", whole, `2.5`, "wrong_type", "a whole number from 2 to 9"},
		{"a count too low", whole, `1`, "out_of_range", "a whole number from 2 to 9"},
		{"a count too high", whole, `1e300`, "out_of_range", "a whole number from 2 to 9"},
		{"a count beyond 64 bits", whole, `-99999999999999999999`, "out_of_range", "a whole number from 2 to 9"},
		{"a text for a count", whole, `"2"`, "wrong_type", "a whole number from 2 to 9"},
		{"a count that is not there", whole, "", "missing", "a whole number from 2 to 9"},
		{"a number too high", number, `3`, "out_of_range", "from 0 to 2.5"},
		{"a number that vanishes", number, `1e-400`, "out_of_range", "from 0 to 2.5"},
		{"a number that nearly vanishes", number, `1e-310`, "out_of_range", "from 0 to 2.5"},
		{"a number that is not there", number, "", "missing", "from 0 to 2.5"},
		{"a decimal with an exponent", literal, `1e2`, "bad_number", "decimal"},
		{"a decimal with a comma", literal, `"1,50"`, "bad_number", "decimal"},
		{"a decimal with two points", literal, `"1.5.0"`, "bad_number", "decimal"},
		{"a decimal that ends in a point", literal, `"1."`, "bad_number", "decimal"},
		{"a decimal with a currency", literal, `"$5"`, "bad_number", "decimal"},
		{"an empty decimal", literal, `""`, "bad_number", "decimal"},
		{"a decimal of 16 digits", literal, `"1234567890.123456"`, "out_of_range", "15 digits"},
		{"a boolean for a decimal", literal, `true`, "wrong_type", "decimal"},
		{"an array for an object", object, `[]`, "wrong_type", "an object"},
		{"an object for an array", array, `{}`, "wrong_type", "an array"},
		{"too few items", array, `[]`, "out_of_range", "1 to 2 items"},
		{"too many items", array, `[1, 2, 3]`, "out_of_range", "1 to 2 items"},
		{"a point of three", point, `["1 ft", "1 ft", "1 ft"]`, "out_of_range", "two lengths"},
		{"a null for a value", point, `null`, "null", "leave the member out"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			read := func(text string) ([]document.Fault, bool) {
				root := parse(t, text)
				var f document.Faults
				r := document.Read(root, &f)
				ok := c.read(r)
				r.Close()
				return f.List(root), ok
			}
			text := `{}`
			if c.member != "" {
				text = `{"m": ` + c.member + `}`
			}
			faults, ok := read(text)
			assert.False(t, ok)
			require.Equal(t, []want{{"/m", c.code}}, codes(faults))
			assert.Contains(t, faults[0].Detail, c.says)
			if faults[0].Example != "" && faults[0].Example != "[]" {
				faults, ok := read(`{"m": ` + faults[0].Example + `}`)
				assert.True(t, ok, "the example is refused: %v", faults)
				assert.Empty(t, faults)
			}
		})
	}
}

func TestOptionalMembersMayBeAbsent(t *testing.T) {
	t.Parallel()
	root := parse(t, `{}`)
	var f document.Faults
	r := document.Read(root, &f)
	none := func(ok bool) { t.Helper(); assert.False(t, ok) }
	_, ok := r.Object("a", document.Optional)
	none(ok)
	_, ok = r.Length("b", document.Optional, document.Positive)
	none(ok)
	_, ok = r.Choice("c", document.Optional, "x")
	none(ok)
	_, ok = r.Int("d", document.Optional, 0, 1)
	none(ok)
	_, ok = r.Number("e", document.Optional, 0, 1)
	none(ok)
	none(r.Has("f"))
	none(r.Each("g", document.Optional, 1, 2, nil))
	r.Close()
	assert.Zero(t, f.Len())
}

func TestNothingIsNotedBelowWhatIsMissing(t *testing.T) {
	t.Parallel()
	root := parse(t, `{"edging": 5}`)
	var f document.Faults
	r := document.Read(root, &f)
	edging, ok := r.Object("edging", document.Required)
	assert.False(t, ok)
	base, _ := edging.Object("base", document.Required)
	base.Length("depth", document.Required, document.Positive)
	base.Choice("kind", document.Required, "a")
	base.Int("n", document.Required, 0, 1)
	base.Fault("n", "x", "x", "")
	base.Members(1, nil)
	base.Close()
	edging.Close()
	r.Close()
	assert.Equal(t, []want{{"/edging", "wrong_type"}}, codes(f.List(root)))
	assert.Equal(t, "", base.Pointer())
	var v document.Value
	_, ok = v.Length(document.Positive)
	assert.False(t, ok)
	_, ok = v.Literal()
	assert.False(t, ok)
	assert.True(t, v.IsNull())
}

func TestARootThatIsNoObjectIsAFaultOfTheWhole(t *testing.T) {
	t.Parallel()
	for _, text := range []string{"[]", "1", `"x"`} {
		root := parse(t, text)
		var f document.Faults
		document.Read(root, &f).Length("a", document.Required, document.Positive)
		assert.Equal(t, []want{{"", "wrong_type"}}, codes(f.List(root)))
	}
}

func TestMembersNobodyAskedForAreFaults(t *testing.T) {
	t.Parallel()
	root := parse(t, `{"lenght": "1 ft", "width": "2 ft", "colour": "red", "inner": {"dept": "1 in", "x": 1}}`)
	var f document.Faults
	r := document.Read(root, &f)
	r.Length("length", document.Optional, document.Positive)
	inner, _ := r.Object("inner", document.Required)
	inner.Length("depth", document.Optional, document.Positive)
	inner.Close()
	r.Length("width", document.Required, document.Positive)
	r.Close()
	r.Close()
	got := f.List(root)
	assert.Equal(t, []want{{"/lenght", "unknown_member"}, {"/colour", "unknown_member"}, {"/inner/dept", "unknown_member"}, {"/inner/x", "unknown_member"}}, codes(got))
	assert.Contains(t, got[0].Detail, "did you mean length?")
	assert.Equal(t, `"length"`, got[0].Example)
	assert.NotContains(t, got[1].Detail, "did you mean")
	assert.Contains(t, got[2].Detail, "did you mean depth?")
}

func TestObjectsOfMoreThan64MembersAreKeptApart(t *testing.T) {
	t.Parallel()
	var b strings.Builder
	for i := range 200 {
		fmt.Fprintf(&b, `"m%d": %d, `, i, i)
	}
	root := parse(t, `{`+b.String()+`"last": {"n": 1, "z": 2}}`)
	var f document.Faults
	r := document.Read(root, &f)
	last, _ := r.Object("last", document.Required)
	last.Int("n", document.Required, 0, 9)
	for i := range 200 {
		if i != 63 && i != 64 && i != 199 {
			r.Int(fmt.Sprintf("m%d", i), document.Required, 0, 200)
		}
	}
	r.Close()
	last.Close()
	assert.Equal(t, []want{{"/m63", "unknown_member"}, {"/m64", "unknown_member"}, {"/m199", "unknown_member"}, {"/last/z", "unknown_member"}}, codes(f.List(root)))
}

func TestMembersOfAnyNameAreVisitedInOrder(t *testing.T) {
	t.Parallel()
	root := parse(t, `{"allowances": {"base": 5, "Bad Name": 1, "edging": 101}}`)
	var f document.Faults
	r := document.Read(root, &f)
	a, _ := r.Object("allowances", document.Required)
	var names []string
	assert.False(t, a.Members(10, func(name string, at document.Value) {
		names = append(names, name)
		at.Number(0, 100)
	}))
	a.Close()
	r.Close()
	assert.Equal(t, []string{"base", "edging"}, names)
	assert.Equal(t, []want{{"/allowances/Bad Name", "bad_key"}, {"/allowances/edging", "out_of_range"}}, codes(f.List(root)))
	var g document.Faults
	a, _ = document.Read(root, &g).Object("allowances", document.Required)
	assert.False(t, a.Members(2, func(string, document.Value) { t.Error("visited") }))
	assert.Equal(t, []want{{"/allowances", "out_of_range"}}, codes(g.List(root)))
}

// Item 47: faults found together are given together.
func TestItem47EveryFaultOfADocumentIsFoundInOneGo(t *testing.T) {
	t.Parallel()
	right := []string{`"5 ft"`, `"2 in"`, `3`, `"sailor"`, `["1 ft", "2 ft"]`, `{"depth": "3 in"}`}
	wrong := []struct {
		text, at, code string
	}{
		{`5`, "/a", "unit_missing"}, {`"-2 in"`, "/b", "not_positive"}, {`30`, "/c", "out_of_range"}, {`"x"`, "/d", "unknown_value"},
		{`["1 ft", "two"]`, "/e/1", "bad_quantity"}, {`{"depht": "3 in", "depth": "1"}`, "/f/depht", "unknown_member"},
	}
	rapid.Check(t, func(t *rapid.T) {
		order := rapid.Permutation([]int{0, 1, 2, 3, 4, 5}).Draw(t, "order")
		var parts []string
		expected := []want{}
		var missing []want
		for _, i := range order {
			name := string(rune('a' + i))
			switch rapid.IntRange(0, 2).Draw(t, name) {
			case 0:
				parts = append(parts, `"`+name+`": `+right[i])
			case 1:
				parts = append(parts, `"`+name+`": `+wrong[i].text)
				expected = append(expected, want{wrong[i].at, wrong[i].code})
				if i == 5 {
					expected = append(expected, want{"/f/depth", "unit_missing"})
				}
			default:
				missing = append(missing, want{"/" + name, "missing"})
			}
		}
		root := parse(t, "{"+strings.Join(parts, ",")+"}")
		var f document.Faults
		r := document.Read(root, &f)
		r.Length("a", document.Required, document.Positive)
		r.Length("b", document.Required, document.Positive)
		r.Int("c", document.Required, 1, 9)
		r.Choice("d", document.Required, "sailor", "soldier")
		r.Each("e", document.Required, 2, 2, func(_ int, at document.Value) { at.Length(document.AnySign) })
		if o, ok := r.Object("f", document.Required); ok {
			o.Length("depth", document.Required, document.Positive)
			o.Close()
		}
		r.Close()
		got := codes(f.List(root))
		require.Equal(t, expected, got[:len(expected)], "present, in the order of the document")
		require.ElementsMatch(t, missing, got[len(expected):], "missing, after the last member")
	})
}

// reader asks for everything everywhere, by the names that the fuzzer starts from.
func readAnything(v document.Value, depth int) {
	v.Length(document.AnySign)
	v.Area(document.Positive)
	v.Volume(document.NotNegative)
	v.Mass(document.Positive)
	v.Density(document.Positive)
	v.Text(5)
	v.Key()
	v.Choice("sailor", "soldier")
	v.Bool()
	v.Int(0, 10)
	v.Number(0, 10)
	v.Literal()
	v.Point(document.AnySign)
	if depth > 4 {
		return
	}
	v.Each(1, 100, func(_ int, at document.Value) { readAnything(at, depth+1) })
	if r, ok := v.Object(); ok {
		for _, name := range []string{"a", "beds", "depth"} {
			r.Length(name, document.Required, document.Positive)
			if at, ok := r.Value(name, document.Required); ok {
				readAnything(at, depth+1)
			}
		}
		r.Close()
	}
}

func FuzzReader(f *testing.F) {
	for _, s := range []string{`{"a": "5 ft", "beds": [{"depth": 5}]}`, `[["1 ft", null]]`, `{"a/b": {"~": 1}}`, `"qqqqqqqqqq"`, `1e-310`} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		root, err := document.Parse(text)
		if err != nil {
			return
		}
		var faults document.Faults
		readAnything(document.At(root, &faults), 0)
		list := faults.List(root)
		if len(list) != faults.Len() {
			t.Fatal("faults were lost")
		}
		for _, x := range list {
			_, there := root.Lookup(x.Pointer)
			if !there && x.Code != document.CodeMissing {
				t.Fatalf("%s at a pointer to nothing: %q", x.Code, x.Pointer)
			}
			if x.Detail == "" || x.Example != "" && !json.Valid([]byte(x.Example)) {
				t.Fatalf("%+v", x)
			}
		}
	})
}

func TestNoFaultRepeatsAValue(t *testing.T) {
	t.Parallel()
	const secret = "zqxsecret"
	for _, text := range []string{
		`{"a": "` + secret + `", "beds": ["` + secret + `", {"depth": "5 ` + secret + `"}], "depth": {"x": "` + secret + `"}}`,
		`["5 ft ` + secret + `", "` + secret + ` ft", "1` + secret + `"]`,
	} {
		root := parse(t, text)
		var faults document.Faults
		readAnything(document.At(root, &faults), 0)
		require.NotZero(t, faults.Len())
		for _, f := range faults.List(root) {
			assert.NotContains(t, fmt.Sprint(f), secret)
		}
	}
	for _, text := range []string{secret, `{"` + secret + `": ` + secret, `["` + secret + `", "` + secret, `{"` + secret + `":1,"` + secret + `":2}`, `["\` + secret + `"]`} {
		_, err := document.Parse([]byte(text))
		require.Error(t, err)
		assert.NotContains(t, err.Error(), secret)
	}
}
