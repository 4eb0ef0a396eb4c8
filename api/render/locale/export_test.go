package locale

// ReadSentences reads the sentences of a locale, and how many there are.
func ReadSentences(tag string) (int, error) {
	p, err := sentences(tag)
	if p == nil {
		return 0, err
	}
	return len(p.list), err
}

// ParseSentence reads one pattern with its message.
func ParseSentence(english, message string) error {
	_, err := parsePattern(english, message)
	return err
}
