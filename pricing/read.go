package pricing

import (
	"fmt"

	"github.com/govalues/decimal"

	"bedline/estimate/document"
)

// MostFaults is how many faults an InvalidListError holds at most.
const MostFaults = 50

// InvalidListError says what is wrong with a price list.
type InvalidListError struct {
	Faults []document.Fault // the first MostFaults in the order of the document
	Total  int              // how many there are
}

// Error names the first fault and how many there are.
func (e *InvalidListError) Error() string {
	first := e.Faults[0]
	where := first.Pointer
	if where == "" {
		where = "it"
	}
	if e.Total == 1 {
		return fmt.Sprintf("the price list cannot be used: %s %s", where, first.Detail)
	}
	return fmt.Sprintf("the price list cannot be used: %s %s (and %d faults more)", where, first.Detail, e.Total-1)
}

func invalid(d *Document, faults *document.Faults, root *document.Node) *InvalidListError {
	all := faults.List(root)
	d.nameOffers(all)
	return &InvalidListError{Faults: all[:min(len(all), MostFaults)], Total: len(all)}
}

// Most characters of a text and words of a list of words that are read; Compile has closer limits.
const (
	mostCharacters = 2000
	mostWords      = 40
)

// ReadDocument reads the JSON of a price list: strictly, so that nothing in it is overlooked, and checks it as
// Compile does. Prices and other numbers may be JSON numbers or strings of digits, without exponent.
//
// The error is a *document.SyntaxError where the text is no JSON and an *InvalidListError where it is no possible
// price list, with all faults in the order of the text.
func ReadDocument(text []byte) (*Document, error) {
	d, faults, root, err := readDocument(text)
	if err != nil {
		return nil, err
	}
	if faults.Len() > 0 {
		return nil, invalid(d, faults, root)
	}
	return d, nil
}

func readDocument(text []byte) (*Document, *document.Faults, *document.Node, error) {
	root, err := document.Parse(text)
	if err != nil {
		return nil, nil, nil, fmt.Errorf("reading a price list: %w", err)
	}
	var faults document.Faults
	d := new(Document)
	r := document.Read(root, &faults)
	d.members(reader{r})
	r.Close()
	d = d.normal()
	c := &compiler{doc: d}
	c.compile()
	if root.Kind == document.Object {
		faults.Merge(c.faults)
	}
	return d, &faults, root, nil
}

// reader fills a document from the members of a JSON object.
type reader struct{ from document.Reader }

func presence(n need) document.Presence {
	if n == required {
		return document.Required
	}
	return document.Optional
}

func (r reader) text(name string, n need, value *string) {
	*value, _ = r.from.Text(name, presence(n), mostCharacters)
}

func (r reader) texts(name string, n need, values *[]string) {
	r.from.Each(name, presence(n), 0, mostWords, func(_ int, at document.Value) {
		if text, ok := at.Text(mostCharacters); ok {
			*values = append(*values, text)
		}
	})
}

func (r reader) number(name string, value *decimal.Decimal) {
	*value, _ = r.decimal(name, document.Required)
}

func (r reader) optionalNumber(name string, value **decimal.Decimal) {
	if d, ok := r.decimal(name, document.Optional); ok {
		*value = &d
	}
}

func (r reader) price(name string, value *decimal.Decimal) { r.number(name, value) }

func (r reader) optionalPrice(name string, value **decimal.Decimal) { r.optionalNumber(name, value) }

func (r reader) decimal(name string, p document.Presence) (decimal.Decimal, bool) {
	if at, ok := r.from.Value(name, document.Optional); ok && at.Kind() == document.String {
		if code := foreign(at.Node().Text); code != "" {
			at.Fault(document.CodeBadNumber, "names a currency, "+code+": all prices of a list are in the currency of the list and are written as numbers alone", `"12.50"`)
			return decimal.Decimal{}, false
		}
	}
	literal, ok := r.from.Literal(name, p)
	if !ok {
		return decimal.Decimal{}, false
	}
	d, err := decimal.Parse(literal)
	if err != nil {
		r.from.Fault(name, document.CodeBadNumber, "must be a decimal number without exponent, such as 12.50", `"12.50"`)
		return decimal.Decimal{}, false
	}
	return d, true
}

func (r reader) content(name string, n need, value *Content) {
	at, ok := r.from.Value(name, presence(n))
	if !ok {
		return
	}
	if at.Kind() == document.Number {
		value.Count, _ = at.Int(1, MaxCount)
		return
	}
	text, ok := at.Text(mostCharacters)
	if !ok {
		return
	}
	content, err := ParseContent(text)
	if err != nil || content.IsZero() {
		at.Fault(document.CodeOutOfRange, fmt.Sprintf("must be a quantity with its unit or a count from 1 to %d", MaxCount), `"0.5 ft3"`)
		return
	}
	*value = content
}

func (r reader) object(name string, n need, value objectMember) {
	if from, ok := r.from.Object(name, presence(n)); ok {
		value.make().members(reader{from})
		from.Close()
	}
}

func (r reader) list(name string, n need, value listMember) {
	r.from.Each(name, presence(n), 0, value.most, func(i int, at document.Value) {
		item := value.item(i)
		if from, ok := at.Object(); ok {
			item.members(reader{from})
			from.Close()
		}
	})
}
