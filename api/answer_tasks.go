package api

import (
	"encoding/json"
	"strconv"
	"time"

	"bedline/pricing"
	"bedline/pricing/schedule"
)

// Task is one operation of the job with its place in the plan.
type Task struct {
	Operation   string      `json:"operation"`
	Description string      `json:"description"`
	Hours       json.Number `json:"hours"` // of one person
	Tool        string      `json:"tool"`
	Equipment   string      `json:"equipment,omitempty"` // that is hired for it
	People      int         `json:"people"`
	Needed      int         `json:"people_needed"`
	Minutes     int         `json:"minutes"`
	Start       Moment      `json:"start"`
	End         Moment      `json:"end"`
	Slack       int         `json:"slack_minutes"`
	FreeSlack   int         `json:"free_slack_minutes"`
	Critical    bool        `json:"critical"`
	Waits       []TaskWait  `json:"waits"`
}

// Moment is a place in the working time: the number of the working day from 1, the working minutes of that day before it,
// and the moment of the clock where the plan has a start.
type Moment struct {
	Day    int    `json:"day"`
	Minute int    `json:"minute"`
	At     string `json:"at,omitempty"`
}

// TaskWait is a task that another one waits for.
type TaskWait struct {
	For       string     `json:"for"`
	Reason    string     `json:"reason"`
	Holds     []TaskHold `json:"holds,omitempty"`
	Requested bool       `json:"requested,omitempty"`
}

// TaskHold is a time that has to pass, in whole weekdays or in hours of the clock.
type TaskHold struct {
	Key         string  `json:"key"`
	WorkingDays *int    `json:"working_days,omitempty"`
	Hours       *Number `json:"hours,omitempty"`
	Source      string  `json:"source,omitempty"`
}

// WorkPlan is the plan of the whole job.
type WorkPlan struct {
	Crew            PlanCrew       `json:"crew"`
	Start           Moment         `json:"start"`
	End             Moment         `json:"end"`
	Minutes         int            `json:"minutes"`
	Shortest        bool           `json:"shortest"`
	CriticalMinutes int            `json:"critical_minutes"`
	CriticalPath    []string       `json:"critical_path"`
	Zone            string         `json:"zone,omitempty"`
	AskForMarkingBy string         `json:"ask_for_marking_by,omitempty"`
	Holds           []PlanHold     `json:"holds"`
	Deliveries      []PlanDelivery `json:"deliveries"`
}

// PlanCrew is the crew of the plan.
type PlanCrew struct {
	Size          int `json:"size"`
	MinutesPerDay int `json:"minutes_per_day"`
}

// PlanHold is a time that passes after a task.
type PlanHold struct {
	TaskHold
	After  string   `json:"after"`
	Before []string `json:"before"`
	From   Moment   `json:"from"`
	Until  string   `json:"until,omitempty"`
}

// PlanDelivery is what one supplier's goods have to be there for.
type PlanDelivery struct {
	Supplier  string   `json:"supplier"`
	Materials []string `json:"materials"`
	For       string   `json:"for"`
	NeededBy  Moment   `json:"needed_by"`
	LeadDays  int      `json:"lead_days"`
	OrderBy   string   `json:"order_by,omitempty"`
	Early     bool     `json:"before_start,omitempty"`
}

// Equipment is a machine that the job can use, beside the same work by hand.
type Equipment struct {
	Key     string        `json:"key"`
	Name    string        `json:"name"`
	For     []string      `json:"for"`
	Hand    *ToolCost     `json:"hand,omitempty"`
	Machine MachineCost   `json:"machine"`
	Chosen  string        `json:"chosen"` // hand or machine
	Why     string        `json:"why"`
	Hires   []MachineHire `json:"hires"`
}

// ToolCost is the hours of one person and what they cost.
type ToolCost struct {
	Hours json.Number `json:"hours"`
	Cost  string      `json:"cost"`
}

// MachineCost is the hours with a machine, what they cost, its hire, and both together.
type MachineCost struct {
	Hours  json.Number `json:"hours"`
	Labour string      `json:"labour"`
	Hire   string      `json:"hire"`
	Cost   string      `json:"cost"`
}

