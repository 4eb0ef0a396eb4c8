package pricing

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
	"bedline/pricing/money"
	"bedline/pricing/supply"
)

// demand is one material over all that ask for it.
type demand struct {
	material *estimate.Material
	lines    []int // indices of what asks for it: lines of a takeoff, requirements, or jobs of a pool
	supply.Need
}

// demands gathers what has to be bought, one need per material in the order in which they are first named, from n
// amounts in the base unit of their material.
func (l *List) demands(n int, of func(i int) (*estimate.Material, float64)) []demand {
	var needs []demand
	for i := range n {
		material, amount := of(i)
		if amount <= 0 {
			continue
		}
		k := -1
		for j := range needs {
			if needs[j].material.Key == material.Key {
				k = j
			}
		}
		if k < 0 {
			base := supply.ByCount
			if material.Kind == estimate.LooseMaterial {
				base = supply.ByVolume
			}
			needs = append(needs, demand{material: material, Need: supply.Need{Material: material.Key, Base: base, Offers: l.buying.offers[material.Key]}})
			k = len(needs) - 1
		}
		needs[k].lines = append(needs[k].lines, i)
		needs[k].Quantity += supply.Content(amount)
	}
	return needs
}

// market is what a request buys on: the offers of a list, and the wishes of the request.
type market struct {
	list   *List
	system measure.System // of the sentences
	prefer Preference
	steps  bool // of cost against quantity are wanted
	options
}

// noOfferError names the materials that nobody offers.
type noOfferError struct{ materials []string }

func (e *noOfferError) Error() string { return fmt.Sprintf("nobody offers %q", e.materials) }

// buyFor is buy, for needs in doubt if there is a doubt.
func (m market) buyFor(ctx context.Context, workplace *supply.Workplace, needs []demand, d *doubt) (Supply, error) {
	if d != nil {
		return m.buyInDoubt(ctx, workplace, needs, d)
	}
	return m.buy(ctx, workplace, needs)
}

// buy makes the plan with its rivals and comparisons. Errors: *noOfferError, *supply.NoCoverError, *supply.InputError and
// others, see refuse; that of the context when the time is up.
func (m market) buy(ctx context.Context, workplace *supply.Workplace, needs []demand) (Supply, error) {
	solver, problem, err := m.open(workplace, needs)
	if err != nil {
		return Supply{}, err
	}
	var s Supply
	if s.Plan, err = m.plan(solver, problem); err != nil {
		return Supply{}, err
	}
	s.Rivals = solver.Rivals()
	if s.Comparison, err = m.compare(ctx, solver, needs); err != nil {
		return Supply{}, err
	}
	return s, nil
}

// buyOnly makes the plan alone. Errors are those of buy.
func (m market) buyOnly(workplace *supply.Workplace, needs []demand) (supply.Plan, error) {
	return m.buyOnlyFor(workplace, needs, nil)
}

// buyOnlyFor is buyOnly, for needs in doubt if there is a doubt.
func (m market) buyOnlyFor(workplace *supply.Workplace, needs []demand, d *doubt) (supply.Plan, error) {
	solver, problem, err := m.open(workplace, needs)
	if err != nil {
		return supply.Plan{}, err
	}
	if d != nil {
		s, err := m.hedge(problem, needs, d)
		if err != nil {
			return supply.Plan{}, err
		}
		return s.Taken.Plan, nil
	}
	return m.plan(solver, problem)
}

func (m market) open(workplace *supply.Workplace, needs []demand) (*supply.Solver, supply.Problem, error) {
	problem := supply.Problem{Currency: m.list.Currency, Suppliers: m.suppliers(needs)}
	var none noOfferError
	for i := range needs {
		if len(needs[i].Offers) == 0 {
			none.materials = append(none.materials, needs[i].material.Key)
		}
		problem.Needs = append(problem.Needs, needs[i].Need)
	}
	if none.materials != nil {
		return nil, problem, &none
	}
	if m.options != (options{}) {
		if err := m.apply(m.list, &problem); err != nil {
			return nil, problem, err
		}
	}
	solver, err := supply.NewIn(workplace, problem)
	return solver, problem, err
}

// suppliers are those of the list; where there are more than the optimiser takes, those that offer something needed.
func (m market) suppliers(needs []demand) []supply.Supplier {
	all := m.list.buying.suppliers
	if len(all) <= supply.MostSuppliers {
		return all
	}
	wanted := map[string]bool{} // looked up only
	for i := range needs {
		for k := range needs[i].Offers {
			wanted[needs[i].Offers[k].Supplier] = true
		}
	}
	var out []supply.Supplier
	for i := range all {
		if wanted[all[i].Key] {
			out = append(out, all[i])
		}
	}
	return out
}

// plan finds the plan that the request prefers.
func (m market) plan(solver *supply.Solver, problem supply.Problem) (supply.Plan, error) {
	switch m.prefer {
	case PreferBags:
		problem.Limits.Form = supply.Bag
		return supply.Solve(problem)
	case PreferBulk:
		problem.Limits.Form = supply.Bulk
		return supply.Solve(problem)
	}
	return solver.Plan()
}

