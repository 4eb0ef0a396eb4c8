package pricing

import (
	"errors"
	"fmt"
	"slices"

	"github.com/govalues/decimal"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
	"bedline/pricing/schedule"
)

// WorkPlan is what the crew does when.
type WorkPlan struct {
	Crew     Crew
	Calendar *schedule.Calendar
	Tasks    []PlannedTask // by their starts
	Length   schedule.Minutes
	Shortest bool // proved: the crew can't be done sooner

	PathLength schedule.Minutes     // of the critical path, were there people enough
	Path       []estimate.Operation // one critical path
	Holds      []PlannedHold
	Deliveries []PlannedDelivery
	MarkBy     schedule.Day // the last day to ask for marking, where the utilities are marked before a dated start
	MarksFirst bool         // they are, and something is dug
}

// PlannedTask is an operation with its place in the plan. Its waits are those that count: none that another one implies.
type PlannedTask struct {
	Operation estimate.Operation
	Hours     decimal.Decimal // of one person
	Tool      Tool
	Machine   *Equipment // that is hired for it, or nil
	People    int
	Needed    int // people that it takes at once
	Length    schedule.Minutes
	Start     schedule.Minutes
	End       schedule.Minutes
	Times     schedule.Times // on the network
	Waits     []PlannedWait
}

// PlannedHold is a time that passes after a task before others may start.
type PlannedHold struct {
	Hold
	After  estimate.Operation
	Before []estimate.Operation // by their starts; none where it only keeps feet off
	From   schedule.Minutes     // end of the task
	Until  schedule.Clock
}

// work is an operation of the job as it can be planned.
type work struct {
	operation estimate.Operation
	lines     []int // of the takeoff
	tool      Tool
	machine   *Equipment
	effort    schedule.Effort
	needed    int
}

// layout is the network of the works of a job with its plan.
type layout struct {
	works   []work
	waits   [][]PlannedWait // by work
	network *schedule.Network
	path    *schedule.Path
	plan    *schedule.Plan
}

// uses are the days on which a machine is needed.
func (l *layout) uses(c *schedule.Calendar, m *Equipment) []use {
	var uses []use
	for _, i := range l.plan.Order {
		if l.works[i].machine == m {
			uses = addUse(c, uses, l.plan.Starts[i], l.plan.Ends[i])
		}
	}
	return uses
}

// hold is a hold of the list, or the usual one.
func (q *Quote) hold(key HoldKey) Hold {
	if h, ok := q.List.Hold(key); ok {
		return h
	}
	return usualHold(key)
}

// waiting are the waits of every work, with those that the request adds; none that another one implies.
func (q *Quote) waiting(works []work) [][]PlannedWait {
	at := func(op estimate.Operation) int {
		for i := range works {
			if works[i].operation == op {
				return i
			}
		}
		return -1
	}
	there := func(op estimate.Operation) bool { return at(op) >= 0 }
	all := make([][]PlannedWait, len(works))
	behind := make([]uint64, len(works)) // by work: those that it comes after in the order of building
	for i := range works {
		waits := waitsOf(works[i].operation, there)
		for k := range waits {
			w := &waits[k]
			if q.Terms.Crew.Marked {
				w.Holds = dropHold(w.Holds, UtilityMarking)
			}
			holds := w.Holds[:0]
			for _, h := range w.Holds {
				if h = q.hold(h.Key); h.Hours > 0 || h.WorkingDays > 0 {
					holds = append(holds, h)
				}
			}
			w.Holds = holds
			behind[i] |= 1<<at(w.For) | behind[at(w.For)]
		}
		kept := waits[:0]
		for _, w := range waits {
			implied := false
			for _, o := range waits {
				implied = implied || behind[at(o.For)]&(1<<at(w.For)) != 0
			}
			if !implied || len(w.Holds) > 0 {
				kept = append(kept, w)
			}
		}
		all[i] = kept
	}
	for _, w := range q.Terms.Crew.Waits {
		if i := at(w.Task); i >= 0 && there(w.For) {
			wait := PlannedWait{For: w.For, Reason: "the request asks for it", Requested: true}
			if w.Hours > 0 || w.WorkingDays > 0 {
				wait.Holds = []Hold{{Hours: w.Hours, WorkingDays: w.WorkingDays, Source: "the request"}}
			}
			all[i] = append(all[i], wait)
		}
	}
	return all
}

