package db_test

import (
	"context"
	"errors"
	"fmt"
	"net"
	"sync"
	"testing"
	"time"

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

func TestRestartOfTheServerBetweenTwoRequestsLosesNothing(t *testing.T) {
	t.Parallel()
	cluster := dbtest.Private(t, true)
	dsn := cluster.Database(t)
	store := open(t, dsn, rarely())
	first := publish(t, store, changed("a", "40"))
	publish(t, store, changed("a", "41"))
	cluster.Restart(t)

	// The connections of the pool are dead; nobody is told.
	again, err := open(t, dsn, rarely()).Version(t.Context(), "a", 1)
	require.NoError(t, err)
	assert.Equal(t, first.ETag(), again.ETag())
	cluster.Restart(t)
	third, created, err := store.Publish(t.Context(), changed("a", "42"), db.Match())
	require.NoError(t, err)
	assert.True(t, created)
	assert.Equal(t, 3, third.Version)
	cluster.Restart(t)
	fourth := publish(t, store, changed("a", "43"))
	assert.Equal(t, 4, fourth.Version)
}

func TestLastGoodListsAreServedWhileTheDatabaseIsDown(t *testing.T) {
	t.Parallel()
	cluster := dbtest.Private(t, false)
	dsn := cluster.Database(t)
	writer := open(t, dsn, rarely())
	publish(t, writer, changed("a", "40"))
	second := publish(t, writer, changed("a", "41"))
	reader := open(t, dsn, db.Options{ReadTimeout: 500 * time.Millisecond})
	assert.Eventually(t, func() bool { return reader.Age() < 50*time.Millisecond }, 5*time.Second, time.Millisecond)

	cluster.Stop(t)
	time.Sleep(200 * time.Millisecond)
	assert.Greater(t, reader.Age(), 150*time.Millisecond, "the age tells that nothing new can be known")
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
	_, _, err = reader.Publish(t.Context(), changed("a", "42"), db.Any())
	require.ErrorAs(t, err, &away)
	_, err = reader.Latest(t.Context(), "b")
	require.ErrorAs(t, err, &away, "whether there is such a list cannot be known")
	var temporary interface{ Temporary() bool }
	require.ErrorAs(t, err, &temporary)
	assert.True(t, temporary.Temporary())

	cluster.Start(t)
	assert.Eventually(t, func() bool { return reader.Age() < 100*time.Millisecond }, 10*time.Second, 10*time.Millisecond)
	_, err = reader.Version(t.Context(), "a", 1)
	require.NoError(t, err)
}

func TestStoreWaitsForAServerThatStarts(t *testing.T) {
	t.Parallel()
	cluster := dbtest.Private(t, false)
	dsn := cluster.Database(t)
	cluster.Stop(t)
	ctx, cancel := context.WithTimeout(t.Context(), 300*time.Millisecond)
	defer cancel()
	_, err := db.Open(ctx, dsn, rarely())
	var away *db.UnavailableError
	require.ErrorAs(t, err, &away)
	starting := make(chan struct{})
	go func() {
		defer close(starting)
		time.Sleep(100 * time.Millisecond)
		cluster.Start(t)
	}()
	open(t, dsn, rarely())
	<-starting
}

func TestPoisonedRowsAreRefusedAsAWhole(t *testing.T) {
	t.Parallel()
	for name, sql := range map[string]string{
		"another price":                "update offers set price = price + 0.01 where position = 0 and version = 2",
		"a price below zero":           "alter domain price_number drop constraint price_number_check; update offers set price = -1 where version = 2",
		"a price that is no number":    "alter domain price_number drop constraint price_number_check; update offers set price = 'NaN' where version = 2",
		"a price of thirty digits":     "alter domain price_number drop constraint price_number_check; update labour set hourly_cost = 38.0000000000000000000000000001 where version = 2",
		"a row that is missing":        "delete from soils where version = 2 and position = 0",
		"the last row that is missing": "delete from labour_rates r where version = 2 and position = (select max(position) from labour_rates where version = 2)",
		"a row more":                   "insert into equipment (name, version, position, key, label, half_day, day) values ('a', 2, 99, 'crane', 'Crane', 1, 1)",
		"a singleton that is missing":  "delete from settings where version = 2",
		"an offer break in the air":    "insert into offer_breaks (name, version, offer_position, position, from_count, price) values ('a', 2, 999, 0, 1, 1)",
		"a tax category in the air":    "insert into tax_categories (name, version, tax_position, position, category) values ('a', 2, 999, 0, 'labour')",
		"an unreadable quantity":       "update soils set bank_density = 'heavy' where version = 2",
		"an allowance for nothing":     "insert into allowances (name, version, line, percent) values ('a', 2, 'luck', 5)",
		"another digest":               "update price_list_versions set document_sha256 = sha256('x') where version = 2",
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			dsn := dbtest.New(t)
			writer := open(t, dsn, rarely())
			first := publish(t, writer, changed("a", "40"))
			reader := open(t, dsn, rarely()) // has read version 1
			publish(t, writer, changed("a", "41"))
			tamper(t, dsn, sql)

			time.Sleep(260 * time.Millisecond) // longer than the shortest time between looks
			var damaged *db.DamagedListError
			_, err := reader.Version(t.Context(), "a", 2)
			require.ErrorAs(t, err, &damaged)
			assert.Equal(t, "a", damaged.Name)
			assert.Equal(t, 2, damaged.Version)
			assert.ErrorContains(t, err, `price list "a" version 2 is damaged`)
			list, err := reader.Latest(t.Context(), "a")
			require.NoError(t, err, "the last good one is kept")
			assert.Equal(t, first.ETag(), list.ETag())
			assert.Len(t, reader.Damaged(), 1)

			late := open(t, dsn, rarely()) // has read nothing good
			_, err = late.Latest(t.Context(), "a")
			require.ErrorAs(t, err, &damaged)
			_, err = late.Version(t.Context(), "a", 1)
			require.NoError(t, err)

			_, _, err = late.Publish(t.Context(), changed("a", "43"), db.Match(first.ETag()))
			require.Error(t, err, "nobody can have meant the damaged version")
			third, created, err := late.Publish(t.Context(), changed("a", "42"), db.Any())
			require.NoError(t, err, "a new version repairs the list")
			assert.True(t, created)
			assert.Equal(t, 3, third.Version)
			assert.Empty(t, late.Damaged())
		})
	}
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

const truncateAll = "truncate price_list_versions, materials, soils, suppliers, offers, offer_breaks, labour, labour_rates," +
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
	_, _, err = store.Publish(done, changed("a", "42"), db.Any())
	require.ErrorIs(t, err, context.Canceled)

	// Somebody else holds the lock of the publishers, and the table.
	reader := open(t, dsn, rarely())
	release := hold(t, dsn)
	for what, call := range map[string]func(context.Context) error{
		"publish": func(ctx context.Context) error {
			_, _, err := store.Publish(ctx, changed("a", "42"), db.Any())
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
