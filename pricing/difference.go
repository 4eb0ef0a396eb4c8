package pricing

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/govalues/decimal"

	"bedline/estimate"
	"bedline/estimate/measure"
	"bedline/pricing/money"
)

// Difference is what sets two quotes in one currency apart. Every difference is what is after less what was before.
type Difference struct {
	Lines     []LineDifference // that are not the same in both, in the order of lines
	Unchanged int              // lines that are the same in both
	Added     money.Amount     // cost of the lines that are only after
	Saved     money.Amount     // cost of the lines that were only before
	Changed   money.Amount     // difference in cost of the lines that are in both
	Totals    Totals           // differences; Direct = Added - Saved + Changed. Taxes, Commercial and Workings are empty
	Landed    money.Amount     // of the buying plan
	New, Gone []estimate.Notice
	Sentence  string // for a customer
	Workings  []estimate.Working
}

// LineDifference is one line before and after; one of the two is nil where the line was added or saved.
type LineDifference struct {
	Before, After *Line
}

// Line is the one that there is, that of after if both are.
func (d LineDifference) Line() *Line {
	if d.After != nil {
		return d.After
	}
	return d.Before
}

// lineName is what pairs the lines of two quotes. Where several lines of a quote have one name, the first goes with the
// first, the second with the second and so on.
type lineName struct {
	key      estimate.LineKey
	material string
	what     string // the operation, the supplier, else what the line calls itself
}

func nameOf(l *Line) lineName {
	n := lineName{key: l.Key}
	switch {
	case l.Material != nil:
		n.material = l.Material.Material.Key
	case l.Work != nil:
		n.what = string(l.Work.Operation)
		if l.Work.Material != nil {
			n.material = l.Work.Material.Key
		}
	case l.Supplier != "":
		n.what = l.Supplier
	default:
		n.what = l.Description
	}
	return n
}

// same tells whether nothing that a crew buys, does or pays for a line differs. The tax on it goes with the whole job.
func same(a, b *Line) bool {
	if a.Amount != b.Amount || a.Tool != b.Tool || !a.Hours.Equal(b.Hours) || !SameOrders(a, b) {
		return false
	}
	ma, ra := a.Measures()
	mb, rb := b.Measures()
	return Apart(ma, mb) == 0 && Apart(ra, rb) == 0 && ma.Kind == mb.Kind && ra.Kind == rb.Kind
}

// SameOrders tells whether two lines are bought the same, whatever part of it each bears.
func SameOrders(a, b *Line) bool {
	return slices.EqualFunc(a.Orders, b.Orders, func(x, y Order) bool {
		return x.Offer.Key == y.Offer.Key && x.Count.Equal(y.Count) && x.Price.Equal(y.Price)
	})
}

// Apart is what an amount is more than another of its kind; 0 where no more than the last bits of a sum differ, which
// depend on what else was summed.
func Apart(after, before estimate.Amount) float64 {
	d := after.Value - before.Value
	if math.Abs(d) <= hair*math.Max(math.Abs(after.Value), math.Abs(before.Value)) {
		return 0
	}
	return d
}

// hair is the share of an amount that is rounding error.
const hair = 1e-9

// Measures are what the line measures and what it takes to buy; an amount of no kind where it has none.
func (l *Line) Measures() (measured, required estimate.Amount) {
	switch {
	case l.Material != nil:
		return l.Material.Measured, l.Material.Required
	case l.Work != nil && l.Work.Machine != nil && l.Tool == ByMachine:
		return l.Work.Machine.Quantity, estimate.Amount{}
	case l.Work != nil:
		return l.Work.Quantity, estimate.Amount{}
	case l.Spoil:
		return estimate.Amount{Kind: estimate.VolumeAmount, Value: float64(l.Loose)}, estimate.Amount{}
	}
	return estimate.Amount{}, estimate.Amount{}
}

// Less is the totals less those of another quote.
func (t *Totals) Less(o *Totals) (Totals, error) {
	hours, err := t.Hours.Sub(o.Hours)
	if err != nil {
		return Totals{}, fmt.Errorf("comparing hours: %w", err)
	}
	return Totals{
		Hours: hours, Materials: t.Materials - o.Materials, Delivery: t.Delivery - o.Delivery, Equipment: t.Equipment - o.Equipment, Labour: t.Labour - o.Labour,
		Disposal: t.Disposal - o.Disposal, Direct: t.Direct - o.Direct, Contingency: t.Contingency - o.Contingency, Overhead: t.Overhead - o.Overhead,
		Profit: t.Profit - o.Profit, Discount: t.Discount - o.Discount, Rounding: t.Rounding - o.Rounding, Odd: t.Odd - o.Odd, BeforeTax: t.BeforeTax - o.BeforeTax, Tax: t.Tax - o.Tax, Price: t.Price - o.Price,
	}, nil
}

// Compare tells what sets two quotes in one currency apart. Name begins the sentence.
func Compare(name string, before, after *Quote) (Difference, error) {
	var d Difference
	var err error
	if d.Totals, err = after.Totals.Less(&before.Totals); err != nil {
		return d, err
	}
	d.Landed = after.Supply.Plan.Landed - before.Supply.Plan.Landed
	d.pair(before.Lines, after.Lines)
	d.New, d.Gone = without(after.Notices, before.Notices), without(before.Notices, after.Notices)
	d.sum(after.List.Currency)
	d.Sentence = name + ": " + d.words(after.List.Currency)
	return d, nil
}

