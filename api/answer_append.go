package api

import (
	"strconv"

	"github.com/go-json-experiment/json/jsontext"

	"bedline/estimate/measure"
)

// The answer is the largest text that the service writes, and the reflection of encoding/json takes longer over it than
// the engine over a small job; so each type is written member by member here. A test holds every member to what
// encoding/json writes.

// Append writes the answer as JSON, without a line feed.
func (a *Answer) Append(dst []byte) []byte { return appendAnswer(dst, a) }

// appendText writes a string.
func appendText(b []byte, s string) []byte {
	for i := 0; i < len(s); i++ {
		if c := s[i]; c < ' ' || c == '"' || c == '\\' || c >= 0x7f {
			// The quoting of the library takes any text; it can't fail on valid UTF-8, and replaces what is not.
			b, _ = jsontext.AppendQuote(b, s)
			return b
		}
	}
	b = append(b, '"')
	b = append(b, s...)
	return append(b, '"')
}

// appendList writes an array; none is null.
func appendList[T any](b []byte, list []T, one func([]byte, *T) []byte) []byte {
	b = append(b, '[')
	for i := range list {
		if i > 0 {
			b = append(b, ',')
		}
		b = one(b, &list[i])
	}
	return append(b, ']')
}

func appendAnswer(b []byte, v *Answer) []byte {
	b = append(b, `{"id":`...)
	b = appendText(b, v.ID)
	b = append(b, `,"engine":`...)
	b = appendText(b, v.Engine)
	if v.Reference != "" {
		b = append(b, `,"reference":`...)
		b = appendText(b, v.Reference)
	}
	if v.Title != "" {
		b = append(b, `,"title":`...)
		b = appendText(b, v.Title)
	}
	b = append(b, `,"units":`...)
	b = appendText(b, v.Units)
	b = append(b, `,"price_list":`...)
	b = appendPriceListUsed(b, &v.PriceList)
	b = append(b, `,"geometry":`...)
	b = appendGeometry(b, &v.Geometry)
	b = append(b, `,"line_items":`...)
	b = appendList(b, v.LineItems, appendLineItem)
	b = append(b, `,"supply":`...)
	b = appendSupply(b, &v.Supply)
	b = append(b, `,"cut_list":`...)
	b = appendCutList(b, &v.CutList)
	b = append(b, `,"set_out":`...)
	b = appendSetOut(b, &v.SetOut)
	b = append(b, `,"loads":`...)
	b = appendLoads(b, &v.Loads)
	b = append(b, `,"tasks":`...)
	b = appendList(b, v.Tasks, appendTask)
	b = append(b, `,"plan":`...)
	b = appendWorkPlan(b, &v.Plan)
	b = append(b, `,"equipment":`...)
	b = appendList(b, v.Equipment, appendEquipment)
	if len(v.Lifting) > 0 {
		b = append(b, `,"lifting":`...)
		b = appendList(b, v.Lifting, appendLifting)
	}
	b = append(b, `,"notices":`...)
	b = appendList(b, v.Notices, appendNotice)
	b = append(b, `,"totals":`...)
	b = appendTotals(b, &v.Totals)
	if len(v.Options) > 0 {
		b = append(b, `,"options":`...)
		b = appendList(b, v.Options, appendOptionAnswer)
	}
	if v.ChangeOrder != nil {
		b = append(b, `,"change_order":`...)
		b = appendChangeOrder(b, v.ChangeOrder)
	}
	return append(b, '}')
}

func appendPriceListUsed(b []byte, v *PriceListUsed) []byte {
	b = append(b, `{"name":`...)
	b = appendText(b, v.Name)
	b = append(b, `,"version":`...)
	b = strconv.AppendInt(b, int64(v.Version), 10)
	b = append(b, `,"currency":`...)
	b = appendText(b, v.Currency)
	b = append(b, `,"effective":`...)
	b = appendText(b, v.Effective)
	if v.Note != "" {
		b = append(b, `,"note":`...)
		b = appendText(b, v.Note)
	}
	return append(b, '}')
}

func appendQuantity(b []byte, v *Quantity) []byte {
	b = append(b, `{"value":`...)
	b = measure.AppendNumber(b, float64(v.Value))
	b = append(b, `,"unit":`...)
	b = appendText(b, v.Unit)
	return append(b, '}')
}

