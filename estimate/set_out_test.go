package estimate_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

func setOut(origin, towards, every string) string {
	var members []string
	if origin != "" {
		members = append(members, `"origin":`+origin)
	}
	if towards != "" {
		members = append(members, `"towards":`+towards)
	}
	if every != "" {
		members = append(members, `"every":"`+every+`"`)
	}
	return `"set_out":{` + strings.Join(members, ",") + `}`
}

// garage is 22 ft by 6 1/2 ft with two corners rounded by 2 ft.
const garage = `{"kind":"polygon","points":[["0 ft","0 ft"],["22 ft","0 ft"],["22 ft","6 ft 6 in"],["0 ft","6 ft 6 in"]],"corner_radii":["0 in","0 in","2 ft","2 ft"]}`

// sheet writes the stakes of a part, in feet to a thousandth: label, x, y, from the first and the second end.
func sheet(p *estimate.StakedPart) []string {
	var list []string
	for _, s := range p.Stakes {
		list = append(list, fmt.Sprintf("%s %.3f %.3f %.3f %.3f", s.Label, feet(s.At.X), feet(s.At.Y), feet(s.ToFirst), feet(s.ToSecond)))
	}
	return list
}

func TestTheStakesOfAGarageBed(t *testing.T) {
	t.Parallel()
	out := takeoff(t, plain(), job(beds(bed("garage", garage)), slabs(slabGroup("gate", "slab", 2, 3, "9 ft", "1 ft", `"gap":"2 in"`))))
	parts := out.SetOut.Parts
	require.Len(t, parts, 2)
	assert.Equal(t, estimate.StakedBed, parts[0].Kind)
	assert.Equal(t, "A1", parts[0].Baseline.First, "the longest side")
	assert.Equal(t, "A2", parts[0].Baseline.Second)
	assert.InDelta(t, 22, feet(parts[0].Baseline.Length), near)
	// By hand: sqrt(22^2 + 6.5^2) = 22.940, sqrt(22^2 + 4.5^2) = 22.456, sqrt(20^2 + 6.5^2) = 21.030,
	// sqrt(2^2 + 6.5^2) = 6.801, sqrt(20^2 + 4.5^2) = 20.5 (a triangle of 9, 40 and 41 halves), sqrt(2^2 + 4.5^2) = 4.924.
	assert.Equal(t, []string{
		"A1 0.000 0.000 0.000 22.000", "A2 22.000 0.000 22.000 0.000",
		"A3 22.000 6.500 22.940 6.500", "A4 22.000 4.500 22.456 4.500", "A5 20.000 6.500 21.030 6.801",
		"A6 0.000 6.500 6.500 22.940", "A7 2.000 6.500 6.801 21.030", "A8 0.000 4.500 4.500 22.456",
		"A9 20.000 4.500 20.500 4.924", "A10 2.000 4.500 4.924 20.500",
	}, sheet(&parts[0]))
	assert.True(t, parts[0].EqualDiagonals)
	require.Len(t, parts[0].RightAngles, 4)
	assert.InDelta(t, 10, feet(parts[0].RightAngles[0].Hypotenuse), near, "6, 8 and 10 ft fit on 6.5 and 22 ft")

	assert.Equal(t, "gate", parts[1].ID)
	assert.Equal(t, estimate.StakedSlabs, parts[1].Kind)
	// 3 slabs of 12 in with two gaps of 2 in make 40 in, 2 with one gap 26 in; their diagonal is 47.707 in = 3.976 ft.
	assert.Equal(t, []string{"B1 9.000 1.000 0.000 3.333", "B2 12.333 1.000 3.333 0.000", "B3 12.333 3.167 3.976 2.167", "B4 9.000 3.167 2.167 3.976"}, sheet(&parts[1]))
	assert.Empty(t, parts[1].RightAngles, "no 3 by 4 ft fits")
	assert.InDelta(t, 5, feet(out.SetOut.Every), near)
}

