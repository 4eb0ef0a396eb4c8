package estimate

import (
	"errors"
	"strconv"

	"bedline/estimate/document"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

func (b *jobReader) path(r document.Reader) (*outline.Outline, error) {
	start, good := b.point(r, "start", document.Required)
	var segments []outline.Segment
	if !r.Each("segments", document.Required, 2, maxPoints, func(_ int, v document.Value) {
		s, ok := b.segment(v)
		good = good && ok
		segments = append(segments, s)
	}) {
		good = false
	}
	if !b.roomFor(r, "segments", len(segments)) || !good {
		return nil, nil
	}
	return outline.Path(start, segments)
}

// segment reads one side of a path: {line_to}, {arc_to, via}, {arc_to, radius, turn, large} or {arc_to, rise, turn}.
func (b *jobReader) segment(v document.Value) (outline.Segment, bool) {
	var s outline.Segment
	r, good := v.Object()
	if !good {
		return s, false
	}
	defer r.Close()
	if r.Has("line_to") {
		s.To, good = b.point(r, "line_to", document.Required)
		for _, name := range [...]string{"arc_to", "via", "radius", "rise"} {
			if r.Has(name) {
				b.faults.Add(r.At("line_to"), codeConflict, "is given beside "+name+": a segment is a line or an arc", "")
				good = false
			}
		}
		return s, good
	}
	if !r.Has("arc_to") && !r.Has("via") && !r.Has("radius") && !r.Has("rise") {
		b.faults.Add(r.At("via"), codeMissing, "a segment needs line_to, or arc_to with via, radius or rise", `["11 ft","8 ft"]`)
		return s, false
	}
	s.To, good = b.point(r, "arc_to", document.Required)
	given, ok := "", false
	for _, name := range [...]string{"via", "radius", "rise"} {
		switch {
		case !r.Has(name):
		case given != "":
			b.faults.Add(r.At(name), codeConflict, "is given beside "+given+": an arc takes one of them", "")
			good = false
		default:
			given = name
		}
	}
	turn := document.Optional
	switch given {
	case "via":
		s.Kind = outline.ViaSegment
		s.Via, ok = b.point(r, "via", document.Required)
		return s, ok && good
	case "radius":
		s.Kind, turn = outline.RadiusSegment, document.Required
		s.Radius, ok = r.Length("radius", document.Required, document.Positive)
		s.Large, _ = r.Bool("large", document.Optional)
	case "rise":
		s.Kind = outline.RiseSegment
		s.Rise, ok = r.Length("rise", document.Required, document.Positive)
	default:
		b.faults.Add(r.At("via"), codeMissing, "an arc needs a point that it runs through (via), its radius or its rise", `["11 ft","8 ft"]`)
	}
	word, turnOK := r.Choice("turn", turn, "left", "right")
	switch word {
	case "left":
		s.Turn = outline.Left
	case "right":
		s.Turn = outline.Right
	}
	return s, ok && good && (turnOK || turn == document.Optional)
}

// pathFault reports a fault that only paths have; false for any other.
func (b *jobReader) pathFault(r document.Reader, e error) bool {
	at := func(i int, members ...string) string {
		place := r.At("segments") + "/" + strconv.Itoa(i)
		if items := r.Node().Member("segments"); items != nil && i < len(items.Items) {
			for _, m := range members {
				if items.Items[i].Member(m) != nil {
					return place + "/" + m
				}
			}
		}
		return place
	}
	var (
		open      *outline.OpenPathError
		arc       *outline.ArcError
		duplicate *outline.DuplicatePointError
		far       *outline.NumberError
	)
	switch {
	case errors.As(e, &open):
		start := ""
		if n := r.Node().Member("start"); n != nil && len(n.Items) == 2 {
			start = `["` + n.Items[0].Text + `","` + n.Items[1].Text + `"]`
		}
		b.faults.Add(at(open.Segment, "line_to", "arc_to"), codeNotClosed, "misses the start of the path by "+both(open.Misses)+
			": the last segment ends where the path starts, within 1 mm", start)
	case errors.As(e, &arc) && arc.Fault == outline.ShortRadius:
		b.faults.Add(at(arc.Segment, "radius"), codeRadius, "is too short for an arc between its two ends: at least "+both(arc.Least)+" is needed", quote(exampleAbove(arc.Least)))
	case errors.As(e, &arc):
		b.faults.Add(at(arc.Segment, "via", "arc_to"), codeStraightArc, "lies on the straight line through the ends of the arc: use line_to, or a point farther off", "")
	case errors.As(e, &duplicate):
		b.faults.Add(at(duplicate.Point, "line_to", "arc_to"), codeDuplicatePoint, "is where the segment starts: leave it out", "")
	case errors.As(e, &far) && far.What == "point":
		b.faults.Add(r.At("start"), codeTooLarge, tooFarOut, "")
	case errors.As(e, &far):
		b.faults.Add(at(far.Index), codeTooLarge, tooFarOut, "")
	default:
		return false
	}
	return true
}

const tooFarOut = "reaches farther out than 1,000 km: check the units of its measures"

// roomFor counts the points of an outline; false when they are too many for the job.
func (b *jobReader) roomFor(r document.Reader, member string, points int) bool {
	b.points += points
	if b.points > maxJobPoints {
		b.faults.Add(r.At(member), codeTooMany, "brings the points of the job over "+strconv.Itoa(maxJobPoints)+": send its beds in several jobs", "")
		return false
	}
	return true
}

// exampleAbove is a length that surely is not under l: whole inches.
func exampleAbove(l measure.Length) string {
	return strconv.Itoa(measure.RoundUp(l.In(measure.Inch))) + " in"
}
