package contract

import (
	"maps"
	"slices"
	"strings"

	"github.com/getkin/kin-openapi/openapi3"

	"bedline/estimate/document"
)

// Codes that only the contract uses; the others are those of package document.
const (
	CodeConflict         = "conflict"          // members that exclude each other
	CodeUnknownParameter = "unknown_parameter" // a query parameter that the operation does not have
	CodeRepeated         = "repeated"          // a parameter given more than once
	CodeMalformed        = "malformed"         // anything that cannot be read
)

// Body holds a request body, as Node.Any gives it, to the operation's schema and returns what is wrong, one fault for
// each place, in no particular order. An operation without a body has no faults. No fault repeats a value of the body.
func (o *Operation) Body(value any) []document.Fault {
	if o.body == nil {
		return nil
	}
	return check(o.body, value)
}

func check(schema *openapi3.Schema, value any) []document.Fault {
	err := schema.VisitJSON(value, visiting...)
	if err == nil {
		return nil
	}
	f := flattener{placed: map[string]bool{}, objects: map[string]bool{}}
	f.flatten("", err)
	return f.faults
}

// visiting are the options of every visit: all errors at once, quantities by their parsers. They are never changed.
var visiting = []openapi3.SchemaValidationOption{openapi3.MultiErrors(), openapi3.WithStringFormatValidators(quantityFormats)}

// flattener turns the nested errors of the OpenAPI library into faults. It reads only the keyword, the schema and the
// place of an error, never its text, which may quote the document.
type flattener struct {
	faults  []document.Fault
	placed  map[string]bool // pointers that have a fault
	objects map[string]bool // objects whose unknown members are noted
}

func (f *flattener) add(at, code, detail, example string) {
	if !f.placed[at] {
		f.placed[at] = true
		f.faults = append(f.faults, document.Fault{Pointer: at, Code: code, Detail: detail, Example: example})
	}
}

func (f *flattener) flatten(base string, err error) {
	switch e := err.(type) {
	case nil:
	case openapi3.MultiError:
		for _, one := range e {
			f.flatten(base, one)
		}
	case *openapi3.SchemaError:
		var at strings.Builder
		at.WriteString(base)
		for _, step := range e.JSONPointer() {
			at.WriteByte('/')
			at.WriteString(document.Escape(step))
		}
		f.schemaError(at.String(), e)
	default:
		f.add(base, CodeMalformed, "cannot be checked", "")
	}
}

// visit goes into a schema of its own, below at.
func (f *flattener) visit(at string, schema *openapi3.Schema, value any) {
	f.flatten(at, schema.VisitJSON(value, visiting...))
}

func (f *flattener) schemaError(at string, e *openapi3.SchemaError) {
	s := e.Schema
	switch e.SchemaField {
	case "required":
		f.missing(at, s)
	case "properties":
		f.unknown(at, s, e.Value)
	case "oneOf":
		f.oneOf(at, s, e.Value)
	case "anyOf":
		f.add(at, document.CodeMissing, "has none of "+strings.Join(alternatives(s.AnyOf), ", ")+": it needs at least one", exampleOf(nil, s))
		f.rest(at, s, e.Value)
	case "not":
		f.exclusive(at, s.Not.Value.Required, e.Value)
		f.rest(at, s, e.Value)
	case "allOf":
		for _, part := range s.AllOf {
			f.visit(at, part.Value, e.Value)
		}
	case "discriminator":
		f.discriminator(at, s, e.Value)
	case "nullable":
		f.add(at, document.CodeNull, "is null: leave it out, or it must be "+want(s), exampleOf(nil, s))
	case "type":
		if _, number := e.Value.(float64); number && quantity(s) != "" {
			f.add(at, document.CodeUnitMissing, "is a number without a unit: it must be "+want(s), exampleOf(nil, s))
			return
		}
		f.add(at, document.CodeWrongType, "must be "+want(s), exampleOf(nil, s))
	case "enum":
		f.add(at, document.CodeUnknownValue, "must be "+want(s), exampleOf(nil, s))
	case "pattern":
		f.add(at, patternCode(s), "must be "+want(s), exampleOf(nil, s))
	case "format":
		code := document.CodeBadText
		if quantity(s) != "" {
			code = document.CodeBadQuantity
		}
		f.add(at, code, "must be "+want(s), exampleOf(nil, s))
	default: // limits of lengths, counts and numbers
		f.add(at, document.CodeOutOfRange, "must be "+want(s), exampleOf(nil, s))
	}
}

// missing notes a required member; at is where it should be.
func (f *flattener) missing(at string, s *openapi3.Schema) {
	name := unescape(at[strings.LastIndexByte(at, '/')+1:])
	detail, example := "is missing", ""
	if ref := s.Properties[name]; ref != nil {
		detail += ": it must be " + want(ref.Value)
		example = exampleOf(nil, ref.Value)
	}
	f.add(at, document.CodeMissing, detail, example)
}

