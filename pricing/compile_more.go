package pricing

import (
	"fmt"
	"slices"
	"strings"

	"github.com/govalues/decimal"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
	"bedline/pricing/money"
)

var fullDay = decimal.MustNew(24, 0)

// The longest that a list can make anybody wait.
const (
	mostLeadDays  = 365
	mostHoldDays  = 60
	mostHoldHours = 1000
)

// whole reads a whole number from least to most, 0 where there is none.
func (c *compiler) whole(at string, d *decimal.Decimal, least, most int, example string) int {
	if d == nil {
		return 0
	}
	n, fraction, ok := d.Int64(0)
	if !ok || fraction != 0 || !d.IsInt() || n < int64(least) || n > int64(most) {
		c.numberFault(at, document.CodeOutOfRange, fmt.Sprintf("must be a whole number from %d to %d", least, most), example)
		return 0
	}
	return int(n)
}

func (c *compiler) optionalAmount(at string, d *decimal.Decimal) money.Amount {
	if d == nil {
		return 0
	}
	return c.amount(at, *d)
}

// carriage reads how an offer travels and is carried in.
func (c *compiler) carriage(at string, d *OfferDocument, o *Offer) {
	o.LeadDays = c.whole(at+"/lead_days", d.LeadDays, 0, mostLeadDays, "3")
	if d.HandlingHours != nil && c.number(at+"/handling_hours", *d.HandlingHours, "0.05") {
		o.HandlingHours = *d.HandlingHours
	}
	if d.LoadWith != "" {
		c.key(at+"/load_with", d.LoadWith, "sand")
	}
	o.LoadWith = d.LoadWith
}

// compileSurplus reads what materials left over are worth.
func (c *compiler) compileSurplus() {
	c.list.surplus = map[string]*SurplusValue{}
	for i := range c.doc.Materials {
		d := c.doc.Materials[i].Surplus
		if d == nil {
			continue
		}
		at := fmt.Sprintf("/materials/%d/surplus", i)
		v := &SurplusValue{Written: d.Per}
		switch {
		case d.Resale == nil && d.Disposal == nil:
			c.numberFault(at, document.CodeMissing, "must have resale or disposal", `{"per": "1 yd3", "resale": "`+c.currency.Format(800)+`"}`)
		case d.Resale != nil && d.Disposal != nil:
			c.fault(at+"/disposal", CodeConflict, "stands beside resale: what is left is either worth something or costs something", c.currency.Format(800))
		case d.Resale != nil:
			c.price(at+"/resale", *d.Resale)
			v.Price = *d.Resale
		default:
			c.price(at+"/disposal", *d.Disposal)
			v.Price, v.Cost = *d.Disposal, true
		}
		if m, ok := c.list.Catalogue.Material(c.doc.Materials[i].Key); ok {
			v.Per = c.goods(at+"/per", d.Per, m).Goods
		}
		c.list.surplus[c.doc.Materials[i].Key] = v
	}
}

// operations reads the operations that a machine does.
func (c *compiler) operations(at string, names []string) []estimate.Operation {
	var out []estimate.Operation
	var words []string
	for _, o := range Operations() {
		words = append(words, string(o))
	}
	unused := words[0]
	if k := slices.IndexFunc(words, func(w string) bool { return !slices.Contains(names, w) }); k >= 0 {
		unused = words[k]
	}
	for j, name := range names {
		here := fmt.Sprintf("%s/%d", at, j)
		switch {
		case !slices.Contains(words, name):
			detail, example := "must be one of "+strings.Join(words, ", "), unused
			if near := document.Nearest(name, words); len(near) > 0 {
				detail += ": did you mean " + near[0] + "?"
				if !slices.Contains(names, near[0]) {
					example = near[0]
				}
			}
			c.fault(here, document.CodeUnknownValue, detail, example)
		case slices.Contains(names[:j], name):
			c.fault(here, CodeDuplicate, "is named twice", unused)
		}
		out = append(out, estimate.Operation(name))
	}
	return out
}

func (c *compiler) tool(at, word string) {
	if word != "" && word != string(ByHand) && word != string(ByMachine) {
		c.fault(at, document.CodeUnknownValue, "must be hand or machine", string(ByHand))
	}
}

