package supply_test

import (
	"fmt"
	"math/rand/v2"

	"github.com/govalues/decimal"

	"bedline/estimate/measure"
	"bedline/pricing/money"
	"bedline/pricing/supply"
)

// wholeMarket is an invented market in whole litres, kilograms and cents, so that no solver tolerance is in the way.
func wholeMarket(seed uint64, needs, suppliers, offers int) supply.Problem {
	r := rand.New(rand.NewPCG(seed, 77))
	p := supply.Problem{Currency: usd}
	for i := range suppliers {
		s := supply.Supplier{Key: fmt.Sprintf("s%d", i)}
		if r.IntN(4) > 0 {
			s.Delivery = &supply.Delivery{Fee: money.Amount(500 * r.IntN(16)), Payload: measure.Mass(500 + 250*r.IntN(8)), PayloadVolume: measure.Volume(500 + 200*r.IntN(8))}
			if r.IntN(2) == 0 {
				s.Delivery.FreeFrom = money.Amount(5000 + 1000*r.IntN(20))
			}
			if r.IntN(2) == 0 {
				s.MinimumOrder = money.Amount(1000 * r.IntN(8))
			}
		}
		if s.Delivery == nil || r.IntN(2) == 0 {
			s.PickUp = &supply.PickUp{TripCost: money.Amount(300 + 100*r.IntN(20)), Payload: 400, PayloadVolume: 300}
		}
		p.Suppliers = append(p.Suppliers, s)
	}
	for i := range needs {
		n := supply.Need{Material: fmt.Sprintf("m%d", i), Quantity: supply.Content(20 + r.IntN(500))}
		base := 10 + r.IntN(20) // cents per litre
		for j := i; j < offers; j += needs {
			o := supply.Offer{Key: fmt.Sprintf("o%02d", j), Supplier: p.Suppliers[r.IntN(suppliers)].Key, Form: supply.Bag, Content: supply.Content(10 + 5*r.IntN(5))}
			if r.IntN(3) == 0 {
				o.Form, o.Content, o.Increment, o.Minimum = supply.Bulk, 200, dec("0.5"), dec("1")
			}
			price := base * int(o.Content) * (80 + r.IntN(40)) / 100
			if o.Form == supply.Bulk {
				price = price * 2 / 3
			}
			o.Price = decimal.MustNew(int64(price/2*2), 2)
			if r.IntN(2) == 0 {
				o.Breaks = append(o.Breaks, supply.Break{From: decimal.MustNew(int64(3+r.IntN(20)), 0), Price: decimal.MustNew(int64(price*(80+r.IntN(18))/200*2), 2)})
			}
			o.Mass, o.Volume = measure.Mass(o.Content)*measure.Mass(1+i%2), measure.Volume(o.Content)
			n.Offers = append(n.Offers, o)
		}
		p.Needs = append(p.Needs, n)
	}
	return p
}

type nastyKind struct {
	name string
	draw func(*rand.Rand) supply.Problem
}

