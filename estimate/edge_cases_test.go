package estimate_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// sound holds a takeoff to what must be so of any job: every number is one and none is below zero, parts add up to
// wholes, and ground is taken once.
func sound(t require.TestingT, out *estimate.Takeoff, job *estimate.Job) {
	for name, v := range numbers(out) {
		require.False(t, math.IsNaN(v) || math.IsInf(v, 0), "%s is %v", name, v)
		require.GreaterOrEqual(t, v, 0.0, name)
	}
	share := func(whole float64) float64 { return 1e-9 * math.Max(1, math.Abs(whole)) }
	var dugVolume float64
	for _, d := range out.Diggings {
		dugVolume += float64(d.Volume)
	}
	require.InDelta(t, float64(out.Spoil.Bank), dugVolume, share(dugVolume), "the diggings are the spoil")
	for _, l := range out.Lines {
		sum := 0.0
		for _, z := range l.Zones {
			require.False(t, math.IsNaN(z.Share.Value) || z.Share.Value < 0, "%s of %s", l.Key, z.ID)
			sum += z.Share.Value
		}
		require.InDelta(t, l.Measured.Value, sum, share(sum), "zones of %s", l.Key)
	}
	for i, b := range out.Beds {
		area, round := float64(job.Beds[i].Outline.Rings()[0].Area), float64(job.Beds[i].Outline.Rings()[0].Perimeter)
		for _, h := range b.Holes {
			area, round = area-float64(h.Area), round+float64(h.Perimeter)
			for _, k := range h.Islands {
				area, round = area+float64(k.Area), round+float64(k.Perimeter)
			}
		}
		require.InDelta(t, float64(b.Area), area, share(area), "holes and islands of %s", b.ID)
		require.InDelta(t, float64(b.Perimeter), round, share(round), "lines of %s", b.ID)
		require.LessOrEqual(t, float64(b.EdgedLength), float64(b.Perimeter)*(1+1e-9))
		require.LessOrEqual(t, float64(b.NetStoneArea), float64(b.Area)*(1+1e-9)+1e-9)
	}
	for _, c := range out.Courses {
		courseSound(t, &c, share)
	}
	if len(job.Beds) == 1 && len(job.Slabs) == 0 && len(out.Courses) == 1 {
		// The bed is stone and course.
		var on measure.Area
		shares := outline.Divide([]outline.Region{job.Beds[0].Outline.Region(), out.Courses[0].Course.Band}, 1, func(c outline.Cover) int {
			if c.Has(0) && c.Has(1) {
				return 0
			}
			return outline.None
		})
		on = shares[0].Area
		require.InDelta(t, float64(out.Beds[0].Area), float64(out.Beds[0].NetStoneArea+on), 10*share(float64(out.Beds[0].Area)))
	}
}

func courseSound(t require.TestingT, c *estimate.CourseTakeoff, share func(float64) float64) {
	laid := c.Course
	whole, cut, total, passes, edged := 0, 0, 0, 0, 0.0
	for _, r := range laid.Runs {
		for name, v := range map[string]float64{"length": float64(r.Length), "laid length": float64(r.RunLength), "closer": float64(r.Closer), "joint": float64(r.JointWidth),
			"gap": float64(r.Gap), "off": float64(r.Off), "cut": float64(r.CutLength), "short face": float64(r.ShortFace), "first off": float64(r.First.Off),
			"last off": float64(r.Last.Off), "first gap": float64(r.First.Gap), "last gap": float64(r.Last.Gap)} {
			require.False(t, math.IsNaN(v) || math.IsInf(v, 0) || v < 0, "%s of side %d corner %d is %v", name, r.Side, r.Corner, v)
		}
		first, last := r.Faces()
		for _, p := range []outline.Point{first, last} {
			require.False(t, math.IsNaN(float64(p.X)+float64(p.Y)), "a face of side %d", r.Side)
		}
		require.Equal(t, r.Units.Total, r.Full+r.Closers)
		require.Equal(t, r.Units.Total, r.Units.Whole+r.Units.Cut)
		require.GreaterOrEqual(t, r.Units.Whole, 0)
		require.LessOrEqual(t, r.Closer, 2*max(c.Spec.Unit.Length, c.Spec.Unit.Width))
		whole, cut, total = whole+r.Units.Whole, cut+r.Units.Cut, total+r.Units.Total
		passes += r.SawPasses
		edged += float64(r.Length)
	}
	require.Equal(t, [3]int{whole, cut, total}, [3]int{laid.Units.Whole, laid.Units.Cut, laid.Units.Total})
	require.Equal(t, passes, laid.SawPasses)
	require.InDelta(t, edged, float64(laid.EdgedLength), share(edged))
	for _, region := range []outline.Region{laid.Band, laid.Trench} {
		for _, l := range region {
			require.False(t, math.IsNaN(float64(l.Area())))
		}
	}
}

