package table

import (
	"bytes"
	"encoding/csv"
	"strings"

	"github.com/govalues/decimal"

	"bedline/estimate/measure"
	"bedline/pricing/money"
	"bedline/pricing/schedule"
)

// Kind tells what the cells of a column hold.
type Kind uint8

// The kinds.
const (
	Text     Kind = iota
	Whole         // a whole number
	Number        // a decimal number: hours, counts of packs, prices, percentages
	Money         // an amount in the currency of the table
	Quantity      // a value with its unit, which stands in a column of its own
	Date          // a day
	Moment        // a day and an hour of the clock, without a zone
)

// Column is what stands under one another.
type Column struct {
	Key   string // the same in every language
	Title string
	Kind  Kind
}

// Cell holds what the kind of its column asks for. The zero value is an empty cell of any kind.
type Cell struct {
	There    bool // of all kinds but text
	Words    string
	Number   decimal.Decimal // of a whole number too
	Amount   money.Amount
	Quantity measure.Quantity
	Day      schedule.Day
	Moment   schedule.Clock
}

// Table is rows of cells of the kinds of its columns.
type Table struct {
	Name     string // the same in every language
	Title    string
	Currency money.Currency
	UnitOf   string // the title of the column with the unit of a quantity, which stands for {column}
	Columns  []Column
	Rows     [][]Cell // as many cells as columns
}

func words(s string) Cell           { return Cell{Words: s} }
func whole(n int) Cell              { return number(decimal.MustNew(int64(n), 0)) }
func number(d decimal.Decimal) Cell { return Cell{There: true, Number: d} }
func amount(a money.Amount) Cell    { return Cell{There: true, Amount: a} }
func size(q measure.Quantity) Cell  { return Cell{There: true, Quantity: q} }
func day(d schedule.Day) Cell       { return Cell{There: true, Day: d} }
func moment(c schedule.Clock) Cell  { return Cell{There: true, Moment: c} }

// keysLast puts the columns of keys behind the others, where those who read or print a table need not see them.
func (t *Table) keysLast() *Table {
	var order []int
	for _, keys := range []bool{false, true} {
		for i := range t.Columns {
			if t.Columns[i].isKey() == keys {
				order = append(order, i)
			}
		}
	}
	columns := make([]Column, len(order))
	for to, from := range order {
		columns[to] = t.Columns[from]
	}
	t.Columns = columns
	for r, row := range t.Rows {
		cells := make([]Cell, len(order))
		for to, from := range order {
			cells[to] = row[from]
		}
		t.Rows[r] = cells
	}
	return t
}

// isKey tells a column of keys of the answer.
func (c *Column) isKey() bool { return strings.HasSuffix(c.Key, "_key") }

func (t *Table) add(cells ...Cell) { t.Rows = append(t.Rows, cells) }
func (t *Table) unit(title string) string {
	return strings.ReplaceAll(t.UnitOf, "{column}", title)
}

// CSV is the table as RFC 4180 has it: UTF-8, lines that end with CR LF, a header line, text in quotes where it holds
// commas, quotes or line ends. Numbers are plain decimals with a point, whatever the language, days are year-month-day,
// moments year-month-dayThour:minute, nothing is an empty cell. The unit of a quantity is the column after it.
//
// Text that a spreadsheet program would take for a formula (a first = + - @, tab or line end) has an apostrophe in front,
// as the Open Worldwide Application Security Project advises (CSV Injection), and so has text that begins with an
// apostrophe before one of these. Numbers are never changed.
func CSV(t *Table) []byte {
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	w.UseCRLF = true
	var line []string
	for i := range t.Columns {
		c := &t.Columns[i]
		line = append(line, guard(c.Title))
		if c.Kind == Quantity {
			line = append(line, guard(t.unit(c.Title)))
		}
	}
	write := func() {
		_ = w.Write(line) // to memory: it can't fail
		line = line[:0]
	}
	write()
	for _, row := range t.Rows {
		for i := range t.Columns {
			line = t.appendCell(line, t.Columns[i].Kind, &row[i])
		}
		write()
	}
	w.Flush()
	return out.Bytes()
}

func (t *Table) appendCell(line []string, kind Kind, c *Cell) []string {
	if kind == Text {
		return append(line, guard(c.Words))
	}
	if !c.There {
		line = append(line, "")
		if kind == Quantity {
			line = append(line, "")
		}
		return line
	}
	switch kind {
	case Whole, Number:
		return append(line, c.Number.Trim(0).String())
	case Money:
		return append(line, t.Currency.Format(c.Amount))
	case Quantity:
		return append(line, plain(c.Quantity.Value), c.Quantity.Unit)
	case Date:
		return append(line, c.Day.String())
	case Moment:
		return append(line, c.Moment.String())
	case Text:
	}
	return line
}

// plain writes a value as answers do: at most 12 significant digits, no exponent.
func plain(v float64) string { return string(measure.AppendNumber(nil, v)) }

// formulas are the characters that begin a formula, or that a program drops before one.
const formulas = "=+-@\t\n"

// lineEnds makes every line end one, which is written as CR LF.
var lineEnds = strings.NewReplacer("\r\n", "\n", "\r", "\n")

func guard(cell string) string {
	cell = lineEnds.Replace(cell)
	if cell == "" {
		return cell
	}
	quoted := len(cell) > 1 && cell[0] == '\'' && strings.ContainsRune(formulas+"'", rune(cell[1]))
	if strings.ContainsRune(formulas, rune(cell[0])) || quoted {
		return "'" + cell
	}
	return cell
}
