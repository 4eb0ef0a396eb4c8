package db_test

import (
	"fmt"
	"net/url"
	"strings"
	"sync"
	"testing"

	"github.com/govalues/decimal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/db"
	"bedline/db/dbtest"
	"bedline/pricing"
)

func TestPublishedListIsReadBackToTheByte(t *testing.T) {
	t.Parallel()
	documents := map[string]*pricing.Document{"the sample": pricing.Sample().Document()}
	bare := pricing.Sample().Document()
	bare.Note, bare.Equipment, bare.Disposal, bare.Hauling, bare.Taxes = "", nil, nil, nil, nil
	bare.Holds = nil
	bare.Allowances, bare.Settings, bare.Commercial = pricing.Allowances{}, pricing.SettingsDocument{}, pricing.CommercialDocument{}
	documents["a list without what may be absent"] = bare
	odd := pricing.Sample().Document()
	odd.Note = "Quotes ' \" \\ and a a dash – then ½ in, Ziegel, 煉瓦, \u200b"
	odd.Effective = "0999-12-31"
	zero := decimal.MustParse("0.00")
	odd.Commercial = pricing.CommercialDocument{MarkupPercent: &zero}
	odd.Allowances.Pins = &zero
	odd.Taxes = append(odd.Taxes, pricing.TaxDocument{Name: "Second tax", Percent: decimal.MustParse("0.125"),
		On: []string{"labour", "materials"}})
	documents["a list with odd texts and zeros"] = odd
	full := pricing.Sample().Document()
	some, few := decimal.MustParse("0.25"), decimal.MustParse("2")
	full.Materials[0].Surplus = &pricing.SurplusDocument{Per: pricing.Content{Count: 10}, Disposal: &some}
	full.Offers[0].LeadDays, full.Offers[0].HandlingHours, full.Offers[0].LoadWith = &few, &some, "stone"
	full.Labour.CrewSize, full.Labour.HoursPerDay = &few, &few
	full.Labour.Rates[0].Tool, full.Labour.Rates[0].AccessFrom, full.Labour.Rates[0].UnitMassTo = "hand", "36 in", "40 lb"
	full.Equipment[1].Transport, full.Equipment[1].Operations = &some, []string{"compact_base", "place_base"}
	full.Hauling[0].Pace, full.Hauling[0].FillMinutes, full.Hauling[0].TipMinutes, full.Hauling[0].SlopeFactor = "150 ft", &few, &some, &some
	full.Hauling[0].AccessFrom, full.Settings.HandLift, full.Settings.MachineLift = "28 in", "2 in", "4 in"
	full.Holds = []pricing.HoldDocument{{Key: "utility_marking", WorkingDays: &few}, {Key: "joint_cure", Hours: &some, Source: "label"}}
	full.Commercial.DiscountPercent, full.Commercial.RoundPriceTo, full.Commercial.Rounding = &few, &few, "up"
	half := decimal.MustParse("50")
	full.Commercial.DepositPercent, full.Commercial.ValidDays = &half, &few
	full.Commercial.Stages = []pricing.StageDocument{{Name: "On completion", Percent: half}}
	full.Taxes[0].Jurisdiction = "Our county"
	documents["a list with all that may be there"] = full
	yen := pricing.Sample().Document()
	reversed(yen.Materials)
	reversed(yen.Offers)
	reversed(yen.Labour.Rates)
	documents["a list in another order"] = yen

	for name, doc := range documents {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			want, err := doc.Compile(1)
			require.NoError(t, err)
			dsn := dbtest.New(t)
			written, created, err := open(t, dsn, rarely()).Publish(t.Context(), doc, db.Expect{New: true})
			require.NoError(t, err)
			require.True(t, created)
			read, err := open(t, dsn, rarely()).Latest(t.Context(), doc.Name)
			require.NoError(t, err)
			for _, got := range []*pricing.List{written, read} {
				assert.Equal(t, string(want.JSON()), string(got.JSON()))
				assert.Equal(t, want.ETag(), got.ETag())
				assert.Equal(t, 1, got.Version)
			}
		})
	}
}

