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

func TestTheOnlyListThereIsPricesAJobThatNamesNone(t *testing.T) {
	t.Parallel()
	named := func(name string) *pricing.List {
		doc := pricing.Sample().Document()
		doc.Name = name
		list, err := doc.Compile(1)
		require.NoError(t, err)
		return list
	}
	text := []byte(`{"ground":{"soil":"loam","cover":"bare","haul":"0 m"},"beds":[{"id":"a","outline":{"kind":"circle","radius":"1 m"},"dig":"50 mm"}]}`)
	root, err := document.Parse(text)
	require.NoError(t, err)
	q, faults, err := pricing.Estimate(t.Context(), pricing.Fixed(named("mine")), root, text)
	require.NoError(t, err)
	require.Empty(t, faults)
	assert.Equal(t, "mine", q.List.Name)
	// Of two lists none is taken for the other.
	_, faults, err = pricing.Estimate(t.Context(), pricing.Fixed(named("mine"), named("yours")), root, text)
	require.NoError(t, err)
	require.Len(t, faults, 1)
	assert.Equal(t, "/price_list", faults[0].Pointer)
	assert.Contains(t, faults[0].Detail, "mine, yours")
}
