package pricing_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	jsonpatch "github.com/evanphx/json-patch/v5"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/pricing"
	"bedline/pricing/money"
)

// with puts members at the end of a job.
func with(job string, members ...string) string {
	job = strings.TrimRight(job, " \n\t")
	return job[:len(job)-1] + "," + strings.Join(members, ",") + "}"
}

func option(name, changes string) string {
	return fmt.Sprintf(`{"name":%q,"changes":%s}`, name, changes)
}

func options(list ...string) string { return `"options":[` + strings.Join(list, ",") + `]` }

// changed applies changes with another implementation of the two patches.
func changed(t require.TestingT, job, changes string) string {
	if changes[0] == '{' {
		out, err := jsonpatch.MergePatch([]byte(job), []byte(changes))
		require.NoError(t, err)
		return string(out)
	}
	patch, err := jsonpatch.DecodePatch([]byte(changes))
	require.NoError(t, err)
	out, err := patch.Apply([]byte(job))
	require.NoError(t, err, changes)
	return string(out)
}

// bulkBed is a bed of 27 x 12 ft under stone from bulk, priced at cost: a cubic yard to the inch.
func bulkBed(inches string, more ...string) string {
	return stoneBed(inches, append([]string{`"supply":{"prefer":"bulk"}`, `"commercial":{"contingency_percent":0,"overhead_percent":0,"markup_percent":0}`}, more...)...)
}

func TestAnOptionIsSetBesideTheJobLineByLine(t *testing.T) {
	t.Parallel()
	q := quoteOf(t, bulkBed("2", options(
		option("Deeper", `[{"op":"replace","path":"/beds/0/stone/depth","value":"3 in"}]`),
		option("With slabs", `{"slabs":[{"id":"s","unit":"slab-12","rows":1,"columns":4,"at":["1 ft","1 ft"]}]}`))))
	require.Len(t, q.Options, 2)
	// By hand, from the sample list. 2 yd3 of pebble-20 in bulk: 2 x 68 = 136 and a drop of 65; 3 yd3: 3 x 68 = 204 and the
	// drop; the other yard is dearer: 2.6 ton as 3 x 49 = 147 is fetched in 4 trips of 24 (below the least order), 3.9 ton is
	// 4 x 49 + 90 = 286. Placing: 1.1 h x 38 = 41.80 for the yard more. At cost the tax is 6 % of the materials: 8.16 and
	// 12.24. 68 + 41.80 + 4.08 = 113.88.
	d := &q.Options[0].Difference
	assert.Equal(t, money.Amount(6800), d.Totals.Materials)
	assert.Equal(t, money.Amount(0), d.Totals.Delivery)
	assert.Equal(t, money.Amount(4180), d.Totals.Labour)
	assert.Equal(t, money.Amount(408), d.Totals.Tax)
	assert.Equal(t, money.Amount(11388), d.Totals.Price)
	assert.Equal(t, money.Amount(6800), d.Landed)
	assert.Equal(t, "1.1", d.Totals.Hours.Trim(0).String())
	assert.Equal(t, "Deeper: +113.88, 1.1 h more", d.Sentence)
	require.Len(t, d.Lines, 2, "the stone and its placing; the drop, the set-out and the cleaning up stay")
	assert.Equal(t, 3, d.Unchanged)
	stone, placing := d.Lines[0], d.Lines[1]
	assert.Equal(t, estimate.DecorativeStone, stone.After.Key)
	assert.Equal(t, money.Amount(13600), stone.Before.Amount)
	assert.Equal(t, money.Amount(20400), stone.After.Amount)
	assert.Equal(t, estimate.PlaceStone, placing.After.Work.Operation)
	// Slabs are dug in, so the ground is to be marked, and its spoil tipped.
	d = &q.Options[1].Difference
	assert.Contains(t, d.Sentence, "With slabs: +")
	assert.Contains(t, d.Sentence, ", 4 more units, ")
	var added []string
	for _, l := range d.Lines {
		if l.Before == nil {
			added = append(added, string(l.After.Key)+" "+l.After.Description)
		}
	}
	assert.Equal(t, []string{"slabs Concrete slab 12 x 12 x 1 3/4 in", "excavation Dig trenches and pads", "spoil Spoil to dispose of", "delivery Pick-up from Corner garden shop",
		"labour Have utilities located and marked", "labour Haul spoil", "labour Lay slabs"}, added)
	var codes []string
	for _, n := range d.New {
		codes = append(codes, n.Code)
	}
	assert.Contains(t, codes, "no_base")
	assert.Empty(t, d.Gone)
}