// nasty are kinds of small markets in which a careless search errs, each drawn at will. All amounts are whole cents, kilograms
// and litres but for those of one gram.
var nasty = []nastyKind{
	{"all offers cost the same per kilogram", func(r *rand.Rand) supply.Problem {
		p := markets(way{fee: 1000, payload: 500}, way{fee: 1000, payload: 500}, way{trip: 1000, load: 500})
		for m := range 2 {
			n := some(m, 100+r.IntN(300))
			for k, content := range []int{5, 10, 20, 25, 50} {
				n.Offers = append(n.Offers, pack(m, k, k%3, content, 20*content))
			}
			p.Needs = append(p.Needs, n)
		}
		return p
	}},
	{"a pack of many times the need is the cheapest per kilogram, or of all", func(r *rand.Rand) supply.Problem {
		p := markets(way{fee: 2000, payload: 3000}, way{trip: 500, load: 400})
		for m := range 2 {
			need := 30 + r.IntN(100)
			n := some(m, need)
			n.Offers = append(n.Offers, pack(m, 0, 0, need*(10+r.IntN(50)), need*(15+r.IntN(20))), pack(m, 1, 1, 10, 200+2*r.IntN(100)), pack(m, 2, 0, 1, 25+2*r.IntN(10)))
			p.Needs = append(p.Needs, n)
		}
		return p
	}},
	{"more at a break costs less in all", func(r *rand.Rand) supply.Problem {
		p := markets(way{fee: 1500, payload: 800}, way{trip: 700, load: 400})
		for m := range 3 {
			n := some(m, 100+r.IntN(150))
			for k := range 3 {
				o := pack(m, k, r.IntN(2), 5+5*r.IntN(3), 0)
				at := int(n.Quantity)/int(o.Content) + r.IntN(8)
				o.Price, o.Breaks = cent(int(o.Content)*20), []supply.Break{breakAt(at, int(o.Content)*(12+r.IntN(7)))}
				n.Offers = append(n.Offers, o)
			}
			p.Needs = append(p.Needs, n)
		}
		return p
	}},
	{"breaks in a row, one of them dearer than the one before", func(r *rand.Rand) supply.Problem {
		p := markets(way{fee: 1200, payload: 600}, way{})
		for m := range 2 {
			n := some(m, 80+r.IntN(120))
			for k := range 3 {
				o := pack(m, k, k%2, 4+r.IntN(6), 0)
				base := 20 * int(o.Content)
				o.Price = cent(base)
				o.Breaks = []supply.Break{breakAt(5, base*9/10), breakAt(12, base*19/20+r.IntN(base/10)), breakAt(20, base*8/10)}
				n.Offers = append(n.Offers, o)
			}
			p.Needs = append(p.Needs, n)
		}
		return p
	}},
	{"free delivery a little above the goods needed", func(r *rand.Rand) supply.Problem {
		p := markets(way{fee: 3000 + 500*r.IntN(8), payload: 400}, way{fee: 2500, payload: 700}, way{trip: 900, load: 300})
		goods := 0
		for m := range 3 {
			n := some(m, 60+r.IntN(100))
			for k := range 3 {
				n.Offers = append(n.Offers, pack(m, k, k, 10+5*r.IntN(3), 0))
				n.Offers[k].Price = cent(int(n.Offers[k].Content) * (18 + r.IntN(6)))
			}
			goods += int(n.Quantity) * 20
			p.Needs = append(p.Needs, n)
		}
		p.Suppliers[0].Delivery.FreeFrom = money.Amount(goods * (90 + r.IntN(30)) / 100)
		p.Suppliers[1].Delivery.FreeFrom = money.Amount(goods * (40 + r.IntN(40)) / 100)
		return p
	}},
	{"a need one gram above what packs hold, and a load one gram above the payload", func(r *rand.Rand) supply.Problem {
		p := markets(way{fee: 900 + 100*r.IntN(8), payload: 20}, way{trip: 400 + 100*r.IntN(5), load: 10})
		for m := range 2 {
			packs := 2 + r.IntN(5)
			n := some(m, 0)
			n.Quantity = supply.Content(float64(packs*5) + 0.001*float64(r.IntN(3)-1))
			a, b := pack(m, 0, 0, 5, 300+r.IntN(60)), pack(m, 1, 1, 5, 310+r.IntN(60))
			if r.IntN(2) == 0 {
				a.Mass = 5.001
			}
			n.Offers = append(n.Offers, a, b, pack(m, 2, r.IntN(2), 1, 70+r.IntN(20)))
			p.Needs = append(p.Needs, n)
		}
		return p
	}},
	{"minimum orders above what is needed", func(r *rand.Rand) supply.Problem {
		p := markets(way{fee: 500, payload: 500}, way{fee: 1500}, way{trip: 2500, load: 200})
		goods := 0
		for m := range 3 {
			n := some(m, 20+r.IntN(60))
			for k := range 3 {
				n.Offers = append(n.Offers, pack(m, k, k, 5+5*r.IntN(2), 0))
				n.Offers[k].Price = cent(int(n.Offers[k].Content) * (15 + 4*k + r.IntN(6)))
			}
			goods += int(n.Quantity) * 18
			p.Needs = append(p.Needs, n)
		}
		p.Suppliers[0].MinimumOrder = money.Amount(goods * (80 + r.IntN(60)) / 100)
		p.Suppliers[1].MinimumOrder = money.Amount(goods * (30 + r.IntN(60)) / 100)
		return p
	}},
	{"heavy and bulky goods fill the truck by mass or by volume", func(r *rand.Rand) supply.Problem {
		p := markets(way{fee: 3000, payload: 1000, space: 700}, way{fee: 2200, payload: 500, space: 900}, way{trip: 800, load: 300, room: 200})
		for m := range 3 {
			n := some(m, 150+r.IntN(250))
			for k := range 3 {
				o := pack(m, k, k, 20+5*r.IntN(3), 0)
				o.Price = cent(int(o.Content) * (15 + r.IntN(5)))
				o.Mass, o.Volume = measure.Mass(o.Content)*measure.Mass(1+2*(m%2)), measure.Volume(o.Content)*measure.Volume(1+2*((m+1)%2))
				n.Offers = append(n.Offers, o)
			}
			p.Needs = append(p.Needs, n)
		}
		return p
	}},
	{"a pick-up in several trips beside one delivery of the same supplier", func(r *rand.Rand) supply.Problem {
		p := markets(way{fee: 4000, payload: 2000, trip: 1300 + 10*r.IntN(40), load: 300}, way{fee: 3500, payload: 1000, trip: 1000, load: 250 + 10*r.IntN(10)})
		p.Suppliers[0].MinimumOrder = 6000
		for m := range 3 {
			n := some(m, 80+r.IntN(250))
			for k := range 2 {
				n.Offers = append(n.Offers, pack(m, k, k, 25, 25*(10+r.IntN(4))))
			}
			p.Needs = append(p.Needs, n)
		}
		return p
	}},
	{"loose goods in half steps from a minimum beside bags", func(r *rand.Rand) supply.Problem {
		p := markets(way{fee: 4500, payload: 1800}, way{trip: 800, load: 400})
		for m := range 3 {
			n := some(m, 200+r.IntN(900))
			o := pack(m, 0, 0, 400, 3000+2*r.IntN(900))
			o.Form, o.Increment, o.Minimum = supply.Bulk, dec("0.5"), dec("1")
			o.Breaks = []supply.Break{breakAt(2, 2800+2*r.IntN(400))}
			n.Offers = append(n.Offers, o, pack(m, 1, 1, 20, 260+2*r.IntN(60)), pack(m, 2, 1, 35, 420+2*r.IntN(90)))
			p.Needs = append(p.Needs, n)
		}
		return p
	}},
	{"no more than two suppliers of five may be used", func(r *rand.Rand) supply.Problem {
		p := markets(way{fee: 900, payload: 500}, way{fee: 1200}, way{trip: 500, load: 200}, way{fee: 100, payload: 150}, way{trip: 900, load: 500})
		p.Limits.MaxSuppliers = 2
		for m := range 3 {
			n := some(m, 50+r.IntN(150))
			for k := range 5 {
				n.Offers = append(n.Offers, pack(m, k, k, 10+5*r.IntN(3), 0))
				n.Offers[k].Price = cent(int(n.Offers[k].Content) * (14 + r.IntN(9)))
			}
			p.Needs = append(p.Needs, n)
		}
		return p
	}},
	{"big packs that fill a truck just so or not", func(r *rand.Rand) supply.Problem {
		p := markets(way{fee: 5000, payload: 1000}, way{fee: 2600, payload: 400}, way{trip: 1500, load: 350})
		for m := range 4 {
			n := some(m, 120+r.IntN(300))
			for k := range 3 {
				o := pack(m, k, k, []int{90, 110, 130, 170}[r.IntN(4)], 0)
				o.Price = cent(int(o.Content) * (12 + r.IntN(4)))
				n.Offers = append(n.Offers, o)
			}
			p.Needs = append(p.Needs, n)
		}
		return p
	}},
	{"goods just at an amount, or one cent below it", func(r *rand.Rand) supply.Problem {
		p := markets(way{fee: 2000 + 100*r.IntN(9), payload: 500}, way{fee: 1500, payload: 300})
		goods := 0
		for m := range 2 {
			n := some(m, 20*(2+r.IntN(5)))
			n.Offers = append(n.Offers, pack(m, 0, 0, 20, 400+r.IntN(20)), pack(m, 1, 1, 20, 400+r.IntN(40)), pack(m, 2, 0, 5, 120))
			count := int(n.Quantity) / 20
			whole, part, _ := n.Offers[0].Price.Int64(2)
			goods += count * int(100*whole+part)
			p.Needs = append(p.Needs, n)
		}
		p.Suppliers[0].Delivery.FreeFrom = money.Amount(goods + r.IntN(2))
		p.Suppliers[1].MinimumOrder = money.Amount(goods/2 + r.IntN(2))
		return p
	}},
	{"least counts above the need", func(r *rand.Rand) supply.Problem {
		p := markets(way{fee: 1000}, way{}, way{trip: 300, load: 100})
		for m := range 3 {
			n := some(m, 10+r.IntN(60))
			for k := range 3 {
				o := pack(m, k, k, 2+r.IntN(6), 0)
				o.Price, o.Minimum = cent(int(o.Content)*(10+r.IntN(15))), decimal.MustNew(int64(3+r.IntN(15)), 0)
				n.Offers = append(n.Offers, o)
			}
			p.Needs = append(p.Needs, n)
		}
		return p
	}},
	{"tax on the goods but not on their delivery, and amounts before tax", func(r *rand.Rand) supply.Problem {
		p := markets(way{fee: 2500, payload: 400}, way{fee: 900, payload: 500}, way{trip: 700, load: 200})
		// 5 % of amounts in steps of 20 cents are whole cents.
		p.Tax.Goods = dec("0.05")
		goods := 0
		for m := range 3 {
			n := some(m, 60+r.IntN(160))
			for k := range 3 {
				n.Offers = append(n.Offers, pack(m, k, k, 5+5*r.IntN(4), 0))
				n.Offers[k].Price = cent(20 * (int(n.Offers[k].Content) + r.IntN(5)))
			}
			goods += 20 * int(n.Quantity)
			p.Needs = append(p.Needs, n)
		}
		p.Suppliers[0].Delivery.FreeFrom = money.Amount(goods / 20 * (12 + r.IntN(12)))
		p.Suppliers[1].MinimumOrder = money.Amount(goods / 20 * (4 + r.IntN(12)))
		if r.IntN(2) == 0 {
			p.Tax.Delivery = dec("0.1")
		}
		return p
	}},
	{"bags that must be carried beside loose goods that are shovelled", func(r *rand.Rand) supply.Problem {
		p := markets(way{fee: 3500, payload: 1500}, way{trip: 800, load: 300})
		for m := range 3 {
			n := some(m, 150+r.IntN(500))
			o := pack(m, 0, 0, 300, 2400+2*r.IntN(600))
			o.Form, o.Increment, o.Minimum, o.Handling = supply.Bulk, dec("0.5"), dec("1"), cent(2*r.IntN(900))
			n.Offers = append(n.Offers, o)
			for k := 1; k < 3; k++ {
				o := pack(m, k, 1, 15+5*k, 180+2*r.IntN(90))
				o.Handling = cent(10 + r.IntN(60))
				n.Offers = append(n.Offers, o)
			}
			p.Needs = append(p.Needs, n)
		}
		return p
	}},
	{"the cheapest come too late", func(r *rand.Rand) supply.Problem {
		p := markets(way{fee: 2000, payload: 500}, way{fee: 1500, payload: 400}, way{trip: 600, load: 200})
		p.Limits.LeadDays = 3
		for m := range 3 {
			n := some(m, 60+r.IntN(160))
			for k := range 4 {
				o := pack(m, k, k%3, 5+5*r.IntN(4), 0)
				o.LeadDays = r.IntN(6)
				if k == 3 {
					o.LeadDays = 0
				}
				o.Price = cent(int(o.Content) * (22 - 2*o.LeadDays + r.IntN(4)))
				n.Offers = append(n.Offers, o)
			}
			p.Needs = append(p.Needs, n)
		}
		return p
	}},
	{"free trips with a payload, and trips that cost with none", func(r *rand.Rand) supply.Problem {
		p := markets(way{free: true, payload: 150}, way{fee: 1800}, way{trip: 300, load: 90})
		p.Suppliers[0].MinimumOrder = money.Amount(1000 * r.IntN(6))
		for m := range 3 {
			n := some(m, 60+r.IntN(160))
			for k := range 3 {
				n.Offers = append(n.Offers, pack(m, k, k, 8+r.IntN(9), 0))
				n.Offers[k].Price = cent(int(n.Offers[k].Content) * (20 - k + r.IntN(4)))
			}
			p.Needs = append(p.Needs, n)
		}
		return p
	}},
}

