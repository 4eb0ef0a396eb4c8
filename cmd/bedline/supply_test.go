package main_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every request for buying of the test data against its answer, through the command line: files named compare-... are
// bare quantities, pool-... several jobs. The figures of the answers were gone over with pencil and paper when they were
// written.
func TestSupplyAnswersAreAsExpected(t *testing.T) {
	t.Parallel()
	const dir = "../../testdata/supply"
	files, err := filepath.Glob(filepath.Join(dir, "*.json"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		name := filepath.Base(file)
		kind, _, _ := strings.Cut(name, "-")
		t.Run(strings.TrimSuffix(name, ".json"), func(t *testing.T) {
			t.Parallel()
			out, errs, code := command(t, "", "supply", kind, file)
			require.Zero(t, code, out+errs)
			var answer bytes.Buffer
			require.NoError(t, json.Indent(&answer, []byte(out), "", "  "))
			golden := filepath.Join(dir, "answers", name)
			if *update {
				require.NoError(t, os.WriteFile(golden, answer.Bytes(), 0o644))
			}
			want, err := os.ReadFile(golden)
			require.NoError(t, err)
			require.Equal(t, string(want), answer.String())
		})
	}
}

func TestBuyingOnTheCommandLine(t *testing.T) {
	t.Parallel()
	// From standard input, with a list of one's own: the gravel of the pencil list, worked in the tests of package pricing.
	out, _, code := command(t, `{"requirements":[{"material":"gravel","quantity":"18 ft3"}]}`, "supply", "compare", "--prices", "../../testdata/price-lists/pencil.json", "-")
	assert.Zero(t, code)
	assert.Contains(t, out, `"landed_cost":"119.52"`)
	out, _, code = command(t, `{"jobs":[]}`, "supply", "pool", "-")
	assert.Equal(t, 1, code)
	assert.Contains(t, out, "/problems/invalid-requirements")
	_, errs, code := command(t, "", "supply", "pool", "no-such-file.json")
	assert.Equal(t, 1, code)
	assert.Contains(t, errs, "reading the request")
	_, _, code = command(t, "", "supply")
	assert.Equal(t, 2, code)
}
