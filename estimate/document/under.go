package document

import "strings"

// Under tells whether a fault is noted at the pointer or below it.
func (f *Faults) Under(pointer string) bool {
	for i := range f.list {
		if at := f.list[i].Pointer; at == pointer || strings.HasPrefix(at, pointer) && at[len(pointer)] == '/' {
			return true
		}
	}
	return false
}
