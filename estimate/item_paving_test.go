package estimate_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate"
	"bedline/estimate/bond"
	"bedline/estimate/measure"
)

// Small fields laid on paper, with units of 100 x 100 mm (tile) and 200 x 100 mm (brick) without joints.
func TestItem26FieldsAreCountedAsOnPaper(t *testing.T) {
	t.Parallel()
	metre := rectangle("0 m", "0 m", "1 m", "1 m")
	for _, c := range []struct {
		name, unit, bond, outline string
		members                   []string
		whole, cut, bought, saw   int
	}{
		{"ten rows of ten in stack bond", "tile", "stack", metre, []string{fromOrigin}, 100, 0, 100, 0},
		// Even rows hold 5; odd rows 4 and a half at each end. Two halves and a saw cut are longer than a brick.
		{"running bond ends every other row in halves", "brick", "running", metre, []string{fromOrigin}, 45, 10, 55, 10},
		{"the sides of a unit may be named either way round", "across", "running", metre, []string{fromOrigin}, 45, 10, 55, 10},
		{"running bond without an offset is stack bond", "brick", "running", metre, []string{fromOrigin, `"offset":0`}, 50, 0, 50, 0},
		// Rows 0, 3, 6, 9 hold 5; the other six 4 with 66.7 mm at one end and 133.3 at the other. Two of 66.7 come from one
		// brick, 66.7 + 3 + 133.3 = 203 do not: 6 of the long pieces take 6 bricks, 6 of the short ones 3.
		{"third bond ends its rows in thirds", "brick", "third", metre, []string{fromOrigin}, 44, 12, 44 + 6 + 3, 12},
		{"without offcuts every cut unit is bought", "brick", "third", metre, []string{fromOrigin, `"reuse_offcuts":false`}, 44, 12, 56, 12},
		{"basket weave of 4 x 2 squares of two", "brick", "basket_weave", rectangle("0 m", "0 m", "0.8 m", "0.4 m"), []string{fromOrigin}, 16, 0, 16, 0},
		// Drawn on squared paper: of 16 squares 12 are under 6 whole bricks; halves at (2,0), (2,3), (3,3) and (0,3).
		{"herringbone in a square of two lengths", "brick", "herringbone_90", rectangle("0 m", "0 m", "400 mm", "400 mm"), []string{fromOrigin}, 6, 4, 10, 4},
		// A slab on its corner touches the middles of the sides of a square of its diagonal; a triangle is left in each
		// corner, as high as half a slab, so that no two share one, each cut along both sides of the corner.
		{"a slab on its corner in a square of its diagonal", "slab", "stack", rectangle("0 in", "0 in", "16.970563 in", "16.970563 in"),
			[]string{`"start":{"at":["8.4852815 in","0 in"]}`, `"direction":45`}, 1, 4, 5, 8},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			p := pave(t, paving(paved("a", c.unit, c.bond, c.outline, c.members...)))
			f := p.Field
			assert.Equal(t, [4]int{c.whole, c.cut, c.bought, c.saw}, [4]int{f.Whole, f.Cut, f.Bought.Units, f.SawPasses})
			assert.InDelta(t, float64(p.Area.Outline.Area()), float64(f.LaidArea), 2e-9, "no joints: all ground is under units")
			assert.Zero(t, f.Search.Tried, "start and direction are given")
		})
	}
}

