package supply

import (
	"fmt"
	"math"
	"slices"

	"bedline/estimate/measure"
	"bedline/pricing/money"
)

// Tolerance is how a need may turn out: normal, drawn once for the whole job and by itself. What is short then is bought
// at once by a trip for that material alone, since layers are laid one after the other. A need that comes out below
// nothing is none, which changes neither the chance of running short nor what that costs.
type Tolerance struct {
	Mean      Content // 0 is the quantity of the need
	Deviation Content // standard deviation; 0 is a need that is certain
	TopUp     TopUp
}

// NinetyPercent is the standard deviation of a normal value that is within a half-width of its mean in 90 of 100 cases:
// 1.645 deviations on either side.
func NinetyPercent(halfWidth Content) Content { return halfWidth / 1.645 }

// Hedge is a plan bought now for needs that are not certain, with what may have to be bought later. How much will be left
// of a need that is not certain is not known: what its surplus is worth is left out.
type Hedge struct {
	Plan     Plan         // bought now; its covers are those of the needs as they are said
	Risks    []Risk       // one per need
	Expected money.Amount // Plan.Landed and the expected cost of all top-ups
	Short    Chance       // that some need runs short
	Bound    money.Amount // no plan is expected to cost less (Hedged); of a plan that covers targets, that of their plans
	// Proved says that no plan is expected to cost less than this by more than the rounding of the top-ups (Hedged), or
	// that none covers the targets for less.
	Proved bool
}

// Risk is that of one need.
type Risk struct {
	Material  string
	Mean      Content
	Deviation Content
	Target    Content // what the plan was made to cover
	Bought    Content
	Score     float64      // deviations by which what is bought is above the mean; 0 of a certain need
	Short     Chance       // that it is not enough
	Packs     float64      // of the top-up that are expected
	TopUp     TopUp        // what it is topped up with
	Expected  money.Amount // cost of the top-up, rounded
}

// Hedger plans for needs that are not certain. It is not safe for concurrent use.
type Hedger struct {
	problem    Problem
	tolerances []Tolerance
	place      Workplace
	certain    Plan
	settled    bool // certain is there
}

// NewHedger makes a problem ready. Tolerances go by need. The error is an *InputError.
func NewHedger(p Problem, tolerances []Tolerance) (*Hedger, error) {
	if len(tolerances) != len(p.Needs) {
		return nil, &InputError{What: "tolerances", Detail: fmt.Sprintf("%d for %d needs", len(tolerances), len(p.Needs))}
	}
	h := &Hedger{problem: p, tolerances: slices.Clone(tolerances)}
	for i := range p.Needs {
		t := &h.tolerances[i]
		fault := func(detail string) (*Hedger, error) {
			return nil, &InputError{What: "tolerance of " + p.Needs[i].Material, Detail: detail}
		}
		if !finite(t.Deviation) || !finite(t.Mean) {
			return fault("must not be negative")
		}
		if t.Mean == 0 {
			t.Mean = p.Needs[i].Quantity
		}
		if h.uncertain(i) && (!(t.TopUp.Content > 0) || t.TopUp.Price < 0 || t.TopUp.Trip < 0) {
			return fault("its top-up needs a content above zero and no negative price")
		}
	}
	return h, nil
}

func finite(c Content) bool { return c >= 0 && !math.IsInf(float64(c), 0) }

// Confident is the plan that covers each need with the chance: its quantile of that order. Tolerances go by need.
// Errors: those of Solve, *InputError.
func Confident(p Problem, tolerances []Tolerance, confidence Chance) (Hedge, error) {
	h, err := NewHedger(p, tolerances)
	if err != nil {
		return Hedge{}, err
	}
	return h.Confident(confidence)
}

// Hedged is the plan of the least expected cost: that of what is bought now and of the top-ups. Needs without deviation
// are covered as they are; with no other it is the plan of the problem. Tolerances go by need. Errors: those of Solve,
// *InputError.
func Hedged(p Problem, tolerances []Tolerance) (Hedge, error) {
	h, err := NewHedger(p, tolerances)
	if err != nil {
		return Hedge{}, err
	}
	return h.Least()
}

func (h *Hedger) uncertain(i int) bool {
	return h.tolerances[i].Deviation > 0 && h.problem.Needs[i].Quantity > 0
}

// Certain is the plan of the needs as they are said. Errors: those of Solve.
func (h *Hedger) Certain() (Hedge, error) {
	targets := h.said()
	if !h.settled {
		plan, err := h.cover(targets)
		if err != nil {
			return Hedge{}, err
		}
		h.certain, h.settled = plan, true
	}
	return h.report(h.certain, targets), nil
}