// MachineHire is one hire of a machine, from a working day to another.
type MachineHire struct {
	FromDay  int    `json:"from_day"`
	ToDay    int    `json:"to_day"`
	From     string `json:"from,omitempty"` // dates
	To       string `json:"to,omitempty"`
	Days     int    `json:"days"`
	HalfDays int    `json:"half_days"`
	Amount   string `json:"amount"`
}

// begins and ends are the moments at which work begins and ends at a place.
func begins(c *schedule.Calendar, at schedule.Minutes) Moment {
	day, minute := c.Number(at)
	m := Moment{Day: day + 1, Minute: int(minute)}
	if c.IsDated() {
		m.At = c.Start(at).String()
	}
	return m
}

func ends(c *schedule.Calendar, at schedule.Minutes) Moment {
	day, minute := c.EndNumber(at)
	m := Moment{Day: day + 1, Minute: int(minute)}
	if c.IsDated() {
		m.At = c.End(at).String()
	}
	return m
}

func hold(h *pricing.Hold) TaskHold {
	out := TaskHold{Key: string(h.Key), Source: h.Source}
	if h.Key == "" {
		out.Key, out.Source = "requested", ""
	}
	if h.Hours > 0 {
		hours := Number(h.Hours)
		out.Hours = &hours
	} else {
		days := h.WorkingDays
		out.WorkingDays = &days
	}
	return out
}

// tasks fills in the tasks and the plan.
func (w writer) tasks(p *pricing.WorkPlan, zone *time.Location) ([]Task, WorkPlan) {
	c := p.Calendar
	tasks := make([]Task, len(p.Tasks))
	for i := range p.Tasks {
		t := &p.Tasks[i]
		out := &tasks[i]
		*out = Task{Operation: string(t.Operation), Description: pricing.Describe(t.Operation), Hours: decimalNumber(t.Hours), Tool: string(t.Tool),
			People: t.People, Needed: t.Needed, Minutes: int(t.Length), Start: begins(c, t.Start), End: ends(c, t.End),
			Slack: int(t.Times.Slack), FreeSlack: int(t.Times.FreeSlack), Critical: t.Times.Critical, Waits: make([]TaskWait, len(t.Waits))}
		if t.Machine != nil {
			out.Equipment = t.Machine.Key
		}
		for k := range t.Waits {
			wait := &t.Waits[k]
			out.Waits[k] = TaskWait{For: string(wait.For), Reason: wait.Reason, Requested: wait.Requested}
			for h := range wait.Holds {
				out.Waits[k].Holds = append(out.Waits[k].Holds, hold(&wait.Holds[h]))
			}
		}
	}
	plan := WorkPlan{Crew: PlanCrew{Size: p.Crew.Size, MinutesPerDay: int(p.Crew.PerDay)}, Start: begins(c, 0), End: ends(c, p.Length), Minutes: int(p.Length),
		Shortest: p.Shortest, CriticalMinutes: int(p.PathLength), CriticalPath: make([]string, len(p.Path)), Holds: make([]PlanHold, len(p.Holds)),
		Deliveries: make([]PlanDelivery, len(p.Deliveries))}
	for i, op := range p.Path {
		plan.CriticalPath[i] = string(op)
	}
	if zone != nil {
		plan.Zone = zone.String()
	}
	if p.MarksFirst && c.IsDated() {
		plan.AskForMarkingBy = p.MarkBy.String()
	}
	for i := range p.Holds {
		h := &p.Holds[i]
		out := PlanHold{TaskHold: hold(&h.Hold), After: string(h.After), Before: make([]string, len(h.Before)), From: ends(c, h.From)}
		for k, op := range h.Before {
			out.Before[k] = string(op)
		}
		if c.IsDated() {
			out.Until = h.Until.String()
		}
		plan.Holds[i] = out
	}
	for i := range p.Deliveries {
		d := &p.Deliveries[i]
		out := PlanDelivery{Supplier: d.Supplier, Materials: d.Materials, For: string(d.For), NeededBy: begins(c, d.Needed), LeadDays: d.LeadDays, Early: d.Early}
		if c.IsDated() {
			out.OrderBy = d.OrderBy.String()
		}
		plan.Deliveries[i] = out
	}
	return tasks, plan
}

