package edition_test

import (
	"strings"
	"testing"

	"bedline/api/render/edition"
	"bedline/api/render/internal/sample"
	"bedline/api/render/locale"
	"bedline/api/render/page"
	"bedline/pricing"
)

func text(words []page.Text) string {
	var b strings.Builder
	for _, t := range words {
		b.WriteString(t.Words)
	}
	return b.String()
}

func TestX(t *testing.T) {
	sample.Each(t, func(t *testing.T, name string, q *pricing.Quote) {
		edition.Customer(q, locale.Default())
	})
}
