//go:build programs

package page_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api/render/drawing"
	"bedline/api/render/internal/browser"
	"bedline/api/render/page"
)

// rich is a document as long as that of a large job.
func rich() *page.Document {
	d := small()
	add := func(blocks ...page.Block) { d.Blocks = append(d.Blocks, blocks...) }
	add(&page.Heading{Level: 2, Words: "Lista de cortes de la orilla alrededor de la jardinera del lado norte"})
	cuts := &page.Table{Caption: "Cortes", Columns: []page.Column{{Head: "Pieza"}, {Head: "Unidad"}, {Head: "Largo interior", Numbers: true}, {Head: "Largo exterior", Numbers: true}, {Head: "Ángulo", Numbers: true}, {Head: "Lugar"}, {Head: "Sale de"}}}
	for i := range 40 {
		cuts.Rows = append(cuts.Rows, page.Row{Box: true, Cells: text(fmt.Sprintf("C%d", i+1), "adoquín gris de prueba", "7 1/8 in", "7 7/8 in", "12.5°", "tramo 3, unidad 14, contando desde la estaca D", "unidad 3")})
	}
	cuts.Rows = append(cuts.Rows, page.Row{Sum: true, Cells: text("Total", "40 unidades", "285 in", "", "", "", "")})
	add(cuts, &page.Heading{Level: 3, Words: "Lo que sobra"},
		&page.Facts{Facts: []page.Fact{{Term: "Recortes que todavía sirven", Text: page.Plain("12 piezas de 3 in o más")}, {Term: "Desperdicio", Text: page.Plain("4.5 %")}}},
		&page.Heading{Level: 2, Words: "Compras"},
		&page.Table{Caption: "Por proveedor", Columns: []page.Column{{Head: "Artículo", Share: 4}, {Head: "Cantidad", Numbers: true, Share: 2}, {Head: "Importe", Numbers: true, Share: 2}}, Rows: []page.Row{
			{Cells: text("Grava de río lavada de 3/4 de pulgada, a granel, entregada", "3 1/2 yd3", "$234.50")},
			{Cells: text("Estacas", "12", "$9.99")}, {Cells: text("Total", "", "$244.49"), Sum: true}}},
		&page.Table{Caption: "Códigos", Columns: []page.Column{{Head: "Código"}, {Head: "Qué"}}, Rows: []page.Row{{Cells: text("abcdefghijklmnopqrstuvwxyzabcdefghijklmnopqrstuvwxyzabcdefghijklmnopqrstuvwxyz", "una palabra sin fin")}}})
	tall := &drawing.Sheet{Title: "Sections", Description: "Tall", Width: 180, Height: 420}
	tall.Add(drawing.Rectangle(1, 1, 178, 418, drawing.Base, drawing.Heavy), &drawing.Label{At: drawing.Spot{X: 90, Y: 410}, Text: "lowest", Size: 3, Ink: drawing.WordsInk})
	add(&page.Figure{Sheet: tall, Caption: "Más alto que una hoja"})
	for i := range 12 {
		add(&page.Note{Tone: page.Tone(i % 3), Kind: []string{"Nota", "Por confirmar", "Cuidado"}[i%3], Text: page.Plain(strings.Repeat("Avise antes de excavar. ", 1+i)), Source: "normas locales"})
	}
	return d
}

func TestProgramsOpenADocumentOfEveryBlock(t *testing.T) {
	t.Parallel()
	out, err := page.HTML(rich())
	require.NoError(t, err)
	for paper, pages := range browser.Check(t, out, "html-rich") {
		starts := 0
		for i, p := range pages {
			assert.Contains(t, p, fmt.Sprintf("Página %d de %d", i+1, len(pages)), "number of the page on %s", paper)
			if strings.Contains(p, "\nBed by the gate\nCortes\nLista de cortes\n") {
				starts++
			}
		}
		assert.Equal(t, 1, starts, "the part that begins on a new page of %s", paper)
	}
}