// equipment fills in the machines.
func (w writer) equipment(q *pricing.Quote) []Equipment {
	out := make([]Equipment, len(q.Hires))
	for i := range q.Hires {
		h := &q.Hires[i]
		e := &out[i]
		*e = Equipment{Key: h.Machine.Key, Name: h.Machine.Name, For: make([]string, len(h.For)), Chosen: string(pricing.ByHand), Why: h.Why(w.currency),
			Machine: MachineCost{Hours: decimalNumber(h.ByIt.Hours), Labour: w.money(h.ByIt.Cost), Hire: w.money(h.Hire), Cost: w.money(h.Cost())},
			Hires:   make([]MachineHire, len(h.Periods))}
		for k, op := range h.For {
			e.For[k] = string(op)
		}
		if h.Chosen {
			e.Chosen = string(pricing.ByMachine)
		}
		if h.Hand != nil {
			e.Hand = &ToolCost{Hours: decimalNumber(h.Hand.Hours), Cost: w.money(h.Hand.Cost)}
		}
		for k := range h.Periods {
			p := &h.Periods[k]
			e.Hires[k] = MachineHire{FromDay: p.First + 1, ToDay: p.Last + 1, Days: p.Days, HalfDays: p.HalfDays, Amount: w.money(p.Amount)}
			if c := q.Plan.Calendar; c.IsDated() {
				e.Hires[k].From, e.Hires[k].To = c.WorkDay(p.First).String(), c.WorkDay(p.Last).String()
			}
		}
	}
	return out
}

func appendTask(b []byte, v *Task) []byte {
	b = append(b, `{"operation":`...)
	b = appendText(b, v.Operation)
	b = append(b, `,"description":`...)
	b = appendText(b, v.Description)
	b = append(b, `,"hours":`...)
	b = append(b, v.Hours...)
	b = append(b, `,"tool":`...)
	b = appendText(b, v.Tool)
	if v.Equipment != "" {
		b = append(b, `,"equipment":`...)
		b = appendText(b, v.Equipment)
	}
	b = appendCount(b, `,"people":`, v.People)
	b = appendCount(b, `,"people_needed":`, v.Needed)
	b = appendCount(b, `,"minutes":`, v.Minutes)
	b = append(b, `,"start":`...)
	b = appendMoment(b, &v.Start)
	b = append(b, `,"end":`...)
	b = appendMoment(b, &v.End)
	b = appendCount(b, `,"slack_minutes":`, v.Slack)
	b = appendCount(b, `,"free_slack_minutes":`, v.FreeSlack)
	b = append(b, `,"critical":`...)
	b = strconv.AppendBool(b, v.Critical)
	b = append(b, `,"waits":`...)
	b = appendList(b, v.Waits, appendTaskWait)
	return append(b, '}')
}

// appendCount writes a member that is a whole number, its name with comma and colon.
func appendCount(b []byte, name string, n int) []byte {
	b = append(b, name...)
	return strconv.AppendInt(b, int64(n), 10)
}

func appendMoment(b []byte, v *Moment) []byte {
	b = appendCount(b, `{"day":`, v.Day)
	b = appendCount(b, `,"minute":`, v.Minute)
	if v.At != "" {
		b = append(b, `,"at":`...)
		b = appendText(b, v.At)
	}
	return append(b, '}')
}

func appendTaskWait(b []byte, v *TaskWait) []byte {
	b = append(b, `{"for":`...)
	b = appendText(b, v.For)
	b = append(b, `,"reason":`...)
	b = appendText(b, v.Reason)
	if len(v.Holds) > 0 {
		b = append(b, `,"holds":`...)
		b = appendList(b, v.Holds, appendTaskHold)
	}
	if v.Requested {
		b = append(b, `,"requested":true`...)
	}
	return append(b, '}')
}
