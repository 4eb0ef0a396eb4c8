package db

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"strings"

	"github.com/jackc/pgx/v5/pgconn"
)

// UnavailableError says that the database could not be asked; the same call may work later.
type UnavailableError struct {
	Doing string // what was being done
	Err   error
}

func (e *UnavailableError) Error() string {
	return e.Doing + ": the database is unavailable: " + e.Err.Error()
}

func (e *UnavailableError) Unwrap() error { return e.Err }

// Temporary tells a caller that knows nothing of databases that it may try again.
func (e *UnavailableError) Temporary() bool { return true }

// DamagedListError says that the rows of a published version are not the list that was published. The version is
// refused as a whole.
type DamagedListError struct {
	Name    string
	Version int
	Err     error
}

func (e *DamagedListError) Error() string {
	return fmt.Sprintf("price list %q version %d is damaged: %v", e.Name, e.Version, e.Err)
}

func (e *DamagedListError) Unwrap() error { return e.Err }

// connectionFailed tells errors of the way to the database, and of a server that is going down or coming up, from its
// answers. A read may be tried again after them.
func connectionFailed(err error) bool {
	var refused *pgconn.PgError
	if errors.As(err, &refused) {
		switch refused.Code {
		case "57P01", "57P02", "57P03", // shut down by an administrator, crashed, starting up
			"25006", // read-only: this server is not the primary any more
			"53300": // too many connections
			return true
		}
		return strings.HasPrefix(refused.Code, "08") // connection exceptions
	}
	var connect *pgconn.ConnectError
	var network net.Error // a time-out of a context is one too
	return errors.As(err, &connect) || errors.As(err, &network) || pgconn.SafeToRetry(err) ||
		errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, net.ErrClosed)
}

// planChanged is the answer to a prepared statement that a migration has overtaken; nothing was run.
func planChanged(err error) bool {
	var refused *pgconn.PgError
	return errors.As(err, &refused) && refused.Code == "0A000"
}

// failure wraps an error of the database for the caller, whose context is ctx.
func failure(ctx context.Context, doing string, err error) error {
	if err == nil {
		return nil
	}
	if ctx.Err() == nil && connectionFailed(err) {
		return &UnavailableError{Doing: doing, Err: err}
	}
	return fmt.Errorf("%s: %w", doing, err)
}
