package main_test

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"bedline/api"
	"bedline/estimate/document"
	"bedline/pricing"
)

var update = flag.Bool("update", false, "write the expected answers anew; review each figure before keeping them")

// Every job of the test data against its answer. The figures of the garage bed are worked out by hand in the tests of
// package pricing; those of the other answers were gone over with pencil and paper when they were written.
func TestAnswersAreAsExpected(t *testing.T) {
	t.Parallel()
	jobs, err := filepath.Glob(filepath.Join("..", "..", "testdata", "jobs", "*.json"))
	require.NoError(t, err)
	require.NotEmpty(t, jobs)
	for _, file := range jobs {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".json"), func(t *testing.T) {
			t.Parallel()
			text, err := os.ReadFile(file)
			require.NoError(t, err)
			root, err := document.Parse(text)
			require.NoError(t, err)
			q, faults, err := pricing.Estimate(context.Background(), pricing.Fixed(pricing.Sample()), root, text)
			require.NoError(t, err)
			require.Empty(t, faults)
			var answer bytes.Buffer
			require.NoError(t, json.Indent(&answer, api.NewAnswer(q).Append(nil), "", "  "))
			answer.WriteByte('\n')
			golden := filepath.Join("..", "..", "testdata", "answers", filepath.Base(file))
			if *update {
				require.NoError(t, os.WriteFile(golden, answer.Bytes(), 0o644))
			}
			want, err := os.ReadFile(golden)
			require.NoError(t, err)
			require.Equal(t, string(want), answer.String())
		})
	}
}
