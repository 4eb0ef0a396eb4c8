package estimate_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
)

// site is a random job in whole eighths of an inch, to be written in several ways.
type site struct {
	beds  []plot
	slabs []group
}

type plot struct {
	x, y          int // eighths of an inch, as all lengths
	length, width int
	radius        int
	circle        bool
	dig, stone    int
	edged         bool
	soldier       bool
	base, sand    int
	clearance     int
	joint         int
	fabric        bool
	wide          bool // fabric under the trench too
	inset         int  // of a hole from all sides, 0 for none
	island        bool // in the hole, as far from its line
	outside       bool // the course is
	corners       string
}

type group struct {
	x, y, rows, columns, gap, base, sand, clearance int
	filled                                          bool
}

// notation writes a length of so many eighths of an inch.
type notation func(eighths float64) string

func us(eighths float64) string {
	if eighths == math.Trunc(eighths) {
		return fmt.Sprintf("%d/8 in", int(eighths))
	}
	return fmt.Sprintf("%.7f in", eighths/8)
}

// metric writes the same length in millimetres: an eighth of an inch is 3.175 mm exactly.
func metric(eighths float64) string {
	if eighths == 0 {
		return "0 mm"
	}
	return strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.4f", eighths*3.175), "0"), ".") + " mm"
}

func drawSite(t *rapid.T) site {
	var s site
	draw := func(name string, low, high int) int { return rapid.IntRange(low, high).Draw(t, name) }
	for i := range draw("beds", 0, 3) {
		p := plot{x: draw("x", -200, 200) + 2500*i*draw("apart", 0, 1), y: draw("y", -200, 200), length: draw("length", 300, 2000), width: draw("width", 300, 1200),
			dig: draw("dig", 0, 40), stone: draw("stone", 0, 40), base: draw("base", 0, 48), sand: draw("sand", 0, 12), clearance: draw("clearance", 0, 16), joint: draw("joint", 0, 2),
			edged: rapid.Bool().Draw(t, "edged"), soldier: rapid.Bool().Draw(t, "soldier"), fabric: rapid.Bool().Draw(t, "fabric"), wide: rapid.Bool().Draw(t, "wide"),
			circle: draw("circle", 0, 3) == 0}
		if draw("round", 0, 1) == 1 {
			p.radius = draw("radius", 80, 150)
		}
		if draw("hole", 0, 2) == 0 && !p.circle {
			p.inset, p.island = draw("inset", 81, 140), rapid.Bool().Draw(t, "island")
		}
		p.outside, p.corners = draw("outside", 0, 3) == 0, rapid.SampledFrom([]string{"auto", "butt", "mitre", "open"}).Draw(t, "corners")
		s.beds = append(s.beds, p)
	}
	for range draw("groups", 0, 2) {
		s.slabs = append(s.slabs, group{x: draw("sx", -300, 2000), y: draw("sy", -300, 1200), rows: draw("rows", 1, 4), columns: draw("columns", 1, 4), gap: draw("gap", 0, 40),
			base: draw("sbase", 0, 48), sand: draw("ssand", 0, 12), clearance: draw("sclear", 0, 16), filled: rapid.Bool().Draw(t, "filled")})
	}
	if len(s.beds)+len(s.slabs) == 0 {
		s.slabs = append(s.slabs, group{rows: 1, columns: 1})
	}
	return s
}

