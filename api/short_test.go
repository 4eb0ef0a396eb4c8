package api_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api"
)

// Answers that tell of running short are held to the contract by the service of the tests.
func TestRunningShortIsToldWhereItIsAskedFor(t *testing.T) {
	t.Parallel()
	s := start(t)
	bed := `"beds":[{"id":"b","outline":{"kind":"rectangle","length":"27 ft","width":"12 ft"},"stone":{"material":"pebble-20","depth":"3 in"}}]`
	told := func(supply string) *api.RunningShort {
		a := s.post("{" + ground + "," + bed + `,"supply":{` + supply + "}}")
		require.Equal(t, 200, a.status, string(a.body))
		var answer api.Answer
		require.NoError(t, json.Unmarshal(a.body, &answer))
		return answer.Supply.RunningShort
	}
	assert.Nil(t, told(`"prefer":"cheapest"`))
	sure := told(`"confidence":0.95,"depth_tolerance":"1/4 in","measuring_error_percent":0`)
	require.NotNil(t, sure)
	assert.Equal(t, "confidence", sure.Basis)
	assert.EqualValues(t, 0.95, *sure.Confidence)
	require.Len(t, sure.Materials, 1)
	assert.LessOrEqual(t, float64(sure.Materials[0].Short), 0.05)
	assert.NotEmpty(t, sure.ConfidenceCosts)
	least := told(`"depth_tolerance":"1/4 in","crew_time":true,"tax":true,"within_days":9,"most_suppliers":2`)
	assert.Equal(t, "least_expected_cost", least.Basis)
	assert.Nil(t, least.LeastExpected)
	assert.True(t, *least.Taken.Optimal)
	certain := told(`"depth_tolerance":"0 in"`)
	assert.Equal(t, certain.AsSaid.Expected, certain.Taken.Expected)
	assert.Zero(t, certain.Taken.Short)
}

func TestFaultsOfTolerancesComeTogether(t *testing.T) {
	t.Parallel()
	s := start(t)
	bed := `"beds":[{"id":"b","outline":{"kind":"rectangle","length":"27 ft","width":"12 ft"},"stone":{"material":"pebble-20","depth":"3 in"}}]`
	a := s.post("{" + ground + "," + bed + `,"supply":{"confidence":1,"depth_tolerance":"4 in","measuring_error_percent":60,"within_days":0,"surplus":"sold"}}`)
	assert.Equal(t, 422, a.status)
	assert.ElementsMatch(t, []string{"/supply/confidence out_of_range", "/supply/depth_tolerance out_of_range", "/supply/measuring_error_percent out_of_range",
		"/supply/within_days out_of_range", "/supply/surplus unknown_value"}, a.faults())
}
