package page_test

import (
	"strings"
	"testing"

	"bedline/api/render"
	"bedline/api/render/drawing"
	"bedline/api/render/internal/sample"
	"bedline/api/render/locale"
	"bedline/api/render/page"
)

// fullSheet has every fill, ink and kind of label of drawings.
func fullSheet() *drawing.Sheet {
	s := &drawing.Sheet{Title: "Fills, inks and labels", Description: "Every fill, every ink, letters every way.", Language: "en-US", Width: 180, Height: 110}
	x, y := drawing.Millimetres(2), drawing.Millimetres(2)
	for f := drawing.Paper; f <= drawing.Ink100; f++ {
		s.Add(drawing.Rectangle(x, y, 14, 14, f, drawing.Outline))
		if x += 17; x > 165 {
			x, y = 2, y+17
		}
	}
	y += 22
	for i := drawing.Joint; i <= drawing.Series2; i++ {
		s.Add(drawing.Rule(2, y, 60, y, i))
		y += 3
	}
	s.Add(drawing.Circle(85, 60, 12, drawing.Stone, drawing.Outline),
		&drawing.Shape{Ink: drawing.Heavy, Fill: drawing.CutFill, Steps: []drawing.Step{
			drawing.Move(110, 75), drawing.Line(110, 55), {Kind: drawing.ArcTo, To: drawing.Spot{X: 130, Y: 55}, Centre: drawing.Spot{X: 120, Y: 55}, Radius: 10, Turn: 180},
			{Kind: drawing.ArcTo, To: drawing.Spot{X: 130, Y: 75}, Centre: drawing.Spot{X: 130, Y: 65}, Radius: 10, Turn: -180}, drawing.Closed(),
		}},
		&drawing.Shape{Ink: drawing.Thin, Steps: []drawing.Step{
			drawing.Move(160, 50), {Kind: drawing.ArcTo, To: drawing.Spot{X: 150, Y: 60}, Centre: drawing.Spot{X: 150, Y: 50}, Radius: 10, Turn: -270},
		}})
	for i, a := range []drawing.Anchor{drawing.Start, drawing.Middle, drawing.End} {
		at := drawing.Spot{X: 85, Y: 85 + 6*drawing.Millimetres(i)}
		s.Add(drawing.Circle(at.X, at.Y, 0.4, drawing.Ink100, drawing.NoInk),
			&drawing.Label{At: at, Text: "12′-3⅛″ Ä", Size: 4, Anchor: a, Ink: drawing.WordsInk, Bold: i == 1})
	}
	for turn := -90.0; turn <= 90; turn += 45 {
		s.Add(&drawing.Label{At: drawing.Spot{X: 140 + drawing.Millimetres(turn)/3, Y: 95}, Text: "turned", Size: 3, Turn: turn, Ink: drawing.FaintInk})
	}
	s.Add(&drawing.Label{At: drawing.Spot{X: 85, Y: 62}, Text: "haloed", Size: 4, Anchor: drawing.Middle, Halo: true, Ink: drawing.WordsInk})
	return s
}

// fullDocument has every kind of block, more than once where pages end.
func fullDocument(t testing.TB) *page.Document {
	t.Helper()
	l := locale.Default()
	q := sample.Quote(t, sample.Names(t)[0])
	lorem := strings.Repeat("Excavate the bed to the depth of the section, keep the soil that is dug out on a sheet, and call before digging. ", 4)
	d := &page.Document{
		Title: "Quote for a courtyard – Patio & path", Language: "en-US", Subject: "What is done, when, and for how much",
		Labels: page.Labels{Page: "Page {n} of {of}", Contents: "Contents", Source: "Source:"},
	}
	rows := make([]page.Row, 0, 80)
	for i := range 75 {
		rows = append(rows, page.Row{Box: true, Cells: [][]page.Text{
			page.Plain("Row " + string(rune('A'+i%26)) + strings.Repeat("x", i%5)), page.Plain(strings.Repeat("Crushed stone, washed, 3/4 in. ", 1+i%3)),
			page.Plain("1,234.50"), page.Plain("12.5 yd³"), page.Plain("$12,345.00"),
		}})
	}
	rows = append(rows, page.Row{Sum: true, Cells: [][]page.Text{page.Plain("Total"), nil, nil, nil, page.Plain("$925,875.00")}})
	d.Blocks = []page.Block{
		&page.Heading{Level: 1, Words: d.Title},
		&page.Paragraph{Text: []page.Text{{Words: "Dear customer, this is "}, {Words: "the whole", Strong: true}, {Words: " offer. "}, {Words: "Señor, mañana empezamos.", Language: "es-US"}}},
		&page.Facts{Facts: []page.Fact{{Term: "Reference", Text: page.Plain("Q-17")}, {Term: "Valid until", Text: page.Plain("June 30, 2026")}, {Term: "A long term that has to wrap somewhere on its way", Text: page.Plain(lorem)}}},
		&page.Sum{Term: "Total with tax", Words: "$12,345.67", Under: "Sales tax of 8.25 % is part of it."},
		&page.Heading{Level: 2, Words: "The work"},
		&page.Paragraph{Text: page.Plain(lorem)},
		&page.List{Items: [][]page.Text{page.Plain("First"), page.Plain(lorem), page.Plain("Last")}},
		&page.List{Ordered: true, Items: [][]page.Text{page.Plain("One"), page.Plain("Two")}},
		&page.List{Boxes: true, Items: [][]page.Text{page.Plain("Gloves"), page.Plain("Ear protection")}},
		&page.Note{Tone: page.Info, Kind: "Remark", Text: page.Plain("Nothing to do.")},
		&page.Note{Tone: page.Confirm, Kind: "Please confirm", Text: page.Plain(lorem), Ask: page.Plain("Is the gate 3 ft wide?")},
		&page.Note{Tone: page.Caution, Kind: "Caution", Text: page.Plain("Silica dust: cut wet. Local codes come first."), Source: "29 CFR 1926.1153"},
		&page.Heading{Level: 3, Words: "Quantities"},
		&page.Table{Caption: "What goes in", Columns: []page.Column{{Head: "Item"}, {Head: "Description", Share: 2}, {Head: "Rate", Numbers: true}, {Head: "Quantity", Numbers: true}, {Head: "Amount", Numbers: true}}, Rows: rows},
		&page.Heading{Level: 2, Words: "Drawings", Break: true},
		&page.Figure{Sheet: fullSheet(), Caption: "All that drawings are made of."},
		&page.Heading{Level: 3, Words: "Plan"},
		&page.Figure{Sheet: render.Plan(q, l), Caption: "Plan of the ground."},
		&page.Figure{Sheet: render.Section(q, l)},
		&page.Paragraph{Faint: true, Text: page.Plain("Made from the same figures as the offer.")},
	}
	return d
}
