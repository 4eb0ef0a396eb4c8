package locale

import (
	"embed"
	"encoding/json"
	"fmt"
	"maps"
	"path"
	"strings"
	"sync"

	"github.com/bojanz/currency"
	"github.com/go-playground/locales"
	"github.com/go-playground/locales/en_GB"
	"github.com/go-playground/locales/en_US"
	"github.com/go-playground/locales/es_US"
	"golang.org/x/text/language"

	"bedline/pricing/money"
)

//go:embed catalogues
var catalogues embed.FS

// Locale is a language as it is written in a place. It may be shared.
type Locale struct {
	tag          string
	english      bool // the engine's own language
	contractions []contraction

	// Made when first asked for, since only what people read needs them.
	cldr     func() locales.Translator
	currency func() *currency.Formatter
	messages func() map[string]string
	phrases  func() *phrases
}

// contraction is two words that are written as one when they meet.
type contraction struct{ first, second, both string }

// all are the locales, the one for everybody else first. leans is whose words are taken where a catalogue lacks them.
var all, matcher = load([]source{
	{tag: "en-US", cldr: en_US.New},
	{tag: "en-GB", cldr: en_GB.New, leans: "en-US"},
	{tag: "es-US", cldr: es_US.New, leans: "en-US", contractions: []contraction{{"de", "el", "del"}, {"a", "el", "al"}}},
})

type source struct {
	tag   string
	cldr  func() locales.Translator
	leans string

	contractions []contraction
}

func load(sources []source) ([]*Locale, func() language.Matcher) {
	var out []*Locale
	var tags []language.Tag
	for _, s := range sources {
		l := &Locale{tag: s.tag, cldr: sync.OnceValue(s.cldr), english: strings.HasPrefix(s.tag, "en-"), contractions: s.contractions}
		var leans *Locale
		for _, other := range out {
			if other.tag == s.leans {
				leans = other
			}
		}
		l.currency = sync.OnceValue(func() *currency.Formatter { return currency.NewFormatter(currency.NewLocale(s.tag)) })
		l.messages = sync.OnceValue(func() map[string]string {
			m := map[string]string{}
			if leans != nil {
				maps.Copy(m, leans.messages())
			}
			if err := read(path.Join("catalogues", s.tag), m); err != nil {
				panic(err) // the catalogues are part of the program, and a test reads them all
			}
			return m
		})
		l.phrases = sync.OnceValue(func() *phrases {
			p, err := sentences(s.tag)
			if err != nil {
				return nil // a test reads them all
			}
			return p
		})
		out, tags = append(out, l), append(tags, language.MustParse(s.tag))
	}
	return out, sync.OnceValue(func() language.Matcher { return language.NewMatcher(tags) })
}

// read adds the messages of a folder.
func read(folder string, messages map[string]string) error {
	entries, err := catalogues.ReadDir(folder)
	if err != nil {
		return fmt.Errorf("reading the catalogue %s: %w", folder, err)
	}
	for _, e := range entries {
		if e.Name() == engineFile {
			continue
		}
		text, err := catalogues.ReadFile(path.Join(folder, e.Name()))
		if err != nil {
			return fmt.Errorf("reading the catalogue %s: %w", folder, err)
		}
		if err := json.Unmarshal(text, &messages); err != nil {
			return fmt.Errorf("reading the catalogue %s/%s: %w", folder, e.Name(), err)
		}
	}
	return nil
}

// Tags are the BCP 47 tags of all locales, the one for everybody else first.
func Tags() []string {
	tags := make([]string, len(all))
	for i, l := range all {
		tags[i] = l.tag
	}
	return tags
}

// Lookup finds the locale of a tag, as Tags writes it.
func Lookup(tag string) (*Locale, bool) {
	for _, l := range all {
		if l.tag == tag {
			return l, true
		}
	}
	return nil, false
}

// Default is the locale for everybody whose language is not known.
func Default() *Locale { return all[0] }

// Choose finds the locale that suits the Accept-Language fields of a request best (RFC 9110, 12.5.4; matching by CLDR).
// What cannot be read is left out; nothing acceptable gives the default.
func Choose(header []string) *Locale {
	tags, _, err := language.ParseAcceptLanguage(strings.Join(header, ","))
	if err != nil || len(tags) == 0 {
		return all[0]
	}
	_, i, confidence := matcher().Match(tags...)
	if confidence == language.No {
		return all[0]
	}
	return all[i]
}

// Tag is the BCP 47 tag of the locale.
func (l *Locale) Tag() string { return l.tag }

// Has tells whether there is a message of a key.
func (l *Locale) Has(key string) bool {
	_, ok := l.messages()[key]
	return ok
}

// Say is the message of a key with its values: pairs of a name and what stands for {name}. A key without a message is
// taken for the message; a test holds that none is asked for.
func (l *Locale) Say(key string, values ...string) string {
	message, ok := l.messages()[key]
	if !ok {
		message = key
	}
	if len(values) < 2 {
		return message
	}
	pairs := make([]string, 0, len(values))
	for i := 0; i+1 < len(values); i += 2 {
		pairs = append(pairs, "{"+values[i]+"}", values[i+1])
	}
	return strings.NewReplacer(pairs...).Replace(message)
}

// Count is the message of a key for a number of things, which stands for {n}.
func (l *Locale) Count(key string, n int, values ...string) string {
	form := "other"
	if l.cldr().CardinalPluralRule(float64(n), 0) == locales.PluralRuleOne {
		form = "one"
	}
	return l.Say(key+"."+form, append([]string{"n", l.Whole(n)}, values...)...)
}

// Money writes an amount with its currency. Where CLDR says so a no-break space (U+00A0) stands between the two.
func (l *Locale) Money(a money.Amount, c money.Currency) string {
	amount, err := currency.NewAmount(c.Format(a), c.Code)
	if err != nil {
		return c.Format(a) + " " + c.Code
	}
	return l.currency().Format(amount)
}
