package pricing

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"bedline/estimate/document"
)

// Limits of a CSV text.
const (
	mostRows  = 100_000
	mostSteps = 4 // of a member: breaks.1.from has 3
)

// CodeBadCSV is the code of a fault of the CSV itself.
const CodeBadCSV = "bad_csv"

// ReadCSV reads what Document.CSV writes, checked as ReadDocument checks JSON. The error is an *InvalidCSVError.
// A byte order mark before the header is skipped: spreadsheets write one.
func ReadCSV(text []byte) (*Document, error) {
	tree, fault := readRows(bytes.TrimPrefix(text, []byte("\xef\xbb\xbf")))
	if fault != nil {
		return nil, &InvalidCSVError{Faults: []CSVFault{*fault}, Total: 1}
	}
	for _, name := range []string{"materials", "soils", "suppliers", "offers"} {
		tree.ensureList(name)
	}
	tree.child("labour", 1).ensureList(ratesTable)
	w := &treeWriter{lines: map[string]int{"": 1}}
	w.write(tree, "")
	d, faults, root, err := readDocument(w.out)
	if err != nil { // too many values or too deep, and both are refused before
		return nil, fmt.Errorf("reading a price list from CSV: %w", err)
	}
	if faults.Len() == 0 {
		return d, nil
	}
	e := &InvalidCSVError{Total: faults.Len()}
	all := faults.List(root)
	d.nameOffers(all)
	for _, f := range all {
		e.Faults = append(e.Faults, CSVFault{Line: w.line(f.Pointer), Fault: f})
	}
	slices.SortStableFunc(e.Faults, func(a, b CSVFault) int { return cmp.Compare(a.Line, b.Line) })
	e.Faults = e.Faults[:min(len(e.Faults), MostFaults)]
	return nil, e
}

// branch is a value of the document as it grows from the lines of a CSV text.
type branch struct {
	name     string // of the member, or the label of the item
	line     int    // the first that it is on
	leaf     bool
	value    string
	items    bool // an array, not an object
	children []*branch
	index    map[string]*branch
}

// child is the member or item of that name, made where there is none.
func (b *branch) child(name string, line int) *branch {
	if c, ok := b.index[name]; ok {
		return c
	}
	c := &branch{name: name, line: line}
	if b.index == nil {
		b.index = map[string]*branch{}
	}
	b.index[name] = c
	b.children = append(b.children, c)
	return c
}

func badCSV(line int, detail string) *CSVFault {
	return &CSVFault{Line: line, Fault: document.Fault{Code: CodeBadCSV, Detail: detail, Example: `"materials,1,key,edger-8x4"`}}
}

func readRows(text []byte) (*branch, *CSVFault) {
	if !utf8.Valid(text) {
		return nil, badCSV(1+bytes.Count(text[:invalidUTF8(text)], []byte("\n")), "is not UTF-8")
	}
	r := csv.NewReader(bytes.NewReader(text))
	r.ReuseRecord = true
	header, err := r.Read()
	if err != nil || !slices.Equal(header, csvHeader()) {
		return nil, badCSV(1, "must be the header: "+strings.Join(csvHeader(), ","))
	}
	root := &branch{line: 1}
	for rows := 0; ; rows++ {
		record, err := r.Read()
		if errors.Is(err, io.EOF) {
			return root, nil
		}
		var parse *csv.ParseError
		switch {
		case errors.As(err, &parse):
			return nil, badCSV(parse.StartLine, "is not RFC 4180: "+parse.Err.Error())
		case err != nil:
			return nil, badCSV(1, "cannot be read")
		case rows == mostRows:
			return nil, badCSV(1, fmt.Sprintf("must have at most %d lines", mostRows))
		}
		line, _ := r.FieldPos(0)
		if detail := root.grow(record, line); detail != "" {
			return nil, badCSV(line, detail)
		}
	}
}

func invalidUTF8(text []byte) int {
	for i := 0; i < len(text); {
		r, size := utf8.DecodeRune(text[i:])
		if r == utf8.RuneError && size == 1 {
			return i
		}
		i += size
	}
	return len(text)
}

// grow adds the value of a line. It gives what is wrong with the line, if anything.
func (b *branch) grow(record []string, line int) string {
	table, row, member := record[0], record[1], strings.Split(record[2], ".")
	type step struct {
		name string
		item bool
	}
	var way []step
	switch {
	case table == "":
		return "has no table"
	case table == listTable && row != "":
		return "must have no row: there is one list"
	case table == ratesTable && row == "":
		return "must have a row, to tell the rates apart"
	case len(member) > mostSteps:
		return "has a member of too many steps"
	case slices.Contains(member, ""):
		return "has no member, or a dot too many"
	case table == ratesTable:
		way = append(way, step{"labour", false}, step{ratesTable, false})
	case table != listTable:
		way = append(way, step{table, false})
	}
	if row != "" {
		way = append(way, step{row, true})
	}
	for _, name := range member {
		way = append(way, step{name, strings.Trim(name, "0123456789") == ""})
	}
	at := b
	for _, s := range way {
		if at.leaf || len(at.children) > 0 && at.items != s.item {
			return "does not go together with a line before it: one says that there are items, the other that there are none"
		}
		at.items = s.item
		at = at.child(strings.Clone(s.name), line)
	}
	if at.leaf || len(at.children) > 0 {
		return "gives a member that is given already"
	}
	at.leaf, at.value = true, strings.Clone(unguardCell(record[3]))
	return ""
}

// ensureList makes the list there if nothing is: CSV has no line for an empty list.
func (b *branch) ensureList(name string) {
	if c := b.child(name, 1); !c.leaf && len(c.children) == 0 {
		c.items = true
	}
}

// treeWriter writes the JSON of a tree and remembers the line of every pointer.
type treeWriter struct {
	out   []byte
	lines map[string]int
}

func (w *treeWriter) write(b *branch, pointer string) {
	w.lines[pointer] = b.line
	switch {
	case b.leaf:
		w.out = appendText(w.out, b.value)
	case b.items:
		w.out = append(w.out, '[')
		for i, c := range b.children {
			if i > 0 {
				w.out = append(w.out, ',')
			}
			w.write(c, pointer+"/"+strconv.Itoa(i))
		}
		w.out = append(w.out, ']')
	default:
		w.out = append(w.out, '{')
		for i, c := range b.children {
			if i > 0 {
				w.out = append(w.out, ',')
			}
			w.out = append(appendText(w.out, c.name), ':')
			w.write(c, pointer+"/"+document.Escape(c.name))
		}
		w.out = append(w.out, '}')
	}
}

// line is that of the pointer, or of what it lies in.
func (w *treeWriter) line(pointer string) int {
	for {
		if line, ok := w.lines[pointer]; ok {
			return line
		}
		pointer = pointer[:max(0, strings.LastIndexByte(pointer, '/'))]
	}
}
