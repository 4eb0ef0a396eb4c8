package course

import (
	"errors"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// Course is a course as laid.
type Course struct {
	Runs   []Run // in the order of the request's sides, from the lowest on
	Closed bool  // the course runs all the way round, holes and islands included

	// EdgedLength is the length of bed line that is edged, with nothing taken off at corners.
	EdgedLength measure.Length
	Units       Units

	// Joints are all places where two units meet, changes of run included. JointLength is their length together across
	// the course, JointVolume what fills them.
	Joints      int
	JointLength measure.Length
	JointVolume measure.Volume

	Cuts      []Cut
	SawPasses int // one for every cut

	// Width is that of the course, TrenchWidth that of the trench under it.
	Width, TrenchWidth measure.Length

	// Band is the ground under the course, the whole of it at corners whatever their joint, and Trench the ground dug for
	// it: the band with the clearance on both sides but not at open ends. Both are unions of one loop per run, with arcs
	// kept as arcs.
	Band, Trench outline.Region

	Notices []Notice
}

// NoticeKind tells what to look at.
type NoticeKind uint8

const (
	WideJoint NoticeKind = iota // joints of the run are wider than JointMax: Size against Limit
	NoRoom                      // the neighbours leave no room for a unit in the run: Size is the bed line's length
	LongCut                     // the cut at an end takes more than the length of the piece there: Size against Limit
	NotButted                   // a corner to be butted is mitred: the butt's cut would take more than one unit
)

// Notice is something that the crew should know about one run.
type Notice struct {
	Kind         NoticeKind
	Run          int // index in Runs
	Side, Corner int
	Size, Limit  measure.Length
}

// Lay lays a course round an outline. All faults are given together, joined: *UnitError, *SpecError, *UnknownSideError,
// *RepeatedSideError, *UnknownCornerError, *RepeatedCornerError, *NoCornerError, *RepeatedJointError, *TightRadiusError.
func Lay(o *outline.Outline, s Spec) (*Course, error) {
	faulty := s.check()
	if faulty != nil { // corners can be worked out of sound numbers only
		_, err := newChain(o, Spec{Sides: s.Sides, Corners: s.Corners, Face: s.Face, CornerJoints: s.CornerJoints})
		return nil, errors.Join(faulty, err)
	}
	ch, faulty := newChain(o, s)
	if faulty != nil {
		return nil, faulty
	}
	c := &Course{Closed: ch.closed(), Width: s.across(), TrenchWidth: s.across() + 2*s.Clearance}
	c.Runs = make([]Run, 0, len(ch.elements))
	runOf := make([]int, len(ch.elements))
	var faults []error
	for _, i := range ch.order() {
		if !ch.edged[i] {
			continue
		}
		r, err := newRun(ch, i, s)
		if err != nil {
			faults = append(faults, err)
			continue
		}
		runOf[i] = len(c.Runs)
		c.Runs = append(c.Runs, r)
	}
	if err := errors.Join(faults...); err != nil {
		return nil, err
	}
	meetings, widths := c.meetings(ch, runOf, s)
	c.total(s, meetings, widths)
	c.notice(s)
	c.Band = ch.strips(0, s.across())
	c.Trench = ch.strips(-s.Clearance, s.across()+s.Clearance)
	return c, nil
}

// meetings counts the joints between runs, where both have a unit, and adds up their mean widths.
func (c *Course) meetings(ch *chain, runOf []int, s Spec) (joints int, widths float64) {
	for i := range ch.elements {
		k := ch.next[i]
		if i != k && ch.edged[i] && ch.edged[k] && c.Runs[runOf[i]].Units.Total > 0 && c.Runs[runOf[k]].Units.Total > 0 {
			joints++
			widths += float64(ch.ends[i][1].width(s))
		}
	}
	return joints, widths
}

// total adds up the runs and the joints between them.
func (c *Course) total(s Spec, meetings int, widths float64) {
	c.Joints = meetings
	c.Cuts = make([]Cut, 0, mostCuts*len(c.Runs))
	for k := range c.Runs {
		r := &c.Runs[k]
		c.EdgedLength += r.Length
		c.Units.Whole += r.Units.Whole
		c.Units.Cut += r.Units.Cut
		c.Units.Total += r.Units.Total
		c.Joints += r.Joints
		widths += float64(float64(r.Joints) * float64(r.JointWidth))
		from := len(c.Cuts)
		c.Cuts = appendCuts(c.Cuts, k, r, &s)
		for _, cut := range c.Cuts[from:] {
			r.SawPasses += cut.Count
		}
		c.SawPasses += r.SawPasses
	}
	depth := s.JointDepth
	if depth == 0 {
		depth = s.Unit.Thickness
	}
	c.JointLength = s.across().Scale(measure.Factor(c.Joints))
	c.JointVolume = s.across().Times(measure.Length(widths)).AtDepth(depth)
}

// notice looks for what the crew should know.
func (c *Course) notice(s Spec) {
	for k := range c.Runs {
		r := &c.Runs[k]
		note := func(kind NoticeKind, size, limit measure.Length) {
			c.Notices = append(c.Notices, Notice{Kind: kind, Run: k, Side: r.Side, Corner: r.Corner, Size: size, Limit: limit})
		}
		if r.Units.Total == 0 {
			note(NoRoom, r.Length, 0)
			continue
		}
		if wide := max(r.Gap, r.JointWidth); r.Joints > 0 && less(float64(max(s.JointMax, s.Joint)), float64(wide)) {
			note(WideJoint, wide, s.JointMax)
		}
		for k, end := range [...]End{r.First, r.Last} {
			if end.Instead && end.Corner == r.Side { // each corner has one run whose side has its number
				note(NotButted, s.across().Scale(measure.Factor(1/max(measure.Tan(end.Turn), -measure.Tan(end.Turn)))), s.along())
			}
			if piece := r.endPiece(k == 1, s); less(float64(piece), float64(end.Off)) {
				note(LongCut, end.Off, piece)
			}
		}
	}
}

// Haunch is the volume of a triangular fillet of legs h along the edged length on the bed side: h^2/2 a length.
func (c *Course) Haunch(h measure.Length) measure.Volume {
	return (h.Times(h) / 2).AtDepth(c.EdgedLength)
}

// WallGap is the volume of the clearance on the outer side of the course over the thickness of the units.
func (c *Course) WallGap(s Spec) measure.Volume {
	return s.Clearance.Times(s.Unit.Thickness).AtDepth(c.EdgedLength)
}
