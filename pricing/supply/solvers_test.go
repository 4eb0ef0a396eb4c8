//go:build solvers

// The optimum against two mixed-integer solvers: GLPK's glpsol and COIN-OR's cbc, on instances written as LP files.
//
//	apt-get install glpk-utils coinor-cbc
//	go test -tags solvers -run Solvers -v ./pricing/supply/

package supply_test

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/govalues/decimal"
	"github.com/stretchr/testify/require"

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

// asLP writes the problem as a mixed-integer program in the CPLEX LP format, straight from the definitions. All
// amounts are in cents.
func asLP(p supply.Problem) string {
	// Kept small: a solver takes 1e-5 for zero, and times a large number that is a trip.
	const big = 400
	var goal, rules, general, binary strings.Builder
	goods, mass, volume := map[string]string{}, map[string]string{}, map[string]string{}
	rule := func(format string, a ...any) { fmt.Fprintf(&rules, " "+format+"\n", a...) }
	for _, n := range p.Needs {
		cover := ""
		for _, o := range n.Offers {
			step, _ := increment(o).Float64()
			least, _ := o.Minimum.Float64()
			prices := append([]supply.Break{{Price: o.Price}}, o.Breaks...)
			one := ""
			for t, b := range prices {
				x, z := fmt.Sprintf("x_%s_%d", o.Key, t), fmt.Sprintf("z_%s_%d", o.Key, t)
				price, _ := b.Price.Float64()
				cents := math.Round(price * step * 100)
				from, _ := b.From.Float64()
				low, high := math.Ceil(math.Max(math.Max(from, least), step)/step), float64(big)
				if t+1 < len(prices) {
					next, _ := prices[t+1].From.Float64()
					high = math.Ceil(next/step) - 1
				}
				if high < low {
					continue
				}
				fmt.Fprintf(&goal, " + %g %s", cents, x)
				rule("%s - %g %s >= 0", x, low, z)
				rule("%s - %g %s <= 0", x, high, z)
				one += " + " + z
				cover += fmt.Sprintf(" + %g %s", step*float64(o.Content), x)
				goods[o.Supplier] += fmt.Sprintf(" + %g %s", cents, x)
				mass[o.Supplier] += fmt.Sprintf(" + %g %s", step*float64(o.Mass), x)
				volume[o.Supplier] += fmt.Sprintf(" + %g %s", step*float64(o.Volume), x)
				general.WriteString(" " + x)
				binary.WriteString(" " + z)
			}
			rule("%s <= 1", one)
		}
		rule("%s >= %g", cover, float64(n.Quantity))
	}
	for _, s := range p.Suppliers {
		if goods[s.Key] == "" {
			continue
		}
		modes, byMass, byVolume := "", "", ""
		way := func(name string, fee money.Amount, payload measure.Mass, space measure.Volume, least money.Amount) {
			y, n := "y_"+s.Key+name, "n_"+s.Key+name
			modes += " + " + y
			fmt.Fprintf(&goal, " + %d %s", fee, n)
			rule("%s - %s >= 0", n, y)
			rule("%s - %d %s <= 0", n, big/4, y)
			byMass += fmt.Sprintf(" - %g %s", float64(payload), n)
			byVolume += fmt.Sprintf(" - %g %s", float64(space), n)
			if least > 0 {
				rule("%s - %d %s >= 0", goods[s.Key], least, y)
			}
			general.WriteString(" " + n)
			binary.WriteString(" " + y)
		}
		if d := s.Delivery; d != nil {
			way("paid", d.Fee, d.Payload, d.PayloadVolume, s.MinimumOrder)
			if d.FreeFrom > 0 {
				way("free", 0, d.Payload, d.PayloadVolume, max(d.FreeFrom, s.MinimumOrder))
			}
		}
		if t := s.PickUp; t != nil {
			way("trip", t.TripCost, t.Payload, t.PayloadVolume, 0)
		}
		rule("%s <= 1", modes)
		rule("%s%s <= 0", mass[s.Key], byMass)
		rule("%s%s <= 0", volume[s.Key], byVolume)
	}
	return "Minimize\n cost:" + goal.String() + "\nSubject To\n" + rules.String() + "General\n" + general.String() + "\nBinary\n" + binary.String() + "\nEnd\n"
}

var (
	glpObjective = regexp.MustCompile(`Objective:\s+\S+ = (\S+)`)
	cbcObjective = regexp.MustCompile(`(?m)^Optimal.*objective value (\S+)`)
)

func optimum(t *testing.T, pattern *regexp.Regexp, out, name string, arg ...string) (money.Amount, bool) {
	t.Helper()
	log, err := exec.Command(name, arg...).CombinedOutput()
	require.NoError(t, err, "%s", log)
	text, err := os.ReadFile(out)
	require.NoError(t, err, "%s", log)
	m := pattern.FindSubmatch(text)
	if m == nil || bytes.Contains(log, []byte("TIME LIMIT")) || bytes.Contains(text, []byte("INTEGER NON-OPTIMAL")) {
		return 0, false
	}
	value, err := strconv.ParseFloat(string(m[1]), 64)
	require.NoError(t, err)
	return money.Amount(math.Round(value)), true
}

func TestSolversFindTheSameOptimum(t *testing.T) {
	for _, tool := range []string{"glpsol", "cbc"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Fatal(tool + " is missing: apt-get install -y glpk-utils coinor-cbc")
		}
	}
	dir := t.TempDir()
	settled, glp, cbc := 0, 0, 0
	var ours time.Duration
	check := func(name string, p supply.Problem) {
		file, out := filepath.Join(dir, "problem.lp"), filepath.Join(dir, "solution")
		require.NoError(t, os.WriteFile(file, []byte(asLP(p)), 0o600))
		start := time.Now()
		plan, err := supply.Solve(p)
		ours += time.Since(start)
		require.NoError(t, err, name)
		compare := func(tool string, value money.Amount) {
			require.LessOrEqual(t, plan.Bound, value, "%s %s", name, tool)
			require.GreaterOrEqual(t, plan.Landed, value, "%s %s", name, tool)
			if plan.Settled {
				require.Equal(t, value, plan.Landed, "%s %s", name, tool)
			}
		}
		if value, ok := optimum(t, glpObjective, out, "glpsol", "--lp", file, "-o", out, "--tmlim", "3", "--cuts"); ok {
			compare("glpsol", value)
			glp++
		}
		if value, ok := optimum(t, cbcObjective, out, "cbc", file, "ratio", "0", "allow", "0.01", "sec", "5", "solve", "solution", out); ok {
			compare("cbc", value)
			cbc++
		}
		if plan.Settled {
			settled++
		}
	}
	count := 0
	for _, size := range [][3]int{{2, 2, 5}, {3, 3, 9}, {5, 3, 12}, {7, 4, 20}} {
		for seed := range uint64(25) {
			check(fmt.Sprint(size, seed), wholeMarket(seed, size[0], size[1], size[2]))
			count++
		}
	}
	t.Logf("%d instances: %d settled here in %v together, %d compared with glpsol, %d with cbc", count, settled, ours, glp, cbc)
	require.Greater(t, glp+cbc, count)
}
