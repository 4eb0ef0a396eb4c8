package table_test

import (
	"bytes"
	"encoding/json"
	"maps"
	"math/big"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"bedline/api/render/internal/sample"
	"bedline/api/render/locale"
	"bedline/api/render/table"
	"bedline/estimate/document"
	"bedline/pricing"
)

// wishes are commercial members of a request that reckon a price in every way there is.
var wishes = map[string]string{
	"markup":            `{"contingency_percent":7.5,"overhead_percent":12.25,"markup_percent":33.3333}`,
	"margin":            `{"margin_percent":37.5}`,
	"margin, discount":  `{"margin_percent":42,"discount_percent":7.25}`,
	"discount":          `{"discount_percent":12.5}`,
	"loss":              `{"discount_percent":60}`,
	"nearest ten":       `{"round_price_to":"10"}`,
	"up to fifty":       `{"round_price_to":"50","rounding":"up","discount_percent":3}`,
	"up to a thousand":  `{"round_price_to":"1000","rounding":"up"}`,
	"payments":          `{"deposit_percent":33,"stages":[{"name":"Start","percent":33},{"name":"End","percent":34}]}`,
	"seven payments":    `{"deposit_percent":0,"stages":[{"name":"=1","percent":14},{"name":"b","percent":14},{"name":"c","percent":14},{"name":"d","percent":14},{"name":"e","percent":14},{"name":"f","percent":15},{"name":"g","percent":15}]}`,
	"payments in parts": `{"deposit_percent":33.3333,"stages":[{"name":"End","percent":66.6667}]}`,
	"nothing on it":     `{"contingency_percent":0,"overhead_percent":0,"markup_percent":0}`,
}

// commercial is a sample job with commercial members, on the built-in list in a currency: USD, JPY without minor units or
// KWD with three digits of them, where two or three taxes lie on several categories.
func commercial(t testing.TB, currency, job, members string) *pricing.Quote {
	t.Helper()
	var request map[string]json.RawMessage
	require.NoError(t, json.Unmarshal(sample.Job(t, job), &request))
	request["commercial"] = json.RawMessage(members)
	delete(request, "price_list_version")
	text, err := json.Marshal(request)
	require.NoError(t, err)
	root, err := document.Parse(text)
	require.NoError(t, err)
	q, faults, err := pricing.Estimate(t.Context(), pricing.Fixed(listIn(t, currency)), root, text)
	require.NoError(t, err)
	require.Empty(t, faults)
	return q
}

// priced are the members of a price list that hold money.
var priced = []string{"fee", "free_from", "minimum_order", "trip_cost", "half_day", "day", "transport", "price", "resale", "disposal", "hourly_cost"}

func listIn(t testing.TB, currency string) *pricing.List {
	t.Helper()
	text, err := pricing.Sample().Document().JSON()
	require.NoError(t, err)
	var list map[string]any
	d := json.NewDecoder(bytes.NewReader(text))
	d.UseNumber()
	require.NoError(t, d.Decode(&list))
	digits, factor := 2, big.NewRat(1, 1)
	switch currency {
	case "JPY":
		digits, factor = 0, big.NewRat(151, 1)
	case "KWD":
		digits, factor = 3, big.NewRat(307, 1000)
	}
	var change func(v any)
	change = func(v any) {
		switch v := v.(type) {
		case []any:
			for _, item := range v {
				change(item)
			}
		case map[string]any:
			for _, k := range slices.Sorted(maps.Keys(v)) {
				s, ok := v[k].(string)
				if r, isNumber := new(big.Rat).SetString(s); ok && isNumber && slices.Contains(priced, k) {
					v[k] = r.Mul(r, factor).FloatString(digits)
					continue
				}
				change(v[k])
			}
		}
	}
	change(list)
	list["currency"] = currency
	list["taxes"] = []any{
		map[string]any{"name": "Sales tax", "jurisdiction": "State", "percent": "6.125", "on": []string{"materials", "equipment"}},
		map[string]any{"name": "Service tax", "percent": "2.5", "on": []string{"labour", "delivery", "disposal"}},
		map[string]any{"name": "Levy", "percent": "0.375", "on": []string{"materials", "delivery", "equipment", "labour", "disposal"}},
	}
	text, err = json.Marshal(list)
	require.NoError(t, err)
	doc, err := pricing.ReadDocument(text)
	require.NoError(t, err)
	l, err := doc.Compile(1)
	require.NoError(t, err)
	return l
}

