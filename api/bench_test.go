package api_test

import (
	"context"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"bedline/api"
	"bedline/estimate/document"
	"bedline/pricing"
)

// One request through everything: the whole, and the whole without the engine.
func BenchmarkEstimate(b *testing.B) {
	c, err := loaded()
	require.NoError(b, err)
	o, _ := c.Operation("createEstimate")
	examples := o.Examples()
	body := string(examples["garage_bed"])
	lists := pricing.Fixed(pricing.Sample())
	answered := strings.Repeat(`{"x":"0123456789"}`, 350)
	for name, e := range map[string]api.Estimator{
		"with the engine": api.NewEngine(lists),
		"without the engine": estimator(func(context.Context, *document.Node, []byte) (*api.Estimate, []document.Fault, error) {
			return &api.Estimate{JSON: []byte(answered), List: "standard", Version: 1}, nil, nil
		}),
	} {
		handler, err := api.New(api.Config{Lists: lists, Estimator: e})
		require.NoError(b, err)
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				r := httptest.NewRequest(http.MethodPost, "/v1/estimates", strings.NewReader(body))
				r.Header["Content-Type"] = []string{"application/json"}
				w := httptest.NewRecorder()
				handler.ServeHTTP(w, r)
				if w.Code != 200 {
					b.Fatal(w.Body)
				}
			}
		})
	}
}
