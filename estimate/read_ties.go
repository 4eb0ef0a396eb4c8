package estimate

import (
	"errors"
	"strconv"

	"bedline/estimate/document"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

const (
	maxMarks   = 12
	maxTapes   = 20000            // of a job, checks included
	mostMisfit = 2 * measure.Inch // of any tape, unless the request sets another
)

// ties reads points that are taped from marks and adjusts them; the adjustment is left in b.adjusted.
func (b *jobReader) ties(r document.Reader) (*outline.Outline, error) {
	t := outline.Ties{MisfitMax: mostMisfit}
	known := true
	good := r.Each("marks", document.Required, 2, maxMarks, func(_ int, v document.Value) {
		p, ok := pointOf(v)
		known = known && ok
		t.Marks = append(t.Marks, p)
	})
	good = good && known
	if !r.Each("points", document.Required, 3, maxPoints, func(_ int, v document.Value) {
		p, ok := b.tiedPoint(v, len(t.Marks))
		good = good && ok
		t.Points = append(t.Points, p)
	}) {
		good = false
	}
	if !b.roomFor(r, "points", len(t.Points)) {
		return nil, nil
	}
	last := max(0, len(t.Points)-1)
	if r.Has("right_of_marks") && !r.Each("right_of_marks", document.Optional, 0, maxPoints, func(_ int, v document.Value) {
		i, ok := v.Int(0, last)
		if good = good && ok; ok && i < len(t.Points) {
			t.Points[i].Right = true
		}
	}) {
		good = false
	}
	if r.Has("checks") && !r.Each("checks", document.Optional, 0, maxPoints, func(_ int, v document.Value) {
		c, ok := b.check(v, last)
		good = good && ok
		t.Checks = append(t.Checks, c)
	}) {
		good = false
	}
	if r.Has("misfit_max") {
		var ok bool
		t.MisfitMax, ok = r.Length("misfit_max", document.Optional, document.NotNegative)
		good = good && ok
	}
	b.tapes += len(t.Checks)
	for _, p := range t.Points {
		b.tapes += len(p.Tapes)
	}
	if b.tapes > maxTapes {
		b.faults.Add(r.At("points"), codeTooMany, "brings the tapes of the job over "+strconv.Itoa(maxTapes)+": send its beds in several jobs", "")
		return nil, nil
	}
	if !good {
		return nil, nil
	}
	adjusted, err := outline.Adjust(t)
	if err != nil {
		return nil, err
	}
	b.adjusted = adjusted
	return outline.Polygon(adjusted.Points, nil)
}

// tiedPoint reads the distances of one point, one for each mark, null where it is not taped.
func (b *jobReader) tiedPoint(v document.Value, marks int) (outline.TiedPoint, bool) {
	var p outline.TiedPoint
	good := true
	whole := v.Each(2, maxMarks, func(i int, at document.Value) {
		if at.IsNull() {
			return
		}
		l, ok := at.Length(document.NotNegative)
		good = good && ok
		p.Tapes = append(p.Tapes, outline.Tape{Mark: i, Length: l})
	})
	if n := len(v.Node().Items); whole && n != marks {
		b.faults.Add(v.Pointer(), "wrong_count", "has "+strconv.Itoa(n)+" distances for "+strconv.Itoa(marks)+" marks: give one for each, null where it is not taped", "")
		return p, false
	}
	if whole && good && len(p.Tapes) < 2 {
		b.fewTapes(v.Pointer())
		return p, false
	}
	return p, whole && good
}

func (b *jobReader) fewTapes(at string) {
	b.faults.Add(at, codeFewTapes, "needs tapes to at least two marks: with one it could lie anywhere on a circle", "")
}

// check reads [i, j, length].
func (b *jobReader) check(v document.Value, last int) (outline.Check, bool) {
	var c outline.Check
	good := true
	whole := v.Each(3, 3, func(i int, at document.Value) {
		var ok bool
		switch i {
		case 0:
			c.I, ok = at.Int(0, last)
		case 1:
			if c.J, ok = at.Int(0, last); ok && c.J == c.I {
				at.Fault("duplicate_item", "is the same point as the first: a check is taped between two points", "")
				ok = false
			}
		default:
			c.Length, ok = at.Length(document.Positive)
		}
		good = good && ok
	})
	return c, whole && good
}

// tiesFault reports a fault that only ties have; false for any other.
func (b *jobReader) tiesFault(r document.Reader, e error) bool {
	item := func(member string, i int) string { return r.At(member) + "/" + strconv.Itoa(i) }
	var (
		mark   *outline.MarkError
		few    *outline.FewTapesError
		side   *outline.TieSideError
		misfit *outline.MisfitError
		far    *outline.NumberError
	)
	switch {
	case errors.As(e, &mark):
		b.faults.Add(item("marks", mark.Mark), codeDuplicatePoint, "is the same place as an earlier mark", "")
	case errors.As(e, &few):
		b.fewTapes(item("points", few.Point))
	case errors.As(e, &side):
		where, how := "to the right", "list the point in right_of_marks, or tape it again"
		if !side.Right {
			where, how = "to the left", "take the point out of right_of_marks, or tape it again"
		}
		b.faults.Add(item("points", side.Point), codeWrongSide, "has tapes that meet only "+where+" of the line from the first mark to the second: "+how, "")
	case errors.As(e, &misfit):
		w := misfit.Worst
		at := item("points", w.Point) + "/" + strconv.Itoa(w.Mark)
		if w.Check != outline.None {
			at = item("checks", w.Check) + "/2"
		}
		b.faults.Add(at, codeMisfit, "does not meet the other tapes: where all of them fit best it would be "+both(w.Fits)+", off by "+both(max(w.Off(), -w.Off()))+
			", and "+both(misfit.Allowed)+" is allowed; tape it again, or set misfit_max", "")
	case errors.As(e, &far) && far.What == "misfit":
		b.faults.Add(r.At("misfit_max"), codeTooLarge, tooFarOut, "")
	case errors.As(e, &far):
		member := "points"
		if far.What == "mark" || far.What == "check" {
			member = far.What + "s"
		}
		b.faults.Add(item(member, far.Index), codeTooLarge, tooFarOut, "")
	default:
		return false
	}
	return true
}

// noticedMisfit is the misfit of a tape from which people are told.
const noticedMisfit = measure.Inch / 2

// tieNotices tell where the tapes of a bed do not quite meet.
func (t *taker) tieNotices() {
	for i := range t.job.Beds {
		bed := &t.job.Beds[i]
		t.tieNotice("the tapes of bed "+bed.ID, bed.Ties, bed.Pointer+"/outline")
		for _, r := range bed.RingTies {
			t.tieNotice("the tapes of "+ringWord(r.Hole, r.Island)+" of bed "+bed.ID, r.Adjustment, r.Pointer)
		}
	}
}

func (t *taker) tieNotice(what string, ties *outline.Adjustment, pointer string) {
	if ties == nil || ties.Greatest <= noticedMisfit+measure.Millimetre/1000 {
		return
	}
	w := ties.Worst
	tape, where := "the tape from point "+count(w.Point)+" to mark "+count(w.Mark), pointer+"/points/"+count(w.Point)+"/"+count(w.Mark)
	if w.Check != outline.None {
		tape, where = "check "+count(w.Check), pointer+"/checks/"+count(w.Check)
	}
	t.notice("tie_misfit", Confirm, what+" do not quite meet: "+tape+" was read as "+t.pencil.length(w.Taped)+" and would fit the others at "+
		t.pencil.length(w.Fits)+", "+t.pencil.depth(max(w.Off(), -w.Off()))+" off; tape it again before setting out", where, "")
}

// ringWord names a hole or an island of it.
func ringWord(hole, island int) string {
	if island == outline.None {
		return "hole " + count(hole)
	}
	return "island " + count(island) + " of hole " + count(hole)
}
