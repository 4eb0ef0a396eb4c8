package estimate_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate"
	"bedline/estimate/measure"
)

// linesOf are the lines of an operation.
func linesOf(out *estimate.Takeoff, op estimate.Operation) []estimate.WorkLine {
	var list []estimate.WorkLine
	for _, w := range out.Work {
		if w.Operation == op {
			list = append(list, w)
		}
	}
	return list
}

func area2(v float64) float64 { return measure.Area(v).In(measure.SquareFoot) }

// workedBed is 20 x 6 ft dug 3 in under stone and fabric, edged along side 0 (20 ft, 30 edgers of 8 x 4 in without joints)
// on 4 in of base and 1 in of sand, beside a group of 2 x 3 slabs of 12 in on 3 in of base.
const workedBed = `{"ground":{"soil":"loam","cover":"turf","haul":"50 ft"},"beds":[{"id":"b","outline":{"kind":"rectangle","length":"20 ft","width":"6 ft"},
	"dig":"3 in","stone":{"material":"stone","depth":"3 in"},"fabric":{"material":"fabric","under":"bed"},
	"edging":{"unit":"edger","course":"sailor","sides":[0],"base":{"material":"base","depth":"4 in"},"sand":{"material":"sand","depth":"1 in"},"joint":{"width":"1/8 in","fill":"fill"}}}],
	"slabs":[{"id":"s","unit":"slab-heavy","rows":2,"columns":3,"at":["30 ft","0 ft"],"base":{"material":"base","depth":"3 in"}}]}`

func TestQuantitiesOfEveryOperationOfAWorkedBed(t *testing.T) {
	t.Parallel()
	out := takeoff(t, plain(), workedBed)
	// The trench is 20 ft x 4 in = 6.666667 ft2, 2 + 4 + 1 = 7 in deep; the pad 6 x 4 ft = 24 ft2, 5 in; the bed 120 ft2, of
	// which 113.333333 are its own to dig.
	assert.InDelta(t, 1, done(out, estimate.LocateUtilities), 0)
	assert.InDelta(t, 52+20, feet(measure.Length(done(out, estimate.SetOut))), near)
	assert.InDelta(t, 144, area2(done(out, estimate.StripCover)), near)
	assert.InDelta(t, (20.0/3*7+24*5)/324, yd3(measure.Volume(done(out, estimate.DigTrench))), near)
	assert.InDelta(t, 340.0/3*3/324, yd3(measure.Volume(done(out, estimate.DigBed))), near)
	assert.InDelta(t, 1.25*(20.0/3*7+24*5+340)/324, yd3(measure.Volume(done(out, estimate.HaulSpoil))), near)
	assert.InDelta(t, 144, area2(done(out, estimate.TrimFormation)), near, "trench, pad, and the floor under stone")
	assert.InDelta(t, 340.0/3, area2(done(out, estimate.LayFabric)), 1e-6)
	assert.InDelta(t, (20.0/3*4+24*3)/324, yd3(measure.Volume(done(out, estimate.PlaceBase))), near)
	assert.InDelta(t, 20.0/3, area2(done(out, estimate.ScreedSand)), near)
	assert.InDelta(t, 6, done(out, estimate.LaySlabs), 0)
	assert.InDelta(t, done(out, estimate.FillJoints), done(out, estimate.WetAndCure), 0, "every filled joint is wetted")
	assert.Positive(t, done(out, estimate.FillJoints))
	assert.InDelta(t, 340.0/3*3/324, yd3(measure.Volume(done(out, estimate.PlaceStone))), 1e-6)
	assert.InDelta(t, 1, done(out, estimate.CleanUp), 0)

	// By hand in lifts of 2 in: 4 in are 2, 3 in are 2 as well. By machine in lifts of 4 in one each.
	compact := linesOf(out, estimate.CompactBase)
	require.Len(t, compact, 1)
	assert.InDelta(t, 20.0/3*2+24*2, area2(compact[0].Quantity.Value), near)
	require.NotNil(t, compact[0].Machine)
	assert.InDelta(t, 20.0/3+24, area2(compact[0].Machine.Quantity.Value), near)
	assert.Equal(t, estimate.Working{Label: "s: base of 3 in in the pad, lifts of at most 2 in", Expression: "24 ft2 x 2 lifts", Result: "48 ft2"}, compact[0].Workings[1])
	assert.Equal(t, estimate.Working{Label: "b: base of 4 in in the trench, lifts of at most 4 in", Expression: "6.667 ft2 x 1 lift", Result: "6.667 ft2"}, compact[0].Machine.Workings[0])
}

