package pricing

import "github.com/govalues/decimal"

// Document is a price list as people write it and as it is published: JSON by way of its tags. Quantities keep the
// text they were written with ("8 in", "0.5 yd3"), prices and percentages are decimals. Compile turns it into a List.
//
// Absent optional members are zero values; a pointer tells an absent number from a zero.
type Document struct {
	Name       string              `json:"name"`
	Currency   string              `json:"currency"`
	System     string              `json:"system"`
	Effective  string              `json:"effective"`
	Note       string              `json:"note,omitempty"`
	Materials  []MaterialDocument  `json:"materials"`
	Soils      []SoilDocument      `json:"soils"`
	Suppliers  []SupplierDocument  `json:"suppliers"`
	Offers     []OfferDocument     `json:"offers"`
	Labour     LabourDocument      `json:"labour"`
	Equipment  []EquipmentDocument `json:"equipment,omitempty"`
	Disposal   *DisposalDocument   `json:"disposal,omitempty"`
	Hauling    []HaulingDocument   `json:"hauling,omitempty"`
	Allowances Allowances          `json:"allowances"`
	Settings   SettingsDocument    `json:"settings"`
	Commercial CommercialDocument  `json:"commercial"`
	Taxes      []TaxDocument       `json:"taxes"`
}

// MaterialDocument is one material. Kind decides which members it has: "unit" (length, width, thickness, mass,
// joint_max), "loose" (loose_density, compaction_factor), "fabric" (roll_width, roll_length, lap, upturn, mass, pin,
// pin_spacing) or "piece" (mass).
type MaterialDocument struct {
	Key              string           `json:"key"`
	Name             string           `json:"name"`
	Kind             string           `json:"kind"`
	Length           string           `json:"length,omitempty"`
	Width            string           `json:"width,omitempty"`
	Thickness        string           `json:"thickness,omitempty"`
	JointMax         string           `json:"joint_max,omitempty"`
	Mass             string           `json:"mass,omitempty"`
	LooseDensity     string           `json:"loose_density,omitempty"`
	CompactionFactor *decimal.Decimal `json:"compaction_factor,omitempty"`
	RollWidth        string           `json:"roll_width,omitempty"`
	RollLength       string           `json:"roll_length,omitempty"`
	Lap              string           `json:"lap,omitempty"`
	Upturn           string           `json:"upturn,omitempty"`
	Pin              string           `json:"pin,omitempty"`
	PinSpacing       string           `json:"pin_spacing,omitempty"`
	Source           string           `json:"source,omitempty"`
}

// SoilDocument is one kind of ground: loose volume per bank volume, and the bank density.
type SoilDocument struct {
	Key         string          `json:"key"`
	SwellFactor decimal.Decimal `json:"swell_factor"`
	BankDensity string          `json:"bank_density"`
	Source      string          `json:"source,omitempty"`
}

// SupplierDocument is one supplier with the ways that its goods can reach the site.
type SupplierDocument struct {
	Key          string            `json:"key"`
	Name         string            `json:"name"`
	Delivery     *DeliveryDocument `json:"delivery,omitempty"`
	MinimumOrder *decimal.Decimal  `json:"minimum_order,omitempty"`
	PickUp       *PickUpDocument   `json:"pick_up,omitempty"`
}

// DeliveryDocument is what a drop costs and carries.
type DeliveryDocument struct {
	Fee           decimal.Decimal  `json:"fee"`
	Payload       string           `json:"payload,omitempty"`
	PayloadVolume string           `json:"payload_volume,omitempty"`
	FreeFrom      *decimal.Decimal `json:"free_from,omitempty"`
}

// PickUpDocument is what a trip of the crew's own vehicle costs and carries.
type PickUpDocument struct {
	TripCost      decimal.Decimal  `json:"trip_cost"`
	CrewHours     *decimal.Decimal `json:"crew_hours,omitempty"`
	Payload       string           `json:"payload,omitempty"`
	PayloadVolume string           `json:"payload_volume,omitempty"`
}

