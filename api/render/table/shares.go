package table

import (
	"math/big"
	"strconv"

	"github.com/xuri/excelize/v2"

	"bedline/pricing/money"
)

// The columns of the sheet of taxes. Unrounded is there only where the price is brought to a multiple.
const (
	taxName = iota + 1
	taxWhose
	taxPercent
	taxOn
	taxBase
	taxAmount
	taxUnrounded
)

// The columns of the sheet of the price by category, and of the payments. The last three stand again behind, for the
// price before it is brought to a multiple.
const (
	shareName = iota + 1
	shareWeight
	shareWhole
	shareRest
	shareAmount
	unroundedWhole
	unroundedRest
	unroundedAmount
)

// ofTaxes is the range of a column of the taxes.
func (r *reckoner) ofTaxes(column int) string {
	c := letter(column)
	return quoted(r.taxes) + "!$" + c + "$2:$" + c + "$" + strconv.Itoa(len(r.quote.Totals.Taxes)+1)
}

// largestExact is the greatest whole number up to which every one is a float64.
const largestExact = 1 << 53

// split gives the cells that share a total by weights, by largest remainder as package money does: whole minor units, what
// the division leaves over, and the amount with the units that are left. Total is a formula in minor units, weights are the
// cells of a column in the rows given. Where numbers are not whole, or products too large to be exact, only values are
// given.
type split struct {
	total   string
	amount  money.Amount
	weights []money.Amount
	results []money.Amount
	weight  int // the columns
	whole   int
	first   int // row
	broken  bool
}

func (r *reckoner) split(s *split, i int) []any {
	sum := new(big.Int)
	for _, w := range s.weights {
		sum.Add(sum, big.NewInt(int64(w)))
	}
	product := new(big.Int).Mul(big.NewInt(int64(s.amount)), big.NewInt(int64(s.weights[i])))
	most := new(big.Int).Mul(big.NewInt(int64(s.amount)), sum)
	if most.CmpAbs(big.NewInt(largestExact)) >= 0 || sum.Sign() <= 0 || s.amount < 0 || s.broken {
		return []any{nil, nil, r.amount(s.results[i])}
	}
	last := s.first + len(s.weights) - 1
	column := func(c int) string {
		return "$" + letter(c) + "$" + strconv.Itoa(s.first) + ":$" + letter(c) + "$" + strconv.Itoa(last)
	}
	row := strconv.Itoa(s.first + i)
	cell := func(c int) string { return "$" + letter(c) + row }
	weights := "SUM(" + column(s.weight) + ")"
	rest := "MOD(" + s.total + "*" + cell(s.weight) + "," + weights + ")"
	whole, left := new(big.Int).QuoRem(product, sum, new(big.Int))
	rests := column(s.whole + 1)
	mine := cell(s.whole + 1)
	rank := "SUMPRODUCT((" + rests + ">" + mine + ")+(" + rests + "=" + mine + ")*(ROW(" + rests + ")<ROW()))"
	return []any{
		excelize.Cell{StyleID: r.whole, Formula: "IF(" + weights + "=0,0,ROUND((" + s.total + "*" + cell(s.weight) + "-" + cell(s.whole+1) + ")/" + weights + ",0))", Value: float64(whole.Int64())},
		excelize.Cell{StyleID: r.whole, Formula: "IF(" + weights + "=0,0," + rest + ")", Value: float64(left.Int64())},
		r.reckon(r.rounded("("+cell(s.whole)+"+IF("+rank+"<"+s.total+"-SUM("+column(s.whole)+"),1,0))/"+r.units()), s.results[i]),
	}
}

// direct are the direct costs of the categories.
func (r *reckoner) direct() []money.Amount {
	t := &r.quote.Totals
	return []money.Amount{t.Materials, t.Delivery, t.Equipment, t.Labour, t.Disposal}
}

// priced shares a price before tax over the categories; nothing where they cost nothing.
func (r *reckoner) priced(before money.Amount) []money.Amount {
	if r.quote.Totals.Direct <= 0 {
		return make([]money.Amount, len(categories))
	}
	return money.Share(before, r.direct())
}

