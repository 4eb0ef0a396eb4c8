package pricing

import (
	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
)

// doneJob is a past job given whole, as it was estimated. Nil is a job that was not.
type doneJob struct {
	quote *Quote // its job, takeoff and list; nil after a fault
}

func (d *doneJob) ready() bool { return d != nil && d.quote != nil }

// query asks for the rate of a line of work on the ground of the job; of a job that was not given whole it knows the
// operation only.
func (d *doneJob) query(w *estimate.WorkLine) RateQuery {
	if !d.ready() {
		return RateQuery{Operation: w.Operation}
	}
	tool := d.quote.Terms.Crew.toolFor(w.Operation) // what is done by machine and not asked for there, the figure says
	if tool == "" {
		tool = ByHand
	}
	return d.quote.queryOf(w, tool)
}

// takeOff takes a whole job off as for an estimate by the list that is calibrated. Its faults are found as in a document
// of its own and told at their places in this one.
func (b *pastReader) takeOff(v document.Value) *doneJob {
	out := new(doneJob)
	if v.Kind() != document.Object {
		v.Object() // notes the fault
		return out
	}
	if b.whole++; b.whole > mostWholeJobs {
		if b.whole == mostWholeJobs+1 {
			v.Fault("too_many", "is beyond the 50 whole jobs that are taken at once: give the quantities of the rest", "")
		}
		return out
	}
	var own document.Faults
	node, at := v.Node(), v.Pointer()
	r := document.Read(node, &own)
	// The job may have been estimated by an earlier version; what is calibrated is the list of this request.
	_, _ = r.Key("price_list", document.Optional)
	_, _ = r.Int("price_list_version", document.Optional, 1, 1<<31-1)
	asks(r) // options, and the job that this one came from, were not what was done
	job, terms, takeoff := takeOff(r, b.head.list, &own)
	for _, f := range own.List(node) {
		b.faults.Add(at+f.Pointer, f.Code, f.Detail, f.Example)
	}
	if takeoff != nil && own.Len() == 0 {
		out.quote = &Quote{Job: job, Takeoff: takeoff, List: b.head.list, Terms: terms}
	}
	return out
}

// hoursOfJob compares hours with what the list gives for an operation of the whole job. Where the operation has lines of
// several rates, each rate has its part of the hours.
func (b *pastReader) hoursOfJob(r document.Reader, done *doneJob, operation estimate.Operation, says said, hours measure.Hours) {
	type part struct {
		index int
		hours float64
	}
	var parts []part
	sum := 0.0
	for i := range done.quote.Takeoff.Work {
		w := &done.quote.Takeoff.Work[i]
		if w.Operation != operation {
			continue
		}
		query, quantity := says.over(done.query(w)), w.Quantity
		if query.Tool == ByMachine && w.Machine != nil {
			quantity = w.Machine.Quantity
		}
		rate, index, ok := b.rate(r, done, query)
		if !ok {
			return
		}
		estimated := float64(rateHours(&rate, quantity))
		parts = append(parts, part{index, estimated})
		sum += estimated
	}
	if sum <= 0 {
		r.Fault("operation", CodeConflict, "is no operation of this job: give the quantity that was done", "")
		return
	}
	for _, p := range parts {
		if p.hours > 0 {
			b.found(r, "hours", observation{target: target{kind: CalibratedRate, rate: p.index}, estimated: p.hours, actual: float64(hours) * (p.hours / sum)})
		}
	}
}

// usedInJob compares what was used with what was measured on a line of the whole job. Measured and key may be told.
func (b *pastReader) usedInJob(r document.Reader, done *doneJob, line allowanceLine, key string, measured, used document.Value) {
	var of *estimate.MaterialLine
	var keys []string
	for i := range done.quote.Takeoff.Lines {
		l := &done.quote.Takeoff.Lines[i]
		if l.Key != line.key {
			continue
		}
		keys = append(keys, l.Material.Key)
		if key == "" || l.Material.Key == key {
			of = l
		}
	}
	switch {
	case len(keys) == 0:
		r.Fault("line", CodeConflict, "is no line of this job: give the material and what was measured of it", "")
		return
	case key == "" && len(keys) > 1:
		r.Fault("material", document.CodeMissing, "is missing: the job has several materials on this line, "+suggest(keys), `"`+keys[0]+`"`)
		return
	case of == nil:
		r.Fault("material", CodeConflict, "is no material of this line of the job; there are "+suggest(keys), `"`+keys[0]+`"`)
		return
	}
	before, ok := of.Measured, true
	switch {
	case r.Has("measured"):
		before, ok = b.quantity(measured, of.Material, true)
	case line.key == estimate.Fabric:
		before = of.Cover
	}
	after, okAfter := b.quantity(used, of.Material, false)
	if ok && okAfter && before.Value > 0 {
		b.foundUse(r, line, of.Material, before, after)
	}
}
