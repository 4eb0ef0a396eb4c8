package locale_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// said is a text that the source of a package writes for people: words of the source, with "1" for all that it puts in.
type said struct {
	at   string
	code string // of a notice
	text string
}

// composed are the messages of notices that are put together before they are handed on, so that the call shows only a
// part of them: what they come to.
var composed = map[string][]string{
	"weather": {
		"do not dig, place base or compact in saturated or frozen ground; fill joints only when units and joints are dry, no rain is due, and it is as warm as the maker of the fill asks",
		"do not dig, place base or compact in saturated or frozen ground",
	},
	"fill_needed": {
		"bed front needs 0.021 yd3 of fill as compacted, under 14.268 ft2 and up to 1.413 in deep, before its layers are laid; it is neither bought nor taken off the spoil. " +
			"Confirm what is used: base material or clean fill. Compact it in lifts",
		"bed front needs 0.021 yd3 of fill as compacted, under 14.268 ft2 and up to 1.413 in deep, before its layers are laid; it is neither bought nor taken off the spoil. " +
			"Confirm what is used: about 0.023 yd3 of common earth in the ground makes that much, and the cut of 0.1 yd3, enough for it, may serve where it is free of turf, roots and topsoil; " +
			"else base material or clean fill. Compact it in lifts",
		"bed front needs 0.021 yd3 of fill as compacted, under 14.268 ft2 and up to 1.413 in deep, before its layers are laid; it is neither bought nor taken off the spoil. " +
			"Confirm what is used: about 0.023 yd3 of common earth in the ground makes that much, and the cut of 0.01 yd3, not enough for it, may serve where it is free of turf, roots and topsoil; " +
			"else base material or clean fill. Compact it in lifts",
	},
	"root_zone": {"the root protection zone of tree oak reaches 15 ft from its centre; nothing is dug there: keep spoil, materials and wheels off it too"},
	"root_zone_dug": {
		"the root protection zone of obstacle 2 (tree) reaches 15 ft from its centre; 12.5 ft2 of it (1.8 %) are dug, 7 in at the deepest: dig there by hand, " +
			"keep spoil, materials and wheels off the rest, and ask an arborist and the local authority before any root is cut; trees may be protected by local law",
	},
	"outlier": {
		"base (allowance): the ratio of job-3 is 4.1, 5.2 times the spread above the median of 1.05. It is set aside.",
		"base (allowance): the ratio of job-3 is 0.1, 5.2 times the spread below the median of 1.05. It counts as 0.4, 3.5 times the spread; check the figure.",
		"dig_bed (clay, by hand): the ratio of job-3 is 4.1, 5.2 times the spread above the median of 1.05. It counts as it is; check the figure.",
	},
}

// sources are the parsed files of a folder, without tests.
func sources(t *testing.T, folder string) (*token.FileSet, []*ast.File) {
	t.Helper()
	paths, err := filepath.Glob(filepath.Join("../../..", folder, "*.go"))
	require.NoError(t, err)
	require.NotEmpty(t, paths)
	fset := token.NewFileSet()
	var files []*ast.File
	for _, path := range paths {
		if strings.HasSuffix(path, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(fset, path, nil, 0)
		require.NoError(t, err)
		files = append(files, f)
	}
	return fset, files
}

// words writes an expression of strings: its literals, and "1" for anything else; false without a literal.
func words(e ast.Expr) (string, bool) {
	switch e := e.(type) {
	case *ast.BasicLit:
		if s, err := strconv.Unquote(e.Value); err == nil && e.Kind == token.STRING {
			return s, true
		}
	case *ast.ParenExpr:
		return words(e.X)
	case *ast.BinaryExpr:
		if e.Op == token.ADD {
			left, one := words(e.X)
			right, other := words(e.Y)
			return left + right, one || other
		}
	case *ast.CallExpr:
		if called(e) == "Sprintf" {
			if format, ok := words(e.Args[0]); ok {
				return strings.NewReplacer("%s", "1", "%d", "1", "%q", "1", "%%", "%").Replace(format), true
			}
		}
	}
	return "1", false
}

func called(call *ast.CallExpr) string {
	switch f := call.Fun.(type) {
	case *ast.SelectorExpr:
		return f.Sel.Name
	case *ast.Ident:
		return f.Name
	}
	return ""
}

// notices are the messages of all notices that a folder gives, and what they ask to confirm.
func notices(t *testing.T, folder string) []said {
	fset, files := sources(t, folder)
	var list []said
	add := func(code, message ast.Expr) {
		name, literal := words(code)
		text, ok := words(message)
		if !literal && !ok { // where notices are handed on
			return
		}
		if _, ok := message.(*ast.Ident); ok {
			text = "" // built up before
		}
		list = append(list, said{fset.Position(message.Pos()).String(), name, text})
	}
	for _, f := range files {
		ast.Inspect(f, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.CallExpr:
				switch name := called(n); {
				case name == "notice" && len(n.Args) >= 4:
					add(n.Args[0], n.Args[2])
				case name == "ask" && len(n.Args) == 6:
					add(n.Args[0], n.Args[2])
					if confirm, ok := words(n.Args[3]); ok && confirm != "" {
						list = append(list, said{fset.Position(n.Args[3].Pos()).String(), "confirm", confirm})
					}
				case name == "note" && len(n.Args) == 4:
					add(n.Args[0], n.Args[3])
				}
			case *ast.CompositeLit:
				if !strings.HasSuffix(typeName(n.Type), "Notice") && n.Type != nil {
					return true
				}
				var code, message ast.Expr
				for _, e := range n.Elts {
					if pair, ok := e.(*ast.KeyValueExpr); ok {
						switch typeName(pair.Key) {
						case "Code":
							code = pair.Value
						case "Message":
							message = pair.Value
						case "Confirm":
							if confirm, ok := words(pair.Value); ok {
								list = append(list, said{fset.Position(pair.Pos()).String(), "confirm", confirm})
							}
						}
					}
				}
				if code != nil && message != nil {
					add(code, message)
				}
			}
			return true
		})
	}
	return list
}

