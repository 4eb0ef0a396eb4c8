// Package page holds documents of headings, words, tables and drawings, whatever they are then written as: HTML and PDF
// here. It knows nothing of jobs or prices.
package page

import "bedline/api/render/drawing"

// Document is what people read from top to bottom.
type Document struct {
	Title    string
	Language string // a BCP 47 tag
	Subject  string // one line for the properties of a file
	Labels   Labels
	Blocks   []Block
}

// Labels are the few words that a writer needs itself, in the language of the document.
type Labels struct {
	Page     string // of a page's number, with {n} and {of}
	Contents string // heading of the list of headings
	Source   string // before the source of a note, with its colon
	Enlarge  string // of the link that shows a drawing larger than a phone; both or neither
	Whole    string // of the link that shows the whole drawing again
}

// Text is words in a row. Language is set where they are in another language than the document.
type Text struct {
	Words    string
	Language string
	Strong   bool
}

// Plain is one text of the document's language.
func Plain(words string) []Text { return []Text{{Words: words}} }

// Block is one of the types below: Heading, Paragraph, List, Facts, Table, Figure, Note, Sum.
type Block interface{ block() }

// Heading starts a part. Level 1 is the document's own, once, first; 2 is a part, 3 a part of that.
type Heading struct {
	Level int
	Words string
	Break bool // begin on a new page where there are pages; on paper, once two thirds of the last one are taken
}

// Paragraph is a few sentences.
type Paragraph struct {
	Text  []Text
	Faint bool // matters less
}

// List is items one below the other.
type List struct {
	Items   [][]Text
	Ordered bool
	Boxes   bool // with a box to tick off each
	Columns bool // short items: in two columns where there is room
}

// Facts are terms with what they are, in pairs.
type Facts struct{ Facts []Fact }

// Fact is a term with what it is.
type Fact struct {
	Term string
	Text []Text
}

// Table is rows under column heads. The first cell of every row heads it.
type Table struct {
	Caption string
	Columns []Column
	Rows    []Row
}

// Column is a column of a table.
type Column struct {
	Head    string
	Numbers bool    // set to the right
	Share   float64 // of the width, beside those of the other columns; 0 for 1
}

// Row is a row of a table.
type Row struct {
	Cells [][]Text // one for each column
	Sum   bool     // a total, set apart from what it adds up
	Box   bool     // with a box to tick off
}

// Figure is a drawing with its caption. The drawing's own description says it to those who don't see it.
type Figure struct {
	Sheet   *drawing.Sheet
	Caption string
}

// Tone is how much a note presses.
type Tone uint8

// The tones of notes.
const (
	Info Tone = iota
	Confirm
	Caution
)

// Note stands apart from the rest: a caution, something to confirm, a remark. Kind names its tone in words, so that it
// never hangs on colour.
type Note struct {
	Tone   Tone
	Kind   string
	Text   []Text
	Ask    []Text // what is to be confirmed
	Source string
}

// Sum is the one figure that a reader looks for.
type Sum struct {
	Term  string
	Words string
	Under string // a line of explanation, or empty
}

func (*Heading) block()   {}
func (*Paragraph) block() {}
func (*List) block()      {}
func (*Facts) block()     {}
func (*Table) block()     {}
func (*Figure) block()    {}
func (*Note) block()      {}
func (*Sum) block()       {}
