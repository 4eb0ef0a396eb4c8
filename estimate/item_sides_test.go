package estimate_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"bedline/estimate/measure"
)

// Points may run either way round; sides keep the numbers of the request, and a side is what its rounded corners leave.
// A bed of 10 x 4 ft: running clockwise from the origin, side 0 goes up (4 ft), side 1 along the top (10 ft).
func TestItem01SidesKeepTheirNumbersWhicheverWayThePointsRun(t *testing.T) {
	t.Parallel()
	const clockwise = `[["0 ft","0 ft"],["0 ft","4 ft"],["10 ft","4 ft"],["10 ft","0 ft"]]`
	const counter = `[["0 ft","0 ft"],["10 ft","0 ft"],["10 ft","4 ft"],["0 ft","4 ft"]]`
	bed := func(points, radii, sides string) string {
		return `{"ground":{"soil":"loam","cover":"bare","haul":"0 ft"},"beds":[{"id":"a","outline":{"kind":"polygon","points":` + points + radii +
			`},"edging":{"unit":"edger","course":"sailor","sides":` + sides + `}}]}`
	}
	for name, c := range map[string]struct {
		text   string
		edged  float64 // ft
		inside float64 // ft2
	}{
		"side 0 of points that run clockwise is the left one":       {bed(clockwise, "", "[0]"), 4, 40},
		"side 1 of points that run clockwise is the top":            {bed(clockwise, "", "[1]"), 10, 40},
		"side 0 of points that run counter-clockwise is the bottom": {bed(counter, "", "[0]"), 10, 40},
		"side 1 of points that run counter-clockwise is the right":  {bed(counter, "", "[1]"), 4, 40},
		"the top between corners rounded by 1 ft is 8 ft":           {bed(clockwise, `,"corner_radii":["0 ft","1 ft","1 ft","0 ft"]`, "[1]"), 8, 40 - 2*(1-0.7853981633974483)},
		"the left side keeps 3 ft below the corner rounded by 1 ft": {bed(clockwise, `,"corner_radii":["0 ft","1 ft","1 ft","0 ft"]`, "[0]"), 3, 40 - 2*(1-0.7853981633974483)},
		"the bottom is left whole by corners rounded at the top":    {bed(clockwise, `,"corner_radii":["0 ft","1 ft","1 ft","0 ft"]`, "[3]"), 10, 40 - 2*(1-0.7853981633974483)},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			out := takeoff(t, plain(), c.text)
			assert.InDelta(t, c.edged, out.Beds[0].EdgedLength.In(measure.Foot), 1e-9)
			assert.InDelta(t, c.inside, out.Beds[0].Area.In(measure.SquareFoot), 1e-9)
		})
	}
}
