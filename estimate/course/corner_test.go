package course_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate/course"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// Corners are laid by trial: the two runs are strips along their bed lines, cut by the lines that the joint is defined by.
// The bed line comes along +x to the origin and goes on at an angle; the course lies on its left.

// half is the ground on the left of the line through p in the direction d.
type half struct{ p, d xy }

func (h half) left(q xy) float64 { return h.d.x*(q.y-h.p.y) - h.d.y*(q.x-h.p.x) }

// kept is the part of a convex polygon in the half plane.
func (s shape) kept(h half) shape {
	var out shape
	for i, p := range s {
		q := s[(i+1)%len(s)]
		a, b := h.left(p), h.left(q)
		if a >= 0 {
			out = append(out, p)
		}
		if (a > 0) != (b > 0) && a != b {
			f := a / (a - b)
			out = append(out, xy{p.x + f*(q.x-p.x), p.y + f*(q.y-p.y)})
		}
	}
	return out
}

// reach is the extent of the polygon along a direction.
func (s shape) reach(d xy) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, p := range s {
		low, high = min(low, p.x*d.x+p.y*d.y), max(high, p.x*d.x+p.y*d.y)
	}
	return low, high
}

func (s shape) area() float64 {
	sum := 0.0
	for i, p := range s {
		q := s[(i+1)%len(s)]
		sum += p.x*q.y - q.x*p.y
	}
	return sum / 2
}

// elbow is two runs in a corner as laid by trial.
type elbow struct {
	first, second shape
	along, then   xy // directions of the two bed lines
}

// far is how long the strips are before they are cut.
const far = 400.0

// strip is the ground of a run of width w whose bed line passes the origin in direction d, long on both sides.
func strip(d xy, w float64) shape {
	n := xy{-d.y, d.x}
	return shape{{-far * d.x, -far * d.y}, {far * d.x, far * d.y}, {far*d.x + w*n.x, far*d.y + w*n.y}, {-far*d.x + w*n.x, -far*d.y + w*n.y}}
}

// trial lays the corner of a turn (radians, positive towards the course). The first run is the lower-numbered one.
func trial(joint course.CornerJoint, turn, w, j float64) elbow {
	a, b := xy{1, 0}, xy{math.Cos(turn), math.Sin(turn)}
	e := elbow{first: strip(a, w), second: strip(b, w), along: a, then: b}
	back := func(d xy) xy { return xy{-d.x, -d.y} }
	origin := xy{}
	switch joint {
	case course.ButtJoint:
		if turn > 0 {
			e.first = e.first.kept(half{origin, b})         // up to the bed line of the second
			e.second = e.second.kept(half{xy{0, w + j}, a}) // beyond the inner face of the first and a joint
			break
		}
		e.first = e.first.kept(half{origin, back(b)})     // up to the prolonged bed line of the second
		e.second = e.second.kept(half{xy{0, w}, back(a)}) // back to the inner face of the first
	case course.MitreJoint:
		half1 := turn / 2
		bisector := xy{-math.Sin(half1), math.Cos(half1)} // across both
		e.first = e.first.kept(half{origin, bisector})
		e.second = e.second.kept(half{origin, back(bisector)})
	case course.OpenJoint:
		place := func(u float64) (shape, shape) {
			return e.first.kept(half{xy{-u, 0}, xy{0, 1}}), e.second.kept(half{xy{u * b.x, u * b.y}, xy{b.y, -b.x}})
		}
		u := bisect(0, far/2, func(u float64) bool { s, r := place(u); return clear(s, r) >= 0 })
		e.first, e.second = place(u)
	}
	return e
}

// onLine is where a strip's face on its bed line starts and ends along it.
func (s shape) onLine(d xy) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, p := range s {
		if math.Abs(d.x*p.y-d.y*p.x) < 1e-7 {
			low, high = min(low, p.x*d.x+p.y*d.y), max(high, p.x*d.x+p.y*d.y)
		}
	}
	return low, high
}

