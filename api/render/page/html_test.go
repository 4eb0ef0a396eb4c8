package page_test

import (
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"

	"bedline/api/render/drawing"
	"bedline/api/render/page"
)

var update = flag.Bool("update", false, "write the golden pages anew")

func sketch() *drawing.Sheet {
	s := &drawing.Sheet{Title: "Plan of the bed", Description: "A bed of two by one metres with a tree.", Language: "en-US", Width: 180, Height: 80}
	s.Add(drawing.Rectangle(20, 10, 140, 60, drawing.Stone, drawing.Outline),
		drawing.Rectangle(20, 64, 70, 6, drawing.CutFill, drawing.Joint),
		drawing.Circle(60, 40, 8, drawing.Tree, drawing.Outline),
		drawing.Circle(60, 40, 20, drawing.NoFill, drawing.Warning),
		&drawing.Label{At: drawing.Spot{X: 90, Y: 40}, Text: "bed <1> & more", Size: 2.5, Ink: drawing.WordsInk, Halo: true})
	return s
}

func text(words ...string) [][]page.Text {
	out := make([][]page.Text, len(words))
	for i, w := range words {
		if w != "" {
			out[i] = page.Plain(w)
		}
	}
	return out
}

// small has a block of every type.
func small() *page.Document {
	return &page.Document{
		Title: "Bed by the gate", Language: "es-US", Subject: "Todo lo que hay",
		Labels: page.Labels{Page: "Página {n} de {of}", Contents: "Contenido", Source: "Fuente:", Enlarge: "Ampliar", Whole: "Ver todo"},
		Blocks: []page.Block{
			&page.Heading{Level: 1, Words: "Bed by the gate"},
			&page.Facts{Facts: []page.Fact{{Term: "Referencia", Text: page.Plain("B-1")}, {Term: "Fecha", Text: page.Plain("3 de mayo")}}},
			&page.Sum{Term: "Precio", Words: "$1,234.56", Under: "con impuestos"},
			&page.Heading{Level: 2, Words: "Trabajo"},
			&page.Paragraph{Text: []page.Text{{Words: "Se excava "}, {Words: "a mano", Strong: true}, {Words: "; "}, {Words: "call before you dig", Language: "en-US"}, {Words: "."}}},
			&page.List{Items: text("uno", "dos"), Ordered: true},
			&page.List{Items: text("tres", "cuatro"), Boxes: true},
			&page.Heading{Level: 3, Words: "Plano"},
			&page.Figure{Sheet: sketch(), Caption: "El plano a escala"},
			&page.Heading{Level: 2, Words: "Cortes", Break: true},
			&page.Table{Caption: "Lista de cortes", Columns: []page.Column{{Head: "Pieza", Share: 2}, {Head: "Medida", Numbers: true}, {Head: "Lugar donde se coloca"}, {Head: "Observaciones"}},
				Rows: []page.Row{
					{Cells: text("A1", "7 1/8 in", "esquina del lado norte", "corte en cuña"), Box: true},
					{Cells: text("A2", "12 ft 11 7/8 in y 3 más", "lado sur", ""), Box: true},
					{Cells: text("Total", "20 in", "", ""), Sum: true}}},
			&page.Table{Columns: []page.Column{{Head: ""}, {Head: "Importe", Numbers: true}}, Rows: []page.Row{{Cells: text("Piedra", "$12.00")}, {Cells: text("", "$3.00")}}},
			&page.Heading{Level: 2, Words: "Avisos"},
			&page.Note{Tone: page.Info, Kind: "Nota", Text: page.Plain("La piedra se asienta.")},
			&page.Note{Tone: page.Confirm, Kind: "Por confirmar", Text: page.Plain("Hay un árbol."), Ask: page.Plain("¿De qué especie?")},
			&page.Note{Tone: page.Caution, Kind: "Cuidado", Text: []page.Text{{Words: "Wear eye protection.", Language: "en-US"}}, Source: "norma local"},
			&page.Heading{Level: 2, Words: "Plazos"},
			&page.Paragraph{Text: page.Plain("Tres días.")},
			&page.Facts{Facts: []page.Fact{{Term: "Firma", Text: page.Plain("______________________________")}}},
			&page.Paragraph{Text: page.Plain("Medidas redondeadas."), Faint: true},
		},
	}
}

// wellFormed holds a page to the strict rules of XML and gives it as a browser's parser reads it (WHATWG HTML, 13.2, by
// golang.org/x/net/html).
func wellFormed(t *testing.T, text []byte) *html.Node {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(string(text)))
	for {
		_, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
	}
	root, err := html.Parse(strings.NewReader(string(text)))
	require.NoError(t, err)
	return root
}

