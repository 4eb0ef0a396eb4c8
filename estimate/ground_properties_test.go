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
	"bedline/estimate/measure"
)

// yard is a bed on uneven ground with an edging and a slab group in it, all lengths in eighths of an inch.
type yard struct {
	length, width, dig, base int
	percent                  float64
	side                     int
	edged                    bool
	spots                    [][3]int // x, y, down
	slab                     [2]int
}

func drawYard(t *rapid.T) yard {
	draw := func(name string, low, high int) int { return rapid.IntRange(low, high).Draw(t, name) }
	y := yard{length: draw("length", 600, 2000), width: draw("width", 500, 1500), dig: draw("dig", 1, 40), base: draw("base", 0, 40),
		percent: float64(draw("percent", 0, 12)), side: draw("side", 0, 3), edged: rapid.Bool().Draw(t, "edged")}
	for range draw("spots", 1, 9) {
		s := [3]int{draw("sx", -300, 2300), draw("sy", -300, 1800), draw("down", -80, 80)}
		clear := true
		for _, o := range y.spots {
			clear = clear && o[0] != s[0] && o[1] != s[1] // no four on one circle but by chance
		}
		if clear {
			y.spots = append(y.spots, s)
		}
	}
	if len(y.spots) > 2 {
		// Round the bed, so that none of its corners joins: the corners of a rectangle are on one circle, and of their two
		// diagonals either is right.
		for i, p := range [][2]int{{-311, -337}, {y.length + 353, -349}, {y.length + 367, y.width + 379}, {-383, y.width + 397}} {
			y.spots = append(y.spots, [3]int{p[0], p[1], draw(fmt.Sprint("down of corner ", i), -80, 80)})
		}
	}
	y.slab = [2]int{draw("slab x", 100, 400), draw("slab y", 100, 300)}
	return y
}

// bedText is the bed from x0 over so much length.
func (y yard) bedText(id string, x0, length float64, write notation, place func(x, y float64) (float64, float64), lower float64) string {
	point := func(x, y float64) string {
		x, y = place(x, y)
		return fmt.Sprintf("[%q,%q]", write(x), write(y))
	}
	w := float64(y.width)
	text := fmt.Sprintf(`{"id":%q,"outline":{"kind":"polygon","points":[%s,%s,%s,%s]},"dig":%q`, id,
		point(x0, 0), point(x0+length, 0), point(x0+length, w), point(x0, w), write(float64(y.dig)))
	if y.percent > 0 {
		text += `,` + fall(y.percent, y.side)
	}
	if y.edged {
		text += `,"edging":{"unit":"edger","course":"sailor"`
		if y.base > 0 {
			text += fmt.Sprintf(`,"base":{"material":"base","depth":%q}`, write(float64(y.base)))
		}
		text += `}`
	}
	spots := make([]string, len(y.spots))
	for i, s := range y.spots {
		spots[i] = fmt.Sprintf(`{"at":%s,"down":%q}`, point(float64(s[0]), float64(s[1])), write(float64(s[2])+lower))
	}
	return text + `,"spot_levels":[` + strings.Join(spots, ",") + `]}`
}

func (y yard) write(write notation, place func(x, y float64) (float64, float64), turn, lower float64) string {
	sx, sy := place(float64(y.slab[0]), float64(y.slab[1]))
	return job(beds(y.bedText("b", 0, float64(y.length), write, place, lower)),
		slabs(fmt.Sprintf(`{"id":"s","in_bed":"b","unit":"slab","rows":1,"columns":2,"at":[%q,%q],"rotate":%v,%s}`, write(sx), write(sy), turn, base3)))
}

// moved is the earth that a job moves: cut and fill of all its diggings, and their ground.
func moved(t require.TestingT, out *estimate.Takeoff) (cut, fill, area float64) {
	for _, d := range out.Diggings {
		require.NotNil(t, d.Earthwork)
		cut += float64(d.Earthwork.Cut)
		fill += float64(d.Earthwork.Fill)
		area += float64(d.Area)
		require.InDelta(t, float64(d.Area), float64(d.Earthwork.Area), 1e-6)
		// Where the ground is at the formation there is neither.
		require.LessOrEqual(t, float64(d.Earthwork.CutArea+d.Earthwork.FillArea), float64(d.Area)+1e-6)
	}
	require.InDelta(t, cut, float64(out.Spoil.Bank), 1e-9)
	return cut, fill, area
}

func TestPropertyMovingAndTurningGradedGroundChangesNothing(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		y := drawYard(t)
		cut, fill, area := moved(t, takeoff(t, plain(), y.write(us, still, 0, 0)))
		dx, dy := float64(rapid.IntRange(-5000, 5000).Draw(t, "dx"))+0.37, float64(rapid.IntRange(-5000, 5000).Draw(t, "dy"))+0.61
		turn := float64(rapid.IntRange(-1800, 1800).Draw(t, "turn")) / 10
		sin, cos := math.Sincos(turn * math.Pi / 180)
		coarse := func(v float64) float64 { // lengths below a micrometre are refused
			if math.Abs(v) < 4e-4 {
				return 0
			}
			return v
		}
		place := func(x, y float64) (float64, float64) { return coarse(dx + x*cos - y*sin), coarse(dy + x*sin + y*cos) }
		cut2, fill2, area2 := moved(t, takeoff(t, plain(), y.write(us, place, turn, 0)))
		assert.InDelta(t, cut, cut2, 1e-5)
		assert.InDelta(t, fill, fill2, 1e-5)
		assert.InDelta(t, area, area2, 1e-6)
	})
}

