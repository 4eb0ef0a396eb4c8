package lifting

import "bedline/estimate/measure"

// Frequency is a number of lifts per minute, the average over 15 minutes.
type Frequency float64

// Duration tells how long lifting goes on.
type Duration uint8

// The durations: Short is up to 1 hour, Moderate up to 2 hours, Long up to 8 hours.
const (
	Short Duration = iota
	Moderate
	Long
)

// String is how long that is, for people.
func (d Duration) String() string { return [...]string{"up to 1 h", "up to 2 h", "up to 8 h"}[d] }

// Coupling tells how good the grip is.
type Coupling uint8

// The couplings.
const (
	Good Coupling = iota // handles
	Fair                 // fingers bent under the load at a right angle
	Poor                 // bags that sag, bulky, sharp or loose things
)

// String is the word of the manual.
func (c Coupling) String() string { return [...]string{"good", "fair", "poor"}[c] }

// rows of the table of frequency multipliers: lifts per minute, then the multipliers of the three durations with the
// hands below 30 in (75 cm), then of those at or above.
//
// Source: NIOSH 94-110, Table 5, from memory; the manual's own example of 3 lifts a minute for up to an hour has 0.88.
var rows = [...]struct {
	lifts     Frequency
	low, high [3]measure.Factor
}{
	{0.2, [3]measure.Factor{1.00, 0.95, 0.85}, [3]measure.Factor{1.00, 0.95, 0.85}},
	{0.5, [3]measure.Factor{0.97, 0.92, 0.81}, [3]measure.Factor{0.97, 0.92, 0.81}},
	{1, [3]measure.Factor{0.94, 0.88, 0.75}, [3]measure.Factor{0.94, 0.88, 0.75}},
	{2, [3]measure.Factor{0.91, 0.84, 0.65}, [3]measure.Factor{0.91, 0.84, 0.65}},
	{3, [3]measure.Factor{0.88, 0.79, 0.55}, [3]measure.Factor{0.88, 0.79, 0.55}},
	{4, [3]measure.Factor{0.84, 0.72, 0.45}, [3]measure.Factor{0.84, 0.72, 0.45}},
	{5, [3]measure.Factor{0.80, 0.60, 0.35}, [3]measure.Factor{0.80, 0.60, 0.35}},
	{6, [3]measure.Factor{0.75, 0.50, 0.27}, [3]measure.Factor{0.75, 0.50, 0.27}},
	{7, [3]measure.Factor{0.70, 0.42, 0.22}, [3]measure.Factor{0.70, 0.42, 0.22}},
	{8, [3]measure.Factor{0.60, 0.35, 0.18}, [3]measure.Factor{0.60, 0.35, 0.18}},
	{9, [3]measure.Factor{0.52, 0.30, 0.00}, [3]measure.Factor{0.52, 0.30, 0.15}},
	{10, [3]measure.Factor{0.45, 0.26, 0.00}, [3]measure.Factor{0.45, 0.26, 0.13}},
	{11, [3]measure.Factor{0.41, 0.00, 0.00}, [3]measure.Factor{0.41, 0.23, 0.00}},
	{12, [3]measure.Factor{0.37, 0.00, 0.00}, [3]measure.Factor{0.37, 0.21, 0.00}},
	{13, [3]measure.Factor{0.00, 0.00, 0.00}, [3]measure.Factor{0.34, 0.00, 0.00}},
	{14, [3]measure.Factor{0.00, 0.00, 0.00}, [3]measure.Factor{0.31, 0.00, 0.00}},
	{15, [3]measure.Factor{0.00, 0.00, 0.00}, [3]measure.Factor{0.28, 0.00, 0.00}},
}

// multiplier is that of the table; between two rows that of the more frequent one, so that no limit is set too high.
func (f Frequency) multiplier(d Duration, high bool) measure.Factor {
	for i := range rows {
		if r := &rows[i]; !beyond(float64(f), float64(r.lifts)) {
			if high {
				return r.high[d]
			}
			return r.low[d]
		}
	}
	return 0
}

// multiplier of a coupling. Source: NIOSH 94-110, Table 7; poor from memory.
func (c Coupling) multiplier(high bool) measure.Factor {
	switch {
	case c == Poor:
		return 0.90
	case c == Fair && !high:
		return 0.95
	}
	return 1
}

// Over15Minutes is the frequency of lifts that come only during a part of every 15 minutes.
// Source: NIOSH 94-110 (revised 9/2021), 1.3.5.5, p. 16.
func Over15Minutes(while Frequency, lifting measure.Hours) Frequency {
	return Frequency(float64(while) * float64(lifting) / 0.25)
}

// Spell is a time of lifting and the light work or rest after it.
type Spell struct{ Lifting, Recovery measure.Hours }

// DurationOf is the duration of a day of spells. An hour of lifting at most stays short if as long a recovery follows,
// two hours moderate with three tenths of it; spells without are added up. The recovery after the last spell is the
// rest of the day.
//
// Source: NIOSH 94-110 (revised 9/2021), 1.3.5.2, p. 14: its examples are in the tests. The factors 1.0 and 0.3 are from
// memory and agree with them.
func DurationOf(day []Spell) Duration {
	longest := Short
	var lifting float64
	for i, s := range day {
		lifting += float64(s.Lifting)
		last := i == len(day)-1
		d := Long
		switch recovery := float64(s.Recovery); {
		case !beyond(lifting, 1) && (last || !beyond(lifting, recovery)):
			d = Short
		case beyond(lifting, 1) && !beyond(lifting, 2) && (last || !beyond(float64(0.3*lifting), recovery)):
			d = Moderate
		case !last:
			continue
		}
		longest = max(longest, d)
		lifting = 0
	}
	return longest
}
