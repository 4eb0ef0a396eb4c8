package api_test

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"maps"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline"
	"bedline/api"
	"bedline/pricing"
)

// The version and the SHA-256 of openapi.yaml. When the document changes, its info.version has to change with it:
// raise it there, then bring both here up to date.
const (
	contractVersion = "0.4.0"
	contractHash    = "b1b3dd667271dce73c5569f6fb7b05f0086d1c3895b9b89b1f9201608e9e6e36"
)

func TestJ13TheVersionOfTheContractChangesWithIt(t *testing.T) {
	t.Parallel()
	c, err := loaded()
	require.NoError(t, err)
	sum := sha256.Sum256(bedline.OpenAPI())
	if hash := hex.EncodeToString(sum[:]); hash != contractHash {
		assert.NotEqual(t, contractVersion, c.Version(), "openapi.yaml has changed: raise info.version, then set contractVersion and contractHash")
		t.Fatalf("set contractVersion to %q and contractHash to %q", c.Version(), hash)
	}
	assert.Equal(t, contractVersion, c.Version())
}

// API9: what the router answers and what the contract says are the same, both ways.
func TestAPI9RoutesAndTheContractAgree(t *testing.T) {
	t.Parallel()
	s := start(t)
	colon := regexp.MustCompile(`\{([a-z]+)\}`)
	var want []string
	for _, o := range s.contract.Operations() {
		path := colon.ReplaceAllString(o.Path, ":$1")
		want = append(want, o.Method+" "+path, "OPTIONS "+path)
		if o.Method == http.MethodGet {
			want = append(want, "HEAD "+path)
		}
	}
	slices.Sort(want)
	got := s.handler.Routes()
	slices.Sort(got)
	assert.Equal(t, slices.Compact(want), got)
}

// E13: the codes that the program can give to a fault and those of the contract are the same, both ways. Codes stand in
// the source as constants named code..., or as words in calls that note a fault.
func TestE13CodesAndTheContractAgree(t *testing.T) {
	t.Parallel()
	c, err := loaded()
	require.NoError(t, err)
	codes := map[string]bool{}
	for _, dir := range []string{".", "internal/contract", "../estimate", "../estimate/document", "../pricing"} {
		files, err := filepath.Glob(filepath.Join(dir, "*.go"))
		require.NoError(t, err)
		require.NotEmpty(t, files)
		for _, file := range files {
			if name := filepath.Base(file); !strings.HasSuffix(name, "_test.go") && !strings.HasPrefix(name, "csv") { // CSV is read by the program only
				collectCodes(t, file, codes)
			}
		}
	}
	assert.Equal(t, slices.Sorted(maps.Keys(codes)), slices.Sorted(slices.Values(c.Enum("FaultCode"))))
}

var word = regexp.MustCompile(`^[a-z]+(_[a-z]+)*$`)

func collectCodes(t *testing.T, file string, codes map[string]bool) {
	t.Helper()
	tree, err := parser.ParseFile(token.NewFileSet(), file, nil, 0)
	require.NoError(t, err)
	note := func(e ast.Expr) {
		if lit, ok := e.(*ast.BasicLit); ok && lit.Kind == token.STRING {
			if s, err := strconv.Unquote(lit.Value); err == nil && word.MatchString(s) {
				codes[s] = true
			}
		}
	}
	ast.Inspect(tree, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.ValueSpec:
			for i, name := range n.Names {
				if strings.HasPrefix(strings.ToLower(name.Name), "code") && i < len(n.Values) {
					note(n.Values[i])
				}
			}
		case *ast.CallExpr:
			selector, ok := n.Fun.(*ast.SelectorExpr)
			switch {
			case !ok:
			case selector.Sel.Name == "Add" && len(n.Args) == 4, strings.EqualFold(selector.Sel.Name, "fault") && len(n.Args) == 4:
				note(n.Args[1])
			case selector.Sel.Name == "Fault" && len(n.Args) == 3:
				note(n.Args[0])
			}
		case *ast.CompositeLit:
			selector, ok := n.Type.(*ast.SelectorExpr)
			for _, e := range n.Elts {
				if pair, isPair := e.(*ast.KeyValueExpr); ok && isPair && selector.Sel.Name == "Fault" {
					if key, isName := pair.Key.(*ast.Ident); isName && key.Name == "Code" {
						note(pair.Value)
					}
				}
			}
		}
		return true
	})
}

// inside answers a request without a connection, for tests that send many.
func inside(handler http.Handler, method, path, body string) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, path, strings.NewReader(body))
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("If-None-Match", "*")
	w := httptest.NewRecorder()
	handler.ServeHTTP(w, r)
	return w
}

// lengths that the contract allows, from nothing to the far end, in all spellings.
var lengths = rapid.SampledFrom([]string{"0 in", "1/8 in", "2 in", "12 in", "5 ft 10 in", "5' 10 1/2\"", "22 ft", "1.65 m", "90 mm", "0.001 mm", "9999 ft", "99999999999 yd", "0.0000000001 mm"})

