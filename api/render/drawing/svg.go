package drawing

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"math"
	"strconv"
	"strings"

	"bedline/estimate/measure"
)

// SVG writes a sheet as a standalone SVG 1.1 document (W3C Recommendation, 16 August 2011) in UTF-8. The same sheet
// gives the same bytes. Lengths are to a thousandth of a millimetre.
func (s *Sheet) SVG() []byte {
	w := &svgWriter{}
	w.sheet(s, "", true)
	return w.out
}

// Inline writes the sheet to stand inside of an HTML document, on paper of its own. Prefix keeps its names apart from
// those of other drawings there: a letter, then letters and digits. The document may set its size; its own is in
// millimetres.
func (s *Sheet) Inline(prefix string) []byte {
	w := &svgWriter{}
	w.sheet(s, prefix, false)
	return w.out
}

type svgWriter struct {
	out    []byte
	prefix string
}

func (w *svgWriter) add(parts ...string) {
	for _, p := range parts {
		w.out = append(w.out, p...)
	}
}

// whole is a length in whole thousandths of a millimetre. Halves, which are common where scales are binary, go up even if
// the last bits of a sum are a little short of them.
func whole(m Millimetres) int64 { return int64(math.Floor(float64(m)*1000 + 0.5 + 1e-6)) }

// number writes millimetres with at most three decimals.
func number(m Millimetres) string {
	return strconv.FormatFloat(float64(whole(m))/1000, 'f', -1, 64)
}

func (c Colour) hex() string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

// escaped is a text as XML takes it; what XML 1.0 has no way to write is replaced.
func escaped(text string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(text)) // a strings.Builder never fails
	return b.String()
}

func (w *svgWriter) sheet(s *Sheet, prefix string, alone bool) {
	w.prefix = prefix
	width, height := number(s.Width), number(s.Height)
	if alone {
		w.add(`<?xml version="1.0" encoding="UTF-8"?>`, "\n")
	}
	w.add(`<svg`)
	if alone { // in HTML the parser knows
		w.add(` xmlns="http://www.w3.org/2000/svg"`)
	}
	w.add(` width="`, width, `mm" height="`, height, `mm" viewBox="0 0 `, width, ` `, height, `" role="img" aria-labelledby="`, prefix, `title"`)
	if s.Description != "" {
		w.add(` aria-describedby="`, prefix, `desc"`)
	}
	switch {
	case s.Language == "":
	case alone:
		w.add(` xml:lang="`, escaped(s.Language), `"`)
	default:
		w.add(` lang="`, escaped(s.Language), `"`)
	}
	w.add(` font-family="'DejaVu Sans', Verdana, Arial, sans-serif">`, "\n",
		`<title id="`, prefix, `title">`, escaped(s.Title), "</title>\n")
	if s.Description != "" {
		w.add(`<desc id="`, prefix, `desc">`, escaped(s.Description), "</desc>\n")
	}
	w.patterns(s)
	w.add(`<rect width="`, width, `" height="`, height, `" fill="#ffffff"/>`, "\n")
	w.items(s.Items)
	w.add("</svg>\n")
}

// patterns defines those of the fills that the sheet uses.
func (w *svgWriter) patterns(s *Sheet) {
	var used [numberOfFills]bool
	for _, item := range s.Items {
		if shape, ok := item.(*Shape); ok && shape.Fill < numberOfFills {
			used[shape.Fill] = true
		}
	}
	w.add("<defs>\n")
	for f := range numberOfFills {
		look := f.Look()
		if !used[f] || look.Pattern == Plain {
			continue
		}
		size, mark := look.Pattern.tile()
		w.add(`<pattern id="`, w.prefix, `fill`, strconv.Itoa(int(f)), `" width="`, number(size), `" height="`, number(size), `" patternUnits="userSpaceOnUse">`,
			`<rect width="`, number(size), `" height="`, number(size), `" fill="`, look.Tone.hex(), `"/>`, strings.ReplaceAll(mark, "COLOUR", look.Mark.hex()), "</pattern>\n")
	}
	w.add("</defs>\n")
}

// tile is one tile of a pattern: its size and what is drawn in it.
func (p Pattern) tile() (Millimetres, string) {
	switch p {
	case Dots:
		return 2, `<circle cx="0.5" cy="0.5" r="0.14" fill="COLOUR"/><circle cx="1.5" cy="1.4" r="0.14" fill="COLOUR"/>`
	case Strokes:
		return 3, `<path d="M-0.3 0.3L0.3 -0.3M0 3L3 0M2.7 3.3L3.3 2.7" stroke="COLOUR" stroke-width="0.12"/>`
	case Hatch:
		return 1, `<path d="M-0.2 0.2L0.2 -0.2M0 1L1 0M0.8 1.2L1.2 0.8" stroke="COLOUR" stroke-width="0.12"/>`
	case Cross:
		return 2, `<path d="M0.6 1H1.4M1 0.6V1.4" stroke="COLOUR" stroke-width="0.14"/>`
	}
	return 2.4, `<path d="M0.3 0.6H0.9M1.5 1.2H2.1M0.5 2H1" stroke="COLOUR" stroke-width="0.18"/>`
}

