package pricing

import "github.com/govalues/decimal"

// members is told of every member of a document in the order of the JSON. One account of the members serves reading,
// writing and rounding to the canonical form, so that these cannot disagree.
type members interface {
	text(name string, n need, value *string)
	texts(name string, n need, values *[]string)
	number(name string, value *decimal.Decimal)          // a JSON number
	optionalNumber(name string, value **decimal.Decimal) // nil when absent
	price(name string, value *decimal.Decimal)           // a decimal string, in the currency of the list
	optionalPrice(name string, value **decimal.Decimal)  // nil when absent
	content(name string, n need, value *Content)         // a quantity or a count
	object(name string, n need, value objectMember)
	list(name string, n need, value listMember)
}

// need tells whether a member has to be there.
type need uint8

const (
	required need = iota // refused without it
	usual                // may be left out, always written
	optional             // may be left out, written only if it says something
)

// described is a part of a document that can list its members.
type described interface{ members(members) }

// objectMember is a member that is an object: there already, or made when it is read.
type objectMember struct {
	there bool
	make  func() described
	own   func() // replaces the object by a copy
}

// listMember is a member that is a list of objects.
type listMember struct {
	most   int // items that are read at most
	length int
	item   func(i int) described // grows the list to hold item i
	own    func(need)            // replaces the list by a copy; an empty one by nil if it is optional, else by an empty one
}

func object[T any, P interface {
	*T
	described
}](m members, name string, n need, value **T) {
	m.object(name, n, objectMember{there: *value != nil, make: func() described {
		if *value == nil {
			*value = new(T)
		}
		return P(*value)
	}, own: func() {
		if *value != nil {
			own := **value
			*value = &own
		}
	}})
}

func part(m members, name string, n need, value described) {
	m.object(name, n, objectMember{there: true, make: func() described { return value }, own: func() {}})
}

func list[T any, P interface {
	*T
	described
}](m members, name string, n need, most int, values *[]T) {
	m.list(name, n, listMember{
		most:   most,
		length: len(*values),
		item: func(i int) described {
			for len(*values) <= i {
				*values = append(*values, *new(T))
			}
			return P(&(*values)[i])
		},
		own: func(n need) { *values = ownList(n, *values) },
	})
}

func ownList[T any](n need, values []T) []T {
	if len(values) == 0 && n == optional {
		return nil
	}
	return append(make([]T, 0, len(values)), values...)
}

func (d *Document) members(m members) {
	m.text("name", required, &d.Name)
	m.text("currency", required, &d.Currency)
	m.text("system", required, &d.System)
	m.text("effective", required, &d.Effective)
	m.text("note", optional, &d.Note)
	list(m, "materials", required, 2000, &d.Materials)
	list(m, "soils", required, 200, &d.Soils)
	list(m, "suppliers", required, 200, &d.Suppliers)
	list(m, "offers", required, 5000, &d.Offers)
	part(m, "labour", required, &d.Labour)
	list(m, "equipment", optional, 200, &d.Equipment)
	object(m, "disposal", optional, &d.Disposal)
	list(m, "hauling", optional, 3, &d.Hauling)
	list(m, "holds", optional, 3, &d.Holds)
	part(m, "allowances", usual, &d.Allowances)
	part(m, "settings", usual, &d.Settings)
	part(m, "commercial", usual, &d.Commercial)
	list(m, "taxes", usual, 20, &d.Taxes)
}

func (d *MaterialDocument) members(m members) {
	m.text("key", required, &d.Key)
	m.text("name", required, &d.Name)
	m.text("kind", required, &d.Kind)
	m.text("length", optional, &d.Length)
	m.text("width", optional, &d.Width)
	m.text("thickness", optional, &d.Thickness)
	m.text("joint_max", optional, &d.JointMax)
	m.text("mass", optional, &d.Mass)
	m.text("loose_density", optional, &d.LooseDensity)
	m.optionalNumber("compaction_factor", &d.CompactionFactor)
	m.text("roll_width", optional, &d.RollWidth)
	m.text("roll_length", optional, &d.RollLength)
	m.text("lap", optional, &d.Lap)
	m.text("upturn", optional, &d.Upturn)
	m.text("pin", optional, &d.Pin)
	m.text("pin_spacing", optional, &d.PinSpacing)
	object(m, "surplus", optional, &d.Surplus)
	m.text("source", optional, &d.Source)
}

func (d *SurplusDocument) members(m members) {
	m.content("per", required, &d.Per)
	m.optionalPrice("resale", &d.Resale)
	m.optionalPrice("disposal", &d.Disposal)
}

func (d *SoilDocument) members(m members) {
	m.text("key", required, &d.Key)
	m.number("swell_factor", &d.SwellFactor)
	m.text("bank_density", required, &d.BankDensity)
	m.text("source", optional, &d.Source)
}

func (d *SupplierDocument) members(m members) {
	m.text("key", required, &d.Key)
	m.text("name", required, &d.Name)
	object(m, "delivery", optional, &d.Delivery)
	m.optionalPrice("minimum_order", &d.MinimumOrder)
	object(m, "pick_up", optional, &d.PickUp)
}

