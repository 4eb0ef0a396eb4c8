package pricing

import (
	"bedline/pricing/money"
	"bedline/pricing/schedule"
)

// HirePeriod is one hire of a machine: brought once, kept without a break, fetched once. Every day of the calendar in it
// is paid, also those on which nobody works, a day on which it is needed for no more than half of the working time as half
// a day.
type HirePeriod struct {
	First, Last int // numbers of the working days, from 0
	Days        int // paid as days
	HalfDays    int // paid as half days
	Amount      money.Amount
}

// use is working time in which a machine is needed, as working days and working time into them.
type use struct {
	first, last int
	from, to    schedule.Minutes
}

// stayOn is how much longer a crew stays, or how much sooner it begins, rather than keep a machine for another day.
// Common practice, the figure from memory.
const stayOn schedule.Minutes = 30

// addUse adds the time of a task, which starts no sooner than those before: a use for each row of working days without a
// day between on which nobody works. Tasks of one day are one use. A first or last day on which the task takes no more
// than the crew stays on for is left out.
func addUse(c *schedule.Calendar, uses []use, start, end schedule.Minutes) []use {
	if end <= start {
		return uses
	}
	var u use
	u.first, u.from = c.Number(start)
	u.last, u.to = c.EndNumber(end)
	if u.first < u.last && u.to <= stayOn {
		u.last, u.to = u.last-1, c.PerDay()
	}
	if u.first < u.last && c.PerDay()-u.from <= stayOn {
		u.first, u.from = u.first+1, 0
	}
	if n := len(uses); n > 0 && uses[n-1].last >= u.first {
		u.first, u.from = uses[n-1].first, uses[n-1].from
		uses = uses[:n-1]
	}
	for d := u.first; d < u.last; d++ {
		if c.IsDated() && c.WorkDay(d+1) > c.WorkDay(d)+1 {
			uses = append(uses, use{first: u.first, last: d, from: u.from, to: c.PerDay()})
			u.first, u.from = d+1, 0
		}
	}
	return append(uses, u)
}

// day adds so many days to a hire of which so much working time is needed: half a day holds half of it, whenever it
// begins. What is cheaper is paid: a day, or half days.
func (e *Equipment) day(c *schedule.Calendar, p *HirePeriod, needed schedule.Minutes, n int) {
	switch halves := 1; {
	case n <= 0:
	case 2*needed > c.PerDay() && e.Day <= 2*e.HalfDay, e.Day < e.HalfDay:
		p.Days += n
		p.Amount += money.Amount(n) * e.Day
	default:
		if 2*needed > c.PerDay() {
			halves = 2
		}
		p.HalfDays += n * halves
		p.Amount += money.Amount(n*halves) * e.HalfDay
	}
}

// pay adds what it costs to keep the machine for a use, from the evening before or to the morning after where it is.
func (e *Equipment) pay(c *schedule.Calendar, p *HirePeriod, u *use, before, after bool) {
	from, to := u.from, u.to
	if before {
		from = 0
	}
	if after {
		to = c.PerDay()
	}
	if u.first == u.last {
		e.day(c, p, to-from, 1)
		return
	}
	e.day(c, p, c.PerDay()-from, 1)
	e.day(c, p, c.PerDay(), u.last-u.first-1)
	e.day(c, p, to, 1)
}

// hire is the cheapest cover of the days on which a machine is needed: between two uses it is either kept, for whole days,
// or fetched and brought again. Of covers of one cost that with the fewest hires is taken.
func (e *Equipment) hire(c *schedule.Calendar, uses []use) (periods []HirePeriod, amount money.Amount) {
	n := len(uses)
	if n == 0 {
		return nil, 0
	}
	between := func(p *HirePeriod, i int) { // a use and the one before
		e.day(c, p, c.PerDay(), int(c.WorkDay(uses[i].first)-c.WorkDay(uses[i-1].last))-1)
	}
	// The least of all uses up to i, kept to the next one (k = 1) or not; came says that it was kept from the one before.
	type state struct {
		cost  money.Amount
		hires int
		came  bool
	}
	states := make([][2]state, n)
	for i := range uses {
		for k := range 2 {
			var alone, joined HirePeriod
			e.pay(c, &alone, &uses[i], false, k == 1)
			s := state{cost: e.Transport + alone.Amount, hires: 1}
			if i > 0 {
				apart, kept := states[i-1][0], states[i-1][1]
				s.cost, s.hires = s.cost+apart.cost, s.hires+apart.hires
				between(&joined, i)
				e.pay(c, &joined, &uses[i], true, k == 1)
				if cost := kept.cost + joined.Amount; cost < s.cost || cost == s.cost && kept.hires <= s.hires {
					s = state{cost: cost, hires: kept.hires, came: true}
				}
			}
			states[i][k] = s
		}
	}
	kept := make([]bool, n+1) // from the use before
	for i, k := n-1, 0; i >= 0; i-- {
		kept[i] = states[i][k].came
		k = 0
		if kept[i] {
			k = 1
		}
	}
	for i := range uses {
		if !kept[i] {
			periods = append(periods, HirePeriod{First: uses[i].first, Amount: e.Transport})
		}
		p := &periods[len(periods)-1]
		if kept[i] {
			between(p, i)
		}
		e.pay(c, p, &uses[i], kept[i], kept[i+1])
		p.Last = uses[i].last
	}
	return periods, states[n-1][0].cost
}

// leastHire is less than no hire of a machine costs.
func (e *Equipment) leastHire() money.Amount {
	return e.Transport + min(e.Day, e.HalfDay)
}