func drawJoint(t *rapid.T) course.CornerJoint {
	return rapid.SampledFrom([]course.CornerJoint{course.ButtJoint, course.MitreJoint, course.OpenJoint}).Draw(t, "joint")
}

func TestItem11CornersOfAnyAngleAreMeasuredAsLaidByTrial(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		joint := drawJoint(t)
		degrees := rapid.Float64Range(5, 150).Draw(t, "turn")
		if joint == course.ButtJoint {
			if math.Abs(degrees-90) < 2.1 {
				degrees = 90
			}
			degrees = min(max(degrees, 30), 150) // sharper and flatter ones are mitred
		}
		w, j := rapid.Float64Range(2, 4).Draw(t, "width"), rapid.SampledFrom([]float64{0, 0.125, 0.5}).Draw(t, "width of joints")
		towards, outside := rapid.Bool().Draw(t, "towards"), rapid.Bool().Draw(t, "outside")
		s := cobble()
		s.Unit.Width, s.Joint, s.CornerJoint = measure.Length(w)*inch, measure.Length(j)*inch, joint
		o := convex(t, degrees, 0)
		if degrees < 60 { // deeper than the triangle, so that the course has room
			a := degrees * math.Pi / 180
			o = polygon(t, inches(-50, 0, 0, 0, 50*math.Cos(a), 50*math.Sin(a), 0, 300))
		}
		if towards == outside {
			o = reflex(t, degrees, 0)
		}
		if outside {
			s.Face = course.FaceOutside
		}
		got := lay(t, o, edged(s))
		require.Len(t, got.Runs, 2)
		first, second := got.Runs[0], got.Runs[1]

		turn := degrees * math.Pi / 180
		if !towards {
			turn = -turn
		}
		if outside {
			// Seen with the course on the left the bed line is walked the other way: the second run comes first. The
			// corner is its own mirror image, so that the trial may keep its order.
			require.True(t, first.Falling)
		}
		laid := trial(joint, turn, w, j)

		// Nothing overlaps, and nothing stands over the bed line.
		gap := clear(laid.first, laid.second)
		require.Greater(t, gap, -1e-6)
		for _, s := range []shape{laid.first, laid.second} {
			for _, p := range s {
				a, b := half{d: laid.along}.left(p), half{d: laid.then}.left(p)
				over := min(a, b)
				if !towards {
					over = max(a, b)
				}
				require.Greater(t, over, -1e-6, "%v", p)
			}
		}

		// As long as laid: the longer face, the face on the bed line, and what the cut takes.
		length := first.Length.In(inch)
		_, ends := laid.first.reach(laid.along)
		starts, _ := laid.second.reach(laid.then)
		require.InDelta(t, length+ends, first.RunLength.In(inch), 1e-6)
		require.InDelta(t, length-starts, second.RunLength.In(inch), 1e-6)
		_, lineEnds := laid.first.onLine(laid.along)
		lineStarts, _ := laid.second.onLine(laid.then)
		a, b := first.Last, second.First
		require.InDelta(t, -lineEnds, a.Back.In(inch), 1e-6)
		require.InDelta(t, lineStarts, b.Back.In(inch), 1e-6)
		_, stops := first.Faces()
		goes, _ := second.Faces()
		corner := outline.Point{}
		require.InDelta(t, math.Abs(lineEnds), dist(corner, stops), 1e-6)
		require.InDelta(t, math.Abs(lineStarts), dist(corner, goes), 1e-6)
		for k, end := range []course.End{a, b} {
			piece, d := laid.first, laid.along
			if k == 1 {
				piece, d = laid.second, laid.then
			}
			var corners []float64
			for _, p := range piece {
				if at := p.x*d.x + p.y*d.y; math.Abs(at) < far/2 {
					corners = append(corners, at)
				}
			}
			require.Len(t, corners, 2)
			off := math.Abs(corners[0] - corners[1]) // between the ends of the two faces at the corner
			require.InDelta(t, off, end.Off.In(inch), 1e-6)
			require.InDelta(t, math.Atan2(off, w), float64(end.Cut), 1e-7)
			require.Equal(t, 1, end.Corner)
		}

		// The joint: as wide as said, or open from the corners that touch to the gap.
		switch joint {
		case course.OpenJoint:
			require.InDelta(t, 0, gap, 1e-6)
			widest := 0.0
			for _, v := range laid.first {
				for _, u := range laid.second {
					// The two end faces have one corner in common; the others are the gap.
					near := func(s xy) bool { return math.Hypot(s.x, s.y) < far/2 }
					if near(u) && near(v) && (math.Abs(half{d: laid.along}.left(v)-half{d: laid.then}.left(u)) < 1e-6) {
						widest = max(widest, math.Hypot(u.x-v.x, u.y-v.y))
					}
				}
			}
			require.InDelta(t, widest, a.Gap.In(inch), 1e-5)
			require.Equal(t, a.Gap, b.Gap)
		case course.ButtJoint:
			want := 0.0
			if towards {
				want = j
			}
			require.InDelta(t, want, gap, 1e-6)
		default:
			require.InDelta(t, 0, gap, 1e-6)
		}

		// The band is the ground of both runs with what lies between them.
		inked := laid.first.area() + laid.second.area() - 2*far*w
		lost := sum(got.Band) - (length*2)*w - inked
		switch {
		case joint == course.MitreJoint:
			require.InDelta(t, 0, lost, 1e-4)
		case joint == course.ButtJoint && !towards:
			require.InDelta(t, 0, lost, 1e-4)
		case joint == course.ButtJoint:
			require.InDelta(t, w/math.Sin(turn)*j, lost, 1e-4)
		default:
			require.InDelta(t, w*w*math.Tan(math.Abs(turn)/2), lost, 1e-4, "the kite")
		}
		// And it lies wholly on its side of the bed line, as far as the unedged sides are away.
		around := outline.Region{outline.CircleLoop(corner, 20*inch)}
		shares := outline.Divide([]outline.Region{got.Band, o.Region(), around}, 2, func(c outline.Cover) int {
			switch {
			case !c.Has(0) || !c.Has(2):
				return outline.None
			case c.Has(1):
				return 0
			}
			return 1
		})
		wrong := shares[1].Area
		if outside {
			wrong = shares[0].Area
		}
		require.InDelta(t, 0, float64(wrong)/inch2, 1e-6)
	})
}

