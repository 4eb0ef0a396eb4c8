package pricing

import "bedline/estimate"

// turn is a place in the order of building: what an operation waits for, and why.
type turn struct {
	operation estimate.Operation
	after     []estimate.Operation
	reason    string
	holds     []HoldKey // that have to pass after each of them
	most      int       // people who have room at it, 0 for any number
}

// The order of building: for each operation, none before what it waits for, what has to be done before. Where a job lacks an
// operation, what would wait for it waits for whatever that would wait for. An operation may stand more than once. Common practice, the numbers of people from memory; that marking comes before digging is 29 CFR
// 1926.651(b)(1), and stakes count as digging in many local laws.
var buildingOrder = [...]turn{
	{operation: estimate.LocateUtilities, most: 1},
	{operation: estimate.SetOut, after: []estimate.Operation{estimate.LocateUtilities}, reason: "no stake goes in and nobody digs before buried utilities are marked", holds: []HoldKey{UtilityMarking}, most: 2},
	{operation: estimate.StripCover, after: []estimate.Operation{estimate.SetOut}, reason: "the lines show where to strip"},
	{operation: estimate.DigTrench, after: []estimate.Operation{estimate.StripCover}, reason: "the cover is off before digging"},
	{operation: estimate.DigBed, after: []estimate.Operation{estimate.StripCover}, reason: "the cover is off before digging"},
	{operation: estimate.HaulSpoil, after: []estimate.Operation{estimate.DigTrench, estimate.DigBed}, reason: "spoil comes out of the digging"},
	{operation: estimate.TrimFormation, after: []estimate.Operation{estimate.DigTrench, estimate.DigBed}, reason: "the ground is dug before it is trimmed"},
	{operation: estimate.HaulMaterials, after: []estimate.Operation{estimate.TrimFormation, estimate.HaulSpoil}, reason: "the formation is trimmed and no heap of spoil stands in the way"},
	{operation: estimate.LayFabric, after: []estimate.Operation{estimate.TrimFormation}, reason: "fabric lies on the trimmed formation", most: 2},
	{operation: estimate.PlaceBase, after: []estimate.Operation{estimate.TrimFormation, estimate.LayFabric, estimate.HaulMaterials}, reason: "base lies on the formation and on fabric"},
	{operation: estimate.CompactBase, after: []estimate.Operation{estimate.PlaceBase}, reason: "base is placed before it is compacted"},
	{operation: estimate.ScreedSand, after: []estimate.Operation{estimate.CompactBase, estimate.HaulMaterials}, reason: "sand lies on compacted base", most: 2},
	{operation: estimate.LayEdging, after: []estimate.Operation{estimate.ScreedSand, estimate.HaulMaterials}, reason: "units are laid on screeded sand"},
	{operation: estimate.LaySlabs, after: []estimate.Operation{estimate.ScreedSand, estimate.HaulMaterials}, reason: "slabs are laid on screeded sand"},
	{operation: estimate.LayPaving, after: []estimate.Operation{estimate.ScreedSand, estimate.HaulMaterials}, reason: "paving is laid on screeded sand"},
	{operation: estimate.LayPaving, after: []estimate.Operation{estimate.LayEdging}, reason: "borders and edging hold the field"},
	{operation: estimate.CutUnits, after: []estimate.Operation{estimate.LayEdging, estimate.LaySlabs, estimate.LayPaving}, reason: "gaps are cut for once whole units lie", most: 1},
	{operation: estimate.FillJoints, after: []estimate.Operation{estimate.LayEdging, estimate.LaySlabs, estimate.LayPaving, estimate.CutUnits}, reason: "joints are filled once every unit lies", most: 2},
	{operation: estimate.WetAndCure, after: []estimate.Operation{estimate.FillJoints}, reason: "joints are wetted once they are filled", most: 1},
	{operation: estimate.FillPlanters, after: []estimate.Operation{estimate.HaulMaterials, estimate.LayFabric, estimate.LayEdging, estimate.LaySlabs, estimate.LayPaving}, reason: "planters stand on finished ground"},
	{operation: estimate.PlaceStone, after: []estimate.Operation{estimate.WetAndCure}, reason: "joints cure, dry and without feet on them, before stone comes against them", holds: []HoldKey{JointCure, JointDry}},
	{operation: estimate.PlaceStone, after: []estimate.Operation{estimate.HaulMaterials, estimate.LayFabric, estimate.LayEdging, estimate.LaySlabs, estimate.LayPaving}, reason: "stone comes last into what holds it"},
	{operation: estimate.PlaceStone, after: []estimate.Operation{estimate.FillPlanters}, reason: "planters stand before stone goes round them"},
	{operation: estimate.CleanUp, after: []estimate.Operation{estimate.HaulSpoil, estimate.CompactBase, estimate.WetAndCure, estimate.PlaceStone, estimate.FillPlanters}, reason: "the last thing on site"},
}

