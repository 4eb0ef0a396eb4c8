package estimate

// LineKey names a line of the takeoff: a material for a purpose, or an operation.
type LineKey string

// The line keys of the contract.
const (
	Edging          LineKey = "edging"
	Base            LineKey = "base"
	BeddingSand     LineKey = "bedding_sand"
	JointFill       LineKey = "joint_fill"
	Fabric          LineKey = "fabric"
	DecorativeStone LineKey = "decorative_stone"
	Slabs           LineKey = "slabs"
	Paving          LineKey = "paving"
	PlanterSoil     LineKey = "planter_soil"
	Pins            LineKey = "pins"
	Excavation      LineKey = "excavation"
	Spoil           LineKey = "spoil"
	Delivery        LineKey = "delivery"
	Labour          LineKey = "labour"
	Equipment       LineKey = "equipment"
)

// Operation names a kind of work that hours are given for.
type Operation string

// The operations, in the order in which a crew does them, each with the quantity that its rate is per.
const (
	LocateUtilities Operation = "locate_utilities" // per job: a count of 1
	SetOut          Operation = "set_out"          // length of bed lines and of the sides of slab groups and paved areas
	StripCover      Operation = "strip_cover"      // area dug; not for bare ground
	DigTrench       Operation = "dig_trench"       // bank volume of trenches, slab pads and paved ground
	DigBed          Operation = "dig_bed"          // bank volume of beds
	HaulSpoil       Operation = "haul_spoil"       // loose volume; the hours depend on the haul
	TrimFormation   Operation = "trim_formation"   // area of dug ground that something is laid on
	HaulMaterials   Operation = "haul_materials"   // loose volume and volume of units as bought, from the drop to where they are laid
	LayFabric       Operation = "lay_fabric"       // area covered
	PlaceBase       Operation = "place_base"       // compacted volume
	CompactBase     Operation = "compact_base"     // area times lifts
	ScreedSand      Operation = "screed_sand"      // area
	LayEdging       Operation = "lay_edging"       // count of units of courses, the borders of paving too
	LaySlabs        Operation = "lay_slabs"        // count of units
	LayPaving       Operation = "lay_paving"       // area of fields, joints included
	CutUnits        Operation = "cut_units"        // count of saw passes
	FillJoints      Operation = "fill_joints"      // length of joints
	WetAndCure      Operation = "wet_and_cure"     // length of joints
	PlaceStone      Operation = "place_stone"      // loose volume
	FillPlanters    Operation = "fill_planters"    // loose volume of the mix
	CleanUp         Operation = "clean_up"         // per job: a count of 1
)

// MayLackRate tells of an operation that is left out where nothing says how long it takes, with a notice; for any other
// that is a fault. These came later than the first price lists, whose rates may count them in with others: base placed and
// compacted, stone wheeled in and spread.
func (o Operation) MayLackRate() bool {
	switch o {
	case TrimFormation, HaulMaterials, CompactBase, WetAndCure:
		return true
	}
	return false
}