func dist(p, q outline.Point) float64 {
	return math.Hypot(float64(p.X-q.X), float64(p.Y-q.Y)) / 0.0254
}

// A hexagon of 40 in has corners of 60 degrees turn. W = 4, j = 1/8.
func TestItem11AHexagonWithEachJoint(t *testing.T) {
	t.Parallel()
	root3 := math.Sqrt(3)
	for _, c := range []struct {
		name    string
		joint   course.CornerJoint
		face    course.Face
		lengths [6]float64
		kind    course.CutKind
		cuts    int
		off     float64
		joints  float64 // mean width of those in the corners
	}{
		{"mitred inside: measured on the bed line", course.MitreJoint, course.FaceInside, [6]float64{40, 40, 40, 40, 40, 40}, course.Mitre, 12, 4 / root3, 0.125},
		{"mitred outside: longer by 4 tan 30 at both ends", course.MitreJoint, course.FaceOutside,
			[6]float64{40 + 8/root3, 40 + 8/root3, 40 + 8/root3, 40 + 8/root3, 40 + 8/root3, 40 + 8/root3}, course.Mitre, 12, 4 / root3, 0.125},
		// Through: + 4/tan 60 = 4/root 3. The other: - 4.125/sin 60 + 4/root 3.
		{"butted inside", course.ButtJoint, course.FaceInside, [6]float64{40 + 8/root3,
			40 - 8.25/root3 + 8/root3, 40 - 8.25/root3 + 8/root3, 40 - 8.25/root3 + 8/root3, 40 - 8.25/root3 + 8/root3, 40 - 16.5/root3 + 8/root3},
			course.Splay, 12, 4 / root3, 0.125},
		// The lower-numbered side ends at the corner, its far face shorter; the other is longer by 4/sin 60 = 8/root 3.
		{"butted outside", course.ButtJoint, course.FaceOutside, [6]float64{40, 40 + 8/root3, 40 + 8/root3, 40 + 8/root3, 40 + 8/root3, 40 + 16/root3},
			course.Splay, 12, 4 / root3, 0.125},
		// - 4 tan 30 at both ends; 8 sin 30 = 4 wide, 2 on the mean.
		{"open inside", course.OpenJoint, course.FaceInside, [6]float64{40 - 8/root3, 40 - 8/root3, 40 - 8/root3, 40 - 8/root3, 40 - 8/root3, 40 - 8/root3}, 0, 0, 0, 2},
		{"open outside", course.OpenJoint, course.FaceOutside, [6]float64{40, 40, 40, 40, 40, 40}, 0, 0, 0, 2},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			s := cobble()
			s.CornerJoint, s.Face = c.joint, c.face
			got := lay(t, polygon(t, hexagon(40)), s)
			cuts, inside := 0, 0.0
			for i, r := range got.Runs {
				near(t, c.lengths[i], r.RunLength, "side %d", i)
				inside += float64(r.Joints) * r.JointWidth.In(inch)
			}
			for _, cut := range got.Cuts {
				if cut.Kind == course.Closer {
					continue
				}
				assert.Equal(t, c.kind, cut.Kind)
				assert.InDelta(t, 30, cut.Angle.Degrees(), 1e-9)
				near(t, c.off, cut.Off)
				near(t, 8/root3, cut.Length)
				cuts += cut.Count
			}
			assert.Equal(t, c.cuts, cuts)
			assert.Equal(t, got.Units.Total, got.Joints)
			assert.InDelta(t, (inside+6*c.joints)*4*2*inch3, float64(got.JointVolume), 1e-9)
			near(t, 240, got.EdgedLength)
			assert.Equal(t, passes(got), got.SawPasses)
		})
	}
}

