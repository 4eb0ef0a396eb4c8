package page

import "strings"

// Room round the words of a cell, in millimetres.
const (
	cellSide = 1.6
	cellTop  = 1.1
)

// tableCell is a cell that is broken into lines.
type tableCell struct {
	element *element
	lines   []pdfLine
	style   pdfStyle
}

// table sets rows with hairlines between them. The heads stand again at the top of every page, and sums stay with what
// they add up.
func (w *pdfWriter) table(t *Table) {
	e := w.root.add("Table")
	first := len(w.chunks)
	if caption := w.lines(Plain(t.Caption), captionStyle, w.column()); len(caption) > 0 {
		name := e.add("Caption")
		for i, l := range caption {
			w.add(chunk{height: captionStyle.leading(), keep: true, draw: func(y float64) {
				w.begin(name)
				w.set(ended(l, i < len(caption)-1), sideMargin, y+captionStyle.base(), captionStyle)
			}})
		}
		w.add(chunk{height: 0.8, keep: true, draw: func(float64) {}})
	}
	box := w.boxWidth(t)
	widths, fit := w.columnWidths(t.unbroken(), box)
	if fit {
		t = t.unbroken()
	} else {
		widths, _ = w.columnWidths(t, box)
	}
	head := w.tableHead(e.add("THead"), t, widths, box)
	if head != nil {
		w.add(*head)
	}
	body := e.add("TBody")
	for i := range t.Rows {
		keep := i+1 < len(t.Rows) && (t.Rows[i+1].Sum && !w.sumsFrom(t, i+1) || i == 0 && len(t.Rows) > 2)
		w.tableRow(body.add("TR"), t, i, widths, box, head, keep)
	}
	if first < len(w.chunks) {
		w.chunks[first].gap = blockGap
	}
	if len(t.Rows) > 0 {
		w.add(chunk{height: 0.4, draw: func(float64) {}})
		w.chunks[len(w.chunks)-2].keep = true
	}
	w.tieShort(first, len(w.chunks), short)
}

// sumsFrom tells whether nothing but many sums follow, which then may be parted.
func (w *pdfWriter) sumsFrom(t *Table, i int) bool {
	n := 0
	for ; i < len(t.Rows) && t.Rows[i].Sum; i++ {
		n++
	}
	return n > 8
}

func (w *pdfWriter) boxWidth(t *Table) float64 {
	for i := range t.Rows {
		if t.Rows[i].Box {
			return w.oneLine(box, cellStyle).width + 1.6
		}
	}
	return 0
}

// columnWidths shares the width out: by the shares where any is stated, by what stands in the columns otherwise. No
// column is narrower than its widest word as far as that goes, which is told.
func (w *pdfWriter) columnWidths(t *Table, box float64) (shared []float64, fit bool) {
	strong := cellStyle
	strong.bold = true
	total := w.column()
	least, natural := make([]float64, len(t.Columns)), make([]float64, len(t.Columns))
	widths, sum, stated, need := make([]float64, len(t.Columns)), 0.0, false, 0.0
	for i, c := range t.Columns {
		widest, longest := w.widest(Plain(c.Head), strong)
		longest = min(longest, max(widest, 0.15*total)) // heads may wrap
		for r := range t.Rows {
			s := cellStyle
			s.bold = t.Rows[r].Sum
			word, whole := w.widest(t.Rows[r].Cells[i], s)
			if c.Numbers && whole < 0.22*total {
				word = whole // a number stays beside its unit
			}
			widest, longest = max(widest, word), max(longest, whole)
		}
		room := 2*cellSide + t.indent(i, box) + 0.1
		least[i] = min(widest+room, 0.4*total)
		need += widest + room
		natural[i] = min(longest+room, 0.6*total)
		widths[i] = 1
		if c.Share > 0 {
			widths[i], stated = c.Share, true
		}
		sum += widths[i]
	}
	if stated {
		for i := range widths {
			widths[i] *= total / sum
		}
		return atLeast(widths, least), need <= total
	}
	low, high := 0.0, 0.0
	for i := range widths {
		natural[i] = max(natural[i], least[i])
		low, high = low+least[i], high+natural[i]
	}
	for i := range widths {
		switch {
		case high <= total:
			widths[i] = natural[i] * total / high
		case low < total:
			widths[i] = least[i] + float64((natural[i]-least[i])*(total-low)/(high-low))
		default:
			widths[i] = least[i] * total / low
		}
	}
	return widths, need <= total
}

// atLeast takes what one column lacks from what the others have over.
func atLeast(widths, least []float64) []float64 {
	lack, over := 0.0, 0.0
	for i := range widths {
		lack += max(0, least[i]-widths[i])
		over += max(0, widths[i]-least[i])
	}
	if lack == 0 || over == 0 {
		return widths
	}
	moved := min(lack, over)
	for i := range widths {
		if d := widths[i] - least[i]; d > 0 {
			widths[i] -= d * moved / over
		} else {
			widths[i] -= d * moved / lack
		}
	}
	return widths
}

