package outline_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

func byCount(n int) func(outline.Cover) int {
	return func(c outline.Cover) int {
		k := 0
		for i := range n {
			if c.Has(i) {
				k++
			}
		}
		return k - 1
	}
}

func lens(r1, r2, d float64) float64 {
	if d >= r1+r2 {
		return 0
	}
	if d <= math.Abs(r1-r2) {
		return math.Pi * min(r1, r2) * min(r1, r2)
	}
	a := r1 * r1 * math.Acos((d*d+r1*r1-r2*r2)/(2*d*r1))
	b := r2 * r2 * math.Acos((d*d+r2*r2-r1*r1)/(2*d*r2))
	return a + b - math.Sqrt((-d+r1+r2)*(d+r1-r2)*(d-r1+r2)*(d+r1+r2))/2
}

func TestDivideTwoDiscs(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(1, 2))
	for i := range 2000 {
		r1, r2 := rng.Float64()*3+0.01, rng.Float64()*3+0.01
		x, y := rng.Float64()*8-4, rng.Float64()*8-4
		a := outline.Region{outline.CircleLoop(pt(1, 2), measure.Length(r1))}
		b := outline.Region{outline.CircleLoop(pt(1+x, 2+y), measure.Length(r2))}
		s := outline.Divide([]outline.Region{a, b}, 2, byCount(2))
		l := lens(r1, r2, math.Hypot(x, y))
		assert.InDelta(t, l, float64(s[1].Area), 1e-9, i)
		assert.InDelta(t, math.Pi*(r1*r1+r2*r2)-2*l, float64(s[0].Area), 1e-9, i)
		if t.Failed() {
			t.Fatal(r1, r2, x, y)
		}
	}
}

func TestDivideRectangles(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(1, 2))
	for i := range 3000 {
		n := rng.IntN(8) + 1
		var rs []outline.Region
		var grid [24][24]int
		for range n {
			x, y, l, w := rng.IntN(12), rng.IntN(12), rng.IntN(12)+1, rng.IntN(12)+1
			for u := x; u < x+l && u < 24; u++ {
				for v := y; v < y+w && v < 24; v++ {
					grid[u][v]++
				}
			}
			rs = append(rs, outline.Region{outline.RectangleLoop(pt(float64(x), float64(y)), measure.Length(l), measure.Length(w), 0)})
		}
		angle := measure.Degrees(rng.Float64() * 360)
		if i%3 == 0 {
			angle = measure.Degrees(float64(rng.IntN(9) * 45))
		}
		dx, dy := measure.Length(rng.Float64()*2000), measure.Length(rng.Float64()*2000)
		for k := range rs {
			for m := range rs[k] {
				rs[k][m] = rs[k][m].Rotate(pt(3, 4), angle).Translate(dx, dy)
			}
		}
		area, per := make([]float64, n), make([]float64, n)
		for u := range 24 {
			for v := range 24 {
				if k := grid[u][v]; k > 0 {
					area[k-1]++
					for _, d := range [][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
						a, b := u+d[0], v+d[1]
						if a < 0 || b < 0 || a > 23 || b > 23 || grid[a][b] != k {
							per[k-1]++
						}
					}
				}
			}
		}
		s := outline.Divide(rs, n, byCount(n))
		for k := range n {
			assert.InDelta(t, area[k], float64(s[k].Area), 1e-8, "area %d", i)
			assert.InDelta(t, per[k], float64(s[k].Perimeter), 1e-6, "perimeter %d", i)
		}
		if t.Failed() {
			t.Fatal(n, angle.Degrees(), fmt.Sprint(rs))
		}
	}
}