// loadGroups are kinds of markets with goods that can't share a drop.
var loadGroups = []nastyKind{
	{"sand and pallets never in one drop", func(r *rand.Rand) supply.Problem {
		p := markets(way{fee: 2500 + 100*r.IntN(9), payload: 600, space: 900}, way{fee: 1800, payload: 300}, way{trip: 900, load: 250})
		for m := range 4 {
			n := some(m, 60+r.IntN(160))
			for k := range 3 {
				o := pack(m, k, k, 10+5*r.IntN(3), 0)
				o.Price, o.LoadWith = cent(int(o.Content)*(14+r.IntN(6))), []string{"", "pallets"}[m%2]
				n.Offers = append(n.Offers, o)
			}
			p.Needs = append(p.Needs, n)
		}
		return p
	}},
	{"one material in three load groups of one supplier", func(r *rand.Rand) supply.Problem {
		p := markets(way{fee: 1500 + 100*r.IntN(9), payload: 250, trip: 700 + 10*r.IntN(40), load: 120}, way{fee: 2600, payload: 500})
		for m := range 2 {
			n := some(m, 100+r.IntN(200))
			for k := range 4 {
				o := pack(m, k, k/3, 8+r.IntN(12), 0)
				o.Price, o.LoadWith = cent(int(o.Content)*(12+r.IntN(7))), []string{"", "bags", "pallets"}[k%3]
				n.Offers = append(n.Offers, o)
			}
			p.Needs = append(p.Needs, n)
		}
		return p
	}},
	{"goods of two load groups reach free delivery together", func(r *rand.Rand) supply.Problem {
		p := markets(way{fee: 2200 + 100*r.IntN(12), payload: 300}, way{fee: 1900, payload: 400}, way{trip: 800, load: 200})
		goods := 0
		for m := range 3 {
			n := some(m, 60+r.IntN(100))
			for k := range 3 {
				o := pack(m, k, k, 10+5*r.IntN(3), 0)
				o.Price, o.LoadWith = cent(int(o.Content)*(18+r.IntN(6))), []string{"a", "b"}[m%2]
				n.Offers = append(n.Offers, o)
			}
			goods += int(n.Quantity) * 20
			p.Needs = append(p.Needs, n)
		}
		p.Suppliers[0].Delivery.FreeFrom = money.Amount(goods * (60 + r.IntN(50)) / 100)
		p.Suppliers[1].MinimumOrder = money.Amount(goods * (20 + r.IntN(40)) / 100)
		return p
	}},
	{"at most two suppliers, whose load groups count as one", func(r *rand.Rand) supply.Problem {
		p := markets(way{fee: 900, payload: 300}, way{fee: 1200}, way{trip: 500, load: 200}, way{fee: 400, payload: 150})
		p.Limits.MaxSuppliers = 2
		for m := range 3 {
			n := some(m, 50+r.IntN(120))
			for k := range 4 {
				o := pack(m, k, k, 10+5*r.IntN(3), 0)
				o.Price, o.LoadWith = cent(int(o.Content)*(14+r.IntN(8))), []string{"", "x", "y"}[(m+k)%3]
				n.Offers = append(n.Offers, o)
			}
			p.Needs = append(p.Needs, n)
		}
		return p
	}},
}

