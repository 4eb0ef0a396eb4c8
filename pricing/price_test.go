package pricing_test

import (
	"fmt"
	"math/big"
	"slices"
	"strings"
	"testing"

	"github.com/govalues/decimal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate/document"
	"bedline/pricing"
	"bedline/pricing/money"
)

// charged is the job of 60.00 of materials and 40.00 of labour, with taxes as given.
func charged(t require.TestingT, commercial string, taxes ...pricing.TaxDocument) *pricing.Quote {
	return priced(t, commercial, func(d *pricing.Document) {
		d.Offers[0].Price = dec("60.00")
		d.Labour.HourlyCost = dec("40.00")
		for i := range d.Labour.Rates {
			d.Labour.Rates[i].Hours = dec("0.000001")
			if d.Labour.Rates[i].Operation == "clean_up" {
				d.Labour.Rates[i].Hours = dec("1")
			}
		}
		d.Taxes = taxes
	})
}

func onMaterials(percent string) pricing.TaxDocument {
	return pricing.TaxDocument{Name: "Sales tax", Jurisdiction: "State", Percent: dec(percent), On: []string{"materials"}}
}

func steps(q *pricing.Quote) map[string]string {
	out := map[string]string{}
	for _, w := range q.Totals.Workings {
		out[w.Label] = w.Expression + " = " + w.Result
	}
	return out
}

// By hand. Cost 100.00, a margin of 20 %: 125.00. A discount of 5 %: 6.25, leaves 118.75; of that 18.75 are profit: 15.789 %.
// Materials bear 60 % of the price: 71.25 x 6 % = 4.275: 4.28. Price 123.03.
func TestItem37ADiscountIsTakenOffThePriceBeforeTax(t *testing.T) {
	t.Parallel()
	q := charged(t, `"margin_percent":20,"discount_percent":5`, onMaterials("6"))
	f, p := q.List.Currency.Format, q.Totals
	assert.Equal(t, []string{"25.00", "6.25", "118.75", "4.28", "123.03"}, []string{f(p.Profit), f(p.Discount), f(p.BeforeTax), f(p.Tax), f(p.Price)})
	require.NotNil(t, p.Margin)
	assert.Equal(t, "15.79", p.Margin.String())
	w := steps(q)
	assert.Equal(t, "125.00 x 5 %, rounded half away from zero to 0.01 = 6.25", w["discount"])
	assert.Equal(t, "100.00 + 25.00 - 6.25 = 118.75", w["price before tax"])
	assert.Equal(t, "118.75 x its share of the direct cost of 100.00, by largest remainder = materials 71.25, labour 47.50", w["price before tax of each category"])
	assert.Equal(t, "materials 71.25 x 6 %, rounded half away from zero to 0.01 = 4.28", w["Sales tax (State)"])
	assert.Equal(t, []pricing.TaxPart{{Category: pricing.MaterialsCategory, Base: 7125, Amount: 428}}, p.Taxes[0].Parts)
	for _, n := range q.Notices {
		assert.NotEqual(t, "below_cost", n.Code)
	}
	// Without discount or rounding nothing is said of the margin.
	assert.Nil(t, charged(t, `"margin_percent":20`).Totals.Margin)
}

// 125.00 less 25 % is 93.75: 6.25 less than the cost.
func TestItem37ADiscountBelowCostIsWarnedOf(t *testing.T) {
	t.Parallel()
	q := charged(t, `"margin_percent":20,"discount_percent":25`)
	i := len(q.Notices) - 1
	require.Equal(t, "below_cost", q.Notices[i].Code)
	assert.Equal(t, "/commercial/discount_percent", q.Notices[i].Where)
	assert.Contains(t, q.Notices[i].Message, "6.25 less")
	assert.Equal(t, "-6.67", q.Totals.Margin.String()) // -6.25 / 93.75 = -6.667 %
}

