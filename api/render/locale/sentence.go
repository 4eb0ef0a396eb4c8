package locale

import (
	"fmt"
	"path"
	"strings"
)

// engineFile is the catalogue of sentences of the engine, from English pattern to message (see pattern). It is read when
// a sentence is first asked for, since only what people read needs it.
const engineFile = "engine.json"

// Sentence is a sentence of the engine (a notice, a reason, a label or a step of the arithmetic) in the language of the
// locale, and true; or the English as it is and false, where some of its words have no translation. Names out of the
// request and the price list stay as they are. In the English locales every sentence is its own translation but for
// spelling. Numbers and units stay as the engine writes them. Invalid UTF-8 is given back with its bad bytes replaced.
func (l *Locale) Sentence(english string) (text string, ok bool) {
	english = strings.ToValidUTF8(english, "\uFFFD")
	if p := l.phrases(); p != nil && len(english) <= longest {
		t := translation{l, p, effort}
		if text, ok := t.translate(english, 0, 0, false); ok {
			return text, true
		}
	}
	return english, l.english || wordless(english)
}

// sentences reads the sentences of a locale; nil where it has none of its own.
func sentences(tag string) (*phrases, error) {
	text, err := catalogues.ReadFile(path.Join("catalogues", tag, engineFile))
	if err != nil {
		return nil, nil // spelt as the engine writes
	}
	p, err := parsePhrases(text)
	if err != nil {
		return nil, fmt.Errorf("the sentences of %s: %w", tag, err)
	}
	return p, nil
}
