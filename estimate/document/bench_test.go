package document_test

import (
	"fmt"
	"strings"
	"testing"

	"bedline/estimate/document"
	"bedline/estimate/measure"
)

// manyPoints is a document of 5,000 points, 10,000 quantities.
func manyPoints() []byte {
	var b strings.Builder
	b.WriteString(`{"points": [`)
	for i := range 5000 {
		if i > 0 {
			b.WriteString(", ")
		}
		fmt.Fprintf(&b, `["%d ft %d 1/2 in", "%d.5 in"]`, i%100, i%12, i)
	}
	b.WriteString("]}")
	return []byte(b.String())
}

func BenchmarkParse(b *testing.B) {
	text := manyPoints()
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := document.Parse(text); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkRead(b *testing.B) {
	root, err := document.Parse(manyPoints())
	if err != nil {
		b.Fatal(err)
	}
	var sum measure.Length
	b.ReportAllocs()
	for b.Loop() {
		var f document.Faults
		r := document.Read(root, &f)
		r.Each("points", document.Required, 3, 5000, func(_ int, at document.Value) {
			x, y, _ := at.Point(document.AnySign)
			sum += x + y
		})
		r.Close()
		if f.Len() > 0 {
			b.Fatal(f.List(root))
		}
	}
}
