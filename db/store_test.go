package db_test

import (
	"context"
	"errors"
	"fmt"
	"net"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/db"
	"bedline/db/dbtest"
	"bedline/pricing"
)

func TestListsAreFoundByNameAndVersion(t *testing.T) {
	t.Parallel()
	store := open(t, dbtest.New(t), rarely())
	ctx := t.Context()
	var missing *pricing.ListNotFoundError

	summaries, err := store.Summaries(ctx)
	require.NoError(t, err)
	assert.Empty(t, summaries)
	_, err = store.Latest(ctx, "b")
	require.ErrorAs(t, err, &missing)
	assert.Equal(t, pricing.ListNotFoundError{Name: "b"}, *missing)

	b1 := publish(t, store, changed("b", "40"))
	a1 := publish(t, store, changed("a", "40"))
	b2 := publish(t, store, changed("b", "41"))
	summaries, err = store.Summaries(ctx)
	require.NoError(t, err)
	assert.Equal(t, []pricing.Summary{a1.Summary(), b2.Summary()}, summaries)
	for _, want := range []*pricing.List{b1, a1, b2} {
		got, err := store.Version(ctx, want.Name, want.Version)
		require.NoError(t, err)
		assert.Equal(t, want.ETag(), got.ETag())
	}
	for _, version := range []int{-1, 0, 3, 1 << 40} {
		_, err = store.Version(ctx, "b", version)
		require.ErrorAs(t, err, &missing, "version %d", version)
		assert.Equal(t, pricing.ListNotFoundError{Name: "b", Version: version, Known: []string{"a", "b"}, Latest: 2}, *missing)
	}
	_, err = store.Version(ctx, "c", 1)
	require.ErrorAs(t, err, &missing)
	assert.Equal(t, pricing.ListNotFoundError{Name: "c", Version: 1, Known: []string{"a", "b"}}, *missing)
}

func TestReplicasSeeWhatOthersPublish(t *testing.T) {
	t.Parallel()
	dsn := dbtest.New(t)
	one, quick, slow := open(t, dsn, rarely()), open(t, dsn, db.Options{}), open(t, dsn, rarely())
	first := publish(t, one, changed("a", "40"))
	assert.Eventually(t, func() bool {
		list, err := quick.Latest(t.Context(), "a")
		return err == nil && list.ETag() == first.ETag()
	}, 5*time.Second, 10*time.Millisecond, "a look in the background finds it")
	time.Sleep(300 * time.Millisecond) // longer than the shortest time between looks
	list, err := slow.Version(t.Context(), "a", 1)
	require.NoError(t, err, "a request for it by number finds it without waiting for the background")
	assert.Equal(t, first.ETag(), list.ETag())
}

func TestVersionsAreReadOnce(t *testing.T) {
	t.Parallel()
	dsn := dbtest.New(t)
	writer := open(t, dsn, rarely())
	for i := range 4 {
		publish(t, writer, changed("a", fmt.Sprintf("4%d", i)))
	}
	reader := open(t, dsn, db.Options{Refresh: time.Hour, Keep: 2})
	read := func(version int) (*pricing.List, error) { return reader.Version(t.Context(), "a", version) }
	for _, version := range []int{1, 2} {
		_, err := read(version)
		require.NoError(t, err)
	}
	tamper(t, dsn, "delete from labour")
	for _, version := range []int{1, 2, 4} {
		list, err := read(version)
		require.NoError(t, err, "version %d is in memory", version)
		assert.Equal(t, version, list.Version)
	}
	_, err := read(3)
	var damaged *db.DamagedListError
	require.ErrorAs(t, err, &damaged, "version 3 is not")
}

func TestManyRequestsForAnOldVersionShareOneRead(t *testing.T) {
	t.Parallel()
	dsn := dbtest.New(t)
	writer := open(t, dsn, rarely())
	first := publish(t, writer, changed("a", "40"))
	publish(t, writer, changed("a", "41"))
	reader := open(t, dsn, rarely())
	var requests sync.WaitGroup
	for range 50 {
		requests.Go(func() {
			list, err := reader.Version(t.Context(), "a", 1)
			if assert.NoError(t, err) {
				assert.Equal(t, first.ETag(), list.ETag())
			}
		})
	}
	requests.Wait()
	assert.LessOrEqual(t, reader.Stat().AcquireCount(), int64(6), "two queries of the schema, the versions, the list and little else")
}