// write is the job as JSON; place moves and turns points, given in eighths of an inch.
func (s site) write(write notation, place func(x, y float64) (float64, float64), turn float64) string {
	point := func(x, y float64) string {
		x, y = place(x, y)
		return fmt.Sprintf("[%q,%q]", write(x), write(y))
	}
	layer := func(member, material string, depth int) string {
		if depth == 0 {
			return ""
		}
		return fmt.Sprintf(`,%q:{"material":%q,"depth":%q}`, member, material, write(float64(depth)))
	}
	var bs, gs []string
	for i, p := range s.beds {
		text := fmt.Sprintf(`{"id":"b%d","dig":%q`, i, write(float64(p.dig)))
		x, y, l, w := float64(p.x), float64(p.y), float64(p.length), float64(p.width)
		if p.circle {
			text += fmt.Sprintf(`,"outline":{"kind":"circle","centre":%s,"radius":%q}`, point(x+l/2, y+w/2), write(w/2))
		} else {
			r := write(float64(p.radius))
			text += fmt.Sprintf(`,"outline":{"kind":"polygon","points":[%s,%s,%s,%s],"corner_radii":[%q,"0 in",%q,"0 in"]%s}`, point(x, y), point(x+l, y), point(x+l, y+w), point(x, y+w), r, r, p.hole(point))
		}
		text += layer("stone", "stone", p.stone)
		if p.fabric {
			text += fmt.Sprintf(`,"fabric":{"material":"fabric","under":%q}`, map[bool]string{false: "bed", true: "bed_and_trench"}[p.wide])
		}
		if p.edged {
			text += fmt.Sprintf(`,"edging":{"unit":"edger","course":%q,"face":%q,"corner_joint":%q,"curves":"cut","side_clearance":%q,"joint":{"width":%q,"fill":"fill"}%s%s}`,
				map[bool]string{false: "sailor", true: "soldier"}[p.soldier], map[bool]string{false: "inside", true: "outside"}[p.outside], p.corners, write(float64(p.clearance)), write(float64(p.joint)), layer("base", "base", p.base), layer("sand", "sand", p.sand))
		}
		bs = append(bs, text+"}")
	}
	for i, g := range s.slabs {
		fill := ""
		if g.filled {
			fill = `,"joint":{"fill":"fill"}`
		}
		gs = append(gs, fmt.Sprintf(`{"id":"s%d","unit":"slab","rows":%d,"columns":%d,"gap":%q,"at":%s,"rotate":%v,"side_clearance":%q%s%s%s}`, i, g.rows, g.columns, write(float64(g.gap)),
			point(float64(g.x), float64(g.y)), turn, write(float64(g.clearance)), layer("base", "base", g.base), layer("sand", "sand", g.sand), fill))
	}
	return job(beds(bs...), slabs(gs...))
}

// hole writes the hole of a bed and its island, which are left out where there is no room for them.
func (p plot) hole(point func(x, y float64) string) string {
	box := func(inset int) (string, bool) {
		x, y, l, w := float64(p.x+inset), float64(p.y+inset), float64(p.length-2*inset), float64(p.width-2*inset)
		return fmt.Sprintf(`{"kind":"polygon","points":[%s,%s,%s,%s]`, point(x, y), point(x+l, y), point(x+l, y+w), point(x, y+w)), min(l, w) >= float64(p.inset)/2
	}
	hole, ok := box(p.inset)
	if p.inset == 0 || !ok {
		return ""
	}
	if island, ok := box(2 * p.inset); ok && p.island {
		hole += `,"islands":[` + island + `}]`
	}
	return `,"holes":[` + hole + `}]`
}

// apart is the same job with its beds and slabs moved clear of each other.
func (s site) apart() site {
	out := site{beds: append([]plot(nil), s.beds...), slabs: append([]group(nil), s.slabs...)}
	for i := range out.beds {
		out.beds[i].x += 10000 * (i + 1)
	}
	for i := range out.slabs {
		out.slabs[i].x -= 10000 * (i + 1)
	}
	return out
}

func still(x, y float64) (float64, float64) { return x, y }

// valid takes a job off; jobs with faults are not looked at further. Every number of the takeoff must be a number.
func valid(t *rapid.T, text string) *estimate.Takeoff {
	out, _, faults := take(t, catalogue(), text)
	if len(faults) > 0 {
		t.Skip(faults)
	}
	for name, v := range numbers(out) {
		require.False(t, math.IsNaN(v) || math.IsInf(v, 0), "%s is %v", name, v)
		require.GreaterOrEqual(t, v, 0.0, name)
	}
	return out
}

