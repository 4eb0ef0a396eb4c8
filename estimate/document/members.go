package document

import "strconv"

// mostUnknown is how many unknown members of one object are noted.
const mostUnknown = 100

// Members visits every member whose name is an identifier as of Key, in the order of the document; other names are
// faults. All count as asked for. More than max members are a fault and not visited.
func (r Reader) Members(max int, visit func(name string, at Value)) bool {
	if r.node == nil {
		return false
	}
	if len(r.node.Members) > max {
		r.faults.Add(r.Pointer(), CodeOutOfRange, "must have at most "+strconv.Itoa(max)+" members", "{}")
	}
	for i := range r.node.Members {
		r.faults.bits[int(r.bits)+i/64] |= 1 << (i % 64)
	}
	if len(r.node.Members) > max {
		return false
	}
	bad := 0
	for i := range r.node.Members {
		m := &r.node.Members[i]
		v := Value{node: &m.Value, faults: r.faults, up: r.step, index: isMember, name: m.Name}
		if !isKey(m.Name) {
			if bad++; bad <= mostUnknown {
				v.Fault(CodeBadKey, "has a name that is not "+wantKey.what, wantKey.example)
			}
			continue
		}
		visit(m.Name, v)
	}
	return bad == 0
}

// Close notes every member that was not asked for, with the names near it that were asked for in vain. It comes last.
func (r Reader) Close() {
	if r.node == nil {
		return
	}
	unknown := 0
	for i := range r.node.Members {
		if r.faults.bits[int(r.bits)+i/64]>>(i%64)&1 == 1 {
			continue
		}
		if unknown++; unknown > mostUnknown {
			break
		}
		r.unknown(&r.node.Members[i])
	}
	// Readers mostly close in the reverse order of their beginning: then what this one noted is on top.
	f := r.faults
	for n := len(f.absent); n > int(r.absent) && f.absent[n-1].object == r.bits; n-- {
		f.absent = f.absent[:n-1]
	}
}

func (r Reader) unknown(m *Member) {
	var names []string
	for _, a := range r.faults.absent[min(int(r.absent), len(r.faults.absent)):] {
		if a.object == r.bits {
			names = append(names, a.name)
		}
	}
	detail, example := "is not a member of this object", ""
	if near := Nearest(m.Name, names); len(near) > 0 {
		detail, example = detail+": did you mean "+alternatives(near)+"?", strconv.Quote(near[0])
	}
	r.faults.Add(r.At(m.Name), CodeUnknownMember, detail, example)
}