func TestStoreOutlivesItsServer(t *testing.T) {
	t.Parallel()
	cluster := dbtest.Private(t, true) // one for all, for it takes a second to make
	t.Run("a restart between two requests loses nothing", func(t *testing.T) { restart(t, cluster) })
	t.Run("the last good lists are served while the server is down", func(t *testing.T) { down(t, cluster) })
	t.Run("a store waits for a server that starts", func(t *testing.T) { late(t, cluster) })
}

func restart(t *testing.T, cluster *dbtest.Cluster) {
	dsn := cluster.Database(t)
	store := open(t, dsn, rarely())
	first := publish(t, store, changed("a", "40"))
	publish(t, store, changed("a", "41"))
	other := open(t, dsn, rarely()) // has not read version 1

	// The connections of the pools die, and nobody is told.
	cluster.Restart(t)
	again, err := other.Version(t.Context(), "a", 1)
	require.NoError(t, err)
	assert.Equal(t, first.JSON(), again.JSON())
	third, created, err := store.Publish(t.Context(), changed("a", "42"), db.Expect{Exists: true})
	require.NoError(t, err)
	assert.True(t, created)
	assert.Equal(t, 3, third.Version)
	got, err := other.Version(t.Context(), "a", 3)
	require.NoError(t, err)
	assert.Equal(t, third.ETag(), got.ETag())
}

func down(t *testing.T, cluster *dbtest.Cluster) {
	dsn := cluster.Database(t)
	writer := open(t, dsn, rarely())
	publish(t, writer, changed("a", "40"))
	second := publish(t, writer, changed("a", "41"))
	reader := open(t, dsn, db.Options{ReadTimeout: 500 * time.Millisecond})

	cluster.Stop(t)
	stopped := time.Now()
	time.Sleep(100 * time.Millisecond)
	assert.GreaterOrEqual(t, reader.Age(), time.Since(stopped)-time.Millisecond, "the age tells that nothing new can be known")
	for range 3 {
		list, err := reader.Latest(t.Context(), "a")
		require.NoError(t, err)
		assert.Equal(t, second.ETag(), list.ETag())
	}
	summaries, err := reader.Summaries(t.Context())
	require.NoError(t, err)
	assert.Len(t, summaries, 1)

	var away *db.UnavailableError
	_, err = reader.Version(t.Context(), "a", 1)
	require.ErrorAs(t, err, &away, "a version that was never read cannot be had")
	_, _, err = reader.Publish(t.Context(), changed("a", "42"), db.Expect{})
	require.ErrorAs(t, err, &away)
	_, err = reader.Latest(t.Context(), "b")
	require.ErrorAs(t, err, &away, "whether there is such a list cannot be known")
	var temporary interface{ Temporary() bool }
	require.ErrorAs(t, err, &temporary)
	assert.True(t, temporary.Temporary())

	cluster.Start(t)
	started := time.Now()
	assert.Eventually(t, func() bool { return reader.Age() < time.Since(started) }, 20*time.Second, 10*time.Millisecond)
	_, err = reader.Version(t.Context(), "a", 1)
	require.NoError(t, err)
}

func late(t *testing.T, cluster *dbtest.Cluster) {
	dsn := cluster.Database(t)
	cluster.Stop(t)
	ctx, cancel := context.WithTimeout(t.Context(), 300*time.Millisecond)
	defer cancel()
	_, err := db.Open(ctx, dsn, rarely())
	var away *db.UnavailableError
	require.ErrorAs(t, err, &away)

	opened := make(chan error, 1)
	go func() {
		ctx, cancel := context.WithTimeout(t.Context(), 30*time.Second)
		defer cancel()
		store, err := db.Open(ctx, dsn, rarely())
		if err == nil {
			store.Close()
		}
		opened <- err
	}()
	time.Sleep(50 * time.Millisecond)
	cluster.Start(t)
	require.NoError(t, <-opened)
}

