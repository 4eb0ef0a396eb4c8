package document

import (
	"slices"
	"strconv"
	"strings"
)

// Codes of the faults of a patch, beside those of a Reader.
const (
	CodeBadPointer  = "bad_pointer"   // a text that is not an RFC 6901 JSON Pointer
	CodeNoSuchValue = "no_such_value" // a pointer to nothing
	CodeTestFailed  = "test_failed"   // an operation test that does not hold
	CodeKept        = "not_to_change" // a member that no patch may touch
	CodeIntoItself  = "conflict"      // a value moved into itself
	CodePatchSize   = "too_large"     // a patch that makes too much of a document, or too much work
)

// Limits of patches.
const (
	MaxOperations = 200     // in one RFC 6902 patch
	maxCopied     = 1 << 20 // weight of all that the copy operations of one Patcher copy
	maxPatchWork  = 1 << 23 // values, members and bytes that one Patcher goes over
	longestHeld   = 200     // bytes of a value that the fault of a failed test shows
)

// Kept is a member of the document that no patch may touch, and why.
type Kept struct{ Name, Why string }

// Patcher applies patches, each to a copy of one document. It serves one goroutine.
type Patcher struct {
	target *Node
	kept   []Kept
	copied int
	work   int
}

// NewPatcher is a patcher of a document, which must be an object.
func NewPatcher(target *Node, kept ...Kept) *Patcher {
	return &Patcher{target: target, kept: kept}
}

// Apply is the document with the changes of v: an RFC 6902 patch if v is an array, an RFC 7396 merge patch if it is an
// object. What is wrong with the patch is noted at its place; then the result is false. Values of the patch keep their
// Offset in the text of the patch.
func (p *Patcher) Apply(v Value) (*Node, bool) {
	run := &patching{Patcher: p, at: v}
	switch v.Kind() {
	case Array:
		return run.operations()
	case Object:
		return run.mergePatch()
	}
	v.Fault(CodeWrongType, "must be changes: an array is an RFC 6902 patch, an object an RFC 7396 merge patch", patchExample)
	return nil, false
}

const patchExample = `[{"op":"replace","path":"/beds/0/dig","value":"3 in"}]`

// patching is one patch under way.
type patching struct {
	*Patcher
	at   Value
	root Node
}

// operation is one operation of an RFC 6902 patch.
type operation struct {
	at         Value
	op         string
	path, from []string
	value      *Node
}

func (p *patching) fault(name, code, detail, example string) {
	at := p.at.Pointer()
	if name != "" {
		at += "/" + Escape(name)
	}
	p.at.faults.Add(at, code, detail, example)
}

// spend notes work, and a fault when there has been too much.
func (p *patching) spend(n int) bool {
	if p.work += n; p.work <= maxPatchWork {
		return true
	}
	p.fault("", CodePatchSize, "is too much work: give fewer operations, or changes of a smaller job", patchExample)
	return false
}

// begin copies the target.
func (p *patching) begin() bool {
	weight, _ := p.target.weigh()
	if !p.spend(weight) {
		return false
	}
	p.root = p.target.clone()
	return true
}

func (p *patching) operations() (*Node, bool) {
	if n := len(p.at.node.Items); n > MaxOperations {
		p.at.Fault(CodeOutOfRange, "must have at most "+strconv.Itoa(MaxOperations)+" operations", patchExample)
		return nil, false
	}
	var list []operation
	right := p.at.Each(0, MaxOperations, func(_ int, at Value) {
		if o, ok := p.operation(at); ok {
			list = append(list, o)
		}
	})
	if !right || len(list) < len(p.at.node.Items) || !p.begin() {
		return nil, false
	}
	changes := p.at
	for i := range list {
		p.at = list[i].at
		if !p.apply(&list[i]) {
			return nil, false
		}
	}
	p.at = changes
	return p.end()
}

var operationNames = [...]string{"add", "remove", "replace", "move", "copy", "test"}

