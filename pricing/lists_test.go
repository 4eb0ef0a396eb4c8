package pricing_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/pricing"
)

var _ pricing.Lists = (*pricing.FixedLists)(nil)

func version(t *testing.T, name string, n int) *pricing.List {
	t.Helper()
	d := smallDocument()
	d.Name = name
	l, err := d.Compile(n)
	require.NoError(t, err)
	return l
}

func TestFixedListsGiveTheLatestAndEveryVersion(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	lists := pricing.Fixed(version(t, "b", 2), version(t, "a", 3), version(t, "b", 10), version(t, "b", 1))
	latest, err := lists.Latest(ctx, "b")
	require.NoError(t, err)
	assert.Equal(t, 10, latest.Version)
	two, err := lists.Version(ctx, "b", 2)
	require.NoError(t, err)
	assert.Equal(t, 2, two.Version)
	summaries, err := lists.Summaries(ctx)
	require.NoError(t, err)
	require.Len(t, summaries, 2)
	assert.Equal(t, pricing.Summary{Name: "a", Version: 3, Currency: "USD", System: "us", Effective: "2027-03-01",
		Note: "Invented prices for tests.", ETag: version(t, "a", 3).ETag()}, summaries[0])
	assert.Equal(t, 10, summaries[1].Version)
}

func TestAListThatIsNotThereIsNamedWithThoseThatAre(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	lists := pricing.Fixed(version(t, "b", 2), version(t, "a", 3))
	_, err := lists.Latest(ctx, "c")
	var missing *pricing.ListNotFoundError
	require.ErrorAs(t, err, &missing)
	assert.Equal(t, &pricing.ListNotFoundError{Name: "c", Known: []string{"a", "b"}}, missing)
	assert.EqualError(t, err, `there is no price list "c"; there are: a, b`)
	_, err = lists.Version(ctx, "b", 9)
	require.ErrorAs(t, err, &missing)
	assert.Equal(t, &pricing.ListNotFoundError{Name: "b", Version: 9, Known: []string{"a", "b"}, Latest: 2}, missing)
	assert.EqualError(t, err, `price list "b" has no version 9; the latest is 2`)
	_, err = pricing.Fixed().Latest(ctx, "a")
	assert.EqualError(t, err, `there is no price list "a", nor any other`)
	summaries, err := pricing.Fixed().Summaries(ctx)
	require.NoError(t, err)
	assert.Empty(t, summaries)
}

func TestOfTwoListsOfOneVersionTheFirstIsKept(t *testing.T) {
	t.Parallel()
	first, second := version(t, "a", 1), version(t, "a", 1)
	got, err := pricing.Fixed(first, second).Latest(context.Background(), "a")
	require.NoError(t, err)
	assert.Same(t, first, got)
}

func TestAConflictSaysWhatIsThere(t *testing.T) {
	t.Parallel()
	assert.EqualError(t, &pricing.VersionConflictError{Name: "a", Current: `"01"`}, `price list "a" has been changed: its latest version is now "01"`)
	assert.EqualError(t, &pricing.VersionConflictError{Name: "a"}, `price list "a" does not exist`)
}
