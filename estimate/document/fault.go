package document

import (
	"slices"
	"strings"
)

// Codes of the faults that a Reader notes.
const (
	CodeMissing       = "missing"        // a required member is not there
	CodeNull          = "null"           // null where a value belongs
	CodeWrongType     = "wrong_type"     // another JSON type
	CodeUnitMissing   = "unit_missing"   // a number without a unit where a quantity belongs
	CodeBadQuantity   = "bad_quantity"   // a text that is not a quantity of the kind
	CodeNegative      = "negative"       // below zero
	CodeNotPositive   = "not_positive"   // zero or below
	CodeOutOfRange    = "out_of_range"   // outside the limits
	CodeUnknownValue  = "unknown_value"  // none of the choices
	CodeUnknownMember = "unknown_member" // a member that does not belong there
	CodeBadKey        = "bad_key"        // not an identifier
	CodeBadText       = "bad_text"       // control characters in a text
	CodeBadNumber     = "bad_number"     // a text that is not a decimal number
)

// Fault is something wrong with a document.
type Fault struct {
	Pointer string `json:"pointer"`           // RFC 6901, "" is the whole document
	Code    string `json:"code"`              // for programs
	Detail  string `json:"detail"`            // for people, to be read after the name of the member
	Example string `json:"example,omitempty"` // the JSON text of a right value; for an unknown member the right name
}

// Faults collects faults. The zero value is ready. It serves one document and one goroutine.
type Faults struct {
	list []Fault
	seen map[[2]string]bool

	// What readers keep here so that they can be plain values.
	steps  []step
	bits   []uint64
	absent []absence
}

// Add notes a fault, unless one of the same pointer and code is noted already.
func (f *Faults) Add(pointer, code, detail, example string) {
	key := [2]string{pointer, code}
	if f.seen[key] {
		return
	}
	if f.seen == nil {
		f.seen = make(map[[2]string]bool)
	}
	f.seen[key] = true
	f.list = append(f.list, Fault{pointer, code, detail, example})
}

// Merge adds the faults whose pointers had none before the call.
func (f *Faults) Merge(other []Fault) {
	taken := make(map[string]bool, len(f.list))
	for i := range f.list {
		taken[f.list[i].Pointer] = true
	}
	for _, o := range other {
		if !taken[o.Pointer] {
			f.Add(o.Pointer, o.Code, o.Detail, o.Example)
		}
	}
}

// Len is the number of faults.
func (f *Faults) Len() int { return len(f.list) }

// List is the faults in the order of the document: a value before its children, a missing member after the last
// member of where it should be; at the same place, in the order in which they were added.
func (f *Faults) List(root *Node) []Fault {
	type placed struct {
		fault Fault
		place []int32
	}
	all := make([]placed, len(f.list))
	for i, x := range f.list {
		all[i] = placed{x, place(root, x.Pointer)}
	}
	slices.SortStableFunc(all, func(a, b placed) int { return slices.Compare(a.place, b.place) })
	out := make([]Fault, len(all))
	for i := range all {
		out[i] = all[i].fault
	}
	return out
}

// place is the way to a pointer, each step as the number of the child; a missing child comes after the last.
func place(n *Node, pointer string) []int32 {
	var way []int32
	if n == nil || pointer == "" || pointer[0] != '/' {
		return way
	}
	for step := range strings.SplitSeq(pointer[1:], "/") {
		i, ok := n.child(step)
		if !ok {
			return append(way, int32(n.children()))
		}
		way = append(way, int32(i))
		n = n.at(i)
	}
	return way
}
