package edition_test

import (
	"fmt"
	"math/big"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"github.com/govalues/decimal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api/render/edition"
	"bedline/api/render/internal/sample"
	"bedline/api/render/locale"
	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
	"bedline/pricing"
	"bedline/pricing/money"
)

// oddList is the sample list with prices, rates and percentages that nobody would set, so that no figure of the crew's is
// one of the customer's by chance.
func oddList(t *testing.T) *pricing.List {
	t.Helper()
	d := pricing.Sample().Document()
	odd := func(v *decimal.Decimal, digits int) {
		if v == nil || v.IsZero() {
			return
		}
		x, err := v.Mul(decimal.MustParse("1.09371"))
		require.NoError(t, err)
		*v = x.Round(digits)
	}
	for i := range d.Suppliers {
		if s := d.Suppliers[i].Delivery; s != nil {
			odd(&s.Fee, 2)
		}
		if s := d.Suppliers[i].PickUp; s != nil {
			odd(&s.TripCost, 2)
		}
	}
	for i := range d.Offers {
		odd(&d.Offers[i].Price, 4)
		for k := range d.Offers[i].Breaks {
			odd(&d.Offers[i].Breaks[k].Price, 4)
		}
	}
	odd(&d.Labour.HourlyCost, 2)
	for i := range d.Labour.Rates {
		odd(&d.Labour.Rates[i].Hours, 6)
	}
	for i := range d.Equipment {
		odd(&d.Equipment[i].HalfDay, 2)
		odd(&d.Equipment[i].Day, 2)
		odd(d.Equipment[i].Transport, 2)
	}
	odd(&d.Disposal.Price, 2)
	c := &d.Commercial
	for _, p := range []*decimal.Decimal{c.ContingencyPercent, c.OverheadPercent, c.MarkupPercent, c.MarginPercent,
		d.Allowances.Edging, d.Allowances.Base, d.Allowances.BeddingSand, d.Allowances.JointFill, d.Allowances.Fabric, d.Allowances.DecorativeStone,
		d.Allowances.Slabs, d.Allowances.Paving, d.Allowances.PlanterSoil, d.Allowances.Pins} {
		odd(p, 4)
	}
	odd(&d.Taxes[0].Percent, 4)
	list, err := d.Compile(1)
	require.NoError(t, err)
	return list
}

// quotedWith is the quote of a sample job with a price list.
func quotedWith(t *testing.T, name string, list *pricing.List) *pricing.Quote {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("../../../testdata/jobs", name+".json"))
	require.NoError(t, err)
	root, err := document.Parse(text)
	require.NoError(t, err)
	q, faults, err := pricing.Estimate(t.Context(), pricing.Fixed(list), root, text)
	require.NoError(t, err)
	require.Empty(t, faults)
	return q
}

// figures are the figures of a quote by the number that a reader would see, each with the path where it stands.
type figures map[string]string

// secrets are the figures of a quote that are not its customer's, and the customer's own.
func secrets(q *pricing.Quote) (crew, customer figures) {
	crew, customer = figures{}, figures{}
	seen := map[any]bool{}
	var walk func(v reflect.Value, path string)
	note := func(path string, numbers ...string) {
		to := crew
		if isShown(path) {
			to = customer
		}
		for _, n := range numbers {
			if n = bare(n); len(strings.ReplaceAll(n, ".", "")) >= 4 {
				to[n] = path
			}
		}
	}
	walk = func(v reflect.Value, path string) {
		switch x := v.Interface().(type) {
		case money.Amount:
			s := q.List.Currency.Format(x)
			note(path, s, strings.TrimSuffix(s, s[max(0, len(s)-3):]))
			return
		case decimal.Decimal:
			note(path, x.String(), x.Trim(0).String(), x.Round(3).String(), x.Round(2).String(), x.Round(1).String())
			return
		case measure.Hours:
			for digits := 1; digits <= 4; digits++ {
				note(path, measure.FormatNumber(float64(x), digits))
			}
			return
		case measure.Factor:
			for digits := 1; digits <= 4; digits++ {
				note(path, measure.FormatNumber(float64(x), digits), measure.FormatNumber(100*float64(x), digits), measure.FormatNumber(100*float64(x)-100, digits))
			}
			return
		case big.Int:
			return
		}
		switch v.Kind() {
		case reflect.Pointer:
			if v.IsNil() || seen[[2]any{v.Pointer(), v.Type()}] {
				return
			}
			seen[[2]any{v.Pointer(), v.Type()}] = true
			walk(v.Elem(), path)
		case reflect.Slice, reflect.Array:
			for i := range v.Len() {
				walk(v.Index(i), path)
			}
		case reflect.Struct:
			for i := range v.NumField() {
				if f := v.Type().Field(i); f.IsExported() {
					walk(v.Field(i), strings.TrimPrefix(path+"."+f.Name, "."))
				}
			}
		}
	}
	walk(reflect.ValueOf(q), "")
	return crew, customer
}

