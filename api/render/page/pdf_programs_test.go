//go:build programs

package page_test

import (
	"bytes"
	"fmt"
	"image"
	"image/draw"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api/render"
	"bedline/api/render/drawing"
	"bedline/api/render/edition"
	"bedline/api/render/internal/sample"
	"bedline/api/render/locale"
	"bedline/api/render/page"
	"bedline/pricing"
)

// What pdfinfo calls the papers.
const letterSize, a4Size = `612 x 792 pts \(letter\)`, `595\.28 x 841\.89 pts \(A4\)`

// ran is what a program writes, which has to end well.
func ran(t *testing.T, name string, args ...string) string {
	t.Helper()
	var out, faults bytes.Buffer
	c := exec.Command(name, args...)
	c.Stdout, c.Stderr = &out, &faults
	require.NoError(t, c.Run(), "%s %v: %s", name, args, faults.String())
	assert.Empty(t, faults.String(), "%s %v complains", name, args)
	return out.String()
}

// saved is a PDF as a file. Its pages go to the folder of what is to be looked at, if there is one.
func saved(t *testing.T, name string, pdf []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name+".pdf")
	require.NoError(t, os.WriteFile(path, pdf, 0o600))
	if seen := os.Getenv("BEDLINE_SEEN"); seen != "" {
		require.NoError(t, os.WriteFile(filepath.Join(seen, name+".pdf"), pdf, 0o600))
		ran(t, "pdftoppm", "-r", "80", "-png", path, filepath.Join(seen, name))
	}
	return path
}

// soundPDF holds of every PDF that programs made by others open it and find what there has to be.
func soundPDF(t *testing.T, path string, d *page.Document, size string) {
	t.Helper()
	assert.Contains(t, ran(t, "qpdf", "--check", path), "No syntax or stream encoding errors found")

	info := ran(t, "pdfinfo", path)
	assert.Regexp(t, `(?m)^Title: +`+regexp.QuoteMeta(d.Title)+`$`, info)
	assert.Regexp(t, `(?m)^Tagged: +yes$`, info)
	assert.Regexp(t, `(?m)^Metadata Stream: +yes$`, info)
	assert.Regexp(t, `(?m)^Page size: +`+size, info)
	assert.NotContains(t, info, "Date:")

	fonts := strings.Split(strings.TrimSpace(ran(t, "pdffonts", path)), "\n")
	require.Len(t, fonts, 4)
	for _, f := range fonts[2:] { // embedded, a subset, with characters
		assert.Regexp(t, `^[A-Z]{6}\+DejaVuSans(-Bold)? +CID TrueType +Identity-H +yes +yes +yes `, f)
	}
	assert.Len(t, strings.Split(strings.TrimSpace(ran(t, "pdfimages", "-list", path)), "\n"), 2, "drawings are vectors, no images")

	outline := ran(t, "qpdf", "--json", "--json-key=outlines", path)
	for _, b := range d.Blocks {
		if h, ok := b.(*page.Heading); ok {
			assert.True(t, strings.Contains(outline, `"title": `+strings.ReplaceAll(strconv.Quote(h.Words), `\u00a0`, "\u00a0")), "no bookmark %q", h.Words)
		}
	}
	// Within the margins of 15 mm, of which a tenth of a millimetre is for the sides of letters.
	box := regexp.MustCompile(`<page width="([\d.]+)"|xMin="(-?[\d.]+)" yMin="(-?[\d.]+)" xMax="([\d.]+)"`)
	var width float64
	for _, m := range box.FindAllStringSubmatch(ran(t, "pdftotext", "-bbox", path, "-"), -1) {
		if m[1] != "" {
			width, _ = strconv.ParseFloat(m[1], 64)
			continue
		}
		low, _ := strconv.ParseFloat(m[2], 64)
		high, _ := strconv.ParseFloat(m[4], 64)
		assert.GreaterOrEqual(t, low, 42.2, m[0])
		assert.LessOrEqual(t, high, width-42.2, m[0])
	}
}

