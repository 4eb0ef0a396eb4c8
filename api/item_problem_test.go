package api_test

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A refusal is an RFC 9457 document whose errors each have the pointer (RFC 6901) of the member, a code, a sentence and,
// where there is one, a right example.
func TestItem41FaultsAreProblemDocumentsThatNameTheMember(t *testing.T) {
	t.Parallel()
	s := start(t)
	a := s.post(`{"ground":{"soil":"loam","cover":"turf","haul":60},"beds":[{"id":"a","outline":{"kind":"circle","radius":"4 feet"},"co/lour":1}]}`)
	require.Equal(t, 422, a.status)
	assert.Equal(t, "application/problem+json", a.header.Get("Content-Type"))
	var p struct {
		Type, Title, Detail, Instance string
		Status                        int
		Errors                        []map[string]string
	}
	require.NoError(t, json.Unmarshal(a.body, &p))
	assert.Equal(t, 422, p.Status)
	assert.True(t, strings.HasPrefix(p.Type, "https://"), "an absolute URI")
	assert.True(t, strings.HasPrefix(p.Instance, "urn:uuid:"))
	require.Len(t, p.Errors, 3)
	for i, want := range []struct{ pointer, code, example string }{
		{"/ground/haul", "unit_missing", "70 in"},
		{"/beds/0/outline/radius", "bad_quantity", "70 in"},
		{"/beds/0/co~1lour", "unknown_member", ""},
	} {
		assert.Equal(t, want.pointer, p.Errors[i]["pointer"])
		assert.Equal(t, want.code, p.Errors[i]["code"])
		assert.NotEmpty(t, p.Errors[i]["detail"])
		if want.example != "" {
			assert.Equal(t, want.example, p.Errors[i]["example"])
		}
	}
}
