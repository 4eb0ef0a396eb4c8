package pricing

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"time"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
)

// pastJob is who a figure comes from.
type pastJob struct {
	reference, date string
}

// target is the figure of the list that an observation speaks of.
type target struct {
	kind     CalibratedKind
	rate     int // index in the list
	line     estimate.LineKey
	material string
}

// observation is one pair of figures of a past job: hours estimated by the list and hours taken; a quantity as measured and
// as used; a volume compacted and loose.
type observation struct {
	target
	job      int
	pointer  string
	material *estimate.Material
	kind     estimate.AmountKind // of a quantity, none for hours

	estimated, actual float64
}

// pastReader reads past jobs. Without a list it only looks for the members.
type pastReader struct {
	ctx        context.Context
	head       head
	faults     *document.Faults
	references map[string]bool // only looked up
	figures    int
	whole      int

	past         []pastJob
	observations []observation
}

func (b *pastReader) jobs(r document.Reader) {
	r.Each("past_jobs", document.Required, 1, MostPastJobs, func(_ int, v document.Value) {
		item, ok := v.Object()
		if !ok || b.ctx.Err() != nil {
			return
		}
		b.job(item)
		item.Close()
	})
}

const hoursExample = `[{"operation":"dig_bed","soil":"loam","quantity":"3.2 yd3","hours":7.5}]`

func (b *pastReader) job(r document.Reader) {
	var job pastJob
	var ok bool
	if job.reference, ok = r.Text("reference", document.Required, 64); ok {
		if b.references[job.reference] {
			r.Fault("reference", "duplicate_id", "is the reference of an earlier past job: outliers are named by it, and a job that is given twice would count twice", `"AR-114"`)
		}
		b.references[job.reference] = true
	}
	if job.date, ok = r.Text("date", document.Optional, 10); ok {
		if day, err := time.Parse(time.DateOnly, job.date); err != nil || day.Year() < 1 {
			r.Fault("date", CodeBadDate, "must be a day that exists, as year-month-day", `"2027-05-04"`)
		}
	}
	b.past = append(b.past, job)
	var done *doneJob
	if v, ok := r.Value("job", document.Optional); ok {
		done = b.takeOff(v)
	}
	each := func(member string, read func(document.Reader)) bool {
		if !r.Has(member) {
			return false
		}
		r.Each(member, document.Optional, 1, mostJobFigures, func(_ int, v document.Value) {
			if b.figures++; b.figures > MostPastFigures {
				if b.figures == MostPastFigures+1 {
					v.Fault("too_many", "is beyond the "+strconv.Itoa(MostPastFigures)+" figures that are taken at once: leave out the oldest jobs", "")
				}
				return
			}
			if item, ok := v.Object(); ok {
				read(item)
				item.Close()
			}
		})
		return true
	}
	hours := each("hours", func(item document.Reader) { b.hours(item, done) })
	materials := each("materials", func(item document.Reader) { b.used(item, done) })
	compaction := each("compaction", b.compaction)
	if !hours && !materials && !compaction {
		r.Fault("hours", document.CodeMissing, "is missing, and so are materials and compaction: a past job tells at least one figure", hoursExample)
	}
}

// found adds an observation, unless its two sides are too far apart to be of the same thing.
func (b *pastReader) found(r document.Reader, actual string, o observation) {
	if !(o.actual <= o.estimated*mostPastRatio && o.estimated <= o.actual*mostPastRatio) {
		r.Fault(actual, document.CodeOutOfRange, fmt.Sprintf("is more than %d times what was estimated, or less than a part of %d of it: check the units of both", mostPastRatio, mostPastRatio), "")
		return
	}
	o.job, o.pointer = len(b.past)-1, r.Pointer()
	b.observations = append(b.observations, o)
}

// hours reads the working time of an operation.
func (b *pastReader) hours(r document.Reader, done *doneJob) {
	var names []string
	for _, o := range Operations() {
		names = append(names, string(o))
	}
	name, named := r.Choice("operation", document.Required, names...)
	query, narrowed := b.query(r, done)
	query.Operation = estimate.Operation(name)
	hours, timed := r.Number("hours", document.Required, 0.01, mostJobHours)
	presence := document.Required
	if done != nil {
		presence = document.Optional
	}
	quantity, given := r.Value("quantity", presence)
	list := b.head.list
	if !named || !narrowed || list == nil {
		return
	}
	if !given {
		if done.ready() && timed && presence == document.Optional && !r.Has("quantity") {
			b.hoursOfJob(r, done, query, measure.Hours(hours))
		}
		return
	}
	amount, read := b.workAmount(quantity, query.Operation)
	rate, index, ok := b.rate(r, done, query)
	if !read || !timed || !ok {
		return
	}
	b.found(r, "hours", observation{target: target{kind: CalibratedRate, rate: index}, estimated: float64(rateHours(&rate, amount)), actual: float64(hours)})
}

