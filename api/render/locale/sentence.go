package locale

// Sentence is a sentence of the engine in the language of the locale; false where there is none, with the sentence as
// it is.
func (l *Locale) Sentence(english string) (text string, ok bool) {
	return english, l.leansOnEnglish()
}

func (l *Locale) leansOnEnglish() bool { return l.tag == "en-US" || l.tag == "en-GB" }
