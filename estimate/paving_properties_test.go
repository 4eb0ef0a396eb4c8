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

// drawnArea is a random paved area that can be written turned, moved, and in other units.
type drawnArea struct {
	points        [][2]float64 // metres
	unit, bond    string
	joint         float64 // mm
	border        string
	start         [2]float64
	direction     float64 // degrees
	clear         float64 // mm
	inches, rough bool
}

func drawArea(t *rapid.T) drawnArea {
	n := rapid.IntRange(3, 8).Draw(t, "corners")
	a := drawnArea{
		bond:      rapid.SampledFrom([]string{"stack", "running", "third", "herringbone_45", "herringbone_90", "basket_weave"}).Draw(t, "bond"),
		unit:      rapid.SampledFrom([]string{"brick", "modular"}).Draw(t, "unit"),
		border:    rapid.SampledFrom([]string{"", `,"border":{"course":"sailor"}`, `,"border":{"course":"soldier","unit":"brick"}`}).Draw(t, "border"),
		start:     [2]float64{rapid.Float64Range(-1, 1).Draw(t, "x"), rapid.Float64Range(-1, 1).Draw(t, "y")},
		direction: rapid.Float64Range(-100, 100).Draw(t, "direction"),
		clear:     rapid.SampledFrom([]float64{0, 100}).Draw(t, "clearance"),
	}
	if a.unit == "modular" {
		a.joint = 9.525
	}
	for i := range n {
		at := (float64(i) + rapid.Float64Range(0, 0.5).Draw(t, "angle")) * 2 * math.Pi / float64(n)
		r := rapid.Float64Range(1.2, 2).Draw(t, "radius")
		a.points = append(a.points, [2]float64{r * math.Cos(at), r * math.Sin(at)})
	}
	return a
}

// text writes the area turned by degrees about the origin, then moved.
func (a drawnArea) text(degrees, dx, dy float64) string {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	length := func(v float64) string {
		if a.inches {
			return fmt.Sprintf(`"%.9f in"`, v/0.0254)
		}
		return fmt.Sprintf(`"%.9f m"`, v)
	}
	at := func(p [2]float64) string {
		return "[" + length(p[0]*cos-p[1]*sin+dx) + "," + length(p[0]*sin+p[1]*cos+dy) + "]"
	}
	var points []string
	for _, p := range a.points {
		points = append(points, at(p))
	}
	text := fmt.Sprintf(`{"id":"a","unit":%q,"bond":%q,"outline":{"kind":"polygon","points":[%s]},"joint":{"width":"%.4f mm","max":"15 mm","fill":"fill"},"side_clearance":"%.0f mm",%s%s`,
		a.unit, a.bond, strings.Join(points, ","), a.joint, a.clear, base4, a.border)
	if !a.rough {
		text += fmt.Sprintf(`,"start":{"at":%s,"direction":%.9f}`, at(a.start), a.direction+degrees)
	}
	return job(paving(text + "}"))
}

func pavingOfText(t *rapid.T, text string) (*estimate.Takeoff, bool) {
	out, _, faults := take(t, pavingUnits(plain()), text)
	for _, f := range faults { // a border may be too wide, and lengths below 0.001 mm are refused
		require.Contains(t, []string{"no_field", "outline_crosses_itself", "out_of_range"}, f.Code, text)
	}
	return out, len(faults) == 0
}

func TestPavingDoesNotDependOnWhereItLies(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		a := drawArea(t)
		one, ok := pavingOfText(t, a.text(0, 0, 0))
		if !ok {
			return
		}
		other, ok := pavingOfText(t, a.text(rapid.Float64Range(-80, 80).Draw(t, "turn"), rapid.Float64Range(-50, 50).Draw(t, "dx"), 7))
		if !ok {
			return
		}
		p, q := &one.Paving[0], &other.Paving[0]
		assert.Equal(t, [3]int{p.Field.Whole, p.Field.Cut, p.Field.Bought.Units}, [3]int{q.Field.Whole, q.Field.Cut, q.Field.Bought.Units})
		assert.Equal(t, p.SawPasses(), q.SawPasses())
		assert.InDelta(t, float64(p.Field.Area), float64(q.Field.Area), 1e-7)
		assert.InDelta(t, float64(p.EdgeLength), float64(q.EdgeLength), 1e-6)
		assert.InDelta(t, float64(p.JointVolume), float64(q.JointVolume), 1e-8)
		assert.InDelta(t, float64(one.Diggings[0].Area), float64(other.Diggings[0].Area), 1e-7)
		if p.Border != nil {
			assert.Equal(t, p.Border.Units, q.Border.Units)
		}
		a.inches = true
		inInches, ok := pavingOfText(t, a.text(0, 0, 0))
		if !ok {
			return
		}
		r := &inInches.Paving[0]
		assert.Equal(t, [3]int{p.Field.Whole, p.Field.Cut, p.Field.Bought.Units}, [3]int{r.Field.Whole, r.Field.Cut, r.Field.Bought.Units})
		assert.InDelta(t, float64(p.JointVolume), float64(r.JointVolume), 1e-8)
	})
}

func TestPartsOfAPavedAreaAddUp(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		a := drawArea(t)
		a.rough = rapid.Bool().Draw(t, "searched")
		out, ok := pavingOfText(t, a.text(0, 0, 0))
		if !ok {
			return
		}
		p := &out.Paving[0]
		f := p.Field
		ground := float64(p.Area.Outline.Area())
		assert.InDelta(t, ground, float64(p.BorderArea+p.EdgeArea+f.Area), 1e-7)
		assert.InDelta(t, float64(f.Area), float64(f.LaidArea+f.JointArea), 2e-8)
		// Units cover what is laid; what is bought covers it too.
		face := float64(f.UnitArea())
		assert.GreaterOrEqual(t, float64(f.Bought.Units), float64(f.LaidArea)/face-1e-9)
		assert.GreaterOrEqual(t, float64(f.Whole+f.Cut), float64(f.LaidArea)/face-1e-9)
		assert.GreaterOrEqual(t, float64(p.CountedWaste()), 1-1e-9)
		volume := float64(f.JointArea+p.EdgeArea) * float64(p.FillDepth)
		bought := float64(f.Bought.Units)
		if p.Border != nil {
			volume += float64(p.Border.JointVolume)
			bought += float64(p.Border.Units.Total)
		}
		assert.InDelta(t, volume, float64(p.JointVolume), 1e-9)
		lines, shares := 0.0, 0.0
		for _, l := range out.Lines {
			if l.Key != estimate.Paving {
				continue
			}
			lines += l.Measured.Value
			for _, z := range l.Zones {
				shares += z.Share.Value
			}
		}
		assert.InDelta(t, bought, lines, 0)
		assert.InDelta(t, lines, shares, 0)
		// The clearance adds a strip: at least its width times the line, at sharp corners more.
		dug := float64(out.Diggings[0].Area)
		assert.GreaterOrEqual(t, dug, ground+a.clear/1000*float64(p.Area.Outline.Perimeter())-1e-7)
		if f.Search.Tried > 0 {
			assert.LessOrEqual(t, f.Search.Best.Units, f.Search.First.Units)
			assert.Equal(t, f.Search.Best.Units, f.Bought.Units)
		}
		for i := range out.Lines {
			assert.False(t, math.IsNaN(out.Lines[i].Required.Value))
		}
	})
}
