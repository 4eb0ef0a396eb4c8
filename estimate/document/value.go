package document

import (
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"bedline/estimate/measure"
)

// Value is a value of the document with its place. Its accessors are those of Reader. The zero Value reads nothing.
type Value struct {
	node   *Node
	faults *Faults
	name   string
	up     int32
	index  int32
}

// step keeps the value's place for what lies below it.
func (v Value) step() int32 {
	if v.index == isSelf {
		return v.up
	}
	v.faults.steps = append(v.faults.steps, step{v.name, v.index, v.up})
	return int32(len(v.faults.steps) - 1)
}

// Pointer is the place of the value.
func (v Value) Pointer() string {
	switch {
	case v.faults == nil:
		return ""
	case v.index == isSelf:
		return v.faults.pointer(v.up)
	case v.index == isMember:
		return v.faults.pointer(v.up) + "/" + Escape(v.name)
	}
	return v.faults.pointer(v.up) + "/" + strconv.Itoa(int(v.index))
}

func (f *Faults) pointer(at int32) string {
	if at == top {
		return ""
	}
	s := f.steps[at]
	if s.index == isMember {
		return f.pointer(s.up) + "/" + Escape(s.name)
	}
	return f.pointer(s.up) + "/" + strconv.Itoa(int(s.index))
}

// Node is the value itself, nil for the zero Value.
func (v Value) Node() *Node { return v.node }

// Kind is the JSON type, Null for the zero Value.
func (v Value) Kind() Kind {
	if v.node == nil {
		return Null
	}
	return v.node.Kind
}

// IsNull tells whether the value is null, where null has a meaning.
func (v Value) IsNull() bool { return v.Kind() == Null }

// Fault notes a fault of the value.
func (v Value) Fault(code, detail, example string) {
	if v.faults != nil {
		v.faults.Add(v.Pointer(), code, detail, example)
	}
}

func (v Value) null() { v.Fault(CodeNull, "is null: leave the member out instead", "") }

// is tells whether the value is of the kind; otherwise it is a fault that says what it should be.
func (v Value) is(k Kind, w want) bool {
	switch {
	case v.node == nil:
		return false
	case v.node.Kind == k:
		return true
	case v.node.Kind == Null:
		v.Fault(CodeNull, "is null: leave it out, or it must be "+w.what, w.example)
	default:
		v.Fault(CodeWrongType, "must be "+w.what, w.example)
	}
	return false
}

// Object reads an object.
func (v Value) Object() (Reader, bool) {
	if !v.is(Object, wantObject) {
		return Reader{}, false
	}
	f := v.faults
	r := Reader{node: v.node, faults: f, step: v.step(), bits: int32(len(f.bits)), absent: int32(len(f.absent))}
	f.bits = append(f.bits, 0) // at least one, so that the place tells objects apart
	for n := len(v.node.Members); n > 64; n -= 64 {
		f.bits = append(f.bits, 0)
	}
	return r, true
}

// Each reads an array of min to max items; see Reader.Each.
func (v Value) Each(min, max int, visit func(i int, at Value)) bool {
	if !v.is(Array, wantArray) {
		return false
	}
	n := len(v.node.Items)
	right := n >= min && n <= max
	if !right {
		v.Fault(CodeOutOfRange, "must have "+span(strconv.Itoa(min), strconv.Itoa(max), min == max)+" items", "")
	}
	if n > max {
		return false
	}
	at := v.step()
	for i := range v.node.Items {
		visit(i, Value{node: &v.node.Items[i], faults: v.faults, up: at, index: int32(i)})
	}
	return right
}

// Point reads an array of two lengths, the coordinates of a point.
func (v Value) Point(s Sign) (x, y measure.Length, ok bool) {
	if !v.is(Array, wantPoint) {
		return 0, 0, false
	}
	if len(v.node.Items) != 2 {
		v.Fault(CodeOutOfRange, "must be "+wantPoint.what, wantPoint.example)
		return 0, 0, false
	}
	at := v.step()
	x, okX := Value{node: &v.node.Items[0], faults: v.faults, up: at, index: 0}.Length(s)
	y, okY := Value{node: &v.node.Items[1], faults: v.faults, up: at, index: 1}.Length(s)
	return x, y, okX && okY
}

// Text reads a text of 1 to maxLen characters without control characters.
func (v Value) Text(maxLen int) (string, bool) { return v.text(1, maxLen) }

func (v Value) text(least, most int) (string, bool) {
	if !v.is(String, wantText) {
		return "", false
	}
	s := v.node.Text
	if n := utf8.RuneCountInString(s); n < least || n > most {
		v.Fault(CodeOutOfRange, "must have "+span(strconv.Itoa(least), strconv.Itoa(most), least == most)+" characters", wantText.example)
		return "", false
	}
	if strings.ContainsFunc(s, func(r rune) bool { return r < ' ' || 0x7f <= r && r < 0xa0 || r == '\u2028' || r == '\u2029' }) {
		v.Fault(CodeBadText, "must be one line without control characters", wantText.example)
		return "", false
	}
	return s, true
}

