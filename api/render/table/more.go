package table

import (
	"strings"

	"bedline/api/render/locale"
	"bedline/pricing"
)

// suppliers are those of the buying plan: how their goods come and what that costs.
func suppliers(q *pricing.Quote, l *locale.Locale) *Table {
	s := sheets{q, l}
	dated := q.Plan != nil && q.Plan.Calendar.IsDated()
	columns := []Column{{Key: "supplier"}, {Key: "supplier_key"}, {Key: "way"}, {Key: "trips", Kind: Whole}, {Key: "goods", Kind: Money}, {Key: "charge", Kind: Money},
		{Key: "mass", Kind: Quantity}, {Key: "lead_days", Kind: Whole}, {Key: "needed_for"}}
	if dated {
		columns = append(columns, Column{Key: "order_by", Kind: Date}, Column{Key: "needed_by", Kind: Date})
	}
	t := s.table("suppliers", columns...)
	for i := range q.Supply.Plan.Suppliers {
		u := &q.Supply.Plan.Suppliers[i]
		var lead, order, needed Cell
		needs := ""
		if d := s.deliveryOf(u.Supplier); d != nil {
			lead, needs = whole(d.LeadDays), s.operation(d.For)
			if dated {
				order, needed = day(d.OrderBy), day(q.Plan.Calendar.Start(d.Needed).Day())
			}
		}
		row := []Cell{words(s.supplier(u.Supplier)), words(u.Supplier), words(s.way(u)), whole(u.Trips), amount(u.Goods), amount(u.Charge), s.mass(u.Mass), lead, words(needs)}
		if dated {
			row = append(row, order, needed)
		}
		t.add(row...)
	}
	return t.keysLast()
}

// tasks are what the crew does, by their starts.
func tasks(q *pricing.Quote, l *locale.Locale) *Table {
	s := sheets{q, l}
	dated := q.Plan != nil && q.Plan.Calendar.IsDated()
	columns := []Column{{Key: "number", Kind: Whole}, {Key: "task"}, {Key: "operation_key"}, {Key: "tool"}, {Key: "machine"}, {Key: "people", Kind: Whole}, {Key: "hours", Kind: Number},
		{Key: "minutes", Kind: Whole}, {Key: "first_day", Kind: Whole}, {Key: "last_day", Kind: Whole}}
	if dated {
		columns = append(columns, Column{Key: "start", Kind: Moment}, Column{Key: "end", Kind: Moment})
	}
	columns = append(columns, Column{Key: "slack", Kind: Whole}, Column{Key: "critical"}, Column{Key: "after"})
	t := s.table("tasks", columns...)
	if q.Plan == nil {
		return t.keysLast()
	}
	c := q.Plan.Calendar
	for i := range q.Plan.Tasks {
		k := &q.Plan.Tasks[i]
		first, _ := c.Number(k.Start)
		last, _ := c.EndNumber(k.End)
		machine, critical := "", s.say("no")
		if k.Machine != nil {
			machine = k.Machine.Name
		}
		if k.Times.Critical {
			critical = s.say("yes")
		}
		var after []string
		for n := range k.Waits {
			after = append(after, s.operation(k.Waits[n].For))
		}
		row := []Cell{whole(i + 1), words(s.operation(k.Operation)), words(string(k.Operation)), words(s.tool(k.Tool)), words(machine), whole(k.People), number(k.Hours),
			whole(int(k.Length)), whole(first + 1), whole(last + 1)}
		if dated {
			row = append(row, moment(c.Start(k.Start)), moment(c.End(k.End)))
		}
		t.add(append(row, whole(int(k.Times.Slack)), words(critical), words(strings.Join(after, "; ")))...)
	}
	return t.keysLast()
}

// setOut are the stakes, part by part.
func setOut(q *pricing.Quote, l *locale.Locale) *Table {
	s := sheets{q, l}
	t := s.table("set_out", Column{Key: "part"}, Column{Key: "stake"}, Column{Key: "x", Kind: Quantity}, Column{Key: "y", Kind: Quantity},
		Column{Key: "baseline"}, Column{Key: "to_first", Kind: Quantity}, Column{Key: "to_second", Kind: Quantity}, Column{Key: "down", Kind: Quantity})
	for i := range q.Takeoff.SetOut.Parts {
		p := &q.Takeoff.SetOut.Parts[i]
		name := s.say("part."+string(p.Kind), "id", p.ID)
		if p.Island >= 0 {
			name = s.say("part.island", "part", name, "hole", ordinal(p.Hole), "n", ordinal(p.Island))
		} else if p.Hole >= 0 {
			name = s.say("part.hole", "part", name, "n", ordinal(p.Hole))
		}
		for k := range p.Stakes {
			stake := &p.Stakes[k]
			t.add(words(name), words(stake.Label), s.length(stake.At.X), s.length(stake.At.Y), words(p.Baseline.First+" - "+p.Baseline.Second),
				s.length(stake.ToFirst), s.length(stake.ToSecond), s.depth(stake.Down))
		}
	}
	return t.keysLast()
}

// loads are what is to be moved, by the vehicles of the price list.
func loads(q *pricing.Quote, l *locale.Locale) *Table {
	s := sheets{q, l}
	t := s.table("loads", Column{Key: "what"}, Column{Key: "material_key"}, Column{Key: "loose", Kind: Quantity}, Column{Key: "mass", Kind: Quantity},
		Column{Key: "vehicle"}, Column{Key: "by_mass", Kind: Number}, Column{Key: "by_volume", Kind: Number}, Column{Key: "loads", Kind: Whole})
	for i := range q.Loads {
		load := &q.Loads[i]
		what, key := s.say("spoil"), ""
		if load.Material != nil {
			what, key = load.Material.Name, load.Material.Key
		}
		for k := range load.By {
			v := &load.By[k]
			t.add(words(what), words(key), s.volume(load.Loose), s.mass(load.Mass), words(s.say("vehicle."+string(v.Hauling.Vehicle))),
				factor(float64(v.ByMass)), factor(float64(v.ByVolume)), whole(v.Loads))
		}
	}
	return t.keysLast()
}

// options are the prices of the job with the changes that the request asks for.
func options(q *pricing.Quote, l *locale.Locale) *Table {
	s := sheets{q, l}
	t := s.table("options", Column{Key: "option"}, Column{Key: "hours", Kind: Number}, Column{Key: "direct", Kind: Money}, Column{Key: "before_tax", Kind: Money}, Column{Key: "tax", Kind: Money},
		Column{Key: "full_price", Kind: Money}, Column{Key: "more_hours", Kind: Number}, Column{Key: "more_price", Kind: Money})
	for i := range q.Options {
		o := &q.Options[i]
		v := &o.Quote.Totals
		t.add(words(o.Name), number(v.Hours), amount(v.Direct), amount(v.BeforeTax), amount(v.Tax), amount(v.Price),
			number(o.Difference.Totals.Hours), amount(o.Difference.Totals.Price))
	}
	return t.keysLast()
}
