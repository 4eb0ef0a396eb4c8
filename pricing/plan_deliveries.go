package pricing

import (
	"slices"

	"bedline/estimate"
	"bedline/pricing/schedule"
)

// PlannedDelivery is what one supplier has to have brought, or the crew fetched, before a task.
type PlannedDelivery struct {
	Supplier  string
	LeadDays  int      // days of the calendar from the order until it is there, the longest of what is bought
	Materials []string // keys, in the order of the line items
	For       estimate.Operation
	Needed    schedule.Minutes
	OrderBy   schedule.Day // the last day to order on; of a dated plan
	Early     bool         // that day lies before the first day of work
}

// taskFor is the operation that a material is needed for first.
func taskFor(key estimate.LineKey) estimate.Operation {
	switch key {
	case estimate.Edging:
		return estimate.LayEdging
	case estimate.Base:
		return estimate.PlaceBase
	case estimate.BeddingSand:
		return estimate.ScreedSand
	case estimate.JointFill:
		return estimate.FillJoints
	case estimate.Fabric, estimate.Pins:
		return estimate.LayFabric
	case estimate.Slabs:
		return estimate.LaySlabs
	case estimate.Paving:
		return estimate.LayPaving
	case estimate.PlanterSoil:
		return estimate.FillPlanters
	case estimate.DecorativeStone:
		return estimate.PlaceStone
	}
	return ""
}

// planDeliveries says by when what is bought has to be there: before the first task that takes it, and that is bringing it
// in where loose material or units are among it.
func (q *Quote) planDeliveries() {
	p := q.Plan
	for i := range q.Lines {
		l := &q.Lines[i]
		if l.Material == nil {
			continue
		}
		task := p.task(taskFor(l.Key))
		if kind := l.Material.Material.Kind; kind == estimate.LooseMaterial || kind == estimate.UnitMaterial {
			if in := p.task(estimate.HaulMaterials); in != nil {
				task = in
			}
		}
		if task == nil {
			continue
		}
		for k := range l.Orders {
			d := p.delivery(l.Orders[k].Supplier, task)
			d.LeadDays = max(d.LeadDays, l.Orders[k].Offer.LeadDays)
			if key := l.Material.Material.Key; !slices.Contains(d.Materials, key) {
				d.Materials = append(d.Materials, key)
			}
			if task.Start < d.Needed {
				d.For, d.Needed = task.Operation, task.Start
			}
		}
	}
	if !q.calendar.IsDated() {
		return
	}
	for i := range p.Deliveries {
		d := &p.Deliveries[i]
		d.OrderBy = q.calendar.Start(d.Needed).Day() - schedule.Day(d.LeadDays)
		d.Early = d.OrderBy < q.Terms.Crew.Hours.Start
	}
}

func (p *WorkPlan) delivery(supplier string, task *PlannedTask) *PlannedDelivery {
	for i := range p.Deliveries {
		if p.Deliveries[i].Supplier == supplier {
			return &p.Deliveries[i]
		}
	}
	p.Deliveries = append(p.Deliveries, PlannedDelivery{Supplier: supplier, For: task.Operation, Needed: task.Start})
	return &p.Deliveries[len(p.Deliveries)-1]
}
