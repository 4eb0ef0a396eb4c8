// Package bedline holds the contract of the service: the OpenAPI document that the program embeds, serves and holds
// every request to.
package bedline

import _ "embed"

//go:embed openapi.yaml
var document string

// OpenAPI is the OpenAPI 3.0.3 document in YAML, a fresh copy at every call.
func OpenAPI() []byte { return []byte(document) }