func reversed[T any](items []T) {
	for i, j := 0, len(items)-1; i < j; i, j = i+1, j-1 {
		items[i], items[j] = items[j], items[i]
	}
}

func TestPricesAreExactInTheTables(t *testing.T) {
	t.Parallel()
	dsn := dbtest.New(t)
	// 0.1 and 12345678.1234 have no exact binary form.
	publish(t, open(t, dsn, rarely()), changed("exact", "12345678.1234"))
	var text string
	scan(t, dsn, "select trim_scale(hourly_cost)::text from labour where name = 'exact'", &text)
	assert.Equal(t, "12345678.1234", text)
	var sum bool
	scan(t, dsn, "select hourly_cost + 0.1 = 12345678.2234 from labour where name = 'exact'", &sum)
	assert.True(t, sum)
	list, err := open(t, dsn, rarely()).Latest(t.Context(), "exact")
	require.NoError(t, err)
	assert.Equal(t, "12345678.1234", list.Document().Labour.HourlyCost.String())
}

func TestEveryPublisherExpectsSomething(t *testing.T) {
	t.Parallel()
	store := open(t, dbtest.New(t), rarely())
	ctx := t.Context()
	var conflict *pricing.VersionConflictError

	_, _, err := store.Publish(ctx, changed("a", "40"), db.Expect{Exists: true})
	require.ErrorAs(t, err, &conflict, "a list that is not there does not match")
	assert.Equal(t, pricing.VersionConflictError{Name: "a"}, *conflict)

	first, created, err := store.Publish(ctx, changed("a", "40"), db.Expect{New: true})
	require.NoError(t, err)
	assert.True(t, created)
	assert.Equal(t, 1, first.Version)

	_, _, err = store.Publish(ctx, changed("a", "41"), db.Expect{New: true})
	require.ErrorAs(t, err, &conflict, "a list that is there is not new")
	assert.Equal(t, pricing.VersionConflictError{Name: "a", Current: first.ETag()}, *conflict)

	second, created, err := store.Publish(ctx, changed("a", "41"), db.Expect{ETags: []string{`"other"`, first.ETag()}})
	require.NoError(t, err)
	assert.True(t, created)
	assert.Equal(t, 2, second.Version)
	assert.NotEqual(t, first.ETag(), second.ETag())

	_, _, err = store.Publish(ctx, changed("a", "42"), db.Expect{ETags: []string{first.ETag()}})
	require.ErrorAs(t, err, &conflict, "the first version is not the latest any more")
	assert.Equal(t, second.ETag(), conflict.Current)

	again, created, err := store.Publish(ctx, changed("a", "41.00"), db.Expect{ETags: []string{first.ETag()}})
	require.NoError(t, err, "what is there already may be published again")
	assert.False(t, created)
	assert.Equal(t, second.ETag(), again.ETag())

	third, created, err := store.Publish(ctx, changed("a", "40"), db.Expect{Exists: true})
	require.NoError(t, err)
	assert.True(t, created, "the content of an old version is a new version")
	assert.Equal(t, 3, third.Version)

	_, _, err = store.Publish(ctx, &pricing.Document{Name: "a"}, db.Expect{})
	require.Error(t, err)
	latest, err := store.Latest(ctx, "a")
	require.NoError(t, err, "an impossible list leaves the latest where it was")
	assert.Equal(t, third.ETag(), latest.ETag())
}

