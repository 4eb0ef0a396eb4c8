package pricing

import (
	"fmt"
	"math/big"

	"github.com/govalues/decimal"

	"bedline/pricing/money"
)

// total sums the lines and puts contingency, overhead, profit, discount, rounding and tax on them.
//
//	contingency = c x direct
//	overhead    = o x (direct + contingency)
//	profit      = m x (direct + contingency + overhead) for a markup, cost/(1 - m) - cost for a margin
//	discount    = d x (direct + contingency + overhead + profit)
//	tax         = t x price before tax of the taxed categories
//
// Each is rounded once, half away from zero, from rounded inputs; sums are exact. The price before tax is shared over the
// categories by their share in direct, by largest remainder.
func (q *Quote) total(c Commercial) error {
	t := &q.Totals
	t.Commercial = c
	t.Hours = decimal.Zero
	for i := range q.Lines {
		l := &q.Lines[i]
		sum := t.of(l.Category)
		*sum += l.Amount
		if *sum > largestAmount || *sum < -largestAmount {
			return fmt.Errorf("summing %s: %w", l.Category, money.ErrTooLarge)
		}
		hours, err := t.Hours.Add(l.Hours)
		if err != nil {
			return fmt.Errorf("summing hours: %w", err)
		}
		t.Hours = hours
	}
	t.Direct = t.Materials + t.Delivery + t.Equipment + t.Labour + t.Disposal
	var err error
	if t.Contingency, err = money.Percent(t.Direct, c.ContingencyPercent); err != nil {
		return fmt.Errorf("reckoning the contingency: %w", err)
	}
	if t.Overhead, err = money.Percent(t.Direct+t.Contingency, c.OverheadPercent); err != nil {
		return fmt.Errorf("reckoning the overhead: %w", err)
	}
	cost := t.cost()
	if c.MarginPercent.IsZero() {
		t.Profit, err = money.Percent(cost, c.MarkupPercent)
	} else {
		t.Profit, err = money.MarginOn(cost, c.MarginPercent)
	}
	if err != nil {
		return fmt.Errorf("reckoning the profit: %w", err)
	}
	if t.Discount, err = money.Percent(cost+t.Profit, c.DiscountPercent); err != nil {
		return fmt.Errorf("reckoning the discount: %w", err)
	}
	t.BeforeTax = cost + t.Profit - t.Discount
	if t.BeforeTax > largestAmount {
		return fmt.Errorf("summing the price: %w", money.ErrTooLarge)
	}
	if err := q.round(); err != nil {
		return err
	}
	if err := q.tax(); err != nil {
		return err
	}
	t.Price = t.BeforeTax + t.Tax + t.Odd
	if err := q.margin(); err != nil {
		return err
	}
	q.payments()
	q.validity()
	q.totalWorkings()
	return nil
}

// largestAmount keeps every sum and product of amounts far from overflow.
const largestAmount money.Amount = 1e15

// cost is what the job costs the crew, before profit.
func (t *Totals) cost() money.Amount { return t.Direct + t.Contingency + t.Overhead }

// categories in the order of the totals.
var categories = [...]Category{MaterialsCategory, DeliveryCategory, EquipmentCategory, LabourCategory, DisposalCategory}

// index is the place of a category among the categories.
func (c Category) index() int {
	for i, other := range categories {
		if c == other {
			return i
		}
	}
	return len(categories) - 1
}

// categoryPrices shares a price before tax over the categories by their direct cost.
func (t *Totals) categoryPrices(before money.Amount) []money.Amount {
	if t.Direct <= 0 {
		return make([]money.Amount, len(categories))
	}
	return money.Share(before, []money.Amount{t.Materials, t.Delivery, t.Equipment, t.Labour, t.Disposal})
}

// taxed shares a price before tax over the categories and puts the taxes of the list on it.
func (q *Quote) taxed(before money.Amount) (bases []money.Amount, amounts []money.Amount, sum money.Amount, err error) {
	t := &q.Totals
	amounts = make([]money.Amount, len(q.List.Taxes))
	if len(amounts) == 0 {
		return nil, nil, 0, nil
	}
	bases = t.categoryPrices(before)
	for i := range q.List.Taxes {
		tax := &q.List.Taxes[i]
		var base money.Amount
		for _, c := range tax.On {
			base += bases[c.index()]
		}
		if amounts[i], err = money.Percent(base, tax.Percent); err != nil {
			return nil, nil, 0, fmt.Errorf("reckoning %s: %w", tax.Name, err)
		}
		sum += amounts[i]
	}
	return bases, amounts, sum, nil
}

