package api

import (
	"strconv"

	"bedline/estimate/measure"
)

func appendHoldMembers(b []byte, v *TaskHold) []byte {
	b = append(b, `"key":`...)
	b = appendText(b, v.Key)
	if v.WorkingDays != nil {
		b = appendCount(b, `,"working_days":`, *v.WorkingDays)
	}
	if v.Hours != nil {
		b = append(b, `,"hours":`...)
		b = measure.AppendNumber(b, float64(*v.Hours))
	}
	if v.Source != "" {
		b = append(b, `,"source":`...)
		b = appendText(b, v.Source)
	}
	return b
}

func appendTaskHold(b []byte, v *TaskHold) []byte {
	return append(appendHoldMembers(append(b, '{'), v), '}')
}

func appendString(b []byte, v *string) []byte { return appendText(b, *v) }

func appendWorkPlan(b []byte, v *WorkPlan) []byte {
	b = appendCount(b, `{"crew":{"size":`, v.Crew.Size)
	b = appendCount(b, `,"minutes_per_day":`, v.Crew.MinutesPerDay)
	b = append(b, `},"start":`...)
	b = appendMoment(b, &v.Start)
	b = append(b, `,"end":`...)
	b = appendMoment(b, &v.End)
	b = appendCount(b, `,"minutes":`, v.Minutes)
	b = append(b, `,"shortest":`...)
	b = strconv.AppendBool(b, v.Shortest)
	b = appendCount(b, `,"critical_minutes":`, v.CriticalMinutes)
	b = append(b, `,"critical_path":`...)
	b = appendList(b, v.CriticalPath, appendString)
	if v.Zone != "" {
		b = append(b, `,"zone":`...)
		b = appendText(b, v.Zone)
	}
	if v.AskForMarkingBy != "" {
		b = append(b, `,"ask_for_marking_by":`...)
		b = appendText(b, v.AskForMarkingBy)
	}
	b = append(b, `,"holds":`...)
	b = appendList(b, v.Holds, appendPlanHold)
	b = append(b, `,"deliveries":`...)
	b = appendList(b, v.Deliveries, appendPlanDelivery)
	return append(b, '}')
}

func appendPlanHold(b []byte, v *PlanHold) []byte {
	b = appendHoldMembers(append(b, '{'), &v.TaskHold)
	b = append(b, `,"after":`...)
	b = appendText(b, v.After)
	b = append(b, `,"before":`...)
	b = appendList(b, v.Before, appendString)
	b = append(b, `,"from":`...)
	b = appendMoment(b, &v.From)
	if v.Until != "" {
		b = append(b, `,"until":`...)
		b = appendText(b, v.Until)
	}
	return append(b, '}')
}

func appendPlanDelivery(b []byte, v *PlanDelivery) []byte {
	b = append(b, `{"supplier":`...)
	b = appendText(b, v.Supplier)
	b = append(b, `,"materials":`...)
	b = appendList(b, v.Materials, appendString)
	b = append(b, `,"for":`...)
	b = appendText(b, v.For)
	b = append(b, `,"needed_by":`...)
	b = appendMoment(b, &v.NeededBy)
	b = appendCount(b, `,"lead_days":`, v.LeadDays)
	if v.OrderBy != "" {
		b = append(b, `,"order_by":`...)
		b = appendText(b, v.OrderBy)
	}
	if v.Early {
		b = append(b, `,"before_start":true`...)
	}
	return append(b, '}')
}

func appendEquipment(b []byte, v *Equipment) []byte {
	b = append(b, `{"key":`...)
	b = appendText(b, v.Key)
	b = append(b, `,"name":`...)
	b = appendText(b, v.Name)
	b = append(b, `,"for":`...)
	b = appendList(b, v.For, appendString)
	if v.Hand != nil {
		b = append(b, `,"hand":{"hours":`...)
		b = append(b, v.Hand.Hours...)
		b = append(b, `,"cost":`...)
		b = appendText(b, v.Hand.Cost)
		b = append(b, '}')
	}
	b = append(b, `,"machine":{"hours":`...)
	b = append(b, v.Machine.Hours...)
	b = append(b, `,"labour":`...)
	b = appendText(b, v.Machine.Labour)
	b = append(b, `,"hire":`...)
	b = appendText(b, v.Machine.Hire)
	b = append(b, `,"cost":`...)
	b = appendText(b, v.Machine.Cost)
	b = append(b, `},"chosen":`...)
	b = appendText(b, v.Chosen)
	b = append(b, `,"why":`...)
	b = appendText(b, v.Why)
	b = append(b, `,"hires":`...)
	b = appendList(b, v.Hires, appendMachineHire)
	return append(b, '}')
}

func appendMachineHire(b []byte, v *MachineHire) []byte {
	b = appendCount(b, `{"from_day":`, v.FromDay)
	b = appendCount(b, `,"to_day":`, v.ToDay)
	if v.From != "" {
		b = append(b, `,"from":`...)
		b = appendText(b, v.From)
	}
	if v.To != "" {
		b = append(b, `,"to":`...)
		b = appendText(b, v.To)
	}
	b = appendCount(b, `,"days":`, v.Days)
	b = appendCount(b, `,"half_days":`, v.HalfDays)
	b = append(b, `,"amount":`...)
	b = appendText(b, v.Amount)
	return append(b, '}')
}