func TestBedsAreTrimmedOnlyWhereSomethingIsLaid(t *testing.T) {
	t.Parallel()
	bed := func(more string) string {
		return `{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"beds":[{"id":"b","outline":{"kind":"rectangle","length":"20 ft","width":"6 ft"}` + more + `}]}`
	}
	for name, c := range map[string]struct {
		more string
		want float64 // ft2
	}{
		"an open bed that is only dug":                   {`,"dig":"8 in"`, 0},
		"a bed under stone":                              {`,"dig":"2 in","stone":{"material":"stone","depth":"2 in"}`, 120},
		"a bed under fabric":                             {`,"dig":"2 in","fabric":{"material":"fabric","under":"bed"}`, 120},
		"a bed under stone that is not dug":              {`,"stone":{"material":"stone","depth":"2 in"}`, 0},
		"the trench of an open bed":                      {`,"dig":"3 in","edging":{"unit":"edger","course":"sailor","sides":[0],"base":{"material":"base","depth":"4 in"}}`, 20.0 / 3},
		"the trench that lies in the deeper open bed":    {`,"dig":"9 in","edging":{"unit":"edger","course":"sailor","sides":[0],"base":{"material":"base","depth":"4 in"}}`, 20.0 / 3},
		"a trench in the deeper bed under stone is once": {`,"dig":"9 in","stone":{"material":"stone","depth":"9 in"},"edging":{"unit":"edger","course":"sailor","sides":[0],"base":{"material":"base","depth":"4 in"}}`, 120},
	} {
		assert.InDelta(t, c.want, area2(done(takeoff(t, plain(), bed(c.more)), estimate.TrimFormation)), near, name)
	}
}

// An inch too much is a lift more, a hair is none.
func TestLiftsAreWhole(t *testing.T) {
	t.Parallel()
	for depth, lifts := range map[string][2]float64{"1 in": {1, 1}, "2 in": {1, 1}, "50.8 mm": {1, 1}, "2.5 in": {2, 1}, "4 in": {2, 1}, "100 mm": {2, 1}, "4.5 in": {3, 2}, "150 mm": {3, 2}, "6 in": {3, 2}, "12 in": {6, 3}} {
		c := plain()
		c.DigTo = 0
		out := takeoff(t, c, `{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"slabs":[{"id":"s","unit":"slab","rows":3,"columns":4,"at":["0 ft","0 ft"],"base":{"material":"base","depth":"`+depth+`"}}]}`)
		line := linesOf(out, estimate.CompactBase)[0]
		assert.InDelta(t, 12*lifts[0], area2(line.Quantity.Value), near, depth)
		if lifts[0] == lifts[1] {
			assert.Nil(t, line.Machine, depth)
		} else {
			assert.InDelta(t, 12*lifts[1], area2(line.Machine.Quantity.Value), near, depth)
		}
	}
	// A unit of 2 in on 3 5/8 in of base takes 5 5/8 in, dug 6: the 3/8 go into the two lifts.
	out := takeoff(t, plain(), `{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"slabs":[{"id":"s","unit":"slab","rows":3,"columns":4,"at":["0 ft","0 ft"],"base":{"material":"base","depth":"3 5/8 in"}}]}`)
	assert.InDelta(t, 24, area2(done(out, estimate.CompactBase)), near)
	assert.InDelta(t, 12*4.0/324, yd3(measure.Volume(done(out, estimate.PlaceBase))), near)
	// Dug in whole feet the same takes 12 in: 10 in of base by hand in 4 lifts, none above 3 in; by machine in 2.
	c := plain()
	c.DigTo = 12 * measure.Inch
	coarse := linesOf(takeoff(t, c, `{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"slabs":[{"id":"s","unit":"slab","rows":3,"columns":4,"at":["0 ft","0 ft"],"base":{"material":"base","depth":"4 in"}}]}`), estimate.CompactBase)[0]
	assert.InDelta(t, 12*4, area2(coarse.Quantity.Value), near)
	assert.InDelta(t, 12*2, area2(coarse.Machine.Quantity.Value), near)
	c = plain()
	c.Lifts = estimate.Lifts{Hand: 75 * measure.Millimetre, Machine: 150 * measure.Millimetre}
	c.DigTo = 0
	out = takeoff(t, c, `{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"slabs":[{"id":"s","unit":"slab","rows":3,"columns":4,"at":["0 ft","0 ft"],"base":{"material":"base","depth":"300 mm"}}]}`)
	line := linesOf(out, estimate.CompactBase)[0]
	assert.InDelta(t, 12*4, area2(line.Quantity.Value), near, "the lifts of the list")
	assert.InDelta(t, 12*2, area2(line.Machine.Quantity.Value), near)
	tops := 0
	for _, m := range out.SetOut.Gauges[0].Marks {
		if m.Kind == estimate.TopOfLift {
			tops++
		}
	}
	assert.Equal(t, 1, tops, "the gauge marks the lifts of the machine: the top of the last is that of the base")
}

