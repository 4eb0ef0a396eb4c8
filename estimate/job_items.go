package estimate

import (
	"bedline/estimate/bond"
	"bedline/estimate/course"
	"bedline/estimate/earth"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// Grade is how the finished surface of a bed or paved area falls, and where its ground lies now.
type Grade struct {
	Fall   *Fall
	Spots  []SpotLevel
	Ground *earth.Surface // through the spots, heights above the string; nil without spots
}

// Fall is the fall of a finished surface away from the line of a straight side.
type Fall struct {
	Rate     measure.Factor // 0.02 for 2 %
	Side     int            // number of the side in the request
	From, To outline.Point  // the line of the side, the ground on its left
}

// SpotLevel is existing ground as taken with a level string.
type SpotLevel struct {
	Pointer string
	At      outline.Point
	Down    measure.Length // below the string, which runs at the finished level of the side that the ground falls from, or of the whole
}

// PavedArea is a field of units in a bond.
type PavedArea struct {
	ID        string
	Pointer   string
	InBed     string // id of a bed, or empty
	Outline   *outline.Outline
	Unit      *Material
	Bond      string    // as the request names it
	Laying    bond.Spec // without the openings, which the holes and obstacles make
	Border    *BorderSpec
	JointMax  measure.Length
	Reveal    measure.Length
	Base      *Layer
	Sand      *Layer
	Clearance measure.Length
	Fill      *Material      // joint fill, or nil for open joints
	FillDepth measure.Length // 0 for the full thickness
	Grade     Grade
}

// BorderSpec is the course round a paved area, inside its outline on all sides.
type BorderSpec struct {
	Pointer     string
	UnitPointer string    // of the member that names the unit
	Unit        *Material // its own, or that of the field
	Laying      course.Spec
}

// Planter stands in a bed or by itself.
type Planter struct {
	ID            string
	Pointer       string
	InBed         string         // id of a bed, or empty
	Length, Width measure.Length // outside
	Wall          measure.Length
	Fill          measure.Length // depth filled with the mix, as settled
	At            outline.Point  // corner with least x and y before turning
	Rotate        measure.Angle
	Mix           []MixPart
	DigUnder      bool // the bed is dug under it too
}

// MixPart is a material of a mix by its parts of the volume.
type MixPart struct {
	Material *Material
	Parts    measure.Factor
}

// Footprint is the ground under a planter.
func (p *Planter) Footprint() outline.Loop {
	return outline.RectangleLoop(p.At, p.Length, p.Width, p.Rotate)
}

// ObstacleKind tells what an obstacle is.
type ObstacleKind string

// The kinds of obstacle. Trees and posts take ground; walls and footings are lines beside the digging.
const (
	Tree    ObstacleKind = "tree"
	Post    ObstacleKind = "post"
	Wall    ObstacleKind = "wall"
	Footing ObstacleKind = "footing"
)

// Obstacle is something that stays where it is.
type Obstacle struct {
	ID      string // or empty
	Number  int    // place in the list of the request
	Kind    ObstacleKind
	Pointer string
	InBed   string // id of a bed, or empty

	At       outline.Point  // centre of a tree or post
	Diameter measure.Length // of the trunk, or of a round post
	Clear    measure.Length // kept free all round
	Length   measure.Length // of a square post along its own x, 0 for a round one
	Width    measure.Length
	Rotate   measure.Angle
	DigUnder bool // the ground under a post is dug all the same

	From, To outline.Point // the face of a wall or footing
}

// Footprint is the ground that a tree or post takes with what is kept clear of it; nil for walls and footings.
func (o *Obstacle) Footprint() outline.Loop {
	switch {
	case o.Kind != Tree && o.Kind != Post:
		return nil
	case o.Length > 0:
		l, w := o.Length+2*o.Clear, o.Width+2*o.Clear
		corner := outline.Point{X: o.At.X - l/2, Y: o.At.Y - w/2}
		return outline.RectangleLoop(corner, l, w, 0).Rotate(o.At, o.Rotate)
	}
	return outline.CircleLoop(o.At, o.Diameter/2+o.Clear)
}
