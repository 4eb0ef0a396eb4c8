package estimate

import (
	"strconv"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// SetOutSpec says how coordinates are to be taken and curves to be marked.
type SetOutSpec struct {
	Pointer         string
	Stated          bool           // the two points are given
	Origin, Towards outline.Point  // x runs from one towards the other
	Every           measure.Length // spacing of running totals along curves; 0 for the customary one
}

// The marks along curves.
const (
	marksEveryUS     = 5 * measure.Foot
	marksEveryMetric = 1 * measure.Metre
	// mostMarks is how many marks there are between the stakes of all curves of a job.
	mostMarks = 2000
)

// mostStakes is how many stakes a job has in full; the outlines that would bring it over that have those of their corners.
const mostStakes = 5000

// The checks of right angles: 3, 4 and 5 of these, so many times at most that the long side stays within a tape of
// 100 ft or 30 m.
const (
	rightAngleUS     = measure.Foot
	rightAngleMetric = measure.Metre / 2
	mostUS           = 20
	mostMetric       = 12
)

// The labels of the two points that the request states.
const (
	OriginLabel  = "O"
	TowardsLabel = "T"
)

// SetOutTakeoff is what the crew needs to put the job on the ground.
type SetOutTakeoff struct {
	Spec   *SetOutSpec
	Every  measure.Length // spacing of running totals along curves
	Parts  []StakedPart   // beds, slab groups, paved areas and planters, in the order of the request
	Gauges []Gauge
}

// StakedKind tells what a staked part of the job is.
type StakedKind string

// The kinds.
const (
	StakedBed     StakedKind = "bed"
	StakedSlabs   StakedKind = "slabs"
	StakedPaving  StakedKind = "paving"
	StakedPlanter StakedKind = "planter"
)

// StakedPart is one outline with its stakes. Every place is in the coordinates of the set-out.
type StakedPart struct {
	ID             string
	Kind           StakedKind
	Hole, Island   int // of the outline whose line this is, or None; holes and islands are parts of their own
	Baseline       Baseline
	Stakes         []StakeTakeoff
	Pivots         []outline.Pivot // stakes by their place in Stakes, as in the members below
	Spans          []outline.Span
	EqualDiagonals bool
	RightAngles    []outline.RightAngle
	Curves         []outline.Curve
	Taped          []TapedStation

	staking *outline.Staking
	from    int // the part whose baseline it is taped from
	taped   *outline.Taped
	fall    *Fall
}

// Baseline is what every stake of a part is taped from a second time.
type Baseline struct {
	First, Second string // labels
	Length        measure.Length
}

// StakeTakeoff is one stake.
type StakeTakeoff struct {
	Label             string         // no other stake of the job has it
	outline.Stake                    // At is in the coordinates of the set-out
	ToFirst, ToSecond measure.Length // from the ends of the baseline
	Down              measure.Length // the finished surface below the level string; none at a pivot
}

// TapedStation is a station of an outline by offsets, as taped.
type TapedStation struct {
	outline.Station
	Stake int
}

// stake places the stakes of all parts and settles the spacing of the marks along curves.
func (t *taker) stake() {
	job, out := t.job, &t.out.SetOut
	out.Spec = &job.SetOut
	out.Parts = make([]StakedPart, 0, len(job.Beds)+len(t.out.Slabs)+len(job.Paving)+len(job.Planters))
	bedParts := make([]int, 0, len(job.Beds))
	// What stands in a bed lies on its surface and is taped from its baseline.
	bedOf := func(id string) (fall *Fall, part int) {
		for i := range job.Beds {
			if job.Beds[i].ID == id && id != "" {
				return job.Beds[i].Grade.Fall, bedParts[i]
			}
		}
		return nil, len(out.Parts)
	}
	left := mostStakes
	add := func(p StakedPart, name, pointer string, staking func(most int) *outline.Staking) {
		p.staking = staking(left)
		if p.staking.Whole {
			left = max(0, left-len(p.staking.Stakes))
		} else {
			t.notice("corners_staked_only", Info, name+" "+p.ID+" would bring the stakes of the job over "+count(mostStakes)+
				": its corners are given, without tangent points, pivots, running totals and checks of right angles", pointer, "")
		}
		out.Parts = append(out.Parts, p)
	}
	rings := func(o *outline.Outline, p StakedPart, name, pointer string) {
		for i := range o.Rings() {
			r := &o.Rings()[i]
			p.Hole, p.Island, p.taped = r.Hole, r.Island, nil
			if r.Kind == outline.OuterRing {
				p.taped = o.Taped()
			}
			add(p, name, pointer+"/outline", func(most int) *outline.Staking { return o.Staking(i, most) })
		}
	}
	for i := range job.Beds {
		b := &job.Beds[i]
		bedParts = append(bedParts, len(out.Parts))
		rings(b.Outline, StakedPart{ID: b.ID, Kind: StakedBed, fall: b.Grade.Fall, from: len(out.Parts)}, "bed", b.Pointer)
	}
	for j := range t.out.Slabs {
		s := &t.out.Slabs[j]
		fall, from := bedOf(s.Group.InBed)
		add(StakedPart{ID: s.ID, Kind: StakedSlabs, Hole: outline.None, Island: outline.None, fall: fall, from: from}, "slab group", s.Group.Pointer, s.Grid.Footprint().Staking)
	}
	for k := range job.Paving {
		p := &job.Paving[k]
		fall, from := bedOf(p.InBed)
		if p.Grade.Fall != nil {
			fall = p.Grade.Fall
		}
		rings(p.Outline, StakedPart{ID: p.ID, Kind: StakedPaving, fall: fall, from: from}, "paved area", p.Pointer)
	}
	for k := range job.Planters {
		p := &job.Planters[k]
		fall, from := bedOf(p.InBed)
		add(StakedPart{ID: p.ID, Kind: StakedPlanter, Hole: outline.None, Island: outline.None, fall: fall, from: from}, "planter", p.Pointer, p.Footprint().Staking)
	}
	t.spacing()
}

// spacing settles the spacing of the marks along curves. The customary one is doubled until there are not too many
// marks; one asked for is refused if there are.
func (t *taker) spacing() {
	out := &t.out.SetOut
	marks := func(every measure.Length) float64 {
		sum := 0.0
		for i := range out.Parts {
			sum += out.Parts[i].staking.Spacings(every)
		}
		return sum
	}
	if every := t.job.SetOut.Every; every > 0 {
		out.Every = every
		if marks(every) > mostMarks {
			right := measure.Inch // doubled to one that is written exactly
			if t.job.System == measure.Metric {
				right = 25 * measure.Millimetre
			}
			for marks(right) > mostMarks {
				right *= 2
			}
			words := measure.FormatLength(right, t.job.System)
			t.faults.Add(t.job.SetOut.Pointer+"/every", codeTooMany, "makes more than "+count(mostMarks)+" marks along the curves of the job; "+words+" does not", quote(words))
		}
		return
	}
	out.Every = marksEveryUS
	if t.job.System == measure.Metric {
		out.Every = marksEveryMetric
	}
	for marks(out.Every) > mostMarks {
		out.Every *= 2
	}
}

// setOut gives what the crew needs to put the job on the ground.
func (t *taker) setOut() {
	spec := &t.job.SetOut
	var frame outline.Frame
	if spec.Stated {
		frame, _ = outline.NewFrame(spec.Origin, spec.Towards) // read as such
	}
	unit, most := rightAngleUS, mostUS
	if t.job.System == measure.Metric {
		unit, most = rightAngleMetric, mostMetric
	}
	for i := range t.out.SetOut.Parts {
		p := &t.out.SetOut.Parts[i]
		p.Pivots = p.staking.Pivots
		p.Spans = p.staking.Spans()
		p.EqualDiagonals = outline.EqualDiagonals(p.Spans)
		p.RightAngles = p.staking.RightAngles(unit, most)
		p.label(letters(i))
		p.place(&t.out.SetOut.Parts[p.from], spec, frame)
		p.Curves = p.staking.Curves(t.out.SetOut.Every)
		for k := range p.Curves {
			marks := p.Curves[k].Marks
			for m := range marks {
				marks[m].At = frame.Place(marks[m].At)
			}
		}
		if p.taped != nil {
			p.Taped = make([]TapedStation, len(p.taped.Stations))
			for k, s := range p.taped.Stations {
				p.Taped[k] = TapedStation{Station: s, Stake: p.staking.Corners[p.taped.Corner(k)]}
			}
		}
	}
	t.gauges()
}

// letters are those of the part at a place: A to Z, then AA, AB and so on.
func letters(i int) string {
	const alphabet = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
	if i < len(alphabet) {
		return alphabet[i : i+1]
	}
	return letters(i/len(alphabet)-1) + alphabet[i%len(alphabet):i%len(alphabet)+1]
}

// label numbers the stakes of a part behind its letters. The labels are cut out of one text.
func (p *StakedPart) label(prefix string) {
	p.Stakes = make([]StakeTakeoff, len(p.staking.Stakes))
	text := make([]byte, 0, len(p.Stakes)*(len(prefix)+4))
	ends := make([]int, len(p.Stakes))
	for i := range p.Stakes {
		text = strconv.AppendInt(append(text, prefix...), int64(i+1), 10)
		ends[i] = len(text)
	}
	labels, from := string(text), 0
	for i, to := range ends {
		p.Stakes[i].Label = labels[from:to]
		from = to
	}
}

// place gives every stake its coordinates, its distances from the baseline, which may be that of another part, and its
// level.
func (p *StakedPart) place(from *StakedPart, spec *SetOutSpec, frame outline.Frame) {
	var first, second outline.Point
	if spec.Stated {
		first, second = spec.Origin, spec.Towards
		p.Baseline.First, p.Baseline.Second = OriginLabel, TowardsLabel
	} else {
		i, j := from.staking.Baseline()
		first, second = from.staking.Stakes[i].At, from.staking.Stakes[j].At
		p.Baseline.First, p.Baseline.Second = from.Stakes[i].Label, from.Stakes[j].Label
	}
	p.Baseline.Length = first.Distance(second)
	for i, s := range p.staking.Stakes {
		out := &p.Stakes[i]
		out.ToFirst, out.ToSecond = first.Distance(s.At), second.Distance(s.At)
		if s.Kind != outline.PivotStake {
			out.Down = p.fall.below(s.At)
		}
		s.At = frame.Place(s.At)
		out.Stake = s
	}
}

// noLevel is a difference of levels that is rounding error.
const noLevel = 1e-9 * measure.Metre

// below is how far the finished surface lies below the level string at a place, negative where it is above.
func (f *Fall) below(at outline.Point) measure.Length {
	if f == nil {
		return 0
	}
	x, y := float64(f.To.X-f.From.X), float64(f.To.Y-f.From.Y)
	left := float64(x*float64(at.Y-f.From.Y)) - float64(y*float64(at.X-f.From.X))
	down := measure.Length(left / float64(f.From.Distance(f.To))).Scale(f.Rate)
	if max(down, -down) < noLevel {
		return 0
	}
	return down
}

// Position is where stake k is in the coordinates of the request.
func (p *StakedPart) Position(k int) outline.Point { return p.staking.Stakes[k].At }
