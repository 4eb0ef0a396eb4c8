package pricing_test

import (
	"encoding/json"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate/document"
	"bedline/pricing"
)

func TestAMaterialThatIsSoldOnlyInBagsIsComparedAsFarAsItCanBe(t *testing.T) {
	t.Parallel()
	doc := pricing.Sample().Document()
	kept := doc.Offers[:0]
	for _, o := range doc.Offers {
		if o.Material != "sand-bedding" || o.Form != "bulk" {
			kept = append(kept, o)
		}
	}
	doc.Offers = kept
	list, err := doc.Compile(1)
	require.NoError(t, err)
	text, err := os.ReadFile("../testdata/jobs/garage-bed.json")
	require.NoError(t, err)
	require.True(t, json.Valid(text))
	root, err := document.Parse(text)
	require.NoError(t, err)
	q, faults, err := pricing.Estimate(t.Context(), pricing.Fixed(list), root, text)
	require.NoError(t, err)
	require.Empty(t, faults)
	require.Len(t, q.Supply.Comparison, 4, "one for each loose material: base, sand, joint fill, stone")
	for _, c := range q.Supply.Comparison {
		assert.NotEmpty(t, c.BagPlan.Purchases)
		if c.Material.Key == "sand-bedding" {
			assert.Empty(t, c.BulkPlan.Purchases)
			assert.False(t, c.Found)
			assert.Contains(t, c.Sentence, "not sold in bulk")
		} else {
			assert.NotEmpty(t, c.BulkPlan.Purchases)
		}
	}
}
