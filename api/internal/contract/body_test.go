package contract_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline"
	"bedline/api/internal/contract"
	"bedline/estimate/document"
)

func load(t testing.TB) *contract.Contract {
	t.Helper()
	c, err := contract.Load(bedline.OpenAPI())
	require.NoError(t, err)
	return c
}

func operation(t testing.TB, c *contract.Contract, id string) *contract.Operation {
	t.Helper()
	o, ok := c.Operation(id)
	require.True(t, ok, id)
	return o
}

const (
	ground = `"price_list":"standard","ground":{"soil":"loam","cover":"turf","haul":"60 ft"}`
	start  = `{` + ground + `,"beds":[{"id":"a","outline":`
	end    = `}]}`
)

func TestFaultsOfABodyPointAtTheMemberToChange(t *testing.T) {
	t.Parallel()
	c := load(t)
	for _, tt := range []struct {
		name, body string
		want       []string // pointer and code, in the order of the document
	}{
		{"a right job has none", start + `{"kind":"rectangle","length":"12 ft","width":"4 ft"}` + end, nil},
		{"an unknown member is pointed at itself", `{` + ground + `,"beds":[],"colour":1}`, []string{"/colour unknown_member"}},
		{"member names are case-sensitive", `{` + ground + `,"beds":[],"Title":"x"}`, []string{"/Title unknown_member"}},
		{"a missing member is pointed at where it should be", `{"price_list":"standard","beds":[]}`, []string{"/ground missing"}},
		{"a name with a slash and a tilde is escaped", `{` + ground + `,"beds":[],"a/b~c":1}`, []string{"/a~1b~0c unknown_member"}},
		{"neither beds nor slabs", `{` + ground + `}`, []string{" missing"}},
		{"neither beds nor slabs hides nothing else", `{"price_list":"Standard","ground":3}`,
			[]string{" missing", "/price_list bad_key", "/ground wrong_type"}},
		{"a branch is chosen by its discriminator", start + `{"kind":"circle","radius":"1 m","length":"2 m"}` + end,
			[]string{"/beds/0/outline/length unknown_member"}},
		{"an outline without a kind", start + `{"length":"2 m"}` + end, []string{"/beds/0/outline/kind missing"}},
		{"an outline of an unknown kind", start + `{"kind":"blob"}` + end, []string{"/beds/0/outline/kind unknown_value"}},
		{"an outline whose kind is a number", start + `{"kind":3}` + end, []string{"/beds/0/outline/kind wrong_type"}},
		{"an outline that is a text", start + `"round"` + end, []string{"/beds/0/outline wrong_type"}},
		{"a circle with radius and diameter", start + `{"kind":"circle","radius":"1 m","diameter":"2 m","centre":4}` + end,
			[]string{"/beds/0/outline/diameter conflict", "/beds/0/outline/centre wrong_type"}},
		{"a segment that is no object", start + `{"kind":"path","start":["0 m","0 m"],"segments":[{"line_to":["1 m","0 m"]},null,5]}` + end,
			[]string{"/beds/0/outline/segments/1 null", "/beds/0/outline/segments/2 wrong_type"}},
		{"a segment that is a line and an arc", start + `{"kind":"path","start":["0 m","0 m"],"segments":[{"line_to":["1 m","0 m"],"via":["1 m","1 m"]},{}]}` + end,
			[]string{"/beds/0/outline/segments/0/line_to conflict", "/beds/0/outline/segments/1/via missing"}},
		{"a tape may be null, a mark may not", start + `{"kind":"ties","marks":[["0 m","0 m"],null],"points":[["1 m",null],["1 m","-1 m"],["1 m",2]]}` + end,
			[]string{"/beds/0/outline/marks/1 null", "/beds/0/outline/points/1/1 bad_quantity", "/beds/0/outline/points/2/1 unit_missing"}},
		{"a circle with neither", start + `{"kind":"circle"}` + end, []string{"/beds/0/outline/radius missing"}},
		{"a number where a length is due", start + `{"kind":"rectangle","length":12,"width":"4 ft"}` + end,
			[]string{"/beds/0/outline/length unit_missing"}},
		{"a unit that is none", start + `{"kind":"rectangle","length":"12 furlongs","width":"4 ft"}` + end,
			[]string{"/beds/0/outline/length bad_quantity"}},
		{"a length below zero", start + `{"kind":"rectangle","at":["-1 ft","-2 in"],"length":"-12 ft","width":"4 ft"}` + end,
			[]string{"/beds/0/outline/length bad_quantity"}},
		{"every finding at once", start + `{"kind":"polygon","points":[["0 ft"],["1 ft","x"],["2 ft","2 ft"]]},"dig":true,"id2":1` + end,
			[]string{"/beds/0/outline/points/0 out_of_range", "/beds/0/outline/points/1/1 bad_quantity", "/beds/0/dig wrong_type", "/beds/0/id2 unknown_member"}},
		{"null is refused", `{` + ground + `,"beds":null}`, []string{"/beds null"}},
		{"markup and margin exclude each other", `{` + ground + `,"beds":[],"commercial":{"markup_percent":5,"margin_percent":100}}`,
			[]string{"/commercial/margin_percent conflict"}},
		{"a margin of all of the price", `{` + ground + `,"beds":[],"commercial":{"margin_percent":100}}`, []string{"/commercial/margin_percent out_of_range"}},
		{"a haul behind an allOf", `{"price_list":"standard","ground":{"soil":"loam","cover":"turf","haul":60},"beds":[]}`, []string{"/ground/haul unit_missing"}},
		{"half a row", `{` + ground + `,"slabs":[{"id":"s","unit":"u","rows":1.5,"columns":0,"at":["0 ft","0 ft"]}]}`,
			[]string{"/slabs/0/rows wrong_type", "/slabs/0/columns out_of_range"}},
		{"an array where the job should be", `[]`, []string{" wrong_type"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			root, err := document.Parse([]byte(tt.body))
			require.NoError(t, err)
			var faults document.Faults
			faults.Merge(operation(t, c, "createEstimate").Body(root.Any()))
			var got []string
			for _, f := range faults.List(root) {
				got = append(got, f.Pointer+" "+f.Code)
			}
			assert.Equal(t, tt.want, got)
		})
	}
}

