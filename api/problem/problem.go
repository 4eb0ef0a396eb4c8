package problem

import (
	"bytes"
	"encoding/json"
	"fmt"

	"bedline/estimate/document"
)

// MediaType is the media type of a problem document.
const MediaType = "application/problem+json"

// MostFaults is how many faults a problem document lists.
const MostFaults = 50

// Problem is one refusal.
type Problem struct {
	Slug      Slug
	Detail    string // what happened this time; without it the type's meaning stands
	Faults    []Fault
	Truncated bool     // there are more faults than are listed
	Available []string // media types that exist, for NotAcceptable
}

// Fault is one thing wrong with a request: of its body, unless Parameter or Header names another part.
type Fault struct {
	document.Fault
	Parameter string // a parameter of the path or the query
	Header    string // a header field
}

// New is a problem of the type with its detail.
func New(slug Slug, detail string) *Problem { return &Problem{Slug: slug, Detail: detail} }

// OfBody is a problem with the faults of a body, in the order given and cut to MostFaults. More says that there are
// more than are given.
func OfBody(slug Slug, faults []document.Fault, more bool) *Problem {
	p := &Problem{Slug: slug, Truncated: more}
	for _, f := range faults {
		if len(p.Faults) == MostFaults {
			p.Truncated = true
			break
		}
		p.Faults = append(p.Faults, Fault{Fault: f})
	}
	switch {
	case p.Truncated:
		p.Detail = fmt.Sprintf("There are more than %d faults; the first %d are listed.", MostFaults, MostFaults)
	case len(p.Faults) == 1:
		p.Detail = "There is one fault."
	default:
		p.Detail = fmt.Sprintf("There are %d faults.", len(p.Faults))
	}
	return p
}

// Type is the type of the problem; a slug that is none is an internal error.
func (p *Problem) Type() Type {
	if t, ok := Lookup(p.Slug); ok {
		return t
	}
	t, _ := Lookup(InternalError)
	return t
}

// Address is the address of a type below the public address of the service.
func Address(base string, slug Slug) string { return base + "/problems/" + string(slug) }

// JSON writes the problem document. Base is the public address of the service without a slash at its end, instance a
// name of this occurrence.
func (p *Problem) JSON(base, instance string) ([]byte, error) {
	t := p.Type()
	w := wire{Type: Address(base, t.Slug), Title: t.Title, Status: t.Status, Detail: p.Detail, Instance: instance,
		Truncated: p.Truncated, Available: p.Available}
	if w.Detail == "" {
		w.Detail = t.Meaning
	}
	for _, f := range p.Faults {
		e := wireFault{Parameter: f.Parameter, Header: f.Header, Code: f.Code, Detail: f.Detail}
		if f.Parameter == "" && f.Header == "" {
			e.Pointer = &f.Pointer
		}
		if json.Valid([]byte(f.Example)) { // a poor example is not worth the whole answer
			e.Example = json.RawMessage(f.Example)
		}
		w.Errors = append(w.Errors, e)
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(w); err != nil {
		return nil, fmt.Errorf("writing a problem document: %w", err)
	}
	return b.Bytes(), nil
}

type wire struct {
	Type      string      `json:"type"`
	Title     string      `json:"title"`
	Status    int         `json:"status"`
	Detail    string      `json:"detail"`
	Instance  string      `json:"instance"`
	Errors    []wireFault `json:"errors,omitempty"`
	Truncated bool        `json:"truncated,omitempty"`
	Available []string    `json:"available,omitempty"`
}

type wireFault struct {
	Pointer   *string         `json:"pointer,omitempty"`
	Parameter string          `json:"parameter,omitempty"`
	Header    string          `json:"header,omitempty"`
	Code      string          `json:"code"`
	Detail    string          `json:"detail"`
	Example   json.RawMessage `json:"example,omitempty"`
}
