package table_test

import (
	"bytes"
	"encoding/csv"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api/render/internal/sample"
	"bedline/api/render/locale"
	"bedline/api/render/table"
	"bedline/estimate/measure"
	"bedline/pricing"
	"bedline/pricing/money"
)

func english(t testing.TB) *locale.Locale {
	t.Helper()
	l, ok := locale.Lookup("en-US")
	require.True(t, ok)
	return l
}

// read reads CSV with the standard library, which has every line as long as the first.
func read(t testing.TB, text []byte) (header []string, rows [][]string) {
	t.Helper()
	lines, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	require.NoError(t, err)
	require.NotEmpty(t, lines)
	return lines[0], lines[1:]
}

// column is a column of rows by its title.
func column(t testing.TB, header []string, rows [][]string, title string) []string {
	t.Helper()
	for i, h := range header {
		if h != title {
			continue
		}
		out := make([]string, len(rows))
		for k := range rows {
			out[k] = rows[k][i]
		}
		return out
	}
	require.Fail(t, "no column", title)
	return nil
}

func sum(t testing.TB, c money.Currency, cells []string) money.Amount {
	t.Helper()
	var out money.Amount
	for _, cell := range cells {
		d, err := strconv.ParseFloat(cell, 64)
		require.NoError(t, err)
		for range c.Digits {
			d *= 10
		}
		out += money.Amount(d + 0.5)
	}
	return out
}

func TestEveryLineItemIsARowWithItsFigures(t *testing.T) {
	t.Parallel()
	sample.Each(t, func(t *testing.T, _ string, q *pricing.Quote) {
		header, rows := read(t, table.CSV(table.LineItems(q, english(t))))
		require.Len(t, rows, len(q.Lines))
		code := q.List.Currency.Code
		amounts, taxes := column(t, header, rows, "Amount ("+code+")"), column(t, header, rows, "Tax ("+code+")")
		hours, masses := column(t, header, rows, "Hours of one person"), column(t, header, rows, "Mass")
		required, units := column(t, header, rows, "Required"), column(t, header, rows, "Required, unit")
		for i := range q.Lines {
			l := &q.Lines[i]
			assert.Equal(t, q.List.Currency.Format(l.Amount), amounts[i])
			assert.Equal(t, q.List.Currency.Format(l.Tax), taxes[i])
			if l.Hours.IsPos() {
				assert.Equal(t, l.Hours.Trim(0).String(), hours[i])
			} else {
				assert.Empty(t, hours[i])
			}
			if l.Mass > 0 {
				assert.Equal(t, string(measure.AppendNumber(nil, q.Job.System.Mass(l.Mass).Value)), masses[i])
			}
			if l.Material != nil {
				assert.NotEmpty(t, required[i])
				assert.Contains(t, []string{"each", "roll", "yd3", "m3", "ft2", "m2"}, units[i])
			}
		}
		totals := &q.Totals
		assert.Equal(t, totals.Direct, sum(t, q.List.Currency, amounts))
		assert.Equal(t, totals.Tax, sum(t, q.List.Currency, taxes))
	})
}

func TestEveryPurchaseIsARowOfTheShoppingList(t *testing.T) {
	t.Parallel()
	sample.Each(t, func(t *testing.T, _ string, q *pricing.Quote) {
		header, rows := read(t, table.CSV(table.Shopping(q, english(t))))
		var want, got []string
		for i := range q.Supply.Plan.Purchases {
			b := &q.Supply.Plan.Purchases[i]
			want = append(want, strings.Join([]string{b.Supplier, b.Material, b.Offer, b.Count.Trim(0).String(), b.Price.Trim(0).String(), q.List.Currency.Format(b.Amount)}, " "))
		}
		code := q.List.Currency.Code
		parts := [][]string{column(t, header, rows, "Supplier key"), column(t, header, rows, "Material key"), column(t, header, rows, "Offer key"),
			column(t, header, rows, "Packs"), column(t, header, rows, "Price of a pack ("+code+")"), column(t, header, rows, "Amount ("+code+")")}
		for i := range rows {
			var words []string
			for _, p := range parts {
				words = append(words, p[i])
			}
			got = append(got, strings.Join(words, " "))
		}
		assert.ElementsMatch(t, want, got)
		assert.Equal(t, q.Supply.Plan.Goods, sum(t, q.List.Currency, parts[5]))
	})
}