func TestStakesAreTakenFromTheMarksThatTheRequestStates(t *testing.T) {
	t.Parallel()
	// From the corner at 22 ft with x along the right side: x is what was y, and y runs from right to left.
	out := takeoff(t, plain(), job(beds(bed("garage", garage)), setOut(`["22 ft","0 ft"]`, `["22 ft","6.5 ft"]`, "1 ft")))
	p := &out.SetOut.Parts[0]
	assert.Equal(t, estimate.OriginLabel, p.Baseline.First)
	assert.Equal(t, estimate.TowardsLabel, p.Baseline.Second)
	assert.InDelta(t, 6.5, feet(p.Baseline.Length), near)
	assert.Equal(t, []string{
		"A1 0.000 22.000 22.000 22.940", "A2 0.000 0.000 0.000 6.500",
		"A3 6.500 0.000 6.500 0.000", "A4 4.500 0.000 4.500 2.000", "A5 6.500 2.000 6.801 2.000",
		"A6 6.500 22.000 22.940 22.000", "A7 6.500 20.000 21.030 20.000", "A8 4.500 22.000 22.456 22.091",
		"A9 4.500 2.000 4.924 2.828", "A10 4.500 20.000 20.500 20.100",
	}, sheet(p))
	require.Len(t, p.Curves, 2, "each corner is 3.14 ft round")
	mark := p.Curves[0].Marks[1]
	assert.InDelta(t, 1, feet(mark.Along), near)
	// 1 ft on a radius of 2 ft turns half a radian from the tangent at A4, which runs along x.
	assert.InDelta(t, 4.5+2*math.Sin(0.5), feet(mark.At.X), near)
	assert.InDelta(t, 2-2*math.Cos(0.5), feet(mark.At.Y), near)
}

func TestWhatIsWrongWithASetOut(t *testing.T) {
	t.Parallel()
	circle := bed("ring", `{"kind":"circle","radius":"400 ft"}`)
	for _, c := range []struct {
		name, setOut string
		want         []string
	}{
		{"x runs towards the origin itself", setOut(`["1 ft","2 ft"]`, `["12 in","24 in"]`, ""), []string{"/set_out/towards duplicate_point"}},
		{"an origin alone", setOut(`["1 ft","2 ft"]`, "", ""), []string{"/set_out/towards missing"}},
		{"a direction alone", setOut("", `["1 ft","2 ft"]`, ""), []string{"/set_out/origin missing"}},
		{"no units", setOut(`[1,"2 ft"]`, `["9 ft","2 ft"]`, ""), []string{"/set_out/origin/0 unit_missing"}},
		{"a mark beyond all jobs", setOut(`["1001000 m","2 ft"]`, `["9 ft","2 ft"]`, ""), []string{"/set_out/origin too_large"}},
		{"no spacing at all", setOut("", "", "0 ft"), []string{"/set_out/every not_positive"}},
		// 2 pi 400 ft = 2513 ft: more than 2,000 marks a foot apart, less at 2 ft.
		{"more than 2,000 marks", setOut("", "", "1 ft"), []string{"/set_out/every too_many"}},
		{"both", setOut(`["1 ft","2 ft"]`, `["12 in","24 in"]`, "1 ft"), []string{"/set_out/towards duplicate_point", "/set_out/every too_many"}},
		{"fewer marks are fine", setOut(`["1 ft","2 ft"]`, `["9 ft","2 ft"]`, "2 ft"), []string{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			assert.Equal(t, c.want, faultsOf(t, job(beds(circle), c.setOut)))
		})
	}
	_, _, faults := take(t, catalogue(), job(beds(circle), setOut("", "", "1 in")))
	require.Len(t, faults, 1)
	every, err := strconv.Unquote(faults[0].Example)
	require.NoError(t, err)
	assert.Equal(t, "1 ft 4 in", every, "16 in make 1,885 marks, 8 in 3,770")
	assert.Empty(t, faultsOf(t, job(beds(circle), setOut("", "", every))), "the example is right")
}

