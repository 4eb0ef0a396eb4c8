package supply

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
	"strconv"
	"strings"

	"github.com/govalues/decimal"

	"bedline/estimate/measure"
	"bedline/pricing/money"
)

// Solver is a problem made ready. It is not safe for concurrent use.
type Solver struct {
	values  []*valuation // of each need, nil without a value
	held    []float64    // of each need the least that can be bought, see held
	problem Problem
	items   []item // in the order of their keys
	sellers []seller
	demands []demand // one per need; no items where nothing is needed
	allowed uint64
	limit   int
	nodes   int // spent on the lists of combinations
	best    *outcome
	lists   *combos // of the demands
	*workplace
}

// Workplace is memory that solving works in. One solver after the other may have it, never two at a time. The zero value
// is ready.
type Workplace struct{ workplace }

// workplace is shared by a solver and those of parts of its problem.
type workplace struct {
	mix    mixer
	search search
	whole  combos // of the needs
	alone  combos // of the lone need that was asked last
}

// outcome remembers the answer to the problem itself.
type outcome struct {
	plan Plan
	err  error
}

// New makes a problem ready, or says what in it makes no sense (*InputError).
func New(p Problem) (*Solver, error) { return NewIn(new(Workplace), p) }

// NewIn is New in a workplace, which the solver has until it is used no more. Plans do not depend on it.
func NewIn(w *Workplace, p Problem) (*Solver, error) {
	w.whole.reclaim()
	s := &Solver{problem: p, limit: p.Limits.Nodes, lists: &w.whole, workplace: &w.workplace}
	if s.limit <= 0 {
		s.limit = DefaultNodes
	}
	if len(p.Suppliers) > MostSuppliers {
		return nil, &InputError{What: "suppliers", Detail: "at most " + strconv.Itoa(MostSuppliers)}
	}
	tax, ok := newExtra(p.Tax.Delivery)
	if !ok {
		return nil, &InputError{What: "tax on delivery", Detail: "must be a share from 0 to 1"}
	}
	s.sellers = make([]seller, len(p.Suppliers))
	for i := range p.Suppliers {
		var err error
		if s.sellers[i], err = newSeller(&p.Suppliers[i], i, tax); err != nil {
			return nil, err
		}
		if len(p.Limits.Suppliers) == 0 || slices.Contains(p.Limits.Suppliers, p.Suppliers[i].Key) {
			s.allowed |= 1 << i
		}
	}
	if err := s.readItems(); err != nil {
		return nil, err
	}
	if err := s.splitLoads(); err != nil {
		return nil, err
	}
	s.demands = make([]demand, len(p.Needs))
	ids := make([]int32, 0, len(s.items))
	for i := range p.Needs {
		ids = s.newDemand(&s.demands[i], i, p.Limits.Form, float64(p.Needs[i].Quantity), ids)
	}
	return s, nil
}

// intime says that the offer comes soon enough.
func (s *Solver) intime(o *Offer) bool {
	days := s.problem.Limits.LeadDays
	return days <= 0 || o.LeadDays <= days
}

func (n *Need) check() error {
	if q := float64(n.Quantity); math.IsNaN(q) || math.IsInf(q, 0) {
		return &InputError{What: "need of " + n.Material, Detail: "quantity must be a number"}
	}
	return nil
}

