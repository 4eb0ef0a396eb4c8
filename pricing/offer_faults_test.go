package pricing_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate/document"
	"bedline/pricing"
)

// What is wrong with an offer is told at its place, with its key and a right example, whatever way the list comes in.
func TestEveryFaultOfAnOfferNamesIt(t *testing.T) {
	t.Parallel()
	whole, err := smallDocument().JSON()
	require.NoError(t, err)
	for name, c := range map[string]struct{ from, to, pointer, code, detail string }{
		"a pack of nothing":            {`"content":"50 lb"`, `"content":"0 lb"`, "/offers/1/content", document.CodeNotPositive, "(offer base-bag)"},
		"a pack of less than nothing":  {`"content":"50 lb"`, `"content":"-50 lb"`, "/offers/1/content", document.CodeNegative, "(offer base-bag)"},
		"no pieces in a pack":          {`"content":240`, `"content":0`, "/offers/2/content", document.CodeOutOfRange, "(offer edger-pallet)"},
		"pieces below zero":            {`"content":240`, `"content":-240`, "/offers/2/content", document.CodeOutOfRange, "(offer edger-pallet)"},
		"pieces bought by mass":        {`"content":240`, `"content":"50 lb"`, "/offers/2/content", pricing.CodeWrongKind, "(offer edger-pallet)"},
		"loose goods bought by area":   {`"content":"50 lb"`, `"content":"50 ft2"`, "/offers/1/content", pricing.CodeWrongKind, "(offer base-bag)"},
		"a price below zero":           {`"price":"5.20"`, `"price":"-5.20"`, "/offers/1/price", document.CodeNegative, "(offer base-bag)"},
		"a price in another currency":  {`"price":"5.20"`, `"price":"5.20 EUR"`, "/offers/1/price", document.CodeBadNumber, "names a currency, EUR"},
		"a price with a currency sign": {`"price":"5.20"`, `"price":"$5.20"`, "/offers/1/price", document.CodeBadNumber, "names a currency, $"},
		"an offer with a currency":     {`"price":"5.20"`, `"price":"5.20","currency":"EUR"`, "/offers/1/currency", document.CodeUnknownMember, "in the currency of the list, USD"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			text := string(whole)
			if !strings.Contains(text, c.from) {
				c.from, c.to = strings.ReplaceAll(c.from, `":`, `": `), strings.ReplaceAll(c.to, `":`, `": `)
			}
			require.Equal(t, 1, strings.Count(text, c.from), "%s in %s", c.from, text)
			_, err := pricing.ReadDocument([]byte(strings.Replace(text, c.from, c.to, 1)))
			faults := faultsOf(t, err)
			if c.code != document.CodeBadNumber { // a price that can't be read leaves its breaks without one to be below
				require.Len(t, faults, 1, "%v", faults)
			}
			assert.Equal(t, c.pointer, faults[0].Pointer)
			assert.Equal(t, c.code, faults[0].Code)
			assert.Contains(t, faults[0].Detail, c.detail)
			assert.Contains(t, faults[0].Detail, "(offer ")
			if c.code != document.CodeUnknownMember {
				assert.NotEmpty(t, faults[0].Example)
			}
		})
	}
}

// Loose goods offered by mass need the density of the material; the fault stands at the material.
func TestGoodsByMassWithoutADensityAreRefused(t *testing.T) {
	t.Parallel()
	d := smallDocument()
	for i := range d.Materials {
		if d.Materials[i].Key == "base-crushed" {
			d.Materials[i].LooseDensity = ""
		}
	}
	_, err := d.Compile(1)
	faults := faultsOf(t, err)
	assert.Contains(t, placed(faults), "/materials/1/loose_density missing")
}

// The cheapest of the offers of crushed stone is 32.00 for 1 yd3.
func TestResaleStaysBelowWhatTheSameCosts(t *testing.T) {
	t.Parallel()
	for price, refused := range map[string]bool{"31.99": false, "32.00": true, "40.00": true} {
		d := smallDocument()
		resale := dec(price)
		for i := range d.Materials {
			d.Materials[i].Surplus = nil
			if d.Materials[i].Key == "base-crushed" {
				d.Materials[i].Surplus = &pricing.SurplusDocument{Per: pricing.Content{Quantity: "1 yd3"}, Resale: &resale}
			}
		}
		_, err := d.Compile(1)
		if !refused {
			require.NoError(t, err, price)
			continue
		}
		faults := faultsOf(t, err)
		require.Len(t, faults, 1, "%v", faults)
		assert.Contains(t, faults[0].Pointer, "/surplus/resale")
		assert.Equal(t, document.CodeOutOfRange, faults[0].Code)
		assert.Contains(t, faults[0].Detail, "offer base-bulk sells 1 yd3 for 32")
		assert.Equal(t, `"16.00"`, faults[0].Example)
	}
}

func TestAJobOfAPoolOnAnotherPriceListIsNamed(t *testing.T) {
	t.Parallel()
	list := listFile(t, "pencil.json")
	_, faults := pooled(t, `{"jobs":[{"id":"north","requirements":[{"material":"gravel","quantity":"1 yd3"}]},{"id":"south","job":{"price_list":"elsewhere","beds":[]}}]}`, list)
	for _, f := range faults {
		if f.Pointer == "/jobs/1/job/price_list" {
			assert.Equal(t, pricing.CodeConflict, f.Code)
			assert.Contains(t, f.Detail, "of job south")
			assert.Equal(t, `"`+list.Name+`"`, f.Example)
			return
		}
	}
	assert.Fail(t, "no fault of the price list", "%v", faults)
}
