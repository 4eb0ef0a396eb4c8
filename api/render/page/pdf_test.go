package page_test

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api/render/drawing"
	"bedline/api/render/page"
)

// asPDF is a document as PDF.
func asPDF(t testing.TB, d *page.Document, p page.Paper) []byte {
	t.Helper()
	out, err := page.PDF(d, p)
	require.NoError(t, err)
	return out
}

// titled is a document of a heading and blocks.
func titled(blocks ...page.Block) *page.Document {
	return &page.Document{
		Title: "Title", Language: "en-US", Labels: page.Labels{Page: "Page {n} of {of}", Source: "Source:"},
		Blocks: append([]page.Block{&page.Heading{Level: 1, Words: "Title"}}, blocks...),
	}
}

// unpacked are the contents of all streams that are deflated, one after the other (ISO 32000-1, 7.3.8 and 7.4.4).
func unpacked(t testing.TB, pdf []byte) []string {
	t.Helper()
	var out []string
	for rest := pdf; ; {
		_, after, ok := bytes.Cut(rest, []byte("\nstream\n"))
		if !ok {
			return out
		}
		rest = after
		z, err := zlib.NewReader(bytes.NewReader(after))
		if err != nil {
			continue
		}
		content, err := io.ReadAll(z)
		require.NoError(t, err)
		out = append(out, string(content))
	}
}

var shownText = regexp.MustCompile(`(?s)Td \(((?:[^\\)]|\\.)*)\) Tj`)

// shown are the words of the pages, in the order in which they are drawn.
func shown(t testing.TB, pdf []byte) string {
	t.Helper()
	var b strings.Builder
	for _, content := range unpacked(t, pdf) {
		for _, m := range shownText.FindAllStringSubmatch(content, -1) {
			raw := regexp.MustCompile(`(?s)\\(.)`).ReplaceAllStringFunc(m[1], func(s string) string {
				if s[1] == 'r' {
					return "\r"
				}
				return s[1:]
			})
			require.Zero(t, len(raw)%2, "%q is no UTF-16", raw)
			units := make([]uint16, len(raw)/2)
			for i := range units {
				units[i] = uint16(raw[2*i])<<8 | uint16(raw[2*i+1])
			}
			b.WriteString(string(utf16.Decode(units)) + "\n")
		}
	}
	return b.String()
}

func pageCount(t testing.TB, pdf []byte) int {
	t.Helper()
	return strings.Count(strings.Join(unpacked(t, pdf), "\n"), "<</Type /Page\n")
}

func TestPDFIsTheSameEveryTimeAndFromManyAtOnce(t *testing.T) {
	t.Parallel()
	d := fullDocument(t)
	want := asPDF(t, d, page.Letter)
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			got, err := page.PDF(d, page.Letter)
			assert.NoError(t, err)
			assert.True(t, bytes.Equal(want, got), "the same document gave other bytes")
		})
	}
	all.Wait()
}

func TestPDFHasHeaderAndEndAndNoClock(t *testing.T) {
	t.Parallel()
	out := asPDF(t, fullDocument(t), page.A4)
	assert.True(t, bytes.HasPrefix(out, []byte("%PDF-1.7\n")))
	tail := regexp.MustCompile(`startxref\n(\d+)\n%%EOF\n$`).FindSubmatch(out)
	require.NotNil(t, tail)
	at, err := strconv.Atoi(string(tail[1]))
	require.NoError(t, err)
	assert.Regexp(t, `^\d+ 0 obj\n<</Type /XRef `, string(out[at:at+40]))
	all := string(out) + strings.Join(unpacked(t, out), "\n")
	for _, never := range []string{"CreationDate", "ModDate", "xmp:CreateDate", "FPDF", "/XObject /Image"} {
		assert.NotContains(t, all, never)
	}
	assert.Contains(t, all, "/Alt (Fills, inks and labels: Every fill, every ink, letters every way.)")
	assert.Contains(t, all, "/Lang (en-US)")
	assert.Contains(t, all, "/DisplayDocTitle true")
	assert.Contains(t, all, "/Marked true")
}

