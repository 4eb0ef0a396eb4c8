package pricing_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate"
	"bedline/estimate/measure"
	"bedline/pricing"
	"bedline/pricing/money"
)

func compiled(t testing.TB, d *pricing.Document) *pricing.List {
	t.Helper()
	list, err := d.Compile(1)
	require.NoError(t, err)
	return list
}

func offerOf(t testing.TB, l *pricing.List, key string) pricing.Offer {
	t.Helper()
	for _, o := range l.Offers {
		if o.Key == key {
			return o
		}
	}
	require.Fail(t, "no offer "+key)
	return pricing.Offer{}
}

func quantity(text string) pricing.Content { return pricing.Content{Quantity: text} }

func TestItem34BulkIsBoughtInIncrementsFromAMinimum(t *testing.T) {
	t.Parallel()
	bulk := offerOf(t, compiled(t, smallDocument()), "base-bulk")
	assert.Equal(t, "0.5", bulk.StepContents.String())
	assert.Equal(t, 2, bulk.LeastSteps)
	// Exact by definition: 1 yd3 = 0.764554857984 m3, 27 ft3; at 100 lb/ft3, 0.45359237 kg to the pound.
	assert.InDelta(t, 0.764554857984, float64(bulk.Content.Volume), 1e-15)
	assert.InDelta(t, 0.382277428992, float64(bulk.Step.Volume), 1e-15)
	assert.InDelta(t, 2700*0.45359237, float64(bulk.Content.Mass), 1e-9)
	assert.Zero(t, bulk.Content.Count)
	count, err := bulk.Contents(3)
	require.NoError(t, err)
	assert.Equal(t, "1.5", count.String())
}

func TestItem34WithoutAnIncrementBulkIsBoughtByItsContent(t *testing.T) {
	t.Parallel()
	d := smallDocument()
	d.Offers[0].Increment, d.Offers[0].Minimum = pricing.Content{}, pricing.Content{}
	bulk := offerOf(t, compiled(t, d), "base-bulk")
	assert.Equal(t, "1", bulk.StepContents.String())
	assert.Equal(t, 1, bulk.LeastSteps)
	assert.Equal(t, 5, bulk.Breaks[0].Steps)
}

func TestItem32AllIsBoughtAtThePriceOfTheHighestBreakReached(t *testing.T) {
	t.Parallel()
	list := compiled(t, smallDocument())
	bulk, bag := offerOf(t, list, "base-bulk"), offerOf(t, list, "base-bag")
	for steps, want := range map[int]money.Amount{
		1:  1900,      // half a yard at 38
		9:  9 * 1900,  // 4.5 yd3
		10: 5 * 3400,  // 5 yd3 at 34
		17: 28900,     // 8.5 yd3
		18: 9 * 3200,  // 9 yd3 at 32
		40: 20 * 3200, // 20 yd3
	} {
		got, err := bulk.Amount(list.Currency, steps)
		require.NoError(t, err)
		assert.Equal(t, want, got, "%d half yards", steps)
	}
	for steps, want := range map[int]money.Amount{55: 55 * 520, 56: 56 * 460} {
		got, err := bag.Amount(list.Currency, steps)
		require.NoError(t, err)
		assert.Equal(t, want, got, "%d bags", steps)
	}
}

func TestABreakBetweenTwoStepsIsReachedByTheStepAboveIt(t *testing.T) {
	t.Parallel()
	d := smallDocument()
	d.Offers[0].Breaks[0].From = quantity("5.1 yd3")
	bulk := offerOf(t, compiled(t, d), "base-bulk")
	assert.Equal(t, 11, bulk.Breaks[0].Steps)
	assert.Equal(t, "38.00", bulk.PriceAt(10).String())
	assert.Equal(t, "34.00", bulk.PriceAt(11).String())
}

