package api_test

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api"
	"bedline/estimate/document"
	"bedline/pricing"
)

func TestAPlanNamesTheZoneOfItsSite(t *testing.T) {
	t.Parallel()
	job, err := os.ReadFile("../testdata/jobs/bed-before-the-holiday.json")
	require.NoError(t, err)
	for zone, member := range map[string]string{"": "", "America/Chicago": `"zone": "America/Chicago", `} {
		text := []byte(strings.Replace(string(job), `"size": 2`, member+`"size": 2`, 1))
		root, err := document.Parse(text)
		require.NoError(t, err)
		quote, faults, err := pricing.Estimate(t.Context(), pricing.Fixed(pricing.Sample()), root, text)
		require.NoError(t, err)
		require.Empty(t, faults)
		answer := api.NewAnswer(quote)
		assert.Equal(t, zone, answer.Plan.Zone)
		assert.Equal(t, "2027-05-24T07:30", answer.Plan.Start.At, "by the clock on site")
		text = answer.Append(nil)
		assert.Equal(t, zone != "", strings.Contains(string(text), `,"zone":"America/Chicago"`))
		want, err := json.Marshal(answer.Plan)
		require.NoError(t, err)
		assert.Contains(t, string(text), string(want), "as the standard library writes it")
	}
}
