package pricing_test

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
	"bedline/pricing"
	"bedline/pricing/money"
)

// sampleWith is the sample list with changes.
func sampleWith(t require.TestingT, change func(*pricing.Document)) *pricing.List {
	d := pricing.Sample().Document()
	change(d)
	l, err := d.Compile(1)
	require.NoError(t, err)
	return l
}

// stoneBed is a bed of 27 x 12 ft under stone: a cubic yard to the inch.
func stoneBed(inches string, more ...string) string {
	return `{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"beds":[{"id":"b","outline":{"kind":"rectangle","length":"27 ft","width":"12 ft"},"stone":{"material":"pebble-20","depth":"` +
		inches + ` in"}}],"allowances":{"decorative_stone":0}` + strings.Join(append([]string{""}, more...), ",") + `}`
}

func TestItem42IdIsADigestOfTheCanonicalRequestListAndEngine(t *testing.T) {
	t.Parallel()
	// The request in a form that nobody would call canonical.
	text := "{ \"title\":\"Caf\\u00e9\",\n \"reference\" : \"A/1\", \"commercial\": {\"margin_percent\": 25.0},\n" +
		" \"ground\":{\"soil\":\"loam\", \"haul\":\"0 ft\",\"cover\":\"bare\"}, \"slabs\":[ {\"rows\":1.0,\"columns\":2, \"id\":\"s\",\"unit\":\"slab-12\",\"rotate\":4.50E+1,\"at\":[\"0 ft\",\"0 ft\"]} ] }"
	// RFC 8785 by hand: members sorted, no space, numbers and texts in their shortest form.
	canonical := `{"commercial":{"margin_percent":25},"ground":{"cover":"bare","haul":"0 ft","soil":"loam"},"reference":"A/1",` +
		`"slabs":[{"at":["0 ft","0 ft"],"columns":2,"id":"s","rotate":45,"rows":1,"unit":"slab-12"}],"title":"Café"}`
	sum := sha256.Sum256([]byte(canonical + "\nstandard\n1\n" + estimate.Version + "\n"))
	assert.Equal(t, hex.EncodeToString(sum[:]), quoteOf(t, text).ID)
	assert.Equal(t, hex.EncodeToString(sum[:]), quoteOf(t, canonical).ID, "the canonical text is the same request")
}

func TestItem42IdDiffersByRequestListAndVersion(t *testing.T) {
	t.Parallel()
	text := stoneBed("2")
	first := quoteOf(t, text).ID
	second, err := pricing.Sample().Document().Compile(2)
	require.NoError(t, err)
	other := sampleWith(t, func(d *pricing.Document) { d.Name = "other" })
	seen := map[string]string{first: "the first"}
	for name, id := range map[string]string{
		"another version": quoteOf(t, text, pricing.Sample(), second).ID,
		"another list":    quoteOf(t, strings.Replace(text, `{"ground"`, `{"price_list":"other","ground"`, 1), pricing.Sample(), other).ID,
		"another request": quoteOf(t, stoneBed("3")).ID,
		// As sent, not as meant: 2 in and 50.8 mm are the same depth in two requests.
		"other words": quoteOf(t, stoneBed("2.0")).ID,
	} {
		assert.NotContains(t, seen, id, name)
		seen[id] = name
	}
}

func TestListOfTheRequestIsUsed(t *testing.T) {
	t.Parallel()
	second, err := pricing.Sample().Document().Compile(2)
	require.NoError(t, err)
	with := func(members string) string {
		return strings.Replace(stoneBed("2"), `{"ground"`, `{`+members+`"ground"`, 1)
	}
	assert.Equal(t, 2, quoteOf(t, with(""), pricing.Sample(), second).List.Version, "the latest unless said")
	assert.Equal(t, 1, quoteOf(t, with(`"price_list_version":1,`), pricing.Sample(), second).List.Version)
	assert.Equal(t, 2, quoteOf(t, with(`"price_list":"standard",`), pricing.Sample(), second).List.Version)
	assert.Equal(t, []string{"/price_list unknown_price_list"}, faulted(t, with(`"price_list":"winter",`), pricing.Sample()))
	assert.Equal(t, []string{"/price_list_version unknown_price_list_version"}, faulted(t, with(`"price_list_version":3,`), pricing.Sample(), second))
	assert.Equal(t, []string{"/price_list_version out_of_range"}, faulted(t, with(`"price_list_version":0,`)))
	assert.Equal(t, []string{"/price_list wrong_type"}, faulted(t, with(`"price_list":5,"price_list_version":1,`)))
	summer := sampleWith(t, func(d *pricing.Document) { d.Name = "summer" })
	autumn := sampleWith(t, func(d *pricing.Document) { d.Name = "autumn" })
	assert.Equal(t, "summer", quoteOf(t, stoneBed("2"), summer).List.Name, "the only list there is")
	assert.Equal(t, "summer", quoteOf(t, with(`"price_list_version":1,`), summer).List.Name)
	assert.Equal(t, []string{"/price_list_version unknown_price_list_version"}, faulted(t, with(`"price_list_version":2,`), summer))
	assert.Equal(t, []string{"/price_list unknown_price_list"}, faulted(t, with(`"price_list":"winter",`), summer), "a list that is named is not replaced")
	assert.Equal(t, []string{"/price_list unknown_price_list"}, faulted(t, stoneBed("2"), summer, autumn))
}

