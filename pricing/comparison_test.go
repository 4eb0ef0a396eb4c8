package pricing_test

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
	"bedline/pricing"
	"bedline/pricing/money"
	"bedline/pricing/supply"
)

func compared(t require.TestingT, text string, list *pricing.List) (*pricing.SupplyComparison, []document.Fault) {
	root, err := document.Parse([]byte(text))
	require.NoError(t, err, text)
	c, faults, err := pricing.CompareSupply(background, new(supply.Workplace), pricing.Fixed(list), root, []byte(text))
	require.NoError(t, err, text)
	require.True(t, (c == nil) == (len(faults) > 0), "an answer or faults: %s", text)
	return c, faults
}

func comparisonOf(t require.TestingT, list *pricing.List, requirements ...string) *pricing.SupplyComparison {
	c, faults := compared(t, `{"requirements":[`+strings.Join(requirements, ",")+`]}`, list)
	require.Empty(t, faults)
	return c
}

func placed(faults []document.Fault) []string {
	var out []string
	for _, f := range faults {
		out = append(out, f.Pointer+" "+f.Code)
	}
	return out
}

// 18 ft3 of gravel with testdata/price-lists/pencil.json. In bags of 0.75 ft3: 24 at 4.98 = 119.52, fetched for nothing.
// In bulk 0.667 yd3, but no less than 1.5 yd3 is sold: 1.5 x 42.00 = 63.00, and a drop of 65.00: 128.00.
// 25 bags cost 124.50, 26 bags 129.48: up to 25 x 0.75 = 18.75 ft3 = 0.694 yd3 the bags cost less.
func TestBagsBesideBulkByHand(t *testing.T) {
	t.Parallel()
	c := comparisonOf(t, listFile(t, "pencil.json"), `{"material":"gravel","quantity":"18 ft3"}`)
	assert.Equal(t, money.Amount(11952), c.Supply.Plan.Landed)
	require.Len(t, c.Supply.Comparison, 1)
	b := c.Supply.Comparison[0]
	assert.Equal(t, money.Amount(11952), b.NeedBags)
	assert.Equal(t, money.Amount(12800), b.NeedBulk)
	assert.InDelta(t, 18.75, measure.Volume(b.Above).In(measure.CubicFoot), 1e-9)
	assert.Equal(t, "24 bags of 0.75 ft3 at 4.98 = 119.52; 1.5 x 1 yd3 in bulk at 42.00 + 1 drop 65.00 = 128.00; bags win up to 0.694 yd3, bulk costs no more just above it", b.Sentence)
	assert.Equal(t, []estimate.Working{
		{Label: "gravel from shop", Expression: "24 bags of 0.75 ft3 at 4.98", Result: "119.52"},
		{Label: "pick-up from shop", Expression: "1 trip for 1800 lb and goods of 119.52", Result: "0.00"},
		{Label: "landed cost", Expression: "119.52 + 0.00", Result: "119.52"},
	}, c.Workings)
	require.Len(t, c.Materials, 1)
	assert.InDelta(t, 18, measure.Volume(c.Materials[0].Bought.Value).In(measure.CubicFoot), 1e-9)
	assert.InDelta(t, 0, c.Materials[0].Surplus.Value, 1e-12)
}

