package api_test

import (
	"bytes"
	"encoding/json"
	"net/http"
	"os"
	"testing"
	"time"

	"github.com/gin-gonic/gin"
	"github.com/stretchr/testify/require"

	"bedline/api"
	"bedline/estimate/document"
	"bedline/pricing"
)

// discard is a response writer that counts.
type discard struct {
	header http.Header
	status int
	bytes  int
}

func (d *discard) Header() http.Header { return d.header }
func (d *discard) WriteHeader(s int)   { d.status = s }
func (d *discard) Write(b []byte) (int, error) {
	if d.status == 0 {
		d.status = http.StatusOK
	}
	d.bytes += len(b)
	return len(b), nil
}

// BenchmarkBesideBareGin prices the job of the README in process (strict reading, contract, engine, prices, encoding)
// beside a bare gin handler that only decodes the same request and encodes the same answer, turn and turn about, and
// reports the ratio of their times. The service is to stay at most 5 times the bare handler:
//
//	go test -tags nomsgpack -run '^$' -bench BesideBareGin ./api
func BenchmarkBesideBareGin(b *testing.B) {
	gin.SetMode(gin.ReleaseMode)
	job, err := os.ReadFile("../testdata/jobs/garage-bed.json")
	require.NoError(b, err)
	lists := pricing.Fixed(pricing.Sample())
	service, err := api.New(api.Config{Lists: lists})
	require.NoError(b, err)

	root, err := document.Parse(job)
	require.NoError(b, err)
	quote, faults, err := pricing.Estimate(b.Context(), lists, root, job)
	require.NoError(b, err)
	require.Empty(b, faults)
	answer := api.NewAnswer(quote)
	bare := gin.New()
	bare.POST("/v1/estimates", func(c *gin.Context) {
		var request any
		if err := json.NewDecoder(c.Request.Body).Decode(&request); err != nil {
			c.AbortWithStatus(http.StatusBadRequest)
			return
		}
		c.JSON(http.StatusOK, answer)
	})

	call := func(h http.Handler) (time.Duration, *discard) {
		r, _ := http.NewRequest(http.MethodPost, "http://localhost/v1/estimates", bytes.NewReader(job))
		r.Header.Set("Content-Type", "application/json")
		w := &discard{header: http.Header{}}
		began := time.Now()
		h.ServeHTTP(w, r)
		return time.Since(began), w
	}
	_, whole := call(service)
	_, plain := call(bare)
	require.Equal(b, http.StatusOK, whole.status)
	require.Equal(b, http.StatusOK, plain.status)
	require.InDelta(b, whole.bytes, plain.bytes, 64, "both send the same answer")

	var ours, theirs time.Duration
	b.ResetTimer()
	for range b.N {
		t, _ := call(service)
		ours += t
		t, _ = call(bare)
		theirs += t
	}
	b.ReportMetric(float64(ours)/float64(b.N), "service-ns/op")
	b.ReportMetric(float64(theirs)/float64(b.N), "bare-ns/op")
	b.ReportMetric(float64(ours)/float64(theirs), "ratio")
}
