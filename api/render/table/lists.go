package table

import (
	"cmp"
	"slices"

	"bedline/api/render/locale"
	"bedline/estimate"
	"bedline/estimate/bond"
	"bedline/estimate/course"
	"bedline/pricing"
	"bedline/pricing/supply"
)

var cutKeys = [...]string{course.Closer: "closer", course.Wedge: "wedge", course.Mitre: "mitre", course.Splay: "splay"}

// Cuts are the cut list: a row for every number of like cuts of a course or border, and one for every size of the cut
// pieces of a paved field, whose length and width are those of the rectangle round it.
func Cuts(q *pricing.Quote, l *locale.Locale) *Table {
	s := sheets{q, l}
	t := s.table("cuts", Column{Key: "part"}, Column{Key: "unit"}, Column{Key: "unit_key"}, Column{Key: "cut"}, Column{Key: "count", Kind: Whole},
		Column{Key: "side", Kind: Whole}, Column{Key: "corner", Kind: Whole}, Column{Key: "angle", Kind: Quantity}, Column{Key: "off", Kind: Quantity},
		Column{Key: "left", Kind: Quantity}, Column{Key: "cut_length", Kind: Quantity},
		Column{Key: "piece_length", Kind: Quantity}, Column{Key: "piece_width", Kind: Quantity}, Column{Key: "passes_each", Kind: Whole})
	for i := range q.Takeoff.Courses {
		c := &q.Takeoff.Courses[i]
		s.cuts(t, c.Bed, c.Spec.Unit, c.Course.Cuts)
	}
	for i := range q.Takeoff.Paving {
		p := &q.Takeoff.Paving[i]
		if p.Border != nil {
			s.cuts(t, p.ID, p.Area.Border.Unit, p.Border.Cuts)
		}
		s.pieces(t, p)
	}
	return t.keysLast()
}

func (s *sheets) cuts(t *Table, part string, unit *estimate.Material, cuts []course.Cut) {
	for i := range cuts {
		c := &cuts[i]
		t.add(words(part), words(unit.Name), words(unit.Key), words(s.say("cut."+cutKeys[c.Kind])), whole(c.Count), index(c.Side), index(c.Corner),
			s.angle(c.Angle), s.depth(c.Off), s.depth(c.Left), s.depth(c.Length), Cell{}, Cell{}, Cell{})
	}
}

// pieces adds the cut pieces of a field by their sizes as people read them, the most frequent first.
func (s *sheets) pieces(t *Table, p *estimate.PavingTakeoff) {
	type likes struct {
		words string
		first *bond.Piece
		count int
	}
	var sizes []likes
	type alike struct {
		words  string
		passes int
	}
	places := map[alike]int{} // in sizes; only looked up
	for i := range p.Field.Pieces {
		k := &p.Field.Pieces[i]
		words := s.words.Depth(k.Length, s.quote.Job.System) + " x " + s.words.Depth(k.Width, s.quote.Job.System)
		at, ok := places[alike{words, k.SawPasses}]
		if !ok {
			at = len(sizes)
			places[alike{words, k.SawPasses}] = at
			sizes = append(sizes, likes{words: words, first: k})
		}
		sizes[at].count++
	}
	slices.SortStableFunc(sizes, func(a, b likes) int { return cmp.Compare(b.count, a.count) })
	for _, k := range sizes {
		t.add(words(p.ID), words(p.Area.Unit.Name), words(p.Area.Unit.Key), words(s.say("cut.piece")), whole(k.count), Cell{}, Cell{},
			Cell{}, Cell{}, Cell{}, Cell{}, s.depth(k.first.Length), s.depth(k.first.Width), whole(k.first.SawPasses))
	}
}

// Shopping is what to buy, supplier by supplier: a row for every purchase of the buying plan.
func Shopping(q *pricing.Quote, l *locale.Locale) *Table {
	s := sheets{q, l}
	columns := []Column{{Key: "supplier"}, {Key: "supplier_key"}, {Key: "way"}, {Key: "material"}, {Key: "material_key"}, {Key: "offer_key"}, {Key: "form"}, {Key: "content"},
		{Key: "packs", Kind: Number}, {Key: "price", Kind: Number}, {Key: "amount", Kind: Money}, {Key: "mass", Kind: Quantity}}
	dated := q.Plan != nil && q.Plan.Calendar.IsDated()
	if dated {
		columns = append(columns, Column{Key: "order_by", Kind: Date}, Column{Key: "needed_by", Kind: Date})
	}
	t := s.table("shopping", columns...)
	plan := &q.Supply.Plan
	for i := range plan.Suppliers {
		u := &plan.Suppliers[i]
		var order, needed Cell
		if d := s.deliveryOf(u.Supplier); d != nil && dated {
			order, needed = day(d.OrderBy), day(q.Plan.Calendar.Start(d.Needed).Day())
		}
		for k := range plan.Purchases {
			b := &plan.Purchases[k]
			if b.Supplier != u.Supplier {
				continue
			}
			content := ""
			if o := q.List.Offer(b.Offer); o != nil {
				content = o.Written.String()
			}
			row := []Cell{words(s.supplier(u.Supplier)), words(u.Supplier), words(s.way(u)), words(s.material(b.Material)), words(b.Material), words(b.Offer),
				words(s.say("form." + b.Form.String())), words(content), number(b.Count), number(b.Price), amount(b.Amount), s.mass(b.Mass)}
			if dated {
				row = append(row, order, needed)
			}
			t.add(row...)
		}
	}
	return t.keysLast()
}

func (s *sheets) way(u *supply.Use) string { return s.say("way." + u.Way.String()) }

func (s *sheets) deliveryOf(supplier string) *pricing.PlannedDelivery {
	if s.quote.Plan == nil {
		return nil
	}
	for i := range s.quote.Plan.Deliveries {
		if d := &s.quote.Plan.Deliveries[i]; d.Supplier == supplier {
			return d
		}
	}
	return nil
}
