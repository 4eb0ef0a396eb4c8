package api_test

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api"
)

const ground = `"ground":{"soil":"loam","cover":"turf","haul":"60 ft"}`

func TestAWrongSetOutIsRefusedAtItsMembers(t *testing.T) {
	t.Parallel()
	s := start(t)
	bed := `"beds":[{"id":"ring","outline":{"kind":"circle","radius":"400 ft"}}]`
	for _, c := range []struct {
		name, setOut string
		want         []string
	}{
		{"x runs nowhere, and too many marks", `{"origin":["1 ft","0 ft"],"towards":["12 in","0 in"],"every":"1 ft"}`, []string{"/set_out/towards duplicate_point", "/set_out/every too_many"}},
		{"half of a frame", `{"towards":["12 in","0 in"]}`, []string{"/set_out/origin missing"}},
		{"numbers", `{"every":2}`, []string{"/set_out/every unit_missing"}},
		{"another member", `{"each":"2 ft"}`, []string{"/set_out/each unknown_member"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := s.post("{" + ground + "," + bed + `,"set_out":` + c.setOut + "}")
			assert.Equal(t, 422, a.status)
			assert.Equal(t, c.want, a.faults())
			for _, e := range a.problem.Errors {
				assert.NotEmpty(t, e.Detail)
			}
		})
	}
}

// TestTheSheetIsInTheUnitsOfTheAnswer sends one job for both systems: lengths in ft and m, levels and depths in in and mm.
func TestTheSheetIsInTheUnitsOfTheAnswer(t *testing.T) {
	t.Parallel()
	s := start(t)
	sheet := func(units string) api.SetOut {
		a := s.post(fmt.Sprintf(`{%s,"units":%q,"beds":[{"id":"a","outline":{"kind":"rectangle","length":"12 ft","width":"9 ft","corner_radius":"1 ft"},"dig":"2 in"}],
			"set_out":{"origin":["-3 ft","0 ft"],"towards":["-3 ft","-20 ft"],"every":"1 ft"}}`, ground, units))
		require.Equal(t, 200, a.status, string(a.body))
		var whole api.Answer
		require.NoError(t, json.Unmarshal(a.body, &whole))
		return whole.SetOut
	}
	us, metric := sheet("us"), sheet("metric")
	assert.Equal(t, "-3 ft", fmt.Sprint(float64(us.Origin.X.Value), " ", us.Origin.X.Unit))
	require.Len(t, us.Parts[0].Stakes, 16, "four corners, two tangent points and a pivot for each")
	require.Len(t, metric.Parts[0].Stakes, 16)
	for i, a := range us.Parts[0].Stakes {
		b := metric.Parts[0].Stakes[i]
		assert.Equal(t, "ft", a.X.Unit)
		assert.Equal(t, "m", b.X.Unit)
		for _, pair := range [][2]api.Quantity{{a.X, b.X}, {a.Y, b.Y}, {a.ToFirst, b.ToFirst}, {a.ToSecond, b.ToSecond}} {
			assert.InDelta(t, float64(pair[0].Value)*0.3048, float64(pair[1].Value), 1e-9)
		}
		assert.Equal(t, a.Marks == "pivot", a.Down == nil)
		if a.Down != nil {
			assert.Equal(t, "in", a.Down.Unit)
			assert.Equal(t, "mm", b.Down.Unit)
		}
	}
	// x runs down from (-3, 0), so the first corner (0, 0) lies 3 ft to the left of the origin.
	first := us.Parts[0].Stakes[0]
	assert.InDelta(t, 0, float64(first.X.Value), 1e-9)
	assert.InDelta(t, 3, float64(first.Y.Value), 1e-9)
	assert.InDelta(t, math.Hypot(3, 20), float64(first.ToSecond.Value), 1e-9)
	assert.Equal(t, "15 ft", fmt.Sprint(float64(us.Parts[0].RightAngles[0].Hypotenuse.Value), " ft"))
	assert.InDelta(t, 2.5, float64(metric.Parts[0].RightAngles[0].Hypotenuse.Value), 1e-9, "1.5 and 2 m fit on 2.74 and 3.66 m, 3 and 4 m don't")
	assert.True(t, us.Parts[0].EqualDiagonals)
	require.Len(t, us.Gauges, 1)
	assert.Equal(t, "bottom", us.Gauges[0].Marks[1].Mark)
	assert.InDelta(t, 50.8, float64(metric.Gauges[0].Marks[1].Down.Value), 1e-9)
	assert.InDelta(t, 1, float64(us.Every.Value), 1e-9)
	require.Len(t, us.Parts[0].Curves, 4)
	assert.True(t, strings.HasPrefix(us.Parts[0].Curves[0].From, "A"))
}
