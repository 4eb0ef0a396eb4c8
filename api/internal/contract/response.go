package contract

import (
	"encoding/json"
	"fmt"
	"maps"
	"mime"
	"net/http"
	"slices"
	"strconv"

	"github.com/getkin/kin-openapi/openapi3"
)

// CheckResponse holds an answer to what the contract says of the operation: status, media type, header fields and
// content. A nil operation stands for a request that no operation is for; then the shared response of that status
// counts. It is for tests: in service it would cost more than the answer.
func (c *Contract) CheckResponse(o *Operation, status int, header http.Header, body []byte) error {
	response, err := c.response(o, status)
	if err != nil {
		return err
	}
	for _, name := range slices.Sorted(maps.Keys(response.Headers)) {
		h := response.Headers[name].Value
		text := header.Get(name)
		if text == "" {
			if h.Required {
				return fmt.Errorf("status %d: header field %s is missing", status, name)
			}
			continue
		}
		var value any = text
		if h.Schema.Value.Type.Is(openapi3.TypeInteger) {
			n, err := strconv.Atoi(text)
			if err != nil {
				return fmt.Errorf("status %d: header field %s is not a whole number", status, name)
			}
			value = float64(n)
		}
		if err := h.Schema.Value.VisitJSON(value); err != nil {
			return fmt.Errorf("status %d: header field %s: %w", status, name, err)
		}
	}
	if len(response.Content) == 0 || body == nil {
		if len(body) > 0 {
			return fmt.Errorf("status %d: there must be no content", status)
		}
		return nil
	}
	mediaType, _, err := mime.ParseMediaType(header.Get("Content-Type"))
	if err != nil {
		return fmt.Errorf("status %d: reading Content-Type: %w", status, err)
	}
	content := response.Content[mediaType]
	if content == nil {
		return fmt.Errorf("status %d: media type %s is not in the contract", status, mediaType)
	}
	var value any = string(body)
	if mediaType == "application/json" || mediaType == "application/problem+json" {
		if err := json.Unmarshal(body, &value); err != nil {
			return fmt.Errorf("status %d: reading the content: %w", status, err)
		}
	}
	if err := content.Schema.Value.VisitJSON(value, openapi3.MultiErrors(), openapi3.VisitAsResponse()); err != nil {
		return fmt.Errorf("status %d: %w", status, err)
	}
	return nil
}

func (c *Contract) response(o *Operation, status int) (*openapi3.Response, error) {
	if o != nil {
		ref := o.op.Responses.Status(status)
		if ref == nil {
			return nil, fmt.Errorf("operation %s has no status %d in the contract", o.ID, status)
		}
		return ref.Value, nil
	}
	for _, op := range c.Operations() {
		if ref := op.op.Responses.Status(status); ref != nil && status >= 400 {
			return ref.Value, nil
		}
	}
	return nil, fmt.Errorf("no operation has status %d in the contract", status)
}