// Letter is 8.5 by 11 inches of 72 points; A4 is 210 by 297 mm (ISO 216).
func TestPDFHasTheSizeOfThePaper(t *testing.T) {
	t.Parallel()
	for p, box := range map[page.Paper]string{page.Letter: "[0 0 612.00 792.00]", page.A4: "[0 0 595.28 841.89]"} {
		out := asPDF(t, fullDocument(t), p)
		assert.Contains(t, strings.Join(unpacked(t, out), "\n"), "/MediaBox "+box)
		assert.Less(t, len(out), 150_000)
	}
}

func TestPDFNumbersItsPages(t *testing.T) {
	t.Parallel()
	out := asPDF(t, fullDocument(t), page.Letter)
	n := pageCount(t, out)
	assert.Greater(t, n, 4)
	words := shown(t, out)
	for i := 1; i <= n; i++ {
		assert.Equal(t, 1, strings.Count(words, fmt.Sprintf("Page %d of %d\n", i, n)))
	}
	assert.Equal(t, 1, pageCount(t, asPDF(t, titled(&page.Paragraph{Text: page.Plain("Short.")}), page.A4)))
}

func TestPDFShowsTheWordsOfEveryBlockInOrder(t *testing.T) {
	t.Parallel()
	words := shown(t, asPDF(t, fullDocument(t), page.Letter))
	at := 0
	for _, want := range []string{
		"Quote for a courtyard – Patio & path", "Dear customer, this is", "the whole", "Señor, mañana empezamos.", "Reference", "Q-17", "Valid until",
		"Total with tax", "$12,345.67", "Sales tax", "The work", "•", "First", "Last", "1.", "One", "2.", "Two", "☐", "Gloves", "Remark", "Nothing to do.",
		"Please confirm", "Is the gate 3 ft wide?", "Caution", "Silica dust", "Source: 29 CFR 1926.1153", "Quantities", "What goes in",
		"Item", "Description", "Rate", "☐", "Row A", "Crushed stone", "1,234.50", "12.5 yd³", "$12,345.00", "Total", "$925,875.00",
		"Drawings", "12′-3⅛″ Ä", "haloed", "All that drawings are made of.", "Plan", "Plan of the ground.", "Made from the same figures",
	} {
		i := strings.Index(words[at:], want)
		if assert.GreaterOrEqual(t, i, 0, "%q is missing, or out of its place", want) {
			at += i + len(want)
		}
	}
}

func TestTheHeadsOfATableStandOnEveryPageThatItTakes(t *testing.T) {
	t.Parallel()
	table := &page.Table{Columns: []page.Column{{Head: "Headed"}}}
	for i := range 200 {
		table.Rows = append(table.Rows, page.Row{Cells: [][]page.Text{page.Plain(strconv.Itoa(i))}})
	}
	out := asPDF(t, titled(table), page.Letter)
	n := pageCount(t, out)
	assert.Greater(t, n, 3)
	assert.Equal(t, n, strings.Count(shown(t, out), "Headed\n"))
}

func TestARowTallerThanAPageGoesOn(t *testing.T) {
	t.Parallel()
	var cell strings.Builder
	for i := range 1500 {
		cell.WriteString("word" + strconv.Itoa(i) + " ")
	}
	out := asPDF(t, titled(&page.Table{Columns: []page.Column{{Head: "Headed"}, {Head: "Long"}}, Rows: []page.Row{
		{Cells: [][]page.Text{page.Plain("Row"), page.Plain(cell.String())}}, {Cells: [][]page.Text{page.Plain("Next"), page.Plain("end")}},
	}}), page.Letter)
	words := shown(t, out)
	assert.Greater(t, pageCount(t, out), 2)
	for _, want := range []string{"word0 ", "word749 ", "word1499\n", "Next\n", "end\n"} {
		assert.Equal(t, 1, strings.Count(words, want), want)
	}
}

