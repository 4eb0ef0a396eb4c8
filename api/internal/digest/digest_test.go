package digest_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"bedline/api/internal/digest"
)

// The digests of the body {"hello": "world"} and a line feed come from RFC 9530, appendix B.1 (sha-256) and section 2
// (sha-512).
func TestI3ContentDigestIsVerified(t *testing.T) {
	t.Parallel()
	const (
		body   = "{\"hello\": \"world\"}\n"
		sha256 = "sha-256=:RK/0qy18MlBSVnWgjwz6lZEWjP/lF5HF9bvEF8FabDg=:"
		sha512 = "sha-512=:YMAam51Jz/jOATT6/zvHrLVgOYTGFy1d6GJiOHTohq4yP+pgk4vf2aCsyRZOtw8MjkM7iw7yZ/WkppmM44T3qg==:"
	)
	for _, tt := range []struct {
		name  string
		field []string
		body  string
		want  bool
	}{
		{"no field", nil, body, true},
		{"the right digest", []string{sha256}, body, true},
		{"the right digest of another body", []string{sha256}, "{}", false},
		{"both right", []string{sha512 + ", " + sha256}, body, true},
		{"one right and one wrong", []string{sha256, "sha-512=:AAAA:"}, body, false},
		{"an unknown algorithm", []string{"unixsum=:AAAA:"}, body, true},
		{"a digest without colons", []string{"sha-256=RK/0"}, body, false},
		{"a digest that is not base64", []string{"sha-256=:*:"}, body, false},
		{"parameters are ignored", []string{sha256 + ";a=1"}, body, true},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			assert.Equal(t, tt.want, digest.Verify(tt.field, []byte(tt.body)))
		})
	}
}
