package page

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"bedline/api/render/drawing"
)

// Policy is the Content-Security-Policy under which a document of HTML works whole: it asks for nothing and runs nothing;
// its looks stand in itself.
const Policy = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

//go:embed html.tmpl
var htmlTemplates string

//go:embed html.css
var htmlStyle string

var htmlPieces = template.Must(template.New("html").Parse(htmlTemplates))

// HTML writes the document as one HTML5 file that needs nothing besides itself and runs no script. It reads well on a
// phone, in dark and in light, aloud, and printed on Letter or A4. The bytes are well-formed XML too, and the same for the
// same document.
//
// It fails where the document is not one: its first block has to be its only heading of level 1, no level of headings may
// be left out, every row needs a cell for each column, every figure a drawing.
func HTML(d *Document) ([]byte, error) {
	if err := d.check(); err != nil {
		return nil, fmt.Errorf("writing %q as HTML: %w", d.Title, err)
	}
	w := &htmlWriter{doc: d}
	w.document()
	if w.err != nil {
		return nil, fmt.Errorf("writing %q as HTML: %w", d.Title, w.err)
	}
	return w.out.Bytes(), nil
}

func (d *Document) check() error {
	level := 0
	for i, b := range d.Blocks {
		switch b := b.(type) {
		case *Heading:
			if (i == 0) != (b.Level == 1) {
				return fmt.Errorf("block %d: the heading %q of level %d is out of place", i, b.Words, b.Level)
			}
			if b.Level < 1 || b.Level > 3 || b.Level > level+1 {
				return fmt.Errorf("block %d: the heading %q has level %d after level %d", i, b.Words, b.Level, level)
			}
			if strings.TrimSpace(b.Words) == "" {
				return fmt.Errorf("block %d: a heading without words", i)
			}
			level = b.Level
		case *Table:
			for r := range b.Rows {
				if len(b.Rows[r].Cells) != len(b.Columns) {
					return fmt.Errorf("block %d: row %d of the table %q has %d cells for %d columns", i, r, b.Caption, len(b.Rows[r].Cells), len(b.Columns))
				}
			}
			if len(b.Columns) == 0 {
				return fmt.Errorf("block %d: the table %q has no columns", i, b.Caption)
			}
		case *Figure:
			if b.Sheet == nil {
				return fmt.Errorf("block %d: the figure %q has no drawing", i, b.Caption)
			}
		}
	}
	if level == 0 {
		return fmt.Errorf("no heading of level 1 comes first")
	}
	return nil
}

// htmlWriter writes one document. What fails is kept in err and found at the end.
type htmlWriter struct {
	doc     *Document
	out     bytes.Buffer
	err     error
	level   int    // of the sections that are open
	heading string // the id of the last heading
	parts   int    // of level 2
	under   int    // of level 3 within the part
	figures int
	notes   int
}

func (w *htmlWriter) piece(name string, data any) {
	if w.err == nil {
		w.err = htmlPieces.ExecuteTemplate(&w.out, name, data)
	}
}

func (w *htmlWriter) raw(text string) { w.out.WriteString(text) }

func (w *htmlWriter) document() {
	d := w.doc
	w.piece("head", struct {
		Language, Title, Subject string
		Style                    template.CSS
	}{clean(d.Language), clean(d.Title), clean(d.Subject), template.CSS(htmlStyle + d.margins())})
	blocks := d.Blocks
	w.raw("<header>\n")
	w.block(blocks[0])
	for blocks = blocks[1:]; len(blocks) > 0 && inHeader(blocks[0]); blocks = blocks[1:] {
		w.block(blocks[0])
	}
	w.raw("</header>\n")
	end := len(blocks)
	for end > 0 && isFaint(blocks[end-1]) {
		end--
	}
	w.raw("<main>\n")
	for i, b := range blocks[:end] {
		if _, ok := b.(*Heading); ok && w.parts == 0 {
			w.contents(blocks[i:])
		}
		w.block(b)
	}
	w.sections(1)
	w.raw("</main>\n")
	if end < len(blocks) {
		w.raw("<footer>\n")
		for _, b := range blocks[end:] {
			w.block(b)
		}
		w.raw("</footer>\n")
	}
	w.raw("</body>\n</html>\n")
}

