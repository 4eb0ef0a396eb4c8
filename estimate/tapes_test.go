package estimate_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// tiedRing is a ring of n points tied to so many marks round it, each tape a little off.
func tiedRing(n, marks int) string {
	var ms, ps []string
	at := func(i, of int, r float64) (x, y float64) {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(of))
		return r * cos, r * sin
	}
	for m := range marks {
		x, y := at(m, marks, 60)
		ms = append(ms, fmt.Sprintf(`["%.4f m","%.4f m"]`, x, y))
	}
	for i := range n {
		x, y := at(i, n, 50)
		var tapes []string
		for m := range marks {
			mx, my := at(m, marks, 60)
			off := 0.004 * math.Sin(float64(7*i+3*m))
			tapes = append(tapes, fmt.Sprintf(`"%.4f m"`, math.Sqrt((x-mx)*(x-mx)+(y-my)*(y-my))+off))
		}
		ps = append(ps, "["+strings.Join(tapes, ",")+"]")
	}
	var right []string
	ax, ay := at(0, marks, 60)
	bx, by := at(1, marks, 60)
	for i := range n {
		if x, y := at(i, n, 50); (bx-ax)*(y-ay)-(by-ay)*(x-ax) < 0 {
			right = append(right, fmt.Sprint(i))
		}
	}
	return `{"ground":{"soil":"loam","cover":"bare","haul":"0 m"},"beds":[{"id":"a","outline":{"kind":"ties","marks":[` + strings.Join(ms, ",") +
		`],"points":[` + strings.Join(ps, ",") + `],"right_of_marks":[` + strings.Join(right, ",") + `]}}]}`
}

func TestTapesAreTakenUpToTheirLimit(t *testing.T) {
	t.Parallel()
	out := takeoff(t, plain(), tiedRing(1600, 12)) // 19,200 tapes
	assert.InEpsilon(t, math.Pi*50*50, float64(out.Beds[0].Area), 1e-3)
	_, _, faults := take(t, plain(), tiedRing(1700, 12)) // 20,400
	require.Len(t, faults, 1)
	assert.Equal(t, "/beds/0/outline/points", faults[0].Pointer)
	assert.Equal(t, "too_many", faults[0].Code)
}
