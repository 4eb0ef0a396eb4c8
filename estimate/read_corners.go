package estimate

import (
	"strconv"

	"bedline/estimate/course"
	"bedline/estimate/document"
)

// jointWords are the joints of corners as a request says them, by their number.
var jointWords = [...]string{"auto", "butt", "mitre", "open"}

// corners reads on which side of the bed line a course lies, and how its runs meet in sharp corners. sides is the number
// of sides of the outline, 0 where it could not be read.
func (b *jobReader) corners(r document.Reader, spec *CourseSpec, sides int) {
	if face, _ := r.Choice("face", document.Optional, "inside", "outside"); face == "outside" {
		spec.Laying.Face = course.FaceOutside
	}
	spec.Laying.CornerJoint, _ = cornerJoint(r, "corner_joint", document.Optional)
	if !r.Has("corner_joints") {
		return
	}
	seen := map[int]bool{}
	r.Each("corner_joints", document.Optional, 0, maxPoints, func(_ int, v document.Value) {
		jr, ok := v.Object()
		if !ok {
			return
		}
		defer jr.Close()
		corner, cornerOK := jr.Int("corner", document.Required, 0, maxPoints-1)
		joint, jointOK := cornerJoint(jr, "joint", document.Required)
		switch {
		case !cornerOK || !jointOK:
		case sides > 0 && corner >= sides:
			b.faults.Add(jr.At("corner"), codeUnknownCorner, "the outline has no such corner: they are numbered from 0 to "+strconv.Itoa(sides-1), "0")
		case seen[corner]:
			b.faults.Add(jr.At("corner"), "duplicate_item", "stands in the list already", "")
		default:
			seen[corner] = true
			spec.Laying.CornerJoints = append(spec.Laying.CornerJoints, course.CornerChoice{Corner: corner, Joint: joint})
			spec.choices = append(spec.choices, jr.At("corner"))
		}
	})
}

// cornerJoint reads the joint of a corner.
func cornerJoint(r document.Reader, member string, presence document.Presence) (course.CornerJoint, bool) {
	word, ok := r.Choice(member, presence, jointWords[:]...)
	for i, w := range jointWords {
		if w == word {
			return course.CornerJoint(i), ok
		}
	}
	return course.AutoJoint, false
}