// numbers are all quantities of a takeoff by name.
func numbers(out *estimate.Takeoff) map[string]float64 {
	n := map[string]float64{"spoil": float64(out.Spoil.Loose), "bank": float64(out.Spoil.Bank), "mass": float64(out.Spoil.Mass)}
	for _, b := range out.Beds {
		n["area "+b.ID], n["net "+b.ID] = float64(b.Area), float64(b.NetStoneArea)
		n["perimeter "+b.ID], n["edged "+b.ID] = float64(b.Perimeter), float64(b.EdgedLength)
	}
	for _, d := range out.Diggings {
		key := d.Zone + " " + string(d.Part)
		n["dug area "+key], n["dug "+key], n["depth "+key] = float64(d.Area), float64(d.Volume), float64(d.Depth)
	}
	for _, l := range out.Lines {
		key := string(l.Key) + " " + l.Material.Key
		n["measured "+key], n["required "+key] = l.Measured.Value, l.Required.Value
	}
	for _, w := range out.Work {
		n["work "+string(w.Operation)] += w.Quantity.Value
	}
	return n
}

// same holds two takeoffs to be equal within a share of each number, apart from those whose name begins with a prefix.
func same(t require.TestingT, a, b map[string]float64, share float64, but ...string) {
	require.Len(t, b, len(a))
	for name, v := range a {
		skip := false
		for _, prefix := range but {
			skip = skip || strings.HasPrefix(name, prefix)
		}
		if !skip {
			require.InDelta(t, v, b[name], share*math.Max(1, math.Abs(v)), name)
		}
	}
}

func TestUSAndMetricNotationsOfOneJobGiveTheSameBits(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := drawSite(t)
		a, b := valid(t, s.write(us, still, 0)), valid(t, s.write(metric, still, 0))
		require.Equal(t, numbers(a), numbers(b))
		require.Equal(t, a.Notices, b.Notices)
		require.Equal(t, a.Lines, b.Lines)
	})
}

func TestMovingAWholeJobChangesNothing(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := drawSite(t)
		dx, dy := float64(rapid.IntRange(-40000, 40000).Draw(t, "dx")), float64(rapid.IntRange(-40000, 40000).Draw(t, "dy"))
		a, b := valid(t, s.write(us, still, 0)), valid(t, s.write(us, func(x, y float64) (float64, float64) { return x + dx, y + dy }, 0))
		same(t, numbers(a), numbers(b), 1e-9)
		require.Equal(t, codes(a), codes(b))
	})
}

func TestTurningAWholeJobByAQuarterChangesNothing(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := drawSite(t)
		a, b := valid(t, s.write(us, still, 0)), valid(t, s.write(us, func(x, y float64) (float64, float64) { return -y, x }, 90))
		same(t, numbers(a), numbers(b), 1e-9)
	})
}

func TestAHairOfGroundBesideADeeperPadBuysNothing(t *testing.T) {
	t.Parallel()
	// Two pads on one place, the second a hair (2e-9 m) aside: the deeper takes all that can be dug.
	text := `{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"slabs":[
		{"id":"shallow","unit":"slab-16","rows":1,"columns":1,"at":["1 m","0 m"],"base":{"material":"base","depth":"2 in"}},
		{"id":"deep","unit":"slab-16","rows":1,"columns":1,"at":["1.000000002 m","0 m"],"sand":{"material":"sand","depth":"6 in"}}]}`
	for _, line := range takeoff(t, plain(), text).Lines {
		require.NotEqual(t, estimate.Base, line.Key, "no base is laid under the shallow pad")
	}
}

// Turned by other angles the points are written to 7 places of an inch, so that areas of some ten square metres agree to
// 1e-6; units are counted the same but where a run comes out to the very end of one.
func TestTurningAWholeJobChangesNothing(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := drawSite(t)
		turn := rapid.IntRange(1, 359).Draw(t, "turn")
		sin, cos := math.Sincos(float64(turn) * math.Pi / 180)
		round := func(v float64) float64 { return math.Round(v*1e7/8) * 8 / 1e7 }
		a := valid(t, s.write(us, still, 0))
		b := valid(t, s.write(us, func(x, y float64) (float64, float64) { return round(x*cos - y*sin), round(x*sin + y*cos) }, float64(turn)))
		same(t, numbers(a), numbers(b), 1e-6, "measured edging", "required edging", "work lay_edging", "work cut", "measured joint", "required joint", "work fill", "work wet", "work haul_materials", "measured pins", "required pins", "required fabric")
	})
}