func all(root *html.Node, is func(*html.Node) bool) []*html.Node {
	var out []*html.Node
	for n := range root.Descendants() {
		if n.Type == html.ElementNode && is(n) {
			out = append(out, n)
		}
	}
	return out
}

func named(root *html.Node, tags ...atom.Atom) []*html.Node {
	return all(root, func(n *html.Node) bool {
		for _, tag := range tags {
			if n.DataAtom == tag {
				return true
			}
		}
		return false
	})
}

func attribute(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

func words(n *html.Node) string {
	var b strings.Builder
	for c := range n.Descendants() {
		if c.Type == html.TextNode {
			b.WriteString(c.Data)
		}
	}
	return strings.TrimSpace(b.String())
}

func written(t *testing.T, d *page.Document) []byte {
	t.Helper()
	out, err := page.HTML(d)
	require.NoError(t, err)
	return out
}

func TestADocumentOfEveryBlockIsTheHTMLExpected(t *testing.T) {
	t.Parallel()
	out := written(t, small())
	golden := filepath.Join("testdata", "small.html")
	if *update {
		require.NoError(t, os.WriteFile(golden, out, 0o600))
	}
	want, err := os.ReadFile(golden)
	require.NoError(t, err)
	assert.Equal(t, string(want), string(out))
	assert.Equal(t, string(out), string(written(t, small())), "the same twice")
}

func TestAPageIsWellFormedAndNeedsNothingBesidesItself(t *testing.T) {
	t.Parallel()
	out := written(t, small())
	root := wellFormed(t, out)
	assert.True(t, strings.HasPrefix(string(out), "<!DOCTYPE html>\n"))
	assert.NotContains(t, string(out), "http")
	for _, no := range []atom.Atom{atom.Script, atom.Link, atom.Img, atom.Iframe, atom.Object, atom.Embed, atom.Base, atom.Form, atom.Input} {
		assert.Empty(t, named(root, no), no.String())
	}
	for _, n := range all(root, func(*html.Node) bool { return true }) {
		for _, a := range n.Attr {
			assert.False(t, strings.HasPrefix(a.Key, "on"), a.Key)
			if a.Key == "href" || a.Key == "src" || a.Key == "xlink:href" {
				assert.True(t, strings.HasPrefix(a.Val, "#"), a.Val)
			}
		}
	}
	style := words(named(root, atom.Style)[0])
	assert.NotContains(t, style, "url(")
	assert.NotContains(t, style, "@import")
}

func TestIdsAreUniqueAndReferencesFindThem(t *testing.T) {
	t.Parallel()
	d := small()
	d.Blocks = append(d.Blocks, &page.Figure{Sheet: sketch(), Caption: "again"}, &page.Figure{Sheet: sketch()})
	out := written(t, d)
	root := wellFormed(t, out)
	ids := map[string]bool{}
	for _, n := range all(root, func(n *html.Node) bool { return attribute(n, "id") != "" }) {
		id := attribute(n, "id")
		assert.False(t, ids[id], "%s is there twice", id)
		ids[id] = true
	}
	for _, n := range all(root, func(*html.Node) bool { return true }) {
		for _, name := range []string{"aria-labelledby", "aria-describedby"} {
			for _, id := range strings.Fields(attribute(n, name)) {
				assert.True(t, ids[id], "%s of %s", id, name)
			}
		}
		if href := attribute(n, "href"); href != "" {
			assert.True(t, ids[href[1:]], href)
		}
	}
	for _, m := range regexp.MustCompile(`url\(#([^)]*)\)`).FindAllStringSubmatch(string(out), -1) {
		assert.True(t, ids[m[1]], m[1])
	}
}

func TestHostileWordsStayWords(t *testing.T) {
	t.Parallel()
	const evil = "</style><script>alert(1)</script>\" ' onload=x <!-- ]]> {{.}} } @import \\ \x00\x07\xff &amp; é"
	const clean = "</style><script>alert(1)</script>\" ' onload=x <!-- ]]> {{.}} } @import \\ \ufffd &amp; é"
	d := small()
	sheet := sketch()
	sheet.Title, sheet.Description, sheet.Language = evil, evil, evil
	sheet.Add(&drawing.Label{Text: evil, Size: 3})
	d.Title, d.Subject, d.Language = evil, evil, evil
	d.Labels = page.Labels{Page: evil + "{n}{of}{n", Contents: evil, Source: evil, Enlarge: evil, Whole: evil}
	d.Blocks = []page.Block{
		&page.Heading{Level: 1, Words: evil}, &page.Facts{Facts: []page.Fact{{Term: evil, Text: page.Plain(evil)}}},
		&page.Heading{Level: 2, Words: evil}, &page.Heading{Level: 3, Words: evil}, &page.Heading{Level: 2, Words: evil}, &page.Heading{Level: 2, Words: evil}, &page.Heading{Level: 2, Words: evil},
		&page.Paragraph{Text: []page.Text{{Words: evil, Language: evil}, {Words: evil, Strong: true, Language: evil + "2"}}},
		&page.List{Items: text(evil)}, &page.Note{Kind: evil, Text: page.Plain(evil), Ask: page.Plain(evil), Source: evil},
		&page.Table{Caption: evil, Columns: []page.Column{{Head: evil}, {Head: evil, Numbers: true}}, Rows: []page.Row{{Cells: text(evil, evil)}}},
		&page.Figure{Sheet: sheet, Caption: evil}, &page.Sum{Term: evil, Words: evil, Under: evil},
	}
	out := written(t, d)
	root := wellFormed(t, out)
	assert.Empty(t, named(root, atom.Script))
	assert.Len(t, named(root, atom.Style), 1)
	for _, n := range all(root, func(*html.Node) bool { return true }) {
		assert.Empty(t, attribute(n, "onload"))
	}
	assert.Equal(t, clean, words(named(root, atom.H1)[0]))
	assert.Equal(t, clean, words(named(root, atom.Caption)[0]))
	assert.Equal(t, clean, attribute(named(root, atom.Td)[0], "data-label"))
	assert.Equal(t, clean, words(named(root, atom.Title)[0]))
	assert.NotContains(t, string(out), "\x00")
}

func TestTablesKeepTheirMeaningForThoseWhoHearThem(t *testing.T) {
	t.Parallel()
	root := wellFormed(t, written(t, small()))
	tables := named(root, atom.Table)
	require.Len(t, tables, 2)
	assert.Equal(t, "stacks", attribute(tables[0], "class"), "too wide for a phone")
	assert.Empty(t, attribute(tables[1], "class"), "narrow enough for a phone")
	assert.Equal(t, "Lista de cortes", words(named(tables[0], atom.Caption)[0]))
	assert.Equal(t, "part2", attribute(tables[1], "aria-labelledby"), "without a caption the heading names the table")
	// ARIA 1.2: roles of tables and what owns what; they are stated since blocks lose those that HTML gives.
	for _, table := range tables {
		assert.Equal(t, "table", attribute(table, "role"))
		for _, row := range named(table, atom.Tr) {
			assert.Equal(t, "row", attribute(row, "role"))
			assert.Equal(t, "rowgroup", attribute(row.Parent, "role"))
		}
		for _, cell := range named(table, atom.Td) {
			assert.Equal(t, "cell", attribute(cell, "role"))
		}
		for _, cell := range named(table, atom.Th) {
			assert.NotEmpty(t, words(cell), "no head without words")
			if cell.Parent.Parent.DataAtom == atom.Thead {
				assert.Equal(t, "col columnheader", attribute(cell, "scope")+" "+attribute(cell, "role"))
			} else {
				assert.Equal(t, "row rowheader", attribute(cell, "scope")+" "+attribute(cell, "role"))
				assert.Equal(t, cell, cell.Parent.FirstChild)
			}
		}
	}
	cells := named(tables[0], atom.Td)
	assert.Equal(t, "Medida", attribute(cells[0], "data-label"))
	assert.Equal(t, "number whole", attribute(cells[0], "class"))
	assert.Equal(t, "number", attribute(cells[3], "class"), "a long number may be broken")
	assert.Equal(t, "empty", attribute(cells[5], "class"))
	boxes := all(root, func(n *html.Node) bool { return attribute(n, "class") == "box" })
	assert.Len(t, boxes, 4, "two in the list, two in the table")
	for _, b := range boxes {
		assert.Equal(t, "true", attribute(b, "aria-hidden"))
	}
}

func TestThePartsOfAPageAreInOrder(t *testing.T) {
	t.Parallel()
	root := wellFormed(t, written(t, small()))
	assert.Equal(t, "es-US", attribute(named(root, atom.Html)[0], "lang"))
	assert.Len(t, named(root, atom.H1), 1)
	for _, landmark := range []atom.Atom{atom.Header, atom.Nav, atom.Main, atom.Footer} {
		assert.Len(t, named(root, landmark), 1, landmark.String())
	}
	assert.Equal(t, "Medidas redondeadas.", words(named(root, atom.Footer)[0]))
	assert.Len(t, named(named(root, atom.Nav)[0], atom.A), 4)
	var outline []string
	for _, h := range named(root, atom.H1, atom.H2, atom.H3) {
		outline = append(outline, h.Data+" "+words(h))
	}
	assert.Equal(t, []string{"h1 Bed by the gate", "h2 Trabajo", "h3 Plano", "h2 Cortes", "h2 Avisos", "h2 Plazos"}, outline)
	sections := named(root, atom.Section)
	require.Len(t, sections, 5)
	assert.Equal(t, "section", sections[1].Parent.Data, "a part of a part lies in it")
	assert.Equal(t, "break", attribute(sections[2], "class"))
	var other []string
	for _, n := range all(root, func(n *html.Node) bool { return n.DataAtom == atom.Span && attribute(n, "lang") == "en-US" }) {
		other = append(other, words(n))
	}
	assert.Equal(t, []string{"call before you dig", "Wear eye protection."}, other, "words of another language")
	for _, n := range all(root, func(n *html.Node) bool { return attribute(n, "role") == "note" }) {
		assert.NotEmpty(t, words(n.FirstChild.NextSibling), "the kind of a note in words")
		assert.Len(t, named(n, atom.Svg), 1, "and as a mark")
	}
}

func TestPagesThatAreNoDocumentsAreRefused(t *testing.T) {
	t.Parallel()
	one := &page.Heading{Level: 1, Words: "One"}
	for name, blocks := range map[string][]page.Block{
		"nothing":                         nil,
		"no heading of level 1":           {&page.Paragraph{Text: page.Plain("Words")}},
		"words before it":                 {&page.Paragraph{}, one},
		"two of them":                     {one, one},
		"a level left out":                {one, &page.Heading{Level: 3, Words: "Three"}},
		"a level too deep":                {one, &page.Heading{Level: 2, Words: "Two"}, &page.Heading{Level: 3, Words: "Three"}, &page.Heading{Level: 4, Words: "Four"}},
		"a heading without words":         {&page.Heading{Level: 1, Words: " "}},
		"a row without all of its cells":  {one, &page.Table{Columns: []page.Column{{Head: "A"}, {Head: "B"}}, Rows: []page.Row{{Cells: text("a")}}}},
		"a table without columns":         {one, &page.Table{}},
		"a figure without a drawing":      {one, &page.Figure{}},
		"a note of a tone not heard of":   {one, &page.Note{Tone: 9}},
		"a block that is none, by itself": {one, nil},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			_, err := page.HTML(&page.Document{Title: "T", Language: "en-US", Blocks: blocks})
			assert.Error(t, err)
		})
	}
}

