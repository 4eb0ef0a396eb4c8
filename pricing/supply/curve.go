package supply

import (
	"errors"
	"math"
	"slices"

	"bedline/pricing/money"
)

// DefaultRange is how many times the need a break-even is looked for when no range is given.
const DefaultRange = 20

// BreakEven compares bulk with bags for the need of that index, each alone with its delivery, at quantities up to upTo
// (DefaultRange times the need if that is 0). Both costs are step functions of the quantity; the comparison goes from
// step to step, not by samples. ok is false for a need of nothing and for a material that lacks one of the two forms.
// What surplus is worth is left out: with it costs would not be steps. Errors: those of Solve.
func (s *Solver) BreakEven(need int, upTo Content) (result BreakEven, ok bool, err error) {
	n := &s.problem.Needs[need]
	has := func(f Form) bool { return slices.ContainsFunc(n.Offers, func(o Offer) bool { return o.Form == f }) }
	if s.demands[need].quantity <= 0 || !has(Bag) || !has(Bulk) {
		return BreakEven{}, false, nil
	}
	if upTo <= 0 {
		upTo = DefaultRange * n.Quantity
	}
	result = BreakEven{Material: n.Material, Range: upTo, Proved: true}
	bulk, bag, bags := s.lone(need, Bulk), s.lone(need, Bag), s.lone(need, Bag)
	if result.BulkPlan, err = bulk.planOf(n.Quantity); err != nil {
		return noBreakEven(err)
	}
	if result.BagPlan, err = bag.planOf(n.Quantity); err != nil {
		return noBreakEven(err)
	}
	result.NeedBulk, result.NeedBags = result.BulkPlan.Landed, result.BagPlan.Landed
	if err := bags.ask(upTo); err != nil {
		return result, false, err
	}
	// Bulk never gets cheaper with quantity: nothing can change before the bags cost at least what bulk costs here.
	for q := Content(0); q < upTo; {
		inBulk, bulkProved, err := bulk.landed(above(q))
		if err != nil {
			return result, false, err
		}
		inBags, bagsProved, err := bag.landed(above(q))
		if err != nil {
			return result, false, err
		}
		result.Proved = result.Proved && bulkProved && bagsProved
		if inBulk <= inBags {
			result.Found, result.Above, result.BulkCost, result.BagCost = true, q, inBulk, inBags
			return result, true, nil
		}
		reach, _, proved := bags.reachOf(inBulk-1, upTo)
		result.Proved = result.Proved && proved
		if reach <= q {
			result.Proved = false
			return result, true, nil
		}
		q = reach
	}
	return result, true, nil
}

// noBreakEven is the answer when one of the forms can't be had: no error.
func noBreakEven(err error) (BreakEven, bool, error) {
	var none *NoCoverError
	if errors.As(err, &none) {
		err = nil
	}
	return BreakEven{}, false, err
}

// Curve is the least landed cost of the need of that index alone, in the form (AnyForm: in any), against quantity, for
// all quantities up to upTo, without what surplus is worth. Errors: those of Solve, ErrNoPlanInLimit also when a step could not be proved.
func (s *Solver) Curve(need int, form Form, upTo Content) ([]Step, error) {
	work := math.MaxInt
	return s.CurveWithin(need, form, upTo, &work)
}

// stepWork is what a step of a curve takes at least, for each of its offers, in steps of work.
const stepWork = 10

