package table

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/govalues/decimal"
	"github.com/xuri/excelize/v2"

	"bedline/pricing"
	"bedline/pricing/money"
)

var categories = [...]pricing.Category{pricing.MaterialsCategory, pricing.DeliveryCategory, pricing.EquipmentCategory, pricing.LabourCategory, pricing.DisposalCategory}

// The columns of the sheet of totals.
const (
	totalWords = iota + 1
	totalRate
	totalAmount
)

// reckoner writes the sheets whose amounts are formulas.
type reckoner struct {
	*book
	lines *Table

	totals, shares, taxes, payments string // names of the sheets
	rows                            []totalRow
	at                              map[string]int // rows of the sheet of totals by their keys; only looked up
}

// totalRow is a row of the sheet of totals.
type totalRow struct {
	key    string
	title  string
	rate   any
	amount excelize.Cell
	strong bool
}

// reckoned writes the totals, the price by category, the taxes and the payments.
func (b *book) reckoned(lines *Table) error {
	r := &reckoner{book: b, lines: lines, totals: b.say("title.totals"), shares: b.say("title.shares"), taxes: b.say("title.taxes"), payments: b.say("title.payments"), at: map[string]int{}}
	r.lay()
	if err := r.writeTotals(); err != nil {
		return fmt.Errorf("the sheet totals: %w", err)
	}
	if len(b.quote.Totals.Taxes) > 0 {
		if err := r.writeShares(); err != nil {
			return fmt.Errorf("the sheet shares: %w", err)
		}
		if err := r.writeTaxes(); err != nil {
			return fmt.Errorf("the sheet taxes: %w", err)
		}
	}
	if len(b.quote.Totals.Payments) > 0 {
		if err := r.writePayments(); err != nil {
			return fmt.Errorf("the sheet payments: %w", err)
		}
	}
	return nil
}

// column is the letter of a column of the sheet of line items.
func (r *reckoner) column(place int) string {
	at := 0
	for i := range r.lines.Columns[:place] {
		at++
		if r.lines.Columns[i].Kind == Quantity {
			at++
		}
	}
	return letter(at + 1)
}

func letter(column int) string {
	name, err := excelize.ColumnNumberToName(column)
	if err != nil {
		return ""
	}
	return name
}

// ofLines is the range of a column of the line items.
func (r *reckoner) ofLines(place int) string {
	c := r.column(place)
	return quoted(r.lines.Title) + "!$" + c + "$2:$" + c + "$" + strconv.Itoa(max(len(r.lines.Rows), 1)+1)
}

// cell is where a row of the totals has its amount; on is the sheet that asks.
func (r *reckoner) cell(key, on string) string {
	at := "$" + letter(totalAmount) + "$" + strconv.Itoa(r.at[key])
	if on != r.totals {
		return quoted(r.totals) + "!" + at
	}
	return at
}

func (r *reckoner) rate(key string) string {
	return "$" + letter(totalRate) + "$" + strconv.Itoa(r.at[key])
}

// rounded is a formula to the minor units of the currency, halves away from zero, as ROUND does it.
func (r *reckoner) rounded(formula string) string {
	return "ROUND(" + formula + "," + strconv.Itoa(r.currency.Digits) + ")"
}

// minor is a formula in whole minor units.
func (r *reckoner) minor(formula string) string { return "ROUND(" + formula + "*" + r.units() + ",0)" }

// units is how many minor units there are in one of the currency.
func (r *reckoner) units() string { return "1" + strings.Repeat("0", r.currency.Digits) }

func (r *reckoner) add(key string, rate any, formula string, a money.Amount, strong bool) {
	cell := r.amount(a)
	cell.Formula = formula
	if strong {
		cell.StyleID = r.strongMoney
	}
	title := r.say("total." + key)
	if c, ok := strings.CutPrefix(key, "category."); ok {
		title = r.category(pricing.Category(c))
	}
	r.rows = append(r.rows, totalRow{key: key, title: title, rate: rate, amount: cell, strong: strong})
	r.at[key] = len(r.rows) + 1
}

func (r *reckoner) percent(d decimal.Decimal) any { return r.value(r.number, d) }

