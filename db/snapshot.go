package db

import (
	"context"
	"errors"
	"maps"
	"slices"
	"time"

	"github.com/jackc/pgx/v5"

	"bedline/pricing"
)

// snapshot is what the database last said of the newest versions. It is replaced, never changed.
type snapshot struct {
	at    time.Time        // when it was read
	lists map[string]entry // by name
	names []string         // sorted
}

// entry is the latest good version of a list.
type entry struct {
	list    *pricing.List // nil if the newest version is damaged and none was read before
	sum     digest
	damaged *DamagedListError // why the newest version is not list, or nil
}

func (s *snapshot) damaged() (errs []*DamagedListError) {
	for _, name := range s.names {
		if e := s.lists[name]; e.damaged != nil {
			errs = append(errs, e.damaged)
		}
	}
	return errs
}

// newest is the number of the newest version of a list, good or not; 0 if there is none.
func (e entry) newest() int {
	switch {
	case e.damaged != nil:
		return e.damaged.Version
	case e.list != nil:
		return e.list.Version
	}
	return 0
}

// head is the newest version of a list as the database has it.
type head struct {
	name    string
	version int
	sum     []byte
}

// readHeads reads the newest version numbers, by name.
func readHeads(ctx context.Context, q querier) ([]head, error) {
	rows, err := q.Query(ctx, `
select distinct on (name) name, version, document_sha256
  from price_list_versions order by name, version desc`)
	if err != nil {
		return nil, err
	}
	return pgx.CollectRows(rows, func(row pgx.CollectableRow) (h head, err error) {
		err = row.Scan(&h.name, &h.version, &h.sum)
		return h, err
	})
}

// refresh looks for newer versions and reads them. When the database fails the snapshot stays as it is.
func (s *Store) refresh(ctx context.Context) (err error) {
	start := time.Now()
	defer func() { s.looked.Store(&look{at: time.Now(), err: err}) }()
	var heads []head
	err = s.read(ctx, func(ctx context.Context) (err error) {
		heads, err = readHeads(ctx, s.pool)
		return err
	})
	if err != nil {
		return err
	}
	held := s.current.Load()
	fresh := make(map[string]entry, len(heads))
	for _, h := range heads {
		if fresh[h.name], err = s.follow(ctx, held.lists[h.name], h); err != nil {
			return err
		}
	}
	s.change.Lock()
	defer s.change.Unlock()
	// A version published here in the meantime is newer than what was read. A list is never taken away.
	for name, e := range s.current.Load().lists {
		if now, ok := fresh[name]; !ok || now.newest() < e.newest() {
			fresh[name] = e
		}
	}
	s.replace(fresh, start)
	return nil
}

// follow brings an entry to the newest version. Rows that are no such list leave the last good one in place.
func (s *Store) follow(ctx context.Context, held entry, h head) (entry, error) {
	if held.damaged == nil && held.list != nil {
		if held.list.Version > h.version { // a standby that lags behind
			return held, nil
		}
		if held.list.Version == h.version && slices.Equal(held.sum[:], h.sum) {
			return held, nil
		}
		if held.list.Version == h.version {
			s.log.Error("a published version is not what it was; the database was replaced", "list", h.name,
				"version", h.version)
		}
	}
	var fresh entry
	err := s.read(ctx, func(ctx context.Context) (err error) {
		fresh.list, fresh.sum, err = readList(ctx, s.pool, h.name, h.version)
		return err
	})
	var damaged *DamagedListError
	switch {
	case errors.As(err, &damaged):
		if held.damaged == nil || held.damaged.Version != h.version {
			s.log.Error("a published version is refused; the last good one stays", "error", damaged)
		}
		held.damaged = damaged
		return held, nil
	case errors.Is(err, errNoRow): // the server has changed in between
		return held, nil
	case err != nil:
		return entry{}, err
	}
	return fresh, nil
}

// install makes a version that was just published the latest.
func (s *Store) install(list *pricing.List, sum digest) {
	s.change.Lock()
	defer s.change.Unlock()
	held := s.current.Load()
	if held.lists[list.Name].newest() > list.Version {
		return
	}
	fresh := maps.Clone(held.lists)
	if fresh == nil {
		fresh = map[string]entry{}
	}
	fresh[list.Name] = entry{list: list, sum: sum}
	s.replace(fresh, held.at)
}

// replace publishes a new snapshot; change is held. Versions that were the latest are kept among the old ones.
func (s *Store) replace(lists map[string]entry, at time.Time) {
	for name, e := range s.current.Load().lists {
		if e.list != nil && lists[name].list != e.list {
			s.old.add(e.list)
		}
	}
	s.current.Store(&snapshot{at: at, lists: lists, names: slices.Sorted(maps.Keys(lists))})
}
