package pricing

import (
	"context"
	"errors"
	"fmt"

	"bedline/estimate/measure"
	"bedline/pricing/supply"
)

// Steps are the least landed costs of a loose material alone, with its delivery, against its quantity: one in bags, one
// in bulk. A form that is not sold has none.
type Steps struct {
	UpTo       measure.Volume // how far they go
	Cut        bool           // they would go further, but for MostSteps
	Bags, Bulk []supply.Step
	Unproved   bool // the work limit was spent before every step was proved: there are none
}

// The most steps of one form of one material, and of one answer. Materials share those of the answer alike.
const (
	MostSteps    = 1000
	mostStepsAll = 20000
)

// stepsOf are the steps of a need, one of so many loose ones, as far as its break-even is looked for. What finding them
// takes is taken off work.
func stepsOf(solver *supply.Solver, k int, n *demand, loose int, work *int) (*Steps, error) {
	most := min(MostSteps, mostStepsAll/(2*loose))
	upTo := compareTo(n.Quantity)
	s := &Steps{}
	for _, o := range n.Offers {
		if o.Form != supply.Bag && o.Form != supply.Bulk {
			continue
		}
		step := o.Content
		if f, ok := o.Increment.Float64(); ok && f > 0 {
			step = supply.Content(float64(o.Content) * f)
		}
		// Steps are no shorter than the smallest pack, but for mixed sizes, which cut looks after.
		if reach := step * supply.Content(most); reach < upTo {
			upTo, s.Cut = reach, true
		}
	}
	for _, side := range [...]struct {
		form  supply.Form
		steps *[]supply.Step
	}{{supply.Bag, &s.Bags}, {supply.Bulk, &s.Bulk}} {
		if !sold(n, side.form) {
			continue
		}
		steps, err := solver.CurveWithin(k, side.form, upTo, work)
		var none *supply.NoCoverError
		switch {
		case errors.As(err, &none):
			continue
		case errors.Is(err, supply.ErrNoPlanInLimit):
			return &Steps{Unproved: true}, nil
		case err != nil:
			return nil, fmt.Errorf("finding the steps of cost: %w", err)
		}
		if len(steps) > most {
			steps, s.Cut = steps[:most], true
		}
		*side.steps = steps
	}
	s.UpTo = measure.Volume(upTo)
	for _, side := range [...][]supply.Step{s.Bags, s.Bulk} {
		if len(side) == most {
			s.UpTo = min(s.UpTo, measure.Volume(side[most-1].UpTo))
		}
	}
	s.Bags, s.Bulk = within(s.Bags, s.UpTo), within(s.Bulk, s.UpTo)
	return s, nil
}

func sold(n *demand, form supply.Form) bool {
	for i := range n.Offers {
		if n.Offers[i].Form == form {
			return true
		}
	}
	return false
}

// offered is how many offers a need has in bags and bulk.
func offered(n *demand) (count int) {
	for i := range n.Offers {
		if f := n.Offers[i].Form; f == supply.Bag || f == supply.Bulk {
			count++
		}
	}
	return count
}

// within cuts steps off at a quantity.
func within(steps []supply.Step, upTo measure.Volume) []supply.Step {
	for i := range steps {
		if measure.Volume(steps[i].UpTo) >= upTo {
			steps[i].UpTo = supply.Content(upTo)
			return steps[:i+1]
		}
	}
	return steps
}

// Holds is the index of the step that a quantity lies in, -1 if it lies beyond all. A quantity at the end of a step is
// in it, with the guard of buying.
func Holds(steps []supply.Step, quantity measure.Volume) int {
	least := float64(quantity) - float64(1e-9*max(1, float64(quantity)))
	for i := range steps {
		if float64(steps[i].UpTo) >= least {
			return i
		}
	}
	return -1
}

// The most that finding steps for drawing takes: offers of one material in bags and bulk, and the steps of work of buying
// for all materials.
const (
	MostDrawnOffers = 30
	mostDrawnWork   = 1_500_000
)

// CostSteps are the steps of those comparisons of the buying plan whose places are named, for one who draws them: those
// of the answer where the request asked for steps, else found now as they would have been. A context that ends gives its
// error. The work is limited, by no clock: a material of more than MostDrawnOffers offers is Unproved, and one for which its
// share of the work is not enough.
func (q *Quote) CostSteps(ctx context.Context, places []int) ([]*Steps, error) {
	out := make([]*Steps, len(places))
	if q.Terms.Steps {
		for i, k := range places {
			out[i] = q.Supply.Comparison[k].Steps
		}
		return out, nil
	}
	needs := q.needs()
	solver, _, err := q.market().open(&supply.Workplace{}, needs)
	if err != nil {
		return nil, fmt.Errorf("finding the steps of cost: %w", err)
	}
	left := mostDrawnWork
	for i, k := range places {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		work := left / (len(places) - i)
		left -= work
		for n := range needs {
			if needs[n].material.Key != q.Supply.Comparison[k].Material.Key {
				continue
			}
			if offered(&needs[n]) > MostDrawnOffers {
				out[i] = &Steps{Unproved: true}
				continue
			}
			if out[i], err = stepsOf(solver, n, &needs[n], len(q.Supply.Comparison), &work); err != nil {
				return nil, err
			}
		}
		left += max(0, work)
	}
	return out, nil
}
