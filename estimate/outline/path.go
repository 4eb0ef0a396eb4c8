package outline

import (
	"errors"
	"fmt"
	"math"

	"bedline/estimate/measure"
)

// SegmentKind tells how one segment of a path runs.
type SegmentKind uint8

const (
	LineSegment   SegmentKind = iota // straight to To
	ViaSegment                       // an arc through Via
	RadiusSegment                    // an arc of Radius that turns to Left or Right
	RiseSegment                      // an arc that stands Rise over its chord
)

// Hand tells which way an arc turns as it is walked. An arc that turns left bulges to the right of its chord.
type Hand uint8

const (
	Outward Hand = iota // away from the ground that is enclosed when this arc is drawn as its chord
	Left
	Right
)

// Segment is one side of a path, from where the one before ends.
type Segment struct {
	Kind   SegmentKind
	To     Point
	Via    Point
	Radius measure.Length // more than zero
	Rise   measure.Length // more than zero; more than half the chord makes more than a half circle
	Turn   Hand           // Outward only with Rise
	Large  bool           // with Radius: the longer way round
}

// closes is how far the end of a path may be from its start; a tape laid out by hand closes no better.
const closes = measure.Millimetre

// OpenPathError tells that the last segment of a path does not end where the first starts.
type OpenPathError struct {
	Segment int
	Misses  measure.Length
}

func (e *OpenPathError) Error() string {
	return fmt.Sprintf("segment %d misses the start by %.4g m", e.Segment, float64(e.Misses))
}

// ArcFault tells why there is no arc.
type ArcFault uint8

const (
	ViaOnLine   ArcFault = iota // Via lies on the straight through the ends, or the arc is as good as straight
	ShortRadius                 // the radius is less than half of the chord
	NoSize                      // Radius or Rise is not more than zero, or Turn does not say which way
)

// ArcError tells that a segment has no such arc.
type ArcError struct {
	Segment int
	Fault   ArcFault
	Least   measure.Length // for ShortRadius: half of the chord
}

func (e *ArcError) Error() string {
	switch e.Fault {
	case ViaOnLine:
		return fmt.Sprintf("segment %d runs straight through its point between", e.Segment)
	case ShortRadius:
		return fmt.Sprintf("the radius of segment %d is too short for its ends, %.4g m is the least", e.Segment, float64(e.Least))
	}
	return fmt.Sprintf("segment %d has no radius or rise to turn by", e.Segment)
}

// Path is the outline of lines and arcs laid end to end from a start: segment i is side i. The last ends at the
// start; what it misses up to 1 mm is closed by moving its end. A rise so flat that its radius is more than 1e6 m is
// a straight line.
//
// Errors, all that hold joined: *PointCountError, *NumberError ("point" 0 for the start, "segment" i), *OpenPathError,
// *DuplicatePointError (a segment without length), *ArcError, *CrossingError, *TooSmallError.
func Path(start Point, segments []Segment) (*Outline, error) {
	var faults []error
	if !start.finite() {
		faults = append(faults, &NumberError{What: "point"})
	}
	for i := range segments {
		if !segments[i].finite() {
			faults = append(faults, &NumberError{What: "segment", Index: i})
		}
	}
	if len(segments) < 2 {
		faults = append(faults, &PointCountError{Points: len(segments)})
	}
	if len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	last := len(segments) - 1
	if misses := distance(segments[last].To, start); misses > closes+same {
		faults = append(faults, &OpenPathError{Segment: last, Misses: misses})
	}
	edges := make([]Edge, len(segments))
	from := start
	for i, s := range segments {
		if i == last && len(faults) == 0 {
			s.To = start
		}
		e, fault := s.edge(i, from)
		if fault != nil {
			faults = append(faults, fault)
		}
		edges[i], from = e, s.To
	}
	if len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	swellOut(edges, segments)
	return Chain(edges)
}

func (s *Segment) finite() bool {
	return s.To.finite() && (s.Kind != ViaSegment || s.Via.finite()) && (s.Kind != RadiusSegment || finite(s.Radius)) &&
		(s.Kind != RiseSegment || finite(s.Rise))
}

