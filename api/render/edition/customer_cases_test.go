package edition_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/govalues/decimal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api/render/edition"
	"bedline/api/render/internal/sample"
	"bedline/api/render/locale"
	"bedline/pricing"
)

// changedList is the sample list with a change.
func changedList(t *testing.T, change func(d *pricing.Document)) *pricing.List {
	t.Helper()
	d := pricing.Sample().Document()
	change(d)
	list, err := d.Compile(1)
	require.NoError(t, err)
	return list
}

func without(d *pricing.Document, operations ...string) {
	var rates []pricing.RateDocument
	for _, r := range d.Labour.Rates {
		keep := true
		for _, op := range operations {
			keep = keep && r.Operation != op
		}
		if keep {
			rates = append(rates, r)
		}
	}
	d.Labour.Rates = rates
}

func TestWhatThePriceListLeavesOutIsToldToTheCustomer(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name   string
		change func(d *pricing.Document)
		in     []string
		out    []string
	}{
		{
			"a list without a price for dumping leaves the fees out and asks",
			func(d *pricing.Document) { d.Disposal = nil },
			[]string{"- What is dug out is moved to where it can be loaded or heaped.", "include\n\n- Fees for disposing of what is dug out\n", "[ ] Where what is dug out goes, and who pays for disposing of it."},
			[]string{"taken away and disposed of"},
		},
		{
			"work without a rate is not promised but asked about",
			func(d *pricing.Document) {
				without(d, "compact_base", "trim_formation", "wet_and_cure")
			},
			[]string{"[ ] Whether this is part of the work, as it has no price of its own: Leveling and firming the bottom of the digging; Compacting the base; Wetting the joints so that they set.\n"},
			[]string{"- Leveling and firming", "- Compacting the base"},
		},
		{
			"a tax on the whole price says its percentage",
			func(d *pricing.Document) {
				d.Taxes[0].On = []string{"materials", "delivery", "equipment", "labour", "disposal"}
			},
			[]string{"| Sales tax (Home state), 6% | $"},
			nil,
		},
		{
			"a tax on a part of the price does not, as it would tell how large the part is",
			func(*pricing.Document) {},
			[]string{"| Sales tax (Home state) | $"},
			[]string{"6%"},
		},
		{
			"a list without taxes speaks of none",
			func(d *pricing.Document) { d.Taxes = []pricing.TaxDocument{} },
			[]string{"| Price before tax | $", "= Price | $"},
			[]string{"taxes included", "Sales tax"},
		},
		{
			"a list of the crew's own has no note of invented prices, whatever its own note says",
			func(d *pricing.Document) { d.Note = "Our cost is 12 % below the yard's list" },
			nil,
			[]string{"invented", "below the yard"},
		},
		{
			"a list without payments shows none",
			func(d *pricing.Document) { d.Commercial.DepositPercent, d.Commercial.Stages = nil, nil },
			nil,
			[]string{"table: Payments", "Deposit"},
		},
		{
			"a list that does not say how long a quote holds leaves it open",
			func(d *pricing.Document) { d.Commercial.ValidDays = nil },
			nil,
			[]string{"Valid:"},
		},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			text := dump(edition.Customer(quotedWith(t, "garage-bed", changedList(t, tt.change)), locale.Default()))
			for _, s := range tt.in {
				assert.Contains(t, text, s)
			}
			for _, s := range tt.out {
				assert.NotContains(t, text, s)
			}
		})
	}
}

func TestALastCentIsShownSoThatThePriceAddsUp(t *testing.T) {
	t.Parallel()
	q := quoted(t, "quoted-strip")
	q.Totals.Odd++
	q.Totals.Price++
	assert.Contains(t, dump(edition.Customer(q, locale.Default())), "| $4.37\n| Rounding | $0.01\n= Price | $390.01\n")
}

func TestAJobWithoutANameIsJustAQuote(t *testing.T) {
	t.Parallel()
	q := quoted(t, "quoted-strip")
	q.Job.Title, q.Job.Reference = "", ""
	text := dump(edition.Customer(q, locale.Default()))
	assert.Contains(t, text, "[en-US] Quote\nsubject: Price and description of the work\n\n# Quote\n\nQuote number: ")
}

