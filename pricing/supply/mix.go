package supply

import (
	"math"
	"slices"
	"sort"

	"bedline/estimate/measure"
)

// unit is the fine unit of priced costs: 1/1024 of a minor unit.
const unit = 1 << 10

// term is what an item costs when loads and goods have a price: in fine units, weight x cost + load per step.
type term struct {
	weight int64
	load   int64
}

// mixer lists combinations of the offers of one material, in one of three ways. Without terms it keeps for every set
// of sellers the best. With terms and without dimensions it keeps the one that is cheapest by the terms. With both it
// keeps all up to a priced cost that are not beaten in score and every dimension.
type mixer struct {
	items    []item // all of the problem
	demand   *demand
	local    []int32 // items in order of trial
	terms    []term  // of each of local
	dims     []dimension
	goodsEnd int   // local[:goodsEnd] may be bought beyond the need
	freeFrom int   // local[freeFrom:] take nothing of the dimensions and have no price
	spare    int64 // least cost of what covers with the purchases before them
	ceiling  int64 // of the cost
	most     int64 // of the priced cost, with dimensions
	budget   int
	nodes    int
	spent    bool
	lows     []int64 // steps of each of local, empty if any number
	highs    []int64
	mustEnd  int // local[mustEnd:] need not be bought
	suffix   []suffix
	floors   floors   // with dimensions
	apart    []uint64 // of each of local those before it that it need not be mixed with
	stack    []line
	order    []line         // the stack in order of items
	taken    []float64      // of each dimension, a stack as deep as the purchases
	kept     []combo        // lent until the mixer is used again, like all below
	lines    []line         // of the kept
	held     store[float64] // their dimensions
}

// suffix bounds what the items from an index on can do.
type suffix struct {
	rate, thin, half float64
	grain, packGrain int64
	priced, loose    float64 // rate and half with terms
	own, ownPriced   float64 // rates of the item itself
}

// only says that the single cheapest by the terms is wanted.
func (m *mixer) only() bool { return m.terms != nil && len(m.dims) == 0 }

// bounds are those of the local item in the costs that the mixer ranks by.
func (m *mixer) bounds(i int) (rate, half float64, grain int64) {
	it := &m.items[m.local[i]]
	if !m.only() {
		rate = it.rate + float64(it.extra.rate*it.rate) + float64(it.extra.step)/it.content
		if it.worth != 0 {
			return rate + it.worth/it.content, it.half + it.extra.half, 1
		}
		if it.extra.share > 0 {
			return rate, it.half + it.extra.half, 1
		}
		return rate, it.half, gcd(it.grain, it.extra.step)
	}
	t := m.terms[i]
	grain = gcd(gcd(it.grain*t.weight, t.load), it.extra.step*unit)
	if it.extra.share > 0 {
		grain = gcd(grain, unit)
	}
	if it.worth != 0 {
		grain = 1
	}
	return m.pricedRate(i), m.pricedHalf(i), grain
}

func (m *mixer) pricedRate(i int) float64 {
	it, t := &m.items[m.local[i]], m.terms[i]
	beside := float64(it.extra.rate*it.rate) + float64(it.extra.step)/it.content
	if it.worth != 0 {
		beside += it.worth / it.content
	}
	return float64(float64(t.weight)*it.rate) + float64(unit*beside) + float64(t.load)/it.content
}

// pricedHalf is what rounding can take off a priced cost of the local item.
func (m *mixer) pricedHalf(i int) float64 {
	it := &m.items[m.local[i]]
	return float64(float64(m.terms[i].weight)*it.half) + float64(unit*it.extra.half)
}

// cost is what the mixer ranks by.
func (m *mixer) cost(i int, steps, goods int64) int64 {
	if !m.only() {
		return goods + m.items[m.local[i]].extra.of(goods, steps)
	}
	return m.priced(i, steps, goods)
}

// priced is the cost of a purchase of the local item by the terms.
func (m *mixer) priced(i int, steps, goods int64) int64 {
	t := &m.terms[i]
	return t.weight*goods + t.load*steps + unit*m.items[m.local[i]].extra.of(goods, steps)
}

// prepare bounds what the items can do.
func (m *mixer) prepare() {
	n := len(m.local)
	m.suffix = slices.Grow(m.suffix[:0], n+1)[:n+1]
	m.suffix[n] = suffix{rate: math.Inf(1), thin: math.Inf(1), priced: math.Inf(1)}
	for i := n - 1; i >= 0; i-- {
		it, after := &m.items[m.local[i]], m.suffix[i+1]
		rate, half, grain := m.bounds(i)
		m.suffix[i] = suffix{
			rate: min(rate, after.rate), thin: min(it.thin, after.thin), half: after.half + half,
			grain: gcd(after.grain, grain), packGrain: gcd(after.packGrain, it.packs), own: rate,
		}
		if m.terms != nil {
			m.suffix[i].ownPriced = m.pricedRate(i)
			m.suffix[i].priced = min(after.priced, m.pricedRate(i))
			m.suffix[i].loose = after.loose + m.pricedHalf(i)
		}
	}
	if len(m.dims) > 0 {
		m.floors.prepare(m)
	}
	m.apart = slices.Grow(m.apart[:0], n)[:n]
	for i := range m.apart {
		m.apart[i] = 0
		if len(m.lows) > 0 {
			// More of the one may be more than the stretches allow.
			continue
		}
		for j := range i {
			if n <= 64 && m.items[m.local[i]].content == m.items[m.local[j]].content && (m.outdoes(i, j) || m.outdoes(j, i)) {
				m.apart[i] |= 1 << j
			}
		}
	}
}

