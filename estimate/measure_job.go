package estimate

import (
	"bedline/estimate/document"
	"bedline/estimate/measure"
)

// Measure takes off a job. Faults of the geometry (a curve too tight for its units, slabs outside their bed) go to
// faults; the takeoff is whole only if there are none in all.
func Measure(job *Job, faults *document.Faults) *Takeoff {
	t := &taker{job: job, faults: faults, out: &Takeoff{}, pencil: pencil{job.System}}
	t.courses()
	t.slabs()
	t.paving()
	t.stand()
	t.fabrics()
	t.stake()
	if faults.Len() > 0 {
		return nil
	}
	t.survey()
	if faults.Len() > 0 {
		return nil
	}
	t.units()
	t.earthwork()
	t.neighbours()
	t.layers()
	t.jointFill()
	t.fillPlanters()
	t.beds()
	t.require()
	t.work()
	t.cautions()
	t.setOut()
	t.out.Lines = t.ledger.lines
	return t.out
}

// taker carries a takeoff under way.
type taker struct {
	job    *Job
	faults *document.Faults
	out    *Takeoff
	pencil pencil

	edged  map[int]int // index of a bed -> index of its course in out.Courses; only looked up
	ground survey
	ledger ledger

	dugGround  []int          // by digging: its ground in the survey
	graded     []graded       // beds and paved areas with spot levels
	layerArea  []measure.Area // by digging: ground on which its layers are laid
	formation  measure.Area   // dug ground that something is laid on
	bases      []baseLayer    // each where it is laid
	baseVolume measure.Volume // of all bases, as compacted
	sandArea   measure.Area
	fabricArea measure.Area
}
