package api

import (
	"encoding/json"

	"github.com/govalues/decimal"

	"bedline/estimate"
	"bedline/estimate/course"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
	"bedline/pricing"
	"bedline/pricing/money"
	"bedline/pricing/supply"
)

// NewAnswer puts a quote into the words of the contract, in the units that the request chose.
func NewAnswer(q *pricing.Quote) *Answer {
	w := writer{system: q.Job.System, currency: q.List.Currency, list: q.List}
	tasks, plan := w.tasks(q.Plan, q.Terms.Crew.Zone)
	answer := &Answer{
		ID: q.ID, Engine: estimate.Version, Reference: q.Job.Reference, Title: q.Job.Title, Units: q.Job.System.String(),
		PriceList: listUsed(q.List),
		Geometry:  w.geometry(q.Takeoff),
		LineItems: w.lines(q.Lines),
		Supply:    w.supply(&q.Supply),
		CutList:   w.cutList(q.Takeoff),
		SetOut:    w.setOut(&q.Takeoff.SetOut),
		Loads:     w.loads(q),
		Tasks:     tasks,
		Plan:      plan,
		Equipment: w.equipment(q),
		Lifting:   w.lifting(q.Lifting),
		Notices:   notices(q.Notices),
		Totals:    w.totals(&q.Totals),
	}
	if len(q.Options) > 0 {
		answer.Options = w.options(q.Options)
	}
	if q.ChangeOrder != nil {
		answer.ChangeOrder = w.changeOrder(q.ChangeOrder)
	}
	return answer
}

// writer turns typed quantities and money into those of the wire.
type writer struct {
	system   measure.System
	currency money.Currency
	list     *pricing.List
}

func quantity(q measure.Quantity) Quantity { return Quantity{Value: Number(q.Value), Unit: q.Unit} }

// The values are not rounded here: Number is written with as many digits as measure gives out.

func (w writer) length(l measure.Length) Quantity {
	unit, name := w.system.LengthUnit()
	return Quantity{Number(l.In(unit)), name}
}

func (w writer) depth(l measure.Length) Quantity {
	unit, name := w.system.DepthUnit()
	return Quantity{Number(l.In(unit)), name}
}

func (w writer) area(a measure.Area) Quantity {
	unit, name := w.system.AreaUnit()
	return Quantity{Number(a.In(unit)), name}
}

func (w writer) volume(v measure.Volume) Quantity {
	unit, name := w.system.VolumeUnit()
	return Quantity{Number(v.In(unit)), name}
}

func (w writer) mass(m measure.Mass) Quantity {
	unit, name := w.system.MassUnit()
	return Quantity{Number(m.In(unit)), name}
}

func (w writer) angle(a measure.Angle) Quantity { return quantity(w.system.Angle(a)) }
func (w writer) money(a money.Amount) string    { return w.currency.Format(a) }

// amount writes an amount; counted stands behind a count.
func (w writer) amount(a estimate.Amount, counted string) Quantity {
	switch a.Kind {
	case estimate.LengthAmount:
		return w.length(measure.Length(a.Value))
	case estimate.AreaAmount:
		return w.area(measure.Area(a.Value))
	case estimate.VolumeAmount:
		return w.volume(measure.Volume(a.Value))
	}
	return quantity(measure.Quantity{Value: a.Value, Unit: counted})
}

func decimalNumber(d decimal.Decimal) json.Number { return json.Number(d.Trim(0).String()) }

// index is a side or corner number, absent for None.
func index(i int) *int {
	if i == outline.None {
		return nil
	}
	return &i
}

