package supply_test

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"math/big"
	"slices"
	"testing"

	"github.com/govalues/decimal"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate/measure"
	"bedline/pricing/money"
	"bedline/pricing/supply"
)

var usd = money.Currency{Code: "USD", Digits: 2}

func dec(s string) decimal.Decimal { return decimal.MustParse(s) }

// worth is a plan as the definitions rank it, worked out here from the purchases alone.
type worth struct {
	landed  money.Amount
	trips   int
	packs   float64 // whole and half counts add up exactly
	surplus float64
	steps   []int // by offer key
}

func (a worth) compare(b worth) int {
	if a.landed != b.landed {
		return int(a.landed - b.landed)
	}
	if a.trips != b.trips {
		return a.trips - b.trips
	}
	if a.packs != b.packs {
		return cmp.Compare(a.packs, b.packs)
	}
	if math.Abs(a.surplus-b.surplus) > 1e-8 {
		if a.surplus < b.surplus {
			return -1
		}
		return 1
	}
	return -slices.Compare(a.steps, b.steps)
}

// measured is the mass and the volume of a load.
type measured struct{ mass, volume float64 }

type place struct {
	need     int
	supplier int
	offer    supply.Offer
	lines    map[int]line
}

// line is what a number of steps of an offer comes to.
type line struct {
	sold   bool
	amount money.Amount
	count  float64
}

func (p place) line(steps int) line {
	if l, ok := p.lines[steps]; ok {
		return l
	}
	o := p.offer
	count, _ := increment(o).Mul(decimal.MustNew(int64(steps), 0))
	price, from := o.Price, dec("0")
	for _, b := range o.Breaks {
		if !count.Less(b.From) && !b.From.Less(from) {
			price, from = b.Price, b.From
		}
	}
	amount, err := usd.Times(price, count)
	if err != nil {
		panic(err)
	}
	c, _ := count.Float64()
	l := line{sold: !count.Less(o.Minimum), amount: amount, count: c}
	p.lines[steps] = l
	return l
}

func byKey(p supply.Problem) []place {
	var places []place
	for i, n := range p.Needs {
		for _, o := range n.Offers {
			at := slices.IndexFunc(p.Suppliers, func(s supply.Supplier) bool { return s.Key == o.Supplier })
			places = append(places, place{i, at, o, map[int]line{}})
		}
	}
	slices.SortFunc(places, func(a, b place) int {
		if a.offer.Key < b.offer.Key {
			return -1
		}
		return 1
	})
	return places
}

func increment(o supply.Offer) decimal.Decimal {
	if o.Increment.IsZero() {
		return decimal.One
	}
	return o.Increment
}

// rate gives what the steps of the offers are worth, false if they don't cover the needs or can't be delivered.
func rate(p supply.Problem, places []place, steps []int) (worth, bool) {
	w := worth{steps: steps}
	var bought [16]float64
	var uses [8]struct {
		used  bool
		goods money.Amount
		loads map[string]measured // by load group
	}
	for i, k := range steps {
		if k == 0 {
			continue
		}
		o, l := &places[i].offer, places[i].line(k)
		if !l.sold {
			return w, false
		}
		if days := p.Limits.LeadDays; days > 0 && o.LeadDays > days {
			return w, false
		}
		each, _ := usd.Times(o.Handling, increment(*o))
		w.landed += l.amount + money.Amount(k)*each + share(l.amount, p.Tax.Goods)
		w.packs += l.count
		bought[places[i].need] += l.count * float64(o.Content)
		u := &uses[places[i].supplier]
		u.used = true
		u.goods += l.amount
		if u.loads == nil {
			u.loads = map[string]measured{}
		}
		load := u.loads[o.LoadWith]
		load.mass += l.count * float64(o.Mass)
		load.volume += l.count * float64(o.Volume)
		u.loads[o.LoadWith] = load
	}
	for i, n := range p.Needs {
		q := float64(n.Quantity)
		if q <= 0 {
			continue
		}
		if bought[i] < q-1e-9*math.Max(1, q) {
			return w, false
		}
		w.surplus += math.Max(0, bought[i]-q) / q
		w.landed += left(n, bought[i])
	}
	for i, s := range p.Suppliers {
		u := &uses[i]
		g := u.goods
		if !u.used {
			continue
		}
		count := func(payload measure.Mass, space measure.Volume) int {
			all := 0
			for _, load := range u.loads {
				n := 1
				if payload > 0 {
					n = max(n, measure.RoundUp(load.mass/float64(payload)))
				}
				if space > 0 {
					n = max(n, measure.RoundUp(load.volume/float64(space)))
				}
				all += n
			}
			return all
		}
		cost, trips, ok := money.Amount(0), 0, false
		if d := s.Delivery; d != nil && g >= s.MinimumOrder {
			ok = true
			trips = count(d.Payload, d.PayloadVolume)
			if d.FreeFrom == 0 || g < d.FreeFrom {
				cost = (d.Fee + share(d.Fee, p.Tax.Delivery)) * money.Amount(trips)
			}
		}
		if t := s.PickUp; t != nil {
			n := count(t.Payload, t.PayloadVolume)
			c := (t.TripCost + share(t.TripCost, p.Tax.Delivery) + t.Crew) * money.Amount(n)
			if !ok || c < cost || c == cost && n < trips {
				ok, cost, trips = true, c, n
			}
		}
		if s.Delivery == nil && s.PickUp == nil && g >= s.MinimumOrder {
			ok, trips = true, len(u.loads)
		}
		if !ok {
			return w, false
		}
		w.landed += cost
		w.trips += trips
	}
	return w, true
}