// CurveWithin is Curve that may take so much work in all, of which it takes off what it took. Once nothing is left it is
// ErrNoPlanInLimit.
func (s *Solver) CurveWithin(need int, form Form, upTo Content, work *int) ([]Step, error) {
	all, err := New(s.alone(need, form, upTo))
	if err != nil {
		return nil, err
	}
	unproved := func() error {
		return errors.Join(ErrNoPlanInLimit, errors.New("tracing the cost of "+s.problem.Needs[need].Material))
	}
	all.limit = min(all.limit, *work)
	var steps []Step
	for q := Content(0); q < upTo; {
		problem := s.alone(need, form, above(q))
		if *work -= stepWork * len(problem.Needs[0].Offers); *work <= 0 {
			return nil, unproved()
		}
		one, err := New(problem)
		if err != nil {
			return nil, err
		}
		one.limit = min(one.limit, *work)
		plan, err := one.Plan()
		if err != nil {
			return nil, err
		}
		reach, nodes, proved := all.reachOf(plan.Landed, upTo)
		*work -= plan.Nodes + nodes
		if !plan.Optimal || !proved || reach <= q {
			return nil, unproved()
		}
		steps = append(steps, Step{UpTo: reach, Cost: plan.Landed})
		q = reach
	}
	return steps, nil
}

// above is a quantity that q, to the guard, does not cover.
func above(q Content) Content { return q + Content(2e-9*max(1, q)) }

// alone is the problem of one need in one form, at another quantity.
func (s *Solver) alone(need int, form Form, quantity Content) Problem {
	n := s.problem.Needs[need]
	n.Quantity, n.Surplus = quantity, Surplus{}
	offers := make([]Offer, 0, len(n.Offers))
	for i := range n.Offers {
		if form == AnyForm || n.Offers[i].Form == form {
			offers = append(offers, n.Offers[i])
		}
	}
	n.Offers = offers
	limits := s.problem.Limits
	limits.Form = AnyForm
	return Problem{Currency: s.problem.Currency, Suppliers: s.problem.Suppliers, Needs: []Need{n}, Limits: limits, Tax: s.problem.Tax}
}

// lone is a solver of one need in one form, whose quantity is set by ask. It works where this one works, so that what one
// has found is gone when the other looks.
func (s *Solver) lone(need int, form Form) *Solver {
	alone := &Solver{sellers: s.sellers, allowed: s.allowed, limit: s.limit, lists: &s.workplace.alone, workplace: s.workplace}
	alone.problem = s.alone(need, form, s.problem.Needs[need].Quantity)
	alone.demands, alone.held = make([]demand, 1), make([]float64, 1)
	for i := range s.items {
		if it := s.items[i]; it.need == need && it.offer.Form == form {
			it.need, it.worth = 0, 0
			alone.items = append(alone.items, it)
		}
	}
	return alone
}

// ask sets the quantity of a lone need. Errors: those of New.
func (s *Solver) ask(quantity Content) error {
	n := &s.problem.Needs[0]
	n.Quantity = quantity
	if err := n.check(); err != nil {
		return err
	}
	s.held[0] = held(n)
	for i := range s.items {
		if err := s.items[i].limit(s.held[0]); err != nil {
			return err
		}
	}
	s.lists.reclaim()
	s.nodes = 0
	ids := s.demands[0].items[:0]
	s.demands[0] = demand{}
	s.newDemand(&s.demands[0], 0, AnyForm, float64(quantity), ids)
	return nil
}

// planOf is the cheapest plan of a quantity of a lone need. Errors: those of Solve.
func (s *Solver) planOf(quantity Content) (Plan, error) {
	if err := s.ask(quantity); err != nil {
		return Plan{}, err
	}
	return s.solve(s.all(), s.allowed, s.problem.Limits.MaxSuppliers)
}

// landed is the cost of the cheapest plan of a quantity of a lone need, and whether it is proved. Errors: those of Solve.
func (s *Solver) landed(quantity Content) (money.Amount, bool, error) {
	if err := s.ask(quantity); err != nil {
		return 0, false, err
	}
	q, err := s.find(s.all(), s.allowed, s.problem.Limits.MaxSuppliers)
	if err != nil {
		return 0, false, err
	}
	return money.Amount(q.score.cost), q.proved || q.bound == q.score.cost, nil
}

// reacher looks for the most that an amount of money buys.
type reacher struct {
	s      *Solver
	order  []int32
	yield  []float64 // most content per minor unit of the items from an index on
	half   []float64
	budget int64
	enough float64
	used   []load
	best   float64
	nodes  int
	spent  bool
}

