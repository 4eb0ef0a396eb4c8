package edition

import (
	"strings"

	"github.com/govalues/decimal"

	"bedline/api/render"
	"bedline/api/render/page"
	"bedline/estimate"
	"bedline/estimate/measure"
	"bedline/pricing"
	"bedline/pricing/supply"
)

// order tells by when a supplier's goods are ordered and needed.
func (c *crew) order(d *pricing.PlannedDelivery) string {
	p := c.quote.Plan
	values := []string{"supplier", c.supplier(d.Supplier), "task", c.operation(d.For), "day", c.words.Whole(c.dayOf(d) + 1), "lead", c.lead(d.LeadDays)}
	if !p.Calendar.IsDated() {
		return c.say("order.undated", values...)
	}
	values = append(values, "by", c.weekday(d.OrderBy), "needed", c.weekday(p.Calendar.Start(d.Needed).Day()))
	if d.Early {
		return c.say("order.early", values...)
	}
	return c.say("order.dated", values...)
}

// dayOf is the number of the day on which a delivery is needed.
func (c *crew) dayOf(d *pricing.PlannedDelivery) int {
	day, _ := c.quote.Plan.Calendar.Number(d.Needed)
	return day
}

func (c *crew) lead(days int) string {
	if days == 0 {
		return c.say("lead_days.none")
	}
	return c.count("lead_days", days)
}

func (c *crew) supplier(key string) string {
	if s, ok := c.quote.List.Supplier(key); ok && s.Name != "" {
		return s.Name
	}
	return key
}

// shopping is what to buy, supplier by supplier.
func (c *crew) shopping() {
	plan := &c.quote.Supply.Plan
	if len(plan.Purchases) == 0 {
		return
	}
	c.part("shopping", true)
	for i := range plan.Suppliers {
		c.from(plan, &plan.Suppliers[i])
	}
	t := c.table(c.say("shopping.caption"), "supplier*1.4", "way*1.4", "#mass", "#goods", "#charge")
	for i := range plan.Suppliers {
		u := &plan.Suppliers[i]
		row(t, c.supplier(u.Supplier), c.way(u), c.mass(u.Mass), c.money(u.Goods), c.money(u.Charge))
	}
	total(t, c.say("shopping.total"), "", "", c.money(plan.Goods), c.money(plan.Delivery))
	c.show(t)
	c.remark(c.say("shopping.note"))
	if c.quote.List.Note != "" {
		c.add(&page.Paragraph{Text: c.sentence(c.quote.List.Note), Faint: true})
	}
	for i := range c.quote.Lines {
		if l := &c.quote.Lines[i]; l.Key == estimate.Labour && l.Work == nil && l.Hours.IsPos() {
			c.paragraph(c.say("fetching", "hours", c.hours(l.Hours)))
		}
	}
}

func (c *crew) way(u *supply.Use) string {
	if u.Way == supply.PickedUp {
		return c.count("trips", u.Trips)
	}
	return c.count("drops", u.Trips)
}

// from is the list of one supplier.
func (c *crew) from(plan *supply.Plan, u *supply.Use) {
	name := c.supplier(u.Supplier)
	c.under(name)
	var f facts
	f.add(c.say("fact.way"), c.way(u))
	for i := range u.Loads {
		l := &u.Loads[i]
		with := l.With
		if with == "" {
			with = c.say("load_group.rest")
		}
		f.add(c.say("fact.load_group", "with", with), c.count("load_group", l.Trips, "mass", c.mass(l.Mass)))
	}
	if p := c.quote.Plan; p != nil {
		for i := range p.Deliveries {
			if d := &p.Deliveries[i]; d.Supplier == u.Supplier {
				if c.quote.Plan.Calendar.IsDated() {
					f.add(c.say("fact.order_by"), c.weekday(d.OrderBy))
				}
				f.add(c.say("fact.needed"), c.say("needed", "day", c.dayName(c.dayOf(d)), "task", c.operation(d.For)))
			}
		}
	}
	c.add(f.block())
	t := c.table(c.say("purchases.caption", "supplier", name), "material*2.6", "pack*1.2", "#count*0.7", "#mass*0.9", "#price*0.8", "#amount")
	for i := range plan.Purchases {
		b := &plan.Purchases[i]
		if b.Supplier != u.Supplier {
			continue
		}
		pack := b.Offer
		if o := c.quote.List.Offer(b.Offer); o != nil {
			pack = c.pack(o)
		}
		tick(t, c.material(b.Material), pack, c.decimal(b.Count), c.mass(b.Mass), c.price(b.Price), c.money(b.Amount))
	}
	total(t, c.say("purchases.total"), "", "", c.mass(u.Mass), "", c.money(u.Goods))
	c.show(t)
}

