package page

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"bedline/api/render/drawing"
)

const millimetresOfPoint = 25.4 / 72

// pdfStyle is how words are set.
type pdfStyle struct {
	points float64
	bold   bool
	colour drawing.Colour
}

// leading is from base line to base line, in millimetres.
func (s pdfStyle) leading() float64 { return s.points * 1.36 * millimetresOfPoint }

// base is from the top of a line to its base line.
func (s pdfStyle) base() float64 { return s.points * 1.06 * millimetresOfPoint }

// fragment is a stretch of words in one font and language.
type fragment struct {
	words    string // glyphs of the font only
	original string // what they stand for, where that is something else
	bold     bool
	language string // where it is not the document's
	width    float64
}

// pdfLine is a row of fragments.
type pdfLine struct {
	fragments []fragment
	width     float64
}

// legible makes words one line of characters that can be set: composed, without control and format characters, every
// stretch of white space one space.
func legible(words string) string {
	var b strings.Builder
	space := false
	for _, r := range norm.NFC.String(strings.ToValidUTF8(words, string(replacement))) {
		switch {
		case unicode.IsSpace(r) && r != '\u00a0':
			space = true
			continue
		case unicode.In(r, unicode.Cc, unicode.Cf, unicode.Variation_Selector):
			continue
		}
		if space {
			b.WriteByte(' ')
		}
		space = false
		b.WriteRune(r)
	}
	if space {
		b.WriteByte(' ')
	}
	return b.String()
}

// oneLine is legible without spaces at its ends.
func oneLine(words string) string { return strings.TrimSpace(legible(words)) }

// fragments cuts a text where the font has no glyphs, and measures.
func (w *pdfWriter) fragments(t Text, s pdfStyle) []fragment {
	face := w.face(s.bold || t.Strong)
	var out []fragment
	language := t.Language
	if language == w.doc.Language {
		language = ""
	}
	missing := false
	for _, r := range t.Words {
		shown, lost := r, !face.glyphs.has(r)
		switch {
		case r == '\u00a0':
			shown, lost = ' ', false
		case lost:
			shown = replacement
		}
		if len(out) == 0 || lost != missing {
			out = append(out, fragment{bold: s.bold || t.Strong, language: language})
		}
		missing = lost
		f := &out[len(out)-1]
		f.words += string(shown)
		if lost {
			f.original += string(r)
		}
	}
	for i := range out {
		out[i].width = face.width(out[i].words, s.points)
	}
	return out
}

// pdfWord is fragments between which no line ends.
type pdfWord struct {
	fragments []fragment
	width     float64
	spaced    bool // from the word before
}

func (w *pdfWriter) words(texts []Text, s pdfStyle) []pdfWord {
	var out []pdfWord
	spaced, open := false, false
	for _, t := range texts {
		for rest := legible(t.Words); rest != ""; {
			if rest[0] == ' ' {
				spaced, open, rest = true, false, rest[1:]
				continue
			}
			end := strings.IndexByte(rest, ' ')
			if end < 0 {
				end = len(rest)
			}
			part := t
			part.Words, rest = rest[:end], rest[end:]
			if !open {
				out = append(out, pdfWord{spaced: spaced && len(out) > 0})
				open, spaced = true, false
			}
			word := &out[len(out)-1]
			for _, f := range w.fragments(part, s) {
				word.fragments = append(word.fragments, f)
				word.width += f.width
			}
		}
	}
	return out
}

// lines breaks texts into lines of a width at most. Words wider than a line are broken where it ends.
func (w *pdfWriter) lines(texts []Text, s pdfStyle, width float64) []pdfLine {
	const slack = 0.01
	var out []pdfLine
	var line pdfLine
	flush := func() {
		if len(line.fragments) > 0 {
			out = append(out, line)
		}
		line = pdfLine{}
	}
	for _, word := range w.words(texts, s) {
		if n := len(line.fragments); word.spaced && n > 0 {
			bold := line.fragments[n-1].bold
			space := w.face(bold).width(" ", s.points)
			if line.width+space+word.width > width+slack {
				flush()
			} else {
				line.add(fragment{words: " ", bold: bold, width: space})
			}
		}
		if line.width+word.width <= width+slack {
			for _, f := range word.fragments {
				line.add(f)
			}
			continue
		}
		for _, f := range word.fragments {
			w.broken(f, s, func(piece fragment) {
				if line.width+piece.width > width+slack {
					flush()
				}
				line.add(piece)
			})
		}
	}
	flush()
	return out
}

// broken gives a fragment letter by letter, what combines with a letter along with it.
func (w *pdfWriter) broken(f fragment, s pdfStyle, do func(fragment)) {
	shown, meant := []rune(f.words), []rune(f.original)
	for i := 0; i < len(shown); {
		end := i + 1
		for end < len(shown) && unicode.Is(unicode.Mn, shown[end]) {
			end++
		}
		piece := f
		piece.words = string(shown[i:end])
		if len(meant) == len(shown) {
			piece.original = string(meant[i:end])
		}
		piece.width = w.face(f.bold).width(piece.words, s.points)
		do(piece)
		i = end
	}
}

// add puts a fragment at the end of a line, within the last one where it is of the same kind.
func (l *pdfLine) add(f fragment) {
	l.width += f.width
	if n := len(l.fragments); n > 0 {
		last := &l.fragments[n-1]
		blank := f.words == " " && f.original == ""
		if last.bold == f.bold && (last.language == f.language || blank) && (last.original == "") == (f.original == "") {
			last.words, last.original, last.width = last.words+f.words, last.original+f.original, last.width+f.width
			return
		}
	}
	l.fragments = append(l.fragments, f)
}

// widest is the width of the widest word, and of all on one line.
func (w *pdfWriter) widest(texts []Text, s pdfStyle) (word, whole float64) {
	space := w.face(s.bold).width(" ", s.points)
	run := 0.0
	for _, x := range w.words(texts, s) {
		if x.spaced {
			run, whole = 0, whole+space
		}
		run, whole = run+x.width, whole+x.width
		word = max(word, run)
	}
	return word, whole
}
