package table

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	"bedline/api/render/locale"
	"bedline/pricing"
	"bedline/pricing/money"
)

// Workbook is the quote as an Office Open XML workbook: a sheet for each table, with typed cells and formulas that reckon
// the totals, the taxes and the payments again from the line items. Formulas come with their values, for programs that
// reckon nothing. What a search finds, the part of the price that brings it to a multiple, stands as a value.
func Workbook(q *pricing.Quote, l *locale.Locale) ([]byte, error) {
	b := &book{sheets: sheets{q, l}, file: excelize.NewFile(), currency: q.List.Currency}
	defer func() { _ = b.file.Close() }() // nothing of it lies on a disk
	if err := b.write(); err != nil {
		return nil, fmt.Errorf("writing a workbook: %w", err)
	}
	var out bytes.Buffer
	if err := b.file.Write(&out); err != nil {
		return nil, fmt.Errorf("writing a workbook: %w", err)
	}
	text, err := steady(out.Bytes())
	if err != nil {
		return nil, fmt.Errorf("writing a workbook: %w", err)
	}
	return text, nil
}

type book struct {
	sheets
	file     *excelize.File
	currency money.Currency

	head, text, wrapped, whole, number, money, quantity, date, moment int // styles
	strong, strongMoney                                               int
	count                                                             int // of sheets
}

func (b *book) write() error {
	if err := b.styles(); err != nil {
		return err
	}
	q, l := b.quote, b.words
	tables := []*Table{LineItems(q, l)}
	if err := b.tables(tables...); err != nil {
		return err
	}
	if err := b.reckoned(tables[0]); err != nil {
		return err
	}
	if err := b.tables(Shopping(q, l), suppliers(q, l), Cuts(q, l), tasks(q, l), setOut(q, l), loads(q, l), options(q, l)); err != nil {
		return err
	}
	return b.properties()
}

// tables writes a sheet for each table that has rows; the first one always.
func (b *book) tables(list ...*Table) error {
	for _, t := range list {
		if len(t.Rows) == 0 && b.count > 0 {
			continue
		}
		if err := b.table(t); err != nil {
			return fmt.Errorf("the sheet %s: %w", t.Name, err)
		}
	}
	return nil
}

func (b *book) styles() error {
	thin := []excelize.Border{{Type: "bottom", Style: 1, Color: "404040"}}
	top := &excelize.Alignment{Vertical: "top"}
	left := &excelize.Alignment{Vertical: "top", Horizontal: "left", Indent: 1} // apart from a number before it
	amounts, quantities := "#,##0", "#,##0.00"
	if d := b.currency.Digits; d > 0 {
		amounts += "." + strings.Repeat("0", d)
	}
	date, moment := b.say("format.date"), b.say("format.moment")
	for _, s := range []struct {
		to    *int
		style excelize.Style
	}{
		{&b.head, excelize.Style{Font: &excelize.Font{Bold: true, Family: "Calibri", Size: 11}, Border: thin, Alignment: &excelize.Alignment{Vertical: "top", Horizontal: "left", Indent: 1, WrapText: true},
			Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"E8E8E8"}}}},
		{&b.text, excelize.Style{Alignment: left}},
		{&b.wrapped, excelize.Style{Alignment: &excelize.Alignment{Vertical: "top", Horizontal: "left", Indent: 1, WrapText: true}}},
		{&b.whole, excelize.Style{NumFmt: 1, Alignment: top}},
		{&b.number, excelize.Style{Alignment: top}},
		{&b.money, excelize.Style{CustomNumFmt: &amounts, Alignment: top}},
		{&b.quantity, excelize.Style{CustomNumFmt: &quantities, Alignment: top}},
		{&b.date, excelize.Style{CustomNumFmt: &date, Alignment: &excelize.Alignment{Vertical: "top", Horizontal: "right"}}},
		{&b.moment, excelize.Style{CustomNumFmt: &moment, Alignment: &excelize.Alignment{Vertical: "top", Horizontal: "right"}}},
		{&b.strong, excelize.Style{Font: &excelize.Font{Bold: true, Family: "Calibri", Size: 11}, Alignment: left}},
		{&b.strongMoney, excelize.Style{Font: &excelize.Font{Bold: true, Family: "Calibri", Size: 11}, CustomNumFmt: &amounts, Alignment: top}},
	} {
		id, err := b.file.NewStyle(&s.style)
		if err != nil {
			return fmt.Errorf("a style: %w", err)
		}
		*s.to = id
	}
	return nil
}

// page is a sheet that is being written.
type page struct {
	*excelize.StreamWriter
	name string
	row  int
}