func (w writer) geometry(t *estimate.Takeoff) Geometry {
	g := Geometry{
		Beds: make([]BedGeometry, 0, len(t.Beds)), Courses: make([]CourseGeometry, 0, len(t.Courses)), Slabs: make([]SlabGeometry, 0, len(t.Slabs)),
		Fabrics: make([]FabricGeometry, 0, len(t.Fabrics)), Diggings: make([]Digging, 0, len(t.Diggings)),
		Spoil: Spoil{Bank: w.volume(t.Spoil.Bank), Loose: w.volume(t.Spoil.Loose), Mass: w.mass(t.Spoil.Mass)},
	}
	for _, b := range t.Beds {
		g.Beds = append(g.Beds, BedGeometry{ID: b.ID, Area: w.area(b.Area), Perimeter: w.length(b.Perimeter), EdgedLength: w.length(b.EdgedLength), NetStoneArea: w.area(b.NetStoneArea), Ties: w.ties(b.Ties), Holes: w.holes(b.Holes)})
	}
	for i := range t.Courses {
		g.Courses = append(g.Courses, w.course(&t.Courses[i]))
	}
	for i := range t.Slabs {
		s := &t.Slabs[i]
		g.Slabs = append(g.Slabs, SlabGeometry{ID: s.ID, InBed: s.Group.InBed, Unit: s.Group.Unit.Key, Units: s.Grid.Units(),
			Length: w.length(s.Grid.Length()), Width: w.length(s.Grid.Width()), GapArea: w.area(s.Grid.GapArea()),
			DigDepth: w.depth(s.DigDepth), BaseDepth: w.depth(s.BaseDepth), SandDepth: w.depth(s.SandDepth)})
	}
	g.Fields = w.fields(t.Paving)
	for i := range t.Fabrics {
		f := &t.Fabrics[i]
		out := FabricGeometry{Bed: f.Bed, Material: f.Material.Key, Direction: w.angle(f.Layout.Direction), Strips: make([]Strip, 0, len(f.Layout.Strips)),
			CoverArea: w.area(f.Layout.CoverArea), ClothArea: w.area(f.Layout.ClothArea), SeamLength: w.length(f.Layout.SeamLength), Joins: f.Layout.Joins, Pins: f.Pins}
		if f.CutLength > 0 {
			cut := w.length(f.CutLength)
			out.OpeningCut = &cut
		}
		for _, s := range f.Layout.Strips {
			out.Strips = append(out.Strips, Strip{Length: w.length(s.Length), Pieces: len(s.Pieces)})
		}
		g.Fabrics = append(g.Fabrics, out)
	}
	for i := range t.Diggings {
		g.Diggings = append(g.Diggings, w.digging(&t.Diggings[i]))
	}
	w.standing(&g, t)
	return g
}

func (w writer) ties(a *outline.Adjustment) *Ties {
	if a == nil {
		return nil
	}
	out := &Ties{Tapes: a.Tapes, GreatestMisfit: w.depth(a.Greatest), RMSMisfit: w.depth(a.RMS), Points: make([]TiedPoint, len(a.Points))}
	for i, p := range a.Points {
		out.Points[i] = TiedPoint{X: w.length(p.X), Y: w.length(p.Y)}
	}
	return out
}

func units(u course.Units) UnitCount { return UnitCount{Whole: u.Whole, Cut: u.Cut, Total: u.Total} }

func (w writer) course(c *estimate.CourseTakeoff) CourseGeometry {
	laid := c.Course
	out := CourseGeometry{Bed: c.Bed, Unit: c.Spec.Unit.Key, Course: "sailor", EdgedLength: w.length(laid.EdgedLength), Width: w.depth(laid.Width),
		TrenchDepth: w.depth(c.TrenchDepth), TrenchWidth: w.depth(laid.TrenchWidth), BaseDepth: w.depth(c.BaseDepth), SandDepth: w.depth(c.SandDepth),
		Units: units(laid.Units), Joints: Joints{Count: laid.Joints, Length: w.length(laid.JointLength), Volume: w.volume(laid.JointVolume)},
		LeastUncut: w.uncut(&c.Spec.Laying), Face: "inside", Runs: make([]Run, 0, len(laid.Runs)), Cuts: make([]Cut, 0, len(laid.Cuts))}
	if c.Spec.Laying.Kind == course.Soldier {
		out.Course = "soldier"
	}
	if c.Spec.Laying.Face == course.FaceOutside {
		out.Face = "outside"
	}
	for i := range laid.Runs {
		out.Runs = append(out.Runs, w.run(&laid.Runs[i], c.Spec.Laying.Face))
	}
	for _, cut := range laid.Cuts {
		out.Cuts = append(out.Cuts, w.cut(cut))
	}
	return out
}

func (w writer) run(r *course.Run, face course.Face) Run {
	first, last := r.Faces()
	out := Run{Start: w.runEnd(&r.First, first), End: w.runEnd(&r.Last, last), SawPasses: r.SawPasses,
		Side: index(r.Side), Corner: index(r.Corner), Laying: "straight", Length: w.length(r.Length), LaidLength: w.length(r.RunLength),
		Units: units(r.Units), Joints: r.Joints, JointWidth: w.depth(r.JointWidth)}
	if r.Closers > 0 {
		out.Closers = &Closers{Count: r.Closers, Length: w.depth(r.Closer), Shared: r.Shared()}
	}
	if r.Laying == course.LaidStraight {
		return out
	}
	out.Laying = "open"
	out.Arc = &Arc{Radius: w.length(r.Radius), Turn: w.angle(r.Turn), BedInside: r.Inside == (face == course.FaceInside), UnitTurn: w.angle(r.UnitTurn)}
	if r.Laying == course.LaidCut {
		out.Laying = "cut"
		short := w.depth(r.ShortFace)
		out.Arc.ShortFace = &short
		out.Arc.Wedge = w.wedge(r)
	} else {
		gap := w.depth(r.Gap)
		out.Arc.Gap = &gap
	}
	return out
}