// leftovers are kinds of markets in which what is left over is worth something, or costs something.
var leftovers = []nastyKind{
	{"what is left sells for a cent less than the cheapest costs", func(r *rand.Rand) supply.Problem {
		p := markets(way{fee: 1500, payload: 600}, way{trip: 700, load: 250})
		for m := range 3 {
			n := some(m, 60+r.IntN(200))
			n.Surplus = supply.Surplus{Price: cent(11), Per: 1}
			for k := range 3 {
				n.Offers = append(n.Offers, pack(m, k, k%2, 7+r.IntN(30), 0))
				n.Offers[k].Price = cent(int(n.Offers[k].Content) * (12 + r.IntN(6)))
			}
			p.Needs = append(p.Needs, n)
		}
		return p
	}},
	{"large packs whose rest sells well, to reach free delivery", func(r *rand.Rand) supply.Problem {
		p := markets(way{fee: 3000 + 500*r.IntN(5), payload: 500}, way{fee: 2500, payload: 700}, way{trip: 900, load: 300})
		goods := 0
		for m := range 3 {
			n := some(m, 60+r.IntN(100))
			n.Surplus = supply.Surplus{Price: cent(10 * (4 + r.IntN(7))), Per: 10}
			for k := range 3 {
				n.Offers = append(n.Offers, pack(m, k, k, 10+35*r.IntN(4), 0))
				n.Offers[k].Price = cent(int(n.Offers[k].Content) * (18 + r.IntN(6)))
			}
			goods += int(n.Quantity) * 20
			p.Needs = append(p.Needs, n)
		}
		p.Suppliers[0].Delivery.FreeFrom = money.Amount(goods * (90 + r.IntN(60)) / 100)
		p.Suppliers[1].MinimumOrder = money.Amount(goods * (40 + r.IntN(60)) / 100)
		return p
	}},
	{"what is left costs more to be rid of than to buy", func(r *rand.Rand) supply.Problem {
		p := markets(way{fee: 2000 + 100*r.IntN(9), payload: 400}, way{trip: 600, load: 150})
		for m := range 3 {
			n := some(m, 80+r.IntN(120))
			n.Surplus = supply.Surplus{Price: cent(5 * (2 + r.IntN(12))), Per: 5, Disposal: m != 1 || r.IntN(2) == 0}
			for k := range 4 {
				o := pack(m, k, k%2, 11+r.IntN(50), 0)
				o.Price = cent(int(o.Content) * (14 + r.IntN(6)))
				if k == 3 {
					o.Breaks = []supply.Break{breakAt(2+r.IntN(4), int(o.Content)*13)}
				}
				n.Offers = append(n.Offers, o)
			}
			p.Needs = append(p.Needs, n)
		}
		return p
	}},
	{"handled and taxed goods in load groups, with a rest that sells or costs", func(r *rand.Rand) supply.Problem {
		p := markets(way{fee: 1800, payload: 300}, way{fee: 900, payload: 250, trip: 500, load: 120})
		p.Tax.Goods = dec("0.05")
		for m := range 3 {
			n := some(m, 50+r.IntN(120))
			n.Surplus = supply.Surplus{Price: cent(2 + r.IntN(12)), Per: 1, Disposal: r.IntN(2) == 0}
			for k := range 3 {
				o := pack(m, k, k%2, 5+5*r.IntN(5), 0)
				o.Price, o.Handling, o.LoadWith = cent(20*int(o.Content)), cent(2*r.IntN(20)), []string{"", "pallets"}[r.IntN(2)]
				n.Offers = append(n.Offers, o)
			}
			p.Needs = append(p.Needs, n)
		}
		return p
	}},
}

