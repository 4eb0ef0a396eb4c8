package api

import (
	"encoding/json"

	"github.com/govalues/decimal"

	"bedline/estimate"
	"bedline/pricing"
	"bedline/pricing/money"
)

// OptionAnswer is an option beside the job without its changes.
type OptionAnswer struct {
	Name            string           `json:"name"`
	ID              string           `json:"id"`
	Sentence        string           `json:"sentence"`
	PriceDifference string           `json:"price_difference"`
	LandedCost      string           `json:"landed_cost"`
	Totals          Totals           `json:"totals"`
	Difference      TotalsDifference `json:"difference"`
	Lines           []LineDifference `json:"lines"`
	UnchangedLines  int              `json:"unchanged_lines"`
	NewNotices      []Notice         `json:"new_notices"`
	GoneNotices     []Notice         `json:"gone_notices"`
	Workings        []Working        `json:"workings"`
	Answer          *Answer          `json:"answer,omitempty"`
}

// ChangeOrder is a job beside the earlier job that it came from.
type ChangeOrder struct {
	Earlier         EarlierJob       `json:"earlier"`
	Basis           string           `json:"basis"`
	Sentence        string           `json:"sentence"`
	PriceDifference string           `json:"price_difference"`
	Difference      TotalsDifference `json:"difference"`
	AddedLines      []LineDifference `json:"added_lines"`
	SavedLines      []LineDifference `json:"saved_lines"`
	ChangedLines    []LineDifference `json:"changed_lines"`
	UnchangedLines  int              `json:"unchanged_lines"`
	NewWork         []ChangedWork    `json:"new_work"`
	DroppedWork     []ChangedWork    `json:"dropped_work"`
	IfBought        []Stock          `json:"if_bought"`
	NewNotices      []Notice         `json:"new_notices"`
	GoneNotices     []Notice         `json:"gone_notices"`
	Workings        []Working        `json:"workings"`
}

// EarlierJob names the earlier job and what it comes to.
type EarlierJob struct {
	ID        string        `json:"id"`
	Reference string        `json:"reference,omitempty"`
	Title     string        `json:"title,omitempty"`
	PriceList PriceListUsed `json:"price_list"`
	Hours     json.Number   `json:"hours"`
	Price     string        `json:"price"`
}

// TotalsDifference are differences of totals, each what is after less what was before.
type TotalsDifference struct {
	Hours       json.Number `json:"hours"`
	Materials   string      `json:"materials"`
	Delivery    string      `json:"delivery"`
	Equipment   string      `json:"equipment"`
	Labour      string      `json:"labour"`
	Disposal    string      `json:"disposal"`
	DirectCost  string      `json:"direct_cost"`
	Contingency string      `json:"contingency"`
	Overhead    string      `json:"overhead"`
	Profit      string      `json:"profit"`
	BeforeTax   string      `json:"before_tax"`
	Tax         string      `json:"tax"`
	Price       string      `json:"price"`
	LandedCost  string      `json:"landed_cost"`
}

// LineDifference is one line before and after; what there is not is zero.
type LineDifference struct {
	Change      string          `json:"change"` // added, removed or changed
	Key         string          `json:"key"`
	Category    string          `json:"category"`
	Description string          `json:"description"`
	Material    string          `json:"material,omitempty"`
	Operation   string          `json:"operation,omitempty"`
	Supplier    string          `json:"supplier,omitempty"`
	Measured    *QuantityChange `json:"measured,omitempty"`
	Required    *QuantityChange `json:"required,omitempty"`
	Order       *OrderChange    `json:"order,omitempty"`
	Hours       *HoursChange    `json:"hours,omitempty"`
	Amount      MoneyChange     `json:"amount"`
	Tax         MoneyChange     `json:"tax"`
}

// QuantityChange is a quantity before and after.
type QuantityChange struct {
	Before     Quantity `json:"before"`
	After      Quantity `json:"after"`
	Difference Quantity `json:"difference"`
}