func TestTheCustomarySpacingGrowsWithTheCurves(t *testing.T) {
	t.Parallel()
	// 2 pi 10,000 ft in 5, 10, 20 and 40 ft: 12,566, 6,283, 3,141 and 1,570 marks.
	out := takeoff(t, plain(), job(beds(bed("ring", `{"kind":"circle","radius":"10000 ft"}`))))
	assert.InDelta(t, 40, feet(out.SetOut.Every), near)
	assert.Len(t, out.SetOut.Parts[0].Curves[0].Marks, 1570+2, "with both ends")
	out = takeoff(t, plain(), job(`"units":"metric"`, beds(bed("ring", `{"kind":"circle","radius":"3 m"}`))))
	assert.InDelta(t, 1, float64(out.SetOut.Every), near)
	assert.Len(t, out.SetOut.Parts[0].Curves[0].Marks, 18+2, "18.85 m round")
}

// graded is a job with a fall away from side 0 of its only bed.
func graded(t *testing.T, rate measure.Factor, text string) *estimate.Takeoff {
	t.Helper()
	_, j, faults := take(t, plain(), text)
	require.Empty(t, faults)
	from, to, ok := j.Beds[0].Outline.SideLine(0)
	require.True(t, ok)
	j.Beds[0].Grade.Fall = &estimate.Fall{Rate: rate, Side: 0, From: from, To: to}
	var none document.Faults
	out := estimate.Measure(j, &none)
	require.Zero(t, none.Len())
	return out
}

func TestItem20StakesTellHowFarTheSurfaceLiesBelowTheLevelString(t *testing.T) {
	t.Parallel()
	downs := func(p *estimate.StakedPart) string {
		var list []string
		for _, s := range p.Stakes {
			if s.Kind != outline.PivotStake {
				list = append(list, fmt.Sprintf("%s %.4g", s.Label, inches(s.Down)))
			}
		}
		return strings.Join(list, ", ")
	}
	in := `"in_bed":"garage"`
	text := job(beds(bed("garage", garage)), slabs(slabGroup("gate", "slab", 2, 3, "9 ft", "1 ft", in), slabGroup("step", "slab", 1, 1, "40 ft", "1 ft")))
	// 2 % of 6 1/2 ft are 1.56 in, of 4 1/2 ft 1.08 in, of 1 and 3 ft 0.24 and 0.72 in.
	out := graded(t, 0.02, text)
	assert.Equal(t, "A1 0, A2 0, A3 1.56, A4 1.08, A5 1.56, A6 1.56, A7 1.56, A8 1.08", downs(&out.SetOut.Parts[0]))
	assert.Equal(t, "B1 0.24, B2 0.24, B3 0.72, B4 0.72", downs(&out.SetOut.Parts[1]), "slabs lie on the surface of their bed")
	assert.Equal(t, "C1 0, C2 0, C3 0, C4 0", downs(&out.SetOut.Parts[2]), "slabs in no bed are level")
	// Across the line of the side the surface rises.
	l := `{"kind":"polygon","points":[["0 ft","0 ft"],["10 ft","0 ft"],["10 ft","-5 ft"],["15 ft","-5 ft"],["15 ft","10 ft"],["0 ft","10 ft"]]}`
	out = graded(t, 0.01, job(beds(bed("l", l))))
	assert.Equal(t, "A1 0, A2 0, A3 -0.6, A4 -0.6, A5 1.2, A6 1.2", downs(&out.SetOut.Parts[0]))
	level := takeoff(t, plain(), text)
	assert.Equal(t, "A1 0, A2 0, A3 0, A4 0, A5 0, A6 0, A7 0, A8 0", downs(&level.SetOut.Parts[0]))
}

