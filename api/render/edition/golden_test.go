package edition_test

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api/render/page"
)

var write = flag.Bool("write", false, "write the golden documents anew")

// golden holds a document to its text in testdata.
func golden(t *testing.T, name string, d *page.Document) {
	t.Helper()
	path := filepath.Join("testdata", name+".txt")
	got := dump(d)
	if *write {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(path, []byte(got), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(want), got)
}

// dump is a document as plain text, everything that anybody reads of it but the shapes of drawings.
func dump(d *page.Document) string {
	var b strings.Builder
	line := func(parts ...string) { b.WriteString(strings.Join(parts, "") + "\n") }
	line("[", d.Language, "] ", d.Title)
	line("subject: ", d.Subject)
	for _, block := range d.Blocks {
		line()
		switch x := block.(type) {
		case *page.Heading:
			broken := ""
			if x.Break {
				broken = " (new page)"
			}
			line(strings.Repeat("#", x.Level), " ", x.Words, broken)
		case *page.Paragraph:
			line(text(x.Text))
		case *page.List:
			for i := range x.Items {
				mark := "- "
				if x.Boxes {
					mark = "[ ] "
				}
				line(mark, text(x.Items[i]))
			}
		case *page.Facts:
			for i := range x.Facts {
				line(x.Facts[i].Term, ": ", text(x.Facts[i].Text))
			}
		case *page.Table:
			line("table: ", x.Caption)
			heads := make([]string, len(x.Columns))
			for i := range x.Columns {
				heads[i] = x.Columns[i].Head
			}
			line("| ", strings.Join(heads, " | "))
			for i := range x.Rows {
				cells := make([]string, len(x.Rows[i].Cells))
				for k := range cells {
					cells[k] = text(x.Rows[i].Cells[k])
				}
				mark := "| "
				if x.Rows[i].Sum {
					mark = "= "
				}
				if x.Rows[i].Box {
					mark += "[ ] "
				}
				line(mark, strings.Join(cells, " | "))
			}
		case *page.Figure:
			line("figure: ", x.Caption)
		case *page.Note:
			line("! ", x.Kind, ": ", text(x.Text))
			if len(x.Ask) > 0 {
				line("  ask: ", text(x.Ask))
			}
			if x.Source != "" {
				line("  source: ", x.Source)
			}
		case *page.Sum:
			line("* ", x.Term, ": ", x.Words, " (", x.Under, ")")
		}
	}
	return b.String()
}

// text is words in a row, those of another language with their tag.
func text(words []page.Text) string {
	var b strings.Builder
	for _, t := range words {
		if t.Language != "" {
			b.WriteString("[" + t.Language + "]")
		}
		b.WriteString(t.Words)
	}
	return b.String()
}
