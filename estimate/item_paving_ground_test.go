package estimate_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

const (
	base4     = `"base":{"material":"base","depth":"4 in"}`
	clear6    = `"side_clearance":"6 in"`
	eightBy6  = `{"kind":"rectangle","at":["6 ft","2 ft"],"length":"8 ft","width":"6 ft"}`
	fromThere = `"start":{"at":["6 ft","2 ft"],"direction":0}`
)

// Depth is thickness less reveal, sand and base, rounded up to half an inch; what that adds is base, or sand.
func TestItem17PavingIsDugForUnitSandAndBase(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name             string
		members          []string
		dig, base, sand_ float64
	}{
		{"2 1/4 + 1 + 4 = 7 1/4", []string{base4, sand1}, 7.5, 4.25, 1},
		{"half an inch stands out: 6 3/4", []string{base4, sand1, `"reveal":"1/2 in"`}, 7, 4.25, 1},
		{"no base: sand takes the rest", []string{sand1}, 3.5, 0, 1.25},
		{"nothing under it", nil, 2.5, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			p := pave(t, paving(paved("a", "modular", "running", eightBy6, c.members...)))
			assert.InDelta(t, c.dig, inches(p.DigDepth), near)
			assert.InDelta(t, c.base, inches(p.BaseDepth), near)
			assert.InDelta(t, c.sand_, inches(p.SandDepth), near)
		})
	}
	out := takeoff(t, pavingUnits(plain()), job(paving(paved("a", "modular", "running", eightBy6))))
	assert.Contains(t, codes(out), "rounded_depth_unfilled")
	assert.Contains(t, codes(out), "no_base")
}

// 8 x 6 ft with 6 in more all round are 9 x 7 = 63 ft2 to dig 7 1/2 in deep: 63 x 7.5 / 324 = 1.458333 yd3.
func TestItem18PavingIsDugWithItsClearanceAndItsLayersCoverThat(t *testing.T) {
	t.Parallel()
	out := takeoff(t, pavingUnits(plain()), job(paving(paved("a", "modular", "running", eightBy6, base4, sand1, clear6))))
	d := dug(t, out, "a", estimate.FieldPart)
	assert.InDelta(t, 63, ft2(d.Area), near)
	assert.InDelta(t, 472.5/324, yd3(d.Volume), near)
	assert.InDelta(t, 63*4.25/324, yd3(measure.Volume(line(t, out, estimate.Base, "base").Measured.Value)), near)
	assert.InDelta(t, 63*1.0/324, yd3(measure.Volume(line(t, out, estimate.BeddingSand, "sand").Measured.Value)), near)
	assert.InDelta(t, 472.5/324, yd3(measure.Volume(done(out, estimate.DigTrench))), near)
	assert.InDelta(t, 63, measure.Area(done(out, estimate.ScreedSand)).In(measure.SquareFoot), near)
	assert.InDelta(t, 48, measure.Area(done(out, estimate.LayPaving)).In(measure.SquareFoot), near)
}

// A bed of 20 x 10 ft dug 2 in: of it 63 ft2 are dug deeper for the paving.
func TestItem19TheDeepestDiggingCounts(t *testing.T) {
	t.Parallel()
	garage := bed("garage", rectangle("0 ft", "0 ft", "20 ft", "10 ft"), `"dig":"2 in"`, stone2)
	out := takeoff(t, pavingUnits(plain()), job(beds(garage), paving(paved("a", "modular", "running", eightBy6, `"in_bed":"garage"`, base4, sand1, clear6))))
	assert.InDelta(t, 63, ft2(dug(t, out, "a", estimate.FieldPart).Area), near)
	assert.InDelta(t, 137, ft2(dug(t, out, "garage", estimate.BedPart).Area), near)
	// A bed dug deeper than the paving takes all of the digging; the layers are laid all the same.
	deep := strings.Replace(garage, `"2 in"`, `"12 in"`, 1)
	out = takeoff(t, pavingUnits(plain()), job(beds(deep), paving(paved("a", "modular", "running", eightBy6, base4, sand1, clear6))))
	assert.InDelta(t, 200, ft2(dug(t, out, "garage", estimate.BedPart).Area), near)
	assert.InDelta(t, 0, ft2(dug(t, out, "a", estimate.FieldPart).Area), near)
	assert.InDelta(t, 63*4.25/324, yd3(measure.Volume(line(t, out, estimate.Base, "base").Measured.Value)), near)
	// Of two areas dug alike the first takes what they share: 8 x 6 ft twice, 4 ft apart.
	out = takeoff(t, pavingUnits(plain()), job(paving(
		paved("a", "modular", "running", rectangle("0 ft", "0 ft", "8 ft", "6 ft"), base4),
		paved("b", "modular", "running", rectangle("4 ft", "0 ft", "8 ft", "6 ft"), base4))))
	assert.InDelta(t, 48, ft2(dug(t, out, "a", estimate.FieldPart).Area), near)
	assert.InDelta(t, 24, ft2(dug(t, out, "b", estimate.FieldPart).Area), near)
	assert.Contains(t, codes(out), "paving_overlaps")
}

