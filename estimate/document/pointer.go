package document

import (
	"fmt"
	"strconv"
	"strings"
)

var (
	escape   = strings.NewReplacer("~", "~0", "/", "~1")
	unescape = strings.NewReplacer("~1", "/", "~0", "~")
)

// Escape writes the name of a member as a step of an RFC 6901 JSON pointer: ~ as ~0, / as ~1.
func Escape(name string) string { return escape.Replace(name) }

// Pointer is the RFC 6901 JSON pointer of these steps: strings are names of members, whole numbers places in arrays.
func Pointer(parts ...any) string {
	var b strings.Builder
	for _, p := range parts {
		b.WriteByte('/')
		switch p := p.(type) {
		case string:
			b.WriteString(Escape(p))
		case int:
			b.WriteString(strconv.Itoa(p))
		default:
			b.WriteString(Escape(fmt.Sprint(p)))
		}
	}
	return b.String()
}
