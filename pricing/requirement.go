package pricing

import (
	"math"
	"strconv"
	"strings"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
)

// Limits of bare requirements; the contract states the same.
const (
	MostRequirements = 100
	mostLoose        = measure.Volume(10000) // m3
	mostWaste        = 200                   // per cent
)

const (
	codeNoConversion    = "no_conversion"
	codeUnknownMaterial = "unknown_material"
)

// Requirement is a quantity of a material that a request asks for without a job.
type Requirement struct {
	Pointer   string
	Material  *estimate.Material
	Measured  estimate.Amount // as asked for: a loose volume, or a count of units, rolls or pieces
	Compacted bool            // Measured is the volume as laid and compacted
	Waste     estimate.Waste
	Required  estimate.Amount // Measured x compaction x waste
	Workings  []estimate.Working
}

// requirementReader reads requirements. Without a list it only looks for the members.
type requirementReader struct {
	list   *List
	pencil pencil
}

// each reads an array of requirements.
func (q requirementReader) each(r document.Reader, member string) []Requirement {
	var out []Requirement
	r.Each(member, document.Required, 1, MostRequirements, func(_ int, v document.Value) {
		if item, ok := v.Object(); ok {
			if one, ok := q.one(item); ok {
				out = append(out, one)
			}
			item.Close()
		}
	})
	return out
}

func (q requirementReader) one(r document.Reader) (Requirement, bool) {
	out := Requirement{Pointer: r.Pointer(), Waste: estimate.Waste{Factor: 1, Basis: estimate.Requested}}
	key, named := r.Key("material", document.Required)
	quantity, given := r.Value("quantity", document.Required)
	percent, _ := r.Number("waste_percent", document.Optional, 0, mostWaste)
	out.Compacted, _ = r.Bool("compacted", document.Optional)
	if !named || q.list == nil {
		return out, false
	}
	m, ok := q.list.Catalogue.Material(key)
	if !ok {
		r.Fault("material", codeUnknownMaterial, q.unknown(key), q.example())
		return out, false
	}
	out.Material = m
	if !given {
		return out, false
	}
	a, ok := q.amount(quantity, m)
	if !ok {
		return out, false
	}
	if out.Compacted && (a.kind != inVolume || m.Kind != estimate.LooseMaterial) {
		r.Fault("compacted", CodeConflict, "is only for a volume of a loose material: a mass and a count stay what they are when they are compacted", "false")
		return out, false
	}
	out.Measured = estimate.Amount{Kind: estimate.CountAmount, Value: a.value}
	if m.Kind == estimate.LooseMaterial {
		out.Measured.Kind = estimate.VolumeAmount
	}
	if a.working != nil {
		out.Workings = append(out.Workings, *a.working)
	}
	q.require(&out, percent)
	return out, true
}

// require turns what is asked for into what has to be bought.
func (q requirementReader) require(r *Requirement, percent measure.Factor) {
	compaction := 1.0
	expression := q.pencil.amount(r.Measured)
	if r.Compacted {
		compaction = float64(r.Material.CompactionFactor)
		expression += " x " + measure.FormatNumber(compaction, 3) + " (compaction)"
	}
	if percent != 0 {
		r.Waste.Factor = 1 + percent/100
		expression += " x " + measure.FormatNumber(float64(r.Waste.Factor), 3) + " (waste)"
	}
	r.Required = estimate.Amount{Kind: r.Measured.Kind, Value: r.Measured.Value * compaction * float64(r.Waste.Factor)}
	if !r.Compacted && percent == 0 {
		return
	}
	label := "to buy"
	if r.Material.Kind == estimate.LooseMaterial {
		label = "loose, to buy"
	}
	r.Workings = append(r.Workings, estimate.Working{Label: label, Expression: expression, Result: q.pencil.amount(r.Required)})
}

func (q requirementReader) unknown(key string) string {
	known := q.list.Catalogue.MaterialKeys()
	detail := "is no material of the price list"
	if near := document.Nearest(key, known); len(near) > 0 {
		return detail + ": did you mean " + strings.Join(near, " or ") + "?"
	}
	return detail + "; there are " + suggest(known)
}

func (q requirementReader) example() string {
	if len(q.list.Catalogue.Materials) == 0 {
		return ""
	}
	return strconv.Quote(q.list.Catalogue.Materials[0].Key)
}

// askedAs tells how a quantity was given.
type askedAs uint8

const (
	counted askedAs = iota
	inVolume
	inMass
	inArea
	inLength
	unread
)

// asked is a quantity in the base unit of its material: m3 of a loose one, otherwise a count.
type asked struct {
	value   float64
	kind    askedAs
	working *estimate.Working // of the conversion, if there was one
}

// amount reads a quantity of a material.
func (q requirementReader) amount(v document.Value, m *estimate.Material) (asked, bool) {
	if m.Kind == estimate.LooseMaterial {
		return q.looseAmount(v, m)
	}
	if v.Kind() != document.String {
		n, ok := v.Int(1, MaxCount)
		return asked{value: float64(n)}, ok
	}
	return q.counted(v, m)
}

