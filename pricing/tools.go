package pricing

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"github.com/govalues/decimal"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
	"bedline/pricing/money"
	"bedline/pricing/schedule"
)

// Hire is a machine of the list that the job can use, beside the same work by hand.
type Hire struct {
	Machine *Equipment
	For     []estimate.Operation // what it does, or would do
	Hand    *Labour              // nil where no hand can do it
	ByIt    Labour
	Periods []HirePeriod
	Hire    money.Amount
	Chosen  bool
	Asked   bool // the request asks for the tool
}

// Labour is the time of one person and what it costs.
type Labour struct {
	Hours decimal.Decimal
	Cost  money.Amount
}

// Machine is what the work with the machine costs: labour and hire.
func (h *Hire) Cost() money.Amount { return h.ByIt.Cost + h.Hire }

// worked is the working time of a line of work with a tool.
type worked struct {
	known    bool
	hours    measure.Hours
	rate     Rate
	workings []estimate.Working
	ok       bool
}

// workOf is hoursOf, remembered.
func (q *Quote) workOf(i int, tool Tool) *worked {
	if q.worked == nil {
		q.worked = make([][2]worked, len(q.Takeoff.Work))
	}
	w := &q.worked[i][0]
	if tool == ByMachine {
		w = &q.worked[i][1]
	}
	if !w.known {
		w.known = true
		w.hours, w.rate, w.workings, w.ok = q.hoursOf(&q.Takeoff.Work[i], tool)
	}
	return w
}

// way is one way to do an operation: by hand, with a machine of the list, or with one that the crew has.
type wayToWork struct {
	tool    Tool // of the rates
	machine *Equipment
	Labour
	effort schedule.Effort
}

// choice is an operation with the ways to do it, by hand first.
type choice struct {
	work
	ways  []wayToWork
	asked bool
}

// mostChoices is how many combinations of ways are looked at.
const mostChoices = 4096

// choose settles how every operation is done, so that labour and hire cost least together, and lays the plan. Of ways of
// one cost the one with the fewest machines is taken, so by hand rather than not; then what the list names first. A
// fault leaves the quote without a plan.
func (q *Quote) choose(faults *document.Faults) error {
	q.crew = q.Terms.Crew.crewOn(q.List)
	if q.calendar = q.Terms.Crew.calendarOn(q.crew, faults); q.calendar == nil {
		return nil
	}
	choices, err := q.choices(faults)
	if err != nil || faults.Len() > 0 {
		return err
	}
	works := make([]work, len(choices))
	for i := range choices {
		works[i] = choices[i].work
	}
	waits := q.waiting(works)
	best, err := q.cheapest(choices, waits)
	if err != nil {
		return q.refusePlan(err, faults)
	}
	if days := best.layout.plan.Length / q.calendar.PerDay(); days > mostWorkDays && q.calendar.IsDated() {
		faults.Add("", codeTooLarge, fmt.Sprintf("takes the crew more than %d working days: check the units of its measures", mostWorkDays), "")
		return nil
	}
	q.layout = best.layout
	return q.compare(choices, waits, best)
}

// choices gathers the operations of the job in the order of building, with the ways to do them.
func (q *Quote) choices(faults *document.Faults) ([]choice, error) {
	var all []choice
	for i := range q.Takeoff.Work {
		op := q.Takeoff.Work[i].Operation
		at := 0
		for at < len(all) && all[at].operation != op {
			at++
		}
		if at == len(all) {
			all = append(all, choice{work: work{operation: op}})
		}
		c := &all[at]
		c.lines = append(c.lines, i)
		c.needed = max(c.needed, neededAt(&q.Takeoff.Work[i]))
	}
	slices.SortStableFunc(all, func(a, b choice) int { return turnOf(a.operation) - turnOf(b.operation) })
	kept := all[:0]
	most := 1
	for i := range all {
		c := &all[i]
		if err := q.ways(c, faults); err != nil {
			return nil, err
		}
		if len(c.ways) == 0 {
			continue // it lacks a rate, which labour says
		}
		if most*len(c.ways) > mostChoices {
			c.ways = c.ways[:1]
			q.notice("tools_not_compared", estimate.Info, "there are too many machines to compare: "+string(c.operation)+" is reckoned as if there were none", "")
		}
		most *= len(c.ways)
		kept = append(kept, *c)
	}
	return kept, nil
}

