package supply

import (
	"fmt"
	"math"
	"slices"

	"bedline/estimate/measure"
	"bedline/pricing/money"
)

// Tolerance is how a need may turn out: normal about its quantity, drawn once for the whole job and by itself. What is
// short then is bought at once, whole packs of one offer, by a trip for that material alone, since layers are laid one
// after the other.
type Tolerance struct {
	Deviation Content // standard deviation; 0 is a need that is certain
	TopUp     TopUp
}

// TopUp is what is short when it is short.
type TopUp struct {
	Content Content      // of a pack; above 0 where the need is not certain
	Price   money.Amount // of a pack
	Trip    money.Amount // of the trip, with the crew's time
}

// NinetyPercent is the standard deviation of a normal value that is within a half-width of its mean in 90 of 100 cases:
// 1.645 deviations on either side.
func NinetyPercent(halfWidth Content) Content { return halfWidth / 1.645 }

// QuickTopUp is the dearest offer per content of a need among those that can be fetched, or of all if none can, with a
// trip for it and crew, the cost of the crew's time for a trip. ok is false for a need without offers. Price breaks
// and least counts are taken to be out of reach for the few packs of a top-up.
func QuickTopUp(p Problem, need int, crew money.Amount) (t TopUp, ok bool, err error) {
	fetched := false
	for i := range p.Needs[need].Offers {
		o := &p.Needs[need].Offers[i]
		at := slices.IndexFunc(p.Suppliers, func(s Supplier) bool { return s.Key == o.Supplier })
		if at < 0 {
			return TopUp{}, false, &InputError{What: "offer " + o.Key, Detail: "unknown supplier " + o.Supplier}
		}
		s := &p.Suppliers[at]
		if fetched && s.PickUp == nil {
			continue
		}
		it, err := newItem(o, p.Currency, 0, extra{})
		if err != nil {
			return TopUp{}, false, err
		}
		x := TopUp{Content: Content(it.content), Price: money.Amount(it.cost(1)), Trip: crew}
		switch {
		case s.PickUp != nil:
			x.Trip += s.PickUp.TripCost
		case s.Delivery != nil:
			x.Trip += s.Delivery.Fee
		}
		dearer := float64(x.Price)*float64(t.Content) > float64(t.Price)*float64(x.Content)
		if !ok || !fetched && s.PickUp != nil || dearer {
			t, ok = x, true
		}
		fetched = fetched || s.PickUp != nil
	}
	return t, ok, nil
}

// Hedge is a plan bought now for needs that are not certain, with what may have to be bought later. How much will be left
// of a need that is not certain is not known: what its surplus is worth is left out.
type Hedge struct {
	Plan     Plan // bought now
	Certain  Plan // that of the needs as they are said
	Risks    []Risk
	Expected money.Amount // Plan.Landed and the expected cost of all top-ups, rounded
	Short    Chance       // that some need runs short
	// Premium is what the plan costs more now than Certain does, below zero where it pays to buy less.
	Premium money.Amount
	Solved  int  // plans looked at
	Proved  bool // no plan is expected to cost less (Hedged); all plans it rests on are proved
}

// Risk is that of one need.
type Risk struct {
	Material string
	Target   Content      // what the plan was made to cover
	Short    Chance       // that it is not enough
	TopUp    money.Amount // expected cost of the top-up, rounded
}

// mostSolved is how many plans Hedged looks at.
const mostSolved = 500

// mostLevels is how many targets of one need Hedged looks at: multiples of its least step of purchase from three
// deviations below its quantity to four above, of several steps where that would be more.
const mostLevels = 140