func TestEachUnitIsLaidOnALineOfItsOwn(t *testing.T) {
	t.Parallel()
	group := func(id, unit string, at int) string {
		return fmt.Sprintf(`{"id":"%s","unit":"%s","rows":1,"columns":2,"at":["%d ft","0 ft"]}`, id, unit, at)
	}
	out := takeoff(t, plain(), `{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"slabs":[`+group("a", "slab", 0)+`,`+group("b", "slab-heavy", 10)+`,`+group("c", "slab", 20)+`]}`)
	lines := linesOf(out, estimate.LaySlabs)
	require.Len(t, lines, 2)
	assert.Equal(t, "slab", lines[0].Material.Key)
	assert.InDelta(t, 4, lines[0].Quantity.Value, 0)
	assert.Equal(t, []estimate.Zone{{ID: "a", Share: estimate.Amount{Kind: estimate.CountAmount, Value: 2}}, {ID: "c", Share: estimate.Amount{Kind: estimate.CountAmount, Value: 2}}}, lines[0].Zones)
	assert.Equal(t, "slab-heavy", lines[1].Material.Key)
	assert.InDelta(t, 2, lines[1].Quantity.Value, 0)
}

// What is brought in: base 0.302469 yd3 x 1.25 (compaction) at 1500 kg/m3, 6 slabs of 24 x 24 x 2 in and 97 lb. The
// allowances of the list come on top, since what is thrown away has been carried too.
func TestAllThatIsLaidIsBroughtIn(t *testing.T) {
	t.Parallel()
	text := `{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"slabs":[{"id":"s","unit":"slab-heavy","rows":2,"columns":3,"at":["0 ft","0 ft"],"base":{"material":"base","depth":"4 in"}}]}`
	c := plain()
	lines := linesOf(takeoff(t, c, text), estimate.HaulMaterials)
	require.Len(t, lines, 1)
	byKey := map[string]estimate.Carried{}
	for _, one := range lines[0].Carried {
		byKey[one.Material.Key] = one
	}
	require.Len(t, byKey, 2)
	assert.InDelta(t, 24*4.0/324*1.25, yd3(byKey["base"].Volume), near)
	assert.InDelta(t, 24*4.0/324*1.25*0.764554857984*1500, float64(byKey["base"].Mass), 1e-6)
	assert.InDelta(t, 6*97, byKey["slab-heavy"].Mass.In(measure.Pound), near)
	assert.InDelta(t, 6*4.0/6, byKey["slab-heavy"].Volume.In(measure.CubicFoot), near)
	assert.InDelta(t, 24*4.0/324*1.25*27+4, measure.Volume(lines[0].Quantity.Value).In(measure.CubicFoot), near)
	c = plain()
	c.Allowances = map[estimate.LineKey]measure.Factor{estimate.Base: 0.5}
	assert.InDelta(t, 24*4.0/324*1.25*1.5, yd3(linesOf(takeoff(t, c, text), estimate.HaulMaterials)[0].Carried[1].Volume), near)
	assert.Empty(t, linesOf(takeoff(t, plain(), `{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"beds":[{"id":"b","outline":{"kind":"rectangle","length":"9 ft","width":"9 ft"},"dig":"2 in"}]}`), estimate.HaulMaterials))
}