func TestMassAndVolumeOfALooseMaterialMeetThroughItsDensity(t *testing.T) {
	t.Parallel()
	d := smallDocument()
	d.Offers[0].Content, d.Offers[0].Increment, d.Offers[0].Minimum = quantity("1 ton"), quantity("10 ft3"), quantity("1000 lb")
	d.Offers[0].Breaks = []pricing.BreakDocument{{From: quantity("100 ft3"), Price: dec("30.00")}}
	list := compiled(t, d)
	bag, bulk := offerOf(t, list, "base-bag"), offerOf(t, list, "base-bulk")
	// At 100 lb/ft3 a bag of 50 lb holds half a cubic foot, a short ton 20 ft3 and 10 ft3 weigh half a ton.
	assert.InDelta(t, 0.5*0.028316846592, float64(bag.Content.Volume), 1e-15)
	assert.InDelta(t, 50*0.45359237, float64(bag.Content.Mass), 1e-12)
	assert.InDelta(t, 20*0.028316846592, float64(bulk.Content.Volume), 1e-12)
	assert.Equal(t, "0.5", bulk.StepContents.String())
	assert.Equal(t, 1, bulk.LeastSteps)
	assert.Equal(t, 10, bulk.Breaks[0].Steps)
}

func TestAnIncrementThatIsNoDecimalPartIsRoundedToTwelveDigits(t *testing.T) {
	t.Parallel()
	d := smallDocument()
	d.Offers[0].Increment, d.Offers[0].Minimum = quantity("9 ft3"), quantity("9 ft3")
	list := compiled(t, d)
	bulk := offerOf(t, list, "base-bulk")
	assert.Equal(t, "0.333333333333", bulk.StepContents.String())
	got, err := bulk.Amount(list.Currency, 3)
	require.NoError(t, err)
	assert.Equal(t, money.Amount(3800), got)
}

func TestASmallIncrementKeepsItsDigits(t *testing.T) {
	t.Parallel()
	d := smallDocument()
	d.Offers[0].Increment = quantity("1 in3")
	bulk := offerOf(t, compiled(t, d), "base-bulk")
	assert.Equal(t, "0.0000214334705075", bulk.StepContents.String()) // 1/46656
	assert.Equal(t, 46656, bulk.LeastSteps)
}

func TestPacksMayBeSoldInNumbers(t *testing.T) {
	t.Parallel()
	d := smallDocument()
	d.Offers[1].Increment, d.Offers[1].Minimum = pricing.Content{Count: 4}, pricing.Content{Count: 10}
	list := compiled(t, d)
	bag := offerOf(t, list, "base-bag")
	assert.Equal(t, "4", bag.StepContents.String())
	assert.Equal(t, 3, bag.LeastSteps)
	assert.Equal(t, 14, bag.Breaks[0].Steps)
	assert.InDelta(t, 4*float64(bag.Content.Volume), float64(bag.Step.Volume), 1e-15)
	assert.InDelta(t, 200*0.45359237, float64(bag.Step.Mass), 1e-12)
	got, err := bag.Amount(list.Currency, 3)
	require.NoError(t, err)
	assert.Equal(t, money.Amount(12*520), got)
}

func TestAnAreaOfUnitsHoldsTheWholeUnitsThatItsFacesCover(t *testing.T) {
	t.Parallel()
	for area, count := range map[string]int{
		"32 in2": 1, "63 in2": 1, "10 ft2": 45, "100 ft2": 450, // 144/32 = 4.5 units to the square foot (Brick Industry Association, Seven Easy Steps, step 1)
		"1 m2": 48, // 1/(0.2032 x 0.1016) = 48.4
	} {
		d := smallDocument()
		d.Offers[2].Content = quantity(area)
		assert.Equal(t, count, offerOf(t, compiled(t, d), "edger-pallet").Content.Count, area)
	}
	d := smallDocument()
	d.Offers[3].Content = quantity("200 ft2")
	assert.Equal(t, 1, offerOf(t, compiled(t, d), "fabric-roll").Content.Count, "a roll of 4 x 50 ft")
}

