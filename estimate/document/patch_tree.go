package document

import (
	"slices"
	"strconv"
	"strings"
)

// clone is a copy of a value that shares nothing with it but texts.
func (n *Node) clone() Node {
	c := *n
	if len(n.Items) > 0 {
		c.Items = make([]Node, len(n.Items))
		for i := range n.Items {
			c.Items[i] = n.Items[i].clone()
		}
	}
	if len(n.Members) > 0 {
		c.Members = make([]Member, len(n.Members))
		for i := range n.Members {
			c.Members[i] = Member{n.Members[i].Name, n.Members[i].Value.clone()}
		}
	}
	return c
}

// valueWeight is what a value weighs beside its text.
const valueWeight = 8

// weigh tells how much memory and text a value takes, about in bytes of text, and how deep it is: 0 for a scalar.
func (n *Node) weigh() (weight, height int) {
	weight = valueWeight + len(n.Text)
	for i := range n.children() {
		w, h := n.at(i).weigh()
		weight += w
		height = max(height, h)
	}
	for i := range n.Members {
		weight += len(n.Members[i].Name)
	}
	if n.Kind == Array || n.Kind == Object {
		height++
	}
	return weight, height
}

// equal tells whether two values are the same as RFC 6902, 4.6, has it: members in any order, numbers by value.
func (n *Node) equal(o *Node) bool {
	if n.Kind != o.Kind || len(n.Items) != len(o.Items) || len(n.Members) != len(o.Members) {
		return false
	}
	switch n.Kind {
	case Bool:
		return n.True == o.True
	case Number:
		return n.Text == o.Text || digitsOf(n.Text) == digitsOf(o.Text)
	case String:
		return n.Text == o.Text
	}
	for i := range n.Items {
		if !n.Items[i].equal(&o.Items[i]) {
			return false
		}
	}
	find := o.Member
	if len(o.Members) > fewMembers {
		byName := make(map[string]*Node, len(o.Members)) // only looked up
		for i := range o.Members {
			byName[o.Members[i].Name] = &o.Members[i].Value
		}
		find = func(name string) *Node { return byName[name] }
	}
	for i := range n.Members {
		other := find(n.Members[i].Name)
		if other == nil || !n.Members[i].Value.equal(other) {
			return false
		}
	}
	return true
}

// fewMembers are looked through one by one.
const fewMembers = 16

// digits are a number exactly: 0.digits x 10^exponent, without zeros at either end; zero has none.
type digits struct {
	negative bool
	digits   string
	exponent int
}

// farExponent stands for every exponent that is beyond it; such a literal is zero as a float64.
const farExponent = 1 << 40

func digitsOf(literal string) digits {
	var d digits
	literal, d.negative = strings.CutPrefix(literal, "-")
	mantissa, exponent := literal, ""
	if i := strings.IndexAny(literal, "eE"); i >= 0 {
		mantissa, exponent = literal[:i], literal[i+1:]
	}
	whole, fraction, _ := strings.Cut(mantissa, ".")
	all := whole + fraction
	d.digits = strings.TrimLeft(all, "0")
	if strings.Trim(d.digits, "0") == "" {
		return digits{}
	}
	e, err := strconv.Atoi(strings.TrimPrefix(exponent, "+"))
	if err != nil && exponent != "" || e > farExponent || e < -farExponent {
		if e = farExponent; strings.HasPrefix(exponent, "-") {
			e = -farExponent
		}
	}
	d.exponent = e + len(whole) - (len(all) - len(d.digits))
	d.digits = strings.TrimRight(d.digits, "0")
	return d
}

// set puts a member where it stands, or last.
func (n *Node) set(name string, value Node) {
	if old := n.Member(name); old != nil {
		*old = value
		return
	}
	n.Members = append(n.Members, Member{name, value})
}

// unset takes a member or an item out.
func (n *Node) unset(i int) {
	if n.Kind == Object {
		n.Members = slices.Delete(n.Members, i, i+1)
		return
	}
	n.Items = slices.Delete(n.Items, i, i+1)
}

// merge applies an RFC 7396 merge patch as its section 2 has it. Spend is told how many members are looked at; when it
// refuses, the rest is left undone.
func (n *Node) merge(patch *Node, spend func(int) bool) bool {
	if patch.Kind != Object {
		*n = patch.clone()
		return true
	}
	if n.Kind != Object {
		*n = Node{Kind: Object, Offset: patch.Offset}
	}
	for i := range patch.Members {
		if !spend(1 + len(n.Members)) {
			return false
		}
		name, value := patch.Members[i].Name, &patch.Members[i].Value
		if value.Kind == Null {
			n.Members = slices.DeleteFunc(n.Members, func(m Member) bool { return m.Name == name })
			continue
		}
		old := n.Member(name)
		if old == nil {
			n.Members = append(n.Members, Member{Name: name})
			old = &n.Members[len(n.Members)-1].Value
		}
		if !old.merge(value, spend) {
			return false
		}
	}
	return true
}
