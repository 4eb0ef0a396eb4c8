package page

import (
	"fmt"
	"slices"
	"strconv"

	"bedline/api/render/drawing"
)

// Gaps between blocks, in millimetres.
const (
	blockGap = 3.2
	lineGap  = 1.2 // between items
)

func (w *pdfWriter) add(c chunk) { w.chunks = append(w.chunks, c) }

func (w *pdfWriter) block(b Block) {
	switch b := b.(type) {
	case *Heading:
		w.heading(b)
	case *Paragraph:
		s := bodyStyle
		if b.Faint {
			s = faintStyle
		}
		w.paragraph(w.root.add("P"), unbroken(b.Text), s, 0, blockGap)
	case *List:
		w.list(b)
	case *Facts:
		w.facts(b)
	case *Table:
		w.table(b)
	case *Figure:
		w.figure(b)
	case *Note:
		w.note(b)
	case *Sum:
		w.sum(b)
	default:
		w.err = fmt.Errorf("a block of type %T", b)
	}
}

// paragraph sets texts line by line. No line stands alone at an end of a page.
func (w *pdfWriter) paragraph(e *element, texts []Text, s pdfStyle, indent, gap float64) {
	lines := w.lines(texts, s, w.column()-indent)
	for i, l := range lines {
		c := chunk{height: s.leading(), keep: i == 0 && len(lines) > 1 || i == len(lines)-2}
		if i == 0 {
			c.gap = gap
		}
		more := i < len(lines)-1
		c.draw = func(y float64) {
			w.begin(e)
			w.set(ended(l, more), sideMargin+indent, y+s.base(), s)
		}
		w.add(c)
	}
}

// ended gives a line the space that parts it from the next one, for those who take the words out again.
func ended(l pdfLine, more bool) pdfLine {
	if n := len(l.fragments); more && n > 0 && l.fragments[n-1].original == "" {
		l.fragments = slices.Clone(l.fragments)
		l.fragments[n-1].words += " "
	}
	return l
}

func headingStyle(level int) (s pdfStyle, gap float64) {
	switch level {
	case 1:
		return pdfStyle{points: 17, bold: true, colour: inkColour}, 0
	case 2:
		return pdfStyle{points: 12.5, bold: true, colour: inkColour}, 8
	}
	return pdfStyle{points: 10.5, bold: true, colour: inkColour}, 5
}

// heading sets a heading with what follows it. A dimension line runs over every part.
func (w *pdfWriter) heading(h *Heading) {
	s, gap := headingStyle(h.Level)
	e := w.root.add("H" + strconv.Itoa(h.Level))
	over := 0.0
	if h.Level == 2 {
		over = 3.5
	}
	level := max(h.Level-2, 0)
	level = min(level, w.outline+1)
	w.outline = level
	w.parts = append(w.parts, len(w.chunks))
	lines := w.lines(Plain(h.Words), s, w.column())
	for i, l := range lines {
		c := chunk{height: s.leading(), keep: true, breaks: h.Break && i == 0}
		first, last := i == 0, i == len(lines)-1
		if first {
			c.gap, c.height = gap, c.height+over
		}
		c.draw = func(y float64) {
			if first {
				w.pdf.Bookmark(paired(oneLine(h.Words)), level, y)
				if over > 0 {
					w.beginArtifact()
					w.dimension(y)
					y += over
				}
			}
			w.begin(e)
			w.set(ended(l, !last), sideMargin, y+s.base(), s)
		}
		w.add(c)
	}
	if h.Level == 1 {
		w.add(chunk{height: 2.2, keep: true, draw: func(y float64) {
			w.beginArtifact()
			w.line(sideMargin, y+1.4, w.width-sideMargin, y+1.4, 0.5, inkColour)
		}})
	}
}

// dimension is a thin rule with slanted ticks at its ends.
func (w *pdfWriter) dimension(y float64) {
	const tick = 0.9
	w.line(sideMargin, y, w.width-sideMargin, y, 0.15, ruleColour)
	for _, x := range []float64{sideMargin, w.width - sideMargin} {
		w.line(x-tick, y+tick, x+tick, y-tick, 0.3, inkColour)
	}
}

// box is to be ticked off.
const box = "☐"

func (w *pdfWriter) list(l *List) {
	e := w.root.add("L")
	if l.Ordered {
		e.attributes = "<</O /List /ListNumbering /Decimal>>"
	}
	s := bodyStyle
	if l.Columns && !l.Boxes && !l.Ordered && w.twoColumns(e, l, s) {
		return
	}
	for i, item := range l.Items {
		label := "•"
		switch {
		case l.Boxes && l.Ordered:
			label = box + " " + strconv.Itoa(i+1) + "."
		case l.Boxes:
			label = box
		case l.Ordered:
			label = strconv.Itoa(i+1) + "."
		}
		gap := lineGap
		if i == 0 {
			gap = blockGap
		}
		w.item(e.add("LI"), label, unbroken(item), s, gap, pair(i, len(l.Items)))
	}
}