// OfferDocument is one way to buy one material. Content, Minimum, Increment and the From of a break are a quantity
// with its unit ("1 yd3", "50 lb", "200 ft2") or a whole number. A loose material has a volume or a mass, a unit a count
// or an area (as many whole units as its faces cover), a fabric a count of rolls or an area, a piece a count. Minimum,
// Increment and From are quantities like Content for bulk, and whole numbers of packs otherwise.
type OfferDocument struct {
	Key       string          `json:"key"`
	Supplier  string          `json:"supplier"`
	Material  string          `json:"material"`
	Form      string          `json:"form"` // bag, bulk, pallet, roll, each or tub
	Content   Content         `json:"content"`
	Price     decimal.Decimal `json:"price"`
	Minimum   Content         `json:"minimum,omitzero"`
	Increment Content         `json:"increment,omitzero"`
	Breaks    []BreakDocument `json:"breaks,omitempty"`
}

// BreakDocument is a lower price from a quantity on: of packs, or of content for bulk.
type BreakDocument struct {
	From  Content         `json:"from"`
	Price decimal.Decimal `json:"price"`
}

// LabourDocument is the cost of an hour and how many hours each operation takes.
type LabourDocument struct {
	HourlyCost decimal.Decimal `json:"hourly_cost"`
	Rates      []RateDocument  `json:"rates"`
}

// RateDocument gives the hours that one person needs per quantity of an operation. Soil, Cover and HaulTo narrow it:
// the narrowest rate that fits is used, among hauls the shortest that reaches.
type RateDocument struct {
	Operation string          `json:"operation"`
	Soil      string          `json:"soil,omitempty"`
	Cover     string          `json:"cover,omitempty"`
	HaulTo    string          `json:"haul_to,omitempty"`
	Per       Content         `json:"per"`
	Hours     decimal.Decimal `json:"hours"`
	Source    string          `json:"source,omitempty"`
}

// EquipmentDocument is a machine for hire.
type EquipmentDocument struct {
	Key     string          `json:"key"`
	Name    string          `json:"name"`
	HalfDay decimal.Decimal `json:"half_day"`
	Day     decimal.Decimal `json:"day"`
}

// DisposalDocument is what the tip takes per loose quantity of spoil, by volume or by mass.
type DisposalDocument struct {
	Per   string          `json:"per"`
	Price decimal.Decimal `json:"price"`
}

// Allowances are percentages by line key, for waste, breakage and loss.
type Allowances struct {
	Edging          *decimal.Decimal `json:"edging,omitempty"`
	Base            *decimal.Decimal `json:"base,omitempty"`
	BeddingSand     *decimal.Decimal `json:"bedding_sand,omitempty"`
	JointFill       *decimal.Decimal `json:"joint_fill,omitempty"`
	Fabric          *decimal.Decimal `json:"fabric,omitempty"`
	DecorativeStone *decimal.Decimal `json:"decorative_stone,omitempty"`
	Slabs           *decimal.Decimal `json:"slabs,omitempty"`
	Paving          *decimal.Decimal `json:"paving,omitempty"`
	PlanterSoil     *decimal.Decimal `json:"planter_soil,omitempty"`
	Pins            *decimal.Decimal `json:"pins,omitempty"`
}

// SettingsDocument holds what the engine assumes unless a list says otherwise.
type SettingsDocument struct {
	DigTo      string           `json:"dig_to,omitempty"`
	LeastPiece *decimal.Decimal `json:"least_piece,omitempty"`
}

// CommercialDocument turns cost into price. Markup and margin exclude each other.
type CommercialDocument struct {
	ContingencyPercent *decimal.Decimal `json:"contingency_percent,omitempty"`
	OverheadPercent    *decimal.Decimal `json:"overhead_percent,omitempty"`
	MarkupPercent      *decimal.Decimal `json:"markup_percent,omitempty"`
	MarginPercent      *decimal.Decimal `json:"margin_percent,omitempty"`
}

// TaxDocument is one tax: a percentage of the price of the named categories (materials, delivery, equipment, labour,
// disposal).
type TaxDocument struct {
	Name    string          `json:"name"`
	Percent decimal.Decimal `json:"percent"`
	On      []string        `json:"on"`
}