func TestFaultsOfAJobAreFoundBesideAnUnknownList(t *testing.T) {
	t.Parallel()
	text := strings.Replace(stoneBed("2", `"extra":1`), `{"ground"`, `{"price_list":"winter","ground"`, 1)
	text = strings.Replace(text, `"12 ft"`, `12`, 1)
	assert.Equal(t, []string{"/price_list unknown_price_list", "/beds/0/outline/width unit_missing", "/extra unknown_member"}, faulted(t, text))
}

type brokenLists struct{ pricing.Lists }

func (brokenLists) Latest(context.Context, string) (*pricing.List, error) {
	return nil, errors.New("the wire is cut")
}

func TestAListThatCannotBeReadIsNoFaultOfTheRequest(t *testing.T) {
	t.Parallel()
	text := []byte(stoneBed("2"))
	root, err := document.Parse(text)
	require.NoError(t, err)
	q, faults, err := pricing.Estimate(context.Background(), brokenLists{}, root, text)
	assert.Nil(t, q)
	assert.Empty(t, faults)
	assert.ErrorContains(t, err, "the wire is cut")
}

func TestItem31PacksAreRoundedUpOncePerMaterial(t *testing.T) {
	t.Parallel()
	// Two uses of one sand, a third of a bag each: one bag, not two. A bag holds 50 lb at 2400 lb/yd3 = 0.5625 ft3.
	list := sampleWith(t, func(d *pricing.Document) { d.Allowances = pricing.Allowances{} })
	// Pads of 24 x 12 in: 2 ft2 x 1 in = 0.16667 ft3 of bedding sand x 1.17; base of the same sand is another line.
	text := `{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"slabs":[{"id":"s","unit":"slab-24x12","rows":1,"columns":1,"at":["0 ft","0 ft"],
		"base":{"material":"sand-bedding","depth":"1 in"},"sand":{"material":"sand-bedding","depth":"1 in"}}]}`
	q := quoteOf(t, text, list)
	base, sand := lineOf(t, q, estimate.Base, "sand-bedding"), lineOf(t, q, estimate.BeddingSand, "sand-bedding")
	assert.True(t, base.Shared)
	assert.True(t, sand.Shared)
	assert.Equal(t, "1", base.Orders[0].Count.String())
	assert.Equal(t, base.Orders[0].Count, sand.Orders[0].Count)
	// 2 + 1 + 1 = 4 in: no extra. Both lines need the same: 4.90 is split into 2.45 and 2.45.
	assert.Equal(t, money.Amount(245), base.Amount)
	assert.Equal(t, money.Amount(245), sand.Amount)
	var purchases int
	for _, p := range q.Supply.Plan.Purchases {
		if p.Material == "sand-bedding" {
			purchases++
			assert.Equal(t, "1", p.Count.String())
		}
	}
	assert.Equal(t, 1, purchases)
	// The surplus of the bag is split alike: 0.5625 - 2 x 0.16667 x 1.17 = 0.1725 ft3.
	assert.InDelta(t, 0.1725/2, measure.Volume(base.Surplus).In(measure.CubicFoot), 1e-9)
}

