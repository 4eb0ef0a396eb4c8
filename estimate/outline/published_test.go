package outline_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// parabolas are stations so close together on the parabolas through three ordinates each that straights between them hold
// the area of Simpson's one-third rule.
func parabolas(step float64, outs ...float64) []outline.Station {
	const fine = 250
	var s []outline.Station
	for i := 0; i+2 < len(outs); i += 2 {
		a, b, c := outs[i], outs[i+1], outs[i+2]
		for k := range 2 * fine {
			u := float64(k)/fine - 1
			s = append(s, outline.Station{Along: measure.Length(step * (float64(i+1) + u)), Out: measure.Length(b + u*(c-a)/2 + u*u*((a+c)/2-b))})
		}
	}
	last := len(outs) - 1
	return append(s, outline.Station{Along: measure.Length(step * float64(last)), Out: measure.Length(outs[last])})
}

// Each to half of its last printed digit.
func TestAreasTapedFromABaselineToTheLastPrintedDigit(t *testing.T) {
	t.Parallel()
	// Surveying course, calculation of areas, example 1 (WE-03): nine ordinates at 10 m make 442.66 m2 by the average
	// ordinate (cut off, not rounded), 460.75 m2 by trapezoids and 461.167 m2 by Simpson's rule.
	ordinates := []float64{3.15, 4.3, 8.2, 5.6, 6.85, 7.6, 4.2, 5.6, 4.3}
	mean := 0.0
	for _, v := range ordinates {
		mean += v / float64(len(ordinates))
	}
	average, err := outline.Rectangle(pt(0, 0), 80, measure.Length(mean), 0)
	require.NoError(t, err)
	assert.InDelta(t, 442.665, float64(average.Area()), 0.005)
	assert.InDelta(t, 460.75, float64(taped(t, every(10, ordinates...), outline.Straight).Area()), 0.005)
	assert.InDelta(t, 461.167, float64(taped(t, parabolas(10, ordinates...), outline.Straight).Area()), 0.0005)

	// Surveying handout after La Putt, problems E1 and E2 (WE-04): thirteen at 3.5 m make 211.4 m2 and 211.17 m2.
	ordinates = []float64{0.8, 3.6, 4.7, 5.3, 3.9, 2.7, 4.6, 5.5, 4.9, 7.6, 8.8, 5.4, 6.0}
	assert.InDelta(t, 211.4, float64(taped(t, every(3.5, ordinates...), outline.Straight).Area()), 0.05)
	assert.InDelta(t, 211.17, float64(taped(t, parabolas(3.5, ordinates...), outline.Straight).Area()), 0.005)
}

// Mahun, Open Access Surveying, Traverse Computations, chapter G, example 1, fig. G-7 (WE-01): the cross sums are
// printed to a tenth, so that half their difference is good to as much.
func TestAreaByCoordinatesToTheLastPrintedDigit(t *testing.T) {
	t.Parallel()
	o, err := outline.Polygon(pts(2000, 500, 1561.426, 323.614, 1488.321, 526.996, 1686.956, 719.336), nil)
	require.NoError(t, err)
	assert.InDelta(t, (3590045.6-3384174.1)/2, float64(o.Area()), 0.1/2)
}

// segment is the ground between a chord of length c and the arc that rises h over it.
func segment(t *testing.T, c, h float64) *outline.Outline {
	o, err := outline.Path(pt(0, 0), []outline.Segment{
		{Kind: outline.LineSegment, To: pt(c, 0)},
		{Kind: outline.RiseSegment, To: pt(0, 0), Rise: measure.Length(h), Turn: outline.Left},
	})
	require.NoError(t, err)
	return o
}

