// Package dbtest gives tests real, private, migrated Postgres databases.
//
// A test binary starts one cluster of its own when the first test asks for a database, and removes it at the end:
//
//	func TestMain(m *testing.M) { os.Exit(dbtest.Run(m)) }
//
//	func TestSomething(t *testing.T) {
//		t.Parallel()
//		store, err := db.Open(t.Context(), dbtest.New(t), db.Options{})
//		...
//	}
//
// The programs of Postgres are looked for in PATH and where Debian puts them. Tests fail, and say what to install, when
// they are missing. The environment variable BEDLINE_TEST_DATABASE names a running server to use instead, as a URL or
// as key and value pairs, with the right to create databases; clusters that a test stops and starts are private all the
// same.
package dbtest
