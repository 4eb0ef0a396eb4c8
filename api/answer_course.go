package api

import (
	"bedline/estimate"
	"bedline/estimate/course"
	"bedline/estimate/outline"
)

// Hole is one hole of a bed.
type Hole struct {
	BedLine
	Islands []BedLine `json:"islands"`
}

// BedLine is the line of a hole or of an island in it.
type BedLine struct {
	FirstSide int      `json:"first_side"`
	Sides     int      `json:"sides"`
	Area      Quantity `json:"area"` // inside the line
	Perimeter Quantity `json:"perimeter"`
	Ties      *Ties    `json:"ties,omitempty"`
}

// RunEnd is where a run starts or ends. X and Y are the place on the bed line where the face of the unit on it does.
type RunEnd struct {
	Kind   string    `json:"kind"` // free, tangent, through, short, long, mitre or open
	Corner *int      `json:"corner,omitempty"`
	X      Quantity  `json:"x"`
	Y      Quantity  `json:"y"`
	Gap    *Quantity `json:"gap,omitempty"`
	Turn   *Quantity `json:"turn,omitempty"`
}

// Uncut are the least radii of a bed line on which the units can stay uncut. One is absent where no radius is enough.
type Uncut struct {
	BedInside  *Quantity `json:"bed_inside,omitempty"`
	BedOutside *Quantity `json:"bed_outside,omitempty"`
}

// Wedge is the cut of each of the two faces at a joint of an arc.
type Wedge struct {
	Angle     Quantity `json:"angle"`
	Off       Quantity `json:"off"`
	CutLength Quantity `json:"cut_length"`
}

// runEnds are the kinds of ends of runs by their number.
var runEnds = [...]string{course.Free: "free", course.Tangent: "tangent", course.Through: "through", course.Short: "short", course.Long: "long",
	course.Mitred: "mitre", course.Open: "open"}

func (w writer) runEnd(e *course.End, at outline.Point) RunEnd {
	out := RunEnd{Kind: runEnds[e.Kind], Corner: index(e.Corner), X: w.length(at.X), Y: w.length(at.Y)}
	if e.Corner != outline.None {
		turn := w.angle(max(e.Turn, -e.Turn))
		out.Turn = &turn
	}
	if e.Kind == course.Open {
		gap := w.depth(e.Gap)
		out.Gap = &gap
	}
	return out
}

func (w writer) uncut(s *course.Spec) Uncut {
	radius := func(inside bool) *Quantity {
		r, ok := s.LeastUncut(inside)
		if !ok {
			return nil
		}
		q := w.length(r)
		return &q
	}
	within := s.Face == course.FaceInside // the course is inside the arcs that the bed is inside of
	return Uncut{BedInside: radius(within), BedOutside: radius(!within)}
}

func (w writer) wedge(r *course.Run) *Wedge {
	return &Wedge{Angle: w.angle(r.Wedge), Off: w.depth(r.Off), CutLength: w.depth(r.CutLength)}
}

func (w writer) holes(list []estimate.HoleTakeoff) []Hole {
	var out []Hole
	for i := range list {
		h := Hole{BedLine: w.bedLine(&list[i].LineTakeoff), Islands: make([]BedLine, 0, len(list[i].Islands))}
		for k := range list[i].Islands {
			h.Islands = append(h.Islands, w.bedLine(&list[i].Islands[k]))
		}
		out = append(out, h)
	}
	return out
}

func (w writer) bedLine(l *estimate.LineTakeoff) BedLine {
	return BedLine{FirstSide: l.Side, Sides: l.Sides, Area: w.area(l.Area), Perimeter: w.length(l.Perimeter), Ties: w.ties(l.Ties)}
}