// operation reads an operation. Members that RFC 6902 does not know are ignored, as its section 4 has it.
func (p *patching) operation(at Value) (operation, bool) {
	o := operation{at: at}
	r, ok := at.Object()
	if !ok {
		return o, false
	}
	good := true
	if o.op, ok = r.Choice("op", Required, operationNames[:]...); !ok {
		good = false
	}
	var pathOK, fromOK bool
	if o.path, pathOK = p.steps(r, "path"); !pathOK {
		good = false
	}
	switch o.op {
	case "add", "replace", "test":
		if v, ok := r.find("value"); ok {
			o.value = v.node
		} else {
			r.Fault("value", CodeMissing, "is missing: "+o.op+" takes a value", `"3 in"`)
			good = false
		}
	case "move", "copy":
		if o.from, fromOK = p.steps(r, "from"); !fromOK {
			good = false
		}
	}
	if pathOK && o.op != "test" && o.op != "" && !p.mayChange(r, "path", o.path) {
		good = false
	}
	if fromOK && o.op == "move" && !p.mayChange(r, "from", o.from) {
		good = false
	}
	if fromOK && pathOK && o.op == "move" && len(o.from) < len(o.path) && slices.Equal(o.from, o.path[:len(o.from)]) {
		r.Fault("path", CodeIntoItself, "lies inside what is moved: nothing can be moved into itself", "")
		good = false
	}
	return o, good
}

// steps reads an RFC 6901 pointer as its unescaped steps.
func (p *patching) steps(r Reader, name string) ([]string, bool) {
	const example = `"/beds/0/dig"`
	v, ok := r.get(name, Required, want{"an RFC 6901 JSON Pointer into the job, such as /beds/0/dig", example})
	if !ok || !v.is(String, want{"an RFC 6901 JSON Pointer into the job, such as /beds/0/dig", example}) {
		return nil, false
	}
	pointer := v.node.Text
	if pointer == "" {
		return nil, true
	}
	if pointer[0] != '/' {
		v.Fault(CodeBadPointer, "must be an RFC 6901 JSON Pointer: it begins with /", example)
		return nil, false
	}
	for rest := pointer; ; {
		i := strings.IndexByte(rest, '~')
		if i < 0 {
			break
		}
		if rest = rest[i+1:]; rest == "" || rest[0] != '0' && rest[0] != '1' {
			v.Fault(CodeBadPointer, "has a ~ that is neither ~0 (for ~) nor ~1 (for /)", example)
			return nil, false
		}
	}
	steps := strings.Split(pointer[1:], "/")
	for i := range steps {
		steps[i] = unescape.Replace(steps[i])
	}
	return steps, true
}

// mayChange refuses a pointer into a kept member.
func (p *patching) mayChange(r Reader, name string, steps []string) bool {
	for _, k := range p.kept {
		if len(steps) > 0 && steps[0] == k.Name {
			r.Fault(name, CodeKept, "goes into "+k.Name+": "+k.Why, `"/beds/0/dig"`)
			return false
		}
	}
	return true
}

// end holds what came out to what must come out.
func (p *patching) end() (*Node, bool) {
	if p.root.Kind != Object {
		p.fault("", CodeWrongType, "must leave an object, the job", patchExample)
		return nil, false
	}
	for _, k := range p.kept { // a job that is replaced as a whole
		before, after := p.target.Member(k.Name), p.root.Member(k.Name)
		if (before == nil) != (after == nil) || before != nil && !before.equal(after) {
			p.fault("", CodeKept, "changes "+k.Name+": "+k.Why, patchExample)
			return nil, false
		}
	}
	return &p.root, true
}

func (p *patching) mergePatch() (*Node, bool) {
	good := true
	for _, k := range p.kept {
		if p.at.node.Member(k.Name) != nil {
			p.fault(k.Name, CodeKept, "may not be changed: "+k.Why, "")
			good = false
		}
	}
	weight, _ := p.at.node.weigh()
	if !good || !p.spend(weight) || !p.begin() {
		return nil, false
	}
	if !p.root.merge(p.at.node, p.spend) {
		return nil, false
	}
	return p.end()
}

// apply does one operation; p.at is its place.
func (p *patching) apply(o *operation) bool {
	switch o.op {
	case "add":
		return p.put("path", o.path, o.value, false)
	case "replace":
		return p.put("path", o.path, o.value, true)
	case "remove":
		_, ok := p.take("path", o.path)
		return ok
	case "move":
		if slices.Equal(o.from, o.path) {
			_, ok := p.find("from", o.from, len(o.from))
			return ok
		}
		value, ok := p.take("from", o.from)
		return ok && p.put("path", o.path, &value, false)
	case "copy":
		value, ok := p.find("from", o.from, len(o.from))
		if !ok {
			return false
		}
		weight, _ := value.weigh()
		if p.copied += weight; p.copied > maxCopied {
			p.fault("", CodePatchSize, "copies too much: what the patches of a request copy must stay below a mebibyte", patchExample)
			return false
		}
		return p.put("path", o.path, value, false)
	}
	return p.test(o)
}