// query reads what narrows a rate, from the ground of the whole job where the figure does not say.
func (b *pastReader) query(r document.Reader, done *doneJob) (RateQuery, bool) {
	q := done.query()
	ok := true
	read := func(member string, value func() bool) {
		if r.Has(member) && !value() {
			ok = false
		}
	}
	read("soil", func() (right bool) {
		if q.Soil, right = r.Key("soil", document.Optional); right && b.head.list != nil {
			if soils := b.head.list.Catalogue.SoilKeys(); !slices.Contains(soils, q.Soil) {
				r.Fault("soil", "unknown_soil", "is no soil of the price list; there are "+suggest(soils), strconv.Quote(soils[0]))
				return false
			}
		}
		return right
	})
	read("cover", func() (right bool) { q.Cover, right = r.Choice("cover", document.Optional, Covers()...); return })
	read("tool", func() (right bool) {
		tool, right := r.Choice("tool", document.Optional, string(ByHand), string(ByMachine))
		q.Tool = Tool(tool)
		return right
	})
	read("haul", func() (right bool) {
		q.Haul, right = r.Length("haul", document.Optional, document.NotNegative)
		return
	})
	read("access", func() (right bool) {
		q.Access, right = r.Length("access", document.Optional, document.Positive)
		return
	})
	read("unit_mass", func() (right bool) {
		q.UnitMass, right = r.Mass("unit_mass", document.Optional, document.Positive)
		return
	})
	return q, ok
}

// rate finds the rate that a figure speaks of as an estimate does, with its place in the list.
func (b *pastReader) rate(r document.Reader, done *doneJob, q RateQuery) (Rate, int, bool) {
	list := b.head.list
	rate, ok, _ := list.Rate(q)
	if !ok {
		r.Fault("operation", codeMissingRate, "has no rate in the price list for the ground, tool, way in and unit of this figure: there is nothing to calibrate", "")
		return Rate{}, 0, false
	}
	switch {
	case rate.HaulTo > 0 && !r.Has("haul") && !done.ready():
		r.Fault("haul", document.CodeMissing, "is missing: the price list has rates by the length of the haul for this operation", `"60 ft"`)
		return Rate{}, 0, false
	case rate.UnitMassTo > 0 && q.UnitMass == 0:
		r.Fault("unit_mass", document.CodeMissing, "is missing: the price list has rates by the mass of one unit for this operation", `"5.4 lb"`)
		return Rate{}, 0, false
	case rate.hours == 0:
		r.Fault("operation", codeMissingRate, "has a rate of no hours in the price list: there is nothing to compare with", "")
		return Rate{}, 0, false
	}
	plain := rate
	plain.Stretch = 1
	return rate, slices.Index(list.rates, plain), true
}

// workAmount reads the quantity of an operation, of the kind that its rates are per.
func (b *pastReader) workAmount(v document.Value, operation estimate.Operation) (estimate.Amount, bool) {
	kind, _ := RateKindOf(operation)
	var value float64
	var ok bool
	switch kind {
	case PerCount:
		n, right := v.Int(1, MaxCount)
		return estimate.Amount{Kind: estimate.CountAmount, Value: float64(n)}, right
	case PerLength:
		var l measure.Length
		l, ok = v.Length(document.Positive)
		return inRange(v, estimate.Amount{Kind: estimate.LengthAmount, Value: float64(l)}, ok)
	case PerArea:
		var a measure.Area
		a, ok = v.Area(document.Positive)
		return inRange(v, estimate.Amount{Kind: estimate.AreaAmount, Value: float64(a)}, ok)
	}
	var volume measure.Volume
	volume, ok = v.Volume(document.Positive)
	value = float64(volume)
	return inRange(v, estimate.Amount{Kind: estimate.VolumeAmount, Value: value}, ok)
}

// inRange refuses quantities that no job has.
func inRange(v document.Value, a estimate.Amount, ok bool) (estimate.Amount, bool) {
	if ok && (a.Value < 1e-6 || a.Value > 1e6) {
		v.Fault(document.CodeOutOfRange, "is far from what a job comes to: check the unit", "")
		return a, false
	}
	return a, ok
}
