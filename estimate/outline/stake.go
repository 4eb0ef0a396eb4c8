package outline

import (
	"slices"

	"bedline/estimate/measure"
)

// StakeKind tells what a stake marks.
type StakeKind uint8

const (
	CornerStake  StakeKind = iota // a corner; where it is rounded, the point in which the strings of its sides cross
	TangentStake                  // where the arc of a rounded corner meets a side
	JointStake                    // where two edges of one side meet
	StartStake                    // where the line of an outline without corners starts and ends
	PivotStake                    // the centre of an arc
)

// Stake is a place to be marked on the ground.
type Stake struct {
	Kind   StakeKind
	Side   int // of a joint, a start, the pivot of a side; else None
	Corner int // of a corner, a tangent point, the pivot of a corner; else None
	At     Point
}

// Pivot is an arc as it is swung from its centre.
type Pivot struct {
	Stake    int // of the centre; arcs about one centre share it
	From, To int // stakes at the ends, in the direction in which the request runs
	Side     int // of the arc, or None
	Corner   int // that the arc rounds, or None
	Radius   measure.Length
	Sweep    measure.Angle  // positive to the left
	Chord    measure.Length // straight from end to end
	Rise     measure.Length // of the middle of the arc over the middle of the chord, for a centre out of reach
}

// Staking is one closed line as it is put on the ground: the stakes on its line in the order and direction of the request
// from corner 0 on, the corner of a rounded one before its tangent points, then the pivots.
type Staking struct {
	Whole   bool // false where that would make too many: then there are only corners
	Stakes  []Stake
	Pivots  []Pivot
	Corners []int // by corner, counted from the first of the ring: its stake; empty where there are no corners

	elements []Element // in the direction of the request
	starts   []int     // by element: the stake at which it starts
	first    int       // number of the first side and corner
	straight []bool    // by side, counted from the first
	taped    bool      // side 0 is a baseline that the outline was taped from
}

// oneCentre is how near the centres of two arcs are to share a pivot.
const oneCentre = measure.Millimetre / 1000

// fewStakes is how many an outline may have in any case.
const fewStakes = 16

// Staking sets out one ring of the outline (see Rings) with at most so many stakes, or 16, if that is more. One that needs
// more gets those of its corners only, without pivots, curves and checks of right angles: a line of so many points is
// traced, not staked.
func (o *Outline) Staking(ring, most int) *Staking {
	r := &o.rings[ring]
	s := &Staking{elements: r.Elements, first: r.Side, straight: make([]bool, r.Sides), taped: r.Kind == OuterRing && o.taped != nil}
	if r.Falling {
		s.elements = slices.Clone(r.Elements)
		slices.Reverse(s.elements)
		for i := range s.elements {
			s.elements[i].Edge = s.elements[i].Reverse()
		}
	}
	for i := range s.straight {
		s.straight[i] = o.lines[r.Side+i].Straight()
	}
	s.stake(most, func(i int) Point {
		if r.Falling {
			return o.lines[i].To
		}
		return o.lines[i].From
	})
	return s
}

// Staking sets out a loop of straight edges, as that of Outline does: edge i is side i.
func (l Loop) Staking(most int) *Staking {
	s := &Staking{elements: make([]Element, len(l)), straight: make([]bool, len(l))}
	for i, e := range l {
		s.elements[i] = Element{Edge: e, Side: i, Corner: None}
		s.straight[i] = e.Straight()
	}
	s.stake(most, nil)
	return s
}

