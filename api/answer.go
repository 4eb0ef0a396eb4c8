package api

import (
	"encoding/json"

	"bedline/estimate/measure"
)

// Answer is the answer to POST /v1/estimates as it goes over the wire. openapi.yaml describes every member.
type Answer struct {
	ID        string        `json:"id"`
	Engine    string        `json:"engine"`
	Reference string        `json:"reference,omitempty"`
	Title     string        `json:"title,omitempty"`
	Units     string        `json:"units"`
	PriceList PriceListUsed `json:"price_list"`
	Geometry  Geometry      `json:"geometry"`
	LineItems []LineItem    `json:"line_items"`
	Supply    Supply        `json:"supply"`
	CutList   CutList       `json:"cut_list"`
	SetOut    SetOut        `json:"set_out"`
	Loads     Loads         `json:"loads"`
	Tasks     []Task        `json:"tasks"` // by their starts
	Plan      WorkPlan      `json:"plan"`
	Equipment []Equipment   `json:"equipment"`
	Lifting   []Lifting     `json:"lifting,omitempty"`
	Notices   []Notice      `json:"notices"`
	Totals    Totals        `json:"totals"`

	Options     []OptionAnswer `json:"options,omitempty"`
	ChangeOrder *ChangeOrder   `json:"change_order,omitempty"`
}

// PriceListUsed names the list and version that an answer was reckoned with.
type PriceListUsed struct {
	Name      string `json:"name"`
	Version   int    `json:"version"`
	Currency  string `json:"currency"`
	Effective string `json:"effective"`
	Note      string `json:"note,omitempty"`
}

// Quantity is a value with its unit.
type Quantity struct {
	Value Number `json:"value"`
	Unit  string `json:"unit"`
}

// Number is a JSON number without exponent, with at most 12 significant digits.
type Number float64

// MarshalJSON writes the number.
func (n Number) MarshalJSON() ([]byte, error) {
	return measure.AppendNumber(make([]byte, 0, 24), float64(n)), nil
}

// Geometry is what the job measures.
type Geometry struct {
	Beds     []BedGeometry    `json:"beds"`
	Courses  []CourseGeometry `json:"courses"`
	Slabs    []SlabGeometry   `json:"slabs"`
	Fields   []FieldGeometry  `json:"fields"`
	Fabrics  []FabricGeometry `json:"fabrics"`
	Diggings []Digging        `json:"diggings"`
	Spoil    Spoil            `json:"spoil"`

	Rolls     []FabricRolls      `json:"rolls,omitempty"`
	Planters  []PlanterGeometry  `json:"planters,omitempty"`
	Obstacles []ObstacleGeometry `json:"obstacles,omitempty"`
	RootZones []RootZone         `json:"root_zones,omitempty"`
}

// BedGeometry is one bed.
type BedGeometry struct {
	ID           string   `json:"id"`
	Area         Quantity `json:"area"`
	Perimeter    Quantity `json:"perimeter"`
	EdgedLength  Quantity `json:"edged_length"`
	NetStoneArea Quantity `json:"net_stone_area"`
	Ties         *Ties    `json:"ties,omitempty"`
	Holes        []Hole   `json:"holes,omitempty"`
}

// Ties tell how the tapes of a bed fit together and where they put its points.
type Ties struct {
	Tapes          int         `json:"tapes"`
	GreatestMisfit Quantity    `json:"greatest_misfit"`
	RMSMisfit      Quantity    `json:"rms_misfit"`
	Points         []TiedPoint `json:"points"`
}

// TiedPoint is an adjusted point.
type TiedPoint struct {
	X Quantity `json:"x"`
	Y Quantity `json:"y"`
}