func TestArcsOverAChordAreThoseOfPublishedExamples(t *testing.T) {
	t.Parallel()
	arcOf := func(o *outline.Outline) outline.Edge { return o.Elements()[1].Edge }

	// Hatfield, The American House Carpenter, article 518: of an arc of radius 75 ft a chord of 120 ft has a versed sine
	// of 30 ft.
	assert.InDelta(t, 75, float64(arcOf(segment(t, 120, 30)).Radius), 1e-9)

	// Help pages of a mathematics program, circular sections: a chord of 21 under a rise of 6 has the radius 12.1875, the
	// angle 118.97953 degrees, the arc 25.308373 and the segment 89.254148; an arc of 1 over 45 degrees has the radius
	// 1.2732395, the chord 0.97449536, the rise 0.096919589 and the segment 0.063460604.
	o := segment(t, 21, 6)
	e := arcOf(o)
	assert.InDelta(t, 12.1875, float64(e.Radius), 1e-9)
	assert.InDelta(t, 118.97953, math.Abs(float64(e.Turn))*180/math.Pi, 0.000005)
	assert.InDelta(t, 25.308373, float64(e.Length()), 0.0000005)
	assert.InDelta(t, 89.254148, float64(o.Area()), 0.0000005)
	e = outline.Arc(pt(0, 0), measure.Length(1/(math.Pi/4)), 0, measure.Degrees(45))
	chord := outline.Line(e.To, e.From)
	assert.InDelta(t, 1.2732395, float64(e.Radius), 0.0000001) // cut off, not rounded
	assert.InDelta(t, 1, float64(e.Length()), 1e-12)
	assert.InDelta(t, 0.97449536, float64(chord.Length()), 0.000000005)
	assert.InDelta(t, 0.096919589, dist(e.Point(0.5), chord.Point(0.5)), 0.0000000005)
	assert.InDelta(t, 0.063460604, float64(outline.Loop{e, chord}.Area()), 0.0000000005)

	// Table of segments of circles of radius 1 as engineers' handbooks print it, from memory: degrees, arc, rise, chord,
	// area.
	for _, row := range [][5]float64{
		{30, 0.52360, 0.03407, 0.51764, 0.01180},
		{60, 1.04720, 0.13397, 1.00000, 0.09059},
		{90, 1.57080, 0.29289, 1.41421, 0.28540},
		{120, 2.09440, 0.50000, 1.73205, 0.61418},
	} {
		e := outline.Arc(pt(0, 0), 1, 0, measure.Degrees(row[0]))
		chord = outline.Line(e.To, e.From)
		l := outline.Loop{e, chord}
		middle, foot := e.Point(0.5), chord.Point(0.5)
		assert.InDelta(t, row[1], float64(e.Length()), 0.000005, "arc of %v degrees", row[0])
		assert.InDelta(t, row[2], dist(middle, foot), 0.000005, "rise of %v degrees", row[0])
		assert.InDelta(t, row[3], float64(chord.Length()), 0.000005, "chord of %v degrees", row[0])
		assert.InDelta(t, row[4], float64(l.Area()), 0.000005, "segment of %v degrees", row[0])
	}
}

// A surveying board's solved problem on simple curves: two tangents that turn by 29 degrees 20 minutes, joined by a curve
// of 249.17 m, have the tangent distance 65.2136 m, the long chord 126.1773 m and the middle ordinate 8.119 m.
func TestARoundedCornerIsASimpleCurve(t *testing.T) {
	t.Parallel()
	turn := (29 + 20./60) * math.Pi / 180
	o, err := outline.Polygon(pts(0, 0, 200, 0, 200+200*math.Cos(turn), 200*math.Sin(turn), 0, 300), []measure.Length{0, 249.17, 0, 0})
	require.NoError(t, err)
	for _, e := range o.Elements() {
		if e.Corner != 1 {
			continue
		}
		assert.InDelta(t, 65.2136, dist(e.From, pt(200, 0)), 0.00005)
		assert.InDelta(t, 65.2136, dist(e.To, pt(200, 0)), 0.00005)
		assert.InDelta(t, 126.1773, dist(e.From, e.To), 0.00005)
		assert.InDelta(t, 8.119, dist(e.Point(0.5), outline.Line(e.From, e.To).Point(0.5)), 0.0005)
		return
	}
	t.Fatal("corner 1 has no arc")
}

// A paving text on setting out arcs: from the ends of a chord of 1662 mm two tapes of 1800 mm meet 1597 mm off it.
func TestTwoTapesMeetWhereAPavingTextSays(t *testing.T) {
	t.Parallel()
	a := adjusted(t, outline.Ties{Marks: pts(0, 0, 1.662, 0), Points: []outline.TiedPoint{tapes(1.8, 1.8)}})
	assert.InDelta(t, 0.831, float64(a.Points[0].X), 1e-9)
	assert.InDelta(t, 1.597, float64(a.Points[0].Y), 0.0005)
}
