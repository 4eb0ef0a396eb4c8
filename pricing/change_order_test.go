package pricing_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate/measure"
	"bedline/pricing"
	"bedline/pricing/money"
)

func TestAChangeOrderSaysWhatIsAddedAndWhatIsSaved(t *testing.T) {
	t.Parallel()
	const slabs = `"slabs":[{"id":"s","unit":"slab-12","rows":2,"columns":3,"at":["1 ft","20 ft"]}]`
	earlier, now := bulkBed("3"), bulkBed("2", slabs)
	o := quoteOf(t, with(now, `"changes_from":`+earlier)).ChangeOrder
	d := &o.Difference
	assert.Equal(t, quoteOf(t, earlier).ID, o.Earlier.ID)
	assert.Equal(t, "Both jobs are priced with standard version 1, so that the difference is of the work.", o.Basis)
	// The stone as in the test of options, the other way round: 68.00 and 1.1 h less. The rest is added.
	var saved, added money.Amount
	for _, l := range d.Lines {
		switch {
		case l.Before == nil:
			added += l.After.Amount
		case l.After == nil:
			saved += l.Before.Amount
		case l.After.Material != nil:
			assert.Equal(t, money.Amount(-6800), l.After.Amount-l.Before.Amount)
		}
	}
	assert.Equal(t, added, d.Added)
	assert.Zero(t, saved)
	assert.True(t, strings.HasSuffix(d.Sentence, "; new work: have utilities located and marked, dig trenches and pads, haul spoil, lay slabs"), d.Sentence)
	assert.Contains(t, d.Sentence, ", 6 more units, ")
	require.Len(t, o.NewWork, 4)
	assert.Equal(t, "lay_slabs", string(o.NewWork[3].Operation))
	assert.Equal(t, "1.5", o.NewWork[3].Hours.Trim(0).String(), "6 slabs at 0.25 h")
	assert.Empty(t, o.Dropped)
	// 3 yd3 of stone were bought, 2 are needed; of slabs 6 x 1.03 = 6.18, so 7.
	require.Len(t, o.Stock, 2)
	stone, slab := o.Stock[0], o.Stock[1]
	assert.InEpsilon(t, 3, measure.Volume(stone.Bought.Value).In(measure.CubicYard), 1e-12)
	assert.InEpsilon(t, 1, measure.Volume(stone.LeftOver.Value).In(measure.CubicYard), 1e-12)
	assert.Zero(t, stone.ToBuy.Value)
	assert.InEpsilon(t, 6.18, slab.Required.Value, 1e-12)
	assert.Equal(t, 7.0, slab.ToBuy.Value)
	assert.Zero(t, slab.LeftOver.Value+slab.Bought.Value)

	back := quoteOf(t, with(earlier, `"changes_from":`+now)).ChangeOrder
	assert.Empty(t, back.NewWork)
	assert.Equal(t, o.NewWork, back.Dropped)
	assert.True(t, strings.HasSuffix(back.Difference.Sentence, "; no longer: have utilities located and marked, dig trenches and pads, haul spoil, lay slabs"), back.Difference.Sentence)
	opposite(t, d, &back.Difference)
	require.Len(t, back.Stock, 2, "in the order in which the earlier job needs them")
	assert.Equal(t, 7.0, back.Stock[0].LeftOver.Value)
	assert.InEpsilon(t, 1, measure.Volume(back.Stock[1].ToBuy.Value).In(measure.CubicYard), 1e-12)
}

func TestTheEarlierJobIsPricedAsThisOneUnlessItSaysOtherwise(t *testing.T) {
	t.Parallel()
	dearer, err := sampleWith(t, func(d *pricing.Document) {
		for i := range d.Offers {
			if d.Offers[i].Key == "north-pebble-20-bulk" {
				d.Offers[i].Price = dec("70.00")
			}
		}
	}).Document().Compile(2)
	require.NoError(t, err)
	pinned := strings.Replace(bulkBed("2"), `{"ground"`, `{"price_list_version":1,"ground"`, 1)
	lists := []*pricing.List{pricing.Sample(), dearer}
	free := quoteOf(t, with(bulkBed("2"), `"changes_from":`+bulkBed("2")), lists...).ChangeOrder
	assert.Equal(t, 2, free.Earlier.List.Version)
	assert.Zero(t, free.Difference.Totals.Price)
	held := quoteOf(t, with(bulkBed("2"), `"changes_from":`+pinned), lists...).ChangeOrder
	assert.Equal(t, 1, held.Earlier.List.Version)
	assert.Equal(t, quoteOf(t, pinned, lists...).ID, held.Earlier.ID)
	// 2 yd3 at 2.00 more, and 6 % tax of it.
	assert.Equal(t, money.Amount(400+24), held.Difference.Totals.Price)
	assert.Equal(t, "The earlier job is priced with standard version 1 as it asks, this one with standard version 2: the difference is of prices as well as of the work.", held.Basis)

	q := quoteOf(t, with(strings.Replace(pinned, `:1,`, `:2,`, 1), `"changes_from":`+strings.Replace(bulkBed("2"), `{"ground"`, `{"price_list":"standard","ground"`, 1)), lists...)
	assert.Equal(t, 2, q.ChangeOrder.Earlier.List.Version, "a list of the same name without a version is that of this job")

	other := listFile(t, "yen.json")
	text := with(bulkBed("2"), `"changes_from":`+strings.Replace(bulkBed("2"), `{"ground"`, `{"price_list":"`+other.Name+`","ground"`, 1))
	assert.Contains(t, faulted(t, text, pricing.Sample(), other), "/changes_from/price_list conflict")
}

func TestTheOptionsOfAnEarlierJobAreNotAnsweredAgain(t *testing.T) {
	t.Parallel()
	earlier := with(bulkBed("2"), options(option("Deeper", `{"title":"x"}`)), `"changes_from":`+bulkBed("1"))
	q := quoteOf(t, with(bulkBed("3"), `"changes_from":`+earlier))
	assert.Equal(t, quoteOf(t, earlier).ID, q.ChangeOrder.Earlier.ID, "the id is that of the earlier answer")
	assert.Empty(t, q.ChangeOrder.Earlier.Options)
	assert.Nil(t, q.ChangeOrder.Earlier.ChangeOrder)
	assert.Equal(t, quoteOf(t, bulkBed("2")).Lines, q.ChangeOrder.Earlier.Lines)
}

func TestAPoolTakesNoOptions(t *testing.T) {
	t.Parallel()
	text := `{"jobs":[{"id":"a","job":` + with(bulkBed("2"), options(option("A", `[]`)), `"changes_from":`+bulkBed("1")) + `}]}`
	_, faults := pooled(t, text, pricing.Sample())
	var got []string
	for _, f := range faults {
		got = append(got, f.Pointer+" "+f.Code)
	}
	assert.Equal(t, []string{"/jobs/0/job/options conflict", "/jobs/0/job/changes_from conflict"}, got)
}
