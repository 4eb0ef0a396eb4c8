package pricing_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate/document"
	"bedline/pricing"
)

func TestEveryListSurvivesCSV(t *testing.T) {
	t.Parallel()
	lists := []*pricing.Document{pricing.Sample().Document(), smallDocument()}
	for _, name := range []string{"metric", "yen", "dinar"} {
		lists = append(lists, readTestList(t, name))
	}
	for _, d := range lists {
		want, err := d.JSON()
		require.NoError(t, err)
		text, err := d.CSV()
		require.NoError(t, err)
		for name, variant := range map[string][]byte{
			"as written":              text,
			"with a byte order mark":  append([]byte("\xef\xbb\xbf"), text...),
			"with plain line ends":    bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n")),
			"with everything quoted":  quoted(t, text),
			"without a last line end": bytes.TrimSuffix(text, []byte("\r\n")),
		} {
			back, err := pricing.ReadCSV(variant)
			require.NoError(t, err, "%s %s", d.Name, name)
			got, err := back.JSON()
			require.NoError(t, err)
			assert.Equal(t, string(want), string(got), "%s %s", d.Name, name)
		}
	}
}

func quoted(t *testing.T, text []byte) []byte {
	t.Helper()
	records, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	require.NoError(t, err)
	var out bytes.Buffer
	for _, r := range records {
		for i, cell := range r {
			if i > 0 {
				out.WriteByte(',')
			}
			out.WriteString(`"` + strings.ReplaceAll(cell, `"`, `""`) + `"`)
		}
		out.WriteString("\r\n")
	}
	return out.Bytes()
}

// The layout is our own; that it is RFC 4180 (four fields on every line, CRLF ends, a header) is checked with
// encoding/csv.
func TestCSVHasALineForEveryValue(t *testing.T) {
	t.Parallel()
	text, err := smallDocument().CSV()
	require.NoError(t, err)
	r := csv.NewReader(bytes.NewReader(text))
	r.FieldsPerRecord = 4
	_, err = r.ReadAll()
	require.NoError(t, err)
	assert.Equal(t, bytes.Count(text, []byte("\n")), bytes.Count(text, []byte("\r\n")))
	for _, line := range []string{
		"table,row,member,value",
		"list,,name,small",
		"materials,1,length,8 in",
		"suppliers,1,delivery.fee,65.00",
		"offers,1,breaks.2.from,9 yd3",
		"offers,3,content,240",
		"labour,,hourly_cost,38.00",
		"rates,2,operation,lay_edging",
		"disposal,,per,1 yd3",
		"allowances,,base,5",
		"taxes,1,on.1,materials",
	} {
		assert.Contains(t, string(text), line+"\r\n")
	}
}

// Cells that begin with one of = + - @, a tab or a line end are taken for formulas (common practice, as in the
// advice of the open web security community on CSV injection, from memory).
func TestNoCellIsAFormula(t *testing.T) {
	t.Parallel()
	for _, cell := range []string{"=1+1", "+1", "-1", "@SUM(A1)", `=HYPERLINK("x")`, "'=1", "''=1", "'+", "'"} {
		d := smallDocument()
		d.Note = cell
		text, err := d.CSV()
		require.NoError(t, err)
		records, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
		require.NoError(t, err)
		for _, r := range records {
			for _, c := range r {
				assert.NotContains(t, "=+-@\t\r\n", (c + "x")[:1], "%q of %q", c, cell)
			}
		}
		back, err := pricing.ReadCSV(text)
		require.NoError(t, err)
		assert.Equal(t, cell, back.Note)
	}
}

func TestRowsMayStandInAnyOrderUnderAnyLabel(t *testing.T) {
	t.Parallel()
	d := smallDocument()
	text, err := d.CSV()
	require.NoError(t, err)
	lines := strings.Split(strings.TrimSuffix(string(text), "\r\n"), "\r\n")
	var first, rest []string
	for _, line := range lines[1:] {
		line = strings.Replace(line, "materials,2,", "materials,new base,", 1)
		if strings.HasPrefix(line, "taxes") {
			first = append(first, line)
		} else {
			rest = append(rest, line)
		}
	}
	back, err := pricing.ReadCSV([]byte(strings.Join(append(append(lines[:1:1], first...), rest...), "\n")))
	require.NoError(t, err)
	want, err := d.JSON()
	require.NoError(t, err)
	got, err := back.JSON()
	require.NoError(t, err)
	assert.Equal(t, string(want), string(got))
}

