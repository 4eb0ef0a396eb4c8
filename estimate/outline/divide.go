package outline

import (
	"math"

	"bedline/estimate/measure"
)

// Cover is a set of regions by their numbers.
type Cover []uint64

// Has tells whether region i is in the set.
func (c Cover) Has(i int) bool { return i/64 < len(c) && c[i/64]>>(i%64)&1 != 0 }

// Share is what one class of ground takes: its area, and the length of the boundary of the union of its cells,
// holes included. Where two cells of the class meet there is no boundary.
type Share struct {
	Area      measure.Area
	Perimeter measure.Length
}

// Divide cuts the plane along the edges of all regions into cells and adds them up by class. For each cell class is
// given the set of regions that cover it, which is only lent, and returns a class from 0 to classes - 1; any other
// number, such as None, leaves the cell out. Ground that no region covers is in no class. The result is indexed by
// class.
//
// Lines and arcs are taken as they are; nothing is cut into chords. Edges that stay within 1e-10 m of each other are
// one (up to 1e-9 m they may be), whichever way they run and whichever regions they belong to, so shapes laid flush
// leave no slivers. Loops that are left open are closed by a straight line; loops with numbers that are not finite
// or beyond 1e9 m are left out. Regions may overlap, be empty, or lie apart.
func Divide(regions []Region, classes int, class func(Cover) int) []Share {
	shares := make([]Share, classes)
	regions, _ = upright(regions)
	origin, ok := middle(regions)
	if !ok {
		return shares
	}
	s := newSweep(regions, origin)
	sums := make([]total, classes)
	s.class = within(classes, class)
	s.account = func(c *curve, from, to float64) {
		area, length := c.under(from, to)
		if c.below >= 0 {
			sums[c.below].add(area, length)
		}
		if c.above >= 0 {
			sums[c.above].add(-area, length)
		}
	}
	s.upright = func(a, b int32, from, to float64) {
		if a >= 0 {
			sums[a].length += to - from
		}
		if b >= 0 {
			sums[b].length += to - from
		}
	}
	s.run()
	for i := range sums {
		shares[i] = sums[i].share()
	}
	return shares
}

// within is a class that is none where the number is no class.
func within(classes int, class func(Cover) int) func(Cover) int32 {
	return func(c Cover) int32 {
		if n := class(c); n >= 0 && n < classes {
			return int32(n)
		}
		return none
	}
}

// total adds areas up with what each sum loses (Neumaier): areas down to the axis are far larger than the cells
// between them.
type total struct{ area, lost, length float64 }

func (t *total) add(area, length float64) {
	sum := t.area + area
	if math.Abs(t.area) >= math.Abs(area) {
		t.lost += (t.area - sum) + area
	} else {
		t.lost += (area - sum) + t.area
	}
	t.area = sum
	t.length += length
}

// share is the sum. A class whose cells are all thinner than a point can come out a hair below zero.
func (t *total) share() Share {
	return Share{measure.Area(max(0, t.area+t.lost)), measure.Length(t.length)}
}

// middle is the middle of the bounds of all loops, by their ends: near it numbers keep the most digits.
func middle(regions []Region) (Point, bool) {
	low := Point{measure.Length(math.Inf(1)), measure.Length(math.Inf(1))}
	high := Point{-low.X, -low.Y}
	for _, r := range regions {
		for _, l := range r {
			for i := range l {
				if p := l[i].From; p.finite() {
					low = Point{min(low.X, p.X), min(low.Y, p.Y)}
					high = Point{max(high.X, p.X), max(high.Y, p.Y)}
				}
			}
		}
	}
	if !(low.X <= high.X) {
		return Point{}, false
	}
	return Point{(low.X + high.X) / 2, (low.Y + high.Y) / 2}, true
}

// frames are the directions, by sine and cosine, that upright tries in turn: right triangles with whole sides.
var frames = [...][2]float64{{5. / 13, 12. / 13}, {3. / 5, 4. / 5}, {8. / 17, 15. / 17}, {20. / 29, 21. / 29}, {7. / 25, 24. / 25}}

// upright turns the regions as a whole if some edge is all but upright: upright to 1e-5, yet wider than rounding
// makes it. On such an edge a stop of the sweep, good to 1e-10 m along x, would be good to far less along y.
func upright(regions []Region) ([]Region, frame) {
	least := leaning(regions, 0, 1)
	if least == 0 {
		return regions, frame{}
	}
	best := [2]float64{0, 1}
	for _, f := range frames {
		if n := leaning(regions, f[0], f[1]); n < least {
			least, best = n, f
		}
		if least == 0 {
			break
		}
	}
	if best[0] == 0 {
		return regions, frame{}
	}
	about, _ := middle(regions)
	f := frame{about, best[0], best[1]}
	return spunRegions(regions, f.about, f.sin, f.cos), f
}

// frame is a turn of the whole plane about a point; the zero value is none.
type frame struct {
	about    Point
	sin, cos float64
}

// back is the place in the plane before it was turned.
func (f frame) back(p Point) Point {
	if f.sin == 0 {
		return p
	}
	return spun(p, f.about, -f.sin, f.cos)
}

// leaning counts the straight edges that are all but upright once turned.
func leaning(regions []Region, sin, cos float64) (n int) {
	for _, r := range regions {
		for _, l := range r {
			for i := range l {
				e := &l[i]
				if !e.Straight() {
					continue
				}
				dx, dy := float64(e.To.X-e.From.X), float64(e.To.Y-e.From.Y)
				if sin != 0 {
					dx, dy = float64(dx*cos)-float64(dy*sin), float64(dx*sin)+float64(dy*cos)
				}
				if dx = math.Abs(dx); dx > merge/4 && dx < 1e-5*math.Abs(dy) {
					n++
				}
			}
		}
	}
	return n
}

func spunRegions(regions []Region, about Point, sin, cos float64) []Region {
	out := make([]Region, len(regions))
	for i, r := range regions {
		out[i] = make(Region, len(r))
		for j, l := range r {
			out[i][j] = make(Loop, len(l))
			for k, e := range l {
				out[i][j][k] = e.rotate(about, sin, cos)
			}
		}
	}
	return out
}
