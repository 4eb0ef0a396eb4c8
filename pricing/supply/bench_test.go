package supply_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/govalues/decimal"
	"github.com/stretchr/testify/require"

	"bedline/estimate/measure"
	"bedline/pricing/money"
	"bedline/pricing/supply"
)

// yard is an invented market of a given size, in the proportions of small jobs.
func yard(seed uint64, needs, suppliers, offers int) supply.Problem {
	r := rand.New(rand.NewPCG(seed, 31))
	p := supply.Problem{Currency: usd}
	for i := range suppliers {
		s := supply.Supplier{Key: fmt.Sprintf("s%02d", i)}
		if r.IntN(5) > 0 {
			s.Delivery = &supply.Delivery{Fee: money.Amount(3500 + 500*r.IntN(14)), Payload: measure.Mass(4000 + 1000*r.IntN(8)), PayloadVolume: measure.Volume(5 + r.IntN(6))}
			if r.IntN(2) == 0 {
				s.Delivery.FreeFrom = money.Amount(30000 + 10000*r.IntN(10))
			}
			if r.IntN(2) == 0 {
				s.MinimumOrder = money.Amount(5000 + 1000*r.IntN(10))
			}
		}
		if s.Delivery == nil || r.IntN(2) == 0 {
			s.PickUp = &supply.PickUp{TripCost: money.Amount(800 + 100*r.IntN(20)), Payload: 680, PayloadVolume: 0.76}
		}
		p.Suppliers = append(p.Suppliers, s)
	}
	for i := range needs {
		n := supply.Need{Material: fmt.Sprintf("m%02d", i)}
		volume := 0.1 + float64(r.IntN(300))/300
		n.Quantity = supply.Content(volume)
		base := 30 + 40*r.Float64() // per m3
		for j := i; j < offers; j += needs {
			o := supply.Offer{Key: fmt.Sprintf("o%02d-%02d", i, j), Supplier: p.Suppliers[r.IntN(suppliers)].Key}
			density := measure.Density(1200 + 100*float64(i%8))
			price := 0.0
			if r.IntN(3) == 0 {
				o.Form = supply.Bulk
				o.Content = 0.764554857984
				o.Increment = dec("0.5")
				o.Minimum = dec("1")
				price = base * 0.76 * (0.9 + 0.3*r.Float64())
				if r.IntN(2) == 0 {
					o.Breaks = append(o.Breaks, supply.Break{From: dec("3"), Price: decimal.MustNew(int64(price*90), 2)})
				}
			} else {
				o.Form = supply.Bag
				o.Content = supply.Content([]float64{0.014158423296, 0.021237634944, 0.028316846592}[r.IntN(3)])
				price = base * 5 * float64(o.Content) * (0.9 + 0.3*r.Float64())
				if r.IntN(2) == 0 {
					o.Breaks = append(o.Breaks, supply.Break{From: dec("40"), Price: decimal.MustNew(int64(price*92), 2)})
				}
			}
			o.Price = decimal.MustNew(int64(price*100), 2)
			o.Mass = measure.Volume(o.Content).Weigh(density)
			o.Volume = measure.Volume(o.Content)
			n.Offers = append(n.Offers, o)
		}
		p.Needs = append(p.Needs, n)
	}
	return p
}

