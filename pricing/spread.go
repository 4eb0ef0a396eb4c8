package pricing

import (
	"math"
	"strings"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
	"bedline/pricing/supply"
)

// How far a need may turn out from what is said of it. A layer is laid a little deeper or less deep over all of its
// ground, is compacted a little more or less, and all that is taped is a little larger or smaller: each is normal, one draw
// for each layer (a line of the takeoff) for the first two, one for the whole job for the third. Draws of different layers
// have nothing to do with each other, so that their variances add; what is taped adds up before it is squared. What two
// errors do together (a hundredth of a hundredth) is left out.

// uncertain is what may turn out otherwise of one line of a job or of one requirement.
type uncertain struct {
	name       string
	whose      string // the job of several, with what parts it from a label
	material   *estimate.Material
	required   float64        // in the base unit of the material
	laidOver   measure.Area   // ground of a layer, else 0
	compaction measure.Factor // loose for each laid
	waste      measure.Factor
	compacted  bool   // what is required holds the compaction factor
	taped      bool   // what is required goes by what is taped
	rolls      *rolls // of a fabric
	job        int    // one draw of what is taped for each
}

// rolls are those of a fabric: they run short where the strips grow so much that they fill the fullest roll.
type rolls struct {
	cut     int     // rolls that the strips are cut from
	fullest float64 // share of the fullest that is cut up
	cloth   float64 // rolls' worth of cloth with its allowance, where that is more than the rolls cut, else 0
}

// mean is how many rolls it comes to, and what part of it grows with what is taped.
func (r *rolls) mean() (mean, grows float64) {
	if r.cloth > 0 {
		return r.cloth, r.cloth
	}
	return float64(r.cut-1) + r.fullest, r.fullest
}

// spread is how a need may turn out.
type spread struct {
	mean      float64
	deviation float64
	workings  []estimate.Working
}

// ninety is by how many deviations a half-width of 90 % is wider than one (NIST/SEMATECH e-Handbook of Statistical
// Methods, 1.3.6.7.1, the table of the normal distribution: 0.95 at 1.645).
const ninety = 1.645

// spreadOf adds up what may turn out otherwise of the lines of one need. Tolerances go by line.
func (p pencil) spreadOf(required float64, lines []*uncertain, tolerances func(line *uncertain) *Tolerances) spread {
	s := spread{mean: required}
	kind := estimate.CountAmount
	var parts []float64
	amount := func(v float64) string { return p.fine(estimate.Amount{Kind: kind, Value: v}) }
	note := func(label, expression string, v float64) {
		s.workings = append(s.workings, estimate.Working{Label: label, Expression: expression, Result: amount(v)})
		parts = append(parts, v)
	}
	type sum struct {
		job   int
		whose string
		value float64
		share measure.Factor
	}
	var taped []sum
	for _, l := range lines {
		if l.material.Kind == estimate.LooseMaterial {
			kind = estimate.VolumeAmount
		}
		t := tolerances(l)
		if t.has(depthTolerance) && l.laidOver > 0 {
			factors := p.layer(l.laidOver, t.Depth)
			v := float64(l.laidOver.AtDepth(t.Depth)) * float64(l.compaction) * float64(l.waste) / ninety
			if l.compaction != 1 {
				factors += " x " + figure(float64(l.compaction)) + " (compaction)"
			}
			if l.waste != 1 {
				factors += " x " + figure(float64(l.waste)) + " (waste)"
			}
			note(l.name+": deviation for the depth", factors+" / 1.645", v)
		}
		if t.has(compactionTolerance) && l.compacted {
			note(l.name+": deviation for the compaction", amount(l.required)+" x "+percent(t.Compaction)+" / 1.645", float64(l.required*float64(t.Compaction))/ninety)
		}
		if !t.has(measuringError) || !l.taped {
			continue
		}
		grows := l.required
		if l.rolls != nil {
			var mean float64
			mean, grows = l.rolls.mean()
			s.mean += mean - l.required
			s.workings = append(s.workings, p.rollsWorking(l, mean))
		}
		at := -1
		for i := range taped {
			if taped[i].job == l.job {
				at = i
			}
		}
		if at < 0 {
			at, taped = len(taped), append(taped, sum{job: l.job, whose: l.whose, share: t.Measuring})
		}
		taped[at].value += grows
	}
	for i := range taped {
		note(taped[i].whose+"deviation for what is taped", amount(taped[i].value)+" x "+percent(taped[i].share)+" / 1.645", float64(taped[i].value*float64(taped[i].share))/ninety)
	}
	var squares float64
	var texts []string
	for _, v := range parts {
		squares += float64(v * v)
		texts = append(texts, amount(v)+" squared")
	}
	if s.deviation = math.Sqrt(squares); len(parts) > 1 {
		s.workings = append(s.workings, estimate.Working{Label: "deviation", Expression: "square root of the sum of " + strings.Join(texts, " + "), Result: amount(s.deviation)})
	}
	return s
}

