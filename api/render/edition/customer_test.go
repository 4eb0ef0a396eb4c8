package edition_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api/render/edition"
	"bedline/api/render/internal/sample"
	"bedline/api/render/locale"
	"bedline/api/render/page"
	"bedline/pricing"
	"bedline/pricing/money"
)

func quoted(t *testing.T, name string) *pricing.Quote { return sample.Quote(t, name) }

// read are the samples whose documents were read line by line.
var read = [...]string{"patio-with-machines", "old-tree-by-house", "soldier-or-no-path", "wider-bed-change-order", "quoted-strip", "terrace-planters", "bank-strip-metric"}

func TestCustomersReadWhatWasReadBefore(t *testing.T) {
	t.Parallel()
	for _, name := range read {
		for _, tag := range locale.Tags() {
			t.Run(name+" in "+tag, func(t *testing.T) {
				t.Parallel()
				golden(t, "customer-"+name+"."+tag, edition.Customer(quoted(t, name), in(t, tag)))
			})
		}
	}
}

func in(t testing.TB, tag string) *locale.Locale {
	t.Helper()
	l, ok := locale.Lookup(tag)
	require.True(t, ok)
	return l
}

// everywhere runs a test on every sample job in every language.
func everywhere(t *testing.T, do func(t *testing.T, q *pricing.Quote, l *locale.Locale)) {
	t.Helper()
	sample.Each(t, func(t *testing.T, _ string, q *pricing.Quote) {
		for _, tag := range locale.Tags() {
			t.Run(tag, func(t *testing.T) { do(t, q, in(t, tag)) })
		}
	})
}

func TestEveryCustomersDocumentIsWhole(t *testing.T) {
	t.Parallel()
	everywhere(t, func(t *testing.T, q *pricing.Quote, l *locale.Locale) {
		d := edition.Customer(q, l)
		text := dump(d)
		assert.Equal(t, l.Tag(), d.Language)
		assert.NotRegexp(t, `\b(customer|scope|page)\.[a-z_]|\{[a-z_]+\}|%!|  `, text, "a message that is missing or not filled in")
		level := 0
		for _, b := range d.Blocks {
			switch x := b.(type) {
			case *page.Heading:
				assert.LessOrEqual(t, x.Level, level+1, "headings skip no level: %s", x.Words)
				level = x.Level
			case *page.List:
				assert.NotEmpty(t, x.Items)
			case *page.Facts:
				assert.NotEmpty(t, x.Facts)
			case *page.Table:
				for _, r := range x.Rows {
					assert.Len(t, r.Cells, len(x.Columns))
				}
			}
		}
		for _, id := range ids(q) {
			assert.Contains(t, text, "“"+id+"”")
		}
		assert.Contains(t, text, q.ID)
	})
}

// ids are the names of everything that a job builds.
func ids(q *pricing.Quote) []string {
	var out []string
	for i := range q.Job.Beds {
		out = append(out, q.Job.Beds[i].ID)
	}
	for i := range q.Job.Slabs {
		out = append(out, q.Job.Slabs[i].ID)
	}
	for i := range q.Job.Paving {
		out = append(out, q.Job.Paving[i].ID)
	}
	for i := range q.Job.Planters {
		out = append(out, q.Job.Planters[i].ID)
	}
	return out
}

// answer is what the checks below read of an answer over the wire.
type answer struct {
	Totals struct {
		BeforeTax string `json:"before_tax"`
		Price     string
		Discount  *struct{ Of, Amount string }
		Taxes     []struct{ Name, Amount string }
		Payments  []struct {
			Name, Amount string
			Percent      json.Number
		}
	}
	Options []struct {
		Name       string
		Difference string `json:"price_difference"`
		Totals     struct{ Price string }
	}
	ChangeOrder *struct {
		Earlier    struct{ Price string }
		Difference string `json:"price_difference"`
	} `json:"change_order"`
}