func TestEveryCutIsCountedInTheCutList(t *testing.T) {
	t.Parallel()
	sample.Each(t, func(t *testing.T, _ string, q *pricing.Quote) {
		header, rows := read(t, table.CSV(table.Cuts(q, english(t))))
		want, got := 0, 0
		for i := range q.Takeoff.Courses {
			for _, c := range q.Takeoff.Courses[i].Course.Cuts {
				want += c.Count
			}
		}
		for i := range q.Takeoff.Paving {
			p := &q.Takeoff.Paving[i]
			want += len(p.Field.Pieces)
			if p.Border != nil {
				for _, c := range p.Border.Cuts {
					want += c.Count
				}
			}
		}
		for _, cell := range column(t, header, rows, "Count") {
			n, err := strconv.Atoi(cell)
			require.NoError(t, err)
			got += n
		}
		assert.Equal(t, want, got)
	})
}

// RFC 4180, 2: lines end by CR LF, the first one is a header, and every line has the same number of fields, which the
// reader of the standard library sees to.
func TestCSVIsTheSameEveryTimeAndHasPlainNumbersInEveryLanguage(t *testing.T) {
	t.Parallel()
	sample.Each(t, func(t *testing.T, _ string, q *pricing.Quote) {
		var numbers [][]string
		for _, tag := range locale.Tags() {
			l, _ := locale.Lookup(tag)
			for _, of := range []func(*pricing.Quote, *locale.Locale) *table.Table{table.LineItems, table.Cuts, table.Shopping} {
				text := table.CSV(of(q, l))
				assert.Equal(t, text, table.CSV(of(q, l)))
				assert.Equal(t, bytes.Count(text, []byte("\n")), bytes.Count(text, []byte("\r\n")))
				assert.NotContains(t, string(text), "tables.", "a message without words")
			}
			header, rows := read(t, table.CSV(table.LineItems(q, l)))
			require.Len(t, header, 21)
			var all []string
			for _, row := range rows {
				all = append(all, append([]string{row[0]}, row[6:]...)...)
			}
			numbers = append(numbers, all)
		}
		for _, other := range numbers[1:] {
			assert.Equal(t, numbers[0], other)
		}
	})
}

// The open list of formula injections (Open Worldwide Application Security Project, CSV Injection): cells that begin with
// = + - @, tab or a line end. Numbers below zero stay numbers.
func TestTextThatASpreadsheetWouldReckonIsKeptFromIt(t *testing.T) {
	t.Parallel()
	for _, test := range []struct{ text, want string }{
		{"=1+1", "'=1+1"}, {"+1", "'+1"}, {"-1", "'-1"}, {"@SUM(A1)", "'@SUM(A1)"}, {"\t=1", "'\t=1"},
		{"'=1", "''=1"}, {"plain", "plain"}, {"a=1", "a=1"}, {"'tis", "'tis"}, {"", ""},
	} {
		tab := &table.Table{Columns: []table.Column{{Title: "a"}, {Title: "b", Kind: table.Quantity}}, UnitOf: "{column}, unit",
			Rows: [][]table.Cell{{{Words: test.text}, {There: true, Quantity: measure.Quantity{Value: -2.5, Unit: "in"}}}}}
		header, rows := read(t, table.CSV(tab))
		assert.Equal(t, []string{"a", "b", "b, unit"}, header)
		assert.Equal(t, []string{test.want, "-2.5", "in"}, rows[0])
	}
}

// Whatever text a cell has, the reader of the standard library gives it back, but for the apostrophe of a formula and for
// line ends, which it gives as LF.
func FuzzCSV(f *testing.F) {
	for _, s := range []string{"", "a,b", `say "so"`, "two\nlines", "two\r\nlines", "=1", "'=1", "'", " lead", "é\x00", `\.`} {
		f.Add(s, s)
	}
	f.Fuzz(func(t *testing.T, a, b string) {
		tab := &table.Table{Columns: []table.Column{{Title: "a"}, {Title: "b"}, {Title: "n", Kind: table.Whole}}, Rows: [][]table.Cell{{{Words: a}, {Words: b}, {}}}}
		_, rows := read(t, table.CSV(tab))
		require.Len(t, rows, 1)
		for i, want := range []string{a, b} {
			got := rows[0][i]
			if len(got) > 1 && got[0] == '\'' && strings.ContainsRune("=+-@\t\r\n'", rune(got[1])) {
				got = got[1:]
			}
			assert.Equal(t, strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(want), got)
		}
	})
}
