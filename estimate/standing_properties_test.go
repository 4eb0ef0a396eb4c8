package estimate_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate"
)

// setting is a bed with what stands in it, in whole eighths of an inch, to be written in several ways.
type setting struct {
	length, width int
	edged, gaps   bool
	planters      []box
	trunks        []box // length is the diameter, width what is kept clear
	posts         []box
	faces         [][4]int
}

// box is a rectangle by its corner and turn.
type box struct {
	x, y, length, width int
	turn                int // degrees
	wall, fill          int
	parts               []int
	under               bool
}

func drawSetting(t *rapid.T) setting {
	draw := func(name string, low, high int) int { return rapid.IntRange(low, high).Draw(t, name) }
	y := setting{length: draw("length", 800, 2400), width: draw("width", 800, 2400), edged: rapid.Bool().Draw(t, "edged"), gaps: rapid.Bool().Draw(t, "gaps")}
	one := func() box {
		b := box{x: draw("x", -200, 2000), y: draw("y", -200, 2000), length: draw("l", 40, 600), width: draw("w", 40, 400), turn: draw("turn", -90, 90),
			wall: draw("wall", 0, 19), fill: draw("fill", 1, 200), under: rapid.Bool().Draw(t, "under")}
		for range draw("materials", 1, 3) {
			b.parts = append(b.parts, draw("parts", 1, 9))
		}
		return b
	}
	for range draw("planters", 0, 3) {
		y.planters = append(y.planters, one())
	}
	for range draw("trees", 0, 2) {
		y.trunks = append(y.trunks, one())
	}
	for range draw("posts", 0, 2) {
		y.posts = append(y.posts, one())
	}
	for range draw("faces", 0, 2) {
		y.faces = append(y.faces, [4]int{draw("x1", -300, 3000), draw("y1", -300, 3000), draw("x2", 3001, 4000), draw("y2", -300, 3000)})
	}
	return y
}

var mixed = []string{"base", "stone-packed", "stone"}

// write is the job as JSON; place moves and turns points, given in eighths of an inch, and turn all that has a turn.
func (y setting) write(write notation, place func(x, y float64) (float64, float64), turn float64, more ...string) string {
	point := func(x, y float64) string {
		x, y = place(x, y)
		return fmt.Sprintf("[%q,%q]", write(x), write(y))
	}
	at := func(b box) string { return point(float64(b.x), float64(b.y)) }
	l, w := float64(y.length), float64(y.width)
	text := fmt.Sprintf(`{"id":"b","dig":%q,"stone":{"material":"stone","depth":%q},"fabric":{"material":"fabric","under":"bed","pin_openings":true},"outline":{"kind":"polygon","points":[%s,%s,%s,%s]}`,
		write(48), write(16), point(0, 0), point(l, 0), point(l, w), point(0, w))
	if y.edged {
		text += fmt.Sprintf(`,"edging":{"unit":"edger","course":"sailor","side_clearance":%q,"base":{"material":"base","depth":%q}}`, write(8), write(24))
	}
	members := []string{beds(text + "}")}
	if y.gaps {
		members = append(members, slabs(fmt.Sprintf(`{"id":"s","unit":"slab","rows":3,"columns":4,"gap":%q,"at":%s,"rotate":%v}`, write(16), point(300, 300), turn)))
	}
	var ps, os []string
	for i, p := range y.planters {
		var mix []string
		for k, n := range p.parts {
			mix = append(mix, fmt.Sprintf(`{"material":%q,"parts":%d}`, mixed[k], n))
		}
		ps = append(ps, fmt.Sprintf(`{"id":"p%d","length":%q,"width":%q,"wall":%q,"fill":%q,"at":%s,"rotate":%v,"dig_under":%v,"mix":[%s]}`, i,
			write(float64(p.length)), write(float64(p.width)), write(float64(p.wall)), write(float64(p.fill)), at(p), float64(p.turn)+turn, p.under, strings.Join(mix, ",")))
	}
	for _, o := range y.trunks {
		os = append(os, fmt.Sprintf(`{"kind":"tree","at":%s,"trunk_diameter":%q,"clear":%q}`, at(o), write(float64(o.length/4)), write(float64(o.width/4))))
	}
	for _, o := range y.posts {
		os = append(os, fmt.Sprintf(`{"kind":"post","at":%s,"length":%q,"width":%q,"rotate":%v,"dig_under":%v}`, at(o), write(float64(o.length)), write(float64(o.width)), float64(o.turn)+turn, o.under))
	}
	for _, f := range y.faces {
		os = append(os, fmt.Sprintf(`{"kind":"wall","from":%s,"to":%s}`, point(float64(f[0]), float64(f[1])), point(float64(f[2]), float64(f[3]))))
	}
	return job(append(members, append(more, planters(ps...), obstacles(os...))...)...)
}

