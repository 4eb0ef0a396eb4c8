package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"maps"
	"net/http"
	"net/url"
	"os"
	"strings"

	"bedline/api"
)

type estimateCommand struct {
	File     string `arg:"" help:"The job as JSON; - reads standard input."`
	As       string `enum:"json,html,pdf,svg,csv,xlsx,ics" default:"json" help:"The form of the answer: ${enum}."`
	Edition  string `help:"Whom html and pdf are for: customer or crew."`
	View     string `help:"What svg draws: plan, section, fabric, cost or tasks."`
	Table    string `help:"Which table csv writes: line-items, cuts or shopping."`
	Paper    string `help:"The paper of pdf: letter or a4."`
	Language string `help:"The language of all forms but json: en-US, en-GB or es-US."`
	source
}

// mediaTypes are what each form is to HTTP.
var mediaTypes = map[string]string{
	"json": "application/json",
	"html": "text/html",
	"pdf":  "application/pdf",
	"svg":  "image/svg+xml",
	"csv":  "text/csv",
	"xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
	"ics":  "text/calendar",
}

// Run answers the job.
func (c *estimateCommand) Run(ctx context.Context, std streams) error {
	query := url.Values{}
	for name, value := range map[string]string{"edition": c.Edition, "view": c.View, "table": c.Table, "paper": c.Paper} {
		if value != "" {
			query.Set(name, value)
		}
	}
	path := "/v1/estimates"
	if len(query) > 0 {
		path += "?" + query.Encode()
	}
	header := http.Header{"Accept": {mediaTypes[c.As]}}
	if c.Language != "" {
		header.Set("Accept-Language", c.Language)
	}
	return c.post(ctx, std, path, c.File, header)
}

// post sends a file through the service's own handler without a network, so that the answer is the service's to the
// byte; JSON gets a line end. A refusal goes to standard output as well, as a problem document, and the exit code is 1.
func (c source) post(ctx context.Context, std streams, path, file string, header http.Header) error {
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
	maps.Copy(request.Header, header)
	request.Header.Set("Content-Type", "application/json")
	answer := &capture{header: http.Header{}}
	handler.ServeHTTP(answer, request)
	if _, err := io.Copy(std.out, &answer.body); err != nil {
		return fmt.Errorf("writing the answer: %w", err)
	}
	if strings.HasSuffix(answer.header.Get("Content-Type"), "json") {
		if _, err := io.WriteString(std.out, "\n"); err != nil {
			return fmt.Errorf("writing the answer: %w", err)
		}
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
