package outline_test

import (
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

func gridShape(rng *rand.Rand) outline.Region {
	p := func() outline.Point { return pt(float64(rng.IntN(7)), float64(rng.IntN(7))) }
	n := func(k int) measure.Length { return measure.Length(rng.IntN(k) + 1) }
	switch rng.IntN(6) {
	case 0:
		return outline.Region{outline.RectangleLoop(p(), n(5), n(5), 0)}
	case 1:
		return outline.Region{outline.CircleLoop(p(), n(3))}
	case 2:
		return outline.Region{outline.Sector(p(), measure.Length(rng.IntN(3)), measure.Length(rng.IntN(3))+3, measure.Degrees(float64(rng.IntN(8))*45), measure.Degrees(float64(rng.IntN(8)+1)*45))}
	case 3:
		l, w := n(5)+1, n(5)+1
		r := measure.Length(rng.IntN(int(min(l, w)))+1) / 2
		o, err := outline.Rectangle(p(), l, w, r)
		if err != nil {
			panic(err)
		}
		return o.Region()
	case 4:
		o, err := outline.Polygon([]outline.Point{p(), p(), p(), p(), p()}, nil)
		if err != nil {
			return nil
		}
		return o.Region()
	default:
		l, w := n(5)+2, n(5)+2
		o, err := outline.Rectangle(p(), l, w, 1)
		if err != nil {
			panic(err)
		}
		var r outline.Region
		for _, e := range o.Elements() {
			if rng.IntN(4) > 0 {
				r = append(r, band(e.Edge, 0.25))
			}
		}
		return r
	}
}

func TestStress(t *testing.T) {
	seed, _ := strconv.Atoi(os.Getenv("SEED"))
	count, _ := strconv.Atoi(os.Getenv("COUNT"))
	rng := rand.New(rand.NewPCG(uint64(seed), 7))
	for i := range count {
		var rs []outline.Region
		for range rng.IntN(6) + 1 {
			rs = append(rs, gridShape(rng))
		}
		n := len(rs)
		a := outline.Divide(rs, n, byCount(n))
		angle := measure.Degrees(rng.Float64() * 360)
		far := measure.Length(1)
		if rng.IntN(2) == 0 {
			far = 2000
		}
		dx, dy := far*measure.Length(rng.Float64()), far*measure.Length(rng.Float64())
		moved := make([]outline.Region, n)
		for k := range rs {
			for _, l := range rs[k] {
				moved[k] = append(moved[k], l.Rotate(pt(1, 2), angle).Translate(dx, dy))
			}
		}
		b := outline.Divide(moved, n, byCount(n))
		for k := range n {
			assert.InDelta(t, float64(a[k].Area), float64(b[k].Area), 1e-7, "area %d", i)
			assert.InDelta(t, float64(a[k].Perimeter), float64(b[k].Perimeter), 1e-5, "perimeter %d", i)
		}
		if t.Failed() {
			t.Logf("oracle %v\na %v\nb %v\nobl %v", scanned(rs, n, byCount(n)), a, b, scanned(moved, n, byCount(n)))
		}
		if t.Failed() {
			t.Fatalf("%d %v\n%+v", n, angle.Degrees(), rs)
		}
	}
}