// forms tell how bags or bulk was decided, material by material.
func (c *crew) forms() {
	t := c.table(c.say("forms.caption"), "material*1.6", "#needed*0.8", "in_bags*2", "in_bulk*2", "bulk_from*0.9", "taken*0.8")
	for i := range c.quote.Supply.Comparison {
		k := &c.quote.Supply.Comparison[i]
		above := c.say("forms.bags_always")
		if k.Found {
			above = c.say("forms.above", "volume", c.volume(measure.Volume(k.Above)))
		}
		row(t, k.Material.Name, c.volume(k.Needed), c.alone(&k.BagPlan), c.alone(&k.BulkPlan), above, c.taken(k.Material.Key))
	}
	if len(t.Rows) > 0 {
		c.part("forms", false)
		c.add(t)
		c.remark(c.say("forms.note"))
		c.figure("", render.Cost(c.quote, c.words), "cost.caption")
	}
}

// alone is a plan for one material in a few words: "29 bags of 50 lb, 1 trip: $154.10".
func (c *crew) alone(p *supply.Plan) string {
	if len(p.Purchases) == 0 {
		return c.say("forms.not_sold")
	}
	var words []string
	for i := range p.Purchases {
		b := &p.Purchases[i]
		pack := b.Offer
		if o := c.quote.List.Offer(b.Offer); o != nil {
			pack = c.pack(o)
		}
		words = append(words, c.say("times", "count", c.decimal(b.Count), "pack", pack))
	}
	for i := range p.Suppliers {
		words = append(words, c.way(&p.Suppliers[i]))
	}
	return c.say("forms.plan", "goods", strings.Join(words, ", "), "amount", c.money(p.Landed))
}

// taken is how a material is bought in the end.
func (c *crew) taken(material string) string {
	var words []string
	for i := range c.quote.Supply.Plan.Purchases {
		if b := &c.quote.Supply.Plan.Purchases[i]; b.Material == material {
			words = append(words, c.say("form."+b.Form.String()))
		}
	}
	return strings.Join(words, " + ")
}

// short tells how likely it is that a material runs out, and what it is topped up with then.
func (c *crew) short() {
	s := c.quote.Supply.Short
	if s == nil {
		return
	}
	c.part("short", false)
	words := c.say("short.chance", "share", c.percent(float64(s.Taken.Short)))
	if s.Confidence > 0 {
		words = c.say("short.confidence", "share", c.percent(float64(s.Confidence))) + " " + words
	}
	c.paragraph(words)
	t := c.table(c.say("short.caption"), "material*1.8", "#needed", "#bought", "#chance", "top_up*1.6")
	for i := range s.Materials {
		m := &s.Materials[i]
		top := ""
		if m.Deviation > 0 {
			top = m.TopUp.Offer
			if o := c.quote.List.Offer(m.TopUp.Offer); o != nil {
				top = c.say("short.top_up", "pack", c.pack(o), "supplier", c.supplier(m.TopUp.Supplier))
			}
		}
		row(t, m.Material.Name, c.needed(m.Required, m.Material), c.amount(content(m.Bought, m.Material), m.Material), c.percent(float64(m.Short)), top)
	}
	c.show(t)
}

// leftOver is what is bought beyond the need, and what is left of the rolls: worth keeping for repairs.
func (c *crew) leftOver() {
	t := c.table(c.say("left.caption"), "material*2", "#needed", "#bought", "#left_over")
	for i := range c.quote.Supply.Plan.Covers {
		v := &c.quote.Supply.Plan.Covers[i]
		m, ok := c.quote.List.Catalogue.Material(v.Material)
		if !ok {
			continue
		}
		surplus := content(v.Surplus, m)
		if surplus.Kind == estimate.CountAmount {
			surplus.Value = float64(measure.RoundDown(surplus.Value)) // as the need counts whole ones
		}
		if surplus.Value > 0 {
			row(t, m.Name, c.needed(content(v.Need, m), m), c.amount(content(v.Bought, m), m), c.amount(surplus, m))
		}
	}
	if len(t.Rows) > 0 {
		c.part("left", false)
		c.add(t)
		c.remark(c.say("left.note"))
	}
}