// garden is an invented small job: an edged bed with stone on fabric, from a yard, a shop and a depot.
func garden() supply.Problem {
	const (
		yd3 = 0.764554857984
		ft3 = 0.028316846592
		lb  = 0.45359237
	)
	loose := func(key, from string, form supply.Form, content, density float64, price string, breaks ...supply.Break) supply.Offer {
		o := supply.Offer{
			Key: key, Supplier: from, Form: form, Content: supply.Content(content), Price: dec(price), Breaks: breaks,
			Mass: measure.Mass(content * density), Volume: measure.Volume(content),
		}
		if form == supply.Bulk {
			o.Increment, o.Minimum = dec("0.5"), dec("1")
		}
		return o
	}
	piece := func(key, from string, form supply.Form, content, mass, volume float64, price string, breaks ...supply.Break) supply.Offer {
		return supply.Offer{
			Key: key, Supplier: from, Form: form, Content: supply.Content(content), Price: dec(price), Breaks: breaks,
			Mass: measure.Mass(mass), Volume: measure.Volume(volume),
		}
	}
	return supply.Problem{
		Currency: usd,
		Suppliers: []supply.Supplier{
			{
				Key: "yard", Delivery: &supply.Delivery{Fee: 6500, Payload: 20000 * lb, PayloadVolume: 12 * yd3, FreeFrom: 60000},
				MinimumOrder: 5000, PickUp: &supply.PickUp{TripCost: 1800, Payload: 1500 * lb, PayloadVolume: yd3},
			},
			{Key: "shop", PickUp: &supply.PickUp{TripCost: 1200, Payload: 1500 * lb, PayloadVolume: yd3}},
			{Key: "depot", Delivery: &supply.Delivery{Fee: 4900, Payload: 8000 * lb}, MinimumOrder: 10000},
		},
		Needs: []supply.Need{
			{Material: "edger", Base: supply.ByCount, Quantity: 78, Offers: []supply.Offer{
				piece("edger-each-shop", "shop", supply.Each, 1, 5*lb, 0.001, "1.65"),
				piece("edger-pallet-yard", "yard", supply.Pallet, 240, 1200*lb, 0.25, "310.00"),
				piece("edger-each-depot", "depot", supply.Each, 1, 5*lb, 0.001, "1.55", supply.Break{From: dec("100"), Price: dec("1.42")}),
			}},
			{Material: "base", Quantity: 0.31, Offers: []supply.Offer{
				loose("base-bulk-yard", "yard", supply.Bulk, yd3, 1600, "38.00", supply.Break{From: dec("5"), Price: dec("34.00")}),
				loose("base-bag-shop", "shop", supply.Bag, 0.5*ft3, 1600, "5.20", supply.Break{From: dec("56"), Price: dec("4.60")}),
			}},
			{Material: "sand", Quantity: 0.11, Offers: []supply.Offer{
				loose("sand-bulk-yard", "yard", supply.Bulk, yd3, 1500, "41.00"),
				loose("sand-bag-shop", "shop", supply.Bag, 0.5*ft3, 1500, "4.45"),
			}},
			{Material: "stone", Quantity: 0.62, Offers: []supply.Offer{
				loose("stone-bulk-yard", "yard", supply.Bulk, yd3, 1520, "64.00"),
				loose("stone-bag-shop", "shop", supply.Bag, 0.5*ft3, 1520, "4.98", supply.Break{From: dec("40"), Price: dec("4.60")}),
				loose("stone-bag-depot", "depot", supply.Bag, 0.75*ft3, 1520, "6.95"),
			}},
			{Material: "fill", Base: supply.ByMass, Quantity: 31, Offers: []supply.Offer{
				piece("fill-tub-shop", "shop", supply.Tub, 22.7, 22.7, 0.016, "31.50"),
			}},
			{Material: "fabric", Base: supply.ByCount, Quantity: 1, Offers: []supply.Offer{
				piece("fabric-shop", "shop", supply.Roll, 1, 9*lb, 0.02, "42.00"),
				piece("fabric-yard", "yard", supply.Roll, 1, 9*lb, 0.02, "47.50"),
			}},
			{Material: "pin", Base: supply.ByCount, Quantity: 64, Offers: []supply.Offer{
				piece("pin-shop", "shop", supply.Bag, 50, 2.5*lb, 0.001, "12.80"),
			}},
		},
	}
}

