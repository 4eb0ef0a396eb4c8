package page

import (
	"math"
	"strconv"
	"strings"

	"bedline/api/render/drawing"
)

// pdfPattern is a pattern of a fill as one drawing uses it.
type pdfPattern struct {
	name   string
	look   drawing.FillLook
	matrix string // from millimetres of the drawing to the page
}

// figure sets a drawing in the middle, with its caption below. Smaller paper makes it smaller.
func (w *pdfWriter) figure(f *Figure) {
	e := w.root.add("Figure")
	sheet := f.Sheet
	caption := w.lines(Plain(f.Caption), faintStyle, w.column())
	const headings = 26 // room for the headings that stay with it
	room := w.most() - headings - float64(float64(len(caption))*faintStyle.leading())
	scale := 1.0
	if wide := float64(sheet.Width); wide > w.column() {
		scale = w.column() / wide
	}
	if high := float64(sheet.Height); high*scale > room {
		scale = room / high
	}
	width, height := float64(sheet.Width)*scale, float64(sheet.Height)*scale
	e.alt = oneLine(sheet.Title)
	if words := oneLine(sheet.Description); words != "" && words != e.alt {
		if e.alt != "" {
			e.alt += ": "
		}
		e.alt += words
	}
	x := (w.width - width) / 2
	w.add(chunk{height: height, gap: blockGap, keep: len(caption) > 0, draw: func(y float64) {
		if e.attributes == "" {
			e.attributes = "<</O /Layout /Placement /Block /BBox [" + points(x) + " " + w.up(y+height) + " " + points(x+width) + " " + w.up(y) + "]>>"
		}
		w.begin(e)
		w.sheet(e, sheet, x, y, scale)
	}})
	if len(caption) == 0 {
		return
	}
	name := w.root.add("Caption")
	for i, l := range caption {
		c := chunk{height: faintStyle.leading(), keep: i < len(caption)-1, draw: func(y float64) {
			w.begin(name)
			w.set(ended(l, i < len(caption)-1), sideMargin, y+faintStyle.base(), faintStyle)
		}}
		if i == 0 {
			c.gap = lineGap
		}
		w.add(c)
	}
}

// Products are rounded before they are added (float64), so that processors that could do both at once give the same bytes.

// sheetWriter draws a sheet with its upper left corner at a place of the page.
type sheetWriter struct {
	*pdfWriter
	element     *element
	x, y, scale float64
	ink         drawing.Ink // that is set
	tone        string      // that is set
	patterns    map[drawing.Fill]string
	language    string
}

func (w *pdfWriter) sheet(e *element, s *drawing.Sheet, x, y, scale float64) {
	d := &sheetWriter{pdfWriter: w, element: e, x: x, y: y, scale: scale, patterns: map[drawing.Fill]string{}, language: s.Language}
	w.raw("q " + d.spot(0, float64(s.Height)) + " " + d.length(float64(s.Width)) + " " + d.length(float64(s.Height)) + " re W n")
	for _, item := range s.Items {
		switch item := item.(type) {
		case *drawing.Shape:
			d.shape(item)
		case *drawing.Label:
			d.label(item)
		}
	}
	w.raw("Q")
	w.forget()
}

// length is a length on the drawing, in points of the page.
func (d *sheetWriter) length(mm float64) string { return points(mm * d.scale) }

// spot is a place on the drawing, in points of the page.
func (d *sheetWriter) spot(x, y float64) string {
	return points(d.x+float64(x*d.scale)) + " " + d.up(d.y+float64(y*d.scale))
}