// twoColumns sets a list in two columns, read down the left one first, where a good part of a page holds it.
func (w *pdfWriter) twoColumns(e *element, l *List, s pdfStyle) bool {
	const between, indent = 6, 5.5
	width := float64(w.column()-between) / 2
	marker := w.oneLine("•", s)
	items := make([][]pdfLine, len(l.Items))
	total := 0.0
	tall := func(lines []pdfLine) float64 { return float64(len(lines))*s.leading() + lineGap }
	for i, item := range l.Items {
		items[i] = w.lines(unbroken(item), s, width-indent)
		total += tall(items[i])
	}
	left, height := 0, 0.0
	for left < len(items) && height < total/2 {
		height += tall(items[left])
		left++
	}
	height = max(height, total-height) - lineGap
	if len(items) < 2 || height > 0.5*w.most() {
		return false
	}
	type parts struct{ name, body *element }
	tags := make([]parts, len(items))
	for i := range items {
		li := e.add("LI")
		tags[i] = parts{li.add("Lbl"), li.add("LBody")}
	}
	w.add(chunk{height: height, gap: blockGap, draw: func(top float64) {
		x, y := float64(sideMargin), top
		for i, lines := range items {
			if i == left {
				x, y = x+width+between, top
			}
			w.begin(tags[i].name)
			w.set(ended(marker, true), x+indent-1.8-marker.width, y+s.base(), s)
			for k, line := range lines {
				w.begin(tags[i].body)
				w.set(ended(line, k < len(lines)-1), x+indent, y+s.base(), s)
				y += s.leading()
			}
			y += lineGap
		}
	}})
	return true
}

// pair tells whether an item of so many stays with the next one: neither the first nor the last stands alone.
func pair(i, of int) bool { return i+1 < of && (i == 0 || i == of-2) }

// item sets an item with its number, dot or box before it.
func (w *pdfWriter) item(e *element, label string, texts []Text, s pdfStyle, gap float64, keep bool) {
	marker := w.oneLine(label, s)
	indent := max(5.5, marker.width+1.8)
	name, body := e.add("Lbl"), e.add("LBody")
	lines := w.lines(texts, s, w.column()-indent)
	if len(lines) == 0 {
		lines = []pdfLine{{}}
	}
	for i, l := range lines {
		first, last := i == 0, i == len(lines)-1
		c := chunk{height: s.leading(), keep: first && !last || i == len(lines)-2 || last && keep}
		if first {
			c.gap = gap
		}
		c.draw = func(y float64) {
			if first {
				w.begin(name)
				w.set(ended(marker, true), sideMargin+indent-1.8-marker.width, y+s.base(), s)
			}
			if len(l.fragments) > 0 {
				w.begin(body)
				w.set(ended(l, !last), sideMargin+indent, y+s.base(), s)
			}
		}
		w.add(c)
	}
}

// facts are terms in a column of their own.
func (w *pdfWriter) facts(f *Facts) {
	e := w.root.add("L")
	terms := 0.0
	for _, fact := range f.Facts {
		_, whole := w.widest(Plain(fact.Term), termStyle)
		terms = max(terms, whole)
	}
	terms = min(terms, 0.38*w.column())
	for i, fact := range f.Facts {
		item := e.add("LI")
		name, body := item.add("Lbl"), item.add("LBody")
		left := w.lines(Plain(fact.Term), termStyle, terms)
		if len(fact.Text) == 1 && isBlank(fact.Text[0].Words) {
			w.blank(name, left, terms+5, pair(i, len(f.Facts)))
			continue
		}
		right := w.lines(unbroken(fact.Text), bodyStyle, w.column()-terms-5)
		rows := max(len(left), len(right))
		for j := range rows {
			c := chunk{height: bodyStyle.leading(), keep: j == 0 && rows > 1 || j == rows-2 || j == rows-1 && pair(i, len(f.Facts))}
			if j == 0 {
				c.gap = lineGap * 0.6
			}
			if i == 0 && j == 0 {
				c.gap = blockGap
			}
			c.draw = func(y float64) {
				if j < len(left) {
					w.begin(name)
					w.set(ended(left[j], true), sideMargin, y+bodyStyle.base(), termStyle)
				}
				if j < len(right) {
					w.begin(body)
					w.set(ended(right[j], j < len(right)-1), sideMargin+terms+5, y+bodyStyle.base(), bodyStyle)
				}
			}
			w.add(c)
		}
	}
}

// blank is a line to write on, with room for a pen above it.
func (w *pdfWriter) blank(e *element, term []pdfLine, indent float64, keep bool) {
	const pen, length = 5, 100
	height := float64(max(1, len(term)))*bodyStyle.leading() + pen
	w.add(chunk{height: height, gap: lineGap, keep: keep, blank: true, draw: func(y float64) {
		top := y + height - float64(len(term))*bodyStyle.leading()
		for i, l := range term {
			w.begin(e)
			w.set(ended(l, true), sideMargin, top+float64(i)*bodyStyle.leading()+bodyStyle.base(), termStyle)
		}
		w.beginArtifact()
		from := float64(sideMargin + indent)
		w.line(from, y+height-0.6, min(from+length, w.width-sideMargin), y+height-0.6, 0.2, inkColour)
	}})
}

