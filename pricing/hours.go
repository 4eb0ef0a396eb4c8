package pricing

import (
	"github.com/govalues/decimal"

	"bedline/estimate"
	"bedline/estimate/measure"
)

// hoursOf is the working time of one person for a line of work with a tool, not rounded; the rate that it comes from; and
// how it comes about, from the quantity on. What the request says goes before the trips of a vehicle, those before the
// rates of the list. A haul by trips has a rate without hours. ok is false where nothing says how long the work takes
// with the tool: by hand the job then lacks a rate, by machine the work is to be done by hand. It changes nothing.
func (q *Quote) hoursOf(w *estimate.WorkLine, tool Tool) (hours measure.Hours, rate Rate, workings []estimate.Working, ok bool) {
	quantity, steps := w.Quantity, w.Workings
	if tool == ByMachine && w.Machine != nil {
		quantity, steps = w.Machine.Quantity, w.Machine.Workings
	}
	query := q.queryOf(w, tool)
	if rate, ok = q.Terms.Labour.rate(query); !ok {
		if len(w.Carried) > 0 {
			if h := q.carrier(tool); h != nil {
				hours, trips := q.trips(w, h)
				return hours, Rate{Operation: w.Operation, Tool: tool, Kind: PerVolume, Source: h.Source, Stretch: 1}, append(steps[:len(steps):len(steps)], trips...), true
			}
		}
		if rate, ok, _ = q.List.Rate(query); !ok {
			return 0, Rate{}, nil, false
		}
	}
	hours = rateHours(&rate, quantity)
	p := pencil{q.Job.System, q.List.Currency}
	expression := p.amount(quantity) + " at " + plain(rate.Hours) + " h per " + rate.Written.String()
	if rate.Stretch != 1 {
		expression += ", stretched by " + measure.FormatNumber(float64(rate.Stretch), 2)
	}
	if rate.Requested {
		expression += ", from the request"
	}
	workings = append(steps[:len(steps):len(steps)], estimate.Working{Label: "hours of one person", Expression: expression, Result: measure.FormatNumber(float64(hours), 2) + " h"})
	return hours, rate, workings, true
}

// queryOf asks for the rate of a line of work on the ground of the job.
func (q *Quote) queryOf(w *estimate.WorkLine, tool Tool) RateQuery {
	ground := &q.Job.Ground
	haul, _ := q.way(w.Operation)
	query := RateQuery{Operation: w.Operation, Soil: ground.Soil.Key, Cover: string(ground.Cover), Tool: tool, Haul: haul, Access: ground.Access}
	if w.Material != nil {
		query.UnitMass = w.Material.Mass
	}
	return query
}

// hourlyCost is what an hour of one person costs in this job.
func (q *Quote) hourlyCost() decimal.Decimal {
	if cost := q.Terms.Labour.HourlyCost; cost != nil {
		return *cost
	}
	return q.List.HourlyCost
}

// toolOf is the tool that the line of work of a number is done with.
func (q *Quote) toolOf(i int) Tool {
	if i < len(q.tools) && q.tools[i] != "" {
		return q.tools[i]
	}
	return ByHand
}