func (p pencil) rollsWorking(l *uncertain, mean float64) estimate.Working {
	w := estimate.Working{Label: l.name + ": rolls as they are filled", Result: figure(mean)}
	if l.rolls.cloth > 0 {
		w.Expression = "cloth with its allowance, in rolls"
	} else {
		w.Expression = figure(float64(l.rolls.cut)) + " - 1 + " + figure(l.rolls.fullest) + " of the fullest"
	}
	return w
}

func (t *Tolerances) has(member string) bool {
	for _, m := range t.given {
		if m == member {
			return true
		}
	}
	return false
}

// uncertainLines are the lines of a takeoff.
func uncertainLines(t *estimate.Takeoff) []uncertain {
	out := make([]uncertain, len(t.Lines))
	for i := range t.Lines {
		l := &t.Lines[i]
		u := uncertain{name: strings.ReplaceAll(string(l.Key), "_", " "), material: l.Material, required: l.Required.Value, laidOver: l.LaidOver, compaction: 1, waste: l.Waste.Factor}
		if l.Material.Kind == estimate.LooseMaterial {
			u.compaction = l.Material.CompactionFactor
			u.compacted = u.compaction != 1
		}
		u.taped = l.Key != estimate.Slabs // these are counted, in rows and columns
		if l.Material.Kind == estimate.FabricMaterial {
			u.rolls = rollsOf(t, l)
		}
		out[i] = u
	}
	return out
}

// rollsOf are the rolls of a line of fabric.
func rollsOf(t *estimate.Takeoff, l *estimate.MaterialLine) *rolls {
	r := &rolls{cut: 1, fullest: 1}
	for i := range t.Rolls {
		plan := &t.Rolls[i]
		if plan.Material.Key != l.Material.Key || len(plan.Plan.Rolls) == 0 {
			continue
		}
		r.cut = len(plan.Plan.Rolls)
		left := l.Material.RollLength
		for k := range plan.Plan.Rolls {
			left = min(left, plan.Plan.Rolls[k].Left)
		}
		r.fullest = 1 - left.In(l.Material.RollLength)
	}
	if l.Required.Value > float64(r.cut)+0.5 {
		roll := l.Material.RollWidth.Times(l.Material.RollLength)
		r.cloth = measure.Area(l.Cover.Value).Scale(l.Waste.Factor).In(roll)
	}
	return r
}

// uncertainRequirements are bare quantities.
func uncertainRequirements(list []Requirement) []uncertain {
	out := make([]uncertain, len(list))
	for i := range list {
		r := &list[i]
		out[i] = uncertain{name: r.Material.Key, material: r.Material, required: r.Required.Value, compaction: 1, waste: r.Waste.Factor,
			compacted: r.Compacted && r.Material.CompactionFactor != 1, taped: true}
	}
	return out
}

// idle is the first tolerance that bears on none of the lines, and why; "" if each bears on some.
func (t *Tolerances) idle(lines []uncertain) (member, why string) {
	var layers, compacted, taped bool
	for i := range lines {
		layers = layers || lines[i].laidOver > 0
		compacted = compacted || lines[i].compacted
		taped = taped || lines[i].taped
	}
	for _, m := range t.given {
		switch {
		case m == depthTolerance && !layers:
			return m, "is for layers, and there is none: leave it out"
		case m == compactionTolerance && !compacted:
			return m, "is for materials that are compacted, and there is none with a compaction factor above 1: leave it out"
		case m == measuringError && !taped:
			return m, "is for what is taped, and there is only what is counted: leave it out"
		}
	}
	return "", ""
}

// check holds the tolerances of a job to its layers and lines, which are there if there are no faults so far.
func (t *Tolerances) check(job *estimate.Job, takeoff *estimate.Takeoff, faults *document.Faults) {
	t.deeper(job, "/supply", faults)
	if faults.Len() > 0 || takeoff == nil {
		return
	}
	if member, why := t.idle(uncertainLines(takeoff)); member != "" {
		faults.Add("/supply/"+member, CodeConflict, why, "")
	}
}

// deeper is a fault where the layers of a job may come out thinner than nothing.
func (t *Tolerances) deeper(job *estimate.Job, at string, faults *document.Faults) {
	what, depth, ok := job.Shallowest()
	if !ok || t.Depth <= depth.Scale(1+1e-9) {
		return
	}
	deep := job.System.Depth(depth)
	faults.Add(at+"/"+depthTolerance, document.CodeOutOfRange, "is more than "+what+" is deep ("+figure(deep.Value)+" "+deep.Unit+"): a layer cannot come out that much thinner", `"1/4 in"`)
}

// toleranceOf is a spread for the optimiser.
func (s *spread) toleranceOf(top supply.TopUp) supply.Tolerance {
	return supply.Tolerance{Mean: supply.Content(s.mean), Deviation: supply.Content(s.deviation), TopUp: top}
}