// The same gravel as step functions, to four times the need, 72 ft3 (2 m3 are 70.6 ft3). Bags: every 0.75 ft3 a step of
// 4.98, 96 of them. Bulk: 1.5 yd3 128.00, 2 yd3 84 + 65 = 149.00, 2.5 yd3 105 + 65 = 170.00, 3 yd3 126 + 65 = 191.00, cut
// at 72 ft3 = 2.667 yd3; all below the payload of 10,000 lb, which is 3.7 yd3.
func TestStepsByHand(t *testing.T) {
	t.Parallel()
	c := comparisonOf(t, listFile(t, "pencil.json"), `{"material":"gravel","quantity":"18 ft3"}`)
	s := c.Supply.Comparison[0].Steps
	require.NotNil(t, s)
	assert.False(t, s.Cut)
	assert.InDelta(t, 72, s.UpTo.In(measure.CubicFoot), 1e-9)
	feet := func(step supply.Step) float64 { return measure.Volume(step.UpTo).In(measure.CubicFoot) }
	require.Len(t, s.Bags, 96)
	for i, step := range s.Bags {
		assert.InDelta(t, 0.75*float64(i+1), feet(step), 1e-9)
		assert.Equal(t, money.Amount(498*(i+1)), step.Cost)
	}
	require.Len(t, s.Bulk, 4)
	for i, want := range []struct {
		feet float64
		cost money.Amount
	}{{40.5, 12800}, {54, 14900}, {67.5, 17000}, {72, 19100}} {
		assert.InDelta(t, want.feet, feet(s.Bulk[i]), 1e-9)
		assert.Equal(t, want.cost, s.Bulk[i].Cost)
	}
	// The need is the end of the 24th step of bags and lies in the first of bulk.
	needed := c.Supply.Comparison[0].Needed
	assert.Equal(t, 23, pricing.Holds(s.Bags, needed))
	assert.Equal(t, 0, pricing.Holds(s.Bulk, needed))
	assert.Equal(t, -1, pricing.Holds(s.Bulk, 10*needed))
	assert.Equal(t, -1, pricing.Holds(nil, needed))
}

func TestQuantitiesAreTurnedIntoWhatIsBought(t *testing.T) {
	t.Parallel()
	list := listFile(t, "pencil.json")
	foot := float64(measure.CubicFoot)
	for _, tt := range []struct {
		name, requirement  string
		measured, required float64
		workings           string
	}{
		{"a volume is loose", `{"material":"gravel","quantity":"15 ft3"}`, 15 * foot, 15 * foot, ""},
		{"nothing is added for waste unless asked", `{"material":"gravel","quantity":"15 ft3","waste_percent":0}`, 15 * foot, 15 * foot, ""},
		{"10 percent of waste", `{"material":"gravel","quantity":"15 ft3","waste_percent":10}`, 15 * foot, 16.5 * foot, "0.556 yd3 x 1.1 (waste) = 0.611 yd3"},
		{"a compacted volume takes the factor 1.2", `{"material":"gravel","quantity":"15 ft3","compacted":true}`, 15 * foot, 18 * foot, "0.556 yd3 x 1.2 (compaction) = 0.667 yd3"},
		{"both: 15 x 1.2 x 1.1 = 19.8", `{"material":"gravel","quantity":"15 ft3","compacted":true,"waste_percent":10}`, 15 * foot, 19.8 * foot, "0.556 yd3 x 1.2 (compaction) x 1.1 (waste) = 0.733 yd3"},
		{"a mass by its density: 1800 lb / 100 lb/ft3", `{"material":"gravel","quantity":"1800 lb"}`, 18 * foot, 18 * foot, "1800 lb / 100 lb/ft3 = 0.667 yd3"},
		{"a count", `{"material":"slab","quantity":30}`, 30, 30, ""},
		{"a count with breakage", `{"material":"slab","quantity":30,"waste_percent":5}`, 30, 31.5, "30 x 1.05 (waste) = 31.5"},
		{"an area of units, face by face", `{"material":"slab","quantity":"45 ft2"}`, 45, 45, "45 ft2 / 1 ft2 = 45"},
		{"an area that does not come out whole", `{"material":"brick","quantity":"1 ft2"}`, 4.5, 4.5, "1 ft2 / 0.222 ft2 = 4.5"},
		{"a length of units, long side by long side", `{"material":"brick","quantity":"6 ft"}`, 9, 9, "6 ft / 0.667 ft = 9"},
		{"a mass of units", `{"material":"slab","quantity":"400 lb"}`, 20, 20, "400 lb / 20 lb = 20"},
		{"rolls", `{"material":"cloth","quantity":3}`, 3, 3, ""},
		{"an area of fabric: 500 / (4 x 50)", `{"material":"cloth","quantity":"500 ft2"}`, 2.5, 2.5, "500 ft2 / 200 ft2 = 2.5"},
		{"a length of fabric: 120 / 50", `{"material":"cloth","quantity":"120 ft"}`, 2.4, 2.4, "120 ft / 50 ft = 2.4"},
		{"pieces", `{"material":"pin","quantity":120}`, 120, 120, ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			c := comparisonOf(t, list, tt.requirement)
			require.Len(t, c.Requirements, 1)
			r := c.Requirements[0]
			assert.InEpsilon(t, tt.measured, r.Measured.Value, 1e-12)
			assert.InEpsilon(t, tt.required, r.Required.Value, 1e-12)
			var workings []string
			for _, w := range r.Workings {
				workings = append(workings, w.Expression+" = "+w.Result)
			}
			assert.Equal(t, tt.workings, strings.Join(workings, "; "))
			require.Len(t, c.Materials, 1)
			m := c.Materials[0]
			assert.InEpsilon(t, tt.required, m.Required.Value, 1e-12)
			assert.GreaterOrEqual(t, m.Bought.Value, m.Required.Value*(1-2e-9))
			assert.InDelta(t, m.Bought.Value-m.Required.Value, m.Surplus.Value, 1e-9)
		})
	}
}