// CourseGeometry is the edging of one bed.
type CourseGeometry struct {
	Bed         string    `json:"bed"`
	Unit        string    `json:"unit"`
	Course      string    `json:"course"`
	Face        string    `json:"face"` // inside or outside
	EdgedLength Quantity  `json:"edged_length"`
	Width       Quantity  `json:"width"`
	TrenchDepth Quantity  `json:"trench_depth"`
	TrenchWidth Quantity  `json:"trench_width"`
	BaseDepth   Quantity  `json:"base_depth"`
	SandDepth   Quantity  `json:"sand_depth"`
	Units       UnitCount `json:"units"`
	Joints      Joints    `json:"joints"`
	LeastUncut  Uncut     `json:"least_uncut_radius"`
	Runs        []Run     `json:"runs"`
	Cuts        []Cut     `json:"cuts"`
}

// UnitCount counts units; a unit with any cut is a cut unit.
type UnitCount struct {
	Whole int `json:"whole"`
	Cut   int `json:"cut"`
	Total int `json:"total"`
}

// Joints are the joints of a course together.
type Joints struct {
	Count  int      `json:"count"`
	Length Quantity `json:"length"`
	Volume Quantity `json:"volume"`
}

// Run is one straight or one arc of a course. Exactly one of Side and Corner is there.
type Run struct {
	Laying     string    `json:"laying"` // straight, open or cut
	Side       *int      `json:"side,omitempty"`
	Corner     *int      `json:"corner,omitempty"`
	Length     Quantity  `json:"length"`
	LaidLength Quantity  `json:"laid_length"`
	Start      RunEnd    `json:"start"`
	End        RunEnd    `json:"end"`
	Units      UnitCount `json:"units"`
	Joints     int       `json:"joints"`
	JointWidth Quantity  `json:"joint_width"`
	SawPasses  int       `json:"saw_passes"`
	Closers    *Closers  `json:"closers,omitempty"`
	Arc        *Arc      `json:"arc,omitempty"`
}

// Closers are the units cut to end a run.
type Closers struct {
	Count  int      `json:"count"`
	Length Quantity `json:"length"`
	Shared bool     `json:"shared"`
}

// Arc is what a run on an arc has beside.
type Arc struct {
	Radius    Quantity  `json:"radius"`
	Turn      Quantity  `json:"turn"`
	BedInside bool      `json:"bed_inside"`
	UnitTurn  Quantity  `json:"unit_turn"`
	Gap       *Quantity `json:"gap,omitempty"`
	ShortFace *Quantity `json:"short_face,omitempty"`
	Wedge     *Wedge    `json:"wedge,omitempty"`
}

// Cut is a number of like cuts in one run.
type Cut struct {
	Kind   string   `json:"kind"` // closer, wedge, mitre or splay
	Count  int      `json:"count"`
	Side   *int     `json:"side,omitempty"`
	Corner *int     `json:"corner,omitempty"`
	Angle  Quantity `json:"angle"`
	Off    Quantity `json:"off"`
	Left   Quantity `json:"left"`
	Length Quantity `json:"length"`
}

// SlabGeometry is one group of slabs.
type SlabGeometry struct {
	ID        string   `json:"id"`
	InBed     string   `json:"in_bed,omitempty"`
	Unit      string   `json:"unit"`
	Units     int      `json:"units"`
	Length    Quantity `json:"length"`
	Width     Quantity `json:"width"`
	GapArea   Quantity `json:"gap_area"`
	DigDepth  Quantity `json:"dig_depth"`
	BaseDepth Quantity `json:"base_depth"`
	SandDepth Quantity `json:"sand_depth"`
}

// FabricGeometry is the fabric of one bed as it is cut.
type FabricGeometry struct {
	Bed        string   `json:"bed"`
	Material   string   `json:"material"`
	Direction  Quantity `json:"direction"`
	Strips     []Strip  `json:"strips"`
	CoverArea  Quantity `json:"cover_area"`
	ClothArea  Quantity `json:"cloth_area"`
	SeamLength Quantity `json:"seam_length"`
	Joins      int      `json:"joins"`
	Pins       int      `json:"pins"`
	// OpeningCut is the length cut round planters, trees and posts.
	OpeningCut *Quantity `json:"opening_cut,omitempty"`
}

