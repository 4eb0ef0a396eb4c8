package supply

import (
	"slices"
	"sort"
)

// walk extends the purchases on the stack by items from i on.
func (m *mixer) walk(i int, content float64, cost, packs, priced int64, mask, used uint64) {
	rest := m.demand.target - content
	if rest <= 0 && i >= m.mustEnd {
		m.emit(content, cost, packs, priced, mask)
		if i >= m.goodsEnd {
			return
		}
	}
	for j := i; j < len(m.local) && !m.spent; j++ {
		if j > i && m.low(j-1) > 0 {
			return
		}
		if i <= m.freeFrom && j == m.freeFrom {
			m.spare = never
		}
		if rest <= 0 && j >= m.goodsEnd && m.low(j) == 0 {
			if j >= m.mustEnd {
				return
			}
			continue
		}
		lowCost, lowPacks := m.lower(j, rest)
		lowPriced := m.lowerPriced(j, rest)
		if m.demand.value != nil {
			c, p := m.part(content)
			lowCost, lowPriced = lowCost+c, lowPriced+p
		}
		if m.beaten(cost+lowCost, packs+lowPacks, priced+lowPriced, mask) {
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
			p = m.priced(j, steps, goods)
		}
		left := rest - float64(float64(steps)*it.content)
		partCost, partPriced := int64(0), int64(0)
		if m.demand.value != nil {
			partCost, partPriced = m.part(content + float64(float64(steps)*it.content))
		}
		if j >= m.freeFrom && cost+c+partCost+m.floors.at(j+1, left)>>10 > m.spare {
			return
		}
		lowCost, lowPacks := m.lower(j+1, left)
		m.take(it, steps, goods)
		if !m.beaten(cost+c+partCost+lowCost, packs+steps*it.packs+lowPacks, priced+p+partPriced+m.lowerPriced(j+1, left), mask) {
			m.stack = append(m.stack, line{m.local[j], int32(steps), goods})
			m.walk(j+1, content+float64(float64(steps)*it.content), cost+c, packs+steps*it.packs, priced+p, mask, used)
			m.stack = m.stack[:len(m.stack)-1]
		}
		m.taken = m.taken[:len(m.taken)-len(m.dims)]
	}
	low, high := max(it.least, m.low(j)), min(it.most, m.high(j))
	if j < m.goodsEnd {
		beside := float64(it.extra.rate*it.slope) + float64(it.extra.step) + it.worth
		plain, half := it.slope+beside, it.half+it.extra.half
		slope, pricedHalf := 0.0, 0.0
		if m.terms != nil {
			t := m.terms[j]
			slope, pricedHalf = float64(float64(t.weight)*it.slope)+float64(unit*beside)+float64(t.load), m.pricedHalf(j)
		}
		if m.only() {
			plain, half = slope, pricedHalf
		}
		part, partPriced := m.part(content)
		ceiling, loose := m.ceiling, m.demand.value != nil && m.demand.value.loose
		for steps := low; steps <= high && !m.spent; steps++ {
			x := float64(steps)
			if loose {
				ceiling = m.ceilingFor(mask)
			}
			if float64(cost+part)+float64(plain*x)-half > float64(ceiling) ||
				float64(priced+partPriced)+float64(slope*x)-pricedHalf > float64(m.most) {
				return
			}
			try(steps)
		}
		return
	}
	cover := max(it.cover(rest), low)
	if cover <= high {
		try(cover)
	}
	for t := range it.tiers {
		if from := it.tiers[t].from; from > cover && from <= high {
			try(from)
		}
	}
	if j+1 == len(m.local) {
		return
	}
	m.fewer(j, low, min(cover-1, high), rest, cost, priced, mask, try)
}