func TestFaultsOfCSVNameTheirLine(t *testing.T) {
	t.Parallel()
	text, err := smallDocument().CSV()
	require.NoError(t, err)
	lines := strings.SplitAfter(string(text), "\r\n")
	line := func(of string) int {
		for i, l := range lines {
			if strings.HasPrefix(l, of) {
				return i + 1
			}
		}
		require.Fail(t, "no line "+of)
		return 0
	}
	for name, c := range map[string]struct {
		old, new string
		line     int
		code     string
	}{
		"a bad quantity":          {"materials,1,length,8 in", "materials,1,length,8", line("materials,1,length"), document.CodeUnitMissing},
		"an empty bag":            {"offers,2,content,50 lb", "offers,2,content,0 lb", line("offers,2,content"), document.CodeNotPositive},
		"a bad number":            {"offers,2,price,5.20", "offers,2,price,five", line("offers,2,price"), document.CodeBadNumber},
		"a missing member":        {"offers,2,price,5.20\r\n", "", line("offers,2,key"), document.CodeMissing},
		"a missing table":         {"list,,currency,USD\r\n", "", 1, document.CodeMissing},
		"an unknown member":       {"offers,2,price,5.20", "offers,2,prise,5.20", line("offers,2,price"), document.CodeUnknownMember},
		"an unknown table":        {"disposal,,per", "disposals,,per", line("disposal,,per"), document.CodeUnknownMember},
		"a member twice":          {"list,,note", "list,,name", line("list,,note"), pricing.CodeBadCSV},
		"a list with a row":       {"list,,name", "list,1,name", line("list,,name"), pricing.CodeBadCSV},
		"a rate without a row":    {"rates,1,per", "rates,,per", line("rates,1,per"), pricing.CodeBadCSV},
		"a line without a table":  {"list,,name", ",,name", line("list,,name"), pricing.CodeBadCSV},
		"a line without a member": {"list,,name", "list,,", line("list,,name"), pricing.CodeBadCSV},
		"a table in two ways":     {"allowances,,base,5", "materials,,base,5", line("allowances,,base"), pricing.CodeBadCSV},
		"too many steps":          {"list,,name", "list,,a.b.c.d.e", line("list,,name"), pricing.CodeBadCSV},
		"too many cells":          {"list,,name,small", "list,,name,small,x", line("list,,name"), pricing.CodeBadCSV},
		"a quote left open":       {"taxes,1,percent,6", `taxes,1,percent,"6`, line("taxes,1,percent"), pricing.CodeBadCSV},
		"another header":          {"table,row,member,value", "table;row;member;value", 1, pricing.CodeBadCSV},
		"not UTF-8":               {"list,,name,small", "list,,name,sm\xe4ll", line("list,,name"), pricing.CodeBadCSV},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			spoilt := strings.Replace(string(text), c.old, c.new, 1)
			require.NotEqual(t, string(text), spoilt)
			_, err := pricing.ReadCSV([]byte(spoilt))
			var invalid *pricing.InvalidCSVError
			require.ErrorAs(t, err, &invalid)
			found := false
			for _, f := range invalid.Faults {
				found = found || f.Line == c.line && f.Code == c.code
				assert.NotEmpty(t, f.Detail)
			}
			assert.True(t, found, "want %s on line %d, got %v", c.code, c.line, invalid.Faults)
			assert.Contains(t, err.Error(), "line ")
		})
	}
}

func TestEmptyCSVIsRefused(t *testing.T) {
	t.Parallel()
	for _, text := range []string{"", "\n", "table,row,member,value", "a,b\n"} {
		_, err := pricing.ReadCSV([]byte(text))
		var invalid *pricing.InvalidCSVError
		require.ErrorAs(t, err, &invalid, "%q", text)
	}
}

