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

// Every request of past jobs of the test data against its answer, through the command line. The rates of season.json are
// worked by hand in the tests of package pricing; the other figures were gone over with pencil and paper.
func TestCalibrationsAreAsExpected(t *testing.T) {
	t.Parallel()
	const dir = "../../testdata/calibrations"
	files, err := filepath.Glob(filepath.Join(dir, "*.json"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		name := filepath.Base(file)
		t.Run(strings.TrimSuffix(name, ".json"), func(t *testing.T) {
			t.Parallel()
			out, errs, code := command(t, "", "calibrate", file)
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

func TestCalibratingOnTheCommandLine(t *testing.T) {
	t.Parallel()
	out, _, code := command(t, `{"past_jobs":[]}`, "calibrate", "-")
	assert.Equal(t, 1, code)
	assert.Contains(t, out, "/problems/invalid-calibration")
	_, errs, code := command(t, "", "calibrate", "no-such-file.json")
	assert.Equal(t, 1, code)
	assert.Contains(t, errs, "reading the request")
	// A list of one's own: 8 h for 3.5 m3 of loam; 7 m3 took 32 h, twice as long, beside the list as one past job: 8 x sqrt(2).
	out, _, code = command(t, `{"prior_jobs":1,"past_jobs":[{"reference":"a","hours":[{"operation":"dig_bed","soil":"loam","quantity":"7 m3","hours":32}]}]}`,
		"calibrate", "--prices", "../../testdata/price-lists/metric.json", "-")
	assert.Zero(t, code)
	assert.Contains(t, out, `"new":11.3,`)
}
