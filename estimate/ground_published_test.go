package estimate_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"bedline/estimate"
	"bedline/estimate/measure"
)

// Borrow-pit grid (unit area) method of the survey handbooks, E-grid: V = A/4 (sum h1 + 2 sum h2 + 3 sum h3 + 4 sum h4).
// The vector is derived from the formula, cells of 20 ft: 400/4 x (4.0 + 8.0 + 4.0) = 1600 ft3 = 59.259 yd3. A bed of
// 40 x 40 ft, 1 ft deep; ground so far below the string that the depths of cut are those of the vector.
func TestAJobAgreesWithTheGridMethod(t *testing.T) {
	t.Parallel()
	depths := [3][3]float64{{1.0, 1.2, 1.4}, {0.8, 1.0, 1.2}, {0.6, 0.8, 1.0}}
	var spots []string
	for i, row := range depths {
		for j, h := range row {
			spots = append(spots, fmt.Sprintf("%d ft", 20*j), fmt.Sprintf("%d ft", 20*i), fmt.Sprintf("%.1f ft", 1-h))
		}
	}
	out := takeoff(t, plain(), job(beds(bed("pit", rectangle("0 ft", "0 ft", "40 ft", "40 ft"), `"dig":"1 ft"`, levels(spots...)))))
	w := earthOf(t, out, "pit", estimate.BedPart)
	assert.InDelta(t, 1600, cubicFeet(w.Cut), 5e-10)
	assert.InDelta(t, 59.259, yd3(w.Cut), 5e-4)
	assert.Zero(t, w.Fill)
	assert.InDelta(t, 59.259, measure.Volume(done(out, estimate.DigBed)).In(measure.CubicYard), 5e-4)
}

// Prismoidal formula, E-prism, against average end area, E-aea: a railway embankment in an examination problem, 150 m
// long, 11 m wide on top, slopes of 2:1, 0.5 m high at one end and 2.5 m at the other; 3250 m3 by the prismoidal
// formula, 3450 m3 by average end area. The width, slope and heights are from memory and reproduce the printed areas.
// Here the bank is ground to be dug away to 1 m below the string, taken every 2 m along its edges and toes.
func TestAJobAgreesWithThePrismoidalFormula(t *testing.T) {
	t.Parallel()
	var spots []string
	for x := 0.0; x <= 150; x += 2 {
		h := 0.5 + 2*x/150
		toe := 5.5 + 2*h
		for _, s := range [][2]float64{{-toe, 0}, {-5.5, h}, {5.5, h}, {toe, 0}} {
			spots = append(spots, fmt.Sprintf("%g m", x), fmt.Sprintf("%.9f m", s[0]), fmt.Sprintf("%.9f m", 1-s[1]))
		}
	}
	foot := `{"kind":"polygon","points":[["0 m","-6.5 m"],["150 m","-10.5 m"],["150 m","10.5 m"],["0 m","6.5 m"]]}`
	out := takeoff(t, plain(), job(beds(bed("bank", foot, `"dig":"1 m"`, levels(spots...)))))
	w := earthOf(t, out, "bank", estimate.BedPart)
	assert.InDelta(t, 3250, float64(w.Cut), 1e-5)
	assert.InDelta(t, 3450, (6.0+40)/2*150, 1e-12)
	assert.InDelta(t, 200, (6.0+40)/2*150-float64(w.Cut), 1e-5)
}

// Mixed cut and fill: Fundamentals of Transportation (open textbook), Earthwork, worked solution: average end area where
// both ends have ground, pyramids (E-pyr) where one is zero. Fill 4087.5 m3, cut 1058.3 m3, 3029.2 m3 to borrow. Every
// run between two stations is a bed of its own, 10 m wide, or a triangle where it runs out.
func TestAJobAgreesWithTheMixedCutAndFillExample(t *testing.T) {
	t.Parallel()
	stations := []float64{0, 50, 75, 100, 115, 150}
	sections := [][]float64{{60, 50, 25, 5, 0, 0}, {0, 0, 0, -10, -15, -30}} // m2, fill above zero
	const width = 10.0
	var list []string
	m := func(x float64) string { return fmt.Sprintf("%.9f m", x) }
	for k, areas := range sections {
		for i := 1; i < len(stations); i++ {
			a, b, l := areas[i-1], areas[i], stations[i]-stations[i-1]
			x, y := 60*float64(i), 60*float64(k)
			if a == 0 {
				a, b = b, 0
			}
			dig := `"dig":"1 m"`
			switch {
			case a == 0:
			case b == 0:
				// A triangular section, 2 a / width high, shrinks to a point.
				list = append(list, bed(fmt.Sprintf("p%d-%d", k, i),
					fmt.Sprintf(`{"kind":"polygon","points":[[%q,%q],[%q,%q],[%q,%q]]}`, m(x), m(y), m(x+l), m(y+width/2), m(x), m(y+width)), dig,
					levels(m(x), m(y), "1 m", m(x), m(y+width/2), m(1+2*a/width), m(x), m(y+width), "1 m", m(x+l), m(y+width/2), "1 m")))
			default:
				list = append(list, bed(fmt.Sprintf("r%d-%d", k, i), rectangle(m(x), m(y), m(l), m(width)), dig,
					levels(m(x), m(y), m(1+a/width), m(x), m(y+width), m(1+a/width), m(x+l), m(y), m(1+b/width), m(x+l), m(y+width), m(1+b/width))))
			}
		}
	}
	out := takeoff(t, plain(), job(beds(list...)))
	var cut, fill float64
	for _, d := range out.Diggings {
		cut += float64(d.Earthwork.Cut)
		fill += float64(d.Earthwork.Fill)
	}
	assert.InDelta(t, 4087.5, fill, 1e-5)
	assert.InDelta(t, 1058.3, cut, 0.05)
	assert.InDelta(t, 3029.2, fill-cut, 0.05)
}

// The grade away from a building of 6 in within the first 10 ft is 5 percent: International Residential Code R401.3,
// S-irc. A bed 10 ft wide on level ground at the string is dug to the grade alone: a wedge of 6 in, half of its box.
func TestAJobAgreesWithTheGradeOfTheResidentialCode(t *testing.T) {
	t.Parallel()
	spots := corners("20 ft", "10 ft", "1 in", "1 in", "1 in", "1 in")
	out := takeoff(t, plain(), job(beds(bed("b", rectangle("0 ft", "0 ft", "20 ft", "10 ft"), `"dig":"1 in"`, fall(5, 0), spots))))
	assert.InDelta(t, 200*0.5/2, cubicFeet(earthOf(t, out, "b", estimate.BedPart).Cut), 1e-9)
	assert.InDelta(t, 6, inches(earthOf(t, out, "b", estimate.BedPart).CutDepth), 1e-9)
}