func jobs() *rapid.Generator[string] {
	key := rapid.SampledFrom([]string{"edger-8x4", "slab-18", "base-crushed", "sand-bedding", "pebble-20", "fabric-woven", "sand-polymeric", "loam", "no-such-thing"})
	return rapid.Custom(func(t *rapid.T) string {
		length := func(label string) string { return fmt.Sprintf("%q", lengths.Draw(t, label)) }
		some := func(label, member string) string {
			if rapid.Bool().Draw(t, label) {
				return member
			}
			return ""
		}
		layer := func(name string) string {
			return some(name, fmt.Sprintf(`,%q:{"material":%q,"depth":%s}`, name, key.Draw(t, name), length("depth")))
		}
		outline := func() string {
			switch rapid.IntRange(0, 2).Draw(t, "kind") {
			case 0:
				return fmt.Sprintf(`{"kind":"rectangle","length":%s,"width":%s%s}`, length("length"), length("width"), some("rounded", `,"corner_radius":`+length("radius")))
			case 1:
				return fmt.Sprintf(`{"kind":"circle",%q:%s}`, rapid.SampledFrom([]string{"radius", "diameter"}).Draw(t, "of"), length("radius"))
			}
			var points []string
			for range rapid.IntRange(3, 8).Draw(t, "points") {
				points = append(points, "["+length("x")+","+length("y")+"]")
			}
			return `{"kind":"polygon","points":[` + strings.Join(points, ",") + `]}`
		}
		var beds, slabs []string
		for i := range rapid.IntRange(0, 3).Draw(t, "beds") {
			edging := fmt.Sprintf(`,"edging":{"unit":%q,"course":%q%s%s%s%s%s}`, key.Draw(t, "unit"), rapid.SampledFrom([]string{"sailor", "soldier"}).Draw(t, "course"),
				some("sides", `,"sides":[0,2]`), some("joint", `,"joint":{"width":`+length("joint")+`,"fill":"sand-polymeric"}`),
				some("curves", `,"curves":`+fmt.Sprintf("%q", rapid.SampledFrom([]string{"auto", "cut", "open"}).Draw(t, "how"))), layer("base"), layer("sand"))
			beds = append(beds, fmt.Sprintf(`{"id":"b%d","outline":%s%s%s%s%s}`, i, outline(), some("dig", `,"dig":`+length("dig")),
				some("fabric", `,"fabric":{"material":"fabric-woven","under":"bed_and_trench"}`), layer("stone"), some("edging", edging)))
		}
		for i := range rapid.IntRange(0, 2).Draw(t, "slabs") {
			slabs = append(slabs, fmt.Sprintf(`{"id":"s%d","unit":%q,"rows":%d,"columns":%d,"at":[%s,%s],"rotate":%d%s%s}`, i, key.Draw(t, "slab"), rapid.IntRange(1, 1000).Draw(t, "rows"),
				rapid.IntRange(1, 50).Draw(t, "columns"), length("x"), length("y"), rapid.IntRange(-360, 360).Draw(t, "rotate"), some("gap", `,"gap":`+length("gap")), layer("base")))
		}
		return fmt.Sprintf(`{"ground":{"soil":"loam","cover":"turf","haul":%s},"beds":[%s],"slabs":[%s]%s%s}`, length("haul"), strings.Join(beds, ","), strings.Join(slabs, ","),
			some("supply", `,"supply":{"prefer":"bags"}`), some("commercial", `,"commercial":{"margin_percent":99.9}`))
	})
}

// A request that the contract allows is answered or refused with faults; the service never fails over it.
func TestWhatTheContractAllowsNeverFails(t *testing.T) {
	t.Parallel()
	s := start(t)
	o, ok := s.contract.Operation("createEstimate")
	require.True(t, ok)
	seen := map[int]int{}
	rapid.Check(t, func(t *rapid.T) {
		body := jobs().Draw(t, "job")
		w := inside(s.handler, http.MethodPost, "/v1/estimates", body)
		seen[w.Code]++
		if w.Code != 200 && w.Code != 422 {
			t.Fatalf("status %d for %s: %s", w.Code, body, w.Body)
		}
		if err := s.contract.CheckResponse(o, w.Code, w.Header(), w.Body.Bytes()); err != nil {
			t.Fatalf("%v: %s", err, body)
		}
	})
	t.Log(seen)
}

func FuzzRequest(f *testing.F) {
	lists := []*pricing.List{pricing.Sample()}
	handler, err := api.New(api.Config{Lists: kept{&lists}, Publisher: refusing{}})
	require.NoError(f, err)
	c, err := loaded()
	require.NoError(f, err)
	targets := map[string][2]string{"createEstimate": {"POST", "/v1/estimates"}, "putPriceList": {"PUT", "/v1/price-lists/small"},
		"createSupplyComparison": {"POST", comparisons}, "createSupplyPlan": {"POST", plans}, "createCalibration": {"POST", calibrations}}
	for id := range targets {
		o, _ := c.Operation(id)
		examples := o.Examples()
		for _, text := range examples {
			f.Add(string(text))
		}
	}
	f.Add(job)
	f.Fuzz(func(t *testing.T, body string) {
		for id, target := range targets {
			w := inside(handler, target[0], target[1], body)
			if w.Code >= 500 {
				t.Fatalf("%s gives %d: %s", id, w.Code, w.Body)
			}
			o, _ := c.Operation(id)
			if err := c.CheckResponse(o, w.Code, w.Header(), w.Body.Bytes()); err != nil {
				t.Fatal(err)
			}
		}
	})
}
