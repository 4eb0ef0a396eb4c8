package locale_test

import (
	"math"
	"testing"

	"github.com/govalues/decimal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api/render/locale"
	"bedline/estimate/measure"
	"bedline/pricing/money"
	"bedline/pricing/schedule"
)

var everyTag = []string{"en-US", "en-GB", "es-US"}

func day(t testing.TB, s string) schedule.Day {
	t.Helper()
	d, err := schedule.ParseDay(s)
	require.NoError(t, err)
	return d
}

// What the locales write is that of ECMAScript's Intl in Chromium 148 (CLDR by way of its ICU), read off there; the same
// calls are made again by TestProgramsIntlWritesTheSame. Its no-break spaces of times are plain spaces here, as Chromium
// writes them too.
func TestNumbersDatesAndTimesAreThoseOfCLDR(t *testing.T) {
	t.Parallel()
	monday := day(t, "2027-04-05")
	usd := money.Currency{Code: "USD", Digits: 2}
	tests := []struct {
		name  string
		write func(l *locale.Locale) string
		want  [3]string // en-US, en-GB, es-US
	}{
		{"a whole number", func(l *locale.Locale) string { return l.Whole(-1234567) }, [3]string{"-1,234,567", "-1,234,567", "-1,234,567"}},
		{"a number with digits", func(l *locale.Locale) string { return l.Number(1234.5, 2) }, [3]string{"1,234.5", "1,234.5", "1,234.5"}},
		{"a percentage", func(l *locale.Locale) string { return l.Percent(decimal.MustParse("8.25")) }, [3]string{"8.25%", "8.25%", "8.25%"}},
		{"a day in full", func(l *locale.Locale) string { return l.Date(monday) }, [3]string{"April 5, 2027", "5 April 2027", "5 de abril de 2027"}},
		{"with its weekday", func(l *locale.Locale) string { return l.FullDate(monday) }, [3]string{"Monday, April 5, 2027", "Monday, 5 April 2027", "lunes, 5 de abril de 2027"}},
		{"a short day", func(l *locale.Locale) string { return l.ShortDate(monday) }, [3]string{"Apr 5, 2027", "5 Apr 2027", "5 abr 2027"}},
		{"a short day of September", func(l *locale.Locale) string { return l.ShortDate(day(t, "2027-09-30")) }, [3]string{"Sep 30, 2027", "30 Sept 2027", "30 sept 2027"}},
		{"a day of the week", func(l *locale.Locale) string { return l.DayDate(monday) }, [3]string{"Mon, Apr 5", "Mon 5 Apr", "lun, 5 de abr"}},
		{"a weekday", func(l *locale.Locale) string { return l.Weekday(day(t, "2027-04-07")) }, [3]string{"Wednesday", "Wednesday", "miércoles"}},
		{"a short weekday", func(l *locale.Locale) string { return l.ShortWeekday(day(t, "2027-04-07")) }, [3]string{"Wed", "Wed", "mié"}},
		{"a day before 1970", func(l *locale.Locale) string { return l.FullDate(day(t, "1969-12-31")) },
			[3]string{"Wednesday, December 31, 1969", "Wednesday, 31 December 1969", "miércoles, 31 de diciembre de 1969"}},
		{"after noon", func(l *locale.Locale) string { return l.Hour(13*60 + 5) }, [3]string{"1:05 PM", "13:05", "1:05 p.m."}},
		{"after midnight", func(l *locale.Locale) string { return l.Hour(30) }, [3]string{"12:30 AM", "00:30", "12:30 a.m."}},
		{"noon", func(l *locale.Locale) string { return l.Hour(720) }, [3]string{"12:00 PM", "12:00", "12:00 p.m."}},
		{"the end of the day", func(l *locale.Locale) string { return l.Hour(1440) }, [3]string{"12:00 AM", "00:00", "12:00 a.m."}},
		{"a moment", func(l *locale.Locale) string { return l.DateTime(monday.Clock(13*60 + 5)) },
			[3]string{"Monday, April 5, 2027 at 1:05 PM", "Monday, 5 April 2027 at 13:05", "lunes, 5 de abril de 2027, 1:05 p.m."}},
		{"a short moment", func(l *locale.Locale) string { return l.ShortDateTime(monday.Clock(13*60 + 5)) },
			[3]string{"Mon, Apr 5, 1:05 PM", "Mon 5 Apr, 13:05", "lun, 5 de abr, 1:05 p.m."}},
		{"a list", func(l *locale.Locale) string { return l.List([]string{"a", "b", "c"}) }, [3]string{"a, b, and c", "a, b and c", "a, b y c"}},
		{"a list of two", func(l *locale.Locale) string { return l.List([]string{"a", "b"}) }, [3]string{"a and b", "a and b", "a y b"}},
		{"y before i is e", func(l *locale.Locale) string { return l.List([]string{"a", "iglesia"}) }, [3]string{"a and iglesia", "a and iglesia", "a e iglesia"}},
		{"y before hie stays", func(l *locale.Locale) string { return l.List([]string{"agua", "hielo"}) }, [3]string{"agua and hielo", "agua and hielo", "agua y hielo"}},
		{"dollars", func(l *locale.Locale) string { return l.Money(123450, usd) }, [3]string{"$1,234.50", "US$1,234.50", "$1,234.50"}},
		{"owed dollars", func(l *locale.Locale) string { return l.Money(-123450, usd) }, [3]string{"-$1,234.50", "-US$1,234.50", "-$1,234.50"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			for i, tag := range everyTag {
				assert.Equal(t, tt.want[i], tt.write(lookup(t, tag)), tag)
			}
		})
	}
}

