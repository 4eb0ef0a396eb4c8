package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"time"

	"bedline/api"
	"bedline/db"
	"bedline/pricing"
)

// source says where price lists come from.
type source struct {
	Prices   string `placeholder:"FILE" env:"BEDLINE_PRICES" help:"Price list to start with, JSON or CSV; the built-in sample list without it."`
	Database string `placeholder:"URL" env:"BEDLINE_DATABASE" help:"Postgres that holds the price lists; without it they are read-only."`
}

// startList is the list of the file, or the built-in one.
func (s source) startList() (*pricing.List, error) {
	if s.Prices == "" {
		return pricing.Sample(), nil
	}
	doc, err := readList(s.Prices, nil)
	if err != nil {
		return nil, err
	}
	list, err := doc.Compile(1)
	if err != nil {
		return nil, fmt.Errorf("price list %s: %w", s.Prices, err)
	}
	return list, nil
}

// readList reads a list from a file of JSON or CSV, or from in where the name is "-".
func readList(name string, in io.Reader) (*pricing.Document, error) {
	var text []byte
	var err error
	if name == "-" && in != nil {
		text, err = io.ReadAll(in)
	} else {
		text, err = os.ReadFile(name)
	}
	if err != nil {
		return nil, fmt.Errorf("reading a price list: %w", err)
	}
	read := pricing.ReadDocument
	if strings.EqualFold(filepath.Ext(name), ".csv") {
		read = pricing.ReadCSV
	}
	doc, err := read(text)
	if err != nil {
		return nil, fmt.Errorf("price list %s: %w", name, err)
	}
	return doc, nil
}

// connectTimeout is how long the program waits at its start for a database that does not answer.
const connectTimeout = 60 * time.Second

// open gives the price lists. With a database it brings the schema up to date and publishes the start list if the
// database holds none; store is nil without one.
func (s source) open(ctx context.Context, log *slog.Logger) (lists pricing.Lists, store *db.Store, err error) {
	start, err := s.startList()
	if err != nil {
		return nil, nil, err
	}
	if s.Database == "" {
		return pricing.Fixed(start), nil, nil
	}
	opening, cancel := context.WithTimeout(ctx, connectTimeout)
	defer cancel()
	if err := db.Migrate(opening, s.Database); err != nil {
		return nil, nil, err
	}
	store, err = db.Open(opening, s.Database, db.Options{Logger: log})
	if err != nil {
		return nil, nil, err
	}
	seeded, err := store.Seed(opening, start)
	if err != nil {
		store.Close()
		return nil, nil, err
	}
	if seeded {
		log.Info("the database held no price list: published the start list", "name", start.Name)
	}
	return store, store, nil
}

// publisher lets the API publish to a store.
type publisher struct{ store *db.Store }

var _ api.Publisher = publisher{}

// Publish implements api.Publisher.
func (p publisher) Publish(ctx context.Context, doc *pricing.Document, expect api.Expectation) (*pricing.List, bool, error) {
	list, created, err := p.store.Publish(ctx, doc, db.Expect(expect))
	var away *db.UnavailableError
	if errors.As(err, &away) {
		return nil, false, unavailable{err}
	}
	return list, created, err
}

// unavailable marks an error as one that a client may try again after.
type unavailable struct{ error }

// Temporary says so.
func (unavailable) Temporary() bool { return true }

// Unwrap gives the error.
func (u unavailable) Unwrap() error { return u.error }