func TestWaysOfAJob(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		more string
		want estimate.Ground
	}{
		"nothing said":                {``, estimate.Ground{Haul: 30, HaulIn: 30}},
		"a climb falls the other way": {`,"haul_slope_percent":5`, estimate.Ground{Haul: 30, Climb: 0.05, HaulIn: 30, ClimbIn: -0.05}},
		"a way in of its own":         {`,"haul_in":"12 m"`, estimate.Ground{Haul: 30, HaulIn: 12}},
		"a way in that climbs":        {`,"haul_slope_percent":-2,"haul_in":"0 m","haul_in_slope_percent":8`, estimate.Ground{Haul: 30, Climb: -0.02, HaulIn: 0, ClimbIn: 0.08}},
		"a narrow way in":             {`,"access":"900 mm"`, estimate.Ground{Haul: 30, HaulIn: 30, Access: 0.9}},
	} {
		_, job, faults := take(t, plain(), `{"ground":{"soil":"loam","cover":"bare","haul":"30 m"`+c.more+`},"beds":[{"id":"b","outline":{"kind":"rectangle","length":"9 ft","width":"9 ft"}}]}`)
		require.Empty(t, faults, name)
		g := job.Ground
		assert.InDeltaSlice(t, []float64{float64(c.want.Haul), float64(c.want.Climb), float64(c.want.HaulIn), float64(c.want.ClimbIn), float64(c.want.Access)},
			[]float64{float64(g.Haul), float64(g.Climb), float64(g.HaulIn), float64(g.ClimbIn), float64(g.Access)}, 1e-12, name)
	}
	for more, fault := range map[string]string{
		`,"access":"0 in"`:                "/ground/access not_positive",
		`,"access":36`:                    "/ground/access unit_missing",
		`,"haul_in":"-1 ft"`:              "/ground/haul_in negative",
		`,"haul_slope_percent":51`:        "/ground/haul_slope_percent out_of_range",
		`,"haul_slope_percent":"5 %"`:     "/ground/haul_slope_percent wrong_type",
		`,"haul_in_slope_percent":-50.01`: "/ground/haul_in_slope_percent out_of_range",
		`,"haul_slope":5`:                 "/ground/haul_slope unknown_member",
	} {
		_, _, faults := take(t, plain(), `{"ground":{"soil":"loam","cover":"bare","haul":"30 m"`+more+`},"beds":[{"id":"b","outline":{"kind":"rectangle","length":"9 ft","width":"9 ft"}}]}`)
		require.Len(t, faults, 1, more)
		assert.Equal(t, fault, faults[0].Pointer+" "+faults[0].Code)
	}
}

// The formation is never more than what is dug, and compacting by machine never more than by hand with the usual lifts.
func TestWorkStaysWithinTheGround(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		out := valid(t, drawSite(t).write(us, still, 0))
		var dug, base float64
		for _, d := range out.Diggings {
			dug += float64(d.Area)
		}
		require.LessOrEqual(t, done(out, estimate.TrimFormation), dug+1e-6)
		for _, l := range out.Lines {
			if l.Key == estimate.Base {
				base += l.Measured.Value
			}
		}
		for _, w := range linesOf(out, estimate.CompactBase) {
			// Lifts of 2 in, and half an inch that the rounding of the digging may add: no fewer than the volume needs.
			require.GreaterOrEqual(t, w.Quantity.Value*2.5*0.0254, base-1e-9)
			if w.Machine != nil {
				require.Less(t, w.Machine.Quantity.Value, w.Quantity.Value)
			}
		}
		for _, op := range []estimate.Operation{estimate.LayEdging, estimate.LaySlabs, estimate.LayPaving} {
			for _, w := range linesOf(out, op) {
				sum := 0.
				for _, z := range w.Zones {
					sum += z.Share.Value
				}
				require.InDelta(t, w.Quantity.Value, sum, 1e-9)
				require.NotNil(t, w.Material)
			}
		}
	})
}
