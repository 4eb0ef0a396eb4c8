package table

import (
	"strconv"
	"strings"

	"bedline/api/render/locale"
	"bedline/estimate"
	"bedline/estimate/measure"
	"bedline/pricing"
)

// sheets makes tables of a quote.
type sheets struct {
	quote *pricing.Quote
	words *locale.Locale
}

func (s *sheets) say(key string, values ...string) string {
	return s.words.Say("tables."+key, values...)
}

// table begins a table with the columns given: keys, with the kind behind.
func (s *sheets) table(name string, columns ...Column) *Table {
	t := &Table{Name: name, Title: s.say("title." + name), Currency: s.quote.List.Currency, UnitOf: s.say("unit"), Columns: columns}
	for i := range t.Columns {
		c := &t.Columns[i]
		c.Title = s.say("head." + c.Key)
		if c.Kind == Money || c.Key == "price" {
			c.Title = s.say("in_currency", "column", c.Title, "currency", s.quote.List.Currency.Code)
		}
	}
	return t
}

// oneOf is the word for one of a few keys, or the key itself where there is none.
func (s *sheets) oneOf(kind, key string) string {
	if k := kind + "." + key; s.words.Has(k) {
		return s.words.Say(k)
	}
	return key
}

// sentence is one of the engine's, in English where there is no other.
func (s *sheets) sentence(english string) string {
	text, _ := s.words.Sentence(english)
	return text
}

func (s *sheets) operation(op estimate.Operation) string {
	if k := "crew.operation." + string(op); s.words.Has(k) {
		return s.words.Say(k)
	}
	return pricing.Describe(op)
}

// tool is how work is done, empty where nothing does it but people.
func (s *sheets) tool(t pricing.Tool) string {
	if t == "" {
		return ""
	}
	return s.say("tool." + string(t))
}

func (s *sheets) category(c pricing.Category) string { return s.say("category." + string(c)) }

func (s *sheets) material(key string) string {
	if m, ok := s.quote.List.Catalogue.Material(key); ok {
		return m.Name
	}
	return key
}

func (s *sheets) supplier(key string) string {
	if p, ok := s.quote.List.Supplier(key); ok && p.Name != "" {
		return p.Name
	}
	return key
}

func (s *sheets) length(v measure.Length) Cell { return size(s.quote.Job.System.Length(v)) }
func (s *sheets) depth(v measure.Length) Cell  { return size(s.quote.Job.System.Depth(v)) }
func (s *sheets) volume(v measure.Volume) Cell { return size(s.quote.Job.System.Volume(v)) }
func (s *sheets) angle(v measure.Angle) Cell   { return size(s.quote.Job.System.Angle(v)) }

// mass is empty where nothing is known of it.
func (s *sheets) mass(v measure.Mass) Cell {
	if v == 0 {
		return Cell{}
	}
	return size(s.quote.Job.System.Mass(v))
}

// amount is a measured quantity; a count is of rolls of a fabric and of units or pieces of any other material.
func (s *sheets) amount(a estimate.Amount, m *estimate.Material) Cell {
	system := s.quote.Job.System
	switch a.Kind {
	case estimate.LengthAmount:
		return size(system.Length(measure.Length(a.Value)))
	case estimate.AreaAmount:
		return size(system.Area(measure.Area(a.Value)))
	case estimate.VolumeAmount:
		return size(system.Volume(measure.Volume(a.Value)))
	case estimate.CountAmount:
		unit := "each"
		if m != nil && m.Kind == estimate.FabricMaterial {
			unit = "roll"
		}
		return size(measure.Quantity{Value: a.Value, Unit: unit})
	}
	return Cell{}
}

// index is a number of a side or corner of the request, empty for none.
func index(i int) Cell {
	if i < 0 {
		return Cell{}
	}
	return whole(i)
}

func zones(list []estimate.Zone) string {
	ids := make([]string, len(list))
	for i := range list {
		ids[i] = list[i].ID
	}
	return strings.Join(ids, "; ")
}

func ordinal(i int) string { return strconv.Itoa(i + 1) }
