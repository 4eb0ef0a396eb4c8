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
	Holds      []HoldDocument      `json:"holds,omitempty"`
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
	Surplus          *SurplusDocument `json:"surplus,omitempty"`
	Source           string           `json:"source,omitempty"`
}

// SurplusDocument is what a quantity left over is worth (Resale) or costs to be rid of (Disposal): one of the two.
type SurplusDocument struct {
	Per      Content          `json:"per"`
	Resale   *decimal.Decimal `json:"resale,omitempty"`
	Disposal *decimal.Decimal `json:"disposal,omitempty"`
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

	LeadDays      *decimal.Decimal `json:"lead_days,omitempty"`
	HandlingHours *decimal.Decimal `json:"handling_hours,omitempty"` // of one person, to unload one content
	LoadWith      string           `json:"load_with,omitempty"`      // goods ride only with goods that say the same
}

// BreakDocument is a lower price from a quantity on: of packs, or of content for bulk.
type BreakDocument struct {
	From  Content         `json:"from"`
	Price decimal.Decimal `json:"price"`
}

// LabourDocument is the cost of an hour and how many hours each operation takes.
type LabourDocument struct {
	HourlyCost  decimal.Decimal  `json:"hourly_cost"`
	CrewSize    *decimal.Decimal `json:"crew_size,omitempty"`
	HoursPerDay *decimal.Decimal `json:"hours_per_day,omitempty"`
	Rates       []RateDocument   `json:"rates"`
}

// RateDocument gives the hours that one person needs per quantity of an operation. Soil, Cover, Tool, AccessFrom,
// UnitMassTo and HaulTo narrow it: the narrowest rate that fits is used, among hauls the shortest that reaches.
type RateDocument struct {
	Operation  string          `json:"operation"`
	Soil       string          `json:"soil,omitempty"`
	Cover      string          `json:"cover,omitempty"`
	Tool       string          `json:"tool,omitempty"`         // hand or machine
	AccessFrom string          `json:"access_from,omitempty"`  // the narrowest way in that it holds for
	UnitMassTo string          `json:"unit_mass_to,omitempty"` // the heaviest unit that it holds for
	HaulTo     string          `json:"haul_to,omitempty"`
	Per        Content         `json:"per"`
	Hours      decimal.Decimal `json:"hours"`
	Source     string          `json:"source,omitempty"`
}

// EquipmentDocument is a machine for hire.
type EquipmentDocument struct {
	Key        string           `json:"key"`
	Name       string           `json:"name"`
	HalfDay    decimal.Decimal  `json:"half_day"`
	Day        decimal.Decimal  `json:"day"`
	Transport  *decimal.Decimal `json:"transport,omitempty"`  // to bring and fetch it, once per hire
	Operations []string         `json:"operations,omitempty"` // that it does as the machine
}

// HoldDocument is a time to wait: in working days or in hours, one of the two.
type HoldDocument struct {
	Key         string           `json:"key"`
	WorkingDays *decimal.Decimal `json:"working_days,omitempty"`
	Hours       *decimal.Decimal `json:"hours,omitempty"`
	Source      string           `json:"source,omitempty"`
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

	HandLift    string `json:"hand_lift,omitempty"` // the thickest lift of base under a hand tamper
	MachineLift string `json:"machine_lift,omitempty"`
}

// CommercialDocument turns cost into price. Markup and margin exclude each other.
type CommercialDocument struct {
	ContingencyPercent *decimal.Decimal `json:"contingency_percent,omitempty"`
	OverheadPercent    *decimal.Decimal `json:"overhead_percent,omitempty"`
	MarkupPercent      *decimal.Decimal `json:"markup_percent,omitempty"`
	MarginPercent      *decimal.Decimal `json:"margin_percent,omitempty"`
	DiscountPercent    *decimal.Decimal `json:"discount_percent,omitempty"`
	RoundPriceTo       *decimal.Decimal `json:"round_price_to,omitempty"`
	Rounding           string           `json:"rounding,omitempty"` // nearest or up
	DepositPercent     *decimal.Decimal `json:"deposit_percent,omitempty"`
	Stages             []StageDocument  `json:"stages,omitempty"`
	ValidDays          *decimal.Decimal `json:"valid_days,omitempty"`
}

// StageDocument is a payment: a percentage of the price.
type StageDocument struct {
	Name    string          `json:"name"`
	Percent decimal.Decimal `json:"percent"`
}

// TaxDocument is one tax: a percentage of the price of the named categories (materials, delivery, equipment, labour,
// disposal).
type TaxDocument struct {
	Name         string          `json:"name"`
	Jurisdiction string          `json:"jurisdiction,omitempty"`
	Percent      decimal.Decimal `json:"percent"`
	On           []string        `json:"on"`
}