func TestPoisonedRowsAreRefusedAsAWhole(t *testing.T) {
	t.Parallel()
	dsn := dbtest.New(t)
	tamper(t, dsn, "alter domain price_number drop constraint price_number_check")
	poisons := []struct{ name, sql string }{ // $ stands for the name and version
		{"another price", "update offers set price = price + 0.01 where position = 0 and $"},
		{"a price below zero", "update offers set price = -1 where position = 0 and $"},
		{"a price that is no number", "update offers set price = 'NaN' where position = 0 and $"},
		{"a price with more digits than any has", "update labour set hourly_cost = hourly_cost + 0.000000000000001 where $"},
		{"a row that is missing", "delete from soils where position = 0 and $"},
		{"the last row that is missing", "delete from labour_rates where $ and position = (select max(position) from labour_rates where $)"},
		{"a row more", "insert into equipment select name, version, 99, 'crane', 'Crane', 1, 1 from labour where $"},
		{"a singleton that is missing", "delete from settings where $"},
		{"an offer break in the air", "insert into offer_breaks select name, version, 999, 0, null, 1, 1 from labour where $"},
		{"a tax category in the air", "insert into tax_categories select name, version, 999, 0, 'labour' from labour where $"},
		{"an unreadable quantity", "update soils set bank_density = 'heavy' where $"},
		{"an allowance for nothing", "insert into allowances select name, version, 'luck', 5 from labour where $"},
		{"another digest", "update price_list_versions set document_sha256 = sha256('x') where $"},
	}
	list := func(i int) string { return fmt.Sprintf("list-%d", i) }
	writer := open(t, dsn, rarely())
	first := make([]*pricing.List, len(poisons))
	for i := range poisons {
		first[i] = publish(t, writer, changed(list(i), "40"))
	}
	reader := open(t, dsn, rarely()) // has read every version 1
	for i, poison := range poisons {
		publish(t, writer, changed(list(i), "41"))
		tamper(t, dsn, strings.ReplaceAll(poison.sql, "$", fmt.Sprintf("name = '%s' and version = 2", list(i))))
	}
	time.Sleep(260 * time.Millisecond) // longer than the shortest time between looks
	var damaged *db.DamagedListError
	_, err := reader.Version(t.Context(), list(0), 2)
	require.ErrorAs(t, err, &damaged)
	fresh := open(t, dsn, rarely()) // has read nothing good
	assert.Len(t, reader.Damaged(), len(poisons))
	assert.Len(t, fresh.Damaged(), len(poisons))

	for i, poison := range poisons {
		t.Run(poison.name, func(t *testing.T) {
			_, err := reader.Version(t.Context(), list(i), 2)
			require.ErrorAs(t, err, &damaged)
			assert.Equal(t, list(i), damaged.Name)
			assert.Equal(t, 2, damaged.Version)
			assert.ErrorContains(t, err, fmt.Sprintf("price list %q version 2 is damaged", list(i)))
			kept, err := reader.Latest(t.Context(), list(i))
			require.NoError(t, err, "the last good one is kept")
			assert.Equal(t, first[i].ETag(), kept.ETag())

			_, err = fresh.Latest(t.Context(), list(i))
			require.ErrorAs(t, err, &damaged)
			_, err = fresh.Version(t.Context(), list(i), 1)
			require.NoError(t, err, "other versions are as good as ever")
			_, _, err = fresh.Publish(t.Context(), changed(list(i), "43"), db.Expect{ETags: []string{first[i].ETag()}})
			require.Error(t, err, "nobody can have meant the damaged version")
			third, created, err := fresh.Publish(t.Context(), changed(list(i), "42"), db.Expect{})
			require.NoError(t, err, "a new version repairs the list")
			assert.True(t, created)
			assert.Equal(t, 3, third.Version)
		})
	}
	assert.Empty(t, fresh.Damaged())
}