// hostile are words that could break what they are written into.
func hostile() map[string]string {
	return map[string]string{
		"syntax of PDF":           "(((\\) Tj ET Q endstream endobj %%EOF << >> /Type /Page\\",
		"controls":                "a\x00b\x01c\r\nd\te\x7ff\u0085g",
		"no UTF-8":                "a\xff\xfe\xc3(b\xf0\x9f\x98",
		"half a pair":             "a\xed\xa0\xbdb",
		"carriage return code":    "\u0d0d\u0a0a\u0d5c\u2829\u5c28",
		"turned about":            "\u202eabc\u202c \u2066x\u2069 \u200f",
		"marks on marks":          "Z" + strings.Repeat("\u0301", 300),
		"beyond the first 65,536": "\U00010000 \U0001F600 \U0010FFFF \uffff \ufffe",
		"nothing but spaces":      " \u00a0\u2003\u3000 ",
		"one long word":           strings.Repeat("W", 2000),
	}
}

func TestHostileWordsDoNoHarm(t *testing.T) {
	t.Parallel()
	for name, words := range hostile() {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			d := titled(
				&page.Heading{Level: 2, Words: "x" + words}, &page.Paragraph{Text: []page.Text{{Words: words, Language: words}}},
				&page.List{Items: [][]page.Text{page.Plain(words)}}, &page.Facts{Facts: []page.Fact{{Term: words, Text: page.Plain(words)}}},
				&page.Table{Caption: words, Columns: []page.Column{{Head: words}, {Head: words, Numbers: true}}, Rows: []page.Row{{Cells: [][]page.Text{page.Plain(words), page.Plain(words)}}}},
				&page.Figure{Caption: words, Sheet: &drawing.Sheet{Title: words, Description: words, Language: words, Width: 100, Height: 20, Items: []drawing.Item{
					&drawing.Label{Text: words, Size: 3, Turn: 30, Halo: true, At: drawing.Spot{X: 5, Y: 5}}, &drawing.Shape{}, &drawing.Shape{Fill: drawing.Stone, Ink: drawing.Thin},
				}}},
				&page.Note{Kind: words, Text: page.Plain(words), Ask: page.Plain(words), Source: words}, &page.Sum{Term: words, Words: words, Under: words},
				&page.Paragraph{Text: page.Plain("The end.")},
			)
			d.Title, d.Subject, d.Language, d.Labels.Page = words, words, words, "{n}{of}"+words
			out := asPDF(t, d, page.Letter)
			assert.Contains(t, shown(t, out), "The end.\n")
		})
	}
}

func TestWhatNoFontHasShowsAsReplacementAndStaysInTheText(t *testing.T) {
	t.Parallel()
	out := asPDF(t, titled(&page.Paragraph{Text: page.Plain("Ask 漢字 or 😀 today")}), page.Letter)
	assert.Contains(t, shown(t, out), "Ask \n\uFFFD\uFFFD\n or \n\uFFFD\n today\n")
	all := strings.Join(unpacked(t, out), "\n")
	assert.Contains(t, all, "/Span <</ActualText <FEFF6F225B57>>> BDC")
	assert.Contains(t, all, "/Span <</ActualText <FEFFD83DDE00>>> BDC")
}

func TestWordsInAnotherLanguageSaySo(t *testing.T) {
	t.Parallel()
	out := asPDF(t, titled(&page.Paragraph{Text: []page.Text{{Words: "Say "}, {Words: "cuidado", Language: "es-US"}, {Words: " loudly", Language: "en-US"}}}), page.Letter)
	all := strings.Join(unpacked(t, out), "\n")
	assert.Equal(t, 1, strings.Count(all, "/Span <</Lang (es-US)>> BDC"))
	assert.NotContains(t, all, "/Span <</Lang (en-US)>> BDC")
}

func TestADocumentWithoutTitleIsNone(t *testing.T) {
	t.Parallel()
	for name, d := range map[string]*page.Document{
		"nothing":           {},
		"no heading":        {Blocks: []page.Block{&page.Paragraph{}}},
		"a drawing missing": titled(&page.Figure{}),
	} {
		_, err := page.PDF(d, page.Letter)
		assert.Error(t, err, name)
	}
}

func TestEmptyBlocksTakeNoRoom(t *testing.T) {
	t.Parallel()
	out := asPDF(t, titled(&page.Paragraph{}, &page.List{}, &page.Facts{}, &page.Table{Columns: []page.Column{{}}}, &page.Note{}, &page.Sum{},
		&page.Figure{Sheet: &drawing.Sheet{}}), page.Letter)
	assert.Equal(t, 1, pageCount(t, out))
}

