package pricing_test

import (
	"encoding/json"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/govalues/decimal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate/document"
	"bedline/pricing"
)

func readTestList(t testing.TB, name string) *pricing.Document {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "testdata", "price-lists", name+".json"))
	require.NoError(t, err)
	d, err := pricing.ReadDocument(text)
	require.NoError(t, err)
	return d
}

func TestItem45BrokenJSONIsASyntaxError(t *testing.T) {
	t.Parallel()
	whole := string(pricing.Sample().JSON())
	for name, text := range map[string]string{
		"empty":                "",
		"cut off":              whole[:len(whole)/2],
		"text after the end":   whole + "x",
		"a second document":    whole + whole,
		"a duplicate member":   strings.Replace(whole, `"system": "us",`, `"system": "us", "system": "us",`, 1),
		"a number that is NaN": strings.Replace(whole, `"swell_factor": 1.25`, `"swell_factor": NaN`, 1),
		"no UTF-8":             strings.Replace(whole, "Cobble", "Cob\xffle", 1),
		"a byte order mark":    "\xef\xbb\xbf" + whole,
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			_, err := pricing.ReadDocument([]byte(text))
			var syntax *document.SyntaxError
			require.ErrorAs(t, err, &syntax)
			assert.Positive(t, syntax.Line)
		})
	}
}

func TestReadingGivesAllFaultsAtOnce(t *testing.T) {
	t.Parallel()
	const text = `{
		"name": "small", "currency": "USD", "system": "us", "efective": "2027-03-01",
		"materials": [
			{"key": "edger", "name": "Edger", "kind": "unit", "length": 8, "width": "4 in", "thickness": "0 in", "colour": "grey"},
			{"key": "base", "name": "Base", "kind": "loose", "loose_density": "100 lb/ft3", "compaction_factor": "1e1"}],
		"soils": [{"key": "loam", "bank_density": "95 lb/ft3"}],
		"suppliers": [{"key": "yard", "name": "Yard", "pick_up": {"trip_cost": null}}],
		"offers": [{"key": "a", "supplier": "yard", "material": "base", "form": "bag", "content": 0, "price": "five"},
			{"key": "b", "supplier": "yard", "material": "base", "form": "bag", "content": 1.5, "price": -5},
			7],
		"labour": {"hourly_cost": "38.00", "rates": {}},
		"taxes": [{"name": "Tax", "percent": 6, "on": ["materials", 3]}]
	}`
	_, err := pricing.ReadDocument([]byte(text))
	got := map[string]string{}
	var order []string
	for _, f := range faultsOf(t, err) {
		got[f.Pointer] = f.Code
		order = append(order, f.Pointer)
	}
	want := map[string]string{
		"/efective":                      document.CodeUnknownMember,
		"/effective":                     document.CodeMissing,
		"/materials/0/length":            document.CodeWrongType,
		"/materials/0/thickness":         document.CodeNotPositive,
		"/materials/0/colour":            document.CodeUnknownMember,
		"/materials/1/compaction_factor": document.CodeBadNumber,
		"/soils/0/swell_factor":          document.CodeMissing,
		"/suppliers/0/pick_up/trip_cost": document.CodeNull,
		"/offers/0/content":              document.CodeOutOfRange,
		"/offers/0/price":                document.CodeBadNumber,
		"/offers/1/content":              document.CodeWrongType,
		"/offers/1/price":                document.CodeNegative,
		"/offers/2":                      document.CodeWrongType,
		"/labour/rates":                  document.CodeWrongType,
		"/taxes/0/on/1":                  document.CodeWrongType,
	}
	for pointer, code := range want {
		assert.Equal(t, code, got[pointer], pointer)
	}
	assert.Equal(t, "/efective", order[0])
	assert.Less(t, index(order, "/materials/0/colour"), index(order, "/materials/1/compaction_factor"))
	assert.Less(t, index(order, "/offers/1/price"), index(order, "/labour/rates"))
}

func index(words []string, word string) int {
	for i, w := range words {
		if w == word {
			return i
		}
	}
	return -1
}

func TestARootThatIsNoObjectIsOneFault(t *testing.T) {
	t.Parallel()
	for _, text := range []string{"[]", "null", "3", `"standard"`} {
		_, err := pricing.ReadDocument([]byte(text))
		faults := faultsOf(t, err)
		require.Len(t, faults, 1, text)
		assert.Empty(t, faults[0].Pointer)
	}
}

