package table

import (
	"strconv"

	"github.com/govalues/decimal"
	"github.com/xuri/excelize/v2"

	"bedline/pricing/money"
)

// Numbers of a workbook are float64 (ISO/IEC 29500-1, 18.18.26): exact for every whole number of minor units that an
// amount has here, and written with the fewest digits that give the same number back.

func numeric(text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return 0
	}
	return v
}

func (b *book) value(style int, d decimal.Decimal) excelize.Cell {
	return excelize.Cell{StyleID: style, Value: numeric(d.Trim(0).String())}
}

func (b *book) amount(a money.Amount) excelize.Cell {
	return excelize.Cell{StyleID: b.money, Value: numeric(b.currency.Format(a))}
}

// reckon is an amount that a formula gives.
func (b *book) reckon(formula string, a money.Amount) excelize.Cell {
	c := b.amount(a)
	c.Formula = formula
	return c
}

// serial is a moment as spreadsheets count it: days since 1899-12-30.
func serial(day, minute int) float64 { return float64(day+25569) + float64(minute)/1440 }
