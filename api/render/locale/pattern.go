package locale

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// pattern is an English sentence of the engine with places for what it names, and the message that stands for it.
// A place is told by the letters of its name what it may hold:
//
//	{n}     a number
//	{q}     a number with or without a unit
//	{id}    a key out of the request or the price list: small letters, digits, - and _
//	{title} a name out of them, without "; "; like all but words and lists it is never translated
//	{cite}  anything
//	{ids}   a list of such
//	{list}  words with ", " between them, each translated where it can be
//	{must}  words that have a translation, or hold none
//	others  words, translated where they can be
//
// Digits after it tell several apart: {q}, {q2}.
type pattern struct {
	english string
	words   []string // what stands before, between and after the places
	places  []place
	message []piece
	literal int // bytes of all words
}

type place struct {
	name string
	kind placeKind
}

type placeKind uint8

const (
	anyWords placeKind = iota
	aNumber
	aQuantity
	aKey
	aName
	aCitation
	someNames
	someWords
	mustTranslate
)

var placeKinds = map[string]placeKind{"n": aNumber, "q": aQuantity, "id": aKey, "title": aName, "cite": aCitation, "ids": someNames, "list": someWords, "must": mustTranslate}

// piece is a part of a message: words, or what a place held.
type piece struct {
	words string
	place int // -1 for words
}

func parsePattern(english, message string) (pattern, error) {
	p := pattern{english: english}
	words, names, err := split(english)
	if err != nil {
		return p, err
	}
	p.words = words
	for i, name := range names {
		if i > 0 && words[i] == "" {
			return p, fmt.Errorf("places {%s} and {%s} of %q have no words between them", names[i-1], name, english)
		}
		if slices.Contains(names[:i], name) {
			return p, fmt.Errorf("{%s} is twice in %q", name, english)
		}
		p.places = append(p.places, place{name, placeKinds[strings.TrimRight(name, "0123456789")]})
	}
	for _, w := range words {
		p.literal += len(w)
	}
	if strings.TrimFunc(strings.Join(words, ""), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsPunct(r) }) == "" {
		return p, fmt.Errorf("%q has no words", english)
	}
	words, uses, err := split(message)
	if err != nil {
		return p, err
	}
	for i, w := range words {
		p.message = append(p.message, piece{words: w, place: -1})
		if i < len(uses) {
			at := slices.Index(names, uses[i])
			if at < 0 {
				return p, fmt.Errorf("{%s} of %q is not in %q", uses[i], message, english)
			}
			p.message = append(p.message, piece{place: at})
		}
	}
	for _, name := range names {
		if !slices.Contains(uses, name) {
			return p, fmt.Errorf("{%s} of %q is missing from %q", name, english, message)
		}
	}
	return p, nil
}

// split takes a text with {names} apart: one more words than names.
func split(text string) (words, names []string, err error) {
	for {
		before, rest, open := strings.Cut(text, "{")
		words = append(words, before)
		if strings.Contains(before, "}") {
			return nil, nil, fmt.Errorf("%q closes a place that is not open", text)
		}
		if !open {
			return words, names, nil
		}
		name, after, closed := strings.Cut(rest, "}")
		if !closed || name == "" || strings.TrimFunc(name, isPlaceRune) != "" {
			return nil, nil, fmt.Errorf("%q has a place without a name", text)
		}
		names, text = append(names, name), after
	}
}

func isPlaceRune(r rune) bool { return r >= 'a' && r <= 'z' || r >= '0' && r <= '9' }

// match gives what the places of the pattern hold if a sentence is of it from end to end. Of several ways to fill them
// that counts which gives the first place the least, then the second, and so on.
//
// The work is taken off what is left of it; without any there is no match.
func (p *pattern) match(s string, left *int) ([]string, bool) {
	if !strings.HasPrefix(s, p.words[0]) || !strings.HasSuffix(s, p.words[len(p.words)-1]) {
		return nil, false
	}
	if len(p.places) == 0 {
		return nil, s == p.words[0]
	}
	if len(s) < p.literal+len(p.places) {
		return nil, false
	}
	m := matching{pattern: p, text: s, held: make([]string, len(p.places)), left: left}
	return m.held, m.from(0, len(p.words[0]))
}

// matching remembers which places can't be filled from where, so that a long sentence takes no longer than the square
// of its length.
type matching struct {
	*pattern
	text string
	held []string
	dead []bool
	left *int
}