// changes are the options and the change order, as far as they change the work.
func (c *crew) changes() {
	if o := c.quote.ChangeOrder; o != nil {
		c.part("change_order", false)
		title := o.Earlier.Job.Title
		if o.Earlier.Job.Reference != "" {
			title = strings.TrimSpace(o.Earlier.Job.Reference + " " + title)
		}
		c.paragraph(c.say("change_order.earlier", "title", title) + " " + c.hoursMore(o.Difference.Totals.Hours))
		t := c.table(c.say("work.caption"), "task*2", "work_change", "#hours")
		for i := range o.NewWork {
			row(t, c.operation(o.NewWork[i].Operation), c.say("work.new"), c.decimal(o.NewWork[i].Hours))
		}
		for i := range o.Dropped {
			row(t, c.operation(o.Dropped[i].Operation), c.say("work.dropped"), c.decimal(o.Dropped[i].Hours))
		}
		c.show(t)
		c.difference(&o.Difference, true)
		stock := c.table(c.say("stock.caption"), "material*2", "#bought_before", "#needed_now", "#left_over", "#to_buy")
		for i := range o.Stock {
			s := &o.Stock[i]
			row(stock, s.Material.Name, c.some(s.Bought, s.Material), c.some(s.Required, s.Material), c.some(s.LeftOver, s.Material), c.some(s.ToBuy, s.Material))
		}
		c.show(stock)
	}
	if len(c.quote.Options) == 0 {
		return
	}
	c.part("options", false)
	c.paragraph(c.say("options.note"))
	for i := range c.quote.Options {
		o := &c.quote.Options[i]
		c.under(o.Name)
		c.paragraph(c.hoursMore(o.Difference.Totals.Hours))
		c.difference(&o.Difference, false)
	}
}

// some is an amount, or that there is none.
func (c *crew) some(a estimate.Amount, m *estimate.Material) string {
	if a.Value == 0 {
		return c.say("none")
	}
	return c.needed(a, m)
}

// hoursMore is by how much the work in all grows or shrinks.
func (c *crew) hoursMore(d decimal.Decimal) string {
	switch {
	case d.IsZero():
		return c.say("hours_same")
	case d.IsNeg():
		return c.say("hours_less", "hours", c.hours(d.Abs()))
	}
	return c.say("hours_more", "hours", c.hours(d))
}

// difference is what work and goods change by: quantities and hours, no prices. Work that is new or drops out may be
// left to a table of its own.
func (c *crew) difference(d *pricing.Difference, workApart bool) {
	t := c.table(c.say("difference.caption"), "item*2.5", "#before", "#after_change")
	for i := range d.Lines {
		l := d.Lines[i].Line()
		name := ""
		switch {
		case l.Material != nil:
			name = c.say("item", "purpose", c.purpose(l), "material", l.Material.Material.Name)
		case l.Work != nil:
			if workApart && (d.Lines[i].Before == nil || d.Lines[i].After == nil) {
				continue
			}
			name = c.operation(l.Work.Operation)
			if l.Work.Material != nil {
				name = c.say("item", "purpose", name, "material", l.Work.Material.Name)
			}
		case l.Spoil:
			name = c.say("spoil")
		case l.Hire != nil:
			name = l.Hire.Machine.Name
		default:
			continue // deliveries stand in the shopping list
		}
		before, after := c.lineAmount(d.Lines[i].Before), c.lineAmount(d.Lines[i].After)
		if before != after {
			row(t, name, before, after)
		}
	}
	c.show(t)
}

// lineAmount is the quantity of a line: what it takes of a material, the hours of work, the volume of spoil.
func (c *crew) lineAmount(l *pricing.Line) string {
	switch {
	case l == nil:
		return c.say("none")
	case l.Material != nil:
		return c.needed(l.Material.Required, l.Material.Material)
	case l.Work != nil:
		return c.hours(l.Hours)
	case l.Spoil:
		return c.volume(l.Loose)
	case l.Hire != nil:
		return c.say("hired")
	}
	return ""
}

// lifting is what one person should not lift alone.
func (c *crew) lifting() {
	t := c.table(c.say("lifting.caption"), "thing*2.8", "#mass*0.7", "#limit*0.8", "#index*0.8", "advice*2.5")
	for i := range c.quote.Lifting {
		x := &c.quote.Lifting[i]
		row(t, c.say("lift."+x.Kind, "material", x.Material.Name), c.mass(x.Mass), c.mass(x.Limit), c.index(x), c.advice(x))
	}
	if len(t.Rows) > 0 {
		c.part("lifting", false)
		c.paragraph(c.say("lifting.advice"))
		c.add(t)
		c.remark(c.say("lifting.note"))
	}
}

// advice is what to do about a heavy thing. Above an index of 3 nearly all are at an increased risk (NIOSH 94-110).
func (c *crew) advice(x *estimate.Lifting) string {
	words := c.say("lift.some")
	if x.Limit <= 0 || x.Index > 3 {
		words = c.say("lift.never")
	}
	if x.Kind != "unit" {
		words += c.say("lift.smaller")
	}
	return words
}

func (c *crew) index(x *estimate.Lifting) string {
	if x.Limit <= 0 {
		return c.say("index.none")
	}
	return c.number(float64(x.Index), 1)
}