func (w writer) cut(c course.Cut) Cut {
	kind := "closer"
	switch c.Kind {
	case course.Wedge:
		kind = "wedge"
	case course.Mitre:
		kind = "mitre"
	case course.Splay:
		kind = "splay"
	}
	return Cut{Kind: kind, Count: c.Count, Side: index(c.Side), Corner: index(c.Corner), Angle: w.angle(c.Angle), Off: w.depth(c.Off), Left: w.depth(c.Left), Length: w.depth(c.Length)}
}

func (w writer) cutList(t *estimate.Takeoff) CutList {
	list := CutList{Cuts: []ListedCut{}}
	for i := range t.Courses {
		c := &t.Courses[i]
		list.SawPasses += c.Course.SawPasses
		for _, cut := range c.Course.Cuts {
			list.Cuts = append(list.Cuts, ListedCut{Bed: c.Bed, Unit: c.Spec.Unit.Key, Cut: w.cut(cut)})
		}
	}
	for i := range t.Paving {
		p := &t.Paving[i]
		list.SawPasses += p.SawPasses()
		if p.Border == nil {
			continue
		}
		for _, cut := range p.Border.Cuts {
			list.Cuts = append(list.Cuts, ListedCut{Bed: p.ID, Unit: p.Area.Border.Unit.Key, Cut: w.cut(cut)})
		}
	}
	return list
}

func workings(list []estimate.Working) []Working {
	out := make([]Working, len(list))
	for i, step := range list {
		out[i] = Working(step)
	}
	return out
}

func (w writer) lines(lines []pricing.Line) []LineItem {
	out := make([]LineItem, len(lines))
	for i := range lines {
		out[i] = w.line(&lines[i])
	}
	return out
}

func (w writer) line(l *pricing.Line) LineItem {
	item := LineItem{Key: string(l.Key), Category: string(l.Category), Description: l.Description, Supplier: l.Supplier, OrderShared: l.Shared,
		Amount: w.money(l.Amount), Tax: w.money(l.Tax), Workings: workings(l.Workings)}
	if l.Mass > 0 {
		mass := w.mass(l.Mass)
		item.Mass = &mass
	}
	switch {
	case l.Material != nil:
		w.materialLine(l, &item)
	case l.Work != nil:
		w.workLine(l, &item)
	case l.Hire != nil:
		item.Equipment = l.Hire.Machine.Key
	case l.Spoil:
		measured := w.volume(l.Loose)
		item.Measured = &measured
	case l.Hours.IsPos(): // of the crew's time for what is bought
		item.Hours = decimalNumber(l.Hours)
	}
	return item
}

func (w writer) materialLine(l *pricing.Line, item *LineItem) {
	m := l.Material
	counted := counted(m.Material)
	item.Material = m.Material.Key
	measured, required := w.amount(m.Measured, counted), w.amount(m.Required, counted)
	surplus := w.amount(estimate.Amount{Kind: m.Required.Kind, Value: l.Surplus}, counted)
	item.Measured, item.Required, item.Surplus = &measured, &required, &surplus
	item.Waste = &Waste{Factor: Number(m.Waste.Factor), Basis: string(m.Waste.Basis)}
	if m.Material.Kind == estimate.LooseMaterial {
		compaction := Number(m.Material.CompactionFactor)
		item.Compaction = &compaction
	}
	for _, z := range m.Zones {
		item.Zones = append(item.Zones, Zone{ID: z.ID, Measured: w.amount(z.Share, counted)})
	}
	for _, o := range l.Orders {
		item.Order = append(item.Order, OrderLine{Offer: o.Offer.Key, Supplier: o.Supplier, Form: string(o.Offer.Form), Count: decimalNumber(o.Count),
			Content: o.Offer.Written.String(), Price: o.Price.String(), Amount: w.money(o.Amount)})
	}
}