// By hand, cost 100.00 and a markup of 23.45 %: 123.45 before tax, of which materials bear 60 %: 74.07.
func TestItem37ThePriceIsRoundedToAMultipleAndThePartsStillAddUp(t *testing.T) {
	t.Parallel()
	for _, test := range []struct {
		name, rounding         string
		tax                    string
		rounded, before, taxed string
		odd, price             string
	}{
		// No tax: 123.45 to 125.00.
		{"nearest, up", `"round_price_to":"5.00"`, "0", "1.55", "125.00", "0.00", "0.00", "125.00"},
		{"nearest, down", `"round_price_to":"10.00"`, "0", "-3.45", "120.00", "0.00", "0.00", "120.00"},
		{"a half goes up", `"round_price_to":"82.30"`, "0", "41.15", "164.60", "0.00", "0.00", "164.60"},
		{"up", `"round_price_to":"10.00","rounding":"up"`, "0", "6.55", "130.00", "0.00", "0.00", "130.00"},
		{"up from a multiple stays", `"round_price_to":"0.05","rounding":"up"`, "0", "0.00", "123.45", "0.00", "0.00", "123.45"},
		{"not to nothing", `"round_price_to":"1000.00"`, "0", "876.55", "1000.00", "0.00", "0.00", "1000.00"},
		// Tax of 10 % on 60 %: with tax 123.45 + 7.41 = 130.86. To 130.00: 122.64 has 73.58 (73.584) of materials, tax 7.36: 130.00.
		{"with tax", `"round_price_to":"5.00"`, "10", "-0.81", "122.64", "7.36", "0.00", "130.00"},
		// To 131.00: 123.58: 74.15 (74.148) of materials: 7.42 (7.415): 131.00.
		{"with tax, up", `"round_price_to":"1.00","rounding":"up"`, "10", "0.13", "123.58", "7.42", "0.00", "131.00"},
	} {
		q := charged(t, `"markup_percent":23.45,`+test.rounding, onMaterials(test.tax))
		f, p := q.List.Currency.Format, q.Totals
		assert.Equal(t, []string{test.rounded, test.before, test.taxed, test.odd, test.price}, []string{f(p.Rounding), f(p.BeforeTax), f(p.Tax), f(p.Odd), f(p.Price)}, test.name)
	}
}

// A tax of 100 % on everything doubles every price: no price before tax makes an odd one. 123.45 x 2 = 246.90; to 246.95:
// 123.47 + 123.47 = 246.94 and one cent after tax.
func TestItem37WhatNoPriceBeforeTaxMakesUpIsAddedAfterTax(t *testing.T) {
	t.Parallel()
	q := charged(t, `"markup_percent":23.45,"round_price_to":"0.05","rounding":"up"`, pricing.TaxDocument{Name: "All", Percent: dec("100"), On: []string{"materials", "labour"}})
	assert.Equal(t, "246.90", q.List.Currency.Format(q.Totals.Price), "a multiple already")
	q = charged(t, `"markup_percent":23.45,"round_price_to":"4.49"`, pricing.TaxDocument{Name: "All", Percent: dec("100"), On: []string{"materials", "labour"}})
	f, p := q.List.Currency.Format, q.Totals
	// 4.49 x 55 = 246.95.
	assert.Equal(t, []string{"0.02", "123.47", "123.47", "0.01", "246.95"}, []string{f(p.Rounding), f(p.BeforeTax), f(p.Tax), f(p.Odd), f(p.Price)})
	assert.Equal(t, "123.47 + tax 123.47 + 0.01 that no price before tax makes up = 246.95", steps(q)["price"])
}

// Taxes of two jurisdictions by hand: 125.00 before tax, materials 75.00 and labour 50.00. State 6 % on materials: 4.50. County
// 1.25 % on both: 1.5625: 1.56, of which materials bear 0.94 (0.936) and labour 0.62 (0.624).
func TestItem37TaxesOfTwoJurisdictions(t *testing.T) {
	t.Parallel()
	q := charged(t, `"markup_percent":25`, onMaterials("6"), pricing.TaxDocument{Name: "Local tax", Jurisdiction: "County", Percent: dec("1.25"), On: []string{"labour", "materials"}})
	require.Len(t, q.Totals.Taxes, 2)
	assert.Equal(t, "State", q.Totals.Taxes[0].Jurisdiction)
	county := q.Totals.Taxes[1]
	assert.Equal(t, money.Amount(12500), county.Base)
	assert.Equal(t, money.Amount(156), county.Amount)
	assert.Equal(t, []pricing.TaxPart{{Category: pricing.LabourCategory, Base: 5000, Amount: 62}, {Category: pricing.MaterialsCategory, Base: 7500, Amount: 94}}, county.Parts)
	assert.Equal(t, money.Amount(606), q.Totals.Tax)
}