func dropHold(holds []Hold, key HoldKey) []Hold {
	kept := holds[:0]
	for _, h := range holds {
		if h.Key != key {
			kept = append(kept, h)
		}
	}
	return kept
}

// lay plans the works of the job.
func (q *Quote) lay(works []work, waits [][]PlannedWait) (*layout, error) {
	tasks := make([]schedule.Task, len(works))
	for i := range works {
		w := &works[i]
		t := &tasks[i]
		*t = schedule.Task{Key: string(w.operation), Effort: w.effort, Most: roomAt(w.operation, w.tool), Whole: w.machine != nil,
			After: make([]schedule.Wait, 0, len(waits[i]))}
		if w.machine != nil {
			t.Tool = w.machine.Key
		}
		for _, wait := range waits[i] {
			after := schedule.Wait{For: string(wait.For)}
			for _, h := range wait.Holds {
				after.Clock = max(after.Clock, int(minutesOf(float64(h.Hours))))
				after.Days = max(after.Days, h.WorkingDays)
			}
			t.After = append(t.After, after)
		}
	}
	l := &layout{works: works, waits: waits}
	var err error
	if l.network, err = schedule.NewNetwork(tasks, q.crew.Size, q.calendar); err != nil {
		return nil, err
	}
	l.path = l.network.Path()
	l.plan = l.network.Plan(l.path)
	return l, nil
}

// refusePlan turns what keeps a plan from being laid into a fault.
func (q *Quote) refusePlan(err error, faults *document.Faults) error {
	var circle *schedule.CircleError
	if errors.As(err, &circle) {
		faults.Add(q.Terms.Crew.at+"/waits", codeCircle, "make tasks wait for each other in a circle: "+circle.Error()+"; take one of these waits out",
			`[{"task":"place_stone","for":"lay_slabs","hours":24}]`)
		return nil
	}
	return fmt.Errorf("planning the work: %w", err)
}

// plan makes the plan of the answer of the layout that was settled on.
func (q *Quote) plan(l *layout) {
	p := &WorkPlan{Crew: q.crew, Calendar: q.calendar, Length: l.plan.Length, Shortest: l.plan.Shortest, PathLength: l.path.Length,
		Tasks: make([]PlannedTask, len(l.works))}
	for _, i := range l.path.Chain {
		p.Path = append(p.Path, l.works[i].operation)
	}
	for n, i := range l.plan.Order {
		w := &l.works[i]
		t := &p.Tasks[n]
		*t = PlannedTask{Operation: w.operation, Hours: decimal.MustNew(int64(w.effort), 2), Tool: w.tool, Machine: w.machine, Needed: max(1, w.needed),
			Start: l.plan.Starts[i], End: l.plan.Ends[i], Times: l.path.Times[i], Waits: l.waits[i]}
		t.Length, t.People = l.network.Length(i)
		if w.machine != nil {
			t.Waits = machineWait(l, n)
		}
	}
	q.Plan = p
	q.planHolds(l)
	q.planDeliveries()
	q.planNotices()
}

// machineWait adds to the waits of the n-th work of the plan the one for the machine that another work has before it.
func machineWait(l *layout, n int) []PlannedWait {
	i := l.plan.Order[n]
	waits := l.waits[i]
	for k := n - 1; k >= 0; k-- {
		before := &l.works[l.plan.Order[k]]
		if before.machine != l.works[i].machine {
			continue
		}
		for _, w := range waits {
			if w.For == before.operation {
				return waits
			}
		}
		return append(waits[:len(waits):len(waits)], PlannedWait{For: before.operation, Reason: "both take the " + before.machine.Key})
	}
	return waits
}

