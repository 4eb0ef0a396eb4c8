package earth_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"bedline/estimate/earth"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// Borrow-pit grid (unit area) method of the survey handbooks: V = A/4 (sum h1 + 2 sum h2 + 3 sum h3 + 4 sum h4), h_k a
// depth at a corner of k cells. The vector is derived from the formula, cells of 20 ft: 400/4 x (4.0 + 8.0 + 4.0) =
// 1600 ft3 = 59.259 yd3. Its depths lie on one plane, so that the triangles agree with the mean of four corners.
func TestPublishedGridMethod(t *testing.T) {
	t.Parallel()
	depths := [3][3]float64{{1.0, 1.2, 1.4}, {0.8, 1.0, 1.2}, {0.6, 0.8, 1.0}}
	const foot = float64(measure.Foot)
	var spots []earth.Spot
	for i, row := range depths {
		for j, h := range row {
			spots = append(spots, spot(float64(j)*20*foot, float64(i)*20*foot, h*foot))
		}
	}
	pit := outline.Region{outline.RectangleLoop(at(0, 0), 40*measure.Foot, 40*measure.Foot, 0)}
	got := surface(t, spots...).Earthwork(pit, earth.Formation{})
	assert.InDelta(t, 1600, got.Cut.In(measure.CubicFoot), 1e-9)
	assert.InDelta(t, 59.259, got.Cut.In(measure.CubicYard), 5e-4)
}

// The same for cells that are triangles (survey handbooks): V = A/3 (sum h1 + 2 sum h2 + 3 sum h3 + ... + 6 sum h6).
// The corners are those of a lattice of equal triangles in rows, so that no other triangulation passes.
func TestPublishedTriangleMethod(t *testing.T) {
	t.Parallel()
	const rows, side = 6, 2.0
	height := side * math.Sqrt(3) / 2
	r := rand.New(rand.NewPCG(1, 2))
	place := func(i, j int) (x, y float64) { return side * (float64(j) + float64(i)/2), height * float64(i) }
	depth := [rows + 1][rows + 1]float64{}
	cells := [rows + 1][rows + 1]float64{}
	var spots []earth.Spot
	for i := 0; i <= rows; i++ {
		for j := 0; j+i <= rows; j++ {
			depth[i][j] = 0.1 + r.Float64()
			x, y := place(i, j)
			spots = append(spots, spot(x, y, depth[i][j]))
			if i+j < rows {
				cells[i][j]++
				cells[i+1][j]++
				cells[i][j+1]++
			}
			if i+j < rows-1 {
				cells[i+1][j]++
				cells[i][j+1]++
				cells[i+1][j+1]++
			}
		}
	}
	sum := 0.0
	for i := range depth {
		for j := range depth[i] {
			sum += cells[i][j] * depth[i][j]
		}
	}
	x, y := place(rows, 0)
	got := surface(t, spots...).Earthwork(outline.Region{polygon(0, 0, rows*side, 0, x, y)}, earth.Formation{})
	assert.InDelta(t, side*height/2/3*sum, float64(got.Cut), 1e-11)
}

// Prismoidal formula against average end area: a railway embankment in an examination problem, 150 m long, 11 m wide
// on top, slopes of 2:1, 0.5 m high at one end and 2.5 m at the other. End areas 6 and 40 m2, middle area 21 m2:
// prismoidal 3250 m3, average end area 3450 m3. The width, slope and heights are from memory and reproduce the printed
// areas. The bank is taken as ground over a level formation; shots every metre along its edges and toes.
func TestPublishedPrismoid(t *testing.T) {
	t.Parallel()
	var spots []earth.Spot
	for x := 0.0; x <= 150; x++ {
		h := 0.5 + 2*x/150
		toe := 5.5 + 2*h
		spots = append(spots, spot(x, -toe, 0), spot(x, -5.5, h), spot(x, 5.5, h), spot(x, toe, 0))
	}
	bank := surface(t, spots...)
	foot := outline.Region{polygon(0, -6.5, 150, -10.5, 150, 10.5, 0, 6.5)}
	got := bank.Earthwork(foot, earth.Formation{})
	assert.InDelta(t, 3250, float64(got.Cut), 1e-8)
	assert.InDelta(t, 200, (6.0+40)/2*150-float64(got.Cut), 1e-8)

	// The end and middle areas, as a slice of no more than a micrometre by its thickness.
	for _, section := range []struct{ x, area float64 }{{0, 6}, {75, 21}, {150 - 1e-6, 40}} {
		slice := bank.Earthwork(outline.Region{outline.RectangleLoop(at(section.x, -12), 1e-6, 24, 0)}, earth.Formation{})
		assert.InDelta(t, section.area, float64(slice.Cut)/1e-6, 1e-4)
	}
}

