package pricing_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate"
	"bedline/estimate/course"
	"bedline/estimate/measure"
	"bedline/pricing"
)

// The sample job testdata/jobs/garage-bed.json by hand. A bed of 22 ft x 6 ft 6 in, its two upper corners rounded at
// 24 in, edged at the right, the top and the left with units of 8 x 4 x 2 in in a sailor course; six slabs of 16 in in
// it. Every figure below is worked out in the comments with pencil and table; none is copied from the program. Six
// figures are kept, so a working can be off in the sixth place. pi = 3.141593.
const figures = 2e-6

func TestGarageBedGeometryByHand(t *testing.T) {
	t.Parallel()
	out := quoteOf(t, jobFile(t, "garage-bed.json")).Takeoff
	ft2 := func(a measure.Area) float64 { return a.In(measure.SquareFoot) }
	feet := func(l measure.Length) float64 { return l.In(measure.Foot) }
	inches := func(l measure.Length) float64 { return l.In(measure.Inch) }

	require.Len(t, out.Beds, 1)
	// Area: 22 x 6.5 = 143 ft2. A corner rounded at 2 ft loses 2 x 2 - pi x 2 x 2 / 4 = 4 - 3.141593 = 0.858407 ft2.
	// 143 - 2 x 0.858407 = 141.283186 ft2.
	assert.InEpsilon(t, 141.283186, ft2(out.Beds[0].Area), figures)
	// Bed line: bottom 22, right 6.5 - 2 = 4.5, arc 2 pi x 2 / 4 = 3.141593, top 22 - 4 = 18, arc 3.141593, left 4.5.
	// 22 + 4.5 + 3.141593 + 18 + 3.141593 + 4.5 = 55.283186 ft.
	assert.InEpsilon(t, 55.283186, feet(out.Beds[0].Perimeter), figures)
	// Edged: all but the bottom: 33.283186 ft.
	assert.InEpsilon(t, 33.283186, feet(out.Beds[0].EdgedLength), figures)

	// Runs. A unit with its joint takes 8 1/8 in.
	// Side 1: 54 in. (54 + 1/8) / 8 1/8 = 6.66: 6 units; 54 - 6 x 8.125 = 5.25 in: a closer of 5 1/4 in. The least
	// piece is 0.333 x 8 = 2.664 in, so it stays. 7 units, 6 joints.
	// Corner 2: 90 degrees at 24 in, cut. A chord of 8 in: 2 asin(4/24) = 2 x 9.594068 = 19.188136; of 1/8 in:
	// 2 asin(0.0625/24) = 2 x 0.149208 = 0.298416; turn 19.486552 degrees. (90 + 0.298416) / 19.486552 = 4.63: 4 units;
	// 90 - 4 x 19.486552 = 12.053792 degrees: a closer of 48 sin 6.026896 = 48 x 0.104995 = 5.0398 in. 5 units, 4 joints.
	// Side 2: 216 in. 216.125 / 8.125 = 26.6: 26 units; 216 - 26 x 8.125 = 4.75 in: a closer of 4 3/4 in. 27 units, 26 joints.
	// Corner 3 as corner 2, side 3 as side 1.
	c := out.Courses[0].Course
	require.Len(t, c.Runs, 5)
	want := []struct {
		side, corner, full, closers, joints int
		closer, cut                         float64
	}{
		{1, -1, 6, 1, 6, 5.25, 1},
		{-1, 2, 4, 1, 4, 5.0398, 5},
		{2, -1, 26, 1, 26, 4.75, 1},
		{-1, 3, 4, 1, 4, 5.0398, 5},
		{3, -1, 6, 1, 6, 5.25, 1},
	}
	for i, w := range want {
		r := c.Runs[i]
		assert.Equal(t, []int{w.side, w.corner, w.full, w.closers, w.joints}, []int{r.Side, r.Corner, r.Full, r.Closers, r.Joints}, "run %d", i)
		assert.InDelta(t, w.closer, inches(r.Closer), 5e-5)
		assert.InDelta(t, w.cut, float64(r.Units.Cut), 0)
	}
	arc := c.Runs[1]
	assert.Equal(t, course.LaidCut, arc.Laying)
	assert.InEpsilon(t, 19.486552, arc.UnitTurn.Degrees(), figures)
	// Wedge cut: half the turn, 9.743276 degrees; 4 tan 9.743276 = 4 x 0.171712 = 0.686848 in off the inner face, two
	// cuts leave 8 - 1.373696 = 6.626304 in.
	assert.InEpsilon(t, 9.743276, arc.Wedge.Degrees(), figures)
	assert.InEpsilon(t, 0.686848, inches(arc.Off), 2e-5)
	assert.InEpsilon(t, 6.626304, inches(arc.ShortFace), 1e-5)
	// Units: 7 + 5 + 27 + 5 + 7 = 51, of which 1 + 5 + 1 + 5 + 1 = 13 are cut.
	assert.Equal(t, course.Units{Whole: 38, Cut: 13, Total: 51}, c.Units)
	// Joints: 6 + 4 + 26 + 4 + 6 = 46 in the runs, 4 between them: 50, each 4 in long: 200 in = 16.666667 ft.
	assert.Equal(t, 50, c.Joints)
	assert.InEpsilon(t, 16.666667, feet(c.JointLength), figures)
	// Saw passes: 5 closers, 2 wedge cuts at each of 4 + 4 joints in the arcs: 5 + 16 = 21.
	assert.Equal(t, 21, c.SawPasses)

	// Trench: 2 + 1 + 3 = 6 in deep, 1 + 4 + 1 = 6 in wide. Pad: 1 3/4 + 1 + 2 = 4 3/4 in, dug 5 in: base 2 1/4 in.
	assert.InDelta(t, 6, inches(out.Courses[0].TrenchDepth), 1e-9)
	assert.InDelta(t, 6, inches(out.Courses[0].TrenchWidth), 1e-9)
	assert.InDelta(t, 5, inches(out.Slabs[0].DigDepth), 1e-9)
	assert.InDelta(t, 2.25, inches(out.Slabs[0].BaseDepth), 1e-9)

	// Ground. Trench: (4.5 + 18 + 4.5) x 0.5 = 13.5 ft2; each arc pi/4 (25^2 - 19^2) = 0.785398 x 264 = 207.345 in2 =
	// 1.439897 ft2. 13.5 + 2.879793 = 16.379793 ft2.
	// Of it outside the bed line: 27 x 1/12 = 2.25; each arc 0.785398 x (25^2 - 24^2) = 38.484510 in2 = 0.267254 ft2: 2.784507.
	// Pad: 3 x 16 + 2 x 2 = 52 in by 2 x 16 + 2 = 34 in: 1768 in2 = 12.277778 ft2.
	// Bed: 141.283186 - (16.379793 - 2.784507) - 12.277778 = 115.410122 ft2.
	require.Len(t, out.Diggings, 3)
	for i, d := range []struct {
		part                estimate.DiggingPart
		depth, area, volume float64
	}{
		// Volumes: ft2 x in / 324.
		{estimate.TrenchPart, 6, 16.379793, 0.303329}, // 98.278758 / 324
		{estimate.BedPart, 2, 115.410122, 0.712408},   // 230.820244 / 324
		{estimate.PadPart, 5, 12.277778, 0.189472},    // 61.388890 / 324
	} {
		got := out.Diggings[i]
		assert.Equal(t, d.part, got.Part)
		assert.InDelta(t, d.depth, inches(got.Depth), 1e-9)
		assert.InEpsilon(t, d.area, ft2(got.Area), figures)
		assert.InEpsilon(t, d.volume, got.Volume.In(measure.CubicYard), figures)
	}
	// Spoil: 0.303329 + 0.712408 + 0.189472 = 1.205209 yd3 in the ground, x 1.25 = 1.506511 loose; it weighs
	// 1.205209 x 27 x 95 = 3091.36 lb.
	assert.InEpsilon(t, 1.205209, out.Spoil.Bank.In(measure.CubicYard), figures)
	assert.InEpsilon(t, 1.506511, out.Spoil.Loose.In(measure.CubicYard), figures)
	assert.InEpsilon(t, 3091.36, out.Spoil.Mass.In(measure.Pound), figures)

	// Course: 27 x 4/12 = 9 ft2; each arc 0.785398 x (24^2 - 20^2) = 138.230 in2 = 0.959931 ft2: 10.919862 ft2.
	// Slabs: 6 x 256 in2 = 10.666667 ft2. Stone: 141.283186 - 10.919862 - 10.666667 = 119.696657 ft2.
	assert.InEpsilon(t, 119.696657, ft2(out.Beds[0].NetStoneArea), figures)

	// Fabric under bed and trench: the bed line with 1 in more at the edged sides: 22 ft 2 in by 6 ft 7 in. Across 79 in
	// strips of 48 in with laps of 6 in: (79 - 6) / 42 = 1.74: 2 strips, each the full 22 ft 2 in, since the second
	// begins at 42 in, below the arcs. The other way it would be (266 - 6) / 42 = 6.2: 7 strips of 6 ft 7 in and more cloth.
	// 2 x 22.166667 x 4 = 177.333333 ft2 of cloth from one roll of 50 ft. Covered: 141.283186 + 2.784507 = 144.067693 ft2.
	f := out.Fabrics[0].Layout
	require.Len(t, f.Strips, 2)
	assert.InEpsilon(t, 22.166667, feet(f.Strips[0].Length), figures)
	assert.InEpsilon(t, 22.166667, feet(f.Strips[1].Length), figures)
	assert.InEpsilon(t, 177.333333, ft2(f.ClothArea), figures)
	assert.InEpsilon(t, 144.067693, ft2(f.CoverArea), figures)
	assert.InEpsilon(t, 22.166667, feet(f.SeamLength), figures)
	// Pins: round 22.166667 + 2 x 4.5 + 18 + 2 x (pi/2 x 25/12 = 3.272492) = 55.711651, with the seam 77.878318 ft,
	// at 3 ft: 25.96: 26.
	assert.Equal(t, 26, f.Pins)
}