// writeShares writes what each category has of the price before tax.
func (r *reckoner) writeShares() error {
	t := &r.quote.Totals
	in := func(key string) string {
		return r.say("in_currency", "column", r.say("head."+key), "currency", r.currency.Code)
	}
	titles := []string{r.say("head.category"), r.say("head.weight"), r.say("head.whole_units"), r.say("head.left_over_units"), in("before_tax")}
	rounds := t.Commercial.RoundTo > 0
	if rounds {
		titles = append(titles, r.say("head.whole_units_unrounded"), r.say("head.left_over_units_unrounded"), in("unrounded"))
	}
	p, err := r.begin(r.shares, titles, []float64{20, 20, 20, 20, 20, 20, 20, 20}[:len(titles)], len(categories), len(titles))
	if err != nil {
		return err
	}
	s := split{total: r.minor(r.cell("before_tax", r.shares)), amount: t.BeforeTax, weights: r.direct(), results: r.priced(t.BeforeTax), weight: shareWeight, whole: shareWhole, first: 2}
	u := s
	if rounds {
		u.total, u.amount, u.results, u.whole = r.minor(r.cell("unrounded", r.shares)), t.BeforeTax-t.Rounding, r.priced(t.BeforeTax-t.Rounding), unroundedWhole
	}
	for i, c := range categories {
		weight := excelize.Cell{StyleID: r.whole, Formula: r.minor(r.cell("category."+string(c), r.shares)), Value: float64(s.weights[i])}
		row := append([]any{excelize.Cell{StyleID: r.text, Value: r.category(c)}, weight}, r.split(&s, i)...)
		if rounds {
			row = append(row, r.split(&u, i)...)
		}
		if err := p.add(row); err != nil {
			return err
		}
	}
	return p.Flush()
}

// writeTaxes writes each tax with what it falls on.
func (r *reckoner) writeTaxes() error {
	t := &r.quote.Totals
	in := func(key string) string {
		return r.say("in_currency", "column", r.say("head."+key), "currency", r.currency.Code)
	}
	titles := []string{r.say("head.tax_name"), r.say("head.jurisdiction"), r.say("head.percent"), r.say("head.tax_on"), in("base"), in("amount")}
	rounds := t.Commercial.RoundTo > 0
	if rounds {
		titles = append(titles, in("tax_unrounded"))
	}
	p, err := r.begin(r.taxes, titles, []float64{24, 24, 12, 36, 18, 18, 18}[:len(titles)], len(t.Taxes), len(titles))
	if err != nil {
		return err
	}
	unrounded := r.priced(t.BeforeTax - t.Rounding)
	for i := range t.Taxes {
		tax := &t.Taxes[i]
		row := strconv.Itoa(i + 2)
		on, sum, sumUnrounded := "", "", ""
		var base money.Amount
		for k, c := range tax.On {
			at := 0
			for n, other := range categories {
				if other == c {
					at = n
				}
			}
			if k > 0 {
				on, sum, sumUnrounded = on+", ", sum+"+", sumUnrounded+"+"
			}
			on += r.category(c)
			sum += quoted(r.shares) + "!$" + letter(shareAmount) + "$" + strconv.Itoa(at+2)
			sumUnrounded += quoted(r.shares) + "!$" + letter(unroundedAmount) + "$" + strconv.Itoa(at+2)
			base += unrounded[at]
		}
		percent := "$" + letter(taxPercent) + row
		cells := []any{excelize.Cell{StyleID: r.text, Value: tax.Name}, nil, r.percent(tax.Percent), excelize.Cell{StyleID: r.text, Value: on},
			r.reckon(r.rounded(sum), tax.Base), r.reckon(r.rounded("$"+letter(taxBase)+row+"*"+percent+"/100"), tax.Amount)}
		if tax.Jurisdiction != "" {
			cells[taxWhose-1] = excelize.Cell{StyleID: r.text, Value: tax.Jurisdiction}
		}
		if rounds {
			before, err := money.Percent(base, tax.Percent)
			if err != nil {
				return err
			}
			cells = append(cells, r.reckon(r.rounded("("+sumUnrounded+")*"+percent+"/100"), before))
		}
		if err := p.add(cells); err != nil {
			return err
		}
	}
	return p.Flush()
}

// writePayments writes how the price is paid.
func (r *reckoner) writePayments() error {
	t := &r.quote.Totals
	titles := []string{r.say("head.payment"), r.say("head.percent"), r.say("head.whole_units"), r.say("head.left_over_units"),
		r.say("in_currency", "column", r.say("head.amount"), "currency", r.currency.Code)}
	n := len(t.Payments)
	p, err := r.begin(r.payments, titles, []float64{36, 12, 18, 18, 18}, n+1, shareAmount)
	if err != nil {
		return err
	}
	s := split{total: r.minor(r.cell("price", r.payments)), amount: t.Price, weight: shareWeight, whole: shareWhole, first: 2}
	for i := range t.Payments {
		whole, parts, _ := t.Payments[i].Percent.Int64(6)
		s.broken = s.broken || parts != 0
		s.weights = append(s.weights, money.Amount(whole))
		s.results = append(s.results, t.Payments[i].Amount)
	}
	for i := range t.Payments {
		row := append([]any{excelize.Cell{StyleID: r.text, Value: t.Payments[i].Name}, r.percent(t.Payments[i].Percent)}, r.split(&s, i)...)
		if err := p.add(row); err != nil {
			return err
		}
	}
	c := letter(shareAmount)
	sum := r.reckon(r.rounded("SUM("+c+"2:"+c+strconv.Itoa(n+1)+")"), t.Price)
	sum.StyleID = r.strongMoney
	if err := p.add([]any{excelize.Cell{StyleID: r.strong, Value: r.say("total.price")}, nil, nil, nil, sum}); err != nil {
		return err
	}
	return p.Flush()
}