// ways finds the ways to do an operation.
func (q *Quote) ways(c *choice, faults *document.Faults) error {
	wish := q.Terms.Crew.toolFor(c.operation)
	c.asked = wish != ""
	var machines []*Equipment
	for k := range q.List.Equipment {
		if e := &q.List.Equipment[k]; slices.Contains(e.Operations, c.operation) {
			machines = append(machines, e)
		}
	}
	var hand, machine wayToWork
	handOK, machineOK := false, false
	var err error
	if wish != ByMachine {
		if hand, handOK, err = q.wayOf(c, ByHand); err != nil {
			return err
		}
	}
	if wish != ByHand && (wish == ByMachine || len(machines) > 0 || !handOK) {
		if machine, machineOK, err = q.wayOf(c, ByMachine); err != nil {
			return err
		}
	}
	if c.operation == estimate.CutUnits && wish != ByHand && len(machines) > 0 && q.workOf(c.lines[0], ByHand).rate.Tool != ByHand {
		// A saw pass takes a saw, whatever the rate is called.
		if !machineOK {
			if machine, machineOK, err = q.wayOf(c, ByHand); err != nil {
				return err
			}
		}
		handOK = false
	}
	switch {
	case wish == ByMachine && !machineOK:
		faults.Add(q.Terms.Crew.at+"/tools/"+string(c.operation), codeMissingRate,
			"asks for a machine, and neither the price list nor the request has a rate by machine for it that holds for this job", `"hand"`)
		return nil
	case handOK:
		c.ways = append(c.ways, hand)
	case !machineOK:
		return nil
	}
	if machineOK && len(machines) == 0 {
		q.notice("machine_unpriced", estimate.Confirm, "the price list has no machine for "+string(c.operation)+": it is reckoned by machine without a hire", "")
		c.ways = append(c.ways, machine)
	}
	if machineOK {
		for _, m := range machines {
			machine.machine = m
			c.ways = append(c.ways, machine)
		}
	}
	return nil
}

// wayOf is the work of an operation with the rates of a tool; false where a line has none.
func (q *Quote) wayOf(c *choice, tool Tool) (wayToWork, bool, error) {
	way := wayToWork{tool: tool}
	for _, i := range c.lines {
		w := q.workOf(i, tool)
		if !w.ok {
			return way, false, nil
		}
		hours, amount, err := q.priceHours(w.hours)
		if err != nil {
			return way, false, fmt.Errorf("pricing the hours of %s: %w", c.operation, err)
		}
		way.Cost += amount
		if way.Hours, err = way.Hours.Add(hours); err != nil {
			return way, false, fmt.Errorf("summing the hours of %s: %w", c.operation, err)
		}
	}
	whole, hundredths, ok := way.Hours.Int64(2)
	if !ok || whole > mostWorkDays*24*mostCrew {
		return way, false, fmt.Errorf("planning %s: %w", c.operation, money.ErrTooLarge)
	}
	way.effort = schedule.Effort(whole*100 + hundredths)
	return way, true, nil
}

// combination is one way for every operation.
type combination struct {
	picks  []int // by operation
	labour money.Amount
	least  money.Amount // labour and the least that the hires can cost
	hired  int
	layout *layout
	total  money.Amount
}

// cheapest is the combination that costs least. Combinations are laid out in the order of the least that they can cost,
// until none left can be cheaper than the best.
func (q *Quote) cheapest(choices []choice, waits [][]PlannedWait) (*combination, error) {
	all := combinations(choices)
	sort.SliceStable(all, func(a, b int) bool {
		if all[a].least != all[b].least {
			return all[a].least < all[b].least
		}
		return all[a].hired < all[b].hired
	})
	var best *combination
	for i := range all {
		c := &all[i]
		if best != nil && (c.least > best.total || c.least == best.total && c.hired >= best.hired) {
			break
		}
		if err := q.layOut(choices, waits, c); err != nil {
			return nil, err
		}
		if best == nil || c.total < best.total || c.total == best.total && c.hired < best.hired {
			best = c
		}
	}
	return best, nil
}

// combinations are all of them, the first by hand wherever there is a way by hand.
func combinations(choices []choice) []combination {
	n := 1
	for i := range choices {
		n *= len(choices[i].ways)
	}
	all := make([]combination, n)
	picks := make([]int, n*len(choices))
	for k := range all {
		c := &all[k]
		c.picks = picks[k*len(choices):][:len(choices)]
		rest := k
		var machines []*Equipment
		for i := range choices {
			ways := choices[i].ways
			c.picks[i] = rest % len(ways)
			rest /= len(ways)
			w := &ways[c.picks[i]]
			c.labour += w.Cost
			if w.machine != nil && !slices.Contains(machines, w.machine) {
				machines = append(machines, w.machine)
				c.least += w.machine.leastHire()
			}
		}
		c.least += c.labour
		c.hired = len(machines)
	}
	return all
}

// layOut plans a combination and reckons what it costs.
func (q *Quote) layOut(choices []choice, waits [][]PlannedWait, c *combination) error {
	works := make([]work, len(choices))
	for i := range choices {
		w := &choices[i].ways[c.picks[i]]
		works[i] = choices[i].work
		works[i].tool, works[i].machine, works[i].effort = w.tool, w.machine, w.effort
		if w.machine != nil {
			works[i].tool = ByMachine
		}
	}
	var err error
	if c.layout, err = q.lay(works, waits); err != nil {
		return err
	}
	c.total = c.labour
	var seen []*Equipment
	for i := range works {
		if m := works[i].machine; m != nil && !slices.Contains(seen, m) {
			seen = append(seen, m)
			_, amount := m.hire(q.calendar, c.layout.uses(q.calendar, m))
			c.total += amount
		}
	}
	return nil
}