func TestGarageBedMaterialsByHand(t *testing.T) {
	t.Parallel()
	q := quoteOf(t, jobFile(t, "garage-bed.json"))
	tests := []struct {
		key                estimate.LineKey
		material           string
		measured, required float64 // yd3 or a count
		orders             string
		amount             string
	}{
		// 51 units, 3 % breakage: 52.53: 53 at 1.55 = 82.15.
		{estimate.Edging, "edger-8x4", 51, 52.53, "stone-edger-8x4 53", "82.15"},
		// Trench 16.379793 x 3 = 49.139379, pad 12.277778 x 2.25 = 27.625001; / 324 = 0.236927 yd3; x 1.25 compaction
		// x 1.05 = 0.310967. A ton, 2000/2600 = 0.769 yd3, in bulk for 27.00.
		{estimate.Base, "base-crushed", 0.236927, 0.310967, "stone-base-crushed-bulk 1.0", "27.00"},
		// (16.379793 + 12.277778) x 1 / 324 = 0.088449 yd3, x 1.17 x 1.10 = 0.113834 = 273.2 lb at 2400 lb/yd3: 6 bags of
		// 50 lb at 4.90 = 29.40.
		{estimate.BeddingSand, "sand-bedding", 0.088449, 0.113834, "shop-sand-bedding-bag 6", "29.40"},
		// 50 joints of 4 x 1/8 x 2 = 1 in3: 50 in3 = 0.00107167 yd3, x 1.15 = 0.00123242 = 2.96 lb: one bag of 50 lb.
		{estimate.JointFill, "sand-polymeric", 0.00107167, 0.00123242, "shop-sand-polymeric-bag 1", "27.50"},
		// 27.3 pins (26 and 5 %): 28 at 0.28 = 7.84; a bag of 50 is 9.80.
		{estimate.Pins, "pin-6", 26, 27.3, "shop-pin-6-each 28", "7.84"},
		// 6 slabs, 3 % breakage: 6.18: 7 at 5.40 = 37.80.
		{estimate.Slabs, "slab-16", 6, 6.18, "shop-slab-16 7", "37.80"},
		// 119.696657 x 2 / 324 = 0.738868 yd3; x 1.08 = 0.797977. A ton, 0.769231 yd3, in bulk for 49.00, and the missing
		// 0.028746 yd3 = 0.776 ft3 in 2 bags of 0.5 ft3 at 6.40 = 12.80.
		{estimate.DecorativeStone, "pebble-20", 0.738868, 0.797977, "shop-pebble-20-bag 2, stone-pebble-20-bulk 1.0", "61.80"},
	}
	for _, test := range tests {
		l := lineOf(t, q, test.key, test.material)
		measured, required := l.Material.Measured.Value, l.Material.Required.Value
		if l.Material.Measured.Kind == estimate.VolumeAmount {
			measured, required = yd3(measured), yd3(required)
		}
		assert.InEpsilon(t, test.measured, measured, 5e-6, test.material)
		assert.InEpsilon(t, test.required, required, 5e-6, test.material)
		var orders []string
		for _, o := range l.Orders {
			orders = append(orders, o.Offer.Key+" "+o.Count.String())
		}
		assert.Equal(t, test.orders, strings.Join(orders, ", "))
		assert.Equal(t, test.amount, q.List.Currency.Format(l.Amount))
	}
	// One roll of 50 ft: 44.3 ft are cut from it, and 177.33 x 1.05 = 186.2 ft2 are less than its 200.
	f := lineOf(t, q, estimate.Fabric, "fabric-woven")
	assert.InDelta(t, 1, f.Material.Required.Value, 0)
	assert.Equal(t, "42.00", q.List.Currency.Format(f.Amount))
	// Slabs and base are shared out by the zones: 49.139379 and 27.625001 of 324ths of a yard.
	base := lineOf(t, q, estimate.Base, "base-crushed").Material.Zones
	require.Len(t, base, 2)
	assert.InEpsilon(t, 49.139379/324, yd3(base[0].Share.Value), figures)
	assert.InEpsilon(t, 27.625001/324, yd3(base[1].Share.Value), figures)
}