// tax reckons each tax of the list and shares it over the lines that it falls on, by largest remainder.
func (q *Quote) tax() error {
	t := &q.Totals
	bases, amounts, sum, err := q.taxed(t.BeforeTax)
	if err != nil {
		return err
	}
	t.Tax = sum
	for i := range q.List.Taxes {
		tax := &q.List.Taxes[i]
		out := TaxAmount{Name: tax.Name, Jurisdiction: tax.Jurisdiction, Percent: tax.Percent, On: tax.On, Amount: amounts[i], Parts: make([]TaxPart, len(tax.On))}
		var part [len(categories)]*TaxPart // of each category that is taxed
		for k, c := range tax.On {
			out.Parts[k] = TaxPart{Category: c, Base: bases[c.index()]}
			out.Base += out.Parts[k].Base
			part[c.index()] = &out.Parts[k]
		}
		weights := make([]money.Amount, len(q.Lines))
		for i := range q.Lines {
			if part[q.Lines[i].Category.index()] != nil {
				weights[i] = q.Lines[i].Amount
			}
		}
		if out.Amount != 0 {
			for i, share := range money.Share(out.Amount, weights) {
				if share != 0 {
					q.Lines[i].Tax += share
					part[q.Lines[i].Category.index()].Amount += share
				}
			}
		}
		t.Taxes = append(t.Taxes, out)
	}
	return nil
}

// round brings the price with its taxes to a multiple of what the terms ask for. The price before tax is changed, so that
// every tax stays exactly its percentage of what is charged; where no price before tax comes to the multiple, the minor
// units that are missing are added after tax.
func (q *Quote) round() error {
	t := &q.Totals
	to := t.Commercial.RoundTo
	if to <= 0 {
		return nil
	}
	_, _, tax, err := q.taxed(t.BeforeTax)
	if err != nil {
		return err
	}
	price := t.BeforeTax + tax
	target := price / to * to
	if rest := price - target; rest > 0 && (t.Commercial.RoundUp || rest >= to-rest || target == 0) {
		target += to // a price is not rounded to nothing
	}
	if target == price {
		return nil
	}
	if target > largestAmount {
		return fmt.Errorf("rounding the price: %w", money.ErrTooLarge)
	}
	before, err := q.beforeTaxOf(target)
	if err != nil {
		return err
	}
	if _, _, tax, err = q.taxed(before); err != nil {
		return err
	}
	t.Rounding, t.BeforeTax, t.Odd = before-t.BeforeTax, before, target-before-tax
	return nil
}

// beforeTaxOf is the price before tax that comes nearest below a price, or to it, with its taxes; of several the one
// nearest to the price before rounding. Tax grows with the price but for what rounding and sharing move, so the search is
// of a few units round the proportional one.
func (q *Quote) beforeTaxOf(target money.Amount) (money.Amount, error) {
	t := &q.Totals
	grows := big.NewRat(1, 1) // the price with taxes per price before tax, but for rounding
	for i := range q.List.Taxes {
		tax := &q.List.Taxes[i]
		var on money.Amount
		for _, c := range tax.On {
			on += *t.of(c)
		}
		if t.Direct > 0 {
			grows.Add(grows, new(big.Rat).Mul(money.Exact(tax.Percent), new(big.Rat).SetFrac64(int64(on), 100*int64(t.Direct))))
		}
	}
	middle, err := money.RoundExact(new(big.Rat).Quo(big.NewRat(int64(target), 1), grows))
	if err != nil {
		return 0, fmt.Errorf("rounding the price: %w", err)
	}
	// A tax is off by half a unit of rounding, and by its rate of a unit in each category of sharing.
	reach := money.Amount(2)
	for i := range q.List.Taxes {
		rate, _, _ := q.List.Taxes[i].Percent.Int64(0)
		reach += 1 + money.Amount(len(categories))*money.Amount(1+rate/100)
	}
	reach = min(reach, 500)
	best, reached := middle, money.Amount(-1)
	for before := max(0, middle-reach); before <= middle+reach; before++ {
		_, _, tax, err := q.taxed(before)
		if err != nil {
			return 0, err
		}
		got := before + tax
		if got > target || got < reached || (got == reached && distance(best, t.BeforeTax) <= distance(before, t.BeforeTax)) {
			continue
		}
		best, reached = before, got
	}
	return best, nil
}

func distance(a, b money.Amount) money.Amount { return max(a-b, b-a) }
