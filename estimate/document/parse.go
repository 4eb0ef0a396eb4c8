package document

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/go-json-experiment/json/jsontext"
)

// Limits of a text.
const (
	MaxDepth  = 32     // arrays and objects within one another
	MaxValues = 250000 // values in all
)

// SyntaxError says where and why a text is not a JSON text that can be read. It never repeats the text.
type SyntaxError struct {
	Line, Column int    // from 1, the column in characters
	Reason       string // to be read after the name of the document: "ends before it is complete"
}

// Error is the reason with its place.
func (e *SyntaxError) Error() string {
	return fmt.Sprintf("the JSON text %s (line %d, column %d)", e.Reason, e.Line, e.Column)
}

// Parse reads exactly one JSON text (RFC 8259). Numbers keep their literals. Refused are text after the end,
// duplicate members, invalid UTF-8 and lone surrogates, a byte order mark, numbers beyond the range of float64, and
// more than MaxDepth levels or MaxValues values. The error is a *SyntaxError.
func Parse(text []byte) (*Node, error) {
	if bytes.HasPrefix(text, []byte("\xef\xbb\xbf")) {
		return nil, &SyntaxError{1, 1, "begins with a byte order mark"}
	}
	if !utf8.Valid(text) {
		return nil, fail(text, invalidUTF8(text), "is not UTF-8")
	}
	p := parser{text: text, str: string(text), dec: jsontext.NewDecoder(bytes.NewBuffer(text))}
	root, err := p.value(0)
	if err != nil {
		return nil, err
	}
	if rest := bytes.TrimLeft(text[p.dec.InputOffset():], space); len(rest) > 0 {
		return nil, fail(text, len(text)-len(rest), "goes on after its end")
	}
	return &root, nil
}

// Canonical is the RFC 8785 form of a JSON text that Parse has accepted; it does not look for everything that Parse does. Numbers become the nearest float64.
func Canonical(text []byte) ([]byte, error) {
	v := jsontext.Value(bytes.Clone(text))
	if err := v.Canonicalize(); err != nil {
		return nil, fmt.Errorf("canonicalizing a JSON text: %w", err)
	}
	return v, nil
}

const space = " \t\r\n"

type parser struct {
	text    []byte
	str     string // the text again, of which strings and literals are slices
	dec     *jsontext.Decoder
	values  int
	nodes   pile[Node]
	members pile[Member]
}

// pile builds slices within one another: each grows on top and is cut to its exact length, many to one allocation.
type pile[T any] struct {
	growing []T
	kept    []T
}

// keep is the elements from base on, in memory of their own.
func (p *pile[T]) keep(base int) []T {
	top := p.growing[base:]
	if len(top) == 0 {
		return nil
	}
	if len(top) > cap(p.kept)-len(p.kept) {
		p.kept = make([]T, 0, max(len(top), min(2*cap(p.kept), 1024), 8))
	}
	start := len(p.kept)
	p.kept = append(p.kept, top...)
	clear(top)
	p.growing = p.growing[:base]
	return p.kept[start:len(p.kept):len(p.kept)]
}

func (p *parser) value(depth int) (n Node, err error) {
	if p.values++; p.values > MaxValues {
		return n, fail(p.text, p.next(), "has more than "+strconv.Itoa(MaxValues)+" values")
	}
	switch p.dec.PeekKind() {
	case '{':
		return p.object(depth + 1)
	case '[':
		return p.array(depth + 1)
	}
	raw, err := p.dec.ReadValue()
	if err != nil {
		return n, p.wrap(err)
	}
	n.Offset = int(p.dec.InputOffset()) - len(raw)
	switch raw[0] {
	case 'n':
		n.Kind = Null
	case 't', 'f':
		n.Kind, n.True = Bool, raw[0] == 't'
	case '"':
		n.Kind = String
		n.Text, err = p.unquote(raw)
		return n, err
	default:
		n.Kind, n.Text = Number, p.slice(len(raw))
		if len(raw) <= 300 && !bytes.ContainsAny(raw, "eE") {
			return n, nil // surely below 1e308
		}
		if _, err := strconv.ParseFloat(n.Text, 64); err != nil {
			return n, fail(p.text, n.Offset, "has a number beyond the range of double precision")
		}
	}
	return n, nil
}

