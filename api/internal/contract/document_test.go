package contract_test

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// nodes visits every object of the document with its place.
func nodes(place string, v any, visit func(place string, object map[string]any)) {
	switch v := v.(type) {
	case map[string]any:
		visit(place, v)
		for name, member := range v {
			if name != "example" && name != "examples" {
				nodes(place+"/"+name, member, visit)
			}
		}
	case []any:
		for _, item := range v {
			nodes(place, item, visit)
		}
	}
}

func tree(t *testing.T) map[string]any {
	t.Helper()
	var doc map[string]any
	require.NoError(t, json.Unmarshal(load(t).JSON(), &doc))
	return doc
}

func TestG2EverySchemaIsBounded(t *testing.T) {
	t.Parallel()
	n := 0
	nodes("", tree(t), func(place string, s map[string]any) {
		has := func(name string) bool { _, ok := s[name]; return ok }
		kind, _ := s["type"].(string)
		switch kind {
		case "string":
			assert.True(t, has("maxLength") || has("enum"), "%s has no maxLength", place)
		case "integer", "number":
			assert.True(t, has("minimum") && has("maximum"), "%s has no minimum and maximum", place)
		case "array":
			assert.True(t, has("maxItems"), "%s has no maxItems", place)
			assert.True(t, has("items"), "%s has no items", place)
		case "object":
			assert.True(t, has("additionalProperties"), "%s does not say what else it may have", place)
			// The changes of a job are whatever the RFCs of patches say.
			if !strings.HasSuffix(place, "/OpenAPI") && !strings.HasSuffix(place, "/JobMergePatch") && !strings.HasSuffix(place, "/PatchOperation") {
				assert.Equal(t, false, s["additionalProperties"], "%s takes anything", place)
			}
		default:
			return
		}
		n++
	})
	assert.Greater(t, n, 200)
}

func TestJ3EveryOperationIsDescribed(t *testing.T) {
	t.Parallel()
	n := 0
	for path, item := range tree(t)["paths"].(map[string]any) {
		for method, op := range item.(map[string]any) {
			if method == "parameters" {
				continue
			}
			o := op.(map[string]any)
			for _, name := range []string{"operationId", "summary", "description", "tags"} {
				assert.NotEmpty(t, o[name], "%s %s: %s", method, path, name)
			}
			for status, response := range o["responses"].(map[string]any) {
				if status >= "400" {
					assert.Contains(t, response, "$ref", "%s %s: %s", method, path, status)
				}
			}
			n++
		}
	}
	assert.Greater(t, n, 10)
}

func TestJ4EveryUnionOfObjectsHasADiscriminator(t *testing.T) {
	t.Parallel()
	doc := tree(t)
	schemas := doc["components"].(map[string]any)["schemas"].(map[string]any)
	n := 0
	nodes("", schemas, func(place string, s map[string]any) {
		branches, _ := s["oneOf"].([]any)
		if place == "/JobChanges" {
			return // an array or an object
		}
		for _, b := range branches {
			ref, _ := b.(map[string]any)["$ref"].(string)
			if ref == "" {
				continue
			}
			branch := schemas[strings.TrimPrefix(ref, "#/components/schemas/")].(map[string]any)
			if branch["type"] != "object" {
				continue
			}
			d, ok := s["discriminator"].(map[string]any)
			require.True(t, ok, place)
			assert.Contains(t, branch["required"], d["propertyName"], "%s: the discriminator must be required in %s", place, ref)
			assert.Len(t, d["mapping"], len(branches), place)
			n++
		}
	})
	assert.Equal(t, 14, n)
}

func TestJ1TheContractIsOpenAPI303WithoutAnAbsoluteServer(t *testing.T) {
	t.Parallel()
	doc := tree(t)
	assert.Equal(t, "3.0.3", doc["openapi"], "KO8: the library checks 3.0.3 many times faster than 3.1")
	assert.Equal(t, []any{}, doc["security"])
	assert.Equal(t, "/", doc["servers"].([]any)[0].(map[string]any)["url"], "KO7")
}
