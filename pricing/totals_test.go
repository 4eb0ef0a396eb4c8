package pricing_test

import (
	"fmt"
	"math/big"
	"testing"

	"github.com/govalues/decimal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/pricing"
	"bedline/pricing/money"
)

// priced is the stone bed of 2 in, materials 136.00 and no delivery from a list that gives it away: a plain sum to
// reckon with. A list without labour costs leaves materials alone.
func priced(t require.TestingT, commercial string, change func(*pricing.Document)) *pricing.Quote {
	list := sampleWith(t, func(d *pricing.Document) {
		d.Labour.HourlyCost = dec("0.00")
		d.Taxes = nil
		d.Commercial = pricing.CommercialDocument{}
		d.Suppliers = []pricing.SupplierDocument{{Key: "yard", Name: "Yard", PickUp: &pricing.PickUpDocument{TripCost: dec("0.00")}}}
		d.Offers = []pricing.OfferDocument{{Key: "stone", Supplier: "yard", Material: "pebble-20", Form: "bulk", Content: pricing.Content{Quantity: "1 yd3"}, Price: dec("6.00")}}
		if change != nil {
			change(d)
		}
	})
	return quoteOf(t, stoneBed("1", `"commercial":{`+commercial+`}`), list)
}

// Business mathematics, markup on the selling price: a book that cost 6.00 and sells at 8.00 has a markup of 2.00, a
// margin of 25 % of the price and a markup of 33 1/3 % on cost.
func TestItem37ABookAtSixSoldAtEight(t *testing.T) {
	t.Parallel()
	for _, commercial := range []string{`"margin_percent":25`, `"markup_percent":33.3333`} {
		q := priced(t, commercial, nil)
		f := q.List.Currency.Format
		assert.Equal(t, []string{"6.00", "2.00", "8.00", "8.00"}, []string{f(q.Totals.Direct), f(q.Totals.Profit), f(q.Totals.BeforeTax), f(q.Totals.Price)}, commercial)
	}
}

// Pairs of markup and margin by algebra: margin = markup / (1 + markup). At a cost of 60,000.00 they give the same
// profit, within what six decimals of a per cent leave.
func TestItem37MarkupAndMarginPairs(t *testing.T) {
	t.Parallel()
	dear := func(d *pricing.Document) { d.Offers[0].Price = dec("60000.00") }
	for markup, margin := range map[string]string{"10": "9.090909", "15": "13.043478", "20": "16.666667", "25": "20", "33.333333": "25", "50": "33.333333", "66.666667": "40", "100": "50"} {
		a, b := priced(t, `"markup_percent":`+markup, dear), priced(t, `"margin_percent":`+margin, dear)
		assert.InDelta(t, float64(a.Totals.Profit), float64(b.Totals.Profit), 1, "markup %s, margin %s", markup, margin)
		m, _ := dec(markup).Float64()
		assert.InDelta(t, 6000000*m/100, float64(a.Totals.Profit), 1)
	}
}

func TestItem37EachStepIsRoundedOnceHalvesAwayFromZero(t *testing.T) {
	t.Parallel()
	// Direct 10.10. Contingency 5 %: 0.505: 0.51. Overhead 10 % of 10.61: 1.061: 1.06. Cost 11.67. Markup 15 %: 1.7505: 1.75.
	q := priced(t, `"contingency_percent":5,"overhead_percent":10,"markup_percent":15`, func(d *pricing.Document) { d.Offers[0].Price = dec("10.10") })
	f := q.List.Currency.Format
	assert.Equal(t, []string{"10.10", "0.51", "1.06", "1.75", "13.42"},
		[]string{f(q.Totals.Direct), f(q.Totals.Contingency), f(q.Totals.Overhead), f(q.Totals.Profit), f(q.Totals.Price)})
	// Margin 15 %: 11.67 / 0.85 = 13.729411: 13.73, profit 2.06.
	q = priced(t, `"contingency_percent":5,"overhead_percent":10,"margin_percent":15`, func(d *pricing.Document) { d.Offers[0].Price = dec("10.10") })
	assert.Equal(t, []string{"2.06", "13.73"}, []string{f(q.Totals.Profit), f(q.Totals.Price)})
}

func TestItem37TheRequestOverridesTheListOneByOne(t *testing.T) {
	t.Parallel()
	list := func(d *pricing.Document) {
		d.Offers[0].Price = dec("100.00")
		d.Commercial = pricing.CommercialDocument{ContingencyPercent: decPointer("5"), OverheadPercent: decPointer("10"), MarginPercent: decPointer("20")}
	}
	// 100.00 + 5.00 + 10.50 = 115.50; / 0.8 = 144.375: profit 28.88 (28.875).
	for _, test := range []struct {
		name, commercial, price string
	}{
		{"the list's own", ``, "144.38"},
		{"no contingency: 110.00 / 0.8", `"contingency_percent":0`, "137.50"},
		{"no overhead: 105.00 / 0.8", `"overhead_percent":0`, "131.25"},
		{"another margin: 115.50 / 0.7", `"margin_percent":30`, "165.00"},
		{"a markup in place of the margin: 115.50 x 1.1", `"markup_percent":10`, "127.05"},
		{"a markup of none", `"markup_percent":0`, "115.50"},
		{"a margin of none", `"margin_percent":0`, "115.50"},
	} {
		q := priced(t, test.commercial, list)
		assert.Equal(t, test.price, q.List.Currency.Format(q.Totals.Price), test.name)
	}
}

