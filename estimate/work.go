package estimate

import (
	"bedline/estimate/measure"
)

// Lifts are the thickest layers of base that are compacted at a time.
type Lifts struct{ Hand, Machine measure.Length }

// The usual lifts: 4 in under a plate compactor (Interlocking Concrete Pavement Institute, Tech Spec 2: 4 to 6 in for small
// plate compactors, from memory), half of that under a hand tamper (common practice).
const (
	usualHandLift    = 2 * measure.Inch
	usualMachineLift = 4 * measure.Inch
)

// orUsual puts the usual lift where none is said.
func (l Lifts) orUsual() Lifts {
	if l.Hand <= 0 {
		l.Hand = usualHandLift
	}
	if l.Machine <= 0 {
		l.Machine = usualMachineLift
	}
	return l
}

// liftsOf is how many equal lifts a base is compacted in: so many that none is thicker than usual as the request says the
// base, nor than half as much again with what rounding the digging adds (6 in under a plate).
func liftsOf(said, laid, usual measure.Length) int {
	return measure.RoundUp(max(float64(said), float64(laid)/1.5) / float64(usual))
}

// baseLayer is base where it is laid.
type baseLayer struct {
	zone, part  string
	area        measure.Area
	said, depth measure.Length // as the request says it, and as laid
}

// work gathers the quantity of every operation, in the order in which a crew does them.
func (t *taker) work() {
	p := t.pencil
	one := t.oneWork
	var dugArea measure.Area
	volumes := map[DiggingPart]measure.Volume{}
	terms := map[DiggingPart][]string{}
	for _, d := range t.out.Diggings {
		if d.Area <= trifle {
			continue
		}
		dugArea += d.Area
		part := d.Part
		if part == PadPart || part == FieldPart {
			part = TrenchPart
		}
		volumes[part] += d.Volume
		terms[part] = append(terms[part], t.cutTerm(&d))
	}
	if dugArea > 0 {
		one(LocateUtilities, CountAmount, 1, "once a job", "1", "1")
	}
	t.setOutWork()
	if t.job.Ground.Cover != Bare {
		one(StripCover, AreaAmount, float64(dugArea), "ground that is dug", p.area(dugArea), p.area(dugArea))
	}
	one(DigTrench, VolumeAmount, float64(volumes[TrenchPart]), "in the ground", join(terms[TrenchPart], " + "), p.volume(volumes[TrenchPart]))
	one(DigBed, VolumeAmount, float64(volumes[BedPart]), "in the ground", join(terms[BedPart], " + "), p.volume(volumes[BedPart]))
	t.gradedWorkings()
	spoil := t.out.Spoil
	if one(HaulSpoil, VolumeAmount, float64(spoil.Loose), "loose spoil",
		p.volume(spoil.Bank)+" x "+number(float64(t.job.Ground.Soil.SwellFactor))+" (swell)", p.volume(spoil.Loose)) {
		t.lastWork().Carried = []Carried{{Volume: spoil.Loose, Mass: spoil.Mass}}
	}
	if t.formation > trifle {
		one(TrimFormation, AreaAmount, float64(t.formation), "dug ground that something is laid on", p.area(t.formation), p.area(t.formation))
	}
	t.haulIn()
	one(LayFabric, AreaAmount, float64(t.fabricArea), "ground under fabric", p.area(t.fabricArea), p.area(t.fabricArea))
	one(PlaceBase, VolumeAmount, float64(t.baseVolume), "base as compacted", p.volume(t.baseVolume), p.volume(t.baseVolume))
	t.compaction()
	one(ScreedSand, AreaAmount, float64(t.sandArea), "bed of sand", p.area(t.sandArea), p.area(t.sandArea))
	t.layingWork()
	filled := t.filledLength()
	one(FillJoints, LengthAmount, float64(filled), "joints to fill", p.length(filled), p.length(filled))
	one(WetAndCure, LengthAmount, float64(filled), "joints that were filled", p.length(filled), p.length(filled))
	stone := t.bought(DecorativeStone)
	one(PlaceStone, VolumeAmount, float64(stone), "stone as bought", p.volume(stone), p.volume(stone))
	mixed := t.bought(PlanterSoil)
	one(FillPlanters, VolumeAmount, float64(mixed), "mix as bought", p.volume(mixed), p.volume(mixed))
	one(CleanUp, CountAmount, 1, "once a job", "1", "1")
}

