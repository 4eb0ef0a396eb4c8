package edition_test

import (
	"strings"

	"bedline/api/render/page"
)

// dump writes a document as plain text, so that a person can read what a page says.
func dump(d *page.Document) string {
	var b strings.Builder
	b.WriteString("[" + d.Language + "] " + d.Title + " | " + d.Subject + "\n")
	for _, block := range d.Blocks {
		switch v := block.(type) {
		case *page.Heading:
			b.WriteString("\n" + strings.Repeat("#", v.Level) + " " + v.Words + "\n\n")
		case *page.Paragraph:
			b.WriteString(said(v.Text) + "\n\n")
		case *page.List:
			for _, item := range v.Items {
				mark := "-"
				if v.Boxes {
					mark = "[ ]"
				}
				b.WriteString(mark + " " + said(item) + "\n")
			}
			b.WriteString("\n")
		case *page.Facts:
			for _, f := range v.Facts {
				b.WriteString(f.Term + ": " + said(f.Text) + "\n")
			}
			b.WriteString("\n")
		case *page.Table:
			dumpTable(&b, v)
		case *page.Figure:
			b.WriteString("(drawing: " + v.Sheet.Title + ") " + v.Caption + "\n\n")
		case *page.Note:
			b.WriteString("! " + v.Kind + ": " + said(v.Text) + "\n")
			if len(v.Ask) > 0 {
				b.WriteString("  ? " + said(v.Ask) + "\n")
			}
			if v.Source != "" {
				b.WriteString("  " + d.Labels.Source + " " + v.Source + "\n")
			}
			b.WriteString("\n")
		case *page.Sum:
			b.WriteString("= " + v.Term + ": " + v.Words + " " + v.Under + "\n\n")
		}
	}
	return b.String()
}

func dumpTable(b *strings.Builder, t *page.Table) {
	b.WriteString(t.Caption + "\n")
	heads := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		heads[i] = c.Head
	}
	b.WriteString("    | " + strings.Join(heads, " | ") + "\n")
	for _, r := range t.Rows {
		mark := "   "
		switch {
		case r.Box:
			mark = "[ ]"
		case r.Sum:
			mark = "  ="
		}
		words := make([]string, len(r.Cells))
		for i, c := range r.Cells {
			words[i] = said(c)
		}
		b.WriteString(mark + " | " + strings.Join(words, " | ") + "\n")
	}
	b.WriteString("\n")
}

// said are the words of a text, those in another language than the document's in angle brackets.
func said(texts []page.Text) string {
	var b strings.Builder
	for _, t := range texts {
		if t.Language != "" {
			b.WriteString("<" + t.Language + ": " + t.Words + ">")
		} else {
			b.WriteString(t.Words)
		}
	}
	return b.String()
}