func appendGeometry(b []byte, v *Geometry) []byte {
	b = append(b, `{"beds":`...)
	b = appendList(b, v.Beds, appendBedGeometry)
	b = append(b, `,"courses":`...)
	b = appendList(b, v.Courses, appendCourseGeometry)
	b = append(b, `,"slabs":`...)
	b = appendList(b, v.Slabs, appendSlabGeometry)
	b = append(b, `,"fields":`...)
	b = appendList(b, v.Fields, appendFieldGeometry)
	b = append(b, `,"fabrics":`...)
	b = appendList(b, v.Fabrics, appendFabricGeometry)
	b = append(b, `,"diggings":`...)
	b = appendList(b, v.Diggings, appendDigging)
	b = append(b, `,"spoil":`...)
	b = appendSpoil(b, &v.Spoil)
	b = appendStanding(b, v)
	return append(b, '}')
}

func appendBedGeometry(b []byte, v *BedGeometry) []byte {
	b = append(b, `{"id":`...)
	b = appendText(b, v.ID)
	b = append(b, `,"area":`...)
	b = appendQuantity(b, &v.Area)
	b = append(b, `,"perimeter":`...)
	b = appendQuantity(b, &v.Perimeter)
	b = append(b, `,"edged_length":`...)
	b = appendQuantity(b, &v.EdgedLength)
	b = append(b, `,"net_stone_area":`...)
	b = appendQuantity(b, &v.NetStoneArea)
	if v.Ties != nil {
		b = append(b, `,"ties":`...)
		b = appendTies(b, v.Ties)
	}
	if len(v.Holes) > 0 {
		b = append(b, `,"holes":`...)
		b = appendList(b, v.Holes, appendHole)
	}
	return append(b, '}')
}

func appendTies(b []byte, v *Ties) []byte {
	b = append(b, `{"tapes":`...)
	b = strconv.AppendInt(b, int64(v.Tapes), 10)
	b = append(b, `,"greatest_misfit":`...)
	b = appendQuantity(b, &v.GreatestMisfit)
	b = append(b, `,"rms_misfit":`...)
	b = appendQuantity(b, &v.RMSMisfit)
	b = append(b, `,"points":`...)
	b = appendList(b, v.Points, appendTiedPoint)
	return append(b, '}')
}

func appendTiedPoint(b []byte, v *TiedPoint) []byte {
	b = append(b, `{"x":`...)
	b = appendQuantity(b, &v.X)
	b = append(b, `,"y":`...)
	b = appendQuantity(b, &v.Y)
	return append(b, '}')
}

func appendCourseGeometry(b []byte, v *CourseGeometry) []byte {
	b = append(b, `{"bed":`...)
	b = appendText(b, v.Bed)
	b = append(b, `,"unit":`...)
	b = appendText(b, v.Unit)
	b = append(b, `,"course":`...)
	b = appendText(b, v.Course)
	b = append(b, `,"face":`...)
	b = appendText(b, v.Face)
	b = append(b, `,"edged_length":`...)
	b = appendQuantity(b, &v.EdgedLength)
	b = append(b, `,"width":`...)
	b = appendQuantity(b, &v.Width)
	b = append(b, `,"trench_depth":`...)
	b = appendQuantity(b, &v.TrenchDepth)
	b = append(b, `,"trench_width":`...)
	b = appendQuantity(b, &v.TrenchWidth)
	b = append(b, `,"base_depth":`...)
	b = appendQuantity(b, &v.BaseDepth)
	b = append(b, `,"sand_depth":`...)
	b = appendQuantity(b, &v.SandDepth)
	b = append(b, `,"units":`...)
	b = appendUnitCount(b, &v.Units)
	b = append(b, `,"joints":`...)
	b = appendJoints(b, &v.Joints)
	b = append(b, `,"least_uncut_radius":`...)
	b = appendUncut(b, &v.LeastUncut)
	b = append(b, `,"runs":`...)
	b = appendList(b, v.Runs, appendRun)
	b = append(b, `,"cuts":`...)
	b = appendList(b, v.Cuts, appendCut)
	return append(b, '}')
}

func appendUnitCount(b []byte, v *UnitCount) []byte {
	b = append(b, `{"whole":`...)
	b = strconv.AppendInt(b, int64(v.Whole), 10)
	b = append(b, `,"cut":`...)
	b = strconv.AppendInt(b, int64(v.Cut), 10)
	b = append(b, `,"total":`...)
	b = strconv.AppendInt(b, int64(v.Total), 10)
	return append(b, '}')
}

