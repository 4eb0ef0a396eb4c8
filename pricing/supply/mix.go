package supply

import (
	"math"
	"slices"

	"bedline/estimate/measure"
)

// score orders plans and parts of plans; scores of parts add up to the score of the whole, and the order holds under
// addition, so that sums of least parts bound sums.
type score struct {
	cost    int64
	trips   int64
	packs   int64 // billionths of a count
	surplus int64 // billionths of the need
}

func (a score) plus(b score) score {
	return score{a.cost + b.cost, a.trips + b.trips, a.packs + b.packs, a.surplus + b.surplus}
}

func (a score) minus(b score) score {
	return score{a.cost - b.cost, a.trips - b.trips, a.packs - b.packs, a.surplus - b.surplus}
}

func (a score) compare(b score) int {
	switch {
	case a.cost != b.cost:
		return sign(a.cost < b.cost)
	case a.trips != b.trips:
		return sign(a.trips < b.trips)
	case a.packs != b.packs:
		return sign(a.packs < b.packs)
	case a.surplus != b.surplus:
		return sign(a.surplus < b.surplus)
	}
	return 0
}

func sign(less bool) int {
	if less {
		return -1
	}
	return 1
}

// line is a purchase. Items are numbered in the order of their keys.
type line struct {
	item  int32
	steps int32
	cost  int64
}

// compareLines is below zero if a buys more of the offer whose key sorts first among those that differ. Lines are in
// order of items.
func compareLines(a, b []line) int {
	for i := range a {
		switch {
		case i >= len(b):
			return -1
		case a[i].item != b[i].item:
			return sign(a[i].item < b[i].item)
		case a[i].steps != b[i].steps:
			return sign(a[i].steps > b[i].steps)
		}
	}
	if len(b) > len(a) {
		return 1
	}
	return 0
}

// combo is a combination of the offers of one material that covers its need.
type combo struct {
	score  score
	priced int64  // cost with the goods and loads at the prices of the mixer
	mask   uint64 // sellers
	lines  []line
	dims   []float64 // what it takes of each dimension of the mixer
}

// dimension is a resource that ties the materials together: the mass or volume of all goods of a seller, which may not
// exceed a number of drops, or the goods, counted negative, which must reach an amount. All are to be kept at or below limit.
type dimension struct {
	seller int
	kind   dimensionKind
	limit  float64 // goods: minus the amount; mass and volume: of all drops, loosened by a little more than the guard
}

type dimensionKind uint8

const (
	ofMass dimensionKind = iota
	ofVolume
	ofGoods
)

// demand is a need made ready.
type demand struct {
	quantity float64
	target   float64 // quantity less the guard
	items    []int32 // in order of rate
	sellers  uint64
	combos   []combo // those that no other within its sellers beats, best first
	lower    int64   // no combination costs less
	proved   bool    // combos are all there are
}

// best is the cheapest combination from the sellers, nil if there is none.
func (d *demand) best(allowed uint64) *combo {
	for i := range d.combos {
		if d.combos[i].mask&^allowed == 0 {
			return &d.combos[i]
		}
	}
	return nil
}

// surplus is the share of the need, in billionths, by which the content is above it.
func (d *demand) surplus(content float64) int64 {
	return int64(max(0, measure.RoundDown((content-d.quantity)/d.quantity*1e9)))
}

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
	ceiling  int64 // of the cost
	most     int64 // of the priced cost, with dimensions
	budget   int
	nodes    int
	spent    bool
	suffix   []suffix
	apart    []uint64 // of each of local those before it that it need not be mixed with
	stack    []line
	taken    []float64 // of each dimension, a stack as deep as the purchases
	kept     []combo
	lines    []line // store of the kept
	scratch  []combo
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
		return it.rate, it.half, it.grain
	}
	t := m.terms[i]
	return m.pricedRate(i), float64(float64(t.weight) * it.half), gcd(it.grain*t.weight, t.load)
}

func (m *mixer) pricedRate(i int) float64 {
	it, t := &m.items[m.local[i]], m.terms[i]
	return float64(float64(t.weight)*it.rate) + float64(t.load)/it.content
}