func TestItem37ImpossibleTermsAreRefused(t *testing.T) {
	t.Parallel()
	for commercial, want := range map[string][]string{
		`"margin_percent":100`:                     {"/commercial/margin_percent out_of_range"},
		`"margin_percent":1e3`:                     {"/commercial/margin_percent bad_number", "/commercial/margin_percent out_of_range"},
		`"margin_percent":-1`:                      {"/commercial/margin_percent out_of_range"},
		`"margin_percent":"30"`:                    {"/commercial/margin_percent wrong_type"},
		`"margin_percent":20,"markup_percent":25`:  {"/commercial/margin_percent conflict"},
		`"overhead_percent":null`:                  {"/commercial/overhead_percent null"},
		`"overhead_percent":0.1234567`:             {"/commercial/overhead_percent out_of_range"},
		`"contingency_percent":1001`:               {"/commercial/contingency_percent out_of_range"},
		`"profit_percent":5`:                       {"/commercial/profit_percent unknown_member"},
		`"margin_percent":99.999999`:               {},
		`"overhead_percent":0.123456`:              {},
		`"overhead_percent":12.5000000`:            {},
		`"markup_percent":1000,"margin_percent":0`: {"/commercial/margin_percent conflict"},
	} {
		got := faulted(t, stoneBed("1", `"commercial":{`+commercial+`}`))
		if len(want) == 2 { // either will do
			require.Len(t, got, 1, commercial)
			assert.Contains(t, want, got[0])
			continue
		}
		assert.Equal(t, want, got, commercial)
	}
}

func TestItem37TaxFallsOnTheShareOfItsCategories(t *testing.T) {
	t.Parallel()
	// Materials 60.00, labour 40.00 (place_stone 1.05 h... set by the rates below): price before tax 125.00 at a markup of 25 %.
	change := func(on ...string) func(*pricing.Document) {
		return func(d *pricing.Document) {
			d.Offers[0].Price = dec("60.00")
			d.Labour.HourlyCost = dec("40.00")
			d.Hauling = nil // no trips either
			for i := range d.Labour.Rates {
				d.Labour.Rates[i].Hours = dec("0.000001")
				if d.Labour.Rates[i].Operation == "clean_up" {
					d.Labour.Rates[i].Hours = dec("1")
				}
			}
			d.Taxes = []pricing.TaxDocument{{Name: "Tax", Percent: dec("8"), On: on}}
		}
	}
	for _, test := range []struct {
		on   []string
		want string
	}{
		{[]string{"materials"}, "6.00"},            // 125.00 x 0.6 x 8 %
		{[]string{"labour"}, "4.00"},               // 125.00 x 0.4 x 8 %
		{[]string{"materials", "labour"}, "10.00"}, // 125.00 x 8 %
		{[]string{"delivery"}, "0.00"},
	} {
		q := priced(t, `"markup_percent":25`, change(test.on...))
		f := q.List.Currency.Format
		require.Equal(t, []string{"60.00", "40.00", "125.00"}, []string{f(q.Totals.Materials), f(q.Totals.Labour), f(q.Totals.BeforeTax)})
		assert.Equal(t, test.want, f(q.Totals.Tax), "%v", test.on)
		for i := range q.Lines {
			taxed := false
			for _, on := range test.on {
				taxed = taxed || string(q.Lines[i].Category) == on
			}
			if !taxed || q.Lines[i].Amount == 0 {
				assert.Zero(t, q.Lines[i].Tax)
			}
		}
	}
	q := priced(t, `"markup_percent":25`, func(d *pricing.Document) {
		change("materials")(d)
		d.Taxes = append(d.Taxes, pricing.TaxDocument{Name: "Town tax", Percent: dec("1.5"), On: []string{"materials", "labour"}})
	})
	// 6.00 + 1.875: each tax is rounded by itself: 1.88.
	assert.Equal(t, "7.88", q.List.Currency.Format(q.Totals.Tax))
}

func TestAFreeJobHasNoTax(t *testing.T) {
	t.Parallel()
	q := priced(t, `"markup_percent":25`, func(d *pricing.Document) {
		d.Offers[0].Price = dec("0.00")
		d.Taxes = []pricing.TaxDocument{{Name: "Tax", Percent: dec("8"), On: []string{"materials", "labour"}}}
	})
	assert.Zero(t, q.Totals.Price)
	assert.Zero(t, q.Totals.Tax)
}