// passes adds up the cuts of all runs.
func passes(c *course.Course) int {
	n := 0
	for i, r := range c.Runs {
		own := 0
		for _, cut := range c.Cuts {
			if cut.Run == i {
				own += cut.Count
			}
		}
		if own != r.SawPasses {
			return -1
		}
		n += own
	}
	return n
}

func TestItem11CornersTakeTheirOwnJoint(t *testing.T) {
	t.Parallel()
	// A rectangle of 100 x 60, corner 1 mitred, corner 2 open (inner corners 4 in from it), corner 0 and 3 butted.
	mixed := []course.CornerChoice{{Corner: 1, Joint: course.MitreJoint}, {Corner: 2, Joint: course.OpenJoint}}
	for name, points := range map[string][]outline.Point{
		"counter-clockwise": inches(0, 0, 100, 0, 100, 60, 0, 60), "clockwise": inches(0, 0, 0, 100, 60, 100, 60, 0),
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := cobble()
			s.CornerJoints = mixed
			got := lay(t, polygon(t, points), s)
			assert.Equal(t, []float64{100, 56, 96, 60 - 4.125}, []float64{got.Runs[0].RunLength.In(inch), math.Round(got.Runs[1].RunLength.In(inch)*1e9) / 1e9,
				math.Round(got.Runs[2].RunLength.In(inch)*1e9) / 1e9, math.Round((got.Runs[3].RunLength.In(inch)+4.125)*1e9) / 1e9})
			kinds := func(r course.Run) string { return fmt.Sprint(r.First.Kind, r.First.Corner, r.Last.Kind, r.Last.Corner) }
			assert.Equal(t, fmt.Sprint(course.Through, 0, course.Mitred, 1), kinds(got.Runs[0]))
			assert.Equal(t, fmt.Sprint(course.Mitred, 1, course.Open, 2), kinds(got.Runs[1]))
			assert.Equal(t, fmt.Sprint(course.Open, 2, course.Through, 3), kinds(got.Runs[2]))
			assert.Equal(t, fmt.Sprint(course.Short, 3, course.Short, 0), kinds(got.Runs[3]))
			near(t, 8*math.Sin(math.Pi/4), got.Runs[1].Last.Gap)
		})
	}
	// What is no corner between edged sides takes no joint.
	rounded, err := outline.Rectangle(outline.Point{}, 100*inch, 60*inch, 12*inch)
	require.NoError(t, err)
	for name, c := range map[string]struct {
		o     *outline.Outline
		sides []int
		at    int
	}{
		"a rounded corner":            {rounded, nil, 2},
		"no corner of the outline":    {bed(t, 100*inch, 60*inch), nil, 4},
		"a corner of an unedged side": {bed(t, 100*inch, 60*inch), []int{0, 1}, 2},
		"a straight point":            {polygon(t, inches(0, 0, 50, 0, 100, 0, 100, 60, 0, 60)), nil, 1},
	} {
		s := tight()
		s.Curves, s.JointMax = course.OpenCurves, 8*inch
		s.Sides, s.CornerJoints = c.sides, []course.CornerChoice{{Corner: c.at, Joint: course.MitreJoint}}
		_, err := course.Lay(c.o, s)
		var none *course.NoCornerError
		require.ErrorAs(t, err, &none, name)
		assert.Equal(t, course.NoCornerError{Corner: c.at}, *none, name)
	}
	s := cobble()
	s.CornerJoints = append(mixed, course.CornerChoice{Corner: 1, Joint: course.OpenJoint})
	_, err = course.Lay(bed(t, 100*inch, 60*inch), s)
	var twice *course.RepeatedJointError
	require.ErrorAs(t, err, &twice)
	assert.Equal(t, course.RepeatedJointError{Index: 2, Corner: 1}, *twice)
}

