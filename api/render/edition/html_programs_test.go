//go:build programs

package edition_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"bedline/api/render/edition"
	"bedline/api/render/internal/browser"
	"bedline/api/render/internal/sample"
	"bedline/api/render/locale"
	"bedline/api/render/page"
	"bedline/pricing"
)

func TestProgramsOpenBothEditions(t *testing.T) {
	for _, job := range []string{"garage-bed", "terrace-planters", "courtyard-metric", "wider-bed-change-order"} {
		quote := sample.Quote(t, job)
		for _, tag := range []string{"en-US", "es-US"} {
			l, _ := locale.Lookup(tag)
			for _, e := range [...]struct {
				name  string
				write func(*pricing.Quote, *locale.Locale) *page.Document
			}{{"customer", edition.Customer}, {"crew", edition.Crew}} {
				t.Run(job+" for the "+e.name+" in "+tag, func(t *testing.T) {
					out, err := page.HTML(e.write(quote, l))
					require.NoError(t, err)
					browser.Check(t, out, e.name+"-"+job+"-"+tag)
				})
			}
		}
	}
}