// bare is a number without grouping and sign.
func bare(s string) string {
	return strings.NewReplacer(",", "", " ", "", "\u00a0", "", "\u202f", "", "-", "", "'", "").Replace(s)
}

var numbers = regexp.MustCompile(`\d[\d.,'\x{a0}\x{202f}]*`)

// leaks are the numbers of a text that are the crew's.
func leaks(text string, crew figures) []string {
	var out []string
	for _, n := range numbers.FindAllString(text, -1) {
		if path, ok := crew[bare(strings.TrimRight(n, ".,"))]; ok {
			out = append(out, n+" is "+path)
		}
	}
	return out
}

var (
	holes = regexp.MustCompile(`\{[a-z_]+\}`)
	tags  = regexp.MustCompile(`(?s)<[^>]*>`)
	hex   = regexp.MustCompile(`\b[0-9a-f]{12,64}\b`)
)

// readable is all that can be read or heard of a document: its words and those of its drawings.
func readable(text string) string { return hex.ReplaceAllString(tags.ReplaceAllString(text, "\n"), "") }

// TestNoFigureOfTheCrewIsInACustomersDocument looks for every amount, price, hour, rate and percentage of a quote, however
// rounded, among the numbers of the document and its drawings.
func TestNoFigureOfTheCrewIsInACustomersDocument(t *testing.T) {
	t.Parallel()
	list := oddList(t)
	for _, name := range sample.Names(t) {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			q := quotedWith(t, name, list)
			crew, customer := secrets(q)
			for n := range customer {
				delete(crew, n) // the tax of the only taxed category is the tax
			}
			require.Greater(t, len(crew), 200)
			for _, a := range []money.Amount{q.Totals.Labour, q.Totals.Direct, q.Totals.Contingency, q.Totals.Overhead, q.Totals.Profit, q.Supply.Plan.Landed} {
				require.Contains(t, crew, bare(q.List.Currency.Format(a)), "it is told apart from what the customer sees")
			}
			for _, tag := range locale.Tags() {
				l := in(t, tag)
				text := readable(whole(edition.Customer(q, l)))
				assert.Empty(t, leaks(text, crew), tag)
				assert.Contains(t, text, l.Money(q.Totals.Price, q.List.Currency))
				for _, a := range []money.Amount{q.Totals.Labour, q.Totals.Profit, q.Totals.Direct} {
					assert.NotEmpty(t, leaks(l.Money(a, q.List.Currency), crew), "a leak would be found: %s", tag)
				}
			}
		})
	}
}

// TestNoWordOfTheCrewIsInACustomersDocument looks for suppliers, offers, workings, and what the notices tell the crew.
func TestNoWordOfTheCrewIsInACustomersDocument(t *testing.T) {
	t.Parallel()
	everywhere(t, func(t *testing.T, q *pricing.Quote, l *locale.Locale) {
		text := strings.ToLower(readable(whole(edition.Customer(q, l))))
		never := func(words, what string) {
			if len(words) > 3 {
				assert.NotContains(t, text, strings.ToLower(words), what)
			}
		}
		for i := range q.List.Suppliers {
			never(q.List.Suppliers[i].Name, "a supplier")
		}
		for i := range q.List.Offers {
			never(q.List.Offers[i].Key, "an offer")
		}
		for i := range q.List.Equipment {
			never(q.List.Equipment[i].Name, "a machine")
		}
		for i := range q.Notices {
			never(q.Notices[i].Message, "a notice to the crew")
		}
		working := func(w []estimate.Working) {
			for i := range w {
				if len(w[i].Expression) > 8 {
					never(w[i].Expression, "a working")
				}
			}
		}
		working(q.Totals.Workings)
		for i := range q.Lines {
			working(q.Lines[i].Workings)
		}
		for i := range q.Options {
			never(q.Options[i].Difference.Sentence, "what tells hours of an option")
		}
		for _, word := range []string{"margin", "markup", "overhead", "contingency", "profit", "surplus", "supplier", "hourly", "labour", "labor", "margen", "ganancia", "imprevistos", "proveedor", "sobrante", "mano de obra"} {
			assert.NotRegexp(t, fmt.Sprintf(`\b%s\b`, word), text)
		}
	})
}