// Confident is the plan that covers each need with the chance: its quantile of that order. Tolerances go by need.
// Errors: those of Solve, *InputError.
func Confident(p Problem, tolerances []Tolerance, confidence Chance) (Hedge, error) {
	if !(confidence > 0 && confidence < 1) {
		return Hedge{}, &InputError{What: "confidence", Detail: "must be between 0 and 1"}
	}
	h, err := newHedger(p, tolerances)
	if err != nil {
		return Hedge{}, err
	}
	z := quantile(confidence)
	for i := range p.Needs {
		if h.uncertain(i) {
			h.targets[i] = max(0, p.Needs[i].Quantity+Content(float64(z*float64(tolerances[i].Deviation))))
		}
	}
	plan, err := h.solve()
	if err != nil {
		return Hedge{}, err
	}
	return h.report(plan, h.targets, plan.Optimal && h.certain.Optimal), nil
}

// Hedged is the plan of the least expected cost: that of what is bought now and of the top-ups. Needs without deviation
// are covered as they are; with no other it is the plan of the problem. Tolerances go by need. Errors: those of Solve,
// *InputError.
func Hedged(p Problem, tolerances []Tolerance) (Hedge, error) {
	h, err := newHedger(p, tolerances)
	if err != nil {
		return Hedge{}, err
	}
	h.best, h.bestTargets, h.bestCost = h.certain, slices.Clone(h.targets), h.expected(&h.certain)
	h.proved = h.certain.Optimal
	for i := range p.Needs {
		if h.uncertain(i) {
			h.open = append(h.open, i)
			h.levels = append(h.levels, h.levelsOf(i))
		}
	}
	if len(h.open) > 0 {
		for k, i := range h.open {
			h.targets[i] = h.levels[k][0]
		}
		if err := h.choose(0, 0); err != nil {
			return Hedge{}, err
		}
	}
	return h.report(h.best, h.bestTargets, h.proved), nil
}

// hedger looks for a hedge.
type hedger struct {
	problem    Problem
	tolerances []Tolerance
	place      Workplace
	certain    Plan
	targets    []Content
	solved     int
	proved     bool

	open   []int // needs that are not certain
	levels [][]Content

	best        Plan
	bestTargets []Content
	bestCost    float64
}

func newHedger(p Problem, tolerances []Tolerance) (*hedger, error) {
	if len(tolerances) != len(p.Needs) {
		return nil, &InputError{What: "tolerances", Detail: fmt.Sprintf("%d for %d needs", len(tolerances), len(p.Needs))}
	}
	h := &hedger{problem: p, tolerances: tolerances, targets: make([]Content, len(p.Needs))}
	for i := range p.Needs {
		t := &tolerances[i]
		if d := float64(t.Deviation); !(d >= 0) || math.IsInf(d, 0) {
			return nil, &InputError{What: "tolerance of " + p.Needs[i].Material, Detail: "must not be negative"}
		}
		if h.uncertain(i) && (!(t.TopUp.Content > 0) || t.TopUp.Price < 0 || t.TopUp.Trip < 0) {
			return nil, &InputError{What: "top-up of " + p.Needs[i].Material, Detail: "needs a content above zero and no negative price"}
		}
		h.targets[i] = p.Needs[i].Quantity
	}
	var err error
	h.certain, err = h.solve()
	return h, err
}

func (h *hedger) uncertain(i int) bool {
	return h.tolerances[i].Deviation > 0 && h.problem.Needs[i].Quantity > 0
}

// solve is the plan of the targets.
func (h *hedger) solve() (Plan, error) {
	p := h.problem
	p.Needs = slices.Clone(p.Needs)
	for i := range p.Needs {
		p.Needs[i].Quantity = h.targets[i]
		if h.uncertain(i) {
			p.Needs[i].Surplus = Surplus{}
		}
	}
	h.solved++
	s, err := NewIn(&h.place, p)
	if err != nil {
		return Plan{}, err
	}
	return s.Plan()
}