// inHeader tells whether a block right after the title belongs to it.
func inHeader(b Block) bool {
	switch b.(type) {
	case *Facts, *Paragraph:
		return true
	}
	return false
}

func isFaint(b Block) bool {
	p, ok := b.(*Paragraph)
	return ok && p.Faint
}

// fewestParts is from how many parts on a list of them helps.
const fewestParts = 4

type htmlHeading struct {
	Level int
	ID    string
	Words string
}

// contents lists the parts, each a link to where it begins.
func (w *htmlWriter) contents(blocks []Block) {
	var parts []htmlHeading
	for _, b := range blocks {
		if h, ok := b.(*Heading); ok && h.Level == 2 {
			parts = append(parts, htmlHeading{ID: partID(len(parts)+1, 0), Words: clean(h.Words)})
		}
	}
	if len(parts) < fewestParts || w.doc.Labels.Contents == "" {
		return
	}
	w.piece("contents", struct {
		Title string
		Parts []htmlHeading
	}{clean(w.doc.Labels.Contents), parts})
}

func partID(part, under int) string {
	id := "part" + strconv.Itoa(part)
	if under > 0 {
		id += "-" + strconv.Itoa(under)
	}
	return id
}

// sections closes those that a heading of a level ends.
func (w *htmlWriter) sections(level int) {
	for ; w.level > level; w.level-- {
		w.raw("</section>\n")
	}
}

func (w *htmlWriter) block(b Block) {
	switch b := b.(type) {
	case *Heading:
		w.head(b)
	case *Paragraph:
		w.piece("paragraph", struct {
			Text  []htmlText
			Faint bool
		}{w.texts(unbroken(b.Text)), b.Faint})
	case *List:
		items := make([][]htmlText, len(b.Items))
		for i := range items {
			items[i] = w.texts(unbroken(b.Items[i]))
		}
		w.piece("list", struct {
			Items                   [][]htmlText
			Ordered, Boxes, Columns bool
		}{items, b.Ordered, b.Boxes, b.Columns && !b.Boxes})
	case *Facts:
		facts := make([]htmlFact, len(b.Facts))
		for i, f := range b.Facts {
			facts[i] = htmlFact{clean(f.Term), w.texts(unbroken(f.Text))}
		}
		w.piece("facts", facts)
	case *Table:
		w.table(b)
	case *Figure:
		w.figure(b)
	case *Note:
		w.note(b)
	case *Sum:
		w.piece("sum", Sum{Term: clean(b.Term), Words: clean(b.Words), Under: clean(b.Under)})
	default:
		w.err = fmt.Errorf("a block of type %T", b)
	}
}

func (w *htmlWriter) head(h *Heading) {
	id := "title"
	switch h.Level {
	case 2:
		w.parts, w.under = w.parts+1, 0
		id = partID(w.parts, 0)
	case 3:
		w.under++
		id = partID(w.parts, w.under)
	}
	if h.Level > 1 {
		w.sections(h.Level - 1)
		if h.Break {
			w.raw("<section class=\"break\">\n")
		} else {
			w.raw("<section>\n")
		}
	}
	w.level, w.heading = h.Level, id
	w.piece("heading", htmlHeading{h.Level, id, clean(h.Words)})
}

type htmlText struct {
	Text
	Blank bool // a line to write on
}

func (w *htmlWriter) texts(texts []Text) []htmlText {
	out := make([]htmlText, len(texts))
	for i, t := range texts {
		if t.Language == w.doc.Language {
			t.Language = ""
		}
		t.Words, t.Language = clean(t.Words), clean(t.Language)
		out[i] = htmlText{t, isBlank(t.Words)}
	}
	return out
}

// clean leaves out what no text of HTML may hold: control characters, and bytes that are no UTF-8.
func clean(words string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n', r == '\t', r == '\r':
			return ' '
		case r < 0x20, r >= 0x7f && r < 0xa0, r == 0xfffe, r == 0xffff:
			return -1
		}
		return r
	}, strings.ToValidUTF8(words, "\ufffd"))
}

type htmlFact struct {
	Term string
	Text []htmlText
}

type htmlColumn struct {
	Head    string
	Numbers bool
}

type htmlCell struct {
	Text  []htmlText
	Class string
	Label string
	Box   bool
}

type htmlRow struct {
	Head  htmlCell
	Cells []htmlCell
	Sum   bool
}

