package api

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"net/url"
	"strings"
	"sync"
	"time"

	"bedline"
	"bedline/api/internal/contract"
	"bedline/estimate/document"
	"bedline/pricing"
)

// Limits of a service that sets none of its own.
const (
	DefaultMaxBody     = 1 << 20 // bytes
	DefaultMaxInFlight = 128
	DefaultTimeout     = 10 * time.Second
	DefaultPublicURL   = "http://localhost:8080"
)

// Config is what a service is made of.
type Config struct {
	Lists      pricing.Lists // required
	Estimator  Estimator     // nil: the engine of this program, with the lists
	Buyer      Buyer         // nil: the Estimator if it is one, else the engine of this program
	Calibrator Calibrator    // nil: likewise
	Publisher  Publisher     // nil: price lists are read-only, and publishing is refused with 403

	// PublicURL is the address at which clients reach the service, without a path: problem types are below it.
	PublicURL string

	Logger      *slog.Logger  // nil: nothing is logged
	MaxBody     int64         // bytes of a request body
	MaxInFlight int           // requests answered at once, health checks aside
	Timeout     time.Duration // for one request; keep it below the server's write timeout

	// Ready tells whether the service can answer now; nil asks whether there is a price list.
	Ready func(context.Context) error
}

// Estimator works out jobs.
type Estimator interface {
	// Estimate reads the request by the rules of the engine and answers it. Raw is the text that the request was read
	// from. Either there is an estimate, or there are faults of the request, or an error: of the service, or of the
	// context when the time is up. It must not change the request and is called from many goroutines.
	Estimate(ctx context.Context, request *document.Node, raw []byte) (*Estimate, []document.Fault, error)
}

// Estimate is the answer to a job.
type Estimate struct {
	JSON    []byte         // the representation as application/json
	Quote   *pricing.Quote // what the other representations are written from; without it there are none
	List    string         // the price list that it used
	Version int
}

// Publisher publishes versions of price lists.
type Publisher interface {
	// Publish makes the document the next version of the list that it names, if the list is as expected. Created is false if
	// the current version is the same already. The errors that callers tell apart are *pricing.VersionConflictError,
	// *pricing.InvalidListError and errors with a method Temporary that gives true.
	Publish(ctx context.Context, doc *pricing.Document, expect Expectation) (list *pricing.List, created bool, err error)
}

// Expectation is what a list has to be for a version to be published. Exactly one of New, Exists and ETags is set.
type Expectation struct {
	New    bool     // there is no list of the name
	Exists bool     // there is one
	ETags  []string // the ETag of the current version is one of these, quotes included
}

// Handler answers the requests of the service.
type Handler struct {
	config   Config
	contract *contract.Contract
	router   http.Handler
	slots    chan struct{}
	state    state
	shelf    shelf
}

// New loads the contract and builds the handler of the service.
func New(config Config) (*Handler, error) {
	if config.Lists == nil {
		return nil, errors.New("building the API: it needs price lists")
	}
	if config.Estimator == nil {
		config.Estimator = NewEngine(config.Lists)
	}
	if config.Buyer == nil {
		if buyer, ok := config.Estimator.(Buyer); ok {
			config.Buyer = buyer
		} else {
			config.Buyer = NewEngine(config.Lists)
		}
	}
	if config.Calibrator == nil {
		if calibrator, ok := config.Estimator.(Calibrator); ok {
			config.Calibrator = calibrator
		} else {
			config.Calibrator = NewEngine(config.Lists)
		}
	}
	base, err := publicURL(config.PublicURL)
	if err != nil {
		return nil, fmt.Errorf("building the API: %w", err)
	}
	config.PublicURL = base
	if config.Logger == nil {
		config.Logger = slog.New(slog.DiscardHandler)
	}
	if config.MaxBody <= 0 {
		config.MaxBody = DefaultMaxBody
	}
	if config.MaxInFlight <= 0 {
		config.MaxInFlight = DefaultMaxInFlight
	}
	if config.Timeout <= 0 {
		config.Timeout = DefaultTimeout
	}
	loaded, err := embedded()
	if err != nil {
		return nil, fmt.Errorf("building the API: %w", err)
	}
	h := &Handler{config: config, contract: loaded, slots: make(chan struct{}, config.MaxInFlight)}
	if h.router, err = h.routes(); err != nil {
		return nil, fmt.Errorf("building the API: %w", err)
	}
	return h, nil
}

// embedded is the contract of the program, loaded once.
var embedded = sync.OnceValues(func() (*contract.Contract, error) { return contract.Load(bedline.OpenAPI()) })

// publicURL checks the public address and takes the slash off its end.
func publicURL(text string) (string, error) {
	if text == "" {
		return DefaultPublicURL, nil
	}
	u, err := url.Parse(text)
	if err != nil {
		return "", fmt.Errorf("reading the public URL: %w", err)
	}
	if u.Scheme != "http" && u.Scheme != "https" || u.Host == "" || u.User != nil || strings.Trim(u.Path, "/") != "" || u.RawQuery != "" || u.Fragment != "" {
		return "", errors.New("the public URL must be like https://example.org, without a path")
	}
	return u.Scheme + "://" + u.Host, nil
}
