package pricing_test

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
	"bedline/pricing"
)

// ask estimates a job with the lists given, the sample list without any.
func ask(t require.TestingT, text string, lists ...*pricing.List) (*pricing.Quote, []document.Fault, error) {
	root, err := document.Parse([]byte(text))
	require.NoError(t, err)
	if len(lists) == 0 {
		lists = []*pricing.List{pricing.Sample()}
	}
	return pricing.Estimate(context.Background(), pricing.Fixed(lists...), root, []byte(text))
}

// quoteOf is the quote of a job that must have no fault.
func quoteOf(t require.TestingT, text string, lists ...*pricing.List) *pricing.Quote {
	if h, ok := t.(*testing.T); ok {
		h.Helper()
	}
	q, faults, err := ask(t, text, lists...)
	require.NoError(t, err, text)
	require.Empty(t, faults, text)
	require.NotNil(t, q)
	return q
}

// faulted are the faults of a job, each as "pointer code".
func faulted(t require.TestingT, text string, lists ...*pricing.List) []string {
	q, faults, err := ask(t, text, lists...)
	require.NoError(t, err, text)
	list := make([]string, len(faults))
	for i, f := range faults {
		list[i] = f.Pointer + " " + f.Code
	}
	if len(faults) > 0 {
		require.Nil(t, q)
	}
	return list
}

// jobFile is a job of the test data.
func jobFile(t require.TestingT, name string) string {
	text, err := os.ReadFile(filepath.Join("..", "testdata", "jobs", name))
	require.NoError(t, err)
	return string(text)
}

// listFile is a price list of the test data.
func listFile(t require.TestingT, name string) *pricing.List {
	text, err := os.ReadFile(filepath.Join("..", "testdata", "price-lists", name))
	require.NoError(t, err)
	d, err := pricing.ReadDocument(text)
	require.NoError(t, err)
	l, err := d.Compile(1)
	require.NoError(t, err)
	return l
}

// lineOf is the line of a material for a purpose.
func lineOf(t require.TestingT, q *pricing.Quote, key estimate.LineKey, material string) *pricing.Line {
	for i := range q.Lines {
		if l := &q.Lines[i]; l.Key == key && l.Material != nil && l.Material.Material.Key == material {
			return l
		}
	}
	require.Failf(t, "no line", "%s of %s", key, material)
	return nil
}

// workOf is the line of an operation.
func workOf(t require.TestingT, q *pricing.Quote, op estimate.Operation) *pricing.Line {
	for i := range q.Lines {
		if l := &q.Lines[i]; l.Work != nil && l.Work.Operation == op {
			return l
		}
	}
	require.Failf(t, "no line", "of %s", op)
	return nil
}

func yd3(v float64) float64 { return measure.Volume(v).In(measure.CubicYard) }