func TestFaultsOfAPriceListKnowTheKindOfContent(t *testing.T) {
	t.Parallel()
	c := load(t)
	list := `{"name":"a","currency":"USD","system":"us","effective":"%s","materials":[],"soils":[],"suppliers":[],"labour":{"hourly_cost":"1","rates":[]},
		"offers":[{"key":"o","supplier":"s","material":"m","form":"bag","content":%s,"price":%s}]}`
	for _, tt := range []struct{ name, effective, content, price, want string }{
		{"a count", "2027-03-01", `240`, `"1.65"`, ""},
		{"a quantity", "2027-03-01", `"0.5 ft3"`, `"1.65"`, ""},
		{"no count at all", "2027-03-01", `0`, `"1.65"`, "/offers/0/content out_of_range"},
		{"half a count", "2027-03-01", `0.5`, `"1.65"`, "/offers/0/content wrong_type"},
		{"a quantity without a unit", "2027-03-01", `"3"`, `"1.65"`, "/offers/0/content bad_quantity"},
		{"content that is an array", "2027-03-01", `[]`, `"1.65"`, "/offers/0/content wrong_type"},
		{"a price that is a number", "2027-03-01", `1`, `1.65`, "/offers/0/price wrong_type"},
		{"a price with a sign", "2027-03-01", `1`, `"-1.65"`, "/offers/0/price bad_number"},
		{"a day that the calendar does not have", "2026-02-30", `1`, `"1.65"`, "/effective bad_text"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			root, err := document.Parse(fmt.Appendf(nil, list, tt.effective, tt.content, tt.price))
			require.NoError(t, err)
			faults := operation(t, c, "putPriceList").Body(root.Any())
			if tt.want == "" {
				require.Empty(t, faults)
				return
			}
			require.Len(t, faults, 1)
			assert.Equal(t, tt.want, faults[0].Pointer+" "+faults[0].Code)
		})
	}
}

func TestKO2NoFaultRepeatsAValueOfTheClient(t *testing.T) {
	t.Parallel()
	const secret = "s3cr3t-value"
	c := load(t)
	bodies := []string{
		start + `{"kind":"` + secret + `"}` + end,
		start + `{"kind":"rectangle","length":"` + secret + `","width":"` + secret + `"}` + end,
		`{"price_list":"` + secret + `!","ground":"` + secret + `","beds":"` + secret + `","units":"` + secret + `"}`,
		`{` + ground + `,"beds":[],"reference":"` + strings.Repeat(secret, 20) + `"}`,
	}
	for _, body := range bodies {
		root, err := document.Parse([]byte(body))
		require.NoError(t, err)
		faults := operation(t, c, "createEstimate").Body(root.Any())
		require.NotEmpty(t, faults)
		for _, f := range faults {
			assert.NotContains(t, f.Pointer+f.Detail+f.Example, secret)
		}
	}
	list := `{"name":"a","currency":"USD","system":"us","effective":"2026-02-` + secret + `"}`
	root, err := document.Parse([]byte(list))
	require.NoError(t, err)
	for _, f := range operation(t, c, "putPriceList").Body(root.Any()) {
		assert.NotContains(t, f.Detail+f.Example, secret)
	}
}

