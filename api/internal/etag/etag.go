// Package etag makes and compares entity tags (RFC 9110, 8.8.3).
package etag

import (
	"crypto/sha256"
	"encoding/base64"
	"strings"
)

// Of is a strong entity tag of the bytes, quotes included.
func Of(body []byte) string {
	sum := sha256.Sum256(body)
	return `"` + base64.RawURLEncoding.EncodeToString(sum[:18]) + `"`
}

// Comparison is how two entity tags are compared (RFC 9110, 8.8.3.2).
type Comparison bool

// The comparisons.
const (
	Weak   Comparison = false // for If-None-Match: W/"a" and "a" are the same
	Strong Comparison = true  // for If-Match: a weak tag is like no other
)

// List is the value of an If-Match or If-None-Match field.
type List struct {
	Any  bool     // the field is *
	Tags []string // as sent, quotes and W/ included
}

// Parse reads the field; what is no entity tag is left out.
func Parse(lines []string) List {
	s := strings.TrimSpace(strings.Join(lines, ","))
	if s == "*" {
		return List{Any: true}
	}
	var l List
	for s != "" {
		s = strings.TrimLeft(s, " \t,")
		weak := strings.HasPrefix(s, "W/")
		rest := strings.TrimPrefix(s, "W/")
		end := -1
		if strings.HasPrefix(rest, `"`) {
			end = strings.IndexByte(rest[1:], '"')
		}
		if end < 0 { // no entity tag: on to the next comma
			if i := strings.IndexByte(s, ','); i >= 0 {
				s = s[i:]
				continue
			}
			break
		}
		tag := rest[:end+2]
		s = rest[end+2:]
		if weak {
			tag = "W/" + tag
		}
		l.Tags = append(l.Tags, tag)
	}
	return l
}

// Match tells whether the current entity tag, which is strong, is in the list. * matches anything that exists.
func (l List) Match(current string, c Comparison) bool {
	if l.Any {
		return true
	}
	for _, tag := range l.Tags {
		if c == Weak {
			tag = strings.TrimPrefix(tag, "W/")
		}
		if tag == current {
			return true
		}
	}
	return false
}
