package main

import (
	"context"
	"fmt"
	"net"
	"net/http"
	"time"
)

type healthcheckCommand struct {
	Listen string `default:"127.0.0.1:8080" placeholder:"ADDR" env:"BEDLINE_LISTEN" help:"Address that the service listens on."`
}

// Run asks the service on this machine whether it is ready.
func (c *healthcheckCommand) Run(ctx context.Context) error {
	host, port, err := net.SplitHostPort(c.Listen)
	if err != nil {
		return fmt.Errorf("reading the address: %w", err)
	}
	if ip := net.ParseIP(host); host == "" || ip != nil && ip.IsUnspecified() {
		host = "127.0.0.1"
	}
	ctx, cancel := context.WithTimeout(ctx, 3*time.Second)
	defer cancel()
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://"+net.JoinHostPort(host, port)+"/readyz", nil)
	if err != nil {
		return fmt.Errorf("asking for readiness: %w", err)
	}
	response, err := http.DefaultClient.Do(request)
	if err != nil {
		return fmt.Errorf("asking for readiness: %w", err)
	}
	defer response.Body.Close()
	if response.StatusCode != http.StatusOK {
		return fmt.Errorf("not ready: %s", response.Status)
	}
	return nil
}
