package pricing

import (
	"context"
	"fmt"
	"strings"

	"github.com/govalues/decimal"

	"bedline/estimate"
	"bedline/estimate/measure"
	"bedline/pricing/money"
	"bedline/pricing/supply"
)

// RunningShort is what it comes to that the needs of a job are not certain: the plan that is bought now, and what may have
// to be bought later.
type RunningShort struct {
	Confidence supply.Chance // that the plan covers each material; 0 where it is that of the least expected cost
	Taken      supply.Hedge  // the plan of the answer
	Certain    supply.Hedge  // that of the needs as they are said, at the same risks
	Least      *supply.Hedge // that of the least expected cost; nil where it was not looked for
	Materials  []ShortMaterial
	Workings   []estimate.Working
}

// ShortMaterial is one material that may run short.
type ShortMaterial struct {
	Material *estimate.Material
	Required estimate.Amount
	supply.Risk
	Workings []estimate.Working
}

// doubt is what is not certain of the needs that a request buys for.
type doubt struct {
	confidence supply.Chance
	least      bool     // the plan of the least expected cost is wanted beside that of a confidence
	spreads    []spread // of the needs
}

// doubtOf is the doubt about needs of lines. Tolerances go by line.
func (m market) doubtOf(needs []demand, lines []uncertain, confidence supply.Chance, of func(line *uncertain) *Tolerances) *doubt {
	p := pencil{m.system, m.list.Currency}
	d := &doubt{confidence: confidence, least: true, spreads: make([]spread, len(needs))}
	for k := range needs {
		n := &needs[k]
		own := make([]*uncertain, len(n.lines))
		for i, line := range n.lines {
			own[i] = &lines[line]
		}
		d.spreads[k] = p.spreadOf(float64(n.Quantity), own, of)
	}
	return d
}

// hedge plans for needs in doubt. The plan is the one that the request prefers where nothing is in doubt.
func (m market) hedge(problem supply.Problem, needs []demand, d *doubt) (*RunningShort, error) {
	problem.Limits.Form = m.form()
	tolerances := make([]supply.Tolerance, len(needs))
	for k := range needs {
		s := &d.spreads[k]
		if s.deviation <= 0 {
			continue
		}
		top, ok, err := supply.QuickTopUp(problem, k, func(supplier string) money.Amount {
			cost, _ := m.tripCrew(supplier)
			return cost
		})
		if err != nil {
			return nil, err
		}
		if !ok {
			return nil, &supply.NoCoverError{Materials: []string{needs[k].Material}}
		}
		tolerances[k] = s.toleranceOf(top)
	}
	h, err := supply.NewHedger(problem, tolerances)
	if err != nil {
		return nil, err
	}
	s := &RunningShort{Confidence: d.confidence}
	if s.Certain, err = h.Certain(); err != nil {
		return nil, err
	}
	if d.confidence == 0 || d.least {
		least, err := h.Least()
		if err != nil {
			return nil, err
		}
		s.Taken, s.Least = least, &least
	}
	if d.confidence > 0 {
		if s.Taken, err = h.Confident(d.confidence); err != nil {
			return nil, err
		}
		if s.Least != nil && s.Taken.Expected < s.Least.Expected {
			// Where the least was not proved.
			bound := s.Least.Bound
			least := s.Taken
			least.Bound, least.Proved = min(bound, least.Expected), false
			s.Least = &least
		}
	}
	m.explain(s, needs, d)
	return s, nil
}

// form is the form that the request prefers, in the words of the optimiser.
func (m market) form() supply.Form {
	switch m.prefer {
	case PreferBags:
		return supply.Bag
	case PreferBulk:
		return supply.Bulk
	}
	return supply.AnyForm
}

// tripCrew is what the crew's time for a trip to a supplier costs, and its hours; none where it delivers only.
func (m market) tripCrew(supplier string) (money.Amount, measure.Hours) {
	s, ok := m.list.Supplier(supplier)
	if !ok || s.PickUp == nil || s.PickUp.CrewHours <= 0 {
		return 0, 0
	}
	cost, err := m.list.crewCost(s.PickUp.CrewHours, m.hourly(m.list))
	if err != nil {
		return 0, 0
	}
	return cost, s.PickUp.CrewHours
}

