package drawing

// Millimetres is a length on paper.
type Millimetres float64

// Spot is a place on paper.
type Spot struct{ X, Y Millimetres }

// Sheet is one drawing.
type Sheet struct {
	Title         string // what it shows, in a few words
	Description   string // the same for those who don't see it
	Language      string // a BCP 47 tag
	Width, Height Millimetres
	Items         []Item // those that come later lie on top
}

// Item is a Shape or a Label.
type Item interface{ item() }

// Shape is a chain of steps that is filled, inked or both.
type Shape struct {
	Steps []Step
	Fill  Fill // NoFill for none
	Ink   Ink  // NoInk for none
	Class string
}

// Label is a line of words.
type Label struct {
	At     Spot // on the base line
	Text   string
	Size   Millimetres // height of the letters, from base line to base line
	Anchor Anchor
	Turn   float64 // degrees clockwise about At
	Bold   bool
	Ink    Ink
	Halo   bool // a margin of paper round the letters, where they stand on other things
}

func (*Shape) item() {}
func (*Label) item() {}

// Anchor tells which part of a label is at its spot.
type Anchor uint8

// The anchors.
const (
	Start Anchor = iota
	Middle
	End
)

// StepKind is what a step does.
type StepKind uint8

// The steps.
const (
	MoveTo StepKind = iota
	LineTo
	ArcTo
	Close
)

// Step is one step of a shape. An arc runs from where the step before ended to To about Centre; Turn is the angle that
// it sweeps in degrees, clockwise on paper positive, below 360 either way.
type Step struct {
	Kind   StepKind
	To     Spot
	Centre Spot
	Radius Millimetres
	Turn   float64
}

// Ink is how a line is drawn.
type Ink uint8

// The inks, from the lightest.
const (
	NoInk    Ink = iota
	Joint        // between units
	Thin         // of pieces and layers
	Measure      // dimensions, arrows, string lines
	Hidden       // broken: what is covered or only thought
	Outline      // bed lines, units, slabs
	Heavy        // cut ground, axes
	Warning      // root zones, what to keep off
	Series1      // of a chart
	Series2      // of a chart, broken
	WordsInk     // of letters
	FaintInk     // of letters that matter less
)

// Fill is how an area is filled.
type Fill uint8

// The fills.
const (
	NoFill Fill = iota
	Paper
	Stone    // decorative stone
	Ground   // open ground of a bed
	UnitFill // a whole unit
	CutFill  // a cut unit
	Slab
	Field  // a whole unit of paving
	Border // of paving
	Planter
	Tree
	Post
	Base
	Sand
	Subgrade
	Fabric
	Offcut
	Lap         // fabric on fabric
	BarFill     // a task
	CriticalBar // a task that the end waits for
	Hold        // waiting
	DayOff      // no working day
	Ink100      // solid, for arrow heads and scale bars
	numberOfFills
)

// Move starts a shape.
func Move(x, y Millimetres) Step { return Step{Kind: MoveTo, To: Spot{x, y}} }

// Line goes straight on.
func Line(x, y Millimetres) Step { return Step{Kind: LineTo, To: Spot{x, y}} }

// Closed closes a shape.
func Closed() Step { return Step{Kind: Close} }

// Rectangle is a shape with its upper left corner at a spot.
func Rectangle(x, y, width, height Millimetres, fill Fill, ink Ink) *Shape {
	return &Shape{Steps: []Step{Move(x, y), Line(x+width, y), Line(x+width, y+height), Line(x, y+height), Closed()}, Fill: fill, Ink: ink}
}

// Circle is a full circle, as two half turns.
func Circle(x, y, radius Millimetres, fill Fill, ink Ink) *Shape {
	c := Spot{x, y}
	half := func(to Millimetres) Step {
		return Step{Kind: ArcTo, To: Spot{to, y}, Centre: c, Radius: radius, Turn: 180}
	}
	return &Shape{Steps: []Step{Move(x-radius, y), half(x + radius), half(x - radius), Closed()}, Fill: fill, Ink: ink}
}

// Rule is a straight line.
func Rule(x1, y1, x2, y2 Millimetres, ink Ink) *Shape {
	return &Shape{Steps: []Step{Move(x1, y1), Line(x2, y2)}, Ink: ink}
}

// Add puts items on top.
func (s *Sheet) Add(items ...Item) { s.Items = append(s.Items, items...) }