// figures are the numbers of a takeoff with those of what stands in it.
func figures(out *estimate.Takeoff) map[string]float64 {
	n := numbers(out)
	for _, p := range out.Planters {
		n["inside "+p.Planter.ID], n["fill "+p.Planter.ID], n["mass "+p.Planter.ID] = float64(p.Inside), float64(p.Fill), float64(p.Mass)
	}
	for i, o := range out.Obstacles {
		n[fmt.Sprintf("takes %d", i)] = float64(o.Footprint)
		for k, near := range o.Near {
			n[fmt.Sprintf("near %d %d", i, k)] = float64(near.Distance)
		}
	}
	for i, z := range out.RootZones {
		n[fmt.Sprintf("roots %d", i)], n[fmt.Sprintf("dug roots %d", i)], n[fmt.Sprintf("deepest %d", i)] = float64(z.Area), float64(z.Dug), float64(z.Deepest)
	}
	for _, f := range out.Fabrics {
		n["cut "+f.Bed] = float64(f.CutLength)
	}
	for name, v := range n {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			panic(name)
		}
	}
	return n
}

func TestWhatStandsInABedIsTheSameInBothSystemsAndTurnedAsAWhole(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		y := drawSetting(t)
		a := figures(valid(t, y.write(us, still, 0)))
		same(t, a, figures(valid(t, y.write(metric, still, 0, `"units":"metric"`))), 1e-9)
		angle := rapid.IntRange(0, 359).Draw(t, "angle")
		sin, cos := math.Sincos(float64(angle) * math.Pi / 180)
		turned := figures(valid(t, y.write(us, func(x, y float64) (float64, float64) { return 500 + x*cos - y*sin, -300 + x*sin + y*cos }, float64(angle))))
		// Written to 1e-7 in, what stands flush with the bed line leaves a hair of cloth or none, and so a cut edge and its
		// pins; strips of fabric are flush with another side, and a closer more or less hangs on a hair too.
		same(t, a, turned, 1e-6, "cut", "work cut", "work lay_edging", "measured edging", "required edging", "measured pins", "required pins", "near", "required fabric")
	})
}

func TestAPlanterTurnedAboutItselfChangesNoArea(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		l, w := rapid.Float64Range(0.1, 5).Draw(t, "length"), rapid.Float64Range(0.1, 5).Draw(t, "width")
		angle := rapid.Float64Range(-360, 360).Draw(t, "angle")
		text := func(angle float64) string {
			sin, cos := math.Sincos(angle * math.Pi / 180)
			x, y := 5-(l*cos-w*sin)/2, 5-(l*sin+w*cos)/2 // the middle stays at (5, 5)
			return job(beds(bed("b", rectangle("0 m", "0 m", "10 m", "10 m"), `"dig":"100 mm"`, stone2)),
				planters(planter("p", fmt.Sprintf("%.9f m", l), fmt.Sprintf("%.9f m", w), fmt.Sprintf("%.9f m", x), fmt.Sprintf("%.9f m", y), fmt.Sprintf(`"rotate":%.6f`, angle), `"in_bed":"b"`)))
		}
		same(t, figures(valid(t, text(0))), figures(valid(t, text(angle))), 1e-7)
	})
}

func TestAPlanterInTwoHalvesHoldsAndTakesAsMuch(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		y := drawSetting(t)
		if len(y.planters) == 0 {
			t.Skip()
		}
		y.planters[0].wall, y.planters[0].turn = 0, 0
		whole := y.planters[0]
		split := y
		cut := rapid.IntRange(1, whole.length-1).Draw(t, "cut")
		left, right := whole, whole
		left.length, right.x, right.length = cut, whole.x+cut, whole.length-cut
		split.planters = append([]box{left, right}, y.planters[1:]...)
		a, b := valid(t, y.write(us, still, 0)), valid(t, split.write(us, still, 0))
		require.InDelta(t, float64(a.Planters[0].Fill), float64(b.Planters[0].Fill+b.Planters[1].Fill), 1e-9)
		same(t, numbers(a), numbers(b), 1e-9)
	})
}

func TestTheMixOfAPlanterIsItsFill(t *testing.T) {
	t.Parallel()
	loose := plain()
	for i := range loose.Materials {
		if loose.Materials[i].Kind == estimate.LooseMaterial {
			loose.Materials[i].CompactionFactor = 1
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		out, _, faults := take(t, loose, drawSetting(t).write(us, still, 0))
		if len(faults) > 0 {
			t.Skip(faults)
		}
		var soil, fill, mass float64
		for _, l := range out.Lines {
			if l.Key == estimate.PlanterSoil {
				require.InDelta(t, l.Measured.Value, l.Required.Value, 1e-12)
				soil += l.Required.Value
			}
		}
		for _, p := range out.Planters {
			fill += float64(p.Fill)
			mass += float64(p.Mass)
			require.LessOrEqual(t, float64(p.Inside), float64(p.Footprint))
		}
		require.InDelta(t, fill, soil, 1e-9)
		require.InDelta(t, fill, done(out, estimate.FillPlanters), 1e-9)
		require.InDelta(t, 1500*fill, mass, 1e-6)
	})
}