// gon is a regular polygon of n points on a circle of radius r metres about (r, r), rounded to micrometres.
func gon(n int, r float64) string {
	points := make([]string, n)
	for i := range points {
		a := 2 * math.Pi * float64(i) / float64(n)
		points[i] = fmt.Sprintf(`["%.6f m","%.6f m"]`, r+r*math.Cos(a), r+r*math.Sin(a))
	}
	return `{"kind":"polygon","points":[` + strings.Join(points, ",") + `]}`
}

func polygonOf(points ...string) string {
	return `{"kind":"polygon","points":[` + strings.Join(points, ",") + `]}`
}

// Outlines as they come from a site, and as nobody would tape them: right, or refused with the reason. Whole jobs, from the
// text to the takeoff.
func TestOutlinesAreRightOrRefusedWithTheReason(t *testing.T) {
	t.Parallel()
	const all = `"face":"inside","corner_joint":"auto"`
	gonArea := func(n int, r float64) float64 { return float64(n) / 2 * r * r * math.Sin(2*math.Pi/float64(n)) }
	for _, c := range []struct {
		name    string
		outline string
		edging  string   // members of an edging, or none
		area    float64  // m2, where it is right
		notices []string // of which it must tell
		refused []string
	}{
		{"a sliver of 0.1 mm by 10 m has its area", rectangle("0 m", "0 m", "10 m", "0.1 mm"), "", 1e-3, nil, nil},
		{"a sliver of 0.1 mm by 10 m is too narrow for its edging and says so", rectangle("0 m", "0 m", "10 m", "0.1 mm"), all, 1e-3, []string{"edging_overlaps_itself"}, nil},
		{"a sliver of less than 1 cm2 is refused", rectangle("0 m", "0 m", "0.9 m", "0.1 mm"), all, 0, nil, []string{"/beds/0/outline outline_too_small"}},
		{"a bed with a tooth of 0.1 mm keeps it", polygonOf(`["0 m","0 m"]`, `["4 m","0 m"]`, `["4 m","2 m"]`, `["2.0001 m","2 m"]`, `["2.0001 m","3 m"]`, `["2 m","3 m"]`, `["2 m","2 m"]`, `["0 m","2 m"]`), all, 8.0001, []string{"edging_overlaps_itself"}, nil},
		{"a needle without width is refused", polygonOf(`["0 m","0 m"]`, `["4 m","0 m"]`, `["4 m","2 m"]`, `["2 m","2 m"]`, `["2 m","3 m"]`, `["2 m","2 m"]`, `["0 m","2 m"]`), all, 0, nil,
			[]string{"/beds/0/outline/points outline_crosses_itself"}},
		{"points on one straight are points", polygonOf(`["0 m","0 m"]`, `["1 m","0 m"]`, `["2 m","0 m"]`, `["4 m","0 m"]`, `["4 m","2 m"]`, `["0 m","2 m"]`), all, 8, nil, nil},
		{"points on one straight alone enclose nothing", polygonOf(`["0 m","0 m"]`, `["1 m","0 m"]`, `["2 m","0 m"]`), all, 0, nil, []string{"/beds/0/outline/points outline_crosses_itself"}},
		{"a side that comes back on itself is refused", polygonOf(`["0 m","0 m"]`, `["4 m","0 m"]`, `["2 m","0 m"]`, `["4 m","2 m"]`, `["0 m","2 m"]`), all, 0, nil,
			[]string{"/beds/0/outline/points outline_crosses_itself"}},
		{"a point given twice is refused where it stands", polygonOf(`["0 m","0 m"]`, `["4 m","0 m"]`, `["4 m","0 m"]`, `["4 m","2 m"]`, `["0 m","2 m"]`), all, 0, nil,
			[]string{"/beds/0/outline/points/2 duplicate_point"}},
		{"the first point given again at the end is refused", polygonOf(`["0 m","0 m"]`, `["4 m","0 m"]`, `["4 m","2 m"]`, `["0 m","2 m"]`, `["0 ft","0 in"]`), all, 0, nil,
			[]string{"/beds/0/outline/points/4 duplicate_point"}},
		{"points 0.1 mm apart are two points", polygonOf(`["0 m","0 m"]`, `["4 m","0 m"]`, `["4 m","0.0001 m"]`, `["4 m","2 m"]`, `["0 m","2 m"]`), all, 8, []string{"edging_overlaps_itself", "no_room_for_units"}, nil},
		{"two half circles make a circle", `{"kind":"path","start":["0 m","0 m"],"segments":[{"arc_to":["2 m","0 m"],"radius":"1 m","turn":"left"},{"arc_to":["0 m","0 m"],"radius":"1 m","turn":"left"}]}`,
			`"curves":"cut"`, math.Pi, nil, nil},
		{"straights that touch their arcs make a stadium", `{"kind":"path","start":["0 m","0 m"],"segments":[{"line_to":["4 m","0 m"]},{"arc_to":["4 m","2 m"],"radius":"1 m","turn":"left"},{"line_to":["0 m","2 m"]},{"arc_to":["0 m","0 m"],"radius":"1 m","turn":"left"}]}`,
			`"curves":"cut"`, 8 + math.Pi, nil, nil},
		{"arcs that turn into each other make an S", `{"kind":"path","start":["0 m","0 m"],"segments":[{"arc_to":["4 m","0 m"],"rise":"0.5 m","turn":"left"},{"arc_to":["8 m","0 m"],"rise":"0.5 m","turn":"right"},{"line_to":["8 m","4 m"]},{"line_to":["0 m","4 m"]},{"line_to":["0 m","0 m"]}]}`,
			`"curves":"cut"`, 32, nil, nil},
		{"an arc that touches the side across is refused", `{"kind":"path","start":["0 m","0 m"],"segments":[{"arc_to":["4 m","0 m"],"radius":"2 m","turn":"right"},{"line_to":["4 m","2 m"]},{"line_to":["0 m","2 m"]},{"line_to":["0 m","0 m"]}]}`,
			"", 0, nil, []string{"/beds/0/outline/segments outline_crosses_itself"}},
		{"5,000 points on a circle have their area", gon(5000, 20), `"joint":{"width":"0 in","max":"1 in"}`, gonArea(5000, 20), nil, nil},
		{"5,000 points of a comb with courses round its teeth", comb(5000), "", 1249*4*0.09290304 + 2497*2*0.09290304, nil, nil},
		{"5,001 points are refused", gon(5001, 20), "", 0, nil, []string{"/beds/0/outline/points out_of_range"}},
		{"a bed of 10 cm has room for one unit and a little", rectangle("0 cm", "0 cm", "10 cm", "10 cm"), all, 0.01, []string{"no_room_for_units"}, nil},
		{"a round bed of 10 cm is too tight for its units", circle("5 cm", "5 cm", "5 cm"), all, 0, nil, []string{"/beds/0/edging/unit radius_too_tight"}},
		{"a round bed of 10 cm without edging is right", circle("5 cm", "5 cm", "5 cm"), "", math.Pi * 0.0025, nil, nil},
		{"a round bed of 10 cm edged outside is right", circle("5 cm", "5 cm", "5 cm"), `"face":"outside","curves":"open"`, math.Pi * 0.0025, []string{"wide_joint"}, nil},
		{"a bed of 2 km is right", rectangle("0 m", "0 m", "2000 m", "2000 m"), all, 4e6, nil, nil},
		{"a round bed of 2 km is right", circle("1000 m", "1000 m", "1000 m"), all, math.Pi * 1e6, nil, nil},
		{"a bed farther out than 1,000 km is refused", rectangle("999999 m", "0 m", "2000 m", "2000 m"), "", 0, nil, []string{"/beds/0/outline/at too_large"}},
		{"a hole that leaves 0.1 mm of ground on one side is right", with(rectangle("0 m", "0 m", "4 m", "2 m"), holes(rectangle("0.0001 m", "0.5 m", "1 m", "1 m"))), all, 7, []string{"edging_overlaps_itself"}, nil},
		{"two holes 0.1 mm apart are right", with(rectangle("0 m", "0 m", "4 m", "2 m"), holes(rectangle("1 m", "0.5 m", "1 m", "1 m"), rectangle("2.0001 m", "0.5 m", "1 m", "1 m"))), "", 6, nil, nil},
		{"a hole of 5,000 points on a circle in a round bed", with(circle("20 m", "20 m", "30 m"), holes(gon(4999, 20))), "", math.Pi*900 - gonArea(4999, 20), nil, nil},
		{"an island that fills its hole but for 0.1 mm", with(rectangle("0 m", "0 m", "4 m", "2 m"), holes(with(rectangle("1 m", "0.5 m", "1 m", "1 m"), islands(rectangle("1.0001 m", "0.5001 m", "0.9998 m", "0.9998 m"))))), all,
			8 - 1 + 0.9998*0.9998, []string{}, nil},
		{"a hole that is a needle is refused", with(rectangle("0 m", "0 m", "4 m", "2 m"), holes(rectangle("1 m", "0.5 m", "1 m", "0.01 mm"))), all, 0, nil, []string{"/beds/0/outline/holes/0 outline_too_small"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			members := []string{stone2, `"dig":"2 in"`}
			if c.edging != "" {
				members = append(members, `"edging":{"unit":"edger","course":"sailor",`+base3+`,`+c.edging+`}`)
			}
			out, read, faults := take(t, catalogue(), job(beds(bed("b", c.outline, members...))))
			if c.refused != nil {
				require.Nil(t, out)
				var list []string
				for _, f := range faults {
					list = append(list, f.Pointer+" "+f.Code)
					assert.NotEmpty(t, f.Detail)
				}
				assert.Equal(t, c.refused, list)
				return
			}
			require.Empty(t, faults)
			assert.InDelta(t, c.area, float64(out.Beds[0].Area), 1e-9*math.Max(1, c.area)+tolerated(c.name))
			for _, code := range c.notices {
				assert.Contains(t, codes(out), code)
			}
			if c.notices == nil {
				assert.NotContains(t, codes(out), "edging_overlaps_itself")
				assert.NotContains(t, codes(out), "no_room_for_units")
			}
			sound(t, out, read)
		})
	}
}