func TestReplacedDatabaseIsNoticed(t *testing.T) {
	t.Parallel()
	dsn := dbtest.New(t)
	reader := open(t, dsn, db.Options{})
	before := publish(t, reader, changed("a", "40"))
	// As after a restore from a backup: another version 1.
	tamper(t, dsn, truncateAll)
	after := publish(t, open(t, dsn, rarely()), changed("a", "41"))
	require.NotEqual(t, before.ETag(), after.ETag())
	assert.Eventually(t, func() bool {
		list, err := reader.Latest(t.Context(), "a")
		return err == nil && list.ETag() == after.ETag()
	}, 5*time.Second, 10*time.Millisecond)
}

const truncateAll = "truncate price_list_versions, materials, soils, suppliers, offers, offer_breaks, labour, labour_rates, hauling, holds, stages, equipment_operations," +
	" equipment, disposal, allowances, settings, commercial, taxes, tax_categories"

func TestDeadlinesAreHonoured(t *testing.T) {
	t.Parallel()
	// A server that takes connections and says nothing.
	silent, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer silent.Close()
	ctx, cancel := context.WithTimeout(t.Context(), 200*time.Millisecond)
	defer cancel()
	start := time.Now()
	_, err = db.Open(ctx, "postgres://postgres@"+silent.Addr().String()+"/postgres?sslmode=disable", rarely())
	require.Error(t, err)
	assert.Less(t, time.Since(start), 2*time.Second)

	dsn := dbtest.New(t)
	store := open(t, dsn, rarely())
	publish(t, store, changed("a", "40"))
	publish(t, store, changed("a", "41"))
	done, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = store.Latest(done, "a")
	require.ErrorIs(t, err, context.Canceled)
	_, err = store.Version(done, "a", 1)
	require.ErrorIs(t, err, context.Canceled)
	_, err = store.Summaries(done)
	require.ErrorIs(t, err, context.Canceled)
	_, _, err = store.Publish(done, changed("a", "42"), db.Expect{})
	require.ErrorIs(t, err, context.Canceled)

	// Somebody else holds the lock of the publishers, and the table.
	reader := open(t, dsn, rarely())
	release := hold(t, dsn)
	for what, call := range map[string]func(context.Context) error{
		"publish": func(ctx context.Context) error {
			_, _, err := store.Publish(ctx, changed("a", "42"), db.Expect{})
			return err
		},
		"read": func(ctx context.Context) error {
			_, err := reader.Version(ctx, "a", 1)
			return err
		},
	} {
		ctx, cancel := context.WithTimeout(t.Context(), 150*time.Millisecond)
		start := time.Now()
		err := call(ctx)
		cancel()
		assert.True(t, errors.Is(err, context.DeadlineExceeded), "%s: %v", what, err)
		assert.Less(t, time.Since(start), time.Second, what)
	}
	release()
	third := publish(t, store, changed("a", "42"))
	assert.Equal(t, 3, third.Version, "what timed out has published nothing")
}

func TestConnectionsThatWereCutAreReplacedWithinTheCall(t *testing.T) {
	t.Parallel()
	dsn := dbtest.New(t)
	store := open(t, dsn, rarely())
	first := publish(t, store, changed("a", "40"))
	publish(t, store, changed("a", "41"))
	reader := open(t, dsn, rarely())
	admin, err := pgx.Connect(t.Context(), dsn)
	require.NoError(t, err)
	defer admin.Close(context.WithoutCancel(t.Context()))
	// Young idle connections are not tried by the pool before they are handed out.
	cut := func() {
		var count int
		require.NoError(t, admin.QueryRow(t.Context(), `select count(pg_terminate_backend(pid, 5000)) from pg_stat_activity
			where datname = current_database() and pid <> pg_backend_pid()`).Scan(&count))
		require.Positive(t, count)
	}
	cut()
	list, err := reader.Version(t.Context(), "a", 1)
	require.NoError(t, err)
	assert.Equal(t, first.ETag(), list.ETag())
	_, err = store.Latest(t.Context(), "a")
	require.NoError(t, err)
	third := publish(t, store, changed("a", "42"))
	assert.Equal(t, 3, third.Version)
	cut()
	fourth := publish(t, store, changed("a", "43"))
	assert.Equal(t, 4, fourth.Version)
}
