package bond

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"bedline/estimate/outline"
)

// ground is the field less its openings, cut into curves in the frame of a pattern, with a grid of squares that tells
// which curves come near a place.
type ground struct {
	curves         []curve
	x0, y0, x1, y1 float64 // bounds of the field
	side           float64 // of a square
	nx, ny         int
	squares        lists // curves by square, row by row
	rows, columns  lists
	state          []uint8 // of a square
	level, plumb   map[float64]*scan
	seen           []int32 // by curve: the last question that met it
	question       int32
	near           []int32
	work           clipper
}

const (
	outside uint8 = iota
	inside
	crossed // curves come near
)

// lists are many short lists in one.
type lists struct{ from, items []int32 }

func (l *lists) of(i int) []int32 { return l.items[l.from[i]:l.from[i+1]] }

// scan is a level or plumb line over the ground: where it meets curves, in order, and the windings behind each.
type scan struct {
	at   []float64
	wind [][2]int32
}

// in tells whether windings about the field and its openings are those of ground to be laid.
func in(w [2]int32) bool { return w[0] != 0 && w[1] == 0 }

// behind are the windings just after v.
func (s *scan) behind(v float64) [2]int32 {
	i := sort.Search(len(s.at), func(i int) bool { return s.at[i] > v })
	if i == 0 {
		return [2]int32{}
	}
	return s.wind[i-1]
}

// inside is the length of the line between a and b in the ground.
func (s *scan) inside(a, b float64) float64 {
	total := 0.0
	w := s.behind(a)
	for i := sort.Search(len(s.at), func(i int) bool { return s.at[i] > a }); i < len(s.at) && s.at[i] < b; i++ {
		if in(w) {
			total += s.at[i] - a
		}
		a, w = s.at[i], s.wind[i]
	}
	if in(w) {
		total += b - a
	}
	return total
}

// newGround cuts field and openings for squares of at least the given side. It is nil where there is no field.
func newGround(f *frame, field, openings outline.Region, side float64) *ground {
	g := &ground{level: map[float64]*scan{}, plumb: map[float64]*scan{}}
	g.curves = appendRegion(g.curves, f, field, 0)
	if len(g.curves) == 0 {
		return nil
	}
	g.x0, g.y0 = math.Inf(1), math.Inf(1)
	g.x1, g.y1 = -g.x0, -g.y0
	for i := range g.curves {
		c := &g.curves[i]
		g.x0, g.x1 = min(g.x0, c.x0), max(g.x1, c.x1)
		g.y0, g.y1 = min(g.y0, c.low), max(g.y1, c.high)
	}
	g.curves = appendRegion(g.curves, f, openings, 1)
	w, h := g.x1-g.x0, g.y1-g.y0
	g.side = max(side, math.Sqrt(float64(w*h)/mostSquares), max(w, h)/mostSquares)
	g.nx, g.ny = whole(w/g.side)+1, whole(h/g.side)+1
	g.seen = make([]int32, len(g.curves))
	g.list()
	g.fill()
	return g
}

// mostSquares bounds the memory of the grid.
const mostSquares = 1 << 20

// margin widens curves by more than rounding when they are put into squares.
const margin = 1e-7

func (g *ground) column(x float64) int { return max(0, min(g.nx-1, whole((x-g.x0)/g.side))) }
func (g *ground) row(y float64) int    { return max(0, min(g.ny-1, whole((y-g.y0)/g.side))) }

// list puts the curves into the squares that they come near.
func (g *ground) list() {
	g.squares = count(g.nx*g.ny, func(put func(int, int32)) {
		for i := range g.curves {
			c := &g.curves[i]
			if c.x1 < g.x0 || c.x0 > g.x1 || c.high < g.y0 || c.low > g.y1 {
				continue
			}
			from, to := g.column(c.x0-margin), g.column(c.x1+margin)
			for x := from; x <= to; x++ {
				low, high := c.low, c.high
				if from != to && c.x0 != c.x1 {
					a, b := g.x0+float64(float64(x)*g.side)-margin, g.x0+float64(float64(x+1)*g.side)+margin
					p, q := c.at(a), c.at(b)
					low, high = min(p, q), max(p, q)
				}
				for y := g.row(low - margin); y <= g.row(high+margin); y++ {
					put(y*g.nx+x, int32(i))
				}
			}
		}
	})
	g.rows = count(g.ny, func(put func(int, int32)) {
		for i := range g.curves {
			for y := g.row(g.curves[i].low - margin); y <= g.row(g.curves[i].high+margin); y++ {
				put(y, int32(i))
			}
		}
	})
	g.columns = count(g.nx, func(put func(int, int32)) {
		for i := range g.curves {
			for x := g.column(g.curves[i].x0 - margin); x <= g.column(g.curves[i].x1+margin); x++ {
				put(x, int32(i))
			}
		}
	})
}

// count makes n lists of what each yields.
func count(n int, each func(put func(list int, item int32))) lists {
	l := lists{from: make([]int32, n+1)}
	each(func(i int, _ int32) { l.from[i+1]++ })
	for i := range n {
		l.from[i+1] += l.from[i]
	}
	l.items = make([]int32, l.from[n])
	next := slices.Clone(l.from[:n])
	each(func(i int, v int32) {
		l.items[next[i]] = v
		next[i]++
	})
	return l
}

// fill finds for each square whether it is in the ground, out of it, or crossed.
func (g *ground) fill() {
	g.state = make([]uint8, g.nx*g.ny)
	for y := range g.ny {
		s := g.levelAt(g.y0+float64((float64(y)+0.5)*g.side), y)
		for x := range g.nx {
			i := y*g.nx + x
			switch {
			case len(g.squares.of(i)) > 0:
				g.state[i] = crossed
			case in(s.behind(g.x0 + float64((float64(x)+0.5)*g.side))):
				g.state[i] = inside
			}
		}
	}
}

// meeting is where a scan meets a curve.
type meeting struct {
	at   float64
	gain int32
	set  int8
}

func (s *scan) build(m []meeting) *scan {
	slices.SortStableFunc(m, func(a, b meeting) int { return cmp.Compare(a.at, b.at) })
	s.at, s.wind = make([]float64, len(m)), make([][2]int32, len(m))
	var w [2]int32
	for i, v := range m {
		w[v.set] += v.gain
		s.at[i], s.wind[i] = v.at, w
	}
	return s
}

// levelAt is the scan a hair above y, whose row is known.
func (g *ground) levelAt(y float64, row int) *scan {
	var m []meeting
	for _, i := range g.rows.of(row) {
		if c := &g.curves[i]; c.low <= y && c.high > y {
			m = append(m, meeting{c.across(y), -int32(c.up), c.set})
		}
	}
	return new(scan).build(m)
}

// levelScan is the scan a hair above y.
func (g *ground) levelScan(y float64) *scan {
	s := g.level[y]
	if s == nil {
		if s = new(scan); y >= g.y0 && y <= g.y1 {
			s = g.levelAt(y, g.row(y))
		}
		g.level[y] = s
	}
	return s
}

// plumbScan is the scan a hair to the right of x.
func (g *ground) plumbScan(x float64) *scan {
	s := g.plumb[x]
	if s == nil {
		s = new(scan)
		if x >= g.x0 && x <= g.x1 {
			var m []meeting
			for _, i := range g.columns.of(g.column(x)) {
				if c := &g.curves[i]; c.x0 <= x && c.x1 > x {
					m = append(m, meeting{c.at(x), int32(c.right), c.set})
				}
			}
			s.build(m)
		}
		g.plumb[x] = s
	}
	return s
}
