package api_test

import (
	"os"
	"path/filepath"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api"
	"bedline/estimate/document"
	"bedline/pricing"
)

// TestAnswersDoNotDependOnWhatWasAskedBefore asks one engine for every sample job over and over, many at a time and in
// different orders, and compares each answer with that of an engine which has never been asked anything.
func TestAnswersDoNotDependOnWhatWasAskedBefore(t *testing.T) {
	t.Parallel()
	files, err := filepath.Glob("../testdata/jobs/*.json")
	require.NoError(t, err)
	require.Greater(t, len(files), 3)
	lists := pricing.Fixed(pricing.Sample())
	ask := func(e *api.Engine, text []byte) string {
		root, err := document.Parse(text)
		if !assert.NoError(t, err) {
			return ""
		}
		answer, faults, err := e.Estimate(t.Context(), root, text)
		if !assert.NoError(t, err) || !assert.Empty(t, faults) {
			return ""
		}
		return string(answer.JSON)
	}
	texts, want := make([][]byte, len(files)), make([]string, len(files))
	for i, file := range files {
		texts[i], err = os.ReadFile(file)
		require.NoError(t, err)
		want[i] = ask(api.NewEngine(lists), texts[i])
	}
	shared := api.NewEngine(lists)
	var all sync.WaitGroup
	for worker := range 6 {
		all.Go(func() {
			for round := range 4 * len(files) {
				i := (round*(worker+1) + worker) % len(files)
				if got := ask(shared, texts[i]); got != want[i] {
					t.Errorf("%s: the answer depends on what was asked before", files[i])
					return
				}
			}
		})
	}
	all.Wait()
}