func (w writer) supply(s *pricing.Supply) Supply {
	out := Supply{Plan: w.plan(&s.Plan), Tally: w.tally(&s.Plan), Rivals: make([]Rival, 0, len(s.Rivals)), BreakEven: make([]BreakEven, 0, len(s.Comparison))}
	for i := range s.Rivals {
		r := &s.Rivals[i]
		rival := Rival{Name: r.Name, Kept: append([]string{}, r.Kept...)}
		if r.Err != nil {
			rival.Unavailable = r.Err.Error()
		} else {
			plan := w.plan(&r.Plan)
			rival.Plan, rival.Tally = &plan, w.tally(&r.Plan)
		}
		out.Rivals = append(out.Rivals, rival)
	}
	for i := range s.Comparison {
		c := &s.Comparison[i]
		b := BreakEven{Material: c.Material.Key, Needed: w.volume(c.Needed), Range: w.volume(measure.Volume(c.Range)), Sentence: c.Sentence, Steps: w.steps(c)}
		if len(c.BagPlan.Purchases) > 0 {
			plan := w.plan(&c.BagPlan)
			b.Bags = &plan
		}
		if len(c.BulkPlan.Purchases) > 0 {
			plan := w.plan(&c.BulkPlan)
			b.Bulk = &plan
		}
		if c.Found {
			above := w.volume(measure.Volume(c.Above))
			b.Above = &above
		}
		out.BreakEven = append(out.BreakEven, b)
	}
	out.RunningShort = w.runningShort(s.Short)
	return out
}

func (w writer) plan(p *supply.Plan) Plan {
	out := Plan{LandedCost: w.money(p.Landed), Goods: w.money(p.Goods), Delivery: w.money(p.Delivery), Optimal: p.Optimal, Bound: w.money(p.Bound),
		Suppliers: make([]SupplierPlan, 0, len(p.Suppliers)), Purchases: make([]Purchase, 0, len(p.Purchases))}
	if p.Handling != 0 {
		out.CrewTime = w.money(p.Handling)
	}
	if p.Tax != 0 {
		out.Tax = w.money(p.Tax)
	}
	if p.Worth != 0 {
		out.LeftOver = w.money(p.Worth)
	}
	for _, u := range p.Suppliers {
		s := SupplierPlan{Supplier: u.Supplier, Way: u.Way.String(), Goods: w.money(u.Goods), Delivery: w.money(u.Charge), Mass: w.mass(u.Mass), Loads: w.ridesWith(&u)}
		if u.Way == supply.PickedUp {
			s.Trips = u.Trips
		} else {
			s.Drops = u.Trips
		}
		if u.Crew != 0 {
			s.CrewTime = w.money(u.Crew)
		}
		out.Suppliers = append(out.Suppliers, s)
	}
	for i := range p.Purchases {
		b := &p.Purchases[i]
		content := ""
		if o := w.list.Offer(b.Offer); o != nil {
			content = o.Written.String()
		}
		out.Purchases = append(out.Purchases, Purchase{Material: b.Material, Offer: b.Offer, Supplier: b.Supplier, Form: b.Form.String(), Count: decimalNumber(b.Count),
			Content: content, Price: b.Price.String(), Amount: w.money(b.Amount)})
	}
	return out
}

func notices(list []estimate.Notice) []Notice {
	out := make([]Notice, len(list))
	for i, n := range list {
		out[i] = Notice{Code: n.Code, Severity: string(n.Severity), Message: n.Message, Confirm: n.Confirm, Where: n.Where, Source: n.Source}
	}
	return out
}

func (w writer) totals(t *pricing.Totals) Totals {
	out := Totals{Hours: decimalNumber(t.Hours), Materials: w.money(t.Materials), Delivery: w.money(t.Delivery), Equipment: w.money(t.Equipment), Labour: w.money(t.Labour),
		Disposal: w.money(t.Disposal), DirectCost: w.money(t.Direct), Contingency: w.money(t.Contingency), Overhead: w.money(t.Overhead), Profit: w.money(t.Profit),
		BeforeTax: w.money(t.BeforeTax), Taxes: make([]Tax, 0, len(t.Taxes)), Tax: w.money(t.Tax), Price: w.money(t.Price), Workings: workings(t.Workings)}
	for _, tax := range t.Taxes {
		on := make([]string, len(tax.On))
		for i, c := range tax.On {
			on[i] = string(c)
		}
		out.Taxes = append(out.Taxes, Tax{Name: tax.Name, Percent: decimalNumber(tax.Percent), On: on, Amount: w.money(tax.Amount),
			Jurisdiction: tax.Jurisdiction, Base: w.money(tax.Base), Parts: w.taxParts(tax.Parts)})
	}
	w.charges(t, &out)
	return out
}