// compileHolds reads the times to wait.
func (c *compiler) compileHolds() {
	words := []string{string(UtilityMarking), string(JointCure), string(JointDry)}
	seen := map[string]int{}
	for i, d := range c.doc.Holds {
		at := fmt.Sprintf("/holds/%d", i)
		if !slices.Contains(words, d.Key) {
			c.fault(at+"/key", document.CodeUnknownValue, "must be one of "+strings.Join(words, ", "), words[0])
		} else {
			c.duplicate(at+"/key", d.Key, seen, i, "holds", "key", words[1])
		}
		c.prose(at+"/source", d.Source, mostSource, "Label of the joint sand")
		h := Hold{Key: HoldKey(d.Key), Source: d.Source}
		switch {
		case d.WorkingDays == nil && d.Hours == nil:
			c.numberFault(at, document.CodeMissing, "must have working_days or hours", `{"key": "joint_cure", "hours": 24}`)
		case d.WorkingDays != nil && d.Hours != nil:
			c.numberFault(at+"/hours", CodeConflict, "stands beside working_days: give one of the two", "24")
		case d.WorkingDays != nil:
			h.WorkingDays = c.whole(at+"/working_days", d.WorkingDays, 0, mostHoldDays, "3")
		case c.number(at+"/hours", *d.Hours, "24"):
			h.Hours = measure.Hours(factor(*d.Hours))
			if h.Hours > mostHoldHours {
				c.numberFault(at+"/hours", document.CodeOutOfRange, "must be at most 1000", "24")
			}
		}
		c.list.Holds = append(c.list.Holds, h)
	}
}

// payment reads discount, rounding and payments.
func (c *compiler) payment(d *CommercialDocument, out *Commercial) {
	const at = "/commercial"
	out.DiscountPercent, _ = c.percent(at+"/discount_percent", d.DiscountPercent, 0, "5")
	if d.DiscountPercent != nil && !d.DiscountPercent.Less(hundred) {
		c.numberFault(at+"/discount_percent", document.CodeOutOfRange, "must be below 100: nothing would be left of the price", "5")
	}
	out.RoundTo = c.optionalAmount(at+"/round_price_to", d.RoundPriceTo)
	if d.RoundPriceTo != nil && d.RoundPriceTo.IsZero() {
		c.fault(at+"/round_price_to", document.CodeNotPositive, "must be above zero", c.currency.Format(500))
	}
	switch d.Rounding {
	case "", "nearest":
	case "up":
		out.RoundUp = true
	default:
		c.fault(at+"/rounding", document.CodeUnknownValue, "must be nearest or up", "nearest")
	}
	if d.Rounding != "" && d.RoundPriceTo == nil {
		c.fault(at+"/rounding", CodeConflict, "stands without round_price_to: give what the price is rounded to, or leave it out", "nearest")
	}
	out.DepositPercent, _ = c.percent(at+"/deposit_percent", d.DepositPercent, 100, "30")
	sum := out.DepositPercent
	rest, _ := hundred.Sub(out.DepositPercent) // both have few digits
	stage := `[{"name": "On completion", "percent": ` + rest.Trim(0).String() + `}]`
	if len(d.Stages) > mostStages {
		c.numberFault(at+"/stages", document.CodeOutOfRange, fmt.Sprintf("must be at most %d", mostStages), stage)
	}
	for i, s := range d.Stages {
		here := fmt.Sprintf("%s/stages/%d", at, i)
		c.name(here+"/name", s.Name, "On completion")
		percent, _ := c.percent(here+"/percent", &s.Percent, 100, "70")
		if more, err := sum.Add(percent); err == nil {
			sum = more
		}
		out.Stages = append(out.Stages, Stage{Name: s.Name, Percent: percent})
	}
	if len(d.Stages) > 0 && sum.Cmp(hundred) != 0 {
		c.numberFault(at+"/stages", document.CodeOutOfRange, "come to "+sum.Trim(0).String()+" % with the deposit: they must come to 100 %", stage)
	}
	out.ValidDays = c.whole(at+"/valid_days", d.ValidDays, 1, 365, "30")
}