func TestNumbersAndPricesMayBeNumbersOrStrings(t *testing.T) {
	t.Parallel()
	text := pricing.Sample().JSON()
	other := strings.NewReplacer(`"fee": "65.00"`, `"fee": 65`, `"swell_factor": 1.25`, `"swell_factor": "1.250"`, `"content": 240`, `"content": "240"`).Replace(string(text))
	require.NotEqual(t, string(text), other)
	d, err := pricing.ReadDocument([]byte(other))
	require.NoError(t, err)
	back, err := d.JSON()
	require.NoError(t, err)
	assert.Equal(t, string(text), string(back))
}

func TestAListThatIsPublishedReadsBackTheSame(t *testing.T) {
	t.Parallel()
	lists := []*pricing.Document{pricing.Sample().Document(), smallDocument()}
	for _, name := range []string{"metric", "yen", "dinar"} {
		lists = append(lists, readTestList(t, name))
	}
	for _, d := range lists {
		text, err := d.JSON()
		require.NoError(t, err)
		require.True(t, json.Valid(text))
		back, err := pricing.ReadDocument(text)
		require.NoError(t, err, d.Name)
		again, err := back.JSON()
		require.NoError(t, err)
		assert.Equal(t, string(text), string(again))
		list, err := back.Compile(3)
		require.NoError(t, err)
		assert.Equal(t, back, list.Document())
	}
}

func TestPricesAreWrittenWithTheDigitsOfTheirCurrency(t *testing.T) {
	t.Parallel()
	for name, want := range map[string][]string{
		"yen":   {`"fee": "7500"`, `"price": "420.5"`},
		"dinar": {`"fee": "18.500"`, `"price": "0.9875"`},
	} {
		text, err := readTestList(t, name).JSON()
		require.NoError(t, err)
		for _, w := range want {
			assert.Contains(t, string(text), w)
		}
	}
	d := smallDocument()
	d.Suppliers[0].Delivery.Fee = dec("65")
	d.Offers[0].Price = dec("38.12500")
	text, err := d.JSON()
	require.NoError(t, err)
	assert.Contains(t, string(text), `"fee": "65.00"`)
	assert.Contains(t, string(text), `"price": "38.125"`)
}

func TestMarshalAndJSONSayTheSame(t *testing.T) {
	t.Parallel()
	d := smallDocument()
	text, err := d.JSON()
	require.NoError(t, err)
	marshalled, err := json.Marshal(d)
	require.NoError(t, err)
	assert.JSONEq(t, string(text), string(marshalled))
}

func TestContentIsAQuantityOrACount(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]pricing.Content{
		"240": {Count: 240}, "0.5 ft3": {Quantity: "0.5 ft3"}, "1": {Count: 1}, "-3": {Quantity: "-3"}, "12.5": {Quantity: "12.5"},
	} {
		got, err := pricing.ParseContent(text)
		require.NoError(t, err)
		assert.Equal(t, want, got)
		assert.Equal(t, text, got.String())
	}
	for _, text := range []string{"", "1000001", "99999999999999999999999"} {
		_, err := pricing.ParseContent(text)
		assert.Error(t, err, text)
	}
	for text, want := range map[string]pricing.Content{`240`: {Count: 240}, `"5' 10\""`: {Quantity: `5' 10"`}, `"<&>"`: {Quantity: "<&>"}} {
		var got pricing.Content
		require.NoError(t, json.Unmarshal([]byte(text), &got))
		assert.Equal(t, want, got)
		back, err := got.MarshalJSON()
		require.NoError(t, err)
		assert.Equal(t, text, string(back))
	}
	for _, text := range []string{`1.5`, `true`, `[]`, `{}`, `1e2`} {
		assert.Error(t, json.Unmarshal([]byte(text), new(pricing.Content)), text)
	}
}

