package drawing_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"bedline/api/render/drawing"
)

// linear is the light of a colour: IEC 61966-2-1, sRGB.
func linear(c drawing.Colour) [3]float64 {
	one := func(v uint8) float64 {
		x := float64(v) / 255
		if x <= 0.04045 {
			return x / 12.92
		}
		return math.Pow((x+0.055)/1.055, 2.4)
	}
	return [3]float64{one(c.R), one(c.G), one(c.B)}
}

// lab is CIE 1976 L*a*b* of light under D65: lightness from 0 to 100, and two axes of colour.
func lab(light [3]float64) [3]float64 {
	to := [3][3]float64{{0.4124, 0.3576, 0.1805}, {0.2126, 0.7152, 0.0722}, {0.0193, 0.1192, 0.9505}}
	white := [3]float64{0.9505, 1, 1.089}
	var f [3]float64
	for i := range to {
		v := 0.0
		for k := range light {
			v += to[i][k] * light[k]
		}
		if v /= white[i]; v > 216.0/24389 {
			f[i] = math.Cbrt(v)
		} else {
			f[i] = (24389.0/27*v + 16) / 116
		}
	}
	return [3]float64{116*f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])}
}

// sight is how an eye sees light: Machado, Oliveira and Fernandes, "A Physiologically-based Model for Simulation of Color
// Vision Deficiency", IEEE TVCG 15 (2009), severity 1.0, on linear RGB. Figures from memory.
type sight struct {
	name   string
	matrix [3][3]float64
}

func sights() []sight {
	return []sight{
		{"protanopia", [3][3]float64{{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}}},
		{"deuteranopia", [3][3]float64{{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}}},
	}
}

func (s sight) sees(light [3]float64) (out [3]float64) {
	for i := range out {
		for k := range light {
			out[i] += s.matrix[i][k] * light[k]
		}
		out[i] = min(1, max(0, out[i]))
	}
	return out
}

// apart is the difference of two colours, CIE 1976: 2.3 is just seen.
func apart(a, b [3]float64) float64 {
	return math.Sqrt((a[0]-b[0])*(a[0]-b[0]) + (a[1]-b[1])*(a[1]-b[1]) + (a[2]-b[2])*(a[2]-b[2]))
}

// neighbours are the fills that touch each other in drawings, or that a reader has to tell apart by their fill alone.
func neighbours() [][2]drawing.Fill {
	return [][2]drawing.Fill{
		{drawing.Stone, drawing.UnitFill}, {drawing.Stone, drawing.CutFill}, {drawing.Ground, drawing.UnitFill}, {drawing.Stone, drawing.Ground},
		{drawing.UnitFill, drawing.CutFill}, {drawing.Slab, drawing.Stone}, {drawing.Field, drawing.CutFill}, {drawing.Border, drawing.CutFill},
		{drawing.Planter, drawing.Stone}, {drawing.Planter, drawing.Ground}, {drawing.Tree, drawing.Stone}, {drawing.Tree, drawing.Ground},
		{drawing.Post, drawing.Stone}, {drawing.Post, drawing.Field},
		{drawing.Base, drawing.Sand}, {drawing.Base, drawing.Subgrade}, {drawing.Sand, drawing.Subgrade}, {drawing.Sand, drawing.UnitFill},
		{drawing.Sand, drawing.Slab}, {drawing.Stone, drawing.Subgrade}, {drawing.Base, drawing.Stone}, {drawing.UnitFill, drawing.Subgrade},
		{drawing.Fabric, drawing.Lap}, {drawing.Fabric, drawing.Offcut}, {drawing.Fabric, drawing.Paper}, {drawing.Lap, drawing.Paper},
		{drawing.BarFill, drawing.CriticalBar}, {drawing.BarFill, drawing.Hold}, {drawing.CriticalBar, drawing.Hold}, {drawing.Hold, drawing.DayOff},
		{drawing.BarFill, drawing.DayOff}, {drawing.DayOff, drawing.Paper},
	}
}

func TestFillsThatTouchAreToldInGreyPrint(t *testing.T) {
	t.Parallel()
	for _, pair := range neighbours() {
		a, b := pair[0].Look(), pair[1].Look()
		if a.Pattern != b.Pattern {
			continue
		}
		// A printer of 106 lines to the inch holds steps of a few per cent apart; 4 of 100 are taken.
		assert.GreaterOrEqual(t, math.Abs(lab(linear(a.Tone))[0]-lab(linear(b.Tone))[0]), 4.0, "fills %d and %d", pair[0], pair[1])
	}
}

func TestFillsThatTouchAreToldByTheColourBlind(t *testing.T) {
	t.Parallel()
	for _, eye := range sights() {
		// White stays white: the rows of the matrix add up to one.
		assert.InDelta(t, 0, apart(lab(eye.sees([3]float64{1, 1, 1})), lab([3]float64{1, 1, 1})), 0.1, eye.name)
		for _, pair := range neighbours() {
			a, b := pair[0].Look(), pair[1].Look()
			d := apart(lab(eye.sees(linear(a.Tone))), lab(eye.sees(linear(b.Tone))))
			assert.GreaterOrEqual(t, d, 4.6, "fills %d and %d under %s: twice what is just seen", pair[0], pair[1], eye.name)
		}
	}
}

func TestMarksOfAPatternStandOutFromTheirTone(t *testing.T) {
	t.Parallel()
	for f := drawing.NoFill; f <= drawing.Ink100; f++ {
		look := f.Look()
		if look.Pattern == drawing.Plain {
			continue
		}
		assert.GreaterOrEqual(t, math.Abs(lab(linear(look.Tone))[0]-lab(linear(look.Mark))[0]), 20.0, "fill %d", f)
	}
}

func TestSeriesOfAChartAreToldWithoutColour(t *testing.T) {
	t.Parallel()
	a, b := drawing.Series1.Look(), drawing.Series2.Look()
	assert.NotEqual(t, len(a.Dashes), len(b.Dashes), "one is broken, the other is not")
	for _, eye := range sights() {
		assert.Greater(t, apart(lab(eye.sees(linear(a.Colour))), lab(eye.sees(linear(b.Colour)))), 20.0, eye.name)
	}
	for _, ink := range []drawing.Ink{drawing.Series1, drawing.Series2, drawing.WordsInk, drawing.FaintInk} {
		// WCAG 2.2, 1.4.3: letters have a contrast of 4.5 to 1 to what is under them, here paper and the darkest tone
		// that words stand on.
		for _, fill := range []drawing.Fill{drawing.Paper, drawing.DayOff, drawing.Fabric} {
			light := func(c drawing.Colour) float64 {
				l := linear(c)
				return 0.2126*l[0] + 0.7152*l[1] + 0.0722*l[2] + 0.05
			}
			if fill != drawing.Paper && ink != drawing.WordsInk {
				continue
			}
			assert.GreaterOrEqual(t, light(fill.Look().Tone)/light(ink.Look().Colour), 4.5, "ink %d on fill %d", ink, fill)
		}
	}
}
