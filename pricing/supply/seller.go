package supply

import (
	"math"
	"math/bits"

	"bedline/estimate/measure"
)

// mode is how a supplier takes part in a plan.
type mode uint8

const (
	closed mode = iota
	paid        // delivered, the fee per drop is due
	free        // delivered, goods reach the amount from which drops are free
	pickup
	modes
)

// seller is a supplier made ready, for the goods of one of its load groups. Those of one supplier are a family: all that
// are open in a plan are in the same mode, and their goods count together.
type seller struct {
	supplier *Supplier
	lead     int    // number of the supplier, the first of its family
	family   uint64 // sellers of the supplier
	group    string // goods that it stands for, once an item is given to it
	taken    bool   // an item is given to it
	can      [modes]bool
	fee      [modes]int64   // per drop or trip, with its tax and the crew's time
	tax      [modes]int64   // in it
	crew     int64          // in it for a pick-up
	least    [modes]int64   // goods that the mode asks for
	payload  [modes]float64 // 0 is unlimited
	space    [modes]float64
}

func newSeller(p *Supplier, index int, tax extra) (seller, error) {
	fault := func(detail string) (seller, error) {
		return seller{}, &InputError{What: "supplier " + p.Key, Detail: detail}
	}
	if p.MinimumOrder < 0 || p.MinimumOrder > mostMoney {
		return fault("minimum order out of range")
	}
	s := seller{supplier: p, lead: index, family: 1 << index}
	s.can[closed] = true
	if d := p.Delivery; d != nil {
		if d.Fee < 0 || d.Fee > mostMoney || d.FreeFrom < 0 || d.FreeFrom > mostMoney || !fits(float64(d.Payload)) || !fits(float64(d.PayloadVolume)) {
			return fault("delivery out of range")
		}
		s.can[paid] = true
		s.fee[paid] = int64(d.Fee)
		s.least[paid] = int64(p.MinimumOrder)
		s.payload[paid], s.space[paid] = float64(d.Payload), float64(d.PayloadVolume)
		if d.FreeFrom > 0 && d.Fee > 0 {
			s.can[free] = true
			s.least[free] = int64(max(d.FreeFrom, p.MinimumOrder))
			s.payload[free], s.space[free] = s.payload[paid], s.space[paid]
		}
	}
	if t := p.PickUp; t != nil {
		if t.TripCost < 0 || t.TripCost > mostMoney || t.Crew < 0 || t.Crew > mostMoney || !fits(float64(t.Payload)) || !fits(float64(t.PayloadVolume)) {
			return fault("pick-up out of range")
		}
		s.can[pickup] = true
		s.fee[pickup] = int64(t.TripCost)
		s.payload[pickup], s.space[pickup] = float64(t.Payload), float64(t.PayloadVolume)
	}
	if p.Delivery == nil && p.PickUp == nil {
		s.can[paid] = true
		s.least[paid] = int64(p.MinimumOrder)
	}
	for m := range s.fee {
		s.tax[m] = tax.of(s.fee[m], 0)
		s.fee[m] += s.tax[m]
	}
	if t := p.PickUp; t != nil {
		s.crew = int64(t.Crew)
		s.fee[pickup] += s.crew
	}
	if s.can[paid] && s.can[pickup] {
		// A way that is never better need not be tried.
		switch {
		case s.least[paid] == 0 && s.fee[paid] <= s.fee[pickup] && s.holds(paid, pickup):
			s.can[pickup] = false
		case s.fee[pickup] < s.fee[paid] && s.holds(pickup, paid):
			s.can[paid] = false
		}
	}
	return s, nil
}

func fits(x float64) bool { return x >= 0 && !math.IsInf(x, 0) }

func (s *seller) holds(a, b mode) bool {
	atLeast := func(x, y float64) bool { return x == 0 || y != 0 && x >= y }
	return atLeast(s.payload[a], s.payload[b]) && atLeast(s.space[a], s.space[b])
}

// trips are the drops or trips that goods of the mass and volume take, at least one.
func (s *seller) trips(m mode, mass, volume float64) int64 {
	trips := 1
	if s.payload[m] > 0 && mass > s.payload[m] {
		trips = measure.RoundUp(mass / s.payload[m])
	}
	if s.space[m] > 0 && volume > s.space[m] {
		trips = max(trips, measure.RoundUp(volume/s.space[m]))
	}
	return int64(trips)
}

// charge is the cheapest way of what comes from the family of a seller: the least charge, then the fewest trips, then
// delivered. used has the loads of all sellers.
func (s *Solver) charge(lead int, used []load) (best mode, charge, trips int64) {
	of := &s.sellers[lead]
	goods := familyGoods(of, lead, used)
	for _, m := range [...]mode{free, paid, pickup} {
		if !of.can[m] || goods < of.least[m] {
			continue
		}
		n := int64(0)
		for rest := of.family; rest != 0; rest &= rest - 1 {
			if u := &used[bits.TrailingZeros64(rest)]; u.any {
				n += of.trips(m, u.mass, u.volume)
			}
		}
		c := n * of.fee[m]
		if best == closed || c < charge || c == charge && n < trips {
			best, charge, trips = m, c, n
		}
	}
	return best, charge, trips
}

// familyGoods are the goods of all sellers of the supplier of seller i.
func familyGoods(s *seller, i int, used []load) (goods int64) {
	if s.family == 1<<i {
		return used[i].goods
	}
	for rest := s.family; rest != 0; rest &= rest - 1 {
		goods += used[bits.TrailingZeros64(rest)].goods
	}
	return goods
}

// inUse says that a seller of the family is in use.
func (s *seller) inUse(used []load) bool {
	for rest := s.family; rest != 0; rest &= rest - 1 {
		if used[bits.TrailingZeros64(rest)].any {
			return true
		}
	}
	return false
}

// follows says that a seller of the family before seller i is in use.
func (s *seller) follows(i int, used []load) bool {
	for rest := s.family & (1<<i - 1); rest != 0; rest &= rest - 1 {
		if used[bits.TrailingZeros64(rest)].any {
			return true
		}
	}
	return false
}

// worth is the fee of a trip, or what prices of trips without a fee are measured by.
func (s *seller) worth(m mode) int64 {
	if s.fee[m] > 0 {
		return s.fee[m]
	}
	return 1000
}