func TestProgramsOpenAPDFOfEveryBlock(t *testing.T) {
	t.Parallel()
	d := fullDocument(t)
	for p, size := range map[page.Paper]string{page.Letter: letterSize, page.A4: a4Size} {
		path := saved(t, fmt.Sprintf("pdf-full-%d", p), asPDF(t, d, p))
		soundPDF(t, path, d, size)

		words := ran(t, "pdftotext", "-layout", path, "-")
		at := 0
		for _, want := range []string{
			"Quote for a courtyard – Patio & path", "Dear customer, this is the whole offer. Señor, mañana empezamos.", "Q-17", "Total with tax", "$12,345.67",
			"The work", "First", "☐ Ear protection", "Please confirm", "Source: 29 CFR 1926.1153", "What goes in", "Row A ", "12.5 yd³", "$12,345.00",
			"Total ", "$925,875.00", "Drawings", "12′-3⅛″ Ä", "Plan of the ground.", "Page ",
		} {
			i := strings.Index(words[at:], want)
			if assert.GreaterOrEqual(t, i, 0, "%q is missing, or out of its place", want) {
				at += i + len(want)
			}
		}
		assert.Equal(t, 1, strings.Count(words, "haloed"), "a halo is no word")

		tree := ran(t, "pdfinfo", "-struct-text", path)
		for kind, n := range map[string]int{"H1": 1, "H2": 2, "H3": 2, "Table": 1, "Caption": 3, "Figure": 3, "L": 4, "TR": 77, "TH": 5 + 76} {
			assert.Len(t, regexp.MustCompile(`(?m)^ *`+kind+` \(block\)|^ *`+kind+`(:| \(block\):| \(inline\)|$)`).FindAllString(tree, -1), n, kind)
		}
		assert.Equal(t, 1, strings.Count(tree, `"Description"`), "heads that stand again are said once")
		assert.Equal(t, 1, strings.Count(tree, "haloed"), "a halo is no word")
		assert.False(t, strings.Contains(tree, "Page 1 of"), "what stands at the foot of pages is no part of the document")
	}
}

func TestProgramsReadOriginalsOfWhatNoFontHas(t *testing.T) {
	t.Parallel()
	path := saved(t, "pdf-missing", asPDF(t, titled(&page.Paragraph{Text: page.Plain("Ask 漢字 or 😀 today")}), page.Letter))
	assert.Contains(t, ran(t, "pdftotext", path, "-"), "Ask 漢字 or 😀 today")
}

func TestProgramsOpenPDFsOfHostileWords(t *testing.T) {
	t.Parallel()
	for name, words := range hostile() {
		d := titled(&page.Paragraph{Text: page.Plain(words)}, &page.Heading{Level: 2, Words: "x" + words})
		d.Title, d.Subject = words, words
		path := filepath.Join(t.TempDir(), "hostile.pdf")
		require.NoError(t, os.WriteFile(path, asPDF(t, d, page.A4), 0o600))
		assert.Contains(t, ran(t, "qpdf", "--check", path), "No syntax or stream encoding errors found", name)
		ran(t, "pdftocairo", "-png", "-r", "40", path, filepath.Join(t.TempDir(), "page"))
	}
}

// bothEditions runs on what customers and crews get of every sample job, in English on Letter, in Spanish on A4.
func bothEditions(t *testing.T, do func(t *testing.T, name string, d *page.Document, p page.Paper, size string)) {
	english, spanish := locale.Default(), in(t, "es-US")
	sample.Each(t, func(t *testing.T, name string, q *pricing.Quote) {
		do(t, "pdf-"+name+"-customer", edition.Customer(q, english), page.Letter, letterSize)
		do(t, "pdf-"+name+"-crew", edition.Crew(q, english), page.Letter, letterSize)
		do(t, "pdf-"+name+"-customer-es", edition.Customer(q, spanish), page.A4, a4Size)
		do(t, "pdf-"+name+"-crew-es", edition.Crew(q, spanish), page.A4, a4Size)
	})
}

func in(t *testing.T, tag string) *locale.Locale {
	t.Helper()
	l, ok := locale.Lookup(tag)
	require.True(t, ok)
	return l
}

func TestProgramsOpenBothEditionsAsPDF(t *testing.T) {
	bothEditions(t, func(t *testing.T, name string, d *page.Document, p page.Paper, size string) {
		out := asPDF(t, d, p)
		assert.Less(t, len(out), 300_000, name)
		path := saved(t, name, out)
		soundPDF(t, path, d, size)
		bare := regexp.MustCompile(`[\s\x{a0}]+`)
		words := bare.ReplaceAllString(ran(t, "pdftotext", "-raw", path, "-"), "")
		for _, b := range d.Blocks {
			switch b := b.(type) {
			case *page.Paragraph:
				for _, text := range b.Text {
					assert.True(t, strings.Contains(words, bare.ReplaceAllString(text.Words, "")), "%s: %q is missing", name, text.Words)
				}
			case *page.Sum:
				assert.True(t, strings.Contains(words, bare.ReplaceAllString(b.Words, "")), "%s: %q is missing", name, b.Words)
			}
		}
	})
}

// A drawing of a PDF looks like the same drawing as SVG, which two programs draw that know nothing of each other.
func TestProgramsDrawPDFLikeSVG(t *testing.T) {
	t.Parallel()
	q := sample.Quote(t, sample.Names(t)[0])
	// What remains is close patterns, whose tiles begin on whole pixels to one program, and edges of letters.
	assert.Less(t, drawnOtherwise(t, fullSheet()), 0.006, "everything")
	assert.Less(t, drawnOtherwise(t, render.Section(q, locale.Default())), 0.006, "section")
	assert.Less(t, drawnOtherwise(t, shapesOf(fullSheet())), 0.004, "all shapes")
	for _, name := range sample.Names(t) {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			assert.Less(t, drawnOtherwise(t, shapesOf(render.Plan(sample.Quote(t, name), locale.Default()))), 0.004)
		})
	}
}

