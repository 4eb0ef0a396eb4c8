package page

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// pagesOf are the pages that chunks come to lie on, by their heights; a page holds 100.
func pagesOf(chunks []chunk) [][]float64 {
	var out [][]float64
	w := &pdfWriter{height: headMargin + footMargin + 100}
	for i := range chunks {
		chunks[i].draw = func(y float64) { out[len(out)-1] = append(out[len(out)-1], y-headMargin) }
	}
	w.chunks = chunks
	for _, page := range w.paginate() {
		out = append(out, nil)
		for _, p := range page {
			p.draw(p.y)
		}
	}
	return out
}

func TestChunksAreLaidOnPages(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		chunks []chunk
		want   [][]float64
	}{
		"one below the other":                {[]chunk{{height: 40}, {height: 60}}, [][]float64{{0, 40}}},
		"what has no room goes on":           {[]chunk{{height: 40}, {height: 61}}, [][]float64{{0}, {0}}},
		"a gap counts":                       {[]chunk{{height: 40}, {height: 60, gap: 1}}, [][]float64{{0}, {0}}},
		"but not at the top of a page":       {[]chunk{{height: 40, gap: 9}, {height: 80, gap: 9}}, [][]float64{{0}, {0}}},
		"a heading goes with what follows":   {[]chunk{{height: 50}, {height: 10, keep: true}, {height: 50}}, [][]float64{{0}, {0, 10}}},
		"so do two headings":                 {[]chunk{{height: 50}, {height: 10, keep: true}, {height: 10, keep: true}, {height: 50}}, [][]float64{{0}, {0, 10, 20}}},
		"a chain longer than a page is cut":  {[]chunk{{height: 60, keep: true}, {height: 60, keep: true}, {height: 60}}, [][]float64{{0}, {0}, {0}}},
		"a part may begin a page":            {[]chunk{{height: 67}, {height: 10, breaks: true}}, [][]float64{{0}, {0}}},
		"but not where little is taken":      {[]chunk{{height: 66}, {height: 10, breaks: true}}, [][]float64{{0, 66}}},
		"but leaves no page empty before it": {[]chunk{{height: 10, breaks: true}}, [][]float64{{0}}},
		"what is too tall stands alone":      {[]chunk{{height: 10}, {height: 150}, {height: 10}}, [][]float64{{0}, {0}, {0}}},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			assert.Equal(t, c.want, pagesOf(c.chunks))
		})
	}
}

func TestFilesOfAnotherMakeAreRefused(t *testing.T) {
	t.Parallel()
	for _, raw := range []string{
		"", "startxref\n", "startxref\n0\n%%EOF", "x\nstartxref\n1\n", "%PDF\nxref\n0 2\n0000000000 65535 f \n0000000001 00000 n \ntrailer\n<<\n/Size 2\n/Root 9 0 R\n>>\nstartxref\n5\n%%EOF\n",
		"1 0 obj\n<<>>\nxref\n0 2\n0000000000 65535 f \n0000000000 00000 n \ntrailer\n<<\n/Root 1 0 R\n/Info 1 0 R\n>>\nstartxref\n13\n%%EOF\n",
	} {
		_, err := readPDF([]byte(raw))
		assert.ErrorIs(t, err, errNotAsWritten, "%q", raw)
	}
}

// Checked with what fc-query of fontconfig lists for the two files.
func TestTheFontsSayWhatTheyHave(t *testing.T) {
	t.Parallel()
	for _, font := range []string{regularFont, boldFont} {
		g, err := readGlyphs([]byte(font))
		assert.NoError(t, err)
		for _, r := range "AZaz09 ñáéíóúü¿¡ÑÁ°²³½¼¾⅛⅜⅝⅞′″–—•…×±≤≥☐€£$" + string(replacement) {
			assert.True(t, g.has(r), "%q", r)
		}
		for _, r := range "漢字한あ\u0378\uffff😀" {
			assert.False(t, g.has(r), "%q", r)
		}
	}
	_, err := readGlyphs(nil)
	assert.Error(t, err)
	_, err = readGlyphs([]byte(regularFont[:4000]))
	assert.Error(t, err)
}

func TestFactsStayWithTheTableTheyLeadTo(t *testing.T) {
	t.Parallel()
	table := &Table{Caption: "Goods", Columns: []Column{{Head: "What"}}}
	for range 30 { // more than what is kept whole for being short
		table.Rows = append(table.Rows, Row{Cells: [][]Text{Plain("stone")}})
	}
	for name, c := range map[string]struct {
		next Block
		kept bool
	}{
		"a table":       {table, true},
		"another block": {&Note{Kind: "Caution", Text: Plain(strings.Repeat("Lift with two. ", 200))}, false},
	} {
		w := newPDFWriter(&Document{Title: "Goods", Language: "en", Blocks: []Block{
			&Heading{Level: 1, Words: "Goods"}, &Facts{Facts: []Fact{{Term: "Supplier", Text: Plain("yard")}, {Term: "Trips", Text: Plain("2")}}}, c.next,
		}}, Letter)
		_, err := w.document()
		assert.NoError(t, err)
		assert.Equal(t, c.kept, w.chunks[3].keep, "the last of two facts before %s", name) // after a heading and its rule
	}
}

func TestShortPartsStayWholeAndLongOnesDoNot(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		heights []float64
		whole   bool
	}{
		"a heading and a signature": {[]float64{10, 20, 20, 7}, true},
		"a heading and a list":      {[]float64{10, 20, 20, 20}, false},
	} {
		w := &pdfWriter{parts: []int{0}}
		for _, h := range c.heights {
			w.add(chunk{height: h})
		}
		w.tieShortParts()
		for i, k := range w.chunks[:len(w.chunks)-1] {
			assert.Equal(t, c.whole, k.keep, "%s: chunk %d", name, i)
		}
		assert.False(t, w.chunks[len(w.chunks)-1].keep, "the next part may begin a page")
	}
}