func TestDoublingALengthsOfABedDoublesLinesAndQuadruplesAreas(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := drawSite(t)
		s.slabs = nil
		for i := range s.beds {
			s.beds[i].edged = false
		}
		if len(s.beds) == 0 {
			t.Skip()
		}
		big := site{}
		for _, p := range s.beds {
			p.x, p.y, p.length, p.width, p.radius = 2*p.x, 2*p.y, 2*p.length, 2*p.width, 2*p.radius
			p.inset *= 2
			big.beds = append(big.beds, p)
		}
		a, b := valid(t, s.write(us, still, 0)), valid(t, big.write(us, still, 0))
		for i := range a.Beds {
			require.InEpsilon(t, 4*float64(a.Beds[i].Area), float64(b.Beds[i].Area), 1e-9)
			require.InEpsilon(t, 2*float64(a.Beds[i].Perimeter), float64(b.Beds[i].Perimeter), 1e-9)
			require.InEpsilon(t, 4*float64(a.Beds[i].NetStoneArea), float64(b.Beds[i].NetStoneArea), 1e-9)
		}
		for i := range a.Diggings {
			require.InDelta(t, 4*float64(a.Diggings[i].Volume), float64(b.Diggings[i].Volume), 1e-9)
		}
		require.InDelta(t, 4*float64(a.Spoil.Loose), float64(b.Spoil.Loose), 1e-9)
	})
}

// On shared ground the deeper pad lays its own layers, which may be thinner; so this holds of items apart.
func TestMoreDepthNeverTakesLess(t *testing.T) {
	t.Parallel()
	grows := []string{"spoil", "bank", "required decorative_stone", "required base", "required bedding_sand", "work dig", "work place", "work haul"}
	rapid.Check(t, func(t *rapid.T) {
		s := drawSite(t).apart()
		deeper := site{beds: append([]plot(nil), s.beds...), slabs: append([]group(nil), s.slabs...)}
		more := rapid.IntRange(1, 16).Draw(t, "more")
		switch what := rapid.SampledFrom([]string{"stone", "base", "sand", "slab base"}).Draw(t, "what"); {
		case what == "slab base" && len(s.slabs) > 0:
			if s.slabs[0].base == 0 {
				t.Skip("a first base takes the extra depth from the sand")
			}
			deeper.slabs[0].base += more
		case len(s.beds) == 0:
			t.Skip()
		case what == "stone":
			deeper.beds[0].stone += more
		case what == "base":
			if s.beds[0].base == 0 {
				t.Skip("a first base takes the extra depth from the sand")
			}
			deeper.beds[0].base += more
		default:
			t.Skip("more sand can take the place of the extra depth of the base")
		}
		a, b := numbers(valid(t, s.write(us, still, 0))), numbers(valid(t, deeper.write(us, still, 0)))
		for name, v := range a {
			for _, prefix := range grows {
				// Ground that changes from trench to pad or bed keeps its volume only in the sum.
				if strings.HasPrefix(name, prefix) && !strings.HasPrefix(name, "work dig") {
					require.GreaterOrEqual(t, b[name], v-1e-9*math.Max(1, v), name)
				}
			}
		}
	})
}

func TestAnotherBedNeverTakesLess(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := drawSite(t)
		if len(s.beds) == 0 {
			t.Skip()
		}
		last := s.beds[len(s.beds)-1]
		last.x += 100000 // apart from all others
		more := site{beds: append(append([]plot(nil), s.beds...), last), slabs: s.slabs}
		a, b := numbers(valid(t, s.write(us, still, 0))), numbers(valid(t, more.write(us, still, 0)))
		for name, v := range a {
			require.GreaterOrEqual(t, b[name], v-1e-9*math.Max(1, v), name)
		}
	})
}

