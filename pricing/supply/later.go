package supply

import (
	"errors"
	"math"
	"math/big"
	"slices"

	"github.com/govalues/decimal"

	"bedline/estimate/measure"
	"bedline/pricing/money"
)

// What may be bought later is one more supplier, who sells of every need that is not certain any number of steps of
// content, up to what it comes to at the most, for what the top-up of a need that lacks so much is expected to cost. The
// cheapest plan with him is the one of the least expected cost, and the search that proves the one proves the other.
//
// His steps divide those of all offers of the need where such a step exists that is not too fine; otherwise what is
// bought may lie between two of them, and the plan is found with costs of the lower and bounded with those of the upper.

const (
	laterSupplier = "~later"   // sorts behind all keys of a list
	mostLevels    = 1000       // steps of one need
	roughLevels   = 200        // where they do not divide those of all offers and the market is large
	largeMarket   = 20_000     // steps of work of the plan for what is said from which a market is large
	hedgeNodes    = 10         // times the work of a plan
	levelsBelow   = 3          // deviations below the mean that are bought at the least
	levelsAbove   = 4.5        // deviations above the mean beyond which nothing is expected to lack
	forbidding    = 10_000_000 // minor units of a step beyond those, less where there are very many steps
)

// Least is the plan of the least expected cost, as the function Hedged says.
func (h *Hedger) Least() (Hedge, error) {
	best, err := h.Certain()
	if err != nil {
		return Hedge{}, err
	}
	open := 0
	for i := range h.problem.Needs {
		if h.uncertain(i) {
			open++
		}
	}
	if open == 0 {
		return best, nil
	}
	best.Bound, best.Proved = 0, false
	if len(h.problem.Suppliers) >= 64 {
		return best, nil
	}
	try := func(targets []Content) error {
		now, err := h.cover(targets)
		if err != nil {
			return passLimit(err)
		}
		if r := h.report(now, targets); r.Expected < best.Expected {
			best = r
		}
		return nil
	}
	p, exact, err := h.withLater(false)
	if err != nil {
		return Hedge{}, err
	}
	plan, err := Solve(p)
	if err != nil {
		return best, passLimit(err)
	}
	bound := plan.Bound
	if err := try(h.now(&plan)); err != nil {
		return best, err
	}
	if !exact {
		if p, _, err = h.withLater(true); err != nil {
			return Hedge{}, err
		}
		above, err := Solve(p)
		if err != nil {
			return best, passLimit(err)
		}
		bound = above.Bound
		if err := try(h.now(&above)); err != nil {
			return best, err
		}
	}
	// The top-up of each need was rounded once for the search and once for the report, and with a tax once more.
	slack := money.Amount(open)
	if !h.problem.Tax.Goods.IsZero() {
		slack *= 2
	}
	if best.Expected > bound+slack {
		for _, c := range [...]Chance{0.5, 0.7, 0.8, 0.9, 0.95, 0.98} {
			if err := try(h.quantiles(c)); err != nil {
				return best, err
			}
		}
	}
	best.Bound = max(0, min(bound-slack, best.Expected))
	best.Proved = best.Expected <= bound+slack
	return best, nil
}

// now is what a plan with the supplier of what is bought later buys now.
func (h *Hedger) now(plan *Plan) []Content {
	targets := h.said()
	for i := range targets {
		if h.uncertain(i) {
			targets[i] = 0
		}
	}
	for i := range plan.Purchases {
		if b := &plan.Purchases[i]; b.Supplier != laterSupplier && h.uncertain(b.Need) {
			targets[b.Need] += b.Content
		}
	}
	return targets
}

// passLimit is nil for an error that only says that no plan was found in time, or that one more supplier is too many.
func passLimit(err error) error {
	var senseless *InputError
	if errors.Is(err, ErrNoPlanInLimit) || errors.As(err, &senseless) {
		return nil
	}
	return err
}

// withLater is the problem with the supplier of what is bought later. Exact says that his steps divide those of all
// offers. Upper takes the costs of the level above for each.
func (h *Hedger) withLater(upper bool) (p Problem, exact bool, err error) {
	p = h.problem
	exact = true
	p.Suppliers = append(slices.Clip(p.Suppliers), Supplier{Key: laterSupplier})
	p.Needs = slices.Clone(p.Needs)
	if p.Limits.Nodes <= 0 {
		p.Limits.Nodes = DefaultNodes
	}
	p.Limits.Nodes *= hedgeNodes
	if len(p.Limits.Suppliers) > 0 {
		p.Limits.Suppliers = append(slices.Clip(p.Limits.Suppliers), laterSupplier)
	}
	if p.Limits.MaxSuppliers > 0 {
		// He is no supplier that counts: something is bought of him in any case.
		p.Limits.MaxSuppliers++
		p.Needs = append(p.Needs, Need{Material: laterSupplier, Quantity: 1, Offers: []Offer{{Key: laterSupplier, Supplier: laterSupplier, Content: 1}}})
	}
	for i := range h.problem.Needs {
		if !h.uncertain(i) {
			continue
		}
		n := &p.Needs[i]
		step, divides := h.step(i)
		o, top, err := h.laterOffer(i, step, upper && !divides)
		if err != nil {
			return p, false, err
		}
		exact = exact && divides
		n.Quantity, n.Surplus = top, Surplus{}
		n.Offers = append(slices.Clip(n.Offers), o)
	}
	return p, exact, nil
}