// readItems makes the offers of all needs ready.
func (s *Solver) readItems() error {
	type place struct{ need, offer int32 }
	needs := s.problem.Needs
	total := 0
	for i := range needs {
		if err := needs[i].check(); err != nil {
			return err
		}
		total += len(needs[i].Offers)
	}
	places := make([]place, 0, total)
	for i := range needs {
		if needs[i].Quantity > 0 {
			for j := range needs[i].Offers {
				places = append(places, place{int32(i), int32(j)})
			}
		}
	}
	offer := func(p place) *Offer { return &needs[p.need].Offers[p.offer] }
	slices.SortFunc(places, func(a, b place) int { return strings.Compare(offer(a).Key, offer(b).Key) })
	s.held = make([]float64, len(needs))
	s.values = make([]*valuation, len(needs))
	for i := range needs {
		s.held[i] = held(&needs[i])
		var err error
		if s.values[i], err = newValuation(&needs[i], s.problem.Currency); err != nil {
			return err
		}
	}
	tax, ok := newExtra(s.problem.Tax.Goods)
	if !ok {
		return &InputError{What: "tax on goods", Detail: "must be a share from 0 to 1"}
	}
	s.items = make([]item, len(places))
	for i, p := range places {
		o := offer(p)
		if i > 0 && offer(places[i-1]).Key == o.Key {
			return &InputError{What: "offer " + o.Key, Detail: "the key is used twice"}
		}
		it, err := newItem(o, s.problem.Currency, s.held[p.need], tax)
		if err != nil {
			return err
		}
		it.need = int(p.need)
		if v := s.values[p.need]; v != nil {
			from := slices.IndexFunc(s.problem.Suppliers, func(x Supplier) bool { return x.Key == o.Supplier })
			sold := from >= 0 && s.allowed>>from&1 == 1 && s.intime(o)
			if err := it.value(v, needs[p.need].Material, sold); err != nil {
				return err
			}
		}
		it.seller = slices.IndexFunc(s.problem.Suppliers, func(x Supplier) bool { return x.Key == o.Supplier })
		if it.seller < 0 {
			return &InputError{What: "offer " + o.Key, Detail: "unknown supplier " + o.Supplier}
		}
		s.items[i] = it
	}
	return nil
}

// splitLoads gives each load group of a supplier a seller of its own; the first is the one that the supplier has.
func (s *Solver) splitLoads() error {
	for i := range s.items {
		it := &s.items[i]
		lead, group := &s.sellers[it.seller], it.offer.LoadWith
		if !lead.taken {
			lead.taken, lead.group = true, group
			continue
		}
		if lead.group == group {
			continue
		}
		at := slices.IndexFunc(s.sellers, func(x seller) bool { return x.lead == it.seller && x.group == group })
		if at < 0 {
			at = len(s.sellers)
			if at == MostSuppliers {
				return &InputError{What: "suppliers", Detail: "at most " + strconv.Itoa(MostSuppliers) + " with their load groups"}
			}
			more := *lead
			more.group = group
			s.sellers = append(s.sellers, more)
			family := s.sellers[it.seller].family | 1<<at
			for rest := family; rest != 0; rest &= rest - 1 {
				s.sellers[bits.TrailingZeros64(rest)].family = family
			}
			if s.allowed>>it.seller&1 == 1 {
				s.allowed |= 1 << at
			}
		}
		it.seller = at
	}
	return nil
}

// newDemand lists the combinations of a need in a form; a need that isn't offered in the form keeps all its offers.
// ids is the store of item numbers, returned grown.
func (s *Solver) newDemand(d *demand, need int, form Form, quantity float64, ids []int32) []int32 {
	d.quantity, d.target = quantity, quantity-float64(1e-9*max(1, quantity))
	if quantity > 0 && d.target <= 0 {
		// So little that the guard swallows it.
		d.quantity = 0
	}
	d.proved = true
	if d.quantity <= 0 {
		return ids
	}
	if need < len(s.values) {
		d.value = s.values[need]
	}
	start := len(ids)
	inForm := false
	for i := range s.items {
		if it := &s.items[i]; it.need == need && s.allowed>>it.seller&1 == 1 && s.intime(it.offer) {
			if form != AnyForm && it.offer.Form == form && !inForm {
				inForm, ids = true, ids[:start]
			}
			if !inForm || it.offer.Form == form {
				ids = append(ids, int32(i))
			}
		}
	}
	d.items = ids[start:len(ids):len(ids)]
	for _, i := range d.items {
		d.sellers |= 1 << s.items[i].seller
	}
	slices.SortStableFunc(d.items, func(a, b int32) int {
		x, y := &s.items[a], &s.items[b]
		return cmp.Or(cmp.Compare(y.content, x.content), cmp.Compare(x.rate, y.rate))
	})
	if need < len(s.held) && quantity == float64(s.problem.Needs[need].Quantity) && s.held[need] > quantity {
		d.target = max(d.target, s.held[need]*(1-1e-12))
	}
	s.mix.list(d, s.items, s.limit/(2*max(1, len(s.problem.Needs))), s.lists)
	s.nodes += s.mix.nodes
	return ids
}

