package render

import (
	"math"
	"strings"

	"bedline/api/render/drawing"
)

// heading is the size of the letters of the titles of charts.
const heading drawing.Millimetres = 3.2

// fitted is a text cut short so that it takes no more than a width.
func fitted(text string, size, width drawing.Millimetres) string {
	if wide(text, size, false) <= width {
		return text
	}
	letters := []rune(text)
	for len(letters) > 0 && wide(string(letters)+"…", size, false) > width {
		letters = letters[:len(letters)-1]
	}
	return strings.TrimRight(string(letters), " ,") + "…"
}

// words is a label in the ink of letters.
func words(x, y drawing.Millimetres, text string, size drawing.Millimetres, anchor drawing.Anchor) *drawing.Label {
	return &drawing.Label{At: drawing.Spot{X: x, Y: y}, Text: text, Size: size, Anchor: anchor, Ink: drawing.WordsInk}
}

// beneath is the base line of letters whose middle is at a spot, when they are turned.
func beneath(at drawing.Spot, turn float64, by drawing.Millimetres) drawing.Spot {
	sin, cos := math.Sincos(turn * math.Pi / 180)
	return drawing.Spot{X: at.X - by*drawing.Millimetres(sin), Y: at.Y + by*drawing.Millimetres(cos)}
}
