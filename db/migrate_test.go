package db_test

import (
	"context"
	"fmt"
	"sync"
	"testing"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/db"
	"bedline/db/dbtest"
	"bedline/pricing"
)

func TestSchemaComesUpFromEveryVersionWithReplicasMigratingAtOnce(t *testing.T) {
	t.Parallel()
	count, err := db.MigrationCount()
	require.NoError(t, err)
	require.GreaterOrEqual(t, count, 5)
	for from := range count + 1 {
		t.Run(fmt.Sprintf("from version %d", from), func(t *testing.T) {
			t.Parallel()
			dsn := dbtest.Blank(t)
			if from > 0 {
				require.NoError(t, db.MigrateTo(t.Context(), dsn, int32(from)))
			}
			var replicas sync.WaitGroup
			errs := make([]error, 2)
			if from == 0 {
				errs = make([]error, 4)
			}
			for i := range errs {
				replicas.Go(func() { errs[i] = db.Migrate(t.Context(), dsn) })
			}
			replicas.Wait()
			for _, err := range errs {
				assert.NoError(t, err)
			}
			var version, tables int
			scan(t, dsn, "select version from bedline_schema_version", &version)
			scan(t, dsn, "select count(*) from pg_tables where schemaname = 'public'", &tables)
			assert.Equal(t, count, version)
			assert.Equal(t, 20, tables)

			store := open(t, dsn, rarely())
			list := publish(t, store, pricing.Sample().Document())
			assert.Equal(t, pricing.Sample().JSON(), list.JSON())
		})
	}
}

func TestSchemaOfANewerProgramIsLeftAlone(t *testing.T) {
	t.Parallel()
	dsn := dbtest.New(t)
	require.NoError(t, execute(t, dsn, "update bedline_schema_version set version = version + 3"))
	require.NoError(t, db.Migrate(t.Context(), dsn))
	open(t, dsn, rarely())
}

func TestStoreRefusesASchemaThatIsNotMigrated(t *testing.T) {
	t.Parallel()
	count, err := db.MigrationCount()
	require.NoError(t, err)
	dsn := dbtest.Blank(t)
	for _, have := range []int{0, count - 1} {
		if have > 0 {
			require.NoError(t, db.MigrateTo(t.Context(), dsn, int32(have)))
		}
		_, err := db.Open(t.Context(), dsn, rarely())
		var schema *db.SchemaError
		require.ErrorAs(t, err, &schema)
		assert.Equal(t, db.SchemaError{Have: have, Need: count}, *schema)
	}
}

func TestPublishedRowsAreImmutable(t *testing.T) {
	t.Parallel()
	dsn := dbtest.New(t)
	store := open(t, dsn, rarely())
	publish(t, store, pricing.Sample().Document())
	var tables []string
	scan(t, dsn, "select array_agg(tablename::text order by tablename) from pg_tables"+
		" where schemaname = 'public' and tablename <> 'bedline_schema_version'", &tables)
	require.Len(t, tables, 19)
	conn, err := pgx.Connect(t.Context(), dsn)
	require.NoError(t, err)
	defer conn.Close(context.WithoutCancel(t.Context()))
	for _, table := range tables {
		for what, sql := range map[string]string{
			"changed":    "update " + table + " set version = version + 1",
			"taken away": "delete from " + table,
			"emptied":    "truncate " + table + " cascade",
		} {
			_, err := conn.Exec(t.Context(), sql)
			if assert.Error(t, err, "%s: rows can be %s", table, what) {
				assert.Contains(t, err.Error(), "published price lists are immutable", "%s: %s", table, what)
			}
		}
		if table == "price_list_versions" {
			continue
		}
		// The same rows again: the trigger speaks before any key does.
		_, err := conn.Exec(t.Context(), "insert into "+table+" select * from "+table)
		if assert.Error(t, err, "%s: rows can be added", table) {
			assert.Contains(t, err.Error(), "published price lists are immutable", table)
		}
	}
	list, err := open(t, dsn, rarely()).Latest(t.Context(), "standard")
	require.NoError(t, err)
	assert.Equal(t, pricing.Sample().JSON(), list.JSON())
}