// Streamlined Sales and Use Tax Agreement, sec. 324 (as enacted in R.I. Gen. Laws 44-18.1-25): tax is carried to the third decimal and
// rounded up when that is above four. 75.00 at 6.666 %, 6.66 % and 6.7 %: 4.9995, 4.995 and 5.025.
func TestItem37TaxIsRoundedByTheSalesTaxRule(t *testing.T) {
	t.Parallel()
	for percent, want := range map[string]string{"6.666": "5.00", "6.66": "5.00", "6.7": "5.03", "6.6588": "4.99"} { // 4.9941
		q := charged(t, `"markup_percent":25`, onMaterials(percent))
		assert.Equal(t, want, q.List.Currency.Format(q.Totals.Tax), percent)
	}
}

// By hand: 100.01 (a markup of 0.01 %). A third each: 33.336667, 33.336667 and 33.336667; the two cents left over go to the
// first two.
func TestItem37DepositAndStagesAddUpToThePrice(t *testing.T) {
	t.Parallel()
	q := charged(t, `"markup_percent":0.01,"deposit_percent":33.333333,"stages":[{"name":"Edging laid","percent":33.333333},{"name":"On completion","percent":33.333334}]`)
	var got []string
	for _, p := range q.Totals.Payments {
		got = append(got, p.Name+" "+q.List.Currency.Format(p.Amount))
	}
	// The third has the largest remainder: 33.33666713.
	assert.Equal(t, []string{"Deposit 33.34", "Edging laid 33.33", "On completion 33.34"}, got)
	assert.Equal(t, "33.34 (33.333333 %) + 33.33 (33.333333 %) + 33.34 (33.333334 %), shared by largest remainder = 100.01", steps(q)["payments"])
	deposit := charged(t, `"markup_percent":25,"deposit_percent":30`).Totals.Payments
	assert.Equal(t, []pricing.Payment{{Name: "Deposit", Percent: dec("30"), Amount: 3750}, {Name: "Balance", Percent: dec("70"), Amount: 8750}}, deposit)
	assert.Equal(t, []pricing.Payment{{Name: "Deposit", Percent: dec("100"), Amount: 12500}}, charged(t, `"markup_percent":25,"deposit_percent":100`).Totals.Payments)
	assert.Empty(t, charged(t, `"markup_percent":25`).Totals.Payments)
	only := charged(t, `"markup_percent":25,"stages":[{"name":"At once","percent":100}]`).Totals.Payments
	assert.Equal(t, []pricing.Payment{{Name: "At once", Percent: dec("100"), Amount: 12500}}, only)
}

// 30 days from 30 March 2027: 31 March is the first, 29 April the thirtieth. 2028 is a leap year.
func TestItem37AQuoteHoldsForSoManyDays(t *testing.T) {
	t.Parallel()
	for commercial, want := range map[string]pricing.Validity{
		`"valid_days":30,"quoted_on":"2027-03-30"`:  {Days: 30, QuotedOn: "2027-03-30", Until: "2027-04-29"},
		`"valid_days":1,"quoted_on":"2028-02-28"`:   {Days: 1, QuotedOn: "2028-02-28", Until: "2028-02-29"},
		`"valid_days":365,"quoted_on":"2027-01-01"`: {Days: 365, QuotedOn: "2027-01-01", Until: "2028-01-01"},
		`"valid_days":30`:                           {Days: 30},
		`"quoted_on":"2027-03-30"`:                  {QuotedOn: "2027-03-30"},
		`"contingency_percent":0`:                   {},
	} {
		assert.Equal(t, want, charged(t, commercial).Totals.Validity, commercial)
	}
}

func TestItem37TheRequestOverridesPaymentsMemberByMember(t *testing.T) {
	t.Parallel()
	list := sampleWith(t, func(d *pricing.Document) {
		d.Commercial = pricing.CommercialDocument{DiscountPercent: decPointer("2"), RoundPriceTo: decPointer("5.00"), Rounding: "up", DepositPercent: decPointer("30"),
			Stages: []pricing.StageDocument{{Name: "On completion", Percent: dec("70")}}, ValidDays: decPointer("30")}
	})
	own := quoteOf(t, stoneBed("1"), list).Totals
	assert.Zero(t, own.Price%500)
	assert.Len(t, own.Payments, 2)
	assert.Equal(t, pricing.Validity{Days: 30}, own.Validity)
	other := quoteOf(t, stoneBed("1", `"commercial":{"discount_percent":0,"round_price_to":0.01,"stages":[{"name":"Half way","percent":50},{"name":"On completion","percent":20}],"valid_days":14}`), list).Totals
	assert.Zero(t, other.Discount)
	assert.Zero(t, other.Rounding)
	assert.Len(t, other.Payments, 3)
	assert.Equal(t, pricing.Validity{Days: 14}, other.Validity)
	nearest := quoteOf(t, stoneBed("1", `"commercial":{"rounding":"nearest","stages":[]}`), list).Totals
	assert.Zero(t, nearest.Price%500)
	assert.LessOrEqual(t, nearest.Price, own.Price)
	assert.Equal(t, "Balance", nearest.Payments[1].Name)
}

