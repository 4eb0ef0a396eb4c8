package db

import (
	"container/list"
	"context"
	"errors"
	"fmt"
	"sync"
	"time"

	"bedline/pricing"
)

// Summaries implements pricing.Lists from memory.
func (s *Store) Summaries(ctx context.Context) ([]pricing.Summary, error) {
	if err := ctx.Err(); err != nil {
		return nil, fmt.Errorf("list the price lists: %w", err)
	}
	held := s.current.Load()
	summaries := make([]pricing.Summary, 0, len(held.names))
	for _, name := range held.names {
		if l := held.lists[name].list; l != nil {
			summaries = append(summaries, l.Summary())
		}
	}
	return summaries, nil
}

// Latest implements pricing.Lists, from memory for every list that is known. If the newest version is damaged it is the
// last good one that this process has read, and a *DamagedListError if there is none.
func (s *Store) Latest(ctx context.Context, name string) (*pricing.List, error) {
	if err := ctx.Err(); err != nil {
		return nil, fmt.Errorf("read price list %q: %w", name, err)
	}
	e, known := s.current.Load().lists[name]
	if !known {
		if err := s.look(ctx); err != nil {
			return nil, failure(ctx, fmt.Sprintf("read price list %q", name), err)
		}
		e = s.current.Load().lists[name]
	}
	switch {
	case e.list != nil:
		return e.list, nil
	case e.damaged != nil:
		return nil, e.damaged
	}
	return nil, s.missing(name, 0)
}

// Version implements pricing.Lists. A version that was read before comes from memory.
func (s *Store) Version(ctx context.Context, name string, version int) (*pricing.List, error) {
	doing := func() string { return fmt.Sprintf("read price list %q version %d", name, version) }
	if err := ctx.Err(); err != nil {
		return nil, fmt.Errorf("%s: %w", doing(), err)
	}
	e := s.current.Load().lists[name]
	if version > e.newest() {
		if err := s.look(ctx); err != nil {
			return nil, failure(ctx, doing(), err)
		}
		e = s.current.Load().lists[name]
	}
	switch {
	case e.list != nil && e.list.Version == version:
		return e.list, nil
	case e.damaged != nil && e.damaged.Version == version:
		return nil, e.damaged
	case version < 1 || version > e.newest():
		return nil, s.missing(name, version)
	}
	if l := s.old.get(name, version); l != nil {
		return l, nil
	}
	l, err := s.readOld(ctx, name, version)
	if errors.Is(err, errNoRow) {
		return nil, s.missing(name, version)
	}
	return l, failure(ctx, doing(), err)
}

// missing says what there is instead.
func (s *Store) missing(name string, version int) error {
	held := s.current.Load()
	e := &pricing.ListNotFoundError{Name: name, Version: version}
	for _, known := range held.names {
		if held.lists[known].list != nil {
			e.Known = append(e.Known, known)
		}
	}
	e.Latest = held.lists[name].newest()
	return e
}

// look asks the database for newer versions on behalf of a request for something unknown: another replica may have just
// published it. Requests share one look, and one that is not older than the shortest time, so that asking for nonsense
// does not burden the database.
func (s *Store) look(ctx context.Context) error {
	if last := s.looked.Load(); last != nil && time.Since(last.at) < shortest {
		return last.err
	}
	_, err := s.together(ctx, "look", func() (*pricing.List, error) { return nil, s.refresh(s.background) })
	return err
}

// readOld reads a version that is not the latest, and keeps it.
func (s *Store) readOld(ctx context.Context, name string, version int) (*pricing.List, error) {
	return s.together(ctx, fmt.Sprintf("read %s %d", name, version), func() (l *pricing.List, err error) {
		err = s.read(s.background, func(ctx context.Context) error {
			l, _, err = readList(ctx, s.pool, name, version)
			return err
		})
		if err == nil {
			s.old.add(l)
		}
		return l, err
	})
}

// together runs do once for all callers that want the same at one time. Each waits no longer than its own context; do
// goes on for the others.
func (s *Store) together(ctx context.Context, key string, do func() (*pricing.List, error)) (*pricing.List, error) {
	done := s.flights.DoChan(key, func() (any, error) { return do() })
	select {
	case r := <-done:
		l, _ := r.Val.(*pricing.List)
		return l, r.Err
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

// oldVersions are the versions used last among those that are not the latest.
type oldVersions struct {
	sync.Mutex
	most  int
	order *list.List // of *pricing.List, the one used last in front
	at    map[oldKey]*list.Element
}

type oldKey struct {
	name    string
	version int
}

func newOldVersions(most int) *oldVersions {
	return &oldVersions{most: most, order: list.New(), at: map[oldKey]*list.Element{}}
}

func (o *oldVersions) get(name string, version int) *pricing.List {
	o.Lock()
	defer o.Unlock()
	e, ok := o.at[oldKey{name, version}]
	if !ok {
		return nil
	}
	o.order.MoveToFront(e)
	return e.Value.(*pricing.List)
}

func (o *oldVersions) add(l *pricing.List) {
	o.Lock()
	defer o.Unlock()
	key := oldKey{l.Name, l.Version}
	if e, ok := o.at[key]; ok {
		e.Value = l
		o.order.MoveToFront(e)
		return
	}
	o.at[key] = o.order.PushFront(l)
	for o.order.Len() > o.most {
		last := o.order.Back()
		l := o.order.Remove(last).(*pricing.List)
		delete(o.at, oldKey{l.Name, l.Version})
	}
}
