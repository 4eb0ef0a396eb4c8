package api

import (
	"strconv"

	"bedline/estimate"
	"bedline/estimate/bond"
	"bedline/estimate/course"
	"bedline/estimate/measure"
)

// FieldGeometry is one paved area: the field of units and the border round it. Single units are not listed.
type FieldGeometry struct {
	ID          string       `json:"id"`
	InBed       string       `json:"in_bed,omitempty"`
	Unit        string       `json:"unit"`
	Bond        string       `json:"bond"`
	Start       TiedPoint    `json:"start"`
	Direction   Quantity     `json:"direction"`
	Area        Quantity     `json:"area"` // inside the border, less the openings
	Units       UnitCount    `json:"units"`
	Bought      FieldBought  `json:"bought"`
	LaidArea    Quantity     `json:"laid_area"`
	LostArea    Quantity     `json:"lost_area"`
	JointArea   Quantity     `json:"joint_area"`
	Joints      Joints       `json:"joints"`
	SideJoint   Quantity     `json:"side_joint"`
	EndJoint    Quantity     `json:"end_joint"`
	Narrow      int          `json:"narrow_pieces"`
	UnderLeast  int          `json:"under_least_piece"`
	SawPasses   int          `json:"saw_passes"`
	Waste       FieldWaste   `json:"waste"`
	Search      *FieldSearch `json:"search,omitempty"`
	Border      *Border      `json:"border,omitempty"`
	JointVolume Quantity     `json:"joint_volume"` // with those of the border and against it
	DigDepth    Quantity     `json:"dig_depth"`
	BaseDepth   Quantity     `json:"base_depth"`
	SandDepth   Quantity     `json:"sand_depth"`
}

// FieldBought is the number of units to buy for a field and what is known of it.
type FieldBought struct {
	Units       int    `json:"units"`
	FromOffcuts int    `json:"from_offcuts"`
	Method      string `json:"method"` // whole_units, packed or exhaustive
	ByArea      int    `json:"least_by_area"`
	ByRule      int    `json:"least_by_rule"`
	Exact       bool   `json:"exact"`
}

// FieldWaste sets the waste as counted beside the customary percentage.
type FieldWaste struct {
	Counted          Number `json:"counted"`   // faces bought over faces laid
	OverArea         Number `json:"over_area"` // faces bought over the ground of the field
	CustomaryPercent Number `json:"customary_percent"`
	CustomarySource  string `json:"customary_source"`
}

// FieldSearch is the search for the start, absent where the request fixes it.
type FieldSearch struct {
	Tried      int        `json:"tried"`
	Directions []Quantity `json:"directions"`
	Work       int        `json:"work"`
	Stopped    bool       `json:"stopped"`
	First      FieldTry   `json:"first"`
}

// FieldTry is what one start comes to.
type FieldTry struct {
	Start     TiedPoint `json:"start"`
	Direction Quantity  `json:"direction"`
	Whole     int       `json:"whole"`
	Cut       int       `json:"cut"`
	Bought    int       `json:"bought"`
}

// Border is the course round a field.
type Border struct {
	Unit       string    `json:"unit"`
	Course     string    `json:"course"`
	Width      Quantity  `json:"width"`
	Area       Quantity  `json:"area"`
	Units      UnitCount `json:"units"`
	Joints     Joints    `json:"joints"`
	EdgeLength Quantity  `json:"edge_length"` // of the field's edge against it
	EdgeArea   Quantity  `json:"edge_area"`   // of the joint there
	Runs       []Run     `json:"runs"`
	Cuts       []Cut     `json:"cuts"`
}

func (w writer) fields(list []estimate.PavingTakeoff) []FieldGeometry {
	out := make([]FieldGeometry, 0, len(list))
	for i := range list {
		out = append(out, w.field(&list[i]))
	}
	return out
}