func TestItem11AButtThatWouldTakeMoreThanAUnitIsMitredAndSaid(t *testing.T) {
	t.Parallel()
	s := edged(cobble())
	s.CornerJoint = course.ButtJoint
	limit := math.Atan(0.5) * 180 / math.Pi // 4 / tan t = 8
	for _, c := range []struct {
		turn   float64
		mitred bool
	}{{limit + 0.01, false}, {limit - 0.01, true}, {180 - limit - 0.01, false}, {180 - limit + 0.01, true}} {
		got := lay(t, convex(t, c.turn, 0), s)
		assert.Equal(t, c.mitred, got.Runs[0].Last.Kind == course.Mitred, "%v degrees", c.turn)
		var said []course.Notice
		for _, n := range got.Notices {
			if n.Kind == course.NotButted {
				said = append(said, n)
			}
		}
		if !c.mitred {
			require.Empty(t, said)
			continue
		}
		require.Len(t, said, 1)
		near(t, 8, said[0].Limit)
		assert.InDelta(t, 4/math.Abs(math.Tan(c.turn*math.Pi/180)), said[0].Size.In(inch), 1e-9)
	}
}

// A cut that is longer than the piece at the end goes on into the next one. A hexagon of 40 in: 4 in of width, closers of 7.5
// in, 4 tan 30 = 2.3 in off: nothing to say. With sides of 34.5 in the closer is 2 in, and shared: two of 5. Where any piece may
// be laid it stays 2 in.
func TestACutLongerThanItsPieceIsSaid(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		side  float64
		least measure.Factor
		said  int
	}{{40, third, 0}, {34.5, third, 0}, {34.5, 0, 6}} {
		s := cobble()
		s.LeastPiece = c.least
		got := lay(t, polygon(t, hexagon(c.side)), s)
		said := 0
		for _, n := range got.Notices {
			if n.Kind == course.LongCut {
				said++
				near(t, 2, n.Limit)
				near(t, 4/math.Sqrt(3), n.Size)
			}
		}
		assert.Equal(t, c.said, said, "side of %v in", c.side)
	}
}