// lay lays out the rows of the totals, each after those that it is reckoned from.
func (r *reckoner) lay() {
	t, c := &r.quote.Totals, &r.quote.Totals.Commercial
	at := func(key string) string { return r.cell(key, r.totals) }
	for i, category := range categories {
		key := "category." + string(category)
		word := letter(totalWords) + strconv.Itoa(len(r.rows)+2)
		a := [...]money.Amount{t.Materials, t.Delivery, t.Equipment, t.Labour, t.Disposal}[i]
		r.add(key, nil, r.rounded("SUMIF("+r.ofLines(lineCategory)+","+word+","+r.ofLines(lineAmount)+")"), a, false)
	}
	first, last := at("category."+string(categories[0])), at("category."+string(categories[len(categories)-1]))
	r.add("direct", nil, r.rounded("SUM("+first+":"+last+")"), t.Direct, true)
	percentOf := func(key string, percent decimal.Decimal, of string, a money.Amount) {
		r.at[key] = len(r.rows) + 2
		r.add(key, r.percent(percent), r.rounded(of+"*"+r.rate(key)+"/100"), a, false)
	}
	percentOf("contingency", c.ContingencyPercent, at("direct"), t.Contingency)
	percentOf("overhead", c.OverheadPercent, "("+at("direct")+"+"+at("contingency")+")", t.Overhead)
	r.add("cost", nil, r.rounded(at("direct")+"+"+at("contingency")+"+"+at("overhead")), t.Direct+t.Contingency+t.Overhead, true)
	if c.MarginPercent.IsZero() {
		percentOf("markup", c.MarkupPercent, at("cost"), t.Profit)
		r.at["profit"] = r.at["markup"]
	} else {
		r.at["margin"] = len(r.rows) + 2
		r.add("margin", r.percent(c.MarginPercent), r.rounded(at("cost")+"*"+r.rate("margin")+"/(100-"+r.rate("margin")+")"), t.Profit, false)
		r.at["profit"] = r.at["margin"]
	}
	before := at("cost") + "+" + at("profit")
	if !c.DiscountPercent.IsZero() {
		percentOf("discount", c.DiscountPercent, "("+before+")", t.Discount)
		before += "-" + at("discount")
	}
	if c.RoundTo > 0 {
		r.add("unrounded", nil, r.rounded(before), t.BeforeTax-t.Rounding, false)
		r.add("rounding", nil, "", t.Rounding, false)
		before = at("unrounded") + "+" + at("rounding")
	}
	r.add("before_tax", nil, r.rounded(before), t.BeforeTax, true)
	price := at("before_tax")
	if len(t.Taxes) > 0 {
		r.add("tax", nil, r.rounded("SUM("+r.ofTaxes(taxAmount)+")"), t.Tax, false)
		price += "+" + at("tax")
	}
	if c.RoundTo > 0 {
		r.at["multiple"], r.at["odd"], r.at["price"] = len(r.rows)+2, len(r.rows)+3, len(r.rows)+4
		r.add("multiple", r.amount(c.RoundTo), r.multiple(), t.Price, false)
		r.add("odd", nil, r.rounded(at("multiple")+"-("+price+")"), t.Odd, false)
		price += "+" + at("odd")
	}
	r.add("price", nil, r.rounded(price), t.Price, true)
	if t.Margin != nil {
		r.addNumber("margin_left", "ROUND(("+at("before_tax")+"-"+at("cost")+")/"+at("before_tax")+"*100,2)", *t.Margin)
	}
	r.addNumber("hours", "ROUND(SUM("+r.ofLines(lineHours)+"),2)", t.Hours)
}

// addNumber adds a row that is no amount.
func (r *reckoner) addNumber(key, formula string, d decimal.Decimal) {
	cell := r.value(r.number, d)
	cell.Formula = formula
	r.rows = append(r.rows, totalRow{key: key, title: r.say("total." + key), amount: cell})
	r.at[key] = len(r.rows) + 1
}

// multiple is the multiple that the price comes to: nearest, halves up, or the next one up; never nothing.
func (r *reckoner) multiple() string {
	price := r.cell("unrounded", r.totals)
	if len(r.quote.Totals.Taxes) > 0 {
		price += "+SUM(" + r.ofTaxes(taxUnrounded) + ")"
	}
	to, way := r.rate("multiple"), "ROUND"
	if r.quote.Totals.Commercial.RoundUp {
		way = "ROUNDUP"
	}
	price = r.minor("(" + price + ")")
	return r.rounded("IF(" + price + "=0,0,MAX(1," + way + "(" + price + "/" + r.minor(to) + ",0))*" + to + ")")
}

func (r *reckoner) writeTotals() error {
	titles := []string{r.say("head.total"), r.say("head.rate"), r.say("in_currency", "column", r.say("head.amount"), "currency", r.currency.Code)}
	wide := 20.0
	for i := range r.rows {
		wide = max(wide, float64(len([]rune(r.rows[i].title))+3))
	}
	p, err := r.begin(r.totals, titles, []float64{wide, 16, 18}, len(r.rows), totalAmount)
	if err != nil {
		return err
	}
	for i := range r.rows {
		row := &r.rows[i]
		style := r.text
		if row.strong {
			style = r.strong
		}
		if err := p.add([]any{excelize.Cell{StyleID: style, Value: row.title}, row.rate, row.amount}); err != nil {
			return err
		}
	}
	return p.Flush()
}