func TestItem37ImpossibleChargesAreRefused(t *testing.T) {
	t.Parallel()
	for commercial, want := range map[string][]string{
		`"discount_percent":100`:        {"/commercial/discount_percent out_of_range"},
		`"discount_percent":-1`:         {"/commercial/discount_percent out_of_range"},
		`"discount_percent":99.999999`:  {},
		`"round_price_to":"0.00"`:       {"/commercial/round_price_to not_positive"},
		`"round_price_to":"-5"`:         {"/commercial/round_price_to not_positive"},
		`"round_price_to":"0.005"`:      {"/commercial/round_price_to too_many_digits"},
		`"round_price_to":"0.050"`:      {},
		`"round_price_to":"1000000.01"`: {"/commercial/round_price_to out_of_range"},
		`"round_price_to":"five"`:       {"/commercial/round_price_to bad_number"},
		`"round_price_to":true`:         {"/commercial/round_price_to wrong_type"},
		`"rounding":"up"`:               {"/commercial/rounding conflict"},
		`"rounding":"down"`:             {"/commercial/rounding unknown_value"},
		`"deposit_percent":101`:         {"/commercial/deposit_percent out_of_range"},
		`"deposit_percent":30,"stages":[{"name":"End","percent":60}]`:       {"/commercial/stages out_of_range"},
		`"stages":[{"name":"End","percent":99.999999}]`:                     {"/commercial/stages out_of_range"},
		`"deposit_percent":30,"stages":[{"name":"End","percent":70}]`:       {},
		`"stages":[{"name":"","percent":70},{"percent":30},{"name":"x"},5]`: {"/commercial/stages/0/name out_of_range", "/commercial/stages/1/name missing", "/commercial/stages/2/percent missing", "/commercial/stages/3 wrong_type"},
		`"stages":[{"name":"End","percent":70,"due":"x"}]`:                  {"/commercial/stages/0/due unknown_member"},
		`"stages":"x"`:             {"/commercial/stages wrong_type"},
		`"deposit_percent":50`:     {"/commercial/deposit_percent out_of_range"}, // beside the 70 % of the list
		`"stages":[]`:              {},
		`"valid_days":0`:           {"/commercial/valid_days out_of_range"},
		`"valid_days":366`:         {"/commercial/valid_days out_of_range"},
		`"quoted_on":"2027-02-29"`: {"/commercial/quoted_on bad_date"},
		`"quoted_on":"30.3.2027"`:  {"/commercial/quoted_on bad_date"},
		`"quoted_on":20270330`:     {"/commercial/quoted_on wrong_type"},
		`"markup_percent":10,"margin_percent":100,"discount_percent":100,"rounding":"up","stages":[{"name":"End","percent":1}],"quoted_on":"x"`: {
			"/commercial/margin_percent conflict", "/commercial/margin_percent out_of_range", "/commercial/discount_percent out_of_range", "/commercial/rounding conflict", "/commercial/stages out_of_range", "/commercial/quoted_on bad_date"},
	} {
		got := faulted(t, stoneBed("1", `"commercial":{`+commercial+`}`))
		if len(want) == 0 {
			assert.Empty(t, got, commercial)
			continue
		}
		assert.Equal(t, want, got, commercial)
	}
}