// TestTheFiguresOfCustomersAreThoseOfTheAnswer checks against testdata/answers, which the contract's own tests hold.
func TestTheFiguresOfCustomersAreThoseOfTheAnswer(t *testing.T) {
	t.Parallel()
	sample.Each(t, func(t *testing.T, name string, q *pricing.Quote) {
		raw, err := os.ReadFile(filepath.Join("../../../testdata/answers", name+".json"))
		require.NoError(t, err)
		var a answer
		require.NoError(t, json.Unmarshal(raw, &a))
		l := locale.Default()
		text := dump(edition.Customer(q, l))
		is := func(s string) string { return dollars(t, l, q, s) }
		assert.Contains(t, text, "* Price: "+is(a.Totals.Price)+" (")
		assert.Contains(t, text, "= Price | "+is(a.Totals.Price)+"\n")
		assert.Contains(t, text, "| Price before tax | "+is(a.Totals.BeforeTax)+"\n")
		for _, tax := range a.Totals.Taxes {
			assert.Contains(t, text, "| "+tax.Name+" (Home state) | "+is(tax.Amount)+"\n")
		}
		if d := a.Totals.Discount; d != nil {
			assert.Contains(t, text, "discount | "+is(d.Of)+"\n")
			assert.Contains(t, text, "| -"+is(d.Amount)+"\n")
		}
		for _, p := range a.Totals.Payments {
			assert.Contains(t, text, "| "+p.Name+" | "+p.Percent.String()+"% | "+is(p.Amount)+"\n")
		}
		for _, o := range a.Options {
			difference := is(strings.TrimPrefix(o.Difference, "-")) + " more"
			if strings.HasPrefix(o.Difference, "-") {
				difference = is(o.Difference[1:]) + " less"
			}
			assert.Contains(t, text, "| "+o.Name+" | "+difference+" | "+is(o.Totals.Price)+"\n")
			assert.Contains(t, text, "[ ] "+o.Name+": "+difference+"\n")
		}
		if o := a.ChangeOrder; o != nil {
			assert.Contains(t, text, "agreed before | "+is(o.Earlier.Price)+"\n| Difference | "+is(o.Difference)+"\n= Price of the work now | "+is(a.Totals.Price)+"\n")
		}
	})
}

func dollars(t *testing.T, l *locale.Locale, q *pricing.Quote, s string) string {
	t.Helper()
	var a money.Amount
	require.Equal(t, "USD", q.List.Currency.Code)
	whole, cents, _ := strings.Cut(s, ".")
	for _, c := range strings.TrimPrefix(whole, "-") + cents {
		a = a*10 + money.Amount(c-'0')
	}
	if strings.HasPrefix(s, "-") {
		a = -a
	}
	return l.Money(a, q.List.Currency)
}

// TestThePriceAddsUp reads the table of the price as a customer would, with a pencil.
func TestThePriceAddsUp(t *testing.T) {
	t.Parallel()
	sample.Each(t, func(t *testing.T, _ string, q *pricing.Quote) {
		text := dump(edition.Customer(q, locale.Default()))
		_, text, ok := strings.Cut(text, "table: How the price adds up\n")
		require.True(t, ok)
		sum, before, lines := 0, 0, strings.Split(text, "\n")[1:]
		for _, line := range lines {
			cells := strings.Split(line, " | ")
			require.Len(t, cells, 2)
			cents := 0
			for _, c := range cells[1] {
				if c >= '0' && c <= '9' {
					cents = cents*10 + int(c-'0')
				}
			}
			if strings.HasPrefix(cells[1], "-") {
				cents = -cents
			}
			switch {
			case strings.HasPrefix(line, "= "):
				assert.Equal(t, cents, sum)
				assert.Equal(t, int(q.Totals.Price), cents)
				return
			case cells[0] == "| Price before tax":
				if before != 0 {
					assert.Equal(t, cents, sum)
				}
				sum, before = cents, cents
			default:
				sum += cents
				before++
			}
		}
		t.Fatal("there is no total")
	})
}

// TestNothingThatTheCrewKeepsToItselfMovesALetter changes every figure and word of a quote that is not a customer's, and
// holds the document with its drawings to the same bytes.
func TestNothingThatTheCrewKeepsToItselfMovesALetter(t *testing.T) {
	t.Parallel()
	sample.Each(t, func(t *testing.T, _ string, q *pricing.Quote) {
		other, changed := hidden(q)
		require.Greater(t, changed, 1000)
		for _, tag := range locale.Tags() {
			l := in(t, tag)
			want, got := strings.Split(whole(edition.Customer(q, l)), "\n"), strings.Split(whole(edition.Customer(other, l)), "\n")
			for i := range min(len(want), len(got)) {
				require.Equal(t, want[i], got[i])
			}
			require.Len(t, got, len(want))
		}
	})
}

// whole is a document with its drawings.
func whole(d *page.Document) string {
	text := dump(d)
	for _, b := range d.Blocks {
		if f, ok := b.(*page.Figure); ok {
			text += "\n" + string(f.Sheet.SVG())
		}
	}
	return text
}