// refuse turns what buying finds wrong with a request into faults; where tells which places of the request ask for a
// material. Any other error is given back: a failure of ours.
func (m market) refuse(err error, faults *document.Faults, where func(material string) []string) error {
	var none *noOfferError
	var uncovered *supply.NoCoverError
	var senseless *supply.InputError
	note := func(materials []string, code string, detail func(material string) string) {
		for _, material := range materials {
			for _, at := range where(material) {
				faults.Add(at, code, detail(material), m.list.offered(material))
			}
		}
	}
	switch {
	case errors.As(err, &none):
		note(none.materials, codeNoOffer, func(material string) string {
			return "names a material that no supplier of the price list offers: " + material
		})
	case errors.As(err, &uncovered) && uncovered.MaxSuppliers > 0:
		faults.Add("/supply/most_suppliers", codeNoOffer, "is too few: no "+suppliers(m.MostSuppliers)+" of the price list can supply all that is needed", strconv.Itoa(min(mostSuppliers, m.MostSuppliers+1)))
	case errors.As(err, &uncovered):
		note(uncovered.Materials, codeNoOffer, func(material string) string { return m.uncovered(material, uncovered) })
	case errors.As(err, &senseless):
		// Prices and contents were checked when the list was compiled, so that mostly a need too large to be bought in whole
		// packs is refused.
		detail := "takes more of a material than can be reckoned: check the units of its measures (" + senseless.Error() + ")"
		at := []string{""}
		if key, ok := strings.CutPrefix(senseless.What, "offer "); ok {
			if o := m.list.Offer(key); o != nil {
				at = where(o.Material)
			}
		}
		if material, ok := strings.CutPrefix(senseless.What, "surplus of "); ok {
			at, detail = where(material), "cannot be bought with a value of what is left: "+senseless.Error()
		}
		for _, pointer := range at {
			faults.Add(pointer, codeTooLarge, detail, "")
		}
	default:
		return fmt.Errorf("planning the buying: %w", err)
	}
	return nil
}

func suppliers(n int) string {
	if n == 1 {
		return "one supplier"
	}
	return strconv.Itoa(n) + " suppliers"
}

// uncovered says why a material can't be had, naming its offers.
func (m market) uncovered(material string, err *supply.NoCoverError) string {
	offers := m.list.OffersFor(material)
	soonest := -1
	var keys []string
	for i := range offers {
		keys = append(keys, offers[i].Key)
		if soonest < 0 || offers[i].LeadDays < offers[soonest].LeadDays {
			soonest = i
		}
	}
	if m.WithinDays > 0 && soonest >= 0 && offers[soonest].LeadDays > m.WithinDays {
		return fmt.Sprintf("names a material that can't be had within %d days: the soonest is offer %s, in %d", m.WithinDays, offers[soonest].Key, offers[soonest].LeadDays)
	}
	return "names a material of which the price list can't supply this much: " + material + ", from offers " + suggest(keys)
}

// offered is the first other material of the same kind that somebody offers, as an example.
func (l *List) offered(material string) string {
	like, ok := l.Catalogue.Material(material)
	if !ok {
		return ""
	}
	for i := range l.Catalogue.Materials {
		if m := &l.Catalogue.Materials[i]; m.Kind == like.Kind && m.Key != material && len(l.offers[m.Key]) > 0 {
			return strconv.Quote(m.Key)
		}
	}
	return ""
}

// compareTo is how far bags and bulk are compared: to four times the need, at least to two cubic metres, a small load
// of a bulk yard.
func compareTo(need supply.Content) supply.Content { return max(4*need, 2) }

// compare sets bags beside bulk for each loose material.
func (m market) compare(ctx context.Context, solver *supply.Solver, needs []demand) ([]Comparison, error) {
	p := pencil{m.system, m.list.Currency}
	loose := 0
	for k := range needs {
		if needs[k].material.Kind == estimate.LooseMaterial {
			loose++
		}
	}
	out := make([]Comparison, 0, loose)
	for k := range needs {
		n := &needs[k]
		if n.material.Kind != estimate.LooseMaterial {
			continue
		}
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		result, ok, err := solver.BreakEven(k, compareTo(n.Quantity))
		if err != nil {
			return nil, fmt.Errorf("comparing bags with bulk: %w", err)
		}
		if !ok {
			if result, err = m.oneSided(n); err != nil {
				return nil, err
			}
		}
		c := Comparison{Material: n.material, Needed: measure.Volume(n.Quantity), BreakEven: result}
		c.Sentence = p.comparison(m.list, &c)
		if m.steps {
			work := math.MaxInt
			if c.Steps, err = stepsOf(solver, k, n, loose, &work); err != nil {
				return nil, err
			}
		}
		out = append(out, c)
	}
	return out, nil
}

// oneSided is the comparison of a material that the list has only in bags or only in bulk: the cost of the one.
func (m market) oneSided(n *demand) (supply.BreakEven, error) {
	result := supply.BreakEven{Material: n.material.Key}
	for _, side := range [...]struct {
		form supply.Form
		plan *supply.Plan
		cost *money.Amount
	}{{supply.Bag, &result.BagPlan, &result.NeedBags}, {supply.Bulk, &result.BulkPlan, &result.NeedBulk}} {
		one := n.Need
		one.Offers = nil
		for _, o := range n.Offers {
			if o.Form == side.form {
				one.Offers = append(one.Offers, o)
			}
		}
		if len(one.Offers) == 0 {
			continue
		}
		problem := supply.Problem{Currency: m.list.Currency, Suppliers: m.suppliers([]demand{*n}), Needs: []supply.Need{one}}
		if err := m.apply(m.list, &problem); err != nil {
			return result, fmt.Errorf("comparing bags with bulk: %w", err)
		}
		plan, err := supply.Solve(problem)
		var none *supply.NoCoverError
		if errors.As(err, &none) {
			continue
		}
		if err != nil {
			return result, fmt.Errorf("comparing bags with bulk: %w", err)
		}
		*side.plan, *side.cost = plan, plan.Landed
	}
	return result, nil
}
