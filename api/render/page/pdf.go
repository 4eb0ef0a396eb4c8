package page

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"bedline/api/render/drawing"
)

// Paper is what a document is printed on, upright.
type Paper uint8

// The papers.
const (
	Letter Paper = iota // 8.5 by 11 inches
	A4                  // 210 by 297 mm (ISO 216)
)

func (p Paper) size() (width, height float64) {
	if p == A4 {
		return 210, 297
	}
	return 215.9, 279.4
}

// Margins in millimetres; a page's foot stands within the lower one.
const (
	sideMargin = 15
	headMargin = 15
	footMargin = 19
	footBase   = 11 // from the lower edge of the paper
)

var (
	inkColour   = drawing.Colour{R: 20, G: 20, B: 20}
	faintColour = drawing.Colour{R: 80, G: 80, B: 80}
	ruleColour  = drawing.Colour{R: 132, G: 136, B: 139}
	hairColour  = drawing.Colour{R: 200, G: 204, B: 206}
	headFill    = drawing.Colour{R: 232, G: 235, B: 236}
	sumFill     = drawing.Colour{R: 244, G: 245, B: 245}
)

var (
	bodyStyle    = pdfStyle{points: 9.5, colour: inkColour}
	faintStyle   = pdfStyle{points: 8.5, colour: faintColour}
	termStyle    = pdfStyle{points: 9, colour: faintColour}
	captionStyle = pdfStyle{points: 9, bold: true, colour: inkColour}
	cellStyle    = pdfStyle{points: 8.5, colour: inkColour}
	footStyle    = pdfStyle{points: 7.5, colour: faintColour}
)

// PDF writes the document as a PDF of version 1.7 (ISO 32000-1) that has its fonts within it: words to select, search and
// read aloud, headings as bookmarks, drawings as vectors, tagged with the structure of the document and its language. A
// drawing keeps its scale unless the paper is too small for it. The same document gives the same bytes.
//
// What the font has no glyph of shows as U+FFFD; copied or read aloud it is what it was. Scripts that join or reorder
// letters are set letter by letter, left to right.
//
// It fails where HTML does.
func PDF(d *Document, p Paper) ([]byte, error) {
	if err := d.check(); err != nil {
		return nil, fmt.Errorf("writing %q as PDF: %w", d.Title, err)
	}
	out, err := newPDFWriter(d, p).document()
	if err != nil {
		return nil, fmt.Errorf("writing %q as PDF: %w", d.Title, err)
	}
	return out, nil
}

// pdfWriter sets one document: blocks become chunks, chunks are laid on pages, then the pages are drawn.
type pdfWriter struct {
	doc           *Document
	pdf           *fpdf.Fpdf
	regular, bold *pdfFace
	width, height float64 // of the paper
	root          *element
	chunks        []chunk
	parts         []int // the chunks that parts begin with: headings
	outline       int   // level of the last bookmark, -1 for none

	// While drawing:
	marks    [][]*element // by page and number of the marked content: whose it is
	open     *element     // whose marked content is open
	artifact bool         // open is what belongs to nobody
	marked   bool
	setting  string // font and colour that are set
	patterns []pdfPattern
	err      error
}

func newPDFWriter(d *Document, p Paper) *pdfWriter {
	w := &pdfWriter{doc: d, root: &element{kind: "Document"}, outline: -1}
	w.width, w.height = p.size()
	w.pdf = fpdf.NewCustom(&fpdf.InitType{OrientationStr: "P", UnitStr: "mm", Size: fpdf.SizeType{Wd: w.width, Ht: w.height}})
	return w
}

func (w *pdfWriter) document() ([]byte, error) {
	pdf := w.pdf
	pdf.SetMargins(0, 0, 0)
	pdf.SetAutoPageBreak(false, 0)
	pdf.SetCompression(true)
	pdf.SetCatalogSort(true)
	never := time.Unix(0, 0).UTC() // left out again when the file is finished
	pdf.SetCreationDate(never)
	pdf.SetModificationDate(never)
	pdf.SetProducer("", false)
	var err error
	if w.regular, err = newFace(pdf, w.forget, "", "DejaVuSans", regularFont); err != nil {
		return nil, err
	}
	if w.bold, err = newFace(pdf, w.forget, "B", "DejaVuSans-Bold", boldFont); err != nil {
		return nil, err
	}
	for i, b := range w.doc.Blocks {
		w.block(b)
		if i+1 < len(w.doc.Blocks) {
			w.tie(b, w.doc.Blocks[i+1])
		}
	}
	w.tieShortParts()
	if w.err != nil {
		return nil, w.err
	}
	pages := w.paginate()
	for i, page := range pages {
		w.page(page, i+1, len(pages))
	}
	var raw bytes.Buffer
	if err := pdf.Output(&raw); err != nil {
		return nil, err
	}
	return w.finish(raw.Bytes())
}

// forget lets the next words set their font and colour anew.
func (w *pdfWriter) forget() { w.setting = "" }

