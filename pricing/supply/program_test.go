//go:build solvers

package supply_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"bedline/estimate/measure"
	"bedline/pricing/money"
	"bedline/pricing/supply"
)

// asLP writes the problem as a mixed-integer program in the CPLEX LP format, straight from the definitions. All
// amounts are in cents, and the surplus of a whole content is worth whole cents. Of each offer x counts the steps at each price and z says which price holds; of each supplier y
// says which way its goods come, for each load group of it n counts the trips, and u says that the group is in use where
// there are several.
func asLP(p supply.Problem) string {
	var w lpWriter
	w.goods, w.groups = map[string]string{}, map[string][]*riding{}
	for _, n := range p.Needs {
		w.need(p, n)
	}
	every := ""
	for _, s := range p.Suppliers {
		every += w.supplier(s, p.Tax)
	}
	if p.Limits.MaxSuppliers > 0 {
		w.rule("%s <= %d", every, p.Limits.MaxSuppliers)
	}
	return "Minimize\n cost:" + w.goal.String() + "\nSubject To\n" + w.rules.String() + "General\n" + w.general.String() + "\nBinary\n" + w.binary.String() + "\nEnd\n"
}

// mostTrips bounds the trips; it is kept small, since a solver takes 1e-5 for zero, and times a large number that is a
// trip.
const mostTrips = 100

type lpWriter struct {
	goal, rules, general, binary strings.Builder
	goods                        map[string]string    // sums by supplier
	groups                       map[string][]*riding // by supplier
}

// riding are the goods of a supplier that share a drop.
type riding struct {
	with                 string
	mass, volume         string
	mostMass, mostVolume float64
	chosen               []string // the z of its offers
}

func (w *lpWriter) riding(o supply.Offer) *riding {
	list := w.groups[o.Supplier]
	if at := slices.IndexFunc(list, func(g *riding) bool { return g.with == o.LoadWith }); at >= 0 {
		return list[at]
	}
	g := &riding{with: o.LoadWith}
	w.groups[o.Supplier] = append(list, g)
	return g
}

func (w *lpWriter) rule(format string, a ...any) { fmt.Fprintf(&w.rules, " "+format+"\n", a...) }

func (w *lpWriter) need(p supply.Problem, n supply.Need) {
	cover := ""
	for _, o := range n.Offers {
		if p.Limits.Form != supply.AnyForm && o.Form != p.Limits.Form {
			continue
		}
		step, _ := increment(o).Float64()
		least, _ := o.Minimum.Float64()
		if days := p.Limits.LeadDays; days > 0 && o.LeadDays > days {
			continue
		}
		most := mostSteps(p, n, o)
		tax, _ := p.Tax.Goods.Float64()
		handling, _ := o.Handling.Float64()
		group := w.riding(o)
		prices := append([]supply.Break{{Price: o.Price}}, o.Breaks...)
		one := ""
		for t, b := range prices {
			x, z := fmt.Sprintf("x_%s_%d", o.Key, t), fmt.Sprintf("z_%s_%d", o.Key, t)
			cents := centsOf(b, step)
			from, _ := b.From.Float64()
			low, high := math.Ceil(math.Max(math.Max(from, least), step)/step), most
			if t+1 < len(prices) {
				next, _ := prices[t+1].From.Float64()
				high = math.Ceil(next/step) - 1
			}
			if high < low {
				continue
			}
			fmt.Fprintf(&w.goal, " + %g %s", math.Round(cents*(1+tax)+handling*step*100), x)
			w.rule("%s - %g %s >= 0", x, low, z)
			w.rule("%s - %g %s <= 0", x, high, z)
			one += " + " + z
			cover += fmt.Sprintf(" + %g %s", step*float64(o.Content), x)
			w.goods[o.Supplier] += fmt.Sprintf(" + %g %s", cents, x)
			group.mass += fmt.Sprintf(" + %g %s", step*float64(o.Mass), x)
			group.volume += fmt.Sprintf(" + %g %s", step*float64(o.Volume), x)
			group.chosen = append(group.chosen, z)
			w.general.WriteString(" " + x)
			w.binary.WriteString(" " + z)
		}
		group.mostMass += most * step * float64(o.Mass)
		group.mostVolume += most * step * float64(o.Volume)
		w.rule("%s <= 1", one)
	}
	if n.Surplus.Price.IsZero() {
		w.rule("%s >= %g", cover, float64(n.Quantity))
		return
	}
	// left counts the surplus; what it is worth is whole cents for a content of one.
	price, _ := n.Surplus.Price.Float64()
	each := math.Round(price * 100 / float64(n.Surplus.Per))
	left := "left_" + n.Material
	w.rule("%s - %s = %g", cover, left, float64(n.Quantity))
	if n.Surplus.Disposal {
		fmt.Fprintf(&w.goal, " + %g %s", each, left)
	} else {
		fmt.Fprintf(&w.goal, " - %g %s", each, left)
	}
}

