package pricing_test

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate"
	"bedline/pricing"
	"bedline/pricing/money"
	"bedline/pricing/schedule"
)

func hireOf(t require.TestingT, q *pricing.Quote, key string) *pricing.Hire {
	for i := range q.Hires {
		if q.Hires[i].Machine.Key == key {
			return &q.Hires[i]
		}
	}
	require.Failf(t, "no machine", "%s", key)
	return nil
}

func calendarOf(t require.TestingT, h schedule.Hours) *schedule.Calendar {
	c, err := schedule.Dated(h)
	require.NoError(t, err)
	return c
}

func dayOf(t require.TestingT, s string) schedule.Day {
	d, err := schedule.ParseDay(s)
	require.NoError(t, err)
	return d
}

// A machine at 48.00 for half a day and 75.00 for a day, brought for 15.00; days of 8 h from Thursday 2027-04-15.
func TestHiresByHand(t *testing.T) {
	t.Parallel()
	c := calendarOf(t, schedule.Hours{Start: dayOf(t, "2027-04-15"), StartsAt: 480, PerDay: 480, WorkDays: []time.Weekday{time.Monday, time.Tuesday, time.Wednesday, time.Thursday, time.Friday}})
	plate := &pricing.Equipment{HalfDay: 4800, Day: 7500, Transport: 1500}
	for _, test := range []struct {
		name   string
		tasks  [][2]schedule.Minutes
		want   money.Amount
		hires  int
		halves int
		days   int
	}{
		{"an hour is half a day", [][2]schedule.Minutes{{60, 120}}, 4800 + 1500, 1, 1, 0},
		{"four hours over noon are half a day", [][2]schedule.Minutes{{120, 360}}, 4800 + 1500, 1, 1, 0},
		{"a minute more is a day", [][2]schedule.Minutes{{120, 361}}, 7500 + 1500, 1, 0, 1},
		{"two hours in the morning and one at the end of the day are a day", [][2]schedule.Minutes{{0, 120}, {420, 480}}, 7500 + 1500, 1, 0, 1},
		{"half an hour into the next day is stayed on for", [][2]schedule.Minutes{{300, 510}}, 4800 + 1500, 1, 1, 0},
		{"half an hour before the next day is too", [][2]schedule.Minutes{{450, 600}}, 4800 + 1500, 1, 1, 0},
		{"an hour on both sides of a night are two halves", [][2]schedule.Minutes{{420, 540}}, 2*4800 + 1500, 1, 2, 0},
		{"over a weekend it is fetched between: 2 x 63.00, kept 48.00 + 2 x 75.00 + 48.00 + 15.00", [][2]schedule.Minutes{{900, 1020}}, 2 * (4800 + 1500), 2, 2, 0},
		{"a last hour on Thursday and a first one on Monday: 2 x 63.00", [][2]schedule.Minutes{{420, 480}, {960, 1020}}, 2 * (4800 + 1500), 2, 2, 0},
		{"nothing to do is no hire", [][2]schedule.Minutes{{60, 60}}, 0, 0, 0, 0},
	} {
		periods, amount := pricing.HireFor(plate, c, test.tasks)
		assert.Equal(t, test.want, amount, test.name)
		assert.Len(t, periods, test.hires, test.name)
		halves, days := 0, 0
		for _, p := range periods {
			halves += p.HalfDays
			days += p.Days
		}
		assert.Equal(t, [2]int{test.halves, test.days}, [2]int{halves, days}, test.name)
	}
	// The same brought for 300.00: kept from Thursday to Monday it is 48.00 + 3 x 75.00 + 48.00 + 300.00.
	dear := &pricing.Equipment{HalfDay: 4800, Day: 7500, Transport: 30000}
	periods, amount := pricing.HireFor(dear, c, [][2]schedule.Minutes{{420, 480}, {960, 1020}})
	assert.EqualValues(t, 62100, amount)
	assert.Equal(t, []pricing.HirePeriod{{First: 0, Last: 2, Days: 3, HalfDays: 2, Amount: 62100}}, periods)
	odd := &pricing.Equipment{HalfDay: 4800, Day: 10000}
	_, amount = pricing.HireFor(odd, c, [][2]schedule.Minutes{{0, 480}})
	assert.EqualValues(t, 9600, amount, "two half days where they cost less than a day")
	odd = &pricing.Equipment{HalfDay: 4800, Day: 4000}
	_, amount = pricing.HireFor(odd, c, [][2]schedule.Minutes{{0, 60}})
	assert.EqualValues(t, 4000, amount, "a day where it costs less than half of one")
}