func appendJoints(b []byte, v *Joints) []byte {
	b = append(b, `{"count":`...)
	b = strconv.AppendInt(b, int64(v.Count), 10)
	b = append(b, `,"length":`...)
	b = appendQuantity(b, &v.Length)
	b = append(b, `,"volume":`...)
	b = appendQuantity(b, &v.Volume)
	return append(b, '}')
}

func appendRun(b []byte, v *Run) []byte {
	b = append(b, `{"laying":`...)
	b = appendText(b, v.Laying)
	if v.Side != nil {
		b = append(b, `,"side":`...)
		b = strconv.AppendInt(b, int64(*v.Side), 10)
	}
	if v.Corner != nil {
		b = append(b, `,"corner":`...)
		b = strconv.AppendInt(b, int64(*v.Corner), 10)
	}
	b = append(b, `,"length":`...)
	b = appendQuantity(b, &v.Length)
	b = append(b, `,"laid_length":`...)
	b = appendQuantity(b, &v.LaidLength)
	b = append(b, `,"start":`...)
	b = appendRunEnd(b, &v.Start)
	b = append(b, `,"end":`...)
	b = appendRunEnd(b, &v.End)
	b = append(b, `,"units":`...)
	b = appendUnitCount(b, &v.Units)
	b = append(b, `,"joints":`...)
	b = strconv.AppendInt(b, int64(v.Joints), 10)
	b = append(b, `,"joint_width":`...)
	b = appendQuantity(b, &v.JointWidth)
	b = append(b, `,"saw_passes":`...)
	b = strconv.AppendInt(b, int64(v.SawPasses), 10)
	if v.Closers != nil {
		b = append(b, `,"closers":`...)
		b = appendClosers(b, v.Closers)
	}
	if v.Arc != nil {
		b = append(b, `,"arc":`...)
		b = appendArc(b, v.Arc)
	}
	return append(b, '}')
}

func appendClosers(b []byte, v *Closers) []byte {
	b = append(b, `{"count":`...)
	b = strconv.AppendInt(b, int64(v.Count), 10)
	b = append(b, `,"length":`...)
	b = appendQuantity(b, &v.Length)
	b = append(b, `,"shared":`...)
	b = strconv.AppendBool(b, v.Shared)
	return append(b, '}')
}

func appendArc(b []byte, v *Arc) []byte {
	b = append(b, `{"radius":`...)
	b = appendQuantity(b, &v.Radius)
	b = append(b, `,"turn":`...)
	b = appendQuantity(b, &v.Turn)
	b = append(b, `,"bed_inside":`...)
	b = strconv.AppendBool(b, v.BedInside)
	b = append(b, `,"unit_turn":`...)
	b = appendQuantity(b, &v.UnitTurn)
	if v.Gap != nil {
		b = append(b, `,"gap":`...)
		b = appendQuantity(b, v.Gap)
	}
	if v.ShortFace != nil {
		b = append(b, `,"short_face":`...)
		b = appendQuantity(b, v.ShortFace)
	}
	if v.Wedge != nil {
		b = append(b, `,"wedge":`...)
		b = appendWedge(b, v.Wedge)
	}
	return append(b, '}')
}

func appendCut(b []byte, v *Cut) []byte {
	b = append(b, `{"kind":`...)
	b = appendText(b, v.Kind)
	b = append(b, `,"count":`...)
	b = strconv.AppendInt(b, int64(v.Count), 10)
	if v.Side != nil {
		b = append(b, `,"side":`...)
		b = strconv.AppendInt(b, int64(*v.Side), 10)
	}
	if v.Corner != nil {
		b = append(b, `,"corner":`...)
		b = strconv.AppendInt(b, int64(*v.Corner), 10)
	}
	b = append(b, `,"angle":`...)
	b = appendQuantity(b, &v.Angle)
	b = append(b, `,"off":`...)
	b = appendQuantity(b, &v.Off)
	b = append(b, `,"left":`...)
	b = appendQuantity(b, &v.Left)
	b = append(b, `,"length":`...)
	b = appendQuantity(b, &v.Length)
	return append(b, '}')
}

