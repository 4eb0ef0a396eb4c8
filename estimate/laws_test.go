package estimate_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate"
	"bedline/estimate/course"
)

// taped is a bed as it is taped on site, in whole eighths of an inch: a path, offsets from a baseline, or tapes from marks.
type taped struct {
	kind     string
	points   [][2]int // of a path
	rises    []int    // of its segments; 0 for a straight
	turns    []string
	stations [][2]int
	smooth   bool
	marks    [2][2]int
	tapes    [][2]int
	unit     string
	joint    int
}

func drawTapedBed(t *rapid.T) taped {
	draw := func(name string, low, high int) int { return rapid.IntRange(low, high).Draw(t, name) }
	b := taped{kind: rapid.SampledFrom([]string{"path", "offsets", "ties"}).Draw(t, "kind"), unit: rapid.SampledFrom([]string{"edger", "edger-small"}).Draw(t, "unit"), joint: draw("joint", 0, 2)}
	switch b.kind {
	case "path":
		n := draw("corners", 3, 7)
		for i := range n {
			a := (float64(i) + float64(draw("turn", 0, 70))/100) / float64(n) * 2 * math.Pi
			r := float64(draw("out", 600, 1600))
			b.points = append(b.points, [2]int{int(r * math.Cos(a)), int(r * math.Sin(a))})
			b.rises = append(b.rises, draw("arc", 0, 1)*draw("rise", 10, 100))
			b.turns = append(b.turns, rapid.SampledFrom([]string{"left", "right"}).Draw(t, "hand"))
		}
	case "offsets":
		along := draw("first", -500, 500)
		for range draw("stations", 3, 8) {
			b.stations = append(b.stations, [2]int{along, draw("out", 300, 900)})
			along += draw("step", 200, 700)
		}
		b.smooth = rapid.Bool().Draw(t, "smooth")
	default:
		b.marks = [2][2]int{{draw("x", -300, 300), draw("y", -300, 300)}, {draw("x", 900, 1500), draw("y", -300, 300)}}
		for range draw("points", 3, 5) {
			b.tapes = append(b.tapes, [2]int{draw("to the first", 400, 2000), draw("to the second", 400, 2000)})
		}
	}
	return b
}

// write is a job of the bed: all lengths times by, points placed and the bed turned by so many degrees.
func (b taped) write(write notation, by float64, place func(x, y float64) (float64, float64), turn int) string {
	length := func(v int) string { return write(by * float64(v)) }
	at := func(x, y int) string {
		u, v := place(by*float64(x), by*float64(y))
		return fmt.Sprintf("[%q,%q]", write(u), write(v))
	}
	var list []string
	var outline string
	switch b.kind {
	case "path":
		for i := range b.points {
			to := b.points[(i+1)%len(b.points)]
			if b.rises[i] == 0 {
				list = append(list, fmt.Sprintf(`{"line_to":%s}`, at(to[0], to[1])))
			} else {
				list = append(list, fmt.Sprintf(`{"arc_to":%s,"rise":%q,"turn":%q}`, at(to[0], to[1]), length(b.rises[i]), b.turns[i]))
			}
		}
		outline = fmt.Sprintf(`{"kind":"path","start":%s,"segments":[%s]}`, at(b.points[0][0], b.points[0][1]), strings.Join(list, ","))
	case "offsets":
		for _, s := range b.stations {
			list = append(list, fmt.Sprintf("[%q,%q]", length(s[0]), length(s[1])))
		}
		join := "straight"
		if b.smooth {
			join = "smooth"
		}
		outline = fmt.Sprintf(`{"kind":"offsets","at":%s,"rotate":%d,"stations":[%s],"join":%q}`, at(100, 200), turn, strings.Join(list, ","), join)
	default:
		for _, p := range b.tapes {
			list = append(list, fmt.Sprintf("[%q,%q]", length(p[0]), length(p[1])))
		}
		outline = fmt.Sprintf(`{"kind":"ties","marks":[%s,%s],"points":[%s]}`, at(b.marks[0][0], b.marks[0][1]), at(b.marks[1][0], b.marks[1][1]), strings.Join(list, ","))
	}
	return job(beds(bed("b", outline, fmt.Sprintf(`"dig":%q,"stone":{"material":"stone","depth":%q},"edging":{"unit":%q,"course":"sailor","curves":"cut","joint":{"width":%q}}`,
		length(16), length(16), b.unit, length(b.joint)))))
}

func TestTapedBedsAreTheSameInUSAndMetricNotation(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		b := drawTapedBed(t)
		us, metric := valid(t, b.write(us, 1, still, 0)), valid(t, b.write(metric, 1, still, 0))
		require.Equal(t, numbers(us), numbers(metric))
		require.Equal(t, us.Lines, metric.Lines)
		require.Equal(t, codes(us), codes(metric))
	})
}