// coverOf reckons a hire anew: what each day of the calendar needs, and every way of keeping or fetching the machine
// between the days on which it is needed.
func coverOf(e *pricing.Equipment, c *schedule.Calendar, tasks [][2]schedule.Minutes) money.Amount {
	type need struct {
		day      schedule.Day
		from, to schedule.Minutes
	}
	var needs []need
	per := c.PerDay()
	for _, task := range tasks {
		if task[0] >= task[1] {
			continue
		}
		first, last := int(task[0]/per), int((task[1]-1)/per)
		start, end := task[0], task[1]
		if first < last && end-schedule.Minutes(last)*per <= 30 {
			end = schedule.Minutes(last) * per
			last--
		}
		if first < last && schedule.Minutes(first+1)*per-start <= 30 {
			first++
			start = schedule.Minutes(first) * per
		}
		for d := first; d <= last; d++ {
			begin := schedule.Minutes(d) * per
			n := need{c.WorkDay(d), max(start, begin) - begin, min(end, begin+per) - begin}
			if k := len(needs); k > 0 && needs[k-1].day == n.day {
				needs[k-1].to = n.to
			} else {
				needs = append(needs, n)
			}
		}
	}
	if len(needs) == 0 {
		return 0
	}
	day := func(needed schedule.Minutes) money.Amount {
		if 2*needed > per {
			return min(e.Day, 2*e.HalfDay)
		}
		return min(e.Day, e.HalfDay)
	}
	best := money.Amount(1 << 60)
	for keep := range 1 << (len(needs) - 1) {
		sum := e.Transport
		for i, n := range needs {
			from, to := n.from, n.to
			if i > 0 && keep>>(i-1)&1 == 1 {
				from = 0
				for d := needs[i-1].day + 1; d < n.day; d++ {
					sum += day(per)
				}
			} else if i > 0 {
				sum += e.Transport
			}
			if i+1 < len(needs) && keep>>i&1 == 1 {
				to = per
			}
			sum += day(to - from)
		}
		best = min(best, sum)
	}
	return best
}

func TestHiresAreTheCheapestCover(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		c := calendarOf(t, schedule.Hours{Start: dayOf(t, "2027-04-14"), StartsAt: 480, PerDay: schedule.Minutes(rapid.IntRange(60, 480).Draw(t, "per day")),
			WorkDays: []time.Weekday{time.Monday, time.Wednesday, time.Thursday, time.Friday}, Holidays: []schedule.Day{dayOf(t, "2027-04-15")}})
		e := &pricing.Equipment{HalfDay: money.Amount(rapid.IntRange(0, 9000).Draw(t, "half day")), Day: money.Amount(rapid.IntRange(0, 15000).Draw(t, "day")),
			Transport: money.Amount(rapid.IntRange(0, 20000).Draw(t, "transport"))}
		var tasks [][2]schedule.Minutes
		at := schedule.Minutes(0)
		for range rapid.IntRange(0, 4).Draw(t, "tasks") {
			at += schedule.Minutes(rapid.IntRange(0, 700).Draw(t, "idle"))
			end := at + schedule.Minutes(rapid.IntRange(0, 800).Draw(t, "length"))
			tasks = append(tasks, [2]schedule.Minutes{at, end})
			at = end
		}
		if at/c.PerDay() > 14 {
			return
		}
		periods, amount := pricing.HireFor(e, c, tasks)
		assert.Equal(t, coverOf(e, c, tasks), amount)
		var sum money.Amount
		for _, p := range periods {
			sum += p.Amount
			assert.Equal(t, p.Amount, e.Transport+money.Amount(p.Days)*e.Day+money.Amount(p.HalfDays)*e.HalfDay)
		}
		assert.Equal(t, amount, sum)
	})
}