func appendSlabGeometry(b []byte, v *SlabGeometry) []byte {
	b = append(b, `{"id":`...)
	b = appendText(b, v.ID)
	if v.InBed != "" {
		b = append(b, `,"in_bed":`...)
		b = appendText(b, v.InBed)
	}
	b = append(b, `,"unit":`...)
	b = appendText(b, v.Unit)
	b = append(b, `,"units":`...)
	b = strconv.AppendInt(b, int64(v.Units), 10)
	b = append(b, `,"length":`...)
	b = appendQuantity(b, &v.Length)
	b = append(b, `,"width":`...)
	b = appendQuantity(b, &v.Width)
	b = append(b, `,"gap_area":`...)
	b = appendQuantity(b, &v.GapArea)
	b = append(b, `,"dig_depth":`...)
	b = appendQuantity(b, &v.DigDepth)
	b = append(b, `,"base_depth":`...)
	b = appendQuantity(b, &v.BaseDepth)
	b = append(b, `,"sand_depth":`...)
	b = appendQuantity(b, &v.SandDepth)
	return append(b, '}')
}

func appendFabricGeometry(b []byte, v *FabricGeometry) []byte {
	b = append(b, `{"bed":`...)
	b = appendText(b, v.Bed)
	b = append(b, `,"material":`...)
	b = appendText(b, v.Material)
	b = append(b, `,"direction":`...)
	b = appendQuantity(b, &v.Direction)
	b = append(b, `,"strips":`...)
	b = appendList(b, v.Strips, appendStrip)
	b = append(b, `,"cover_area":`...)
	b = appendQuantity(b, &v.CoverArea)
	b = append(b, `,"cloth_area":`...)
	b = appendQuantity(b, &v.ClothArea)
	b = append(b, `,"seam_length":`...)
	b = appendQuantity(b, &v.SeamLength)
	b = append(b, `,"joins":`...)
	b = strconv.AppendInt(b, int64(v.Joins), 10)
	b = append(b, `,"pins":`...)
	b = strconv.AppendInt(b, int64(v.Pins), 10)
	if v.OpeningCut != nil {
		b = append(b, `,"opening_cut":`...)
		b = appendQuantity(b, v.OpeningCut)
	}
	return append(b, '}')
}

func appendStrip(b []byte, v *Strip) []byte {
	b = append(b, `{"length":`...)
	b = appendQuantity(b, &v.Length)
	b = append(b, `,"pieces":`...)
	b = strconv.AppendInt(b, int64(v.Pieces), 10)
	return append(b, '}')
}

func appendDigging(b []byte, v *Digging) []byte {
	b = append(b, `{"zone":`...)
	b = appendText(b, v.Zone)
	b = append(b, `,"part":`...)
	b = appendText(b, v.Part)
	b = append(b, `,"depth":`...)
	b = appendQuantity(b, &v.Depth)
	b = append(b, `,"area":`...)
	b = appendQuantity(b, &v.Area)
	b = append(b, `,"volume":`...)
	b = appendQuantity(b, &v.Volume)
	if v.Earthwork != nil {
		b = append(b, `,"earthwork":`...)
		b = appendEarthwork(b, v.Earthwork)
	}
	return append(b, '}')
}

func appendSpoil(b []byte, v *Spoil) []byte {
	b = append(b, `{"bank":`...)
	b = appendQuantity(b, &v.Bank)
	b = append(b, `,"loose":`...)
	b = appendQuantity(b, &v.Loose)
	b = append(b, `,"mass":`...)
	b = appendQuantity(b, &v.Mass)
	return append(b, '}')
}

