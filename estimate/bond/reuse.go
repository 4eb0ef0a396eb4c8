package bond

import (
	"cmp"
	"math"
	"slices"

	"bedline/estimate/measure"
)

// SawCut is what one cut takes off an offcut.
const SawCut = 3 * measure.Millimetre

// Method is how the units bought were found.
type Method uint8

const (
	WholeUnits Method = iota // each cut unit is bought whole: offcuts are not used, or nothing is cut
	Packed                   // packed by best fit; the bound tells how far it may be from the fewest
	Exhaustive               // all ways of sharing units were tried
)

var methodNames = [...]string{"whole units", "packed", "exhaustive"}

func (m Method) String() string { return methodNames[m] }

// Bought is the number of units to buy and what is known of it. Units lies between AreaBound and the whole and cut
// units together. With offcuts used, what a cut unit keeps, the rectangle round all its pieces, may come from an offcut whose largest
// free rectangle, less one saw cut, holds it in either turn; what is left of that is an offcut again.
type Bought struct {
	Units       int
	AreaBound   int  // whole units and the area of all pieces: fewer can't do, however they are cut
	RuleBound   int  // fewer can't do by the rule for offcuts
	FromOffcuts int  // cut units that come from offcuts
	Exact       bool // Units is the fewest by the rule: it was proven by RuleBound or by trying all ways
	Method      Method
}

// item is the rectangle round the pieces of one cut unit, along and across it.
type item struct{ a, b float64 }

// grain is the size to which pieces are rounded for packing, so that rounding errors don't put them in another order.
const grain = 1e-7

// round is the rectangle round parts of a unit.
func (p *pattern) round(parts []part, across bool) item {
	r := parts[0]
	for _, q := range parts[1:] {
		r.x0, r.y0, r.x1, r.y1 = min(r.x0, q.x0), min(r.y0, q.y0), max(r.x1, q.x1), max(r.y1, q.y1)
	}
	w, h := r.x1-r.x0, r.y1-r.y0
	if across {
		w, h = h, w
	}
	return item{min(p.length, math.Round(w/grain)*grain), min(p.width, math.Round(h/grain)*grain)}
}

// buy finds the units to buy. The bound by the rule is worked out only where it is wanted: it changes no count.
func (j *job) buy(t *tally, bounded bool) Bought {
	l, w := j.pattern.length, j.pattern.width
	face := float64(l * w)
	b := Bought{Units: t.whole + t.cut, Method: WholeUnits}
	b.AreaBound = t.whole + measure.RoundUp(t.area/face)
	b.RuleBound = b.Units
	if !j.spec.Reuse || t.cut == 0 {
		b.Exact = true
		return b
	}
	k := packing{offcut{l, w}, float64(SawCut)}
	items := slices.Clone(t.items)
	units, bound, method, exact := k.pack(items, bounded)
	b.Units, b.RuleBound = t.whole+units, t.whole+bound
	b.FromOffcuts = t.cut - units
	b.Method, b.Exact = method, exact
	return b
}

// offcut is a free rectangle: along and across the unit.
type offcut struct{ p, q float64 }

// packing is the rule by which items share units.
type packing struct {
	unit offcut
	saw  float64
}

// give is how much larger than its place a piece may be by rounding.
const give = 1e-6

// cut takes an item lying a along and b across from the corner of a free rectangle: what is left is L-shaped, and its
// largest free rectangle, less the saw cut that divides it, is the next offcut.
func (k *packing) cut(o offcut, a, b float64) (offcut, bool) {
	if a > o.p+give || b > o.q+give {
		return offcut{}, false
	}
	end := offcut{o.p - a - k.saw, o.q}
	beside := offcut{o.p, o.q - b - k.saw}
	if max(0, beside.p)*max(0, beside.q) > max(0, end.p)*max(0, end.q) {
		end = beside
	}
	return offcut{max(0, end.p), max(0, end.q)}, true
}

// best is the turn of an item that leaves the larger offcut.
func (k *packing) best(o offcut, i item) (left offcut, ok bool) {
	left, ok = k.cut(o, i.a, i.b)
	if turned, fits := k.cut(o, i.b, i.a); fits && (!ok || turned.p*turned.q > left.p*left.q) {
		return turned, true
	}
	return left, ok
}

// together tells whether two items can share a unit.
func (k *packing) together(i, j item) bool {
	for range 2 {
		for _, a := range [2]item{i, {i.b, i.a}} {
			if o, ok := k.cut(k.unit, a.a, a.b); ok {
				if _, ok = k.best(o, j); ok {
					return true
				}
			}
		}
		i, j = j, i
	}
	return false
}

const (
	tryAll   = 9    // items up to which all ways are tried
	allSorts = 2000 // items up to which several orders are tried
	lookAt   = 512  // offcuts looked at for one item
	clique   = 400  // items looked at for a set of which no two can share
)