// combined are quotes of all wishes in all currencies, by a name that a file can have.
func combined(t testing.TB) map[string]*pricing.Quote {
	t.Helper()
	out := map[string]*pricing.Quote{}
	for _, wish := range slices.Sorted(maps.Keys(wishes)) {
		for i, currency := range []string{"USD", "JPY", "KWD"} {
			job := []string{"bed-before-the-holiday", "patio-with-machines", "corner-bed"}[(i+len(wish))%3]
			out[strings.ReplaceAll(wish, ", ", " and ")+" in "+currency] = commercial(t, currency, job, wishes[wish])
		}
	}
	return out
}

func open(t testing.TB, text []byte) *excelize.File {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(text))
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, f.Close()) })
	return f
}

// totals are the amounts that a sheet of totals has to show, by its titles.
func totals(q *pricing.Quote) map[string]string {
	t, f := &q.Totals, q.List.Currency.Format
	out := map[string]string{"Materials": f(t.Materials), "Delivery": f(t.Delivery), "Equipment": f(t.Equipment), "Labor": f(t.Labour), "Disposal": f(t.Disposal),
		"Direct cost": f(t.Direct), "Contingency": f(t.Contingency), "Overhead": f(t.Overhead), "Cost of the job": f(t.Direct + t.Contingency + t.Overhead),
		"Price before tax": f(t.BeforeTax), "Price": f(t.Price), "Hours of one person": t.Hours.String()}
	if t.Commercial.MarginPercent.IsZero() {
		out["Profit, percent of the cost"] = f(t.Profit)
	} else {
		out["Profit, percent of the price"] = f(t.Profit)
	}
	if !t.Commercial.DiscountPercent.IsZero() {
		out["Discount, taken off"] = f(t.Discount)
	}
	if len(t.Taxes) > 0 {
		out["Taxes"] = f(t.Tax)
	}
	if t.Commercial.RoundTo > 0 {
		out["Price before tax and multiple"] = f(t.BeforeTax - t.Rounding)
		out["To come to the multiple"], out["Price as a multiple"], out["Left to the multiple, not taxed"] = f(t.Rounding), f(t.Price), f(t.Odd)
	}
	if t.Margin != nil {
		out["Profit left, percent of the price before tax"] = t.Margin.String()
	}
	return out
}

// same holds that two numbers are the same, however they are written.
func same(t testing.TB, want, got, what string) {
	t.Helper()
	a, ok := new(big.Rat).SetString(want)
	require.True(t, ok, "%s: %s", what, want)
	b, ok := new(big.Rat).SetString(got)
	require.True(t, ok, "%s: %q", what, got)
	assert.Zero(t, a.Cmp(b), "%s: want %s, got %s", what, want, got)
}

func checkTotals(t testing.TB, q *pricing.Quote, rows [][]string) {
	t.Helper()
	want := totals(q)
	for _, row := range rows[1:] {
		require.Contains(t, want, row[0])
		same(t, want[row[0]], row[2], row[0])
		delete(want, row[0])
	}
	assert.Empty(t, want, "totals that are not there")
}

// checkReckoned holds that taxes and payments are those of the quote.
func checkReckoned(t testing.TB, q *pricing.Quote, taxes, payments [][]string) {
	t.Helper()
	f := q.List.Currency.Format
	if n := len(q.Totals.Taxes); n > 0 {
		require.Len(t, taxes, n+1)
		for i := range q.Totals.Taxes {
			same(t, f(q.Totals.Taxes[i].Base), taxes[i+1][4], "taxed price")
			same(t, f(q.Totals.Taxes[i].Amount), taxes[i+1][5], "tax")
		}
	}
	if n := len(q.Totals.Payments); n > 0 {
		require.Len(t, payments, n+2)
		for i := range q.Totals.Payments {
			same(t, f(q.Totals.Payments[i].Amount), payments[i+1][4], "payment")
		}
		same(t, f(q.Totals.Price), payments[n+1][4], "payments together")
	}
}

