package estimate

import (
	"errors"
	"strconv"

	"bedline/estimate/document"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// ring reads one closed line of any kind, but not its holes or islands; nil after a fault. The reader is left open. Where
// the kind is not known, which members belong is not either: known is false, and the reader is not to be closed.
func (b *jobReader) ring(r document.Reader) (o *outline.Outline, known bool) {
	kind, ok := r.Choice("kind", document.Required, "rectangle", "circle", "polygon", "path", "offsets", "ties")
	if !ok {
		return nil, false
	}
	var err error
	switch kind {
	case "rectangle":
		o, err = b.rectangle(r)
	case "circle":
		o, err = b.circle(r)
	case "path":
		o, err = b.path(r)
	case "offsets":
		o, err = b.offsets(r)
	case "ties":
		o, err = b.ties(r)
	default:
		o, err = b.polygon(r)
	}
	b.geometry(r, kind, err)
	if err != nil {
		return nil, true
	}
	return o, true
}

func (b *jobReader) rectangle(r document.Reader) (*outline.Outline, error) {
	at, atOK := outline.Point{}, true
	if r.Has("at") {
		at, atOK = b.point(r, "at", document.Optional)
	}
	length, lengthOK := r.Length("length", document.Required, document.Positive)
	width, widthOK := r.Length("width", document.Required, document.Positive)
	radius, _ := r.Length("corner_radius", document.Optional, document.NotNegative)
	b.points += 4
	if !atOK || !lengthOK || !widthOK || b.faults.Under(r.At("corner_radius")) {
		return nil, nil
	}
	return outline.Rectangle(at, length, width, radius)
}

func (b *jobReader) circle(r document.Reader) (*outline.Outline, error) {
	centre, centreOK := outline.Point{}, true
	if r.Has("centre") {
		centre, centreOK = b.point(r, "centre", document.Optional)
	}
	radius, radiusOK := r.Length("radius", document.Optional, document.Positive)
	diameter, diameterOK := r.Length("diameter", document.Optional, document.Positive)
	switch {
	case r.Has("radius") && r.Has("diameter"):
		b.faults.Add(r.At("diameter"), codeConflict, "is given beside a radius: give one of the two", "")
		return nil, nil
	case !r.Has("radius") && !r.Has("diameter"):
		b.faults.Add(r.At("radius"), codeMissing, "a circle needs its radius or its diameter", `"4 ft"`)
		return nil, nil
	case diameterOK:
		radius, radiusOK = diameter/2, true
	}
	b.points++
	if !centreOK || !radiusOK {
		return nil, nil
	}
	return outline.Circle(centre, radius)
}

func (b *jobReader) polygon(r document.Reader) (*outline.Outline, error) {
	var points []outline.Point
	good := true
	if !r.Each("points", document.Required, 3, maxPoints, func(_ int, v document.Value) {
		p, ok := pointOf(v)
		good = good && ok
		points = append(points, p)
	}) {
		good = false
	}
	b.points += len(points)
	if b.points > maxJobPoints {
		b.faults.Add(r.At("points"), codeTooMany, "brings the points of the job over "+strconv.Itoa(maxJobPoints)+": send its beds in several jobs", "")
		return nil, nil
	}
	var radii []measure.Length
	if r.Has("corner_radii") {
		if !r.Each("corner_radii", document.Optional, 0, maxPoints, func(_ int, v document.Value) {
			radius, ok := v.Length(document.NotNegative)
			good = good && ok
			radii = append(radii, radius)
		}) {
			good = false
		}
		if good && len(radii) != len(points) {
			b.faults.Add(r.At("corner_radii"), "wrong_count", "has "+strconv.Itoa(len(radii))+" radii for "+strconv.Itoa(len(points))+
				" points: give one for each, \"0 in\" for a sharp corner", "")
			return nil, nil
		}
	}
	if !good {
		return nil, nil
	}
	return outline.Polygon(points, radii)
}

// geometry reports what is wrong with an outline, each fault at the member that would have to change.
func (b *jobReader) geometry(r document.Reader, kind string, err error) {
	points := map[string]string{"polygon": "points", "path": "segments", "offsets": "stations", "ties": "points"}[kind]
	for _, e := range unjoin(err) {
		switch {
		case kind == "path" && b.pathFault(r, e), kind == "offsets" && b.offsetsFault(r, e), kind == "ties" && b.tiesFault(r, e):
			continue
		}
		var (
			crossing  *outline.CrossingError
			radius    *outline.RadiusError
			duplicate *outline.DuplicatePointError
			small     *outline.TooSmallError
			far       *outline.NumberError
		)
		switch {
		case errors.As(e, &radius):
			at := r.At("corner_radius")
			if kind == "polygon" {
				at = r.At("corner_radii") + "/" + strconv.Itoa(radius.Corner)
			}
			b.faults.Add(at, codeRadius, "does not fit corner "+strconv.Itoa(radius.Corner)+": at most "+
				both(radius.Largest)+" does, with the radii of its neighbours as they are", quote(exampleLength(radius.Largest)))
		case errors.As(e, &duplicate):
			at := r.Pointer()
			if points != "" {
				at = r.At(points) + "/" + strconv.Itoa(duplicate.Point)
			}
			b.faults.Add(at, codeDuplicatePoint, "is the same point as the one before it: leave one of them out", "")
		case errors.As(e, &far):
			b.faults.Add(tooFar(r, kind, far), codeTooLarge, "reaches farther out than 1,000 km: check the units of its measures", "")
		case errors.As(e, &crossing):
			at := r.Pointer()
			if points != "" {
				at = r.At(points)
			}
			b.faults.Add(at, codeCrossing, "the outline crosses or touches itself: "+crossing.Error(), "")
		case errors.As(e, &small):
			b.faults.Add(r.Pointer(), codeTooSmall, "encloses less than 1 cm2: check the units of its measures", "")
		default:
			b.faults.Add(r.Pointer(), "bad_outline", e.Error(), "")
		}
	}
}

// tooFar is the member that takes an outline farther out than outlines reach.
func tooFar(r document.Reader, kind string, e *outline.NumberError) string {
	polygon := kind == "polygon"
	switch {
	case polygon && e.What == "point":
		return r.At("points") + "/" + strconv.Itoa(e.Index)
	case polygon && e.What == "corner radius":
		return r.At("corner_radii") + "/" + strconv.Itoa(e.Index)
	case polygon:
		return r.At("points")
	case e.What == "corner radius":
		return r.At("corner_radius")
	case e.What == "radius" && r.Has("diameter"):
		return r.At("diameter")
	case e.What == "point" && kind == "circle" && r.Has("centre"):
		return r.At("centre")
	case e.What == "point" && r.Has("at"):
		return r.At("at")
	case e.What == "point":
		return r.Pointer()
	}
	return r.At(e.What)
}

// unjoin lists the errors that errors.Join put together, in order.
func unjoin(err error) []error {
	if err == nil {
		return nil
	}
	if j, ok := err.(interface{ Unwrap() []error }); ok {
		var list []error
		for _, e := range j.Unwrap() {
			list = append(list, unjoin(e)...)
		}
		return list
	}
	return []error{err}
}

// both writes a length in either system, for messages that are read before the units of the answer are known.
func both(l measure.Length) string {
	return measure.FormatLength(l, measure.US) + " (" + measure.FormatLength(l, measure.Metric) + ")"
}

// exampleLength is a length that surely fits under l: whole inches, or whole millimetres when there is no inch of it.
func exampleLength(l measure.Length) string {
	if inches := measure.RoundDown(l.In(measure.Inch)); inches > 0 {
		return strconv.Itoa(inches) + " in"
	}
	return strconv.Itoa(measure.RoundDown(l.In(measure.Millimetre))) + " mm"
}