// begin begins a sheet with its header line, which stays in sight and comes again on every printed page.
// So many of its first columns are printed.
func (b *book) begin(name string, titles []string, widths []float64, rows, printed int) (*page, error) {
	if b.count == 0 {
		if err := b.file.SetSheetName(b.file.GetSheetName(0), name); err != nil {
			return nil, err
		}
	} else if _, err := b.file.NewSheet(name); err != nil {
		return nil, err
	}
	b.count++
	last, err := excelize.CoordinatesToCellName(len(titles), max(rows, 1)+1)
	if err != nil {
		return nil, err
	}
	if err := b.layout(name, last); err != nil {
		return nil, err
	}
	area := quoted(name) + "!$A$1:$" + letter(printed) + "$" + strconv.Itoa(max(rows, 1)+1)
	if err := b.file.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Area", RefersTo: area, Scope: name}); err != nil {
		return nil, err
	}
	w, err := b.file.NewStreamWriter(name)
	if err != nil {
		return nil, err
	}
	for i, width := range widths {
		if err := w.SetColWidth(i+1, i+1, width); err != nil {
			return nil, err
		}
	}
	if err := w.SetPanes(&excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}); err != nil {
		return nil, err
	}
	p := &page{StreamWriter: w, name: name}
	heads := make([]any, len(titles))
	for i, t := range titles {
		heads[i] = excelize.Cell{StyleID: b.head, Value: t}
	}
	p.row++
	return p, p.SetRow("A1", heads, excelize.RowOpts{Height: lineHigh * float64(lines(titles, widths))})
}

// lineHigh is the height of a line in points.
const lineHigh = 15

// lines is how many lines the tallest of the titles takes, broken between words.
func lines(titles []string, widths []float64) int {
	most := 1
	for i, title := range titles {
		n, left := 1, widths[i]-2 // bold letters are wider, and a button to filter by has its place
		for _, word := range strings.Fields(title) {
			if long := float64(utf8.RuneCountInString(word)) * 1.1; long > left && left < widths[i]-2 {
				n, left = n+1, widths[i]-2-long
			} else {
				left -= long + 1
			}
		}
		most = max(most, n)
	}
	return most
}

// add writes the next row.
func (p *page) add(cells []any) error {
	p.row++
	at, err := excelize.CoordinatesToCellName(1, p.row)
	if err != nil {
		return err
	}
	return p.SetRow(at, cells)
}

// layout sets up a sheet for printing and for those who look at it.
func (b *book) layout(name, last string) error {
	paper := 9 // A4
	if b.words.Tag() != "en-GB" {
		paper = 1 // Letter
	}
	orientation, wide, high, fit := "landscape", 1, 0, true
	if err := b.file.AutoFilter(name, "A1:"+last, nil); err != nil { // first: it drops what the sheet's properties were
		return err
	}
	if err := b.file.SetSheetDimension(name, "A1:"+last); err != nil {
		return err
	}
	if err := b.file.SetPageLayout(name, &excelize.PageLayoutOptions{Size: &paper, Orientation: &orientation, FitToWidth: &wide, FitToHeight: &high}); err != nil {
		return err
	}
	if err := b.file.SetSheetProps(name, &excelize.SheetPropsOptions{FitToPage: &fit}); err != nil {
		return err
	}
	title := strings.TrimSpace(b.quote.Job.Reference + " " + b.quote.Job.Title)
	if utf8.RuneCountInString(title) > 80 {
		title = string([]rune(title)[:79]) + "…"
	}
	heads := excelize.HeaderFooterOptions{OddHeader: "&L" + printed(title) + "&R&A", OddFooter: "&L" + printed(b.say("footer")) + "&R&P / &N"}
	if err := b.file.SetHeaderFooter(name, &heads); err != nil {
		return err
	}
	return b.file.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", RefersTo: quoted(name) + "!$1:$1", Scope: name})
}

// printed is a text in a page header, where an ampersand begins a code.
func printed(s string) string { return strings.ReplaceAll(s, "&", "&&") }

// quoted is the name of a sheet in a formula.
func quoted(name string) string { return "'" + strings.ReplaceAll(name, "'", "''") + "'" }

// table writes a table as a sheet.
func (b *book) table(t *Table) error {
	var titles []string
	printed := 0
	for i := range t.Columns {
		c := &t.Columns[i]
		titles = append(titles, c.Title)
		if c.Kind == Quantity {
			titles = append(titles, t.unit(c.Title))
		}
		if !c.isKey() {
			printed = len(titles)
		}
	}
	p, err := b.begin(t.Title, titles, widths(t), len(t.Rows), printed)
	if err != nil {
		return err
	}
	for _, row := range t.Rows {
		var cells []any
		for i := range t.Columns {
			cells = b.appendCell(cells, t.Columns[i].Kind, &row[i])
		}
		if err := p.add(cells); err != nil {
			return err
		}
	}
	return p.Flush()
}