// planHolds lists the holds of the plan: those that tasks wait for, and that of filled joints in any case, which keeps
// feet and wheels off.
func (q *Quote) planHolds(l *layout) {
	p := q.Plan
	add := func(h Hold, after, before estimate.Operation) {
		at := 0
		for at < len(p.Holds) && (p.Holds[at].Hold != h || p.Holds[at].After != after) {
			at++
		}
		if at == len(p.Holds) {
			for i := range l.works {
				if l.works[i].operation != after {
					continue
				}
				wait := schedule.Wait{Clock: int(minutesOf(float64(h.Hours))), Days: h.WorkingDays}
				p.Holds = append(p.Holds, PlannedHold{Hold: h, After: after, From: l.plan.Ends[i], Until: l.network.Until(&wait, l.plan.Ends[i])})
			}
		}
		if before != "" {
			p.Holds[at].Before = append(p.Holds[at].Before, before)
		}
	}
	for i := range p.Tasks {
		for _, w := range p.Tasks[i].Waits {
			for _, h := range w.Holds {
				add(h, w.For, p.Tasks[i].Operation)
			}
		}
	}
	var joints estimate.Operation
	for i := range l.works {
		if op := l.works[i].operation; op == estimate.FillJoints || op == estimate.WetAndCure {
			joints = op // the later of the two
		}
		if l.works[i].operation == estimate.LocateUtilities && q.Terms.Crew.Marked {
			p.MarksFirst = true
		}
	}
	if joints != "" {
		add(q.hold(JointCure), joints, "")
		add(q.hold(JointDry), joints, "")
	}
	if p.MarksFirst && q.calendar.IsDated() {
		p.MarkBy = q.calendar.BeforeWeekdays(q.Terms.Crew.Hours.Start, q.hold(UtilityMarking).WorkingDays)
	}
}

// planNotices says what the plan takes for granted.
func (q *Quote) planNotices() {
	p := q.Plan
	switch {
	case p.Crew.SizeAssumed && p.Crew.HoursAssumed:
		q.notice("crew_assumed", estimate.Info, "neither the request nor the price list says how many people work how long: the plan is for 2 people and days of 8 hours", "")
	case p.Crew.SizeAssumed:
		q.notice("crew_assumed", estimate.Info, "neither the request nor the price list says how many people work: the plan is for 2", "")
	case p.Crew.HoursAssumed:
		q.notice("crew_assumed", estimate.Info, "neither the request nor the price list says how long a working day is: the plan is for 8 hours", "")
	}
	for i := range p.Tasks {
		t := &p.Tasks[i]
		if t.Needed > t.People {
			q.Notices = append(q.Notices, estimate.Notice{Code: "crew_too_small", Severity: estimate.Caution, Where: q.Terms.Crew.at,
				Message: Describe(t.Operation) + ": a unit takes two people at once or a lifting tool, and the crew is one",
				Source:  "NIOSH 94-110, revised lifting equation: load constant 51 lb (23 kg)"})
		}
	}
	for i := range q.Hires {
		if way := q.wayIn(&q.Hires[i]); way > 0 {
			pencil := pencil{q.Job.System, q.List.Currency}
			q.notice("machine_way_in", estimate.Confirm, "the "+q.Hires[i].Machine.Key+" needs a way in of "+pencil.quantity(q.Job.System.Length(way))+
				", and the job does not say how wide it is: measure it, or give it as ground.access", "/ground")
		}
	}
	for i, w := range q.Terms.Crew.Waits {
		for _, op := range [...]estimate.Operation{w.Task, w.For} {
			if p.task(op) == nil {
				q.notice("wait_unused", estimate.Info, "the job has no "+string(op)+": the wait of "+string(w.Task)+" for "+string(w.For)+" means nothing", fmt.Sprintf("%s/waits/%d", q.Terms.Crew.at, i))
				break
			}
		}
	}
}

// wayIn is the way in that a machine needs which is hired for a job that does not say how wide its own is; 0 for none.
func (q *Quote) wayIn(h *Hire) measure.Length {
	var widest measure.Length
	for i := range q.Takeoff.Work {
		if h.Chosen && q.Job.Ground.Access == 0 && slices.Contains(h.For, q.Takeoff.Work[i].Operation) {
			widest = max(widest, q.workOf(i, ByMachine).rate.AccessFrom)
		}
	}
	return widest
}

// task finds the task of an operation, nil if there is none.
func (p *WorkPlan) task(op estimate.Operation) *PlannedTask {
	for i := range p.Tasks {
		if p.Tasks[i].Operation == op {
			return &p.Tasks[i]
		}
	}
	return nil
}

// heavy is what one person should not lift alone: the load constant of the revised NIOSH lifting equation, NIOSH 94-110.
const heavy = 51 * measure.Pound

// neededAt is how many people a line of work takes at once.
func neededAt(w *estimate.WorkLine) int {
	switch w.Operation {
	case estimate.LayEdging, estimate.LaySlabs, estimate.LayPaving:
		if w.Material != nil && w.Material.Mass > heavy {
			return 2
		}
	}
	return 1
}
