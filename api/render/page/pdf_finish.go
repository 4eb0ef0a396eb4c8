package page

import (
	"bytes"
	"compress/zlib"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"encoding/xml"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf16"
)

// finish turns what fpdf wrote into the file: with the tree of the structure, the patterns, tables from glyphs to
// characters, the properties of the document, and all small objects packed into streams (ISO 32000-1, 7.5.7 and 7.5.8).
// fpdf can write none of these, but says by its table of references where every object stands.
func (w *pdfWriter) finish(raw []byte) ([]byte, error) {
	f, err := readPDF(raw)
	if err != nil {
		return nil, err
	}
	if err := w.finishPages(f); err != nil {
		return nil, err
	}
	if err := w.finishFonts(f); err != nil {
		return nil, err
	}
	structure := w.finishStructure(f)
	metadata := f.add("<</Type /Metadata /Subtype /XML /Length " + strconv.Itoa(len(w.xmp())) + ">>\nstream\n" + w.xmp() + "\nendstream")
	catalog := "/MarkInfo <</Marked true>> /StructTreeRoot " + reference(structure) + " /Lang " + pdfString(w.doc.Language) +
		" /ViewerPreferences <</DisplayDocTitle true>> /Metadata " + reference(metadata)
	if err := f.insert(f.root, "/Type /Catalog", catalog); err != nil {
		return nil, err
	}
	info := "<</Title " + pdfString(oneLine(w.doc.Title))
	if s := oneLine(w.doc.Subject); s != "" {
		info += " /Subject " + pdfString(s)
	}
	f.objects[f.info] = []byte(info + ">>")
	return f.write(), nil
}

// pdfFile is a PDF as its objects: what stands between "obj" and "endobj", by number.
type pdfFile struct {
	objects    [][]byte
	root, info int
}

var errNotAsWritten = errors.New("the library wrote a PDF of another make")

// readPDF takes a file apart that fpdf wrote.
func readPDF(raw []byte) (*pdfFile, error) {
	_, tail, ok := cutLast(raw, "startxref\n")
	if !ok {
		return nil, errNotAsWritten
	}
	var at, count, root, info int
	if _, err := fmt.Sscan(string(tail), &at); err != nil || at <= 0 || at >= len(raw) {
		return nil, errNotAsWritten
	}
	if _, err := fmt.Sscanf(string(raw[at:]), "xref\n0 %d\n", &count); err != nil || count < 2 {
		return nil, errNotAsWritten
	}
	lines := bytes.Split(raw[at:], []byte("\n"))
	if len(lines) < count+8 {
		return nil, errNotAsWritten
	}
	offsets := make([]int, count)
	for i := 1; i < count; i++ {
		offset, err := strconv.Atoi(string(lines[2+i][:min(10, len(lines[2+i]))]))
		if err != nil || offset <= 0 || offset >= at {
			return nil, errNotAsWritten
		}
		offsets[i] = offset
	}
	for _, line := range lines[2+count:] {
		_, _ = fmt.Sscanf(string(line), "/Root %d 0 R", &root)
		_, _ = fmt.Sscanf(string(line), "/Info %d 0 R", &info)
	}
	if root <= 0 || root >= count || info <= 0 || info >= count {
		return nil, errNotAsWritten
	}
	f := &pdfFile{objects: make([][]byte, count), root: root, info: info}
	sorted := slices.Clone(offsets[1:])
	slices.Sort(sorted)
	for i := 1; i < count; i++ {
		end := at
		if n, _ := slices.BinarySearch(sorted, offsets[i]+1); n < len(sorted) {
			end = sorted[n]
		}
		body, head := bytes.CutPrefix(raw[offsets[i]:end], []byte(strconv.Itoa(i)+" 0 obj\n"))
		body, foot := bytes.CutSuffix(body, []byte("endobj\n"))
		if !head || !foot {
			return nil, errNotAsWritten
		}
		f.objects[i] = bytes.TrimSuffix(body, []byte("\n"))
	}
	return f, nil
}

func cutLast(b []byte, mark string) (before, after []byte, found bool) {
	i := bytes.LastIndex(b, []byte(mark))
	if i < 0 {
		return b, nil, false
	}
	return b[:i], b[i+len(mark):], true
}

// add puts an object at the end and gives its number.
func (f *pdfFile) add(body string) int {
	f.objects = append(f.objects, []byte(body))
	return len(f.objects) - 1
}

// insert puts entries into a dictionary, after one that is there.
func (f *pdfFile) insert(number int, after, entries string) error {
	before, rest, ok := bytes.Cut(f.objects[number], []byte(after))
	if !ok {
		return errNotAsWritten
	}
	f.objects[number] = slices.Concat(before, []byte(after), []byte(" "+entries+" "), rest)
	return nil
}

func reference(number int) string { return strconv.Itoa(number) + " 0 R" }

// pageObject is the number of a page's object: fpdf writes pages first, each with its content after it.
func pageObject(page int) int { return 1 + 2*page }