// held is the least that can be bought of a need whose offers all hold whole contents (pieces): the quantity raised to a
// multiple of what divides all of them. What has to be bought stays the same, and bounds by rates get tight. Of another
// need it is the quantity.
func held(n *Need) float64 {
	quantity := float64(n.Quantity)
	var grain int64
	for i := range n.Offers {
		o := &n.Offers[i]
		content := float64(o.Content)
		if !o.Increment.IsZero() {
			increment, _ := o.Increment.Float64()
			content *= increment
		}
		if !(content >= 1 && content <= 1e9) {
			return quantity
		}
		whole := int64(measure.RoundDown(content))
		if float64(whole) != content {
			return quantity
		}
		grain = gcd(grain, whole)
	}
	if grain == 0 || quantity > 1e12 || quantity <= 0 {
		return quantity
	}
	target := quantity - float64(1e-9*max(1, quantity)) // the guard of the coverage
	return max(quantity, float64(measure.RoundUp(target/float64(grain)))*float64(grain))
}

// payable is the cost of a line with what it costs beside its goods.
func (s *Solver) payable(l *line) int64 {
	return l.cost + s.items[l.item].extra.of(l.cost, int64(l.steps))
}

// Solve is the cheapest plan of the problem. Errors: *InputError, *NoCoverError, ErrNoPlanInLimit.
func Solve(p Problem) (Plan, error) {
	s, err := New(p)
	if err != nil {
		return Plan{}, err
	}
	return s.Plan()
}

// Plan is the cheapest plan. Errors: *NoCoverError, ErrNoPlanInLimit.
func (s *Solver) Plan() (Plan, error) {
	if s.best == nil {
		plan, err := s.solve(s.all(), s.allowed, s.problem.Limits.MaxSuppliers)
		s.best = &outcome{plan, err}
	}
	return s.best.plan, s.best.err
}

// solve searches with the demands from the allowed sellers, at most so many of them if that is above zero.
func (s *Solver) solve(demands []*demand, allowed uint64, most int) (Plan, error) {
	q, err := s.find(demands, allowed, most)
	if err != nil {
		return Plan{}, err
	}
	return s.report(demands, q)
}

// find is solve without the report; what it gives is good until the next one.
func (s *Solver) find(demands []*demand, allowed uint64, most int) (*search, error) {
	var missing []string
	wanted := make([]*demand, 0, len(demands))
	for i, d := range demands {
		if d.quantity <= 0 {
			continue
		}
		if d.best(allowed) == nil {
			missing = append(missing, s.problem.Needs[i].Material)
		}
		wanted = append(wanted, d)
	}
	if missing != nil {
		return nil, &NoCoverError{Materials: missing}
	}
	q := &s.search
	q.mix = &s.mix
	q.begin(s, wanted, allowed, most)
	q.run()
	if !q.found {
		if q.spent() {
			return nil, ErrNoPlanInLimit
		}
		for i, d := range demands {
			if d.quantity > 0 {
				missing = append(missing, s.problem.Needs[i].Material)
			}
		}
		return nil, &NoCoverError{Materials: missing, MaxSuppliers: most}
	}
	return q, nil
}