// Strip is one strip of fabric; more than one piece when it is longer than a roll.
type Strip struct {
	Length Quantity `json:"length"`
	Pieces int      `json:"pieces"`
}

// Digging is the ground charged to one digging.
type Digging struct {
	Zone   string   `json:"zone"`
	Part   string   `json:"part"` // trench, bed, pad or field
	Depth  Quantity `json:"depth"`
	Area   Quantity `json:"area"`
	Volume Quantity `json:"volume"`

	Earthwork *Earthwork `json:"earthwork,omitempty"` // where it follows spot levels
}

// Spoil is the dug ground of the job.
type Spoil struct {
	Bank  Quantity `json:"bank"`
	Loose Quantity `json:"loose"`
	Mass  Quantity `json:"mass"`
}

// LineItem is one line: a material for a purpose, an operation, a delivery or the disposal.
type LineItem struct {
	Key         string      `json:"key"`
	Category    string      `json:"category"`
	Description string      `json:"description"`
	Material    string      `json:"material,omitempty"`
	Operation   string      `json:"operation,omitempty"`
	Tool        string      `json:"tool,omitempty"`
	Equipment   string      `json:"equipment,omitempty"`
	Supplier    string      `json:"supplier,omitempty"`
	Zones       []Zone      `json:"zones,omitempty"`
	Measured    *Quantity   `json:"measured,omitempty"`
	Compaction  *Number     `json:"compaction_factor,omitempty"`
	Waste       *Waste      `json:"waste,omitempty"`
	Required    *Quantity   `json:"required,omitempty"`
	Order       []OrderLine `json:"order,omitempty"`
	OrderShared bool        `json:"order_shared,omitempty"`
	Surplus     *Quantity   `json:"surplus,omitempty"`
	Mass        *Quantity   `json:"mass,omitempty"`
	Rate        *WorkRate   `json:"rate,omitempty"`
	Hours       json.Number `json:"hours,omitempty"`
	Amount      string      `json:"amount"`
	Tax         string      `json:"tax"`
	Workings    []Working   `json:"workings"`
}

// Zone is the share of a line that belongs to one bed, slab group or paved area.
type Zone struct {
	ID       string   `json:"id"`
	Measured Quantity `json:"measured"`
}

// Waste is a waste factor (1.08 for 8 %) and where it comes from.
type Waste struct {
	Factor Number `json:"factor"`
	Basis  string `json:"basis"` // layout, customary or request
}

// OrderLine is what is bought of one offer. Amount is the part that the line bears.
type OrderLine struct {
	Offer    string      `json:"offer"`
	Supplier string      `json:"supplier"`
	Form     string      `json:"form"`
	Count    json.Number `json:"count"`
	Content  string      `json:"content"`
	Price    string      `json:"price"`
	Amount   string      `json:"amount"`
}

// Working is one step of the arithmetic.
type Working struct {
	Label      string `json:"label"`
	Expression string `json:"expression"`
	Result     string `json:"result"`
}

// Supply is the buying plan, its rivals, and bags against bulk for each loose material.
type Supply struct {
	Plan      Plan        `json:"plan"`
	Tally     *Tally      `json:"tally"` // of the plan
	Rivals    []Rival     `json:"rivals"`
	BreakEven []BreakEven `json:"break_even"`

	RunningShort *RunningShort `json:"running_short,omitempty"`
}

// Plan is what is bought where.
type Plan struct {
	LandedCost string         `json:"landed_cost"`
	Goods      string         `json:"goods"`
	Delivery   string         `json:"delivery"`
	CrewTime   string         `json:"crew_time,omitempty"`
	Tax        string         `json:"tax,omitempty"`
	LeftOver   string         `json:"left_over,omitempty"` // worth of the surplus
	Optimal    bool           `json:"optimal"`
	Bound      string         `json:"bound"`
	Suppliers  []SupplierPlan `json:"suppliers"`
	Purchases  []Purchase     `json:"purchases"`
}

