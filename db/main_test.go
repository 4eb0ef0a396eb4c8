package db_test

import (
	"context"
	"log/slog"
	"os"
	"testing"
	"time"

	"github.com/govalues/decimal"
	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"

	"bedline/db"
	"bedline/db/dbtest"
	"bedline/pricing"
)

func TestMain(m *testing.M) { os.Exit(dbtest.Run(m)) }

// open opens a store that looks for new versions every 50 ms unless options say otherwise.
func open(t *testing.T, dsn string, options db.Options) *db.Store {
	t.Helper()
	if options.Refresh == 0 {
		options.Refresh = 50 * time.Millisecond
	}
	if options.Logger == nil {
		options.Logger = slog.New(slog.DiscardHandler)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Second)
	defer cancel()
	store, err := db.Open(ctx, dsn, options)
	require.NoError(t, err)
	t.Cleanup(store.Close)
	return store
}

// rarely looks for new versions only when it is opened.
func rarely() db.Options {
	return db.Options{Refresh: time.Hour, Logger: slog.New(slog.DiscardHandler)}
}

// changed is the sample list under a name of its own with another price, so that each price is other content.
func changed(name, hourlyCost string) *pricing.Document {
	doc := pricing.Sample().Document()
	doc.Name = name
	doc.Labour.HourlyCost = decimal.MustParse(hourlyCost)
	return doc
}

func publish(t *testing.T, store *db.Store, doc *pricing.Document) *pricing.List {
	t.Helper()
	list, created, err := store.Publish(t.Context(), doc, db.Expect{})
	require.NoError(t, err)
	require.True(t, created)
	return list
}

// execute runs SQL past the store, as an administrator would.
func execute(t *testing.T, dsn, sql string, args ...any) error {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), dsn)
	require.NoError(t, err)
	defer conn.Close(context.WithoutCancel(t.Context()))
	_, err = conn.Exec(t.Context(), sql, args...)
	return err
}

// tamper changes rows with the triggers out of the way.
func tamper(t *testing.T, dsn, sql string) {
	t.Helper()
	require.NoError(t, execute(t, dsn, "set session_replication_role = replica; "+sql))
}

func scan(t *testing.T, dsn, sql string, targets ...any) {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), dsn)
	require.NoError(t, err)
	defer conn.Close(context.WithoutCancel(t.Context()))
	require.NoError(t, conn.QueryRow(t.Context(), sql).Scan(targets...))
}

// hold locks the publishers out and the tables of the goods until it is released.
func hold(t *testing.T, dsn string) (release func()) {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), dsn)
	require.NoError(t, err)
	_, err = conn.Exec(t.Context(), "select pg_advisory_lock($1::bigint)", int64(db.PublishLock))
	require.NoError(t, err)
	tx, err := conn.Begin(t.Context())
	require.NoError(t, err)
	_, err = tx.Exec(t.Context(), "lock table materials in access exclusive mode")
	require.NoError(t, err)
	return func() { require.NoError(t, conn.Close(context.WithoutCancel(t.Context()))) }
}