// cost is what the mixer ranks by.
func (m *mixer) cost(i int, steps, goods int64) int64 {
	if !m.only() {
		return goods
	}
	return m.terms[i].weight*goods + m.terms[i].load*steps
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
			m.suffix[i].loose = after.loose + float64(float64(m.terms[i].weight)*it.half)
		}
	}
	m.apart = slices.Grow(m.apart[:0], n)[:n]
	for i := range m.apart {
		m.apart[i] = 0
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
		if d.seller != a.seller {
			continue
		}
		if b.seller != a.seller {
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
	if rest <= 0 {
		return 0, 0
	}
	s := &m.suffix[i]
	if i == len(m.local) {
		return never, 0
	}
	cost = up(int64(measure.RoundUp(max(0, float64(rest*s.rate)-s.half))), s.grain)
	packs = up(int64(measure.RoundUp(float64(rest*s.thin))), s.packGrain)
	return cost, packs
}

// lowerPriced bounds the priced cost of the same.
func (m *mixer) lowerPriced(i int, rest float64) int64 {
	if rest <= 0 || m.terms == nil {
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

// walk extends the purchases on the stack by items from i on.
func (m *mixer) walk(i int, content float64, cost, packs, priced int64, mask, used uint64) {
	rest := m.demand.target - content
	if rest <= 0 {
		m.emit(content, cost, packs, priced, mask)
		if i >= m.goodsEnd {
			return
		}
	}
	for j := i; j < len(m.local) && !m.spent; j++ {
		if rest <= 0 && j >= m.goodsEnd {
			return
		}
		lowCost, lowPacks := m.lower(j, rest)
		if m.beaten(cost+lowCost, packs+lowPacks, priced+m.lowerPriced(j, rest), mask) {
			return
		}
		if used&m.apart[j] != 0 {
			continue
		}
		m.buy(j, rest, content, cost, packs, priced, mask, used)
	}
}

// buy tries every sensible number of steps of one item.
func (m *mixer) buy(j int, rest, content float64, cost, packs, priced int64, mask, used uint64) {
	it := &m.items[m.local[j]]
	mask |= 1 << it.seller
	if j < 64 {
		used |= 1 << j
	}
	try := func(steps int64) {
		m.nodes++
		if m.nodes > m.budget {
			m.spent = true
			return
		}
		goods := it.cost(steps)
		c, p := m.cost(j, steps, goods), int64(0)
		if len(m.dims) > 0 {
			p = m.terms[j].weight*goods + m.terms[j].load*steps
		}
		left := rest - float64(float64(steps)*it.content)
		lowCost, lowPacks := m.lower(j+1, left)
		m.take(it, steps, goods)
		if !m.beaten(cost+c+lowCost, packs+steps*it.packs+lowPacks, priced+p+m.lowerPriced(j+1, left), mask) {
			m.stack = append(m.stack, line{m.local[j], int32(steps), goods})
			m.walk(j+1, content+float64(float64(steps)*it.content), cost+c, packs+steps*it.packs, priced+p, mask, used)
			m.stack = m.stack[:len(m.stack)-1]
		}
		m.taken = m.taken[:len(m.taken)-len(m.dims)]
	}
	if j < m.goodsEnd {
		t := m.terms[j]
		slope := float64(float64(t.weight)*it.slope) + float64(t.load)
		for steps := it.least; steps <= it.most && !m.spent; steps++ {
			x := float64(steps)
			if float64(cost)+float64(it.slope*x)-it.half > float64(m.ceiling) ||
				float64(priced)+float64(slope*x)-float64(float64(t.weight)*it.half) > float64(m.most) {
				return
			}
			try(steps)
		}
		return
	}
	cover := it.cover(rest)
	try(cover)
	for t := range it.tiers {
		if from := it.tiers[t].from; from > cover && from <= it.most {
			try(from)
		}
	}
	if j+1 == len(m.local) {
		return
	}
	m.fewer(j, cover-1, rest, cost, priced, mask, try)
}

// fewer tries numbers of steps, up to a number, that leave something to the items after. It begins at the end where
// the bound of the whole is least, and stops where it is too high.
func (m *mixer) fewer(j int, last int64, rest float64, cost, priced int64, mask uint64, try func(int64)) {
	it, after := &m.items[m.local[j]], &m.suffix[j+1]
	so, mine, others, loose := float64(cost), m.suffix[j].own, after.rate, m.suffix[j].half
	if len(m.dims) > 0 {
		so, mine, others, loose = float64(priced), m.suffix[j].ownPriced, after.priced, m.suffix[j].loose
	}
	tooHigh := func(steps int64) bool {
		held := float64(float64(steps) * it.content)
		least := so + float64(held*mine) + float64((rest-held)*others) - loose
		limit := m.most
		if len(m.dims) == 0 {
			limit = m.ceilingFor(mask)
		}
		return least > float64(limit)*(1+1e-12)+1
	}
	if mine <= others {
		for steps := last; steps >= it.least && !m.spent && !tooHigh(steps); steps-- {
			try(steps)
		}
		return
	}
	for steps := it.least; steps <= last && !m.spent && !tooHigh(steps); steps++ {
		try(steps)
	}
}

// ceilingFor is a cost above which nothing from the sellers is kept.
func (m *mixer) ceilingFor(mask uint64) int64 {
	if len(m.dims) == 0 {
		for i := range m.kept {
			if m.terms != nil || m.kept[i].mask&^mask == 0 {
				return min(m.ceiling, m.kept[i].score.cost)
			}
		}
	}
	return m.ceiling
}

// now is what is taken of each dimension.
func (m *mixer) now() []float64 { return m.taken[len(m.taken)-len(m.dims):] }

// take adds the purchase to the dimensions, on top of the stack of them.
func (m *mixer) take(it *item, steps, cost int64) {
	if len(m.dims) == 0 {
		return
	}
	m.taken = append(m.taken, m.now()...)
	taken := m.now()
	for i := range m.dims {
		d := &m.dims[i]
		if d.seller != it.seller {
			continue
		}
		switch d.kind {
		case ofMass:
			taken[i] += float64(float64(steps) * it.mass)
		case ofVolume:
			taken[i] += float64(float64(steps) * it.volume)
		case ofGoods:
			taken[i] -= float64(cost)
		}
	}
}

// emit keeps what is on the stack unless it is beaten, and drops what it beats.
func (m *mixer) emit(content float64, cost, packs, priced int64, mask uint64) {
	if cost > m.ceiling || priced > m.most {
		return
	}
	if len(m.kept) > 0 && m.only() {
		if k := &m.kept[0].score; cost > k.cost || cost == k.cost && packs > k.packs {
			return
		}
	}
	c := combo{score: score{cost: cost, packs: packs, surplus: m.demand.surplus(content)}, priced: priced, mask: mask}
	m.nodes += len(m.kept) / 16
	start := len(m.lines)
	m.lines = append(m.lines, m.stack...)
	c.lines = m.lines[start:len(m.lines):len(m.lines)]
	if len(c.lines) > 1 {
		slices.SortFunc(c.lines, func(a, b line) int { return int(a.item - b.item) })
	}
	at := len(m.kept)
	for i := range m.kept {
		k := &m.kept[i]
		order := k.score.compare(c.score)
		if order == 0 {
			order = compareLines(k.lines, c.lines)
		}
		if order > 0 {
			at = i
			break
		}
		if m.within(k, mask, true) {
			m.lines = m.lines[:start]
			return
		}
	}
	if len(m.dims) > 0 {
		c.dims = make([]float64, len(m.dims))
		copy(c.dims, m.now())
	}
	m.insert(at, c)
}

// insert puts c at its place and drops what it beats from there on.
func (m *mixer) insert(at int, c combo) {
	if at == len(m.kept) {
		m.kept = append(m.kept, c)
		return
	}
	end := at
	for i := at; i < len(m.kept); i++ {
		if !m.beats(&c, &m.kept[i]) {
			if end < i {
				m.kept[end] = m.kept[i]
			}
			end++
		}
	}
	m.kept = slices.Insert(m.kept[:end], at, c)
}

func (m *mixer) beats(c, k *combo) bool {
	if len(m.dims) == 0 {
		return m.terms != nil || c.mask&^k.mask == 0
	}
	for i := range m.dims {
		if max(c.dims[i], m.floor(i)) > max(k.dims[i], m.floor(i)) {
			return false
		}
	}
	return true
}

// list fills in the combinations of a demand.
func (m *mixer) list(d *demand, items []item, budget int) {
	*m = mixer{
		items: items, demand: d, local: d.items, ceiling: mostMoney, most: never, budget: budget,
		suffix: m.suffix, apart: m.apart, stack: m.stack[:0], lines: m.room(4 * len(d.items)), kept: make([]combo, 0, 2+len(d.items)),
	}
	m.prepare()
	d.lower, _ = m.lower(0, d.target)
	m.singles()
	if len(d.items) > 1 {
		m.walk(0, 0, 0, 0, 0, 0, 0)
	}
	d.combos, d.proved = m.kept, !m.spent
	if d.proved && len(d.combos) > 0 {
		d.lower = d.combos[0].score.cost
	}
}

// cheapest is the combination that costs least by the terms, from the local items, with its cost in fine units.
func (m *mixer) cheapest(d *demand, items []item, local []int32, terms []term, budget int) (combo, bool) {
	*m = mixer{
		items: items, demand: d, local: local, terms: terms, ceiling: never, most: never, budget: budget,
		suffix: m.suffix, apart: m.apart, stack: m.stack[:0], lines: m.room(8), kept: m.scratch[:0], scratch: m.scratch,
	}
	m.prepare()
	m.singles()
	if len(local) > 1 {
		m.walk(0, 0, 0, 0, 0, 0, 0)
	}
	m.scratch = m.kept
	if m.spent || len(m.kept) == 0 {
		return combo{}, false
	}
	return m.kept[0], true
}

// room is store for lines, a new one when the old is nearly full.
func (m *mixer) room(n int) []line {
	if cap(m.lines)-len(m.lines) < n {
		return make([]line, 0, 16*n)
	}
	return m.lines[len(m.lines):]
}

// singles emits the combinations of one offer.
func (m *mixer) singles() {
	for i := range m.local {
		it := &m.items[m.local[i]]
		cover := it.cover(m.demand.target)
		m.single(i, cover)
		for t := range it.tiers {
			if from := it.tiers[t].from; from > cover && from <= it.most {
				m.single(i, from)
			}
		}
	}
}

func (m *mixer) single(i int, steps int64) {
	it := &m.items[m.local[i]]
	goods := it.cost(steps)
	m.nodes++
	cost := m.cost(i, steps, goods)
	if m.beaten(cost, steps*it.packs, 0, 1<<it.seller) {
		return
	}
	m.stack = append(m.stack[:0], line{m.local[i], int32(steps), goods})
	m.emit(float64(float64(steps)*it.content), cost, steps*it.packs, 0, 1<<it.seller)
	m.stack = m.stack[:0]
}