// buyInDoubt is buy for needs in doubt: the rivals cover what the plan was made to cover, the comparisons are for what is
// said.
func (m market) buyInDoubt(ctx context.Context, workplace *supply.Workplace, needs []demand, d *doubt) (s Supply, err error) {
	solver, problem, err := m.open(workplace, needs)
	if err != nil {
		return s, err
	}
	if s.Short, err = m.hedge(problem, needs, d); err != nil {
		return s, err
	}
	if s.Comparison, err = m.compare(ctx, solver, needs); err != nil {
		return s, err
	}
	s.Plan = s.Short.Taken.Plan
	covered := make([]demand, len(needs))
	for k := range needs {
		covered[k] = needs[k]
		covered[k].Quantity = s.Short.Taken.Risks[k].Target
	}
	if solver, _, err = m.open(workplace, covered); err != nil {
		return s, err
	}
	s.Rivals = solver.Rivals()
	for i := range s.Rivals {
		covers := s.Rivals[i].Plan.Covers
		for k := range covers {
			covers[k].Need = needs[k].Quantity
			covers[k].Surplus = supply.Left(covers[k].Bought, needs[k].Quantity)
		}
	}
	return s, nil
}

// explain writes down how the risks come about.
func (m market) explain(s *RunningShort, needs []demand, d *doubt) {
	p := pencil{m.system, m.list.Currency}
	enough := make([]string, 0, len(needs))
	later := make([]string, 0, len(needs))
	for k := range needs {
		risk := &s.Taken.Risks[k]
		if risk.Deviation <= 0 && len(d.spreads[k].workings) == 0 {
			continue
		}
		kind := estimate.CountAmount
		if needs[k].Base == supply.ByVolume {
			kind = estimate.VolumeAmount
		}
		x := ShortMaterial{Material: needs[k].material, Required: estimate.Amount{Kind: kind, Value: float64(needs[k].Quantity)}, Risk: *risk}
		x.Workings = append(append([]estimate.Working{}, d.spreads[k].workings...), m.riskWorkings(p, risk, kind, d.confidence)...)
		s.Materials = append(s.Materials, x)
		if risk.Deviation > 0 {
			enough = append(enough, "(1 - "+chance(risk.Short)+")")
			later = append(later, p.money(risk.Expected))
		}
	}
	note := func(label, expression, result string) {
		s.Workings = append(s.Workings, estimate.Working{Label: label, Expression: expression, Result: result})
	}
	if len(enough) > 0 {
		note("chance that anything runs short", "1 - "+strings.Join(enough, " x "), chance(s.Taken.Short))
		note("expected cost", "landed now "+p.money(s.Taken.Plan.Landed)+", topping up "+strings.Join(later, " + "), p.money(s.Taken.Expected))
	}
	if s.Confidence > 0 && s.Least != nil {
		note("what the confidence costs", "expected "+p.money(s.Taken.Expected)+" - "+p.money(s.Least.Expected)+" of the plan of the least expected cost", p.money(s.Taken.Expected-s.Least.Expected))
	}
	note("more than for what is said", "landed now "+p.money(s.Taken.Plan.Landed)+" - "+p.money(s.Certain.Plan.Landed), p.money(s.Taken.Plan.Landed-s.Certain.Plan.Landed))
}

// beyondTable is where the tables of the normal distribution end.
const beyondTable = 3.9

// mostPacksListed is how many packs of a top-up are listed one by one.
const mostPacksListed = 8

// riskWorkings tell how the chance of running short and its cost come about. The chances are those of the table of the
// normal distribution.
func (m market) riskWorkings(p pencil, r *supply.Risk, kind estimate.AmountKind, confidence supply.Chance) []estimate.Working {
	if r.Deviation <= 0 {
		return nil
	}
	amount := func(c supply.Content) string { return p.fine(estimate.Amount{Kind: kind, Value: float64(c)}) }
	var out []estimate.Working
	note := func(label, expression, result string) {
		out = append(out, estimate.Working{Label: label, Expression: expression, Result: result})
	}
	if confidence > 0 {
		z := supply.Quantile(confidence)
		note("to cover in "+chance(confidence)+" of cases", amount(r.Mean)+plusOrMinus(z)+" x "+amount(r.Deviation)+" (table of the normal distribution: "+
			measure.FormatNumber(float64(confidence), 4)+" at "+measure.FormatNumber(z, 3)+")", amount(r.Target))
	}
	note("deviations above the mean", "(bought "+amount(r.Bought)+" - "+amount(r.Mean)+") / "+amount(r.Deviation), measure.FormatNumber(r.Score, 3))
	if r.Score >= beyondTable && r.Expected == 0 {
		note("chance of running short", "more than "+measure.FormatNumber(beyondTable, 1)+" deviations: beyond the table of the normal distribution", chance(r.Short))
		return out
	}
	table := "1 - the table of the normal distribution at " + measure.FormatNumber(r.Score, 3)
	if r.Score < 0 {
		table = "the table of the normal distribution at " + measure.FormatNumber(-r.Score, 3)
	}
	note("chance of running short", table, chance(r.Short))
	note("packs that are expected to be topped up", m.packTerms(r), figure(r.Packs))
	trip := p.money(r.TopUp.Trip)
	if crew, hours := m.tripCrew(r.TopUp.Supplier); crew > 0 {
		trip = "(trip " + p.money(r.TopUp.Trip-crew) + " + crew " + measure.FormatNumber(float64(hours), 2) + " h x " + m.hourly(m.list).String() + ")"
	}
	note("expected cost of topping up", figure(r.Packs)+" x "+p.money(r.TopUp.Price)+" + "+chance(r.Short)+" x "+trip, p.money(r.Expected))
	return out
}