func TestItem26RowsRunAlongSide0UnlessTheRequestSaysOtherwise(t *testing.T) {
	t.Parallel()
	// A square on its corner: side 0 runs at 45 degrees, side 1 at 135. The points of the second run clockwise.
	square := `{"kind":"polygon","points":[["0 m","0 m"],["2 m","2 m"],["0 m","4 m"],["-2 m","2 m"]]}`
	for _, c := range []struct {
		name    string
		members []string
		degrees float64
	}{
		{"a start alone", []string{`"start":{"at":["0 m","1 m"]}`}, 45},
		{"a start with its direction", []string{`"start":{"at":["0 m","1 m"],"direction":10}`}, 10},
		{"a start and the direction of the area", []string{`"start":{"at":["0 m","1 m"]}`, `"direction":20`}, 20},
		{"along a side", []string{`"start":{"at":["0 m","1 m"]}`, `"along_side":1`}, 135},
		{"a direction alone", []string{`"direction":-30`}, -30},
		{"along a side without a start", []string{`"along_side":2`}, -135},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			p := pave(t, paving(paved("a", "brick", "running", square, c.members...)))
			assert.InDelta(t, c.degrees, p.Field.Direction.Degrees(), 1e-9)
		})
	}
	// Nothing given: the search begins along side 0.
	p := pave(t, paving(paved("a", "brick", "running", square)))
	assert.InDelta(t, 45, p.Field.Search.First.Direction.Degrees(), 1e-9)
	assert.Greater(t, p.Field.Search.Tried, 1)
	// Where side 0 is an arc the first straight side counts.
	p = pave(t, paving(paved("a", "brick", "running", `{"kind":"path","start":["0 m","0 m"],"segments":[{"arc_to":["2 m","0 m"],"radius":"1.2 m","turn":"left"},{"line_to":["2 m","2 m"]},{"line_to":["0 m","2 m"]},{"line_to":["0 m","0 m"]}]}`,
		`"start":{"at":["0 m","0 m"]}`)))
	assert.InDelta(t, 90, p.Field.Direction.Degrees(), 1e-9)
}

func TestItem26UnitsThatMakeNoPatternAreRefusedAtTheUnit(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name, unit, bond, joint string
		fits                    bool
	}{
		{"two widths are a length", "brick", "herringbone_45", "0 mm", true},
		{"8 x 4 in with 1/16 in is 1.6 mm off", "edger", "herringbone_90", "1/16 in", true},
		{"8 x 4 in with 1/8 in is 3.2 mm off", "edger", "herringbone_90", "1/8 in", false},
		{"a modular brick with its mortar joint", "modular", "basket_weave", "3/8 in", true},
		{"three halves of a width", "odd", "herringbone_45", "0 mm", false},
		{"a square", "tile", "basket_weave", "0 mm", false},
		{"any unit in running bond", "odd", "running", "0 mm", true},
		{"a square in stack bond", "tile", "stack", "2 mm", true},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			text := job(paving(paved("a", c.unit, c.bond, rectangle("0 m", "0 m", "2 m", "1 m"), `"joint":{"width":"`+c.joint+`"}`)))
			_, _, faults := take(t, pavingUnits(plain()), text)
			if c.fits {
				require.Empty(t, faults)
				return
			}
			require.Len(t, faults, 1)
			assert.Equal(t, "/paving/0/unit unit_size", faults[0].Pointer+" "+faults[0].Code)
		})
	}
}

func TestItem26AdjustedJointsAreTold(t *testing.T) {
	t.Parallel()
	out := takeoff(t, pavingUnits(plain()), job(paving(paved("a", "edger", "herringbone_90", rectangle("0 m", "0 m", "2 m", "1 m"), `"joint":{"width":"1/16 in"}`))))
	// 8 in are two of 4 in: no joint is left between them.
	assert.InDelta(t, 0, float64(out.Paving[0].Field.SideJoint), 1e-12)
	assert.Contains(t, codes(out), "joint_adjusted")
	out = takeoff(t, pavingUnits(plain()), job(paving(paved("a", "modular", "herringbone_90", rectangle("0 m", "0 m", "2 m", "1 m"), `"joint":{"width":"3/8 in"}`))))
	assert.NotContains(t, codes(out), "joint_adjusted")
}

