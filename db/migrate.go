package db

import (
	"context"
	"embed"
	"errors"
	"fmt"
	"io/fs"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/tern/v2/migrate"
)

//go:embed migrations/*.sql
var migrationFiles embed.FS

// versionTable holds the number of the newest migration that ran.
const versionTable = "bedline_schema_version"

// SchemaError says that the schema of a database is not the one that this program needs.
type SchemaError struct {
	Have int // number of migrations that the database has; 0 before the first
	Need int // number that the program needs
}

func (e *SchemaError) Error() string {
	return fmt.Sprintf("the database has %d of the %d migrations that this version needs: run \"bedline migrate\" first",
		e.Have, e.Need)
}

// Migrate brings the schema of a database up to what this program needs. It may run from several replicas at once: one
// works while the others wait. A schema that a newer program has already brought further is left as it is. The lock is
// one of the session, so the URL has to lead to Postgres itself, not to a pooler that shares sessions out by
// transaction.
func Migrate(ctx context.Context, url string) error {
	return migrateTo(ctx, url, 0)
}

// migrateTo stops after the migration of the given number; 0 stands for the last.
func migrateTo(ctx context.Context, url string, target int32) error {
	files, err := fs.Sub(migrationFiles, "migrations")
	if err != nil {
		return err
	}
	config, err := pgx.ParseConfig(url)
	if err != nil {
		return fmt.Errorf("migrate: %w", err)
	}
	if config.ValidateConnect == nil {
		config.ValidateConnect = pgconn.ValidateConnectTargetSessionAttrsReadWrite
	}
	conn, err := pgx.ConnectConfig(ctx, config)
	if err != nil {
		return fmt.Errorf("migrate: %w", err)
	}
	defer conn.Close(context.WithoutCancel(ctx))
	m, err := migrate.NewMigrator(ctx, conn, versionTable)
	if err != nil {
		return fmt.Errorf("migrate: prepare the table of the schema version: %w", err)
	}
	if err := m.LoadMigrations(files); err != nil {
		return fmt.Errorf("migrate: read the migrations: %w", err)
	}
	if target == 0 {
		target = int32(len(m.Migrations))
	}
	current, err := m.GetCurrentVersion(ctx)
	if err != nil {
		return fmt.Errorf("migrate: read the schema version: %w", err)
	}
	if current >= target { // tern would go back
		return nil
	}
	err = m.MigrateTo(ctx, target)
	var bad migrate.BadVersionError
	var back migrate.IrreversibleMigrationError
	if errors.As(err, &bad) || errors.As(err, &back) {
		// A newer program may have gone past the target while this one waited for its turn.
		if now, err := m.GetCurrentVersion(ctx); err == nil && now >= target {
			return nil
		}
	}
	if err != nil {
		return fmt.Errorf("migrate: %w", err)
	}
	return nil
}

// migrationCount is the number of migrations that the program knows.
func migrationCount() (int, error) {
	files, err := fs.Sub(migrationFiles, "migrations")
	if err != nil {
		return 0, err
	}
	paths, err := migrate.FindMigrations(files)
	return len(paths), err
}

// checkSchema returns a *SchemaError unless the database has all the migrations that the program knows, or more.
func checkSchema(ctx context.Context, q querier) error {
	need, err := migrationCount()
	if err != nil {
		return err
	}
	var have int
	var exists bool
	if err := q.QueryRow(ctx, "select to_regclass($1::text) is not null", versionTable).Scan(&exists); err != nil {
		return err
	}
	if exists {
		if err := q.QueryRow(ctx, "select version from "+versionTable).Scan(&have); err != nil {
			return err
		}
	}
	if have < need {
		return &SchemaError{Have: have, Need: need}
	}
	return nil
}
