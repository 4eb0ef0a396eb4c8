// Package digest checks the Content-Digest field of a request (RFC 9530).
package digest

import (
	"crypto/sha256"
	"crypto/sha512"
	"crypto/subtle"
	"encoding/base64"
	"strings"
)

// Verify holds the body to every digest in the field whose algorithm is active in the registry of RFC 9530: sha-256
// and sha-512. Other algorithms are ignored, as that RFC allows. A digest of these that cannot be read does not match.
func Verify(lines []string, body []byte) bool {
	for element := range strings.SplitSeq(strings.Join(lines, ","), ",") {
		algorithm, value, _ := strings.Cut(strings.TrimSpace(element), "=")
		var sum []byte
		switch algorithm {
		case "sha-256":
			s := sha256.Sum256(body)
			sum = s[:]
		case "sha-512":
			s := sha512.Sum512(body)
			sum = s[:]
		default:
			continue
		}
		value, _, _ = strings.Cut(value, ";")
		value = strings.TrimSpace(value)
		if len(value) < 2 || value[0] != ':' || value[len(value)-1] != ':' {
			return false
		}
		sent, err := base64.StdEncoding.DecodeString(value[1 : len(value)-1])
		if err != nil || subtle.ConstantTimeCompare(sent, sum) != 1 {
			return false
		}
	}
	return true
}