func TestItem31PurchasesAreSplitByRequiredQuantityToTheCent(t *testing.T) {
	t.Parallel()
	list := sampleWith(t, func(d *pricing.Document) { d.Allowances = pricing.Allowances{} })
	// One bag of 4.90 for 2 in of base and 1 in of sand of 2 ft2 (2 + 2 + 1 = 5 in): 4.90 x 2/3 = 3.2667, 1.6333:
	// down 3.26 + 1.63, the cent left goes to the larger remainder: 3.27 + 1.63.
	text := `{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"slabs":[{"id":"s","unit":"slab-24x12","rows":1,"columns":1,"at":["0 ft","0 ft"],
		"base":{"material":"sand-joint","depth":"2 in"},"sand":{"material":"sand-joint","depth":"1 in"}}]}`
	q := quoteOf(t, text, list)
	assert.Equal(t, money.Amount(413), lineOf(t, q, estimate.Base, "sand-joint").Amount) // a bag of joint sand is 6.20
	assert.Equal(t, money.Amount(207), lineOf(t, q, estimate.BeddingSand, "sand-joint").Amount)
}

// Coverage of a cubic yard: 324 / depth ft2. Half a cubic yard is 27 bags of 0.5 ft3, and not a bag more.
func TestItem31RoundUpIsGuarded(t *testing.T) {
	t.Parallel()
	l := lineOf(t, quoteOf(t, stoneBed("0.5", `"supply":{"prefer":"bags"}`)), estimate.DecorativeStone, "pebble-20")
	assert.Equal(t, "27", l.Orders[0].Count.String())
	assert.InDelta(t, 0, l.Surplus, 1e-12)
	l = lineOf(t, quoteOf(t, stoneBed("0.5000001", `"supply":{"prefer":"bags"}`)), estimate.DecorativeStone, "pebble-20")
	assert.Equal(t, "28", l.Orders[0].Count.String())
}

// Raised bed of 4 x 8 ft, 12 in deep: 32 ft3 = 1.185 yd3; in bags of 1.5 ft3 32 / 1.5 = 21.33: 22 bags. The size is
// that drawn in Alabama Cooperative Extension ANR-1345, the rest is arithmetic.
func TestRaisedBedInBags(t *testing.T) {
	t.Parallel()
	list := sampleWith(t, func(d *pricing.Document) {
		d.Offers = append(d.Offers, pricing.OfferDocument{Key: "shop-pebble-15", Supplier: "shop", Material: "pebble-20", Form: "bag", Content: pricing.Content{Quantity: "1.5 ft3"}, Price: dec("0.10")})
	})
	text := `{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"beds":[{"id":"b","outline":{"kind":"rectangle","length":"8 ft","width":"4 ft"},"stone":{"material":"pebble-20","depth":"12 in"}}],
		"allowances":{"decorative_stone":0},"supply":{"prefer":"bags"}}`
	l := lineOf(t, quoteOf(t, text, list), estimate.DecorativeStone, "pebble-20")
	assert.InDelta(t, 32.0/27, yd3(l.Material.Required.Value), 1e-9)
	assert.Equal(t, "shop-pebble-15", l.Orders[0].Offer.Key)
	assert.Equal(t, "22", l.Orders[0].Count.String())
	assert.InDelta(t, 22*1.5-32, measure.Volume(l.Surplus).In(measure.CubicFoot), 1e-9)
}

func TestItem32BreaksAreReachedWhenThatIsCheaper(t *testing.T) {
	t.Parallel()
	// Pebble in bags of 0.5 ft3: 6.40 each, 5.70 from 56. A yard is 54 bags: 54 x 6.40 = 345.60, but 56 x 5.70 = 319.20.
	q := quoteOf(t, stoneBed("1", `"supply":{"prefer":"bags"}`))
	l := lineOf(t, q, estimate.DecorativeStone, "pebble-20")
	assert.Equal(t, "56", l.Orders[0].Count.String())
	assert.Equal(t, "5.70", l.Orders[0].Price.String())
	assert.Equal(t, "319.20", q.List.Currency.Format(l.Amount))
	assert.InDelta(t, 2*0.5, measure.Volume(l.Surplus).In(measure.CubicFoot), 1e-9)
	// At exactly 56 bags the break is reached: 28 ft3 are 1 1/27 yd3.
	l = lineOf(t, quoteOf(t, stoneBed("28/27", `"supply":{"prefer":"bags"}`)), estimate.DecorativeStone, "pebble-20")
	assert.Equal(t, "56", l.Orders[0].Count.String())
}