// changesOf are changes of any sample job that it bears.
func changesOf(t *rapid.T, file string) string {
	list := []string{
		`[]`, `{}`, `{"title":"Another"}`, `{"units":"metric"}`, `{"ground":{"haul":"140 ft","cover":"brush"}}`, `{"ground":{"soil":"clay"}}`,
		`[{"op":"replace","path":"/ground/haul","value":"0 ft"},{"op":"test","path":"/ground/haul","value":"0 ft"}]`,
		`{"commercial":{"contingency_percent":12.5,"margin_percent":null,"markup_percent":33}}`, `{"supply":{"prefer":"bags"}}`, `{"supply":{"prefer":"bulk","steps":true}}`,
		`{"allowances":{"decorative_stone":20,"edging":0}}`, `{"set_out":{"every":"2 ft"}}`,
		`[{"op":"add","path":"/planters","value":[{"id":"pot","length":"3 ft","width":"2 ft","fill":"12 in","at":["400 ft","0 ft"],"mix":[{"material":"soil-garden","parts":1}]}]}]`,
		`[{"op":"copy","from":"/ground/cover","path":"/title"}]`,
	}
	if file == "garage-bed.json" {
		list = append(list, `[{"op":"replace","path":"/beds/0/edging/course","value":"soldier"}]`, `{"slabs":null}`, `[{"op":"remove","path":"/beds/0/fabric"},{"op":"move","from":"/beds/0/dig","path":"/reference"}]`,
			`[{"op":"replace","path":"/slabs/0/columns","value":2},{"op":"replace","path":"/beds/0/stone/depth","value":"4 in"}]`,
			`[{"op":"add","path":"/beds/-","value":{"id":"other","outline":{"kind":"circle","centre":["80 ft","0 ft"],"radius":"4 ft"},"stone":{"material":"gravel-10","depth":"2 in"}}}]`)
	}
	return rapid.SampledFrom(list).Draw(t, "changes")
}

// The jobs of the laws: small, and of all kinds.
var lawful = rapid.SampledFrom([]string{"garage-bed.json", "garage-bed.json", "garage-bed.json", "corner-ties.json", "side-yard-metric.json", "stepping-walk.json", "sloping-bed.json", "terrace-planters.json"})

func TestLawsOfOptions(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		file := lawful.Draw(t, "job")
		a := jobFile(t, file)
		change := changesOf(t, file)
		b := changed(t, a, change)
		q := quoteOf(t, with(a, options(option("B", change), option("Nothing", `[]`), option("Nothing either", `{}`), option("All", `[{"op":"replace","path":"","value":`+b+`}]`))))
		alone, asB := quoteOf(t, a), quoteOf(t, b)
		require.Equal(t, asB, q.Options[0].Quote, "an option is the job with its changes estimated by itself")
		require.Equal(t, asB, q.Options[3].Quote)
		require.Equal(t, alone, q.Options[1].Quote)
		for _, o := range q.Options[1:3] {
			nothing(t, &o.Difference)
			require.Equal(t, o.Name+": the same price", o.Difference.Sentence)
		}
		require.Equal(t, alone.Lines, q.Lines, "options leave the answer to the job as it is")
		require.Equal(t, alone.Totals, q.Totals)

		there := &q.Options[0].Difference
		differenceAddsUp(t, there)
		back := quoteOf(t, with(b, options(option("A", `[{"op":"replace","path":"","value":`+a+`}]`)))).Options[0].Difference
		opposite(t, there, &back)

		// A change order from A to B says what the option B of A does.
		o := quoteOf(t, with(b, `"changes_from":`+a)).ChangeOrder
		require.Equal(t, alone, o.Earlier)
		require.Equal(t, there.Lines, o.Difference.Lines)
		require.Equal(t, there.Totals, o.Difference.Totals)
		require.Equal(t, there.Workings, o.Difference.Workings)
		require.Equal(t, strings.TrimPrefix(there.Sentence, "B"), strings.Split(strings.TrimPrefix(o.Difference.Sentence, "Change order"), ";")[0])
		same := quoteOf(t, with(a, `"changes_from":`+a)).ChangeOrder
		nothing(t, &same.Difference)
		require.Empty(t, same.Stock)
		require.Empty(t, append(same.NewWork, same.Dropped...))
		require.Equal(t, "Change order: the same price", same.Difference.Sentence)
	})
}