func TestPavingAndPlantersAreStakedToo(t *testing.T) {
	t.Parallel()
	_, j, faults := take(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "20 ft", "10 ft"))),
		paving(paved("landing", "slab", "stack", `{"kind":"circle","centre":["30 ft","5 ft"],"radius":"4 ft"}`))))
	require.Empty(t, faults)
	from, to, _ := j.Beds[0].Outline.SideLine(0)
	j.Beds[0].Grade.Fall = &estimate.Fall{Rate: 0.02, From: from, To: to}
	j.Planters = []estimate.Planter{{ID: "p", InBed: "b", Length: 5 * measure.Foot, Width: 2 * measure.Foot, At: outline.Point{X: 2 * measure.Foot, Y: measure.Foot}, Rotate: measure.Degrees(90)}}
	var none document.Faults
	out := estimate.Measure(j, &none)
	require.Zero(t, none.Len())
	require.Len(t, out.SetOut.Parts, 3)
	paved, planter := &out.SetOut.Parts[1], &out.SetOut.Parts[2]
	assert.Equal(t, estimate.StakedPaving, paved.Kind)
	assert.Equal(t, []string{"B1 34.000 5.000 4.000 0.000", "B2 30.000 5.000 0.000 4.000"}, sheet(paved), "a circle is taped from its pivot and its start")
	assert.Equal(t, estimate.StakedPlanter, planter.Kind)
	assert.Equal(t, []string{"C1 2.000 1.000 2.236 18.028", "C2 2.000 6.000 6.325 18.974", "C3 0.000 6.000 6.000 20.881", "C4 0.000 1.000 1.000 20.025"}, sheet(planter),
		"from the ends of the side of 20 ft of its bed")
	assert.Equal(t, "A1 A2", planter.Baseline.First+" "+planter.Baseline.Second)
	assert.InDelta(t, 1.44, inches(planter.Stakes[1].Down), near, "2 % of 6 ft")
}

func TestAJobHasAtMost5000StakesBesideCorners(t *testing.T) {
	t.Parallel()
	// A star of 1,500 corners, each rounded, has four stakes for each; a smaller one after it still has its own in full.
	star := func(n int) string {
		var points, radii []string
		for i := range n {
			r, a := 1000+float64(i%2), 2*math.Pi*float64(i)/float64(n)
			points = append(points, fmt.Sprintf(`["%.6f m","%.6f m"]`, r*math.Cos(a), r*math.Sin(a)))
			radii = append(radii, `"10 mm"`)
		}
		return `{"kind":"polygon","points":[` + strings.Join(points, ",") + `],"corner_radii":[` + strings.Join(radii, ",") + `]}`
	}
	out := takeoff(t, plain(), job(beds(bed("large", star(1500)), bed("small", rectangle("3000 m", "0 m", "4 m", "3 m")))))
	assert.Len(t, out.SetOut.Parts[0].Stakes, 1500)
	assert.Empty(t, out.SetOut.Parts[0].Pivots)
	assert.Contains(t, codes(out), "corners_staked_only")
	assert.Len(t, out.SetOut.Parts[1].RightAngles, 4)
	out = takeoff(t, plain(), job(beds(bed("large", star(1250)))))
	assert.Len(t, out.SetOut.Parts[0].Stakes, 5000)
	assert.NotContains(t, codes(out), "corners_staked_only")
}

func TestThe27thPartHasTwoLetters(t *testing.T) {
	t.Parallel()
	var list []string
	for i := range 53 {
		list = append(list, slabGroup(fmt.Sprint("s", i), "slab", 1, 1, fmt.Sprint(2*i, " ft"), "0 ft"))
	}
	parts := takeoff(t, plain(), job(slabs(list...))).SetOut.Parts
	for i, want := range map[int]string{0: "A1", 25: "Z1", 26: "AA1", 51: "AZ1", 52: "BA1"} {
		assert.Equal(t, want, parts[i].Stakes[0].Label)
	}
}