// packTerms writes the expected packs of a top-up: the chance that the first is wanted, that the second is, and so on.
// Small packs are told by what is expected to lack instead.
func (m market) packTerms(r *supply.Risk) string {
	pack := float64(r.TopUp.Content) / float64(r.Deviation)
	var terms []string
	for k := 0; k <= mostPacksListed; k++ {
		more := supply.Above(r.Score + float64(float64(k)*pack))
		if k > 0 && more < 0.0005 {
			return "chance that each is wanted: " + strings.Join(terms, " + ")
		}
		terms = append(terms, figure(float64(more)))
	}
	lacks := supply.Loss(r.Score)
	return "what lacks on average, " + figure(lacks) + " deviations (unit normal loss at " + measure.FormatNumber(r.Score, 3) + "), in packs of " + figure(pack) +
		" deviations, and half a pack, since they are whole, in " + chance(r.Short) + " of cases, nearly"
}

// plusOrMinus writes a number to be added: " + 1.282", " - 0.5".
func plusOrMinus(v float64) string {
	if v < 0 {
		return " - " + measure.FormatNumber(-v, 3)
	}
	return " + " + measure.FormatNumber(v, 3)
}

// chance writes a chance: 0.0123 is 1.23 %.
func chance(c supply.Chance) string {
	if c > 0 && c < 0.0001 {
		return "below 0.01 %"
	}
	return figure(float64(c)*100) + " %"
}

// notices tell of what is bought less of than is said.
func (s *RunningShort) notices(p pencil) []estimate.Notice {
	var out []estimate.Notice
	for i := range s.Materials {
		x := &s.Materials[i]
		short := x.Required.Value - float64(x.Bought)
		if short <= float64(1e-9*max(1, x.Required.Value)) {
			continue
		}
		bought := x.Required
		bought.Value = float64(x.Bought)
		out = append(out, estimate.Notice{Code: "less_than_required", Severity: estimate.Confirm,
			Message: "Less " + x.Material.Key + " is bought than is required, " + p.fine(bought) + " of " + p.fine(x.Required) + ": topping up when it runs short (" +
				chance(x.Short) + " of cases) is expected to cost less than buying more now. Ask for a confidence if it must not run short."})
	}
	return out
}

// crewLine makes the line of the crew's time for fetching and unloading what is bought, where the request has it
// counted.
func (q *Quote) crewLine() error {
	if !q.Terms.CrewTime {
		return nil
	}
	carried, trips := q.List.CrewHours(&q.Supply.Plan)
	on, err := decimal.NewFromFloat64(float64(trips))
	if err != nil {
		return fmt.Errorf("reckoning the hours of fetching: %w", err)
	}
	sum, err := carried.Add(on)
	if err != nil {
		return fmt.Errorf("reckoning the hours of fetching: %w", err)
	}
	hours := sum.Round(2)
	if !hours.IsPos() {
		return nil
	}
	amount, err := q.List.Currency.Times(q.hourlyCost(), hours)
	if err != nil {
		return fmt.Errorf("pricing the hours of fetching: %w", err)
	}
	p := pencil{q.Job.System, q.List.Currency}
	q.Lines = append(q.Lines, Line{Key: estimate.Labour, Category: LabourCategory, Description: "Fetch and unload what is bought", Hours: hours, Amount: amount,
		Workings: []estimate.Working{
			{Label: "hours of one person", Expression: "unloading " + plain(carried) + " h + trips " + plain(on) + " h", Result: plain(hours) + " h"},
			{Label: "cost", Expression: plain(hours) + " h x " + q.hourlyCost().String(), Result: p.money(amount)}}})
	return nil
}