func TestInksOfWordsStandOutFromTheirPaper(t *testing.T) {
	t.Parallel()
	style := words(named(wellFormed(t, written(t, small())), atom.Style)[0])
	found := regexp.MustCompile(`--([a-z-]+): (#[0-9a-f]{6})`).FindAllStringSubmatch(style, -1)
	require.Len(t, found, 20, "ten colours by day and ten by night")
	for _, scheme := range [][][]string{found[:10], found[10:]} {
		c := map[string]string{}
		for _, m := range scheme {
			c[m[1]] = m[2]
		}
		for _, pair := range [][2]string{{"ink", "paper"}, {"faint", "paper"}, {"accent", "paper"}, {"ink", "tone"}, {"accent", "tone"}, {"ink", "warning-tone"}, {"warning", "warning-tone"}, {"faint", "warning-tone"}} {
			assert.GreaterOrEqual(t, contrast(t, c[pair[0]], c[pair[1]]), 4.5, "%v", pair)
		}
		assert.GreaterOrEqual(t, contrast(t, c["rule"], c["paper"]), 3.0, "frames")
	}
}

// contrast is the contrast ratio of two colours (WCAG 2.1).
func contrast(t *testing.T, a, b string) float64 {
	t.Helper()
	luminance := func(hex string) float64 {
		sum := 0.0
		for i, weight := range [...]float64{0.2126, 0.7152, 0.0722} {
			v, err := strconv.ParseUint(hex[1+2*i:3+2*i], 16, 8)
			require.NoError(t, err)
			s := float64(v) / 255
			if s <= 0.04045 {
				s /= 12.92
			} else {
				s = math.Pow((s+0.055)/1.055, 2.4)
			}
			sum += weight * s
		}
		return sum
	}
	x, y := luminance(a), luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}
