package pricing

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"

	"bedline/estimate/document"
)

// csvHeader are the columns of a price list as CSV, see Document.CSV.
func csvHeader() []string { return []string{"table", "row", "member", "value"} }

const (
	listTable  = "list"  // members of the document itself
	ratesTable = "rates" // rows of /labour/rates
)

// CSV is the document as one RFC 4180 text that a spreadsheet opens, with a line for every value:
//
//	table,row,member,value
//	list,,name,standard
//	materials,1,key,edger-8x4
//	suppliers,1,delivery.fee,65.00
//	offers,1,breaks.1.from,5 yd3
//	rates,1,operation,dig_trench
//	labour,,hourly_cost,38.00
//
// A table is a member of the JSON, but for list (the document's own texts) and rates (/labour/rates). Lines of one
// table and row belong together; a row is only a label. A dot leads into an object, and a number after it to an item.
//
// Cells that a spreadsheet would take for a formula (a first = + - @, tab or line end) have an apostrophe in front,
// and so have those that begin with an apostrophe before one of these; ReadCSV takes it off again.
func (d *Document) CSV() ([]byte, error) {
	text, err := d.JSON()
	if err != nil {
		return nil, fmt.Errorf("writing a price list as CSV: %w", err)
	}
	root, err := document.Parse(text)
	if err != nil {
		return nil, fmt.Errorf("writing a price list as CSV: %w", err)
	}
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	w.UseCRLF = true
	rows := [][]string{csvHeader()}
	for i := range root.Members {
		rows = appendTable(rows, root.Members[i].Name, &root.Members[i].Value)
	}
	for _, row := range rows {
		if err := w.Write([]string{row[0], row[1], row[2], guardCell(row[3])}); err != nil {
			return nil, fmt.Errorf("writing a price list as CSV: %w", err)
		}
	}
	w.Flush()
	return out.Bytes(), w.Error()
}

func appendTable(rows [][]string, name string, n *document.Node) [][]string {
	switch n.Kind {
	case document.Array:
		for i := range n.Items {
			rows = appendCells(rows, name, strconv.Itoa(i+1), "", &n.Items[i])
		}
	case document.Object:
		for i := range n.Members {
			m := &n.Members[i]
			if name == "labour" && m.Name == ratesTable {
				rows = appendTable(rows, ratesTable, &m.Value)
				continue
			}
			rows = appendCells(rows, name, "", m.Name, &m.Value)
		}
	default:
		rows = append(rows, []string{listTable, "", name, n.Text})
	}
	return rows
}

func appendCells(rows [][]string, table, row, member string, n *document.Node) [][]string {
	below := func(step string) string {
		if member == "" {
			return step
		}
		return member + "." + step
	}
	switch n.Kind {
	case document.Array:
		for i := range n.Items {
			rows = appendCells(rows, table, row, below(strconv.Itoa(i+1)), &n.Items[i])
		}
	case document.Object:
		for i := range n.Members {
			rows = appendCells(rows, table, row, below(n.Members[i].Name), &n.Members[i].Value)
		}
	default:
		rows = append(rows, []string{table, row, member, n.Text})
	}
	return rows
}

// formulas are the characters that make a spreadsheet take a cell for a formula when they come first.
const formulas = "=+-@\t\r\n"

func guardCell(cell string) string {
	if cell == "" {
		return cell
	}
	if strings.ContainsRune(formulas, rune(cell[0])) || cell[0] == '\'' && guarded(cell) {
		return "'" + cell
	}
	return cell
}

// guarded tells whether the apostrophe at the beginning of a cell is there for the spreadsheet.
func guarded(cell string) bool {
	return len(cell) > 1 && cell[0] == '\'' && strings.ContainsRune(formulas+"'", rune(cell[1]))
}

func unguardCell(cell string) string {
	if guarded(cell) {
		return cell[1:]
	}
	return cell
}

// CSVFault is a fault with the line of the CSV text that it is on, from 1. What is missing is on the first line of
// what it is missing from.
type CSVFault struct {
	Line int
	document.Fault
}

// InvalidCSVError says what is wrong with a price list that came as CSV.
type InvalidCSVError struct {
	Faults []CSVFault // the first MostFaults by line
	Total  int
}

// Error names the first fault and how many there are.
func (e *InvalidCSVError) Error() string {
	first := e.Faults[0]
	text := fmt.Sprintf("the price list cannot be used: line %d: %s", first.Line, strings.TrimPrefix(first.Pointer+" "+first.Detail, " "))
	if e.Total > 1 {
		text += fmt.Sprintf(" (and %d faults more)", e.Total-1)
	}
	return text
}
