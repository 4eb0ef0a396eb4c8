package document

import "github.com/go-json-experiment/json/jsontext"

// AppendJSON writes the value as JSON without white space: members in their order, numbers by their literals.
func (n *Node) AppendJSON(dst []byte) []byte {
	switch n.Kind {
	case Bool:
		if n.True {
			return append(dst, "true"...)
		}
		return append(dst, "false"...)
	case Number:
		return append(dst, n.Text...)
	case String:
		return appendQuoted(dst, n.Text)
	case Array:
		dst = append(dst, '[')
		for i := range n.Items {
			if i > 0 {
				dst = append(dst, ',')
			}
			dst = n.Items[i].AppendJSON(dst)
		}
		return append(dst, ']')
	case Object:
		dst = append(dst, '{')
		for i := range n.Members {
			if i > 0 {
				dst = append(dst, ',')
			}
			dst = append(appendQuoted(dst, n.Members[i].Name), ':')
			dst = n.Members[i].Value.AppendJSON(dst)
		}
		return append(dst, '}')
	}
	return append(dst, "null"...)
}

func appendQuoted(dst []byte, s string) []byte {
	dst, _ = jsontext.AppendQuote(dst, s) // fails only on text that is not UTF-8, which Parse refuses
	return dst
}

// PointerTo is the place of the value that begins at a byte of the text, and whether one does. The document must be as
// Parse read it.
func (n *Node) PointerTo(offset int) (string, bool) {
	at := ""
	for n.Offset != offset {
		last := -1
		for i := range n.children() {
			if n.at(i).Offset > offset {
				break
			}
			last = i
		}
		if last < 0 {
			return "", false
		}
		if n.Kind == Object {
			at += "/" + Escape(n.Members[last].Name)
		} else {
			at += Pointer(last)
		}
		n = n.at(last)
	}
	return at, true
}