func TestRootZonesHoldNoMoreDiggingThanThereIs(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		out := valid(t, drawSetting(t).write(us, still, 0))
		var all, deepest float64
		for _, d := range out.Diggings {
			all += float64(d.Area)
			deepest = max(deepest, float64(d.Depth))
		}
		for _, z := range out.RootZones {
			require.LessOrEqual(t, float64(z.Dug), min(all, float64(z.Area))+1e-9)
			require.LessOrEqual(t, float64(z.Deepest), deepest)
			require.Equal(t, z.Dug > 0, z.Deepest > 0)
		}
		for _, o := range out.Obstacles {
			for _, n := range o.Near {
				require.Less(t, n.Distance, n.Depth)
			}
		}
	})
}

// The cut edges are compared with points along the outsides: those that lie on the ground of the bed and in no other
// planter.
func TestItem29CutEdgesAreTheOutsidesOnTheCloth(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		number := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		type rect struct{ x, y, l, w, turn float64 }
		var list []rect
		var texts []string
		for i := range rapid.IntRange(1, 3).Draw(t, "planters") {
			// Each leans its own way, so that no two lines are nearly one.
			turn := float64(7+25*i+90*rapid.IntRange(-2, 1).Draw(t, "quarter")) + number("turn", 0, 15)
			r := rect{number("x", -1, 9), number("y", -1, 7), number("l", 0.5, 4), number("w", 0.5, 4), turn}
			list = append(list, r)
			texts = append(texts, planter(fmt.Sprintf("p%d", i), fmt.Sprintf("%.9f m", r.l), fmt.Sprintf("%.9f m", r.w), fmt.Sprintf("%.9f m", r.x), fmt.Sprintf("%.9f m", r.y), fmt.Sprintf(`"rotate":%.9f`, r.turn)))
		}
		out := valid(t, job(beds(bed("b", rectangle("0 m", "0 m", "9 m", "7 m"), `"fabric":{"material":"fabric","under":"bed"}`)), planters(texts...)))
		cut, step := 0.0, 0.0
		const steps = 1000
		for i, r := range list {
			sin, cos := math.Sincos(r.turn * math.Pi / 180)
			for _, side := range [][4]float64{{0, 0, r.l, 0}, {r.l, 0, 0, r.w}, {r.l, r.w, -r.l, 0}, {0, r.w, 0, -r.w}} {
				piece := (math.Abs(side[2]) + math.Abs(side[3])) / steps
				step = max(step, piece)
				for k := range steps {
					u, v := side[0]+side[2]*(float64(k)+0.5)/steps, side[1]+side[3]*(float64(k)+0.5)/steps
					x, y := r.x+u*cos-v*sin, r.y+u*sin+v*cos
					counts := x > 0 && x < 9 && y > 0 && y < 7
					for j, o := range list {
						sin, cos := math.Sincos(o.turn * math.Pi / 180)
						u, v := (x-o.x)*cos+(y-o.y)*sin, (y-o.y)*cos-(x-o.x)*sin
						counts = counts && (j == i || !(u > 0 && u < o.l && v > 0 && v < o.w))
					}
					if counts {
						cut += piece
					}
				}
			}
		}
		// Each side of each planter meets at most ten other lines, and is off by less than a step at each.
		require.InDelta(t, cut, float64(out.Fabrics[0].CutLength), 12*10*step)
		require.InDelta(t, 63, float64(out.Fabrics[0].Layout.CoverArea), 1e-9)
	})
}