// Key reads an identifier; see Reader.Key.
func (v Value) Key() (string, bool) {
	if !v.is(String, wantKey) {
		return "", false
	}
	if !isKey(v.node.Text) {
		v.Fault(CodeBadKey, "must be "+wantKey.what, wantKey.example)
		return "", false
	}
	return v.node.Text, true
}

func isKey(s string) bool {
	if s == "" || len(s) > 64 || s[0] == '_' || s[0] == '-' {
		return false
	}
	for i := range len(s) {
		if c := s[i]; !('a' <= c && c <= 'z' || '0' <= c && c <= '9' || c == '_' || c == '-') {
			return false
		}
	}
	return true
}

// Choice reads one of the given words; another is a fault that names the nearest.
func (v Value) Choice(choices ...string) (string, bool) {
	if v.node != nil && v.node.Kind == String {
		for _, c := range choices {
			if c == v.node.Text {
				return c, true
			}
		}
	}
	w := wantChoice(choices)
	if !v.is(String, w) {
		return "", false
	}
	detail, example := "must be "+w.what, w.example
	if near := Nearest(v.node.Text, choices); len(near) > 0 {
		detail, example = detail+": did you mean "+alternatives(near)+"?", strconv.Quote(near[0])
	}
	v.Fault(CodeUnknownValue, detail, example)
	return "", false
}

// Bool reads true or false; the second result tells whether there is one.
func (v Value) Bool() (bool, bool) {
	if !v.is(Bool, wantBool) {
		return false, false
	}
	return v.node.True, true
}

// Int reads a whole number from min to max.
func (v Value) Int(min, max int) (int, bool) {
	if v.node == nil {
		return 0, false
	}
	if v.node.Kind != Number {
		return 0, v.is(Number, wantInt(min, max))
	}
	n, err := strconv.Atoi(v.node.Text)
	if err != nil { // 2.0, 1e2, or beyond int
		x, _ := strconv.ParseFloat(v.node.Text, 64)
		switch {
		case x != math.Trunc(x):
			w := wantInt(min, max)
			v.Fault(CodeWrongType, "must be "+w.what, w.example)
			return 0, false
		case math.Abs(x) < 1<<53:
			n = int(x)
		case x < 0:
			n = math.MinInt
		default:
			n = math.MaxInt
		}
	}
	if n < min || n > max {
		v.Fault(CodeOutOfRange, "must be "+wantInt(min, max).what, strconv.Itoa(clamp(n, min, max)))
		return 0, false
	}
	return n, true
}

// Number reads a pure number from min to max.
func (v Value) Number(min, max float64) (measure.Factor, bool) {
	if v.node == nil {
		return 0, false
	}
	if v.node.Kind != Number {
		return 0, v.is(Number, wantNumber(min, max))
	}
	x, err := strconv.ParseFloat(v.node.Text, 64)
	mantissa, _, _ := strings.Cut(strings.ToLower(v.node.Text), "e")
	tiny := math.Abs(x) < 0x1p-1022 && strings.ContainsAny(mantissa, "123456789")
	if err != nil || tiny || x < min || x > max {
		w := wantNumber(min, max)
		v.Fault(CodeOutOfRange, "must be "+w.what, w.example)
		return 0, false
	}
	return measure.Factor(x + 0), true
}

// maxLiteral is the most digits of an exact decimal: as many as a float64 surely holds, so that the canonical form of
// a document tells two of them apart.
const maxLiteral = 15

// Literal reads a decimal number, or a string that holds one, as its text: an optional minus sign, digits, a point
// with digits; no exponent; at most 15 digits.
func (v Value) Literal() (string, bool) {
	if v.node == nil {
		return "", false
	}
	if v.node.Kind != Number && v.node.Kind != String {
		return "", v.is(String, wantDecimal)
	}
	s := v.node.Text
	digits, points := 0, 0
	for i := range len(s) {
		switch c := s[i]; {
		case '0' <= c && c <= '9':
			digits++
		case c == '-' && i == 0:
		case c == '.' && points == 0 && digits > 0 && i+1 < len(s):
			points++
		default:
			v.Fault(CodeBadNumber, "must be "+wantDecimal.what, wantDecimal.example)
			return "", false
		}
	}
	switch {
	case digits == 0:
		v.Fault(CodeBadNumber, "must be "+wantDecimal.what, wantDecimal.example)
		return "", false
	case digits > maxLiteral:
		v.Fault(CodeOutOfRange, "must have at most 15 digits", wantDecimal.example)
		return "", false
	}
	return s, true
}
