// Package sample has the quotes of the sample jobs, for the tests of the packages that show quotes.
package sample

import (
	"context"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"bedline/estimate/document"
	"bedline/pricing"
)

// testdata is the project's folder of jobs and price lists.
func testdata() string {
	_, file, _, _ := runtime.Caller(0)
	return filepath.Join(filepath.Dir(file), "../../../../testdata")
}

// Names are the sample jobs, sorted.
func Names(t testing.TB) []string {
	t.Helper()
	paths, err := filepath.Glob(filepath.Join(testdata(), "jobs/*.json"))
	require.NoError(t, err)
	require.NotEmpty(t, paths)
	names := make([]string, len(paths))
	for i, path := range paths {
		names[i] = strings.TrimSuffix(filepath.Base(path), ".json")
	}
	return names
}

// Job is the text of a sample job.
func Job(t testing.TB, name string) []byte {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(testdata(), "jobs", name+".json"))
	require.NoError(t, err)
	return text
}

// Quote is the quote of a sample job.
func Quote(t testing.TB, name string) *pricing.Quote {
	t.Helper()
	return Of(t, Job(t, name))
}

// Of is the quote of a job, with the price lists of the samples.
func Of(t testing.TB, job []byte) *pricing.Quote {
	t.Helper()
	root, err := document.Parse(job)
	require.NoError(t, err)
	lists := []*pricing.List{pricing.Sample()}
	for _, name := range []string{"metric"} {
		list, err := os.ReadFile(filepath.Join(testdata(), "price-lists", name+".json"))
		require.NoError(t, err)
		d, err := pricing.ReadDocument(list)
		require.NoError(t, err)
		l, err := d.Compile(1)
		require.NoError(t, err)
		lists = append(lists, l)
	}
	q, faults, err := pricing.Estimate(context.Background(), pricing.Fixed(lists...), root, job)
	require.NoError(t, err)
	require.Empty(t, faults)
	return q
}

// Each runs a test on the quote of every sample job.
func Each(t *testing.T, do func(t *testing.T, name string, q *pricing.Quote)) {
	for _, name := range Names(t) {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			do(t, name, Quote(t, name))
		})
	}
}