// OrderChange is what is bought for a line before and after, where that differs.
type OrderChange struct {
	Before []OrderLine `json:"before"`
	After  []OrderLine `json:"after"`
}

// HoursChange are hours before and after.
type HoursChange struct {
	Before     json.Number `json:"before"`
	After      json.Number `json:"after"`
	Difference json.Number `json:"difference"`
}

// MoneyChange is an amount before and after.
type MoneyChange struct {
	Before     string `json:"before"`
	After      string `json:"after"`
	Difference string `json:"difference"`
}

// ChangedWork is an operation that only one of two jobs has.
type ChangedWork struct {
	Operation   string      `json:"operation"`
	Description string      `json:"description"`
	Hours       json.Number `json:"hours"`
}

// Stock is what becomes of a material that was bought for the earlier job.
type Stock struct {
	Material    string   `json:"material"`
	Description string   `json:"description"`
	Bought      Quantity `json:"bought"`
	Required    Quantity `json:"required"`
	LeftOver    Quantity `json:"left_over"`
	ToBuy       Quantity `json:"to_buy"`
}

func (w writer) options(list []pricing.Option) []OptionAnswer {
	out := make([]OptionAnswer, 0, len(list))
	for i := range list {
		o := &list[i]
		d := &o.Difference
		one := OptionAnswer{Name: o.Name, ID: o.Quote.ID, Sentence: d.Sentence, PriceDifference: w.money(d.Totals.Price), LandedCost: w.money(o.Quote.Supply.Plan.Landed),
			Totals: w.totals(&o.Quote.Totals), Difference: w.totalsDifference(d), Lines: w.lineDifferences(d.Lines), UnchangedLines: d.Unchanged,
			NewNotices: notices(d.New), GoneNotices: notices(d.Gone), Workings: workings(d.Workings)}
		if o.Full {
			one.Answer = NewAnswer(o.Quote)
		}
		out = append(out, one)
	}
	return out
}

func (w writer) changeOrder(o *pricing.ChangeOrder) *ChangeOrder {
	d, e := &o.Difference, o.Earlier
	var added, saved, changed []pricing.LineDifference
	for _, l := range d.Lines {
		switch {
		case l.Before == nil:
			added = append(added, l)
		case l.After == nil:
			saved = append(saved, l)
		default:
			changed = append(changed, l)
		}
	}
	out := &ChangeOrder{
		Earlier: EarlierJob{ID: e.ID, Reference: e.Job.Reference, Title: e.Job.Title, PriceList: listUsed(e.List), Hours: decimalNumber(e.Totals.Hours), Price: w.money(e.Totals.Price)},
		Basis:   o.Basis, Sentence: d.Sentence, PriceDifference: w.money(d.Totals.Price), Difference: w.totalsDifference(d),
		AddedLines: w.lineDifferences(added), SavedLines: w.lineDifferences(saved), ChangedLines: w.lineDifferences(changed), UnchangedLines: d.Unchanged,
		NewWork: changedWork(o.NewWork), DroppedWork: changedWork(o.Dropped), IfBought: make([]Stock, 0, len(o.Stock)),
		NewNotices: notices(d.New), GoneNotices: notices(d.Gone), Workings: workings(d.Workings),
	}
	for i := range o.Stock {
		s := &o.Stock[i]
		by := counted(s.Material)
		out.IfBought = append(out.IfBought, Stock{Material: s.Material.Key, Description: s.Material.Name, Bought: w.amount(s.Bought, by), Required: w.amount(s.Required, by),
			LeftOver: w.amount(s.LeftOver, by), ToBuy: w.amount(s.ToBuy, by)})
	}
	return out
}