func TestItem26NarrowPiecesAreTold(t *testing.T) {
	t.Parallel()
	// 1.005 m are ten tiles and 5 mm.
	out := takeoff(t, pavingUnits(plain()), job(paving(paved("a", "tile", "stack", rectangle("0 m", "0 m", "1.005 m", "1 m"), fromOrigin))))
	assert.Equal(t, 10, out.Paving[0].Field.Narrow)
	assert.Equal(t, 10, out.Paving[0].Field.Under, "less than a third of a tile")
	assert.Contains(t, codes(out), "narrow_pieces")
	assert.Contains(t, codes(out), "small_pieces")
	// A search does better: without a start no piece is narrower than that.
	out = takeoff(t, pavingUnits(plain()), job(paving(paved("a", "tile", "stack", rectangle("0 m", "0 m", "1.005 m", "1 m")))))
	assert.LessOrEqual(t, out.Paving[0].Field.Under, 10)
}

func TestItem27UnitsBoughtLieBetweenTheAreaAndWholeAndCut(t *testing.T) {
	t.Parallel()
	circle := `{"kind":"circle","radius":"1.5 m"}`
	for _, name := range []string{"stack", "running", "third", "herringbone_45", "herringbone_90", "basket_weave"} {
		with := pave(t, paving(paved("a", "brick", name, circle, fromOrigin)))
		b := with.Field.Bought
		// pi 1.5^2 / 0.02 = 353.4 bricks.
		assert.GreaterOrEqual(t, b.AreaBound, 354, name)
		assert.LessOrEqual(t, b.AreaBound, b.Units)
		assert.LessOrEqual(t, b.RuleBound, b.Units)
		assert.Less(t, b.Units, with.Field.Whole+with.Field.Cut)
		assert.Equal(t, with.Field.Whole+with.Field.Cut-b.FromOffcuts, b.Units)
		without := pave(t, paving(paved("a", "brick", name, circle, fromOrigin, `"reuse_offcuts":false`)))
		assert.Equal(t, with.Field.Whole+with.Field.Cut, without.Field.Bought.Units)
		assert.Equal(t, bond.WholeUnits, without.Field.Bought.Method)
	}
}

// The counted waste is that of the units bought, and stands beside the customary percentage.
func TestItem27AndItem30TheWasteOfPavingIsCounted(t *testing.T) {
	t.Parallel()
	c := pavingUnits(catalogue())
	c.Allowances[estimate.Paving] = 0.02
	text := job(paving(paved("a", "brick", "running", rectangle("0 m", "0 m", "1 m", "1 m"), fromOrigin)))
	out := takeoff(t, c, text)
	l := line(t, out, estimate.Paving, "brick")
	assert.Equal(t, estimate.Waste{Factor: 1.02, Basis: estimate.ByLayout}, l.Waste)
	assert.InDelta(t, 55, l.Measured.Value, 0)
	assert.InDelta(t, 55*1.02, l.Required.Value, 1e-9)
	require.Len(t, l.Zones, 1)
	assert.Equal(t, "a", l.Zones[0].ID)
	p := &out.Paving[0]
	assert.InDelta(t, 1.1, float64(p.CountedWaste()), 1e-9) // 55 bricks for the ground of 50
	assert.InDelta(t, 1.1, float64(p.AreaWaste()), 1e-9)
	assert.InDelta(t, 0.05, float64(p.Customary.Share), 0)
	requested := takeoff(t, c, job(paving(paved("a", "brick", "running", rectangle("0 m", "0 m", "1 m", "1 m"), fromOrigin)), `"allowances":{"paving":10}`))
	l = line(t, requested, estimate.Paving, "brick")
	assert.Equal(t, estimate.Requested, l.Waste.Basis)
	assert.InDelta(t, 60.5, l.Required.Value, 1e-9)
	// Common practice: 5 % along a side, 10 % for herringbone and weaves, 15 % on the diagonal.
	for name, want := range map[string]float64{"stack": 0.05, "third": 0.05, "herringbone_90": 0.10, "basket_weave": 0.10, "herringbone_45": 0.15} {
		p := pave(t, paving(paved("a", "brick", name, rectangle("0 m", "0 m", "1 m", "1 m"), fromOrigin)))
		assert.InDelta(t, want, float64(p.Customary.Share), 0, name)
	}
	p = pave(t, paving(paved("a", "brick", "running", rectangle("0 m", "0 m", "1 m", "1 m"), `"start":{"at":["0 m","0 m"],"direction":45}`)))
	assert.InDelta(t, 0.15, float64(p.Customary.Share), 0)
	p = pave(t, paving(paved("a", "brick", "running", `{"kind":"circle","radius":"1 m"}`, fromOrigin)))
	assert.InDelta(t, 0.05, float64(p.Customary.Share), 0, "no straight side to lie at an angle to")
}