// stake places the stakes; apex gives the point of a rounded corner.
func (s *Staking) stake(most int, apex func(int) Point) {
	elements := s.elements
	n, arcs, rounded := len(elements), 0, 0
	for i := range elements {
		if !elements[i].Straight() {
			arcs++
		}
		if elements[i].Corner != None {
			rounded++
		}
	}
	s.starts = make([]int, n)
	s.Whole = n+rounded+arcs <= max(most, fewStakes)
	s.Stakes = make([]Stake, 0, n+rounded+arcs)
	if n > 1 {
		s.Corners = make([]int, len(s.straight))
	}
	for k := range elements {
		e, before := &elements[k], &elements[(k+n-1)%n]
		at := Stake{Side: None, Corner: None, At: e.From}
		switch c := e.Corner; {
		case n == 1:
			at.Kind, at.Side = StartStake, e.Side
		case c != None:
			crossing := Stake{Kind: CornerStake, Side: None, Corner: c, At: apex(c)}
			last := s.first + (c-s.first+len(s.straight)-1)%len(s.straight)
			if before.Side != last && before.Corner != last { // the side before is used up, back to a sharp corner
				at.Kind, at.Corner = CornerStake, last
				s.starts[k] = s.add(at)
				s.add(crossing)
				continue
			}
			s.add(crossing)
			at.Kind, at.Corner = TangentStake, c
		case before.Side == e.Side:
			at.Kind, at.Side = JointStake, e.Side
		case before.Corner == e.Side:
			at.Kind, at.Corner = TangentStake, e.Side
		default:
			at.Kind, at.Corner = CornerStake, e.Side
		}
		s.starts[k] = s.add(at)
	}
	if arcs == 0 || !s.Whole {
		return
	}
	s.Pivots = make([]Pivot, 0, arcs)
	for k := range elements {
		if !elements[k].Straight() {
			s.pivot(k)
		}
	}
}

// add adds a stake and notes that of a corner.
func (s *Staking) add(at Stake) int {
	if !s.Whole && at.Kind != CornerStake {
		return None
	}
	s.Stakes = append(s.Stakes, at)
	if at.Kind == CornerStake {
		s.Corners[at.Corner-s.first] = len(s.Stakes) - 1
	}
	return len(s.Stakes) - 1
}

// pivot adds the arc of element k with its centre.
func (s *Staking) pivot(k int) {
	e := &s.elements[k]
	half := measure.Sin(e.Turn / 4)
	p := Pivot{From: s.starts[k], To: s.starts[(k+1)%len(s.starts)], Side: e.Side, Corner: e.Corner, Radius: e.Radius, Sweep: e.Turn,
		Chord: distance(e.From, e.To), Rise: e.Radius.Scale(measure.Factor(2 * half * half))}
	p.Stake = len(s.Stakes)
	if n := len(s.Pivots); n > 0 {
		for _, shared := range [...]int{s.Pivots[n-1].Stake, s.Pivots[0].Stake} {
			if distance(s.Stakes[shared].At, e.Centre) <= oneCentre {
				p.Stake = shared
				break
			}
		}
	}
	if p.Stake == len(s.Stakes) {
		s.Stakes = append(s.Stakes, Stake{Kind: PivotStake, Side: e.Side, Corner: e.Corner, At: e.Centre})
	}
	s.Pivots = append(s.Pivots, p)
}

// Baseline gives the two stakes from which every other is taped: the ends of the baseline of an outline taped by
// offsets, else of the longest straight side, else of the side whose ends are farthest apart; the first of equals. An
// outline without corners has its pivot and its start.
func (s *Staking) Baseline() (first, second int) {
	n := len(s.Corners)
	if n == 0 {
		return s.Pivots[0].Stake, 0
	}
	if s.taped {
		return s.Corners[0], s.Corners[1]
	}
	best, length, straight := 0, measure.Length(0), false
	for i := range n {
		d := s.chord(i)
		longer := d > length+length.Scale(fits)
		if s.straight[i] && !straight || s.straight[i] == straight && longer {
			best, length, straight = i, d, s.straight[i]
		}
	}
	return s.Corners[best], s.Corners[(best+1)%n]
}

// chord is the straight distance between the corners at the ends of side i.
func (s *Staking) chord(i int) measure.Length {
	return distance(s.corner(i), s.corner(i+1))
}

// corner is the place of corner i, counted round.
func (s *Staking) corner(i int) Point {
	return s.Stakes[s.Corners[i%len(s.Corners)]].At
}
