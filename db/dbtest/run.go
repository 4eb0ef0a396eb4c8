package dbtest

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"bedline/db"
)

// EnvDatabase names the environment variable with the server to use instead of a private cluster.
const EnvDatabase = "BEDLINE_TEST_DATABASE"

// shared is what the tests of one binary have in common; Run opens and closes it.
var shared struct {
	sync.Mutex
	running  bool
	cluster  *Cluster
	server   string // connection string of a database that new ones are created from
	template string
	err      error
}

// Run runs the tests and removes the cluster that they used. It returns the code to exit with.
func Run(m *testing.M) (code int) {
	shared.Lock()
	shared.running = true
	shared.Unlock()
	defer func() {
		shared.Lock()
		defer shared.Unlock()
		shared.running = false
		if err := closeShared(); err != nil {
			fmt.Fprintln(os.Stderr, "dbtest:", err)
			code = max(code, 1)
		}
	}()
	return m.Run()
}

// New gives the test an empty database with the current schema and returns its connection string. The database is
// gone when the tests end.
func New(t testing.TB) string {
	t.Helper()
	server, template := start(t)
	return create(t, server, "template "+pgx.Identifier{template}.Sanitize()+" strategy file_copy")
}

// Blank is New without the schema: what a server has before its first migration.
func Blank(t testing.TB) string {
	t.Helper()
	server, _ := start(t)
	return create(t, server, "template template0")
}

// start starts the shared cluster, once, and returns the connection string of its server and the template's name.
func start(t testing.TB) (server, template string) {
	t.Helper()
	shared.Lock()
	defer shared.Unlock()
	if !shared.running {
		t.Fatal("dbtest: call dbtest.Run in TestMain, or the cluster outlives the tests")
	}
	if shared.server == "" && shared.err == nil {
		shared.err = openShared()
	}
	if shared.err != nil {
		t.Fatalf("dbtest: %v", shared.err)
	}
	return shared.server, shared.template
}

func openShared() error {
	server := os.Getenv(EnvDatabase)
	if server == "" {
		cluster, err := newCluster(false)
		if err != nil {
			return err
		}
		shared.cluster = cluster
		server = cluster.DSN("postgres")
	}
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	template := "bedline_template_" + suffix()
	if err := execute(ctx, server, "create database "+template+" template template0"); err != nil {
		return fmt.Errorf("create the template database: %w", err)
	}
	if err := db.Migrate(ctx, withDatabase(server, template)); err != nil {
		return fmt.Errorf("migrate the template database: %w", err)
	}
	shared.server, shared.template = server, template
	return nil
}

func closeShared() error {
	var errs []error
	switch {
	case shared.cluster != nil:
		errs = append(errs, shared.cluster.remove())
	case shared.template != "":
		ctx, cancel := context.WithTimeout(context.Background(), 30*time.Second)
		defer cancel()
		errs = append(errs, execute(ctx, shared.server, "drop database "+shared.template))
	}
	shared.cluster, shared.server, shared.template = nil, "", ""
	return errors.Join(errs...)
}

// create makes a database of its own for the test.
func create(t testing.TB, server, how string) string {
	t.Helper()
	name := "bedline_test_" + suffix()
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	if err := execute(ctx, server, "create database "+name+" "+how); err != nil {
		t.Fatalf("dbtest: create a database: %v", err)
	}
	if os.Getenv(EnvDatabase) == "" {
		return withDatabase(server, name) // it goes with the cluster, which is cheaper
	}
	t.Cleanup(func() {
		ctx, cancel := context.WithTimeout(context.Background(), 30*time.Second)
		defer cancel()
		if err := execute(ctx, server, "drop database "+name+" with (force)"); err != nil {
			t.Errorf("dbtest: drop the database: %v", err)
		}
	})
	return withDatabase(server, name)
}

func execute(ctx context.Context, dsn, sql string) error {
	conn, err := pgx.Connect(ctx, dsn)
	if err != nil {
		return err
	}
	defer conn.Close(context.WithoutCancel(ctx))
	_, err = conn.Exec(ctx, sql)
	return err
}

// withDatabase is the connection string for another database of the same server.
func withDatabase(dsn, name string) string {
	if !strings.HasPrefix(dsn, "postgres://") && !strings.HasPrefix(dsn, "postgresql://") {
		return dsn + " dbname=" + name // the last of two counts
	}
	scheme, rest, _ := strings.Cut(dsn, "://")
	rest, query, hasQuery := strings.Cut(rest, "?")
	host, _, _ := strings.Cut(rest, "/")
	if hasQuery {
		return scheme + "://" + host + "/" + name + "?" + query
	}
	return scheme + "://" + host + "/" + name
}

func suffix() string { return strings.ToLower(rand.Text()[:12]) }