// A post of 6 in across in the area: its ground is neither paved nor dug, and units are cut round it. A planter that
// stands on the paving is dug and paved under.
func TestItem19PavingGoesRoundObstaclesAndUnderPlanters(t *testing.T) {
	t.Parallel()
	post := math.Pi / 16 // ft2
	text := job(paving(paved("a", "modular", "running", eightBy6, fromThere, base4, sand1, clear6)))
	obstacle := estimate.Obstacle{Kind: estimate.Post, At: outline.Point{X: 10 * measure.Foot, Y: 5 * measure.Foot}, Diameter: 6 * measure.Inch}
	out, faults := takeWith(t, pavingUnits(plain()), text, func(j *estimate.Job) { j.Obstacles = []estimate.Obstacle{obstacle} })
	require.Empty(t, faults)
	p := &out.Paving[0]
	assert.InDelta(t, 48-post, ft2(p.Field.Area), near)
	assert.InDelta(t, 48-post, ft2(p.Ground), near)
	assert.InDelta(t, 63-post, ft2(dug(t, out, "a", estimate.FieldPart).Area), near)
	assert.InDelta(t, (63-post)*4.25/324, yd3(measure.Volume(line(t, out, estimate.Base, "base").Measured.Value)), near)
	free := pave(t, paving(paved("a", "modular", "running", eightBy6, fromThere, base4, sand1, clear6)))
	assert.Greater(t, p.Field.Cut, free.Field.Cut)
	assert.Greater(t, p.Field.SawPasses, free.Field.SawPasses)
	out, faults = takeWith(t, pavingUnits(plain()), text, func(j *estimate.Job) {
		j.Planters = []estimate.Planter{{ID: "pot", Length: 2 * measure.Foot, Width: 1 * measure.Foot, At: outline.Point{X: 10 * measure.Foot, Y: 5 * measure.Foot}}}
	})
	require.Empty(t, faults)
	assert.InDelta(t, 63, ft2(dug(t, out, "a", estimate.FieldPart).Area), near)
	assert.InDelta(t, 48, ft2(out.Paving[0].Field.Area), near)
	// An obstacle elsewhere changes nothing; one in the border is told.
	out, _ = takeWith(t, pavingUnits(plain()), text, func(j *estimate.Job) {
		far := obstacle
		far.At.X = 40 * measure.Foot
		j.Obstacles = []estimate.Obstacle{far}
	})
	assert.Equal(t, free.Field.Cut, out.Paving[0].Field.Cut)
	bordered := job(paving(paved("a", "modular", "running", eightBy6, base4, `"border":{"course":"soldier"}`)))
	out, _ = takeWith(t, pavingUnits(plain()), bordered, func(j *estimate.Job) {
		edge := obstacle
		edge.At = outline.Point{X: 10 * measure.Foot, Y: 2.3 * measure.Foot}
		j.Obstacles = []estimate.Obstacle{edge}
	})
	assert.Contains(t, codes(out), "opening_in_border")
}

// Paving takes its ground out of the stone of the beds that it lies in, border and all.
func TestItem24PavingTakesItsGroundOutOfTheStone(t *testing.T) {
	t.Parallel()
	garage := bed("garage", rectangle("0 ft", "0 ft", "20 ft", "10 ft"), stone2)
	for _, more := range []string{`"in_bed":"garage"`, `"border":{"course":"sailor"}`, clear6} {
		out := takeoff(t, pavingUnits(plain()), job(beds(garage), paving(paved("a", "modular", "running", eightBy6, base4, more))))
		assert.InDelta(t, 152, ft2(out.Beds[0].NetStoneArea), near)
		assert.InDelta(t, 152*2.0/324, yd3(measure.Volume(line(t, out, estimate.DecorativeStone, "stone").Measured.Value)), near)
	}
	// A paved area half on a bed takes half of its ground there.
	out := takeoff(t, pavingUnits(plain()), job(beds(garage), paving(paved("a", "modular", "running", rectangle("16 ft", "2 ft", "8 ft", "6 ft"), base4))))
	assert.InDelta(t, 200-24, ft2(out.Beds[0].NetStoneArea), near)
	// On the edging, 4 in wide along side 1: a notice, and the ground is taken once: 200 - 10/3 - (24 - 2).
	edged := bed("garage", rectangle("0 ft", "0 ft", "20 ft", "10 ft"), stone2, `"edging":{"unit":"edger","course":"sailor","sides":[1]}`)
	out = takeoff(t, pavingUnits(plain()), job(beds(edged), paving(paved("a", "modular", "running", rectangle("16 ft", "2 ft", "8 ft", "6 ft"), base4))))
	assert.InDelta(t, 200-10.0/3-22, ft2(out.Beds[0].NetStoneArea), near)
	assert.Contains(t, codes(out), "paving_on_edging")
	// On slabs with gaps the slabs are drawn one by one, so that no ground is taken twice: a row of 4 slabs of 1 ft, 1 ft
	// apart, 7 ft long; paving covers from the middle of the third slab on.
	out = takeoff(t, pavingUnits(plain()), job(beds(garage), slabs(slabGroup("s", "slab", 1, 4, "1 ft", "1 ft", `"gap":"1 ft"`)),
		paving(paved("a", "modular", "running", rectangle("5.5 ft", "1 ft", "4 ft", "1 ft"), base4))))
	assert.InDelta(t, 200-2.5-4, ft2(out.Beds[0].NetStoneArea), near)
	assert.Contains(t, codes(out), "paving_overlaps")
}

