package edition_test

import (
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api/render/edition"
	"bedline/api/render/internal/sample"
	"bedline/api/render/locale"
	"bedline/pricing"
)

// unsaid are keys without a message and values without a place.
var unsaid = regexp.MustCompile(`crew\.[a-z]\S*|\{\w*\}`)

func TestTheCrewSheetOfEveryJobUsesKnownWords(t *testing.T) {
	sample.Each(t, func(t *testing.T, name string, q *pricing.Quote) {
		for _, tag := range locale.Tags() {
			text := dump(edition.Crew(q, in(t, tag)))
			assert.Empty(t, unsaid.FindAllString(text, -1), tag)
			if dir := os.Getenv("SEEN"); dir != "" {
				require.NoError(t, os.WriteFile(filepath.Join(dir, name+"."+tag+".txt"), []byte(text), 0o644))
			}
		}
	})
}
