package outline

import (
	"errors"
	"fmt"
	"math"

	"bedline/estimate/measure"
)

// Tape is the taped distance of a point from a mark.
type Tape struct {
	Mark   int
	Length measure.Length
}

// TiedPoint is a point by its tapes, to at least two marks. It lies to the left of the line from mark 0 to mark 1, or
// to the right of it.
type TiedPoint struct {
	Tapes []Tape
	Right bool
}

// Check is a taped distance between two points.
type Check struct {
	I, J   int
	Length measure.Length
}

// Ties are points by their taped distances from marks of known place.
type Ties struct {
	Marks     []Point
	Points    []TiedPoint
	Checks    []Check
	MisfitMax measure.Length // the greatest misfit of a tape that is accepted, 0 or more
}

// Misfit is what one tape is off. Mark or Check is None.
type Misfit struct {
	Point, Mark int // the tape from a point to a mark
	Check       int // or the number of a check
	Taped, Fits measure.Length
}

// Off is the adjusted distance less the taped one.
func (m Misfit) Off() measure.Length { return m.Fits - m.Taped }

// Adjustment is where ties put their points.
type Adjustment struct {
	Points   []Point
	Tapes    int            // tapes and checks together
	Greatest measure.Length // misfit of any tape, without sign
	RMS      measure.Length // root of the mean square misfit of all tapes
	Worst    Misfit         // the first of the tapes with the greatest misfit
}

// MarkError tells that there are fewer than two marks, or that a mark is in the place of an earlier one.
type MarkError struct{ Mark int }

func (e *MarkError) Error() string {
	return fmt.Sprintf("mark %d is missing or repeats an earlier one", e.Mark)
}

// FewTapesError tells that a point is not taped to two marks.
type FewTapesError struct{ Point int }

func (e *FewTapesError) Error() string {
	return fmt.Sprintf("point %d needs tapes to at least two marks", e.Point)
}

// TieSideError tells that the tapes of a point only fit on the other side of the line from mark 0 to mark 1.
type TieSideError struct {
	Point int
	Right bool // where they fit
}

func (e *TieSideError) Error() string {
	if e.Right {
		return fmt.Sprintf("the tapes of point %d meet to the right of the line from mark 0 to mark 1 only", e.Point)
	}
	return fmt.Sprintf("the tapes of point %d meet to the left of the line from mark 0 to mark 1 only", e.Point)
}

// MisfitError tells that the tapes do not fit each other within what is accepted.
type MisfitError struct {
	Worst   Misfit
	Allowed measure.Length
}

func (e *MisfitError) Error() string {
	return fmt.Sprintf("the tapes do not meet: one is off by %.4g m, %.4g m is allowed", math.Abs(float64(e.Worst.Off())), float64(e.Allowed))
}

// Adjust finds the points whose distances fit all tapes and checks together best: the least sum of squared misfits,
// all of one weight, the marks fixed. It starts where two tapes of a point meet on its side of the line from mark 0 to
// mark 1, those two that the rest of its tapes fit best; where two places on that side do equally well, the one to the
// left of the line between the two marks taped (to the right for a point on the right).
//
// Errors, all that hold joined: *NumberError ("mark", "tape" or "check" with the number of the mark, point or check),
// *MarkError, *PointCountError (no points), *FewTapesError, *TieSideError, *MisfitError.
func Adjust(t Ties) (*Adjustment, error) {
	if faults := t.unusable(); len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	var faults []error
	n := &network{points: make([]vec, len(t.Points))}
	for i := range t.Points {
		p, fault := t.start(i)
		if fault != nil {
			faults = append(faults, fault)
		}
		n.points[i] = p
	}
	if len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	along := unit(float64(t.Marks[1].X-t.Marks[0].X), float64(t.Marks[1].Y-t.Marks[0].Y))
	n.aside = vec{-along.y, along.x}
	var names []Misfit
	for i, p := range t.Points {
		for _, tape := range p.Tapes {
			m := t.Marks[tape.Mark]
			n.tapes = append(n.tapes, tie{a: i, b: None, mark: vec{float64(m.X), float64(m.Y)}, length: float64(tape.Length)})
			names = append(names, Misfit{Point: i, Mark: tape.Mark, Check: None, Taped: tape.Length})
		}
	}
	for i, c := range t.Checks {
		n.tapes = append(n.tapes, tie{a: c.I, b: c.J, length: float64(c.Length)})
		names = append(names, Misfit{Point: c.I, Mark: None, Check: i, Taped: c.Length})
	}
	n.adjust()
	return t.report(n, names)
}

func (t *Ties) report(n *network, names []Misfit) (*Adjustment, error) {
	out := &Adjustment{Points: make([]Point, len(n.points)), Tapes: len(names)}
	for i, p := range n.points {
		out.Points[i] = Point{measure.Length(p.x), measure.Length(p.y)}
	}
	sum, most, worst := 0.0, 0.0, -1.0
	for i := range n.tapes {
		l := &n.tapes[i]
		d := n.between(l)
		names[i].Fits = measure.Length(norm(d.x, d.y))
		off := math.Abs(float64(names[i].Off()))
		sum += float64(off * off)
		most = max(most, off)
		if off > worst+float64(same) { // of equal ones the first, however they are rounded
			worst, out.Worst = off, names[i]
		}
	}
	out.Greatest = measure.Length(most)
	out.RMS = measure.Length(math.Sqrt(sum / float64(len(names))))
	if !(out.Greatest <= t.MisfitMax+same) {
		return nil, &MisfitError{Worst: out.Worst, Allowed: t.MisfitMax}
	}
	return out, nil
}