func (m *matching) from(i, at int) bool {
	last := i == len(m.places)-1
	next := m.words[i+1]
	if last {
		end := len(m.text) - len(next)
		return at < end && m.holds(i, at, end)
	}
	state := i*(len(m.text)+1) + at
	if m.dead != nil && m.dead[state] {
		return false
	}
	for end := at + 1; end <= len(m.text); end++ {
		k := strings.Index(m.text[end:], next)
		if *m.left -= 8; k < 0 || *m.left < 0 {
			break
		}
		*m.left -= k
		if end += k; m.holds(i, at, end) && m.from(i+1, end+len(next)) {
			return true
		}
	}
	if m.dead == nil {
		*m.left -= len(m.text)
		m.dead = make([]bool, len(m.places)*(len(m.text)+1))
	}
	m.dead[state] = true
	return false
}

func (m *matching) holds(i, at, end int) bool {
	m.held[i] = m.text[at:end]
	if m.places[i].kind != anyWords {
		*m.left -= end - at
	}
	switch m.places[i].kind {
	case aNumber:
		return isNumber(m.held[i])
	case aQuantity:
		return isQuantity(m.held[i])
	case aName:
		return !strings.Contains(m.held[i], "; ")
	case aKey:
		return strings.Trim(m.held[i], "abcdefghijklmnopqrstuvwxyz0123456789-_") == ""
	}
	return true
}

// isNumber tells of 12, -0.5, +3.20, 3/4.
func isNumber(s string) bool {
	s = strings.TrimLeft(s, "+-")
	if s == "" || s[0] < '0' || s[0] > '9' {
		return false
	}
	return strings.Trim(s, "0123456789./,") == "" && s[len(s)-1] >= '0' && s[len(s)-1] <= '9'
}

// isQuantity tells of numbers with and without units: 4.75 in, 5 ft 10 in, 1 3/4 in, 12.5 %.
func isQuantity(s string) bool {
	for i, w := range strings.Split(s, " ") {
		if !isNumber(w) && (i == 0 || w != "%" && (w == "x" || !slices.Contains(units, strings.TrimRight(w, "23")))) {
			return false
		}
	}
	return true
}

// units are letters that are no words, without digits behind them.
var units = []string{"ft", "in", "yd", "lb", "oz", "ton", "m", "mm", "cm", "kg", "g", "t", "L", "lb/ft", "lb/yd", "kg/m", "t/m", "deg", "h", "min", "x", "e", "ln", "sqrt"}

// wordless tells whether a text holds nothing to translate: numbers, units and signs.
func wordless(s string) bool {
	words := strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || strings.ContainsRune("()[],;:^+*=%", r) })
	for _, w := range words {
		w = strings.Trim(w, "-./0123456789")
		if strings.IndexFunc(w, unicode.IsLetter) >= 0 && !slices.Contains(units, w) {
			return false
		}
	}
	return true
}

// phrases are the patterns of a language, those with the longest words first.
type phrases struct {
	list  []pattern
	first [256][]int // by first byte of a sentence: what can match, in order
}

// parsePhrases reads a catalogue of sentences.
func parsePhrases(text []byte) (*phrases, error) {
	var messages map[string]string
	if err := json.Unmarshal(text, &messages); err != nil {
		return nil, fmt.Errorf("reading sentences: %w", err)
	}
	var p phrases
	for english, message := range messages {
		pattern, err := parsePattern(english, message)
		if err != nil {
			return nil, fmt.Errorf("reading sentences: %w", err)
		}
		p.list = append(p.list, pattern)
	}
	slices.SortFunc(p.list, func(a, b pattern) int {
		return cmp.Or(cmp.Compare(b.literal, a.literal), cmp.Compare(len(a.places), len(b.places)), cmp.Compare(a.english, b.english))
	})
	for i := range p.list {
		before := p.list[i].words[0]
		for b := range p.first {
			if before == "" || before[0] == byte(b) {
				p.first[b] = append(p.first[b], i)
			}
		}
	}
	return &p, nil
}

const (
	longest = 4096    // bytes of a sentence that is translated
	deepest = 6       // sentences in sentences
	effort  = 1 << 18 // steps of work on one sentence, about the bytes looked at, so that none made up to be hard takes long
)

// separators take words apart that have no pattern as a whole. Where one is common in names as well, all parts have to
// have a translation.
var separators = [...]struct {
	sign  string
	names bool
}{{"; ", false}, {" = ", false}, {" + ", false}, {" - ", false}, {" x ", false}, {" / ", false}, {". ", true}, {", ", true}, {" and ", true}}

// translation is the work on one sentence.
type translation struct {
	*Locale
	phrases *phrases
	left    int // of the effort
}