func appendLineItem(b []byte, v *LineItem) []byte {
	b = append(b, `{"key":`...)
	b = appendText(b, v.Key)
	b = append(b, `,"category":`...)
	b = appendText(b, v.Category)
	b = append(b, `,"description":`...)
	b = appendText(b, v.Description)
	if v.Material != "" {
		b = append(b, `,"material":`...)
		b = appendText(b, v.Material)
	}
	if v.Operation != "" {
		b = append(b, `,"operation":`...)
		b = appendText(b, v.Operation)
	}
	if v.Tool != "" {
		b = append(b, `,"tool":`...)
		b = appendText(b, v.Tool)
	}
	if v.Equipment != "" {
		b = append(b, `,"equipment":`...)
		b = appendText(b, v.Equipment)
	}
	if v.Supplier != "" {
		b = append(b, `,"supplier":`...)
		b = appendText(b, v.Supplier)
	}
	if len(v.Zones) > 0 {
		b = append(b, `,"zones":`...)
		b = appendList(b, v.Zones, appendZone)
	}
	if v.Measured != nil {
		b = append(b, `,"measured":`...)
		b = appendQuantity(b, v.Measured)
	}
	if v.Compaction != nil {
		b = append(b, `,"compaction_factor":`...)
		b = measure.AppendNumber(b, float64(*v.Compaction))
	}
	if v.Waste != nil {
		b = append(b, `,"waste":`...)
		b = appendWaste(b, v.Waste)
	}
	if v.Required != nil {
		b = append(b, `,"required":`...)
		b = appendQuantity(b, v.Required)
	}
	if len(v.Order) > 0 {
		b = append(b, `,"order":`...)
		b = appendList(b, v.Order, appendOrderLine)
	}
	if v.OrderShared {
		b = append(b, `,"order_shared":`...)
		b = strconv.AppendBool(b, v.OrderShared)
	}
	if v.Surplus != nil {
		b = append(b, `,"surplus":`...)
		b = appendQuantity(b, v.Surplus)
	}
	if v.Mass != nil {
		b = append(b, `,"mass":`...)
		b = appendQuantity(b, v.Mass)
	}
	if v.Rate != nil {
		b = append(b, `,"rate":`...)
		b = appendWorkRate(b, v.Rate)
	}
	if v.Hours != "" {
		b = append(b, `,"hours":`...)
		b = append(b, v.Hours...)
	}
	b = append(b, `,"amount":`...)
	b = appendText(b, v.Amount)
	b = append(b, `,"tax":`...)
	b = appendText(b, v.Tax)
	b = append(b, `,"workings":`...)
	b = appendList(b, v.Workings, appendWorking)
	return append(b, '}')
}

func appendZone(b []byte, v *Zone) []byte {
	b = append(b, `{"id":`...)
	b = appendText(b, v.ID)
	b = append(b, `,"measured":`...)
	b = appendQuantity(b, &v.Measured)
	return append(b, '}')
}

func appendWaste(b []byte, v *Waste) []byte {
	b = append(b, `{"factor":`...)
	b = measure.AppendNumber(b, float64(v.Factor))
	b = append(b, `,"basis":`...)
	b = appendText(b, v.Basis)
	return append(b, '}')
}

func appendOrderLine(b []byte, v *OrderLine) []byte {
	b = append(b, `{"offer":`...)
	b = appendText(b, v.Offer)
	b = append(b, `,"supplier":`...)
	b = appendText(b, v.Supplier)
	b = append(b, `,"form":`...)
	b = appendText(b, v.Form)
	b = append(b, `,"count":`...)
	b = append(b, v.Count...)
	b = append(b, `,"content":`...)
	b = appendText(b, v.Content)
	b = append(b, `,"price":`...)
	b = appendText(b, v.Price)
	b = append(b, `,"amount":`...)
	b = appendText(b, v.Amount)
	return append(b, '}')
}

func appendWorking(b []byte, v *Working) []byte {
	b = append(b, `{"label":`...)
	b = appendText(b, v.Label)
	b = append(b, `,"expression":`...)
	b = appendText(b, v.Expression)
	b = append(b, `,"result":`...)
	b = appendText(b, v.Result)
	return append(b, '}')
}

func appendSupply(b []byte, v *Supply) []byte {
	b = append(b, `{"plan":`...)
	b = appendPlan(b, &v.Plan)
	b = append(b, `,"tally":`...)
	b = appendTally(b, v.Tally)
	b = append(b, `,"rivals":`...)
	b = appendList(b, v.Rivals, appendRival)
	b = append(b, `,"break_even":`...)
	b = appendList(b, v.BreakEven, appendBreakEven)
	if v.RunningShort != nil {
		b = append(b, `,"running_short":`...)
		b = appendRunningShort(b, v.RunningShort)
	}
	return append(b, '}')
}

