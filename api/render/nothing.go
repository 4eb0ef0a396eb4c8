package render

import (
	"bedline/api/render/drawing"
	"bedline/api/render/locale"
)

// Nothing says that a job has nothing to show in a view: fabric, cost or tasks.
func Nothing(view string, l *locale.Locale) *drawing.Sheet {
	words := l.Say("nothing." + view)
	return &drawing.Sheet{Title: words, Description: words, Language: l.Tag(), Width: planWidth, Height: 16,
		Items: []drawing.Item{&drawing.Label{At: drawing.Spot{X: 4, Y: 9}, Text: words, Size: 4, Ink: drawing.WordsInk}}}
}
