package render

import (
	"strings"
	"unicode/utf8"

	"bedline/api/render/drawing"
	"bedline/pricing"
)

// Sizes of the letters of charts.
const (
	heading drawing.Millimetres = 3.2
	// letterWidth is how wide a letter is taken to be, as a part of its size: more than the average of a sans serif.
	letterWidth = 0.55
)

// lineWidth is how long a line of words comes out on paper, at most.
func lineWidth(text string, size drawing.Millimetres) drawing.Millimetres {
	return drawing.Millimetres(float64(utf8.RuneCountInString(text)) * letterWidth * float64(size))
}

// fitted is a text cut short so that it takes no more than a width.
func fitted(text string, size, width drawing.Millimetres) string {
	if lineWidth(text, size) <= width {
		return text
	}
	letters := []rune(text)
	most := max(0, int(float64(width)/(letterWidth*float64(size)))-1)
	return strings.TrimRight(string(letters[:min(most, len(letters))]), " ,") + "…"
}

// linesOf breaks a text into lines of a width.
func linesOf(text string, size, width drawing.Millimetres) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		switch {
		case line == "":
			line = word
		case lineWidth(line+" "+word, size) <= width:
			line += " " + word
		default:
			lines, line = append(lines, fitted(line, size, width)), word
		}
	}
	if line != "" {
		lines = append(lines, fitted(line, size, width))
	}
	return lines
}

// words is a label in the ink of letters.
func words(x, y drawing.Millimetres, text string, size drawing.Millimetres, anchor drawing.Anchor) *drawing.Label {
	return &drawing.Label{At: drawing.Spot{X: x, Y: y}, Text: text, Size: size, Anchor: anchor, Ink: drawing.WordsInk}
}

// jobName is what a job is called.
func jobName(q *pricing.Quote) string {
	if q.Job.Title != "" {
		return q.Job.Title
	}
	return q.Job.Reference
}