func TestEverythingWrongWithWhatStandsIsToldAtOnce(t *testing.T) {
	t.Parallel()
	text := job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "8 ft"), `"fabric":{"material":"fabric","under":"bed","openings":"lapped","pin_openings":true}`)),
		planters(
			`{"id":"b","length":"2 ft","width":"1 ft","wall":"6 in","fill":"0 in","at":["1 ft"],"mix":[]}`,
			`{"id":"p","in_bed":"c","length":5,"width":"-1 ft","at":["1 ft","1 ft"],"rotate":400,"mix":[{"material":"stone","parts":0},{"material":"edger","parts":1},{"material":"fill","parts":1},{"material":"fill","parts":2},{"material":"dirt"}],"settling":10}`),
		obstacles(
			`{"kind":"shed","at":["1 ft","1 ft"]}`,
			`{"kind":"tree","at":["1 ft","1 ft"],"diameter":"6 in","dig_under":true}`,
			`{"kind":"post","id":"p","at":["1 ft","1 ft"],"diameter":"6 in","length":"4 in"}`,
			`{"kind":"post","at":["1 ft","1 ft"]}`,
			`{"kind":"post","at":["1 ft","1 ft"],"width":"4 in"}`,
			`{"kind":"post","at":["1 ft","1 ft"],"length":"4 in"}`,
			`{"kind":"wall","from":["1 ft","1 ft"],"to":["1 ft","1 ft"],"in_bed":"b"}`,
			`{"kind":"footing","from":["1 ft","1 ft"],"to":["2000 km","1 ft"]}`,
			`{"kind":"footing","from":["1 ft","1 ft"],"to":["2000000 m","1 ft"]}`))
	assert.Equal(t, []string{
		"/beds/0/fabric/pin_openings conflict",
		"/planters/0/id duplicate_id",
		"/planters/0/wall out_of_range",
		"/planters/0/fill not_positive",
		"/planters/0/at out_of_range",
		"/planters/0/mix out_of_range",
		"/planters/1/in_bed unknown_bed",
		"/planters/1/length unit_missing",
		"/planters/1/width not_positive",
		"/planters/1/rotate out_of_range",
		"/planters/1/mix/0/parts out_of_range",
		"/planters/1/mix/1/material wrong_material_kind",
		"/planters/1/mix/3/material duplicate_item",
		"/planters/1/mix/4/material unknown_material",
		"/planters/1/mix/4/parts missing",
		"/planters/1/settling unknown_member",
		"/planters/1/fill missing",
		"/obstacles/0/kind unknown_value",
		"/obstacles/1/diameter unknown_member",
		"/obstacles/1/dig_under unknown_member",
		"/obstacles/1/trunk_diameter missing",
		"/obstacles/2/id duplicate_id",
		"/obstacles/2/length conflict",
		"/obstacles/3/diameter missing",
		"/obstacles/4/diameter missing",
		"/obstacles/5/width missing",
		"/obstacles/6/to duplicate_point",
		"/obstacles/6/in_bed unknown_member",
		"/obstacles/7/to/0 bad_quantity",
		"/obstacles/8/to too_large",
	}, faultsOf(t, text))
}

func TestPlacesTooFarOutAreRefused(t *testing.T) {
	t.Parallel()
	assert.Equal(t, []string{"/obstacles/1/trunk_diameter too_large"}, faultsOf(t, job(patch(), obstacles(tree("0 ft", "0 ft", "15 m"), tree("0 ft", "0 ft", "15.1 m")))))
	assert.Equal(t, []string{"/planters/0/at too_large", "/obstacles/0/at too_large"},
		faultsOf(t, job(planters(planter("p", "5 ft", "2 ft", "1000000 m", "0 ft")), obstacles(tree("0 ft", "-1000000 m", "6 in")))))
}

func TestAJobOfPlantersOnlyIsAJobAndOneOfObstaclesIsNot(t *testing.T) {
	t.Parallel()
	out := takeoff(t, plain(), job(planters(planter("p", "5 ft", "2 ft", "0 ft", "0 ft"))))
	assert.NotContains(t, codes(out), "utilities", "nothing is dug")
	assert.Equal(t, []string{" empty_job"}, faultsOf(t, job(obstacles(tree("0 ft", "0 ft", "6 in")))))
	assert.Equal(t, []string{" empty_job"}, faultsOf(t, job(planters())))
}

func TestLimitsOfWhatStands(t *testing.T) {
	t.Parallel()
	many := func(n int, one func(i int) string) []string {
		list := make([]string, n)
		for i := range list {
			list[i] = one(i)
		}
		return list
	}
	apart := func(i int) string {
		return planter(fmt.Sprintf("p%d", i), "1 ft", "1 ft", fmt.Sprintf("%d ft", 2*i), "0 ft")
	}
	takeoff(t, plain(), job(planters(many(100, apart)...)))
	assert.Equal(t, []string{"/planters out_of_range"}, faultsOf(t, job(planters(many(101, apart)...))))
	trunk := func(i int) string { return tree(fmt.Sprintf("%d ft", 2*i), "9 ft", "6 in") }
	out := takeoff(t, plain(), job(planters(apart(0)), obstacles(many(100, trunk)...)))
	assert.Len(t, out.RootZones, 100)
	assert.Equal(t, []string{"/obstacles out_of_range"}, faultsOf(t, job(planters(apart(0)), obstacles(many(101, trunk)...))))
	heap := func(i int) string {
		return planter(fmt.Sprintf("p%d", i), "9 ft", "9 ft", fmt.Sprintf("%d in", i), "0 ft")
	}
	assert.Equal(t, []string{"/planters too_many"}, faultsOf(t, job(planters(many(100, heap)...))))
}