// Fabric, pins, slabs, bags of sand and of joint fill come from the shop: 42.00 + 7.84 + 37.80 + 29.40 + 27.50 =
// 144.54. Units, base and pebble may come from three places:
//   - all from the shop: 144.54 + 87.45 + 88.40 + 281.60 = 601.99, 3847 lb, 3 trips of 12.00 at 1500 lb: 637.99;
//   - base and pebble in bulk from the north yard, 38.00 + 68.00, 5200 lb: 4 trips of 18.00 or one drop for 65.00; units
//     from the shop, one trip: 144.54 + 87.45 + 106.00 + 65.00 + 12.00 = 414.99;
//   - base and 1 1/2 tons of pebble from the stone yard, 27.00 + 73.50, with the units, 82.15: 5286 lb, 4 trips of 24.00
//     or one drop for 90.00 (182.65 is above its least order of 150.00): 144.54 + 182.65 + 90.00 + 12.00 = 429.19;
//   - a ton of each and the units from the stone yard, 27.00 + 49.00 + 82.15 = 158.15: 4286 lb, 3 trips of 24.00; two
//     bags of pebble from the shop, 12.80, still one trip: 144.54 + 12.80 + 158.15 + 72.00 + 12.00 = 399.49, the least.
func TestGarageBedBuyingByHand(t *testing.T) {
	t.Parallel()
	q := quoteOf(t, jobFile(t, "garage-bed.json"))
	f := q.List.Currency.Format
	assert.Equal(t, []string{"315.49", "84.00", "399.49"}, []string{f(q.Supply.Plan.Goods), f(q.Supply.Plan.Delivery), f(q.Supply.Plan.Landed)})
	uses := map[string]string{}
	for _, u := range q.Supply.Plan.Suppliers {
		uses[u.Supplier] = u.Way.String() + " " + f(u.Goods) + " " + f(u.Charge)
	}
	assert.Equal(t, map[string]string{"stone-yard": "picked_up 158.15 72.00", "shop": "picked_up 157.34 12.00"}, uses)
}