func (p *patching) test(o *operation) bool {
	value, ok := p.find("path", o.path, len(o.path))
	if !ok {
		return false
	}
	a, _ := value.weigh()
	b, _ := o.value.weigh()
	if !p.spend(a + b) {
		return false
	}
	if value.equal(o.value) {
		return true
	}
	example := ""
	if a <= longestHeld {
		example = string(value.AppendJSON(nil))
	}
	p.fault("value", CodeTestFailed, "is not what stands at that path when the test is made, so the patch is not applied", example)
	return false
}

// find is the value at the first n steps of a pointer.
func (p *patching) find(member string, steps []string, n int) (*Node, bool) {
	at := &p.root
	for i, step := range steps[:n] {
		if !p.spend(1 + len(at.Members)) {
			return nil, false
		}
		k, ok := at.child(Escape(step))
		if !ok {
			p.nothing(member, steps, i, at, false)
			return nil, false
		}
		at = at.at(k)
	}
	return at, true
}

// nothing says that a step of a pointer leads nowhere: out of at.
func (p *patching) nothing(member string, steps []string, i int, at *Node, adding bool) {
	way := make([]any, i, i+1)
	for k := range i {
		way[k] = steps[k]
	}
	detail, code := "names no value of the job: ", CodeNoSuchValue
	if len(steps) > 1 {
		detail += "step " + strconv.Itoa(i+1) + " of " + strconv.Itoa(len(steps)) + " "
	} else {
		detail += "it "
	}
	switch at.Kind {
	case Object:
		names := make([]string, len(at.Members))
		for k := range at.Members {
			names[k] = at.Members[k].Name
		}
		detail += "is no member of the object there"
		if near := Nearest(steps[i], names); len(near) > 0 {
			detail += ": did you mean " + alternatives(near) + "?"
			way = append(way, near[0])
		} else if len(names) > 0 {
			way = append(way, names[0])
		}
	case Array:
		last := len(at.Items) - 1
		switch {
		case adding:
			detail += "must be the number of an item, 0 to " + strconv.Itoa(last+1) + ", or - for the end"
			way = append(way, "-")
		case last < 0:
			detail += "is an item of an empty array"
		default:
			detail += "must be the number of an item, 0 to " + strconv.Itoa(last)
			way = append(way, last)
		}
		code = CodeOutOfRange
	default:
		detail += "goes into a value that is neither an object nor an array"
	}
	p.fault(member, code, detail, string(appendQuoted(nil, Pointer(way...))))
}

// take takes a value out and gives it.
func (p *patching) take(member string, steps []string) (Node, bool) {
	if len(steps) == 0 {
		p.fault(member, CodeOutOfRange, "is the whole job, which can't be taken away", `"/beds/0/stone"`)
		return Node{}, false
	}
	last := len(steps) - 1
	parent, ok := p.find(member, steps, last)
	if !ok || !p.spend(1+parent.children()) {
		return Node{}, false
	}
	k, ok := parent.child(Escape(steps[last]))
	if !ok {
		p.nothing(member, steps, last, parent, false)
		return Node{}, false
	}
	value := *parent.at(k)
	parent.unset(k)
	return value, true
}

// put puts a copy of a value in its place. With replace there must be one already.
func (p *patching) put(member string, steps []string, value *Node, replace bool) bool {
	weight, height := value.weigh()
	if !p.spend(weight) {
		return false
	}
	if len(steps)+height > MaxDepth {
		p.fault(member, CodePatchSize, "lies too deep: arrays and objects may be "+strconv.Itoa(MaxDepth)+" deep", `"/beds/0/dig"`)
		return false
	}
	if len(steps) == 0 {
		p.root = value.clone()
		return true
	}
	last := len(steps) - 1
	parent, ok := p.find(member, steps, last)
	if !ok || !p.spend(1+parent.children()) {
		return false
	}
	k, there := parent.child(Escape(steps[last]))
	switch {
	case there && (replace || parent.Kind == Object):
		*parent.at(k) = value.clone()
		return true
	case !replace && parent.Kind == Object:
		parent.set(steps[last], value.clone())
		return true
	case !replace && parent.Kind == Array:
		if end := strconv.Itoa(len(parent.Items)); steps[last] == "-" || steps[last] == end {
			k, there = len(parent.Items), true
		}
		if there {
			parent.Items = slices.Insert(parent.Items, k, value.clone())
			return true
		}
	}
	p.nothing(member, steps, last, parent, !replace)
	return false
}