func (w *htmlWriter) table(t *Table) {
	if whole := t.unbroken(); whole.tightWidth() <= deskWidth {
		t = whole
	}
	view := struct {
		Class, Named, Caption string
		Shares                []float64
		Columns               []htmlColumn
		Rows                  []htmlRow
	}{Caption: clean(t.Caption), Shares: t.shares()}
	if view.Caption == "" {
		view.Named = w.heading
	}
	if t.leastWidth() > phoneWidth {
		view.Class = "stacks"
		if t.tightWidth() > deskWidth {
			view.Class = "stacks crowded"
		}
	}
	for _, c := range t.Columns {
		view.Columns = append(view.Columns, htmlColumn{clean(c.Head), c.Numbers})
	}
	for _, r := range t.Rows {
		row := htmlRow{Sum: r.Sum}
		for i, text := range r.Cells {
			cell := htmlCell{Class: cellClass(t.Columns[i].Numbers, text)}
			if width(text) > 0 {
				cell.Text = w.texts(text)
			}
			if i == 0 {
				if cell.Box = r.Box; r.Box {
					cell.Class = strings.TrimSpace(cell.Class + " boxed")
				}
				row.Head = cell
				continue
			}
			if view.Class != "" {
				cell.Label = view.Columns[i].Head
			}
			row.Cells = append(row.Cells, cell)
		}
		view.Rows = append(view.Rows, row)
	}
	w.piece("table", view)
}

// shares are the widths of the columns in percent, where the table states any.
func (t *Table) shares() []float64 {
	sum, stated := 0.0, false
	share := func(c Column) float64 {
		if c.Share > 0 {
			return c.Share
		}
		return 1
	}
	for _, c := range t.Columns {
		sum, stated = sum+share(c), stated || c.Share > 0
	}
	if !stated {
		return nil
	}
	out := make([]float64, len(t.Columns))
	for i, c := range t.Columns {
		out[i] = math.Round(share(c)*1000/sum) / 10
	}
	return out
}

const (
	phoneWidth = 27 // letters in a row of a table on the narrowest phone, where the reader sets them apart too
	deskWidth  = 76 // letters in a row of a table at a desk and on paper
	columnGap  = 2  // letters
	wrapsAt    = 14 // letters: a longer number may be broken, and a text is set in columns no narrower
	longWord   = 16 // letters: a longer word may be broken anywhere
)

// width is how many letters a text has.
func width(text []Text) int {
	n := 0
	for _, t := range text {
		n += utf8.RuneCountInString(strings.TrimSpace(t.Words))
	}
	return n
}

// longest is how many letters the longest word has.
func longest(text []Text) int {
	n := 0
	for _, t := range text {
		for word := range strings.FieldsFuncSeq(t.Words, func(r rune) bool { return unicode.IsSpace(r) && r != '\u00a0' }) {
			n = max(n, utf8.RuneCountInString(word))
		}
	}
	return n
}

// leastWidth is how many letters wide a table has to be to read well.
func (t *Table) leastWidth() int {
	sum := -columnGap
	for i, c := range t.Columns {
		least := longest(Plain(c.Head))
		for _, r := range t.Rows {
			least = max(least, min(width(r.Cells[i]), wrapsAt), longest(r.Cells[i]))
		}
		sum += least + columnGap
	}
	return sum
}

// tightWidth is how many letters wide a table has to be for its words and short numbers to stay whole.
func (t *Table) tightWidth() int {
	sum := -columnGap
	for i, c := range t.Columns {
		least := min(longest(Plain(c.Head)), longWord)
		for _, r := range t.Rows {
			cell := r.Cells[i]
			if c.Numbers && width(cell) <= wrapsAt {
				least = max(least, width(cell))
			}
			least = max(least, min(longest(cell), longWord))
		}
		sum += least + columnGap
	}
	return sum
}

func cellClass(numbers bool, text []Text) string {
	var class []string
	if numbers {
		class = append(class, "number")
		if width(text) <= wrapsAt {
			class = append(class, "whole")
		}
	}
	if width(text) == 0 {
		class = append(class, "empty")
	}
	if longest(text) > longWord {
		class = append(class, "long")
	}
	return strings.Join(class, " ")
}