func (w writer) field(p *estimate.PavingTakeoff) FieldGeometry {
	f := p.Field
	out := FieldGeometry{ID: p.ID, InBed: p.Area.InBed, Unit: p.Area.Unit.Key, Bond: p.Area.Bond,
		Start: TiedPoint{X: w.length(f.Start.X), Y: w.length(f.Start.Y)}, Direction: w.angle(f.Direction), Area: w.area(f.Area),
		Units:    UnitCount{Whole: f.Whole, Cut: f.Cut, Total: f.Whole + f.Cut},
		Bought:   bought(&f.Bought),
		LaidArea: w.area(f.LaidArea), LostArea: w.area(f.LostArea()), JointArea: w.area(f.JointArea),
		Joints:    Joints{Count: f.Joints.Count, Length: w.length(f.Joints.Length), Volume: w.volume(f.JointArea.AtDepth(p.FillDepth))},
		SideJoint: w.depth(f.SideJoint), EndJoint: w.depth(f.EndJoint), Narrow: f.Narrow, UnderLeast: f.Under, SawPasses: f.SawPasses,
		Waste: FieldWaste{Counted: Number(p.CountedWaste()), OverArea: Number(p.AreaWaste()),
			CustomaryPercent: Number(100 * float64(p.Customary.Share)), CustomarySource: p.Customary.Source},
		JointVolume: w.volume(p.JointVolume), DigDepth: w.depth(p.DigDepth), BaseDepth: w.depth(p.BaseDepth), SandDepth: w.depth(p.SandDepth)}
	if s := &f.Search; s.Tried > 0 {
		search := &FieldSearch{Tried: s.Tried, Directions: make([]Quantity, len(s.Directions)), Work: s.Work, Stopped: s.Stopped,
			First: FieldTry{Start: TiedPoint{X: w.length(s.First.Start.X), Y: w.length(s.First.Start.Y)}, Direction: w.angle(s.First.Direction),
				Whole: s.First.Whole, Cut: s.First.Cut, Bought: s.First.Units}}
		for i, d := range s.Directions {
			search.Directions[i] = w.angle(d)
		}
		out.Search = search
	}
	if p.Border != nil {
		out.Border = w.border(p)
	}
	return out
}

func bought(b *bond.Bought) FieldBought {
	out := FieldBought{Units: b.Units, FromOffcuts: b.FromOffcuts, Method: "whole_units", ByArea: b.AreaBound, ByRule: b.RuleBound, Exact: b.Exact}
	switch b.Method {
	case bond.Packed:
		out.Method = "packed"
	case bond.Exhaustive:
		out.Method = "exhaustive"
	}
	return out
}

func (w writer) border(p *estimate.PavingTakeoff) *Border {
	laid, spec := p.Border, p.Area.Border
	out := &Border{Unit: spec.Unit.Key, Course: "sailor", Width: w.depth(laid.Width), Area: w.area(p.BorderArea), Units: units(laid.Units),
		Joints:     Joints{Count: laid.Joints, Length: w.length(laid.JointLength), Volume: w.volume(laid.JointVolume)},
		EdgeLength: w.length(p.EdgeLength), EdgeArea: w.area(p.EdgeArea),
		Runs: make([]Run, 0, len(laid.Runs)), Cuts: make([]Cut, 0, len(laid.Cuts))}
	if spec.Laying.Kind == course.Soldier {
		out.Course = "soldier"
	}
	for i := range laid.Runs {
		out.Runs = append(out.Runs, w.run(&laid.Runs[i], spec.Laying.Face))
	}
	for _, cut := range laid.Cuts {
		out.Cuts = append(out.Cuts, w.cut(cut))
	}
	return out
}

func appendFieldGeometry(b []byte, v *FieldGeometry) []byte {
	b = append(b, `{"id":`...)
	b = appendText(b, v.ID)
	if v.InBed != "" {
		b = append(b, `,"in_bed":`...)
		b = appendText(b, v.InBed)
	}
	b = append(b, `,"unit":`...)
	b = appendText(b, v.Unit)
	b = append(b, `,"bond":`...)
	b = appendText(b, v.Bond)
	b = append(b, `,"start":`...)
	b = appendTiedPoint(b, &v.Start)
	b = append(b, `,"direction":`...)
	b = appendQuantity(b, &v.Direction)
	b = append(b, `,"area":`...)
	b = appendQuantity(b, &v.Area)
	b = append(b, `,"units":`...)
	b = appendUnitCount(b, &v.Units)
	b = append(b, `,"bought":`...)
	b = appendFieldBought(b, &v.Bought)
	b = append(b, `,"laid_area":`...)
	b = appendQuantity(b, &v.LaidArea)
	b = append(b, `,"lost_area":`...)
	b = appendQuantity(b, &v.LostArea)
	b = append(b, `,"joint_area":`...)
	b = appendQuantity(b, &v.JointArea)
	b = append(b, `,"joints":`...)
	b = appendJoints(b, &v.Joints)
	b = append(b, `,"side_joint":`...)
	b = appendQuantity(b, &v.SideJoint)
	b = append(b, `,"end_joint":`...)
	b = appendQuantity(b, &v.EndJoint)
	b = append(b, `,"narrow_pieces":`...)
	b = strconv.AppendInt(b, int64(v.Narrow), 10)
	b = append(b, `,"under_least_piece":`...)
	b = strconv.AppendInt(b, int64(v.UnderLeast), 10)
	b = append(b, `,"saw_passes":`...)
	b = strconv.AppendInt(b, int64(v.SawPasses), 10)
	b = append(b, `,"waste":`...)
	b = appendFieldWaste(b, &v.Waste)
	if v.Search != nil {
		b = append(b, `,"search":`...)
		b = appendFieldSearch(b, v.Search)
	}
	if v.Border != nil {
		b = append(b, `,"border":`...)
		b = appendBorder(b, v.Border)
	}
	b = append(b, `,"joint_volume":`...)
	b = appendQuantity(b, &v.JointVolume)
	b = append(b, `,"dig_depth":`...)
	b = appendQuantity(b, &v.DigDepth)
	b = append(b, `,"base_depth":`...)
	b = appendQuantity(b, &v.BaseDepth)
	b = append(b, `,"sand_depth":`...)
	b = appendQuantity(b, &v.SandDepth)
	return append(b, '}')
}

