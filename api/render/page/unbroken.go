package page

import "strings"

const noBreak = "\u00a0"

// unitSigns are what stands after a number and is read with it.
var unitSigns = [...]string{"ft", "in", "yd", "m", "mm", "cm", "ft²", "ft³", "yd²", "yd³", "m²", "m³", "lb", "kg", "lb/ft³", "kg/m³", "h", "min", "%"}

// unbroken keeps numbers beside their units, whole inches beside their fraction, and feet beside inches: no line ends
// between them.
func unbroken(texts []Text) []Text {
	out := make([]Text, len(texts))
	for i, t := range texts {
		t.Words = unbrokenWords(t.Words)
		out[i] = t
	}
	return out
}

func unbrokenWords(words string) string {
	parts := strings.Split(words, " ")
	var b strings.Builder
	for i, p := range parts {
		if i > 0 {
			if belongs(parts[i-1:]) || i > 1 && parts[i-1] == "ft" && isNumber(parts[i-2]) && inches(parts[i:]) {
				b.WriteString(noBreak)
			} else {
				b.WriteByte(' ')
			}
		}
		b.WriteString(p)
	}
	return b.String()
}

// belongs tells whether the first of some parts is a number and the next one its unit or its fraction.
func belongs(parts []string) bool {
	return isNumber(parts[0]) && (isUnit(parts[1]) || isFraction(parts[1]))
}

// inches tells whether parts begin with a number of inches.
func inches(parts []string) bool {
	if len(parts) < 2 || !isNumber(parts[0]) {
		return false
	}
	return bare(parts[1]) == "in" || len(parts) > 2 && isFraction(parts[1]) && bare(parts[2]) == "in"
}

func bare(part string) string { return strings.TrimRight(part, ".,;:)”") }

func isUnit(part string) bool {
	part = bare(part)
	for _, u := range unitSigns {
		if part == u {
			return true
		}
	}
	return false
}

// isNumber tells whether a part ends in a digit: "12", "(3/4", "1,200.5".
func isNumber(part string) bool {
	return part != "" && part[len(part)-1] >= '0' && part[len(part)-1] <= '9'
}

// isFraction tells whether a part is one of inches: "3/8".
func isFraction(part string) bool {
	over, under, cut := strings.Cut(bare(part), "/")
	return cut && isDigits(over) && isDigits(under)
}

func isDigits(s string) bool { return s != "" && strings.Trim(s, "0123456789") == "" }

// unbroken is the table with its cells so.
func (t *Table) unbroken() *Table {
	out := *t
	out.Rows = make([]Row, len(t.Rows))
	for i, r := range t.Rows {
		cells := make([][]Text, len(r.Cells))
		for k, texts := range r.Cells {
			cells[k] = unbroken(texts)
		}
		r.Cells = cells
		out.Rows[i] = r
	}
	return &out
}

// shortestBlank is from how many underscores on they are a line to write on.
const shortestBlank = 4

// isBlank tells whether words are a line to write on. Underscores would be read out one by one, and broken like a word.
func isBlank(words string) bool {
	return len(words) >= shortestBlank && strings.Trim(words, "_") == ""
}
