package locale_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api/render/locale"
)

// message is one entry of a catalogue.
type message struct{ topic, key, text string }

// catalogue are the messages of a locale in the order of the files, without its sentences of the engine.
func catalogue(t *testing.T, tag string) []message {
	t.Helper()
	paths, err := filepath.Glob(filepath.Join("catalogues", tag, "*.json"))
	require.NoError(t, err)
	var list []message
	for _, path := range paths {
		if topic := strings.TrimSuffix(filepath.Base(path), ".json"); topic != "engine" {
			list = append(list, entries(t, path, topic)...)
		}
	}
	return list
}

// entries are those of a file, in its order and with those that are there twice.
func entries(t *testing.T, path, topic string) []message {
	t.Helper()
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	d := json.NewDecoder(bytes.NewReader(text))
	token, err := d.Token()
	require.NoError(t, err, path)
	require.Equal(t, json.Delim('{'), token, path)
	var list []message
	for d.More() {
		key, err := d.Token()
		require.NoError(t, err, path)
		value, err := d.Token()
		require.NoError(t, err, path)
		require.IsType(t, "", value, "%s: %s", path, key)
		list = append(list, message{topic, key.(string), value.(string)})
	}
	return list
}

func byKey(list []message) map[string]message {
	m := map[string]message{}
	for _, e := range list {
		m[e.key] = e
	}
	return m
}

var placeRule = regexp.MustCompile(`\{[^{}]*\}`)

func places(text string) []string {
	list := placeRule.FindAllString(text, -1)
	slices.Sort(list)
	return slices.Compact(list)
}

// ownWays are messages whose places hang on the language: patterns of days and hours take of them what they show.
var ownWays = regexp.MustCompile(`^(date\.(long|full|short|day)|time)$`)

// onlySpanish are the keys that other languages have no use for.
var onlySpanish = []string{"list.end.i", "list.two.i"}

func TestCataloguesHaveEachKeyOnceAndNoEmptyMessage(t *testing.T) {
	t.Parallel()
	paths, err := filepath.Glob("catalogues/*/*.json")
	require.NoError(t, err)
	require.NotEmpty(t, paths)
	for _, path := range paths {
		list := entries(t, path, "")
		assert.Len(t, byKey(list), len(list), "%s has each key once", path)
		for _, e := range list {
			assert.NotEmpty(t, e.key, path)
			if !strings.HasSuffix(e.key, ".") { // what is said of nothing
				assert.NotEmpty(t, strings.TrimSpace(e.text), "%s: %s", path, e.key)
			}
			assert.Equal(t, strings.ToValidUTF8(e.text, "?"), e.text, path)
		}
	}
	for _, tag := range locale.Tags() {
		seen := map[string]string{}
		for _, e := range catalogue(t, tag) {
			assert.Empty(t, seen[e.key], "%s: %s is in %s too", tag, e.key, e.topic)
			seen[e.key] = e.topic
		}
	}
}

var update = flag.Bool("update", false, "write the catalogues sorted by key")

// A catalogue that is not so is put right by go test ./api/render/locale -run Sorted -update.
func TestCataloguesAreSortedByKeyWithALineForEach(t *testing.T) {
	paths, err := filepath.Glob("catalogues/*/*.json")
	require.NoError(t, err)
	for _, path := range paths {
		list := entries(t, path, "")
		slices.SortStableFunc(list, func(a, b message) int { return strings.Compare(a.key, b.key) })
		var want bytes.Buffer
		e := json.NewEncoder(&want)
		e.SetEscapeHTML(false)
		sign := "{\n"
		for _, m := range list {
			want.WriteString(sign + "  ")
			require.NoError(t, e.Encode(m.key))
			want.Truncate(want.Len() - 1)
			want.WriteString(": ")
			require.NoError(t, e.Encode(m.text))
			want.Truncate(want.Len() - 1)
			sign = ",\n"
		}
		if len(list) == 0 {
			want.WriteString("{")
		}
		want.WriteString("\n}\n")
		if *update {
			require.NoError(t, os.WriteFile(path, want.Bytes(), 0o644))
		}
		got, err := os.ReadFile(path)
		require.NoError(t, err)
		assert.True(t, bytes.Equal(want.Bytes(), got), "%s is not sorted by key with a line for each", path)
	}
}

func TestLanguagesHaveTheSameMessagesWithTheSamePlaces(t *testing.T) {
	t.Parallel()
	english := byKey(catalogue(t, "en-US"))
	for _, tag := range locale.Tags()[1:] {
		own := byKey(catalogue(t, tag))
		for key, e := range own {
			first, ok := english[key]
			if !ok {
				assert.True(t, tag == "es-US" && slices.Contains(onlySpanish, key), "%s has %s, and en-US has not", tag, key)
				continue
			}
			assert.Equal(t, first.topic, e.topic, "%s: %s is in the file of its topic", tag, key)
			if want, got := places(first.text), places(e.text); !ownWays.MatchString(key) && !strings.HasSuffix(key, ".one") {
				assert.Equal(t, want, got, "%s: %s: %q and %q", tag, key, first.text, e.text)
			}
		}
		if tag != "en-GB" { // leans on en-US
			for key := range english {
				assert.Contains(t, own, key, tag)
			}
		}
	}
}