// sortOf tells what kind of quantity a text is, by its unit.
func sortOf(text string) askedAs {
	if _, err := measure.ParseVolume(text); err == nil {
		return inVolume
	}
	if _, err := measure.ParseMass(text); err == nil {
		return inMass
	}
	if _, err := measure.ParseArea(text); err == nil {
		return inArea
	}
	if _, err := measure.ParseLength(text); err == nil {
		return inLength
	}
	return unread
}

func (q requirementReader) looseAmount(v document.Value, m *estimate.Material) (asked, bool) {
	const example = `"4 yd3"`
	if v.Kind() == document.Number {
		v.Fault(document.CodeUnitMissing, "is a number without a unit: a loose material is bought by a volume or a mass with its unit, such as 4 yd3", example)
		return asked{}, false
	}
	if v.Kind() != document.String {
		v.Fault(document.CodeWrongType, "must be a volume or a mass with its unit, such as 4 yd3", example)
		return asked{}, false
	}
	p := q.pencil
	var volume measure.Volume
	a := asked{}
	switch a.kind = sortOf(v.Node().Text); a.kind {
	case inMass:
		mass, ok := v.Mass(document.Positive)
		if !ok {
			return asked{}, false
		}
		if m.LooseDensity <= 0 {
			v.Fault(codeNoConversion, "is a mass, and the price list gives no density of this material: give a volume", example)
			return asked{}, false
		}
		volume = mass.Fill(m.LooseDensity)
		a.working = &estimate.Working{Label: "loose volume", Expression: p.mass(mass) + " / " + p.density(m.LooseDensity), Result: p.volume(volume)}
	case inArea, inLength:
		v.Fault(codeNoConversion, "needs a depth to become a volume: give the volume or the mass of a loose material, such as 4 yd3", example)
		return asked{}, false
	default: // a text that is none of these is told so as a volume
		var ok bool
		if volume, ok = v.Volume(document.Positive); !ok {
			return asked{}, false
		}
	}
	if volume > mostLoose {
		v.Fault(document.CodeOutOfRange, "must be at most 10,000 m3 (13,079 yd3): check the unit", example)
		return asked{}, false
	}
	a.value = float64(volume)
	return a, true
}

// counted turns an area, a length or a mass into a count of units, rolls or pieces, which need not be whole.
func (q requirementReader) counted(v document.Value, m *estimate.Material) (asked, bool) {
	const example = "30"
	p := q.pencil
	a := asked{kind: sortOf(v.Node().Text)}
	var expression string
	switch {
	case a.kind == unread && strings.HasPrefix(strings.TrimLeft(v.Node().Text, " "), "-"):
		v.Fault(document.CodeNotPositive, "must be more than zero: a whole number"+also(m), example)
		return asked{}, false
	case a.kind == unread:
		v.Fault(document.CodeBadQuantity, "must be a whole number"+also(m), example)
		return asked{}, false
	case a.kind == inArea && m.Kind != estimate.PieceMaterial:
		area, ok := v.Area(document.Positive)
		if !ok {
			return asked{}, false
		}
		face := m.Length.Times(m.Width)
		if m.Kind == estimate.FabricMaterial {
			face = m.RollWidth.Times(m.RollLength)
		}
		a.value = area.In(face)
		expression = p.quantity(p.system.Area(area)) + " / " + p.quantity(p.system.Area(face))
	case a.kind == inLength && m.Kind != estimate.PieceMaterial:
		length, ok := v.Length(document.Positive)
		if !ok {
			return asked{}, false
		}
		long := m.Length
		if m.Kind == estimate.FabricMaterial {
			long = m.RollLength
		}
		a.value = length.In(long)
		expression = p.quantity(p.system.Length(length)) + " / " + p.quantity(p.system.Length(long))
	case a.kind == inMass:
		mass, ok := v.Mass(document.Positive)
		if !ok {
			return asked{}, false
		}
		if m.Mass <= 0 {
			v.Fault(codeNoConversion, "is a mass, and the price list does not say what one of this material weighs: give a whole number"+also(m), example)
			return asked{}, false
		}
		a.value = mass.In(m.Mass)
		expression = p.mass(mass) + " / " + p.mass(m.Mass)
	default:
		v.Fault(CodeWrongKind, "is a quantity that this material is not bought by: give a whole number"+also(m), example)
		return asked{}, false
	}
	if a.value > MaxCount || a.value < 1e-6 || math.IsNaN(a.value) {
		v.Fault(document.CodeOutOfRange, "comes to more or less than can be bought: from a part of one to 1,000,000; check the unit", example)
		return asked{}, false
	}
	a.working = &estimate.Working{Label: "count", Expression: expression, Result: measure.FormatNumber(a.value, 3)}
	return a, true
}

// also names what a counted material can be asked for by beside a count.
func also(m *estimate.Material) string {
	switch m.Kind {
	case estimate.UnitMaterial:
		return ", or an area, a length or a mass with its unit, such as 100 ft2"
	case estimate.FabricMaterial:
		return ", or an area, a length or a mass with its unit, such as 400 ft2"
	}
	return ", or a mass with its unit"
}
