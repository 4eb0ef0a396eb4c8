package locale

import "strings"

// List writes words one after the other: "a, b, and c", "a, b and c", "a, b y c".
func (l *Locale) List(words []string) string {
	if len(words) == 0 {
		return ""
	}
	last := len(words) - 1
	out := words[0]
	for _, w := range words[1:max(last, 1)] {
		out = l.Say("list.middle", "a", out, "b", w)
	}
	if last == 0 {
		return out
	}
	key := "list.end"
	if last == 1 {
		key = "list.two"
	}
	if l.Has(key+".i") && startsWithI(words[last]) {
		key += ".i"
	}
	return l.Say(key, "a", out, "b", words[last])
}

// startsWithI tells of words that begin with the vowel i, before which Spanish joins with e; "hielo" begins with a
// diphthong, and keeps y (Diccionario panhispánico de dudas, "y").
func startsWithI(word string) bool {
	w := strings.ToLower(word)
	w = strings.TrimPrefix(w, "h")
	if rest, ok := strings.CutPrefix(w, "i"); ok {
		return rest == "" || !strings.ContainsAny(rest[:1], "aeou") && !strings.HasPrefix(rest, "ó")
	}
	return strings.HasPrefix(w, "í")
}