func (d *DeliveryDocument) members(m members) {
	m.price("fee", &d.Fee)
	m.text("payload", optional, &d.Payload)
	m.text("payload_volume", optional, &d.PayloadVolume)
	m.optionalPrice("free_from", &d.FreeFrom)
}

func (d *PickUpDocument) members(m members) {
	m.price("trip_cost", &d.TripCost)
	m.optionalNumber("crew_hours", &d.CrewHours)
	m.text("payload", optional, &d.Payload)
	m.text("payload_volume", optional, &d.PayloadVolume)
}

func (d *OfferDocument) members(m members) {
	m.text("key", required, &d.Key)
	m.text("supplier", required, &d.Supplier)
	m.text("material", required, &d.Material)
	m.text("form", required, &d.Form)
	m.content("content", required, &d.Content)
	m.price("price", &d.Price)
	m.content("minimum", optional, &d.Minimum)
	m.content("increment", optional, &d.Increment)
	list(m, "breaks", optional, 50, &d.Breaks)
	m.optionalNumber("lead_days", &d.LeadDays)
	m.optionalNumber("handling_hours", &d.HandlingHours)
	m.text("load_with", optional, &d.LoadWith)
}

func (d *BreakDocument) members(m members) {
	m.content("from", required, &d.From)
	m.price("price", &d.Price)
}

func (d *LabourDocument) members(m members) {
	m.price("hourly_cost", &d.HourlyCost)
	m.optionalNumber("crew_size", &d.CrewSize)
	m.optionalNumber("hours_per_day", &d.HoursPerDay)
	list(m, "rates", required, 500, &d.Rates)
}

func (d *RateDocument) members(m members) {
	m.text("operation", required, &d.Operation)
	m.text("soil", optional, &d.Soil)
	m.text("cover", optional, &d.Cover)
	m.text("tool", optional, &d.Tool)
	m.text("access_from", optional, &d.AccessFrom)
	m.text("unit_mass_to", optional, &d.UnitMassTo)
	m.text("haul_to", optional, &d.HaulTo)
	m.content("per", required, &d.Per)
	m.number("hours", &d.Hours)
	m.text("source", optional, &d.Source)
}

func (d *EquipmentDocument) members(m members) {
	m.text("key", required, &d.Key)
	m.text("name", required, &d.Name)
	m.price("half_day", &d.HalfDay)
	m.price("day", &d.Day)
	m.optionalPrice("transport", &d.Transport)
	m.texts("operations", optional, &d.Operations)
}

func (d *HoldDocument) members(m members) {
	m.text("key", required, &d.Key)
	m.optionalNumber("working_days", &d.WorkingDays)
	m.optionalNumber("hours", &d.Hours)
	m.text("source", optional, &d.Source)
}

func (d *DisposalDocument) members(m members) {
	m.text("per", required, &d.Per)
	m.price("price", &d.Price)
}

func (d *Allowances) members(m members) {
	m.optionalNumber("edging", &d.Edging)
	m.optionalNumber("base", &d.Base)
	m.optionalNumber("bedding_sand", &d.BeddingSand)
	m.optionalNumber("joint_fill", &d.JointFill)
	m.optionalNumber("fabric", &d.Fabric)
	m.optionalNumber("decorative_stone", &d.DecorativeStone)
	m.optionalNumber("slabs", &d.Slabs)
	m.optionalNumber("paving", &d.Paving)
	m.optionalNumber("planter_soil", &d.PlanterSoil)
	m.optionalNumber("pins", &d.Pins)
}

func (d *SettingsDocument) members(m members) {
	m.text("dig_to", optional, &d.DigTo)
	m.optionalNumber("least_piece", &d.LeastPiece)
	m.text("hand_lift", optional, &d.HandLift)
	m.text("machine_lift", optional, &d.MachineLift)
}

func (d *CommercialDocument) members(m members) {
	m.optionalNumber("contingency_percent", &d.ContingencyPercent)
	m.optionalNumber("overhead_percent", &d.OverheadPercent)
	m.optionalNumber("markup_percent", &d.MarkupPercent)
	m.optionalNumber("margin_percent", &d.MarginPercent)
	m.optionalNumber("discount_percent", &d.DiscountPercent)
	m.optionalPrice("round_price_to", &d.RoundPriceTo)
	m.text("rounding", optional, &d.Rounding)
	m.optionalNumber("deposit_percent", &d.DepositPercent)
	list(m, "stages", optional, 12, &d.Stages)
	m.optionalNumber("valid_days", &d.ValidDays)
}

func (d *StageDocument) members(m members) {
	m.text("name", required, &d.Name)
	m.number("percent", &d.Percent)
}

func (d *TaxDocument) members(m members) {
	m.text("name", required, &d.Name)
	m.text("jurisdiction", optional, &d.Jurisdiction)
	m.number("percent", &d.Percent)
	m.texts("on", required, &d.On)
}