// Totals of random jobs in currencies of 2, 0 and 3 minor digits add up to the last unit, and each rounded step is
// within half a unit of the exact one.
func TestItem37TotalsAddUp(t *testing.T) {
	t.Parallel()
	base := map[string]*pricing.List{"USD": pricing.Sample(), "JPY": listFile(t, "yen.json"), "KWD": listFile(t, "dinar.json")}
	rapid.Check(t, func(t *rapid.T) {
		code := rapid.SampledFrom([]string{"USD", "JPY", "KWD"}).Draw(t, "currency")
		percent := func(name string, most int) decimal.Decimal {
			return decimal.MustNew(int64(rapid.IntRange(0, most).Draw(t, name)), 2)
		}
		d := base[code].Document()
		d.Taxes = []pricing.TaxDocument{{Name: "One", Percent: percent("first tax", 2500), On: []string{"materials"}},
			{Name: "Two", Percent: percent("second tax", 2500), On: []string{"materials", "labour", "delivery"}}}
		list, err := d.Compile(1)
		require.NoError(t, err)
		contingency, overhead, rate := percent("contingency", 3000), percent("overhead", 5000), percent("rate", 9000)
		way := rapid.SampledFrom([]string{"markup", "margin"}).Draw(t, "way")
		edger := "edger-8x4"
		if code != "USD" {
			edger = "edger-200x100"
		}
		text := fmt.Sprintf(`{"price_list":%q,"ground":{"soil":"loam","cover":"bare","haul":"5 m"},"commercial":{"contingency_percent":%s,"overhead_percent":%s,"%s_percent":%s},
			"beds":[{"id":"b","outline":{"kind":"rectangle","length":"%d mm","width":"%d mm"},"edging":{"unit":%q,"course":"sailor","base":{"material":"base-crushed","depth":"%d mm"},
			"joint":{"width":"3 mm","fill":"sand-joint"}}}]}`, list.Name, contingency, overhead, way, rate,
			rapid.IntRange(500, 12000).Draw(t, "length"), rapid.IntRange(500, 9000).Draw(t, "width"), edger, rapid.IntRange(40, 200).Draw(t, "base"))
		q := quoteOf(t, text, list)
		totals := q.Totals
		sums := map[pricing.Category]money.Amount{}
		var lines, tax money.Amount
		for i := range q.Lines {
			l := &q.Lines[i]
			sums[l.Category] += l.Amount
			lines += l.Amount
			tax += l.Tax
			var orders money.Amount
			for _, o := range l.Orders {
				orders += o.Amount
			}
			if l.Material != nil {
				require.Equal(t, l.Amount, orders, "the orders of a line")
			}
		}
		require.Equal(t, totals.Direct, lines)
		require.Equal(t, []money.Amount{totals.Materials, totals.Delivery, totals.Equipment, totals.Labour, totals.Disposal},
			[]money.Amount{sums[pricing.MaterialsCategory], sums[pricing.DeliveryCategory], sums[pricing.EquipmentCategory], sums[pricing.LabourCategory], sums[pricing.DisposalCategory]})
		require.Equal(t, q.Supply.Plan.Goods, totals.Materials)
		require.Equal(t, q.Supply.Plan.Delivery, totals.Delivery)
		require.Equal(t, totals.BeforeTax, totals.Direct+totals.Contingency+totals.Overhead+totals.Profit)
		require.Equal(t, totals.Tax, tax, "tax by line")
		require.Equal(t, totals.Price, totals.BeforeTax+totals.Tax)

		exact := func(a money.Amount) *big.Rat { return big.NewRat(int64(a), 1) }
		share := func(p decimal.Decimal) *big.Rat { return new(big.Rat).Quo(money.Exact(p), big.NewRat(100, 1)) }
		within := func(got money.Amount, want *big.Rat, what string) {
			off := new(big.Rat).Sub(exact(got), want)
			require.LessOrEqual(t, off.Abs(off).Cmp(big.NewRat(1, 2)), 0, "%s: %d for %s", what, got, want.FloatString(4))
		}
		times := func(x, y *big.Rat) *big.Rat { return new(big.Rat).Mul(x, y) }
		within(totals.Contingency, times(exact(totals.Direct), share(contingency)), "contingency")
		within(totals.Overhead, times(exact(totals.Direct+totals.Contingency), share(overhead)), "overhead")
		cost := exact(totals.Direct + totals.Contingency + totals.Overhead)
		profit := times(cost, share(rate))
		if way == "margin" {
			profit = new(big.Rat).Sub(new(big.Rat).Quo(cost, new(big.Rat).Sub(big.NewRat(1, 1), share(rate))), cost)
		}
		within(totals.Profit, profit, way)
		for i, taxed := range []money.Amount{totals.Materials, totals.Materials + totals.Labour + totals.Delivery} {
			got := totals.Taxes[i]
			within(got.Amount, times(exact(got.Base), share(got.Percent)), "tax")
			// Shared by largest remainder, a category is off by less than one unit.
			off := new(big.Rat).Sub(exact(got.Base), times(exact(totals.BeforeTax), big.NewRat(int64(taxed), int64(totals.Direct))))
			require.Negative(t, off.Abs(off).Cmp(big.NewRat(int64(len(got.Parts)), 1)), "base of tax")
		}
	})
}
