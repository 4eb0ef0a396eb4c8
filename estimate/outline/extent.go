package outline

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"bedline/estimate/measure"
)

// Interval is a stretch of a coordinate. It is empty where From is above To.
type Interval struct{ From, To measure.Length }

// Empty tells whether nothing is in the interval. A single point is something.
func (i Interval) Empty() bool { return !(i.From <= i.To) }

// Length is the length of the interval, 0 where it is empty.
func (i Interval) Length() measure.Length {
	if i.Empty() {
		return 0
	}
	return i.To - i.From
}

// nothing is an empty interval that any other widens.
var nothing = Interval{measure.Length(math.Inf(1)), measure.Length(math.Inf(-1))}

func (i Interval) with(from, to measure.Length) Interval {
	return Interval{min(i.From, from), max(i.To, to)}
}

// View is wanted ground as seen in a direction: the cells whose set of regions wanted accepts; ground that no region
// covers is not asked about. What it holds does not change.
//
// It is in a frame turned by the direction about the origin: u runs along it, v to the left of it. A point (x, y) has
// u = x cos + y sin and v = y cos - x sin. Ground that is thinner than 1e-9 m along or across does not count.
type View struct {
	origin Point // of the sweep
	edges  []stretch
}

// stretch is a part of the boundary of the ground: a curve of the sweep, from and to along it. The sweep runs along -v
// with u upwards.
type stretch struct {
	curve    *curve
	from, to float64
}

// Look looks at wanted ground in a direction.
func Look(regions []Region, wanted func(Cover) bool, along measure.Angle) *View {
	// A quarter turn less along.
	sin, cos := measure.Cos(along), measure.Sin(along)
	// Turned about the middle of the ground, which then stays within reach and keeps its digits.
	about, ok := middle(regions)
	if !ok {
		return &View{}
	}
	turned := spunRegions(regions, about, sin, cos)
	origin, _ := middle(turned)
	frame := spun(about, Point{}, sin, cos)
	view := &View{origin: Point{frame.X + (origin.X - about.X), frame.Y + (origin.Y - about.Y)}}
	s := newSweep(turned, origin)
	s.class = func(c Cover) int32 {
		if wanted(c) {
			return 0
		}
		return none
	}
	view.edges = make([]stretch, 0, len(s.curves))
	s.account = func(c *curve, from, to float64) { view.edges = append(view.edges, stretch{c, from, to}) }
	s.run()
	return view
}

// across is the v that an edge takes up.
func (w *View) across(e *stretch) Interval {
	x0 := float64(w.origin.X)
	return Interval{measure.Length(-(e.to + x0)), measure.Length(-(e.from + x0))}
}

// along is the u that an edge takes up over a part of its v.
func (w *View) along(e *stretch, v Interval) Interval {
	x0, y0 := float64(w.origin.X), float64(w.origin.Y)
	a, b := max(e.from, -float64(v.To)-x0), min(e.to, -float64(v.From)-x0)
	low, high := e.curve.at(a), e.curve.at(b)
	if low > high {
		low, high = high, low
	}
	if y, ok := e.curve.turning(a, b); ok {
		low, high = min(low, y), max(high, y)
	}
	return Interval{measure.Length(low + y0), measure.Length(high + y0)}
}

// Reach gives how far the ground reaches along the direction (u) and across it (v); ok is false where there is none.
func (w *View) Reach() (u, v Interval, ok bool) {
	u, v = nothing, nothing
	for i := range w.edges {
		part := w.across(&w.edges[i])
		r := w.along(&w.edges[i], part)
		u, v = u.with(r.From, r.To), v.with(part.From, part.To)
	}
	return u, v, !u.Empty()
}

// Extents gives for each of several bands across the direction how far the ground in the band reaches along it, from
// its first to its last point, whatever gaps lie between. Bands are intervals of v, in any order, and may overlap;
// results are intervals of u, in the order of the bands, empty (From +Inf, To -Inf) where a band holds no ground.
func (w *View) Extents(bands []Interval) []Interval {
	reaches := make([]Interval, len(bands))
	for i := range reaches {
		reaches[i] = nothing
	}
	ordered := slices.IsSortedFunc(bands, func(a, b Interval) int { return cmp.Compare(a.From, b.From) }) &&
		slices.IsSortedFunc(bands, func(a, b Interval) int { return cmp.Compare(a.To, b.To) })
	for k := range w.edges {
		e := &w.edges[k]
		v := w.across(e)
		first := 0
		if ordered {
			first = sort.Search(len(bands), func(i int) bool { return bands[i].To > v.From })
		}
		for i := first; i < len(bands); i++ {
			part := Interval{max(v.From, bands[i].From), min(v.To, bands[i].To)}
			if part.To-part.From > same {
				u := w.along(e, part)
				reaches[i] = reaches[i].with(u.From, u.To)
			} else if ordered && bands[i].From >= v.To {
				break
			}
		}
	}
	return reaches
}