// Signs of units after NIST SP 811 (2008): superscripts for powers, h and min for times.
func TestQuantitiesArePlainForPeople(t *testing.T) {
	t.Parallel()
	us, metric := measure.US, measure.Metric
	tests := []struct {
		name  string
		write func(l *locale.Locale) string
		want  string
	}{
		{"an area in feet", func(l *locale.Locale) string { return l.Area(128.46*measure.SquareFoot, us) }, "128.5 ft²"},
		{"a great area", func(l *locale.Locale) string { return l.Area(12345*measure.SquareFoot, us) }, "12,345 ft²"},
		{"a small area", func(l *locale.Locale) string { return l.Area(0.0345*measure.SquareFoot, us) }, "0.035 ft²"},
		{"an area in metres", func(l *locale.Locale) string { return l.Area(11.944, metric) }, "11.94 m²"},
		{"a volume in yards", func(l *locale.Locale) string { return l.Volume(1.236*measure.CubicYard, us) }, "1.24 yd³"},
		{"a small volume", func(l *locale.Locale) string { return l.Volume(0.00423*measure.CubicYard, us) }, "0.0042 yd³"},
		{"a volume in metres", func(l *locale.Locale) string { return l.Volume(0.5, metric) }, "0.5 m³"},
		{"a mass", func(l *locale.Locale) string { return l.Mass(2345.6*measure.Pound, us) }, "2,346 lb"},
		{"a small mass", func(l *locale.Locale) string { return l.Mass(4.25*measure.Pound, us) }, "4.25 lb"},
		{"a mass in kilograms", func(l *locale.Locale) string { return l.Mass(22.68, metric) }, "22.7 kg"},
		{"no mass", func(l *locale.Locale) string { return l.Mass(0, us) }, "0 lb"},
		{"an angle", func(l *locale.Locale) string { return l.Angle(measure.Degrees(92.53)) }, "92.5°"},
		{"a length in feet and inches", func(l *locale.Locale) string { return l.Length(70.375*measure.Inch, us) }, "5 ft 10 3/8 in"},
		{"a long length", func(l *locale.Locale) string { return l.Length(1234.5*measure.Foot, us) }, "1,234 ft 6 in"},
		{"a length in metres", func(l *locale.Locale) string { return l.Length(1234.5678, metric) }, "1,234.568 m"},
		{"a depth in inches alone", func(l *locale.Locale) string { return l.Depth(14.5*measure.Inch, us) }, "14 1/2 in"},
		{"a depth to the nearest eighth", func(l *locale.Locale) string { return l.Depth(4.19*measure.Inch, us) }, "4 1/4 in"},
		{"a joint", func(l *locale.Locale) string { return l.Depth(measure.Inch/16, us) }, "1/16 in"},
		{"nearly an inch", func(l *locale.Locale) string { return l.Depth(0.98*measure.Inch, us) }, "1 in"},
		{"fifteen sixteenths", func(l *locale.Locale) string { return l.Depth(0.94*measure.Inch, us) }, "15/16 in"},
		{"a hair", func(l *locale.Locale) string { return l.Depth(0.012*measure.Inch, us) }, "0.012 in"},
		{"no depth", func(l *locale.Locale) string { return l.Depth(0, us) }, "0 in"},
		{"a negative depth", func(l *locale.Locale) string { return l.Depth(-0.25*measure.Inch, us) }, "-1/4 in"},
		{"a depth in millimetres", func(l *locale.Locale) string { return l.Depth(0.1016, metric) }, "102 mm"},
		{"a joint in millimetres", func(l *locale.Locale) string { return l.Depth(0.0032, metric) }, "3.2 mm"},
		{"hours of work", func(l *locale.Locale) string { return l.Hours(decimal.MustParse("12.750")) }, "12.75 h"},
		{"hours to a hundredth", func(l *locale.Locale) string { return l.HoursOf(2.7549) }, "2.75 h"},
		{"hours and minutes", func(l *locale.Locale) string { return l.Duration(105) }, "1 h 45 min"},
		{"minutes", func(l *locale.Locale) string { return l.Duration(45) }, "45 min"},
		{"whole hours", func(l *locale.Locale) string { return l.Duration(120) }, "2 h"},
		{"no time", func(l *locale.Locale) string { return l.Duration(0) }, "0 min"},
		{"less than no time", func(l *locale.Locale) string { return l.Duration(-75) }, "-1 h 15 min"},
		{"a share", func(l *locale.Locale) string { return l.PercentOf(0.08251, 1) }, "8.3%"},
		{"a long decimal, exactly", func(l *locale.Locale) string { return l.Decimal(decimal.MustParse("123456789012345.6780")) }, "123,456,789,012,345.678"},
		{"a unit without a sign", func(l *locale.Locale) string { return l.Unit("slab-18") }, "slab-18"},
		{"a density", func(l *locale.Locale) string { return l.Quantity(measure.Quantity{Value: 145, Unit: "lb/ft3"}, 1) }, "145 lb/ft³"},
		{"not a number", func(l *locale.Locale) string { return l.Number(math.NaN(), 2) }, "0"},
		{"infinite", func(l *locale.Locale) string { return l.Area(measure.Area(math.Inf(1)), us)[:1] }, "1"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			for _, tag := range everyTag {
				assert.Equal(t, tt.want, tt.write(lookup(t, tag)), tag)
			}
		})
	}
}

func TestListOfNothingAndOfOne(t *testing.T) {
	t.Parallel()
	for _, tag := range everyTag {
		assert.Empty(t, lookup(t, tag).List(nil))
		assert.Equal(t, "a", lookup(t, tag).List([]string{"a"}))
	}
}

func TestSayPutsValuesIntoMessages(t *testing.T) {
	t.Parallel()
	l := locale.Default()
	assert.Equal(t, "1 unit", l.Count("units", 1))
	assert.Equal(t, "1,234 units", l.Count("units", 1234))
	assert.Equal(t, "0 units", l.Count("units", 0))
	assert.Equal(t, "0 piezas", spanish(t).Count("units", 0))
	assert.Equal(t, "{b} and x", l.Say("list.two", "a", "{b}", "b", "x"), "what is put in is not looked into again")
	assert.Equal(t, "no.such.key", l.Say("no.such.key"))
	assert.Equal(t, "no.such.key", l.Say("no.such.key", "odd"))
}
