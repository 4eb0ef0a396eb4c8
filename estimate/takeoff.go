package estimate

import (
	"bedline/estimate/bond"
	"bedline/estimate/course"
	"bedline/estimate/earth"
	"bedline/estimate/fabric"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// Takeoff is everything that a job comes to, without money.
type Takeoff struct {
	Beds     []BedTakeoff
	Courses  []CourseTakeoff
	Slabs    []SlabTakeoff
	Paving   []PavingTakeoff
	Fabrics  []FabricTakeoff
	Rolls    []RollsTakeoff
	Diggings []DiggingTakeoff
	Spoil    earth.Spoil
	SetOut   SetOutTakeoff

	Planters  []PlanterTakeoff
	Obstacles []ObstacleTakeoff
	RootZones []RootZone
	Lifting   []Lifting // units that one person should not lift alone

	Lines   []MaterialLine
	Work    []WorkLine
	Notices []Notice
}

// BedTakeoff is the geometry of one bed.
type BedTakeoff struct {
	ID           string
	Area         measure.Area
	Perimeter    measure.Length
	EdgedLength  measure.Length
	NetStoneArea measure.Area        // of the decorative stone, or of open ground where the bed has none
	Ties         *outline.Adjustment // where its outer line was taped from marks, else nil
	Holes        []HoleTakeoff
}

// HoleTakeoff is one hole of a bed.
type HoleTakeoff struct {
	LineTakeoff
	Islands []LineTakeoff
}

// LineTakeoff is the line of a hole or an island.
type LineTakeoff struct {
	Side, Sides int          // number of its first side, and how many it has
	Area        measure.Area // inside the line, whatever lies in it
	Perimeter   measure.Length
	Ties        *outline.Adjustment // where it was taped from marks, else nil
}

// CourseTakeoff is the edging of one bed as it is laid.
type CourseTakeoff struct {
	Bed         string
	Spec        *CourseSpec
	Course      *course.Course
	TrenchDepth measure.Length
	TrenchWidth measure.Length
	BaseDepth   measure.Length // as laid, with what the rounding of the depth adds
	SandDepth   measure.Length
}

// SlabTakeoff is one group of slabs as it is laid.
type SlabTakeoff struct {
	ID        string
	Group     *SlabGroup
	Grid      bond.Grid
	DigDepth  measure.Length
	BaseDepth measure.Length
	SandDepth measure.Length
}

// FabricTakeoff is the fabric of one bed as it is cut.
type FabricTakeoff struct {
	Bed       string
	Material  *Material
	Layout    *fabric.Layout
	CutLength measure.Length // cut round planters, trees and posts
	Pins      int            // of the layout, and along those cuts where they are pinned
}

// DiggingPart tells what a digging is for.
type DiggingPart string

// The parts.
const (
	TrenchPart DiggingPart = "trench"
	BedPart    DiggingPart = "bed"
	PadPart    DiggingPart = "pad"
	FieldPart  DiggingPart = "field" // under paving
)

// DiggingTakeoff is one digging with the share of ground that is charged to it.
type DiggingTakeoff struct {
	Zone  string // id of the bed, slab group or paved area
	Part  DiggingPart
	Depth measure.Length
	earth.Cut

	Earthwork *earth.Earthwork // cut and fill where it follows spot levels, else nil
	Ground    earth.Shape      // how the ground is made of those
}

// Amount is a measured quantity of one of the kinds that a line can have.
type Amount struct {
	Kind  AmountKind
	Value float64 // in the SI base unit of the kind, or a count
}

// AmountKind tells what an Amount measures.
type AmountKind uint8

// The kinds of amount.
const (
	CountAmount AmountKind = iota + 1
	LengthAmount
	AreaAmount
	VolumeAmount
)

// Zone is the share of a line that belongs to a bed, slab group or paved area.
type Zone struct {
	ID    string
	Share Amount
}

// Basis tells where a waste factor comes from.
type Basis string

// The bases.
const (
	ByLayout  Basis = "layout"    // counted piece by piece
	Customary Basis = "customary" // a percentage of the price list
	Requested Basis = "request"   // a percentage of the request
)

// Waste is the factor that a measured quantity is multiplied by for waste, breakage and loss: 1.08 means 8 %.
type Waste struct {
	Factor measure.Factor
	Basis  Basis
}

// MaterialLine is one material for one purpose over the whole job.
type MaterialLine struct {
	Key      LineKey
	Material *Material
	Zones    []Zone
	Measured Amount // net, from the geometry, as laid
	Waste    Waste
	Required Amount // measured x compaction x waste, as bought; count of rolls for a fabric
	Cover    Amount // for a fabric: the cloth that Required rolls are cut from
	Workings []Working
}

// WorkLine is the quantity of one operation over the whole job. Laying has a line for each material of its units, so that
// the heaviest does not govern all.
type WorkLine struct {
	Operation Operation
	Material  *Material // the units that are laid, or nil
	Quantity  Amount
	Zones     []Zone // of laying
	Workings  []Working

	Machine *MachineWork // where a machine does another quantity of it, else nil
	Carried []Carried    // what a haul moves, kind by kind
}

// MachineWork is the quantity of an operation that is done by machine, where that differs: a machine compacts thicker lifts.
type MachineWork struct {
	Quantity Amount
	Workings []Working
}

// Carried is what a haul moves of one kind.
type Carried struct {
	Material *Material // nil for the spoil
	Volume   measure.Volume
	Mass     measure.Mass // 0 where the price list does not say what a unit weighs
}

// Working is one step of the arithmetic, so that a crew can check it with a pencil.
type Working struct {
	Label      string
	Expression string
	Result     string
}

// Severity tells how a notice is meant.
type Severity string

// The severities.
const (
	Info    Severity = "info"
	Confirm Severity = "confirm" // to be confirmed on site
	Caution Severity = "caution" // someone or something can come to harm
)

// Notice tells people what the figures alone do not.
type Notice struct {
	Code     string
	Severity Severity
	Message  string
	Confirm  string // what is to be confirmed before the work, if anything
	Where    string // JSON Pointer into the request, or empty for the whole job
	Source   string
}
