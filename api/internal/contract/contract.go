// Package contract holds requests to the OpenAPI document of the service and says in words of its own what is wrong
// with them. It is the only package that knows the OpenAPI library.
package contract

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"slices"
	"strings"

	"github.com/getkin/kin-openapi/openapi3"
	"go.yaml.in/yaml/v4"
)

// Contract is a loaded and validated OpenAPI document. It is read-only and safe for concurrent use.
type Contract struct {
	doc        *openapi3.T
	operations map[string]*Operation
	json       []byte
}

// Operation is one operation of the contract.
type Operation struct {
	ID     string
	Method string
	Path   string // as the document writes it: /v1/price-lists/{name}

	op         *openapi3.Operation
	parameters []parameter
	body       *openapi3.Schema
	bodyTypes  []string
	examples   map[string][]byte // of the request, as JSON
	answers    map[string][]byte // with status 200
}

type parameter struct {
	in, name string
	required bool
	schema   *openapi3.Schema
	example  string
}

// Load reads an OpenAPI 3.0.3 document, validates it with its examples, and resolves its operations. External
// references are refused.
func Load(document []byte) (*Contract, error) {
	loader := openapi3.NewLoader()
	loader.IsExternalRefsAllowed = false
	doc, err := loader.LoadFromData(document)
	if err != nil {
		return nil, fmt.Errorf("reading the OpenAPI document: %w", err)
	}
	if err := doc.Validate(context.Background()); err != nil {
		return nil, fmt.Errorf("validating the OpenAPI document: %w", err)
	}
	text, err := toJSON(document)
	if err != nil {
		return nil, fmt.Errorf("writing the OpenAPI document as JSON: %w", err)
	}
	c := &Contract{doc: doc, operations: map[string]*Operation{}, json: text}
	if err := parseQuantities(doc); err != nil {
		return nil, err
	}
	for path, item := range doc.Paths.Map() {
		for method, op := range item.Operations() {
			if op.OperationID == "" || c.operations[op.OperationID] != nil {
				return nil, fmt.Errorf("%s %s needs an operationId of its own", method, path)
			}
			o := resolve(method, path, item, op)
			if err := o.takeExamples(); err != nil {
				return nil, err
			}
			c.operations[op.OperationID] = o
		}
	}
	if doc.Components != nil {
		for _, example := range doc.Components.Examples {
			example.Value.Value = nil
		}
	}
	return c, nil
}

// toJSON writes YAML as JSON. It does not go through the library, which leaves empty arrays out.
func toJSON(document []byte) ([]byte, error) {
	var tree any
	if err := yaml.Unmarshal(document, &tree); err != nil {
		return nil, err
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(tree); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

func resolve(method, path string, item *openapi3.PathItem, op *openapi3.Operation) *Operation {
	o := &Operation{ID: op.OperationID, Method: method, Path: path, op: op}
	for _, list := range []openapi3.Parameters{item.Parameters, op.Parameters} {
		for _, ref := range list {
			p := ref.Value
			o.parameters = append(o.parameters, parameter{p.In, p.Name, p.Required, p.Schema.Value, exampleOf(p.Example, p.Schema.Value)})
		}
	}
	if op.RequestBody != nil {
		for mediaType, content := range op.RequestBody.Value.Content {
			o.bodyTypes = append(o.bodyTypes, mediaType)
			if mediaType == "application/json" {
				o.body = content.Schema.Value
			}
		}
		slices.Sort(o.bodyTypes)
	}
	return o
}

// JSON is the document as JSON, members in a fixed order. The bytes are a copy.
func (c *Contract) JSON() []byte { return slices.Clone(c.json) }

// Version is the version of the document.
func (c *Contract) Version() string { return c.doc.Info.Version }

// Operation finds an operation by its id.
func (c *Contract) Operation(id string) (*Operation, bool) {
	o, ok := c.operations[id]
	return o, ok
}

// Operations are all operations, by path and method.
func (c *Contract) Operations() []*Operation {
	all := make([]*Operation, 0, len(c.operations))
	for _, o := range c.operations {
		all = append(all, o)
	}
	slices.SortFunc(all, func(a, b *Operation) int {
		return cmp.Or(strings.Compare(a.Path, b.Path), strings.Compare(a.Method, b.Method))
	})
	return all
}

// BodyTypes are the media types that the request may have, sorted; none if it has no body.
func (o *Operation) BodyTypes() []string { return o.bodyTypes }

// ResponseTypes are the media types of an answer with that status, sorted.
func (o *Operation) ResponseTypes(status int) []string {
	ref := o.op.Responses.Status(status)
	if ref == nil || ref.Value == nil {
		return nil
	}
	types := make([]string, 0, len(ref.Value.Content))
	for mediaType := range ref.Value.Content {
		types = append(types, mediaType)
	}
	slices.Sort(types)
	return types
}

// Enum are the words that a component schema allows, in the order of the document.
func (c *Contract) Enum(component string) []string {
	ref := c.doc.Components.Schemas[component]
	if ref == nil {
		return nil
	}
	words := make([]string, 0, len(ref.Value.Enum))
	for _, v := range ref.Value.Enum {
		if s, ok := v.(string); ok {
			words = append(words, s)
		}
	}
	return words
}

// Answers are the bodies that the operation gives as examples of its answer with status 200, as JSON, by name.
func (o *Operation) Answers() map[string][]byte { return maps.Clone(o.answers) }

// Examples are the request bodies that the operation gives as examples, as JSON, by name.
func (o *Operation) Examples() map[string][]byte { return maps.Clone(o.examples) }

// takeExamples writes the examples of the operation as JSON. The trees of them go: they would be the largest part of what
// the garbage collector goes through again and again.
func (o *Operation) takeExamples() error {
	var err error
	if o.op.RequestBody != nil {
		if o.examples, err = written(o.op.RequestBody.Value.Content); err != nil {
			return fmt.Errorf("writing the examples of %s: %w", o.ID, err)
		}
	}
	if response := o.op.Responses.Status(http.StatusOK); response != nil {
		if o.answers, err = written(response.Value.Content); err != nil {
			return fmt.Errorf("writing the answers of %s: %w", o.ID, err)
		}
	}
	return nil
}

func written(content openapi3.Content) (map[string][]byte, error) {
	texts := map[string][]byte{}
	for _, media := range content {
		for name, ref := range media.Examples {
			text, err := json.Marshal(ref.Value.Value)
			if err != nil {
				return nil, fmt.Errorf("example %s: %w", name, err)
			}
			texts[name] = text
		}
	}
	return texts, nil
}