// tolerated is what the micrometres of the points of large polygons leave.
func tolerated(name string) float64 {
	if strings.Contains(name, "points on a circle") {
		return 1e-4
	}
	return 0
}

// FuzzOutlines draws small outlines with holes and islands from bytes, edges them in every way, and takes them off.
func FuzzOutlines(f *testing.F) {
	f.Add([]byte("0000"))
	f.Add([]byte{4, 10, 10, 200, 10, 200, 150, 10, 150, 2, 60, 60, 20, 1, 120, 80, 30, 0, 7})
	f.Add([]byte{5, 0, 0, 255, 0, 200, 90, 255, 200, 0, 200, 1, 100, 100, 60, 9, 100, 100, 30, 3, 1, 2, 3})
	f.Add([]byte{3, 0, 0, 90, 0, 45, 80, 1, 45, 30, 5, 2, 2, 2, 2, 2})
	c := catalogue()
	f.Fuzz(func(t *testing.T, data []byte) {
		at := 0
		next := func() int {
			at++
			if at > len(data) {
				return 0
			}
			return int(data[at-1])
		}
		point := func() string { return fmt.Sprintf(`["%d cm","%d cm"]`, 2*next(), 2*next()) }
		ring := func(points int) string {
			switch kind := next() % 4; {
			case kind == 0 && points == 0:
				return circle(fmt.Sprintf("%d cm", 2*next()), fmt.Sprintf("%d cm", 2*next()), fmt.Sprintf("%d cm", next()))
			case kind == 1 && points == 0:
				return rectangle(fmt.Sprintf("%d cm", 2*next()), fmt.Sprintf("%d cm", 2*next()), fmt.Sprintf("%d cm", next()), fmt.Sprintf("%d cm", next()))
			}
			list := make([]string, max(3, points))
			for i := range list {
				list[i] = point()
			}
			o := polygonOf(list...)
			if next()%4 == 0 {
				radii := make([]string, len(list))
				for i := range radii {
					radii[i] = fmt.Sprintf(`"%d cm"`, next()/4)
				}
				o = with(o, `"corner_radii":[`+strings.Join(radii, ",")+`]`)
			}
			return o
		}
		line := ring(3 + next()%5)
		var inner []string
		for range next() % 4 {
			hole := ring(0)
			if next()%3 == 0 {
				hole = with(hole, islands(ring(0)))
			}
			inner = append(inner, hole)
		}
		if len(inner) > 0 {
			line = with(line, holes(inner...))
		}
		pick := func(words ...string) string { return words[next()%len(words)] }
		members := []string{`"face":"` + pick("inside", "outside") + `"`, `"corner_joint":"` + pick("auto", "butt", "mitre", "open") + `"`, `"curves":"` + pick("auto", "cut", "open") + `"`,
			fmt.Sprintf(`"side_clearance":"%d mm"`, next()), fmt.Sprintf(`"joint":{"width":"%d mm","fill":"fill"}`, next()%20), base3}
		if next()%3 == 0 {
			members = append(members, fmt.Sprintf(`"sides":[%d,%d]`, next()%6, 6+next()%4))
		}
		text := job(beds(bed("b", line, stone2, `"dig":"3 cm"`, `"fabric":{"material":"fabric","under":"`+pick("bed", "bed_and_trench")+`"}`,
			`"edging":{"unit":"`+pick("edger", "edger-small", "slab")+`","course":"`+pick("sailor", "soldier")+`"`+more(members)+`}`)))
		root, err := document.Parse([]byte(text))
		require.NoError(t, err, text)
		var faults document.Faults
		r := document.Read(root, &faults)
		read := estimate.ReadJob(r, c, measure.Metric, &faults)
		r.Close()
		out := estimate.Measure(read, &faults)
		if (out == nil) != (faults.Len() > 0) {
			t.Fatalf("a takeoff %v beside %d faults of %s", out != nil, faults.Len(), text)
		}
		if out != nil {
			sound(t, out, read)
		}
	})
}