func (w *htmlWriter) figure(f *Figure) {
	w.figures++
	id := "drawing" + strconv.Itoa(w.figures)
	l := &w.doc.Labels
	view := struct {
		ID, Caption, Enlarge, Whole string
		SVG                         template.HTML
	}{ID: id, Caption: clean(f.Caption), SVG: template.HTML(f.Sheet.Inline(id))}
	if l.Enlarge != "" && l.Whole != "" && f.Sheet.Width > phonePaper {
		view.Enlarge, view.Whole = clean(l.Enlarge), clean(l.Whole)
	}
	w.piece("figure", view)
}

// phonePaper is the widest drawing whose letters can be read on a phone without enlarging it.
const phonePaper drawing.Millimetres = 100

// The marks of notes by their tone. Each has a shape of its own, and the ink of its words.
var htmlTones = [...]struct {
	class string
	mark  template.HTML
}{
	Info: {"info", `<svg class="mark" viewBox="0 0 16 16" aria-hidden="true" focusable="false">` +
		`<circle cx="8" cy="8" r="7" fill="none" stroke="currentColor" stroke-width="1.5"></circle>` +
		`<path d="M8 7v5M8 3.8v1.6" stroke="currentColor" stroke-width="1.8"></path></svg>`},
	Confirm: {"confirm", `<svg class="mark" viewBox="0 0 16 16" aria-hidden="true" focusable="false">` +
		`<rect x="1" y="1" width="14" height="14" fill="none" stroke="currentColor" stroke-width="1.5"></rect>` +
		`<path d="M5.5 6a2.5 2.5 0 1 1 3.6 2.2C8.3 8.7 8 9.1 8 10M8 11.4v1.6" fill="none" stroke="currentColor" stroke-width="1.6"></path></svg>`},
	Caution: {"caution", `<svg class="mark" viewBox="0 0 16 16" aria-hidden="true" focusable="false">` +
		`<path d="M8 1.2L15.2 14.5H0.8Z" fill="none" stroke="currentColor" stroke-width="1.5" stroke-linejoin="round"></path>` +
		`<path d="M8 5.5v4.5M8 11.3v1.6" stroke="currentColor" stroke-width="1.8"></path></svg>`},
}

func (w *htmlWriter) note(n *Note) {
	if int(n.Tone) >= len(htmlTones) {
		w.err = fmt.Errorf("a note of tone %d", n.Tone)
		return
	}
	w.notes++
	view := struct {
		ID, Class, Kind, Source string
		Mark                    template.HTML
		Text, Ask               []htmlText
	}{ID: "note" + strconv.Itoa(w.notes), Class: htmlTones[n.Tone].class, Kind: clean(n.Kind), Mark: htmlTones[n.Tone].mark, Text: w.texts(unbroken(n.Text)), Ask: w.texts(unbroken(n.Ask))}
	if n.Source != "" {
		view.Source = clean(n.Source)
		if label := clean(w.doc.Labels.Source); label != "" {
			view.Source = label + " " + view.Source
		}
	}
	w.piece("note", view)
}

// margins puts the title and the number of every page into the margins of printed pages.
func (d *Document) margins() string {
	title := "@page{@bottom-left{content:" + cssString(clean(d.Title)) + "}"
	if d.Labels.Page == "" {
		return title + "}\n"
	}
	number := "@bottom-right{content:"
	for rest := clean(d.Labels.Page); rest != ""; {
		n, of := strings.Index(rest, "{n}"), strings.Index(rest, "{of}")
		switch {
		case n == 0:
			number, rest = number+"counter(page)", rest[len("{n}"):]
		case of == 0:
			number, rest = number+"counter(pages)", rest[len("{of}"):]
		default:
			end := len(rest)
			for _, i := range [...]int{n, of} {
				if i > 0 {
					end = min(end, i)
				}
			}
			number, rest = number+cssString(rest[:end]), rest[end:]
		}
		number += " "
	}
	return title + strings.TrimSuffix(number, " ") + "}}\n"
}

// cssString is a string of CSS (CSS Syntax Level 3, 4.3.5) in which nothing but letters, digits and spaces stands for
// itself, so that it can end neither itself nor the style that it stands in.
func cssString(words string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range words {
		if r == ' ' || r >= '0' && r <= '9' || r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z' {
			b.WriteRune(r)
			continue
		}
		fmt.Fprintf(&b, "\\%x ", r) // the space ends the escape
	}
	b.WriteByte('"')
	return b.String()
}