func TestItem33To35PlansOfAStoneBed(t *testing.T) {
	t.Parallel()
	// 3 yd3 of pebble. North yard: 3 x 68.00 + 65.00 = 269.00, or 7800 lb in 6 trips of 18.00: 108.00. Stone yard:
	// 3 yd3 x 2600 lb = 3.9 tons: 4.0 x 49.00 = 196.00 + 90.00 = 286.00; 8000 lb are 6 trips of 24.00 = 144.00.
	// Bags: 162 x 5.70 = 923.40 + 6 trips of 12.00 (7800 lb). Some of both: 3.5 tons for 171.50 and 0.308 yd3 = 8.3 ft3
	// in 17 bags for 108.80 is dearer. The north yard's drop it is.
	q := quoteOf(t, stoneBed("3"))
	f := q.List.Currency.Format
	assert.Equal(t, "269.00", f(q.Supply.Plan.Landed))
	assert.True(t, q.Supply.Plan.Optimal)
	assert.Equal(t, "204.00", f(q.Totals.Materials))
	assert.Equal(t, "65.00", f(q.Totals.Delivery))
	// From 600.00 in goods on the delivery is free: 10 x 62.00 (5 yd3 and more) = 620.00.
	q = quoteOf(t, stoneBed("10"))
	assert.Equal(t, "620.00", f(q.Totals.Materials))
	assert.Equal(t, "0.00", f(q.Totals.Delivery))
	// Pick-up trips count as delivery. 1/2 yd3: 27 bags of 6.40 = 172.80 + 12.00 for 1300 lb, or a yard for 68.00 and two
	// trips of 18.00 for its 2600 lb: 104.00; a ton for 49.00 and two trips of 24.00: 97.00.
	q = quoteOf(t, stoneBed("1/2"))
	assert.Equal(t, "49.00", f(q.Totals.Materials))
	assert.Equal(t, "48.00", f(q.Totals.Delivery))
	require.Len(t, q.Supply.Comparison, 1)
	c := q.Supply.Comparison[0]
	assert.Equal(t, "184.80", f(c.NeedBags))
	assert.Equal(t, "97.00", f(c.NeedBulk))
	names := map[string]bool{}
	for _, r := range q.Supply.Rivals {
		names[r.Name] = true
		if r.Err == nil {
			assert.GreaterOrEqual(t, r.Plan.Landed, q.Supply.Plan.Landed, "no rival is cheaper than the cheapest: %s", r.Name)
		}
	}
	assert.NotEmpty(t, names)
}

func TestPreferredFormsAreBought(t *testing.T) {
	t.Parallel()
	for form, want := range map[string]pricing.Form{"bags": pricing.Bag, "bulk": pricing.Bulk} {
		l := lineOf(t, quoteOf(t, stoneBed("2", `"supply":{"prefer":"`+form+`"}`)), estimate.DecorativeStone, "pebble-20")
		for _, o := range l.Orders {
			assert.Equal(t, want, o.Offer.Form)
		}
	}
	assert.Equal(t, []string{"/supply/prefer unknown_value"}, faulted(t, stoneBed("2", `"supply":{"prefer":"gold"}`)))
	assert.Equal(t, []string{"/supply/fastest unknown_member"}, faulted(t, stoneBed("2", `"supply":{"fastest":true}`)))
}

func TestAMaterialThatNobodyOffersIsSaidWhereItIsNamed(t *testing.T) {
	t.Parallel()
	without := func(materials ...string) *pricing.List {
		return sampleWith(t, func(d *pricing.Document) {
			var kept []pricing.OfferDocument
			for _, o := range d.Offers {
				drop := false
				for _, m := range materials {
					drop = drop || o.Material == m
				}
				if !drop {
					kept = append(kept, o)
				}
			}
			d.Offers = kept
		})
	}
	assert.Equal(t, []string{"/beds/0/stone/material no_offer"}, faulted(t, stoneBed("2"), without("pebble-20")))
	// The reference, the title and the id are no place that names a material.
	text := strings.Replace(stoneBed("2"), `{"ground"`, `{"reference":"pebble-20","title":"pebble-20","ground"`, 1)
	text = strings.Replace(text, `"id":"b"`, `"id":"pebble-20"`, 1)
	assert.Equal(t, []string{"/beds/0/stone/material no_offer"}, faulted(t, text, without("pebble-20")))
	// Pins come with their fabric.
	fabric := strings.Replace(stoneBed("2"), `"stone"`, `"fabric":{"material":"fabric-woven","under":"bed"},"stone"`, 1)
	assert.Equal(t, []string{"/beds/0/fabric/material no_offer"}, faulted(t, fabric, without("pin-6")))
	assert.Equal(t, []string{"/beds/0/fabric/material no_offer", "/beds/0/stone/material no_offer"}, faulted(t, fabric, without("pin-6", "fabric-woven", "pebble-20")))
}