// left is what the surplus of a need adds to the cost, rounded half away from zero.
func left(n supply.Need, bought float64) money.Amount {
	if n.Surplus.Price.IsZero() || bought <= float64(n.Quantity) {
		return 0
	}
	exact := new(big.Rat).Sub(new(big.Rat).SetFloat64(bought), new(big.Rat).SetFloat64(float64(n.Quantity)))
	exact.Quo(exact, new(big.Rat).SetFloat64(float64(n.Surplus.Per)))
	exact.Mul(exact, money.Exact(n.Surplus.Price))
	exact.Mul(exact, big.NewRat(100, 1))
	cost, err := money.RoundExact(exact)
	if err != nil {
		panic(err)
	}
	if !n.Surplus.Disposal {
		return -cost
	}
	return cost
}

// tooGood says that some price of the need's offers is not above what resale brings, so that more is always cheaper.
func tooGood(n supply.Need) bool {
	if n.Surplus.Disposal {
		return false
	}
	price, _ := n.Surplus.Price.Float64()
	for _, o := range n.Offers {
		for _, b := range append([]supply.Break{{Price: o.Price}}, o.Breaks...) {
			if at, _ := b.Price.Float64(); at/float64(o.Content) <= price/float64(n.Surplus.Per)*(1+1e-9) {
				return true
			}
		}
	}
	return false
}

// share is a tax on an amount, rounded half away from zero.
func share(a money.Amount, rate decimal.Decimal) money.Amount {
	tax, err := usd.Times(decimal.MustNew(int64(a), 2), rate)
	if err != nil {
		panic(err)
	}
	return tax
}

func stepsOf(places []place, plan supply.Plan) []int {
	steps := make([]int, len(places))
	for _, b := range plan.Purchases {
		for i := range places {
			if places[i].offer.Key == b.Offer {
				steps[i] = b.Steps
			}
		}
	}
	return steps
}

// shows says that the plan, rated by the definitions from its purchases alone, covers the needs at what it says it costs.
func shows(p supply.Problem, plan supply.Plan) bool {
	places := byKey(p)
	w, ok := rate(p, places, stepsOf(places, plan))
	return ok && w.landed == plan.Landed
}

func brute(p supply.Problem, places []place, most int) (worth, bool) {
	var best worth
	found := false
	steps := make([]int, len(places))
	var walk func(i int)
	walk = func(i int) {
		if i == len(places) {
			if w, ok := rate(p, places, steps); ok && (!found || w.compare(best) < 0) {
				w.steps = slices.Clone(steps)
				best, found = w, true
			}
			return
		}
		for k := 0; k <= most; k++ {
			steps[i] = k
			walk(i + 1)
		}
		steps[i] = 0
	}
	walk(0)
	return best, found
}

func cents(t *rapid.T, low, high int64, name string) decimal.Decimal {
	return decimal.MustNew(rapid.Int64Range(low, high).Draw(t, name), 2)
}