func (d *sheetWriter) shape(s *drawing.Shape) {
	path := d.path(s.Steps)
	if path == "" || s.Fill == drawing.NoFill && s.Ink == drawing.NoInk {
		return
	}
	d.begin(d.element)
	if s.Ink != drawing.NoInk && s.Ink != d.ink {
		d.setInk(s.Ink)
	}
	paint := "S"
	if s.Fill != drawing.NoFill {
		look := s.Fill.Look()
		if tone := colour(look.Tone) + " rg"; tone != d.tone {
			d.raw(tone)
			d.tone = tone
			d.forget()
		}
		if look.Pattern != drawing.Plain {
			// The tone first, then the pattern without a ground of its own: no seams between its tiles.
			d.raw(path + " f")
			d.raw("/Pattern cs /" + d.pattern(s.Fill, look) + " scn")
			d.tone = ""
			d.forget()
		}
		paint = "f"
		if s.Ink != drawing.NoInk {
			paint = "B"
		}
	}
	d.raw(path + " " + paint)
}

func (d *sheetWriter) setInk(ink drawing.Ink) {
	look := ink.Look()
	dashes := make([]string, len(look.Dashes))
	for i, v := range look.Dashes {
		dashes[i] = d.length(float64(v))
	}
	d.raw(colour(look.Colour) + " RG " + d.length(float64(look.Width)) + " w [" + strings.Join(dashes, " ") + "] 0 d")
	d.ink = ink
}

// pattern is the name of a fill's pattern in this drawing.
func (d *sheetWriter) pattern(f drawing.Fill, look drawing.FillLook) string {
	name, ok := d.patterns[f]
	if !ok {
		name = "P" + strconv.Itoa(len(d.pdfWriter.patterns)+1)
		k := d.scale / millimetresOfPoint
		size := strconv.FormatFloat(k, 'f', 5, 64)
		d.pdfWriter.patterns = append(d.pdfWriter.patterns, pdfPattern{name, look, "[" + size + " 0 0 -" + size + " " + d.spot(0, 0) + "]"})
		d.patterns[f] = name
	}
	return name
}

// stream is a tile of the pattern as a tiling pattern (ISO 32000-1, 8.7.3): the same tile as in SVG.
func (p pdfPattern) stream() (dictionary, content string) {
	size, width, path := "2", "", ""
	switch p.look.Pattern {
	case drawing.Dots:
		path = dot(0.5, 0.5, 0.14) + dot(1.5, 1.4, 0.14) + "f"
	case drawing.Strokes:
		size, width, path = "3", "0.12", "-0.3 0.3 m 0.3 -0.3 l 0 3 m 3 0 l 2.7 3.3 m 3.3 2.7 l S"
	case drawing.Hatch:
		size, width, path = "1", "0.12", "-0.2 0.2 m 0.2 -0.2 l 0 1 m 1 0 l 0.8 1.2 m 1.2 0.8 l S"
	case drawing.Cross:
		width, path = "0.14", "0.6 1 m 1.4 1 l 1 0.6 m 1 1.4 l S"
	default:
		size, width, path = "2.4", "0.18", "0.3 0.6 m 0.9 0.6 l 1.5 1.2 m 2.1 1.2 l 0.5 2 m 1 2 l S"
	}
	set := colour(p.look.Mark)
	if width == "" {
		set += " rg "
	} else {
		set += " RG " + width + " w "
	}
	return "/Type /Pattern /PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 " + size + " " + size + "] /XStep " + size +
		" /YStep " + size + " /Resources <<>> /Matrix " + p.matrix, set + path
}

// quarter is how far the handles of a Bézier curve stand out that comes closest to a quarter of a circle of radius 1.
const quarter = 0.5523

func dot(x, y, r float64) string {
	n := func(v float64) string { return strconv.FormatFloat(v, 'f', 3, 64) + " " }
	h := r * quarter
	return n(x+r) + n(y) + "m " +
		n(x+r) + n(y+h) + n(x+h) + n(y+r) + n(x) + n(y+r) + "c " +
		n(x-h) + n(y+r) + n(x-r) + n(y+h) + n(x-r) + n(y) + "c " +
		n(x-r) + n(y-h) + n(x-h) + n(y-r) + n(x) + n(y-r) + "c " +
		n(x+h) + n(y-r) + n(x+r) + n(y-h) + n(x+r) + n(y) + "c "
}