// fewer tries numbers of steps, up to a number, that leave something to the items after. It begins at the end where
// the bound of the whole is least, and stops where it is too high.
func (m *mixer) fewer(j int, least, last int64, rest float64, cost, priced int64, mask uint64, try func(int64)) {
	it, after := &m.items[m.local[j]], &m.suffix[j+1]
	so, mine, others, loose := float64(cost), m.suffix[j].own, after.rate, m.suffix[j].half
	part, partPriced := int64(0), int64(0)
	if m.demand.value != nil {
		part, partPriced = m.part(m.demand.target - rest)
		so += float64(part)
	}
	if len(m.dims) > 0 {
		so, mine, others, loose = float64(priced+partPriced), m.suffix[j].ownPriced, after.priced, m.suffix[j].loose
	}
	tooHigh := func(steps int64) bool {
		held := float64(float64(steps) * it.content)
		least := so + float64(held*mine) + float64((rest-held)*others) - loose
		limit := m.most
		if len(m.dims) == 0 {
			limit = m.ceilingFor(mask)
		} else if j >= m.freeFrom && m.spare < never {
			limit = min(limit, priced+(m.spare-cost)*unit)
		}
		return least > float64(float64(limit)*(1+1e-12))+1
	}
	if mine <= others {
		for steps := last; steps >= least && !m.spent && !tooHigh(steps); steps-- {
			try(steps)
		}
		return
	}
	for steps := least; steps <= last && !m.spent && !tooHigh(steps); steps++ {
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
		if d.sellers>>it.seller&1 == 0 {
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

// sorted is the content on the stack, summed in order of items.
func (m *mixer) sorted() (content float64) {
	m.order = append(m.order[:0], m.stack...)
	slices.SortFunc(m.order, func(a, b line) int { return int(a.item - b.item) })
	for _, l := range m.order {
		content += float64(float64(l.steps) * m.items[l.item].content)
	}
	return content
}

// emit keeps what is on the stack unless it is beaten, and drops what it beats.
func (m *mixer) emit(content float64, cost, packs, priced int64, mask uint64) {
	if m.demand.value != nil {
		content = m.sorted()
		surplus := m.demand.value.cost(content)
		priced += unit * surplus
		if m.only() {
			surplus *= unit
		}
		cost += surplus
	}
	if cost > m.ceiling || priced > m.most {
		return
	}
	m.spare = min(m.spare, cost)
	if len(m.kept) > 0 && m.only() {
		if k := &m.kept[0].score; cost > k.cost || cost == k.cost && packs > k.packs {
			return
		}
	}
	c := combo{score: score{cost: cost, packs: packs, surplus: m.demand.surplus(content)}, priced: priced, mask: mask}
	start := len(m.lines)
	m.lines = append(m.lines, m.stack...)
	c.lines = m.lines[start:len(m.lines):len(m.lines)]
	if len(c.lines) > 1 {
		slices.SortFunc(c.lines, func(a, b line) int { return int(a.item - b.item) })
	}
	after := func(i int) bool {
		order := m.kept[i].score.compare(c.score)
		if order == 0 {
			order = compareLines(m.kept[i].lines, c.lines)
		}
		return order > 0
	}
	at, first := 0, 0
	if len(m.dims) == 1 {
		at = sort.Search(len(m.kept), after)
		first = max(0, at-1)
		m.nodes += (len(m.kept) - at) / 64
	} else {
		m.nodes += len(m.kept) / 16
		for at < len(m.kept) && !after(at) {
			at++
		}
	}
	for i := first; i < at; i++ {
		if m.within(&m.kept[i], mask, true) {
			m.lines = m.lines[:start]
			return
		}
	}
	if len(m.dims) > 0 {
		c.dims = m.held.copied(m.now())
	}
	m.insert(at, c)
}

// insert puts c at its place and drops what it beats from there on.
func (m *mixer) insert(at int, c combo) {
	if at == len(m.kept) {
		m.kept = append(m.kept, c)
		return
	}
	if len(m.dims) == 1 {
		last := at
		for last < len(m.kept) && m.beats(&c, &m.kept[last]) {
			last++
		}
		if last > at {
			m.kept[at] = c
			m.kept = slices.Delete(m.kept, at+1, last)
			return
		}
		m.kept = slices.Insert(m.kept, at, c)
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

// begin makes the mixer ready for the local items; what it kept before is gone.
func (m *mixer) begin(items []item, d *demand, local []int32, terms []term, dims []dimension) {
	m.items, m.demand, m.local, m.terms, m.dims = items, d, local, terms, dims
	m.freeFrom, m.spare = len(local), never
	m.goodsEnd, m.ceiling, m.most, m.nodes, m.spent = 0, never, never, 0, false
	m.stack, m.kept, m.lines, m.taken = m.stack[:0], m.kept[:0], m.lines[:0], m.taken[:0]
	m.held.reclaim()
	m.lows, m.highs, m.mustEnd = m.lows[:0], m.highs[:0], 0
}

// limit holds the local items to the stretches; to be called between begin and prepare.
func (m *mixer) limit(list stretches) {
	if len(list) == 0 {
		return
	}
	for i, id := range m.local {
		low, high := list.of(id)
		m.lows, m.highs = append(m.lows, low), append(m.highs, high)
		if low > 0 {
			m.mustEnd = i + 1
		}
	}
}

// low is the least number of steps of the local item; above 0 it must be bought.
func (m *mixer) low(i int) int64 {
	if len(m.lows) == 0 {
		return 0
	}
	return m.lows[i]
}

// high is the largest number of steps of the local item.
func (m *mixer) high(i int) int64 {
	if len(m.highs) == 0 {
		return never
	}
	return m.highs[i]
}

// combos is memory for combinations that outlast the mixer's next use.
type combos struct {
	combos store[combo]
	lines  store[line]
	dims   store[float64]
}

func (s *combos) reclaim() {
	s.combos.reclaim()
	s.lines.reclaim()
	s.dims.reclaim()
}

// copied is a copy of the combination that lasts.
func (s *combos) copied(c *combo) *combo {
	to := &s.combos.take(1)[0]
	s.copyTo(to, c)
	return to
}

func (s *combos) copyTo(to, c *combo) {
	*to = *c
	to.lines, to.dims = s.lines.copied(c.lines), s.dims.copied(c.dims)
}

// combosOf is a copy of the combinations that lasts.
func (s *combos) combosOf(list []combo) []combo {
	to := s.combos.take(len(list))
	for i := range list {
		s.copyTo(&to[i], &list[i])
	}
	return to
}

// list fills in the combinations of a demand.
func (m *mixer) list(d *demand, items []item, budget int, out *combos) {
	m.begin(items, d, d.items, nil, nil)
	m.ceiling, m.budget = mostMoney, budget
	m.beyond()
	m.singles()
	if len(d.items) > 1 || m.goodsEnd > 0 {
		m.prepare()
		d.lower, _ = m.lower(0, d.target)
		part, _ := m.part(0)
		d.lower += part
		m.walk(0, 0, 0, 0, 0, 0, 0)
	}
	d.combos, d.proved = out.combosOf(m.kept), !m.spent
	if d.proved && len(d.combos) > 0 {
		d.lower = d.combos[0].score.cost
	}
}

// cheapest is the combination that costs least by the terms, from the local items, with its cost in fine units; nil if
// the budget ends before. It is lent until the mixer is used again.
func (m *mixer) cheapest(d *demand, items []item, local []int32, terms []term, limits stretches, budget int) *combo {
	m.begin(items, d, local, terms, nil)
	m.limit(limits)
	m.budget = budget
	m.beyond()
	if len(limits) == 0 {
		m.singles()
	}
	if len(local) > 1 || len(limits) > 0 || m.goodsEnd > 0 {
		m.prepare()
		m.walk(0, 0, 0, 0, 0, 0, 0)
	}
	if m.spent || len(m.kept) == 0 {
		return nil
	}
	return &m.kept[0]
}

// beyond lets all items be bought beyond the need where rounding may make that cheaper.
func (m *mixer) beyond() {
	if m.demand.value != nil && m.demand.value.loose {
		m.goodsEnd = len(m.local)
	}
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
	content := float64(float64(steps) * it.content)
	part, _ := m.part(content)
	if m.beaten(cost+part, steps*it.packs, 0, 1<<it.seller) {
		return
	}
	m.stack = append(m.stack[:0], line{m.local[i], int32(steps), goods})
	m.emit(content, cost, steps*it.packs, 0, 1<<it.seller)
	m.stack = m.stack[:0]
}
