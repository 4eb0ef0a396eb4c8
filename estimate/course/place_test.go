package course_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate/course"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// lies measures pieces against the ground of their course: the area of all faces, what lies outside the band, and what
// two of them share, in square inches.
func lies(c *course.Course, pieces []course.Piece) (faces, off, shared float64) {
	all := make(outline.Region, 0, len(pieces))
	for _, p := range pieces {
		all = append(all, p.Loop)
		faces += float64(p.Loop.Area()) / inch2
	}
	shares := outline.Divide([]outline.Region{all, c.Band}, 3, func(cover outline.Cover) int {
		switch {
		case !cover.Has(0):
			return 2
		case cover.Has(1):
			return 0
		}
		return 1
	})
	on := float64(shares[0].Area) / inch2
	off = float64(shares[1].Area) / inch2
	return faces, off, faces - on - off
}

func TestEveryUnitIsPlacedInsideTheBandAndOverNoOther(t *testing.T) {
	t.Parallel()
	at := func(x, y float64) outline.Point { return inches(x, y)[0] }
	square := bed(t, 120*inch, 80*inch)
	round := polygon(t, inches(0, 0, 200, 0, 200, 100, 0, 100), 0, 40*inch, 0, 24*inch)
	hex := polygon(t, hexagon(60))
	ell := polygon(t, inches(0, 0, 120, 0, 120, 60, 60, 60, 60, 120, 0, 120))
	leaning := polygon(t, inches(0, 0, 150, 0, 190, 90, 30, 110))
	pool, err := outline.Circle(at(0, 0), 50*inch)
	require.NoError(t, err)
	for name, o := range map[string]*outline.Outline{"a rectangle": square, "rounded corners": round, "a hexagon": hex, "an L": ell, "leaning sides": leaning, "a circle": pool,
		"a yard with holes": yard(t)} {
		for _, kind := range []course.Kind{course.Sailor, course.Soldier} {
			for _, joint := range []course.CornerJoint{course.AutoJoint, course.ButtJoint, course.MitreJoint, course.OpenJoint} {
				for _, face := range []course.Face{course.FaceInside, course.FaceOutside} {
					for _, curves := range []course.Curves{course.CutCurves, course.OpenCurves} {
						s := cobble()
						s.Kind, s.CornerJoint, s.Face, s.Curves, s.JointMax = kind, joint, face, curves, inch
						c, err := course.Lay(o, s)
						require.NoError(t, err, name)
						pieces := c.Pieces(s)
						require.Len(t, pieces, c.Units.Total, name)
						cut := 0
						for _, p := range pieces {
							if p.Cut {
								cut++
							}
						}
						assert.Equal(t, c.Units.Cut, cut, "%s: cut units", name)
						if name == "a yard with holes" && kind == course.Soldier && face == course.FaceOutside {
							continue // the courses of hole and island take the same ground there
						}
						faces, off, shared := lies(c, pieces)
						what := []any{"%s kind %d joint %d face %d curves %d: %.3f in2 of faces", name, kind, joint, face, curves, faces}
						// Faces stand straight where the line is bent: by at most 2/3 of L^2/8r of the width, here 8^2/(8 x 24)/4.
						assert.InDelta(t, 0, off, 0.03*faces, what...)
						assert.InDelta(t, 0, shared, 0.004*faces, what...)
					}
				}
			}
		}
	}
}

func TestFacesAndJointsFillTheBandOfAStraightCourse(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		long, wide := rapid.Float64Range(40, 400).Draw(t, "length"), rapid.Float64Range(40, 300).Draw(t, "width")
		s := cobble()
		s.Kind = rapid.SampledFrom([]course.Kind{course.Sailor, course.Soldier}).Draw(t, "kind")
		s.CornerJoint = rapid.SampledFrom([]course.CornerJoint{course.ButtJoint, course.MitreJoint}).Draw(t, "corner")
		s.Joint = measure.Length(rapid.Float64Range(0, 0.4).Draw(t, "joint")) * inch
		c := lay(t, bed(t, measure.Length(long)*inch, measure.Length(wide)*inch), s)
		faces, off, shared := lies(c, c.Pieces(s))
		require.InDelta(t, 0, off, 1e-4)
		require.InDelta(t, 0, shared, 1e-4)
		var band measure.Area
		for _, loop := range c.Band {
			band += loop.Area()
		}
		joints := float64(c.JointVolume) / float64(s.Unit.Thickness) / inch2
		if s.CornerJoint == course.MitreJoint { // mitres are measured to the corner: the joint there is in the units
			return
		}
		require.InDelta(t, float64(band)/inch2, faces+joints, 1e-4)
	})
}