// 4.5 bricks are 5; 120 pins are 3 bags of 50.
func TestPartsOfPacksAreRoundedUpOnce(t *testing.T) {
	t.Parallel()
	c := comparisonOf(t, listFile(t, "pencil.json"), `{"material":"brick","quantity":"1 ft2"}`, `{"material":"pin","quantity":70}`, `{"material":"brick","quantity":"1 ft2"}`, `{"material":"pin","quantity":50}`)
	require.Len(t, c.Materials, 2, "one for each material, however often it is asked for")
	assert.Equal(t, "brick", c.Materials[0].Material.Key)
	assert.InDelta(t, 9, c.Materials[0].Required.Value, 0)
	assert.InDelta(t, 9, c.Materials[0].Bought.Value, 0, "two times 4.5 are 9, not 10")
	assert.InDelta(t, 150, c.Materials[1].Bought.Value, 0)
	// 9 x 0.50 + 3 x 9.80
	assert.Equal(t, money.Amount(450+2940), c.Supply.Plan.Landed)
}

func TestFaultsOfRequirementsComeTogetherWithTheirPlaces(t *testing.T) {
	t.Parallel()
	list := listFile(t, "pencil.json")
	_, faults := compared(t, `{"requirements":[
		{"material":"gravvel","quantity":"1 yd3"},
		{"material":"gravel","quantity":"0 yd3"},
		{"material":"gravel","quantity":"-2 lb"},
		{"material":"gravel","quantity":30},
		{"material":"gravel","quantity":"300 ft2"},
		{"material":"gravel","quantity":"10 ft"},
		{"material":"gravel","quantity":"1 bucket"},
		{"material":"gravel","quantity":"10001 m3"},
		{"material":"gravel","quantity":"2 ton","compacted":true},
		{"material":"slab","quantity":0},
		{"material":"slab","quantity":-5},
		{"material":"slab","quantity":2.5},
		{"material":"slab","quantity":"30"},
		{"material":"slab","quantity":"-30 ft2"},
		{"material":"slab","quantity":"1 yd3"},
		{"material":"slab","quantity":2000000},
		{"material":"brick","quantity":"400 lb"},
		{"material":"pin","quantity":"10 ft"},
		{"material":"slab","quantity":3,"compacted":true},
		{"material":"slab","quantity":3,"waste_percent":-1},
		{"material":"slab"},
		{"quantity":3},
		{"material":"slab","quantity":3,"wast_percent":1},
		{"material":"slab","quantity":null}
	],"supply":{"prefer":"best"}}`, list)
	assert.Equal(t, []string{
		"/requirements/0/material unknown_material",
		"/requirements/1/quantity not_positive",
		"/requirements/2/quantity not_positive",
		"/requirements/3/quantity unit_missing",
		"/requirements/4/quantity no_conversion",
		"/requirements/5/quantity no_conversion",
		"/requirements/6/quantity bad_quantity",
		"/requirements/7/quantity out_of_range",
		"/requirements/8/compacted conflict",
		"/requirements/9/quantity out_of_range",
		"/requirements/10/quantity out_of_range",
		"/requirements/11/quantity wrong_type",
		"/requirements/12/quantity bad_quantity",
		"/requirements/13/quantity not_positive",
		"/requirements/14/quantity wrong_kind",
		"/requirements/15/quantity out_of_range",
		"/requirements/16/quantity no_conversion",
		"/requirements/17/quantity wrong_kind",
		"/requirements/18/compacted conflict",
		"/requirements/19/waste_percent out_of_range",
		"/requirements/20/quantity missing",
		"/requirements/21/material missing",
		"/requirements/22/wast_percent unknown_member",
		"/requirements/23/quantity null",
		"/supply/prefer unknown_value",
	}, placed(faults))
	assert.Equal(t, "is no material of the price list: did you mean gravel?", faults[0].Detail)
	for _, f := range faults {
		if f.Code != document.CodeNull && f.Pointer != "/requirements/20/quantity" {
			assert.NotEmpty(t, f.Example, f.Pointer)
		}
	}
}