// raw are the rows of a sheet as they are kept, without number formats.
func raw(t testing.TB, f *excelize.File, sheet string) [][]string {
	t.Helper()
	if n, err := f.GetSheetIndex(sheet); err != nil || n < 0 {
		return nil
	}
	rows, err := f.GetRows(sheet, excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	return rows
}

func TestTheValuesBesideTheFormulasAreThoseOfTheQuote(t *testing.T) {
	t.Parallel()
	check := func(t *testing.T, q *pricing.Quote) {
		t.Helper()
		text, err := table.Workbook(q, english(t))
		require.NoError(t, err)
		f := open(t, text)
		checkTotals(t, q, raw(t, f, "Totals"))
		checkReckoned(t, q, raw(t, f, "Taxes"), raw(t, f, "Payments"))
		assert.Len(t, raw(t, f, "Line items"), len(q.Lines)+1)
		assert.Len(t, raw(t, f, "Tasks"), len(q.Plan.Tasks)+1)
		again, err := table.Workbook(q, english(t))
		require.NoError(t, err)
		assert.True(t, bytes.Equal(text, again), "the same to the byte")
	}
	sample.Each(t, func(t *testing.T, _ string, q *pricing.Quote) { check(t, q) })
	for name, q := range combined(t) {
		t.Run(name, func(t *testing.T) { t.Parallel(); check(t, q) })
	}
}

// Only what a search finds stands as a value: the part before tax that brings a price to a multiple.
func TestTotalsAreFormulas(t *testing.T) {
	t.Parallel()
	for name, q := range combined(t) {
		text, err := table.Workbook(q, english(t))
		require.NoError(t, err)
		f := open(t, text)
		for i, row := range raw(t, f, "Totals")[1:] {
			at, err := excelize.CoordinatesToCellName(3, i+2)
			require.NoError(t, err)
			formula, err := f.GetCellFormula("Totals", at)
			require.NoError(t, err)
			assert.Equal(t, row[0] != "To come to the multiple", formula != "", "%s: %s", name, row[0])
		}
	}
}

func TestAWorkbookIsThereInEveryLanguageWithItsProperties(t *testing.T) {
	t.Parallel()
	q := sample.Quote(t, "bed-before-the-holiday")
	for tag, first := range map[string]string{"en-US": "Line items", "en-GB": "Line items", "es-US": "Partidas"} {
		l, ok := locale.Lookup(tag)
		require.True(t, ok)
		text, err := table.Workbook(q, l)
		require.NoError(t, err)
		f := open(t, text)
		assert.Equal(t, first, f.GetSheetName(0))
		properties, err := f.GetDocProps()
		require.NoError(t, err)
		assert.Equal(t, tag, properties.Language)
		assert.Contains(t, properties.Title, q.Job.Title)
		for _, name := range f.GetSheetList() {
			assert.LessOrEqual(t, len([]rune(name)), 31, "as long as a sheet's name may be")
			for _, row := range raw(t, f, name) {
				for _, cell := range row {
					assert.NotContains(t, cell, "tables.", "a message without words")
				}
			}
			panes, err := f.GetPanes(name)
			require.NoError(t, err)
			assert.True(t, panes.Freeze, "the header stays in sight")
			layout, err := f.GetPageLayout(name)
			require.NoError(t, err)
			fit, err := f.GetSheetProps(name)
			require.NoError(t, err)
			assert.True(t, fit.FitToPage != nil && *fit.FitToPage && *layout.FitToWidth == 1, "a page is as wide as the table")
			assert.Equal(t, map[string]int{"en-US": 1, "en-GB": 9, "es-US": 1}[tag], *layout.Size, "Letter or A4")
		}
	}
}