func TestGoodsHaveMassAndTakeUpSpace(t *testing.T) {
	t.Parallel()
	list := compiled(t, smallDocument())
	pallet := offerOf(t, list, "edger-pallet")
	assert.Equal(t, 240, pallet.Content.Count)
	assert.InDelta(t, 240*5*0.45359237, float64(pallet.Content.Mass), 1e-9)
	assert.InDelta(t, 240*(8*4*2)*0.0254*0.0254*0.0254, float64(pallet.Content.Volume), 1e-12)
	assert.Equal(t, 50, offerOf(t, list, "pin-bag").Content.Count)
	assert.Zero(t, offerOf(t, list, "pin-bag").Content.Volume)
}

func TestTheListHoldsWhatTheDocumentSays(t *testing.T) {
	t.Parallel()
	l := compiled(t, smallDocument())
	assert.Equal(t, money.Currency{Code: "USD", Digits: 2}, l.Currency)
	s, ok := l.Supplier("north-yard")
	require.True(t, ok)
	free := money.Amount(60000)
	tons, yards := measure.ShortTon.Scale(10), measure.CubicYard.Scale(12)
	assert.InDelta(t, float64(tons), float64(s.Delivery.Payload), 1e-9)
	assert.InDelta(t, float64(yards), float64(s.Delivery.PayloadVolume), 1e-12)
	assert.Equal(t, money.Amount(6500), s.Delivery.Fee)
	assert.Equal(t, &free, s.Delivery.FreeFrom)
	assert.Equal(t, money.Amount(5000), s.MinimumOrder)
	assert.Equal(t, money.Amount(1800), s.PickUp.TripCost)
	assert.Equal(t, measure.Hours(0.75), s.PickUp.CrewHours)
	_, ok = l.Supplier("south-yard")
	assert.False(t, ok)
	m, ok := l.Catalogue.Material("fabric-woven")
	require.True(t, ok)
	assert.Equal(t, estimate.FabricMaterial, m.Kind)
	assert.InDelta(t, 0.1524, float64(m.Lap), 1e-15)
	assert.Equal(t, "pin-6", m.Pin)
	soil, ok := l.Catalogue.Soil("loam")
	require.True(t, ok)
	assert.Equal(t, measure.Factor(1.25), soil.SwellFactor)
	assert.Equal(t, map[estimate.LineKey]measure.Factor{estimate.Base: 0.05}, l.Catalogue.Allowances)
	assert.InDelta(t, 0.0127, float64(l.Catalogue.DigTo), 1e-15)
	assert.Equal(t, measure.Factor(0.333), l.Catalogue.LeastPiece)
	assert.Equal(t, measure.CubicYard, l.Disposal.Volume)
	assert.Zero(t, l.Disposal.Mass)
	assert.Equal(t, []pricing.Category{pricing.MaterialsCategory}, l.Taxes[0].On)
	assert.Equal(t, "20", l.Commercial.MarginPercent.String())
	assert.True(t, l.Commercial.MarkupPercent.IsZero())
	assert.Equal(t, []pricing.Equipment{{Key: "plate-compactor", Name: "Plate compactor", HalfDay: 4800, Day: 7500,
		Transport: 2000, Operations: []estimate.Operation{estimate.CompactBase, estimate.PlaceBase}}}, l.Equipment)
	assert.Len(t, l.OffersFor("base-crushed"), 2)
	assert.Empty(t, l.OffersFor("nothing"))
}

func TestWhatAListLeavesOutHasACustomaryValue(t *testing.T) {
	t.Parallel()
	d := smallDocument()
	d.Settings, d.Disposal, d.Materials[1].CompactionFactor = pricing.SettingsDocument{}, nil, nil
	l := compiled(t, d)
	assert.InDelta(t, 0.0127, float64(l.Catalogue.DigTo), 1e-15)                  // half an inch
	assert.InDelta(t, 1.0/3, float64(l.Catalogue.LeastPiece), 1e-15)              // one third of the long side
	assert.Equal(t, measure.Factor(1), l.Catalogue.Materials[1].CompactionFactor) // no compaction
	assert.Nil(t, l.Disposal)
}