// report writes the plan out.
func (s *Solver) report(demands []*demand, q *search) (Plan, error) {
	plan := Plan{
		Settled: q.proved, Bound: money.Amount(q.bound), Nodes: q.nodes,
		Covers:    make([]Cover, len(demands)),
		Purchases: make([]Purchase, 0, len(q.answer)),
	}
	uses := make([]Use, len(s.problem.Suppliers))
	used := make([]load, len(s.sellers))
	lines := slices.Clone(q.answer)
	slices.SortStableFunc(lines, func(a, b line) int { return s.items[a.item].need - s.items[b.item].need })
	for i := range plan.Covers {
		need := &s.problem.Needs[i]
		plan.Covers[i] = Cover{Material: need.Material, Need: need.Quantity}
	}
	for _, l := range lines {
		it := &s.items[l.item]
		step := it.offer.Increment
		if step.IsZero() {
			step = decimal.One
		}
		count, err := step.Mul(decimal.MustNew(int64(l.steps), 0))
		if err != nil {
			return Plan{}, &InputError{What: "offer " + it.offer.Key, Detail: "count out of range"}
		}
		steps := float64(l.steps)
		p := Purchase{
			Need: it.need, Material: s.problem.Needs[it.need].Material, Offer: it.offer.Key, Supplier: it.offer.Supplier, Form: it.offer.Form,
			Steps: int(l.steps), Count: count, Price: it.tier(int64(l.steps)).price, Amount: money.Amount(l.cost),
			Content: Content(steps * it.content), Mass: measure.Mass(steps * it.mass), Volume: measure.Volume(steps * it.volume),
		}
		p.Handling = money.Amount(it.extra.step * int64(l.steps))
		p.Tax = money.Amount(it.extra.of(l.cost, int64(l.steps))) - p.Handling
		plan.Handling += p.Handling
		plan.Tax += p.Tax
		plan.Purchases = append(plan.Purchases, p)
		u := &used[it.seller]
		u.any = true
		u.goods += l.cost
		u.mass += float64(steps * it.mass)
		u.volume += float64(steps * it.volume)
		cover, use := &plan.Covers[it.need], &uses[s.sellers[it.seller].lead]
		cover.Bought += p.Content
		cover.Amount += p.Amount
		cover.Mass += p.Mass
		cover.Volume += p.Volume
		use.Supplier = p.Supplier
		use.Goods += p.Amount
		use.Mass += p.Mass
		use.Volume += p.Volume
		plan.Goods += p.Amount
	}
	for i := range plan.Covers {
		c := &plan.Covers[i]
		c.Surplus = Left(c.Bought, c.Need)
		if i < len(s.values) {
			c.Worth = -money.Amount(s.values[i].cost(float64(c.Bought)))
			plan.Worth += c.Worth
		}
	}
	for i := range uses {
		u := &uses[i]
		if u.Supplier == "" {
			continue
		}
		way, charge, trips := s.charge(i, used)
		u.Way, u.Tax, u.Trips = Delivered, money.Amount(trips*s.sellers[i].tax[way]), int(trips)
		if way == pickup {
			u.Crew = money.Amount(trips * s.sellers[i].crew)
			plan.Handling += u.Crew
		}
		u.Charge = money.Amount(charge) - u.Tax - u.Crew
		plan.Tax += u.Tax
		if way == pickup {
			u.Way = PickedUp
		}
		plan.Delivery += u.Charge
		u.Loads = s.loads(i, way, used)
		plan.Suppliers = append(plan.Suppliers, *u)
	}
	plan.Landed = plan.Goods + plan.Delivery + plan.Handling + plan.Tax - plan.Worth
	if plan.Settled {
		plan.Bound = plan.Landed
	}
	plan.Optimal = plan.Bound == plan.Landed
	return plan, nil
}

// loads are those of the groups of a supplier where more than one is in use, in order of the groups.
func (s *Solver) loads(lead int, way mode, used []load) []Load {
	family := s.sellers[lead].family
	if family == 1<<lead {
		return nil
	}
	var loads []Load
	for rest := family; rest != 0; rest &= rest - 1 {
		i := bits.TrailingZeros64(rest)
		if u := &used[i]; u.any {
			loads = append(loads, Load{With: s.sellers[i].group, Trips: int(s.sellers[i].trips(way, u.mass, u.volume)), Mass: measure.Mass(u.mass), Volume: measure.Volume(u.volume)})
		}
	}
	if len(loads) < 2 {
		return nil
	}
	slices.SortFunc(loads, func(a, b Load) int { return strings.Compare(a.With, b.With) })
	return loads
}

// kept names the needs that are not offered in the form by the allowed sellers.
func (s *Solver) kept(form Form) []string {
	var names []string
	for i := range s.demands {
		d := &s.demands[i]
		has := slices.ContainsFunc(s.items, func(it item) bool {
			return it.need == i && s.allowed>>it.seller&1 == 1 && it.offer.Form == form && s.intime(it.offer)
		})
		if d.quantity > 0 && !has {
			names = append(names, s.problem.Needs[i].Material)
		}
	}
	return names
}