// oneWork adds a line of work; false where there is nothing to do.
func (t *taker) oneWork(op Operation, kind AmountKind, value float64, label, expression, result string) bool {
	if value <= 0 {
		return false
	}
	t.out.Work = append(t.out.Work, WorkLine{Operation: op, Quantity: Amount{Kind: kind, Value: value},
		Workings: []Working{{Label: label, Expression: expression, Result: result}}})
	return true
}

// lastWork is the line of work that was added last.
func (t *taker) lastWork() *WorkLine { return &t.out.Work[len(t.out.Work)-1] }

// setOutWork is the length of the lines that are set out.
func (t *taker) setOutWork() {
	p := t.pencil
	var lines measure.Length
	var sides []string
	for _, b := range t.out.Beds {
		lines += b.Perimeter
		sides = append(sides, b.ID+" "+p.length(b.Perimeter))
	}
	for _, s := range t.out.Slabs {
		round := 2 * (s.Grid.Length() + s.Grid.Width())
		lines += round
		sides = append(sides, s.ID+" "+p.length(round))
	}
	for k := range t.out.Paving {
		round := t.out.Paving[k].Area.Outline.Perimeter()
		lines += round
		sides = append(sides, t.out.Paving[k].ID+" "+p.length(round))
	}
	t.oneWork(SetOut, LengthAmount, float64(lines), "lines to set out", join(sides, " + "), p.length(lines))
}

// hasFloor tells whether something is laid on the floor of a bed.
func (t *taker) hasFloor(bed string) bool {
	for i := range t.job.Beds {
		if b := &t.job.Beds[i]; b.ID == bed {
			return b.Stone != nil || b.Fabric != nil
		}
	}
	return false
}

// bought is the loose volume that has to be bought for a purpose.
func (t *taker) bought(key LineKey) measure.Volume {
	var sum measure.Volume
	for i := range t.ledger.lines {
		if l := &t.ledger.lines[i]; l.Key == key {
			sum += measure.Volume(l.Required.Value)
		}
	}
	return sum
}

// haulIn is what is moved from the drop to where it is laid: every loose material and every unit, waste included. Cloth
// and pins are carried along by hand.
func (t *taker) haulIn() {
	p := t.pencil
	var carried []Carried
	var sum measure.Volume
	var list []string
	for i := range t.ledger.lines {
		l := &t.ledger.lines[i]
		one := Carried{Material: l.Material}
		switch l.Material.Kind {
		case LooseMaterial:
			one.Volume = measure.Volume(l.Required.Value)
			one.Mass = one.Volume.Weigh(l.Material.LooseDensity)
		case UnitMaterial:
			one.Volume = l.Material.Length.Times(l.Material.Width).AtDepth(l.Material.Thickness).Scale(measure.Factor(l.Required.Value))
			one.Mass = l.Material.Mass.Scale(measure.Factor(l.Required.Value))
		default:
			continue
		}
		sum += one.Volume
		at := 0
		for at < len(carried) && carried[at].Material != l.Material {
			at++
		}
		if at == len(carried) {
			carried = append(carried, Carried{Material: l.Material})
		}
		carried[at].Volume += one.Volume
		carried[at].Mass += one.Mass
	}
	if sum <= 0 {
		return
	}
	for i := range carried {
		list = append(list, carried[i].Material.Key+" "+p.volume(carried[i].Volume))
	}
	t.oneWork(HaulMaterials, VolumeAmount, float64(sum), "loose materials and units to bring in", join(list, " + "), p.volume(sum))
	t.lastWork().Carried = carried
}

// compaction is the ground of each base times the lifts that it is compacted in.
func (t *taker) compaction() {
	if len(t.bases) == 0 {
		return
	}
	lifts := t.job.Catalogue.Lifts.orUsual()
	quantity, workings := t.lifts(lifts.Hand)
	if quantity.Value <= 0 {
		return
	}
	line := WorkLine{Operation: CompactBase, Quantity: quantity, Workings: workings}
	if byMachine, steps := t.lifts(lifts.Machine); byMachine != quantity {
		line.Machine = &MachineWork{Quantity: byMachine, Workings: steps}
	}
	t.out.Work = append(t.out.Work, line)
}