func TestAListDoesNotChangeWithItsDocument(t *testing.T) {
	t.Parallel()
	d := smallDocument()
	l := compiled(t, d)
	text, tag := string(l.JSON()), l.ETag()
	spoil := func(d *pricing.Document) {
		d.Name = "other"
		d.Materials[1].Key = "other"
		*d.Materials[1].CompactionFactor = dec("9")
		d.Suppliers[0].Delivery.Fee = dec("1")
		*d.Suppliers[0].Delivery.FreeFrom = dec("1")
		d.Offers[0].Breaks[0].Price = dec("1")
		d.Labour.Rates[0].Hours = dec("1")
		d.Taxes[0].On[0] = "labour"
		*d.Allowances.Base = dec("99")
	}
	spoil(d)
	spoil(l.Document())
	l.JSON()[0] = 'x'
	l.Rates()[0].Operation = "other"
	assert.Equal(t, text, string(l.JSON()))
	assert.Equal(t, tag, l.ETag())
	again, err := l.Document().JSON()
	require.NoError(t, err)
	assert.Equal(t, text, string(again))
	rate, ok, _ := l.Rate(pricing.RateQuery{Operation: estimate.DigTrench})
	require.True(t, ok)
	assert.Equal(t, "1.8", rate.Hours.String())
}

func TestETagsTellDocumentsAndVersionsApart(t *testing.T) {
	t.Parallel()
	one, err := smallDocument().Compile(1)
	require.NoError(t, err)
	same, err := smallDocument().Compile(1)
	require.NoError(t, err)
	two, err := smallDocument().Compile(2)
	require.NoError(t, err)
	d := smallDocument()
	d.Offers[0].Price = dec("38.01")
	dearer, err := d.Compile(1)
	require.NoError(t, err)
	d = smallDocument()
	d.Offers[0].Price = dec("38.0000")
	zeros, err := d.Compile(1)
	require.NoError(t, err)
	assert.Equal(t, one.ETag(), same.ETag())
	assert.Equal(t, one.ETag(), zeros.ETag())
	assert.NotEqual(t, one.ETag(), two.ETag())
	assert.NotEqual(t, one.ETag(), dearer.ETag())
	assert.Regexp(t, `^"[0-9a-f]{32}"$`, one.ETag()) // RFC 9110, 8.8.3: an opaque tag in quotes, not weak
}

func TestThePriceOfAContentFallsAtEveryBreak(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		l := pricing.Sample()
		o := &l.Offers[rapid.IntRange(0, len(l.Offers)-1).Draw(t, "offer")]
		steps := rapid.IntRange(1, 10000).Draw(t, "steps")
		require.False(t, o.PriceAt(steps).Less(o.PriceAt(steps+1)))
		for _, b := range o.Breaks {
			require.True(t, o.PriceAt(b.Steps).Equal(b.Price) || o.PriceAt(b.Steps).Less(b.Price))
		}
	})
}

func TestTheListHoldsWhatTheDocumentSaysOfWorkAndTerms(t *testing.T) {
	t.Parallel()
	l, err := smallDocument().Compile(1)
	require.NoError(t, err)
	assert.Equal(t, 2, l.CrewSize)
	assert.Equal(t, "7.5", l.HoursPerDay.String())
	pallet := l.Offer("edger-pallet")
	assert.Equal(t, 3, pallet.LeadDays)
	assert.Equal(t, "0.5", pallet.HandlingHours.String())
	assert.Equal(t, "pallets", pallet.LoadWith)
	left := l.Surplus("base-crushed")
	require.NotNil(t, left)
	assert.InDelta(t, 1, left.Per.Volume.In(measure.CubicYard), 1e-12)
	assert.Equal(t, "8.00", left.Price.String())
	assert.False(t, left.Cost)
	assert.Nil(t, l.Surplus("pin-6"))
	assert.InDelta(t, 150, float64(l.Hauling[0].Pace/measure.Foot), 1e-9)
	assert.InDelta(t, 4./60, float64(l.Hauling[0].Fill), 1e-12)
	assert.InDelta(t, 0.5/60, float64(l.Hauling[0].Tip), 1e-12)
	assert.InDelta(t, 0.04, float64(l.Hauling[0].SlopeFactor), 1e-12)
	assert.InDelta(t, 28*0.0254, float64(l.Hauling[0].AccessFrom), 1e-12)
	assert.Equal(t, estimate.Lifts{Hand: 50 * measure.Millimetre, Machine: 100 * measure.Millimetre}, l.Catalogue.Lifts)
	marking, ok := l.Hold(pricing.UtilityMarking)
	assert.True(t, ok)
	assert.Equal(t, 3, marking.WorkingDays)
	cure, ok := l.Hold(pricing.JointCure)
	assert.True(t, ok)
	assert.InDelta(t, 24, float64(cure.Hours), 0)
	_, ok = l.Hold(pricing.JointDry)
	assert.False(t, ok)
	c := l.Commercial
	assert.Equal(t, "3", c.DiscountPercent.String())
	assert.Equal(t, "30", c.DepositPercent.String())
	assert.EqualValues(t, 500, c.RoundTo)
	assert.True(t, c.RoundUp)
	assert.Len(t, c.Stages, 2)
	assert.Equal(t, 30, c.ValidDays)
	assert.Equal(t, "Our county", l.Taxes[0].Jurisdiction)
}

