package db

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"log/slog"
	"math/rand/v2"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"
	"golang.org/x/sync/singleflight"

	"bedline/pricing"
)

// Options set a Store up; the zero value is good.
type Options struct {
	MaxConns    int32         // most connections to the database; 4 if 0, unless the URL has pool_max_conns
	Refresh     time.Duration // how often to look for new versions, with a quarter of jitter; 2 s if 0
	ReadTimeout time.Duration // longest wait for one read; 2 s if 0
	Keep        int           // how many versions that are not the latest to keep in memory; 64 if 0
	Logger      *slog.Logger  // slog.Default() if nil
}

// Store is pricing.Lists over a database. Its methods may be called from several goroutines.
type Store struct {
	pool    *pgxpool.Pool
	options Options
	log     *slog.Logger

	current atomic.Pointer[snapshot]
	change  sync.Mutex // held to replace current, so that no newer version is lost
	old     *oldVersions
	flights singleflight.Group
	looked  atomic.Pointer[look]

	background context.Context
	stop       context.CancelFunc
	stopped    sync.WaitGroup
}

var _ pricing.Lists = (*Store)(nil)

// look is how the last look at the newest versions ended.
type look struct {
	at  time.Time
	err error
}

// shortest is the least time between two looks at the database that requests for unknown lists or versions may cause.
const shortest = 250 * time.Millisecond

// Open connects to a database that has been migrated and reads the latest version of every list. While the database
// does not answer it tries again until ctx ends. The errors are *SchemaError before Migrate and *UnavailableError.
//
// The URL is one of Postgres, with several hosts if need be; parameters of the driver such as pool_max_conns may stand in
// it. Behind a pooler that shares sessions out by transaction, add default_query_exec_mode=exec.
func Open(ctx context.Context, url string, options Options) (*Store, error) {
	config, err := pgxpool.ParseConfig(url)
	if err != nil {
		return nil, fmt.Errorf("open the database: %w", err)
	}
	if config.ConnConfig.DefaultQueryExecMode == pgx.QueryExecModeSimpleProtocol {
		return nil, errors.New("open the database: default_query_exec_mode=simple_protocol is not safe; use exec")
	}
	configure(config, url, options)
	pool, err := pgxpool.NewWithConfig(ctx, config)
	if err != nil {
		return nil, fmt.Errorf("open the database: %w", err)
	}
	s := newStore(pool, options)
	if err := s.first(ctx); err != nil {
		s.stop()
		pool.Close()
		return nil, err
	}
	s.stopped.Go(s.watch)
	return s, nil
}

// configure sets what the driver leaves open or too wide.
func configure(config *pgxpool.Config, url string, options Options) {
	if options.MaxConns > 0 || !strings.Contains(url, "pool_max_conns") {
		config.MaxConns = cmp.Or(options.MaxConns, 4)
	}
	config.MinConns = 0
	config.MaxConnLifetime = 10 * time.Minute // a new primary is found, and a new address
	config.MaxConnLifetimeJitter = 2 * time.Minute
	config.MaxConnIdleTime = 5 * time.Minute
	config.PingTimeout = 500 * time.Millisecond // the driver has none
	if config.ConnConfig.ConnectTimeout == 0 || config.ConnConfig.ConnectTimeout > 10*time.Second {
		config.ConnConfig.ConnectTimeout = 3 * time.Second
	}
	if _, set := config.ConnConfig.RuntimeParams["application_name"]; !set {
		config.ConnConfig.RuntimeParams["application_name"] = "bedline"
	}
}

func newStore(pool *pgxpool.Pool, options Options) *Store {
	options.Refresh = cmp.Or(options.Refresh, 2*time.Second)
	options.ReadTimeout = cmp.Or(options.ReadTimeout, 2*time.Second)
	options.Keep = cmp.Or(options.Keep, 64)
	options.Logger = cmp.Or(options.Logger, slog.Default())
	s := &Store{pool: pool, options: options, log: options.Logger, old: newOldVersions(options.Keep)}
	s.current.Store(&snapshot{})
	s.background, s.stop = context.WithCancel(context.Background())
	return s
}

// first checks the schema and reads the lists, again and again while the database does not answer.
func (s *Store) first(ctx context.Context) error {
	for attempt := 0; ; attempt++ {
		err := s.read(ctx, func(ctx context.Context) error { return checkSchema(ctx, s.pool) })
		if err == nil {
			err = s.refresh(ctx)
		}
		if err == nil || !connectionFailed(err) || ctx.Err() != nil {
			return failure(context.WithoutCancel(ctx), "open the database", err)
		}
		s.log.Warn("the database does not answer yet", "attempt", attempt+1, "error", err)
		select {
		case <-ctx.Done():
			return failure(context.WithoutCancel(ctx), "open the database", err)
		case <-time.After(jitter(min(time.Second, 100*time.Millisecond<<min(attempt, 4)))):
		}
	}
}

// Close ends the looks at the database and closes the connections. Lists that were handed out stay good.
func (s *Store) Close() {
	s.stop()
	s.stopped.Wait()
	s.pool.Close()
}

// watch looks for new versions until the store is closed.
func (s *Store) watch() {
	failing := false
	for {
		select {
		case <-s.background.Done():
			return
		case <-time.After(jitter(s.options.Refresh)):
		}
		err := s.refresh(s.background)
		switch {
		case s.background.Err() != nil:
			return
		case err != nil && !failing:
			s.log.Error("the database does not answer; the price lists read last go on being served", "error", err)
		case err == nil && failing:
			s.log.Info("the database answers again")
		}
		failing = err != nil
	}
}

// Age is the time since the newest versions were last read from the database: how old the latest lists may be.
func (s *Store) Age() time.Duration { return time.Since(s.current.Load().at) }

// Damaged returns an error for each list whose newest version was refused, sorted by name.
func (s *Store) Damaged() []*DamagedListError { return s.current.Load().damaged() }

// Stat tells how the connections are used, for metrics.
func (s *Store) Stat() *pgxpool.Stat { return s.pool.Stat() }

// read runs a read under the time limit, once more if the connection failed or a migration overtook the statement.
func (s *Store) read(ctx context.Context, do func(context.Context) error) error {
	ctx, cancel := context.WithTimeout(ctx, s.options.ReadTimeout)
	defer cancel()
	err := do(ctx)
	if err == nil || ctx.Err() != nil || !connectionFailed(err) && !planChanged(err) {
		return err
	}
	if connectionFailed(err) {
		s.pool.Reset() // the others are likely as dead
	}
	select {
	case <-ctx.Done():
		return err
	case <-time.After(jitter(30 * time.Millisecond)):
	}
	return do(ctx)
}

// jitter is d and up to a quarter more, so that replicas spread out.
func jitter(d time.Duration) time.Duration { return d + rand.N(d/4+1) }
