package supply

import (
	"strconv"
)

// Rivals are the plans of the problem under the usual restrictions: all bags, all bulk, each supplier alone and, where
// the cheapest plan uses more than two suppliers, at most two. Nil if the problem makes no sense.
func Rivals(p Problem) []Rival {
	s, err := New(p)
	if err != nil {
		return nil
	}
	return s.Rivals()
}

// Rivals are as the function Rivals says.
func (s *Solver) Rivals() []Rival {
	rivals := make([]Rival, 0, 3+len(s.problem.Suppliers))
	most := s.problem.Limits.MaxSuppliers
	for _, x := range [...]struct {
		kind RivalKind
		form Form
		name string
	}{{AllBags, Bag, "all in bags"}, {AllBulk, Bulk, "all in bulk"}} {
		r := Rival{Kind: x.kind, Name: x.name, Kept: s.kept(x.form)}
		r.Plan, r.Err = s.solve(s.inForm(x.form), s.allowed, most)
		rivals = append(rivals, r)
	}
	demands := s.all()
	for i := range s.problem.Suppliers {
		if s.allowed>>i&1 == 0 {
			continue
		}
		key := s.sellers[i].supplier.Key
		r := Rival{Kind: OneSupplier, Name: "only " + key, Supplier: key}
		r.Plan, r.Err = s.solve(demands, s.sellers[i].family, 1)
		rivals = append(rivals, r)
	}
	if best, err := s.Plan(); err == nil && len(best.Suppliers) > 2 {
		r := Rival{Kind: FewSuppliers, Name: "at most " + strconv.Itoa(2) + " suppliers", Count: 2}
		r.Plan, r.Err = s.solve(demands, s.allowed, 2)
		rivals = append(rivals, r)
	}
	return rivals
}

// all are the demands of the problem.
func (s *Solver) all() []*demand {
	demands := make([]*demand, len(s.demands))
	for i := range s.demands {
		demands[i] = &s.demands[i]
	}
	return demands
}

// inForm are the demands of the problem held to a form where they are offered in it.
func (s *Solver) inForm(form Form) []*demand {
	demands := s.all()
	for i, d := range demands {
		others, same := false, false
		for _, id := range d.items {
			if s.items[id].offer.Form == form {
				same = true
			} else {
				others = true
			}
		}
		if same && others {
			demands[i] = new(demand)
			s.newDemand(demands[i], i, form, d.quantity, nil)
		}
	}
	return demands
}
