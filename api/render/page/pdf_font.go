package page

import (
	_ "embed"
	"encoding/binary"
	"errors"
	"fmt"

	"codeberg.org/go-pdf/fpdf"
)

// The fonts go into every PDF, cut down to the letters that it uses.
var (
	//go:embed fonts/DejaVuSans.ttf
	regularFont string
	//go:embed fonts/DejaVuSans-Bold.ttf
	boldFont string
)

const pdfFamily = "dejavu"

// replacement stands for what the font has no glyph of (U+FFFD). Reading aloud and copying still give the original.
const replacement = '\uFFFD'

// pdfFace is a font as it is used in one document.
type pdfFace struct {
	pdf    *fpdf.Fpdf
	set    func() // told that another font is set than was
	style  string // to fpdf
	name   string // in the file
	glyphs glyphs
	widths map[rune]int // in thousandths of the size
	used   map[rune]bool
}

func newFace(pdf *fpdf.Fpdf, set func(), style, name, font string) (*pdfFace, error) {
	covered, err := readGlyphs([]byte(font))
	if err != nil {
		return nil, fmt.Errorf("reading the font %s: %w", name, err)
	}
	pdf.AddUTF8FontFromBytes(pdfFamily, style, []byte(font)) // a copy: fpdf writes into it
	return &pdfFace{pdf: pdf, set: set, style: style, name: name, glyphs: covered, widths: map[rune]int{}, used: map[rune]bool{}}, nil
}

// width is that of words which hold nothing but glyphs of the font, in millimetres.
func (f *pdfFace) width(words string, points float64) float64 {
	sum := 0
	for _, r := range words {
		w, ok := f.widths[r]
		if !ok {
			f.pdf.SetFont(pdfFamily, f.style, 10)
			f.set()
			w = f.pdf.GetStringSymbolWidth(string(r))
			f.widths[r] = w
		}
		sum += w
	}
	return float64(sum) * points / 1000 * millimetresOfPoint
}

// glyphs are the characters of the Basic Multilingual Plane that a font has, as pairs of first and last.
type glyphs [][2]rune

func (g glyphs) has(r rune) bool {
	for _, span := range g {
		if r <= span[1] {
			return r >= span[0]
		}
	}
	return false
}

// readGlyphs reads a font's table cmap, subtable format 4 for Windows and Unicode (OpenType 1.9, "cmap").
func readGlyphs(font []byte) (glyphs, error) {
	errNone := errors.New("no table of characters")
	u16 := func(at int) int {
		if at < 0 || at+2 > len(font) {
			return 0
		}
		return int(binary.BigEndian.Uint16(font[at:]))
	}
	u32 := func(at int) int { return u16(at)<<16 | u16(at+2) }
	table := 0
	for i := range u16(4) {
		if record := 12 + 16*i; record+16 <= len(font) && string(font[record:record+4]) == "cmap" {
			table = u32(record + 8)
		}
	}
	if table == 0 {
		return nil, errNone
	}
	at := 0
	for i := range u16(table + 2) {
		record := table + 4 + 8*i
		if sub := table + u32(record+4); u16(record) == 3 && u16(record+2) == 1 && u16(sub) == 4 {
			at = sub
		}
	}
	if at == 0 {
		return nil, errNone
	}
	count := u16(at+6) / 2
	ends := at + 14
	starts := ends + 2*count + 2
	deltas, offsets := starts+2*count, starts+4*count
	var out glyphs
	for i := range count {
		for c := u16(starts + 2*i); c <= u16(ends+2*i); c++ {
			glyph := c
			if offset := u16(offsets + 2*i); offset != 0 {
				glyph = u16(offsets + 2*i + offset + 2*(c-u16(starts+2*i)))
			}
			if glyph == 0 || (glyph+u16(deltas+2*i))&0xffff == 0 || c == 0xffff {
				continue
			}
			if n := len(out); n > 0 && int(out[n-1][1]) == c-1 {
				out[n-1][1] = rune(c)
			} else {
				out = append(out, [2]rune{rune(c), rune(c)})
			}
		}
	}
	return out, nil
}