func TestWhatCannotBeBoughtIsNamed(t *testing.T) {
	t.Parallel()
	list := listFile(t, "pencil.json")
	// Nobody offers straw; every requirement that names it is told.
	_, faults := compared(t, `{"requirements":[{"material":"straw","quantity":"1 yd3"},{"material":"gravel","quantity":"1 yd3"},{"material":"straw","quantity":"100 lb"}]}`, list)
	assert.Equal(t, []string{"/requirements/0/material no_offer", "/requirements/2/material no_offer"}, placed(faults))
	assert.Equal(t, `"gravel"`, faults[0].Example, "a material like it that somebody offers")
	// The heap delivers from 50.00 on, and no amount of what costs nothing comes to that.
	_, faults = compared(t, `{"requirements":[{"material":"gift","quantity":"1 yd3"}]}`, list)
	assert.Equal(t, []string{"/requirements/0/material no_offer"}, placed(faults))
	assert.Contains(t, faults[0].Detail, "can't supply this much")
	// With peat for 60.00 it does: 60.00 + 10.00.
	c := comparisonOf(t, list, `{"material":"gift","quantity":"1 yd3"}`, `{"material":"peat","quantity":"1 yd3"}`)
	assert.Equal(t, money.Amount(7000), c.Supply.Plan.Landed)
	assert.Empty(t, c.Supply.Comparison[0].Steps.Bulk, "alone the gift can't be had at any quantity")
	assert.Equal(t, "sold neither in bags nor in bulk", c.Supply.Comparison[0].Sentence)
}

func TestLimitsOfRequirements(t *testing.T) {
	t.Parallel()
	list := listFile(t, "pencil.json")
	many := func(n int) string {
		return `{"requirements":[` + strings.TrimSuffix(strings.Repeat(`{"material":"slab","quantity":1},`, n), ",") + `]}`
	}
	_, faults := compared(t, many(0), list)
	assert.Equal(t, []string{"/requirements out_of_range"}, placed(faults))
	c, faults := compared(t, many(100), list)
	require.Empty(t, faults)
	assert.InDelta(t, 100, c.Materials[0].Bought.Value, 0)
	_, faults = compared(t, many(101), list)
	assert.Equal(t, []string{"/requirements out_of_range"}, placed(faults))
	_, faults = compared(t, `{"requirements":[{"material":"slab","quantity":1}],"price_list":"winter"}`, list)
	assert.Equal(t, []string{"/price_list unknown_price_list"}, placed(faults))
	_, faults = compared(t, `[]`, list)
	assert.Equal(t, []string{" wrong_type"}, placed(faults))
}

func TestPreferencesAreKept(t *testing.T) {
	t.Parallel()
	list := listFile(t, "pencil.json")
	for prefer, want := range map[string]money.Amount{"cheapest": 11952, "bags": 11952, "bulk": 12800} {
		c, faults := compared(t, `{"requirements":[{"material":"gravel","quantity":"18 ft3"}],"supply":{"prefer":"`+prefer+`"}}`, list)
		require.Empty(t, faults)
		assert.Equal(t, want, c.Supply.Plan.Landed, prefer)
	}
}