func drawSupplier(t *rapid.T, key string) supply.Supplier {
	s := supply.Supplier{Key: key}
	kind := rapid.IntRange(0, 5).Draw(t, key+" ways")
	if kind != 0 && kind != 1 {
		s.Delivery = &supply.Delivery{Fee: money.Amount(100 * rapid.Int64Range(0, 20).Draw(t, key+" fee"))}
		if rapid.Bool().Draw(t, key+" payload") {
			s.Delivery.Payload = measure.Mass(rapid.IntRange(3, 30).Draw(t, key+" payload mass"))
		}
		if rapid.Bool().Draw(t, key+" space") {
			s.Delivery.PayloadVolume = measure.Volume(rapid.IntRange(3, 30).Draw(t, key+" payload volume"))
		}
		if rapid.Bool().Draw(t, key+" free") {
			s.Delivery.FreeFrom = money.Amount(100 * rapid.Int64Range(1, 60).Draw(t, key+" free from"))
		}
	}
	if kind == 1 || kind >= 4 {
		s.PickUp = &supply.PickUp{TripCost: money.Amount(100 * rapid.Int64Range(0, 10).Draw(t, key+" trip"))}
		s.PickUp.Crew = money.Amount(rapid.SampledFrom([]int64{0, 0, 350}).Draw(t, key+" crew"))
		if rapid.Bool().Draw(t, key+" trailer") {
			s.PickUp.Payload = measure.Mass(rapid.IntRange(2, 15).Draw(t, key+" trailer mass"))
			s.PickUp.PayloadVolume = measure.Volume(rapid.IntRange(2, 15).Draw(t, key+" trailer volume"))
		}
	}
	if rapid.IntRange(0, 2).Draw(t, key+" minimum") == 0 {
		s.MinimumOrder = money.Amount(100 * rapid.Int64Range(0, 40).Draw(t, key+" minimum order"))
	}
	return s
}

func drawOffer(t *rapid.T, key string, suppliers []supply.Supplier) supply.Offer {
	o := supply.Offer{
		Key:      key,
		Supplier: rapid.SampledFrom(suppliers).Draw(t, key+" supplier").Key,
		Form:     rapid.SampledFrom([]supply.Form{supply.Bag, supply.Bulk, supply.Each}).Draw(t, key+" form"),
		Content:  supply.Content(rapid.IntRange(1, 6).Draw(t, key+" content")),
		Price:    cents(t, 50, 1200, key+" price"),
	}
	switch rapid.IntRange(0, 3).Draw(t, key+" price kind") {
	case 0:
		o.Price = decimal.MustNew(rapid.Int64Range(1, 6).Draw(t, key+" round price"), 0)
	case 1:
		o.Price = decimal.MustNew(rapid.Int64Range(500, 9000).Draw(t, key+" fine price"), 3)
	}
	o.Mass = measure.Mass(float64(o.Content) * float64(rapid.IntRange(0, 3).Draw(t, key+" density")))
	o.Volume = measure.Volume(o.Content)
	if rapid.IntRange(0, 2).Draw(t, key+" has breaks") == 0 {
		from := rapid.Int64Range(2, 5).Draw(t, key+" from")
		o.Breaks = append(o.Breaks, supply.Break{From: decimal.MustNew(from, 0), Price: cents(t, 50, 1000, key+" break")})
		if rapid.Bool().Draw(t, key+" second") {
			o.Breaks = append(o.Breaks, supply.Break{From: decimal.MustNew(from+2, 0), Price: cents(t, 50, 900, key+" second break")})
		}
	}
	if rapid.IntRange(0, 3).Draw(t, key+" is handled") == 0 {
		o.Handling = cents(t, 1, 300, key+" handling")
	}
	o.LoadWith = rapid.SampledFrom([]string{"", "", "", "sand", "pallets"}).Draw(t, key+" rides with")
	o.LeadDays = rapid.IntRange(0, 3).Draw(t, key+" lead")
	switch rapid.IntRange(0, 4).Draw(t, key+" step") {
	case 0:
		o.Increment = dec("0.5")
		o.Minimum = decimal.MustNew(rapid.Int64Range(0, 3).Draw(t, key+" least"), 0)
	case 1:
		o.Minimum = decimal.MustNew(rapid.Int64Range(0, 4).Draw(t, key+" least"), 0)
	}
	return o
}