// shapesOf is a sheet without its words.
func shapesOf(s *drawing.Sheet) *drawing.Sheet {
	out := *s
	out.Items = slices.DeleteFunc(slices.Clone(s.Items), func(i drawing.Item) bool { _, ok := i.(*drawing.Label); return ok })
	return &out
}

// drawnOtherwise is the share of pixels in which a sheet differs as PDF and as SVG.
func drawnOtherwise(t *testing.T, s *drawing.Sheet) float64 {
	t.Helper()
	folder := t.TempDir()
	pdf := asPDF(t, titled(&page.Figure{Sheet: s}), page.Letter)
	require.NoError(t, os.WriteFile(filepath.Join(folder, "a.pdf"), pdf, 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "a.svg"), s.SVG(), 0o600))
	box := regexp.MustCompile(`/BBox \[([\d.]+) ([\d.]+) ([\d.]+) ([\d.]+)\]>>`).FindStringSubmatch(strings.Join(unpacked(t, pdf), "\n"))
	require.NotNil(t, box)
	number := func(i int) float64 {
		v, err := strconv.ParseFloat(box[i], 64)
		require.NoError(t, err)
		return v
	}
	const dpi = 150
	pixels := func(points float64) string { return strconv.Itoa(int(points*dpi/72 + 0.5)) }
	width, height := pixels(number(3)-number(1)), pixels(number(4)-number(2))
	ran(t, "pdftoppm", "-r", strconv.Itoa(dpi), "-x", pixels(number(1)), "-y", pixels(792-number(4)), "-W", width, "-H", height,
		"-png", "-singlefile", filepath.Join(folder, "a.pdf"), filepath.Join(folder, "pdf"))
	ran(t, "rsvg-convert", "-w", width, "-h", height, "-o", filepath.Join(folder, "svg.png"), filepath.Join(folder, "a.svg"))
	d := different(picture(t, filepath.Join(folder, "pdf.png")), picture(t, filepath.Join(folder, "svg.png")))
	t.Logf("%.5f of the pixels differ", d)
	return d
}

func picture(t *testing.T, path string) *image.NRGBA {
	t.Helper()
	file, err := os.Open(path)
	require.NoError(t, err)
	defer func() { require.NoError(t, file.Close()) }()
	p, err := png.Decode(file)
	require.NoError(t, err)
	out := image.NewNRGBA(p.Bounds())
	draw.Draw(out, out.Bounds(), p, image.Point{}, draw.Src)
	return blurred(out)
}

// blurred gives every pixel the mean of the nine at its place: a thin line is one dark pixel to one program and two grey
// ones to another.
func blurred(p *image.NRGBA) *image.NRGBA {
	out := image.NewNRGBA(p.Rect)
	for y := 1; y < p.Rect.Dy()-1; y++ {
		for x := 1; x < p.Rect.Dx()-1; x++ {
			for i := range 4 {
				sum, at := 0, y*p.Stride+4*x+i
				for _, row := range []int{at - p.Stride, at, at + p.Stride} {
					sum += int(p.Pix[row-4]) + int(p.Pix[row]) + int(p.Pix[row+4])
				}
				out.Pix[y*out.Stride+4*x+i] = uint8(sum / 9)
			}
		}
	}
	return out
}

// different is the share of pixels that are like none of the nine at their place in the other picture. Edges may lie a
// pixel apart: the drawing begins within a pixel of the page.
func different(a, b *image.NRGBA) float64 {
	const near = 50 // of 255
	size := a.Bounds().Intersect(b.Bounds())
	found := func(in, from *image.NRGBA, x, y int) bool {
		p := from.Pix[from.PixOffset(x, y):]
		for dy := -1; dy <= 1; dy++ {
			for dx := -1; dx <= 1; dx++ {
				if !(image.Point{X: x + dx, Y: y + dy}).In(size) {
					continue
				}
				q := in.Pix[in.PixOffset(x+dx, y+dy):]
				far := false
				for i := range 3 {
					far = far || max(p[i], q[i])-min(p[i], q[i]) > near
				}
				if !far {
					return true
				}
			}
		}
		return false
	}
	n := 0
	for y := size.Min.Y; y < size.Max.Y; y++ {
		for x := size.Min.X; x < size.Max.X; x++ {
			if !found(b, a, x, y) || !found(a, b, x, y) {
				n++
			}
		}
	}
	return float64(n) / float64(size.Dx()*size.Dy())
}