func deflated(text string) string {
	var b bytes.Buffer
	z := zlib.NewWriter(&b)
	_, _ = z.Write([]byte(text)) // a bytes.Buffer never fails
	_ = z.Close()
	return b.String()
}

func stream(dictionary, content string) string {
	packed := deflated(content)
	return "<<" + dictionary + " /Filter /FlateDecode /Length " + strconv.Itoa(len(packed)) + ">>\nstream\n" + packed + "\nendstream"
}

func (w *pdfWriter) finishPages(f *pdfFile) error {
	for i := range w.marks {
		number := pageObject(i + 1)
		if number >= len(f.objects) {
			return errNotAsWritten
		}
		if err := f.insert(number, "<</Type /Page\n", "/StructParents "+strconv.Itoa(i)+" /Tabs /S"); err != nil {
			return err
		}
	}
	if len(w.patterns) == 0 {
		return nil
	}
	entries := "/Pattern <<"
	for _, p := range w.patterns {
		entries += "/" + p.name + " " + reference(f.add(stream(p.stream()))) + " "
	}
	return f.insert(2, "/ProcSet [/PDF /Text /ImageB /ImageC /ImageI]", entries+">>")
}

// finishFonts names the fonts as subsets have to be named (9.6.4), and gives each the characters of its codes (9.10.3).
func (w *pdfWriter) finishFonts(f *pdfFile) error {
	for _, face := range []*pdfFace{w.regular, w.bold} {
		was := "/utf8" + pdfFamily + face.style + "\n"
		found := false
		for i := 1; i < len(f.objects); i++ {
			body := f.objects[i]
			if !bytes.HasPrefix(body, []byte("<</Type /Font")) || !bytes.Contains(body, []byte(was)) {
				continue
			}
			f.objects[i] = bytes.ReplaceAll(body, []byte(was), []byte("/"+face.tag()+"+"+face.name+"\n"))
			if _, rest, ok := bytes.Cut(body, []byte("/ToUnicode ")); ok {
				var number int
				if _, err := fmt.Sscanf(string(rest), "%d 0 R", &number); err != nil || number >= len(f.objects) {
					return errNotAsWritten
				}
				f.objects[number] = []byte(stream("", face.characters()))
				found = true
			}
		}
		if !found {
			return errNotAsWritten
		}
	}
	return nil
}

// runes are those that the document uses, in order.
func (f *pdfFace) runes() []rune {
	out := make([]rune, 0, len(f.used))
	for r := range f.used {
		out = append(out, r)
	}
	slices.Sort(out)
	return out
}

// tag tells this subset of a font from others: six letters.
func (f *pdfFace) tag() string {
	sum := sha256.Sum256([]byte(f.name + string(f.runes())))
	tag := make([]byte, 6)
	for i := range tag {
		tag[i] = 'A' + sum[i]%26
	}
	return string(tag)
}

// characters is the table from the codes of a font, which are UTF-16, to characters.
func (f *pdfFace) characters() string {
	var b strings.Builder
	b.WriteString("/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n/CIDSystemInfo <</Registry (Adobe) /Ordering (UCS) /Supplement 0>> def\n" +
		"/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n")
	for part := range slices.Chunk(f.runes(), 100) {
		b.WriteString(strconv.Itoa(len(part)) + " beginbfchar\n")
		for _, r := range part {
			fmt.Fprintf(&b, "<%04X> <%04X>\n", r, r)
		}
		b.WriteString("endbfchar\n")
	}
	b.WriteString("endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n")
	return b.String()
}

// finishStructure writes the tree of the structure and gives the number of its root.
func (w *pdfWriter) finishStructure(f *pdfFile) int {
	root := f.add("")
	numbers := map[*element]int{}
	var number func(e *element)
	number = func(e *element) {
		numbers[e] = f.add("")
		for _, part := range e.parts {
			number(part)
		}
	}
	number(w.root)
	var write func(e *element, parent int)
	write = func(e *element, parent int) {
		body := "<</Type /StructElem /S /" + e.kind + " /P " + reference(parent)
		if e.attributes != "" {
			body += " /A " + e.attributes
		}
		if e.alt != "" {
			body += " /Alt " + pdfString(e.alt)
		}
		var kids []string
		for i, m := range e.marks {
			if i == 0 {
				body += " /Pg " + reference(pageObject(m.page))
			}
			if m.page == e.marks[0].page {
				kids = append(kids, strconv.Itoa(m.number))
			} else {
				kids = append(kids, "<</Type /MCR /Pg "+reference(pageObject(m.page))+" /MCID "+strconv.Itoa(m.number)+">>")
			}
		}
		for _, part := range e.parts {
			kids = append(kids, reference(numbers[part]))
			write(part, numbers[e])
		}
		if len(kids) > 0 {
			body += " /K [" + strings.Join(kids, " ") + "]"
		}
		f.objects[numbers[e]] = []byte(body + ">>")
	}
	write(w.root, root)
	var parents strings.Builder
	parents.WriteString("<</Nums [")
	for i, page := range w.marks {
		parents.WriteString(strconv.Itoa(i) + " [")
		for _, e := range page {
			parents.WriteString(reference(numbers[e]) + " ")
		}
		parents.WriteString("] ")
	}
	tree := f.add(parents.String() + "]>>")
	f.objects[root] = []byte("<</Type /StructTreeRoot /K " + reference(numbers[w.root]) + " /ParentTree " + reference(tree) +
		" /ParentTreeNextKey " + strconv.Itoa(len(w.marks)) + ">>")
	return root
}

