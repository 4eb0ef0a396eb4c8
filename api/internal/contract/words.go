package contract

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/getkin/kin-openapi/openapi3"

	"bedline/estimate/document"
)

// keyPattern is the pattern of identifiers in the document.
const keyPattern = "^[a-z0-9][a-z0-9_-]{0,63}$"

// quantity is the kind of quantity that a string schema holds ("a length"), empty for other schemas.
func quantity(s *openapi3.Schema) string {
	q, _ := s.Extensions["x-quantity"].(string)
	return q
}

func patternCode(s *openapi3.Schema) string {
	switch {
	case s.Pattern == keyPattern:
		return document.CodeBadKey
	case quantity(s) != "":
		return document.CodeBadQuantity
	case isPrice(s):
		return document.CodeBadNumber
	}
	return document.CodeBadText
}

func isPrice(s *openapi3.Schema) bool { return strings.HasPrefix(s.Pattern, "^[0-9]{1,") }

// want says what a value of the schema is, for sentences that begin "must be".
func want(s *openapi3.Schema) string {
	such := ""
	if text, ok := s.Example.(string); ok {
		such = ", such as " + text
	}
	switch {
	case quantity(s) != "":
		return quantity(s) + " with its unit" + such
	case s.Pattern == keyPattern:
		return "an identifier of 1 to 64 small letters, digits, _ and -, beginning with a letter or digit"
	case len(s.Enum) == 1:
		return fmt.Sprint(s.Enum[0])
	case len(s.Enum) > 1:
		words := make([]string, len(s.Enum))
		for i, v := range s.Enum {
			words[i] = fmt.Sprint(v)
		}
		return "one of " + strings.Join(words, ", ")
	case s.Discriminator != nil:
		return "an object whose " + s.Discriminator.PropertyName + " says what it is"
	case len(s.AllOf) == 1:
		return want(s.AllOf[0].Value)
	case len(s.OneOf) > 0 && s.Type == nil:
		words := make([]string, len(s.OneOf))
		for i, branch := range s.OneOf {
			words[i] = want(branch.Value)
		}
		return strings.Join(words, ", or ")
	case isPrice(s):
		return "a decimal number in a string" + such
	case s.Type.Is(openapi3.TypeInteger):
		return "a whole number" + span(s)
	case s.Type.Is(openapi3.TypeNumber):
		return "a number" + span(s)
	case s.Type.Is(openapi3.TypeBoolean):
		return "true or false"
	case s.Type.Is(openapi3.TypeArray):
		return "an array" + counts(uint64(s.MinItems), s.MaxItems, "items")
	case s.Type.Is(openapi3.TypeObject):
		return "an object"
	case s.Format == "date":
		return "a day of the calendar as YYYY-MM-DD" + such
	case s.Type.Is(openapi3.TypeString):
		return "a text" + counts(uint64(s.MinLength), s.MaxLength, "characters") + such
	}
	return "a value"
}

func span(s *openapi3.Schema) string {
	switch {
	case s.Min != nil && s.Max != nil && s.ExclusiveMax.IsTrue():
		return " from " + number(*s.Min) + " to less than " + number(*s.Max)
	case s.Min != nil && s.Max != nil:
		return " from " + number(*s.Min) + " to " + number(*s.Max)
	case s.Min != nil:
		return " of at least " + number(*s.Min)
	case s.Max != nil:
		return " of at most " + number(*s.Max)
	}
	return ""
}

func number(x float64) string {
	if x == math.Trunc(x) && math.Abs(x) < 1<<53 {
		return strconv.FormatInt(int64(x), 10)
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

func counts(least uint64, most *uint64, things string) string {
	switch {
	case most == nil && least == 0:
		return ""
	case most == nil:
		return fmt.Sprintf(" of at least %d %s", least, things)
	case least == *most:
		return fmt.Sprintf(" of %d %s", least, things)
	case least == 0:
		return fmt.Sprintf(" of at most %d %s", *most, things)
	}
	return fmt.Sprintf(" of %d to %d %s", least, *most, things)
}

// exampleOf is the JSON text of a right value: the example given, else that of the schema, else its first word.
func exampleOf(example any, s *openapi3.Schema) string {
	if example == nil {
		example = s.Example
	}
	if example == nil && len(s.Enum) > 0 {
		example = s.Enum[0]
	}
	if example == nil && len(s.AllOf) == 1 {
		return exampleOf(nil, s.AllOf[0].Value)
	}
	if example == nil {
		return ""
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(example); err != nil {
		return ""
	}
	return strings.TrimSuffix(b.String(), "\n")
}

func quote(s string) string { return exampleOf(s, &openapi3.Schema{}) }

func typeOf(value any) string {
	switch value.(type) {
	case bool:
		return openapi3.TypeBoolean
	case float64:
		return openapi3.TypeNumber
	case string:
		return openapi3.TypeString
	case []any:
		return openapi3.TypeArray
	case map[string]any:
		return openapi3.TypeObject
	}
	return "null"
}

var unescaper = strings.NewReplacer("~1", "/", "~0", "~")

func unescape(step string) string { return unescaper.Replace(step) }