// boxed is lines that stand in one frame, one below the other.
type boxed struct {
	element *element
	line    pdfLine
	style   pdfStyle
	x       float64
	gap     float64 // above
	height  float64
	drop    float64 // of the base line, to stand on that of larger letters
	ended   bool
}

func stacked(e *element, lines []pdfLine, s pdfStyle, x, gap float64) []boxed {
	out := make([]boxed, len(lines))
	for i, l := range lines {
		out[i] = boxed{element: e, line: l, style: s, x: x, height: s.leading(), ended: i == len(lines)-1}
	}
	if len(out) > 0 {
		out[0].gap = gap
	}
	return out
}

// framed puts lines in a frame that is drawn by ground, in one chunk where a good part of a page holds it.
func (w *pdfWriter) framed(lines []boxed, padding, gap float64, ground func(y, height float64, first, last bool)) {
	for start := 0; start < len(lines); {
		height, end := 0.0, start
		for end < len(lines) && (end == start || height+lines[end].gap+lines[end].height+2*padding <= 0.8*w.most()) {
			if end > start {
				height += lines[end].gap
			}
			height += lines[end].height
			end++
		}
		part, first, last := lines[start:end], start == 0, end == len(lines)
		total := height + 2*padding
		c := chunk{height: total}
		if first {
			c.gap = gap
		}
		c.draw = func(y float64) {
			w.beginArtifact()
			ground(y, total, first, last)
			y += padding
			for i, b := range part {
				if i > 0 {
					y += b.gap
				}
				w.begin(b.element)
				w.set(ended(b.line, !b.ended), b.x, y+b.drop+b.style.base(), b.style)
				y += b.height
			}
		}
		w.add(c)
		start = end
	}
}

// noteLook is the bar and the ground of a note.
func noteLook(t Tone) (bar, ground drawing.Colour) {
	switch t {
	case Confirm:
		return drawing.Colour{R: 0, G: 90, B: 150}, drawing.Colour{R: 237, G: 244, B: 249}
	case Caution:
		return drawing.Colour{R: 160, G: 60, B: 0}, drawing.Colour{R: 251, G: 242, B: 232}
	}
	return drawing.Colour{R: 110, G: 116, B: 120}, drawing.Colour{R: 244, G: 245, B: 245}
}

func (w *pdfWriter) note(n *Note) {
	const bar, inset = 1.4, 4.5
	bars, ground := noteLook(n.Tone)
	e := w.root.add("Div")
	width := w.column() - inset - 3
	x := float64(sideMargin + inset)
	kind := pdfStyle{points: 9, bold: true, colour: bars}
	ask := bodyStyle
	ask.bold = true
	var all []boxed
	paragraph := func(texts []Text, s pdfStyle, gap float64) {
		if lines := w.lines(texts, s, width); len(lines) > 0 {
			all = append(all, stacked(e.add("P"), lines, s, x, gap)...)
		}
	}
	paragraph(Plain(n.Kind), kind, 0)
	paragraph(unbroken(n.Text), bodyStyle, 0.4)
	paragraph(unbroken(n.Ask), ask, 1)
	if n.Source != "" {
		paragraph(Plain(w.doc.Labels.Source+" "+n.Source), faintStyle, 1)
	}
	w.framed(all, 2.2, blockGap, func(y, height float64, _, _ bool) {
		w.fill(sideMargin, y, w.column(), height, ground)
		w.fill(sideMargin, y, bar, height, bars)
	})
}

func (w *pdfWriter) sum(s *Sum) {
	e := w.root.add("Div")
	term := pdfStyle{points: 10.5, bold: true, colour: inkColour}
	figure := pdfStyle{points: 17, bold: true, colour: inkColour}
	const inset = 4
	width := w.column() - 2*inset
	x := float64(sideMargin + inset)
	ground := func(y, height float64, first, last bool) {
		w.fill(sideMargin, y, w.column(), height, sumFill)
		if first {
			w.line(sideMargin, y, w.width-sideMargin, y, 0.5, inkColour)
		}
		if last {
			w.line(sideMargin, y+height, w.width-sideMargin, y+height, 0.5, inkColour)
		}
	}
	left, right := w.oneLine(s.Term, term), w.oneLine(s.Words, figure)
	var all []boxed
	if left.width+right.width+8 <= width { // side by side
		line := stacked(e.add("P"), []pdfLine{left}, term, x, 0)
		line[0].drop, line[0].height = figure.base()-term.base(), figure.leading()
		all = append(line, stacked(e.add("P"), []pdfLine{right}, figure, x+width-right.width, -figure.leading())...)
	} else {
		all = append(all, stacked(e.add("P"), w.lines(Plain(s.Term), term, width), term, x, 0)...)
		all = append(all, stacked(e.add("P"), w.lines(Plain(s.Words), figure, width), figure, x, 0)...)
	}
	if under := w.lines(Plain(s.Under), faintStyle, width); len(under) > 0 {
		all = append(all, stacked(e.add("P"), under, faintStyle, x, 0.8)...)
	}
	w.framed(all, 3, blockGap+1, ground)
}