func TestImpossibleValuesAreRefusedByTheTables(t *testing.T) {
	t.Parallel()
	conn, err := pgx.Connect(t.Context(), dbtest.New(t))
	require.NoError(t, err)
	defer conn.Close(context.WithoutCancel(t.Context()))
	const version = `insert into price_list_versions (name, version, currency, system, effective, document_sha256)
		values ('a', 1, 'USD', 'us', '2027-03-01', sha256('x'));
		insert into suppliers (name, version, position, key, label, trip_cost) values ('a', 1, 0, 's', 'S', 1);
		insert into materials (name, version, position, key, label, kind) values ('a', 1, 0, 'm', 'M', 'piece');
		insert into labour (name, version, hourly_cost) values ('a', 1, 40);`
	const offer = "insert into offers (name, version, position, key, supplier, material, form, content_count, price) values "
	for name, sql := range map[string]string{
		"a price below zero":                offer + "('a', 1, 0, 'o', 's', 'm', 'each', 1, -0.01)",
		"a price that is no number":         offer + "('a', 1, 0, 'o', 's', 'm', 'each', 1, 'NaN')",
		"an infinite price":                 offer + "('a', 1, 0, 'o', 's', 'm', 'each', 1, 'Infinity')",
		"a price with five decimals":        offer + "('a', 1, 0, 'o', 's', 'm', 'each', 1, 1.00001)",
		"a price of nine digits":            offer + "('a', 1, 0, 'o', 's', 'm', 'each', 1, 100000000)",
		"an empty pack":                     offer + "('a', 1, 0, 'o', 's', 'm', 'each', 0, 1)",
		"a pack without content":            offer + "('a', 1, 0, 'o', 's', 'm', 'each', null, 1)",
		"a form that there is not":          offer + "('a', 1, 0, 'o', 's', 'm', 'heap', 1, 1)",
		"an offer of an unknown supplier":   offer + "('a', 1, 0, 'o', 'x', 'm', 'each', 1, 1)",
		"an offer of an unknown material":   offer + "('a', 1, 0, 'o', 's', 'x', 'each', 1, 1)",
		"a key with a space":                offer + "('a', 1, 0, 'o o', 's', 'm', 'each', 1, 1)",
		"two offers of one key":             offer + "('a', 1, 0, 'o', 's', 'm', 'each', 1, 1), ('a', 1, 1, 'o', 's', 'm', 'each', 1, 1)",
		"a unit without a length":           "insert into materials (name, version, position, key, label, kind) values ('a', 1, 1, 'n', 'N', 'unit')",
		"a pin that is not in the list":     "insert into materials (name, version, position, key, label, kind, pin) values ('a', 1, 1, 'n', 'N', 'piece', 'x')",
		"soil that shrinks when it is dug":  "insert into soils (name, version, position, key, swell_factor, bank_density) values ('a', 1, 0, 'n', 0.9, '95 lb/ft3')",
		"hours below zero":                  "insert into labour_rates (name, version, position, operation, per_count, hours) values ('a', 1, 0, 'clean_up', 1, -1)",
		"a margin of the whole price":       "insert into commercial (name, version, margin_percent) values ('a', 1, 100)",
		"a markup beside a margin":          "insert into commercial (name, version, markup_percent, margin_percent) values ('a', 1, 10, 10)",
		"a tax on a category that is not":   "insert into taxes (name, version, position, label, percent) values ('a', 1, 0, 'T', 6); insert into tax_categories values ('a', 1, 0, 0, 'luck')",
		"a version 0":                       "insert into price_list_versions (name, version, currency, system, effective, document_sha256) values ('b', 0, 'USD', 'us', '2027-03-01', sha256('x'))",
		"a day that is not in the calendar": "insert into price_list_versions (name, version, currency, system, effective, document_sha256) values ('b', 1, 'USD', 'us', '2027-02-29', sha256('x'))",
		"a digest that is too short":        "insert into price_list_versions (name, version, currency, system, effective, document_sha256) values ('b', 1, 'USD', 'us', '2027-03-01', 'x')",
	} {
		_, err := conn.Exec(t.Context(), version+sql)
		var refused *pgconn.PgError
		if assert.ErrorAs(t, err, &refused, name) {
			// Violations of a constraint, or of the calendar; 23001 is the trigger's.
			assert.Regexp(t, "^(23[0-9]{3}|22008)$", refused.Code, "%s: %v", name, err)
			assert.NotEqual(t, "23001", refused.Code, "%s: %v", name, err)
		}
	}
	_, err = conn.Exec(t.Context(), version+offer+"('a', 1, 0, 'o', 's', 'm', 'each', 1, 0.0001)")
	require.NoError(t, err, "a possible list")
}
