package estimate

import (
	"strings"

	"bedline/estimate/earth"
	"bedline/estimate/measure"
)

// Thresholds of the cautions.
const (
	// leastBase is the least base under walks and patios.
	// Source: Interlocking Concrete Pavement Institute, Construction Tolerances and Recommendations: 4 in (100 mm).
	leastBase = 100 * measure.Millimetre
	// mostSand is the most bedding sand.
	// Source: Interlocking Concrete Pavement Institute, Tech Spec 10, 1 to 1 1/2 in.
	mostSand = 1.5 * measure.Inch
	// liftingLimit is the load constant of the revised NIOSH lifting equation (NIOSH 94-110): the heaviest load under
	// the best of circumstances.
	liftingLimit = 51 * measure.Pound
	// shoringDepth is the depth from which an excavation needs protection against cave-in unless in stable rock.
	// Source: 29 CFR 1926.652(a)(1), from memory.
	shoringDepth = 5 * measure.Foot
)

// cautions says what can hurt someone and what to confirm on site. Each defers to local codes and licensed practice.
func (t *taker) cautions() {
	var deepest measure.Length
	for _, d := range t.out.Diggings {
		if d.Earthwork != nil {
			deepest = max(deepest, d.Earthwork.CutDepth)
		} else {
			deepest = max(deepest, d.Depth)
		}
	}
	if len(t.out.Diggings) > 0 {
		t.ask("utilities", Caution, "before any digging have buried utilities located and marked through the local one-call service, "+
			"wait out its lead time, and dig by hand within the tolerance zone of every mark: the width of the line and often 18 in (460 mm) each side, 24 in (610 mm) in places; local law decides",
			"the ticket number, the day from which digging may begin, and the tolerance zone of the place", "", "29 CFR 1926.651(b); Common Ground Alliance Best Practices 5.19")
		t.notice("spoil_setback", Caution, "keep spoil and materials at least 2 ft (0.6 m) back from the edge of the digging", "", "29 CFR 1926.651(j)(2)")
		t.ask("footings_and_roots", Confirm, "check for footings, walls and tree roots near the digging before it goes deeper than they can bear; "+
			"where it may undermine a footing or cut main roots, ask a licensed engineer or an arborist",
			"how deep footings beside the digging are founded, and whose the trees are", "", "29 CFR 1926.651(i); common practice")
	}
	if !earth.Deeper(shoringDepth, deepest) {
		t.ask("deep_excavation", Caution, "the digging is "+t.pencil.depth(deepest)+" deep: it needs sloping, shoring or shielding under a competent person",
			"who the competent person is, and the class of the soil", "", "29 CFR 1926.652, from memory")
	}
	t.silica()
	t.heavyUnits()
	t.heavyPlanters()
	for i := range t.job.Beds {
		if e := t.job.Beds[i].Edging; e != nil {
			t.bedding(t.job.Beds[i].Pointer+"/edging", "the edging of bed "+t.job.Beds[i].ID, e.Base, e.Sand)
		}
	}
	for j := range t.job.Slabs {
		t.bedding(t.job.Slabs[j].Pointer, "slab group "+t.job.Slabs[j].ID, t.job.Slabs[j].Base, t.job.Slabs[j].Sand)
	}
	for k := range t.job.Paving {
		t.bedding(t.job.Paving[k].Pointer, "paved area "+t.job.Paving[k].ID, t.job.Paving[k].Base, t.job.Paving[k].Sand)
	}
	t.drainage()
	t.weather()
	t.courseNotices()
	t.pavingNotices()
	t.tieNotices()
}

// silica warns of the dust of cutting. How long is cut is known only with the rates of a price list.
func (t *taker) silica() {
	passes := 0
	for k := range t.out.Courses {
		passes += t.out.Courses[k].Course.SawPasses
	}
	for k := range t.out.Paving {
		passes += t.out.Paving[k].SawPasses()
	}
	if passes == 0 {
		return
	}
	// Source: 29 CFR 1926.1153 Table 1 (i) and (ii).
	t.ask("silica_dust", Caution, "cutting units frees silica dust: cut wet, outdoors, water fed to the blade all the time, with eye and hearing protection. "+
		"A stationary masonry saw so fed needs no respirator; a handheld power saw needs none outdoors up to 4 h of a shift, one of APF 10 above 4 h, and one of APF 10 indoors or enclosed at any time",
		"that the saw has its own water and is used as its maker says, and what state rules add", "", "29 CFR 1926.1153 Table 1 (i), (ii)")
}

// weather warns of ground and joints that want dry weather, and of heat.
func (t *taker) weather() {
	var holds []string
	if len(t.out.Diggings) > 0 {
		holds = append(holds, "do not dig, place base or compact in saturated or frozen ground")
	}
	if t.fillsJoints() {
		holds = append(holds, "fill joints only when units and joints are dry, no rain is due, and it is as warm as the maker of the fill asks")
	}
	if len(holds) > 0 {
		t.ask("weather", Caution, strings.Join(holds, "; "), "the forecast for the days of the work, and what the maker of the joint fill asks", "", "common practice")
	}
	t.ask("heat", Caution, "on hot days start early and have water, rest and shade at hand; from a heat index of 91 F (33 C) add breaks and watch each other, from 103 F (39 C) put heavy work off; "+
		"bring those new to heat into it by degrees, and follow local rules", "the heat index of the day, and who calls for help", "", "bands of the heat index of OSHA and the National Weather Service, from memory")
}

// fillsJoints tells whether a joint is filled.
func (t *taker) fillsJoints() bool {
	for i := range t.ledger.lines {
		if t.ledger.lines[i].Key == JointFill {
			return true
		}
	}
	return false
}

// bedding says where a base is thin or missing, and where sand is thicker than it should be.
func (t *taker) bedding(where, what string, base, sand *Layer) {
	switch {
	case base == nil:
		t.notice("no_base", Confirm, what+" has no base: confirm that the ground is firm, well drained and free of frost heave", where, "common practice")
	case base.Depth < leastBase-measure.Millimetre/1000:
		t.notice("thin_base", Confirm, what+" has a base of "+t.pencil.depth(base.Depth)+"; 4 in (100 mm) is the least published for walks and patios, and edging that only holds back stone is often given less",
			where, "Interlocking Concrete Pavement Institute, Construction Tolerances and Recommendations")
	}
	if sand != nil && earth.Deeper(sand.Depth, mostSand) {
		t.notice("thick_sand", Confirm, what+" lies on "+t.pencil.depth(sand.Depth)+" of bedding sand; 1 in (25 mm) is nominal, and thick sand settles",
			where, "Interlocking Concrete Pavement Institute, Construction Tolerances and Recommendations")
	}
}