// mostUnknown is how many unknown members of one object are noted.
const mostUnknown = 100

// unknown notes the members that the schema does not have. The library reports each of them with the whole object, so
// an object is looked at once.
func (f *flattener) unknown(at string, s *openapi3.Schema, value any) {
	object, ok := value.(map[string]any)
	if !ok || f.objects[at] {
		return
	}
	f.objects[at] = true
	known := slices.Sorted(maps.Keys(s.Properties))
	noted := 0
	for _, name := range slices.Sorted(maps.Keys(object)) {
		if s.Properties[name] != nil {
			continue
		}
		if noted++; noted > mostUnknown {
			return
		}
		detail, example := "is not a member of this object", ""
		if near := document.Nearest(name, known); len(near) > 0 {
			detail += ": did you mean " + strings.Join(near, " or ") + "?"
			example = quote(near[0])
		}
		f.add(at+"/"+document.Escape(name), document.CodeUnknownMember, detail, example)
	}
}

// oneOf goes into the branch that the value was meant for: by its discriminator, by its JSON type, or by which of the
// members that exclude each other it has.
func (f *flattener) oneOf(at string, s *openapi3.Schema, value any) {
	if s.Discriminator != nil {
		f.discriminated(at, s, value)
		return
	}
	if names := alternatives(s.OneOf); names != nil {
		object, ok := value.(map[string]any)
		if !ok {
			f.rest(at, s, value)
			return
		}
		present := slices.DeleteFunc(slices.Clone(names), func(n string) bool { _, ok := object[n]; return !ok })
		if len(present) == 0 {
			detail, example := "is missing: exactly one of "+strings.Join(names, ", ")+" is needed", ""
			if ref := s.Properties[names[0]]; ref != nil {
				example = exampleOf(nil, ref.Value)
			}
			f.add(at+"/"+document.Escape(names[0]), document.CodeMissing, detail, example)
		} else {
			f.exclusive(at, names, value)
		}
		f.rest(at, s, value)
		return
	}
	var fitting *openapi3.Schema
	for _, branch := range s.OneOf {
		if branch.Value.Type.Is(typeOf(value)) || typeOf(value) == openapi3.TypeNumber && branch.Value.Type.Is(openapi3.TypeInteger) {
			fitting = branch.Value
		}
	}
	if fitting != nil {
		f.visit(at, fitting, value)
		return
	}
	f.add(at, document.CodeWrongType, "must be "+want(s), exampleOf(nil, s))
}

func (f *flattener) discriminated(at string, s *openapi3.Schema, value any) {
	object, ok := value.(map[string]any)
	if !ok {
		f.add(at, document.CodeWrongType, "must be an object", exampleOf(nil, s))
		return
	}
	word, _ := object[s.Discriminator.PropertyName].(string)
	for _, branch := range s.OneOf {
		if branch.Ref == s.Discriminator.Mapping[word].Ref {
			f.visit(at, branch.Value, value)
			return
		}
	}
	f.discriminator(at, s, value)
}

// discriminator notes a member that should have chosen the branch and did not.
func (f *flattener) discriminator(at string, s *openapi3.Schema, value any) {
	words := slices.Sorted(maps.Keys(s.Discriminator.Mapping))
	at += "/" + document.Escape(s.Discriminator.PropertyName)
	must, example := "must be one of "+strings.Join(words, ", "), quote(words[0])
	switch value.(type) {
	case string:
		f.add(at, document.CodeUnknownValue, must, example)
	case nil:
		f.add(at, document.CodeMissing, "is missing: it "+must, example)
	default:
		f.add(at, document.CodeWrongType, must, example)
	}
}

// exclusive notes the last of the members that exclude each other.
func (f *flattener) exclusive(at string, names []string, value any) {
	object, _ := value.(map[string]any)
	last, others := "", []string{}
	for _, name := range names {
		if _, ok := object[name]; ok {
			if last != "" {
				others = append(others, last)
			}
			last = name
		}
	}
	if len(others) > 0 {
		f.add(at+"/"+document.Escape(last), CodeConflict, "excludes "+strings.Join(others, ", ")+": give only one of them", "")
	}
}

// rest checks what the library leaves out once a oneOf, anyOf or not has failed.
func (f *flattener) rest(at string, s *openapi3.Schema, value any) {
	rest := *s
	rest.OneOf, rest.AnyOf, rest.Not, rest.Discriminator = nil, nil, nil, nil
	f.visit(at, &rest, value)
}

// alternatives are the members of branches that only require one member each; nil if any branch does more.
func alternatives(branches openapi3.SchemaRefs) []string {
	var names []string
	for _, b := range branches {
		if b.Value.Type != nil || len(b.Value.Required) != 1 {
			return nil
		}
		names = append(names, b.Value.Required[0])
	}
	return names
}