func TestStakesCanBeFoundWithTwoTapes(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		out := valid(t, drawSite(t).write(us, still, 0))
		seen := map[string]bool{}
		at := map[string]outline.Point{}
		for i := range out.SetOut.Parts {
			p := &out.SetOut.Parts[i]
			for _, s := range p.Stakes {
				require.False(t, seen[s.Label], s.Label)
				seen[s.Label] = true
				at[s.Label] = s.At
			}
			a, b := at[p.Baseline.First], at[p.Baseline.Second]
			base := math.Hypot(float64(b.X-a.X), float64(b.Y-a.Y))
			require.InDelta(t, base, float64(p.Baseline.Length), 1e-9)
			ux, uy := float64(b.X-a.X)/base, float64(b.Y-a.Y)/base
			for _, s := range p.Stakes {
				// Intersection of two distances: along the baseline (d1^2 - d2^2 + c^2) / 2c, and square to it the rest of d1.
				d1, d2 := float64(s.ToFirst), float64(s.ToSecond)
				along := (d1*d1 - d2*d2 + base*base) / (2 * base)
				x, y := float64(s.At.X-a.X), float64(s.At.Y-a.Y)
				require.InDelta(t, ux*x+uy*y, along, 1e-8, s.Label)
				off := ux*y - uy*x
				require.InDelta(t, off*off, d1*d1-along*along, 1e-7, s.Label)
			}
		}
	})
}

func TestMovingAndTurningAJobWithItsMarksChangesNoCoordinate(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := drawSite(t)
		angle := rapid.Float64Range(-180, 180).Draw(t, "angle")
		dx, dy := rapid.Float64Range(-5000, 5000).Draw(t, "dx"), rapid.Float64Range(-5000, 5000).Draw(t, "dy")
		sin, cos := math.Sincos(angle * math.Pi / 180)
		turned := func(x, y float64) (float64, float64) { return dx + x*cos - y*sin, dy + x*sin + y*cos }
		marks := func(place func(x, y float64) (float64, float64)) string {
			point := func(x, y float64) string {
				x, y = place(x, y)
				return fmt.Sprintf("[%q,%q]", metric(x), metric(y))
			}
			return setOut(point(100, -300), point(2100, 500), "1 m")
		}
		with := func(place func(x, y float64) (float64, float64), turn float64) *estimate.Takeoff {
			text := s.write(metric, place, turn)
			return valid(t, strings.TrimSuffix(text, "}")+","+marks(place)+"}")
		}
		a, b := with(still, 0), with(turned, angle)
		require.Len(t, b.SetOut.Parts, len(a.SetOut.Parts))
		const tol = 1e-6 // points are written to a ten-thousandth of a millimetre
		for i := range a.SetOut.Parts {
			p, q := &a.SetOut.Parts[i], &b.SetOut.Parts[i]
			require.Len(t, q.Stakes, len(p.Stakes))
			circle := len(p.Spans) == 0 // it starts at its greatest x, wherever that is
			for k := range p.Stakes {
				if circle && p.Stakes[k].Kind != outline.PivotStake {
					continue
				}
				require.Equal(t, p.Stakes[k].Label, q.Stakes[k].Label)
				require.InDelta(t, float64(p.Stakes[k].At.X), float64(q.Stakes[k].At.X), tol)
				require.InDelta(t, float64(p.Stakes[k].At.Y), float64(q.Stakes[k].At.Y), tol)
				require.InDelta(t, float64(p.Stakes[k].ToFirst), float64(q.Stakes[k].ToFirst), tol)
				require.InDelta(t, float64(p.Stakes[k].ToSecond), float64(q.Stakes[k].ToSecond), tol)
			}
			for k := range p.Spans {
				require.InDelta(t, float64(p.Spans[k].Length), float64(q.Spans[k].Length), tol)
			}
			require.Len(t, q.Curves, len(p.Curves))
		}
		require.Equal(t, len(a.SetOut.Gauges), len(b.SetOut.Gauges))
	})
}