func appendPlan(b []byte, v *Plan) []byte {
	b = append(b, `{"landed_cost":`...)
	b = appendText(b, v.LandedCost)
	b = append(b, `,"goods":`...)
	b = appendText(b, v.Goods)
	b = append(b, `,"delivery":`...)
	b = appendText(b, v.Delivery)
	if v.CrewTime != "" {
		b = append(b, `,"crew_time":`...)
		b = appendText(b, v.CrewTime)
	}
	if v.Tax != "" {
		b = append(b, `,"tax":`...)
		b = appendText(b, v.Tax)
	}
	if v.LeftOver != "" {
		b = append(b, `,"left_over":`...)
		b = appendText(b, v.LeftOver)
	}
	b = append(b, `,"optimal":`...)
	b = strconv.AppendBool(b, v.Optimal)
	b = append(b, `,"bound":`...)
	b = appendText(b, v.Bound)
	b = append(b, `,"suppliers":`...)
	b = appendList(b, v.Suppliers, appendSupplierPlan)
	b = append(b, `,"purchases":`...)
	b = appendList(b, v.Purchases, appendPurchase)
	return append(b, '}')
}

func appendSupplierPlan(b []byte, v *SupplierPlan) []byte {
	b = append(b, `{"supplier":`...)
	b = appendText(b, v.Supplier)
	b = append(b, `,"way":`...)
	b = appendText(b, v.Way)
	b = append(b, `,"goods":`...)
	b = appendText(b, v.Goods)
	b = append(b, `,"delivery":`...)
	b = appendText(b, v.Delivery)
	b = append(b, `,"drops":`...)
	b = strconv.AppendInt(b, int64(v.Drops), 10)
	b = append(b, `,"trips":`...)
	b = strconv.AppendInt(b, int64(v.Trips), 10)
	b = append(b, `,"mass":`...)
	b = appendQuantity(b, &v.Mass)
	if v.CrewTime != "" {
		b = append(b, `,"crew_time":`...)
		b = appendText(b, v.CrewTime)
	}
	if len(v.Loads) > 0 {
		b = append(b, `,"loads":`...)
		b = appendList(b, v.Loads, appendRidesWith)
	}
	return append(b, '}')
}

func appendPurchase(b []byte, v *Purchase) []byte {
	b = append(b, `{"material":`...)
	b = appendText(b, v.Material)
	b = append(b, `,"offer":`...)
	b = appendText(b, v.Offer)
	b = append(b, `,"supplier":`...)
	b = appendText(b, v.Supplier)
	b = append(b, `,"form":`...)
	b = appendText(b, v.Form)
	b = append(b, `,"count":`...)
	b = append(b, v.Count...)
	b = append(b, `,"content":`...)
	b = appendText(b, v.Content)
	b = append(b, `,"price":`...)
	b = appendText(b, v.Price)
	b = append(b, `,"amount":`...)
	b = appendText(b, v.Amount)
	return append(b, '}')
}

func appendRival(b []byte, v *Rival) []byte {
	b = append(b, `{"name":`...)
	b = appendText(b, v.Name)
	b = append(b, `,"kept":`...)
	b = appendList(b, v.Kept, func(b []byte, s *string) []byte { return appendText(b, *s) })
	if v.Plan != nil {
		b = append(b, `,"plan":`...)
		b = appendPlan(b, v.Plan)
	}
	if v.Tally != nil {
		b = append(b, `,"tally":`...)
		b = appendTally(b, v.Tally)
	}
	if v.Unavailable != "" {
		b = append(b, `,"unavailable":`...)
		b = appendText(b, v.Unavailable)
	}
	return append(b, '}')
}

func appendBreakEven(b []byte, v *BreakEven) []byte {
	b = append(b, `{"material":`...)
	b = appendText(b, v.Material)
	b = append(b, `,"needed":`...)
	b = appendQuantity(b, &v.Needed)
	if v.Bags != nil {
		b = append(b, `,"bags":`...)
		b = appendPlan(b, v.Bags)
	}
	if v.Bulk != nil {
		b = append(b, `,"bulk":`...)
		b = appendPlan(b, v.Bulk)
	}
	if v.Above != nil {
		b = append(b, `,"above":`...)
		b = appendQuantity(b, v.Above)
	}
	b = append(b, `,"range":`...)
	b = appendQuantity(b, &v.Range)
	b = append(b, `,"sentence":`...)
	b = appendText(b, v.Sentence)
	if v.Steps != nil {
		b = append(b, `,"steps":`...)
		b = appendSteps(b, v.Steps)
	}
	return append(b, '}')
}

