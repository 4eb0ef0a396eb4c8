package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"os"
	"os/signal"
	"syscall"
	"time"

	"bedline/api"
)

type serveCommand struct {
	Listen    string        `default:"127.0.0.1:8080" placeholder:"ADDR" env:"BEDLINE_LISTEN" help:"Address and port to listen on; loopback unless you say otherwise."`
	PublicURL string        `placeholder:"URL" env:"BEDLINE_PUBLIC_URL" help:"Address at which clients reach the service, for links; http:// and the listen address without it."`
	DrainFor  time.Duration `default:"0s" env:"BEDLINE_DRAIN_FOR" help:"How long to go on answering after a stop signal while the readiness check already fails."`
	source
}

// Times of the server. The time for an answer is inside api; reading and writing have to be longer.
const (
	readHeaderTimeout = 5 * time.Second
	readTimeout       = 30 * time.Second
	writeTimeout      = 30 * time.Second
	idleTimeout       = 2 * time.Minute
	shutdownTimeout   = 20 * time.Second
	maxHeaderBytes    = 32 << 10
)

// Run serves until a stop signal comes.
func (c *serveCommand) Run(ctx context.Context, std streams) error {
	log := slog.New(slog.NewJSONHandler(std.err, nil))
	lists, store, err := c.open(ctx, log)
	if err != nil {
		return err
	}
	listener, err := net.Listen("tcp", c.Listen)
	if err != nil {
		return fmt.Errorf("listening: %w", err)
	}
	config := api.Config{Lists: lists, Estimator: api.NewEngine(lists), PublicURL: c.PublicURL, Logger: log}
	if config.PublicURL == "" {
		config.PublicURL = "http://" + reachable(listener.Addr())
	}
	if store != nil {
		defer store.Close()
		config.Publisher = publisher{store}
	}
	handler, err := api.New(config)
	if err != nil {
		_ = listener.Close()
		return err
	}
	server := &http.Server{
		Handler: handler, ReadHeaderTimeout: readHeaderTimeout, ReadTimeout: readTimeout, WriteTimeout: writeTimeout,
		IdleTimeout: idleTimeout, MaxHeaderBytes: maxHeaderBytes, ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelWarn),
	}
	prices := "read-only; connect a database with --database to change them"
	if store != nil {
		prices = "in the database"
	}
	log.Info("listening", "address", config.PublicURL, "reference", config.PublicURL+"/docs", "price_lists", prices)
	return c.until(ctx, server, handler, listener, log)
}

// until serves and ends in good order: not ready, draining, the requests in flight, then the connections. A second
// signal ends the program at once.
func (c *serveCommand) until(ctx context.Context, server *http.Server, handler *api.Handler, listener net.Listener, log *slog.Logger) error {
	served := make(chan error, 1)
	go func() { served <- server.Serve(listener) }()
	select {
	case err := <-served:
		return fmt.Errorf("serving: %w", err)
	case <-ctx.Done():
	}
	again := make(chan os.Signal, 1)
	signal.Notify(again, os.Interrupt, syscall.SIGTERM)
	defer signal.Stop(again)
	log.Info("stopping", "drain_for", c.DrainFor.String())
	handler.Withdraw()
	select {
	case <-time.After(c.DrainFor):
	case <-again:
		return errors.New("stopped at once by a second signal")
	}
	handler.Drain()
	ending, cancel := context.WithTimeout(context.WithoutCancel(ctx), shutdownTimeout)
	defer cancel()
	go func() {
		select {
		case <-again:
			cancel()
		case <-ending.Done():
		}
	}()
	if err := server.Shutdown(ending); err != nil {
		_ = server.Close()
		return fmt.Errorf("finishing requests in flight: %w", err)
	}
	log.Info("stopped")
	return nil
}

// reachable is an address that a client on this machine can use: a listener on all addresses is reached at loopback.
func reachable(a net.Addr) string {
	tcp, ok := a.(*net.TCPAddr)
	if !ok || !tcp.IP.IsUnspecified() {
		return a.String()
	}
	return net.JoinHostPort("127.0.0.1", fmt.Sprint(tcp.Port))
}