// Every way of doing the operations that hand and machine can do is asked for on its own: none costs less in labour and
// equipment together than what is chosen without asking.
func TestTheChosenToolsCostLeast(t *testing.T) {
	t.Parallel()
	files, err := filepath.Glob(filepath.Join("..", "testdata", "jobs", "*.json"))
	require.NoError(t, err)
	texts := map[string]string{}
	for _, file := range files {
		texts[filepath.Base(file)] = strings.TrimSpace(jobFile(t, filepath.Base(file)))
	}
	for name, text := range texts {
		const start = `"start":"2027-04-14","size":2,"hours_per_day":8`
		q := quoteOf(t, withCrew(text, "{"+start+"}"))
		var free []estimate.Operation
		for i := range q.Hires {
			for _, op := range []estimate.Operation{estimate.StripCover, estimate.DigTrench, estimate.DigBed, estimate.HaulSpoil, estimate.CompactBase} {
				if slices.Contains(q.Hires[i].For, op) && q.Hires[i].Hand != nil {
					free = append(free, op)
				}
			}
		}
		chosen := q.Totals.Labour + q.Totals.Equipment
		least := money.Amount(1 << 60)
		for ways := range 1 << len(free) {
			var tools []string
			for i, op := range free {
				tool := "hand"
				if ways>>i&1 == 1 {
					tool = "machine"
				}
				tools = append(tools, fmt.Sprintf("%q:%q", op, tool))
			}
			forced := quoteOf(t, withCrew(text, "{"+start+`,"tools":{`+strings.Join(tools, ",")+"}}"))
			least = min(least, forced.Totals.Labour+forced.Totals.Equipment)
		}
		assert.Equal(t, least, chosen, name)
	}
}

// TestPatioMachinesByHand: 24 x 16 ft of turf, dug 25 x 17 ft by 9 1/2 in, see the job of that name.
func TestPatioMachinesByHand(t *testing.T) {
	t.Parallel()
	q := quoteOf(t, jobFile(t, "patio-with-machines.json"))
	f := q.List.Currency.Format
	// 25 x 17 = 425 ft2 of turf: 6.375 h by hand, 2.125 with the cutter.
	cutter := hireOf(t, q, "sod-cutter")
	assert.Equal(t, "6.38 242.44", plainHours(cutter.Hand)+" "+f(cutter.Hand.Cost))
	assert.Equal(t, "2.13 80.94 75.00", plainHours(&cutter.ByIt)+" "+f(cutter.ByIt.Cost)+" "+f(cutter.Hire)) // 60.00 + 15.00
	assert.Equal(t, "with the machine it costs 86.50 less", cutter.Why(q.List.Currency))
	// 2 3/8 + 1 + 6 in, dug 9 1/2: 425 x 9.5 / 324 = 12.461420 yd3 of clay: 33.02 h at 2.65, 4.98 at 0.4 with the digger.
	digger := hireOf(t, q, "mini-digger")
	assert.Equal(t, "33.02 4.98 200.00", plainHours(digger.Hand)+" "+plainHours(&digger.ByIt)+" "+f(digger.Hire))
	// Base of 6 1/8 in, with what the rounding adds: two lifts of at most 4 in under the plate, 850 ft2 at 0.3 h per 100.
	plate := hireOf(t, q, "plate-compactor")
	assert.Equal(t, "2.55", plainHours(&plate.ByIt))
	// It would not be done by the end of Thursday, so that it waits for Tuesday, after Monday's holiday: one hire.
	assert.Equal(t, "63.00", f(plate.Hire)) // 48.00 + 15.00
	compacting := plannedOf(t, q, estimate.CompactBase)
	assert.Equal(t, "2027-07-06T07:00", q.Plan.Calendar.Start(compacting.Start).String())
	saw := hireOf(t, q, "masonry-saw")
	assert.Nil(t, saw.Hand, "a saw pass takes a saw")
	// 8.4 h are more than a day, with Friday to Sunday between: 70.00 + 10.00 and 45.00 + 10.00.
	assert.Equal(t, "135.00", f(saw.Hire))
	// 12.23 h by hand are 464.74, 8.91 h and the trailer 338.58 + 95.00.
	assert.True(t, hireOf(t, q, "dump-trailer").Chosen)
	assert.Equal(t, "568.00", f(q.Totals.Equipment)) // 63.00 + 135.00 + 75.00 + 200.00 + 95.00
	// Friday the 25th, Monday the 28th and Tuesday the 29th lie between the call and Wednesday the 30th.
	assert.Equal(t, "2027-06-24", q.Plan.MarkBy.String())
}

