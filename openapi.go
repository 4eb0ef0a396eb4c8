// Package bedline holds what the program embeds beside its code: the OpenAPI document that it serves and holds every
// request to, and the sample jobs that it shows.
package bedline

import (
	"embed"
	"fmt"
)

//go:embed openapi.yaml
var document string

// OpenAPI is the OpenAPI 3.0.3 document in YAML, a fresh copy at every call.
func OpenAPI() []byte { return []byte(document) }

//go:embed testdata/jobs/*.json
var jobs embed.FS

// SampleJob is the text of a sample job of the name. The error says that there is none.
func SampleJob(name string) ([]byte, error) {
	text, err := jobs.ReadFile("testdata/jobs/" + name + ".json")
	if err != nil {
		return nil, fmt.Errorf("reading the sample job %s: %w", name, err)
	}
	return text, nil
}