// pair sets each line beside the one of its name.
func (d *Difference) pair(before, after []Line) {
	waiting := make(map[lineName][]int, len(before)) // only looked up
	for i := range before {
		n := nameOf(&before[i])
		waiting[n] = append(waiting[n], i)
	}
	taken := make([]bool, len(before))
	for i := range after {
		one := LineDifference{After: &after[i]}
		if n := nameOf(&after[i]); len(waiting[n]) > 0 {
			one.Before = &before[waiting[n][0]]
			taken[waiting[n][0]] = true
			waiting[n] = waiting[n][1:]
			if same(one.Before, one.After) {
				d.Unchanged++
				continue
			}
		}
		d.Lines = append(d.Lines, one)
	}
	for i := range before {
		if !taken[i] {
			d.Lines = append(d.Lines, LineDifference{Before: &before[i]})
		}
	}
	slices.SortStableFunc(d.Lines, func(a, b LineDifference) int { return rank(a.Line().Key) - rank(b.Line().Key) })
}

// sum adds the lines up and shows how they make the difference in price.
func (d *Difference) sum(c money.Currency) {
	for _, l := range d.Lines {
		switch {
		case l.Before == nil:
			d.Added += l.After.Amount
		case l.After == nil:
			d.Saved += l.Before.Amount
		default:
			d.Changed += l.After.Amount - l.Before.Amount
		}
	}
	t := &d.Totals
	rest := ""
	if t.Discount != 0 {
		rest += ", discount " + signed(c, -t.Discount)
	}
	if rounding := t.Rounding + t.Odd; rounding != 0 {
		rest += ", rounding " + signed(c, rounding)
	}
	d.Workings = []estimate.Working{
		{Label: "direct cost", Expression: "added " + c.Format(d.Added) + " - saved " + c.Format(d.Saved) + " + changed " + signed(c, d.Changed), Result: signed(c, t.Direct)},
		{Label: "price", Expression: "direct cost " + signed(c, t.Direct) + ", contingency " + signed(c, t.Contingency) + ", overhead " + signed(c, t.Overhead) +
			", profit " + signed(c, t.Profit) + rest + ", tax " + signed(c, t.Tax), Result: signed(c, t.Price)},
	}
}

// signed writes a difference: +3.20, -1.00, 0.00.
func signed(c money.Currency, a money.Amount) string {
	if a > 0 {
		return "+" + c.Format(a)
	}
	return c.Format(a)
}

// words is the difference for a customer: "+312.40, 41 more units, 2.5 h more".
func (d *Difference) words(c money.Currency) string {
	parts := []string{"the same price"}
	if d.Totals.Price != 0 {
		parts[0] = signed(c, d.Totals.Price)
	}
	if n := d.units(); n != 0 {
		word := " more unit"
		if n < 0 {
			n, word = -n, " fewer unit"
		}
		if n != 1 {
			word += "s"
		}
		parts = append(parts, measure.FormatNumber(n, 0)+word)
	}
	switch hours := d.Totals.Hours; {
	case hours.IsPos():
		parts = append(parts, plain(hours)+" h more")
	case hours.IsNeg():
		parts = append(parts, plain(hours.Neg())+" h less")
	}
	return strings.Join(parts, ", ")
}

// units is how many more units (pavers, slabs, bricks) are laid.
func (d *Difference) units() float64 {
	var n float64
	count := func(l *Line, sign float64) {
		if l == nil || l.Material == nil || l.Material.Material.Kind != estimate.UnitMaterial || l.Material.Measured.Kind != estimate.CountAmount {
			return
		}
		n += float64(sign * l.Material.Measured.Value)
	}
	for _, l := range d.Lines {
		count(l.After, 1)
		count(l.Before, -1)
	}
	return n
}

// without are the notices that are not among others.
func without(list, others []estimate.Notice) []estimate.Notice {
	var out []estimate.Notice
	for _, n := range list {
		if !slices.Contains(others, n) {
			out = append(out, n)
		}
	}
	return out
}

// Work is an operation that only one of two quotes has.
type Work struct {
	Operation   estimate.Operation
	Description string
	Hours       decimal.Decimal
}

// newWork are the operations of after that before does not have at all, in the order in which a crew does them. An
// operation without a line, for want of a rate, is none.
func newWork(before, after *Quote) ([]Work, error) {
	known := map[estimate.Operation]bool{} // as all here, only looked up
	for i := range before.Lines {
		if w := before.Lines[i].Work; w != nil {
			known[w.Operation] = true
		}
	}
	hours := map[estimate.Operation]decimal.Decimal{}
	for i := range after.Lines {
		l := &after.Lines[i]
		if l.Work == nil || known[l.Work.Operation] {
			continue
		}
		sum, err := hours[l.Work.Operation].Add(l.Hours)
		if err != nil {
			return nil, fmt.Errorf("summing the hours of %s: %w", l.Work.Operation, err)
		}
		hours[l.Work.Operation] = sum
	}
	var out []Work
	for i := range after.Takeoff.Work {
		op := after.Takeoff.Work[i].Operation
		if sum, there := hours[op]; there {
			delete(hours, op)
			out = append(out, Work{Operation: op, Description: Describe(op), Hours: sum})
		}
	}
	return out, nil
}

// lower writes a description inside a sentence.
func lower(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToLower(r)) + s[n:]
}