// lifts is the area that is gone over with lifts of a thickness.
func (t *taker) lifts(thickest measure.Length) (Amount, []Working) {
	p := t.pencil
	var sum measure.Area
	workings := make([]Working, 0, len(t.bases))
	for _, b := range t.bases {
		n := liftsOf(b.said, b.depth, thickest)
		area := b.area.Scale(measure.Factor(n))
		sum += area
		word := " lifts"
		if n == 1 {
			word = " lift"
		}
		workings = append(workings, Working{Label: b.zone + ": base of " + p.depth(b.said) + " in the " + b.part + ", lifts of at most " + p.depth(thickest),
			Expression: p.area(b.area) + " x " + count(n) + word, Result: p.area(area)})
	}
	return Amount{Kind: AreaAmount, Value: float64(sum)}, workings
}

// laid is what is laid of one unit in one operation.
type laid struct {
	material *Material
	zones    []Zone
	terms    []string
	sum      float64
}

// layingWork is the laying of edging, slabs and paving, a line for each unit, and the cutting.
func (t *taker) layingWork() {
	var edging, slabs, fields []laid
	passes := 0
	for k := range t.out.Courses {
		c := &t.out.Courses[k]
		edging = t.lay(edging, c.Spec.Unit, c.Bed, CountAmount, float64(c.Course.Units.Total))
		passes += c.Course.SawPasses
	}
	for k := range t.out.Slabs {
		s := &t.out.Slabs[k]
		slabs = t.lay(slabs, s.Group.Unit, s.ID, CountAmount, float64(s.Grid.Units()))
	}
	for k := range t.out.Paving {
		out := &t.out.Paving[k]
		fields = t.lay(fields, out.Area.Unit, out.ID, AreaAmount, float64(out.Field.Area+out.EdgeArea))
		passes += out.SawPasses()
		if out.Border != nil {
			edging = t.lay(edging, out.Area.Border.Unit, out.ID, CountAmount, float64(out.Border.Units.Total))
		}
	}
	t.layingLines(LayEdging, "units to lay", edging)
	t.layingLines(LaySlabs, "slabs to lay", slabs)
	t.layingLines(LayPaving, "fields to lay, joints included", fields)
	t.oneWork(CutUnits, CountAmount, float64(passes), "saw passes", count(passes), count(passes))
}

// lay adds what is laid in a zone to what is laid of the same unit.
func (t *taker) lay(list []laid, m *Material, zone string, kind AmountKind, value float64) []laid {
	if value <= 0 {
		return list
	}
	at := 0
	for at < len(list) && list[at].material != m {
		at++
	}
	if at == len(list) {
		list = append(list, laid{material: m})
	}
	share := Amount{Kind: kind, Value: value}
	l := &list[at]
	l.sum += value
	l.zones = append(l.zones, Zone{ID: zone, Share: share})
	l.terms = append(l.terms, zone+" "+t.pencil.amount(share))
	return list
}

func (t *taker) layingLines(op Operation, label string, list []laid) {
	for i := range list {
		l := &list[i]
		sum := Amount{Kind: l.zones[0].Share.Kind, Value: l.sum}
		t.oneWork(op, sum.Kind, sum.Value, label, join(l.terms, " + "), t.pencil.amount(sum))
		line := t.lastWork()
		line.Material, line.Zones = l.material, l.zones
	}
}

// filledLength is the length of the joints that are filled, with haunches.
func (t *taker) filledLength() measure.Length {
	var sum measure.Length
	for k := range t.out.Courses {
		c := &t.out.Courses[k]
		if c.Spec.Fill == nil {
			continue
		}
		sum += c.Course.JointLength
		if c.Spec.Haunch > 0 {
			sum += c.Course.EdgedLength
		}
		if c.Spec.FillWallGap && c.Spec.Laying.Clearance > 0 {
			sum += c.Course.EdgedLength
		}
	}
	for k := range t.out.Slabs {
		if t.out.Slabs[k].Group.Fill != nil {
			sum += t.out.Slabs[k].Grid.JointLength()
		}
	}
	for k := range t.out.Paving {
		if out := &t.out.Paving[k]; out.Area.Fill != nil && out.JointVolume > 0 {
			sum += out.JointLength()
		}
	}
	return sum
}