// xmp says the title, the subject and the language once more, as XMP (ISO 16684-1).
func (w *pdfWriter) xmp() string {
	escape := func(s string) string {
		var b strings.Builder
		_ = xml.EscapeText(&b, []byte(s)) // a strings.Builder never fails
		return b.String()
	}
	out := "<?xpacket begin=\"\uFEFF\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n" +
		`<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">` +
		`<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/"><dc:format>application/pdf</dc:format>` +
		`<dc:title><rdf:Alt><rdf:li xml:lang="x-default">` + escape(oneLine(w.doc.Title)) + `</rdf:li></rdf:Alt></dc:title>`
	if s := oneLine(w.doc.Subject); s != "" {
		out += `<dc:description><rdf:Alt><rdf:li xml:lang="x-default">` + escape(s) + `</rdf:li></rdf:Alt></dc:description>`
	}
	return out + `<dc:language><rdf:Bag><rdf:li>` + escape(w.doc.Language) + `</rdf:li></rdf:Bag></dc:language>` +
		"</rdf:Description></rdf:RDF></x:xmpmeta>\n<?xpacket end=\"r\"?>"
}

// packSize is how many objects one stream of objects holds.
const packSize = 200

// write puts the file together.
func (f *pdfFile) write() []byte {
	all := sha256.New()
	for _, o := range f.objects {
		all.Write(o)
	}
	id := hex.EncodeToString(all.Sum(nil)[:16])

	out := bytes.NewBufferString("%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")
	type place struct{ kind, at, index int }
	places := make([]place, len(f.objects), len(f.objects)+8)
	direct := func(number int, body []byte) {
		places[number] = place{1, out.Len(), 0}
		out.WriteString(strconv.Itoa(number) + " 0 obj\n")
		out.Write(body)
		out.WriteString("\nendobj\n")
	}
	var small []int
	for i := 1; i < len(f.objects); i++ {
		if bytes.HasSuffix(f.objects[i], []byte("endstream")) {
			direct(i, f.objects[i])
		} else {
			small = append(small, i)
		}
	}
	for part := range slices.Chunk(small, packSize) {
		pack := len(places)
		places = append(places, place{})
		var index, bodies strings.Builder
		for i, number := range part {
			fmt.Fprintf(&index, "%d %d ", number, bodies.Len())
			bodies.Write(f.objects[number])
			bodies.WriteByte('\n')
			places[number] = place{2, pack, i}
		}
		direct(pack, []byte(stream("/Type /ObjStm /N "+strconv.Itoa(len(part))+" /First "+strconv.Itoa(index.Len()), index.String()+bodies.String())))
	}
	number := len(places)
	places = append(places, place{1, out.Len(), 0})
	var table []byte
	for i, p := range places {
		if i == 0 {
			p, p.index = place{}, 0xffff
		}
		table = append(table, byte(p.kind))
		table = binary.BigEndian.AppendUint32(table, uint32(p.at))
		table = binary.BigEndian.AppendUint16(table, uint16(p.index))
	}
	at := out.Len()
	direct(number, []byte(stream("/Type /XRef /W [1 4 2] /Size "+strconv.Itoa(len(places))+" /Root "+reference(f.root)+" /Info "+reference(f.info)+
		" /ID [<"+id+"> <"+id+">]", string(table))))
	out.WriteString("startxref\n" + strconv.Itoa(at) + "\n%%EOF\n")
	return out.Bytes()
}

// pdfString writes a text string (7.9.2): as it is where it is plain ASCII, in UTF-16 otherwise.
func pdfString(s string) string {
	plain := true
	for _, r := range s {
		plain = plain && r >= 0x20 && r < 0x7f
	}
	if plain {
		return "(" + strings.NewReplacer(`\`, `\\`, "(", `\(`, ")", `\)`).Replace(s) + ")"
	}
	var b strings.Builder
	b.WriteString("<FEFF")
	for _, u := range utf16.Encode([]rune(s)) {
		fmt.Fprintf(&b, "%04X", u)
	}
	return b.String() + ">"
}

// paired writes characters beyond the Basic Multilingual Plane as two surrogates of three bytes each, as fpdf reads them
// into UTF-16.
func paired(s string) string {
	var b []byte
	for _, u := range utf16.Encode([]rune(s)) {
		switch {
		case u < 0x80:
			b = append(b, byte(u))
		case u < 0x800:
			b = append(b, 0xc0|byte(u>>6), 0x80|byte(u&0x3f))
		default:
			b = append(b, 0xe0|byte(u>>12), 0x80|byte(u>>6&0x3f), 0x80|byte(u&0x3f))
		}
	}
	return string(b)
}