func typeName(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.SelectorExpr:
		return e.Sel.Name
	case *ast.Ident:
		return e.Name
	}
	return ""
}

func TestNoticesOfTheSourcesHaveTheirTranslation(t *testing.T) {
	t.Parallel()
	l := spanish(t)
	seen := map[string]bool{}
	for _, folder := range []string{"estimate", "pricing"} {
		for _, n := range notices(t, folder) {
			seen[n.code] = true
			text, ok := l.Sentence(n.text)
			if ok && n.text != "" && n.text != "1" {
				assert.NotEqual(t, n.text, text, n.at)
				continue
			}
			assert.Contains(t, composed, n.code, "%s: the notice %s has no pattern in catalogues/es-US/engine.json (or, where it is put together from parts, no samples here): %q", n.at, n.code, n.text)
		}
	}
	assert.Greater(t, len(seen), 55, "the notices are found")
	for code, samples := range composed {
		assert.Contains(t, seen, code, "there is such a notice")
		for _, sample := range samples {
			text, ok := l.Sentence(sample)
			assert.True(t, ok, "%s: %q", code, sample)
			assert.Empty(t, english(text), text)
		}
	}
}

// Labels of workings, reasons, descriptions and names are told by the members that they are put into and by the functions
// that write them.
func TestOtherWordsOfTheSourcesHaveTheirTranslation(t *testing.T) {
	t.Parallel()
	members := []string{"Label", "Reason", "Description"}
	writers := []string{"Describe", "Why", "comparison", "runName", "ringWord", "usualHold"}
	tables := []string{"building.go"}
	var list []said
	for _, folder := range []string{"estimate", "pricing", "pricing/supply", "estimate/bond"} {
		fset, files := sources(t, folder)
		for _, f := range files {
			note := func(e ast.Expr) {
				if text, ok := words(e); ok && strings.Trim(text, " 1") != "" {
					list = append(list, said{at: fset.Position(e.Pos()).String(), text: text})
				}
			}
			literals := func(n ast.Node) {
				ast.Inspect(n, func(n ast.Node) bool {
					switch n := n.(type) {
					case *ast.BinaryExpr:
						if n.Op == token.ADD {
							note(n)
							return false
						}
					case *ast.BasicLit:
						if strings.Contains(n.Value, " ") {
							note(n)
						}
					}
					return true
				})
			}
			for _, d := range f.Decls {
				if g, ok := d.(*ast.GenDecl); ok && g.Tok == token.VAR && slices.Contains(tables, filepath.Base(fset.Position(d.Pos()).Filename)) {
					literals(g)
				}
				if fn, ok := d.(*ast.FuncDecl); ok && slices.Contains(writers, fn.Name.Name) {
					ast.Inspect(fn, func(n ast.Node) bool {
						if r, ok := n.(*ast.ReturnStmt); ok {
							for _, e := range r.Results {
								note(e)
							}
						}
						return true
					})
				}
			}
			ast.Inspect(f, func(n ast.Node) bool {
				if pair, ok := n.(*ast.KeyValueExpr); ok && slices.Contains(members, typeName(pair.Key)) {
					note(pair.Value)
				}
				return true
			})
		}
	}
	assert.Greater(t, len(list), 100, "the words are found")
	l := spanish(t)
	for _, s := range list {
		text := strings.TrimPrefix(s.text, "1; ")
		if len(text) > 1 && text[0] == '1' && text[1] >= 'a' && text[1] <= 'z' { // behind what was written before
			text = text[1:]
		}
		_, ok := l.Sentence(text)
		assert.True(t, ok, "%s: %q has no pattern in catalogues/es-US/engine.json", s.at, text)
	}
}