func TestATaxThatFallsOnEverythingMayBeRounded(t *testing.T) {
	t.Parallel()
	q := quotedWith(t, "garage-bed", changedList(t, func(d *pricing.Document) {
		d.Taxes[0].On = []string{"materials", "delivery", "equipment", "labour", "disposal"}
		d.Taxes[0].Percent = decimal.MustParse("8.375")
	}))
	assert.Contains(t, dump(edition.Customer(q, locale.Default())), "Sales tax (Home state), 8.375% | $")
}

// catalogue is one topic of a locale as its file has it.
func catalogue(t *testing.T, tag, topic string) map[string]string {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join("../locale/catalogues", tag, topic+".json"))
	require.NoError(t, err)
	out := map[string]string{}
	require.NoError(t, json.Unmarshal(raw, &out))
	return out
}

func TestSpanishHasEveryWordOfTheEditions(t *testing.T) {
	t.Parallel()
	for _, topic := range []string{"customer", "scope", "pages"} {
		english, spanish, british := catalogue(t, "en-US", topic), catalogue(t, "es-US", topic), map[string]string{}
		if topic != "pages" {
			british = catalogue(t, "en-GB", topic)
		}
		for key, message := range english {
			require.Contains(t, spanish, key)
			assert.ElementsMatch(t, holes.FindAllString(message, -1), holes.FindAllString(spanish[key], -1), "the same values: %s", key)
		}
		assert.Len(t, spanish, len(english))
		for key, message := range british {
			require.Contains(t, english, key)
			assert.NotEqual(t, english[key], message, "only what differs: %s", key)
			assert.ElementsMatch(t, holes.FindAllString(english[key], -1), holes.FindAllString(message, -1))
		}
	}
}

// measured is what the check below reads of the geometry of an answer.
type measured struct {
	Units    string
	Geometry struct {
		Beds []struct {
			ID   string
			Area struct{ Value float64 }
		}
		Fields []struct {
			ID     string
			Area   struct{ Value float64 } // within the border
			Border struct {
				Area struct{ Value float64 }
				Edge struct{ Value float64 } `json:"edge_area"` // the joint between the two
			}
		}
		Slabs []struct {
			ID    string
			Units int
		}
	}
}

// TestTheSizesOfCustomersAreThoseOfTheAnswer checks against testdata/answers, rounded here by the printer of the standard
// library.
func TestTheSizesOfCustomersAreThoseOfTheAnswer(t *testing.T) {
	t.Parallel()
	sample.Each(t, func(t *testing.T, name string, q *pricing.Quote) {
		raw, err := os.ReadFile(filepath.Join("../../../testdata/answers", name+".json"))
		require.NoError(t, err)
		var a measured
		require.NoError(t, json.Unmarshal(raw, &a))
		text := dump(edition.Customer(q, locale.Default()))
		size := func(v float64) string {
			digits, unit := 1, " ft²"
			if a.Units == "metric" {
				digits, unit = 2, " m²"
			}
			ten := math.Pow10(digits)
			return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.*f", digits, math.Round(v*ten)/ten), "0"), ".") + unit
		}
		for _, b := range a.Geometry.Beds {
			assert.Contains(t, text, "Bed “"+b.ID+"”\n\nSize: "+size(b.Area.Value))
		}
		for _, f := range a.Geometry.Fields {
			assert.Regexp(t, "Paved area “"+f.ID+"”(, in bed “.*”)?\n\nSize: "+regexp.QuoteMeta(size(f.Area.Value+f.Border.Area.Value+f.Border.Edge.Value)), text)
		}
		for _, s := range a.Geometry.Slabs {
			count := strconv.Itoa(s.Units) + " pieces of"
			if s.Units == 1 {
				count = "one "
			}
			assert.Regexp(t, "Slabs “"+s.ID+"”(, in bed “.*”)?\n\nSlabs: "+count, text)
		}
	})
}
