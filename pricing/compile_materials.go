package pricing

import (
	"fmt"
	"strings"

	"github.com/govalues/decimal"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
)

// materialKind is 0 for a word that names none.
func materialKind(word string) estimate.MaterialKind {
	switch word {
	case "unit":
		return estimate.UnitMaterial
	case "loose":
		return estimate.LooseMaterial
	case "fabric":
		return estimate.FabricMaterial
	case "piece":
		return estimate.PieceMaterial
	}
	return 0
}

var one = decimal.MustNew(1, 0)

func (c *compiler) compileMaterials() []estimate.Material {
	out := make([]estimate.Material, 0, len(c.doc.Materials))
	for i := range c.doc.Materials {
		d := &c.doc.Materials[i]
		at := fmt.Sprintf("/materials/%d", i)
		c.uniqueKey(at+"/key", d.Key, c.materials, i, "materials", "edger-8x4")
		c.name(at+"/name", d.Name, "Cobble edger 8 x 4 x 2 in")
		c.prose(at+"/source", d.Source, mostSource, "Weighed in our own yard")
		m := estimate.Material{Key: d.Key, Name: d.Name, Kind: materialKind(d.Kind), CompactionFactor: 1, Source: d.Source}
		c.strangers(at, d, m.Kind)
		switch m.Kind {
		case estimate.UnitMaterial:
			c.unit(at, d, &m)
		case estimate.LooseMaterial:
			c.loose(at, d, &m)
		case estimate.FabricMaterial:
			c.fabric(at, d, &m)
		case estimate.PieceMaterial:
			m.Mass = c.optionalMass(at, d, "0.05 lb")
		default:
			c.fault(at+"/kind", document.CodeUnknownValue, "must be one of unit, loose, fabric, piece", "unit")
		}
		out = append(out, m)
	}
	c.pins()
	return out
}

func (c *compiler) optionalMass(at string, d *MaterialDocument, example string) measure.Mass {
	if d.Mass == "" {
		return 0
	}
	return c.mass(at+"/mass", d.Mass, example)
}

func (c *compiler) optionalLength(at, text, example string) measure.Length {
	if text == "" {
		return 0
	}
	return c.length(at, text, fromZero, example)
}

func (c *compiler) unit(at string, d *MaterialDocument, m *estimate.Material) {
	m.Length = c.length(at+"/length", d.Length, aboveZero, "8 in")
	m.Width = c.length(at+"/width", d.Width, aboveZero, "4 in")
	m.Thickness = c.length(at+"/thickness", d.Thickness, aboveZero, "2 in")
	if m.Length > 0 && m.Width > m.Length {
		c.fault(at+"/width", document.CodeOutOfRange, "must not be longer than the length: the long side is the length", "4 in")
	}
	m.JointMax = c.optionalLength(at+"/joint_max", d.JointMax, "3/16 in")
	m.Mass = c.optionalMass(at, d, "5 lb")
}

func (c *compiler) loose(at string, d *MaterialDocument, m *estimate.Material) {
	m.LooseDensity = c.density(at+"/loose_density", d.LooseDensity, "100 lb/ft3")
	if d.CompactionFactor == nil {
		return
	}
	here := at + "/compaction_factor"
	switch {
	case !c.number(here, *d.CompactionFactor, "1.25"):
	case d.CompactionFactor.Less(one):
		c.numberFault(here, document.CodeOutOfRange,
			"must be at least 1: it is the loose volume bought for each compacted volume laid", "1.25")
	default:
		m.CompactionFactor = factor(*d.CompactionFactor)
	}
}

func (c *compiler) fabric(at string, d *MaterialDocument, m *estimate.Material) {
	m.RollWidth = c.length(at+"/roll_width", d.RollWidth, aboveZero, "4 ft")
	m.RollLength = c.length(at+"/roll_length", d.RollLength, aboveZero, "50 ft")
	m.Lap = c.optionalLength(at+"/lap", d.Lap, "6 in")
	m.Upturn = c.optionalLength(at+"/upturn", d.Upturn, "2 in")
	if shorter := min(m.RollWidth, m.RollLength); shorter > 0 && m.Lap >= shorter {
		c.fault(at+"/lap", document.CodeOutOfRange, "must be shorter than the roll is wide and long: nothing would be covered", "6 in")
	}
	m.Mass = c.optionalMass(at, d, "9 lb")
	m.Pin = d.Pin
	switch {
	case d.Pin == "" && d.PinSpacing != "":
		c.fault(at+"/pin_spacing", CodeConflict, "stands without pin: name the pin or leave the spacing out", "3 ft")
	case d.Pin != "":
		m.PinSpacing = c.length(at+"/pin_spacing", d.PinSpacing, aboveZero, "3 ft")
	}
}

// pins checks that the pin of every fabric is a piece of the list, which may come after it.
func (c *compiler) pins() {
	example := "pin-6"
	for _, m := range c.doc.Materials {
		if m.Kind == "piece" {
			example = m.Key
			break
		}
	}
	for i, d := range c.doc.Materials {
		if d.Pin == "" || materialKind(d.Kind) != estimate.FabricMaterial {
			continue
		}
		at := fmt.Sprintf("/materials/%d/pin", i)
		j, ok := c.materials[d.Pin]
		switch {
		case !ok:
			c.fault(at, CodeUnknownKey, "names no material of this list", example)
		case c.doc.Materials[j].Kind != "piece":
			c.fault(at, CodeWrongKind, "must name a material of kind piece", example)
		}
	}
}

