package api_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api"
	"bedline/estimate/document"
	"bedline/pricing"
)

// answersOf prices every sample job.
func answersOf(t testing.TB) map[string]*api.Answer {
	t.Helper()
	files, err := filepath.Glob("../testdata/jobs/*.json")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	answers := map[string]*api.Answer{}
	for _, file := range files {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		root, err := document.Parse(text)
		require.NoError(t, err)
		quote, faults, err := pricing.Estimate(t.Context(), pricing.Fixed(pricing.Sample()), root, text)
		require.NoError(t, err)
		require.Empty(t, faults, file)
		answers[file] = api.NewAnswer(quote)
	}
	return answers
}

// TestAnswersAreWrittenAsTheStandardLibraryWritesThem compares our writer with encoding/json, byte by byte.
func TestAnswersAreWrittenAsTheStandardLibraryWritesThem(t *testing.T) {
	t.Parallel()
	for file, answer := range answersOf(t) {
		got := answer.Append(nil)
		var want bytes.Buffer
		e := json.NewEncoder(&want)
		e.SetEscapeHTML(false)
		require.NoError(t, e.Encode(answer))
		assert.Equal(t, string(bytes.TrimSuffix(want.Bytes(), []byte("\n"))), string(got), file)
	}
}

func BenchmarkAppend(b *testing.B) {
	answer := answersOf(b)["../testdata/jobs/garage-bed.json"]
	for b.Loop() {
		answer.Append(make([]byte, 0, 48<<10))
	}
}

func BenchmarkAppendStandard(b *testing.B) {
	answer := answersOf(b)["../testdata/jobs/garage-bed.json"]
	for b.Loop() {
		if _, err := json.Marshal(answer); err != nil {
			b.Fatal(err)
		}
	}
}
