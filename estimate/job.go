package estimate

import (
	"bedline/estimate/course"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// Job is what a crew wants estimated, read and checked against a catalogue.
type Job struct {
	Reference string
	Title     string
	System    measure.System // units of the answer

	Ground     Ground
	Beds       []Bed
	Slabs      []SlabGroup
	Paving     []PavedArea
	Planters   []Planter
	Obstacles  []Obstacle
	SetOut     SetOutSpec
	Allowances map[LineKey]measure.Factor // asked for in the request, 0.08 for 8 %; only looked up by key

	Catalogue *Catalogue
}

// Cover is what grows or lies on the ground before the work.
type Cover string

// The covers. All but bare ground are stripped before digging; what is stripped is part of the cut.
const (
	Bare   Cover = "bare"
	Turf   Cover = "turf"
	Mulch  Cover = "mulch"
	Gravel Cover = "gravel"
	Brush  Cover = "brush"
)

// Ground is the ground that is dug.
type Ground struct {
	Soil  Soil
	Cover Cover
	Haul  measure.Length // one way, from the digging to where the spoil is heaped or loaded

	Climb   measure.Factor // of that way, loaded: rise per length, 0.05 for 5 %; below 0 it goes down
	HaulIn  measure.Length // one way, from the drop to where materials are laid
	ClimbIn measure.Factor // of that way, loaded
	Access  measure.Length // width of the narrowest place on the way in; 0 if not said
}

// Bed is one garden bed. The outline is the finished bed line.
type Bed struct {
	ID       string
	Pointer  string // of the bed in the request, for faults
	Outline  *outline.Outline
	Ties     *outline.Adjustment // where the outer line was taped from marks, else nil
	RingTies []RingTies          // of holes and islands that were taped from marks
	Dig      measure.Length      // depth of the bed from finished ground; 0 for none
	Fabric   *FabricLayer
	Stone    *Layer
	Edging   *CourseSpec
	Grade    Grade
}

// Layer is a depth of a loose material, measured as laid.
type Layer struct {
	Material *Material
	Depth    measure.Length
}

// FabricLayer is fabric under a bed.
type FabricLayer struct {
	Material    *Material
	TrenchesToo bool // under the trench with its clearance as well, not only inside the course
	PinMaterial *Material
	PinnedEvery measure.Length
	Lapped      bool // at planters, trees and posts slit and turned up, not cut away
	PinOpenings bool // pinned along the cut edges there too
}

// CourseSpec is the edging of a bed.
type CourseSpec struct {
	Unit        *Material
	Laying      course.Spec
	Reveal      measure.Length // how far the units stand above finished ground
	Base        *Layer
	Sand        *Layer
	Fill        *Material      // joint fill, or nil for open joints
	Haunch      measure.Length // legs of the fillet of joint fill on the bed side; 0 for none
	FillWallGap bool           // fill the clearance on the outer side with joint fill too

	choices []string // pointers of the corners in Laying.CornerJoints
}

// SlabGroup is a rectangle of slabs in rows and columns.
type SlabGroup struct {
	ID        string
	Pointer   string
	InBed     string // id of a bed, or empty
	Unit      *Material
	Rows      int
	Columns   int
	Gap       measure.Length
	At        outline.Point // corner with least x and y before turning
	Rotate    measure.Angle
	Reveal    measure.Length
	Base      *Layer
	Sand      *Layer
	Clearance measure.Length
	Fill      *Material      // joint fill between the slabs, or nil
	FillDepth measure.Length // 0 for the full thickness
}

// DigDepth is the depth of digging for a unit of thickness t that stands r above finished ground on sand and base:
// t - r + sand + base, rounded up to a multiple of to. Extra is what the rounding adds; it is filled with base, or
// with sand where there is no base.
//
// Common practice: units 1 3/4 in thick on 1 in of sand and 2 in of base need 4 3/4 in, dug as 5 in.
func DigDepth(t, r, sand, base, to measure.Length) (depth, extra measure.Length) {
	needed := t - r + sand + base
	if needed <= 0 {
		return 0, 0
	}
	if to <= 0 {
		return needed, 0
	}
	depth = to.Scale(measure.Factor(measure.RoundUp(float64(needed) / float64(to))))
	if extra = depth - needed; extra <= max(depth, to).Scale(hair) {
		extra = 0 // what the guard of the round-up takes or the arithmetic leaves is no depth
	}
	return depth, extra
}

// hair is the share of a depth that is rounding error, as in measure.RoundUp.
const hair measure.Factor = 1e-9