// Units are counted alike but where a run comes out to the very end of one; there they differ by one.
func TestTapedBedsAreTheSameMovedAndTurnedByAQuarter(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		b := drawTapedBed(t)
		dx, dy := float64(rapid.IntRange(-40000, 40000).Draw(t, "dx")), float64(rapid.IntRange(-40000, 40000).Draw(t, "dy"))
		here := valid(t, b.write(us, 1, still, 0))
		moved := func(x, y float64) (float64, float64) { return x + dx, y + dy }
		turned := func(x, y float64) (float64, float64) { return -y, x }
		for name, text := range []string{b.write(us, 1, moved, 0), b.write(us, 1, turned, 90)} {
			there := valid(t, text)
			require.InDelta(t, float64(here.Beds[0].Area), float64(there.Beds[0].Area), 1e-6, name)
			require.InDelta(t, float64(here.Beds[0].Perimeter), float64(there.Beds[0].Perimeter), 1e-6, name)
			require.InDelta(t, float64(here.Beds[0].NetStoneArea), float64(there.Beds[0].NetStoneArea), 1e-5, name)
			require.InDelta(t, float64(here.Spoil.Bank), float64(there.Spoil.Bank), 1e-6, name)
			require.InDelta(t, here.Courses[0].Course.Units.Total, there.Courses[0].Course.Units.Total, 1, name)
		}
	})
}

// doubled is the catalogue with units twice as large.
func doubled(c *estimate.Catalogue) *estimate.Catalogue {
	materials := slices.Clone(c.Materials)
	for i := range materials {
		m := &materials[i]
		m.Length, m.Width, m.Thickness, m.JointMax = 2*m.Length, 2*m.Width, 2*m.Thickness, 2*m.JointMax
	}
	return estimate.NewCatalogue(materials, c.Soils, nil, 0, 0.333)
}

func TestDoublingATapedBedAndItsUnitsQuadruplesAreasAndKeepsTheUnits(t *testing.T) {
	t.Parallel()
	catalogue := estimate.NewCatalogue(catalogue().Materials, catalogue().Soils, nil, 0, 0.333)
	twice := doubled(catalogue)
	rapid.Check(t, func(t *rapid.T) {
		b := drawTapedBed(t)
		one, _, faults := take(t, catalogue, b.write(us, 1, still, 0))
		if len(faults) > 0 {
			t.Skip(faults)
		}
		if ties := one.Beds[0].Ties; ties != nil && ties.Greatest > 1e-9 {
			t.Skip("tapes that do not quite meet: what is allowed of that does not grow")
		}
		two, _, faults := take(t, twice, b.write(us, 2, still, 0))
		require.Empty(t, faults)
		require.InEpsilon(t, 4*float64(one.Beds[0].Area), float64(two.Beds[0].Area), 1e-9)
		require.InEpsilon(t, 2*float64(one.Beds[0].Perimeter), float64(two.Beds[0].Perimeter), 1e-9)
		require.InDelta(t, 4*float64(one.Beds[0].NetStoneArea), float64(two.Beds[0].NetStoneArea), 1e-5)
		require.InDelta(t, 8*float64(one.Spoil.Bank), float64(two.Spoil.Bank), 1e-5)
		a, z := one.Courses[0].Course, two.Courses[0].Course
		require.Equal(t, a.Units, z.Units)
		require.Equal(t, a.Joints, z.Joints)
		require.Equal(t, a.SawPasses, z.SawPasses)
		count := func(c *course.Course) (n [3]int) {
			for _, cut := range c.Cuts {
				n[cut.Kind] += cut.Count
			}
			return n
		}
		require.Equal(t, count(a), count(z))
	})
}

// A bed taped from a wall is cut in two at a station: both keep their own side of it.
func TestSplittingATapedBedConservesAreaAndVolume(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		b := drawTapedBed(t)
		if b.kind != "offsets" {
			t.Skip("no baseline")
		}
		b.smooth = false // a smooth line starts anew at its first station
		cut := rapid.IntRange(1, len(b.stations)-2).Draw(t, "cut")
		left, right := b, b
		left.stations, right.stations = b.stations[:cut+1], b.stations[cut:]
		whole := valid(t, b.bare())
		one, two := valid(t, left.bare()), valid(t, right.bare())
		require.InDelta(t, float64(whole.Beds[0].Area), float64(one.Beds[0].Area+two.Beds[0].Area), 1e-9)
		require.InDelta(t, float64(whole.Spoil.Bank), float64(one.Spoil.Bank+two.Spoil.Bank), 1e-9)
		require.InDelta(t, line(t, whole, estimate.DecorativeStone, "stone").Required.Value,
			line(t, one, estimate.DecorativeStone, "stone").Required.Value+line(t, two, estimate.DecorativeStone, "stone").Required.Value, 1e-9)
		seam := float64(2 * b.stations[cut][1])
		require.InDelta(t, float64(whole.Beds[0].Perimeter)+seam/8*0.0254, float64(one.Beds[0].Perimeter+two.Beds[0].Perimeter), 1e-9)
	})
}

// bare is the job without its edging.
func (b taped) bare() string {
	text := b.write(us, 1, still, 0)
	return text[:strings.Index(text, `,"edging"`)] + "}]}"
}