// Each fault of one member shows a right value of it: put in its place, the job is priced.
func TestItem37TheExampleOfAFaultIsRight(t *testing.T) {
	t.Parallel()
	for _, wrong := range []string{`"discount_percent":100`, `"round_price_to":"0.005"`, `"round_price_to":"0"`, `"round_price_to":"1000001"`, `"rounding":"down","round_price_to":"5.00"`, `"deposit_percent":50`,
		`"stages":[{"name":"End","percent":1}]`, `"valid_days":0`, `"quoted_on":"x"`, `"margin_percent":100`} {
		root, err := document.Parse([]byte(stoneBed("1", `"commercial":{`+wrong+`}`)))
		require.NoError(t, err)
		_, faults, err := pricing.Estimate(t.Context(), pricing.Fixed(pricing.Sample()), root, []byte("{}"))
		require.NoError(t, err)
		require.Len(t, faults, 1, wrong)
		member := strings.TrimPrefix(faults[0].Pointer, "/commercial/")
		require.NotEmpty(t, faults[0].Example, wrong)
		right := `"` + member + `":` + faults[0].Example
		if member == "rounding" {
			right += `,"round_price_to":"5.00"`
		}
		assert.Empty(t, faulted(t, stoneBed("1", `"commercial":{`+right+`}`)), right)
	}
	// A multiple finer than a yen.
	list := listFile(t, "yen.json")
	root, err := document.Parse([]byte(`{"price_list":"yen","ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"commercial":{"round_price_to":"0.5","rounding":"up"}}`))
	require.NoError(t, err)
	_, faults, err := pricing.Estimate(t.Context(), pricing.Fixed(list), root, []byte("{}"))
	require.NoError(t, err)
	i := slices.IndexFunc(faults, func(f document.Fault) bool { return f.Pointer == "/commercial/round_price_to" })
	require.GreaterOrEqual(t, i, 0)
	assert.Equal(t, []string{"too_many_digits", `"5"`}, []string{faults[i].Code, faults[i].Example})
}

// Random charges in currencies of 2, 0 and 3 minor digits: lines, categories, price before tax, taxes and payments add up to the
// last unit; every tax is its percentage of what is charged; a rounded price is a multiple, and the units that stay
// untaxed are fewer than one for each tax and one more.
func TestItem37EveryPriceAddsUp(t *testing.T) {
	t.Parallel()
	base := map[string]*pricing.List{"USD": pricing.Sample(), "JPY": listFile(t, "yen.json"), "KWD": listFile(t, "dinar.json")}
	rapid.Check(t, func(t *rapid.T) {
		code := rapid.SampledFrom([]string{"USD", "JPY", "KWD"}).Draw(t, "currency")
		percent := func(name string, least, most int) decimal.Decimal {
			return decimal.MustNew(int64(rapid.IntRange(least, most).Draw(t, name)), 2)
		}
		d := base[code].Document()
		d.Commercial = pricing.CommercialDocument{}
		d.Taxes = nil
		for i := range rapid.IntRange(0, 4).Draw(t, "taxes") {
			on := rapid.SampledFrom([][]string{{"materials"}, {"labour", "delivery"}, {"materials", "delivery", "equipment", "labour", "disposal"}}).Draw(t, "on")
			d.Taxes = append(d.Taxes, pricing.TaxDocument{Name: fmt.Sprintf("Tax %d", i), Percent: percent("tax", 0, 3000), On: on})
		}
		list, err := d.Compile(1)
		require.NoError(t, err)
		edger := "edger-8x4"
		if code != "USD" {
			edger = "edger-200x100"
		}
		to := rapid.IntRange(1, 100000).Draw(t, "to")
		way := rapid.SampledFrom([]string{"nearest", "up"}).Draw(t, "way")
		deposit := rapid.IntRange(0, 100).Draw(t, "deposit")
		first := rapid.IntRange(0, 100-deposit).Draw(t, "first")
		text := fmt.Sprintf(`{"price_list":%q,"ground":{"soil":"loam","cover":"bare","haul":"5 m"},"commercial":{"markup_percent":%s,"discount_percent":%s,"round_price_to":%q,"rounding":%q,"deposit_percent":%d,
			"stages":[{"name":"Half way","percent":%d},{"name":"End","percent":%d}]},
			"beds":[{"id":"b","outline":{"kind":"rectangle","length":"%d mm","width":"700 mm"},"edging":{"unit":%q,"course":"sailor"}}]}`, list.Name,
			percent("markup", 0, 9000), percent("discount", 0, 9999), list.Currency.Format(money.Amount(to)), way, deposit, first, 100-deposit-first, rapid.IntRange(500, 9000).Draw(t, "length"), edger)
		q := quoteOf(t, text, list)
		p := q.Totals
		require.Equal(t, p.BeforeTax, p.Direct+p.Contingency+p.Overhead+p.Profit-p.Discount+p.Rounding)
		require.Equal(t, p.Price, p.BeforeTax+p.Tax+p.Odd)
		require.Zero(t, p.Price%money.Amount(to))
		require.GreaterOrEqual(t, p.Odd, money.Amount(0))
		require.LessOrEqual(t, p.Odd, money.Amount(len(p.Taxes)))
		unrounded := p.BeforeTax - p.Rounding
		var sum, lineTax, payments money.Amount
		for _, tax := range p.Taxes {
			sum += tax.Amount
			var bases, amounts money.Amount
			for _, part := range tax.Parts {
				bases, amounts = bases+part.Base, amounts+part.Amount
			}
			require.Equal(t, tax.Base, bases)
			require.Equal(t, tax.Amount, amounts)
			exact := new(big.Rat).Mul(money.Exact(tax.Percent), big.NewRat(int64(tax.Base), 100))
			off := exact.Sub(exact, big.NewRat(int64(tax.Amount), 1))
			require.LessOrEqual(t, off.Abs(off).Cmp(big.NewRat(1, 2)), 0, "a tax is its percentage of its base")
			if len(tax.Parts) == 5 {
				require.Equal(t, p.BeforeTax, tax.Base, "a tax on everything falls on the whole price")
			}
		}
		require.Equal(t, p.Tax, sum)
		for i := range q.Lines {
			lineTax += q.Lines[i].Tax
		}
		require.Equal(t, p.Tax, lineTax)
		for _, part := range p.Payments {
			payments += part.Amount
		}
		require.Equal(t, p.Price, payments)
		// The price moves by no more than the multiple, and a little for the tax of what it moves by.
		require.LessOrEqual(t, max(p.Rounding, -p.Rounding), money.Amount(to)+money.Amount(len(p.Taxes)), "%d", unrounded)
	})
}