// compare sets every machine that the job could use beside the work by hand: one that is hired with what it does, one that
// is not with all that it could do.
func (q *Quote) compare(choices []choice, waits [][]PlannedWait, best *combination) error {
	q.tools = make([]Tool, len(q.Takeoff.Work))
	for i := range choices {
		for _, line := range choices[i].lines {
			q.tools[line] = choices[i].ways[best.picks[i]].tool
		}
	}
	for k := range q.List.Equipment {
		m := &q.List.Equipment[k]
		with := combination{picks: slices.Clone(best.picks)}
		could, does := false, false
		for i := range choices {
			if at := slices.IndexFunc(choices[i].ways, func(w wayToWork) bool { return w.machine == m }); at >= 0 {
				could, does = true, does || best.picks[i] == at
				with.picks[i] = at
			}
		}
		if !could {
			continue
		}
		h := Hire{Machine: m, Chosen: does}
		layout := best.layout
		if does {
			with.picks = best.picks
		} else {
			if err := q.layOut(choices, waits, &with); err != nil {
				return fmt.Errorf("planning the work with the %s: %w", m.Key, err)
			}
			layout = with.layout
		}
		if err := h.fill(choices, with.picks, m); err != nil {
			return err
		}
		h.Periods, h.Hire = m.hire(q.calendar, layout.uses(q.calendar, m))
		q.Hires = append(q.Hires, h)
	}
	return nil
}

// fill sums up what the machine does and the same work by hand.
func (h *Hire) fill(choices []choice, picks []int, m *Equipment) error {
	hand, byHand := Labour{}, true
	var err error
	add := func(l *Labour, w *wayToWork) {
		l.Cost += w.Cost
		if err == nil {
			l.Hours, err = l.Hours.Add(w.Hours)
		}
	}
	for i := range choices {
		c := &choices[i]
		if c.ways[picks[i]].machine != m {
			continue
		}
		h.For = append(h.For, c.operation)
		h.Asked = h.Asked || c.asked
		add(&h.ByIt, &c.ways[picks[i]])
		if c.ways[0].tool == ByHand && c.ways[0].machine == nil {
			add(&hand, &c.ways[0])
		} else {
			byHand = false
		}
	}
	if err != nil {
		return fmt.Errorf("summing the hours of the %s: %w", m.Key, err)
	}
	if byHand {
		h.Hand = &hand
	}
	return nil
}

// Why says why the machine is hired, or not.
func (h *Hire) Why(c money.Currency) string {
	switch {
	case h.Chosen && h.Asked && h.Hand == nil:
		return "the request asks for the machine"
	case h.Hand == nil:
		return "it can't be done without"
	case h.Chosen && h.Cost() < h.Hand.Cost:
		return "with the machine it costs " + c.Format(h.Hand.Cost-h.Cost()) + " less"
	case h.Chosen:
		return "with the other machines of the job it costs least in all"
	case h.Cost() == h.Hand.Cost:
		return "by hand it costs the same"
	case h.Cost() > h.Hand.Cost:
		return "by hand it costs " + c.Format(h.Cost()-h.Hand.Cost) + " less"
	}
	return "with the other tools of the job it costs least in all by hand"
}

// hireLines are the lines of the machines that are hired.
func (q *Quote) hireLines() {
	p := pencil{q.Job.System, q.List.Currency}
	for i := range q.Hires {
		h := &q.Hires[i]
		if !h.Chosen {
			continue
		}
		line := Line{Key: estimate.Equipment, Category: EquipmentCategory, Description: h.Machine.Name, Hire: h, Amount: h.Hire}
		for _, period := range h.Periods {
			line.Workings = append(line.Workings, p.period(h.Machine, &period))
		}
		if len(h.Periods) > 1 {
			line.Workings = append(line.Workings, estimate.Working{Label: "hire", Expression: fmt.Sprintf("%d hires", len(h.Periods)), Result: p.money(h.Hire)})
		}
		if h.Hand != nil {
			line.Workings = append(line.Workings, estimate.Working{Label: "beside the work by hand",
				Expression: plain(h.ByIt.Hours) + " h at " + p.money(h.ByIt.Cost) + " + hire " + p.money(h.Hire) + " = " + p.money(h.Cost()) + "; by hand " + plain(h.Hand.Hours) + " h",
				Result:     p.money(h.Hand.Cost)})
		}
		q.Lines = append(q.Lines, line)
	}
}

// period writes what a hire comes to.
func (p pencil) period(m *Equipment, h *HirePeriod) estimate.Working {
	var terms []string
	if h.Days > 0 {
		terms = append(terms, fmt.Sprintf("%d x %s a day", h.Days, p.money(m.Day)))
	}
	if h.HalfDays > 0 {
		terms = append(terms, fmt.Sprintf("%d x %s half a day", h.HalfDays, p.money(m.HalfDay)))
	}
	if m.Transport > 0 {
		terms = append(terms, "transport "+p.money(m.Transport))
	}
	label := fmt.Sprintf("hire on working day %d", h.First+1)
	if h.Last > h.First {
		label = fmt.Sprintf("hire from working day %d to %d", h.First+1, h.Last+1)
	}
	return estimate.Working{Label: label, Expression: strings.Join(terms, " + "), Result: p.money(h.Amount)}
}
