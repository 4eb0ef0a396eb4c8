package api_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTheExamplesOfTheContractAreEstimated(t *testing.T) {
	t.Parallel()
	s := start(t)
	o, ok := s.contract.Operation("createEstimate")
	require.True(t, ok)
	examples, err := o.Examples()
	require.NoError(t, err)
	require.NotEmpty(t, examples)
	for name, text := range examples {
		a := s.post(string(text))
		assert.Equal(t, 200, a.status, "%s: %s", name, a.body)
		assert.Equal(t, "application/json", a.header.Get("Content-Type"), "C11")
		assert.Equal(t, "no-store", a.header.Get("Cache-Control"), "D2")
		assert.Equal(t, `</v1/price-lists/standard/versions/1>; rel="describedby"`, a.header.Get("Link"), "D8")
		assert.Equal(t, string(a.body), string(s.post(string(text)).body), "F16")
	}
}
