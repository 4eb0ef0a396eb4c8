package contract

import (
	"maps"
	"net/http"
	"net/textproto"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/getkin/kin-openapi/openapi3"

	"bedline/estimate/document"
)

// ParameterFault is something wrong with a parameter of the path or the query, or with a header field.
type ParameterFault struct {
	In      string // "path", "query" or "header"
	Name    string
	Code    string
	Detail  string // to be read after the name
	Example string // the JSON text of a right value
}

// Parameters holds the parameters of a request to the operation: those of the path by way of the function given, the
// raw query, and the header fields that the operation names. Query parameters that it does not have, and any given
// twice, are faults. The faults come in the order of the contract, unknown parameters last by name.
func (o *Operation) Parameters(path func(name string) string, rawQuery string, header http.Header) []ParameterFault {
	var faults []ParameterFault
	query := url.Values{}
	if rawQuery != "" {
		var err error
		if query, err = url.ParseQuery(rawQuery); err != nil {
			faults = append(faults, ParameterFault{In: "query", Name: "", Code: CodeMalformed,
				Detail: "cannot be read: write it as name=value pairs joined by &, with % and other special characters escaped"})
		}
	}
	known := map[string]bool{}
	for i := range o.parameters {
		p := &o.parameters[i]
		var values []string
		switch p.in {
		case "path":
			values = []string{path(p.name)}
		case "query":
			known[p.name] = true
			values = query[p.name]
		case "header":
			values = header[textproto.CanonicalMIMEHeaderKey(p.name)]
			if len(values) > 1 { // a list field may be sent in several lines (RFC 9110, 5.3)
				values = []string{strings.Join(values, ", ")}
			}
		}
		faults = append(faults, p.check(values)...)
	}
	for _, name := range slices.Sorted(maps.Keys(query)) {
		if !known[name] {
			faults = append(faults, ParameterFault{In: "query", Name: name, Code: CodeUnknownParameter,
				Detail: "is not a parameter of this resource"})
		}
	}
	return faults
}

func (p *parameter) check(values []string) []ParameterFault {
	fault := func(code, detail string) []ParameterFault {
		return []ParameterFault{{In: p.in, Name: p.name, Code: code, Detail: detail, Example: p.example}}
	}
	switch {
	case len(values) == 0 && p.required:
		return fault(document.CodeMissing, "is missing: it must be "+want(p.schema))
	case len(values) == 0:
		return nil
	case len(values) > 1:
		return fault(CodeRepeated, "is given more than once")
	}
	var value any = values[0]
	switch {
	case p.schema.Type.Is(openapi3.TypeInteger), p.schema.Type.Is(openapi3.TypeNumber):
		if !plainNumber(values[0], p.schema.Type.Is(openapi3.TypeInteger)) {
			return fault(document.CodeWrongType, "must be "+want(p.schema))
		}
		n, err := strconv.ParseFloat(values[0], 64)
		if err != nil {
			return fault(document.CodeOutOfRange, "must be "+want(p.schema))
		}
		value = n
	case p.schema.Type.Is(openapi3.TypeBoolean):
		if values[0] != "true" && values[0] != "false" {
			return fault(document.CodeWrongType, "must be "+want(p.schema))
		}
		value = values[0] == "true"
	}
	for _, f := range check(p.schema, value) {
		return fault(f.Code, f.Detail)
	}
	return nil
}

// plainNumber tells whether a text is a number in digits without leading zeros, so that one number has one address.
func plainNumber(s string, whole bool) bool {
	if s == "" || len(s) > 40 || len(s) > 1 && s[0] == '0' && s[1] != '.' {
		return false
	}
	points := 0
	for i := range len(s) {
		switch {
		case '0' <= s[i] && s[i] <= '9':
		case s[i] == '.' && !whole && points == 0 && i > 0 && i < len(s)-1:
			points++
		default:
			return false
		}
	}
	return true
}