func (b *book) appendCell(cells []any, kind Kind, c *Cell) []any {
	if kind == Text {
		if c.Words == "" {
			return append(cells, nil)
		}
		style := b.text
		if utf8.RuneCountInString(c.Words) > widest {
			style = b.wrapped
		}
		return append(cells, excelize.Cell{StyleID: style, Value: c.Words})
	}
	if !c.There {
		cells = append(cells, nil)
		if kind == Quantity {
			cells = append(cells, nil)
		}
		return cells
	}
	switch kind {
	case Whole:
		return append(cells, b.value(b.whole, c.Number))
	case Number:
		style := b.number
		if c.Number.Scale() > 4 { // a ratio: two digits are seen, all are there
			style = b.quantity
		}
		return append(cells, b.value(style, c.Number))
	case Money:
		return append(cells, b.amount(c.Amount))
	case Quantity:
		style := b.quantity
		if c.Quantity.Unit == "each" || c.Quantity.Unit == "roll" {
			style = b.number
		}
		return append(cells, excelize.Cell{StyleID: style, Value: numeric(plain(c.Quantity.Value))}, excelize.Cell{StyleID: b.text, Value: c.Quantity.Unit})
	case Date:
		return append(cells, excelize.Cell{StyleID: b.date, Value: serial(int(c.Day), 0)})
	case Moment:
		return append(cells, excelize.Cell{StyleID: b.moment, Value: serial(int(c.Moment.Day()), c.Moment.Minute())})
	case Text:
	}
	return cells
}

// widest is the most characters that a column is made wide for.
const widest = 46

// widths are those of the columns in characters, as wide as what stands in them.
func widths(t *Table) []float64 {
	var out []float64
	wide := func(title string, at func(row []Cell) string) {
		n := 8
		for _, word := range strings.Fields(title) {
			n = max(n, utf8.RuneCountInString(word))
		}
		for _, row := range t.Rows {
			n = max(n, utf8.RuneCountInString(at(row)))
		}
		out = append(out, float64(min(n, widest)+3))
	}
	for i := range t.Columns {
		c := &t.Columns[i]
		if c.Kind == Quantity {
			wide(c.Title, func([]Cell) string { return "" })
			wide(t.unit(c.Title), func(row []Cell) string { return row[i].Quantity.Unit })
			continue
		}
		wide(c.Title, func(row []Cell) string {
			if line := t.appendCell(nil, c.Kind, &row[i]); len(line) > 0 {
				return line[0]
			}
			return ""
		})
	}
	return out
}

// properties are those of the document.
func (b *book) properties() error {
	title := b.quote.Job.Title
	if title == "" {
		title = b.quote.Job.Reference
	}
	at := stamp(b.quote).Format(time.RFC3339)
	if err := b.file.SetDocProps(&excelize.DocProperties{Title: b.say("document", "job", title), Subject: b.quote.Job.Reference, Creator: "Bedline", LastModifiedBy: "Bedline",
		Description: b.say("footer"), Language: b.words.Tag(), Created: at, Modified: at, Identifier: b.quote.ID}); err != nil {
		return err
	}
	if err := b.file.SetAppProps(&excelize.AppProperties{Application: "Bedline"}); err != nil {
		return err
	}
	full := true
	return b.file.SetCalcProps(&excelize.CalcPropsOptions{FullCalcOnLoad: &full})
}

// stamp is the moment that the document is from: the day of the quote, or else that of its price list.
func stamp(q *pricing.Quote) time.Time {
	if !q.Terms.QuotedOn.IsZero() {
		return q.Terms.QuotedOn.UTC().Truncate(24 * time.Hour)
	}
	if t, err := time.Parse(time.DateOnly, q.List.Effective); err == nil {
		return t
	}
	return time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)
}

// steady packs the parts of a document anew, sorted and all of one time, so that the same quote gives the same bytes: the
// streams of excelize come in the order of a map. The list of content types comes first, as readers like it.
func steady(text []byte) ([]byte, error) {
	in, err := zip.NewReader(bytes.NewReader(text), int64(len(text)))
	if err != nil {
		return nil, err
	}
	const first = "[Content_Types].xml"
	files := slices.SortedFunc(slices.Values(in.File), func(a, b *zip.File) int {
		switch {
		case a.Name == first:
			return -1
		case b.Name == first:
			return 1
		}
		return strings.Compare(a.Name, b.Name)
	})
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, f := range files {
		from, err := f.Open()
		if err != nil {
			return nil, err
		}
		to, err := w.CreateHeader(&zip.FileHeader{Name: f.Name, Method: zip.Deflate, Modified: time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)})
		if err != nil {
			return nil, err
		}
		if _, err := io.Copy(to, from); err != nil {
			return nil, err
		}
		if err := from.Close(); err != nil {
			return nil, err
		}
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}
