package locale

import (
	"github.com/bojanz/currency"

	"bedline/pricing/money"
	"bedline/pricing/schedule"
)

// WeekdayShort is the name of the day of the week, cut short.
func (l *Locale) WeekdayShort(d schedule.Day) string { return l.cldr.WeekdayAbbreviated(d.Weekday()) }

// DayOfMonth writes a day without its year and weekday, the month cut short.
func (l *Locale) DayOfMonth(d schedule.Day) string {
	day := moment(d, 0)
	return l.Say("charts.day", "month", l.cldr.MonthAbbreviated(day.Month()), "day", l.Whole(day.Day()))
}

// DayNumber writes the number of a day within its month.
func (l *Locale) DayNumber(d schedule.Day) string { return l.Whole(moment(d, 0).Day()) }

// RoundMoney writes an amount with its currency, without the minor digits where they are all zero.
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
