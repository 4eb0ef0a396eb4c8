package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"os"

	"bedline/db"
	"bedline/estimate/document"
	"bedline/pricing"
)

type pricesCommand struct {
	Check  checkCommand  `cmd:"" help:"Check a price list and name every fault."`
	Import importCommand `cmd:"" help:"Publish a price list to a database as its next version."`
	Export exportCommand `cmd:"" help:"Write a price list as JSON or CSV."`
}

// quiet logs warnings only, for commands whose output is the answer.
func quiet(std streams) *slog.Logger {
	return slog.New(slog.NewTextHandler(std.err, &slog.HandlerOptions{Level: slog.LevelWarn}))
}

type checkCommand struct {
	File string `arg:"" help:"The price list, JSON or (with a name ending in .csv) CSV; - reads JSON from standard input."`
}

// Run reads and compiles the list.
func (c *checkCommand) Run(std streams) error {
	list, err := compiled(c.File, std)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(std.out, "%s: %d materials, %d suppliers, %d offers in %s; no faults\n", list.Name, len(list.Catalogue.Materials), len(list.Suppliers), len(list.Offers), list.Currency.Code)
	return err
}

// compiled reads and compiles a list; its faults go to standard error, one a line.
func compiled(file string, std streams) (*pricing.List, error) {
	doc, err := readList(file, std.in)
	if err == nil {
		var list *pricing.List
		if list, err = doc.Compile(1); err == nil {
			return list, nil
		}
	}
	var invalid *pricing.InvalidListError
	if !errors.As(err, &invalid) {
		return nil, err
	}
	for _, f := range invalid.Faults {
		fmt.Fprintln(std.err, faultLine(f))
	}
	fmt.Fprintf(std.err, "%s: %d faults\n", file, len(invalid.Faults))
	return nil, exit(1)
}

// faultLine writes a fault as "/offers/3/price: must not be negative (for example "4.98")".
func faultLine(f document.Fault) string {
	at := f.Pointer
	if at == "" {
		at = "the whole list"
	}
	line := at + ": " + f.Detail
	if f.Example != "" {
		line += " (for example " + f.Example + ")"
	}
	return line
}

type importCommand struct {
	File     string `arg:"" help:"The price list, JSON or CSV."`
	Database string `required:"" placeholder:"URL" env:"BEDLINE_DATABASE" help:"Postgres to publish to."`
}

// Run publishes the list.
func (c *importCommand) Run(ctx context.Context, std streams) error {
	list, err := compiled(c.File, std)
	if err != nil {
		return err
	}
	opening, cancel := context.WithTimeout(ctx, connectTimeout)
	defer cancel()
	if err := db.Migrate(opening, c.Database); err != nil {
		return err
	}
	store, err := db.Open(opening, c.Database, db.Options{Logger: quiet(std)})
	if err != nil {
		return err
	}
	defer store.Close()
	published, created, err := store.Publish(ctx, list.Document(), db.Expect{})
	if err != nil {
		return err
	}
	if !created {
		_, err = fmt.Fprintf(std.out, "%s is version %d already\n", published.Name, published.Version)
		return err
	}
	_, err = fmt.Fprintf(std.out, "published %s version %d\n", published.Name, published.Version)
	return err
}

type exportCommand struct {
	Name    string `arg:"" optional:"" default:"standard" help:"Name of the list."`
	Version int    `placeholder:"N" help:"A version; the latest without it."`
	As      string `enum:"json,csv" default:"json" help:"json or csv."`
	Output  string `short:"o" placeholder:"FILE" help:"File to write to; standard output without it."`
	source
}

// Run writes the list.
func (c *exportCommand) Run(ctx context.Context, std streams) error {
	lists, store, err := c.open(ctx, quiet(std))
	if err != nil {
		return err
	}
	if store != nil {
		defer store.Close()
	}
	var list *pricing.List
	if c.Version != 0 {
		list, err = lists.Version(ctx, c.Name, c.Version)
	} else {
		list, err = lists.Latest(ctx, c.Name)
	}
	if err != nil {
		return err
	}
	text := list.JSON()
	if c.As == "csv" {
		if text, err = list.Document().CSV(); err != nil {
			return err
		}
	}
	if c.Output != "" {
		return os.WriteFile(c.Output, text, 0o644)
	}
	_, err = std.out.Write(text)
	return err
}

type migrateCommand struct {
	Database string `required:"" placeholder:"URL" env:"BEDLINE_DATABASE" help:"Postgres to bring up to date."`
}

// Run migrates.
func (c *migrateCommand) Run(ctx context.Context, std streams) error {
	if err := db.Migrate(ctx, c.Database); err != nil {
		return err
	}
	_, err := fmt.Fprintln(std.out, "the database is up to date")
	return err
}