func TestOfEightPublishersOneWins(t *testing.T) {
	t.Parallel()
	dsn := dbtest.New(t)
	stores := []*db.Store{open(t, dsn, rarely()), open(t, dsn, rarely())} // two replicas
	first := publish(t, stores[0], changed("contested", "40"))
	for round, expect := range []db.Expect{db.Expect{ETags: []string{first.ETag()}}, db.Expect{New: true}} {
		name := []string{"contested", "fresh"}[round]
		var publishers sync.WaitGroup
		lists, created, errs := make([]*pricing.List, 8), make([]bool, 8), make([]error, 8)
		for i := range 8 {
			publishers.Go(func() {
				doc := changed(name, fmt.Sprintf("5%d.00", i))
				lists[i], created[i], errs[i] = stores[i%2].Publish(t.Context(), doc, expect)
			})
		}
		publishers.Wait()
		winner := -1
		for i := range 8 {
			if errs[i] == nil {
				require.Equal(t, -1, winner, "%d and %d have both won", winner, i)
				winner = i
				assert.True(t, created[i])
			}
		}
		require.NotEqual(t, -1, winner)
		for i := range 8 {
			var conflict *pricing.VersionConflictError
			if i != winner && assert.ErrorAs(t, errs[i], &conflict) {
				assert.Equal(t, lists[winner].ETag(), conflict.Current)
			}
		}
	}
	var versions int
	scan(t, dsn, "select max(version) from price_list_versions where name = 'contested'", &versions)
	assert.Equal(t, 2, versions)
}

func TestVersionsHaveNoGapsWhenAnythingGoes(t *testing.T) {
	t.Parallel()
	dsn := dbtest.New(t)
	stores := []*db.Store{open(t, dsn, rarely()), open(t, dsn, rarely())}
	var publishers sync.WaitGroup
	lists, errs := make([]*pricing.List, 8), make([]error, 8)
	for i := range 8 {
		publishers.Go(func() {
			lists[i], _, errs[i] = stores[i%2].Publish(t.Context(), changed("busy", fmt.Sprintf("6%d", i)), db.Expect{})
		})
	}
	publishers.Wait()
	seen := map[int]bool{}
	for i := range 8 {
		require.NoError(t, errs[i])
		seen[lists[i].Version] = true
	}
	for version := 1; version <= 8; version++ {
		assert.True(t, seen[version], "version %d", version)
	}
}

func TestSeedStartsOnlyAnEmptyDatabase(t *testing.T) {
	t.Parallel()
	dsn := dbtest.New(t)
	var replicas sync.WaitGroup
	done, errs := make([]bool, 4), make([]error, 4)
	for i := range 4 {
		store := open(t, dsn, rarely())
		replicas.Go(func() { done[i], errs[i] = store.Seed(t.Context(), pricing.Sample()) })
	}
	replicas.Wait()
	count := 0
	for i := range 4 {
		require.NoError(t, errs[i])
		if done[i] {
			count++
		}
	}
	assert.Equal(t, 1, count)
	store := open(t, dsn, rarely())
	list, err := store.Latest(t.Context(), "standard")
	require.NoError(t, err)
	assert.Equal(t, 1, list.Version)
	assert.Equal(t, pricing.Sample().JSON(), list.JSON())

	other := dbtest.New(t)
	store = open(t, other, rarely())
	publish(t, store, changed("own", "40"))
	seeded, err := store.Seed(t.Context(), pricing.Sample())
	require.NoError(t, err)
	assert.False(t, seeded)
	_, err = store.Latest(t.Context(), "standard")
	var missing *pricing.ListNotFoundError
	require.ErrorAs(t, err, &missing, "a crew with a list of its own gets no sample")
}

func TestPoolerModeNeedsNoPreparedStatements(t *testing.T) {
	t.Parallel()
	dsn := dbtest.New(t)
	exec := with(dsn, "default_query_exec_mode", "exec")
	store := open(t, exec, rarely())
	publish(t, store, pricing.Sample().Document())
	list, err := open(t, exec, rarely()).Latest(t.Context(), "standard")
	require.NoError(t, err)
	assert.Equal(t, pricing.Sample().JSON(), list.JSON())

	_, err = db.Open(t.Context(), with(dsn, "default_query_exec_mode", "simple_protocol"), rarely())
	require.ErrorContains(t, err, "simple_protocol")
}

// with adds a parameter to a connection string.
func with(dsn, key, value string) string {
	u, err := url.Parse(dsn)
	if err != nil || !strings.HasPrefix(u.Scheme, "postgres") {
		return dsn + " " + key + "=" + value
	}
	q := u.Query()
	q.Set(key, value)
	u.RawQuery = q.Encode()
	return u.String()
}
