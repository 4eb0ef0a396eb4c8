package contract_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"bedline"
	"bedline/api/internal/contract"
	"bedline/estimate/document"
)

func BenchmarkLoad(b *testing.B) {
	for b.Loop() {
		_, err := contract.Load(bedline.OpenAPI())
		require.NoError(b, err)
	}
}

func BenchmarkBody(b *testing.B) {
	o := operation(b, load(b), "createEstimate")
	examples := o.Examples()
	bodies := map[string][]byte{"example": examples["garage_bed"]}
	for _, n := range []int{100, 5000} {
		var points []string
		for i := range n {
			points = append(points, fmt.Sprintf(`["%d.25 ft","%d ft 3 in"]`, i, i%7))
		}
		bodies[fmt.Sprintf("%d points", n)] = []byte(start + `{"kind":"polygon","points":[` + strings.Join(points, ",") + `]}` + end)
	}
	for name, text := range bodies {
		root, err := document.Parse(text)
		require.NoError(b, err)
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if faults := o.Body(root.Any()); len(faults) > 0 {
					b.Fatal(faults)
				}
			}
		})
	}
}
