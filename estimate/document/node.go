package document

import (
	"strconv"
	"strings"
)

// Kind is the type of a JSON value.
type Kind uint8

// The kinds of JSON values.
const (
	Null Kind = iota
	Bool
	Number
	String
	Array
	Object
)

// String is the JSON name of the kind.
func (k Kind) String() string {
	if int(k) < len(kindNames) {
		return kindNames[k]
	}
	return "unknown"
}

var kindNames = [...]string{"null", "boolean", "number", "string", "array", "object"}

// Node is a JSON value. It is not to be changed once read.
type Node struct {
	Kind    Kind
	True    bool     // the value of a Bool
	Offset  int      // the byte of the text at which the value begins
	Text    string   // the decoded text of a String, the literal of a Number
	Members []Member // of an Object, in the order of the text, no name twice
	Items   []Node   // of an Array
}

// Member is a named value of an object.
type Member struct {
	Name  string
	Value Node
}

// Member is the value of the object's member of that name, nil without one.
func (n *Node) Member(name string) *Node {
	for i := range n.Members {
		if n.Members[i].Name == name {
			return &n.Members[i].Value
		}
	}
	return nil
}

// Float is the value of a Number as the nearest float64; zero for other kinds.
func (n *Node) Float() float64 {
	if n.Kind != Number {
		return 0
	}
	v, _ := strconv.ParseFloat(n.Text, 64)
	return v + 0
}

// Any is the value as encoding/json would give it: map[string]any, []any, float64, string, bool or nil.
func (n *Node) Any() any {
	switch n.Kind {
	case Bool:
		return n.True
	case Number:
		v, _ := strconv.ParseFloat(n.Text, 64)
		return v
	case String:
		return n.Text
	case Array:
		a := make([]any, len(n.Items))
		for i := range n.Items {
			a[i] = n.Items[i].Any()
		}
		return a
	case Object:
		m := make(map[string]any, len(n.Members))
		for i := range n.Members {
			m[n.Members[i].Name] = n.Members[i].Value.Any()
		}
		return m
	}
	return nil
}

// Lookup is the value at an RFC 6901 JSON pointer below n, "" being n itself.
func (n *Node) Lookup(pointer string) (*Node, bool) {
	if pointer == "" {
		return n, true
	}
	if pointer[0] != '/' {
		return nil, false
	}
	for step := range strings.SplitSeq(pointer[1:], "/") {
		i, ok := n.child(step)
		if !ok {
			return nil, false
		}
		n = n.at(i)
	}
	return n, true
}

// child is the place among the node's children that an escaped step of a pointer names.
func (n *Node) child(step string) (int, bool) {
	switch n.Kind {
	case Object:
		name := unescape.Replace(step)
		for i := range n.Members {
			if n.Members[i].Name == name {
				return i, true
			}
		}
	case Array:
		i, err := strconv.Atoi(step)
		if err == nil && i >= 0 && i < len(n.Items) && strconv.Itoa(i) == step {
			return i, true
		}
	}
	return 0, false
}

func (n *Node) at(i int) *Node {
	if n.Kind == Object {
		return &n.Members[i].Value
	}
	return &n.Items[i]
}

func (n *Node) children() int { return len(n.Members) + len(n.Items) }