// edge is segment i from a point on; Outward arcs turn left for now.
func (s *Segment) edge(i int, from Point) (Edge, error) {
	chord := float64(distance(from, s.To))
	if chord <= same {
		return Edge{}, &DuplicatePointError{Point: i}
	}
	switch s.Kind {
	case ViaSegment:
		// The straights to and from a point on an arc meet at half of its turn (inscribed angle).
		ax, ay := float64(s.Via.X-from.X), float64(s.Via.Y-from.Y)
		bx, by := float64(s.To.X-s.Via.X), float64(s.To.Y-s.Via.Y)
		off := math.Abs(cross(ax, ay, float64(s.To.X-from.X), float64(s.To.Y-from.Y))) / chord
		e := arcTurning(from, s.To, 2*measure.Atan2(cross(ax, ay, bx, by), dot(ax, ay, bx, by)))
		if off <= same || e.Straight() {
			return Edge{}, &ArcError{Segment: i, Fault: ViaOnLine}
		}
		return e, nil
	case RadiusSegment:
		r, half := float64(s.Radius), chord/2
		switch {
		case !(r > 0) || s.Turn == Outward:
			return Edge{}, &ArcError{Segment: i, Fault: NoSize}
		case r < half-float64(half*fits):
			return Edge{}, &ArcError{Segment: i, Fault: ShortRadius, Least: measure.Length(half)}
		}
		r = math.Max(r, half)
		turn := 2 * measure.Atan2(half, math.Sqrt((r-half)*(r+half)))
		if s.Large {
			turn = 2*measure.Pi - turn
		}
		if s.Turn == Right {
			turn = -turn
		}
		return arcTurning(from, s.To, turn), nil
	case RiseSegment:
		if !(s.Rise > 0) {
			return Edge{}, &ArcError{Segment: i, Fault: NoSize}
		}
		// Half of the chord and the rise are the legs of a quarter of the turn: r = (c^2/4 + h^2) / 2h.
		turn := 4 * measure.Atan2(float64(s.Rise), chord/2)
		if s.Turn == Right {
			turn = -turn
		}
		return arcTurning(from, s.To, turn), nil
	}
	return Line(from, s.To), nil
}

// arcTurning is the arc between two points that turns by an angle, to the left if positive: the straight line if that
// is 0, or so little that the radius is beyond 1e6 m.
func arcTurning(from, to Point, turn measure.Angle) Edge {
	half := float64(distance(from, to)) / 2
	sin, cos := measure.Sin(turn/2), measure.Cos(turn/2)
	r := half / math.Abs(sin)
	if turn == 0 || !(r <= reach) {
		return Line(from, to)
	}
	// The centre is on the left of the middle of the chord by half / tan(turn/2).
	f := cos / sin / 2
	dx, dy := float64(to.X-from.X), float64(to.Y-from.Y)
	return Edge{
		From: from, To: to,
		Centre: Point{
			(from.X+to.X)/2 - measure.Length(dy*f),
			(from.Y+to.Y)/2 + measure.Length(dx*f),
		},
		Radius: measure.Length(r), Turn: turn,
	}
}

// swellOut turns the arcs that are to bulge outward. Inside is the ground that the path encloses with those arcs drawn
// as chords; where that is none the path counts as counter-clockwise.
func swellOut(edges []Edge, segments []Segment) {
	chords := make(Loop, len(edges))
	size := 0.0
	for i, e := range edges {
		if segments[i].Kind == RiseSegment && segments[i].Turn == Outward {
			e = Line(e.From, e.To)
		}
		chords[i] = e
		size += float64(e.Length())
	}
	if area := float64(chords.Area()); area >= -float64(1e-12*size)*size {
		return
	}
	for i, s := range segments {
		if s.Kind == RiseSegment && s.Turn == Outward && !edges[i].Straight() {
			edges[i] = arcTurning(edges[i].From, edges[i].To, -edges[i].Turn)
		}
	}
}
