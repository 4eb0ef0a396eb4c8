package estimate

import (
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
		t.notice("utilities", Caution, "before any digging have buried utilities located and marked through the local one-call service, "+
			"wait out its lead time, and dig by hand within the tolerance zone of every mark; local law decides the details", "", "29 CFR 1926.651(b)")
		t.notice("spoil_setback", Caution, "keep spoil and materials at least 2 ft (0.6 m) back from the edge of the digging", "", "29 CFR 1926.651(j)(2)")
		t.notice("footings_and_roots", Confirm, "check for footings, walls and tree roots near the digging before it goes deeper than they can bear; "+
			"where it may undermine a footing or cut main roots, ask a licensed engineer or an arborist", "", "common practice")
	}
	if !earth.Deeper(shoringDepth, deepest) {
		t.notice("deep_excavation", Caution, "the digging is "+t.pencil.depth(deepest)+" deep: it needs sloping, shoring or shielding under a competent person", "",
			"29 CFR 1926.652, from memory")
	}
	passes := 0
	for k := range t.out.Courses {
		passes += t.out.Courses[k].Course.SawPasses
	}
	for k := range t.out.Paving {
		passes += t.out.Paving[k].SawPasses()
	}
	if passes > 0 {
		t.notice("silica_dust", Caution, "cutting units frees silica dust: cut wet with water fed to the blade, outdoors, with eye and hearing protection, "+
			"and a respirator where the rule asks for one", "", "29 CFR 1926.1153 Table 1")
	}
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
	t.courseNotices()
	t.pavingNotices()
	t.tieNotices()
}

// heavyUnits warns of units that one person should not lift alone.
func (t *taker) heavyUnits() {
	said := map[string]bool{}
	warn := func(m *Material) {
		if m.Mass > liftingLimit && !said[m.Key] {
			said[m.Key] = true
			t.notice("heavy_unit", Caution, m.Name+" weighs "+t.pencil.mass(m.Mass)+", more than one person should lift even under the best of circumstances: lift it with two or with a tool",
				"", "NIOSH 94-110, revised lifting equation: load constant 51 lb (23 kg)")
		}
	}
	for k := range t.out.Courses {
		warn(t.out.Courses[k].Spec.Unit)
	}
	for k := range t.out.Slabs {
		warn(t.out.Slabs[k].Group.Unit)
	}
	for k := range t.job.Paving {
		warn(t.job.Paving[k].Unit)
		if border := t.job.Paving[k].Border; border != nil {
			warn(border.Unit)
		}
	}
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