// drawDocument is any document at all, possible or not, as a form or a spreadsheet might make it.
func drawDocument(t *rapid.T) *pricing.Document {
	text := func(name string) string {
		return rapid.OneOf(rapid.SampledFrom([]string{"standard", "8 in", "100 lb/ft3", "loose", "unit", "", "=1+1", "'=x", "''", "-4 in", "a,b", `"q"`, "é, ü", "<&>", "@x", "+1", "'"}),
			rapid.StringMatching(`[ -~]{0,12}`)).Draw(t, name)
	}
	number := func(name string) decimal.Decimal {
		return decimal.MustNew(rapid.Int64Range(-1e9, 1e12).Draw(t, name), rapid.IntRange(0, 8).Draw(t, name+" scale")).Trim(0)
	}
	maybe := func(name string) *decimal.Decimal {
		if !rapid.Bool().Draw(t, name+" there") {
			return nil
		}
		d := number(name)
		return &d
	}
	content := func(name string) pricing.Content {
		if rapid.Bool().Draw(t, name+" counted") {
			return pricing.Content{Count: rapid.IntRange(1, pricing.MaxCount).Draw(t, name)}
		}
		return pricing.Content{Quantity: "x" + text(name)} // a text of digits would be a count
	}
	d := &pricing.Document{Name: text("name"), Currency: rapid.SampledFrom([]string{"USD", "JPY", "KWD", "ZZZ"}).Draw(t, "currency"), System: text("system"), Effective: text("day"), Note: text("note")}
	for range rapid.IntRange(0, 3).Draw(t, "materials") {
		d.Materials = append(d.Materials, pricing.MaterialDocument{Key: text("key"), Name: text("name"), Kind: text("kind"), Length: text("length"), JointMax: text("joint"),
			CompactionFactor: maybe("compaction"), Pin: text("pin"), Source: text("source")})
	}
	for range rapid.IntRange(0, 2).Draw(t, "soils") {
		d.Soils = append(d.Soils, pricing.SoilDocument{Key: text("key"), SwellFactor: number("swell"), BankDensity: text("density")})
	}
	for range rapid.IntRange(0, 2).Draw(t, "suppliers") {
		s := pricing.SupplierDocument{Key: text("key"), Name: text("name"), MinimumOrder: maybe("minimum")}
		if rapid.Bool().Draw(t, "delivers") {
			s.Delivery = &pricing.DeliveryDocument{Fee: number("fee"), Payload: text("payload"), FreeFrom: maybe("free")}
		}
		if rapid.Bool().Draw(t, "picked up") {
			s.PickUp = &pricing.PickUpDocument{TripCost: number("trip"), CrewHours: maybe("hours")}
		}
		d.Suppliers = append(d.Suppliers, s)
	}
	for range rapid.IntRange(0, 3).Draw(t, "offers") {
		o := pricing.OfferDocument{Key: text("key"), Supplier: text("supplier"), Material: text("material"), Form: text("form"), Content: content("content"), Price: number("price")}
		if rapid.Bool().Draw(t, "has minimum") {
			o.Minimum = content("minimum")
		}
		for range rapid.IntRange(0, 2).Draw(t, "breaks") {
			o.Breaks = append(o.Breaks, pricing.BreakDocument{From: content("from"), Price: number("price")})
		}
		d.Offers = append(d.Offers, o)
	}
	d.Labour.HourlyCost = number("hourly")
	for range rapid.IntRange(0, 2).Draw(t, "rates") {
		d.Labour.Rates = append(d.Labour.Rates, pricing.RateDocument{Operation: text("operation"), Soil: text("soil"), Per: content("per"), Hours: number("hours")})
	}
	if rapid.Bool().Draw(t, "disposal") {
		d.Disposal = &pricing.DisposalDocument{Per: text("per"), Price: number("price")}
	}
	for range rapid.IntRange(0, 2).Draw(t, "hauling") {
		d.Hauling = append(d.Hauling, pricing.HaulingDocument{Vehicle: text("vehicle"), Payload: text("payload"), Volume: text("volume"), Source: text("source"),
			Pace: text("pace"), FillMinutes: maybe("fill"), TipMinutes: maybe("tip"), SlopeFactor: maybe("slope"), AccessFrom: text("access")})
	}
	d.Settings.HandLift, d.Settings.MachineLift = text("hand lift"), text("machine lift")
	d.Allowances.Base, d.Settings.LeastPiece, d.Commercial.MarginPercent = maybe("base"), maybe("least"), maybe("margin")
	for range rapid.IntRange(0, 2).Draw(t, "holds") {
		d.Holds = append(d.Holds, pricing.HoldDocument{Key: text("key"), WorkingDays: maybe("days"), Hours: maybe("hours")})
	}
	for range rapid.IntRange(0, 2).Draw(t, "stages") {
		d.Commercial.Stages = append(d.Commercial.Stages, pricing.StageDocument{Name: text("name"), Percent: number("percent")})
	}
	d.Commercial.DepositPercent, d.Commercial.RoundPriceTo, d.Commercial.Rounding = maybe("deposit"), maybe("round"), text("rounding")
	for range rapid.IntRange(0, 2).Draw(t, "taxes") {
		d.Taxes = append(d.Taxes, pricing.TaxDocument{Name: text("name"), Jurisdiction: text("jurisdiction"), Percent: number("percent"), On: []string{"materials", text("on")}})
	}
	return d
}