func TestGarageBedLabourByHand(t *testing.T) {
	t.Parallel()
	q := quoteOf(t, jobFile(t, "garage-bed.json"))
	tests := []struct {
		op          estimate.Operation
		hours, cost string
	}{
		{estimate.LocateUtilities, "0.50", "19.00"}, // once
		{estimate.SetOut, "0.52", "19.76"},          // 55.283186 + 2 x (52 + 34) / 12 = 69.616519 ft x 0.75 / 100 = 0.522124
		{estimate.StripCover, "2.16", "82.08"},      // turf: 144.067693 ft2 x 1.5 / 100 = 2.161015
		{estimate.DigTrench, "1.12", "42.56"},       // trench and pad: 0.492801 yd3 x 2.27 = 1.118658
		{estimate.DigBed, "1.25", "47.50"},          // 0.712408 x 1.75 = 1.246714
		// 3091.4 lb by 300: 10.3, so 11 trips; 4.5 min + 60 / 120 + 0.75 + 60 / 120 = 6.25 min each: 68.75 min = 1.145833
		{estimate.HaulSpoil, "1.15", "43.70"},
		{estimate.TrimFormation, "0.58", "22.04"}, // all that is dug: 144.067693 x 0.4 / 100 = 0.576271
		// By 300 lb: edgers 52.53 x 5.4 = 283.7: 1 trip; slabs 6.18 x 37.6 = 232.4: 1; base 0.310967 yd3 of 2600 lb = 808.5: 3;
		// bedding sand 0.113834 of 2400 = 273.2: 1; joint sand, a few pounds: 1; pebble 0.797977 of 2600 = 2074.7: 7. 14 x
		// 6.25 min = 87.5 min = 1.458333
		{estimate.HaulMaterials, "1.46", "55.48"},
		{estimate.LayFabric, "0.43", "16.34"},   // 144.067693 x 0.3 / 100 = 0.432203
		{estimate.PlaceBase, "0.14", "5.32"},    // 0.236927 x 0.6 = 0.142156
		{estimate.CompactBase, "0.45", "17.10"}, // 3 in are 2 lifts of 2 in, 2 in are one: (16.379793 x 2 + 12.277778) x 1 / 100 = 0.450374
		{estimate.ScreedSand, "0.43", "16.34"},  // 28.657571 x 1.5 / 100 = 0.429864
		{estimate.LayEdging, "2.30", "87.40"},   // 51 x 4.5 / 100 = 2.295
		{estimate.LaySlabs, "1.50", "57.00"},    // 6 x 2.5 / 10
		{estimate.CutUnits, "1.26", "47.88"},    // 21 x 0.6 / 10 with the saw
		{estimate.FillJoints, "0.08", "3.04"},   // 16.666667 ft x 0.5 / 100 = 0.083333
		{estimate.WetAndCure, "0.02", "0.76"},   // 16.666667 ft x 0.1 / 100 = 0.016667
		{estimate.PlaceStone, "0.48", "18.24"},  // 0.797977 x 0.6 = 0.478786
		{estimate.CleanUp, "1.50", "57.00"},     // once
	}
	for _, test := range tests {
		l := workOf(t, q, test.op)
		assert.Equal(t, test.hours, l.Hours.Pad(2).String(), test.op)
		assert.Equal(t, test.cost, q.List.Currency.Format(l.Amount), test.op)
	}
	assert.Len(t, q.Takeoff.Work, len(tests))
}

