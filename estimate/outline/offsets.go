package outline

import (
	"errors"
	"fmt"
	"slices"

	"bedline/estimate/measure"
)

// Station is a place on a taped line: so far along the baseline and so far square out from it, to the left if positive.
type Station struct{ Along, Out measure.Length }

// Join tells how a taped line runs between its stations.
type Join uint8

const (
	Straight Join = iota
	Smooth        // arcs with a continuous tangent
)

// StationOrderError tells that a station does not lie farther along the baseline than the one before.
type StationOrderError struct{ Station int }

func (e *StationOrderError) Error() string {
	return fmt.Sprintf("station %d is no farther along than the one before", e.Station)
}

// StationSideError tells that a station lies on the baseline between its ends, or on the other side of it than those
// before.
type StationSideError struct{ Station int }

func (e *StationSideError) Error() string {
	return fmt.Sprintf("station %d is not on the same side of the baseline as the others", e.Station)
}

// Offsets is the outline between a baseline and a line taped from it. The baseline runs from a point, from where
// Along counts, in direction rotate (0 along +x). Side 0 is the baseline from the first to the last station; then
// follow, as they are walked, the square end at the last station if its Out is not zero, the taped line back from
// station to station, one side for each stretch, and the square end at the first station if its Out is not zero.
//
// Joined smoothly, the line is a chain of biarcs: at each inner station parallel to the chord of its neighbours, at
// the ends that of the circle through the first or last three; a stretch is one side, of one or two elements. Between
// two stations it keeps within c/2 tan(a/2) of their straight, c long, where a is the greater angle that its tangents
// make with that. To keep that small, a tangent that would lean from a neighbour's straight by more than 60 degrees
// (or half of the turn at that station, if more) is turned back to that, and at the ends it does not run back past the
// square of its station. Two stations are joined straight.
//
// Errors, all that hold joined: *PointCountError (fewer than two stations), *NumberError ("point" for the start of the
// baseline, "station" i), *StationOrderError, *StationSideError, *CrossingError, *TooSmallError.
func Offsets(at Point, rotate measure.Angle, stations []Station, join Join) (*Outline, error) {
	if faults := unusableStations(at, rotate, stations); len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	along := vector{measure.Cos(rotate), measure.Sin(rotate)}
	place := func(s Station) Point {
		x, y := float64(s.Along), float64(s.Out)
		return Point{
			at.X + measure.Length(float64(x*along.x)-float64(y*along.y)),
			at.Y + measure.Length(float64(x*along.y)+float64(y*along.x)),
		}
	}
	n := len(stations)
	first, last := place(Station{Along: stations[0].Along}), place(Station{Along: stations[n-1].Along})
	points := make([]Point, n)
	for i, s := range stations {
		points[i] = place(s)
	}
	var c chain
	c.add(Line(first, last))
	if zero(stations[n-1].Out) {
		points[n-1] = last
	} else {
		c.add(Line(last, points[n-1]))
	}
	if zero(stations[0].Out) {
		points[0] = first
	}
	if n > 2 && join == Smooth {
		t := tangents(points)
		t[0] = forward(t[0], along)
		t[n-1] = forward(t[n-1], along)
		for i := n - 1; i > 0; i-- {
			c.add(biarc(points[i], points[i-1], t[i].back(), t[i-1].back())...)
		}
	} else {
		for i := n - 1; i > 0; i-- {
			c.add(Line(points[i], points[i-1]))
		}
	}
	if points[0] != first {
		c.add(Line(points[0], first))
	}
	o, err := c.outline()
	if err != nil {
		return nil, err
	}
	o.taped = &Taped{At: at, Rotate: rotate, Stations: slices.Clone(stations)}
	return o, nil
}

func zero(l measure.Length) bool { return max(l, -l) <= same }

// forward turns a direction that runs back along a baseline square to it.
func forward(t, along vector) vector {
	switch {
	case dot(t.x, t.y, along.x, along.y) >= 0:
		return t
	case cross(along.x, along.y, t.x, t.y) >= 0:
		return vector{-along.y, along.x}
	}
	return vector{along.y, -along.x}
}

// unusableStations lists what keeps stations from being joined.
func unusableStations(at Point, rotate measure.Angle, stations []Station) (faults []error) {
	if !at.finite() || !finite(measure.Length(rotate)) {
		faults = append(faults, &NumberError{What: "point"})
	}
	for i, s := range stations {
		if !finite(s.Along) || !finite(s.Out) {
			faults = append(faults, &NumberError{What: "station", Index: i})
		}
	}
	if len(stations) < 2 {
		faults = append(faults, &PointCountError{Points: len(stations)})
	}
	if len(faults) > 0 {
		return faults
	}
	left, known := false, false
	for i, s := range stations {
		if i > 0 && !(s.Along-stations[i-1].Along > same) {
			faults = append(faults, &StationOrderError{Station: i})
		}
		switch inner := i > 0 && i < len(stations)-1; {
		case zero(s.Out):
			if inner {
				faults = append(faults, &StationSideError{Station: i})
			}
		case known && left != (s.Out > 0):
			faults = append(faults, &StationSideError{Station: i})
		default:
			left, known = s.Out > 0, true
		}
	}
	if !known && len(faults) == 0 {
		faults = append(faults, &TooSmallError{})
	}
	return faults
}

// chain gathers the sides of an outline, each of one edge or more.
type chain struct {
	elements []Element
	lines    []Edge
}

// add takes the edges of the next side.
func (c *chain) add(edges ...Edge) {
	side := edges[0]
	for _, e := range edges {
		if side.Straight() {
			side = e // a side of several edges is no straight line, even if one of them is
		}
		c.elements = append(c.elements, Element{Edge: e, Side: len(c.lines), Corner: None})
	}
	c.lines = append(c.lines, side)
}

func (c *chain) outline() (*Outline, error) {
	var faults []error
	for _, e := range c.elements {
		if !e.From.finite() {
			faults = append(faults, &NumberError{What: "side", Index: e.Side})
		}
	}
	if len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	return (&Outline{elements: c.elements, lines: c.lines}).finish()
}