func (w *pdfWriter) face(bold bool) *pdfFace {
	if bold {
		return w.bold
	}
	return w.regular
}

// column is the width between the margins.
func (w *pdfWriter) column() float64 { return w.width - 2*sideMargin }

// most is what a page holds from top to bottom.
func (w *pdfWriter) most() float64 { return w.height - headMargin - footMargin }

// chunk is what no page parts. Its place is its upper edge.
type chunk struct {
	height float64
	gap    float64 // above, but not at the top of a page
	keep   bool    // no page ends after it
	breaks bool    // a page begins with it, once two thirds of the last one are taken
	blank  bool    // is written on by hand
	head   *chunk  // drawn again above it where it begins a page
	draw   func(y float64)
}

// tie keeps words and facts that only lead to what follows on its page, and a remark with what it is about.
func (w *pdfWriter) tie(b, next Block) {
	if len(w.chunks) == 0 {
		return
	}
	last := &w.chunks[len(w.chunks)-1]
	short := func(p *Paragraph, s pdfStyle, lines int) bool { return len(w.lines(p.Text, s, w.column())) <= lines }
	switch b := b.(type) {
	case *Paragraph:
		switch next.(type) {
		case *List, *Facts, *Table, *Figure:
			last.keep = last.keep || !b.Faint && short(b, bodyStyle, 2)
		}
	case *List, *Facts, *Table, *Figure:
		_, facts := b.(*Facts)
		switch next := next.(type) {
		case *Paragraph:
			last.keep = last.keep || next.Faint && short(next, faintStyle, 3)
		case *Table:
			last.keep = last.keep || facts
		}
	}
}

// tieShortParts keeps parts of the document whole that take little of a page.
func (w *pdfWriter) tieShortParts() {
	for i, start := range w.parts {
		end := len(w.chunks)
		if i+1 < len(w.parts) {
			end = w.parts[i+1]
		}
		most := float64(short)
		if slices.ContainsFunc(w.chunks[start:end], func(c chunk) bool { return c.blank }) {
			most = signed
		}
		w.tieShort(start, end, most)
	}
}

// What is short enough to stay on one page: a quarter of it or so, half of it where words are signed.
const short, signed = 68, 125

// tieShort keeps a stretch of chunks on one page, if it takes no more than so much of it.
func (w *pdfWriter) tieShort(start, end int, most float64) {
	height := 0.0
	for _, c := range w.chunks[start:end] {
		height += c.gap + c.height
	}
	if height > most {
		return
	}
	for j := start; j+1 < end; j++ {
		w.chunks[j].keep = true
	}
}

// placed is a chunk with its place.
type placed struct {
	y    float64
	draw func(y float64)
}

// paginate lays the chunks on pages: chains that are kept together stay so as long as a page holds them.
func (w *pdfWriter) paginate() [][]placed {
	const slack = 0.01
	pages := [][]placed{nil}
	y, top := float64(headMargin), true
	bottom := w.height - footMargin
	for i := 0; i < len(w.chunks); i++ {
		c := w.chunks[i]
		chain := c.height
		for j := i; w.chunks[j].keep && j+1 < len(w.chunks); j++ {
			chain += w.chunks[j+1].gap + w.chunks[j+1].height
		}
		kept := i > 0 && w.chunks[i-1].keep
		switch fits := y+c.gap+chain <= bottom+slack; {
		case top && !kept:
		case c.breaks && y > headMargin+w.most()*2/3:
			fallthrough
		case !fits && !kept && !top, y+c.gap+c.height > bottom+slack && !top:
			pages = append(pages, nil)
			y, top = headMargin, true
			if c.head != nil {
				pages[len(pages)-1] = append(pages[len(pages)-1], placed{y, c.head.draw})
				y += c.head.height
			}
		}
		if !top {
			y += c.gap
		}
		pages[len(pages)-1] = append(pages[len(pages)-1], placed{y, c.draw})
		y, top = y+c.height, false
	}
	return pages
}

// page draws a page and its foot.
func (w *pdfWriter) page(chunks []placed, number, of int) {
	w.pdf.AddPage()
	w.marks = append(w.marks, nil)
	w.forget()
	w.raw("1 j")
	for _, c := range chunks {
		c.draw(c.y)
	}
	w.foot(number, of)
	w.end()
}

func (w *pdfWriter) foot(number, of int) {
	w.beginFoot()
	y := w.height - footBase
	w.line(sideMargin, y-4, w.width-sideMargin, y-4, 0.1, ruleColour)
	label := strings.NewReplacer("{n}", strconv.Itoa(number), "{of}", strconv.Itoa(of)).Replace(w.doc.Labels.Page)
	right := w.oneLine(label, footStyle)
	w.set(right, w.width-sideMargin-right.width, y, footStyle)
	w.set(w.shortened(oneLine(w.doc.Title), footStyle, w.column()-right.width-8), sideMargin, y, footStyle)
}

