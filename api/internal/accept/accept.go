// Package accept chooses the representation of an answer from the Accept field of a request (RFC 9110, 12.5.1).
package accept

import (
	"strconv"
	"strings"
)

// Choose gives the place in offers of the media type that the client likes best; of equals, the first. Each value of
// header is one line of the Accept field. No field, an empty one and one without any readable range accept anything.
// ok is false when nothing on offer is acceptable.
//
// Of the ranges that match an offer the most specific counts: with its parameters, then the type, then type/*, then
// */*. A quality of 0 excludes. Every text here is UTF-8, so charset=utf-8 in a range matches offers without one.
func Choose(header []string, offers []string) (best int, ok bool) {
	ranges := parse(strings.Join(header, ","))
	if len(ranges) == 0 {
		return 0, len(offers) > 0
	}
	top := 0
	for i, offer := range offers {
		if q := quality(ranges, offer); q > top {
			best, top = i, q
		}
	}
	return best, top > 0
}

// mediaRange is one element of the field. Quality is in thousandths.
type mediaRange struct {
	major, minor string
	parameters   []string // name=value in small letters, without charset=utf-8
	quality      int
}

// quality is what the most specific range that matches the offer says of it; 0 if none does.
func quality(ranges []mediaRange, offer string) int {
	kind, rest, _ := strings.Cut(offer, ";")
	major, minor, _ := strings.Cut(strings.ToLower(strings.TrimSpace(kind)), "/")
	rest = strings.ToLower(strings.ReplaceAll(rest, " ", ""))
	q, precedence := 0, -1
	for _, r := range ranges {
		p := 0
		switch {
		case r.major == "*":
		case r.major != major:
			continue
		case r.minor == "*":
			p = 1
		case r.minor != minor:
			continue
		default:
			p = 2
		}
		if !contains(rest, r.parameters) {
			continue
		}
		p = p*100 + len(r.parameters)
		if p > precedence || p == precedence && r.quality > q {
			q, precedence = r.quality, p
		}
	}
	return q
}

func contains(offered string, parameters []string) bool {
	for _, p := range parameters {
		found := false
		for o := range strings.SplitSeq(offered, ";") {
			found = found || o == p
		}
		if !found {
			return false
		}
	}
	return true
}

// parse reads the elements of the field and leaves out those that are not well-formed.
func parse(field string) []mediaRange {
	var ranges []mediaRange
	for _, element := range split(field, ',') {
		parts := split(element, ';')
		major, minor, ok := strings.Cut(strings.ToLower(strings.TrimSpace(parts[0])), "/")
		if !ok || !token(major) || !token(minor) || major == "*" && minor != "*" {
			continue
		}
		r := mediaRange{major: major, minor: minor, quality: 1000}
		good := true
		for _, part := range parts[1:] {
			name, value, _ := strings.Cut(strings.TrimSpace(part), "=")
			name = strings.ToLower(name)
			switch {
			case name == "":
			case name == "q":
				if r.quality, ok = weight(value); !ok {
					good = false
				}
			case !token(name):
				good = false
			default:
				if p := name + "=" + strings.ToLower(strings.Trim(value, `"`)); p != "charset=utf-8" {
					r.parameters = append(r.parameters, p)
				}
			}
			if name == "q" {
				break // what follows is no part of the range any more
			}
		}
		if good {
			ranges = append(ranges, r)
		}
	}
	return ranges
}

// weight reads a quality of at most three decimals as thousandths (RFC 9110, 12.4.2).
func weight(s string) (int, bool) {
	whole, fraction, point := strings.Cut(s, ".")
	if whole != "0" && whole != "1" || len(fraction) > 3 || point && strings.Trim(fraction, "0123456789") != "" {
		return 0, false
	}
	n, err := strconv.Atoi(whole + fraction + "000"[len(fraction):])
	if err != nil || n > 1000 {
		return 0, false
	}
	return n, true
}

// split cuts at the separator outside of quoted strings.
func split(s string, separator byte) []string {
	var parts []string
	start, quoted := 0, false
	for i := 0; i < len(s); i++ {
		switch {
		case quoted && s[i] == '\\':
			i++
		case s[i] == '"':
			quoted = !quoted
		case s[i] == separator && !quoted:
			parts = append(parts, s[start:i])
			start = i + 1
		}
	}
	return append(parts, s[start:])
}

// token tells whether s is a token of RFC 9110, 5.6.2.
func token(s string) bool {
	if s == "" {
		return false
	}
	for i := range len(s) {
		c := s[i]
		if c <= ' ' || c >= 0x7f || strings.IndexByte(`"(),/:;<=>?@[\]{}`, c) >= 0 {
			return false
		}
	}
	return true
}