// strangers notes the members that a material of the kind does not have.
func (c *compiler) strangers(at string, d *MaterialDocument, kind estimate.MaterialKind) {
	const unit, loose, fabric, piece = 1 << estimate.UnitMaterial, 1 << estimate.LooseMaterial,
		1 << estimate.FabricMaterial, 1 << estimate.PieceMaterial
	own := "" // a member that it could have
	switch kind {
	case estimate.UnitMaterial:
		own = "thickness"
	case estimate.LooseMaterial:
		own = "compaction_factor"
	case estimate.FabricMaterial:
		own = "lap"
	case estimate.PieceMaterial:
		own = "mass"
	default: // a fault already
		return
	}
	for _, m := range []struct {
		name  string
		there bool
		of    int
	}{
		{"length", d.Length != "", unit},
		{"width", d.Width != "", unit},
		{"thickness", d.Thickness != "", unit},
		{"joint_max", d.JointMax != "", unit},
		{"mass", d.Mass != "", unit | fabric | piece},
		{"loose_density", d.LooseDensity != "", loose},
		{"compaction_factor", d.CompactionFactor != nil, loose},
		{"roll_width", d.RollWidth != "", fabric},
		{"roll_length", d.RollLength != "", fabric},
		{"lap", d.Lap != "", fabric},
		{"upturn", d.Upturn != "", fabric},
		{"pin", d.Pin != "", fabric},
		{"pin_spacing", d.PinSpacing != "", fabric},
	} {
		if m.there && m.of>>kind&1 == 0 {
			c.fault(at+"/"+m.name, document.CodeUnknownMember, "is no member of a material of kind "+d.Kind, own)
		}
	}
}

func (c *compiler) compileSoils() []estimate.Soil {
	out := make([]estimate.Soil, 0, len(c.doc.Soils))
	for i, d := range c.doc.Soils {
		at := fmt.Sprintf("/soils/%d", i)
		c.uniqueKey(at+"/key", d.Key, c.soils, i, "soils", "loam")
		c.prose(at+"/source", d.Source, mostSource, "Measured on our own sites")
		switch {
		case !c.number(at+"/swell_factor", d.SwellFactor, "1.25"):
		case !one.Less(d.SwellFactor):
			c.numberFault(at+"/swell_factor", document.CodeOutOfRange,
				"must be above 1: it is the loose volume of each volume in the ground, and soil dug up takes more room", "1.25")
		}
		out = append(out, estimate.Soil{
			Key:         d.Key,
			SwellFactor: factor(d.SwellFactor),
			BankDensity: c.density(at+"/bank_density", d.BankDensity, "95 lb/ft3"),
			Source:      d.Source,
		})
	}
	return out
}

func (c *compiler) compileSuppliers() {
	for i := range c.doc.Suppliers {
		d := &c.doc.Suppliers[i]
		at := fmt.Sprintf("/suppliers/%d", i)
		c.uniqueKey(at+"/key", d.Key, c.suppliers, i, "suppliers", "north-yard")
		c.name(at+"/name", d.Name, "North yard")
		s := Supplier{Key: d.Key, Name: d.Name}
		if d.MinimumOrder != nil {
			s.MinimumOrder = c.amount(at+"/minimum_order", *d.MinimumOrder)
		}
		if d.Delivery == nil && d.PickUp == nil {
			c.numberFault(at, document.CodeMissing, "must have delivery or pick_up: its goods have no way to the site",
				`{"pick_up": {"trip_cost": "`+c.currency.Format(3800)+`"}}`)
		}
		if v := d.Delivery; v != nil {
			s.Delivery = c.delivery(at+"/delivery", v)
		}
		if v := d.PickUp; v != nil {
			s.PickUp = c.pickUp(at+"/pick_up", v)
		}
		c.list.Suppliers = append(c.list.Suppliers, s)
	}
	c.list.suppliers = c.suppliers
}

func (c *compiler) delivery(at string, d *DeliveryDocument) *Delivery {
	out := &Delivery{Fee: c.amount(at+"/fee", d.Fee)}
	out.Payload, out.PayloadVolume = c.payload(at, d.Payload, d.PayloadVolume)
	if d.FreeFrom != nil {
		free := c.amount(at+"/free_from", *d.FreeFrom)
		out.FreeFrom = &free
	}
	return out
}

func (c *compiler) pickUp(at string, d *PickUpDocument) *PickUp {
	out := &PickUp{TripCost: c.amount(at+"/trip_cost", d.TripCost)}
	out.Payload, out.PayloadVolume = c.payload(at, d.Payload, d.PayloadVolume)
	if d.CrewHours != nil && c.number(at+"/crew_hours", *d.CrewHours, "0.75") {
		out.CrewHours = measure.Hours(factor(*d.CrewHours))
	}
	return out
}

func (c *compiler) payload(at, mass, volume string) (m measure.Mass, v measure.Volume) {
	if mass != "" {
		m = c.mass(at+"/payload", mass, "10 ton")
	}
	if volume != "" {
		v = c.volume(at+"/payload_volume", volume, "12 yd3")
	}
	return m, v
}

// suggest lists at most eight words.
func suggest(words []string) string {
	if len(words) > 8 {
		return strings.Join(words[:8], ", ") + " and others"
	}
	return strings.Join(words, ", ")
}