// oneLine is words as one line, however wide.
func (w *pdfWriter) oneLine(words string, s pdfStyle) pdfLine {
	lines := w.lines(Plain(words), s, 1e9)
	if len(lines) == 0 {
		return pdfLine{}
	}
	return lines[0]
}

// shortened is words as one line, cut off where they are wider.
func (w *pdfWriter) shortened(words string, s pdfStyle, width float64) pdfLine {
	if line := w.oneLine(words, s); line.width <= width {
		return line
	}
	lines := w.lines(Plain(words), s, width-w.regular.width("…", s.points)-1)
	if len(lines) == 0 {
		return pdfLine{}
	}
	lines[0].add(fragment{words: "…", width: w.regular.width("…", s.points)})
	return lines[0]
}

// points are millimetres on the page in points, written.
func points(mm float64) string { return decimals(mm / millimetresOfPoint) }

// decimals writes a number with two decimals at most: a hundredth of a point is 0.004 mm.
func decimals(v float64) string {
	text := strconv.FormatFloat(v, 'f', 2, 64)
	text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	if text == "-0" || text == "" {
		return "0"
	}
	return text
}

func colour(c drawing.Colour) string {
	part := func(v uint8) string {
		text := strconv.FormatFloat(float64(v)/255, 'f', 3, 64)
		return strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return part(c.R) + " " + part(c.G) + " " + part(c.B)
}

func (w *pdfWriter) raw(operators string) { w.pdf.RawWriteStr(operators) }

// up is a height on the page as PDF counts it: from below, in points.
func (w *pdfWriter) up(y float64) string { return points(w.height - y) }

// line draws a straight line.
func (w *pdfWriter) line(x1, y1, x2, y2, width float64, c drawing.Colour) {
	w.raw("q " + points(width) + " w " + colour(c) + " RG " + points(x1) + " " + w.up(y1) + " m " + points(x2) + " " + w.up(y2) + " l S Q")
}

// fill fills a rectangle.
func (w *pdfWriter) fill(x, y, width, height float64, c drawing.Colour) {
	w.raw("q " + colour(c) + " rg " + points(x) + " " + w.up(y+height) + " " + points(width) + " " + points(height) + " re f Q")
}

// set puts a line of words with its base line at y.
func (w *pdfWriter) set(l pdfLine, x, y float64, s pdfStyle) {
	for _, f := range l.fragments {
		w.setFragment(f, x, y, s)
		x += f.width
	}
}

func (w *pdfWriter) setFragment(f fragment, x, y float64, s pdfStyle) {
	if f.words == "" {
		return
	}
	span := ""
	if f.language != "" {
		span += "/Lang " + pdfString(f.language)
	}
	if f.original != "" {
		span += "/ActualText " + pdfString(f.original)
	}
	if span != "" {
		w.raw("/Span <<" + span + ">> BDC")
	}
	face := w.face(f.bold)
	for _, r := range f.words {
		face.used[r] = true
	}
	if setting := fmt.Sprintf("%s %.2f %s", face.style, s.points, colour(s.colour)); setting != w.setting {
		w.pdf.SetFont(pdfFamily, face.style, s.points)
		w.raw(colour(s.colour) + " rg")
		w.setting = setting
	}
	w.pdf.Text(x, y, f.words)
	if span != "" {
		w.raw("EMC")
	}
}

// begin lets what is drawn from here on belong to an element.
func (w *pdfWriter) begin(e *element) {
	if w.marked && w.open == e && !w.artifact {
		return
	}
	w.end()
	page := len(w.marks)
	number := len(w.marks[page-1])
	w.marks[page-1] = append(w.marks[page-1], e)
	e.marks = append(e.marks, mark{page, number})
	w.raw("/" + e.kind + " <</MCID " + strconv.Itoa(number) + ">> BDC")
	w.open, w.marked, w.artifact = e, true, false
}

// beginArtifact lets what is drawn from here on belong to nobody: rules, and what is only said again.
func (w *pdfWriter) beginArtifact() {
	if w.marked && w.artifact {
		return
	}
	w.end()
	w.raw("/Artifact BMC")
	w.marked, w.artifact = true, true
}

func (w *pdfWriter) beginFoot() {
	w.end()
	w.raw("/Artifact <</Type /Pagination /Subtype /Footer>> BDC")
	w.marked, w.artifact = true, true
}

func (w *pdfWriter) end() {
	if w.marked {
		w.raw("EMC")
	}
	w.open, w.marked, w.artifact = nil, false, false
}

// element is a part of the structure of a document (ISO 32000-1, 14.7). It holds parts or marked content.
type element struct {
	kind       string // a standard structure type of 14.8.4
	attributes string // a dictionary, or empty
	alt        string
	parts      []*element
	marks      []mark
}

// mark is one stretch of marked content.
type mark struct{ page, number int }

func (e *element) add(kind string) *element {
	part := &element{kind: kind}
	e.parts = append(e.parts, part)
	return part
}