// A message that hangs on a number has both of the forms that English and Spanish need for whole numbers below a million
// (Unicode CLDR, plural rules; TestNoKeyIsAskedForThatThereIsNot looks for them). The form of one thing may say less.
func TestPluralFormsAreComplete(t *testing.T) {
	t.Parallel()
	for _, tag := range locale.Tags() {
		all := byKey(catalogue(t, tag))
		for key, e := range all {
			if stem, ok := strings.CutSuffix(key, ".one"); ok {
				other, ok := all[stem+".other"]
				if !ok {
					continue // one of another sort, unless Count asks for it
				}
				for _, place := range places(e.text) {
					assert.Contains(t, places(other.text), place, "%s: %s", tag, stem)
				}
			}
		}
	}
}

// asked is a key that a source names: whole, or a part of it at its beginning or its end.
type asked struct {
	at, key string
	part    bool
	counts  bool
}

// askedFor are the keys that the sources under api ask for: what Say and Count are called with, and every text that looks
// like a key of a catalogue.
func askedFor(t *testing.T, keys map[string]message) []asked {
	t.Helper()
	topics := map[string]bool{}
	for key := range keys {
		if first, _, ok := strings.Cut(key, "."); ok {
			topics[first] = true
		}
	}
	looks := regexp.MustCompile(`^[a-z]+(\.[a-z0-9_]+)*\.[a-z0-9_]*$`)
	files := regexp.MustCompile(`\.(html|pdf|svg|ics|csv|xlsx|json)$`)
	var list []asked
	fset := token.NewFileSet()
	err := filepath.WalkDir("../..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Ext(path) != ".go" || strings.HasSuffix(path, "_test.go") {
			return err
		}
		f, err := parser.ParseFile(fset, path, nil, 0)
		if err != nil {
			return err
		}
		imports := strings.Contains(path, "render/locale/")
		for _, i := range f.Imports {
			imports = imports || strings.HasSuffix(i.Path.Value, `/locale"`)
		}
		whole := map[ast.Node]bool{}
		ast.Inspect(f, func(n ast.Node) bool {
			if call, ok := n.(*ast.CallExpr); ok && len(call.Args) > 0 {
				name := called(call)
				if lit, ok := call.Args[0].(*ast.BasicLit); ok && lit.Kind == token.STRING && imports && slices.Contains([]string{"Say", "Count", "say", "count"}, name) {
					key, _ := strconv.Unquote(lit.Value)
					whole[lit] = true
					list = append(list, asked{fset.Position(lit.Pos()).String(), key, name == "say" || name == "count", strings.EqualFold(name, "count")})
				}
			}
			if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING && imports && !whole[lit] {
				key, _ := strconv.Unquote(lit.Value)
				first, _, _ := strings.Cut(key, ".")
				if looks.MatchString(key) && topics[first] && !files.MatchString(key) {
					list = append(list, asked{at: fset.Position(lit.Pos()).String(), key: key, part: true})
				}
			}
			return true
		})
		return nil
	})
	require.NoError(t, err)
	return list
}

func TestNoKeyIsAskedForThatThereIsNot(t *testing.T) {
	t.Parallel()
	keys := byKey(catalogue(t, "en-US"))
	list := askedFor(t, keys)
	assert.Greater(t, len(list), 100, "the calls are found")
	for _, a := range list {
		if strings.HasPrefix(a.key, "{") { // a message itself
			continue
		}
		wanted := []string{a.key}
		if a.counts {
			wanted = []string{a.key + ".one", a.key + ".other"}
		}
		for _, w := range wanted {
			_, found := keys[w]
			for key := range keys {
				found = found || a.part && (strings.HasSuffix(key, "."+w) || !a.counts && strings.HasPrefix(key, w))
			}
			assert.True(t, found, "%s: there is no %s in catalogues/en-US", a.at, w)
		}
	}
}

func TestSentencesAreReadInEveryLocale(t *testing.T) {
	t.Parallel()
	for tag, least := range map[string]int{"en-US": 10, "en-GB": 0, "es-US": 400} {
		n, err := locale.ReadSentences(tag)
		require.NoError(t, err, tag)
		assert.GreaterOrEqual(t, n, least, tag)
	}
}

func TestSentencesAreRefusedThatCannotBeMeant(t *testing.T) {
	t.Parallel()
	tests := []struct{ name, english, message, want string }{
		{"a place that is not in the English", "from {a}", "de {b}", `{b} of "de {b}" is not in "from {a}"`},
		{"a place that the message leaves out", "from {a} to {b}", "de {a}", `{b} of "from {a} to {b}" is missing from "de {a}"`},
		{"places that touch", "from {a}{b}", "de {a}{b}", `places {a} and {b} of "from {a}{b}" have no words between them`},
		{"a place twice", "from {a} to {a}", "de {a}", `{a} is twice in "from {a} to {a}"`},
		{"no words", "{a} {b}", "{b} {a}", `"{a} {b}" has no words`},
		{"a place that does not end", "from {a", "de {a", `"from {a" has a place without a name`},
		{"a place without a name", "from {}", "de {}", `"from {}" has a place without a name`},
		{"a place that does not begin", "from a}", "de a}", `"from a}" closes a place that is not open`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			assert.EqualError(t, locale.ParseSentence(tt.english, tt.message), tt.want)
		})
	}
	assert.NoError(t, locale.ParseSentence("from {a} to {b}", "a {b} de {a}, {a}"))
}
