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

// Extents gives for each of several bands across a direction how far the wanted ground in the band reaches along it,
// from its first to its last point, whatever gaps lie between. Wanted ground are the cells whose set of regions
// wanted accepts; ground that no region covers is not asked about.
//
// Bands and results are in a frame turned by along about the origin: u runs in direction along, v to the left of it.
// A point (x, y) has u = x cos + y sin and v = y cos - x sin. Bands are intervals of v, in any order, and may overlap;
// results are intervals of u, in the order of the bands, empty (From +Inf, To -Inf) where a band holds no wanted
// ground. Ground that is thinner than 1e-9 m along or across does not count.
func Extents(regions []Region, wanted func(Cover) bool, along measure.Angle, bands []Interval) []Interval {
	reaches := make([]Interval, len(bands))
	for i := range reaches {
		reaches[i] = nothing
	}
	ordered := slices.IsSortedFunc(bands, func(a, b Interval) int { return cmp.Compare(a.From, b.From) }) &&
		slices.IsSortedFunc(bands, func(a, b Interval) int { return cmp.Compare(a.To, b.To) })
	edges(regions, wanted, along, func(v Interval, reach func(Interval) Interval) {
		first := 0
		if ordered {
			first = sort.Search(len(bands), func(i int) bool { return bands[i].To > v.From })
		}
		for i := first; i < len(bands); i++ {
			part := Interval{max(v.From, bands[i].From), min(v.To, bands[i].To)}
			if part.To-part.From > same {
				u := reach(part)
				reaches[i] = reaches[i].with(u.From, u.To)
			} else if ordered && bands[i].From >= v.To {
				break
			}
		}
	})
	return reaches
}

// Reach gives how far the wanted ground reaches along a direction (u) and across it (v), in the frame of Extents; ok
// is false where there is none.
func Reach(regions []Region, wanted func(Cover) bool, along measure.Angle) (u, v Interval, ok bool) {
	u, v = nothing, nothing
	edges(regions, wanted, along, func(part Interval, reach func(Interval) Interval) {
		r := reach(part)
		u, v = u.with(r.From, r.To), v.with(part.From, part.To)
	})
	return u, v, !u.Empty()
}

// edges yields the boundary of the wanted ground in stretches: the v that one takes up, and a function for the u that
// it takes up over part of that.
func edges(regions []Region, wanted func(Cover) bool, along measure.Angle, yield func(Interval, func(Interval) Interval)) {
	// The sweep runs along -v with u upwards: a quarter turn less along.
	sin, cos := measure.Cos(along), measure.Sin(along)
	turned := spunRegions(regions, Point{}, sin, cos)
	origin, ok := middle(turned)
	if !ok {
		return
	}
	s := newSweep(turned, origin)
	s.class = func(c Cover) int32 {
		if wanted(c) {
			return 0
		}
		return none
	}
	x0, y0 := float64(origin.X), float64(origin.Y)
	s.account = func(c *curve, from, to float64) {
		yield(Interval{measure.Length(-(to + x0)), measure.Length(-(from + x0))}, func(v Interval) Interval {
			a, b := max(from, -float64(v.To)-x0), min(to, -float64(v.From)-x0)
			low, high := c.at(a), c.at(b)
			if low > high {
				low, high = high, low
			}
			if y, ok := c.turning(a, b); ok {
				low, high = min(low, y), max(high, y)
			}
			return Interval{measure.Length(low + y0), measure.Length(high + y0)}
		})
	}
	s.run()
}