// Whatever the size of a job, it gets an answer or a fault, never an error of the service.
func TestJobsOfAnySizeGetAnAnswerOrAFault(t *testing.T) {
	t.Parallel()
	for _, length := range []string{"0.1 mm", "1 in", "100 ft", "100000 m", "9999999 m"} {
		for _, width := range []string{"10 cm", "50 m", "9999999 m"} {
			for _, depth := range []string{"0.001 mm", "2 in", "9999999 m"} {
				text := `{"ground":{"soil":"loam","cover":"turf","haul":"9999999 m"},"beds":[{"id":"b","outline":{"kind":"rectangle","length":"` + length + `","width":"` + width + `"},"dig":"` + depth +
					`","fabric":{"material":"fabric-woven","under":"bed_and_trench"},"stone":{"material":"pebble-20","depth":"` + depth + `"},` +
					`"edging":{"unit":"edger-8x4","course":"sailor","base":{"material":"base-crushed","depth":"` + depth + `"},"sand":{"material":"sand-bedding","depth":"1 in"},"joint":{"width":"1/8 in","fill":"sand-polymeric"}}}]}`
				q, faults, err := ask(t, text)
				require.NoError(t, err, text)
				require.True(t, q != nil || len(faults) > 0, text)
				if q != nil {
					finite(t, q)
				}
			}
		}
	}
}

func TestSlabsOfAnySizeGetAnAnswerOrAFault(t *testing.T) {
	t.Parallel()
	for _, at := range []string{"0 m", "-1000 m", "999999 m", "9999999 m"} {
		for _, gap := range []string{"0 in", "0.001 mm", "1 m", "9999999 m"} {
			for _, grid := range []string{`"rows":1,"columns":1`, `"rows":3,"columns":2`, `"rows":100,"columns":1000`} {
				text := `{"ground":{"soil":"sand","cover":"turf","haul":"9 m"},"slabs":[{"id":"s","unit":"slab-12",` + grid + `,"gap":"` + gap + `","at":["` + at + `","` + at +
					`"],"rotate":33,"base":{"material":"base-crushed","depth":"4 in"},"joint":{"fill":"sand-joint"}}]}`
				q, faults, err := ask(t, text)
				require.NoError(t, err, text)
				require.True(t, q != nil || len(faults) > 0, text)
				if q != nil {
					finite(t, q)
				}
			}
		}
	}
}

// finite holds every number of a quote to be a number, and no amount to be below zero.
func finite(t require.TestingT, q *pricing.Quote) {
	ok := func(v float64, what string) {
		require.False(t, math.IsNaN(v) || math.IsInf(v, 0), "%s is %v", what, v)
		require.GreaterOrEqual(t, v, 0.0, what)
	}
	for _, b := range q.Takeoff.Beds {
		ok(float64(b.Area), "area")
		ok(float64(b.Perimeter), "perimeter")
		ok(float64(b.EdgedLength), "edged length")
		ok(float64(b.NetStoneArea), "net stone area")
	}
	for _, d := range q.Takeoff.Diggings {
		ok(float64(d.Area), "dug area")
		ok(float64(d.Volume), "dug volume")
	}
	ok(float64(q.Takeoff.Spoil.Loose), "spoil")
	ok(float64(q.Takeoff.Spoil.Mass), "mass of spoil")
	for i := range q.Lines {
		l := &q.Lines[i]
		ok(float64(l.Amount), string(l.Key))
		ok(float64(l.Tax), string(l.Key)+" tax")
		ok(l.Surplus, string(l.Key)+" surplus")
		ok(float64(l.Mass), string(l.Key)+" mass")
		require.False(t, l.Hours.IsNeg())
		if l.Material != nil {
			ok(l.Material.Measured.Value, "measured")
			ok(l.Material.Required.Value, "required")
		}
		for _, w := range l.Workings {
			require.NotContains(t, w.Expression+w.Result, "NaN")
			require.NotContains(t, w.Expression+w.Result, "Inf")
		}
	}
}