func (d *sheetWriter) path(steps []drawing.Step) string {
	var b strings.Builder
	var at, start drawing.Spot
	to := func(x, y float64, operator string) { b.WriteString(d.spot(x, y) + operator) }
	for i, s := range steps {
		if i > 0 {
			b.WriteByte(' ')
		}
		switch s.Kind {
		case drawing.MoveTo:
			to(float64(s.To.X), float64(s.To.Y), " m")
			start = s.To
		case drawing.LineTo:
			to(float64(s.To.X), float64(s.To.Y), " l")
		case drawing.ArcTo:
			d.arc(&b, at, s)
		case drawing.Close:
			b.WriteByte('h')
			at = start
			continue
		}
		at = s.To
	}
	return b.String()
}

// arc writes an arc as Bézier curves of at most 45 degrees each, which are off by less than five millionths of the radius.
func (d *sheetWriter) arc(b *strings.Builder, from drawing.Spot, s drawing.Step) {
	const most = 45
	pieces := int(math.Ceil(math.Abs(s.Turn)/most - 1e-9))
	cx, cy, r := float64(s.Centre.X), float64(s.Centre.Y), float64(s.Radius)
	if pieces == 0 || r == 0 {
		b.WriteString(d.spot(float64(s.To.X), float64(s.To.Y)) + " l")
		return
	}
	angle := math.Atan2(float64(from.Y)-cy, float64(from.X)-cx)
	step := s.Turn * math.Pi / 180 / float64(pieces)
	handle := r * (4.0 / 3) * math.Tan(step/4)
	x0, y0 := float64(from.X), float64(from.Y)
	for i := range pieces {
		next := angle + float64(step*float64(i+1))
		x1, y1 := cx+float64(r*math.Cos(next)), cy+float64(r*math.Sin(next))
		if i == pieces-1 {
			x1, y1 = float64(s.To.X), float64(s.To.Y)
		}
		was := next - step
		if i > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(d.spot(x0-float64(handle*math.Sin(was)), y0+float64(handle*math.Cos(was))) + " " +
			d.spot(x1+float64(handle*math.Sin(next)), y1-float64(handle*math.Cos(next))) + " " + d.spot(x1, y1) + " c")
		x0, y0 = x1, y1
	}
}

// label sets a line of words. A halo is the outline of the letters in white below them.
func (d *sheetWriter) label(l *drawing.Label) {
	size := float64(l.Size) * d.scale
	s := pdfStyle{points: size / millimetresOfPoint, bold: l.Bold, colour: l.Ink.Look().Colour}
	line := pdfLine{}
	for _, f := range d.fragments(Text{Words: oneLine(l.Text), Language: d.language}, s) {
		line.add(f)
	}
	if len(line.fragments) == 0 {
		return
	}
	shift := 0.0
	switch l.Anchor {
	case drawing.Middle:
		shift = -line.width / 2
	case drawing.End:
		shift = -line.width
	}
	x, y := d.x+float64(float64(l.At.X)*d.scale), d.y+float64(float64(l.At.Y)*d.scale)
	d.tone = ""
	if l.Turn != 0 {
		sin, cos := math.Sincos(-l.Turn * math.Pi / 180)
		n := func(v float64) string { return strconv.FormatFloat(v, 'f', 5, 64) + " " }
		d.raw("q " + n(cos) + n(sin) + n(-sin) + n(cos) + points(x) + " " + d.up(y) + " cm")
		x, y = 0, d.height // where the lower left corner of the paper was
		d.forget()
	}
	if l.Halo {
		d.beginArtifact() // or the words would be there twice
		d.raw("q 1 Tr 1 j [] 0 d " + points(size/4) + " w 1 1 1 RG")
		d.forget()
		d.set(line, x+shift, y, s)
		d.raw("Q")
		d.forget()
	}
	d.begin(d.element)
	d.set(line, x+shift, y, s)
	if l.Turn != 0 {
		d.raw("Q")
		d.forget()
	}
}