func TestSplittingABedConservesWhatIsDugAndFilled(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := drawSite(t)
		if len(s.beds) == 0 {
			t.Skip()
		}
		p := s.beds[0]
		p.edged, p.circle, p.radius, p.fabric, p.inset = false, false, 0, false, 0
		rest := append([]plot(nil), s.beds[1:]...)
		for i := range rest { // edging of one bed is no edging of the other
			rest[i].fabric = false
		}
		cut := rapid.IntRange(1, p.length-1).Draw(t, "cut")
		left, right := p, p
		left.length = cut
		right.x, right.length = p.x+cut, p.length-cut
		whole := site{beds: append([]plot{p}, rest...), slabs: s.slabs}
		split := site{beds: append([]plot{left, right}, rest...), slabs: s.slabs}
		a, b := valid(t, whole.write(us, still, 0)), valid(t, split.write(us, still, 0))
		require.InDelta(t, float64(a.Spoil.Bank), float64(b.Spoil.Bank), 1e-9)
		require.InDelta(t, float64(a.Beds[0].Area), float64(b.Beds[0].Area+b.Beds[1].Area), 1e-9)
		require.InDelta(t, float64(a.Beds[0].NetStoneArea), float64(b.Beds[0].NetStoneArea+b.Beds[1].NetStoneArea), 1e-9)
		if p.stone > 0 {
			require.InDelta(t, line(t, a, estimate.DecorativeStone, "stone").Required.Value, line(t, b, estimate.DecorativeStone, "stone").Required.Value, 1e-9)
		}
	})
}

// Ground dug is ground covered: the areas of all diggings are the area of their union, and no more than the sum of beds,
// trenches and pads.
func TestDugGroundIsNeverCountedTwice(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := drawSite(t)
		out := valid(t, s.write(us, still, 0))
		var dugArea, most measure.Area
		var volume measure.Volume
		for _, d := range out.Diggings {
			dugArea += d.Area
			volume += d.Volume
			require.InDelta(t, float64(d.Area.AtDepth(d.Depth)), float64(d.Volume), 1e-9)
		}
		for i, b := range out.Beds {
			if s.beds[i].dig > 0 {
				most += b.Area
			}
		}
		for _, c := range out.Courses {
			most += c.Course.EdgedLength.Times(c.TrenchWidth) + 0.5 // corners stand out
		}
		for _, g := range out.Slabs {
			clearance := g.Group.Clearance
			most += (g.Grid.Length() + 2*clearance).Times(g.Grid.Width() + 2*clearance)
		}
		require.LessOrEqual(t, float64(dugArea), float64(most)+1e-9)
		require.InDelta(t, float64(volume), float64(out.Spoil.Bank), 1e-9)
		for _, b := range out.Beds {
			require.LessOrEqual(t, float64(b.NetStoneArea), float64(b.Area)+1e-9)
		}
	})
}

func TestTakeoffsAreTheSameEveryTime(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		text := drawSite(t).write(us, still, 0)
		a := valid(t, text)
		b := valid(t, text)
		require.Equal(t, a, b)
	})
}

func FuzzReadJob(f *testing.F) {
	f.Add(job(beds(bed("b", rectangle("0 ft", "0 ft", "10 ft", "8 ft"), stone2, edging(base3, sand1)))))
	f.Add(job(slabs(slabGroup("s", "slab", 2, 3, "0 ft", "0 ft", `"gap":"1 in"`, base3))))
	f.Add(job(patch(edging(base3)), planters(planter("p", "5 ft", "2 ft", "1 ft", "1 ft", `"wall":"2 in"`, `"in_bed":"b"`)),
		obstacles(tree("5 ft", "5 ft", "6 in", `"clear":"3 in"`), post("8 ft", "2 ft", `"diameter":"4 in"`, `"dig_under":true`), face("footing", "0 ft", "-4 in", "10 ft", "-4 in"))))
	f.Add(job(paving(paved("p", "edger", "herringbone_45", rectangle("0 ft", "0 ft", "4 ft", "3 ft"), `"border":{"course":"soldier"}`, joint18, base3))))
	c := catalogue()
	f.Fuzz(func(t *testing.T, text string) {
		root, err := document.Parse([]byte(text))
		if err != nil {
			return
		}
		for _, catalogue := range []*estimate.Catalogue{c, nil} {
			var faults document.Faults
			r := document.Read(root, &faults)
			job := estimate.ReadJob(r, catalogue, measure.Metric, &faults)
			r.Close()
			if catalogue == nil {
				continue
			}
			if out := estimate.Measure(job, &faults); (out == nil) == (faults.Len() == 0) {
				t.Fatalf("a takeoff %v beside %d faults", out != nil, faults.Len())
			}
		}
	})
}