func nothing(t require.TestingT, d *pricing.Difference) {
	require.Empty(t, d.Lines)
	require.Zero(t, d.Totals.Price)
	require.True(t, d.Totals.Hours.IsZero())
	require.Equal(t, [6]money.Amount{}, [6]money.Amount{d.Added, d.Saved, d.Changed, d.Landed, d.Totals.Direct, d.Totals.Tax})
	require.Empty(t, append(d.New, d.Gone...))
	require.NotZero(t, d.Unchanged)
}

// differenceAddsUp holds the sum of the differences of the lines, and of what is reckoned on them, to the difference in price.
func differenceAddsUp(t require.TestingT, d *pricing.Difference) {
	var sum money.Amount
	for _, l := range d.Lines {
		if l.After != nil {
			sum += l.After.Amount
		}
		if l.Before != nil {
			sum -= l.Before.Amount
		}
	}
	require.Equal(t, d.Totals.Direct, sum)
	require.Equal(t, sum, d.Added-d.Saved+d.Changed)
	require.Equal(t, d.Totals.Direct, d.Totals.Materials+d.Totals.Delivery+d.Totals.Equipment+d.Totals.Labour+d.Totals.Disposal)
	require.Equal(t, d.Totals.Price, sum+d.Totals.Contingency+d.Totals.Overhead+d.Totals.Profit+d.Totals.Tax)
}

// opposite holds the way back to the negative of the way there.
func opposite(t require.TestingT, there, back *pricing.Difference) {
	require.Equal(t, there.Totals.Price, -back.Totals.Price)
	require.Equal(t, there.Totals.Direct, -back.Totals.Direct)
	require.Equal(t, there.Totals.Tax, -back.Totals.Tax)
	require.Equal(t, there.Landed, -back.Landed)
	require.Equal(t, there.Added, back.Saved)
	require.Equal(t, there.Saved, back.Added)
	require.Equal(t, there.Changed, -back.Changed)
	require.Equal(t, there.Totals.Hours.String(), back.Totals.Hours.Neg().String())
	require.Equal(t, there.Unchanged, back.Unchanged)
	require.Equal(t, there.New, back.Gone)
	require.Equal(t, there.Gone, back.New)
	require.Len(t, back.Lines, len(there.Lines))
	for _, l := range there.Lines {
		require.Contains(t, back.Lines, pricing.LineDifference{Before: l.After, After: l.Before})
	}
}

// optionFaults are the faults of a job with options.
func optionFaults(t *testing.T, text string) map[string]string {
	t.Helper()
	_, faults, err := ask(t, text)
	require.NoError(t, err)
	found := map[string]string{}
	for _, f := range faults {
		found[f.Pointer+" "+f.Code] = f.Detail
		assert.True(t, f.Example == "" || json.Valid([]byte(f.Example)), f)
	}
	require.Len(t, found, len(faults))
	return found
}