func TestItem39QuantitiesAreInTheUnitsAskedFor(t *testing.T) {
	t.Parallel()
	metric := listFile(t, "metric.json")
	text := func(units string) string {
		return `{"price_list":"metric",` + units + `"ground":{"soil":"loam","cover":"bare","haul":"0 m"},"beds":[{"id":"b","outline":{"kind":"rectangle","length":"3 m","width":"1 m"},
			"dig":"50 mm","stone":{"material":"pebble-20","depth":"50 mm"}}]}`
	}
	assert.Equal(t, measure.Metric, quoteOf(t, text(""), metric).Job.System, "the list's system unless said")
	assert.Equal(t, measure.US, quoteOf(t, text(`"units":"us",`), metric).Job.System)
	assert.Equal(t, []string{"/units unknown_value"}, faulted(t, text(`"units":"imperial",`), metric))
	assert.Equal(t, measure.US, quoteOf(t, stoneBed("2")).Job.System)
	// Units change no quantity and no price.
	a, b := quoteOf(t, text(`"units":"us",`), metric), quoteOf(t, text(`"units":"metric",`), metric)
	assert.Equal(t, a.Totals.Price, b.Totals.Price)
	assert.Equal(t, a.Takeoff.Spoil, b.Takeoff.Spoil)
	for i := range a.Takeoff.Lines {
		assert.Equal(t, a.Takeoff.Lines[i].Required, b.Takeoff.Lines[i].Required)
	}
}

func TestQuotesAreTheSameEveryTime(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"garage-bed.json", "side-yard-metric.json", "tree-ring.json", "front-strip.json", "corner-bed.json", "gate-and-seat.json", "stepping-walk.json", "landing-herringbone.json", "walk-and-seat.json", "patio-round-a-post.json", "narrow-gate.json"} {
		text := jobFile(t, name)
		first := fmt.Sprintf("%#v", dump(quoteOf(t, text)))
		for range 15 { // a hundred in all
			require.Equal(t, first, fmt.Sprintf("%#v", dump(quoteOf(t, text))), name)
		}
	}
}

// dump is what a quote says, without pointers.
func dump(q *pricing.Quote) []any {
	list := []any{q.ID, q.Totals, q.Notices, q.Takeoff.Beds, q.Takeoff.Spoil, q.Supply.Plan}
	for _, w := range q.Takeoff.Work {
		list = append(list, w.Operation, w.Quantity, w.Zones, w.Workings)
		if w.Machine != nil {
			list = append(list, *w.Machine)
		}
		for _, c := range w.Carried {
			list = append(list, c.Volume, c.Mass)
		}
	}
	for _, d := range q.Takeoff.Diggings {
		if d.Earthwork != nil {
			list = append(list, *d.Earthwork)
			d.Earthwork = nil
		}
		list = append(list, d)
	}
	for _, r := range q.Supply.Rivals {
		list = append(list, r.Name, r.Kept, r.Plan.Landed, r.Plan.Purchases)
	}
	for _, c := range q.Supply.Comparison {
		list = append(list, c.Sentence)
	}
	for i := range q.Lines {
		l := &q.Lines[i]
		list = append(list, l.Key, l.Description, l.Hours, l.Surplus, l.Mass, l.Amount, l.Tax, l.Workings)
		for _, o := range l.Orders {
			list = append(list, o.Offer.Key, o.Count, o.Amount)
		}
	}
	return list
}

func FuzzEstimate(f *testing.F) {
	for _, name := range []string{"garage-bed.json", "side-yard-metric.json", "tree-ring.json", "front-strip.json", "corner-bed.json", "gate-and-seat.json", "stepping-walk.json",
		"terrace-planters.json", "old-tree-by-house.json", "landing-herringbone.json", "walk-and-seat.json", "patio-round-a-post.json", "narrow-gate.json"} {
		f.Add([]byte(jobFile(f, name)))
	}
	f.Add([]byte(stoneBed("2")))
	f.Add([]byte(`{"ground":{"soil":"loam","cover":"bare","haul":"9000 m"},"slabs":[{"id":"s","unit":"slab-12","rows":9,"columns":9,"gap":"1 in","at":["1 ft","0 ft"],"rotate":45}]}`))
	lists := pricing.Fixed(pricing.Sample())
	f.Fuzz(func(t *testing.T, text []byte) {
		root, err := document.Parse(text)
		if err != nil {
			return
		}
		q, faults, err := pricing.Estimate(context.Background(), lists, root, text)
		if err != nil {
			t.Fatalf("an error that is no fault: %v", err)
		}
		if (q == nil) == (len(faults) == 0) {
			t.Fatalf("a quote %v beside %d faults", q != nil, len(faults))
		}
		if q != nil {
			finite(t, q)
		}
	})
}
