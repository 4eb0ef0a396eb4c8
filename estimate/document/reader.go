package document

import (
	"bedline/estimate/measure"
)

// Presence says whether a member must be there.
type Presence uint8

// Presences of a member.
const (
	Optional Presence = iota
	Required
)

// Reader reads the members of one object. It is a small value; the faults hold its state. The zero Reader reads
// nothing and notes nothing, so that reading can go on after an object is missing.
//
// Each accessor gives the value and true, or zero and false: when the member is not there (a fault if Required) or
// is wrong (always a fault).
type Reader struct {
	node   *Node
	faults *Faults
	step   int32 // of the object itself
	bits   int32 // where the marks of the members asked for begin
	absent int32 // how many absences were noted when the reader began
}

// step is one step of a pointer.
type step struct {
	name  string
	index int32 // in an array, or isMember
	up    int32 // the step before, or top
}

const (
	isMember = -1
	isSelf   = -2
	top      = -1
)

// absence is a member that was asked for in vain.
type absence struct {
	object int32 // Reader.bits of the object
	name   string
}

// Read begins to read a document whose root is an object. Another kind of root is a fault at "".
func Read(root *Node, faults *Faults) Reader {
	if root == nil {
		return Reader{}
	}
	r, _ := At(root, faults).Object()
	return r
}

// At is the root of a document as a Value.
func At(root *Node, faults *Faults) Value {
	return Value{node: root, faults: faults, up: top, index: isSelf}
}

// Pointer is the place of the object.
func (r Reader) Pointer() string {
	if r.faults == nil {
		return ""
	}
	return r.faults.pointer(r.step)
}

// At is the place of a member, there or not.
func (r Reader) At(name string) string { return r.Pointer() + "/" + Escape(name) }

// Node is the object itself, nil for the zero Reader.
func (r Reader) Node() *Node { return r.node }

// Fault notes a fault of a member; of the object itself when name is "".
func (r Reader) Fault(name, code, detail, example string) {
	switch {
	case r.node == nil:
	case name == "":
		r.faults.Add(r.Pointer(), code, detail, example)
	default:
		r.faults.Add(r.At(name), code, detail, example)
	}
}

// Has tells whether the member is there, whatever it is. Like every accessor it makes the name known to Close.
func (r Reader) Has(name string) bool {
	_, ok := r.find(name)
	return ok
}

// find is the member of that name, marked as asked for.
func (r Reader) find(name string) (Value, bool) {
	if r.node == nil {
		return Value{}, false
	}
	for i := range r.node.Members {
		if m := &r.node.Members[i]; m.Name == name {
			r.faults.bits[int(r.bits)+i/64] |= 1 << (i % 64)
			return Value{node: &m.Value, faults: r.faults, up: r.step, index: isMember, name: m.Name}, true
		}
	}
	r.faults.absent = append(r.faults.absent, absence{r.bits, name})
	return Value{}, false
}

// get is the member; a required one that is not there is a fault that says what it should be.
func (r Reader) get(name string, p Presence, w want) (Value, bool) {
	v, ok := r.find(name)
	if !ok && p == Required {
		r.missing(name, w)
	}
	return v, ok
}

func (r Reader) missing(name string, w want) {
	r.Fault(name, CodeMissing, "is missing: it must be "+w.what, w.example)
}

// Value gives the member as it is; null is a fault.
func (r Reader) Value(name string, p Presence) (Value, bool) {
	v, ok := r.get(name, p, want{"a value", ""})
	if ok && v.node.Kind == Null {
		v.null()
		return Value{}, false
	}
	return v, ok
}

// Object reads a member that is an object.
func (r Reader) Object(name string, p Presence) (Reader, bool) {
	v, ok := r.get(name, p, wantObject)
	if !ok {
		return Reader{}, false
	}
	return v.Object()
}

// Each reads a member that is an array of min to max items and visits each. It is false when the member is not there,
// not an array, or of a wrong length; items are still visited when they are too few, not when they are too many.
func (r Reader) Each(name string, p Presence, min, max int, visit func(i int, at Value)) bool {
	v, ok := r.get(name, p, wantArray)
	return ok && v.Each(min, max, visit)
}

// Text reads a text of at most maxLen characters without control characters; a required one may not be empty.
func (r Reader) Text(name string, p Presence, maxLen int) (string, bool) {
	v, ok := r.get(name, p, wantText)
	if !ok {
		return "", false
	}
	if p == Required {
		return v.text(1, maxLen)
	}
	return v.text(0, maxLen)
}

// Key reads an identifier: 1 to 64 of a-z, 0-9, _ and -, beginning with a letter or digit.
func (r Reader) Key(name string, p Presence) (string, bool) {
	v, ok := r.get(name, p, wantKey)
	if !ok {
		return "", false
	}
	return v.Key()
}

// Choice reads one of the given words.
func (r Reader) Choice(name string, p Presence, choices ...string) (string, bool) {
	v, ok := r.find(name)
	if !ok {
		if p == Required {
			r.missing(name, wantChoice(choices))
		}
		return "", false
	}
	return v.Choice(choices...)
}

// Bool reads true or false. The first result is the value, the second whether there is one.
func (r Reader) Bool(name string, p Presence) (bool, bool) {
	v, ok := r.get(name, p, wantBool)
	if !ok {
		return false, false
	}
	return v.Bool()
}

// Int reads a whole number from min to max.
func (r Reader) Int(name string, p Presence, min, max int) (int, bool) {
	v, ok := r.find(name)
	if !ok {
		if p == Required {
			r.missing(name, wantInt(min, max))
		}
		return 0, false
	}
	return v.Int(min, max)
}

// Number reads a pure number from min to max.
func (r Reader) Number(name string, p Presence, min, max float64) (measure.Factor, bool) {
	v, ok := r.find(name)
	if !ok {
		if p == Required {
			r.missing(name, wantNumber(min, max))
		}
		return 0, false
	}
	return v.Number(min, max)
}

// Length reads a length with its unit.
func (r Reader) Length(name string, p Presence, s Sign) (measure.Length, bool) {
	v, ok := r.get(name, p, wantLength)
	if !ok {
		return 0, false
	}
	return v.Length(s)
}

// Area reads an area with its unit.
func (r Reader) Area(name string, p Presence, s Sign) (measure.Area, bool) {
	v, ok := r.get(name, p, wantArea)
	if !ok {
		return 0, false
	}
	return v.Area(s)
}

// Volume reads a volume with its unit.
func (r Reader) Volume(name string, p Presence, s Sign) (measure.Volume, bool) {
	v, ok := r.get(name, p, wantVolume)
	if !ok {
		return 0, false
	}
	return v.Volume(s)
}

// Mass reads a mass with its unit.
func (r Reader) Mass(name string, p Presence, s Sign) (measure.Mass, bool) {
	v, ok := r.get(name, p, wantMass)
	if !ok {
		return 0, false
	}
	return v.Mass(s)
}

// Density reads a density with its unit.
func (r Reader) Density(name string, p Presence, s Sign) (measure.Density, bool) {
	v, ok := r.get(name, p, wantDensity)
	if !ok {
		return 0, false
	}
	return v.Density(s)
}

// Literal reads a decimal number, or a string that holds one, as its text: for exact decimals.
func (r Reader) Literal(name string, p Presence) (string, bool) {
	v, ok := r.get(name, p, wantDecimal)
	if !ok {
		return "", false
	}
	return v.Literal()
}