func plainHours(l *pricing.Labour) string { return l.Hours.Pad(2).String() }

func TestTheRequestChoosesTools(t *testing.T) {
	t.Parallel()
	by := quoteOf(t, crewed(`{"tools":{"strip_cover":"machine"}}`))
	cutter := hireOf(t, by, "sod-cutter")
	assert.True(t, cutter.Chosen && cutter.Asked)
	assert.Equal(t, "the request asks for the machine", cutter.Why(by.List.Currency))
	assert.Equal(t, pricing.ByMachine, plannedOf(t, by, estimate.StripCover).Tool)
	hand := quoteOf(t, crewed(`{"tools":{"strip_cover":"hand"}}`))
	for i := range hand.Hires {
		assert.NotEqual(t, "sod-cutter", hand.Hires[i].Machine.Key, "what the request does by hand is compared with nothing")
	}
	assert.Greater(t, by.Totals.Labour+by.Totals.Equipment, hand.Totals.Labour+hand.Totals.Equipment)
	own := sampleWith(t, func(d *pricing.Document) { d.Equipment = nil })
	q := quoteOf(t, crewed(`{"tools":{"strip_cover":"machine"}}`), own)
	assert.Zero(t, q.Totals.Equipment)
	assert.True(t, noticed(q, "machine_unpriced"))
}

// At one cost the hands do it; a cent less and the machine is hired.
func TestTiesAreDoneByHand(t *testing.T) {
	t.Parallel()
	text := crewed(`{}`)
	q := quoteOf(t, text)
	cutter := hireOf(t, q, "sod-cutter")
	saves := cutter.Hand.Cost - cutter.ByIt.Cost
	for extra, chosen := range map[money.Amount]bool{0: false, -1: true} {
		list := sampleWith(t, func(d *pricing.Document) {
			for i := range d.Equipment {
				if e := &d.Equipment[i]; e.Key == "sod-cutter" {
					e.HalfDay, e.Day, e.Transport = dec(q.List.Currency.Format(saves+extra)), dec("500.00"), nil
				}
			}
		})
		assert.Equal(t, chosen, hireOf(t, quoteOf(t, text, list), "sod-cutter").Chosen, "%d", extra)
	}
}

func TestASawPassTakesASaw(t *testing.T) {
	t.Parallel()
	q := quoteOf(t, jobFile(t, "garage-bed.json"))
	assert.True(t, hireOf(t, q, "masonry-saw").Chosen)
	chisel := sampleWith(t, func(d *pricing.Document) {
		for i := range d.Labour.Rates {
			if r := &d.Labour.Rates[i]; r.Operation == "cut_units" && r.Tool == "" {
				r.Tool = "hand"
			}
		}
	})
	assert.False(t, hireOf(t, quoteOf(t, jobFile(t, "garage-bed.json"), chisel), "masonry-saw").Chosen, "a rate that says by hand is by hand")
	idle := sampleWith(t, func(d *pricing.Document) {
		for i := range d.Equipment {
			d.Equipment[i].Operations = nil
		}
	})
	assert.Zero(t, quoteOf(t, jobFile(t, "garage-bed.json"), idle).Totals.Equipment, "a list that gives its machines no operations hires none")
}