// indent is room at the left of a column: for boxes, and after numbers, which stand at the right of theirs.
func (t *Table) indent(column int, box float64) float64 {
	switch {
	case column == 0:
		return box
	case t.Columns[column-1].Numbers && !t.Columns[column].Numbers:
		return 3
	}
	return 0
}

// tableHead is the row of heads, nil where all are empty.
func (w *pdfWriter) tableHead(e *element, t *Table, widths []float64, box float64) *chunk {
	s := cellStyle
	s.bold = true
	row := e.add("TR")
	var cells []tableCell
	height, words := 0.0, ""
	for i, c := range t.Columns {
		kind := "TH"
		if oneLine(c.Head) == "" {
			kind = "TD"
		}
		cell := tableCell{element: row.add(kind), style: s}
		if kind == "TH" {
			cell.element.attributes = "<</O /Table /Scope /Column>>"
		}
		cell.lines = w.lines(Plain(c.Head), s, widths[i]-2*cellSide-t.indent(i, box))
		words += oneLine(c.Head)
		height = max(height, float64(len(cell.lines))*s.leading())
		cells = append(cells, cell)
	}
	if words == "" {
		e.parts = nil
		return nil
	}
	height += 2 * cellTop
	again := false
	return &chunk{height: height, keep: true, draw: func(y float64) {
		w.beginArtifact()
		w.fill(sideMargin, y, w.column(), height, headFill)
		w.line(sideMargin, y+height, w.width-sideMargin, y+height, 0.3, inkColour)
		x := float64(sideMargin)
		for i, cell := range cells {
			// Heads stand on the foot of their row, beside the numbers below them.
			top := y + height - cellTop - float64(float64(len(cell.lines))*s.leading())
			w.tableWords(cell, cell.lines, x, top, widths[i], t.indent(i, box), t.Columns[i].Numbers, !again)
			x += widths[i]
		}
		again = true
	}}
}

// tableWords sets lines of a cell. They belong to it, or to nobody where they are said again.
func (w *pdfWriter) tableWords(c tableCell, lines []pdfLine, x, y, width, indent float64, right, tagged bool) {
	for j, l := range lines {
		if tagged {
			w.begin(c.element)
		}
		at := x + cellSide + indent
		if right {
			at = x + width - cellSide - l.width
		}
		w.set(ended(l, j < len(lines)-1), at, y+c.style.base(), c.style)
		y += c.style.leading()
	}
}

func (w *pdfWriter) tableRow(e *element, t *Table, number int, widths []float64, boxed float64, head *chunk, keep bool) {
	row := t.Rows[number]
	s := cellStyle
	s.bold = row.Sum
	var cells []tableCell
	most := 1
	for i, texts := range row.Cells {
		kind, attributes := "TD", ""
		if i == 0 && strings.TrimSpace(joined(texts)) != "" {
			kind, attributes = "TH", "<</O /Table /Scope /Row>>"
		}
		cell := tableCell{element: e.add(kind), style: s}
		cell.element.attributes = attributes
		cell.lines = w.lines(texts, s, widths[i]-2*cellSide-t.indent(i, boxed))
		most = max(most, len(cell.lines))
		cells = append(cells, cell)
	}
	// A row that no page holds goes over pages by lines.
	room := w.most() - 2*cellTop
	if head != nil {
		room -= head.height
	}
	perPage := max(1, int(0.9*room/s.leading()))
	above := number > 0 && t.Rows[number-1].Sum
	for start := 0; start < most; start += perPage {
		end := min(start+perPage, most)
		first, last := start == 0, end == most
		height := float64(float64(end-start)*s.leading()) + 2*cellTop
		c := chunk{height: height, head: head, keep: keep && last}
		c.draw = func(y float64) {
			w.beginArtifact()
			if row.Sum {
				w.fill(sideMargin, y, w.column(), height, sumFill)
				if first && !above {
					w.line(sideMargin, y, w.width-sideMargin, y, 0.3, inkColour)
				}
			}
			if last {
				w.line(sideMargin, y+height, w.width-sideMargin, y+height, 0.12, hairColour)
			}
			if row.Box && first {
				w.begin(cells[0].element)
				w.set(ended(w.oneLine(box, s), true), sideMargin+cellSide, y+cellTop+s.base(), s)
			}
			x := float64(sideMargin)
			for i, cell := range cells {
				lines := cell.lines[min(start, len(cell.lines)):min(end, len(cell.lines))]
				w.tableWords(cell, lines, x, y+cellTop, widths[i], t.indent(i, boxed), t.Columns[i].Numbers, true)
				x += widths[i]
			}
		}
		w.add(c)
	}
}

func joined(texts []Text) string {
	var b strings.Builder
	for _, t := range texts {
		b.WriteString(t.Words)
	}
	return b.String()
}