// translate is a sentence in the language of the phrases; false if some of its words have no translation. With partly
// it is then translated as far as can be. Separators before the given one are gone already.
func (t *translation) translate(s string, separator, depth int, partly bool) (string, bool) {
	if t.left -= len(s) + 32; s == "" || t.left < 0 || depth > deepest {
		return s, false
	}
	if text, ok := t.whole(s, depth); ok {
		return text, true
	}
	if flipped, ok := flip(s); ok {
		if text, ok := t.whole(flipped, depth); ok {
			if back, ok := flip(text); ok {
				return back, true
			}
			return text, true
		}
	}
	for k := separator; k < len(separators); k++ {
		by := separators[k]
		if !strings.Contains(s, by.sign) {
			continue
		}
		t.left -= 2 * len(s) // to take apart, and to look for words
		parts := apart(s, by.sign)
		if len(parts) == 1 {
			continue
		}
		all, any := true, false
		for i, part := range parts {
			if wordless(part) {
				continue
			}
			text, ok := t.translate(part, k+1, depth, partly)
			all, any = all && ok, any || text != part || ok
			parts[i] = text
		}
		if any && (all || partly && !by.names) {
			return t.joined(parts, by.sign), all
		}
		if !by.names {
			break
		}
	}
	return s, false
}

// apart splits at a separator outside of brackets.
func apart(s, sign string) []string {
	var parts []string
	open, from := 0, 0
	for i := 0; i < len(s); i++ {
		switch {
		case s[i] == '(':
			open++
		case s[i] == ')':
			open--
		case open <= 0 && strings.HasPrefix(s[i:], sign):
			parts = append(parts, s[from:i])
			i += len(sign) - 1
			from = i + 1
		}
	}
	return append(parts, s[from:])
}

func (l *Locale) joined(parts []string, sign string) string {
	if sign == " and " {
		return l.List(parts)
	}
	return strings.Join(parts, sign)
}

// whole is a sentence by the first of its patterns.
func (t *translation) whole(s string, depth int) (string, bool) {
	for _, i := range t.phrases.first[s[0]] {
		if text, ok := t.fill(&t.phrases.list[i], s, depth); ok {
			return text, true
		}
	}
	return "", false
}

func (t *translation) fill(by *pattern, s string, depth int) (string, bool) {
	held, ok := by.match(s, &t.left)
	if !ok {
		return "", false
	}
	for k, place := range by.places {
		switch place.kind {
		case someNames:
			held[k] = t.names(held[k])
		case someWords:
			parts := apart(held[k], ", ")
			for i, part := range parts {
				parts[i], _ = t.translate(part, 0, depth+1, true)
			}
			held[k] = strings.Join(parts, ", ")
		case mustTranslate:
			text, ok := t.translate(held[k], 0, depth+1, false)
			if !ok && !wordless(held[k]) {
				return "", false
			}
			held[k] = text
		case anyWords:
			held[k], _ = t.translate(held[k], 0, depth+1, true)
		}
	}
	var b []byte
	for _, part := range by.message {
		words := part.words
		if part.place >= 0 {
			words = held[part.place]
		}
		b = t.contract(b, words)
	}
	return string(b), true
}

// contract puts words after others, drawn together where the language asks for it: "de" and "el" are "del".
func (l *Locale) contract(b []byte, words string) []byte {
	for _, c := range l.contractions {
		if rest, ok := strings.CutPrefix(words, c.second+" "); ok && bytes.HasSuffix(b, []byte(" "+c.first+" ")) {
			return append(append(b[:len(b)-len(c.first)-1], c.both+" "...), rest...)
		}
	}
	return append(b, words...)
}

// names is a list of names as the engine writes it, "a, b and c", in the way of the locale.
func (l *Locale) names(s string) string {
	before, last, ok := cutLast(s, " and ")
	if !ok {
		return s
	}
	return l.List(append(strings.Split(before, ", "), last))
}

func cutLast(s, by string) (before, after string, found bool) {
	if i := strings.LastIndex(s, by); i >= 0 {
		return s[:i], s[i+len(by):], true
	}
	return s, "", false
}

// flip changes the case of the first letter: the engine writes an operation big by itself and small in a sentence.
func flip(s string) (string, bool) {
	r, n := utf8.DecodeRuneInString(s)
	other := unicode.ToUpper(r)
	if unicode.IsUpper(r) {
		other = unicode.ToLower(r)
	}
	if r == utf8.RuneError || other == r {
		return s, false
	}
	return string(other) + s[n:], true
}