// reachOf is the most content of the only need that a landed cost within the budget buys, at most enough, and the work
// that this took.
func (s *Solver) reachOf(budget money.Amount, enough Content) (reach Content, nodes int, proved bool) {
	r := reacher{s: s, budget: int64(budget), enough: float64(enough), used: make([]load, len(s.sellers))}
	r.order = slices.Clone(s.demands[0].items)
	slices.SortStableFunc(r.order, func(a, b int32) int {
		x, y := per(&s.items[a]), per(&s.items[b])
		switch {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	n := len(r.order)
	r.yield, r.half = make([]float64, n+1), make([]float64, n+1)
	for i := n - 1; i >= 0; i-- {
		r.yield[i] = max(r.yield[i+1], per(&s.items[r.order[i]]))
		it := &s.items[r.order[i]]
		r.half[i] = r.half[i+1] + it.half + it.extra.half
	}
	r.walk(0, 0, 0, 0)
	return Content(min(r.best, r.enough)), r.nodes, !r.spent
}

// walk extends the purchases by items from i on. cost is that of the goods so far.
func (r *reacher) walk(i int, content float64, cost int64, suppliers int) {
	if content > r.best && r.landed(cost) {
		r.best = content
	}
	for j := i; j < len(r.order) && r.best < r.enough && !r.spent; j++ {
		left := float64(r.budget-cost-r.least()) + r.half[j]
		if left < 0 || content+float64(left*r.yield[j]*(1+1e-12)) <= r.best {
			return
		}
		it := &r.s.items[r.order[j]]
		u := &r.used[it.seller]
		before := *u
		more := suppliers
		if !u.any && !r.s.sellers[it.seller].inUse(r.used) {
			more++
			if most := r.s.problem.Limits.MaxSuppliers; most > 0 && more > most {
				continue
			}
		}
		last := it.most
		slope := it.plain()
		if float64(slope*float64(last)) > left {
			last = min(last, int64(left/slope))
		}
		for steps := last; steps >= it.least && r.best < r.enough && !r.spent; steps-- {
			r.nodes++
			if r.nodes > r.s.limit {
				r.spent = true
				break
			}
			held := content + float64(float64(steps)*it.content)
			rest := left - max(0, float64(slope*float64(steps))-it.half-it.extra.half)
			if held+float64(max(0, rest)*r.yield[j+1]*(1+1e-12)) <= r.best && r.yield[j+1] <= per(it) {
				break
			}
			goods := it.cost(steps)
			c := goods + it.extra.of(goods, steps)
			if cost+c > r.budget {
				continue
			}
			u.any = true
			u.goods, u.mass, u.volume = before.goods+goods, before.mass+float64(float64(steps)*it.mass), before.volume+float64(float64(steps)*it.volume)
			r.walk(j+1, held, cost+c, more)
			*u = before
		}
		*u = before
	}
}

func per(it *item) float64 {
	if it.plain() <= 0 {
		return math.Inf(1)
	}
	return it.content / it.plain()
}

// plain is the least that a step costs with what it costs beside the goods.
func (it *item) plain() float64 {
	return it.slope + float64(it.extra.rate*it.slope) + float64(it.extra.step)
}

// least bounds the charges of what is bought so far and may grow.
func (r *reacher) least() (sum int64) {
	for i := range r.used {
		u := &r.used[i]
		if !u.any {
			continue
		}
		s := &r.s.sellers[i]
		least := int64(mostMoney)
		for _, m := range [...]mode{free, paid, pickup} {
			if s.can[m] {
				least = min(least, s.fee[m]*s.trips(m, u.mass, u.volume))
			}
		}
		sum += least
	}
	return sum
}

func (r *reacher) landed(cost int64) bool {
	for i := range r.used {
		if !r.used[i].any || r.s.sellers[i].follows(i, r.used) {
			continue
		}
		way, charge, _ := r.s.charge(i, r.used)
		if way == closed {
			return false
		}
		cost += charge
	}
	return cost <= r.budget
}