func TestPropertyUSAndMetricRequestsDigTheSame(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		y := drawYard(t)
		cut, fill, _ := moved(t, takeoff(t, plain(), y.write(us, still, 0, 0)))
		cut2, fill2, _ := moved(t, takeoff(t, plain(), y.write(metric, still, 0, 0)))
		assert.InDelta(t, cut, cut2, 1e-9)
		assert.InDelta(t, fill, fill2, 1e-9)
	})
}

func TestPropertyLoweringAllSpotsTakesTheirDepthOffTheWholeArea(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		y := drawYard(t)
		cut, fill, area := moved(t, takeoff(t, plain(), y.write(us, still, 0, 0)))
		lower := rapid.IntRange(-200, 200).Draw(t, "lower")
		cut2, fill2, _ := moved(t, takeoff(t, plain(), y.write(us, still, 0, float64(lower))))
		d := float64(lower) / 8 * float64(measure.Inch)
		assert.InDelta(t, cut-fill-d*area, cut2-fill2, 1e-8)
		if lower >= 0 {
			assert.LessOrEqual(t, cut2, cut+1e-9)
			assert.GreaterOrEqual(t, fill2, fill-1e-9)
		}
	})
}

func TestPropertySplittingABedConservesCutAndFill(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		y := drawYard(t)
		y.edged = false
		// The fall is from the long side, whose line both parts share; corners are taken, so that both stand on one ground.
		y.side, y.spots = 2*(y.side%2), nil
		l, w := y.length, y.width
		for i, p := range [][2]int{{-7, -9}, {l + 11, -13}, {l + 17, w + 8}, {-5, w + 19}, {l / 3, w / 2}, {l/2 + 31, w/3 - 3}} {
			y.spots = append(y.spots, [3]int{p[0], p[1], rapid.IntRange(-80, 80).Draw(t, fmt.Sprint("down ", i))})
		}
		at := float64(rapid.IntRange(10, l-10).Draw(t, "cut at"))
		whole, fill, area := moved(t, takeoff(t, plain(), job(beds(y.bedText("b", 0, float64(l), us, still, 0)))))
		cut2, fill2, area2 := moved(t, takeoff(t, plain(), job(beds(y.bedText("b", 0, at, us, still, 0), y.bedText("c", at, float64(l)-at, us, still, 0)))))
		assert.InDelta(t, whole, cut2, 1e-8)
		assert.InDelta(t, fill, fill2, 1e-8)
		assert.InDelta(t, area, area2, 1e-8)
	})
}

// Brute force: columns of a grid over the bed, each as high as the ground at its middle stands over the formation of the
// deepest digging there. The ground is one plane through three spots far out, so its level is known without a surface.
func TestPropertyCutAndFillAgreeWithColumnsOfAGrid(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		y := drawYard(t)
		y.edged = false
		y.spots = nil
		gx, gy := rapid.IntRange(-4, 4).Draw(t, "gx"), rapid.IntRange(-4, 4).Draw(t, "gy")
		z := rapid.IntRange(-30, 30).Draw(t, "z")
		level := func(x, y float64) float64 { return float64(z) + float64(gx)*x/100 + float64(gy)*y/100 }
		for _, p := range [][2]int{{-3000, -4000}, {6000, -3500}, {1000, 7000}} {
			y.spots = append(y.spots, [3]int{p[0], p[1], -(z + gx*p[0]/100 + gy*p[1]/100)})
		}
		cut, fill, _ := moved(t, takeoff(t, plain(), y.write(us, still, 0, 0)))
		const n = 400
		l, w := float64(y.length), float64(y.width)
		pad := 5 * 8. // a slab of 2 in on 3 in of base
		var wantCut, wantFill float64
		for i := range n {
			for j := range n {
				x, v := (float64(i)+0.5)*l/n, (float64(j)+0.5)*w/n
				depth := float64(y.dig)
				if in := x > float64(y.slab[0]) && x < float64(y.slab[0])+192 && v > float64(y.slab[1]) && v < float64(y.slab[1])+96; in {
					depth = max(depth, pad)
				}
				away := []float64{v, l - x, w - v, x}[y.side]
				h := level(x, v) + y.percent/100*away + depth
				wantCut += max(0, h)
				wantFill += max(0, -h)
			}
		}
		eighth := float64(measure.Inch) / 8
		cell := l * w / n / n * eighth * eighth * eighth
		// Columns along the edges of the slabs are off by a part of a column each.
		tolerance := 2*(192+96)*(l+w)/n*pad*eighth*eighth*eighth + 1e-4*l*w*40*eighth*eighth*eighth
		assert.InDelta(t, wantCut*cell, cut, tolerance)
		assert.InDelta(t, wantFill*cell, fill, tolerance)
	})
}

// The figures of a takeoff without spot levels don't depend on the code for graded ground.
func TestPropertyLevelSpotsAtTheStringAreAsGoodAsNone(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		y := drawYard(t)
		y.percent = 0
		for i := range y.spots {
			y.spots[i][2] = 0
		}
		with := takeoff(t, plain(), y.write(us, still, 0, 0))
		y.spots = nil
		text := strings.Replace(y.write(us, still, 0, 0), `,"spot_levels":[]`, "", 1)
		without := takeoff(t, plain(), text)
		require.Len(t, with.Diggings, len(without.Diggings))
		for i, d := range without.Diggings {
			require.Nil(t, d.Earthwork)
			assert.InDelta(t, float64(d.Volume), float64(with.Diggings[i].Volume), 1e-8)
			assert.InDelta(t, 0, float64(with.Diggings[i].Earthwork.Fill), 1e-12)
		}
		assert.Equal(t, without.Lines, with.Lines)
	})
}