func appendFieldBought(b []byte, v *FieldBought) []byte {
	b = append(b, `{"units":`...)
	b = strconv.AppendInt(b, int64(v.Units), 10)
	b = append(b, `,"from_offcuts":`...)
	b = strconv.AppendInt(b, int64(v.FromOffcuts), 10)
	b = append(b, `,"method":`...)
	b = appendText(b, v.Method)
	b = append(b, `,"least_by_area":`...)
	b = strconv.AppendInt(b, int64(v.ByArea), 10)
	b = append(b, `,"least_by_rule":`...)
	b = strconv.AppendInt(b, int64(v.ByRule), 10)
	b = append(b, `,"exact":`...)
	b = strconv.AppendBool(b, v.Exact)
	return append(b, '}')
}

func appendFieldWaste(b []byte, v *FieldWaste) []byte {
	b = append(b, `{"counted":`...)
	b = measure.AppendNumber(b, float64(v.Counted))
	b = append(b, `,"over_area":`...)
	b = measure.AppendNumber(b, float64(v.OverArea))
	b = append(b, `,"customary_percent":`...)
	b = measure.AppendNumber(b, float64(v.CustomaryPercent))
	b = append(b, `,"customary_source":`...)
	b = appendText(b, v.CustomarySource)
	return append(b, '}')
}

func appendFieldSearch(b []byte, v *FieldSearch) []byte {
	b = append(b, `{"tried":`...)
	b = strconv.AppendInt(b, int64(v.Tried), 10)
	b = append(b, `,"directions":`...)
	b = appendList(b, v.Directions, appendQuantity)
	b = append(b, `,"work":`...)
	b = strconv.AppendInt(b, int64(v.Work), 10)
	b = append(b, `,"stopped":`...)
	b = strconv.AppendBool(b, v.Stopped)
	b = append(b, `,"first":`...)
	b = appendFieldTry(b, &v.First)
	return append(b, '}')
}

func appendFieldTry(b []byte, v *FieldTry) []byte {
	b = append(b, `{"start":`...)
	b = appendTiedPoint(b, &v.Start)
	b = append(b, `,"direction":`...)
	b = appendQuantity(b, &v.Direction)
	b = append(b, `,"whole":`...)
	b = strconv.AppendInt(b, int64(v.Whole), 10)
	b = append(b, `,"cut":`...)
	b = strconv.AppendInt(b, int64(v.Cut), 10)
	b = append(b, `,"bought":`...)
	b = strconv.AppendInt(b, int64(v.Bought), 10)
	return append(b, '}')
}

func appendBorder(b []byte, v *Border) []byte {
	b = append(b, `{"unit":`...)
	b = appendText(b, v.Unit)
	b = append(b, `,"course":`...)
	b = appendText(b, v.Course)
	b = append(b, `,"width":`...)
	b = appendQuantity(b, &v.Width)
	b = append(b, `,"area":`...)
	b = appendQuantity(b, &v.Area)
	b = append(b, `,"units":`...)
	b = appendUnitCount(b, &v.Units)
	b = append(b, `,"joints":`...)
	b = appendJoints(b, &v.Joints)
	b = append(b, `,"edge_length":`...)
	b = appendQuantity(b, &v.EdgeLength)
	b = append(b, `,"edge_area":`...)
	b = appendQuantity(b, &v.EdgeArea)
	b = append(b, `,"runs":`...)
	b = appendList(b, v.Runs, appendRun)
	b = append(b, `,"cuts":`...)
	b = appendList(b, v.Cuts, appendCut)
	return append(b, '}')
}
