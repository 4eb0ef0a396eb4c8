package pricing

import (
	"slices"
	"strconv"
	"strings"

	"bedline/estimate"
	"bedline/estimate/document"
)

// allowanceLine is a line that has an allowance, with the kind of material that it is of and the words of the contract.
type allowanceLine struct {
	key  estimate.LineKey
	kind estimate.MaterialKind
}

// allowanceLines are all of them, in the order of the contract.
func allowanceLines() []allowanceLine {
	return []allowanceLine{
		{estimate.Edging, estimate.UnitMaterial}, {estimate.Base, estimate.LooseMaterial}, {estimate.BeddingSand, estimate.LooseMaterial},
		{estimate.JointFill, estimate.LooseMaterial}, {estimate.Fabric, estimate.FabricMaterial}, {estimate.DecorativeStone, estimate.LooseMaterial},
		{estimate.Slabs, estimate.UnitMaterial}, {estimate.Paving, estimate.UnitMaterial}, {estimate.PlanterSoil, estimate.LooseMaterial},
		{estimate.Pins, estimate.PieceMaterial},
	}
}

// used reads what was measured and what was really used of a material.
func (b *pastReader) used(r document.Reader, done *doneJob) {
	var names []string
	for _, l := range allowanceLines() {
		names = append(names, string(l.key))
	}
	name, named := r.Choice("line", document.Required, names...)
	presence := document.Required
	if done != nil {
		presence = document.Optional
	}
	key, keyed := r.Key("material", presence)
	measured, given := r.Value("measured", presence)
	used, told := r.Value("used", document.Required)
	list := b.head.list
	if !named || !told || list == nil {
		return
	}
	line := allowanceLines()[slices.Index(names, name)]
	if !keyed || !given {
		if (r.Has("material") && !keyed) || (r.Has("measured") && !given) || !done.ready() {
			return
		}
		b.usedInJob(r, done, line, key, measured, used)
		return
	}
	m, ok := b.material(r, key)
	if !ok {
		return
	}
	if m.Kind != line.kind {
		r.Fault("material", CodeWrongKind, "is no material of the kind that this line is of", "")
		return
	}
	before, okBefore := b.quantity(measured, m, true)
	after, okAfter := b.quantity(used, m, false)
	if okBefore && okAfter {
		b.foundUse(r, line, m, before, after)
	}
}

func (b *pastReader) foundUse(r document.Reader, line allowanceLine, m *estimate.Material, measured, used estimate.Amount) {
	b.found(r, "used", observation{target: target{kind: CalibratedAllowance, line: line.key}, material: m, kind: measured.Kind, estimated: measured.Value, actual: used.Value})
}

func (b *pastReader) material(r document.Reader, key string) (*estimate.Material, bool) {
	m, ok := b.head.list.Catalogue.Material(key)
	if !ok {
		q := requirementReader{list: b.head.list}
		r.Fault("material", codeUnknownMaterial, q.unknown(key), q.example())
	}
	return m, ok
}

// quantity reads an amount of a material: of a loose one a volume, which may be told by its mass where it is loose; of
// fabric in area.
func (b *pastReader) quantity(v document.Value, m *estimate.Material, laid bool) (estimate.Amount, bool) {
	q := requirementReader{list: b.head.list, pencil: b.head.pencil()}
	if m.Kind == estimate.LooseMaterial && laid && v.Kind() == document.String && sortOf(v.Node().Text) == inMass {
		v.Fault(codeNoConversion, "is a mass: what was measured is a volume as laid, such as 1.9 yd3", `"1.9 yd3"`)
		return estimate.Amount{}, false
	}
	a, ok := q.amount(v, m)
	switch m.Kind {
	case estimate.LooseMaterial:
		return inRange(v, estimate.Amount{Kind: estimate.VolumeAmount, Value: a.value}, ok)
	case estimate.FabricMaterial:
		roll := float64(m.RollWidth.Times(m.RollLength))
		return estimate.Amount{Kind: estimate.AreaAmount, Value: a.value * roll}, ok
	}
	return estimate.Amount{Kind: estimate.CountAmount, Value: a.value}, ok
}

// compaction reads what a loose volume was compacted to.
func (b *pastReader) compaction(r document.Reader) {
	key, named := r.Key("material", document.Required)
	loose, given := r.Value("loose", document.Required)
	compacted, told := r.Value("compacted", document.Required)
	if !named || b.head.list == nil {
		return
	}
	m, ok := b.material(r, key)
	if !ok {
		return
	}
	if m.Kind != estimate.LooseMaterial {
		var known []string
		for i := range b.head.list.Catalogue.Materials {
			if m := &b.head.list.Catalogue.Materials[i]; m.Kind == estimate.LooseMaterial {
				known = append(known, m.Key)
			}
		}
		example := ""
		if len(known) > 0 {
			example = strconv.Quote(known[0])
		}
		r.Fault("material", CodeWrongKind, strings.TrimSuffix("is no loose material: only these are compacted; there are "+suggest(known), "; there are "), example)
		return
	}
	if !given || !told {
		return
	}
	before, okBefore := b.quantity(loose, m, false)
	after, okAfter := b.quantity(compacted, m, true)
	if okBefore && okAfter {
		b.found(r, "loose", observation{target: target{kind: CalibratedCompaction, material: m.Key}, material: m, kind: estimate.VolumeAmount, estimated: after.Value, actual: before.Value})
	}
}