func appendCutList(b []byte, v *CutList) []byte {
	b = append(b, `{"cuts":`...)
	b = appendList(b, v.Cuts, appendListedCut)
	b = append(b, `,"saw_passes":`...)
	b = strconv.AppendInt(b, int64(v.SawPasses), 10)
	return append(b, '}')
}

func appendListedCut(b []byte, v *ListedCut) []byte {
	b = append(b, `{"bed":`...)
	b = appendText(b, v.Bed)
	b = append(b, `,"unit":`...)
	b = appendText(b, v.Unit)
	b = append(b, `,"kind":`...)
	b = appendText(b, v.Kind)
	b = append(b, `,"count":`...)
	b = strconv.AppendInt(b, int64(v.Count), 10)
	if v.Side != nil {
		b = append(b, `,"side":`...)
		b = strconv.AppendInt(b, int64(*v.Side), 10)
	}
	if v.Corner != nil {
		b = append(b, `,"corner":`...)
		b = strconv.AppendInt(b, int64(*v.Corner), 10)
	}
	b = append(b, `,"angle":`...)
	b = appendQuantity(b, &v.Angle)
	b = append(b, `,"off":`...)
	b = appendQuantity(b, &v.Off)
	b = append(b, `,"left":`...)
	b = appendQuantity(b, &v.Left)
	b = append(b, `,"length":`...)
	b = appendQuantity(b, &v.Length)
	return append(b, '}')
}

func appendNotice(b []byte, v *Notice) []byte {
	b = append(b, `{"code":`...)
	b = appendText(b, v.Code)
	b = append(b, `,"severity":`...)
	b = appendText(b, v.Severity)
	b = append(b, `,"message":`...)
	b = appendText(b, v.Message)
	if v.Confirm != "" {
		b = append(b, `,"confirm":`...)
		b = appendText(b, v.Confirm)
	}
	if v.Where != "" {
		b = append(b, `,"where":`...)
		b = appendText(b, v.Where)
	}
	if v.Source != "" {
		b = append(b, `,"source":`...)
		b = appendText(b, v.Source)
	}
	return append(b, '}')
}

func appendTotals(b []byte, v *Totals) []byte {
	b = append(b, `{"hours":`...)
	b = append(b, v.Hours...)
	b = append(b, `,"materials":`...)
	b = appendText(b, v.Materials)
	b = append(b, `,"delivery":`...)
	b = appendText(b, v.Delivery)
	b = append(b, `,"equipment":`...)
	b = appendText(b, v.Equipment)
	b = append(b, `,"labour":`...)
	b = appendText(b, v.Labour)
	b = append(b, `,"disposal":`...)
	b = appendText(b, v.Disposal)
	b = append(b, `,"direct_cost":`...)
	b = appendText(b, v.DirectCost)
	b = append(b, `,"contingency":`...)
	b = appendText(b, v.Contingency)
	b = append(b, `,"overhead":`...)
	b = appendText(b, v.Overhead)
	b = append(b, `,"profit":`...)
	b = appendText(b, v.Profit)
	b = append(b, `,"before_tax":`...)
	b = appendText(b, v.BeforeTax)
	b = append(b, `,"taxes":`...)
	b = appendList(b, v.Taxes, appendTax)
	b = append(b, `,"tax":`...)
	b = appendText(b, v.Tax)
	b = append(b, `,"price":`...)
	b = appendText(b, v.Price)
	b = append(b, `,"workings":`...)
	b = appendList(b, v.Workings, appendWorking)
	b = appendCharges(b, v)
	return append(b, '}')
}

func appendTax(b []byte, v *Tax) []byte {
	b = append(b, `{"name":`...)
	b = appendText(b, v.Name)
	b = append(b, `,"percent":`...)
	b = append(b, v.Percent...)
	b = append(b, `,"on":`...)
	b = appendList(b, v.On, func(b []byte, s *string) []byte { return appendText(b, *s) })
	b = append(b, `,"amount":`...)
	b = appendText(b, v.Amount)
	if v.Jurisdiction != "" {
		b = append(b, `,"jurisdiction":`...)
		b = appendText(b, v.Jurisdiction)
	}
	b = append(b, `,"base":`...)
	b = appendText(b, v.Base)
	b = append(b, `,"parts":`...)
	b = appendList(b, v.Parts, appendTaxPart)
	return append(b, '}')
}