func drawProblem(t *rapid.T, mostOffers int) supply.Problem {
	p := supply.Problem{Currency: usd}
	switch rapid.IntRange(0, 3).Draw(t, "tax") {
	case 0:
		p.Tax = supply.Tax{Goods: dec("0.0825"), Delivery: dec("0.0825")}
	case 1:
		p.Tax.Goods = decimal.MustNew(rapid.Int64Range(1, 30).Draw(t, "tax on goods"), 2)
	}
	if rapid.IntRange(0, 3).Draw(t, "in a hurry") == 0 {
		p.Limits.LeadDays = 2
	}
	for i := range rapid.IntRange(1, 3).Draw(t, "suppliers") {
		p.Suppliers = append(p.Suppliers, drawSupplier(t, fmt.Sprintf("s%d", i)))
	}
	left := mostOffers
	for i := range rapid.IntRange(1, min(3, mostOffers)).Draw(t, "needs") {
		n := supply.Need{Material: fmt.Sprintf("m%d", i), Quantity: supply.Content(rapid.IntRange(1, 14).Draw(t, "quantity"))}
		for j := range rapid.IntRange(1, 3).Draw(t, "offers") {
			if left == 0 {
				break
			}
			left--
			n.Offers = append(n.Offers, drawOffer(t, fmt.Sprintf("o%d", rapid.IntRange(0, 9).Draw(t, "key")*100+i*10+j), p.Suppliers))
		}
		switch rapid.IntRange(0, 4).Draw(t, "what is left") {
		case 0:
			n.Surplus = supply.Surplus{Price: cents(t, 1, 60, "resale"), Per: supply.Content(rapid.IntRange(1, 3).Draw(t, "resale per"))}
		case 1:
			n.Surplus = supply.Surplus{Price: cents(t, 1, 400, "disposal"), Per: supply.Content(rapid.IntRange(1, 3).Draw(t, "disposal per")), Disposal: true}
		}
		if len(n.Offers) > 0 {
			p.Needs = append(p.Needs, n)
		}
	}
	return p
}

func TestThePlanIsTheBestOfAllCombinations(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t, 4)
		places := byKey(p)
		const most = 15
		want, ok := brute(p, places, most)
		plan, err := supply.Solve(p)
		var senseless *supply.InputError
		if errors.As(err, &senseless) {
			require.True(t, slices.ContainsFunc(p.Needs, tooGood), "%v", err)
			return
		}
		if !ok {
			if err == nil {
				// Further than brute force looks.
				require.Condition(t, func() bool {
					return slices.Max(stepsOf(places, plan)) > most
				})
			}
			return
		}
		require.NoError(t, err)
		got, feasible := rate(p, places, stepsOf(places, plan))
		require.True(t, feasible, "%+v", plan.Purchases)
		require.Equal(t, got.landed, plan.Landed)
		if !plan.Settled {
			// Far thresholds leave very many plans of one cost; what was said of the cost must hold.
			require.LessOrEqual(t, plan.Bound, want.landed)
			return
		}
		require.True(t, plan.Optimal)
		if got.compare(want) > 0 {
			describe(t, p)
		}
		if slices.Max(got.steps) > most {
			require.Less(t, got.compare(want), 0, "got %+v\nwant %+v", got, want)
			return
		}
		require.Zero(t, got.compare(want), "got %+v\nwant %+v", got, want)
	})
}

// describe prints an instance so that it can be read in a failure.
func describe(t interface{ Logf(string, ...any) }, p supply.Problem) {
	for _, x := range p.Suppliers {
		t.Logf("%s delivery %+v pick-up %+v minimum %d", x.Key, x.Delivery, x.PickUp, x.MinimumOrder)
	}
	for _, n := range p.Needs {
		t.Logf("%s %v surplus %+v", n.Material, n.Quantity, n.Surplus)
		for _, o := range n.Offers {
			t.Logf("  %s %s %s content %v mass %v volume %v rides with %q price %s breaks %v step %s least %s", o.Key, o.Supplier, o.Form, o.Content, o.Mass, o.Volume, o.LoadWith, o.Price, o.Breaks, o.Increment, o.Minimum)
		}
	}
}