// SupplierPlan is what comes from one supplier.
type SupplierPlan struct {
	Supplier string      `json:"supplier"`
	Way      string      `json:"way"` // delivered or picked_up
	Goods    string      `json:"goods"`
	Delivery string      `json:"delivery"`
	Drops    int         `json:"drops"`
	Trips    int         `json:"trips"`
	Mass     Quantity    `json:"mass"`
	CrewTime string      `json:"crew_time,omitempty"`
	Loads    []RidesWith `json:"loads,omitempty"` // where goods that can't share a drop come from it
}

// Purchase is one line of an order to a supplier.
type Purchase struct {
	Material string      `json:"material"`
	Offer    string      `json:"offer"`
	Supplier string      `json:"supplier"`
	Form     string      `json:"form"`
	Count    json.Number `json:"count"`
	Content  string      `json:"content"`
	Price    string      `json:"price"`
	Amount   string      `json:"amount"`
}

// Rival is a plan under a restriction. Without a plan it says why there is none.
type Rival struct {
	Name        string   `json:"name"`
	Kept        []string `json:"kept"` // materials that don't come in the form
	Plan        *Plan    `json:"plan,omitempty"`
	Tally       *Tally   `json:"tally,omitempty"` // of the plan
	Unavailable string   `json:"unavailable,omitempty"`
}

// BreakEven sets bags beside bulk for one loose material on its own.
type BreakEven struct {
	Material string    `json:"material"`
	Needed   Quantity  `json:"needed"`
	Bags     *Plan     `json:"bags,omitempty"`
	Bulk     *Plan     `json:"bulk,omitempty"`
	Above    *Quantity `json:"above,omitempty"`
	Range    Quantity  `json:"range"`
	Sentence string    `json:"sentence"`
	Steps    *Steps    `json:"steps,omitempty"`
}

// CutList is every cut of the job.
type CutList struct {
	Cuts      []ListedCut `json:"cuts"`
	SawPasses int         `json:"saw_passes"`
}

// ListedCut is a number of like cuts with the bed or paved area and the unit that they belong to.
type ListedCut struct {
	Bed  string `json:"bed"`
	Unit string `json:"unit"`
	Cut
}

// Notice tells people what the figures alone do not.
type Notice struct {
	Code     string `json:"code"`
	Severity string `json:"severity"` // info, confirm or caution
	Message  string `json:"message"`
	Confirm  string `json:"confirm,omitempty"`
	Where    string `json:"where,omitempty"`
	Source   string `json:"source,omitempty"`
}

// Totals are the sums of the lines and what makes a price of them.
type Totals struct {
	Hours       json.Number `json:"hours"`
	Materials   string      `json:"materials"`
	Delivery    string      `json:"delivery"`
	Equipment   string      `json:"equipment"`
	Labour      string      `json:"labour"`
	Disposal    string      `json:"disposal"`
	DirectCost  string      `json:"direct_cost"`
	Contingency string      `json:"contingency"`
	Overhead    string      `json:"overhead"`
	Profit      string      `json:"profit"`
	BeforeTax   string      `json:"before_tax"`
	Taxes       []Tax       `json:"taxes"`
	Tax         string      `json:"tax"`
	Price       string      `json:"price"`
	Workings    []Working   `json:"workings"`

	Discount *Discount   `json:"discount,omitempty"`
	Rounding *Rounding   `json:"rounding,omitempty"`
	Margin   json.Number `json:"margin_percent,omitempty"`
	Payments []Payment   `json:"payments,omitempty"`
	Validity *Validity   `json:"validity,omitempty"`
}

// Tax is one tax of the list on this quote.
type Tax struct {
	Name    string      `json:"name"`
	Percent json.Number `json:"percent"`
	On      []string    `json:"on"`
	Amount  string      `json:"amount"`

	Jurisdiction string    `json:"jurisdiction,omitempty"`
	Base         string    `json:"base"`
	Parts        []TaxPart `json:"parts"`
}