func TestGarageBedTotalsByHand(t *testing.T) {
	t.Parallel()
	q := quoteOf(t, jobFile(t, "garage-bed.json"))
	f := q.List.Currency.Format
	totals := q.Totals
	// Hours: 0.50 + 0.52 + 2.16 + 1.12 + 1.25 + 1.15 + 0.58 + 1.46 + 0.43 + 0.14 + 0.45 + 0.43 + 2.30 + 1.50 + 1.26 + 0.08 +
	// 0.02 + 0.48 + 1.50 = 17.33.
	assert.Equal(t, "17.33", totals.Hours.Pad(2).String())
	// 82.15 + 27.00 + 29.40 + 27.50 + 42.00 + 7.84 + 37.80 + 61.80.
	assert.Equal(t, "315.49", f(totals.Materials))
	assert.Equal(t, "84.00", f(totals.Delivery))
	assert.Equal(t, "55.00", f(totals.Equipment)) // the saw: half a day 45.00, transport 10.00
	assert.Equal(t, "658.54", f(totals.Labour))   // 17.33 x 38.00
	assert.Equal(t, "37.75", f(totals.Disposal))  // 1.506511 yd3: 1.51 x 25.00
	assert.Equal(t, "1150.78", f(totals.Direct))
	assert.Equal(t, "57.54", f(totals.Contingency)) // 5 %: 57.539
	assert.Equal(t, "120.83", f(totals.Overhead))   // 10 % of 1208.32: 120.832
	assert.Equal(t, "569.64", f(totals.Profit))     // 1329.15 / 0.7 = 1898.79, less 1329.15
	assert.Equal(t, "1898.79", f(totals.BeforeTax))
	assert.Equal(t, "31.23", f(totals.Tax)) // 6 % of 1898.79 x 315.49 / 1150.78 = 520.5593: 31.2336
	assert.Equal(t, "1930.02", f(totals.Price))

	// Tax by line: 31.23 x amount / 315.49 = 0.0989889 of each.
	// 82.15: 8.1319; 27.00: 2.6727; 29.40: 2.9103; 27.50: 2.7222; 42.00: 4.1575; 7.84: 0.7761; 37.80: 3.7418; 61.80: 6.1175.
	// Cents down: 8.13 + 2.67 + 2.91 + 2.72 + 4.15 + 0.77 + 3.74 + 6.11 = 31.20; the three left go to the largest
	// remainders: fabric 0.0075, pebble 0.0075 and pins 0.0061.
	want := map[estimate.LineKey]string{estimate.Edging: "8.13", estimate.Base: "2.67", estimate.BeddingSand: "2.91", estimate.JointFill: "2.72",
		estimate.Fabric: "4.16", estimate.Pins: "0.78", estimate.Slabs: "3.74", estimate.DecorativeStone: "6.12"}
	for i := range q.Lines {
		l := &q.Lines[i]
		if l.Category == pricing.MaterialsCategory {
			assert.Equal(t, want[l.Key], f(l.Tax), l.Key)
		} else {
			assert.Equal(t, "0.00", f(l.Tax), l.Key)
		}
	}
}