// pack finds few units for the items. The order of the items is changed.
func (k *packing) pack(items []item, bounded bool) (units, bound int, method Method, exact bool) {
	if bounded || len(items) <= tryAll {
		bound = k.bound(items)
	}
	area := func(a, b item) int { return cmp.Compare(b.a*b.b, a.a*a.b) }
	long := func(a, b item) int { return cmp.Compare(max(b.a, b.b), max(a.a, a.b)) }
	short := func(a, b item) int { return cmp.Compare(min(b.a, b.b), min(a.a, a.b)) }
	units = len(items)
	for i, order := range []func(a, b item) int{area, long, short} {
		if units == bound || i > 0 && len(items) > allSorts {
			break
		}
		slices.SortStableFunc(items, func(a, b item) int {
			return cmp.Or(order(a, b), area(a, b), cmp.Compare(b.a, a.a))
		})
		units = min(units, k.bestFit(items))
	}
	if units > bound && len(items) <= tryAll {
		if n, ok := k.exhaust(items); ok {
			return n, n, Exhaustive, true
		}
	}
	return units, bound, Packed, units == bound
}

// bestFit gives each item in turn the smallest offcut that holds it, or a new unit.
func (k *packing) bestFit(items []item) (units int) {
	type open struct {
		offcut
		short float64
	}
	var offcuts []open // by their short side
	find := func(short float64) int {
		i, _ := slices.BinarySearchFunc(offcuts, short, func(o open, s float64) int { return cmp.Compare(o.short, s) })
		return i
	}
	smallest := 1e300
	for _, i := range items {
		smallest = min(smallest, i.a, i.b)
	}
	for _, i := range items {
		place, left, size := -1, offcut{}, 0.0
		first := find(min(i.a, i.b) - give)
		for at := first; at < len(offcuts) && at < first+lookAt; at++ {
			o := offcuts[at].offcut
			if s := o.p * o.q; place < 0 || s < size {
				if l, ok := k.best(o, i); ok {
					place, left, size = at, l, s
				}
			}
		}
		if place >= 0 {
			offcuts = slices.Delete(offcuts, place, place+1)
		} else {
			units++
			left, _ = k.best(k.unit, i)
		}
		if s := min(left.p, left.q); s > 0 && s >= smallest-give {
			offcuts = slices.Insert(offcuts, find(s), open{left, s})
		}
	}
	return units
}

// bound is a number of units that the items need by the rule: rectangles don't overlap, so their areas fit; of any
// set, no unit holds more than the count of its smallest that fit by area; and of a set no two of which can share, each
// needs its own.
func (k *packing) bound(items []item) int {
	face := float64(k.unit.p * k.unit.q)
	sorted := slices.Clone(items)
	slices.SortStableFunc(sorted, func(a, b item) int { return cmp.Compare(a.a*a.b, b.a*b.b) })
	total, window, end := 0.0, 0.0, 0
	n := len(sorted)
	bound := 0
	for from := range sorted {
		s := float64(sorted[from].a * sorted[from].b)
		total += s
		for end < n && window+float64(sorted[end].a*sorted[end].b) <= face+float64(face*same) {
			window += float64(sorted[end].a * sorted[end].b)
			end++
		}
		if fit := end - from; fit > 0 {
			bound = max(bound, (n-from+fit-1)/fit)
		}
		window -= s
		if end <= from {
			end, window = from+1, 0
		}
	}
	bound = max(bound, measure.RoundUp(total/face))
	var apart []item
	for i := n - 1; i >= max(0, n-clique); i-- {
		if !slices.ContainsFunc(apart, func(a item) bool { return k.together(a, sorted[i]) }) {
			apart = append(apart, sorted[i])
		}
	}
	return max(bound, len(apart))
}

// mostStates bounds the work of exhaust.
const mostStates = 200_000

// exhaust finds the fewest units by trying, for each set of items, all orders and turns in one unit, then all ways of
// dividing the items among units. It gives up, and ok is false, where that takes too long.
func (k *packing) exhaust(items []item) (units int, ok bool) {
	n := len(items)
	states := make([][]offcut, 1<<n) // offcuts that a set may leave of one unit
	states[0] = []offcut{k.unit}
	made := 0
	for set := range states {
		for _, o := range states[set] {
			for i, it := range items {
				if set&(1<<i) != 0 {
					continue
				}
				next := &states[set|1<<i]
				for _, t := range [2]item{it, {it.b, it.a}} {
					if left, fits := k.cut(o, t.a, t.b); fits && !slices.Contains(*next, left) {
						*next = append(*next, left)
						if made++; made > mostStates {
							return 0, false
						}
					}
				}
			}
		}
	}
	fewest := make([]int, 1<<n)
	for set := 1; set < len(fewest); set++ {
		fewest[set] = n + 1
		low := set & -set // some unit holds the first item
		rest := set ^ low
		for sub := rest; ; sub = (sub - 1) & rest {
			if len(states[sub|low]) > 0 {
				fewest[set] = min(fewest[set], 1+fewest[rest^sub])
			}
			if sub == 0 {
				break
			}
		}
	}
	return fewest[len(fewest)-1], true
}