// items writes shapes that look alike and follow each other as one group, so that thousands of units stay small.
func (w *svgWriter) items(items []Item) {
	for i := 0; i < len(items); {
		if l, ok := items[i].(*Label); ok {
			w.label(l)
			i++
			continue
		}
		first, ok := items[i].(*Shape)
		if !ok {
			i++
			continue
		}
		end := i + 1
		for end < len(items) {
			s, ok := items[end].(*Shape)
			if !ok || s.Class != first.Class || s.Fill != first.Fill || s.Ink != first.Ink {
				break
			}
			end++
		}
		if end == i+1 {
			w.add(`<path d="`, path(first.Steps), `"`)
			w.look(first)
			w.add("/>\n")
			i = end
			continue
		}
		w.add("<g")
		w.look(first)
		w.add(">\n")
		for ; i < end; i++ {
			if s, ok := items[i].(*Shape); ok {
				w.add(`<path d="`, path(s.Steps), `"/>`, "\n")
			}
		}
		w.add("</g>\n")
	}
}

// look writes the class, the fill and the ink of a shape.
func (w *svgWriter) look(s *Shape) {
	if s.Class != "" {
		w.add(` class="`, escaped(s.Class), `"`)
	}
	switch look := s.Fill.Look(); {
	case s.Fill == NoFill:
		w.add(` fill="none"`)
	case look.Pattern == Plain:
		w.add(` fill="`, look.Tone.hex(), `"`)
	default:
		w.add(` fill="url(#`, w.prefix, `fill`, strconv.Itoa(int(s.Fill)), `)"`)
	}
	if s.Ink != NoInk {
		look := s.Ink.Look()
		w.add(` stroke="`, look.Colour.hex(), `" stroke-width="`, number(look.Width), `" stroke-linejoin="round"`)
		if len(look.Dashes) > 0 {
			w.add(` stroke-dasharray="`)
			for i, d := range look.Dashes {
				if i > 0 {
					w.add(" ")
				}
				w.add(number(d))
			}
			w.add(`"`)
		}
	}
}

// point is a spot in whole thousandths of a millimetre, so that steps from one to the next add up without error.
type point struct{ x, y int64 }

func rounded(s Spot) point {
	return point{whole(s.X), whole(s.Y)}
}

// pen writes the data of a path, each step from where the one before ended.
type pen struct {
	out       []byte
	at, start point
	begun     bool
}

// numbers writes thousandths as millimetres after a command.
func (p *pen) numbers(command byte, thousandths ...int64) {
	p.out = append(p.out, command)
	for i, n := range thousandths {
		if i > 0 && n >= 0 {
			p.out = append(p.out, ' ')
		}
		p.number(n)
	}
}

// number writes thousandths as millimetres.
func (p *pen) number(n int64) {
	if n < 0 {
		p.out, n = append(p.out, '-'), -n
	}
	if n >= 1000 || n%1000 == 0 {
		p.out = strconv.AppendInt(p.out, n/1000, 10)
	}
	if rest := n % 1000; rest > 0 {
		p.out = append(p.out, '.', byte('0'+rest/100), byte('0'+rest/10%10), byte('0'+rest%10))
		p.out = bytes.TrimRight(p.out, "0")
	}
}

func path(steps []Step) string {
	p := &pen{}
	for _, s := range steps {
		to := rounded(s.To)
		dx, dy := to.x-p.at.x, to.y-p.at.y
		switch s.Kind {
		case MoveTo:
			if p.begun {
				p.numbers('m', dx, dy)
			} else {
				p.numbers('M', to.x, to.y)
			}
			p.begun, p.start = true, to
		case LineTo:
			switch {
			case dy == 0:
				p.numbers('h', dx)
			case dx == 0:
				p.numbers('v', dy)
			default:
				p.numbers('l', dx, dy)
			}
		case ArcTo:
			large, sweep := " 0", " 0"
			if s.Turn > 180 || s.Turn < -180 {
				large = " 1"
			}
			if s.Turn > 0 {
				sweep = " 1"
			}
			r := number(s.Radius)
			p.out = append(p.out, "a"+r+" "+r+" 0"+large+sweep...)
			p.numbers(' ', dx, dy)
		case Close:
			p.out = append(p.out, 'z')
			to = p.start
		}
		p.at = to
	}
	return string(p.out)
}

func (w *svgWriter) label(l *Label) {
	w.add(`<text x="`, number(l.At.X), `" y="`, number(l.At.Y), `" font-size="`, number(l.Size), `" fill="`, l.Ink.Look().Colour.hex(), `"`)
	switch l.Anchor {
	case Middle:
		w.add(` text-anchor="middle"`)
	case End:
		w.add(` text-anchor="end"`)
	}
	if l.Bold {
		w.add(` font-weight="bold"`)
	}
	if l.Halo {
		w.add(` stroke="#ffffff" stroke-width="`, number(l.Size/4), `" paint-order="stroke" stroke-linejoin="round"`)
	}
	if l.Turn != 0 {
		w.add(` transform="rotate(`, number(Millimetres(l.Turn)), ` `, number(l.At.X), ` `, number(l.At.Y), `)"`)
	}
	w.add(">", escaped(l.Text), "</text>\n")
}

// Area is the paper that a closed shape covers, in square millimetres: negative where it runs counter-clockwise on paper.
func (s *Shape) Area() float64 {
	var sum float64
	var at, start Spot
	line := func(to Spot) {
		sum += float64(float64(at.X)*float64(to.Y)) - float64(float64(to.X)*float64(at.Y))
		at = to
	}
	for _, step := range s.Steps {
		switch step.Kind {
		case MoveTo:
			at, start = step.To, step.To
		case LineTo:
			line(step.To)
		case ArcTo:
			turn := measure.Degrees(step.Turn)
			sum += float64(float64(step.Radius) * float64(step.Radius) * measure.Slack(turn))
			line(step.To)
		case Close:
			line(start)
		}
	}
	return sum / 2
}