func TestLinesOfAPDFEndBetweenMeasures(t *testing.T) {
	t.Parallel()
	words := strings.TrimSpace(strings.Repeat("12 ft 10 3/8 in ", 60))
	out := asPDF(t, titled(
		&page.Paragraph{Text: page.Plain(words)},
		&page.List{Items: [][]page.Text{page.Plain(words)}},
		&page.Facts{Facts: []page.Fact{{Term: "Length", Text: page.Plain(words)}}},
		&page.Note{Kind: "Note", Text: page.Plain(words)},
		&page.Table{Columns: []page.Column{{Head: "A"}, {Head: "B"}}, Rows: []page.Row{{Cells: [][]page.Text{page.Plain("x"), page.Plain(words)}}}},
	), page.Letter)
	n := 0
	for line := range strings.Lines(shown(t, out)) {
		if strings.Contains(line, "ft") {
			n++
			assert.Regexp(t, `^(12 ft 10 3/8 in ?)+$`, strings.TrimSpace(line))
		}
	}
	assert.Greater(t, n, 25)
}

func TestALineToWriteOnIsDrawn(t *testing.T) {
	t.Parallel()
	text := shown(t, asPDF(t, titled(&page.Facts{Facts: []page.Fact{{Term: "Firma", Text: page.Plain("______________")}, {Term: "Fecha", Text: page.Plain("______________")}}}), page.A4))
	assert.Contains(t, text, "Firma")
	assert.Contains(t, text, "Fecha")
	assert.NotContains(t, text, "_")
}

func TestShortItemsStandInTwoColumns(t *testing.T) {
	t.Parallel()
	items := func(n int) [][]page.Text {
		var out [][]page.Text
		for i := range n {
			out = append(out, page.Plain(fmt.Sprintf("item %d", i+1)))
		}
		return out
	}
	for name, c := range map[string]struct {
		list  page.List
		pages int
	}{
		"in one column they take two pages":  {page.List{Items: items(50)}, 2},
		"in two columns they take one":       {page.List{Items: items(30), Columns: true}, 1},
		"more than half a page goes as ever": {page.List{Items: items(50), Columns: true}, 2},
		"so do boxes":                        {page.List{Items: items(50), Columns: true, Boxes: true}, 2},
		"and a single item":                  {page.List{Items: items(1), Columns: true}, 1},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			out := asPDF(t, titled(&c.list), page.Letter)
			assert.Equal(t, c.pages, pageCount(t, out))
			at := 0
			text := shown(t, out)
			for i := range c.list.Items {
				next := strings.Index(text[at:], fmt.Sprintf("item %d", i+1))
				assert.GreaterOrEqual(t, next, 0)
				at += max(next, 0)
			}
		})
	}
}

func TestWordsStayOnThePageOnWhichTheyAreSigned(t *testing.T) {
	t.Parallel()
	line := page.Plain("______________")
	for above := range 60 {
		d := titled(&page.List{Items: slices.Repeat([][]page.Text{page.Plain("x")}, above+1)},
			&page.Heading{Level: 2, Words: "Acceptance"}, &page.Paragraph{Text: page.Plain("I accept.")}, &page.Paragraph{Text: page.Plain("With one of these:")},
			&page.List{Items: [][]page.Text{page.Plain("one"), page.Plain("two")}, Boxes: true},
			&page.Facts{Facts: []page.Fact{{Term: "Name", Text: line}, {Term: "Signature", Text: line}, {Term: "Date", Text: line}, {Term: "Crew", Text: line}}})
		with := 0
		for _, content := range unpacked(t, asPDF(t, d, page.Letter)) {
			for _, m := range shownText.FindAllStringSubmatch(content, -1) {
				if words := strings.TrimSpace(strings.ReplaceAll(m[1], "\x00", "")); words == "Acceptance" || words == "Crew" {
					with++
				}
			}
			if with > 0 {
				break
			}
		}
		assert.Equal(t, 2, with, "%d lines above", above)
	}
}