// levels are the least and the most of a need that are looked at.
func (h *Hedger) levels(i int) (low, high float64) {
	t := &h.tolerances[i]
	mean, deviation := float64(t.Mean), float64(t.Deviation)
	return max(0, mean-float64(levelsBelow*deviation)), mean + float64(levelsAbove*deviation)
}

// step is the content of a step of what is bought later, and whether it divides the steps of all offers of the need.
func (h *Hedger) step(i int) (step float64, divides bool) {
	low, high := h.levels(i)
	least := math.Inf(1)
	var steps []float64
	for k := range h.problem.Needs[i].Offers {
		o := &h.problem.Needs[i].Offers[k]
		size := 1.0
		if !o.Increment.IsZero() {
			size, _ = o.Increment.Float64()
		}
		content := float64(float64(o.Content) * size)
		steps = append(steps, content)
		least = min(least, content)
	}
	finest := (high - low) / mostLevels
	if h.certain.Nodes > largeMarket {
		finest = (high - low) / roughLevels
	}
	grain := least
	for _, s := range steps {
		for a, b := s, grain; ; a, b = b, math.Mod(a, b) {
			if b < float64(1e-6*least) {
				grain = a
				break
			}
		}
	}
	if grain = least / math.Round(least/grain); grain >= (high-low)/mostLevels {
		divides = true
		for _, s := range steps {
			if times := s / grain; math.Abs(times-math.Round(times)) > 1e-9*times {
				divides = false
			}
		}
		if divides {
			return grain, true
		}
	}
	// Halves of the least step as long as they are not too fine, or doubles of it.
	step = least
	for step/2 >= finest && step > least/64 {
		step /= 2
	}
	for step < finest {
		step *= 2
	}
	return step, false
}

// laterOffer is what is sold later of a need: the price of each number of steps holds for all of them, so that it is what
// the top-up of a need that lacks so many is expected to cost. Top is what need and steps come to together.
func (h *Hedger) laterOffer(i int, step float64, upper bool) (o Offer, top Content, err error) {
	low, high := h.levels(i)
	count := measure.RoundUp(high / step)
	top = Content(float64(float64(count) * step))
	o = Offer{Key: laterSupplier + h.problem.Needs[i].Material, Supplier: laterSupplier, Form: h.formOf(i), Content: Content(step)}
	tax := decimal.One
	if tax, err = tax.Add(h.problem.Tax.Goods); err != nil {
		return o, 0, err
	}
	least := measure.RoundDown(low / step)
	for n := 1; count-n >= least; n++ {
		level := count - n
		if upper {
			level++
		}
		price, err := h.priceOf(rounded(h.later(i, Content(float64(float64(level)*step)))), n, tax)
		if err != nil {
			return o, 0, err
		}
		if n == 1 {
			o.Price = price
		} else {
			o.Breaks = append(o.Breaks, Break{From: decimal.MustNew(int64(n), 0), Price: price})
		}
	}
	dear, err := h.priceOf(money.Amount(min(forbidding, mostMoney/4/count)), 1, decimal.One)
	if err != nil {
		return o, 0, err
	}
	o.Breaks = append(o.Breaks, Break{From: decimal.MustNew(int64(count-least+1), 0), Price: dear})
	return o, top, nil
}

// priceOf is an amount by a number of steps and a factor, with digits enough to come back to it.
func (h *Hedger) priceOf(a money.Amount, steps int, by decimal.Decimal) (decimal.Decimal, error) {
	price := new(big.Rat).SetInt64(int64(a))
	price.Quo(price, new(big.Rat).SetInt64(int64(steps)))
	for range h.problem.Currency.Digits {
		price.Quo(price, big.NewRat(10, 1))
	}
	price.Quo(price, money.Exact(by))
	return decimal.Parse(price.FloatString(9))
}

// formOf is the form that what is bought later goes in, so that a preference for a form leaves it there: that form where
// the need is offered in it, else none.
func (h *Hedger) formOf(i int) Form {
	for k := range h.problem.Needs[i].Offers {
		if h.problem.Needs[i].Offers[k].Form == h.problem.Limits.Form {
			return h.problem.Limits.Form
		}
	}
	return AnyForm
}