// way is how goods come from a place: a fee and a payload of a delivery, the cost and load of a trip; 0 is none.
type way struct {
	fee, payload, space int
	free                bool
	trip, load, room    int
}

func markets(ways ...way) supply.Problem {
	p := supply.Problem{Currency: usd}
	for i, w := range ways {
		s := supply.Supplier{Key: fmt.Sprintf("s%d", i)}
		if w.fee > 0 || w.free {
			s.Delivery = &supply.Delivery{Fee: money.Amount(w.fee), Payload: measure.Mass(w.payload), PayloadVolume: measure.Volume(w.space)}
		}
		if w.trip > 0 {
			s.PickUp = &supply.PickUp{TripCost: money.Amount(w.trip), Payload: measure.Mass(w.load), PayloadVolume: measure.Volume(w.room)}
		}
		p.Suppliers = append(p.Suppliers, s)
	}
	return p
}

func some(material, quantity int) supply.Need {
	return supply.Need{Material: fmt.Sprintf("m%d", material), Base: supply.ByMass, Quantity: supply.Content(quantity)}
}

func cent(n int) decimal.Decimal { return decimal.MustNew(int64(n), 2) }

func breakAt(count, cents int) supply.Break {
	return supply.Break{From: decimal.MustNew(int64(count), 0), Price: cent(cents)}
}

// pack is an offer of a content in kilograms (and litres) at a price in cents.
func pack(material, offer, supplier, content, cents int) supply.Offer {
	return supply.Offer{
		Key: fmt.Sprintf("o%d%d", material, offer), Supplier: fmt.Sprintf("s%d", supplier), Form: supply.Bag,
		Content: supply.Content(content), Mass: measure.Mass(content), Volume: measure.Volume(content), Price: cent(cents),
	}
}