func TestFaultsOfOptions(t *testing.T) {
	t.Parallel()
	job := jobFile(t, "garage-bed.json")
	for _, tt := range []struct {
		name, members string
		want          []string
	}{
		{"two options of one name", options(option("A", `[]`), option("B", `{}`), option("A", `{}`)), []string{"/options/2/name duplicate"}},
		{"an option without a name or changes", `"options":[{}]`, []string{"/options/0/name missing", "/options/0/changes missing"}},
		{"an option that is a text", `"options":["soldier"]`, []string{"/options/0 wrong_type"}},
		{"options that are an object", `"options":{}`, []string{"/options wrong_type"}},
		{"changes that are a text", options(option("A", `"soldier"`)), []string{"/options/0/changes wrong_type"}},
		{"a member too much", `"options":[{"name":"A","changes":[],"price":1}]`, []string{"/options/0/price unknown_member"}},
		{"an operation that fails", options(option("A", `[{"op":"test","path":"/units","value":"us"},{"op":"remove","path":"/beds/3"}]`)), []string{"/options/0/changes/1/path out_of_range"}},
		{"another price list", options(option("A", `{"price_list":"other"}`), option("B", `[{"op":"add","path":"/price_list_version","value":2}]`)),
			[]string{"/options/0/changes/price_list not_to_change", "/options/1/changes/0/path not_to_change"}},
		{"options in options", options(option("A", `{"options":[]}`)), []string{"/options/0/changes/options not_to_change"}},
		{"a wrong value, told where it stands", options(option("A", `[{"op":"replace","path":"/beds/0/edging/course","value":"header"}]`), option("B", `{"ground":{"soil":"cheese"}}`)),
			[]string{"/options/0/changes/0/value unknown_value", "/options/1/changes/ground/soil unknown_soil"}},
		{"a wrong value below one that was put in", options(option("A", `[{"op":"add","path":"/beds/0","value":{"id":"new","outline":{"kind":"rectangle","length":"5 ft"},"dig":3}}]`)),
			[]string{"/options/0/changes/0/value/outline/width missing", "/options/0/changes/0/value/dig unit_missing"}},
		{"what is missing once a value is taken away", options(option("A", `[{"op":"remove","path":"/beds/0/outline"}]`)), []string{"/options/0/changes missing"}},
		{"a fault of the geometry", options(option("A", `{"slabs":[{"id":"gate","in_bed":"garage","unit":"slab-16","rows":2,"columns":3,"at":["90 ft","1 ft"]}]}`)), []string{"/options/0/changes/slabs/0/at outside_bed"}},
		{"nothing left to estimate", options(option("A", `{"beds":null,"slabs":null}`)), []string{"/options/0/changes empty_job"}},
		{"an unknown member put in", options(option("A", `{"bed":[]}`)), []string{"/options/0/changes/bed unknown_member"}},
		{"faults of the job and of options together, those of the job once", `"titel":"x",` + options(option("A", `{"units":"feet"}`), option("B", `[]`)),
			[]string{"/titel unknown_member", "/options/0/changes/units unknown_value"}},
		{"an earlier job's faults stand in it", `"changes_from":{"ground":{"soil":"loam","cover":"turf","haul":60}},` + options(option("A", `[1]`)),
			[]string{"/changes_from/ground/haul unit_missing", "/changes_from empty_job", "/options/0/changes/0 wrong_type"}},
		{"an earlier job that is a text", `"changes_from":"AR-113"`, []string{"/changes_from wrong_type"}},
		{"an earlier job that is null", `"changes_from":null`, []string{"/changes_from null"}},
		{"an earlier job from another list", `"changes_from":{"price_list":"other","ground":{"soil":"loam","cover":"turf","haul":"60 ft"},"beds":[]}`, []string{"/changes_from/price_list unknown_price_list", "/changes_from empty_job"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			var got []string
			for at := range optionFaults(t, with(job, tt.members)) {
				got = append(got, at)
			}
			assert.ElementsMatch(t, tt.want, got)
		})
	}
}

