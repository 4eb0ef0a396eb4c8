package bond

import (
	"errors"
	"fmt"
	"math"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// MostSlabs is the largest number of slabs in a grid.
const MostSlabs = 100_000

// Grid is a group of slabs in rows and columns. Before turning, At is the corner with the least x and y; the length of
// a slab and the columns run along +x, its width and the rows along +y. Rotate turns the whole about At.
type Grid struct {
	At                    outline.Point
	UnitLength, UnitWidth measure.Length
	Gap                   measure.Length // between neighbours, 0 or more
	Rows, Columns         int
	Rotate                measure.Angle
}

// GridField names a member of Grid in an error.
type GridField uint8

const (
	GridUnitLength GridField = iota
	GridUnitWidth
	GridGap
	GridRows
	GridColumns
	GridRotate
)

var gridFieldNames = [...]string{"slab length", "slab width", "gap", "rows", "columns", "rotation"}

func (f GridField) String() string { return gridFieldNames[f] }

// GridError is a number that makes no grid: a slab without size, a negative gap, no row or column, or more than
// MostSlabs slabs.
type GridError struct {
	Field GridField
	Value measure.Factor // metres, radians or a count
}

func (e *GridError) Error() string {
	return fmt.Sprintf("%v is out of range: %g", e.Field, float64(e.Value))
}

// Check gives a *GridError for every number that makes no grid, joined.
func (g Grid) Check() error {
	var faults []error
	bad := func(ok bool, f GridField, v float64) {
		if !ok {
			faults = append(faults, &GridError{Field: f, Value: measure.Factor(v)})
		}
	}
	size := func(l measure.Length) bool { return l > 0 && !math.IsInf(float64(l), 0) }
	bad(size(g.UnitLength), GridUnitLength, float64(g.UnitLength))
	bad(size(g.UnitWidth), GridUnitWidth, float64(g.UnitWidth))
	bad(g.Gap >= 0 && !math.IsInf(float64(g.Gap), 0), GridGap, float64(g.Gap))
	bad(g.Rows > 0 && g.Rows <= MostSlabs, GridRows, float64(g.Rows))
	bad(g.Columns > 0 && g.Columns <= MostSlabs, GridColumns, float64(g.Columns))
	if len(faults) == 0 {
		bad(g.Units() <= MostSlabs, GridRows, float64(g.Rows))
	}
	bad(!math.IsNaN(float64(g.Rotate)) && !math.IsInf(float64(g.Rotate), 0), GridRotate, float64(g.Rotate))
	return errors.Join(faults...)
}

// Units is the number of slabs.
func (g Grid) Units() int { return g.Rows * g.Columns }

// Length is the size of the grid along the columns, gaps between slabs included.
func (g Grid) Length() measure.Length { return spread(g.Columns, g.UnitLength, g.Gap) }

// Width is the size of the grid along the rows, gaps between slabs included.
func (g Grid) Width() measure.Length { return spread(g.Rows, g.UnitWidth, g.Gap) }

func spread(n int, unit, gap measure.Length) measure.Length {
	return unit.Scale(measure.Factor(n)) + gap.Scale(measure.Factor(n-1))
}

// SlabArea is the face area of all slabs.
func (g Grid) SlabArea() measure.Area {
	return g.UnitLength.Times(g.UnitWidth).Scale(measure.Factor(g.Units()))
}

// GapArea is the area of all gaps between slabs, the crossings included.
func (g Grid) GapArea() measure.Area {
	across := g.Gap.Scale(measure.Factor(g.Columns - 1)).Times(g.Width())
	along := g.Gap.Scale(measure.Factor(g.Rows - 1)).Times(g.UnitLength.Scale(measure.Factor(g.Columns)))
	return across + along
}

// Joints is the number of places where two slabs lie side by side.
func (g Grid) Joints() int { return g.Rows*(g.Columns-1) + g.Columns*(g.Rows-1) }

// JointLength is the length of all of them together, crossings not included.
func (g Grid) JointLength() measure.Length {
	return g.UnitWidth.Scale(measure.Factor(g.Rows*(g.Columns-1))) + g.UnitLength.Scale(measure.Factor(g.Columns*(g.Rows-1)))
}

// JointVolume is what fills all gaps to the depth d.
func (g Grid) JointVolume(d measure.Length) measure.Volume { return g.GapArea().AtDepth(d) }

// Footprint is the rectangle round the grid, gaps included.
func (g Grid) Footprint() outline.Loop { return g.Trench(0) }

// Trench is the rectangle that is dug for the grid, wider by the clearance on all four sides.
func (g Grid) Trench(clearance measure.Length) outline.Loop {
	return g.rectangle(-clearance, -clearance, g.Length()+clearance, g.Width()+clearance)
}

// Slabs are the outlines of the slabs, row by row from At.
func (g Grid) Slabs() []outline.Loop {
	slabs := make([]outline.Loop, 0, g.Units())
	for row := range g.Rows {
		y := (g.UnitWidth + g.Gap).Scale(measure.Factor(row))
		for column := range g.Columns {
			x := (g.UnitLength + g.Gap).Scale(measure.Factor(column))
			slabs = append(slabs, g.rectangle(x, y, x+g.UnitLength, y+g.UnitWidth))
		}
	}
	return slabs
}

// rectangle is the counter-clockwise loop between two corners given in the directions of the grid from At.
func (g Grid) rectangle(x0, y0, x1, y1 measure.Length) outline.Loop {
	corners := [...]outline.Point{g.place(x0, y0), g.place(x1, y0), g.place(x1, y1), g.place(x0, y1)}
	loop := make(outline.Loop, len(corners))
	for i, p := range corners {
		loop[i] = outline.Edge{From: p, To: corners[(i+1)%len(corners)]}
	}
	return loop
}

// place turns a place in the directions of the grid into one of the job.
func (g Grid) place(x, y measure.Length) outline.Point {
	sin, cos := measure.Factor(measure.Sin(g.Rotate)), measure.Factor(measure.Cos(g.Rotate))
	return outline.Point{X: g.At.X + (x.Scale(cos) - y.Scale(sin)), Y: g.At.Y + (x.Scale(sin) + y.Scale(cos))}
}