// The sample job testdata/jobs/quoted-strip.json by hand, from the amounts of its lines.
func TestQuotedStripByHand(t *testing.T) {
	t.Parallel()
	q := quoteOf(t, jobFile(t, "quoted-strip.json"))
	f, p := q.List.Currency.Format, q.Totals
	// Direct 49.00 + 48.00 + 136.42 + 10.50 = 243.92. Contingency 5 %: 12.196: 12.20. Overhead 10 % of 256.12: 25.612: 25.61.
	// Cost 281.73; / 0.75 = 375.64: profit 93.91. Discount 4 % of 375.64: 15.0256: 15.03. Leaves 360.61.
	assert.Equal(t, []string{"243.92", "12.20", "25.61", "93.91", "15.03"}, []string{f(p.Direct), f(p.Contingency), f(p.Overhead), f(p.Profit), f(p.Discount)})
	// Materials bear 49.00/243.92 of it, 72.44; 6 %: 4.35; 364.96: to the nearest 5.00 is 365.00.
	// 360.65 has 72.449 (72.45 by largest remainder) of materials, tax 4.347: 4.35, together 365.00.
	assert.Equal(t, []string{"0.04", "360.65", "4.35", "0.00", "365.00"}, []string{f(p.Rounding), f(p.BeforeTax), f(p.Tax), f(p.Odd), f(p.Price)})
	assert.Equal(t, []string{"72.45"}, []string{f(p.Taxes[0].Base)})
	// (360.65 - 281.73) / 360.65 = 78.92 / 360.65 = 21.883 %.
	assert.Equal(t, "21.88", p.Margin.String())
	// 40 %, 35 % and 25 % of 365.00.
	assert.Equal(t, []string{"146.00", "127.75", "91.25"}, []string{f(p.Payments[0].Amount), f(p.Payments[1].Amount), f(p.Payments[2].Amount)})
	// 13 days after 31 March, the first of fourteen: 13 April.
	assert.Equal(t, pricing.Validity{Days: 14, QuotedOn: "2027-03-30", Until: "2027-04-13"}, p.Validity)
}

// 1.5 yd3 at 38.335 are 57.5025: 57.50; 1 h at 40.00 needs no rounding.
func TestItem37TheWorkingNamesARoundingWhereOneIsNeeded(t *testing.T) {
	t.Parallel()
	q := priced(t, ``, func(d *pricing.Document) {
		d.Labour.HourlyCost = dec("40.00")
		for i := range d.Labour.Rates {
			d.Labour.Rates[i].Hours = dec("1")
		}
		d.Offers[0].Price = dec("38.335")
		d.Offers[0].Increment = pricing.Content{Quantity: "0.5 yd3"}
		d.Offers[0].Minimum = pricing.Content{Quantity: "1.5 yd3"}
	})
	rounded, plain := false, false
	for i := range q.Lines {
		for _, w := range q.Lines[i].Workings {
			rounded = rounded || strings.HasSuffix(w.Expression, "at 38.335, rounded half away from zero to 0.01") && w.Result == "57.50"
			plain = plain || w.Label == "cost" && strings.HasSuffix(w.Expression, "h x 40.00")
		}
	}
	assert.True(t, rounded)
	assert.True(t, plain)
}
