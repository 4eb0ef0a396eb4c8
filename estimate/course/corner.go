package course

import (
	"bedline/estimate/measure"
)

// Face tells on which side of the bed line the course lies.
type Face uint8

const (
	FaceInside  Face = iota // on the bed's ground, its outer face on the line
	FaceOutside             // beside the bed, its inner face on the line
)

// CornerJoint tells how two runs meet in a sharp corner. W is the width of the course, j the joint and t the angle by
// which the bed line turns there (0 to 180 degrees; the corner itself is 180 - t). The course is on the near side of a
// corner that turns towards it and has to go round one that turns away from it. At an arc its tangent in the corner
// stands for it. What a run gains or loses counts on its longer face.
type CornerJoint uint8

const (
	// AutoJoint butts corners of 90 degrees, within 2, and mitres all others.
	AutoJoint CornerJoint = iota

	// ButtJoint lets the lower-numbered side run through to the bed line of the other, and ends the other against it.
	//
	// Towards the course: the end of the side that runs through is cut along the other side's bed line. The other side
	// starts one joint behind its inner face, cut along that face: on the bed line (W + j)/sin t from the corner. Round
	// the corner: the lower-numbered side ends on the prolonged bed line of the other, and the other reaches back to the
	// inner face of the first, cut along it: on the bed line W/sin t beyond the corner, without a joint. Both cuts are at
	// 90 - t from square and take W/tan t. Corners within 2 degrees of 90 count as square: no cuts, one course width.
	//
	// Where W/tan t is more than the length of a unit along the line the corner is mitred instead, with a notice.
	ButtJoint

	// MitreJoint cuts both ends at t/2 from square, which takes W tan(t/2). Towards the course both runs are measured to
	// the corner on the bed line; round the corner their far faces are longer by W tan(t/2), which is added (by W only
	// beyond 165 degrees, where the tip is left off).
	MitreJoint

	// OpenJoint leaves both ends square and the wedge between them open. Towards the course the inner corners touch, W
	// tan(t/2) from the corner; round the corner the corners on the bed line touch. The wedge has the angle t and is 2 W
	// sin(t/2) wide.
	OpenJoint
)

// CornerChoice is the joint of one corner.
type CornerChoice struct {
	Corner int
	Joint  CornerJoint
}

// EndKind tells how a run ends.
type EndKind uint8

const (
	Free    EndKind = iota // open end, square
	Tangent                // the next run goes on in the same direction
	Through                // at a butted corner: measured to the bed line, the other run ends against it
	Short                  // at a butted corner: ends behind the run that goes through, with a joint
	Long                   // at a butted corner that the course goes round: reaches over the end of the other run
	Mitred                 // cut at half the turn
	Open                   // square, with a wedge left open
)

// End is one end of a run. Turn is the change of direction of the bed line there, counter-clockwise with the course on
// the left: positive at a corner that turns towards the course, negative at one that it goes round.
type End struct {
	Kind   EndKind
	Turn   measure.Angle
	Corner int // number of the sharp corner, or outline.None

	// Back is how far the face on the bed line stays back from the corner, negative where it goes beyond. Added is what
	// the end adds to the length of the run's longer face, below zero where it takes off.
	Back, Added measure.Length

	// Cut is the angle of the end's cut from square, Off what it takes off the shorter face. Both 0 for a square end.
	Cut measure.Angle
	Off measure.Length

	// Gap is the width of the wedge that is left open.
	Gap measure.Length

	// Instead tells that a butt joint was asked for and its cut would take more than a unit.
	Instead bool
}

// join gives the ends of two runs that meet where the bed line turns: that of the lower-numbered side, which runs through
// where they are butted, and that of the other.
func (s Spec) join(turn measure.Angle, joint CornerJoint) (through, other End) {
	w, bend := float64(s.across()), max(turn, -turn)
	right := max(bend-measure.Pi/2, measure.Pi/2-bend) <= rightWithin+angleGuard
	round := turn < 0
	instead := false
	if joint == AutoJoint {
		joint = MitreJoint
		if right {
			joint = ButtJoint
		}
	}
	sin, cos := measure.Sin(bend), measure.Cos(bend)
	if right {
		sin, cos = 1, 0
	}
	if joint == ButtJoint && less(float64(s.along())*sin, max(w*cos, -w*cos)) {
		joint, instead = MitreJoint, true
	}
	switch joint {
	case OpenJoint:
		through = End{Kind: Open, Turn: turn, Gap: measure.Length(2 * w * measure.Sin(bend/2))}
		if !round {
			through.Back = measure.Length(w * measure.Tan(bend/2))
			through.Added = -through.Back
		}
		return through, through
	case MitreJoint:
		off := measure.Length(w * measure.Tan(bend/2))
		through = End{Kind: Mitred, Turn: turn, Cut: bend / 2, Off: off, Instead: instead}
		if round {
			through.Added = off
			if bend > spike {
				through.Added = s.across()
			}
		}
		return through, through
	}
	lean := w * cos / sin // of the end that is cut along the other bed line: its inner face reaches so much farther
	through, other = End{Kind: Through, Turn: turn}, End{Kind: Short, Turn: turn}
	if round {
		lean = -lean
		other.Kind = Long
		other.Back = measure.Length(-w / sin)
	} else {
		other.Back = measure.Length((w + float64(s.Joint)) / sin)
	}
	if !right {
		through.Cut = max(measure.Pi/2-bend, bend-measure.Pi/2)
		through.Off = measure.Length(max(lean, -lean))
		other.Cut, other.Off = through.Cut, through.Off
	}
	through.Added = measure.Length(max(0, lean))
	other.Added = through.Added - other.Back
	return through, other
}

// width is the mean width of the joint that two ends make.
func (e End) width(s Spec) measure.Length {
	if e.Kind == Open {
		return e.Gap / 2
	}
	return s.Joint
}