func (w writer) totalsDifference(d *pricing.Difference) TotalsDifference {
	t := &d.Totals
	return TotalsDifference{Hours: decimalNumber(t.Hours), Materials: w.money(t.Materials), Delivery: w.money(t.Delivery), Equipment: w.money(t.Equipment), Labour: w.money(t.Labour),
		Disposal: w.money(t.Disposal), DirectCost: w.money(t.Direct), Contingency: w.money(t.Contingency), Overhead: w.money(t.Overhead), Profit: w.money(t.Profit),
		BeforeTax: w.money(t.BeforeTax), Tax: w.money(t.Tax), Price: w.money(t.Price), LandedCost: w.money(d.Landed)}
}

func (w writer) lineDifferences(list []pricing.LineDifference) []LineDifference {
	out := make([]LineDifference, 0, len(list))
	for _, d := range list {
		out = append(out, w.lineDifference(d))
	}
	return out
}

func (w writer) lineDifference(d pricing.LineDifference) LineDifference {
	l := d.Line()
	out := LineDifference{Change: "changed", Key: string(l.Key), Category: string(l.Category), Description: l.Description, Supplier: l.Supplier}
	before, after := d.Before, d.After
	if before == nil {
		out.Change, before = "added", new(pricing.Line)
	}
	if after == nil {
		out.Change, after = "removed", new(pricing.Line)
	}
	by := "each"
	switch {
	case l.Material != nil:
		out.Material, by = l.Material.Material.Key, counted(l.Material.Material)
	case l.Work != nil:
		out.Operation = string(l.Work.Operation)
		out.Hours = hoursChange(before.Hours, after.Hours)
	}
	measuredBefore, requiredBefore := before.Measures()
	measuredAfter, requiredAfter := after.Measures()
	out.Measured = w.quantityChange(measuredBefore, measuredAfter, by)
	out.Required = w.quantityChange(requiredBefore, requiredAfter, by)
	if !pricing.SameOrders(before, after) {
		out.Order = &OrderChange{Before: w.orderLines(before.Orders), After: w.orderLines(after.Orders)}
	}
	out.Amount, out.Tax = w.moneyChange(before.Amount, after.Amount), w.moneyChange(before.Tax, after.Tax)
	return out
}

func (w writer) orderLines(list []pricing.Order) []OrderLine {
	out := make([]OrderLine, 0, len(list))
	for _, o := range list {
		out = append(out, OrderLine{Offer: o.Offer.Key, Supplier: o.Supplier, Form: string(o.Offer.Form), Count: decimalNumber(o.Count),
			Content: o.Offer.Written.String(), Price: o.Price.String(), Amount: w.money(o.Amount)})
	}
	return out
}

// quantityChange sets two amounts beside each other; nil where there is neither, or they are of two kinds.
func (w writer) quantityChange(before, after estimate.Amount, counted string) *QuantityChange {
	if before.Kind == 0 {
		before.Kind = after.Kind
	}
	if after.Kind == 0 {
		after.Kind = before.Kind
	}
	if after.Kind == 0 || before.Kind != after.Kind {
		return nil
	}
	apart := estimate.Amount{Kind: after.Kind, Value: pricing.Apart(after, before)}
	return &QuantityChange{Before: w.amount(before, counted), After: w.amount(after, counted), Difference: w.amount(apart, counted)}
}

func hoursChange(before, after decimal.Decimal) *HoursChange {
	difference, err := after.Sub(before)
	if err != nil { // hours are far from the limits of a decimal
		difference = decimal.Zero
	}
	return &HoursChange{Before: decimalNumber(before), After: decimalNumber(after), Difference: decimalNumber(difference)}
}

func (w writer) moneyChange(before, after money.Amount) MoneyChange {
	return MoneyChange{Before: w.money(before), After: w.money(after), Difference: w.money(after - before)}
}

func changedWork(list []pricing.Work) []ChangedWork {
	out := make([]ChangedWork, 0, len(list))
	for _, work := range list {
		out = append(out, ChangedWork{Operation: string(work.Operation), Description: work.Description, Hours: decimalNumber(work.Hours)})
	}
	return out
}