// A border of tiles 100 mm wide with joints of 10 mm round 980 mm: its sides are 980, 870, 870 and 760 mm, 9 + 8 + 8 + 7
// tiles. Inside is a field of 980 - 220 = 760 mm: 7 x 7 tiles with 6 joints of 10 mm.
func TestItem28JointsOfFieldEdgeAndBorderAreFilled(t *testing.T) {
	t.Parallel()
	out := takeoff(t, pavingUnits(plain()), job(paving(paved("a", "tile", "stack", rectangle("1 m", "2 m", "980 mm", "980 mm"),
		`"joint":{"width":"10 mm","fill":"fill"}`, `"border":{"course":"sailor"}`))))
	p := &out.Paving[0]
	assert.Equal(t, 32, p.Border.Units.Whole)
	assert.Zero(t, p.Border.Units.Cut)
	assert.Equal(t, [2]int{49, 0}, [2]int{p.Field.Whole, p.Field.Cut})
	assert.Equal(t, 84, p.Field.Joints.Count) // 7 rows and 7 columns of 6
	assert.InDelta(t, 8.4, float64(p.Field.Joints.Length), near)
	assert.InDelta(t, 0.76*0.76-0.49, float64(p.Field.JointArea), near)
	assert.InDelta(t, 4*0.76, float64(p.EdgeLength), near)
	assert.InDelta(t, 0.78*0.78-0.76*0.76, float64(p.EdgeArea), near)
	assert.InDelta(t, 0.98*0.98-0.78*0.78, float64(p.BorderArea), near)
	assert.InDelta(t, 3.2, float64(p.Border.JointLength), near) // 32 joints of 100 mm
	// Faces and joints are all of the ground: 81 tiles, 0.0876 + 0.0308 + 32 x 0.1 x 0.01.
	joints := 0.0876 + 0.0308 + 0.032
	assert.InDelta(t, 0.98*0.98, 0.81+joints, near)
	l := line(t, out, estimate.JointFill, "fill")
	assert.InDelta(t, joints*0.05, l.Measured.Value, near) // 50 mm deep
	assert.InDelta(t, 8.4+3.04+3.2, done(out, estimate.FillJoints), near)
	assert.InDelta(t, 32, done(out, estimate.LayEdging), 0)
	assert.InDelta(t, 0.78*0.78, done(out, estimate.LayPaving), near)
	assert.InDelta(t, 4*0.98, done(out, estimate.SetOut), near)
	assert.InDelta(t, 81, line(t, out, estimate.Paving, "tile").Measured.Value, 0)
	// Half as deep.
	out = takeoff(t, pavingUnits(plain()), job(paving(paved("a", "tile", "stack", rectangle("1 m", "2 m", "980 mm", "980 mm"),
		`"joint":{"width":"10 mm","fill":"fill","depth":"25 mm"}`, `"border":{"course":"sailor"}`))))
	assert.InDelta(t, joints*0.025, line(t, out, estimate.JointFill, "fill").Measured.Value, near)
}

func TestItem28OpenAndClosedJointsTakeNoFill(t *testing.T) {
	t.Parallel()
	for _, joint := range []string{`"joint":{"width":"10 mm"}`, `"joint":{"width":"0 mm","fill":"fill"}`} {
		out := takeoff(t, pavingUnits(plain()), job(paving(paved("a", "tile", "stack", rectangle("0 m", "0 m", "1.09 m", "1 m"), fromOrigin, joint))))
		for _, l := range out.Lines {
			if joint == `"joint":{"width":"10 mm"}` {
				assert.NotEqual(t, estimate.JointFill, l.Key)
			}
		}
	}
	out := takeoff(t, pavingUnits(plain()), job(paving(paved("a", "tile", "stack", rectangle("0 m", "0 m", "1 m", "1 m"), fromOrigin, `"joint":{"width":"0 mm","fill":"fill"}`))))
	for _, l := range out.Lines {
		assert.NotEqual(t, estimate.JointFill, l.Key)
	}
}