func (p *parser) object(depth int) (n Node, err error) {
	n.Kind, n.Offset = Object, p.next()
	if err := p.enter(depth); err != nil {
		return n, err
	}
	base := len(p.members.growing)
	for p.dec.PeekKind() != '}' {
		raw, err := p.dec.ReadValue()
		if err != nil {
			return n, p.wrap(err)
		}
		var m Member
		if m.Name, err = p.unquote(raw); err != nil {
			return n, err
		}
		if m.Value, err = p.value(depth); err != nil {
			return n, err
		}
		p.members.growing = append(p.members.growing, m)
	}
	n.Members = p.members.keep(base)
	return n, p.bracket()
}

func (p *parser) array(depth int) (n Node, err error) {
	n.Kind, n.Offset = Array, p.next()
	if err := p.enter(depth); err != nil {
		return n, err
	}
	base := len(p.nodes.growing)
	for p.dec.PeekKind() != ']' {
		item, err := p.value(depth)
		if err != nil {
			return n, err
		}
		p.nodes.growing = append(p.nodes.growing, item)
	}
	n.Items = p.nodes.keep(base)
	return n, p.bracket()
}

func (p *parser) enter(depth int) error {
	if depth > MaxDepth {
		return fail(p.text, p.next(), "is nested more than "+strconv.Itoa(MaxDepth)+" deep")
	}
	return p.bracket()
}

// bracket reads an opening or closing bracket.
func (p *parser) bracket() error {
	if _, err := p.dec.ReadToken(); err != nil {
		return p.wrap(err)
	}
	return nil
}

// next is the offset of what comes after the separators.
func (p *parser) next() int {
	i := int(p.dec.InputOffset())
	for i < len(p.text) && strings.IndexByte(space+",:", p.text[i]) >= 0 {
		i++
	}
	return i
}

// slice is the last n bytes read.
func (p *parser) slice(n int) string {
	end := int(p.dec.InputOffset())
	return p.str[end-n : end]
}

func (p *parser) unquote(raw jsontext.Value) (string, error) {
	if bytes.IndexByte(raw, '\\') < 0 {
		s := p.slice(len(raw))
		return s[1 : len(s)-1], nil
	}
	b, err := jsontext.AppendUnquote(nil, []byte(raw))
	if err != nil {
		return "", p.wrap(err)
	}
	return string(b), nil
}

// wrap puts an error of the decoder into plain words.
func (p *parser) wrap(err error) error {
	at := int(p.dec.InputOffset())
	if e := (*jsontext.SyntacticError)(nil); errors.As(err, &e) {
		at = min(int(e.ByteOffset), len(p.text))
	}
	rest := p.text[at:]
	first := byte(' ')
	if len(rest) > 0 {
		first = rest[0]
	}
	reason := "is not JSON at this place"
	switch {
	case errors.Is(err, jsontext.ErrDuplicateName):
		reason = "has two members of the same name in one object"
	case errors.Is(err, jsontext.ErrNonStringName):
		at, reason = p.next(), "has a member whose name is not a string in double quotes"
	case len(bytes.Trim(p.text, space)) == 0:
		reason = "is empty"
	case errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, io.EOF):
		at, reason = len(p.text), "ends before it is complete"
	case first == '\\':
		reason = "has an escape in a string that JSON does not know, or half a surrogate pair"
	case first < ' ':
		reason = "has a control character that is not escaped"
	case bytes.HasPrefix(bytes.TrimPrefix(rest, []byte("-")), []byte("Infinity")), bytes.HasPrefix(rest, []byte("NaN")):
		reason = "has a number that is not finite"
	case first == '\'':
		reason = "has a single quote where JSON takes double quotes"
	case first == '/' || first == '#':
		reason = "has a comment, which JSON does not know"
	case first == ',' && bytes.IndexAny(bytes.TrimLeft(rest[1:], space), "]}") == 0:
		reason = "has a comma before a closing bracket"
	}
	return fail(p.text, at, reason)
}

func invalidUTF8(text []byte) int {
	for i := 0; i < len(text); {
		r, n := utf8.DecodeRune(text[i:])
		if r == utf8.RuneError && n == 1 {
			return i
		}
		i += n
	}
	return len(text)
}

func fail(text []byte, at int, reason string) error {
	before := text[:at]
	start := bytes.LastIndexByte(before, '\n') + 1
	return &SyntaxError{
		Line:   bytes.Count(before, []byte("\n")) + 1,
		Column: utf8.RuneCount(before[start:]) + 1,
		Reason: reason,
	}
}