// unusable lists what keeps ties from being adjusted.
func (t *Ties) unusable() (faults []error) {
	if len(t.Marks) < 2 {
		faults = append(faults, &MarkError{Mark: len(t.Marks)})
	}
	if len(t.Points) == 0 {
		faults = append(faults, &PointCountError{})
	}
	for i, m := range t.Marks {
		if !m.finite() {
			faults = append(faults, &NumberError{What: "mark", Index: i})
			continue
		}
		for _, earlier := range t.Marks[:i] {
			if distance(m, earlier) <= same {
				faults = append(faults, &MarkError{Mark: i})
				break
			}
		}
	}
	usable := func(l measure.Length) bool { return l >= 0 && finite(l) }
	for i, p := range t.Points {
		taped := make(map[int]bool, len(p.Tapes))
		good := true
		for _, tape := range p.Tapes {
			good = good && usable(tape.Length) && tape.Mark >= 0 && tape.Mark < len(t.Marks) && !taped[tape.Mark]
			taped[tape.Mark] = true
		}
		switch {
		case !good:
			faults = append(faults, &NumberError{What: "tape", Index: i})
		case len(taped) < 2:
			faults = append(faults, &FewTapesError{Point: i})
		}
	}
	for i, c := range t.Checks {
		if !usable(c.Length) || c.I == c.J || min(c.I, c.J) < 0 || max(c.I, c.J) >= len(t.Points) {
			faults = append(faults, &NumberError{What: "check", Index: i})
		}
	}
	if !(t.MisfitMax >= 0) || !finite(t.MisfitMax) {
		faults = append(faults, &NumberError{What: "misfit"})
	}
	return faults
}

// start is the place of point i by the two of its tapes that the others fit best.
func (t *Ties) start(i int) (vec, error) {
	p := &t.Points[i]
	type place struct {
		at    vec
		sum   float64 // of squared misfits
		worst float64
	}
	var best [2]*place // to the left and to the right of the line from mark 0 to mark 1
	m0, along := t.Marks[0], towards(t.Marks[0], t.Marks[1])
	hands := [2]float64{1, -1}
	if p.Right {
		hands = [2]float64{-1, 1}
	}
	for k, tape := range p.Tapes {
		for _, other := range p.Tapes[k+1:] {
			for _, hand := range hands {
				at := meetingOf(t.Marks[tape.Mark], t.Marks[other.Mark], float64(tape.Length), float64(other.Length), hand)
				next := &place{at: at}
				for _, tp := range p.Tapes {
					m := t.Marks[tp.Mark]
					off := norm(at.x-float64(m.X), at.y-float64(m.Y)) - float64(tp.Length)
					next.sum += float64(off * off)
					next.worst = max(next.worst, math.Abs(off))
				}
				// On the line a point is on either side.
				out := cross(along.x, along.y, at.x-float64(m0.X), at.y-float64(m0.Y))
				for side, sign := range [2]float64{1, -1} {
					if float64(sign*out) >= -nearLine && (best[side] == nil || next.sum < best[side].sum-equal) {
						best[side] = next
					}
				}
			}
		}
	}
	mine, other := best[0], best[1]
	if p.Right {
		mine, other = other, mine
	}
	most := float64(t.MisfitMax) + same
	if mine == nil || mine.worst > most && other != nil && other.worst <= most {
		return vec{}, &TieSideError{Point: i, Right: !p.Right}
	}
	return mine.at, nil
}

const (
	nearLine = 1e-6  // metres from the line through two marks within which a point is on it
	equal    = 1e-12 // square metres: sums of squared misfits that differ by less are equal
)

// meetingOf is where circles about two marks meet, to the left of the line from the first to the second (hand 1) or to
// the right (-1); where they do not, the place between them from which both are equally far.
func meetingOf(a, b Point, ra, rb, hand float64) vec {
	dx, dy := float64(b.X-a.X), float64(b.Y-a.Y)
	d := norm(dx, dy)
	x, y := 0.0, 0.0
	switch {
	case ra+rb < d:
		x = (ra + d - rb) / 2
	case ra > d+rb:
		x = (ra + d + rb) / 2
	case rb > d+ra:
		x = (d - ra - rb) / 2
	default:
		x = (d + float64((ra-rb)/d)*(ra+rb)) / 2
		y = float64(hand * math.Sqrt(max(0, float64((ra-x)*(ra+x)))))
	}
	ux, uy := dx/d, dy/d
	return vec{float64(a.X) + float64(x*ux) - float64(y*uy), float64(a.Y) + float64(x*uy) + float64(y*ux)}
}