func TestItem08PavingOutsideItsBedIsRefusedAtItsOutline(t *testing.T) {
	t.Parallel()
	garage := bed("garage", rectangle("0 m", "0 m", "6 m", "3 m"))
	for _, c := range []struct {
		name, length string
		want         []string
	}{
		{"a millimetre over the line", "4.001 m", nil},
		{"two millimetres over the line", "4.002 m", []string{"/paving/0/outline outside_bed"}},
	} {
		_, _, faults := take(t, pavingUnits(plain()), job(beds(garage), paving(paved("a", "brick", "stack", rectangle("2 m", "1 m", c.length, "2 m"), `"in_bed":"garage"`))))
		var got []string
		for _, f := range faults {
			got = append(got, f.Pointer+" "+f.Code)
		}
		assert.Equal(t, c.want, got, c.name)
	}
}

// A round tree pit of 2 ft in a landing of 8 x 6 ft is left out of paving, digging and layers; a border goes round it too:
// 4 in wide, its joint none, inside the landing and outside the pit.
func TestItem26HolesOfTheOutlineAreLeftOut(t *testing.T) {
	t.Parallel()
	pit := `{"kind":"rectangle","length":"8 ft","width":"6 ft","holes":[{"kind":"circle","centre":["4 ft","3 ft"],"radius":"1 ft"}]}`
	out := takeoff(t, pavingUnits(plain()), job(paving(paved("a", "edger", "running", pit, fromOrigin, base4))))
	p := &out.Paving[0]
	assert.InDelta(t, 48-math.Pi, ft2(p.Field.Area), near)
	assert.InDelta(t, 48-math.Pi, ft2(dug(t, out, "a", estimate.FieldPart).Area), near)
	assert.InDelta(t, (48-math.Pi)*4/324, yd3(measure.Volume(line(t, out, estimate.Base, "base").Measured.Value)), near)
	assert.InDelta(t, 28+2*math.Pi, measure.Length(done(out, estimate.SetOut)).In(measure.Foot), near)
	// With a clearance of 6 in the pit is dug to a radius of 6 in.
	out = takeoff(t, pavingUnits(plain()), job(paving(paved("a", "edger", "running", pit, fromOrigin, base4, clear6))))
	assert.InDelta(t, 63-math.Pi/4, ft2(dug(t, out, "a", estimate.FieldPart).Area), near)
	// The border leaves 88 x 64 in less a circle of 16 in.
	out = takeoff(t, pavingUnits(plain()), job(paving(paved("a", "edger", "running", pit, `"border":{"course":"sailor","curves":"cut"}`))))
	p = &out.Paving[0]
	assert.InDelta(t, (88*64-math.Pi*256)/144, ft2(p.Field.Area), near)
	assert.InDelta(t, (304+math.Pi*32)/12, feet(p.EdgeLength), near)
	assert.Len(t, p.Border.Runs, 5)
	assert.InDelta(t, (96*72-88*64+math.Pi*(256-144))/144, ft2(p.BorderArea), near)
	assert.NotContains(t, codes(out), "border_overlaps_itself")
	// A pit so near the edge that the borders meet: what is left is still the ground that neither takes.
	near6 := strings.Replace(pit, `["4 ft","3 ft"]`, `["4 ft","18 in"]`, 1)
	out = takeoff(t, pavingUnits(plain()), job(paving(paved("a", "edger", "running", near6, `"border":{"course":"sailor","curves":"cut"}`))))
	p = &out.Paving[0]
	// The circle of 16 in round (48, 18) reaches to y = 2, below the line at 4: the segment of height 2 is not taken twice.
	half := math.Acos(14.0 / 16)
	segment := 256*half - 14*16*math.Sin(half)
	assert.InDelta(t, (88*64-(math.Pi*256-segment))/144, ft2(p.Field.Area), 1e-6)
	assert.Contains(t, codes(out), "border_overlaps_itself")
}
