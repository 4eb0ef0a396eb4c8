// Package locale writes words, numbers, money, dates and quantities the way people of a language and a place do.
//
// Words stand in catalogues: catalogues/TAG/TOPIC.json, each an object from key to message. A message holds its values as
// {name}. A message that hangs on a number has a key for each plural category of the language (Unicode CLDR), such as
// "units.one" and "units.other", and holds the number as {n}. What a catalogue lacks is taken from the locale it leans on.
// Patterns of dates, hours, numbers and lists are messages too (dates.json, numbers.json), after CLDR as ECMAScript's Intl
// writes it, with plain spaces. Money may hold a no-break space (U+00A0).
//
// The engine writes its own sentences in English. catalogues/TAG/engine.json says them in the language, by pattern: see
// Sentence. Catalogues are read when something is first asked for, so that a service which only speaks JSON pays nothing.
package locale