// outdoes says that a combination with both local items is no better than one with i only.
func (m *mixer) outdoes(i, j int) bool {
	if !m.free(i, j) {
		return false
	}
	mine, theirs := term{weight: 1}, term{weight: 1}
	if m.only() {
		mine, theirs = m.terms[i], m.terms[j]
	}
	return m.items[m.local[i]].betterThan(&m.items[m.local[j]], mine, theirs, m.local[i] < m.local[j])
}

// free says that buying the local item i for k takes no more of any dimension and is no dearer by the terms.
func (m *mixer) free(i, k int) bool {
	if len(m.dims) > 0 && (m.terms[i].weight > m.terms[k].weight || m.terms[i].load > m.terms[k].load) {
		return false
	}
	a, b := &m.items[m.local[i]], &m.items[m.local[k]]
	for _, d := range m.dims {
		if d.sellers>>a.seller&1 == 0 {
			continue
		}
		if d.sellers>>b.seller&1 == 0 {
			return false
		}
		switch d.kind {
		case ofGoods:
			return false
		case ofMass:
			if a.mass > b.mass {
				return false
			}
		case ofVolume:
			if a.volume > b.volume {
				return false
			}
		}
	}
	return true
}

// lower bounds the cost and the packs of what is still to be covered with the items from i on.
func (m *mixer) lower(i int, rest float64) (cost, packs int64) {
	s := &m.suffix[i]
	resale := m.demand.value != nil && m.demand.value.rate < 0
	if rest <= 0 {
		if resale {
			return int64(measure.RoundDown(-s.half)), 0
		}
		return 0, 0
	}
	if i == len(m.local) {
		return never, 0
	}
	if resale {
		// Rounding may take off more than the rest costs.
		cost = int64(measure.RoundUp(float64(rest*s.rate) - s.half))
		return cost, up(int64(measure.RoundUp(float64(rest*s.thin))), s.packGrain)
	}
	cost = up(int64(measure.RoundUp(max(0, float64(rest*s.rate)-s.half))), s.grain)
	packs = up(int64(measure.RoundUp(float64(rest*s.thin))), s.packGrain)
	return cost, packs
}

// lowerPriced bounds the priced cost of the same.
func (m *mixer) lowerPriced(i int, rest float64) int64 {
	if m.terms == nil {
		return 0
	}
	if len(m.dims) > 0 {
		return m.floors.at(i, rest)
	}
	if rest <= 0 {
		return 0
	}
	if i == len(m.local) {
		return never
	}
	s := &m.suffix[i]
	return int64(measure.RoundUp(max(0, float64(rest*s.priced)-s.loose)))
}

// never is a cost beyond all.
const never = 1 << 60

// up is x rounded up to a multiple of grain.
func up(x, grain int64) int64 {
	if grain <= 1 {
		return x
	}
	return (x + grain - 1) / grain * grain
}

// beaten says that something kept is better than anything of at least that score, within the sellers, that takes at
// least what is taken.
func (m *mixer) beaten(cost, packs, priced int64, mask uint64) bool {
	if cost > m.ceiling || priced > m.most {
		return true
	}
	if len(m.dims) == 1 {
		// Kept take less the dearer they are: the last that is strictly better takes least.
		i := sort.Search(len(m.kept), func(i int) bool {
			k := &m.kept[i].score
			return k.cost > cost || k.cost == cost && k.packs >= packs
		})
		return i > 0 && m.within(&m.kept[i-1], mask, false)
	}
	for i := range m.kept {
		k := &m.kept[i]
		if k.score.cost > cost || k.score.cost == cost && k.score.packs >= packs {
			// Kept are in order; from here on none is strictly better.
			m.nodes += i / 16
			return false
		}
		if m.within(k, mask, false) {
			return true
		}
	}
	m.nodes += len(m.kept) / 16
	return false
}

// within says that k takes no more than what is taken now: of sellers without dimensions, else of the dimensions.
// What is bought so far may still grow in goods unless it is final.
func (m *mixer) within(k *combo, mask uint64, final bool) bool {
	if len(m.dims) == 0 {
		return m.terms != nil || k.mask&^mask == 0
	}
	taken := m.now()
	for i := range m.dims {
		least := taken[i]
		if m.dims[i].kind == ofGoods {
			if final {
				least = max(least, m.dims[i].limit)
			} else {
				least = m.dims[i].limit
			}
		}
		if max(k.dims[i], m.floor(i)) > least {
			return false
		}
	}
	return true
}

func (m *mixer) floor(i int) float64 {
	if m.dims[i].kind == ofGoods {
		return m.dims[i].limit
	}
	return math.Inf(-1)
}