func TestAnyDocumentIsWrittenAsJSONThatStandsStill(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		d := drawDocument(t)
		text, err := d.JSON()
		require.NoError(t, err)
		var back pricing.Document
		require.NoError(t, json.Unmarshal(text, &back))
		again, err := back.JSON()
		require.NoError(t, err)
		require.Equal(t, string(text), string(again))
		require.NotPanics(t, func() { _, _ = d.Compile(1) })
	})
}

func TestAnySpoiltMemberIsReadOrRefused(t *testing.T) {
	t.Parallel()
	text, err := smallDocument().JSON()
	require.NoError(t, err)
	var tree any
	require.NoError(t, json.Unmarshal(text, &tree))
	var pointers []string
	walk(tree, "", &pointers)
	rapid.Check(t, func(t *rapid.T) {
		pointer := rapid.SampledFrom(pointers).Draw(t, "pointer")
		value := rapid.OneOf(rapid.SampledFrom([]string{`null`, `true`, `{}`, `[]`, `""`, `0`, `-1`, `1e300`, `-0`, `1e-300`, `123456789012345`, `"0 in"`, `"1 m"`, `"1e9 t"`,
			`"0.000000001 mm"`, `"999999999999 yd3"`, `"1 in2"`, `"240"`, `"-1"`, `"1/3 yd3"`, `[{}]`, `[[]]`, `{"key":"a"}`, `"base-crushed"`, `"clay"`}),
			rapid.Map(rapid.Int64(), func(n int64) string { return decimal.MustNew(n, 3).String() })).Draw(t, "value")
		d, err := pricing.ReadDocument(spoilt(text, pointer, value))
		if err == nil {
			list, err := d.Compile(1)
			require.NoError(t, err)
			back, err := pricing.ReadDocument(list.JSON())
			require.NoError(t, err)
			require.Equal(t, d, back)
			return
		}
		var invalid *pricing.InvalidListError
		require.ErrorAs(t, err, &invalid)
		for _, f := range invalid.Faults {
			require.NotEmpty(t, f.Detail)
			require.True(t, f.Example == "" || json.Valid([]byte(f.Example)), f.Example)
		}
	})
}

func walk(tree any, at string, pointers *[]string) {
	*pointers = append(*pointers, at)
	switch x := tree.(type) {
	case map[string]any:
		names := make([]string, 0, len(x))
		for name := range x {
			names = append(names, name)
		}
		slices.Sort(names)
		for _, name := range names {
			walk(x[name], at+"/"+name, pointers)
		}
	case []any:
		for i := range x {
			walk(x[i], at+"/"+strconv.Itoa(i), pointers)
		}
	}
}

// spoilt is the text with the value at the pointer replaced or added, everything else as it was.
func spoilt(text []byte, pointer, value string) []byte {
	root, err := document.Parse(text)
	if err != nil {
		return nil
	}
	var write func(n *document.Node, at string) string
	write = func(n *document.Node, at string) string {
		if at == pointer {
			return value
		}
		switch n.Kind {
		case document.Object:
			var parts []string
			for i := range n.Members {
				parts = append(parts, strconv.Quote(n.Members[i].Name)+":"+write(&n.Members[i].Value, at+"/"+n.Members[i].Name))
			}
			if dir, name := path.Split(pointer); pointer != "" && dir == at+"/" && n.Member(name) == nil {
				parts = append(parts, strconv.Quote(name)+":"+value)
			}
			return "{" + strings.Join(parts, ",") + "}"
		case document.Array:
			var parts []string
			for i := range n.Items {
				parts = append(parts, write(&n.Items[i], at+"/"+strconv.Itoa(i)))
			}
			return "[" + strings.Join(parts, ",") + "]"
		case document.String:
			return strconv.Quote(n.Text)
		}
		return n.Text
	}
	return []byte(write(root, ""))
}

func FuzzReadDocument(f *testing.F) {
	small, err := smallDocument().JSON()
	require.NoError(f, err)
	f.Add(small)
	f.Add([]byte(`{"name":"x","currency":"JPY","labour":{"hourly_cost":1e9}}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		d, err := pricing.ReadDocument(text)
		if err != nil {
			return
		}
		list, err := d.Compile(1)
		require.NoError(t, err, "what reads also compiles")
		back, err := pricing.ReadDocument(list.JSON())
		require.NoError(t, err)
		require.Equal(t, d, back)
	})
}
