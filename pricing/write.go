package pricing

import (
	"bytes"
	"encoding/json"
	"strconv"

	"github.com/govalues/decimal"

	"bedline/pricing/money"
)

// JSON is the document as published: its members in a fixed order, indented by two spaces, prices as decimal strings
// with at least the minor digits of the currency, other numbers without trailing zeros. ReadDocument gives the same
// document back, and its JSON is the same to the byte.
func (d *Document) JSON() ([]byte, error) {
	// A document is described through pointers, but a writer only reads.
	w := &writer{digits: minorDigits(d.Currency)}
	w.out = append(w.out, '{')
	w.depth = 1
	d.members(w)
	w.out = append(w.out, "\n}\n"...)
	return w.out, nil
}

// MarshalJSON is JSON, so that a document inside of another answer reads the same.
func (d *Document) MarshalJSON() ([]byte, error) { return d.JSON() }

// minorDigits is 0 for an unknown currency: such a document is refused elsewhere.
func minorDigits(code string) int {
	c, err := money.ParseCurrency(code)
	if err != nil {
		return 0
	}
	return c.Digits
}

// writer appends the members of a document as indented JSON.
type writer struct {
	out    []byte
	depth  int
	some   bool // whether the object begun last has a member
	digits int
}

func (w *writer) line() {
	w.out = append(w.out, '\n')
	for range w.depth {
		w.out = append(w.out, ' ', ' ')
	}
}

func (w *writer) name(name string) {
	if w.some {
		w.out = append(w.out, ',')
	}
	w.some = true
	w.line()
	w.out = append(w.out, '"')
	w.out = append(w.out, name...)
	w.out = append(w.out, `": `...)
}

func (w *writer) text(name string, n need, value *string) {
	if n != optional || *value != "" {
		w.name(name)
		w.out = appendText(w.out, *value)
	}
}

func (w *writer) texts(name string, n need, values *[]string) {
	if n == optional && len(*values) == 0 {
		return
	}
	w.name(name)
	w.out = append(w.out, '[')
	for i, value := range *values {
		if i > 0 {
			w.out = append(w.out, ", "...)
		}
		w.out = appendText(w.out, value)
	}
	w.out = append(w.out, ']')
}

func (w *writer) number(name string, value *decimal.Decimal) {
	w.name(name)
	w.out = append(w.out, value.Trim(0).String()...)
}

func (w *writer) optionalNumber(name string, value **decimal.Decimal) {
	if *value != nil {
		w.number(name, *value)
	}
}

func (w *writer) price(name string, value *decimal.Decimal) {
	w.name(name)
	w.out = append(w.out, '"')
	w.out = append(w.out, canonicalPrice(*value, w.digits).String()...)
	w.out = append(w.out, '"')
}

func (w *writer) optionalPrice(name string, value **decimal.Decimal) {
	if *value != nil {
		w.price(name, *value)
	}
}

func (w *writer) content(name string, n need, value *Content) {
	if n == optional && value.IsZero() {
		return
	}
	w.name(name)
	if value.Quantity != "" {
		w.out = appendText(w.out, value.Quantity)
		return
	}
	w.out = strconv.AppendInt(w.out, int64(value.Count), 10)
}

func (w *writer) object(name string, n need, value objectMember) {
	if !value.there {
		return
	}
	w.name(name)
	w.braces(value.make())
}

// braces writes an object after its name or as an item.
func (w *writer) braces(value described) {
	w.out = append(w.out, '{')
	w.some = false
	w.depth++
	value.members(w)
	w.depth--
	if w.some {
		w.line()
	}
	w.out = append(w.out, '}')
	w.some = true
}

func (w *writer) list(name string, n need, value listMember) {
	if n == optional && value.length == 0 {
		return
	}
	w.name(name)
	w.out = append(w.out, '[')
	w.depth++
	for i := range value.length {
		if i > 0 {
			w.out = append(w.out, ',')
		}
		w.line()
		w.braces(value.item(i))
	}
	w.depth--
	if value.length > 0 {
		w.line()
	}
	w.out = append(w.out, ']')
}

// canonicalPrice has at least the minor digits of the currency and no trailing zeros beyond them.
func canonicalPrice(d decimal.Decimal, digits int) decimal.Decimal {
	return d.Trim(digits).Pad(digits)
}

// appendText appends a JSON string with nothing escaped that need not be.
func appendText(dst []byte, text string) []byte {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(text); err != nil { // a string can always be encoded
		return strconv.AppendQuote(dst, text)
	}
	return append(dst, bytes.TrimSuffix(b.Bytes(), []byte("\n"))...)
}

// normal is a deep copy of the document in the form that JSON writes: the same numbers with other zeros at their
// ends, empty lists for nil where JSON always writes the list.
func (d *Document) normal() *Document {
	out := *d
	out.members(canonical{digits: minorDigits(d.Currency)})
	return &out
}

// canonical gives a document that form.
type canonical struct{ digits int }

func (canonical) text(string, need, *string)              {}
func (canonical) content(string, need, *Content)          {}
func (canonical) number(_ string, value *decimal.Decimal) { *value = value.Trim(0) }

func (canonical) texts(_ string, n need, values *[]string) { *values = ownList(n, *values) }

func (canonical) optionalNumber(_ string, value **decimal.Decimal) {
	if *value != nil {
		trimmed := (*value).Trim(0)
		*value = &trimmed
	}
}

func (c canonical) price(_ string, value *decimal.Decimal) { *value = canonicalPrice(*value, c.digits) }

func (c canonical) optionalPrice(_ string, value **decimal.Decimal) {
	if *value != nil {
		padded := canonicalPrice(**value, c.digits)
		*value = &padded
	}
}

func (c canonical) object(_ string, _ need, value objectMember) {
	if value.there {
		value.own()
		value.make().members(c)
	}
}

func (c canonical) list(_ string, n need, value listMember) {
	value.own(n)
	for i := range value.length {
		value.item(i).members(c)
	}
}
