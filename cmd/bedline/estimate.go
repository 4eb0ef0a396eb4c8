package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"net/http"
	"os"

	"bedline/api"
)

type estimateCommand struct {
	File string `arg:"" help:"The job as JSON; - reads standard input."`
	source
}

// Run answers the job.
func (c *estimateCommand) Run(ctx context.Context, std streams) error {
	return c.post(ctx, std, "/v1/estimates", c.File)
}

// post sends a file through the service's own handler without a network, so that the answer is the service's to the
// byte. A refusal goes to standard output as well, as a problem document, and the exit code is 1.
func (c source) post(ctx context.Context, std streams, path, file string) error {
	in := std.in
	if file != "-" {
		f, err := os.Open(file)
		if err != nil {
			return fmt.Errorf("reading the request: %w", err)
		}
		defer f.Close()
		in = f
	}
	lists, store, err := c.open(ctx, quiet(std))
	if err != nil {
		return err
	}
	if store != nil {
		defer store.Close()
	}
	handler, err := api.New(api.Config{Lists: lists, Estimator: api.NewEngine(lists)})
	if err != nil {
		return err
	}
	request, err := http.NewRequestWithContext(ctx, http.MethodPost, "http://localhost"+path, in)
	if err != nil {
		return fmt.Errorf("reading the request: %w", err)
	}
	request.Header.Set("Content-Type", "application/json")
	answer := &capture{header: http.Header{}}
	handler.ServeHTTP(answer, request)
	if _, err := io.Copy(std.out, &answer.body); err != nil {
		return fmt.Errorf("writing the answer: %w", err)
	}
	if _, err := io.WriteString(std.out, "\n"); err != nil {
		return fmt.Errorf("writing the answer: %w", err)
	}
	if answer.status != http.StatusOK {
		return exit(1)
	}
	return nil
}

// capture keeps a response in memory.
type capture struct {
	header http.Header
	status int
	body   bytes.Buffer
}

// Header implements http.ResponseWriter.
func (c *capture) Header() http.Header { return c.header }

// WriteHeader implements http.ResponseWriter.
func (c *capture) WriteHeader(status int) {
	if c.status == 0 {
		c.status = status
	}
}

// Write implements http.ResponseWriter.
func (c *capture) Write(b []byte) (int, error) {
	c.WriteHeader(http.StatusOK)
	return c.body.Write(b)
}
