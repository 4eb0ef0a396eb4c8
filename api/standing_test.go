package api_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Faults of the contract and of the engine come together, once for each member.
func TestFaultsOfPlantersAndObstaclesComeOnce(t *testing.T) {
	t.Parallel()
	s := start(t)
	a := s.post(`{"ground":{"soil":"loam","cover":"turf","haul":"60 ft"},
		"planters":[{"id":"p","length":"2 ft","width":"1 ft","wall":"6 in","fill":"1 ft","at":["0 ft","0 ft"],"settling":10,
			"mix":[{"material":"compost","parts":0},{"material":"edger-8x4","parts":1},{"material":"compost","parts":2}]}],
		"obstacles":[{"kind":"shed"},{"kind":"tree","at":["0 ft","0 ft"],"diameter":"6 in"},{"kind":"post","at":["0 ft","0 ft"]},
			{"kind":"post","at":["0 ft","0 ft"],"width":"4 in"},{"kind":"post","at":["0 ft","0 ft"],"width":"4 in","length":"4 in","diameter":"4 in"},
			{"kind":"footing","from":["0 ft","0 ft"]},{"at":["0 ft","0 ft"]}]}`)
	require.Equal(t, 422, a.status)
	var p struct {
		Errors []struct{ Pointer, Code, Detail string }
	}
	require.NoError(t, json.Unmarshal(a.body, &p))
	var got []string
	for _, e := range p.Errors {
		got = append(got, e.Pointer+" "+e.Code)
		assert.NotEmpty(t, e.Detail)
	}
	assert.Equal(t, []string{
		"/planters/0/wall out_of_range",
		"/planters/0/settling unknown_member",
		"/planters/0/mix/0/parts out_of_range",
		"/planters/0/mix/1/material wrong_material_kind",
		"/planters/0/mix/2/material duplicate_item",
		"/obstacles/0/kind unknown_value",
		"/obstacles/1/diameter unknown_member",
		"/obstacles/1/trunk_diameter missing",
		"/obstacles/2/diameter missing",
		"/obstacles/3/diameter missing",
		"/obstacles/4/length conflict",
		"/obstacles/5/to missing",
		"/obstacles/6/kind missing",
	}, got)
}
