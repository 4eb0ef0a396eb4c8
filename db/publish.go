package db

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"github.com/jackc/pgx/v5"

	"bedline/pricing"
)

// Expect is what a list has to be for a new version of it to be published; at most one of the members is set. The zero
// value expects nothing.
type Expect struct {
	New    bool     // there is no list of the name (RFC 9110, 13.1.2: If-None-Match: *)
	Exists bool     // there is one (13.1.1: If-Match: *)
	ETags  []string // the ETag of the latest version is one of these, quotes included (13.1.1: If-Match)
}

// check says whether the latest version is as expected; nil stands for no version.
func (e Expect) check(name string, latest *pricing.List) error {
	current := ""
	if latest != nil {
		current = latest.ETag()
	}
	switch {
	case e.New && latest != nil,
		e.Exists && latest == nil,
		len(e.ETags) > 0 && !slices.Contains(e.ETags, current):
		return &pricing.VersionConflictError{Name: name, Current: current}
	}
	return nil
}

// publishLock is the number of the advisory lock that publishers take: versions are numbered one after the other.
const publishLock = 0x6265646c696e65

// publishTimeout is the longest that publishing may take, the wait for other publishers included.
const publishTimeout = 10 * time.Second

// Publish makes the document the next version of its list and the latest, at once for this store and within the refresh
// time for others. created is false if the latest version has the very content already: then it is returned, unless
// the list had to be new, even if it does not match any more, so that an attempt whose answer was lost may be repeated
// (RFC 9110, 13.1.1 allows that).
//
// The errors are those of Compile for a list that is not possible, *pricing.VersionConflictError, *UnavailableError when
// nothing or (if the connection broke at the very end) perhaps everything was done, and *DamagedListError for a match
// against a latest version that cannot be read.
func (s *Store) Publish(ctx context.Context, doc *pricing.Document, expect Expect) (list *pricing.List, created bool, err error) {
	proposed, err := doc.Compile(1)
	if err != nil {
		return nil, false, err
	}
	list, created, err = s.publish(ctx, proposed, expect, false)
	return list, created, publishFailure(ctx, doc.Name, err)
}

// Seed publishes the list as version 1 if the database has no list at all. Replicas may do so at once; done is true for
// the one that did.
func (s *Store) Seed(ctx context.Context, list *pricing.List) (done bool, err error) {
	_, done, err = s.publish(ctx, list, Expect{}, true)
	return done, publishFailure(ctx, list.Name, err)
}

// publishFailure leaves errors as they are that the caller decides on.
func publishFailure(ctx context.Context, name string, err error) error {
	var conflict *pricing.VersionConflictError
	if errors.As(err, &conflict) {
		return conflict
	}
	return failure(ctx, fmt.Sprintf("publish price list %q", name), err)
}

// publish runs a transaction alone among publishers, and once more if the connection failed before the end.
func (s *Store) publish(ctx context.Context, proposed *pricing.List, expect Expect, seed bool) (*pricing.List, bool, error) {
	limited, cancel := context.WithTimeout(ctx, publishTimeout)
	defer cancel()
	list, created, again, err := s.publishOnce(limited, proposed, expect, seed)
	if again && limited.Err() == nil {
		s.pool.Reset()
		list, created, _, err = s.publishOnce(limited, proposed, expect, seed)
	}
	if err != nil || list == nil {
		return nil, false, err
	}
	s.install(list, digestOf(list))
	return list, created, nil
}

// publishOnce tells by again that the connection failed so early that nothing was done. A list of nil without an error
// means that there was nothing to seed.
func (s *Store) publishOnce(ctx context.Context, proposed *pricing.List, expect Expect, seed bool) (
	list *pricing.List, created, again bool, err error) {
	tx, err := s.pool.BeginTx(ctx, pgx.TxOptions{IsoLevel: pgx.ReadCommitted, AccessMode: pgx.ReadWrite})
	if err != nil {
		return nil, false, connectionFailed(err), err
	}
	defer func() {
		ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), time.Second)
		defer cancel()
		_ = tx.Rollback(ctx) // without effect after a commit
	}()
	_, err = tx.Exec(ctx, "select pg_advisory_xact_lock($1::bigint)", int64(publishLock))
	if err == nil && seed {
		var some bool
		err = tx.QueryRow(ctx, "select exists (select from price_list_versions)").Scan(&some)
		if err == nil && some {
			return nil, false, false, nil
		}
	}
	if err == nil {
		list, created, err = s.next(ctx, tx, proposed, expect)
	}
	if err != nil {
		return nil, false, connectionFailed(err), err
	}
	return list, created, false, tx.Commit(ctx)
}

// next finds the latest version and adds the next one, unless the content is the same.
func (s *Store) next(ctx context.Context, tx pgx.Tx, proposed *pricing.List, expect Expect) (*pricing.List, bool, error) {
	name, version, sum := proposed.Name, 0, []byte(nil)
	err := tx.QueryRow(ctx, `
select version, document_sha256 from price_list_versions where name = $1 order by version desc limit 1`, name).
		Scan(&version, &sum)
	if err != nil && !errors.Is(err, pgx.ErrNoRows) {
		return nil, false, err
	}
	content := digestOf(proposed)
	latest, err := s.latest(ctx, tx, name, version, sum)
	var damaged *DamagedListError
	switch {
	case errors.As(err, &damaged) && !expect.New && len(expect.ETags) == 0:
		latest = nil // a new version is the way to repair it
	case err != nil:
		return nil, false, err
	case latest != nil && !expect.New && bytes.Equal(sum, content[:]):
		return latest, false, nil
	default:
		if err := expect.check(name, latest); err != nil {
			return nil, false, err
		}
	}
	version++
	doc := proposed.Document()
	_, err = tx.Exec(ctx, `
insert into price_list_versions (name, version, currency, system, effective, note, document_sha256)
values ($1, $2, $3, $4, $5::text::date, $6, $7)`,
		name, version, doc.Currency, doc.System, doc.Effective, text(doc.Note), content[:])
	if err != nil {
		return nil, false, fmt.Errorf("insert the version: %w", err)
	}
	if err := insertDocument(ctx, tx, doc, version); err != nil {
		return nil, false, err
	}
	// Read it back: nothing is published that could not be read.
	list, _, err := readList(ctx, tx, name, version)
	if err != nil {
		return nil, false, fmt.Errorf("read back version %d: %w", version, err)
	}
	return list, true, nil
}

// latest is a version from memory, if it is the one that the database has, or from its rows; nil for version 0.
func (s *Store) latest(ctx context.Context, tx pgx.Tx, name string, version int, sum []byte) (*pricing.List, error) {
	if version == 0 {
		return nil, nil
	}
	if e := s.current.Load().lists[name]; e.list != nil && e.list.Version == version && bytes.Equal(e.sum[:], sum) {
		return e.list, nil
	}
	list, _, err := readList(ctx, tx, name, version)
	return list, err
}