func TestKO6NothingIsWrittenIntoTheBody(t *testing.T) {
	t.Parallel()
	root, err := document.Parse([]byte(start + `{"kind":"circle","radius":"1 m"}` + end))
	require.NoError(t, err)
	value := root.Any()
	require.Empty(t, operation(t, load(t), "createEstimate").Body(value))
	assert.Equal(t, root.Any(), value)
}

func TestManyUnknownMembersAreCheckedQuickly(t *testing.T) {
	t.Parallel()
	var b strings.Builder
	b.WriteString(`{` + ground + `,"beds":[]`)
	for i := range 40000 {
		fmt.Fprintf(&b, `,"x%d":1`, i)
	}
	b.WriteString(`}`)
	root, err := document.Parse([]byte(b.String()))
	require.NoError(t, err)
	faults := operation(t, load(t), "createEstimate").Body(root.Any())
	assert.Len(t, faults, 100)
}

// KO4: a format that the library does not check would be a promise that nobody keeps.
func TestKO4EveryFormatIsChecked(t *testing.T) {
	t.Parallel()
	for line := range strings.SplitSeq(string(bedline.OpenAPI()), "\n") {
		if format, ok := strings.CutPrefix(strings.TrimSpace(line), "format: "); ok {
			assert.Contains(t, []string{"date"}, format)
		}
	}
}

func TestJ5EveryExampleOfABodyConforms(t *testing.T) {
	t.Parallel()
	c := load(t)
	n := 0
	for _, o := range c.Operations() {
		examples := o.Examples()
		for name, text := range examples {
			root, err := document.Parse(text)
			require.NoError(t, err)
			assert.Empty(t, o.Body(root.Any()), name)
			n++
		}
	}
	assert.GreaterOrEqual(t, n, 3)
}

func TestTheContractLoadsTheSameEveryTime(t *testing.T) {
	t.Parallel()
	assert.Equal(t, string(load(t).JSON()), string(load(t).JSON()))
	_, err := contract.Load([]byte("openapi: 3.0.3\npaths: {}\n"))
	require.Error(t, err)
	_, err = contract.Load([]byte("no document"))
	require.Error(t, err)
}

func TestParametersAreHeldToTheContract(t *testing.T) {
	t.Parallel()
	o := operation(t, load(t), "getPriceListVersion")
	for _, tt := range []struct{ name, list, version, query, want string }{
		{"right", "standard", "3", "", ""},
		{"a name in capitals", "Standard", "3", "", "path name bad_key"},
		{"a version that is a word", "standard", "latest", "", "path n wrong_type"},
		{"a version with a leading zero", "standard", "03", "", "path n wrong_type"},
		{"version zero", "standard", "0", "", "path n out_of_range"},
		{"a version that no integer holds", "standard", strings.Repeat("9", 30), "", "path n out_of_range"},
		{"an unknown parameter", "standard", "3", "verbose=1", "query verbose unknown_parameter"},
		{"a query that cannot be read", "standard", "3", "a=%zz", "query  malformed"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			path := map[string]string{"name": tt.list, "n": tt.version}
			var got []string
			for _, f := range o.Parameters(func(name string) string { return path[name] }, tt.query, nil) {
				got = append(got, f.In+" "+f.Name+" "+f.Code)
			}
			assert.Equal(t, tt.want, strings.Join(got, ";"))
		})
	}
}

func FuzzBody(f *testing.F) {
	c := load(f)
	o, p := operation(f, c, "createEstimate"), operation(f, c, "putPriceList")
	f.Add([]byte(start + `{"kind":"circle"}` + end))
	f.Add([]byte(`{"offers":[{"content":null}],"commercial":{"markup_percent":1,"margin_percent":2}}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		root, err := document.Parse(text)
		if err != nil {
			return
		}
		for _, op := range []*contract.Operation{o, p} {
			faults := op.Body(root.Any())
			pointers := make([]string, 0, len(faults))
			for _, f := range faults {
				pointers = append(pointers, f.Pointer)
				require.NotEmpty(t, f.Code)
				require.NotEmpty(t, f.Detail)
			}
			slices.Sort(pointers)
			require.Equal(t, len(pointers), len(slices.Compact(pointers)), "one fault for each place")
		}
	})
}