// A thousand bags of 0.75 ft3 hold 750 ft3, so the steps of 1000 ft3 end there, short of the need.
func TestStepsEndAtTheirLimitAndThatIsSaid(t *testing.T) {
	t.Parallel()
	list := listFile(t, "pencil.json")
	c := comparisonOf(t, list, `{"material":"gravel","quantity":"1000 ft3"}`)
	s := c.Supply.Comparison[0].Steps
	assert.True(t, s.Cut)
	assert.Len(t, s.Bags, pricing.MostSteps)
	assert.InDelta(t, 750, s.UpTo.In(measure.CubicFoot), 1e-6)
	assert.InDelta(t, 750, measure.Volume(s.Bulk[len(s.Bulk)-1].UpTo).In(measure.CubicFoot), 1e-6)
	require.Len(t, c.Notices, 1)
	assert.Equal(t, "steps_end_early", c.Notices[0].Code)
	assert.Equal(t, "The steps of cost of gravel end at 27.778 yd3, before the 37.037 yd3 that are needed: more of them are not listed.", c.Notices[0].Message)
}

// The steps of a material, whatever else is bought, cost what an order of that quantity in that form costs.
func TestStepsCostWhatOrdersCost(t *testing.T) {
	t.Parallel()
	list := pricing.Sample()
	keys := []string{"pebble-20", "base-crushed", "sand-bedding", "bark-fine", "sand-polymeric"}
	rapid.Check(t, func(t *rapid.T) {
		key := rapid.SampledFrom(keys).Draw(t, "material")
		litres := rapid.IntRange(10, 2000).Draw(t, "litres")
		at := float64(rapid.IntRange(1, 2000).Draw(t, "at")) / 1000
		form := rapid.SampledFrom([]string{"bags", "bulk"}).Draw(t, "form")
		c := comparisonOf(t, list, fmt.Sprintf(`{"material":%q,"quantity":"%d L"}`, key, litres))
		s := c.Supply.Comparison[0].Steps
		steps := s.Bags
		if form == "bulk" {
			steps = s.Bulk
		}
		if at > float64(s.UpTo) {
			return
		}
		i := pricing.Holds(steps, measure.Volume(at))
		require.GreaterOrEqual(t, i, 0)
		one, faults := compared(t, fmt.Sprintf(`{"requirements":[{"material":%q,"quantity":"%d mL"}],"supply":{"prefer":%q}}`, key, int(at*1e6), form), list)
		require.Empty(t, faults)
		require.Equal(t, one.Supply.Plan.Landed, steps[i].Cost, "%s %v %v", key, at, form)
	})
}

func FuzzCompareSupply(f *testing.F) {
	f.Add(`{"requirements":[{"material":"gravel","quantity":"18 ft3","waste_percent":5,"compacted":true},{"material":"slab","quantity":30}],"supply":{"prefer":"bags"},"units":"metric"}`)
	f.Add(`{"requirements":[{"material":"cloth","quantity":"120 ft"},{"material":"brick","quantity":"45 ft2"}]}`)
	f.Add(`{"requirements":[{"material":"gift","quantity":"1 yd3"}],"price_list":"pencil","price_list_version":1}`)
	list := listFile(f, "pencil.json")
	f.Fuzz(func(t *testing.T, text string) {
		root, err := document.Parse([]byte(text))
		if err != nil {
			return
		}
		c, faults, err := pricing.CompareSupply(background, new(supply.Workplace), pricing.Fixed(list), root, []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		if (c == nil) != (len(faults) > 0) {
			t.Fatalf("an answer %v beside %d faults", c != nil, len(faults))
		}
		if c != nil && c.Supply.Plan.Landed != c.Supply.Plan.Goods+c.Supply.Plan.Delivery {
			t.Fatal("the parts do not add up")
		}
	})
}

func TestTheTimeOfARequestEndsAComparison(t *testing.T) {
	t.Parallel()
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	text := []byte(`{"requirements":[{"material":"pebble-20","quantity":"2 yd3"}]}`)
	root, err := document.Parse(text)
	require.NoError(t, err)
	_, faults, err := pricing.CompareSupply(ctx, new(supply.Workplace), pricing.Fixed(pricing.Sample()), root, text)
	assert.Empty(t, faults)
	assert.ErrorIs(t, err, context.Canceled)
}
