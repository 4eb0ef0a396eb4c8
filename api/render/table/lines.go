package table

import (
	"github.com/govalues/decimal"

	"bedline/api/render/locale"
	"bedline/estimate"
	"bedline/pricing"
)

// Places of columns of the line items that the formulas of a workbook name.
const (
	lineCategory = 1
	lineHours    = 12
	lineAmount   = 13
)

// LineItems are the lines of a quote in their order, a row for each.
func LineItems(q *pricing.Quote, l *locale.Locale) *Table {
	s := sheets{q, l}
	t := s.table("line_items", Column{Key: "number", Kind: Whole}, Column{Key: "category"}, Column{Key: "item"}, Column{Key: "description"},
		Column{Key: "item_key"}, Column{Key: "material_key"}, Column{Key: "zones"}, Column{Key: "tool"},
		Column{Key: "measured", Kind: Quantity}, Column{Key: "compaction", Kind: Number}, Column{Key: "waste", Kind: Number}, Column{Key: "required", Kind: Quantity},
		Column{Key: "surplus", Kind: Quantity}, Column{Key: "mass", Kind: Quantity},
		Column{Key: "hours", Kind: Number}, Column{Key: "amount", Kind: Money}, Column{Key: "tax", Kind: Money})
	for i := range q.Lines {
		t.Rows = append(t.Rows, s.line(i, &q.Lines[i]))
	}
	return t.keysLast()
}

func (s *sheets) line(i int, l *pricing.Line) []Cell {
	item, description, key, material, where, tool := "", s.sentence(l.Description), string(l.Key), "", "", ""
	var measured, compaction, waste, required, surplus, hours Cell
	if l.Hours.IsPos() {
		hours = number(l.Hours)
	}
	switch {
	case l.Material != nil:
		m := l.Material
		item, description, material, where = s.oneOf("crew.purpose", key), m.Material.Name, m.Material.Key, zones(m.Zones)
		measured, required = s.amount(m.Measured, m.Material), s.amount(m.Required, m.Material)
		surplus = s.amount(estimate.Amount{Kind: m.Required.Kind, Value: l.Surplus}, m.Material)
		waste = factor(float64(m.Waste.Factor))
		if m.Material.Kind == estimate.LooseMaterial {
			compaction = factor(float64(m.Material.CompactionFactor))
		}
	case l.Work != nil:
		w := l.Work
		quantity := w.Quantity
		if l.Tool == pricing.ByMachine && w.Machine != nil {
			quantity = w.Machine.Quantity
		}
		item, description, key, where = s.operation(w.Operation), "", string(w.Operation), zones(w.Zones)
		measured, tool = s.amount(quantity, nil), s.tool(l.Tool)
		if w.Material != nil {
			description, material = w.Material.Name, w.Material.Key
		}
	case l.Hire != nil:
		item, description, key = s.say("item.hire"), l.Hire.Machine.Name, l.Hire.Machine.Key
	case l.Spoil:
		item, description, measured = s.say("item.spoil"), "", s.volume(l.Loose)
	case l.Supplier != "":
		item, description = s.say("item.delivery"), s.supplier(l.Supplier)
	case l.Hours.IsPos():
		item, description = s.say("item.handling"), ""
	}
	return []Cell{whole(i + 1), words(s.category(l.Category)), words(item), words(description), words(key), words(material), words(where), words(tool),
		measured, compaction, waste, required, surplus, s.mass(l.Mass), hours, amount(l.Amount), amount(l.Tax)}
}

// factor is a pure number as answers write it.
func factor(v float64) Cell {
	d, err := decimal.Parse(plain(v))
	if err != nil {
		return Cell{}
	}
	return number(d)
}