// PlannedWait is a task that another one waits for.
type PlannedWait struct {
	For       estimate.Operation
	Reason    string
	Holds     []Hold // that have to pass after it
	Requested bool   // by the request, not by the order of building
}

// waitsOf are the waits of an operation for others of a job, in the order of building, each once.
func waitsOf(op estimate.Operation, there func(estimate.Operation) bool) []PlannedWait {
	var waits []PlannedWait
	var add func(at estimate.Operation, reason string, holds []HoldKey)
	add = func(at estimate.Operation, reason string, holds []HoldKey) {
		for i := range buildingOrder {
			t := &buildingOrder[i]
			if t.operation != at {
				continue
			}
			why, held := reason, holds
			if at == op {
				why, held = t.reason, t.holds
			}
			for _, before := range t.after {
				switch {
				case there(before):
					waits = addWait(waits, before, why, held)
				case before == estimate.WetAndCure:
					add(before, why, held) // joints that nobody wets cure as well
				default:
					add(before, why, nil)
				}
			}
		}
	}
	add(op, "", nil)
	return waits
}

// addWait adds a wait, or the holds to one that is there.
func addWait(waits []PlannedWait, before estimate.Operation, reason string, holds []HoldKey) []PlannedWait {
	at := 0
	for at < len(waits) && waits[at].For != before {
		at++
	}
	if at == len(waits) {
		waits = append(waits, PlannedWait{For: before, Reason: reason})
	}
	w := &waits[at]
	for _, key := range holds {
		known := false
		for _, h := range w.Holds {
			known = known || h.Key == key
		}
		if !known {
			w.Holds = append(w.Holds, Hold{Key: key})
			w.Reason = reason
		}
	}
	return waits
}

// roomAt is how many people have room at an operation, 0 for any number. One person minds a machine; at a digger or a sod
// cutter a second one clears up behind it.
func roomAt(op estimate.Operation, tool Tool) int {
	if tool == ByMachine {
		switch op {
		case estimate.CompactBase:
			return 1
		case estimate.StripCover, estimate.DigTrench, estimate.DigBed:
			return 2
		}
	}
	for i := range buildingOrder {
		if buildingOrder[i].operation == op {
			return buildingOrder[i].most
		}
	}
	return 0
}

// usualHold is a hold of which the list says nothing.
func usualHold(key HoldKey) Hold {
	switch key {
	case UtilityMarking:
		return Hold{Key: key, WorkingDays: 3, Source: "Common practice: two to three whole working days from the call to the marks; local law decides (29 CFR 1926.651(b))"}
	case JointCure:
		return Hold{Key: key, Hours: 24, Source: "Common practice; the label of the joint fill decides"}
	default:
		return Hold{Key: key, Hours: 24, Source: "Common practice: a day of dry weather; the label of the joint fill decides"}
	}
}

// turnOf is the place of an operation in the order of building.
func turnOf(op estimate.Operation) int {
	for i := range buildingOrder {
		if buildingOrder[i].operation == op {
			return i
		}
	}
	return len(buildingOrder)
}
