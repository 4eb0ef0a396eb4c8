//go:build programs

// Package browser looks at pages of HTML with a browser, for the tests of the packages that write them.
package browser

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
	"golang.org/x/text/unicode/norm"

	"bedline/api/render/page"
)

// Printed is the text of the pages of a document, by the paper that it was printed on: "Letter" and "A4".
type Printed map[string][]string

// sizes are those of the papers in points of 1/72 in: 8 1/2 by 11 in, and 210 by 297 mm (ISO 216). The browser rounds up
// to its own dots of 1/96 in, and to whole steps of its device.
var sizes = [...]struct {
	paper         string
	width, height float64
}{{"Letter", 612, 792}, {"A4", 595.28, 841.89}}

// Check opens a page in Chromium at the widths of phones and desks, in light and dark, under page.Policy, has axe-core
// look for hurdles, and prints it. Nothing may be found, nothing may be wider than the window, and every word has to be
// in print. Pictures go to BEDLINE_SEEN, where that is set, under the name.
func Check(t testing.TB, text []byte, name string) Printed {
	t.Helper()
	dir := t.TempDir()
	file := filepath.Join(dir, "page.html")
	require.NoError(t, os.WriteFile(file, text, 0o600))
	_, here, _, _ := runtime.Caller(0)
	script := filepath.Join(filepath.Dir(here), "../../../../.ci/page.mjs")
	out := run(t, "node", script, file, dir, page.Policy)
	var faults []string
	require.NoError(t, json.Unmarshal(out, &faults), "%s", out)
	assert.Empty(t, faults, strings.Join(faults, "\n"))
	printed := Printed{}
	for _, s := range sizes {
		pdf := filepath.Join(dir, s.paper+".pdf")
		size := regexp.MustCompile(`Page size: +([0-9.]+) x ([0-9.]+) pts`).FindStringSubmatch(string(run(t, "pdfinfo", pdf)))
		require.NotNil(t, size)
		for i, want := range [...]float64{s.width, s.height} {
			got, err := strconv.ParseFloat(size[1+i], 64)
			require.NoError(t, err)
			assert.InDelta(t, want, got, 1.01, "size of %s", s.paper)
		}
		raw := string(run(t, "pdftotext", "-raw", "-enc", "UTF-8", pdf, "-"))
		printed[s.paper] = strings.Split(strings.TrimSuffix(raw, "\f"), "\f")
		whole := dense(strings.ReplaceAll(raw, "\f", ""))
		for _, word := range words(t, text) {
			assert.Contains(t, whole, word, "a word in print on %s", s.paper)
		}
	}
	keep(t, dir, name)
	return printed
}

// run runs a program and gives what it writes.
func run(t testing.TB, program string, arguments ...string) []byte {
	t.Helper()
	var out, faults bytes.Buffer
	c := exec.Command(program, arguments...)
	c.Stdout, c.Stderr = &out, &faults
	require.NoError(t, c.Run(), "%s: %s (.ci/programs installs what is missing)", program, &faults)
	return out.Bytes()
}

// dense is a text without spaces and ligatures, so that it doesn't matter where lines are broken.
func dense(s string) string {
	return strings.ReplaceAll(strings.Join(strings.Fields(norm.NFKC.String(s)), ""), "\u00ad", "")
}

// words are those of a page that are printed, without spaces.
func words(t testing.TB, text []byte) []string {
	t.Helper()
	root, err := html.Parse(bytes.NewReader(text))
	require.NoError(t, err)
	var out []string
	var walk func(n *html.Node)
	walk = func(n *html.Node) {
		if n.Type == html.ElementNode {
			switch n.Data {
			case "style", "head", "title", "desc", "nav":
				return
			case "a":
				return // leads about the screen
			}
		}
		if n.Type == html.TextNode {
			for _, w := range strings.Fields(n.Data) {
				out = append(out, dense(w))
			}
		}
		for c := range n.ChildNodes() {
			walk(c)
		}
	}
	walk(root)
	require.NotEmpty(t, out)
	return out
}

// keep copies what was seen to where it is looked at.
func keep(t testing.TB, dir, name string) {
	t.Helper()
	seen := os.Getenv("BEDLINE_SEEN")
	if seen == "" {
		return
	}
	require.NoError(t, os.MkdirAll(seen, 0o755))
	files, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, f := range files {
		data, err := os.ReadFile(filepath.Join(dir, f.Name()))
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(seen, name+"-"+f.Name()), data, 0o600))
		if strings.HasSuffix(f.Name(), ".pdf") {
			run(t, "pdftoppm", "-png", "-r", "60", filepath.Join(dir, f.Name()), filepath.Join(seen, name+"-"+strings.TrimSuffix(f.Name(), ".pdf")))
		}
	}
}