func centsOf(b supply.Break, step float64) float64 {
	price, _ := b.Price.Float64()
	return math.Round(price * step * 100)
}

// mostSteps is a number of steps of the offer beyond which nothing is gained: it covers the need alone, is at the last
// break and at the least count, and its goods reach any amount that its supplier asks for.
func mostSteps(p supply.Problem, n supply.Need, o supply.Offer) float64 {
	step, _ := increment(o).Float64()
	least, _ := o.Minimum.Float64()
	most := math.Max(math.Ceil(float64(n.Quantity)/(step*float64(o.Content))), math.Ceil(least/step))
	cents := centsOf(supply.Break{Price: o.Price}, step)
	for _, b := range o.Breaks {
		from, _ := b.From.Float64()
		most = math.Max(most, math.Ceil(from/step))
		cents = math.Min(cents, centsOf(b, step))
	}
	for _, s := range p.Suppliers {
		if s.Key == o.Supplier && s.Delivery != nil {
			most = math.Max(most, math.Ceil(float64(max(s.MinimumOrder, s.Delivery.FreeFrom))/cents))
		}
	}
	return most + 1
}

// supplier writes the ways of a supplier and gives the sum of its y.
func (w *lpWriter) supplier(s supply.Supplier, tax supply.Tax) (modes string) {
	if w.goods[s.Key] == "" {
		return ""
	}
	groups := w.groups[s.Key]
	byMass, byVolume := make([]string, len(groups)), make([]string, len(groups))
	way := func(name string, fee, crew money.Amount, payload measure.Mass, space measure.Volume, least money.Amount) {
		y := "y_" + s.Key + name
		modes += " + " + y
		for k, g := range groups {
			n := fmt.Sprintf("n_%s%s_%d", s.Key, name, k)
			fmt.Fprintf(&w.goal, " + %d %s", fee+share(fee, tax.Delivery)+crew, n)
			if len(groups) == 1 {
				w.rule("%s - %s >= 0", n, y)
			} else {
				w.rule("%s - %s - u_%s_%d >= -1", n, y, s.Key, k)
			}
			w.rule("%s - %d %s <= 0", n, mostTrips, y)
			holds := func(payload, most float64) string {
				if payload > 0 {
					return fmt.Sprintf(" - %g %s", payload, n)
				}
				return fmt.Sprintf(" - %g %s", most, y)
			}
			byMass[k] += holds(float64(payload), g.mostMass)
			byVolume[k] += holds(float64(space), g.mostVolume)
			w.general.WriteString(" " + n)
		}
		if least > 0 {
			w.rule("%s - %d %s >= 0", w.goods[s.Key], least, y)
		}
		w.binary.WriteString(" " + y)
	}
	if d := s.Delivery; d != nil {
		way("paid", d.Fee, 0, d.Payload, d.PayloadVolume, s.MinimumOrder)
		if d.FreeFrom > 0 {
			way("free", 0, 0, d.Payload, d.PayloadVolume, max(d.FreeFrom, s.MinimumOrder))
		}
	}
	if t := s.PickUp; t != nil {
		way("trip", t.TripCost, t.Crew, t.Payload, t.PayloadVolume, 0)
	}
	if s.Delivery == nil && s.PickUp == nil {
		way("come", 0, 0, 0, 0, s.MinimumOrder)
	}
	w.rule("%s <= 1", modes)
	for k, g := range groups {
		w.rule("%s%s <= 0", g.mass, byMass[k])
		w.rule("%s%s <= 0", g.volume, byVolume[k])
		if len(groups) > 1 {
			u := fmt.Sprintf("u_%s_%d", s.Key, k)
			w.binary.WriteString(" " + u)
			for _, z := range g.chosen {
				w.rule("%s - %s <= 0", z, u)
			}
		}
	}
	return modes
}

// leaving is a market in which some of what is left is worth something, drawn at will.
func leaving(seed uint64, p supply.Problem) supply.Problem {
	r := rand.New(rand.NewPCG(seed, 815))
	for i := range p.Needs {
		switch r.IntN(3) {
		case 0:
			p.Needs[i].Surplus = supply.Surplus{Price: cent(1 + r.IntN(4)), Per: 1}
		case 1:
			p.Needs[i].Surplus = supply.Surplus{Price: cent(1 + r.IntN(20)), Per: 1, Disposal: true}
		}
	}
	return p
}

// grouped is a market whose offers ride in groups of their own, drawn at will.
func grouped(seed uint64, p supply.Problem) supply.Problem {
	r := rand.New(rand.NewPCG(seed, 4711))
	for i := range p.Needs {
		for k := range p.Needs[i].Offers {
			p.Needs[i].Offers[k].LoadWith = []string{"", "", "sand", "pallets"}[r.IntN(4)]
		}
	}
	return p
}