func TestFaultsOfAnOptionAtOnePlaceAreToldTogether(t *testing.T) {
	t.Parallel()
	job := jobFile(t, "garage-bed.json")
	found := optionFaults(t, with(job, options(option("A", `[{"op":"remove","path":"/beds/0/outline"},{"op":"remove","path":"/ground/soil"},{"op":"remove","path":"/slabs/0/rows"}]`))))
	require.Len(t, found, 1)
	detail := found["/options/0/changes missing"]
	for _, at := range []string{"/ground/soil", "/beds/0/outline", "/slabs/0/rows"} {
		assert.Contains(t, detail, "makes a job with a fault at "+at+": it is missing")
	}
	// Prices, too: a material that nobody offers.
	list := sampleWith(t, func(d *pricing.Document) {
		for i := range d.Offers {
			if d.Offers[i].Material == "slab-24" {
				d.Offers[i].Material = "slab-18"
			}
		}
	})
	_, faults, err := ask(t, with(job, options(option("A", `[{"op":"replace","path":"/slabs/0/unit","value":"slab-24"},{"op":"replace","path":"/slabs/0/at","value":["4 ft","1 ft"]}]`))), list)
	require.NoError(t, err)
	require.Len(t, faults, 1)
	assert.Equal(t, "/options/0/changes/0/value no_offer", faults[0].Pointer+" "+faults[0].Code)
}

func TestLimitsOfOptions(t *testing.T) {
	t.Parallel()
	job := jobFile(t, "garage-bed.json")
	var list []string
	for i := range pricing.MostOptions {
		list = append(list, option(fmt.Sprint(i), `[]`))
	}
	assert.Len(t, quoteOf(t, with(job, options(list...))).Options, 10)
	assert.Contains(t, optionFaults(t, with(job, options(append(list, option("x", `[]`))...))), "/options out_of_range")
	assert.Contains(t, optionFaults(t, with(job, options(option("A", `[`+strings.TrimSuffix(strings.Repeat(`{"op":"test","path":"","value":1},`, 201), ",")+`]`)))), "/options/0/changes out_of_range")
	// What the jobs come to together, as text: those that do not fit are told.
	wide := with(job, options(option("A", `{"beds":[`+strings.Repeat(`{"id":"`+strings.Repeat("y", 64)+`"},`, 13000)+`{}]}`)))
	assert.Contains(t, optionFaults(t, wide), "/options/0/changes/beds out_of_range")
	grown := with(job, options(option("A", `{"title":"`+strings.Repeat("y", 300000)+`"}`), option("B", `{"title":"`+strings.Repeat("y", 300000)+`"}`), option("C", `{"title":"`+strings.Repeat("y", 500000)+`"}`)))
	found := optionFaults(t, grown)
	assert.Contains(t, found, "/options/2/changes too_large")
	assert.NotContains(t, found, "/options/1/changes too_large")
}

// Faults of whatever options lie in the request, and whatever comes out adds up.
func FuzzOptions(f *testing.F) {
	for _, s := range []string{`[{"op":"replace","path":"/beds/0/stone/depth","value":"3 in"}]`, `{"slabs":[{"id":"s","unit":"slab-12","rows":1,"columns":4,"at":["1 ft","1 ft"]}]}`,
		`[{"op":"copy","from":"/beds/0","path":"/beds/-"},{"op":"replace","path":"/beds/1/id","value":"c"}]`, `[{"op":"remove","path":"/beds/0/outline"}]`, `{"beds":[{"id":"b"}]}`,
		`[{"op":"move","from":"/beds/0/stone","path":"/beds/0/x~1y"}]`, `{"units":"metric","ground":{"haul":null}}`} {
		f.Add(s)
	}
	lists := pricing.Fixed(pricing.Sample())
	f.Fuzz(func(t *testing.T, changes string) {
		text := bulkBed("2", options(option("A", changes)), `"changes_from":`+bulkBed("3"))
		root, err := document.Parse([]byte(text))
		if err != nil {
			return
		}
		q, faults, err := pricing.Estimate(t.Context(), lists, root, []byte(text))
		require.NoError(t, err)
		require.Equal(t, q == nil, len(faults) > 0)
		for _, x := range faults {
			_, there := root.Lookup(x.Pointer)
			require.True(t, there || x.Code == document.CodeMissing, x)
			require.True(t, x.Example == "" || json.Valid([]byte(x.Example)), x)
		}
		if q == nil {
			return
		}
		for i := range q.Options {
			finite(t, q.Options[i].Quote)
			differenceAddsUp(t, &q.Options[i].Difference)
		}
		if q.ChangeOrder != nil {
			differenceAddsUp(t, &q.ChangeOrder.Difference)
		}
	})
}