// A document that is no possible list cannot be read back, but its CSV must hold the same values all the same: the
// values of the JSON one by one.
func TestAnyDocumentIsWrittenAsCSVValueByValue(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		d := drawDocument(t)
		text, err := d.CSV()
		require.NoError(t, err)
		records, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
		require.NoError(t, err)
		encoded, err := d.JSON()
		require.NoError(t, err)
		var tree any
		decoder := json.NewDecoder(bytes.NewReader(encoded))
		decoder.UseNumber()
		require.NoError(t, decoder.Decode(&tree))
		var values, cells []string
		collect(tree, &values)
		for _, r := range records[1:] {
			cell := r[3]
			if len(cell) > 1 && cell[0] == '\'' && strings.ContainsRune("=+-@\t\r\n'", rune(cell[1])) {
				cell = cell[1:]
			}
			cells = append(cells, cell)
		}
		require.ElementsMatch(t, values, cells)
	})
}

func collect(tree any, values *[]string) {
	switch x := tree.(type) {
	case map[string]any:
		for _, v := range x {
			collect(v, values)
		}
	case []any:
		for _, v := range x {
			collect(v, values)
		}
	case string:
		*values = append(*values, x)
	case json.Number:
		*values = append(*values, x.String())
	}
}

// possible varies a possible list, so that it stays one.
func possible(t *rapid.T) *pricing.Document {
	d := smallDocument()
	d.Note = rapid.StringMatching(`[ -~éü°']{0,20}`).Draw(t, "note")
	d.Currency = rapid.SampledFrom([]string{"USD", "JPY", "KWD"}).Draw(t, "currency")
	whole := func(name string) string { return rapid.SampledFrom([]string{"0", "7", "65", "12000"}).Draw(t, name) }
	d.Suppliers[0].MinimumOrder = decPointer(whole("minimum"))
	d.Suppliers[0].Delivery.Fee, d.Suppliers[0].PickUp.TripCost, d.Suppliers[0].Delivery.FreeFrom = dec(whole("fee")), dec(whole("trip")), nil
	d.Equipment = nil
	d.Materials[0].Name = rapid.StringMatching(`[=+@'-]{0,3}[a-z",;]{1,8}`).Draw(t, "name")
	if rapid.Bool().Draw(t, "no disposal") {
		d.Disposal = nil
	}
	if rapid.Bool().Draw(t, "no hauling") {
		d.Hauling = nil
	}
	if rapid.Bool().Draw(t, "no taxes") {
		d.Taxes = nil
	}
	if rapid.Bool().Draw(t, "no offers") {
		d.Offers = nil
	}
	if rapid.Bool().Draw(t, "no rates") {
		d.Labour.Rates = nil
	}
	if rapid.Bool().Draw(t, "no settings") {
		d.Settings, d.Allowances, d.Commercial = pricing.SettingsDocument{}, pricing.Allowances{}, pricing.CommercialDocument{}
	}
	for i := range d.Offers {
		d.Offers[i].Price = dec(rapid.SampledFrom([]string{"99999999", "38.125", "40", "39.9999"}).Draw(t, "price"))
	}
	return d
}

func TestPossibleListsSurviveJSONAndCSV(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		d := possible(t)
		want, err := d.JSON()
		require.NoError(t, err)
		read, err := pricing.ReadDocument(want)
		require.NoError(t, err)
		text, err := read.CSV()
		require.NoError(t, err)
		back, err := pricing.ReadCSV(text)
		require.NoError(t, err)
		require.Equal(t, read, back)
		got, err := back.JSON()
		require.NoError(t, err)
		require.Equal(t, string(want), string(got))
	})
}

func FuzzReadCSV(f *testing.F) {
	small, err := smallDocument().CSV()
	require.NoError(f, err)
	f.Add(small)
	f.Add([]byte("table,row,member,value\nlist,,name,x\nlabour,1,x,2\nrates,1,per,2\n,,,\n"))
	f.Add([]byte("table,row,member,value\nlist,,1,x\nmaterials,,key,'=x\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		d, err := pricing.ReadCSV(text)
		if err != nil {
			var invalid *pricing.InvalidCSVError
			require.ErrorAs(t, err, &invalid)
			require.NotEmpty(t, invalid.Faults)
			return
		}
		again, err := d.CSV()
		require.NoError(t, err)
		back, err := pricing.ReadCSV(again)
		require.NoError(t, err)
		require.Equal(t, d, back)
	})
}