func TestARateFitsTheToolTheWayInAndTheUnit(t *testing.T) {
	t.Parallel()
	per := pricing.Content{Quantity: "100 ft2"}
	d := smallDocument()
	d.Labour.Rates = []pricing.RateDocument{
		{Operation: "compact_base", Per: per, Hours: dec("1")},
		{Operation: "compact_base", Tool: "machine", AccessFrom: "36 in", Per: per, Hours: dec("2")},
		{Operation: "compact_base", Tool: "machine", Per: per, Hours: dec("3")},
		{Operation: "compact_base", Tool: "hand", Per: per, Hours: dec("4")},
		{Operation: "compact_base", Soil: "loam", Per: per, Hours: dec("5")},
		{Operation: "lay_slabs", Per: pricing.Content{Count: 10}, Hours: dec("6")},
		{Operation: "lay_slabs", UnitMassTo: "90 lb", Per: pricing.Content{Count: 10}, Hours: dec("7")},
		{Operation: "lay_slabs", UnitMassTo: "40 lb", Per: pricing.Content{Count: 10}, Hours: dec("8")},
	}
	l, err := d.Compile(1)
	require.NoError(t, err)
	for name, c := range map[string]struct {
		q    pricing.RateQuery
		want string
	}{
		"without a tool by hand":                       {pricing.RateQuery{Operation: estimate.CompactBase}, "4"},
		"by machine where the way in is not known":     {pricing.RateQuery{Operation: estimate.CompactBase, Tool: pricing.ByMachine}, "2"},
		"by machine through a wide way":                {pricing.RateQuery{Operation: estimate.CompactBase, Tool: pricing.ByMachine, Access: 36 * measure.Inch}, "2"},
		"by machine through a gate":                    {pricing.RateQuery{Operation: estimate.CompactBase, Tool: pricing.ByMachine, Access: 30 * measure.Inch}, "3"},
		"by hand in a soil with a rate of its own":     {pricing.RateQuery{Operation: estimate.CompactBase, Tool: pricing.ByHand, Soil: "loam"}, "5"},
		"by machine, which the rate of the soil lacks": {pricing.RateQuery{Operation: estimate.CompactBase, Tool: pricing.ByMachine, Soil: "loam"}, "2"},
		"a light slab":                                 {pricing.RateQuery{Operation: estimate.LaySlabs, UnitMass: 40 * measure.Pound}, "8"},
		"a heavy slab":                                 {pricing.RateQuery{Operation: estimate.LaySlabs, UnitMass: 41 * measure.Pound}, "7"},
		"a boulder":                                    {pricing.RateQuery{Operation: estimate.LaySlabs, UnitMass: 100 * measure.Pound}, "6"},
	} {
		rate, ok, _ := l.Rate(c.q)
		require.True(t, ok, name)
		assert.Equal(t, c.want, rate.Hours.String(), name)
	}
	_, ok, _ := l.Rate(pricing.RateQuery{Operation: estimate.LaySlabs, Tool: pricing.ByMachine})
	assert.False(t, ok, "no rate for slabs by machine")
}