// Pyramid rule for a section that runs out to zero, V = L A / 3: Fundamentals of Transportation (open textbook),
// Earthwork. A triangular section of 5 m2 that runs out over 15 m holds 25 m3.
func TestPublishedPyramid(t *testing.T) {
	t.Parallel()
	assert.InDelta(t, 25, runningOut(t, 5, 15), 1e-12)
}

// runningOut is the volume of a triangular section that shrinks to a point.
func runningOut(t *testing.T, area, length float64) float64 {
	const width = 4.0
	s := surface(t, spot(0, 0, 0), spot(0, width/2, 2*area/width), spot(0, width, 0), spot(length, width/2, 0))
	return float64(s.Earthwork(outline.Region{polygon(0, 0, length, width/2, 0, width)}, earth.Formation{}).Cut)
}

// Mixed cut and fill: Fundamentals of Transportation (open textbook), Earthwork, worked solution. Average end area,
// which holds where a section keeps its width and its depth changes evenly, and pyramids where one end is zero. Fill
// 4087.5 m3, cut 1058.3 m3, 3029.2 m3 to borrow.
func TestPublishedMixedCutAndFill(t *testing.T) {
	t.Parallel()
	stations := []float64{0, 50, 75, 100, 115, 150}
	fills := []float64{60, 50, 25, 5, 0, 0}
	cuts := []float64{0, 0, 0, 10, 15, 30}
	const width = 10.0
	// Cut and fill lie side by side, each on its own half of the ground.
	var work earth.Earthwork
	runs := [2]float64{}
	for i := 1; i < len(stations); i++ {
		l := stations[i] - stations[i-1]
		for k, a := range [2][2]float64{{cuts[i-1], cuts[i]}, {-fills[i-1], -fills[i]}} {
			switch {
			case a[0] == 0 && a[1] == 0:
			case a[0] == 0 || a[1] == 0:
				runs[k] += runningOut(t, math.Abs(a[0]+a[1]), l)
			default:
				s := surface(t, spot(0, 0, a[0]/width), spot(0, width, a[0]/width), spot(l, 0, a[1]/width), spot(l, width, a[1]/width))
				work = work.Plus(s.Earthwork(outline.Region{outline.RectangleLoop(at(0, 0), measure.Length(l), width, 0)}, earth.Formation{}))
			}
		}
	}
	cut, fill := float64(work.Cut)+runs[0], float64(work.Fill)+runs[1]
	assert.InDelta(t, 4087.5, fill, 1e-9)
	assert.InDelta(t, 1058.3, cut, 0.05)
	assert.InDelta(t, 3029.2, fill-cut, 0.05)
}

// The grade away from a building of 6 in within the first 10 ft is 5 percent (International Residential Code R401.3).
func TestPublishedGradeFall(t *testing.T) {
	t.Parallel()
	f := earth.Formation{From: at(10, 0), To: at(0, 0), Fall: 0.05} // the ground at smaller y
	assert.InDelta(t, -6, f.Finished(outline.Point{X: 0, Y: -10 * measure.Foot}).In(measure.Inch), 1e-12)
}
