package locale

import (
	"github.com/bojanz/currency"

	"bedline/pricing/money"
	"bedline/pricing/schedule"
)

// MonthDay writes a day without its year and weekday, the month short: "Apr 5".
func (l *Locale) MonthDay(d schedule.Day) string { return l.day("charts.day", d) }

// DayNumber writes the number of a day within its month: "5".
func (l *Locale) DayNumber(d schedule.Day) string { return l.day("{day}", d) }

// RoundMoney writes an amount with its currency, without the minor digits where they are all zero: "$250".
func (l *Locale) RoundMoney(a money.Amount, c money.Currency) string {
	amount, err := currency.NewAmount(c.Format(a), c.Code)
	whole := money.Amount(1)
	for range c.Digits {
		whole *= 10
	}
	if err != nil || a%whole != 0 {
		return l.Money(a, c)
	}
	f := currency.NewFormatter(currency.NewLocale(l.tag))
	f.MinDigits = 0
	return f.Format(amount)
}
