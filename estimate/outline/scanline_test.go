package outline_test

import (
	"math"
	"slices"
	"sort"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// The oracle of these tests knows nothing of sweeps: it cuts the plane along single upright lines, finds where each
// meets every edge from the equations of the line and the circle, and integrates the heights so found over x by
// Gauss-Legendre rules between all x where the form of the answer may change.

// hit is where an upright line meets an edge, and what the winding of its region gains upwards.
type hit struct {
	y      float64
	region int
	gain   int
}

func hits(regions []outline.Region, x float64) []hit {
	var all []hit
	for i, r := range regions {
		for _, l := range r {
			for _, e := range l {
				all = append(all, meets(e, x, i)...)
			}
		}
	}
	slices.SortFunc(all, func(a, b hit) int { return int(math.Copysign(1, a.y-b.y)) })
	return all
}

func meets(e outline.Edge, x float64, region int) []hit {
	x0, y0, x1, y1 := float64(e.From.X), float64(e.From.Y), float64(e.To.X), float64(e.To.Y)
	if e.Turn == 0 {
		switch {
		case x0 < x && x < x1:
			return []hit{{y0 + (y1-y0)*(x-x0)/(x1-x0), region, 1}}
		case x1 < x && x < x0:
			return []hit{{y0 + (y1-y0)*(x-x0)/(x1-x0), region, -1}}
		}
		return nil
	}
	cx, cy, r := float64(e.Centre.X), float64(e.Centre.Y), float64(e.Radius)
	if math.Abs(x-cx) >= r {
		return nil
	}
	h := math.Sqrt(r*r - (x-cx)*(x-cx))
	start := math.Atan2(y0-cy, x0-cx)
	var found []hit
	for _, s := range []float64{1, -1} {
		way := math.Atan2(s*h, x-cx) - start
		gain := -int(s) // counter-clockwise the upper half runs to the left
		if e.Turn < 0 {
			way, gain = -way, -gain
		}
		way = math.Mod(way+4*math.Pi, 2*math.Pi)
		if way < math.Abs(float64(e.Turn)) {
			found = append(found, hit{cy + s*h, region, gain})
		}
	}
	return found
}

// heights gives the height of each class along the upright line at x.
func heights(regions []outline.Region, x float64, classes int, class func(outline.Cover) int) []float64 {
	sums := make([]float64, classes)
	wind := make([]int, len(regions))
	cover := make(outline.Cover, (len(regions)+63)/64)
	all := hits(regions, x)
	for i, h := range all {
		wind[h.region] += h.gain
		cover[h.region/64] &^= 1 << (h.region % 64)
		if wind[h.region] != 0 {
			cover[h.region/64] |= 1 << (h.region % 64)
		}
		if i+1 < len(all) {
			if k := class(cover); k >= 0 && k < classes {
				sums[k] += all[i+1].y - h.y
			}
		}
	}
	return sums
}

// turns lists the x at which the heights may change their form: ends, sides of circles, crossings of all pairs.
func turns(regions []outline.Region) []float64 {
	var edges []outline.Edge
	var xs []float64
	for _, r := range regions {
		for _, l := range r {
			for _, e := range l {
				edges = append(edges, e)
				xs = append(xs, float64(e.From.X))
				if e.Turn != 0 {
					xs = append(xs, float64(e.Centre.X-e.Radius), float64(e.Centre.X+e.Radius), float64(e.Centre.X))
				}
			}
		}
	}
	for i, e := range edges {
		for _, f := range edges[:i] {
			for _, p := range common(e, f) {
				xs = append(xs, p[0])
			}
		}
	}
	sort.Float64s(xs)
	return xs
}

// common gives the crossings of the whole lines or circles of two edges, by the quadratic formula along the line and
// by the angle at the centre of the first circle.
func common(e, f outline.Edge) [][2]float64 {
	if e.Turn != 0 {
		e, f = f, e
	}
	ex, ey := float64(e.From.X), float64(e.From.Y)
	dx, dy := float64(e.To.X)-ex, float64(e.To.Y)-ey
	fx, fy := float64(f.From.X), float64(f.From.Y)
	switch {
	case f.Turn == 0:
		gx, gy := float64(f.To.X)-fx, float64(f.To.Y)-fy
		d := dx*gy - dy*gx
		if math.Abs(d) < 1e-12 {
			return nil
		}
		t := ((fx-ex)*gy - (fy-ey)*gx) / d
		return [][2]float64{{ex + t*dx, ey + t*dy}}
	case e.Turn == 0:
		cx, cy, r := float64(f.Centre.X), float64(f.Centre.Y), float64(f.Radius)
		a, b, c := dx*dx+dy*dy, (ex-cx)*dx+(ey-cy)*dy, (ex-cx)*(ex-cx)+(ey-cy)*(ey-cy)-r*r
		if b*b-a*c <= 0 || a == 0 {
			return nil
		}
		q := math.Sqrt(b*b - a*c)
		return [][2]float64{{ex + (-b-q)/a*dx, ey + (-b-q)/a*dy}, {ex + (-b+q)/a*dx, ey + (-b+q)/a*dy}}
	}
	cx, cy, r := float64(e.Centre.X), float64(e.Centre.Y), float64(e.Radius)
	gx, gy, q := float64(f.Centre.X)-cx, float64(f.Centre.Y)-cy, float64(f.Radius)
	d := math.Hypot(gx, gy)
	if d < 1e-12 || d >= r+q || d <= math.Abs(r-q) {
		return nil
	}
	mid, open := math.Atan2(gy, gx), math.Acos((d*d+r*r-q*q)/(2*d*r))
	return [][2]float64{
		{cx + r*math.Cos(mid+open), cy + r*math.Sin(mid+open)},
		{cx + r*math.Cos(mid-open), cy + r*math.Sin(mid-open)},
	}
}

// gauss are the positive nodes and the weights of the Gauss-Legendre rule of 16 points.
// Source: Abramowitz and Stegun, Handbook of Mathematical Functions, table 25.4.
var gauss = [8][2]float64{
	{0.095012509837637440185, 0.189450610455068496285},
	{0.281603550779258913230, 0.182603415044923588867},
	{0.458016777657227386342, 0.169156519395002538189},
	{0.617876244402643748447, 0.149595988816576732081},
	{0.755404408355003033895, 0.124628971255533872052},
	{0.865631202387831743880, 0.095158511682492784810},
	{0.944575023073232576078, 0.062253523938647892863},
	{0.989400934991649932596, 0.027152459411754094852},
}

// scanned integrates the heights of the classes.
func scanned(regions []outline.Region, classes int, class func(outline.Cover) int) []measure.Area {
	sums := make([]float64, classes)
	xs := turns(regions)
	for i := 1; i < len(xs); i++ {
		a, b := xs[i-1], xs[i]
		if b-a < 1e-11 {
			continue
		}
		add := func(node, weight float64) {
			// x = m + h sin(pi/2 node) takes away the infinite slope at the sides of circles.
			x := (a+b)/2 + (b-a)/2*math.Sin(math.Pi/2*node)
			w := weight * math.Pi / 2 * math.Cos(math.Pi/2*node) * (b - a) / 2
			for k, h := range heights(regions, x, classes, class) {
				sums[k] += w * h
			}
		}
		for _, g := range gauss {
			add(g[0], g[1])
			add(-g[0], g[1])
		}
	}
	areas := make([]measure.Area, classes)
	for k, s := range sums {
		areas[k] = measure.Area(s)
	}
	return areas
}

// oneByOne gives the boundary lengths of the classes; nil where edges come nearer than it can tell apart.
func oneByOne(regions []outline.Region, classes int, class func(outline.Cover) int) []float64 {
	rim := make([]float64, classes)
	at := func(x, y float64) int {
		cover := make(outline.Cover, (len(regions)+63)/64)
		wind := make([]int, len(regions))
		for _, h := range hits(regions, x) {
			if h.y < y {
				wind[h.region] += h.gain
			}
		}
		for i, w := range wind {
			if w != 0 {
				cover[i/64] |= 1 << (i % 64)
			}
		}
		return class(cover)
	}
	for _, r := range regions {
		for _, l := range r {
			for _, e := range l {
				cuts := []float64{0, 1}
				for _, s := range regions {
					for _, m := range s {
						for _, f := range m {
							for _, p := range common(e, f) {
								if t := along(e, p); t > 0 && t < 1 {
									cuts = append(cuts, t)
								}
							}
						}
					}
				}
				sort.Float64s(cuts)
				for i := 1; i < len(cuts); i++ {
					if cuts[i]-cuts[i-1] < 1e-9 {
						continue
					}
					if cuts[i]-cuts[i-1] < 1e-4 {
						return nil
					}
					t := measure.Factor((cuts[i] + cuts[i-1]) / 2)
					p, a := e.Point(t), float64(e.Heading(t))
					x, y, dx, dy := float64(p.X), float64(p.Y), -1e-7*math.Sin(a), 1e-7*math.Cos(a)
					left, right := at(x+dx, y+dy), at(x-dx, y-dy)
					if left == right {
						continue
					}
					d := float64(e.Length()) * (cuts[i] - cuts[i-1])
					if left >= 0 {
						rim[left] += d
					}
					if right >= 0 {
						rim[right] += d
					}
				}
			}
		}
	}
	return rim
}

// along is the share of an edge at which a point of its line or circle lies, outside 0 to 1 where it is beyond.
func along(e outline.Edge, p [2]float64) float64 {
	x, y := p[0]-float64(e.From.X), p[1]-float64(e.From.Y)
	if e.Turn == 0 {
		dx, dy := float64(e.To.X-e.From.X), float64(e.To.Y-e.From.Y)
		return (x*dx + y*dy) / (dx*dx + dy*dy)
	}
	way := math.Atan2(p[1]-float64(e.Centre.Y), p[0]-float64(e.Centre.X)) -
		math.Atan2(float64(e.From.Y-e.Centre.Y), float64(e.From.X-e.Centre.X))
	if e.Turn < 0 {
		way = -way
	}
	return math.Mod(way+4*math.Pi, 2*math.Pi) / math.Abs(float64(e.Turn))
}