func BenchmarkPlanOfAGarden(b *testing.B) {
	p := garden()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := supply.Solve(p); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPlanRivalsAndBreakEvensOfAGarden(b *testing.B) {
	p := garden()
	b.ReportAllocs()
	for b.Loop() {
		s, err := supply.New(p)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := s.Plan(); err != nil {
			b.Fatal(err)
		}
		s.Rivals()
		for i := range p.Needs {
			if _, _, err := s.BreakEven(i, 0); err != nil {
				b.Fatal(err)
			}
		}
	}
}

func BenchmarkPlanOfASmallJob(b *testing.B) {
	p := yard(7, 7, 3, 14)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := supply.Solve(p); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPlanAndRivalsOfASmallJob(b *testing.B) {
	p := yard(7, 7, 3, 14)
	b.ReportAllocs()
	for b.Loop() {
		s, err := supply.New(p)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := s.Plan(); err != nil {
			b.Fatal(err)
		}
		s.Rivals()
		for i := range p.Needs {
			if _, _, err := s.BreakEven(i, 20*p.Needs[i].Quantity); err != nil {
				b.Fatal(err)
			}
		}
	}
}

func BenchmarkPlanOfAFullJob(b *testing.B) {
	p := yard(5, 8, 5, 40)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := supply.Solve(p); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkPlansOfManyMarkets gives the median and the 99th percentile of the times of random markets of 8 materials, 5
// suppliers and 40 offers, and how many in a hundred are proved within the usual limit of work.
func BenchmarkPlansOfManyMarkets(b *testing.B) {
	const count = 300
	for _, kind := range []struct {
		name   string
		market func(seed uint64) supply.Problem
	}{
		{"small jobs", func(seed uint64) supply.Problem { return yard(seed, 8, 5, 40) }},
		{"whole units", func(seed uint64) supply.Problem { return wholeMarket(seed, 8, 5, 40) }},
	} {
		b.Run(kind.name, func(b *testing.B) {
			times := make([]time.Duration, count)
			for i := range times {
				times[i] = time.Hour
			}
			proved := 0
			for b.Loop() {
				proved = 0
				for seed := range count {
					p := kind.market(uint64(seed))
					start := time.Now()
					plan, err := supply.Solve(p)
					// The least of all runs: what else the machine does is no part of it.
					times[seed] = min(times[seed], time.Since(start))
					if err != nil {
						b.Fatal(err)
					}
					if plan.Optimal {
						proved++
					}
				}
			}
			slices.Sort(times)
			b.ReportMetric(times[count/2].Seconds()*1e3, "ms-median")
			b.ReportMetric(times[count*99/100].Seconds()*1e3, "ms-p99")
			b.ReportMetric(float64(100*proved)/count, "%proved")
		})
	}
}

// TestWorkOfManyMarkets shows how much work markets of several sizes take, and that small ones are proved.
func TestWorkOfManyMarkets(t *testing.T) {
	t.Parallel()
	for _, x := range []struct{ needs, suppliers, offers, count int }{{7, 3, 14, 100}, {8, 5, 40, 30}, {30, 8, 200, 2}} {
		var times []time.Duration
		var nodes []int
		unproved, none := 0, 0
		for seed := range x.count {
			p := yard(uint64(seed), x.needs, x.suppliers, x.offers)
			start := time.Now()
			plan, err := supply.Solve(p)
			times = append(times, time.Since(start))
			if err != nil {
				none++
				continue
			}
			nodes = append(nodes, plan.Nodes)
			if !plan.Optimal {
				unproved++
				t.Logf("  seed %d: %d gap %d nodes %d", seed, plan.Landed, plan.Gap(), plan.Nodes)
			}
		}
		slices.Sort(times)
		slices.Sort(nodes)
		at := func(percent int) time.Duration { return times[min(len(times)-1, len(times)*percent/100)] }
		t.Logf("%+v: median %v p90 %v p99 %v most %v; nodes median %d most %d; unproved %d, none %d",
			x, at(50), at(90), at(99), at(100), nodes[len(nodes)/2], nodes[len(nodes)-1], unproved, none)
		if x.offers <= 14 {
			require.LessOrEqual(t, unproved, x.count/50)
		}
	}
}