// A border round a circle of 1 m, cut: its band is pi (1 - 0.9^2); the field is a disc of 0.89 m with joints of 10 mm.
func TestABorderRoundACircleLeavesADisc(t *testing.T) {
	t.Parallel()
	p := pave(t, paving(paved("a", "tile", "stack", `{"kind":"circle","centre":["1 m","1 m"],"radius":"1 m"}`,
		`"joint":{"width":"10 mm","max":"11 mm"}`, `"border":{"course":"sailor","curves":"cut"}`)))
	assert.InDelta(t, math.Pi*(1-0.81), float64(p.BorderArea), near)
	assert.InDelta(t, math.Pi*0.89*0.89, float64(p.Field.Area), near)
	assert.InDelta(t, 2*math.Pi*0.89, float64(p.EdgeLength), near)
	assert.InDelta(t, math.Pi*(0.81-0.89*0.89), float64(p.EdgeArea), near)
	// Chords of 100 mm and of 10 mm: 2 asin(0.05) + 2 asin(0.005) = 5.7320 + 0.5730 = 6.3050 degrees: 57 units,
	// and what is left of the turn widens the joints by less than a millimetre.
	assert.Equal(t, 57, p.Border.Runs[0].Full)
}

// An L of 2 m with a neck: where the border is too wide for the inset to be one loop, the field is still what it leaves.
func TestABorderThatMeetsItselfInANeckLeavesTheRooms(t *testing.T) {
	t.Parallel()
	// Two rooms of 1 m, joined by a neck 200 mm wide and 500 mm long; a border of 100 mm without joints fills the neck.
	out := takeoff(t, pavingUnits(plain()), job(paving(paved("a", "tile", "stack",
		`{"kind":"polygon","points":[["0 m","0 m"],["1 m","0 m"],["1 m","0.4 m"],["1.5 m","0.4 m"],["1.5 m","0 m"],["2.5 m","0 m"],["2.5 m","1 m"],["1.5 m","1 m"],["1.5 m","0.6 m"],["1 m","0.6 m"],["1 m","1 m"],["0 m","1 m"]]}`,
		`"border":{"course":"sailor"}`))))
	p := &out.Paving[0]
	assert.NotContains(t, codes(out), "border_overlaps_itself", "its two courses just meet")
	assert.InDelta(t, 2*0.64, float64(p.Field.Area), 1e-8)
	assert.InDelta(t, 2*4*0.8, float64(p.EdgeLength), 1e-6)
	assert.Equal(t, [2]int{128, 0}, [2]int{p.Field.Whole, p.Field.Cut})
}

func TestABorderMayHaveItsOwnUnit(t *testing.T) {
	t.Parallel()
	out := takeoff(t, pavingUnits(plain()), job(paving(paved("a", "tile", "stack", rectangle("0 m", "0 m", "1 m", "1 m"), `"border":{"course":"soldier","unit":"brick"}`))))
	// 1 m of 100 mm: 10, then 8, 8 and 6 inside corners of 200 mm.
	assert.InDelta(t, 32, line(t, out, estimate.Paving, "brick").Measured.Value, 0)
	assert.InDelta(t, 36, line(t, out, estimate.Paving, "tile").Measured.Value, 0)
	assert.Contains(t, codes(out), "thickness_differs")
	// The thicker one, 60 mm, is dug for: 2.36 in, 2 1/2 in.
	assert.InDelta(t, 2.5, inches(out.Paving[0].DigDepth), near)
	assert.InDelta(t, 0.36, float64(out.Paving[0].Field.Area), near)
	assert.InDelta(t, float64(2.4*measure.Metre), float64(out.Paving[0].EdgeLength), near)
}