// Confident is as the function Confident says.
func (h *Hedger) Confident(confidence Chance) (Hedge, error) {
	if !(confidence > 0 && confidence < 1) {
		return Hedge{}, &InputError{What: "confidence", Detail: "must be between 0 and 1"}
	}
	targets := h.quantiles(confidence)
	if slices.Equal(targets, h.said()) {
		return h.Certain()
	}
	plan, err := h.cover(targets)
	if err != nil {
		return Hedge{}, err
	}
	return h.report(plan, targets), nil
}

// quantiles are the needs that are covered with the chance.
func (h *Hedger) quantiles(c Chance) []Content {
	targets := h.said()
	z := Quantile(c)
	for i := range targets {
		if h.uncertain(i) {
			t := &h.tolerances[i]
			targets[i] = max(0, t.Mean+Content(float64(z*float64(t.Deviation))))
		}
	}
	return targets
}

// said are the needs as they are said.
func (h *Hedger) said() []Content {
	targets := make([]Content, len(h.problem.Needs))
	for i := range targets {
		targets[i] = h.problem.Needs[i].Quantity
	}
	return targets
}

// cover is the cheapest plan of the targets.
func (h *Hedger) cover(targets []Content) (Plan, error) {
	p := h.problem
	p.Needs = slices.Clone(p.Needs)
	for i := range p.Needs {
		p.Needs[i].Quantity = targets[i]
		if h.uncertain(i) {
			p.Needs[i].Surplus = Surplus{}
		}
	}
	s, err := NewIn(&h.place, p)
	if err != nil {
		return Plan{}, err
	}
	return s.Plan()
}

// short is the chance that what is bought of a need runs short, and the packs of the top-up that are expected.
func (h *Hedger) short(i int, bought Content) (short Chance, packs float64) {
	if !h.uncertain(i) {
		return 0, 0
	}
	t := &h.tolerances[i]
	z := float64(bought-t.Mean) / float64(t.Deviation)
	return upper(z), expectedPacks(z, float64(t.TopUp.Content)/float64(t.Deviation))
}

// expectedPacks is how many packs are expected to be bought for a standard normal need of which z is there; a pack after
// k others is bought where more than they hold is short: the sum of the chances of z + k pack. For small packs it is
// reckoned by the Euler-Maclaurin formula to its third term, whose error is below pack^5 / 30240 (NIST Digital Library of
// Mathematical Functions, 2.10.1).
func expectedPacks(z, pack float64) float64 {
	if pack < 0.25 {
		density := density(z)
		sum := Loss(z)/pack + float64(upper(z))/2 + float64(pack*density)/12
		return max(0, sum-float64(float64(float64(float64(pack*pack)*pack)*float64(float64(z*z)-1))*density)/720)
	}
	packs := 0.0
	for k := 0.0; ; k++ {
		more := float64(upper(z + float64(k*pack)))
		packs += more
		if more < 1e-12 {
			return packs
		}
	}
}

// later is the expected cost of the top-up of a need in minor units.
func (h *Hedger) later(i int, bought Content) float64 {
	t := &h.tolerances[i]
	short, packs := h.short(i, bought)
	return float64(packs*float64(t.TopUp.Price)) + float64(float64(short)*float64(t.TopUp.Trip))
}

func (h *Hedger) report(plan Plan, targets []Content) Hedge {
	r := Hedge{Plan: plan, Expected: plan.Landed, Bound: plan.Bound, Proved: plan.Optimal, Risks: make([]Risk, len(plan.Covers))}
	r.Plan.Covers = slices.Clone(plan.Covers)
	enough := 1.0
	for i := range r.Plan.Covers {
		c, t := &r.Plan.Covers[i], &h.tolerances[i]
		c.Need = h.problem.Needs[i].Quantity
		c.Surplus = Left(c.Bought, c.Need)
		risk := Risk{Material: c.Material, Mean: c.Need, Target: targets[i], Bought: c.Bought}
		if h.uncertain(i) {
			risk.Mean, risk.Deviation, risk.TopUp = t.Mean, t.Deviation, t.TopUp
			risk.Score = float64(c.Bought-t.Mean) / float64(t.Deviation)
			risk.Short, risk.Packs = h.short(i, c.Bought)
			risk.Expected = rounded(h.later(i, c.Bought))
		}
		enough = float64(enough * (1 - float64(risk.Short)))
		r.Expected += risk.Expected
		r.Risks[i] = risk
	}
	r.Short = Chance(max(0, 1-enough))
	return r
}

func rounded(cost float64) money.Amount { return money.Amount(measure.RoundDown(cost + 0.5)) }
