package estimate

import (
	"errors"
	"strconv"

	"bedline/estimate/document"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

func (b *jobReader) offsets(r document.Reader) (*outline.Outline, error) {
	at, good := outline.Point{}, true
	if r.Has("at") {
		at, good = b.point(r, "at", document.Optional)
	}
	var rotate measure.Angle
	if r.Has("rotate") {
		degrees, ok := r.Number("rotate", document.Optional, -360, 360)
		rotate, good = measure.Degrees(float64(degrees)), good && ok
	}
	join := outline.Straight
	if r.Has("join") {
		word, ok := r.Choice("join", document.Optional, "straight", "smooth")
		good = good && ok
		if word == "smooth" {
			join = outline.Smooth
		}
	}
	var stations []outline.Station
	if !r.Each("stations", document.Required, 2, maxPoints, func(_ int, v document.Value) {
		p, ok := pointOf(v)
		good = good && ok
		stations = append(stations, outline.Station{Along: p.X, Out: p.Y})
	}) {
		good = false
	}
	if !b.roomFor(r, "stations", len(stations)) || !good {
		return nil, nil
	}
	return outline.Offsets(at, rotate, stations, join)
}

// offsetsFault reports a fault that only taped lines have; false for any other.
func (b *jobReader) offsetsFault(r document.Reader, e error) bool {
	station := func(i int) string { return r.At("stations") + "/" + strconv.Itoa(i) }
	var (
		order *outline.StationOrderError
		side  *outline.StationSideError
		far   *outline.NumberError
	)
	switch {
	case errors.As(e, &order):
		b.faults.Add(station(order.Station)+"/0", codeNotRising, "is no farther along the baseline than the station before: stations run one way", "")
	case errors.As(e, &side):
		b.faults.Add(station(side.Station)+"/1", codeCrossing, "takes the taped line onto or over the baseline: only the first and the last station may lie on it, and all others on one side", "")
	case errors.As(e, &far) && far.What == "station":
		b.faults.Add(station(far.Index), codeTooLarge, tooFarOut, "")
	case errors.As(e, &far) && r.Has("at"):
		b.faults.Add(r.At("at"), codeTooLarge, tooFarOut, "")
	case errors.As(e, &far):
		b.faults.Add(r.At("stations"), codeTooLarge, tooFarOut, "")
	default:
		return false
	}
	return true
}
