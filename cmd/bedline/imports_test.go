package main_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// listed is what go list says of a package.
type listed struct {
	ImportPath   string
	Imports      []string
	TestImports  []string
	XTestImports []string
	Deps         []string
}

// packages lists the packages of the project.
func packages(t *testing.T) map[string]listed {
	t.Helper()
	out, err := exec.Command("go", "list", "-tags", "nomsgpack", "-json=ImportPath,Imports,TestImports,XTestImports,Deps", "bedline/...").Output()
	require.NoError(t, err)
	all := map[string]listed{}
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var p listed
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else {
			require.NoError(t, err)
		}
		all[p.ImportPath] = p
	}
	require.Greater(t, len(all), 10, "go list found the packages of the project")
	return all
}

// TestImportsRunOneWay holds the borders: cmd -> api, db -> pricing -> estimate -> its sub-packages.
func TestImportsRunOneWay(t *testing.T) {
	t.Parallel()
	all := packages(t)
	// What the packages of the project may import of the project. A name ending in / stands for all below it.
	may := []struct {
		who     string
		imports []string
	}{
		{"bedline/estimate/measure", nil},
		{"bedline/estimate/document", []string{"bedline/estimate/measure"}},
		{"bedline/estimate/outline", []string{"bedline/estimate/measure"}},
		{"bedline/estimate/", []string{"bedline/estimate/measure", "bedline/estimate/outline"}},
		{"bedline/estimate", []string{"bedline/estimate/"}},
		{"bedline/pricing/money", nil},
		{"bedline/pricing/schedule", nil},
		{"bedline/pricing/calibrate", []string{"bedline/estimate/measure"}},
		{"bedline/pricing/supply", []string{"bedline/estimate/measure", "bedline/pricing/money"}},
		{"bedline/pricing", []string{"bedline/estimate", "bedline/estimate/", "bedline/pricing/"}},
		{"bedline/api/internal/", []string{"bedline/api/", "bedline/estimate/document", "bedline/estimate/measure"}},
		{"bedline/api/render/drawing", []string{"bedline/estimate/measure"}},
		{"bedline/api/render/locale", []string{"bedline/pricing/money", "bedline/pricing/schedule", "bedline/estimate/measure"}},
		{"bedline/api/render/page", []string{"bedline/api/render/drawing"}},
		{"bedline/api/render/", []string{"bedline/api/render", "bedline/api/render/", "bedline/pricing", "bedline/pricing/", "bedline/estimate", "bedline/estimate/"}},
		{"bedline/api/render", []string{"bedline/api/render/", "bedline/pricing", "bedline/pricing/", "bedline/estimate", "bedline/estimate/"}},
		{"bedline/api/problem", []string{"bedline/estimate/document"}},
		{"bedline/api", []string{"bedline", "bedline/api/", "bedline/pricing", "bedline/pricing/", "bedline/estimate", "bedline/estimate/"}},
		{"bedline/db", []string{"bedline/pricing", "bedline/pricing/", "bedline/estimate", "bedline/estimate/", "bedline/db/"}},
		{"bedline/db/", []string{"bedline/db"}},
		{"bedline/cmd/", []string{"bedline/"}},
		{"bedline/deploy", nil},
		{"bedline", nil},
	}
	matches := func(pattern, path string) bool {
		return pattern == path || strings.HasSuffix(pattern, "/") && strings.HasPrefix(path, pattern)
	}
	for path, p := range all {
		rule := slices.IndexFunc(may, func(r struct {
			who     string
			imports []string
		}) bool {
			return matches(r.who, path)
		})
		if !assert.GreaterOrEqual(t, rule, 0, "%s stands in no rule: add one to this test", path) {
			continue
		}
		for _, imported := range p.Imports {
			if imported != "bedline" && !strings.HasPrefix(imported, "bedline/") {
				continue
			}
			allowed := slices.ContainsFunc(may[rule].imports, func(pattern string) bool { return matches(pattern, imported) })
			assert.True(t, allowed, "%s imports %s", path, imported)
		}
	}
}

// TestTheEngineKnowsNoServer holds HTTP, SQL and the contract's validator out of the engine and the prices.
func TestTheEngineKnowsNoServer(t *testing.T) {
	t.Parallel()
	foreign := []string{"net/http", "database/sql", "github.com/gin-gonic/", "github.com/jackc/", "github.com/getkin/"}
	for path, p := range packages(t) {
		if !strings.HasPrefix(path, "bedline/estimate") && !strings.HasPrefix(path, "bedline/pricing") {
			continue
		}
		for _, dep := range p.Deps {
			for _, f := range foreign {
				assert.False(t, dep == f || strings.HasSuffix(f, "/") && strings.HasPrefix(dep, f), "%s reaches %s", path, dep)
			}
		}
		// What stands there is for tests, which may look at the clock; nothing else may reach it.
		const testing = "bedline/estimate/internal/"
		if strings.HasPrefix(path, testing) {
			continue
		}
		assert.False(t, slices.ContainsFunc(p.Deps, func(dep string) bool { return strings.HasPrefix(dep, testing) }), "%s reaches what is for tests", path)
		if strings.HasPrefix(path, "bedline/estimate") {
			assert.NotContains(t, p.Deps, "bedline/pricing/money", "%s knows no money", path)
			assert.NotContains(t, p.Imports, "time", "%s knows no clock", path)
			assert.NotContains(t, p.Imports, "math/rand", "%s throws no dice", path)
			assert.NotContains(t, p.Imports, "math/rand/v2", "%s throws no dice", path)
		}
	}
}
