package edition_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"bedline/api/render/edition"
	"bedline/api/render/internal/sample"
	"bedline/api/render/locale"
)

// read are the samples whose documents were read line by line.
var read = [...]string{"patio-with-machines", "old-tree-by-house", "soldier-or-no-path", "wider-bed-change-order", "quoted-strip", "terrace-planters"}

func TestCustomersReadWhatWasReadBefore(t *testing.T) {
	t.Parallel()
	for _, name := range read {
		for _, tag := range locale.Tags() {
			t.Run(name+" in "+tag, func(t *testing.T) {
				t.Parallel()
				l, ok := locale.Lookup(tag)
				require.True(t, ok)
				golden(t, "customer-"+name+"."+tag, edition.Customer(sample.Quote(t, name), l))
			})
		}
	}
}