// levelsOf are the targets of a need that are looked at, the least first.
func (h *hedger) levelsOf(i int) []Content {
	n, d := &h.problem.Needs[i], float64(h.tolerances[i].Deviation)
	step := math.Inf(1)
	for k := range n.Offers {
		size := 1.0
		if !n.Offers[k].Increment.IsZero() {
			size, _ = n.Offers[k].Increment.Float64()
		}
		step = min(step, float64(n.Offers[k].Content)*size)
	}
	mean := float64(n.Quantity)
	low, high := max(0, mean-float64(3*d)), mean+float64(4*d)
	if many := measure.RoundUp((high - low) / (step * mostLevels)); many > 1 {
		step *= float64(many)
	}
	var levels []Content
	for k := max(1, measure.RoundUp(low/step)); ; k++ {
		x := float64(float64(k) * step)
		levels = append(levels, Content(x))
		if x >= high {
			return levels
		}
	}
}

// choose tries the levels of the open needs from k on; risk is the expected cost of the top-ups of those before, at
// their levels. A greater target never costs less now, so that the least levels of those after give a bound.
func (h *hedger) choose(k int, risk float64) error {
	i := h.open[k]
	least := 0.0
	for after := k + 1; after < len(h.open); after++ {
		last := h.levels[after][len(h.levels[after])-1]
		_, cost := h.topUp(h.open[after], last)
		least += cost
	}
	defer func() { h.targets[i] = h.levels[k][0] }()
	for _, level := range h.levels[k] {
		if h.solved >= mostSolved {
			h.proved = false
			return nil
		}
		h.targets[i] = level
		_, cost := h.topUp(i, level)
		plan, err := h.solve()
		if err != nil {
			return err
		}
		h.proved = h.proved && plan.Optimal
		if expected := h.expected(&plan); expected < h.bestCost {
			h.best, h.bestTargets, h.bestCost = plan, slices.Clone(h.targets), expected
		}
		now := float64(plan.Bound) + risk + least
		if now >= h.bestCost {
			// More costs more.
			return nil
		}
		if k+1 < len(h.open) && now+cost < h.bestCost {
			if err := h.choose(k+1, risk+cost); err != nil {
				return err
			}
		}
	}
	return nil
}

// topUp is the chance that what is bought of a need runs short, and the expected cost of its top-up in minor units.
func (h *hedger) topUp(i int, bought Content) (short Chance, cost float64) {
	if !h.uncertain(i) {
		return 0, 0
	}
	t := &h.tolerances[i]
	z := float64(bought-h.problem.Needs[i].Quantity) / float64(t.Deviation)
	pack := float64(t.TopUp.Content) / float64(t.Deviation)
	short = upper(z)
	packs := 0.0
	for k := 0.0; ; k++ {
		// The pack after k others is bought if more than they hold is short.
		more := upper(z + float64(k*pack))
		packs += float64(more)
		if more < 1e-12 || k > 1e6 {
			break
		}
	}
	return short, float64(packs*float64(t.TopUp.Price)) + float64(float64(short)*float64(t.TopUp.Trip))
}

// expected is the expected cost of the plan with its top-ups, in minor units.
func (h *hedger) expected(plan *Plan) float64 {
	sum := float64(plan.Landed)
	for i := range plan.Covers {
		_, cost := h.topUp(i, plan.Covers[i].Bought)
		sum += cost
	}
	return sum
}

func (h *hedger) report(plan Plan, targets []Content, proved bool) Hedge {
	r := Hedge{Plan: plan, Certain: h.certain, Premium: plan.Landed - h.certain.Landed, Solved: h.solved, Proved: proved}
	enough := 1.0
	for i := range plan.Covers {
		c := &plan.Covers[i]
		short, cost := h.topUp(i, c.Bought)
		enough = float64(enough * (1 - float64(short)))
		r.Risks = append(r.Risks, Risk{Material: c.Material, Target: targets[i], Short: short, TopUp: rounded(cost)})
	}
	r.Short = Chance(1 - enough)
	r.Expected = rounded(h.expected(&plan))
	return r
}

func rounded(cost float64) money.Amount { return money.Amount(measure.RoundDown(cost + 0.5)) }
